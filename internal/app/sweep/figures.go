package sweep

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"unicode"

	"counterpoise/internal/chart"
	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/internal/words"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/sweep"
)

// mostFigures is how many charts one demand may have.
const mostFigures = 12

// Figures returns the charts of the sweep: over one axis lines, over two a heat
// map, or lines of several colours where one axis is a choice of few names; with
// more axes one chart for every combination of the others, as long as these are
// few; points of a quasi-random design against every axis. A chart that would
// show nothing is left out.
func (c *Sweep) Figures() []chart.Named {
	s := c.study
	if len(c.points) == 0 {
		return nil
	}
	var figures []chart.Named
	for d := range s.Demands {
		if !c.extremes[d].any {
			continue
		}
		name := fileWord(s.Demands[d].String())
		if s.Design == sweep.QuasiRandom {
			for i := range s.Axes[:min(len(s.Axes), mostFigures)] {
				figures = append(figures, chart.Named{Name: name + "-against-" + fileWord(s.Axes[i].Of), Figure: c.scatter(d, i)})
			}
			continue
		}
		combinations := 1
		for i := 2; i < len(s.Axes); i++ {
			combinations *= s.Axes[i].Len()
		}
		if combinations > mostFigures {
			continue
		}
		for k := range combinations {
			if f, ok := c.figure(d, k, combinations); ok {
				file := name
				if rest := c.rest(k); rest != "" {
					file += "-" + fileWord(rest)
				}
				figures = append(figures, chart.Named{Name: file, Figure: f})
			}
		}
	}
	return figures
}

// fileWord turns words into a part of a file name.
func fileWord(text string) string {
	return strings.Join(strings.FieldsFunc(strings.ReplaceAll(text, "−", "minus "), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '.'
	}), "-")
}

// rest names the k-th combination of the axes after the second.
func (c *Sweep) rest(k int) string {
	s := c.study
	var list []string
	for i := len(s.Axes) - 1; i >= 2; i-- {
		a := &s.Axes[i]
		x := float64(k % a.Len())
		if !a.Named() {
			x = a.Values[k%a.Len()]
		}
		k /= a.Len()
		list = append([]string{coordinate(a, coordinateText(a, x))}, list...)
	}
	return strings.Join(list, ", ")
}

// figure shows a demand over the first two axes at the k-th combination of the
// others.
func (c *Sweep) figure(d, k, combinations int) (chart.Figure, bool) {
	s := c.study
	first := &s.Axes[0]
	if len(s.Axes) == 1 {
		series := c.series(d, first, func(i int) *sweepPoint { return &c.points[i] })
		if !anyNumber(series.Y) {
			return nil, false
		}
		return c.lines(d, first, []chart.Series{series}, ""), true
	}
	second := &s.Axes[1]
	point := func(i, j int) *sweepPoint { return &c.points[(i*second.Len()+j)*combinations+k] }
	rest := c.rest(k)
	switch {
	case second.Named() && second.Len() <= chart.MostCurves:
		return c.severalLines(d, first, second, point, rest)
	case first.Named() && first.Len() <= chart.MostCurves:
		return c.severalLines(d, second, first, func(i, j int) *sweepPoint { return point(j, i) }, rest)
	}
	h := chart.Heat{X: c.heatAxis(first), Y: c.heatAxis(second), Label: c.label(d), Foot: c.foot()}
	columns, rows := order(first), order(second)
	some, e := false, sweepExtremes{}
	for _, j := range rows {
		var row []float64
		for _, i := range columns {
			p := point(i, j)
			row = append(row, p.central[d])
			some = some || p.central[d] == p.central[d]
			e.add(p.central[d], p.at)
		}
		h.Value = append(h.Value, row)
	}
	finding, ok := c.bodyFinding(d, &e, 2)
	if !ok {
		finding = c.runs(d, &e, func(at []float64) string { return c.at(at[:2]) })
	}
	h.Title = also(c.ofHold(finding), rest)
	return h, some
}

// ofHold puts the hold before a finding, if there is but one.
func (c *Sweep) ofHold(finding string) string {
	if c.swept("hold") {
		return words.NoBreak(finding)
	}
	return words.NoBreak(c.study.Base.Hold.Title + ": " + words.Within(finding))
}

// bodyFinding says by how much bodies changed along the first axes need less than the body
// as it is, or more where none needs less; false where that is not what the axes are, or
// nothing comes of it.
func (c *Sweep) bodyFinding(d int, e *sweepExtremes, axes int) (string, bool) {
	demand := c.study.Demands[d]
	if demand != hold.Difficulty && demand.Unit != "BW" && demand.Unit != "BW·m" {
		return "", false // of an angle nobody thinks in per cent
	}
	base := math.NaN()
	for i := range c.points {
		p := &c.points[i]
		same := slices.Equal(p.at[axes:], e.leastAt[axes:])
		if same && !slices.ContainsFunc(p.at[:axes], func(x float64) bool { return x != 0 }) {
			base = p.central[d]
		}
	}
	for _, end := range []struct {
		value float64
		at    []float64
	}{{e.least, e.leastAt}, {e.greatest, e.greatesAt}} {
		by := 100 * (end.value/base - 1)
		var parts []string
		for i := range axes {
			a := &c.study.Axes[i]
			name, changed := strings.CutPrefix(a.Of, "change.")
			t, ok := body.ParseTrait(name)
			if !changed || !ok || a.Named() || t.Info().More == "" {
				return "", false
			}
			if end.at[i] != 0 {
				parts = append(parts, words.Way(end.at[i], t.Info().More, t.Info().Less)+" "+t.Info().Noun)
			}
		}
		if !(math.Abs(by) >= 0.5) || len(parts) == 0 || math.IsInf(by, 0) {
			continue
		}
		text := words.And(parts) + " " + words.Way(by, "raise", "lower") + " " + words.PlainNoun(demand) + " by up to " + words.Whole(math.Abs(by)/100)
		if demand == hold.Difficulty {
			less, more := words.Ways(demand)
			text = words.And(parts) + " make it up to " + words.Whole(math.Abs(by)/100) + " " + words.Way(by, more, less)
		}
		return text, true
	}
	return "", false
}

// order returns the indices of an axis' values in ascending order; of names as
// they are.
func order(a *sweep.Axis) []int {
	indices := make([]int, a.Len())
	for i := range indices {
		indices[i] = i
	}
	if !a.Named() {
		sort.Slice(indices, func(i, j int) bool { return a.Values[indices[i]] < a.Values[indices[j]] })
	}
	return indices
}

// shown turns a number of an axis into the unit in which axes are labelled.
func shown(a *sweep.Axis) (factor float64, unit string) {
	factor, unit = AxisScale(a)
	if unit == "m" {
		return 100, "cm"
	}
	return factor, unit
}

func axisLabel(a *sweep.Axis) string {
	label := words.Capital(axisNounOf(a))
	if _, unit := shown(a); unit != "" && !a.Named() {
		label += " (" + unit + ")"
	}
	return label
}

func (c *Sweep) heatAxis(a *sweep.Axis) chart.Axis {
	axis := chart.Axis{Label: axisLabel(a), Names: a.Names}
	if !a.Named() {
		factor, _ := shown(a)
		for _, i := range order(a) {
			axis.Numbers = append(axis.Numbers, words.Tidy(a.Values[i]*factor))
		}
	}
	return axis
}

// series is a demand along an axis, point giving the point at each of its values.
func (c *Sweep) series(d int, a *sweep.Axis, point func(i int) *sweepPoint) chart.Series {
	var s chart.Series
	factor, _ := shown(a)
	for _, i := range order(a) {
		p := point(i)
		x := float64(i)
		if !a.Named() {
			x = words.Tidy(a.Values[i] * factor)
		}
		s.X, s.Y = append(s.X, x), append(s.Y, p.central[d])
		if c.low >= 0 {
			s.Low, s.High = append(s.Low, p.low[d]), append(s.High, p.high[d])
		}
	}
	return s
}

func (c *Sweep) severalLines(d int, along, by *sweep.Axis, point func(i, j int) *sweepPoint, rest string) (chart.Figure, bool) {
	var all []chart.Series
	for j := range by.Len() {
		series := c.series(d, along, func(i int) *sweepPoint { return point(i, j) })
		series.Name = by.Names[j]
		if anyNumber(series.Y) {
			all = append(all, series)
		}
	}
	if len(all) == 0 {
		return nil, false
	}
	return c.lines(d, along, all, rest), true
}

func anyNumber(values []float64) bool {
	return slices.ContainsFunc(values, func(v float64) bool { return v == v })
}

func (c *Sweep) lines(d int, along *sweep.Axis, all []chart.Series, rest string) chart.Lines {
	l := chart.Lines{XLabel: axisLabel(along), YLabel: c.label(d), XNames: along.Names, Series: all, Foot: c.foot()}
	if c.low >= 0 {
		l.Spread = c.spreadWords()
	}
	if len(c.study.Axes) == 1 {
		if finding, ok := c.bodyFinding(d, &c.extremes[d], 1); ok {
			l.Title = c.ofHold(finding)
			return l
		}
	}
	if s := all[0]; len(all) == 1 && along.Names == nil && monotone(s.Y) != 0 {
		last := len(s.Y) - 1
		l.Title = c.ofHold(fmt.Sprintf("The %s %s from %s to %s as the %s goes from %s to %s", c.noun(d), words.Way(float64(monotone(s.Y)), "rises", "falls"),
			c.number(d, s.Y[0]), c.value(d, s.Y[last]), axisNounOf(along), axisText(along, s.X[0]), axisText(along, s.X[last])))
		if rest != "" {
			l.Title += " (" + rest + ")"
		}
		return l
	}
	var e sweepExtremes
	for k, s := range all {
		for i, y := range s.Y {
			e.add(y, []float64{s.X[i], float64(k)})
		}
	}
	l.Title = also(c.ofHold(c.runs(d, &e, func(at []float64) string {
		text := axisText(along, at[0])
		if along.Named() {
			text = along.Names[int(at[0])]
		}
		text = coordinate(along, text)
		if name := all[int(at[1])].Name; name != "" {
			text = name + ", " + text
		}
		return text
	})), rest)
	return l
}

// also adds at what of the other axes a finding is.
func also(title, rest string) string {
	if rest == "" {
		return title
	}
	return title + "; " + rest
}

// axisText writes a number that is in the unit of an axis' label.
func axisText(a *sweep.Axis, x float64) string {
	if _, unit := shown(a); unit != "" {
		return words.Given(x) + "\u00a0" + unit
	}
	return words.Given(x)
}

// monotone returns 1 where values rise throughout, −1 where they fall, else 0.
func monotone(values []float64) int {
	sign := 0
	for i := 1; i < len(values); i++ {
		step := values[i] - values[i-1]
		switch {
		case step > 0 && sign >= 0:
			sign = 1
		case step < 0 && sign <= 0:
			sign = -1
		default:
			return 0
		}
	}
	return sign
}

func (c *Sweep) label(d int) string {
	text := words.Capital(c.statisticWord() + " " + strings.TrimPrefix(words.PlainNoun(c.study.Demands[d]), "the "))
	_, unit := outcome.ColumnUnit(c.study.Demands[d])
	return text + words.InBrackets(strings.NewReplacer("BW·m", "times body weight, at one metre", "BW", "times body weight", "deg", "degrees").Replace(unit))
}

func (c *Sweep) spreadWords() string {
	q := c.study.Quantiles
	return words.OneLine(words.Given(100*q[0])+"–"+words.Typed(100*q[len(q)-1], "%")) + " of bodies"
}

// scatter shows a demand at the points of a quasi-random design against an axis.
func (c *Sweep) scatter(d, i int) chart.Figure {
	a := &c.study.Axes[i]
	factor, _ := shown(a)
	if a.Named() {
		factor = 1
	}
	series := chart.Series{}
	var e sweepExtremes
	for k := range c.points {
		p := &c.points[k]
		series.X, series.Y = append(series.X, p.at[i]*factor), append(series.Y, p.central[d])
		e.add(p.central[d], p.at)
	}
	return chart.Lines{
		Title:  c.ofHold(fmt.Sprintf("Over %s points, the %s runs from %s to %s", words.Count(len(c.points)), c.noun(d), c.number(d, e.least), c.value(d, e.greatest))),
		XLabel: axisLabel(a), YLabel: c.label(d), XNames: a.Names, Scattered: true, Series: []chart.Series{series}, Foot: c.foot(),
	}
}

func (c *Sweep) foot() chart.Foot {
	s := c.study
	model := words.ModelOf(s.Base.Models[0])
	if c.swept("model") {
		model = "as named"
	}
	of := s.Base.Hold.Name
	if c.swept("hold") {
		of = "holds as named"
	}
	if load := words.Load(s.Base.Load); load != "" {
		of += ", " + load
	}
	assumptions := "defaults"
	centre := s.Base.Assumed().Centre
	for id := range assume.Count {
		if centre[id] != id.Info().Default || c.swept("assume."+id.String()) {
			assumptions = "as set in the sweep"
		}
	}
	people := c.people()
	if c.swept("people") {
		people = "as named, of " + people
	}
	return chart.Foot{People: people, N: s.N, Model: of + ", " + model, Assumptions: assumptions,
		Source: provenance.Credit() + "; bodies drawn from " + words.Credits(words.SurveyNames(c.groups())) + ". " + words.NotValidated}
}
