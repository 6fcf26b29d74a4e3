package wording

import (
	"context"
	"strings"
	"testing"

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
		{240, 30, "Io: the tests show the straight-arm strength for the hold by every model"},
		{16, 3, "Io: whether the tests show the straight-arm strength for the hold is open"},
	} {
		if got := ReadinessHeadline(ready(c.seconds, c.added), words.Metric); !strings.HasPrefix(got, c.want) || !strings.Contains(got, "Shoulders, grip and trunk are not tested") {
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

// How the models differ is said by the sign: the other way round, the other way.
func TestSentencesOfTwoModels(t *testing.T) {
	o := person.DefaultOptions()
	o.N = person.LeastN
	r, err := person.Answer(context.Background(), person.Person{Name: "Io", Sex: anthro.Male, Hold: hold.HumanFlag, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.79}}}, o)
	if err != nil {
		t.Fatal(err)
	}
	for range 2 {
		a, b := &r.Models[0], &r.Models[1]
		told := &PersonAnswer{Result: r}
		said := strings.Join(append(ModelsDiffer(told, words.Metric), PersonSentences(told, words.Metric)...), "\n")
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
