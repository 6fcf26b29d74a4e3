package claim_test

import (
	"math"
	"testing"

	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// Every demand has a default of what matters, in its unit, and a claim's own goes before it.
func TestDefaultMatters(t *testing.T) {
	for _, c := range []struct {
		of   hold.Demand
		want claim.Threshold
	}{
		{hold.Difficulty, claim.Threshold{Share: 0.01}},
		{hold.RequiredForce, claim.Threshold{Share: 0.01}},
		{hold.HandShare, claim.Threshold{Share: 0.01}},
		{hold.HipMoment, claim.Threshold{Share: 0.01}},
		{hold.FrictionTop, claim.Threshold{Share: 0.01}}, // a ratio, in files a share of it
		{hold.TopShare, claim.Threshold{Absolute: 0.01}}, // which is nothing where the arms share the weight so
		{hold.ShoulderMomentTop, claim.Threshold{Absolute: 0.01}},
		{hold.HandSpacing, claim.Threshold{Absolute: 0.01}},
		{hold.LeanAngle, claim.Threshold{Absolute: math.Pi / 180}},
		{hold.CableLean, claim.Threshold{Absolute: math.Pi / 180}},
	} {
		if got := claim.DefaultMatters(c.of); got != c.want {
			t.Errorf("%s: %v, want %v", c.of, got, c.want)
		}
	}
	for _, d := range hold.Demands() {
		if m := claim.DefaultMatters(d); (m.Share > 0) == (m.Absolute > 0) {
			t.Errorf("%s: %v", d, m)
		}
	}
	own := claim.Threshold{Absolute: 0.02}
	if got := (&claim.Claim{Demand: hold.Difficulty, Matters: own}).Threshold(); got != own {
		t.Errorf("a claim's own is %v, want %v", got, own)
	}
	if got := (&claim.Claim{Demand: hold.Difficulty}).Threshold(); got != claim.DefaultMatters(hold.Difficulty) {
		t.Errorf("where it has none: %v", got)
	}
}

func TestClaimedAbout(t *testing.T) {
	if got, want := *claim.ClaimedAbout(0.5, true), (claim.Claimed{Share: true, Value: 0.5, Low: 0.375, High: 0.625}); got != want {
		t.Errorf("%v, want %v", got, want)
	}
}
