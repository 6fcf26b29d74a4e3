package outline

import (
	"fmt"
	"slices"
	"strings"

	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/muscle"
	"counterpoise/sim/names"
)

// onePole is how far hands may be beside each other that are on one pole, m.
const onePole = 0.01

// closes finds what statics leaves open, on bodies of both sexes: the force that the
// performer chooses, if there is one. It fails where nothing holds the body, or where
// more is left open.
func (c *compiled) closes() error {
	c.wall = 1
	found := false
	for _, r := range reference() {
		for i := range r.Rows() {
			s := c.study(r.Columns, r.capacity, hold.Posture{}, &r.assumed)
			free, ok := c.middle(), true
			if c.Free != nil && c.Free.By != Least {
				free, ok = s.freeAngle(i)
			}
			if !ok {
				continue
			}
			found = true
			s.place(&s.posed.placed, &s.stance, s.b, i, free, s.a)
			c.wall = c.wallSide(s, i)
			if apart := s.posed.hand[0].Minus(s.posed.hand[1]).X; c.paired && c.onPole(0) && c.onPole(1) && math.Abs(apart) > onePole {
				return fault.New("angles", apart, "the hands are side by side, but a pole is upright: with a level trunk, raise both arms by the same angle")
			}
			if err := c.reaches(s, i); err != nil {
				return err
			}
			if s.balance(&s.posed.system, &s.posed.placed, s.b, i, s.a) {
				return nil
			}
			left := c.leftOpen(s, i)
			if len(left) == 0 {
				return c.unheld(s, i)
			}
			for _, u := range c.preferred(left) {
				c.open = u
				if s.balance(&s.posed.system, &s.posed.placed, s.b, i, s.a) {
					return nil
				}
			}
			c.open = -1
			return fault.New("supports", nil, "statics does not fix %s, more than one force of them: "+
				"say how the hands share the weight, that a floor gives no horizontal force, or how far its force leans", strings.Join(c.named(left), ", "))
		}
	}
	if !found {
		return fault.New("free", nil, "nobody can take this posture: no angle in the range meets the rule; widen the range or check the other angles")
	}
	return nil
}

// reaches fails where a ring's cable is too short for the hand of a placed body.
func (c *compiled) reaches(s *study, i int) error {
	for k := range c.contacts {
		of := &c.contacts[k]
		at := s.point(&s.posed.placed, of.at, s.b, i, s.a)
		if out := math.Abs(float64(of.Apart/2) - math.Abs(at.X)); of.On == Rings && c.View == Front && out >= of.Cable {
			return fault.New(fmt.Sprintf("supports[%d].cable", of.index), of.Cable, "the hand is %.2f m to the side of the point where its ring hangs: the cable does not reach", out)
		}
	}
	return nil
}

// wallSide is 1 where a wall is to the right of what else carries the body, else −1.
func (c *compiled) wallSide(s *study, i int) float64 {
	var wall, rest, walls, rests float64
	for k := range c.contacts {
		x := s.point(&s.posed.placed, c.contacts[k].at, s.b, i, s.a).X
		if c.contacts[k].On == Wall {
			wall += x
			walls++
		} else {
			rest += x
			rests++
		}
	}
	if walls == 0 || rests == 0 || wall/walls >= rest/rests {
		return 1
	}
	return -1
}

// leftOpen lists the unknowns that can move while all stays in balance.
func (c *compiled) leftOpen(s *study, i int) (open []int) {
	for u := range c.unknowns {
		c.open = u
		s.balance(&s.posed.system, &s.posed.placed, s.b, i, s.a)
		// With u fixed, can another be found from the rest? It is open where the rules say
		// the same without it.
		if s.posed.system.spare(u) {
			open = append(open, u)
		}
	}
	c.open = -1
	return open
}

// spare reports whether no equation that is left after elimination holds the unknown u.
func (s *system) spare(u int) bool {
	var taken [mostRules]bool
	for k := range s.n {
		if s.used[k] != 0 {
			taken[s.used[k]-1] = true
		}
	}
	for k := range s.m {
		if !taken[k] && math.Abs(s.rows[k][u]) > 1e-9 {
			return false
		}
	}
	return true
}

// preferred puts unknowns in the order in which they are taken for the open one: the
// upright force of the first hand, then level ones at hands, then the rest.
func (c *compiled) preferred(open []int) []int {
	rank := func(u int) int {
		of := &c.contacts[c.unknowns[u].contact]
		switch {
		case of.onHand && of.side <= 0 && !c.unknowns[u].across && c.paired:
			return 0
		case of.onHand && of.side <= 0 && c.unknowns[u].across:
			return 1
		}
		return 2
	}
	list := slices.Clone(open)
	slices.SortStableFunc(list, func(u, v int) int { return rank(u) - rank(v) })
	return list
}

// unheld says what nothing bears.
func (c *compiled) unheld(s *study, i int) error {
	q := &s.posed.system
	c.balance(q, &s.posed.placed, s.b, i, s.a)
	left := func(row int) bool {
		for u := range q.n {
			if q.used[u] == row+1 {
				return false
			}
		}
		return math.Abs(q.rows[row][q.n]) > 1e-9
	}
	switch {
	case len(c.unknowns) == 0:
		return fault.New("supports", nil, "nothing holds the body up: say what does, as in {at: hands, on: bar}")
	case left(0):
		return fault.New("supports", nil, "no support takes the horizontal force: let a floor grip, hold a bar or a pole, or lean on a wall")
	case c.Free != nil && c.Free.By == Least || c.Free == nil:
		return fault.New("supports", nil, "the supports cannot keep the body from turning: leave one angle free for balance to fix, or add a support")
	}
	return fault.New("supports", nil, "the supports cannot keep the body in balance")
}

// named puts unknown forces into words.
func (c *compiled) named(unknowns []int) (names []string) {
	for _, u := range unknowns {
		of := &c.contacts[c.unknowns[u].contact]
		way := "vertical"
		switch {
		case of.On == Rings && c.View == Front:
			way = "cable's"
		case c.unknowns[u].across:
			way = "horizontal"
		}
		names = append(names, fmt.Sprintf("the %s force at the %s", way, c.pointName(of.at)))
	}
	return names
}

// pointName is the name of a point in this outline.
func (c *compiled) pointName(p Point) string {
	switch p {
	case FirstHand, OtherHand:
		side := int(p - FirstHand)
		if c.OneArm {
			return "hand"
		}
		return c.sides[side] + " hand"
	case FirstFoot:
		return "foot"
	}
	return p.String()
}

// tryStrengths finds, for each use and form of the legs, whether its strength is known at
// the angle at which most bodies use it.
func (c *compiled) tryStrengths() error {
	pulls, bodies := 0, 0
	for _, form := range c.legForms() {
		p := hold.Posture{Legs: hold.LegsIn(form, math.Pi/6)}
		var missing, asked [hold.MaxUses]int
		possible := 0
		for _, r := range reference() {
			s := c.study(r.Columns, r.capacity, p, &r.assumed)
			for i := range r.Rows() {
				if !s.hold(i) {
					continue
				}
				possible++
				for k := range s.lines.n {
					use := s.lines.of[k]
					if g := c.muscle[use].Group; s.lines.line[k].value(s.posed.open) > 1e-6 {
						asked[use]++
						if !r.capacity.Curve[g].Knows(s.lines.angle[k]) {
							missing[use]++
						}
					}
				}
				if form == hold.Together {
					bodies++
					if s.pulling() {
						pulls++
					}
				}
			}
		}
		if possible == 0 && form == hold.Together {
			return fault.New("supports", nil, "none of the bodies tried can take this posture: a floor would have to pull, or no angle in the range works")
		}
		for k := range c.muscle {
			if g := c.muscle[k].Group; missing[k]*2 > asked[k] {
				c.why[k][form] = fmt.Sprintf("the strength of %s was never measured at this hold's angle", g.Info().Says)
			}
		}
	}
	c.pulls = pulls == bodies && bodies > 0
	return nil
}

// pulling reports whether a hand is drawn away from its arm.
func (s *study) pulling() bool { return s.overArms(s.along) > 1e-9 }

// legForms lists the forms in which the legs may be held.
func (o *Outline) legForms() []hold.LegForm {
	if !o.LegForms {
		return []hold.LegForm{hold.Together}
	}
	return []hold.LegForm{hold.Together, hold.Straddle, hold.OneLeg, hold.AdvancedTuck, hold.Tuck}
}

// Account says in pieces what statics makes of an outline.
type Account struct {
	Unknown   []string // the forces that supports pass on, in words
	Equations int      // of balance that say something, and of the outline's own rules
	Rules     []string // the outline's own, in words
	Fixed     string   // what fixes the free angle, or ""
	Open      string   // the force that is left open, or ""
	Closed    string   // what closes it, or ""
	Decide    []muscle.Group
	NotKnown  []string // why strengths that decide are not known, in words
}

// Account says what statics makes of the outline. Its errors are those of Check.
func (o *Outline) Account() (*Account, error) {
	c, err := o.ready()
	if err != nil {
		return nil, err
	}
	return c.account(), nil
}

func (c *compiled) account() *Account {
	account := &Account{Unknown: c.named(names.UpTo(len(c.unknowns))), Equations: len(c.unknowns)}
	if c.open >= 0 {
		account.Equations--
		account.Open = c.named([]int{c.open})[0]
		account.Closed = "the performer chooses it so that the hardest-working muscle works least"
	}
	for k := range c.contacts {
		of := &c.contacts[k]
		switch {
		case of.Leans != nil:
			account.Rules = append(account.Rules, "the floor's force on the "+c.pointName(of.at)+" leans towards the shoulders")
		case of.Rubs != nil:
			account.Rules = append(account.Rules, "the wall carries a share of its push at the "+c.pointName(of.at))
		}
	}
	switch {
	case c.shares && c.Sharing == Alike:
		account.Rules = append(account.Rules, "both hands carry the same weight")
	case c.shares:
		account.Rules = append(account.Rules, fmt.Sprintf("the %s carries %.0f %% of the hands' weight", c.pointName(FirstHand), 100*c.Share))
	}
	if f := c.Free; f != nil {
		switch f.By {
		case Balance:
			account.Fixed = "balance, with the weight over or under the " + c.pointName(c.contacts[0].at)
		case Least:
			account.Fixed = "the performer takes the angle at which the hardest-working muscle works least"
		case Higher:
			account.Fixed = fmt.Sprintf("the %s are %.2f m higher than the %s", c.pointName(f.Of), f.Value, c.pointName(f.Over))
		case Across:
			account.Fixed = fmt.Sprintf("the %s are %.2f m beside the %s", c.pointName(f.Of), f.Value, c.pointName(f.Over))
		}
	}
	for k := range c.muscle {
		u := &c.muscle[k]
		if u.Reported {
			continue
		}
		if why := c.why[k][hold.Together]; why != "" {
			account.NotKnown = append(account.NotKnown, why)
		}
		account.Decide = names.Once(account.Decide, u.Group)
	}
	return account
}
