package holdtest

import (
	"fmt"
	"math"
	"math/rand/v2"

	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/strength"
)

// Carrying returns the bodies under a load; what they can give stays as it was.
func (b *Bodies) Carrying(l body.Load) (*Bodies, error) {
	c := &Bodies{body.New(b.Rows()), b.Capacity, b.Assume}
	return c, l.Apply(c.Columns, b.Columns)
}

// mostOff is how much is taken off at a point in these checks, kg: less than what turns
// the lightest bodies over.
var mostOff = body.Load{body.AtHead: 3, body.AtChest: 15, body.AtWaist: 12, body.AtHips: 8, body.AtKnees: 5, body.AtAnkles: 3, body.AtWrists: 1, body.AtHands: 1}

// Loads holds that bodies which carry something, or are helped, are held up as the
// general solver says whose figure has the same masses as forces at the same points, and
// are in balance; that no load is none; that a load counts as much as an assist takes off;
// and that a larger body with a larger load is held up alike.
func Loads(h *hold.Hold) error {
	random := rand.New(rand.NewPCG(8, 15))
	return forEach(h, 8, func(b *Bodies, p hold.Posture, m hold.Model) error {
		for _, l := range someLoads(random) {
			loaded, err := b.Carrying(l)
			if err != nil {
				return err
			}
			if _, err := loaded.agree(h, p, m); err != nil {
				return fmt.Errorf("under %v kg: %w", l, err)
			}
			r := loaded.Solve(h, p, m)
			for i := range 2 {
				if !r.Possible[i] {
					continue
				}
				solved, err := loaded.General(h, i, p, m, r)
				if err != nil {
					return err
				}
				if err := sound(solved.Figure, solved.Solution, loaded, i); err != nil {
					return fmt.Errorf("under %v kg: %w", l, err)
				}
			}
		}
		if err := b.nothing(h, p, m); err != nil {
			return err
		}
		return b.likeFat(h, p, m)
	})
}

// someLoads returns one load at a single point, one assist at another, and both on all.
func someLoads(random *rand.Rand) []body.Load {
	var one, off, all body.Load
	one[random.IntN(int(body.NumPoints))] = 20 * random.Float64()
	point := random.IntN(int(body.NumPoints))
	off[point] = -mostOff[point] * random.Float64()
	for at := range all {
		all[at] = 12 * random.Float64()
		if random.IntN(3) == 0 {
			all[at] = -mostOff[at] / 4 * random.Float64()
		}
	}
	return []body.Load{one, off, all}
}

// nothing holds that a load of nothing changes not a bit.
func (b *Bodies) nothing(h *hold.Hold, p hold.Posture, m hold.Model) error {
	same, err := b.Carrying(body.Load{})
	if err != nil {
		return err
	}
	want, got := b.Solve(h, p, m), same.Solve(h, p, m)
	for _, d := range h.Asks(m) {
		for i, x := range want.Value[d] {
			if math.Float64bits(x) != math.Float64bits(got.Value[d][i]) {
				return fmt.Errorf("row %d: %s is %g, under a load of nothing %g", i, d, x, got.Value[d][i])
			}
		}
	}
	return nil
}

// likeFat holds that a body under a load asks for the same, in newtons, as the body of
// which the mass is a part: what was added to it as fat.
func (b *Bodies) likeFat(h *hold.Hold, p hold.Posture, m hold.Model) error {
	const kg = 7
	loaded, err := b.Carrying(body.Load{body.AtChest: kg})
	if err != nil {
		return err
	}
	fat, err := b.Changed(body.Change{Mass: []body.AddedMass{{Region: body.UpperTrunk, Kilograms: kg}}})
	if err != nil {
		return err
	}
	fat.Capacity = hold.NewCapacity(b.Rows())
	same := make([]strength.Ratio, b.Rows())
	for i := range same {
		same[i] = strength.Ratio{Force: 1, Lever: 1}
	}
	strength.Scale(fat.Capacity, b.Capacity, same, b.Mass, fat.Mass)
	first, second := loaded.Solve(h, p, m), fat.Solve(h, p, m)
	for i, possible := range first.Possible {
		if possible != second.Possible[i] {
			return fmt.Errorf("row %d: possible is %v with a vest, %v with its mass on the chest", i, possible, second.Possible[i])
		}
		for _, d := range h.Asks(m) {
			if !possible || h.Unknown(m, d, p) != "" {
				continue
			}
			got, want := first.Value[d][i], second.Value[d][i]
			if d.Unit == "BW" || d.Unit == "BW·m" {
				want *= fat.Mass[i] / b.Mass[i]
			}
			if !(math.Abs(got-want) <= 1e-7*math.Max(1, math.Abs(want))) {
				return fmt.Errorf("row %d: %s is %.12g with a vest, %.12g with its mass on the chest", i, d, got, want)
			}
		}
	}
	return nil
}
