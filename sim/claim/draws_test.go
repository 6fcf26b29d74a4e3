package claim_test

import (
	"context"
	"math"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/internal/study"
	"counterpoise/sim/claim"
)

// ofMen is a shipped claim about men alone.
func ofMen(t *testing.T, name string) *claim.Claim {
	t.Helper()
	c := golden.Must(study.ShippedClaim(name))(t)
	c.People = c.People[:1]
	return c
}

// What is seen at each look is what a test sees that stops there.
func TestLooks(t *testing.T) {
	c := ofMen(t, "longer-legs")
	o := claim.DefaultOptions()
	o.N, o.Draws = 100, claim.LeastDraws
	looks := golden.Must(claim.Looks(context.Background(), c, o))(t)
	r := golden.Must(claim.Test(context.Background(), c, o))(t)
	if len(looks) != claim.MostDoublings+1 {
		t.Fatalf("%d looks", len(looks))
	}
	stopped := false
	for k, at := range looks {
		look := at[0]
		if look.Draws != claim.LeastDraws<<k {
			t.Errorf("look %d is at %d draws", k, look.Draws)
		}
		if look.Draws == r.Draws {
			stopped = true
			d := r.Models[0].Groups[0].Draws
			if look.Verdict != r.Verdict || look.Way.Share != d.Agreement {
				t.Errorf("look %d: %s, %+v; the test says %s, %+v", k, look.Verdict, look.Way.Share, r.Verdict, d.Agreement)
			}
		} else if look.Draws < r.Draws && look.Enough {
			t.Errorf("look %d: %s, and the test went on", k, look.Verdict)
		}
	}
	if !stopped {
		t.Errorf("the test stopped at %d draws", r.Draws)
	}
}

// The survey's error is the refits' and not that of who is drawn from them: other people
// give the same.
func TestSurveyErrorWhoeverIsDrawn(t *testing.T) {
	c := ofMen(t, "front-lever-tuck")
	var found []float64
	for seed := range uint64(3) {
		o := claim.DefaultOptions()
		o.N, o.Draws, o.Seed = 100, claim.LeastDraws, seed
		r := golden.Must(claim.Test(context.Background(), c, o))(t)
		found = append(found, r.Models[0].Groups[0].Draws.SurveyError)
	}
	// Over eight seeds it scattered by 4 % of itself: three standard errors of a difference.
	for _, x := range found {
		if !(math.Abs(x/found[0]-1) < 3*math.Sqrt2*0.04) {
			t.Errorf("with other seeds the survey's error is %v", found)
			break
		}
	}
}
