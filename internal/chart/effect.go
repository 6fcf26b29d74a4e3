package chart

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/bodies"
	"counterpoise/internal/draw"
	"counterpoise/internal/words"
	"counterpoise/sim/names"
)

// An EffectPanel is the paired effect under one model.
type EffectPanel struct {
	Model string // and its verdict, shown where there are several

	// Shares[i] is the share of people with an effect between Edges[i] and Edges[i+1],
	// in a typical draw of what nobody has measured. The shares may sum to less than 1, where
	// bodies became unable to take the pose or lie outside. Both are empty where the
	// effect is the same for every body in every draw, and Draws with them.
	Edges, Shares []float64
	People        []Hump // in their order from low to high; several where some lie apart from others
	Middle        string // the effect on the middle person, in words; may be empty

	Spread          // of the median effect
	Each   []Spread // the same of each of several people; empty of one
	ByEach bool     // each has dots of their own: what is so of all together is not so of each
}

// rows are the spreads that have dots.
func (p EffectPanel) rows() []Spread {
	if p.ByEach {
		return p.Each
	}
	return []Spread{p.Spread}
}

// tries are how many of the draws count as said, or fall on which side of the zone, of each of the
// people.
func (e EffectDistribution) tries(p EffectPanel) []string {
	if p.constant() || p.Of == "" {
		return nil
	}
	tally := e.falls
	if e.Said != 0 {
		tally = e.counting
	}
	if len(p.Each) == 0 {
		return []string{tally(p.Draws)}
	}
	return names.Each(p.Each, func(each Spread) string { return each.Whose + ": " + tally(each.Draws) })
}

// notes are the tries as lines under the dots, several in one where they have room there; what has no
// room is left out.
func (e EffectDistribution) notes(s *draw.Sheet, p EffectPanel, width float64) (lines []string) {
	fits := func(text string) bool {
		return draw.TextWidth(text, false, max(draw.Smaller[len(draw.Smaller)-1]*s.Size.Note(), s.Size.Least)) <= width
	}
	for i, note := range e.tries(p) {
		if k := len(lines) - 1; i > 0 && k >= 0 && draw.TextWidth(lines[k]+"; "+note, false, s.Size.Note()) <= width {
			lines[k] += "; " + note
		} else if fits(note) {
			lines = append(lines, note)
		}
	}
	return lines
}

// A Hump is where nine in ten of some people are: of all, without a name, or of those who lie
// apart from others.
type Hump struct {
	Name    string
	Briefly string // what it says, without that it is of nine in ten
	Range
}

// briefly is what a hump says under the heading of all humps.
func (h Hump) briefly() string {
	if h.Name == "" {
		return h.Briefly
	}
	return words.Capital(h.Name) + ": " + h.Briefly
}

// headings name the two layers of a panel: how bodies differ, and how one answer does over the draws,
// which so many to a dot show. Both are empty where there is but one layer.
func (p EffectPanel) headings(per int) (people, draws string) {
	if p.constant() || p.Of == "" {
		return "", ""
	}
	who := "The middle body"
	if len(p.rows()) > 1 {
		who = "One body each"
	}
	dot := ""
	if per > 1 {
		dot = fmt.Sprintf(" (a\u00a0dot: %d)", per)
	}
	return "9 in 10 bodies, with what nobody has measured at its middle", words.Together(fmt.Sprintf("%s, in %s tries of what nobody has measured%s", who, words.Count(len(p.Draws)), dot))
}

// An EffectDistribution shows how the effect of a change is spread over people and,
// under that, over the draws of what nobody has measured, one panel for each model, all over
// the same axis. The bars of a panel are drawn to its own highest; what is infinite
// stands at the end of the axis.
type EffectDistribution struct {
	Title string
	Zone
	Panels []EffectPanel
	Bodies []bodies.Silhouette // before and after the change; may be empty
	Foot   draw.Foot

	axis [2]float64 // where the axis begins and ends, of a part of a figure; both 0: as the panels say
}

// Heading implements draw.Figure.
func (e EffectDistribution) Heading() (string, draw.Foot) { return e.Title, e.Foot }

// Alt implements Figure.
func (e EffectDistribution) Alt() string {
	var b strings.Builder
	fmt.Fprintf(&b, "How many people have which effect, above dots for tries of what nobody has measured, over one axis, %s", e.alt())
	for _, p := range e.Panels {
		parts := names.Each(p.rows(), func(row Spread) string { return row.told(0) })
		if !p.constant() {
			parts = slices.Concat(names.Each(p.People, func(h Hump) string { return h.Says }), parts, e.tries(p))
		}
		fmt.Fprintf(&b, " %s: %s.", p.Model, strings.Join(parts, "; "))
	}
	b.WriteString(bodies.Shown(e.Bodies))
	return draw.Described(e, &b)
}

// constant says that every body has the same effect in every draw.
func (p EffectPanel) constant() bool {
	return len(p.Edges) == 0 && len(p.Draws) == 0 && p.Low == p.High && len(p.People) == 0
}

// Check implements draw.Figure.
func (e EffectDistribution) Check() error {
	const kind = "effect distribution"
	if err := e.Zone.check(kind); err != nil {
		return err
	}
	if len(e.Panels) == 0 {
		return draw.Wrong(kind, "no panel")
	}
	for _, p := range e.Panels {
		if p.Model == "" {
			return draw.Wrong(kind, "a panel has no model")
		}
		if !p.constant() && len(p.People) == 0 {
			return draw.Wrong(kind, "%s: not said how people differ", p.Model)
		}
		for _, spread := range slices.Concat(p.Each, []Spread{p.Spread}) {
			if err := spread.check(kind + ": " + p.Model); err != nil {
				return err
			}
		}
		for _, h := range p.People {
			if err := h.check(kind+": "+p.Model, true); err != nil {
				return err
			}
			if h.Name == "" && len(p.People) > 1 {
				return draw.Wrong(kind, "%s: a hump has no name", p.Model)
			}
		}
		if err := p.checkBins(); err != nil {
			return err
		}
	}
	return bodies.CheckSilhouettes(kind, e.Bodies)
}

func (p EffectPanel) checkBins() error {
	if p.constant() {
		return nil
	}
	if len(p.Edges) != len(p.Shares)+1 || len(p.Shares) == 0 || len(p.Draws) == 0 {
		return fmt.Errorf("chart: effect distribution: %s: %d edges, %d shares and %d draws, want one edge more and a draw", p.Model, len(p.Edges), len(p.Shares), len(p.Draws))
	}
	if !draw.Drawable(p.Edges...) || !draw.Drawable(p.Shares...) {
		return fmt.Errorf("chart: effect distribution: %s: an edge or share is not a number that can be drawn", p.Model)
	}
	sum := 0.0
	for i, share := range p.Shares {
		sum += share
		if share < 0 || p.Edges[i] >= p.Edges[i+1] {
			return fmt.Errorf("chart: effect distribution: %s: share %v from %v to %v", p.Model, share, p.Edges[i], p.Edges[i+1])
		}
	}
	if sum > 1+1e-9 || sum <= 0 {
		return fmt.Errorf("chart: effect distribution: %s: shares sum to %v", p.Model, sum)
	}
	return nil
}

// xRange holds all bins that anyone is in, all draws, zero and twice the zone.
func (e EffectDistribution) xRange() (low, high float64) {
	if e.axis[0] < e.axis[1] {
		return e.axis[0], e.axis[1]
	}
	var values []float64
	for _, p := range e.Panels {
		values = append(append(values, p.Median), p.Draws...)
		for _, each := range p.Each {
			values = append(values, each.Draws...)
		}
		for _, h := range p.People {
			values = append(values, h.Low, h.High)
		}
		for i, share := range p.Shares {
			if share > 0 {
				values = append(values, p.Edges[i], p.Edges[i+1])
			}
		}
	}
	return e.ends(values...)
}

// effectPlan is how an effect distribution is divided on a sheet.
type effectPlan struct {
	dotted
	bodies    draw.Rect // where they are drawn; empty for none
	top       float64
	bottom    float64    // where the axis is
	names     [][]string // of the panels, where there are several
	named     float64    // height of the names of the zone and the band
	hump, pit float64    // heights: of bars and of a row of dots
	headed    bool       // the layers have headings; else every label says what it is of
	notes     int        // how many of a panel's notes are under its dots
}

// plan divides the room: everything but the bars and the dots has a fixed height, and
// they share the rest.
func (e EffectDistribution) plan(s *draw.Sheet) (*effectPlan, error) {
	size := s.Size.Text
	p := &effectPlan{}
	body := s.Body
	if len(e.Bodies) > 0 {
		p.bodies, body = s.Aside(0.27, 0.23)
	}
	p.x.From, p.x.To = body.X0, body.X1
	p.x.Low, p.x.High = e.xRange()
	axis, err := e.axisHeight(s, p.x.To-p.x.From)
	if err != nil {
		return nil, err
	}
	p.top = body.Y0
	p.bottom = body.Y1 - axis
	p.named = e.namesHeight(s, p.x, e.small())
	rest := p.bottom - p.top - p.named
	for _, panel := range e.Panels {
		var name []string
		if len(e.Panels) > 1 || e.axis[0] < e.axis[1] {
			if name, err = s.Wrap(panel.Model, true, size, body.Width()); err != nil {
				return nil, err
			}
			rest -= float64(len(name))*draw.Leading*size + 0.4*size
		}
		p.names = append(p.names, name)
		rest -= float64(len(panel.rows()))*lineFoot(size) + 0.9*size
	}
	each, line, most, rows := rest/float64(len(e.Panels)), noteLine(s), 0, 1
	foot := func(headed bool) (height float64) {
		for _, panel := range e.Panels {
			height = max(height, panel.foot(s, p.x, headed))
		}
		return height
	}
	if headed := foot(true) + line + headingLine(s); each-headed > 3.6*size {
		p.headed, each = true, each-headed
	} else {
		each -= foot(false)
	}
	for _, panel := range e.Panels {
		most, rows = max(most, len(e.notes(s, panel, p.x.To-p.x.From))), max(rows, len(panel.rows()))
	}
	for each-line > 6*size && p.notes < most { // there is room
		each, p.notes = each-line, p.notes+1
	}
	p.hump = each * []float64{0.58, 0.45}[min(rows-1, 1)]
	p.pit = (each - p.hump) / float64(rows)
	if each < 3.2*size {
		return nil, fmt.Errorf("chart: effect distribution: %d panels do not fit on the %s", len(e.Panels), s.Size.Name)
	}
	var spreads [][]float64
	for _, panel := range e.Panels {
		spreads = append(spreads, names.Each(panel.rows(), func(row Spread) []float64 { return row.Draws })...)
	}
	p.dotted = dotsIn(p.x, size, p.pit-0.6*size, spreads...)
	return p, nil
}

// Draw implements draw.Figure.
func (e EffectDistribution) Draw(s *draw.Sheet) error {
	size := s.Size.Text
	p, err := e.plan(s)
	if err != nil {
		return err
	}
	if len(e.Bodies) > 0 {
		if err := bodies.Silhouettes(s, e.Bodies, s.Theme.Pair(), p.bodies); err != nil {
			return err
		}
	}
	y := p.top
	for i, panel := range e.Panels {
		if name := p.names[i]; len(name) > 0 {
			s.Lines(name, p.x.From, y, draw.AlignLeft, true, size, s.Theme.Ink)
			y += float64(len(name))*draw.Leading*size + 0.4*size
		}
		if people, _ := panel.headings(p.per); p.headed {
			if err := besides(s, people, p.x.From, p.x, y, false, s.Size.Note(), s.Theme.Ink); err != nil {
				return err
			}
			y += noteLine(s)
		}
		if i == 0 {
			if err := e.drawNames(s, p.x, y, e.small()); err != nil {
				return err
			}
			y += p.named
		}
		if y, err = e.drawPanel(s, panel, p, y); err != nil {
			return err
		}
		y += 0.9 * size
	}
	return e.drawAxis(s, p.x, p.bottom)
}

// drawPanel draws bars, dots and below each the line of nine in ten with its words, from
// top down, and returns where they end.
func (e EffectDistribution) drawPanel(s *draw.Sheet, p EffectPanel, plan *effectPlan, top float64) (bottom float64, err error) {
	size, t, x := s.Size.Text, s.Theme, plan.x
	people := top + plan.hump
	foot := p.foot(s, x, plan.headed)
	draws := people + foot + plan.pit
	bottom = draws + lineFoot(size)
	if p.constant() {
		e.drawBack(s, x, top, draws)
		s.Stroke(e.sideColor(t, p.Median), 1.5*s.Size.Thick, nil, draw.Point{X: x.At(p.Median), Y: draws}, draw.Point{X: x.At(p.Median), Y: top + 0.5*size})
		s.Stroke(t.Grid, s.Size.Thin, nil, draw.Point{X: x.From, Y: draws}, draw.Point{X: x.To, Y: draws})
		return bottom, besides(s, p.DrawsSay, x.At(p.Median), x, draws+0.9*size, true, size, t.Ink)
	}
	e.drawBack(s, x, top, people)
	bars := top + 0.3*size
	if room := people - bars - 1.5*size; room > e.aboveBars(s, p, x) {
		bars = e.drawAbove(s, p, x, bars)
	}
	e.drawBars(s, p, x, bars, people)
	s.Stroke(t.Grid, s.Size.Thin, nil, draw.Point{X: x.From, Y: people}, draw.Point{X: x.To, Y: people})
	for i, h := range p.People {
		low, high := x.Clamp(h.Low), x.Clamp(h.High)
		y := people + 0.45*size + 1.6*s.Size.Thick*(float64(i)-float64(len(p.People)-1)/2) // none goes on in another
		s.Stroke(t.Ink, s.Size.Thick, nil, draw.Point{X: low, Y: y}, draw.Point{X: high, Y: y})
	}
	for i, line := range p.under(s, x, plan.headed) {
		for _, label := range line {
			if err := besides(s, label.text, label.at, x, people+0.9*size+float64(i)*draw.Leading*size, true, size, t.Ink); err != nil {
				return 0, err
			}
		}
	}
	if _, heading := p.headings(plan.per); plan.headed {
		if err := besides(s, heading, x.From, x, people+foot+0.25*size, false, s.Size.Note(), t.Ink); err != nil {
			return 0, err
		}
		draws, bottom = draws+headingLine(s), bottom+headingLine(s)
	}
	for i, row := range p.rows() {
		if i > 0 {
			draws = bottom + plan.pit
			bottom = draws + lineFoot(size)
		}
		e.drawBack(s, x, draws-plan.pit+0.4*size, draws)
		says := row.short
		if !plan.headed {
			says = row.told
		}
		if err := e.drawDots(s, plan.dotted, row, draws, says); err != nil {
			return 0, err
		}
	}
	notes := e.notes(s, p, x.To-x.From)
	for _, note := range notes[:min(len(notes), plan.notes)] {
		if err := besides(s, note, x.At(p.Median), x, bottom+0.1*size, false, s.Size.Note(), t.Muted); err != nil {
			return 0, err
		}
		bottom += noteLine(s)
	}
	return bottom, nil
}

// noteLine is the height of a line of a note under others.
func noteLine(s *draw.Sheet) float64 { return draw.LineHeight(1, s.Size.Note()) + 0.1*s.Size.Text }

// headingLine is that of the heading of a layer below another.
func headingLine(s *draw.Sheet) float64 { return noteLine(s) + 0.35*s.Size.Text }

// foot is the height of the lines under the bars, and of what they say.
func (p EffectPanel) foot(s *draw.Sheet, x draw.Scale, headed bool) float64 {
	return lineFoot(s.Size.Text) + float64(max(len(p.under(s, x, headed)), 1)-1)*draw.Leading*s.Size.Text
}

// under are what stands under the humps: in one line, each as near its hump as the others let it, where
// that has room, else in a line each.
func (p EffectPanel) under(s *draw.Sheet, x draw.Scale, headed bool) (lines [][]placed) {
	size, line := s.Size.Text, make([]placed, len(p.People))
	for i, h := range p.People {
		line[i] = placed{h.Says, (x.Clamp(h.Low) + x.Clamp(h.High)) / 2, s.Theme.Ink}
		if headed {
			line[i].text = h.briefly()
		}
		lines = append(lines, line[i:i+1:i+1])
	}
	if len(line) != 2 || !headed {
		return lines
	}
	left, right := draw.TextWidth(line[0].text, true, size), draw.TextWidth(line[1].text, true, size)
	over := max(0, line[0].at+left/2+size-(line[1].at-right/2))
	both := []placed{line[0], line[1]}
	both[0].at = max(both[0].at-over/2, x.From+left/2)
	both[1].at = max(both[1].at+over/2, both[0].at+left/2+size+right/2)
	if both[1].at+right/2 > x.To {
		return lines
	}
	return [][]placed{both}
}

// far says that the middle is so far from nothing that the way there has room for its words.
func (e EffectDistribution) far(s *draw.Sheet, p EffectPanel, x draw.Scale) bool {
	clear := x.At(math.Copysign(e.TooSmall, p.Median)) // of the zone
	above, below := true, true
	for _, h := range p.People {
		above, below = above && h.Low > e.TooSmall, below && h.High < -e.TooSmall
	}
	return p.Middle != "" && (above || below) && math.Abs(x.At(p.Median)-clear) > draw.TextWidth(p.Middle, true, s.Size.Text)+2*s.Size.Text
}

// named are the names of the humps with the places that they are centred on, moved a little apart
// where they would lie over one another; nil where they have no room.
func (p EffectPanel) named(s *draw.Sheet, x draw.Scale) (names []placed) {
	note, end := s.Size.Note(), x.From
	if len(p.People) == 1 {
		return nil // who are all
	}
	for i, h := range p.People {
		half, at := draw.TextWidth(h.Name, true, note)/2, x.At(h.Middle)
		if over := end - (at - half); over > 0 && i > 0 && over < 2*note {
			names[i-1].at -= over / 2
			at += over / 2
		} else if over > 0 {
			return nil
		}
		if at+half > x.To {
			return nil
		}
		names = append(names, placed{h.Name, at, s.Theme.Ink})
		end = at + half + 0.6*note
	}
	return names
}

// aboveBars is the height of what stands above the bars of people.
func (e EffectDistribution) aboveBars(s *draw.Sheet, p EffectPanel, x draw.Scale) (height float64) {
	if e.far(s, p, x) {
		height += 2.1 * s.Size.Text
	}
	if p.named(s, x) != nil {
		height += draw.LineHeight(1, s.Size.Note()) + 0.2*s.Size.Text
	}
	return height
}

// drawAbove draws, from top down, the way from nothing to the middle with how far that is, and
// the names of the humps, and returns where the bars may begin.
func (e EffectDistribution) drawAbove(s *draw.Sheet, p EffectPanel, x draw.Scale, top float64) float64 {
	size, note, t := s.Size.Text, s.Size.Note(), s.Theme
	if e.far(s, p, x) {
		c, y := e.sideColor(t, p.Median), top+1.65*size
		from, to := x.At(0), x.At(p.Median)
		bodies.DrawArrow(s, &draw.Placer{Sheet: s}, c, 0.6*s.Size.Thick, draw.Point{X: from + math.Copysign(0.3*size, to-from), Y: y}, draw.Point{X: to, Y: y})
		clear := x.At(math.Copysign(e.TooSmall, p.Median))
		s.Text(p.Middle, (clear+to)/2, y-0.5*size, draw.AlignCenter, true, size, t.TextColor(c))
		top += 2.1 * size
	}
	if names := p.named(s, x); names != nil {
		for _, name := range names {
			s.Text(name.text, name.at, top+draw.Ascent*note, draw.AlignCenter, true, note, name.ink)
		}
		top += draw.LineHeight(1, note) + 0.2*size
	}
	return top
}

// drawBars draws the density of bodies. Neighbouring bars of one colour are
// one shape, so that no seams show; a bar that reaches over the edge of the
// zone changes colour there.
func (e EffectDistribution) drawBars(s *draw.Sheet, p EffectPanel, x draw.Scale, top, base float64) {
	highest := 0.0
	density := make([]float64, len(p.Shares))
	for i, share := range p.Shares {
		density[i] = share / (p.Edges[i+1] - p.Edges[i])
		highest = max(highest, density[i])
	}
	for _, side := range e.sidesOf() {
		var outline []draw.Point
		for i, d := range density {
			from, to := max(p.Edges[i], side.low), min(p.Edges[i+1], side.high)
			if from >= to {
				continue
			}
			if outline == nil {
				outline = append(outline, draw.Point{X: x.Clamp(from), Y: base})
			}
			y := base - d/highest*(base-top)
			outline = append(outline, draw.Point{X: x.Clamp(from), Y: y}, draw.Point{X: x.Clamp(to), Y: y})
		}
		if n := len(outline); n > 0 {
			outline = append(outline, draw.Point{X: outline[n-1].X, Y: base})
			s.Fill(e.sideColor(s.Theme, side.inside), outline...)
		}
	}
}

// Len is how many parts it can be divided into.
func (e EffectDistribution) Len() int { return len(e.Panels) }

// part implements divisible.
func (e EffectDistribution) Part(from, to int) draw.Figure {
	e.axis[0], e.axis[1] = e.xRange()
	e.Panels = e.Panels[from:to]
	return e
}

// numbered leaves the title as it is: every panel names its model.
func (e EffectDistribution) Numbered(int, int) draw.Figure { return e }
