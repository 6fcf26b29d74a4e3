package outline

import (
	"math/rand/v2"
	"sync"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/statics"
	"counterpoise/sim/strength"
)

// handKind is how a hand is held.
type handKind int

const (
	fist handKind = iota // around something: its mass counts at the grip
	flat                 // on the floor
	open                 // in line with the forearm
)

// compiled is an outline with everything found out that does not depend on who does it.
type compiled struct {
	*Outline
	facing, first float64 // see Outline.facing, Outline.firstSide
	apart         bool    // whether the two arms are told apart
	sides         [2]string
	hands         [2]handKind
	held          [2]bool    // whether the arm's hand is held
	fingers       [2]float64 // what is seen in the plane of flat hands' fingers, to the right
	press         [2]Amount  // how far ahead of the wrists flat hands press, as a share of the palm
	kneels        bool
	armsSeen      float64 // 1 over what is seen of arms in the plane

	contacts []contact
	unknowns []unknown
	forces   []statics.Vec // N, of Forces
	pass     []passing     // of Forces
	rules    int           // how many, beyond the three of statics
	pair     [2]int        // the contacts of two hands that are held apart, −1 of none
	paired   bool
	shares   bool    // whether a rule divides the weight between the pair
	open     int     // the unknown that is left open, or −1
	wall     float64 // 1 where the wall is to the right, −1 to the left
	pulls    bool    // whether a hand has to hold on

	muscle []hold.Use
	needs  []need // of the uses
	// why says for each use and form of the legs why its strength is not known, or "".
	why [hold.MaxUses][hold.NumLegForms]string
	// idle is of uses on which neither the free angle nor the open force bears.
	idle [hold.MaxUses]bool
	pool sync.Pool // of *study
}

// compile finds out about an outline that passes Check's first part what its supports
// leave unknown and open. What it returns is shared, and never changes.
func (o *Outline) compile() (*compiled, error) {
	c := &compiled{Outline: o, facing: o.facing(), first: 1, open: -1, pair: [2]int{-1, -1}, sides: [2]string{"left", "right"}, armsSeen: 1 / math.Cos(o.ArmsSpread)}
	if o.View == Front {
		c.first = o.firstSide()
		a := assume.Defaults()
		chest, _, _ := o.spine(1, &a)
		if math.Abs(math.Cos(chest.with(o.middle()))) > math.Sqrt2/2 {
			c.sides = [2]string{"top", "bottom"}
		}
	}
	c.tellApart()
	for k := range o.Supports {
		c.support(k, &o.Supports[k])
	}
	for _, f := range o.Forces {
		sin, cos := math.Sincos(f.Towards)
		c.forces = append(c.forces, statics.Vec{X: f.Newtons * cos, Y: f.Newtons * sin})
		c.pass = append(c.pass, c.passing(f.At))
	}
	c.paired = c.pair[0] >= 0 && c.pair[1] >= 0
	switch {
	case c.paired && o.Sharing != Chosen:
		c.shares = true
		c.rules++
	case o.Sharing == Given || o.Sharing == Alike && c.apart:
		return nil, fault.New("shared", o.Sharing.String(), "needs two hands with vertical forces that statics does not fix: leave it out")
	}
	if err := c.closes(); err != nil {
		return nil, err
	}
	c.muscles()
	c.idles()
	return c, nil
}

// tellApart decides whether the arms are two in what follows, and how the hands are held.
func (c *compiled) tellApart() {
	c.apart = c.View == Front || c.OneArm || c.Parts[UpperArm].Differ || c.Parts[Forearm].Differ || c.Sharing == Given
	c.hands = [2]handKind{open, open}
	for k := range c.Supports {
		s := &c.Supports[k]
		c.apart = c.apart || s.At == FirstHand || s.At == OtherHand || s.OtherGrip != 0
		for side := range 2 {
			if s.At != Hands && s.At != [2]Point{FirstHand, OtherHand}[side] || c.OneArm && side == 1 {
				continue
			}
			c.held[side] = true
			c.hands[side] = fist
			if s.On == Floor || s.On == Bench {
				c.hands[side] = flat
				c.fingers[side] = c.fingersTo(side, s.Fingers)
				c.press[side] = Amount{Assumed: By(assume.PressureReach)}
				if s.Press != nil {
					c.press[side] = *s.Press
				}
			}
		}
		c.kneels = c.kneels || s.At == Knees && s.On == Floor
	}
}

// fingersTo is what is seen of the fingers of a flat hand, to the right, that are turned
// away from where they point by themselves. Seen from the side that is towards the head of
// a level body, else where the chest looks; seen from the front it is out of the picture,
// and they turn outwards from an upright trunk, towards the head of a level one.
func (c *compiled) fingersTo(side int, turned float64) float64 {
	a := assume.Defaults()
	chest, _, _ := c.spine(c.facing, &a)
	sin, cos := math.Sincos(chest.with(c.middle()))
	level := -math.Copysign(1, cos) // towards the head
	switch {
	case c.View == Side && math.Abs(cos) >= 0.5:
		return level * math.Cos(turned)
	case c.View == Side:
		return math.Copysign(1, -c.facing*sin) * math.Cos(turned)
	case c.sides[0] == "top":
		return level * math.Sin(turned)
	}
	// The first shoulder lies counterclockwise of the trunk where c.first is 1, at (−sin, cos).
	return math.Copysign(1, -c.first*sin) * float64(1-2*side) * math.Sin(turned)
}

// support adds what the support at an index of the outline's passes on.
func (c *compiled) support(index int, s *Support) {
	of := contact{Support: s, index: index, at: s.At, side: -1, first: len(c.unknowns)}
	switch {
	case s.At == Hands && c.OneArm:
		of.at = FirstHand
	case s.At == Hands && c.apart:
		first, other := *s, *s
		first.At, other.At = FirstHand, OtherHand
		if s.OtherGrip != 0 {
			other.Grip = s.OtherGrip
		}
		c.support(index, &first)
		c.support(index, &other)
		return
	}
	of.passing = c.passing(of.at)
	if isHand(of.at) {
		of.side = int(of.at - FirstHand)
	}
	contacts := len(c.contacts)
	add := func(across bool) {
		c.unknowns = append(c.unknowns, unknown{contacts, across})
		of.count++
	}
	switch s.On {
	case Bar, Pole:
		add(false)
		add(true)
	case Rings, Partner:
		add(false)
	case Floor, Bench:
		add(false)
		if s.Grips || s.Leans != nil {
			add(true)
		}
	case Wall:
		add(true)
		if s.Rubs != nil {
			add(false)
		}
	}
	if s.Leans != nil || s.Rubs != nil {
		c.rules++
	}
	c.contacts = append(c.contacts, of)
	if of.side >= 0 && !(s.On == Rings && c.View == Front) {
		c.pair[of.side] = contacts
	}
}

// reference are bodies of both sexes on whom is tried what statics leaves open and which
// strengths are known.
var reference = sync.OnceValue(func() (list []*standIn) {
	const rows = 8
	for _, name := range []string{"ansur2-men", "ansur2-women"} {
		p, err := anthro.Load(name)
		if err != nil {
			panic(err) // it is built in, and tested
		}
		builder, err := body.NewBuilder(p, body.Residual, body.DefaultSegments)
		if err != nil {
			panic(err)
		}
		people, random := anthro.NewPeople(rows), rand.New(rand.NewChaCha8([32]byte{17}))
		if err := p.NewSampler().Draw(people, func(dst []float64) {
			for i := range dst {
				dst[i] = random.NormFloat64()
			}
		}); err != nil {
			panic(err)
		}
		s := &standIn{body.New(rows), hold.NewCapacity(rows), assume.Defaults()}
		builder.Build(s.Columns, people, &s.assumed)
		strength.OfReference(s.capacity, s.Columns, &s.assumed)
		list = append(list, s)
	}
	return list
})

// standIn are bodies of one sex.
type standIn struct {
	*body.Columns
	capacity *hold.Capacity
	assumed  assume.Set
}
