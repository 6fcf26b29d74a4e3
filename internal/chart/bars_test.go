package chart

import (
	"math"
	"slices"
	"strings"
	"testing"
)

// The figures of what drives a demand: invented numbers of a realistic size.

func shareBars() ShareBars {
	b := ShareBars{
		Title:  "Force along the harder-working arm of the human flag (legs straddle 40°): 47\u00a0% of the variance is differences between people",
		XLabel: "Share of the variance of the force along the harder-working arm of the human flag (legs straddle 40°) (%)",
		Note:   "Shapley effects: they add up to 100\u00a0%. Lines with ends: 95\u00a0% intervals.",
		Foot:   testFoot,
	}
	for i, label := range []string{
		"choice of model", "assumptions: skeleton", "regional masses", "trunk length for size", "leg length for size", "shoulder breadth for size",
		"arm length for size", "assumptions: strength", "mass and build for size", "foot and hand for size", "size", "assumptions: statics",
	} {
		source := FromPeople
		switch {
		case i == 0:
			source = FromModels
		case strings.HasPrefix(label, "assumptions"):
			source = FromAssumptions
		}
		v := 0.41 * math.Pow(0.6, float64(i))
		b.Rows = append(b.Rows, ShareBar{label, v, v - 0.006, v + 0.007, source})
	}
	b.Rows[11] = ShareBar{Label: "assumptions: statics", Source: FromAssumptions}
	return b
}

func split() Split {
	return Split{
		Title:  "Force along the harder-working arm: people make up 6\u00a0% to 52\u00a0% of the variance, what nobody has measured 48\u00a0% to 93\u00a0%",
		XLabel: "Share of the variance of the force along the harder-working arm of the human flag (%)",
		Rows: []SplitRow{
			{"ansur2-men, two-condition", 0.469, 0.002, 0.531, "Half of people have less than 0.957\u00a0BW; over the assumptions, between 0.916\u00a0BW and 1.011\u00a0BW"},
			{"ansur2-men, equilibrium", 0.062, 0.011, 0.928, "Half of people have less than 1.020\u00a0BW; over the assumptions, between 0.898\u00a0BW and 1.441\u00a0BW"},
			{"ansur2-women, two-condition", 0.521, -0.003, 0.482, "Half of people have less than 0.968\u00a0BW; over the assumptions, between 0.928\u00a0BW and 1.023\u00a0BW"},
		},
		Foot: testFoot,
	}
}

func morrisPlane() MorrisPlane {
	m := MorrisPlane{
		Title:  "Difficulty of the human flag: shoulder span moves it most, by 0.078 over its range",
		XLabel: "Mean magnitude of the change over the whole range of an input (BW)",
		YLabel: "Deviation of the change, by where it is taken (BW)",
		Named:  8,
		Foot:   testFoot,
	}
	for i, label := range []string{
		"shoulder span", "shoulder rise", "acromial height for size", "trochanterion height for size", "biacromial breadth for size", "trunk mass for build",
		"arms mass for build", "angle slope", "upper arm length for size", "head mass for build", "stature", "span for size",
	} {
		v := 0.078 * math.Pow(0.72, float64(i))
		point := MorrisPoint{Label: label, Absolute: v, Low: v - 0.0011, High: v + 0.0012, Deviation: 0.09*v + 0.0004*float64(i%4), Source: Source(i % 2)}
		if label == "angle slope" {
			point.Deviation = 0.022
		}
		m.Points = append(m.Points, point)
	}
	m.Points[11] = MorrisPoint{Label: "span for size"}
	return m
}

func alongArms() Along {
	a := Along{
		Title:  "From the least arm length to the most, people go from 0.965 to 0.948; changed alone, from 0.984 to 0.932",
		XLabel: "Arm length (cm)", YLabel: "Difficulty (force over relative strength)",
		AloneName: "the median body, only this changed",
		Foot:      testFoot,
	}
	for k := range 24 {
		x := 57 + 0.6*float64(k)
		mean := 0.965 - 0.0007*float64(k) + 0.001*math.Sin(float64(3*k))
		a.X, a.Mean, a.Alone = append(a.X, x), append(a.Mean, mean), append(a.Alone, 0.984-0.0022*float64(k))
		a.Low, a.High = append(a.Low, mean-0.045), append(a.High, mean+0.047)
	}
	return a
}

var driversFigures = []namedFigure{
	{"shares", shareBars()},
	{"split", split()},
	{"screen", morrisPlane()},
	{"along", alongArms()},
}

// Bars are as long as their shares, and their intervals end where they should, by
// the printed axis.
func TestSharesAreToScale(t *testing.T) {
	b := shareBars()
	s := mustLayout(t, b, Post, Light)
	x := readX(t, s)
	var ends []float64
	whiskers := 0
	for _, item := range s.items {
		switch i := item.(type) {
		case *fill:
			if len(i.points) == 4 && math.Abs(x(i.points[0].x)) < 1e-9 {
				ends = append(ends, x(i.points[1].x))
			}
		case *stroke:
			if len(i.points) == 2 && i.color == Light.Ink && i.points[0].y == i.points[1].y {
				r := b.Rows[whiskers]
				if math.Abs(x(i.points[0].x)-100*r.Low) > 1e-9 || math.Abs(x(i.points[1].x)-100*r.High) > 1e-9 {
					t.Errorf("%s: interval %v to %v, want %v to %v", r.Label, x(i.points[0].x), x(i.points[1].x), 100*r.Low, 100*r.High)
				}
				whiskers++
			}
		}
	}
	if len(ends) != len(b.Rows)-1 || whiskers != len(b.Rows)-1 { // the last is exactly 0
		t.Fatalf("%d bars and %d intervals for %d rows", len(ends), whiskers, len(b.Rows))
	}
	for i, end := range ends {
		if math.Abs(end-100*b.Rows[i].Value) > 1e-9 {
			t.Errorf("%s: the bar ends at %v, want %v", b.Rows[i].Label, end, 100*b.Rows[i].Value)
		}
	}
}

// What is written in the bars of a split can be read there.
func TestSplitTextIsReadableInItsBar(t *testing.T) {
	for _, theme := range testThemes {
		s := mustLayout(t, split(), Slide, theme)
		within := 0
		for _, item := range s.items {
			bar, ok := item.(*fill)
			if !ok {
				continue
			}
			inside := rect{bar.points[0].x, bar.points[0].y, bar.points[2].x, bar.points[2].y}
			for _, r := range runs(s) {
				if !r.box().inside(inside) {
					continue
				}
				within++
				if c := contrast(r.color, bar.color); c < readable {
					t.Errorf("%s: %q has contrast %.2f in its bar", theme.Name, r.text, c)
				}
			}
		}
		if within < 5 {
			t.Errorf("%s: %d texts in bars", theme.Name, within)
		}
	}
}

// Points stand at their magnitude and deviation.
func TestMorrisPointsStandAtTheirValues(t *testing.T) {
	m := morrisPlane()
	s := mustLayout(t, m, Slide, Light)
	x, y := readX(t, s), readY(t, s)
	var got []point
	for _, item := range s.items {
		if d, ok := item.(*disc); ok && d.color != Light.Background {
			got = append(got, point{x(d.center.x), y(d.center.y)})
		}
	}
	if len(got) != len(m.Points) {
		t.Fatalf("%d points, want %d", len(got), len(m.Points))
	}
	for i, p := range m.ranked() {
		if math.Abs(got[i].x-p.Absolute) > 1e-9 || math.Abs(got[i].y-p.Deviation) > 1e-9 {
			t.Errorf("%s stands at %v, want (%v, %v)", p.Label, got[i], p.Absolute, p.Deviation)
		}
	}
}

func TestDriversAltSaysTheNumbers(t *testing.T) {
	altSays(t, shareBars(), "choice of model (models differ): 41.0\u00a0%, 40.4\u00a0% to\u00a041.7\u00a0%", "assumptions: statics (nobody knows: assumptions): 0\u00a0%", "Shapley effects")
	altSays(t, split(), "ansur2-men, two-condition: people 47\u00a0%, assumptions 53\u00a0%, both together 0.2\u00a0%", "ansur2-women", "0.968\u00a0BW")
	altSays(t, morrisPlane(), "shoulder span: 0.078 (0.0769 to\u00a00.0792), deviation 0.007", "span for size: 0 ")
	altSays(t, alongArms(), "from 0.965 at 57 to", "A dashed line, the median body, only this changed, goes from 0.984 to 0.933", "People: invented")
}

func TestDriversFiguresRefuse(t *testing.T) {
	bars := func(spoil func(*ShareBars)) Figure { return spoiled(shareBars(), spoil) }
	people := func(spoil func(*Split)) Figure { return spoiled(split(), spoil) }
	plane := func(spoil func(*MorrisPlane)) Figure { return spoiled(morrisPlane(), spoil) }
	curve := func(spoil func(*Along)) Figure { return spoiled(alongArms(), spoil) }
	for name, f := range map[string]Figure{
		"no rows":              bars(func(f *ShareBars) { f.Rows = nil }),
		"too many rows":        bars(func(f *ShareBars) { f.Rows = slices.Repeat(f.Rows, 4) }),
		"NaN":                  bars(func(f *ShareBars) { f.Rows[3].Value = math.NaN() }),
		"interval elsewhere":   bars(func(f *ShareBars) { f.Rows[3].Low = 0.9 }),
		"no source":            bars(func(f *ShareBars) { f.Rows[3].Source = 9 }),
		"no note":              bars(func(f *ShareBars) { f.Note = "" }),
		"shares beyond 1":      people(func(f *Split) { f.Rows[1].People = 0.5 }),
		"negative share":       people(func(f *Split) { f.Rows[1].People, f.Rows[1].Assumptions = -0.2, 1.2 }),
		"unnamed bar":          people(func(f *Split) { f.Rows[1].Label = "" }),
		"no points":            plane(func(f *MorrisPlane) { f.Points = nil }),
		"negative deviation":   plane(func(f *MorrisPlane) { f.Points[2].Deviation = -0.01 }),
		"infinite magnitude":   plane(func(f *MorrisPlane) { f.Points[2].Absolute = math.Inf(1) }),
		"band upside down":     curve(func(f *Along) { f.Low, f.High = f.High, f.Low }),
		"unnamed dashed line":  curve(func(f *Along) { f.AloneName = "" }),
		"trait that goes back": curve(func(f *Along) { f.X[4] = 30 }),
	} {
		refused(t, name, f, "")
	}
}
