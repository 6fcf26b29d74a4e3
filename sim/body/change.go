package body

import (
	"fmt"
	"math"

	"counterpoise/sim/assume"
)

// Amount is a change of a length: Metres, plus Share of the length itself.
type Amount struct {
	Metres float64 `json:"metres,omitempty"`
	Share  float64 `json:"share,omitempty"`
}

// Of returns the change of a length, in metres.
func (a Amount) Of(length float64) float64 { return a.Metres + a.Share*length }

// Region is a part of the body on which mass is put or from which it is taken.
type Region int

// The regions.
const (
	Arms       Region = iota // both, over their segments by their shares
	UpperTrunk               // at the centre of the chest
	Trunk                    // at the trunk's own centre
	Legs                     // both, over their segments by their shares
	Head
	UpperBody // a part on the two arms, the assumption upper_body_split, the rest on the upper trunk
	NumRegions
)

var regionNames = [NumRegions]string{"arms", "upper_trunk", "trunk", "legs", "head", "upper_body"}

// String returns the region's name as written in files.
func (r Region) String() string { return regionNames[r] }

// ParseRegion finds a region by its name.
func ParseRegion(name string) (Region, bool) {
	for r := range NumRegions {
		if regionNames[r] == name {
			return r, true
		}
	}
	return 0, false
}

// MarshalText writes the region's name.
func (r Region) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads a region's name.
func (r *Region) UnmarshalText(text []byte) error {
	region, ok := ParseRegion(string(text))
	if !ok {
		return fmt.Errorf("body: unknown region %q", text)
	}
	*r = region
	return nil
}

// AddedMass is mass put on a region, or taken off where Kilograms is negative.
type AddedMass struct {
	Region    Region  `json:"region"`
	Kilograms float64 `json:"kilograms"`
	// Working is the share that is muscle working in the hold, 0 to 1; fat has 0.
	Working float64 `json:"working"`
}

// Change makes a second body out of a first; everything not named stays. The
// zero value changes nothing.
type Change struct {
	// Size multiplies every length, and mass by Size^size_exponent; 0 and 1 change nothing.
	Size float64 `json:"size,omitempty"`
	// ArmLength stretches the upper-arm and forearm segments in proportion, by
	// so much in all; masses and shares stay. A share is of shoulder to grip.
	ArmLength Amount `json:"arm_length,omitzero"`
	// LegLength stretches the thigh and shank segments in proportion, by so
	// much in all, and stature with them. A share is of hip to ankle.
	LegLength Amount `json:"leg_length,omitzero"`
	// ShoulderBreadth is added to the biacromial breadth, of which the
	// assumption shoulder_span reaches the joint centres. A share is of that breadth.
	ShoulderBreadth Amount      `json:"shoulder_breadth,omitzero"`
	Mass            []AddedMass `json:"mass,omitempty"`
}

// IsZero reports whether the change alters nothing of the body.
func (ch Change) IsZero() bool {
	return (ch.Size == 0 || ch.Size == 1) && ch.ArmLength == Amount{} && ch.LegLength == Amount{} &&
		ch.ShoulderBreadth == Amount{} && len(ch.Mass) == 0
}

// Apply makes dst the changed bodies of src, row by row; both have the same
// number of rows, and dst must not be src. Columns that the change does not touch
// are shared with src, so dst holds good only as long as src does. It fails on
// the first body that the change would leave without a positive length or mass,
// and says which.
func (ch Change) Apply(dst, src *Columns, a *assume.Set) error {
	if len(dst.own[0]) != src.Rows() {
		panic("body: columns of different length")
	}
	dst.borrow(src)
	if ch.Size != 0 && ch.Size != 1 {
		dst.copies(append(dst.lengths(), &dst.Mass)...)
		dst.enlarge(ch.Size, math.Pow(ch.Size, a[assume.SizeExponent]))
	}
	if ch.ArmLength != (Amount{}) {
		dst.copies(&dst.UpperArm, &dst.UpperArmCentre, &dst.Forearm, &dst.ForearmCentre)
	}
	if ch.LegLength != (Amount{}) {
		dst.copies(&dst.Thigh, &dst.ThighCentre, &dst.Shank, &dst.ShankCentre, &dst.Stature)
	}
	if ch.ShoulderBreadth != (Amount{}) {
		dst.copies(&dst.ShoulderSpan)
	}
	if len(ch.Mass) > 0 {
		dst.copies(append(dst.shares(), &dst.Mass, &dst.TrunkCentre)...)
	}
	if ch.ArmLength != (Amount{}) {
		if err := dst.stretchArms(ch.ArmLength); err != nil {
			return err
		}
	}
	for i := range dst.Rows() {
		if ch.LegLength != (Amount{}) {
			leg := dst.Thigh[i] + dst.Shank[i]
			longer := ch.LegLength.Of(leg)
			stretch := 1 + longer/leg
			if !(stretch > 0) {
				return fmt.Errorf("body: legs of %.3f m cannot be shortened by %.3f m", leg, -longer)
			}
			dst.Thigh[i] *= stretch
			dst.ThighCentre[i] *= stretch
			dst.Shank[i] *= stretch
			dst.ShankCentre[i] *= stretch
			dst.Stature[i] += longer
		}
		if ch.ShoulderBreadth != (Amount{}) {
			share := a[assume.ShoulderSpan]
			wider := ch.ShoulderBreadth.Of(dst.ShoulderSpan[i] / share)
			dst.ShoulderSpan[i] += share * wider
			if !(dst.ShoulderSpan[i] > 0) {
				return fmt.Errorf("body: shoulders cannot be narrowed by %.3f m", -wider)
			}
		}
	}
	for _, m := range ch.Mass {
		for i := range dst.Rows() {
			if err := dst.addMass(i, m, a); err != nil {
				return err
			}
		}
	}
	return nil
}

// stretchArms stretches the upper arms and forearms.
func (c *Columns) stretchArms(by Amount) error {
	n := c.Rows()
	upper, forearm, grip := c.UpperArm[:n], c.Forearm[:n], c.Grip[:n]
	upperCentre, forearmCentre := c.UpperArmCentre[:n], c.ForearmCentre[:n]
	for i := range n {
		longer := by.Of(upper[i] + forearm[i] + grip[i])
		stretch := 1 + longer/(upper[i]+forearm[i])
		if !(stretch > 0) {
			return fmt.Errorf("body: arms of %.3f m cannot be shortened by %.3f m", c.Arm(i), -longer)
		}
		upper[i] *= stretch
		upperCentre[i] *= stretch
		forearm[i] *= stretch
		forearmCentre[i] *= stretch
	}
	return nil
}

// enlarge multiplies every length and the mass.
func (c *Columns) enlarge(length, mass float64) {
	for _, column := range c.lengths() {
		for i := range *column {
			(*column)[i] *= length
		}
	}
	for i := range c.Mass {
		c.Mass[i] *= mass
	}
}

// lengths lists the columns that are lengths.
func (c *Columns) lengths() []*[]float64 {
	return []*[]float64{
		&c.Stature, &c.UpperArm, &c.Forearm, &c.Grip, &c.Palm, &c.Hand, &c.ShoulderSpan, &c.Rise, &c.Chest, &c.Waist, &c.Hip,
		&c.Thigh, &c.Shank, &c.Foot, &c.Heel, &c.Ankle, &c.HeadCentre, &c.TrunkCentre, &c.UpperTrunkCentre,
		&c.MiddleTrunkCentre, &c.LowerTrunkCentre, &c.UpperArmCentre, &c.ForearmCentre, &c.HandCentre, &c.ThighCentre, &c.ShankCentre, &c.FootCentre,
	}
}

// shares lists the columns that are shares of body mass.
func (c *Columns) shares() []*[]float64 {
	return []*[]float64{
		&c.HeadShare, &c.TrunkShare, &c.MiddleTrunkShare, &c.LowerTrunkShare, &c.UpperArmShare, &c.ForearmShare,
		&c.HandShare, &c.ThighShare, &c.ShankShare, &c.FootShare,
	}
}

// addMass puts mass on body i.
func (c *Columns) addMass(i int, m AddedMass, a *assume.Set) error {
	total := c.Mass[i] + m.Kilograms
	if !(total > 0) {
		return fmt.Errorf("body: a body of %.1f kg cannot lose %.1f kg", c.Mass[i], -m.Kilograms)
	}
	added := m.Kilograms / c.Mass[i] // in shares of the first mass
	arms, chest := 0.0, 0.0
	switch m.Region {
	case Arms:
		arms = added
	case UpperTrunk:
		chest = added
	case UpperBody:
		arms = added * a[assume.UpperBodySplit]
		chest = added - arms
	case Trunk:
		grown := 1 + added/c.TrunkShare[i]
		c.TrunkShare[i] *= grown
		c.MiddleTrunkShare[i] *= grown
		c.LowerTrunkShare[i] *= grown
	case Legs:
		grown := 1 + added/(2*c.LegShare(i))
		c.ThighShare[i] *= grown
		c.ShankShare[i] *= grown
		c.FootShare[i] *= grown
	case Head:
		c.HeadShare[i] += added
	}
	if arms != 0 {
		grown := 1 + arms/(2*c.ArmShare(i))
		c.UpperArmShare[i] *= grown
		c.ForearmShare[i] *= grown
		c.HandShare[i] *= grown
	}
	if chest != 0 {
		trunk := c.TrunkShare[i] + chest
		c.TrunkCentre[i] = (c.TrunkShare[i]*c.TrunkCentre[i] + chest*c.UpperTrunkCentre[i]) / trunk
		c.TrunkShare[i] = trunk
	}
	if !(c.HeadShare[i] > 0 && c.TrunkShare[i] > c.MiddleTrunkShare[i]+c.LowerTrunkShare[i] && c.ArmShare(i) > 0 && c.LegShare(i) > 0) {
		return fmt.Errorf("body: the %s cannot lose %.1f kg of a body of %.1f kg", m.Region, -m.Kilograms, c.Mass[i])
	}
	first := c.Mass[i] / total
	for _, column := range [...][]float64{
		c.HeadShare, c.TrunkShare, c.MiddleTrunkShare, c.LowerTrunkShare, c.UpperArmShare, c.ForearmShare,
		c.HandShare, c.ThighShare, c.ShankShare, c.FootShare,
	} {
		column[i] *= first
	}
	c.Mass[i] = total
	return nil
}
