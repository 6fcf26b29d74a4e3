package strength_test

import (
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/hold/holdtest"
)

// What holds say is known and not known of strength is so by the norms: where the posture
// decides a joint's angle, everywhere; where the body does, for all but a few bodies, who
// count as at the last angle that is known.
func TestHoldsKnowWhatIsKnown(t *testing.T) {
	for _, population := range []string{"ansur2-women", "ansur2-men"} {
		const rows = 40
		b := golden.Must(holdtest.Draw(population, body.Residual, rows, assume.Defaults()))(t)
		for _, h := range hold.All() {
			for _, p := range holdtest.Poses(h, rows) {
				known, beyond := map[hold.Demand]int{}, map[hold.Demand]int{}
				for i := range rows {
					loads, err := h.Loads(b.Columns, i, b.Capacity, p, hold.Equilibrium, &b.Assume)
					if err == hold.ErrNotPossible {
						continue
					} else if err != nil {
						t.Fatal(err)
					}
					for _, l := range loads {
						d, inside := hold.UseOf(l.Group), b.Capacity.Curve[l.Group].Knows(l.Angle)
						switch {
						case l.Unknown != "" && inside && !l.Reported: // hands on a high box are hardly bent back
							t.Fatalf("%s, %+v: %s at %.2f rad is measured, and said not to be: %s", h.Name, p.Legs, l.Group, l.Angle, l.Unknown)
						case l.Unknown == "" && l.Use.Angle != nil && !inside:
							t.Fatalf("%s, %+v: %s at %.2f rad was never measured, and is said to be known", h.Name, p.Legs, l.Group, l.Angle)
						case l.Unknown == "" && inside:
							known[d]++
						case l.Unknown == "":
							beyond[d]++
						}
					}
				}
				for d, n := range beyond {
					if n*20 > known[d]+n {
						t.Errorf("%s, %s, %+v: %s is beyond what was measured for %d of %d bodies", population, h.Name, p.Legs, d, n, known[d]+n)
					}
				}
			}
		}
	}
}
