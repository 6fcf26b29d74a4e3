package anthro

import (
	"math"
	"testing"

	"counterpoise/internal/golden"

	"gonum.org/v1/gonum/stat"
)

// The means of the refits of a survey vary as means of so many people do: by the
// standard deviation over the root of their number. 64 refits tell that to 9 %
// (one standard error), so that 30 % is met by nearly all of the 36 at once.
func TestRefitsVaryAsMeansDo(t *testing.T) {
	for _, name := range []string{"ansur2-men", "ansur2-women"} {
		p := population(t, name)
		var means [NumMeasurements][]float64
		for k := range p.Refits() {
			again := golden.Must(p.Refit(k))(t)
			for m := range NumMeasurements {
				mean, _ := meanAndSpread(again.Marginal(m))
				means[m] = append(means[m], mean)
			}
		}
		for m := range NumMeasurements {
			centre, spread := meanAndSpread(p.Marginal(m))
			got, want := stat.StdDev(means[m], nil), spread/math.Sqrt(float64(p.N))
			if !(math.Abs(got/want-1) <= 0.3) {
				t.Errorf("%s, %s: means vary by %.3g, want %.3g", name, m, got, want)
			}
			if d := stat.Mean(means[m], nil) - centre; !(math.Abs(d) <= 4*want/8) {
				t.Errorf("%s, %s: the refits' means lie %.3g from the fit's, more than 4 standard errors of theirs", name, m, d)
			}
		}
	}
}

// meanAndSpread integrates a marginal over the score by the trapezoidal rule.
func meanAndSpread(m *Marginal) (mean, spread float64) {
	var first, second, total float64
	middle := m.Value(0)
	for i := -800; i <= 800; i++ {
		z := float64(i) / 100
		p, v := math.Exp(-z*z/2), m.Value(z)-middle
		total, first, second = total+p, first+p*v, second+p*v*v
	}
	return middle + first/total, math.Sqrt(second/total - first/total*first/total)
}

func TestRefitOfOthers(t *testing.T) {
	p := population(t, "ansur2-women")
	weighted := golden.Must(Selection{Population: p}.Reweight([]Target{{Of: Of(Mass), Value: 60}}))(t)
	again := golden.Must(weighted.Refit(5))(t)
	people := drawn(t, again.NewSampler(), 20_000, random(61))
	// Two times the standard error of the 8,192 people behind the weights, and of these.
	if mean := stat.Mean(people.Value[Mass], nil); !(math.Abs(mean-60) <= 4*9*math.Sqrt(1./8192+1./20_000)) {
		t.Errorf("reweighted refit: mean mass %.3f kg, want 60", mean)
	}
	if _, err := p.Refit(p.Refits()); err == nil {
		t.Error("a refit beyond the last gave no error")
	}
	if _, err := p.Refit(-1); err == nil {
		t.Error("a refit before the first gave no error")
	}
	sample := golden.Must(NewSample(&Sample{Name: "club", Sex: "female", Survey: "ansur2-women", People: []map[string]float64{
		{"stature_m": 1.5}, {"stature_m": 1.6}, {"stature_m": 1.7}, {"stature_m": 1.8},
	}}))(t)
	seen := map[float64]bool{}
	for k := range sample.Refits() {
		again := golden.Must(sample.Refit(k))(t)
		var mean float64
		for _, row := range again.sample.rows {
			mean += row.at[Stature] / 4
		}
		seen[math.Round(1000*mean)] = true
	}
	if len(seen) < 5 {
		t.Errorf("refits of four people have only %d different means", len(seen))
	}
}
