package units

import (
	"math"
	"testing"
)

func TestFormat(t *testing.T) {
	tests := []struct {
		value            float64
		of               Dimension
		metric, imperial string
	}{
		{1.724, Length, "172.4 cm", "5 ft 7.9 in"},
		{1.7272, Length, "172.7 cm", "5 ft 8 in"},
		{1.8288, Length, "182.9 cm", "6 ft"},
		{1.8287, Length, "182.9 cm", "6 ft"}, // 71.996 in must not print as 5 ft 12 in
		{0.25, Length, "25.0 cm", "9.8 in"},
		{-0.04, Length, "−4.0 cm", "−1.6 in"},
		{-0.0001, Length, "0.0 cm", "0 in"},
		{60.78137758, Mass, "60.8 kg", "134.0 lb"},
		{41.26 * math.Pi / 180, Angle, "41.3°", "41.3°"},
		{-0.5, Angle, "−28.6°", "−28.6°"},
		{249.6, Force, "250 N", "56.1 lbf"},
		{80.26, Moment, "80.3 N·m", "59.2 lbf·ft"},
		{1.4321, BodyWeights, "1.432 BW", "1.432 BW"},
		{0.1234, BodyWeightMetres, "0.123 BW·m", "0.123 BW·m"},
		{0.67, Number, "0.670", "0.670"},
		{0.1234, Relative, "12.3 %", "12.3 %"},
		{83.44, Duration, "83.4 s", "83.4 s"},
		{math.NaN(), Length, "NaN cm", "NaN in"},
		{math.Inf(1), BodyWeights, "∞ BW", "∞ BW"},
		{math.Inf(-1), Length, "−∞ cm", "−∞ in"},
	}
	for _, test := range tests {
		if got := Format(test.value, test.of, Metric); got != test.metric {
			t.Errorf("%v of %v, metric: %q, want %q", test.value, test.of, got, test.metric)
		}
		if got := Format(test.value, test.of, Imperial); got != test.imperial {
			t.Errorf("%v of %v, imperial: %q, want %q", test.value, test.of, got, test.imperial)
		}
	}
}

func TestFormatChange(t *testing.T) {
	tests := []struct {
		value  float64
		of     Dimension
		system System
		want   string
	}{
		{0.1, Length, Metric, "+10.0 cm"},
		{0.4, Length, Imperial, "+15.7 in"},
		{-0.0364, BodyWeights, Metric, "−0.036 BW"},
		{0.05, Relative, Metric, "+5.0 %"},
		{math.Inf(1), BodyWeights, Metric, "+∞ BW"},
		{math.NaN(), BodyWeights, Metric, "NaN BW"},
	}
	for _, test := range tests {
		if got := FormatChange(test.value, test.of, test.system); got != test.want {
			t.Errorf("%v: %q, want %q", test.value, got, test.want)
		}
	}
}

func TestFormatTape(t *testing.T) {
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
		if got := FormatTape(test.metres, Metric); got != test.metric {
			t.Errorf("%v m, metric: %q, want %q", test.metres, got, test.metric)
		}
		if got := FormatTape(test.metres, Imperial); got != test.imperial {
			t.Errorf("%v m, imperial: %q, want %q", test.metres, got, test.imperial)
		}
	}
}
