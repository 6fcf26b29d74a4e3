package body

import (
	"fmt"

	"counterpoise/sim/anthro"
	"counterpoise/sim/names"
	"counterpoise/sim/segment"
)

// DefaultSegments is the segment table used unless another is named.
const DefaultSegments = "deleva-1996"

// segments are the numbers that a segment table gives a body: shares of body
// mass (limbs: one side, adding up to one) and centres as shares of a length.
type segments struct {
	head, trunk, upperArm, forearm, hand, thigh, shank, foot float64

	headFromVertex float64 // of vertex–cervicale
	// Where the head's centre hangs on the trunk's length instead, headOnTrunk
	// is its distance from the shoulder line as a share of shoulder–hip.
	headOnTrunk                          float64
	headByTrunk                          bool
	trunkCentre                          float64 // of shoulder–hip
	upperArmCentre, forearmCentre        float64
	handCentre                           float64 // of stylion–third metacarpal, taken as the palm
	thighCentre, shankCentre, footCentre float64
	xiphion, middleTrunk, middleCentre   float64 // end of the chest and middle trunk's centre along shoulder–hip; its share of the trunk's mass
	waist, lowerTrunk, lowerCentre       float64 // waist and lower trunk's centre along shoulder–hip; its share of the trunk's mass
	chestFromCervicale                   float64 // of cervicale–hip
	sampleStature, sampleMass            float64 // of the table's people, m and kg
}

// loadSegments reads a table and reduces it.
//
// Every table takes its trunk's parts, and the tables that give shares only
// also take their centres, from de Leva 1996: the parts as shares of the trunk.
func loadSegments(name string, sex anthro.Sex) (*segments, error) {
	leva, err := segment.Load(DefaultSegments, sex)
	if err != nil {
		return nil, err
	}
	s := &segments{sampleStature: leva.Stature, sampleMass: leva.Mass}
	var missing error
	row := func(t *segment.Table, name, from, to string) segment.Row {
		r, ok := t.Row(name, from, to)
		if !ok && missing == nil {
			missing = fmt.Errorf("body: segment table %s has no row %s from %s to %s", t.Name, name, from, to)
		}
		return r
	}
	head := row(leva, "head", "VERT", "CERV")
	trunk := row(leva, "trunk", "MIDS", "MIDH")
	long := row(leva, "trunk", "CERV", "MIDH")
	middle := row(leva, "middle trunk", "XYPH", "OMPH")
	lower := row(leva, "lower trunk", "OMPH", "MIDH")
	chest := row(leva, "upper trunk", "CERV", "XYPH")
	upperArm, forearm := row(leva, "upper arm", "SJC", "EJC"), row(leva, "forearm", "EJC", "STYL")
	hand := row(leva, "hand", "STYL", "MET3")
	thigh, shank, foot := row(leva, "thigh", "HJC", "KJC"), row(leva, "shank", "KJC", "LMAL"), row(leva, "foot", "HEEL", "TTIP")

	s.head, s.trunk = head.MassShare, trunk.MassShare
	s.upperArm, s.forearm, s.hand = upperArm.MassShare, forearm.MassShare, hand.MassShare
	s.thigh, s.shank, s.foot = thigh.MassShare, shank.MassShare, foot.MassShare
	s.headFromVertex, s.trunkCentre = head.CentreShare, trunk.CentreShare
	s.upperArmCentre, s.forearmCentre, s.handCentre = upperArm.CentreShare, forearm.CentreShare, hand.CentreShare
	s.thighCentre, s.shankCentre, s.footCentre = thigh.CentreShare, shank.CentreShare, foot.CentreShare
	s.xiphion = 1 - (middle.Length+lower.Length)/trunk.Length
	s.middleTrunk = middle.MassShare / trunk.MassShare
	s.middleCentre = s.xiphion + middle.CentreShare*middle.Length/trunk.Length
	s.waist = 1 - lower.Length/trunk.Length
	s.lowerTrunk = lower.MassShare / trunk.MassShare
	s.lowerCentre = s.waist + lower.CentreShare*lower.Length/trunk.Length
	s.chestFromCervicale = chest.CentreShare * chest.Length / long.Length
	if missing != nil {
		return nil, missing
	}
	if name == DefaultSegments {
		s.normalise()
		return s, nil
	}

	table, err := segment.Load(name, sex)
	if err != nil {
		return nil, err
	}
	if err := s.takeFrom(table); err != nil {
		return nil, err
	}
	s.normalise()
	return s, nil
}

// takeFrom replaces what another table gives: the shares of any, and the
// centres of one whose endpoints are measured on the people here.
//
// Dumas et al. define segments between points that the surveys lack, so only
// their shares are taken; their torso is thorax with abdomen, to which the
// pelvis is added. Dempster as tabulated by Winter has trunk, head and neck
// together centred 0.34 of the way from the shoulders to the hips: the trunk is
// left at its own 0.50 and the head put where the two together give that. The
// foot keeps de Leva's centre, since Dempster's lies towards a point of the
// foot that is not measured here.
func (s *segments) takeFrom(t *segment.Table) error {
	var missing error
	share := func(names ...string) (sum float64) {
		for _, name := range names {
			found := false
			for _, r := range t.Rows {
				if r.Name == name {
					sum, found = sum+r.MassShare, true
					break
				}
			}
			if !found && missing == nil {
				missing = fmt.Errorf("body: segment table %s has no row %s", t.Name, name)
			}
		}
		return sum
	}
	s.head = share("head and neck")
	s.upperArm, s.forearm, s.hand = share("upper arm"), share("forearm"), share("hand")
	s.thigh, s.shank, s.foot = share("thigh"), share("shank"), share("foot")
	whole, ok := t.Row("trunk, head and neck", "GTR", "SJC")
	if !ok {
		s.trunk = share("thorax", "abdomen", "pelvis")
		return missing
	}
	centre := func(name, from, to string) float64 {
		r, ok := t.Row(name, from, to)
		if !ok && missing == nil {
			missing = fmt.Errorf("body: segment table %s has no row %s from %s to %s", t.Name, name, from, to)
		}
		return r.CentreShare
	}
	s.trunk = share("trunk")
	s.trunkCentre = 1 - centre("trunk", "GTR", "SJC")
	s.headByTrunk = true
	s.headOnTrunk = ((1-whole.CentreShare)*whole.MassShare - s.trunkCentre*s.trunk) / s.head
	s.upperArmCentre = centre("upper arm", "SJC", "EJC")
	s.forearmCentre = centre("forearm", "EJC", "USTY")
	s.thighCentre = centre("thigh", "GTR", "KJC")
	s.shankCentre = centre("shank", "KJC", "MMAL")
	return missing
}

// normalise makes the shares add up to one.
func (s *segments) normalise() {
	sum := s.head + s.trunk + 2*(s.upperArm+s.forearm+s.hand+s.thigh+s.shank+s.foot)
	for _, share := range []*float64{&s.head, &s.trunk, &s.upperArm, &s.forearm, &s.hand, &s.thigh, &s.shank, &s.foot} {
		*share /= sum
	}
}

// Masses says how the shares of a segment table are fitted to a person's own
// regional masses.
type Masses int

// The choices.
const (
	// Table takes the segment table as it is for everybody.
	Table Masses = iota
	// Residual tilts the table by how much the person's regions differ from
	// those expected at the person's own stature, mass and waist.
	Residual
	// Full tilts it by how much they differ from those expected of the people on
	// whom the table was measured, so that build shifts the masses too.
	Full
	NumMasses
)

var massesNames = names.List[Masses]{"table", "residual", "full"}

// String returns the choice as written in files.
func (m Masses) String() string { return massesNames.Of(m) }

// ParseMasses finds a choice by its name.
func ParseMasses(name string) (Masses, bool) { return massesNames.Find(name) }
