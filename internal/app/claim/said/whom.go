package said

import (
	"fmt"
	"slices"
	"strings"

	"counterpoise/internal/library"
	"counterpoise/internal/outcome"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
)

// WhomSummary is for whom a claim was asked, in its JSON form.
type WhomSummary struct {
	Says string `json:"says"`
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
	if !c.sizes {
		return words.Verdict(c.verdict).Name
	}
	return words.Verdict(classOf(c.verdict)).Name
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
	var parts []string
	for i := range settled {
		parts = append(parts, settled[i].name()+" for "+words.Kinds(settled[i].who, asked))
	}
	notSettled := ""
	if len(open) > 0 {
		notSettled = "not settled for " + words.Kinds(open, asked)
	}
	switch {
	case len(settled) == 0:
		return "Not settled for anybody judged, so whether it depends on the people is not settled either." + notJudged
	case len(settled) == 1 && notSettled == "":
		text := "The verdict does not depend on the people: " + settled[0].name() + " for everybody judged"
		if settled[0].sizes && classOf(settled[0].verdict) == claim.Supported {
			text += ", though not by the same amount"
		}
		return text + "." + notJudged
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
	var others []string
	for _, kind := range kinds {
		if kind != words.Soldiers && kind != words.Public && differ(words.Public, kind) {
			others = append(others, kind)
		}
	}
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
