package units

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

func TestParse(t *testing.T) {
	tests := []struct {
		text string
		want Dimension
		si   float64
	}{
		// Lengths. Decimal shifts are exact: the float64 nearest to the decimal.
		{"172 cm", Length, 1.72},
		{"172.4cm", Length, 1.724},
		{"57 cm", Length, 0.57}, // 57*0.01 is not
		{"1.72 m", Length, 1.72},
		{"43 mm", Length, 0.043},
		{"67.5 in", Length, 1.7145},
		{"5 ft 8 in", Length, 1.7272},
		{"5ft8in", Length, 1.7272},
		{"5 ft. 8 in.", Length, 1.7272},
		{"5 feet 8 inches", Length, 1.7272},
		{`5'8"`, Length, 1.7272},
		{"5′ 8″", Length, 1.7272},
		{"5 ft 8 1/2 in", Length, 1.7399},
		{"37 3/8 in", Length, 0.949325},
		{"3/8 in", Length, 0.009525},
		{"1 m 72 cm", Length, 1.72},
		{"  172   CM ", Length, 1.72},
		{".5 m", Length, 0.5},
		{"+10 cm", Length, 0.1},
		{"+ 10 cm", Length, 0.1},
		{"-3 cm", Length, -0.03},
		{"−3 cm", Length, -0.03},
		{"-5 ft 8 in", Length, -1.7272},
		// Masses.
		{"61 kg", Mass, 61},
		{"134 lb", Mass, 60.78137758},
		{"134 lbs", Mass, 60.78137758},
		{"350 g", Mass, 0.35},
		{"9 st 8 lb", Mass, 60.78137758}, // 9 × 14 + 8 = 134
		{"2 lb 4 oz", Mass, 1.0205828325},
		// Angles.
		{"41 deg", Angle, 41 * math.Pi / 180},
		{"41°", Angle, 41 * math.Pi / 180},
		{"-12.5 degrees", Angle, -12.5 * math.Pi / 180},
		{"0.72 rad", Angle, 0.72},
		// Durations.
		{"34.5 s", Duration, 34.5},
		{"2 min", Duration, 120},
		{"1 min 20 s", Duration, 80},
		// Forces and moments.
		{"250 N", Force, 250},
		{"3 kgf", Force, 29.41995},
		{"56 lbf", Force, 249.100410454588},
		{"80 N·m", Moment, 80},
		{"80 N m", Moment, 80},
		{"80 Nm", Moment, 80},
		{"80 N*m", Moment, 80},
		{"59 lbf·ft", Moment, 79.9932589515526236},
		{"59 ft-lbf", Moment, 79.9932589515526236},
		{"1.2 BW", BodyWeights, 1.2},
		{"1.2 body weights", BodyWeights, 1.2},
		{"0.12 BW·m", BodyWeightMetres, 0.12},
		{"0.12 BW m", BodyWeightMetres, 0.12},
		// Numbers.
		{"0.67", Number, 0.67},
		{"-0.3", Number, -0.3},
		{"2000", Number, 2000},
		{"1e-3", Number, 0.001},
		{"2.5E+2", Number, 250},
		{"2/3", Number, 2.0 / 3},
		{"5 %", Number, 0.05},
		{"12.3%", Number, 0.123},
		{"+5 %", Relative, 0.05},
		{"−3 %", Relative, -0.03},
		{"7 percent", Relative, 0.07},
	}
	for _, test := range tests {
		got, err := Parse(test.text, test.want)
		if err != nil {
			t.Errorf("%q: %v", test.text, err)
		} else if got != (Quantity{test.si, test.want}) {
			t.Errorf("%q = %v %v, want %v", test.text, got.Value, got.Dimension, test.si)
		}
	}
}

// NIST Special Publication 811 (2008), appendix B.8, prints these factors with
// the digits given here (recalled from memory): exact ones in full, others to
// seven digits.
func TestFactorsAsPublished(t *testing.T) {
	tests := []struct {
		text    string
		want    Dimension
		printed float64
		digits  float64 // half a unit of the last printed digit; 0 is exact
	}{
		{"1 in", Length, 2.54e-2, 0},
		{"1 ft", Length, 3.048e-1, 0},
		{"1 lb", Mass, 4.5359237e-1, 0},
		{"1 oz", Mass, 2.834952e-2, 5e-9},
		{"1 st", Mass, 6.350293, 5e-7},
		{"1 kgf", Force, 9.80665, 0},
		{"1 lbf", Force, 4.448222, 5e-7},
		{"1 lbf·ft", Moment, 1.355818, 5e-7},
		{"1 deg", Angle, 1.745329e-2, 5e-9},
	}
	for _, test := range tests {
		got, err := Parse(test.text, test.want)
		if err != nil || math.Abs(got.Value-test.printed) > test.digits {
			t.Errorf("%s = %v, %v; printed is %v", test.text, got.Value, err, test.printed)
		}
	}
}

// The sizes hang together: the table could not be off in one entry alone.
func TestUnitsOfOneFamilyAgree(t *testing.T) {
	for _, pair := range []struct {
		a, b string
		of   Dimension
	}{
		{"1 ft", "12 in", Length},
		{"1 m", "1000 mm", Length},
		{"1 m", "100 cm", Length},
		{"1 lb", "16 oz", Mass},
		{"1 st", "14 lb", Mass},
		{"1 kg", "1000 g", Mass},
		{"1 min", "60 s", Duration},
		{"180 deg", "3.14159265358979323846 rad", Angle},
	} {
		a, errA := Parse(pair.a, pair.of)
		b, errB := Parse(pair.b, pair.of)
		if errA != nil || errB != nil || a != b {
			t.Errorf("%s = %v, %s = %v (%v, %v)", pair.a, a.Value, pair.b, b.Value, errA, errB)
		}
	}
}

func TestParseChoosesAmongDimensions(t *testing.T) {
	tests := []struct {
		text string
		want []Dimension
		got  Quantity
	}{
		{"+10 cm", []Dimension{Length, Relative}, Quantity{0.1, Length}},
		{"+5 %", []Dimension{Length, Relative}, Quantity{0.05, Relative}},
		{"0.04 BW", []Dimension{Force, BodyWeights}, Quantity{0.04, BodyWeights}},
		{"30 N", []Dimension{Force, BodyWeights}, Quantity{30, Force}},
		{"5 %", []Dimension{Number, Relative}, Quantity{0.05, Number}},
		{"5 %", []Dimension{Relative, Number}, Quantity{0.05, Relative}},
	}
	for _, test := range tests {
		if got, err := Parse(test.text, test.want...); err != nil || got != test.got {
			t.Errorf("%q as %v: %v, %v", test.text, test.want, got, err)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	tests := []struct {
		text string
		want []Dimension
		err  string // a part of the message
	}{
		{"172", []Dimension{Length}, `a length needs its unit: write "172 cm" or "5 ft 8 in"`},
		{"5", []Dimension{Length, Relative}, `a length or a relative change needs its unit: write "172 cm" or "5 ft 8 in" or "+5 %"`},
		{"5", []Dimension{Relative}, `write "+5 %"`},
		{"172 kg", []Dimension{Length}, `"kg" is the unit of a mass, but a length is needed here`},
		{"250 N", []Dimension{BodyWeights}, `but a force in body weights is needed here: write "1.2 BW"`},
		{"172 cmm", []Dimension{Length}, `unknown unit "cmm", did you mean "cm"? (a length is written with m, cm, mm, in, ft)`},
		{"61 kilos", []Dimension{Mass}, `unknown unit "kilos" (a mass is written with`},
		{"", []Dimension{Length}, `"" is not a length: write`},
		{"tall", []Dimension{Length}, `"tall" is not a length`},
		{"cm", []Dimension{Length}, "not a length"},
		{"NaN", []Dimension{Number}, "not a number"},
		{"nan cm", []Dimension{Length}, "not a length"},
		{"+Inf", []Dimension{Number}, "not a number"},
		{"-infinity kg", []Dimension{Mass}, "not a mass"},
		{"∞ m", []Dimension{Length}, "not a length"},
		{"0x1F", []Dimension{Number}, "unknown unit"},
		{"1_000", []Dimension{Number}, "unknown unit"},
		{"9e999", []Dimension{Number}, "out of range"},
		{"9e-999", []Dimension{Number}, "out of range"},
		{"1e9999", []Dimension{Number}, "unknown unit"},
		{"--3 cm", []Dimension{Length}, "not a length"},
		{"172,5 cm", []Dimension{Length}, `decimal point`},
		{"5 ft 8", []Dimension{Length}, "the number 8 needs its unit"},
		{"5.5 ft 8 in", []Dimension{Length}, "whole larger units"},
		{"8 in 5 ft", []Dimension{Length}, "whole larger units"},
		{"5 ft 12 in", []Dimension{Length}, "whole larger units"},
		{"3 deg 0.5 rad", []Dimension{Angle}, "whole larger units"},
		{"5 % 3 %", []Dimension{Number}, "whole larger units"},
		{"5 m - 3 cm", []Dimension{Length}, "unknown unit"},
		{"5 m * 3 cm", []Dimension{Length}, "unknown unit"},
		{"5 9/8 in", []Dimension{Length}, "not less than one"},
		{"5 1/0 in", []Dimension{Length}, "divides by zero"},
		{"160..175 cm", []Dimension{Length}, "a range"},
		{"168 cm ± 0.5 cm", []Dimension{Length}, "uncertainty"},
		{strings.Repeat("7", 101), []Dimension{Number}, "too long"},
	}
	for _, test := range tests {
		got, err := Parse(test.text, test.want...)
		if err == nil {
			t.Errorf("%q was read as %v", test.text, got)
		} else if !strings.Contains(err.Error(), test.err) {
			t.Errorf("%q: message\n%s\nlacks\n%s", test.text, err, test.err)
		}
		if got != (Quantity{}) {
			t.Errorf("%q: %v beside an error", test.text, got)
		}
	}
}

func TestParseRange(t *testing.T) {
	inf := math.Inf(1)
	tests := []struct {
		text string
		want Dimension
		got  Range
	}{
		{"18.5..27", Number, Range{18.5, 27, Number}},
		{"160..175 cm", Length, Range{1.6, 1.75, Length}},
		{"160 cm .. 1.75 m", Length, Range{1.6, 1.75, Length}},
		{"5 ft..5 ft 8 in", Length, Range{1.524, 1.7272, Length}},
		{"..27", Number, Range{-inf, 27, Number}},
		{"20..", Number, Range{20, inf, Number}},
		{"55 kg..", Mass, Range{55, inf, Mass}},
		{"..134 lb", Mass, Range{-inf, 60.78137758, Mass}},
		{"-10..15 cm", Length, Range{-0.1, 0.15, Length}},
		{"5..10 %", Number, Range{0.05, 0.1, Number}},
		{"5 %..10 %", Number, Range{0.05, 0.1, Number}},
		{"42..42", Number, Range{42, 42, Number}},
	}
	for _, test := range tests {
		if got, err := ParseRange(test.text, test.want); err != nil || got != test.got {
			t.Errorf("%q = %v, %v; want %v", test.text, got, err, test.got)
		}
	}
	for _, test := range []struct {
		text string
		want []Dimension
		err  string
	}{
		{"18.5", []Dimension{Number}, `".."`},
		{"..", []Dimension{Number}, "at least one end"},
		{" .. ", []Dimension{Length}, "at least one end"},
		{"27..18.5", []Dimension{Number}, "above its high end"},
		{"160..175", []Dimension{Length}, "a length needs its unit"},
		{"160..", []Dimension{Length}, "a length needs its unit"},
		{"160 cm..175", []Dimension{Length}, "the second has none"},
		{"5 %..10", []Dimension{Number}, "the second has none"},
		{"5..5 ft 8 in", []Dimension{Length}, "its own unit"},
		{"3 cm..5 %", []Dimension{Length, Relative}, "but a length is needed"},
		{"1..2..3", []Dimension{Number}, "a single value"},
		{"nan..3", []Dimension{Number}, "not a number"},
		{"3..inf", []Dimension{Number}, "not a number"},
	} {
		if got, err := ParseRange(test.text, test.want...); err == nil || !strings.Contains(err.Error(), test.err) {
			t.Errorf("%q = %v, %v; want an error with %q", test.text, got, err, test.err)
		}
	}
}

func TestParseUncertain(t *testing.T) {
	tests := []struct {
		text  string
		want  Dimension
		value float64
		pm    float64
	}{
		{"168 cm ± 0.5 cm", Length, 1.68, 0.005},
		{"168 ± 0.5 cm", Length, 1.68, 0.005},
		{"168 cm +- 5 mm", Length, 1.68, 0.005},
		{"168 cm +/- 5 mm", Length, 1.68, 0.005},
		{"5 ft 8 in ± 1/4 in", Length, 1.7272, 0.00635},
		{"-12 deg ± 3 deg", Angle, -12 * math.Pi / 180, 3 * math.Pi / 180},
		{"64 kg ± 25 %", Mass, 64, 16},
		{"-64 N ± 25 %", Force, -64, 16},
		{"5 % ± 2 %", Number, 0.05, 0.02},
		{"+5 % ± 2 %", Relative, 0.05, 0.02},
		{"0.67 ± 0.03", Number, 0.67, 0.03},
		{"61 kg", Mass, 61, 0},
	}
	for _, test := range tests {
		got, err := ParseUncertain(test.text, test.want)
		if err != nil || got != (Uncertain{Quantity{test.value, test.want}, test.pm}) {
			t.Errorf("%q = %v, %v; want %v ± %v", test.text, got, err, test.value, test.pm)
		}
	}
	for _, test := range []struct {
		text string
		want Dimension
		err  string
	}{
		{"168 ± 0.5", Length, "a length needs its unit"},
		{"168 cm ± 0.5", Length, "the second has none"},
		{"168 cm ± 0 cm", Length, "not positive"},
		{"168 cm ± -1 cm", Length, "sign of its own"},
		{"168 cm ±", Length, "not a length"},
		{"± 5 cm", Length, "not a length"},
		{"168 cm ± 1 kg", Length, `unit of a mass`},
		{"61 ± 1 %", Mass, "needs its unit too"},
		{"0.5 ± 10 %", Number, "needs its unit too"},
		{"168 cm ± 1 cm ± 2 cm", Length, "a plain value"},
		{"168 cm ± nan cm", Length, "not a length"},
	} {
		if got, err := ParseUncertain(test.text, test.want); err == nil || !strings.Contains(err.Error(), test.err) {
			t.Errorf("%q = %v, %v; want an error with %q", test.text, got, err, test.err)
		}
	}
}

func TestNoDimensionIsAProgrammersMistake(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("no panic")
		}
	}()
	Parse("5 cm")
}

func TestEveryDimensionIsComplete(t *testing.T) {
	for i := range dimensions {
		d := Dimension(i)
		if d.String() == "" {
			t.Errorf("dimension %d has no name", i)
		}
		// Every example is what it shows.
		for _, example := range strings.Split(dimensions[d].example, " or ") {
			if _, err := Parse(strings.Trim(example, `"`), d); err != nil {
				t.Errorf("%v: example %s: %v", d, example, err)
			}
		}
	}
}

func ExampleParse() {
	for _, text := range []string{"5 ft 8 in", "+5 %", "172"} {
		q, err := Parse(text, Length, Relative)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(q.Value, "as", q.Dimension)
	}
	// Output:
	// 1.7272 as a length
	// 0.05 as a relative change
	// a length or a relative change needs its unit: write "172 cm" or "5 ft 8 in" or "+5 %"
}
