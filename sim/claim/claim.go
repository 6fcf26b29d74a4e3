// Package claim decides whether a rule of thumb is true: for whom, by how much,
// under which model and how surely.
//
// A claim is a sentence with a hold, people, a change of the same body (or a
// contrast between different people), a quantity, the direction in which it is
// said to move and the smallest effect that matters. Test draws people, holds
// each of them up before and after, and applies one stated rule to the paired
// effects. Three kinds of not knowing are kept apart: people differ (drawn),
// assumptions are uncertain (an outer loop over their ranges), models differ
// (listed, never averaged).
package claim

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/strength"
)

// Direction is the way in which a claim says that its quantity moves.
type Direction int

// The directions.
const (
	Increase Direction = iota
	Decrease
	None // it is claimed not to move by as much as matters
	NumDirections
)

var directionNames = [NumDirections]string{"increase", "decrease", "none"}

// String returns the direction as written in files.
func (d Direction) String() string { return directionNames[d] }

// MarshalText writes the direction's name.
func (d Direction) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// ParseDirection finds a direction by its name.
func ParseDirection(name string) (Direction, bool) {
	for d := range NumDirections {
		if directionNames[d] == name {
			return d, true
		}
	}
	return 0, false
}

// Threshold is the smallest effect that matters: an absolute size in the
// quantity's own unit, or a share of each body's baseline. Exactly one is set.
type Threshold struct {
	Absolute float64 `json:"absolute,omitempty"`
	Share    float64 `json:"share,omitempty"`
}

// Of returns the threshold for a baseline value, in the quantity's unit. A share
// of nothing is still more than rounding.
func (t Threshold) Of(baseline float64) float64 {
	return max(t.Absolute+t.Share*math.Abs(baseline), rounding)
}

// People is a part of the people over whom a claim is tested.
type People struct {
	Population string  `json:"population"`
	Weight     float64 `json:"weight"` // relative to the others'
	// Own is the population itself where it is not an embedded one, which is found
	// by its name; Population is then the name that it bears.
	Own *anthro.Population `json:"-"`
}

// Model is one way to compute the answer.
type Model struct {
	Statics  hold.Model  `json:"-"`
	Masses   body.Masses `json:"-"`
	Segments string      `json:"-"` // name of the segment table
}

// DefaultModel returns a statics model with the default choices of the rest.
func DefaultModel(statics hold.Model) Model {
	return Model{Statics: statics, Masses: body.Residual, Segments: body.DefaultSegments}
}

// String names the model; choices that are the default are left out.
func (m Model) String() string {
	name := m.Statics.String()
	if m.Masses != body.Residual {
		name += ", " + m.Masses.String() + " regional masses"
	}
	if m.Segments != body.DefaultSegments {
		name += ", " + m.Segments
	}
	return name
}

// MarshalText writes the model with all its choices.
func (m Model) MarshalText() ([]byte, error) {
	return []byte(m.Statics.String() + " / " + m.Masses.String() + " / " + m.Segments), nil
}

// PostureRule says how the changed body places its arms.
type PostureRule int

// The rules.
const (
	AtBest      PostureRule = iota // each at the posture that asks least of it
	SameAngle                      // at the first body's arm angle
	SameSpacing                    // with the hands where the first body's were
	NumPostureRules
)

var postureNames = [NumPostureRules]string{"best", "same_angle", "same_spacing"}

// String returns the rule as written in files.
func (r PostureRule) String() string { return postureNames[r] }

// MarshalText writes the rule's name.
func (r PostureRule) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// rule is what the rule asks of a hold.
func (r PostureRule) rule() hold.Rule {
	return [NumPostureRules]hold.Rule{hold.Best, hold.GivenAngle, hold.GivenSpacing}[r]
}

// ParsePostureRule finds a rule by its name.
func ParsePostureRule(name string) (PostureRule, bool) {
	for r := range NumPostureRules {
		if postureNames[r] == name {
			return r, true
		}
	}
	return 0, false
}

// Arms moves the hands of the changed body, which is then not free to choose.
// At most one field is set.
type Arms struct {
	Angle   *float64     `json:"angle,omitempty"`   // radians from the pole, the same for everybody
	Turn    *float64     `json:"turn,omitempty"`    // radians added to the first body's angle
	Spacing *body.Amount `json:"spacing,omitempty"` // added to the first body's hand spacing
}

// Change makes the second body, or its posture, out of the first.
type Change struct {
	// Hold, where it is not empty, is another hold in which the same body is held
	// the second time; legs, pose and tilt are then that hold's own.
	Hold    string             `json:"hold,omitempty"`
	Body    body.Change        `json:"body,omitzero"`
	Legs    *hold.Legs         `json:"legs,omitempty"` // instead of the claim's own
	Pose    *hold.Pose         `json:"pose,omitempty"` // instead of the claim's own, every variant of it
	Tilt    *float64           `json:"tilt,omitempty"` // instead of the claim's own, radians
	Arms    *Arms              `json:"arms,omitempty"`
	Assume  map[string]float64 `json:"assume,omitempty"` // assumptions about strength and statics that differ for the second body
	Posture PostureRule        `json:"posture"`
}

// Contrast compares different people: the top share of a measurement against
// the bottom share.
type Contrast struct {
	By       anthro.Quantity  `json:"by"`
	Share    float64          `json:"share"` // of the people in each of the two groups, at most ½
	Strength strength.Between `json:"strength"`
}

// Claim is a rule of thumb made testable.
type Claim struct {
	Name     string         `json:"claim"`
	Says     string         `json:"says"`
	Why      string         `json:"why,omitempty"` // why people believe it
	Hold     string         `json:"hold"`
	Legs     hold.Legs      `json:"legs,omitzero"` // of the first body
	Pose     hold.Pose      `json:"pose,omitzero"` // likewise
	Tilt     float64        `json:"tilt,omitempty"`
	People   []People       `json:"people"`
	Where    []anthro.Range `json:"where,omitempty"`
	Means    []anthro.Mean  `json:"means,omitempty"` // to which each population is reweighted
	Change   *Change        `json:"change,omitempty"`
	Contrast *Contrast      `json:"contrast,omitempty"`
	Quantity hold.Demand    `json:"-"`
	Expect   Direction      `json:"expect"`
	Matters  Threshold      `json:"matters"`
	Because  string         `json:"matters_because,omitempty"` // why that size
	Share    float64        `json:"share"`                     // p: the share of bodies for which it must hold
	Models   []Model        `json:"models"`

	// Reason says, in the author's words, why the change alters the quantity of
	// nobody; it is told where the verdict is exactly no effect.
	Reason string `json:"no_effect_because,omitempty"`
}

// DefaultShare is the share of bodies for which a claim must hold to be supported.
const DefaultShare = 0.95

// Check reports everything that is wrong with the claim.
func (c *Claim) Check() error {
	var wrong []error
	fail := func(field, format string, args ...any) {
		wrong = append(wrong, &FieldError{field, fmt.Sprintf(format, args...)})
	}
	if c.Name == "" {
		fail("claim", "a claim needs a name")
	}
	if c.Says == "" {
		fail("says", "a claim needs its sentence")
	}
	h, ok := hold.Parse(c.Hold)
	if !ok {
		fail("hold", "unknown hold %q, known are %s", c.Hold, strings.Join(hold.Names(), ", "))
	}
	if len(c.People) == 0 {
		fail("people", "a claim needs people, such as ansur2-men")
	}
	for _, p := range c.People {
		if !(p.Weight > 0) || math.IsInf(p.Weight, 0) {
			fail("people", "the weight of %s is %g, must be positive", p.Population, p.Weight)
		}
	}
	switch {
	case c.Change == nil && c.Contrast == nil:
		fail("change", "a claim needs a change or a contrast")
	case c.Change != nil && c.Contrast != nil:
		fail("contrast", "a claim has a change or a contrast, not both")
	case c.Contrast != nil && !(c.Contrast.Share > 0 && c.Contrast.Share <= 0.5):
		fail("contrast", "each group is a share of the people above 0 and at most 0.5, found %g", c.Contrast.Share)
	}
	if t := c.Matters; (t.Absolute > 0) == (t.Share > 0) || t.Absolute < 0 || t.Share < 0 || math.IsInf(t.Absolute+t.Share, 0) || math.IsNaN(t.Absolute+t.Share) {
		fail("matters", "the smallest effect that matters must be positive")
	}
	if !(c.Share > 0.5 && c.Share < 1) {
		fail("share", "the share of bodies must be above 0.5 and below 1, found %g", c.Share)
	}
	if ok {
		c.checkHold(h, fail)
	} else if len(c.Models) == 0 {
		fail("models", "a claim needs a model")
	}
	return errors.Join(wrong...)
}

// checkHold reports what the claim asks of the hold that the hold does not have.
func (c *Claim) checkHold(h *hold.Hold, fail func(field, format string, args ...any)) {
	checkLegs(h, c.Legs, "legs", fail)
	checkPose(h, c.Pose, "pose", fail)
	checkTilt(h, c.Tilt, "tilt", fail)
	ch := c.Change
	next := h
	if ch != nil && ch.Hold != "" {
		var known bool
		if next, known = hold.Parse(ch.Hold); !known {
			fail("change.hold", "unknown hold %q, known are %s", ch.Hold, strings.Join(hold.Names(), ", "))
			return
		}
		if !ch.Body.IsZero() || ch.Arms != nil || len(ch.Assume) > 0 || ch.Posture != AtBest {
			fail("change", "in another hold the body stays as it is and takes its best posture: leave out all but legs, pose and tilt")
		}
	}
	c.checkModels(h, next, fail)
	if ch == nil {
		return
	}
	for _, wrong := range fault.All(ch.Body.Check()) {
		fail("change."+wrong.Field, "%s", wrong.Reason)
	}
	first := h
	h = next
	if ch.Legs != nil {
		checkLegs(h, *ch.Legs, "change.legs", fail)
	}
	if ch.Pose != nil {
		checkPose(h, *ch.Pose, "change.pose", fail)
	}
	if ch.Tilt != nil {
		checkTilt(h, *ch.Tilt, "change.tilt", fail)
	}
	h = first
	if rule := ch.Posture.rule(); !h.Places(rule) {
		fail("posture", "%s leaves no choice of posture: leave this out or write %s", c.Hold, AtBest)
	}
	if arms := ch.Arms; arms != nil {
		if arms.Spacing != nil && !h.Places(hold.GivenSpacing) || arms.Spacing == nil && !h.Places(hold.GivenAngle) {
			fail("change", "%s leaves no choice of where the arms are: leave out arm_angle and hand_spacing", c.Hold)
		}
	}
	for _, m := range ch.Body.Mass {
		if m.Working != 0 && !hasAny(h, hold.Difficulty) {
			fail("change", "%s does not weigh what it asks against strength, so working_share alters nothing: leave it out", c.Hold)
			break
		}
	}
	for _, name := range slices.Sorted(maps.Keys(ch.Assume)) {
		if id, known := assume.Parse(name); !known {
			fail("change", "unknown assumption %q", name)
		} else if !usedByStatics(h, id) {
			fail("change", "the assumption %s is not about the hold's own statics, so a change cannot alter it", name)
		}
	}
}

func checkLegs(h *hold.Hold, legs hold.Legs, field string, fail func(field, format string, args ...any)) {
	if !h.TakesLegs(legs.Form) {
		forms := make([]string, len(h.LegForms))
		for i, f := range h.LegForms {
			forms[i] = f.String()
		}
		fail(field, "%s is not done with the legs %s; allowed are %s", h.Name, legs.Form, strings.Join(forms, ", "))
	}
}

func checkPose(h *hold.Hold, pose hold.Pose, field string, fail func(field, format string, args ...any)) {
	for v, value := range pose {
		switch info := hold.Variant(v).Info(); {
		case value == 0:
		case !h.Takes(hold.Variant(v)):
			fail(field, "%s", Lacks(h, hold.Variant(v)))
		case !(value >= info.Least && value <= info.Most):
			fail(field, "%s is %g, allowed are %g to %g %s", info.Name, value, info.Least, info.Most, info.Unit)
		}
	}
}

func checkTilt(h *hold.Hold, tilt float64, field string, fail func(field, format string, args ...any)) {
	if tilt != 0 && !h.Tilts {
		fail(field, "%s is not tilted, leave this out", h.Name)
	}
}

// Lacks says that the hold does not have the variant, and which it has.
func Lacks(h *hold.Hold, v hold.Variant) string {
	if len(h.Variants) == 0 {
		return fmt.Sprintf("%s has no %s, nor any other variant of its pose", h.Name, v)
	}
	names := make([]string, len(h.Variants))
	for i, have := range h.Variants {
		names[i] = have.String()
	}
	return fmt.Sprintf("%s has no %s; it has %s", h.Name, v, strings.Join(names, ", "))
}

// checkModels checks that the hold, or the other hold of the change, is computed
// under the models and that both give the quantity.
func (c *Claim) checkModels(h, next *hold.Hold, fail func(field, format string, args ...any)) {
	for _, of := range []*hold.Hold{h, next} {
		if !hasAny(of, c.Quantity) {
			fail("quantity", "%s asks for no %s; it asks for %s", of.Name, c.Quantity, strings.Join(DemandsOf(of), ", "))
			return
		}
	}
	if len(c.Models) == 0 {
		fail("models", "a claim needs a model")
	}
	var told [hold.NumModels]bool
	for _, m := range c.Models {
		switch {
		case told[m.Statics]:
			continue
		case !h.Has(m.Statics) && !next.Has(m.Statics):
			models := make([]string, len(h.Models))
			for i, have := range h.Models {
				models[i] = have.String()
			}
			fail("models", "%s is not computed under %s, only under %s", c.Hold, m.Statics, strings.Join(models, ", "))
		case !h.AsksFor(Under(h, m.Statics), c.Quantity):
			fail("quantity", "%s under %s gives no %s", c.Hold, m.Statics, c.Quantity)
		case !next.AsksFor(Under(next, m.Statics), c.Quantity):
			fail("quantity", "%s under %s gives no %s", next.Name, m.Statics, c.Quantity)
		}
		told[m.Statics] = true
	}
}

// Under returns the model under which a hold is computed beside another: the one
// named, or where the hold lacks it, the hold's own first.
func Under(h *hold.Hold, m hold.Model) hold.Model {
	if h.Has(m) {
		return m
	}
	return h.Models[0]
}

// DemandsOf lists the names of what the hold, which may be nil, asks for under any
// of its models.
func DemandsOf(h *hold.Hold) []string {
	var names []string
	for _, d := range hold.Demands() {
		if h != nil && hasAny(h, d) {
			names = append(names, d.String())
		}
	}
	return names
}

// hasAny reports whether any model of the hold gives the demand.
func hasAny(h *hold.Hold, d hold.Demand) bool {
	return slices.ContainsFunc(h.Models, func(m hold.Model) bool { return h.AsksFor(m, d) })
}

// usedByStatics reports whether any model of the hold reads the assumption.
func usedByStatics(h *hold.Hold, id assume.ID) bool {
	return slices.ContainsFunc(h.Models, func(m hold.Model) bool { return slices.Contains(h.Assumptions(m), id) })
}

// FieldError is a fault in one field of a claim, by the field's name in files.
type FieldError struct {
	Field  string
	Reason string
}

func (e *FieldError) Error() string { return e.Field + ": " + e.Reason }
