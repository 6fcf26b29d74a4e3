package hold

import (
	"math"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
)

// rest returns the share of body mass in everything but the arms of body i, and
// its first moment about the shoulder line along a straight body, metres times
// share of body mass; the shoulders are at rest.
func rest(b *body.Columns, i int, legs reach) (share, moment float64) {
	leg := 2 * b.LegShare(i)
	return b.HeadShare[i] + b.TrunkShare[i] + leg,
		b.HeadShare[i]*b.HeadCentre[i] + b.TrunkShare[i]*b.TrunkCentre[i] + leg*b.Hip[i] + legs.moment(b, i)
}

// beyondWaist returns the first moment of everything beyond the waist about it,
// along a straight body.
func beyondWaist(b *body.Columns, i int, legs reach) float64 {
	return b.LowerTrunkShare[i]*(b.LowerTrunkCentre[i]-b.Waist[i]) + 2*b.LegShare(i)*(b.Hip[i]-b.Waist[i]) + legs.moment(b, i)
}

// toWrist returns the length from shoulder to wrist of body i, the share of body
// mass in one arm without its hand, and that part's first moment about the
// shoulder.
func toWrist(b *body.Columns, i int) (length, share, moment float64) {
	return b.UpperArm[i] + b.Forearm[i], b.UpperArmShare[i] + b.ForearmShare[i],
		b.UpperArmShare[i]*b.UpperArmCentre[i] + b.ForearmShare[i]*(b.UpperArm[i]+b.ForearmCentre[i])
}

// The muscles that draw a straight arm down before the trunk (extension) are
// taken to be as strong as the adductors; those that lift it forward (flexion)
// have the part of that which assume.FlexionShare says.
func extensors(capacity *Capacity, i int, _ *assume.Set) float64 { return capacity.Adduction[i] }

func flexors(capacity *Capacity, i int, a *assume.Set) float64 {
	return a[assume.FlexionShare] * capacity.Adduction[i]
}

// What holds that statics alone decides have in common: one model, and no
// choice of posture.
var (
	equilibriumOnly = []Model{Equilibrium}
	balanced        = []Rule{Best}
	legsTogether    = []LegForm{Together}
	everyLegForm    = []LegForm{Together, Straddle, OneLeg, AdvancedTuck, Tuck}
)

// always returns the same list under every model.
func always[T any](list ...T) func(Model) []T { return func(Model) []T { return list } }

// angleOf returns the angle of a sine, or refuses the row where no angle has it.
func angleOf(out *Result, i int, sine float64) (angle float64, ok bool) {
	if !(sine >= -1 && sine <= 1) {
		out.refuse(i)
		return 0, false
	}
	return math.Asin(sine), true
}

// solveRows makes a hold's Solve of what it asks of one body.
func solveRows(row func(out *Result, b *body.Columns, capacity *Capacity, i int, p Posture, a *assume.Set)) func(*Result, *body.Columns, *Capacity, Posture, Model, *assume.Set) {
	return func(out *Result, b *body.Columns, capacity *Capacity, p Posture, model Model, a *assume.Set) {
		if model != Equilibrium {
			panic("hold: the hold has no such model")
		}
		for i := range b.Rows() {
			row(out, b, capacity, i, p, a)
		}
	}
}
