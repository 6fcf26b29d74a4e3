package wording

import (
	"fmt"
	"math"
	"strings"

	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/muscle"
	"counterpoise/sim/person"
)

// OwnStrength says whether the person could hold it, by the tests, and for how long; ""
// where nobody knows.
func OwnStrength(r *person.Readiness) string {
	o := r.Own
	if o == nil {
		return ""
	}
	text := fmt.Sprintf("The hold asks for %s times the person's own strength by these tests, at most 1 in %s of draws.", Spread(o.Difficulty, Margin), words.Share(o.Could))
	if o.Seconds != nil {
		return text + fmt.Sprintf(" It could be kept up for %s.", Spread(*o.Seconds, words.Seconds))
	}
	verb := "was"
	if len(o.Untested) > 1 {
		verb = "were"
	}
	return text + fmt.Sprintf(" No time is promised: %s %s never tested, and counted by what the strengths of one person have in common.", words.And(ofGroups(o.Untested)), verb)
}

func ofGroups(groups []muscle.Group) []string {
	list := make([]string, len(groups))
	for i, g := range groups {
		list[i] = g.Of(muscle.Both)
	}
	return list
}

// EnoughResult says what result of a test would be enough, such as "14 s more, or 4.0 kg".
func EnoughResult(e *person.Enough, s words.System) string {
	kg := words.Printer(units.Mass, s)
	switch {
	case e.Shown:
		return "enough as tested"
	case e.Kind == person.ScaleTest && math.IsInf(e.Kilograms, 1):
		return "no reading is enough"
	case e.Kind == person.ScaleTest:
		return "a reading of " + kg(up(e.Kilograms, 0.1))
	}
	var ways []string
	if !math.IsInf(e.Seconds, 1) {
		more := fmt.Sprintf("held %s", words.Seconds(up(e.Seconds, 1)))
		if e.Tested {
			more = fmt.Sprintf("%s more", words.Seconds(up(e.Seconds-e.Held, 1)))
		}
		ways = append(ways, more)
	}
	if e.Tested && !math.IsInf(e.Kilograms, 1) {
		ways = append(ways, kg(up(e.Kilograms, 0.1))+" more")
	}
	if ways == nil {
		return "no time and no load that is sensible"
	}
	return strings.Join(ways, ", or ")
}

// up rounds up to what a watch or scale shows: less would not be enough.
func up(x, step float64) float64 { return math.Ceil(x/step-1e-9) * step }

// EnoughTest names a test that shows a group.
func EnoughTest(e *person.Enough, s words.System) string {
	name := e.Kind.String()
	if e.Side != person.AnySide {
		name += ", " + e.Side.String()
	}
	if e.Kind == person.ScaleTest {
		name += ", hand " + e.Way.String()
		if e.Way.Across() {
			name += " at " + words.Printer(units.Angle, s)(e.Angle) + " from the trunk"
		}
	}
	return name
}

// OwnSummary is the hold in the person's own strength.
type OwnSummary struct {
	Difficulty Range           `json:"difficulty"` // times the person's own strength
	Could      float64         `json:"could_share"`
	GivesOut   []GivesOutShare `json:"gives_out"`
	Untested   []string        `json:"untested"`
	Seconds    *Range          `json:"expected_hold_s"` // null while something that gives out is untested
	Enough     []EnoughSummary `json:"enough"`
}

// GivesOutShare is a group that gives out first, or nearly, in a share of the draws.
type GivesOutShare struct {
	Group string  `json:"group"`
	Share float64 `json:"share"`
}

// EnoughSummary is the result of a test by which its group would give enough.
type EnoughSummary struct {
	Group     string   `json:"group"`
	Test      string   `json:"test"`
	Hand      string   `json:"hand,omitempty"`
	Angle     *float64 `json:"angle_deg,omitempty"`
	Tested    bool     `json:"tested"`
	Shown     bool     `json:"shown"`
	Seconds   *float64 `json:"held_s"`       // in all
	Kilograms *float64 `json:"kilograms_kg"` // that a scale reads, or on top of what was tested
}

func summariseOwn(o *person.Own) *OwnSummary {
	if o == nil {
		return nil
	}
	s := &OwnSummary{Difficulty: RangeOf(o.Difficulty, 1), Could: o.Could, GivesOut: []GivesOutShare{}, Untested: []string{}, Enough: []EnoughSummary{}}
	for _, g := range o.GivesOut {
		s.GivesOut = append(s.GivesOut, GivesOutShare{g.Group.String(), g.Share})
	}
	for _, g := range o.Untested {
		s.Untested = append(s.Untested, g.String())
	}
	if o.Seconds != nil {
		s.Seconds = rangeOf(*o.Seconds)
	}
	for i := range o.Enough {
		e := &o.Enough[i]
		summary := EnoughSummary{
			Group: e.Group.String(), Test: strings.ReplaceAll(e.Kind.String(), " ", "_"), Tested: e.Tested, Shown: e.Shown,
			Seconds: Finite(e.Seconds), Kilograms: Finite(e.Kilograms),
		}
		if e.Kind == person.ScaleTest {
			summary.Hand = e.Way.String()
			if e.Way.Across() {
				summary.Angle = Finite(e.Angle * 180 / math.Pi)
			}
		}
		s.Enough = append(s.Enough, summary)
	}
	return s
}
