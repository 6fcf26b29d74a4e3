package body

import (
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/linear"
)

// Builder turns people of one population into bodies, under one segment table
// and one choice of regional masses.
type Builder struct {
	sex       anthro.Sex
	aged      bool // whether the people's ages are known
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
		sex: population.Sex, aged: population.HasAge(), masses: masses, segments: s, regional: r,
		reference: r.Predict(s.sampleStature, s.sampleMass, r.Waist(s.sampleStature, s.sampleMass)),
	}, nil
}

// Unread returns the measurements that Build does not look at.
func (bu *Builder) Unread() []anthro.Measurement {
	unread := []anthro.Measurement{anthro.SuprasternaleHeight, anthro.Span, anthro.SittingHeight, anthro.HipBreadth}
	if !bu.aged {
		unread = append(unread, anthro.Age)
	}
	if bu.masses != Full {
		unread = append(unread, anthro.WaistCircumference)
	}
	return unread
}

// Build fills dst with the bodies of the people, row by row, under the
// assumptions. dst and people have the same number of rows. It allocates nothing.
func (bu *Builder) Build(dst *Columns, people *anthro.People, a *assume.Set) {
	dst.reclaim()
	if dst.Rows() != people.Rows() {
		panic("body: columns of different length")
	}
	dst.Sex, dst.SpanShare = bu.sex, a[assume.ShoulderSpan]
	bu.lengths(dst, people, a)
	bu.centres(dst)
	bu.shares(dst, people)
}

// lengths fills everything that is measured or is a share of a measurement.
// Two or three columns at a time, or eight in one loop over slices of one known
// length, take a third of the time that all of them take in one loop.
func (bu *Builder) lengths(dst *Columns, people *anthro.People, a *assume.Set) {
	v := &people.Value
	copy(dst.Mass, v[anthro.Mass])
	copy(dst.Stature, v[anthro.Stature])
	if bu.aged {
		copy(dst.Age, v[anthro.Age])
	} else {
		clear(dst.Age)
	}
	copy(dst.Forearm, v[anthro.ForearmLength])
	copy(dst.Palm, v[anthro.PalmLength])
	copy(dst.Hand, v[anthro.HandLength])
	copy(dst.Foot, v[anthro.FootLength])
	copy(dst.Ankle, v[anthro.MalleolusHeight])
	linear.ScaleTo(dst.UpperArm, 1-a[assume.ShoulderDrop], v[anthro.UpperArmLength])
	linear.ScaleTo(dst.Grip, a[assume.GripReach], dst.Palm)
	linear.ScaleTo(dst.ShoulderSpan, a[assume.ShoulderSpan], v[anthro.BiacromialBreadth])
	linear.ScaleTo(dst.Rise, a[assume.ShoulderRise], dst.Stature)
	linear.ScaleTo(dst.Heel, a[assume.HeelShare], dst.Foot)

	s, rows := bu.segments, dst.Rows()
	stature, upperArm := v[anthro.Stature][:rows], v[anthro.UpperArmLength][:rows]
	acromion, cervicale := v[anthro.AcromialHeight][:rows], v[anthro.CervicaleHeight][:rows]
	trochanterion, tibiale, malleolus := v[anthro.TrochanterionHeight][:rows], v[anthro.TibialHeight][:rows], v[anthro.MalleolusHeight][:rows]
	trunk, thigh, shank := dst.Hip[:rows], dst.Thigh[:rows], dst.Shank[:rows]
	headCentre, chest := dst.HeadCentre[:rows], dst.UpperTrunkCentre[:rows]
	shoulderDrop, hipDrop := a[assume.ShoulderDrop], a[assume.HipDrop]
	for i := range rows {
		shoulder := acromion[i] - float64(shoulderDrop*upperArm[i]) // heights in standing
		hip := trochanterion[i] - float64(hipDrop*stature[i])
		trunk[i] = shoulder - hip
		thigh[i] = hip - tibiale[i]
		shank[i] = tibiale[i] - malleolus[i]
		headCentre[i] = shoulder - (stature[i] - float64(s.headFromVertex*(stature[i]-cervicale[i])))
		chest[i] = shoulder - (cervicale[i] - float64(s.chestFromCervicale*(cervicale[i]-hip)))
	}
	linear.ScaleTo(dst.Chest, s.xiphion, dst.Hip)
	linear.ScaleTo(dst.Waist, s.waist, dst.Hip)
}

// centres fills the centres of mass that are a share of a length.
func (bu *Builder) centres(dst *Columns) {
	s := bu.segments
	if s.headByTrunk {
		linear.ScaleTo(dst.HeadCentre, s.headOnTrunk, dst.Hip)
	}
	linear.ScaleTo(dst.TrunkCentre, s.trunkCentre, dst.Hip)
	linear.ScaleTo(dst.MiddleTrunkCentre, s.middleCentre, dst.Hip)
	linear.ScaleTo(dst.LowerTrunkCentre, s.lowerCentre, dst.Hip)
	linear.ScaleTo(dst.UpperArmCentre, s.upperArmCentre, dst.UpperArm)
	linear.ScaleTo(dst.ForearmCentre, s.forearmCentre, dst.Forearm)
	linear.ScaleTo(dst.HandCentre, s.handCentre, dst.Palm)
	linear.ScaleTo(dst.ThighCentre, s.thighCentre, dst.Thigh)
	linear.ScaleTo(dst.ShankCentre, s.shankCentre, dst.Shank)
	linear.ScaleTo(dst.FootCentre, s.footCentre, dst.Foot)
	linear.Sub(dst.FootCentre, dst.Heel)
}

// shares fills the mass shares.
func (bu *Builder) shares(dst *Columns, people *anthro.People) {
	s, rows := bu.segments, dst.Rows()
	head, trunk := dst.HeadShare[:rows], dst.TrunkShare[:rows]
	upperArm, forearm, hand := dst.UpperArmShare[:rows], dst.ForearmShare[:rows], dst.HandShare[:rows]
	thigh, shank, foot := dst.ThighShare[:rows], dst.ShankShare[:rows], dst.FootShare[:rows]
	bu.tilt(dst, people)
	arm := s.upperArm + s.forearm + s.hand
	leg := s.thigh + s.shank + s.foot
	for i := range rows {
		heads, trunks, arms := head[i], trunk[i], upperArm[i] // tilts so far
		legs := 1 / (float64(heads*s.head) + float64(trunks*s.trunk) + float64(2*arms*arm) + float64(2*leg))
		arms *= legs
		head[i] = heads * legs * s.head
		trunk[i] = trunks * legs * s.trunk
		upperArm[i] = arms * s.upperArm
		forearm[i] = arms * s.forearm
		hand[i] = arms * s.hand
		thigh[i] = legs * s.thigh
		shank[i] = legs * s.shank
		foot[i] = legs * s.foot
	}
	linear.ScaleTo(dst.MiddleTrunkShare, s.middleTrunk, dst.TrunkShare)
	linear.ScaleTo(dst.LowerTrunkShare, s.lowerTrunk, dst.TrunkShare)
}

// tilt fills the shares of head, trunk and upper arms with the factors by which the
// table's head, trunk and arm shares are multiplied where the legs' factor is 1; normalising takes a
// common factor away.
//
// In the residual variant the reference share is the one predicted for the
// person, so that only the residual is left (see anthro.RegionalModel). In the
// full variant the prediction for the person over that for the table's own
// sample comes on top.
func (bu *Builder) tilt(dst *Columns, people *anthro.People) {
	v, head, trunk, arms := &people.Value, dst.HeadShare, dst.TrunkShare, dst.UpperArmShare
	columns := [...][]float64{anthro.Head: head, anthro.Trunk: trunk, anthro.Arms: arms}
	for r, column := range columns {
		if bu.masses == Table {
			clear(dst.Regional[r])
		} else {
			copy(dst.Regional[r], people.Residual[r])
		}
		copy(column, dst.Regional[r])
	}
	if bu.masses == Full {
		for i := range head {
			predicted := bu.regional.Predict(v[anthro.Stature][i], v[anthro.Mass][i], v[anthro.WaistCircumference][i])
			head[i] += predicted[anthro.Head] - bu.reference[anthro.Head]
			trunk[i] += predicted[anthro.Trunk] - bu.reference[anthro.Trunk]
			arms[i] += predicted[anthro.Arms] - bu.reference[anthro.Arms]
		}
	}
	for _, column := range columns {
		for i, ratio := range column {
			column[i] = exponential(ratio)
		}
	}
}
