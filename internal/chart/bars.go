package chart

import (
	"fmt"
	"image/color"
	"slices"
	"strings"
)

// A Source is where a share of a variance comes from. It gives bars their colours.
type Source int

// The sources.
const (
	FromPeople Source = iota
	FromAssumptions
	FromModels
	numSources
)

var sourceNames = [numSources]string{"people differ", "nobody has measured", "models differ"}

func (f Source) color(t Theme) color.RGBA {
	return [numSources]color.RGBA{t.Before, t.After, t.Above}[f]
}

// A ShareBar is one row of ShareBars: a share, and for the description the interval of how
// exactly it was computed, which may reach below 0.
type ShareBar struct {
	Label            string
	Value, Low, High float64
	Source           Source
	Varies           string // what a pale bar has apart from others, for the description; empty for a full one
}

// ShareBars shows which shares of something come from where, a row each.
type ShareBars struct {
	Title  string
	XLabel string // of what the shares are
	Rows   []ShareBar
	Note   string // what the bars and pale ones are
	Foot   Foot

	axis [2]float64 // where the axis begins and ends, of a part of a figure; both 0: as the rows say
}

func (b ShareBars) heading() (string, Foot) { return b.Title, b.Foot }

// Alt implements Figure.
func (b ShareBars) Alt() string {
	var text strings.Builder
	fmt.Fprintf(&text, "Bar chart of: %s. %s", b.XLabel, strings.TrimSuffix(b.Note, ".")+".")
	for _, r := range b.Rows {
		fmt.Fprintf(&text, " %s (%s): %s", r.Label, sourceNames[r.Source], share(r.Value))
		if low, high := share(r.Low), share(r.High); low != high {
			fmt.Fprintf(&text, ", %s to\u00a0%s", low, high)
		}
		if r.Varies != "" {
			text.WriteString(", " + r.Varies)
		}
		text.WriteString(".")
	}
	return described(b, &text)
}

func (b ShareBars) check() error {
	if b.XLabel == "" || b.Note == "" || len(b.Rows) == 0 {
		return wrong("shares", "no axis label, no note or no row")
	}
	for _, r := range b.Rows {
		if r.Label == "" {
			return wrong("shares", "a row has no label")
		}
		if r.Source < 0 || r.Source >= numSources {
			return wrong("shares", "%s: no source %d", r.Label, r.Source)
		}
		if !drawable(r.Value, r.Low, r.High) || r.Low > r.Value || r.Value > r.High {
			return wrong("shares", "%s: %v from %v to %v is out of order or cannot be drawn", r.Label, r.Value, r.Low, r.High)
		}
	}
	return nil
}

func (b ShareBars) draw(s *sheet) error {
	size, t := s.size.text, s.theme
	sources := make([]Source, len(b.Rows))
	labels, texts := make([]string, len(b.Rows)), make([]string, len(b.Rows))
	for i, r := range b.Rows {
		sources[i], labels[i], texts[i] = r.Source, r.Label, share(r.Value)
	}
	top, err := s.paragraph(b.Note, drawSources(s, sources), s.size.note())
	if err != nil {
		return err
	}
	// Many rows are set in smaller type.
	var rows *barRows
	for _, shrink := range []float64{1, 0.9, 0.8, 0.7} {
		rows, err = s.barRows("shares", labels, texts, []string{b.XLabel}, top+0.6*size, max(shrink*size, s.size.small), rowStyle{labels: 0.4, left: 0.7, right: 0.9, space: 0.05, tallest: 2})
		if err == nil {
			break
		}
	}
	if err != nil {
		return err
	}
	low, high := b.ends()
	plot, x := rows.plot, scale{low: 100 * low, high: 103 * high, from: rows.plot.x0, to: rows.plot.x1}
	if err := s.horizontalAxis(x, plot.y1, b.XLabel, plot); err != nil {
		return err
	}
	s.stroke(t.Muted, s.size.thin, nil, point{x.at(0), plot.y0}, point{x.at(0), plot.y1})
	for i, r := range b.Rows {
		middle, half := rows.middle(i), 0.3*rows.each
		c := r.Source.color(t)
		if r.Value != 0 {
			from, to := min(0, r.Value), max(0, r.Value)
			full := 0.75
			if r.Varies != "" {
				full = 0.35
			}
			s.fillRect(mix(t.Background, c, full), rect{x.at(100 * from), middle - half, x.at(100 * to), middle + half})
		}
		rows.words(s, i)
	}
	return nil
}

// ends are those of the axis: as the rows or the whole of parts say, and 0 within.
func (b ShareBars) ends() (low, high float64) {
	if b.axis[0] < b.axis[1] {
		return b.axis[0], b.axis[1]
	}
	for _, r := range b.Rows {
		low, high = min(low, r.Low), max(high, r.High)
	}
	if high == low {
		high = 1
	}
	return low, high
}

// drawSources names the colours of those sources that there are, and returns where the
// next thing may begin.
func drawSources(s *sheet, there []Source) float64 {
	var hues []hue
	for f := range numSources {
		if slices.Contains(there, f) {
			hues = append(hues, hue{sourceNames[f], f.color(s.theme)})
		}
	}
	return s.colorKey(hues, 0.75, s.body.y0) + 0.2*s.size.text
}

func (b ShareBars) length() int { return len(b.Rows) }

// part implements divisible.
func (b ShareBars) part(from, to int) Figure {
	b.axis[0], b.axis[1] = b.ends()
	b.Rows = b.Rows[from:to]
	return b
}

func (b ShareBars) numbered(k, of int) Figure {
	b.Title = numberedTitle(b.Title, k, of)
	return b
}
