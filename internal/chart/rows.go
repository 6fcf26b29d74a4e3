package chart

import (
	"fmt"
	"image/color"
)

// A rowStyle says how rows of bars share their room: lengths are in multiples of the
// type size, but for labels.
type rowStyle struct {
	labels      float64 // most of the width that they take, as a share
	left, right float64 // between the labels and the bars, the bars and the texts
	space       float64 // between the labels of two rows, at least
	tallest     float64 // a row, in multiples of the least it needs
	inside      float64 // height of what stands in a row
}

// barRows are rows of bars with a label on the left and a text on the right of each.
type barRows struct {
	plot   rect
	each   float64 // height of a row
	labels [][]string
	texts  []string
	size   float64 // of the type
	gap    float64
}

// barRows finds room for rows below top, in type of a size, over an axis with a label.
// Labels of panels that stand side by side are as many.
func (s *sheet) barRows(figure string, labels, texts []string, axes []string, top, size float64, style rowStyle) (*barRows, error) {
	width, right := 0.0, 0.0
	for i := range labels {
		width = max(width, textWidth(labels[i], false, size))
		right = max(right, textWidth(texts[i], true, size))
	}
	width = min(width, style.labels*s.body.width())
	rows := &barRows{plot: s.body, texts: texts, size: size, gap: style.left * s.size.text}
	plot := &rows.plot
	plot.y0 = top
	plot.x0 += width + rows.gap
	plot.x1 -= right + style.right*s.size.text
	if plot.width() < 0.15*s.body.width() {
		return nil, fmt.Errorf("chart: %s: labels and texts leave no room on the %s", figure, s.size.Name)
	}
	below := 0.0
	for _, axis := range axes {
		height, err := s.axisHeight(axis, plot.width()/float64(len(axes)))
		if err != nil {
			return nil, err
		}
		below = max(below, height)
	}
	plot.y1 -= below
	least := max(2*s.size.thick, style.inside*size)
	for _, label := range labels {
		lines, err := s.wrap(label, false, size, width)
		if err != nil {
			return nil, err
		}
		rows.labels = append(rows.labels, lines)
		least = max(least, lineHeight(len(lines), size)+style.space*size)
	}
	rows.each = plot.height() / float64(len(labels))
	if rows.each < least {
		return nil, fmt.Errorf("chart: %s: %d rows do not fit on the %s", figure, len(labels), s.size.Name)
	}
	if rows.each > style.tallest*least {
		rows.each = style.tallest * least
		plot.y1 = plot.y0 + rows.each*float64(len(labels))
	}
	return rows, nil
}

// middle is the height of the middle of a row.
func (r *barRows) middle(i int) float64 { return r.plot.y0 + (float64(i)+0.5)*r.each }

// label sets the label of a row.
func (r *barRows) label(s *sheet, i int) {
	s.lines(r.labels[i], r.plot.x0-r.gap, r.middle(i)-lineHeight(len(r.labels[i]), r.size)/2, alignRight, false, r.size, s.theme.Ink)
}

// words sets the label and the text of a row.
func (r *barRows) words(s *sheet, i int) {
	r.label(s, i)
	s.text(r.texts[i], s.body.x1, r.middle(i)+0.35*r.size, alignRight, true, r.size, s.theme.Ink)
}

// A hue is a colour with what it stands for.
type hue struct {
	name  string
	color color.RGBA
}

// colorKey names colours, mixed into the background by a share, in as many rows as they
// need from y down, and returns where the last one ends.
func (s *sheet) colorKey(hues []hue, share, y float64) float64 {
	size, x := s.size.text, s.body.x0
	for _, h := range hues {
		width := 1.1*size + textWidth(h.name, true, size)
		if x > s.body.x0 && x+width > s.body.x1 {
			x, y = s.body.x0, y+leading*size
		}
		base := y + ascent*size
		s.fillRect(mix(s.theme.Background, h.color, share), rect{x, base - 0.7*size, x + 0.7*size, base})
		s.text(h.name, x+1.1*size, base, alignLeft, true, size, s.theme.textColor(h.color))
		x += width + 1.5*size
	}
	return y + lineHeight(1, size)
}
