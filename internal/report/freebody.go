package report

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"counterpoise/internal/chart"
	"counterpoise/internal/units"
	"counterpoise/internal/wording"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/statics"
	"counterpoise/sim/strength"
)

// HeldBody is one body in a hold: by the closed forms, and as a general problem
// solved segment by segment.
type HeldBody struct {
	Hold     *hold.Hold
	Model    hold.Model
	Posture  hold.Posture
	Who      string // such as "the median body of ansur2-men"
	People   string // for the foot of a picture
	N        int    // people measured behind the body
	Body     *body.Columns
	Result   *hold.Result // one row, of every demand that the model gives
	Figure   *hold.Figure
	Solution *statics.Solution
	Defaults bool // whether all assumptions are at their defaults
}

// HoldMedianBody holds up the body whose every measurement is the median of a
// population. The error wraps hold.ErrNotPossible where that body cannot take
// the posture.
func HoldMedianBody(h *hold.Hold, model hold.Model, posture hold.Posture, people *anthro.Population, a *assume.Set) (*HeldBody, error) {
	median := anthro.NewPeople(1)
	for m := range anthro.NumMeasurements {
		median.Value[m][0] = people.Quantile(m, 0.5)
	}
	builder, err := body.NewBuilder(people, body.Residual, body.DefaultSegments)
	if err != nil {
		return nil, err
	}
	bodies := body.New(1)
	builder.Build(bodies, median, a)
	held := &HeldBody{
		Hold: h, Model: model, Posture: posture, Body: bodies,
		Who: "the median body of " + people.Name, People: "median body of " + people.Title, N: people.N,
		Defaults: *a == assume.Defaults(),
	}
	return held, held.solve(a)
}

func (b *HeldBody) solve(a *assume.Set) error {
	if err := b.Body.Check(0); err != nil {
		return err
	}
	capacity := hold.NewCapacity(1)
	strength.OfReference(capacity, b.Body, a)
	b.Result = hold.NewResult(1, b.Hold.Asks(b.Model)...)
	b.Hold.Solve(b.Result, b.Body, capacity, b.Posture, b.Model, a)
	if !b.Result.Possible[0] {
		return hold.ErrNotPossible
	}
	var err error
	if b.Figure, err = b.Hold.Figure(b.Body, 0, b.Posture, b.Result, a); err != nil {
		return err
	}
	b.Solution, err = b.Figure.System.Solve()
	return err
}

// weight is the body's, N.
func (b *HeldBody) weight() float64 {
	mass := 0.0
	for _, s := range b.Figure.System.Segments {
		mass += s.Mass
	}
	return mass * b.Figure.System.Gravity
}

// demand returns what the hold asks for, and whether the model gives it.
func (b *HeldBody) demand(d hold.Demand) (float64, bool) {
	if column := b.Result.Value[d]; column != nil {
		return column[0], true
	}
	return 0, false
}

// fixtureKinds are the fixtures of holds by their names.
var fixtureKinds = map[string]chart.FixtureKind{
	"pole": chart.Pole, "bar": chart.Bar, "cable": chart.Cable,
	"floor": chart.Floor, "wall": chart.Wall, "box": chart.Box,
}

// limbWidths are the widths of the parts of the body in pictures, at their
// beginning and end in metres, and serve only the eye. The trunk is wider from
// the front, where its name has that first.
var limbWidths = []struct {
	part     string
	from, to float64
}{
	{"upper arm", 0.095, 0.075}, {"forearm", 0.075, 0.05}, {"hand", 0.045, 0.035},
	{"thigh", 0.15, 0.105}, {"shank", 0.105, 0.065}, {"foot", 0.06, 0.035},
	{"chest", 0.16, 0.19}, {"middle trunk", 0.19, 0.17}, {"pelvis", 0.17, 0.17}, {"head", 0.1, 0.1},
	{"front chest", 0.2, 0.26}, {"front middle trunk", 0.26, 0.22}, {"front pelvis", 0.22, 0.21},
}

func widthsOf(segment string, fromFront bool) (from, to float64, err error) {
	if fromFront {
		for _, w := range limbWidths {
			if w.part == "front "+segment {
				return w.from, w.to, nil
			}
		}
	}
	for _, w := range limbWidths {
		if segment == w.part || strings.HasSuffix(segment, " "+w.part) {
			return w.from, w.to, nil
		}
	}
	return 0, 0, fmt.Errorf("report: no width for the segment %q", segment)
}

// shoulderWidth is that of the line from the neck to a shoulder seen from the
// front, m.
const shoulderWidth = 0.11

// FreeBodyOf returns the free-body diagram of a held body. Its forces and
// moments are those of the solved general problem.
func FreeBodyOf(b *HeldBody) (chart.FreeBody, error) {
	weight := b.weight()
	f := chart.FreeBody{
		View: b.view(), Weight: weight, Centre: placeOf(b.Figure.System.CentreOfMass()),
		Foot: b.foot(),
	}
	segments := map[string]statics.Segment{}
	for _, s := range b.Figure.System.Segments {
		segments[s.Name] = s
		f.Masses = append(f.Masses, placeOf(s.Centre))
	}
	fromFront := b.fromFront()
	for _, bone := range b.Figure.Bones {
		from, to, err := widthsOf(bone.Segment, fromFront)
		if err != nil {
			return f, err
		}
		far := !fromFront && (strings.HasPrefix(bone.Segment, "right ") || strings.HasPrefix(bone.Segment, "other "))
		limb := chart.Limb{From: placeOf(bone.From), To: placeOf(bone.To), FromWidth: from, ToWidth: to, Far: far}
		if bone.Segment == "head" { // a neck, and a circle about the head's centre that ends with the bone
			centre := segments[bone.Segment].Centre
			limb.To = placeOf(centre)
			crown := bone.To.Minus(centre)
			f.Limbs = append(f.Limbs, limb, chart.Limb{From: placeOf(centre.Minus(crown)), To: placeOf(bone.To), Head: true})
			continue
		}
		// Seen from the front the shoulders stand off the neck.
		s := segments[bone.Segment]
		if neck := segments[s.Parent]; fromFront && strings.HasSuffix(bone.Segment, "upper arm") {
			root := boneOf(b.Figure, neck.Name).From
			f.Limbs = append(f.Limbs, chart.Limb{From: placeOf(root), To: limb.From, FromWidth: 1.4 * shoulderWidth, ToWidth: shoulderWidth})
		}
		if strings.HasSuffix(bone.Segment, "foot") {
			f.Limbs = append(f.Limbs, b.footOnFloor(limb)...)
			continue
		}
		f.Limbs = append(f.Limbs, limb)
	}
	for _, s := range b.Figure.Supports {
		force, err := b.Figure.Force(b.Solution, s.Name)
		if err != nil {
			return f, err
		}
		f.Forces = append(f.Forces, chart.Force{Name: s.Name, At: placeOf(s.At), X: force.X / weight, Y: force.Y / weight})
	}
	if load, ok := b.load(); ok {
		f.Forces = append(f.Forces, load)
	}
	for _, j := range b.Figure.Joints {
		moment, err := b.Figure.Moment(b.Solution, j.Name)
		if err != nil {
			return f, err
		}
		f.Moments = append(f.Moments, chart.Moment{Name: j.Name, At: placeOf(j.At), Value: moment / weight})
	}
	for _, e := range b.Figure.Fixture {
		kind, known := fixtureKinds[e.Name]
		if !known {
			return f, fmt.Errorf("report: unknown fixture %q", e.Name)
		}
		f.Fixtures = append(f.Fixtures, chart.Fixture{Kind: kind, From: placeOf(e.From), To: placeOf(e.To)})
	}
	f.Dimensions = b.dimensions()
	var err error
	f.Title, err = b.title(f)
	return f, err
}

// load is what bears the body beside its supports, as one force: the floor under
// the lower legs of one who kneels.
func (b *HeldBody) load() (chart.Force, bool) {
	var sum, at statics.Vec
	for _, l := range b.Figure.System.Loads {
		sum = sum.Plus(l.Force)
		at = at.Plus(l.At.Times(l.Force.Length()))
	}
	size := sum.Length()
	if size == 0 {
		return chart.Force{}, false
	}
	sum = sum.Times(1 / b.weight())
	return chart.Force{Name: "lower legs", At: placeOf(at.Times(1 / size)), X: sum.X, Y: sum.Y}, true
}

// footOnFloor bends a foot where it would reach through the floor, as toes do:
// the model has it straight, which its weight does not notice.
func (b *HeldBody) footOnFloor(foot chart.Limb) []chart.Limb {
	for _, e := range b.Figure.Fixture {
		level := e.From.Y
		under := foot.To.X >= math.Min(e.From.X, e.To.X) && foot.To.X <= math.Max(e.From.X, e.To.X)
		if e.From.Y != e.To.Y || !under || foot.To.Y >= level || foot.From.Y < level-1e-9 {
			continue
		}
		whole := math.Hypot(foot.To.X-foot.From.X, foot.To.Y-foot.From.Y)
		t := math.Max(0, (foot.From.Y-level)/(foot.From.Y-foot.To.Y))
		bend := chart.Place{X: foot.From.X + t*(foot.To.X-foot.From.X), Y: level}
		width := foot.FromWidth + t*(foot.ToWidth-foot.FromWidth)
		toes := foot
		toes.From, toes.FromWidth = bend, width
		way := foot.To.X - foot.From.X
		if math.Abs(way) < foot.From.Y-foot.To.Y { // a steep foot stands on its ball, toes to the front
			way = b.Figure.System.CentreOfMass().X - bend.X
		}
		toes.To = chart.Place{X: bend.X + math.Copysign((1-t)*whole, way), Y: level}
		if t == 0 {
			return []chart.Limb{toes}
		}
		foot.To, foot.ToWidth = bend, width
		return []chart.Limb{foot, toes}
	}
	return []chart.Limb{foot}
}

func placeOf(v statics.Vec) chart.Place { return chart.Place{X: v.X, Y: v.Y} }

func boneOf(f *hold.Figure, segment string) hold.Bone {
	for _, b := range f.Bones {
		if b.Segment == segment {
			return b
		}
	}
	return hold.Bone{}
}

// fromFront says whether the hold is computed in the frontal plane.
func (b *HeldBody) fromFront() bool { return strings.HasPrefix(b.Hold.Plane, "frontal") }

func (b *HeldBody) view() string {
	side := "seen from the side"
	if b.fromFront() {
		side = "seen from the front"
	}
	text := strings.ToLower(b.Hold.Title[:1]) + b.Hold.Title[1:] + " of " + b.Who
	if with := b.postureWords(); with != "" {
		text += ", " + with
	}
	text += ", " + side
	leaves := b.fromFront() && b.Posture.Legs.Form != hold.Together && b.Posture.Legs.Form != hold.Straddle ||
		!b.fromFront() && b.Posture.Legs.Form == hold.Straddle
	if leaves {
		text += "; the legs leave the plane and look shortened"
	}
	return text
}

// postureWords says what is not the plain posture.
func (b *HeldBody) postureWords() string { return noBreak(wording.PostureWords(b.Posture)) }

func (b *HeldBody) foot() chart.Foot {
	assumptions := "defaults"
	if !b.Defaults {
		assumptions = "as set"
	}
	model := "planar statics, de Leva (1996) segments"
	if len(b.Hold.Rules) > 1 {
		model += ", posture that asks least under " + b.Model.String()
	}
	return chart.Foot{
		People: fmt.Sprintf("%s (%s, %s)", b.People, units.Format(b.Body.Stature[0], units.Length, units.Metric), units.Format(b.Body.Mass[0], units.Mass, units.Metric)),
		N:      b.N, Model: model, Assumptions: assumptions,
		Source: "counterpoise; medians of the 2012 US Army survey (Gordon et al. 2014). Widths of the limbs are for the eye. " + NotValidated,
	}
}

// dimensions are the distances that the posture is set by.
func (b *HeldBody) dimensions() []chart.Dimension {
	var list []chart.Dimension
	supports := b.Figure.Supports
	if _, asked := b.demand(hold.HandSpacing); asked && len(supports) == 2 {
		list = append(list, chart.Dimension{Name: "hands", From: placeOf(supports[0].At), To: placeOf(supports[1].At)})
	}
	if len(supports) == 0 {
		return list
	}
	hands := supports[0].At
	for _, e := range b.Figure.Fixture {
		if e.Name == "wall" {
			list = append(list, chart.Dimension{Name: "to the wall", From: placeOf(hands), To: chart.Place{X: e.From.X, Y: hands.Y}})
		}
	}
	for _, v := range []hold.Variant{hold.FeetRaised, hold.HandsRaised} {
		height := b.Posture.Pose[v]
		if height == 0 || len(supports) != 2 {
			continue
		}
		raised := supports[0].At
		if supports[1].At.Y > raised.Y {
			raised = supports[1].At
		}
		list = append(list, chart.Dimension{Name: "raised", From: chart.Place{X: raised.X, Y: raised.Y - height}, To: placeOf(raised)})
	}
	return list
}

// title states the finding of a diagram from its numbers: what the supports
// carry where that is the question, else the shoulders, and the posture.
func (b *HeldBody) title(f chart.FreeBody) (string, error) {
	if len(f.Forces) == 0 {
		return "", errors.New("report: nothing holds the body up")
	}
	carries := func(s chart.Force, force float64) string {
		name := strings.TrimPrefix(s.Name, "both ")
		return fmt.Sprintf("the %s %s %.2f BW", name, verb(name), force)
	}
	first := f.Forces[0]
	var says []string
	required, _ := b.demand(hold.RequiredForce)
	angle, placed := b.demand(hold.ArmAngle)
	push, walled := b.demand(hold.WallPush)
	lean, leans := b.demand(hold.LeanAngle)
	_, shared := b.demand(hold.FootShare)
	switch shoulder, moment := shoulders(f); {
	case placed && b.Model == hold.Equilibrium:
		says = append(says, fmt.Sprintf("the harder-working arm carries %.2f BW", required))
	case placed:
		says = append(says, carries(first, math.Hypot(first.X, first.Y)))
	case walled:
		says = append(says, fmt.Sprintf("the wall pushes with %.2f BW", push), carries(first, first.Y))
	case shared: // of the weight, so that the shares add up
		says = append(says, carries(first, first.Y))
		for _, s := range f.Forces[1:] {
			says = append(says, fmt.Sprintf("the %s %.2f BW", strings.TrimPrefix(s.Name, "both "), s.Y))
		}
	case moment >= 0.005:
		says = append(says, fmt.Sprintf("%s %.2f BW·m", shoulder, moment))
	default:
		says = append(says, carries(first, first.Y))
	}
	switch {
	case placed:
		says = append(says, fmt.Sprintf("the arms stand %.0f° from the pole", angle*180/math.Pi))
	case leans && !walled && !shared:
		says = append(says, fmt.Sprintf("the arms lean %.0f° from the vertical", math.Abs(lean)*180/math.Pi))
	}
	title := b.Hold.Title
	if with := b.postureWords(); with != "" {
		title += ", " + with
	}
	return noBreak(title + ": " + strings.Join(says, ", ")), nil
}

// verb puts "carry" into the number of its subject.
func verb(noun string) string {
	if strings.HasSuffix(noun, "s") || strings.HasSuffix(noun, "feet") {
		return "carry"
	}
	return "carries"
}

// shoulders says which shoulders carry the largest moment, and its size in BW·m.
func shoulders(f chart.FreeBody) (says string, moment float64) {
	n := 0
	for _, m := range f.Moments {
		if !strings.Contains(m.Name, "shoulder") {
			continue
		}
		switch size := math.Abs(m.Value); {
		case n > 0 && math.Abs(size-moment) < 1e-9*size:
			says = "each shoulder carries"
		case n == 0 || size > moment:
			says, moment = "the "+m.Name+" "+verb(m.Name), size
		}
		n++
	}
	return says, moment
}
