package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/chart"
	"counterpoise/internal/outcome"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/assume"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
)

// Figure is a chart with the name of its files.
type Figure struct {
	Name   string
	Figure chart.Figure
}

// Figures returns the charts of a claim. With a change: the spread of the effect
// over people and, where the hold leaves a choice of posture, for every population
// and model the requirement over the arm angle before and after. With a contrast:
// for every population the spread of the differences between people of the two
// groups. A chart is left out where nobody it is about can take the posture. Paged makes
// them fit a size.
func Figures(r *outcome.Result, a assume.Set) ([]Figure, error) {
	var figures []Figure
	spread := func(name string, e chart.EffectDistribution) {
		if len(e.Panels) > 0 {
			figures = append(figures, Figure{name, e})
		}
	}
	if r.Claim.Change == nil {
		for _, p := range r.Claim.People {
			spread("difference-"+p.Population, contrastFigure(r, p.Population))
		}
		return figures, nil
	}
	spread("effect", EffectFigure(r))
	if r.Claim.Hold.Parts == nil {
		return figures, nil
	}
	for m := range r.Models {
		for g := range r.Claim.People {
			curves, err := claim.CurvesOf(r.Claim, g, m, a, r.Seed)
			if err != nil {
				return nil, err
			}
			if math.IsNaN(curves.Before.BestPeak) || math.IsNaN(curves.After.BestPeak) {
				continue // there is nothing to mark
			}
			name := "requirement-" + fileName(r.Models[m].Name) + "-" + r.Claim.People[g].Population
			figures = append(figures, Figure{name, requirementFigure(r, &r.Models[m], curves)})
		}
	}
	return figures, nil
}

// Paged divides every chart of many rows into as few as can be drawn at a size, name,
// name-2 and so on.
func Paged(figures []Figure, size chart.Size) []Figure {
	var list []Figure
	for _, f := range figures {
		for k, page := range chart.Pages(f.Figure, size) {
			name := f.Name
			if k > 0 {
				name = fmt.Sprintf("%s-%d", name, k+1)
			}
			list = append(list, Figure{name, page})
		}
	}
	return list
}

// fileName turns a model's name into a part of a file name.
func fileName(model string) string {
	return strings.ReplaceAll(strings.ReplaceAll(model, ", ", "-"), " ", "-")
}

func foot(r *outcome.Result, people, model string) chart.Foot {
	from, names := "bodies drawn", strings.Split(people, " and ")
	sexes := make([]string, len(names))
	for i, name := range names {
		sexes[i] = words.Sexes(name)
	}
	people = strings.Join(sexes, " and ")
	for _, p := range r.Claim.People {
		if p.Own != nil && slices.Contains(names, p.Population) {
			people += ", " + written(p.Own.Title, p.Population) + " drawn again and again"
			from = "what was not measured of them drawn"
		}
	}
	for _, where := range r.Claim.Where {
		people += ", " + where.String()
	}
	for _, mean := range r.Claim.Targets {
		people += ", " + mean.String()
	}
	return chart.Foot{
		People: people, N: r.N, Model: model, Assumptions: footAssumptions(r),
		Source: "counterpoise; " + from + " from the 2012 US Army survey (Gordon et al. 2014). " + Validation(r.Claim),
	}
}

func footAssumptions(r *outcome.Result) string {
	for _, a := range assume.All() {
		if r.Claim.Assumed().Centre[a.ID] != a.Default {
			return "as set on the command line"
		}
	}
	return "defaults"
}

// quoted is the claim's sentence without its full stop, in quotation marks; its name
// where the font of charts cannot write the sentence.
func quoted(c *claim.Claim) string {
	return "“" + strings.TrimSuffix(written(c.Says, c.Name), ".") + "”"
}

// written is a text that somebody else wrote, or what stands for it where the font of
// charts cannot write it.
func written(text, otherwise string) string {
	if chart.Writable(text) {
		return text
	}
	return otherwise
}

// zoneOf returns the unit in which a claim's effects are drawn and the size of
// the smallest that matters: per cent of the baseline, or the quantity's own unit.
func zoneOf(c *claim.Claim) (unit string, zone float64) {
	matters := c.Threshold()
	if matters.Share > 0 {
		return "%", 100 * matters.Share
	}
	_, unit = outcome.ColumnUnit(c.Demand)
	zone = matters.Absolute
	if unit == "deg" {
		zone *= 180 / math.Pi
	}
	return unit, zone
}

// bins is how many bars a spread is drawn with.
const bins = 90

// panel shows how people, or pairs, differ and where the draws have their medians.
func panel(model string, v claim.Verdict, d *outcome.Draws, zone, low, high float64) chart.EffectPanel {
	p := chart.EffectPanel{Model: words.Capital(model) + ": " + words.Verdict(v).Name}
	p.Below, p.Above = d.PeopleBelow(-zone), 1-d.PeopleBelow(zone)
	p.Within = math.Max(0, 1-p.Below-p.Above)
	p.P5, p.Median, p.P95 = d.PeopleAt(0.05), d.PeopleAt(0.5), d.PeopleAt(0.95)
	if v == claim.NoEffect {
		return p
	}
	p.Shares, p.Edges = d.PeopleBins(low, high, bins), make([]float64, bins+1)
	for k := range p.Edges {
		p.Edges[k] = low + float64(k)/bins*(high-low)
	}
	return p
}

// reach widens an axis so that nearly all people and draws are on it.
func reach(d *outcome.Draws, low, high float64) (float64, float64) {
	for _, at := range []func(float64) float64{d.PeopleAt, d.MedianAt} {
		low, high = math.Min(low, finite(at(0.01), low)), math.Max(high, finite(at(0.99), high))
	}
	return low, high
}

// distribution is a figure of effects without its panels, and how far its bars reach at
// the least; of says what the effects are of.
func distribution(r *outcome.Result, title, of, people string) (e chart.EffectDistribution, low, high float64) {
	c := r.Claim
	unit, zone := zoneOf(c)
	below, above := words.Ways(c.Demand)
	return chart.EffectDistribution{
		Title: words.NoBreak(title), XLabel: of + words.PlainNoun(c.Demand) + " (" + unit + ")", Unit: unit,
		TooSmall: zone, Below: below, Above: above, Foot: foot(r, people, "as named in each panel"),
	}, -1.5 * zone, 1.5 * zone
}

// EffectFigure shows how the effect is spread over people, a panel a model.
func EffectFigure(r *outcome.Result) chart.EffectDistribution {
	e, low, high := distribution(r, fmt.Sprintf("%s: %s", quoted(r.Claim), words.Verdict(r.Verdict)), "Change of ", peopleNames(r))
	for _, m := range r.Models {
		if m.Verdict != claim.NoEffect {
			low, high = reach(m.Pooled.Draws, low, high)
		}
	}
	for _, m := range r.Models {
		o := &m.Pooled
		if math.IsNaN(o.Draws.PeopleAt(0.5)) || math.IsInf(o.Draws.PeopleAt(0.5), 0) {
			continue
		}
		p := panel(m.Name, m.Verdict, o.Draws, e.TooSmall, low, high)
		if o.BecameImpossible > 0 {
			p.Model += words.NoBreak(fmt.Sprintf("; %s can hold it no longer", words.Share(float64(o.BecameImpossible)/float64(o.N))))
		}
		if o.BecamePossible > 0 {
			p.Model += words.NoBreak(fmt.Sprintf("; %s only now", words.Share(float64(o.BecamePossible)/float64(o.N))))
		}
		e.Panels = append(e.Panels, p)
	}
	return e
}

// contrastFigure shows how the differences between a person of the top group
// and one of the bottom group spread, in one population.
func contrastFigure(r *outcome.Result, people string) chart.EffectDistribution {
	title := fmt.Sprintf("%s, %s: person of the top group against person of the bottom group", quoted(r.Claim), words.Sexes(people))
	e, low, high := distribution(r, title, "Difference of ", people)
	var shown []*outcome.ContrastResult
	for i := range r.Contrast {
		if d := &r.Contrast[i]; d.People == people {
			shown = append(shown, d)
			low, high = reach(d.Draws, low, high)
			e.Foot.N = 2 * d.N
		}
	}
	for _, d := range shown {
		if at := d.Draws.PeopleAt(0.5); !math.IsNaN(at) && !math.IsInf(at, 0) {
			e.Panels = append(e.Panels, panel(d.Model, d.Verdict, d.Draws, e.TooSmall, low, high))
		}
	}
	return e
}

func finite(x, otherwise float64) float64 {
	if math.IsInf(x, 0) || math.IsNaN(x) {
		return otherwise
	}
	return x
}

func peopleNames(r *outcome.Result) string {
	var names []string
	for _, p := range r.Claim.People {
		names = append(names, p.Population)
	}
	return strings.Join(names, " and ")
}

// requirementFigure shows what the median body of one population needs over the
// arm angle, before and after.
func requirementFigure(r *outcome.Result, m *outcome.ModelResult, c *claim.Curves) chart.RequirementCurve {
	equilibrium := m.Model.Statics == hold.Equilibrium
	label, in, what := "Force along each arm (BW)", units.BodyWeights, "force"
	if equilibrium {
		label, in, what = "Share of capacity used", units.Number, "share of capacity"
	}
	peak := func(c scenario.Curve) string { return words.NoBreak(words.Rough(c.BestPeak, in, words.Metric)) }
	mark := func(c scenario.Curve) chart.Mark {
		return chart.Mark{X: inDegrees(c.BestAngle)[0], Y: c.BestPeak, Label: words.WithUnit(words.Number(inDegrees(c.BestAngle)[0], 1), "deg") + ", " + peak(c)}
	}
	group := func(name string, curve scenario.Curve) chart.Group {
		angle := inDegrees(curve.Angle...)
		g := chart.Group{Name: name, Envelope: chart.Series{Name: name, X: angle, Y: curve.Peak}, Best: mark(curve)}
		for k, part := range curve.Parts {
			g.Conditions = append(g.Conditions, chart.Series{Name: part, X: angle, Y: curve.Values[k]})
		}
		return g
	}
	before, after := peak(c.Before), peak(c.After)
	title := fmt.Sprintf("goes from %s to %s in %s", strings.TrimSuffix(before, "\u00a0BW"), after, what)
	switch same := before == after; {
	case same && equilibrium:
		title = fmt.Sprintf("uses %s of its capacity before and after", after)
	case same:
		title = fmt.Sprintf("stays at %s in %s", after, what)
	case equilibrium:
		title = fmt.Sprintf("uses %s of its capacity, then %s", before, after)
	}
	ribbonFoot := foot(r, c.People, m.Name)
	ribbonFoot.N = c.N
	low, high := math.Inf(1), 0.0
	for _, y := range []float64{c.Before.BestPeak, c.After.BestPeak} {
		if !math.IsNaN(y) {
			low, high = math.Min(low, y), math.Max(high, y)
		}
	}
	return chart.RequirementCurve{
		Title:  fmt.Sprintf("%s: the median body of %s %s", words.Capital(m.Name), words.Sexes(c.People), title),
		XLabel: "Angle of the arms with the pole (degrees)", YLabel: label,
		Before: group("before", c.Before), After: group("after: "+ChangeWords(r.Claim), c.After),
		People: &chart.Ribbon{Name: "5–95\u00a0% of people, before", X: inDegrees(c.Angle...), Low: c.Low, High: c.High},
		YMin:   0, YMax: 1.25*high + 0.75*low,
		Foot: ribbonFoot,
	}
}

// inDegrees turns angles from radians.
func inDegrees(radians ...float64) []float64 {
	degrees := make([]float64, len(radians))
	for i, x := range radians {
		degrees[i] = x * 180 / math.Pi
	}
	return degrees
}

// ChangeWords says a change in a few words.
func ChangeWords(c *claim.Claim) string {
	ch := c.Change
	var parts []string
	if ch.Hold != nil {
		parts = append(parts, ch.Hold.Name+" instead of "+c.Hold.Name)
	}
	parts = append(parts, words.BodyChangeBriefly(&ch.Body)...)
	if ch.Legs != nil {
		parts = append(parts, "legs "+ch.Legs.Form.String())
	}
	if ch.Pose != nil {
		for v, value := range *ch.Pose {
			if value != c.Pose[v] {
				parts = append(parts, words.NoBreak(words.Variant(hold.Variant(v), value)))
			}
		}
	}
	if ch.Tilt != nil {
		parts = append(parts, "tilted")
	}
	if arms := ch.Arms; arms != nil {
		switch {
		case arms.Angle != nil:
			parts = append(parts, "arms at "+words.Angle(*arms.Angle))
		case arms.Turn != nil:
			parts = append(parts, "arms "+words.AngleChange(*arms.Turn))
		default:
			parts = append(parts, words.AmountBriefly("hands", *arms.Spacing)...)
		}
	}
	for _, id := range ch.Assumed() {
		parts = append(parts, words.Plain(id.String())+" "+words.Given(ch.Assume[id]))
	}
	return strings.Join(parts, ", ")
}
