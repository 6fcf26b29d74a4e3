package study

import (
	"encoding/json"
	"math"
	"reflect"
	"testing"

	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
)

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
	text, err := json.Marshal(StoredReweighted{StoreRanges(ranges), storeTargets(means), storeTargets(means[:1]), 0.4})
	const want = `{"where":[{"of":"bmi","low":18.5,"high":27},{"of":"span/stature","low":null,"high":1.03},{"of":"mass","low":60,"high":null}],` +
		`"targets":[{"of":"bmi","mean":22.5},{"of":"mass","mean":60}],"before":[{"of":"bmi","mean":22.5}],"effective_share":0.4}`
	if err != nil || string(text) != want {
		t.Errorf("kept as %s, %v; want %s", text, err, want)
	}
	var again StoredReweighted
	if err := json.Unmarshal(text, &again); err != nil || !reflect.DeepEqual(rangesOf(again.Where), ranges) || !reflect.DeepEqual(targetsOf(again.Targets), means) {
		t.Errorf("%s is read as %+v, %v", text, again, err)
	}
	if err := json.Unmarshal([]byte(`{"where":[{"of":"girth","low":1,"high":2}]}`), &again); err == nil {
		t.Error("girth is read")
	}
}
