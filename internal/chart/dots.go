package chart

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/bodies"
	"counterpoise/internal/draw"
	"counterpoise/internal/words"
	"counterpoise/sim/names"
)

// Dots compare persons or things: a row each, and in every panel a dot with its range. Without a
// row there is what it says alone, beside the bodies.
type Dots struct {
	Title  string
	Says   string // what follows from it, in type for reading; may be empty
	Names  []string
	Panels []DotPanel
	Key    string // what dots, lines and rings are; may be empty
	Bodies []bodies.Silhouette
	Own    bool // the bodies are those of the panels, one each
	Foot   draw.Foot

	// Axis, if it is not empty, is that of one plot for all panels, whose labels are then
	// whose marks they are.
	Axis string
	// Less and More are what it means to lie left and right of Around on the axis of the panel
	// Special; empty where nothing
	// is special.
	Less, More string
	WaysOf     string // whose these are, above both; may be empty
	Around     float64
	Special    int

	low, high []float64 // of the axes, by panel; nil where the rows decide
	page      string    // which of several this is
}

// A DotPanel is one quantity of everybody.
type DotPanel struct {
	Label string // of the axis, with the unit
	Dots  []Dot  // one each name
}

// A Dot is a value with its range, in the unit of the axis, and as text. NaN is none.
// Before is the value that it was, NaN where there is none; a ring shows it where that can be told
// apart. Whole are the ends of a range of which this one is what is left; both 0 where it is of none.
type Dot struct {
	Value, Low, High, Before float64
	Whole                    [2]float64
	Hollow                   bool // it is of another kind than the full ones, as the key says
	Text                     string
	Range                    string // Low to High, for the description; may be empty
	Was                      string // Before, for the description; may be empty
	Told                     string // instead of Text in the description, where that alone would be taken for something else
}

// words are those of a dot in the description.
func (d Dot) words() string {
	text := d.Text
	if d.Told != "" {
		text = d.Told
	}
	if d.Range != "" {
		text += " (" + d.Range + ")"
	}
	if d.Was != "" {
		text += ", last time " + d.Was
	}
	return text
}

// Heading implements draw.Figure.
func (d Dots) Heading() (string, draw.Foot) { return d.Title + d.page, d.Foot }

// Alt implements Figure.
func (d Dots) Alt() string {
	var b strings.Builder
	if d.Says != "" {
		fmt.Fprintf(&b, "%s ", d.Says)
	}
	if len(d.Names) > 0 {
		b.WriteString("Dots with ranges, a row each")
		if d.Axis != "" {
			fmt.Fprintf(&b, ": %s", d.Axis)
		}
		b.WriteString(".")
	}
	// Whose the marks on one axis are is told whole once.
	labels := make([]string, len(d.Panels))
	for k, p := range d.Panels {
		if labels[k] = p.Label; d.Axis != "" && len(d.Panels) > 1 {
			fmt.Fprintf(&b, " %s.", p.Label)
			labels[k], _, _ = strings.Cut(p.Label, " (")
		}
	}
	if d.Key != "" {
		fmt.Fprintf(&b, " %s", d.Key)
	}
	if d.Less != "" {
		fmt.Fprintf(&b, " Left of %s on the axis%s: %s; right of it: %s.", words.Given(d.Around), d.special(), strings.TrimSpace(d.WaysOf+" "+d.Less), strings.TrimSpace(d.WaysOf+" "+d.More))
	}
	for i, name := range d.Names {
		var parts []string
		for k, p := range d.Panels {
			if p.Dots[i].Text != "" {
				parts = append(parts, strings.TrimSpace(labels[k]+" "+p.Dots[i].words()))
			}
		}
		fmt.Fprintf(&b, " %s: %s.", name, strings.Join(parts, ", "))
	}
	b.WriteString(bodies.Shown(d.Bodies))
	return draw.Described(d, &b)
}

// special names the panel whose sides have a meaning, where there are several.
func (d Dots) special() string {
	if d.Axis != "" || len(d.Panels) < 2 {
		return ""
	}
	return " of " + d.Panels[d.Special].Label
}

// Check implements draw.Figure.
func (d Dots) Check() error {
	if d.Says == "" && (len(d.Names) == 0 || len(d.Panels) == 0) {
		return draw.Wrong("dots", "nobody to compare, or nothing")
	}
	for _, p := range d.Panels {
		if p.Label == "" && (d.Axis == "" || len(d.Panels) > 1) {
			return draw.Labelled("dots", "")
		}
		if len(p.Dots) != len(d.Names) {
			return draw.Wrong("dots", "%d dots of %d persons", len(p.Dots), len(d.Names))
		}
		for _, dot := range p.Dots {
			if !math.IsNaN(dot.Value) && (!draw.Drawable(dot.Value, dot.Low, dot.High) || dot.Low > dot.High) {
				return draw.Wrong("dots", "%v from %v to %v", dot.Value, dot.Low, dot.High)
			}
		}
	}
	return bodies.CheckSilhouettes("dots", d.Bodies)
}

// ends are those of a panel's axis.
func (d Dots) ends(k int) (low, high float64) {
	if d.low != nil {
		return d.low[k], d.high[k]
	}
	low, high = math.Inf(1), math.Inf(-1)
	panels := d.Panels[k : k+1]
	if d.Axis != "" {
		panels = d.Panels
	}
	special := d.Less != "" && k == d.Special
	if special {
		low, high = d.Around, d.Around
	}
	var dots []Dot
	for _, p := range panels {
		dots = append(dots, p.Dots...)
	}
	for _, dot := range dots {
		seen := []float64{dot.Value, dot.Low, dot.High, dot.Before}
		if dot.Whole[0] < dot.Whole[1] {
			seen = append(seen, dot.Whole[:]...)
		}
		for _, v := range seen {
			if !math.IsNaN(v) {
				low, high = min(low, v), max(high, v)
			}
		}
	}
	if low > high || low == high && special {
		return d.Around - 1, d.Around + 1
	}
	margin := max(0.04*(high-low), 0.01*math.Abs(high))
	return low - margin, high + margin
}

// length implements divisible. What has several dots a row stays together.
func (d Dots) Len() int {
	if d.Axis != "" && len(d.Panels) > 1 {
		return 1
	}
	return len(d.Names)
}

// Part is it with some of its parts, on the same axis.
func (d Dots) Part(from, to int) draw.Figure {
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

// Numbered is the k-th of several, said so in its title where that is not plain.
func (d Dots) Numbered(k, of int) draw.Figure {
	d.page = fmt.Sprintf(" (%d of %d)", k, of)
	return d
}

// glyphs are letters like the shapes of the first series, as far as the font has them.
var glyphs = []string{"●", "■", "♦"}

// captioned are the bodies with the shapes of their marks before their captions, in place of a key.
func (d Dots) captioned() []bodies.Silhouette {
	list := slices.Clone(d.Bodies)
	for i := range list {
		list[i].Caption = glyphs[i] + "\u00a0" + list[i].Caption
	}
	return list
}

// drawSaid draws what it says where there is nothing to compare.
func (d Dots) drawSaid(s *draw.Sheet) error {
	size, middle := 1.45*s.Size.Text, math.NaN() // of the bodies
	if len(d.Bodies) > 0 {
		part, rest := s.Aside(0.45, 0.6)
		before := len(s.Items)
		if err := bodies.Silhouettes(s, d.Bodies, slices.Repeat([]color.RGBA{s.Theme.Muted}, len(d.Bodies)), part); err != nil {
			return err
		}
		top, bottom := bodies.Reach(s.Items[before:])
		bodies.MoveDown(s.Items[before:], part.Y0-top)
		if s.Body = rest; !s.Wide() {
			s.Body.Y0 = min(s.Body.Y0, bottom-top+part.Y0+1.2*size)
		} else {
			s.Body.X0 += size
			middle = part.Y0 + (bottom-top)/2
		}
	}
	lines, err := s.Balance(d.Says, false, size, s.Body.Width())
	if err != nil {
		return err
	}
	height := draw.LineHeight(len(lines), size)
	if height > s.Body.Height() {
		return draw.Wrong("dots", "no room on the %s for what is said", s.Size.Name)
	}
	if !math.IsNaN(middle) {
		s.Body.Y0 = max(s.Body.Y0, middle-0.7*height)
	}
	s.Lines(lines, s.Body.X0, s.Body.Y0, draw.AlignLeft, false, size, s.Theme.Ink)
	s.Body.Y0 += height + 0.8*size
	if d.Key == "" {
		return nil
	}
	bottom, err := s.Paragraph(d.Key, s.Body.Y0, s.Size.Note())
	if err == nil && bottom > s.Body.Y1 {
		err = draw.Wrong("dots", "no room on the %s for what is said", s.Size.Name)
	}
	return err
}

// Draw implements draw.Figure.
func (d Dots) Draw(s *draw.Sheet) error {
	if len(d.Names) == 0 {
		return d.drawSaid(s)
	}
	size, note, t := s.Size.Text, s.Size.Note(), s.Theme
	if len(d.Panels) > 1 && d.Axis != "" {
		size = note
	}
	if d.Says != "" {
		lines, err := s.Balance(d.Says, false, s.Size.Text, s.Body.Width())
		if err != nil {
			return err
		}
		s.Lines(lines, s.Body.X0, s.Body.Y0, draw.AlignLeft, false, s.Size.Text, t.Ink)
		s.Body.Y0 += draw.LineHeight(len(lines), s.Size.Text) + 0.8*s.Size.Text
	}
	panels := names.Each(d.Panels, func(p DotPanel) string { return p.Label })
	series, axes := 1, panels
	if d.Axis != "" {
		series, axes = len(d.Panels), []string{d.Axis}
	}
	colors, err := t.LineColors(series)
	if err != nil {
		return err
	}
	whose, list := slices.Repeat([]color.RGBA{t.Muted}, len(d.Bodies)), d.Bodies
	own := d.Own && len(d.Bodies) == series
	if own {
		whose = colors
	}
	if own = own && series > 1 && series <= len(glyphs); own {
		list = d.captioned()
	}
	above := bodies.UsuallyAbove
	if len(d.Names)*series < 4 { // there is room
		above = 0.42
	}
	level, err := bodies.Beside(s, list, whose, above)
	if err != nil {
		return err
	}
	top := s.Body.Y0
	if series > 1 && !own {
		if top, err = s.ShapeKey(panels, colors, top); err != nil {
			return err
		}
		top -= 0.5 * size
	}
	if d.Key != "" {
		if top, err = s.Paragraph(d.Key, top, note); err != nil {
			return err
		}
		top += 0.8 * size
	}
	if d.Less != "" {
		top += draw.LineHeight(1, size) + 0.2*size
	}
	if d.WaysOf != "" {
		top += draw.Leading * size
	}
	texts := make([]float64, len(d.Panels)) // how wide
	for k, p := range d.Panels {
		for _, dot := range p.Dots {
			texts[k] = max(texts[k], draw.TextWidth(dot.Text, true, size))
		}
	}
	labels, right := 0.25, 0.0
	if len(axes) == 1 {
		labels, right = 0.42, slices.Max(texts)/size+0.8
	}
	rows, err := s.BarRows(d.Names, axes, top, size, labels, right, 0.15+[]float64{1.2, 1.05}[min(series-1, 1)]*float64(series))
	if err != nil {
		return err
	}
	// Rows of a few persons take the room that there is.
	below := 0.0
	for _, axis := range axes {
		height, err := s.AxisHeight(axis, rows.Plot.Width()/float64(len(axes)))
		if err != nil {
			return err
		}
		below = max(below, height)
	}
	rows.Each = max(rows.Each, min((s.Body.Y1-below-rows.Plot.Y0)/float64(len(d.Names)), 4.5*size*math.Sqrt(float64(series))))
	rows.Plot.Y1 = rows.Plot.Y0 + rows.Each*float64(len(d.Names))
	level(rows.Plot.Y0)
	plots, err := d.plots(s, rows.Plot, len(axes), texts, size)
	if err != nil {
		return err
	}
	band := draw.Mix(t.Background, t.Grid, 0.35)
	for i := range d.Names {
		rows.Label(s, i)
		for _, p := range plots {
			if i%2 == 0 {
				s.FillRect(band, draw.Rect{X0: p.X0, Y0: rows.Middle(i) - rows.Each/2, X1: p.X1, Y1: rows.Middle(i) + rows.Each/2})
			}
		}
	}
	for a, plot := range plots {
		low, high := d.ends(a)
		x := draw.Scale{Low: low, High: high, From: plot.X0, To: plot.X1}
		if err := s.HorizontalAxis(x, plot.Y1, axes[a], plot); err != nil {
			return err
		}
		if d.Less != "" && a == d.Special {
			d.drawWays(s, x, plot)
		}
	}
	for k, p := range d.Panels {
		plot, y, lane := plots[min(k, len(plots)-1)], 0.0, min(rows.Each/(float64(series)+0.15), 1.5*size)
		if series > 1 {
			y = (float64(k) - float64(series-1)/2) * lane
		}
		low, high := d.ends(min(k, len(plots)-1))
		x := draw.Scale{Low: low, High: high, From: plot.X0, To: plot.X1}
		for i, dot := range p.Dots {
			if !math.IsNaN(dot.Value) || dot.Text != "" {
				d.dot(s, x, rows.Middle(i)+y, dot, plot.X1+0.6*size+texts[k], size, lane, colors, k%series)
			}
		}
	}
	return nil
}

// plots divides the room for rows into so many panels, each with its texts on its right.
func (d Dots) plots(s *draw.Sheet, room draw.Rect, panels int, texts []float64, size float64) ([]draw.Rect, error) {
	if panels == 1 {
		return []draw.Rect{room}, nil
	}
	gap := 1.4 * size
	each := (room.Width() - gap*float64(panels-1)) / float64(panels)
	var plots []draw.Rect
	for k := range panels {
		x := room.X0 + float64(k)*(each+gap)
		plots = append(plots, draw.Rect{X0: x, Y0: room.Y0, X1: x + each - texts[k] - 0.6*size, Y1: room.Y1})
		if plots[k].Width() < 4*size {
			return nil, fmt.Errorf("chart: dots: no room on the %s for %d panels", s.Size.Name, panels)
		}
	}
	return plots, nil
}

// drawWays draws the line that is special and says over the plot what either side of it is.
func (d Dots) drawWays(s *draw.Sheet, x draw.Scale, plot draw.Rect) {
	size, t := s.Size.Text, s.Theme
	at, base := x.At(d.Around), plot.Y0-0.55*size
	s.Stroke(t.Muted, s.Size.Thin, nil, draw.Point{X: at, Y: plot.Y0 - 0.3*size}, draw.Point{X: at, Y: plot.Y1})
	less, more := draw.TextWidth("← "+d.Less, true, size), draw.TextWidth(d.More+" →", true, size)
	from, to := s.Body.X0, s.Body.X1
	if len(d.Panels) > 1 { // beyond are others, of which nothing stands so high
		from, to = max(from, plot.X0-4*size), min(to, plot.X1+4*size)
	}
	left, right := at-0.6*size-less >= from, at+0.6*size+more <= to
	if left || len(d.Panels) == 1 {
		s.Text("← "+d.Less, max(at-0.6*size, from+less), base, draw.AlignRight, true, size, t.Ink)
	}
	if right || len(d.Panels) == 1 {
		s.Text(d.More+" →", min(at+0.6*size, to-more), base, draw.AlignLeft, true, size, t.Ink)
	}
	if d.WaysOf != "" && (left || right || len(d.Panels) == 1) {
		half := draw.TextWidth(d.WaysOf, false, size) / 2
		s.Text(d.WaysOf, min(max(from+half, at), s.Body.X1-half), base-draw.Leading*size, draw.AlignCenter, false, size, t.Ink)
	}
}

// dot draws one in a lane of a height, with its text ending at a place.
func (d Dots) dot(s *draw.Sheet, x draw.Scale, y float64, dot Dot, end, size, lane float64, colors []color.RGBA, k int) {
	t, radius, c := s.Theme, 0.34*size, colors[k]
	ink, several := t.Ink, d.Axis != "" && len(d.Panels) > 1
	if several {
		ink = t.TextColor(c)
	}
	s.Text(dot.Text, end, y+0.35*size, draw.AlignRight, true, size, ink)
	if math.IsNaN(dot.Value) {
		return
	}
	at := draw.Point{X: x.At(dot.Value), Y: y}
	if several {
		// A range may be smaller than the mark: it lies below it, so that both are seen.
		at.Y -= 0.12 * lane
		draw.Shapes[k](s, c, at, min(1.2*radius, 0.28*lane))
		whisker(s, x.At(dot.Low), x.At(dot.High), y+0.32*lane, 0.1*lane)
		return
	}
	if dot.Whole[0] < dot.Whole[1] {
		for _, gone := range [][2]float64{{dot.Whole[0], dot.Low}, {dot.High, dot.Whole[1]}} {
			s.FillRect(draw.Mix(t.Background, t.Below, 0.3), draw.Rect{X0: x.At(gone[0]), Y0: y - radius, X1: x.At(gone[1]), Y1: y + radius})
		}
	}
	s.Stroke(draw.Mix(t.Background, c, 0.55), 1.2*s.Size.Thick, nil, draw.Point{X: x.At(dot.Low), Y: y}, draw.Point{X: x.At(dot.High), Y: y})
	// Nearer than this a ring would hide behind the dot.
	if was, small := x.At(dot.Before), 0.65*radius; math.Abs(was-at.X) > radius+small {
		ring, side := draw.Point{X: was, Y: y}, math.Copysign(1, at.X-was)
		if tail, tip := was+side*small, at.X-side*(radius+s.Size.Thin); (tip-tail)*side > 0.5*radius {
			bodies.DrawArrow(s, &draw.Placer{Sheet: s}, t.After, s.Size.Thin, draw.Point{X: tail, Y: y}, draw.Point{X: tip, Y: y})
		}
		s.Disc(t.After, ring, small)
		s.Disc(t.Background, ring, small-1.2*s.Size.Thin)
	}
	draw.Shapes[k](s, c, at, radius)
	if dot.Hollow {
		s.Disc(t.Background, at, 0.6*radius)
	}
}

// whisker draws a range over what lies there: a thin line with its ends across it, on a thin rim of
// the background.
func whisker(s *draw.Sheet, from, to, y, half float64) {
	pieces := [][]draw.Point{{{X: from, Y: y}, {X: to, Y: y}}, {{X: from, Y: y - half}, {X: from, Y: y + half}}, {{X: to, Y: y - half}, {X: to, Y: y + half}}}
	for _, over := range []struct {
		c     color.RGBA
		width float64
	}{{s.Theme.Background, 1.9 * s.Size.Thin}, {s.Theme.Ink, s.Size.Thin}} {
		for _, piece := range pieces {
			s.Stroke(over.c, over.width, nil, piece...)
		}
	}
}
