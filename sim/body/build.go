package body

import (
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
)

// Builder turns people of one population into bodies, under one segment table
// and one choice of regional masses.
type Builder struct {
	sex       anthro.Sex
	masses    Masses
	segments  *segments
	regional  anthro.RegionalModel
	reference [anthro.NumRegions - 1]float64 // log-ratios predicted for the table's own sample
}

// NewBuilder returns a builder. segments names a segment table. The error is
// that of an unknown table.
func NewBuilder(population *anthro.Population, masses Masses, segments string) (*Builder, error) {
	s, err := loadSegments(segments, population.Sex)
	if err != nil {
		return nil, err
	}
	r := population.Regional
	return &Builder{
		sex: population.Sex, masses: masses, segments: s, regional: r,
		reference: r.Predict(s.sampleStature, s.sampleMass, r.Waist(s.sampleStature, s.sampleMass)),
	}, nil
}

// Build fills dst with the bodies of the people, row by row, under the
// assumptions. dst and people have the same number of rows. It allocates nothing.
func (bu *Builder) Build(dst *Columns, people *anthro.People, a *assume.Set) {
	dst.reclaim()
	if dst.Rows() != people.Rows() {
		panic("body: columns of different length")
	}
	dst.Sex = bu.sex
	s := bu.segments
	v := &people.Value
	for i := range dst.Rows() {
		stature, upperArm := v[anthro.Stature][i], v[anthro.UpperArmLength][i]
		cervicale, acromion := v[anthro.CervicaleHeight][i], v[anthro.AcromialHeight][i]
		dst.Mass[i], dst.Stature[i] = v[anthro.Mass][i], stature

		shoulder := acromion - a[assume.ShoulderDrop]*upperArm // heights in standing
		hip := v[anthro.TrochanterionHeight][i] - a[assume.HipDrop]*stature
		knee, ankle := v[anthro.TibialHeight][i], v[anthro.MalleolusHeight][i]

		dst.UpperArm[i] = (1 - a[assume.ShoulderDrop]) * upperArm
		dst.Forearm[i] = v[anthro.ForearmLength][i]
		dst.Palm[i] = v[anthro.PalmLength][i]
		dst.Grip[i] = a[assume.GripReach] * dst.Palm[i]
		dst.Hand[i] = v[anthro.HandLength][i]
		dst.ShoulderSpan[i] = a[assume.ShoulderSpan] * v[anthro.BiacromialBreadth][i]
		dst.Rise[i] = a[assume.ShoulderRise] * stature
		dst.Hip[i] = shoulder - hip
		dst.Waist[i] = s.waist * dst.Hip[i]
		dst.Thigh[i] = hip - knee
		dst.Shank[i] = knee - ankle
		dst.Foot[i] = v[anthro.FootLength][i]
		dst.Heel[i] = a[assume.HeelShare] * dst.Foot[i]
		dst.Ankle[i] = ankle

		if s.headByTrunk {
			dst.HeadCentre[i] = s.headOnTrunk * dst.Hip[i]
		} else {
			dst.HeadCentre[i] = shoulder - (stature - s.headFromVertex*(stature-cervicale))
		}
		dst.TrunkCentre[i] = s.trunkCentre * dst.Hip[i]
		dst.UpperTrunkCentre[i] = shoulder - (cervicale - s.chestFromCervicale*(cervicale-hip))
		dst.LowerTrunkCentre[i] = s.lowerCentre * dst.Hip[i]
		dst.UpperArmCentre[i] = s.upperArmCentre * dst.UpperArm[i]
		dst.ForearmCentre[i] = s.forearmCentre * dst.Forearm[i]
		dst.HandCentre[i] = s.handCentre * dst.Palm[i]
		dst.ThighCentre[i] = s.thighCentre * dst.Thigh[i]
		dst.ShankCentre[i] = s.shankCentre * dst.Shank[i]
		dst.FootCentre[i] = s.footCentre*dst.Foot[i] - dst.Heel[i]
	}
	bu.shares(dst, people)
}

// shares fills the mass shares.
func (bu *Builder) shares(dst *Columns, people *anthro.People) {
	s := bu.segments
	tilt := [anthro.NumRegions]float64{1, 1, 1, 1}
	v := &people.Value
	for i := range dst.Rows() {
		if bu.masses != Table {
			var residual [anthro.NumRegions - 1]float64
			for r := range residual {
				residual[r] = people.Residual[r][i]
			}
			tilt = bu.masses.tilt(&bu.regional, residual, bu.reference,
				v[anthro.Stature][i], v[anthro.Mass][i], v[anthro.WaistCircumference][i])
		}
		arm := s.upperArm + s.forearm + s.hand
		leg := s.thigh + s.shank + s.foot
		scale := 1 / (tilt[anthro.Head]*s.head + tilt[anthro.Trunk]*s.trunk + 2*tilt[anthro.Arms]*arm + 2*tilt[anthro.Legs]*leg)
		head, trunk, arms, legs := tilt[anthro.Head]*scale, tilt[anthro.Trunk]*scale, tilt[anthro.Arms]*scale, tilt[anthro.Legs]*scale
		dst.HeadShare[i] = head * s.head
		dst.TrunkShare[i] = trunk * s.trunk
		dst.LowerTrunkShare[i] = s.lowerTrunk * dst.TrunkShare[i]
		dst.UpperArmShare[i] = arms * s.upperArm
		dst.ForearmShare[i] = arms * s.forearm
		dst.HandShare[i] = arms * s.hand
		dst.ThighShare[i] = legs * s.thigh
		dst.ShankShare[i] = legs * s.shank
		dst.FootShare[i] = legs * s.foot
	}
}
