package strength

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/muscle"
)

// evenSpread is a spread whose parts are easy to tell apart.
func evenSpread() *Spread {
	s := &Spread{Common: 0.16}
	for g := range s.Own {
		s.Own[g] = 0.10
	}
	s.Own[muscle.ElbowFlexion] = 0.07
	return s
}

// beliefCase is a set of tests of one person.
type beliefCase struct {
	name     string
	readings []Reading
	held     []Held
}

var beliefCases = []beliefCase{
	{"no tests", nil, nil},
	{"a reading", []Reading{{muscle.ShoulderAdduction, 0.21, 0.05}}, nil},
	{"two readings of a group and one of another", []Reading{{muscle.ShoulderAdduction, 0.11, 0.05}, {muscle.ShoulderAdduction, 0.17, 0.08}, {muscle.ElbowFlexion, -0.07, 0.04}}, nil},
	{"a lower bound", nil, []Held{{[]Load{{muscle.Grip, 0.02}}, 0.05, math.Inf(1)}}},
	{"a time of hanging, by grip or shoulder", nil, []Held{{[]Load{{muscle.Grip, -0.1}, {muscle.ArmPull, -0.13}}, 0.05, 0.19}}},
	{"a reading, a bound and a time, which share groups",
		[]Reading{{muscle.ShoulderFlexion, 0.13, 0.06}},
		[]Held{{[]Load{{muscle.Grip, 0.03}}, 0, math.Inf(1)}, {[]Load{{muscle.Grip, -0.1}, {muscle.ShoulderFlexion, -0.17}, {muscle.ArmPush, -0.05}}, 0.05, 0.23}}},
	{"two times of the same groups", nil, []Held{
		{[]Load{{muscle.Grip, -0.1}, {muscle.ShoulderFlexion, -0.17}}, 0.05, 0.23}, {[]Load{{muscle.ShoulderFlexion, -0.05}, {muscle.Grip, 0.07}}, -0.15, 0.1}}},
}

// drawn is a person of the spread, as brute force draws them.
func drawn(s *Spread, random *rand.Rand, y *[muscle.NumGroups]float64) float64 {
	common := s.Common * random.NormFloat64()
	for g := range y {
		y[g] = common + s.Own[g]*random.NormFloat64()
	}
	return common
}

// likely is how likely the tests are of that person: the density of the readings,
// or 0 where they would not have held it so.
func (c *beliefCase) likely(y *[muscle.NumGroups]float64) float64 {
	p := 1.0
	for _, r := range c.readings {
		z := (r.Ratio - y[r.Group]) / r.SD
		p *= math.Exp(-z * z / 2)
	}
	for _, h := range c.held {
		least := math.Inf(1)
		for _, l := range h.Loads {
			least = min(least, y[l.Group]-l.Ratio)
		}
		if least < h.Least || least > h.Most {
			return 0
		}
	}
	return p
}

// moments are those of weighted draws of the groups that the cases test, of one
// that they do not, and of the common part.
type moments struct {
	sum, square, cross [6]float64
	weight, weight2    float64
	could              float64
}

var watched = [...]muscle.Group{muscle.ShoulderAdduction, muscle.ShoulderFlexion, muscle.ElbowFlexion, muscle.Grip, muscle.HipFlexion}

// asked is a hold whose probability is compared.
var asked = []Load{{muscle.Grip, -0.02}, {muscle.ShoulderFlexion, 0.05}, {muscle.HipFlexion, -0.11}}

func (m *moments) add(y *[muscle.NumGroups]float64, common, w float64) {
	m.weight += w
	m.weight2 += w * w
	for k, v := range m.values(y, common) {
		m.sum[k] += w * v
		m.square[k] += w * v * v
		m.cross[k] += w * v * common
	}
	ok := true
	for _, l := range asked {
		ok = ok && y[l.Group] >= l.Ratio
	}
	if ok {
		m.could += w
	}
}

func (*moments) values(y *[muscle.NumGroups]float64, common float64) [6]float64 {
	v := [6]float64{5: common}
	for k, g := range watched {
		v[k] = y[g]
	}
	return v
}

// people is how many draws of equal weight the weighted ones are worth.
func (m *moments) people() float64 { return m.weight * m.weight / m.weight2 }

// A belief has the means, spreads and correlations of brute force: people drawn
// from the spread, weighted by how likely their tests are, and so has the
// probability of a hold that loads three groups. Tolerances are five standard
// errors of brute force.
func TestBeliefAgainstBruteForce(t *testing.T) {
	spread := evenSpread()
	for _, c := range beliefCases {
		t.Run(c.name, func(t *testing.T) {
			b := golden.Must(Condition(spread, c.readings, c.held))(t)
			random := rand.New(rand.NewChaCha8([32]byte{7}))
			var brute, ours moments
			var y [muscle.NumGroups]float64
			for range 1_500_000 {
				common := drawn(spread, random, &y)
				if w := c.likely(&y); w > 0 {
					brute.add(&y, common, w)
				}
			}
			for range 150_000 {
				common := b.Draw(&y, func() float64 { return 1 - random.Float64() - 1e-17 })
				ours.add(&y, common, 1)
			}
			n := 1 / (1/brute.people() + 1/ours.people())
			if n < 5000 {
				t.Fatalf("brute force has %.0f people only", n)
			}
			for k := range brute.sum {
				mean, want := ours.sum[k]/ours.weight, brute.sum[k]/brute.weight
				sd, wantSD := math.Sqrt(ours.square[k]/ours.weight-mean*mean), math.Sqrt(brute.square[k]/brute.weight-want*want)
				if !(math.Abs(mean-want) <= 5*wantSD/math.Sqrt(n)) || !(math.Abs(sd-wantSD) <= 5*wantSD/math.Sqrt(n)) {
					t.Errorf("quantity %d: mean %.4f, deviation %.4f; brute force %.4f, %.4f", k, mean, sd, want, wantSD)
				}
				cross, wantCross := ours.cross[k]/ours.weight, brute.cross[k]/brute.weight
				if !(math.Abs(cross-wantCross) <= 5*0.04/math.Sqrt(n)) {
					t.Errorf("quantity %d: product with the common part %.5f; brute force %.5f", k, cross, wantCross)
				}
			}
			could, want := b.Could(asked...), brute.could/brute.weight
			if !(math.Abs(could-want) <= 5*0.5/math.Sqrt(brute.people())) || !(math.Abs(could-ours.could/ours.weight) <= 5*0.5/math.Sqrt(ours.people())) {
				t.Errorf("could hold it: %.4f; brute force %.4f, draws %.4f", could, want, ours.could/ours.weight)
			}
		})
	}
}

// Half of the grid gives the probability of the tests to ten digits, also of somebody who may be
// trained: sums over even steps of what is smooth and falls off to either side converge faster than
// any power of the step (Trefethen and Weideman 2014, SIAM Review 56:385; from memory).
func TestGridIsFineEnough(t *testing.T) {
	for _, spread := range []*Spread{evenSpread(), evenSpread().Trained()} {
		for _, c := range beliefCases {
			b := golden.Must(Condition(spread, c.readings, c.held))(t)
			total := b.total
			if b.weigh(2); !(math.Abs(b.total-total) < 1e-10) {
				t.Errorf("%s: %.14g on the grid, %.14g on half of it", c.name, total, b.total)
			}
		}
	}
}

// Draws of the common part have its spread, whatever the step of the grid: given readings of many
// groups it is narrow, and its variance is known in closed form.
func TestDrawsBetweenTheNodes(t *testing.T) {
	spread := evenSpread().Trained()
	var readings []Reading
	precision := 1 / (spread.Common * spread.Common)
	for g := range muscle.NumGroups {
		readings = append(readings, Reading{g, 0.2, 0.01})
		precision += 1 / (spread.Own[g]*spread.Own[g] + 0.01*0.01)
	}
	b := golden.Must(Condition(spread, readings, nil))(t)
	if step := b.node(1) - b.node(0); step*step*precision < 0.4 {
		t.Fatalf("a step is %g of a deviation: nothing is tested", step*math.Sqrt(precision))
	}
	random := rand.New(rand.NewChaCha8([32]byte{3}))
	var y [muscle.NumGroups]float64
	sum, square, n := 0.0, 0.0, 400_000
	for range n {
		x := b.Draw(&y, func() float64 { return 1 - random.Float64() - 1e-17 })
		sum += x
		square += x * x
	}
	mean := sum / float64(n)
	if got, want := square/float64(n)-mean*mean, 1/precision; math.Abs(got/want-1) > 5*math.Sqrt(2/float64(n)) {
		t.Errorf("variance %.6g, want %.6g", got, want)
	}
}

// A reading is the normal-normal update, whose answer is known in closed form:
// with V the covariance of the spread, of the read group with itself V+SD².
func TestReadingIsTheNormalUpdate(t *testing.T) {
	s := evenSpread()
	const read, noise = 0.21, 0.05
	b := golden.Must(Condition(s, []Reading{{muscle.ShoulderAdduction, read, noise}}, nil))(t)
	common := s.Common * s.Common
	of := common + s.Own[muscle.ShoulderAdduction]*s.Own[muscle.ShoulderAdduction]
	for _, c := range []struct {
		group            muscle.Group
		variance, covary float64
	}{{muscle.ShoulderAdduction, of, of}, {muscle.Grip, common + s.Own[muscle.Grip]*s.Own[muscle.Grip], common}} {
		mean := c.covary / (of + noise*noise) * read
		sd := math.Sqrt(c.variance - c.covary*c.covary/(of+noise*noise))
		if got := b.Quantile(c.group, 0.5); !(math.Abs(got-mean) <= 2e-6) {
			t.Errorf("%s: median %.6f, by hand %.6f", c.group, got, mean)
		}
		if got := b.Quantile(c.group, 0.8413447460685429) - mean; !(math.Abs(got-sd) <= 2e-6) {
			t.Errorf("%s: deviation %.6f, by hand %.6f", c.group, got, sd)
		}
	}
}

// Without tests, the share of people who could take one load is the normal
// probability of its ratio over the whole spread.
func TestCouldOfOneLoad(t *testing.T) {
	s := evenSpread()
	b := golden.Must(Condition(s, nil, nil))(t)
	for _, ratio := range []float64{-0.7, -0.13, 0, 0.31, 1.1} {
		want := 0.5 * math.Erfc(ratio/math.Hypot(s.Common, s.Own[muscle.Grip])/math.Sqrt2)
		if got := b.Could(Load{muscle.Grip, ratio}); !(math.Abs(got-want) <= 1e-12*math.Max(1, want)+1e-9*want) {
			t.Errorf("ratio %g: %.12g, want %.12g", ratio, got, want)
		}
		if got := b.Could(Load{muscle.Grip, ratio}, Load{muscle.Grip, ratio - 0.4}); !(math.Abs(got-want) <= 1e-12+1e-9*want) {
			t.Errorf("ratio %g: a smaller load on the same group changed %g to %g", ratio, want, got)
		}
	}
	if b.Could() != 1 {
		t.Error("nothing is too much")
	}
}

// A time held to the end by the shoulder's law brackets its share; a time that was
// not the end bounds from below only.
func TestHeldFor(t *testing.T) {
	for _, seconds := range []float64{23, 37, 110} {
		least, most := HeldFor(seconds, ShoulderEndurance, true)
		share := -math.Log(ShoulderEndurance.Share(seconds))
		if !(least < share && share < most) || least < 0 {
			t.Errorf("%g s: %g..%g around %g", seconds, least, most, share)
		}
		bound, open := HeldFor(seconds, ShoulderEndurance, false)
		if bound != least || !math.IsInf(open, 1) {
			t.Errorf("%g s, not to the end: %g..%g", seconds, bound, open)
		}
	}
}

func TestConditionRefuses(t *testing.T) {
	s := evenSpread()
	inf := math.Inf(1)
	for name, c := range map[string]beliefCase{
		"standard deviation 0":          {readings: []Reading{{muscle.Grip, 0.1, 0}}},
		"ratio NaN":                     {readings: []Reading{{muscle.Grip, math.NaN(), 0.1}}},
		"loads 0 groups":                {held: []Held{{nil, 0, 1}}},
		"between 0.3 and 0.1":           {held: []Held{{[]Load{{muscle.Grip, 0}}, 0.3, 0.1}}},
		"between 0.2 and 0.2":           {held: []Held{{[]Load{{muscle.Grip, 0}}, 0.2, 0.2}}},
		"the tests contradict one anot": {held: []Held{{[]Load{{muscle.Grip, 0}}, 0.3, inf}, {[]Load{{muscle.Grip, 0}}, -1, 0.2}}},
	} {
		if _, err := Condition(s, c.readings, c.held); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("%s: error %v", name, err)
		}
	}
	s.Common = 0
	if _, err := Condition(s, nil, nil); err == nil {
		t.Error("a spread of 0 is taken")
	}
}

func TestNormalBetween(t *testing.T) {
	// The third number is the tolerance: the inverse loses digits in the tails, and
	// beyond seven deviations only the tail's leading term is left.
	for _, r := range [][3]float64{
		{-1.3, 0.4, 1e-12}, {2, 3, 1e-12}, {math.Inf(-1), -1, 1e-12}, {5, math.Inf(1), 1e-8}, {-7, -6, 1e-7}, {6, 7, 1e-7}, {-13, -11, 0.02}, {11, 13, 0.02},
	} {
		for _, u := range []float64{0.03, 0.5, 0.91} {
			x := normalBetween(r[0], r[1], u)
			if got := between(r[0], x) / between(r[0], r[1]); !(math.Abs(got-u) <= r[2]) {
				t.Errorf("%v at %g: %g lies above the share %g", r, u, x, got)
			}
		}
	}
}

func TestOnScale(t *testing.T) {
	r, err := OnScale(muscle.ShoulderAdduction, 12, 0.61, -4.3, 81, 0.06)
	if want := math.Log((12*9.80665*0.61 - 4.3) / 81); err != nil || r.Group != muscle.ShoulderAdduction || !(math.Abs(r.Ratio-want) <= 1e-15) || r.SD != 0.06 {
		t.Errorf("%v, %v, want %g", r, err, want)
	}
	r, err = OnScale(muscle.ArmPush, 31, math.NaN(), math.NaN(), 373, 0.06)
	if want := math.Log(31 * 9.80665 / 373); err != nil || !(math.Abs(r.Ratio-want) <= 1e-15) {
		t.Errorf("%v, %v, want %g", r, err, want)
	}
	for _, bad := range [][5]float64{{0, 0.6, 0, 81, 0.1}, {5, 0.6, -40, 81, 0.1}, {5, 0.6, 0, 0, 0.1}, {5, 0.6, 0, 81, 0}, {math.NaN(), 0.6, 0, 81, 0.1}, {math.Inf(1), 0.6, 0, 81, 0.1}, {5, 0.6, 0, math.Inf(1), 0.1}, {5, 0.6, 0, 81, math.Inf(1)}} {
		if _, err := OnScale(muscle.ShoulderFlexion, bad[0], bad[1], bad[2], bad[3], bad[4]); err == nil {
			t.Errorf("%v is taken", bad)
		}
	}
}

// Without tests fewer nodes of the grid are enough: a test that everybody passes brings
// all of them back, and nothing changes.
func TestCouldWithoutTests(t *testing.T) {
	few := golden.Must(Condition(evenSpread(), nil, nil))(t)
	all := golden.Must(Condition(evenSpread(), nil, []Held{{Loads: []Load{{muscle.Grip, -60}}, Least: 0, Most: math.Inf(1)}}))(t)
	for _, ratio := range []float64{-0.6, -0.2, -0.01, 0, 0.13, 0.4, 0.9} {
		loads := []Load{{muscle.Grip, ratio}, {muscle.ArmPush, ratio - 0.1}, {muscle.WaistForward, ratio - 0.02}}
		if a, b := few.Could(loads...), all.Could(loads...); math.Abs(a-b) > 1e-9 {
			t.Errorf("loads at %g: %g with few nodes, %g with all", ratio, a, b)
		}
	}
}

// A box that a group has from below, from above or on both sides counts as it lies about
// that group's mean, and a group that it leaves open does not.
func TestInsideABox(t *testing.T) {
	b := golden.Must(Condition(evenSpread(), nil, nil))(t)
	const common = 0.2
	mean, sd := b.given(muscle.Grip, common)
	below := func(score float64) float64 { return 0.5 * math.Erfc(-score/math.Sqrt2) }
	inf := math.Inf(1)
	for _, c := range []struct{ low, high, want float64 }{
		{-inf, inf, 1}, {-inf, 0, 0.5}, {0, inf, 0.5}, {-1, 1, below(1) - below(-1)}, {-inf, 1.3, below(1.3)}, {0.4, inf, 1 - below(0.4)},
	} {
		x := everything()
		x.low[muscle.Grip], x.high[muscle.Grip] = mean+c.low*sd, mean+c.high*sd
		if got := (scored{b.scores(&x)}).at(common); !(math.Abs(got-c.want) <= 1e-12) {
			t.Errorf("from %g to %g: %g, want %g", c.low, c.high, got, c.want)
		}
	}
}

// What the table says is what math.Erfc does, in the tails as well.
func TestBelow(t *testing.T) {
	for z := -9.0; z < 9; z += 0.00137 {
		want := 0.5 * math.Erfc(-z/math.Sqrt2)
		within := 1e-14
		if z < -3 {
			within = 1e-11
		}
		if got := below(z); !(math.Abs(got/want-1) <= within) {
			t.Errorf("below %g: %v, want %v", z, got, want)
		}
	}
}
