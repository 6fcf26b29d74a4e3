package explorer

import (
	"math"
	"strings"

	"counterpoise/internal/app/person/said"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
	"counterpoise/sim/statics"
)

// The texts of an answer are its numbers as people read them, in the units asked for,
// each number on one line with its unit. A page writes no number by itself.

// Texts are those of a summary.
type Texts struct {
	Draws   string         `json:"draws"`
	Known   []KnownTexts   `json:"known"`             // of each of the summary's known
	Models  []ModelTexts   `json:"models"`            // of each of its models
	Fixture []FixtureTexts `json:"fixture,omitempty"` // of each of its fixture's forces
	Tipping string         `json:"tipping,omitempty"` // the moment about the pole's foot
}

// KnownTexts are those of one measurement; empty where there is no percentile.
type KnownTexts struct {
	Value      string `json:"value"`
	Percentile string `json:"percentile"`
	ForStature string `json:"percentile_for_stature"`
}

// ModelTexts are those of one model.
type ModelTexts struct {
	Quantities []QuantityTexts `json:"quantities"` // of each of the model's
	Next       *NextTexts      `json:"next,omitempty"`
}

// QuantityTexts are those of one quantity; forces are told as what weighs as much.
type QuantityTexts struct {
	Value      string `json:"value"` // the middle, with the assumptions drawn
	Range      string `json:"range"` // its 5–95 %
	Own        string `json:"own"`   // a force or moment in body weights
	Brief      string `json:"brief"` // a force as a share of body weight
	FromBody   string `json:"from_body"`
	Percentile string `json:"percentile"`
}

// NextTexts say how wide the main quantity's range is.
type NextTexts struct {
	Width string   `json:"width"` // now
	Floor string   `json:"floor"` // what no tape takes away, a sentence; empty where that is nothing
	Plan  []string `json:"plan"`  // after each of the summary's plan, or of next where there is no plan
}

// FixtureTexts are those of the force at one place.
type FixtureTexts struct {
	Horizontal string `json:"horizontal"`
	Vertical   string `json:"vertical"`
}

// none stands for a number that there is not.
const none = "–"

// value writes a value of a demand as the page shows it: forces and moments by what
// they come to for this body, where that is known.
func value(d hold.Demand, x, absolute float64, s words.System) string {
	return words.NoBreak(plain(d, x, absolute, s))
}

func plain(d hold.Demand, x, absolute float64, s words.System) string {
	text := none
	switch {
	case math.IsNaN(x):
	case d == hold.HandSpacing:
		text = words.Mark(x, s)
	case d == hold.Difficulty: // no per cent, which would read as a chance to hold it
		text = words.Times(x) + " times"
	case d.Unit == "BW" && !math.IsNaN(absolute):
		text = words.Weight(absolute, s)
	case d.Unit == "BW·m" && !math.IsNaN(absolute):
		text = words.Turning(absolute, s)
	case d.Unit == "m":
		text = words.Tape(x, s)
	case d.Unit == "rad":
		text = words.Rough(x, units.Angle, s)
	case d.Unit == "":
		text = words.Percent(x, 0)
	default:
		text = words.DemandPrinter(d, s)(x)
	}
	return text
}

// ends writes a 5–95 % range; lengths roughly.
func ends(d hold.Demand, own, absolute person.Spread, s words.System) string {
	end := func(x, absolute float64) string {
		if d.Unit == "m" && d != hold.HandSpacing && s == words.Metric && !math.IsNaN(x) {
			return words.Rough(x, units.Length, s)
		}
		return plain(d, x, absolute, s)
	}
	return words.NoBreak(words.Interval(end(own.Low, absolute.Low), end(own.High, absolute.High)))
}

// absoluteOf is a spread in newtons or newton metres, NaN for a demand without.
func absoluteOf(unit string, s person.Spread) person.Spread {
	if unit == "" {
		return person.Spread{Median: math.NaN(), Low: math.NaN(), High: math.NaN()}
	}
	return s
}

// percentile is that of a measurement, which is known.
func percentile(share float64) string {
	return said.BriefPlace(person.Spread{Median: share, Low: share, High: share})
}

// textsOf writes the numbers of an answer's summary.
func textsOf(a *said.PersonAnswer, s words.System) Texts {
	t := Texts{Draws: words.Count(a.Options.N), Known: []KnownTexts{}}
	for _, r := range a.Ranks {
		t.Known = append(t.Known, KnownTexts{words.OneLine(words.Measurement(r.Known.Of, r.Known.Value, s)), percentile(r.Percentile), percentile(r.ForStature)})
	}
	for i := range a.Models {
		m := &a.Models[i]
		model := ModelTexts{Quantities: []QuantityTexts{}, Next: nextOf(a, m, s)}
		for _, q := range m.Quantities {
			all := absoluteOf(q.AbsoluteUnit, q.AllAbsolute)
			text := QuantityTexts{
				Value: value(q.Demand, q.All.Median, all.Median, s), Range: ends(q.Demand, q.All, all, s),
				FromBody: words.OneLine(words.Share(q.FromBody)), Percentile: said.BriefPlace(q.Percentile),
			}
			if q.AbsoluteUnit != "" {
				text.Own = words.OneLine(words.DemandPrinter(q.Demand, s)(q.All.Median))
			}
			if q.AbsoluteUnit == "N" {
				text.Brief = shareOfWeight(q.All.Median)
			}
			model.Quantities = append(model.Quantities, text)
		}
		t.Models = append(t.Models, model)
	}
	if f := a.Fixture; f != nil {
		for _, force := range f.Forces {
			t.Fixture = append(t.Fixture, FixtureTexts{forceText(force.Horizontal, "towards the body", "away from the body", s), forceText(force.Vertical, "down", "up", s)})
		}
		if tips := f.Overturning; tips != nil {
			moment := func(x float64) string { return words.OneLine(words.Rough(x, units.Moment, s)) }
			t.Tipping = moment(tips.Median) + " (" + words.Interval(moment(tips.Low), moment(tips.High)) + ")"
		}
	}
	return t
}

// nextOf says how wide a model's main quantity is left, in what its values are told in.
func nextOf(a *said.PersonAnswer, m *person.ModelResult, s words.System) *NextTexts {
	q, ok := m.Quantity(m.Main)
	plan := m.Plan
	if len(plan) == 0 {
		plan = m.Next
	}
	width := q.All.Width()
	if !ok || len(plan) == 0 && !(m.Floor > 0) || math.IsNaN(width) {
		return nil
	}
	absolute := math.NaN()
	if q.AbsoluteUnit != "" && width > 0 {
		absolute = q.AllAbsolute.Width() / width
	}
	text := func(width float64) string { return value(m.Main, width, width*absolute, s) }
	next := &NextTexts{Width: text(width), Floor: words.Capital(said.Floor(a, m, text)), Plan: []string{}}
	for _, g := range plan {
		next.Plan = append(next.Plan, text(g.Width))
	}
	return next
}

// forceText says how large a force at a support is, and which way it points.
func forceText(f person.Spread, positive, negative string, s words.System) string {
	force := func(x float64) string { return words.OneLine(words.Rough(x, units.Force, s)) }
	switch {
	case math.IsNaN(f.Median):
		return none
	case max(math.Abs(f.Low), math.Abs(f.High)) < 0.5:
		return "nothing"
	case f.Low < 0 && f.High > 0:
		return force(f.Median) + " (" + words.Interval(force(f.Low), force(f.High)) + "), " + positive + " positive"
	}
	low, high := force(min(math.Abs(f.Low), math.Abs(f.High))), force(max(math.Abs(f.Low), math.Abs(f.High)))
	text := force(math.Abs(f.Median)) + " " + words.Way(f.Median, positive, negative)
	if low != high {
		text += " (" + words.Interval(low, high) + ")"
	}
	return text
}

// FigureTexts are the texts of a figure.
type FigureTexts struct {
	Hands  string `json:"hands,omitempty"` // the hands' distance
	Arms   string `json:"arms,omitempty"`  // their angle
	Height string `json:"height"`
	Mass   string `json:"mass"`
	Weight string `json:"weight"`         // as a force, in what weighs as much
	More   string `json:"more,omitempty"` // how much more it asks than at its best, a sentence
	// Reason is what gives out first there, and that force and difficulty go apart, if either
	// differs from its best: sentences.
	Reason string `json:"reason,omitempty"`
}

// SupportTexts are those of a force or a moment: what weighs as much, of a moment held out at
// one metre; as a share of body weight, or in newton metres; and which way it points.
type SupportTexts struct {
	Weight string `json:"weight"`
	Other  string `json:"other"`
	Way    string `json:"way"`
	// Along is how much of a force goes along the arm, where that is asked for and is not all of it,
	// and what else a picture tells of it.
	Along *AlongTexts `json:"along,omitempty"`
}

// AlongTexts are those of the part of a force that goes along an arm.
type AlongTexts struct {
	Weight string `json:"weight"`
	Whose  string `json:"whose"`
	Other  string `json:"other"` // as a share of body weight, and the force in all
}

// alongTexts are those of a part of a force, N, of which the whole is told; nil where it is told as
// the same.
func alongTexts(part, weight float64, whole string, s words.System) *AlongTexts {
	text := words.OneLine(words.Weight(part, s))
	if text == whole {
		return nil
	}
	return &AlongTexts{text, words.OneLine(text + " along the arm"), shareOfWeight(part/weight) + ", " + words.OneLine("in all "+whole)}
}

func shareOfWeight(bodyWeights float64) string {
	return words.NoBreak(words.Whole(bodyWeights) + " of body weight")
}

func supportTexts(force statics.Vec, weight float64, s words.System) SupportTexts {
	ways := words.Parts(force.X, force.Y, 0.5, func(x float64) string { return words.OneLine(words.Rough(x, units.Force, s)) })
	return SupportTexts{Weight: words.OneLine(words.Weight(force.Length(), s)), Other: shareOfWeight(force.Length() / weight), Way: ways}
}

// momentTexts are those of a moment, without its sign.
func momentTexts(moment float64, s words.System) SupportTexts {
	size := math.Abs(moment)
	return SupportTexts{Weight: words.NoBreak(words.Turning(size, s)), Other: words.OneLine(words.Rough(size, units.Moment, s)),
		Way: words.Way(moment, "counter\u00adclockwise", "clockwise")}
}

// ChangedTexts are those of one quantity before and after a change.
type ChangedTexts struct {
	Before string `json:"before"`
	After  string `json:"after"`
	Effect string `json:"effect"`
	Range  string `json:"range"` // of the effect, 5–95 %
}

func changedTexts(m *person.Moved, s words.System) ChangedTexts {
	before, after, effect := absoluteOf(m.AbsoluteUnit, m.BeforeAbsolute), absoluteOf(m.AbsoluteUnit, m.AfterAbsolute), absoluteOf(m.AbsoluteUnit, m.EffectAbsolute)
	// How far hands move is told to the centimetre, and so are the two that it lies between:
	// marks on a bar are too far apart for it.
	value := func(d hold.Demand, x, absolute float64, s words.System) string {
		if d == hold.HandSpacing && !math.IsNaN(x) {
			return words.OneLine(words.Rough(x, units.Length, s))
		}
		return value(d, x, absolute, s)
	}
	signed := func(x, absolute float64) string {
		text := value(m.Demand, x, absolute, s)
		if m.Demand.Unit == "" && !math.IsNaN(x) { // of two shares, or it would be taken for a share of the first
			text = words.Number(100*x, 0) + "\u00a0points"
		}
		if strings.ContainsAny(text, "123456789") && !strings.HasPrefix(text, "−") {
			return "+" + text
		}
		return text
	}
	return ChangedTexts{
		value(m.Demand, m.Before.Median, before.Median, s), value(m.Demand, m.After.Median, after.Median, s),
		signed(m.Effect.Median, effect.Median), signed(m.Effect.Low, effect.Low) + " to " + signed(m.Effect.High, effect.High),
	}
}

// Tick is a number along an axis.
type Tick struct {
	At   float64 `json:"at"`
	Text string  `json:"text"`
}

// height is how high a curve is drawn, in what it has at its best.
const height = 2.1

// write fills in the texts of a curve.
func (c *Curve) write(s words.System) {
	first, last := c.Angle[0], c.Angle[len(c.Angle)-1]
	angle := func(degrees float64) string { return words.Rough(degrees*math.Pi/180, units.Angle, s) }
	c.Angles = angle(first) + " to " + angle(last)
	for a := 10 * math.Ceil(first/10); a <= last+1e-9; a += 10 {
		c.AngleTicks = append(c.AngleTicks, Tick{a, angle(a)})
	}
	best := math.Inf(1)
	for _, v := range c.Peak {
		best = min(best, v)
	}
	if c.BestPeak != nil {
		best = *c.BestPeak
	}
	c.Most = height * best
	step, decimals := niceStep(c.Most/5), 1
	if step < 0.1 {
		decimals = 2
	}
	for k := 0; float64(k)*step <= c.Most+1e-9; k++ {
		v := float64(k) * step
		c.Ticks = append(c.Ticks, Tick{v, words.Number(v, decimals)})
	}
	if c.BestAngle == nil || c.BestSpacing == nil {
		return
	}
	c.Best = "The middle body does best at " + angle(*c.BestAngle) + ", hands " + words.OneLine(words.Mark(*c.BestSpacing, s)) + " apart."
	var near []float64 // where it asks hardly more
	for i, v := range c.Peak {
		if v <= 1.05*best {
			near = append(near, c.Angle[i])
		}
	}
	if len(near) > 1 {
		c.Best += " From " + angle(near[0]) + " to " + angle(near[len(near)-1]) + " it asks at most 5 % more."
	}
	c.Best += " The line is one body, the middle one, with the usual value of everything that is open; the numbers above are the middle of all that is open, each at its own best."
}

// niceStep is the least of 1, 2, 5 and 10 times a power of ten that is at least a step.
func niceStep(least float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(least)))
	for _, k := range []float64{1, 2, 5} {
		if k*power >= 0.999*least {
			return k * power
		}
	}
	return 10 * power
}
