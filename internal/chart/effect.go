package chart

import (
	"fmt"
	"math"
	"strings"
)

// An EffectPanel is the paired effect under one model.
type EffectPanel struct {
	Model string // and its verdict, shown where there are several

	// Shares[i] is the share of people with an effect between Edges[i] and Edges[i+1],
	// in a typical draw of what nobody has measured. The shares may sum to less than 1, where
	// bodies became unable to take the pose or lie outside. Both are empty where the
	// effect is the same for every body in every draw, and Draws with them.
	Edges, Shares []float64
	P5, P95       float64 // of people
	PeopleSay     string  // how people differ, in words
	Middle        string  // the effect on the middle person, in words; may be empty

	Spread // of the median effect
}

// An EffectDistribution shows how the effect of a change is spread over people and,
// under that, over the draws of what nobody has measured, one panel for each model, all over
// the same axis. The bars of a panel are drawn to its own highest; what is infinite
// stands at the end of the axis.
type EffectDistribution struct {
	Title string
	Zone
	Panels []EffectPanel
	Bodies []Silhouette // before and after the change; may be empty
	Foot   Foot

	axis [2]float64 // where the axis begins and ends, of a part of a figure; both 0: as the panels say
}

func (e EffectDistribution) Heading() (string, Foot) { return e.Title, e.Foot }

// Alt implements Figure.
func (e EffectDistribution) Alt() string {
	var b strings.Builder
	fmt.Fprintf(&b, "A hump of people above dots over one axis, %s", e.alt())
	for _, p := range e.Panels {
		parts := []string{p.told(0)}
		if !p.constant() {
			parts = []string{p.PeopleSay, p.told(0)}
			if p.Of != "" {
				parts = append(parts, e.falls(p.Draws))
			}
		}
		fmt.Fprintf(&b, " %s: %s.", p.Model, strings.Join(parts, "; "))
	}
	b.WriteString(shown(e.Bodies))
	return described(e, &b)
}

// constant says that every body has the same effect in every draw.
func (p EffectPanel) constant() bool {
	return len(p.Edges) == 0 && len(p.Draws) == 0 && p.Low == p.High && p.P5 == p.P95
}

func (e EffectDistribution) Check() error {
	const kind = "effect distribution"
	if err := e.Zone.check(kind); err != nil {
		return err
	}
	if len(e.Panels) == 0 {
		return wrong(kind, "no panel")
	}
	for _, p := range e.Panels {
		if p.Model == "" {
			return wrong(kind, "a panel has no model")
		}
		if !(p.P5 <= p.P95) || !p.constant() && p.PeopleSay == "" {
			return wrong(kind, "%s: quantiles %v to %v of people, called %q", p.Model, p.P5, p.P95, p.PeopleSay)
		}
		if err := p.Spread.check(kind + ": " + p.Model); err != nil {
			return err
		}
		if err := p.checkBins(); err != nil {
			return err
		}
	}
	return checkSilhouettes(kind, e.Bodies)
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
	var values []float64
	for _, p := range e.Panels {
		values = append(append(values, p.P5, p.P95, p.Median), p.Draws...)
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
	bodies    rect // where they are drawn; empty for none
	top       float64
	bottom    float64    // where the axis is
	names     [][]string // of the panels, where there are several
	hump, pit float64    // heights: of bars and of dots
}

// plan divides the room: everything but the bars and the dots has a fixed height, and
// they share the rest.
func (e EffectDistribution) plan(s *sheet) (*effectPlan, error) {
	size := s.size.text
	p := &effectPlan{}
	body := s.body
	if len(e.Bodies) > 0 {
		p.bodies, body = s.aside(0.27, 0.23)
	}
	p.x.from, p.x.to = body.x0, body.x1
	p.x.low, p.x.high = e.xRange()
	axis, err := e.axisHeight(s, p.x.to-p.x.from)
	if err != nil {
		return nil, err
	}
	p.top = body.y0
	p.bottom = body.y1 - axis
	rest := p.bottom - p.top - nameHeight(size)
	for _, panel := range e.Panels {
		var name []string
		if len(e.Panels) > 1 || e.axis[0] < e.axis[1] {
			if name, err = s.wrap(panel.Model, true, size, body.width()); err != nil {
				return nil, err
			}
			rest -= float64(len(name))*leading*size + 0.4*size
		}
		p.names = append(p.names, name)
		rest -= 2*lineFoot(size) + 0.9*size
	}
	each := rest / float64(len(e.Panels))
	p.hump, p.pit = 0.58*each, 0.42*each
	if each < 3.2*size {
		return nil, fmt.Errorf("chart: effect distribution: %d panels do not fit on the %s", len(e.Panels), s.size.Name)
	}
	spreads := make([][]float64, len(e.Panels))
	for i, panel := range e.Panels {
		spreads[i] = panel.Draws
	}
	p.dotted = dotsIn(p.x, size, p.pit-0.6*size, spreads...)
	return p, nil
}

func (e EffectDistribution) Draw(s *sheet) error {
	size := s.size.text
	p, err := e.plan(s)
	if err != nil {
		return err
	}
	if len(e.Bodies) > 0 {
		if err := silhouettes(s, e.Bodies, s.theme.pair(), p.bodies); err != nil {
			return err
		}
	}
	y := p.top
	for i, panel := range e.Panels {
		if name := p.names[i]; len(name) > 0 {
			s.lines(name, p.x.from, y, alignLeft, true, size, s.theme.Ink)
			y += float64(len(name))*leading*size + 0.4*size
		}
		if i == 0 {
			if err := e.drawName(s, p.x, y); err != nil {
				return err
			}
			y += nameHeight(size)
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
func (e EffectDistribution) drawPanel(s *sheet, p EffectPanel, plan *effectPlan, top float64) (bottom float64, err error) {
	size, t, x := s.size.text, s.theme, plan.x
	people := top + plan.hump
	draws := people + lineFoot(size) + plan.pit
	bottom = draws + lineFoot(size)
	if p.constant() {
		e.drawBack(s, x, top, draws)
		s.stroke(e.sideColor(t, p.Median), 1.5*s.size.thick, nil, point{x.at(p.Median), draws}, point{x.at(p.Median), top + 0.5*size})
		s.stroke(t.Grid, s.size.thin, nil, point{x.from, draws}, point{x.to, draws})
		return bottom, besides(s, p.DrawsSay, x.at(p.Median), x, draws+0.9*size, true, size, t.Ink)
	}
	e.drawBack(s, x, top, people)
	e.drawBack(s, x, draws-plan.pit+0.4*size, draws)
	e.drawBars(s, p, x, top+0.3*size, people)
	s.stroke(t.Grid, s.size.thin, nil, point{x.from, people}, point{x.to, people})
	s.stroke(t.Ink, s.size.thick, nil, point{x.clamp(p.P5), people + 0.45*size}, point{x.clamp(p.P95), people + 0.45*size})
	e.drawWay(s, p, x, people-0.42*plan.hump)
	if err := besides(s, p.PeopleSay, (x.clamp(p.P5)+x.clamp(p.P95))/2, x, people+0.9*size, true, size, t.Ink); err != nil {
		return 0, err
	}
	return bottom, e.drawDots(s, plan.dotted, p.Spread, draws)
}

// drawWay draws the way from nothing to people who are far from it, and how far it is.
func (e EffectDistribution) drawWay(s *sheet, p EffectPanel, x scale, y float64) {
	size, t := s.size.text, s.theme
	from, near := x.at(0), x.clamp(p.P5)
	if p.P95 < 0 {
		near = x.clamp(p.P95)
	}
	for i, share := range p.Shares { // those who are nearest
		switch {
		case share == 0:
		case p.P95 < 0:
			near = max(near, x.clamp(p.Edges[i+1]))
		default:
			near = min(near, x.clamp(p.Edges[i]))
		}
	}
	way := math.Copysign(1, near-from)
	from, near = from+way*0.3*size, near-way*0.5*size
	clear := x.at(math.Copysign(e.TooSmall, p.Median)) // of the zone
	if p.Middle == "" || p.P5 <= e.TooSmall && p.P95 >= -e.TooSmall || way*(near-clear) < textWidth(p.Middle, true, size)+2*size {
		return
	}
	c := e.sideColor(t, p.Median)
	drawArrow(s, &placer{sheet: s}, c, 0.6*s.size.thick, point{from, y}, point{near, y})
	s.text(p.Middle, (clear+near)/2, y-0.5*size, alignCenter, true, size, t.textColor(c))
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

func (e EffectDistribution) Len() int { return len(e.Panels) }

// part implements divisible.
func (e EffectDistribution) Part(from, to int) Figure {
	e.axis[0], e.axis[1] = e.xRange()
	e.Panels = e.Panels[from:to]
	return e
}

// numbered leaves the title as it is: every panel names its model.
func (e EffectDistribution) Numbered(int, int) Figure { return e }
