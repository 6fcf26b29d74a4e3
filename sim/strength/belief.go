package strength

import (
	"errors"
	"fmt"
	"slices"

	"counterpoise/sim/math"
	"counterpoise/sim/muscle"
)

// Reading is a test that measured a group's strength itself: a straight arm
// pulled or pressed against a scale, say.
type Reading struct {
	Group muscle.Group
	// Ratio is the logarithm of what was read over the capacity of the median
	// untrained adult of the person's sex, size, build and age, at the angle of the
	// test.
	Ratio float64
	// SD is by how much one person's readings differ from time to time, as a
	// standard deviation of the logarithm; above 0. Law.Within is that of grip.
	SD float64
}

// OnScale returns the reading of a straight arm that pulled or pressed against a
// scale. Of a group that gives a moment, lever is the distance, m, from the joint
// to the line of the scale's force, and carried the moment, N·m, that the group
// bore besides: the arm's own weight, negative where that helped. Of a force
// they are not looked at. capacity is that of the median untrained adult of that
// sex, size and age at the angle of the test.
func OnScale(g muscle.Group, kilograms, lever, carried, capacity, sd float64) (Reading, error) {
	read := kilograms * standardGravity
	if g.IsMoment() {
		read = float64(read*lever) + carried
	}
	if !(kilograms > 0 && read > 0 && capacity > 0 && sd > 0) || math.IsInf(read, 1) || math.IsInf(capacity, 1) || math.IsInf(sd, 1) {
		return Reading{}, fmt.Errorf("%s: a scale that read %g kg at %g m, with %g N·m besides, against %g, give or take %g", g, kilograms, lever, carried, capacity, sd)
	}
	return Reading{g, math.Log(read / capacity), sd}, nil
}

// standardGravity is g, m/s² (CGPM 1901): what a scale marked in kilograms
// takes for it.
const standardGravity = 9.80665

// Held is a test that bounds strength: the person held something that loads
// several groups, and the one loaded most for their strength gave out, or
// none did.
//
//	Least ≤ smallest over the loads of (ln strength − Ratio) ≤ Most
//
// where ln strength is of the person over the median untrained adult. HeldFor
// gives Least and Most for a time.
type Held struct {
	Loads       []Load
	Least, Most float64
}

// HeldFor turns a holding time, s, into the bounds of a Held, by a relation of
// time to share of the greatest force and its 95 % prediction range. Somebody who
// let go before they had to shows a lower bound only, and Most is +Inf. A negative time, or a
// relation that is none of the package's, gives NaN.
func HeldFor(seconds float64, e Endurance, toTheEnd bool) (least, most float64) {
	reach := math.Exp(1.959963984540054 * EnduranceSpread)
	least, most = math.Abs(math.Log(e.Share(seconds/reach))), math.Inf(1)
	if toTheEnd {
		most = math.Abs(math.Log(e.Share(seconds * reach)))
	}
	return least, most
}

// Belief is what is known of one person's strength, as a distribution: of y, the
// logarithm of strength over that of the median untrained adult of that sex, size
// and age, in each group. It is the spread between people, conditioned on
// tests; without tests the spread itself.
//
// y = common + own. Given the common part the groups are independent, and every
// test is a set of boxes of their y, so the distribution is exact but for the
// grid on which the common part lies.
type Belief struct {
	spread   Spread
	readings [muscle.NumGroups]struct{ precision, sum float64 } // of the own part's observation: Σ1/SD², ΣRatio/SD²
	boxes    []box                                              // disjoint; the tests say that y lies in one of them
	weight   []float64                                          // of each node of the grid, up to its own, cumulated
	total    float64                                            // logarithm of the probability of the tests
}

// box bounds the y of each group.
type box struct {
	low, high [muscle.NumGroups]float64
}

// The grid of the common part: so many nodes over so many standard deviations to
// either side. A node whose probability is less than e^-negligible of another's is left
// out. What a test says of the common part is blurred by a group's own part, so the grid
// need be no finer than that.
const (
	beliefNodes = 401
	beliefReach = 8.0
	// untestedStep is the step over the grid where there are no tests.
	untestedStep = 4
	negligible   = 40.0
)

// Condition returns what tests make of the spread between people. The error says
// that a test is no test, or that they contradict one another.
func Condition(spread *Spread, readings []Reading, held []Held) (*Belief, error) {
	if !(spread.Common > 0) || slices.ContainsFunc(spread.Own[:], func(own float64) bool { return !(own > 0) }) {
		return nil, errors.New("strength: a spread between people must be above 0")
	}
	b := &Belief{spread: *spread, boxes: []box{everything()}}
	for _, r := range readings {
		if !(r.SD > 0) || r.Ratio-r.Ratio != 0 {
			return nil, fmt.Errorf("%s: a reading of ratio %g with standard deviation %g", r.Group, r.Ratio, r.SD)
		}
		precision := 1 / (r.SD * r.SD)
		b.readings[r.Group].precision += precision
		b.readings[r.Group].sum += float64(precision * r.Ratio)
	}
	for i := range held {
		if len(held[i].Loads) == 0 || !(held[i].Least < held[i].Most) {
			return nil, fmt.Errorf("strength: something held that loads %d groups, between %g and %g", len(held[i].Loads), held[i].Least, held[i].Most)
		}
		if math.IsInf(held[i].Most, 1) {
			b.boxes = held[i].atLeast(b.boxes)
		} else {
			b.boxes = intersect(b.boxes, held[i].boxes())
		}
	}
	b.weigh(1)
	if math.IsInf(b.total, -1) {
		return nil, errors.New("strength: the tests contradict one another")
	}
	return b, nil
}

func everything() box {
	var x box
	for g := range muscle.NumGroups {
		x.low[g], x.high[g] = math.Inf(-1), math.Inf(1)
	}
	return x
}

// atLeast cuts off boxes, in their place, where some group is weaker than Least.
func (h *Held) atLeast(boxes []box) []box {
	left := boxes[:0]
	for _, x := range boxes {
		empty := false
		for _, l := range h.Loads {
			x.low[l.Group] = max(x.low[l.Group], l.Ratio+h.Least)
			empty = empty || x.low[l.Group] >= x.high[l.Group]
		}
		if !empty {
			left = append(left, x)
		}
	}
	return left
}

// boxes splits what a test to the end shows into disjoint boxes: that no group is weaker
// than Least, and which is the first that is not stronger than Most.
func (h *Held) boxes() []box {
	none := everything()
	for _, l := range h.Loads {
		none.low[l.Group] = max(none.low[l.Group], l.Ratio+h.Least)
	}
	var list []box
	past := none // the groups before are stronger than Most
	for g := range muscle.NumGroups {
		if math.IsInf(none.low[g], -1) {
			continue
		}
		most := none.low[g] - h.Least + h.Most
		first := past
		first.high[g] = most
		list = append(list, first)
		past.low[g] = most
	}
	return list
}

func intersect(a, b []box) []box {
	var list []box
	for i := range a {
		for j := range b {
			x, empty := a[i], false
			for g := range muscle.NumGroups {
				x.low[g], x.high[g] = max(x.low[g], b[j].low[g]), min(x.high[g], b[j].high[g])
				empty = empty || x.low[g] >= x.high[g]
			}
			if !empty {
				list = append(list, x)
			}
		}
	}
	return list
}

// node returns the common part at a node of the grid.
func (b *Belief) node(k int) float64 {
	return float64(b.spread.Common * beliefReach * (2*float64(k)/(beliefNodes-1) - 1))
}

// weigh fills the weights of every so many nodes of the grid, and the probability of the
// tests. To either side of where the common part is likeliest without boxes its density
// falls, and boxes make nothing more: once negligible, it stays so. Under one box so does the
// weight itself, whose logarithm is concave in the common part, as those of a normal density
// and of the probability of an interval are (Prékopa 1973).
func (b *Belief) weigh(step int) {
	weight, top, least := make([]float64, (beliefNodes-1)/step+1), 0.0, math.Exp(-negligible)
	alone, inside := b.alone(), b.scored()
	apart := b.node(step) - b.node(0)
	middle := int(math.Round((alone.mean - b.node(0)) / apart))
	middle = min(max(middle, 0), len(weight)-1)
	bend := math.Exp(-float64(apart * apart / alone.variance)) // by which each ratio of neighbours changes
	side := func(k, way int) {
		from := b.node(k * step)
		density := math.Exp(alone.log(from))
		ratio := math.Exp(alone.log(b.node((k+way)*step)) - alone.log(from))
		for ; k >= 0 && k < len(weight) && density >= top*least; k += way {
			w := density * inside.at(b.node(k*step))
			weight[k] = w
			if w < top*least && len(b.boxes) == 1 {
				return
			}
			top = max(top, w)
			density *= ratio
			ratio *= bend
		}
	}
	side(middle, 1)
	side(middle-1, -1)
	// What lies within half a step of a node, where the density bends, is not the node's alone: by
	// the second term of Taylor's series. Over all nodes that is nothing.
	sum, before := 0.0, 0.0
	for k, w := range weight {
		next := 0.0
		if k+1 < len(weight) {
			next = weight[k+1]
		}
		sum += w + (before-2*w+next)/24
		weight[k], before = max(sum, 0), w
	}
	b.weight, b.total = weight, alone.most+math.Log(sum*float64(step))
}

// bell is a normal density, up to a factor, whose logarithm is most at the mean.
type bell struct{ mean, variance, most float64 }

// log is the logarithm of the density over that at the mean.
func (b bell) log(x float64) float64 { return -float64((x-b.mean)*(x-b.mean)) / (2 * b.variance) }

// alone returns the density of the common part where there are no boxes, up to what does
// not depend on it: of the spread, and of the readings, whose own parts are open.
func (b *Belief) alone() bell {
	precision, slope, level := 1/(b.spread.Common*b.spread.Common), 0.0, 0.0
	for g := range b.readings {
		if r := &b.readings[g]; r.precision > 0 {
			read, variance := r.sum/r.precision, float64(b.spread.Own[g]*b.spread.Own[g])+1/r.precision
			precision += 1 / variance
			slope += read / variance
			level += read * read / (2 * variance)
		}
	}
	return bell{slope / precision, 1 / precision, slope*slope/(2*precision) - level}
}

// given returns mean and standard deviation of a group's y, given the common
// part and the readings, the boxes apart.
func (b *Belief) given(g muscle.Group, common float64) (mean, sd float64) {
	own := 1 / (b.spread.Own[g] * b.spread.Own[g])
	r := &b.readings[g]
	precision := own + r.precision
	return (float64(own*common) + r.sum) / precision, 1 / math.Sqrt(precision)
}

// scores are the ends of a group's y in a box as normal scores, given the readings and
// a common part of 0, and how far they fall as that grows.
type scores struct{ low, high, fall float64 }

// scored are the groups that boxes bound, box by box.
type scored [][]scores

// scored returns the groups that the boxes bound.
func (b *Belief) scored() scored {
	list := make(scored, len(b.boxes))
	for i := range b.boxes {
		list[i] = b.scores(&b.boxes[i])
	}
	return list
}

func (b *Belief) scores(x *box) []scores {
	var list []scores
	for g := range muscle.NumGroups {
		if x.low[g] < -math.MaxFloat64 && x.high[g] > math.MaxFloat64 {
			continue
		}
		at, sd := b.given(g, 0)
		next, _ := b.given(g, 1)
		list = append(list, scores{(x.low[g] - at) / sd, (x.high[g] - at) / sd, (next - at) / sd})
	}
	return list
}

// at is the probability of the boxes, given the common part and the readings.
func (s scored) at(common float64) float64 {
	sum := 0.0
	for _, box := range s {
		p := 1.0
		for _, g := range box {
			p *= between(g.low-float64(g.fall*common), g.high-float64(g.fall*common))
		}
		sum += p
	}
	return sum
}

// between is the probability of a normal score between a and b, exact in the
// tails.
func between(a, b float64) float64 {
	if a < -whole && b > whole {
		return 1
	}
	const never = 40 // beyond it nothing lies
	switch {
	case b > never:
		return below(-a)
	case a < -never:
		return below(b)
	case a > 0:
		a, b = -b, -a
	}
	return below(b) - below(a)
}

// whole is the score beyond which no probability is left that a float64 next to 1 has
// room for.
const whole = 8.5

// normal has the probability below a score and its density there, perScore times in
// every standard deviation.
var normal = func() (table [2*whole*perScore + 1]struct{ below, density float64 }) {
	for k := range table {
		z := float64(float64(k)/perScore) - whole
		table[k].below, table[k].density = math.NormalShare(z), math.NormalDensity(z)
	}
	return table
}()

const perScore = 128

// below is the probability of a normal score below z: from the table by the first terms
// of Taylor's series, to 1e-14 of itself and 1e-11 in its far tail, and five times as
// fast as math.Erfc.
func below(z float64) float64 {
	if !(math.Abs(z) < whole) {
		return math.NormalShare(z)
	}
	k := int(float64((z+whole)*perScore) + 0.5)
	x := float64(float64(k)/perScore) - whole
	d := z - x
	series := 1 + float64(d*(float64(-x/2)+float64(d*((float64(x*x)-1)/6+float64(d*(x*(3-float64(x*x))/24+d*(float64((float64(x*x)-6)*x*x)+3)/120))))))
	return normal[k].below + float64(normal[k].density*d*series)
}

// Could is the probability that the person can take all the loads together.
// Loads on one group count once, the largest.
func (b *Belief) Could(loads ...Load) float64 {
	if len(loads) == 0 {
		return 1
	}
	with, step := *b, 1
	if b.untested() {
		step = untestedStep
	}
	with.boxes = (&Held{Loads: loads, Most: math.Inf(1)}).atLeast(slices.Clone(b.boxes))
	with.weigh(step)
	return math.Exp(with.total - b.total)
}

// untested reports whether the belief is the spread between people itself.
func (b *Belief) untested() bool {
	for g := range b.readings {
		if b.readings[g].precision > 0 {
			return false
		}
	}
	return len(b.boxes) == 1 && b.boxes[0] == everything()
}

// Quantile returns the y of a group below which it lies with probability p, to
// 1e-6.
func (b *Belief) Quantile(g muscle.Group, p float64) float64 {
	reach := beliefReach * math.Hypot(b.spread.Common, b.spread.Own[g])
	low, high := -reach, reach
	for high-low > 1e-6 {
		middle := (low + high) / 2
		if 1-b.Could(Load{g, middle}) < p {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

// Draw fills y with one draw of the person's strength in every group, and returns
// its common part. uniform returns numbers between 0 and 1, the ends left out;
// a draw takes NumGroups+2 of them.
func (b *Belief) Draw(y *[muscle.NumGroups]float64, uniform func() float64) (common float64) {
	at := float64(uniform() * b.weight[beliefNodes-1])
	k, _ := slices.BinarySearch(b.weight, at)
	inside := func(k int) float64 { // the probability within half a step of a node
		switch {
		case k < 0 || k >= beliefNodes:
			return 0
		case k == 0:
			return b.weight[0]
		}
		return b.weight[k] - b.weight[k-1]
	}
	// There the density is a straight line, which rises by tilt over a step: of u of the probability,
	// counted from the middle, this is the place.
	tilt := min(max((inside(k+1)-inside(k-1))/(2*inside(k)), -2), 2)
	u := float64((at-(b.weight[k]-inside(k)))/inside(k)) - 0.5 + float64(tilt/8)
	within := 2 * u / (1 + math.Sqrt(max(1+float64(2*tilt*u), 0)))
	common = b.node(k) + float64((b.node(1)-b.node(0))*within)
	x := b.choose(common, uniform())
	for g := range muscle.NumGroups {
		mean, sd := b.given(g, common)
		y[g] = mean + float64(sd*normalBetween((x.low[g]-mean)/sd, (x.high[g]-mean)/sd, uniform()))
	}
	return common
}

// choose picks a box by its probability, given the common part.
func (b *Belief) choose(common, u float64) *box {
	if len(b.boxes) == 1 {
		return &b.boxes[0]
	}
	inside := b.scored()
	sum := inside.at(common)
	for i := range b.boxes {
		u -= inside[i:i+1].at(common) / sum
		if u < 0 {
			return &b.boxes[i]
		}
	}
	return &b.boxes[len(b.boxes)-1]
}

// normalBetween returns the normal score between a and b that the share u of
// that range's probability lies below.
func normalBetween(a, b, u float64) float64 {
	if a > 0 {
		return -normalBetween(-b, -a, 1-u)
	}
	low, high := math.NormalShare(a), math.NormalShare(b)
	x := math.NormalQuantile(low + float64(u*(high-low)))
	if high < 1e-12 {
		// So far out the inverse has no digits left; the tail falls like exp(−x²/2).
		x = -math.Sqrt(float64(b*b) - float64(2*math.Log(u)))
	}
	return min(max(x, a), b)
}
