package report

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/chart"
	"counterpoise/internal/outcome"
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
// over people and, where the hold leaves a choice of how far apart the hands are, what the
// middle body of every population needs over that before and after. With a contrast: for
// every population and model the two groups over one another. A chart is left out where
// nobody it is about can take the posture. Paged makes them fit a size.
func Figures(r *outcome.Result) ([]Figure, error) {
	if r.Claim.Contrast != nil {
		return contrastFigures(r)
	}
	medians, err := mediansOf(r)
	if err != nil {
		return nil, err
	}
	var figures []Figure
	e, err := effectFigure(r, medians)
	if err != nil {
		return nil, err
	}
	if len(e.Panels) > 0 {
		figures = append(figures, Figure{"effect", e})
	}
	curve, err := requirementFigure(r, medians)
	if err == nil && len(curve.Panels) > 0 {
		figures = append(figures, Figure{"requirement", curve})
	}
	return figures, err
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

// effectZone is where a claim's effects are too small to matter. The label of its axis
// names the quantity alone.
func effectZone(c *claim.Claim) chart.Zone {
	unit, zone := zoneOf(c)
	less, more := words.Ways(c.Demand)
	label := words.PlainNoun(c.Demand) + " (" + strings.Replace(unit, "deg", "degrees", 1) + ")"
	z := chart.Zone{XLabel: label, Unit: unit, TooSmall: zone, Below: less, Above: more}
	if said := c.Claimed; said != nil && said.Share == (c.Threshold().Share > 0) && c.Expect != claim.None {
		_, factor := outcome.UnitOf(c)
		if z.Said = factor * said.Value; said.Share {
			z.Said = 100 * said.Value
		}
		if c.Expect == claim.Decrease {
			z.Said = -z.Said
		}
	}
	return z
}

// bins is how many bars a spread is drawn with.
const bins = 90

// effectFigure shows how the effect of a change is spread over people, and its median
// over the draws, a panel a model, beside the first middle body that can take the posture
// before and after. A model is left out where most of those it is about cannot.
func effectFigure(r *outcome.Result, medians []*claim.Medians) (e chart.EffectDistribution, err error) {
	zone := effectZone(r.Claim)
	zone.XLabel = "Change of " + zone.XLabel
	e = chart.EffectDistribution{
		Title: finding(r), Zone: zone, Foot: foot(r, peopleNames(r), everyModelIn(r)),
	}
	for g, m := range medians {
		if e.Bodies, err = bodiesBeforeAndAfter(r, g, m); err != nil || len(e.Bodies) > 0 {
			break
		}
	}
	var list []*outcome.ModelResult
	low, high := -1.5*zone.TooSmall, 1.5*zone.TooSmall
	for i := range r.Models {
		m := &r.Models[i]
		if m.Pooled.Draws.InUnit.P50 == nil {
			continue
		}
		if list = append(list, m); m.Verdict != claim.NoEffect {
			from, to := finiteSpan(m.Pooled.Draws)
			low, high = math.Min(low, from), math.Max(high, to)
		}
		e.Foot.N = m.Pooled.Draws.Bodies()
	}
	edge := (high - low) / bins // for people who all lie at an end
	for _, m := range list {
		name := words.Capital(m.Name) + barred(m)
		if len(list) > 1 {
			name = words.Capital(m.Name) + ": " + words.Verdict(m.Verdict).Name + barred(m)
		}
		e.Panels = append(e.Panels, effectPanel(r, m, name, low-edge, high+edge))
	}
	return e, err
}

// effectPanel shows how people differ under one model and where the draws have their
// medians.
func effectPanel(r *outcome.Result, m *outcome.ModelResult, name string, low, high float64) chart.EffectPanel {
	p, d, size := chart.EffectPanel{Model: name}, m.Pooled.Draws, sizesOf(r.Claim, m.Model.Statics)
	if m.Verdict == claim.NoEffect {
		p.DrawsSay = "every body: no change"
		return p
	}
	p.P5, p.P95 = d.PeopleAt(0.05), d.PeopleAt(0.95)
	p.PeopleSay = words.NoBreak("people differ, nine in ten: " + size.between(p.P5, p.P95))
	p.Spread, p.Middle = spreadOf(r, d, &size, hardlyChanges), "middle: "+size.compared(*d.InUnit.P50)
	p.Shares, p.Edges = d.PeopleBins(low, high, bins), make([]float64, bins+1)
	for k := range p.Edges {
		p.Edges[k] = low + float64(float64(k)/bins*(high-low))
	}
	return p
}

// spreadOf is what the draws say.
func spreadOf(r *outcome.Result, d *outcome.Draws, size *sizes, hardly string) chart.Spread {
	p := chart.Spread{Draws: d.Medians(), Median: d.MedianAt(0.5), Low: d.MedianAt(0.05), High: d.MedianAt(0.95)}
	if p.Of, p.DrawsSay = "what nobody has measured", words.NoBreak(size.between(p.Low, p.High)); r.Central {
		p.Of, p.DrawsSay = "", words.NoBreak("the middle: "+size.about(d.InUnit, hardly))
	}
	return p
}

// barred says, behind a model's name, for how many of the people the change decides whether
// they can hold it.
func barred(m *outcome.ModelResult) string {
	note := ""
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
	return words.NoBreak(note)
}

// everyModelIn names the models for the foot of a chart.
func everyModelIn(r *outcome.Result) string {
	if len(r.Models) == 1 {
		return r.Models[0].Name
	}
	return "as named in each panel"
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
