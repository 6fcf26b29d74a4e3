package bodies

import (
	"image/color"
	"math"
	"slices"

	"counterpoise/internal/draw"
)

// UsuallyAbove is what share of the height bodies above a chart usually get.
const UsuallyAbove = 0.24

// Beside draws bodies beside a chart, if there are any, or above it, and leaves it the rest of the
// body of the sheet, without white above the bodies: where they are above the chart, the chart
// begins below them. What it returns puts bodies on the left of the chart level with something of
// it, as far as there is room below. Above a chart they get a share of the height.
func Beside(s *draw.Sheet, list []Silhouette, colors []color.RGBA, above float64) (level func(top float64), err error) {
	level = func(float64) {}
	if len(list) == 0 {
		return level, nil
	}
	part, rest := s.Aside(0.24, above)
	s.Body = rest
	before := len(s.Items)
	if err := Silhouettes(s, list, colors, part); err != nil {
		return level, err
	}
	items := s.Items[before:]
	top, bottom := Reach(items)
	MoveDown(items, part.Y0-top)
	bottom -= top - part.Y0
	if !s.Wide() {
		s.Body.Y0 = min(s.Body.Y0, bottom+0.8*s.Size.Text)
		return level, nil
	}
	return func(to float64) { MoveDown(items, max(0, min(to-part.Y0, part.Y1-bottom))) }, nil
}

// Reach is from where to where things go on a sheet.
func Reach(items []draw.Item) (top, bottom float64) {
	top, bottom = math.Inf(1), math.Inf(-1)
	see := func(low, high float64) { top, bottom = min(top, low), max(bottom, high) }
	for _, item := range items {
		around := 0.0
		switch i := item.(type) {
		case *draw.Run:
			see(i.Box().Y0, i.Box().Y1)
			continue
		case *draw.Disc:
			around = i.Radius
		case *draw.Stroke:
			around = i.Width / 2
		}
		for _, p := range item.Places() {
			see(p.Y-around, p.Y+around)
		}
	}
	return top, bottom
}

// MoveDown moves things on a sheet.
func MoveDown(items []draw.Item, by float64) {
	for _, item := range items {
		switch i := item.(type) {
		case *draw.Run:
			i.At.Y += by
		case *draw.Disc:
			i.Center.Y += by
		case *draw.Stroke:
			i.Points = moved(i.Points, by)
		case *draw.Fill:
			i.Points = moved(i.Points, by)
		}
	}
}

// moved leaves the points alone, which several things may have in common.
func moved(points []draw.Point, by float64) []draw.Point {
	points = slices.Clone(points)
	for k := range points {
		points[k].Y += by
	}
	return points
}
