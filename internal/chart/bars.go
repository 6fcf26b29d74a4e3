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
}

// ShareBars shows which shares of something come from where: a bar each, its label above it and
// its value behind it, so that no axis is needed.
type ShareBars struct {
	Title  string
	Label  string // of what the shares are
	Rows   []ShareBar
	Note   string // what else is to be said of the bars
	Bodies []Silhouette
	Foot   Foot

	axis [2]float64 // where the bars begin and end, of a part of a figure; both 0: as the rows say
}

func (b ShareBars) Heading() (string, Foot) { return b.Title, b.Foot }

// Alt implements Figure.
func (b ShareBars) Alt() string {
	var text strings.Builder
	fmt.Fprintf(&text, "Bar chart of: %s. %s", b.Label, strings.TrimSuffix(b.Note, ".")+".")
	for _, r := range b.Rows {
		fmt.Fprintf(&text, " %s (%s): %s", r.Label, sourceNames[r.Source], share(r.Value))
		if low, high := share(r.Low), share(r.High); low != high {
			fmt.Fprintf(&text, ", %s to\u00a0%s", low, high)
		}
		text.WriteString(".")
	}
	text.WriteString(shown(b.Bodies))
	return described(b, &text)
}

func (b ShareBars) Check() error {
	if b.Label == "" || b.Note == "" || len(b.Rows) == 0 {
		return wrong("shares", "no label, no note or no row")
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
	return checkSilhouettes("shares", b.Bodies)
}

func (b ShareBars) Draw(s *sheet) error {
	if err := beside(s, b.Bodies, []color.RGBA{s.theme.Muted}); err != nil {
		return err
	}
	t, widest := s.theme, 0.0
	sources, names, labels := make([]Source, len(b.Rows)), make([]string, len(b.Rows)), make([][]string, len(b.Rows))
	for i, r := range b.Rows {
		sources[i], names[i], widest = r.Source, r.Label, max(widest, textWidth(share(r.Value), true, s.size.text))
	}
	top, err := s.paragraph(b.Label+". "+b.Note, drawSources(s, sources), s.size.note())
	if err != nil {
		return err
	}
	top += 0.5 * s.size.text
	// Labels stand above their bars, on a wide sheet left of them. Many rows are set in smaller type.
	size, spare, aside := 0.0, -1.0, s.wide()
	var bar, column, gap float64
	for _, shrink := range []float64{1, 0.9, 0.8, 0.7} {
		size = max(shrink*s.size.text, s.size.small)
		bar, gap, column = 0.65*size, 0.25*size, s.body.width()
		if aside {
			column = min(0.42*s.body.width(), widestOf(names, size))
		}
		spare = s.body.y1 - top
		for i, name := range names {
			if labels[i], err = s.balance(name, false, size, column); err != nil {
				return err
			}
			if spare -= lineHeight(len(labels[i]), size) + gap; !aside {
				spare -= lineHeight(1, size)
			}
		}
		if spare >= 0 {
			break
		}
	}
	if spare < 0 {
		return fmt.Errorf("chart: shares: %d rows do not fit on the %s", len(b.Rows), s.size.Name)
	}
	spare = min(spare/float64(len(b.Rows)), 1.2*size)
	low, high := b.ends()
	x := scale{low: low, high: high, from: s.body.x0, to: s.body.x1 - widest - 0.4*size}
	if aside {
		x.from += column + 0.7*size
	}
	for i, r := range b.Rows {
		height := lineHeight(len(labels[i]), size)
		from := top + height + (lineHeight(1, size)-bar)/2
		if aside {
			s.lines(labels[i], x.from-0.7*size, top, alignRight, false, size, t.Ink)
			from = top + (height-bar)/2
			top += height + gap + spare
		} else {
			s.lines(labels[i], s.body.x0, top, alignLeft, false, size, t.Ink)
			top += height + lineHeight(1, size) + gap + spare
		}
		end := max(x.at(max(0, r.Value)), x.from+s.size.thin)
		if r.Value != 0 {
			s.fillRect(r.Source.color(t), rect{x.at(min(0, r.Value)), from, end, from + bar})
		}
		s.text(share(r.Value), end+0.4*size, from+bar/2+0.35*size, alignLeft, true, size, t.Ink)
	}
	return nil
}

// ends are those of the axis: as the rows or the whole of parts say, and 0 within.
func (b ShareBars) ends() (low, high float64) {
	if b.axis[0] < b.axis[1] {
		return b.axis[0], b.axis[1]
	}
	for _, r := range b.Rows {
		low, high = min(low, r.Value), max(high, r.Value)
	}
	if high == low {
		high = 1
	}
	return low, high
}

// drawSources names the colours of those sources that there are, in as many rows as they need,
// and returns where the next thing may begin.
func drawSources(s *sheet, there []Source) float64 {
	size, x, y := s.size.text, s.body.x0, s.body.y0
	for f := range numSources {
		if !slices.Contains(there, f) {
			continue
		}
		width := 1.1*size + textWidth(sourceNames[f], true, size)
		if x > s.body.x0 && x+width > s.body.x1 {
			x, y = s.body.x0, y+leading*size
		}
		base, c := y+ascent*size, f.color(s.theme)
		s.fillRect(c, rect{x, base - 0.7*size, x + 0.7*size, base})
		s.text(sourceNames[f], x+1.1*size, base, alignLeft, true, size, s.theme.textColor(c))
		x += width + 1.5*size
	}
	return y + lineHeight(1, size) + 0.2*size
}

func (b ShareBars) Len() int { return len(b.Rows) }

// part implements divisible.
func (b ShareBars) Part(from, to int) Figure {
	b.axis[0], b.axis[1] = b.ends()
	b.Rows = b.Rows[from:to]
	return b
}

func (b ShareBars) Numbered(k, of int) Figure {
	b.Title = numberedTitle(b.Title, k, of)
	return b
}
