package holdtest

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
)

// madeUp are bodies of kinds that no survey has met, which holds refuse.
var madeUp = []struct {
	name string
	make func(b *body.Columns, i int)
}{
	{"short arms", func(b *body.Columns, i int) {
		shorten(0.04, i, b.UpperArm, b.UpperArmCentre, b.Forearm, b.ForearmCentre, b.Grip)
	}},
	{"short legs", func(b *body.Columns, i int) {
		shorten(0.3, i, b.Thigh, b.ThighCentre, b.Shank, b.ShankCentre, b.Hip, b.UpperArm, b.Forearm)
	}},
	{"long upper arms", func(b *body.Columns, i int) { b.UpperArm[i] = 12 }},
	{"broad shoulders", func(b *body.Columns, i int) { b.ShoulderSpan[i] = 9 }},
}

func shorten(factor float64, i int, columns ...[]float64) {
	for _, column := range columns {
		column[i] *= factor
	}
}

// extremes lists the postures at the ends of what a hold may be asked for.
func extremes(h *hold.Hold) []hold.Posture {
	list := []hold.Posture{{}}
	for _, v := range h.Variants {
		var p hold.Posture
		p.Pose[v] = v.Info().Most
		list = append(list, p)
	}
	if h.Tilts {
		list = append(list, hold.Posture{Tilt: 0.3})
	}
	return list
}

// Refusal holds that a hold which looks for a balance refuses bodies that have none,
// leaves no number of them behind, says so when asked for a figure, and takes the
// bodies beside them as if nothing were.
func Refusal(h *hold.Hold) error {
	refused := 0
	for _, m := range h.Models {
		for _, p := range extremes(h) {
			for _, kind := range madeUp {
				b, err := Draw(sexes[1], body.Residual, 3, assume.Defaults())
				if err != nil {
					return err
				}
				ordinary := b.Solve(h, p, m)
				kind.make(b.Columns, 1)
				r := b.Solve(h, p, m)
				if err := beside(h, m, ordinary, r); err != nil {
					return fmt.Errorf("%s, %s, beside %s: %w", h.Name, m, kind.name, err)
				}
				if r.Possible[1] {
					continue
				}
				refused++
				for _, d := range h.Asks(m) {
					if v := r.Value[d][1]; v != 0 {
						return fmt.Errorf("%s, %s, %s: %s is %g for a body that cannot take the posture", h.Name, m, kind.name, d, v)
					}
				}
				if _, err := h.Figure(b.Columns, 1, p, r.Slice(1, 2), &b.Assume); !errors.Is(err, hold.ErrNotPossible) {
					return fmt.Errorf("%s, %s, %s: the figure of a body that cannot take the posture gives the error %v", h.Name, m, kind.name, err)
				}
			}
		}
		// Holds of one's own may have arms that point somewhere without a balance.
		_, ours := hold.Parse(h.Name)
		if balances := h.AsksFor(m, hold.LeanAngle) || h.AsksFor(m, hold.ArmAngle); ours && balances && refused == 0 {
			return fmt.Errorf("%s, %s: looks for a balance, and finds it for every body that was made up", h.Name, m)
		}
	}
	return nil
}

// beside holds that the rows beside the second are the same in both results.
func beside(h *hold.Hold, m hold.Model, before, after *hold.Result) error {
	for _, i := range []int{0, 2} {
		if before.Possible[i] != after.Possible[i] {
			return fmt.Errorf("row %d is possible: %v, then %v", i, before.Possible[i], after.Possible[i])
		}
		for _, d := range h.Asks(m) {
			if x, y := before.Value[d][i], after.Value[d][i]; before.Possible[i] && (x != y || math.IsNaN(x)) {
				return fmt.Errorf("row %d: %s is %g, then %g", i, d, x, y)
			}
		}
	}
	return nil
}

// Allocation holds that solving a block allocates nothing, whatever bodies carry.
func Allocation(h *hold.Hold) error {
	b, err := Draw(sexes[0], body.Residual, 64, assume.Defaults())
	if err != nil {
		return err
	}
	loaded, err := b.Carrying(body.Load{body.AtChest: 5})
	if err != nil {
		return err
	}
	for _, m := range h.Models {
		for _, b := range []*Bodies{b, loaded} {
			r := hold.NewResult(b.Rows(), h.Asks(m)...)
			if n := testing.AllocsPerRun(10, func() { h.Solve(r, b.Columns, b.Capacity, hold.Posture{}, m, &b.Assume) }); n != 0 {
				return fmt.Errorf("%s, %s: allocates %g times a block", h.Name, m, n)
			}
		}
	}
	return nil
}
