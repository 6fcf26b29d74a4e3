// Copyright 2009-2017 The Go Authors. All rights reserved.
// Use of this source code is governed by a BSD-style
// licence that can be found in the LICENSE file.

package math

// The sine and cosine are those of Cephes.

// Sin is the sine of x radians.
func Sin(x float64) float64 {
	if x == 0 {
		return x // ±0
	}
	j, z := octant(Abs(x))
	y := 0.0
	if j&3 == 1 || j&3 == 2 {
		y = cosine(z)
	} else {
		y = sine(z)
	}
	if j > 3 != (x < 0) {
		return -y
	}
	return y
}

// Cos is the cosine of x radians.
func Cos(x float64) float64 {
	j, z := octant(Abs(x))
	y := 0.0
	if j&3 == 1 || j&3 == 2 {
		y = sine(z)
	} else {
		y = cosine(z)
	}
	if j > 3 != (j&3 > 1) {
		return -y
	}
	return y
}

// Sincos is [Sin] and [Cos] of x at once.
func Sincos(x float64) (sin, cos float64) {
	if x == 0 {
		return x, 1 // ±0
	}
	j, z := octant(Abs(x))
	sin, cos = sine(z), cosine(z)
	if j&3 == 1 || j&3 == 2 {
		sin, cos = cos, sin
	}
	if j > 3 != (j&3 > 1) {
		cos = -cos
	}
	if j > 3 != (x < 0) {
		sin = -sin
	}
	return sin, cos
}

// largestAngle is where the reduction to an octant ceases to be exact.
const largestAngle = 1 << 29

// octant is the octant of an angle of at least 0, modulo a full turn, made even, and what is
// left of the angle, from −π/4 to π/4.
func octant(x float64) (j uint64, z float64) {
	// π/4 in three parts.
	const (
		PI4A = 7.85398125648498535156e-1
		PI4B = 3.77489470793079817668e-8
		PI4C = 2.69515142907905952645e-15
	)
	if !(x < largestAngle) {
		if x = Remainder(x, 2*Pi); x < 0 { // of which no more than the order of magnitude is right; NaN stays NaN
			x += 2 * Pi
		}
		if IsNaN(x) {
			return 0, x
		}
	}
	j = uint64(x * (4 / Pi))
	y := float64(j)
	if j&1 == 1 {
		j++
		y++
	}
	return j & 7, ((x - float64(y*PI4A)) - float64(y*PI4B)) - float64(y*PI4C)
}

// sine and cosine are those of an angle from −π/4 to π/4.

func sine(z float64) float64 {
	zz := z * z
	return z + float64(z*zz*(float64((float64((float64((float64((float64(1.58962301576546568060e-10*zz)+-2.50507477628578072866e-8)*zz)+2.75573136213857245213e-6)*zz)+
		-1.98412698295895385996e-4)*zz)+8.33333333332211858878e-3)*zz)+-1.66666666666666307295e-1))
}

func cosine(z float64) float64 {
	zz := z * z
	return 1.0 - float64(0.5*zz) + float64(zz*zz*(float64((float64((float64((float64((float64(-1.13585365213876817300e-11*zz)+2.08757008419747316778e-9)*zz)+-2.75573141792967388112e-7)*zz)+
		2.48015872888517045348e-5)*zz)+-1.38888888888730564116e-3)*zz)+4.16666666666665929218e-2))
}

// Atan is the arc tangent of x, in radians, as in Cephes.
func Atan(x float64) float64 {
	if x == 0 {
		return x
	}
	if x > 0 {
		return satan(x)
	}
	return -satan(-x)
}

// satan is [Atan] of x of at least 0.
func satan(x float64) float64 {
	const (
		Morebits = 6.123233995736765886130e-17 // pi/2 = PIO2 + Morebits
		Tan3pio8 = 2.41421356237309504880      // tan(3*pi/8)
	)
	if x <= 0.66 {
		return xatan(x)
	}
	if x > Tan3pio8 {
		return Pi/2 - xatan(1/x) + Morebits
	}
	return Pi/4 + xatan((x-1)/(x+1)) + 0.5*Morebits
}

// xatan is [Atan] of x from 0 to 0.66.
func xatan(x float64) float64 {
	const (
		P0 = -8.750608600031904122785e-01
		P1 = -1.615753718733365076637e+01
		P2 = -7.500855792314704667340e+01
		P3 = -1.228866684490136173410e+02
		P4 = -6.485021904942025371773e+01
		Q0 = +2.485846490142306297962e+01
		Q1 = +1.650270098316988542046e+02
		Q2 = +4.328810604912902668951e+02
		Q3 = +4.853903996359136964868e+02
		Q4 = +1.945506571482613964425e+02
	)
	z := float64(x * x)
	z = z * (float64((float64((float64((float64(P0*z)+P1)*z)+P2)*z)+P3)*z) + P4) / (float64((float64((float64((float64((z+Q0)*z)+Q1)*z)+Q2)*z)+Q3)*z) + Q4)
	z = float64(x*z) + x
	return z
}

// Atan2 is the angle of the point (x, y), in radians.
func Atan2(y, x float64) float64 {
	// special cases
	switch {
	case IsNaN(y) || IsNaN(x):
		return NaN()
	case y == 0:
		if x >= 0 && !Signbit(x) {
			return Copysign(0, y)
		}
		return Copysign(Pi, y)
	case x == 0:
		return Copysign(Pi/2, y)
	case IsInf(x, 0):
		if IsInf(x, 1) {
			switch {
			case IsInf(y, 0):
				return Copysign(Pi/4, y)
			default:
				return Copysign(0, y)
			}
		}
		switch {
		case IsInf(y, 0):
			return Copysign(3*Pi/4, y)
		default:
			return Copysign(Pi, y)
		}
	case IsInf(y, 0):
		return Copysign(Pi/2, y)
	}

	// Call atan and determine the quadrant.
	q := Atan(y / x)
	if x < 0 {
		if q <= 0 {
			return q + Pi
		}
		return q - Pi
	}
	return q
}

// Asin is the arc sine of x, in radians.
func Asin(x float64) float64 {
	if x == 0 {
		return x // special case
	}
	sign := false
	if x < 0 {
		x = -x
		sign = true
	}
	if x > 1 {
		return NaN() // special case
	}

	temp := Sqrt(1 - float64(x*x))
	if x > 0.7 {
		temp = Pi/2 - satan(temp/x)
	} else {
		temp = satan(x / temp)
	}

	if sign {
		temp = -temp
	}
	return temp
}

// Acos is the arc cosine of x, in radians.
func Acos(x float64) float64 { return Pi/2 - Asin(x) }
