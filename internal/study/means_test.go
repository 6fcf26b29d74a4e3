package study

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

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

func TestClaimWithMeans(t *testing.T) {
	c, err := ReadClaim("c.yaml", []byte(strings.Replace(aboutPeople, "PEOPLE", "{from: ansur2-men, means: {stature: 168 cm, mass: 60 kg}}", 1)))
	want := []anthro.Target{{Of: anthro.Of(anthro.Mass), Value: 60}, {Of: anthro.Of(anthro.Stature), Value: 1.68}}
	if err != nil || !slices.Equal(c.Targets, want) {
		t.Fatalf("%+v, %v", c, err)
	}
	c, err = ReadClaim("c.yaml", []byte(strings.Replace(aboutPeople, "PEOPLE", "{from: ansur2-men, means: {stature: 168 cm}, sds: {stature: 6 cm}, shares: {bmi: 35 % in ..25}}", 1)))
	want = []anthro.Target{{Of: anthro.Of(anthro.Stature), Value: 1.68}, {Of: anthro.Of(anthro.Stature), Kind: anthro.DeviationOf, Value: 0.06}, {Of: anthro.BodyMassIndex, Kind: anthro.ShareOf, Value: 0.35, Low: math.Inf(-1), High: 25}}
	if err != nil || !slices.Equal(c.Targets, want) {
		t.Fatalf("%+v, %v", c, err)
	}
	if kept := StoreClaim(c); !slices.Equal(targetsOf(kept.Targets), want) {
		t.Errorf("kept and read again: %+v", kept.Targets)
	}
	for people, want := range map[string]string{
		"{from: ansur2-men, sds: {stature: 6 cm}}":         `c.yaml:4: people: standard deviation of stature 0.06 m needs the mean of stature as well`,
		"{from: ansur2-men, shares: {bmi: 35 %}}":          `c.yaml:4: people.shares.bmi: "35 %": write a share and its range, as in "35 % in 18.5..25"`,
		"{from: ansur2-men, shares: {bmi: 135 % in ..25}}": `must lie above 0 and below 1`,
		"{from: ansur2-men, means: {stature: 168}}":        `c.yaml:4: people.means.stature: "168": a length needs its unit`,
		"{from: ansur2-men, means: {statur: 168 cm}}":      `c.yaml:4: people.means.statur: unknown quantity "statur" (did you mean stature?)`,
		"{from: ansur2-men, means: 168 cm}":                "c.yaml:4: people.means: must be a mapping of fields, found a single value",
		"{from: ansur2-men, means: {stature: [1 m]}}":      "c.yaml:4: people.means.stature: must be a single value, found a list",
		"{from: ansur2-men, means: {stature: 60 kg}}":      "c.yaml:4: people.means.stature: ",
		"{from: ansur2-men, mean: {stature: 168 cm}}":      "c.yaml:4: people.mean: unknown field (did you mean means?); allowed: from, means, sds, shares, weights, where",
		"[ansur2-men, ./none.json]":                        "c.yaml:4: people: ./none.json: no such file or directory",
		`["./a\nb.json"]`:                                  `c.yaml:4: people: "./a\nb.json" is not a file path`,
		"[.]":                                              "c.yaml:4: people: .: is not a regular file",
	} {
		_, err := ReadClaim("c.yaml", []byte(strings.Replace(aboutPeople, "PEOPLE", people, 1)))
		if err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: error %v, want one line with %s", people, err, want)
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
		if err := os.WriteFile(path, text, 0o600); err != nil {
			t.Fatal(err)
		}
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
