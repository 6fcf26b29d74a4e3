package chart

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"counterpoise/internal/chart/curves"
	"counterpoise/internal/draw"
	"counterpoise/internal/draw/drawtest"
	"counterpoise/sim/names"
)

// axisPlaces reads the printed numbers in the axis colour back from the sheet:
// value and middle of the text.
func axisPlaces(s *draw.Sheet) (values []float64, places []draw.Point) {
	for _, r := range drawtest.Runs(s) {
		v, err := strconv.ParseFloat(strings.Replace(r.Text, "−", "-", 1), 64)
		if err == nil && r.Color == s.Theme.Muted && r.Size == s.Size.Text {
			values = append(values, v)
			places = append(places, draw.Point{X: r.At.X + r.Width/2, Y: r.At.Y - 0.35*r.Size})
		}
	}
	return values, places
}

// readX returns the map from place to value that the numbers in the lowest row
// of the axis say.
func readX(t *testing.T, s *draw.Sheet) func(x float64) float64 {
	t.Helper()
	values, places := axisPlaces(s)
	lowest := 0.0
	for _, p := range places {
		lowest = max(lowest, p.Y)
	}
	first, last := -1, -1
	for i, p := range places {
		if p.Y == lowest {
			if first < 0 {
				first = i
			}
			last = i
		}
	}
	if first == last {
		t.Fatal("the x axis has fewer than two numbers")
	}
	slope := (values[last] - values[first]) / (places[last].X - places[first].X)
	return func(x float64) float64 { return values[first] + slope*(x-places[first].X) }
}

func readY(t *testing.T, s *draw.Sheet) func(y float64) float64 {
	t.Helper()
	values, places := axisPlaces(s)
	if len(values) < 2 || places[0].Y == places[1].Y {
		t.Fatal("the y axis has fewer than two numbers")
	}
	slope := (values[1] - values[0]) / (places[1].Y - places[0].Y)
	return func(y float64) float64 { return values[0] + slope*(y-places[0].Y) }
}

// Spots and curves stand where the printed axes say they do.
func TestCurveIsDrawnAtItsValues(t *testing.T) {
	for _, size := range draw.Sizes {
		f := requirementCurve()
		s := drawtest.MustLayout(t, f, size, draw.Light)
		x, y := readX(t, s), readY(t, s)
		for _, g := range []struct {
			Group
			color color.RGBA
		}{{f.Panels[0].Before, draw.Light.Before}, {f.Panels[0].After, draw.Light.After}} {
			spots, thick := 0, 0
			for _, item := range s.Items {
				switch i := item.(type) {
				case *draw.Disc:
					if i.Color != g.color {
						continue
					}
					spots++
					if math.Abs(x(i.Center.X)-g.Best.X) > 1e-9*g.Best.X || math.Abs(y(i.Center.Y)-g.Best.Y) > 1e-9*g.Best.Y {
						t.Errorf("%s: spot at (%v, %v), want (%v, %v)", g.Name, x(i.Center.X), y(i.Center.Y), g.Best.X, g.Best.Y)
					}
				case *draw.Stroke:
					if i.Color != g.color || i.Width != size.Thick {
						continue
					}
					thick++
					for _, p := range i.Points[1 : len(i.Points)-1] { // the ends may be cut
						k := int(math.Round((x(p.X) - 10) / 0.5))
						if math.Abs(y(p.Y)-g.Y[k]) > 1e-9 {
							t.Fatalf("%s: at %v° the line is at %v, want %v", g.Name, x(p.X), y(p.Y), g.Y[k])
						}
					}
				}
			}
			if spots != 1 || thick != 1 {
				t.Errorf("%s: %d spots and %d thick lines, want one each", g.Name, spots, thick)
			}
		}
	}
}

// How far a mark may lie elsewhere is drawn below the curves, from and to where the axis says.
func TestWhereAMarkMayLie(t *testing.T) {
	for _, size := range draw.Sizes {
		f := requirementCurve()
		f.Panels[0].Before.Low, f.Panels[0].Before.High, f.Panels[0].Before.Between = 33, 51, "could be 33 to 51°"
		s := drawtest.MustLayout(t, f, size, draw.Light)
		x, found := readX(t, s), 0
		for _, item := range s.Items {
			if i, ok := item.(*draw.Stroke); ok && i.Color == draw.Light.Before && i.Width == size.Thick && len(i.Points) == 2 && i.Points[0].Y == i.Points[1].Y {
				if found++; math.Abs(x(i.Points[0].X)-33) > 1e-9 || math.Abs(x(i.Points[1].X)-51) > 1e-9 {
					t.Errorf("%s: from %v to %v", size, x(i.Points[0].X), x(i.Points[1].X))
				}
			}
		}
		if found != 1 {
			t.Errorf("%s: %d lines", size, found)
		}
	}
}

// Where a curve is lowest is ringed there, and said.
func TestLeastIsRinged(t *testing.T) {
	f := requirementCurve()
	f.Panels[0].Open, f.Panels[0].Least = "Men, by what nobody has measured: 3 to 5\u00a0% more", curves.Mark{X: 44, Y: 0.9, Label: "Least, at the ring: 0.90\u00a0BW"}
	s := drawtest.MustLayout(t, f, draw.Slide, draw.Light)
	x, y, found := readX(t, s), readY(t, s), 0
	for _, item := range s.Items {
		if i, ok := item.(*draw.Disc); ok && i.Color == draw.Light.Muted {
			if found++; math.Abs(x(i.Center.X)-44) > 1e-9 || math.Abs(y(i.Center.Y)-0.9) > 1e-9 {
				t.Errorf("the ring is at %v, %v", x(i.Center.X), y(i.Center.Y))
			}
		}
	}
	if found != 1 {
		t.Errorf("%d rings", found)
	}
	// Notes that leave no room are left to the description.
	long := f
	long.Panels = slices.Clone(f.Panels)
	long.Panels[0].Open = strings.Repeat("by what nobody has measured ", 60)
	if texts := strings.Join(drawtest.Texts(drawtest.MustLayout(t, long, draw.Slide, draw.Light)), " "); strings.Contains(texts, "unknowns") {
		t.Errorf("%q", texts)
	}
	drawtest.AltSays(t, long, long.Panels[0].Open)
	drawtest.AltSays(t, f, "Men, by what nobody has measured: 3 to 5\u00a0% more. Least, at the ring: 0.90\u00a0BW.")
}

// Of several people is said how the tries of each fall, where there is room; and where one range is
// not that of all, each has dots of their own.
func TestTriesOfEach(t *testing.T) {
	f := effectDistribution()
	f.Panels = f.Panels[:1]
	p := &f.Panels[0]
	other := p.Spread
	other.Draws, other.DrawsSay = names.Each(p.Draws, func(x float64) float64 { return x + 0.3 }), "1 to 2\u00a0% higher"
	other.Median, other.Low, other.High = p.Median+0.3, p.Low+0.3, p.High+0.3
	p.Each = []Spread{p.Spread, other}
	p.Each[0].Whose, p.Each[1].Whose = "women", "men"
	tallies := []string{"women: " + f.Zone.falls(p.Draws), "men: " + f.Zone.falls(other.Draws)}
	for _, apart := range []bool{false, true} {
		p.ByEach = apart
		want, briefly := append([]string{p.told(0)}, tallies...), []string{p.DrawsSay}
		if apart {
			want = append([]string{p.Each[0].told(0), p.Each[1].told(0)}, tallies...)
			briefly = []string{"Women: " + p.DrawsSay, "Men: " + other.DrawsSay}
		}
		drawtest.AltSays(t, f, want...)
		for _, size := range draw.Sizes {
			s := drawtest.MustLayout(t, f, size, draw.Light)
			drawtest.CheckTextApart(t, s)
			texts := strings.Join(drawtest.Texts(s), "\n")
			headed := strings.Contains(texts, " tries of what nobody has measured")
			for i, line := range briefly {
				if !headed {
					line = want[i] // each label says itself what it is of
				}
				if !strings.Contains(texts, "\n"+line) {
					t.Errorf("%s: no %q in %q", size.Name, line, texts)
				}
			}
			if all := "\n" + map[bool]string{true: p.DrawsSay, false: p.told(0)}[headed]; strings.Contains(texts, all) == apart {
				t.Errorf("%s: what is so of all together: %q", size.Name, texts)
			}
		}
	}
	p.ByEach = false
	// What is too long is left out, and all else drawn.
	long := f
	long.Panels = slices.Clone(f.Panels)
	long.Panels[0].Each = slices.Clone(p.Each)
	long.Panels[0].Each[0].Whose = strings.Repeat("whoever ", 40)
	if texts := drawtest.Texts(drawtest.MustLayout(t, long, draw.Column, draw.Light)); !slices.Contains(texts, tallies[1]) {
		t.Errorf("%q", texts)
	}
	// Where something is promised, how many keep it.
	f.Zone.Said, f.Zone.SaidFrom, f.Zone.SaidTo, f.Zone.Counts = 0.05, math.Inf(-1), f.Panels[0].Draws[len(f.Panels[0].Draws)/2-1], "counts as said"
	if got := f.Zone.counting(f.Panels[0].Draws); got != "of the tries 50\u00a0% as said" {
		t.Error(got)
	}
}

// A curve that goes to infinity must not flatten the rest: the lowest points
// stay well below the top whatever the ends do.
func TestDivergentEndIsCut(t *testing.T) {
	f := requirementCurve()
	low, high := f.YRange()
	before := f.Panels[0].Before
	last := len(before.Y) - 1
	before.Y[last] = 3e5
	if l, h := f.YRange(); l != low || h != high {
		t.Errorf("a far end moves the y axis from %v–%v to %v–%v", low, high, l, h)
	}
	if best := before.Best.Y; high < 1.3*best || high > 1.5*best {
		t.Errorf("y axis ends at %v for a best of %v", high, best)
	}
	f.Panels = append(f.Panels, RequirementPanel{Name: "lower", Before: flag("before", 0.3, 0.36, 0.42), After: flag("after", 0.3, 0.36, 0.42)})
	wholeLow, wholeHigh := f.YRange()
	if part := f.Part(0, 1).(RequirementCurve); wholeLow >= low {
		t.Errorf("a lower panel leaves the axis at %v", wholeLow)
	} else if l, h := part.YRange(); l != wholeLow || h != wholeHigh {
		t.Errorf("y axis %v–%v of a part, %v–%v of the whole", l, h, wholeLow, wholeHigh)
	}
}

// The bars' area on each side of the zone is that side's share of bodies.
func TestBarAreasAreShares(t *testing.T) {
	e := effectDistribution()
	// Uneven bins, none of which ends at the zone's edges.
	e.Panels = []EffectPanel{{
		Model:  "Uneven bins",
		Edges:  []float64{-0.047, -0.031, -0.013, -0.004, 0.006, 0.017},
		Shares: []float64{0.21, 0.36, 0.23, 0.14, 0.06},
		People: []Hump{{Range: Range{"people differ", -0.043, -0.02, 0.008}}},
		Spread: Spread{Median: -0.016, Low: -0.02, High: -0.01, Draws: []float64{-0.02, -0.016, -0.01}, DrawsSay: "draws"},
	}}
	// A bin is spread evenly: of the third, from −0.013 to −0.004, 3 parts of
	// 9 lie below −0.01; of the fifth, from 0.006 to 0.017, 7 of 11 above 0.01.
	below, above := 0.21+0.36+0.23*3/9, 0.06*7/11
	s := drawtest.MustLayout(t, e, draw.Post, draw.Light)
	area := map[color.RGBA]float64{}
	sum := 0.0
	for _, item := range s.Items {
		if f, ok := item.(*draw.Fill); ok && f.Color != draw.Light.Zone {
			a := shoelace(f.Points)
			area[f.Color] += a
			sum += a
		}
	}
	for _, c := range []struct {
		color color.RGBA
		want  float64
	}{{draw.Light.Below, below}, {e.sideColor(draw.Light, 0), 1 - below - above}, {draw.Light.Above, above}} {
		if got := area[c.color] / sum; math.Abs(got-c.want) > 1e-12 {
			t.Errorf("area %v of colour %v, want %v", got, c.color, c.want)
		}
	}
	x := readX(t, s)
	for _, item := range s.Items {
		if f, ok := item.(*draw.Fill); ok && f.Color == draw.Light.Zone {
			if l, h := x(f.Points[0].X), x(f.Points[1].X); math.Abs(l+0.01) > 1e-12 || math.Abs(h-0.01) > 1e-12 {
				t.Errorf("the zone is drawn from %v to %v, want ±0.01", l, h)
			}
		}
	}
}

// Every dot stands for as many draws as the key says, no farther from its draw than half
// a dot, none on another, in the colour of its side of the zone.
func TestDotsAreDraws(t *testing.T) {
	e := effectDistribution()
	e.Panels = e.Panels[:1]
	for _, size := range draw.Sizes {
		for _, spread := range []float64{1, 0.02} {
			p := &e.Panels[0]
			for i := range p.Draws {
				p.Draws[i] = p.Median + spread*0.04*(float64(i)/299-0.5)
			}
			p.Low, p.High = p.Draws[15], p.Draws[284]
			s := drawtest.MustLayout(t, e, size, draw.Light)
			var dots []*draw.Disc
			per := 1
			for _, item := range s.Items {
				if d, ok := item.(*draw.Disc); ok {
					dots = append(dots, d)
				}
			}
			for _, r := range drawtest.Runs(s) {
				if _, told, ok := strings.Cut(r.Text, "a\u00a0dot: "); ok {
					fmt.Sscan(told, &per)
				}
			}
			if want := (300 + per - 1 - per/2) / per; len(dots) != want || spread < 1 && per == 1 {
				t.Fatalf("%s: %d dots for %d draws each, want %d", size.Name, len(dots), per, want)
			}
			x := readX(t, s)
			half := math.Abs(x(dots[0].Radius/0.92)-x(0)) * (1 + 1e-9)
			for i, d := range dots {
				v := p.Draws[per/2+i*per]
				if math.Abs(x(d.Center.X)-v) > half || d.Color != e.sideColor(draw.Light, v) {
					t.Errorf("%s: the dot of %v stands at %v in %v", size.Name, v, x(d.Center.X), d.Color)
				}
				for _, o := range dots[:i] {
					if math.Hypot(o.Center.X-d.Center.X, o.Center.Y-d.Center.Y) < o.Radius+d.Radius {
						t.Errorf("%s: two dots at %v", size.Name, d.Center)
					}
				}
			}
		}
	}
}

func shoelace(points []draw.Point) float64 {
	sum := 0.0
	for i, b := range points {
		a := points[(i+len(points)-1)%len(points)]
		sum += a.X*b.Y - b.X*a.Y
	}
	return math.Abs(sum) / 2
}

func TestConstantEffectIsASpike(t *testing.T) {
	s := drawtest.MustLayout(t, exactlyNone(), draw.Column, draw.Light)
	x := readX(t, s)
	spikes := 0
	for _, item := range s.Items {
		if i, ok := item.(*draw.Stroke); ok && i.Width > s.Size.Thick {
			spikes++
			if v := x(i.Points[0].X); math.Abs(v) > 1e-12 || i.Points[0].X != i.Points[1].X {
				t.Errorf("spike at %v, want 0", v)
			}
			if tall := i.Points[0].Y - i.Points[1].Y; tall < 2*s.Size.Text {
				t.Errorf("spike only %v pt tall", tall)
			}
		}
	}
	if spikes != 2 {
		t.Errorf("%d spikes, want one for each model", spikes)
	}
}

// Every verdict has a mark: the row's own and those of its people, each of its colour, in
// its row, and one in the key; ticks and crosses differ in shape too. A mark that no key has is
// refused.
func TestOverviewMarks(t *testing.T) {
	o := overview()
	o.of = fewRows + 1
	for _, size := range draw.Sizes {
		s := drawtest.MustLayout(t, o, size, draw.Dark)
		ticks, crosses := 0, 0
		for _, item := range s.Items {
			switch i := item.(type) {
			case *draw.Disc:
				if i.Color == draw.Dark.Below {
					ticks++
				}
			case *draw.Fill:
				if i.Color == draw.Dark.After && len(i.Points) == 4 {
					crosses++
				}
			}
		}
		if ticks != 5+1 || crosses != 2+1 { // one for all four of whom it goes the other way
			t.Errorf("%s: %d ticks and %d crosses, want 5 and 2, and one of each in the key", size.Name, ticks, crosses)
		}
	}
	drawtest.Refused(t, "overview", drawtest.Spoiled(o, func(o *Overview) { o.Marks = o.Marks[1:] }), "nothing says what \"✓\" means")
}

// Of few claims words tell for whom, and an axis how much; the marks need no key.
func TestBriefOverview(t *testing.T) {
	o := overview()
	o.Rows[0].Bars, o.Rows[0].TooSmall = []OverviewBar{{-40, 2, 20}, {-38, -4, 15}}, 1
	o.Rows[0].Whose, o.Rows[0].Said, o.Rows[0].Also = []string{"men", "women"}, [2]float64{-60, -30}, "The hold as a whole: 3 to\u00a09\u00a0% harder."
	drawtest.AltSays(t, o, "Shaded: what counts as said.", "; The hold as a whole: 3 to\u00a09\u00a0% harder")
	drawtest.Refused(t, "what counts as said ends before it begins", drawtest.Spoiled(o, func(o *Overview) { o.Rows = slices.Clone(o.Rows); o.Rows[1].Said = [2]float64{2, 1} }), "counts as said")
	for _, size := range draw.Sizes {
		s := drawtest.MustLayout(t, o, size, draw.Light)
		drawtest.CheckTextApart(t, s)
		texts := drawtest.Texts(s)
		if !slices.Contains(texts, "men") || !slices.Contains(texts, "women") {
			t.Errorf("%s: bars of nobody: %q", size.Name, texts)
		}
		runs := strings.Join(drawtest.Texts(drawtest.MustLayout(t, o, size, draw.Light)), " ")
		for _, want := range []string{
			"The same, where nothing else is said, for Army men,", "% harder. Supported for Army men; contradicted for Army women;", "Shaded: what counts as said.", "−40 % ", "Supported for Army men, men of gymnasts' sizes and club; not judged for",
		} {
			if !strings.Contains(runs, want) {
				t.Errorf("%s: no %q in %s", size.Name, want, runs)
			}
		}
		if strings.Contains(runs, "contradicted for Army men, Army women") || strings.Contains(runs, " . ") {
			t.Errorf("%s: tells what is the same for all, or nothing: %s", size.Name, runs)
		}
	}
}

// Bars of all rows are to one scale, cut where they are out of all proportion, in the colours of
// their sides.
func TestOverviewBars(t *testing.T) {
	o := overview()
	o.of = fewRows + 1
	for i := range o.Rows {
		o.Rows[i].Bars, o.Rows[i].TooSmall = nil, 0
	}
	o.Rows[0].Bars, o.Rows[0].TooSmall = []OverviewBar{{-40, -30, -20}}, 1
	o.Rows[1].Bars, o.Rows[1].TooSmall = []OverviewBar{{10, 200, 500}, {-40, 3, 100}}, 1
	for _, size := range draw.Sizes {
		s := drawtest.MustLayout(t, o, size, draw.Light)
		var below, above []float64 // widths
		for _, item := range s.Items {
			if i, ok := item.(*draw.Fill); ok && len(i.Points) == 4 {
				switch width := i.Points[1].X - i.Points[0].X; i.Color {
				case draw.Light.Below:
					below = append(below, width)
				case draw.Light.Above:
					above = append(above, width)
				}
			}
		}
		if len(below) != 2 || len(above) != 2 || math.Abs(below[1]/below[0]-39.0/20) > 1e-9 || math.Abs(above[0]/below[0]-90.0/20) > 1e-9 || math.Abs(above[1]/below[0]-99.0/20) > 1e-9 {
			t.Errorf("%s: %v, %v", size.Name, below, above)
		}
	}
	// What is beyond all is told by a tick where bars end.
	o.Rows[0].Bars[0] = OverviewBar{200, 250, 300}
	var ends []float64
	for _, item := range drawtest.MustLayout(t, o, draw.Slide, draw.Light).Items {
		if i, ok := item.(*draw.Fill); ok && len(i.Points) == 4 && i.Color == draw.Light.Above {
			ends = append(ends, (i.Points[0].X+i.Points[1].X)/2, i.Points[1].X)
		}
	}
	if len(ends) != 6 || math.Abs(ends[0]-ends[3]) > 1e-9 {
		t.Errorf("a tick at %v of bars that end at %v", ends[0], ends[3:])
	}
	o.Rows[0].Bars[0] = OverviewBar{2, 1.5, 1}
	drawtest.Refused(t, "a bar that ends before it begins", o, "a bar of")
}

// What is tall is as high as its rows make it, and no higher than the size where they fit.
func TestTallOverview(t *testing.T) {
	o := overview()
	o.Tall = true
	if s := drawtest.MustLayout(t, o, draw.Slide, draw.Light); s.Size.Height != draw.Slide.Height {
		t.Errorf("four rows make a slide %v high", s.Size.Height)
	}
	o.Rows = slices.Repeat(o.Rows, 12)
	for _, size := range draw.Sizes {
		s := drawtest.MustLayout(t, o, size, draw.Light)
		if s.Size.Height <= size.Height || len(draw.Pages(o, size)) != 1 {
			t.Errorf("%s: 48 rows on %v of %v, %d pages", size.Name, s.Size.Height, size.Height, len(draw.Pages(o, size)))
		}
	}
	o.Tall = false
	rows := 0
	for _, f := range draw.Pages(o, draw.Slide) {
		rows += len(f.(Overview).Rows)
		if err := draw.Fits(f, draw.Slide, draw.Light); err != nil {
			t.Error(err)
		}
	}
	if rows != len(o.Rows) {
		t.Errorf("%d rows on pages, want %d", rows, len(o.Rows))
	}
}
