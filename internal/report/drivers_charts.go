package report

import (
	"fmt"
	"math"
	"strings"

	"counterpoise/internal/chart"
	"counterpoise/internal/words"
	"counterpoise/sim/drivers"
)

// namedPoints is how many inputs a screening chart names.
const namedPoints = 8

// mostBars is how many groups a chart of shares shows: as many as fit on a slide.
const mostBars = 12

// DriversFigures returns the charts of what was found: for each part bars of its
// shares, its screening and its curve along a trait; and one chart that sets people
// against assumptions for all parts.
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
	if split, ok := splitFigure(d); ok {
		figures = append(figures, Figure{"people-against-assumptions", split})
	}
	return figures
}

func (d *Drivers) foot(model string, n int, parts ...*DriversPart) chart.Foot {
	from, people, populations := "bodies drawn", make([]string, len(parts)), make([]string, len(parts))
	for i, p := range parts {
		people[i], populations[i] = p.peopleNamed(), surveyOf(p.population())
		if p.population().Resampled() {
			from = "what was not measured of people drawn"
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
func (d *Drivers) subject(p *DriversPart) string {
	return strings.TrimPrefix(p.spoken(d.Of).Noun, "the ") + " of the " + d.holdWords()
}

func sharesFigure(d *Drivers, p *DriversPart, r *drivers.Result, kind drivers.Kind) (b chart.ShareBars) {
	intervals := words.NoBreak(" Lines with ends: " + words.Percent(r.Confidence, 0) + " intervals.")
	b = chart.ShareBars{
		XLabel: "Share of the variance of the " + d.subject(p) + " (%)",
		Note:   "Shapley effects: they add up to 100\u00a0%." + intervals,
		Foot:   d.foot(p.Model(), int(r.Evaluations), p),
	}
	list := ranked(r, kind)
	rest := 0.0
	for k, i := range list {
		if k >= mostBars {
			rest += i.Value
			continue
		}
		b.Rows = append(b.Rows, chart.ShareBar{Label: words.Plain(i.Groups[0]), Value: i.Value, Low: i.Low, High: i.High, Source: sourceOf(p, i.Groups[0])})
	}
	if n := len(list) - mostBars; n > 0 {
		defer func() {
			b.Note += fmt.Sprintf(" The %d smallest are left out", n)
			if kind == drivers.ShapleyEffect {
				b.Note += ": " + words.NoBreak(words.Share(clampShare(rest))) + " together"
			}
			b.Note += "."
		}()
	}
	if kind == drivers.Total {
		b.Title = words.NoBreak(fmt.Sprintf("%s: %s first, with %s of the variance alone and with others", words.Capital(d.subject(p)), b.Rows[0].Label, words.Share(clampShare(list[0].Value))))
		b.Note = "Total Sobol' indices over " + p.SobolOf + "." + intervals
		return b
	}
	people, assumptions, models := sharesBySource(p)
	switch most := max(people, assumptions, models); most {
	case people:
		b.Title = fmt.Sprintf("%s: %s of the variance is that people differ", words.Capital(d.subject(p)), words.Share(clampShare(people)))
	case assumptions:
		b.Title = fmt.Sprintf("%s: %s of the variance is what nobody measured", words.Capital(d.subject(p)), words.Share(clampShare(assumptions)))
	default:
		b.Title = fmt.Sprintf("%s: %s of the variance is which model is right", words.Capital(d.subject(p)), words.Share(clampShare(models)))
	}
	b.Title = words.NoBreak(b.Title)
	return b
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
			note += fmt.Sprintf("; the assumptions leave it between %s and %s", ph.Number(q.Low), ph.Number(q.High))
		}
		f.Rows = append(f.Rows, chart.SplitRow{Label: p.People + ", " + p.Model(), People: s.People.Value, Assumptions: s.Assumptions.Value, Interaction: s.Interaction.Value, Note: words.NoBreak(note)})
		people, assumptions = append(people, s.People.Value), append(assumptions, s.Assumptions.Value)
		f.XLabel = "Share of the variance of the " + d.subject(p) + " (%)"
	}
	if len(f.Rows) == 0 {
		return f, false
	}
	between := func(shares []float64) string {
		low, high := shares[0], shares[0]
		for _, x := range shares {
			low, high = math.Min(low, x), math.Max(high, x)
		}
		if a, b := words.Share(clampShare(low)), words.Share(clampShare(high)); a != b {
			return a + " to " + b
		}
		return words.Share(clampShare(low))
	}
	f.Title = words.NoBreak(fmt.Sprintf("%s: people make up %s of the variance, what nobody measured %s", words.Capital(d.subject(&d.Parts[0])), between(people), between(assumptions)))
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

func screenFigure(d *Drivers, p *DriversPart) chart.MorrisPlane {
	ph := p.spoken(d.Of)
	unit := inBrackets(ph.Unit)
	m := chart.MorrisPlane{
		XLabel: "Mean magnitude of the change over the whole range of an input" + unit,
		YLabel: "Deviation of the change, by where it is taken" + unit,
		Named:  namedPoints,
		Foot:   d.foot(p.Model(), int(p.Screen.Evaluations), p),
	}
	for _, e := range p.Screen.Effects {
		m.Points = append(m.Points, chart.MorrisPoint{
			Label: words.Plain(e.Name), Absolute: ph.Scale * e.Absolute.Value, Low: ph.Scale * e.Absolute.Low, High: ph.Scale * e.Absolute.High,
			Deviation: ph.Scale * e.Deviation, Source: sourceOf(p, e.Name),
		})
	}
	top := rankedEffects(p.Screen.Effects)[0]
	m.Title = words.NoBreak(fmt.Sprintf("%s: %s moves it most, by %s over its range", words.Capital(d.subject(p)), words.Plain(top.Name), ph.Number(top.Absolute.Value)))
	return m
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
		Alone: scaled(c.Alone, ph.Scale), AloneName: "the median body, this alone changed",
		Foot: d.foot(p.Model(), c.N, p),
	}
	a.Foot.Assumptions = "central values"
	a.Title = words.NoBreak(fmt.Sprintf("From the least %s to the most, people go from %s to %s", name, ph.Number(c.Mean[0]), ph.Number(c.Mean[last])))
	if c.Alone != nil {
		a.Title = words.NoBreak(fmt.Sprintf("%s; that alone changed, from %s to %s", a.Title, ph.Number(c.Alone[0]), ph.Number(c.Alone[last])))
	}
	return a
}

// inBrackets is a unit behind what is measured in it, or nothing.
func inBrackets(unit string) string {
	if unit == "" {
		return ""
	}
	return " (" + unit + ")"
}
