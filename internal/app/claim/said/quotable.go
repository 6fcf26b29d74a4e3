package said

import (
	"fmt"
	"math"
	"strings"

	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/assume"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
)

// Held names the hold of a claim with what is set of its pose, such as "push-up
// (kneeling)".
func Held(c *claim.Claim) string {
	return words.NoBreak(words.HeldInFull(c.Hold, c.Posture(), c.Load))
}

// ChangeSentence says in full words, to stand behind "with" or a colon, what is
// done to the body of a claim, or whom its contrast compares.
func ChangeSentence(c *claim.Claim) string {
	if t := c.Contrast; t != nil {
		if t.Sexes || t.Stated() {
			top, bottom := words.Contrasted(t)
			return top + " against " + bottom
		}
		share := ShareOf(t)
		more, less := "with the largest "+words.ToldApartBy(t.By), "with the smallest"
		if most, least := t.By.Superlatives(); most != "" {
			more, less = "who are "+most, "who are "+least
		}
		return fmt.Sprintf("the %s of the people %s against the %s %s", share, more, share, less)
	}
	ch := c.Change
	if ch.Hold != nil {
		return "the " + words.NoBreak(words.HeldInFull(ch.Hold, c.PostureAfter(), c.LoadAfter())) + ", instead of the " + Held(c)
	}
	parts := words.BodyChangeInFull(&ch.Body)
	if load := words.LoadChange(c.Load, c.LoadAfter()); load != "" {
		parts = append(parts, load)
	}
	if ch.Legs != nil {
		parts = append(parts, words.Legs(*ch.Legs)+" instead of "+words.Legs(c.Legs))
	}
	if ch.Pose != nil {
		for v, value := range *ch.Pose {
			if before := c.Pose[v]; value != before {
				text := words.Variant(hold.Variant(v), value)
				if before != 0 && value != 0 {
					text += " instead of " + words.VariantValue(hold.Variant(v), before)
				}
				parts = append(parts, text)
			}
		}
	}
	if ch.Tilt != nil {
		parts = append(parts, "the feet "+words.Angle(*ch.Tilt)+" above the shoulders instead of "+words.Angle(c.Tilt))
	}
	if arms := ch.Arms; arms != nil {
		switch {
		case arms.Angle != nil && *arms.Angle == c.Hold.LeastAngle:
			parts = append(parts, "hands as far apart as they go")
		case arms.Angle != nil && *arms.Angle == c.Hold.MostAngle:
			parts = append(parts, "hands as close together as they go")
		case arms.Angle != nil:
			parts = append(parts, "arms "+words.Angle(*arms.Angle)+" from the pole")
		case arms.Turn != nil:
			parts = append(parts, "arms turned by "+words.AngleChange(*arms.Turn))
		default:
			parts = append(parts, words.AmountInFull("hands", "farther apart", "closer together", *arms.Spacing)...)
		}
	}
	for _, id := range ch.Assumed() {
		usual := words.Assumption(id, id.Info().Default)
		if id.Info().Choice {
			usual = "the best"
		}
		parts = append(parts, words.English.Unknown(id.String())+", taken as "+words.Assumption(id, ch.Assume[id])+" instead of "+usual)
	}
	switch {
	case ch.Arms != nil:
	case ch.Posture == scenario.SameAngle:
		parts = append(parts, "the arms at their old angle")
	case ch.Posture == scenario.SameSpacing:
		parts = append(parts, "the hands where they were")
	}
	return words.NoBreak(strings.Join(parts, ", "))
}

// ShareOf is how many of the people are in each group of a contrast.
func ShareOf(t *claim.Contrast) string {
	if words.ShareIsThird(t) {
		return "third"
	}
	return words.Share(t.Share)
}

// PeopleWords says in plain words whose bodies were drawn.
func PeopleWords(r *outcome.Result) string {
	return words.Drawn(populations(r), func(name string) string { return titleOf(r, name) }) + chosen(r)
}

// chosen is who of those people was taken, and to which means they were weighted.
func chosen(r *outcome.Result) string {
	text := ""
	for i, where := range r.Claim.Where {
		text += []string{" where ", " and "}[min(i, 1)] + words.Where(where)
	}
	return text + reweighted(r)
}

// populations are the names of a result's people.
func populations(r *outcome.Result) []string {
	return names.Each(r.Claim.People, func(g scenario.Group) string { return g.Population })
}

// titleOf is the title of people of one's own, else their name.
func titleOf(r *outcome.Result, name string) string {
	for _, p := range r.Claim.People {
		if p.Population == name && p.Own != nil {
			return p.Own.Title
		}
	}
	return name
}

// mostQuoted is how many models a quotable sentence lists one by one.
const mostQuoted = 3

// Quotable is one sentence about a result that stays true when it stands alone: of
// whom, under which model, by how much, what counts as mattering, and that it is a
// model's estimate; where force plates were read, what they measured beside it.
func Quotable(r *outcome.Result) string {
	c := r.Claim
	text := fmt.Sprintf("Over simulated bodies drawn from %s, ", PeopleWords(r))
	if c.Contrast != nil {
		text += "comparing " + ChangeSentence(c) + ", " + contrastQuote(r)
	} else {
		text += "with " + ChangeSentence(c) + ", " + changeQuote(r)
	}
	if r.Central {
		text += ", at the central assumptions alone"
	}
	text += fmt.Sprintf(", where effects under %s do not matter", words.Threshold(c))
	for _, a := range assume.All() {
		if value := r.Claim.Assumed().Centre[a.ID]; value != a.Default {
			text += ", " + a.Name + " at " + words.Assumption(a.ID, value)
		}
	}
	estimate := strings.TrimSuffix(Validation(c), ".")
	if m := MeasuredOf(c); m != nil {
		estimate = "Model estimate"
		if PlatesOutweigh(r) {
			estimate += ", which in a pose of this claim misses published force plates by at least as much as this effect"
		}
		estimate += ": " + m.Quoted
	}
	return fmt.Sprintf("%s (verdict on “%s”: %s; %s).", text, strings.TrimSuffix(c.Says, "."), words.Verdict(r.Verdict), strings.ToLower(estimate[:1])+estimate[1:])
}

func changeQuote(r *outcome.Result) string {
	c := r.Claim
	size := SizesOf(c, hold.Equilibrium)
	subject := words.PlainNoun(c.Demand)
	if c.Change.Hold == nil {
		subject += " of the " + Held(c)
	}
	switch {
	case r.Verdict == claim.NoEffect:
		return subject + " stays exactly the same for every body"
	case r.Verdict == claim.NobodyHolds:
		return "no simulated body can take the posture of the " + Held(c)
	case len(r.Models) > mostQuoted:
		return subject + " " + rangeOfMedians(r)
	case size.Hard && c.Change.Hold == nil:
		subject = "the " + Held(c)
	case size.Hard:
		subject = "it"
	}
	var parts []string
	for i := range r.Models {
		m := &r.Models[i]
		d, text := m.Pooled.Draws, ""
		if said := agreedOn(r, m); said != "" {
			text = "is " + said + "; otherwise it "
		}
		switch {
		case d.InUnit.P50 == nil:
			text += "cannot be compared for the middle person"
		case Parted(r, m):
			text += words.And(size.ofEach(r, m, func(who, compared string, d *outcome.Draws) string {
				switch first, way := m.Groups[0].Draws.InUnit.P50, *d.InUnit.P50; {
				case d == m.Groups[0].Draws:
					compared = size.Does(way)
				case !size.Hard && size.Way(way)*size.Way(*first) > 0:
					compared = "by " + size.Plain(way)
				case !size.Hard:
					compared = "is " + compared
				}
				return compared + " for " + who
			})) + ", nine in ten people " + size.Span(d.PeopleInUnit) + difficultyOtherWay(r, m)
		default:
			text += size.Does(*d.InUnit.P50) + " for the middle person" + size.quotedSpan(d) + asSaid(c, m.Model.Statics, d) + difficultyOtherWay(r, m)
		}
		parts = append(parts, text+" in the model "+m.Name)
	}
	return subject + " " + strings.Join(parts, " and ")
}

// quotedSpan says, in brackets, what nobody has measured leaves open and how people differ.
func (s *ClaimSizes) quotedSpan(d *outcome.Draws) string {
	people := "nine in ten people: " + s.Span(d.PeopleInUnit) + ")"
	if open := s.open(d.InUnit); open != "" {
		return strings.TrimSuffix(open, ")") + "; " + people
	}
	return " (" + people
}

// rangeOfMedians says how far apart many models put the effect on the median body, each
// by the median over its draws.
func rangeOfMedians(r *outcome.Result) string {
	low, high := math.Inf(1), math.Inf(-1)
	size := SizesOf(r.Claim, hold.Equilibrium)
	for _, m := range r.Models {
		if x := m.Pooled.Draws.InUnit.P50; x != nil {
			low, high = math.Min(low, *x), math.Max(high, *x)
		}
	}
	if low > high {
		return "cannot be compared for the middle person in any model"
	}
	way, middle := "changes", 0.0
	switch {
	case low > 0:
		way, middle = "rises", low
	case high < 0:
		way, middle = "falls", high
	}
	return fmt.Sprintf("%s by %s for the middle person, depending on which of %d models is used", way, size.Span(outcome.Summary{P5: &low, P50: &middle, P95: &high}), len(r.Models))
}

func contrastQuote(r *outcome.Result) string {
	c := r.Claim
	var parts []string
	for i := range r.Contrast {
		d := &r.Contrast[i]
		size := SizesOf(c, ModelOf(r, d.Model))
		if d.Draws.InUnit.P50 == nil {
			parts = append(parts, fmt.Sprintf("cannot be compared among %s (%s)", words.Sexes(d.People), d.Model))
			continue
		}
		x := *d.Draws.InUnit.P50
		text := "the same"
		if size.Way(x) != 0 {
			text = words.Way(x, "higher", "lower") + " by " + size.Plain(x)
		}
		parts = append(parts, fmt.Sprintf("%s among %s%s in the model %s", text, words.Sexes(d.People), size.open(d.Draws.InUnit), d.Model))
	}
	return "the median of " + words.PlainNoun(c.Demand) + " of the " + Held(c) + " is " + strings.Join(parts, ", ")
}

// Reuse says under which terms pictures and pages may be used again. It is about
// what the program writes, not about the program.
const Reuse = "The pictures, the tables and the words of this page may be copied, changed and printed under the licence " +
	"Creative Commons Attribution 4.0 International (CC BY 4.0)"

// Attribution is the line to print beside a picture that is used again.
func Attribution(claim string, stamp *provenance.Stamp) string {
	return "Picture: counterpoise " + stamp.Version + ", claim “" + claim + "”, CC BY 4.0. Model estimate."
}

// Taught says what the lift-and-turn rule that is taught says of a claim, and why it
// parts from equilibrium, which judges. It is empty where the rule has no answer.
func Taught(r *outcome.Result) string {
	said := r.Taught
	if said == nil {
		return ""
	}
	text := "By " + words.TaughtRule + ": "
	if r.Claim.Contrast != nil {
		text += taughtContrast(r)
	} else {
		size, effect := SizesOf(r.Claim, said.Model.Statics), &said.Pooled.Quantity.Effect
		if r.Claim.Threshold().Share > 0 {
			effect = said.Pooled.Percent
		}
		if effect.P50 == nil {
			text += incomparable(size.Noun)
		} else {
			text += size.Moves(*effect.P50) + " for the middle person (nine in ten people: " + size.Span(*effect) + ")"
		}
	}
	return text + ". " + words.TaughtWhy(said.Upwards) + partings(r)
}

// taughtContrast is what the rule says of every population of a contrast.
func taughtContrast(r *outcome.Result) string {
	var parts []string
	size := SizesOf(r.Claim, r.Taught.Model.Statics)
	for _, c := range r.Taught.Contrast {
		d := c.Median.High - c.Median.Low
		if r.Claim.Threshold().Share > 0 {
			d = 100 * d / c.Median.Low
		}
		if math.IsNaN(d) || math.IsInf(d, 0) {
			parts = append(parts, "the medians of "+words.Sexes(c.People)+" cannot be compared")
		} else {
			parts = append(parts, words.Sexes(c.People)+" "+size.Compared(d))
		}
	}
	top, bottom := words.Contrasted(r.Claim.Contrast)
	return size.Noun + ", " + strings.TrimPrefix(top, "the ") + " against " + strings.TrimPrefix(bottom, "the ") + ": " + strings.Join(parts, "; ")
}

// partings says, of a change of one body, what moves in equilibrium where the rule has
// it move the other way or not at all; else it is empty.
func partings(r *outcome.Result) string {
	if r.Claim.Contrast != nil || r.Claim.Change.Hold != nil {
		return ""
	}
	at := 0
	for at < len(r.Models) && r.Models[at].Model.Statics != hold.Equilibrium {
		at++
	}
	if at == len(r.Models) {
		return ""
	}
	m := &r.Models[at]
	way := func(model hold.Model, effect *float64) int {
		switch p := words.DemandOf(r.Claim.Demand, model); {
		case effect == nil || p.IsNothing(*effect):
			return 0
		case *effect < 0:
			return -1
		}
		return 1
	}
	if way(r.Taught.Model.Statics, r.Taught.Pooled.Quantity.Effect.P50) == way(hold.Equilibrium, m.Pooled.Draws.Effect.P50) {
		return ""
	}
	movement := func(d hold.Demand) *float64 {
		if d == r.Claim.Demand {
			return m.Pooled.Quantity.Effect.P50
		}
		return m.Pooled.Beside[d.String()].Effect.P50
	}
	force, moment := movement(hold.RequiredForce), movement(hold.ShoulderMoment)
	if force == nil || moment == nil {
		return ""
	}
	text := fmt.Sprintf(" In equilibrium, at the central assumptions, the force along the harder-working arm changes by %s and the larger shoulder moment by %s for the middle person",
		words.DemandOf(hold.RequiredForce, hold.Equilibrium).Signed(*force), words.DemandOf(hold.ShoulderMoment, hold.Equilibrium).Signed(*moment))
	first, before := binding(m, 0)
	next, after := binding(m, 1)
	switch {
	case first == "" || next == "":
	case first == next:
		text += fmt.Sprintf("; the usual limit is the %s (%s of bodies before, %s after)", first, words.Share(before), words.Share(after))
	default:
		text += fmt.Sprintf("; the usual limit is the %s before (%s of bodies) and the %s after (%s)", first, words.Share(before), next, words.Share(after))
	}
	return text + "."
}

// binding returns what limits most bodies, and how many of them: before the change
// (0) or after it (1).
func binding(m *outcome.ModelResult, when int) (limit string, share float64) {
	for name, shares := range m.Pooled.Limits {
		if x := shares[when].Value; x > share || x == share && x > 0 && name < limit {
			limit, share = name, x
		}
	}
	return limit, share
}

// AddedText says what mass the change of a claim puts on or takes off, for the median
// body with 5–95 % of bodies; it is empty where it alters none that can be told.
func AddedText(r *outcome.Result) string {
	var parts []string
	for _, a := range r.Added {
		kilograms := func(x float64) string { return words.Added(a.Region, x, words.Metric) }
		if !words.TellsAdded(Val(a.Kilograms.P50)) {
			continue
		}
		text := kilograms(Val(a.Kilograms.P50))
		end := func(x *float64) string { return words.Change(Val(x), units.Mass, words.Metric) }
		if low, high := end(a.Kilograms.P5), end(a.Kilograms.P95); low != high {
			text += " (5–95 % of bodies: " + low + " to " + high + ")"
		}
		parts = append(parts, text)
	}
	return words.And(parts)
}

// ComparedWithPlates stands instead of NotValidated where measured forces of the
// very quantity have been published.
const ComparedWithPlates = "Model estimate; published force plates agree in part."

// Validation is what must be said of a claim's numbers: that nobody has measured the
// forces, or that somebody did.
func Validation(c *claim.Claim) string {
	if MeasuredOnPlates(c) {
		return ComparedWithPlates
	}
	return words.NotValidated
}

// MeasuredOnPlates reports whether a claim's quantity is the one that force plates
// were read for: the weight on the hands in push-ups, before and after.
func MeasuredOnPlates(c *claim.Claim) bool {
	return c.Demand == hold.HandShare && c.Hold == hold.PushUp && (c.Change == nil || c.Change.Hold == nil)
}

// Warnings are what is to be known of a result beside what it says: of its people and
// assumptions, and whether more bodies were drawn than the survey can tell anything of.
func Warnings(r *outcome.Result) []string {
	list := append([]string(nil), r.Warnings...)
	list = append(list, words.LoadNotes(r.Claim.Load, r.Claim.LoadAfter())...)
	add := func(whom string, drawing *float64, d *outcome.Draws) {
		if said := beyondSurvey(drawing, d); said != "" {
			list = append(list, whom+": "+said)
		}
	}
	for i := range r.Models {
		if m := &r.Models[i]; r.Claim.Contrast == nil {
			add(m.Name, m.Pooled.MedianError, m.Pooled.Draws)
		}
	}
	for i := range r.Contrast {
		c := &r.Contrast[i]
		add(c.Model+", "+words.Sexes(c.People), c.MedianError, c.Draws)
	}
	return list
}

// beyond is what part of the survey's own error that of drawing must be for more bodies
// to tell nothing more.
const beyond = 10

// beyondSurvey says that the bodies at the central assumptions leave less of an error in the
// median effect than whom the survey happened to measure; it is empty where they do not.
func beyondSurvey(drawing *float64, d *outcome.Draws) string {
	if drawing == nil || d.SurveyError == nil || !(*drawing*beyond < *d.SurveyError) {
		return ""
	}
	return fmt.Sprintf("at the central assumptions, drawing leaves a standard error of %s in the median effect, and the survey's own sampling %s: more bodies would add nothing",
		words.StandardError(*drawing, d.Unit), words.StandardError(*d.SurveyError, d.Unit))
}
