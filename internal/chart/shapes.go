package chart

import (
	"fmt"
	"image/color"
	"math"
)

// shapes tell the models apart where colours fail: in grey print.
var shapes = []func(s *sheet, c color.RGBA, at point, radius float64){
	func(s *sheet, c color.RGBA, at point, radius float64) { s.spot(c, at, radius) },
	regular(4, math.Pi/4, 1.2), // square
	regular(4, 0, 1.3),         // diamond
	regular(3, math.Pi/2, 1.35),
	regular(3, -math.Pi/2, 1.35),
	regular(6, 0, 1.1),
}

// regular is a polygon with the given corners, its first at the given angle.
func regular(corners int, turn, swell float64) func(*sheet, color.RGBA, point, float64) {
	return func(s *sheet, c color.RGBA, at point, radius float64) {
		outline := func(r float64) []point {
			points := make([]point, corners)
			for i := range points {
				sin, cos := math.Sincos(turn + 2*math.Pi*float64(i)/float64(corners))
				points[i] = point{at.x + r*cos, at.y - r*sin}
			}
			return points
		}
		s.fill(s.theme.Background, outline(swell*radius+1.5*s.size.thin)...)
		s.fill(c, outline(swell*radius)...)
	}
}

// lineColors are those of so many lines in one figure, which their shapes tell apart as well.
func (t Theme) lineColors(n int) ([]color.RGBA, error) {
	colors := []color.RGBA{t.Before, t.After, t.Below, t.Above, t.Muted, t.Moment}
	if len(colors) < n {
		return nil, fmt.Errorf("chart: %d lines, the theme %s tells %d apart", n, t.Name, len(colors))
	}
	return colors, nil
}

// shapeKey names shapes in as many rows as they need, from y down, and returns where
// the next thing may begin. On a loose sheet a name may take several lines.
func (s *sheet) shapeKey(names []string, colors []color.RGBA, y float64) (float64, error) {
	size := s.size.note()
	x, indent := s.body.x0, 1.3*size
	for k, name := range names {
		lines, width := []string{name}, indent+textWidth(name, true, size)
		if width > s.body.width() {
			if !s.loose {
				return 0, fmt.Errorf("chart: no room on the %s for %q", s.size.Name, name)
			}
			var err error
			if lines, err = s.wrap(name, true, size, s.body.width()-indent); err != nil {
				return 0, err
			}
		}
		if x > s.body.x0 && x+width > s.body.x1 {
			x, y = s.body.x0, y+1.15*leading*size
		}
		shapes[k](s, colors[k], point{x + 0.5*size, y + (ascent-0.36)*size}, 0.3*size)
		s.lines(lines, x+indent, y, alignLeft, true, size, s.theme.textColor(colors[k]))
		y += float64(len(lines)-1) * leading * size
		x += width + 1.5*size
	}
	return y + lineHeight(1, size) + 0.8*s.size.text, nil
}
