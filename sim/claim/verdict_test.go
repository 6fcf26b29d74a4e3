package claim

import (
	"slices"
	"testing"

	"counterpoise/sim/assume"
)

// What the median effect says of a size that is promised, whichever way it is to go.
func TestSized(t *testing.T) {
	for _, c := range []struct {
		share           bool
		median, percent float64
		want            Verdict
	}{
		{true, 0.9, 37, LessThanSaid}, {true, 0.9, 38, Supported}, {true, 0.9, 62, Supported}, {true, 0.9, 63, MoreThanSaid},
		{false, 0.37, 90, LessThanSaid}, {false, 0.38, 90, Supported}, {false, 0.62, 90, Supported}, {false, 0.63, 90, MoreThanSaid},
	} {
		for _, sign := range []float64{1, -1} {
			claimed := &test{claim: &Claim{Claimed: ClaimedAbout(0.5, c.share)}, sign: sign}
			r := &reading{median: sign * c.median, percent: sign * c.percent}
			if got := claimed.sized(Supported, r); got != c.want {
				t.Errorf("%+v, sign %g: %s", c, sign, got)
			}
			if got := claimed.sized(Contradicted, r); got != Contradicted {
				t.Errorf("what is contradicted is %s", got)
			}
			claimed.claim.Claimed = nil
			if got := claimed.sized(Supported, r); got != Supported {
				t.Errorf("where no size is promised: %s", got)
			}
		}
	}
}

// Where nothing but people is drawn no assumption leaves anything open.
func TestNothingButPeopleLeavesNoAssumptionOpen(t *testing.T) {
	d := &outer{unknowns: &unknowns{t: &test{}}, fixed: true}
	for r := range Replicates {
		v := [...]Verdict{DependsOnBody, Supported, NoDifference}[r%3]
		d.read = append(d.read, slices.Repeat([][][]reading{{{{verdict: v}}}}, 32))
	}
	if v, agreement := d.settle(0, 0); v != OpenSampling || agreement.Value != 6./16 {
		t.Errorf("%s, %+v", v, agreement)
	}
	d.fixed, d.assumed = false, []assume.ID{assume.HipDrop}
	if v, _ := d.settle(0, 0); v != OpenAssumptions {
		t.Errorf("where something is drawn: %s", v)
	}
}
