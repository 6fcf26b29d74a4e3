package words

import (
	"math"
	"strings"

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

// Across and Upwards are the words for the directions of a vector's parts.
func Across(x float64) string  { return Way(x, "to the right", "to the left") }
func Upwards(y float64) string { return Way(y, "up", "down") }

// Parts writes a vector in the plane by its parts, as in "0.32 to the right, 0.50 up",
// without those that are smaller than the least.
func Parts(x, y, least float64, write func(float64) string) string {
	var parts []string
	if math.Abs(x) >= least {
		parts = append(parts, write(math.Abs(x))+" "+Across(x))
	}
	if math.Abs(y) >= least {
		parts = append(parts, write(math.Abs(y))+" "+Upwards(y))
	}
	return strings.Join(parts, ", ")
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
		top, _ := Contrasted(c.Contrast)
		return map[claim.Direction]string{
			claim.Increase: "that it is larger in " + top,
			claim.Decrease: "that it is smaller in " + top,
			claim.None:     "that it is the same in both groups, within what matters",
		}[c.Expect]
	}
	return map[claim.Direction]string{
		claim.Increase: "that it rises",
		claim.Decrease: "that it falls",
		claim.None:     "that it stays the same, within what matters",
	}[c.Expect]
}

// Threshold is the smallest effect that matters of a claim: "3.7 % of the baseline",
// "1.0 cm".
func Threshold(c *claim.Claim) string {
	t := c.Threshold()
	return SizeOf(c, t.Share > 0, t.Share+t.Absolute)
}

// Claimed is the size that a claim's saying promises and what still counts as said:
// "50 % of the baseline (40 to 60 % counts as said)"; "" where it promises none.
func Claimed(c *claim.Claim) string {
	s := c.Claimed
	if s == nil {
		return ""
	}
	return SizeOf(c, s.Share, s.Value) + " (" + Counted(c) + " counts as said)"
}

// Counted is from where to where an effect counts as what a claim's saying promises: "40 to 60 %".
func Counted(c *claim.Claim) string {
	size := func(x float64) string { return strings.TrimSuffix(SizeOf(c, c.Claimed.Share, x), ofBaseline) }
	return Interval(size(c.Claimed.Low), size(c.Claimed.High))
}

// Promised is the size that a claim's saying promises alone: "50 %".
func Promised(c *claim.Claim) string {
	return strings.TrimSuffix(SizeOf(c, c.Claimed.Share, c.Claimed.Value), ofBaseline)
}

// Least writes the share of bodies that a claim asks for: "95 %".
func Least(c *claim.Claim) string { return Given(100*c.Share) + " %" }

const ofBaseline = " of the baseline"

// SizeOf writes a size of a claim's quantity, or a share of its baseline.
func SizeOf(c *claim.Claim, share bool, x float64) string {
	if share {
		return Given(100*x) + " %" + ofBaseline
	}
	w := DemandOf(c.Demand, hold.TwoCondition)
	if c.Demand.Unit == "rad" {
		x *= degrees
	}
	return w.Number(x)
}
