package chart

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/bodies"
	"counterpoise/internal/chart/curves"
	"counterpoise/internal/draw"
	"counterpoise/internal/words"
)

// A ContrastGroup is one of two groups of people.
type ContrastGroup struct {
	Name    string    // such as "the tallest"
	Density []float64 // of its people over Contrast.X
	Median  float64
	Says    string // its middle, in words
}

// A Contrast lays two groups of people over one another, over one axis of what is asked
// of them. Beside that it shows in how many of a hundred pairs of a person of either it is
// more for the one of the top group, and below it the draws of how far the groups' middle
// people lie apart.
type Contrast struct {
	Title       string
	Label       string // of the axis of what is asked, with its unit
	X           []float64
	Bottom, Top ContrastGroup

	Pairs    [3]float64 // so many of a hundred are as PairsSay has it: at least, in the middle, at most
	PairsSay string

	Zone   // of the difference
	Spread // of the difference of the middle people
	Bodies []bodies.Silhouette
	Foot   draw.Foot
}

// Heading implements draw.Figure.
func (c Contrast) Heading() (string, draw.Foot) { return c.Title, c.Foot }

// Alt implements Figure.
func (c Contrast) Alt() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Two humps of people over one another, over %s: %s and %s. A field of a hundred dots, a pair of people each: %s.", c.Label, c.Bottom.Says, c.Top.Says, strings.TrimSuffix(c.PairsSay+"; "+c.unsure(), "; "))
	fmt.Fprintf(&b, " Below, dots over %s %s; %s.", c.alt(), words.Capital(c.told(0)), c.falls(c.Draws))
	b.WriteString(bodies.Shown(c.Bodies))
	return draw.Described(c, &b)
}

func (c Contrast) groups() []ContrastGroup { return []ContrastGroup{c.Bottom, c.Top} }

// Check implements draw.Figure.
func (c Contrast) Check() error {
	const kind = "contrast"
	if c.Label == "" || c.PairsSay == "" {
		return draw.Wrong(kind, "an axis has no label, or nothing says what the pairs are")
	}
	if !(0 <= c.Pairs[0] && c.Pairs[0] <= c.Pairs[1] && c.Pairs[1] <= c.Pairs[2] && c.Pairs[2] <= 100) {
		return draw.Wrong(kind, "%v of 100 pairs", c.Pairs)
	}
	for _, g := range c.groups() {
		if g.Name == "" || g.Says == "" {
			return draw.Wrong(kind, "a group has no name or no words")
		}
		if err := curves.CheckSeries("contrast: "+g.Name, c.X, g.Density); err != nil {
			return err
		}
		if !draw.Drawable(g.Median) || slices.Min(g.Density) < 0 || slices.Max(g.Density) <= 0 {
			return draw.Wrong(kind, "%s: a density below 0, or nobody in it", g.Name)
		}
	}
	if err := c.Zone.check(kind); err != nil {
		return err
	}
	if err := c.Spread.check(kind); err != nil {
		return err
	}
	return bodies.CheckSilhouettes(kind, c.Bodies)
}

// Draw implements draw.Figure.
func (c Contrast) Draw(s *draw.Sheet) error {
	size := s.Size.Text
	part, body := s.Aside(0.28, 0.27)
	if err := c.drawAside(s, part); err != nil {
		return err
	}
	above := draw.Scale{Low: c.X[0], High: c.X[len(c.X)-1], From: body.X0, To: body.X1}
	below := draw.Scale{From: body.X0, To: body.X1}
	below.Low, below.High = c.ends(append([]float64{c.Spread.Low, c.Spread.High}, c.Draws...)...)
	aboveAxis, err := s.AxisHeight(c.Label, body.Width())
	if err != nil {
		return err
	}
	belowAxis, err := c.axisHeight(s, body.Width())
	if err != nil {
		return err
	}
	named := c.namesHeight(s, below, c.small())
	rest := body.Height() - aboveAxis - belowAxis - 0.7*size - named - lineFoot(size) - 0.9*size
	if rest < 6*size {
		return draw.Wrong("contrast", "no room on the %s", s.Size.Name)
	}
	hump, pit := 0.7*rest, 0.3*rest
	if err := c.drawHumps(s, above, draw.Rect{X0: body.X0, Y0: body.Y0, X1: body.X1, Y1: body.Y0 + hump}); err != nil {
		return err
	}
	if err := s.HorizontalAxis(above, body.Y0+hump, c.Label); err != nil {
		return err
	}
	d := dotsIn(below, size, pit-0.2*size, c.Draws)
	y := body.Y0 + hump + aboveAxis + 0.7*size
	if err := c.drawNames(s, below, y, c.small()); err != nil {
		return err
	}
	y += named
	c.drawBack(s, below, y, y+pit)
	if err := c.drawDots(s, d, c.Spread, y+pit, c.told); err != nil {
		return err
	}
	return c.drawAxis(s, below, y+pit+lineFoot(size)+0.9*size)
}

// drawHumps draws the two groups over one another, under their names.
func (c Contrast) drawHumps(s *draw.Sheet, x draw.Scale, plot draw.Rect) error {
	size, t := s.Size.Text, s.Theme
	colors := t.Pair()
	var lines float64 // where the lines of the middles end
	if lower, upper := c.middles(s, x, plot); lower != nil {
		for _, p := range []*placed{lower, upper} {
			s.Text(p.text, p.at, plot.Y0+draw.Ascent*size, draw.AlignLeft, true, size, p.ink)
		}
		plot.Y0 += draw.LineHeight(1, size) + 0.2*size
		lines = plot.Y0
	} else if right := max(x.At(c.Bottom.Median), x.At(c.Top.Median)) + 0.3*size; right+max(draw.TextWidth(c.Bottom.Says, true, size), draw.TextWidth(c.Top.Says, true, size)) < plot.X1 {
		for k, g := range c.groups() {
			s.Text(g.Says, right, plot.Y0+(draw.Ascent+draw.Leading*float64(k))*size, draw.AlignLeft, true, size, t.TextColor(colors[k]))
		}
		plot.Y0 += draw.LineHeight(2, size) + 0.2*size
		lines = plot.Y0
	} else {
		for k, g := range c.groups() {
			lines, err := s.Balance(g.Says, true, size, plot.Width())
			if err != nil {
				return err
			}
			s.Lines(lines, plot.X0, plot.Y0, draw.AlignLeft, true, size, t.TextColor(colors[k]))
			plot.Y0 += float64(len(lines)) * draw.Leading * size
		}
		lines = math.Inf(1)
	}
	if plot.Height() < 2.5*size {
		return draw.Wrong("contrast", "no room on the %s", s.Size.Name)
	}
	y := draw.Scale{Low: 0, High: 1.05 * max(slices.Max(c.Bottom.Density), slices.Max(c.Top.Density)), From: plot.Y1, To: plot.Y0}
	points := func(density []float64) []draw.Point {
		list := make([]draw.Point, len(density))
		for i, v := range density {
			list[i] = draw.Point{X: x.At(c.X[i]), Y: y.At(v)}
		}
		return list
	}
	// One is an area and the other a line, so that they do not merge.
	area := append([]draw.Point{{X: x.From, Y: plot.Y1}}, points(c.Bottom.Density)...)
	s.Fill(draw.Mix(t.Background, colors[0], 0.3), append(area, draw.Point{X: x.To, Y: plot.Y1})...)
	s.Stroke(t.Muted, s.Size.Thin, nil, draw.Point{X: plot.X0, Y: plot.Y1}, draw.Point{X: plot.X1, Y: plot.Y1})
	for k, g := range c.groups() {
		outline := points(g.Density)
		s.Stroke(colors[k], (0.4+0.6*float64(k))*s.Size.Thick, nil, outline...)
		if top, ok := curves.HeightAt(outline, x.At(g.Median)); ok {
			top = min(top, lines)
			s.Stroke(colors[k], 1.4*s.Size.Thin, []float64{3 * s.Size.Thin, 2 * s.Size.Thin}, draw.Point{X: x.At(g.Median), Y: plot.Y1}, draw.Point{X: x.At(g.Median), Y: top})
		}
	}
	return nil
}

// middles are what the groups' middles are called, with their left ends beside the tops of their
// lines: the lower one's left of its line, the other's right of its own. Both are nil where they
// have no room.
func (c Contrast) middles(s *draw.Sheet, x draw.Scale, plot draw.Rect) (lower, upper *placed) {
	size, colors := s.Size.Text, s.Theme.Pair()
	groups := c.groups()
	if groups[0].Median > groups[1].Median {
		slices.Reverse(groups)
		colors = []color.RGBA{colors[1], colors[0]}
	}
	text := [2]placed{}
	for k, g := range groups {
		text[k] = placed{g.Says, x.At(g.Median) + 0.3*size, s.Theme.TextColor(colors[k])}
	}
	text[0].at = x.At(groups[0].Median) - 0.3*size - draw.TextWidth(groups[0].Says, true, size)
	end := text[1].at + draw.TextWidth(groups[1].Says, true, size)
	if over := end - plot.X1; over > 0 { // as near as may be
		text[1].at -= over
	}
	text[0].at = max(text[0].at, plot.X0)
	if text[0].at+draw.TextWidth(groups[0].Says, true, size)+0.6*size > text[1].at {
		return nil, nil
	}
	return &text[0], &text[1]
}

// pairsAcross is how many pairs stand in a row of the field.
const pairsAcross = 10

// sure is of how many pairs it is sure, in how many it is so in the middle of the unknowns, and of
// how many it may be so.
func (c Contrast) sure() (low, middle, high int) {
	return int(math.Round(c.Pairs[0])), int(math.Round(c.Pairs[1])), int(math.Round(c.Pairs[2]))
}

// unsure says what the pale and hollow dots are; empty where there are none.
func (c Contrast) unsure() string {
	low, _, high := c.sure()
	if low == high {
		return ""
	}
	return words.Together(fmt.Sprintf("pale and hollow: %d to %d by what nobody has measured", low, high))
}

// drawAside draws the room and the field of pairs.
func (c Contrast) drawAside(s *draw.Sheet, area draw.Rect) error {
	size, note, t := s.Size.Text, s.Size.Note(), s.Theme
	field := area
	if len(c.Bodies) > 0 {
		room := area
		if s.Wide() {
			room.Y1 = area.Y0 + 0.42*area.Height()
			field.Y0 = room.Y1 + size
		} else {
			room.X1 = area.X0 + 0.54*area.Width()
			field.X0 = room.X1 + size
		}
		if err := bodies.Silhouettes(s, c.Bodies, t.Pair(), room); err != nil {
			return err
		}
	}
	low, middle, high := c.sure()
	text, err := s.Balance(c.PairsSay, true, note, field.Width())
	if err != nil {
		return err
	}
	key, err := s.Balance(c.unsure(), false, note, field.Width())
	if err != nil {
		return err
	}
	caption := draw.LineHeight(len(text)+len(key), note) + 0.5*note
	side := min(field.Width(), field.Height()-caption)
	if side < 5*note {
		return draw.Wrong("contrast", "no room for pairs on the %s", s.Size.Name)
	}
	step := side / pairsAcross
	x0 := field.X0
	if !s.Wide() {
		x0 = (field.X0 + field.X1 - side) / 2
	}
	for k := range pairsAcross * pairsAcross {
		at := draw.Point{X: x0 + (float64(k%pairsAcross)+0.5)*step, Y: field.Y0 + (float64(k/pairsAcross)+0.5)*step}
		switch { // full, pale or hollow where it is not sure, small for all others
		case k < low:
			s.Disc(t.After, at, 0.4*step)
		case k < middle:
			s.Disc(draw.Mix(t.After, t.Background, 0.5), at, 0.4*step)
		case k < high:
			s.Disc(t.After, at, 0.4*step)
			s.Disc(t.Background, at, 0.27*step)
		default:
			s.Disc(t.Muted, at, 0.14*step)
		}
	}
	align, x := draw.AlignLeft, x0
	if !s.Wide() {
		align, x = draw.AlignCenter, (field.X0+field.X1)/2
	}
	s.Lines(text, x, field.Y0+side+0.5*note, align, true, note, t.TextColor(t.After))
	s.Lines(key, x, field.Y0+side+(0.5+draw.Leading*float64(len(text)))*note, align, false, note, t.Muted)
	return nil
}
