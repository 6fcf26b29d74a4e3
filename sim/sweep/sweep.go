// Package sweep computes what holds ask of people over a range of settings: a
// grid, or a quasi-random design, over changes of the body, postures,
// assumptions, models, holds and people. At every point the same bodies are held
// up (common random numbers), so that points differ by their setting and not by
// who was drawn, and the demands are summed up over people by means and
// quantiles.
//
// The work is cut into tasks that depend on the study alone. A task's outcome
// can be kept ([Parts]), so that a run that was stopped goes on where it was, and
// tasks can be shared out between machines. Whatever was kept, by whom and with
// how many workers, the outcome is the same to the last bit: outcomes are merged
// in the order of the tasks.
package sweep

import (
	"errors"
	"reflect"
	"slices"
	"strings"

	"counterpoise/sim/assume"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/plain"
	"counterpoise/sim/scenario"
)

// Design is how points are laid over the axes.
type Design int

// The designs.
const (
	Grid        Design = iota // every value of every axis with every value of the others
	QuasiRandom               // points of a scrambled Sobol' sequence over the ranges
	NumDesigns
)

var designs = names.List[Design]{"grid", "quasi-random"}

// String returns the design as written in files.
func (d Design) String() string { return designs.Of(d) }

// MarshalText writes the design's name.
func (d Design) MarshalText() ([]byte, error) { return designs.Marshal(d) }

// UnmarshalText reads a design's name.
func (d *Design) UnmarshalText(text []byte) error { return designs.Unmarshal(d, text) }

// setting is how bodies are held up at a point; an axis sets a part of it.
type setting struct {
	scenario.Scenario          // of one model, its change not nil
	working           *float64 // of all added mass, where an axis sets it
}

// Study is a sweep to be run.
type Study struct {
	Name string
	Says string // a title, or empty
	// Base is what the axes leave as it is. It has one model. Its change, which may be
	// nil, alters every body before it is held: there is no first body to tell apart, so
	// that hold, legs, pose and tilt are the scenario's own. Of its assumptions only
	// the central values count.
	Base      scenario.Scenario
	Axes      []Axis
	Design    Design
	Points    int           // of a quasi-random design
	Demands   []hold.Demand // what is summed up; a hold or model that does not ask for one of them leaves it out
	Quantiles []float64     // shares of the people, increasing
	Bodies    bool          // whether every body is kept
	N         int           // bodies at every point
	Seed      uint64
}

// The limits of a study.
const (
	MostPoints = 1_000_000
	MostBodies = 1_000_000_000 // at a point, and of all rows where every body is kept
)

// Check reports everything that is wrong with the study.
func (s *Study) Check() error {
	if s == nil {
		return fault.New("sweep", nil, "a sweep is needed")
	}
	var wrong fault.List
	if s.Name == "" {
		wrong.Fail("sweep", nil, "a sweep needs a name")
	}
	wrong = append(wrong, plain.CheckText("sweep", s.Name), plain.CheckText("says", s.Says))
	if len(s.Axes) == 0 {
		wrong.Fail("axes", nil, "a sweep needs an axis, such as change.arm_length: 0 cm..10 cm by 2 cm")
	}
	if s.N < 1 || s.N > MostBodies {
		wrong.Fail("n", s.N, "found %d, allowed: 1 to %d", s.N, MostBodies)
	}
	if len(s.Demands) == 0 {
		wrong.Fail("demands", nil, "a sweep needs a demand, such as required_force")
	}
	for i, q := range s.Quantiles {
		if !(q >= 0 && q <= 1) {
			wrong.Fail("quantiles", q, "found %g, allowed: shares from 0 to 1", q)
		} else if i > 0 && q <= s.Quantiles[i-1] {
			wrong.Fail("quantiles", q, "%g comes after %g, they must increase", q, s.Quantiles[i-1])
		}
	}
	if s.Design < 0 || s.Design >= NumDesigns {
		wrong.Fail("design", int(s.Design), "no design has the number %d", int(s.Design))
	}
	if len(s.Base.Models) != 1 {
		wrong.Fail("model", len(s.Base.Models), "a sweep has one model, or an axis of them; found %d", len(s.Base.Models))
	}
	if ch := s.Base.Change; ch != nil && (ch.Hold != nil || ch.Legs != nil || ch.Pose != nil || ch.Tilt != nil) {
		wrong.Fail("change", nil, "hold, legs, tilt and pose are fields of the sweep itself, not of a change")
	}
	for i := range s.Axes {
		a := &s.Axes[i]
		wrong.Add(a.check(s.Design))
		for i := 1; i < len(a.Holds) && !slices.Contains(a.Holds, nil); i++ {
			for _, d := range s.Demands {
				if why := hold.Unlike(d, a.Holds[0], a.Holds[i]); why != "" {
					wrong.Fail("demands", d.Name, "%s: take difficulty, or sweep holds that are seen alike", why)
				}
			}
		}
		if why := s.unlike(a); why != "" {
			wrong.Fail("demands", hold.Difficulty, "%s: leave difficulty out, or sweep one model at a time", why)
		}
		for _, b := range s.Axes[:i] {
			if b.Of == a.Of {
				wrong.Fail("axes."+a.Of, nil, "appears twice")
			} else if clash(b.Of, a.Of) {
				wrong.Fail("axes."+a.Of, nil, "and %s both place the arms, give one", b.Of)
			}
		}
	}
	if errors.Join(wrong...) == nil {
		wrong = append(wrong, s.checkPoints()...)
	}
	for i := range s.Axes {
		if id, ok := assume.Parse(strings.TrimPrefix(s.Axes[i].Of, "assume.")); ok && errors.Join(wrong...) == nil && s.ignores(id) {
			wrong.Fail("axes."+s.Axes[i].Of, nil, "no hold of the sweep uses it, so that it would change nothing")
		}
	}
	for i := range s.Axes {
		if errors.Join(wrong...) == nil && s.states(&s.Axes[i]) {
			wrong.Fail("axes."+s.Axes[i].Of, nil, "is both an axis and a field, leave one out")
		}
	}
	return errors.Join(wrong...)
}

// ignores reports whether all holds of the sweep ignore an assumption.
func (s *Study) ignores(id assume.ID) bool {
	holds := []*hold.Hold{s.Base.Hold}
	for i := range s.Axes {
		if s.Axes[i].Of == "hold" {
			holds = s.Axes[i].Holds
		}
	}
	return !slices.ContainsFunc(holds, func(h *hold.Hold) bool { return h == nil || !h.Ignores(id) })
}

// unlike says why an axis sets things beside one another that cannot be compared, or is
// empty.
func (s *Study) unlike(a *Axis) string {
	if a.Of != "model" {
		return ""
	}
	var models []hold.Model
	for _, name := range a.Names {
		if m, ok := hold.ParseModel(name); ok {
			models = append(models, m)
		}
	}
	for _, d := range s.Demands {
		if why := scenario.Unlike(d, models...); why != "" {
			return why
		}
	}
	return ""
}

// states reports whether the base itself sets what an axis sets, which would be lost.
func (s *Study) states(a *Axis) bool {
	base, bare := s.setting(nil), s.setting(nil)
	switch id, assumed := assume.Parse(strings.TrimPrefix(a.Of, "assume.")); {
	case assumed:
		return base.Assumptions.Centre[id] != assume.DefaultUncertainty().Centre[id]
	case clash(a.Of, a.Of):
		return base.Change.Arms != nil
	case a.Of == "legs":
		return base.Legs != hold.Legs{}
	case a.Named() && !strings.HasPrefix(a.Of, "pose."):
		return false // there is always one, and readers see whether it is written
	case a.Named():
		(&Axis{Of: a.Of, Names: []string{"no"}}).set(bare, 0)
	default:
		a.set(bare, 0)
	}
	bare.settle()
	return base.Load != bare.Load || base.Tilt != bare.Tilt || base.Legs != bare.Legs || base.Pose != bare.Pose || !reflect.DeepEqual(base.Change.Body, bare.Change.Body)
}

// clash reports whether two axes set the same thing.
func clash(a, b string) bool {
	arms := []string{"change.arm_angle", "change.hand_spacing", "posture"}
	return slices.Contains(arms, a) && slices.Contains(arms, b)
}

// checkPoints checks the number of points and, where that is in order, the
// settings at the ends of the numeric axes under every combination of the others.
func (s *Study) checkPoints() []error {
	if s.Design == QuasiRandom {
		if s.Points < 1 || s.Points > MostPoints {
			return []error{fault.New("points", s.Points, "found %s, allowed: 1 to %s", fault.Count(float64(s.Points)), fault.Count(MostPoints))}
		}
	} else {
		product := 1.0
		counts := make([]string, len(s.Axes))
		for i := range s.Axes {
			product *= float64(s.Axes[i].Len())
			counts[i] = fault.Count(float64(s.Axes[i].Len()))
		}
		if product > MostPoints {
			return []error{fault.New("axes", product, "make %s points (%s), allowed: at most %s", fault.Count(product), strings.Join(counts, " × "), fault.Count(MostPoints))}
		}
	}
	if rows := float64(s.NumPoints()) * float64(s.N); s.Bodies && rows > MostBodies {
		return []error{fault.New("bodies", rows, "%s points with %s bodies are %s rows, allowed: at most %s", fault.Count(float64(s.NumPoints())), fault.Count(float64(s.N)), fault.Count(rows), fault.Count(MostBodies))}
	}
	var wrong []error
	seen := map[string]bool{}
	for _, ends := range [2]bool{false, true} {
		for corner := range s.corners(ends) {
			for _, err := range fault.All(s.checkSetting(s.setting(corner))) {
				if text := err.Error(); !seen[text] {
					seen[text] = true
					wrong = append(wrong, err)
				}
			}
		}
	}
	return wrong
}

// corners walks over every combination of the names, with the numeric axes at
// one of their ends. It yields coordinates, which it uses again.
func (s *Study) corners(last bool) func(yield func([]float64) bool) {
	return func(yield func([]float64) bool) {
		corner, at := make([]float64, len(s.Axes)), make([]int, len(s.Axes))
		for {
			for i := range s.Axes {
				a := &s.Axes[i]
				switch {
				case a.Named():
					corner[i] = float64(at[i])
				case last:
					corner[i] = a.most()
				default:
					corner[i] = a.least()
				}
			}
			if !yield(corner) {
				return
			}
			i := len(at) - 1
			for ; i >= 0; i-- {
				if s.Axes[i].Named() {
					if at[i]++; at[i] < s.Axes[i].Len() {
						break
					}
					at[i] = 0
				}
			}
			if i < 0 {
				return
			}
		}
	}
}

// checkSetting reports what of a setting makes no sense, or the hold does not have.
func (s *Study) checkSetting(at *setting) error {
	h, m := at.Hold, at.Models[0].Statics
	if h == nil || m < 0 || m >= hold.NumModels {
		return at.Check()
	}
	for _, d := range s.Demands {
		if why := h.Unknown(m, d, at.Posture()); why != "" && h.Has(m) {
			return fault.New("demands", d, "the %s of %s%s is not known: %s", d, h.Name, legsOf(at), why)
		}
	}
	given := s.given(at, m)
	if h.Has(m) && len(given) == 0 {
		return fault.New("demands", nil, "%s under %s has none of these; it has %s", h.Name, m, scenario.NamesOf(h.Asks(m)))
	}
	return at.Check(given...)
}

// legsOf says how the legs are held, where it is not the plain way.
func legsOf(at *setting) string {
	if at.Legs == (hold.Legs{}) {
		return ""
	}
	return " (" + at.Legs.Form.String() + ")"
}

// given lists the study's demands that are told of a setting under a model.
func (s *Study) given(at *setting, m hold.Model) []hold.Demand {
	return slices.DeleteFunc(slices.Clone(s.Demands), func(d hold.Demand) bool { return !at.Hold.Tells(m, d, at.Posture()) })
}
