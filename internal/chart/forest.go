package chart

import (
	"fmt"
	"image/color"
	"math"
	"strings"
)

// A ForestMark is an effect under one model.
type ForestMark struct {
	Median, P5, P95 float64 // over people
	Low, High       float64 // of the median over the assumptions
}

// A ForestRow is one change or claim.
type ForestRow struct {
	Group string // heading above the first of neighbouring rows that share it; may be empty
	Label string
	Marks []*ForestMark // in the order of the models; nil where a model has none
}

// A Forest is an overview of many effects: a row for each, in it a line for
// each model with the median, the spread over people and the uncertainty that
// the assumptions leave.
type Forest struct {
	Title        string
	XLabel       string // the effect and its unit
	Unit         string
	TooSmall     float64 // half width of the zone of effects too small to matter, above 0
	Below, Above string  // what effects on either side are, such as "easier" and "harder"
	Models       []string
	Rows         []ForestRow
	Foot         Foot
}

func (f Forest) heading() (string, Foot) { return f.Title, f.Foot }

// Alt implements Figure.
func (f Forest) Alt() string {
	d := EffectDistribution{TooSmall: f.TooSmall, Unit: f.Unit}
	var b strings.Builder
	fmt.Fprintf(&b, "%s. Overview of: %s; within\u00a0±%s it is too small to matter.", strings.TrimSuffix(f.Title, "."), f.XLabel, d.zone())
	for _, r := range f.Rows {
		for i, m := range r.Marks {
			if m == nil {
				continue
			}
			fmt.Fprintf(&b, " %s, %s: %s; median over the assumptions %s to\u00a0%s.", r.Label, f.Models[i],
				d.summary(EffectPanel{Median: m.Median, P5: m.P5, P95: m.P95}), signed(m.Low, d.decimals()), signed(m.High, d.decimals()))
		}
	}
	line, _ := f.Foot.line() // checked when the figure is laid out
	return b.String() + " " + line
}

func (f Forest) check() error {
	if f.XLabel == "" || f.Unit == "" || f.Below == "" || f.Above == "" {
		return fmt.Errorf("chart: forest: axis label, unit or name of a side is missing")
	}
	if !drawable(f.TooSmall) || f.TooSmall <= 0 {
		return fmt.Errorf("chart: forest: half width %v of the zone, want above 0", f.TooSmall)
	}
	if len(f.Models) == 0 || len(f.Rows) == 0 {
		return fmt.Errorf("chart: forest: %d models and %d rows, want at least one of each", len(f.Models), len(f.Rows))
	}
	for _, r := range f.Rows {
		if r.Label == "" {
			return fmt.Errorf("chart: forest: a row has no label")
		}
		if len(r.Marks) != len(f.Models) {
			return fmt.Errorf("chart: forest: %s: %d marks for %d models", r.Label, len(r.Marks), len(f.Models))
		}
		for i, m := range r.Marks {
			if m == nil {
				continue
			}
			if !drawable(m.Median, m.P5, m.P95, m.Low, m.High) || m.P5 > m.Median || m.Median > m.P95 || m.Low > m.High {
				return fmt.Errorf("chart: forest: %s, %s: %v is out of order or cannot be drawn", r.Label, f.Models[i], *m)
			}
		}
	}
	return nil
}

func (f Forest) xRange() (low, high float64) {
	low, high = -2*f.TooSmall, 2*f.TooSmall
	for _, r := range f.Rows {
		for _, m := range r.Marks {
			if m != nil {
				low, high = min(low, m.P5, m.Low), max(high, m.P95, m.High)
			}
		}
	}
	pad := 0.06 * (high - low)
	return low - pad, high + pad
}

func (f Forest) draw(s *sheet) error {
	size, t := s.size.text, s.theme
	if len(f.Models) > min(len(t.Models), len(shapes)) {
		return fmt.Errorf("chart: forest: %d models, at most %d can be told apart", len(f.Models), min(len(t.Models), len(shapes)))
	}
	y, err := f.drawKey(s, s.body.y0)
	if err != nil {
		return err
	}

	// Labels take what they need, up to two fifths of the width.
	widest := 0.0
	for _, r := range f.Rows {
		widest = max(widest, textWidth(r.Label, false, size))
	}
	labels := min(widest, 0.4*s.body.width())
	plot := rect{s.body.x0 + labels + size, y + lineHeight(1, size) + 0.3*size, s.body.x1, s.body.y1}
	x := scale{from: plot.x0, to: plot.x1}
	x.low, x.high = f.xRange()
	axis, err := s.axisHeight(f.XLabel, plot.width())
	if err != nil {
		return err
	}
	plot.y1 -= axis
	if err := s.text("← "+f.Below, plot.x0, y+ascent*size, alignLeft, true, size, t.Ink); err != nil {
		return err
	}
	if err := s.text(f.Above+" →", plot.x1, y+ascent*size, alignRight, true, size, t.Ink); err != nil {
		return err
	}
	s.fillRect(t.Zone, rect{x.at(-f.TooSmall), plot.y0, x.at(f.TooSmall), plot.y1})
	if _, err := s.horizontalAxis(x, plot.y1, f.XLabel, plot); err != nil {
		return err
	}
	s.stroke(t.Muted, s.size.thin, []float64{2 * s.size.thin, 2 * s.size.thin}, point{x.at(0), plot.y0}, point{x.at(0), plot.y1})
	s.stroke(t.Muted, s.size.thin, nil, point{plot.x0, plot.y1}, point{plot.x1, plot.y1})

	// Every row gets the same height; a group's heading takes less.
	lane := 1.5 * s.size.thick // least distance of two models' lines
	wrapped, least, headings := make([][]string, len(f.Rows)), 0.0, 0
	for i, r := range f.Rows {
		if wrapped[i], err = s.wrap(r.Label, false, size, labels); err != nil {
			return err
		}
		least = max(least, lineHeight(len(wrapped[i]), size)+0.35*size, float64(len(f.Models)+1)*lane)
		if f.startsGroup(i) {
			headings++
		}
	}
	heading := lineHeight(1, size) + 0.5*size
	each := (plot.height() - float64(headings)*heading) / float64(len(f.Rows))
	if each < least {
		return fmt.Errorf("chart: forest: %d rows do not fit on the %s", len(f.Rows), s.size.Name)
	}
	each = min(each, 4*least)
	y = plot.y0
	for i, r := range f.Rows {
		if f.startsGroup(i) {
			if textWidth(r.Group, true, size) > labels+size {
				return fmt.Errorf("chart: no room on the %s for the heading %q", s.size.Name, r.Group)
			}
			if err := s.text(r.Group, s.body.x0, y+0.4*size+ascent*size, alignLeft, true, size, t.Ink); err != nil {
				return err
			}
			y += heading
		}
		middle := y + each/2
		if err := s.lines(wrapped[i], s.body.x0, middle-lineHeight(len(wrapped[i]), size)/2, alignLeft, false, size, t.Ink); err != nil {
			return err
		}
		for k, m := range r.Marks {
			if m != nil {
				at := middle + (float64(k)-float64(len(r.Marks)-1)/2)*min(each/float64(len(f.Models)+1), 3*lane)
				f.drawMark(s, *m, x, at, k)
			}
		}
		y += each
	}
	return nil
}

func (f Forest) startsGroup(i int) bool {
	return f.Rows[i].Group != "" && (i == 0 || f.Rows[i-1].Group != f.Rows[i].Group)
}

// drawMark draws people as a pale band, the assumptions as a line with ends,
// the median as the model's shape.
func (f Forest) drawMark(s *sheet, m ForestMark, x scale, y float64, model int) {
	c, half := s.theme.Models[model], 0.8*s.size.thick
	s.fillRect(mix(s.theme.Background, c, 0.35), rect{x.at(m.P5), y - half, x.at(m.P95), y + half})
	s.stroke(c, s.size.thin*1.3, nil, point{x.at(m.Low), y}, point{x.at(m.High), y})
	for _, end := range []float64{m.Low, m.High} {
		s.stroke(c, s.size.thin*1.3, nil, point{x.at(end), y - half}, point{x.at(end), y + half})
	}
	shapes[model](s, c, point{x.at(m.Median), y}, 1.25*s.size.thick)
}

// shapes tell the models apart where colours fail: in grey print.
var shapes = []func(s *sheet, c color.RGBA, at point, radius float64){
	func(s *sheet, c color.RGBA, at point, radius float64) { s.spot(c, at, radius) },
	regular(4, math.Pi/4, 1.2), // square
	regular(4, 0, 1.3),         // diamond
	regular(3, math.Pi/2, 1.35),
	regular(3, -math.Pi/2, 1.35),
	regular(6, 0, 1.1),
}

// regular is a polygon with the given corners, its first at the given angle.
func regular(corners int, turn, swell float64) func(*sheet, color.RGBA, point, float64) {
	return func(s *sheet, c color.RGBA, at point, radius float64) {
		outline := func(r float64) []point {
			points := make([]point, corners)
			for i := range points {
				sin, cos := math.Sincos(turn + 2*math.Pi*float64(i)/float64(corners))
				points[i] = point{at.x + r*cos, at.y - r*sin}
			}
			return points
		}
		s.fill(s.theme.Background, outline(swell*radius+1.5*s.size.thin)...)
		s.fill(c, outline(swell*radius)...)
	}
}

// drawKey names the models' shapes and what the three parts of a mark mean.
func (f Forest) drawKey(s *sheet, y float64) (float64, error) {
	size, t := s.size.text, s.theme
	x := s.body.x0
	for i, name := range f.Models {
		width := 1.2*size + textWidth(name, true, size)
		if x > s.body.x0 && x+width > s.body.x1 {
			x, y = s.body.x0, y+leading*size
		}
		shapes[i](s, t.Models[i], point{x + 0.5*size, y + (ascent-0.36)*size}, 1.25*s.size.thick)
		if err := s.text(name, x+1.2*size, y+ascent*size, alignLeft, true, size, t.textColor(t.Models[i])); err != nil {
			return 0, err
		}
		x += width + 1.5*size
	}
	y += lineHeight(1, size) + 0.1*size
	lines, err := s.balance("Symbol: median of people. Pale band: 5–95\u00a0% of people. Line with ends: the median over the assumptions. Grey zone: too small to matter.",
		false, s.size.note(), s.body.width())
	if err != nil {
		return 0, err
	}
	if err := s.lines(lines, s.body.x0, y, alignLeft, false, s.size.note(), t.Muted); err != nil {
		return 0, err
	}
	return y + lineHeight(len(lines), s.size.note()) + 0.5*size, nil
}
