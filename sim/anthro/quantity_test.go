package anthro

import (
	"math"
	"strings"
	"testing"
)

func TestMeasurementNames(t *testing.T) {
	seen := map[string]bool{}
	for m := range NumMeasurements {
		if m.String() == "" || m.Description() == "" || seen[m.String()] {
			t.Errorf("measurement %d: name %q, description %q", int(m), m, m.Description())
		}
		seen[m.String()] = true
		if got, ok := ParseMeasurement(m.String()); !ok || got != m {
			t.Errorf("%s reads back as %s, %t", m, got, ok)
		}
	}
	for _, name := range []string{"", "Stature", "height", "acromial height"} {
		if got, ok := ParseMeasurement(name); ok {
			t.Errorf("%q is read as %s", name, got)
		}
	}
}

func TestSexNames(t *testing.T) {
	for _, sex := range []Sex{Male, Female} {
		if got, ok := ParseSex(sex.String()); !ok || got != sex {
			t.Errorf("%s reads back as %s, %t", sex, got, ok)
		}
	}
	if _, ok := ParseSex("men"); ok {
		t.Error(`"men" is read as a sex`)
	}
}

func TestQuantity(t *testing.T) {
	people := NewPeople(2)
	people.Value[Stature] = []float64{1.6, 1.75}
	people.Value[Mass] = []float64{64, 98}
	people.Value[Span] = []float64{1.68, 1.715}
	for _, test := range []struct {
		text, unit string
		want       [2]float64
	}{
		{"stature", "m", [2]float64{1.6, 1.75}},
		{"mass", "kg", [2]float64{64, 98}},
		{"bmi", "kg/m2", [2]float64{64 / 1.6 / 1.6, 98 / 1.75 / 1.75}},
		{"span/stature", "", [2]float64{1.68 / 1.6, 1.715 / 1.75}},
		{"mass/span", "kg/m", [2]float64{64 / 1.68, 98 / 1.715}},
		{"span/mass", "m/kg", [2]float64{1.68 / 64, 1.715 / 98}},
	} {
		q, err := ParseQuantity(test.text)
		if err != nil {
			t.Error(err)
			continue
		}
		got := [2]float64{-5, -6}
		q.Values(got[:], people)
		// Two divisions round twice.
		for i, want := range test.want {
			if !(math.Abs(got[i]/want-1) <= 4e-16) {
				t.Errorf("%s of person %d is %v, want %v", test.text, i, got[i], want)
			}
		}
		if q.Unit() != test.unit || q.String() != test.text {
			t.Errorf("%s reads back as %s in %q, want %q", test.text, q, q.Unit(), test.unit)
		}
	}
	for _, text := range []string{"", "height", "span/", "/stature", "span/stature/mass", "BMI", "span/height"} {
		if q, err := ParseQuantity(text); err == nil || !strings.Contains(err.Error(), "acromial_height") || !strings.Contains(err.Error(), "bmi") {
			t.Errorf("%q is read as %s, error %v; want one that lists what is allowed", text, q, err)
		}
	}
}
