package pole

import (
	"counterpoise/sim/body"
	"counterpoise/sim/math"
)

// The best posture of a level body in closed form, but for one root.
//
// Level, both arms are at the same angle θ from the pole. With s and c its sine and
// cosine, every length over the arm's, b the span of the shoulders, g where the
// weight hangs, r its reach, κ = (1−r)/2 the sag of one arm, D = b + 2c and
// h = (r·s + g)/D, the meetings that can decide a human body's posture are
//
//	both shoulders  (2gc − rbs) / ((m+n)·D)            falls with θ
//	one corner      (h + κsc) / (Ps + mc)              falls, then grows
//	both arms       (2hs + c) / (P + Q)                grows; it may fall first
//
// where P, Q are the capacities along the arms, which are linear in θ, and m, n those
// of the muscles which a positive moment loads, over the arm's length. A corner is one
// arm with its own shoulder: the share drops out of the horizontal force that both
// together give. (Both shoulders: r = 1 − 2κ.)
//
// So the best posture is where a corner meets both shoulders; or where a corner is
// level; or where it meets both arms; or, if shoulders are strong, with the hands as
// far apart as they may be, where a corner or both arms grow.
//
// What is found in this way is the best over the whole range, not only nearby:
// where one meeting asks for at least v at every smaller angle and another at every
// larger one, no posture asks for less than v. Each of the three asks for at most
// v in one interval of angles and for more outside of it, the corner with the help of
// the shoulders:
//
//   - Both shoulders: 2gc − rbs − v(m+n)D falls wherever g ≥ v(m+n), and is
//     negative where not.
//   - A corner, at angles whose cosine is at most some c₀: h/s + κc − vm·cot θ ≤ vP,
//     which is linear in θ, has a convex left side if g(1+⅞c²) ≥ 2vmcD there, and
//     κD² ≤ 2r. For h/s = r/D + g/(sD), of which (r/D)″ ≥ 2rc/D² outweighs κc; and with
//     y = s²/D, (1/(sD))″·s³D = 1 + c² − 2cy + 8y² ≥ 1 + ⅞c² outweighs
//     (vm·cot θ)″·s³D = 2vmcD. At smaller angles, where c > c₀, both shoulders
//     ask for more than v if they ask for at least v at c₀.
//   - Both arms: 2hs + c ≤ v(P+Q), whose right side is linear, has a convex left side if
//     b ≤ 0.8 and r ≥ 0.85: D·(2hs + c)″ is (4r−2)c² − bc + 2s²(4h′−r) + 2hs(4c−b),
//     where h is convex and h′ ≥ r/(b+2); the last term is negative only beyond 78°, where
//     h′ ≥ 2sh/D outweighs it.
//
// Together with the signs of the slopes at the point itself, and with every use at
// most v there, this is the certificate of an optimum. A body that lacks it is left
// to minimise.

// levelStart is the angle from which the postures of level bodies are searched, 40°.
const levelStart = 2 * math.Pi / 9

var startSine, startCosine = math.Sincos(levelStart)

// Share solves the bodies from a row on, as many as there is place for, and returns the row after
// them: column by column where a corner meets both shoulders or is at its lowest.
func (t *Shares) Share(b *body.Columns, can *Capacity, from int, at *Stance) int {
	n := min(tileRows, b.Rows()-from)
	t.slopes = can.Slope
	t.reduce(b, from, n, at)
	t.start(can, from, n)
	for range 3 {
		t.step(n)
	}
	t.level(n)
	return from + n
}

// Hold writes the posture of body k, which is body i of the block, looking for the other
// kinds of best posture where it must. It reports whether the posture is certified as the best.
func (t *Shares) Hold(h *Held, k int, can *Capacity, i int) bool {
	l := t.row(k, can, i)
	kind := meetsShoulders
	if t.falls[k] {
		kind = isLowest
	}
	if !l.settle(kind) && !l.search() {
		return false
	}
	l.hold(h)
	return true
}

// Shares is a tile of level bodies in equilibrium, of levelBodies the lengths over the arm's,
// with the corner that is used more, and the posture at hand.
type Shares struct {
	levelBodies
	slopes              Slopes
	along, round, both  [tileRows]float64
	slope               [tileRows]float64 // of the corner's strength along its arm, per radian
	top                 [tileRows]bool    // the corner is the top one
	falls               [tileRows]bool    // where the corner meets both shoulders it falls
	angle, sine, cosine [tileRows]float64
}

// start scales the lengths of n bodies and puts the arms at levelStart.
func (t *Shares) start(can *Capacity, from, n int) {
	pulls, pushes := (1+float64(t.slopes.Pull*(levelStart-SlopeAngle)))*startSine, (1+float64(t.slopes.Push*(levelStart-SlopeAngle)))*startSine
	column := func(use int) ([]float64, float64) { return can.Of[use][from : from+n], can.Factor[use] }
	pull, ofPull := column(PullTop)
	push, ofPush := column(PushBottom)
	adduct, ofAdduct := column(AdductTop)
	abduct, ofAbduct := column(AbductBottom)
	for k := range n {
		over := 1 / t.arm[k]
		t.reach[k] *= over
		t.hang[k] *= over
		t.span[k] *= over
		t.rise[k] = over
		m, n := float64(adduct[k]*ofAdduct*over), float64(abduct[k]*ofAbduct*over)
		p, q := pull[k]*ofPull, push[k]*ofPush
		t.both[k] = m + n
		t.along[k], t.round[k], t.slope[k], t.top[k] = q, n, t.slopes.Push, false
		if float64(p*pulls)+float64(m*startCosine) < float64(q*pushes)+float64(n*startCosine) {
			t.along[k], t.round[k], t.slope[k], t.top[k] = p, m, t.slopes.Pull, true
		}
		t.angle[k], t.sine[k], t.cosine[k] = levelStart, startSine, startCosine
	}
}

// step takes every body one step of Halley's method closer to where its corner
// meets both shoulders.
func (t *Shares) step(n int) {
	reach, hang, span := t.reach[:n], t.hang[:n], t.span[:n]
	along, round, both, slope := t.along[:n], t.round[:n], t.both[:n], t.slope[:n]
	angle, sine, cosine := t.angle[:n], t.sine[:n], t.cosine[:n]
	for k := range n {
		s, c := sine[k], cosine[k]
		r, g, b := reach[k], hang[k], span[k]
		sag := (1 - r) / 2
		d := b + float64(2*c)
		strong, dstrong := along[k]*(1+float64(slope[k]*(angle[k]-SlopeAngle))), float64(along[k]*slope[k])
		corner := float64(r*s) + g + float64(sag*s*c*d)
		dcorner := float64(r*c) + float64(sag*(float64((float64(c*c)-float64(s*s))*d)-float64(2*s*s*c)))
		can, dcan := float64(strong*s)+float64(round[k]*c), float64(strong*c)+float64(dstrong*s)-float64(round[k]*s)
		shoulders, dshoulders := float64(2*g*c)-float64(r*b*s), float64(-2*g*s)-float64(r*b*c)
		f := float64(both[k]*corner) - float64(shoulders*can)
		df := float64(both[k]*dcorner) - float64(dshoulders*can) - float64(shoulders*dcan)
		// The sag's small part is left out of the second derivative.
		ddf := float64(2*(float64(shoulders*(can-float64(dstrong*c)))-float64(dshoulders*dcan))) - float64(both[k]*r*s)
		x := f * df / (float64(0.5*f*ddf) - float64(df*df))
		if !(math.Abs(x) < 0.5) {
			x = 0
		}
		angle[k] += x
		sine[k], cosine[k] = turn(sine[k], cosine[k], x)
	}
}

// turn returns sine and cosine of an angle that is moved by at most half a radian, to
// rounding.
func turn(sine, cosine, x float64) (s, c float64) {
	q := x * x
	var sin, cos float64
	if q < 4e-4 {
		sin = x * (1 - float64(q*(1./6-float64(q*(1./120-float64(q*(1./5040)))))))
		cos = 1 - float64(q*(1./2-float64(q*(1./24-float64(q*(1./720))))))
	} else {
		sin = x * (1 - float64(q*(1./6-float64(q*(1./120-float64(q*(1./5040-float64(q*(1./362880-float64(q*(1./39916800-float64(q*(1./6227020800)))))))))))))
		cos = 1 - float64(q*(1./2-float64(q*(1./24-float64(q*(1./720-float64(q*(1./40320-float64(q*(1./3628800-float64(q*(1./479001600-float64(q*(1./87178291200))))))))))))))
	}
	return float64(sine*cos) + float64(cosine*sin), float64(cosine*cos) - float64(sine*sin)
}

// level moves every body whose corner falls where it meets both shoulders on to where it
// is at its lowest, by steps of Newton's method.
func (t *Shares) level(n int) {
	reach, hang, span := t.reach[:n], t.hang[:n], t.span[:n]
	along, round, slope := t.along[:n], t.round[:n], t.slope[:n]
	angle, sine, cosine, falls := t.angle[:n], t.sine[:n], t.cosine[:n], t.falls[:n]
	var moving [tileRows]int // the bodies that are not there yet
	for k := range n {
		moving[k] = k
	}
	left := n
	for step := 0; step < 8 && left > 0; step++ {
		still := 0
		for _, k := range moving[:left] {
			s, c := sine[k], cosine[k]
			r, b := reach[k], span[k]
			sag, over := (1-r)/2, 1/(b+float64(2*c))
			strong, dstrong := along[k]*(1+float64(slope[k]*(angle[k]-SlopeAngle))), float64(along[k]*slope[k])
			h := float64((float64(r*s) + hang[k]) * over)
			dh := float64((float64(r*c) + float64(2*s*h)) * over)
			corner, dcorner := h+float64(sag*s*c), dh+float64(sag*(float64(c*c)-float64(s*s)))
			can, dcan := float64(strong*s)+float64(round[k]*c), float64(strong*c)+float64(dstrong*s)-float64(round[k]*s)
			f := float64(dcorner*can) - float64(corner*dcan)
			if step == 0 {
				if falls[k] = f < 0; !falls[k] {
					continue
				}
			}
			ddcorner := float64((float64(4*s*dh)+float64(2*c*h)-float64(r*s))*over) - float64(4*sag*s*c)
			df := float64(ddcorner*can) - float64(corner*(float64(2*dstrong*c)-can))
			x := -f / df
			if !(math.Abs(x) < 0.3) {
				x = math.Copysign(0.1, -f)
			}
			angle[k] += x
			sine[k], cosine[k] = turn(s, c, x)
			if !(math.Abs(x) < 2e-7) { // else the next step would be of the size of its square
				moving[still] = k
				still++
			}
		}
		left = still
	}
}

// levelShare is one level body in the flag, lengths over the arm's, and a posture.
type levelShare struct {
	arm, span, hang, reach, sag float64
	can                         [NumUses]float64 // those of shoulders over the arm's length
	slopes                      Slopes

	top          bool    // the corner is the top one
	along, round float64 // its capacities
	slope        float64 // of the first, per radian

	angle, sine, cosine float64
	horizontal, share   float64
	peak                float64
}

// row returns body k of the tile, which is body i of the block.
func (t *Shares) row(k int, can *Capacity, i int) (l levelShare) {
	over := t.rise[k]
	l = levelShare{
		arm: t.arm[k], span: t.span[k], hang: t.hang[k], reach: t.reach[k], sag: (1 - t.reach[k]) / 2, slopes: t.slopes,
		top: t.top[k], along: t.along[k], round: t.round[k], slope: t.slope[k],
		angle: t.angle[k], sine: t.sine[k], cosine: t.cosine[k],
	}
	for use := range l.can {
		l.can[use] = can.at(use, i) * over
	}
	l.can[PullTop], l.can[PushBottom] = can.at(PullTop, i), can.at(PushBottom, i)
	return l
}

// The three kinds of best posture.
type levelKind int

const (
	meetsShoulders levelKind = iota // the corner grows where it meets both shoulders
	isLowest                        // the corner is at its own lowest
	meetsArms                       // the corner falls where it meets both arms, which grow
	cornerApart                     // the corner grows at the smallest angle
	armsApart                       // both arms grow there
)

// settle divides the weight as the corner asks, and reports whether the posture is
// certified as the best one of its kind: every use is at most the corner's, what
// should meet meets, the slopes have their signs, and what the proof needs of the
// body is so.
func (l *levelShare) settle(kind levelKind) bool {
	s, c, g, r := l.sine, l.cosine, l.hang, l.reach
	d := l.span + float64(2*c)
	over := 1 / d
	h := float64((float64(r*s) + g) * over)
	strong := l.along * (1 + float64(l.slope*(l.angle-SlopeAngle)))
	pull, push := l.arms()
	corner, can := h+float64(l.sag*s*c), float64(strong*s)+float64(l.round*c)
	arms := float64(2*h*s) + c
	v := corner / can
	own := float64(l.sag*s*s) + float64(v*(float64(strong*c)-float64(l.round*s)))
	top, bottom := own, 1-own
	if !l.top {
		top, bottom = bottom, own
	}
	if kind == armsApart {
		v = arms / (pull + push)
		top = (float64(v*pull) - float64(h*s)) / c
		bottom = 1 - top
	}
	// The corner's slope times can².
	dh := float64((float64(r*c) + float64(2*s*h)) * over)
	slope := float64((dh+float64(l.sag*(float64(c*c)-float64(s*s))))*can) - float64(corner*(float64(strong*c)+float64(l.along*l.slope*s)-float64(l.round*s)))
	l.horizontal, l.share, l.peak = h, top, v

	const rounding = 1e-12
	most := v * (1 + rounding)
	turn := float64(h*c) + float64(l.sag*s)
	momentTop, momentBottom := turn-float64(top*s), turn-float64(bottom*s)
	if !(top >= 0 && bottom >= 0 && l.angle >= LeastAngle && l.angle <= MostAngle &&
		float64(h*s)+float64(top*c) <= most*pull && float64(h*s)+float64(bottom*c) <= most*push &&
		momentTop <= most*l.can[AdductTop] && -momentTop <= most*l.can[AbductTop] &&
		momentBottom <= most*l.can[AbductBottom] && -momentBottom <= most*l.can[AdductBottom]) {
		return false
	}
	// Both arms, whose slope is times (P+Q)², and their interval.
	armsGrow := (float64(2*(float64(dh*s)+float64(h*c)))-s)*(pull+push) >= arms*l.armsRise() && l.span <= 0.8 && r >= 0.85
	if kind == armsApart {
		return armsGrow
	}
	wide := l.span + 2
	if !(l.sag*wide*wide <= 2*r) {
		return false
	}
	shoulders := v * (l.can[AdductTop] + l.can[AbductBottom]) * (1 - rounding)
	switch kind {
	case meetsShoulders: // c₀ is the posture's own
		return slope >= 0 && momentTop+momentBottom >= shoulders && l.convex(v, c)
	case cornerApart:
		return slope >= 0 && l.convex(v, c)
	}
	if !l.convex(v, 1) && !l.shouldersFirst(v, shoulders) {
		return false
	}
	if kind == isLowest {
		// Left and right of here nothing falls below by more than rounding.
		return math.Abs(slope)*2 <= rounding*corner*can
	}
	return slope <= 0 && armsGrow && arms >= (pull+push)*v*(1-rounding)
}

// convex reports whether the corner's condition at a level v is convex at all angles
// whose cosine is at most most.
func (l *levelShare) convex(v, most float64) bool {
	return l.hang*(1+float64(0.875*most*most)) >= 2*v*l.round*most*(l.span+float64(2*most))
}

// shouldersFirst reports whether both shoulders ask for at least a level v, which they
// could give the moment can at, at an angle from which on, up to the posture's and
// beyond, the corner's condition is convex. convex(v, 1) must be false.
func (l *levelShare) shouldersFirst(v, can float64) bool {
	// The root of hang·(1+⅞c²) = 2v·round·c·(span+2c) between 0 and 1.
	p, q := float64(v*l.round*l.span), float64(4*v*l.round)-float64(0.875*l.hang)
	c := l.hang / (p + math.Sqrt(float64(p*p)+float64(q*l.hang)))
	c -= 1e-9
	s := cosine(c)
	return l.cosine <= c && float64(2*l.hang*c)-float64(l.reach*l.span*s) >= can*(l.span+float64(2*c))
}

// arms returns what the top arm can pull and the bottom arm push at their angle, and
// armsRise by how much the two together grow with it, per radian.
func (l *levelShare) arms() (pull, push float64) {
	turn := l.angle - SlopeAngle
	return float64(l.can[PullTop] * (1 + float64(l.slopes.Pull*turn))), float64(l.can[PushBottom] * (1 + float64(l.slopes.Push*turn)))
}

func (l *levelShare) armsRise() float64 {
	return float64(l.can[PullTop]*l.slopes.Pull) + float64(l.can[PushBottom]*l.slopes.Push)
}

// search finds the best posture of a body whose corner does not grow where the tile
// found that it meets both shoulders, or who was not found. It reports whether the
// posture is certified.
func (l *levelShare) search() bool {
	// Strong shoulders hold hands far apart: arms at a small angle with the pole.
	const farApart = 11 * math.Pi / 90 // 22°
	for _, start := range [...]float64{levelStart, farApart} {
		for range 2 {
			for kind := meetsShoulders; kind <= meetsArms; kind++ {
				l.turnTo(start)
				if l.newton(kind) && l.settle(kind) {
					return true
				}
			}
			l.turnTo(LeastAngle)
			if l.settle(cornerApart) || l.settle(armsApart) {
				return true
			}
			l.other()
		}
	}
	return false
}

// other changes to the other corner.
func (l *levelShare) other() {
	l.top = !l.top
	l.along, l.round, l.slope = l.can[PushBottom], l.can[AbductBottom], l.slopes.Push
	if l.top {
		l.along, l.round, l.slope = l.can[PullTop], l.can[AdductTop], l.slopes.Pull
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
		next := min(max(l.angle+x, LeastAngle), MostAngle)
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
	d := b + float64(2*c)
	strong, dstrong := l.along*(1+float64(l.slope*(l.angle-SlopeAngle))), float64(l.along*l.slope)
	can, dcan := float64(strong*s)+float64(l.round*c), float64(strong*c)+float64(dstrong*s)-float64(l.round*s)
	if kind == isLowest {
		h := (float64(r*s) + g) / d
		dh := (float64(r*c) + float64(2*s*h)) / d
		ddh := (float64(-r*s) + float64(4*s*dh) + float64(2*c*h)) / d
		corner, dcorner, ddcorner := h+float64(sag*s*c), dh+float64(sag*(float64(c*c)-float64(s*s))), ddh-float64(4*sag*s*c)
		return float64(dcorner*can) - float64(corner*dcan), float64(ddcorner*can) - float64(corner*(float64(2*dstrong*c)-can))
	}
	corner, dcorner := float64(r*s)+g+float64(sag*s*c*d), float64(r*c)+float64(sag*(float64((float64(c*c)-float64(s*s))*d)-float64(2*s*s*c)))
	if kind == meetsShoulders {
		both := l.can[AdductTop] + l.can[AbductBottom]
		shoulders, dshoulders := float64(2*g*c)-float64(r*b*s), float64(-2*g*s)-float64(r*b*c)
		return float64(both*corner) - float64(shoulders*can), float64(both*dcorner) - float64(dshoulders*can) - float64(shoulders*dcan)
	}
	pull, push := l.arms()
	both, dboth := pull+push, l.armsRise()
	arms, darms := float64(2*(float64(r*s)+g)*s)+float64(c*d), float64(4*r*s*c)+float64(2*g*c)-float64(s*d)-float64(2*s*c)
	return float64(both*corner) - float64(arms*can), float64(dboth*corner) + float64(both*dcorner) - float64(darms*can) - float64(arms*dcan)
}

// hold writes the posture; in every kind of them an arm and a shoulder are used alike.
func (l *levelShare) hold(to *Held) {
	s, c, h, share := l.sine, l.cosine, l.horizontal, l.share
	turn := float64(h*c) + float64(l.sag*s)
	to.Angle, to.Spacing, to.Horizontal, to.Share, to.Peak, to.By = l.angle, l.arm*(l.span+float64(2*c)), h, share, l.peak, Alike
	to.Top = Arm{s, float64(h*s) + float64(share*c), l.arm * (turn - float64(share*s))}
	to.Bottom = Arm{s, float64(h*s) + float64((1-share)*c), l.arm * (turn - float64((1-share)*s))}
}
