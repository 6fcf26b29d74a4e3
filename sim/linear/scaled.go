//go:build !amd64

package linear

// AddScaled adds by times x to dst.
func AddScaled(dst []float64, by float64, x []float64) {
	x = x[:len(dst)]
	for i := range dst {
		dst[i] += float64(by * x[i])
	}
}

// Scale multiplies dst by a number.
func Scale(by float64, dst []float64) {
	for i := range dst {
		dst[i] *= by
	}
}

// ScaleTo makes dst by times x.
func ScaleTo(dst []float64, by float64, x []float64) {
	x = x[:len(dst)]
	for i := range dst {
		dst[i] = by * x[i]
	}
}
