package body

import (
	"errors"
	"fmt"
	"slices"

	"counterpoise/sim/fault"
	"counterpoise/sim/linear"
	"counterpoise/sim/math"
	"counterpoise/sim/names"
)

// Point is a place of the body at which it carries something, or is helped. Of limbs it
// is both sides, alike.
type Point int

// The points, from the head down.
const (
	AtHead   Point = iota // at the centre of head and neck
	AtChest               // at the centre of the chest, as a vest
	AtWaist               // on the trunk's line
	AtHips                // between the hips, as a belt
	AtKnees               // of both thighs
	AtAnkles              // of both shanks
	AtWrists              // of both forearms
	AtHands               // at the centre of each hand
	NumPoints
)

// PointInfo describes a point.
type PointInfo struct {
	Name  string // as written in files
	Worn  string // another name by what is worn there, "" where it has none
	Where string // "at the hips", "at both ankles together"
}

var points = [NumPoints]PointInfo{
	AtHead:   {"head", "", "on the head"},
	AtChest:  {"chest", "vest", "on the chest"},
	AtWaist:  {"waist", "", "at the waist"},
	AtHips:   {"hips", "belt", "at the hips"},
	AtKnees:  {"knees", "", "at both knees together"},
	AtAnkles: {"ankles", "", "at both ankles together"},
	AtWrists: {"wrists", "", "at both wrists together"},
	AtHands:  {"hands", "", "in both hands together"},
}

// Info returns what the table says of the point.
func (p Point) Info() PointInfo { return points[p] }

var pointNames = names.Rows[Point](points[:], func(row *PointInfo) string { return row.Name })

// String returns the point's name as written in files.
func (p Point) String() string { return pointNames.Of(p) }

// ParsePoint finds a point by its name, or by what is worn there.
func ParsePoint(name string) (Point, bool) {
	for p := range points {
		if worn := points[p].Worn; worn != "" && worn == name {
			return Point(p), true
		}
	}
	return pointNames.Find(name)
}

// PointNames lists the names of the points, and those of what is worn there behind them.
func PointNames() []string {
	var list []string
	for p := range points {
		list = append(list, points[p].Name)
	}
	for p := range points {
		if points[p].Worn != "" {
			list = append(list, points[p].Worn)
		}
	}
	return list
}

// MarshalText writes the point's name.
func (p Point) MarshalText() ([]byte, error) { return pointNames.Marshal(p) }

// UnmarshalText reads a point's name.
func (p *Point) UnmarshalText(text []byte) error { return pointNames.Unmarshal(p, text) }

// Load is what a body carries at each point, kg, of limbs both sides together. It is no
// part of the body: strength and body weight stay what they are. Less than nothing is an
// assist: what a band, a pulley, a spotter's hand or a scale takes off there, straight up.
// The zero value is nothing.
type Load [NumPoints]float64

// LoadBounds are what can be meant by a load or an assist, at one point and in all.
var LoadBounds = fault.Bounds{Least: -200, Most: 200, Unit: "kg"}

// Check reports a load that nobody can mean. The errors are *[fault.Error] of fields
// such as "load.ankles", those of an assist of "assist.hips".
func (l Load) Check() error {
	var wrong []error
	carried, helped := 0.0, 0.0
	for p, kg := range l {
		field := "load."
		if kg < 0 {
			field = "assist."
		}
		wrong = append(wrong, LoadBounds.Check(field+points[p].Name, kg))
		if kg > 0 {
			carried += kg
		} else {
			helped -= kg
		}
	}
	if errors.Join(wrong...) == nil {
		wrong = append(wrong, LoadBounds.Check("load", carried), LoadBounds.Check("assist", helped))
	}
	return errors.Join(wrong...)
}

// Plus returns both loads together.
func (l Load) Plus(more Load) Load {
	for p, kg := range more {
		l[p] += kg
	}
	return l
}

// Total returns what is carried in all, kg, less what is taken off.
func (l Load) Total() float64 { return linear.Sum(l[:]) }

// Assists reports whether anything is taken off.
func (l Load) Assists() bool { return slices.Min(l[:]) < 0 }

// Apply makes dst the bodies of src under the load; both have the same number of rows,
// and dst must not be src, nor src carry anything. What the load does not touch is shared
// with src, which must stay as it is as long as dst is used. A dst of no load is src.
//
// A mass at a point is exact: statics sees of a segment no more than its mass and the
// centre of it. Segments of a body under an assist may so weigh less than nothing. The
// shares are those of all that is held up, Mass that of the body alone, and Carried what
// the one is over the other.
//
// A body that an assist lifts whole can take no posture, see Carried. It fails where that is
// every one of them.
func (l Load) Apply(dst, src *Columns) error {
	if len(dst.own[0]) != src.Rows() {
		panic("body: columns of different length")
	}
	if src.bare != nil {
		panic("body: a loaded body cannot be loaded again")
	}
	dst.borrow(src)
	if l == (Load{}) {
		return nil
	}
	dst.copies(append(dst.shares(), &dst.TrunkCentre, &dst.LowerTrunkCentre, &dst.ForearmCentre, &dst.ThighCentre, &dst.ShankCentre)...)
	if dst.room == nil {
		dst.room = make([]float64, src.Rows())
	}
	dst.carried, dst.bare, dst.load = dst.room, src, l
	lifted := 0
	for i := range dst.carried {
		if !dst.carry(i, l) {
			lifted++
		}
	}
	if n := src.Rows(); n > 0 && lifted == n {
		return fmt.Errorf("%.4g kg taken off leave nothing of a body of %.1f kg", -l.Total(), slices.Max(src.Mass))
	}
	return nil
}

// carry puts a load on body i, and reports whether that leaves a weight to hold up.
func (c *Columns) carry(i int, l Load) bool {
	over := 1 / c.Mass[i]
	carried := 1 + float64(l.Total()*over)
	if !(carried > 0) {
		c.carried[i] = 0
		return false
	}
	trunk := l[AtChest] + l[AtWaist] + l[AtHips]
	join(&c.LowerTrunkShare[i], &c.LowerTrunkCentre[i], l[AtWaist]*over, c.Waist[i])
	join(&c.LowerTrunkShare[i], &c.LowerTrunkCentre[i], l[AtHips]*over, c.Hip[i])
	if l[AtChest] != 0 || l[AtWaist] != 0 || l[AtHips] != 0 {
		moment := float64(l[AtChest]*c.UpperTrunkCentre[i]) + float64(l[AtWaist]*c.Waist[i]) + float64(l[AtHips]*c.Hip[i])
		total := nonzero(c.TrunkShare[i] + float64(trunk*over))
		c.TrunkCentre[i] = (float64(c.TrunkShare[i]*c.TrunkCentre[i]) + float64(moment*over)) / total
		c.TrunkShare[i] = total
	}
	c.HeadShare[i] += float64(l[AtHead] * over)
	join(&c.ThighShare[i], &c.ThighCentre[i], l[AtKnees]*over/2, c.Thigh[i])
	join(&c.ShankShare[i], &c.ShankCentre[i], l[AtAnkles]*over/2, c.Shank[i])
	join(&c.ForearmShare[i], &c.ForearmCentre[i], l[AtWrists]*over/2, c.Forearm[i])
	c.HandShare[i] += float64(l[AtHands] * over / 2)

	for _, column := range [...][]float64{
		c.HeadShare, c.TrunkShare, c.MiddleTrunkShare, c.LowerTrunkShare, c.UpperArmShare, c.ForearmShare,
		c.HandShare, c.ThighShare, c.ShankShare, c.FootShare,
	} {
		column[i] /= carried
	}
	c.carried[i] = carried
	return true
}

// join puts a share at a place of a segment, whose centre moves.
func join(share, centre *float64, more, at float64) {
	if more == 0 {
		return
	}
	total := nonzero(*share + float64(more))
	*centre = (float64(*share**centre) + float64(more*at)) / total
	*share = total
}

// nonzero keeps a share from being nothing, as an assist can make it: only its product
// with the centre has a meaning then.
func nonzero(share float64) float64 {
	const least = 1e-12
	if math.Abs(share) < least {
		return least
	}
	return share
}

// Bare returns the bodies without what they carry, themselves where it is nothing.
func (c *Columns) Bare() *Columns {
	if c.bare == nil {
		return c
	}
	return c.bare
}

// Carried returns what the bodies weigh with what they carry over what they weigh alone,
// nil where they carry nothing; 0 is of a body that is lifted whole.
func (c *Columns) Carried() []float64 { return c.carried }

// Load returns what the bodies carry.
func (c *Columns) Load() Load { return c.load }

// Weight returns the weight of body i with what it carries over its own.
func (c *Columns) Weight(i int) float64 {
	if c.carried == nil {
		return 1
	}
	return c.carried[i]
}
