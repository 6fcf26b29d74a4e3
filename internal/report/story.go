package report

import (
	"strings"

	"counterpoise/internal/chart"
	"counterpoise/internal/outcome"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
)

// StoryOf is a claim on one picture that stands alone, in a language, with the bodies of
// its other charts. address is where its evidence can be read.
func StoryOf(r *outcome.Result, figures []Figure, l words.Language, address string) chart.Story {
	c := r.Claim
	zone := effectZone(c)
	over := words.PhraseChange
	if c.Contrast != nil {
		over = words.PhraseDifference
	}
	zone.XLabel = l.Say(over, l.Quantity(c.Demand, strings.Replace(zone.Unit, "deg", "degrees", 1)))
	zone.Below, zone.Above = l.Effect(zone.Below), l.Effect(zone.Above)
	said := ""
	if zone.Said != 0 {
		said = l.Say(words.PhraseSaid)
	}
	says := c.Says
	if shipped, err := study.ShippedClaim(c.Name); err == nil && shipped.Says == says {
		says = l.Saying(c.Name, says)
	}
	s := chart.Story{
		Saying: words.NoBreak(l.Quoted(written(says, c.Name))), Answer: l.Answer(r.Verdict, c.Expect) + CentralAlone(r) + never(r, l) + ".", Zone: zone,
		Small: words.NoBreak(l.Say(words.PhraseSmall, l.Effect(zone.Size()))) + said, Language: l.String(),
		Foot: foot(r, peopleNames(r), everyModelIn(r)),
	}
	s.Foot.Said = storyFoot(r, l, s.Foot.N, address)
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
	if l != words.English && len(s.Bodies) == 2 {
		captions := []string{l.Say(words.PhraseBefore), l.Say(words.PhraseAfter)}
		for k := range captions {
			if _, size, found := strings.Cut(s.Bodies[k].Caption, ": "); found && c.Contrast != nil {
				captions[k] = l.Effect(size)
			}
		}
		s.Bodies = []chart.Silhouette{{Caption: captions[0], Body: s.Bodies[0].Body}, {Caption: captions[1], Body: s.Bodies[1].Body}}
	}
	if len(s.Bodies) == 2 {
		s.Shows = l.Say(words.PhraseBodies, s.Bodies[0].Caption+"; "+s.Bodies[1].Caption)
	}
	if r.Verdict == claim.NoEffect {
		return s
	}
	add := func(p words.Phrase, d *outcome.Draws, size *sizes, of func(float64) float64) {
		bar := chart.StoryBar{Low: of(0.05), Middle: of(0.5), High: of(0.95)}
		bar.Label = words.NoBreak(l.Say(p, l.Effect(size.between(bar.Low, bar.High))))
		s.Bars = append(s.Bars, bar)
	}
	for i := range r.Models {
		m := &r.Models[i]
		if d := m.Pooled.Draws; c.Contrast == nil && d.InUnit.P50 != nil {
			size, before := sizesOf(c, m.Model.Statics), len(s.Bars)
			add(words.PhrasePeople, d, &size, d.PeopleAt)
			if !r.Central {
				add(words.PhraseUnmeasured, d, &size, d.MedianAt)
			}
			for k := before; k < len(s.Bars) && len(r.Models) > 1; k++ {
				s.Bars[k].Label = m.Name + "; " + s.Bars[k].Label
			}
		}
	}
	for i := range r.Contrast {
		if d := r.Contrast[i].Draws; d.InUnit.P50 != nil && !r.Central {
			size := sizesOf(c, modelOf(r, r.Contrast[i].Model))
			add(words.PhraseUnmeasured, d, &size, d.MedianAt)
			if bar := &s.Bars[len(s.Bars)-1]; len(r.Contrast) > 1 {
				bar.Label = l.Effect(words.Sexes(r.Contrast[i].People)) + "; " + bar.Label
			}
		}
	}
	return s
}

// storyFoot says in a language whose bodies a story is of, from which surveys, and where its
// evidence can be read.
func storyFoot(r *outcome.Result, l words.Language, bodies int, address string) string {
	text := l.Say(words.PhraseSimulated, l.Effect(words.Count(bodies)))
	if r.Drawn() {
		text += "; " + l.Say(words.PhraseDrawn, l.Effect(words.Count(r.Draws)))
	}
	checked := words.PhraseUnchecked
	if MeasuredOnPlates(r.Claim) {
		checked = words.PhraseChecked
	}
	text = strings.Join([]string{text + ".", l.Say(checked), l.Say(words.PhraseSurveys, words.Cited(surveysOf(r.Claim.People)))}, " ")
	if address == "" {
		return text
	}
	return text + " " + l.Say(words.PhraseEvidence, address)
}

// never is neverSaid in a language.
func never(r *outcome.Result, l words.Language) string {
	rises, falls := agreedNever(r)
	less, more := words.Ways(r.Claim.Demand)
	less, more = l.Effect(less), l.Effect(more)
	switch {
	case l == words.English:
		return neverSaid(r)
	case ownThreshold(r.Claim): // for which there are no words but English ones
		return ""
	case rises && falls:
		return l.Say(words.PhraseNeither, more, less)
	case rises:
		return l.Say(words.PhraseNever, more)
	case falls:
		return l.Say(words.PhraseNever, less)
	}
	return ""
}
