package body

import (
	"math"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
)

// Against math.Exp, which is good to 1 unit in the last place; the table's entry
// has that error too, and the product and the series are rounded three times.
func TestExponential(t *testing.T) {
	for x := -1.3; x < 1.3; x += 1.37e-5 {
		if got, want := exponential(x), math.Exp(x); !(math.Abs(got-want) <= 5*0x1p-53*want) {
			t.Fatalf("exponential(%v) = %v, want %v", x, got, want)
		}
	}
	for _, x := range []float64{-1, 1, 710, -750, math.Inf(1), math.Inf(-1), 0, 1e-300} {
		if got, want := exponential(x), math.Exp(x); got != want {
			t.Errorf("exponential(%v) = %v, want %v", x, got, want)
		}
	}
	if got := exponential(math.NaN()); !math.IsNaN(got) {
		t.Errorf("exponential(NaN) = %v", got)
	}
}

// What a builder says it does not read may be anything.
func TestUnreadMeasurements(t *testing.T) {
	p := golden.Must(anthro.Load("ansur2-women"))(t)
	people := anthro.NewPeople(9)
	for m := range anthro.NumMeasurements {
		for i := range people.Value[m] {
			people.Value[m][i] = p.Marginal(m).Value(0.3*float64(i) - 1.1)
		}
	}
	a := assume.Defaults()
	for masses := range NumMasses {
		builder := golden.Must(NewBuilder(p, masses, DefaultSegments))(t)
		bodies, again := New(people.Rows()), New(people.Rows())
		builder.Build(bodies, people, &a)
		spoilt := people.Slice(0, people.Rows())
		for _, m := range builder.Unread() {
			spoilt.Value[m] = make([]float64, people.Rows())
			for i := range spoilt.Value[m] {
				spoilt.Value[m][i] = math.NaN()
			}
		}
		builder.Build(again, spoilt, &a)
		for k, column := range bodies.all() {
			for i, v := range *column {
				if got := (*again.all()[k])[i]; got != v {
					t.Fatalf("%s: column %d, row %d is %v, want %v", masses, k, i, got, v)
				}
			}
		}
	}
}
