package wording

import (
	"fmt"
	"math"
	"strings"

	"counterpoise/internal/provenance"
	"counterpoise/internal/units"
	"counterpoise/sim/person"
)

// ReadinessHeadline is what a coach can say of the tests.
func ReadinessHeadline(r *person.Readiness, s units.System) string {
	name := r.Result.Person.Name
	var margins, lows, highs []float64
	var weaker, top []string
	for i := range r.Models {
		a := &r.Models[i].Arrangements[r.Models[i].Best]
		if !a.Tested() {
			missing := "a one-arm hang"
			if a.Pull.Tested {
				missing = "a one-arm handstand at a wall"
			}
			return fmt.Sprintf("%s was tested for one of the two arms' roles only; the other needs %s.", name, missing)
		}
		margins, lows, highs = append(margins, a.Margin.Median), append(lows, a.Margin.Low), append(highs, a.Margin.High)
		weaker, top = appendWord(weaker, a.Weaker), appendWord(top, a.Top.String())
	}
	times := func(x float64) string { return fmt.Sprintf("%.2f", x) }
	var says string
	switch low, high := least(lows), most(highs); {
	case low >= 1:
		says = "the tests show the straight-arm strength for the hold by every model, whatever is left open"
	case high < 1:
		says = "the tests do not show the straight-arm strength for the hold; they are lower bounds, and longer or heavier ones may"
	default:
		says = "whether the tests show the straight-arm strength for the hold is open"
	}
	text := fmt.Sprintf("%s: %s (they show %s times what the harder part asks for; 5–95 %% %s to %s).", name, says, Over(margins, times), times(least(lows)), times(most(highs)))
	if len(weaker) == 1 {
		text += " The weaker side is the " + weaker[0] + roleWords(weaker[0]) + "."
	} else {
		text += " Which side is weaker depends on the model."
	}
	if len(top) == 1 && top[0] != "" {
		text += " The " + top[0] + " arm belongs on top."
	}
	return text + " Shoulders, grip and trunk are not tested by these."
}

func roleWords(role string) string {
	if role == "pull" {
		return " of the top arm"
	}
	return " of the bottom arm"
}

func appendWord(list []string, word string) []string {
	for _, have := range list {
		if have == word {
			return list
		}
	}
	return append(list, word)
}

func least(values []float64) float64 {
	x := math.Inf(1)
	for _, v := range values {
		x = math.Min(x, v)
	}
	return x
}

func most(values []float64) float64 {
	x := math.Inf(-1)
	for _, v := range values {
		x = math.Max(x, v)
	}
	return x
}

// ReadinessSummary is what the tests say, in newtons, seconds and N·m; margins
// are capacity over required force.
type ReadinessSummary struct {
	Headline  string             `json:"headline"`
	Endurance string             `json:"endurance"`
	Source    string             `json:"endurance_source"`
	Tests     []TestSummary      `json:"tests"`
	Models    []ReadinessByModel `json:"models"`
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
	Top     string      `json:"top_arm,omitempty"`
	Pull    RoleSummary `json:"pull"`
	Push    RoleSummary `json:"push"`
	Margin  *Range      `json:"margin"`
	Enough  *float64    `json:"margin_at_least_1_share"`
	Seconds *Range      `json:"expected_hold_s"`
	Weaker  string      `json:"weaker,omitempty"`
}

// RoleSummary is what one arm does in the hold; null where it was not tested.
type RoleSummary struct {
	Required Range    `json:"required_n"`
	Capacity *Range   `json:"capacity_n"`
	Margin   *Range   `json:"margin"`
	Enough   *float64 `json:"margin_at_least_1_share"`
	Seconds  *Range   `json:"expected_hold_s"`
}

// NotShownSummary is one thing that the hold asks for and no test shows.
type NotShownSummary struct {
	What  string `json:"what"`
	Why   string `json:"why"`
	Model string `json:"model,omitempty"`
	Asked *Range `json:"asked_nm,omitempty"`
}

// SummariseReadiness turns readinesses into their summary.
func SummariseReadiness(ready []*person.Readiness, notes [][]string, stamp provenance.Stamp) ReadinessesSummary {
	s := ReadinessesSummary{Validation: NotValidated, Cautions: Cautions, Provenance: stamp}
	for i, r := range ready {
		s.Persons = append(s.Persons, PersonReadiness{r.Result.Person.Name, summariseReadiness(r), notes[i]})
	}
	return s
}

func summariseReadiness(r *person.Readiness) *ReadinessSummary {
	e := r.Result.Options.Endurance
	s := &ReadinessSummary{Headline: ReadinessHeadline(r, units.Metric), Endurance: e.String(), Source: e.Source()}
	for _, t := range r.Tests {
		s.Tests = append(s.Tests, TestSummary{
			strings.ReplaceAll(t.Kind.String(), " ", "_"), t.Side.String(), t.Seconds,
			RangeOf(t.DemandBW, 1), RangeOf(t.Demand, 1), RangeOf(t.Share, 1), RangeOf(t.Shows, 1), t.Extrapolated,
		})
	}
	role := func(r *person.Role) RoleSummary {
		s := RoleSummary{Required: RangeOf(r.Required, 1)}
		if r.Tested {
			s.Capacity, s.Margin, s.Seconds = ptrRange(RangeOf(r.Capacity, 1)), ptrRange(RangeOf(r.Margin, 1)), ptrRange(RangeOf(r.Seconds, 1))
			s.Enough = number(r.Enough)
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
				summary.Margin, summary.Seconds, summary.Enough = ptrRange(RangeOf(a.Margin, 1)), ptrRange(RangeOf(a.Seconds, 1)), number(a.Enough)
			}
			by.Arrangements = append(by.Arrangements, summary)
		}
		s.Models = append(s.Models, by)
	}
	for _, n := range r.NotShown {
		summary := NotShownSummary{What: n.What, Why: n.Why}
		if n.Asked != nil {
			summary.Model, summary.Asked = n.Model.String(), ptrRange(RangeOf(*n.Asked, 1))
		}
		s.NotShown = append(s.NotShown, summary)
	}
	return s
}
