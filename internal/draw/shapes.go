package draw

import (
	"fmt"
	"image/color"
	"math"
)

// Shapes tell the models apart where colours fail: in grey print.
var Shapes = []func(s *Sheet, c color.RGBA, at Point, radius float64){
	func(s *Sheet, c color.RGBA, at Point, radius float64) { s.Spot(c, at, radius) },
	regular(4, math.Pi/4, 1.2), // square
	regular(4, 0, 1.3),         // diamond
	regular(3, math.Pi/2, 1.35),
	regular(3, -math.Pi/2, 1.35),
	regular(6, 0, 1.1),
}

// regular is a polygon with the given corners, its first at the given angle.
func regular(corners int, turn, swell float64) func(*Sheet, color.RGBA, Point, float64) {
	return func(s *Sheet, c color.RGBA, at Point, radius float64) {
		outline := func(r float64) []Point {
			points := make([]Point, corners)
			for i := range points {
				sin, cos := math.Sincos(turn + 2*math.Pi*float64(i)/float64(corners))
				points[i] = Point{at.X + r*cos, at.Y - r*sin}
			}
			return points
		}
		s.Fill(s.Theme.Background, outline(swell*radius+1.5*s.Size.Thin)...)
		s.Fill(c, outline(swell*radius)...)
	}
}

// LineColors are those of so many lines in one figure, which their shapes tell apart as well.
func (t Theme) LineColors(n int) ([]color.RGBA, error) {
	colors := []color.RGBA{t.Before, t.After, t.Below, t.Above, t.Muted, t.Moment}
	if len(colors) < n {
		return nil, fmt.Errorf("chart: %d lines, the theme %s tells %d apart", n, t.Name, len(colors))
	}
	return colors, nil
}

// ShapeKey names shapes in as many rows as they need, from y down, and returns where
// the next thing may begin. On a loose sheet a name may take several lines.
func (s *Sheet) ShapeKey(names []string, colors []color.RGBA, y float64) (float64, error) {
	size := s.Size.Note()
	x, indent := s.Body.X0, 1.3*size
	for k, name := range names {
		lines, width := []string{name}, indent+TextWidth(name, true, size)
		if width > s.Body.Width() {
			if !s.Loose {
				return 0, fmt.Errorf("chart: no room on the %s for %q", s.Size.Name, name)
			}
			var err error
			if lines, err = s.Wrap(name, true, size, s.Body.Width()-indent); err != nil {
				return 0, err
			}
		}
		if x > s.Body.X0 && x+width > s.Body.X1 {
			x, y = s.Body.X0, y+1.15*Leading*size
		}
		Shapes[k](s, colors[k], Point{x + 0.5*size, y + (Ascent-0.36)*size}, 0.3*size)
		s.Lines(lines, x+indent, y, AlignLeft, true, size, s.Theme.TextColor(colors[k]))
		y += float64(len(lines)-1) * Leading * size
		x += width + 1.5*size
	}
	return y + LineHeight(1, size) + 0.8*s.Size.Text, nil
}
