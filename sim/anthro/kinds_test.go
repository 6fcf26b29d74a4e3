package anthro

import (
	"math"
	"testing"

	"counterpoise/internal/golden"

	"gonum.org/v1/gonum/stat"
)

var mixed = []string{"us-men", "us-women"}

// Of two kinds of people the scores have the distribution that is said of them, and
// correlate together as a population of one kind would.
func TestKindsAreMixed(t *testing.T) {
	const n = 200_000
	for _, name := range mixed {
		p := population(t, name)
		people := drawn(t, p.NewSampler(), n, random(13))
		var scores [NumMeasurements][]float64
		for m := range scores {
			for _, v := range people.Value[m] {
				scores[m] = append(scores[m], p.marginals[m].Score(v))
			}
			m := Measurement(m)
			for _, share := range []float64{0.01, 0.2, 0.5, 0.9, 0.99} {
				below, at := 0.0, p.kinds.Score(m, share)
				for _, z := range scores[m] {
					if z < at {
						below++
					}
				}
				if off := below/n - share; math.Abs(off) > 4.5*math.Sqrt(share*(1-share)/n) {
					t.Errorf("%s: of %s %.4f lie below the quantile of %g", name, m, below/n, share)
				}
				if got := p.ShareBelow(m, p.Quantile(m, share)); math.Abs(got-share) > 1e-9 {
					t.Errorf("%s: a share of %.10f lies below the quantile of %g of %s", name, got, share, m)
				}
			}
		}
		for i := range scores {
			for j := range i {
				r := p.correlation.At(i, j)
				if got := stat.Correlation(scores[i], scores[j], nil); math.Abs(got-r) > 5*(1-r*r)/math.Sqrt(n) {
					t.Errorf("%s: correlation of %s with %s is %.4f, want %.4f", name, Measurement(i), Measurement(j), got, r)
				}
			}
		}
	}
}

// What is left of two kinds of people once something is known is what those who are
// drawn and have it are like.
func TestConditionOfTwoKinds(t *testing.T) {
	for _, name := range mixed {
		p := population(t, name)
		for _, at := range [][2]float64{{0.4, 0.6}, {0.5, 0.5}, {0.6, 0.4}} {
			known := []Known{{Of: Stature, Value: p.Quantile(Stature, at[0])}, {Of: Span, Value: p.Quantile(Span, at[1])}}
			person := condition(t, p, Regional{}, known...)
			like := drawn(t, person.NewSampler(), 40_000, random(14))
			near := Selection{p, []Range{
				{Of(Stature), known[0].Value - 0.006, known[0].Value + 0.006}, {Of(Span), known[1].Value - 0.009, known[1].Value + 0.009},
			}}
			those := drawn(t, near.NewSampler(), 10_000, random(15))
			for _, m := range []Measurement{Mass, SittingHeight, ForearmLength, TrochanterionHeight} {
				want, spread := stat.MeanStdDev(those.Value[m], nil)
				got, gotSpread := stat.MeanStdDev(like.Value[m], nil)
				if math.Abs(got-want) > 0.06*spread || math.Abs(gotSpread/spread-1) > 0.05 {
					t.Errorf("%s at %v: %s has mean %.4g and deviation %.3g, those who are drawn %.4g and %.3g", name, at, m, got, gotSpread, want, spread)
				}
				for _, share := range []float64{0.1, 0.5, 0.9} {
					q := person.Quantile(m, share)
					if below := p.ShareBelow(m, q, known...); math.Abs(below-share) > 1e-9 {
						t.Errorf("%s: a share of %g of %s lies below the quantile of %g", name, below, m, share)
					}
				}
			}
		}
	}
}

// Long arms and a short trunk for the stature speak for the second kind.
func TestSpanTellsTheKinds(t *testing.T) {
	p := population(t, "us-men")
	stature := p.Quantile(Stature, 0.5)
	before := p.given([]Known{{Of: Stature, Value: stature}}).second
	after := p.given([]Known{{Of: Stature, Value: stature}, {Of: Span, Value: stature * 1.1}}).second
	if !(before < 0.2 && after > 0.6) {
		t.Errorf("the second kind is %.2f likely before and %.2f after a span of 1.1 statures", before, after)
	}
}

// What was not measured of people of one's own is drawn of two kinds as of one person.
func TestSampleOfTwoKinds(t *testing.T) {
	p := population(t, "us-women")
	known := []Known{{Of: Stature, Value: 1.66}, {Of: Span, Value: 1.72}, {Of: Age, Value: 41}}
	file := &Sample{Name: "club", Title: "club", Sex: Female.String(), Survey: p.Name}
	file.Add(known)
	file.Add(known)
	club := golden.Must(NewSample(file))(t)
	const n = 60_000
	got, want := drawn(t, club.NewSampler(), n, random(16)), drawn(t, condition(t, p, Regional{}, known...).NewSampler(), n, random(17))
	for m := range NumVariables {
		mean, spread := stat.MeanStdDev(want.Value[m], nil)
		gotMean, gotSpread := stat.MeanStdDev(got.Value[m], nil)
		if !(math.Abs(gotMean-mean) <= 6.5*spread/math.Sqrt(n)) || !(math.Abs(gotSpread-spread) <= 5*spread/math.Sqrt(n)) {
			t.Errorf("%s has mean %.5g and deviation %.4g, of a person %.5g and %.4g", m, gotMean, gotSpread, mean, spread)
		}
		if skew, should := stat.Skew(got.Value[m], nil), stat.Skew(want.Value[m], nil); spread > 0 && math.Abs(skew-should) > 0.06 {
			t.Errorf("%s has skewness %.3f, of a person %.3f", m, skew, should)
		}
	}
}
