package chart

import (
	"image/color"
	"math"

	"counterpoise/internal/limbs"
	"counterpoise/internal/words"
)

// A Silhouette is a body in its hold, to scale, small and without its forces.
type Silhouette struct {
	Caption string   // may be empty
	Body    FreeBody // of which the shapes, what holds the body and its centre are drawn
}

func checkSilhouettes(kind string, list []Silhouette) error {
	for _, b := range list {
		if len(b.Body.Body) == 0 {
			return wrong(kind, "a silhouette has no body")
		}
		for _, shape := range b.Body.Body {
			for _, p := range shape.Points {
				if !drawable(p.X, p.Y) {
					return wrong(kind, "a shape of a silhouette is not a number that can be drawn")
				}
			}
		}
	}
	return nil
}

// shown says what silhouettes there are, for those who cannot see them.
func shown(list []Silhouette) string {
	if len(list) == 0 {
		return ""
	}
	captions := make([]string, len(list))
	for i, b := range list {
		captions[i] = b.Caption
	}
	return " Bodies in the hold, to one scale: " + words.And(captions) + "."
}

// beside draws bodies beside a chart, if there are any, and leaves it the rest of the body of
// the sheet.
func beside(s *sheet, list []Silhouette, colors []color.RGBA) error {
	if len(list) == 0 {
		return nil
	}
	part, rest := s.aside(0.24, 0.24)
	s.body = rest
	return silhouettes(s, list, colors, part)
}

// silhouettes draws bodies to one scale beside each other or under each other, whichever
// makes them larger, with their captions below. Others to the same scale count as if they
// stood in the place of the first.
func silhouettes(s *sheet, list []Silhouette, colors []color.RGBA, area rect, others ...Silhouette) error {
	note := s.size.note()
	type way struct {
		cells    []rect // of the bodies
		captions [][]string
		scale    float64
	}
	extents := make([]extent, len(list))
	for i, b := range list {
		extents[i] = b.extent()
	}
	n := float64(len(list))
	var best way
	var failed error
	for _, across := range []bool{true, false} {
		cell := point{area.width(), area.height() / n}
		if across {
			cell = point{(area.width() - (n-1)*note) / n, area.height()}
		}
		w := way{scale: math.Inf(1)}
		lines, fits := 0, true
		for _, b := range list {
			caption, err := s.balance(b.Caption, false, note, cell.x)
			if err != nil {
				failed, fits = err, false
			}
			w.captions, lines = append(w.captions, caption), max(lines, len(caption))
		}
		if !fits {
			continue
		}
		foot := lineHeight(lines, note)
		if lines > 0 {
			foot += 0.4 * note
		}
		for i := range list {
			r := rect{area.x0, area.y0 + float64(i)*cell.y, area.x1, 0}
			if across {
				r = rect{area.x0 + float64(i)*(cell.x+note), area.y0, area.x0 + float64(i)*(cell.x+note) + cell.x, 0}
			}
			r.y1 = r.y0 + cell.y - foot
			if !across {
				r.y1 -= 0.4 * note
			}
			w.cells = append(w.cells, r)
			w.scale = min(w.scale, r.width()/extents[i].width(), r.height()/extents[i].height())
		}
		for _, b := range others {
			e := b.extent()
			w.scale = min(w.scale, w.cells[0].width()/e.width(), w.cells[0].height()/e.height())
		}
		if best.cells == nil || w.scale > best.scale {
			best = w
		}
	}
	if best.cells == nil {
		return failed
	}
	if best.scale*max(extents[0].width(), extents[0].height()) < 2.2*note {
		return wrong("silhouettes", "no room on the %s", s.size.Name)
	}
	for i, b := range list {
		cell, e := best.cells[i], extents[i]
		// Captions stand under the body, and bodies on one line.
		v := view{scale: best.scale, origin: point{(cell.x0+cell.x1)/2 - best.scale*(e.x0+e.x1)/2, cell.y1 + best.scale*e.y0}}
		b.draw(s, v, colors[i])
		s.lines(best.captions[i], (cell.x0+cell.x1)/2, cell.y1+0.4*note, alignCenter, false, note, s.theme.textColor(colors[i]))
	}
	return nil
}

// extent is the room that the body takes with what holds it.
func (b Silhouette) extent() extent {
	e := b.Body.bodyExtent()
	for _, f := range b.Body.clipFixtures(grown(e)) {
		e.see(f.From, fixtureMargin/4)
		e.see(f.To, fixtureMargin/4)
	}
	return e
}

func grown(e extent) extent {
	return extent{e.x0 - fixtureMargin, e.y0 - fixtureMargin, e.x1 + fixtureMargin, e.y1 + fixtureMargin}
}

// draw draws what holds the body, and the body in one colour, paler where it is farther
// from the eye.
func (b Silhouette) draw(s *sheet, v view, c color.RGBA) {
	f := b.Body
	place := &placer{sheet: s}
	for _, e := range f.clipFixtures(grown(f.bodyExtent())) {
		f.drawFixture(s, place, v, e)
	}
	drawSilhouette(s, v, f.Body, func(layer limbs.Layer) (fill, outline color.RGBA) {
		switch layer {
		case limbs.Far:
			return mix(c, s.theme.Background, 0.45), s.theme.Background
		case limbs.Over: // to be seen before the trunk
			return c, s.theme.Background
		}
		return c, c
	}, nil)
	for _, l := range f.Loads {
		half := max(0.05*v.scale, 0.2*s.size.text)
		s.fill(s.theme.Background, square(v.at(l.At), half+s.size.thin)...)
		s.fill(s.theme.Ink, square(v.at(l.At), half)...)
	}
}
