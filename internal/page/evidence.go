// Package page writes results as HTML pages: an evidence page a claim, and the page
// of a library of claims. A page is one file that loads nothing and runs nothing; its
// pictures are inline SVG, and it carries the data that its words and numbers come
// from, so that it can be checked and made again. The same result gives the same
// bytes.
package page

import (
	"bytes"
	"cmp"
	"embed"
	"encoding/json"
	"errors"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strings"

	"counterpoise/datasets"
	"counterpoise/internal/app/claim/drawn"
	"counterpoise/internal/app/claim/said"
	"counterpoise/internal/bodies"
	"counterpoise/internal/chart"
	"counterpoise/internal/chart/curves"
	"counterpoise/internal/draw"
	"counterpoise/internal/freebody"
	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/internal/words"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
)

//go:embed style.css head.html evidence.html library.html club.html
var files embed.FS

// Evidence is what an evidence page is made of.
type Evidence struct {
	Result      *outcome.Result
	Stamp       provenance.Stamp
	Assumptions assume.Uncertainty // as the claim was tested
	Command     string             // that makes the page again, without the program's name; or "" where only repeat does
	Above       string             // relative address of the page of the library that it belongs to, or ""
	Language    words.Language     // of its first screen
}

// Beside is what an evidence page tells beside its summary. It stands in the page as
// JSON.
type Beside struct {
	Command  string          `json:"command,omitempty"`
	Above    string          `json:"library,omitempty"`
	Language words.Language  `json:"language,omitempty"` // of the first screen; without one English
	Plates   []said.PlateRow `json:"force_plates,omitempty"`
	Pictures []Picture       `json:"pictures"`
	People   []said.Drawn    `json:"people"`
}

// Picture is the numbers of one picture.
type Picture struct {
	Name    string   `json:"name"`
	Title   string   `json:"title"`
	Columns []Column `json:"columns"`
	Rows    []Row    `json:"rows"`
}

// Column heads the values of a picture's rows. Kind is how a number is printed.
type Column struct {
	Name string `json:"name"`
	Kind string `json:"kind"`
}

// Row is the values of one curve, panel or force, in the order of the columns; null
// where it has none.
type Row struct {
	Name   string     `json:"name"`
	Values []*float64 `json:"values"`
}

// drawing is a picture as it stands in a page, for wide and for narrow screens.
type drawing struct {
	ID           string
	Wide, Narrow template.HTML
	Scrolls      float64 // how many times as wide as a telephone the narrow one is, where it is wider
	How          string  // how to read it
	full         string  // the same, where it was not said before
	Tall         bool    // whether it has more in it than suits a wide picture
	At           string  // the path of its numbers
	Picture      *Picture
}

// onPage and row are what the templates of a drawing and of a row are given.
type onPage struct {
	Page    *evidence
	Drawing drawing
}

type row struct {
	Page    *evidence
	At      string // the path of the outcome
	Name    string
	Verdict claim.Verdict
}

// Shares are what a row tells of how many bodies go which way.
func (row) Shares() []string { return []string{"as_claimed", "too_small", "against"} }

// drawRow is where the draws of one model and population stand.
type drawRow struct {
	Name, At        string
	Drawing, Survey bool // whether their errors are known
}

// DrawRows lists the draws of every model and population.
func (v *evidence) DrawRows() []drawRow {
	var list []drawRow
	add := func(model, people, at string, d *outcome.Draws) {
		list = append(list, drawRow{model + ", " + words.Sexes(people), at, d.DrawingError != nil, d.SurveyError != nil})
	}
	for i := range v.R.Models {
		for j := range v.R.Models[i].Groups {
			g := &v.R.Models[i].Groups[j]
			add(v.R.Models[i].Name, g.People, fmt.Sprintf("models.%d.populations.%d.draws", i, j), g.Draws)
		}
		if !v.IsChange() {
			break
		}
	}
	for i := range v.R.Contrast {
		add(v.R.Contrast[i].Model, v.R.Contrast[i].People, fmt.Sprintf("contrast.%d.draws", i), v.R.Contrast[i].Draws)
	}
	return list
}

// Under is the verdict under another rule of posture.
func (v *evidence) Under(model int, rule string) string {
	return words.Verdict(v.R.Models[model].Pooled.Draws.Under[rule].Verdict).Name
}

// Size is the kind of number of a size in the unit of what matters, without a direction.
func (v *evidence) Size() string {
	if v.InPercent() {
		return "percent-size"
	}
	return v.Of("size")
}

// mostSentences is how many sentences of a kind a page shows unfolded.
const mostSentences = 8

// folded is sentences of which some are folded away.
type folded struct{ Shown, Folded []string }

// fold folds away the middle of a long list; the last few always show.
func fold(list []string, last int) folded {
	if len(list) <= mostSentences {
		return folded{Shown: list}
	}
	first, end := mostSentences/2, len(list)-last
	return folded{slices.Concat(list[:first], list[end:]), list[first:end]}
}

// lead is a number that matters most, large.
type lead struct {
	Label string
	Big   template.HTML
	Below []template.HTML
}

type evidence struct {
	*teller
	E       *Evidence
	R       *outcome.Result
	C       *claim.Claim
	S       *said.Summary
	Summary template.JS
	Beside  template.JS
	Style   template.CSS
	Extra   Beside
	Hold    *hold.Hold
	Next    *hold.Hold // where the change is to another hold
	Data    string     // hash of all data sets
	Study   string     // hash of the study
	Cite    string
	Story   chart.Story // the first screen, in its language
	Shared  drawing     // its picture
	Source  string      // of what is quoted, briefly
	Charts  []drawing   // folded away
	Bodies  []drawing
	NoBody  string // why there is no diagram
	Sources []string
}

// WriteEvidence writes a claim's evidence page.
func WriteEvidence(w io.Writer, e *Evidence) error {
	r, c := e.Result, e.Result.Claim
	summary := said.Summarise(r, e.Stamp)
	v := &evidence{E: e, R: r, C: c, S: &summary, Extra: Beside{Command: e.Command, Above: e.Above, Language: e.Language}}
	v.Hold = c.Hold
	if c.Change != nil {
		v.Next = c.Change.Hold
	}
	var err error
	if v.Extra.People, err = said.DrawnPeople(r); err != nil {
		return err
	}
	if said.MeasuredOnPlates(c) {
		v.Extra.Plates = said.Plates()
	}
	if err := v.drawCharts(); err != nil {
		return err
	}
	if err := v.drawBodies(); err != nil {
		return err
	}
	if v.Sources, err = sourcesOf(c); err != nil {
		return err
	}
	if v.Data, err = e.Stamp.DataHash(); err != nil {
		return err
	}
	v.Study = e.Stamp.StudyHash()
	v.Source = said.Source(r, &e.Stamp, e.Language, "")
	if v.Cite, err = said.Citation(r, &e.Stamp, words.English); err != nil {
		return err
	}
	if v.teller, err = newTeller(map[string]any{"summary": summary, "beside": v.Extra}); err != nil {
		return err
	}
	text, err := json.MarshalIndent(summary, "", "  ")
	if err != nil {
		return err
	}
	v.Summary = template.JS(text)
	if text, err = json.MarshalIndent(v.Extra, "", "  "); err != nil {
		return err
	}
	v.Beside = template.JS(text)
	return execute(w, "evidence.html", v, &v.Style)
}

// Policy is what browsers let the pages do, wherever they are opened: they are single files,
// with styles within, and no script at all.
const Policy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"

// execute fills one of the templates.
func execute(w io.Writer, name string, data any, style *template.CSS) error {
	sheet, err := files.ReadFile("style.css")
	if err != nil {
		return err
	}
	*style = template.CSS(draw.Identity() + string(sheet))
	t, err := template.New(name).Option("missingkey=error").Funcs(template.FuncMap{
		"policy":  func() string { return Policy },
		"capital": words.Capital,
		"fold":    fold,
		"plus":    func(a, b int) int { return a + b },
		"pair":    func(page *evidence, d drawing) onPage { return onPage{page, d} },
		"cells":   func(page *evidence, at, name string, v claim.Verdict) row { return row{page, at, name, v} },
		"percent": words.Share, "thousands": words.Count[int], "class": func(v claim.Verdict) string { return strings.ReplaceAll(words.Verdict(v).Kind, " ", "-") },
		"sex": words.Sexes, "label": words.Label, "statics": said.ModelMeans, "verdicts": words.Legend, "verdict": words.Verdict, "mark": words.VerdictMark, "short": words.VerdictShort,
		"strap": func() string { return words.Strap }, "cautions": func() string { return words.Cautions }, "reuse": func() string { return said.Reuse }, "licence": func() string { return words.ReuseAddress },
		"words": func(name string) string {
			return strings.NewReplacer("_", " ", "push-up", "push-up", "l-sit", "L-sit", "-", " ").Replace(name)
		},
		"path": func(parts ...any) string {
			return strings.ReplaceAll(strings.TrimSuffix(fmt.Sprintln(parts...), "\n"), " ", ".")
		},
	}).ParseFS(files, "head.html", name)
	if err != nil {
		return err
	}
	var b bytes.Buffer // so that nothing half-made is written
	if err := t.Execute(&b, data); err != nil {
		return err
	}
	_, err = w.Write(b.Bytes())
	return err
}

// D marks the number at a path of the summary; B at one of what the page tells
// beside it. See datum.
func (v *evidence) D(path, kind string) (template.HTML, error) { return v.datum("summary."+path, kind) }

// B is D of what stands beside the summary.
func (v *evidence) B(path, kind string) (template.HTML, error) { return v.datum("beside."+path, kind) }

// Of is a kind of number of the claim's own quantity: value, effect or size.
func (v *evidence) Of(kind string) string { return kind + " " + v.C.Demand.String() }

// Title is the page's own.
func (v *evidence) Title() string { return v.Story.Saying + ": " + v.Story.Answer }

// Language is that of the first screen.
func (v *evidence) Language() string { return v.E.Language.String() }

// Foreign reports whether the first screen is in another language than the rest.
func (v *evidence) Foreign() bool { return v.E.Language != words.English }

// PageLanguage is that of the first screen, by which a page is read.
func (v *evidence) PageLanguage() string {
	if v.Foreign() {
		return v.Language()
	}
	return "en-GB"
}

// phrases are what the first screen says whatever came out.
var phrases = map[string]words.Phrase{
	"strap": words.PhraseStrap, "all": words.PhraseAll, "quote": words.PhraseQuote, "how-sure": words.PhraseHowSure,
	"cautions": words.PhraseCautions, "caution-text": words.PhraseCautionText, "rest": words.PhraseRest,
	"skip": words.PhraseSkip, "in-english": words.PhraseInEnglish,
}

// Say is one of phrases, in the language of the first screen.
func (v *evidence) Say(name string) string { return v.E.Language.Say(phrases[name]) }

// Alone is said.CentralAlone.
func (v *evidence) Alone() string { return said.CentralAlone(v.R) }

// Words that the template asks for.
func (v *evidence) Means() string         { return words.Verdict(v.R.Verdict).Means(v.C) }
func (v *evidence) Advice() string        { return said.Advice(v.R) }
func (v *evidence) Brief() string         { return words.Together(said.Brief(v.R, v.E.Language)) }
func (v *evidence) Found() string         { return words.Together(said.HowSure(v.R, v.E.Language)[0].Says) }
func (v *evidence) HowSure() []said.Sure  { return said.HowSure(v.R, v.E.Language)[1:] }
func (v *evidence) Quotable() string      { return said.Quotable(v.R) }
func (v *evidence) Change() string        { return said.ChangeSentence(v.C) }
func (v *evidence) Held() string          { return said.Held(v.C) }
func (v *evidence) Threshold() string     { return words.Threshold(v.C) }
func (v *evidence) Claimed() string       { return words.Claimed(v.C) }
func (v *evidence) Least() string         { return words.Least(v.C) }
func (v *evidence) Expected() string      { return words.Expected(v.C) }
func (v *evidence) People() string        { return said.People(v.R) }
func (v *evidence) ForWhom() []string     { return said.ForWhom(v.R) }
func (v *evidence) WouldChange() []string { return said.WouldChange(v.R, &v.E.Assumptions) }
func (v *evidence) Attribution() string   { return said.Attribution(v.C.Name, &v.E.Stamp) }

// Noun names the quantity; where models mean different things by it, without what
// they mean.
func (v *evidence) Noun() string {
	first := words.Noun(v.C.Demand, v.R.Models[0].Model.Statics)
	for _, m := range v.R.Models {
		if words.Noun(v.C.Demand, m.Model.Statics) != first {
			return words.PlainNoun(v.C.Demand)
		}
	}
	return first
}

// Unit explains the quantity's unit, or is empty where there is nothing to explain.
func (v *evidence) Unit() string {
	switch v.C.Demand.Unit {
	case "BW":
		return "BW is body weight: 1 BW is as much as the body weighs."
	case "BW·m":
		return "BW·m is a turning moment: body weight times metres."
	case "":
		return words.Capital(v.Noun()) + " is a pure number."
	}
	return ""
}

// IsChange reports whether the claim changes a body rather than comparing people.
func (v *evidence) IsChange() bool { return v.C.Contrast == nil }

// InPercent reports whether what matters is a share of the baseline.
func (v *evidence) InPercent() bool { return v.C.Threshold().Share > 0 }

// Leads are the numbers that matter most: what happens to the median body under each
// model, or how far the groups of a contrast are apart.
func (v *evidence) Leads() ([]lead, error) {
	var list []lead
	var failed error
	told := func(html template.HTML, err error) template.HTML {
		failed = errors.Join(failed, err)
		return html
	}
	d := func(path, kind string) template.HTML { return told(v.D(path, kind)) }
	add := func(label, at, people string, verdict claim.Verdict, draws *outcome.Draws, below ...template.HTML) {
		unit := v.Of("effect")
		if v.InPercent() {
			unit = "percent"
		}
		l := lead{Label: label}
		switch {
		case verdict == claim.NobodyHolds:
			l.Big, l.Below = "nobody", []template.HTML{"no simulated body can take the posture"}
		case verdict == claim.NoEffect:
			l.Big, l.Below = d(at+"in_unit.p50", unit), append([]template.HTML{"exactly, and for every body"}, below...)
		default:
			l.Big = d(at+"in_unit.p50", unit)
			over := d(at+"in_unit.p5", unit) + " to " + d(at+"in_unit.p95", unit) + " over what nobody has measured"
			if v.R.Central {
				over = "only people were drawn"
			}
			l.Below = append([]template.HTML{
				over,
				template.HTML(people) + " differ: " + d(at+"people_in_unit.p5", unit) + " to " + d(at+"people_in_unit.p95", unit),
			}, below...)
		}
		list = append(list, l)
	}
	for i := range v.R.Contrast {
		c, at := &v.R.Contrast[i], fmt.Sprintf("contrast.%d.draws.", i)
		top, bottom := words.Contrasted(v.C.Contrast)
		add(words.Capital(c.Model)+", "+words.Sexes(c.People), at, "Pairs", c.Verdict, c.Draws,
			"medians "+d(at+"after.p50", v.Of("value"))+template.HTML(" in "+top+", ")+d(at+"before.p50", v.Of("value"))+template.HTML(" in "+bottom))
	}
	for i := range v.R.Models {
		m := &v.R.Models[i]
		change := func(label, at string, verdict claim.Verdict, draws *outcome.Draws) {
			at = fmt.Sprintf("models.%d.%s.draws.", i, at)
			add(label, at, "Bodies", verdict, draws, "median before "+d(at+"before.p50", v.Of("value"))+", after "+d(at+"after.p50", v.Of("value"))+template.HTML(", each by itself over the draws"))
		}
		switch {
		case !v.IsChange():
		case said.Parted(v.R, m):
			for k, g := range m.Groups {
				change(words.Capital(m.Name)+", "+words.Sexes(g.People), fmt.Sprintf("populations.%d", k), g.Verdict, g.Draws)
			}
		default:
			change(words.Capital(m.Name), "pooled", m.Verdict, m.Pooled.Draws)
		}
	}
	return list, failed
}

// Limits says what the people are not, each thing once.
func (v *evidence) Limits() []string {
	var list []string
	for _, p := range v.Extra.People {
		list = names.Once(list, p.Limits)
	}
	return list
}

// Against says where the model misses force plates in a pose of the claim.
func (v *evidence) Against() string { return said.PlatesAgainst(v.R) }

// NotSeen is what the holds of the claim leave out, each thing once.
func (v *evidence) NotSeen() []string {
	list := slices.Clone(v.Hold.LeavesOut)
	if v.Next != nil {
		for _, what := range v.Next.LeavesOut {
			list = names.Once(list, what)
		}
	}
	return list
}

// Populations reports whether there is more than one.
func (v *evidence) Populations() bool { return len(v.C.People) > 1 }

// Postures are the rules of posture under which an effect is told beside the claim's own.
func (v *evidence) Postures() []string {
	var list []string
	for rule := range scenario.NumPostureRules {
		if v.IsChange() && v.R.Models[0].Pooled.Draws.Under != nil {
			if _, told := v.R.Models[0].Pooled.Draws.Under[rule.String()]; told {
				list = append(list, rule.String())
			}
		}
	}
	return list
}

// Rule names a rule of posture.
func (v *evidence) Rule(name string) string {
	for rule := range scenario.NumPostureRules {
		if rule.String() == name {
			return words.PostureRule(rule)
		}
	}
	return name
}

// Effect is the kind of number of effects in the unit of what matters.
func (v *evidence) Effect() string {
	if v.InPercent() {
		return "percent"
	}
	return v.Of("effect")
}

// Besides are the demands, beside the claim's own, that any model tells of.
func (v *evidence) Besides() []hold.Demand {
	return slices.DeleteFunc(said.Besides(), func(d hold.Demand) bool {
		return !slices.ContainsFunc(v.R.Models, func(m outcome.ModelResult) bool {
			_, ok := m.Pooled.Beside[d.String()]
			return ok
		})
	})
}

// Tells reports whether a model tells of a demand beside the claim's own.
func (v *evidence) Tells(model int, d hold.Demand) bool {
	_, ok := v.R.Models[model].Pooled.Beside[d.String()]
	return ok
}

// Statics are the models of statics that were asked, each once.
func (v *evidence) Statics() []hold.Model {
	var list []hold.Model
	for _, m := range v.R.Models {
		list = names.Once(list, m.Model.Statics)
	}
	return list
}

// Assumed are the assumptions that can bear on the claim under some model, without
// what the performer chooses.
func (v *evidence) Assumed() []assume.Assumption {
	return slices.DeleteFunc(assume.All(), func(a assume.Assumption) bool {
		if _, pinned := v.E.Assumptions.Centre.Pinned(a.ID); a.Choice && !pinned {
			return true
		}
		return !slices.ContainsFunc(v.Statics(), func(m hold.Model) bool { return v.C.Bears(m, a.ID) })
	})
}

// AssumptionUnit says what the number of an assumption is of.
func (v *evidence) AssumptionUnit(id assume.ID) string { return words.AssumptionUnit(id) }

// Free reports whether an assumption was drawn over a range.
func (v *evidence) Free(id assume.ID) bool {
	return v.E.Assumptions.Low[id] < v.E.Assumptions.High[id]
}

// Hash is one data set.
type hashed struct{ Name, SHA256 string }

// Hashes are those of all data sets, by name.
func (v *evidence) Hashes() []hashed {
	var list []hashed
	for name, sum := range v.E.Stamp.Data {
		list = append(list, hashed{name, sum})
	}
	slices.SortFunc(list, func(a, b hashed) int { return strings.Compare(a.Name, b.Name) })
	return list
}

// sourcesOf lists where the data behind claims come from, with their licences and terms of
// use.
func sourcesOf(claims ...*claim.Claim) ([]string, error) {
	var list []string
	add := func(what string, p datasets.Provenance) {
		list = names.Once(list, what+": "+p.Citation+". Licence: "+p.Licence+".")
	}
	var scanned, segments []string
	for _, c := range claims {
		for _, p := range c.People {
			population, err := p.Load()
			if err != nil {
				return nil, err
			}
			add("People", population.Provenance)
			if p.Own != nil {
				add("What was not measured on them", population.Survey().Provenance)
			}
			scanned = append(scanned, population.Regional.Name)
		}
		for _, m := range c.Models {
			segments = append(segments, cmp.Or(m.Segments, body.DefaultSegments))
		}
	}
	for _, name := range scanned {
		var file datasets.Regional
		if err := datasets.Read("regional", name, &file); err != nil {
			return nil, err
		}
		add("How people carry their mass", file.Provenance)
	}
	for _, name := range segments {
		var file datasets.Segments
		if err := datasets.Read("segments", name, &file); err != nil {
			return nil, err
		}
		add("Masses and centres of the body's segments", file.Provenance)
	}
	return list, nil
}

// pageWide and storyWide are for the text of a page, on a screen and on A4: no type is smaller
// than 11 pixels of CSS where the text is at its widest, and a story is no higher than it must be.
var pageWide, storyWide = wide(draw.Print.Height), wide(84 * draw.Millimetre)

func wide(height float64) draw.Size {
	size := draw.Print.Tall(height)
	size.Small, size.Least = 7.6, 7.6
	return size
}

// drawCharts draws the claim's charts.
func (v *evidence) drawCharts() error {
	figures, err := drawn.Figures(v.R)
	if err != nil {
		return err
	}
	for _, f := range figures {
		d, err := v.draw(f.Name, f.Figure)
		if err != nil {
			return err
		}
		v.Charts = append(v.Charts, d)
	}
	v.Story = drawn.StoryOf(v.R, figures, v.E.Language, "", "")
	v.Story.Bare, v.Story.Sure = true, "" // they stand around it
	wide, err := draw.Inline(v.Story, storyWide, "picture-story")
	if err != nil {
		return err
	}
	v.Shared.Wide = template.HTML(wide)
	v.Shared.Narrow, v.Shared.Scrolls, err = forPhone(v.Story, "picture-story-narrow")
	return err
}

// drawBodies draws the median body of the first people in the claim's hold, and in
// that of the change where it alters the posture.
func (v *evidence) drawBodies() error {
	c := v.C
	population, err := c.People[0].Load()
	if err != nil {
		return err
	}
	type view struct {
		name    string
		hold    *hold.Hold
		posture hold.Posture
		load    body.Load
	}
	views := []view{{"free-body", v.Hold, c.Posture(), c.Load}}
	if ch := c.Change; ch != nil && (ch.Hold != nil || ch.Legs != nil || ch.Pose != nil || ch.Tilt != nil || ch.Load != body.Load{}) {
		after := view{"free-body-after", v.Hold, c.PostureAfter(), c.LoadAfter()}
		if v.Next != nil {
			after.hold = v.Next
		}
		views = append(views, after)
	}
	for _, view := range views {
		model := view.hold.Models[0]
		if view.hold.Has(hold.Equilibrium) {
			model = hold.Equilibrium
		}
		a := v.E.Assumptions.Centre
		held, err := freebody.HoldMedianBody(view.hold, model, view.posture, view.load, population, &a)
		if errors.Is(err, hold.ErrNotPossible) {
			v.NoBody = "The median body of " + population.Name + " cannot take this posture of the " + words.Hold(view.hold) + ", so there is no diagram of it."
			continue
		}
		if err != nil {
			return err
		}
		figure, err := freebody.FreeBodyOf(held)
		if err != nil {
			return err
		}
		d, err := v.draw(view.name, figure)
		if err != nil {
			return err
		}
		v.Bodies = append(v.Bodies, d)
	}
	return nil
}

// draw draws a figure for both widths and keeps its numbers.
func (v *evidence) draw(name string, f draw.Figure) (drawing, error) {
	id := "picture-" + name
	wide, err := draw.Inline(f, pageWide, id)
	if err != nil {
		return drawing{}, fmt.Errorf("page: %s: %w", name, err)
	}
	narrow, scrolls, err := forPhone(f, id+"-narrow")
	if err != nil {
		return drawing{}, fmt.Errorf("page: %s: %w", name, err)
	}
	picture, how := numbersOf(f)
	picture.Name = name
	full := how
	for _, before := range v.Charts {
		if before.full == how {
			how = "Read as the picture above."
		}
	}
	at := fmt.Sprintf("pictures.%d", len(v.Extra.Pictures))
	v.Extra.Pictures = append(v.Extra.Pictures, picture)
	distribution, _ := f.(chart.EffectDistribution)
	return drawing{ID: id, Tall: len(distribution.Panels) > 3, Wide: template.HTML(wide), Narrow: narrow, Scrolls: scrolls, How: how, full: full, At: at, Picture: &picture}, nil
}

// forPhone draws a figure for a telephone: as much broader than one as its words make it, where
// they have no room otherwise.
func forPhone(f draw.Figure, id string) (svg template.HTML, scrolls float64, err error) {
	for _, share := range []float64{1, 1.25, 1.5, 2, 3} {
		text, failed := draw.Inline(f, draw.Phone.Broader(share), id)
		if failed == nil {
			if share > 1 {
				scrolls = share
			}
			return template.HTML(text), scrolls, nil
		}
		err = failed
	}
	return "", 0, err
}

// spreadColumns are those of what the draws say.
func spreadColumns(unit string) (list []Column) {
	for _, name := range []string{"median", "5 % of what nobody has measured", "95 % of it"} {
		list = append(list, Column{strings.TrimSpace(name + " " + inBrackets(unit)), "decimals 3"})
	}
	return list
}

func inBrackets(unit string) string {
	if unit == "" {
		return ""
	}
	return "(" + unit + ")"
}

// numbersOf returns the numbers that a figure shows, and how it is to be read.
func numbersOf(f draw.Figure) (Picture, string) {
	values := func(list ...float64) []*float64 {
		cells := make([]*float64, len(list))
		for i, x := range list {
			if !math.IsNaN(x) && !math.IsInf(x, 0) {
				cells[i] = &list[i]
			}
		}
		return cells
	}
	switch f := f.(type) {
	case chart.EffectDistribution:
		p := Picture{Title: f.Title, Columns: spreadColumns(f.Unit)}
		for _, name := range []string{"5 % of people", "95 % of them"} {
			p.Columns = append(p.Columns, Column{strings.TrimSpace(name + " " + inBrackets(f.Unit)), "decimals 3"})
		}
		for _, panel := range f.Panels {
			low, high := panel.Median, panel.Median // where every body has the same
			switch len(panel.People) {
			case 0:
			case 1:
				low, high = panel.People[0].Low, panel.People[0].High
			default:
				low, high = math.NaN(), math.NaN()
			}
			if panel.ByEach {
				for _, each := range panel.Each {
					p.Rows = append(p.Rows, Row{panel.Model + ": " + each.Whose, append(values(each.Median, each.Low, each.High), nil, nil)})
				}
				if len(panel.People) == 1 {
					p.Rows = append(p.Rows, Row{panel.Model, append(make([]*float64, 3), values(low, high)...)})
				}
			} else {
				p.Rows = append(p.Rows, Row{panel.Model, values(panel.Median, panel.Low, panel.High, low, high)})
			}
			for _, h := range panel.People {
				if h.Name != "" {
					p.Rows = append(p.Rows, Row{panel.Model + ": " + h.Name, append(make([]*float64, 3), values(h.Low, h.High)...)})
				}
			}
		}
		return p, "The hump shows how people differ, the taller the more of them have an effect of that size, and the dots under it the effect on the middle person under each draw of what nobody has measured. Within the grey zone an effect is too small to matter."
	case chart.Contrast:
		p := Picture{Title: f.Title, Columns: spreadColumns(f.Unit)}
		p.Columns = append(p.Columns, Column{"from so many of 100 pairs", "decimals 0"}, Column{"to so many", "decimals 0"})
		p.Rows = append(p.Rows, Row{"difference of the middle people", values(f.Median, f.Spread.Low, f.Spread.High, f.Pairs[0], f.Pairs[1])})
		return p, "Two groups of people over one another, the taller the hump the more of them are asked for that much; beside it a hundred pairs of a person of either, and below it the difference of the groups' middle people under each draw of what nobody has measured. Within the grey zone a difference is too small to matter."
	case curves.RequirementCurve:
		there, _, _ := strings.Cut(f.YLabel, "; ")
		p := Picture{Title: f.Title, Columns: []Column{{"best hand spacing (cm)", "decimals 1"}, {"there: " + strings.ToLower(there[:1]) + there[1:], "decimals 3"}}}
		for _, panel := range f.Panels {
			for _, g := range []curves.Group{panel.Before, panel.After} {
				p.Rows = append(p.Rows, Row{panel.Name + ", " + g.Name, values(g.Best.X, g.Best.Y)})
			}
		}
		return p, "What the middle body needs, the farther apart its hands are, before and after, in a typical draw of what nobody has measured; the dot is where it holds on."
	case bodies.FreeBody:
		nan := math.NaN()
		p := Picture{Title: f.Title, Columns: []Column{
			{"force (BW)", "decimals 3"}, {"of it to the right", "decimals 3"}, {"of it upwards", "decimals 3"}, {"moment (BW·m)", "decimals 3"},
		}}
		p.Rows = append(p.Rows, Row{"weight", values(1, 0, -1, nan)})
		for _, force := range f.Forces {
			p.Rows = append(p.Rows, Row{force.Name, values(math.Hypot(force.X, force.Y), force.X, force.Y, nan)})
		}
		for _, m := range f.Moments {
			p.Rows = append(p.Rows, Row{m.Name, values(nan, nan, nan, m.Value)})
		}
		return p, "Free-body diagram to scale: " + f.View + ". Arrows are the forces on the body, curved arrows the moments at its joints."
	}
	return Picture{}, ""
}
