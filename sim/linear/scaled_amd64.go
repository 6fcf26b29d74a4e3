package linear

import "gonum.org/v1/gonum/floats"

// On this processor the vector instructions of gonum do as the loops in scaled.go: element by
// element, rounding each product, in half the time.

// AddScaled adds by times x to dst.
func AddScaled(dst []float64, by float64, x []float64) { floats.AddScaled(dst, by, x) }

// Scale multiplies dst by a number.
func Scale(by float64, dst []float64) { floats.Scale(by, dst) }

// ScaleTo makes dst by times x.
func ScaleTo(dst []float64, by float64, x []float64) { floats.ScaleTo(dst, by, x) }
