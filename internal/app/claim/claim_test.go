package claim

import (
	"errors"
	"testing"

	"counterpoise/internal/app/console"
	"counterpoise/sim/claim"
)

// A verdict that is too close to call ends with a code of its own.
func TestTooCloseToCall(t *testing.T) {
	if err := undecided(claim.OpenSampling); !errors.Is(err, console.ErrUndecided) || console.ExitCode(err) != console.ExitUndecided {
		t.Errorf("too close to call ends with %v", err)
	}
}
