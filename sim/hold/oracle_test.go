package hold_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/statics"

	"gonum.org/v1/gonum/optimize"
)

// general solves body i at one angle by the general solver and returns the
// demands of the equilibrium model, and the force of the two-condition model
// from the centre of mass and the hands alone, in body weights.
func general(t *testing.T, b *block, i int, p hold.Posture, angle float64) (map[hold.Demand]float64, float64) {
	t.Helper()
	held := hold.NewResult(1, hold.ArmAngle)
	held.Possible[0], held.Value[hold.ArmAngle][0] = true, angle
	q, err := hold.HumanFlag.Figure(b.bodies, i, p, held, &b.assume)
	if err != nil {
		t.Fatal(err)
	}
	sol, err := q.System.Solve()
	if err != nil {
		t.Fatal(err)
	}
	weight := b.bodies.Mass[i] * statics.StandardGravity
	joint := func(name string) float64 {
		m, err := q.Moment(sol, name)
		if err != nil {
			t.Fatal(err)
		}
		return m / weight
	}
	unit := func(from, to statics.Vec) statics.Vec {
		d := to.Minus(from)
		return d.Times(1 / d.Length())
	}
	at := func(joint string) statics.Vec {
		for _, j := range q.Joints {
			if j.Name == joint {
				return j.At
			}
		}
		t.Fatalf("no joint %s", joint)
		return statics.Vec{}
	}
	hand := func(support string) (at, force statics.Vec) {
		force, err := q.Force(sol, support)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range q.Supports {
			if s.Name == support {
				at = s.At
			}
		}
		return at, force.Times(1 / weight)
	}
	topShoulder, bottomShoulder := at(hold.JointTopShoulder), at(hold.JointBottomShoulder)
	topHand, top := hand(hold.SupportTopHand)
	bottomHand, bottom := hand(hold.SupportBottomHand)
	d := map[hold.Demand]float64{
		hold.AxialTop:        top.Dot(unit(topShoulder, topHand)),
		hold.AxialBottom:     bottom.Dot(unit(bottomHand, bottomShoulder)),
		hold.HorizontalForce: -top.X,
		hold.HandSpacing:     topHand.Y - bottomHand.Y,
		// What a joint must give the part beyond it is the other way round than
		// what loads it; on top the adductors turn the arm clockwise as drawn.
		hold.ShoulderMomentTop:    -joint(hold.JointTopShoulder),
		hold.ShoulderMomentBottom: -joint(hold.JointBottomShoulder),
		hold.WaistMoment:          joint(hold.JointWaist),
		hold.HipMoment:            joint(hold.JointHips),
	}
	d[hold.RequiredForce] = max(d[hold.AxialTop], d[hold.AxialBottom])
	// Two conditions: equal forces along the arms lift the body, and turn it
	// about either hand as much as its weight does.
	lift := 1 / (unit(topShoulder, topHand).Y + unit(bottomHand, bottomShoulder).Y)
	x := q.System.CentreOfMass().X
	turn := 0.0
	for _, hand := range []struct{ at, other, shoulder statics.Vec }{{topHand, bottomHand, bottomShoulder}, {bottomHand, topHand, topShoulder}} {
		lever := math.Abs(hand.other.Minus(hand.at).Cross(unit(hand.other, hand.shoulder)))
		turn = max(turn, x/lever)
	}
	return d, max(lift, turn)
}

// The closed forms agree with the general solver to 1e-9 over thousands of
// bodies in random postures, at random assumptions.
func TestKernelsAgreeWithTheGeneralSolver(t *testing.T) {
	random := rand.New(rand.NewPCG(2, 7))
	const rows = 250
	checked := 0
	for trial := range 16 {
		u := assume.DefaultUncertainty()
		point := make([]float64, len(u.Free()))
		for k := range point {
			point[k] = random.Float64()
		}
		b := draw(t, sexes[trial%2], body.Masses(trial%3), rows, u.At(point))
		p := hold.Posture{Rule: hold.GivenAngle, Angle: make([]float64, rows), Tilt: 0.5*random.Float64() - 0.25}
		form := hold.LegForm(trial % int(hold.NumLegForms))
		p.Legs = hold.LegsIn(form, 0.2+0.7*random.Float64())
		for i := range p.Angle {
			p.Angle[i] = 0.2 + 1.1*random.Float64()
		}
		exact, two := b.solve(p, hold.Equilibrium), b.solve(p, hold.TwoCondition)
		for i := range p.Angle {
			if !exact.Possible[i] {
				continue
			}
			checked++
			want, force := general(t, b, i, p, p.Angle[i])
			for d, w := range want {
				if got := exact.Value[d][i]; math.Abs(got-w) > 1e-9 {
					t.Fatalf("legs %s, tilt %.3f, row %d: %s is %.12g, the general solver says %.12g", form, p.Tilt, i, d, got, w)
				}
			}
			if got := two.Value[hold.RequiredForce][i]; math.Abs(got-force) > 1e-9 {
				t.Fatalf("legs %s, tilt %.3f, row %d: two-condition force %.12g, the general geometry says %.12g", form, p.Tilt, i, got, force)
			}
			for _, d := range []hold.Demand{hold.WaistMoment, hold.HipMoment} {
				if got := two.Value[d][i]; math.Abs(got-want[d]) > 1e-9 {
					t.Fatalf("row %d: %s under two-condition is %.12g, want %.12g", i, d, got, want[d])
				}
			}
		}
	}
	if checked < 3000 {
		t.Errorf("only %d bodies could be checked", checked)
	}
}

// peak is what the best posture makes smallest, from the general solver.
func peak(t *testing.T, b *block, i int, p hold.Posture, model hold.Model, angle float64) float64 {
	d, force := general(t, b, i, p, angle)
	if model == hold.TwoCondition {
		return force
	}
	c := b.capacity
	top, bottom := d[hold.ShoulderMomentTop], d[hold.ShoulderMomentBottom]
	return max(d[hold.AxialTop]/c.Axial[i], d[hold.AxialBottom]/c.Axial[i],
		top/c.Adduction[i], -top/c.Abduction[i], bottom/c.Abduction[i], -bottom/c.Adduction[i])
}

// Solved optima against an independent optimiser: Nelder and Mead (gonum) from
// many starts on the general solver.
func TestOptimaAgreeWithAnIndependentOptimiser(t *testing.T) {
	random := rand.New(rand.NewPCG(8, 1))
	for trial := range 24 { // trial 15 once ended on a small step beside the minimum
		u := assume.DefaultUncertainty()
		if err := u.Fix(assume.AngleSlope, 0); err != nil { // peak knows nothing of it
			t.Fatal(err)
		}
		point := make([]float64, len(u.Free()))
		for k := range point {
			point[k] = random.Float64()
		}
		b := draw(t, sexes[trial%2], body.Residual, 3, u.At(point))
		p := hold.Posture{Tilt: []float64{0, 0, 0.12, -0.2}[trial%4], Legs: hold.LegsIn(hold.LegForm(trial%int(hold.NumLegForms)), 0.4)}
		for _, model := range hold.HumanFlag.Models {
			r := b.solve(p, model)
			for i := range r.Possible {
				s, shift := math.Sin(r.Value[hold.ArmAngle][i]), math.Abs(b.bodies.ShoulderSpan[i]*math.Sin(p.Tilt)/(2*b.bodies.Arm(i)))
				low := math.Asin(math.Sin(hold.FlagLeastAngle) + shift)
				high := math.Asin(math.Sin(hold.FlagMostAngle) - shift)
				best := math.Inf(1)
				for start := low + 0.02; start < high; start += 0.2 {
					found, err := optimize.Minimize(optimize.Problem{Func: func(x []float64) float64 {
						if x[0] < low || x[0] > high {
							return 10 + math.Abs(x[0])
						}
						return peak(t, b, i, p, model, x[0])
					}}, []float64{start}, &optimize.Settings{Converger: &optimize.FunctionConverge{Absolute: 1e-13, Iterations: 60}}, &optimize.NelderMead{SimplexSize: 0.05})
					if err != nil {
						t.Fatal(err)
					}
					best = math.Min(best, found.F)
				}
				got := peak(t, b, i, p, model, math.Asin(s))
				if math.Abs(got-best) > 1e-8 {
					t.Errorf("trial %d, %s, row %d: the optimum found is %.10g at %.3f°, the other optimiser reached %.10g", trial, model, i, got, r.Value[hold.ArmAngle][i]*180/math.Pi, best)
				}
			}
		}
	}
}
