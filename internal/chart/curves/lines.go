package curves

import (
	"cmp"
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/bodies"
	"counterpoise/internal/draw"
	"counterpoise/internal/words"

	"gonum.org/v1/gonum/interp"
)

// A Series is a line through (X, Y), X increasing. In Lines, a Y that is NaN leaves a
// gap: nobody can take that posture.
type Series struct {
	Name      string // may be empty where there is one series only
	X, Y      []float64
	Low, High []float64 // of the spread around Y; nil where it is not shown
}

// At is where the line is at a place along X; not a number where it cannot be drawn.
func (s Series) At(x float64) float64 {
	var line interp.PiecewiseLinear
	if CheckSeries(s.Name, s.X, s.Y) != nil || line.Fit(s.X, s.Y) != nil {
		return math.NaN()
	}
	return line.Predict(x)
}

// MostCurves is how many series Lines can show so that they are told apart by their colours.
const MostCurves = 6

// Lines shows quantities along one axis of a sweep, up to MostCurves of them, each with its
// name beside it. Where the axis is a choice of names, X are their indices, and marks with bars
// take the place of lines; several lines have the spread at their end as a bar.
type Lines struct {
	Title          string
	XLabel, YLabel string   // quantity and unit
	XNames         []string // of a choice; nil for numbers
	Spread         string   // what the ribbon or the bars show, such as "nine in ten men"
	Scattered      bool     // X are in no order: marks only
	Decimals       int      // of the values that are written at the marks of few, where there is room
	Series         []Series
	Bodies         []bodies.Silhouette
	Foot           draw.Foot
}

// Heading implements draw.Figure.
func (l Lines) Heading() (string, draw.Foot) { return l.Title, l.Foot }

// Alt implements Figure.
func (l Lines) Alt() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Line chart: %s against %s.", l.YLabel, l.XLabel)
	bottom, top := l.yRange()
	_, decimals := draw.Ticks(bottom, top, mostY)
	if bottom > 0 {
		b.WriteString(" The vertical axis does not begin at\u00a00.")
	}
	for _, s := range l.Series {
		pieces := l.pieces(s)
		if len(pieces) == 0 {
			continue
		}
		first, last := pieces[0][0], pieces[len(pieces)-1][len(pieces[len(pieces)-1])-1]
		name := cmp.Or(s.Name, "The line")
		if l.Scattered {
			y := slices.DeleteFunc(slices.Clone(s.Y), func(y float64) bool { return y != y })
			fmt.Fprintf(&b, " %s: %d points, from %s to %s.", name, len(y), words.Number(slices.Min(y), decimals+1), words.Number(slices.Max(y), decimals+1))
			continue
		}
		fmt.Fprintf(&b, " %s: %s at %s, %s at %s.", name, words.Number(s.Y[first], decimals+1), l.xText(s.X[first]), words.Number(s.Y[last], decimals+1), l.xText(s.X[last]))
	}
	if l.spread() {
		fmt.Fprintf(&b, " Around it: %s.", l.Spread)
	}
	b.WriteString(bodies.Shown(l.Bodies))
	return draw.Described(l, &b)
}

func (l Lines) xText(x float64) string {
	if l.XNames != nil {
		return l.XNames[int(x)]
	}
	return words.Number(x, decimalsOf([]float64{x}))
}

func (l Lines) spread() bool { return slices.ContainsFunc(l.Series, Series.spread) }

// spread reports whether something is known of the spread around the line.
func (s Series) spread() bool { return s.Low != nil }

// Check implements draw.Figure.
func (l Lines) Check() error {
	if err := draw.Labelled("lines", l.XLabel, l.YLabel); err != nil {
		return err
	}
	if len(l.Series) == 0 || len(l.Series) > MostCurves {
		return draw.Wrong("lines", "%d series, want 1 to %d", len(l.Series), MostCurves)
	}
	if l.spread() && l.Spread == "" {
		return draw.Wrong("lines", "the spread has no name")
	}
	seen := false
	for _, s := range l.Series {
		if s.Name == "" && len(l.Series) > 1 {
			return draw.Wrong("lines", "a series has no name")
		}
		if len(s.X) == 0 || len(s.X) != len(s.Y) || s.Low != nil && (len(s.Low) != len(s.X) || len(s.High) != len(s.X)) {
			return draw.Wrong("lines", "%s: columns of different length, or empty", s.Name)
		}
		for i, x := range s.X {
			if !draw.Drawable(x) || l.XNames != nil && (x != math.Trunc(x) || x < 0 || int(x) >= len(l.XNames)) {
				return draw.Wrong("lines", "%s: x is %v", s.Name, x)
			}
			if i > 0 && !l.Scattered && x <= s.X[i-1] {
				return draw.Wrong("lines", "%s: x does not increase at %v", s.Name, x)
			}
			if s.Y[i] != s.Y[i] {
				continue
			}
			seen = true
			if !draw.Drawable(s.Y[i]) || s.Low != nil && !draw.Drawable(s.Low[i], s.High[i]) {
				return draw.Wrong("lines", "%s: a value is %v", s.Name, s.Y[i])
			}
			if s.Low != nil && s.Low[i] > s.High[i] {
				return draw.Wrong("lines", "%s: low %v is above high %v", s.Name, s.Low[i], s.High[i])
			}
		}
	}
	if !seen {
		return draw.Wrong("lines", "there is no value")
	}
	return bodies.CheckSilhouettes("lines", l.Bodies)
}

// mostY is how many values the vertical axis shows at most.
const mostY = 6

// yRange returns the ends of the vertical axis.
func (l Lines) yRange() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, s := range l.Series {
		for i, y := range s.Y {
			if y != y {
				continue
			}
			low, high = min(low, y), max(high, y)
			if s.Low != nil {
				low, high = min(low, s.Low[i]), max(high, s.High[i])
			}
		}
	}
	if low == 0 && high == 0 {
		return 0, 1 // nothing says how fine the axis should be
	}
	span := max(high-low, 1e-3*math.Max(math.Abs(low), math.Abs(high)), 1e-9)
	if low >= 0 && low < 0.4*span {
		return 0, high + 0.06*span // an axis that nearly reaches zero starts there
	}
	return low - 0.06*span, high + 0.06*span
}

func (l Lines) xScale() draw.Scale {
	if l.XNames != nil {
		return draw.Scale{Low: -0.5, High: float64(len(l.XNames)) - 0.5}
	}
	x := draw.Scale{Low: math.Inf(1), High: math.Inf(-1)}
	for _, s := range l.Series {
		x.Low, x.High = min(x.Low, slices.Min(s.X)), max(x.High, slices.Max(s.X))
	}
	if x.Low == x.High {
		x.Low, x.High = x.Low-1, x.High+1
	}
	return x
}

// Draw implements draw.Figure.
func (l Lines) Draw(s *draw.Sheet) error {
	size, t := s.Size.Text, s.Theme
	colors, err := t.LineColors(len(l.Series))
	if err != nil {
		return err
	}
	// The colours are those of the lines.
	if _, err := bodies.Beside(s, l.Bodies, slices.Repeat([]color.RGBA{t.Muted}, len(l.Bodies)), bodies.UsuallyAbove); err != nil {
		return err
	}
	// The label of the vertical axis stands level above it, where it is easiest to read.
	label := l.YLabel
	if l.spread() && !l.ribbon() {
		label += "; bars: " + l.Spread
	}
	var y draw.Scale
	y.Low, y.High = l.yRange()
	top, err := s.Paragraph(y.Cut(label), s.Body.Y0, size)
	if err != nil {
		return err
	}
	// Names that are too long to stand beside their lines stand above all, with their shapes.
	direct, names := true, make([]string, len(l.Series))
	for k, series := range l.Series {
		names[k] = series.Name
		direct = direct && draw.TextWidth(series.Name, true, s.Size.Note()) < 0.4*s.Body.Width()
	}
	if top += 0.7 * size; !direct {
		if top, err = s.ShapeKey(names, colors, top); err != nil {
			return err
		}
	}
	// Marks at the left end reach as far as a triangle does, with its rim.
	f := s.NewFrame(top, y, mostY, max(0.5*size, 1.35*1.3*s.Size.Thick+1.5*s.Size.Thin), max(1.5*size, (1.9*float64(len(l.Series))+1)*s.Size.Thick))
	var below [][]string
	var bottom float64 // of the label of an axis of names
	if l.XNames == nil {
		err = f.NumbersBelow(s, l.xScale(), l.XLabel)
	} else {
		below, bottom, err = l.namesBelow(s, f)
	}
	if err != nil {
		return err
	}
	belowCut(s, f)
	x, y, plot := f.X, f.Y, f.Plot
	if plot.Height() < 4*size {
		return fmt.Errorf("chart: no room on the %s for the lines", s.Size.Name)
	}
	tint, upper := l.drawRibbon(s, colors[0], x, y)
	place, err := f.Draw(s, 0.2*size)
	if err != nil {
		return err
	}
	place.Avoid(upper, 0.4)
	f.DrawCut(s)
	for i, name := range below {
		s.Lines(name, x.At(float64(i)), plot.Y1+draw.AxisGap*size, draw.AlignCenter, false, size, t.Muted)
	}
	if below != nil {
		s.Text(l.XLabel, (plot.X0+plot.X1)/2, bottom-draw.Descent*size, draw.AlignCenter, false, size, t.Muted)
	}
	width := s.Size.Thick
	if len(l.Series) > 1 {
		width = 0.7 * s.Size.Thick
	}
	anchors := make([][]draw.Point, len(l.Series))
	for k, series := range l.Series {
		anchors[k] = l.drawSeries(s, place, colors[k], k, width, x, y, series)
	}
	gap := 1.3*s.Size.Thick + 0.3*size
	for k, series := range l.Series {
		if !direct || series.Name == "" {
			continue
		}
		if err := place.Label(series.Name, anchors[k], gap, true, s.Size.Note(), t.TextColorOn(colors[k], tint)); err != nil {
			return err
		}
	}
	if upper != nil {
		if err := place.Label(l.Spread, along(upper, plot), gap, false, s.Size.Note(), t.TextColorOn(colors[0], tint)); err != nil {
			return err
		}
	}
	place.Clear = true
	for k, series := range l.Series {
		told := 0
		for i, y := range series.Y {
			if y == y && l.tells(i) { // where there is no room, the axis must do
				_ = place.Label(words.Number(y, l.Decimals), anchors[k][told:told+1], gap, true, s.Size.Note(), t.TextColorOn(colors[k], tint))
			}
			if y == y {
				told++
			}
		}
	}
	return nil
}

// tells says whether the values at a place of the axis are written: at few names all, of numbers
// the first, of few lines the last, and of one line what is at 0.
func (l Lines) tells(i int) bool {
	x := l.Series[0].X
	if l.XNames != nil || l.Scattered {
		return len(l.XNames)*len(l.Series) <= 12 && !l.Scattered
	}
	return i == 0 || i == len(x)-1 && len(l.Series) <= 3 || len(l.Series) == 1 && x[i] == 0
}

// drawRibbon draws the band around the line, if there is one, and returns the colour behind
// the line and the band's upper edge.
func (l Lines) drawRibbon(s *draw.Sheet, of color.RGBA, x, y draw.Scale) (tint color.RGBA, upper []draw.Point) {
	if !l.ribbon() {
		return s.Theme.Background, nil
	}
	tint = draw.Mix(s.Theme.Background, of, 0.17)
	series := l.Series[0]
	for _, piece := range l.pieces(series) {
		var lower, high []draw.Point
		for _, i := range piece {
			high = append(high, draw.Point{X: x.At(series.X[i]), Y: y.At(series.High[i])})
			lower = append(lower, draw.Point{X: x.At(series.X[i]), Y: y.At(series.Low[i])})
		}
		s.Fill(tint, append(slices.Clone(high), reversed(lower)...)...)
		if len(high) > len(upper) {
			upper = high
		}
	}
	return tint, upper
}

// ribbon says whether the spread is a band around the line: several would hide each other.
func (l Lines) ribbon() bool {
	return len(l.Series) == 1 && l.XNames == nil && !l.Scattered && l.spread()
}

// namesBelow has the axis below the plot one of names, and returns them as they are
// broken into lines, and where the label below them ends.
func (l Lines) namesBelow(s *draw.Sheet, f *draw.Frame) (names [][]string, bottom float64, err error) {
	size := s.Size.Text
	texts, width := l.XNames, 0.94*f.Plot.Width()/float64(len(l.XNames))
	bottom = f.Plot.Y1
	if s.Loose && slices.ContainsFunc(texts, func(name string) bool { _, err := draw.Wrap(name, false, size, width); return err != nil }) {
		var key []string
		texts = draw.NumbersFor(texts, l.XLabel, &key)
		if bottom, err = s.NumbersKey(key, bottom); err != nil {
			return nil, 0, err
		}
	}
	height := 0.0
	for _, name := range texts {
		wrapped, err := s.Balance(name, false, size, width)
		if err != nil {
			return nil, 0, err
		}
		names = append(names, wrapped)
		height = max(height, draw.LineHeight(len(wrapped), size))
	}
	f.StandOn(l.xScale(), bottom-(draw.AxisGap*size+height+0.4*size+draw.LineHeight(1, size)))
	return names, bottom, nil
}

// pieces cuts a series at its gaps, into indices.
func (l Lines) pieces(s Series) [][]int {
	var pieces [][]int
	var piece []int
	for i, y := range s.Y {
		if y == y {
			piece = append(piece, i)
			continue
		}
		if piece != nil {
			pieces = append(pieces, piece)
		}
		piece = nil
	}
	if piece != nil {
		pieces = append(pieces, piece)
	}
	return pieces
}

// mostMarked is up to how many points of a line are marked one by one.
const mostMarked = 25

// drawSeries draws one, keeps labels off it and returns where its name may stand.
func (l Lines) drawSeries(s *draw.Sheet, place *draw.Placer, c color.RGBA, k int, width float64, x, y draw.Scale, series Series) (anchors []draw.Point) {
	apart := 0.0 // of series at one name, so that their bars do not lie on one another
	if l.XNames != nil && len(l.Series) > 1 {
		apart = 0.5 * (float64(k) - float64(len(l.Series)-1)/2) / float64(len(l.Series))
	}
	marked := l.XNames != nil || l.Scattered
	for _, piece := range l.pieces(series) {
		points := make([]draw.Point, len(piece))
		for j, i := range piece {
			points[j] = draw.Point{X: x.At(series.X[i] + apart), Y: y.At(series.Y[i])}
			if series.Low != nil && (marked || !l.ribbon() && i == len(series.X)-1) {
				at := points[j].X
				if !marked {
					at += l.aside(k) * s.Size.Thick
				}
				bar := []draw.Point{{X: at, Y: y.At(series.Low[i])}, {X: at, Y: y.At(series.High[i])}}
				s.Stroke(draw.Mix(s.Theme.Background, c, 0.6), s.Size.Thick, nil, bar...)
				place.Avoid(bar, 1)
				if at != points[j].X { // which line it is of
					to := []draw.Point{points[j], {X: at, Y: points[j].Y}}
					s.Stroke(draw.Mix(s.Theme.Background, c, 0.6), s.Size.Thin, nil, to...)
					place.Avoid(to, 2)
				}
			}
		}
		if !marked {
			s.Stroke(c, width, nil, points...)
			place.Avoid(points, 1)
		}
		if marked || len(points) <= mostMarked {
			for _, p := range points {
				draw.Shapes[k](s, c, p, 1.3*s.Size.Thick)
				place.Take(p, 1.5*s.Size.Thick)
			}
		}
		anchors = append(anchors, points...)
	}
	return anchors
}

// aside is how far right of the end of a line its bar stands, in thicknesses: at the end itself
// unless it would lie on another.
func (l Lines) aside(k int) float64 {
	for i, a := range l.Series {
		for _, b := range l.Series[:i] {
			if n, m := len(a.High)-1, len(b.High)-1; n >= 0 && m >= 0 && a.Low[n] < b.High[m] && b.Low[m] < a.High[n] {
				return 1.9 * (float64(k) + 1.2)
			}
		}
	}
	return 0
}

// decimalsOf returns how many decimals tell values apart, at most 4.
func decimalsOf(values []float64) int {
	for d := range 4 {
		exact := true
		for _, v := range values {
			exact = exact && math.Abs(v-math.Round(v*math.Pow10(d))/math.Pow10(d)) <= 1e-6*math.Abs(v)+1e-12
		}
		if exact {
			return d
		}
	}
	return 4
}
