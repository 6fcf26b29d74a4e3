package scenario

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/muscle"
	"counterpoise/sim/strength"
)

// Untrained is how a hold goes for untrained adults.
type Untrained struct {
	Bodies   int
	Possible int    // how many of them can take the posture
	Unknown  string // why nobody knows, or ""; then shares and difficulties are NaN
	// Difficulty is that of the median body, in times the strength of the median
	// untrained adult of its sex, size, build and age, and that below which 5 and 95 % of
	// bodies lie.
	Difficulty, Low, High float64
	Uses                  []Use // what decides it, from the most used on
	// Could is the share who could, by their sizes and by how strength differs between
	// people of one size. Who cannot take the posture could not.
	Could float64
	// Published is what the ranges of the norms leave open, from all of them the lowest
	// that was published to all the highest: more strength never makes a hold harder, so
	// nothing between lies outside.
	Published struct{ Difficulty, Could Range }
}

// Range is from where to where something lies.
type Range struct{ Low, High float64 }

// Use is how much of what a group gives a hold uses.
type Use struct {
	Group muscle.Group
	Side  muscle.Side
	Share float64 // the median over bodies
}

// TooWide is the width from which on an interval of a share says nothing.
const TooWide = 0.25

// CouldKnown reports whether what was published says how many could.
func (u *Untrained) CouldKnown() bool {
	return u.Unknown == "" && u.Published.Could.High-u.Published.Could.Low <= TooWide
}

// alike is the share of the most used from which on others give out with it.
const alike = 0.99

// First returns what gives out first, more than one where they give out together, and
// what decides next. Both are empty where nobody knows.
func (u *Untrained) First() (first, next []Use) {
	for i := range u.Uses {
		if u.Uses[i].Share < alike*u.Uses[0].Share {
			return u.Uses[:i], u.Uses[i:]
		}
	}
	return u.Uses, nil
}

// Untrained holds bodies up, one or many, and sets what that asks of them against how
// untrained people of their sizes differ in strength. Capacity must be that of median
// people. Published stays empty. It fails with hold.ErrNotPossible where none of them can
// take the posture.
func (h *Held) Untrained(in *hold.Hold, posture hold.Posture, m hold.Model, differ *strength.Belief) (*Untrained, error) {
	u := &Untrained{Bodies: h.Bodies.Rows(), Unknown: in.Unknown(m, hold.Difficulty, posture)}
	if u.Unknown == "" && (in.Uses == nil || len(in.Uses(m)) == 0) {
		u.Unknown = "this model has no muscles"
	}
	if u.Unknown != "" {
		return notUntrained(u.Bodies, u.Unknown), nil
	}
	var spread montecarlo.Histogram
	used := map[Use]*montecarlo.Histogram{}
	for i := range u.Bodies {
		of, err := in.Loads(h.Bodies, i, h.Capacity, posture, m, &h.Assume)
		if errors.Is(err, hold.ErrNotPossible) {
			continue
		} else if err != nil {
			return nil, err
		}
		u.Possible++
		spread.Add(of[0].Share)
		u.Could += differ.Could(asked(of, used)...) / float64(u.Bodies)
	}
	if u.Possible == 0 {
		return nil, hold.ErrNotPossible
	}
	u.Low, u.Difficulty, u.High = spread.Quantile(0.05), spread.Quantile(0.5), spread.Quantile(0.95)
	for use, shares := range used {
		use.Share = shares.Quantile(0.5)
		u.Uses = append(u.Uses, use)
	}
	slices.SortFunc(u.Uses, func(a, b Use) int {
		return cmp.Or(cmp.Compare(b.Share, a.Share), cmp.Compare(a.Group, b.Group), cmp.Compare(a.Side, b.Side))
	})
	return u, nil
}

// asked returns the loads that decide, and adds their shares to what others use.
func asked(of []hold.Load, used map[Use]*montecarlo.Histogram) (list []strength.Load) {
	for _, l := range of {
		if l.Reported || !(l.Share > 0) {
			continue
		}
		list = append(list, strength.Load{Group: l.Group, Ratio: math.Log(l.Share)})
		use := Use{Group: l.Group, Side: l.Side}
		if used[use] == nil {
			used[use] = &montecarlo.Histogram{}
		}
		used[use].Add(l.Share)
	}
	return list
}

// Untrained draws so many bodies of the scenario's people, who must be one group, and
// says how its hold goes for untrained adults of their sizes, by its first model and at
// the centre of its assumptions, and what the ranges of the norms leave open. A change is
// not looked at.
func (s *Scenario) Untrained(rows int, seed uint64) (*Untrained, error) {
	if len(s.People) != 1 || len(s.Models) == 0 {
		return nil, fmt.Errorf("scenario: untrained adults of %d groups under %d models; want one group and a model", len(s.People), len(s.Models))
	}
	model := Under(s.Hold, s.Models[0].Statics)
	parts, err := s.Parts()
	if err != nil {
		return nil, err
	}
	if a := parts[0].Selection.Population.Athletes(); a != nil {
		return notUntrained(rows, "the strength of "+a.Who+" was never measured, and they are not untrained adults"), nil
	}
	h, err := s.drawn(parts[0], rows, seed)
	if err != nil {
		return nil, err
	}
	differ, err := spreadBetween(h.Bodies.Sex)
	if err != nil {
		return nil, err
	}
	u, err := h.Untrained(s.Hold, s.Posture(), model, differ)
	if err != nil || u.Unknown != "" {
		return u, err
	}
	return u, h.published(u, func() (*Untrained, error) { return h.Untrained(s.Hold, s.Posture(), model, differ) })
}

// notUntrained is what is known where it is not.
func notUntrained(bodies int, why string) *Untrained {
	u := &Untrained{Bodies: bodies, Unknown: why, Difficulty: math.NaN(), Low: math.NaN(), High: math.NaN(), Could: math.NaN()}
	u.Published.Difficulty = Range{math.NaN(), math.NaN()}
	u.Published.Could = u.Published.Difficulty
	return u
}

// drawn builds bodies of a part of the scenario's people, with the strength of median ones.
func (s *Scenario) drawn(of *Part, rows int, seed uint64) (*Held, error) {
	people := anthro.NewPeople(rows)
	if err := of.Source(seed, false).Fill(people); err != nil {
		return nil, err
	}
	assumed := s.Assumed()
	h := &Held{Bodies: body.New(rows), Capacity: hold.NewCapacity(rows), Assume: assumed.Centre}
	of.Builder(s.Models[0]).Build(h.Bodies, people, &h.Assume)
	strength.OfReference(h.Capacity, h.Bodies, &h.Assume)
	if err := h.carry(s.Load); err != nil {
		return nil, fault.New("assist", nil, "%v", err)
	}
	return h, nil
}

// spreadBetween is how untrained people of one sex, size, build and age differ.
func spreadBetween(sex anthro.Sex) (*strength.Belief, error) {
	model, err := strength.TheModel()
	if err != nil {
		return nil, err
	}
	return strength.Condition(model.SpreadOf(sex), nil, nil)
}

// published fills what the ranges of the norms leave open, by trying again with all norms
// the lowest that were published and all the highest. It leaves the capacities and
// assumptions as they were.
func (h *Held) published(u *Untrained, again func() (*Untrained, error)) error {
	centre := h.Assume
	place := func(of func(assume.Assumption) float64) {
		for g := range muscle.ArmPull { // which nobody measured
			id := assume.StrengthOf(g)
			h.Assume[id] = of(id.Info())
		}
		strength.OfReference(h.Capacity, h.Bodies, &h.Assume)
	}
	place(func(a assume.Assumption) float64 { return a.Low })
	weak, err := again()
	if err != nil {
		return err
	}
	place(func(a assume.Assumption) float64 { return a.High })
	strong, err := again()
	if err != nil {
		return err
	}
	u.Published.Difficulty = Range{strong.Difficulty, weak.Difficulty}
	u.Published.Could = Range{weak.Could, strong.Could}
	h.Assume = centre
	strength.OfReference(h.Capacity, h.Bodies, &h.Assume)
	return nil
}
