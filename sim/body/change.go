package body

import (
	"errors"
	"fmt"
	"slices"

	"counterpoise/sim/assume"
	"counterpoise/sim/fault"
	"counterpoise/sim/math"
	"counterpoise/sim/names"
)

// Amount is a change of a length: Metres, plus Share of the length itself.
type Amount struct {
	Metres float64
	Share  float64
}

// Of returns the change of a length, in metres.
func (a Amount) Of(length float64) float64 { return a.Metres + float64(a.Share*length) }

// What can be meant by the change of any length, by any share and by any mass: beyond,
// a unit was mistaken.
var (
	LengthBounds  = fault.Bounds{Least: -1, Most: 1, Unit: "m"}
	ShareBounds   = fault.Bounds{Least: -0.9, Most: 1}
	MassBounds    = fault.Bounds{Least: -200, Most: 200, Unit: "kg"}
	WorkingBounds = fault.Bounds{Least: 0, Most: 1}
)

// Check reports an amount by which the length in a field cannot change.
func (a Amount) Check(field string) error { return a.check(field, LengthBounds) }

func (a Amount) check(field string, metres fault.Bounds) error {
	return errors.Join(metres.Check(field, a.Metres), ShareBounds.Check(field, a.Share))
}

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

var regions = names.List[Region]{"arms", "upper_trunk", "trunk", "legs", "head", "upper_body"}

// String returns the region's name as written in files.
func (r Region) String() string { return regions.Of(r) }

// ParseRegion finds a region by its name.
func ParseRegion(name string) (Region, bool) { return regions.Find(name) }

// MarshalText writes the region's name.
func (r Region) MarshalText() ([]byte, error) { return regions.Marshal(r) }

// UnmarshalText reads a region's name.
func (r *Region) UnmarshalText(text []byte) error { return regions.Unmarshal(r, text) }

// AddedMass is mass put on a region, or taken off where Kilograms is negative.
type AddedMass struct {
	Region    Region
	Kilograms float64
	// Working is the share that is muscle working in the hold, 0 to 1; fat has 0.
	Working float64
}

// Amounts is by how much each trait is changed; most by nothing.
type Amounts [NumChanges]Amount

// Change makes a second body out of a first; everything not named stays. The
// zero value changes nothing.
type Change struct {
	Of   Amounts
	Mass []AddedMass
	// MassStays leaves the mass of what becomes longer as it was. Without it the
	// segments keep their girth, so that their mass follows their length.
	MassStays bool
	// StatureStays takes from the trunk what the legs gain in length, and its mass
	// with it unless MassStays.
	StatureStays bool
}

// Scale returns the factor by which every length is multiplied; 1 changes none.
func (ch Change) Scale() float64 { return 1 + ch.Of[Size].Share }

// IsZero reports whether the change alters nothing of the body.
func (ch Change) IsZero() bool { return ch.Of == Amounts{} && len(ch.Mass) == 0 }

// Check reports everything about the change that makes no sense of any body: what
// is no number, lies beyond the limits of its trait, or names a region that there is
// not. The errors are *[fault.Error] each.
func (ch Change) Check() error {
	var wrong fault.List
	for t, by := range ch.Of {
		wrong = append(wrong, Trait(t).Check(by))
	}
	total := 0.0
	for i, m := range ch.Mass {
		wrong = append(wrong, m.check())
		total += math.Abs(m.Kilograms)
		if slices.ContainsFunc(ch.Mass[:i], func(before AddedMass) bool { return before.Region == m.Region }) {
			wrong.Fail("added_mass."+m.Region.String(), m.Kilograms, "appears twice")
		}
	}
	if errors.Join(wrong...) == nil {
		wrong = append(wrong, MassBounds.Check("added_mass", total))
	}
	if ch.StatureStays && ch.Of[LegLength] == (Amount{}) {
		wrong.Fail("stature", "stays", "only another length of the legs alters the stature, leave this out")
	}
	if ch.MassStays && !ch.lengthens() {
		wrong.Fail("mass", "stays", "nothing becomes longer, so no mass could follow: leave this out")
	}
	return errors.Join(wrong...)
}

// lengthens reports whether the change alters a length whose segments' mass follows
// it unless it is said to stay.
func (ch Change) lengthens() bool {
	for t, by := range ch.Of {
		if by != (Amount{}) && traits[t].follow != nil {
			return true
		}
	}
	return false
}

// Weighs reports whether the change alters the mass of a body.
func (ch Change) Weighs() bool {
	return ch.Of[Size] != (Amount{}) || len(ch.Mass) > 0 || ch.lengthens() && !ch.MassStays
}

// check reports a mass that makes no sense.
func (m *AddedMass) check() error {
	if m.Region < 0 || m.Region >= NumRegions {
		return fault.New("added_mass", int(m.Region), "unknown region %d, allowed: 0 to %d", int(m.Region), int(NumRegions-1))
	}
	return errors.Join(MassBounds.Check("added_mass."+m.Region.String(), m.Kilograms), WorkingBounds.Check("working_share", m.Working))
}

// Apply makes dst the changed bodies of src, row by row; both have the same
// number of rows, and dst must not be src. Columns that the change does not touch
// are shared with src, so dst holds good only as long as src does. It fails on
// the first body that the change would leave without a positive length or mass,
// and says which.
//
// Size comes first, so that a change in metres is one of the body enlarged, and
// mass last.
func (ch Change) Apply(dst, src *Columns, a *assume.Set) error {
	if len(dst.own[0]) != src.Rows() {
		panic("body: columns of different length")
	}
	dst.borrow(src)
	alter := func(t Trait) error {
		if ch.Of[t] == (Amount{}) {
			return nil
		}
		if err := traits[t].apply(dst, ch.Of[t], a); err != nil {
			return err
		}
		if ch.MassStays || traits[t].follow == nil {
			return nil
		}
		dst.grow(src, ch.Scale(), traits[t].follow)
		return nil
	}
	if err := alter(Size); err != nil {
		return err
	}
	for t := range NumChanges {
		if t == Size {
			continue
		}
		if err := alter(t); err != nil {
			return err
		}
	}
	if ch.StatureStays {
		if err := ch.shorten(dst, src); err != nil {
			return err
		}
	}
	if len(ch.Mass) > 0 {
		dst.copies(append(dst.shares(), &dst.Mass, &dst.TrunkCentre)...)
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

// girth is a segment of both sides of the body whose mass follows its length.
type girth struct{ share, length func(*Columns) []float64 }

// grow makes the mass of segments follow their lengths, those of src times scale
// before.
func (c *Columns) grow(src *Columns, scale float64, segments []girth) {
	shares := c.shares()
	c.copies(shares...)
	c.copies(&c.Mass)
	for i := range c.Rows() {
		total := 1.0
		for _, s := range segments {
			share := s.share(c)
			gained := float64(share[i] * (s.length(c)[i]/(scale*s.length(src)[i]) - 1))
			share[i] += gained
			total += float64(2 * gained)
		}
		c.weigh(i, shares, total)
	}
}

// weigh makes the mass of body i the given multiple, and its shares add up to one
// again.
func (c *Columns) weigh(i int, shares []*[]float64, total float64) {
	for _, column := range shares {
		(*column)[i] /= total
	}
	c.Mass[i] *= total
}

// shorten takes from the trunk what the legs of the changed bodies have gained.
func (ch Change) shorten(dst, src *Columns) error {
	shares := dst.shares()
	dst.copies(append(shares[:len(shares):len(shares)], &dst.Mass, &dst.Stature, &dst.Hip, &dst.Waist, &dst.Chest, &dst.TrunkCentre, &dst.UpperTrunkCentre,
		&dst.MiddleTrunkCentre, &dst.LowerTrunkCentre)...)
	scale := ch.Scale()
	for i := range dst.Rows() {
		gained := dst.leg(i) - float64(scale*src.leg(i))
		kept := 1 - gained/dst.Hip[i]
		if !(kept > 0) {
			return fmt.Errorf("body: a trunk of %.3f m cannot be shortened by %.3f m", dst.Hip[i], gained)
		}
		dst.Stature[i] -= gained
		for _, column := range [...][]float64{dst.Hip, dst.Waist, dst.Chest, dst.TrunkCentre, dst.UpperTrunkCentre, dst.MiddleTrunkCentre, dst.LowerTrunkCentre} {
			column[i] *= kept
		}
		if ch.MassStays {
			continue
		}
		total := 1 + float64((kept-1)*dst.TrunkShare[i])
		for _, column := range [...][]float64{dst.TrunkShare, dst.MiddleTrunkShare, dst.LowerTrunkShare} {
			column[i] *= kept
		}
		dst.weigh(i, shares, total)
	}
	return nil
}

// sizeMass is the factor of the mass of a body whose every length grows by a share.
func sizeMass(share float64, a *assume.Set) float64 { return math.Pow(1+share, a[assume.SizeExponent]) }

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
	had := c.MassOf(m.Region, i)
	added := m.Kilograms / c.Mass[i] // in shares of the first mass
	arms, chest := 0.0, 0.0
	switch m.Region {
	case Arms:
		arms = added
	case UpperTrunk:
		chest = added
	case UpperBody:
		arms = float64(added * a[assume.UpperBodySplit])
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
		c.TrunkCentre[i] = (float64(c.TrunkShare[i]*c.TrunkCentre[i]) + float64(chest*c.UpperTrunkCentre[i])) / trunk
		c.TrunkShare[i] = trunk
	}
	if !(c.HeadShare[i] > 0 && c.TrunkShare[i] > c.MiddleTrunkShare[i]+c.LowerTrunkShare[i] && c.ArmShare(i) > 0 && c.LegShare(i) > 0) {
		return fmt.Errorf("body: the %s of a body of %.1f kg, one of those that are changed, has %.1f kg and cannot lose %.1f", m.Region, c.Mass[i], had, -m.Kilograms)
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
