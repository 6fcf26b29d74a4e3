// Package person answers for one body from whatever was measured of it: what a
// hold asks of it, how wide the rest leaves the answer, what to measure next,
// and what simple tests of strength say about holding it.
//
// What is not measured is drawn from similar people, what nobody measures (the
// assumptions) over its ranges, and models are listed side by side: three kinds
// of not knowing that are kept apart.
package person

import (
	"errors"
	"slices"
	"unicode/utf8"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/names"
	"counterpoise/sim/plain"
	"counterpoise/sim/scenario"
	"counterpoise/sim/strength"
)

// Person is what is known of one person.
type Person struct {
	Name string
	Sex  anthro.Sex
	// Population names the people among whom the person is placed and from whom the
	// rest is drawn; "" is the public of the sex, or its
	// youths where the age says so. Its sex must be the person's.
	Population string
	// Own is the population itself where it is people of one's own, and Population
	// then the name that it bears. They are too few to draw anybody's rest from, which
	// is drawn from the survey behind them.
	Own      *anthro.Population
	Known    []anthro.Known              // measurements, in any order; none at all will do
	Again    bool                        // they were measured again, and are so, however rare
	Scan     *[anthro.NumRegions]float64 // regional masses of a body-composition scan, kg; nil without one
	Hold     *hold.Hold
	Legs     hold.Legs // as in a claim
	Pose     hold.Pose // as in a claim
	Tilt     float64   // feet above the level of the shoulders, radians
	Load     body.Load // carried in the hold, or what helps there; not in the tests
	Tests    *Tests    // of strength; nil without any
	Measured *Measured // in the hold itself; nil without any
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
	Scales     []Scale
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
	// Added is a load that is worn about the body's own centre, kg.
	Added float64
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
	N        int          // bodies drawn; LeastN to MostN
	Seed     uint64       // any value; the same seed gives the same bytes
	Models   []hold.Model // none takes all that the hold has; those that judge come first
	Masses   body.Masses
	Segments string // name of the segment table
	// Assumptions are central values and ranges, the defaults where none are stated.
	// Where none has a range, the answer for body and assumptions together is that for
	// the body alone.
	Assumptions assume.Uncertainty
	// Endurance turns the times of tests into shares of the greatest force, and
	// margins into times.
	Endurance strength.Endurance
	Workers   int // goroutines; 0 takes one a processor. It changes no result
}

// MostNamed is how many letters a person's name may have: it heads tables and charts.
const MostNamed = 60

// The fewest and the most bodies that an answer accepts.
const (
	LeastN = 1000
	MostN  = 500_000
)

// DefaultOptions returns the options of the command line.
func DefaultOptions() Options {
	return Options{
		N: 20_000, Seed: 1, Masses: body.Residual, Segments: body.DefaultSegments,
	}
}

// People returns the people among whom the person is placed. Its error is a
// *fault.Error of the people: they are unknown, or of the other sex.
func (p *Person) People() (*anthro.Population, error) {
	people, name := p.Own, p.Population
	if people == nil {
		if name == "" {
			name = anthro.PublicOf(p.Sex)
			if anthro.Youth(p.Known) {
				name = anthro.YouthsOf(p.Sex)
			}
		}
		var err error
		if people, err = anthro.Load(name); err != nil {
			return nil, fault.New("people", name, "%v", err)
		}
	}
	if a := people.Athletes(); a != nil && p.Tests != nil {
		return nil, fault.New("people", people.Name, "the strength of %s was never measured, so nobody with tests can be placed among them, only among untrained adults such as %s", a.Who, a.From)
	}
	if people.Sex != p.Sex {
		return nil, fault.New("people", people.Name, "the people of %s are %s, the person is %s", people.Name, people.Sex, p.Sex)
	}
	return people, nil
}

// scenario is the person among people, in the hold, under the models asked for, and
// then what the fixture follows from.
func (p *Person) scenario(people *anthro.Population, o *Options) (s scenario.Scenario, asked int) {
	s = scenario.Scenario{
		Hold: p.Hold, Legs: p.Legs, Pose: p.Pose, Tilt: p.Tilt, Load: p.Load,
		People: []scenario.Group{scenario.GroupOf(people)}, Assumptions: o.Assumptions,
	}
	models := o.Models
	if len(models) == 0 && p.Hold != nil {
		models = p.Hold.Models
	}
	models = judgingFirst(models)
	s.Models = names.Each(models, func(m hold.Model) scenario.Model {
		return scenario.Model{Statics: m, Masses: o.Masses, Segments: o.Segments}
	})
	return s, len(s.Models)
}

// Judges reports whether any of the models asked for may be judged by; see
// hold.Model.Judges.
func (o *Options) Judges() bool {
	return len(o.Models) == 0 || slices.ContainsFunc(o.Models, hold.Model.Judges)
}

// judgingFirst returns the models with those first that judge.
func judgingFirst(models []hold.Model) []hold.Model {
	others := slices.DeleteFunc(slices.Clone(models), hold.Model.Judges)
	return append(slices.DeleteFunc(slices.Clone(models), func(m hold.Model) bool { return !m.Judges() }), others...)
}

// problem is a person and options, checked and made ready.
type problem struct {
	person     Person
	options    Options
	scenario   scenario.Scenario
	setup      *scenario.Setup
	asked      int                // how many of the scenario's models are asked for; they come first
	population *anthro.Population // among whom the person is placed
	left       *anthro.Person     // what is left of it, or of the survey behind it
	builder    *body.Builder
}

// prepare checks a person and options.
func prepare(p Person, o Options) (*problem, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	if utf8.RuneCountInString(p.Name) > MostNamed {
		return nil, fault.New("person", nil, "a name of %d letters, allowed: %d", utf8.RuneCountInString(p.Name), MostNamed)
	}
	if err := plain.CheckText("person", p.Name); err != nil {
		return nil, err
	}
	for _, k := range p.Known {
		if k.Value > 0 && k.Error > k.Value/2 { // which measures nothing; what is no error at all is refused below
			return nil, fault.New(k.Of.String(), k.Error, "the measuring error is %.3g of what was measured, allowed: up to a half; leave out what was not measured", k.Error/k.Value)
		}
	}
	if p.Sex != anthro.Female && p.Sex != anthro.Male {
		return nil, fault.New("sex", int(p.Sex), "no sex has the number %d", int(p.Sex))
	}
	population, err := p.People()
	if err != nil {
		return nil, err
	}
	pr := &problem{person: p, options: o, population: population}
	pr.scenario, pr.asked = p.scenario(population, &o)
	if err := errors.Join(pr.scenario.Check(), p.Tests.check(), p.Tests.checkScales(p.Sex), p.Measured.check(p.Hold)); err != nil {
		return nil, err
	}
	pr.options.Assumptions = pr.scenario.Assumed()
	// What carries the person follows from the equilibrium alone, so it is always
	// computed.
	equilibrium := scenario.Model{Statics: hold.Equilibrium, Masses: o.Masses, Segments: o.Segments}
	if p.Hold.Has(hold.Equilibrium) {
		pr.scenario.Models = names.Once(pr.scenario.Models, equilibrium)
	}
	pr.setup = scenario.NewSetup(&pr.scenario)
	var regional anthro.Regional
	if p.Scan != nil {
		if regional, err = anthro.ScannedRegional(*p.Scan); err != nil {
			return nil, fault.New("scan", *p.Scan, "%v", err)
		}
	}
	condition := pr.population.Survey().Condition
	if p.Again {
		condition = pr.population.Survey().ConditionAgain
	}
	if pr.left, err = condition(p.Known, regional); err != nil {
		return nil, err
	}
	parts, err := pr.scenario.Parts()
	if err != nil {
		return nil, err
	}
	pr.builder = parts[0].Builder(pr.scenario.Models[0])
	return pr, nil
}

// cases are the ways in which people are held up: under every model, with the
// assumptions that are in a and a strength that tests have shown, nil for that of
// untrained adults.
func (pr *problem) cases(a *assume.Set, own *own) []scenario.Case {
	cases := make([]scenario.Case, len(pr.scenario.Models))
	for l, m := range pr.scenario.Models {
		cases[l] = scenario.Case{Setup: pr.setup, Model: m.Statics, Builder: pr.builder, Assume: a}
		if own != nil {
			cases[l].Strength = own.give
		}
	}
	return cases
}

// newResults returns room for what is asked of so many people, by model.
func (pr *problem) newResults(rows int) []*hold.Result {
	return names.Each(pr.scenario.Models, func(m scenario.Model) *hold.Result { return hold.NewResult(rows, pr.scenario.Hold.Asks(m.Statics)...) })
}

// newBench returns the room of one worker.
func (pr *problem) newBench() *scenario.Bench {
	return scenario.NewBench(scenario.TileRows, scenario.DemandsOf(pr.scenario.Hold), nil)
}

func (o *Options) check() error {
	switch {
	case o.N < LeastN || o.N > MostN:
		return fault.New("n", o.N, "found %d, must be %d to %d", o.N, LeastN, MostN)
	case o.Workers < 0:
		return fault.New("workers", o.Workers, "found %d, must be at least 0", o.Workers)
	case o.Endurance < 0 || o.Endurance >= strength.NumEndurances:
		return fault.New("endurance", int(o.Endurance), "no relation has the number %d", int(o.Endurance))
	}
	return nil
}

// LongestTest bounds how long a test can have been held, s: beyond, a unit was
// mistaken.
const LongestTest = 3600

func (t *Tests) check() error {
	if t == nil {
		return nil
	}
	for _, h := range t.Hangs {
		switch {
		case !(h.Seconds > 0 && h.Seconds <= LongestTest):
			return fault.New("tests", h.Seconds, "a hang was held %g s, must be positive and up to %d s", h.Seconds, LongestTest)
		case !body.LoadBounds.Holds(h.Added):
			return body.LoadBounds.Check("tests.one_arm_hang.added", h.Added)
		case h.Side < 0 || h.Side >= NumSides:
			return fault.New("tests", int(h.Side), "no side has the number %d", int(h.Side))
		}
	}
	worn := fault.Bounds{Most: body.LoadBounds.Most, Unit: "kg"}
	least, most := hold.WallDistance.Info().Least, hold.WallDistance.Info().Most
	for _, h := range t.Handstands {
		switch {
		case !(h.Seconds > 0 && h.Seconds <= LongestTest):
			return fault.New("tests", h.Seconds, "a handstand was held %g s, must be positive and up to %d s", h.Seconds, LongestTest)
		case !worn.Holds(h.Fingers):
			return worn.Check("tests.one_arm_handstand.fingers", h.Fingers)
		case !worn.Holds(h.Added):
			return worn.Check("tests.one_arm_handstand.added", h.Added)
		case h.WallDistance != 0 && !(h.WallDistance >= least && h.WallDistance <= most):
			return fault.New("tests", h.WallDistance, "the wall was %g m from the hand, allowed: %g to %g m", h.WallDistance, least, most)
		case h.Side < 0 || h.Side >= NumSides:
			return fault.New("tests", int(h.Side), "no side has the number %d", int(h.Side))
		}
	}
	return nil
}

func (m *Measured) check(h *hold.Hold) error {
	if m == nil {
		return nil
	}
	if h != nil && h != hold.HumanFlag {
		return fault.New("measured", h.Name, "only the human flag has readings to compare with, not %s", h.Name)
	}
	for _, r := range []struct {
		name string
		*Reading
		most float64
	}{{"foot_load", m.FootLoad, 500}, {"arm_angle", m.ArmAngle, math.Pi / 2}, {"hand_spacing", m.HandSpacing, 4}} {
		switch {
		case r.Reading == nil:
		case !(r.Value > 0 && r.Value < r.most):
			return fault.New("measured."+r.name, r.Value, "%s is %g, must be between 0 and %g", r.name, r.Value, r.most)
		case !(r.Error >= 0 && r.Error <= r.Value/2):
			return fault.New("measured."+r.name, r.Error, "the error of %s is %g, must be 0 to half of the value", r.name, r.Error)
		}
	}
	return nil
}
