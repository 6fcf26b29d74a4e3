package words

import (
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// Way is the word for the direction of x: up where it is nothing.
func Way(x float64, up, down string) string {
	if x < 0 {
		return down
	}
	return up
}

// Ways are the words for less and for more of a demand.
func Ways(d hold.Demand) (less, more string) {
	switch d {
	case hold.Difficulty:
		return "easier", "harder"
	case hold.HandSpacing:
		return "closer", "wider"
	case hold.ArmAngle, hold.LeanAngle, hold.ArmTrunkAngle:
		return "smaller", "larger"
	}
	return "lower", "higher"
}

// Expected says which way a claim has its quantity move, behind "the claim is".
func Expected(c *claim.Claim) string {
	if c.Contrast != nil {
		return map[claim.Direction]string{
			claim.Increase: "that it is larger in the top group",
			claim.Decrease: "that it is smaller in the top group",
			claim.None:     "that the two groups are alike in it, as far as it matters",
		}[c.Expect]
	}
	return map[claim.Direction]string{
		claim.Increase: "that it rises",
		claim.Decrease: "that it falls",
		claim.None:     "that it stays as it is, as far as it matters",
	}[c.Expect]
}

// Threshold is the smallest effect that matters of a claim: "3.7 % of the baseline",
// "1.0 cm".
func Threshold(c *claim.Claim) string {
	if c.Matters.Share > 0 {
		return Given(100*c.Matters.Share) + " % of the baseline"
	}
	w := DemandOf(c.Demand, hold.TwoCondition)
	if c.Demand.Unit == "rad" {
		return w.Number(c.Matters.Absolute * degrees)
	}
	return w.Number(c.Matters.Absolute)
}
