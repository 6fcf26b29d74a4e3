package said

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"counterpoise/internal/outcome"
	"counterpoise/internal/words"
	"counterpoise/sim/assume"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

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
	text := fmt.Sprintf("%s bodies drawn from %s", words.Count(r.N), strings.Join(from, " and "))
	for i, where := range r.Claim.Where {
		if i == 0 {
			text += " where "
		} else {
			text += " and "
		}
		text += words.Where(where)
	}
	text += reweighted(r)
	return text + fmt.Sprintf("; seed %d.", r.Seed)
}

// reweighted says to which means people were weighted, and what that leaves of
// the people weighted.
func reweighted(r *outcome.Result) string {
	if len(r.Claim.Targets)+len(r.Reweighted) == 0 {
		return ""
	}
	means := make([]string, len(r.Claim.Targets))
	for i, m := range r.Claim.Targets {
		means[i] = m.String()
	}
	var left []string
	for _, name := range slices.Sorted(maps.Keys(r.Reweighted)) {
		left = append(left, words.EffectiveShare(r.Reweighted[name])+" ("+name+")")
	}
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
	if said := agreedOn(c, m.Model.Statics, o.Draws, m.Verdict); said != "" {
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
