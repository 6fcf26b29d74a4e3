package chart

import (
	"fmt"
	"math"

	"counterpoise/internal/bodies"
	"counterpoise/internal/draw"
	"counterpoise/internal/draw/drawtest"
	"counterpoise/internal/limbs"
	"counterpoise/sim/statics"
)

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
	g.Best.Label, g.At = fmt.Sprintf("at %.0f°", g.Best.X), fmt.Sprintf("%.0f°", g.Best.X)
	g.Says = fmt.Sprintf("%s: %.2f\u00a0BW", name, g.Best.Y)
	return g
}

// tapered is a shape with the two widths at its ends.
func tapered(layer limbs.Layer, from, to statics.Vec, first, last float64) limbs.Shape {
	long := math.Hypot(to.X-from.X, to.Y-from.Y)
	side := func(p statics.Vec, width float64) statics.Vec {
		return statics.Vec{X: p.X - (to.Y-from.Y)/long*width/2, Y: p.Y + (to.X-from.X)/long*width/2}
	}
	return limbs.Shape{Layer: layer, Points: []statics.Vec{side(from, first), side(to, last), side(to, -last), side(from, -first)}}
}

// held is an invented body between a pole, a floor and a wall.
func held() bodies.FreeBody {
	at := func(x, y float64) bodies.Place { return bodies.Place{X: x, Y: y} }
	vec := func(x, y float64) statics.Vec { return statics.Vec{X: x, Y: y} }
	hand := at(0.04, 1.97)
	return bodies.FreeBody{
		Body: []limbs.Shape{
			tapered(limbs.Far, vec(0.33, 1.36), vec(0.02, 0.87), 0.09, 0.05),
			tapered(limbs.Body, vec(0.31, 1.42), vec(0.9, 1.37), 0.24, 0.2),
			tapered(limbs.Body, vec(0.9, 1.37), vec(1.74, 1.28), 0.17, 0.06),
			tapered(limbs.Body, vec(0.3, 1.42), vec(0.05, 1.47), 0.15, 0.19),
			tapered(limbs.Over, vec(0.31, 1.42), vec(0.04, 1.97), 0.09, 0.05),
		},
		Centre: at(0.71, 1.385),
		Fixtures: []bodies.Fixture{
			{Kind: bodies.Pole, From: at(0, -3), To: at(0, 9)}, {Kind: bodies.Floor, From: at(1.5, 1.25), To: at(2.1, 1.25)},
			{Kind: bodies.Wall, From: at(2.1, 1.25), To: at(2.1, 1.7)}, {Kind: bodies.Cable, From: hand, To: at(0.1, 2.3)}, {Kind: bodies.Bar, From: hand, To: hand},
		},
		Dimensions: []bodies.Dimension{{Name: "hands", From: hand, To: at(0.02, 0.87)}},
	}
}

// silhouette is somebody who hangs from a bar, arms so long.
func silhouette(caption string, arm float64) bodies.Silhouette {
	body := held()
	body.Body = append(body.Body, tapered(limbs.Over, statics.Vec{}, statics.Vec{Y: arm}, 0.1, 0.05))
	return bodies.Silhouette{Caption: caption, Body: body}
}

func requirementCurve() RequirementCurve {
	return RequirementCurve{
		Title:  "Ten centimetres more arm make the human flag 0.04\u00a0BW easier at its best angle",
		XLabel: "angle between arm and pole, θ (degrees)",
		YLabel: "required force (multiples of body weight, BW)",
		Panels: []RequirementPanel{{
			Name: "the middle man, 176\u00a0cm, 86\u00a0kg", Before: flag("before", 0.63, 0.36, 0.42), After: flag("arms +10 cm", 0.73, 0.36, 0.42),
		}},
		Foot: drawtest.Foot,
	}
}

// pairOfCurves has two panels, bodies, and marks that may lie elsewhere.
func pairOfCurves() RequirementCurve {
	r := requirementCurve()
	r.Panels = append(r.Panels, RequirementPanel{Name: "the middle woman, 163\u00a0cm, 73\u00a0kg", Before: flag("before", 0.57, 0.32, 0.42), After: flag("arms +10 cm", 0.67, 0.32, 0.42)})
	for i := range r.Panels {
		p := &r.Panels[i]
		p.Bodies = []bodies.Silhouette{silhouette("", 0.6), silhouette("", 0.7)}
		p.Before.Low, p.Before.High, p.Before.Between = p.Before.Best.X-4, p.Before.Best.X+9, "37 to 50°"
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
		g.Says, g.At = fmt.Sprintf("%s: %.2f", name, g.Best.Y), fmt.Sprintf("%.0f°", g.Best.X)
		return g
	}
	return RequirementCurve{
		Title:  "In equilibrium the hands-wider hold takes a steeper arm",
		XLabel: "angle between arm and pole, θ (degrees)",
		YLabel: "peak use of capacity (1 = all of it)",
		Panels: []RequirementPanel{{Name: "the middle woman", Before: group("before", 0), After: group("after", 4)}},
		Foot:   drawtest.Foot,
	}
}

// normalBins is a normal distribution of people in bins, and 300 draws whose medians are
// spread evenly around its mean, half as far.
func normalBins(model string, mean, sd float64) EffectPanel {
	cdf := func(v float64) float64 { return 0.5 * math.Erfc((mean-v)/(sd*math.Sqrt2)) }
	p := EffectPanel{
		Model: model, People: []Hump{{Range: Range{fmt.Sprintf("people differ: %.3f to %.3f", mean-1.6449*sd, mean+1.6449*sd), mean - 1.6449*sd, mean, mean + 1.6449*sd}}}, Middle: fmt.Sprintf("%.3f", mean),
		Spread: Spread{Median: mean, Low: mean - 0.45*sd, High: mean + 0.45*sd, Of: "by what nobody has measured", DrawsSay: fmt.Sprintf("%.3f to %.3f", mean-0.45*sd, mean+0.45*sd)},
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
		Foot: drawtest.Foot,
	}
}

// twoHumps has women apart from men.
func twoHumps() EffectDistribution {
	e := oneEffect()
	women, men := normalBins("", -0.03, 0.004), normalBins("", 0.02, 0.004)
	p := &e.Panels[0]
	p.People = append(women.People, men.People...)
	p.People[0].Name, p.People[1].Name = "women", "men"
	p.Edges = append(women.Edges, men.Edges...)
	p.Shares = append(append(women.Shares, 0), men.Shares...)
	for i := range p.Shares {
		p.Shares[i] /= 2
	}
	return e
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
	e.Said, e.SaidFrom, e.SaidTo, e.Counts = -0.35, -0.42, -0.28, "counts as said: 0.28\u00a0to\u00a00.42\u00a0BW"
	e.Panels, e.Bodies = []EffectPanel{normalBins("Equilibrium", -0.3, 0.02)}, []bodies.Silhouette{silhouette("the middle man, 176\u00a0cm, 86\u00a0kg, legs together", 0.6), silhouette("arms 10\u00a0cm longer", 0.7)}
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
		Pairs:  [3]float64{54, 57, 60}, PairsSay: "in 57 of 100 pairs it is harder for one of the tallest",
		Zone: effectDistribution().Zone, Spread: normalBins("", 0.05, 0.02).Spread,
		Bodies: []bodies.Silhouette{silhouette("the shortest: 169\u00a0cm", 0.6), silhouette("the tallest: 183\u00a0cm", 0.7)}, Foot: drawtest.Foot,
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
		Marks:  []OverviewMark{yes, no, same, open, mark("±", "depends on the body"), mark("=", "exactly no effect"), mark("–", "not judged")},
		Rows: []OverviewRow{
			{Group: "Human flag", Label: "Longer arms make the human flag harder.", Verdict: mark("±", "depends on the body"), Effect: "2.1\u00a0to\u00a04.4\u00a0% harder", Whom: []OverviewMark{yes, no, same, open}},
			{Group: "Human flag", Label: "Nothing moves.", Verdict: mark("=", "exactly no effect"), Effect: "no change", Whom: []OverviewMark{none, none, none, none}},
			{Group: "Planche", Label: "Heavy legs put the planche out of reach.", Verdict: yes, Effect: "beyond reach", Whom: []OverviewMark{yes, mark("–", "not judged"), yes, yes}},
			{Group: "Planche", Label: "Tall people lean more.", Verdict: open, Whom: []OverviewMark{no, no, no, no}},
		},
		Foot: drawtest.Foot,
	}
}

var testFigures = []draw.Named{
	{Name: "curve", Figure: requirementCurve()},
	{Name: "curve-equilibrium", Figure: equilibriumCurve()},
	{Name: "curve-pair", Figure: pairOfCurves()},
	{Name: "effect", Figure: effectDistribution()},
	{Name: "effect-none", Figure: exactlyNone()},
	{Name: "effect-one", Figure: oneEffect()},
	{Name: "contrast", Figure: twoGroups()},
	{Name: "overview", Figure: overview()},
}
