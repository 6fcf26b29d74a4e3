package anthro

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// A selection is what a sieve would leave of everybody, in the same order.
func TestSelectionIsASieve(t *testing.T) {
	p := population(t, "ansur2-women")
	where := []Range{{BodyMassIndex, 18.5, 24.5}, {Ratio(Span, Stature), 1.01, 1.06}}
	const everybody = 40 * batchRows
	all := drawn(t, p.NewSampler(), everybody, random(11))
	bmi, reach := make([]float64, everybody), make([]float64, everybody)
	BodyMassIndex.Values(bmi, all)
	Ratio(Span, Stature).Values(reach, all)
	var kept []int
	for i := range bmi {
		if bmi[i] >= 18.5 && bmi[i] <= 24.5 && reach[i] >= 1.01 && reach[i] <= 1.06 {
			kept = append(kept, i)
		}
	}
	if len(kept) < 100 || len(kept) > everybody/2 {
		t.Fatalf("%d of %d people kept: no test of anything", len(kept), everybody)
	}
	want := NewPeople(len(kept))
	for to, from := range kept {
		want.CopyRow(to, all, from)
	}
	got := drawn(t, Selection{p, where}.NewSampler(), len(kept), random(11))
	samePeople(t, "selection", want, got)
	few := drawn(t, Selection{p, where}.NewSampler(), 5, random(11))
	samePeople(t, "first five", want.Slice(0, 5), few)
}

func TestSelectionWithoutConditionsIsEverybody(t *testing.T) {
	p := population(t, "ansur2-men")
	samePeople(t, "no conditions", drawn(t, p.NewSampler(), 300, random(12)), drawn(t, Selection{Population: p}.NewSampler(), 300, random(12)))
}

func TestRareSelectionGivesUp(t *testing.T) {
	p := population(t, "ansur2-men")
	for _, test := range []struct {
		where []Range
		text  string
	}{
		{[]Range{{BodyMassIndex, 90, 95}}, "0 of 1,000,064 people drawn from ansur2-men match bmi 90..95 kg/m2"},
		{[]Range{{Of(Stature), math.NaN(), 3}}, "match stature NaN..3 m"},
		{[]Range{{Of(Stature), 1.8, 1.7}, {Ratio(Span, Stature), 0.9, 1.2}}, "match stature 1.8..1.7 m and span/stature 0.9..1.2"},
	} {
		err := Selection{p, test.where}.NewSampler().Draw(NewPeople(3), random(13))
		var rare *RareError
		if !errors.As(err, &rare) || !strings.Contains(err.Error(), test.text) {
			t.Errorf("%v: error %v, want one with %q", test.where, err, test.text)
			continue
		}
		again := Selection{p, test.where}.NewSampler().Draw(NewPeople(3), random(13))
		if again == nil || again.Error() != err.Error() {
			t.Errorf("%v: the same draw gave another error: %v", test.where, again)
		}
	}
}
