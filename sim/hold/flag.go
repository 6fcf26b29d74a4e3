package hold

import (
	"math"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
)

// The arms' angles with the pole that the human flag allows.
const (
	FlagLeastAngle = math.Pi / 18
	FlagMostAngle  = 4 * math.Pi / 9
)

// slopeAngle is the arm angle about which strength is taken to vary.
const slopeAngle = 0.7155849933176751 // 41°

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
		Free: "angle of the arms with the pole, 10 to 80 degrees each; in equilibrium the share of the weight at the top hand, 0 to 1",
		LeavesOut: []string{
			"couples that the hands could pass on by friction",
			"twist about the pole, and what bent legs move out of the plane",
			"elbows that are not quite straight, and shoulder blades that give",
			"grip strength and the strength of the trunk",
		},
		Models:     []Model{TwoCondition, Equilibrium},
		LegForms:   []LegForm{Together, Straddle, OneLeg, AdvancedTuck, Tuck},
		Rules:      []Rule{Best, GivenAngle, GivenSpacing},
		LeastAngle: FlagLeastAngle, MostAngle: FlagMostAngle,
		Tilts:       true,
		Asks:        flagAsks,
		Assumptions: flagAssumptions,
		Solve:       solveFlag,
		Use:         flagUse,
		Parts:       flagParts,
		PartsOf:     flagPartsOf,
		Figure:      flagFigure,
		PlacedBy:    []Demand{TopShare},
	}
}

func flagAsks(m Model) []Demand {
	asks := []Demand{RequiredForce, Difficulty, ArmAngle, HandSpacing, WaistMoment, HipMoment}
	if m == Equilibrium {
		asks = append(asks, AxialTop, AxialBottom, HorizontalForce, TopShare, FrictionTop, FrictionBottom,
			ShoulderMoment, ShoulderMomentTop, ShoulderMomentBottom)
	}
	return asks
}

func flagAssumptions(m Model) []assume.ID {
	if m == TwoCondition {
		return []assume.ID{assume.AngleSlope}
	}
	return []assume.ID{assume.TopShare, assume.AxialCapacity, assume.AdductionCapacity, assume.AbductionCapacity, assume.AngleSlope}
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

	slope       float64          // of the capacity along the arm, per radian
	per         [numUses]float64 // one over each capacity
	least, most float64          // vertical force that the top hand may carry
}

// flagOf reduces body i.
func flagOf(b *body.Columns, can *flagCapacity, i int, legs reach, cosTilt, sinTilt float64, a *assume.Set) (f flag) {
	f.slope = a[assume.AngleSlope]
	for use := range f.per {
		f.per[use] = 1 / can[use][i]
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
	rest := b.HeadShare[i] + b.TrunkShare[i] + 2*b.LegShare(i)
	f.reach = rest*f.arm + 2*(armShare*f.arm-f.sag)
	f.hang = cosTilt * (b.HeadShare[i]*(b.HeadCentre[i]+rise) + b.TrunkShare[i]*(b.TrunkCentre[i]+rise) +
		2*b.LegShare(i)*(b.Hip[i]+rise) + legs.moment(b, i))
	f.span = b.ShoulderSpan[i] * cosTilt
	f.shift = b.ShoulderSpan[i] * sinTilt / (2 * f.arm)
}

// solveFlag is HumanFlag.Solve.
func solveFlag(out *Result, b *body.Columns, capacity *Capacity, p Posture, model Model, a *assume.Set) {
	can := capacity.ofFlag()
	solveFlagWith(out, b, &can, capacity.Relative, p, model, a)
}

// solveFlagWith is solveFlag with capacities that may differ from side to side.
func solveFlagWith(out *Result, b *body.Columns, can *flagCapacity, relative []float64, p Posture, model Model, a *assume.Set) {
	legs, cosTilt, sinTilt := p.Legs.reach(), math.Cos(p.Tilt), math.Sin(p.Tilt)
	columns := flagColumnsOf(out)
	solve := func(i int) { columns.solve(b, can, relative[i], i, p, model, a, legs, cosTilt, sinTilt) }
	switch level := p.Rule == Best && p.Tilt == 0; {
	case level && model == TwoCondition && a[assume.AngleSlope] == 0:
		solveLevel(out, b, relative, legs, solve)
	case level && model == Equilibrium:
		columns.solveLevel(b, can, legs, a, solve)
	default:
		for i := range b.Rows() {
			solve(i)
		}
	}
	fillTrunk(out, b, legs, cosTilt)
}

// flagColumns is what a flag is asked for, but for the moments of fillTrunk.
type flagColumns struct {
	*Result
	angle, spacing, force, difficulty, axialTop, axialBottom, horizontal Column
	share, frictionTop, frictionBottom, moment, momentTop, momentBottom  Column
}

func flagColumnsOf(out *Result) flagColumns {
	return flagColumns{out, out.Column(ArmAngle), out.Column(HandSpacing), out.Column(RequiredForce), out.Column(Difficulty),
		out.Column(AxialTop), out.Column(AxialBottom), out.Column(HorizontalForce),
		out.Column(TopShare), out.Column(FrictionTop), out.Column(FrictionBottom),
		out.Column(ShoulderMoment), out.Column(ShoulderMomentTop), out.Column(ShoulderMomentBottom)}
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
func fillTrunk(out *Result, b *body.Columns, legs reach, cosTilt float64) {
	waist, hip := out.Column(WaistMoment), out.Column(HipMoment)
	if waist == nil && hip == nil {
		return
	}
	for i, possible := range out.Possible[:b.Rows()] {
		if !possible {
			continue
		}
		moment := legs.moment(b, i)
		hip.Set(i, cosTilt*moment)
		waist.Set(i, cosTilt*(b.LowerTrunkShare[i]*(b.LowerTrunkCentre[i]-b.Waist[i])+
			2*b.LegShare(i)*(b.Hip[i]-b.Waist[i])+moment))
	}
}

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
		middle := low + (high-low)/2
		if middle == low || middle == high {
			break
		}
		if f.spacing(middle) > spacing {
			low = middle
		} else {
			high = middle
		}
	}
	return low + (high-low)/2, true
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
	x := sine*commonCosine - cosine*commonSine
	if !(math.Abs(x) < 0.11) {
		return math.Asin(sine)
	}
	q := x * x
	return commonAngle + x*(1+q*(1./6+q*(3./40+q*(5./112+q*(35./1152+q*(63./2816+q*(231./13312)))))))
}

// spacing returns the distance between the hands along the pole.
func (f *flag) spacing(s float64) float64 {
	return f.span + f.arm*(cosine(s-f.shift)+cosine(s+f.shift))
}

// conditions evaluates lift and turning at the mean sine s, and their derivatives
// by s.
func (f *flag) conditions(s float64, two *[2]struct{ value, slope float64 }) {
	sineTop, sineBottom := s-f.shift, s+f.shift
	cosTop, cosBottom := cosine(sineTop), cosine(sineBottom)
	tans := sineTop/cosTop + sineBottom/cosBottom
	d, dd := f.span+f.arm*(cosTop+cosBottom), -f.arm*tans
	h := (f.reach*s + f.hang) / d
	dh := (f.reach - h*dd) / d
	steep := min(sineTop, sineBottom) // the arm that turns worst
	sum := cosTop + cosBottom
	two[0].value, two[0].slope = 1/sum, tans/(sum*sum)
	two[1].value, two[1].slope = h/steep, (dh-h/steep)/steep
	if f.slope == 0 {
		return
	}
	// Both arms give the same force, so the weaker arm decides.
	weak, dweak := f.strengthAt(sineTop, cosTop)
	if f.shift != 0 {
		if w, dw := f.strengthAt(sineBottom, cosBottom); w < weak {
			weak, dweak = w, dw
		}
	}
	for j := range two {
		two[j].value /= weak
		two[j].slope = (two[j].slope - two[j].value*dweak) / weak
	}
}

// strengthAt returns the factor by which the arm's angle changes its strength,
// and the factor's derivative by the sine of that angle.
func (f *flag) strengthAt(sine, cos float64) (factor, derivative float64) {
	return 1 + f.slope*(math.Asin(sine)-slopeAngle), f.slope / cos
}

// fill writes the demands of the posture with mean sine s, except the waist's
// and the hips'.
func (out *flagColumns) fill(f *flag, i int, s float64, model Model, relative float64) {
	out.Possible[i] = true
	sineTop, sineBottom := s-f.shift, s+f.shift
	cosTop, cosBottom := cosine(sineTop), cosine(sineBottom)
	d := f.span + f.arm*(cosTop+cosBottom)
	h := (f.reach*s + f.hang) / d
	out.angle.Set(i, arcsine(s))
	out.spacing.Set(i, d)
	if model == TwoCondition {
		force, limit := h/min(sineTop, sineBottom), LimitTurning
		if lift := 1 / (cosTop + cosBottom); lift > force {
			force, limit = lift, LimitLift
		}
		difficulty := force / relative
		if f.slope != 0 {
			weakT, _ := f.strengthAt(sineTop, cosTop)
			weakB, _ := f.strengthAt(sineBottom, cosBottom)
			difficulty /= min(weakT, weakB)
		}
		out.Limit[i] = limit
		out.force.Set(i, force)
		out.difficulty.Set(i, difficulty)
		if out.share != nil { // for a figure, which is in equilibrium
			var u lines
			f.lines(s, &u)
			out.share[i], _ = u.divide(f.least, f.most, usual)
		}
		return
	}
	var u lines
	f.lines(s, &u)
	share, _ := u.divide(f.least, f.most, usual)
	out.shared(i, h, share, h*sineTop+share*cosTop, h*sineBottom+(1-share)*cosBottom,
		f.arm*(h*cosTop-share*sineTop)+f.sag*sineTop, f.arm*(h*cosBottom-(1-share)*sineBottom)+f.sag*sineBottom)
	use := 0.0
	use, out.Limit[i] = u.limit(share)
	out.difficulty.Set(i, use)
}

// shared writes the forces of an equilibrium whose top hand carries the share.
func (out *flagColumns) shared(i int, h, share, axialTop, axialBottom, momentTop, momentBottom float64) {
	out.force.Set(i, max(axialTop, axialBottom))
	out.axialTop.Set(i, axialTop)
	out.axialBottom.Set(i, axialBottom)
	out.horizontal.Set(i, h)
	out.share.Set(i, share)
	out.frictionTop.Set(i, share/h)
	out.frictionBottom.Set(i, (1-share)/h)
	out.moment.Set(i, max(math.Abs(momentTop), math.Abs(momentBottom)))
	out.momentTop.Set(i, momentTop)
	out.momentBottom.Set(i, momentBottom)
}
