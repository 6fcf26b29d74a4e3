//go:build !amd64

package table

func split(values []float32, b0, b1, b2, b3 []byte) (least, greatest float32, nan bool) {
	return splitPortable(values, b0, b1, b2, b3)
}
