// Package freebody holds up the median body of people, and draws what acts on it.
package freebody

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"counterpoise/internal/bodies"
	"counterpoise/internal/draw"
	"counterpoise/internal/limbs"
	"counterpoise/internal/provenance"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/names"
	"counterpoise/sim/person"
	"counterpoise/sim/scenario"
	"counterpoise/sim/statics"

	"gonum.org/v1/gonum/floats"
)

// HeldBody is one body in a hold, and whom it stands for.
type HeldBody struct {
	*scenario.HeldBody
	Hold     *hold.Hold
	Model    hold.Model
	Who      string // such as "the median body of ansur2-men"
	Whose    string // for the title of a picture, such as "an average man of 176 cm and 86 kg"; empty where others say it
	People   string // for the foot of a picture
	Of       string // name of the embedded population behind it
	N        int    // people measured behind the body
	Defaults bool   // whether all assumptions are at their defaults
	Units    words.System
}

// HoldMedianBody holds up the body whose every measurement is the median of a
// population, with what it carries. The error wraps hold.ErrNotPossible where that body cannot take
// the posture.
func HoldMedianBody(h *hold.Hold, model hold.Model, posture hold.Posture, load body.Load, people *anthro.Population, a *assume.Set) (*HeldBody, error) {
	b := &HeldBody{
		Hold: h, Model: model, Who: "the median body of " + people.Name, People: "the average body of " + words.Sexes(people.Name), Of: words.SurveyName(people), N: people.N,
		Defaults: *a == assume.Defaults(),
	}
	s := scenario.Scenario{Hold: h, Load: load, People: []scenario.Group{scenario.GroupOf(people)}, Models: []scenario.Model{scenario.DefaultModel(model)}}
	parts, err := s.Parts()
	if err != nil {
		return nil, err
	}
	median := anthro.MedianOf(people, people.Quantile)
	alone := []scenario.Case{{Setup: scenario.NewSetup(&s), Model: model, Builder: parts[0].Builder(s.Models[0]), Assume: a}}
	average, _ := words.English.Average(words.UntrainedOf(people))
	b.Whose = fmt.Sprintf("%s (%s, %s)", average, words.Rough(median.Value[anthro.Stature][0], units.Length, words.Metric), words.Rough(median.Value[anthro.Mass][0], units.Mass, words.Metric))
	err = scenario.NewBench(1, h.Asks(model), nil).Run(median, alone, func(_ int, tile *scenario.Tile) (err error) {
		if err = tile.First.Bodies.Check(0); err == nil {
			b.HeldBody, err = tile.First.Place(h, posture, model)
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return b, nil
}

// Weight is the body's, N.
func (b *HeldBody) Weight() float64 {
	return b.Figure.System.Mass() * b.Figure.System.Gravity
}

// Demand returns what the hold asks for, and whether the model gives it.
func (b *HeldBody) Demand(d hold.Demand) (float64, bool) {
	if column := b.Held.Value[d]; column != nil {
		return column[0], true
	}
	return 0, false
}

// fixtureKinds are the fixtures of holds by their names.
var fixtureKinds = map[string]bodies.FixtureKind{
	"pole": bodies.Pole, "bar": bodies.Bar, "cable": bodies.Ring,
	"floor": bodies.Floor, "wall": bodies.Wall, "box": bodies.Box,
}

// Forces are all that act on the body from outside but its weight and what it carries: at its supports,
// from bands and hands that help, and where the floor bears the lower legs.
func (b *HeldBody) Forces() (forces []bodies.Force, err error) {
	add := func(name string, at, force statics.Vec) {
		force = force.Times(1 / b.Weight())
		forces = append(forces, bodies.Force{Name: name, At: placeOf(at), X: force.X, Y: force.Y})
	}
	for _, s := range b.Figure.Supports {
		force, err := b.Figure.Force(b.Solution, s.Name)
		if err != nil {
			return nil, err
		}
		add(s.Name, s.At, force)
	}
	for _, p := range b.Figure.Pulls {
		add(p.Name, p.At, p.Force)
	}
	if at, force := limbs.Load(b.Figure); force.Length() > 0 {
		add("lower legs", at, force)
	}
	return forces, nil
}

// FreeBodyOf returns the free-body diagram of a held body. Its forces and
// moments are those of the solved general problem.
func FreeBodyOf(b *HeldBody) (bodies.FreeBody, error) {
	weight := b.Weight()
	f := bodies.FreeBody{
		View: b.view(), Weight: weight, Units: b.Units, Centre: placeOf(b.Figure.System.CentreOfMass()),
		Foot: b.foot(),
	}
	if err := b.outline(&f); err != nil {
		return f, err
	}
	var err error
	if f.Forces, err = b.Forces(); err != nil {
		return f, err
	}
	_, placed := b.Demand(hold.ArmAngle) // each hand has its own arm
	if along, told := b.Demand(hold.RequiredForce); told && placed && b.Model == hold.Equilibrium && len(f.Forces) > 0 {
		f.Forces[hardest(f)].Along = along
	}
	for _, j := range b.Figure.Joints {
		moment, err := b.Figure.Moment(b.Solution, j.Name)
		if err != nil {
			return f, err
		}
		f.Moments = append(f.Moments, bodies.Moment{Name: sidesOf(j), At: placeOf(j.At), Value: moment / weight})
	}
	f.Dimensions = b.dimensions(f.Fixtures)
	f.Title, err = b.title(f)
	return f, err
}

// outline draws the body, what it carries and what holds it.
func (b *HeldBody) outline(f *bodies.FreeBody) error {
	var err error
	if f.Body, err = limbs.Silhouette(b.Figure, b.fromFront()); err != nil {
		return err
	}
	f.Loads = b.loads(b.Weight())
	for _, e := range b.Figure.Fixture {
		if e.From == e.To && e.Name != "bar" {
			continue // a partner's hand: its force is drawn
		}
		kind, known := fixtureKinds[e.Name]
		if !known {
			return fmt.Errorf("report: unknown fixture %q", e.Name)
		}
		from, to := placeOf(e.From), placeOf(e.To)
		if kind == bodies.Floor { // on which bodies lie, as thick as they are
			for _, shape := range f.Body {
				for _, p := range shape.Points {
					from.Y, to.Y = math.Min(from.Y, p.Y), math.Min(to.Y, p.Y)
				}
			}
		}
		if kind == bodies.Wall { // likewise, on the side that it is on
			away := math.Copysign(1, from.X-f.Centre.X)
			for _, shape := range f.Body {
				for _, p := range shape.Points {
					if p.Y > math.Min(from.Y, to.Y) && p.Y < math.Max(from.Y, to.Y) && away*(p.X-from.X) > 0 {
						from.X, to.X = p.X, p.X
					}
				}
			}
		}
		f.Fixtures = append(f.Fixtures, bodies.Fixture{Kind: kind, From: from, To: to})
	}
	return nil
}

// SilhouetteOf is a body in its hold, without its forces.
func SilhouetteOf(held *scenario.HeldBody, h *hold.Hold, caption string) (bodies.Silhouette, error) {
	b := &HeldBody{HeldBody: held, Hold: h}
	s := bodies.Silhouette{Caption: words.NoBreak(caption), Body: bodies.FreeBody{Centre: placeOf(b.Figure.System.CentreOfMass())}}
	return s, b.outline(&s.Body)
}

// TestOf is the body of a hold upright, pulling with a straight arm, as far from the trunk as an angle
// tells, on a rope with a scale in it that holds the hand back; pushing along the arm, it leans on the
// scale.
func TestOf(held *scenario.HeldBody, h *hold.Hold, way person.Way, angle float64, caption string) (s bodies.Silhouette, err error) {
	b := &HeldBody{HeldBody: held, Hold: h}
	up, hand, along, further := limbs.Standing(b.Figure, b.Body, b.fromFront(), angle)
	s.Caption, s.Whole = words.NoBreak(caption), true
	if s.Body.Body, err = limbs.Silhouette(up, b.fromFront()); err != nil {
		return s, err
	}
	lowest := math.Inf(1)
	for _, shape := range s.Body.Body {
		for _, p := range shape.Points {
			lowest = math.Min(lowest, p.Y)
		}
	}
	const rope, scale = 0.55, 0.14 // m
	part := func(kind bodies.FixtureKind, from, to statics.Vec) {
		s.Body.Fixtures = append(s.Body.Fixtures, bodies.Fixture{Kind: kind, From: placeOf(from), To: placeOf(to)})
	}
	ends := [2]float64{-0.4, 0.4} // of the floor
	defer func() {
		part(bodies.Floor, statics.Vec{X: ends[0], Y: lowest}, statics.Vec{X: ends[1], Y: lowest})
	}()
	if way == person.Push {
		at := hand.Plus(along.Times(0.03))
		part(bodies.Pole, at.Minus(further.Times(scale)), at.Plus(further.Times(scale)))
		return s, nil
	}
	back := map[person.Way]statics.Vec{person.Up: further.Times(-1), person.Forward: further.Times(-1), person.Down: further, person.Back: further, person.Pull: along}[way]
	length := rope
	if down := (lowest - hand.Y) / back.Y; back.Y < 0 && down < 3 { // to where it is fastened on the floor
		length = down
		foot := hand.X + float64(back.X*length)
		ends = [2]float64{math.Min(ends[0], foot-0.1), math.Max(ends[1], foot+0.1)}
	}
	at := hand.Plus(back.Times(0.15))
	part(bodies.Cable, hand, hand.Plus(back.Times(length)))
	part(bodies.Pole, at, at.Plus(back.Times(scale)))
	return s, nil
}

// loads are what the body carries.
func (b *HeldBody) loads(weight float64) []bodies.Load {
	var list []bodies.Load
	for _, c := range limbs.Carried(b.Figure) {
		text := words.LoadPart(c.Point, c.Kilograms, b.Body.Load(), words.Metric)
		list = append(list, bodies.Load{Text: words.NoBreak(text), At: placeOf(c.At), Y: -c.Kilograms * statics.StandardGravity / weight})
	}
	return list
}

func placeOf(v statics.Vec) bodies.Place { return bodies.Place{X: v.X, Y: v.Y} }

// fromFront says whether the hold is computed in the frontal plane.
func (b *HeldBody) fromFront() bool { return b.Hold.FromFront() }

func (b *HeldBody) view() string {
	side := "seen from the side"
	if b.fromFront() {
		side = "seen from the front"
		if slices.ContainsFunc(b.Figure.Supports, func(s hold.Support) bool { return strings.HasPrefix(s.Name, "left ") }) {
			side = "seen from behind" // where left is on the left
		}
	}
	text := strings.ToLower(b.Hold.Title[:1]) + b.Hold.Title[1:] + " of " + b.Who
	if with := b.PostureWords(); with != "" {
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

// PostureWords says what is not the plain posture, and what is carried.
func (b *HeldBody) PostureWords() string {
	return words.NoBreak(words.PostureUnder(b.Posture, b.Body.Load()))
}

func (b *HeldBody) foot() draw.Foot {
	assumptions := "usual values"
	if !b.Defaults {
		assumptions = "as set"
	}
	model := "planar statics"
	if len(b.Hold.Rules) > 1 {
		model += ", the easiest posture"
	}
	return draw.Foot{
		People: fmt.Sprintf("%s (%s, %s)", b.People, words.Quantity(b.Body.Stature[0], units.Length, words.Metric), words.Quantity(b.Body.Mass[0], units.Mass, words.Metric)),
		N:      b.N, Model: model, Assumptions: assumptions,
		Source: provenance.Credit() + "; medians of " + words.Credits([]string{b.Of}) + ". " + words.NotValidated,
	}
}

// dimensions are the distances that the posture is set by. That to the wall is drawn to where the
// wall is, before which the heels are as thick as they are.
func (b *HeldBody) dimensions(fixtures []bodies.Fixture) []bodies.Dimension {
	var list []bodies.Dimension
	supports := b.Figure.Supports
	if apart, asked := b.Demand(hold.HandSpacing); asked && len(supports) == 2 {
		list = append(list, bodies.Dimension{Name: "hands", From: placeOf(supports[0].At), To: placeOf(supports[1].At), Text: words.OneLine(words.Mark(apart, b.Units))})
	}
	if len(supports) == 0 {
		return list
	}
	hands := supports[0].At
	for _, e := range b.Figure.Fixture {
		if k := slices.IndexFunc(fixtures, func(f bodies.Fixture) bool { return f.Kind == bodies.Wall }); e.Name == "wall" && k >= 0 {
			list = append(list, bodies.Dimension{Name: "to the wall", From: placeOf(hands), To: bodies.Place{X: fixtures[k].From.X, Y: hands.Y}, Text: words.OneLine(words.Rough(math.Abs(e.From.X-hands.X), units.Length, b.Units))})
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
		list = append(list, bodies.Dimension{Name: "raised", From: bodies.Place{X: raised.X, Y: raised.Y - height}, To: placeOf(raised)})
	}
	return list
}

// title states the finding of a diagram from its numbers: what the supports
// carry where that is the question, else the shoulders, and the posture.
func (b *HeldBody) title(f bodies.FreeBody) (string, error) {
	if len(f.Forces) == 0 {
		return "", errors.New("report: nothing holds the body up")
	}
	weights := func(bodyWeights float64) string { return words.Weight(bodyWeights*f.Weight, b.Units) }
	carries := func(s bodies.Force) string {
		name := strings.TrimPrefix(s.Name, "both ")
		text := "the " + name + " " + verb(name) + " "
		if s.Along > 0 {
			return text + weights(s.Along) + " along the arm"
		}
		return text + weights(s.Size())
	}
	first := f.Forces[0]
	var says []string
	angle, placed := b.Demand(hold.ArmAngle)
	push, walled := b.Demand(hold.WallPush)
	lean, leans := b.Demand(hold.LeanAngle)
	_, shared := b.Demand(hold.FootShare)
	switch shoulder, moment := shoulders(f); {
	case placed && b.Model == hold.Equilibrium:
		says = append(says, carries(f.Forces[hardest(f)]))
	case placed:
		says = append(says, carries(first))
	case walled:
		says = append(says, carries(first), "the wall "+weights(push))
	case shared:
		says = append(says, carries(first))
		for _, s := range f.Forces[1:] {
			says = append(says, "the "+strings.TrimPrefix(s.Name, "both ")+" "+weights(math.Hypot(s.X, s.Y)))
		}
	case moment >= 0.005:
		says = append(says, shoulder+" "+words.Turning(moment*f.Weight, b.Units))
	default:
		says = append(says, carries(first))
	}
	switch {
	case placed:
		says = append(says, "the arms "+words.Rough(angle, units.Angle, words.Metric)+" from the pole")
		if apart, told := b.Demand(hold.HandSpacing); told {
			says[len(says)-1] = "hands " + words.Mark(apart, b.Units) + " apart"
		}
	case leans && !walled && !shared:
		says = append(says, "the arms lean "+words.Rough(math.Abs(lean), units.Angle, words.Metric)+" from the vertical")
	}
	title := b.Hold.Title
	for _, part := range []string{b.PostureWords(), b.Whose} {
		if part != "" {
			title += ", " + part
		}
	}
	return words.NoBreak(title + ": " + strings.Join(says, ", ")), nil
}

// hardest is which force on a body is the largest.
func hardest(f bodies.FreeBody) int { return floats.MaxIdx(names.Each(f.Forces, bodies.Force.Size)) }

// verb is what a support or a joint does with its load, in its number. Hands on a pole pull and push,
// and carry only a part of that.
func verb(noun string) string {
	switch {
	case noun == hold.SupportBottomHand:
		return "pushes with"
	case noun == hold.SupportTopHand:
		return "pulls with"
	case strings.HasSuffix(noun, "s"), strings.HasSuffix(noun, "feet"):
		return "carry"
	}
	return "carries"
}

// sidesOf names a joint by the sides that bear its moment.
func sidesOf(j hold.Joint) string {
	switch one, plural := strings.CutSuffix(j.Name, "s"); {
	case plural && len(j.Segments) > 1:
		return "both " + j.Name
	case plural:
		return one
	}
	return j.Name
}

// shoulders says which shoulders carry the largest moment, and its size in BW·m.
func shoulders(f bodies.FreeBody) (says string, moment float64) {
	n := 0
	for _, m := range f.Moments {
		if !strings.Contains(m.Name, "shoulder") {
			continue
		}
		switch size := math.Abs(m.Value); {
		case n > 0 && math.Abs(size-moment) < 1e-9*size:
			says = "each shoulder carries"
		case n == 0 || size > moment:
			says, moment = m.Name+" "+verb(m.Name), size
			if !strings.HasPrefix(says, "both ") {
				says = "the " + says
			}
		}
		n++
	}
	return says, moment
}
