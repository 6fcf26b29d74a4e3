package table

import "math"

// splitPortable writes byte k of every value to b0, b1, b2 or b3, which are as long as
// values, and returns the least and the greatest value that is a number (+Inf and
// −Inf where none is) and whether there is a NaN.
func splitPortable(values []float32, b0, b1, b2, b3 []byte) (least, greatest float32, nan bool) {
	n := len(values)
	b0, b1, b2, b3 = b0[:n], b1[:n], b2[:n], b3[:n]
	least, greatest = float32(math.Inf(1)), float32(math.Inf(-1))
	for i, v := range values {
		bits := math.Float32bits(v)
		b0[i] = byte(bits)
		b1[i] = byte(bits >> 8)
		b2[i] = byte(bits >> 16)
		b3[i] = byte(bits >> 24)
		if v < least {
			least = v
		}
		if v > greatest {
			greatest = v
		}
		if v != v {
			nan = true
		}
	}
	return least, greatest, nan
}
