package chart

import (
	"math"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/bodies"
	"counterpoise/internal/draw"
	"counterpoise/internal/draw/drawtest"
)

var sweepFoot = draw.Foot{People: "made-up men", N: 12345, Model: "human-flag, two-condition", Assumptions: "defaults", Source: "invented numbers"}

func linesFigure() Lines {
	l := Lines{Title: "The median required force falls from 1.02 to 0.92\u00a0BW as the arms grow", XLabel: "Change of arm length (cm)",
		YLabel: "Median required force (BW)", Spread: "nine in ten bodies", Decimals: 2, Bodies: []bodies.Silhouette{silhouette("least", 0.6), silhouette("most", 0.7)}, Foot: sweepFoot}
	s := Series{}
	for i := range 9 {
		x := float64(3*i - 11)
		y := 0.96 - 0.0045*x + 0.0001*x*x
		s.X, s.Y, s.Low, s.High = append(s.X, x), append(s.Y, y), append(s.Low, y-0.04), append(s.High, y+0.05)
	}
	l.Series = []Series{s}
	return l
}

// severalFigure has three lines, of which one has a gap.
func severalFigure() Lines {
	l := linesFigure()
	first := l.Series[0]
	l.Series = nil
	for k, name := range []string{"together", "straddle 40 deg", "tuck"} {
		s := Series{Name: name, X: first.X}
		for _, y := range first.Y {
			y -= 0.11 * float64(k)
			s.Y, s.Low, s.High = append(s.Y, y), append(s.Low, y-0.03), append(s.High, y+0.04)
		}
		l.Series = append(l.Series, s)
	}
	l.Series[1].Y[4], l.Series[1].Low[4], l.Series[1].High[4] = math.NaN(), math.NaN(), math.NaN()
	return l
}

func namesFigure() Lines {
	return Lines{Title: "The median shoulder moment runs from 0.04 to 0.41\u00a0BW·m", XLabel: "Hold", YLabel: "Median shoulder moment (BW·m)",
		XNames: []string{"human-flag", "front-lever", "planche", "iron-cross"}, Spread: "5–95\u00a0% of bodies", Decimals: 2, Foot: sweepFoot,
		Series: []Series{
			{Name: "made-up men", X: []float64{0, 1, 2, 3}, Y: []float64{0.06, 0.41, 0.4, 0.3}, Low: []float64{0.05, 0.37, 0.36, 0.28}, High: []float64{0.07, 0.45, 0.44, 0.33}},
			{Name: "made-up women", X: []float64{0, 1, 2, 3}, Y: []float64{0.05, 0.38, 0.36, 0.27}, Low: []float64{0.04, 0.34, 0.32, 0.25}, High: []float64{0.06, 0.42, 0.4, 0.29}},
		}}
}

func scatterFigure() Lines {
	l := Lines{Title: "Over 40 points, the median difficulty runs from 0.6 to 1.4", XLabel: "Top share", YLabel: "Median difficulty", Scattered: true, Foot: sweepFoot}
	s := Series{}
	for i := range 40 {
		x := math.Mod(0.618034*float64(i), 1)
		s.X, s.Y = append(s.X, 0.3+0.4*x), append(s.Y, 1+0.4*math.Sin(7*x+0.3*float64(i%5)))
	}
	l.Series = []Series{s}
	return l
}

func heatFigure(columns, rows int) Heat {
	h := Heat{Title: "The median required force runs from 0.90 to 0.97\u00a0BW", Unchanged: true, Label: "Median required force (BW)", Decimals: 3, Bodies: []bodies.Silhouette{silhouette("least", 0.6), silhouette("most", 0.7)}, Foot: sweepFoot,
		X: Axis{Label: "Change of arm length (cm)"}, Y: Axis{Label: "Change of shoulder breadth (cm)"}}
	for i := range columns {
		h.X.Numbers = append(h.X.Numbers, 2.5*float64(i)-7)
	}
	for j := range rows {
		h.Y.Numbers = append(h.Y.Numbers, 1.5*float64(j)-3)
		var row []float64
		for i := range columns {
			row = append(row, 0.97-0.05*float64(i)/float64(columns)-0.04*float64(j)/float64(rows))
		}
		h.Value = append(h.Value, row)
	}
	h.Value[rows-1][0] = math.NaN()
	return h
}

func namedHeat() Heat {
	h := heatFigure(3, 4)
	h.X = Axis{Label: "Model", Names: []string{"table", "residual", "full"}}
	h.Bodies = nil
	h.Unchanged = false
	h.Y = Axis{Label: "Hold", Names: []string{"flag", "lever", "planche", "cross"}}
	return h
}

var sweepFigures = []draw.Named{
	{Name: "lines", Figure: linesFigure()}, {Name: "lines-several", Figure: severalFigure()}, {Name: "lines-names", Figure: namesFigure()}, {Name: "lines-scattered", Figure: scatterFigure()},
	{Name: "heat", Figure: heatFigure(6, 5)}, {Name: "heat-fine", Figure: heatFigure(60, 40)}, {Name: "heat-names", Figure: namedHeat()},
}

func TestSweepFiguresInEverySizeAndTheme(t *testing.T) {
	for _, f := range sweepFigures {
		for _, size := range []draw.Size{draw.Slide, draw.Post, draw.Column} {
			for _, theme := range []draw.Theme{draw.Light, draw.Dark} {
				t.Run(f.Name+"/"+size.Name+"/"+theme.Name, func(t *testing.T) {
					s := drawtest.MustLayout(t, f.Figure, size, theme)
					drawtest.CheckShapesOnCanvas(t, s)
					if h, ok := f.Figure.(Heat); ok {
						checkCells(t, s, h)
						return
					}
					drawtest.CheckReadable(t, s)
					if !strings.Contains(f.Name, "scattered") { // marks may lie on one another there
						drawtest.CheckTextApart(t, s)
					}
				})
			}
		}
	}
}

// checkCells checks that text on a cell can be read on its colour, and other text
// on the background.
func checkCells(t *testing.T, s *draw.Sheet, h Heat) {
	t.Helper()
	for i, item := range s.Items {
		r, ok := item.(*draw.Run)
		if !ok {
			continue
		}
		on := s.Theme.Background
		for _, below := range s.Items[:i] {
			f, ok := below.(*draw.Fill)
			if !ok {
				continue
			}
			box := draw.Rect{X0: f.Points[0].X, Y0: f.Points[0].Y, X1: f.Points[2].X, Y1: f.Points[2].Y}
			if (draw.Point{X: r.At.X + r.Width/2, Y: r.At.Y - 0.35*r.Size}).Inside(box) {
				on = f.Color
			}
		}
		// Half-way up the scale neither black nor white reaches more.
		if c := draw.Contrast(r.Color, on); c < draw.Readable {
			t.Errorf("%q has contrast %.2f on %v, want at least %v", r.Text, c, on, draw.Readable)
		}
	}
}

func TestGoldenSweepFigures(t *testing.T) {
	drawtest.Kept(t, "", draw.Slide, draw.Column, slices.DeleteFunc(slices.Clone(sweepFigures), func(f draw.Named) bool {
		return f.Name == "heat-fine" // 2,400 cells
	}))
}

func TestSweepAltSaysTheNumbers(t *testing.T) {
	drawtest.AltSays(t, linesFigure(), "Line chart", "1.022 at −11", "0.918 at 13", "nine in ten bodies", "12,345")
	drawtest.AltSays(t, namesFigure(), "made-up men: 0.06 at human-flag, 0.30 at iron-cross")
	drawtest.AltSays(t, scatterFigure(), "40 points")
	drawtest.AltSays(t, heatFigure(6, 5), "Heat map", "Greatest, 0.970: change of arm length (cm) −7.0, change of shoulder breadth (cm) −3.0.", "In 1 cells nobody can take the posture")
}

func TestSweepFiguresRefuse(t *testing.T) {
	lines := func(change func(*Lines)) draw.Figure { f := severalFigure(); change(&f); return f }
	heat := func(change func(*Heat)) draw.Figure { f := heatFigure(6, 5); change(&f); return f }
	for _, c := range []struct {
		name   string
		figure draw.Figure
		want   string
	}{
		{"too many", lines(func(f *Lines) { f.Series = slices.Repeat(f.Series, 3) }), "9 series"},
		{"no name", lines(func(f *Lines) { f.Series[1].Name = "" }), "has no name"},
		{"infinite", lines(func(f *Lines) { f.Series[0].Y[2] = math.Inf(1) }), "a value is +Inf"},
		{"back", lines(func(f *Lines) { f.Series[0].X = slices.Clone(f.Series[0].X); f.Series[0].X[3] = -90 }), "x does not increase"},
		{"upside down", lines(func(f *Lines) { f.Series[0].Low, f.Series[0].High = f.Series[0].High, f.Series[0].Low }), "is above high"},
		{"no label", lines(func(f *Lines) { f.XLabel = "" }), "an axis has no label"},
		{"index out of range", lines(func(f *Lines) { f.XNames = []string{"a"} }), "x is -11"},
		{"nothing", lines(func(f *Lines) {
			f.Series = []Series{{X: []float64{3, 4}, Y: []float64{math.NaN(), math.NaN()}}}
		}), "there is no value"},
		{"rows", heat(func(f *Heat) { f.Value = f.Value[1:] }), "4 rows, want 5"},
		{"columns", heat(func(f *Heat) { f.Value[2] = f.Value[2][1:] }), "5 columns, want 6"},
		{"order", heat(func(f *Heat) { slices.Reverse(f.X.Numbers) }), "not in ascending order"},
		{"no cell label", heat(func(f *Heat) { f.Label = "" }), "has no label"},
		{"too many cells", heatFigure(101, 100), "10100 cells"},
		{"nobody", heat(func(f *Heat) {
			for _, row := range f.Value {
				for i := range row {
					row[i] = math.NaN()
				}
			}
		}), "there is no value"},
	} {
		drawtest.Refused(t, c.name, c.figure, c.want)
	}
}

// Whatever the values, all equal included, a heat map can be drawn.
func FuzzHeat(f *testing.F) {
	f.Add(0.9, 0.01, uint8(3), uint8(2))
	f.Add(0.0, 0.0, uint8(1), uint8(1))
	f.Add(-1e9, 1e-3, uint8(40), uint8(7))
	f.Fuzz(func(t *testing.T, low, step float64, columns, rows uint8) {
		if math.Abs(low) > 1e9 || math.Abs(step) > 1e6 || low != low || step != step {
			t.Skip("beyond what a demand can be")
		}
		h := heatFigure(int(columns)%60+1, int(rows)%60+1)
		for j, row := range h.Value {
			for i := range row {
				row[i] = low + step*float64(i*j)
			}
		}
		if err := draw.Fits(h, draw.Slide, draw.Light); err != nil {
			t.Error(err)
		}
	})
}
