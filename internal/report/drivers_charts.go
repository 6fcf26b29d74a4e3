package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/chart"
	"counterpoise/internal/words"
	"counterpoise/sim/body"
	"counterpoise/sim/drivers"
	"counterpoise/sim/hold"
)

// mostBars is how many bars a chart shows: as many as fit on a slide.
// Of a screening it shows the first few: what follows moves little.
const (
	mostBars   = 12
	mostScreen = 8
)

// DriversFigures returns the charts of what was found: for each part bars of its
// shares, its screening and its curve along a trait; and one chart that sets how people
// differ beside what nobody has measured, for all parts.
func DriversFigures(d *Drivers) []Figure {
	var figures []Figure
	for i := range d.Parts {
		p := &d.Parts[i]
		if p.Shares != nil {
			figures = append(figures, Figure{"shares-" + p.FileName(), sharesFigure(d, p, p.Shares, drivers.ShapleyEffect)})
		}
		if p.Sobol != nil {
			figures = append(figures, Figure{"sobol-" + p.FileName(), sharesFigure(d, p, p.Sobol, drivers.Total)})
		}
		if p.Screen != nil {
			figures = append(figures, Figure{"screen-" + p.FileName(), screenFigure(d, p)})
		}
		if p.Along != nil {
			figures = append(figures, Figure{"along-" + fileName(strings.ReplaceAll(p.Along.Trait.String(), "/", "-over-")) + "-" + p.FileName(), alongFigure(d, p)})
		}
	}
	figures = append(figures, worthFigures(d)...)
	if spread, ok := spreadFigure(d); ok {
		figures = append(figures, Figure{"people-and-unmeasured", spread})
	}
	return figures
}

func (d *Drivers) foot(model string, n int, parts ...*DriversPart) chart.Foot {
	from, people, populations := "bodies drawn", make([]string, len(parts)), make([]string, len(parts))
	for i, p := range parts {
		people[i], populations[i] = p.peopleNamed(), surveyOf(p.population())
		if p.population().Resampled() {
			from = "what was not measured on people drawn"
		}
	}
	f := chart.Foot{
		People: d.peopleWords(strings.Join(people, " and ")), N: n, Model: model, Assumptions: "over their ranges",
		Source: "counterpoise; " + from + " from " + words.Credits(populations) + ". " + NotValidated,
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

func sharesFigure(d *Drivers, p *DriversPart, r *drivers.Result, kind drivers.Kind) chart.ShareBars {
	b := chart.ShareBars{
		XLabel: "Share of what makes it differ (%)",
		Note:   "What several have in common is split between them.",
		Foot:   d.foot(p.Model(), int(r.Evaluations), p),
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
		b.Title = fmt.Sprintf("%s: %s matters most, %s alone and with others", words.Capital(d.subject()), b.Rows[0].Label, words.Whole(clampShare(list[0].Value)))
		b.Note = "What each does alone and together with others, so that all make more than 100\u00a0%; over " + p.SobolOf + "."
	} else {
		people, assumptions, models := sharesBySource(p)
		b.Title = d.why(words.Whole(clampShare(people)), words.Whole(clampShare(assumptions)))
		if models > 0 {
			b.Title += ", " + words.Whole(clampShare(models)) + " which model is right"
		}
	}
	switch {
	case len(small) > mostBars:
		b.Note += fmt.Sprintf(" The %d smallest are left out: %s together.", len(small), words.NoBreak(words.Whole(clampShare(rest))))
	case len(small) > 0:
		b.Note += " Next to nothing: " + words.And(small) + "."
	}
	b.Title = words.NoBreak(b.Title)
	return b
}

// why says how much is people and how much what nobody has measured.
func (d *Drivers) why(people, assumptions string) string {
	return words.NoBreak(fmt.Sprintf("Why the %s differs: %s is people, %s what nobody has measured", d.subject(), people, assumptions))
}

// spreadFigure sets how people differ beside what nobody has measured, both in the demand's
// own unit, for each part that has them.
func spreadFigure(d *Drivers) (f chart.Dots, ok bool) {
	f = chart.Dots{Panels: make([]chart.DotPanel, 1), Key: "Dot: the middle; line: nine in ten of the people, or of what nobody has measured about somebody in their middle."}
	var people, unmeasured []float64
	var ph words.Demand
	bodies := 0
	var populations []*DriversPart // one of each
	for i := range d.Parts {
		p := &d.Parts[i]
		s := p.Split
		if s == nil {
			continue
		}
		ph = p.spoken(d.Of).Plainly()
		low, middle, high := s.Quantiles[0].AtCentre, s.Quantiles[1], s.Quantiles[2].AtCentre
		people, unmeasured = append(people, high-low), append(unmeasured, middle.High-middle.Low)
		for _, row := range []struct {
			name      string
			low, high float64
		}{{"people differ", low, high}, {"what nobody has measured", middle.Low, middle.High}} {
			f.Names = append(f.Names, words.NoBreak(d.whose(p)+": "+row.name))
			f.Panels[0].Dots = append(f.Panels[0].Dots, chart.Dot{Value: ph.Scale * middle.AtCentre, Low: ph.Scale * min(row.low, middle.AtCentre), High: ph.Scale * max(row.high, middle.AtCentre),
				Before: math.NaN(), Text: words.OneLine(words.Interval(ph.Bare(row.low), ph.Bare(row.high)))})
		}
		if !slices.ContainsFunc(populations, func(q *DriversPart) bool { return q.People == p.People }) {
			populations = append(populations, p)
			bodies += s.Bodies
		}
	}
	if len(f.Names) == 0 {
		return f, false
	}
	f.Axis = words.Capital(d.subject()) + inBrackets(ph.Unit)
	how := "more than"
	if slices.Max(unmeasured) < slices.Min(people) {
		how = "less than"
	} else if slices.Min(unmeasured) <= slices.Max(people) {
		how = "about as much as"
	}
	f.Title = words.NoBreak(fmt.Sprintf("%s: what nobody has measured moves it %s people differ, %s against %s", words.Capital(d.subject()), how, words.Over(unmeasured, ph.Number), words.Over(people, ph.Number)))
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
		Note:   "Full bars: acts much alike on everybody. Pale bars: how much depends on the rest.",
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
	c, ph := p.Along, p.spoken(d.Of).Plainly()
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
		Curve:  chart.Series{Name: "people in the middle", X: scaled(c.X, traitScale(c.Trait)), Y: scaled(c.Mean, ph.Scale), Low: scaled(c.Low, ph.Scale), High: scaled(c.High, ph.Scale)},
		Spread: "nine in ten people",
		Foot:   d.foot(p.Model(), c.N, p),
	}
	if c.Alone != nil {
		a.Alone, a.AloneName = scaled(c.Alone, ph.Scale), "one body, only this changed"
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
	c, ways := p.Along, wordsOf(d.Of, p.Models[0].Statics)
	last := len(c.X) - 1
	more := "more " + words.Plain(c.Trait.String())
	if t, ok := body.ParseTrait(c.Trait.String()); ok && t.Info().More != "" {
		more = t.Info().More + " " + t.Info().Noun
	}
	change := func(values []float64) float64 { return 100 * (values[last]/values[0] - 1) }
	how := ways.plainly(change(c.Mean), 0)
	if math.Abs(c.Mean[last]-c.Mean[0]) <= 2*math.Hypot(c.StandardError[0], c.StandardError[last]) {
		how = "no difference beyond chance"
	}
	text := fmt.Sprintf("%s of the %s: %s with %s, %s", words.Capital(strings.TrimPrefix(words.PlainNoun(d.Of), "the ")), d.holdWords(), words.Sexes(p.People), more, how)
	if ways.hard {
		text = fmt.Sprintf("%s with %s have the %s %s", words.Capital(words.Sexes(p.People)), more, d.holdWords(), how)
		if strings.HasPrefix(how, "no ") {
			text = fmt.Sprintf("%s with %s: %s in the %s", words.Capital(words.Sexes(p.People)), more, how, d.holdWords())
		}
	}
	if c.Alone != nil {
		alone := ways.plainly(change(c.Alone), 0)
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
