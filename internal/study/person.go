package study

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"unicode"
	"unicode/utf8"

	"counterpoise/internal/provenance"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/muscle"
	"counterpoise/sim/names"
	"counterpoise/sim/person"
)

// Person is a person as a file tells of them, and where it does.
type Person struct {
	person.Person
	File string
	Line int // of the first field

	// Found are measurements as they are written, by field, which errors quote; may be nil.
	Found map[string]string

	lines map[string]int // of the fields
}

// MostPersons is how many persons are read at a time, more than any club has, and
// mostPersonsBytes how long their file may be.
const (
	MostPersons      = 2000
	mostPersonsBytes = 1 << 20
)

// Again names the field that says that the measurements were taken again, and are so.
const Again = "measured_again"

// LoadPersons reads the persons of files, of which each may hold several YAML
// documents, and of folders: their files ending in .yaml or .yml, in the order
// of their names. All faults are reported, one a line; among them is a name
// that two persons share.
func LoadPersons(paths []string) ([]Person, error) {
	var files []string
	for _, path := range paths {
		found, err := filesOf(path)
		if err != nil {
			return nil, err
		}
		files = append(files, found...)
	}
	var persons []Person
	var faults []error
	for _, file := range files {
		data, err := load(file, mostPersonsBytes)
		if err != nil {
			return nil, err
		}
		read, err := ReadPersons(file, data)
		if err != nil {
			faults = append(faults, err)
			continue
		}
		for _, p := range read {
			if first := slices.IndexFunc(persons, func(q Person) bool { return q.Name == p.Name }); first >= 0 {
				faults = append(faults, &Error{File: file, Line: p.lines["person"], Field: "person", Reason: fmt.Sprintf("%s appears twice, first in %s on line %d", p.Name, persons[first].File, persons[first].lines["person"])})
			}
		}
		persons = append(persons, read...)
		if len(persons) > MostPersons {
			return nil, &Error{File: file, Reason: fmt.Sprintf("makes more than %d persons, take fewer at a time", MostPersons)}
		}
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	return persons, nil
}

// filesOf returns the file itself, or those of a folder.
func filesOf(path string) ([]string, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, &Error{File: path, Reason: provenance.ReasonOf(err).Error()}
	}
	if !info.IsDir() {
		return []string{path}, nil
	}
	entries, err := os.ReadDir(path)
	if err != nil {
		return nil, err
	}
	var files []string
	for _, entry := range entries {
		if extension := filepath.Ext(entry.Name()); !entry.IsDir() && (extension == ".yaml" || extension == ".yml") {
			files = append(files, filepath.Join(path, entry.Name()))
		}
	}
	if len(files) == 0 {
		return nil, &Error{File: path, Reason: "the folder holds no file ending in .yaml or .yml"}
	}
	return files, nil
}

// ReadPersons reads persons from the text of a file of one or more YAML
// documents; file names it in messages. All faults are reported, one a line.
//
// What it does not know is what only the people can tell, such as a stature that
// nobody has: person.Answer finds that, and Fault gives it its place.
func ReadPersons(file string, data []byte) ([]Person, error) {
	d := &document{file: file}
	tops, err := d.many(data, mostPersonsBytes)
	if err != nil {
		return nil, err
	}
	var persons []Person
	for _, top := range tops {
		r := &personReader{Person{File: file, Line: top.line(), Found: map[string]string{}, lines: map[string]int{}}}
		for _, e := range top.entriesOrNone() {
			r.lines[e.name] = e.line
			if _, measured := anthro.ParseMeasurement(e.name); measured {
				r.Found[e.name], _ = written(e.value.node)
			}
		}
		d.meant = nil
		r.read(top)
		for _, before := range persons {
			if r.Name != "" && before.Name == r.Name {
				d.fail(r.lines["person"], "person", "%s appears twice, first on line %d", r.Name, before.lines["person"])
			}
		}
		persons = append(persons, r.Person)
	}
	if len(d.faults) > 0 {
		return nil, d.err()
	}
	return persons, nil
}

// personReader fills a person from its fields.
type personReader struct{ Person }

func (r *personReader) read(top *value) {
	var pose *value // waits for the hold
	readers := map[string]func(*value){
		"person": func(v *value) { r.Name = v.name() },
		"sex": func(v *value) {
			if name, ok := v.oneOf([]string{anthro.Female.String(), anthro.Male.String()}); ok {
				r.Sex, _ = anthro.ParseSex(name)
			}
		},
		"people": func(v *value) {
			if people, ok := v.population(); ok {
				r.Population, r.Own = people.Population, people.Own
			}
		},
		"hold": func(v *value) {
			if h := v.hold(); h != nil {
				r.Hold = h
			}
		},
		"legs":     func(v *value) { r.Legs = v.legs() },
		"tilt":     func(v *value) { r.Tilt = v.tilt() },
		"pose":     func(v *value) { pose = v },
		Again:      func(v *value) { r.Again = v.yes() },
		"scan":     func(v *value) { r.Scan = v.scan() },
		"tests":    func(v *value) { r.Tests = v.tests() },
		"measured": func(v *value) { r.Measured = v.measured() },
	}
	for m := range anthro.NumVariables {
		readers[m.String()] = func(v *value) {
			dimension := words.DimensionOf(m)
			clean := v.doc.clean()
			if reading := v.reading(dimension); clean() {
				r.Known = append(r.Known, anthro.Known{Of: m, Value: reading.Value, Error: reading.Error})
			}
		}
	}
	r.Hold = hold.HumanFlag
	clean := top.doc.clean()
	var carried loadReader
	carried.into(readers)
	top.fields(readers)
	r.Load = carried.total()
	for _, needed := range []string{"person", "sex"} {
		if _, ok := r.lines[needed]; !ok && top.isMapping() && !top.doc.meant[needed] {
			top.doc.fail(r.Line, needed, "is missing, as in %s: %s", needed, map[string]string{"person": "Ada", "sex": "female, or male"}[needed])
		}
	}
	if clean() && r.Tests != nil {
		r.scalesKnown(top)
	}
	if pose != nil {
		r.Pose = pose.pose(r.Hold, hold.Pose{})
	}
	sort.Slice(r.Known, func(a, b int) bool { return r.Known[a].Of < r.Known[b].Of })
}

// scalesKnown finds scales at angles where nobody has measured what people of the sex give.
func (r *personReader) scalesKnown(top *value) {
	degrees := func(radians float64) string { return words.Typed(radians*180/math.Pi, "deg") }
	for _, s := range r.Tests.Scales {
		if !s.Way.Across() {
			continue
		}
		const rounding = 1e-9
		if least, most := s.Way.Angles(r.Sex); !(s.Angle >= least-rounding && s.Angle <= most+rounding) {
			top.doc.fail(r.lines["tests"], "tests.scale.angle", "%s: no published measurement of %s there, allowed: %s to %s",
				degrees(s.Angle), s.Way.Group().Of(muscle.Both), degrees(least), degrees(most))
		}
	}
}

// name reads what a person is called.
func (v *value) name() string {
	text, ok := v.text()
	if !ok {
		return ""
	}
	name := strings.Join(strings.Fields(text), " ")
	switch {
	case name == "":
		v.fail("is an empty name")
	case utf8.RuneCountInString(name) > person.MostNamed:
		v.fail("%s: at most %d letters are read", printable(name), person.MostNamed)
	case strings.ContainsFunc(name, func(r rune) bool { return !unicode.IsPrint(r) }):
		// Such characters would rule the terminal on which the name is printed.
		v.fail("holds a control character")
	}
	return name
}

// reading reads a positive quantity with, after "±", the standard deviation of
// its error. After a fault it is zero.
func (v *value) reading(want units.Dimension) person.Reading {
	if v.doc.probe != nil {
		v.shape().wanted = []units.Dimension{want}
	}
	text, ok := v.text()
	if !ok {
		return person.Reading{}
	}
	q, err := units.ParseUncertain(text, want)
	if err != nil {
		v.unreadable(text, err)
		return person.Reading{}
	}
	if !(q.Value > 0) {
		v.fail("%q: must be positive", printable(text))
		return person.Reading{}
	}
	return person.Reading{Value: q.Value, Error: q.PlusMinus}
}

// scan reads the regional masses of a body-composition scan.
func (v *value) scan() *[anthro.NumRegions]float64 {
	var masses [anthro.NumRegions]float64
	given := map[anthro.Region]bool{}
	readers := map[string]func(*value){}
	for region := range anthro.NumRegions {
		readers[region.String()] = func(v *value) {
			given[region] = true
			masses[region] = v.positive(units.Mass)
		}
	}
	v.fields(readers)
	for region := range anthro.NumRegions {
		if v.isMapping() && !given[region] && !v.doc.meant[v.field+"."+region.String()] {
			v.fail("needs the masses of %s; %s is missing", strings.Join(names.All(anthro.NumRegions), ", "), region)
		}
	}
	return &masses
}

// positive reads a quantity above zero; after a fault it is zero.
func (v *value) positive(want units.Dimension) float64 {
	clean := v.doc.clean()
	x := v.quantity(want).Value
	if clean() && !(x > 0) {
		v.fail("must be positive, found %s", words.Quantity(x, want, words.Metric))
	}
	return x
}

// held reads for how long a test was held.
func (v *value) held() float64 {
	clean := v.doc.clean()
	seconds := v.positive(units.Duration)
	if clean() && seconds > person.LongestTest {
		v.fail("%s is longer than anybody can hold it, allowed: up to %s", words.Typed(seconds, "s"), words.Typed(person.LongestTest, "s"))
	}
	return seconds
}

func (v *value) side() person.Side {
	name, ok := v.oneOf([]string{person.Left.String(), person.Right.String()})
	if !ok {
		return person.AnySide
	}
	side, _ := person.ParseSide(name)
	return side
}

// tests reads the tests of strength: of each kind one, or a list.
func (v *value) tests() *person.Tests {
	tests := &person.Tests{}
	clean := v.doc.clean()
	v.fields(map[string]func(*value){
		"one_arm_hang":      func(v *value) { tests.Hangs = names.Each(v.list(), (*value).hang) },
		"one_arm_handstand": func(v *value) { tests.Handstands = names.Each(v.list(), (*value).handstand) },
		"scale":             func(v *value) { tests.Scales = names.Each(v.list(), (*value).scale) },
	})
	if clean() && len(tests.Hangs)+len(tests.Handstands)+len(tests.Scales) == 0 {
		v.fail("names no test")
	}
	return tests
}

func (v *value) hang() person.Hang {
	var hang person.Hang
	clean := v.doc.clean()
	loads := 0
	v.fields(map[string]func(*value){
		"side":     func(v *value) { hang.Side = v.side() },
		"held":     func(v *value) { hang.Seconds = v.held() },
		"added":    func(v *value) { hang.Added = v.positive(units.Mass); loads++ },
		"assisted": func(v *value) { hang.Added = -v.positive(units.Mass); loads++ },
	})
	switch {
	case !clean():
	case hang.Seconds == 0:
		v.fail("needs how long it was held, as in held: 20 s")
	case loads > 1:
		v.fail("added and assisted exclude each other, give the difference")
	}
	return hang
}

func (v *value) handstand() person.Handstand {
	var stand person.Handstand
	clean := v.doc.clean()
	v.fields(map[string]func(*value){
		"side": func(v *value) { stand.Side = v.side() },
		"held": func(v *value) { stand.Seconds = v.held() },
		"fingers": func(v *value) {
			clean := v.doc.clean()
			if stand.Fingers = v.quantity(units.Mass).Value; clean() && stand.Fingers < 0 {
				v.fail("must not be negative")
			}
		},
		"added":         func(v *value) { stand.Added = v.positive(units.Mass) },
		"wall_distance": func(v *value) { stand.WallDistance = v.variant(hold.WallDistance.Info()) },
	})
	if clean() && stand.Seconds == 0 {
		v.fail("needs how long it was held, as in held: 20 s")
	}
	return stand
}

// scale reads what a scale read of a straight arm.
func (v *value) scale() person.Scale {
	var scale person.Scale
	way, angled := false, false
	ways := names.All(person.NumWays)
	clean := v.doc.clean()
	v.fields(map[string]func(*value){
		"side": func(v *value) { scale.Side = v.side() },
		"hand": func(v *value) {
			if name, ok := v.oneOf(ways); ok {
				scale.Way, way = person.ParseWay(name)
			}
		},
		"angle": func(v *value) { scale.Angle, angled = v.quantity(units.Angle).Value, true },
		"reads": func(v *value) {
			clean := v.doc.clean()
			if scale.Kilograms = v.positive(units.Mass); clean() && scale.Kilograms > person.MostOnScale {
				v.fail("%s is more than anybody can manage, allowed: up to %s", words.Typed(scale.Kilograms, "kg"), words.Typed(person.MostOnScale, "kg"))
			}
		},
	})
	switch {
	case !clean():
	case !way:
		v.fail("needs the direction of the hand, as in hand: down; allowed: %s", strings.Join(ways, ", "))
	case scale.Kilograms == 0:
		v.fail("needs the reading of the scale, as in reads: 18 kg")
	case scale.Way.Across() && !angled:
		v.fail("needs the angle between arm and trunk, as in angle: 135 deg")
	case !scale.Way.Across() && angled:
		v.fail("angle: a hand that goes %s stays in line with the arm, leave it out", scale.Way)
	}
	return scale
}

// measured reads what was measured in the hold itself.
func (v *value) measured() *person.Measured {
	m := &person.Measured{}
	clean := v.doc.clean()
	of := func(d units.Dimension) func(*value) person.Reading {
		return func(v *value) person.Reading { return v.reading(d) }
	}
	v.fields(map[string]func(*value){
		"foot_load": into(&m.FootLoad, of(units.Mass)), "arm_angle": into(&m.ArmAngle, of(units.Angle)), "hand_spacing": into(&m.HandSpacing, of(units.Length)),
	})
	if clean() && *m == (person.Measured{}) {
		v.fail("names no measurement")
	}
	return m
}
