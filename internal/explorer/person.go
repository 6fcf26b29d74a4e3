package explorer

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"sort"
	"strconv"
	"strings"

	"counterpoise/internal/nearest"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/person"
	"counterpoise/sim/scenario"
)

// Person is a person as the page's form has them: everything that is typed is text,
// and an empty text is a field left open. Only the sex is needed.
type Person struct {
	Name  string `json:"name,omitempty"`  // as sentences call them; "you" where empty
	Sex   string `json:"sex"`             // "female" or "male"
	Units string `json:"units,omitempty"` // "metric" (the default) or "imperial": of bare numbers and of sentences
	// Measurements are by their names in the catalogue, each with an error after "±" if
	// it has one.
	Measurements map[string]string `json:"measurements,omitempty"`
	Scan         map[string]string `json:"scan,omitempty"` // mass by region, all regions or none
	Tests        []Test            `json:"tests,omitempty"`
	Hold         string            `json:"hold,omitempty"` // "human-flag" where empty
	Legs         Legs              `json:"legs,omitzero"`
	Tilt         string            `json:"tilt,omitempty"` // feet above the level of the shoulders, an angle
	// Pose is by the variants' names in the catalogue: "yes" or "no", a length or an angle.
	Pose map[string]string `json:"pose,omitempty"`
	// Load is what is carried in the hold, by the catalogue's points, of limbs both sides
	// together; less than nothing is taken off, straight up.
	Load map[string]string `json:"load,omitempty"`
}

// Legs is how the legs are held.
type Legs struct {
	Form  string `json:"form,omitempty"`  // "together" where empty
	Angle string `json:"angle,omitempty"` // of a straddle: each leg from the body's line
}

// Test is a field test of strength.
type Test struct {
	Test         string `json:"test"`                    // its name in the catalogue
	Side         string `json:"side,omitempty"`          // "left", "right" or empty: both alike
	Held         string `json:"held"`                    // a time; not of a scale
	Added        string `json:"added,omitempty"`         // one_arm_hang: load on top of body mass
	Assisted     string `json:"assisted,omitempty"`      // one_arm_hang: load taken off
	Fingers      string `json:"fingers,omitempty"`       // one_arm_handstand: what a scale under the other hand's fingers reads
	WallDistance string `json:"wall_distance,omitempty"` // one_arm_handstand: wrist to wall
	Hand         string `json:"hand,omitempty"`          // scale: where the hand goes
	Angle        string `json:"angle,omitempty"`         // scale: between arm and trunk; none along the arm
	Reads        string `json:"reads,omitempty"`         // scale
}

// form reads a person, and gathers what is wrong with the fields.
type form struct {
	system words.System
	faults []Fault
}

func (f *form) fail(field, reason string, values ...any) {
	f.faults = append(f.faults, Fault{Field: field, Reason: fmt.Sprintf(reason, values...)})
}

// longestText is how long the text of a field may be: longer than any quantity.
const longestText = 80

// quantity reads a quantity; a bare number has the unit of the system. ok is false
// for an empty text, and after a fault.
func (f *form) quantity(field, text string, want units.Dimension) (q units.Uncertain, ok bool) {
	text = pointed(text)
	if text == "" {
		return q, false
	}
	if len(text) > longestText {
		f.fail(field, "is %d letters long, a quantity has at most %d", len(text), longestText)
		return q, false
	}
	if bare(text) {
		text += " " + words.Unit(want, f.system)
	}
	q, err := units.ParseUncertain(text, want)
	if err != nil {
		f.fail(field, "%v", err)
		return q, false
	}
	return q, true
}

// commas are decimal commas. People type them; no thousands are set off here.
var commas = regexp.MustCompile(`([0-9]),([0-9])`)

// pointed is a text that was typed, with decimal points for its commas.
func pointed(text string) string { return commas.ReplaceAllString(strings.TrimSpace(text), "$1.$2") }

// bare reports whether a text is a number without a unit, with an error or without.
func bare(text string) bool {
	for _, sign := range []string{"±", "+/-", "+-"} {
		text = strings.ReplaceAll(text, sign, " ")
	}
	parts := strings.Fields(strings.ReplaceAll(text, "−", "-"))
	return (len(parts) == 1 || len(parts) == 2) && !slices.ContainsFunc(parts, func(part string) bool {
		_, err := strconv.ParseFloat(part, 64)
		return err != nil
	})
}

// within reads a quantity without an error that must lie in a range, in SI units.
func (f *form) within(field, text string, want units.Dimension, least, most float64) (float64, bool) {
	q, ok := f.quantity(field, text, want)
	if !ok {
		return 0, false
	}
	// To the end of the range as it is printed: 80° is 80 degrees.
	const slack = 1e-9
	if !(q.Value >= least-slack && q.Value <= most+slack) {
		f.fail(field, "%s is not possible, allowed: %s to %s",
			words.Quantity(q.Value, want, f.system), words.Quantity(least, want, f.system), words.Quantity(most, want, f.system))
		return 0, false
	}
	return min(max(q.Value, least), most), true
}

// oneOf checks a name.
func (f *form) oneOf(field, name string, allowed []string) bool {
	if slices.Contains(allowed, name) {
		return true
	}
	suggestion := ""
	if near, ok := nearest.Nearest(name, allowed); ok {
		suggestion = fmt.Sprintf(" (did you mean %s?)", near)
	}
	f.fail(field, "unknown name %q%s; allowed: %s", cut(name), suggestion, strings.Join(allowed, ", "))
	return false
}

// cut shortens what is quoted back.
func cut(text string) string {
	if runes := []rune(text); len(runes) > 40 {
		return string(runes[:40]) + "…"
	}
	return text
}

// sorted returns the names of a map in order, so that faults come in one order.
func sorted(m map[string]string) []string { return slices.Sorted(maps.Keys(m)) }

// read reads a person. Its error is what nothing can be answered without.
func (p *Person) read(at string, e *Explorer) (*form, person.Person, error) {
	f := &form{}
	var read person.Person
	if p.Units != "" && f.oneOf(at+"units", p.Units, words.Systems[:]) {
		f.system, _ = words.ParseSystem(p.Units)
	}
	sex, known := anthro.ParseSex(p.Sex)
	if !known {
		return f, read, &RequestError{at + "sex", fmt.Sprintf("found %q, needed is female or male", cut(p.Sex))}
	}
	h := hold.HumanFlag
	if p.Hold != "" {
		if h, known = e.hold(p.Hold); !known {
			f.oneOf(at+"hold", p.Hold, e.holdNames())
			return f, read, &RequestError{f.faults[len(f.faults)-1].Field, f.faults[len(f.faults)-1].Reason}
		}
	}
	read.Sex, read.Name, read.Hold = sex, name(p.Name), h
	for _, name := range sorted(p.Measurements) {
		field := at + "measurements." + name
		m, known := anthro.ParseMeasurement(name)
		if !known {
			f.oneOf(field, name, anthro.MeasurementNames())
			continue
		}
		if q, ok := f.quantity(field, p.Measurements[name], words.DimensionOf(m)); ok && f.positive(field, q.Value) {
			read.Known = append(read.Known, anthro.Known{Of: m, Value: q.Value, Error: q.PlusMinus})
		}
	}
	sort.Slice(read.Known, func(a, b int) bool { return read.Known[a].Of < read.Known[b].Of })
	read.Scan = f.scan(at+"scan", p.Scan)
	read.Legs = f.legs(at+"legs", &p.Legs, h)
	if tilt, ok := f.within(at+"tilt", p.Tilt, units.Angle, -mostTilt, mostTilt); ok && tilt != 0 {
		if h.Tilts {
			read.Tilt = tilt
		} else {
			f.fail(at+"tilt", "%s is not tilted, leave this out", h.Name)
		}
	}
	read.Pose = f.pose(at+"pose", p.Pose, h)
	read.Load = f.load(at+"load", p.Load)
	read.Tests = f.tests(at+"tests", p.Tests)
	return f, read, nil
}

// load reads what is carried and taken off.
func (f *form) load(at string, masses map[string]string) (l body.Load) {
	for _, name := range sorted(masses) {
		p, known := body.ParsePoint(name)
		if !known {
			f.oneOf(at+"."+name, name, body.PointNames())
			continue
		}
		if kg, ok := f.within(at+"."+name, masses[name], units.Mass, body.LoadBounds.Least, body.LoadBounds.Most); ok {
			l[p] += kg
		}
	}
	return l
}

// mostTilt bounds the tilt.
var mostTilt = scenario.TiltBounds.Most

// longestName is how many letters a name may have.
const longestName = 60

func name(text string) string {
	text = strings.Join(strings.Fields(text), " ")
	if runes := []rune(text); len(runes) > longestName {
		text = string(runes[:longestName])
	}
	return cmp.Or(text, "you")
}

func (f *form) positive(field string, x float64) bool {
	if !(x > 0) {
		f.fail(field, "must be positive")
		return false
	}
	return true
}

// scan reads regional masses: all or none.
func (f *form) scan(at string, texts map[string]string) *[anthro.NumRegions]float64 {
	var masses [anthro.NumRegions]float64
	var missing []string
	regions := names.All(anthro.NumRegions)
	given, clean := 0, len(f.faults)
	for _, name := range sorted(texts) {
		field := at + "." + name
		if !f.oneOf(field, name, regions) {
			continue
		}
		if q, ok := f.quantity(field, texts[name], units.Mass); ok && f.positive(field, q.Value) {
			masses[slices.Index(regions, name)] = q.Value
			given++
		}
	}
	if given == 0 || len(f.faults) > clean {
		return nil
	}
	for r, mass := range masses {
		if mass == 0 {
			missing = append(missing, regions[r])
		}
	}
	if len(missing) > 0 {
		f.fail(at, "needs the masses of %s; missing: %s", strings.Join(regions, ", "), strings.Join(missing, ", "))
		return nil
	}
	return &masses
}

// legs reads a leg form that the hold has.
func (f *form) legs(at string, l *Legs, h *hold.Hold) hold.Legs {
	if l.Form == "" {
		return hold.Legs{}
	}
	if !f.oneOf(at+".form", l.Form, names.Of(h.LegForms)) {
		return hold.Legs{}
	}
	form, _ := hold.ParseLegForm(l.Form)
	if form != hold.Straddle {
		return hold.LegsIn(form, 0)
	}
	if strings.TrimSpace(l.Angle) == "" {
		f.fail(at+".angle", "a straddle needs its angle, each leg from the body's line, as in 40 deg")
		return hold.Legs{}
	}
	angle, ok := f.within(at+".angle", l.Angle, units.Angle, 0, mostStraddle)
	switch {
	case !ok:
		return hold.Legs{}
	case angle == 0:
		return hold.Legs{}
	}
	return hold.LegsIn(form, angle)
}

// mostStraddle bounds the opening of each leg.
const mostStraddle = math.Pi / 2

// pose reads variants that the hold has.
func (f *form) pose(at string, texts map[string]string, h *hold.Hold) hold.Pose {
	var pose hold.Pose
	allowed := names.Of(h.Variants)
	for _, name := range sorted(texts) {
		field, text := at+"."+name, strings.TrimSpace(texts[name])
		switch {
		case text == "":
			continue
		case len(allowed) == 0:
			f.fail(field, "%s has no variants of its pose", h.Name)
			continue
		case !f.oneOf(field, name, allowed):
			continue
		}
		v, _ := hold.ParseVariant(name)
		switch info := v.Info(); info.Unit {
		case "":
			if f.oneOf(field, text, []string{"yes", "no"}) && text == "yes" {
				pose[v] = 1
			}
		case "rad":
			pose[v], _ = f.within(field, text, units.Angle, info.Least, info.Most)
		default:
			pose[v], _ = f.within(field, text, units.Length, info.Least, info.Most)
		}
	}
	return pose
}

// The names of the field tests.
const (
	hangTest      = "one_arm_hang"
	handstandTest = "one_arm_handstand"
	scaleTest     = "scale"
)

// Bounds of field tests: beyond, a unit was mistaken. No more than mostTests are
// read.
const (
	longestTest = 3600 // s
	mostLoad    = 500  // kg
	mostTests   = 20
)

// tests reads field tests; those without a time, or a reading, are not there yet.
func (f *form) tests(at string, list []Test) *person.Tests {
	if len(list) > mostTests {
		f.fail(at, "%d tests are more than are read, at most %d", len(list), mostTests)
		return nil
	}
	tests := &person.Tests{}
	for i := range list {
		t, field := &list[i], fmt.Sprintf("%s[%d].", at, i)
		clean := len(f.faults)
		f.oneOf(field+"test", t.Test, []string{hangTest, handstandTest, scaleTest})
		side := person.AnySide
		if t.Side != "" && f.oneOf(field+"side", t.Side, []string{person.Left.String(), person.Right.String()}) {
			side, _ = person.ParseSide(t.Side)
		}
		if t.Test == scaleTest {
			if s, ok := f.scale(field, t); ok && len(f.faults) == clean {
				s.Side = side
				tests.Scales = append(tests.Scales, s)
			}
			continue
		}
		held, ok := f.within(field+"held", t.Held, units.Duration, 0, longestTest)
		if ok {
			f.positive(field+"held", held)
		}
		added, _ := f.within(field+"added", t.Added, units.Mass, 0, mostLoad)
		assisted, _ := f.within(field+"assisted", t.Assisted, units.Mass, 0, mostLoad)
		fingers, _ := f.within(field+"fingers", t.Fingers, units.Mass, 0, mostLoad)
		wall := hold.WallDistance.Info()
		distance, _ := f.within(field+"wall_distance", t.WallDistance, units.Length, wall.Least, wall.Most)
		switch {
		case len(f.faults) > clean || !ok:
		case added != 0 && assisted != 0:
			f.fail(field+"assisted", "added and assisted exclude each other, give the difference")
		case t.Test == hangTest:
			tests.Hangs = append(tests.Hangs, person.Hang{Side: side, Seconds: held, Added: added - assisted})
		default:
			tests.Handstands = append(tests.Handstands, person.Handstand{Side: side, Seconds: held, Fingers: fingers, WallDistance: distance})
		}
	}
	if len(tests.Hangs)+len(tests.Handstands)+len(tests.Scales) == 0 {
		return nil
	}
	return tests
}

// scale reads what a scale read; ok is false where something of it is not there yet.
func (f *form) scale(field string, t *Test) (s person.Scale, ok bool) {
	if t.Hand == "" || !f.oneOf(field+"hand", t.Hand, names.All(person.NumWays)) {
		return s, false
	}
	s.Way, _ = person.ParseWay(t.Hand)
	angled := true
	if s.Way.Across() {
		s.Angle, angled = f.within(field+"angle", t.Angle, units.Angle, 0, math.Pi)
	}
	if s.Kilograms, ok = f.within(field+"reads", t.Reads, units.Mass, 0, person.MostOnScale); ok {
		f.positive(field+"reads", s.Kilograms)
	}
	return s, ok && angled
}

// leaveOut gives an error of computing its field, and takes that out of the person.
// It reports whether something is left to be computed without it.
func (f *form) leaveOut(at string, p *person.Person, err error) bool {
	var improbable *anthro.ImprobableError
	var contradiction *anthro.ContradictionError
	var scan *anthro.ScanError
	var field *fault.Error
	drop := func(m anthro.Measurement) bool {
		before := len(p.Known)
		p.Known = slices.DeleteFunc(slices.Clone(p.Known), func(k anthro.Known) bool { return k.Of == m })
		return len(p.Known) < before
	}
	switch {
	case errors.As(err, &improbable):
		one := Fault{
			Field:  at + "measurements." + improbable.Known.Of.String(),
			Reason: words.Rarity(&improbable.Rarity, f.system),
		}
		if slip := improbable.Slip; slip != nil {
			one.Slip = &Slip{Text: slip.Text, Would: words.Quantity(slip.Value, words.DimensionOf(improbable.Known.Of), f.system), Fields: []string{}}
			for _, m := range slip.Of {
				one.Slip.Fields = append(one.Slip.Fields, at+"measurements."+m.String())
			}
		}
		f.faults = append(f.faults, one)
		return drop(improbable.Known.Of)
	case errors.As(err, &contradiction):
		m, ok := f.leastLikely(p, contradiction)
		if !ok {
			return false
		}
		f.fail(at+"measurements."+m.String(), "%s must be more than %s; found %s and %s", words.Plain(contradiction.Greater), words.Plain(contradiction.Lesser),
			words.Quantity(contradiction.GreaterValue, units.Length, f.system), words.Quantity(contradiction.LesserValue, units.Length, f.system))
		return drop(m)
	case errors.As(err, &scan):
		f.fail(at+"scan", "%s", scan.Error())
		p.Scan = nil
		return true
	case errors.As(err, &field) && field.Field == "scan":
		f.fail(at+"scan", "%s", field.Reason)
		p.Scan = nil
		return true
	case errors.As(err, &field) && slices.Contains(anthro.MeasurementNames(), field.Field):
		m, _ := anthro.ParseMeasurement(field.Field)
		f.fail(at+"measurements."+field.Field, "%s", words.Fault(field))
		return drop(m)
	case errors.As(err, &field) && field.Field == "assist" && p.Load != (body.Load{}):
		f.fail(at+"load", "%s", field.Reason)
		p.Load = body.Load{}
		return true
	case errors.As(err, &field) && field.Field == "tests" && p.Tests != nil:
		f.fail(at+"tests", "%s", field.Reason)
		p.Tests = nil
		return true
	}
	return false
}

// leastLikely returns, of the known measurements that contradict each other, the one
// that the fewest people have.
func (f *form) leastLikely(p *person.Person, e *anthro.ContradictionError) (least anthro.Measurement, found bool) {
	people, err := p.People()
	if err != nil {
		return 0, false
	}
	people = people.Survey()
	fewest := math.Inf(1)
	for _, k := range p.Known {
		if !strings.Contains(e.Greater, k.Of.String()) && !strings.Contains(e.Lesser, k.Of.String()) {
			continue
		}
		below := people.ShareBelow(k.Of, k.Value)
		if share := min(below, 1-below); share < fewest {
			least, fewest, found = k.Of, share, true
		}
	}
	return least, found
}
