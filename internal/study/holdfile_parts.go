package study

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/called"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/assume"
	"counterpoise/sim/names"
	"counterpoise/sim/outline"
	"counterpoise/sim/statics"
)

// pointWord is the word of a point of one side, and of which pair of words it is.
type pointWord struct {
	word string
	of   outline.Point
	pair [2]string
}

var pointWords = []pointWord{
	{"left hand", outline.FirstHand, leftRight}, {"right hand", outline.OtherHand, leftRight}, {"left foot", outline.FirstFoot, leftRight},
	{"top hand", outline.FirstHand, topBottom}, {"bottom hand", outline.OtherHand, topBottom}, {"top foot", outline.FirstFoot, topBottom},
}

// pointNames lists the words of points.
func pointNames() []string {
	return append(names.All(outline.NumPoints), names.Each(pointWords, func(w pointWord) string { return w.word })...)
}

// point reads a point of the body.
func (r *outlineReader) point(v *value) (p outline.Point) {
	text, _ := v.text()
	switch text = strings.Join(strings.Fields(text), " "); text {
	case "":
		return 0
	case "feet", "toes":
		v.fail("%q: feet are held at the heels or the balls of the feet: write one of these", text)
		return 0
	}
	name, ok := v.oneOf(pointNames())
	if !ok {
		return 0
	}
	for _, w := range pointWords {
		if w.word == name {
			r.sides = append(r.sides, sided{v, w.pair})
			return w.of
		}
	}
	p.UnmarshalText([]byte(name)) // is one of the names
	return p
}

// supports reads what holds the body up.
func (r *outlineReader) supports(v *value) {
	for i, e := range v.list() {
		path := fmt.Sprintf("supports[%d]", i)
		r.at(path, e)
		if !e.isMapping() {
			e.fail("a support is a point of the body and what it is on, as in {at: hands, on: bar}; found %s", kind(e.node))
			continue
		}
		r.outline.Supports = append(r.outline.Supports, r.support(e, path))
	}
}

// support reads one support.
func (r *outlineReader) support(v *value, path string) outline.Support {
	var s outline.Support
	given := map[string]bool{}
	readers := map[string]func(*value){
		"at":      func(v *value) { s.At = r.point(v) },
		"on":      choice(&s.On, outline.NumFixtures),
		"grips":   func(v *value) { s.Grips = v.yes() },
		"leans":   func(v *value) { s.Leans = v.assumable() },
		"rubs":    func(v *value) { s.Rubs = v.assumable() },
		"press":   func(v *value) { s.Press = v.assumable() },
		"fingers": func(v *value) { s.Fingers = v.quantity(units.Angle).Value },
		"apart":   func(v *value) { s.Apart = v.positive(units.Length) },
		"cable":   func(v *value) { s.Cable = v.positive(units.Length) },
		"grip": func(v *value) {
			share := func(v *value) float64 {
				grip := v.quantity(units.Number)
				if grip.Value == 0 && len(v.doc.faults) == 0 {
					v.fail("such a hand grips nothing: leave the support out, or write %s or more", words.Percent(outline.GripBounds.Least, 0))
				}
				return grip.Value
			}
			if !v.isMapping() {
				s.Grip = share(v)
				return
			}
			s.Grip, s.OtherGrip = eachSide(r, v, share)
		},
	}
	v.fields(r.below(path, given, readers))
	for _, needed := range []struct{ field, example string }{{"at", "at: hands"}, {"on", "on: bar"}} {
		if !given[needed.field] && !v.doc.meant[path+"."+needed.field] {
			v.fail("needs %s, as in %s", map[string]string{"at": "the point of the body", "on": "what it is on"}[needed.field], needed.example)
		}
	}
	return s
}

// below notes where the fields below a path stand, and which are given.
func (r *outlineReader) below(path string, given map[string]bool, readers map[string]func(*value)) map[string]func(*value) {
	for field, read := range readers {
		readers[field] = func(v *value) {
			given[field] = true
			r.at(path+"."+field, v)
			read(v)
		}
	}
	return readers
}

// assumable reads a number, or the name of an assumption that gives it.
func (v *value) assumable() *outline.Amount {
	text, ok := v.text()
	if !ok {
		return nil
	}
	if id, ok := assume.Parse(text); ok {
		return &outline.Amount{Assumed: outline.By(id)}
	}
	if strings.ContainsFunc(text, func(r rune) bool { return r == '_' }) {
		v.oneOf(AssumptionNames())
		return nil
	}
	return &outline.Amount{Value: v.quantity(units.Number).Value}
}

// forces reads known forces on the body.
func (r *outlineReader) forces(v *value) {
	for i, e := range v.list() {
		path := fmt.Sprintf("forces[%d]", i)
		r.at(path, e)
		var f outline.Force
		given := map[string]bool{}
		clean := v.doc.clean()
		e.fields(r.below(path, given, map[string]func(*value){
			"at":      func(v *value) { f.At = r.point(v) },
			"force":   func(v *value) { f.Newtons = v.force() },
			"towards": func(v *value) { f.Towards = v.towards() },
		}))
		if clean() && len(given) < 3 {
			e.fail("a force needs its point, its size and its direction, as in {at: heels, force: 20 kg, towards: up}")
		}
		r.outline.Forces = append(r.outline.Forces, f)
	}
}

// force reads a force: newtons, or the mass that weighs as much.
func (v *value) force() float64 {
	clean := v.doc.clean()
	q := v.quantity(units.Force, units.Mass)
	if q.Dimension == units.Mass {
		q.Value *= statics.StandardGravity
	}
	if clean() && !(q.Value > 0) {
		v.fail("must be positive: towards gives the direction")
	}
	return q.Value
}

// ways are the directions that have words.
var ways = map[string]float64{"right": 0, "up": math.Pi / 2, "left": math.Pi, "down": -math.Pi / 2}

// towards reads a direction.
func (v *value) towards() float64 {
	text, ok := v.text()
	if !ok {
		return 0
	}
	if angle, ok := ways[text]; ok {
		return angle
	}
	if !strings.ContainsAny(text, "0123456789") {
		v.fail("unknown name %q%s; allowed: up, down, left, right, or an angle from the level, as in 60 deg: 0 to the right, 90 straight up",
			printable(text), called.Suggest(text, []string{"up", "down", "left", "right"}))
		return 0
	}
	return v.quantity(units.Angle).Value
}

// shared reads how two hands divide the weight.
func (r *outlineReader) shared(v *value) {
	text, ok := v.text()
	if !ok {
		return
	}
	o, words := r.outline, names.Of([]outline.Sharing{outline.Chosen, outline.Alike})
	if strings.ContainsAny(text, "0123456789") {
		o.Sharing, o.Share = outline.Given, v.quantity(units.Number).Value
		return
	}
	if slices.Contains(words, text) {
		o.Sharing = outline.Sharing(slices.Index(words, text))
		return
	}
	v.fail("unknown name %q%s; allowed: %s, or the first hand's share, as in 40 %%", printable(text), called.Suggest(text, words), strings.Join(words, ", "))
}

// onlyReported reads what does not decide how hard the hold is.
func (r *outlineReader) onlyReported(v *value) {
	all := names.All(outline.NumJudged)
	r.outline.ReportedOnly = names.Each(v.namesOf(all), func(name string) outline.Judged { return outline.Judged(slices.Index(all, name)) })
}

const freeExample = `free: {from: 0 deg, to: 120 deg, by: balance}`

// leastWords are what the least rule is called in files.
const leastWords = "least difficulty"

// free reads the range of the free angle, and what fixes it.
func (r *outlineReader) free(v *value) {
	f := &outline.Free{}
	given := map[string]bool{}
	if !v.isMapping() {
		v.fail("needs the range of the free angle and what fixes it, as in %s", freeExample)
		return
	}
	clean := v.doc.clean()
	v.fields(r.below("free", given, map[string]func(*value){
		"from": func(v *value) { f.From = v.quantity(units.Angle).Value },
		"to":   func(v *value) { f.To = v.quantity(units.Angle).Value },
		"by":   func(v *value) { r.rule(v, f) },
	}))
	for _, name := range []string{"from", "to", "by"} {
		if clean() && !given[name] {
			v.fail("needs from, to and by, %s is missing, as in %s", name, freeExample)
		}
	}
	r.outline.Free = f
}

// rule reads what fixes the free angle.
func (r *outlineReader) rule(v *value, f *outline.Free) {
	if !v.isMapping() {
		text, _ := v.text()
		if text == outline.Least.String() {
			f.By = outline.Least
			return
		}
		if name, ok := v.oneOf([]string{outline.Balance.String(), leastWords}); ok && name == leastWords {
			f.By = outline.Least
		}
		return
	}
	rules, of, by := 0, false, false
	over := func(rule outline.Rule) func(*value) {
		return func(v *value) {
			rules++
			f.By = rule
			r.at("free.over", v)
			f.Over = r.point(v)
		}
	}
	clean := v.doc.clean()
	v.fields(map[string]func(*value){
		"of": func(v *value) {
			of = true
			r.at("free.of", v)
			f.Of = r.point(v)
		},
		"higher_than": over(outline.Higher),
		"beside":      over(outline.Across),
		"by": func(v *value) {
			by = true
			r.at("free.value", v)
			f.Value = v.quantity(units.Length).Value
		},
	})
	if clean() && (rules != 1 || !of || !by) {
		v.fail("needs two points and a distance, as in {of: hands, higher_than: heels, by: 0 cm} or {of: heels, beside: hands, by: 15 cm}")
	}
}
