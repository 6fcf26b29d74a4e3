package scenario

import (
	"strings"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/strength"
)

// TileRows is how many bodies are built and held up together before the next: few
// enough for their columns to stay in a processor's nearer cache.
const TileRows = 512

// Setup is a scenario's hold and change made ready: what does not change from body
// to body. It may be shared by goroutines.
type Setup struct {
	Hold, Next *hold.Hold    // of the first and of the changed bodies; mostly the same
	First      hold.Posture  // but for where the arms are
	Second     hold.Posture  // likewise, of the changed bodies
	Load, More body.Load     // what the first bodies carry, and the changed ones in all
	Change     *Change       // nil where bodies are held up once
	Rules      []PostureRule // those that both holds leave open

	strengthens bool // whether the change alters what bodies can give, and the hold asks
	paired      bool // whether the changed body's posture needs the first's
}

// NewSetup makes a scenario's hold and change ready. The scenario must pass Check.
func NewSetup(s *Scenario) *Setup {
	p := &Setup{Hold: s.Hold, Next: s.next(), First: s.Posture(), Second: s.PostureAfter(), Load: s.Load, More: s.LoadAfter(), Change: s.Change}
	for rule := range NumPostureRules {
		if p.Hold.Places(rule.Rule()) && p.Next.Places(rule.Rule()) {
			p.Rules = append(p.Rules, rule)
		}
	}
	ch := p.Change
	if ch == nil {
		return p
	}
	p.strengthens = AsksFor(p.Hold, hold.Difficulty) && ch.Body.Weighs()
	p.paired = ch.Arms == nil && ch.Posture != AtBest || ch.Arms != nil && ch.Arms.Angle == nil
	return p
}

// Gives reports whether both holds give the demand under the model, as things that can
// be compared; see Unlike.
func (p *Setup) Gives(m hold.Model, d hold.Demand) bool {
	first, second := Under(p.Hold, m), Under(p.Next, m)
	return Unlike(d, first, second) == "" && p.Hold.Tells(first, d, p.First) && p.Next.Tells(second, d, p.Second)
}

// Case is one way in which a block of people is held up.
type Case struct {
	*Setup
	Model   hold.Model
	Builder *body.Builder // of the people's bodies
	Assume  *assume.Set
	// Apart compares different people's strength, where else everybody is their own
	// reference.
	Apart bool
	// Strength turns what median untrained adults can give into what the first bodies can,
	// from the given row of the block on; nil leaves them untrained adults. Cases that
	// share a builder and assumptions share it.
	Strength func(h *Held, row int) error
	// EveryRule holds the changed bodies up under every rule that is open, and not
	// only under the change's own.
	EveryRule bool
	// ChangedOnly holds the first bodies up only where the posture of the changed
	// ones needs it.
	ChangedOnly bool
}

// Held are bodies, what they can give, and what the hold asks of them.
type Held struct {
	Bodies   *body.Columns
	Capacity *hold.Capacity
	Assume   assume.Set
	Result   *hold.Result

	alone, loaded *body.Columns // the bodies without and with what they carry, where they do
}

// carry puts a load on bodies, instead of what they carried before.
func (h *Held) carry(l body.Load) error {
	h.unload()
	if l == (body.Load{}) {
		return nil
	}
	if h.alone = h.Bodies; h.loaded == nil {
		h.loaded = body.New(h.Bodies.Rows())
	}
	h.Bodies = h.loaded
	return l.Apply(h.loaded, h.alone)
}

// unload takes off what the bodies carry.
func (h *Held) unload() {
	if h.alone != nil {
		h.Bodies, h.alone = h.alone, nil
	}
}

func newHeld(rows int, asked []hold.Demand) Held {
	return Held{Bodies: body.New(rows), Capacity: hold.NewCapacity(rows), Result: hold.NewResult(rows, asked...)}
}

func (h *Held) cut(rows int) Held {
	h.unload()
	return Held{Bodies: h.Bodies.Slice(0, rows), Capacity: h.Capacity.Slice(0, rows), Result: h.Result.Slice(0, rows)}
}

// Solve holds the bodies up in a posture, and fills out.
func (h *Held) Solve(out *hold.Result, in *hold.Hold, posture hold.Posture, m hold.Model) {
	in.Solve(out, h.Bodies, h.Capacity, posture, Under(in, m), &h.Assume)
}

// Tile is a run of rows of a block of people, held up. It is valid only during the
// call that receives it.
type Tile struct {
	From   int // number of the first row among the block's
	People *anthro.People
	First  Held
	// Second are the changed bodies, with the outcome under the change's own rule;
	// Under holds it by rule. Without a change they mean nothing.
	Second Held
	Under  [NumPostureRules]*hold.Result
	Ratio  []strength.Ratio // of what the changed bodies can give over the first

	some   anthro.People // of a block with more
	rows   int
	placed []float64 // where the arms of changed bodies are put
	built  *Case     // what is in the bodies: cases that differ in the posture alone share them
}

// Bench is the memory in which one goroutine holds people up.
type Bench struct {
	whole *Tile
	parts map[int]*Tile // its first rows, by how many were ever asked for
}

// NewBench returns room for tiles of up to so many rows, with the demands that are
// wanted of the first and of the changed bodies. Changed bodies that are placed by
// the first ones' angle or spacing need those of them. rules are those of which the
// outcomes are kept apart: none where nothing changes, or one case's own rule is all
// that is asked for.
func NewBench(rows int, first, changed []hold.Demand, rules ...PostureRule) *Bench {
	t := &Tile{First: newHeld(rows, first), Second: newHeld(rows, changed), Ratio: make([]strength.Ratio, rows), rows: rows, placed: make([]float64, rows)}
	for i, rule := range rules {
		if t.Under[rule] = t.Second.Result; i > 0 {
			t.Under[rule] = hold.NewResult(rows, changed...)
		}
	}
	return &Bench{whole: t, parts: map[int]*Tile{}}
}

// Only returns a bench in the same memory with no other demands than those given.
func (b *Bench) Only(kept ...hold.Demand) *Bench {
	t := *b.whole
	t.First.Result, t.Second.Result = t.First.Result.Only(kept), t.Second.Result.Only(kept)
	for rule, r := range t.Under {
		if r != nil {
			t.Under[rule] = r.Only(kept)
		}
	}
	return &Bench{whole: &t, parts: map[int]*Tile{}}
}

// tile returns the first rows.
func (b *Bench) tile(rows int) *Tile {
	w := b.whole
	if rows == w.rows {
		return w
	}
	if t := b.parts[rows]; t != nil {
		return t
	}
	t := &Tile{First: w.First.cut(rows), Second: w.Second.cut(rows), Ratio: w.Ratio[:rows], rows: rows, placed: w.placed[:rows]}
	for rule, r := range w.Under {
		if r != nil {
			t.Under[rule] = r.Slice(0, rows)
		}
	}
	b.parts[rows] = t
	return t
}

// Run holds people up, tile by tile, in each of the cases in turn, and calls each
// with the number of the case after it. It allocates nothing for a row. It fails on
// the first body that a change would leave without a positive length or mass, with a
// *fault.Error.
func (b *Bench) Run(people *anthro.People, cases []Case, each func(k int, t *Tile) error) error {
	n := people.Rows()
	for from := 0; from < n; from += b.whole.rows {
		rows := min(b.whole.rows, n-from)
		t := b.tile(rows)
		t.From, t.People, t.built = from, people, nil
		if rows < n {
			t.cut(people)
		}
		for k := range cases {
			if err := t.hold(&cases[k]); err != nil {
				return err
			}
			if err := each(k, t); err != nil {
				return err
			}
		}
	}
	return nil
}

// cut makes the tile's rows of a block its people, without copying them.
func (t *Tile) cut(block *anthro.People) {
	for m, column := range block.Value {
		t.some.Value[m] = column[t.From : t.From+t.rows]
	}
	for r, column := range block.Residual {
		t.some.Residual[r] = column[t.From : t.From+t.rows]
	}
	t.People = &t.some
}

// hold builds what the case needs and is not there, and holds it up.
func (t *Tile) hold(c *Case) error {
	if err := t.build(c); err != nil {
		return err
	}
	ch := c.Change
	if ch == nil || !c.ChangedOnly || c.paired {
		t.First.Solve(t.First.Result, c.Hold, c.First, c.Model)
	}
	if ch == nil {
		return nil
	}
	next := c.Second
	next.Angle, next.Spacing = t.First.Result.Value[hold.ArmAngle], t.First.Result.Value[hold.HandSpacing]
	if t.Under[ch.Posture] != nil {
		t.Second.Result = t.Under[ch.Posture]
	}
	if ch.Arms != nil {
		ch.Arms.place(&next, t.First.Result, t.placed)
		t.Second.Solve(t.Second.Result, c.Next, next, c.Model)
		return nil
	}
	for _, rule := range c.Rules {
		out := t.Second.Result
		switch {
		case rule == ch.Posture:
		case c.EveryRule && t.Under[rule] != nil:
			out = t.Under[rule]
		default:
			continue
		}
		next.Rule = rule.Rule()
		t.Second.Solve(out, c.Next, next, c.Model)
	}
	return nil
}

// build makes the first and the changed bodies, and what they can give.
func (t *Tile) build(c *Case) error {
	was, first := t.built, &t.First
	fresh := was == nil || was.Builder != c.Builder || first.Assume != *c.Assume
	first.unload() // strength, changes and tests are those of the body alone
	t.Second.unload()
	if fresh {
		first.Assume = *c.Assume
		c.Builder.Build(first.Bodies, t.People, &first.Assume)
	}
	if fresh || was.Apart != c.Apart {
		of := strength.OfReference
		if c.Apart {
			of = strength.OfPeople
		}
		of(first.Capacity, first.Bodies, &first.Assume)
		if c.Strength != nil {
			if err := c.Strength(first, t.From); err != nil {
				return err
			}
		}
	}
	t.built = nil
	if c.Change != nil && (fresh || was.Change != c.Change) {
		if err := t.change(c); err != nil {
			return err
		}
	}
	if err := first.carry(c.Load); err != nil {
		return fault.New("assist", nil, "%v", err)
	}
	if c.Change != nil {
		if err := t.Second.carry(c.More); err != nil {
			return fault.New("change.load", nil, "%v", err)
		}
	}
	t.built = c
	return nil
}

// change makes the changed bodies out of the first.
func (t *Tile) change(c *Case) error {
	first, second := &t.First, &t.Second
	second.Assume = first.Assume
	for id, value := range c.Change.Assume {
		second.Assume[id] = value
	}
	if err := c.Change.Body.Apply(second.Bodies, first.Bodies, &first.Assume); err != nil {
		return fault.New("change", nil, "%s", strings.TrimPrefix(err.Error(), "body: "))
	}
	can := first.Capacity
	if c.Apart || len(c.Change.Assume) > 0 { // under what is assumed of the second they could give something else
		can = second.Capacity
		strength.OfReference(can, first.Bodies, &second.Assume)
		if c.Strength != nil {
			was := Held{Bodies: first.Bodies, Capacity: can, Assume: second.Assume}
			if err := c.Strength(&was, t.From); err != nil {
				return err
			}
		}
	}
	if !c.strengthens {
		second.Capacity.CopyFrom(can)
	} else {
		if err := strength.OfChange(second.Capacity, can, t.Ratio, &c.Change.Body, first.Bodies, second.Bodies, &first.Assume); err != nil {
			return fault.New("change", nil, "%s", strings.TrimPrefix(err.Error(), "body: "))
		}
	}
	return nil
}
