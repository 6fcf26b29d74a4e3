package montecarlo

import (
	"counterpoise/sim/linear"
	"counterpoise/sim/math"
)

// Agreement returns the share of draws that agree and an interval around it, from
// independent replicates of one size: agreeing[r] of the draws of replicate r do.
// The draws within a replicate need not be independent, as those of a scrambled
// sequence over the same bodies are not; replicates must be.
//
// The interval is the wider, on either side, of two at the given confidence: of
// Student's, from how the replicates differ, and of Clopper and Pearson 1934
// (Biometrika 26:404), as if all draws were independent. The first alone would have
// no width where all replicates agree by chance, the second none for what the draws
// of a replicate share.
//
// It panics on fewer than two replicates, on counts outside 0..draws and on a
// confidence outside (0, 1).
func Agreement(agreeing []int, draws int, confidence float64) (share, low, high float64) {
	if len(agreeing) < 2 || draws < 1 {
		panic("montecarlo: an agreement needs two replicates with draws")
	}
	if !(confidence > 0 && confidence < 1) {
		panic("montecarlo: confidence outside (0, 1)")
	}
	shares := make([]float64, len(agreeing))
	total := 0
	for r, k := range agreeing {
		if k < 0 || k > draws {
			panic("montecarlo: number of agreeing draws outside the draws")
		}
		shares[r] = float64(k) / float64(draws)
		total += k
	}
	n := len(agreeing) * draws
	share = float64(total) / float64(n)
	replicates := float64(len(agreeing))
	t := math.StudentQuantile((1+confidence)/2, replicates-1)
	half := t * linear.StdDev(shares) / math.Sqrt(replicates)
	low, high = clopperPearson(total, n, confidence)
	return share, max(0, min(low, share-half)), min(1, max(high, share+half))
}

// clopperPearson returns the interval of shares that so many successes of n
// independent trials do not contradict at either side's half of 1 − confidence.
func clopperPearson(successes, n int, confidence float64) (low, high float64) {
	tail := float64((1 - confidence) / 2)
	k, m := float64(successes), float64(n)
	low, high = 0, 1
	if successes > 0 {
		low = math.BetaQuantile(tail, k, m-k+1)
	}
	if successes < n {
		high = math.BetaQuantile(1-tail, k+1, m-k)
	}
	return low, high
}
