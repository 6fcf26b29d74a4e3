package drivers

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"counterpoise/internal/chart"
	"counterpoise/internal/provenance"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/body"
	"counterpoise/sim/drivers"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario/scores"
)

// mostBars is how many bars a chart shows: as many as fit on a slide.
// Of a screening it shows the first few: what follows moves little.
const (
	mostBars   = 12
	mostScreen = 8
)

// DriversFigures returns the charts of what was found: for each part bars of its
// shares, its screening and its curve along a trait; and one chart that sets people
// against assumptions for all parts.
func DriversFigures(d *Drivers) []chart.Named {
	var figures []chart.Named
	for i := range d.Parts {
		p := &d.Parts[i]
		if p.Shares != nil {
			figures = append(figures, chart.Named{Name: "shares-" + p.FileName(), Figure: sharesFigure(d, p, p.Shares, drivers.ShapleyEffect)})
		}
		if p.Sobol != nil {
			figures = append(figures, chart.Named{Name: "sobol-" + p.FileName(), Figure: sharesFigure(d, p, p.Sobol, drivers.Total)})
		}
		if p.Screen != nil {
			figures = append(figures, chart.Named{Name: "screen-" + p.FileName(), Figure: screenFigure(d, p)})
		}
		if p.Along != nil {
			figures = append(figures, chart.Named{Name: "along-" + chart.FileName(strings.ReplaceAll(p.Along.Trait.String(), "/", "-over-")) + "-" + p.FileName(), Figure: alongFigure(d, p)})
		}
	}
	figures = append(figures, worthFigures(d)...)
	if split, ok := splitFigure(d); ok {
		figures = append(figures, chart.Named{Name: "people-against-assumptions", Figure: split})
	}
	return figures
}

func (d *Drivers) foot(model string, n int, parts ...*DriversPart) chart.Foot {
	from, people, populations := "bodies drawn", make([]string, len(parts)), make([]string, len(parts))
	for i, p := range parts {
		people[i], populations[i] = p.peopleNamed(), words.SurveyName(p.population())
		if p.population().Resampled() {
			from = "what was not measured on people drawn"
		}
	}
	f := chart.Foot{
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

// What the lines with ends of bars are.
const computed = " Lines with ends: how exactly it was computed (95\u00a0%)."

func sharesFigure(d *Drivers, p *DriversPart, r *drivers.Result, kind drivers.Kind) chart.ShareBars {
	b := chart.ShareBars{
		XLabel: "Share of what makes it differ (%)",
		Note:   "What several have in common is split between them, so that all make 100\u00a0%." + computed,
		Foot:   d.foot(p.Model(), int(r.Evaluations), p),
	}
	list := ranked(r, kind)
	rest := 0.0
	for k, i := range list {
		if k >= mostBars {
			rest += i.Value
			continue
		}
		b.Rows = append(b.Rows, chart.ShareBar{Label: words.DrivenBy(i.Groups[0]), Value: i.Value, Low: i.Low, High: i.High, Source: sourceOf(p, i.Groups[0])})
	}
	if kind == drivers.Total {
		b.Title = fmt.Sprintf("%s: %s matters most, %s alone and with others", words.Capital(d.subject()), b.Rows[0].Label, words.Whole(clampShare(list[0].Value)))
		b.Note = "What each does alone and together with others, so that all make more than 100\u00a0%; over " + p.SobolOf + "." + computed
	} else {
		people, assumptions, models := sharesBySource(p)
		b.Title = d.why(words.Whole(clampShare(people)), words.Whole(clampShare(assumptions)))
		if models > 0 {
			b.Title += ", " + words.Whole(clampShare(models)) + " which model is right"
		}
	}
	if n := len(list) - mostBars; n > 0 {
		b.Note += fmt.Sprintf(" The %d smallest are left out", n)
		if kind == drivers.ShapleyEffect {
			b.Note += ": " + words.NoBreak(words.Whole(clampShare(rest))) + " together"
		}
		b.Note += "."
	}
	b.Title = words.NoBreak(b.Title)
	return b
}

// why says how much is people and how much what nobody has measured.
func (d *Drivers) why(people, assumptions string) string {
	return words.NoBreak(fmt.Sprintf("Why the %s differs: %s is people, %s what nobody has measured", d.subject(), people, assumptions))
}

// splitFigure sets people against assumptions, a bar for each part that has them.
func splitFigure(d *Drivers) (chart.Split, bool) {
	var f chart.Split
	var people, assumptions []float64
	bodies := 0
	for i := range d.Parts {
		p := &d.Parts[i]
		s := p.Split
		if s == nil {
			continue
		}
		ph := p.spoken(d.Of)
		q := s.Quantiles[1]
		note := fmt.Sprintf("Half of people have less than %s", ph.Number(q.AtCentre))
		if q.Low != q.High {
			note += fmt.Sprintf("; what nobody has measured leaves it between %s and %s", ph.Number(q.Low), ph.Number(q.High))
		}
		f.Rows = append(f.Rows, chart.SplitRow{Label: d.whose(p), People: s.People.Value, Assumptions: s.Assumptions.Value, Interaction: s.Interaction.Value, Note: words.NoBreak(note)})
		people, assumptions = append(people, s.People.Value), append(assumptions, s.Assumptions.Value)
		f.XLabel = "Share of what makes it differ (%)"
	}
	if len(f.Rows) == 0 {
		return f, false
	}
	between := func(shares []float64) string {
		low, high := shares[0], shares[0]
		for _, x := range shares {
			low, high = math.Min(low, x), math.Max(high, x)
		}
		return words.Over([]float64{clampShare(low), clampShare(high)}, words.Whole)
	}
	f.Title = d.why(between(people), between(assumptions))
	seen := map[string]bool{}
	var populations []*DriversPart // one of each
	for i := range d.Parts {
		if !seen[d.Parts[i].People] {
			seen[d.Parts[i].People] = true
			populations = append(populations, &d.Parts[i])
			if d.Parts[i].Split != nil {
				bodies += d.Parts[i].Split.Bodies
			}
		}
	}
	f.Foot = d.foot("as named at each bar", bodies, populations...)
	return f, true
}

// whose names the people of a part, with the model where several are compared.
func (d *Drivers) whose(p *DriversPart) string {
	text := words.Capital(words.Sexes(p.People))
	if slices.ContainsFunc(d.Parts, func(q DriversPart) bool { return q.Model() != p.Model() }) {
		text += ", " + p.Model()
	}
	return text
}

// unalike is by how much of a change it must vary from body to body to be called so.
const unalike = 0.5

// screenFigure ranks what moves the demand, as a share of that of the median body.
func screenFigure(d *Drivers, p *DriversPart) chart.ShareBars {
	b := chart.ShareBars{
		XLabel: "Change of the " + strings.TrimPrefix(words.PlainNoun(d.Of), "the ") + " from the least to the most of each (%)",
		Note:   "Full bars: acts much alike on everybody. Pale bars: how much depends on the rest." + computed,
		Foot:   d.foot(p.Model(), int(p.Screen.Evaluations), p),
	}
	median := math.Abs(p.Function.Median())
	list := rankedEffects(p.Screen.Effects)
	for _, e := range list[:min(mostScreen, len(list))] {
		row := chart.ShareBar{Label: words.DrivenBy(e.Name), Value: e.Absolute.Value / median, Low: e.Absolute.Low / median, High: e.Absolute.High / median, Source: sourceOf(p, e.Name)}
		if e.Deviation > unalike*e.Absolute.Value {
			row.Varies = "how much depends on the rest"
		}
		b.Rows = append(b.Rows, row)
	}
	if n := len(list) - mostScreen; n > 0 {
		b.Note += fmt.Sprintf(" The other %d move it by less than the last one here.", n)
	}
	b.Title = words.NoBreak(fmt.Sprintf("%s: %s moves it most, by %s from the least to the most", words.Capital(d.subject()), b.Rows[0].Label, words.Whole(b.Rows[0].Value)))
	return b
}

func alongFigure(d *Drivers, p *DriversPart) chart.Along {
	c, ph := p.Along, p.spoken(d.Of)
	name := words.Plain(c.Trait.String())
	scaled := func(values []float64, by float64) []float64 {
		if values == nil {
			return nil
		}
		out := make([]float64, len(values))
		for i, v := range values {
			out[i] = by * v
		}
		return out
	}
	unit := inBrackets(ph.Unit)
	last := len(c.X) - 1
	a := chart.Along{
		XLabel: words.Capital(traitWords(c.Trait)), YLabel: words.Capital(strings.TrimPrefix(ph.Noun, "the ")) + unit,
		X: scaled(c.X, traitScale(c.Trait)), Mean: scaled(c.Mean, ph.Scale), Low: scaled(c.Low, ph.Scale), High: scaled(c.High, ph.Scale),
		Alone: scaled(c.Alone, ph.Scale), AloneName: "the median body, only this changed",
		Foot: d.foot(p.Model(), c.N, p),
	}
	if d.Of == hold.Difficulty && p.Models[0].Statics == hold.Equilibrium {
		a.YLabel = "Times the strength of an untrained person of that sex, size and age"
	}
	a.Foot.Assumptions = "central values"
	unitOf := ""
	if c.Trait.Unit() == "m" {
		unitOf = " cm"
	}
	a.Says = fmt.Sprintf("On average %s at %s of %s and %s", ph.Number(c.Mean[0]), traitNumber(c.Trait, c.X[0])+unitOf, name, ph.Number(c.Mean[last])+" at "+traitNumber(c.Trait, c.X[last])+unitOf)
	if c.Alone != nil {
		a.Says += "; " + a.AloneName + ": " + ph.Number(c.Alone[0]) + " and " + ph.Number(c.Alone[last])
	}
	a.Says = words.NoBreak(a.Says + ".")
	a.Title = words.NoBreak(alongTitle(d, p))
	return a
}

// alongTitle says how it is for those who have more of a trait than others, and what that
// alone does.
func alongTitle(d *Drivers, p *DriversPart) string {
	c, ways := p.Along, words.SizesOf(d.Of, p.Models[0].Statics)
	last := len(c.X) - 1
	more := "more " + words.Plain(c.Trait.String())
	if t, ok := body.ParseTrait(c.Trait.String()); ok && t.Info().More != "" {
		more = t.Info().More + " " + t.Info().Noun
	}
	change := func(values []float64) float64 { return 100 * (values[last]/values[0] - 1) }
	how := ways.Plainly(change(c.Mean), 0)
	if math.Abs(c.Mean[last]-c.Mean[0]) <= 2*math.Hypot(c.StandardError[0], c.StandardError[last]) {
		how = "no difference beyond chance"
	}
	text := fmt.Sprintf("%s of the %s: %s with %s, %s", words.Capital(strings.TrimPrefix(words.PlainNoun(d.Of), "the ")), d.holdWords(), words.Sexes(p.People), more, how)
	if ways.Hard {
		text = fmt.Sprintf("%s with %s have the %s %s", words.Capital(words.Sexes(p.People)), more, d.holdWords(), how)
		if strings.HasPrefix(how, "no ") {
			text = fmt.Sprintf("%s with %s: %s in the %s", words.Capital(words.Sexes(p.People)), more, how, d.holdWords())
		}
	}
	if c.Alone != nil {
		alone := ways.Plainly(change(c.Alone), 0)
		if math.Abs(change(c.Alone)) < 0.5 {
			alone = "next to nothing"
		}
		text += "; " + more + " alone: " + alone
	}
	return text
}

// inBrackets is a unit behind what is measured in it, or nothing.
func inBrackets(unit string) string {
	if unit == "" {
		return ""
	}
	return " (" + unit + ")"
}

// A chart of what one unit is worth sets so many bodies side by side, and shows so many
// rows.
const (
	mostBodies = 3
	mostWorth  = 8
)

// worthFigures are the charts of what one unit is worth, for each model the bodies of all
// parts.
func worthFigures(d *Drivers) []chart.Named {
	var figures []chart.Named
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
			name := "worth-" + chart.FileName(model)
			if k++; k > 1 {
				name += fmt.Sprintf("-%d", k)
			}
			figures = append(figures, chart.Named{Name: name, Figure: worthFigure(d, parts)})
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
		Axis: "Change of " + strings.TrimPrefix(words.PlainNoun(d.Of), "the ") + " (%)", Less: ways.Less, More: ways.More,
		Key:  "Dot: in the middle of what nobody has measured; line: nine in ten of it. Nothing else of the body changes; hands go where it then does best.",
		Foot: d.foot(parts[0].Model(), len(parts), parts...),
	}
	var whose []string
	for _, p := range parts {
		whose = append(whose, p.averageBody())
		panel := chart.DotPanel{Label: fmt.Sprintf("%s (%s, %s)", words.Capital(p.averageBody()), words.Rough(p.Worth.Stature, units.Length, words.Metric), words.Rough(p.Worth.Mass, units.Mass, words.Metric))}
		panel.Label = words.NoBreak(panel.Label)
		for i := range rows {
			row := at(p, rows[i].Name)
			x := worthPlace(row)
			panel.Dots = append(panel.Dots, chart.Dot{Value: x, Low: min(row.Low, row.High), High: max(row.Low, row.High), Before: math.NaN(), Text: words.OneLine(ways.Plainly(x, 1)),
				Range: words.NoBreak(words.Interval(words.SignedEffect(row.Low), words.SignedEffect(row.High)))})
		}
		f.Panels = append(f.Panels, panel)
	}
	for i := range rows {
		f.Names = append(f.Names, words.NoBreak(worthOfWhat(&rows[i], parts[0].Worth.Working)))
	}
	f.Title = worthTitle(d, parts, rows, at, &ways)
	f.Foot.People = "the medians of " + f.Foot.People
	if parts[0].Person != "" {
		f.Foot.People = words.And(whose) + ", the rest as in similar people"
	}
	return f
}

// averageBody names the body that a part is about.
func (p *DriversPart) averageBody() string {
	if p.Person != "" {
		return p.Person
	}
	return "an average " + words.UntrainedOf(p.population()).One
}

// worthTitle says what matters most, and whether arms do, of which most is said.
func worthTitle(d *Drivers, parts []*DriversPart, rows []scores.Worth, at func(*DriversPart, string) *scores.Worth, ways *words.Sizes) string {
	places := func(name string) (list []float64) {
		for _, p := range parts {
			list = append(list, worthPlace(at(p, name)))
		}
		return list
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
		text += "; 1\u00a0cm of arm changes " + map[bool]string{true: "next to nothing", false: "nothing"}[slices.ContainsFunc(arms, func(x float64) bool { return math.Abs(x) >= 0.05 })]
	}
	return words.NoBreak(words.Capital(text))
}
