package said

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/jsonform"
	"counterpoise/internal/provenance"
	"counterpoise/internal/words"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
)

// ReadinessHeadline is what a coach can say of the tests, or of which to do; "" where
// there is nothing.
func ReadinessHeadline(r *person.Readiness, s words.System) string {
	name := r.Result.Person.Name
	switch {
	case len(r.Models) > 0:
	case r.Own != nil:
		return name + ": " + words.Within(OwnStrength(r))
	case r.Asks != nil:
		return untestedText(r, s)
	default:
		if why := unknown(r.Result, hold.Equilibrium); why != "" {
			return name + ": " + why
		}
		return ""
	}
	var margins []float64
	var weaker, top []string
	low, high := math.Inf(1), math.Inf(-1)
	add := func(list []string, word string) []string {
		if slices.Contains(list, word) {
			return list
		}
		return append(list, word)
	}
	for i := range r.Models {
		a := &r.Models[i].Arrangements[r.Models[i].Best]
		if !a.Tested() {
			missing := "a one-arm hang"
			if a.Pull.Tested {
				missing = "a one-arm handstand at a wall"
			}
			if !a.Pull.Tested && !a.Push.Tested {
				return withOwn(fmt.Sprintf("%s: what the arms give along their line was not tested.", name), r)
			}
			return withOwn(fmt.Sprintf("%s was tested for one of the two arms' roles only; the other needs %s.", name, missing), r)
		}
		margins, low, high = append(margins, a.Margin.Median), min(low, a.Margin.Low), max(high, a.Margin.High)
		weaker, top = add(weaker, a.Weaker), add(top, a.Top.String())
	}
	says := "whether the tests show the straight-arm strength for the hold is open"
	switch {
	case low >= 1:
		says = "the tests show the straight-arm strength for the hold, in every draw"
	case high < 1:
		says = "the tests do not show the straight-arm strength for the hold; they are lower bounds, and longer or heavier ones may"
	}
	text := fmt.Sprintf("%s: %s (they show %s times what the harder part asks for; 5–95 %% %s to %s).", name, says, words.Over(margins, Margin), Margin(low), Margin(high))
	if len(weaker) == 1 {
		arm := "bottom"
		if weaker[0] == "pull" {
			arm = "top"
		}
		text += " The weaker side is the " + weaker[0] + " of the " + arm + " arm."
	} else {
		text += " Which side is weaker depends on the model."
	}
	if len(top) == 1 && top[0] != "" {
		text += " The " + top[0] + " arm belongs on top."
	}
	return withOwn(text, r)
}

// untestedText is what gives out in somebody who was not tested, and what tests would
// show.
func untestedText(r *person.Readiness, s words.System) string {
	text := fmt.Sprintf("%s was not tested: what gives out first is as of an untrained %s of that size and age.", r.Result.Person.Name, words.UntrainedOf(r.Result.Conditioned.Population).One)
	for _, says := range []string{"it is " + givesOutOf(r.Asks), nextTest(r.Asks, s), noTest(r.Asks)} {
		if says != "" {
			text += " " + words.Capital(says) + "."
		}
	}
	return text
}

// withOwn adds what the tests say of the whole strength to what they say of the arms.
func withOwn(text string, r *person.Readiness) string {
	if says := OwnStrength(r); says != "" {
		return text + " " + says
	}
	return text
}

// Margin writes how many times what is asked for was shown.
func Margin(times float64) string { return words.Number(times, 2) }

// ReadinessSummary is what the tests say, in newtons, seconds and N·m; margins
// are capacity over required force.
type ReadinessSummary struct {
	Headline  string             `json:"headline"`
	Endurance string             `json:"endurance"`
	Source    string             `json:"endurance_source"`
	Tests     []TestSummary      `json:"tests"`
	Models    []ReadinessByModel `json:"models"`
	Asks      *AsksSummary       `json:"asks"`         // null where nobody knows
	Own       *OwnSummary        `json:"own_strength"` // likewise, and without tests
	NotShown  []NotShownSummary  `json:"not_shown"`
}

// ReadinessesSummary is what readiness --json prints.
type ReadinessesSummary struct {
	Persons    []PersonReadiness `json:"persons"`
	Validation string            `json:"validation"`
	Cautions   string            `json:"cautions"`
	Provenance provenance.Stamp  `json:"provenance"`
}

// PersonReadiness is the readiness of one person.
type PersonReadiness struct {
	Person    string            `json:"person"`
	Readiness *ReadinessSummary `json:"readiness"`
	Notes     []string          `json:"notes,omitempty"`
}

// TestSummary is what one test shows at the least.
type TestSummary struct {
	Test         string  `json:"test"`
	Side         string  `json:"side,omitempty"`
	Seconds      float64 `json:"held_s"`
	DemandBW     Range   `json:"demand_bw"`
	Demand       Range   `json:"demand_n"`
	Share        Range   `json:"share_of_greatest"`
	Shows        Range   `json:"shows_n"`
	Extrapolated bool    `json:"extrapolated"`
}

// ReadinessByModel is the readiness by one model.
type ReadinessByModel struct {
	Model        string               `json:"model"`
	Arrangements []ArrangementSummary `json:"arrangements"`
	Best         int                  `json:"best"` // index of the better arrangement
}

// ArrangementSummary is the hold with a certain arm on top.
type ArrangementSummary struct {
	Top    string      `json:"top_arm,omitempty"`
	Pull   RoleSummary `json:"pull"`
	Push   RoleSummary `json:"push"`
	Margin *Range      `json:"margin"`
	Enough *float64    `json:"margin_at_least_1_share"`
	Weaker string      `json:"weaker,omitempty"`
}

// RoleSummary is what one arm does in the hold; null where it was not tested.
type RoleSummary struct {
	Required Range    `json:"required_n"`
	Capacity *Range   `json:"capacity_n"`
	Margin   *Range   `json:"margin"`
	Enough   *float64 `json:"margin_at_least_1_share"`
}

// NotShownSummary is one thing that the hold asks for and no test shows.
type NotShownSummary struct {
	What  string `json:"what"`
	Why   string `json:"why"`
	Model string `json:"model,omitempty"`
	Asked *Range `json:"asked_nm,omitempty"`
}

// SummariseReadiness turns readinesses into their summary.
func SummariseReadiness(answers []PersonAnswer, stamp provenance.Stamp) ReadinessesSummary {
	s := ReadinessesSummary{Validation: words.NotValidated, Cautions: words.Cautions, Provenance: stamp}
	for i := range answers {
		s.Persons = append(s.Persons, PersonReadiness{answers[i].Person.Name, summariseReadiness(answers[i].Ready), answers[i].Notes})
	}
	return s
}

func summariseReadiness(r *person.Readiness) *ReadinessSummary {
	e := r.Result.Options.Endurance
	s := &ReadinessSummary{
		Headline: ReadinessHeadline(r, words.Metric), Endurance: e.String(), Source: e.Source(), Tests: []TestSummary{}, Models: []ReadinessByModel{},
		Asks: summariseAsks(r.Asks), Own: summariseOwn(r.Own), NotShown: []NotShownSummary{},
	}
	for _, t := range r.Tests {
		s.Tests = append(s.Tests, TestSummary{
			strings.ReplaceAll(t.Kind.String(), " ", "_"), t.Side.String(), t.Seconds,
			RangeOf(t.DemandBW, 1), RangeOf(t.Demand, 1), RangeOf(t.Share, 1), RangeOf(t.Shows, 1), t.Extrapolated,
		})
	}
	role := func(r *person.Role) RoleSummary {
		s := RoleSummary{Required: RangeOf(r.Required, 1)}
		if r.Tested {
			s.Capacity, s.Margin = rangeOf(r.Capacity), rangeOf(r.Margin)
			s.Enough = jsonform.Finite(r.Enough)
		}
		return s
	}
	for i := range r.Models {
		m := &r.Models[i]
		by := ReadinessByModel{Model: m.Model.String(), Best: m.Best}
		for k := range m.Arrangements {
			a := &m.Arrangements[k]
			summary := ArrangementSummary{Top: a.Top.String(), Pull: role(&a.Pull), Push: role(&a.Push), Weaker: a.Weaker}
			if a.Tested() {
				summary.Margin, summary.Enough = rangeOf(a.Margin), jsonform.Finite(a.Enough)
			}
			by.Arrangements = append(by.Arrangements, summary)
		}
		s.Models = append(s.Models, by)
	}
	for _, n := range r.NotShown {
		summary := NotShownSummary{What: n.What, Why: n.Why}
		if n.Asked != nil {
			summary.Model, summary.Asked = n.Model.String(), rangeOf(*n.Asked)
		}
		s.NotShown = append(s.NotShown, summary)
	}
	return s
}
