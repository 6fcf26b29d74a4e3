package wording

import (
	"context"
	"strings"
	"testing"

	"counterpoise/internal/units"
	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
	"counterpoise/sim/statics"
)

func TestSpreadText(t *testing.T) {
	for _, c := range []struct {
		spread person.Spread
		format func(float64) string
		want   string
	}{
		{person.Spread{Median: 0.951, Low: 0.9, High: 1.0123}, In(units.BodyWeights, units.Metric), "0.951 BW (0.900 to 1.012)"},
		{person.Spread{Median: 0.951, Low: 0.951, High: 0.951}, In(units.BodyWeights, units.Metric), "0.951 BW"},
		{person.Spread{Median: 0.9511, Low: 0.9510, High: 0.9512}, In(units.BodyWeights, units.Metric), "0.951 BW"},
		{person.Spread{Median: 0.95, Low: 0.89, High: 1.02}, Tape(units.Metric), "95.0 cm (89.0 to 102.0)"},
		{person.Spread{Median: 0.9525, Low: 0.889, High: 1.0192}, Tape(units.Imperial), "37 1/2 in (35 in to 40 1/8 in)"},
		{person.Spread{Median: 1.7, Low: 1.6, High: 1.75}, In(units.Length, units.Imperial), "5 ft 6.9 in (5 ft 3 in to 5 ft 8.9 in)"},
		{person.Spread{Median: 0.7, Low: 0.6, High: 0.8}, In(units.Angle, units.Metric), "40.1° (34.4° to 45.8°)"},
		{person.Spread{Median: -34.2, Low: -59.4, High: 12.3}, WholeMoment(units.Metric), "−34 N·m (−59 to 12)"},
		{person.Spread{Median: 135.58, Low: 67.79, High: 271.16}, WholeMoment(units.Imperial), "100 lbf·ft (50 to 200)"},
	} {
		if got := SpreadText(c.spread, c.format); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

// A force of 1 BW on 70 kg is 686 N, as 70 kg weigh, or 154 lb.
func TestQuantityText(t *testing.T) {
	newtons := 70 * statics.StandardGravity
	one := person.Spread{Median: 1, Low: 0.9, High: 1.1}
	q := person.Quantity{Demand: hold.RequiredForce, All: one, AbsoluteUnit: "N", AllAbsolute: scaled(one, newtons)}
	for system, want := range map[units.System]string{
		units.Metric:   "1.000 BW (0.900 to 1.100), 686 N (618 to 755), as 70.0 kg (63.0 to 77.0)",
		units.Imperial: "1.000 BW (0.900 to 1.100), 154.3 lbf (138.9 to 169.8)",
	} {
		if got := QuantityText(q, system); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
	if kg, lb := WeightOf(units.Metric)(newtons), WeightOf(units.Imperial)(newtons); kg != "70 kg" || lb != "154 lb" {
		t.Errorf("%s and %s", kg, lb)
	}
}

func TestPercentile(t *testing.T) {
	for share, want := range map[float64]string{
		0.001: "below the 1st percentile", 0.01: "1st percentile", 0.02: "2nd percentile", 0.033: "3rd percentile",
		0.11: "11th percentile", 0.12: "12th percentile", 0.213: "21st percentile", 0.5: "50th percentile", 0.9: "90th percentile",
		0.99: "99th percentile", 0.9999: "above the 99th percentile",
	} {
		if got := Percentile(share); got != want {
			t.Errorf("%v: got %q, want %q", share, got, want)
		}
	}
}

func TestOver(t *testing.T) {
	for _, c := range []struct {
		values []float64
		format func(float64) string
		want   string
	}{
		{[]float64{735.5, 588.4}, WeightOf(units.Metric), "60 to 75 kg"},
		{[]float64{588.4, 588.5}, WeightOf(units.Metric), "60 kg"},
		{[]float64{1.0, 0.7}, WholeDegrees, "40 to 57°"},
	} {
		if got := Over(c.values, c.format); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

// Readiness says what is decided and what is open, by the margins.
func TestReadinessHeadline(t *testing.T) {
	ready := func(seconds float64, added float64) *person.Readiness {
		o := person.DefaultOptions()
		o.Draws = person.LeastDraws
		r, err := person.Ready(context.Background(), person.Person{
			Name: "Io", Sex: anthro.Male, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.74}, {Of: anthro.Mass, Value: 69}},
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
		{240, 30, "Io: the tests show the straight-arm strength for the hold by every model"},
		{16, 3, "Io: whether the tests show the straight-arm strength for the hold is open"},
	} {
		if got := ReadinessHeadline(ready(c.seconds, c.added), units.Metric); !strings.HasPrefix(got, c.want) || !strings.Contains(got, "Shoulders, grip and trunk are not tested") {
			t.Errorf("held for %v s: %s", c.seconds, got)
		}
	}
	half := ready(20, 3)
	for i := range half.Models {
		half.Models[i].Arrangements[0].Push.Tested = false
	}
	if got := ReadinessHeadline(half, units.Metric); !strings.Contains(got, "needs a one-arm handstand at a wall") {
		t.Error(got)
	}
}

// How the models differ is said by the sign: the other way round, the other way.
func TestSentencesOfTwoModels(t *testing.T) {
	o := person.DefaultOptions()
	o.Draws = person.LeastDraws
	r, err := person.Answer(context.Background(), person.Person{Name: "Io", Sex: anthro.Male, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.79}}}, o)
	if err != nil {
		t.Fatal(err)
	}
	for range 2 {
		a, b := &r.Models[0], &r.Models[1]
		told := &PersonAnswer{Result: r}
		said := strings.Join(append(ModelsDiffer(told, units.Metric), PersonSentences(told, units.Metric)...), "\n")
		for _, of := range []struct {
			demand     hold.Demand
			more, less string
		}{{hold.RequiredForce, " more than by ", " less than by "}, {hold.HandSpacing, " wider apart than by ", " closer together than by "}} {
			first, _ := a.Quantity(of.demand)
			second, _ := b.Quantity(of.demand)
			says, not := of.more, of.less
			if second.All.Median < first.All.Median {
				says, not = not, says
			}
			if !strings.Contains(said, says+a.Model.String()) || strings.Contains(said, not) {
				t.Errorf("%s by %s is %v, by %s %v; said is\n%s", of.demand, b.Model, second.All.Median, a.Model, first.All.Median, said)
			}
		}
		for _, m := range r.Models {
			if next := GainName(m.Next[0]) + " would narrow"; !strings.Contains(said, next) {
				t.Errorf("%q is not said:\n%s", next, said)
			}
		}
		r.Models[0], r.Models[1] = r.Models[1], r.Models[0]
	}
}
