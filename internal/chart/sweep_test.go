package chart

import (
	"math"
	"slices"
	"strings"
	"testing"
)

var sweepFoot = Foot{People: "made-up men", N: 12345, Model: "human-flag, two-condition", Assumptions: "defaults", Source: "invented numbers"}

func linesFigure() Lines {
	l := Lines{Title: "The median required force falls from 1.02 to 0.92\u00a0BW as the arms grow", XLabel: "Change of arm length (cm)",
		YLabel: "Median required force (BW)", Spread: "nine in ten bodies", Bodies: []Silhouette{silhouette("least", 0.6), silhouette("most", 0.7)}, Foot: sweepFoot}
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
		XNames: []string{"human-flag", "front-lever", "planche", "iron-cross"}, Spread: "5–95\u00a0% of bodies", Foot: sweepFoot,
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
	h := Heat{Title: "The median required force runs from 0.90 to 0.97\u00a0BW", Label: "Median required force (BW)", Decimals: 3, Bodies: []Silhouette{silhouette("least", 0.6), silhouette("most", 0.7)}, Foot: sweepFoot,
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
	h.Y = Axis{Label: "Hold", Names: []string{"flag", "lever", "planche", "cross"}}
	return h
}

var sweepFigures = []namedFigure{
	{"lines", linesFigure()}, {"lines-several", severalFigure()}, {"lines-names", namesFigure()}, {"lines-scattered", scatterFigure()},
	{"heat", heatFigure(6, 5)}, {"heat-fine", heatFigure(60, 40)}, {"heat-names", namedHeat()},
}

func TestSweepFiguresInEverySizeAndTheme(t *testing.T) {
	for _, f := range sweepFigures {
		for _, size := range []Size{Slide, Post, Column} {
			for _, theme := range []Theme{Light, Dark} {
				t.Run(f.name+"/"+size.Name+"/"+theme.Name, func(t *testing.T) {
					s := mustLayout(t, f.figure, size, theme)
					checkShapesOnCanvas(t, s)
					if h, ok := f.figure.(Heat); ok {
						checkCells(t, s, h)
						return
					}
					checkReadable(t, s)
					if !strings.Contains(f.name, "scattered") { // marks may lie on one another there
						checkTextApart(t, s)
					}
				})
			}
		}
	}
}

// checkCells checks that text on a cell can be read on its colour, and other text
// on the background.
func checkCells(t *testing.T, s *sheet, h Heat) {
	t.Helper()
	for i, item := range s.items {
		r, ok := item.(*run)
		if !ok {
			continue
		}
		on := s.theme.Background
		for _, below := range s.items[:i] {
			f, ok := below.(*fill)
			if !ok {
				continue
			}
			box := rect{f.points[0].x, f.points[0].y, f.points[2].x, f.points[2].y}
			if (point{r.at.x + r.width/2, r.at.y - 0.35*r.size}).inside(box) {
				on = f.color
			}
		}
		// Half-way up the scale neither black nor white reaches more.
		if c := contrast(r.color, on); c < readable {
			t.Errorf("%q has contrast %.2f on %v, want at least %v", r.text, c, on, readable)
		}
	}
}

func TestGoldenSweepFigures(t *testing.T) {
	kept(t, "", Slide, Column, slices.DeleteFunc(slices.Clone(sweepFigures), func(f namedFigure) bool {
		return f.name == "heat-fine" // 2,400 cells
	}))
}

func TestSweepAltSaysTheNumbers(t *testing.T) {
	altSays(t, linesFigure(), "Line chart", "1.022 at −11", "0.918 at 13", "nine in ten bodies", "12,345")
	altSays(t, namesFigure(), "made-up men: 0.06 at human-flag, 0.30 at iron-cross")
	altSays(t, scatterFigure(), "40 points")
	altSays(t, heatFigure(6, 5), "Heat map", "greatest 0.970 at −7.0 and −3.0", "In 1 cells nobody can take the posture")
}

func TestSweepFiguresRefuse(t *testing.T) {
	lines := func(change func(*Lines)) Figure { f := severalFigure(); change(&f); return f }
	heat := func(change func(*Heat)) Figure { f := heatFigure(6, 5); change(&f); return f }
	for _, c := range []struct {
		name   string
		figure Figure
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
		refused(t, c.name, c.figure, c.want)
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
		if err := Fits(h, Slide, Light); err != nil {
			t.Error(err)
		}
	})
}
