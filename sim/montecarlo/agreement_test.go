package montecarlo

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// Clopper and Pearson's interval is where the binomial's tails are the half of what
// is left; summed here term by term. With all or none of n the limit is in closed
// form: 1 − tail^(1/n).
func TestClopperPearson(t *testing.T) {
	for _, c := range []struct{ k, n int }{{0, 17}, {1, 17}, {5, 17}, {16, 17}, {17, 17}, {240, 256}} {
		const confidence = 0.98
		low, high := clopperPearson(c.k, c.n, confidence)
		if c.k > 0 {
			// The chance of as many or more at the lower limit.
			tail := 0.0
			for k := c.k; k <= c.n; k++ {
				tail += distuv.Binomial{N: float64(c.n), P: low}.Prob(float64(k))
			}
			if math.Abs(tail-0.01) > 1e-9 {
				t.Errorf("%d of %d: %.10f above the lower limit, want 0.01", c.k, c.n, tail)
			}
		} else if low != 0 {
			t.Errorf("none of %d: low %g", c.n, low)
		}
		if c.k == 0 {
			if want := 1 - math.Pow(0.01, 1/float64(c.n)); math.Abs(high-want) > 1e-12 {
				t.Errorf("none of %d: high %.12f, want %.12f", c.n, high, want)
			}
		}
		mirrorLow, mirrorHigh := clopperPearson(c.n-c.k, c.n, confidence)
		if math.Abs(mirrorLow-(1-high)) > 1e-9 || math.Abs(mirrorHigh-(1-low)) > 1e-9 {
			t.Errorf("%d of %d: not the mirror of %d", c.k, c.n, c.n-c.k)
		}
	}
}

// Intervals hold the true share at least as often as they say, with draws that are
// independent and with draws that share their replicate's luck.
func TestAgreementCovers(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 9))
	for _, c := range []struct{ share, shared float64 }{
		{0.5, 0}, {0.95, 0}, {0.99, 0}, {0.95, 0.02}, {0.9, 0.05}, {0.97, 0.02},
	} {
		const replicates, draws, trials, confidence = 16, 32, 2000, 0.95
		held, width := 0, 0.0
		for range trials {
			var agreeing [replicates]int
			for r := range agreeing {
				// What a replicate shares moves its share up or down alike.
				p := c.share + c.shared*float64(2*random.IntN(2)-1)
				for range draws {
					if random.Float64() < p {
						agreeing[r]++
					}
				}
			}
			_, low, high := Agreement(agreeing[:], draws, confidence)
			if low <= c.share && c.share <= high {
				held++
			}
			width += (high - low) / trials
		}
		// Three standard errors of a count of 2,000.
		if least := confidence*trials - 3*math.Sqrt(trials*confidence*(1-confidence)); float64(held) < least {
			t.Errorf("share %g ± %g: %d of %d intervals hold it", c.share, c.shared, held, trials)
		}
		if width > 0.14 {
			t.Errorf("share %g: intervals are %.3f wide: they say nothing", c.share, width)
		}
	}
}

func TestAgreementRefuses(t *testing.T) {
	for name, f := range map[string]func(){
		"one replicate":  func() { Agreement([]int{3}, 4, 0.9) },
		"no draws":       func() { Agreement([]int{0, 0}, 0, 0.9) },
		"too many":       func() { Agreement([]int{3, 5}, 4, 0.9) },
		"negative":       func() { Agreement([]int{3, -1}, 4, 0.9) },
		"all confidence": func() { Agreement([]int{3, 1}, 4, 1) },
		"no confidence":  func() { Agreement([]int{3, 1}, 4, math.NaN()) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: no panic", name)
				}
			}()
			f()
		}()
	}
}
