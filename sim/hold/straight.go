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

// muscles is what the muscles of one shoulder of body i can give, BW·m. Those that
// draw a straight arm down before the trunk (extension) are taken to be as strong
// as the adductors; those that lift it forward (flexion) have the part of that
// which assume.FlexionShare says.
type muscles func(capacity *Capacity, i int, a *assume.Set) float64

// both is what both shoulders of one body can give.
func (m muscles) both(s *Solved) float64 { return 2 * m(s.Capacity, 0, s.Assume) }

// axially is what one arm can pull or push along its line.
func axially(s *Solved) float64 { return s.Capacity.Axial[0] }

func extensors(capacity *Capacity, i int, _ *assume.Set) float64 { return capacity.Adduction[i] }

func flexors(capacity *Capacity, i int, a *assume.Set) float64 {
	return a[assume.FlexionShare] * capacity.Adduction[i]
}

// heldLevel solves a level body that two straight arms hold up by the given muscles
// of each shoulder, and whose balance is in the sine of the arms' lean. share and
// moment are what rest says.
func heldLevel(muscles muscles, sine func(b *body.Columns, i int, share, moment float64, a *assume.Set) float64) EquilibriumSolve {
	return func(out *Result, b *body.Columns, capacity *Capacity, p Posture, a *assume.Set) {
		moments, difficulty, leans, between := out.Column(ShoulderMoment), out.Column(Difficulty), out.Column(LeanAngle), out.Column(ArmTrunkAngle)
		force, waists, hips := out.Column(RequiredForce), out.Column(WaistMoment), out.Column(HipMoment)
		legs := p.Legs.reach()
		for i := range b.Rows() {
			share, moment := rest(b, i, legs)
			lean, ok := out.AngleOf(i, sine(b, i, share, moment, a))
			if !ok {
				continue
			}
			out.Allow(i, LimitShoulders)
			moments.Set(i, math.Abs(moment))
			difficulty.Set(i, math.Abs(moment)/(2*muscles(capacity, i, a)))
			leans.Set(i, lean)
			between.Set(i, math.Pi/2-lean)
			force.Set(i, 0.5*math.Cos(lean))
			waists.Set(i, beyondWaist(b, i, legs))
			hips.Set(i, legs.moment(b, i))
		}
	}
}

// flatHands returns how far ahead of the wrists the floor pushes hands that lie flat,
// metres, and the first moment of both about the wrists.
func flatHands(b *body.Columns, i int, a *assume.Set) (press, moment float64) {
	return a[assume.PressureReach] * b.Palm[i], 2 * b.HandShare[i] * b.HandCentre[i]
}

// fillWrists fills the moments at the wrists of the bodies that stand on flat hands
// alone.
func fillWrists(out *Result, b *body.Columns, a *assume.Set) {
	wrists := out.Column(WristMoment)
	if wrists == nil {
		return
	}
	for i, possible := range out.Possible[:b.Rows()] {
		if possible {
			press, hands := flatHands(b, i, a)
			wrists[i] = math.Abs(press - hands)
		}
	}
}

// What holds that statics alone decides have in common: one model, and no
// choice of posture.
var (
	equilibriumOnly = []Model{Equilibrium}
	balanced        = []Rule{Best}
	legsTogether    = []LegForm{Together}
	everyLegForm    = []LegForm{Together, Straddle, OneLeg, AdvancedTuck, Tuck}
)

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

// InEquilibrium makes a hold's Solve of what solves it in equilibrium.
func InEquilibrium(solve EquilibriumSolve) func(*Result, *body.Columns, *Capacity, Posture, Model, *assume.Set) {
	return func(out *Result, b *body.Columns, capacity *Capacity, p Posture, model Model, a *assume.Set) {
		if model != Equilibrium {
			panic("hold: the hold has no such model")
		}
		solve(out, b, capacity, p, a)
	}
}
