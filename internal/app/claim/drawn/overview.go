package drawn

import (
	"cmp"
	"fmt"
	"slices"
	"sort"
	"strings"

	"counterpoise/internal/app/claim/said"
	"counterpoise/internal/bodies"
	"counterpoise/internal/chart"
	"counterpoise/internal/draw"
	"counterpoise/internal/jsonform"
	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
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
	if seen[notJudged.Mark] {
		o.Marks = append(o.Marks, notJudged)
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

// overviewTitle counts the verdicts; those that come to the same for somebody who
// scans the chart are counted together.
func overviewTitle(results []*outcome.Result) string {
	if len(results) == 1 {
		return quoted(results[0].Claim) + ": " + words.Verdict(results[0].Verdict).Name
	}
	var parts []string
	counted := map[string]int{}
	for _, r := range results {
		counted[words.Verdict(r.Verdict).Kind]++
	}
	for _, v := range words.Verdicts() {
		if n := counted[v.Kind]; n > 0 {
			parts = append(parts, fmt.Sprintf("%d\u00a0%s", n, v.Kind))
			delete(counted, v.Kind)
		}
	}
	return fmt.Sprintf("%d\u00a0claims: %s", len(results), strings.Join(parts, ", "))
}

func overviewFoot(results []*outcome.Result) draw.Foot {
	first := results[0]
	f := foot(first, peopleNames(first), "as shown")
	differ := false
	for _, r := range results[1:] {
		other := foot(r, peopleNames(r), "as shown")
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
		f.People += "; of the claim with the fewest"
	}
	return f
}

// overviewRow is the row of one claim, with its marks for people.
func overviewRow(r *outcome.Result, people []string) chart.OverviewRow {
	c := r.Claim
	row := chart.OverviewRow{Group: c.Hold.Title, Label: written(c.Says, c.Name), Verdict: overviewMark(r.Verdict), Whom: make([]chart.OverviewMark, len(people))}
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
	row.Effect, row.Range = overviewEffect(said.SizesOf(c, model), draws, r.Verdict == claim.NoEffect)
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

// notJudged is the mark of people for whom a claim was not judged.
var notJudged = chart.OverviewMark{Mark: "–", Word: "not judged"}

func overviewMark(v claim.Verdict) chart.OverviewMark {
	w := words.Verdict(v)
	return chart.OverviewMark{Mark: w.Mark, Word: w.Short}
}

// overviewEffect says how large an effect is, of several models or people from the least to
// the most, and what nobody has measured leaves of it; empty where it cannot be told.
func overviewEffect(s said.ClaimSizes, draws []*outcome.Draws, none bool) (effect, spread string) {
	if none {
		return "no change", ""
	}
	var all *outcome.Summary
	var low, high float64
	for _, d := range draws {
		e := d.InUnit
		switch {
		case e.P50 == nil:
			continue
		case all == nil:
			all, low, high = &e, *e.P50, *e.P50
		default:
			low, high = min(low, *e.P50), max(high, *e.P50)
			all.P5, all.P95 = jsonform.Finite(min(said.Val(all.P5), said.Val(e.P5))), jsonform.Finite(max(said.Val(all.P95), said.Val(e.P95)))
		}
	}
	if all == nil {
		return "", ""
	}
	if effect = s.Between(low, high); s.Signed(low) == s.Signed(high) {
		effect = s.Compared(low)
	}
	return words.English.Effect(effect), s.Span(*all)
}

// StoryOf is a claim on one picture that stands alone, in a language, with the bodies of
// its other charts. source says where its evidence is.
func StoryOf(r *outcome.Result, figures []draw.Named, l words.Language, source string) chart.Story {
	c := r.Claim
	zone := effectZone(c)
	over := words.PhraseChange
	if c.Contrast != nil {
		over = words.PhraseDifference
	}
	zone.XLabel = strings.TrimSuffix(l.Say(over, l.Noun(c.Demand)), ": ")
	zone.Below, zone.Above = l.Effect(zone.Below), l.Effect(zone.Above)
	s := chart.Story{
		Saying: words.NoBreak(said.Saying(c, l)), Answer: said.InOneSentence(r, l), Zone: zone,
		Small: words.NoBreak(l.Say(words.PhraseSmall, l.Effect(zone.Size()))), Language: l.String(), Sure: said.SureBriefly(r, l),
		Foot: foot(r, peopleNames(r), everyModelIn(r)),
	}
	if zone.Said != 0 {
		s.Promised = words.NoBreak(l.Say(words.PhraseSaid, l.Effect(words.Promised(c))))
	}
	if !draw.Writable(s.Saying) {
		s.Saying = l.Quoted(c.Name)
	}
	s.Foot.Said = strings.TrimSpace(storyFoot(r, l, s.Foot.N) + " " + source)
	for _, f := range figures {
		switch figure := f.Figure.(type) {
		case chart.EffectDistribution:
			s.Bodies = figure.Bodies
		case chart.Contrast:
			s.Bodies = figure.Bodies
		}
		if len(s.Bodies) == 2 {
			break
		}
	}
	if len(s.Bodies) == 2 {
		if l != words.English {
			s.Bodies = captioned(r, s.Bodies, l)
		}
		s.Shows = l.Say(words.PhraseBodies, s.Bodies[0].Caption+"; "+s.Bodies[1].Caption)
	}
	if r.Verdict == claim.NoEffect {
		return s
	}
	add := func(p words.Phrase, size *said.ClaimSizes, low, middle, high float64) {
		s.Bars = append(s.Bars, chart.StoryBar{Low: low, Middle: middle, High: high, Label: words.NoBreak(l.Say(p, l.Effect(size.Between(low, high))))})
	}
	for i := range r.Models {
		m := &r.Models[i]
		if d := m.Pooled.Draws; c.Contrast == nil && d.InUnit.P50 != nil {
			size, before := said.SizesOf(c, m.Model.Statics), len(s.Bars)
			add(words.PhrasePeople, &size, d.PeopleAt(0.05), d.PeopleAt(0.5), d.PeopleAt(0.95))
			if !r.Central {
				add(words.PhraseUnmeasured, &size, d.MedianAt(0.05), d.MedianAt(0.5), d.MedianAt(0.95))
			}
			for k := before; k < len(s.Bars) && len(r.Models) > 1; k++ {
				s.Bars[k].Label = m.Name + "; " + s.Bars[k].Label
			}
		}
	}
	for i := range r.Contrast {
		if d := r.Contrast[i].Draws; d.InUnit.P50 != nil && !r.Central {
			size := said.SizesOf(c, said.ModelOf(r, r.Contrast[i].Model))
			add(words.PhraseUnmeasured, &size, d.MedianAt(0.05), d.MedianAt(0.5), d.MedianAt(0.95))
			if bar := &s.Bars[len(s.Bars)-1]; len(r.Contrast) > 1 {
				bar.Label = l.Sexes(r.Contrast[i].People) + ", " + bar.Label
			}
		}
	}
	if m := said.MeasuredOf(c); m != nil && len(s.Bars) > 0 {
		if low, high, told := m.Reach(c); told {
			size := said.SizesOf(c, hold.Equilibrium)
			add(words.PhraseOnPlates, &size, low, (low+high)/2, high)
		}
	}
	return s
}

// captioned are bodies with captions in another language than English: of a change, somebody in the
// middle and the same person changed; of a contrast, the sizes of the middle of both groups.
func captioned(r *outcome.Result, list []bodies.Silhouette, l words.Language) []bodies.Silhouette {
	captions := []string{l.Say(words.PhraseBefore), l.Say(words.PhraseAfter)}
	for k, b := range list {
		if _, size, found := strings.Cut(b.Caption, ": "); found && r.Claim.Contrast != nil {
			if captions[k] = l.Effect(size); l.Contrasted(r.Claim.Contrast)[k] != "" {
				captions[k] = l.Contrasted(r.Claim.Contrast)[k] + ": " + captions[k]
			}
		}
	}
	for _, g := range r.Claim.People {
		p, err := populationOf(g)
		if err != nil || r.Claim.Contrast != nil {
			continue
		}
		of := words.UntrainedOf(p)
		theMiddle, _ := words.English.Middle(of)
		if size, found := strings.CutPrefix(list[0].Caption, theMiddle+", "); found {
			middle, same := l.Middle(of)
			captions[0] = words.NoBreak(middle + ", " + strings.Join(strings.SplitN(size, ", ", 3)[:2], ", "))
			captions[1] = words.NoBreak(same + ", " + cmp.Or(l.Altered(r.Claim), captions[1]))
		}
	}
	return []bodies.Silhouette{{Caption: captions[0], Body: list[0].Body}, {Caption: captions[1], Body: list[1].Body}}
}

// storyFoot says in a language whose bodies a story is of, and from which surveys.
func storyFoot(r *outcome.Result, l words.Language, bodies int) string {
	text := l.Say(words.PhraseSimulated, l.Effect(words.Count(bodies)))
	if r.Drawn {
		text += ", " + l.Say(words.PhraseDrawn, l.Effect(words.Count(r.Draws)))
	}
	checked := words.PhraseUnchecked
	if said.MeasuredOnPlates(r.Claim) {
		checked = words.PhraseChecked
	}
	return strings.Join([]string{text + ".", l.Say(checked), l.Say(words.PhraseSurveys, l.Cited(words.SurveyNames(r.Claim.People)))}, " ")
}
