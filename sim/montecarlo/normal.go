package montecarlo

import "math"

// Normals fills dst with independent draws from the standard normal
// distribution.
//
// The method is the ziggurat of Marsaglia and Tsang (2000, Journal of
// Statistical Software 5(8)) with 256 layers: it is exact rejection sampling,
// no approximation to the distribution. Layer, sign and position within the
// layer come from bits that do not overlap, which cures the correlation that
// Doornik (2005, "An improved ziggurat method to generate normal random
// samples") found in the original. The position has 53 bits.
func (s *Stream) Normals(dst []float64) {
	source := &s.source
	for i := range dst {
		u := source.Uint64()
		layer := &ziggurat[u&0xff]
		x := float64(u>>11) * layer.scale
		if x >= layer.inner {
			x = s.normalEdge(u, x)
		}
		// Bit 8 is the sign. A branch here would be mispredicted half the time.
		dst[i] = math.Float64frombits(math.Float64bits(x) | u&0x100<<(63-8))
	}
}

// normalEdge finishes a draw that fell outside the part of its layer that is
// wholly under the curve, and returns its magnitude. The sign stays that of
// the first draw: the curve is symmetric.
func (s *Stream) normalEdge(u uint64, x float64) float64 {
	for {
		i := u & 0xff
		if i == 0 {
			return s.normalTail()
		}
		if ziggurat[i].underCurve(x, s.Float64()) {
			return x
		}
		u = s.source.Uint64()
		layer := &ziggurat[u&0xff]
		x = float64(u>>11) * layer.scale
		if x < layer.inner {
			return x
		}
	}
}

// normalTail draws from the normal distribution beyond zigguratStart:
// Marsaglia (1964, Technometrics 6:101), exponential steps with rejection.
func (s *Stream) normalTail() float64 {
	for {
		x := -math.Log(s.Float64()) / zigguratStart
		y := -math.Log(s.Float64())
		if 2*y > x*x {
			return zigguratStart + x
		}
	}
}

// The ziggurat covers the curve f(x) = exp(−x²/2), x ≥ 0, with 256 layers of
// equal area: 255 rectangles, and a base that is the rectangle of width
// zigguratStart under f(zigguratStart) together with the whole tail beyond.
//
// The start is the root of "the topmost layer ends exactly at f(0) = 1":
// Marsaglia and Tsang's value for 256 layers, recomputed here by bisection.
const zigguratStart = 3.6541528853610088

// A zigguratLayer is what the draw needs of one layer.
type zigguratLayer struct {
	scale   float64 // width of the layer × 2⁻⁵³
	inner   float64 // up to here the layer is wholly under the curve
	floor   float64 // f at the layer's outer edge
	ceiling float64 // f at the layer's inner edge
}

// underCurve reports whether the point at x, and at the share v of the way from
// the layer's floor to its ceiling, is under the curve.
func (l *zigguratLayer) underCurve(x, v float64) bool {
	return l.floor+v*(l.ceiling-l.floor) < math.Exp(-x*x/2)
}

var ziggurat = makeZiggurat()

func makeZiggurat() (layers [256]zigguratLayer) {
	f := func(x float64) float64 { return math.Exp(-x * x / 2) }
	area := zigguratStart*f(zigguratStart) + math.Sqrt(math.Pi/2)*math.Erfc(zigguratStart/math.Sqrt2)

	// The base: as wide as a rectangle of the layer's area and height would
	// be. What lies beyond the start stands for the tail.
	outer := zigguratStart
	layers[0] = zigguratLayer{scale: area / f(outer) * 0x1p-53, inner: outer}
	for i := 1; i < len(layers); i++ {
		floor := f(outer)
		ceiling := floor + area/outer
		inner := 0.0
		if i < len(layers)-1 {
			inner = math.Sqrt(-2 * math.Log(ceiling))
		} else {
			ceiling = 1
		}
		layers[i] = zigguratLayer{scale: outer * 0x1p-53, inner: inner, floor: floor, ceiling: ceiling}
		outer = inner
	}
	return layers
}
