package montecarlo

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"runtime"
	"runtime/debug"
	"sync"
	"sync/atomic"
)

// Options say which blocks [Run] works through, and how. The zero value of
// every field but To is usable.
type Options struct {
	From, To int // blocks From ≤ block < To
	Workers  int // number of goroutines that work; 0 means GOMAXPROCS

	// Progress, if not nil, is called after each block that was consumed, on
	// the goroutine that consumes, with the number of blocks done and of
	// blocks in all.
	Progress func(doneBlocks, totalBlocks int)
}

// Run works through blocks in parallel and consumes the results in order.
//
// newWorker is called once for each worker, before any work starts, on the
// calling goroutine; the function it returns is called on one goroutine only,
// so it may own a [Stream] and scratch space. It is to fill out from the block
// alone. newOut makes the few outputs that are in flight at any time, two for
// each worker. They are used again, so what is in one when a worker gets it is
// left over from an earlier block.
//
// consume is called on the calling goroutine, once for each block, strictly in
// the order of the blocks. It must not keep out.
//
// If a worker fails at some block, every block before it is consumed, and the
// error of the lowest failing block is returned: errors, too, do not depend on
// the number of workers. A panic in a worker is returned as an error that holds
// the stack. If consume fails, or the context is done, Run stops as soon as the
// workers have finished the blocks that they are at; then what has been
// consumed is still an unbroken run of blocks from From on. The cause of the
// context's end and the error of a worker or of consume can be found with
// errors.Is and errors.As. No goroutine outlives Run.
func Run[T any](
	ctx context.Context,
	o Options,
	newWorker func() (work func(block int, out *T) error),
	newOut func() *T,
	consume func(block int, out *T) error,
) error {
	if o.From < 0 || o.To < o.From {
		return fmt.Errorf("montecarlo: blocks from %d to %d: want 0 ≤ from ≤ to", o.From, o.To)
	}
	if o.Workers < 0 {
		return fmt.Errorf("montecarlo: %d workers: want 0 or more", o.Workers)
	}
	total := o.To - o.From
	workers := min(cmp.Or(o.Workers, runtime.GOMAXPROCS(0)), total)

	// A worker takes an output first and a block second. So there are never
	// more blocks begun and not consumed than there are outputs, and the lowest
	// of them always has an output and can be finished: no deadlock, and a ring
	// of that size is enough to put the results in order.
	inFlight := min(2*workers, total)
	free := make(chan *T, inFlight)
	results := make(chan result[T], inFlight)
	waiting := make([]result[T], inFlight) // indexed by block % inFlight
	for range inFlight {
		free <- newOut()
	}
	works := make([]func(int, *T) error, workers)
	for i := range works {
		works[i] = newWorker()
	}

	var next atomic.Int64
	next.Store(int64(o.From))
	stop := make(chan struct{})
	var running sync.WaitGroup
	defer running.Wait()
	defer close(stop)
	for _, work := range works {
		running.Go(func() {
			for {
				var out *T
				select {
				case <-stop:
					return
				case out = <-free:
				}
				block := int(next.Add(1) - 1)
				if block >= o.To {
					return
				}
				attempt(work, block, out, results)
			}
		})
	}

	for block := o.From; block < o.To; block++ {
		slot := &waiting[block%inFlight]
		for !slot.ready {
			r := <-results
			waiting[r.block%inFlight] = r
		}
		// The wait need not end with the context: workers have to finish the
		// blocks that they are at in any case.
		if ctx.Err() != nil {
			return fmt.Errorf("montecarlo: stopped after %d of %d blocks: %w", block-o.From, total, context.Cause(ctx))
		}
		err := slot.err
		if err == nil {
			err = consume(block, slot.out)
		}
		if err != nil {
			return fmt.Errorf("montecarlo: block %d: %w", block, err)
		}
		free <- slot.out
		*slot = result[T]{}
		if o.Progress != nil {
			o.Progress(block-o.From+1, total)
		}
	}
	return nil
}

// A result is one block's output, or why there is none.
type result[T any] struct {
	ready bool
	block int
	out   *T
	err   error
}

// attempt works through one block and sends its result, for which the channel
// has room. It does so even if work panics or ends its goroutine (as a failing
// test does), for otherwise Run would wait for the block forever.
func attempt[T any](work func(int, *T) error, block int, out *T, results chan<- result[T]) {
	var err error
	returned := false
	defer func() {
		if !returned {
			err = unreturned(recover())
		}
		results <- result[T]{ready: true, block: block, out: out, err: err}
	}()
	err = work(block, out)
	returned = true
}

// unreturned says why a worker did not return, from what was recovered.
func unreturned(recovered any) error {
	switch p := recovered.(type) {
	case nil:
		return errors.New("the worker ended its goroutine")
	case error:
		return fmt.Errorf("panic: %w\n%s", p, debug.Stack())
	default:
		return fmt.Errorf("panic: %v\n%s", p, debug.Stack())
	}
}
