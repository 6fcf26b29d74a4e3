package said

import (
	"testing"

	"counterpoise/internal/study"
	"counterpoise/internal/words"
)

// Only what was measured is said to have been: the weight on the hands in push-ups.
func TestWhatIsSaidToBeMeasured(t *testing.T) {
	for name, want := range map[string]bool{
		"push-up-knees": true, "push-up-tall": true, "forearm-plank-instead": false, "longer-arms": false, "side-plank-shoulders": false,
	} {
		c, err := study.ShippedClaim(name)
		if err != nil {
			t.Fatal(err)
		}
		if MeasuredOnPlates(c) != want || (Validation(c) == words.NotValidated) == want {
			t.Errorf("%s: %q", name, Validation(c))
		}
	}
}
