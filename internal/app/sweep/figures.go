package sweep

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"unicode"

	"counterpoise/internal/bodies"
	"counterpoise/internal/chart/curves"
	"counterpoise/internal/draw"
	"counterpoise/internal/freebody"
	"counterpoise/internal/provenance"
	"counterpoise/internal/words"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/sweep"
)

// mostFigures is how many charts one demand may have.
const mostFigures = 12

// Figures returns the charts of the sweep: over one axis lines, over two a heat
// map, or lines of several colours where one axis is a choice of few names; with
// more axes one chart for every combination of the others, as long as these are
// few; points of a quasi-random design against every axis. A chart that would
// show nothing is left out.
func (c *Sweep) Figures() []draw.Named {
	s := c.study
	if len(c.points) == 0 {
		return nil
	}
	var figures []draw.Named
	for d := range s.Demands {
		if !c.extremes[d].any {
			continue
		}
		name := fileWord(s.Demands[d].String())
		if s.Design == sweep.QuasiRandom {
			for i := range s.Axes[:min(len(s.Axes), mostFigures)] {
				figures = append(figures, draw.Named{Name: name + "-against-" + fileWord(s.Axes[i].Of), Figure: c.scatter(d, i)})
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
				figures = append(figures, draw.Named{Name: file, Figure: f})
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
		list = append([]string{coordinate(a, x)}, list...)
	}
	return strings.Join(list, ", ")
}

// figure shows a demand over the first two axes at the k-th combination of the
// others.
func (c *Sweep) figure(d, k, combinations int) (draw.Figure, bool) {
	s := c.study
	first := &s.Axes[0]
	if len(s.Axes) == 1 {
		return c.severalLines(d, first, nil, func(i, _ int) *sweepPoint { return &c.points[i] }, "")
	}
	second := &s.Axes[1]
	point := func(i, j int) *sweepPoint { return &c.points[(i*second.Len()+j)*combinations+k] }
	rest := c.rest(k)
	switch {
	case second.Named() && second.Len() <= curves.MostCurves:
		return c.severalLines(d, first, second, point, rest)
	case first.Named() && first.Len() <= curves.MostCurves:
		return c.severalLines(d, second, first, func(i, j int) *sweepPoint { return point(j, i) }, rest)
	}
	spoken := c.spoken(d)
	h := curves.Heat{X: c.heatAxis(first), Y: c.heatAxis(second), Label: c.label(d), Decimals: spoken.Decimals(), Foot: c.foot()}
	columns, rows := order(first), order(second)
	var e sweepExtremes
	for _, j := range rows {
		var row []float64
		for _, i := range columns {
			p := point(i, j)
			row = append(row, p.central[d]*spoken.Scale)
			e.add(p.central[d], p.at)
		}
		h.Value = append(h.Value, row)
	}
	if !e.any {
		return nil, false
	}
	_, arms := traitOf(first)
	_, others := traitOf(second)
	h.Title, h.Bodies, h.Unchanged = c.titled(d, &e, 2, rest), c.bodiesAt(d, &e), arms && others
	if h.Quiet() {
		c.quiet = append(c.quiet, h.Title)
		return nil, false
	}
	h.LeastAt, h.MostAt = words.NoBreak(c.at(e.leastAt)), words.NoBreak(c.at(e.greatesAt))
	return h, true
}

// titled is the title of a chart of a demand over the first axes.
func (c *Sweep) titled(d int, e *sweepExtremes, axes int, rest string) string {
	finding, ok := c.bodyFinding(d, e, axes)
	if !ok {
		spoken := c.spoken(d)
		finding = fmt.Sprintf("the %s runs from %s (%s) to %s (%s)", words.Label(c.study.Demands[d]), spoken.Bare(e.least), c.at(e.leastAt[:axes]), spoken.Number(e.greatest), c.at(e.greatesAt[:axes]))
	}
	return c.ofHold(finding, rest)
}

// ofHold puts the hold and the people before a finding, if there is but one, and what else it
// is at after it.
func (c *Sweep) ofHold(finding, rest string) string {
	var of []string
	if !c.swept("hold") {
		of = append(of, c.study.Base.Hold.Title)
	}
	if !c.swept("people") {
		of = append(of, c.sexes())
	}
	if rest != "" {
		finding += "; " + rest
	}
	if len(of) == 0 {
		return words.NoBreak(words.Capital(finding))
	}
	return words.NoBreak(strings.Join(of, ", ") + ": " + words.Within(finding))
}

// sexes names the people in a word or two.
func (c *Sweep) sexes() string {
	var list []string
	for _, name := range c.populations() {
		list = names.Once(list, words.Sexes(name))
	}
	return words.And(list)
}

// spoken is how a demand is spoken of in charts.
func (c *Sweep) spoken(d int) words.Demand {
	return words.DemandOf(c.study.Demands[d], c.study.Base.Models[0].Statics).Plainly()
}

// bodiesAt are the middle bodies where a demand is least and greatest; the first and the last where
// these are not told apart; none where one of them cannot be held up.
func (c *Sweep) bodiesAt(d int, e *sweepExtremes) []bodies.Silhouette {
	type end struct {
		name  string
		value float64
		at    []float64
	}
	ends := []end{{"least, ", e.least, e.leastAt}, {"most, ", e.greatest, e.greatesAt}}
	if spoken := c.spoken(d); spoken.Bare(e.least) == spoken.Bare(e.greatest) {
		ends = []end{{"", e.least, c.points[0].at}, {"", e.greatest, c.points[len(c.points)-1].at}}
	}
	var list []bodies.Silhouette
	for _, end := range ends {
		held, in, err := c.study.Median(end.at)
		if err != nil || held == nil {
			return nil
		}
		s, err := freebody.SilhouetteOf(held, in, fmt.Sprintf("%s%s: %s", end.name, c.spoken(d).Bare(end.value), c.at(end.at)))
		if err != nil {
			return nil
		}
		list = append(list, s)
	}
	return list
}

// bodyFinding says how much more or less bodies changed along the first axes need than the body
// as it is, where that differs most; false where that is not what the axes are.
func (c *Sweep) bodyFinding(d int, e *sweepExtremes, axes int) (string, bool) {
	demand, spoken := c.study.Demands[d], c.spoken(d)
	noun := "the " + words.Label(demand)
	base := math.NaN()
	for i := range c.points {
		p := &c.points[i]
		same := slices.Equal(p.at[axes:], e.leastAt[axes:])
		if same && !slices.ContainsFunc(p.at[:axes], func(x float64) bool { return x != 0 }) {
			base = p.central[d]
		}
	}
	type corner struct {
		value, by   float64
		parts, ways []string // with and without what is changed
	}
	corners := []corner{{value: e.greatest}, {value: e.least}}
	var whole []string
	for i := range axes {
		a := &c.study.Axes[i]
		t, ok := traitOf(a)
		if !ok {
			return "", false
		}
		for k, at := range [][]float64{e.greatesAt, e.leastAt} {
			if at[i] != 0 {
				corners[k].parts = append(corners[k].parts, coordinate(a, at[i]))
				corners[k].ways = append(corners[k].ways, strings.TrimPrefix(coordinate(a, at[i]), t.Noun+" "))
			}
		}
		low, high := slices.Min(a.Values), slices.Max(a.Values)
		if factor, unit := shown(a); low == -high && unit != "" {
			whole = append(whole, t.Noun+" ±"+words.WithUnit(words.Given(words.Tidy(high*factor)), unit))
			continue
		}
		whole = append(whole, coordinate(a, low)+" to "+strings.TrimPrefix(coordinate(a, high), t.Noun+" "))
	}
	for k := range corners {
		corners[k].by = corners[k].value/base - 1
	}
	slices.SortStableFunc(corners, func(a, b corner) int { return cmp.Compare(math.Abs(b.by), math.Abs(a.by)) })
	first, second := corners[0], corners[1]
	little := axes > 1 && e.greatest-e.least < curves.Little*math.Max(math.Abs(e.least), math.Abs(e.greatest)) // as the map does
	if len(second.parts) == axes && len(first.parts) == axes {
		second.parts = second.ways // of the same in the same order
	}
	both := len(second.parts) > 0 && math.Abs(second.by) >= math.Max(math.Abs(first.by)/2, 0.005) && first.by*second.by < 0
	hard, by := demand == hold.Difficulty, func(c corner) string { return words.Whole(math.Abs(c.by)) }
	less, more := words.Ways(demand)
	switch {
	case math.IsNaN(first.by) || math.IsInf(first.by, 0):
		return "", false
	case little || math.Abs(first.by) < 0.005 || len(first.parts) == 0 || spoken.Bare(base) == spoken.Bare(first.value):
		return fmt.Sprintf("%s hardly change %s, %s", words.And(whole), noun, words.Over([]float64{e.least, e.greatest}, spoken.Number)), true
	case both && hard:
		return fmt.Sprintf("%s make it %s %s, %s %s %s", words.And(first.parts), by(first), words.Way(first.by, more, less), words.And(second.parts), by(second), words.Way(second.by, more, less)), true
	case both && demand.Unit != "rad":
		return fmt.Sprintf("%s %s %s from %s to %s, %s %s it to %s", words.And(first.parts), words.Way(first.by, "raise", "lower"), noun, spoken.Bare(base), spoken.Number(first.value), words.And(second.parts), words.Way(second.by, "raise", "lower"), spoken.Bare(second.value)), true
	case hard:
		return fmt.Sprintf("%s make it %s %s, %s instead of %s", words.And(first.parts), by(first), words.Way(first.by, more, less), spoken.Number(first.value), spoken.Number(base)), true
	}
	text := fmt.Sprintf("%s %s %s from %s to %s", words.And(first.parts), words.Way(first.by, "raise", "lower"), noun, spoken.Bare(base), spoken.Number(first.value))
	if demand.Unit != "rad" { // of an angle nobody thinks in per cent
		text += ", by " + by(first)
	}
	return text, true
}

// traitOf is what of a body an axis changes, if it does that.
func traitOf(a *sweep.Axis) (body.TraitInfo, bool) {
	name, changed := strings.CutPrefix(a.Of, "change.")
	t, ok := body.ParseTrait(name)
	if !changed || !ok || a.Named() || t.Info().More == "" {
		return body.TraitInfo{}, false
	}
	return t.Info(), true
}

// order returns the indices of an axis' values in ascending order; of names as
// they are.
func order(a *sweep.Axis) []int {
	indices := names.UpTo(a.Len())
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

// namesOf are the names of an axis as people say them.
func namesOf(a *sweep.Axis) []string {
	list := slices.Clone(a.Names)
	for i, name := range list {
		switch a.Of {
		case "hold":
			list[i] = a.Holds[i].Title
		case "people":
			list[i] = words.Sexes(name)
		case "legs":
			if list[i] = words.Posture(hold.Posture{Legs: a.Legs[i]}); list[i] == "" {
				list[i] = words.Plain(name)
			}
		default:
			list[i] = words.Plain(name)
		}
	}
	return list
}

func axisLabel(a *sweep.Axis) string {
	label := words.Capital(axisNounOf(a))
	if t, ok := traitOf(a); ok {
		label = fmt.Sprintf("%s %s (−) or %s (+)", words.Capital(t.Noun), t.Less, t.More)
	}
	if _, unit := shown(a); unit != "" && !a.Named() {
		label += " (" + unit + ")"
	}
	return label
}

func (c *Sweep) heatAxis(a *sweep.Axis) curves.Axis {
	_, changed := traitOf(a)
	axis := curves.Axis{Label: axisLabel(a), Names: namesOf(a), Signed: changed}
	if !a.Named() {
		factor, _ := shown(a)
		axis.Numbers = names.Each(order(a), func(i int) float64 { return words.Tidy(a.Values[i] * factor) })
	}
	return axis
}

// series is a demand along an axis, point giving the point at each of its values.
func (c *Sweep) series(d int, a *sweep.Axis, point func(i int) *sweepPoint) curves.Series {
	var s curves.Series
	factor, _ := shown(a)
	scale := c.spoken(d).Scale
	for _, i := range order(a) {
		p := point(i)
		x := float64(i)
		if !a.Named() {
			x = words.Tidy(a.Values[i] * factor)
		}
		s.X, s.Y = append(s.X, x), append(s.Y, p.central[d]*scale)
		if c.low >= 0 {
			s.Low, s.High = append(s.Low, p.low[d]*scale), append(s.High, p.high[d]*scale)
		}
	}
	return s
}

// severalLines shows a demand along an axis, a line for each name of another, if there is one.
func (c *Sweep) severalLines(d int, along, by *sweep.Axis, point func(i, j int) *sweepPoint, rest string) (draw.Figure, bool) {
	l := curves.Lines{XLabel: axisLabel(along), YLabel: c.label(d), XNames: namesOf(along), Decimals: c.spoken(d).Decimals(), Foot: c.foot()}
	if c.low >= 0 {
		l.Spread = c.spreadWords()
	}
	lines := []string{""}
	if by != nil {
		lines = namesOf(by)
	}
	var e sweepExtremes
	for j, name := range lines {
		series := c.series(d, along, func(i int) *sweepPoint { return point(i, j) })
		if series.Name = name; !slices.ContainsFunc(series.Y, func(v float64) bool { return v == v }) {
			continue
		}
		l.Series = append(l.Series, series)
		for i := range along.Len() {
			e.add(point(i, j).central[d], point(i, j).at)
		}
	}
	if !e.any {
		return nil, false
	}
	l.Bodies = c.bodiesAt(d, &e)
	if s := l.Series[0]; by == nil && along.Names == nil && monotone(s.Y) != 0 {
		if _, ok := c.bodyFinding(d, &e, 1); !ok {
			last, spoken := len(s.Y)-1, c.spoken(d)
			l.Title = c.ofHold(fmt.Sprintf("the %s %s from %s to %s as the %s goes from %s to %s", words.Label(c.study.Demands[d]), words.Way(float64(monotone(s.Y)), "rises", "falls"),
				spoken.Bare(s.Y[0]/spoken.Scale), spoken.Number(s.Y[last]/spoken.Scale), axisNounOf(along), axisText(along, s.X[0]), axisText(along, s.X[last])), rest)
			return l, true
		}
	}
	l.Title = c.titled(d, &e, min(len(c.study.Axes), 2), rest)
	for _, a := range []*sweep.Axis{along, by} {
		if a == nil {
			continue
		}
		values := make([][]float64, a.Len()) // of each of its names, at all values of the other
		for i := range along.Len() {
			for j := range lines {
				name := i
				if a == by {
					name = j
				}
				values[name] = append(values[name], point(i, j).central[d])
			}
		}
		if finding, ok := c.namedFinding(d, a, values); ok {
			if a == by {
				finding = c.alongFinding(d, along, values) + finding
			}
			l.Title = c.ofHold(finding, rest)
			break
		}
	}
	return l, true
}

// alongFinding says what the change of a body along an axis does to all of several, from its one end
// to the other, before what else is found; empty where the axis is no such change, or it does not do
// the same to all.
func (c *Sweep) alongFinding(d int, along *sweep.Axis, values [][]float64) string {
	t, ok := traitOf(along)
	list := order(along)
	if !ok || len(list) < 2 || c.study.Demands[d].Unit == "rad" {
		return ""
	}
	var by []float64
	first, last := list[0], list[len(list)-1]
	for _, of := range values {
		change := of[last]/of[first] - 1
		if !(math.Abs(change) >= 0.005) || len(by) > 0 && by[0]*change < 0 {
			return ""
		}
		by = append(by, change)
	}
	sizes := names.Each(by, math.Abs)
	size := words.Over(sizes, words.Whole)
	if c.study.Demands[d] != hold.Difficulty {
		size += " of what it is"
	}
	does := "lower the " + words.Label(c.study.Demands[d]) + " by " + size
	if by[0] > 0 {
		does = "raise the " + words.Label(c.study.Demands[d]) + " by " + size
	}
	if c.study.Demands[d] == hold.Difficulty {
		less, more := words.Ways(hold.Difficulty)
		does = "make it " + size + " " + words.Way(by[0], more, less)
	}
	return fmt.Sprintf("%s instead of %s %s; ", coordinate(along, along.Values[last]), strings.TrimPrefix(coordinate(along, along.Values[first]), t.Noun+" "), does)
}

// namedFinding says how much less most of an axis of holds, leg forms or people need than the one
// that needs most, from and to what at all values of another axis; false where that is no share, or
// another needs most elsewhere.
func (c *Sweep) namedFinding(d int, a *sweep.Axis, values [][]float64) (string, bool) {
	if a.Of != "hold" && a.Of != "legs" && a.Of != "people" || a.Len() < 2 || c.study.Demands[d].Unit == "rad" {
		return "", false
	}
	most := 0
	for i := range values {
		if values[i][0] > values[most][0] {
			most = i
		}
	}
	type less struct {
		name string
		by   []float64
	}
	var list []less
	var as []string // need as much
	for i, of := range values {
		l := less{name: words.Within(namesOf(a)[i])}
		for k, v := range of {
			by := 1 - v/values[most][k]
			if !(by > -0.005 && by <= 1) {
				return "", false
			}
			l.by = append(l.by, math.Max(by, 0))
		}
		if slices.Max(l.by) < 0.005 {
			as = append(as, coordinate(a, float64(i)))
		} else {
			list = append(list, l)
		}
	}
	if len(list) == 0 {
		return "", false
	}
	slices.SortStableFunc(list, func(a, b less) int { return cmp.Compare(b.by[0], a.by[0]) })
	needs, what, of := "needs ", "less "+words.Label(c.study.Demands[d]), words.And(as)
	if c.study.Demands[d] == hold.Difficulty {
		needs, what = "is ", "easier"
	}
	parts := []string{list[0].name + " " + needs + words.Over(list[0].by, words.Whole) + " " + what + " than " + of}
	if a.Of == "people" {
		parts[0] = words.Over(list[0].by, words.Whole) + " " + what + " for " + list[0].name + " than for " + of
	}
	for _, l := range list[1:min(len(list), 3)] {
		parts = append(parts, l.name+" "+words.Over(l.by, words.Whole))
	}
	return strings.Join(parts, ", "), true
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

// label is that of an axis of a demand.
func (c *Sweep) label(d int) string {
	demand := c.study.Demands[d]
	text := words.Capital(strings.TrimPrefix(words.PlainNoun(demand), "the ")) + words.InBrackets(c.spoken(d).Unit)
	if demand == hold.Difficulty && !c.swept("model") && c.study.Base.Models[0].Statics == hold.Equilibrium {
		text = "Times the strength of an untrained person of that sex, size and age"
	}
	if c.central == 0 {
		return text + ", average body"
	}
	return text + ", middle body"
}

// spreadWords says what lies between the outermost quantiles.
func (c *Sweep) spreadWords() string {
	q := c.study.Quantiles
	if low, high := q[0], q[len(q)-1]; low != 0.05 || high != 0.95 {
		return words.OneLine(words.Given(100*low)+"–"+words.Typed(100*high, "%")) + " of bodies"
	}
	return "nine in ten bodies"
}

// scatter shows a demand at the points of a quasi-random design against an axis.
func (c *Sweep) scatter(d, i int) draw.Figure {
	a := &c.study.Axes[i]
	factor, _ := shown(a)
	if a.Named() {
		factor = 1
	}
	series, spoken := curves.Series{}, c.spoken(d)
	for k := range c.points {
		p := &c.points[k]
		series.X, series.Y = append(series.X, p.at[i]*factor), append(series.Y, p.central[d]*spoken.Scale)
	}
	e := &c.extremes[d]
	return curves.Lines{
		Title:  c.ofHold(fmt.Sprintf("over %s points, the %s runs from %s to %s", words.Count(len(c.points)), words.Label(c.study.Demands[d]), spoken.Bare(e.least), spoken.Number(e.greatest)), ""),
		XLabel: axisLabel(a), YLabel: c.label(d), XNames: namesOf(a), Scattered: true, Series: []curves.Series{series}, Foot: c.foot(),
	}
}

func (c *Sweep) foot() draw.Foot {
	s := c.study
	model := words.ModelOf(s.Base.Models[0])
	if c.swept("model") {
		model = "as named"
	}
	if load := words.Load(s.Base.Load); load != "" {
		model += ", " + load
	}
	assumptions := "usual values of what nobody has measured, which could move all of it"
	centre := s.Base.Assumed().Centre
	for id := range assume.Count {
		if centre[id] != id.Info().Default || c.swept("assume."+id.String()) {
			assumptions = "as set in the sweep"
		}
	}
	people := c.people(words.Sexes)
	if c.swept("people") {
		people = "as named, of " + people
	}
	return draw.Foot{People: people, N: s.N, Model: model, Assumptions: assumptions,
		Source: provenance.Credit() + "; bodies drawn from " + words.Credits(words.SurveyNames(c.groups())) + ". " + words.NotValidated}
}
