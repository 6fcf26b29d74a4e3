package report

import (
	"math"
	"strings"
	"testing"

	"counterpoise/internal/outcome"
	"counterpoise/internal/study"
)

// The plates beside the model: the known misses are told as misses, the rest is close,
// and the level push-up of men is what the guides print.
func TestPlates(t *testing.T) {
	rows, err := Plates(1)
	if err != nil {
		t.Fatal(err)
	}
	misses := map[string]bool{"on knees, men": true, "on knees, women": true, "arms bent, men": true}
	for _, r := range rows {
		if math.Abs(r.Model-r.Measured-r.Apart) > 1e-15 {
			t.Errorf("%s, %s: %g less %g is not %g", r.Position, r.Who, r.Model, r.Measured, r.Apart)
		}
		if missed := strings.HasPrefix(r.Says, "a miss"); missed != misses[r.Position+", "+r.Who] {
			t.Errorf("%s, %s: apart by %.3f, told as %q", r.Position, r.Who, r.Apart, r.Says)
		}
	}
	if level := rows[0]; level.Who != "men" || math.Abs(level.Model-0.639) > 0.002 {
		t.Errorf("level push-up of %s: %.4f, the guides print 0.639", level.Who, level.Model)
	}
}

// Only what was measured is said to have been: the weight on the hands in push-ups.
func TestWhatIsSaidToBeMeasured(t *testing.T) {
	for name, want := range map[string]bool{
		"push-up-knees": true, "push-up-tall": true, "forearm-plank-instead": false, "longer-arms": false, "side-plank-shoulders": false,
	} {
		c, err := study.ShippedClaim(name)
		if err != nil {
			t.Fatal(err)
		}
		if MeasuredOnPlates(c) != want || (Validation(c) == NotValidated) == want {
			t.Errorf("%s: %q", name, Validation(c))
		}
	}
}

// A pose in which the model misses the plates by more than the effect takes even the
// effect's direction away; one in which it misses by less does not, and where no pose
// is concerned there is nothing to say.
func TestPlatesAgainst(t *testing.T) {
	rows, err := Plates(1)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		claim  string
		effect float64
		want   string
	}{
		{"push-up-hands-raised", 0.032, "not even the direction"},
		{"push-up-hands-raised", -0.032, "not even the direction"},
		{"push-up-knees", -0.190, "the effect for the median body is 0.190 BW"},
		{"push-up-feet-raised", 0.087, ""},
	} {
		shipped, err := study.ShippedClaim(c.claim)
		if err != nil {
			t.Fatal(err)
		}
		m := outcome.ModelResult{}
		m.Pooled.Quantity.Effect.P50 = &c.effect
		result := &outcome.Result{Claim: shipped, N: 1, Models: []outcome.ModelResult{m}}
		got := PlatesAgainst(result, rows)
		if (got == "") != (c.want == "") || !strings.Contains(got, c.want) {
			t.Errorf("%s, %+g: %q", c.claim, c.effect, got)
		}
		if outweighed := strings.Contains(c.want, "direction"); PlatesOutweigh(result, rows) != outweighed ||
			strings.Contains(Quotable(result, rows), "misses published force plates by as much") != outweighed {
			t.Errorf("%s, %+g: quoted as %q", c.claim, c.effect, Quotable(result, rows))
		}
	}
}
