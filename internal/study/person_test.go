package study

import (
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"counterpoise/internal/golden"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
)

// goodPerson is a person without a fault; the tests alter it.
const goodPerson = `person: Ada
sex: female
stature: 168 cm ± 0.5 cm
mass: 61 kg
span: 5 ft 8 in
waist_circumference: 74 cm
scan: {arms: 6.4 kg, legs: 21.0 kg, trunk: 29.1 kg, head: 4.5 kg}
legs: straddle 40 deg
tests:
  one_arm_hang:
    - {side: left, held: 21 s, assisted: 2.5 kg}
    - {side: right, held: 30 s, added: 1 kg}
  one_arm_handstand: {held: 8 s, fingers: 6 kg, wall_distance: 20 cm}
  scale: [{side: right, hand: down, angle: 135 deg, reads: 18 kg}, {hand: push, reads: 44 kg}]
measured: {foot_load: 24 kg ± 0.5 kg, arm_angle: 47 deg, hand_spacing: 118 cm ± 1 cm}
`

func personWith(t testing.TB, old, next string) string {
	t.Helper()
	if strings.Count(goodPerson, old) == 0 {
		t.Fatalf("the good person has no %q", old)
	}
	return strings.Replace(goodPerson, old, next, 1)
}

func readPerson(t *testing.T, text string) Person {
	t.Helper()
	persons, err := ReadPersons("f", []byte(text))
	if err != nil || len(persons) != 1 {
		t.Fatalf("%d persons, %v", len(persons), err)
	}
	return persons[0]
}

func TestFieldsOfAPerson(t *testing.T) {
	p := readPerson(t, goodPerson)
	want := person.Person{
		Name: "Ada", Sex: anthro.Female, Hold: hold.HumanFlag, Legs: hold.LegsIn(hold.Straddle, deg(40)),
		Known: []anthro.Known{
			{Of: anthro.Stature, Value: 1.68, Error: 0.005}, {Of: anthro.Mass, Value: 61},
			{Of: anthro.Span, Value: 1.7272}, {Of: anthro.WaistCircumference, Value: 0.74},
		},
		Scan: &[anthro.NumRegions]float64{anthro.Head: 4.5, anthro.Trunk: 29.1, anthro.Arms: 6.4, anthro.Legs: 21},
		Tests: &person.Tests{
			Hangs:      []person.Hang{{Side: person.Left, Seconds: 21, Added: -2.5}, {Side: person.Right, Seconds: 30, Added: 1}},
			Handstands: []person.Handstand{{Seconds: 8, Fingers: 6, WallDistance: 0.2}},
			Scales:     []person.Scale{{Side: person.Right, Way: person.Down, Angle: deg(135), Kilograms: 18}, {Way: person.Push, Kilograms: 44}},
		},
		Measured: &person.Measured{
			FootLoad: &person.Reading{Value: 24, Error: 0.5}, ArmAngle: &person.Reading{Value: deg(47)}, HandSpacing: &person.Reading{Value: 1.18, Error: 0.01},
		},
	}
	if !alike(reflect.ValueOf(p.Person), reflect.ValueOf(want)) {
		t.Errorf("read as %+v\nwant %+v", p.Person, want)
	}
	other := readPerson(t, "person: \"Bo  B.\"\nsex: male\npeople: ansur2-men\nhold: push-up\npose: {kneeling: yes, hands_raised: 30 cm}\nmass: 80 kg ± 1 %\n")
	if other.Hold != hold.PushUp || other.Population != "ansur2-men" || other.Name != "Bo B." || !other.Pose.Is(hold.Kneeling) || other.Pose[hold.HandsRaised] != 0.3 {
		t.Errorf("read as %+v", other.Person)
	}
	if k := other.Known; len(k) != 1 || k[0].Of != anthro.Mass || math.Abs(k[0].Error-0.8) > 1e-15 {
		t.Errorf("known is %v, want mass with an error of 0.8 kg", k)
	}
	bare := readPerson(t, "person: C\nsex: male\n")
	if len(bare.Known) != 0 || bare.Scan != nil || bare.Tests != nil || bare.Measured != nil || bare.Hold != hold.HumanFlag {
		t.Errorf("read as %+v", bare.Person)
	}
}

// Every measurement can be given.
func TestEveryMeasurementIsAField(t *testing.T) {
	for _, name := range anthro.MeasurementNames() {
		value := "50 cm"
		if name == "mass" {
			value = "50 kg"
		}
		if p := readPerson(t, "person: C\nsex: male\n"+name+": "+value+"\n"); len(p.Known) != 1 || p.Known[0].Of.String() != name {
			t.Errorf("%s: known is %v", name, p.Known)
		}
	}
}

var personFaults = []struct{ old, next, want string }{
	{"person: Ada\n", "", "f:1: person: is missing, as in person: Ada"},
	{"sex: female\n", "", "f:1: sex: is missing, as in sex: female, or male"},
	{"Ada", "''", "f:1: person: is an empty name"},
	{"Ada", strings.Repeat("a", 61), "at most 60 letters are read"},
	{"Ada", `"A\e[1m"`, "f:1: person: holds a control character"},
	{"Ada", "[a, b]", "f:1: person: must be a single value, found a list"},
	{"female", "weiblich", `f:2: sex: unknown name "weiblich" (did you mean female?); allowed: female, male`},
	{"mass: 61", "Gewicht: 61", "f:4: Gewicht: unknown field (did you mean mass?); allowed: "},
	{"female", "woman", `f:2: sex: unknown name "woman" (did you mean female?); allowed: female, male`},
	{"female", "Female", `f:2: sex: unknown name "Female" (did you mean female?); allowed: female, male`},
	{"stature", "statur", "f:3: statur: unknown field (did you mean stature?); allowed: "},
	{"stature", "height", "f:3: height: unknown field (did you mean stature?); allowed: "},
	{"mass: 61", "weight: 61", "f:4: weight: unknown field (did you mean mass?); allowed: "},
	{"span", "wingspan", "f:5: wingspan: unknown field (did you mean span?); allowed: "},
	{"168 cm ± 0.5 cm", "168", `f:3: stature: "168": a length needs its unit: write "172 cm" or "5 ft 8 in"`},
	{"168 cm ± 0.5 cm", "168 kg", `f:3: stature: "168 kg": `},
	{"168 cm ± 0.5 cm", "168 cm ± 0 cm", `f:3: stature: "168 cm ± 0 cm": the uncertainty after ± is not positive: leave it out if none is known`},
	{"168 cm ± 0.5 cm", "-168 cm", `f:3: stature: "-168 cm": must be positive`},
	{"168 cm ± 0.5 cm", "0 cm", `f:3: stature: "0 cm": must be positive`},
	{"168 cm ± 0.5 cm", "NaN cm", `f:3: stature: "NaN cm" is not a length`},
	{"168 cm ± 0.5 cm", "1e999 cm", `f:3: stature: "1e999 cm": `},
	{"168 cm ± 0.5 cm", "", "f:3: stature: has no value"},
	{"mass: 61 kg", "stature: 61 kg", "f:4: stature: appears twice, first on line 3"},
	{"legs: 21.0 kg, ", "", "f:7: scan: needs the masses of head, trunk, arms, legs; legs is missing"},
	{"legs: 21.0 kg", "leg: 21.0 kg", "f:7: scan.leg: unknown field (did you mean legs?); allowed: arms, head, legs, trunk"},
	{"6.4 kg", "0 kg", "f:7: scan.arms: must be positive, found 0.0 kg"},
	{"6.4 kg", "11 %", `f:7: scan.arms: "11 %": `},
	{"straddle 40 deg", "straddle", "f:8: legs: a straddle needs its angle"},
	{"legs: straddle 40 deg", "hold: human-flog", `f:8: hold: unknown name "human-flog" (did you mean human-flag?)`},
	{"legs: straddle 40 deg", "pose: {kneeling: yes}", "f:8: pose.kneeling: "},
	{"legs: straddle 40 deg", "people: ansur2-woman", `f:8: people: unknown name "ansur2-woman" (did you mean ansur2-women?)`},
	{"side: left", "side: lefft", `f:11: tests.one_arm_hang.side: unknown name "lefft" (did you mean left?); allowed: left, right`},
	{"held: 21 s, ", "", "f:11: tests.one_arm_hang: needs how long it was held, as in held: 20 s"},
	{"held: 21 s", "seconds: 21 s", "f:11: tests.one_arm_hang.seconds: unknown field (did you mean held?); allowed: added, assisted, held, side"},
	{"held: 21 s", "held: 21", `f:11: tests.one_arm_hang.held: "21": a duration needs its unit`},
	{"held: 21 s", "held: 21 h", `f:11: tests.one_arm_hang.held: "21 h": `},
	{"held: 21 s", "held: 90 min", "f:11: tests.one_arm_hang.held: 5400 s is longer than anybody can hold it, allowed: up to 3600 s"},
	{"assisted: 2.5 kg", "assisted: 2.5 kg, added: 1 kg", "f:11: tests.one_arm_hang: added and assisted exclude each other, give the difference"},
	{"added: 1 kg", "added: -1 kg", "f:12: tests.one_arm_hang.added: must be positive"},
	{"fingers: 6 kg", "fingers: -6 kg", "f:13: tests.one_arm_handstand.fingers: must not be negative"},
	{"wall_distance: 20 cm", "wall_distance: 20 m", "f:13: tests.one_arm_handstand.wall_distance: 2000 cm is not possible, allowed: 2 to 120 cm"},
	{"one_arm_hang", "one_arm_hung", "f:10: tests.one_arm_hung: unknown field (did you mean one_arm_hang?); allowed: one_arm_handstand, one_arm_hang, scale"},
	{"hand: down, ", "", "f:14: tests.scale: needs the direction of the hand, as in hand: down; allowed: down, up, back, forward, push, pull"},
	{"hand: down", "hand: dwn", `f:14: tests.scale.hand: unknown name "dwn" (did you mean down?); allowed: down, up, back, forward, push, pull`},
	{"angle: 135 deg, ", "", "f:14: tests.scale: needs the angle between arm and trunk, as in angle: 135 deg"},
	{"angle: 135 deg", "angle: 135", `f:14: tests.scale.angle: "135": an angle needs its unit`},
	{", reads: 44 kg", "", "f:14: tests.scale: needs the reading of the scale, as in reads: 18 kg"},
	{"reads: 44 kg", "reads: 44 lbf", "f:14: tests.scale.reads: "},
	{"reads: 44 kg", "reads: 440 kg", "f:14: tests.scale.reads: 440 kg is more than anybody can manage, allowed: up to 300 kg"},
	{"angle: 135 deg", "angle: 170 deg", "f:9: tests.scale.angle: 170 deg: no published measurement of adduction of the shoulders there, allowed: 30 deg to 165 deg"},
	{"hand: push", "hand: push, angle: 20 deg", "f:14: tests.scale: angle: a hand that goes push stays in line with the arm, leave it out"},
	{"foot_load: 24 kg ± 0.5 kg", "feet: 24 kg", "f:15: measured.feet: unknown field; allowed: arm_angle, foot_load, hand_spacing"},
	{"{foot_load: 24 kg ± 0.5 kg, arm_angle: 47 deg, hand_spacing: 118 cm ± 1 cm}", "{}", "f:15: measured: names no measurement"},
	{"arm_angle: 47 deg", "arm_angle: 47", `f:15: measured.arm_angle: "47": an angle needs its unit`},
	{"female", "f\xe9male", "f:2: the text is not UTF-8; save the file as UTF-8"},
	{"female", "female\n\tmass: 1 kg", "f:3: a tab cannot indent, use spaces"},
}

func TestFaultsOfAPerson(t *testing.T) {
	for _, test := range personFaults {
		_, err := ReadPersons("f", []byte(personWith(t, test.old, test.next)))
		if err == nil || !strings.Contains(err.Error(), test.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%q for %q:\n got %v\nwant one line with %s", test.next, test.old, err, test.want)
		}
	}
}

func TestWholePersonFiles(t *testing.T) {
	two := goodPerson + "---\n" + strings.Replace(goodPerson, "Ada", "Bo", 1)
	persons, err := ReadPersons("f", []byte(two))
	if err != nil || len(persons) != 2 || persons[1].Name != "Bo" || persons[1].Line != 17 || persons[0].Line != 1 {
		t.Fatalf("%+v, %v", persons, err)
	}
	for name, text := range map[string]string{
		"CRLF": strings.ReplaceAll(two, "\n", "\r\n"), "byte-order mark": "\ufeff" + two, "comments": "# night\n" + strings.ReplaceAll(two, "\n", " # so\n"),
	} {
		got, err := ReadPersons("f", []byte(text))
		if err != nil || len(got) != 2 || !reflect.DeepEqual(got[1].Person, persons[1].Person) {
			t.Errorf("%s: %+v, %v", name, got, err)
		}
	}
	for _, test := range []struct{ name, text, want string }{
		{"empty", "", "f: the file is empty"},
		{"comment only", "# nobody\n", "f: the file is empty"},
		{"a list", "- a\n", "f:1: must be a mapping of fields, found a list"},
		{"the same twice", goodPerson + "---\n" + goodPerson, "f:17: person: Ada appears twice, first on line 1"},
		{"too long", goodPerson + strings.Repeat("#", mostPersonsBytes), "f: is too long, at most 1048576 bytes are read"},
		{"one too long", "person: A\nsex: male\n---\nperson: B\nsex: male\n" + strings.Repeat("#", MostBytes), "f:4: the document that begins here is too long, at most 32768 bytes are read"},
		{"a fault far down", strings.Repeat("# a line\n", 5000) + "---\nperson: A\nsex: male\nmass: 1\n", "f:1: the document that begins here is too long, at most 32768 bytes are read"},
		{"a fault in many", strings.Repeat(strings.Repeat("# a line\n", 1000)+"---\n", 10) + "person: A\nsex: male\nmass: 1\n", `f:10013: mass: "1": a mass needs its unit: write "61 kg" or "134 lb"`},
		{"a fault in each", "person: A\nsex: male\nmass: 1\n---\nperson: B\nsex: male\nmass: 2\n",
			`f:3: mass: "1": a mass needs its unit: write "61 kg" or "134 lb"` + "\n" + `f:7: mass: "2": a mass needs its unit: write "61 kg" or "134 lb"`},
	} {
		if _, err := ReadPersons("f", []byte(test.text)); err == nil || err.Error() != test.want {
			t.Errorf("%s:\n got %v\nwant %s", test.name, err, test.want)
		}
	}
}

// A file holds as many persons as are read at a time, and one more is refused.
func TestTwoThousandPersonsInOneFile(t *testing.T) {
	write := golden.Writer(t, t.TempDir())
	var text strings.Builder
	for i := range MostPersons {
		fmt.Fprintf(&text, "person: P%d\nsex: male\nstature: %d cm ± 0.5 cm\nmass: %d kg\ntests:\n  one_arm_hang: {side: left, held: 20 s, added: 5 kg}\n---\n", i, 160+i%30, 55+i%40)
	}
	persons, err := LoadPersons([]string{write("all.yaml", text.String())})
	if err != nil || len(persons) != MostPersons || persons[1999].Name != "P1999" || persons[1999].Line != 7*1999+1 {
		t.Fatalf("%d persons, %v", len(persons), err)
	}
	text.WriteString("person: one more\nsex: male\n")
	if _, err := LoadPersons([]string{write("more.yaml", text.String())}); err == nil || !strings.Contains(err.Error(), "makes more than 2000 persons, take fewer at a time") {
		t.Error(err)
	}
}

func TestLoadPersons(t *testing.T) {
	folder := t.TempDir()
	write := golden.Writer(t, folder)
	named := func(name string) string { return "person: " + name + "\nsex: male\n" }
	b := write("club/b.yaml", named("Bo")+"---\n"+named("Bea"))
	write("club/a.yml", named("Ada"))
	write("club/notes.txt", "no person at all")
	twin := write("twin.yaml", named("Bea"))
	bad := write("bad.yaml", named("Cleo")+"mas: 3 kg\n")
	empty := filepath.Dir(write("empty/read.me", ""))
	huge := write("huge.yaml", named("Hu")+strings.Repeat("# padding\n", 1<<20))

	persons, err := LoadPersons([]string{filepath.Join(folder, "club")})
	var got []string
	for _, p := range persons {
		got = append(got, p.Name)
	}
	if err != nil || strings.Join(got, " ") != "Ada Bo Bea" {
		t.Errorf("%v, %v, want Ada Bo Bea", got, err)
	}
	for _, test := range []struct {
		paths []string
		want  string
	}{
		{[]string{b, twin}, twin + ":1: person: Bea appears twice, first in " + b + " on line 4"},
		{[]string{b, b}, b + ":1: person: Bo appears twice, first in " + b + " on line 1\n" + b + ":4: person: Bea appears twice, first in " + b + " on line 4"},
		{[]string{bad}, bad + ":3: mas: unknown field (did you mean mass?)"},
		{[]string{empty}, empty + ": the folder holds no file ending in .yaml or .yml"},
		{[]string{filepath.Join(folder, "none.yaml")}, filepath.Join(folder, "none.yaml") + ": no such file or directory"},
		{[]string{huge}, huge + ": is too long, at most 1048576 bytes are read"},
	} {
		start := time.Now()
		if _, err := LoadPersons(test.paths); err == nil || !strings.HasPrefix(err.Error(), test.want) {
			t.Errorf("%v:\n got %v\nwant %s", test.paths, err, test.want)
		}
		if took := time.Since(start); took > time.Second {
			t.Errorf("%v took %v", test.paths, took)
		}
	}
}

// What only the people can tell names its place and the likely slip, in the
// units that the reader of the message writes.
func TestFaultOfTheAnswer(t *testing.T) {
	women := golden.Must(anthro.Load("ansur2-women"))(t)
	scan := "f:7: scan: the scan's regions add up to "
	for _, test := range []struct {
		old, next string
		system    words.System
		want      []string
	}{
		{"168 cm ± 0.5 cm", "66 cm", words.Metric, []string{"f:3: stature: 66.0 cm: of people in us-women with that ", "; 167.6 cm would fit: inches for centimetres?"}},
		{"61 kg", "134 kg", words.Imperial, []string{"f:4: mass: found 134 kg, which is 295.4 lb: of people in", " lb would fit: pounds for kilograms?"}},
		{"waist_circumference: 74 cm", "acromial_height: 170 cm", words.Metric, []string{"f:3: stature: 168.0 cm must be more than acromial_height, which is 170.0 cm"}},
		{"29.1 kg", "45 kg", words.Metric, []string{scan, "the mass is 61.0 kg"}},
	} {
		p := readPerson(t, personWith(t, test.old, test.next))
		regional, err := anthro.ScannedRegional(*p.Scan)
		if err != nil {
			t.Fatal(err)
		}
		_, err = women.Condition(p.Known, regional)
		if err == nil {
			t.Errorf("%q: conditioned", test.next)
			continue
		}
		got := p.Fault(err, test.system).Error()
		for _, want := range test.want {
			if !strings.Contains(got, want) || strings.Contains(got, "\n") {
				t.Errorf("%q: got %s\nwant one line with %s", test.next, got, want)
			}
		}
	}
	p := readPerson(t, goodPerson)
	if got, want := p.Fault(&fault.Error{Field: "tests.one_arm_hang", Reason: "is odd"}, words.Metric).Error(), "f:9: tests.one_arm_hang: is odd"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	if other := errors.New("something else"); p.Fault(other, words.Metric) != other {
		t.Error("an error that is not about the file was changed")
	}
}

// FuzzReadPersons checks that no text makes the reader panic, that every message
// is of printable lines that name the file, and that what is accepted is finite.
func FuzzReadPersons(f *testing.F) {
	f.Add([]byte(goodPerson))
	f.Add([]byte(goodPerson + "---\n" + goodPerson))
	for _, test := range personFaults {
		f.Add([]byte(personWith(f, test.old, test.next)))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		persons, err := ReadPersons("f", text)
		if err != nil {
			if persons != nil {
				t.Error("persons beside an error")
			}
			for _, line := range strings.Split(err.Error(), "\n") {
				if !strings.HasPrefix(line, "f:") || strings.ContainsFunc(line, isControl) {
					t.Errorf("message %q", line)
				}
			}
			return
		}
		if len(persons) == 0 {
			t.Error("neither persons nor an error")
		}
		for _, p := range persons {
			if p.Name == "" || strings.ContainsFunc(p.Name, isControl) {
				t.Errorf("the name is %q", p.Name)
			}
			for _, k := range p.Known {
				if !(k.Value > 0) || math.IsInf(k.Value, 0) || !(k.Error >= 0) || math.IsInf(k.Error, 0) {
					t.Errorf("known is %+v", k)
				}
			}
		}
	})
}
