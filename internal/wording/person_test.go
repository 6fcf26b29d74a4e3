package wording

import (
	"context"
	"slices"
	"strings"
	"testing"

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

// Readiness says what is decided and what is open, by the margins.
func TestReadinessHeadline(t *testing.T) {
	ready := func(seconds float64, added float64) *person.Readiness {
		o := person.DefaultOptions()
		o.N = person.LeastN
		r, err := person.Ready(context.Background(), person.Person{
			Name: "Io", Sex: anthro.Male, Hold: hold.HumanFlag, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.74}, {Of: anthro.Mass, Value: 69}},
			Tests: &person.Tests{Hangs: []person.Hang{{Seconds: seconds, Added: added}}, Handstands: []person.Handstand{{Seconds: seconds}}},
		}, o)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	for _, c := range []struct {
		seconds, added float64
		want           string
	}{
		{2, -40, "Io: the tests do not show the straight-arm strength for the hold"},
		{240, 30, "Io: the tests show the straight-arm strength for the hold, whatever is left open"},
		{5, -12, "Io: whether the tests show the straight-arm strength for the hold is open"},
	} {
		if got := ReadinessHeadline(ready(c.seconds, c.added), words.Metric); !strings.HasPrefix(got, c.want) || !strings.Contains(got, "No time is promised: adduction of the shoulders and abduction of the shoulders were never tested") {
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

// What judges is told first, whatever the order; the rule that is taught is told beside
// it, with what its forces add up to and without a place for the hands.
func TestSentencesOfTwoModels(t *testing.T) {
	o := person.DefaultOptions()
	o.N = person.LeastN
	r, err := person.Answer(context.Background(), person.Person{Name: "Io", Sex: anthro.Male, Hold: hold.HumanFlag, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.79}}}, o)
	if err != nil {
		t.Fatal(err)
	}
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
