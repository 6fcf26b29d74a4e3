package units

import (
	"math"
	"testing"
)

var every = []Dimension{Number, Relative, Length, Mass, Angle, Duration, Force, Moment, BodyWeights, BodyWeightMetres}

// FuzzParse: whatever the text, there is an error or a finite value of a
// dimension that was asked for.
func FuzzParse(f *testing.F) {
	for _, seed := range []string{
		"172 cm", "5 ft 8 1/2 in", `5'8"`, "−3 %", "18.5..27", "..5 ft", "168 ± 0.5 cm", "1e-3", "9e999 kg",
		"80 N·m", "BW", "1/0", "5 m - 3 cm", ".", "..", "±", "\xff", "٣ cm", "1 e 5 m", "0/0 in", "1e", "3 .. 2",
	} {
		f.Add(seed, uint8(2))
	}
	f.Fuzz(func(t *testing.T, text string, which uint8) {
		want := every[int(which)%len(every)]
		if q, err := Parse(text, want); err == nil && (q.Dimension != want || notFinite(q.Value)) {
			t.Errorf("%q as %v: %v", text, want, q)
		}
		if _, err := Parse(text, every...); err != nil && err.Error() == "" {
			t.Errorf("%q: an error without a message", text)
		}
		if r, err := ParseRange(text, want); err == nil && !(r.Low <= r.High && r.Dimension == want) {
			t.Errorf("%q as a range of %v: %v", text, want, r)
		}
		if u, err := ParseUncertain(text, want); err == nil && (u.Dimension != want || notFinite(u.Value) || !(u.PlusMinus >= 0) || notFinite(u.PlusMinus)) {
			t.Errorf("%q as uncertain %v: %v", text, want, u)
		}
	})
}

func notFinite(x float64) bool { return math.IsNaN(x) || math.IsInf(x, 0) }
