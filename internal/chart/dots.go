package chart

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Dots compare several persons: a row each, and in every panel a dot with its range.
type Dots struct {
	Title  string
	Names  []string
	Panels []DotPanel
	Key    string // what dots, lines and rings are
	Foot   Foot

	low, high []float64 // of the axes, by panel; nil where the rows decide
	page      string    // which of several this is
}

// A DotPanel is one quantity of everybody.
type DotPanel struct {
	Label string // of the axis, with the unit
	Dots  []Dot  // one each name
}

// A Dot is a value with its range, in the unit of the axis, and as text. NaN is none.
// Before is the value that it was, NaN where there is none.
type Dot struct {
	Value, Low, High, Before float64
	Text                     string
}

func (d Dots) heading() (string, Foot) { return d.Title + d.page, d.Foot }

// Alt implements Figure.
func (d Dots) Alt() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Persons compared, a row each. %s", d.Key)
	for i, name := range d.Names {
		var parts []string
		for _, p := range d.Panels {
			if p.Dots[i].Text != "" {
				parts = append(parts, p.Label+" "+p.Dots[i].Text)
			}
		}
		fmt.Fprintf(&b, " %s: %s.", name, strings.Join(parts, ", "))
	}
	return described(d, &b)
}

func (d Dots) check() error {
	if len(d.Names) == 0 || len(d.Panels) == 0 {
		return wrong("dots", "nobody to compare, or nothing")
	}
	for _, p := range d.Panels {
		if err := labelled("dots", p.Label); err != nil {
			return err
		}
		if len(p.Dots) != len(d.Names) {
			return wrong("dots", "%d dots of %d persons", len(p.Dots), len(d.Names))
		}
		for _, dot := range p.Dots {
			if !math.IsNaN(dot.Value) && (!drawable(dot.Value, dot.Low, dot.High) || dot.Low > dot.High) {
				return wrong("dots", "%v from %v to %v", dot.Value, dot.Low, dot.High)
			}
		}
	}
	return nil
}

// ends are those of a panel's axis.
func (d Dots) ends(k int) (low, high float64) {
	if d.low != nil {
		return d.low[k], d.high[k]
	}
	low, high = math.Inf(1), math.Inf(-1)
	for _, dot := range d.Panels[k].Dots {
		for _, v := range []float64{dot.Value, dot.Low, dot.High, dot.Before} {
			if !math.IsNaN(v) {
				low, high = min(low, v), max(high, v)
			}
		}
	}
	if low > high {
		return 0, 1
	}
	margin := max(0.04*(high-low), 0.01*math.Abs(high))
	return low - margin, high + margin
}

func (d Dots) length() int { return len(d.Names) }

func (d Dots) part(from, to int) Figure {
	p := d
	p.Names = d.Names[from:to]
	p.low, p.high = nil, nil
	low, high := make([]float64, len(d.Panels)), make([]float64, len(d.Panels))
	p.Panels = slices.Clone(d.Panels)
	for k := range p.Panels {
		low[k], high[k] = d.ends(k)
		p.Panels[k].Dots = d.Panels[k].Dots[from:to]
	}
	p.low, p.high = low, high
	return p
}

func (d Dots) numbered(k, of int) Figure {
	d.page = fmt.Sprintf(" (%d of %d)", k, of)
	return d
}

func (d Dots) draw(s *sheet) error {
	size, t := s.size.text, s.theme
	top, err := s.paragraph(d.Key, s.body.y0, s.size.note())
	if err != nil {
		return err
	}
	top += 0.8 * size
	left := 0.0
	for _, name := range d.Names {
		left = max(left, textWidth(name, false, size))
	}
	left = min(left, 0.25*s.body.width()) + 0.8*size
	gap := 1.4 * size
	each := (s.body.width() - left - gap*float64(len(d.Panels)-1)) / float64(len(d.Panels))
	below := 0.0
	plots := make([]rect, len(d.Panels))
	for k, p := range d.Panels {
		x := s.body.x0 + left + float64(k)*(each+gap)
		texts := 0.0
		for _, dot := range p.Dots {
			texts = max(texts, textWidth(dot.Text, true, size))
		}
		plots[k] = rect{x, top, x + each - texts - 0.6*size, s.body.y1}
		if plots[k].width() < 4*size {
			return fmt.Errorf("chart: dots: no room on the %s for %d panels", s.size.Name, len(d.Panels))
		}
		height, err := s.axisHeight(p.Label, plots[k].width())
		if err != nil {
			return err
		}
		below = max(below, height)
	}
	row := min((s.body.y1-below-top)/float64(len(d.Names)), 2.6*size)
	if row < 1.35*size {
		return fmt.Errorf("chart: dots: %d rows do not fit on the %s", len(d.Names), s.size.Name)
	}
	bottom := top + row*float64(len(d.Names))
	for i, name := range d.Names {
		y := top + (float64(i)+0.5)*row
		lines, err := s.wrap(name, false, size, left-0.8*size)
		if err != nil {
			return err
		}
		if lineHeight(len(lines), size) > row+0.2*size {
			return fmt.Errorf("chart: dots: no room on the %s for %q", s.size.Name, name)
		}
		s.lines(lines, s.body.x0, y-lineHeight(len(lines), size)/2, alignLeft, false, size, t.Ink)
		if i%2 == 1 {
			continue
		}
		band := mix(t.Background, t.Grid, 0.35)
		for _, p := range plots {
			s.fillRect(band, rect{p.x0, y - row/2, p.x1, y + row/2})
		}
	}
	for k, p := range d.Panels {
		low, high := d.ends(k)
		x := scale{low, high, plots[k].x0, plots[k].x1}
		plots[k].y1 = bottom
		if err := s.horizontalAxis(x, bottom, p.Label, plots[k]); err != nil {
			return err
		}
		for i, dot := range p.Dots {
			if !math.IsNaN(dot.Value) {
				d.dot(s, x, top+(float64(i)+0.5)*row, dot, x.from+each)
			}
		}
	}
	return nil
}

// dot draws one, with its text ending at a place.
func (d Dots) dot(s *sheet, x scale, y float64, dot Dot, end float64) {
	t, radius := s.theme, 0.34*s.size.text
	s.stroke(mix(t.Background, t.Before, 0.55), 1.2*s.size.thick, nil, point{x.at(dot.Low), y}, point{x.at(dot.High), y})
	if !math.IsNaN(dot.Before) {
		at := point{x.at(dot.Before), y}
		s.disc(t.After, at, radius)
		s.disc(t.Background, at, radius-1.2*s.size.thin)
	}
	s.spot(t.Before, point{x.at(dot.Value), y}, radius)
	s.text(dot.Text, end, y+0.35*s.size.text, alignRight, true, s.size.text, t.Ink)
}
