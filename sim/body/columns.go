// Package body turns measurements of people into bodies that statics can hold
// up: joint centres, segment lengths, segment masses and their centres, in
// columns of many bodies at a time.
//
// A body here lies straight along one axis. All distances along that axis are
// measured from the line through the two shoulder centres, positive towards
// the feet, with the shoulders at rest; a hold with the arms overhead adds
// Rise to everything but the arms. Positions along a limb are measured from its
// own proximal joint.
//
// What is to be known of a trait of bodies (its name, unit and bounds, how it is read
// off a body, how a body is given more of it, and in which words) stands in one table,
// and a [Change] is by how much of each.
package body

import (
	"fmt"
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/math"
)

// Columns is a block of bodies as columns of equal length: row i of every
// column belongs to body i. Lengths are in metres, Mass in kilograms, shares
// are of the body's whole mass (limbs: one side), with what it carries.
type Columns struct {
	Sex anthro.Sex // of all rows
	// SpanShare is the share of the biacromial breadth that reaches the shoulder
	// centres: the assumption shoulder_span, of all rows.
	SpanShare float64

	Mass    []float64
	Stature []float64
	Age     []float64 // years; 0 where it is not known
	// Regional is by how much the logarithms of the masses of head, trunk and arms over
	// that of the legs are above what is usual at that stature, mass and waist; 0 where
	// the regional masses are a table's.
	Regional [anthro.NumRegions - 1][]float64

	UpperArm []float64 // shoulder centre to elbow
	Forearm  []float64 // elbow to wrist
	Grip     []float64 // wrist to centre of grip
	Palm     []float64 // wrist to the root of the fingers
	Hand     []float64 // wrist to fingertip

	ShoulderSpan []float64 // between the two shoulder centres
	Rise         []float64 // by which the shoulder centres rise when the arms go overhead
	Chest        []float64 // shoulder line to the chest's lower end (xiphion)
	Waist        []float64 // shoulder line to waist (omphalion)
	Hip          []float64 // shoulder line to hip centres
	Thigh        []float64 // hip to knee
	Shank        []float64 // knee to ankle
	Foot         []float64 // heel to toe tip
	Heel         []float64 // heel to below the ankle, along the foot
	Ankle        []float64 // ankle above the floor in standing

	HeadCentre        []float64 // from the shoulder line; negative, beyond the shoulders
	TrunkCentre       []float64 // from the shoulder line
	UpperTrunkCentre  []float64 // from the shoulder line; where mass added to the chest sits
	MiddleTrunkCentre []float64 // from the shoulder line; between chest and waist
	LowerTrunkCentre  []float64 // from the shoulder line
	UpperArmCentre    []float64 // from the shoulder
	ForearmCentre     []float64 // from the elbow
	HandCentre        []float64 // from the wrist; with the fist on a grip the hand's mass counts at Grip
	ThighCentre       []float64 // from the hip
	ShankCentre       []float64 // from the knee
	FootCentre        []float64 // from the ankle towards the toes

	HeadShare        []float64
	TrunkShare       []float64
	MiddleTrunkShare []float64 // part of TrunkShare that lies between chest and waist
	LowerTrunkShare  []float64 // part of TrunkShare that lies below the waist
	UpperArmShare    []float64
	ForearmShare     []float64
	HandShare        []float64
	ThighShare       []float64
	ShankShare       []float64
	FootShare        []float64

	own [][]float64 // the room of each column, in the order of all

	// Of bodies that carry something; see Load.
	load    Load
	bare    *Columns  // the bodies alone
	carried []float64 // what they weigh with what they carry over what they weigh alone; 0 where lifted whole
	room    []float64 // of carried, once it was asked for
}

const numColumns = 42

// all lists the columns, so that each thing done to every column is written once.
func (c *Columns) all() [numColumns]*[]float64 {
	return [...]*[]float64{
		&c.Mass, &c.Stature, &c.Age, &c.Regional[anthro.Head], &c.Regional[anthro.Trunk], &c.Regional[anthro.Arms],
		&c.UpperArm, &c.Forearm, &c.Grip, &c.Palm, &c.Hand,
		&c.ShoulderSpan, &c.Rise, &c.Chest, &c.Waist, &c.Hip, &c.Thigh, &c.Shank, &c.Foot, &c.Heel, &c.Ankle,
		&c.HeadCentre, &c.TrunkCentre, &c.UpperTrunkCentre, &c.MiddleTrunkCentre, &c.LowerTrunkCentre,
		&c.UpperArmCentre, &c.ForearmCentre, &c.HandCentre, &c.ThighCentre, &c.ShankCentre, &c.FootCentre,
		&c.HeadShare, &c.TrunkShare, &c.MiddleTrunkShare, &c.LowerTrunkShare, &c.UpperArmShare, &c.ForearmShare, &c.HandShare,
		&c.ThighShare, &c.ShankShare, &c.FootShare,
	}
}

// New returns room for a number of bodies.
func New(rows int) *Columns {
	c := &Columns{}
	room := make([]float64, rows*numColumns)
	for i := range numColumns {
		c.own = append(c.own, room[i*rows:(i+1)*rows:(i+1)*rows])
	}
	c.reclaim()
	return c
}

// reclaim gives every column its own room, whatever it held or shared.
func (c *Columns) reclaim() {
	for i, column := range c.all() {
		*column = c.own[i]
	}
	c.carried, c.bare, c.load = nil, nil, Load{}
}

// borrow makes every column of c that of src, without copying.
func (c *Columns) borrow(src *Columns) {
	c.Sex, c.SpanShare = src.Sex, src.SpanShare
	c.carried, c.bare, c.load = src.carried, src.bare, src.load
	to, from := c.all(), src.all()
	for i := range to {
		*to[i] = *from[i]
	}
}

// copies turns borrowed columns of c into copies in its own room.
func (c *Columns) copies(columns ...*[]float64) {
	all := c.all()
	for _, column := range columns {
		for i := range all {
			if all[i] == column {
				copy(c.own[i], *column)
				*column = c.own[i]
			}
		}
	}
}

// numbersOf returns the places in all of some columns of any bodies.
func numbersOf(columns func(*Columns) []*[]float64) []int {
	var c Columns
	var numbers []int
	all := c.all()
	for _, column := range columns(&c) {
		numbers = append(numbers, slices.Index(all[:], column))
	}
	return numbers
}

// copied turns the columns of these numbers into copies in c's own room, and appends
// them to list.
func (c *Columns) copied(list [][]float64, numbers []int) [][]float64 {
	all := c.all()
	for _, k := range numbers {
		copy(c.own[k], *all[k])
		*all[k] = c.own[k]
		list = append(list, c.own[k])
	}
	return list
}

// Rows returns the number of bodies.
func (c *Columns) Rows() int { return len(c.Mass) }

// Slice returns the bodies from..to-1 without copying them.
func (c *Columns) Slice(from, to int) *Columns {
	s := &Columns{Sex: c.Sex, SpanShare: c.SpanShare, load: c.load}
	if c.bare != nil {
		s.carried, s.bare = c.carried[from:to], c.bare.Slice(from, to)
	}
	dst, src := s.all(), c.all()
	for i := range dst {
		*dst[i] = (*src[i])[from:to]
		s.own = append(s.own, c.own[i][from:to])
	}
	return s
}

// Arm returns the length from shoulder centre to centre of grip of body i.
func (c *Columns) Arm(i int) float64 { return c.UpperArm[i] + c.Forearm[i] + c.Grip[i] }

// leg returns the length from hip centre to ankle of body i.
func (c *Columns) leg(i int) float64 { return c.Thigh[i] + c.Shank[i] }

// hand returns the length from wrist to fingertip of body i.
func (c *Columns) hand(i int) float64 { return c.Hand[i] }

// ArmShare returns the share of body mass in one arm of body i.
func (c *Columns) ArmShare(i int) float64 {
	return c.UpperArmShare[i] + c.ForearmShare[i] + c.HandShare[i]
}

// ArmMoment returns the first moment of one arm of body i about its shoulder,
// in metres times share of body mass: k·L·m_a, with the fist on the grip.
func (c *Columns) ArmMoment(i int) float64 {
	return float64(c.UpperArmShare[i]*c.UpperArmCentre[i]) +
		float64(c.ForearmShare[i]*(c.UpperArm[i]+c.ForearmCentre[i])) +
		float64(c.HandShare[i]*c.Arm(i))
}

// LegsMoment returns the first moment of both legs of body i about the hips along the body's
// line, in metres times share of body mass, where thighs and shanks point along it by that
// share of their lengths, added over both legs.
func (c *Columns) LegsMoment(i int, thigh, shank float64) float64 {
	ofThigh := float64(c.ThighShare[i]*c.ThighCentre[i]) + float64((c.ShankShare[i]+c.FootShare[i])*c.Thigh[i])
	ofShank := float64(c.ShankShare[i]*c.ShankCentre[i]) + float64(c.FootShare[i]*(c.Shank[i]+c.FootCentre[i]))
	return float64(ofThigh*thigh) + float64(ofShank*shank)
}

// LegShare returns the share of body mass in one leg of body i.
func (c *Columns) LegShare(i int) float64 {
	return c.ThighShare[i] + c.ShankShare[i] + c.FootShare[i]
}

// Check reports the first thing that makes body i no body: a length or mass
// that is not a positive number, or shares that do not add up to one. What a body
// carries is no part of it; with it there must be a weight to hold up.
func (c *Columns) Check(i int) error {
	if c.bare != nil {
		if !(c.carried[i] > 0) || math.IsInf(c.carried[i], 0) {
			return fmt.Errorf("body: weighs %.4g times its own mass with its load, must be positive", c.carried[i])
		}
		return c.bare.Check(i)
	}
	for _, q := range []struct {
		name  string
		value float64
	}{
		{"body mass", c.Mass[i]}, {"stature", c.Stature[i]},
		{"upper arm from shoulder centre to elbow", c.UpperArm[i]}, {"forearm", c.Forearm[i]}, {"distance from wrist to grip", c.Grip[i]},
		{"separation of the shoulders", c.ShoulderSpan[i]}, {"distance from shoulders to hips", c.Hip[i]},
		{"thigh", c.Thigh[i]}, {"shank", c.Shank[i]}, {"foot", c.Foot[i]},
		{"share of the head", c.HeadShare[i]}, {"share of the trunk", c.TrunkShare[i]},
		{"share of an arm", c.ArmShare(i)}, {"share of a leg", c.LegShare(i)},
	} {
		if !(q.value > 0) || math.IsInf(q.value, 0) {
			return fmt.Errorf("body: %s is %.4g, must be positive", q.name, q.value)
		}
	}
	if sum := c.HeadShare[i] + c.TrunkShare[i] + float64(2*c.ArmShare(i)) + float64(2*c.LegShare(i)); math.Abs(sum-1) > 1e-9 {
		return fmt.Errorf("body: segment shares add up to %.6f, must be 1", sum)
	}
	return nil
}
