package montecarlo

import (
	"counterpoise/sim/math"
)

// Normals fills dst with independent draws from the standard normal
// distribution. Two draws take one word of the stream, so the number of words
// taken depends on the length of dst alone.
//
// The method is inversion: 31 random bits choose the middle p of one of 2³¹ equal
// cells of (0, ½), another bit the sign, and the draw is the quantile at p, to
// within 2·10⁻⁹. So a draw is at most 6.34 in magnitude, beyond which the normal
// distribution has 2·10⁻¹⁰ of its mass, and draws near 0 lie 10⁻⁹ apart. Nothing
// is rejected, so that no branch is mispredicted: it takes half the time of a
// ziggurat, and half the random bits.
func (s *Stream) Normals(dst []float64) {
	source := s.source
	var word uint64
	for i := 1; i < len(dst); i += 2 {
		word, source = source.next()
		// normal by hand, twice: the compiler does not inline it.
		first, second := int64(word>>1&(1<<31-1)), int64(word>>33)
		x := quantileAt(math.Float64bits(float64(first) + 0.5))
		dst[i-1] = math.Float64frombits(x ^ word<<63)
		y := quantileAt(math.Float64bits(float64(second) + 0.5))
		dst[i] = math.Float64frombits(y ^ word>>32<<63)
	}
	if last := len(dst) - 1; last&1 == 0 {
		word, source = source.next()
		dst[last] = normal(uint32(word))
	}
	s.source = source
}

// PassNormals goes on as if it had filled so many draws.
func (s *Stream) PassNormals(n int) {
	source := s.source
	for range (n + 1) / 2 {
		_, source = source.next()
	}
	s.source = source
}

// normal returns the draw that 32 random bits stand for.
func normal(u uint32) float64 {
	// The place of p in units of 2⁻³², from ½ to 2³¹−½.
	z := quantileAt(math.Float64bits(float64(int64(u>>1)) + 0.5))
	return math.Float64frombits(z ^ uint64(u)<<63)
}

// quantileAt returns the bits of the quantile at a place, of which it is given the
// bits. The exponent and the upper bits of the fraction of the place are those of
// its cell; the cell takes what is left of the fraction, counted from the cell's
// middle.
func quantileAt(place uint64) uint64 {
	c := &quantiles[place>>(fractionBits-quantileBits)%quantileCells]
	x := math.Float64frombits(place&(1<<(fractionBits-quantileBits)-1)|1023<<fractionBits) - (1 + quantileHalf)
	return math.Float64bits(c[0] + float64(x*(c[1]+float64(x*(c[2]+float64(x*c[3]))))))
}

// The upper half of the normal distribution's quantiles is cut into cells by
// octaves of the tail probability p, 32 to an octave, so that a cubic does for
// every cell however far out. Half of all draws fall into the first octave, all
// but one in a thousand into the first ten, whose cells take 10 kB.
const (
	quantileBits    = 5
	quantileHalf    = 1.0 / (2 << quantileBits) // half the width of a cell in an octave from 1 to 2
	quantileOctaves = 32                        // of places from ½ to 2³¹
	quantileCells   = quantileOctaves << quantileBits
)

// quantiles holds the coefficients of each cell's cubic. A cell's index is made
// of the lowest bits of the exponent, which tell 32 octaves apart, and the highest
// of the fraction.
var quantiles = makeQuantiles()

func makeQuantiles() (cells [quantileCells][4]float64) {
	for octave := range quantileOctaves {
		from := math.Ldexp(1, octave-1)
		for k := range 1 << quantileBits {
			middle := 1 + float64((float64(k)+0.5)/(1<<quantileBits))
			index := math.Float64bits(from*middle) >> (fractionBits - quantileBits) % quantileCells
			cells[index] = interpolateCubic(quantileHalf, func(x float64) float64 {
				return -math.NormalQuantile(from * (middle + x) * 0x1p-32)
			})
		}
	}
	return cells
}

// interpolateCubic returns the coefficients of the cubic that meets f at the four
// Chebyshev points of [−half, half].
func interpolateCubic(half float64, f func(float64) float64) [4]float64 {
	// With points ±a and ±b the even and the odd part of f are straight lines in x².
	a, b := float64(half*math.Cos(math.Pi/8)), float64(half*math.Cos(3*math.Pi/8))
	evenA, evenB := float64((f(a)+f(-a))/2), float64((f(b)+f(-b))/2)
	oddA, oddB := (f(a)-f(-a))/(2*a), (f(b)-f(-b))/(2*b)
	c2 := (evenA - evenB) / (float64(a*a) - float64(b*b))
	c3 := (oddA - oddB) / (float64(a*a) - float64(b*b))
	return [4]float64{evenB - float64(c2*b*b), oddB - float64(c3*b*b), c2, c3}
}
