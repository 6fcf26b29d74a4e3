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
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// Design is how points are laid over the axes.
type Design int

// The designs.
const (
	Grid        Design = iota // every value of every axis with every value of the others
	QuasiRandom               // points of a scrambled Sobol' sequence over the ranges
	NumDesigns
)

var designNames = [NumDesigns]string{"grid", "quasi-random"}

// String returns the design as written in files.
func (d Design) String() string { return designNames[d] }

// MarshalText writes the design's name.
func (d Design) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads a design's name.
func (d *Design) UnmarshalText(text []byte) error {
	i := slices.Index(designNames[:], string(text))
	if i < 0 {
		return fmt.Errorf("sweep: unknown design %q", text)
	}
	*d = Design(i)
	return nil
}

// Setting is everything that says how bodies are held up; an axis sets a part of
// it.
type Setting struct {
	Hold   string         `json:"hold"`
	Legs   hold.Legs      `json:"legs"`
	Pose   hold.Pose      `json:"pose"`
	Tilt   float64        `json:"tilt"` // radians
	People []claim.People `json:"people"`
	// Change alters every body before it is held; the zero value leaves it as it is.
	Change claim.Change `json:"change"`
	Model  claim.Model  `json:"model"`
	Assume assume.Set   `json:"-"` // stands with the provenance, by name

	working *float64 // of all added mass, where an axis sets it
}

// Study is a sweep to be run.
type Study struct {
	Name      string
	Says      string // a title, or empty
	Base      Setting
	Where     []anthro.Range
	Means     []anthro.Mean // to which each population is reweighted
	Axes      []Axis
	Design    Design
	Points    int           // of a quasi-random design
	Demands   []hold.Demand // what is summed up; a hold or model without one of them leaves it out
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

// stored is a study as canonical JSON holds it; the seed and the assumptions
// stand beside it in a file's provenance.
type stored struct {
	Name      string         `json:"sweep"`
	Says      string         `json:"says,omitempty"`
	Base      Setting        `json:"base"`
	Where     []anthro.Range `json:"where,omitempty"`
	Means     []anthro.Mean  `json:"means,omitempty"`
	Axes      []Axis         `json:"axes"`
	Design    Design         `json:"design"`
	Points    int            `json:"points"`
	Demands   []string       `json:"demands"`
	Quantiles []float64      `json:"quantiles"`
	Bodies    bool           `json:"bodies"`
	N         int            `json:"n"`
}

// MarshalJSON writes the study without its seed and assumptions.
func (s *Study) MarshalJSON() ([]byte, error) {
	t := stored{s.Name, s.Says, s.Base, s.Where, s.Means, s.Axes, s.Design, s.NumPoints(), nil, s.Quantiles, s.Bodies, s.N}
	for _, d := range s.Demands {
		t.Demands = append(t.Demands, d.String())
	}
	return json.Marshal(t)
}

// UnmarshalJSON reads what MarshalJSON wrote. The seed and the assumptions are
// left as they are.
func (s *Study) UnmarshalJSON(data []byte) error {
	var t stored
	decoder := json.NewDecoder(bytes.NewReader(data))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&t); err != nil {
		return err
	}
	t.Base.Assume = s.Base.Assume
	next := Study{Name: t.Name, Says: t.Says, Base: t.Base, Where: t.Where, Means: t.Means, Axes: t.Axes,
		Design: t.Design, Points: t.Points, Quantiles: t.Quantiles, Bodies: t.Bodies, N: t.N, Seed: s.Seed}
	for _, name := range t.Demands {
		d, ok := hold.ParseDemand(name)
		if !ok {
			return fmt.Errorf("sweep: unknown demand %q", name)
		}
		next.Demands = append(next.Demands, d)
	}
	*s = next
	return nil
}

// FieldError is a fault in one field of a study, by the field's name in files.
type FieldError = claim.FieldError

func fault(field, format string, args ...any) error {
	return &FieldError{Field: field, Reason: fmt.Sprintf(format, args...)}
}

// Check reports everything that is wrong with the study.
func (s *Study) Check() error {
	var wrong []error
	fail := func(field, format string, args ...any) { wrong = append(wrong, fault(field, format, args...)) }
	if s.Name == "" {
		fail("sweep", "a sweep needs a name")
	}
	if len(s.Axes) == 0 {
		fail("axes", "a sweep needs an axis, such as change.arm_length: 0 cm..10 cm by 2 cm")
	}
	if s.N < 1 || s.N > MostBodies {
		fail("n", "found %d, allowed are 1 to %d", s.N, MostBodies)
	}
	if len(s.Demands) == 0 {
		fail("demands", "a sweep needs a demand, such as required_force")
	}
	for i, q := range s.Quantiles {
		if !(q >= 0 && q <= 1) {
			fail("quantiles", "found %g, allowed are shares from 0 to 1", q)
		} else if i > 0 && q <= s.Quantiles[i-1] {
			fail("quantiles", "%g comes after %g, they must increase", q, s.Quantiles[i-1])
		}
	}
	for i := range s.Axes {
		a := &s.Axes[i]
		if err := a.check(s.Design); err != nil {
			wrong = append(wrong, err)
		}
		for _, b := range s.Axes[:i] {
			if b.Of == a.Of {
				fail("axes."+a.Of, "is there twice")
			} else if clash(b.Of, a.Of) {
				fail("axes."+a.Of, "and %s both place the arms, give one", b.Of)
			}
		}
	}
	if len(wrong) == 0 {
		wrong = append(wrong, s.checkPoints()...)
	}
	return errors.Join(wrong...)
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
			return []error{fault("points", "found %s, allowed are 1 to %s", thousands(float64(s.Points)), thousands(MostPoints))}
		}
	} else {
		product := 1.0
		counts := make([]string, len(s.Axes))
		for i := range s.Axes {
			product *= float64(s.Axes[i].Len())
			counts[i] = thousands(float64(s.Axes[i].Len()))
		}
		if product > MostPoints {
			return []error{fault("axes", "make %s points (%s), allowed are at most %s", thousands(product), strings.Join(counts, " × "), thousands(MostPoints))}
		}
	}
	if rows := float64(s.NumPoints()) * float64(s.N); s.Bodies && rows > MostBodies {
		return []error{fault("bodies", "%s points with %s bodies are %s rows, allowed are at most %s", thousands(float64(s.NumPoints())), thousands(float64(s.N)), thousands(rows), thousands(MostBodies))}
	}
	var wrong []error
	seen := map[string]bool{}
	for _, ends := range [2]bool{false, true} {
		for corner := range s.corners(ends) {
			setting := s.Base
			for i, x := range corner {
				s.Axes[i].set(&setting, x)
			}
			setting.settle()
			for _, err := range unjoin(s.checkSetting(&setting)) {
				if text := err.Error(); !seen[text] {
					seen[text] = true
					wrong = append(wrong, err)
				}
			}
		}
	}
	return wrong
}

func unjoin(err error) []error {
	if err == nil {
		return nil
	}
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		return many.Unwrap()
	}
	return []error{err}
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
				case a.named():
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
				if s.Axes[i].named() {
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

// claimOf returns the claim that stands for a setting, so that a sweep's settings
// are held to the same rules as claims.
func (s *Study) claimOf(setting *Setting) *claim.Claim {
	c := &claim.Claim{Name: s.Name, Says: s.Name, Hold: setting.Hold, Legs: setting.Legs, Pose: setting.Pose, Tilt: setting.Tilt,
		People: setting.People, Where: s.Where, Means: s.Means, Change: &setting.Change, Expect: claim.None,
		Matters: claim.Threshold{Share: 1}, Share: claim.DefaultShare, Models: []claim.Model{setting.Model}}
	return c
}

// checkSetting reports what of a setting the hold does not have.
func (s *Study) checkSetting(setting *Setting) error {
	h, ok := hold.Parse(setting.Hold)
	if !ok {
		return fault("hold", "unknown hold %q, known are %s", setting.Hold, strings.Join(hold.Names(), ", "))
	}
	c := s.claimOf(setting)
	given := s.given(h, setting.Model.Statics)
	if h.Has(setting.Model.Statics) && len(given) == 0 {
		var names []string
		for _, d := range h.Asks(setting.Model.Statics) {
			names = append(names, d.String())
		}
		return fault("demands", "%s under %s asks for none of these; it asks for %s", h.Name, setting.Model.Statics, strings.Join(names, ", "))
	}
	if len(given) > 0 {
		c.Quantity = given[0]
	} else {
		c.Quantity = h.Asks(h.Models[0])[0]
	}
	return c.Check()
}

// given lists the study's demands that a hold asks for under a model.
func (s *Study) given(h *hold.Hold, m hold.Model) []hold.Demand {
	var list []hold.Demand
	for _, d := range s.Demands {
		if h.AsksFor(m, d) {
			list = append(list, d)
		}
	}
	return list
}

// thousands writes a whole number with its thousands apart.
func thousands(x float64) string {
	text := fmt.Sprintf("%.0f", x)
	for i := len(text) - 3; i > 0; i -= 3 {
		text = text[:i] + "," + text[i:]
	}
	return text
}
