// Package chart draws the charts: required force over the arm's angle, the spread of an effect
// over people, an overview of many effects and so on. A chart is a plain value of names and
// numbers, a draw.Figure with units on its axes and labels beside what they name; this package
// knows nothing of mechanics and computes nothing but the layout.
package chart

import (
	"fmt"
	"image/color"
	"math"
	"slices"

	"counterpoise/internal/draw"
	"counterpoise/internal/words"
	"counterpoise/sim/names"
)

// A Zone is where effects are too small to matter, with what lies on either side of it.
type Zone struct {
	XLabel   string  // the effect and its unit
	Unit     string  // of the effect, such as "BW"
	TooSmall float64 // half width of the zone, above 0
	Below    string  // what an effect below the zone is, such as "easier"
	Above    string  // what an effect above the zone is, such as "harder"
	Said     float64 // the size that the saying promises; 0 where it promises none

	SaidFrom, SaidTo float64 // from where to where that counts as said
	Counts           string  // names that band
}

// A Spread is what the draws of what nobody has measured say of an effect.
type Spread struct {
	Draws             []float64 // the effect in each draw, increasing
	Median, Low, High float64   // of the draws: the median, 5 and 95 %
	Whose             string    // of several people; empty where it is of all
	Of                string    // what they are draws of; empty where it is only people
	DrawsSay          string    // the same in words
}

func (z Zone) check(kind string) error {
	if z.XLabel == "" || z.Unit == "" || z.Below == "" || z.Above == "" {
		return draw.Wrong(kind, "axis label, unit or name of a side is missing")
	}
	if !draw.Drawable(z.TooSmall) || z.TooSmall <= 0 {
		return draw.Wrong(kind, "half width %v of the zone, want above 0", z.TooSmall)
	}
	if z.Said != 0 && (z.Counts == "" || !draw.Drawable(z.Said, z.SaidFrom, z.SaidTo) || z.SaidFrom > z.Said || z.Said > z.SaidTo) {
		return draw.Wrong(kind, "%v is promised, and %v to %v, called %q, counts as that", z.Said, z.SaidFrom, z.SaidTo, z.Counts)
	}
	return nil
}

func (p Spread) check(kind string) error {
	if p.DrawsSay == "" {
		return draw.Wrong(kind, "nothing says what the draws are")
	}
	if !draw.Drawable(p.Median) || !(p.Low <= p.Median && p.Median <= p.High) {
		return draw.Wrong(kind, "quantiles %v, %v, %v of draws", p.Low, p.Median, p.High)
	}
	if !slices.IsSorted(p.Draws) || slices.ContainsFunc(p.Draws, math.IsNaN) {
		return draw.Wrong(kind, "the draws do not increase")
	}
	return nil
}

// Size is the half width of the zone with its unit.
func (z Zone) Size() string {
	return words.OneLine(words.WithUnit(words.Given(z.TooSmall), z.Unit))
}

// alt describes the axis.
func (z Zone) alt() string {
	said := ""
	if z.Said != 0 {
		said = ". In a band, " + z.Counts
	}
	return fmt.Sprintf("%s; within\u00a0±%s it is too small to matter, below that %s, above it %s%s.", z.XLabel, z.Size(), z.Below, z.Above, said)
}

// falls says how many of a hundred draws lie on which side of the zone.
func (z Zone) falls(draws []float64) string {
	var below, above float64
	for _, v := range draws {
		switch {
		case v < -z.TooSmall:
			below++
		case v > z.TooSmall:
			above++
		}
	}
	n := float64(len(draws))
	var parts []string
	for _, side := range []struct {
		count float64
		name  string
	}{{below, z.Below}, {n - below - above, "too small to matter"}, {above, z.Above}} {
		if side.count > 0 {
			parts = append(parts, draw.Percentage(side.count/n)+" "+side.name)
		}
	}
	return "of the tries " + words.And(parts)
}

// counting says how many of a hundred draws count as said.
func (z Zone) counting(draws []float64) string {
	n := names.HowMany(draws, func(v float64) bool { return v >= z.SaidFrom && v <= z.SaidTo })
	return "of the tries " + draw.Percentage(float64(n)/float64(len(draws))) + " as said"
}

// ends are the ends of an axis that holds values, zero and twice the zone.
func (z Zone) ends(values ...float64) (low, high float64) {
	low, high = -2*z.TooSmall, 2*z.TooSmall
	for _, v := range append(values, z.Said, z.SaidFrom, z.SaidTo) {
		if draw.Drawable(v) {
			low, high = min(low, v), max(high, v)
		}
	}
	pad := 0.06 * (high - low)
	return low - pad, high + pad
}

func (z Zone) sideColor(t draw.Theme, effect float64) color.RGBA {
	switch {
	case effect < -z.TooSmall:
		return t.Below
	case effect > z.TooSmall:
		return t.Above
	default:
		return draw.Mix(t.Muted, t.Background, 0.25)
	}
}

// A side is a part of the axis, with an effect in it.
type side struct{ low, high, inside float64 }

// sidesOf are what lies below the zone, the zone, and what lies above it.
func (z Zone) sidesOf() []side {
	return []side{
		{math.Inf(-1), -z.TooSmall, -2 * z.TooSmall},
		{-z.TooSmall, z.TooSmall, 0},
		{z.TooSmall, math.Inf(1), 2 * z.TooSmall},
	}
}

// drawRange draws a range along an axis, each part of it in the colour of the side it is on; one
// that would hardly be seen as broad as a line.
func (z Zone) drawRange(s *draw.Sheet, x draw.Scale, low, high, top, bottom float64) {
	low, high = max(low, x.Low), min(high, x.High) // a range that has no end
	if x.At(high)-x.At(low) < s.Size.Thick {
		at := (x.At(low) + x.At(high)) / 2
		s.FillRect(z.sideColor(s.Theme, (low+high)/2), draw.Rect{X0: at - s.Size.Thick/2, Y0: top, X1: at + s.Size.Thick/2, Y1: bottom})
		return
	}
	for _, side := range z.sidesOf() {
		if from, to := max(low, side.low), min(high, side.high); from < to {
			s.FillRect(z.sideColor(s.Theme, side.inside), draw.Rect{X0: x.At(from), Y0: top, X1: x.At(to), Y1: bottom})
		}
	}
}

// sides are the names of the two ends of the axis.
func (z Zone) sides() (below, above string) { return "← " + z.Below, z.Above + " →" }

// besideLabel says whether the names of the sides have room beside the label of the axis.
func (z Zone) besideLabel(s *draw.Sheet, width float64) bool {
	below, above := z.sides()
	size := s.Size.Text
	side := max(draw.TextWidth(below, true, size), draw.TextWidth(above, true, size)) + size
	return draw.TextWidth(z.XLabel, false, size)+2*side <= width
}

// axisHeight is the height of the axis with its label and the names of the sides.
func (z Zone) axisHeight(s *draw.Sheet, width float64) (float64, error) {
	height, err := s.AxisHeight(z.XLabel, width)
	if z.XLabel == "" {
		height += draw.LineHeight(1, s.Size.Text)
	} else if !z.besideLabel(s, width) {
		height += draw.Leading * s.Size.Text
	}
	return height, err
}

// drawAxis draws the axis below y, and which way is what.
func (z Zone) drawAxis(s *draw.Sheet, x draw.Scale, y float64) error {
	size, t := s.Size.Text, s.Theme
	s.Stroke(t.Muted, s.Size.Thin, nil, draw.Point{X: x.From, Y: y}, draw.Point{X: x.To, Y: y})
	below, above := z.sides()
	row := y + (draw.AxisGap+1.35)*size
	s.Text(below, x.From, row+draw.Ascent*size, draw.AlignLeft, true, size, t.TextColor(t.Below))
	s.Text(above, x.To, row+draw.Ascent*size, draw.AlignRight, true, size, t.TextColor(t.Above))
	if z.besideLabel(s, x.To-x.From) {
		return s.HorizontalAxis(x, y, z.XLabel)
	}
	if err := s.HorizontalAxis(x, y, ""); err != nil {
		return err
	}
	lines, err := s.Balance(z.XLabel, false, size, x.To-x.From)
	s.Lines(lines, (x.From+x.To)/2, row+draw.Leading*size, draw.AlignCenter, false, size, t.Muted)
	return err
}

// small is what the zone is called.
func (z Zone) small() string { return fmt.Sprintf("too small to matter: within\u00a0±%s", z.Size()) }

// names are what the zone and the band that counts as said are called, with the places that
// they are centred on and their colours; each in a row of its own where they do not fit beside one
// another.
func (z Zone) names(s *draw.Sheet, x draw.Scale, small string) (rows [][]placed) {
	note := s.Size.Note()
	zone := placed{small, x.At(0), s.Theme.Muted}
	if z.Said == 0 {
		return [][]placed{{zone}}
	}
	said := placed{z.Counts, (x.At(z.SaidFrom) + x.At(z.SaidTo)) / 2, s.Theme.TextColor(s.Theme.After)}
	left, right := said, zone
	if z.Said > 0 {
		left, right = zone, said
	}
	wide := func(p placed) float64 { return draw.TextWidth(p.text, false, note) }
	if max(left.at-wide(left)/2, x.From)+wide(left)+note < min(right.at+wide(right)/2, x.To)-wide(right) {
		return [][]placed{{said, zone}}
	}
	return [][]placed{{said}, {zone}}
}

// A placed text is centred on a place along an axis, as nearly as the axis lets it.
type placed struct {
	text string
	at   float64
	ink  color.RGBA
}

// namesHeight is the height of the names of the zone and the band.
func (z Zone) namesHeight(s *draw.Sheet, x draw.Scale, small string) float64 {
	note := s.Size.Note()
	return float64(len(z.names(s, x, small)))*(draw.LineHeight(1, note)+0.15*note) + 0.2*note
}

// drawNames names the zone and the band, as near above them as may be.
func (z Zone) drawNames(s *draw.Sheet, x draw.Scale, y float64, small string) error {
	note := s.Size.Note()
	for _, row := range z.names(s, x, small) {
		for _, name := range row {
			if err := besides(s, name.text, name.at, x, y, false, note, name.ink); err != nil {
				return err
			}
		}
		y += draw.LineHeight(1, note) + 0.15*note
	}
	return nil
}

// drawBack draws the zone, where nothing changes, and what is said with what counts as that.
func (z Zone) drawBack(s *draw.Sheet, x draw.Scale, top, bottom float64) {
	if z.Said != 0 {
		s.FillRect(draw.Mix(s.Theme.Background, s.Theme.After, 0.16), draw.Rect{X0: x.At(z.SaidFrom), Y0: top, X1: x.At(z.SaidTo), Y1: bottom})
	}
	s.FillRect(s.Theme.Zone, draw.Rect{X0: x.At(-z.TooSmall), Y0: top, X1: x.At(z.TooSmall), Y1: bottom})
	if z.Said != 0 {
		s.Stroke(s.Theme.After, 1.6*s.Size.Thin, []float64{5 * s.Size.Thin, 3 * s.Size.Thin}, draw.Point{X: x.At(z.Said), Y: top}, draw.Point{X: x.At(z.Said), Y: bottom})
	}
	s.Stroke(draw.Mix(s.Theme.Ink, s.Theme.Background, 0.4), s.Size.Thin, []float64{2 * s.Size.Thin, 2 * s.Size.Thin}, draw.Point{X: x.At(0), Y: top}, draw.Point{X: x.At(0), Y: bottom})
}

// dotted is how draws are shown by dots.
type dotted struct {
	x   draw.Scale
	per int     // draws to a dot
	dot float64 // its diameter
}

// dotsIn has as large dots as fit under a height, for each of several spreads.
func dotsIn(x draw.Scale, size, height float64, spreads ...[]float64) dotted {
	d := dotted{x: x, per: 1}
	for ; ; d.per *= 2 {
		for d.dot = 0.5 * size; d.dot >= 0.15*size; d.dot *= 0.93 {
			if !slices.ContainsFunc(spreads, func(draws []float64) bool { return d.tallest(draws)*d.dot > height }) {
				return d
			}
		}
	}
}

// each calls set for every dot: the draw in the middle of those that it stands for, in
// columns as wide as dots, with how many lie under it.
func (d dotted) each(draws []float64, set func(v, x float64, under int)) {
	under := map[int]int{}
	zero := d.x.At(0)
	for i := d.per / 2; i < len(draws); i += d.per {
		v := draws[i]
		column := int(math.Round((d.x.Clamp(v) - zero) / d.dot))
		set(v, zero+float64(column)*d.dot, under[column])
		under[column]++
	}
}

// tallest is how many dots lie on one another.
func (d dotted) tallest(draws []float64) float64 {
	most := 0
	d.each(draws, func(_, _ float64, under int) { most = max(most, under+1) })
	return float64(most)
}

// told is what a spread says, and for how many draws a dot stands; for none where it is 0.
func (p Spread) told(per int) string {
	of := p.Of
	if p.Whose != "" {
		of = p.Whose + ", " + of
	}
	switch {
	case p.Of == "":
		return p.DrawsSay
	case per == 0:
		return of + ": " + p.DrawsSay
	}
	return fmt.Sprintf("%s: %s (a\u00a0dot: %d of\u00a0%d\u00a0tries)", of, p.DrawsSay, per, len(p.Draws))
}

// short is what a spread says under a heading that says the rest.
func (p Spread) short(int) string {
	if p.Whose == "" {
		return p.DrawsSay
	}
	return words.Capital(p.Whose) + ": " + p.DrawsSay
}

// lineFoot is the height of a line that shows a range, with its words below it.
func lineFoot(size float64) float64 { return 0.9*size + draw.LineHeight(1, size) }

// drawDots draws the dots of a spread on a line at the base, below it the range of nine
// in ten with its words, for a number of draws to a dot.
func (z Zone) drawDots(s *draw.Sheet, d dotted, p Spread, base float64, told func(per int) string) error {
	size, t := s.Size.Text, s.Theme
	s.Stroke(t.Grid, s.Size.Thin, nil, draw.Point{X: d.x.From, Y: base}, draw.Point{X: d.x.To, Y: base})
	d.each(p.Draws, func(v, at float64, under int) {
		center := draw.Point{X: at, Y: base - (float64(under)+0.5)*d.dot}
		// Hollow, to be told from others without colour; but where that would be a mist, the zone does.
		if s.Disc(z.sideColor(t, v), center, 0.46*d.dot); math.Abs(v) <= z.TooSmall && d.dot > 0.36*size {
			s.Disc(t.Zone, center, 0.24*d.dot)
		}
	})
	s.Stroke(t.Ink, s.Size.Thick, nil, draw.Point{X: d.x.Clamp(p.Low), Y: base + 0.45*size}, draw.Point{X: d.x.Clamp(p.High), Y: base + 0.45*size})
	for k, c := range []color.RGBA{t.Background, t.Ink} { // with a rim, to stand out on the line
		s.Stroke(c, (4-2.2*float64(k))*s.Size.Thin, nil, draw.Point{X: d.x.At(p.Median), Y: base + 0.1*size}, draw.Point{X: d.x.At(p.Median), Y: base + 0.8*size})
	}
	says := told(d.per)
	if draw.TextWidth(says, true, max(draw.Smaller[len(draw.Smaller)-1]*size, s.Size.Least)) > d.x.To-d.x.From {
		says = told(0) // where there is no room for what a dot stands for
	}
	return besides(s, says, d.x.At(p.Median), d.x, base+0.9*size, true, size, t.Ink)
}

// besides sets a line of text centred on a place as nearly as the ends of the axis let
// it, from top down, in smaller type where it is long.
func besides(s *draw.Sheet, text string, center float64, x draw.Scale, top float64, bold bool, size float64, c color.RGBA) error {
	for _, share := range draw.Smaller {
		small := max(share*size, s.Size.Least)
		width := draw.TextWidth(text, bold, small)
		if width > x.To-x.From {
			continue
		}
		left := min(max(center-width/2, x.From), x.To-width)
		s.Text(text, left, top+draw.Ascent*small, draw.AlignLeft, bold, small, c)
		return nil
	}
	return fmt.Errorf("chart: no room on the %s for %q", s.Size.Name, text)
}
