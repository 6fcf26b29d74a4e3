package chart

import (
	"cmp"
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

// named names a source; of those who differ, whoever they are.
func (b ShareBars) named(f Source) string {
	return [numSources]string{"differences between " + cmp.Or(b.Between, "people"), "what nobody has measured", "which model is right"}[f]
}

func (f Source) color(t draw.Theme) color.RGBA {
	return [numSources]color.RGBA{t.Before, t.After, t.Above}[f]
}

// A ShareBar is one row of ShareBars: a share, and the interval of how exactly it was computed, which
// may reach below 0.
type ShareBar struct {
	Label            string
	Value, Low, High float64
	Way              string // which way more of it goes, such as "harder"; may be empty
	Less             bool   // that way is to the left
	Source           Source
}

// at is where the bar ends on the axis.
func (r ShareBar) at() float64 {
	if r.Less {
		return -r.Value
	}
	return r.Value
}

// reach is from where to where the bar could end on the axis, by how exactly it was computed; the same
// where that is less than its number tells.
func (r ShareBar) reach() (low, high float64) {
	switch {
	case draw.Percentage(r.Low) == draw.Percentage(r.High):
		return r.at(), r.at()
	case r.Less:
		return -r.High, -max(r.Low, 0)
	}
	return max(r.Low, 0), r.High
}

// says is the value as it stands behind the bar.
func (r ShareBar) says() string { return draw.Percentage(r.Value) }

// ShareBars shows which shares of something come from where: a bar each, its label above it and
// its value behind it, so that no axis is needed.
type ShareBars struct {
	Title   string
	Label   string    // of what the shares are
	Between string    // who differs; empty for people
	Ways    [2]string // what bars to the left and to the right mean, where there are such
	Rows    []ShareBar
	Note    string              // what else is to be said of the bars; may be empty
	Whole   [numSources]float64 // what each source makes of all; nothing where the rows are no parts of a whole
	Bodies  []bodies.Silhouette
	Foot    draw.Foot

	axis [2]float64 // where the bars begin and end, of a part of a figure; both 0: as the rows say
}

// Heading implements draw.Figure.
func (b ShareBars) Heading() (string, draw.Foot) { return b.Title, b.Foot }

// Alt implements Figure.
func (b ShareBars) Alt() string {
	var text strings.Builder
	fmt.Fprintf(&text, "Bar chart of: %s.", b.said())
	for f, share := range b.Whole {
		if share > 0 {
			fmt.Fprintf(&text, " Of all, %s: %s.", b.named(Source(f)), draw.Percentage(share))
		}
	}
	for _, r := range b.Rows {
		fmt.Fprintf(&text, " %s (%s): %s", r.Label, b.named(r.Source), r.says())
		if r.Way != "" {
			fmt.Fprintf(&text, " %s", r.Way)
		}
		if low, high := r.reach(); low < high {
			fmt.Fprintf(&text, ", %s to\u00a0%s", draw.Percentage(r.Low), draw.Percentage(r.High))
		}
		text.WriteString(".")
	}
	text.WriteString(bodies.Shown(b.Bodies))
	return draw.Described(b, &text)
}

// said is what is said of the bars, without the last stop.
func (b ShareBars) said() string {
	if b.Note == "" {
		return b.Label
	}
	return b.Label + ". " + strings.TrimSuffix(b.Note, ".")
}

// Check implements draw.Figure.
func (b ShareBars) Check() error {
	if b.Label == "" || len(b.Rows) == 0 {
		return draw.Wrong("shares", "no label or no row")
	}
	if !draw.Drawable(b.Whole[:]...) || slices.Min(b.Whole[:]) < 0 {
		return draw.Wrong("shares", "%v of a whole", b.Whole)
	}
	for _, r := range b.Rows {
		if r.Label == "" {
			return draw.Wrong("shares", "a row has no label")
		}
		if r.Less && (b.Ways[0] == "" || b.Ways[1] == "") {
			return draw.Wrong("shares", "%s: nothing says what is to the left", r.Label)
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
	level, err := bodies.Beside(s, b.Bodies, []color.RGBA{s.Theme.Muted}, 0.2)
	if err != nil {
		return err
	}
	t := s.Theme
	names, labels := make([]string, len(b.Rows)), make([][]string, len(b.Rows))
	for i, r := range b.Rows {
		names[i] = r.Label
	}
	top, err := s.Paragraph(b.said()+".", s.Body.Y0, s.Size.Note())
	if err != nil {
		return err
	}
	top += 0.4 * s.Size.Text
	above := b.keyHeight(s)
	if b.bothWays() {
		above += draw.LineHeight(1, s.Size.Text)
	}
	// Labels stand above their bars, on a wide sheet left of them. Many rows are set in smaller type.
	size, spare, aside := 0.0, -1.0, s.Wide()
	var bar, column, gap float64
	for _, shrink := range []float64{1, 0.9, 0.8, 0.7} {
		size = max(shrink*s.Size.Text, s.Size.Small)
		bar, gap, column = 0.75*size, 0.2*size, s.Body.Width()
		if aside {
			column = min(0.42*s.Body.Width(), draw.WidestOf(names, size))
		}
		spare = s.Body.Y1 - top - above
		for i, name := range names {
			if labels[i], err = s.Balance(name, false, size, column); err != nil {
				return err
			}
			if spare -= draw.LineHeight(len(labels[i]), size) + gap; !aside {
				spare -= 0.9 * size
			}
		}
		if spare >= 0 {
			break
		}
	}
	if spare < 0 {
		return fmt.Errorf("chart: shares: %d rows do not fit on the %s", len(b.Rows), s.Size.Name)
	}
	spare = min(spare/float64(len(b.Rows)), 3.5*size)
	bar += 0.35 * spare
	x := b.scale(s, column, size, aside)
	level(top)
	if aside && b.whole() > 0 {
		s.Text("all of it", s.Body.X0+column, top+0.65*s.Size.Text+0.35*size, draw.AlignRight, false, size, t.Ink)
	}
	if top = b.drawKey(s, x, top); b.bothWays() {
		base := top + draw.Ascent*s.Size.Text
		s.Text("← "+b.Ways[0], x.At(0)-0.4*s.Size.Text, base, draw.AlignRight, true, s.Size.Text, t.Muted)
		s.Text(b.Ways[1]+" →", x.At(0)+0.4*s.Size.Text, base, draw.AlignLeft, true, s.Size.Text, t.Muted)
		top += draw.LineHeight(1, s.Size.Text)
	}
	for i, r := range b.Rows {
		height := draw.LineHeight(len(labels[i]), size)
		row := 0.9*size + 0.35*spare
		from := top + height
		if aside {
			row = max(height, row)
			from = top + (row-bar)/2
			s.Lines(labels[i], s.Body.X0+column, top+(row-height)/2, draw.AlignRight, false, size, t.Ink)
			top += row + gap
		} else {
			s.Lines(labels[i], s.Body.X0, top, draw.AlignLeft, false, size, t.Ink)
			from += 0.1 * size
			top += height + row + gap
		}
		top += 0.65 * spare
		begin, end := x.At(min(0, r.at())), x.At(max(0, r.at()))
		if r.Value != 0 {
			s.FillRect(r.Source.color(t), draw.Rect{X0: begin, Y0: from, X1: max(end, begin+s.Size.Thin), Y1: from + bar})
		}
		if low, high := r.reach(); low < high {
			whisker(s, x.At(low), x.At(high), from+bar/2, 0.25*bar)
			begin, end = min(begin, x.At(low)), max(end, x.At(high))
		}
		if base := from + bar/2 + 0.35*size; r.Less {
			s.Text(r.says(), begin-0.4*size, base, draw.AlignRight, true, size, t.Ink)
		} else {
			s.Text(r.says(), max(end, x.From+s.Size.Thin)+0.4*size, base, draw.AlignLeft, true, size, t.Ink)
		}
		if b.bothWays() {
			s.Stroke(t.Ink, 0.7*s.Size.Thin, nil, draw.Point{X: x.At(0), Y: from - 0.1*size}, draw.Point{X: x.At(0), Y: from + bar + 0.1*size})
		}
	}
	return nil
}

// bothWays says whether bars go to both sides.
func (b ShareBars) bothWays() bool {
	return slices.ContainsFunc(b.Rows, func(r ShareBar) bool { return r.Less })
}

// scale is the one of all bars, that of the whole too, with room for the number behind each.
func (b ShareBars) scale(s *draw.Sheet, column, size float64, aside bool) draw.Scale {
	low, high := b.ends()
	x := draw.Scale{Low: low, High: high, From: s.Body.X0, To: s.Body.X1}
	if aside {
		x.From += column + 0.7*size
	}
	if b.bothWays() { // with room for the numbers on either side
		var less, more float64
		for _, r := range b.Rows {
			if wide := draw.TextWidth(r.says(), true, size) + 0.4*size; r.Less {
				less = max(less, wide)
			} else {
				more = max(more, wide)
			}
		}
		x.From, x.To = x.From+less, x.To-more
		return x
	}
	for _, r := range b.Rows {
		_, to := r.reach()
		if share := (max(r.Value, to, 0) - low) / (high - low); share > 0 {
			x.To = min(x.To, x.From+(s.Body.X1-x.From-draw.TextWidth(r.says(), true, size)-0.4*size)/share)
		}
	}
	return x
}

// whole is the sum of what all sources make, 0 where the rows are no parts of a whole.
func (b ShareBars) whole() float64 { return b.Whole[0] + b.Whole[1] + b.Whole[2] }

// ends are those of the axis: as the rows or the whole of parts say, and 0 within.
func (b ShareBars) ends() (low, high float64) {
	if b.axis[0] < b.axis[1] {
		return b.axis[0], b.axis[1]
	}
	high = b.whole()
	for _, r := range b.Rows {
		from, to := r.reach()
		low, high = min(low, r.at(), from), max(high, r.at(), to)
	}
	if high == low {
		high = 1
	}
	return low, high
}

// keyed are the sources that a key names, with what they make of a whole; the first row of the key
// has so many names.
func (b ShareBars) keyed(s *draw.Sheet, width float64) (names []string, sources []Source, rows int) {
	size, x := s.Size.Text, 0.0
	rows = 1
	for f := range numSources {
		if !(b.Whole[f] > 0) && !slices.ContainsFunc(b.Rows, func(r ShareBar) bool { return r.Source == f }) {
			continue
		}
		name := b.named(f)
		if b.whole() > 0 {
			name += " " + draw.Percentage(b.Whole[f])
		}
		each := 1.1*size + draw.TextWidth(name, true, size)
		if x > 0 && x+each > width {
			x = 0
			rows++
		}
		x += each + 1.5*size
		names, sources = append(names, name), append(sources, f)
	}
	return names, sources, rows
}

// keyHeight is the room that drawKey takes.
func (b ShareBars) keyHeight(s *draw.Sheet) float64 {
	_, _, rows := b.keyed(s, s.Body.Width())
	height := draw.LineHeight(rows, s.Size.Text) + 0.35*s.Size.Text
	if s.Wide() {
		height += 0.5 * s.Size.Text
	}
	if b.whole() > 0 {
		height += 1.6 * s.Size.Text
	}
	return height
}

// drawKey names the colours of those sources that there are, in as many rows as they need,
// with a bar of what they make of the whole on the scale of all, and returns where the next thing
// may begin.
func (b ShareBars) drawKey(s *draw.Sheet, x draw.Scale, top float64) float64 {
	size, y := s.Size.Text, top
	if b.whole() > 0 {
		from := 0.0
		for f, share := range b.Whole {
			s.FillRect(Source(f).color(s.Theme), draw.Rect{X0: x.At(from), Y0: y, X1: x.At(from + share), Y1: y + 1.3*size})
			from += share
		}
		y += 1.6 * size
	}
	names, sources, _ := b.keyed(s, s.Body.Width())
	at := s.Body.X0
	for i, name := range names {
		c, width := sources[i].color(s.Theme), 1.1*size+draw.TextWidth(name, true, size)
		if at > s.Body.X0 && at+width > s.Body.X1 {
			at, y = s.Body.X0, y+draw.Leading*size
		}
		base := y + draw.Ascent*size
		s.FillRect(c, draw.Rect{X0: at, Y0: base - 0.7*size, X1: at + 0.7*size, Y1: base})
		s.Text(name, at+1.1*size, base, draw.AlignLeft, true, size, s.Theme.TextColor(c))
		at += width + 1.5*size
	}
	return top + b.keyHeight(s)
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
	b.Title = draw.NumberedTitle(b.Title, k, of)
	return b
}
