package chart

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/internal/limbs"
)

// The figures of the tests: invented bodies, numbers of a realistic size.

var testFoot = Foot{
	People:      "invented men and women, 18–50 years, BMI 18.5–27",
	N:           20000,
	Model:       "two-condition, de Leva (1996) segments",
	Assumptions: "defaults; λ = ½, shoulder rise 0.015·stature ± 0.015",
	Source:      "invented for this test; counterpoise",
}

// flag is the two-condition model of the side hold on a pole for arms of
// length l (m) and shoulders b (m) apart; c (m) stands for the body's pull.
func flag(name string, l, b, c float64) Group {
	const q = 0.95
	g := Group{Name: name}
	g.Best.Y = math.Inf(1)
	for deg := 10.0; deg <= 80; deg += 0.5 {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		lift := 1 / (2 * cos)
		turning := (q*l*sin + c) / (sin * (b + 2*l*cos))
		need := max(lift, turning)
		g.X, g.Y = append(g.X, deg), append(g.Y, need)
		if need < g.Best.Y {
			g.Best.X, g.Best.Y = deg, need
		}
	}
	g.Best.Label = fmt.Sprintf("%.0f°, %.2f\u00a0BW", g.Best.X, g.Best.Y)
	return g
}

// silhouette is somebody who hangs from a bar, arms so long.
func silhouette(caption string, arm float64) Silhouette {
	body := freeBody()
	body.Body = append(body.Body, tapered(limbs.Over, Place{}, Place{0, arm}, 0.1, 0.05))
	return Silhouette{Caption: caption, Body: body}
}

func requirementCurve() RequirementCurve {
	return RequirementCurve{
		Title:  "Ten centimetres more arm make the human flag 0.04\u00a0BW easier at its best angle",
		XLabel: "angle between arm and pole, θ (degrees)",
		YLabel: "required force (multiples of body weight, BW)",
		Panels: []RequirementPanel{{
			Name: "the middle man, 176\u00a0cm, 86\u00a0kg", Before: flag("before", 0.63, 0.36, 0.42), After: flag("arms +10 cm", 0.73, 0.36, 0.42),
		}},
		Foot: testFoot,
	}
}

// pairOfCurves has two panels, a second axis and bodies.
func pairOfCurves() RequirementCurve {
	r := requirementCurve()
	r.Panels = append(r.Panels, RequirementPanel{Name: "the middle woman, 163\u00a0cm, 73\u00a0kg", Before: flag("before", 0.57, 0.32, 0.42), After: flag("arms +10 cm", 0.67, 0.32, 0.42)})
	for i := range r.Panels {
		r.Panels[i].Second, r.Panels[i].Bodies = 1.0/80, []Silhouette{silhouette("", 0.6), silhouette("", 0.7)}
	}
	return r
}

// equilibriumCurve has other names and other shapes.
func equilibriumCurve() RequirementCurve {
	group := func(name string, shift float64) Group {
		g := Group{Name: name}
		g.Best.Y = math.Inf(1)
		for deg := 10.0; deg <= 80; deg++ {
			axial := 0.62 + 0.00016*(deg-38-shift)*(deg-38-shift)
			moment := 0.04 + 0.019*math.Abs(67+shift-deg)
			need := max(axial, moment)
			g.X, g.Y = append(g.X, deg), append(g.Y, need)
			if need < g.Best.Y {
				g.Best = Mark{X: deg, Y: need}
			}
		}
		g.Best.Label = fmt.Sprintf("%.0f°, %.2f", g.Best.X, g.Best.Y)
		return g
	}
	return RequirementCurve{
		Title:  "In equilibrium the hands-wider hold takes a steeper arm",
		XLabel: "angle between arm and pole, θ (degrees)",
		YLabel: "peak use of capacity (1 = all of it)",
		Panels: []RequirementPanel{{Name: "the middle woman", Before: group("before", 0), After: group("after", 4)}},
		Foot:   testFoot,
	}
}

// normalBins is a normal distribution of people in bins, and 300 draws whose medians are
// spread evenly around its mean, half as far.
func normalBins(model string, mean, sd float64) EffectPanel {
	cdf := func(v float64) float64 { return 0.5 * math.Erfc((mean-v)/(sd*math.Sqrt2)) }
	p := EffectPanel{
		Model: model, P5: mean - 1.6449*sd, P95: mean + 1.6449*sd, PeopleSay: fmt.Sprintf("people differ: %.3f to %.3f", mean-1.6449*sd, mean+1.6449*sd), Middle: fmt.Sprintf("%.3f", mean),
		Spread: Spread{Median: mean, Low: mean - 0.45*sd, High: mean + 0.45*sd, Of: "what nobody has measured", DrawsSay: fmt.Sprintf("%.3f to %.3f", mean-0.45*sd, mean+0.45*sd)},
	}
	for i := range 300 {
		p.Draws = append(p.Draws, mean+sd*((float64(i)+0.5)/300-0.5))
	}
	const bins = 40
	for i := range bins + 1 {
		p.Edges = append(p.Edges, mean+sd*(float64(i)/bins*6-3))
		if i > 0 {
			p.Shares = append(p.Shares, cdf(p.Edges[i])-cdf(p.Edges[i-1]))
		}
	}
	return p
}

func effectDistribution() EffectDistribution {
	return EffectDistribution{
		Title: "Longer arms make the flag easier for nearly everybody in one model, and change little in the other",
		Zone:  Zone{XLabel: "change of required force with arms 10 cm longer (BW)", Unit: "BW", TooSmall: 0.01, Below: "easier", Above: "harder"},
		Panels: []EffectPanel{
			normalBins("Two-condition model", -0.036, 0.012),
			normalBins("Equilibrium model", 0.002, 0.0065),
		},
		Foot: testFoot,
	}
}

// exactlyNone has the same effect for every body.
func exactlyNone() EffectDistribution {
	e := effectDistribution()
	e.Title = "Scaling the whole body changes no force in multiples of body weight"
	e.XLabel = "change of required force with all lengths × 1.1 (BW)"
	none := Spread{DrawsSay: "every body: no change"}
	e.Panels = []EffectPanel{{Model: "Two-condition model", Spread: none}, {Model: "Equilibrium model", Spread: none}}
	return e
}

// oneEffect is far from nothing, under one model, with bodies.
func oneEffect() EffectDistribution {
	e := effectDistribution()
	e.Title = "Front lever, legs in the tuck in place of legs together: 36 to 44\u00a0% easier"
	e.Panels, e.Bodies = []EffectPanel{normalBins("Equilibrium", -0.3, 0.02)}, []Silhouette{silhouette("the middle man, 176\u00a0cm, 86\u00a0kg, legs together", 0.6), silhouette("arms 10\u00a0cm longer", 0.7)}
	return e
}

func twoGroups() Contrast {
	hump := func(mean, sd float64) (y []float64) {
		for i := range 100 {
			z := (0.5 + 0.02*float64(i) - mean) / sd
			y = append(y, math.Exp(-z*z/2)/sd)
		}
		return y
	}
	c := Contrast{
		Title: "Human flag, men: in 57 of 100 pairs it is harder for one of the tallest", Label: "Times the strength of an untrained adult",
		Bottom: ContrastGroup{Name: "the shortest", Density: hump(1.3, 0.2), Median: 1.3, Says: "the shortest: 1.30 times"},
		Top:    ContrastGroup{Name: "the tallest", Density: hump(1.4, 0.24), Median: 1.4, Says: "the tallest: 1.40 times"},
		Pairs:  [2]float64{54, 60}, PairsSay: "in 57 of 100 pairs it is harder for one of the tallest (54 to 60)",
		Zone: effectDistribution().Zone, Spread: normalBins("", 0.05, 0.02).Spread,
		Bodies: []Silhouette{silhouette("the shortest: 169\u00a0cm", 0.6), silhouette("the tallest: 183\u00a0cm", 0.7)}, Foot: testFoot,
	}
	for i := range 100 {
		c.X = append(c.X, 0.5+0.02*float64(i))
	}
	return c
}

// overview has a mark of every kind, people of one kind and of several, and rows without an
// effect.
func overview() Overview {
	mark := func(mark, word string) OverviewMark { return OverviewMark{mark, word} }
	yes, no, same, open, none := mark("✓", "supported"), mark("✗", "contradicted"), mark("≈", "no difference"), mark("?", "not settled"), OverviewMark{}
	return Overview{
		Title:  "Of four claims one is supported, and one is about something that nobody can do afterwards",
		People: []OverviewPeople{{"soldiers", "m", "Army men"}, {"soldiers", "w", "Army women"}, {"gymnasts", "m", "men of gymnasts' sizes"}, {"own", "", "club"}},
		Key:    "m: men, w: women.",
		Rows: []OverviewRow{
			{Group: "Human flag", Label: "Longer arms make the human flag harder.", Verdict: mark("±", "depends on the body"), Effect: "3.9\u00a0% harder", Range: "2.1 to 4.4\u00a0%", Whom: []OverviewMark{yes, no, same, open}},
			{Group: "Human flag", Label: "Nothing moves.", Verdict: mark("=", "exactly no effect"), Effect: "no change", Whom: []OverviewMark{none, none, none, none}},
			{Group: "Planche", Label: "Heavy legs put the planche out of reach.", Verdict: yes, Effect: "beyond reach", Whom: []OverviewMark{yes, mark("–", "not judged"), yes, yes}},
			{Group: "Planche", Label: "Tall people lean more.", Verdict: open, Whom: []OverviewMark{no, no, no, no}},
		},
		Foot: testFoot,
	}
}

var testFigures = []namedFigure{
	{"curve", requirementCurve()},
	{"curve-equilibrium", equilibriumCurve()},
	{"curve-pair", pairOfCurves()},
	{"effect", effectDistribution()},
	{"effect-none", exactlyNone()},
	{"effect-one", oneEffect()},
	{"contrast", twoGroups()},
	{"overview", overview()},
}

var (
	testSizes  = Sizes
	testThemes = Themes
)

// namedFigure is a figure with the name of its goldens.
type namedFigure struct {
	name   string
	figure Figure
}

// drawnEverywhere draws figures in every size and theme, and looks at each.
func drawnEverywhere(t *testing.T, figures []namedFigure) {
	for _, f := range figures {
		for _, size := range testSizes {
			for _, theme := range testThemes {
				t.Run(f.name+"/"+size.Name+"/"+theme.Name, func(t *testing.T) {
					s := mustLayout(t, f.figure, size, theme)
					checkTextApart(t, s)
					checkShapesOnCanvas(t, s)
					checkReadable(t, s)
				})
			}
		}
	}
}

// kept compares figures with their goldens, in one look light and in another dark.
func kept(t *testing.T, prefix string, light, dark Size, figures []namedFigure) {
	for _, f := range figures {
		title, _ := f.figure.Heading()
		for size, theme := range map[Size]Theme{light: Light, dark: Dark} {
			name := "chart/" + prefix + f.name + "-" + size.Name + "-" + theme.Name + ".svg"
			golden.Text(t, name, encodeSVG(mustLayout(t, f.figure, size, theme), title, f.figure.Alt(), "en"))
		}
	}
}

// altSays holds that the description of a figure has certain words.
func altSays(t *testing.T, f Figure, want ...string) {
	t.Helper()
	for _, w := range want {
		if alt := f.Alt(); !strings.Contains(alt, w) {
			t.Errorf("the text lacks %q: %s", w, alt)
		}
	}
}

// spoiled is a figure with a fault.
func spoiled[F Figure](f F, spoil func(*F)) Figure {
	spoil(&f)
	return f
}

// refused holds that a figure is not drawn, and why.
func refused(t *testing.T, name string, f Figure, why string) {
	t.Helper()
	if err := Fits(f, Slide, Light); err == nil || !strings.Contains(err.Error(), why) {
		t.Errorf("%s: got %v, want %q", name, err, why)
	}
}
