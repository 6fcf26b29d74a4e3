package page

import (
	"encoding/json"
	"errors"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strings"

	"counterpoise/internal/app/claim/said"
	"counterpoise/internal/library"
	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
)

// Overview is what the page of several claims is made of.
type Overview struct {
	Results []*outcome.Result         // in the order in which they are shown: by hold
	Stamps  []provenance.Stamp        // of each of them: the version and data sets of the first are told
	Address func(claim string) string // of a claim's own page, relative to this one
}

// libraryData is what the page carries.
type libraryData struct {
	Tool    string              `json:"tool"`
	Version string              `json:"version"`
	Data    string              `json:"data"`
	Seed    uint64              `json:"seed,string"`
	Counts  []said.VerdictCount `json:"verdicts"`
	Claims  []library.Claim     `json:"claims"`
}

type libraryView struct {
	*teller
	L     *Overview
	Data  libraryData
	JSON  template.JS
	From  template.JS // where the page comes from
	Style template.CSS
	Holds []holdGroup
	Kinds []string // of verdicts, in their order
	// Sources are where the data of all claims come from.
	Sources []string
}

// holdGroup is the claims of one hold; First is the place of the first of them.
type holdGroup struct {
	Name   string
	First  int
	Claims []library.Claim
}

// WriteLibrary writes the page of several claims.
func WriteLibrary(w io.Writer, l *Overview) error {
	v := &libraryView{L: l}
	hash, err := l.Stamps[0].DataHash()
	if err != nil {
		return err
	}
	v.Data = libraryData{Tool: l.Stamps[0].Tool, Version: l.Stamps[0].Version, Data: hash, Seed: l.Stamps[0].Seed, Counts: said.Counts(l.Results)}
	for i, r := range l.Results {
		entry := said.Entry(r)
		v.Data.Claims = append(v.Data.Claims, entry)
		if len(v.Holds) == 0 || v.Holds[len(v.Holds)-1].Name != entry.Hold {
			v.Holds = append(v.Holds, holdGroup{Name: entry.Hold, First: i})
		}
		v.Kinds = names.Once(v.Kinds, words.Verdict(r.Verdict).Kind)
		last := &v.Holds[len(v.Holds)-1]
		last.Claims = append(last.Claims, entry)
	}
	claims := names.Each(l.Results, func(r *outcome.Result) *claim.Claim { return r.Claim })
	if v.Sources, err = sourcesOf(claims...); err != nil {
		return err
	}
	if v.teller, err = newTeller(map[string]any{"library": v.Data}); err != nil {
		return err
	}
	text, err := json.MarshalIndent(v.Data, "", " ")
	if err != nil {
		return err
	}
	v.JSON = template.JS(text)
	if v.From, err = (&Origin{Stamps: l.Stamps}).script(); err != nil {
		return err
	}
	return execute(w, "library.html", v, &v.Style)
}

// D marks the number at a path of what the page carries. See datum.
func (v *libraryView) D(path, kind string) (template.HTML, error) {
	return v.datum("library."+path, kind)
}

// Effect says how large the effect of a row is: "0.4 % harder (0.2 % easier to 1.5 % harder)".
func (v *libraryView) Effect(claim, model int) (template.HTML, error) {
	c := &v.Data.Claims[claim]
	row := &c.Models[model]
	demand, _ := hold.ParseDemand(c.Quantity)
	size, ending := words.SizesOf(demand, hold.Equilibrium), " "+c.Quantity
	if row.Unit != "%" {
		size.Signed = words.DemandOf(demand, hold.Equilibrium).Signed
	} else {
		ending = "-percent" + ending
	}
	var failed error
	tell := func(which, kind string) template.HTML {
		html, err := v.D(fmt.Sprintf("claims.%d.models.%d.%s", claim, model, which), kind+ending)
		failed = errors.Join(failed, err)
		return html
	}
	if row.P50 == nil {
		return tell("p50", "way"), failed
	}
	text := tell("p50", "way")
	if row.P5 == nil || row.P95 == nil || size.Signed(*row.P5) == size.Signed(*row.P95) {
		return text, failed
	}
	low, high, kind := "p5", "p95", "way"
	if a, b, c := size.Way(*row.P5), size.Way(*row.P50), size.Way(*row.P95); a*c >= 0 && (a == b || c == b) {
		if kind = "plainly"; b < 0 {
			low, high = high, low
		}
	}
	return text + " <small>(" + tell(low, kind) + " to " + tell(high, kind) + ")</small>", failed
}

// counted is how many claims have a verdict of a kind.
type counted struct {
	Mark, Kind string
	N          int
}

// Counts counts the verdicts by their kinds, in the order of the verdicts.
func (v *libraryView) Counts() []counted {
	var list []counted
	for _, w := range words.Verdicts() {
		if slices.ContainsFunc(list, func(c counted) bool { return c.Kind == w.Kind }) {
			continue
		}
		if n := names.HowMany(v.L.Results, func(r *outcome.Result) bool { return words.Verdict(r.Verdict).Kind == w.Kind }); n > 0 {
			list = append(list, counted{w.Mark, w.Kind, n})
		}
	}
	return list
}

// Key is what the marks mean that the page has.
func (v *libraryView) Key() []words.VerdictWords {
	seen := map[string]bool{}
	for _, r := range v.L.Results {
		seen[words.Verdict(r.Verdict).Mark] = true
		_, verdicts := judged(r)
		for _, verdict := range verdicts {
			seen[words.Verdict(verdict).Mark] = true
		}
	}
	return slices.DeleteFunc(words.Legend(), func(w words.VerdictWords) bool { return !seen[w.Mark] })
}

// InWeights reports whether an effect is told in body weights.
func (v *libraryView) InWeights() bool {
	return slices.ContainsFunc(v.Data.Claims, func(c library.Claim) bool {
		return slices.ContainsFunc(c.Models, func(row library.Row) bool { return strings.HasPrefix(row.Unit, "BW") })
	})
}

// judged are the populations of a claim's verdict, with those for each by itself: of all that
// were asked about, else of the claim's own under its first model.
func judged(r *outcome.Result) (people []string, verdicts map[string]claim.Verdict) {
	verdicts = map[string]claim.Verdict{}
	add := func(p string, v claim.Verdict) {
		if _, told := verdicts[p]; !told {
			people, verdicts[p] = append(people, p), v
		}
	}
	switch {
	case r.ForWhom != nil:
		for _, p := range r.ForWhom.People {
			if p.Verdict != nil {
				add(p.People, *p.Verdict)
			}
		}
	case r.Claim.Contrast != nil:
		for i := range r.Contrast {
			add(r.Contrast[i].People, r.Contrast[i].Verdict)
		}
	default:
		for _, g := range r.Models[0].Groups {
			add(g.People, g.Verdict)
		}
	}
	return people, verdicts
}

// Asked lists the populations for which any of the claims was judged, in the order in which
// they first were.
func (v *libraryView) Asked() []string {
	var list []string
	for _, r := range v.L.Results {
		people, _ := judged(r)
		for _, p := range people {
			list = names.Once(list, p)
		}
	}
	return list
}

// Judged is the verdict on a claim for a population; empty where there is none.
func (v *libraryView) Judged(claim int, people string) string {
	_, verdicts := judged(v.L.Results[claim])
	if verdict, told := verdicts[people]; told {
		return verdict.String()
	}
	return ""
}

// Came is what came out of a claim, for each of the people where that is not the same.
func (v *libraryView) Came(claim int) string { return said.Came(v.L.Results[claim]) }

// Kind is the place of the kind of a claim's verdict among Kinds.
func (v *libraryView) Kind(claim int) int {
	return slices.Index(v.Kinds, words.Verdict(v.L.Results[claim].Verdict).Kind)
}

// Depends reports whether a claim's verdict was found to depend on whom.
func (v *libraryView) Depends(claim int) bool {
	f := v.L.Results[claim].ForWhom
	return f != nil && said.DependsOnWhom(f)
}

// Filters are the style that hides what is not of the hold and the verdict that a reader
// chose, so that no script is needed.
func (v *libraryView) Filters() template.CSS {
	text := ""
	for i := range v.Holds {
		text += fmt.Sprintf(".matrix:has([value=h%[1]d]:checked) tbody:not(.h%[1]d),", i)
	}
	for i := range v.Kinds {
		text += fmt.Sprintf(".matrix:has([value=v%[1]d]:checked) :is(tr.claim:not(.v%[1]d),tbody:not(:has(.v%[1]d))),", i)
	}
	return template.CSS("@media screen{" + strings.TrimSuffix(text, ",") + "{display:none}}")
}

// Who says whose bodies were drawn, where that is the same for all.
func (v *libraryView) Who() string {
	who := said.PeopleWords(v.L.Results[0])
	for _, r := range v.L.Results {
		if said.PeopleWords(r) != who {
			return "the people that each claim names"
		}
	}
	return who
}
