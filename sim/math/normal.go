// Copyright 2009-2017 The Go Authors. All rights reserved.
// Use of this source code is governed by a BSD-style
// licence that can be found in the LICENSE file.

package math

// Coefficients of FreeBSD's s_erf.c.
const (
	erx = 8.45062911510467529297e-01
	// Coefficients for approximation to  erf in [0, 0.84375]
	pp0 = 1.28379167095512558561e-01
	pp1 = -3.25042107247001499370e-01
	pp2 = -2.84817495755985104766e-02
	pp3 = -5.77027029648944159157e-03
	pp4 = -2.37630166566501626084e-05
	qq1 = 3.97917223959155352819e-01
	qq2 = 6.50222499887672944485e-02
	qq3 = 5.08130628187576562776e-03
	qq4 = 1.32494738004321644526e-04
	qq5 = -3.96022827877536812320e-06
	// Coefficients for approximation to  erf  in [0.84375, 1.25]
	pa0 = -2.36211856075265944077e-03
	pa1 = 4.14856118683748331666e-01
	pa2 = -3.72207876035701323847e-01
	pa3 = 3.18346619901161753674e-01
	pa4 = -1.10894694282396677476e-01
	pa5 = 3.54783043256182359371e-02
	pa6 = -2.16637559486879084300e-03
	qa1 = 1.06420880400844228286e-01
	qa2 = 5.40397917702171048937e-01
	qa3 = 7.18286544141962662868e-02
	qa4 = 1.26171219808761642112e-01
	qa5 = 1.36370839120290507362e-02
	qa6 = 1.19844998467991074170e-02
	// Coefficients for approximation to  erfc in [1.25, 1/0.35]
	ra0 = -9.86494403484714822705e-03
	ra1 = -6.93858572707181764372e-01
	ra2 = -1.05586262253232909814e+01
	ra3 = -6.23753324503260060396e+01
	ra4 = -1.62396669462573470355e+02
	ra5 = -1.84605092906711035994e+02
	ra6 = -8.12874355063065934246e+01
	ra7 = -9.81432934416914548592e+00
	sa1 = 1.96512716674392571292e+01
	sa2 = 1.37657754143519042600e+02
	sa3 = 4.34565877475229228821e+02
	sa4 = 6.45387271733267880336e+02
	sa5 = 4.29008140027567833386e+02
	sa6 = 1.08635005541779435134e+02
	sa7 = 6.57024977031928170135e+00
	sa8 = -6.04244152148580987438e-02
	// Coefficients for approximation to  erfc in [1/.35, 28]
	rb0 = -9.86494292470009928597e-03
	rb1 = -7.99283237680523006574e-01
	rb2 = -1.77579549177547519889e+01
	rb3 = -1.60636384855821916062e+02
	rb4 = -6.37566443368389627722e+02
	rb5 = -1.02509513161107724954e+03
	rb6 = -4.83519191608651397019e+02
	sb1 = 3.03380607434824582924e+01
	sb2 = 3.25792512996573918826e+02
	sb3 = 1.53672958608443695994e+03
	sb4 = 3.19985821950859553908e+03
	sb5 = 2.55305040643316442583e+03
	sb6 = 4.74528541206955367215e+02
	sb7 = -2.24409524465858183362e+01
)

// Erfc is the complementary error function of x.
func Erfc(x float64) float64 {
	const Tiny = 1.0 / (1 << 56) // 2**-56
	// special cases
	switch {
	case IsNaN(x):
		return NaN()
	case IsInf(x, 1):
		return 0
	case IsInf(x, -1):
		return 2
	}
	sign := false
	if x < 0 {
		x = -x
		sign = true
	}
	if x < 0.84375 { // |x| < 0.84375
		var temp float64
		if x < Tiny { // |x| < 2**-56
			temp = x
		} else {
			z := x * x
			r := pp0 + float64(z*(pp1+float64(z*(pp2+float64(z*(pp3+float64(z*pp4)))))))
			s := 1 + float64(z*(qq1+float64(z*(qq2+float64(z*(qq3+float64(z*(qq4+float64(z*qq5)))))))))
			y := r / s
			if x < 0.25 { // |x| < 1/4
				temp = x + float64(x*y)
			} else {
				temp = 0.5 + (float64(x*y) + (x - 0.5))
			}
		}
		if sign {
			return 1 + temp
		}
		return 1 - temp
	}
	if x < 1.25 { // 0.84375 <= |x| < 1.25
		s := x - 1
		P := pa0 + float64(s*(pa1+float64(s*(pa2+float64(s*(pa3+float64(s*(pa4+float64(s*(pa5+float64(s*pa6)))))))))))
		Q := 1 + float64(s*(qa1+float64(s*(qa2+float64(s*(qa3+float64(s*(qa4+float64(s*(qa5+float64(s*qa6)))))))))))
		if sign {
			return 1 + erx + P/Q
		}
		return 1 - erx - P/Q

	}
	if x < 28 { // |x| < 28
		s := 1 / (x * x)
		var R, S float64
		if x < 1/0.35 { // |x| < 1 / 0.35 ~ 2.857143
			R = ra0 + float64(s*(ra1+float64(s*(ra2+float64(s*(ra3+float64(s*(ra4+float64(s*(ra5+float64(s*(ra6+float64(s*ra7)))))))))))))
			S = 1 + float64(s*(sa1+float64(s*(sa2+float64(s*(sa3+float64(s*(sa4+float64(s*(sa5+float64(s*(sa6+float64(s*(sa7+float64(s*sa8)))))))))))))))
		} else { // |x| >= 1 / 0.35 ~ 2.857143
			if sign && x > 6 {
				return 2 // x < -6
			}
			R = rb0 + float64(s*(rb1+float64(s*(rb2+float64(s*(rb3+float64(s*(rb4+float64(s*(rb5+float64(s*rb6)))))))))))
			S = 1 + float64(s*(sb1+float64(s*(sb2+float64(s*(sb3+float64(s*(sb4+float64(s*(sb5+float64(s*(sb6+float64(s*sb7)))))))))))))
		}
		z := Float64frombits(Float64bits(x) & 0xffffffff00000000) // pseudo-single (20-bit) precision x
		r := Exp(float64(-z*z)-0.5625) * Exp(float64((z-x)*(z+x))+R/S)
		if sign {
			return 2 - r/x
		}
		return r / x
	}
	if sign {
		return 2
	}
	return 0
}

// NormalShare is the share of a standard normal distribution below x.
func NormalShare(x float64) float64 { return float64(0.5 * Erfc(-x/Sqrt2)) }

// NormalDensity is the density of a standard normal distribution at x.
func NormalDensity(x float64) float64 { return Exp(-0.5*x*x) / sqrt2Pi }

const sqrt2Pi = 2.50662827463100050241576528481104525300698674060993831663

// polynomials are a numerator and a denominator, the highest power first.
type polynomials [2][8]float64

// Algorithm AS 241 (Wichura 1988): in the middle, in the tails and far out.
var (
	middle = polynomials{
		{2509.0809287301226727, 33430.575583588128105, 67265.770927008700853, 45921.953931549871457,
			13731.693765509461125, 1971.5909503065514427, 133.14166789178437745, 3.387132872796366608},
		{5226.495278852854561, 28729.085735721942674, 39307.89580009271061, 21213.794301586595867,
			5394.1960214247511077, 687.1870074920579083, 42.313330701600911252, 1},
	}
	tail = polynomials{
		{7.7454501427834140764e-4, 0.0227238449892691845833, 0.24178072517745061177, 1.27045825245236838258,
			3.64784832476320460504, 5.7694972214606914055, 4.6303378461565452959, 1.42343711074968357734},
		{1.05075007164441684324e-9, 5.475938084995344946e-4, 0.0151986665636164571966, 0.14810397642748007459,
			0.68976733498510000455, 1.6763848301838038494, 2.05319162663775882187, 1},
	}
	farOut = polynomials{
		{2.01033439929228813265e-7, 2.71155556874348757815e-5, 0.0012426609473880784386, 0.026532189526576123093,
			0.29656057182850489123, 1.7848265399172913358, 5.4637849111641143699, 6.6579046435011037772},
		{2.04426310338993978564e-15, 1.4215117583164458887e-7, 1.8463183175100546818e-5, 7.868691311456132591e-4,
			0.0148753612908506148525, 0.13692988092273580531, 0.59983220655588793769, 1},
	}
)

func (p *polynomials) at(z float64) (numerator, denominator float64) {
	for k := range p[0] {
		numerator = float64(numerator*z) + p[0][k]
		denominator = float64(denominator*z) + p[1][k]
	}
	return numerator, denominator
}

// NormalQuantile is the value below which a share of a standard normal distribution lies.
func NormalQuantile(share float64) float64 {
	switch {
	case !(share >= 0 && share <= 1):
		return NaN()
	case share == 0:
		return Inf(-1)
	case share == 1:
		return Inf(1)
	}
	x := share - 0.5
	if Abs(x) <= 0.425 {
		above, below := middle.at(0.180625 - float64(x*x))
		return x * above / below
	}
	r := Sqrt(-Log(min(share, 1-share)))
	above, below := tail.at(r - 1.6)
	if r > 5 {
		above, below = farOut.at(r - 5)
	}
	return Copysign(above/below, x)
}
