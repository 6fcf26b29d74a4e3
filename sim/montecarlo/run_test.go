package montecarlo

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// sums runs a small simulation: each block's output is the sum of its draws.
func sums(t *testing.T, o Options) []float64 {
	t.Helper()
	var got []float64
	err := Run(t.Context(), o,
		func() func(int, *float64) error {
			s := NewStream(71, "sums")
			draws := make([]float64, 100)
			return func(block int, out *float64) error {
				s.Reset(uint64(block))
				s.Normals(draws)
				*out = 0
				for _, x := range draws {
					*out += x
				}
				if block%3 == 0 { // finish out of order
					runtime.Gosched()
				}
				return nil
			}
		},
		func() *float64 { return new(float64) },
		func(block int, out *float64) error {
			if want := o.From + len(got); block != want {
				t.Errorf("consumed block %d, want %d", block, want)
			}
			got = append(got, *out)
			return nil
		})
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func TestRunSameForAnyWorkers(t *testing.T) {
	want := sums(t, Options{From: 0, To: 203, Workers: 1})
	if len(want) != 203 {
		t.Fatalf("%d blocks consumed, want 203", len(want))
	}
	for _, workers := range []int{0, 2, 3, 8, 300} {
		got := sums(t, Options{From: 0, To: 203, Workers: workers})
		for i := range want {
			if got[i] != want[i] {
				t.Fatalf("%d workers, block %d: %v, want %v", workers, i, got[i], want[i])
			}
		}
	}
	// In shards, and taken up in the middle.
	got := append(sums(t, Options{To: 57, Workers: 3}), sums(t, Options{From: 57, To: 203, Workers: 2})...)
	for i := range want {
		if got[i] != want[i] {
			t.Fatalf("in two runs, block %d: %v, want %v", i, got[i], want[i])
		}
	}
	if got := sums(t, Options{From: 5, To: 5}); got != nil {
		t.Errorf("no blocks gave %v", got)
	}
}

func TestRunProgress(t *testing.T) {
	var seen []string
	sums(t, Options{From: 11, To: 15, Workers: 2, Progress: func(done, total int) {
		seen = append(seen, fmt.Sprint(done, "/", total))
	}})
	if got, want := strings.Join(seen, " "), "1/4 2/4 3/4 4/4"; got != want {
		t.Errorf("progress %q, want %q", got, want)
	}
}

func TestRunBoundsWhatIsInFlight(t *testing.T) {
	const workers = 3
	var made int
	var begun, consumed atomic.Int64
	err := Run(t.Context(), Options{To: 500, Workers: workers},
		func() func(int, *int) error {
			return func(int, *int) error {
				if ahead := begun.Add(1) - consumed.Load(); ahead > 2*workers {
					return fmt.Errorf("%d blocks begun and not consumed", ahead)
				}
				return nil
			}
		},
		func() *int { made++; return new(int) },
		func(int, *int) error { consumed.Add(1); return nil })
	if err != nil {
		t.Error(err)
	}
	if made != 2*workers {
		t.Errorf("made %d outputs for %d workers, want %d", made, workers, 2*workers)
	}
}

var errBoom = errors.New("boom")

func TestRunErrors(t *testing.T) {
	noGoroutineLeak(t)
	fine := func(int) error { return nil }
	at := func(f func(), blocks ...int) func(int) error {
		return func(block int) error {
			if slices.Contains(blocks, block) {
				f()
				return errBoom
			}
			return nil
		}
	}
	tests := []struct {
		name          string
		options       Options
		work, consume func(block int) error
		wantConsumed  int
		wantIs        error
		wantText      string
	}{
		{"worker fails", Options{From: 10, To: 400}, at(func() {}, 390, 123, 124, 130), fine, 113, errBoom, "block 123: boom"},
		{"slow worker fails first", Options{To: 40, Workers: 4}, at(func() { time.Sleep(time.Millisecond) }, 7, 8, 9), fine, 7, errBoom, "block 7: boom"},
		{"consume fails", Options{To: 400}, fine, at(func() {}, 57), 57, errBoom, "block 57: boom"},
		{"worker panics", Options{To: 400}, at(func() { panic("dropped") }, 3), fine, 3, nil, "block 3: panic: dropped\n"},
		{"worker panics with an error", Options{To: 400}, at(func() { panic(errBoom) }, 3), fine, 3, errBoom, "run_test.go"},
		{"worker ends its goroutine", Options{To: 400}, at(runtime.Goexit, 3), fine, 3, nil, "block 3: the worker ended"},
		{"negative block", Options{From: -1, To: 4}, fine, fine, 0, nil, "blocks from -1 to 4"},
		{"backwards", Options{From: 5, To: 4}, fine, fine, 0, nil, "blocks from 5 to 4"},
		{"negative workers", Options{To: 4, Workers: -2}, fine, fine, 0, nil, "-2 workers"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			consumed := 0
			err := Run(t.Context(), test.options,
				func() func(int, *int) error {
					return func(block int, _ *int) error { return test.work(block) }
				},
				func() *int { return new(int) },
				func(block int, _ *int) error {
					if err := test.consume(block); err != nil {
						return err
					}
					consumed++
					return nil
				})
			switch {
			case err == nil:
				t.Fatal("no error")
			case test.wantIs != nil && !errors.Is(err, test.wantIs):
				t.Errorf("error %q is not %q", err, test.wantIs)
			case !strings.Contains(err.Error(), test.wantText):
				t.Errorf("error %q, want %q in it", err, test.wantText)
			}
			if consumed != test.wantConsumed {
				t.Errorf("consumed %d blocks, want %d", consumed, test.wantConsumed)
			}
		})
	}
}

func TestRunStopsWithContext(t *testing.T) {
	noGoroutineLeak(t)
	ctx, cancel := context.WithCancelCause(t.Context())
	var consumed []int
	err := Run(ctx, Options{To: 1 << 30, Workers: 4},
		func() func(int, *int) error { return func(int, *int) error { return nil } },
		func() *int { return new(int) },
		func(block int, _ *int) error {
			consumed = append(consumed, block)
			if block == 321 {
				cancel(errBoom)
			}
			return nil
		})
	if !errors.Is(err, errBoom) || !strings.Contains(err.Error(), "stopped after 322 of 1073741824 blocks") {
		t.Errorf("error %q", err)
	}
	if len(consumed) != 322 || consumed[321] != 321 {
		t.Errorf("consumed %d blocks, want 322", len(consumed))
	}
}

// A worker that waits for the context must not keep Run from returning.
func TestRunStopsWhileWorkersWait(t *testing.T) {
	noGoroutineLeak(t)
	ctx, cancel := context.WithCancel(t.Context())
	err := Run(ctx, Options{To: 9, Workers: 2},
		func() func(int, *int) error {
			return func(int, *int) error { cancel(); <-ctx.Done(); return ctx.Err() }
		},
		func() *int { return new(int) },
		func(int, *int) error { return nil })
	if !errors.Is(err, context.Canceled) {
		t.Errorf("error %v", err)
	}
}

func TestRunPanicInConsume(t *testing.T) {
	noGoroutineLeak(t)
	defer func() {
		if recover() != errBoom {
			t.Error("the panic of consume did not reach the caller")
		}
	}()
	_ = Run(t.Context(), Options{To: 50, Workers: 3},
		func() func(int, *int) error { return func(int, *int) error { return nil } },
		func() *int { return new(int) },
		func(int, *int) error { panic(errBoom) })
}

func TestRunDoesNotAllocatePerBlock(t *testing.T) {
	run := func(blocks int) float64 {
		return testing.AllocsPerRun(5, func() { runEmpty(t, blocks, 2) })
	}
	if few, many := run(100), run(5000); many > few+20 {
		t.Errorf("%v allocations for 100 blocks, %v for 5000", few, many)
	}
}

// When Run returns early, nobody is at work any more.
func TestRunWaitsForItsWorkers(t *testing.T) {
	var begun, ended atomic.Int64
	err := Run(t.Context(), Options{To: 100, Workers: 4},
		func() func(int, *int) error {
			return func(block int, _ *int) error {
				begun.Add(1)
				if block > 0 {
					time.Sleep(5 * time.Millisecond)
				}
				ended.Add(1)
				return nil
			}
		},
		func() *int { return new(int) },
		func(int, *int) error {
			for begun.Load() < 2 { // another block is under way
				runtime.Gosched()
			}
			return errBoom
		})
	if b, e := begun.Load(), ended.Load(); b != e || !errors.Is(err, errBoom) {
		t.Errorf("%d blocks begun, %d ended, error %v", b, e, err)
	}
}

// noGoroutineLeak fails the test if it leaves goroutines behind.
func noGoroutineLeak(t *testing.T) {
	before := runtime.NumGoroutine()
	t.Cleanup(func() {
		for range 100 {
			if runtime.NumGoroutine() <= before {
				return
			}
			time.Sleep(time.Millisecond)
		}
		t.Errorf("%d goroutines, %d before", runtime.NumGoroutine(), before)
	})
}

func runEmpty(tb testing.TB, blocks, workers int) {
	err := Run(context.Background(), Options{To: blocks, Workers: workers},
		func() func(int, *int) error { return func(int, *int) error { return nil } },
		func() *int { return new(int) },
		func(int, *int) error { return nil })
	if err != nil {
		tb.Fatal(err)
	}
}

// The cost of handing a block out and back, beside about 100 µs for filling one.
func BenchmarkRunOverhead(b *testing.B) {
	const blocks = 1000
	for _, workers := range []int{1, 2} {
		b.Run(fmt.Sprintf("workers=%d", workers), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				runEmpty(b, blocks, workers)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/blocks, "ns/block")
		})
	}
}

func TestBlocksAndRows(t *testing.T) {
	tests := []struct{ n, blocks, last int }{
		{0, 0, 0}, {1, 1, 1}, {BlockRows - 1, 1, BlockRows - 1}, {BlockRows, 1, BlockRows},
		{BlockRows + 1, 2, 1}, {10*BlockRows - 3, 10, BlockRows - 3},
	}
	for _, test := range tests {
		if got := Blocks(test.n); got != test.blocks {
			t.Errorf("Blocks(%d) = %d, want %d", test.n, got, test.blocks)
		}
		sum := 0
		for b := range test.blocks {
			sum += Rows(test.n, b)
		}
		if sum != test.n {
			t.Errorf("the blocks of %d rows have %d", test.n, sum)
		}
		if test.blocks > 0 {
			if got := Rows(test.n, test.blocks-1); got != test.last {
				t.Errorf("last block of %d rows has %d, want %d", test.n, got, test.last)
			}
		}
		mustPanic(t, func() { Rows(test.n, test.blocks) })
	}
	mustPanic(t, func() { Blocks(-1) })
	mustPanic(t, func() { Rows(5, -1) })
}

func mustPanic(t *testing.T, f func()) {
	t.Helper()
	defer func() {
		if recover() == nil {
			t.Error("did not panic")
		}
	}()
	f()
}

// Columns share no memory, and none grows into the next.
func TestColumns(t *testing.T) {
	c := Columns(3, 4)
	for i, column := range c {
		if len(column) != 4 || cap(column) != 4 {
			t.Fatalf("column %d has %d rows, room for %d", i, len(column), cap(column))
		}
		for k := range column {
			if column[k] != 0 {
				t.Errorf("row %d of column %d is %v, want 0", k, i, column[k])
			}
			column[k] = float64(10*i + k)
		}
	}
	for i, column := range c {
		for k, got := range column {
			if got != float64(10*i+k) {
				t.Errorf("row %d of column %d is %v", k, i, got)
			}
		}
	}
	if len(Columns(0, 5)) != 0 {
		t.Error("no columns are some")
	}
}

// A run with as many workers as there are processors leaves their number alone.
func TestRunLeavesProcessorsAlone(t *testing.T) {
	before := runtime.GOMAXPROCS(3)
	defer runtime.GOMAXPROCS(before)
	var once sync.Mutex
	workers := 0
	err := Run(t.Context(), Options{To: 50}, func() func(int, *int) error {
		once.Lock()
		workers++
		once.Unlock()
		return func(int, *int) error { time.Sleep(time.Millisecond); return nil }
	}, func() *int { return new(int) }, func(int, *int) error { return nil })
	if now := runtime.GOMAXPROCS(0); err != nil || now != 3 || workers != 3 {
		t.Errorf("%d processors after, want 3; %d workers; %v", now, workers, err)
	}
}
