package chart

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/words"
)

// An EffectPanel is the paired effect under one model.
type EffectPanel struct {
	Model string // and its verdict
	Says  string // what stands below it; may be empty

	// Shares[i] is the share of people with an effect between Edges[i] and Edges[i+1],
	// in a typical draw of what nobody has measured. The shares may sum to less than 1, where
	// bodies became unable to take the pose or lie outside. Both are empty where the
	// effect is the same for every body in every draw, and Draws with them.
	Edges, Shares []float64
	P5, P95       float64 // of people

	Draws             []float64 // the median effect in each draw, increasing
	Median, Low, High float64   // of the draws: the median, 5 and 95 %
}

// An EffectDistribution shows how the effect of a change is spread over people and,
// under that, over the draws of what nobody has measured, one panel for each model, all over
// the same axis. The bars of a panel are drawn to its own highest; what is infinite
// stands at the end of the axis.
type EffectDistribution struct {
	Title    string
	XLabel   string  // the effect and its unit
	Unit     string  // of the effect, such as "BW"
	People   string  // who is spread, such as "people" or "pairs of people"
	TooSmall float64 // half width of the zone of effects too small to matter, above 0
	Below    string  // what an effect below the zone is, such as "easier"
	Above    string  // what an effect above the zone is, such as "harder"
	Central  bool    // whether nothing but people was drawn, so that the draws say nothing of what nobody has measured
	Panels   []EffectPanel
	Foot     Foot

	axis [2]float64 // where the axis begins and ends, of a part of a figure; both 0: as the panels say
}

func (e EffectDistribution) heading() (string, Foot) { return e.Title, e.Foot }

// Alt implements Figure.
func (e EffectDistribution) Alt() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Distribution of: %s; within\u00a0±%s it is too small to matter, below that %s, above it %s.", e.XLabel, e.zone(), e.Below, e.Above)
	for _, p := range e.Panels {
		parts := []string{p.Says, e.drawsLabel(p)}
		if !p.constant() {
			parts = append(parts, e.peopleLabel(p)+" (5–95\u00a0% each)")
		}
		fmt.Fprintf(&b, " %s: %s.", p.Model, strings.TrimPrefix(strings.Join(parts, "; "), "; "))
	}
	return described(e, &b)
}

func (e EffectDistribution) zone() string { return e.in(words.Given(e.TooSmall)) }

// in puts the unit behind a number.
func (e EffectDistribution) in(number string) string {
	return words.OneLine(words.WithUnit(number, e.Unit))
}

// constant says that every body has the same effect in every draw.
func (p EffectPanel) constant() bool {
	return len(p.Edges) == 0 && len(p.Draws) == 0 && p.Low == p.High && p.P5 == p.P95
}

func (e EffectDistribution) value(x float64) string { return words.Signed(x, words.Finer(e.TooSmall)) }

// drawsLabel and peopleLabel are the numbers of a panel's two parts.
func (e EffectDistribution) drawsLabel(p EffectPanel) string {
	if p.constant() {
		return "every body: " + e.in(e.value(p.Median))
	}
	if e.Central {
		return "median " + e.in(e.value(p.Median))
	}
	return fmt.Sprintf("median %s; what nobody has measured: %s", e.in(e.value(p.Median)), e.span(p.Low, p.High))
}

func (e EffectDistribution) peopleLabel(p EffectPanel) string {
	return e.People + ": " + e.span(p.P5, p.P95)
}

func (e EffectDistribution) span(low, high float64) string {
	if e.value(low) == e.value(high) {
		return e.in(e.value(low))
	}
	return e.value(low) + " to\u00a0" + e.in(e.value(high))
}

func (e EffectDistribution) check() error {
	if e.XLabel == "" || e.Unit == "" || e.People == "" || e.Below == "" || e.Above == "" {
		return fmt.Errorf("chart: effect distribution: axis label, unit, people or name of a side is missing")
	}
	if !drawable(e.TooSmall) || e.TooSmall <= 0 {
		return fmt.Errorf("chart: effect distribution: half width %v of the zone, want above 0", e.TooSmall)
	}
	if len(e.Panels) == 0 {
		return fmt.Errorf("chart: effect distribution: no panel")
	}
	for _, p := range e.Panels {
		if p.Model == "" {
			return fmt.Errorf("chart: effect distribution: a panel has no model")
		}
		if !drawable(p.Median) || !(p.P5 <= p.P95 && p.Low <= p.Median && p.Median <= p.High) {
			return fmt.Errorf("chart: effect distribution: %s: quantiles %v to %v of people; %v, %v, %v of draws", p.Model, p.P5, p.P95, p.Low, p.Median, p.High)
		}
		if !slices.IsSorted(p.Draws) || slices.ContainsFunc(p.Draws, math.IsNaN) {
			return fmt.Errorf("chart: effect distribution: %s: the draws do not increase", p.Model)
		}
		if err := p.checkBins(); err != nil {
			return err
		}
	}
	return nil
}

func (p EffectPanel) checkBins() error {
	if p.constant() {
		return nil
	}
	if len(p.Edges) != len(p.Shares)+1 || len(p.Shares) == 0 || len(p.Draws) == 0 {
		return fmt.Errorf("chart: effect distribution: %s: %d edges, %d shares and %d draws, want one edge more and a draw", p.Model, len(p.Edges), len(p.Shares), len(p.Draws))
	}
	if !drawable(p.Edges...) || !drawable(p.Shares...) {
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
	low, high = -2*e.TooSmall, 2*e.TooSmall
	see := func(values ...float64) {
		for _, v := range values {
			if drawable(v) {
				low, high = min(low, v), max(high, v)
			}
		}
	}
	for _, p := range e.Panels {
		see(p.P5, p.P95, p.Median)
		see(p.Draws...)
		for i, share := range p.Shares {
			if share > 0 {
				see(p.Edges[i], p.Edges[i+1])
			}
		}
	}
	pad := 0.06 * (high - low)
	return low - pad, high + pad
}

// effectPlan is how an effect distribution is divided on a sheet.
type effectPlan struct {
	x          scale
	bottom     float64    // where the axis is
	text       rect       // across: where the words of a panel stand
	wide       bool       // left of the bars and not above them
	names      [][]string // of the panels
	says       [][]string
	hump, dots float64 // heights
	per        int     // draws to a dot
	dot        float64 // its diameter
}

// head is the height of the words of a panel.
func (p *effectPlan) head(s *sheet, i int) float64 {
	return float64(len(p.names[i]))*leading*s.size.text + lineHeight(len(p.says[i]), s.size.note()) + 0.4*s.size.text
}

// lineFoot is the height of a line that shows a range, with its numbers below it.
func lineFoot(size float64) float64 { return 0.9*size + lineHeight(1, size) }

// zoneRow is the height of the name of the zone.
func zoneRow(size float64) float64 { return lineHeight(1, size) + 0.3*size }

// plan divides the room below top: everything but the bars and the dots
// has a fixed height, and they share the rest.
func (e EffectDistribution) plan(s *sheet, top float64) (*effectPlan, error) {
	size := s.size.text
	p := &effectPlan{text: s.body, wide: s.size.width > s.size.height}
	p.x.from, p.x.to = s.body.x0, s.body.x1
	if p.wide {
		p.text.x1 = s.body.x0 + 0.26*s.body.width()
		p.x.from = p.text.x1 + size
	}
	p.x.low, p.x.high = e.xRange()
	axis, err := s.axisHeight(e.XLabel, p.x.to-p.x.from)
	if err != nil {
		return nil, err
	}
	p.bottom = s.body.y1 - axis
	rest := p.bottom - top - zoneRow(size)
	for i, panel := range e.Panels {
		name, err := s.wrap(panel.Model, true, size, p.text.width())
		if err != nil {
			return nil, err
		}
		says, err := s.wrap(panel.Says, false, s.size.note(), p.text.width())
		if err != nil {
			return nil, err
		}
		p.names, p.says = append(p.names, name), append(p.says, says)
		rest -= 2*lineFoot(size) + 0.9*size
		if !p.wide {
			rest -= p.head(s, i)
		}
	}
	each := rest / float64(len(e.Panels))
	p.hump, p.dots = 0.58*each, 0.42*each
	tooMany := fmt.Errorf("chart: effect distribution: %d panels do not fit on the %s", len(e.Panels), s.size.Name)
	if each < 3.2*size {
		return nil, tooMany
	}
	for i := range e.Panels {
		if p.wide && p.head(s, i) > each+2*lineFoot(size) {
			return nil, tooMany
		}
	}
	for p.per = 1; ; p.per *= 2 {
		for p.dot = 0.45 * size; p.dot >= 0.15*size; p.dot *= 0.93 {
			if !slices.ContainsFunc(e.Panels, func(panel EffectPanel) bool { return p.tallest(panel)*p.dot > p.dots-0.2*size }) {
				return p, nil
			}
		}
	}
}

// each calls set for every dot of a panel: the draw in the middle of those that it stands
// for, in columns as wide as dots, with how many lie under it.
func (p *effectPlan) each(panel EffectPanel, set func(v, x float64, under int)) {
	under := map[int]int{}
	zero := p.x.at(0)
	for i := p.per / 2; i < len(panel.Draws); i += p.per {
		v := panel.Draws[i]
		column := int(math.Round((p.x.clamp(v) - zero) / p.dot))
		set(v, zero+float64(column)*p.dot, under[column])
		under[column]++
	}
}

// tallest is how many dots lie on one another in a panel.
func (p *effectPlan) tallest(panel EffectPanel) float64 {
	most := 0
	p.each(panel, func(_, _ float64, under int) { most = max(most, under+1) })
	return float64(most)
}

// key says what the two parts of a panel are.
func (e EffectDistribution) key(per int) string {
	if !slices.ContainsFunc(e.Panels, func(p EffectPanel) bool { return !p.constant() }) {
		return ""
	}
	dots := "a dot each"
	if per > 1 {
		dots = fmt.Sprintf("a dot for\u00a0%d", per)
	}
	if e.Central {
		return fmt.Sprintf("Hump: %s. Only people were drawn. Lines: 5–95\u00a0%%.", e.People)
	}
	return fmt.Sprintf("Hump: %s, in a typical draw. Dots: the draws of what nobody has measured, %s, at their medians. Lines: 5–95\u00a0%%.", e.People, dots)
}

func (e EffectDistribution) draw(s *sheet) error {
	size := s.size.text
	// How many draws a dot stands for is known when the key has its room.
	keyed, err := s.balance(e.key(512), false, s.size.note(), s.body.width())
	if err != nil {
		return err
	}
	top := s.body.y0
	if len(keyed) > 0 {
		top += lineHeight(len(keyed), s.size.note()) + 0.6*size
	}
	p, err := e.plan(s, top)
	if err != nil {
		return err
	}
	if _, err := s.paragraph(e.key(p.per), s.body.y0, s.size.note()); err != nil {
		return err
	}
	y := top
	for i, panel := range e.Panels {
		at := point{p.text.x0, y}
		if p.wide && i == 0 {
			at.y += zoneRow(size)
		}
		s.lines(p.names[i], at.x, at.y, alignLeft, true, size, s.theme.Ink)
		s.lines(p.says[i], at.x, at.y+float64(len(p.names[i]))*leading*size, alignLeft, false, s.size.note(), s.theme.Muted)
		if !p.wide {
			y += p.head(s, i)
		}
		if i == 0 {
			if err := e.drawSides(s, p.x, y); err != nil {
				return err
			}
			y += zoneRow(size)
		}
		if y, err = e.drawPanel(s, panel, p, y); err != nil {
			return err
		}
		y += 0.9 * size
	}
	s.stroke(s.theme.Muted, s.size.thin, nil, point{p.x.from, p.bottom}, point{p.x.to, p.bottom})
	return s.horizontalAxis(p.x, p.bottom, e.XLabel)
}

// drawSides names the zone, as near above it as may be, and what lies on either side.
func (e EffectDistribution) drawSides(s *sheet, x scale, y float64) error {
	size, t := s.size.text, s.theme
	below, above := "← "+e.Below, e.Above+" →"
	s.text(below, x.from, y+ascent*size, alignLeft, true, size, t.textColor(t.Below))
	s.text(above, x.to, y+ascent*size, alignRight, true, size, t.textColor(t.Above))
	zero := x.at(0)
	x.from, x.to = x.from+textWidth(below, true, size)+size, x.to-textWidth(above, true, size)-size
	return s.besides(fmt.Sprintf("too small to matter: within\u00a0±%s", e.zone()), zero, x, y, false, t.Muted)
}

// besides sets a line of text centred on a place as nearly as the ends of the axis let
// it, from top down.
func (s *sheet) besides(text string, center float64, x scale, top float64, bold bool, c color.RGBA) error {
	width := textWidth(text, bold, s.size.text)
	if width > x.to-x.from {
		return fmt.Errorf("chart: no room on the %s for %q", s.size.Name, text)
	}
	left := min(max(center-width/2, x.from), x.to-width)
	s.text(text, left, top+ascent*s.size.text, alignLeft, bold, s.size.text, c)
	return nil
}

// drawPanel draws bars, dots and below each the 5–95 % line with its values, from top
// down, and returns where they end.
func (e EffectDistribution) drawPanel(s *sheet, p EffectPanel, plan *effectPlan, top float64) (bottom float64, err error) {
	size, t, x := s.size.text, s.theme, plan.x
	people := top + plan.hump
	draws := people + lineFoot(size) + plan.dots
	if p.constant() {
		people = draws
	}
	s.fillRect(t.Zone, rect{x.at(-e.TooSmall), top, x.at(e.TooSmall), draws + 0.9*size})
	line := func(base, low, high, width float64) {
		s.stroke(t.Ink, width, nil, point{x.clamp(low), base + 0.45*size}, point{x.clamp(high), base + 0.45*size})
	}
	if p.constant() {
		s.stroke(e.sideColor(t, p.Median), 1.5*s.size.thick, nil, point{x.at(p.Median), draws}, point{x.at(p.Median), top + 0.5*size})
	} else {
		e.drawBars(s, p, x, top+0.3*size, people)
		line(people, p.P5, p.P95, s.size.thin)
		if err := s.besides(e.peopleLabel(p), (x.clamp(p.P5)+x.clamp(p.P95))/2, x, people+0.9*size, false, t.Muted); err != nil {
			return 0, err
		}
		plan.each(p, func(v, at float64, under int) {
			s.disc(e.sideColor(t, v), point{at, draws - (float64(under)+0.5)*plan.dot}, 0.46*plan.dot)
		})
		line(draws, p.Low, p.High, s.size.thick)
		for k, c := range []color.RGBA{t.Background, t.Ink} { // with a rim, to stand out on the line
			s.stroke(c, (4-2.2*float64(k))*s.size.thin, nil, point{x.at(p.Median), draws + 0.1*size}, point{x.at(p.Median), draws + 0.8*size})
		}
	}
	dotted := []float64{2 * s.size.thin, 2 * s.size.thin}
	for _, part := range [][2]float64{{top, people}, {draws - plan.dots, draws}} {
		s.stroke(t.Grid, s.size.thin, nil, point{x.from, part[1]}, point{x.to, part[1]})
		s.stroke(mix(t.Ink, t.Background, 0.25), s.size.thin, dotted, point{x.at(0), part[0]}, point{x.at(0), part[1]})
	}
	err = s.besides(e.drawsLabel(p), x.at(p.Median), x, draws+0.9*size, true, t.Ink)
	return draws + lineFoot(size), err
}

func (e EffectDistribution) sideColor(t Theme, effect float64) color.RGBA {
	switch {
	case effect < -e.TooSmall:
		return t.Below
	case effect > e.TooSmall:
		return t.Above
	default:
		return mix(t.Muted, t.Background, 0.25)
	}
}

// drawBars draws the density of bodies. Neighbouring bars of one colour are
// one shape, so that no seams show; a bar that reaches over the edge of the
// zone changes colour there.
func (e EffectDistribution) drawBars(s *sheet, p EffectPanel, x scale, top, base float64) {
	highest := 0.0
	density := make([]float64, len(p.Shares))
	for i, share := range p.Shares {
		density[i] = share / (p.Edges[i+1] - p.Edges[i])
		highest = max(highest, density[i])
	}
	for _, side := range []struct {
		low, high float64
		inside    float64 // an effect on this side
	}{
		{math.Inf(-1), -e.TooSmall, -2 * e.TooSmall},
		{-e.TooSmall, e.TooSmall, 0},
		{e.TooSmall, math.Inf(1), 2 * e.TooSmall},
	} {
		var outline []point
		for i, d := range density {
			from, to := max(p.Edges[i], side.low), min(p.Edges[i+1], side.high)
			if from >= to {
				continue
			}
			if outline == nil {
				outline = append(outline, point{x.clamp(from), base})
			}
			y := base - d/highest*(base-top)
			outline = append(outline, point{x.clamp(from), y}, point{x.clamp(to), y})
		}
		if n := len(outline); n > 0 {
			outline = append(outline, point{outline[n-1].x, base})
			s.fill(e.sideColor(s.theme, side.inside), outline...)
		}
	}
}

func (e EffectDistribution) length() int { return len(e.Panels) }

// part implements divisible.
func (e EffectDistribution) part(from, to int) Figure {
	e.axis[0], e.axis[1] = e.xRange()
	e.Panels = e.Panels[from:to]
	return e
}

// numbered leaves the title as it is: every panel names its model.
func (e EffectDistribution) numbered(int, int) Figure { return e }
