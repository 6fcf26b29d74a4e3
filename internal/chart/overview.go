package chart

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/words"
)

// An OverviewMark is the effect of a claim under one model, in multiples of the
// smallest effect that matters, so that claims of any unit share an axis. Positive is
// as claimed. Infinite values are of bodies for which the posture becomes impossible
// or possible.
type OverviewMark struct {
	Median, Low, High float64 // over what nobody has measured: the median, 5 and 95 %
	P5, P95           float64 // of people
	Text              string  // the median in its own unit, signed as the quantity moves
	Range             string  // Low and High in the same unit; shown where there is room
}

// An OverviewRow is one claim.
type OverviewRow struct {
	Group    string          // heading above the first of neighbouring rows that share it; may be empty
	Label    string          // the claim's sentence
	Verdict  string          // in words
	Marks    []*OverviewMark // in the order of the models; nil where a model has none
	NoEffect bool            // what is claimed is that nothing that matters changes: positive is then more
	Contrast bool            // different people are compared, and what is over people is over pairs of them
}

// An Overview shows many claims with their verdicts, a row each, in it a line for each
// model with the median and its spread over what nobody has measured and, apart from it, how
// people differ. The axis is linear in the zone of effects too small to matter and
// logarithmic beyond. Rows have a height of their own: what does not fit is divided.
type Overview struct {
	Title  string
	Models []string
	Rows   []OverviewRow
	Limit  float64 // end of the axis on both sides, for several figures to share; 0: chosen from the rows
	Dense  bool    // in smaller type, so that more rows fit where the height is bounded
	Foot   Foot
}

func (o Overview) heading() (string, Foot) { return o.Title, o.Foot }

const (
	overviewLabel = "Effect, in multiples of the smallest that matters"
	overviewKey   = "Symbol: median over what nobody has measured. Thick: 5–95\u00a0% of that. Thin below: 5–95\u00a0% of people. " +
		"Grey zone: too small to matter."
	overviewArrow    = "Arrow: goes on, as far as bodies that can hold it only before or only after."
	overviewNoEffect = "Where no effect is claimed (=), right is more and the zone is as claimed."
	overviewContrast = "Contrast of people: difference of the groups’ medians; thin: of pairs of people."
)

// typeShare implements dense.
func (o Overview) typeShare() float64 {
	if o.Dense {
		return 0.8
	}
	return 1
}

// key says what the parts of a mark are, as far as the rows have them.
func (o Overview) key() string {
	parts := []string{overviewKey}
	for _, part := range []struct {
		text string
		has  func(OverviewRow) bool
	}{
		{overviewArrow, func(r OverviewRow) bool {
			return slices.ContainsFunc(r.Marks, func(m *OverviewMark) bool { return m != nil && max(-m.P5, m.P95) > o.End() })
		}},
		{overviewNoEffect, func(r OverviewRow) bool { return r.NoEffect }},
		{overviewContrast, func(r OverviewRow) bool { return r.Contrast }},
	} {
		if slices.ContainsFunc(o.Rows, part.has) {
			parts = append(parts, part.text)
		}
	}
	return strings.Join(parts, " ")
}

// words is the sentence of a row as it is set.
func (r OverviewRow) words() string {
	label := strings.TrimSuffix(r.Label, ".")
	if r.NoEffect {
		label += "\u00a0(=)"
	}
	return label
}

// Alt implements Figure.
func (o Overview) Alt() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Overview of claims: %s; positive is as claimed, within\u00a0±1 it is too small to matter. %s",
		strings.ToLower(overviewLabel[:1])+overviewLabel[1:], o.key())
	group := ""
	for _, r := range o.Rows {
		if r.Group != group {
			group = r.Group
			fmt.Fprintf(&b, " %s.", group)
		}
		fmt.Fprintf(&b, " %s: %s.", r.words(), r.Verdict)
		for i, m := range r.Marks {
			if m == nil {
				continue
			}
			fmt.Fprintf(&b, " %s: median %s, %s times what matters (over what nobody has measured %s to\u00a0%s; people %s to\u00a0%s).", o.Models[i], m.Text,
				multiple(m.Median), multiple(m.Low), multiple(m.High), multiple(m.P5), multiple(m.P95))
		}
	}
	return described(o, &b)
}

// multiple writes a multiple of what matters to two digits.
func multiple(v float64) string {
	switch {
	case math.IsInf(v, 1):
		return "infinitely many"
	case math.IsInf(v, -1):
		return "minus infinitely many"
	case math.Abs(v) >= 9.95:
		return words.Signed(v, 0)
	}
	return words.Signed(v, 1)
}

func (o Overview) check() error {
	if len(o.Models) == 0 || len(o.Rows) == 0 {
		return fmt.Errorf("chart: overview: %d models and %d rows, want at least one of each", len(o.Models), len(o.Rows))
	}
	if !drawable(o.Limit) || o.Limit != 0 && o.Limit <= 1 {
		return fmt.Errorf("chart: overview: the axis ends at %v, want more than 1", o.Limit)
	}
	if slices.Contains(o.Models, "") {
		return errors.New("chart: overview: a model has no name")
	}
	for _, r := range o.Rows {
		if r.Label == "" || r.Verdict == "" {
			return errors.New("chart: overview: a row has no label or no verdict")
		}
		if len(r.Marks) != len(o.Models) {
			return fmt.Errorf("chart: overview: %s: %d marks for %d models", r.Label, len(r.Marks), len(o.Models))
		}
		for i, m := range r.Marks {
			if m == nil {
				continue
			}
			if m.Text == "" {
				return fmt.Errorf("chart: overview: %s, %s: the mark has no text", r.Label, o.Models[i])
			}
			if !(m.Low <= m.Median && m.Median <= m.High && m.P5 <= m.P95) { // false for what is not a number
				return fmt.Errorf("chart: overview: %s, %s: %v is out of order or not a number", r.Label, o.Models[i], *m)
			}
		}
	}
	return nil
}

// mostMultiple is where the axis ends at the latest; what lies beyond has an arrow.
const mostMultiple = 1000

// End is where the axis ends on both sides: at Limit or, without one, so that
// everything finite up to a thousand is on it.
func (o Overview) End() float64 {
	if o.Limit > 0 {
		return o.Limit
	}
	most := 2.0
	for _, r := range o.Rows {
		for _, m := range r.Marks {
			if m == nil {
				continue
			}
			for _, v := range []float64{m.Median, m.P5, m.P95, m.Low, m.High} {
				if v = math.Abs(v); !math.IsInf(v, 0) {
					most = max(most, min(v, mostMultiple))
				}
			}
		}
	}
	return 1.2 * most
}

// symlog is the place of v on an axis that is linear up to ±1 and logarithmic beyond,
// without a kink where the two meet.
func symlog(v float64) float64 {
	if math.Abs(v) <= 1 {
		return v
	}
	return math.Copysign(1+math.Log(math.Abs(v)), v)
}

// overviewRow is a row with its text broken into lines, and its height.
type overviewRow struct {
	label, verdict []string
	height         float64
}

// overviewPlan is how an overview is divided on a size.
type overviewPlan struct {
	stacked       bool // labels above the lines instead of beside them
	labels, texts float64
	verdicts      rect // across; where they have a column of their own
	rows          []overviewRow
	pitch         float64 // distance of the lines of two models
	heading       float64 // height of a group's heading
	gap           float64 // between rows
	ranges        bool
	plot          rect // across; its height is not set
}

// plan breaks the text of the rows for the width of a sheet.
func (o Overview) plan(s *sheet) (*overviewPlan, error) {
	size, note := s.size.text, s.size.note()
	width := s.body.width()
	p := &overviewPlan{stacked: width < 45*size, pitch: 1.15 * lineHeight(1, note), heading: lineHeight(1, size) + 0.55*size, gap: 0.55 * size}
	p.ranges = !p.stacked
	p.texts = o.textWidth(p.ranges, note)
	if p.ranges && p.texts > 0.3*width {
		p.ranges = false
		p.texts = o.textWidth(false, note)
	}
	p.labels, p.plot = width, s.body
	verdict := width
	if !p.stacked {
		p.labels = 0.31 * width
		verdict = 7.5 * size
		p.verdicts = rect{x0: s.body.x0 + p.labels + 0.8*size}
		p.verdicts.x1 = p.verdicts.x0 + verdict
		p.plot.x0 = p.verdicts.x1 + size
	}
	p.plot.x1 -= p.texts + 0.8*size
	if p.plot.width() < 0.2*width {
		return nil, fmt.Errorf("chart: overview: labels and numbers leave no room on the %s", s.size.Name)
	}
	for _, r := range o.Rows {
		label, err := s.wrap(r.words(), false, size, p.labels)
		if err != nil {
			return nil, err
		}
		lines, err := s.wrap(r.Verdict, true, note, verdict)
		if err != nil {
			return nil, err
		}
		modelLines := p.pitch * float64(r.modelLines())
		row := overviewRow{label: label, verdict: lines, height: max(lineHeight(len(label), size), lineHeight(len(lines), note), modelLines)}
		if p.stacked {
			row.height = float64(len(label))*leading*size + lineHeight(len(lines), note) + 0.15*size + modelLines
		}
		p.rows = append(p.rows, row)
	}
	return p, nil
}

// modelLines is how many models a row shows, one at least.
func (r OverviewRow) modelLines() int {
	n := 0
	for _, m := range r.Marks {
		if m != nil {
			n++
		}
	}
	return max(n, 1)
}

// rangeText is the range as it stands after the text, or is empty.
func (m *OverviewMark) rangeText(ranges bool) string {
	if ranges && m.Range != "" {
		return "(" + m.Range + ")"
	}
	return ""
}

// rangeGap is the distance of the range from the text before it as a share of the type
// size; a space would be lost in a browser.
const rangeGap = 0.3

func (o Overview) textWidth(ranges bool, size float64) float64 {
	widest := 0.0
	for _, r := range o.Rows {
		for _, m := range r.Marks {
			if m != nil {
				widest = max(widest, textWidth(m.Text, true, size)+rangeGap*size+textWidth(m.rangeText(ranges), false, size))
			}
		}
	}
	return widest
}

// needed is the height of all rows with their headings.
func (p *overviewPlan) needed(o Overview) float64 {
	height := 0.0
	for i, r := range p.rows {
		height += r.height + p.gap
		if o.startsGroup(i) {
			height += p.heading
		}
	}
	return height
}

func (o Overview) startsGroup(i int) bool {
	return o.Rows[i].Group != "" && (i == 0 || o.Rows[i-1].Group != o.Rows[i].Group)
}

// naturalHeight is that at which the rows stand at their own height.
func (o Overview) naturalHeight(size Size, loose bool) (float64, error) {
	s := &sheet{size: size, theme: Light, loose: loose}
	s.body = rect{0, 0, size.width, size.height}.grow(-size.margin)
	if err := s.layTitle(o.Title); err != nil {
		return 0, err
	}
	line, err := o.Foot.line()
	if err != nil {
		return 0, err
	}
	lines, err := s.balance(line, false, size.small, s.body.width())
	if err != nil {
		return 0, err
	}
	foot := lineHeight(len(lines), size.small) + size.text
	p, err := o.plan(s)
	if err != nil {
		return 0, err
	}
	top, err := o.drawHead(s, p)
	if err != nil {
		return 0, err
	}
	axis, err := s.axisHeight(overviewLabel, p.plot.width())
	if err != nil {
		return 0, err
	}
	return math.Ceil(top + p.needed(o) + axis + foot + size.margin + 1), nil
}

// drawHead draws the key and the words over the two sides of the plot, and returns
// where the rows may begin.
func (o Overview) drawHead(s *sheet, p *overviewPlan) (float64, error) {
	size, note, t := s.size.text, s.size.note(), s.theme
	x, y := s.body.x0, s.body.y0
	for i, name := range o.Models {
		lines, err := s.wrap(name, true, size, s.body.width()-1.2*size)
		if err != nil {
			return 0, err
		}
		name = lines[0]
		width := 1.2*size + textWidth(name, true, size)
		if x > s.body.x0 && x+width > s.body.x1 {
			x, y = s.body.x0, y+leading*size
		}
		c := modelColor(t, i)
		modelShape(i)(s, c, point{x + 0.5*size, y + (ascent-0.36)*size}, 1.25*s.size.thick)
		for k, line := range lines {
			if k > 0 {
				y += leading * size
			}
			s.text(line, x+1.2*size, y+ascent*size, alignLeft, true, size, t.textColor(c))
		}
		x += width + 1.5*size
	}
	y += lineHeight(1, size) + 0.15*size
	y, err := s.paragraph(o.key(), y, note)
	if err != nil {
		return 0, err
	}
	y += 0.6 * size
	s.text("← the other way", p.plot.x0, y+ascent*size, alignLeft, true, size, t.Ink)
	s.text("as claimed →", p.plot.x1, y+ascent*size, alignRight, true, size, t.Ink)
	return y + lineHeight(1, size) + 0.35*size, nil
}

func (o Overview) draw(s *sheet) error {
	size, note, t := s.size.text, s.size.note(), s.theme
	p, err := o.plan(s)
	if err != nil {
		return err
	}
	top, err := o.drawHead(s, p)
	if err != nil {
		return err
	}
	axis, err := s.axisHeight(overviewLabel, p.plot.width())
	if err != nil {
		return err
	}
	plot := p.plot
	plot.y0, plot.y1 = top, s.body.y1-axis
	spare := plot.height() - p.needed(o)
	if spare < 0 {
		return fmt.Errorf("chart: overview: %d rows do not fit on the %s", len(o.Rows), s.size.Name)
	}
	p.gap += min(spare/float64(len(o.Rows)), size)
	plot.y1 = min(plot.y1, plot.y0+p.needed(o))
	places, panels := o.places(p, plot)
	end := symlog(o.End())
	inset := textWidth(words.Signed(-mostMultiple, 0), false, size) / 2 // so that no value leaves the plot
	x := scale{low: -end, high: end, from: plot.x0 + inset, to: plot.x1 - inset}
	if err := o.drawAxis(s, x, plot, panels); err != nil {
		return err
	}
	for i, r := range o.Rows {
		if o.startsGroup(i) {
			if err := o.drawHeading(s, p, r.Group, places[i].heading); err != nil {
				return err
			}
		}
		p.drawWords(s, p.rows[i], places[i].words)
		y := places[i].modelLines + p.pitch/2
		for k, m := range r.Marks {
			if m == nil {
				continue
			}
			o.drawMark(s, *m, x, y, k)
			base, left := y+0.35*note, plot.x1+0.8*size
			s.text(m.Text, left, base, alignLeft, true, note, t.textColor(modelColor(t, k)))
			if text := m.rangeText(p.ranges); text != "" {
				s.text(text, left+textWidth(m.Text, true, note)+rangeGap*note, base, alignLeft, false, note, t.Muted)
			}
			y += p.pitch
		}
	}
	return nil
}

// rowPlaces are the upper ends of the parts of a row.
type rowPlaces struct{ heading, words, modelLines float64 }

// places says where the parts of the rows go, and behind what the grid lies: the whole
// plot or, where labels stand in its way, the lines alone.
func (o Overview) places(p *overviewPlan, plot rect) (places []rowPlaces, panels []rect) {
	y := plot.y0
	for i, r := range o.Rows {
		at := rowPlaces{heading: y}
		if o.startsGroup(i) {
			y += p.heading
		}
		row, modelLines := p.rows[i], p.pitch*float64(r.modelLines())
		at.words = y + p.gap/2
		at.modelLines = at.words + (row.height-modelLines)/2
		if p.stacked {
			at.modelLines = at.words + row.height - modelLines
			panels = append(panels, rect{plot.x0, at.modelLines, plot.x1, at.modelLines + modelLines})
		}
		places = append(places, at)
		y += row.height + p.gap
	}
	if !p.stacked {
		panels = []rect{plot}
	}
	return places, panels
}

// drawHeading names a group.
func (o Overview) drawHeading(s *sheet, p *overviewPlan, name string, y float64) error {
	size, t := s.size.text, s.theme
	if textWidth(name, true, size) > p.labels+size {
		return fmt.Errorf("chart: no room on the %s for the heading %q", s.size.Name, name)
	}
	s.stroke(t.Grid, s.size.thin, nil, point{s.body.x0, y + 0.1*size}, point{s.body.x1, y + 0.1*size})
	s.text(name, s.body.x0, y+0.4*size+ascent*size, alignLeft, true, size, t.Ink)
	return nil
}

// drawWords sets the sentence and, beside or below it, the verdict, from y down.
func (p *overviewPlan) drawWords(s *sheet, row overviewRow, y float64) {
	size, note, t := s.size.text, s.size.note(), s.theme
	x, verdict := s.body.x0, y+float64(len(row.label))*leading*size
	if !p.stacked {
		middle := y + row.height/2
		y = middle - lineHeight(len(row.label), size)/2
		x, verdict = p.verdicts.x0, middle-lineHeight(len(row.verdict), note)/2
	}
	s.lines(row.label, s.body.x0, y, alignLeft, false, size, t.Ink)
	s.lines(row.verdict, x, verdict, alignLeft, true, note, t.Muted)
}

// drawAxis draws the zone, values, grid and label. Of 1, 3, 10, 30 … as many stand
// there as have room; on a narrow axis rather 10 than 1, where the zone ends.
func (o Overview) drawAxis(s *sheet, x scale, plot rect, panels []rect) error {
	size, t := s.size.text, s.theme
	for _, p := range panels {
		s.fillRect(t.Zone, rect{x.at(-1), p.y0, x.at(1), p.y1})
	}
	var values []float64
	for _, positive := range [][]float64{{1, 3, 10, 30, 100, 300, 1000}, {1, 10, 100, 1000}, {10, 100, 1000}, {10, 100}, {10}, {1}} {
		values = []float64{0}
		for _, v := range positive {
			if symlog(v) <= x.high {
				values = append(values, v, -v)
			}
		}
		slices.Sort(values)
		fits := len(values) > 1
		for i := 1; i < len(values); i++ {
			half := (textWidth(words.Signed(values[i-1], 0), false, size) + textWidth(words.Signed(values[i], 0), false, size)) / 2
			fits = fits && half+0.5*size <= x.at(symlog(values[i]))-x.at(symlog(values[i-1]))
		}
		if fits {
			break
		}
	}
	for _, v := range values {
		at := x.at(symlog(v))
		c := t.Grid
		if v == 0 {
			c = t.Muted
		}
		for _, p := range panels {
			s.stroke(c, s.size.thin, nil, point{at, p.y0}, point{at, p.y1})
		}
		s.text(words.Signed(v, 0), at, plot.y1+(axisGap+ascent)*size, alignCenter, false, size, t.Muted)
	}
	s.stroke(t.Muted, s.size.thin, nil, point{plot.x0, plot.y1}, point{plot.x1, plot.y1})
	lines, err := s.balance(overviewLabel, false, size, plot.width())
	s.lines(lines, (x.from+x.to)/2, plot.y1+(axisGap+1.35)*size, alignCenter, false, size, t.Muted)
	return err
}

// drawMark draws what nobody has measured as a thick line, the median on it as the model's
// shape, and people as a thin line under it. What goes on beyond the axis ends in an arrow.
func (o Overview) drawMark(s *sheet, m OverviewMark, x scale, y float64, model int) {
	c := modelColor(s.theme, model)
	radius := 1.05 * s.size.thick
	place := func(v float64) float64 { return x.clamp(symlog(min(max(v, -2*mostMultiple), 2*mostMultiple))) }
	under := y + 1.4*s.size.thick // or the thick line would hide it
	s.stroke(c, s.size.thin, nil, point{place(m.P5), under}, point{place(m.P95), under})
	if m.Low < m.High {
		half := 0.55 * s.size.thick
		s.fillRect(c, rect{place(m.Low), y - half, place(m.High), y + half})
	}
	for _, value := range []float64{m.P5, m.P95} {
		v := symlog(value)
		if v >= x.low && v <= x.high {
			continue
		}
		at, length := place(value), math.Copysign(1.6*s.size.thick, v)
		s.fill(c, point{at, under}, point{at - length, under - 0.6*math.Abs(length)}, point{at - length, under + 0.6*math.Abs(length)})
	}
	at := place(m.Median)
	if v := symlog(m.Median); v > x.high || v < x.low {
		at -= math.Copysign(3*s.size.thick, m.Median) // beside the arrow's head
	}
	modelShape(model)(s, c, point{at, y}, radius)
}

func (o Overview) length() int { return len(o.Rows) }

// part implements divisible.
func (o Overview) part(from, to int) Figure {
	o.Limit, o.Rows = o.End(), o.Rows[from:to]
	return o
}

func (o Overview) numbered(k, of int) Figure {
	o.Title = numberedTitle(o.Title, k, of)
	return o
}

// numberedTitle says which of several figures one is.
func numberedTitle(title string, k, of int) string {
	return fmt.Sprintf("%s (%d\u00a0of\u00a0%d)", title, k, of)
}
