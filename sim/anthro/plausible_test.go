package anthro

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
)

// Who is refused lies beyond the range that the message names, and who is not within it, together
// with everything else that is known.
func TestRefusedBeyondWhatIsNamed(t *testing.T) {
	p := population(t, "us-men")
	for _, known := range [][]Known{
		{{Stature, 1.5, 0}, {Mass, 150, 0}}, {{Stature, 1.75, 0}, {Mass, 75, 0}, {Span, 1.6, 0}},
		{{Stature, 1.75, 0.01}, {Mass, 75, 0}, {Span, 1.6, 0.02}}, {{Stature, 1.45, 0}},
	} {
		var e *ImprobableError
		left, err := p.Condition(known, Regional{})
		refused := errors.As(err, &e)
		var r *Rarity
		switch {
		case refused:
			r = &e.Rarity
		case err == nil && left.Rare != nil:
			r = left.Rare
		default:
			t.Errorf("%v: neither refused nor rare: %v", known, err)
			continue
		}
		if inside := r.Possible.Low <= r.Known.Value && r.Known.Value <= r.Possible.High; inside == refused {
			t.Errorf("%v: refused %t, and %v m lies inside %v: %t", known, refused, r.Known.Value, r.Possible, inside)
		}
	}
}

func TestSlipsAreNamed(t *testing.T) {
	for _, test := range []struct {
		what   string
		people string
		known  []Known
		blamed Measurement
		slip   string // "" where none explains it
		value  float64
		all    bool // it happened to all lengths
	}{
		{"span of 70 in as cm", "ansur2-men", []Known{{Stature, 1.755, 0}, {Mass, 78, 0}, {Span, 0.70, 0}}, Span, "inches for centimetres", 1.778, false},
		{"stature of 66 in as cm", "ansur2-women", []Known{{Stature, 0.66, 0.005}}, Stature, "inches for centimetres", 1.6764, false},
		{"stature of 168 cm as in", "ansur2-women", []Known{{Stature, 168 * 0.0254, 0}, {Mass, 61, 0}}, Stature, "centimetres for inches", 1.68, false},
		{"all lengths in inches", "ansur2-men", []Known{{Stature, 0.69, 0}, {Mass, 74, 0}, {Span, 0.71, 0}, {HandLength, 0.076, 0}}, Stature, "inches for centimetres", 1.7526, true},
		{"5.6 ft as m", "ansur2-women", []Known{{Stature, 5.6, 0}, {Mass, 64, 0}}, Stature, "feet for metres", 1.70688, false},
		{"pounds as kg", "ansur2-women", []Known{{Stature, 1.66, 0}, {Mass, 134, 0.5}, {WaistCircumference, 0.8, 0}}, Mass, "pounds for kilograms", 60.781, false},
		{"kg as pounds", "ansur2-men", []Known{{Stature, 1.81, 0}, {Mass, 82 * 0.45359237, 0}, {WaistCircumference, 0.92, 0}}, Mass, "kilograms for pounds", 82, false},
		{"stones as kg", "ansur2-men", []Known{{Stature, 1.81, 0}, {Mass, 12.5, 0}}, Mass, "stones for kilograms", 79.379, false},
		{"newtons as kg", "ansur2-men", []Known{{Stature, 1.81, 0}, {Mass, 790, 0}}, Mass, "newtons for kilograms", 80.558, false},
		{"waist across as around", "ansur2-men", []Known{{Stature, 1.77, 0}, {Mass, 76, 0}, {WaistCircumference, 0.28, 0}}, WaistCircumference, "diameter for circumference", 0.87965, false},
		{"waist of 33 in as cm", "ansur2-men", []Known{{Stature, 1.77, 0}, {Mass, 74, 0}, {WaistCircumference, 0.33, 0}}, WaistCircumference, "inches for centimetres", 0.8382, false},
		{"half the shoulders", "ansur2-women", []Known{{Stature, 1.64, 0}, {BiacromialBreadth, 0.182, 0}}, BiacromialBreadth, "half for whole", 0.364, false},
		{"half the span", "ansur2-men", []Known{{Stature, 1.74, 0}, {Span, 0.90, 0}}, Span, "half for whole", 1.8, false},
		{"foot in mm as cm", "ansur2-women", []Known{{Stature, 1.64, 0}, {FootLength, 2.47, 0}}, FootLength, "millimetres for centimetres", 0.247, false},
		{"stature in cm as m", "ansur2-men", []Known{{Stature, 176, 1}, {Mass, 80, 0}}, Stature, "centimetres for metres", 1.76, false},
		{"two inches' slip that breaks an order as well", "ansur2-men", []Known{{Stature, 0.69, 0}, {Mass, 74, 0}, {SittingHeight, 0.915, 0}}, Stature, "inches for centimetres", 1.7526, false},
		{"a giant", "ansur2-men", []Known{{Stature, 2.72, 0}, {Mass, 199, 0}}, Stature, "", 0, false}, // R. Wadlow
		{"a palm of another hand", "ansur2-men", []Known{{Stature, 1.75, 0}, {PalmLength, 0.19, 0}}, PalmLength, "", 0, false},
	} {
		_, err := population(t, test.people).Condition(test.known, Regional{})
		var e *ImprobableError
		if !errors.As(err, &e) {
			t.Errorf("%s: error %v", test.what, err)
			continue
		}
		t.Logf("%s: %v", test.what, err)
		if test.slip == "" {
			if e.Known.Of != test.blamed || e.Slip != nil {
				t.Errorf("%s: %v", test.what, err)
			}
			continue
		}
		if e.Known.Of != test.blamed || e.Slip == nil || e.Slip.Text != test.slip || !(math.Abs(e.Slip.Value/test.value-1) <= 1e-4) || (len(e.Slip.Of) > 1) != test.all {
			t.Errorf("%s: %v, slip %+v", test.what, err, e.Slip)
			continue
		}
		if !strings.Contains(err.Error(), test.blamed.String()) || !strings.Contains(err.Error(), test.slip) {
			t.Errorf("%s: the error does not say so: %v", test.what, err)
		}
		if v := e.Slip.Value; !(e.Possible.Low < v && v < e.Possible.High) {
			t.Errorf("%s: %g lies outside what is possible, %v", test.what, v, e.Possible)
		}
	}
}

// The intervals against the normal distribution: in scores, given nothing, they
// reach to 1.6449 and 4.4172 either side of 0 (normal tables, 5 % and 5e-6). People of a
// name of their own are judged among themselves.
func TestRarityOfOneMeasurement(t *testing.T) {
	renamed := *population(t, "ansur2-men")
	renamed.Name = "test"
	p := &renamed
	m := p.marginals[Stature]
	person := condition(t, p, Regional{}, Known{Stature, m.Value(-3.4), 0})
	r := person.Rare
	if r == nil {
		t.Fatal("a score of -3.4 is not remarked on")
	}
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"ordinary, low", r.Ordinary.Low, m.Value(-1.644854)},
		{"ordinary, high", r.Ordinary.High, m.Value(1.644854)},
		{"possible, low", r.Possible.Low, m.Value(-4.417173)},
		{"possible, high", r.Possible.High, m.Value(4.417173)},
		{"share as far out either way", r.Share, 2 * 3.369293e-4},
		{"percentile", r.Percentile, 3.369293e-4},
		{"percentile given nothing", r.PercentileGiven, 3.369293e-4},
	} {
		if !(math.Abs(c.got-c.want) <= 1e-6*c.want) {
			t.Errorf("%s: %.9g, want %.9g", c.what, c.got, c.want)
		}
	}
	if len(r.Given) != 0 || r.Known.Of != Stature {
		t.Errorf("blames %s given %v", r.Known.Of, r.Given)
	}
	for score, rare := range map[float64]bool{-3.28: false, 3.28: false, 3.30: true, -4.40: true, 4.40: true} { // 3.2905 by normal tables
		if got := condition(t, p, Regional{}, Known{Stature, m.Value(score), 0}).Rare != nil; got != rare {
			t.Errorf("score %g: remarked on: %v", score, got)
		}
	}
	for _, score := range []float64{-4.43, 4.43} {
		if _, err := p.Condition([]Known{{Stature, m.Value(score), 0}}, Regional{}); err == nil {
			t.Errorf("score %g is not refused", score)
		}
	}
}

// Beyond all reason, the error still has numbers in it.
func TestAbsurdValues(t *testing.T) {
	p := population(t, "ansur2-men")
	for _, value := range []float64{1e-300, 1e9, 1e200, math.MaxFloat64} {
		for _, m := range []Measurement{Stature, Mass, Span} {
			known := []Known{{Stature, 1.8, 0}, {Mass, 77, 0}, {Span, 1.82, 0.01}}
			known[slices.IndexFunc(known, func(k Known) bool { return k.Of == m })].Value = value
			_, err := p.Condition(known, Regional{})
			var e *ImprobableError
			if !errors.As(err, &e) {
				t.Errorf("%s of %g: %v", m, value, err)
				continue
			}
			if e.Known.Of != m || !(e.Share < improbable) || math.IsNaN(e.Percentile+e.PercentileGiven) || !(e.Ordinary.Low > 0 && e.Ordinary.Low < e.Ordinary.High) {
				t.Errorf("%s of %g: %+v", m, value, e.Rarity)
			}
		}
	}
}

// Each ordinary by itself, together rare; the expected range is that of the
// conditional distribution.
func TestRarityOfACombination(t *testing.T) {
	p := population(t, "us-men")
	known := []Known{{Span, 1.67, 0}, {Stature, 1.80, 0.003}, {Mass, 81, 0}}
	r := condition(t, p, Regional{}, known...).Rare
	if r == nil {
		t.Fatal("a span of 1.67 m at a stature of 1.80 m is not remarked on")
	}
	if r.Known.Of != Span || !slices.Equal(r.Given, []Measurement{Stature, Mass}) {
		t.Fatalf("blames %s given %v", r.Known.Of, r.Given)
	}
	others := condition(t, p, Regional{}, known[1], known[2])
	if got, want := (Interval{others.Quantile(Span, 0.05), others.Quantile(Span, 0.95)}), r.Ordinary; !(math.Abs(got.Low-want.Low) <= 1e-9) || !(math.Abs(got.High-want.High) <= 1e-9) {
		t.Errorf("ordinary spans %v, quantiles %v", want, got)
	}
	if r.Percentile < 0.01 || r.Percentile > 0.1 || r.PercentileGiven > 0.001 {
		t.Errorf("percentiles %.4f and %.6f", r.Percentile, r.PercentileGiven)
	}
	if text := r.String(); !strings.Contains(text, "span 1.67 m") || !strings.Contains(text, "with that stature, mass") {
		t.Error(text)
	}
}

func TestContradictions(t *testing.T) {
	p := population(t, "ansur2-men")
	for _, test := range []struct {
		known []Known
		text  string
	}{
		{[]Known{{Stature, 1.62, 0}, {SittingHeight, 1.63, 0}}, "sitting_height is 1.63 m, must be less than stature, 1.62 m"},
		{[]Known{{Stature, 1.62, 0}, {AcromialHeight, 1.62, 0}}, "acromial_height is 1.62 m"},
		{[]Known{{HandLength, 0.171, 0}, {PalmLength, 0.172, 0}}, "palm_length is 0.172 m, must be less than hand_length, 0.171 m"},
		{[]Known{{Span, 1.31, 0}, {ForearmLength, 0.31, 0}, {UpperArmLength, 0.37, 0}}, "2·(upper_arm_length + forearm_length) is 1.36 m, must be less than span, 1.31 m"},
		{[]Known{{TibialHeight, 0.46, 0}, {MalleolusHeight, 0.47, 0}}, "malleolus_height is 0.47 m"},
		// Errors of 2 and 1 mm allow for 3·√5 = 6.7 mm.
		{[]Known{{HandLength, 0.163, 0.002}, {PalmLength, 0.170, 0.001}}, "palm_length is 0.17 m"},
	} {
		_, err := p.Condition(test.known, Regional{})
		var e *ContradictionError
		if !errors.As(err, &e) || !strings.Contains(err.Error(), test.text) {
			t.Errorf("%v: error %v, want one with %q", test.known, err, test.text)
		}
	}
	if err := contradiction([]Known{{HandLength, 0.163, 0.002}, {PalmLength, 0.1695, 0.001}}); err != nil {
		t.Errorf("within three errors: %v", err)
	}
	// An error of 1 cm in one forearm is 2 cm in both: 6 cm are allowed for.
	for total, broken := range map[float64]bool{1.36: false, 1.38: true} {
		err := contradiction([]Known{{Span, 1.31, 0}, {ForearmLength, 0.31, 0.01}, {UpperArmLength, total/2 - 0.31, 0}})
		if (err != nil) != broken {
			t.Errorf("arms of %g m in a span of 1.31 m: %v", total, err)
		}
	}
	if err := contradiction([]Known{{Span, 1.05, 0}, {ForearmLength, 0.31, 0}}); err != nil {
		t.Errorf("forearms within the span: %v", err)
	}
}

// No drawn person contradicts themselves: the orders hold for real builds.
func TestDrawnPeopleDoNotContradictThemselves(t *testing.T) {
	for _, name := range Surveys() {
		people := drawn(t, population(t, name).NewSampler(), 20_000, random(41))
		for i := range people.Rows() {
			var known []Known
			for m := range NumMeasurements {
				known = append(known, Known{Of: m, Value: people.Value[m][i]})
			}
			if err := contradiction(known); err != nil {
				t.Errorf("%s, row %d: %v", name, i, err)
			}
		}
	}
}

// What was measured again is taken, however rare: with all that nobody has refused.
func TestMeasuredAgain(t *testing.T) {
	p := population(t, "ansur2-men")
	for _, test := range []struct {
		known []Known
		taken bool
	}{
		{[]Known{{Of: Stature, Value: 2.11}, {Of: Mass, Value: 118}}, true},
		{[]Known{{Of: Stature, Value: 1.77}, {Of: Mass, Value: 80}, {Of: Span, Value: 2.13}}, true},
		{[]Known{{Of: Stature, Value: 2.72}}, false},
		{[]Known{{Of: Stature, Value: 1.77}, {Of: SittingHeight, Value: 0.7}}, false},
		{[]Known{{Of: Stature, Value: 1.75}, {Of: SittingHeight, Value: 1.8}}, false}, // contradicts itself
	} {
		_, err := p.Condition(test.known, Regional{})
		if err == nil {
			t.Errorf("%v: taken, though not measured again", test.known)
		}
		// It is said whether a second measurement would help, and to where it would.
		if e := (*ImprobableError)(nil); errors.As(err, &e) {
			if e.Nobody == test.taken {
				t.Errorf("%v: nobody %t, taken %t", test.known, e.Nobody, test.taken)
			}
			for k, end := range []float64{e.Has.Low, e.Has.High} {
				for _, by := range []float64{-1e-4, 1e-4} {
					known := slices.Clone(test.known)
					known[slices.IndexFunc(known, func(k Known) bool { return k.Of == e.Known.Of })].Value = end + by
					if _, err := p.ConditionAgain(known, Regional{}); e.Nobody && (err == nil) != ((by > 0) == (k == 0)) {
						t.Errorf("%v: %v where %v is possible: %v", test.known, known, e.Has, err)
					}
				}
			}
		}
		person, err := p.ConditionAgain(test.known, Regional{})
		if taken := err == nil; taken != test.taken {
			t.Errorf("%v: taken %t, want %t: %v", test.known, taken, test.taken, err)
		} else if taken && person.Rare == nil {
			t.Errorf("%v: not rare", test.known)
		}
	}
}

// The heavy are not taken for others in pounds: soldiers are leaner than the public.
func TestTheHeavyAreBelieved(t *testing.T) {
	for _, test := range []struct {
		name  string
		known []Known
	}{
		{"ansur2-women", []Known{{Of: Stature, Value: 1.62}, {Of: Mass, Value: 136}}},
		{"ansur2-women", []Known{{Of: Stature, Value: 1.68}, {Of: Mass, Value: 145}, {Of: WaistCircumference, Value: 1.38}}},
		{"ansur2-men", []Known{{Of: Stature, Value: 1.75}, {Of: Mass, Value: 165}}},
	} {
		if _, err := population(t, test.name).Condition(test.known, Regional{}); err != nil {
			t.Errorf("%s: %v", test.name, err)
		}
	}
}
