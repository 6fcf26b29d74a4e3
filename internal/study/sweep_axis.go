package study

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"counterpoise/internal/called"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/assume"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/segment"
	"counterpoise/sim/sweep"

	"github.com/goccy/go-yaml/ast"
)

// axes reads the axes in the order written.
func (r *sweepReader) axes(v *value) {
	for _, e := range v.entries(sweep.VariableNames()...) {
		// Within axes a dot belongs to the name.
		variable := sweep.FindVariable(e.name)
		if variable == nil {
			all := sweep.VariableNames()
			hint := called.Suggest(e.name, all)
			for _, section := range []string{"change.", "assume.", "pose."} {
				if hint == "" {
					hint = called.SuggestWithin(section, e.name, all)
				}
			}
			v.doc.fail(e.line, e.value.field, "unknown axis%s; allowed: %s", hint, strings.Join(all, ", "))
			continue
		}
		r.line["axes."+e.name] = e.line
		if _, both := r.line[e.name]; both && e.name != "posture" {
			v.doc.fail(e.line, e.value.field, "is both an axis and a field, leave one out")
			continue
		}
		clean := v.doc.clean()
		axis := sweep.Axis{Of: e.name}
		if variable.Choice {
			e.value.choices(&axis, variable)
		} else {
			e.value.numbers(&axis, variable)
			TurnAssumption(&axis, variable.Unit, words.AssumptionMeant)
		}
		if clean() {
			r.study.Axes = append(r.study.Axes, axis)
		}
	}
}

// TurnAssumption turns the numbers of an axis, where it is of an assumption, to or from
// how people have them.
func TurnAssumption(a *sweep.Axis, unit string, turned func(assume.ID, float64) float64) {
	name, found := strings.CutPrefix(a.Of, "assume.")
	id, known := assume.Parse(name)
	if !found || !known {
		return
	}
	a.Unit, a.Values = unit, slices.Clone(a.Values)
	for i, x := range a.Values {
		a.Values[i] = turned(id, x)
	}
	a.Low, a.High = turned(id, a.Low), turned(id, a.High)
}

// choices reads a list of names.
func (v *value) choices(a *sweep.Axis, of *sweep.Variable) {
	for _, e := range v.list() {
		clean := v.doc.clean()
		var name string
		switch of.Name {
		case "hold":
			h := e.hold()
			if a.Holds = append(a.Holds, h); h != nil {
				name = h.Name
			}
		case "legs":
			legs := e.legs()
			if name = legsName(legs); clean() {
				a.Legs = append(a.Legs, legs)
			}
		case "people":
			people, ok := e.population()
			if name = people.Population; ok {
				a.People = append(a.People, people)
			}
		case "segments":
			name, _ = e.oneOf(segment.Names())
		default:
			name, _ = e.oneOf(of.Names)
		}
		if clean() {
			a.Names = append(a.Names, name)
		}
	}
}

// legsName names a leg form with what is not its default.
func legsName(l hold.Legs) string {
	if l.Form == hold.Straddle {
		return "straddle " + words.Typed(l.Angle*180/math.Pi, "deg")
	}
	if l != hold.LegsIn(l.Form, 0) {
		return fmt.Sprintf("%s, hip %s, knee %s", l.Form, words.Typed(l.Hip*180/math.Pi, "deg"), words.Typed(l.Knee*180/math.Pi, "deg"))
	}
	return l.Form.String()
}

var (
	spacedBy = regexp.MustCompile(`^(.*\.\..*?)\s+by\s+(.+)$`)
	spacedIn = regexp.MustCompile(`^(.*\.\..*?)\s+in\s+(\S+)\s+(values?|steps?)$`)
)

const axisExamples = `"0 cm..10 cm by 2 cm", "0 cm..10 cm in 6 values", "1 kg..16 kg in 5 values, log" or a list such as [0 cm, 2 cm, 5 cm]`

// numbers reads a list of numbers, or a range with the way to walk through it.
func (v *value) numbers(a *sweep.Axis, of *sweep.Variable) {
	want := dimensionsOf(of)
	if text, ok := v.node.(*ast.StringNode); ok && strings.Contains(text.Value, "..") {
		v.ranged(a, want)
		return
	}
	var dimension units.Dimension
	elements := v.list()
	for i, e := range elements {
		clean := v.doc.clean()
		q := e.quantity(want...)
		if !clean() {
			return
		}
		if i > 0 && q.Dimension != dimension {
			e.fail("absolute and relative changes cannot be mixed in one list")
			return
		}
		dimension = q.Dimension
		a.Values = append(a.Values, q.Value)
	}
	if len(elements) == 1 {
		v.fail("has only one value, but an axis needs more: write %s", axisExamples)
	}
	a.Unit = unitOf(dimension)
}

// ranged reads a range.
func (v *value) ranged(a *sweep.Axis, want []units.Dimension) {
	text, ok := v.text()
	if !ok {
		return
	}
	text = strings.TrimSpace(text)
	if rest, found := strings.CutSuffix(text, "log"); found {
		a.Log = true
		text = strings.TrimRight(rest, ", ")
	}
	span, step, count := text, "", ""
	steps := false
	if m := spacedIn.FindStringSubmatch(text); m != nil {
		span, count, steps = m[1], m[2], strings.HasPrefix(m[3], "step")
	} else if m := spacedBy.FindStringSubmatch(text); m != nil {
		span, step = m[1], m[2]
	}
	r, err := units.ParseRange(span, want...)
	if err != nil {
		v.unreadable(text, err)
		return
	}
	if math.IsInf(r.Low, 0) || math.IsInf(r.High, 0) {
		v.fail("%q: a range of an axis needs both ends", text)
		return
	}
	if r.Low == r.High {
		v.fail("%q: both ends are the same", text)
		return
	}
	a.Low, a.High, a.Unit = r.Low, r.High, unitOf(r.Dimension)
	switch {
	case count != "":
		n, err := strconv.Atoi(strings.ReplaceAll(count, "_", ""))
		if steps && err == nil {
			n++ // as many steps from value to value
		}
		if err != nil || n < 2 {
			v.fail("%q: %s is not a valid number of values, at least 2 are needed", text, count)
			return
		}
		v.spread(a, n)
	case step != "":
		if a.Log {
			v.fail("%q: equal ratios have no step, write the number of values, as in %s", text, `"1 kg..16 kg in 5 values, log"`)
			return
		}
		q, err := units.Parse(step, r.Dimension)
		switch {
		case err != nil:
			v.unreadable(step, err)
			return
		case !(q.Value > 0):
			v.fail("%q: a step must be positive", text)
			return
		}
		n := (r.High - r.Low) / q.Value
		whole := math.Round(n)
		if math.Abs(n-whole) > 1e-6*max(whole, 1) || whole < 1 {
			v.fail("%q: a step of %s does not divide the range evenly", text, step)
			return
		}
		if whole >= sweep.MostPoints {
			v.tooMany(whole + 1)
			return
		}
		v.spread(a, int(whole)+1)
	}
}

func (v *value) tooMany(n float64) {
	v.fail("has %.0f values, allowed: at most %d", n, sweep.MostPoints)
}

// spread fills in n values from end to end.
func (v *value) spread(a *sweep.Axis, n int) {
	if n > sweep.MostPoints {
		v.tooMany(float64(n))
		return
	}
	if a.Log && !(a.Low > 0) {
		v.fail("a range in equal ratios must start above 0")
		return
	}
	for i := range n {
		share := float64(i) / float64(n-1)
		x := float64(a.Low*(1-share)) + float64(a.High*share)
		if a.Log {
			x = a.Low * math.Pow(a.High/a.Low, share)
		}
		// As it would have been written: 0.06, not 0.060000000000000005.
		if y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 14, 64), 64); err == nil && i > 0 && i < n-1 {
			x = y
		}
		if math.Abs(x) < 1e-14*(a.High-a.Low) {
			x = 0 // "-2 cm..4 cm by 2 cm" goes through nothing at all
		}
		a.Values = append(a.Values, x)
	}
	a.Values[0], a.Values[n-1] = a.Low, a.High
}

// dimensionsOf says how the numbers of a variable are written.
func dimensionsOf(of *sweep.Variable) []units.Dimension {
	switch of.Unit {
	case "m":
		if of.Length {
			return []units.Dimension{units.Length, units.Relative}
		}
		return []units.Dimension{units.Length}
	case "kg":
		return []units.Dimension{units.Mass}
	case "rad":
		if strings.HasPrefix(of.Name, "assume.") {
			return []units.Dimension{units.Number}
		}
		return []units.Dimension{units.Angle}
	case sweep.Share:
		return []units.Dimension{units.Relative}
	}
	return []units.Dimension{units.Number}
}

func unitOf(d units.Dimension) string {
	switch d {
	case units.Length:
		return "m"
	case units.Mass:
		return "kg"
	case units.Angle:
		return "rad"
	case units.Relative:
		return sweep.Share
	}
	return ""
}
