// Package scenario says who is held up, how, and by what model, and does it:
// people × change × hold × posture × model × assumptions.
//
// A [Scenario] is what a claim, a person's answer, a study of drivers and a point
// of a sweep have in common. [Scenario.Check] refuses what makes no sense, with a
// [FieldError] for each fault. A [Bench] then builds people's bodies, gives them
// their strength and holds them up, before and after a change, a tile of rows at a
// time; one person is a block of one row, and goes through the same function as a
// million.
//
// Lengths are in metres, masses in kilograms, angles in radians, forces in body
// weights.
package scenario

import (
	"fmt"
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
)

// Scenario is people who are held up in a hold, before and after a change or once.
type Scenario struct {
	Hold *hold.Hold
	Legs hold.Legs
	Pose hold.Pose
	Tilt float64 // of the feet above the level of the shoulders, radians
	// Load is what they carry, or are helped by, before and after a change: no part of
	// them, nor of what they weigh and can give.
	Load body.Load

	People  []Group
	Where   []anthro.Range  // conditions that all of them meet
	Targets []anthro.Target // that each group is reweighted to

	Change *Change // nil where nothing is compared
	Models []Model
	// Assumptions are what is believed of what nobody has measured. The zero value is
	// assume.DefaultUncertainty.
	Assumptions assume.Uncertainty
}

// Assumed returns the assumptions, the defaults where none are stated.
func (s *Scenario) Assumed() assume.Uncertainty {
	if s.Assumptions == (assume.Uncertainty{}) {
		return assume.DefaultUncertainty()
	}
	return s.Assumptions
}

// Posture is how the hold is done, the arms where each body does best.
func (s *Scenario) Posture() hold.Posture {
	return hold.Posture{Legs: s.Legs, Pose: s.Pose, Tilt: s.Tilt}
}

// PostureAfter is the posture after the change: that before it, in another hold the
// plain one, with what the change sets.
func (s *Scenario) PostureAfter() hold.Posture {
	after, ch := s.Posture(), s.Change
	if ch == nil {
		return after
	}
	if ch.Hold != nil && ch.Hold != s.Hold {
		after = hold.Posture{}
	}
	if ch.Legs != nil {
		after.Legs = *ch.Legs
	}
	if ch.Pose != nil {
		after.Pose = *ch.Pose
	}
	if ch.Tilt != nil {
		after.Tilt = *ch.Tilt
	}
	return after
}

// LoadAfter is what the changed bodies carry.
func (s *Scenario) LoadAfter() body.Load {
	if s.Change == nil {
		return s.Load
	}
	return s.Load.Plus(s.Change.Load)
}

// Group is a part of the people.
type Group struct {
	Population string  // its name
	Weight     float64 // relative to the others'
	// Own is the population itself where it is not an embedded one, which is found
	// by its name; Population is then the name that it bears.
	Own *anthro.Population
}

// Load returns the population of the group.
func (g Group) Load() (*anthro.Population, error) {
	if g.Own != nil {
		return g.Own, nil
	}
	return anthro.Load(g.Population)
}

// Survey returns the groups of embedded populations, each of the same weight.
func Survey(populations ...string) []Group {
	return names.Each(populations, func(name string) Group { return Group{Population: name, Weight: 1} })
}

// GroupOf returns a population as a group, whether it is embedded or one's own.
func GroupOf(p *anthro.Population) Group { return Group{Population: p.Name, Weight: 1, Own: p} }

// Model is one way to compute the answer.
type Model struct {
	Statics  hold.Model
	Masses   body.Masses
	Segments string // name of the segment table
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

// Under returns the model under which a hold is computed beside another: the one
// named, or where the hold lacks it, the hold's own first.
func Under(h *hold.Hold, m hold.Model) hold.Model {
	if h.Has(m) {
		return m
	}
	return h.Models[0]
}

// AsksFor reports whether any model of the hold gives the demand.
func AsksFor(h *hold.Hold, d hold.Demand) bool {
	return slices.ContainsFunc(h.Models, func(m hold.Model) bool { return h.AsksFor(m, d) })
}

// Tells reports whether any model of the hold gives the demand in a posture.
func Tells(h *hold.Hold, d hold.Demand, p hold.Posture) bool {
	return slices.ContainsFunc(h.Models, func(m hold.Model) bool { return h.Tells(m, d, p) })
}

// Unknown says why no model of the hold gives the demand in a posture, or "".
func Unknown(h *hold.Hold, d hold.Demand, p hold.Posture) string {
	for _, m := range h.Models {
		if why := h.Unknown(m, d, p); why != "" {
			return why
		}
	}
	return ""
}

// Unlike says why what a demand is under one model cannot be set against what it is under
// another, or is empty: a force is a force by whatever model, but each model weighs it
// against what it takes for strength.
func Unlike(d hold.Demand, models ...hold.Model) string {
	for _, m := range models {
		if d == hold.Difficulty && m != models[0] {
			return fmt.Sprintf("the difficulty under %s and the difficulty under %s differ in meaning and cannot be compared", models[0], m)
		}
	}
	return ""
}

// UnlikeModels is Unlike for what a demand is under all of some models.
func UnlikeModels(d hold.Demand, models []Model) string {
	return Unlike(d, names.Each(models, func(m Model) hold.Model { return m.Statics })...)
}

// Reads reports whether any model of the hold reads the assumption.
func Reads(h *hold.Hold, id assume.ID) bool {
	return slices.ContainsFunc(h.Models, func(m hold.Model) bool { return slices.Contains(h.Assumptions(m), id) })
}

// Bears reports whether an assumption can bear on what a model gives: those about
// the statics of other holds alone, or muscles that nothing uses, cannot.
func (s *Scenario) Bears(m hold.Model, id assume.ID) bool {
	own := []*hold.Hold{s.Hold, s.next()}
	if slices.ContainsFunc(own, func(h *hold.Hold) bool { return slices.Contains(h.Assumptions(Under(h, m)), id) }) {
		return true
	}
	return !id.OfStrength() && !slices.ContainsFunc(append(own, hold.All()...), func(h *hold.Hold) bool { return Reads(h, id) })
}

// next is the hold of the changed bodies; mostly the same.
func (s *Scenario) next() *hold.Hold {
	if s.Change != nil && s.Change.Hold != nil {
		return s.Change.Hold
	}
	return s.Hold
}
