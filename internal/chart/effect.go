package chart

import (
	"fmt"
	"image/color"
	"math"
	"strings"

	"counterpoise/internal/words"
)

// An EffectPanel is the paired effect over all bodies under one model.
type EffectPanel struct {
	Model string

	// Shares[i] is the share of bodies with an effect between Edges[i] and
	// Edges[i+1]. The shares may sum to less than 1, where bodies became unable
	// to take the pose or lie outside. Both are empty where the effect is the
	// same for every body.
	Edges, Shares []float64

	Median, P5, P95      float64 // equal where the effect is the same for every body
	Below, Within, Above float64 // shares of bodies below, inside and above the zone; sum 1
}

// An EffectDistribution shows how the effect of a change is spread over
// people, one panel for each model, all over the same axis. The bars of a
// panel are drawn to its own highest.
type EffectDistribution struct {
	Title    string
	XLabel   string  // the effect and its unit
	Unit     string  // of the effect, such as "BW"
	TooSmall float64 // half width of the zone of effects too small to matter, above 0
	Below    string  // what an effect below the zone is, such as "easier"
	Above    string  // what an effect above the zone is, such as "harder"
	Panels   []EffectPanel
	Foot     Foot

	axis [2]float64 // where the axis begins and ends, of a part of a figure; both 0: as the panels say
}

func (e EffectDistribution) heading() (string, Foot) { return e.Title, e.Foot }

// Alt implements Figure.
func (e EffectDistribution) Alt() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Distribution over people of: %s.", e.XLabel)
	for _, p := range e.Panels {
		fmt.Fprintf(&b, " %s: %s; %s %s, %s too small to matter, %s %s.", p.Model, e.summary(p),
			share(p.Below), e.side(e.Below), share(p.Within), share(p.Above), e.side(e.Above))
	}
	return described(e, &b)
}

func (e EffectDistribution) zone() string { return words.Given(e.TooSmall) + "\u00a0" + e.Unit }

func (e EffectDistribution) side(name string) string {
	return name + " by more than " + e.zone()
}

func (p EffectPanel) constant() bool { return p.P5 == p.P95 }

func (e EffectDistribution) summary(p EffectPanel) string {
	d := words.Finer(e.TooSmall)
	if p.constant() {
		return fmt.Sprintf("every body: %s\u00a0%s", words.Signed(p.Median, d), e.Unit)
	}
	return fmt.Sprintf("median %s\u00a0%s, 5–95\u00a0%%: %s to\u00a0%s", words.Signed(p.Median, d), e.Unit, words.Signed(p.P5, d), words.Signed(p.P95, d))
}

func (e EffectDistribution) check() error {
	if e.XLabel == "" || e.Unit == "" || e.Below == "" || e.Above == "" {
		return fmt.Errorf("chart: effect distribution: axis label, unit or name of a side is missing")
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
		if !drawable(p.Median, p.P5, p.P95) || p.P5 > p.Median || p.Median > p.P95 {
			return fmt.Errorf("chart: effect distribution: %s: quantiles %v, %v, %v", p.Model, p.P5, p.Median, p.P95)
		}
		if sum := p.Below + p.Within + p.Above; !drawable(sum) || min(p.Below, p.Within, p.Above) < 0 || math.Abs(sum-1) > 1e-9 {
			return fmt.Errorf("chart: effect distribution: %s: shares %v, %v, %v, want them to sum to 1", p.Model, p.Below, p.Within, p.Above)
		}
		if err := p.checkBins(); err != nil {
			return err
		}
	}
	return nil
}

func (p EffectPanel) checkBins() error {
	if len(p.Edges) == 0 && len(p.Shares) == 0 && p.constant() {
		return nil
	}
	if len(p.Edges) != len(p.Shares)+1 || len(p.Shares) == 0 {
		return fmt.Errorf("chart: effect distribution: %s: %d edges and %d shares, want one edge more", p.Model, len(p.Edges), len(p.Shares))
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

// xRange holds all bins that anyone is in, zero and twice the zone.
func (e EffectDistribution) xRange() (low, high float64) {
	if e.axis[0] < e.axis[1] {
		return e.axis[0], e.axis[1]
	}
	low, high = -2*e.TooSmall, 2*e.TooSmall
	for _, p := range e.Panels {
		low, high = min(low, p.P5), max(high, p.P95)
		for i, share := range p.Shares {
			if share > 0 {
				low, high = min(low, p.Edges[i]), max(high, p.Edges[i+1])
			}
		}
	}
	pad := 0.06 * (high - low)
	return low - pad, high + pad
}

func (e EffectDistribution) draw(s *sheet) error {
	size := s.size.text
	// A wide figure has the words left of the bars, a tall one above them.
	text := s.body
	bars := s.body
	wide := s.size.width > s.size.height
	if wide {
		text.x1 = s.body.x0 + 0.26*s.body.width()
		bars.x0 = text.x1 + size
	}
	x := scale{from: bars.x0, to: bars.x1}
	x.low, x.high = e.xRange()
	axis, err := s.axisHeight(e.XLabel, bars.width())
	if err != nil {
		return err
	}
	bottom := s.body.y1 - axis

	// Everything but the bars has a fixed height; they share the rest.
	heads := make([][]string, len(e.Panels))
	fixed := lineHeight(1, size) + 0.3*size // the label of the zone
	for i, p := range e.Panels {
		if heads[i], err = s.wrap(p.Model, true, size, text.width()); err != nil {
			return err
		}
		fixed += e.footHeight(size)
		if !wide {
			fixed += e.headHeight(s, p, heads[i], text)
		}
	}
	height := (bottom - s.body.y0 - fixed) / float64(len(e.Panels))
	tooMany := fmt.Errorf("chart: effect distribution: %d panels do not fit on the %s", len(e.Panels), s.size.Name)
	if height < 2.5*size {
		return tooMany
	}
	y := s.body.y0
	for i, p := range e.Panels {
		at := text
		at.y0 = y
		if wide && i == 0 {
			at.y0 += lineHeight(1, size) + 0.3*size
		}
		e.drawHead(s, p, heads[i], at)
		if head := e.headHeight(s, p, heads[i], text); !wide {
			y += head
		} else if head > height+e.footHeight(size) {
			return tooMany
		}
		if i == 0 {
			if err := e.drawZoneLabel(s, x, y); err != nil {
				return err
			}
			y += lineHeight(1, size) + 0.3*size
		}
		if err := e.drawPanel(s, p, x, y, y+height); err != nil {
			return err
		}
		y += height + e.footHeight(size)
	}
	s.stroke(s.theme.Muted, s.size.thin, nil, point{x.from, bottom}, point{x.to, bottom})
	return s.horizontalAxis(x, bottom, e.XLabel)
}

// drawZoneLabel names the zone just above it, as near as the edges let it.
func (e EffectDistribution) drawZoneLabel(s *sheet, x scale, y float64) error {
	size := s.size.text
	label := fmt.Sprintf("too small to matter: within\u00a0±%s", e.zone())
	left, err := s.besides(label, x.at(0), x, size)
	if err != nil {
		return err
	}
	s.text(label, left, y+ascent*size, alignLeft, false, size, s.theme.Muted)
	return nil
}

// besides returns the left end of a text that is centred on a place as nearly
// as the ends of the axis let it.
func (s *sheet) besides(text string, center float64, x scale, size float64) (float64, error) {
	width := textWidth(text, false, size)
	if width > x.to-x.from {
		return 0, fmt.Errorf("chart: no room on the %s for %q", s.size.Name, text)
	}
	return min(max(center-width/2, x.from), x.to-width), nil
}

// shareText is the share of bodies on one side, as a number and a word.
type shareText struct {
	number, word string
	color        color.RGBA
}

func (e EffectDistribution) shares(p EffectPanel, t Theme) []shareText {
	return []shareText{
		{share(p.Below), e.Below, t.textColor(t.Below)},
		{share(p.Within), "too small to matter", t.Muted},
		{share(p.Above), e.Above, t.textColor(t.Above)},
	}
}

func (h shareText) width(size float64) float64 {
	return textWidth(h.number, true, size) + 0.3*size + textWidth(h.word, false, size)
}

// flow sets the shares one after the other, as many to a line as fit, and
// returns how many lines they take.
func (e EffectDistribution) flow(s *sheet, p EffectPanel, at rect, set func(h shareText, x float64, line int)) int {
	size, x, line := s.size.text, at.x0, 0
	for _, h := range e.shares(p, s.theme) {
		if x > at.x0 && x+h.width(size) > at.x1 {
			x, line = at.x0, line+1
		}
		set(h, x, line)
		x += h.width(size) + 1.5*size
	}
	return line + 1
}

// headHeight is the height of the model's name and the shares.
func (e EffectDistribution) headHeight(s *sheet, p EffectPanel, name []string, at rect) float64 {
	lines := e.flow(s, p, at, func(shareText, float64, int) {})
	return lineHeight(len(name)+lines, s.size.text) + 0.5*s.size.text
}

func (e EffectDistribution) drawHead(s *sheet, p EffectPanel, name []string, at rect) {
	size := s.size.text
	s.lines(name, at.x0, at.y0, alignLeft, true, size, s.theme.Ink)
	first := at.y0 + (float64(len(name))*leading+ascent)*size
	e.flow(s, p, at, func(h shareText, x float64, line int) {
		y := first + float64(line)*leading*size
		s.text(h.number, x, y, alignLeft, true, size, h.color)
		s.text(h.word, x+textWidth(h.number, true, size)+0.3*size, y, alignLeft, false, size, h.color)
	})
}

// footHeight is the height below the bars: the 5–95 % line and its values.
func (e EffectDistribution) footHeight(size float64) float64 {
	return 1.1*size + lineHeight(1, size) + 0.6*size
}

// drawPanel draws the bars between top and base and, below them, the 5–95 %
// line with the median and their values.
func (e EffectDistribution) drawPanel(s *sheet, p EffectPanel, x scale, top, base float64) error {
	size, t := s.size.text, s.theme
	middle := base + 0.55*size
	s.fillRect(t.Zone, rect{x.at(-e.TooSmall), top, x.at(e.TooSmall), base + 1.1*size})
	s.stroke(t.Grid, s.size.thin, nil, point{x.from, base}, point{x.to, base})
	zero := func() {
		dots := []float64{2 * s.size.thin, 2 * s.size.thin}
		s.stroke(mix(t.Ink, t.Background, 0.25), s.size.thin, dots, point{x.at(0), top}, point{x.at(0), base})
	}
	if p.constant() {
		zero()
		s.stroke(e.sideColor(t, p.Median), 1.5*s.size.thick, nil, point{x.at(p.Median), base}, point{x.at(p.Median), top + 0.5*size})
	} else {
		e.drawBars(s, p, x, top+0.3*size, base)
		zero()
	}
	s.stroke(t.Ink, s.size.thin*1.4, nil, point{x.at(p.P5), middle}, point{x.at(p.P95), middle})
	s.spot(t.Ink, point{x.at(p.Median), middle}, 1.3*s.size.thick)
	text := e.summary(p)
	left, err := s.besides(text, x.at(p.Median), x, size)
	if err != nil {
		return err
	}
	s.text(text, left, base+1.1*size+ascent*size, alignLeft, false, size, t.Ink)
	return nil
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
