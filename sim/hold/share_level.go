package hold

import (
	"math"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
)

// The best posture of a level body in closed form, but for one root.
//
// Level, both arms are at the same angle θ from the pole. With s and c its sine and
// cosine, every length over the arm's, b the span of the shoulders, g where the
// weight hangs, r its reach, κ = (1−r)/2 the sag of one arm, D = b + 2c and
// h = (r·s + g)/D, the meetings that can decide a human body's posture are
//
//	both shoulders  (2gc − rbs) / ((m+n)·D)            falls with θ
//	one corner      (h + κsc) / (Pσs + mc)             falls, then grows
//	both arms       (2hs + c) / ((P+Q)·σ)              grows; it may fall first
//
// where P, Q are the capacities along the arms, m, n those of the muscles which a
// positive moment loads, over the arm's length, and σ is what the arm's angle makes
// of its strength. A corner is one arm with its own shoulder: the share drops out of
// the horizontal force that both together give. (Both shoulders: r = 1 − 2κ.)
//
// So the best posture is where a corner meets both shoulders, as for nearly
// everybody; or where a corner is at its own lowest; or where it meets both arms.
//
// What is found in this way is the best over the whole range, not only nearby:
// where one meeting asks for at least v at every smaller angle and another at every
// larger one, no posture asks for less than v. Each of the three asks for at most
// v in one interval of angles and for more outside of it:
//
//   - Both shoulders: 2gc − rbs − v(m+n)D falls wherever g ≥ v(m+n), and is
//     negative where not.
//   - A corner: h/s + κc − vm·cot θ ≤ vPσ, with σ linear in θ, has a convex left side
//     if 2g·√(7/8) ≥ 2vm·D and κD² ≤ 2r. For h/s = r/D + g/(sD), of which
//     (r/D)″ ≥ 2rc/D² outweighs κc; and with y = s²/D
//     (1/(sD))″·s³D = 1 + c² − 2cy + 8y² ≥ 1 + ⅞c² ≥ 2√(7/8)·c outweighs
//     (vm·cot θ)″·s³ = 2vmc.
//   - Both arms: 2hs + c is convex if b ≤ 0.8 and r ≥ 0.85: D·(2hs + c)″ is
//     (4r−2)c² − bc + 2s²(4h′−r) + 2hs(4c−b), where h is convex and
//     h′ ≥ r/(b+2); the last term is negative only beyond 78°, where h′ ≥ 2sh/D outweighs it.
//
// Together with the signs of the slopes at the point itself, and with every use at
// most v there, this is the certificate of an optimum. A body that lacks it is left
// to minimise.

// levelStart is the angle from which the postures of level bodies are searched, 48°.
const levelStart = 4 * math.Pi / 15

var startSine, startCosine = math.Sincos(levelStart)

// solveLevel finds the best posture of level bodies: column by column where a
// corner meets both shoulders, one by one for the others, and by solveRow for those
// who are left without a certificate.
func (out *flagColumns) solveLevel(b *body.Columns, can *flagCapacity, legs reach, a *assume.Set, solveRow func(i int)) {
	if _, pinned := a.Pinned(assume.TopShare); pinned {
		for i := range b.Rows() {
			solveRow(i)
		}
		return
	}
	t := levelShares{slope: a[assume.AngleSlope]}
	for from := 0; from < b.Rows(); from += levelTile {
		n := min(levelTile, b.Rows()-from)
		t.reduce(b, from, n, legs)
		t.start(can, from, n)
		for range 3 {
			t.step(n)
		}
		for k := range n {
			l := t.row(k, can, from+k)
			if l.settle(meetsShoulders) || l.search() {
				out.fillLevel(from+k, &l)
			} else {
				solveRow(from + k)
			}
		}
	}
}

// levelShares is a tile of level bodies, of levelBodies the lengths over the arm's,
// with the corner that is used more, and the posture at hand.
type levelShares struct {
	levelBodies
	slope               float64 // of the strength along the arms, per radian
	along, round, both  [levelTile]float64
	top                 [levelTile]bool // the corner is the top one
	angle, sine, cosine [levelTile]float64
}

// start scales the lengths of n bodies and puts the arms at levelStart.
func (t *levelShares) start(can *flagCapacity, from, n int) {
	strong := (1 + t.slope*(levelStart-slopeAngle)) * startSine
	column := func(use int) []float64 { return can[use][from : from+n] }
	pull, push, adduct, abduct := column(pullTop), column(pushBottom), column(adductTop), column(abductBottom)
	for k := range n {
		over := 1 / t.arm[k]
		t.reach[k] *= over
		t.hang[k] *= over
		t.span[k] *= over
		t.rise[k] = over
		m, n := adduct[k]*over, abduct[k]*over
		t.both[k] = m + n
		t.along[k], t.round[k], t.top[k] = push[k], n, false
		if pull[k]*strong+m*startCosine < push[k]*strong+n*startCosine {
			t.along[k], t.round[k], t.top[k] = pull[k], m, true
		}
		t.angle[k], t.sine[k], t.cosine[k] = levelStart, startSine, startCosine
	}
}

// step takes every body one step of Halley's method closer to where its corner
// meets both shoulders.
func (t *levelShares) step(n int) {
	reach, hang, span := t.reach[:n], t.hang[:n], t.span[:n]
	along, round, both := t.along[:n], t.round[:n], t.both[:n]
	angle, sine, cosine := t.angle[:n], t.sine[:n], t.cosine[:n]
	for k := range n {
		s, c := sine[k], cosine[k]
		r, g, b := reach[k], hang[k], span[k]
		sag := (1 - r) / 2
		d := b + 2*c
		strong, dstrong := along[k]*(1+t.slope*(angle[k]-slopeAngle)), along[k]*t.slope
		corner := r*s + g + sag*s*c*d
		dcorner := r*c + sag*((c*c-s*s)*d-2*s*s*c)
		can, dcan := strong*s+round[k]*c, strong*c+dstrong*s-round[k]*s
		shoulders, dshoulders := 2*g*c-r*b*s, -2*g*s-r*b*c
		f := both[k]*corner - shoulders*can
		df := both[k]*dcorner - dshoulders*can - shoulders*dcan
		// The sag's small part is left out of the second derivative.
		ddf := 2*(shoulders*(can-dstrong*c)-dshoulders*dcan) - both[k]*r*s
		x := f * df / (0.5*f*ddf - df*df)
		if !(math.Abs(x) < 0.5) {
			x = 0
		}
		// Sine and cosine of the step, to rounding.
		q := x * x
		var sin, cos float64
		if q < 4e-4 {
			sin = x * (1 - q*(1./6-q*(1./120-q*(1./5040))))
			cos = 1 - q*(1./2-q*(1./24-q*(1./720)))
		} else {
			sin = x * (1 - q*(1./6-q*(1./120-q*(1./5040-q*(1./362880-q*(1./39916800-q*(1./6227020800)))))))
			cos = 1 - q*(1./2-q*(1./24-q*(1./720-q*(1./40320-q*(1./3628800-q*(1./479001600-q*(1./87178291200)))))))
		}
		angle[k] += x
		sine[k], cosine[k] = s*cos+c*sin, c*cos-s*sin
	}
}

// levelShare is one level body in the flag, lengths over the arm's, and a posture.
type levelShare struct {
	arm, span, hang, reach, sag float64
	can                         [numUses]float64 // those of shoulders over the arm's length
	slope                       float64          // of the strength along the arms, per radian

	top          bool    // the corner is the top one
	along, round float64 // its capacities

	angle, sine, cosine float64
	horizontal, share   float64
	peak                float64
}

// row returns body k of the tile, which is body i of the block.
func (t *levelShares) row(k int, can *flagCapacity, i int) (l levelShare) {
	over := t.rise[k]
	l = levelShare{
		arm: t.arm[k], span: t.span[k], hang: t.hang[k], reach: t.reach[k], sag: (1 - t.reach[k]) / 2, slope: t.slope,
		top: t.top[k], along: t.along[k], round: t.round[k],
		angle: t.angle[k], sine: t.sine[k], cosine: t.cosine[k],
	}
	l.can[pullTop], l.can[pushBottom] = can[pullTop][i], can[pushBottom][i]
	l.can[adductTop], l.can[abductTop] = can[adductTop][i]*over, can[abductTop][i]*over
	l.can[adductBottom], l.can[abductBottom] = can[adductBottom][i]*over, can[abductBottom][i]*over
	return l
}

// The three kinds of best posture.
type levelKind int

const (
	meetsShoulders levelKind = iota // the corner grows where it meets both shoulders
	isLowest                        // the corner is at its own lowest
	meetsArms                       // the corner falls where it meets both arms, which grow
)

// settle divides the weight as the corner asks, and reports whether the posture is
// certified as the best one of its kind: every use is at most the corner's, what
// should meet meets, the slopes have their signs, and what the proof needs of the
// body is so.
func (l *levelShare) settle(kind levelKind) bool {
	s, c, g, r := l.sine, l.cosine, l.hang, l.reach
	d := l.span + 2*c
	over := 1 / d
	h := (r*s + g) * over
	factor := 1 + l.slope*(l.angle-slopeAngle)
	strong := l.along * factor
	corner, can := h+l.sag*s*c, strong*s+l.round*c
	v := corner / can
	own := l.sag*s*s + v*(strong*c-l.round*s)
	top, bottom := own, 1-own
	if !l.top {
		top, bottom = bottom, own
	}
	l.horizontal, l.share, l.peak = h, top, v

	const rounding = 1e-12
	most := v * (1 + rounding)
	turn := h*c + l.sag*s
	momentTop, momentBottom := turn-top*s, turn-bottom*s
	if !(top >= 0 && bottom >= 0 && l.angle >= FlagLeastAngle && l.angle <= FlagMostAngle &&
		h*s+top*c <= most*factor*l.can[pullTop] && h*s+bottom*c <= most*factor*l.can[pushBottom] &&
		momentTop <= most*l.can[adductTop] && -momentTop <= most*l.can[abductTop] &&
		momentBottom <= most*l.can[abductBottom] && -momentBottom <= most*l.can[adductBottom]) {
		return false
	}
	// The corner's slope times can², and its interval.
	dh := (r*c + 2*s*h) * over
	slope := (dh+l.sag*(c*c-s*s))*can - corner*(strong*c+l.along*l.slope*s-l.round*s)
	wide := l.span + 2
	if !(g >= 1.07*v*l.round*wide && l.sag*wide*wide <= 2*r) {
		return false
	}
	switch kind {
	case meetsShoulders:
		both := l.can[adductTop] + l.can[abductBottom]
		return slope >= 0 && momentTop+momentBottom >= both*v*(1-rounding)
	case isLowest:
		// Left and right of here nothing falls below by more than rounding.
		return math.Abs(slope)*2 <= rounding*corner*can
	default:
		arms, darms := 2*h*s+c, 2*(dh*s+h*c)-s
		return slope <= 0 && darms*factor >= arms*l.slope && l.span <= 0.8 && r >= 0.85 &&
			arms >= (l.can[pullTop]+l.can[pushBottom])*factor*v*(1-rounding)
	}
}

// search finds the best posture of a body whose corner does not grow where the tile
// found that it meets both shoulders, or who was not found. It reports whether the
// posture is certified.
func (l *levelShare) search() bool {
	for range 2 {
		for kind := meetsShoulders; kind <= meetsArms; kind++ {
			l.turnTo(levelStart)
			if l.newton(kind) && l.settle(kind) {
				return true
			}
		}
		l.other()
	}
	return false
}

// other changes to the other corner.
func (l *levelShare) other() {
	l.top = !l.top
	l.along, l.round = l.can[pushBottom], l.can[abductBottom]
	if l.top {
		l.along, l.round = l.can[pullTop], l.can[adductTop]
	}
}

func (l *levelShare) turnTo(angle float64) {
	l.angle = angle
	l.sine, l.cosine = math.Sincos(angle)
}

// newton moves to the angle of a kind of posture, and reports whether there is one
// within the range.
func (l *levelShare) newton(kind levelKind) bool {
	for range 12 {
		f, df := l.equation(kind)
		x := -f / df
		if !(math.Abs(x) < 1) {
			return false
		}
		next := min(max(l.angle+x, FlagLeastAngle), FlagMostAngle)
		x = next - l.angle
		l.turnTo(next)
		if math.Abs(x) < 1e-9 { // the next step would be of the size of its square
			return true
		}
	}
	return false
}

// equation returns what vanishes at a kind of posture, and its derivative by the
// angle.
func (l *levelShare) equation(kind levelKind) (f, df float64) {
	s, c, g, r, b, sag := l.sine, l.cosine, l.hang, l.reach, l.span, l.sag
	d := b + 2*c
	strong, dstrong := l.along*(1+l.slope*(l.angle-slopeAngle)), l.along*l.slope
	can, dcan := strong*s+l.round*c, strong*c+dstrong*s-l.round*s
	if kind == isLowest {
		h := (r*s + g) / d
		dh := (r*c + 2*s*h) / d
		ddh := (-r*s + 4*s*dh + 2*c*h) / d
		corner, dcorner, ddcorner := h+sag*s*c, dh+sag*(c*c-s*s), ddh-4*sag*s*c
		return dcorner*can - corner*dcan, ddcorner*can - corner*(2*dstrong*c-can)
	}
	corner, dcorner := r*s+g+sag*s*c*d, r*c+sag*((c*c-s*s)*d-2*s*s*c)
	if kind == meetsShoulders {
		both := l.can[adductTop] + l.can[abductBottom]
		shoulders, dshoulders := 2*g*c-r*b*s, -2*g*s-r*b*c
		return both*corner - shoulders*can, both*dcorner - dshoulders*can - shoulders*dcan
	}
	both := (l.can[pullTop] + l.can[pushBottom]) * strong / l.along
	dboth := (l.can[pullTop] + l.can[pushBottom]) * l.slope
	arms, darms := 2*(r*s+g)*s+c*d, 4*r*s*c+2*g*c-s*d-2*s*c
	return both*corner - arms*can, dboth*corner + both*dcorner - darms*can - arms*dcan
}

// fillLevel writes the demands of a level body, but for the waist's and the hips'.
func (out *flagColumns) fillLevel(i int, l *levelShare) {
	s, c, h, share := l.sine, l.cosine, l.horizontal, l.share
	// In every kind of posture an arm and a shoulder are used alike.
	out.Allow(i, LimitArmsAndShoulders)
	out.angle.Set(i, l.angle)
	out.spacing.Set(i, l.arm*(l.span+2*c))
	out.difficulty.Set(i, l.peak)
	turn := h*c + l.sag*s
	out.shared(i, h, share, h*s+share*c, h*s+(1-share)*c, l.arm*(turn-share*s), l.arm*(turn-(1-share)*s))
}
