package page

import (
	"encoding/json"
	"fmt"
	"html/template"
	"io"
	"slices"

	"counterpoise/internal/chart"
	"counterpoise/internal/library"
	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/internal/report"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
)

// Overview is what the page of several claims is made of.
type Overview struct {
	Results []*outcome.Result         // in the order in which they are shown: by hold
	Stamp   provenance.Stamp          // of any of them: its version and data sets are told
	Address func(claim string) string // of a claim's own page, relative to this one
}

// libraryData is what the page carries.
type libraryData struct {
	Tool    string                `json:"tool"`
	Version string                `json:"version"`
	Data    string                `json:"data"`
	Seed    uint64                `json:"seed,string"`
	Counts  []report.VerdictCount `json:"verdicts"`
	Claims  []library.Claim       `json:"claims"`
}

type libraryView struct {
	*teller
	L     *Overview
	Data  libraryData
	JSON  template.JS
	Style template.CSS
	Chart drawing
	Holds []holdGroup
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
	hash, err := l.Stamp.DataHash()
	if err != nil {
		return err
	}
	v.Data = libraryData{Tool: l.Stamp.Tool, Version: l.Stamp.Version, Data: hash, Seed: l.Stamp.Seed, Counts: report.Counts(l.Results)}
	for i, r := range l.Results {
		entry := report.Entry(r)
		v.Data.Claims = append(v.Data.Claims, entry)
		if len(v.Holds) == 0 || v.Holds[len(v.Holds)-1].Name != entry.Hold {
			v.Holds = append(v.Holds, holdGroup{Name: entry.Hold, First: i})
		}
		last := &v.Holds[len(v.Holds)-1]
		last.Claims = append(last.Claims, entry)
	}
	var claims []*claim.Claim
	for _, r := range l.Results {
		claims = append(claims, r.Claim)
	}
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
	overview := report.Overview(l.Results)
	for _, size := range []struct {
		of   chart.Size
		id   string
		into *template.HTML
	}{{chart.Print, "overview", &v.Chart.Wide}, {chart.Phone, "overview-narrow", &v.Chart.Narrow}} {
		svg, err := chart.Inline(overview, size.of, size.id)
		if err != nil {
			return fmt.Errorf("page: overview: %w", err)
		}
		*size.into = template.HTML(svg)
	}
	return execute(w, "library.html", v, &v.Style)
}

// D marks the number at a path of what the page carries. See datum.
func (v *libraryView) D(path, kind string) (template.HTML, error) {
	return v.datum("library."+path, kind)
}

// Effect marks one of a row's numbers; which is p50, p5 or p95.
func (v *libraryView) Effect(claim, model int, which string) (template.HTML, error) {
	c := &v.Data.Claims[claim]
	kind := "effect " + c.Quantity
	if c.Models[model].Unit == "%" {
		kind = "percent"
	}
	return v.D(fmt.Sprintf("claims.%d.models.%d.%s", claim, model, which), kind)
}

// Asked lists the populations about whom any of the claims was asked, in the order in which
// they were first.
func (v *libraryView) Asked() []string {
	var list []string
	for _, c := range v.Data.Claims {
		if c.ForWhom == nil {
			continue
		}
		for _, p := range c.ForWhom.People {
			if !slices.Contains(list, p.People) {
				list = append(list, p.People)
			}
		}
	}
	return list
}

// Judged is the verdict on a claim for a population, with its effect.
func (v *libraryView) Judged(claim int, people string) (template.HTML, error) {
	of := v.Data.Claims[claim]
	k := slices.IndexFunc(of.ForWhom.People, func(r library.Row) bool { return r.People == people })
	if k < 0 {
		return "–", nil
	}
	row := &of.ForWhom.People[k]
	if row.Model == "" {
		return template.HTML(template.HTMLEscapeString(row.Verdict)), nil
	}
	kind := "effect " + of.Quantity
	if row.Unit == "%" {
		kind = "percent"
	}
	effect, err := v.D(fmt.Sprintf("claims.%d.for_whom.people.%d.p50", claim, k), kind)
	return template.HTML(template.HTMLEscapeString(words.VerdictShort(row.Verdict))) + ": " + effect, err
}

// Who says whose bodies were drawn, where that is the same for all.
func (v *libraryView) Who() string {
	who := report.PeopleWords(v.L.Results[0])
	for _, r := range v.L.Results {
		if report.PeopleWords(r) != who {
			return "the people that each claim names"
		}
	}
	return who
}
