package body

import "counterpoise/sim/math"

// The exponentials of the multiples of 1/64 from −1 to 1.
const (
	powersPerUnit = 64
	manyPowers    = 2*powersPerUnit + 1
)

var powers = func() (p [manyPowers]float64) {
	for k := range p {
		p[k] = math.Exp(float64(k-powersPerUnit) / powersPerUnit)
	}
	return
}()

// exponential is math.Exp to rounding, in a third of the time where x is from −1
// to 1, as the logarithms of tilts are: the nearest power of the table, times the
// series for the rest, whose next term is below 10⁻¹⁸.
func exponential(x float64) float64 {
	// Rounding towards zero is rounding to the nearest after half a step is added.
	k := int(float64(x*powersPerUnit) + (powersPerUnit + 0.5))
	if !(x > -1 && x < 1) || uint(k) >= manyPowers {
		return math.Exp(x)
	}
	r := x - float64(float64(k-powersPerUnit)*(1.0/powersPerUnit))
	return powers[k] * (1 + float64(r*(1+float64(r*(1./2+float64(r*(1./6+float64(r*(1./24+float64(r*(1./120+float64(r*(1./720)))))))))))))
}
