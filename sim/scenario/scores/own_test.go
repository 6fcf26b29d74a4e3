package scores

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"counterpoise/sim/anthro"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/scenario"
)

// sampled makes people of one's own out of drawn soldiers, of whom some things were
// measured.
func sampled(t *testing.T, people int, of ...anthro.Measurement) *anthro.Population {
	t.Helper()
	survey, err := anthro.Load("ansur2-women")
	if err != nil {
		t.Fatal(err)
	}
	drawn := anthro.NewPeople(people)
	if err := survey.NewSampler().Draw(drawn, montecarlo.NewStream(7, "sampled").Normals); err != nil {
		t.Fatal(err)
	}
	s := &anthro.Sample{Name: "club", Title: "a club", Sex: "female", Survey: survey.Name}
	for i := range people {
		var known []anthro.Known
		for _, m := range of {
			known = append(known, anthro.Known{Of: m, Value: drawn.Value[m][i]})
		}
		s.Add(known)
	}
	p, err := anthro.NewSample(s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// People of one's own are described so that means and spreads of their scores, and of
// what the hold asks, are those of the people themselves.
func TestPeopleOfOnesOwnAreDescribed(t *testing.T) {
	for _, c := range []struct {
		people int
		of     []anthro.Measurement
	}{
		{8, []anthro.Measurement{anthro.Stature, anthro.Mass}},
		{20, []anthro.Measurement{anthro.Stature, anthro.Mass, anthro.Span, anthro.SittingHeight}},
		{400, []anthro.Measurement{anthro.Stature, anthro.Mass, anthro.Span, anthro.SittingHeight, anthro.WaistCircumference}},
	} {
		t.Run(fmt.Sprint(c.people), func(t *testing.T) {
			population := sampled(t, c.people, c.of...)
			s := study(t, hold.HumanFlag, hold.RequiredForce, "ansur2-women", hold.TwoCondition)
			s.People = []scenario.Group{scenario.GroupOf(population)}
			f, err := New(s)
			if err != nil {
				t.Fatal(err)
			}
			const n = 1 << 15
			themselves, described := anthro.NewPeople(n), anthro.NewPeople(n)
			if err := population.NewSampler().Draw(themselves, montecarlo.NewStream(1, "a").Normals); err != nil {
				t.Fatal(err)
			}
			if err := f.population.NewSampler().Draw(described, montecarlo.NewStream(1, "b").Normals); err != nil {
				t.Fatal(err)
			}
			middle := f.MedianPerson()
			for m := range anthro.NumMeasurements {
				if want := population.Quantile(m, 0.5); middle.Value[m][0] != want {
					t.Errorf("the median body's %s is %v, that of the people %v", m, middle.Value[m][0], want)
				}
			}
			e := f.newEvaluator()
			force := func(people *anthro.People) (mean, deviation float64) {
				y, err := e.crowd(nil, people, &s.Assumptions.Centre)
				if err != nil {
					t.Fatal(err)
				}
				return stat.MeanStdDev(y, nil)
			}
			a, sa := force(themselves)
			b, sb := force(described)
			t.Logf("%d people: force %.4f (%.4f), as described %.4f (%.4f)", c.people, a, sa, b, sb)
			if !(math.Abs(a-b) <= 0.05*sa) || !(math.Abs(sb/sa-1) <= 0.05) {
				t.Errorf("the force is %.4f (%.4f) of the people and %.4f (%.4f) as described", a, sa, b, sb)
			}
			for m := range anthro.NumMeasurements {
				marginal := population.Survey().Marginal(m)
				for _, column := range [][]float64{themselves.Value[m], described.Value[m]} {
					for i, v := range column {
						column[i] = marginal.Score(v)
					}
				}
				a, sa := stat.MeanStdDev(themselves.Value[m], nil)
				b, sb := stat.MeanStdDev(described.Value[m], nil)
				if !(math.Abs(a-b) <= 0.03) || !(math.Abs(sb/sa-1) <= 0.03) {
					t.Errorf("the score of %s is %.4f (%.4f) of the people and %.4f (%.4f) as described", m, a, sa, b, sb)
				}
			}
			split, err := f.Split(context.Background(), SplitOptions{Draws: 64, Bodies: 4096})
			if err != nil {
				t.Fatal(err)
			}
			if got := split.Quantiles[1].AtCentre; !(math.Abs(got-a) <= sa) {
				t.Errorf("the median is %.4f, the mean %.4f", got, a)
			}
		})
	}
}

// People of one's own so few that what was measured of them follows from one
// another are refused; the surveys are far from it.
func TestTooFewPeopleOfOnesOwn(t *testing.T) {
	s := study(t, hold.HumanFlag, hold.RequiredForce, "ansur2-women", hold.TwoCondition)
	all := make([]anthro.Measurement, 0, anthro.NumMeasurements)
	for m := range anthro.NumMeasurements {
		all = append(all, m)
	}
	for _, population := range []*anthro.Population{sampled(t, 2, anthro.Stature, anthro.Mass), sampled(t, 10, all...)} {
		s.People = []scenario.Group{scenario.GroupOf(population)}
		var field *fault.Error
		if _, err := New(s); !errors.As(err, &field) || field.Field != "people" || !strings.Contains(err.Error(), fmt.Sprintf("the %d people of club are too few", population.N)) {
			t.Errorf("%d people: %v", population.N, err)
		}
	}
	for _, name := range anthro.Names() {
		p, err := anthro.Load(name)
		if err != nil {
			t.Fatal(err)
		}
		var cholesky mat.Cholesky
		if !cholesky.Factorize(p.Correlation()) || cholesky.Cond() > mostSingular/1e3 {
			t.Errorf("the condition number of %s is %.3g", name, cholesky.Cond())
		}
	}
}
