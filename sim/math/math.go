// Package math is what the simulation uses of the standard library's package of that name, and
// some of statistics, with the same bits on every processor.
//
// The standard library leaves the compiler free to fuse x*y + z into one operation of one
// rounding, which it does on arm64 and newer amd64, and has an Exp, a Log and a Hypot of
// their own for some processors. Here every product that is added to is rounded first, by
// float64(x*y), and the algorithms are the same everywhere: those of the standard library,
// from FreeBSD's msun and Cephes, whose licences are in the file LICENSE beside this one.
//
// What needs no more than a rounding, or none, is the standard library's.
package math

import "math"

// Constants of the standard library.
const (
	Pi         = math.Pi
	Sqrt2      = math.Sqrt2
	Ln2        = math.Ln2
	MaxFloat64 = math.MaxFloat64
	MaxInt     = math.MaxInt
	MinInt     = math.MinInt
	MaxInt64   = math.MaxInt64
)

// Abs is the magnitude of x.
func Abs(x float64) float64 { return math.Abs(x) }

// Sqrt is the square root of x.
func Sqrt(x float64) float64 { return math.Sqrt(x) }

// Floor is the greatest whole number not above x.
func Floor(x float64) float64 { return math.Floor(x) }

// Ceil is the least whole number not below x.
func Ceil(x float64) float64 { return math.Ceil(x) }

// Round is the whole number nearest to x, halves away from 0.
func Round(x float64) float64 { return math.Round(x) }

// Max is the greater of two, or NaN if either is.
func Max(x, y float64) float64 { return math.Max(x, y) }

// Min is the lesser of two, or NaN if either is.
func Min(x, y float64) float64 { return math.Min(x, y) }

// NaN is not a number.
func NaN() float64 { return math.NaN() }

// IsNaN says whether x is not a number.
func IsNaN(x float64) bool { return math.IsNaN(x) }

// Inf is infinity of a sign.
func Inf(sign int) float64 { return math.Inf(sign) }

// IsInf says whether x is infinity of a sign, or of either if that is 0.
func IsInf(x float64, sign int) bool { return math.IsInf(x, sign) }

// Copysign is the magnitude of x with the sign of another.
func Copysign(x, sign float64) float64 { return math.Copysign(x, sign) }

// Signbit says whether x is negative or −0.
func Signbit(x float64) bool { return math.Signbit(x) }

// Remainder is x less the nearest multiple of y, exactly.
func Remainder(x, y float64) float64 { return math.Remainder(x, y) }

// Nextafter is the next number from x towards y.
func Nextafter(x, y float64) float64 { return math.Nextafter(x, y) }

// Modf is the whole part of x and the rest.
func Modf(x float64) (whole, rest float64) { return math.Modf(x) }

// Frexp is x as a fraction, from ½ to 1, and a power of two.
func Frexp(x float64) (fraction float64, power int) { return math.Frexp(x) }

// Ldexp is the inverse of [Frexp].
func Ldexp(fraction float64, power int) float64 { return math.Ldexp(fraction, power) }

// Float64bits are the bits of x.
func Float64bits(x float64) uint64 { return math.Float64bits(x) }

// Float64frombits is the inverse of [Float64bits].
func Float64frombits(bits uint64) float64 { return math.Float64frombits(bits) }

// Float32bits are the bits of x.
func Float32bits(x float32) uint32 { return math.Float32bits(x) }

// Float32frombits is the inverse of [Float32bits].
func Float32frombits(bits uint32) float32 { return math.Float32frombits(bits) }

// Finite reports whether x is a number, and no infinite one.
func Finite(x float64) bool { return !IsNaN(x) && !IsInf(x, 0) }
