package study

import (
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
	"counterpoise/sim/sweep"
)

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
	text, err := json.Marshal(StoreSweep(s))
	if err != nil {
		t.Fatal(err)
	}
	again, err := SweepOf(text)
	if err != nil {
		t.Fatal(err)
	}
	again.Points = s.Points // of a grid, it follows from the axes
	if !reflect.DeepEqual(again, s) {
		t.Errorf("got %+v\nwant %+v", again, s)
	}
	if _, err := SweepOf([]byte(strings.Replace(string(text), `"axes"`, `"axles"`, 1))); err == nil {
		t.Error("an unknown field is read")
	}
}

// Every shipped claim survives being written as JSON.
func TestStoredClaims(t *testing.T) {
	for _, name := range ClaimNames() {
		c, err := ShippedClaim(name)
		if err != nil {
			t.Fatal(err)
		}
		text, err := json.Marshal(StoreClaim(c))
		if err != nil {
			t.Fatal(err)
		}
		var stored StoredClaim
		if err := json.Unmarshal(text, &stored); err != nil {
			t.Fatal(err)
		}
		again, err := stored.Claim(c.Demand)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := json.Marshal(StoreClaim(again)); err != nil || string(back) != string(text) || again.Hold != c.Hold || again.Matters != c.Matters || !reflect.DeepEqual(again.Claimed, c.Claimed) {
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
		first := read(t, with(t, "matters: 0.01 BW", c.written))
		if first.Matters != c.matters || !reflect.DeepEqual(first.Claimed, c.claimed) {
			t.Errorf("%s is read as %v and %v", c.written, first.Matters, first.Claimed)
		}
		stored := StoreClaim(first)
		again, err := stored.Claim(first.Demand)
		if err != nil || again.Matters != c.matters || !reflect.DeepEqual(again.Claimed, c.claimed) {
			t.Errorf("%s comes back as %v and %v (%v)", c.written, again.Matters, again.Claimed, err)
		}
		if kept := stored.Matters; kept.Absolute+kept.Share != first.Threshold().Absolute+first.Threshold().Share || kept.Default != (c.matters == claim.Threshold{}) {
			t.Errorf("%s is kept as %+v", c.written, kept)
		}
	}
	old := StoredThreshold{Share: 0.02, Default: true}
	if got, want := old.matters(hold.RequiredForce), (claim.Threshold{Share: 0.02}); got != want {
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
		text, err := json.Marshal(storedBody(c.change))
		if err != nil || string(text) != c.text {
			t.Errorf("%+v is written as %s, %v; want %s", c.change, text, err, c.text)
		}
		var again storedBody
		if err := json.Unmarshal(text, &again); err != nil || !reflect.DeepEqual(body.Change(again), c.change) {
			t.Errorf("%s is read as %+v, %v", text, again, err)
		}
	}
	var again storedBody
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
	text, err := json.Marshal(StoredReweighted{StoreRanges(ranges), storeTargets(means), storeTargets(means[:1]), []float64{-0.5, 0}, 1000, 0.6, 0.4})
	const want = `{"where":[{"of":"bmi","low":18.5,"high":27},{"of":"span/stature","low":null,"high":1.03},{"of":"mass","low":60,"high":null}],` +
		`"targets":[{"of":"bmi","mean":22.5},{"of":"mass","mean":60}],"before":[{"of":"bmi","mean":22.5}],"means_moved_by_sds":[-0.5,0],"survey_people":1000,"selected_share":0.6,"effective_share":0.4}`
	if err != nil || string(text) != want {
		t.Errorf("kept as %s, %v; want %s", text, err, want)
	}
	var again StoredReweighted
	if err := json.Unmarshal(text, &again); err != nil || !reflect.DeepEqual(RangesOf(again.Where), ranges) || !reflect.DeepEqual(targetsOf(again.Targets), means) {
		t.Errorf("%s is read as %+v, %v", text, again, err)
	}
	if err := json.Unmarshal([]byte(`{"where":[{"of":"girth","low":1,"high":2}]}`), &again); err == nil {
		t.Error("girth is read")
	}
}
