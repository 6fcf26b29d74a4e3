package scenario

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/names"
	"counterpoise/sim/segment"
)

// checker collects faults.
type checker struct{ fault.List }

// Check reports everything that is wrong with the scenario as joined *fault.Error,
// which name the fields as claims in files do; see fault.All. The demands are those
// that the hold, and that of the change, must give under every model.
func (s *Scenario) Check(demands ...hold.Demand) error {
	c := &checker{}
	if s.Hold == nil {
		c.Fail("hold", nil, "a hold is needed, known: %s", strings.Join(hold.Names(), ", "))
	}
	c.people(s)
	c.assumptions(s)
	if s.Hold == nil {
		if len(s.Models) == 0 {
			c.Fail("models", nil, "a model is needed")
		}
		return errors.Join(c.List...)
	}
	c.posture(s.Hold, "", &s.Legs, &s.Pose, &s.Tilt)
	c.Add(s.Load.Check())
	ch := s.Change
	if ch != nil && ch.Hold != nil && (!ch.Body.IsZero() || ch.Arms != nil || len(ch.Assume) > 0 || ch.Posture != AtBest) {
		c.Fail("change", nil, "in another hold the body itself does not change and takes its best posture: leave out everything but legs, pose and tilt")
	}
	c.models(s, demands)
	if ch != nil {
		c.change(s, ch)
	}
	return errors.Join(c.List...)
}

// people checks who is held up.
func (c *checker) people(s *Scenario) {
	if len(s.People) == 0 {
		c.Fail("people", nil, "people are needed, such as us-men")
	}
	for i, g := range s.People {
		if !(g.Weight > 0) || math.IsInf(g.Weight, 0) {
			c.Fail("people", g.Weight, "the weight of %s is %g, must be positive", g.Population, g.Weight)
		}
		if g.Population == "" {
			c.Fail("people", g.Population, "a group has no name")
		} else if slices.ContainsFunc(s.People[:i], func(b Group) bool { return b.Population == g.Population }) {
			c.Fail("people", g.Population, "%s appears twice", g.Population)
		}
	}
	for _, r := range s.Where {
		if !(r.Low <= r.High) {
			c.Fail("people.where", r.Low, "%s: the range is the wrong way round, or no range", r)
		}
	}
	if err := anthro.CheckTargets(s.Targets); err != nil {
		c.Fail("people.targets", nil, "%v", err)
	}
}

// assumptions checks what is believed of the assumptions.
func (c *checker) assumptions(s *Scenario) {
	u := s.Assumed()
	for id := range assume.Count {
		of := assume.DefaultUncertainty()
		if err := of.Spread(id, u.Low[id], u.High[id]); err != nil {
			c.Fail("assume."+id.String(), u.Centre[id], "%v", err)
		} else if !(u.Centre[id] >= u.Low[id] && u.Centre[id] <= u.High[id]) {
			c.Fail("assume."+id.String(), u.Centre[id], "%g is not possible, its range is %g to %g", u.Centre[id], u.Low[id], u.High[id])
		}
	}
}

// posture checks how a hold is done; before goes before the names of the fields.
// What is nil is not looked at.
func (c *checker) posture(h *hold.Hold, before string, legs *hold.Legs, pose *hold.Pose, tilt *float64) {
	if legs != nil {
		c.legs(h, before+"legs", *legs)
	}
	if pose != nil {
		c.pose(h, before+"pose", *pose)
	}
	if tilt != nil {
		if *tilt != 0 && !h.Tilts {
			c.Fail(before+"tilt", *tilt, "%s is not tilted, leave this out", h.Name)
		} else {
			c.Add(TiltBounds.Check(before+"tilt", *tilt))
		}
	}
}

func (c *checker) legs(h *hold.Hold, field string, legs hold.Legs) {
	if err := oneOf(field+".form", legs.Form, hold.NumLegForms); err != nil {
		c.Add(err)
		return
	}
	if !h.TakesLegs(legs.Form) {
		c.Fail(field, legs.Form, "%s cannot be done with the legs %s; allowed: %s", h.Name, legs.Form, NamesOf(h.LegForms))
	}
	c.Add(StraddleBounds.Check(field+".angle", legs.Angle))
	c.Add(BendBounds.Check(field+".hip", legs.Hip))
	c.Add(BendBounds.Check(field+".knee", legs.Knee))
	straight := legs.Form == hold.Together || legs.Form == hold.Straddle
	switch {
	case legs.Form != hold.Straddle && legs.Angle != 0:
		c.Fail(field+".angle", legs.Angle, "%s has no angle, only a straddle has", legs.Form)
	case legs.Form == hold.Straddle && legs.Angle == 0:
		c.Fail(field+".angle", legs.Angle, "a straddle opens each leg by more than 0; for 0 take together")
	case straight && (legs.Hip != 0 || legs.Knee != 0):
		c.Fail(field, legs.Form, "the legs of %s are straight, leave out hip and knee", legs.Form)
	}
}

func (c *checker) pose(h *hold.Hold, field string, pose hold.Pose) {
	for v := range hold.NumVariants {
		switch value, info := pose[v], v.Info(); {
		case value == 0:
		case !h.Takes(v):
			c.Fail(field+"."+info.Name, value, "%s", Lacks(h, v))
		case info.Unit == "" && value != 1:
			c.Fail(field+"."+info.Name, value, "%g is neither 1 for yes nor 0 for no", value)
		default:
			c.Add(fault.Bounds{Least: info.Least, Most: info.Most, Unit: info.Unit}.Check(field+"."+info.Name, value))
		}
	}
}

// Lacks says that the hold does not have the variant, and which it has.
func Lacks(h *hold.Hold, v hold.Variant) string {
	if len(h.Variants) == 0 {
		return fmt.Sprintf("%s has no %s, nor any other variant of its pose", h.Name, v)
	}
	return fmt.Sprintf("%s has no %s; it has %s", h.Name, v, NamesOf(h.Variants))
}

// models checks that the hold, or that of the change, is computed under the models,
// and that both give the demands.
func (c *checker) models(s *Scenario, demands []hold.Demand) {
	h, next := s.Hold, s.next()
	for _, d := range demands {
		if d == nil {
			c.Fail("quantity", nil, "the quantity is missing; %s has %s", h.Name, NamesOf(DemandsOf(h)))
			return
		}
		for k, of := range []*hold.Hold{h, next} {
			held := s.Posture()
			if k == 1 {
				held = s.PostureAfter()
			}
			if Tells(of, d, held) {
				continue
			}
			if why := Unknown(of, d, held); why != "" {
				c.Fail("quantity", d, "the %s of %s is not known: %s", d, of.Name, why)
			} else {
				c.Fail("quantity", d, "%s has no %s; it has %s", of.Name, d, NamesOf(DemandsOf(of)))
			}
			return
		}
	}
	if len(s.Models) == 0 {
		c.Fail("models", nil, "a model is needed")
	}
	for i, m := range s.Models {
		faults := len(c.List)
		c.Add(oneOf("models", m.Statics, hold.NumModels))
		c.Add(oneOf("regional_masses", m.Masses, body.NumMasses))
		if !slices.Contains(segment.Names(), m.Segments) {
			c.Fail("segments", m.Segments, "unknown segment table %q, known: %s", m.Segments, strings.Join(segment.Names(), ", "))
		}
		if len(c.List) > faults {
			continue
		}
		if slices.Contains(s.Models[:i], m) {
			c.Fail("models", m, "%s appears twice", m)
		}
		if slices.ContainsFunc(s.Models[:i], func(b Model) bool { return b.Statics == m.Statics }) {
			continue
		}
		if !h.Has(m.Statics) && !next.Has(m.Statics) {
			c.Fail("models", m.Statics, "%s is not computed under %s, only under %s", h.Name, m.Statics, NamesOf(h.Models))
			continue
		}
		for _, d := range demands {
			first, second := Under(h, m.Statics), Under(next, m.Statics)
			if !h.AsksFor(first, d) {
				c.Fail("quantity", d, "%s under %s gives no %s", h.Name, m.Statics, d)
			} else if !next.AsksFor(second, d) {
				c.Fail("quantity", d, "%s under %s gives no %s", next.Name, m.Statics, d)
			} else if why := hold.Unlike(d, h, next); why != "" {
				c.Fail("quantity", d, "%s", why)
			} else if why := Unlike(d, first, second); why != "" {
				c.Fail("models", m.Statics, "%s: %s is computed under %s, %s under %s; leave %s out", why, h.Name, first, next.Name, second, m.Statics)
			}
		}
	}
}

// change checks what makes the second body out of the first.
func (c *checker) change(s *Scenario, ch *Change) {
	h, next := s.Hold, s.next()
	c.posture(next, "change.", ch.Legs, ch.Pose, ch.Tilt)
	c.Add(fault.Within("change", ch.Body.Check()))
	c.Add(fault.Within("change", ch.Load.Check()))
	if ch.Load.Check() == nil && s.Load.Check() == nil {
		c.Add(fault.Within("change", s.Load.Plus(ch.Load).Check()))
	}
	if slices.ContainsFunc(ch.Body.Mass, func(m body.AddedMass) bool { return m.Working != 0 }) && !AsksFor(h, hold.Difficulty) {
		c.Fail("change", nil, "%s does not compare demands with strength, so working_share changes nothing: leave it out", h.Name)
	}
	if err := oneOf("posture", ch.Posture, NumPostureRules); err != nil {
		c.Add(err)
	} else if !h.Places(ch.Posture.Rule()) {
		c.Fail("posture", ch.Posture, "%s leaves no choice of posture: leave this out or write %s", h.Name, AtBest)
	}
	if ch.Arms != nil {
		c.arms(h, ch)
	}
	for _, id := range ch.Assumed() {
		u := assume.DefaultUncertainty()
		if err := oneOf("change.assume", id, assume.Count); err != nil {
			c.Add(err)
		} else if err := u.Fix(id, ch.Assume[id]); err != nil {
			c.Fail("change.assume."+id.String(), ch.Assume[id], "%v", err)
		} else if !Reads(h, id) {
			c.Fail("change", id, "the assumption %s is not about the hold's own statics, so a change cannot alter it", id)
		}
	}
}

func assumptionName(id assume.ID) string {
	if id < 0 || id >= assume.Count {
		return ""
	}
	return id.String()
}

// arms checks where the hands of changed bodies go.
func (c *checker) arms(h *hold.Hold, ch *Change) {
	arms := ch.Arms
	given := names.HowMany([]bool{arms.Angle != nil, arms.Turn != nil, arms.Spacing != nil}, func(is bool) bool { return is })
	switch {
	case given != 1:
		c.Fail("change", given, "place the arms by only one of an angle, a turn or a spacing: found %d", given)
		return
	case arms.Spacing != nil && !h.Places(hold.GivenSpacing) || arms.Spacing == nil && !h.Places(hold.GivenAngle):
		c.Fail("change", nil, "%s leaves no choice of arm position: leave out arm_angle and hand_spacing", h.Name)
		return
	case ch.Posture != AtBest:
		c.Fail("posture", ch.Posture, "the change itself places the arms, leave this out")
	}
	if arms.Angle != nil {
		c.Add(fault.Bounds{Least: h.LeastAngle, Most: h.MostAngle, Unit: "rad"}.Check("change.arm_angle", *arms.Angle))
	}
	if arms.Turn != nil {
		c.Add(fault.Bounds{Least: h.LeastAngle - h.MostAngle, Most: h.MostAngle - h.LeastAngle, Unit: "rad"}.Check("change.arm_angle", *arms.Turn))
	}
	if arms.Spacing != nil {
		c.Add(arms.Spacing.Check("change.hand_spacing"))
	}
}

// DemandsOf lists what the hold, which may be nil, asks for under any of its models:
// first what other holds ask for as well, in the order of hold.Demands.
func DemandsOf(h *hold.Hold) []hold.Demand {
	var list []hold.Demand
	if h == nil {
		return nil
	}
	for _, d := range hold.Demands() {
		if AsksFor(h, d) {
			list = append(list, d)
		}
	}
	for _, m := range h.Models {
		for _, d := range h.Asks(m) {
			list = names.Once(list, d)
		}
	}
	return list
}

// NamesOf lists names for a sentence, with commas between.
func NamesOf[T fmt.Stringer](list []T) string {
	return strings.Join(names.Of(list), ", ")
}
