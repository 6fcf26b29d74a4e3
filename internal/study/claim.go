package study

import (
	"errors"
	"fmt"
	"math"
	"sort"
	"strings"

	"counterpoise/internal/units"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/segment"
	"counterpoise/sim/strength"
)

// LoadClaim reads a claim from a file.
func LoadClaim(file string) (*claim.Claim, error) {
	data, err := load(file)
	if err != nil {
		return nil, err
	}
	return ReadClaim(file, data)
}

// ReadClaim reads a claim from the text of a file; file names it in messages.
// All faults are reported, one a line. A claim that is returned passes Check.
func ReadClaim(file string, data []byte) (*claim.Claim, error) {
	d := &document{file: file}
	top, err := d.parse(data)
	if err != nil {
		return nil, err
	}
	r := &claimReader{
		line:  map[string]int{},
		claim: &claim.Claim{Share: claim.DefaultShare, Quantity: hold.Difficulty},
	}
	for _, e := range top.entriesOrNone() {
		r.line[e.name] = e.line
	}
	r.read(top)
	if len(d.faults) > 0 {
		return nil, d.err()
	}
	if err := r.claim.Check(); err != nil {
		var field *claim.FieldError
		for _, fault := range unjoin(err) {
			if errors.As(fault, &field) {
				d.fail(r.line[field.Field], field.Field, "%s", field.Reason)
			}
		}
		return nil, d.err()
	}
	return r.claim, nil
}

func (v *value) entriesOrNone() []entry {
	if !v.isMapping() {
		return nil
	}
	// Faults of the entries are recorded when they are read for good.
	quiet := &value{&document{file: v.doc.file}, v.node, v.field}
	return quiet.entries()
}

func unjoin(err error) []error {
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		return many.Unwrap()
	}
	return []error{err}
}

// claimReader fills a claim from its fields.
type claimReader struct {
	claim    *claim.Claim
	line     map[string]int
	matters  *value
	models   []*value
	masses   []body.Masses
	segments []string
	posture  claim.PostureRule
}

func (r *claimReader) read(top *value) {
	c := r.claim
	text := func(to *string) func(*value) {
		return func(v *value) {
			if s, ok := v.text(); ok {
				*to = strings.Join(strings.Fields(s), " ")
			}
		}
	}
	top.fields(map[string]func(*value){
		"claim": text(&c.Name),
		"says":  text(&c.Says),
		"why":   text(&c.Why),
		"hold": func(v *value) {
			if name, ok := v.oneOf(hold.Names()); ok {
				c.Hold = name
			}
		},
		"legs":     func(v *value) { c.Legs = v.legs() },
		"tilt":     func(v *value) { c.Tilt = v.quantity(units.Angle).Value },
		"people":   r.people,
		"change":   r.change,
		"contrast": r.contrast,
		"quantity": func(v *value) {
			if name, ok := v.oneOf(names(hold.NumDemands)); ok {
				c.Quantity, _ = hold.ParseDemand(name)
			}
		},
		"posture": func(v *value) {
			if name, ok := v.oneOf(names(claim.NumPostureRules)); ok {
				r.posture, _ = claim.ParsePostureRule(name)
			}
		},
		"expect": func(v *value) {
			if name, ok := v.oneOf(names(claim.NumDirections)); ok {
				c.Expect, _ = claim.ParseDirection(name)
			}
		},
		"matters":         func(v *value) { r.matters = v },
		"matters_because": text(&c.Because),
		"share": func(v *value) {
			c.Share = v.quantity(units.Number).Value
		},
		"models": func(v *value) { r.models = v.list() },
		"regional_masses": func(v *value) {
			for _, e := range v.list() {
				if name, ok := e.oneOf(MassesNames()); ok {
					m, _ := body.ParseMasses(name)
					r.masses = append(r.masses, m)
				}
			}
		},
		"segments": func(v *value) {
			for _, e := range v.list() {
				if name, ok := e.oneOf(segment.Names()); ok {
					r.segments = append(r.segments, name)
				}
			}
		},
	})
	for _, needed := range []string{"claim", "says", "hold", "people", "expect", "matters"} {
		if _, ok := r.line[needed]; !ok && top.isMapping() {
			top.doc.fail(0, needed, "is missing")
		}
	}
	if r.matters != nil {
		c.Matters = r.threshold(r.matters)
	}
	if c.Change != nil {
		c.Change.Posture = r.posture
		if _, stated := r.line["posture"]; stated && c.Change.Arms != nil {
			top.doc.fail(r.line["posture"], "posture", "the change itself places the arms, leave this out")
		}
	}
	r.resolveModels()
}

// names lists the names of an enumeration with n values.
func names[T interface {
	~int
	String() string
}](n T) []string {
	list := make([]string, n)
	for v := range n {
		list[v] = v.String()
	}
	return list
}

// AssumptionNames lists the assumptions.
func AssumptionNames() []string { return names(assume.Count) }

// MassesNames lists the choices of regional masses.
func MassesNames() []string { return names(body.NumMasses) }

// ModelNames lists the models of holds.
func ModelNames() []string { return names(hold.NumModels) }

// resolveModels makes every combination of the model choices.
func (r *claimReader) resolveModels() {
	c := r.claim
	var statics []hold.Model
	for _, v := range r.models {
		if name, ok := v.oneOf(ModelNames()); ok {
			m, _ := hold.ParseModel(name)
			statics = append(statics, m)
		}
	}
	if h, ok := hold.Parse(c.Hold); ok && r.models == nil {
		for _, m := range h.Models {
			if h.AsksFor(m, c.Quantity) {
				statics = append(statics, m)
			}
		}
	}
	c.Models = Models(statics, r.masses, r.segments)
}

// Models makes every combination of model choices; an empty choice is the
// default one.
func Models(statics []hold.Model, masses []body.Masses, segments []string) []claim.Model {
	if len(masses) == 0 {
		masses = []body.Masses{body.Residual}
	}
	if len(segments) == 0 {
		segments = []string{body.DefaultSegments}
	}
	var models []claim.Model
	for _, s := range segments {
		for _, m := range masses {
			for _, st := range statics {
				models = append(models, claim.Model{Statics: st, Masses: m, Segments: s})
			}
		}
	}
	return models
}

// quantity reads one quantity; after a fault it is zero.
func (v *value) quantity(want ...units.Dimension) units.Quantity {
	text, ok := v.text()
	if !ok {
		return units.Quantity{}
	}
	q, err := units.Parse(text, want...)
	if err != nil {
		v.fail("%q: %v", text, err)
	}
	return q
}

// amount reads a change of a length: "+10 cm" or "+5 %".
func (v *value) amount() body.Amount {
	q := v.quantity(units.Length, units.Relative)
	if q.Dimension == units.Relative {
		return body.Amount{Share: q.Value}
	}
	return body.Amount{Metres: q.Value}
}

// legs reads a leg form: its name, "straddle 45 deg", or a mapping.
func (v *value) legs() hold.Legs {
	forms := names(hold.NumLegForms)
	if !v.isMapping() {
		text, ok := v.text()
		if !ok {
			return hold.Legs{}
		}
		name, angle, _ := strings.Cut(strings.TrimSpace(text), " ")
		form, known := hold.ParseLegForm(name)
		if !known {
			v.fail("unknown name %q%s; allowed are %s", name, suggest(name, forms), strings.Join(forms, ", "))
			return hold.Legs{}
		}
		if (form == hold.Straddle) != (angle != "") {
			v.fail(`a straddle needs its angle, each leg from the body's line, as in "straddle 40 deg"; other forms have none`)
			return hold.Legs{}
		}
		var opened float64
		if angle != "" {
			q, err := units.Parse(angle, units.Angle)
			if err != nil {
				v.fail("%q: %v", text, err)
			}
			opened = v.within(q.Value, 0, math.Pi/2)
		}
		return hold.LegsIn(form, opened)
	}
	var legs hold.Legs
	var hip, knee *float64
	v.fields(map[string]func(*value){
		"form": func(v *value) {
			if name, ok := v.oneOf(forms); ok {
				legs.Form, _ = hold.ParseLegForm(name)
			}
		},
		"angle": func(v *value) { legs.Angle = v.within(v.quantity(units.Angle).Value, 0, math.Pi/2) },
		"hip":   func(v *value) { a := v.within(v.quantity(units.Angle).Value, 0, math.Pi); hip = &a },
		"knee":  func(v *value) { a := v.within(v.quantity(units.Angle).Value, 0, math.Pi); knee = &a },
	})
	full := hold.LegsIn(legs.Form, legs.Angle)
	if hip != nil {
		full.Hip = *hip
	}
	if knee != nil {
		full.Knee = *knee
	}
	return full
}

// within checks an angle, in radians, against what a body can do.
func (v *value) within(angle, low, high float64) float64 {
	if angle < low || angle > high {
		v.fail("%.4g deg is not possible, allowed are %.0f to %.0f deg", angle*180/math.Pi, low*180/math.Pi, high*180/math.Pi)
	}
	return angle
}

// people reads who a claim is about.
func (r *claimReader) people(v *value) {
	c := r.claim
	add := func(v *value) {
		name, ok := v.oneOf(anthro.Names())
		if !ok {
			return
		}
		for _, p := range c.People {
			if p.Population == name {
				v.fail("%s is there twice", name)
				return
			}
		}
		c.People = append(c.People, claim.People{Population: name, Weight: 1})
	}
	if !v.isMapping() {
		for _, e := range v.list() {
			add(e)
		}
		return
	}
	v.fields(map[string]func(*value){
		"from": func(v *value) {
			for _, e := range v.list() {
				add(e)
			}
		},
		"where":   func(v *value) { c.Where = v.where() },
		"weights": func(*value) {},
	})
	for _, e := range v.entriesOrNone() {
		if e.name != "weights" {
			continue
		}
		for _, w := range e.value.entries() {
			found := false
			for i := range c.People {
				if c.People[i].Population == w.name {
					found = true
					c.People[i].Weight = w.value.quantity(units.Number).Value
				}
			}
			if !found {
				v.doc.fail(w.line, w.value.field, "weights people that are not in from")
			}
		}
	}
}

// where reads the conditions on people.
func (v *value) where() []anthro.Range {
	var ranges []anthro.Range
	for _, e := range v.entries() {
		text, ok := e.value.text()
		if !ok {
			continue
		}
		r, err := condition(e.name, text)
		if err != nil {
			e.value.fail("%v", err)
			continue
		}
		ranges = append(ranges, r)
	}
	sort.Slice(ranges, func(a, b int) bool { return ranges[a].Of.String() < ranges[b].Of.String() })
	return ranges
}

// ParseCondition reads a condition on people from one line, as in
// "bmi=18.5..27" or "stature=160..175 cm".
func ParseCondition(text string) (anthro.Range, error) {
	name, span, found := strings.Cut(text, "=")
	if !found {
		return anthro.Range{}, fmt.Errorf(`%s: write it as in "bmi=18.5..27"`, text)
	}
	r, err := condition(strings.TrimSpace(name), span)
	if err != nil {
		return r, fmt.Errorf("%s: %w", text, err)
	}
	return r, nil
}

// condition reads a range of a quantity by which people can be told apart.
func condition(name, span string) (anthro.Range, error) {
	of, err := anthro.ParseQuantity(name)
	if err != nil {
		return anthro.Range{}, fmt.Errorf("%w%s", err, suggest(name, append(anthro.MeasurementNames(), "bmi")))
	}
	dimension := units.Number
	switch of.Unit() {
	case "m":
		dimension = units.Length
	case "kg":
		dimension = units.Mass
	}
	r, err := units.ParseRange(span, dimension)
	if err != nil {
		return anthro.Range{}, fmt.Errorf("%q: %w", strings.TrimSpace(span), err)
	}
	return anthro.Range{Of: of, Low: r.Low, High: r.High}, nil
}

// change reads what is done to the first body.
func (r *claimReader) change(v *value) {
	ch := &claim.Change{}
	arms := func() *claim.Arms {
		if ch.Arms != nil {
			v.fail("arm_angle and hand_spacing both place the arms, give one")
		}
		ch.Arms = &claim.Arms{}
		return ch.Arms
	}
	v.fields(map[string]func(*value){
		"arm_length":       func(v *value) { ch.Body.ArmLength = v.amount() },
		"leg_length":       func(v *value) { ch.Body.LegLength = v.amount() },
		"shoulder_breadth": func(v *value) { ch.Body.ShoulderBreadth = v.amount() },
		"size": func(v *value) {
			q := v.quantity(units.Relative)
			if !(q.Value > -0.9 && q.Value < 9) {
				v.fail("%+.0f %% is not a size that a body can have", 100*q.Value)
			}
			ch.Body.Size = 1 + q.Value
		},
		"added_mass": func(v *value) { ch.Body.Mass = append(ch.Body.Mass, v.mass(+1)...) },
		"lost_mass":  func(v *value) { ch.Body.Mass = append(ch.Body.Mass, v.mass(-1)...) },
		"arm_angle": func(v *value) {
			text, ok := v.text()
			if !ok {
				return
			}
			q := v.quantity(units.Angle)
			if signed(text) {
				arms().Turn = &q.Value
			} else {
				arms().Angle = &q.Value
			}
		},
		"hand_spacing": func(v *value) {
			text, ok := v.text()
			if !ok {
				return
			}
			if angle, known := map[string]float64{"widest": hold.FlagLeastAngle, "narrowest": hold.FlagMostAngle}[text]; known {
				arms().Angle = &angle
				return
			}
			if !signed(text) {
				v.fail(`%q: the spacing is changed by an amount, as in "+10 cm" or "-5 %%", or is "widest" or "narrowest"`, text)
				return
			}
			amount := v.amount()
			arms().Spacing = &amount
		},
		"legs": func(v *value) { legs := v.legs(); ch.Legs = &legs },
		"tilt": func(v *value) {
			tilt := v.within(v.quantity(units.Angle).Value, -math.Pi/2, math.Pi/2)
			ch.Tilt = &tilt
		},
		"assume": func(v *value) {
			ch.Assume = map[string]float64{}
			for _, e := range v.entries() {
				id, ok := assume.Parse(e.name)
				if !ok {
					v.doc.fail(e.line, e.value.field, "unknown assumption%s; allowed are %s", suggest(e.name, AssumptionNames()), strings.Join(AssumptionNames(), ", "))
					continue
				}
				value := e.value.quantity(units.Number).Value
				u := assume.DefaultUncertainty()
				if err := u.Fix(id, value); err != nil {
					e.value.fail("%v", err)
				}
				ch.Assume[e.name] = value
			}
		},
	})
	if ch.Body.IsZero() && ch.Legs == nil && ch.Tilt == nil && ch.Arms == nil && len(ch.Assume) == 0 {
		v.fail("changes nothing")
	}
	r.claim.Change = ch
}

func signed(text string) bool {
	return strings.HasPrefix(text, "+") || strings.HasPrefix(text, "-") || strings.HasPrefix(text, "−")
}

// mass reads masses by region and the share of them that works.
func (v *value) mass(sign float64) []body.AddedMass {
	working := 0.0
	var masses []body.AddedMass
	readers := map[string]func(*value){
		"working_share": func(v *value) {
			working = v.quantity(units.Number).Value
			if working < 0 || working > 1 {
				v.fail("%g is not a share, allowed are 0 to 1", working)
			}
		},
	}
	for region := range body.NumRegions {
		readers[region.String()] = func(v *value) {
			kg := v.quantity(units.Mass).Value
			if !(kg > 0) {
				v.fail("must be positive, found %g kg", kg)
			}
			masses = append(masses, body.AddedMass{Region: region, Kilograms: sign * kg})
		}
	}
	v.fields(readers)
	for i := range masses {
		masses[i].Working = working
	}
	if len(masses) == 0 {
		v.fail("names no part of the body")
	}
	return masses
}

// contrast reads which people are compared.
func (r *claimReader) contrast(v *value) {
	c := &claim.Contrast{Share: 1.0 / 3}
	given := false
	v.fields(map[string]func(*value){
		"by": func(v *value) {
			text, ok := v.text()
			if !ok {
				return
			}
			by, err := anthro.ParseQuantity(text)
			if err != nil {
				v.fail("%v%s", err, suggest(text, append(anthro.MeasurementNames(), "bmi")))
			}
			c.By, given = by, true
		},
		"groups": func(v *value) {
			shares := map[string]float64{"halves": 0.5, "thirds": 1.0 / 3, "quarters": 0.25, "fifths": 0.2, "tenths": 0.1}
			if name, ok := v.oneOf([]string{"halves", "thirds", "quarters", "fifths", "tenths"}); ok {
				c.Share = shares[name]
			}
		},
		"strength": func(v *value) {
			if name, ok := v.oneOf(names(strength.NumBetween)); ok {
				c.Strength, _ = strength.ParseBetween(name)
			}
		},
	})
	if !given {
		v.fail("needs what people are compared by, as in by: stature")
	}
	r.claim.Contrast = c
}

// threshold reads the smallest effect that matters, in the quantity's unit or
// as a share of the baseline.
func (r *claimReader) threshold(v *value) claim.Threshold {
	want := units.Number
	switch r.claim.Quantity.Info().Unit {
	case "BW":
		want = units.BodyWeights
	case "BW·m":
		want = units.BodyWeightMetres
	case "rad":
		want = units.Angle
	case "m":
		want = units.Length
	}
	text, ok := v.text()
	if !ok {
		return claim.Threshold{}
	}
	allowed := []units.Dimension{units.Relative}
	if want != units.Number {
		allowed = append([]units.Dimension{want}, allowed...)
	}
	q, err := units.Parse(text, allowed...)
	if err != nil {
		v.fail("%q: %v", text, err)
		return claim.Threshold{}
	}
	if !(q.Value > 0) {
		v.fail("must be positive, found %q", text)
	}
	if q.Dimension == units.Relative {
		return claim.Threshold{Share: q.Value}
	}
	return claim.Threshold{Absolute: q.Value}
}
