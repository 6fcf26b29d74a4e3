package bodies

import (
	"image/color"
	"math"

	"counterpoise/internal/draw"
	"counterpoise/internal/limbs"
	"counterpoise/internal/words"
	"counterpoise/sim/names"
)

// A Silhouette is a body in its hold, to scale, small and without its forces.
type Silhouette struct {
	Caption string   // may be empty
	Body    FreeBody // of which the shapes, what holds the body and its centre are drawn
	Whole   bool     // it is in no hold, and what holds it is shown as far as it goes
}

// CheckSilhouettes says why silhouettes beside a kind of chart cannot be drawn, if so.
func CheckSilhouettes(kind string, list []Silhouette) error {
	for _, b := range list {
		if len(b.Body.Body) == 0 {
			return draw.Wrong(kind, "a silhouette has no body")
		}
		for _, shape := range b.Body.Body {
			for _, p := range shape.Points {
				if !draw.Drawable(p.X, p.Y) {
					return draw.Wrong(kind, "a shape of a silhouette is not a number that can be drawn")
				}
			}
		}
	}
	return nil
}

// Shown says what silhouettes there are, for those who cannot see them.
func Shown(list []Silhouette) string {
	if len(list) == 0 {
		return ""
	}
	captions := names.Each(list, func(b Silhouette) string { return b.Caption })
	if list[0].Whole {
		return " Drawn: " + words.And(captions) + "."
	}
	return " Bodies in the hold, to one scale: " + words.And(captions) + "."
}

// Silhouettes draws bodies to one scale beside each other or under each other, whichever
// makes them larger without much longer captions below. Others to the same scale count as if they
// stood in the place of the first.
func Silhouettes(s *draw.Sheet, list []Silhouette, colors []color.RGBA, area draw.Rect, others ...Silhouette) error {
	note := s.Size.Note()
	type way struct {
		cells    []draw.Rect // of the bodies
		captions [][]string
		scale    float64
		worth    float64 // the scale, less for captions of more than two lines
	}
	extents := names.Each(list, func(b Silhouette) Extent { return b.extent() })
	n := float64(len(list))
	var best way
	var failed error
	for _, across := range []bool{true, false} {
		cell := draw.Point{X: area.Width(), Y: area.Height() / n}
		if across {
			cell = draw.Point{X: (area.Width() - (n-1)*note) / n, Y: area.Height()}
		}
		w := way{scale: math.Inf(1)}
		lines, fits := 0, true
		for _, b := range list {
			caption, err := s.Balance(b.Caption, false, note, cell.X)
			if err != nil {
				failed, fits = err, false
			}
			w.captions, lines = append(w.captions, caption), max(lines, len(caption))
		}
		if !fits {
			continue
		}
		foot := draw.LineHeight(lines, note)
		if lines > 0 {
			foot += 0.4 * note
		}
		for i := range list {
			r := draw.Rect{X0: area.X0, Y0: area.Y0 + float64(i)*cell.Y, X1: area.X1, Y1: 0}
			if across {
				r = draw.Rect{X0: area.X0 + float64(i)*(cell.X+note), Y0: area.Y0, X1: area.X0 + float64(i)*(cell.X+note) + cell.X, Y1: 0}
			}
			r.Y1 = r.Y0 + cell.Y - foot
			if !across {
				r.Y1 -= 0.4 * note
			}
			w.cells = append(w.cells, r)
			w.scale = min(w.scale, r.Width()/extents[i].Width(), r.Height()/extents[i].Height())
		}
		for _, b := range others {
			e := b.extent()
			w.scale = min(w.scale, w.cells[0].Width()/e.Width(), w.cells[0].Height()/e.Height())
		}
		if w.worth = w.scale * math.Pow(0.85, max(0, float64(lines-2))); best.cells == nil || w.worth > best.worth {
			best = w
		}
	}
	if best.cells == nil {
		return failed
	}
	if best.scale*max(extents[0].Width(), extents[0].Height()) < 2.2*note {
		return draw.Wrong("silhouettes", "no room on the %s", s.Size.Name)
	}
	for i, b := range list {
		cell, e := best.cells[i], extents[i]
		// Captions stand under the body, and bodies on one line.
		v := View{Scale: best.scale, Origin: draw.Point{X: (cell.X0+cell.X1)/2 - best.scale*(e.X0+e.X1)/2, Y: cell.Y1 + best.scale*e.Y0}}
		b.draw(s, v, colors[i])
		s.Lines(best.captions[i], (cell.X0+cell.X1)/2, cell.Y1+0.4*note, draw.AlignCenter, false, note, s.Theme.TextColor(colors[i]))
	}
	return nil
}

// extent is the room that the body takes with what holds it.
func (b Silhouette) extent() Extent {
	e := b.Body.BodyExtent()
	for _, f := range b.fixtures() {
		e.see(f.From, FixtureMargin/4)
		e.see(f.To, FixtureMargin/4)
	}
	return e
}

// fixtures is what is shown of what holds the body.
func (b Silhouette) fixtures() []Fixture {
	if e := b.Body.BodyExtent(); !b.Whole {
		return b.Body.ClipFixtures(Extent{e.X0 - FixtureMargin, e.Y0 - FixtureMargin, e.X1 + FixtureMargin, e.Y1 + FixtureMargin})
	}
	return b.Body.Fixtures
}

// draw draws what holds the body, and the body in one colour, paler where it is farther
// from the eye.
func (b Silhouette) draw(s *draw.Sheet, v View, c color.RGBA) {
	f := b.Body
	f.drawHeld(s, &draw.Placer{Sheet: s}, v, b.fixtures(), func() {
		f.drawSilhouette(s, v, func(layer limbs.Layer) (fill, outline color.RGBA) {
			switch layer {
			case limbs.Far:
				return draw.Mix(c, s.Theme.Background, 0.45), s.Theme.Background
			case limbs.Behind, limbs.Over: // to be seen beside the trunk
				return c, s.Theme.Background
			}
			return c, c
		}, nil)
	})
	for _, l := range f.Loads {
		half := max(0.05*v.Scale, 0.2*s.Size.Text)
		s.Fill(s.Theme.Background, square(v.At(l.At), half+s.Size.Thin)...)
		s.Fill(s.Theme.Ink, square(v.At(l.At), half)...)
	}
}
