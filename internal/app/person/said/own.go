package said

import (
	"fmt"
	"math"
	"strings"

	"counterpoise/internal/jsonform"
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
	text := fmt.Sprintf("The hold asks for %s times the person's own strength by these tests, at most 1 in %s of draws.", Spread(o.Difficulty, words.Times), words.Share(o.Could))
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

// givesOutOf names what gives out first, at most three: whatever does in one draw, another
// may in the next.
func givesOutOf(a *person.Asks) string {
	var names []string
	for _, g := range a.GivesOut[:min(3, len(a.GivesOut))] {
		names = append(names, words.GroupPlainly(g.Group))
	}
	return words.Likeliest(names)
}

// nextTest is the test to do next and the result that would do, a sentence without its
// stop; "" where none is left to do.
func nextTest(a *person.Asks, s words.System) string {
	for i := range a.Enough {
		if e := &a.Enough[i]; !e.Shown && !e.Tested {
			return "next test: " + EnoughTest(e, s) + "; " + EnoughResult(e, s)
		}
	}
	return ""
}

// noTest names what gives out and no test here shows, a sentence without its stop; "" where
// there is nothing.
func noTest(a *person.Asks) string {
	var names []string
	for _, g := range a.NoTest {
		names = append(names, words.GroupPlainly(g))
	}
	if names == nil {
		return ""
	}
	return "there is no test here for: " + words.And(names)
}

// EnoughResult says what result of a test would be enough in half of what is thought
// possible, such as "a reading of 7.7 kg is as likely as not enough".
func EnoughResult(e *person.Enough, s words.System) string {
	const enough = " is as likely as not enough"
	kg := words.Printer(units.Mass, s)
	switch {
	case e.Shown:
		return "what was reached" + enough
	case e.Kind == person.ScaleTest && math.IsInf(e.Kilograms, 1):
		return "no reading is enough"
	case e.Kind == person.ScaleTest:
		return "a reading of " + kg(up(e.Kilograms, 0.1)) + enough
	}
	var ways []string
	if !math.IsInf(e.Seconds, 1) {
		more := "holding it for " + cardResult(e, s)
		if e.Tested {
			more = words.Rough(up(e.Seconds-e.Held, 1), units.Duration, s) + " more"
		}
		ways = append(ways, more)
	}
	if e.Tested && !math.IsInf(e.Kilograms, 1) {
		ways = append(ways, kg(up(e.Kilograms, 0.1))+" more")
	}
	if ways == nil {
		return "no time and no load that is sensible is enough"
	}
	return strings.Join(ways, " or ") + enough
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
		name += ", hand " + wayOf(e)
	}
	return name
}

// wayOf says where the hand of an arm on a scale goes, and where the arm is: "up, 135° from
// the trunk".
func wayOf(e *person.Enough) string {
	switch angle := words.Rough(e.Angle, units.Angle, words.Metric); {
	case !e.Way.Across():
		return e.Way.String()
	case angle == words.Rough(0, units.Angle, words.Metric):
		return e.Way.String() + ", arm hanging"
	default:
		return e.Way.String() + ", " + angle + " from the trunk"
	}
}

// OwnSummary is the hold in the person's own strength.
type OwnSummary struct {
	Difficulty Range    `json:"difficulty"` // times the person's own strength
	Could      float64  `json:"could_share"`
	Untested   []string `json:"untested"`
	Seconds    *Range   `json:"expected_hold_s"` // null while something that gives out is untested
}

// AsksSummary is what gives out, and what results of tests would be enough.
type AsksSummary struct {
	GivesOut []GivesOutShare `json:"gives_out"`
	NoTest   []string        `json:"no_test"` // what gives out and no test shows
	Enough   []EnoughSummary `json:"enough"`
}

// GivesOutShare is a group that gives out first, or nearly, in a share of the draws.
type GivesOutShare struct {
	Group string  `json:"group"`
	Share float64 `json:"share"`
}

// EnoughSummary is the result of a test by which its group would, as likely as not, give
// enough.
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
	s := &OwnSummary{Difficulty: RangeOf(o.Difficulty, 1), Could: o.Could, Untested: namesOf(o.Untested)}
	if o.Seconds != nil {
		s.Seconds = rangeOf(*o.Seconds)
	}
	return s
}

func namesOf(groups []muscle.Group) []string {
	list := []string{}
	for _, g := range groups {
		list = append(list, g.String())
	}
	return list
}

func summariseAsks(a *person.Asks) *AsksSummary {
	if a == nil {
		return nil
	}
	s := &AsksSummary{GivesOut: []GivesOutShare{}, NoTest: namesOf(a.NoTest), Enough: []EnoughSummary{}}
	for _, g := range a.GivesOut {
		s.GivesOut = append(s.GivesOut, GivesOutShare{g.Group.String(), g.Share})
	}
	for i := range a.Enough {
		e := &a.Enough[i]
		summary := EnoughSummary{
			Group: e.Group.String(), Test: strings.ReplaceAll(e.Kind.String(), " ", "_"), Tested: e.Tested, Shown: e.Shown,
			Seconds: jsonform.Finite(e.Seconds), Kilograms: jsonform.Finite(e.Kilograms),
		}
		if e.Kind == person.ScaleTest {
			summary.Hand = e.Way.String()
			if e.Way.Across() {
				summary.Angle = jsonform.Finite(e.Angle * 180 / math.Pi)
			}
		}
		s.Enough = append(s.Enough, summary)
	}
	return s
}
