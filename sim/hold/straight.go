package hold

import (
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/math"
)

// rest returns the share of body mass in everything but the arms of body i, and
// its first moment about the shoulder line along a straight body, metres times
// share of body mass; the shoulders are at rest.
func rest(b *body.Columns, i int, legs reach) (share, moment float64) {
	leg := 2 * b.LegShare(i)
	return b.HeadShare[i] + b.TrunkShare[i] + leg,
		float64(b.HeadShare[i]*b.HeadCentre[i]) + float64(b.TrunkShare[i]*b.TrunkCentre[i]) + float64(leg*b.Hip[i]) + legs.moment(b, i)
}

// beyondWaist returns the first moment of everything beyond the waist about it,
// along a straight body.
func beyondWaist(b *body.Columns, i int, legs reach) float64 {
	return float64(b.LowerTrunkShare[i]*(b.LowerTrunkCentre[i]-b.Waist[i])) + float64(2*b.LegShare(i)*(b.Hip[i]-b.Waist[i])) + legs.moment(b, i)
}

// toWrist returns the length from shoulder to wrist of body i, the share of body
// mass in one arm without its hand, and that part's first moment about the
// shoulder.
func toWrist(b *body.Columns, i int) (length, share, moment float64) {
	return b.UpperArm[i] + b.Forearm[i], b.UpperArmShare[i] + b.ForearmShare[i],
		float64(b.UpperArmShare[i]*b.UpperArmCentre[i]) + float64(b.ForearmShare[i]*(b.UpperArm[i]+b.ForearmCentre[i]))
}

// levelColumns is what a level body is asked for that two straight arms hold up.
type levelColumns struct{ moments, leans, between, force, waists, hips Column }

func levelColumnsOf(out *Result) levelColumns {
	return levelColumns{out.Column(ShoulderMoment), out.Column(LeanAngle), out.Column(ArmTrunkAngle),
		out.Column(RequiredForce), out.Column(WaistMoment), out.Column(HipMoment)}
}

// set writes the row of a body whose arms lean by an angle; moment is what rest says.
func (c *levelColumns) set(b *body.Columns, i int, moment, lean, waist float64, legs reach) {
	c.moments.Set(i, math.Abs(moment))
	c.leans.Set(i, lean)
	c.between.Set(i, math.Pi/2-lean)
	c.force.Set(i, 0.5*math.Cos(lean))
	c.waists.Set(i, math.Abs(waist))
	c.hips.Set(i, legs.moment(b, i))
}

// flatHands returns how far ahead of the wrists the floor pushes hands that lie flat,
// metres, and the first moment of both about the wrists.
func flatHands(b *body.Columns, i int, a *assume.Set) (press, moment float64) {
	return float64(a[assume.PressureReach] * b.Palm[i]), float64(2 * b.HandShare[i] * b.HandCentre[i])
}

// onFlatHand is what the elbow and the wrist of one arm must give, BW·m, whose flat hand
// carries half the weight and whose wrist lies at a distance to the right of the elbow, at
// the end of a straight arm.
func onFlatHand(b *body.Columns, i int, press, wristAhead float64) (elbow, wrist float64) {
	wristAhead = float64(wristAhead)
	onHand, hand := wristAhead+press, wristAhead+b.HandCentre[i]
	elbow = float64(0.5*onHand) - float64(b.HandShare[i]*hand) - float64(b.ForearmShare[i]*b.ForearmCentre[i]/b.Forearm[i]*wristAhead)
	return elbow, float64(0.5*press) - float64(b.HandShare[i]*b.HandCentre[i])
}

// WristsUnknown is why nobody knows what wrists can give that are bent back under flat
// hands, and how far they go.
const WristsUnknown = "the strength of wrists bent back under flat hands was never measured; " +
	"beyond about a right angle no wrist bends (common practice): hands are turned aside or backwards, or hold bars"

var (
	legsTogether = []LegForm{Together}
	everyLegForm = []LegForm{Together, Straddle, OneLeg, AdvancedTuck, Tuck}
)

// Complete completes a hold that statics alone decides, with one model and no choice of
// posture. It asks for what its uses make besides the demands, and rests on the strengths
// of its uses besides the assumptions.
func Complete(h *Hold, solve EquilibriumSolve, uses []Use, asks []Demand, assumptions ...assume.ID) *Hold {
	h.Models, h.Rules, h.Solve, h.Uses = []Model{Equilibrium}, []Rule{Best}, InEquilibrium(solve), Always(uses...)
	h.Asks, h.Assumptions = Always(withUses(uses, asks...)...), Always(strengths(uses, assumptions...)...)
	return h
}

// Always returns the same list under every model.
func Always[T any](list ...T) func(Model) []T { return func(Model) []T { return list } }

// AngleOf returns the angle of a sine, or refuses the row where no angle has it.
func (r *Result) AngleOf(row int, sine float64) (angle float64, ok bool) {
	if !(sine >= -1 && sine <= 1) {
		r.Refuse(row)
		return 0, false
	}
	return math.Asin(sine), true
}

// SlopeOf returns the slope γ, short of the vertical, of a body whose end lies x along
// it and y across it from a point that is higher by rise: x·sin γ − y·cos γ = rise. It
// refuses the row where there is none.
func (r *Result) SlopeOf(row int, x, y, rise float64) (slope float64, ok bool) {
	slope, ok = r.AngleOf(row, rise/math.Hypot(x, y))
	if slope += math.Atan2(y, x); ok && !(math.Abs(slope) < math.Pi/2) {
		r.Refuse(row)
		ok = false
	}
	return slope, ok
}

// EquilibriumSolve is a Solve that knows no other model.
type EquilibriumSolve func(out *Result, b *body.Columns, capacity *Capacity, p Posture, a *assume.Set)

// InEquilibrium makes a hold's Solve of what solves it in equilibrium; see Carrying.
func InEquilibrium(solve EquilibriumSolve) func(*Result, *body.Columns, *Capacity, Posture, Model, *assume.Set) {
	return Carrying(func(out *Result, b *body.Columns, capacity *Capacity, p Posture, model Model, a *assume.Set) {
		if model != Equilibrium {
			panic("hold: the hold has no such model")
		}
		solve(out, b, capacity, p, a)
	})
}
