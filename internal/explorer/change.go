package explorer

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"counterpoise/internal/app/person/said"
	"counterpoise/internal/jsonform"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/body"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/person"
	"counterpoise/sim/scenario"
)

// ChangeRequest asks what a change of the body or of the pose does, to the same
// bodies.
type ChangeRequest struct {
	Person Person `json:"person"`
	Model  string `json:"model"`
	Change Change `json:"change"`
	Draws  int    `json:"draws,omitempty"`
	Seed   *Seed  `json:"seed,omitempty"`
}

// Change is what is changed; an empty field changes nothing.
type Change struct {
	// Traits holds the changes of the body by their names, which are fields of the
	// object: "+5 cm", "-3 %", a bare "5", signed or not; size in per cent of every length.
	Traits map[string]string `json:"-"`
	Mass   []AddedMass       `json:"mass,omitempty"`
	Load   map[string]string `json:"load,omitempty"` // on top of the person's
	Legs   *Legs             `json:"legs,omitempty"` // instead of the person's
	Tilt   string            `json:"tilt,omitempty"` // instead of the person's
	Pose   map[string]string `json:"pose,omitempty"` // over the person's
}

// UnmarshalJSON reads a change, strictly.
func (c *Change) UnmarshalJSON(data []byte) error {
	fields := map[string]json.RawMessage{}
	if err := json.Unmarshal(data, &fields); err != nil {
		return err
	}
	*c = Change{Traits: map[string]string{}}
	for t := range body.NumChanges {
		name := t.String()
		value, there := fields[name]
		if !there {
			continue
		}
		var text string
		if err := json.Unmarshal(value, &text); err != nil {
			var kind *json.UnmarshalTypeError
			if errors.As(err, &kind) {
				kind.Field = name
			}
			return err
		}
		c.Traits[name] = text
		delete(fields, name)
	}
	rest, err := json.Marshal(fields)
	if err != nil {
		return err
	}
	type plain Change // without this method
	d := json.NewDecoder(bytes.NewReader(rest))
	d.DisallowUnknownFields()
	return d.Decode((*plain)(c))
}

// AddedMass is mass put on a region, or taken off where Kilograms is negative.
type AddedMass struct {
	Region    string `json:"region"` // of the catalogue's mass_regions
	Kilograms string `json:"kilograms"`
	// Working is the share that is muscle working in the hold, 0 (fat, a weight vest) to 1.
	Working float64 `json:"working_share"`
}

// Comparison is the answer to a ChangeRequest.
type Comparison struct {
	Faults     []Fault   `json:"faults"`
	Complete   bool      `json:"complete"`
	Model      string    `json:"model"`
	Quantities []Changed `json:"quantities"` // in the hold's order, difficulty included where there is one
	// Judged is the quantity by which easier and harder are told: the difficulty, or
	// the hold's main one where nothing is known to give out.
	Judged string `json:"judged"`
	// EasierShare and HarderShare are those of the draws in which the size of Judged
	// falls and rises; becoming possible counts as easier, impossible as harder.
	EasierShare float64 `json:"easier_share"`
	HarderShare float64 `json:"harder_share"`
	Before      Figure  `json:"before"` // of the median body, each at its best posture
	After       Figure  `json:"after"`
	// The shares of the draws that can take the posture.
	PossibleBefore float64 `json:"possible_before"`
	PossibleAfter  float64 `json:"possible_after"`
	Draws          int     `json:"draws"`
	Words          Words   `json:"words"`
	EasierText     string  `json:"easier_text"`
	HarderText     string  `json:"harder_text"`
}

// Changed is one quantity before and after, over bodies and assumptions: the same
// draws both times, those that can take both postures.
type Changed struct {
	Quantity string     `json:"quantity"`
	Unit     string     `json:"unit"`
	Before   said.Range `json:"before"`
	After    said.Range `json:"after"`
	Effect   said.Range `json:"effect"`   // after less before, draw by draw
	Relative said.Range `json:"relative"` // that as a share of before's size
	// The same in newtons or newton metres, for forces and moments: of a heavier body
	// these rise though body weights may not.
	AbsoluteUnit   string       `json:"absolute_unit,omitempty"`
	BeforeAbsolute *said.Range  `json:"before_absolute,omitempty"`
	AfterAbsolute  *said.Range  `json:"after_absolute,omitempty"`
	EffectAbsolute *said.Range  `json:"effect_absolute,omitempty"`
	Texts          ChangedTexts `json:"texts"`
}

// mostMasses is how many masses a change may have.
const mostMasses = 10

// amount reads a change of a length; a bare number is one in the system's unit.
func (f *form) amount(field, text string, allowed fault.Bounds) body.Amount {
	text = strings.TrimSpace(text)
	if text == "" {
		return body.Amount{}
	}
	if strings.HasSuffix(text, "%") {
		return body.Amount{Share: f.share(field, text)}
	}
	q, ok := f.quantity(field, text, units.Length)
	if ok && !allowed.Holds(q.Value) {
		f.fail(field, "%s is more than is computed, allowed: %s to %s", words.Change(q.Value, units.Length, f.system),
			words.Change(allowed.Least, units.Length, f.system), words.Change(allowed.Most, units.Length, f.system))
		return body.Amount{}
	}
	return body.Amount{Metres: q.Value}
}

// share reads a relative change, in per cent with the sign or without.
func (f *form) share(field, text string) float64 {
	text = pointed(text)
	if text == "" {
		return 0
	}
	if len(text) > longestText {
		f.fail(field, "is %d letters long, a change has at most %d", len(text), longestText)
		return 0
	}
	if bare(text) {
		text += " %"
	}
	q, err := units.Parse(text, units.Relative)
	switch {
	case err != nil:
		f.fail(field, "%v", err)
	case !body.ShareBounds.Holds(q.Value):
		f.fail(field, "%s is more than is computed, allowed: %s to %s", words.Change(q.Value, units.Relative, f.system),
			words.WithUnit(words.GivenChange(100*body.ShareBounds.Least), "%"), words.WithUnit(words.GivenChange(100*body.ShareBounds.Most), "%"))
	default:
		return q.Value
	}
	return 0
}

// change reads a change.
func (f *form) change(at string, c *Change, p *person.Person) scenario.Change {
	h, legs, pose, tilt := p.Hold, p.Legs, p.Pose, p.Tilt
	t := scenario.Change{Legs: &legs, Pose: &pose, Tilt: &tilt}
	for of := range body.NumChanges {
		info := of.Info()
		if info.Unit == "" {
			t.Body.Of[of].Share = f.share(at+info.Name, c.Traits[info.Name])
		} else {
			t.Body.Of[of] = f.amount(at+info.Name, c.Traits[info.Name], info.Bounds)
		}
	}
	if len(c.Mass) > mostMasses {
		f.fail(at+"mass", "%d masses are more than are read, at most %d", len(c.Mass), mostMasses)
		c.Mass = nil
	}
	for i := range c.Mass {
		m, field, clean := &c.Mass[i], fmt.Sprintf("%smass[%d].", at, i), len(f.faults)
		f.oneOf(field+"region", m.Region, names.All(body.NumRegions))
		kilograms, ok := f.within(field+"kilograms", m.Kilograms, units.Mass, body.MassBounds.Least, body.MassBounds.Most)
		if !body.WorkingBounds.Holds(m.Working) {
			f.fail(field+"working_share", "%g is not possible, allowed: 0 to 1", m.Working)
		}
		if region, _ := body.ParseRegion(m.Region); ok && kilograms != 0 && len(f.faults) == clean {
			t.Body.Mass = append(t.Body.Mass, body.AddedMass{Region: region, Kilograms: kilograms, Working: m.Working})
			if !scenario.AsksFor(h, hold.Difficulty) { // what works alters nothing there
				t.Body.Mass[len(t.Body.Mass)-1].Working = 0
			}
		}
	}
	t.Load = f.load(at+"load", c.Load)
	if c.Legs != nil {
		clean := len(f.faults)
		if read := f.legs(at+"legs", c.Legs, h); len(f.faults) == clean {
			legs = read
		}
	}
	if read, ok := f.within(at+"tilt", c.Tilt, units.Angle, -mostTilt, mostTilt); ok && h.Tilts {
		tilt = read
	} else if ok && read != 0 {
		f.fail(at+"tilt", "%s is not tilted, leave this out", h.Name)
	}
	// Over the person's own: what is set back to no, or to the hold's default, is there
	// as well; what has a fault is not.
	for _, name := range sorted(c.Pose) {
		clean := len(f.faults)
		given := f.pose(at+"pose", map[string]string{name: c.Pose[name]}, h)
		if v, known := hold.ParseVariant(name); known && len(f.faults) == clean && strings.TrimSpace(c.Pose[name]) != "" {
			pose[v] = given[v]
		}
	}
	return t
}

// change answers what a change does.
func change(ctx context.Context, by *Explorer, q *ChangeRequest) (*Comparison, error) {
	f, p, o, err := begin(by, &q.Person, q.Draws, q.Seed)
	if err != nil {
		return nil, err
	}
	model, err := modelNamed(f, "model", q.Model, p.Hold)
	if err != nil {
		return nil, err
	}
	p.Tests = nil // say nothing about a change
	ch := f.change("change.", &q.Change, &p)
	var e *person.Effect
	var median *person.MedianBody
	err = f.settle(&p, func() (err error) {
		if e, err = person.Apply(ctx, p, o, model, ch); err == nil {
			median, err = person.NewMedianBody(p, o)
		}
		return err
	})
	if err != nil {
		return nil, asRequest(err)
	}
	c := &Comparison{
		Faults: f.all(), Complete: len(f.faults) == 0, Model: model.String(), Judged: e.Judged.String(),
		EasierShare: e.Easier, HarderShare: e.Harder, EasierText: words.OneLine(words.Share(e.Easier)), HarderText: words.OneLine(words.Share(e.Harder)), PossibleBefore: e.PossibleBefore, PossibleAfter: e.PossibleAfter, Draws: e.N,
		Quantities: []Changed{},
	}
	for _, m := range e.Quantities {
		if e.PossibleBoth > 0 {
			c.Quantities = append(c.Quantities, changedOf(&m, f.system))
		}
	}
	before, err := figureOf(median, p.Hold, model, hold.Best, 0, f.system)
	if err != nil {
		return nil, err
	}
	if median, err = median.Changed(&ch); err != nil {
		return nil, asRequest(err)
	}
	after, err := figureOf(median, p.Hold, model, hold.Best, 0, f.system)
	if err != nil {
		return nil, err
	}
	c.Before, c.After = *before, *after
	c.Words = Words{Headline: said.EffectHeadline(e, &p, &ch, f.system), Notes: words.LoadNotes(p.Load, p.Load.Plus(ch.Load))}
	if len(f.faults) > 0 && said.ChangesNothing(&p, &ch) {
		c.Words.Headline = "Nothing was changed: what was asked for cannot be, see the fields that say so."
	}
	// Of the middle body, and so only where that moves as the draws do.
	if reason := said.Reason(p.Hold, model, e.Before, e.After, "before", false); reason != "" && alikeMoved(e) {
		c.Words.Sentences = []string{reason}
	}
	return c, nil
}

// alikeMoved reports whether the difficulty of the middle body moves as the middle of the
// draws.
func alikeMoved(e *person.Effect) bool {
	for i := range e.Quantities {
		if m := &e.Quantities[i]; m.Demand == e.Judged {
			return m.Effect.Median*(e.After.Held.Value[e.Judged][0]-e.Before.Held.Value[e.Judged][0]) > 0
		}
	}
	return false
}

func changedOf(m *person.Moved, s words.System) Changed {
	unit, scale := jsonform.Output(m.Demand.Unit)
	c := Changed{
		Quantity: m.Demand.String(), Unit: unit, AbsoluteUnit: m.AbsoluteUnit, Texts: changedTexts(m, s),
		Before: said.RangeOf(m.Before, scale), After: said.RangeOf(m.After, scale), Effect: said.RangeOf(m.Effect, scale), Relative: said.RangeOf(m.Relative, 1),
	}
	if m.AbsoluteUnit != "" {
		before, after, effect := said.RangeOf(m.BeforeAbsolute, 1), said.RangeOf(m.AfterAbsolute, 1), said.RangeOf(m.EffectAbsolute, 1)
		c.BeforeAbsolute, c.AfterAbsolute, c.EffectAbsolute = &before, &after, &effect
	}
	return c
}
