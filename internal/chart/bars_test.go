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

// The figures of what drives a demand: invented numbers of a realistic size.

func shareBars() ShareBars {
	b := ShareBars{
		Title: "Force along the harder-working arm of the human flag (legs straddle 40°): 47\u00a0% of the variance is differences between people",
		Label: "Share of the variance of the force along the harder-working arm of the human flag (legs straddle 40°) (%)",
		Note:  "Shapley effects: they add up to 100\u00a0%.",
		Whole: [numSources]float64{FromPeople: 0.24, FromAssumptions: 0.35, FromModels: 0.41},
		Foot:  drawtest.Foot,
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
		b.Rows = append(b.Rows, ShareBar{Label: label, Value: v, Low: v - 0.006, High: v + 0.007, Source: source})
	}
	b.Rows[11] = ShareBar{Label: "assumptions: statics", Source: FromAssumptions}
	return b
}

func screened() ShareBars {
	b := shareBars()
	b.Whole = [numSources]float64{}
	b.Title = "Difficulty of the human flag: weight moves it most, by 70\u00a0% from the least to the most"
	b.Label = "Change from the least to the most of it (%)"
	b.Note = "The other 20 move it by less than the last one here."
	return b
}

func alongArms() Along {
	a := Along{
		Title:  "From the least arm length to the most, people go from 0.965 to 0.948; changed alone, from 0.984 to 0.932",
		Says:   "On average 0.965 at 57\u00a0cm and 0.948 at 71\u00a0cm; the median body, only this changed, 0.984 and 0.932.",
		XLabel: "Arm length (cm)", YLabel: "Difficulty (force over relative strength)",
		AloneName: "the median body, only this changed",
		Curve:     Series{Name: "people in the middle"},
		Spread:    "nine in ten people",
		Foot:      drawtest.Foot,
	}
	c := &a.Curve
	for k := range 24 {
		x := 57 + 0.6*float64(k)
		mean := 0.965 - 0.0007*float64(k) + 0.001*math.Sin(float64(3*k))
		c.X, c.Y, a.Alone = append(c.X, x), append(c.Y, mean), append(a.Alone, 0.984-0.0022*float64(k))
		c.Low, c.High = append(c.Low, mean-0.045), append(c.High, mean+0.047)
	}
	return a
}

// worth has two bodies on one axis, either side of no change.
func worth() Dots {
	d := Dots{
		Title: "1\u00a0kg of muscle on the upper body makes the human flag 2 to 3\u00a0% easier; longer arms change nothing",
		Axis:  "Change of difficulty (%)", Less: "easier", More: "harder", Key: "Mark: best guess; line: nine in ten of what it could be.", Foot: drawtest.Foot,
		Names:  []string{"1\u00a0kg of muscle on the upper body, 50\u00a0% of it working", "1\u00a0kg more on the legs", "1\u00a0cm longer arms"},
		Panels: []DotPanel{{Label: "An average man (176\u00a0cm, 86\u00a0kg)"}, {Label: "An average woman (163\u00a0cm, 73\u00a0kg)"}},
	}
	for i, x := range []float64{-2.1, 1.8, 0} {
		for k := range d.Panels {
			x := x * (1 + 0.2*float64(k))
			d.Panels[k].Dots = append(d.Panels[k].Dots, Dot{Value: x, Low: x - 0.3, High: x + 0.2, Before: math.NaN(),
				Text: []string{"2.1\u00a0% easier", "1.8\u00a0% harder", "no change"}[i], Range: []string{"1.9 to 2.4\u00a0% easier", "1.5 to 2.0\u00a0% harder", "0.3\u00a0% easier to 0.2\u00a0% harder"}[i]})
		}
	}
	return d
}

// spreads are those of two kinds of people, and of one in the middle of each.
func spreads() Ranges {
	r := Ranges{Title: "Human flag: what nobody has measured could move arm force 3.9 times as far as people differ", Axis: "Force along the harder-working arm (% of body weight), nine in ten", Foot: drawtest.Foot,
		Bodies: []bodies.Silhouette{silhouette("an average man", 0.6), silhouette("an average woman", 0.55)}}
	for k, name := range []string{"Men", "Women"} {
		by := 6 * float64(k)
		r.Groups = append(r.Groups, RangeGroup{Name: name, Ranges: [2]Range{
			{Says: strings.ToLower(name) + " differ: 69.3 to 76.3\u00a0% of body weight", Low: 69.3 + by, Middle: 72.8 + by, High: 76.3 + by},
			{Says: "one of them, by what nobody has measured (mostly strength of untrained people): 61.8 to 88.7\u00a0% of body weight", Low: 61.8 + by, Middle: 72.8 + by, High: 88.7 + by},
		}})
	}
	return r
}

var driversFigures = []draw.Named{
	{Name: "ranges", Figure: spreads()},
	{Name: "worth", Figure: worth()},
	{Name: "shares", Figure: shareBars()},
	{Name: "screen", Figure: screened()},
	{Name: "along", Figure: alongArms()},
}

// Bars are as long as their shares, and their values stand behind them.
func TestSharesAreToScale(t *testing.T) {
	b := shareBars()
	s := drawtest.MustLayout(t, b, draw.Post, draw.Light)
	var lengths []float64
	for _, item := range s.Items {
		if i, ok := item.(*draw.Fill); ok && i.Points[0].X == s.Body.X0 {
			lengths = append(lengths, i.Points[1].X-i.Points[0].X)
		}
	}
	lengths = lengths[len(lengths)-len(b.Rows)+1:] // behind the key; the last is exactly 0
	for i, length := range lengths {
		if want := lengths[0] * b.Rows[i].Value / b.Rows[0].Value; math.Abs(length-want) > 1e-9 {
			t.Errorf("%s: the bar is %v long, want %v", b.Rows[i].Label, length, want)
		}
	}
}

// Dots of several bodies stand at their values on the one axis.
func TestDotsOnOneAxis(t *testing.T) {
	d := worth()
	s := drawtest.MustLayout(t, d, draw.Slide, draw.Light)
	x := readX(t, s)
	var got []float64
	for _, item := range s.Items {
		if dot, ok := item.(*draw.Disc); ok && dot.Color == draw.Light.Before {
			got = append(got, x(dot.Center.X))
		}
	}
	if len(got) != 1+len(d.Names) { // the key comes first
		t.Fatalf("%d dots", len(got))
	}
	for i, dot := range d.Panels[0].Dots {
		if math.Abs(got[1+i]-dot.Value) > 1e-9 {
			t.Errorf("%s stands at %v, want %v", d.Names[i], got[1+i], dot.Value)
		}
	}
}

func TestDriversAltSaysTheNumbers(t *testing.T) {
	drawtest.AltSays(t, shareBars(), "Of all, what nobody has measured: 35\u00a0%.", "choice of model (which model is right): 41\u00a0%, 40\u00a0% to\u00a042\u00a0%", "assumptions: statics (what nobody has measured): 0\u00a0%", "Shapley effects")
	drawtest.AltSays(t, screened(), "regional masses (differences between people): 15\u00a0%, 14\u00a0% to\u00a015\u00a0%.", "assumptions: skeleton (what nobody has measured): 25\u00a0%, 24\u00a0% to\u00a025\u00a0%.")
	drawtest.AltSays(t, worth(), "Change of difficulty (%)", "An average woman (163\u00a0cm, 73\u00a0kg).", "1\u00a0kg more on the legs: An average man 1.8\u00a0% harder (1.5 to 2.0\u00a0% harder), An average woman")
	drawtest.AltSays(t, spreads(), "(% of body weight), nine in ten. Men. Men differ: 69.3 to 76.3\u00a0% of body weight. One of them, by", " Women. ")
	drawtest.AltSays(t, alongArms(), "0.965 at 57\u00a0cm and 0.948", "The dashed line is the median body, only this changed", "People: invented")
}

func TestDriversFiguresRefuse(t *testing.T) {
	bars := func(spoil func(*ShareBars)) draw.Figure { return drawtest.Spoiled(shareBars(), spoil) }
	curve := func(spoil func(*Along)) draw.Figure { return drawtest.Spoiled(alongArms(), spoil) }
	for name, f := range map[string]draw.Figure{
		"no rows":              bars(func(f *ShareBars) { f.Rows = nil }),
		"too many rows":        bars(func(f *ShareBars) { f.Rows = slices.Repeat(f.Rows, 4) }),
		"NaN":                  bars(func(f *ShareBars) { f.Rows[3].Value = math.NaN() }),
		"interval elsewhere":   bars(func(f *ShareBars) { f.Rows[3].Low = 0.9 }),
		"no source":            bars(func(f *ShareBars) { f.Rows[3].Source = 9 }),
		"no label":             bars(func(f *ShareBars) { f.Label = "" }),
		"nobody's ranges":      drawtest.Spoiled(spreads(), func(f *Ranges) { f.Groups = nil }),
		"a range elsewhere":    drawtest.Spoiled(spreads(), func(f *Ranges) { f.Groups[0].Ranges[0].Middle = 90 }),
		"an unnamed group":     drawtest.Spoiled(spreads(), func(f *Ranges) { f.Groups[1].Name = "" }),
		"band upside down":     curve(func(f *Along) { f.Curve.Low, f.Curve.High = f.Curve.High, f.Curve.Low }),
		"unnamed dashed line":  curve(func(f *Along) { f.AloneName = "" }),
		"trait that goes back": curve(func(f *Along) { f.Curve.X[4] = 30 }),
	} {
		drawtest.Refused(t, name, f, "")
	}
}
