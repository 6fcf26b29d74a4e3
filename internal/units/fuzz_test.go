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

// FuzzRoundTrip: what is printed reads back as the same value to within half
// of the last printed digit, and prints the same again.
func FuzzRoundTrip(f *testing.F) {
	for _, seed := range []float64{1.7272, -0.036, 0.71996, 1.82879, 1e-9, 123456.789, -2.5} {
		f.Add(seed, uint8(2))
		f.Add(seed, uint8(4))
	}
	f.Fuzz(func(t *testing.T, value float64, which uint8) {
		// Beyond 1e9 of anything, rounding of the float64 itself shows.
		if notFinite(value) || math.Abs(value) > 1e9 {
			t.Skip("out of the range that is promised")
		}
		d := every[int(which)%len(every)]
		for _, s := range []System{Metric, Imperial} {
			for _, print := range []func(float64, Dimension, System) string{Format, FormatChange, tape} {
				text := print(value, d, s)
				got, err := Parse(text, d)
				if err != nil {
					t.Fatalf("%v of %v printed as %q: %v", value, d, text, err)
				}
				if off := math.Abs(got.Value - value); off > step(d, s)*0.5000001+1e-15*math.Abs(value) {
					t.Errorf("%v of %v printed as %q, read as %v", value, d, text, got.Value)
				}
				if again := print(got.Value, d, s); again != text {
					t.Errorf("%v of %v printed as %q, read and printed as %q", value, d, text, again)
				}
			}
		}
	})
}

// tape is FormatTape for lengths, Format for the rest.
func tape(value float64, d Dimension, s System) string {
	if d == Length {
		return FormatTape(value, s)
	}
	return Format(value, d, s)
}

// step is the coarsest last digit printed.
func step(d Dimension, s System) float64 {
	switch {
	case d == Angle:
		return 0.1 * math.Pi / 180
	case d == Length && s == Imperial:
		return 0.0254 / 8
	}
	show := dimensions[d].metric
	if s == Imperial {
		show = dimensions[d].imperial
	}
	size := 1.0
	if show.unit != "" {
		size = sizeOf[show.unit]
	}
	return size * math.Pow10(-show.decimals)
}
