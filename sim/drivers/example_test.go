package drivers_test

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"counterpoise/sim/drivers"
)

// The load on a shelf bracket: weight times reach. Tall shelves are deep, too, so
// reach goes with height; the colour is just a number. Height is not read by
// the model, but its effect is not 0: it tells something about reach. That its
// independent total index is 0 says that it does nothing beyond.
func ExampleShapley() {
	scores := mat.NewSymDense(4, []float64{
		1, 0, 0, 0, // weight
		0, 1, 0.7, 0, // reach
		0, 0.7, 1, 0, // height
		0, 0, 0, 1, // colour
	})
	sampler, err := drivers.NewGaussian(scores)
	if err != nil {
		fmt.Println(err)
		return
	}
	problem := drivers.Problem{
		Inputs:  []string{"weight", "reach", "height", "colour"},
		Sampler: sampler,
		NewModel: func() drivers.Model {
			return func(out []float64, in [][]float64) error {
				weight, reach := in[0], in[1]
				for i := range out {
					// From scores to newtons and metres.
					w := 100 * math.Exp(0.2*weight[i])
					r := 0.4 + 0.05*reach[i]
					out[i] = w * r
				}
				return nil
			}
		},
	}
	options := drivers.Options{Seed: 1, Until: 0.005, MaxEvaluations: 10_000_000}
	shares, err := drivers.Shapley(context.Background(), problem, options)
	if err != nil {
		fmt.Println(err)
		return
	}
	beyond, err := drivers.FullAndIndependent(context.Background(), problem, options)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, name := range problem.Inputs {
		share, _ := shares.Index(drivers.ShapleyEffect, name)
		total, _ := beyond.Index(drivers.IndependentTotal, name)
		fmt.Printf("%-6s  share %.2f  beyond what the others tell %.2f\n", name, share.Value, total.Value)
	}
	fmt.Println("every half-width below 0.005:", shares.Reached && beyond.Reached)
	// Output:
	// weight  share 0.72  beyond what the others tell 0.73
	// reach   share 0.21  beyond what the others tell 0.14
	// height  share 0.07  beyond what the others tell 0.00
	// colour  share 0.00  beyond what the others tell 0.00
	// every half-width below 0.005: true
}

// Which of three independent inputs of the function of Ishigami and Homma
// (1990) matter, alone and in all.
func ExampleSobol() {
	problem := drivers.Problem{
		Inputs:  []string{"a", "b", "c"},
		Sampler: drivers.Uniform(3),
		NewModel: func() drivers.Model {
			return func(out []float64, in [][]float64) error {
				for i := range out {
					angle := func(column int) float64 { return math.Pi * (2*in[column][i] - 1) }
					a, b, c := angle(0), angle(1), angle(2)
					out[i] = math.Sin(a) + 7*math.Pow(math.Sin(b), 2) + 0.1*math.Pow(c, 4)*math.Sin(a)
				}
				return nil
			}
		},
	}
	r, err := drivers.Sobol(context.Background(), problem, drivers.SobolOptions{Options: drivers.Options{Seed: 1}})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, name := range problem.Inputs {
		first, _ := r.Index(drivers.First, name)
		total, _ := r.Index(drivers.Total, name)
		fmt.Printf("%s  first %.3f ± %.3f  total %.3f ± %.3f\n", name, first.Value, first.HalfWidth(), total.Value, total.HalfWidth())
	}
	// Output:
	// a  first 0.317 ± 0.005  total 0.556 ± 0.003
	// b  first 0.442 ± 0.003  total 0.441 ± 0.003
	// c  first 0.005 ± 0.005  total 0.244 ± 0.003
}

func ExampleElasticities() {
	// The sag of a square bar's end: load × length³ / (modulus × thickness⁴), times 4.
	sag := func(x []float64) (float64, error) {
		load, length, thickness := x[0], x[1], x[2]
		return 4 * load * math.Pow(length, 3) / (70e9 * math.Pow(thickness, 4)), nil
	}
	value, slopes, _, err := drivers.Elasticities(sag, []drivers.Knob{
		{Name: "load", At: 200}, {Name: "length", At: 0.8}, {Name: "thickness", At: 0.02},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("sag %.1f mm\n", 1e3*value)
	for _, s := range slopes {
		fmt.Printf("1 %% more %s: %+.3f %%\n", s.Name, s.Elasticity)
	}
	// Output:
	// sag 36.6 mm
	// 1 % more load: +1.000 %
	// 1 % more length: +3.000 %
	// 1 % more thickness: -4.000 %
}

func ExampleMorris() {
	ranges := []drivers.Range{{Name: "speed", Low: 1, High: 3}, {Name: "slope", Low: -1, High: 1}, {Name: "wind", Low: 0, High: 5}}
	model := func() drivers.Model {
		return func(out []float64, in [][]float64) error {
			for i := range out {
				out[i] = 4*in[0][i] + 2*in[0][i]*in[1][i] + 0.01*in[2][i]
			}
			return nil
		}
	}
	effects, evaluations, err := drivers.Morris(context.Background(), ranges, model, drivers.MorrisOptions{Seed: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, e := range effects {
		fmt.Printf("%s: matters by %.2f, varies by %.2f\n", e.Name, e.Absolute.Value, e.Deviation)
	}
	fmt.Println(evaluations, "evaluations")
	// Output:
	// speed: matters by 8.13, varies by 3.08
	// slope: matters by 7.38, varies by 2.82
	// wind: matters by 0.05, varies by 0.00
	// 256 evaluations
}
