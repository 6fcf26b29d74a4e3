package person

import (
	"cmp"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode"

	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/app/output"
	"counterpoise/internal/app/person/said"
	"counterpoise/internal/app/tables"
	"counterpoise/internal/bodies"
	"counterpoise/internal/called"
	"counterpoise/internal/chart"
	"counterpoise/internal/chart/curves"
	"counterpoise/internal/draw"
	"counterpoise/internal/freebody"
	"counterpoise/internal/jsonform"
	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/internal/study"
	"counterpoise/internal/table"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/hold"
	"counterpoise/sim/muscle"
	"counterpoise/sim/names"
	"counterpoise/sim/person"
	"counterpoise/sim/plain"
	"counterpoise/sim/statics"

	"gonum.org/v1/gonum/floats"
)

// What the dots of persons are, whose they are, and whose strength it is where none was tested.
const (
	DotKey       = "Dot: best estimate. Line: likely range (9 in 10)."
	DotPeople    = "what was measured of each, the rest drawn from people of their sex in the survey"
	UntrainedKey = " Hollow: own strength was not tested; what an untrained person of that sex and size, and of that age if it is known, has is estimated, not validated."
)

// DotOf is what is not known of a person, in the unit of an axis; none where it is not ok.
func DotOf(x person.Spread, ok bool, per float64, text func(float64) string) chart.Dot {
	if !ok {
		return chart.Dot{Value: math.NaN(), Before: math.NaN()}
	}
	y := scaled(x, per)
	return chart.Dot{Value: y.Median, Low: y.Low, High: y.High, Before: math.NaN(), Text: words.OneLine(text(x.Median)), Range: words.Interval(text(x.Low), text(x.High))}
}

// Kilograms is the main demand of a model as the weight of so many kilograms, or these at
// one metre.
func Kilograms(m *person.ModelResult) (person.Spread, bool) {
	q, ok := m.Quantity(m.Main)
	return scaled(q.AllAbsolute, 1/statics.StandardGravity), ok && q.AbsoluteUnit != "" && m.PossibleAll > 0
}

// TimesStrength is how hard a model finds the hold.
func TimesStrength(m *person.ModelResult) (person.Spread, bool) {
	q, ok := m.Quantity(hold.Difficulty)
	return q.All, ok && m.PossibleAll > 0
}

func scaled(s person.Spread, by float64) person.Spread {
	return person.Spread{Median: s.Median * by, Low: s.Low * by, High: s.High * by}
}

// PersonFigures returns the charts of one person: under every model the
// requirement over how far apart the hands are with what is left open around it, the hold
// drawn to scale, and what to measure next. A chart that would show nothing is
// left out. Name is what the person is called in the charts.
func PersonFigures(a *said.PersonAnswer, name string, s words.System) ([]draw.Named, error) {
	var figures []draw.Named
	for i := range a.Models {
		m := &a.Models[i]
		if m.Typical == nil {
			continue
		}
		if c := m.Typical.Curve; c != nil && len(c.Angle) > 1 && !math.IsNaN(c.BestPeak) && !slices.ContainsFunc(append(c.Spacing, c.BestSpacing), math.IsNaN) {
			figures = append(figures, draw.Named{Name: "requirement-" + m.Model.String(), Figure: personCurve(a, m, c, name)})
		}
	}
	m := a.Primary()
	if m.Median != nil {
		f, err := PersonFreeBody(a, m, name, s)
		if err != nil {
			return nil, err
		}
		figures = append(figures, draw.Named{Name: "hold", Figure: f})
	}
	if len(m.Next) > 0 && m.PossibleBody > 0 {
		figures = append(figures, draw.Named{Name: "measure-next", Figure: nextFigure(a, m, name, s)})
	}
	return figures, nil
}

// personFoot says where the numbers of a chart come from.
func personFoot(a *said.PersonAnswer, m *person.ModelResult, name string) draw.Foot {
	known := a.Population.Sex.String()
	for _, k := range a.Conditioned.Known {
		if known += ", " + words.PlainOf(k.Of); len(a.Conditioned.Known) <= 4 {
			known += " " + words.Known(k, words.Metric)
		}
	}
	if a.Person.Scan != nil {
		known += ", scan"
	}
	var assumed []string
	if a.Options.Assumptions.Centre != assume.Defaults() {
		assumed = append(assumed, "as set on the command line")
	}
	if len(a.Options.Assumptions.Free()) > 0 {
		assumed = append(assumed, "over their ranges")
	}
	model := m.Model.String()
	if usual := person.DefaultOptions(); a.Options.Masses != usual.Masses || a.Options.Segments != usual.Segments {
		model += fmt.Sprintf(", %s regional masses, %s segments", a.Options.Masses, a.Options.Segments)
	}
	return draw.Foot{
		People: fmt.Sprintf("%s (%s), the rest drawn from %s", name, known, words.Sexes(a.Conditioned.Population.Name)), N: a.Options.N,
		Model:       model,
		Assumptions: cmp.Or(strings.Join(assumed, ", "), "usual values"),
		Source:      provenance.Credit() + "; people of " + words.Credits([]string{a.Conditioned.Population.Name}) + ". " + words.NotValidated,
	}
}

// bodyOf is the person in the hold; none where the posture cannot be taken.
func bodyOf(a *said.PersonAnswer, m *person.ModelResult, name string) []bodies.Silhouette {
	if m.Median == nil {
		return nil
	}
	b := m.Median.Body
	s, err := freebody.SilhouetteOf(m.Median, a.Hold, name+", "+words.Rough(b.Stature[0], units.Length, words.Metric)+", "+words.Rough(b.Mass[0], units.Mass, words.Metric))
	if err != nil {
		return nil
	}
	return []bodies.Silhouette{s}
}

// personCurve is the requirement of one person over how far apart the hands are, with what is not
// known: c is that of a typical body, whose hands say where each angle of the arms stands.
func personCurve(a *said.PersonAnswer, m *person.ModelResult, c *person.Curve, name string) curves.Along {
	scale := 1.0
	whose := ofUntrained(a)
	axis := "Times " + whose
	if m.Model != hold.Equilibrium {
		scale, axis = 100, "Force along each arm (% of body weight)"
	}
	scaled := func(values []float64, by float64) []float64 {
		return floats.ScaleTo(make([]float64, len(values)), by, values)
	}
	curve := curves.Series{Name: name, X: scaled(c.Spacing, 100), Y: scaled(c.Peak, scale), Low: scaled(c.AllLow, scale), High: scaled(c.AllHigh, scale)}
	for _, list := range [][]float64{curve.X, curve.Y, curve.Low, curve.High} {
		slices.Reverse(list) // the hands are the farther apart, the smaller the angle
	}
	first, last := curve.X[0], curve.X[len(curve.X)-1]
	apart, label := words.Mark(c.BestSpacing, words.Metric), "Hands apart (cm)"
	told, _ := m.Quantity(hold.HandSpacing) // of a model that judges alone
	// What is drawn is where the marks are that the words name.
	var q person.Spread
	if low, high := words.Mark(told.All.Low, words.Metric), words.Mark(told.All.High, words.Metric); told.All.Low < told.All.High {
		label += "; line: where it may be easiest, " + words.Interval(low, high)
		q = person.Spread{Low: 100 * words.Marked(told.All.Low), High: 100 * words.Marked(told.All.High)}
	}
	best := min(max(100*words.Marked(c.BestSpacing), first), last)
	axis += "; line: in the middle"
	if low, high := levelAround(curve, best); high-low >= 15 {
		axis += ", hardly harder from " + words.Interval(words.Mark(low/100, words.Metric), words.Mark(high/100, words.Metric))
	}
	f := curves.Along{
		Title:  fmt.Sprintf("%s, %s: easiest with hands %s apart", name, a.HoldWords(words.Metric), apart),
		XLabel: label, YLabel: axis,
		Spread: "likely range (9 in 10) with the hands just there",
		Curve:  curve,
		Low:    q.Low, High: q.High,
		Best:   curves.Mark{X: best, Y: curve.At(best), Label: words.NoBreak("about " + apart)},
		Bodies: bodyOf(a, m, name),
		Foot:   personFoot(a, m, name),
	}
	if x, ok := TimesStrength(m); ok && m.Model == hold.Equilibrium {
		f.Title += ", at " + words.Times(x.Median) + " times " + whose
		if low, high := words.Times(x.Low), words.Times(x.High); low != high {
			f.Title += " (" + words.Interval(low, high) + ")"
			f.Own = curves.Reach{Low: x.Low, High: x.High, Label: words.NoBreak("each try at its own best")}
		}
		f.Title += ": " + [...]string{"enough", "open", "not enough"}[enough(x)]
		f.Around, f.Less, f.More = 1, "enough", "not enough"
	}
	f.Title = words.NoBreak(f.Title)
	if of := a.Person.Measured; of != nil && of.HandSpacing != nil {
		f.Was = curves.Mark{X: 100 * of.HandSpacing.Value, Label: words.NoBreak("measured " + words.Rough(of.HandSpacing.Value, units.Length, words.Metric))}
	}
	return f
}

// levelAround is from where to where a curve is as low as at its best, to a hundredth.
func levelAround(c curves.Series, best float64) (low, high float64) {
	low, high = best, best
	least := c.At(best)
	for i := range c.X {
		if j := len(c.X) - 1 - i; c.X[j] < low && c.Y[j] <= 1.01*least && c.At((c.X[j]+low)/2) <= 1.01*least {
			low = c.X[j]
		}
		if c.X[i] > high && c.Y[i] <= 1.01*least && c.At((c.X[i]+high)/2) <= 1.01*least {
			high = c.X[i]
		}
	}
	return low, high
}

// enough says whether a strength is enough for what is asked, in nine in ten of what is not known: 0 if
// so, 2 if it is not, 1 where it is open.
func enough(times person.Spread) int {
	switch {
	case times.High <= 1:
		return 0
	case times.Low > 1:
		return 2
	}
	return 1
}

// ofUntrained says whose strength a hold is hard against: the person's own as far as it was
// tested, else that of somebody untrained like them.
func ofUntrained(a *said.PersonAnswer) string {
	of := words.UntrainedOf(a.Conditioned.Population)
	switch {
	case inPart(a):
		return of.Whose + " strength, as far as tested"
	case a.Person.Tests != nil:
		return of.Whose + " tested strength"
	}
	return "the strength of an untrained " + of.One
}

// PersonFreeBody is the hold of the body that shows the person, to scale.
func PersonFreeBody(a *said.PersonAnswer, m *person.ModelResult, name string, s words.System) (bodies.FreeBody, error) {
	held := m.Median // where hardly any simulated body can take the posture
	if m.Typical != nil {
		held = m.Typical.Held
	}
	f, err := freebody.FreeBodyOf(&freebody.HeldBody{
		HeldBody: held, Hold: a.Hold, Model: m.Model, Who: name, Of: a.Conditioned.Population.Name, People: name, N: a.Options.N, Units: s,
		Defaults: a.Options.Assumptions.Centre == assume.Defaults(),
	})
	if err != nil {
		return f, err
	}
	for k := range f.Forces {
		if q, _ := m.Quantity(m.Main); m.Main == hold.RequiredForce && f.Forces[k].Along > 0 {
			f.Forces[k].Along, f.Forces[k].Share = q.AllAbsolute.Median/f.Weight, q.All.Median // as they are told, which is a rounding off what is drawn
		}
	}
	_, told := Kilograms(m)
	if told {
		what, posture, _ := strings.Cut(f.Title, ": ")
		f.Title = what + ": " + said.Asked(a, m) + " about " + said.Amount(m, s)
		if _, hands, apart := strings.Cut(posture, ", hands "); apart {
			f.Title += ", hands " + hands
		}
	}
	f.Title = words.NoBreak(name + ", " + words.Within(f.Title))
	f.Foot = personFoot(a, m, name)
	f.Foot.People = "a body in the middle of " + f.Foot.People
	f.Also = "Drawn: the one in the middle of " + words.Count(a.Options.N) + " bodies that fit."
	if !told {
		f.Also = "With all that is open, " + said.AsksFor(a, m, s)
	}
	return f, nil
}

// mostNext is how many measurements a chart of what to measure next shows, and telling what share
// of today's range the first must take away for any to be shown; the others at least half of that.
const (
	mostNext = 6
	telling  = 0.1
)

// nextFigure shows today's range, what measuring one more thing would leave of it, where that is
// less, and what would be left whatever was measured, in kilograms where the demand is a force or
// a moment.
func nextFigure(a *said.PersonAnswer, m *person.ModelResult, name string, s words.System) chart.Dots {
	q, _ := m.Quantity(m.Main)
	p := words.DemandOf(m.Main, m.Model).Plainly()
	_, scale := jsonform.Output(m.Main.Unit)
	now, unit, bare := scaled(q.All, scale*p.Scale), p.Unit, func(w float64) string { return p.Bare(scale * w) }
	kilograms := words.Unit(units.Mass, words.Metric)
	weighed := slices.ContainsFunc(a.Conditioned.Known, func(k anthro.Known) bool { return k.Of == anthro.Mass })
	kg, inKilograms := Kilograms(m)
	if inKilograms = inKilograms && weighed; inKilograms { // else most of the range would be the weight's
		now, unit = kg, kilograms
		bare = func(w float64) string { return words.Number(w*kg.Median/q.All.Median, 1) }
	}
	text := func(w float64) string { return words.OneLine(words.WithUnit(bare(w), unit)) }
	today, best := q.All.Width(), m.Next[0]
	axis := unit
	if inKilograms {
		axis = kilogramsOf(m, unit)
	}
	f := chart.Dots{
		Axis: words.Capital(strings.TrimPrefix(words.PlainNoun(m.Main), "the ")) + words.InBrackets(axis), Panels: make([]chart.DotPanel, 1),
		Key:    "Dot: best estimate. Line: likely range (9 in 10). Number: how wide that range is.",
		Bodies: bodyOf(a, m, name),
		Foot:   personFoot(a, m, name),
	}
	row := func(name string, width float64) {
		left := width / today
		low, high := now.Median-float64(left*(now.Median-now.Low)), now.Median+float64(left*(now.High-now.Median))
		dot := chart.Dot{Value: now.Median, Low: low, High: high, Before: math.NaN(), Text: text(width), Told: "a range that is " + text(width) + " wide"}
		if !inKilograms {
			dot.Text = bare(width) // the axis has it
		}
		if len(f.Names) > 0 {
			dot.Whole = [2]float64{now.Low, now.High}
		}
		f.Names, f.Panels[0].Dots = append(f.Names, words.NoBreak(name)), append(f.Panels[0].Dots, dot)
	}
	tape := best.Reduction >= telling && bare(today-best.Width) != bare(0) // tells more at once than a test
	test, muscles, next := "", "", a.Asks().Next()
	if next != nil {
		group, are := words.GroupPlainly(next.Group), " is"
		if muscles = musclesBriefly(next.Group)[0]; strings.HasSuffix(muscles, "s") {
			are = " are"
		}
		test = said.EnoughTest(next, s) + ": " + said.EnoughResult(next, s, "the "+group+are)
		if drawn := testOf(a, m, next, s); drawn != nil && !tape {
			f.Bodies = drawn
		}
	}
	worth := tape || m.Floor > 0 && 1-m.Floor/today >= telling && bare(today-m.Floor) != bare(0)
	if worth {
		row("today", today)
		for _, g := range m.Next[:min(mostNext, len(m.Next))] {
			if !tape || g.Reduction < telling/2 {
				break // and so do those after it
			}
			row("with "+strings.TrimPrefix(said.GainPlainly(g), "a "), g.Width)
		}
		if m.Floor > 0 {
			row("with all of the body measured", m.Floor)
		}
		f.Key += " Green: what it would take away."
	} else {
		f.Panels, f.Key = nil, fmt.Sprintf("Likely range (9 in 10) of the %s: %s wide", words.Label(m.Main), words.OneLine(words.WithUnit(bare(today), axis)))
		if left := text(max(m.Floor, 0)); left == text(today) {
			f.Key += ", whatever else is measured of the body."
		} else {
			f.Key += " today, " + left + " with all of the body measured."
		}
	}
	stay := ""
	if m.Floor > 0 && worth {
		stay = ", of which " + text(m.Floor) + " stay whatever is measured of the body"
	}
	wide := func(w float64) string { return words.OneLine(words.WithUnit(bare(w), axis)) }
	switch {
	case tape:
		f.Title = fmt.Sprintf("%s, %s, next: %s", name, a.HoldWords(s), said.GainPlainly(best))
		f.Says = fmt.Sprintf("%s takes %s off today’s range of %s%s.", words.Capital(said.GainPlainly(best)), text(today-best.Width), wide(today), stay)
		if test != "" {
			f.Title += ", then a test of the " + muscles
			f.Says += " " + words.Capital(test) + "."
		}
	case test != "" && worth:
		f.Title, f.Says = fmt.Sprintf("%s, %s: test the %s next; measuring all of the body would take %s off today’s range of %s", name, a.HoldWords(s), muscles, text(today-m.Floor), wide(today)), words.Capital(test)+"."
	case test != "":
		f.Title, f.Says = fmt.Sprintf("%s, %s: test the %s next; no measure of the body is worth taking", name, a.HoldWords(s), muscles), words.Capital(test)+"."
	default:
		f.Title = fmt.Sprintf("%s, %s: no tape or scan takes more than %s off today’s range of %s", name, a.HoldWords(s), text(today-best.Width), wide(today))
		if f.Title += stay; !worth {
			f.Says = "Nothing is left that is worth measuring."
		}
	}
	f.Title = words.NoBreak(f.Title)
	return f
}

// testOf is the person at a test of an arm on a scale that goes in the plane of the hold; else nil.
func testOf(a *said.PersonAnswer, m *person.ModelResult, e *person.Enough, s words.System) []bodies.Silhouette {
	inFront := e.Way == person.Back || e.Way == person.Forward
	if m.Median == nil || e.Kind != person.ScaleTest || inFront && a.Hold.FromFront() || e.Way < person.Back && !a.Hold.FromFront() {
		return nil
	}
	angle := e.Angle
	if !e.Way.Across() {
		angle = math.Pi / 2
	}
	shown, err := freebody.TestOf(m.Median, a.Hold, e.Way, angle, said.Reading(e, s))
	if err != nil {
		return nil
	}
	return []bodies.Silhouette{shown}
}

// Together returns the charts that compare persons, for each hold and model with two of
// them or more: a dot with its range each, whoever needs least first, in kilograms and in
// times a strength. Names are what the persons are called in the charts.
func Together(answers []said.PersonAnswer, names []string, s words.System) []draw.Named {
	type kind struct {
		hold  *hold.Hold
		model hold.Model
	}
	var kinds []kind
	of := map[kind][]int{}
	for i := range answers {
		for _, m := range answers[i].Models {
			if !slices.Contains(answers[i].Hold.Judging(), m.Model) {
				continue
			}
			at := kind{answers[i].Hold, m.Model}
			if of[at] == nil {
				kinds = append(kinds, at)
			}
			of[at] = append(of[at], i)
		}
	}
	var figures []draw.Named
	for _, at := range kinds {
		if len(of[at]) < 2 {
			continue
		}
		var persons []together
		for _, i := range of[at] {
			a := &answers[i]
			p := together{name: names[i], called: names[i], m: modelFor(a, at.model), a: a}
			if with := words.NoBreak(words.PostureUnder(a.Posture(), a.Person.Load)); with != "" {
				p.name += ", " + with
			}
			persons = append(persons, p)
		}
		end := at.hold.Name + "-" + at.model.String()
		if f, ok := inKilograms(persons, s); ok {
			figures = append(figures, draw.Named{Name: "together-" + end, Figure: f})
		}
		if f, ok := inStrengths(persons); ok {
			figures = append(figures, draw.Named{Name: "together-strength-" + end, Figure: f})
		}
	}
	return figures
}

// together is one of several persons under a model.
type together struct {
	name   string // with the posture
	called string // without
	m      *person.ModelResult
	a      *said.PersonAnswer
}

// inKilograms compares what a hold asks of persons.
func inKilograms(persons []together, s words.System) (chart.Dots, bool) {
	m := persons[0].m
	noun, per := words.Capital(strings.TrimPrefix(words.PlainNoun(m.Main), "the ")), words.Unit(units.Mass, s)
	unit, inWeights := kilogramsOf(m, per), m.Main.Unit == "BW"
	f, least := dotsOf(persons, func(p together) chart.Dot {
		x, ok := Kilograms(p.m)
		dot := DotOf(x, ok, 1/units.Size(per), func(x float64) string { return words.Rough(x, units.Mass, s) })
		if q, _ := p.m.Quantity(m.Main); ok && inWeights {
			dot.Text += " (" + words.Whole(q.All.Median) + ")"
		}
		return dot
	})
	if f.Axis, f.Key = noun+" ("+unit+")", DotKey; inWeights {
		f.Key += " In brackets: of body weight."
	}
	f.Key += overlapping(f.Panels[0].Dots)
	if least != nil {
		alike := whoNeedLeast(f.Panels[0].Dots)
		rough := func(x float64) string { return words.Rough(x*units.Size(per), units.Mass, s) }
		about := "about " + rough(least.Value)
		if low, high := rough(least.Low), rough(least.High); low != high {
			about += " (" + words.Interval(low, high) + ")"
		}
		if m.Main.Unit == "BW·m" {
			about += " at one metre"
		}
		switch first, others := f.Names[0], f.Names[1:len(alike)]; {
		case len(others) == 0:
			f.Title = first + " needs least for the " + persons[0].a.HoldWords(s) + ", " + about
		case len(alike) == len(f.Names):
			f.Title = "Who needs least for the " + persons[0].a.HoldWords(s) + " cannot be told: " + first + " perhaps, " + about
		default:
			f.Title = first + " probably needs least for the " + persons[0].a.HoldWords(s) + ", " + about + ", perhaps " + words.Or(others)
		}
		if light := leastForTheirWeight(persons); inWeights && len(light) <= mostNamed && !slices.Equal(light, f.Names[:1]) {
			f.Title += "; for their weight " + words.And(light)
		}
		f.Title = words.NoBreak(f.Title)
	}
	return f, least != nil
}

// leastForTheirWeight are those of whom a hold asks least for what they weigh.
func leastForTheirWeight(persons []together) (who []string) {
	least := math.Inf(1)
	for _, p := range persons {
		q, _ := p.m.Quantity(p.m.Main)
		if _, ok := Kilograms(p.m); !ok {
			continue
		}
		switch x := math.Round(100 * q.All.Median); {
		case x < least:
			who, least = []string{p.name}, x
		case x == least:
			who = append(who, p.name)
		}
	}
	return who
}

// whoNeedLeast are the first and those whose best estimates lie within its likely range, of dots in
// order.
func whoNeedLeast(dots []chart.Dot) []chart.Dot {
	n := 1
	for n < len(dots) && dots[n].Value <= dots[0].High {
		n++
	}
	return dots[:n]
}

// overlapping says that the ranges of the first and of others overlap, if they do.
func overlapping(dots []chart.Dot) string {
	if len(dots) > 1 && dots[0].High >= dots[1].Low {
		return " The ranges overlap: the order is a best estimate too."
	}
	return ""
}

// kilogramsOf is the unit of a main demand that is written as the weight of so much.
func kilogramsOf(m *person.ModelResult, unit string) string {
	if m.Main.Unit == "BW·m" {
		unit += " at one metre"
	}
	return unit
}

// inStrengths compares how hard a hold is for persons: in their own strength where tests
// tell it, else in that of untrained people.
func inStrengths(persons []together) (chart.Dots, bool) {
	tested := slices.ContainsFunc(persons, func(p together) bool { return p.a.Person.Tests != nil })
	named := slices.Clone(persons)
	for i, p := range named {
		switch {
		case inPart(p.a):
			part := "tested in part"
			if muscles := musclesBriefly(p.a.Ready.Own.Untested...); len(muscles) == 1 {
				part = muscles[0] + " not tested"
			}
			named[i].name += " (" + part + ")"
		case p.a.Person.Tests != nil:
			named[i].name += " (tested)"
		case tested:
			named[i].name += " (not tested)"
		}
	}
	f, least := dotsOf(named, func(p together) chart.Dot {
		x, ok := TimesStrength(p.m)
		dot := DotOf(x, ok, 1, func(x float64) string { return words.Times(x) + " times" })
		dot.Hollow = p.a.Person.Tests == nil
		return dot
	})
	if f.Axis, f.Key = "Times the strength of an untrained person", DotKey+UntrainedKey; tested {
		f.Axis = "Times own strength (hollow: that of an untrained person)"
	}
	if slices.ContainsFunc(persons, func(p together) bool { return inPart(p.a) }) {
		f.Key += " Muscles that were not tested are estimated from those that were."
	}
	f.Less, f.More, f.Around = "enough", "not enough", 1
	if least != nil {
		var rows []together
		for _, name := range f.Names {
			i := slices.IndexFunc(named, func(p together) bool { return p.name == name })
			rows = append(rows, persons[i])
		}
		f.Title = words.NoBreak(words.Capital(persons[0].a.HoldWords(words.Metric)) + ": " + whoIsStrongEnough(rows, f.Panels[0].Dots, tested))
	}
	return f, least != nil
}

// musclesBriefly are the muscles of groups, each once, without what they do.
func musclesBriefly(groups ...muscle.Group) (list []string) {
	for _, g := range groups {
		muscles, _, _ := strings.Cut(words.GroupPlainly(g), " (")
		list = names.Once(list, muscles)
	}
	return list
}

// inPart says that tests show something of a person's strength, but not all that gives out.
func inPart(a *said.PersonAnswer) bool {
	return a.Person.Tests != nil && a.Ready != nil && a.Ready.Own != nil && len(a.Ready.Own.Untested) > 0
}

// mostNamed is of how many persons a title gives the names.
const mostNamed = 4

// whoIsStrongEnough says who has enough strength in nine in ten of what is not known, who has not,
// and of whom it is open: by name where they are few. Of those who are not tested it says no more
// than that, where others are.
func whoIsStrongEnough(rows []together, dots []chart.Dot, tested bool) string {
	whose, says := "", [...]string{"enough strength for ", "probably enough, some muscles untested, for ", "open for ", "not enough for ", "not tested: "}
	if !tested {
		whose, says[0], says[2] = "an untrained person’s strength is ", "enough for ", "perhaps enough for "
	}
	var who [len(says)][]string
	for i, d := range dots {
		k := 2
		switch a := rows[i].a; {
		case math.IsNaN(d.Value):
			continue
		case tested && a.Person.Tests == nil:
			k = 4
		case d.Low > 1:
			k = 3
		case d.High <= 1 && inPart(a):
			k = 1
		case d.High <= 1:
			k = 0
		}
		who[k] = append(who[k], rows[i].called)
	}
	var parts []string
	for k, list := range who {
		if len(list) > mostNamed {
			list = []string{fmt.Sprintf("%d of %d", len(list), len(rows))}
		}
		if len(list) > 0 {
			parts = append(parts, says[k]+words.And(list))
		}
	}
	return whose + strings.Join(parts, "; ")
}

// dotsOf puts persons into rows, whoever has least first and whoever has nothing last, and
// returns the first dot; nil where fewer than two have one.
func dotsOf(persons []together, of func(together) chart.Dot) (chart.Dots, *chart.Dot) {
	type row struct {
		name string
		dot  chart.Dot
	}
	rows := make([]row, len(persons))
	for i, p := range persons {
		if rows[i] = (row{p.name, of(p)}); math.IsNaN(rows[i].dot.Value) {
			rows[i].dot.Text = "not possible"
		}
	}
	slices.SortStableFunc(rows, func(a, b row) int {
		x, y := a.dot.Value, b.dot.Value
		if math.IsNaN(x) || math.IsNaN(y) {
			return cmp.Compare(y, x) // what is not a number is less than any
		}
		return cmp.Compare(x, y)
	})
	f := chart.Dots{Panels: make([]chart.DotPanel, 1), Foot: personFoot(persons[0].a, persons[0].m, "")}
	f.Foot.People = DotPeople
	for _, r := range rows {
		f.Names, f.Panels[0].Dots = append(f.Names, r.name), append(f.Panels[0].Dots, r.dot)
	}
	if math.IsNaN(rows[1].dot.Value) {
		return f, nil
	}
	return f, &rows[0].dot
}

func modelFor(a *said.PersonAnswer, of hold.Model) *person.ModelResult {
	return cmp.Or(a.Under(of), a.Primary())
}

// FileNames makes a name of a folder of each person's name: letters and digits
// of the alphabet, without accents, with hyphens between. Names that come out alike, empty or as a device of
// Windows get their number.
func FileNames(persons []string) []string {
	names := make([]string, len(persons))
	taken := map[string]bool{}
	for i, person := range persons {
		words := strings.FieldsFunc(called.Fold(person), func(r rune) bool {
			return r > unicode.MaxASCII || !unicode.IsLetter(r) && !unicode.IsDigit(r)
		})
		name := strings.Join(words, "-")
		for first, number := name, i+1; name == "" || taken[name] || plain.Device(name); number++ {
			name = strings.TrimPrefix(fmt.Sprintf("%s-%d", first, number), "-")
		}
		taken[name], names[i] = true, name
	}
	return names
}

// ChartNames are what charts call the persons: by name where the font can write
// it.
func ChartNames(answers []said.PersonAnswer) []string {
	names := make([]string, len(answers))
	for i := range answers {
		if names[i] = answers[i].Person.Name; !draw.Writable(names[i]) {
			names[i] = fmt.Sprintf("person %d", i+1)
		}
	}
	return names
}

// drawPersons writes the charts, several at a time: those of one person into the
// folder itself, those of several into a folder each.
func drawPersons(env *console.Environment, folder string, answers []said.PersonAnswer, l flags.Look, s words.System) error {
	called := ChartNames(answers)
	persons := names.Each(answers, func(a said.PersonAnswer) string { return a.Person.Name })
	var all []output.Placed
	for i, sub := range FileNames(persons) {
		figures, err := PersonFigures(&answers[i], called[i], s)
		if err != nil {
			return err
		}
		into := folder
		if len(answers) > 1 {
			into = filepath.Join(folder, sub)
			if err := os.MkdirAll(into, 0o777); err != nil {
				return err
			}
		}
		all = append(all, output.PlacedIn(into, figures)...)
	}
	return output.Draw(env, l, append(all, output.PlacedIn(folder, Together(answers, called, s))...))
}

// drawsName is where the table of the bodies drawn for a person goes.
func drawsName(persons []study.Person, at int) string {
	if len(persons) == 1 {
		return "draws.parquet"
	}
	return filepath.Join(FileNames(names.Each(persons, func(p study.Person) string { return p.Name }))[at], "draws.parquet")
}

// writeDraws writes the bodies drawn for a person with what the hold asks of
// each, a row a body.
func writeDraws(path string, a *said.PersonAnswer, stamp provenance.Stamp) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		return err
	}
	var c tables.Columns
	c.Add(table.Column{Name: "assumption_draw", Kind: table.Int32, Description: "number of the draw of the assumptions of the columns that end the name of the model with varied"},
		func(i int) float64 { return float64(a.Draw[i]) })
	for m := range anthro.NumMeasurements {
		values := a.People.Value[m]
		c.Add(table.Column{Name: m.String() + "_" + m.Unit(), Unit: m.Unit(), Description: m.Description()}, func(i int) float64 { return values[i] })
	}
	for k := range a.Models {
		m := &a.Models[k]
		for _, of := range []struct {
			name, says string
			result     *hold.Result
		}{
			{"central", "at the central assumptions", m.Body},
			{"varied", "under the row's draw of the assumptions", m.All},
		} {
			for _, d := range a.Hold.Asks(m.Model) {
				if a.Unknown(m.Model, d) != "" {
					continue
				}
				ending, unit := outcome.ColumnUnit(d)
				scale := 1.0
				if unit == "deg" {
					scale = 180 / math.Pi
				}
				values, possible := of.result.Value[d], of.result.Possible
				name := strings.ReplaceAll(m.Model.String(), "-", "_") + "_" + of.name + "_" + d.String() + ending
				c.Add(table.Column{Name: name, Unit: unit, Missing: true, Description: d.Meaning + ", by " + m.Model.String() + " " + of.says + "; missing where the posture is not possible"},
					func(i int) float64 {
						if !possible[i] {
							return math.NaN()
						}
						return values[i] * scale
					})
			}
		}
	}
	return c.Write(path, a.People.Rows(), stamp, provenance.KeyValue{Key: provenance.Tool + ".person", Value: a.Person.Name})
}
