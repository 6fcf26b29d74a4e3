package math

// ChiSquaredAbove is the share of a chi-squared distribution, of so many degrees of freedom, above
// x, by the finite sums for whole degrees.
func ChiSquaredAbove(x float64, freedom int) float64 {
	if x <= 0 {
		return 1
	}
	half := x / 2
	sum, term, at := 0.0, Exp(-half), 1.0
	if freedom%2 == 1 {
		root := Sqrt(half)
		sum, term, at = Erfc(root), term*root*(2/sqrtPi), 1.5
	}
	for range freedom / 2 {
		sum += term
		term *= half / at
		at++
	}
	return min(sum, 1)
}

const sqrtPi = 1.77245385090551602729816748334114518279754945612238712821

// StudentQuantile is the value below which a share of Student's distribution, of so many
// degrees of freedom, lies.
func StudentQuantile(share, freedom float64) float64 {
	// t² / (freedom + t²) has a beta distribution.
	x := BetaQuantile(Abs(float64(2*share)-1), 0.5, freedom/2)
	return Copysign(Sqrt(freedom*x/(1-x)), share-0.5)
}

// BetaQuantile is the value below which a share of a beta distribution lies.
func BetaQuantile(share, alpha, beta float64) float64 {
	if !(share >= 0 && share <= 1 && alpha > 0 && beta > 0) {
		return NaN()
	}
	low, high := 0.0, 1.0
	for {
		// Of two numbers with another between them, the bits of their middle are the middle of
		// their bits: so many halvings reach what is small.
		middle := Float64frombits((Float64bits(low) + Float64bits(high)) / 2)
		if low > 0x1p-20 || low == 0 && high > 0x1p-20 {
			middle = (low + high) / 2
		}
		if middle <= low || middle >= high {
			return high
		}
		if BetaShare(middle, alpha, beta) < share {
			low = middle
		} else {
			high = middle
		}
	}
}

// BetaShare is the share of a beta distribution below x, the regularised incomplete beta
// function, by its continued fraction (DLMF 8.17.22), which Lentz's method evaluates.
func BetaShare(x, alpha, beta float64) float64 {
	switch {
	case !(x > 0):
		return 0
	case x >= 1:
		return 1
	case x > (alpha+1)/(alpha+beta+2): // where the fraction converges slowly
		return 1 - BetaShare(1-x, beta, alpha)
	}
	front := Exp(float64(alpha*Log(x)) + float64(beta*log1m(x)) + logGamma(alpha+beta) - logGamma(alpha) - logGamma(beta))
	const least = 1e-300
	apart := func(v float64) float64 {
		if Abs(v) < least {
			return least
		}
		return v
	}
	c, d := 1.0, 1/apart(1-(alpha+beta)*x/(alpha+1))
	fraction := d
	for m := 1.0; m < 10000; m++ {
		even := m * (beta - m) * x / ((alpha + float64(2*m) - 1) * (alpha + float64(2*m)))
		odd := -(alpha + m) * (alpha + beta + m) * x / ((alpha + float64(2*m)) * (alpha + float64(2*m) + 1))
		before := fraction
		for _, term := range [...]float64{even, odd} {
			d, c = 1/apart(1+float64(term*d)), apart(1+term/c)
			fraction *= c * d
		}
		if Abs(fraction-before) <= 1e-16*Abs(fraction) {
			break
		}
	}
	return front * fraction / alpha
}

// log1m is the logarithm of 1 − x, to the last digits also where x is small.
func log1m(x float64) float64 {
	rest := 1 - x
	return Log(rest) + ((1-rest)-x)/rest
}

// logGamma is the logarithm of the gamma function of x > 0: Stirling's series (DLMF 5.11.1) from 10
// on, to which the recurrence leads.
func logGamma(x float64) float64 {
	product := 1.0
	for ; x < 10; x++ {
		product *= x
	}
	s := 1 / (x * x)
	series := (1./12 - float64(s*(1./360-float64(s*(1./1260-float64(s*(1./1680-float64(s*(1./1188-float64(s*(691./360360-float64(s*(1./156))))))))))))) / x
	return float64((x-0.5)*Log(x)) - x + 0.91893853320467274178032973640561763986 + series - Log(product)
}
