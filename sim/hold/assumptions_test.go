package hold_test

import (
	"slices"
	"testing"

	"counterpoise/sim/assume"
	"counterpoise/sim/hold"
	"counterpoise/sim/muscle"
)

// A model of a hold rests on each assumption once, and on the strengths of exactly those
// groups that it uses and of whose strength something is known.
func TestStrengthsThatHoldsRestOn(t *testing.T) {
	for _, h := range hold.All() {
		for _, m := range h.Models {
			rests := h.Assumptions(m)
			want := map[assume.ID]bool{}
			for _, u := range h.Uses(m) {
				if h.Unknown(m, hold.UseOf(u.Group), hold.Posture{}) == "" {
					want[assume.StrengthOf(u.Group)] = true
				}
			}
			for k, id := range rests {
				if slices.Contains(rests[:k], id) {
					t.Errorf("%s under %s rests on %s twice", h.Name, m, id)
				}
			}
			for g := range muscle.NumGroups {
				if id := assume.StrengthOf(g); slices.Contains(rests, id) != want[id] {
					t.Errorf("%s under %s rests on %s: %v, want %v", h.Name, m, id, !want[id], want[id])
				}
			}
		}
	}
}
