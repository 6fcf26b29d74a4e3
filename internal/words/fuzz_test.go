package words

import (
	"math"
	"testing"

	"counterpoise/internal/units"
)

var every = []units.Dimension{units.Number, units.Relative, units.Length, units.Mass, units.Angle, units.Duration, units.Force, units.Moment,
	units.BodyWeights, units.BodyWeightMetres}

// FuzzRoundTrip: what is printed reads back as the same value to within half
// of the last printed digit, and prints the same again.
func FuzzRoundTrip(f *testing.F) {
	for _, seed := range []float64{1.7272, -0.036, 0.71996, 1.82879, 1e-9, 123456.789, -2.5} {
		f.Add(seed, uint8(2))
		f.Add(seed, uint8(4))
	}
	f.Fuzz(func(t *testing.T, value float64, which uint8) {
		// Beyond 1e9 of anything, rounding of the float64 itself shows.
		if !finite(value) || math.Abs(value) > 1e9 {
			t.Skip("out of the range that is promised")
		}
		d := every[int(which)%len(every)]
		for _, s := range []System{Metric, Imperial} {
			for _, print := range []func(float64, units.Dimension, System) string{Quantity, Change, tape} {
				text := print(value, d, s)
				got, err := units.Parse(text, d)
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

// tape is Tape for lengths, Quantity for the rest.
func tape(value float64, d units.Dimension, s System) string {
	if d == units.Length {
		return Tape(value, s)
	}
	return Quantity(value, d, s)
}

// step is the coarsest last digit printed.
func step(d units.Dimension, s System) float64 {
	switch {
	case d == units.Angle:
		return 0.1 * math.Pi / 180
	case d == units.Length && s == Imperial:
		return 0.0254 / 8
	}
	show := displays[d][s]
	size := 1.0
	if show.unit != "" {
		size = units.Size(show.unit)
	}
	return size * math.Pow10(-show.decimals)
}
