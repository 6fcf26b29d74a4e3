package hold_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/hold/holdtest"

	"gonum.org/v1/gonum/optimize"
)

// peak is what the best posture makes smallest at one angle and one share of the
// weight at the top hand, from the general solver.
func peak(b *holdtest.Bodies, i int, p hold.Posture, model hold.Model, angle, share float64) (float64, error) {
	held := hold.NewResult(b.Rows(), hold.ArmAngle, hold.TopShare)
	held.Allow(i, hold.NoLimit)
	held.Value[hold.ArmAngle][i], held.Value[hold.TopShare][i] = angle, share
	solved, err := b.General(hold.HumanFlag, i, p, model, held)
	if err != nil {
		return 0, err
	}
	return hold.Difficulty.Oracle(solved)
}

// Solved optima at a share that is pinned, against an independent optimiser: Nelder and
// Mead (gonum) from many starts on the general solver.
func TestOptimaAgreeWithAnIndependentOptimiser(t *testing.T) {
	random := rand.New(rand.NewPCG(8, 1))
	for trial := range 24 { // trial 15 once ended on a small step beside the minimum
		u := assume.DefaultUncertainty()
		share := 0.3 + 0.4*random.Float64()
		if err := u.Fix(assume.TopShare, share); err != nil {
			t.Fatal(err)
		}
		point := make([]float64, len(u.Free()))
		for k := range point {
			point[k] = random.Float64()
		}
		b := draw(t, sexes[trial%2], body.Residual, 3, u.At(point))
		p := hold.Posture{Tilt: []float64{0, 0, 0.12, -0.2}[trial%4], Legs: hold.LegsIn(hold.LegForm(trial%int(hold.NumLegForms)), 0.4)}
		for _, model := range hold.HumanFlag.Models {
			r := b.Solve(hold.HumanFlag, p, model)
			for i := range r.Possible {
				s, shift := math.Sin(r.Value[hold.ArmAngle][i]), math.Abs(b.ShoulderSpan[i]*math.Sin(p.Tilt)/(2*b.Arm(i)))
				low := math.Asin(math.Sin(hold.FlagLeastAngle) + shift)
				high := math.Asin(math.Sin(hold.FlagMostAngle) - shift)
				best := math.Inf(1)
				for start := low + 0.02; start < high; start += 0.2 {
					found, err := optimize.Minimize(optimize.Problem{Func: func(x []float64) float64 {
						if x[0] < low || x[0] > high {
							return 10 + math.Abs(x[0])
						}
						use, err := peak(b, i, p, model, x[0], share)
						if err != nil {
							t.Error(err)
						}
						return use
					}}, []float64{start}, &optimize.Settings{Converger: &optimize.FunctionConverge{Absolute: 1e-13, Iterations: 60}}, &optimize.NelderMead{SimplexSize: 0.05})
					if err != nil {
						t.Fatal(err)
					}
					best = math.Min(best, found.F)
				}
				got, err := peak(b, i, p, model, math.Asin(s), share)
				if err != nil {
					t.Fatal(err)
				}
				if !(math.Abs(got-best) <= 1e-8) {
					t.Errorf("trial %d, %s, row %d: the optimum found is %.10g at %.3f°, the other optimiser reached %.10g", trial, model, i, got, r.Value[hold.ArmAngle][i]*180/math.Pi, best)
				}
			}
		}
	}
}
