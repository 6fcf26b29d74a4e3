package hold_test

import (
	"math"
	"testing"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
)

// What a hold asks for does not hang on what else it is asked for: a demand for itself is
// the same to the bit as among all others, and so is who can take the posture.
func TestEachDemandAlone(t *testing.T) {
	b := draw(t, "ansur2-women", body.Residual, 40, assume.Defaults())
	for _, h := range hold.All() {
		legs := []hold.Legs{{}}
		for _, form := range h.LegForms {
			legs = append(legs, hold.LegsIn(form, 0.6))
		}
		for _, m := range h.Models {
			for _, l := range legs {
				p := hold.Posture{Legs: l}
				all := b.Solve(h, p, m)
				for _, d := range h.Asks(m) {
					r := hold.NewResult(b.Rows(), d)
					for i := range r.Value[d] {
						r.Value[d][i] = math.NaN()
					}
					h.Solve(r, b.Columns, b.Capacity, p, m, &b.Assume)
					for i, v := range r.Value[d] {
						if r.Possible[i] != all.Possible[i] || math.Float64bits(v) != math.Float64bits(all.Value[d][i]) {
							t.Fatalf("%s, %s, legs %s: body %d has %s %v (possible: %v) alone and %v (%v) among others", h.Name, m, l.Form, i, d, v, r.Possible[i], all.Value[d][i], all.Possible[i])
						}
					}
				}
			}
		}
	}
}
