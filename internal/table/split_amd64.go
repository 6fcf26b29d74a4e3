package table

import "math"

// splitBlocks is splitPortable for blocks of 16 values, with the instructions that
// every amd64 processor has (SSE2). extremes holds four least and four greatest
// values so far, and four that are not 0 once there was a NaN.
//
//go:noescape
func splitBlocks(values *float32, b0, b1, b2, b3 *byte, blocks int, extremes *[12]float32)

// split is splitPortable, in a fifth of the time.
func split(values []float32, b0, b1, b2, b3 []byte) (least, greatest float32, nan bool) {
	const block = 16
	blocks := len(values) / block
	done := blocks * block
	least, greatest, nan = splitPortable(values[done:], b0[done:], b1[done:], b2[done:], b3[done:])
	if blocks == 0 {
		return least, greatest, nan
	}
	var extremes [12]float32
	for k := range 4 {
		extremes[k], extremes[4+k] = least, greatest
	}
	splitBlocks(&values[0], &b0[:done][0], &b1[:done][0], &b2[:done][0], &b3[:done][0], blocks, &extremes)
	for k := range 4 {
		least, greatest = min(least, extremes[k]), max(greatest, extremes[4+k])
		nan = nan || math.Float32bits(extremes[8+k]) != 0
	}
	return least, greatest, nan
}
