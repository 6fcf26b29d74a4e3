package report

import (
	"slices"
	"strings"

	"counterpoise/internal/chart"
	"counterpoise/internal/outcome"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
	"counterpoise/sim/linear"
	"counterpoise/sim/math"

	"gonum.org/v1/gonum/stat"
)

// contrastFigures lay the two groups of a contrast over one another, for every population
// and model in which they can be compared.
func contrastFigures(r *outcome.Result) (figures []Figure, err error) {
	for i := range r.Contrast {
		d := &r.Contrast[i]
		if d.Draws.InUnit.P50 == nil {
			continue
		}
		name := "difference-" + d.People
		model := slices.IndexFunc(r.Models, func(m outcome.ModelResult) bool { return m.Name == d.Model })
		if model > 0 {
			name += "-" + fileName(d.Model)
		}
		f, err := contrastFigure(r, d, model)
		if err != nil {
			return nil, err
		}
		figures = append(figures, Figure{name, f})
	}
	return figures, nil
}

func contrastFigure(r *outcome.Result, d *outcome.ContrastResult, model int) (f chart.Contrast, err error) {
	c := r.Claim
	population := 0 // that of a sex against another counts as the first
	if !c.Contrast.Sexes {
		for g, p := range c.People {
			if p.Population == d.People {
				population = g
			}
		}
	}
	groups, err := claim.GroupsOf(c, population, model, r.Typical(model, population), r.Seed)
	if err != nil {
		return f, err
	}
	statics := r.Models[model].Model.Statics
	size, axis := sizesOf(c, statics), axisOf(c.Demand, statics, c.People)
	if axis.weights { // of people of many weights
		w := words.DemandOf(c.Demand, statics)
		axis.label, axis.write = words.Capital(strings.TrimPrefix(w.Noun, "the "))+" ("+w.Unit+")", w.Number
	}
	who := ""
	people := peopleNames(r)
	if !c.Contrast.Sexes {
		who, people = ", "+words.Sexes(d.People), d.People
	}
	f = chart.Contrast{
		Label: axis.label, Zone: effectZone(c), Spread: spreadOf(r, d.Draws, &size, hardlyDiffer),
		Foot: foot(r, people, d.Model),
	}
	f.Foot.N = d.Draws.Bodies()
	f.XLabel = "Difference of " + f.XLabel
	f.PairsSay, f.Pairs = pairs(c, d.Draws)
	said, behind, sized := words.Finding(d.Verdict, c.Expect)
	parts := []string{f.PairsSay}
	if sized {
		middles := size.between(d.Draws.MedianAt(0.05), d.Draws.MedianAt(0.95)) + " in the middle of each"
		if behind != "" {
			middles += ", " + behind
		}
		if said != "" {
			middles = said + ", " + middles
		}
		parts = append(parts, middles)
	} else {
		parts = append(parts, said)
	}
	f.Title = words.NoBreak(words.Capital(strings.TrimPrefix(Held(c), "the ")) + who + ": " + strings.Join(parts, "; ") + CentralAlone(r))
	top, bottom := words.Contrasted(c.Contrast)
	if most, _ := c.Contrast.By.Superlatives(); most != "" && !c.Contrast.Sexes && !c.Contrast.Stated() {
		share := " " + shareOf(c.Contrast)
		top, bottom = top+share, bottom+share
	}
	f.Bottom, f.Top = chart.ContrastGroup{Name: bottom}, chart.ContrastGroup{Name: top}
	f.X = densityGrid(axis.scale, &groups.Bottom, &groups.Top)
	for _, g := range []struct {
		shown *chart.ContrastGroup
		of    *claim.Members
	}{{&f.Bottom, &groups.Bottom}, {&f.Top, &groups.Top}} {
		g.shown.Density = densityOf(f.X, axis.scale, g.of)
		g.shown.Median = axis.scale * g.of.At(0.5)
		g.shown.Says = words.NoBreak(g.shown.Name + ": " + axis.write(g.shown.Median))
		if math.IsInf(g.shown.Median, 0) {
			g.shown.Median = f.X[len(f.X)-1]
		}
		if held := g.of.Held; held != nil {
			s, err := silhouetteOf(held, c.Hold, g.shown.Name+": "+sizeOf(held.Body))
			if err != nil {
				return f, err
			}
			f.Bodies = append(f.Bodies, s)
		}
	}
	if len(f.Bodies) == 1 {
		f.Bodies = nil
	}
	return f, nil
}

// densityPoints is at how many places a density is drawn.
const densityPoints = 160

// densityGrid reaches over nearly all of two groups.
func densityGrid(scale float64, groups ...*claim.Members) []float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, g := range groups {
		for _, p := range []float64{0.002, 0.02, 0.9, 0.99} { // infinite where many cannot take the posture
			if x := scale * g.At(p); !math.IsInf(x, 0) && !math.IsNaN(x) {
				low, high = math.Min(low, x), math.Max(high, x)
			}
		}
	}
	if !(low < high) {
		low, high = low-0.5, low+0.5
	}
	pad := float64(0.08 * (high - low))
	x := make([]float64, densityPoints)
	for i := range x {
		x[i] = low - pad + float64(float64(i)/(densityPoints-1)*(high-low+float64(2*pad)))
	}
	return x
}

// densityOf spreads everybody of a group by a normal density as wide as Silverman (1986)
// has it, of those who can take the posture. Beyond the grid nobody is shown.
func densityOf(x []float64, scale float64, g *claim.Members) []float64 {
	const people = 2000 // enough for a smooth line
	var values []float64
	for i := range people {
		if v := scale * g.At((float64(i)+0.5)/people); !math.IsInf(v, 0) && !math.IsNaN(v) {
			values = append(values, v)
		}
	}
	density := make([]float64, len(x))
	if len(values) < 2 {
		return density
	}
	quarter := func(p float64) float64 { return stat.Quantile(p, stat.Empirical, values, nil) }
	width := 0.9 * math.Min(linear.StdDev(values), (quarter(0.75)-quarter(0.25))/1.34) * math.Pow(float64(len(values)), -0.2)
	width = math.Max(width, (x[1]-x[0])/2) // those who are all alike
	for i := range x {
		for _, v := range values {
			z := (x[i] - v) / width
			density[i] += math.Exp(-z * z / 2)
		}
		density[i] *= float64(len(values)) / people
	}
	return density
}
