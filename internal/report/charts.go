package report

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/chart"
	"counterpoise/internal/outcome"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
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
func Figures(r *outcome.Result) ([]Figure, error) {
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
			curves, err := claim.CurvesOf(r.Claim, g, m, r.Typical(m, g), r.Seed)
			if err != nil {
				return nil, err
			}
			if math.IsNaN(curves.Before.BestPeak) || math.IsNaN(curves.After.BestPeak) {
				continue // there is nothing to mark
			}
			name := "requirement-" + fileName(r.Models[m].Name) + "-" + r.Claim.People[g].Population
			figures = append(figures, Figure{name, requirementFigure(r, &r.Models[m], g, curves)})
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
	drawn := slices.DeleteFunc(slices.Clone(r.Claim.People), func(p scenario.Group) bool { return !slices.Contains(names, p.Population) })
	for i, name := range names {
		sexes[i] = words.Sexes(name)
	}
	people = strings.Join(sexes, " and ")
	for _, p := range r.Claim.People {
		if p.Own != nil && slices.Contains(names, p.Population) {
			people += ", " + written(p.Own.Title, p.Population) + " resampled"
			from = "what was not measured on them drawn"
		}
	}
	for _, where := range r.Claim.Where {
		people += ", " + words.Where(where)
	}
	for _, mean := range r.Claim.Targets {
		people += ", " + mean.String()
	}
	return chart.Foot{
		People: people, N: bodiesBehind(r), Model: model, Assumptions: footAssumptions(r),
		Source: "counterpoise; " + from + " from " + words.Credits(surveysOf(drawn)) + ". " + Validation(r.Claim),
	}
}

// surveysOf names the embedded populations that groups of people are, or are completed from.
func surveysOf(people []scenario.Group) []string {
	names := make([]string, len(people))
	for i, p := range people {
		if names[i] = p.Population; p.Own != nil {
			names[i] = surveyOf(p.Own)
		}
	}
	return names
}

// surveyOf is surveysOf of one population.
func surveyOf(p *anthro.Population) string {
	if words.SurveyOf(p.Name) != nil {
		return p.Name
	}
	return p.Survey().Name
}

// bodiesBehind is how many people stand behind the draws of a result, under the model with
// the fewest.
func bodiesBehind(r *outcome.Result) int {
	n := map[string]int{}
	for i := range r.Contrast {
		n[r.Contrast[i].Model] += r.Contrast[i].Draws.Bodies()
	}
	for i := range r.Models {
		if r.Claim.Contrast == nil {
			n[r.Models[i].Name] = r.Models[i].Pooled.Draws.Bodies()
		}
	}
	return slices.Min(slices.Collect(maps.Values(n)))
}

// footAssumptions says how often the assumptions were drawn, and whether around others
// than the defaults.
func footAssumptions(r *outcome.Result) string {
	text, others := "defaults", ""
	for _, a := range assume.All() {
		if r.Claim.Assumed().Centre[a.ID] != a.Default {
			text, others = "as set on the command line", ", as set on the command line"
		}
	}
	if r.Drawn() {
		return words.NoBreak(fmt.Sprintf("drawn %s times", words.Count(r.Draws))) + others
	}
	return text
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

// A spreading is an effect under one model, of all people of a change or in one
// population of a contrast.
type spreading struct {
	model   string
	statics hold.Model
	verdict claim.Verdict
	draws   *outcome.Draws
	groups  []outcome.Outcome // the populations that the verdict joins
	note    string            // behind the model's name
}

// panel shows how people, or pairs, differ and where the draws have their medians.
func (s *spreading) panel(low, high float64) chart.EffectPanel {
	p, d := chart.EffectPanel{Model: words.Capital(s.model)}, s.draws
	if s.verdict == claim.NoEffect {
		return p
	}
	p.Says = words.Capital(words.NoBreak(s.drawsSay()))
	p.P5, p.P95 = d.PeopleAt(0.05), d.PeopleAt(0.95)
	p.Low, p.Median, p.High, p.Draws = d.MedianAt(0.05), d.MedianAt(0.5), d.MedianAt(0.95), d.Medians()
	p.Shares, p.Edges = d.PeopleBins(low, high, bins), make([]float64, bins+1)
	for k := range p.Edges {
		p.Edges[k] = low + float64(k)/bins*(high-low)
	}
	return p
}

// drawsSay says how many draws stand behind a verdict or, where they do not agree, what
// they say: of the population in which they agree least. Where it depends on the body
// it says for how many.
func (s *spreading) drawsSay() string {
	if s.verdict == claim.DependsOnBody {
		var parts []string
		for _, g := range s.groups {
			parts = append(parts, fmt.Sprintf("%s: %s, as claimed for %s of them", words.Sexes(g.People), words.Verdict(g.Verdict).Short, words.Share(val(g.Draws.AsClaimed.P50))))
		}
		return strings.Join(parts, "; ")
	}
	d, of := s.draws, ""
	for _, g := range s.groups {
		if len(s.groups) > 1 && (of == "" || g.Draws.Agreement.Value < d.Agreement.Value) {
			d, of = g.Draws, words.Sexes(g.People)+": "
		}
	}
	if s.verdict.Settled() && s.verdict != claim.SizeOpen {
		return fmt.Sprintf("%s of %s draws agree", words.Share(d.Agreement.Value), words.Count(d.N))
	}
	return fmt.Sprintf("%sof %s draws %s", of, words.Count(d.N), verdictCounts(d))
}

// EffectFigure shows how the effect of a change is spread over people, and its median
// over the draws, a panel a model.
func EffectFigure(r *outcome.Result) chart.EffectDistribution {
	var list []spreading
	for i := range r.Models {
		m, note := &r.Models[i], ""
		for _, part := range []struct {
			bodies int64 // at the central assumptions
			share  float64
			text   string
		}{
			{m.Pooled.BecameImpossible, 1 - m.Pooled.Draws.PeopleBelow(math.MaxFloat64), "no longer"},
			{m.Pooled.BecamePossible, m.Pooled.Draws.PeopleBelow(-math.MaxFloat64), "only now"},
		} {
			if part.bodies > 0 && part.share > 1e-9 { // not rounding
				note += fmt.Sprintf("; %s can hold it %s", words.Share(part.share), part.text)
			}
		}
		list = append(list, spreading{m.Name, m.Model.Statics, m.Verdict, m.Pooled.Draws, m.Groups, words.NoBreak(note)})
	}
	return distribution(r, quoted(r.Claim), "Change of ", peopleNames(r), "people", list)
}

// contrastFigure shows how the differences between a person of the top group and one of
// the bottom group spread in one population, and that of the groups' medians over the
// draws.
func contrastFigure(r *outcome.Result, people string) chart.EffectDistribution {
	var list []spreading
	for i := range r.Contrast {
		if d := &r.Contrast[i]; d.People == people {
			list = append(list, spreading{model: d.Model, statics: modelOf(r, d.Model), verdict: d.Verdict, draws: d.Draws})
		}
	}
	title := quoted(r.Claim)
	if r.Claim.Contrast.Sexes {
		people = peopleNames(r)
	} else {
		title += ", " + words.Sexes(people)
	}
	return distribution(r, title, "Difference of ", people, "pairs of people", list)
}

// distribution is a figure of effects; of says what they are of. One model's verdict
// stands in the title with what the draws say of the size, several at the panels. A
// model is left out where most of those it is about cannot take the posture.
func distribution(r *outcome.Result, title, of, people, spread string, list []spreading) chart.EffectDistribution {
	unit, zone := zoneOf(r.Claim)
	below, above := words.Ways(r.Claim.Demand)
	e := chart.EffectDistribution{
		XLabel: of + words.PlainNoun(r.Claim.Demand) + " (" + strings.Replace(unit, "deg", "degrees", 1) + ")", Unit: unit, People: spread,
		TooSmall: zone, Below: below, Above: above, Central: r.Central, Foot: foot(r, people, "as named in each panel"),
	}
	list = slices.DeleteFunc(list, func(s spreading) bool { return s.draws.InUnit.P50 == nil })
	if len(list) == 0 {
		return e
	}
	low, high := -1.5*zone, 1.5*zone
	for i := range list {
		if s := &list[i]; s.verdict != claim.NoEffect {
			from, to := finiteSpan(s.draws)
			low, high = math.Min(low, from), math.Max(high, to)
		}
		e.Foot.N = list[i].draws.Bodies()
	}
	edge := (high - low) / bins // for people who all lie at an end
	for i := range list {
		s := &list[i]
		p := s.panel(low-edge, high+edge)
		if len(list) > 1 {
			p.Model += ": " + words.Verdict(s.verdict).Name
		}
		p.Model += s.note
		if r.Central {
			p.Says = "" // the title says it
		}
		e.Panels = append(e.Panels, p)
	}
	if first := &list[0]; len(list) == 1 {
		title += ": " + words.Verdict(first.verdict).Name
		if first.verdict != claim.NoEffect {
			title += "; median " + sizesOf(r.Claim, first.statics).signed(*first.draws.InUnit.P50)
		}
	} else if r.Claim.Contrast == nil {
		title += ": " + words.Verdict(r.Verdict).Name
	}
	e.Title = words.NoBreak(title + CentralAlone(r))
	return e
}

// finiteSpan is where nearly all people are of whom an effect can be drawn.
func finiteSpan(d *outcome.Draws) (low, high float64) {
	at := func(percent, step int) float64 {
		for ; percent > 0 && percent < 100; percent += step {
			if x := d.PeopleAt(float64(percent) / 100); !math.IsInf(x, 0) && !math.IsNaN(x) {
				return x
			}
		}
		return 0
	}
	return at(1, 1), at(99, -1)
}

func peopleNames(r *outcome.Result) string {
	var names []string
	for _, p := range r.Claim.People {
		names = append(names, p.Population)
	}
	return strings.Join(names, " and ")
}

// requirementFigure shows what the median body of one population needs over the
// arm angle, before and after, in a typical draw; where that is what is
// claimed about, with the spread over all of them.
func requirementFigure(r *outcome.Result, m *outcome.ModelResult, group int, c *claim.Curves) chart.RequirementCurve {
	equilibrium := m.Model.Statics == hold.Equilibrium
	label, in, what := "Force along each arm (BW)", units.BodyWeights, "force"
	if equilibrium {
		label, in, what = "Share of capacity used", units.Number, "share of capacity"
	}
	peak := func(c scenario.Curve) string { return words.NoBreak(words.Rough(c.BestPeak, in, words.Metric)) }
	draws := m.Groups[group].Draws
	asked := r.Claim.Demand == hold.Difficulty && equilibrium || r.Claim.Demand == hold.RequiredForce && !equilibrium
	if asked && !r.Central {
		label += "; in brackets 5–95\u00a0% over what nobody has measured"
	}
	curveOf := func(name string, curve scenario.Curve, over outcome.Summary) chart.Group {
		angle, best := inDegrees(curve.Angle...), inDegrees(curve.BestAngle)[0]
		g := chart.Group{Name: name, Envelope: chart.Series{Name: name, X: angle, Y: curve.Peak}}
		g.Best = chart.Mark{X: best, Y: curve.BestPeak, Label: words.WithUnit(words.Number(best, 1), "deg") + ", " + peak(curve)}
		if low, high := val(over.P5), val(over.P95); asked && low <= high && !r.Central {
			g.Best.Label += words.NoBreak(fmt.Sprintf(" (%s to %s)", words.Number(low, 2), words.Number(high, 2)))
			g.Best.Low, g.Best.High = low, high
		}
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
	ribbonFoot.N, ribbonFoot.Assumptions = c.N, "of a typical draw"
	low, high := math.Inf(1), 0.0
	for _, y := range []float64{c.Before.BestPeak, c.After.BestPeak} {
		if !math.IsNaN(y) {
			low, high = math.Min(low, y), math.Max(high, y)
		}
	}
	return chart.RequirementCurve{
		Title:  fmt.Sprintf("%s: the median body of %s %s", words.Capital(m.Name), words.Sexes(c.People), title),
		XLabel: "Angle of the arms with the pole (degrees)", YLabel: label,
		Before: curveOf("before", c.Before, draws.Before), After: curveOf("after: "+ChangeWords(r.Claim), c.After, draws.After),
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
	parts = appendSaid(parts, strings.ReplaceAll(words.LoadChange(c.Load, c.LoadAfter()), " kg", "\u00a0kg"))
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
		parts = append(parts, words.Plain(id.String())+" "+words.Assumption(id, ch.Assume[id]))
	}
	return strings.Join(parts, ", ")
}
