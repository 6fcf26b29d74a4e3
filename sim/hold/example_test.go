package hold_test

import (
	"fmt"
	"log"
	"math"
	"testing"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/hold/holdtest"
	"counterpoise/sim/statics"
)

// elbowMoment is a demand that no hold of the package asks for; its oracle finds the
// joint by the name that the figure gives it.
var elbowMoment = &hold.DemandInfo{
	Name: "elbow_moment", Unit: "BW·m", Meaning: "moment at one elbow, without its sign",
	Oracle: func(s *hold.Solved) (float64, error) { return s.Moment("left elbow") },
}

// outwards is how far the forearms of wideHang lean outwards, radians.
const outwards = 0.5

// wideHang is a hold of one's own: the body hangs upright from a bar by two bent arms,
// seen from the front, the upper arms level and the forearms leaning outwards.
var wideHang = &hold.Hold{
	Name: "wide-hang", Title: "Wide hang on bent arms",
	Description: "The body hangs from a bar by two bent arms, the upper arms level, the hands wider than the elbows.",
	Plane:       "frontal, seen from the front",
	Supports:    []string{"each hand on the bar: vertical force"},
	Free:        "none",
	Models:      []hold.Model{hold.Equilibrium}, Rules: []hold.Rule{hold.Best}, LegForms: []hold.LegForm{hold.Together},
	Asks:        hold.Always(elbowMoment, hold.ShoulderMoment),
	Assumptions: hold.Always[assume.ID](),
	Solve:       hold.InEquilibrium(solveWideHang),
	Figure:      wideHangFigure,
}

func solveWideHang(out *hold.Result, b *body.Columns, _ *hold.Capacity, _ hold.Posture, _ *assume.Set) {
	elbows, shoulders := out.Column(elbowMoment), out.Column(hold.ShoulderMoment)
	for i := range b.Rows() {
		// Half the weight pulls up at the grip, the arm's parts weigh on their levers.
		aside, fore := math.Sin(outwards), b.Forearm[i]+b.Grip[i]
		elbow := (0.5*fore - b.ForearmShare[i]*b.ForearmCentre[i] - b.HandShare[i]*fore) * aside
		below := 0.5 - b.ForearmShare[i] - b.HandShare[i] // what the elbow passes on to the upper arm
		out.Allow(i, hold.NoLimit)
		elbows.Set(i, math.Abs(elbow))
		shoulders.Set(i, math.Abs(elbow+below*b.UpperArm[i]-b.UpperArmShare[i]*b.UpperArmCentre[i]))
	}
}

func wideHangFigure(b *body.Columns, i int, p hold.Posture, held *hold.Result, _ *assume.Set) (*hold.Figure, error) {
	if _, err := held.Posed(elbowMoment); err != nil {
		return nil, err
	}
	down := statics.Vec{Y: -1}
	q := hold.NewFigure(b, i, statics.Vec{}, down, 0)
	for k, side := range []string{"left", "right"} {
		way := float64(2*k - 1)
		shoulder := statics.Vec{X: way * b.ShoulderSpan[i] / 2}
		elbow := shoulder.Plus(statics.Vec{X: way * b.UpperArm[i]})
		wrist := elbow.Plus(statics.Vec{X: way * math.Sin(outwards), Y: math.Cos(outwards)}.Times(b.Forearm[i]))
		grip := q.Arm(side, shoulder, elbow, wrist, hold.Fist)
		q.Joint(side+" shoulder", shoulder, side+" upper arm")
		q.Joint(side+" elbow", elbow, side+" forearm")
		q.Support(side+" hand", grip, []string{side + " hand"}, statics.Vec{Y: 1})
		q.Edge("bar", grip, grip)
	}
	q.Legs(p.Legs, down, statics.Vec{})
	return q.Done()
}

// A hold made outside the package, with a demand of its own, solved for a drawn body.
// holdtest.Battery checks it as it checks the others.
func Example() {
	drawn, err := holdtest.Draw("ansur2-women", body.Residual, 1, assume.Defaults())
	if err != nil {
		log.Fatal(err)
	}
	result := hold.NewResult(1, wideHang.Asks(hold.Equilibrium)...)
	wideHang.Solve(result, drawn.Columns, drawn.Capacity, hold.Posture{}, hold.Equilibrium, &drawn.Assume)
	moment := result.Value[elbowMoment][0] * drawn.Mass[0] * statics.StandardGravity
	fmt.Printf("%s: %.0f N·m at each elbow of a woman of %.0f kg\n", wideHang.Title, moment, drawn.Mass[0])
	// Output: Wide hang on bent arms: 57 N·m at each elbow of a woman of 78 kg
}

func TestWideHang(t *testing.T) { holdtest.Battery(t, wideHang) }
