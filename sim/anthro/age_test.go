package anthro

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat"
)

// Ages are whole years between those of the survey's youngest and oldest, and a
// condition on them keeps whole years: 30..39 are ten of them, and 13..16 four.
func TestAges(t *testing.T) {
	for _, name := range Surveys() {
		p := population(t, name)
		people := drawn(t, p.NewSampler(), 20_000, random(3))
		for i, age := range people.Value[Age] {
			if age != math.Floor(age) || age < p.ages.Low || age > p.ages.High {
				t.Fatalf("%s: person %d is %g years old", name, i, age)
			}
		}
		low, high := 30.0, 39.0
		if p.Young() {
			low, high = 13, 16
		}
		some := Selection{p, []Range{{Of(Age), low, high}}}
		seen := map[float64]int{}
		for _, age := range drawn(t, some.NewSampler(), 20_000, random(4)).Value[Age] {
			seen[age]++
		}
		if len(seen) != int(high-low)+1 || seen[low] < 1000 || seen[high] < 1000 {
			t.Errorf("%s: from %g to %g are people of %d ages: %v", name, low, high, len(seen), seen)
		}
	}
}

// Whoever asks for ages meets the same people as who does not.
func TestAgesChangeNobody(t *testing.T) {
	p := population(t, "ansur2-men")
	const rows = 3*batchRows + 1
	with, without := p.NewSampler(), p.NewSampler()
	without.LeaveOut(func(int) { t.Error("normals are passed over, but nothing else is left out") }, Age)
	a, b := drawn(t, with, rows, random(5)), drawn(t, without, rows, random(5))
	if slices.Equal(a.Value[Age], b.Value[Age]) {
		t.Error("ages left out are there")
	}
	b.Value[Age] = a.Value[Age]
	samePeople(t, "all but the age", a, b)
}

// The normals of the ages are those of no other column: a hundred thousand leave a
// correlation a standard error of 0.003.
func TestAgesHaveNormalsOfTheirOwn(t *testing.T) {
	p := population(t, "ansur2-women")
	s := p.NewSampler()
	source := random(6)
	var columns [NumVariables + 1][]float64
	var residual []float64
	people := NewPeople(batchRows)
	for range 800 {
		s.draw(people.Value, people.Residual, 0, batchRows, func(dst []float64) {
			source(dst)
			for m := range NumMeasurements {
				at := place(int(m)) * batchRows
				columns[m] = append(columns[m], dst[at:at+batchRows]...)
			}
		})
		for i := range people.Rows() {
			// What age's score has over what the others explain, up to rounding to years.
			score := p.marginals[Age].Score(people.Value[Age][i] + 0.5)
			for m := range Age {
				score -= p.factor[Age][m] * columns[m][len(columns[m])-batchRows+i]
			}
			residual = append(residual, score)
		}
	}
	for m := range NumMeasurements {
		if r := stat.Correlation(residual, columns[m], nil); math.Abs(r) > 0.0125 {
			t.Errorf("age's own normals have a correlation of %.4f with those of %s", r, m)
		}
	}
}

// A person of a known age is like others of that age.
func TestConditionOnAge(t *testing.T) {
	p := population(t, "ansur2-men")
	for _, age := range []float64{20, 45} {
		person := condition(t, p, Regional{}, Known{Age, age, 0})
		known := drawn(t, person.NewSampler(), 40_000, random(7))
		if slices.Min(known.Value[Age]) != age || slices.Max(known.Value[Age]) != age {
			t.Errorf("people of %g are %g to %g years old", age, slices.Min(known.Value[Age]), slices.Max(known.Value[Age]))
		}
		chosen := drawn(t, Selection{p, []Range{{Of(Age), age, age}}}.NewSampler(), 40_000, random(8))
		for _, m := range []Measurement{Stature, Mass, WaistCircumference} {
			want, spread := stat.MeanStdDev(chosen.Value[m], nil)
			if got := stat.Mean(known.Value[m], nil); math.Abs(got-want) > 0.03*spread {
				t.Errorf("%s of people of %g: mean %.4g, of those selected %.4g (standard deviation %.3g)", m, age, got, want, spread)
			}
		}
	}
}
