package said

import (
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// ComparedWithPlates stands instead of NotValidated where measured forces of the
// very quantity have been published.
const ComparedWithPlates = "Model estimate; published force plates agree in part."

// Validation is what must be said of a claim's numbers: that nobody has measured the
// forces, or that somebody did.
func Validation(c *claim.Claim) string {
	if MeasuredOnPlates(c) {
		return ComparedWithPlates
	}
	return words.NotValidated
}

// MeasuredOnPlates reports whether a claim's quantity is the one that force plates
// were read for: the weight on the hands in push-ups, before and after.
func MeasuredOnPlates(c *claim.Claim) bool {
	return c.Demand == hold.HandShare && c.Hold == hold.PushUp && (c.Change == nil || c.Change.Hold == nil)
}
