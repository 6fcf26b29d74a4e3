// Command crosscheck computes, with sim/drivers and sim/montecarlo, what
// crosscheck.py computes with other people's programs (OpenTURNS, SciPy,
// NumPy), and prints it as JSON for that script to compare. With -time it
// prints instead how long the indices of the speed comparison take.
//
// Run the script, from anywhere in the module:
//
//	apt-get install python3-openturns python3-scipy
//	/usr/bin/python3 internal/crosscheck/crosscheck.py
package main

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"time"

	"counterpoise/internal/crosscheck/functions"
	"counterpoise/sim/drivers"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"

	"gonum.org/v1/gonum/mat"
)

func main() {
	log2 := flag.Int("time", 0, "time first-order and total indices of the force model with a base sample of 2 to this power, instead")
	flag.Parse()
	var err error
	if *log2 == 0 {
		err = check()
	} else {
		err = timed(*log2)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "crosscheck:", err)
		os.Exit(1)
	}
}

// An answer is all that the script compares.
type answer struct {
	Points       [][]float64          // of the unscrambled Sobol' sequence
	Sobol        map[string][]index   // by function
	Shapley      map[string][]index   // by case
	Recomputable recomputable         // rows, and what came of them
	Slopes       []drivers.Slope      // of the force model
	SlopesAt     []float64            // unit inputs
	Gaussian     map[string][]float64 // "covariance", row-major, and "beta"
}

type index struct {
	Kind            string
	Groups          []string
	Value, HalfWide float64
}

type recomputable struct {
	Base       int
	Confidence float64
	Rows       []row
	Indices    []index
}

type row struct {
	Replicate, First int
	Second           bool
	Kept             []bool
	Response         []float64
}

const (
	points     = 512
	confidence = 0.999
)

func check() error {
	a := answer{Sobol: map[string][]index{}, Shapley: map[string][]index{}}
	for _, part := range []func(context.Context) error{a.points, a.independent, a.dependent, a.rows, a.slopes} {
		if err := part(context.Background()); err != nil {
			return err
		}
	}
	return json.NewEncoder(os.Stdout).Encode(a)
}

// points are the first of Sobol's.
func (a *answer) points(context.Context) error {
	sobol, err := montecarlo.NewSobol(montecarlo.MaxSobolDimensions)
	if err != nil {
		return err
	}
	for i := range points {
		p := make([]float64, sobol.Dimensions())
		sobol.Point(uint64(i), p)
		a.Points = append(a.Points, p)
	}
	return nil
}

// independent is what Sobol' indices of independent inputs are.
func (a *answer) independent(ctx context.Context) error {
	for name, f := range map[string]drivers.Problem{"ishigami": functions.Ishigami(), "g": gFunction(), "force": functions.Force()} {
		for _, e := range []drivers.Estimator{drivers.SaltelliJansen, drivers.Janon} {
			r, err := drivers.Sobol(ctx, f, drivers.SobolOptions{
				Options:     drivers.Options{Seed: 1, Base: 1 << 13, Confidence: confidence},
				Estimator:   e,
				SecondOrder: e == drivers.SaltelliJansen && name != "force",
			})
			if err != nil {
				return err
			}
			a.Sobol[name] = append(a.Sobol[name], indices(r)...)
		}
	}
	return nil
}

// dependent is what Shapley effects are of five dependent inputs: of a linear response, and
// of one with a square and a product.
func (a *answer) dependent(ctx context.Context) error {
	beta := []float64{0.7, -1.2, 0.4, 0.9, 0}
	covariance := mat.NewSymDense(5, []float64{
		1.44, 0.48, -0.30, 0.00, 0.50,
		0.48, 0.64, 0.20, 0.00, 0.10,
		-0.30, 0.20, 2.25, 0.40, 0.00,
		0.00, 0.00, 0.40, 0.81, 0.30,
		0.50, 0.10, 0.00, 0.30, 1.21,
	})
	a.Gaussian = map[string][]float64{"beta": beta, "covariance": covariance.RawSymmetric().Data}
	sampler, err := drivers.NewGaussian(covariance)
	if err != nil {
		return err
	}
	linear := func(x []float64) float64 {
		var y float64
		for i, b := range beta {
			y += b * x[i]
		}
		return y
	}
	curved := func(x []float64) float64 { return x[0]*x[1] + 0.6*x[2]*x[2] + x[3] }
	for name, f := range map[string]func([]float64) float64{"linear": linear, "curved": curved} {
		p := drivers.Problem{Inputs: functions.Names(5), Sampler: sampler, NewModel: functions.RowWise(f)}
		o := drivers.Options{Seed: 2, Base: 1 << 12, Confidence: confidence}
		for _, method := range []func(context.Context, drivers.Problem, drivers.Options) (*drivers.Result, error){
			drivers.Shapley, drivers.ShapleyPermutations, drivers.FullAndIndependent,
		} {
			r, err := method(ctx, p, o)
			if err != nil {
				return err
			}
			a.Shapley[name] = append(a.Shapley[name], indices(r)...)
		}
	}
	return nil
}

// rows are the responses behind some indices, for others to compute these from.
func (a *answer) rows(ctx context.Context) error {
	a.Recomputable.Base, a.Recomputable.Confidence = 64, 0.9
	r, err := drivers.Sobol(ctx, gFunction(), drivers.SobolOptions{Options: drivers.Options{
		Seed: 3, Base: a.Recomputable.Base, Replicates: 7, Confidence: a.Recomputable.Confidence,
		Sink: func(s drivers.Sample) error {
			a.Recomputable.Rows = append(a.Recomputable.Rows, row{
				Replicate: s.Replicate, First: s.First, Second: s.Second,
				Kept: append([]bool(nil), s.Kept...), Response: append([]float64(nil), s.Response...),
			})
			return nil
		},
	}})
	if err != nil {
		return err
	}
	a.Recomputable.Indices = indices(r)
	return nil
}

// slopes are elasticities at a point.
func (a *answer) slopes(context.Context) (err error) {
	var knobs []drivers.Knob
	for i := range functions.Force().Inputs {
		a.SlopesAt = append(a.SlopesAt, 0.23+0.05*float64(i))
		knobs = append(knobs, drivers.Knob{Name: functions.Force().Inputs[i], At: a.SlopesAt[i], Reach: 0.02})
	}
	_, a.Slopes, _, err = drivers.Elasticities(func(x []float64) (float64, error) {
		in := make([][]float64, len(x)) // a block of one row
		for j := range x {
			in[j] = x[j : j+1]
		}
		var out [1]float64
		err := functions.Forces(out[:], in)
		return out[0], err
	}, knobs)
	return err
}

func timed(log2 int) error {
	if log2 < 8 || log2 > 24 {
		return fmt.Errorf("a base sample of 2^%d: want 2^8 to 2^24", log2)
	}
	start := time.Now()
	r, err := drivers.Sobol(context.Background(), functions.Force(), drivers.SobolOptions{Options: drivers.Options{Seed: 1, Base: 1 << log2 / drivers.DefaultReplicates}})
	if err != nil {
		return err
	}
	fmt.Printf("%.4f s  base 2^%d, %d evaluations\n", time.Since(start).Seconds(), log2, r.Evaluations)
	for _, name := range functions.Force().Inputs {
		first, _ := r.Index(drivers.First, name)
		total, _ := r.Index(drivers.Total, name)
		fmt.Printf("%-6s %8.4f ±%.4f %8.4f ±%.4f\n", name, first.Value, first.HalfWidth(), total.Value, total.HalfWidth())
	}
	return nil
}

func indices(r *drivers.Result) []index {
	return names.Each(r.Indices, func(i drivers.Index) index {
		return index{Kind: string(i.Kind), Groups: i.Groups, Value: i.Value, HalfWide: i.HalfWidth()}
	})
}

// A function takes inputs uniform on (0, 1).

func gFunction() drivers.Problem { return functions.G(0, 0.5, 3, 9) }
