// Package holdtest checks holds: those of sim/hold, and those made elsewhere.
//
// What a hold says of bodies is compared with the general solver by the oracle of
// every demand that it asks for, over drawn bodies of both sexes, in every posture
// that it allows, under every model, at random assumptions. It must scale, be
// continuous, refuse bodies that cannot take it, and allocate nothing. Nothing of this
// is listed by hand: a hold and its demands say what there is to check.
package holdtest

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/muscle"
	"counterpoise/sim/names"
	"counterpoise/sim/statics"
	"counterpoise/sim/strength"

	"gonum.org/v1/gonum/floats"
)

var sexes = []string{"ansur2-men", "ansur2-women"}

// checks are the parts of the battery.
var checks = []struct {
	name string
	run  func(h *hold.Hold) error
}{
	{"closed forms agree with the general solver", Oracles},
	{"figures", Figures},
	{"loads", Loads},
	{"parts", Parts},
	{"scaling", Scaling},
	{"continuity", Continuity},
	{"refusal", Refusal},
	{"allocation", Allocation},
}

// Battery runs every check on a hold, each as a test of its own.
func Battery(t *testing.T, h *hold.Hold) {
	for _, c := range checks {
		t.Run(c.name, func(t *testing.T) {
			if err := c.run(h); err != nil {
				t.Error(err)
			}
		})
	}
}

// Poses lists postures of a hold: every form of the legs, and every variant at values
// inside its range, alone and with the others it allows, each level and tilted, with
// the arms at their best; and where they may be placed, at random angles, one for each
// of so many bodies.
func Poses(h *hold.Hold, rows int) []hold.Posture {
	list := names.Each(h.LegForms, func(form hold.LegForm) hold.Posture { return hold.Posture{Legs: hold.LegsIn(form, 0.55)} })
	for _, v := range h.Variants {
		values := []float64{1}
		if v.Info().Unit != "" {
			low, high := inside(v)
			values = []float64{low + float64(0.16*(high-low)), low + float64(0.52*(high-low)), low + float64(0.84*(high-low))}
		}
		for _, x := range values {
			for _, p := range list {
				if p.Pose.Is(hold.FeetRaised) && v == hold.HandsRaised || p.Pose.Is(v) {
					continue
				}
				p.Pose[v] = x
				list = append(list, p)
			}
		}
	}
	if h.Tilts {
		for _, p := range list {
			for _, tilt := range []float64{-0.17, 0.24} {
				p.Tilt = tilt
				list = append(list, p)
			}
		}
	}
	if h.Places(hold.GivenAngle) {
		random := rand.New(rand.NewPCG(2, 7))
		for _, p := range list {
			p.Rule, p.Angle = hold.GivenAngle, make([]float64, rows)
			for i := range p.Angle {
				p.Angle[i] = h.LeastAngle + float64((h.MostAngle-h.LeastAngle)*(0.1+float64(0.8*random.Float64())))
			}
			list = append(list, p)
		}
	}
	return list
}

// inside is where ordinary bodies can take a variant that is a length or an angle: about
// its default, or from near its least value.
func inside(v hold.Variant) (low, high float64) {
	i := v.Info()
	if i.Default != 0 {
		return 0.5 * i.Default, math.Min(2*i.Default, i.Most)
	}
	return i.Least + 0.05, math.Min(i.Least+0.55, i.Most)
}

// RandomAssumptions draws every assumption from its range.
func RandomAssumptions(random *rand.Rand) assume.Set {
	u := assume.DefaultUncertainty()
	point := make([]float64, len(u.Free()))
	for k := range point {
		point[k] = random.Float64()
	}
	return u.At(point)
}

// forEach runs a check over bodies of both sexes, in every pose under every model, at
// random assumptions, up to the first fault.
func forEach(h *hold.Hold, rows int, check func(b *Bodies, p hold.Posture, m hold.Model) error) error {
	random := rand.New(rand.NewPCG(31, 7))
	for k, p := range Poses(h, rows) {
		b, err := Draw(sexes[k%2], body.Masses(k%3), rows, RandomAssumptions(random))
		if err != nil {
			return err
		}
		for _, m := range h.Models {
			if err := check(b, p, m); err != nil {
				p.Angle = nil
				return fmt.Errorf("%s, %s, %+v: %w", h.Name, m, p, err)
			}
		}
	}
	return nil
}

// Oracles compares every demand of the hold with what its oracle reads off the general
// solver. A demand without an oracle, or whose oracle the hold's figure does not tell,
// is a fault.
func Oracles(h *hold.Hold) error {
	return forEach(h, 40, func(b *Bodies, p hold.Posture, m hold.Model) error {
		possible, err := b.agree(h, p, m)
		if err == nil && possible < 20 {
			err = fmt.Errorf("only %d of %d bodies can take it: too few to compare", possible, b.Rows())
		}
		return err
	})
}

// agree compares every demand of a hold with its oracle, and counts the bodies that can
// take the posture.
func (b *Bodies) agree(h *hold.Hold, p hold.Posture, m hold.Model) (possible int, err error) {
	r := b.Solve(h, p, m)
	for i := range r.Possible {
		if !r.Possible[i] {
			continue
		}
		possible++
		solved, err := b.General(h, i, p, m, r)
		if err != nil {
			return possible, err
		}
		for _, d := range h.Asks(m) {
			if d.Oracle == nil {
				return possible, fmt.Errorf("nothing checks %s: it has no oracle", d)
			}
			want, err := d.Oracle(solved)
			if err != nil {
				return possible, fmt.Errorf("nothing checks %s: %w", d, err)
			}
			if h.Unknown(m, d, p) != "" {
				if !math.IsNaN(r.Value[d][i]) || !math.IsNaN(want) {
					return possible, fmt.Errorf("%s is %g though nobody knows it, the oracle says %g", d, r.Value[d][i], want)
				}
				continue
			}
			got := r.Value[d][i]
			if !d.Signed {
				got, want = math.Abs(got), math.Abs(want)
			}
			if !(math.Abs(got-want) <= 1e-9) {
				return possible, fmt.Errorf("row %d: %s is %.12g, the general solver says %.12g", i, d, got, want)
			}
		}
	}
	return possible, nil
}

// Figures holds of every figure that nothing is left unbalanced, any pivot gives the
// same, the mirror image carries the same with moments turned round, all weight is
// carried, masses add up, every joint lies where its parent's bone can reach, and every
// support on what holds the body.
func Figures(h *hold.Hold) error {
	return forEach(h, 6, func(b *Bodies, p hold.Posture, m hold.Model) error {
		r := b.Solve(h, p, m)
		for i, possible := range r.Possible {
			if !possible {
				continue
			}
			solved, err := b.General(h, i, p, m, r)
			if err != nil {
				return err
			}
			if err := sound(solved.Figure, solved.Solution, b, i); err != nil {
				return err
			}
		}
		return nil
	})
}

func sound(f *hold.Figure, sol *statics.Solution, b *Bodies, i int) error {
	weight := b.Mass[i] * statics.StandardGravity
	if sol.Residual > 1e-9 {
		return fmt.Errorf("%g left unbalanced", sol.Residual)
	}
	mass := 0.0
	for _, s := range f.System.Segments {
		mass += s.Mass
		if s.Parent == "" {
			continue
		}
		if away := fromBone(f, s.Parent, s.Joint); away > float64(b.ShoulderSpan[i]/2)+b.Rise[i]+1e-12 {
			return fmt.Errorf("%s is joined to %s away from it", s.Name, s.Parent)
		}
	}
	if math.Abs(mass-b.Mass[i]) > 1e-9*mass {
		return fmt.Errorf("segments weigh %g kg, the body %g kg", mass, b.Mass[i])
	}
	var carried statics.Vec
	for _, s := range f.Supports {
		force, err := f.Force(sol, s.Name)
		if err != nil {
			return err
		}
		carried = carried.Plus(force)
		if !touches(f.Fixture, s.At) {
			return fmt.Errorf("%s is in the air: no part of what holds the body is there", s.Name)
		}
	}
	for _, l := range f.System.Loads {
		carried = carried.Plus(l.Force)
	}
	if left := carried.Minus(statics.Vec{Y: weight}).Length(); left > 1e-9*weight {
		return fmt.Errorf("the supports carry %v N of %g N", carried, weight)
	}
	for _, pivot := range []statics.Vec{{X: 3.3, Y: -1.7}, {X: -0.4, Y: 9.1}} {
		other, err := f.System.SolveAbout(pivot)
		if err != nil {
			return err
		}
		for name, v := range sol.Value {
			if math.Abs(other.Value[name]-v) > 1e-9*weight {
				return fmt.Errorf("%s is %g N about %v, else %g N", name, other.Value[name], pivot, v)
			}
		}
	}
	mirrored := mirror(f)
	image, err := mirrored.System.Solve()
	if err != nil {
		return fmt.Errorf("mirrored: %w", err)
	}
	for _, j := range f.Joints {
		m, _ := f.Moment(sol, j.Name)
		n, err := mirrored.Moment(image, j.Name)
		if err != nil || math.Abs(m+n) > 1e-9*weight {
			return fmt.Errorf("moment at the %s is %g N·m, mirrored %g (%v)", j.Name, m, n, err)
		}
	}
	return nil
}

// Parts holds that where posture is a choice, the largest of the conditions that set
// the best one is the difficulty, and that no other angle has a smaller one.
func Parts(h *hold.Hold) error {
	if h.Parts == nil {
		return nil
	}
	return forEach(h, 20, func(b *Bodies, p hold.Posture, m hold.Model) error {
		if !h.AsksFor(m, hold.ArmAngle) || !h.AsksFor(m, hold.Difficulty) {
			return errors.New("a choice of posture has an angle and a difficulty")
		}
		r, values := b.Solve(h, p, m), make([]float64, len(h.Parts(m)))
		for i, possible := range r.Possible {
			if !possible {
				continue
			}
			at := h.PartsOf(b.Columns, b.Capacity, i, p, m, &b.Assume)
			angle, want := r.Value[hold.ArmAngle][i], r.Value[hold.Difficulty][i]
			if !at(values, angle) || !(math.Abs(slices.Max(values)/want-1) <= 1e-9) {
				return fmt.Errorf("row %d: the parts are %v at %g, the difficulty %g", i, values, angle, want)
			}
			for k := range 50 {
				other := h.LeastAngle + (h.MostAngle-h.LeastAngle)*float64(k)/49
				if p.Rule == hold.Best && at(values, other) && slices.Max(values) < want*(1-1e-9) {
					return fmt.Errorf("row %d: the parts are %v at %g, smaller than the difficulty %g of the best posture", i, values, other, want)
				}
			}
		}
		return nil
	})
}

// fromBone is how far a point lies from the line of a segment's bone.
func fromBone(f *hold.Figure, segment string, at statics.Vec) float64 {
	for _, bone := range f.Bones {
		if bone.Segment != segment {
			continue
		}
		return fromLine(bone.From, bone.To, at)
	}
	return math.Inf(1)
}

// touches reports whether a point is on a fixture.
func touches(fixture []hold.Edge, at statics.Vec) bool {
	return slices.ContainsFunc(fixture, func(e hold.Edge) bool { return fromLine(e.From, e.To, at) < 1e-9 })
}

// fromLine is how far a point lies from the line between two others.
func fromLine(from, to, at statics.Vec) float64 {
	line := to.Minus(from)
	share := 0.0
	if length := line.Length(); length > 0 {
		share = math.Min(math.Max(at.Minus(from).Dot(line)/(length*length), 0), 1)
	}
	return at.Minus(from.Plus(line.Times(share))).Length()
}

// mirror turns left and right of a figure round.
func mirror(f *hold.Figure) *hold.Figure {
	turn := func(v statics.Vec) statics.Vec { return statics.Vec{X: -v.X, Y: v.Y} }
	s := &statics.System{Gravity: f.System.Gravity, Closures: f.System.Closures}
	for _, g := range f.System.Segments {
		g.Joint, g.Centre = turn(g.Joint), turn(g.Centre)
		s.Segments = append(s.Segments, g)
	}
	for _, l := range f.System.Loads {
		l.At, l.Force = turn(l.At), turn(l.Force)
		s.Loads = append(s.Loads, l)
	}
	for _, r := range f.System.Reactions {
		r.At, r.Direction = turn(r.At), turn(r.Direction)
		s.Reactions = append(s.Reactions, r)
	}
	return &hold.Figure{System: s, Joints: f.Joints, Supports: f.Supports}
}

// Scaling holds that a body enlarged in every length, its weight with it, carries the
// same shares of its weight and longer moments, whatever the exponent of its mass.
func Scaling(h *hold.Hold) error {
	if h.Sized {
		return nil
	}
	const scale = 1.37
	return forEach(h, 30, func(b *Bodies, p hold.Posture, m hold.Model) error {
		first := b.Solve(h, p, m)
		large, err := b.Changed(body.Change{Of: body.Amounts{body.Size: {Share: scale - 1}}})
		if err != nil {
			return err
		}
		// Capacities of the enlarged body in body weights: moments have a longer lever.
		large.Capacity = hold.NewCapacity(b.Rows())
		large.Capacity.Curve = b.Capacity.Curve
		copy(large.Capacity.Relative, b.Capacity.Relative)
		for g := range muscle.NumGroups {
			lever := 1.0
			if g.IsMoment() {
				lever = scale
			}
			floats.ScaleTo(large.Capacity.Of[g], lever, b.Capacity.Of[g])
		}
		q := p
		for _, v := range h.Variants {
			if v.Info().Unit == "m" {
				q.Pose[v] = p.Pose.Or(v) * scale
			}
		}
		second := large.Solve(h, q, m)
		for i, possible := range first.Possible {
			if possible != second.Possible[i] {
				return fmt.Errorf("row %d: possible is %v, enlarged %v", i, possible, second.Possible[i])
			}
			if !possible {
				continue
			}
			for _, d := range h.Asks(m) {
				if h.Unknown(m, d, p) != "" {
					continue
				}
				want := first.Value[d][i]
				if d.Unit == "m" || d.Unit == "BW·m" {
					want *= scale
				}
				// The search for a best posture ends within rounding of a kink.
				if got := second.Value[d][i]; !(math.Abs(got-want) <= 1e-7*math.Max(1, math.Abs(want))) {
					return fmt.Errorf("row %d: %s is %.12g, of an enlarged body %.12g and not %.12g", i, d, first.Value[d][i], got, want)
				}
			}
		}
		return nil
	})
}

// path is a way along which a posture or a body moves, x from 0 to 1.
type path struct {
	name string
	at   func(p *hold.Posture, b *Bodies, x float64) error
}

// paths lists what may move: the body's arms, every part of the pose that is a number,
// the legs, and the assumptions that the hold reads.
func paths(h *hold.Hold, m hold.Model) []path {
	list := []path{{"arm length", func(_ *hold.Posture, b *Bodies, x float64) error {
		longer, err := b.Changed(body.Change{Of: body.Amounts{body.ArmLength: {Metres: 0.01 + float64(0.1*x)}}})
		b.Columns = longer.Columns
		return err
	}}}
	pose := func(name string, set func(p *hold.Posture, x float64)) {
		list = append(list, path{name, func(p *hold.Posture, _ *Bodies, x float64) error {
			set(p, x)
			return nil
		}})
	}
	for _, v := range h.Variants {
		if low, high := inside(v); v.Info().Unit != "" {
			pose(v.String(), func(p *hold.Posture, x float64) { p.Pose[v] = low + float64(x*(high-low)) })
		}
	}
	if h.TakesLegs(hold.Straddle) {
		pose("straddle", func(p *hold.Posture, x float64) { p.Legs = hold.LegsIn(hold.Straddle, float64(1.2*x)+0.01) })
	}
	if h.TakesLegs(hold.Tuck) {
		pose("tuck", func(p *hold.Posture, x float64) {
			p.Legs = hold.LegsIn(hold.Tuck, 0)
			p.Legs.Hip, p.Legs.Knee = 2.2*x, 2.4*x
		})
	}
	for _, id := range h.Assumptions(m) {
		list = append(list, path{id.String(), func(_ *hold.Posture, b *Bodies, x float64) error {
			info := id.Info()
			low, high := info.Low, info.High
			if info.Choice { // pinned near an end there may be two postures that ask alike
				low, high = info.Least+float64(0.4*(info.Most-info.Least)), info.Most-float64(0.4*(info.Most-info.Least))
			}
			b.Assume[id] = low + float64(x*(high-low))
			strength.OfReference(b.Capacity, b.Columns, &b.Assume)
			return nil
		}})
	}
	return list
}

// Continuity holds that where the posture moves a little, so do the demands: a step ten
// times finer has jumps about ten times smaller.
func Continuity(h *hold.Hold) error {
	drawn, err := Draw(sexes[0], body.Residual, 3, assume.Defaults())
	if err != nil {
		return err
	}
	for _, m := range h.Models {
		for _, way := range paths(h, m) {
			coarse, err := jumps(h, m, drawn, way, 40)
			if err != nil {
				return fmt.Errorf("%s, %s, along %s: %w", h.Name, m, way.name, err)
			}
			fine, err := jumps(h, m, drawn, way, 400)
			if err != nil {
				return fmt.Errorf("%s, %s, along %s: %w", h.Name, m, way.name, err)
			}
			for _, d := range h.Asks(m) {
				if !(fine[d] <= float64(0.2*coarse[d])+1e-6) {
					return fmt.Errorf("%s, %s, along %s: %s jumps by %g in a coarse step and still by %g in one of a tenth", h.Name, m, way.name, d, coarse[d], fine[d])
				}
			}
		}
	}
	return nil
}

// jumps returns by how much each demand changes at most in one of the steps along a
// path. Short of where it gets lost a body may move as fast as it likes: only those
// that can go all the way count.
func jumps(h *hold.Hold, m hold.Model, drawn *Bodies, way path, steps int) (map[hold.Demand]float64, error) {
	var results []*hold.Result
	unknown := map[hold.Demand]bool{} // somewhere along the path
	lost := make([]bool, drawn.Rows())
	for k := range steps + 1 {
		b := &Bodies{drawn.Columns, hold.NewCapacity(drawn.Rows()), drawn.Assume}
		strength.OfReference(b.Capacity, b.Columns, &b.Assume)
		var p hold.Posture
		if err := way.at(&p, b, float64(k)/float64(steps)); err != nil {
			return nil, err
		}
		r := b.Solve(h, p, m)
		for i, possible := range r.Possible {
			lost[i] = lost[i] || !possible
		}
		for _, d := range h.Asks(m) {
			unknown[d] = unknown[d] || h.Unknown(m, d, p) != ""
		}
		results = append(results, r)
	}
	largest, gone := map[hold.Demand]float64{}, true
	for i := range lost {
		if lost[i] {
			continue
		}
		gone = false
		for k, r := range results[1:] {
			for _, d := range h.Asks(m) {
				if !unknown[d] {
					largest[d] = math.Max(largest[d], math.Abs(r.Value[d][i]-results[k].Value[d][i]))
				}
			}
		}
	}
	if gone {
		return nil, errors.New("not possible for anybody")
	}
	return largest, nil
}
