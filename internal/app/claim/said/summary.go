package said

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"counterpoise/internal/jsonform"
	"counterpoise/internal/library"
	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/internal/stored"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
)

// Summary is the outcome of a claim for machines: what claim test --json prints
// and summary.json holds. Forces are in body weights (BW), moments in BW·m,
// angles in degrees, lengths in metres, shares from 0 to 1; a value that is
// infinite, because bodies can no longer take the posture, is null.
type Summary struct {
	Claim      string                       `json:"claim"`                         // its name
	Says       string                       `json:"says"`                          // the saying that is tested
	Verdict    claim.Verdict                `json:"verdict"`                       // over all models and people
	Headline   string                       `json:"headline"`                      // in one sentence
	N          int                          `json:"n"`                             // bodies at the central assumptions
	Draws      int                          `json:"draws"`                         // behind the verdict
	Seed       uint64                       `json:"seed"`                          // of the random streams
	People     []stored.Group               `json:"people"`                        // whose bodies, with their weights
	Quantity   string                       `json:"quantity"`                      // demand that the claim is about
	Unit       string                       `json:"unit"`                          // of its values
	Expect     claim.Direction              `json:"expect"`                        // which way the saying expects it to go
	Matters    stored.Threshold             `json:"matters"`                       // from which size on an effect counts
	Claimed    *stored.Claimed              `json:"claimed,omitempty"`             // size that the saying promises
	Share      float64                      `json:"share"`                         // of people of whom it must be true
	Models     []ModelSummary               `json:"models"`                        // one a model
	Contrast   []outcome.ContrastResult     `json:"contrast,omitempty"`            // of a contrast, one a model and population
	Taught     *TaughtSummary               `json:"taught_rule,omitempty"`         // what the lift-and-turn rule that is taught says
	Added      []outcome.Added              `json:"added_mass,omitempty"`          // kg
	AddedWords string                       `json:"added_mass_in_words,omitempty"` // the same
	Warnings   []string                     `json:"warnings,omitempty"`            // what to know of it
	Reweighted map[string]stored.Reweighted `json:"reweighted,omitempty"`          // how people were reweighted, by population
	ForWhom    *WhomSummary                 `json:"for_whom,omitempty"`            // whether it comes out the same for other people
	Measured   *Measured                    `json:"force_plates,omitempty"`        // published measurements of the same poses
	Validation string                       `json:"validation"`                    // what of this was checked against measurements
	Cautions   string                       `json:"cautions"`                      // for whoever tries the hold
	Provenance provenance.Stamp             `json:"provenance"`                    // where the numbers come from
}

// BeforeAfter is the median of a demand for the first and the changed bodies.
type BeforeAfter struct {
	Baseline *float64 `json:"baseline"` // of the first bodies
	Changed  *float64 `json:"changed"`  // of the changed ones
}

// ModelSummary is one model's outcome: over all people together, and that of each
// population. Best angle and hand spacing are medians at the central assumptions.
type ModelSummary struct {
	Model       string            `json:"model"`                  // its name
	Verdict     claim.Verdict     `json:"verdict"`                // by it
	BestAngle   *BeforeAfter      `json:"best_angle,omitempty"`   // degrees
	HandSpacing *BeforeAfter      `json:"hand_spacing,omitempty"` // metres
	Pooled      *outcome.Outcome  `json:"pooled,omitempty"`       // over all people together
	Populations []outcome.Outcome `json:"populations,omitempty"`  // each for itself
}

// TaughtSummary is what the lift-and-turn rule that is taught says, which judges
// nothing: for the bodies together, or of a contrast for every population.
type TaughtSummary struct {
	Model    string             `json:"model"`                    // its name
	Sentence string             `json:"sentence"`                 // what it says
	N        int                `json:"n"`                        // bodies
	Baseline *outcome.Summary   `json:"baseline,omitempty"`       // the demand before the change
	Changed  *outcome.Summary   `json:"changed,omitempty"`        // after it
	Effect   *outcome.Summary   `json:"effect,omitempty"`         // of the change
	Percent  *outcome.Summary   `json:"effect_percent,omitempty"` // of the demand before
	Contrast []TaughtDifference `json:"contrast,omitempty"`       // one a population
	Upwards  float64            `json:"arm_forces_upwards_bw"`    // 1 in balance
}

// TaughtDifference is the difference of a contrast's medians in one population.
type TaughtDifference struct {
	People     string   `json:"people"`     // population
	Difference *float64 `json:"difference"` // of the groups' medians
}

// summariseTaught is nil where the rule has no answer.
func summariseTaught(r *outcome.Result) *TaughtSummary {
	said := r.Taught
	if said == nil {
		return nil
	}
	s := &TaughtSummary{Model: said.Model.String(), Sentence: Taught(r), N: said.N, Upwards: said.Upwards}
	s.Contrast = names.Each(said.Contrast, func(c outcome.ContrastResult) TaughtDifference {
		return TaughtDifference{c.People, jsonform.Finite(c.Median.High - c.Median.Low)}
	})
	if r.Claim.Contrast == nil {
		q := &said.Pooled.Quantity
		s.Baseline, s.Changed, s.Effect, s.Percent = &q.Baseline, &q.Changed, &q.Effect, said.Pooled.Percent
	}
	return s
}

// Summarise turns a result into its summary.
func Summarise(r *outcome.Result, stamp provenance.Stamp) Summary {
	c := r.Claim
	_, unit := outcome.ColumnUnit(c.Demand)
	s := Summary{
		Claim: c.Name, Says: c.Says, Verdict: r.Verdict, Headline: Headline(r),
		N: r.N, Draws: r.Draws, Seed: r.Seed, People: stored.StoreGroups(c.People),
		Quantity: c.Demand.String(), Unit: unit, Expect: c.Expect, Matters: stored.StoreThreshold(c), Claimed: (*stored.Claimed)(c.Claimed), Share: c.Share,
		Contrast: r.Contrast, Taught: summariseTaught(r), Added: r.Added, AddedWords: AddedText(r), Warnings: Warnings(r), Reweighted: stored.StoreReweighted(r.Reweighted), ForWhom: summariseWhom(r), Measured: MeasuredOf(c), Validation: Validation(c), Cautions: words.Cautions, Provenance: stamp,
	}
	for i := range r.Models {
		m := &r.Models[i]
		summary := ModelSummary{Model: m.Name, Verdict: m.Verdict}
		if c.Contrast == nil {
			o := &m.Pooled
			summary.BestAngle = beforeAfter(c, o, hold.ArmAngle)
			summary.HandSpacing = beforeAfter(c, o, hold.HandSpacing)
			summary.Pooled, summary.Populations = o, m.Groups
		}
		s.Models = append(s.Models, summary)
	}
	return s
}

// beforeAfter returns the medians of a demand, or nil where the model lacks it.
func beforeAfter(c *claim.Claim, o *outcome.Outcome, d hold.Demand) *BeforeAfter {
	m, ok := o.Beside[d.String()]
	if d == c.Demand {
		m, ok = o.Quantity, true
	}
	if !ok {
		return nil
	}
	return &BeforeAfter{m.Baseline.P50, m.Changed.P50}
}

// SortByHold puts results into the order in which a library shows them: by hold, then
// by name.
func SortByHold(results []*outcome.Result) {
	slices.SortStableFunc(results, func(a, b *outcome.Result) int {
		return cmp.Or(strings.Compare(a.Claim.Hold.Name, b.Claim.Hold.Name), strings.Compare(a.Claim.Name, b.Claim.Name))
	})
}

// Entry puts a result into the form of a library.
func Entry(r *outcome.Result) library.Claim {
	c := r.Claim
	e := library.Claim{
		Name: c.Name, Says: c.Says, Hold: c.Hold.Name, Change: ChangeSentence(c), Quantity: c.Demand.String(),
		Expect: c.Expect.String(), Matters: words.Threshold(c), Verdict: r.Verdict.String(), Headline: Headline(r), N: r.N,
	}
	row := func(model, people string, v claim.Verdict, d *outcome.Draws) {
		e.Models = append(e.Models, library.Row{
			Model: model, People: people, Verdict: v.String(), Unit: d.Unit, P50: d.InUnit.P50, P5: d.InUnit.P5, P95: d.InUnit.P95, Share: d.AsClaimed.P50,
		})
	}
	for i := range r.Models {
		switch m := &r.Models[i]; {
		case c.Contrast != nil:
		case Parted(r, m):
			for _, g := range m.Groups {
				row(m.Name, g.People, g.Verdict, g.Draws)
			}
		default:
			row(m.Name, "", m.Verdict, m.Pooled.Draws)
		}
	}
	for i := range r.Contrast {
		d := &r.Contrast[i]
		row(d.Model, d.People, d.Verdict, d.Draws)
	}
	e.ForWhom = whomEntry(r)
	return e
}

// RowText prints a row's effect with its spread.
func RowText(row *library.Row, d hold.Demand) string {
	size := ClaimSizes{words.SizesOf(d, hold.Equilibrium)}
	if row.Unit != "%" {
		size.Signed = words.DemandOf(d, hold.Equilibrium).Signed
	}
	return size.spread(outcome.Summary{P5: row.P5, P50: row.P50, P95: row.P95})
}

// Counts returns how many results have each verdict, in the order of the verdicts.
func Counts(results []*outcome.Result) []VerdictCount {
	var counts []VerdictCount
	for v := claim.Supported; v <= claim.NobodyHolds; v++ {
		if n := names.HowMany(results, func(r *outcome.Result) bool { return r.Verdict == v }); n > 0 {
			counts = append(counts, VerdictCount{v, n})
		}
	}
	return counts
}

// VerdictCount is how many claims have a verdict.
type VerdictCount struct {
	Verdict claim.Verdict `json:"verdict"`
	N       int           `json:"n"`
}

// TableText writes an overview of results for the terminal, in their order.
func TableText(w io.Writer, results []*outcome.Result) error {
	t := &claimText{words.Writer{W: w}}
	last := ""
	for _, r := range results {
		c := r.Claim
		if c.Hold.Name != last {
			if last != "" {
				t.Line("")
			}
			t.Line("%s", c.Hold.Name)
			last = c.Hold.Name
		}
		t.Line("  %-26s %-28s matters: %s", c.Name, words.Verdict(r.Verdict), words.Threshold(c))
		for _, row := range Entry(r).Models {
			t.Line("    %-26s %-26s %s", row.Name(), row.Verdict, RowText(&row, c.Demand))
		}
		if r.ForWhom != nil {
			t.Wrap("    for whom: ", "      ", Whom(r.ForWhom))
		}
	}
	t.Line("")
	parts := names.Each(Counts(results), func(n VerdictCount) string { return fmt.Sprintf("%d %s", n.N, words.Verdict(n.Verdict)) })
	t.Wrap("", "", fmt.Sprintf("%d claims: %s.", len(results), strings.Join(parts, ", ")))
	if depend := dependOnWhom(results); depend != "" {
		t.Wrap("", "", depend)
	}
	t.Wrap("", "", "Effects are on the middle person, of each of the people where they part, or between the groups' medians: the median over the draws, with 5–95 % of them.")
	t.Wrap("", "", "Model estimates. "+words.Cautions)
	return t.Err
}

// WhomSummary is for whom a claim was asked, in its JSON form.
type WhomSummary struct {
	Says string `json:"says"` // in one sentence
	*outcome.ForWhom
}

func summariseWhom(r *outcome.Result) *WhomSummary {
	if r.ForWhom == nil {
		return nil
	}
	return &WhomSummary{Whom(r.ForWhom), r.ForWhom}
}

// whomEntry is the same in the form of a library, of each population the first model's
// effect; nil where nobody else was asked about.
func whomEntry(r *outcome.Result) *library.ForWhom {
	if r.ForWhom == nil {
		return nil
	}
	e := &library.ForWhom{Verdict: r.ForWhom.Verdict.String(), Says: Whom(r.ForWhom)}
	for _, p := range r.ForWhom.People {
		row := library.Row{People: p.People}
		if p.Verdict == nil {
			row.Verdict = "not judged"
		} else {
			m := &p.Models[0]
			row.Model, row.Verdict, row.Unit = m.Model, p.Verdict.String(), m.Unit
			row.P50, row.P5, row.P95 = m.Effect.P50, m.Effect.P5, m.Effect.P95
		}
		e.People = append(e.People, row)
	}
	return e
}

// whomClass is people for whom one verdict is given, whatever it says of the size; those
// who are open or not judged are a class each as well.
type whomClass struct {
	verdict claim.Verdict // of the first of them
	sizes   bool          // whether they differ in what is said beside it
	who     []string      // populations
}

// classOf is what makes a verdict another one than another.
func classOf(v claim.Verdict) claim.Verdict {
	switch {
	case v == claim.NoEffect:
		return claim.NoDifference
	case !v.Settled():
		return claim.OpenAssumptions
	}
	return v.Direction()
}

// classes sorts those asked by their verdicts, the settled ones before the others.
func classes(f *outcome.ForWhom) (settled []whomClass, open []string) {
	for _, p := range f.People {
		switch {
		case p.Verdict == nil:
			continue
		case !p.Verdict.Settled():
			open = append(open, p.People)
			continue
		}
		k := slices.IndexFunc(settled, func(c whomClass) bool { return classOf(c.verdict) == classOf(*p.Verdict) })
		if k < 0 {
			k = len(settled)
			settled = append(settled, whomClass{verdict: *p.Verdict})
		}
		settled[k].who = append(settled[k].who, p.People)
		settled[k].sizes = settled[k].sizes || settled[k].verdict != *p.Verdict
	}
	return settled, open
}

func (c *whomClass) name() string {
	class := classOf(c.verdict)
	switch {
	case !c.sizes:
		return words.Verdict(c.verdict).Name
	case class == claim.Supported:
		return words.Verdict(class).Name + ", though not by the same amount,"
	}
	return words.Verdict(class).Name
}

// DependsOnWhom reports whether two settled verdicts of those asked differ.
func DependsOnWhom(f *outcome.ForWhom) bool {
	settled, _ := classes(f)
	return len(settled) > 1
}

// dependOnWhom names the claims whose verdict depends on the people; empty where nobody was asked
// about.
func dependOnWhom(results []*outcome.Result) string {
	asked, names := 0, []string(nil)
	for _, r := range results {
		if r.ForWhom == nil {
			continue
		}
		if asked++; DependsOnWhom(r.ForWhom) {
			names = append(names, r.Claim.Name)
		}
	}
	switch {
	case asked == 0:
		return ""
	case len(names) == 0:
		return "No settled verdict depends on the people."
	}
	return fmt.Sprintf("Verdicts that depend on the people (%d): %s.", len(names), words.And(names))
}

// Whom says in a sentence or two whether a verdict depends on the people it is asked for.
func Whom(f *outcome.ForWhom) string {
	settled, open := classes(f)
	var asked, others []string
	for _, p := range f.People {
		if p.Verdict != nil {
			asked = append(asked, p.People)
		} else {
			others = append(others, p.People)
		}
	}
	notJudged := ""
	if len(others) > 0 {
		notJudged = " Not judged: " + words.Kinds(others, others) + "."
	}
	parts := names.Each(settled, func(s whomClass) string { return s.name() + " for " + words.Kinds(s.who, asked) })
	notSettled := ""
	if len(open) > 0 {
		notSettled = "not settled for " + words.Kinds(open, asked)
	}
	switch {
	case len(settled) == 0:
		return "Not settled for anybody judged, so whether it depends on the people is not settled either." + notJudged
	case len(settled) == 1 && notSettled == "":
		return "The verdict does not depend on the people: " + settled[0].name() + " for everybody judged." + notJudged
	case len(settled) == 1:
		return words.Capital(parts[0]) + ", " + notSettled + ": whether it depends on the people is not settled." + notJudged
	}
	if notSettled != "" {
		parts = append(parts, notSettled)
	}
	return "It depends on the people: " + strings.Join(parts, "; ") + "." + carries(f) + notJudged
}

// carries says which kinds of people a verdict does not carry to: from soldiers, whom most
// is known of, to the public, and from the public to the others.
func carries(f *outcome.ForWhom) string {
	each := map[string][]claim.Verdict{}
	var kinds []string
	for _, p := range f.People {
		if kind := words.Kind(p.People); p.Verdict != nil {
			if each[kind] == nil {
				kinds = append(kinds, kind)
			}
			each[kind] = append(each[kind], *p.Verdict)
		}
	}
	differ := func(a, b string) bool {
		v, w := claim.Together(each[a]), claim.Together(each[b])
		return each[a] != nil && each[b] != nil && v.Settled() && w.Settled() && classOf(v) != classOf(w)
	}
	text := ""
	if differ(words.Soldiers, words.Public) {
		text = " The saying does not carry over from " + words.Soldiers + " to " + words.Public + "."
	}
	others := slices.DeleteFunc(slices.Clone(kinds), func(kind string) bool {
		return kind == words.Soldiers || kind == words.Public || !differ(words.Public, kind)
	})
	if len(others) > 0 {
		text += " What holds for " + words.Public + " does not carry over to " + words.And(others) + "."
	}
	return text
}

// whomName names a population asked about, where women are compared with men both of them.
func whomName(r *outcome.Result, population string) string {
	if c := r.Claim.Contrast; c != nil && c.Sexes {
		return words.Kind(population)
	}
	return words.Sexes(population)
}

// whom writes the table of those asked.
func (t *claimText) whom(r *outcome.Result) {
	e := whomEntry(r)
	if e == nil {
		return
	}
	t.Line("")
	t.Line("For whom (the middle person; in brackets, over what nobody has measured)")
	for i, row := range e.People {
		effect := r.ForWhom.People[i].Why
		if effect == "" {
			effect = RowText(&row, r.Claim.Demand)
		}
		first := fmt.Sprintf("  %-24s %-39s", whomName(r, row.People), row.Verdict)
		t.Wrap(first, strings.Repeat(" ", 26), effect)
	}
	t.Wrap("  ", "  ", e.Says)
}
