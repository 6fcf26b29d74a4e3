package hold

import (
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold/internal/pole"
	"counterpoise/sim/math"
	"counterpoise/sim/muscle"
)

// The arms' angles with the pole that the human flag allows.
const (
	FlagLeastAngle = pole.LeastAngle
	FlagMostAngle  = pole.MostAngle
)

// flagShoulder is the angle between arm and trunk at which the shoulders' strength is
// taken, whatever the angle θ of the arms: it is 90° + θ. The published curves are flat
// enough: with the strength at the posture's own angle the best θ moves by 2° and the
// difficulty by 0.3 % (TestShouldersAtTheirOwnAngle).
const flagShoulder = 3 * math.Pi / 4

// HumanFlag is the side hold on a vertical pole: the frontal plane, the pole
// the line x = 0, the body leaving it level or tilted, both arms straight.
var HumanFlag = &Hold{
	Name:  "human-flag",
	Title: "Human flag",
	Description: "The body held out sideways from a vertical pole by two straight arms: " +
		"the upper hand pulls, the lower hand pushes.",
	Plane: "frontal, seen from the front; the pole is vertical",
	Supports: []string{
		"top hand on the pole: horizontal and vertical force, no couple",
		"bottom hand on the pole: horizontal and vertical force, no couple",
	},
	Free: "angle of the arms with the pole, 10 to 80 degrees each; under equilibrium also the share of the weight on the top hand, 0 to 1",
	LeavesOut: []string{
		"couples at the hands, from friction",
		"twist about the pole, and bent legs leaving the plane",
		"slightly bent elbows, and shoulder blades that give way",
		"the strength of a straight arm under a pull, which was never measured; a pull that is not quite along the arm",
		"how the shoulders' strength varies with the angle of the arms",
	},
	Models:     []Model{TwoCondition, Equilibrium},
	LegForms:   []LegForm{Together, Straddle, OneLeg, AdvancedTuck, Tuck},
	Rules:      []Rule{Best, GivenAngle, GivenSpacing},
	LeastAngle: FlagLeastAngle, MostAngle: FlagMostAngle,
	Tilts:       true,
	Asks:        flagAsks,
	Assumptions: flagAssumptions,
	Solve:       Carrying(solveFlag),
	Uses:        flagUses,
	Parts:       flagParts,
	PartsOf:     CarryingParts(flagPartsOf),
	Figure:      flagFigure,
	PlacedBy:    []Demand{TopShare},
}

// What the flag asks for and rests on, by model.
var (
	flagDemands = [NumModels][]Demand{
		TwoCondition: {RequiredForce, ArmAngle, HandSpacing, WaistMoment, HipMoment, Difficulty},
		Equilibrium: withUses(flagMuscles, RequiredForce, ArmAngle, HandSpacing, WaistMoment, HipMoment, AxialTop, AxialBottom, HorizontalForce,
			TopShare, FrictionTop, FrictionBottom, ShoulderMoment, ShoulderMomentTop, ShoulderMomentBottom, ElbowMoment, WristMoment, GripForce),
	}
	flagRests = [NumModels][]assume.ID{
		TwoCondition: {assume.StrengthByMass, assume.StrengthByStature, assume.StrengthByAge},
		Equilibrium:  strengths(flagMuscles, assume.TopShare),
	}
)

func flagAsks(m Model) []Demand { return flagDemands[m] }

func flagAssumptions(m Model) []assume.ID { return flagRests[m] }

func flagUses(m Model) []Use {
	if m == TwoCondition {
		return nil
	}
	return flagMuscles
}

// flagMuscles are the uses of the flag: first those of capacities that its posture
// shares out, in their order there, then those that it does not change.
var flagMuscles = []Use{
	pole.PullTop: {Group: muscle.Grip, Side: muscle.Top, Load: oneWay(axialTop, 1, 1), AngleOf: topArmAngle,
		Note: "of the pull along the arm, at its angle with the pole"},
	pole.AbductTop:    {Group: muscle.ShoulderAbduction, Side: muscle.Top, Angle: At(flagShoulder), Load: oneWay(momentAt(JointTopShoulder, -1), -1, 1)},
	pole.AbductBottom: {Group: muscle.ShoulderAbduction, Side: muscle.Bottom, Angle: At(flagShoulder), Load: oneWay(momentAt(JointBottomShoulder, -1), 1, 1)},
	pole.PushBottom:   {Group: muscle.ArmPush, Side: muscle.Bottom, Angle: At(0), Load: oneWay(axialBottom, 1, 1)},
	pole.AdductTop:    {Group: muscle.ShoulderAdduction, Side: muscle.Top, Angle: At(flagShoulder), Load: oneWay(momentAt(JointTopShoulder, -1), 1, 1)},
	pole.AdductBottom: {Group: muscle.ShoulderAdduction, Side: muscle.Bottom, Angle: At(flagShoulder), Load: oneWay(momentAt(JointBottomShoulder, -1), -1, 1)},
	flagWaist:         {Group: muscle.WaistSideways, Angle: At(0), Load: size(momentAt(JointWaist, 1), 1)},
	flagElbowTop:      {Group: muscle.ElbowFlexion, Side: muscle.Top, Angle: At(0), Load: atOne("top", " forearm"), Reported: true, Note: ElbowSideways},
	flagElbowBottom: {Group: muscle.ElbowFlexion, Side: muscle.Bottom, Angle: At(0), Load: atOne("bottom", " forearm"), Reported: true,
		Note: ElbowSideways},
}

// The uses of the flag that follow those which its posture shares out.
const (
	flagWaist = pole.NumUses + iota
	flagElbowTop
	flagElbowBottom
	numFlagUses
)

// ElbowSideways is what bears straight elbows that are seen from the front.
const ElbowSideways = "the load bends the elbow sideways: its ligaments carry it, and its flexors only where the arm is turned"

func flagParts(m Model) []string {
	if m == TwoCondition {
		return []string{"lift", "turning"}
	}
	return []string{"arms", "shoulders", "waist"}
}

// solveFlag is HumanFlag.Solve.
func solveFlag(out *Result, b *body.Columns, capacity *Capacity, p Posture, model Model, a *assume.Set) {
	can := capacity.ofFlag()
	solveFlagWith(out, b, &can, capacity, p, model, a)
}

// solveFlagWith is solveFlag with capacities of arms and shoulders that may differ from
// side to side.
func solveFlagWith(out *Result, b *body.Columns, can *pole.Capacity, capacity *Capacity, p Posture, model Model, a *assume.Set) {
	columns := flagColumnsOf(out, b, stanceOf(p, a))
	if model == Equilibrium {
		columns.judge = NewJudge(out, flagMuscles, capacity, p, a)
	}
	solve := func(i int) { columns.solve(can, capacity.Relative[i], i, p, model) }
	switch level := p.Rule == Best && p.Tilt == 0; {
	case level && model == TwoCondition:
		var t pole.Tile
		for from := 0; from < b.Rows(); {
			next := t.Turn(b, from, &columns.stance)
			columns.turned(capacity.Relative, from, &t)
			for i := from; i < next; i++ {
				if sine, sure := t.Sine(i - from); !sure {
					solve(i)
				} else if columns.share != nil { // for a figure, which is in equilibrium
					f := pole.Of(b, can, i, &columns.stance)
					columns.share[i] = f.ShareAt(sine)
				}
			}
			from = next
		}
	case level && model == Equilibrium && columns.stance.Least < columns.stance.Most:
		var t pole.Shares
		var held pole.Held
		for from := 0; from < b.Rows(); {
			next := t.Share(b, can, from, &columns.stance)
			for i := from; i < next; i++ {
				if t.Hold(&held, i-from, can, i) {
					columns.shared(i, &held)
				} else {
					solve(i)
				}
			}
			from = next
		}
	default:
		for i := range b.Rows() {
			solve(i)
		}
	}
	columns.fillTrunk()
}

// stanceOf is what a posture gives of a flag.
func stanceOf(p Posture, a *assume.Set) pole.Stance {
	legs := p.Legs.reach()
	at := pole.Stance{Cos: math.Cos(p.Tilt), Sin: math.Sin(p.Tilt), Thigh: legs.thigh, Shank: legs.shank, Most: 1}
	if share, pinned := a.Pinned(assume.TopShare); pinned {
		at.Least, at.Most = share, share
	}
	return at
}

// flagColumns is what a flag is asked for, but for the moments of fillTrunk.
type flagColumns struct {
	*Result
	judge  Judge // in equilibrium
	b      *body.Columns
	stance pole.Stance

	angle, spacing, force, difficulty, axialTop, axialBottom, horizontal Column
	share, frictionTop, frictionBottom, moment, momentTop, momentBottom  Column
	elbow, wrist, grip, waist, hip                                       Column
}

func flagColumnsOf(out *Result, b *body.Columns, stance pole.Stance) flagColumns {
	return flagColumns{
		Result: out, b: b, stance: stance,
		angle: out.Column(ArmAngle), spacing: out.Column(HandSpacing), force: out.Column(RequiredForce), difficulty: out.Column(Difficulty),
		axialTop: out.Column(AxialTop), axialBottom: out.Column(AxialBottom), horizontal: out.Column(HorizontalForce),
		share: out.Column(TopShare), frictionTop: out.Column(FrictionTop), frictionBottom: out.Column(FrictionBottom),
		moment: out.Column(ShoulderMoment), momentTop: out.Column(ShoulderMomentTop), momentBottom: out.Column(ShoulderMomentBottom),
		elbow: out.Column(ElbowMoment), wrist: out.Column(WristMoment), grip: out.Column(GripForce),
		waist: out.Column(WaistMoment), hip: out.Column(HipMoment),
	}
}

// solve solves body i.
func (out *flagColumns) solve(can *pole.Capacity, relative float64, i int, p Posture, model Model) {
	f := pole.Of(out.b, can, i, &out.stance)
	low, high := f.Domain()
	var s float64 // the mean of the sines of the two arms' angles
	possible := low <= high
	switch {
	case !possible:
	case p.Rule == GivenAngle:
		s = math.Sin(p.Angle[i])
	case p.Rule == GivenSpacing:
		s, possible = f.SineAt(p.Spacing[i], low, high)
	default:
		s = f.Best(model == TwoCondition, low, high)
	}
	if !possible || !within(s, low, high) {
		out.Refuse(i)
		return
	}
	if model == Equilibrium {
		held := f.Hold(s)
		out.shared(i, &held)
		return
	}
	angle, spacing, force, lift := f.Turned(s)
	limit := LimitTurning
	if lift {
		limit = LimitLift
	}
	out.Allow(i, limit)
	out.angle.Set(i, angle)
	out.spacing.Set(i, spacing)
	out.force.Set(i, force)
	out.difficulty.Set(i, force/relative)
	if out.share != nil { // for a figure, which is in equilibrium
		out.share[i] = f.ShareAt(s)
	}
}

// within reports whether a mean sine is in the range. A posture given to within rounding of
// its end is at its end.
func within(s, low, high float64) bool {
	const slack = 1e-12
	return s >= low-slack && s <= high+slack
}

// turned writes the postures of a tile under two conditions, the lift of which does not decide.
func (out *flagColumns) turned(relative []float64, from int, t *pole.Tile) {
	forces := t.Forces()
	to := from + len(forces)
	possible, limit := out.Possible[from:to], out.Limit[from:to]
	limit = limit[:len(possible)]
	for k := range possible {
		possible[k], limit[k] = true, LimitTurning
	}
	if out.force != nil {
		copy(out.force[from:to], forces)
	}
	if out.difficulty != nil {
		column, relative := out.difficulty[from:to], relative[from:to]
		column, relative = column[:len(forces)], relative[:len(forces)]
		for k, force := range forces {
			column[k] = force / relative[k]
		}
	}
	if out.spacing != nil {
		copy(out.spacing[from:to], t.Spacings())
	}
	if out.angle != nil {
		t.Angles(out.angle[from:to])
	}
}

// fillTrunk fills the moments about the waist and the hips of the bodies that
// take the posture, whatever the angle of their arms.
func (out *flagColumns) fillTrunk() {
	if out.waist == nil && out.hip == nil {
		return
	}
	for i, possible := range out.Possible[:out.b.Rows()] {
		if possible {
			out.hip.Set(i, out.stance.Cos*out.b.LegsMoment(i, out.stance.Thigh, out.stance.Shank))
			out.waist.Set(i, out.waistOf(i))
		}
	}
}

// waistOf returns the moment at the waist of body i.
func (out *flagColumns) waistOf(i int) float64 {
	return out.stance.Cos * beyondWaist(out.b, i, reach{out.stance.Thigh, out.stance.Shank})
}

// flagPartsOf is HumanFlag.PartsOf: the two conditions in body weights, or the
// shares of the arms', of the shoulders' and of the waist's capacities that are used.
func flagPartsOf(b *body.Columns, capacity *Capacity, i int, p Posture, model Model, a *assume.Set) func([]float64, float64) bool {
	can, stance := capacity.ofFlag(), stanceOf(p, a)
	f := pole.Of(b, &can, i, &stance)
	low, high := f.Domain()
	waist := 0.0
	if model == Equilibrium {
		out := flagColumns{b: b, stance: stance, judge: NewJudge(new(Result), flagMuscles, capacity, p, a)}
		waist = out.waistUse(out.waistOf(i), i)
	}
	return func(values []float64, angle float64) bool {
		s := math.Sin(angle)
		if !within(s, low, high) {
			return false
		}
		if values[0], values[1] = f.Parts(s, model == TwoCondition); model == Equilibrium {
			values[2] = waist
		}
		return true
	}
}

// waistUse is how much of what the waist of body i can give a moment takes. No choice of posture
// moves it.
func (out *flagColumns) waistUse(moment float64, i int) float64 {
	return out.judge.share(i, flagWaist, Asked{Demand: moment})
}

// shared writes an equilibrium. The waist, which no choice of posture moves, may be used
// more than the arms and shoulders.
func (out *flagColumns) shared(i int, held *pole.Held) {
	peak, limit, waist := held.Peak, LimitAlike, out.waistOf(i)
	if held.By != pole.Alike {
		limit = useLimits[held.By]
	}
	if use := out.waistUse(waist, i); !(use <= peak) {
		peak, limit = use, LimitOf(muscle.WaistSideways, muscle.Both)
	}
	top, bottom, h, share := &held.Top, &held.Bottom, held.Horizontal, held.Share
	out.Allow(i, limit)
	out.angle.Set(i, held.Angle)
	out.spacing.Set(i, held.Spacing)
	out.difficulty.Set(i, peak)
	out.force.Set(i, max(top.Axial, bottom.Axial))
	out.axialTop.Set(i, top.Axial)
	out.axialBottom.Set(i, bottom.Axial)
	out.horizontal.Set(i, h)
	out.share.Set(i, share)
	out.frictionTop.Set(i, share/h)
	out.frictionBottom.Set(i, (1-share)/h)
	out.moment.Set(i, max(math.Abs(top.Moment), math.Abs(bottom.Moment)))
	out.momentTop.Set(i, top.Moment)
	out.momentBottom.Set(i, bottom.Moment)
	if out.elbow != nil || out.wrist != nil || out.grip != nil || out.judge.shared {
		out.muscles(i, math.Hypot(h, share), waist, top, bottom)
	}
}

// muscles writes what the elbows, the wrists and the hand that pulls must give, and what
// is used of every group.
func (out *flagColumns) muscles(i int, grip, waist float64, top, bottom *pole.Arm) {
	b := out.b
	arm, sag, fore := b.Arm(i), b.ArmMoment(i), b.Forearm[i]+b.Grip[i]
	across := func(a *pole.Arm) float64 { return (a.Moment - float64(sag*a.Sine)) / arm } // force on the hand, across the arm
	elbow := func(a *pole.Arm) float64 {
		return math.Abs(float64(across(a)*fore) + float64(a.Sine*(float64(b.ForearmShare[i]*b.ForearmCentre[i])+float64(b.HandShare[i]*fore))))
	}
	wrist := func(a *pole.Arm) float64 { return math.Abs(b.Grip[i] * (across(a) + float64(a.Sine*b.HandShare[i]))) }
	elbowTop, elbowBottom := elbow(top), elbow(bottom)
	out.elbow.Set(i, max(elbowTop, elbowBottom))
	out.wrist.Set(i, max(wrist(top), wrist(bottom)))
	out.grip.Set(i, grip)
	if !out.judge.shared {
		return
	}
	var asked [numFlagUses]Asked
	asked[pole.PullTop] = Asked{max(top.Axial, 0), math.Asin(top.Sine)}
	asked[pole.PushBottom].Demand = max(bottom.Axial, 0)
	asked[pole.AdductTop].Demand, asked[pole.AbductTop].Demand = max(top.Moment, 0), max(-top.Moment, 0)
	asked[pole.AbductBottom].Demand, asked[pole.AdductBottom].Demand = max(bottom.Moment, 0), max(-bottom.Moment, 0)
	asked[flagWaist].Demand = math.Abs(waist)
	asked[flagElbowTop].Demand, asked[flagElbowBottom].Demand = elbowTop, elbowBottom
	out.judge.shares(i, asked[:])
}

// ofFlag returns the capacities of the flag. Shoulders are taken at their usual angle;
// the grip on a pole is a straight line between the ends of the arms' range, as its
// norm is, known along the pole and square to it.
func (c *Capacity) ofFlag() pole.Capacity {
	adduct, abduct, grip := c.Of[muscle.ShoulderAdduction], c.Of[muscle.ShoulderAbduction], &c.Curve[muscle.Grip]
	at := func(g muscle.Group, angle float64) float64 { return c.Curve[g].At(angle) }
	least, most := grip.At(FlagLeastAngle), grip.At(FlagMostAngle)
	slope := (most - least) / (FlagMostAngle - FlagLeastAngle)
	pull := least + float64(slope*(pole.SlopeAngle-FlagLeastAngle))
	down, up := at(muscle.ShoulderAdduction, flagShoulder), at(muscle.ShoulderAbduction, flagShoulder)
	return pole.Capacity{
		Of: [pole.NumUses][]float64{
			pole.PullTop: c.Of[muscle.Grip], pole.PushBottom: c.Of[muscle.ArmPush],
			pole.AdductTop: adduct, pole.AdductBottom: adduct, pole.AbductTop: abduct, pole.AbductBottom: abduct,
		},
		Factor: [pole.NumUses]float64{
			pole.PullTop: pull, pole.PushBottom: at(muscle.ArmPush, 0),
			pole.AdductTop: down, pole.AdductBottom: down, pole.AbductTop: up, pole.AbductBottom: up,
		},
		Slope: pole.Slopes{Pull: slope / pull},
	}
}

// useLimits are the limits that the uses set.
var useLimits = [pole.NumUses]Limit{
	pole.PullTop:      LimitOf(muscle.Grip, muscle.Top),
	pole.AbductTop:    LimitOf(muscle.ShoulderAbduction, muscle.Top),
	pole.AbductBottom: LimitOf(muscle.ShoulderAbduction, muscle.Bottom),
	pole.PushBottom:   LimitOf(muscle.ArmPush, muscle.Bottom),
	pole.AdductTop:    LimitOf(muscle.ShoulderAdduction, muscle.Top),
	pole.AdductBottom: LimitOf(muscle.ShoulderAdduction, muscle.Bottom),
}
