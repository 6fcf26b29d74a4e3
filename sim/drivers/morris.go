package drivers

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"

	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
)

// A Range is an input and where it may lie.
type Range struct {
	Name      string
	Low, High float64
}

// MorrisOptions say how many trajectories to walk. The zero value is usable.
type MorrisOptions struct {
	Seed         uint64
	Trajectories int     // at least 4; 0 means 64
	Levels       int     // of each input's range, an even number from 4; 0 means 4
	Confidence   float64 // of the intervals; 0 means DefaultConfidence
	Workers      int     // goroutines; 0 means GOMAXPROCS

	// Sink, if not nil, gets the trajectories, each as many rows as there are
	// inputs and one more, neighbouring rows being one step apart. Only First,
	// counted over all trajectories, Inputs and Response are set.
	Sink func(Sample) error
}

// An ElementaryEffect sums up what an input does, in units of the response per
// whole range of the input.
type ElementaryEffect struct {
	Name string

	// Mean is μ; opposite effects cancel in it.
	Mean Estimate
	// Absolute is μ*, the mean magnitude: how much the input matters.
	Absolute Estimate
	// Deviation is σ, the standard deviation: how much the effect depends on
	// where in the box it is taken, by curvature or by interactions.
	Deviation float64
}

// morrisTrajectories is the number of trajectories in a chunk of work. It is
// part of what a seed means.
const morrisTrajectories = 32

// Morris screens many inputs by elementary effects (Morris 1991, Technometrics
// 33:161; μ* from Campolongo, Cariboni and Saltelli 2007, Environmental Modelling &
// Software 22:1509): along random trajectories on a grid over the box of all
// ranges, one input at a time moves by Δ = p/(2(p−1)) of its range, p being the number of
// levels, and its effect is the change of the response over Δ. Intervals are
// Student's over the trajectories, which are independent.
//
// It knows no dependence: the corners of the box may hold combinations that
// never occur. It is meant to find out which inputs can be left alone.
//
// It returns the effects in the order of the inputs, and the number of
// evaluations, d+1 for each trajectory over d inputs.
func Morris(ctx context.Context, ranges []Range, newModel func() Model, o MorrisOptions) ([]ElementaryEffect, int64, error) {
	effects, n, err := morris(ctx, ranges, newModel, o)
	return effects, n, prefixed(err)
}

func morris(ctx context.Context, ranges []Range, newModel func() Model, o MorrisOptions) ([]ElementaryEffect, int64, error) {
	o, err := o.checked()
	if err != nil {
		return nil, 0, err
	}
	names := make([]string, len(ranges))
	for i, r := range ranges {
		names[i] = r.Name
		if !(r.Low < r.High) || !math.Finite(r.High-r.Low) {
			return nil, 0, fmt.Errorf("input %q ranges from %v to %v: want finite numbers, the second greater", r.Name, r.Low, r.High)
		}
	}
	if err := checkNames("input", names); err != nil {
		return nil, 0, err
	}
	if newModel == nil {
		return nil, 0, errors.New("there is no model")
	}
	d := len(ranges)
	points := d + 1
	type output struct {
		in      [][]float64
		y       []float64
		effects [][]float64 // by input, then trajectory
	}
	trajectories := func(block int) int {
		return min(morrisTrajectories, o.Trajectories-block*morrisTrajectories)
	}
	all := make([][]float64, d)
	err = montecarlo.Run(ctx,
		montecarlo.Options{To: (o.Trajectories + morrisTrajectories - 1) / morrisTrajectories, Workers: o.Workers},
		func() func(int, *output) error {
			e := &evaluator{problem: Problem{Inputs: names}, model: newModel()}
			walk := newWalker(ranges, o)
			steps := make([]step, morrisTrajectories*d)
			return func(block int, out *output) error {
				walk.stream.Reset(uint64(block))
				n := trajectories(block)
				for i := range out.in {
					out.in[i] = out.in[i][:n*points]
				}
				out.y = out.y[:n*points]
				for t := range n {
					walk.trajectory(out.in, t*points, steps[t*d:(t+1)*d])
				}
				if err := e.evaluate(out.y, out.in, Sample{}); err != nil {
					return err
				}
				for t := range n {
					y := out.y[t*points : (t+1)*points]
					for k, s := range steps[t*d : (t+1)*d] {
						out.effects[s.input][t] = (y[k+1] - y[k]) / s.size
					}
				}
				return nil
			}
		},
		func() *output {
			return &output{
				in:      montecarlo.Columns(d, morrisTrajectories*points),
				y:       make([]float64, morrisTrajectories*points),
				effects: montecarlo.Columns(d, morrisTrajectories),
			}
		},
		func(block int, out *output) error {
			for i := range all {
				all[i] = append(all[i], out.effects[i][:trajectories(block)]...)
			}
			if o.Sink == nil {
				return nil
			}
			return o.Sink(Sample{First: block * morrisTrajectories * points, Inputs: out.in, Response: out.y})
		})
	if err != nil {
		return nil, 0, err
	}

	effects, err := summarised(names, all, o.Confidence)
	return effects, int64(o.Trajectories) * int64(points), err
}

// summarised makes effects of the differences that each input has on its trajectories,
// which it alters.
func summarised(names []string, all [][]float64, confidence float64) ([]ElementaryEffect, error) {
	effects := make([]ElementaryEffect, len(names))
	student := studentQuantile(confidence, float64(len(all[0])-1))
	summary := func(xs []float64) (Estimate, float64) {
		var m montecarlo.Moments
		m.AddAll(xs)
		deviation := math.Sqrt(m.Variance())
		half := student * deviation / math.Sqrt(float64(len(xs)))
		return Estimate{Value: m.Mean(), Low: m.Mean() - half, High: m.Mean() + half}, deviation
	}
	for i, xs := range all {
		effects[i].Name = names[i]
		effects[i].Mean, effects[i].Deviation = summary(xs)
		for j, x := range xs {
			xs[j] = math.Abs(x)
		}
		effects[i].Absolute, _ = summary(xs)
		if !allFinite(effects[i].Mean.High, effects[i].Absolute.High) {
			return nil, fmt.Errorf("the effects of %q are too great to be summed", names[i])
		}
	}
	return effects, nil
}

func (o MorrisOptions) checked() (MorrisOptions, error) {
	o.Trajectories = cmp.Or(o.Trajectories, 64)
	o.Levels = cmp.Or(o.Levels, 4)
	o.Confidence = cmp.Or(o.Confidence, DefaultConfidence)
	switch {
	case o.Trajectories < 4 || o.Trajectories > 1<<24:
		return o, fmt.Errorf("%d trajectories: want 4 to 2^24", o.Trajectories)
	case o.Levels < 4 || o.Levels > 1<<16 || o.Levels%2 == 1:
		return o, fmt.Errorf("%d levels: want an even number from 4 to 2^16", o.Levels)
	case !(o.Confidence > 0 && o.Confidence < 1):
		return o, fmt.Errorf("confidence %v: want a number between 0 and 1", o.Confidence)
	case o.Workers < 0:
		return o, fmt.Errorf("%d workers: want 0 or more", o.Workers)
	}
	return o, nil
}

// A step moves one input by a share of its range, up or down.
type step struct {
	input int
	size  float64
}

// A walker makes trajectories, on one goroutine.
type walker struct {
	ranges []Range
	levels int
	stream *montecarlo.Stream
	random *rand.Rand
	order  []int
	// Of each input the two values between which it moves, and which comes
	// first.
	from, to []float64
	size     []float64
}

func newWalker(ranges []Range, o MorrisOptions) *walker {
	d := len(ranges)
	stream := montecarlo.NewStream(o.Seed, "drivers/morris")
	return &walker{
		ranges: ranges, levels: o.Levels, stream: stream, random: rand.New(stream),
		order: make([]int, d), from: make([]float64, d), to: make([]float64, d), size: make([]float64, d),
	}
}

// trajectory writes the rows of one trajectory from a row on, and its steps.
func (w *walker) trajectory(in [][]float64, row int, steps []step) {
	half := w.levels / 2
	last := float64(w.levels - 1)
	delta := float64(half) / last
	for i, r := range w.ranges {
		level := w.random.IntN(half)
		at := func(level int) float64 {
			share := float64(level) / last
			return float64((1-share)*r.Low) + float64(share*r.High)
		}
		w.from[i], w.to[i], w.size[i] = at(level), at(level+half), delta
		if w.random.Uint64()&1 == 1 {
			w.from[i], w.to[i], w.size[i] = w.to[i], w.from[i], -delta
		}
		w.order[i] = i
	}
	w.random.Shuffle(len(w.order), func(i, j int) { w.order[i], w.order[j] = w.order[j], w.order[i] })
	for k := range len(w.order) + 1 {
		if k > 0 {
			i := w.order[k-1]
			w.from[i] = w.to[i]
			steps[k-1] = step{input: i, size: w.size[i]}
		}
		for i, x := range w.from {
			in[i][row+k] = x
		}
	}
}
