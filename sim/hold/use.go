package hold

import (
	"cmp"
	"slices"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/math"
	"counterpoise/sim/muscle"
	"counterpoise/sim/names"
)

// Capacity is what bodies can give, in columns, one row a body.
type Capacity struct {
	// Of is what one arm, leg or hand, or the trunk, can give at the first angle of the
	// group's curve, BW or BW·m; Curve is what the joint's angle makes of it. Where the
	// curve has no angle, nothing is known of the group.
	Of       [muscle.NumGroups][]float64
	Curve    [muscle.NumGroups]muscle.Curve
	Relative []float64 // force capacity per body weight against the reference body's, for the two-condition model; 1 is the reference
}

// NewCapacity returns room for a number of bodies, of whom nothing is known.
func NewCapacity(rows int) *Capacity {
	c := &Capacity{}
	room := make([]float64, rows*(int(muscle.NumGroups)+1))
	for g := range c.Of {
		c.Of[g] = room[g*rows : (g+1)*rows : (g+1)*rows]
	}
	c.Relative = room[int(muscle.NumGroups)*rows:]
	return c
}

// CopyFrom makes c, of as many rows, what src is.
func (c *Capacity) CopyFrom(src *Capacity) {
	c.Curve = src.Curve
	copy(c.Relative, src.Relative)
	for g := range c.Of {
		copy(c.Of[g], src.Of[g])
	}
}

// Slice returns the rows from..to-1 without copying them.
func (c *Capacity) Slice(from, to int) *Capacity {
	s := &Capacity{Curve: c.Curve, Relative: c.Relative[from:to]}
	for g := range c.Of {
		s.Of[g] = c.Of[g][from:to]
	}
	return s
}

// MaxUses is how many uses a hold can have.
const MaxUses = 20

// Use is what a hold asks of one group of muscles, of one limb or the trunk.
type Use struct {
	Group muscle.Group
	Side  muscle.Side
	// Reported: it never decides the difficulty, and is told all the same. Note says why.
	Reported bool
	Note     string
	// Angle is that of the joint, rad, where the posture alone decides it; nil where it
	// differs from body to body. Arms that are pushed have none.
	Angle func(p Posture, a *assume.Set) float64
	// Unknown says why nobody knows what the group can give at the angle that the posture
	// has, or "" where it is known; nil is known always. A body whose joint is a little
	// beyond the angles that are known counts as at the last of them.
	Unknown func(p Posture) string
	// Load reads off the general solver what one limb is asked for, BW or BW·m, 0 or
	// more, and AngleOf the joint's angle where Angle is nil.
	Load, AngleOf Oracle
}

// unknown says why the use's strength is not known under a posture, or "".
func (u *Use) unknown(p Posture) string {
	if u.Unknown == nil {
		return ""
	}
	return u.Unknown(p)
}

// At returns the same angle, rad, for every posture.
func At(angle float64) func(Posture, *assume.Set) float64 {
	return func(Posture, *assume.Set) float64 { return angle }
}

// Never says of every posture why the strength is not known.
func Never(why string) func(Posture) string { return func(Posture) string { return why } }

// Asked is what a posture asks of one limb for a use: BW or BW·m, and the angle of the
// joint, rad, which is not looked at where the posture alone decides it.
type Asked struct{ Demand, Angle float64 }

// Judge sets what bodies are asked for against what they can give. A Solve makes one
// for a block, and hands it what each body is asked for in the order of the uses.
type Judge struct {
	out        *Result
	uses       []Use
	of         [MaxUses]judged
	difficulty Column
	known      bool
	shared     bool // shares or loads are wanted
}

// judged is a use with what can be said of it for a block.
type judged struct {
	can    []float64 // at the first angle of the curve
	curve  *muscle.Curve
	factor float64 // of the curve, where the posture decides the angle
	varies bool
	share  Column
	first  bool // of the uses of its group
}

// NewJudge prepares for a block of bodies in a posture. It allocates nothing.
func NewJudge(out *Result, uses []Use, capacity *Capacity, p Posture, a *assume.Set) Judge {
	j := Judge{out: out, uses: uses, difficulty: out.Column(Difficulty), known: true, shared: out.loads != nil}
	for k := range uses {
		u, of := &uses[k], &j.of[k]
		of.can, of.curve = capacity.Of[u.Group], &capacity.Curve[u.Group]
		of.share, of.first = out.Column(UseOf(u.Group)), true
		for _, before := range uses[:k] {
			of.first = of.first && before.Group != u.Group
		}
		known := u.unknown(p) == "" && of.curve.N > 0
		if of.varies = u.Angle == nil; !of.varies {
			angle := u.Angle(p, a)
			of.factor = of.curve.At(angle)
			known = known && of.curve.Knows(angle)
		}
		if !known {
			of.factor, of.varies = math.NaN(), false
		}
		j.known = j.known && (known || u.Reported)
		j.shared = j.shared || of.share != nil
	}
	return j
}

// Row sets the difficulty of body i, what gives out first, and the shares of each
// group that are used. A difficulty or share that nobody knows is NaN.
func (j *Judge) Row(i int, asked ...Asked) {
	difficulty, limit := 0.0, NoLimit
	for k := range asked {
		share := j.share(i, k, asked[k])
		if u := &j.uses[k]; !u.Reported && share > difficulty {
			difficulty, limit = share, LimitOf(u.Group, u.Side)
		}
	}
	if !j.known {
		difficulty, limit = math.NaN(), NoLimit
	}
	j.out.Allow(i, limit)
	j.difficulty.Set(i, difficulty)
	j.shares(i, asked)
}

// share is what is used of what body i can give for use k.
func (j *Judge) share(i, k int, asked Asked) float64 {
	of := &j.of[k]
	factor := of.factor
	if of.varies {
		factor = of.curve.At(asked.Angle)
	}
	return asked.Demand / (of.can[i] * factor)
}

// shares sets what is used of each group, and keeps the loads for who asked.
func (j *Judge) shares(i int, asked []Asked) {
	if !j.shared {
		return
	}
	for k := range asked {
		share := j.share(i, k, asked[k])
		if column := j.of[k].share; column != nil && (j.of[k].first || share > column[i] || math.IsNaN(column[i])) {
			column[i] = share
		}
		if j.out.loads != nil {
			l := Load{Use: &j.uses[k], Demand: asked[k].Demand, Angle: asked[k].Angle, Share: share}
			*j.out.loads = append(*j.out.loads, l)
		}
	}
}

// Load is what a hold asks of one group of muscles of one body.
type Load struct {
	*Use
	Demand  float64 // of one limb, BW or BW·m
	Angle   float64 // of the joint, rad
	Share   float64 // of what the limb can give; NaN where that is not known
	Unknown string  // why it is not known, else ""
}

// Loads lists what the hold asks of the muscles of body i: those that decide, from
// the most used one on, then those that are only reported, then those of which nobody
// knows what they can give. It fails with ErrNotPossible where the body cannot take the
// posture.
func (h *Hold) Loads(b *body.Columns, i int, capacity *Capacity, p Posture, m Model, a *assume.Set) ([]Load, error) {
	if h.Uses == nil || h.Uses(m) == nil {
		return nil, nil
	}
	if p.Angle != nil {
		p.Angle = p.Angle[i : i+1]
	}
	if p.Spacing != nil {
		p.Spacing = p.Spacing[i : i+1]
	}
	out, loads := NewResult(1, Difficulty), make([]Load, 0, MaxUses)
	out.loads = &loads
	h.Solve(out, b.Slice(i, i+1), capacity.Slice(i, i+1), p, m, a)
	if !out.Possible[0] {
		return nil, ErrNotPossible
	}
	for k := range loads {
		l := &loads[k]
		if l.Use.Angle != nil {
			l.Angle = l.Use.Angle(p, a)
		}
		if l.Unknown = l.unknown(p); l.Unknown == "" && math.IsNaN(l.Share) {
			l.Unknown = "nobody has measured it at that angle of the joint"
		}
	}
	rank := func(l Load) int {
		switch {
		case l.Unknown != "":
			return 2
		case l.Reported:
			return 1
		}
		return 0
	}
	slices.SortStableFunc(loads, func(x, y Load) int {
		if d := rank(x) - rank(y); d != 0 {
			return d
		}
		return cmp.Compare(y.Share, x.Share)
	})
	return loads, nil
}

// Unknown says why a demand cannot be told of the hold in a posture, because nobody
// knows what muscles can give there; "" where it can.
func (h *Hold) Unknown(m Model, d Demand, p Posture) string {
	if h.Uses == nil {
		return ""
	}
	why := ""
	for _, u := range h.Uses(m) {
		reason := u.unknown(p)
		switch {
		case d == Difficulty && !u.Reported && reason != "":
			return reason
		case d == UseOf(u.Group) && reason == "":
			return ""
		case d == UseOf(u.Group):
			why = reason
		}
	}
	return why
}

// Tells reports whether the model gives the demand for this hold in a posture: it asks
// for it, and it is known.
func (h *Hold) Tells(m Model, d Demand, p Posture) bool {
	return h.AsksFor(m, d) && h.Unknown(m, d, p) == ""
}

// Told lists the demands that the model gives in every one of the postures; see Tells.
func (h *Hold) Told(m Model, postures ...Posture) []Demand {
	return slices.DeleteFunc(slices.Clone(h.Asks(m)), func(d Demand) bool {
		return slices.ContainsFunc(postures, func(p Posture) bool { return !h.Tells(m, d, p) })
	})
}

// withUses returns demands with those that the uses make: the difficulty where it is
// known in the hold's plain posture, and what is used of each group.
func withUses(uses []Use, list ...Demand) []Demand {
	known := true
	for _, u := range uses {
		known = known && (u.Reported || u.unknown(Posture{}) == "")
	}
	if known {
		list = append(list, Difficulty)
	}
	for _, u := range uses {
		if u.unknown(Posture{}) == "" {
			list = names.Once(list, UseOf(u.Group))
		}
	}
	return slices.Clip(list)
}

// strengths returns assumptions with those on which the capacities for the uses rest.
func strengths(uses []Use, list ...assume.ID) []assume.ID {
	for _, u := range uses {
		if u.unknown(Posture{}) == "" {
			list = names.Once(list, assume.StrengthOf(u.Group))
		}
	}
	return slices.Clip(append(list, assume.StrengthByMass, assume.StrengthByStature, assume.StrengthByAge))
}
