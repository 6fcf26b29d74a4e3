package curves

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/bodies"
	"counterpoise/internal/draw"
	"counterpoise/internal/words"
)

// An Axis of a Heat figure: numbers in ascending order, or names.
type Axis struct {
	Label   string // quantity and unit
	Numbers []float64
	Names   []string // instead of Numbers
	Signed  bool     // whether Numbers are changes, which have their sign
}

// Len returns the number of values.
func (a Axis) Len() int { return max(len(a.Numbers), len(a.Names)) }

// texts writes all values.
func (a Axis) texts() []string {
	if a.Names != nil {
		return a.Names
	}
	list, decimals := make([]string, len(a.Numbers)), decimalsOf(a.Numbers)
	for i, v := range a.Numbers {
		if list[i] = words.Number(v, decimals); a.Signed && v > 0 {
			list[i] = "+" + list[i]
		}
	}
	return list
}

// Heat shows a quantity over two axes of a sweep as coloured cells, all of one
// size whatever the values of the axes, with their values written in them, in as many as there
// is room for; of few cells the least and the greatest have a frame. Less is paler and more is
// deeper, on paper and in the dark, and the bodies have the colours of their cells. A value that is
// NaN leaves its cell crossed out: nobody can take that posture.
type Heat struct {
	Title    string
	X, Y     Axis
	Label    string      // the quantity and its unit
	Value    [][]float64 // by value of Y, then of X
	Decimals int         // of the values
	// Unchanged says that 0 on both axes is the body as it is, which is marked.
	Unchanged bool
	// LeastAt and MostAt say where the least and the greatest are, for the description; where they
	// are empty it reads the axes.
	LeastAt, MostAt string
	Bodies          []bodies.Silhouette // of the least and of the greatest
	Foot            draw.Foot
}

// MostCells is how many cells a Heat can show.
const MostCells = 10_000

// Heading implements draw.Figure.
func (h Heat) Heading() (string, draw.Foot) { return h.Title, h.Foot }

// extremes returns where the least and greatest values are; −1 where there is
// none.
func (h Heat) extremes() (low, high [2]int) {
	low, high = [2]int{-1, -1}, [2]int{-1, -1}
	for j, row := range h.Value {
		for i, v := range row {
			if v != v {
				continue
			}
			if low[0] < 0 || v < h.Value[low[0]][low[1]] {
				low = [2]int{j, i}
			}
			if high[0] < 0 || v > h.Value[high[0]][high[1]] {
				high = [2]int{j, i}
			}
		}
	}
	return low, high
}

// Alt implements Figure.
func (h Heat) Alt() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Heat map: %s over %s (%d values) and %s (%d values).",
		h.Label, h.X.Label, h.X.Len(), h.Y.Label, h.Y.Len())
	low, high := h.extremes()
	if low[0] >= 0 {
		x, y := h.X.texts(), h.Y.texts()
		at := func(says string, cell [2]int) string {
			if says == "" {
				says = fmt.Sprintf("%s %s, %s %s", words.Within(h.X.Label), x[cell[1]], words.Within(h.Y.Label), y[cell[0]])
			}
			return words.Number(h.Value[cell[0]][cell[1]], h.Decimals) + ": " + says
		}
		fmt.Fprintf(&b, " Least, %s. Greatest, %s.", at(h.LeastAt, low), at(h.MostAt, high))
	}
	if n := h.crossed(); n > 0 {
		fmt.Fprintf(&b, " In %d cells nobody can take the posture.", n)
	}
	b.WriteString(bodies.Shown(h.Bodies))
	return draw.Described(h, &b)
}

// crossed is how many cells are crossed out.
func (h Heat) crossed() int {
	return len(slices.DeleteFunc(slices.Concat(h.Value...), func(v float64) bool { return v == v }))
}

// Check implements draw.Figure.
func (h Heat) Check() error {
	if h.X.Label == "" || h.Y.Label == "" || h.Label == "" {
		return draw.Wrong("heat map", "an axis or the scale has no label")
	}
	if n := h.X.Len() * h.Y.Len(); n == 0 || n > MostCells {
		return draw.Wrong("heat map", "%d cells, want 1 to %d", n, MostCells)
	}
	for _, a := range []Axis{h.X, h.Y} {
		if !slices.IsSorted(a.Numbers) || !draw.Drawable(a.Numbers...) {
			return draw.Wrong("heat map", "the numbers of %q are not in ascending order", a.Label)
		}
	}
	if len(h.Value) != h.Y.Len() {
		return draw.Wrong("heat map", "%d rows, want %d", len(h.Value), h.Y.Len())
	}
	for _, row := range h.Value {
		if len(row) != h.X.Len() {
			return draw.Wrong("heat map", "%d columns, want %d", len(row), h.X.Len())
		}
		for _, v := range row {
			if v == v && !draw.Drawable(v) {
				return draw.Wrong("heat map", "a value is %v", v)
			}
		}
	}
	if low, _ := h.extremes(); low[0] < 0 {
		return draw.Wrong("heat map", "there is no value")
	}
	return bodies.CheckSilhouettes("heat map", h.Bodies)
}

// Draw implements draw.Figure.
func (h Heat) Draw(s *draw.Sheet) error {
	size, t := s.Size.Text, s.Theme
	label := h.Label
	if h.framed() {
		if label += "; framed: least and most"; h.Unchanged {
			label += "; dashed: as it is"
		}
	}
	if h.crossed() > 0 {
		label += "; crossed out: nobody can take the posture"
	}
	whose := slices.Repeat([]color.RGBA{t.Muted}, len(h.Bodies))
	if len(h.Bodies) == 2 {
		whose = []color.RGBA{seenOn(t, cellColor(t, 0)), seenOn(t, cellColor(t, 1))}
	}
	if _, err := bodies.Beside(s, h.Bodies, whose, bodies.UsuallyAbove); err != nil {
		return err
	}
	plot := s.Body
	for _, text := range []string{label, h.Y.Label} {
		lines, err := s.Balance(text, false, size, plot.Width())
		if err != nil {
			return err
		}
		s.Lines(lines, plot.X0, plot.Y0, draw.AlignLeft, false, size, t.Muted)
		plot.Y0 += draw.LineHeight(len(lines), size) + 0.35*size
	}
	plot.Y0 += 0.35 * size
	var err error
	xTexts, yTexts := h.X.texts(), h.Y.texts()
	var key []string // of names that have no room beside the cells
	if s.Loose {
		if h.Y.Names != nil && (draw.WidestOf(yTexts, size) > 0.3*plot.Width() || plot.Height()/float64(len(yTexts)) < 3*size) {
			yTexts = draw.NumbersFor(h.Y.Names, h.Y.Label+", down", &key)
		}
		if h.X.Names != nil && draw.WidestOf(xTexts, size)+0.6*size > 0.9*(plot.Width()-draw.WidestOf(yTexts, size))/float64(len(xTexts)) {
			xTexts = draw.NumbersFor(h.X.Names, h.X.Label+", across", &key)
		}
	}
	if plot.Y1, err = s.NumbersKey(key, plot.Y1); err != nil {
		return err
	}
	plot.X0 += draw.WidestOf(yTexts, size) + 0.5*size
	axis, err := s.Balance(h.X.Label, false, size, max(plot.Width(), 1))
	if err != nil {
		return err
	}
	plot.Y1 -= (draw.AxisGap+1.35)*size + draw.LineHeight(len(axis), size)
	if plot.Width() < 4*size || plot.Height() < 4*size {
		return fmt.Errorf("chart: no room on the %s for the cells", s.Size.Name)
	}

	width, height := plot.Width()/float64(h.X.Len()), plot.Height()/float64(h.Y.Len())
	top := func(j int) float64 { // numbers grow upwards, names go down
		if h.Y.Names != nil {
			return plot.Y0 + float64(j)*height
		}
		return plot.Y1 - float64(j+1)*height
	}
	h.drawCells(s, plot, top)
	if draw.WidestOf(xTexts, size) > plot.Width() {
		return fmt.Errorf("chart: no room on the %s for the names of %q", s.Size.Name, h.X.Label)
	}
	stride := int(math.Ceil((draw.WidestOf(xTexts, size) + 0.6*size) / width))
	if h.X.Names != nil && stride > 1 && !s.Loose {
		return fmt.Errorf("chart: no room on the %s for the names of %q", s.Size.Name, h.X.Label)
	}
	for i := 0; i < len(xTexts); i += stride {
		s.Text(xTexts[i], plot.X0+(float64(i)+0.5)*width, plot.Y1+(draw.AxisGap+draw.Ascent)*size, draw.AlignCenter, false, size, t.Muted)
	}
	s.Lines(axis, (plot.X0+plot.X1)/2, plot.Y1+(draw.AxisGap+1.35)*size, draw.AlignCenter, false, size, t.Muted)
	stride = int(math.Ceil(1.3 * size / height))
	if h.Y.Names != nil && stride > 1 && !s.Loose {
		return fmt.Errorf("chart: no room on the %s for the names of %q", s.Size.Name, h.Y.Label)
	}
	for j := 0; j < len(yTexts); j += stride {
		s.Text(yTexts[j], plot.X0-0.5*size, top(j)+height/2+0.35*size, draw.AlignRight, false, size, t.Muted)
	}
	return nil
}

// drawCells draws the cells, whose upper ends top gives, and the values in as many of them as
// there is room for.
func (h Heat) drawCells(s *draw.Sheet, plot draw.Rect, top func(j int) float64) {
	t, note, width, height := s.Theme, s.Size.Note(), plot.Width()/float64(h.X.Len()), plot.Height()/float64(h.Y.Len())
	from, to := h.extremes()
	low, high := h.Value[from[0]][from[1]], h.Value[to[0]][to[1]]
	room := 0.8*note + max(draw.TextWidth(words.Number(low, h.Decimals), true, note), draw.TextWidth(words.Number(high, h.Decimals), true, note))
	across, up := int(math.Ceil(room/width)), int(math.Ceil(1.5*note/height))
	cell := func(j, i int) draw.Rect {
		return draw.Rect{X0: plot.X0 + float64(i)*width, Y0: top(j), X1: plot.X0 + float64(i+1)*width, Y1: top(j) + height}
	}
	shade := func(v float64) color.RGBA {
		if low == high {
			return cellColor(t, 0.5)
		}
		return cellColor(t, (v-low)/(high-low))
	}
	for j, row := range h.Value {
		for i, v := range row {
			r := cell(j, i)
			if v != v {
				s.FillRect(t.Zone, r)
				s.Stroke(t.Muted, s.Size.Thin, nil, draw.Point{X: r.X0, Y: r.Y1}, draw.Point{X: r.X1, Y: r.Y0})
				continue
			}
			s.FillRect(shade(v), r.Grow(0.2)) // so that no seam shows between cells
		}
	}
	written := func(j, i int) string { return words.Number(h.Value[j][i], h.Decimals) }
	ends := func(j, i int) bool {
		return h.framed() && (from == [2]int{j, i} || to == [2]int{j, i})
	}
	for j, row := range h.Value {
		for i, v := range row {
			r := cell(j, i)
			corners := []draw.Point{{X: r.X0, Y: r.Y0}, {X: r.X1, Y: r.Y0}, {X: r.X1, Y: r.Y1}, {X: r.X0, Y: r.Y1}, {X: r.X0, Y: r.Y0}}
			if ends(j, i) {
				s.Stroke(t.Ink, 1.5*s.Size.Thin, nil, slices.Clone(corners)...)
			}
			if h.framed() && h.Unchanged && v == v && h.X.Names == nil && h.Y.Names == nil && h.X.Numbers[i] == 0 && h.Y.Numbers[j] == 0 {
				for k := range corners {
					corners[k].X += math.Copysign(2.5*s.Size.Thin, r.X0+r.X1-2*corners[k].X)
					corners[k].Y += math.Copysign(2.5*s.Size.Thin, r.Y0+r.Y1-2*corners[k].Y)
				}
				s.Stroke(inkOn(shade(v)), 1.5*s.Size.Thin, []float64{4 * s.Size.Thin, 2 * s.Size.Thin}, corners...)
			}
		}
	}
	if h.framed() && (up > 1 || across > 1) {
		return // a value for several cells would lie over frames
	}
	for j := up / 2; j < len(h.Value); j += up {
		for i := across / 2; i < len(h.Value[j]); i += across {
			v, r := h.Value[j][i], cell(j, i)
			box := draw.Rect{X0: (r.X0 + r.X1 - room) / 2, Y0: (r.Y0 + r.Y1 - 1.3*note) / 2, X1: (r.X0 + r.X1 + room) / 2, Y1: (r.Y0 + r.Y1 + 1.3*note) / 2}
			if v != v || !box.Inside(plot.Grow(0.5)) || h.crossedNear(j, i, up, across) {
				continue
			}
			if across > 1 || up > 1 {
				s.FillRect(shade(v), box) // over the cells around
			}
			s.Text(written(j, i), (box.X0+box.X1)/2, (box.Y0+box.Y1)/2+0.35*note, draw.AlignCenter, ends(j, i), note, inkOn(shade(v)))
		}
	}
}

// Little is by what share of them values must differ for a map to tell the least from the most.
const Little = 0.05

// Quiet says whether the values differ so little that a map would show nothing.
func (h Heat) Quiet() bool {
	low, high := h.extremes()
	if low[0] < 0 {
		return false
	}
	from, to := h.Value[low[0]][low[1]], h.Value[high[0]][high[1]]
	return to-from < Little*math.Max(math.Abs(from), math.Abs(to)) || words.Number(from, h.Decimals) == words.Number(to, h.Decimals)
}

// cellColor is that of a cell so far up from the least to the most: pale for less, deep for more, on
// a dark ground too.
func cellColor(t draw.Theme, share float64) color.RGBA {
	if draw.Contrast(draw.RGB(0), t.Background) < draw.Contrast(draw.RGB(0xFFFFFF), t.Background) {
		return t.Shade(1 - 0.8*share)
	}
	return t.Shade(0.12 + 0.88*share)
}

// seenOn is a colour, nearer to ink as far as it must be to be seen on the ground.
func seenOn(t draw.Theme, c color.RGBA) color.RGBA {
	const clear = 2.2
	for range 10 {
		if draw.Contrast(c, t.Background) >= clear {
			break
		}
		c = draw.Mix(c, t.Ink, 0.12)
	}
	return c
}

// framed says whether there are so few cells that frames can be seen.
func (h Heat) framed() bool { return h.X.Len()*h.Y.Len() <= 250 }

// inkOn is black or white, whichever can be read better on a colour.
func inkOn(c color.RGBA) color.RGBA {
	black, white := draw.RGB(0x000000), draw.RGB(0xFFFFFF)
	if draw.Contrast(white, c) > draw.Contrast(black, c) {
		return white
	}
	return black
}

// crossedNear says whether a cell is crossed out that a value over several would lie on.
func (h Heat) crossedNear(j, i, up, across int) bool {
	if up == 1 && across == 1 {
		return false
	}
	return slices.ContainsFunc(h.Value[max(0, j-up/2-1):min(len(h.Value), j+up/2+2)], func(row []float64) bool {
		return slices.ContainsFunc(row[max(0, i-across/2-1):min(len(row), i+across/2+2)], math.IsNaN)
	})
}
