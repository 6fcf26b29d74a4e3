package strength

import (
	"cmp"
	"fmt"
	"slices"
	"sync"

	"counterpoise/datasets"
	"counterpoise/sim/anthro"
	"counterpoise/sim/math"
	"counterpoise/sim/muscle"
	"counterpoise/sim/names"
)

// Capacity is what the mean person of a sample could give, N or N·m, with the
// range of that mean that the sources leave open.
type Capacity struct {
	Value, Low, High float64
}

// At returns the capacity at a place in the range: Low at 0, Value at ½, High at
// 1, in between evenly in the logarithm. It lets the range be drawn.
func (c Capacity) At(place float64) float64 {
	if place == 0.5 {
		return c.Value
	}
	if place < 0.5 {
		return c.Low * math.Pow(c.Value/c.Low, 2*place)
	}
	return c.Value * math.Pow(c.High/c.Value, float64(2*place)-1)
}

// scaled returns the capacity times a factor.
func (c Capacity) scaled(by float64) Capacity { return Capacity{c.Value * by, c.Low * by, c.High * by} }

// Norm is a row of the table of norms.
type Norm struct {
	Group    muscle.Group
	Sex      anthro.Sex
	Angle    float64 // rad
	Capacity Capacity
	// SD is the standard deviation between the people measured, N or N·m, and N
	// their number; 0 where they were not seen.
	SD     float64
	N      int
	Pose   string // how it was measured
	Source string
	Seen   string // how we saw the number: in an abstract, second hand, computed, from memory
	Others []Other
}

// Other is a further source for a row.
type Other struct {
	Value  float64 // N or N·m
	Source string
	Seen   string
}

// Sample is the person whom a capacity is of.
type Sample struct {
	Mass    float64 // kg
	Stature float64 // m
	Age     float64 // years
}

// Norms is the table of norms of strength. It is not changed once loaded.
type Norms struct {
	curves  [muscle.NumGroups][2][]Norm // by sex, in the order of the angles
	reach   float64                     // rad
	samples [2]Sample                   // whom the rows are of; those of the grip are of the size law's
	gaps    [muscle.NumGroups][]string
}

// LoadNorms returns the embedded table of norms.
var LoadNorms = sync.OnceValues(func() (*Norms, error) {
	law, err := LoadLaw()
	if err != nil {
		return nil, err
	}
	var file datasets.Norms
	if err := datasets.Read("strength", "norms", &file); err != nil {
		return nil, err
	}
	n := &Norms{reach: float64(file.Reach)}
	for sex := range n.samples {
		s, ok := file.Samples[anthro.Sex(sex).String()]
		if !ok || !(s.Mass > 0 && s.Stature > 0 && s.Age > 0) {
			return nil, fmt.Errorf("norms of strength: no sample of sex %s", anthro.Sex(sex))
		}
		n.samples[sex] = Sample{s.Mass, s.Stature, s.Age}
	}
	for i := range file.Rows {
		row, err := normRow(&file.Rows[i], law)
		if err != nil {
			return nil, fmt.Errorf("norms of strength: row %d: %w", i+1, err)
		}
		n.curves[row.Group][row.Sex] = append(n.curves[row.Group][row.Sex], row)
	}
	for _, gap := range file.NotKnown {
		g, ok := muscle.Parse(gap.Group)
		if !ok {
			return nil, fmt.Errorf("norms of strength: no group %q", gap.Group)
		}
		n.gaps[g] = append(n.gaps[g], gap.What)
	}
	return n, n.sort()
})

// normRow turns a row of the file into one in SI units and radians.
func normRow(r *datasets.NormRow, law *Law) (Norm, error) {
	g, ok := muscle.Parse(r.Group)
	if !ok {
		return Norm{}, fmt.Errorf("no group %q", r.Group)
	}
	sex, ok := anthro.ParseSex(r.Sex)
	if !ok {
		return Norm{}, fmt.Errorf("sex is %q, must be male or female", r.Sex)
	}
	unit := 1.0
	switch r.Of {
	case "":
	case "grip":
		unit = law.bySex[sex].grip
	default:
		return Norm{}, fmt.Errorf("of is %q, must be grip or left out", r.Of)
	}
	if !(0 < r.Low && r.Low <= r.Value && r.Value <= r.High) || r.SD < 0 {
		return Norm{}, fmt.Errorf("%s: value %g must be above 0 and lie in %g..%g", r.Group, r.Value, r.Low, r.High)
	}
	row := Norm{
		Group: g, Sex: sex, Angle: float64(r.Angle), Capacity: Capacity{r.Value, r.Low, r.High}.scaled(unit),
		SD: r.SD * unit, N: r.N, Pose: r.Pose, Source: r.Source, Seen: r.Seen,
	}
	row.Others = names.Each(r.Others, func(o datasets.NormOther) Other { return Other{o.Value * unit, o.Source, o.Seen} })
	return row, nil
}

// sort puts each curve in the order of its angles, and refuses two rows at one.
func (n *Norms) sort() error {
	for g := range n.curves {
		for sex := range n.curves[g] {
			curve := n.curves[g][sex]
			slices.SortStableFunc(curve, func(a, b Norm) int { return cmp.Compare(a.Angle, b.Angle) })
			if len(curve) > muscle.MaxAngles {
				return fmt.Errorf("norms of strength: %s, %s has %d rows, a curve at most %d", muscle.Group(g), anthro.Sex(sex), len(curve), muscle.MaxAngles)
			}
			for i := 1; i < len(curve); i++ {
				if curve[i].Angle == curve[i-1].Angle {
					return fmt.Errorf("norms of strength: %s, %s has two rows at %.4g rad", muscle.Group(g), anthro.Sex(sex), curve[i].Angle)
				}
			}
		}
	}
	return nil
}

// Rows returns the rows of a group and sex in the order of their angles. They
// must not be changed.
func (n *Norms) Rows(g muscle.Group, sex anthro.Sex) []Norm { return n.curves[g][sex] }

// Angles returns the least and the greatest angle, rad, at which a group's strength is
// known; least is above most where it is known at none.
func (n *Norms) Angles(g muscle.Group, sex anthro.Sex) (least, most float64) {
	rows := n.curves[g][sex]
	if len(rows) == 0 {
		return 1, 0
	}
	return rows[0].Angle - n.reach, rows[len(rows)-1].Angle + n.reach
}

// NotKnown says what of a group's strength nobody was found to have measured.
func (n *Norms) NotKnown(g muscle.Group) []string { return n.gaps[g] }

// curve fills dst with the group's strength over the angle, each row at a place in its
// range, and returns that at the first angle, N or N·m; 0 where there is none.
func (n *Norms) curve(dst *muscle.Curve, g muscle.Group, sex anthro.Sex, place float64) float64 {
	rows := n.curves[g][sex]
	dst.N, dst.Reach = 0, n.reach
	if len(rows) == 0 {
		return 0
	}
	if g == muscle.ArmPush {
		dst.Reach = math.Inf(1) // it has no angle
	}
	first := rows[0].Capacity.At(place)
	for i := range rows {
		dst.Add(rows[i].Angle, rows[i].Capacity.At(place)/first)
	}
	return first
}
