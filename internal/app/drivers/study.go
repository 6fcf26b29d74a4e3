package drivers

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"counterpoise/internal/chart"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/drivers"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
	"counterpoise/sim/scenario/scores"
)

// Drivers is what was found about what drives a demand.
type Drivers struct {
	Hold    *hold.Hold
	Of      hold.Demand
	Posture hold.Posture
	Load    body.Load
	Where   []anthro.Range
	Fixed   bool // whether some assumption is not as by default
	Parts   []DriversPart
}

// DriversPart is what was found for one population under one model, or under several
// of which it is not known which is right. What was not asked for is nil.
type DriversPart struct {
	People   string
	Person   string // whose median body Worth is about; "" for the people's
	Models   []scenario.Model
	Function *scores.Function

	Shares *drivers.Result // Shapley effects
	Split  *scores.Split
	Worth  *scores.BodyWorth
	Body   *anthro.People // the body that Worth is about, one row
	Sobol  *drivers.Result
	// SobolOf says over what: "the assumptions, for the median body", "people as
	// one group and each assumption".
	SobolOf string
	Full    *drivers.Result // full and independent indices
	Screen  *Screening
	Along   *scores.Trend
}

// Screening is the outcome of elementary effects.
type Screening struct {
	Effects     []drivers.ElementaryEffect // in the order of the function's inputs
	Evaluations int64
}

// Model names the model of the part.
func (p *DriversPart) Model() string {
	if len(p.Models) == 1 {
		return words.ModelOf(p.Models[0])
	}
	return "all models, each as likely as another"
}

// FileName is the part's piece of a file name.
func (p *DriversPart) FileName() string {
	if len(p.Models) == 1 {
		return p.People + "-" + chart.FileName(p.Models[0].String())
	}
	return p.People + "-all-models"
}

func (p *DriversPart) spoken(d hold.Demand) words.Demand {
	ph := words.DemandOf(d, p.Models[0].Statics)
	if len(p.Models) > 1 {
		ph.Noun = words.PlainNoun(d)
	}
	return ph
}

// holdWords names the hold with its posture.
func (d *Drivers) holdWords() string { return words.NoBreak(words.Held(d.Hold, d.Posture, d.Load)) }

// peopleWords names people with their conditions.
func (d *Drivers) peopleWords(people string) string {
	for _, r := range d.Where {
		people += ", " + r.String()
	}
	return people
}

// about says whom a part is about.
func (d *Drivers) about(p *DriversPart) string {
	if p.Person != "" {
		return p.Person + ", the rest as in similar people (" + p.People + ")"
	}
	return d.peopleWords(p.peopleNamed())
}

// population are the part's people.
func (p *DriversPart) population() *anthro.Population { return p.Function.Population() }

// note says what shares of people of one's own mean, or nothing.
func (p *DriversPart) note() string {
	if p.Person != "" {
		return ""
	}
	return p.population().Note()
}

// peopleNamed names the part's people, and says who people of one's own are.
func (p *DriversPart) peopleNamed() string {
	if of := p.population(); of.Resampled() {
		return p.People + " (" + of.Title + ", resampled)"
	}
	return p.People
}

// sourceOf says what kind of not knowing a group or input stands for.
func sourceOf(p *DriversPart, name string) chart.Source {
	switch {
	case name == scores.ModelGroup:
		return chart.FromModels
	case strings.HasPrefix(name, "assumptions"):
		return chart.FromAssumptions
	}
	for _, id := range p.Function.Free() {
		if id.String() == name {
			return chart.FromAssumptions
		}
	}
	return chart.FromPeople
}

// ranked returns the indices of one kind, the greatest first.
func ranked(r *drivers.Result, kind drivers.Kind) []drivers.Index {
	list := slices.DeleteFunc(slices.Clone(r.Indices), func(i drivers.Index) bool { return i.Kind != kind })
	slices.SortStableFunc(list, func(a, b drivers.Index) int { return cmp.Compare(b.Value, a.Value) })
	return list
}

// rankedEffects returns the elementary effects, the greatest first.
func rankedEffects(effects []drivers.ElementaryEffect) []drivers.ElementaryEffect {
	list := slices.Clone(effects)
	slices.SortStableFunc(list, func(a, b drivers.ElementaryEffect) int { return cmp.Compare(b.Absolute.Value, a.Absolute.Value) })
	return list
}

// sharesBySource sums the Shapley effects by what they stand for.
func sharesBySource(p *DriversPart) (people, assumptions, models float64) {
	for _, i := range p.Shares.Indices {
		switch sourceOf(p, i.Groups[0]) {
		case chart.FromPeople:
			people += i.Value
		case chart.FromAssumptions:
			assumptions += i.Value
		case chart.FromModels:
			models += i.Value
		}
	}
	return people, assumptions, models
}

// DriversHeadline says what a part's shares show, in a sentence or two that can be
// said aloud; it is empty where there are none.
func DriversHeadline(d *Drivers, p *DriversPart) string {
	if p.Shares == nil {
		return ""
	}
	people, assumptions, models := sharesBySource(p)
	noun := p.spoken(d.Of).Noun
	var text string
	switch most := max(people, assumptions, models); {
	case assumptions == 0 && models == 0:
		text = fmt.Sprintf("%s varies because people differ; the assumptions are fixed.", words.Capital(noun))
	case most == people:
		text = fmt.Sprintf("%s varies mostly because people differ (%s); what nobody has measured adds %s.", words.Capital(noun), words.Share(people), words.Share(assumptions))
	case most == assumptions:
		text = fmt.Sprintf("%s is uncertain mostly because of what nobody has measured (%s); differences between people add %s.", words.Capital(noun), words.Share(assumptions), words.Share(people))
	default:
		text = fmt.Sprintf("%s depends mostly on which model is right (%s); differences between people add %s.", words.Capital(noun), words.Share(models), words.Share(people))
	}
	var names []string
	for _, i := range ranked(p.Shares, drivers.ShapleyEffect) {
		if sourceOf(p, i.Groups[0]) != chart.FromPeople || i.Low <= 0 || len(names) == 2 || people <= 0 {
			continue
		}
		names = append(names, fmt.Sprintf("%s (%s of all)", words.DrivenBy(i.Groups[0]), words.Share(clampShare(i.Value))))
	}
	switch len(names) {
	case 1:
		text += " Of the differences between people, only " + names[0] + " stands out."
	case 2:
		text += " Of the differences between people, " + names[0] + " counts most, then " + names[1] + "."
	}
	return text
}

func clampShare(x float64) float64 { return min(max(x, 0), 1) }
