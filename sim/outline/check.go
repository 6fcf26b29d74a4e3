package outline

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/names"
)

// Bounds of what a description may say: beyond, a unit was mistaken.
var (
	AngleBounds  = fault.Bounds{Least: -2 * math.Pi, Most: 2 * math.Pi, Unit: "rad"}
	SpreadBounds = fault.Bounds{Least: 0, Most: 4 * math.Pi / 9, Unit: "rad"}
	LeanBounds   = fault.Bounds{Least: 0, Most: 1.5}
	RubBounds    = fault.Bounds{Least: -1.5, Most: 1.5}
	PressBounds  = fault.Bounds{Least: 0, Most: 2}
	ForceBounds  = fault.Bounds{Least: 0, Most: 5000, Unit: "N"}
	LengthBounds = fault.Bounds{Least: -3, Most: 3, Unit: "m"}
	ShareBounds  = fault.Bounds{Least: 0, Most: 1}
	GripBounds   = fault.Bounds{Least: 0.05, Most: 1}
	CableBounds  = fault.Bounds{Least: 0.3, Most: 30, Unit: "m"}
)

var nameForm = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// checker collects faults.
type checker struct{ fault.List }

// Check reports everything that is wrong with the outline as joined *fault.Error, which
// name the fields as files do; what statics makes of it last, and only if all else is
// well.
func (o *Outline) Check() error {
	if err := o.checkFields(); err != nil {
		return err
	}
	_, err := o.ready()
	return err
}

func (o *Outline) checkFields() error {
	c := &checker{}
	if !nameForm.MatchString(o.Name) {
		c.Fail("hold", o.Name, "%q is not a valid name: use small letters, digits and single hyphens", o.Name)
	} else if _, taken := hold.Parse(o.Name); taken {
		c.Fail("hold", o.Name, "%s is a shipped hold, choose another name", o.Name)
	}
	for _, of := range []struct{ field, text string }{{"title", o.Title}, {"looks", o.Looks}} {
		if strings.TrimSpace(of.text) == "" {
			c.Fail(of.field, nil, "is missing: people read it")
		}
	}
	if o.View == Side && o.facing() == 0 {
		c.Fail("faces", o.Faces.String(), "the trunk lies along that direction: name the side that the belly faces")
	}
	c.angles(o)
	c.free(o)
	c.supports(o)
	for k, f := range o.Forces {
		field := fmt.Sprintf("forces[%d]", k)
		c.Add(ForceBounds.Check(field+".force", f.Newtons))
		c.Add(AngleBounds.Check(field+".towards", f.Towards))
		if f.Newtons == 0 {
			c.Fail(field+".force", f.Newtons, "a force of zero does nothing, leave it out")
		}
	}
	c.Add(SpreadBounds.Check("arms_spread", o.ArmsSpread))
	c.Add(SpreadBounds.Check("legs_apart", o.LegsApart))
	if o.ShoulderStrengthAt != nil {
		c.Add(AngleBounds.Check("shoulder_strength_at", *o.ShoulderStrengthAt))
	}
	if o.View == Front && o.HipsDecide {
		c.Fail("hips_decide", nil, "needs a hold seen from the side: the sideways strength of the hips is not known")
	}
	if o.View == Front && (o.ArmsSpread != 0 || o.LegsApart != 0) {
		c.Fail("arms_spread", nil, "needs a hold seen from the side: from the front, raise the arms and bend the thighs instead")
	}
	if o.View == Front && o.Feet == Standing {
		c.Fail("feet", "standing", "needs a hold seen from the side")
	}
	return errors.Join(c.List...)
}

// angles checks where the parts point.
func (c *checker) angles(o *Outline) {
	a := assume.Defaults()
	for part := range NumParts {
		for side := range 2 {
			angle, field := o.Parts[part].Of(side), "angles."+part.String()
			if side == 1 && !o.Parts[part].Differ {
				continue
			}
			if o.Parts[part].Differ && !part.Paired() {
				c.Fail(field, nil, "there is only one %s, give it one angle", part)
			}
			c.Add(bounds(part, angle.Against).Check(field, angle.turn(&a).at))
			switch {
			case part == Chest && angle.Against != Level:
				c.Fail(field, angle.Against.String(), "no part comes before it: give its angle from the level, 0 to the right")
			case part != UpperArm && angle.Against == Trunk:
				c.Fail(field, angle.Against.String(), "is raised: only upper arms can be; write bent, or level")
			case part == UpperArm && angle.Against == Neighbour && (angle.Value != 0 || angle.Free || angle.Assumed != NoAssumption):
				c.Fail(field, angle.Against.String(), "upper arms are raised from the trunk, or level")
			}
		}
	}
}

// bounds are how far a part may turn against what it is measured by: a little farther
// than joints let anybody.
func bounds(p Part, against Against) fault.Bounds {
	turn := func(least, most float64) fault.Bounds {
		return fault.Bounds{Least: least * math.Pi / 18, Most: most * math.Pi / 18, Unit: "rad"}
	}
	switch {
	case against == Level:
		return AngleBounds
	case p == UpperArm:
		return turn(-12, 24)
	case p == Forearm, p == Shank:
		return turn(-2, 16)
	case p == Thigh:
		return turn(-6, 16)
	}
	return turn(-9, 9)
}

// free checks what is left free: one angle, or one of both sides, once in any chain.
func (c *checker) free(o *Outline) {
	var parts []string
	for part := range NumParts {
		if o.Parts[part].First.Free || o.Parts[part].Differ && o.Parts[part].Other.Free {
			parts = append(parts, part.String())
		}
	}
	f := o.Free
	switch {
	case f == nil && len(parts) > 0:
		c.Fail("free", nil, "is missing: give the range of the angle of the %s and what fixes it", strings.Join(parts, " and "))
		return
	case f == nil:
		return
	case len(parts) == 0:
		c.Fail("free", nil, "no angle is free: write free instead of the angle of one part, or leave this out")
		return
	case len(parts) > 1:
		c.Fail("angles", nil, "%s are free: only one angle can be, statics has no rule for more", strings.Join(parts, " and "))
		return
	}
	c.Add(AngleBounds.Check("free.from", f.From))
	c.Add(AngleBounds.Check("free.to", f.To))
	if !(f.From < f.To) {
		c.Fail("free.to", f.To, "must be larger than from")
	}
	switch f.By {
	case Balance:
		if places := o.places(); places != 1 {
			c.Fail("free.by", "balance", "balance fixes an angle only where one place carries everything; here %d places do: name the heights or distances of two points instead, or least difficulty", places)
		}
	case Higher, Across:
		c.Add(LengthBounds.Check("free.by", f.Value))
		if f.Of == f.Over {
			c.Fail("free.of", f.Of.String(), "a point cannot be above itself or beside itself")
		}
	}
}

// places counts the places at which the body is held.
func (o *Outline) places() int {
	n := 0
	for _, s := range o.Supports {
		n++
		if s.At == Hands && o.View == Front && !o.OneArm || s.At == Hands && (o.Parts[UpperArm].Differ || o.Parts[Forearm].Differ) && !o.OneArm {
			n++
		}
	}
	return n
}

// supports checks what holds the body up.
func (c *checker) supports(o *Outline) {
	if len(o.Supports) == 0 {
		c.Fail("supports", nil, "is missing: say what holds the body up, as in {at: hands, on: bar}")
	}
	if len(o.Supports) > mostSupports {
		c.Fail("supports", len(o.Supports), "at most %d are allowed", mostSupports)
		return
	}
	var at []Point
	for k := range o.Supports {
		s, field := &o.Supports[k], fmt.Sprintf("supports[%d]", k)
		if slices.Contains(at, s.At) || isHand(s.At) && slices.Contains(at, Hands) || s.At == Hands && slices.ContainsFunc(at, isHand) {
			c.Fail(field+".at", s.At.String(), "%s: held twice; hold each hand once", s.At)
		}
		at = append(at, s.At)
		c.support(o, s, field)
	}
	if o.LegForms && slices.ContainsFunc(at, onLegs) {
		c.Fail("leg_forms", nil, "legs that bear weight stay as they are: leave this out")
	}
	if o.LegForms && (o.Parts[Thigh].Differ || o.Parts[Shank].Differ || o.LegsApart != 0) {
		c.Fail("leg_forms", nil, "the legs are already described one by one or apart: leave this out")
	}
	if o.Sharing == Given {
		c.Add(ShareBounds.Check("shared", o.Share))
	}
}

func isHand(p Point) bool { return p == FirstHand || p == OtherHand }

func (c *checker) support(o *Outline, s *Support, field string) {
	hands := s.At == Hands || isHand(s.At)
	grasped := s.On == Bar || s.On == Pole || s.On == Rings
	switch {
	case grasped && !hands:
		c.Fail(field+".on", s.On.String(), "only hands can hold a %s, not %s", s.On, s.At)
	case s.On == Wall && s.At != Heels && s.At != Balls && s.At != Hips && s.At != Shoulders && s.At != UpperBack:
		c.Fail(field+".on", s.On.String(), "a wall is for heels, balls of the feet, hips, shoulders or upper back")
	case (s.On == Floor || s.On == Bench) && s.At == Elbows:
		c.Fail(field+".at", s.At.String(), "arms lie on the floor by their forearms: write forearms")
	case s.At == Balls && o.Feet != Standing:
		c.Fail(field+".at", s.At.String(), "the balls of the feet are on it: write feet: standing")
	case o.View == Front && (s.At == Forearms || s.At == Elbows || s.At == Knees || s.At == Heels || s.At == Balls):
		c.Fail(field+".at", s.At.String(), "seen from the front, the two feet are in different places: write first foot, or use view: side")
	case s.On == Pole && o.View != Front:
		c.Fail(field+".on", s.On.String(), "hands hold a pole one above the other: use view: front")
	case o.OneArm && s.At == OtherHand:
		c.Fail(field+".at", s.At.String(), "with one_arm, the second hand holds nothing: hold by the first hand")
	}
	if (s.Leans != nil || s.Grips) && s.On != Floor {
		c.Fail(field+".on", s.On.String(), "leans and grips belong to a floor")
	}
	if s.Leans != nil && !hands && s.At != Forearms {
		c.Fail(field+".at", s.At.String(), "leans needs hands or forearms on the floor")
	}
	if s.Rubs != nil && s.On != Wall {
		c.Fail(field+".on", s.On.String(), "rubs belongs to a wall")
	}
	if (s.Press != nil || s.Fingers != 0) && (!hands || s.On != Floor && s.On != Bench) {
		c.Fail(field+".at", s.At.String(), "press and fingers need hands on the floor")
	}
	for _, of := range []struct {
		name   string
		amount *Amount
		bounds fault.Bounds
	}{{"leans", s.Leans, LeanBounds}, {"rubs", s.Rubs, RubBounds}, {"press", s.Press, PressBounds}} {
		if of.amount != nil && of.amount.Assumed == NoAssumption {
			c.Add(of.bounds.Check(field+"."+of.name, of.amount.Value))
		}
	}
	if s.On == Rings {
		c.Add(CableBounds.Check(field+".cable", s.Cable))
		c.Add(fault.Bounds{Least: 0, Most: 5, Unit: "m"}.Check(field+".apart", s.Apart))
	}
	for _, grip := range []float64{s.Grip, s.OtherGrip} {
		if grip != 0 {
			c.Add(GripBounds.Check(field+".grip", grip))
		}
	}
	c.Add(fault.Bounds{Least: 0, Most: math.Pi, Unit: "rad"}.Check(field+".fingers", s.Fingers))
}

// ready compiles an outline, once for each.
func (o *Outline) ready() (*compiled, error) {
	kept := *o
	kept.Supports, kept.Forces, kept.ReportedOnly = slices.Clone(o.Supports), slices.Clone(o.Forces), slices.Clone(o.ReportedOnly)
	kept.Free, kept.ShoulderStrengthAt = copied(o.Free), copied(o.ShoulderStrengthAt)
	for k := range kept.Supports {
		s := &kept.Supports[k]
		s.Leans, s.Rubs, s.Press = copied(s.Leans), copied(s.Rubs), copied(s.Press)
	}
	c, err := (&kept).compile()
	if err != nil {
		return nil, err
	}
	return c, c.tryStrengths()
}

func copied[T any](of *T) *T {
	if of == nil {
		return nil
	}
	c := *of
	return &c
}

// Hold makes the hold that the outline describes. Its errors are those of Check.
func (o *Outline) Hold() (*hold.Hold, error) {
	if err := o.checkFields(); err != nil {
		return nil, err
	}
	c, err := o.ready()
	if err != nil {
		return nil, err
	}
	plane := "sagittal, seen from the side"
	if o.View == Front {
		plane = "frontal, seen from the front"
	}
	account := c.account()
	h := &hold.Hold{
		Name: o.Name, Title: o.Title, Description: o.Looks, Plane: plane, LeavesOut: c.leavesOut(), Text: o.Text,
		Supports: account.Unknown, Free: "none", LegForms: o.legForms(),
		ArmsApart: c.apart && o.View != Front,
		Figure:    c.figure, PlacedBy: []hold.Demand{FreeAngle, OpenForce},
	}
	if account.Fixed != "" {
		h.Free = "one angle, fixed by: " + account.Fixed
	}
	h.Sized = len(o.Forces) > 0 || slices.ContainsFunc(o.Supports, func(s Support) bool { return s.On == Rings && c.View == Front }) ||
		o.Free != nil && o.Free.Value != 0
	hold.Complete(h, c.solve, c.muscle, c.asks(), c.assumptions()...)
	if o.Free != nil && o.Free.By == Least && c.onPoles() {
		c.placed(h)
	}
	return h, nil
}

// placed lets a study place the hands of a hold on a pole.
func (c *compiled) placed(h *hold.Hold) {
	a := assume.Defaults()
	r := reference()[0]
	s := c.study(r.Columns, r.capacity, hold.Posture{}, &a)
	angle := func(free float64) float64 {
		s.place(&s.posed.placed, &s.stance, s.b, 0, free, s.a)
		return s.armAngle()
	}
	h.Rules = []hold.Rule{hold.Best, hold.GivenAngle, hold.GivenSpacing}
	h.Parts, h.PartsOf = c.parts, hold.CarryingParts(c.partsOf)
	h.LeastAngle, h.MostAngle = angle(c.Free.From), angle(c.Free.To)
	if h.LeastAngle > h.MostAngle {
		h.LeastAngle, h.MostAngle = h.MostAngle, h.LeastAngle
	}
}

// parts names the uses by which a posture is chosen, those of both directions as one.
func (c *compiled) parts(hold.Model) (names []string) {
	for k := range c.muscle {
		if u := &c.muscle[k]; !u.Reported && !c.idle[k] {
			names = append(names, u.Group.Of(u.Side))
		}
	}
	return names
}

// partsOf evaluates what parts names at arm angles; see hold.Hold.
func (c *compiled) partsOf(b *body.Columns, capacity *hold.Capacity, i int, p hold.Posture, _ hold.Model, a *assume.Set) func(values []float64, angle float64) bool {
	p.Rule = hold.GivenAngle
	p.Angle = make([]float64, b.Rows())
	s := c.study(b, capacity, p, a)
	return func(values []float64, angle float64) bool {
		p.Angle[i] = angle
		if !s.hold(i) {
			return false
		}
		clear(values)
		n := 0
		for k := range c.muscle {
			if u := &c.muscle[k]; u.Reported || c.idle[k] {
				continue
			}
			for l := range s.lines.n {
				if s.lines.of[l] == k {
					g := c.muscle[k].Group
					use := s.lines.line[l].value(s.posed.open) / (capacity.Of[g][i] * capacity.Curve[g].At(s.lines.angle[l]))
					values[n] = max(values[n], use)
				}
			}
			n++
		}
		return true
	}
}

// leavesOut adds to what the description says is left out what no outline sees.
func (c *compiled) leavesOut() []string {
	list := append(slices.Clone(c.LeavesOut), "whatever leaves the plane, and parts that bend or stretch", "couples at hands or feet")
	if c.ArmsSpread != 0 {
		list = append(list, "the force across the plane in spread arms, and so the full force along them")
	}
	if slices.ContainsFunc(c.contacts, func(of contact) bool { return of.at == HeadTop }) {
		list = append(list, "the load on the neck")
	}
	return list
}

// assumptions lists those that the hold's own statics reads.
func (c *compiled) assumptions() (list []assume.ID) {
	add := func(id assume.ID, is bool) {
		if is {
			list = names.Once(list, id)
		}
	}
	for part := range NumParts {
		for side := range 2 {
			add(c.Parts[part].Of(side).Assumed.ID())
		}
	}
	for k := range c.Supports {
		s := &c.Supports[k]
		for _, amount := range []*Amount{s.Leans, s.Rubs} {
			if amount != nil {
				add(amount.Assumed.ID())
			}
		}
		add(assume.ForearmPressure, s.At == Forearms)
		add(assume.BallShare, s.At == Balls)
	}
	for side := range 2 {
		if id, is := c.press[side].Assumed.ID(); is {
			add(id, math.Abs(c.fingers[side]) > 1e-9)
		}
	}
	for _, f := range c.Forces {
		add(assume.ForearmPressure, f.At == Forearms)
		add(assume.BallShare, f.At == Balls)
	}
	add(assume.TopShare, c.onPoles() && c.open >= 0)
	return list
}
