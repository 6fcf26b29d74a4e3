// Package drawn makes the charts of claims.
package drawn

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"

	"counterpoise/internal/app/claim/said"
	"counterpoise/internal/bodies"
	"counterpoise/internal/chart"
	"counterpoise/internal/chart/curves"
	"counterpoise/internal/draw"
	"counterpoise/internal/freebody"
	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/linear"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"
)

// Figures returns the charts of a claim. With a change: the spread of the effect
// over people and, where the hold leaves a choice of how far apart the hands are, what the
// middle body of every population needs over that before and after. With a contrast: for
// every population and model the two groups over one another. A chart is left out where
// nobody it is about can take the posture. Paged makes them fit a size.
func Figures(r *outcome.Result) ([]draw.Named, error) {
	if r.Claim.Contrast != nil {
		return contrastFigures(r)
	}
	medians, err := mediansOf(r)
	if err != nil {
		return nil, err
	}
	var figures []draw.Named
	e, err := effectFigure(r, medians)
	if err != nil {
		return nil, err
	}
	if len(e.Panels) > 0 {
		figures = append(figures, draw.Named{Name: "effect", Figure: e})
	}
	curve, err := requirementFigure(r, medians)
	if err == nil && len(curve.Panels) > 0 {
		figures = append(figures, draw.Named{Name: "requirement", Figure: curve})
	}
	return figures, err
}

func foot(r *outcome.Result, people, model string) draw.Foot {
	from, populations := "bodies drawn", strings.Split(people, " and ")
	drawn := slices.DeleteFunc(slices.Clone(r.Claim.People), func(p scenario.Group) bool { return !slices.Contains(populations, p.Population) })
	people = strings.Join(names.Each(populations, words.Sexes), " and ")
	for _, p := range r.Claim.People {
		if p.Own != nil && slices.Contains(populations, p.Population) {
			people += ", " + written(p.Own.Title, p.Population) + " resampled"
			from = "what was not measured on them drawn"
		}
	}
	people = strings.Join(slices.Concat([]string{people}, names.Each(r.Claim.Where, words.Where), names.Of(r.Claim.Targets)), ", ")
	return draw.Foot{
		People: people, N: bodiesBehind(r), Model: model, Assumptions: footAssumptions(r),
		Source: provenance.Credit() + "; " + from + " from " + words.Credits(words.SurveyNames(drawn)) + ". " + said.Validation(r.Claim),
	}
}

// bodiesBehind is how many people stand behind the draws of a result, under the model with
// the fewest.
func bodiesBehind(r *outcome.Result) int {
	n := map[string]int{}
	for i := range r.Contrast {
		n[r.Contrast[i].Model] += r.Contrast[i].Draws.Bodies
	}
	for i := range r.Models {
		if r.Claim.Contrast == nil {
			n[r.Models[i].Name] = r.Models[i].Pooled.Draws.Bodies
		}
	}
	return slices.Min(slices.Collect(maps.Values(n)))
}

// footAssumptions says how often the assumptions were drawn, and whether around others
// than the defaults.
func footAssumptions(r *outcome.Result) string {
	text, others := "usual values", ""
	for _, a := range assume.All() {
		if r.Claim.Assumed().Centre[a.ID] != a.Default {
			text, others = "as set on the command line", ", as set on the command line"
		}
	}
	if r.Drawn {
		return "what nobody has measured, drawn " + words.Count(r.Draws) + "\u00a0times" + others
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
	if draw.Writable(text) {
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
	if of := c.Claimed; of != nil && of.Share == (c.Threshold().Share > 0) && c.Expect != claim.None {
		z.Said, z.SaidFrom, z.SaidTo = said.CountsAsSaid(c)
		if c.Expect == claim.Decrease {
			z.Said, z.SaidFrom, z.SaidTo = -z.Said, -z.SaidTo, -z.SaidFrom
		}
		z.Counts = words.Together(words.English.Say(words.PhraseSaid, words.Promised(c), words.Counted(c)))
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
		Title: strings.ReplaceAll(said.Finding(r), "not settled", "not\u00a0settled"), Zone: zone, Foot: foot(r, peopleNames(r), everyModelIn(r)),
	}
	e.Foot.Saying = quoted(r.Claim)
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
		e.Foot.N = m.Pooled.Draws.Bodies
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
	p, d, size := chart.EffectPanel{Model: name}, m.Pooled.Draws, said.SizesOf(r.Claim, m.Model.Statics)
	if m.Verdict == claim.NoEffect {
		p.DrawsSay = "every body: no change"
		return p
	}
	p.People = humpsOf(m, &size, words.English)
	for k := range p.People {
		if h := &p.People[k]; h.Name != "" {
			h.Says = words.Capital(h.Says)
		}
	}
	p.Spread, p.Middle = spreadOf(r, d, &size, said.HardlyChanges), "middle: "+size.Compared(*d.InUnit.P50)
	if len(m.Groups) > 1 && !r.Central && !slices.ContainsFunc(m.Groups, func(g outcome.Outcome) bool { return g.Draws.InUnit.P50 == nil }) {
		for k, g := range m.Groups {
			each := spreadOf(r, g.Draws, &size, said.HardlyChanges)
			each.Whose = said.MiddleOf(r, k)
			p.Each = append(p.Each, each)
		}
		if p.ByEach = said.Each(r) != nil; p.ByEach {
			p.Middle = ""
		}
	}
	p.Shares, p.Edges = peopleIn(r, m, low, high, len(p.People) > 1), make([]float64, bins+1)
	for k := range p.Edges {
		p.Edges[k] = low + float64(float64(k)/bins*(high-low))
	}
	return p
}

// peopleIn is how people spread over equal bins: as in the middle draw of all, or, where some lie
// apart from others, as in that of each. Draws that put men above women and such that put them below
// have a middle that is neither men's nor women's.
func peopleIn(r *outcome.Result, m *outcome.ModelResult, low, high float64, apart bool) []float64 {
	if !apart {
		return m.Pooled.Draws.PeopleBins(low, high, bins)
	}
	shares, all := make([]float64, bins), 0.0
	for g := range m.Groups {
		o := &m.Groups[g]
		counts := r.Claim.People[g].Weight * float64(o.N) / float64(o.N+o.Excluded)
		all += counts
		for k, share := range o.Draws.PeopleBins(low, high, bins) {
			shares[k] += float64(counts * share)
		}
	}
	for k := range shares {
		shares[k] /= all
	}
	return shares
}

// humpsOf says where nine in ten of a model's people are: of all, or of each where at most a quarter
// of some lie among at most a quarter of others, so that few are where the middle of all is.
func humpsOf(m *outcome.ModelResult, size *said.ClaimSizes, l words.Language) (humps []chart.Hump) {
	add := func(name string, d *outcome.Draws, phrase words.Phrase, who ...string) {
		h := chart.Hump{Name: name, Range: chart.Range{Low: d.PeopleAt(0.05), Middle: d.PeopleAt(0.5), High: d.PeopleAt(0.95)}}
		h.Briefly = words.Together(l.Effect(size.Between(h.Low, h.High)))
		h.Says = words.Together(l.Say(phrase, append(who, h.Briefly)...))
		humps = append(humps, h)
	}
	sorted := slices.SortedFunc(slices.Values(m.Groups), func(a, b outcome.Outcome) int {
		return cmp.Compare(a.Draws.PeopleAt(0.5), b.Draws.PeopleAt(0.5))
	})
	apart := len(sorted) > 1
	for i := 1; i < len(sorted); i++ {
		apart = apart && sorted[i-1].Draws.PeopleAt(0.75) < sorted[i].Draws.PeopleAt(0.25)
	}
	if !apart {
		add("", m.Pooled.Draws, words.PhrasePeople)
		return humps
	}
	for _, g := range sorted {
		name := l.Sexes(g.People)
		add(name, g.Draws, words.PhraseOfPeople, name)
	}
	return humps
}

// spreadOf is what the draws say.
func spreadOf(r *outcome.Result, d *outcome.Draws, size *said.ClaimSizes, hardly string) chart.Spread {
	p := chart.Spread{Draws: d.Medians(), Median: d.MedianAt(0.5), Low: d.MedianAt(0.05), High: d.MedianAt(0.95)}
	if p.Of, p.DrawsSay = "by what nobody has measured", words.Together(size.Between(p.Low, p.High)); r.Central {
		p.Of, p.DrawsSay = "", words.NoBreak("the middle: "+size.About(d.InUnit, hardly))
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
	return strings.Join(names.Each(r.Claim.People, func(g scenario.Group) string { return g.Population }), " and ")
}

// contrastFigures lay the two groups of a contrast over one another, for every population
// and model in which they can be compared.
func contrastFigures(r *outcome.Result) (figures []draw.Named, err error) {
	for i := range r.Contrast {
		d := &r.Contrast[i]
		if d.Draws.InUnit.P50 == nil {
			continue
		}
		name := "difference-" + d.People
		model := slices.IndexFunc(r.Models, func(m outcome.ModelResult) bool { return m.Name == d.Model })
		if model > 0 {
			name += "-" + draw.FileName(d.Model)
		}
		f, err := contrastFigure(r, d, model)
		if err != nil {
			return nil, err
		}
		figures = append(figures, draw.Named{Name: name, Figure: f})
	}
	return figures, nil
}

func contrastFigure(r *outcome.Result, d *outcome.ContrastResult, model int) (f chart.Contrast, err error) {
	c := r.Claim
	population := 0 // that of a sex against another counts as the first
	if !c.Contrast.Sexes {
		population = max(0, slices.IndexFunc(c.People, func(p scenario.Group) bool { return p.Population == d.People }))
	}
	groups, err := claim.GroupsOf(c, population, model, r.Typical(model, population), r.Seed)
	if err != nil {
		return f, err
	}
	statics := r.Models[model].Model.Statics
	size, axis := said.SizesOf(c, statics), axisOf(c.Demand, statics, c.People)
	if c.Demand == hold.Difficulty { // everybody's own, see claim.Groups
		axis.label = "Times own strength, if untrained"
	}
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
		Label: axis.label, Zone: effectZone(c), Spread: spreadOf(r, d.Draws, &size, said.HardlyDiffer),
		Foot: foot(r, people, d.Model),
	}
	f.Foot.N, f.Foot.Saying = d.Draws.Bodies, quoted(c)
	f.XLabel = "Difference of " + f.XLabel
	f.PairsSay, _, f.Pairs = said.Pairs(c, d.Draws)
	pairs, _, _ := strings.Cut(f.PairsSay, " it is")
	answer, behind, _ := words.Finding(d.Verdict, c.Expect)
	top, bottom := words.Contrasted(c.Contrast)
	if most, _ := c.Contrast.By.Superlatives(); most != "" && !c.Contrast.Sexes && !c.Contrast.Stated() {
		share := " " + said.ShareOf(c.Contrast)
		top, bottom = top+share, bottom+share
	}
	apart := ""
	if e := d.Draws.InUnit; e.P5 != nil && e.P95 != nil && d.Verdict != claim.NoEffect {
		if apart = size.Between(*e.P5, *e.P95) + " for " + top + " than for " + bottom; !size.Hard {
			apart = words.Label(c.Demand) + " " + apart
		}
	}
	if apart == "" {
		pairs = ""
	}
	parts := slices.DeleteFunc([]string{answer, apart, pairs, behind}, func(part string) bool { return part == "" })
	f.Title = words.Together(words.Capital(strings.TrimPrefix(said.Held(c), "the ")) + who + ": " + strings.Join(parts, ", ") + said.CentralAlone(r))
	f.Bottom, f.Top = chart.ContrastGroup{Name: bottom}, chart.ContrastGroup{Name: top}
	f.X = densityGrid(axis.scale, &groups.Bottom, &groups.Top)
	_, _, factor := outcome.Shown(c.Demand.Unit)
	for _, g := range []struct {
		shown *chart.ContrastGroup
		of    *claim.Members
		told  *float64
		also  string
	}{{&f.Bottom, &groups.Bottom, d.Draws.Before.P50, ""}, {&f.Top, &groups.Top, d.Draws.After.P50, alsoHeld(c, groups)}} {
		g.shown.Density = densityOf(f.X, axis.scale, g.of)
		g.shown.Median = axis.scale * g.of.At(0.5)
		if g.told != nil { // what files and pages tell, of all draws
			g.shown.Median = axis.scale / factor * *g.told
		}
		g.shown.Says = words.NoBreak(g.shown.Name + ": " + axis.write(g.shown.Median))
		if math.IsInf(g.shown.Median, 0) {
			g.shown.Median = f.X[len(f.X)-1]
		}
		if held := g.of.Held; held != nil {
			s, err := freebody.SilhouetteOf(held, c.Hold, g.shown.Name+": "+sizeOf(held.Body)+g.also)
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

// alsoHeld says how much more or less the middle one of the top group weighs, where that is not
// what the groups are made by: people are compared as they are.
func alsoHeld(c *claim.Claim, groups *claim.Groups) string {
	bottom, top := groups.Bottom.Held, groups.Top.Held
	if bottom == nil || top == nil || !c.Contrast.Sexes && c.Contrast.By == anthro.Of(anthro.Mass) {
		return ""
	}
	more := top.Body.Mass[0] - bottom.Body.Mass[0]
	told := words.Rough(math.Abs(more), units.Mass, words.Metric)
	switch least := 0.02 * bottom.Body.Mass[0]; { // less is no news
	case more > least:
		return words.NoBreak(", " + told + " more to hold")
	case more < -least:
		return words.NoBreak(", " + told + " less to hold")
	}
	return ""
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
		density[i] /= people * width * math.Sqrt(2*math.Pi) // so that each group has its area
	}
	return density
}

// mostAssumed is in how many draws a middle body looks for the typical one.
const mostAssumed = 512

// mediansOf holds up the middle body of every population of a claim before and after its
// change, in a typical draw under the first model.
func mediansOf(r *outcome.Result) ([]*claim.Medians, error) {
	list := make([]*claim.Medians, len(r.Claim.People))
	for g := range list {
		var err error
		if list[g], err = r.MediansOf(g, 0, mostAssumed); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// average names the average body of a population, with its size, and the same person once more.
func average(of scenario.Group, b *body.Columns) (average, same string, err error) {
	p, err := of.Load()
	if err != nil {
		return "", "", err
	}
	average, same = words.English.Average(words.UntrainedOf(p))
	return words.NoBreak(average + ", " + sizeOf(b)), same, nil
}

func sizeOf(b *body.Columns) string {
	return words.Rough(b.Stature[0], units.Length, words.Metric) + ", " + words.Rough(b.Mass[0], units.Mass, words.Metric)
}

// bodiesBeforeAndAfter are the silhouettes of a middle body; none where it cannot take the
// posture before or after.
func bodiesBeforeAndAfter(r *outcome.Result, g int, m *claim.Medians) ([]bodies.Silhouette, error) {
	if m.Before.Held == nil || m.After.Held == nil {
		return nil, nil
	}
	c := r.Claim
	who, same, err := average(c.People[g], m.Before.Held.Body)
	if err != nil {
		return nil, err
	}
	next := c.Hold
	if c.Change.Hold != nil {
		next = c.Change.Hold
	}
	changed, was, instead := strings.Cut(said.ChangeSentence(c), " instead of ")
	switch {
	case c.Change.Hold != nil:
		changed, who = strings.TrimSuffix(changed, ","), who+", "+strings.TrimPrefix(was, "the ")
	case instead:
		if at := strings.IndexFunc(changed, unicode.IsDigit); at >= 0 && unicode.IsDigit(rune(was[0])) {
			was = changed[:at] + was // what it is that was another number
		}
		who += ", " + was
	}
	if a, b := m.Before.Curve, m.After.Curve; a != nil && b != nil { // which draw they are of decides
		apart := func(k *claim.Curve) string {
			return words.NoBreak(", hands " + words.Rough(k.BestSpacing, units.Length, words.Metric) + " apart")
		}
		who, changed = who+apart(a), changed+apart(b)
	}
	before, err := freebody.SilhouetteOf(m.Before.Held, c.Hold, who)
	if err != nil {
		return nil, err
	}
	after, err := freebody.SilhouetteOf(m.After.Held, next, same+", "+changed)
	return []bodies.Silhouette{before, after}, err
}

// requirementFigure shows what the middle body of every population needs over how far
// apart its hands are, before and after, in a typical draw.
func requirementFigure(r *outcome.Result, medians []*claim.Medians) (f curves.RequirementCurve, err error) {
	c, m := r.Claim, &r.Models[0]
	var people []string
	var least []string  // where a curve is lowest, where that is before the hands are there
	var moves []float64 // metres
	for g, of := range medians {
		if of.Before.Curve == nil || of.After.Curve == nil || len(of.Before.Curve.Spacing) < 2 || len(of.After.Curve.Spacing) < 2 {
			continue
		}
		weight := of.Before.Held.Body.Mass[0]
		axis := axisOf(of.Of, m.Model.Statics, c.People)
		f.YLabel = axis.label
		panel := curves.RequirementPanel{}
		if panel.Name, _, err = average(c.People[g], of.Before.Held.Body); err != nil {
			return f, err
		}
		panel.Name = words.Capital(panel.Name)
		scale := func(x float64) float64 {
			if axis.weights {
				return x * weight
			}
			return x
		}
		group := func(name string, k *claim.Curve) curves.Group {
			line := curves.Group{Name: name, Best: curves.Mark{X: 100 * k.BestSpacing, Y: scale(k.Best)}}
			line.Low, line.High = 100*montecarlo.Quantile(k.Spacings, 0.05), 100*montecarlo.Quantile(k.Spacings, 0.95)
			if math.Round(line.Low) < math.Round(line.High) {
				rough := func(cm float64) string { return words.Rough(cm/100, units.Length, words.Metric) }
				line.Between = words.OneLine(words.Interval(rough(line.Low), rough(line.High)))
			} else {
				line.Low, line.High = 0, 0 // set, or not known
			}
			line.Best.Label = words.NoBreak("hands " + words.Rough(k.BestSpacing, units.Length, words.Metric) + " apart")
			if name == "before" && of.Of != hold.Difficulty && slices.Min(k.Demand) < 0.995*k.Best {
				name += ", where the hold is easiest" // which is not where it asks least
			}
			line.Says, line.At = name+": "+axis.write(scale(k.Best)), words.OneLine(words.Rough(k.BestSpacing, units.Length, words.Metric))
			for i, x := range k.Spacing {
				if n := len(line.X); n == 0 || 100*x > line.X[n-1] {
					line.X, line.Y = append(line.X, 100*x), append(line.Y, scale(k.Demand[i]))
				}
			}
			return line
		}
		panel.Before, panel.After = group("before", of.Before.Curve), group("after", of.After.Curve)
		if k := of.Before.Curve; of.Of != hold.Difficulty && slices.Equal(panel.Before.Y, panel.After.Y) {
			if i := floats.MinIdx(k.Demand); k.Demand[i] < 0.985*math.Min(k.Best, of.After.Curve.Best) {
				y := scale(k.Demand[i])
				if k.Spacing[i] < of.After.Curve.BestSpacing {
					least = append(least, words.Rough(k.Spacing[i], units.Length, words.Metric)+" ("+words.Sexes(c.People[g].Population)+")")
				}
				panel.Least = curves.Mark{X: 100 * k.Spacing[i], Y: y, Label: words.NoBreak("Least, at the open dot: " + axis.write(y) + " with hands " + words.Rough(k.Spacing[i], units.Length, words.Metric) + " apart")}
			}
		}
		if panel.Bodies, err = bodiesBeforeAndAfter(r, g, of); err != nil {
			return f, err
		}
		panel.Bodies[0].Caption, panel.Bodies[1].Caption = "", "" // their lines are named
		if d := m.Groups[g].Draws; len(medians) > 1 && !r.Central && of.Of == c.Demand && m.Verdict != claim.NoEffect && d.InUnit.P5 != nil && d.InUnit.P95 != nil {
			size := said.SizesOf(c, m.Model.Statics)
			panel.Open = words.Together(words.Capital(words.Sexes(c.People[g].Population)) + ", by what nobody has measured: " + size.Between(*d.InUnit.P5, *d.InUnit.P95))
		}
		f.Panels = append(f.Panels, panel)
		name := words.Sexes(c.People[g].Population)
		people = append(people, name)
		moves = append(moves, rounded(of.After.Curve.BestSpacing)-rounded(of.Before.Curve.BestSpacing))
	}
	if len(f.Panels) == 0 {
		return f, nil
	}
	moved := handsGo(moves, people)
	switch {
	case len(least) == len(people):
		moved = words.Label(medians[0].Of) + " least before that, at " + words.And(least)
	case c.Change.Arms != nil && c.Change.Hold == nil: // it was the hands that were moved
		moved = strings.TrimPrefix(moved, "hands ")
	default:
		moved = "easiest with the " + moved
	}
	f.Title = words.Together(said.Titled(r) + ": " + moved)
	size := said.SizesOf(c, m.Model.Statics)
	answer := ""
	if !m.Verdict.Settled() && said.Apart(r) == nil {
		answer, _, _ = words.Finding(m.Verdict, c.Expect)
		if way := words.Label(c.Demand); m.Verdict == claim.OpenAssumptions && c.Expect != claim.None {
			if answer += " whether "; !size.Hard {
				answer += way + " "
			}
			less, more := words.Ways(c.Demand)
			answer += map[bool]string{true: more, false: less}[c.Expect == claim.Increase]
		}
	}
	if d := m.Pooled.Draws; len(medians) == 1 && d.InUnit.P5 != nil && d.InUnit.P95 != nil {
		if answer = "could be " + size.Between(*d.InUnit.P5, *d.InUnit.P95); !size.Hard {
			answer = words.Label(c.Demand) + " " + answer
		}
	}
	if medians[0].Of == c.Demand && m.Verdict != claim.NoEffect && answer != "" {
		f.Title = words.Together(f.Title + "; " + answer)
	}
	f.XLabel = "Centimetres between the hands"
	f.Foot = foot(r, peopleNames(r), m.Name)
	f.Foot.Saying = quoted(r.Claim)
	if f.Foot.People, f.Foot.Assumptions = "the average bodies of "+words.And(people), "a typical draw of what nobody has measured"; f.Open() {
		f.Foot.Assumptions += "; bars: where the hands are in 9 of 10 draws"
	}
	return f, nil
}

// rounded is a length to the centimetre, as labels have it, so that titles agree with them.
func rounded(metres float64) float64 { return math.Round(100*metres) / 100 }

// handsGo says how much farther apart or closer the hands of several people go.
func handsGo(metres []float64, people []string) string {
	by := func(x float64) string { return words.Rough(math.Abs(x), units.Length, words.Metric) }
	way := func(x float64) string { return words.Way(x, "further apart", "closer together") }
	low, high := slices.Min(metres), slices.Max(metres)
	switch {
	case low == 0 && high == 0:
		return "hands where they were"
	case by(low) == by(high) && low*high > 0:
		return "hands " + by(low) + " " + way(low)
	}
	alike, parts := low*high >= 0, make([]string, len(metres))
	for i, x := range metres {
		if parts[i] = by(x); !alike {
			parts[i] += " " + way(x)
		}
		parts[i] += " (" + people[i] + ")"
	}
	if alike {
		return "hands " + words.And(parts) + " " + way(low+high)
	}
	return "hands " + words.And(parts)
}

// A demandAxis is an axis of what a hold asks of a body.
type demandAxis struct {
	label   string
	weights bool    // in kilograms, of a body whose mass is known
	scale   float64 // from the library's unit, but for weights
	write   func(float64) string
}

// axisOf is how a demand of bodies is drawn.
func axisOf(d hold.Demand, m hold.Model, people []scenario.Group) demandAxis {
	w := words.DemandOf(d, m)
	if d == hold.Difficulty {
		return demandAxis{label: "Times the strength of an untrained " + untrainedAmong(people), scale: 1, write: func(x float64) string { return words.OneLine(words.Times(x) + " times") }}
	}
	noun := words.Capital(strings.TrimPrefix(words.PlainNoun(d), "the "))
	_, _, factor := outcome.Shown(d.Unit)
	switch d.Unit {
	case "BW":
		return demandAxis{label: noun + " (kg)", weights: true, scale: 1, write: func(kg float64) string {
			return words.NoBreak(words.WithUnit(words.Number(kg, 0), "kg"))
		}}
	}
	return demandAxis{label: noun + " (" + w.Unit + ")", scale: factor * w.Scale, write: func(x float64) string { return words.OneLine(w.Number(x / w.Scale)) }}
}

// untrainedAmong is what those of several populations are.
func untrainedAmong(people []scenario.Group) string {
	var list []*anthro.Population
	for _, g := range people {
		p, _ := g.Load() // a claim that was tested has people
		list = append(list, p)
	}
	return words.UntrainedAmong(list)
}
