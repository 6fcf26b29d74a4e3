package scores

import (
	"counterpoise/sim/assume"
)

// narrowSteps is in how many steps a range is narrowed.
const narrowSteps = 100

// Narrow finds the widest range of the assumption that an *ImpossibleError names
// with which all of the studies can be made ready, of a hundred that are ever
// narrower: cut from the side on which bodies fail, down to one value. The ends
// are rounded, and each range that is returned was tried. ok is false where
// none does, or the error names no assumption.
func Narrow(studies []Study, failed *ImpossibleError, rounded func(assume.ID, float64) float64) (of assume.ID, low, high float64, ok bool) {
	of, named := assume.Parse(failed.Assumption)
	if !named || len(studies) == 0 {
		return of, 0, 0, false
	}
	whole := studies[0].Assumed()
	from, to := whole.Low[of], whole.High[of]
	ends := func(step int) (low, high float64) {
		kept := (to - from) * float64(step) / narrowSteps
		if failed.Large {
			return from, rounded(of, from+kept)
		}
		return rounded(of, to-kept), to
	}
	works := func(step int) bool {
		low, high := ends(step)
		for _, s := range studies {
			s.Assumptions = s.Assumed()
			if s.Assumptions.Spread(of, low, high) != nil {
				return false
			}
			if _, err := New(s); err != nil {
				return false
			}
		}
		return true
	}
	if !works(0) {
		return of, 0, 0, false
	}
	step, beyond := 0, narrowSteps
	for beyond-step > 1 {
		if middle := (step + beyond) / 2; works(middle) {
			step = middle
		} else {
			beyond = middle
		}
	}
	low, high = ends(step)
	return of, low, high, true
}
