package drivers

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"counterpoise/internal/bodies"
	"counterpoise/internal/chart"
	"counterpoise/internal/chart/curves"
	"counterpoise/internal/draw"
	"counterpoise/internal/freebody"
	"counterpoise/internal/provenance"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/drivers"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario/scores"

	"gonum.org/v1/gonum/floats"
)

// mostBars is how many bars a chart shows: as many as fit on a slide.
// Of a screening it shows the first few: what follows moves little.
const (
	mostBars   = 8
	mostScreen = 6
)

// DriversFigures returns the charts of what was found: for each part bars of its
// shares, its screening and its curve along a trait; and one chart that sets how people
// differ beside what nobody has measured, for all parts.
func DriversFigures(d *Drivers) []draw.Named {
	var figures []draw.Named
	for i := range d.Parts {
		p := &d.Parts[i]
		if p.Shares != nil {
			figures = append(figures, draw.Named{Name: "shares-" + p.FileName(), Figure: sharesFigure(d, p, p.Shares, drivers.ShapleyEffect)})
		}
		if p.Sobol != nil {
			figures = append(figures, draw.Named{Name: "sobol-" + p.FileName(), Figure: sharesFigure(d, p, p.Sobol, drivers.Total)})
		}
		if p.Screen != nil {
			figures = append(figures, draw.Named{Name: "screen-" + p.FileName(), Figure: screenFigure(d, p)})
		}
		if p.Along != nil {
			figures = append(figures, draw.Named{Name: "along-" + draw.FileName(strings.ReplaceAll(p.Along.Trait.String(), "/", "-over-")) + "-" + p.FileName(), Figure: alongFigure(d, p)})
		}
	}
	figures = append(figures, worthFigures(d)...)
	if spread, ok := spreadFigure(d); ok {
		figures = append(figures, draw.Named{Name: "people-and-unmeasured", Figure: spread})
	}
	return figures
}

func (d *Drivers) foot(model string, n int, parts ...*DriversPart) draw.Foot {
	from, people, populations := "bodies drawn", make([]string, len(parts)), make([]string, len(parts))
	for i, p := range parts {
		people[i], populations[i] = words.Sexes(p.People), words.SurveyName(p.population())
		if of := p.population(); of.Resampled() {
			people[i] += ", " + of.Title + " resampled"
			from = "what was not measured on people drawn"
		}
	}
	f := draw.Foot{
		People: d.peopleWords(strings.Join(people, " and ")), N: n, Model: model, Assumptions: "over their ranges",
		Source: provenance.Credit() + "; " + from + " from " + words.Credits(populations) + ". " + words.NotValidated,
	}
	if d.Fixed {
		f.Assumptions += ", as set on the command line"
	}
	return f
}

// subject names the demand and the hold.
func (d *Drivers) subject() string {
	return strings.TrimPrefix(words.PlainNoun(d.Of), "the ") + " of the " + d.holdWords()
}

// body is the median body of a part's people in the hold; none where it cannot take the posture.
func (d *Drivers) body(p *DriversPart) []bodies.Silhouette {
	if p.Person != "" {
		return nil // who is not in the middle
	}
	a := assume.Defaults()
	held, err := freebody.HoldMedianBody(d.Hold, p.Models[0].Statics, d.Posture, d.Load, p.population(), &a)
	if err != nil {
		return nil
	}
	s, err := freebody.SilhouetteOf(held.HeldBody, d.Hold, fmt.Sprintf("%s, %s, %s", p.averageBody(d), words.Rough(held.Body.Stature[0], units.Length, words.Metric), words.Rough(held.Body.Mass[0], units.Mass, words.Metric)))
	if err != nil {
		return nil
	}
	return []bodies.Silhouette{s}
}

func sharesFigure(d *Drivers, p *DriversPart, r *drivers.Result, kind drivers.Kind) chart.ShareBars {
	b := chart.ShareBars{
		Label:   "Share of how much " + d.varying() + " varies",
		Between: words.Sexes(p.People),
		Bodies:  d.body(p),
		Foot:    d.foot(p.Model(), int(r.Evaluations), p),
	}
	list := ranked(r, kind)
	rest := 0.0
	var small []string
	for k, i := range list {
		name := words.DrivenBy(i.Groups[0])
		if k >= mostBars || k > 0 && i.Value < 0.005 {
			rest, small = rest+i.Value, append(small, name)
			continue
		}
		b.Rows = append(b.Rows, chart.ShareBar{Label: name, Value: i.Value, Low: i.Low, High: i.High, Source: sourceOf(p, i.Groups[0])})
	}
	if kind == drivers.Total {
		b.Title = fmt.Sprintf("%s, %s: %s matters most to %s, %s alone and with others", words.Capital(d.holdWords()), words.Sexes(p.People), b.Rows[0].Label, words.PlainNoun(d.Of), words.Whole(clampShare(list[0].Value)))
		b.Note = "What each does alone and together with others, so that all make more than 100\u00a0%; over " + p.SobolOf + "."
	} else {
		people, assumptions, models := sharesBySource(p)
		b.Whole = [...]float64{chart.FromPeople: clampShare(people), chart.FromAssumptions: clampShare(assumptions), chart.FromModels: clampShare(models)}
		b.Title = fmt.Sprintf("%s, why %s differs among %s: %s", words.Capital(d.holdWords()), words.Label(d.Of), words.Sexes(p.People), wholeWords(&b, mostly(p)))
	}
	switch {
	case len(small) > 2:
		b.Note += fmt.Sprintf(" The %d smallest are left out: %s together, rounded as all are.", len(small), words.NoBreak(words.Whole(clampShare(rest))))
	case len(small) > 0:
		b.Note += " Next to nothing: " + words.And(small) + "."
	}
	if d.Of.Unit == "BW" && d.Hold.Places(hold.GivenAngle) && list[0].Groups[0] == assumedStrength {
		b.Note += " Strength moves a force because it decides which grip is best."
	}
	b.Title, b.Note = words.NoBreak(b.Title), strings.TrimSpace(b.Note)
	return b
}

// varying names the demand; a force by body weight, as heavy people's is larger by their weight, which is
// no part of it.
func (d *Drivers) varying() string {
	if d.Of.Unit == "BW" {
		return words.Label(d.Of) + " in body weights"
	}
	return words.Label(d.Of)
}

// assumedStrength is the group of what is assumed of strength.
const assumedStrength = "assumptions: strength"

// wholeWords says what makes how much of the spread, the most first.
func wholeWords(b *chart.ShareBars, mostly string) string {
	says := [...]string{chart.FromPeople: "how they are built", chart.FromAssumptions: "what nobody has measured" + mostly, chart.FromModels: "not knowing which model is right"}
	order := []chart.Source{chart.FromPeople, chart.FromAssumptions, chart.FromModels}
	slices.SortStableFunc(order, func(i, j chart.Source) int { return cmp.Compare(b.Whole[j], b.Whole[i]) })
	var parts []string
	for _, of := range order {
		if share := b.Whole[of]; share > 0 {
			parts = append(parts, words.Whole(share)+" "+says[of])
		}
	}
	return strings.Join(parts, ", ")
}

// nearly writes how many times: whole from three on.
func nearly(x float64) string {
	if x < 2.95 {
		return words.Number(x, 1)
	}
	return words.Number(x, 0)
}

// spreadFigure sets how people differ beside what nobody has measured, both in the demand's
// own unit, for each part that has them.
func spreadFigure(d *Drivers) (f chart.Ranges, ok bool) {
	var times []float64 // as much as people differ
	var ph words.Demand
	bodies := 0
	var populations []*DriversPart // one of each
	var models []string
	for i := range d.Parts {
		p := &d.Parts[i]
		s := p.Split
		if s == nil {
			continue
		}
		ph = p.spoken(d.Of).Plainly()
		low, middle, high := s.Quantiles[0].AtCentre, s.Quantiles[1], s.Quantiles[2].AtCentre
		times = append(times, (middle.High-middle.Low)/(high-low))
		over := func(from, to float64) string {
			return words.WithUnit(words.Interval(ph.Bare(from), ph.Bare(to)), ph.Unit)
		}
		one := func(from, to float64, says string) chart.Range {
			return chart.Range{Says: words.NoBreak(says + ": " + over(from, to)), Middle: ph.Scale * middle.AtCentre, Low: ph.Scale * min(from, middle.AtCentre), High: ph.Scale * max(to, middle.AtCentre)}
		}
		people := words.Sexes(p.People)
		f.Groups = append(f.Groups, chart.RangeGroup{Name: words.NoBreak(d.whose(p)), Ranges: [2]chart.Range{
			one(low, high, people+" differ"),
			one(middle.Low, middle.High, p.averageBody(d)+", by what nobody has measured"+mostly(p)),
		}})
		models = names.Once(models, p.Model())
		if !slices.ContainsFunc(populations, func(q *DriversPart) bool { return q.People == p.People }) {
			populations, f.Bodies = append(populations, p), append(f.Bodies, d.body(p)...)
			bodies += s.Bodies
		}
	}
	if len(f.Groups) == 0 {
		return f, false
	}
	if len(f.Groups) == 1 {
		f.Groups[0].Name = ""
	}
	if len(f.Bodies) > mostBodies {
		f.Bodies = nil
	}
	between := "people"
	if len(populations) == 1 {
		between = words.Sexes(populations[0].People)
	}
	f.Axis = words.Capital(strings.TrimPrefix(words.PlainNoun(d.Of), "the ")) + words.InBrackets(ph.Unit) + ", nine in ten; white: the middle"
	f.Title = words.NoBreak(fmt.Sprintf("%s: what nobody has measured could move %s about %s times as far as %s differ", words.Capital(d.holdWords()), words.Label(d.Of),
		words.Over(times, nearly), between))
	model := "as named"
	if len(models) == 1 {
		model = models[0]
	}
	f.Foot = d.foot(model, bodies, populations...)
	return f, true
}

// mostly names what makes most of what nobody has measured, if one thing does.
func mostly(p *DriversPart) string {
	if p.Shares == nil {
		return ""
	}
	_, assumptions, _ := sharesBySource(p)
	if top := ranked(p.Shares, drivers.ShapleyEffect)[0]; sourceOf(p, top.Groups[0]) == chart.FromAssumptions && top.Value > assumptions/2 {
		return " (mostly " + words.DrivenBy(top.Groups[0]) + ")"
	}
	return ""
}

// whose names the people of a part, with the model where several are compared.
func (d *Drivers) whose(p *DriversPart) string {
	text := words.Capital(words.Sexes(p.People))
	return text + d.underModel(p)
}

// screenFigure ranks what moves the demand, as a share of that of the median body.
func screenFigure(d *Drivers, p *DriversPart) chart.ShareBars {
	b := chart.ShareBars{
		Label:   "What each adds to " + words.Label(d.Of) + ", or takes off, from the least to the most of nine in ten " + words.Sexes(p.People) + ", or of what it could be, in per cent of the median body’s",
		Between: words.Sexes(p.People),
		Bodies:  d.body(p),
		Foot:    d.foot(p.Model(), int(p.Screen.Evaluations), p),
	}
	median := math.Abs(p.Function.Median())
	list := rankedEffects(p.Screen.Effects)
	less, more := words.Ways(d.Of)
	b.Ways = [2]string{less, more}
	for _, e := range list[:min(mostScreen, len(list))] {
		way := ""
		if math.Abs(e.Mean.Value) > 0.9*e.Absolute.Value { // for nearly all the same
			way = words.Way(e.Mean.Value, more, less)
		}
		b.Rows = append(b.Rows, chart.ShareBar{Way: way, Less: way == less, Label: words.DrivenBy(e.Name), Value: e.Absolute.Value / median, Low: e.Absolute.Low / median, High: e.Absolute.High / median, Source: sourceOf(p, e.Name)})
	}
	if n := len(list) - mostScreen; n > 0 {
		b.Note = fmt.Sprintf("The other %d move it by less than the last one here.", n)
	}
	first := &b.Rows[0]
	counts := "counts most for " + words.Label(d.Of)
	if d.Of == hold.Difficulty {
		counts = "counts most"
	}
	counts += ": " + words.Whole(first.Value) + " " + cmp.Or(first.Way, less+" or "+more) + " from the least to the most"
	if first.Source == chart.FromPeople {
		counts += " of nine in ten"
	}
	b.Title = words.NoBreak(fmt.Sprintf("%s, %s: of %d body measures and assumptions %s %s", words.Capital(d.holdWords()), words.Sexes(p.People), len(list), first.Label, counts))
	return b
}

func alongFigure(d *Drivers, p *DriversPart) curves.Along {
	c, ph := p.Along, p.spoken(d.Of).Plainly()
	scaled := func(values []float64, by float64) []float64 {
		return floats.ScaleTo(make([]float64, len(values)), by, values)
	}
	unit := words.InBrackets(ph.Unit)
	last := len(c.X) - 1
	of := alongWords(p)
	a := curves.Along{
		XLabel: words.Capital(traitWords(c.Trait)), YLabel: words.Capital(strings.TrimPrefix(ph.Noun, "the ")) + unit,
		Curve:  curves.Series{Name: "average " + of.one + " of that " + of.name, X: scaled(c.X, traitScale(c.Trait)), Y: scaled(c.Mean, ph.Scale), Low: scaled(c.Low, ph.Scale), High: scaled(c.High, ph.Scale)},
		Spread: "nine in ten " + of.people,
		Ends:   true, Decimals: [2]int{1, ph.Decimals()},
		Bodies: d.body(p),
		Foot:   d.foot(p.Model(), c.N, p),
	}
	if c.Trait.Unit() == "" {
		a.Decimals[0] = 3
	}
	if c.Alone != nil {
		a.Alone, a.AloneName = scaled(c.Alone, ph.Scale), "the same "+of.one+", only "+of.more
	}
	if d.Of == hold.Difficulty && p.Models[0].Statics == hold.Equilibrium {
		a.YLabel = "Times the strength of an untrained person of that sex, size and age"
	}
	a.Foot.Assumptions = "central values"
	unit = unitOf(c.Trait)
	a.Says = fmt.Sprintf("On average %s at %s and %s at %s", ph.Bare(c.Mean[0]), traitNumber(c.Trait, c.X[0])+unit, ph.Bare(c.Mean[last]), traitNumber(c.Trait, c.X[last])+unit)
	if c.Alone != nil {
		a.Says += "; " + a.AloneName + ": " + ph.Bare(c.Alone[0]) + " and " + ph.Bare(c.Alone[last])
	}
	a.Says = words.NoBreak(a.Says + ".")
	a.Title = words.NoBreak(alongTitle(d, p))
	return a
}

// unitOf stands behind a number of a trait.
func unitOf(trait body.Quantity) string {
	if trait.Unit() == "m" {
		return " cm"
	}
	return ""
}

// alongWords are how a chart along a trait speaks of it and of the people.
func alongWords(p *DriversPart) (of struct{ people, one, name, more, by string }) {
	of.people, of.one, of.name = words.Sexes(p.People), words.UntrainedOf(p.population()).One, words.Plain(p.Along.Trait.String())
	of.more = "a greater " + of.name
	trait, first, last := p.Along.Trait, p.Along.X[0], p.Along.X[len(p.Along.X)-1]
	of.by = of.name + " " + traitNumber(trait, last) + unitOf(trait) + " instead of " + traitNumber(trait, first)
	if t, ok := body.ParseTrait(p.Along.Trait.String()); ok && t.Info().More != "" {
		of.more = t.Info().More + " " + t.Info().Noun
		if t.Info().Unit == "m" {
			of.by = t.Info().Noun + " " + words.Rough(last-first, units.Length, words.Metric) + " " + t.Info().More
		}
	}
	return of
}

// alongTitle says how it is for those who have more of a trait than others, and what that
// alone does.
func alongTitle(d *Drivers, p *DriversPart) string {
	c, ways, of := p.Along, words.SizesOf(d.Of, p.Models[0].Statics), alongWords(p)
	last, label := len(c.X)-1, words.Label(d.Of)
	change := func(values []float64) float64 { return 100 * (values[last]/values[0] - 1) }
	by, hold := change(c.Mean), d.holdWords()
	same := math.Abs(c.Mean[last]-c.Mean[0]) <= 2*math.Hypot(c.StandardError[0], c.StandardError[last])
	size := func(percent float64) string { return words.Percent(math.Abs(percent)/100, 0) }
	weighs := strings.HasPrefix(d.Of.Unit, "BW") // forces and moments are needed, angles and lengths are not
	var text string
	switch {
	case same && ways.Hard:
		text = fmt.Sprintf("the %s is equally hard for %s with %s", hold, of.people, of.by)
	case same:
		text = fmt.Sprintf("the %s of the %s is the same for %s with %s", label, hold, of.people, of.by)
	case ways.Hard:
		text = fmt.Sprintf("the %s is %s for %s with %s", hold, ways.Plainly(by, 0), of.people, of.by)
	case !weighs:
		text = fmt.Sprintf("the %s of the %s is %s for %s with %s", label, hold, ways.Plainly(by, 0), of.people, of.by)
	default:
		text = fmt.Sprintf("%s with %s need %s %s %s in the %s", of.people, of.by, size(by), words.Way(by, "more", "less"), label, hold)
	}
	if c.Alone != nil {
		alone := change(c.Alone)
		says := size(alone) + " " + words.Way(alone, "more", "less")
		if ways.Hard || !weighs {
			says = ways.Plainly(alone, 0)
		}
		if math.Abs(alone) < 0.5 {
			says = "next to nothing"
		}
		text += "; that alone, " + says
	}
	return words.Capital(text)
}

// A chart of what one unit is worth sets so many bodies side by side, and shows so many
// rows.
const (
	mostBodies = 3
	mostWorth  = 6
)

// worthFigures are the charts of what one unit is worth, for each model the bodies of all
// parts.
func worthFigures(d *Drivers) []draw.Named {
	var figures []draw.Named
	var models []string
	of := map[string][]*DriversPart{}
	for i := range d.Parts {
		if p := &d.Parts[i]; p.Worth != nil {
			models = names.Once(models, p.Models[0].String())
			of[p.Models[0].String()] = append(of[p.Models[0].String()], p)
		}
	}
	for _, model := range models {
		k := 0
		for parts := range slices.Chunk(of[model], mostBodies) {
			name := "worth-" + draw.FileName(model)
			if k++; k > 1 {
				name += fmt.Sprintf("-%d", k)
			}
			figures = append(figures, draw.Named{Name: name, Figure: worthFigure(d, parts)})
		}
	}
	return figures
}

// worthFigure shows what one unit is worth to bodies, what matters most first.
func worthFigure(d *Drivers, parts []*DriversPart) chart.Dots {
	ways := words.SizesOf(d.Of, parts[0].Models[0].Statics)
	rows := slices.DeleteFunc(slices.Clone(parts[0].Worth.Rows), func(r scores.Worth) bool { return r.Name == "hand_spacing" })
	at := func(p *DriversPart, name string) *scores.Worth {
		k := slices.IndexFunc(p.Worth.Rows, func(r scores.Worth) bool { return r.Name == name })
		if k < 0 {
			return &scores.Worth{Name: name}
		}
		return &p.Worth.Rows[k]
	}
	most := func(name string) float64 {
		x := 0.0
		for _, p := range parts {
			x = max(x, math.Abs(worthPlace(at(p, name))))
		}
		return x
	}
	slices.SortStableFunc(rows, func(a, b scores.Worth) int { return cmp.Compare(most(b.Name), most(a.Name)) })
	for i := len(rows) - 1; len(rows) > mostWorth; i-- {
		if !slices.Contains(toldWorth, rows[i].Name) {
			rows = slices.Delete(rows, i, i+1)
		}
	}
	f := chart.Dots{
		Own: true, Axis: "Change of " + strings.TrimPrefix(words.PlainNoun(d.Of), "the ") + " (%)", Less: ways.Less, More: ways.More,
		Key:  "Mark: what nobody has measured at its best guess; line: nine in ten of what it could be. Nothing else changes but the best place of the hands.",
		Foot: d.foot(parts[0].Model(), len(parts), parts...),
	}
	var whose []string
	for _, p := range parts {
		whose = append(whose, p.averageBody(d))
		panel := chart.DotPanel{Label: fmt.Sprintf("%s (%s, %s)", words.Capital(p.averageBody(d)), words.Rough(p.Worth.Stature, units.Length, words.Metric), words.Rough(p.Worth.Mass, units.Mass, words.Metric))}
		panel.Label = words.NoBreak(panel.Label)
		for i := range rows {
			row := at(p, rows[i].Name)
			x := worthPlace(row)
			panel.Dots = append(panel.Dots, chart.Dot{Value: x, Low: min(row.Low, row.High), High: max(row.Low, row.High), Before: math.NaN(), Text: words.OneLine(ways.Plainly(x, 1)),
				Range: ways.Between(row.Low, row.High)})
		}
		if p.Worth.Unable > 0 {
			f.Key += " " + words.Capital(p.averageBody(d)) + " cannot take the posture in " + p.unable() + ", which are left out."
		}
		f.Panels = append(f.Panels, panel)
		f.Bodies = append(f.Bodies, d.body(p)...)
	}
	for i := range rows {
		name, share, cut := strings.Cut(worthOfWhat(&rows[i], parts[0].Worth.Working), ", ")
		if f.Names = append(f.Names, words.NoBreak(name)); cut { // it would be a row of two lines
			f.Key += " " + words.NoBreak(words.Capital(name)+": "+share+".")
		}
	}
	f.Title = worthTitle(d, parts, rows, at, &ways)
	f.Foot.People = "one body each, the medians of " + f.Foot.People
	if parts[0].Person != "" {
		f.Foot.People = words.And(whose) + ", the rest as in similar people"
	}
	return f
}

// averageBody names the body that a part is about.
func (p *DriversPart) averageBody(d *Drivers) string {
	if p.Person != "" {
		return p.Person
	}
	if len(d.Where) > 0 {
		return "the median " + words.UntrainedOf(p.population()).One + " of those selected"
	}
	average, _ := words.English.Average(words.UntrainedOf(p.population()))
	return average
}

// worthTitle says what matters most, and whether arms do, of which most is said.
func worthTitle(d *Drivers, parts []*DriversPart, rows []scores.Worth, at func(*DriversPart, string) *scores.Worth, ways *words.Sizes) string {
	places := func(name string) []float64 {
		return names.Each(parts, func(p *DriversPart) float64 { return worthPlace(at(p, name)) })
	}
	first := places(rows[0].Name)
	what, _, _ := strings.Cut(worthOfWhat(&rows[0], parts[0].Worth.Working), ",")
	way := words.Way(first[0], ways.More, ways.Less)
	for i, x := range first {
		first[i] = math.Abs(x)
	}
	size := words.Over(first, func(x float64) string {
		return words.Percent(x/100, map[bool]int{true: 0, false: 1}[x >= 1.5])
	})
	text := fmt.Sprintf("%s makes the %s %s %s", what, d.holdWords(), size, way)
	if d.Of != hold.Difficulty {
		text = fmt.Sprintf("%s makes the %s %s %s", what, d.subject(), size, way)
	}
	if arms := places("arm_length"); rows[0].Name != "arm_length" && !slices.ContainsFunc(arms, func(x float64) bool { return math.Abs(x) >= 0.5 }) {
		most := 0.0 // by all that nobody has measured
		for _, p := range parts {
			row := at(p, "arm_length")
			most = max(most, math.Abs(worthPlace(row)), math.Abs(row.Low), math.Abs(row.High))
		}
		text += "; 1\u00a0cm of arm changes it by at most " + words.Percent(most/100, 1)
	}
	return words.NoBreak(words.Capital(text))
}
