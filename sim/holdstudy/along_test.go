package holdstudy

import (
	"math"
	"testing"

	"counterpoise/sim/body"
	"counterpoise/sim/hold"
)

// Along arm length in a front lever: the shoulders bear more in people of longer
// arms, who are taller, and not a bit more with longer arms alone.
func TestAlongTellsPeopleFromCause(t *testing.T) {
	f := function(t, study(t, hold.FrontLever, hold.ShoulderMoment, "ansur2-men", hold.Equilibrium))
	trait, err := body.ParseQuantity("arm_length")
	if err != nil {
		t.Fatal(err)
	}
	c, err := f.Along(trait, 20_000, 4)
	if err != nil {
		t.Fatal(err)
	}
	last := len(c.X) - 1
	if rise := c.Mean[last] - c.Mean[0]; rise < 10*c.StandardError[0] {
		t.Errorf("people of longer arms bear %v more, want more than chance", rise)
	}
	for k, y := range c.Alone {
		if y != c.Alone[0] {
			t.Errorf("with arms of %v m alone changed %v, want %v", c.X[k], y, c.Alone[0])
		}
	}
	if c.Alone[0] != f.Median() {
		t.Errorf("the median body bears %v, want %v", c.Alone[0], f.Median())
	}
	for k := range c.X {
		if !(c.Low[k] < c.Mean[k] && c.Mean[k] < c.High[k]) || k > 0 && c.X[k] <= c.X[k-1] {
			t.Errorf("group %d is out of order", k)
		}
	}
}

// Along what the demand is a function of, the band has no width beyond a group's.
func TestAlongItself(t *testing.T) {
	f := function(t, study(t, hold.IronCross, hold.HandSpacing, "ansur2-women", hold.Equilibrium))
	wide, err := f.Along(traitOf(t, "foot_length"), 20_000, 4)
	if err != nil {
		t.Fatal(err)
	}
	narrow, err := f.Along(traitOf(t, "span"), 20_000, 4)
	if err != nil {
		t.Fatal(err)
	}
	k := len(wide.X) / 2
	if a, b := narrow.High[k]-narrow.Low[k], wide.High[k]-wide.Low[k]; !(a < b) {
		t.Errorf("band %v along span, %v along foot length; want the first narrower", a, b)
	}
	// All groups together are everybody.
	var a, b float64
	for k := range wide.Mean {
		a, b = a+wide.Mean[k], b+narrow.Mean[k]
	}
	if math.Abs(a-b) > 1e-3*a {
		t.Errorf("means over everybody %v and %v", a, b)
	}
}

func traitOf(t *testing.T, name string) body.Quantity {
	t.Helper()
	trait, err := body.ParseQuantity(name)
	if err != nil {
		t.Fatal(err)
	}
	return trait
}
