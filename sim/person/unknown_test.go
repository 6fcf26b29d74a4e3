package person

import (
	"strings"
	"testing"

	"counterpoise/sim/hold"
)

// In a posture in which a muscle was never measured a person is told the rest, and why
// there is no difficulty.
func TestUnknownDifficulty(t *testing.T) {
	tucked := hold.LegsIn(hold.Tuck, 0)
	o := DefaultOptions()
	o.N = LeastN
	p := Person{Name: "Ida", Hold: hold.LSit, Legs: tucked}
	r := answer(t, p, o)
	m := &r.Models[0]
	if _, ok := m.Quantity(hold.Difficulty); ok || !strings.Contains(r.Unknown(m.Model, hold.Difficulty), "never measured") {
		t.Errorf("a tucked L-sit: difficulty told %v, unknown %q", ok, r.Unknown(m.Model, hold.Difficulty))
	}
	if q, ok := m.Quantity(hold.HipMoment); !ok || !(q.All.Median > 0) {
		t.Errorf("a tucked L-sit: hip moment %+v", q)
	}
	p.Legs = hold.Legs{}
	r = answer(t, p, o)
	if _, ok := r.Models[0].Quantity(hold.Difficulty); !ok || r.Unknown(m.Model, hold.Difficulty) != "" {
		t.Error("an L-sit has no difficulty")
	}
}
