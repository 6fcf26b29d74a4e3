package pole

import (
	"math"
	"math/rand/v2"
	"testing"
)

// randomFlag draws a body in the flag with capacities that all differ, far beyond
// what the surveys hold.
func randomFlag(r *rand.Rand, tilted bool) *Body {
	between := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	f := &Body{arm: between(0.45, 0.8), span: between(0.2, 0.45), hang: between(0.15, 0.55), slope: Slopes{between(-0.3, 0.5), between(-0.3, 0.3)}, most: 1}
	f.sag = f.arm * between(0.005, 0.06)
	f.reach = f.arm - 2*f.sag
	if tilted {
		tilt := between(-0.3, 0.3)
		f.shift = f.span * math.Sin(tilt) / (2 * f.arm)
		f.span, f.hang = f.span*math.Cos(tilt), f.hang*math.Cos(tilt)
	}
	for use := range f.per {
		low, high := 0.02, 0.3
		if use == PullTop || use == PushBottom {
			low, high = 0.5, 3
		}
		f.per[use] = 1 / (low * math.Pow(high/low, r.Float64()))
	}
	return f
}

// level is the flag of a level body in the numbers of the fast solution.
func (f *Body) level() *levelShare {
	l := &levelShare{arm: f.arm, span: f.span / f.arm, hang: f.hang / f.arm, reach: f.reach / f.arm, slopes: f.slope, top: true}
	l.sag = (1 - l.reach) / 2
	for use, per := range f.per {
		l.can[use] = 1 / per
		if use != PullTop && use != PushBottom {
			l.can[use] /= f.arm
		}
	}
	l.other()
	return l
}

// The share that divide finds is the best of a fine grid, what it says of the meeting
// is so, and the meeting's slope is that of the peak.
func TestDivide(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 1))
	ends := 0
	for trial := range 4000 {
		f := randomFlag(r, trial%2 == 1)
		if trial%5 == 0 { // so that ends are seen as well
			f.least = 0.3 * r.Float64()
			f.most = f.least + 0.3*r.Float64()
		}
		low, high := f.Domain()
		s := low + (high-low)*r.Float64()
		p := pieces{f: f, last: usual}
		m, value, slope := p.at(s)
		share, _ := p.uses.divide(f.least, f.most, usual)
		peak := func(share float64) float64 { return p.uses.value(int(p.uses.largest(0, NumUses, share)), share) }
		if got := peak(share); math.Abs(got-value) > 1e-12*value || !(share >= f.least && share <= f.most) {
			t.Fatalf("trial %d: share %g, the meeting says %.15g, the largest use is %.15g", trial, share, value, got)
		}
		for k := range 201 {
			if other := f.least + (f.most-f.least)*float64(k)/200; peak(other) < value*(1-1e-12) {
				t.Fatalf("trial %d: the share %g asks for %g, %g for %g", trial, share, value, other, peak(other))
			}
		}
		for g := range int8(firstFalling) {
			for f2 := int8(firstFalling); f2 < NumUses; f2++ {
				if other, from := p.uses.divide(f.least, f.most, meeting{g, f2}); other != share || from != m {
					t.Fatalf("trial %d: the share is %.15g of %v, from the guess %v it is %.15g of %v", trial, share, m, meeting{g, f2}, other, from)
				}
			}
		}
		grows, falls := p.uses.weights(m)
		if grows < 0 || falls < 0 || !(math.Abs(grows+falls-1) <= 1e-15) {
			t.Fatalf("trial %d: weights %g and %g", trial, grows, falls)
		}
		if m.grows == alone || m.falls == alone {
			ends++
		}
		const step = 1e-6
		p.at(s + step)
		after, _ := p.of(m)
		p.at(s - step)
		before, _ := p.of(m)
		if got := (after - before) / (2 * step); !(math.Abs(got-slope) <= 1e-5*(1+math.Abs(slope))) {
			t.Fatalf("trial %d: slope %g, differences give %g", trial, slope, got)
		}
	}
	if ends < 100 {
		t.Errorf("only %d ends of the range were seen", ends)
	}
}

// descent returns how steeply the largest use can fall from a posture, per unit of
// mean sine and share: 0 or more is the certificate of an optimum, that no direction
// within the range goes down, or that the multipliers of the active uses can
// balance their slopes.
func descent(f *Body, s, share float64) float64 {
	var u lines
	f.lines(s, &u)
	low, high := f.Domain()
	peak := u.value(int(u.largest(0, NumUses, share)), share)
	steepest := math.Inf(1)
	const directions = 3600
	for k := range directions {
		ds, dshare := math.Sincos(2 * math.Pi * float64(k) / directions)
		if ds < 0 && s <= low+1e-9 || ds > 0 && s >= high-1e-9 || dshare < 0 && share <= f.least+1e-9 || dshare > 0 && share >= f.most-1e-9 {
			continue
		}
		slope := math.Inf(-1)
		for use := range NumUses {
			if u.value(use, share) >= peak*(1-1e-8) {
				slope = math.Max(slope, (u.dat[use]+u.drise[use]*share)*ds+u.rise[use]*dshare)
			}
		}
		steepest = math.Min(steepest, slope)
	}
	return steepest
}

// Every optimum has its certificate, the search's as well as the fast solution's, and
// no posture of a fine grid over the whole range asks for less.
func TestOptimaAreCertifiedAndGlobal(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 2))
	trials := 6000
	if testing.Short() {
		trials = 1000
	}
	fast := 0
	for trial := range trials {
		f := randomFlag(r, trial%2 == 1)
		low, high := f.Domain()
		s := f.Best(false, low, high)
		p := pieces{f: f, last: usual}
		_, peak, _ := p.at(s)
		share, _ := p.uses.divide(0, 1, usual)
		if d := descent(f, s, share); d < -1e-6 {
			t.Fatalf("trial %d: from the sine %.9g and the share %.9g the largest use falls by %g", trial, s, share, -d)
		}
		if f.shift == 0 {
			if l := f.level(); l.search() {
				fast++
				if !(math.Abs(l.peak-peak) <= 1e-11*peak) {
					t.Fatalf("trial %d: %.15g is certified at %.9g, %.15g was found at %.9g", trial, l.peak, l.angle, peak, math.Asin(s))
				}
				if d := descent(f, l.sine, l.share); d < -1e-6 {
					t.Fatalf("trial %d: certified, and the largest use falls by %g", trial, -d)
				}
			}
		}
		const points = 700
		for k := range points + 1 {
			other := math.Sin(math.Asin(low) + (math.Asin(high)-math.Asin(low))*float64(k)/points)
			if _, v, _ := p.at(other); v < peak*(1-1e-9) {
				t.Fatalf("trial %d: %.12g at the sine %.9g, %.12g at %.9g", trial, peak, s, v, other)
			}
		}
	}
	t.Logf("%d of %d level optima were certified without a search", fast, trials/2)
	if fast < trials/4 {
		t.Errorf("only %d of %d level optima were certified without a search", fast, trials/2)
	}
}

// What the proof of the certificate says of the three meetings holds wherever its
// conditions do: each asks for at most any level in one interval of angles only, so
// that along the range it never falls again once it has grown.
func TestMeetingsHaveOneDip(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 3))
	seen := [3]int{}
	for range 3000 {
		f := randomFlag(r, false)
		f.span = f.arm * 1.1 * r.Float64()
		f.slope = Slopes{2*r.Float64() - 1, 2*r.Float64() - 1}
		l := f.level()
		p := pieces{f: f, last: usual}
		for kind, m := range [3]meeting{{AbductBottom, AdductTop}, {AbductBottom, PushBottom}, {PullTop, PushBottom}} {
			grown, last := false, math.Inf(1)
			for k := range 400 {
				p.at(math.Sin(LeastAngle + (MostAngle-LeastAngle)*float64(k)/399))
				v, _ := p.of(m)
				wide := l.span + 2
				bound := v > 0 && l.sag*wide*wide <= 2*l.reach && l.hang >= 1.07*math.Max(v, last)*l.round*wide && !math.IsInf(last, 0)
				if kind == int(meetsArms) {
					bound = l.span <= 0.8 && l.reach >= 0.85
				} else if kind == int(meetsShoulders) {
					bound = v > 0
				}
				if !bound {
					grown, last = false, v
					continue
				}
				if v < last*(1-1e-12) && grown {
					t.Fatalf("%v grows and falls again: %+v", levelKind(kind), l)
				}
				if v > last*(1+1e-12) {
					grown = true
					seen[kind]++
				}
				last = v
			}
		}
	}
	if seen[meetsShoulders] != 0 || seen[isLowest] == 0 || seen[meetsArms] == 0 {
		t.Errorf("grown: %v; both shoulders never do, the others do", seen)
	}
}
