package chart

import (
	"fmt"
	"image/color"
	"slices"
	"strings"

	"counterpoise/internal/bodies"
	"counterpoise/internal/draw"
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

func (f Source) color(t draw.Theme) color.RGBA {
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
	Note   string              // what else is to be said of the bars
	Whole  [numSources]float64 // what each source makes of all; nothing where the rows are no parts of a whole
	Bodies []bodies.Silhouette
	Foot   draw.Foot

	axis [2]float64 // where the bars begin and end, of a part of a figure; both 0: as the rows say
}

// Heading implements draw.Figure.
func (b ShareBars) Heading() (string, draw.Foot) { return b.Title, b.Foot }

// Alt implements Figure.
func (b ShareBars) Alt() string {
	var text strings.Builder
	fmt.Fprintf(&text, "Bar chart of: %s. %s", b.Label, strings.TrimSuffix(b.Note, ".")+".")
	for _, r := range b.Rows {
		fmt.Fprintf(&text, " %s (%s): %s", r.Label, sourceNames[r.Source], draw.Percentage(r.Value))
		if low, high := draw.Percentage(r.Low), draw.Percentage(r.High); low != high {
			fmt.Fprintf(&text, ", %s to\u00a0%s", low, high)
		}
		text.WriteString(".")
	}
	for f, share := range b.Whole {
		if share > 0 {
			fmt.Fprintf(&text, " All that %s: %s.", sourceNames[f], draw.Percentage(share))
		}
	}
	text.WriteString(bodies.Shown(b.Bodies))
	return draw.Described(b, &text)
}

// Check implements draw.Figure.
func (b ShareBars) Check() error {
	if b.Label == "" || b.Note == "" || len(b.Rows) == 0 {
		return draw.Wrong("shares", "no label, no note or no row")
	}
	if !draw.Drawable(b.Whole[:]...) || slices.Min(b.Whole[:]) < 0 {
		return draw.Wrong("shares", "%v of a whole", b.Whole)
	}
	for _, r := range b.Rows {
		if r.Label == "" {
			return draw.Wrong("shares", "a row has no label")
		}
		if r.Source < 0 || r.Source >= numSources {
			return draw.Wrong("shares", "%s: no source %d", r.Label, r.Source)
		}
		if !draw.Drawable(r.Value, r.Low, r.High) || r.Low > r.Value || r.Value > r.High {
			return draw.Wrong("shares", "%s: %v from %v to %v is out of order or cannot be drawn", r.Label, r.Value, r.Low, r.High)
		}
	}
	return bodies.CheckSilhouettes("shares", b.Bodies)
}

// Draw implements draw.Figure.
func (b ShareBars) Draw(s *draw.Sheet) error {
	if err := bodies.Beside(s, b.Bodies, []color.RGBA{s.Theme.Muted}); err != nil {
		return err
	}
	t, widest := s.Theme, 0.0
	sources, names, labels := make([]Source, len(b.Rows)), make([]string, len(b.Rows)), make([][]string, len(b.Rows))
	for i, r := range b.Rows {
		sources[i], names[i], widest = r.Source, r.Label, max(widest, draw.TextWidth(draw.Percentage(r.Value), true, s.Size.Text))
	}
	top, err := s.Paragraph(b.Label+". "+b.Note, b.drawSources(s, sources), s.Size.Note())
	if err != nil {
		return err
	}
	top += 0.5 * s.Size.Text
	// Labels stand above their bars, on a wide sheet left of them. Many rows are set in smaller type.
	size, spare, aside := 0.0, -1.0, s.Wide()
	var bar, column, gap float64
	for _, shrink := range []float64{1, 0.9, 0.8, 0.7} {
		size = max(shrink*s.Size.Text, s.Size.Small)
		bar, gap, column = 0.65*size, 0.25*size, s.Body.Width()
		if aside {
			column = min(0.42*s.Body.Width(), draw.WidestOf(names, size))
		}
		spare = s.Body.Y1 - top
		for i, name := range names {
			if labels[i], err = s.Balance(name, false, size, column); err != nil {
				return err
			}
			if spare -= draw.LineHeight(len(labels[i]), size) + gap; !aside {
				spare -= draw.LineHeight(1, size)
			}
		}
		if spare >= 0 {
			break
		}
	}
	if spare < 0 {
		return fmt.Errorf("chart: shares: %d rows do not fit on the %s", len(b.Rows), s.Size.Name)
	}
	spare = min(spare/float64(len(b.Rows)), 1.2*size)
	low, high := b.ends()
	x := draw.Scale{Low: low, High: high, From: s.Body.X0, To: s.Body.X1 - widest - 0.4*size}
	if aside {
		x.From += column + 0.7*size
	}
	for i, r := range b.Rows {
		height := draw.LineHeight(len(labels[i]), size)
		from := top + height + (draw.LineHeight(1, size)-bar)/2
		if aside {
			s.Lines(labels[i], x.From-0.7*size, top, draw.AlignRight, false, size, t.Ink)
			from = top + (height-bar)/2
			top += height + gap + spare
		} else {
			s.Lines(labels[i], s.Body.X0, top, draw.AlignLeft, false, size, t.Ink)
			top += height + draw.LineHeight(1, size) + gap + spare
		}
		end := max(x.At(max(0, r.Value)), x.From+s.Size.Thin)
		if r.Value != 0 {
			s.FillRect(r.Source.color(t), draw.Rect{X0: x.At(min(0, r.Value)), Y0: from, X1: end, Y1: from + bar})
		}
		s.Text(draw.Percentage(r.Value), end+0.4*size, from+bar/2+0.35*size, draw.AlignLeft, true, size, t.Ink)
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
// with a bar of what they make of the whole, and returns where the next thing may begin.
func (b ShareBars) drawSources(s *draw.Sheet, there []Source) float64 {
	size, x, y, from := s.Size.Text, s.Body.X0, s.Body.Y0, s.Body.X0
	bar := draw.Rect{Y1: y}
	whole := b.Whole[FromPeople] + b.Whole[FromAssumptions] + b.Whole[FromModels]
	if whole > 0 {
		bar.Y0, bar.Y1 = y+0.1*size, y+1.1*size
		y += 1.4 * size
	}
	for f := range numSources {
		name, c := sourceNames[f], f.color(s.Theme)
		if whole > 0 {
			name += " " + draw.Percentage(b.Whole[f])
			bar.X0, bar.X1 = from, from+b.Whole[f]/whole*s.Body.Width()
			s.FillRect(c, bar)
			from = bar.X1
		}
		if !slices.Contains(there, f) && !(b.Whole[f] > 0) {
			continue
		}
		width := 1.1*size + draw.TextWidth(name, true, size)
		if x > s.Body.X0 && x+width > s.Body.X1 {
			x, y = s.Body.X0, y+draw.Leading*size
		}
		base := y + draw.Ascent*size
		s.FillRect(c, draw.Rect{X0: x, Y0: base - 0.7*size, X1: x + 0.7*size, Y1: base})
		s.Text(name, x+1.1*size, base, draw.AlignLeft, true, size, s.Theme.TextColor(c))
		x += width + 1.5*size
	}
	return y + draw.LineHeight(1, size) + 0.2*size
}

// Len is how many parts it can be divided into.
func (b ShareBars) Len() int { return len(b.Rows) }

// part implements divisible.
func (b ShareBars) Part(from, to int) draw.Figure {
	b.axis[0], b.axis[1] = b.ends()
	b.Rows = b.Rows[from:to]
	return b
}

// Numbered is the k-th of several, said so in its title where that is not plain.
func (b ShareBars) Numbered(k, of int) draw.Figure {
	b.Title = numberedTitle(b.Title, k, of)
	return b
}
