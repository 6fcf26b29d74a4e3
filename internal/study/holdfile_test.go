package study

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/assume"
	"counterpoise/sim/outline"
	"counterpoise/sim/statics"
)

// The example that is written for others to change is in order, and says what it says.
func TestTheExampleOfAHoldIsInOrder(t *testing.T) {
	text, err := NewHold("")
	if err != nil {
		t.Fatal(err)
	}
	o := golden.Must(ReadOutline("example.yaml", text))(t)
	if o.Name != exampleName || o.Text != string(text) || o.Free == nil || o.Free.By != outline.Balance || !o.LegForms {
		t.Errorf("read %+v", o)
	}
	if text, err = NewHold("my-lever"); err != nil || !strings.Contains(string(text), "\nhold: my-lever\n") {
		t.Errorf("with another name: %v", err)
	}
	for _, name := range []string{"My lever", "-lever", "front-lever"} {
		if _, err := NewHold(name); err == nil {
			t.Errorf("%q is a name", name)
		}
	}
}

// Every remark of the example that shows a field shows one that is read: with any of them
// in force, nothing is unknown.
func TestTheExamplesRemarksAreFields(t *testing.T) {
	text, _ := NewHold("")
	_, remarks, found := strings.Cut(string(text), "# And if needed:\n")
	if !found {
		t.Fatal("the example has no remarks")
	}
	n := 0
	for _, field := range strings.Split(strings.TrimSpace(remarks), "\n# ") {
		field = strings.ReplaceAll(strings.TrimPrefix(field, "# "), "\n#", "\n")
		if strings.HasPrefix(field, "  - ") {
			continue
		}
		if strings.HasPrefix(field, "forces:") {
			field += "\n  - {at: hips, force: 20 kg, towards: up}"
		}
		n++
		_, err := ReadOutline("f", append(text, []byte("\n"+field+"\n")...))
		if err != nil && (strings.Contains(err.Error(), "unknown") || strings.Contains(err.Error(), "YAML")) {
			t.Errorf("%s: %v", field, err)
		}
	}
	if n < 8 {
		t.Errorf("%d remarks only", n)
	}
}

const degree = math.Pi / 180

// Every field of an outline can be written, and is read as it is meant.
func TestEveryFieldOfAHoldIsReached(t *testing.T) {
	share := func(x float64) *outline.Amount { return &outline.Amount{Value: x} }
	at := 60 * degree
	bent := func(x float64) outline.Angle { return outline.Angle{Value: x * degree} }
	raised := func(x float64) outline.Angle { return outline.Angle{Against: outline.Trunk, Value: x * degree} }
	level := func(x float64) outline.Angle { return outline.Angle{Against: outline.Level, Value: x * degree} }
	one := func(a outline.Angle) outline.Pair { return outline.Pair{First: a} }
	for _, c := range []struct {
		text string
		want outline.Outline
	}{
		{`
hold: own
title: A hold of one's own
looks: It looks so.
leaves_out: [this, "that: too"]
view: side
faces: down
angles:
  chest: level 180 deg
  abdomen: bent 10 deg
  pelvis: bent -10 deg
  head: level 170 deg
  upper_arms: raised plank_angle
  forearms: straight
  thighs: {left: bent 30 deg, right: straight}
  shanks: bent 5 deg
shoulders: raised
arms_spread: 20 deg
legs_apart: 10 deg
feet: standing
one_arm: yes
supports:
  - {at: left hand, on: floor, grips: yes, leans: push_direction, fingers: 90 deg, press: 40 %, grip: 70 %}
  - {at: balls of the feet, on: floor}
  - {at: hips, on: wall, rubs: 0.2}
forces: [{at: waist, force: 20 kg, towards: up}, {at: heels, force: 200 N, towards: -30 deg}]
only_reported: [elbows, grip]
hips_decide: yes
shoulder_strength_at: 60 deg
`, outline.Outline{
			Name: "own", Title: "A hold of one's own", Looks: "It looks so.", LeavesOut: []string{"this", "that: too"}, View: outline.Side, Faces: outline.FacesDown,
			Parts: [outline.NumParts]outline.Pair{
				outline.Chest: one(level(180)), outline.Abdomen: one(bent(10)), outline.Pelvis: one(bent(-10)), outline.Head: one(level(170)),
				outline.UpperArm: one(outline.Angle{Against: outline.Trunk, Assumed: outline.By(assume.PlankAngle)}), outline.Thigh: {First: bent(30), Differ: true}, outline.Shank: one(bent(5)),
			},
			ShouldersRaised: true, ArmsSpread: 20 * degree, LegsApart: 10 * degree, Feet: outline.Standing, OneArm: true,
			Supports: []outline.Support{
				{At: outline.FirstHand, On: outline.Floor, Grips: true, Leans: &outline.Amount{Assumed: outline.By(assume.PushDirection)}, Fingers: 90 * degree, Press: share(0.4), Grip: 0.7},
				{At: outline.Balls, On: outline.Floor},
				{At: outline.Hips, On: outline.Wall, Rubs: share(0.2)},
			},
			Forces: []outline.Force{
				{At: outline.WaistPoint, Newtons: 20 * statics.StandardGravity, Towards: math.Pi / 2},
				{At: outline.Heels, Newtons: 200, Towards: -30 * degree},
			},
			ReportedOnly: []outline.Judged{outline.JudgedElbows, outline.JudgedGrip}, HipsDecide: true, ShoulderStrengthAt: &at,
		}},
		{`
hold: level-one
view: front
angles: {trunk: level 0 deg, upper_arms: {top: raised 120 deg, bottom: raised free}}
free: {from: 100 deg, to: 170 deg, by: least difficulty}
supports:
  - {at: hands, on: rings, apart: 50 cm, cable: 3 m, grip: {top: 100 %, bottom: 60 %}}
shared: 40 %
leg_forms: yes
`, outline.Outline{
			Name: "level-one", Title: "Level one", Looks: "Level one.", View: outline.Front,
			Parts: [outline.NumParts]outline.Pair{
				outline.Chest:    one(level(0)),
				outline.UpperArm: {First: raised(120), Other: outline.Angle{Against: outline.Trunk, Free: true}, Differ: true},
			},
			Free:     &outline.Free{From: 100 * degree, To: 170 * degree, By: outline.Least},
			Supports: []outline.Support{{At: outline.Hands, On: outline.Rings, Apart: 0.5, Cable: 3, Grip: 1, OtherGrip: 0.6}},
			Sharing:  outline.Given, Share: 0.4, LegForms: true,
		}},
		{`
hold: by-height
view: side
angles: {trunk: level free, upper_arms: level -90 deg}
free: {from: -10 deg, to: 50 deg, by: {of: hands, higher_than: heels, by: 5 cm}}
supports: {at: hands, on: floor}
shared: alike
`, outline.Outline{
			Name: "by-height", Title: "By height", Looks: "By height.",
			Parts:    [outline.NumParts]outline.Pair{outline.Chest: one(outline.Angle{Against: outline.Level, Free: true}), outline.UpperArm: one(level(-90))},
			Free:     &outline.Free{From: -10 * degree, To: 50 * degree, By: outline.Higher, Of: outline.Hands, Over: outline.Heels, Value: 0.05},
			Supports: []outline.Support{{At: outline.Hands, On: outline.Floor}}, Sharing: outline.Alike,
		}},
		{`
hold: by-distance
view: side
angles: {trunk: level 0 deg, upper_arms: raised free}
free: {from: 0 deg, to: 90 deg, by: {of: heels, beside: left foot, by: -15 cm}}
supports: {at: hands, on: floor}
`, outline.Outline{
			Name: "by-distance", Title: "By distance", Looks: "By distance.",
			Parts:    [outline.NumParts]outline.Pair{outline.Chest: one(level(0)), outline.UpperArm: one(outline.Angle{Against: outline.Trunk, Free: true})},
			Free:     &outline.Free{To: 90 * degree, By: outline.Across, Of: outline.Heels, Over: outline.FirstFoot, Value: -0.15},
			Supports: []outline.Support{{At: outline.Hands, On: outline.Floor}},
		}},
	} {
		d := &document{file: "f"}
		top := golden.Must(d.parse([]byte(c.text)))(t)
		r := &outlineReader{outline: &outline.Outline{}, doc: d, line: map[string]int{}, written: map[string]string{}}
		for _, e := range top.entries() {
			r.line[e.name] = e.line
		}
		if r.read(top); len(d.faults) > 0 {
			t.Errorf("%s: %v", c.want.Name, d.err())
		}
		for i := range reflect.TypeOf(c.want).NumField() {
			name := reflect.TypeOf(c.want).Field(i).Name
			got, want := reflect.ValueOf(*r.outline).Field(i).Interface(), reflect.ValueOf(c.want).Field(i).Interface()
			if !alike(reflect.ValueOf(got), reflect.ValueOf(want)) {
				t.Errorf("%s: %s is %+v, want %+v", c.want.Name, name, got, want)
			}
		}
	}
}

// mistakes are files as somebody writes them who has the example and the README, with
// what is said of each, and what then mends it.
var mistakes = []struct {
	file  string
	says  []string // each in a line of its own, behind the file's name
	mends []string // pairs: what, by what
}{
	{"missing-colon", []string{`:6: a field needs a name, a colon, a space and a value, as in "hold: human-flag"; found "upper_arms raised 180 deg"`},
		[]string{"upper_arms raised", "upper_arms: raised"}},
	{"no-unit", []string{
		`:5: angles.trunk: "0": an angle needs its unit: write "41 deg" or "0.72 rad"`,
		`:7: angles.forearms: "60": an angle needs its unit: write "41 deg" or "0.72 rad"`,
		`:8: free.from: "-30": an angle needs its unit: write "41 deg" or "0.72 rad"`,
		`:8: free.to: "120": an angle needs its unit: write "41 deg" or "0.72 rad"`,
	}, []string{"level 0", "level 0 deg", "bent 60", "bent 60 deg", "from: -30", "from: -30 deg", "to: 120", "to: 120 deg"}},
	{"bend-for-bent", []string{`:7: angles.forearms: "bend 60 deg": unknown word "bend" (did you mean bent?); an angle begins with bent, raised, level, straight`},
		[]string{"bend 60", "bent 60"}},
	{"two-free-angles", []string{`:4: angles: upper_arms and forearms are free: only one angle can be, statics has no rule for more`},
		[]string{"bent free", "bent 60 deg"}},
	{"no-such-fixture", []string{`:7: supports.on: unknown name "ring" (did you mean rings?); allowed: bar, pole, rings, floor, bench, wall, partner`},
		[]string{"on: ring,", "on: rings,"}},
	{"no-such-point", []string{`:10: supports.at: "feet": feet are held at the heels or the balls of the feet: write one of these`},
		[]string{"at: feet", "at: heels"}},
	{"hip-for-hips", []string{`:11: forces.at: unknown name "hip" (did you mean hips?); allowed: hands, `},
		[]string{"at: hip,", "at: hips,"}},
	{"no-support", []string{`: supports: is missing, as in supports: [{at: hands, on: bar}]`},
		[]string{"upper_arms: raised 90 deg\n", "upper_arms: raised free\nfree: {from: 0 deg, to: 120 deg, by: balance}\nsupports: [{at: hands, on: bar}]\n"}},
	{"legs-that-stand", []string{`:11: leg_forms: legs that bear weight stay as they are: leave this out`},
		[]string{"leg_forms: yes\n", ""}},
	{"wrong-indentation", []string{`:6: is indented more than the field above it, which already has a value: fields of one level start in the same column`},
		[]string{"   upper_arms", "  upper_arms"}},
	{"not-indented", []string{
		`:4: angles: must be a mapping of fields, found nothing`,
		`:5: trunk: belongs to angles: write it below that, indented by two more spaces`,
		`:6: upper_arms: belongs to angles: write it below that, indented by two more spaces`,
	}, []string{"\ntrunk", "\n  trunk", "\nupper_arms", "\n  upper_arms"}},
	{"elbow-past-itself", []string{`:7: angles.forearms: 220 deg is not possible, allowed: -20 to 160 deg`},
		[]string{"220", "60"}},
	{"joints-for-parts", []string{
		`:6: angles.arms: unknown field (did you mean upper_arms?); allowed: abdomen, `,
		`:7: angles.elbows: unknown field (did you mean forearms?); allowed: abdomen, `,
	}, []string{"  arms", "  upper_arms", "elbows", "forearms"}},
	{"hands-twice", []string{`:9: supports.at: hands: held twice; hold each hand once`},
		[]string{"  - {at: hands, on: floor}\n", "", "raised 90 deg", "raised free\nfree: {from: 0 deg, to: 120 deg, by: balance}"}},
	{"angle-of-what", []string{
		`:5: angles.trunk: "0 deg" does not say from what: write "level …", from the level, 0 deg to the right and 90 deg straight up, as in "level 0 deg"`,
		`:6: angles.upper_arms: "free": say from what, as in "raised free"`,
		`:7: angles.forearms: "60 deg" does not say from what: write "bent …", from the part before it, or "level …", as in "bent 90 deg"`,
	}, []string{"trunk: 0", "trunk: level 0", "arms: free", "arms: raised free", "forearms: 60", "forearms: bent 60"}},
	{"no-range", []string{`: free: is missing: give the range of the angle of the upper_arms and what fixes it`},
		[]string{"supports:", "free: {from: -30 deg, to: 120 deg, by: balance}\nsupports:"}},
	{"left-of-a-level-body", []string{
		`:5: angles.upper_arms: the trunk lies level, seen from the front: the sides are called top and bottom, found left and right`,
		`:7: supports.at: the trunk lies level, seen from the front: the sides are called top and bottom, found left and right`,
		`:8: supports.at: the trunk lies level, seen from the front: the sides are called top and bottom, found left and right`,
	}, []string{"left", "top", "right", "bottom"}},
	{"another-name", []string{
		`:1: hold: "Front Lever" is not a valid name: use small letters, digits and single hyphens, as in bent-arm-lever`,
		`:2: view: unknown name "sides" (did you mean side?); allowed: side, front`,
		`:3: faces: unknown name "forward"; allowed: up, down, left, right`,
	}, []string{"Front Lever", "lever-of-mine", "sides", "side", "forward", "up"}},
}

func TestMistakesLeadToTheMend(t *testing.T) {
	files, err := filepath.Glob("testdata/wrong-holds/*.yaml")
	if err != nil || len(files) != len(mistakes) {
		t.Errorf("%d files, %d are looked at: %v", len(files), len(mistakes), err)
	}
	for _, m := range mistakes {
		file := filepath.Join("testdata/wrong-holds", m.file+".yaml")
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		_, err = ReadOutline("f", text)
		if err == nil {
			t.Errorf("%s: no fault is found", m.file)
			continue
		}
		lines := strings.Split(err.Error(), "\n")
		if len(lines) != len(m.says) {
			t.Errorf("%s: %d faults, want %d:\n%v", m.file, len(lines), len(m.says), err)
			continue
		}
		for i, line := range lines {
			if !strings.HasPrefix(line, "f"+m.says[i]) {
				t.Errorf("%s:\n got %s\nwant f%s", m.file, line, m.says[i])
			}
		}
		mended := strings.NewReplacer(m.mends...).Replace(string(text))
		if _, err := ReadOutline("f", []byte(mended)); err != nil {
			t.Errorf("%s, mended: %v", m.file, err)
		}
	}
}

// A share of a hand's grip is one that a hand can have; none at all is not all of it.
func TestNoGrip(t *testing.T) {
	for grip, want := range map[string]string{"0 %": "such a hand grips nothing", "{top: 100 %, bottom: 0 %}": "such a hand grips nothing", "60 %": ""} {
		_, err := ReadOutline("f", []byte(`hold: thick-bar
view: side
angles: {trunk: level 0 deg, upper_arms: raised 90 deg}
supports: {at: hands, on: bar, grip: `+grip+`}
`))
		if said := fmt.Sprint(err); (want != "") != strings.Contains(said, "f:4: supports.grip") || !strings.Contains(said, want) {
			t.Errorf("%s: %v", grip, err)
		}
	}
}

// Whatever is done to a file, what is said of it has its place, and nothing breaks.
func TestAlteredHoldsAreRefusedOrRead(t *testing.T) {
	text := golden.Must(NewHold(""))(t)
	random := rand.New(rand.NewPCG(1, 2))
	bits := []string{"free", "level", " -", "{", "}", "[", ":", "\t", "yes", "0 deg", "hands", "plank_angle", "null", "1e999 deg", "~", "&a", "*a", "!!int", "\x00", "—"}
	read := 0
	for range 1500 {
		altered := slices.Clone(text)
		for range 1 + random.IntN(3) {
			at := random.IntN(len(altered))
			end := min(len(altered), at+random.IntN(12))
			altered = slices.Concat(altered[:at], []byte(bits[random.IntN(len(bits))]), altered[end:])
		}
		if _, err := ReadOutline("f", altered); err == nil {
			read++
		} else if !strings.HasPrefix(err.Error(), "f:") {
			t.Errorf("%q: %v", altered, err)
		}
	}
	if read == 0 || read == 1500 {
		t.Errorf("%d of 1500 are in order", read)
	}
}
