package draw

import "fmt"

// barRows are rows with a label on the left of each.
type barRows struct {
	Plot   Rect
	Each   float64 // height of a row
	labels [][]string
	size   float64 // of the type
	gap    float64
}

// BarRows finds room for rows below top, in type of a size, over axes that stand side by side.
// The labels take up to a share of the width; right of the rows and in them room is left, in
// multiples of the type size.
func (s *Sheet) BarRows(labels, axes []string, top, size, share, right, inside float64) (*barRows, error) {
	width := min(WidestOf(labels, size), share*s.Body.Width())
	rows := &barRows{Plot: s.Body, size: size, gap: 0.8 * s.Size.Text}
	plot := &rows.Plot
	plot.Y0 = top
	plot.X0 += width + rows.gap
	plot.X1 -= right * s.Size.Text
	if plot.Width() < 0.15*s.Body.Width() {
		return nil, fmt.Errorf("chart: labels and texts leave no room on the %s", s.Size.Name)
	}
	below := 0.0
	for _, axis := range axes {
		height, err := s.AxisHeight(axis, plot.Width()/float64(len(axes)))
		if err != nil {
			return nil, err
		}
		below = max(below, height)
	}
	plot.Y1 -= below
	least := max(2*s.Size.Thick, inside*size)
	for _, label := range labels {
		lines, err := s.Balance(label, false, size, width)
		if err != nil {
			return nil, err
		}
		rows.labels = append(rows.labels, lines)
		least = max(least, LineHeight(len(lines), size)+0.35*size)
	}
	rows.Each = plot.Height() / float64(len(labels))
	if rows.Each < least {
		return nil, fmt.Errorf("chart: %d rows do not fit on the %s", len(labels), s.Size.Name)
	}
	if rows.Each > 3*least {
		rows.Each = 3 * least
		plot.Y1 = plot.Y0 + rows.Each*float64(len(labels))
	}
	return rows, nil
}

// Middle is the height of the middle of a row.
func (r *barRows) Middle(i int) float64 { return r.Plot.Y0 + (float64(i)+0.5)*r.Each }

// Label sets the label of a row.
func (r *barRows) Label(s *Sheet, i int) {
	s.Lines(r.labels[i], r.Plot.X0-r.gap, r.Middle(i)-LineHeight(len(r.labels[i]), r.size)/2, AlignRight, false, r.size, s.Theme.Ink)
}
