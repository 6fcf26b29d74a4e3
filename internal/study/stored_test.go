package study_test

import (
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/internal/stored"
	"counterpoise/internal/study"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
	"counterpoise/sim/sweep"
)

// keptClaim is a claim as it is kept, and read back from that.
func keptClaim(t *testing.T, c *claim.Claim) (text []byte, again *claim.Claim) {
	t.Helper()
	text, err := json.Marshal(stored.StoreClaim(c))
	if err != nil {
		t.Fatal(err)
	}
	var kept stored.Claim
	golden.OK(t, json.Unmarshal(text, &kept))
	if again, err = kept.Claim(c.Demand); err != nil {
		t.Fatal(err)
	}
	return text, again
}

// A sweep survives being written as JSON.
func TestStoredSweep(t *testing.T) {
	s := &sweep.Study{
		Name: "arms", Says: "A title.", N: 5000, Quantiles: []float64{0.1, 0.5}, Demands: []hold.Demand{hold.RequiredForce, hold.ArmAngle},
		Base: scenario.Scenario{Hold: hold.HumanFlag, Tilt: 0.1, Load: body.Load{body.AtAnkles: 2.5, body.AtHips: -20}, People: scenario.Survey("ansur2-men"), Models: []scenario.Model{scenario.DefaultModel(hold.TwoCondition)},
			Change: &scenario.Change{Body: body.Change{Mass: []body.AddedMass{{Region: body.UpperBody, Kilograms: 3.5, Working: 0.4}}}, Assume: map[assume.ID]float64{assume.StrengthByMass: 0.1}}},
		Axes: []sweep.Axis{
			{Of: "change.arm_length", Unit: "m", Values: []float64{0.01, 0.02}},
			{Of: "legs", Names: []string{"together", "tuck"}, Legs: []hold.Legs{{}, hold.LegsIn(hold.Tuck, 0)}},
			{Of: "people", Names: []string{"ansur2-women"}, People: scenario.Survey("ansur2-women")},
			{Of: "hold", Names: []string{"front-lever"}, Holds: []*hold.Hold{hold.FrontLever}},
		},
	}
	text := golden.Must(json.Marshal(stored.StoreSweep(s)))(t)
	again := golden.Must(stored.SweepOf(text))(t)
	again.Points = s.Points // of a grid, it follows from the axes
	if !reflect.DeepEqual(again, s) {
		t.Errorf("got %+v\nwant %+v", again, s)
	}
	if _, err := stored.SweepOf([]byte(strings.Replace(string(text), `"axes"`, `"axles"`, 1))); err == nil {
		t.Error("an unknown field is read")
	}
}

// Every shipped claim survives being written as JSON.
func TestStoredClaims(t *testing.T) {
	for _, name := range study.ClaimNames() {
		c := golden.Must(study.ShippedClaim(name))(t)
		text, again := keptClaim(t, c)
		if back, err := json.Marshal(stored.StoreClaim(again)); err != nil || string(back) != string(text) || again.Hold != c.Hold || again.Matters != c.Matters || !reflect.DeepEqual(again.Claimed, c.Claimed) {
			t.Errorf("got  %s\nwant %s", back, text)
		}
	}
}

// What matters is kept as the number that it is. Where a program has another default than
// the one that wrote it, the number is the claim's own.
func TestStoredSizes(t *testing.T) {
	for _, c := range []struct {
		written string
		matters claim.Threshold
		claimed *claim.Claimed
	}{
		{"matters: 0.02 BW", claim.Threshold{Absolute: 0.02}, nil},
		{"matters: 1 %", claim.Threshold{Share: 0.01}, nil}, // which is the default's size, and its own
		{"claimed: 0.1 BW", claim.Threshold{}, claim.ClaimedAbout(0.1, false)},
		{"claimed: 10 %\nwithin: 8 %..11 %", claim.Threshold{}, &claim.Claimed{Share: true, Value: 0.1, Low: 0.08, High: 0.11}},
	} {
		first := study.Read(t, study.With(t, "matters: 0.01 BW", c.written))
		if first.Matters != c.matters || !reflect.DeepEqual(first.Claimed, c.claimed) {
			t.Errorf("%s is read as %v and %v", c.written, first.Matters, first.Claimed)
		}
		kept := stored.StoreClaim(first)
		again, err := kept.Claim(first.Demand)
		if err != nil || again.Matters != c.matters || !reflect.DeepEqual(again.Claimed, c.claimed) {
			t.Errorf("%s comes back as %v and %v (%v)", c.written, again.Matters, again.Claimed, err)
		}
		if kept := kept.Matters; kept.Absolute+kept.Share != first.Threshold().Absolute+first.Threshold().Share || kept.Default != (c.matters == claim.Threshold{}) {
			t.Errorf("%s is kept as %+v", c.written, kept)
		}
	}
	old := stored.Threshold{Share: 0.02, Default: true}
	if got, want := old.Matters(hold.RequiredForce), (claim.Threshold{Share: 0.02}); got != want {
		t.Errorf("another default is read as %v, want %v", got, want)
	}
}

// Every change is read back from its JSON as it was written.
func TestStoredChangesOfBodies(t *testing.T) {
	for _, c := range []struct {
		change body.Change
		text   string
	}{
		{body.Change{}, `{}`},
		{body.Change{Of: body.Amounts{body.ArmLength: {Metres: 0.1}, body.Size: {Share: -0.25}}}, `{"arm_length":{"metres":0.1},"size":0.75}`},
		{body.Change{Of: body.Amounts{body.LegLength: {Metres: 0.05}}, MassStays: true, StatureStays: true}, `{"leg_length":{"metres":0.05},"mass_stays":true,"stature_stays":true}`},
		{body.Change{Of: body.Amounts{body.HandLength: {Share: 0.05}}, Mass: []body.AddedMass{{Region: body.Legs, Kilograms: -2}}}, `{"hand_length":{"share":0.05},"mass":[{"region":"legs","kilograms":-2,"working":0}]}`},
	} {
		text, err := json.Marshal(stored.Body(c.change))
		if err != nil || string(text) != c.text {
			t.Errorf("%+v is written as %s, %v; want %s", c.change, text, err, c.text)
		}
		var again stored.Body
		if err := json.Unmarshal(text, &again); err != nil || !reflect.DeepEqual(body.Change(again), c.change) {
			t.Errorf("%s is read as %+v, %v", text, again, err)
		}
	}
	var again stored.Body
	for _, text := range []string{`{"tail_length":{"metres":0.1}}`, `{"arm_length":"long"}`, `{"size":"large"}`, `[]`} {
		if err := json.Unmarshal([]byte(text), &again); err == nil {
			t.Errorf("%s is read as %+v", text, again)
		}
	}
}

// Ranges and means are read back as they were kept, open ends too.
func TestStoredConditions(t *testing.T) {
	ranges := []anthro.Range{
		{Of: anthro.BodyMassIndex, Low: 18.5, High: 27}, {Of: anthro.Ratio(anthro.Span, anthro.Stature), Low: math.Inf(-1), High: 1.03}, {Of: anthro.Of(anthro.Mass), Low: 60, High: math.Inf(1)},
	}
	means := []anthro.Target{{Of: anthro.BodyMassIndex, Value: 22.5}, {Of: anthro.Of(anthro.Mass), Value: 60}}
	text, err := json.Marshal(stored.Reweighted{Where: stored.StoreRanges(ranges), Targets: stored.StoreTargets(means), Before: stored.StoreTargets(means[:1]), Away: []float64{-0.5, 0}, People: 1000, Selected: 0.6, Effective: 0.4})
	const want = `{"where":[{"of":"bmi","low":18.5,"high":27},{"of":"span/stature","low":null,"high":1.03},{"of":"mass","low":60,"high":null}],` +
		`"targets":[{"of":"bmi","mean":22.5},{"of":"mass","mean":60}],"before":[{"of":"bmi","mean":22.5}],"means_moved_by_sds":[-0.5,0],"survey_people":1000,"selected_share":0.6,"effective_share":0.4}`
	if err != nil || string(text) != want {
		t.Errorf("kept as %s, %v; want %s", text, err, want)
	}
	var again stored.Reweighted
	if err := json.Unmarshal(text, &again); err != nil || !reflect.DeepEqual(stored.RangesOf(again.Where), ranges) || !reflect.DeepEqual(stored.TargetsOf(again.Targets), means) {
		t.Errorf("%s is read as %+v, %v", text, again, err)
	}
	if err := json.Unmarshal([]byte(`{"where":[{"of":"girth","low":1,"high":2}]}`), &again); err == nil {
		t.Error("girth is read")
	}
}

// Every change in the table of traits is read from a claim, refused where it cannot be
// meant, told apart from what was misspelt, swept along, and kept in the study's JSON.
func TestEveryChangeOfTheTable(t *testing.T) {
	for change := range body.NumChanges {
		name, info := change.String(), change.Info()
		claimed := func(amount string) string { return study.ClaimWith(name+": "+amount, "front-lever") }
		c := study.Read(t, claimed("+3 %"))
		var want body.Amounts
		want[change].Share = 0.03
		if c.Change.Body.Of != want {
			t.Errorf("%s by 3 %% is read as %+v", name, c.Change.Body)
		}
		text, err := json.Marshal(stored.Body(c.Change.Body))
		var again stored.Body
		if err == nil {
			err = json.Unmarshal(text, &again)
		}
		if err != nil || !strings.Contains(string(text), name) || !study.Near(again.Of[change].Share, 0.03) {
			t.Errorf("%s is kept as %s: %v", name, text, err)
		}
		faults := map[string]string{
			claimed("3 %"):    "f:5: change." + name + `: "3 %": a change is written with its sign`,
			claimed("-95 %"):  "f:5: change." + name + `: "-95 %" is more than a body can change, allowed: -90 % to +100 %`,
			claimed("+1 deg"): "f:5: change." + name + ": ",
			study.ClaimWith(name[:len(name)-2]+name[len(name)-1:]+": +3 %", "front-lever"): "(did you mean " + name + "?)",
		}
		if info.Unit == "m" {
			if got := study.Read(t, claimed("-1.3 cm")).Change.Body.Of[change]; !study.Near(got.Metres, -0.013) || got.Share != 0 {
				t.Errorf("%s by -1.3 cm is read as %+v", name, got)
			}
			faults[claimed("+3 m")] = fmt.Sprintf("f:5: change.%s: \"+3 m\" is more than a body can change, allowed: %+g m to %+g m", name, info.Bounds.Least, info.Bounds.Most)
		}
		for text, want := range faults {
			if _, err := study.ReadClaim("f", []byte(text)); err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("%sgives %v, want %s", text, err, want)
			}
		}
		swept := "sweep: a\nhold: front-lever\npeople: [ansur2-men]\ndemands: [shoulder_moment]\naxes:\n  change." + name + ": -4 %..4 % by 4 %\n"
		s, err := study.ReadSweep("f", []byte(swept))
		if err != nil || s.Axes[0].Unit != "share" || len(s.Axes[0].Values) != 3 {
			t.Errorf("an axis of %s: %+v, %v", name, s, err)
		}
	}
}

// What is carried before and after a change, only before, and on top of it after; what is
// kept of it, and read again, is the same.
func TestLoadsOfClaims(t *testing.T) {
	const change = "change: {arm_length: +10 cm}"
	for _, c := range []struct {
		written       string
		before, after body.Load
	}{
		{change, body.Load{}, body.Load{}},
		{change + "\nload: {vest: 10 kg}", body.Load{body.AtChest: 10}, body.Load{body.AtChest: 10}},
		{change + "\nassist: {hips: 20 kg}", body.Load{body.AtHips: -20}, body.Load{body.AtHips: -20}},
		{"change: {load: {ankles: 1 kg}}\nbefore: {load: {vest: 4 kg}}", body.Load{body.AtChest: 4}, body.Load{body.AtAnkles: 1}},
		{"before: {assist: {hips: 20 kg}}\nload: {belt: 5 kg}\nchange: {load: {belt: 2 kg}, legs: tuck}",
			body.Load{body.AtHips: -15}, body.Load{body.AtHips: 7}},
		{"before: {load: {vest: 4 kg}}\n" + change, body.Load{body.AtChest: 4}, body.Load{}},
	} {
		first := study.Read(t, study.With(t, change, c.written))
		_, again := keptClaim(t, first)
		if first.Load != c.before || first.LoadAfter() != c.after || again.Load != c.before || again.LoadAfter() != c.after {
			t.Errorf("%q: %v, then %v; kept %v, then %v", c.written, first.Load, first.LoadAfter(), again.Load, again.LoadAfter())
		}
	}
	contrast := strings.Replace(study.With(t, change, "contrast: {by: stature}\nbefore: {load: {vest: 4 kg}}"), "0.01 BW", "0.02 BW", 1)
	if _, err := study.ReadClaim("f", []byte(contrast)); err == nil || !strings.Contains(err.Error(), "f:6: before: is the load before a change, and there is no change") {
		t.Error(err)
	}
}

// A person carries something in the hold, which survives being kept.
func TestLoadsOfPersons(t *testing.T) {
	persons := golden.Must(study.ReadPersons("f", []byte("person: Ada\nsex: female\nhold: front-lever\nload: {vest: 10 kg}\nassist: {hips: 20 lb}\n")))(t)
	text := golden.Must(json.Marshal(stored.StorePerson(&persons[0])))(t)
	again, err := stored.PersonOf(text)
	want := body.Load{body.AtChest: 10, body.AtHips: -9.0718474}
	if err != nil || persons[0].Load != want || again.Load != want {
		t.Errorf("read as %v, kept as %s, then %v (%v)", persons[0].Load, text, again.Load, err)
	}
	if _, err := stored.PersonOf([]byte(strings.Replace(string(text), "chest", "tail", 1))); err == nil {
		t.Error("a load at the tail is read")
	}
}

func TestClaimWithMeans(t *testing.T) {
	c, err := study.ReadClaim("c.yaml", []byte(strings.Replace(study.AboutPeople, "PEOPLE", "{from: ansur2-men, means: {stature: 168 cm, mass: 60 kg}}", 1)))
	want := []anthro.Target{{Of: anthro.Of(anthro.Mass), Value: 60}, {Of: anthro.Of(anthro.Stature), Value: 1.68}}
	if err != nil || !slices.Equal(c.Targets, want) {
		t.Fatalf("%+v, %v", c, err)
	}
	c, err = study.ReadClaim("c.yaml", []byte(strings.Replace(study.AboutPeople, "PEOPLE", "{from: ansur2-men, means: {stature: 168 cm}, sds: {stature: 6 cm}, shares: {bmi: 35 % in ..25}}", 1)))
	want = []anthro.Target{{Of: anthro.Of(anthro.Stature), Value: 1.68}, {Of: anthro.Of(anthro.Stature), Kind: anthro.DeviationOf, Value: 0.06}, {Of: anthro.BodyMassIndex, Kind: anthro.ShareOf, Value: 0.35, Low: math.Inf(-1), High: 25}}
	if err != nil || !slices.Equal(c.Targets, want) {
		t.Fatalf("%+v, %v", c, err)
	}
	if kept := stored.StoreClaim(c); !slices.Equal(stored.TargetsOf(kept.Targets), want) {
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
		_, err := study.ReadClaim("c.yaml", []byte(strings.Replace(study.AboutPeople, "PEOPLE", people, 1)))
		if err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: error %v, want one line with %s", people, err, want)
		}
	}
}

// What a stamp keeps of a person is all of it, by the names of the file.
func TestResolvedPerson(t *testing.T) {
	p := study.ReadPerson(t, study.GoodPerson)
	got := golden.Must(json.Marshal(stored.StorePerson(&p)))(t)
	for _, want := range []string{
		`"person":"Ada"`, `"sex":"female"`, `"hold":"human-flag"`, `"stature":{"value":1.68,"error":0.005}`, `"mass":{"value":61}`, `"arms":6.4`, `"form":"straddle"`,
		`"one_arm_hang":[{"added":-2.5,"held":21,"side":"left"},{"added":1,"held":30,"side":"right"}]`,
		`"one_arm_handstand":[{"added":0,"fingers":6,"held":8,"side":"","wall_distance":0.2}]`,
		`"foot_load":{"value":24,"error":0.5}`, `"hand_spacing":{"value":1.18,"error":0.01}`,
	} {
		if !strings.Contains(string(got), want) {
			t.Errorf("no %s in %s", want, got)
		}
	}
}
