package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/outcome"
	"counterpoise/internal/wording"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
)

// The first screen of a command is at most twelve lines that can be said aloud: the
// answer, how large and how sure, what to tell, and what to do next. All else is behind
// --full.

// Caution is the shortest form of Cautions, for a first screen, which names where the
// rest is.
const Caution = "An estimate, no medical or training advice: progress gradually, with a coach. More: --full"

// First writes the first screen of a claim's result.
func First(w io.Writer, r *outcome.Result) error {
	t := &textWriter{w: w}
	t.wrap("“", "", r.Claim.Says+"”")
	t.wrap("", "  ", words.Answer(r.Verdict, r.Claim.Expect)+CentralAlone(r)+neverSaid(r))
	t.fact("compared", ChangeSentence(r.Claim))
	if r.Claim.Contrast != nil {
		t.firstContrast(r)
	} else if r.Verdict != claim.NoEffect && r.Verdict != claim.NobodyHolds {
		t.firstChange(r)
	}
	if m := MeasuredOf(r.Claim); m != nil {
		t.fact("force plates", strings.TrimPrefix(m.Quoted, "published force plates "))
	}
	if t.whom(r); r.ForWhom != nil {
		t.line("")
	}
	t.wrap("", "  ", tell(r))
	t.firstNotes(r.Warnings)
	if slices.ContainsFunc(populations(r), young) {
		t.firstNotes([]string{wording.CautionYoung})
	}
	t.wrap("", "  ", "Simulated bodies of "+PeopleWords(r)+".")
	t.wrap("", "", Caution)
	return t.err
}

// fact writes a line of the first screen behind its label.
func (t *textWriter) fact(label, text string) {
	t.wrap(fmt.Sprintf("  %-21s ", label), strings.Repeat(" ", 24), text)
}

// neverSaid is what the draws agree on where the verdict is open, such as "; never easier".
func neverSaid(r *outcome.Result) string {
	if r.Verdict.Settled() || r.Claim.Contrast != nil {
		return ""
	}
	less, more := words.Ways(r.Claim.Demand)
	rises, falls := true, true
	for i := range r.Models {
		d := r.Models[i].Pooled.Draws
		rises, falls = rises && d.NeverRises, falls && d.NeverFalls
	}
	switch {
	case rises && falls:
		return ", neither noticeably " + more + " nor noticeably " + less
	case rises:
		return ", but never noticeably " + more
	case falls:
		return ", but never noticeably " + less
	}
	return ""
}

// firstChange writes by how much, for whom, and where the hands may not move.
func (t *textWriter) firstChange(r *outcome.Result) {
	for i := range r.Models {
		m := &r.Models[i]
		size, d := sizesOf(r.Claim, m.Model.Statics), m.Pooled.Draws
		label := func(text string) string {
			if len(r.Models) > 1 {
				return m.Name + ", " + text
			}
			return text
		}
		if d.InUnit.P50 == nil {
			t.fact(label("the middle person"), "most take the posture only before or only after")
			continue
		}
		middle := size.about(*d.InUnit.P50)
		if span := size.unsure(d.InUnit); span != "" {
			middle += " (" + span + " by what nobody measured)"
		}
		t.fact(label("the middle person"), middle+asSaid(r.Claim, m.Model.Statics, d))
		if len(r.Models) > mostQuoted {
			continue
		}
		t.fact(label("nine in ten people"), size.span(d.PeopleInUnit))
		if sexes := apart(m, &size); sexes != "" {
			t.fact("", sexes)
		}
		t.firstRules(r, m, &size)
	}
}

// firstRules writes what is so where the changed body may not choose its posture. What both
// rules leave alike is told once.
func (t *textWriter) firstRules(r *outcome.Result, m *outcome.ModelResult, size *sizes) {
	said := map[string][]string{}
	var order []string
	for rule := range scenario.NumPostureRules {
		u, told := m.Pooled.Draws.Under[rule.String()]
		if !told || u.Effect.P50 == nil {
			continue
		}
		text := size.about(*u.Effect.P50)
		if span := size.unsure(u.Effect); span != "" {
			text += " (" + span + ")"
		}
		if said[text] == nil {
			order = append(order, text)
		}
		said[text] = append(said[text], map[scenario.PostureRule]string{
			scenario.SameAngle: "arms at the old angle", scenario.SameSpacing: "on bars that stay put"}[rule])
	}
	for _, text := range order {
		t.fact(said[text][len(said[text])-1], text)
	}
}

// apart says what each population says, where they part.
func apart(m *outcome.ModelResult, size *sizes) string {
	if len(m.Groups) < 2 {
		return ""
	}
	var parts []string
	differ := false
	for _, g := range m.Groups {
		if g.Draws.InUnit.P50 == nil {
			return ""
		}
		text := size.about(*g.Draws.InUnit.P50)
		differ = differ || g.Verdict != m.Groups[0].Verdict || size.way(*g.Draws.InUnit.P50)*size.way(*m.Groups[0].Draws.InUnit.P50) < 0
		parts = append(parts, words.Sexes(g.People)+" "+text)
	}
	if !differ {
		return ""
	}
	return strings.Join(parts, ", ")
}

// about is compared in the digits that a coach has a use for.
func (s *sizes) about(x float64) string {
	if s.way(x) != 0 && math.Abs(x) < s.little {
		return "hardly changes, " + words.NoBreak(s.signed(x))
	}
	return s.compared(x)
}

// unsure is the span of what nobody measured, empty where nothing of it is left in the
// digits.
func (s *sizes) unsure(e outcome.Summary) string {
	if e.P5 == nil || e.P95 == nil || s.signed(*e.P5) == s.signed(*e.P95) {
		return ""
	}
	return s.span(e)
}

// firstContrast writes by how much groups of people differ.
func (t *textWriter) firstContrast(r *outcome.Result) {
	for i := range r.Contrast {
		d := &r.Contrast[i]
		size := sizesOf(r.Claim, modelOf(r, d.Model))
		label := words.Sexes(d.People)
		if len(r.Models) > 1 {
			label = d.Model + ", " + label
		}
		if d.Draws.InUnit.P50 == nil {
			t.fact(label, "too many cannot take the posture")
			continue
		}
		text := size.about(*d.Draws.InUnit.P50)
		if span := size.unsure(d.Draws.InUnit); span != "" {
			text += " (" + span + " by what nobody measured)"
		}
		if p := d.Draws.Greater.P50; p != nil {
			_, more := words.Ways(r.Claim.Demand)
			text += "; in " + words.Number(100**p, 0) + " of 100 pairs it is " + more + " for the first"
		}
		t.fact(label, text)
	}
}

// tell is a sentence for a class, and what would settle what is open.
func tell(r *outcome.Result) string {
	text := "Tell a class: " + advice(r)
	if said := taughtBriefly(r); said != "" {
		text += " " + said
	}
	return text
}

// advice is what to tell: from the verdict and the size, never typed for a claim.
func advice(r *outcome.Result) string {
	c := r.Claim
	switch r.Verdict {
	case claim.Supported, claim.LessThanSaid, claim.MoreThanSaid, claim.SizeOpen, claim.Contradicted:
		if size := roundly(r); size != "" {
			return size
		}
	case claim.NoEffect:
		return "it makes no difference at all. " + noEffectReason(r)
	case claim.NoDifference:
		return "it makes no difference that you would notice."
	case claim.DependsOnBody:
		return "it depends on whom you ask. " + strings.TrimSpace(bodySentence(r))
	case claim.NobodyHolds:
		return "hardly anybody who was drawn can take this posture."
	}
	if c.Expect == claim.None && r.Verdict == claim.Supported {
		return "it makes no difference that you would notice."
	}
	if size := roundly(r); size != "" && c.Contrast == nil {
		return strings.TrimSuffix(size, ".") + "; whether nearly everybody would notice is not settled" + unsettledBy(r) + "."
	}
	return "nobody knows yet" + unsettledBy(r) + "."
}

// roundly is the size for a class, over what nobody measured; empty where it may go either way.
func roundly(r *outcome.Result) string {
	c := r.Claim
	less, more := words.Ways(c.Demand)
	way := ""
	low, high := math.Inf(1), math.Inf(-1)
	add := func(d *outcome.Draws) {
		if d.InUnit.P5 != nil && d.InUnit.P95 != nil {
			low, high = math.Min(low, *d.InUnit.P5), math.Max(high, *d.InUnit.P95)
		}
	}
	for i := range r.Contrast {
		add(r.Contrast[i].Draws)
	}
	for i := range r.Models {
		if r.Claim.Contrast == nil {
			add(r.Models[i].Pooled.Draws)
		}
	}
	switch {
	case low > high || low <= 0 && high >= 0:
		return ""
	case low > 0:
		way = more
	default:
		way, low, high = less, -high, -low
	}
	size := sizesOf(c, hold.Equilibrium)
	subject := "it is"
	if !size.hard {
		subject = words.PlainNoun(c.Demand) + " is"
	}
	whom := " for the middle person."
	if c.Contrast != nil {
		whom = ", from the middle of one group to the middle of the other."
	}
	return subject + " " + words.NoBreak(words.Interval(size.plain(low), size.plain(high))) + " " + way + whom
}

// unsettledBy says what leaves a verdict open, for a class.
func unsettledBy(r *outcome.Result) string {
	best, name := 0.0, ""
	look := func(v claim.Verdict, d *outcome.Draws) {
		if d.Decisive != nil && d.Decisive.OfVerdict.Value > best {
			best, name = d.Decisive.OfVerdict.Value, d.Decisive.Name
		}
	}
	for i := range r.Models {
		for _, g := range r.Models[i].Groups {
			look(g.Verdict, g.Draws)
		}
	}
	for i := range r.Contrast {
		look(r.Contrast[i].Verdict, r.Contrast[i].Draws)
	}
	if name == "" {
		return ""
	}
	return "; it hangs on " + plainDecider(name)
}

// taughtBriefly is what the rule that is taught says, where it goes another way or as far
// again.
func taughtBriefly(r *outcome.Result) string {
	said := r.Taught
	if said == nil || r.Claim.Contrast != nil {
		return ""
	}
	size, effect := sizesOf(r.Claim, said.Model.Statics), &said.Pooled.Quantity.Effect
	if r.Claim.Threshold().Share > 0 {
		effect = said.Pooled.Percent
	}
	if effect.P50 == nil {
		return ""
	}
	return "The lift-and-turn rule that is taught says " + size.about(*effect.P50) + "; it leaves the shoulders out."
}

// young reports whether the people of a name are youths.
func young(population string) bool {
	p, err := anthro.Load(population)
	return err == nil && p.Young()
}
