package hold

import (
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/math"
	"counterpoise/sim/muscle"
)

// The arms' angles with the pole that the human flag allows.
const (
	FlagLeastAngle = math.Pi / 18
	FlagMostAngle  = 4 * math.Pi / 9
)

const (
	// slopeAngle is the arm angle about which strength is taken to vary, 41°.
	slopeAngle = 0.7155849933176751
	// flagShoulder is the angle between arm and trunk at which the shoulders' strength is
	// taken, whatever the angle θ of the arms: it is 90° + θ. The published curves are flat
	// enough: with the strength at the posture's own angle the best θ moves by 2° and the
	// difficulty by 0.3 % (TestShouldersAtTheirOwnAngle).
	flagShoulder = 3 * math.Pi / 4
)

// HumanFlag is the side hold on a vertical pole: the frontal plane, the pole
// the line x = 0, the body leaving it level or tilted, both arms straight.
var HumanFlag = humanFlag()

func humanFlag() *Hold {
	return &Hold{
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
	pullTop: {Group: muscle.Grip, Side: muscle.Top, Load: oneWay(axialTop, 1, 1), AngleOf: topArmAngle,
		Note: "of the pull along the arm, at its angle with the pole"},
	abductTop:    {Group: muscle.ShoulderAbduction, Side: muscle.Top, Angle: At(flagShoulder), Load: oneWay(momentAt(JointTopShoulder, -1), -1, 1)},
	abductBottom: {Group: muscle.ShoulderAbduction, Side: muscle.Bottom, Angle: At(flagShoulder), Load: oneWay(momentAt(JointBottomShoulder, -1), 1, 1)},
	pushBottom:   {Group: muscle.ArmPush, Side: muscle.Bottom, Angle: At(0), Load: oneWay(axialBottom, 1, 1)},
	adductTop:    {Group: muscle.ShoulderAdduction, Side: muscle.Top, Angle: At(flagShoulder), Load: oneWay(momentAt(JointTopShoulder, -1), 1, 1)},
	adductBottom: {Group: muscle.ShoulderAdduction, Side: muscle.Bottom, Angle: At(flagShoulder), Load: oneWay(momentAt(JointBottomShoulder, -1), -1, 1)},
	flagWaist:    {Group: muscle.WaistSideways, Angle: At(0), Load: size(momentAt(JointWaist, 1), 1)},
	flagElbowTop: {Group: muscle.ElbowFlexion, Side: muscle.Top, Angle: At(0), Load: atOne("top", " forearm"), Reported: true, Note: ElbowSideways},
	flagElbowBottom: {Group: muscle.ElbowFlexion, Side: muscle.Bottom, Angle: At(0), Load: atOne("bottom", " forearm"), Reported: true,
		Note: ElbowSideways},
}

// The uses of the flag that follow those which its posture shares out.
const (
	flagWaist = numUses + iota
	flagElbowTop
	flagElbowBottom
	numFlagUses
)

// ElbowSideways is what bears straight elbows that are seen from the front.
const ElbowSideways = "the load bends the elbow sideways: its ligaments carry it, and its flexors only where the arm is turned"

// topArmAngle is the angle of the top arm with the pole.
func topArmAngle(s *Solved) (float64, error) {
	a, err := s.Arm("top")
	return math.Asin(math.Abs(a.Along.X)), err
}

func flagParts(m Model) []string {
	if m == TwoCondition {
		return []string{"lift", "turning"}
	}
	return []string{"arms", "shoulders"}
}

// flag is one body in the flag, reduced to the numbers that the statics needs.
// Forces are in body weights, so that moments are in metres.
type flag struct {
	arm   float64 // L, shoulder centre to grip
	span  float64 // b·cos φ, the vertical part of the shoulder centres' separation
	shift float64 // b·sin φ / 2L, by which the sines of the two arms' angles differ from their mean
	reach float64 // q·L, how the whole centre of mass moves out with the sine of the arm angle
	hang  float64 // M₀·c·cos φ, where it is when the shoulders touch the pole
	sag   float64 // k·L·m_a, first moment of one arm about its shoulder

	slope       armSlopes        // of the capacity along the arms
	per         [numUses]float64 // one over each capacity
	least, most float64          // vertical force that the top hand may carry
}

// flagOf reduces body i.
func flagOf(b *body.Columns, can *flagCapacity, i int, legs reach, cosTilt, sinTilt float64, a *assume.Set) (f flag) {
	f.slope = can.slope
	for use := range f.per {
		f.per[use] = 1 / can.at(use, i)
	}
	f.least, f.most = shares(a)
	f.reduce(b, i, legs, cosTilt, sinTilt)
	return f
}

// reduce writes the numbers of body i into f.
func (f *flag) reduce(b *body.Columns, i int, legs reach, cosTilt, sinTilt float64) {
	armShare, rise := b.ArmShare(i), b.Rise[i]
	f.arm = b.Arm(i)
	f.sag = b.ArmMoment(i)
	rest := b.HeadShare[i] + b.TrunkShare[i] + float64(2*b.LegShare(i))
	f.reach = float64(rest*f.arm) + float64(2*(float64(armShare*f.arm)-f.sag))
	f.hang = cosTilt * (float64(b.HeadShare[i]*(b.HeadCentre[i]+rise)) + float64(b.TrunkShare[i]*(b.TrunkCentre[i]+rise)) +
		float64(2*b.LegShare(i)*(b.Hip[i]+rise)) + legs.moment(b, i))
	f.span = b.ShoulderSpan[i] * cosTilt
	f.shift = b.ShoulderSpan[i] * sinTilt / (2 * f.arm)
}

// solveFlag is HumanFlag.Solve.
func solveFlag(out *Result, b *body.Columns, capacity *Capacity, p Posture, model Model, a *assume.Set) {
	can := capacity.ofFlag()
	solveFlagWith(out, b, &can, capacity, p, model, a)
}

// solveFlagWith is solveFlag with capacities of arms and shoulders that may differ from
// side to side.
func solveFlagWith(out *Result, b *body.Columns, can *flagCapacity, capacity *Capacity, p Posture, model Model, a *assume.Set) {
	legs, cosTilt, sinTilt := p.Legs.reach(), math.Cos(p.Tilt), math.Sin(p.Tilt)
	columns := flagColumnsOf(out, b, legs, cosTilt)
	if model == Equilibrium {
		columns.judge = NewJudge(out, flagMuscles, capacity, p, a)
	}
	solve := func(i int) { columns.solve(b, can, capacity.Relative[i], i, p, model, a, legs, cosTilt, sinTilt) }
	switch level := p.Rule == Best && p.Tilt == 0; {
	case level && model == TwoCondition:
		var shareAt func(i int, sine float64)
		if columns.share != nil { // for a figure, which is in equilibrium
			shareAt = func(i int, sine float64) {
				f := flagOf(b, can, i, legs, cosTilt, sinTilt, a)
				columns.share[i] = f.shareAt(sine)
			}
		}
		solveLevel(out, b, capacity.Relative, legs, solve, shareAt)
	case level && model == Equilibrium:
		columns.solveLevel(b, can, legs, a, solve)
	default:
		for i := range b.Rows() {
			solve(i)
		}
	}
	columns.fillTrunk()
}

// flagColumns is what a flag is asked for, but for the moments of fillTrunk.
type flagColumns struct {
	*Result
	judge   Judge // in equilibrium
	b       *body.Columns
	legs    reach
	cosTilt float64

	angle, spacing, force, difficulty, axialTop, axialBottom, horizontal Column
	share, frictionTop, frictionBottom, moment, momentTop, momentBottom  Column
	elbow, wrist, grip, waist, hip                                       Column
}

func flagColumnsOf(out *Result, b *body.Columns, legs reach, cosTilt float64) flagColumns {
	return flagColumns{
		Result: out, b: b, legs: legs, cosTilt: cosTilt,
		angle: out.Column(ArmAngle), spacing: out.Column(HandSpacing), force: out.Column(RequiredForce), difficulty: out.Column(Difficulty),
		axialTop: out.Column(AxialTop), axialBottom: out.Column(AxialBottom), horizontal: out.Column(HorizontalForce),
		share: out.Column(TopShare), frictionTop: out.Column(FrictionTop), frictionBottom: out.Column(FrictionBottom),
		moment: out.Column(ShoulderMoment), momentTop: out.Column(ShoulderMomentTop), momentBottom: out.Column(ShoulderMomentBottom),
		elbow: out.Column(ElbowMoment), wrist: out.Column(WristMoment), grip: out.Column(GripForce),
		waist: out.Column(WaistMoment), hip: out.Column(HipMoment),
	}
}

// solve solves body i.
func (out *flagColumns) solve(b *body.Columns, can *flagCapacity, relative float64, i int, p Posture, model Model, a *assume.Set, legs reach, cosTilt, sinTilt float64) {
	f := flagOf(b, can, i, legs, cosTilt, sinTilt, a)
	low, high := f.domain()
	var s float64 // the mean of the sines of the two arms' angles
	possible := low <= high
	switch {
	case !possible:
	case p.Rule == GivenAngle:
		s = math.Sin(p.Angle[i])
	case p.Rule == GivenSpacing:
		s, possible = f.sineAt(p.Spacing[i], low, high)
	default:
		s = minimise(&f, model, low, high)
	}
	// A posture given to within rounding of the end of the range is at its end.
	const slack = 1e-12
	if !possible || !(s >= low-slack && s <= high+slack) {
		out.Refuse(i)
		return
	}
	out.fill(&f, i, s, model, relative)
}

// fillTrunk fills the moments about the waist and the hips of the bodies that
// take the posture, whatever the angle of their arms.
func (out *flagColumns) fillTrunk() {
	if out.waist == nil && out.hip == nil {
		return
	}
	for i, possible := range out.Possible[:out.b.Rows()] {
		if possible {
			out.hip.Set(i, out.cosTilt*out.legs.moment(out.b, i))
			out.waist.Set(i, out.waistOf(i))
		}
	}
}

// waistOf returns the moment at the waist of body i.
func (out *flagColumns) waistOf(i int) float64 { return out.cosTilt * beyondWaist(out.b, i, out.legs) }

// flagPartsOf is HumanFlag.PartsOf: the two conditions in body weights, or the
// shares of the arms' and of the shoulders' capacities that are used.
func flagPartsOf(b *body.Columns, capacity *Capacity, i int, p Posture, model Model, a *assume.Set) func([]float64, float64) bool {
	can := capacity.ofFlag()
	f := flagOf(b, &can, i, p.Legs.reach(), math.Cos(p.Tilt), math.Sin(p.Tilt), a)
	low, high := f.domain()
	return func(values []float64, angle float64) bool {
		s := math.Sin(angle)
		const slack = 1e-12
		if !(s >= low-slack && s <= high+slack) {
			return false
		}
		p := pieces{f: &f, model: model, last: usual}
		p.at(s)
		if model == TwoCondition {
			values[0], values[1] = p.two[0].value, p.two[1].value
		} else {
			share, _ := p.uses.divide(f.least, f.most, p.last)
			values[0], values[1] = p.uses.armsAndShoulders(share)
		}
		return true
	}
}

// domain returns the range of the mean sine in which both arms keep to the
// angles that the hold allows; it is empty (low > high) where no angle does.
func (f *flag) domain() (low, high float64) {
	tilt := math.Abs(f.shift)
	return sineLeast + tilt, sineMost - tilt
}

var (
	sineLeast = math.Sin(FlagLeastAngle)
	sineMost  = math.Sin(FlagMostAngle)
)

// sineAt returns the mean sine at which the hands are the given distance apart,
// and whether there is one in low..high. The distance falls as the sine grows.
func (f *flag) sineAt(spacing, low, high float64) (float64, bool) {
	if f.shift == 0 {
		cosine := (spacing - f.span) / (2 * f.arm)
		if !(cosine > 0 && cosine < 1) {
			return 0, false
		}
		return math.Sqrt((1 - cosine) * (1 + cosine)), true
	}
	const slack = 1e-12
	if spacing > f.spacing(low)+slack || spacing < f.spacing(high)-slack {
		return 0, false
	}
	for high-low > 1e-15 {
		middle := low + float64((high-low)/2)
		if middle == low || middle == high {
			break
		}
		if f.spacing(middle) > spacing {
			low = middle
		} else {
			high = middle
		}
	}
	return low + float64((high-low)/2), true
}

// cosine returns the cosine that belongs to a sine of an angle within ±90°.
func cosine(sine float64) float64 { return math.Sqrt((1 - sine) * (1 + sine)) }

// commonAngle is where arcsine is fast: the middle of the best angles of bodies.
const commonAngle = 2 * math.Pi / 9

var commonSine, commonCosine = math.Sincos(commonAngle)

// arcsine is math.Asin to rounding. Within 6 degrees of commonAngle, where nearly
// all bodies are held, it is the series in the sine of the difference, up to the
// thirteenth power: the next term is below 10⁻¹⁶. It saves a tenth of the time of
// a solution.
func arcsine(sine float64) float64 { return arcsineOf(sine, cosine(sine)) }

// arcsineOf is arcsine where the cosine is known already.
func arcsineOf(sine, cosine float64) float64 {
	x := float64(sine*commonCosine) - float64(cosine*commonSine)
	if !(math.Abs(x) < 0.11) {
		return math.Asin(sine)
	}
	q := x * x
	return commonAngle + float64(x*(1+float64(q*(1./6+float64(q*(3./40+float64(q*(5./112+float64(q*(35./1152+float64(q*(63./2816+float64(q*(231./13312))))))))))))))
}

// spacing returns the distance between the hands along the pole.
func (f *flag) spacing(s float64) float64 {
	return f.span + float64(f.arm*(cosine(s-f.shift)+cosine(s+f.shift)))
}

// conditions evaluates lift and turning at the mean sine s, and their derivatives
// by s.
func (f *flag) conditions(s float64, two *[2]struct{ value, slope float64 }) {
	sineTop, sineBottom := s-f.shift, s+f.shift
	cosTop, cosBottom := cosine(sineTop), cosine(sineBottom)
	tans := sineTop/cosTop + sineBottom/cosBottom
	d, dd := f.span+float64(f.arm*(cosTop+cosBottom)), -f.arm*tans
	h := (float64(f.reach*s) + f.hang) / d
	dh := (f.reach - float64(h*dd)) / d
	steep := min(sineTop, sineBottom) // the arm that turns worst
	sum := cosTop + cosBottom
	two[0].value, two[0].slope = 1/sum, tans/(sum*sum)
	two[1].value, two[1].slope = h/steep, (dh-h/steep)/steep
}

// fill writes the demands of the posture with mean sine s, except the waist's
// and the hips'.
func (out *flagColumns) fill(f *flag, i int, s float64, model Model, relative float64) {
	sineTop, sineBottom := s-f.shift, s+f.shift
	cosTop, cosBottom := cosine(sineTop), cosine(sineBottom)
	d := f.span + float64(f.arm*(cosTop+cosBottom))
	h := (float64(f.reach*s) + f.hang) / d
	out.angle.Set(i, arcsine(s))
	out.spacing.Set(i, d)
	if model == TwoCondition {
		force, limit := h/min(sineTop, sineBottom), LimitTurning
		if lift := 1 / (cosTop + cosBottom); lift > force {
			force, limit = lift, LimitLift
		}
		out.Allow(i, limit)
		out.force.Set(i, force)
		out.difficulty.Set(i, force/relative)
		if out.share != nil { // for a figure, which is in equilibrium
			out.share[i] = f.shareAt(s)
		}
		return
	}
	var u lines
	f.lines(s, &u)
	share, _ := u.divide(f.least, f.most, usual)
	peak, limit := u.limit(share)
	out.shared(i, h, share, peak, limit,
		flagArm{sineTop, float64(h*sineTop) + float64(share*cosTop), float64(f.arm*(float64(h*cosTop)-float64(share*sineTop))) + float64(f.sag*sineTop)},
		flagArm{sineBottom, float64(h*sineBottom) + float64((1-share)*cosBottom), float64(f.arm*(float64(h*cosBottom)-float64((1-share)*sineBottom))) + float64(f.sag*sineBottom)})
}

// shareAt returns the best share at a mean sine.
func (f *flag) shareAt(s float64) float64 {
	var u lines
	f.lines(s, &u)
	share, _ := u.divide(f.least, f.most, usual)
	return share
}

// flagArm is an arm in the flag: the sine of its angle with the pole, the force along it
// and the moment at its shoulder, in the signs of AxialTop and ShoulderMomentTop or those
// of the bottom.
type flagArm struct{ sine, axial, moment float64 }

// shared writes the forces of an equilibrium whose top hand carries the share. peak is
// the largest use of the arms and shoulders, and what it is of; the waist, which no choice
// of posture moves, may be used more.
func (out *flagColumns) shared(i int, h, share, peak float64, limit Limit, top, bottom flagArm) {
	waist := out.waistOf(i)
	if use := out.judge.share(i, flagWaist, Asked{Demand: waist}); !(use <= peak) {
		peak, limit = use, LimitOf(muscle.WaistSideways, muscle.Both)
	}
	out.Allow(i, limit)
	out.difficulty.Set(i, peak)
	out.force.Set(i, max(top.axial, bottom.axial))
	out.axialTop.Set(i, top.axial)
	out.axialBottom.Set(i, bottom.axial)
	out.horizontal.Set(i, h)
	out.share.Set(i, share)
	out.frictionTop.Set(i, share/h)
	out.frictionBottom.Set(i, (1-share)/h)
	out.moment.Set(i, max(math.Abs(top.moment), math.Abs(bottom.moment)))
	out.momentTop.Set(i, top.moment)
	out.momentBottom.Set(i, bottom.moment)
	if out.elbow != nil || out.wrist != nil || out.grip != nil || out.judge.shared {
		out.muscles(i, math.Hypot(h, share), waist, top, bottom)
	}
}

// muscles writes what the elbows, the wrists and the hand that pulls must give, and what
// is used of every group.
func (out *flagColumns) muscles(i int, grip, waist float64, top, bottom flagArm) {
	b := out.b
	arm, sag, fore := b.Arm(i), b.ArmMoment(i), b.Forearm[i]+b.Grip[i]
	across := func(a flagArm) float64 { return (a.moment - float64(sag*a.sine)) / arm } // force on the hand, across the arm
	elbow := func(a flagArm) float64 {
		return math.Abs(float64(across(a)*fore) + float64(a.sine*(float64(b.ForearmShare[i]*b.ForearmCentre[i])+float64(b.HandShare[i]*fore))))
	}
	wrist := func(a flagArm) float64 { return math.Abs(b.Grip[i] * (across(a) + float64(a.sine*b.HandShare[i]))) }
	elbowTop, elbowBottom := elbow(top), elbow(bottom)
	out.elbow.Set(i, max(elbowTop, elbowBottom))
	out.wrist.Set(i, max(wrist(top), wrist(bottom)))
	out.grip.Set(i, grip)
	if !out.judge.shared {
		return
	}
	var asked [numFlagUses]Asked
	asked[pullTop] = Asked{max(top.axial, 0), math.Asin(top.sine)}
	asked[pushBottom].Demand = max(bottom.axial, 0)
	asked[adductTop].Demand, asked[abductTop].Demand = max(top.moment, 0), max(-top.moment, 0)
	asked[abductBottom].Demand, asked[adductBottom].Demand = max(bottom.moment, 0), max(-bottom.moment, 0)
	asked[flagWaist].Demand = math.Abs(waist)
	asked[flagElbowTop].Demand, asked[flagElbowBottom].Demand = elbowTop, elbowBottom
	out.judge.shares(i, asked[:])
}
