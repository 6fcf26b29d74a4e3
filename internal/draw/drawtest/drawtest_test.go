package drawtest

import (
	"image/color"
	"testing"

	"counterpoise/internal/draw"
)

// The checks find what they are there to find.
func TestUnobscuredFinds(t *testing.T) {
	for _, c := range []struct {
		name string
		draw func(s *draw.Sheet)
		want bool
	}{
		{"nothing", func(*draw.Sheet) {}, false},
		{"a shape over it", func(s *draw.Sheet) { s.FillRect(s.Theme.Zone, draw.Rect{X0: 90, Y0: 285, X1: 400, Y1: 310}) }, true},
		{"a spot over it", func(s *draw.Sheet) { s.Spot(s.Theme.Ink, draw.Point{X: 120, Y: 295}, 4) }, true},
		{"a line through it", func(s *draw.Sheet) {
			s.Stroke(s.Theme.Ink, s.Size.Thick, nil, draw.Point{X: 0, Y: 295}, draw.Point{X: 500, Y: 295})
		}, true},
	} {
		s := &draw.Sheet{Size: draw.Post, Theme: draw.Light}
		s.Text("something to read", 100, 300, draw.AlignLeft, false, 20, s.Theme.Ink)
		c.draw(s)
		var probe testing.T
		CheckUnobscured(&probe, s)
		if probe.Failed() != c.want {
			t.Errorf("%s: found %v, want %v", c.name, probe.Failed(), c.want)
		}
	}
	s := &draw.Sheet{Size: draw.Post, Theme: draw.Light}
	s.FillRect(color.RGBA{0x30, 0x30, 0x30, 0xFF}, draw.Rect{X0: 0, Y0: 200, X1: 500, Y1: 400})
	s.Text("dark on dark", 100, 300, draw.AlignLeft, false, 20, s.Theme.Ink)
	var probe testing.T
	if CheckUnobscured(&probe, s); !probe.Failed() {
		t.Error("dark on dark was not found")
	}
	if Within(draw.Point{X: 1, Y: 1}, []draw.Point{{X: 0, Y: 0}, {X: 2, Y: 0}, {X: 2, Y: 2}, {X: 0, Y: 2}}) == Within(draw.Point{X: 3, Y: 1}, []draw.Point{{X: 0, Y: 0}, {X: 2, Y: 0}, {X: 2, Y: 2}, {X: 0, Y: 2}}) {
		t.Error("inside and outside are the same")
	}
}
