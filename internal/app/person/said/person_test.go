package said

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
	"counterpoise/sim/statics"
)

// A force of 1 BW on 70 kg is 686 N, as 70 kg weigh, or 154 lb.
func TestQuantityText(t *testing.T) {
	newtons := 70 * statics.StandardGravity
	of := func(x float64) person.Spread { return person.Spread{Median: x, Low: 0.9 * x, High: 1.1 * x} }
	q := person.Quantity{Demand: hold.RequiredForce, All: of(1), AbsoluteUnit: "N", AllAbsolute: of(newtons)}
	for system, want := range map[words.System]string{
		words.Metric:   "1.000 BW (0.900 to 1.100), 686 N (618 to 755), as 70.0 kg (63.0 to 77.0)",
		words.Imperial: "1.000 BW (0.900 to 1.100), 154.3 lbf (138.9 to 169.8)",
	} {
		if got := QuantityText(q, system); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

// A place among people is told with what is not known of it.
func TestPlace(t *testing.T) {
	for _, c := range []struct {
		at          person.Spread
		text, brief string
	}{
		{person.Spread{Median: 0.26, Low: 0.118, High: 0.41}, "26th percentile (12th to 41st)", "26th (12th to 41st)"},
		{person.Spread{Median: 0.9, Low: 0.6, High: 0.999}, "90th percentile (60th to above the 99th)", "90th (60th to above the 99th)"},
		{person.Spread{Median: 0.333, Low: 0.332, High: 0.334}, "33rd percentile", "33rd"},
		{person.Spread{Median: math.NaN(), Low: math.NaN(), High: math.NaN()}, "", ""},
	} {
		if text, brief := Place(c.at), BriefPlace(c.at); text != c.text || brief != c.brief {
			t.Errorf("%v: %q and %q, want %q and %q", c.at, text, brief, c.text, c.brief)
		}
	}
}

// What no tape narrows comes first, and what to measure after it; nothing is told to be
// measured that would not show.
func TestNextText(t *testing.T) {
	var m person.ModelResult
	m.Model, m.Main = hold.Equilibrium, hold.RequiredForce
	m.Quantities = []person.Quantity{{Demand: m.Main, All: person.Spread{Median: 0.8, Low: 0.7, High: 0.95}}}
	a := &PersonAnswer{Result: &person.Result{Models: []person.ModelResult{m}}}
	gain := func(of anthro.Measurement, width float64) person.Gain {
		return person.Gain{Gain: anthro.Gain{Measure: of, Width: width}, Reduction: 1 - width/0.25}
	}
	plan := []person.Gain{gain(anthro.Span, 0.231), gain(anthro.AcromialHeight, 0.219)}
	const force = "the force along the harder-working arm"
	for _, c := range []struct {
		floor float64
		plan  []person.Gain
		want  string
	}{
		{0.2, plan, "no tape would narrow this much: with everything measured, " + force + " would still range over 0.200 BW of today's 0.250 BW (5–95 %), by the assumptions. Next span leaves 0.231 BW, then acromial height 0.219 BW."},
		{0, plan, "next span leaves 0.231 BW of the 0.250 BW that " + force + " ranges over (5–95 %), then acromial height 0.219 BW."},
		{0.2499, []person.Gain{gain(anthro.Span, 0.2499)}, "no tape would narrow this: with everything measured, " + force + " would still range over 0.250 BW (5–95 %), by the assumptions."},
		{0.25, nil, "no tape would narrow this: everything is measured, and " + force + " still ranges over 0.250 BW (5–95 %), by the assumptions."},
		{0, nil, ""},
	} {
		a.Models[0].Floor, a.Models[0].Plan, a.Models[0].Next = c.floor, c.plan, c.plan
		if got := NextText(a); got != c.want {
			t.Errorf("floor %g:\n%q, want\n%q", c.floor, got, c.want)
		}
	}
}

// Readiness says what is decided and what is open, by the margins.
func TestReadinessHeadline(t *testing.T) {
	ready := func(seconds float64, added float64) *person.Readiness {
		o := person.DefaultOptions()
		o.N = person.LeastN
		r := golden.Must(person.Ready(context.Background(), person.Person{
			Name: "Io", Sex: anthro.Male, Hold: hold.HumanFlag, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.74}, {Of: anthro.Mass, Value: 69}},
			Tests: &person.Tests{Hangs: []person.Hang{{Seconds: seconds, Added: added}}, Handstands: []person.Handstand{{Seconds: seconds}}},
		}, o))(t)
		return r
	}
	for _, c := range []struct {
		seconds, added float64
		want           string
	}{
		{2, -40, "Io: the tests do not show the straight-arm strength for the hold"},
		{240, 30, "Io: the tests show the straight-arm strength for the hold, in every draw"},
		{5, -12, "Io: whether the tests show the straight-arm strength for the hold is open"},
	} {
		if got := ReadinessHeadline(ready(c.seconds, c.added), words.Metric); !strings.HasPrefix(got, c.want) || !strings.Contains(got, "No time is promised: adduction of the shoulders") {
			t.Errorf("held for %v s: %s", c.seconds, got)
		}
	}
	half := ready(20, 3)
	for i := range half.Models {
		half.Models[i].Arrangements[0].Push.Tested = false
	}
	if got := ReadinessHeadline(half, words.Metric); !strings.Contains(got, "needs a one-arm handstand at a wall") {
		t.Error(got)
	}
}

// Somebody of whom little was measured counts as an untrained adult of no more than that.
func TestUntrainedLike(t *testing.T) {
	stature, age := anthro.Known{Of: anthro.Stature, Value: 1.7}, anthro.Known{Of: anthro.Age, Value: 30}
	for want, known := range map[string][]anthro.Known{
		"an untrained woman": nil, "an untrained woman of that size": {stature}, "an untrained woman of that age": {age},
		"an untrained woman of that size and age": {stature, age},
	} {
		c := golden.Must(golden.Must(anthro.Load("us-women"))(t).Survey().Condition(known, anthro.Regional{}))(t)
		if got := untrainedLike(&person.Result{Conditioned: c}); got != want {
			t.Errorf("%v: %q, want %q", known, got, want)
		}
	}
}

// What judges is told first, whatever the order; the rule that is taught is told beside
// it, with what its forces add up to and without a place for the hands.
func TestSentencesOfTwoModels(t *testing.T) {
	o := person.DefaultOptions()
	o.N = person.LeastN
	r := golden.Must(person.Answer(context.Background(), person.Person{Name: "Io", Sex: anthro.Male, Hold: hold.HumanFlag, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.79}}}, o))(t)
	for range 2 {
		told := &PersonAnswer{Result: r}
		m := told.Primary()
		if !m.Model.Judges() {
			t.Fatalf("%s is told first", m.Model)
		}
		spacing, _ := m.Quantity(hold.HandSpacing)
		at := words.Rough(m.Median.Held.Value[hold.HandSpacing][0], units.Length, words.Metric)
		if head := PersonHeadline(told, words.Metric); !strings.Contains(head, "hands "+at+" apart") || strings.Count(head, " apart") != 1 {
			t.Errorf("the hands belong %s apart: %s", at, head)
		}
		if s := SummarisePerson(told); *s.Spacing.P50 != spacing.All.Median || *s.Spacing.P50 != m.Median.Held.Value[hold.HandSpacing][0] || *s.Spacing.P50 != *s.Models[slices.IndexFunc(s.Models, func(m PersonModel) bool { return m.Judges })].BestSpacing {
			t.Errorf("summary %+v, answer %+v", s.Spacing, spacing)
		}
		said := Taught(told, words.Metric)
		if !strings.HasPrefix(said, "By the lift-and-turn rule that is taught") || !strings.Contains(said, "BW upwards") || strings.Contains(said, "apart") {
			t.Error(said)
		}
		for _, sentence := range PersonSentences(told, words.Metric) {
			if strings.Contains(sentence, "two-condition") {
				t.Error(sentence)
			}
		}
		r.Models[0], r.Models[1] = r.Models[1], r.Models[0]
	}
}
