package chart

import (
	"errors"
	"fmt"
	"image/color"
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

var sourceNames = [numSources]string{"people differ", "nobody knows: assumptions", "models differ"}

func (f Source) color(t Theme) color.RGBA {
	return [numSources]color.RGBA{t.Before, t.After, t.Above}[f]
}

// A ShareBar is one row of ShareBars: a share with its interval, which may reach
// below 0.
type ShareBar struct {
	Label            string
	Value, Low, High float64
	Source           Source
}

// ShareBars shows which shares of a variance come from where, a row each, with
// intervals.
type ShareBars struct {
	Title  string
	XLabel string // of what the shares are
	Rows   []ShareBar
	Note   string // what the lines at the ends of the bars are
	Foot   Foot

	axis [2]float64 // where the axis begins and ends, of a part of a figure; both 0: as the rows say
}

func (b ShareBars) heading() (string, Foot) { return b.Title, b.Foot }

// Alt implements Figure.
func (b ShareBars) Alt() string {
	var text strings.Builder
	fmt.Fprintf(&text, "%s. Bar chart of: %s. %s", strings.TrimSuffix(b.Title, "."), b.XLabel, strings.TrimSuffix(b.Note, ".")+".")
	for _, r := range b.Rows {
		fmt.Fprintf(&text, " %s (%s): %s, %s to\u00a0%s.", r.Label, sourceNames[r.Source], sharePercent(r.Value), sharePercent(r.Low), sharePercent(r.High))
	}
	line, _ := b.Foot.line() // checked when the figure is laid out
	return text.String() + " " + line
}

// sharePercent writes a share with a decimal, for none of it is rounded away and
// exactly nothing is told from little.
func sharePercent(share float64) string {
	if share == 0 {
		return "0\u00a0%"
	}
	return number(100*share, 1) + "\u00a0%"
}

func (b ShareBars) check() error {
	if b.XLabel == "" || b.Note == "" || len(b.Rows) == 0 {
		return errors.New("chart: shares: no axis label, no note or no row")
	}
	for _, r := range b.Rows {
		if r.Label == "" {
			return errors.New("chart: shares: a row has no label")
		}
		if r.Source < 0 || r.Source >= numSources {
			return fmt.Errorf("chart: shares: %s: no source %d", r.Label, r.Source)
		}
		if !drawable(r.Value, r.Low, r.High) || r.Low > r.Value || r.Value > r.High {
			return fmt.Errorf("chart: shares: %s: %v from %v to %v is out of order or cannot be drawn", r.Label, r.Value, r.Low, r.High)
		}
	}
	return nil
}

func (b ShareBars) draw(s *sheet) error {
	size, t := s.size.text, s.theme
	y, err := drawSources(s, s.body.y0, b.sources())
	if err != nil {
		return err
	}
	lines, err := s.balance(b.Note, false, s.size.note(), s.body.width())
	if err != nil {
		return err
	}
	if err := s.lines(lines, s.body.x0, y, alignLeft, false, s.size.note(), t.Muted); err != nil {
		return err
	}
	top := y + lineHeight(len(lines), s.size.note()) + 0.6*size
	// Many rows are set in smaller type.
	var rows shareRows
	for _, shrink := range []float64{1, 0.9, 0.8, 0.7} {
		if rows, err = b.place(s, top, max(shrink*size, s.size.small)); err == nil {
			break
		}
	}
	if err != nil {
		return err
	}
	plot, x, each, wrapped := rows.plot, rows.x, rows.each, rows.labels
	if _, err := s.horizontalAxis(x, plot.y1, b.XLabel, plot); err != nil {
		return err
	}
	s.stroke(t.Muted, s.size.thin, nil, point{x.at(0), plot.y0}, point{x.at(0), plot.y1})
	for i, r := range b.Rows {
		middle, half := plot.y0+(float64(i)+0.5)*each, 0.3*each
		c := r.Source.color(t)
		if r.Value != 0 {
			from, to := min(0, r.Value), max(0, r.Value)
			s.fillRect(mix(t.Background, c, 0.75), rect{x.at(100 * from), middle - half, x.at(100 * to), middle + half})
		}
		if r.Low < r.High {
			end := 0.45 * half
			a, z := x.at(100*r.Low), x.at(100*r.High)
			s.stroke(t.Ink, 1.3*s.size.thin, nil, point{a, middle}, point{z, middle})
			s.stroke(t.Ink, 1.3*s.size.thin, nil, point{a, middle - end}, point{a, middle + end})
			s.stroke(t.Ink, 1.3*s.size.thin, nil, point{z, middle - end}, point{z, middle + end})
		}
		if err := s.lines(wrapped[i], plot.x0-0.7*size, middle-lineHeight(len(wrapped[i]), rows.size)/2, alignRight, false, rows.size, t.Ink); err != nil {
			return err
		}
		if err := s.text(sharePercent(r.Value), s.body.x1, middle+0.35*rows.size, alignRight, true, rows.size, t.Ink); err != nil {
			return err
		}
	}
	return nil
}

// shareRows is where the rows go.
type shareRows struct {
	plot   rect
	x      scale // of per cent
	each   float64
	labels [][]string
	size   float64
}

// place finds room for the rows below top, in type of a size.
func (b ShareBars) place(s *sheet, top, size float64) (shareRows, error) {
	labels, texts, low, high := 0.0, 0.0, 0.0, 0.0
	for _, r := range b.Rows {
		labels = max(labels, textWidth(r.Label, false, size))
		texts = max(texts, textWidth(sharePercent(r.Value), true, size))
		low, high = min(low, r.Low), max(high, r.High)
	}
	if b.axis[0] < b.axis[1] {
		low, high = b.axis[0], b.axis[1]
	}
	if high == low {
		high = 1
	}
	labels = min(labels, 0.4*s.body.width())
	rows := shareRows{plot: s.body, size: size}
	plot := &rows.plot
	plot.y0 = top
	plot.x0 += labels + 0.7*s.size.text
	plot.x1 -= texts + 0.9*s.size.text
	rows.x = scale{low: 100 * low, high: 103 * high, from: plot.x0, to: plot.x1}
	if plot.width() < 0.15*s.body.width() {
		return rows, fmt.Errorf("chart: shares: labels leave no room on the %s", s.size.Name)
	}
	axis, err := s.axisHeight(b.XLabel, plot.width())
	if err != nil {
		return rows, err
	}
	plot.y1 -= axis
	least := 2 * s.size.thick
	for _, r := range b.Rows {
		label, err := s.wrap(r.Label, false, size, labels)
		if err != nil {
			return rows, err
		}
		rows.labels = append(rows.labels, label)
		least = max(least, lineHeight(len(label), size)+0.05*size)
	}
	rows.each = plot.height() / float64(len(b.Rows))
	if rows.each < least {
		return rows, fmt.Errorf("chart: shares: %d rows do not fit on the %s", len(b.Rows), s.size.Name)
	}
	if rows.each > 2*least {
		rows.each = 2 * least
		plot.y1 = plot.y0 + rows.each*float64(len(b.Rows))
	}
	return rows, nil
}

// sources lists those that the rows have.
func (b ShareBars) sources() []Source {
	var have [numSources]bool
	for _, r := range b.Rows {
		have[r.Source] = true
	}
	var list []Source
	for f, there := range have {
		if there {
			list = append(list, Source(f))
		}
	}
	return list
}

// drawSources names the colours and returns where the next thing may begin.
func drawSources(s *sheet, y float64, sources []Source) (float64, error) {
	size, x := s.size.text, s.body.x0
	for _, f := range sources {
		width := 1.1*size + textWidth(sourceNames[f], true, size)
		if x > s.body.x0 && x+width > s.body.x1 {
			x, y = s.body.x0, y+leading*size
		}
		base := y + ascent*size
		s.fillRect(mix(s.theme.Background, f.color(s.theme), 0.75), rect{x, base - 0.7*size, x + 0.7*size, base})
		if err := s.text(sourceNames[f], x+1.1*size, base, alignLeft, true, size, s.theme.textColor(f.color(s.theme))); err != nil {
			return 0, err
		}
		x += width + 1.5*size
	}
	return y + lineHeight(1, size) + 0.2*size, nil
}

func (b ShareBars) length() int { return len(b.Rows) }

// part implements divisible.
func (b ShareBars) part(from, to int) Figure {
	for _, r := range b.Rows {
		b.axis[0], b.axis[1] = min(b.axis[0], r.Low), max(b.axis[1], r.High)
	}
	b.Rows = b.Rows[from:to]
	return b
}

func (b ShareBars) numbered(k, of int) Figure {
	b.Title = numberedTitle(b.Title, k, of)
	return b
}
