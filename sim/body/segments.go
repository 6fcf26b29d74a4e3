package body

import (
	"fmt"
	"slices"

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

// table is a segment table of which rows are asked for; missing is the first that it
// does not have.
type table struct {
	*segment.Table
	missing error
}

func (t *table) lacks(format string, args ...any) {
	if t.missing == nil {
		t.missing = fmt.Errorf("body: segment table "+t.Name+" has no row "+format, args...)
	}
}

// row returns the row of a segment between two landmarks.
func (t *table) row(name, from, to string) segment.Row {
	r, ok := t.Row(name, from, to)
	if !ok {
		t.lacks("%s from %s to %s", name, from, to)
	}
	return r
}

// share returns the share of body mass in segments, wherever they end.
func (t *table) share(names ...string) (sum float64) {
	for _, name := range names {
		i := slices.IndexFunc(t.Rows, func(r segment.Row) bool { return r.Name == name })
		if i < 0 {
			t.lacks("%s", name)
			continue
		}
		sum += t.Rows[i].MassShare
	}
	return sum
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
	t := table{Table: leva}
	limb := func(name, from, to string, share, centre *float64) {
		r := t.row(name, from, to)
		*share, *centre = r.MassShare, r.CentreShare
	}
	limb("head", "VERT", "CERV", &s.head, &s.headFromVertex)
	limb("trunk", "MIDS", "MIDH", &s.trunk, &s.trunkCentre)
	limb("upper arm", "SJC", "EJC", &s.upperArm, &s.upperArmCentre)
	limb("forearm", "EJC", "STYL", &s.forearm, &s.forearmCentre)
	limb("hand", "STYL", "MET3", &s.hand, &s.handCentre)
	limb("thigh", "HJC", "KJC", &s.thigh, &s.thighCentre)
	limb("shank", "KJC", "LMAL", &s.shank, &s.shankCentre)
	limb("foot", "HEEL", "TTIP", &s.foot, &s.footCentre)
	trunk, long, chest := t.row("trunk", "MIDS", "MIDH"), t.row("trunk", "CERV", "MIDH"), t.row("upper trunk", "CERV", "XYPH")
	middle, lower := t.row("middle trunk", "XYPH", "OMPH"), t.row("lower trunk", "OMPH", "MIDH")
	s.xiphion = 1 - (middle.Length+lower.Length)/trunk.Length
	s.middleTrunk = middle.MassShare / trunk.MassShare
	s.middleCentre = s.xiphion + middle.CentreShare*middle.Length/trunk.Length
	s.waist = 1 - lower.Length/trunk.Length
	s.lowerTrunk = lower.MassShare / trunk.MassShare
	s.lowerCentre = s.waist + lower.CentreShare*lower.Length/trunk.Length
	s.chestFromCervicale = chest.CentreShare * chest.Length / long.Length
	if t.missing == nil && name != DefaultSegments {
		if t.Table, err = segment.Load(name, sex); err != nil {
			return nil, err
		}
		s.takeFrom(&t)
	}
	s.normalise()
	return s, t.missing
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
func (s *segments) takeFrom(t *table) {
	s.head = t.share("head and neck")
	s.upperArm, s.forearm, s.hand = t.share("upper arm"), t.share("forearm"), t.share("hand")
	s.thigh, s.shank, s.foot = t.share("thigh"), t.share("shank"), t.share("foot")
	whole, ok := t.Row("trunk, head and neck", "GTR", "SJC")
	if !ok {
		s.trunk = t.share("thorax", "abdomen", "pelvis")
		return
	}
	s.trunk = t.share("trunk")
	s.trunkCentre = 1 - t.row("trunk", "GTR", "SJC").CentreShare
	s.headByTrunk = true
	s.headOnTrunk = (float64((1-whole.CentreShare)*whole.MassShare) - float64(s.trunkCentre*s.trunk)) / s.head
	s.upperArmCentre = t.row("upper arm", "SJC", "EJC").CentreShare
	s.forearmCentre = t.row("forearm", "EJC", "USTY").CentreShare
	s.thighCentre = t.row("thigh", "GTR", "KJC").CentreShare
	s.shankCentre = t.row("shank", "KJC", "MMAL").CentreShare
}

// normalise makes the shares add up to one.
func (s *segments) normalise() {
	sum := s.head + s.trunk + float64(2*(s.upperArm+s.forearm+s.hand+s.thigh+s.shank+s.foot))
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
