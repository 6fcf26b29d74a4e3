package montecarlo

import (
	"encoding/binary"
	"errors"
	"strings"

	"counterpoise/sim/math"
)

// A decoder reads the checkpoint formats. It keeps the first error, and gives
// zeros from then on.
type decoder struct {
	data []byte // what is left
	err  error
}

func (r *decoder) fail(message string) {
	if r.err == nil {
		r.err = errors.New(message)
	}
	r.data = nil
}

func (r *decoder) header(want string) {
	if !strings.HasPrefix(string(r.data), want) {
		r.fail("wrong header")
		return
	}
	r.data = r.data[len(want):]
}

// count reads a number 0 … 2⁶³−1.
func (r *decoder) count() int64 {
	n, size := binary.Uvarint(r.data)
	// A varint with a last byte of 0 has a shorter form: each number has one
	// encoding only, so that equal states have equal bytes.
	if size <= 0 || n > math.MaxInt64 || size > 1 && r.data[size-1] == 0 {
		r.fail("bad count")
		return 0
	}
	r.data = r.data[size:]
	return int64(n)
}

// below reads a number 0 … limit−1.
func (r *decoder) below(limit int) int {
	n := r.count()
	if n >= int64(limit) {
		r.fail("number out of range")
		return 0
	}
	return int(n)
}

func (r *decoder) float() float64 {
	if len(r.data) < 8 {
		r.fail("too short")
		return 0
	}
	x := math.Float64frombits(binary.BigEndian.Uint64(r.data))
	r.data = r.data[8:]
	return x
}
