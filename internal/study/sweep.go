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
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/plain"
	"counterpoise/sim/scenario"
	"counterpoise/sim/segment"
	"counterpoise/sim/sweep"
)

// What a sweep is run with where its file does not say.
const (
	defaultSweepN    = 10_000
	defaultSweepSeed = 1
)

// LoadSweep reads a sweep from a file.
func LoadSweep(file string) (*sweep.Study, error) { return loadAs(file, ReadSweep) }

// ReadSweep reads a sweep from the text of a file; file names it in messages. All
// faults are reported, one a line. A sweep that is returned passes Check.
func ReadSweep(file string, data []byte) (*sweep.Study, error) {
	r := &sweepReader{
		line: map[string]int{},
		study: &sweep.Study{N: defaultSweepN, Seed: defaultSweepSeed, Quantiles: []float64{0.05, 0.5, 0.95}, Base: scenario.Scenario{
			Models: []scenario.Model{scenario.DefaultModel(hold.Equilibrium)}, Assumptions: assume.DefaultUncertainty()}},
	}
	if err := readStudy(file, data, r.line, r.read, r.study.Check, r.lineOf); err != nil {
		return nil, err
	}
	return r.study, nil
}

// sweepReader fills a sweep from its fields.
type sweepReader struct {
	study   *sweep.Study
	posture scenario.PostureRule
	line    map[string]int // of the fields, and of "axes." with a name
	modeled bool
}

// lineOf returns the line that a fault in a field belongs to: that of an axis
// where the field is swept, else that of the field, as far as it is known.
func (r *sweepReader) lineOf(field string) int {
	if other, ok := map[string]string{"models": "model", "quantity": "demands"}[field]; ok {
		field = other
	}
	for _, name := range []string{field, "axes." + field} {
		if line, ok := r.line[name]; ok && line > 0 {
			return line
		}
	}
	top, _, _ := strings.Cut(field, ".")
	if line, ok := r.line["axes."+top]; ok {
		return line
	}
	return r.line[top]
}

func (r *sweepReader) read(top *value) {
	s := r.study
	var axes, pose *value
	design, _ := r.line["design"]
	var carried loadReader
	readers := map[string]func(*value){
		"sweep": func(v *value) { s.Name = v.words() },
		"says":  func(v *value) { s.Says = v.words() },
		"hold":  func(v *value) { s.Base.Hold = v.hold() },
		"legs":  func(v *value) { s.Base.Legs = v.legs() },
		"tilt":  func(v *value) { s.Base.Tilt = v.tilt() },
		"pose":  func(v *value) { pose = v },
		"people": func(v *value) {
			c := &claimReader{claim: &claim.Claim{}}
			c.people(v)
			s.Base.People, s.Base.Where, s.Base.Targets = c.claim.People, c.claim.Where, c.claim.Targets
		},
		"change":  r.change,
		"posture": choice(&r.posture, scenario.NumPostureRules),
		"model": func(v *value) {
			if name, ok := v.oneOf(ModelNames()); ok {
				s.Base.Models[0].Statics, r.modeled = hold.ParseModel(name)
			}
		},
		"regional_masses": choice(&s.Base.Models[0].Masses, body.NumMasses),
		"segments": func(v *value) {
			if name, ok := v.oneOf(segment.Names()); ok {
				s.Base.Models[0].Segments = name
			}
		},
		"assume": func(v *value) { v.assumptions(s.Base.Assumptions.Fix) },
		"demands": func(v *value) {
			for _, name := range v.namesOf(demandNames()) {
				d, _ := hold.ParseDemand(name)
				s.Demands = append(s.Demands, d)
			}
		},
		"quantiles": func(v *value) {
			s.Quantiles = names.Each(v.list(), func(e *value) float64 { return e.quantity(units.Number).Value })
		},
		"design": choice(&s.Design, sweep.NumDesigns),
		"points": func(v *value) { s.Points = int(v.whole(sweep.MostPoints)) },
		"bodies": func(v *value) { s.Bodies = v.yes() },
		"n":      func(v *value) { s.N = int(v.whole(sweep.MostBodies)) },
		"seed":   func(v *value) { s.Seed = v.whole(math.MaxUint64) },
		"axes":   func(v *value) { axes = v },
	}
	carried.into(readers)
	top.fields(readers)
	s.Base.Load = carried.total()
	if r.posture != scenario.AtBest {
		if s.Base.Change == nil {
			s.Base.Change = &scenario.Change{}
		}
		s.Base.Change.Posture = r.posture
	}
	if axes != nil {
		r.axes(axes)
	}
	r.fill(top, axes != nil)
	if pose != nil {
		var h *hold.Hold
		if _, swept := r.line["axes.hold"]; !swept {
			h = s.Base.Hold
		}
		s.Base.Pose = pose.pose(h, s.Base.Pose)
	}
	_, pointed := r.line["points"]
	switch {
	case s.Design == sweep.Grid && pointed:
		top.doc.fail(r.line["points"], "points", "the axes of a grid fix its number of points; leave this out, or write design: quasi-random")
	case s.Design == sweep.QuasiRandom && !pointed:
		top.doc.fail(design, "points", "is missing: a quasi-random design needs a number of points, as in points: 256")
	}
}

// fill takes from the axes what the fields do not say, and reports what is
// missing.
func (r *sweepReader) fill(top *value, axes bool) {
	s, missing := r.study, func(field, format string, args ...any) {
		if !top.doc.meant[field] && top.isMapping() {
			top.doc.fail(0, field, format, args...)
		}
	}
	holds := []*hold.Hold{s.Base.Hold}
	for i := range s.Axes {
		a := &s.Axes[i]
		switch a.Of {
		case "hold":
			holds = a.Holds
			s.Base.Hold = a.Holds[0]
		case "people":
			s.Base.People = a.People[:1]
		case "model":
			s.Base.Models[0].Statics, _ = hold.ParseModel(a.Names[0])
			r.modeled = true
		}
	}
	for _, needed := range []string{"sweep", "demands"} {
		if _, ok := r.line[needed]; !ok {
			missing(needed, "is missing")
		}
	}
	if !axes {
		missing("axes", "is missing: a sweep needs an axis, as in change.arm_length: 0 cm..10 cm by 2 cm")
	}
	for _, needed := range []string{"hold", "people"} {
		_, ok := r.line[needed]
		if _, swept := r.line["axes."+needed]; !ok && !swept {
			missing(needed, "is missing, here or as an axis")
		}
	}
	if r.modeled {
		return
	}
	for m := range hold.NumModels {
		if m.Judges() && !slices.ContainsFunc(holds, func(h *hold.Hold) bool { return h == nil || !h.Has(m) }) {
			s.Base.Models[0].Statics = m
		}
	}
}

// change reads what is done to every body at every point.
func (r *sweepReader) change(v *value) {
	c := &claimReader{claim: &claim.Claim{}}
	clean := v.doc.clean()
	c.change(v)
	if !clean() {
		return
	}
	ch := c.claim.Change
	if ch.Legs != nil || ch.Tilt != nil || ch.Hold != nil || c.changed != nil || c.more != (loadReader{}) {
		v.fail("hold, legs, tilt, pose, load and assist are fields of the sweep itself, not of a change")
		return
	}
	r.study.Base.Change = ch
}

// words reads a text of one line.
func (v *value) words() string {
	text, _ := v.text()
	text = strings.Join(strings.Fields(text), " ")
	// Such characters would rule the terminal on which the text is printed.
	if strings.ContainsFunc(text, plain.Obeyed) {
		v.fail("holds a control character")
	}
	return text
}

// whole reads a whole number, at least 1 where most is a bound of counts.
func (v *value) whole(most uint64) uint64 {
	text, ok := v.text()
	if !ok {
		return 0
	}
	plain := strings.ReplaceAll(text, "_", "")
	var n uint64
	if _, err := fmt.Sscanf(plain, "%d", &n); err == nil && fmt.Sprint(n) == plain && n <= most {
		return n
	}
	var x float64
	if _, err := fmt.Sscanf(plain, "%g", &x); err == nil && x >= 0 && x == math.Trunc(x) && x <= min(float64(most), 1<<53) {
		return uint64(x)
	}
	v.fail("%q is not a whole number up to %d", printable(text), most)
	return 0
}

// assumptions reads values of assumptions, each of which take may refuse.
func (v *value) assumptions(take func(assume.ID, float64) error) {
	for _, e := range v.entries(AssumptionNames()...) {
		id, ok := assume.Parse(e.name)
		if !ok {
			v.doc.fail(e.line, e.value.field, "unknown assumption%s; allowed: %s", called.Suggest(e.name, AssumptionNames()), strings.Join(AssumptionNames(), ", "))
			continue
		}
		clean := v.doc.clean()
		x := e.value.quantity(units.Number).Value
		if !clean() {
			continue
		}
		if err := take(id, words.AssumptionMeant(id, x)); err != nil {
			e.value.fail("%v", words.AssumptionFault(err))
		}
	}
}
