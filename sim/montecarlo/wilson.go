package montecarlo

import "counterpoise/sim/math"

// Wilson returns the score interval for a share, at the given confidence in
// (0, 1), after n independent trials of which some were successes: all shares p
// with (successes/n − p)² ≤ z²·p·(1−p)/n, z being the normal quantile (Wilson
// 1927, Journal of the American Statistical Association 22:209; method 3, without
// continuity correction, of Newcombe 1998, Statistics in Medicine 17:857).
//
// No trials say nothing: for n = 0 it is [0, 1]. Wilson panics if successes is
// not in [0, n] or confidence not in (0, 1).
func Wilson(successes, n int64, confidence float64) (low, high float64) {
	if successes < 0 || successes > n {
		panic("montecarlo: number of successes outside [0, n]")
	}
	if !(confidence > 0 && confidence < 1) {
		panic("montecarlo: confidence outside (0, 1)")
	}
	if n == 0 {
		return 0, 1
	}
	z := math.NormalQuantile((1 + confidence) / 2)
	return wilsonLow(successes, n, z), 1 - wilsonLow(n-successes, n, z)
}

// wilsonLow is the smaller root of the score equation. It comes from the
// product of the two roots, p̂²/(1+z²/n), as the difference in the textbook form
// loses all digits when successes are few.
func wilsonLow(successes, n int64, z float64) float64 {
	if successes == 0 {
		return 0
	}
	trials := float64(n)
	p := float64(successes) / trials
	h := z * z / (2 * trials)
	return p * p / (p + h + math.Sqrt(float64(2*h*p*(1-p))+float64(h*h)))
}
