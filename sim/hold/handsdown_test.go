package hold

import (
	"math"
	"testing"
)

// Before an upright trunk straight legs lie level as they are, and a thigh that is bent to
// a right angle does so too.
func TestRaisedLegs(t *testing.T) {
	for form, bent := range map[LegForm]bool{Together: false, Straddle: false, OneLeg: true, AdvancedTuck: true, Tuck: true} {
		l := Legs{Form: form, Hip: math.Pi/2 + 0.25, Knee: 1}
		want := l
		if bent {
			want.Hip = 0.25
		}
		if got := l.raised(); math.Abs(got.Hip-want.Hip) > 1e-15 || got.Form != form || got.Knee != 1 {
			t.Errorf("%s: %+v, want %+v", form, got, want)
		}
	}
}
