package said

import (
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/outcome"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
)

// First writes the first screen of a claim's result.
func First(w io.Writer, r *outcome.Result) error {
	t := &claimText{words.Writer{W: w}}
	t.Wrap("“", "", r.Claim.Says+"”")
	t.Wrap("", "  ", Answer(r))
	t.fact("compared", ChangeSentence(r.Claim))
	if d := r.Claim.Demand; d != hold.Difficulty && d != hold.RequiredForce && r.Claim.Contrast == nil {
		t.fact("of what", words.Noun(d, hold.Equilibrium))
	}
	if r.Claim.Contrast != nil {
		t.firstContrast(r)
	} else if r.Verdict != claim.NoEffect && r.Verdict != claim.NobodyHolds {
		t.firstChange(r)
	}
	if m := MeasuredOf(r.Claim); m != nil {
		t.fact("force plates", strings.TrimPrefix(m.Quoted, "force plates "))
	}
	if t.whom(r); r.ForWhom != nil {
		t.Line("")
	}
	t.Wrap("", "  ", tell(r))
	t.FirstNotes(r.Warnings)
	if slices.ContainsFunc(populations(r), young) {
		t.FirstNotes([]string{words.CautionYoung})
	}
	t.Wrap("", "  ", "Simulated bodies of "+PeopleWords(r)+".")
	t.Wrap("", "", words.Caution)
	return t.Err
}

// Answer is the verdict as it is said first, with what the draws agree on.
func Answer(r *outcome.Result) string {
	if parts := Apart(r); parts != nil {
		text := make([]string, len(parts))
		for i, p := range parts {
			head, size, _ := strings.Cut(saysOf(r, p, words.English), ", ")
			text[i] = words.Loud(words.Sexes(p.People)) + ": " + strings.TrimSuffix(words.Loud(head)+", "+size, ", ")
		}
		return strings.Join(text, "; ")
	}
	return words.Loud(answered(r, words.English)) + CentralAlone(r) + NeverSaid(r)
}

// fact writes a line of the first screen behind its label.
func (t *claimText) fact(label, text string) {
	t.Wrap(fmt.Sprintf("  %-21s ", label), strings.Repeat(" ", 24), text)
}

// AgreedNever says which ways the draws agree that nothing goes where the verdict is open:
// that it never rises by enough to matter, and that it never falls.
func AgreedNever(r *outcome.Result) (rises, falls bool) {
	if r.Verdict.Settled() || r.Claim.Contrast != nil {
		return false, false
	}
	rises, falls = true, true
	for i := range r.Models {
		d := r.Models[i].Pooled.Draws
		rises, falls = rises && d.NeverRises, falls && d.NeverFalls
	}
	return rises, falls
}

// NeverSaid is what the draws agree on where the verdict is open, such as "; never easier".
func NeverSaid(r *outcome.Result) string {
	less, more := words.Ways(r.Claim.Demand)
	rises, falls := AgreedNever(r)
	switch {
	case rises && falls:
		return ", but almost never " + noticeably(r.Claim, more) + " or " + noticeably(r.Claim, less)
	case rises:
		return ", but almost never " + noticeably(r.Claim, more)
	case falls:
		return ", but almost never " + noticeably(r.Claim, less)
	}
	return ""
}

// OwnThreshold reports whether a claim says itself what matters.
func OwnThreshold(c *claim.Claim) bool { return c.Threshold() != claim.DefaultMatters(c.Demand) }

// threshold is what matters to a claim, in a coach's words.
func threshold(c *claim.Claim) string {
	return strings.TrimSuffix(words.Threshold(c), " of the baseline")
}

// noticeably is a way by enough to matter: what anybody notices, or the claim's own threshold.
func noticeably(c *claim.Claim, way string) string {
	if OwnThreshold(c) {
		return way + " by " + threshold(c) + " or more"
	}
	return "noticeably " + way
}

// noDifference is said of a claim where nothing matters.
func noDifference(c *claim.Claim) string {
	if OwnThreshold(c) {
		return "it makes no difference of " + threshold(c) + " or more."
	}
	return "it makes no difference that you would notice."
}

// firstChange writes by how much, for whom, and where the hands may not move.
func (t *claimText) firstChange(r *outcome.Result) {
	for i := range r.Models {
		m := &r.Models[i]
		size, d := SizesOf(r.Claim, m.Model.Statics), m.Pooled.Draws
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
		by := " by what nobody has measured"
		middle := func(d *outcome.Draws) string {
			text := size.About(d.InUnit, HardlyChanges)
			if span := size.unsure(d.InUnit); span != "" {
				text += " (" + span + by + ")"
				by = ""
			}
			return text + asSaid(r.Claim, m.Model.Statics, d)
		}
		if Parted(r, m) {
			for g, of := range m.Groups {
				t.fact(label(MiddleOf(r, g)), middle(of.Draws))
			}
		} else {
			t.fact(label("the middle person"), middle(d))
		}
		if len(r.Models) > mostQuoted {
			continue
		}
		t.fact(label("nine in ten people"), byBodies(&size, d))
		t.firstRules(r, m, &size)
	}
}

// byBodies is how nine in ten people differ, and where what nobody has measured moves the
// effect, that it is not in this.
func byBodies(size *ClaimSizes, d *outcome.Draws) string {
	text := size.reach(d.PeopleInUnit)
	if size.unsure(d.InUnit) != "" {
		text += " by their bodies alone"
	}
	return text
}

// where is how the changed body may place its arms.
var where = [scenario.NumPostureRules]string{
	scenario.AtBest: "hands free to move", scenario.SameAngle: "arms at the old angle", scenario.SameSpacing: "on bars that stay put",
}

// firstRules writes what is so where the changed body may not choose its posture. What both
// rules leave alike is told once.
func (t *claimText) firstRules(r *outcome.Result, m *outcome.ModelResult, size *ClaimSizes) {
	said := map[string][]string{}
	var order []string
	for rule := range scenario.NumPostureRules {
		u, told := m.Pooled.Draws.Under[rule.String()]
		if !told || u.Effect.P50 == nil {
			continue
		}
		text := size.About(u.Effect, HardlyChanges)
		if span := size.unsure(underRule(r, m, rule)); span != "" {
			text += " (" + span + ")"
		}
		if said[text] == nil {
			order = append(order, text)
		}
		said[text] = append(said[text], where[rule])
	}
	for _, text := range order {
		t.fact(said[text][len(said[text])-1], text)
	}
}

// About is compared in the digits that a coach has a use for, of the middle of a summary
// that stays as little as that to its ends.
func (s *ClaimSizes) About(e outcome.Summary, hardly string) string {
	x, most := *e.P50, 0.0
	for _, end := range []*float64{e.P5, e.P50, e.P95} {
		if end != nil {
			most = max(most, math.Abs(*end))
		}
	}
	if s.Way(x) != 0 && most < s.Little {
		return hardly + ", " + words.NoBreak(s.Signed(x))
	}
	return s.Compared(x)
}

// What is said of an effect too small to notice: of a change, and between groups.
const (
	HardlyChanges = "hardly changes"
	HardlyDiffer  = "hardly differ"
)

// unsure is the span of what nobody has measured, empty where nothing of it is left in the
// digits.
func (s *ClaimSizes) unsure(e outcome.Summary) string {
	if e.P5 == nil && e.P95 == nil || e.P5 != nil && e.P95 != nil && s.Signed(*e.P5) == s.Signed(*e.P95) {
		return ""
	}
	return s.reach(e)
}

// reach is span with the ways named where they part.
func (s *ClaimSizes) reach(e outcome.Summary) string {
	if e.P5 != nil && e.P95 != nil && s.Way(*e.P5)*s.Way(*e.P95) < 0 {
		return s.Between(*e.P5, *e.P95)
	}
	return s.Span(e)
}

// firstContrast writes by how much groups of people differ.
func (t *claimText) firstContrast(r *outcome.Result) {
	for i := range r.Contrast {
		d := &r.Contrast[i]
		size := SizesOf(r.Claim, ModelOf(r, d.Model))
		label := words.Sexes(d.People)
		if len(r.Models) > 1 {
			label = d.Model + ", " + label
		}
		if d.Draws.InUnit.P50 == nil {
			t.fact(label, "too many cannot take the posture")
			continue
		}
		text := size.About(d.Draws.InUnit, HardlyDiffer)
		if span := size.unsure(d.Draws.InUnit); span != "" {
			text += " (" + span + " by what nobody has measured)"
		}
		if _, in, _ := Pairs(r.Claim, d.Draws); in != "" {
			text += "; " + in
		}
		t.fact(label, text)
	}
}

// Pairs says in how many of a hundred pairs it is so for the one of the top group, the way
// that the difference goes, in the middle of what nobody has measured; the same with from how many
// to how many.
func Pairs(c *claim.Claim, d *outcome.Draws) (middle, whole string, pairs [3]float64) {
	greater := d.Greater
	if greater.P5 == nil || greater.P50 == nil || greater.P95 == nil {
		return "", "", pairs
	}
	less, way := words.Ways(c.Demand)
	pairs = [3]float64{100 * *greater.P5, 100 * *greater.P50, 100 * *greater.P95}
	if *d.InUnit.P50 < 0 {
		way, pairs = less, [3]float64{100 - pairs[2], 100 - pairs[1], 100 - pairs[0]}
	}
	number := func(p float64) string { return words.Number(p, 0) }
	middle = "in " + number(pairs[1]) + " of 100 pairs it is " + way + " for " + words.ContrastedOne(c.Contrast)
	if whole = middle; number(pairs[0]) != number(pairs[2]) {
		whole += " (" + words.Interval(number(pairs[0]), number(pairs[2])) + ")"
	}
	return middle, whole, pairs
}

// tell is a sentence for a class, and what would settle what is open.
func tell(r *outcome.Result) string {
	text := Advice(r)
	if said := taughtBriefly(r); said != "" {
		text += " " + said
	}
	return text
}

// Advice is one sentence for a class. Of people alone there is none.
func Advice(r *outcome.Result) string {
	if r.Central && r.Verdict != claim.NoEffect {
		return "Tell a class: nothing yet; only people were drawn, and not what nobody has measured."
	}
	return "Tell a class: " + advice(r)
}

// advice is what to tell: from the verdict and the size, never typed for a claim.
func advice(r *outcome.Result) string {
	c := r.Claim
	switch r.Verdict {
	case claim.Supported, claim.LessThanSaid, claim.MoreThanSaid, claim.SizeOpen, claim.Contradicted:
		if size := roundly(r, nil); size != "" {
			return size
		}
	case claim.NoEffect:
		return "it makes no difference at all. " + noEffectReason(r)
	case claim.NoDifference:
		return noDifference(c)
	case claim.DependsOnBody:
		return "it depends on the people you ask. " + strings.TrimSpace(bodySentence(r))
	case claim.NobodyHolds:
		return "hardly anybody who was drawn can take this posture."
	}
	if c.Expect == claim.None && r.Verdict == claim.Supported {
		return noDifference(c)
	}
	if size := roundly(r, nil); size != "" && c.Contrast == nil {
		notice := "nearly everybody would notice"
		if OwnThreshold(c) {
			notice = "it is " + threshold(c) + " or more for nearly everybody"
		}
		return strings.TrimSuffix(size, ".") + "; whether " + notice + " is not settled" + unsettledBy(r) + "."
	}
	if text := settledFor(r); text != "" {
		return text
	}
	return "nobody knows yet" + unsettledBy(r) + "."
}

// settledFor is the size for those of the people for whom a verdict that is open as a whole
// is settled; empty where there are none, or it is no size.
func settledFor(r *outcome.Result) string {
	settled := map[string]bool{}
	var people []string
	for _, p := range r.Parts() {
		before, seen := settled[p.People]
		d := classOf(p.Verdict)
		settled[p.People] = (before || !seen) && (d == claim.Supported || d == claim.Contradicted)
		people = names.Once(people, p.People)
	}
	var those, others []string
	for _, name := range people {
		if settled[name] {
			those = append(those, words.Sexes(name))
		} else {
			others = append(others, words.Sexes(name))
		}
	}
	size := roundly(r, func(name string) bool { return settled[name] })
	if len(those) == 0 || size == "" {
		return ""
	}
	return "for " + words.And(those) + " " + strings.TrimSuffix(size, ".") + "; for " + words.And(others) + " nobody knows yet" + unsettledBy(r) + "."
}

// reachOver is from where to where the effect goes over what nobody has measured, over all models
// and over the populations that are asked about (all of them by nil).
func reachOver(r *outcome.Result, of func(people string) bool) (low, high float64, told bool) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range r.Parts() {
		if e := p.Draws.InUnit; (of == nil || of(p.People)) && e.P5 != nil && e.P95 != nil {
			low, high = math.Min(low, *e.P5), math.Max(high, *e.P95)
		}
	}
	return low, high, low <= high
}

// whose are the populations that reachOver goes over.
func whose(r *outcome.Result, of func(people string) bool) (names []string) {
	for _, g := range r.Models[0].Groups {
		if of == nil || of(g.People) {
			names = append(names, words.Sexes(g.People))
		}
	}
	return names
}

// roundly is the size for a class, as reachOver has it, or where all are told together as middleReach
// has; empty where it may go either way.
func roundly(r *outcome.Result, of func(people string) bool) string {
	c := r.Claim
	low, high, told := reachOver(r, of)
	together := of == nil && c.Contrast == nil && Each(r) == nil // as the lines above tell it
	if together {
		low, high, told = middleReach(r)
	}
	if !told || low <= 0 && high >= 0 {
		return ""
	}
	size := SizesOf(c, hold.Equilibrium)
	how := size.Between(low, high)
	if top, bottom := "", ""; c.Contrast != nil {
		top, bottom = words.Contrasted(c.Contrast)
		subject := "the hold"
		if !size.Hard {
			subject = words.PlainNoun(c.Demand)
		}
		return subject + " is " + how + " for " + top + " than for " + bottom + ", in the middle of each."
	}
	text := "it is "
	switch {
	case MeasuredOf(c) != nil:
		text = "by the model it is "
	case !size.Hard:
		text = words.PlainNoun(c.Demand) + " is "
	}
	text += how + " for the middle person"
	if each := whose(r, of); len(each) > 1 && !together {
		text = strings.TrimSuffix(text, "person") + "of " + strings.Join(each, " and of ")
	}
	return text + "."
}

// unsettledBy says what leaves a verdict open, for a class.
func unsettledBy(r *outcome.Result) string {
	name, _ := deciding(r)
	if name == "" {
		return ""
	}
	return "; it depends on " + words.English.Unknown(name)
}

// deciding is what decides most whether draws agree, and for how much of it it stands; empty
// where nothing does.
func deciding(r *outcome.Result) (name string, share float64) {
	for _, p := range r.Parts() {
		if d := p.Draws.Decisive; d != nil && d.OfVerdict.Value > share {
			name, share = d.Name, d.OfVerdict.Value
		}
	}
	return name, share
}

// taughtBriefly is what the rule that is taught says, where it goes another way or as far
// again.
func taughtBriefly(r *outcome.Result) string {
	said := r.Taught
	if said == nil || r.Claim.Contrast != nil {
		return ""
	}
	size, effect := SizesOf(r.Claim, said.Model.Statics), &said.Pooled.Quantity.Effect
	if r.Claim.Threshold().Share > 0 {
		effect = said.Pooled.Percent
	}
	if effect.P50 == nil {
		return ""
	}
	return "The lift-and-turn rule that is taught says " + size.About(*effect, HardlyChanges) + "; it leaves the shoulders out."
}

// young reports whether the people of a name are youths.
func young(population string) bool {
	p, err := anthro.Load(population)
	return err == nil && p.Young()
}

// claimText writes what is said of a claim.
type claimText struct{ words.Writer }

// Text writes a result for the terminal.
func Text(w io.Writer, r *outcome.Result) error {
	t := &claimText{words.Writer{W: w}}
	t.Line("“%s”", r.Claim.Says)
	t.Line("")
	t.Line("VERDICT: %s%s", words.Verdict(r.Verdict), CentralAlone(r))
	t.Wrap("", "", Headline(r))
	t.whom(r)
	for i := range r.Models {
		if r.Claim.Contrast == nil {
			t.model(r, &r.Models[i])
		}
	}
	for i := range r.Contrast {
		t.contrast(r, &r.Contrast[i])
	}
	if said := Taught(r); said != "" {
		t.Line("")
		t.Wrap("", "", said)
	}
	t.Line("")
	if mass := AddedText(r); mass != "" {
		t.Wrap("Mass    ", "        ", mass+".")
	}
	if pose := Pose(r.Claim); pose != "" {
		t.Wrap("Pose    ", "        ", pose)
	}
	t.Wrap("People  ", "        ", People(r))
	among := ", for at least " + words.Least(r.Claim) + " of bodies. "
	if r.Claim.Contrast != nil {
		among = " between the groups' medians. "
	}
	t.Wrap("Matters ", "        ", strings.TrimSpace(words.Threshold(r.Claim)+" or more"+among+r.Claim.Because))
	if said := words.Claimed(r.Claim); said != "" {
		t.Wrap("Claimed ", "        ", said+".")
	}
	if m := MeasuredOf(r.Claim); m != nil {
		t.Wrap("Plates  ", "        ", m.Says)
	}
	t.Wrap("Assumed ", "        ", Assumptions(r))
	for _, warning := range Warnings(r) {
		t.Wrap("Note    ", "        ", warning)
	}
	t.Line("")
	t.Wrap("", "", Validation(r.Claim)+" "+words.Cautions)
	return t.Err
}

// Pose says in which variant of its pose the hold is taken, first and after the
// change, or is empty where it is taken in none.
func Pose(c *claim.Claim) string {
	plain := func(p hold.Pose) string {
		if text := words.Pose(p); text != "" {
			return text
		}
		return "plain"
	}
	switch ch := c.Change; {
	case ch != nil && ch.Hold != nil:
		after := hold.Pose{}
		if ch.Pose != nil {
			after = *ch.Pose
		}
		return fmt.Sprintf("%s: %s; then %s: %s.", c.Hold.Name, plain(c.Pose), ch.Hold.Name, plain(after))
	case ch != nil && ch.Pose != nil && *ch.Pose != c.Pose:
		return fmt.Sprintf("%s: %s; then %s.", c.Hold.Name, plain(c.Pose), plain(*ch.Pose))
	case c.Pose != hold.Pose{}:
		return fmt.Sprintf("%s: %s.", c.Hold.Name, plain(c.Pose))
	}
	return ""
}

// People says who was held up, in a sentence.
func People(r *outcome.Result) string {
	var from []string
	for _, p := range r.Claim.People {
		text := p.Population
		if p.Own != nil {
			text += " (" + p.Own.Title + ")"
		} else if words.SurveyOf(text) != nil {
			text = words.Drawn([]string{text}, nil) + " (" + text + ")"
		}
		if p.Weight != r.Claim.People[0].Weight {
			text += " (weight " + words.Given(p.Weight) + ")"
		}
		from = append(from, text)
	}
	return fmt.Sprintf("%s bodies drawn from %s%s; seed %d.", words.Count(r.N), strings.Join(from, " and "), chosen(r), r.Seed)
}

// reweighted says to which means people were weighted, and what that leaves of
// the people weighted.
func reweighted(r *outcome.Result) string {
	if len(r.Claim.Targets)+len(r.Reweighted) == 0 {
		return ""
	}
	means := names.Of(r.Claim.Targets)
	left := names.Each(slices.Sorted(maps.Keys(r.Reweighted)), func(name string) string { return words.EffectiveShare(r.Reweighted[name]) + " (" + name + ")" })
	text := ", weighted"
	if len(means) > 0 {
		text = ", reweighted to " + strings.Join(means, " and ")
	}
	if len(left) > 0 {
		text += " (effective sample size: " + strings.Join(left, ", ") + ")"
	}
	return text
}

// Assumptions lists the assumptions that differ from their defaults and says
// how the rest was treated.
func Assumptions(r *outcome.Result) string {
	var changed []string
	for _, a := range assume.All() {
		if value := r.Claim.Assumed().Centre[a.ID]; value != a.Default {
			changed = append(changed, a.Name+" "+words.Assumption(a.ID, value))
		}
	}
	text := "all assumptions at their defaults"
	if len(changed) > 0 {
		text = strings.Join(changed, ", ") + ", the others at their defaults"
	}
	if d := drawsOf(r); d != nil {
		text += fmt.Sprintf("; drawn %s times over their ranges, in %d replicates", words.Count(d.N), d.Replicates)
	}
	return text + " (counterpoise data assumptions lists them)."
}

func drawsOf(r *outcome.Result) *outcome.Draws {
	if r.Claim.Contrast != nil {
		return r.Contrast[0].Draws
	}
	return r.Models[0].Pooled.Draws
}

// entry writes a line of a table behind its label.
func (t *claimText) entry(label, format string, args ...any) {
	t.Row(label, fmt.Sprintf(format, args...))
}

// spread writes the median of a summary with its 5–95 %.
func spread(write func(float64) string, s outcome.Summary) string {
	middle, around := write(Val(s.P50)), ends(write, s)
	if around == middle {
		return middle
	}
	return middle + " (" + around + ")"
}

// ends writes the 5–95 % of a summary.
func ends(write func(float64) string, s outcome.Summary) string {
	return words.Interval(write(Val(s.P5)), write(Val(s.P95)))
}

// model writes what one model says of a change.
func (t *claimText) model(r *outcome.Result, m *outcome.ModelResult) {
	c := r.Claim
	o := &m.Pooled
	p := words.DemandOf(c.Demand, m.Model.Statics)
	t.Line("")
	t.Line("%s — %s", m.Name, words.Verdict(m.Verdict))
	if m.Verdict == claim.NobodyHolds {
		t.entry("cannot hold it", "%s, all of the simulated bodies, before and after", words.Count(o.Excluded))
		return
	}
	size := SizesOf(c, m.Model.Statics)
	t.draws(&size, o.Draws)
	if said := agreedOn(r, m); said != "" {
		t.entry("agreed", "%s", said)
	}
	if m.Verdict != claim.NoEffect {
		t.entry("bodies", "as claimed %s, too small to matter %s, the other way %s", spread(words.Share, o.Draws.AsClaimed), spread(words.Share, o.Draws.TooSmall), spread(words.Share, o.Draws.Against))
		if c.Expect == claim.None {
			t.entry("", "(as claimed means: too small to matter)")
		}
	}
	if len(m.Groups) == 1 {
		t.agreement("draws", o.Draws, m.Verdict)
	} else {
		for _, g := range m.Groups {
			t.entry(g.People, "%s: %s, as claimed for %s", words.Verdict(g.Verdict), size.spread(g.Draws.InUnit), spread(words.Share, g.Draws.AsClaimed))
			t.agreement("", g.Draws, m.Verdict)
		}
	}
	if v := o.Draws.Split; v != nil && m.Verdict != claim.NoEffect {
		t.entry("varies by", "people %s, what nobody has measured %s, the two combined %s of the effect's variance", words.Share(v.People), words.Share(v.Assumptions), words.Share(v.Both))
	}
	t.Line("  at the central assumptions, one draw of many:")
	t.entry("before → after", "%s → %s", spread(p.Number, o.Quantity.Baseline), spread(p.Number, o.Quantity.Changed))
	if o.Excluded+o.BecameImpossible+o.BecamePossible > 0 {
		t.entry("cannot hold it", "%s at all (left out), %s only after the change, %s only before it", words.Count(o.Excluded), words.Count(o.BecameImpossible), words.Count(o.BecamePossible))
	}
	for _, d := range besideRows {
		if side, ok := o.Beside[d.String()]; ok && side.Effect.P50 != nil {
			q := words.DemandOf(d, m.Model.Statics)
			t.entry(words.Label(d), "%s → %s, median change %s", q.Number(Val(side.Baseline.P50)), q.Number(Val(side.Changed.P50)), q.Signed(Val(side.Effect.P50)))
		}
	}
	if o.BreakEven != nil && o.BreakEven.P50 != nil {
		whole := words.Demand{Unit: "%", Scale: 100}
		t.entry("break-even", "%s of the added mass must work in the hold to keep the difficulty the same (5–95 %% of bodies: %s); active_share and strength_exponent change it far more than people do",
			whole.Number(*o.BreakEven.P50), ends(whole.Number, *o.BreakEven))
	}
	if g := m.Groups[0].Trait; g != nil && m.Verdict != claim.NoEffect {
		t.entry("depends on", "%s (rank correlation %s among %s)", g.Name, words.Correlation(g.Correlation), m.Groups[0].People)
	}
}

// draws writes what the draws say of the effect.
func (t *claimText) draws(size *ClaimSizes, d *outcome.Draws) {
	t.entry("effect", "%s, the median over the draws (5–95 %% of them)", size.spread(d.InUnit))
	t.entry("people differ", "%s (5–95 %% of them)", words.NoBreak(ends(size.Signed, d.PeopleInUnit)))
	if d.DrawingError != nil && d.SurveyError != nil {
		t.entry("standard error", "%s from drawing, %s from which people the survey happened to measure", words.StandardError(*d.DrawingError, d.Unit), words.StandardError(*d.SurveyError, d.Unit))
	}
}

// agreement writes what the draws of one population say.
func (t *claimText) agreement(label string, d *outcome.Draws, v claim.Verdict) {
	if v != claim.NoEffect {
		t.entry(label, "of %s draws %s; %s agree with the most frequent%s", words.Count(d.N), verdictCounts(d), interval(d.Agreement), decisiveWords(d))
	}
}

// besideRows are the demands that are told beside the claim's own quantity, in
// order.
var besideRows = []hold.Demand{
	hold.RequiredForce, hold.Difficulty, hold.HandShare, hold.FootShare, hold.WallPush,
	hold.ShoulderMoment, hold.WristMoment, hold.WaistMoment, hold.HipMoment,
	hold.ArmAngle, hold.LeanAngle, hold.ArmTrunkAngle, hold.HandSpacing,
}

func interval(s outcome.Share) string {
	return words.Share(s.Value) + " (" + words.Number(100*s.Low, 1) + "–" + words.Number(100*s.High, 1) + ")"
}

// contrast writes what one model says of one population.
func (t *claimText) contrast(r *outcome.Result, c *outcome.ContrastResult) {
	m := ModelOf(r, c.Model)
	p := words.DemandOf(r.Claim.Demand, m)
	t.Line("")
	t.Line("%s, %s — %s", c.Model, c.People, words.Verdict(c.Verdict))
	size := SizesOf(r.Claim, m)
	t.draws(&size, c.Draws)
	t.agreement("draws", c.Draws, c.Verdict)
	t.entry("medians", "%s against %s", spread(p.Number, c.Draws.Before), spread(p.Number, c.Draws.After))
	top, bottom := words.Contrasted(r.Claim.Contrast)
	t.entry("pairs", "%s has the greater value in %s of pairs", words.ContrastedOne(r.Claim.Contrast), spread(words.Share, c.Draws.Greater))
	if of := r.Claim.Contrast; of.Sexes || of.Stated() {
		t.entry("groups", "%s against %s, at the central assumptions at least %s people each", top, bottom, words.Count(c.N))
	} else {
		t.entry("groups", "at the central assumptions %s people each: %s up to %s against %s and more", words.Count(c.N), c.By, words.Given(c.Cut.Low), words.Given(c.Cut.High))
	}
	if c.Impossible > 0 {
		t.entry("cannot hold it", "%s of both groups", words.Count(c.Impossible))
	}
}
