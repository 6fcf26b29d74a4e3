package anthro

import (
	"errors"
	"math"
	"strings"
	"testing"

	"counterpoise/sim/fault"

	"gonum.org/v1/gonum/stat"
)

// Who is told to be a youth is drawn from youths, everybody else from adults.
func TestYouth(t *testing.T) {
	for _, c := range []struct {
		known []Known
		want  bool
	}{
		{nil, false},
		{[]Known{{Stature, 1.7, 0}}, false},
		{[]Known{{Stature, 1.6, 0}, {Age, 14, 0}}, true},
		{[]Known{{Age, 17.9, 0}}, true},
		{[]Known{{Age, 18, 0}}, false},
	} {
		if got := Youth(c.known); got != c.want {
			t.Errorf("%v: %t, want %t", c.known, got, c.want)
		}
	}
}

// Youths and adults do not stand in for each other, and the message says who does.
func TestYouthsAreNoAdults(t *testing.T) {
	for _, c := range []struct {
		people string
		age    float64
		says   string // "" where the age is taken
	}{
		{"us-girls", 12, ""}, {"us-girls", 17, ""}, {"us-women", 18, ""}, {"us-women", 70, ""}, {"ansur2-men", 17, ""},
		{"us-girls", 18, "people of 18 and more are drawn from us-women"},
		{"us-girls", 11, "nobody under 12 is drawn"},
		{"us-men", 15, "people of 12 to 17 are drawn from us-boys"},
		{"ansur2-men", 16, "people of 12 to 17 are drawn from us-boys"},
		{"us-men", 80, "others from 18 to 79 count as the nearest of these ages; nobody has measured how strong older people are; found 80"},
	} {
		_, err := population(t, c.people).Condition([]Known{{Age, c.age, 0}}, Regional{})
		var bad *fault.Error
		if c.says == "" && err != nil || c.says != "" && (!errors.As(err, &bad) || bad.Field != "age" || !strings.Contains(err.Error(), c.says)) {
			t.Errorf("%s, age %g: %v, want %q", c.people, c.age, err, c.says)
		}
	}
}

// A girl of 12 who weighs 35 kg is ordinary among girls, not a rare small woman.
func TestYouthsAreJudgedAmongYouths(t *testing.T) {
	girl := []Known{{Stature, 1.45, 0}, {Mass, 35, 0}, {Age, 12, 0}}
	person, err := population(t, "us-girls").Condition(girl, Regional{})
	if err != nil || person.Rare != nil {
		t.Errorf("%v, %v", person.Rare, err)
	}
}

// A youth of a known age is like others of that age: two kinds of youths are mixed, and
// the age tells them apart.
func TestConditionOnYouthsAge(t *testing.T) {
	for _, name := range []string{"us-girls", "us-boys"} {
		p := population(t, name)
		for age := 12.0; age < Adulthood; age++ {
			known := drawn(t, condition(t, p, Regional{}, Known{Age, age, 0}).NewSampler(), 20_000, random(7))
			chosen := drawn(t, Selection{p, []Range{{Of(Age), age, age}}}.NewSampler(), 20_000, random(8))
			for _, m := range []Measurement{Stature, Mass, SittingHeight} {
				want, spread := stat.MeanStdDev(chosen.Value[m], nil)
				if got := stat.Mean(known.Value[m], nil); math.Abs(got-want) > 0.05*spread {
					t.Errorf("%s, %s at %g: mean %.4g, of those selected %.4g (standard deviation %.3g)", name, m, age, got, want, spread)
				}
			}
		}
	}
}
