package chart

import "fmt"

// barRows are rows with a label on the left of each.
type barRows struct {
	plot   rect
	each   float64 // height of a row
	labels [][]string
	size   float64 // of the type
	gap    float64
}

// barRows finds room for rows below top, in type of a size, over axes that stand side by side.
// The labels take up to a share of the width; right of the rows and in them room is left, in
// multiples of the type size.
func (s *sheet) barRows(labels, axes []string, top, size, share, right, inside float64) (*barRows, error) {
	width := min(widestOf(labels, size), share*s.body.width())
	rows := &barRows{plot: s.body, size: size, gap: 0.8 * s.size.text}
	plot := &rows.plot
	plot.y0 = top
	plot.x0 += width + rows.gap
	plot.x1 -= right * s.size.text
	if plot.width() < 0.15*s.body.width() {
		return nil, fmt.Errorf("chart: labels and texts leave no room on the %s", s.size.Name)
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
	least := max(2*s.size.thick, inside*size)
	for _, label := range labels {
		lines, err := s.balance(label, false, size, width)
		if err != nil {
			return nil, err
		}
		rows.labels = append(rows.labels, lines)
		least = max(least, lineHeight(len(lines), size)+0.35*size)
	}
	rows.each = plot.height() / float64(len(labels))
	if rows.each < least {
		return nil, fmt.Errorf("chart: %d rows do not fit on the %s", len(labels), s.size.Name)
	}
	if rows.each > 3*least {
		rows.each = 3 * least
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
