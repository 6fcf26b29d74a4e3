package study

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
)

const aboutPeople = "claim: a\nsays: A.\nhold: human-flag\npeople: PEOPLE\nchange: {arm_length: +1 cm}\nexpect: increase\nmatters: 1 %\n"

func TestParseTargets(t *testing.T) {
	got, err := ParseTargets("means", "stature=5 ft 6 in, mass = 60 kg,bmi=21.5,span/stature=102 %")
	want := []anthro.Target{
		{Of: anthro.Of(anthro.Stature), Value: 1.6764}, {Of: anthro.Of(anthro.Mass), Value: 60},
		{Of: anthro.BodyMassIndex, Value: 21.5}, {Of: anthro.Ratio(anthro.Span, anthro.Stature), Value: 1.02},
	}
	if err != nil || !slices.Equal(got, want) {
		t.Errorf("%v, %v; want %v", got, err, want)
	}
	for text, want := range map[string]string{
		"":                   `: write it as in "stature=168 cm,mass=60 kg"`,
		"stature":            `stature: write it as in`,
		"stature=168":        `"168": a length needs its unit`,
		"statur=168 cm":      `unknown quantity "statur" (did you mean stature?)`,
		"stature=-1 cm":      `"-1 cm": must be positive`,
		"bmi=20..25":         `"20..25": a range, but a single value is needed here`,
		"stature=168 cm,":    `write it as in`,
		"mass/mass=1":        "mass/mass is the same for everybody",
		"stature=168 cm\x1b": "stature=168",
	} {
		if _, err := ParseTargets("means", text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: error %v, want one with %s", text, err, want)
		}
	}
}

// The path of people of one's own starts at the folder of the claim.
func TestClaimAboutPeopleOfOnesOwn(t *testing.T) {
	folder := t.TempDir()
	s := &anthro.Sample{Name: "club", Title: "two of a test", Sex: "female", Survey: "ansur2-women"}
	s.Add([]anthro.Known{{Of: anthro.Stature, Value: 1.64}})
	s.Add([]anthro.Known{{Of: anthro.Stature, Value: 1.71}})
	text, err := json.Marshal(s)
	if err != nil {
		t.Fatal(err)
	}
	write := func(name string, text []byte) string {
		path := filepath.Join(folder, name)
		golden.OK(t, os.WriteFile(path, text, 0o600))
		return path
	}
	own := write("club.json", text)
	for _, people := range []string{"./club.json", "[ansur2-women, club.json]", "{from: [" + own + "], weights: {club: 2}}"} {
		c, err := LoadClaim(write("claim.yaml", []byte(strings.Replace(aboutPeople, "PEOPLE", people, 1))))
		if err != nil {
			t.Errorf("%s: %v", people, err)
			continue
		}
		last := c.People[len(c.People)-1]
		if last.Population != "club" || last.Own == nil || last.Own.N != 2 {
			t.Errorf("%s: %+v", people, last)
		}
	}
	_, err = LoadClaim(write("claim.yaml", []byte(strings.Replace(aboutPeople, "PEOPLE", "[./club.json, "+own+"]", 1))))
	if err == nil || !strings.Contains(err.Error(), "people: club appears twice") {
		t.Errorf("twice: %v", err)
	}
}
