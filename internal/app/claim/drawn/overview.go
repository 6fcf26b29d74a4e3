package drawn

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"sort"
	"strings"

	"counterpoise/internal/app/claim/said"
	"counterpoise/internal/bodies"
	"counterpoise/internal/chart"
	"counterpoise/internal/draw"
	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/names"
)

// Overview is one chart of many claims, sorted by hold and, within a hold, as given. There
// must be a result.
func Overview(results []*outcome.Result) chart.Overview {
	sorted := slices.Clone(results)
	sort.SliceStable(sorted, func(i, j int) bool { return sorted[i].Claim.Hold.Name < sorted[j].Claim.Hold.Name })
	o := chart.Overview{Title: overviewTitle(results), Foot: overviewFoot(results)}
	var people []string
	for _, r := range sorted {
		if r.ForWhom != nil {
			for _, p := range r.ForWhom.People {
				people = names.Once(people, p.People)
			}
		}
	}
	for _, p := range people {
		kind, one := words.KindBriefly(p)
		o.People = append(o.People, chart.OverviewPeople{Kind: kind, One: one, Name: words.Sexes(p)})
		o.Key = words.KindsKey
	}
	seen := map[string]bool{}
	for _, r := range sorted {
		row := overviewRow(r, people)
		o.Rows = append(o.Rows, row)
		for _, m := range append(row.Whom, row.Verdict) {
			seen[m.Mark] = true
		}
	}
	for _, w := range words.Legend() {
		if seen[w.Mark] {
			o.Marks = append(o.Marks, chart.OverviewMark{Mark: w.Mark, Word: w.Plainly()})
		}
	}
	for _, m := range []chart.OverviewMark{{Mark: differs, Word: "not the same for all"}, notJudged} {
		if seen[m.Mark] {
			o.Marks = append(o.Marks, m)
		}
	}
	return o
}

// OverviewFigures is the overview of many claims at a size: one chart, on a page of A4 where
// it is higher than the size, and then also divided into pages that are not.
func OverviewFigures(results []*outcome.Result, size draw.Size) []draw.Named {
	if len(results) == 0 {
		return nil
	}
	o := Overview(results)
	pages := draw.Paged([]draw.Named{{Name: "overview-page", Figure: o}}, size)
	if len(pages) == 1 {
		pages = nil
	}
	if len(results) > mostOnOne {
		return pages
	}
	o.Tall = true
	return append([]draw.Named{{Name: "overview", Figure: o}}, pages...)
}

// mostOnOne is how many claims are drawn on one chart as well: of more nobody sees anything,
// and its picture takes a gigabyte for a thousand.
const mostOnOne = 150

// staticsOf is the model of statics that the name of a model begins with.
func staticsOf(name string) hold.Model {
	statics, _, _ := strings.Cut(name, ",")
	m, _ := hold.ParseModel(statics)
	return m
}

// overviewTitle says how many sayings hold; those of which the verdicts come to the same for
// somebody who scans the chart are counted together.
func overviewTitle(results []*outcome.Result) string {
	if len(results) == 1 {
		return quoted(results[0].Claim) + ": " + said.Came(results[0])
	}
	var parts []string
	counted := map[string]int{}
	var apart []*outcome.Result
	for _, r := range results {
		if said.Apart(r) != nil {
			apart = append(apart, r)
		} else {
			counted[words.Verdict(r.Verdict).Kind]++
		}
	}
	for _, v := range words.Verdicts() {
		if n := counted[v.Kind]; n > 0 {
			parts = append(parts, words.Tallied(n, v.Kind))
			delete(counted, v.Kind)
		}
	}
	switch len(apart) {
	case 0:
	case 1:
		parts = append(parts, "1\u00a0is "+said.Came(apart[0]))
	default:
		parts = append(parts, words.Tallied(len(apart), words.Differs))
	}
	return fmt.Sprintf("Of %d\u00a0sayings %s", len(results), words.And(parts))
}

func overviewFoot(results []*outcome.Result) draw.Foot {
	first := results[0]
	f := foot(first, peopleNames(first), everyModelIn(first))
	differ := false
	for _, r := range results[1:] {
		other := foot(r, peopleNames(r), everyModelIn(r))
		if other.Model != f.Model {
			f.Model = "that or those of each claim"
		}
		differ = differ || other.N != f.N
		f.N = min(f.N, other.N)
		if other.People != f.People {
			f.People = "as each claim says"
		}
		if other.Assumptions != f.Assumptions {
			f.Assumptions = "drawn as often as each claim needs"
		}
		if other.Source != f.Source {
			var all []string
			for _, r := range results {
				all = append(all, words.SurveyNames(r.Claim.People)...)
			}
			f.Source = provenance.Credit() + "; bodies drawn from " + words.Credits(all) + ". " + words.NotValidated
		}
	}
	if differ {
		f.People += " (the fewest of any claim)"
	}
	return f
}

// overviewRow is the row of one claim, with its marks for people.
func overviewRow(r *outcome.Result, people []string) chart.OverviewRow {
	c := r.Claim
	row := chart.OverviewRow{Group: c.Hold.Title, Label: written(c.Says, c.Name), Verdict: chart.OverviewMark{Mark: words.Verdict(r.Verdict).Mark, Word: said.Came(r)}, Whom: make([]chart.OverviewMark, len(people))}
	if c.Contrast == nil {
		row.Also = said.AlsoBriefly(r, words.English)
	}
	var draws []*outcome.Draws
	model := c.Hold.Judging()[0]
	for i := range r.Models {
		if c.Contrast == nil {
			draws, model = append(draws, r.Models[i].Pooled.Draws), staticsOf(r.Models[0].Name)
		}
	}
	for i := range r.Contrast {
		draws, model = append(draws, r.Contrast[i].Draws), staticsOf(r.Contrast[0].Model)
	}
	row.Effect = overviewEffect(said.SizesOf(c, model), draws, r.Verdict == claim.NoEffect)
	unit, small := zoneOf(c)
	bar := func(draws ...*outcome.Draws) {
		if low, middle, high := reachOf(draws); unit == "%" && low <= high {
			row.Bars, row.TooSmall = append(row.Bars, chart.OverviewBar{Low: low, Middle: middle, High: high}), small
		}
	}
	if said.Apart(r) != nil {
		row.Verdict.Mark = differs
	}
	if parts := said.Each(r); parts != nil && c.Contrast == nil || said.Apart(r) != nil {
		row.Effect = ""
		for _, p := range parts {
			row.Effect += "; " + words.Sexes(p.People) + ": " + overviewEffect(said.SizesOf(c, said.ModelOf(r, p.Model)), []*outcome.Draws{p.Draws}, false)
			if bar(p.Draws); len(row.Bars) > len(row.Whose) {
				row.Whose = append(row.Whose, words.Sexes(p.People))
			}
		}
		row.Effect = strings.TrimPrefix(row.Effect, "; ")
	} else if r.Verdict != claim.NoEffect {
		bar(draws...)
	}
	row.Effect = words.Together(row.Effect)
	if z := effectZone(c); z.Said != 0 {
		row.Said = [2]float64{z.SaidFrom, z.SaidTo}
	}
	if r.ForWhom == nil {
		return row
	}
	for _, p := range r.ForWhom.People {
		mark := notJudged
		if p.Verdict != nil {
			mark = overviewMark(*p.Verdict)
		}
		row.Whom[slices.Index(people, p.People)] = mark
	}
	return row
}

// differs is the mark of a saying of which no verdict is that of all who are asked about.
const differs = "◐"

// notJudged is the mark of people for whom a claim was not judged.
var notJudged = chart.OverviewMark{Mark: "–", Word: "not judged"}

func overviewMark(v claim.Verdict) chart.OverviewMark {
	w := words.Verdict(v)
	return chart.OverviewMark{Mark: w.Mark, Word: w.Short}
}

// overviewEffect says from where to where what nobody has measured moves an effect, of several
// models or people together; empty where it cannot be told.
func overviewEffect(s said.ClaimSizes, draws []*outcome.Draws, none bool) string {
	if none {
		return "no change"
	}
	low, middle, high := reachOf(draws)
	switch {
	case low > high:
		return ""
	case s.Signed(low) == s.Signed(high):
		return words.English.Effect(s.Compared(low))
	case math.IsNaN(middle):
		return words.English.Effect(s.Between(low, high))
	}
	return opened(s, low, middle, high, words.English)
}

// opened is an effect in a language with from where to where it may lie, with signs where that is on
// either side of nothing.
func opened(s said.ClaimSizes, low, middle, high float64, l words.Language) string {
	return s.Open(low, middle, high, l, func(middle, span string) string {
		if s.Way(low)*s.Way(high) < 0 {
			span = l.Effect(words.Interval(s.Signed(low), s.Signed(high)))
		}
		return middle + " (" + span + ")"
	})
}

// reachOf is from where to where effects lie in the draws, and their middle, not a number where they are
// of several; from above to below where none is told.
func reachOf(draws []*outcome.Draws) (low, middle, high float64) {
	low, middle, high = math.Inf(1), math.NaN(), math.Inf(-1)
	if len(draws) == 1 && draws[0].InUnit.P50 != nil {
		middle = *draws[0].InUnit.P50
	}
	for _, d := range draws {
		for _, end := range []*float64{d.InUnit.P5, d.InUnit.P50, d.InUnit.P95} {
			if end != nil {
				low, high = min(low, *end), max(high, *end)
			}
		}
	}
	return low, middle, high
}

// StoryOf is a claim on one picture that stands alone, in a language, with the bodies of
// its other charts. evidence says where its evidence is, empty where that is no address; found
// by what it is found and made again, which its description says.
func StoryOf(r *outcome.Result, figures []draw.Named, l words.Language, evidence, found string) chart.Story {
	c := r.Claim
	zone := effectZone(c)
	zone.Below, zone.Above = l.Effect(zone.Below), l.Effect(zone.Above)
	if zone.XLabel = words.Capital(l.Noun(c.Demand)); c.Demand == hold.Difficulty || zone.XLabel == "" {
		zone.XLabel = l.Say(words.PhraseHowMuch, zone.Above, zone.Below)
	}
	if zone.Said != 0 {
		zone.Counts = words.Together(l.Say(words.PhraseSaid, l.Effect(words.Promised(c)), l.Effect(words.Counted(c))))
	}
	s := chart.Story{
		Saying: words.NoBreak(said.Saying(c, l)), Answer: said.InOneSentence(r, l), Zone: zone,
		Small: words.NoBreak(l.Say(words.PhraseSmall, l.Effect(zone.Size()))), Language: l.String(), Also: said.AlsoBriefly(r, l), Sure: said.SureBriefly(r, l),
		Foot: foot(r, peopleNames(r), everyModelIn(r)), Found: found,
	}
	if !draw.Writable(s.Saying) {
		s.Saying = l.Quoted(c.Name)
	}
	s.Foot.Said = strings.TrimSpace(storyFoot(r, l, s.Foot.N) + " " + evidence)
	s.Bodies = storyBodies(r, figures, l)
	if len(s.Bodies) > 0 {
		captions := names.Each(s.Bodies, func(b bodies.Silhouette) string { return b.Caption })
		s.Shows = l.Say(words.PhraseBodies, strings.Join(captions, "; "))
	}
	if r.Verdict == claim.NoEffect {
		return s
	}
	s.Key = -1
	add := func(says string, low, middle, high float64) {
		s.Bars = append(s.Bars, chart.Range{Says: words.Together(says), Low: low, Middle: middle, High: high})
	}
	draws := func(size said.ClaimSizes, d *outcome.Draws, of string) {
		low, middle, high := d.MedianAt(0.05), d.MedianAt(0.5), d.MedianAt(0.95)
		add(of+opened(size, low, middle, high, l), low, middle, high)
	}
	each := said.Each(r)
	for _, p := range each {
		if d := p.Draws; d.InUnit.P50 != nil && !r.Central {
			of := ""
			if len(each) > 1 {
				of = l.Sexes(p.People) + ": "
			}
			draws(said.SizesOf(c, said.ModelOf(r, p.Model)), d, of)
		}
	}
	for i := range r.Models {
		m := &r.Models[i]
		if d := m.Pooled.Draws; each == nil && d.InUnit.P50 != nil {
			size, before := said.SizesOf(c, m.Model.Statics), len(s.Bars)
			humps := humpsOf(m, &size, l)
			s.Bars = append(s.Bars, names.Each(humps, func(h chart.Hump) chart.Range { return h.Range })...)
			if !r.Central {
				draws(size, d, "")
				if last := &s.Bars[len(s.Bars)-1]; len(humps) > 0 {
					last.Says = words.Together(last.Says + l.Say(words.PhraseInMiddle))
				}
				if len(r.Models) == 1 && r.Verdict != claim.DependsOnBody {
					s.Key = len(s.Bars) - 1
				}
			}
			for k := before; k < len(s.Bars) && len(r.Models) > 1; k++ {
				s.Bars[k].Says = m.Name + "; " + s.Bars[k].Says
			}
		}
	}
	if m := said.MeasuredOf(c); m != nil && len(s.Bars) > 0 {
		if low, high, told := m.Reach(c); told {
			size := said.SizesOf(c, hold.Equilibrium)
			add(l.Say(words.PhraseOnPlates, l.Effect(size.Between(low, high))), low, (low+high)/2, high)
		}
	}
	for k := range s.Bars { // each is a sentence of the description
		s.Bars[k].Says = words.Capital(s.Bars[k].Says)
	}
	return s
}

// storyBodies are the two bodies of a change; of a contrast those of both groups of everybody whom
// it is about under the first model, if those are not too many.
func storyBodies(r *outcome.Result, figures []draw.Named, l words.Language) (list []bodies.Silhouette) {
	for _, f := range figures {
		switch figure := f.Figure.(type) {
		case chart.EffectDistribution:
			list = figure.Bodies
		case chart.Contrast:
			if len(list) == 0 || len(list) == 2 && len(r.Contrast) == 2 && len(r.Models) == 1 {
				list = append(slices.Clone(list), figure.Bodies...)
			}
		}
	}
	if l != words.English && len(list) > 0 {
		list = captioned(r, list, l)
	}
	if len(list) == 4 {
		for k := range list {
			list[k].Caption = l.Sexes(r.Contrast[k/2].People) + ", " + list[k].Caption
		}
	}
	return list
}

// captioned are bodies with captions in another language than English: of a change, somebody in the
// middle and the same person changed; of a contrast, the sizes of the middle of both groups.
func captioned(r *outcome.Result, list []bodies.Silhouette, l words.Language) []bodies.Silhouette {
	var captions []string
	for k, b := range list {
		captions = append(captions, l.Say([]words.Phrase{words.PhraseBefore, words.PhraseAfter}[k%2]))
		if _, size, found := strings.Cut(b.Caption, ": "); found && r.Claim.Contrast != nil {
			if captions[k] = l.Effect(heightAndWeight(size)); l.Contrasted(r.Claim.Contrast)[k%2] != "" {
				captions[k] = l.Contrasted(r.Claim.Contrast)[k%2] + ": " + captions[k]
			}
		}
	}
	for _, g := range r.Claim.People {
		p, err := g.Load()
		if err != nil || r.Claim.Contrast != nil {
			continue
		}
		of := words.UntrainedOf(p)
		anAverage, _ := words.English.Average(of)
		if size, found := strings.CutPrefix(list[0].Caption, anAverage+", "); found {
			average, same := l.Average(of)
			captions[0] = words.NoBreak(average + ", " + heightAndWeight(size))
			captions[1] = words.NoBreak(same + ", " + cmp.Or(l.Altered(r.Claim), captions[1]))
		}
	}
	told := slices.Clone(list)
	for k := range told {
		told[k].Caption = captions[k]
	}
	return told
}

// heightAndWeight is what of a caption needs no words: the rest is English.
func heightAndWeight(caption string) string {
	parts := strings.SplitN(caption, ", ", 3)
	return strings.Join(parts[:min(2, len(parts))], ", ")
}

// storyFoot says in a language how many bodies a story is of, that it is an estimate, from which
// surveys and by what.
func storyFoot(r *outcome.Result, l words.Language, bodies int) string {
	checked := words.PhraseUnchecked
	if said.MeasuredOnPlates(r.Claim) {
		checked = words.PhraseChecked
	}
	surveys := bracketed.ReplaceAllString(l.Cited(words.SurveyNames(r.Claim.People)), "")
	simulated := l.Say(words.PhraseSimulated, l.Effect(words.Count(bodies))) + "."
	if r.Verdict != claim.NoEffect && r.Verdict != claim.NobodyHolds {
		simulated += " " + l.Say(words.PhraseBars)
	}
	return strings.Join([]string{simulated, l.Say(checked), l.Say(words.PhraseSurveys, surveys), provenance.Tool + "."}, " ")
}

// bracketed is what stands in brackets behind something.
var bracketed = regexp.MustCompile(` \([^()]*\)`)
