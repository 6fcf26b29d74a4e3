// Package person answers for one body from whatever was measured of it: what a
// hold asks of it, how wide the rest leaves the answer, what to measure next,
// and what simple tests of strength say about holding it.
//
// What is not measured is drawn from people alike, what nobody measures (the
// assumptions) over its ranges, and models are listed side by side: three kinds
// of not knowing that are kept apart.
package person

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/strength"
)

// Person is what is known of one person.
type Person struct {
	Name string
	Sex  anthro.Sex
	// Population names the people among whom the person is placed and from whom the
	// rest is drawn; "" is the army survey's people of the sex. Its sex must be the
	// person's.
	Population string
	// Own is the population itself where it is people of one's own, and Population
	// then the name that it bears. They are too few to draw anybody's rest from, which
	// is drawn from the survey behind them.
	Own      *anthro.Population
	Known    []anthro.Known              // measurements, in any order; none at all will do
	Scan     *[anthro.NumRegions]float64 // regional masses of a body-composition scan, kg; nil without one
	Hold     string                      // name of the hold; "" is the human flag
	Legs     hold.Legs                   // as in a claim
	Pose     hold.Pose                   // as in a claim
	Tilt     float64                     // feet above the level of the shoulders, radians
	Tests    *Tests                      // of strength; nil without any
	Measured *Measured                   // in the hold itself; nil without any
}

// Side is a side of the body.
type Side int

// The sides.
const (
	AnySide Side = iota // not said: it counts for both
	Left
	Right
	NumSides
)

var sides = names.List[Side]{"", "left", "right"}

// String returns the side's name, "" for AnySide.
func (s Side) String() string { return sides.Of(s) }

// ParseSide finds a side by its name, left or right.
func ParseSide(name string) (Side, bool) {
	side, ok := sides.Find(name)
	return side, ok && side != AnySide
}

// Tests are simple tests of straight-arm strength. Each arm may be tested, more
// than once if need be: the test that shows most counts.
type Tests struct {
	Hangs      []Hang
	Handstands []Handstand
}

// Hang is a one-arm hang from a bar, the arm straight.
type Hang struct {
	Side    Side
	Seconds float64 // held
	// Added is the load, kg, on top of body mass; what a pulley or band takes off
	// is negative.
	Added float64
}

// Handstand is a one-arm handstand with the heels on a wall.
type Handstand struct {
	Side    Side
	Seconds float64 // held
	// Fingers is what a scale under the fingers of the other hand reads, kg.
	Fingers float64
	// WallDistance is from the wrist to the wall, m; 0 is hold.DefaultWallDistance.
	WallDistance float64
}

// Reading is a measured value and the standard deviation of its error, in the
// same unit; an error of 0 is an exact value.
type Reading struct{ Value, Error float64 }

// Measured is what was measured of the person in the hold, against which the
// prediction is compared. What was not measured is nil.
type Measured struct {
	// FootLoad is what a scale under the ankles reads, kg, in the pose of the hold,
	// with one hand holding and the other only touching the pole where it would
	// hold. One hand can pull or push as it likes: without the other there is no
	// couple. Balance alone then decides what the scale reads, strength has no part
	// in it, and it weighs just the moment that both hands must otherwise hold.
	FootLoad *Reading
	// ArmAngle is between the arms and the pole, radians.
	ArmAngle *Reading
	// HandSpacing is between the middles of the hands along the pole, m.
	HandSpacing *Reading
}

// Options say how an answer is computed. Take DefaultOptions and change what
// matters.
type Options struct {
	Draws    int          // bodies drawn; LeastDraws to MostDraws
	Seed     uint64       // any value; the same seed gives the same bytes
	Models   []hold.Model // none takes all that the hold has
	Masses   body.Masses
	Segments string // name of the segment table
	// Assumptions are central values and ranges. Where none has a range, the answer
	// for body and assumptions together is that for the body alone.
	Assumptions assume.Uncertainty
	// Endurance turns the times of tests into shares of the greatest force, and
	// margins into times.
	Endurance strength.Endurance
	Workers   int // goroutines; 0 takes one a processor. It changes no result
}

// The fewest and the most draws that an answer accepts.
const (
	LeastDraws = 1000
	MostDraws  = 500_000
)

// DefaultOptions returns the options of the command line.
func DefaultOptions() Options {
	return Options{
		Draws: 20_000, Seed: 1, Masses: body.Residual, Segments: body.DefaultSegments,
		Assumptions: assume.DefaultUncertainty(),
	}
}

// FieldError is a fault in one field of a person, by the field's name in files.
type FieldError struct {
	Field  string
	Reason string
}

func (e *FieldError) Error() string { return e.Field + ": " + e.Reason }

// People returns the people among whom the person is placed. Its error is a
// *FieldError of the population: it is unknown, or of the other sex.
func (p *Person) People() (*anthro.Population, error) {
	people, name := p.Own, p.Population
	if people == nil {
		if name == "" {
			name = anthro.SurveyOf(p.Sex)
		}
		var err error
		if people, err = anthro.Load(name); err != nil {
			return nil, &FieldError{"population", err.Error()}
		}
	}
	if people.Sex != p.Sex {
		return nil, &FieldError{"population", fmt.Sprintf("the people of %s are %s, the person is %s", people.Name, people.Sex, p.Sex)}
	}
	return people, nil
}

// problem is a person and options, checked and made ready.
type problem struct {
	person     Person
	options    Options
	hold       *hold.Hold
	posture    hold.Posture
	models     []hold.Model       // those asked for come first
	asked      int                // how many of the models are asked for
	population *anthro.Population // among whom the person is placed
	left       *anthro.Person     // what is left of it, or of the survey behind it
	builder    *body.Builder
}

// prepare checks a person and options.
func prepare(p Person, o Options) (*problem, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	pr := &problem{person: p, options: o, posture: hold.Posture{Legs: p.Legs, Pose: p.Pose, Tilt: p.Tilt}}
	name := p.Hold
	if name == "" {
		name = hold.HumanFlag.Name
	}
	var ok bool
	if pr.hold, ok = hold.Parse(name); !ok {
		return nil, &FieldError{"hold", fmt.Sprintf("unknown hold %q, known are %s", name, strings.Join(hold.Names(), ", "))}
	}
	if err := pr.checkPosture(); err != nil {
		return nil, err
	}
	if err := pr.chooseModels(); err != nil {
		return nil, err
	}
	if err := p.Tests.check(); err != nil {
		return nil, err
	}
	if err := p.Measured.check(pr.hold); err != nil {
		return nil, err
	}
	var err error
	if pr.population, err = p.People(); err != nil {
		return nil, err
	}
	var regional anthro.Regional
	if p.Scan != nil {
		if regional, err = anthro.ScannedRegional(*p.Scan); err != nil {
			return nil, &FieldError{"scan", err.Error()}
		}
	}
	if pr.left, err = pr.population.Survey().Condition(p.Known, regional); err != nil {
		return nil, err
	}
	if pr.builder, err = body.NewBuilder(pr.population, o.Masses, o.Segments); err != nil {
		return nil, &FieldError{"segments", err.Error()}
	}
	return pr, nil
}

func (o *Options) check() error {
	switch {
	case o.Draws < LeastDraws || o.Draws > MostDraws:
		return &FieldError{"n", fmt.Sprintf("found %d, must be %d to %d", o.Draws, LeastDraws, MostDraws)}
	case o.Workers < 0:
		return &FieldError{"workers", fmt.Sprintf("found %d, must be at least 0", o.Workers)}
	case o.Masses < 0 || o.Masses >= body.NumMasses:
		return &FieldError{"regional-masses", fmt.Sprintf("no choice has the number %d", int(o.Masses))}
	case o.Endurance < 0 || o.Endurance >= strength.NumEndurances:
		return &FieldError{"endurance", fmt.Sprintf("no relation has the number %d", int(o.Endurance))}
	}
	return nil
}

// checkPosture reports what the person's pose asks of the hold that it does not
// have.
func (pr *problem) checkPosture() error {
	h, p := pr.hold, &pr.person
	if !h.TakesLegs(p.Legs.Form) {
		forms := make([]string, len(h.LegForms))
		for i, f := range h.LegForms {
			forms[i] = f.String()
		}
		return &FieldError{"legs", fmt.Sprintf("%s is not done with the legs %s; allowed are %s", h.Name, p.Legs.Form, strings.Join(forms, ", "))}
	}
	for v, value := range p.Pose {
		info := hold.Variant(v).Info()
		switch {
		case value == 0:
		case !h.Takes(hold.Variant(v)):
			return &FieldError{"pose", fmt.Sprintf("%s has no %s", h.Name, info.Name)}
		case !(value >= info.Least && value <= info.Most):
			return &FieldError{"pose", fmt.Sprintf("%s is %g, allowed are %g to %g %s", info.Name, value, info.Least, info.Most, info.Unit)}
		}
	}
	if p.Tilt != 0 && !h.Tilts {
		return &FieldError{"tilt", h.Name + " is not tilted, leave this out"}
	}
	if !(math.Abs(p.Tilt) < math.Pi/2) || !(math.Abs(p.Legs.Angle) <= math.Pi/2) {
		return &FieldError{"tilt", "must be less than a right angle"}
	}
	return nil
}

// chooseModels lists the models asked for. The equilibrium of the human flag is
// always computed, since what the pole carries follows from it alone.
func (pr *problem) chooseModels() error {
	h := pr.hold
	pr.models = slices.Clone(pr.options.Models)
	if len(pr.models) == 0 {
		pr.models = slices.Clone(h.Models)
	}
	for i, m := range pr.models {
		if !h.Has(m) {
			names := make([]string, len(h.Models))
			for k, have := range h.Models {
				names[k] = have.String()
			}
			return &FieldError{"models", fmt.Sprintf("%s is not computed under %s, only under %s", h.Name, m, strings.Join(names, ", "))}
		}
		if slices.Contains(pr.models[:i], m) {
			return &FieldError{"models", m.String() + " is given twice"}
		}
	}
	pr.asked = len(pr.models)
	if !slices.Contains(pr.models, hold.Equilibrium) {
		pr.models = append(pr.models, hold.Equilibrium)
	}
	return nil
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

func (t *Tests) check() error {
	if t == nil {
		return nil
	}
	for _, h := range t.Hangs {
		switch {
		case !(h.Seconds > 0) || !finite(h.Seconds):
			return &FieldError{"tests", fmt.Sprintf("a hang was held %g s, must be positive", h.Seconds)}
		case !finite(h.Added):
			return &FieldError{"tests", fmt.Sprintf("a hang was loaded with %g kg", h.Added)}
		case h.Side < 0 || h.Side >= NumSides:
			return &FieldError{"tests", fmt.Sprintf("no side has the number %d", int(h.Side))}
		}
	}
	least, most := hold.WallDistance.Info().Least, hold.WallDistance.Info().Most
	for _, h := range t.Handstands {
		switch {
		case !(h.Seconds > 0) || !finite(h.Seconds):
			return &FieldError{"tests", fmt.Sprintf("a handstand was held %g s, must be positive", h.Seconds)}
		case !(h.Fingers >= 0) || !finite(h.Fingers):
			return &FieldError{"tests", fmt.Sprintf("the fingers carried %g kg, must be 0 or more", h.Fingers)}
		case h.WallDistance != 0 && !(h.WallDistance >= least && h.WallDistance <= most):
			return &FieldError{"tests", fmt.Sprintf("the wall was %g m from the hand, allowed are %g to %g m", h.WallDistance, least, most)}
		case h.Side < 0 || h.Side >= NumSides:
			return &FieldError{"tests", fmt.Sprintf("no side has the number %d", int(h.Side))}
		}
	}
	return nil
}

func (m *Measured) check(h *hold.Hold) error {
	if m == nil {
		return nil
	}
	if h != hold.HumanFlag {
		return &FieldError{"measured", "only the human flag has readings to compare with, not " + h.Name}
	}
	for _, r := range []struct {
		name string
		*Reading
		most float64
	}{{"foot_load", m.FootLoad, 500}, {"arm_angle", m.ArmAngle, math.Pi / 2}, {"hand_spacing", m.HandSpacing, 4}} {
		switch {
		case r.Reading == nil:
		case !(r.Value > 0 && r.Value < r.most):
			return &FieldError{"measured", fmt.Sprintf("%s is %g, must be between 0 and %g", r.name, r.Value, r.most)}
		case !(r.Error >= 0) || !finite(r.Error):
			return &FieldError{"measured", fmt.Sprintf("the error of %s is %g, must be 0 or more", r.name, r.Error)}
		}
	}
	return nil
}
