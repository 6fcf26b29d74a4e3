package chart

import (
	"image/color"
	"math"

	"counterpoise/internal/words"
)

// A bodyKey is the line below a free body that explains its marks and gives its
// scales of force and length.
type bodyKey struct {
	entries []keyEntry
	lines   [][]keyEntry // as they stand
}

// A keyEntry is a mark with a word on it.
type keyEntry struct {
	text  string
	width float64 // of the mark
	draw  func(s *sheet, x, y float64)
}

const keyGap = 0.5 // between a mark and its text, of the type size

func (e keyEntry) whole(size float64) float64 {
	return e.width + keyGap*size + textWidth(e.text, false, size)
}

// roundest returns the largest of a few round numbers that is drawn no longer
// than most.
func roundest(scale, most float64) (value float64, decimals int) {
	for _, r := range []struct {
		value    float64
		decimals int
	}{{1, 0}, {0.5, 1}, {0.2, 1}, {0.1, 1}, {0.05, 2}} {
		if r.value*scale <= most {
			return r.value, r.decimals
		}
	}
	return 0.02, 2
}

// key makes the key for a view, its entries flowing into lines.
func (f FreeBody) key(s *sheet, v view) bodyKey {
	size, c := s.size.note(), s.theme.body()
	most := 0.16 * s.body.width()
	force, decimals := roundest(v.scale*v.force, most)
	forceLength := force * v.scale * v.force
	length, _ := roundest(v.scale, most)
	barLength := length * v.scale
	radius := s.centreRadius()
	var k bodyKey
	k.entries = append(k.entries,
		keyEntry{"force " + words.OneLine(words.WithUnit(words.Number(force, decimals), "BW")), forceLength, func(s *sheet, x, y float64) {
			drawArrow(s, &placer{}, c.force, 0.75*s.size.thick, point{x, y}, point{x + forceLength, y})
		}},
		keyEntry{"length " + centimetres(length), barLength, func(s *sheet, x, y float64) {
			s.scaleBar(s.theme.Muted, x, y, barLength)
		}},
		keyEntry{"centre of mass (+\u00a0of each part)", 2 * radius, func(s *sheet, x, y float64) {
			s.quartered(point{x + radius, y}, radius)
		}},
	)
	if len(f.shownMoments()) > 0 {
		arc := 0.5 * size
		k.entries = append(k.entries, keyEntry{"moment on the part beyond the joint, not to scale", 2 * arc, func(s *sheet, x, y float64) {
			drawArc(s, &placer{}, c.moment, point{x + arc, y + 0.15*arc}, arc, -math.Pi/2, 1)
		}})
	}
	x := 0.0
	for i, e := range k.entries {
		if i == 0 || x+e.whole(size) > s.body.width() {
			k.lines, x = append(k.lines, nil), 0
		}
		last := len(k.lines) - 1
		k.lines[last] = append(k.lines[last], e)
		x += e.whole(size) + 1.6*size
	}
	return k
}

const keyLeading = 1.5 // of the type size

func (k bodyKey) height(s *sheet) float64 {
	return (float64(len(k.lines))*keyLeading + 0.6) * s.size.note()
}

// draw sets the key with its room beginning at top.
func (k bodyKey) draw(s *sheet, top float64) {
	size := s.size.note()
	for i, line := range k.lines {
		x, y := s.body.x0, top+(0.6+(float64(i)+0.5)*keyLeading)*size
		for _, e := range line {
			e.draw(s, x, y)
			x += e.width + keyGap*size
			s.text(e.text, x, y+0.35*size, alignLeft, false, size, s.theme.Muted)
			x += textWidth(e.text, false, size) + 1.6*size
		}
	}
}

// scaleBar draws a length with its ends.
func (s *sheet) scaleBar(c color.RGBA, x, y, length float64) {
	end := 0.3 * s.size.note()
	s.stroke(c, 1.4*s.size.thin, nil, point{x, y}, point{x + length, y})
	for _, at := range []float64{x, x + length} {
		s.stroke(c, 1.4*s.size.thin, nil, point{at, y - end}, point{at, y + end})
	}
}
