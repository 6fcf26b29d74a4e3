// Package stored is studies as outputs keep them: every part in SI units, with its defaults filled in,
// and read back from there.
package stored

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"

	"counterpoise/internal/jsonform"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
	"counterpoise/sim/sweep"
)

// The forms in which studies are kept in the provenance of what came out of them:
// every default filled in, SI units, and things by their names. People of one's own are
// named only; holds of one's own are there with their text.

// Group is a group of people as it is kept.
type Group struct {
	Population string  `json:"population"` // its name
	Weight     float64 `json:"weight"`     // of it among all people
}

// StoreGroups returns groups of people as they are kept.
func StoreGroups(groups []scenario.Group) []Group {
	return names.Each(groups, func(g scenario.Group) Group { return Group{g.Population, g.Weight} })
}

func groupsOf(stored []Group) []scenario.Group {
	return names.Each(stored, func(g Group) scenario.Group { return scenario.Group{Population: g.Population, Weight: g.Weight} })
}

// Threshold is a threshold as it is kept.
type Threshold struct {
	Absolute float64 `json:"absolute,omitempty"` // in the unit of the quantity
	Share    float64 `json:"share,omitempty"`    // of the demand before the change
	// Default is whether it is the quantity's, and none of the claim's own.
	Default bool `json:"default,omitempty"`
}

// StoreThreshold returns the smallest effect that matters of a claim as it is kept.
func StoreThreshold(c *claim.Claim) Threshold {
	t := c.Threshold()
	return Threshold{t.Absolute, t.Share, c.Matters == claim.Threshold{}}
}

// Matters is the inverse of StoreThreshold for a claim about a demand: what was the
// default when it was kept, and is another one now, is the claim's own.
func (s Threshold) Matters(of hold.Demand) claim.Threshold {
	t := claim.Threshold{Absolute: s.Absolute, Share: s.Share}
	if s.Default && t == claim.DefaultMatters(of) {
		return claim.Threshold{}
	}
	return t
}

// Claimed is what a saying promises as it is kept.
type Claimed struct {
	Share bool    `json:"of_baseline"` // whether it is a share of the demand before
	Value float64 `json:"value"`       // promised
	Low   float64 `json:"low"`         // least that counts as that
	High  float64 `json:"high"`        // greatest
}

type storedArms struct {
	Angle   *float64      `json:"angle,omitempty"`
	Turn    *float64      `json:"turn,omitempty"`
	Spacing *storedAmount `json:"spacing,omitempty"`
}

type storedChange struct {
	Hold    Hold                 `json:"hold,omitzero"`
	Body    Body                 `json:"body,omitzero"`
	Load    jsonform.Load        `json:"load,omitzero"` // on top of what is carried before
	Legs    *jsonform.Legs       `json:"legs,omitempty"`
	Pose    *jsonform.Pose       `json:"pose,omitempty"`
	Tilt    *float64             `json:"tilt,omitempty"`
	Arms    *storedArms          `json:"arms,omitempty"`
	Assume  map[string]float64   `json:"assume,omitempty"`
	Posture scenario.PostureRule `json:"posture"`
}

func storeChange(ch *scenario.Change) *storedChange {
	s := &storedChange{Hold: Hold{ch.Hold}, Body: Body(ch.Body), Load: jsonform.Load(ch.Load), Legs: (*jsonform.Legs)(ch.Legs), Pose: (*jsonform.Pose)(ch.Pose), Tilt: ch.Tilt, Posture: ch.Posture}
	if a := ch.Arms; a != nil {
		s.Arms = &storedArms{a.Angle, a.Turn, (*storedAmount)(a.Spacing)}
	}
	if ch.Assume != nil {
		s.Assume = map[string]float64{}
		for id, x := range ch.Assume {
			s.Assume[id.String()] = words.AssumptionTold(id, x)
		}
	}
	return s
}

func (s *storedChange) change() (*scenario.Change, error) {
	ch := &scenario.Change{Hold: s.Hold.Hold, Body: body.Change(s.Body), Load: body.Load(s.Load), Legs: (*hold.Legs)(s.Legs), Pose: (*hold.Pose)(s.Pose), Tilt: s.Tilt, Posture: s.Posture}
	if a := s.Arms; a != nil {
		ch.Arms = &scenario.Arms{Angle: a.Angle, Turn: a.Turn, Spacing: (*body.Amount)(a.Spacing)}
	}
	for name, x := range s.Assume {
		id, ok := assume.Parse(name)
		if !ok {
			return nil, fmt.Errorf("the assumption %s is not in this program", name)
		}
		if ch.Assume == nil {
			ch.Assume = map[assume.ID]float64{}
		}
		ch.Assume[id] = words.AssumptionMeant(id, x)
	}
	return ch, nil
}

type storedContrast struct {
	By     *anthro.Quantity `json:"by,omitempty"`
	Share  float64          `json:"share,omitempty"`
	Bottom *[2]float64      `json:"low,omitempty"`
	Top    *[2]float64      `json:"high,omitempty"`
	Sexes  bool             `json:"sexes,omitempty"`
}

func storeContrast(c *claim.Contrast) *storedContrast {
	switch {
	case c == nil:
		return nil
	case c.Sexes:
		return &storedContrast{Sexes: true}
	case c.Stated():
		return &storedContrast{By: &c.By, Bottom: &[2]float64{c.Bottom.Low, c.Bottom.High}, Top: &[2]float64{c.Top.Low, c.Top.High}}
	}
	return &storedContrast{By: &c.By, Share: c.Share}
}

func (s *storedContrast) contrast() *claim.Contrast {
	if s == nil {
		return nil
	}
	c := &claim.Contrast{Share: s.Share, Sexes: s.Sexes}
	if s.By != nil {
		c.By = *s.By
	}
	if s.Bottom != nil && s.Top != nil {
		c.Bottom, c.Top = anthro.Interval{Low: s.Bottom[0], High: s.Bottom[1]}, anthro.Interval{Low: s.Top[0], High: s.Top[1]}
	}
	return c
}

// Claim is a claim as it is kept, apart from its quantity and assumptions.
type Claim struct {
	Name     string           `json:"claim"`
	Says     string           `json:"says"`
	Why      string           `json:"why,omitempty"`
	Hold     Hold             `json:"hold"`
	Legs     jsonform.Legs    `json:"legs,omitzero"`
	Pose     jsonform.Pose    `json:"pose,omitzero"`
	Tilt     float64          `json:"tilt,omitempty"`
	Load     jsonform.Load    `json:"load,omitzero"`
	People   []Group          `json:"people"`
	Where    []Range          `json:"where,omitempty"`
	Targets  []Target         `json:"targets,omitempty"`
	Change   *storedChange    `json:"change,omitempty"`
	Contrast *storedContrast  `json:"contrast,omitempty"`
	Expect   claim.Direction  `json:"expect"`
	Matters  Threshold        `json:"matters"`
	Claimed  *Claimed         `json:"claimed,omitempty"`
	Because  string           `json:"matters_because,omitempty"`
	Share    float64          `json:"share"`
	Models   []scenario.Model `json:"models"`
	Reason   string           `json:"no_effect_because,omitempty"`
}

// StoreClaim returns a claim as it is kept.
func StoreClaim(c *claim.Claim) *Claim {
	s := &Claim{
		Name: c.Name, Says: c.Says, Why: c.Why, Hold: Hold{c.Hold}, Legs: jsonform.Legs(c.Legs), Pose: jsonform.Pose(c.Pose), Tilt: c.Tilt, Load: jsonform.Load(c.Load),
		People: StoreGroups(c.People), Where: StoreRanges(c.Where), Targets: StoreTargets(c.Targets), Contrast: storeContrast(c.Contrast),
		Expect: c.Expect, Matters: StoreThreshold(c), Claimed: (*Claimed)(c.Claimed), Because: c.Because, Share: c.Share, Models: c.Models, Reason: c.Reason,
	}
	if c.Change != nil {
		s.Change = storeChange(c.Change)
	}
	return s
}

// Claim is the inverse of StoreClaim, of a claim about a demand.
func (s *Claim) Claim(of hold.Demand) (*claim.Claim, error) {
	if s == nil {
		return nil, errors.New("there is none")
	}
	c := &claim.Claim{
		Name: s.Name, Says: s.Says, Why: s.Why, Contrast: s.Contrast.contrast(), Expect: s.Expect,
		Demand: of, Matters: s.Matters.Matters(of), Claimed: (*claim.Claimed)(s.Claimed), Because: s.Because, Share: s.Share, Reason: s.Reason,
		Scenario: scenario.Scenario{Hold: s.Hold.Hold, Legs: hold.Legs(s.Legs), Pose: hold.Pose(s.Pose), Tilt: s.Tilt, Load: body.Load(s.Load), People: groupsOf(s.People), Where: RangesOf(s.Where), Targets: TargetsOf(s.Targets), Models: s.Models},
	}
	var err error
	if s.Change != nil {
		c.Change, err = s.Change.change()
	}
	return c, err
}

type storedSetting struct {
	Hold   Hold           `json:"hold"`
	Legs   jsonform.Legs  `json:"legs"`
	Pose   jsonform.Pose  `json:"pose"`
	Tilt   float64        `json:"tilt"`
	Load   jsonform.Load  `json:"load,omitzero"`
	People []Group        `json:"people"`
	Change storedChange   `json:"change"`
	Model  scenario.Model `json:"model"`
}

type storedAxis struct {
	Of     string          `json:"of"`
	Unit   string          `json:"unit,omitempty"`
	Values []float64       `json:"values,omitempty"`
	Names  []string        `json:"names,omitempty"`
	Holds  []Hold          `json:"holds,omitempty"` // where one of them is of a file
	Legs   []jsonform.Legs `json:"legs,omitempty"`
	People []Group         `json:"people,omitempty"`
	Low    float64         `json:"low,omitempty"`
	High   float64         `json:"high,omitempty"`
	Log    bool            `json:"log,omitempty"`
}

type storedSweep struct {
	Name      string        `json:"sweep"`
	Says      string        `json:"says,omitempty"`
	Base      storedSetting `json:"base"`
	Where     []Range       `json:"where,omitempty"`
	Targets   []Target      `json:"targets,omitempty"`
	Axes      []storedAxis  `json:"axes"`
	Design    sweep.Design  `json:"design"`
	Points    int           `json:"points"`
	Demands   []string      `json:"demands"`
	Quantiles []float64     `json:"quantiles"`
	Bodies    bool          `json:"bodies"`
	N         int           `json:"n"`
}

// StoreSweep returns a sweep as it is kept, apart from its seed and assumptions.
func StoreSweep(s *sweep.Study) any {
	b := &s.Base
	change := b.Change
	if change == nil {
		change = &scenario.Change{}
	}
	t := storedSweep{
		Name: s.Name, Says: s.Says, Where: StoreRanges(b.Where), Targets: StoreTargets(b.Targets), Design: s.Design, Points: s.NumPoints(), Quantiles: s.Quantiles, Bodies: s.Bodies, N: s.N,
		Base: storedSetting{Hold: Hold{b.Hold}, Legs: jsonform.Legs(b.Legs), Pose: jsonform.Pose(b.Pose), Tilt: b.Tilt, Load: jsonform.Load(b.Load), People: StoreGroups(b.People), Change: *storeChange(change), Model: b.Models[0]},
	}
	t.Demands = names.Of(s.Demands)
	for _, a := range s.Axes {
		study.TurnAssumption(&a, "", words.AssumptionTold)
		t.Axes = append(t.Axes, storedAxis{a.Of, a.Unit, a.Values, a.Names, storeHolds(a.Holds), names.Each(a.Legs, func(l hold.Legs) jsonform.Legs { return jsonform.Legs(l) }), StoreGroups(a.People), a.Low, a.High, a.Log})
	}
	return t
}

// SweepOf is the inverse of StoreSweep, from its JSON. The seed is 0 and the
// assumptions are none.
func SweepOf(stored []byte) (*sweep.Study, error) {
	var t storedSweep
	decoder := json.NewDecoder(bytes.NewReader(stored))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&t); err != nil {
		return nil, err
	}
	s := &sweep.Study{
		Name: t.Name, Says: t.Says, Design: t.Design, Points: t.Points, Quantiles: t.Quantiles, Bodies: t.Bodies, N: t.N,
		Base: scenario.Scenario{
			Hold: t.Base.Hold.Hold, Legs: hold.Legs(t.Base.Legs), Pose: hold.Pose(t.Base.Pose), Tilt: t.Base.Tilt, Load: body.Load(t.Base.Load), People: groupsOf(t.Base.People), Where: RangesOf(t.Where), Targets: TargetsOf(t.Targets), Models: []scenario.Model{t.Base.Model},
		},
	}
	var err error
	if s.Base.Change, err = t.Base.Change.change(); err != nil {
		return nil, err
	}
	for _, name := range t.Demands {
		d, ok := hold.ParseDemand(name)
		if !ok {
			return nil, fmt.Errorf("the demand %q is not in this program", name)
		}
		s.Demands = append(s.Demands, d)
	}
	for _, a := range t.Axes {
		axis := sweep.Axis{Of: a.Of, Unit: a.Unit, Values: a.Values, Names: a.Names, Legs: names.Each(a.Legs, func(l jsonform.Legs) hold.Legs { return hold.Legs(l) }), People: groupsOf(a.People), Low: a.Low, High: a.High, Log: a.Log}
		if v := sweep.FindVariable(a.Of); v != nil {
			study.TurnAssumption(&axis, v.Unit, words.AssumptionMeant)
		}
		if axis.Holds, err = a.holds(); err != nil {
			return nil, err
		}
		s.Axes = append(s.Axes, axis)
	}
	return s, nil
}
