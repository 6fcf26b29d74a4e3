package words

import (
	"math"
	"testing"

	"counterpoise/internal/units"
	"counterpoise/sim/assume"
)

func TestQuantity(t *testing.T) {
	tests := []struct {
		value            float64
		of               units.Dimension
		metric, imperial string
	}{
		{1.724, units.Length, "172.4 cm", "5 ft 7.9 in"},
		{1.7272, units.Length, "172.7 cm", "5 ft 8 in"},
		{1.8288, units.Length, "182.9 cm", "6 ft"},
		{1.8287, units.Length, "182.9 cm", "6 ft"}, // 71.996 in must not print as 5 ft 12 in
		{0.25, units.Length, "25.0 cm", "9.8 in"},
		{-0.04, units.Length, "−4.0 cm", "−1.6 in"},
		{-0.0001, units.Length, "0.0 cm", "0 in"},
		{60.78137758, units.Mass, "60.8 kg", "134.0 lb"},
		{41.26 * math.Pi / 180, units.Angle, "41.3°", "41.3°"},
		{-0.5, units.Angle, "−28.6°", "−28.6°"},
		{249.6, units.Force, "250 N", "56.1 lbf"},
		{80.26, units.Moment, "80.3 N·m", "59.2 lbf·ft"},
		{1.4321, units.BodyWeights, "1.432 BW", "1.432 BW"},
		{0.1234, units.BodyWeightMetres, "0.123 BW·m", "0.123 BW·m"},
		{0.67, units.Number, "0.670", "0.670"},
		{0.1234, units.Relative, "12.3 %", "12.3 %"},
		{83.44, units.Duration, "83.4 s", "83.4 s"},
		{math.NaN(), units.Length, "NaN cm", "NaN in"},
		{math.Inf(1), units.BodyWeights, "∞ BW", "∞ BW"},
		{math.Inf(-1), units.Length, "−∞ cm", "−∞ in"},
	}
	for _, test := range tests {
		if got := Quantity(test.value, test.of, Metric); got != test.metric {
			t.Errorf("%v of %v, metric: %q, want %q", test.value, test.of, got, test.metric)
		}
		if got := Quantity(test.value, test.of, Imperial); got != test.imperial {
			t.Errorf("%v of %v, imperial: %q, want %q", test.value, test.of, got, test.imperial)
		}
	}
}

func TestChange(t *testing.T) {
	tests := []struct {
		value  float64
		of     units.Dimension
		system System
		want   string
	}{
		{0.1, units.Length, Metric, "+10.0 cm"},
		{0.4, units.Length, Imperial, "+15.7 in"},
		{-0.0364, units.BodyWeights, Metric, "−0.036 BW"},
		{0.05, units.Relative, Metric, "+5.0 %"},
		{math.Inf(1), units.BodyWeights, Metric, "+∞ BW"},
		{math.NaN(), units.BodyWeights, Metric, "NaN BW"},
	}
	for _, test := range tests {
		if got := Change(test.value, test.of, test.system); got != test.want {
			t.Errorf("%v: %q, want %q", test.value, got, test.want)
		}
	}
}

func TestTape(t *testing.T) {
	tests := []struct {
		metres           float64
		metric, imperial string
	}{
		{0.943, "94.3 cm", "37 1/8 in"},
		{0.9398, "94.0 cm", "37 in"},
		{0.9525, "95.2 cm", "37 1/2 in"}, // 95.25 lies just below, as a float64
		{0.9461, "94.6 cm", "37 1/4 in"},
		{0.0095, "0.9 cm", "3/8 in"}, // 0.95 likewise
		{0.9651, "96.5 cm", "38 in"}, // 37.996 in
		{-0.0254, "−2.5 cm", "−1 in"},
		{-0.0001, "0.0 cm", "0 in"},
		{math.NaN(), "NaN cm", "NaN in"},
	}
	for _, test := range tests {
		if got := Tape(test.metres, Metric); got != test.metric {
			t.Errorf("%v m, metric: %q, want %q", test.metres, got, test.metric)
		}
		if got := Tape(test.metres, Imperial); got != test.imperial {
			t.Errorf("%v m, imperial: %q, want %q", test.metres, got, test.imperial)
		}
	}
}

func TestAssumed(t *testing.T) {
	for id, want := range map[assume.ID]string{
		assume.GripReach: "0.55 (0.45 to 0.65)", assume.StrengthByMass: "0 (-2 to 2)", assume.TopShare: "chosen unless pinned (0 to 1)",
	} {
		if got := Assumed(id.Info()); got != want {
			t.Errorf("%s: %q, want %q", id, got, want)
		}
	}
}
