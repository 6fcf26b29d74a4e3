package study

import (
	"encoding/json"
	"strings"
	"testing"

	"counterpoise/sim/body"
)

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
		first := read(t, with(t, change, c.written))
		text, err := json.Marshal(StoreClaim(first))
		if err != nil {
			t.Fatal(err)
		}
		var stored StoredClaim
		if err := json.Unmarshal(text, &stored); err != nil {
			t.Fatal(err)
		}
		again, err := stored.Claim(first.Demand)
		if err != nil {
			t.Fatal(err)
		}
		if first.Load != c.before || first.LoadAfter() != c.after || again.Load != c.before || again.LoadAfter() != c.after {
			t.Errorf("%q: %v, then %v; kept %v, then %v", c.written, first.Load, first.LoadAfter(), again.Load, again.LoadAfter())
		}
	}
	contrast := strings.Replace(with(t, change, "contrast: {by: stature}\nbefore: {load: {vest: 4 kg}}"), "0.01 BW", "0.02 BW", 1)
	if _, err := ReadClaim("f", []byte(contrast)); err == nil || !strings.Contains(err.Error(), "f:6: before: is the load before a change, and there is no change") {
		t.Error(err)
	}
}

// A person carries something in the hold, which survives being kept.
func TestLoadsOfPersons(t *testing.T) {
	persons, err := ReadPersons("f", []byte("person: Ada\nsex: female\nhold: front-lever\nload: {vest: 10 kg}\nassist: {hips: 20 lb}\n"))
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(StorePerson(&persons[0]))
	if err != nil {
		t.Fatal(err)
	}
	again, err := PersonOf(text)
	want := body.Load{body.AtChest: 10, body.AtHips: -9.0718474}
	if err != nil || persons[0].Load != want || again.Load != want {
		t.Errorf("read as %v, kept as %s, then %v (%v)", persons[0].Load, text, again.Load, err)
	}
	if _, err := PersonOf([]byte(strings.Replace(string(text), "chest", "tail", 1))); err == nil {
		t.Error("a load at the tail is read")
	}
}
