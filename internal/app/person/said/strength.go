package said

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/jsonform"
	"counterpoise/internal/provenance"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/muscle"
	"counterpoise/sim/names"
	"counterpoise/sim/person"
	"counterpoise/sim/scenario"
)

// ChangeWords says what is changed of a person and of how the hold is done.
func ChangeWords(p *person.Person, ch *scenario.Change, s words.System) string {
	of := scenario.Scenario{Hold: p.Hold, Legs: p.Legs, Pose: p.Pose, Tilt: p.Tilt, Load: p.Load, Change: ch}
	parts := words.BodyChange(&ch.Body, s)
	if text := words.LoadChangeIn(of.Load, of.LoadAfter(), s); text != "" {
		parts = append(parts, text)
	}
	if before, after := words.Posture(of.Posture()), words.Posture(of.PostureAfter()); before != after {
		parts = append(parts, words.Instead(after, before))
	}
	return words.List(parts, nothingChanged)
}

const nothingChanged = "nothing changed"

// ChangesNothing says that a change leaves everything as it was.
func ChangesNothing(p *person.Person, ch *scenario.Change) bool {
	return ChangeWords(p, ch, words.Metric) == nothingChanged
}

// addedBy says, in brackets, what mass goes with a change of lengths; what is added by
// name the change says itself.
func addedBy(e *person.Effect, ch *scenario.Change, s words.System) string {
	if len(ch.Body.Mass) > 0 {
		return ""
	}
	var parts []string
	for k, kg := range e.Added {
		if words.TellsAdded(kg) {
			parts = append(parts, words.Added(body.Whole[k], kg, s))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return " (" + words.And(parts) + ")"
}

// EffectHeadline says what a change does to a person, by the signs of its effects.
func EffectHeadline(e *person.Effect, p *person.Person, ch *scenario.Change, s words.System) string {
	what, name := words.Capital(ChangeWords(p, ch, s))+addedBy(e, ch, s), words.HeldIn(p.Hold, hold.Posture{}, p.Load, s)
	switch {
	case e.PossibleBefore == 0 && e.PossibleAfter == 0:
		return fmt.Sprintf("%s: no simulated body can take the posture of the %s, before or after.", what, name)
	case e.PossibleBefore == 0:
		return fmt.Sprintf("%s: %s of the simulated bodies can take the posture of the %s; none could before.", what, words.Share(e.PossibleAfter), name)
	case e.PossibleAfter == 0:
		return fmt.Sprintf("%s: no simulated body can take the posture of the %s any more.", what, name)
	}
	able := fmt.Sprintf("%s of the simulated bodies can take the posture of the %s, %s could before", words.Share(e.PossibleAfter), name, words.Share(e.PossibleBefore))
	if min(e.PossibleBefore, e.PossibleAfter) < 0.5*max(e.PossibleBefore, e.PossibleAfter) {
		return what + ": " + able + "." // of the few who always can, nothing follows for the others
	}
	i := slices.IndexFunc(e.Quantities, func(m person.Moved) bool { return m.Demand == e.Judged })
	m, unknown := &e.Quantities[i], ""
	if e.Unknown != "" {
		unknown = " Whether that makes it easier or harder is not known: " + e.Unknown + "."
	}
	if words.Share(e.PossibleBefore) != words.Share(e.PossibleAfter) {
		unknown += " " + able + "; the sizes are of those who can both times."
	}
	what += ": " + words.Noun(m.Demand, e.Model) + " of the " + name
	if e.Easier == 0 && e.Harder == 0 {
		return what + " stays exactly the same." + unknown
	}
	way, more := "less", "more"
	if m.Demand == hold.Difficulty {
		way, more = "easier", "harder"
	}
	share := e.Easier
	if e.Harder > e.Easier {
		way, share = more, e.Harder
	}
	text := fmt.Sprintf("%s %s. It is %s in %s of the draws", what, moves(m, s), way, words.Share(share))
	if e.Easier+e.Harder < 1 {
		text += " and the same in " + words.Share(1-e.Easier-e.Harder)
	}
	return text + "." + unknown
}

// moves says which way a demand's size moves, and by how much: as a share where that
// has a meaning for every draw.
func moves(m *person.Moved, s words.System) string {
	by := m.Relative
	format := func(x float64) string { return words.Change(x, units.Relative, s) }
	if m.Relative == (person.Spread{}) {
		by = m.Effect
		format = func(x float64) string { return words.Way(-x, "", "+") + words.DemandPrinter(m.Demand, s)(x) }
	}
	text := "hardly moves"
	if format(by.Median) != format(0) {
		text = words.Way(by.Median, "rises", "falls") + " by " + strings.TrimPrefix(format(math.Abs(by.Median)), "+")
	}
	return fmt.Sprintf("%s for the median draw (5–95 %% of the draws: %s to %s)", text, format(by.Low), format(by.High))
}

// OwnStrength says whether the person could hold it, by the tests, and for how long; ""
// where nobody knows.
func OwnStrength(r *person.Readiness) string {
	o := r.Own
	if o == nil {
		return ""
	}
	text := fmt.Sprintf("The hold asks for %s times the person's own strength by these tests, at most 1 in %s.", Spread(o.Difficulty, words.Times), inDraws(o.Could))
	if o.Seconds != nil {
		text += fmt.Sprintf(" It could be kept up for %s", Spread(*o.Seconds, words.Seconds))
		if o.Shown > 0 && o.Shown < o.Seconds.Low {
			text += "; the " + words.Seconds(o.Shown) + " of the test count as the least, not as all"
		}
		return text + "."
	}
	verb := "was"
	if len(o.Untested) > 1 {
		verb = "were"
	}
	return text + fmt.Sprintf(" No time is promised: %s %s never tested, and counted by what the strengths of one person have in common.", words.And(ofGroups(o.Untested)), verb)
}

// inDraws says in how many of the draws something is so.
func inDraws(share float64) string {
	switch share {
	case 0:
		return "none of the draws"
	case 1:
		return "every draw"
	}
	return words.Share(share) + " of draws"
}

func ofGroups(groups []muscle.Group) []string {
	return names.Each(groups, func(g muscle.Group) string { return g.Of(muscle.Both) })
}

// givesOutOf names what gives out first, at most three: whatever does in one draw, another
// may in the next.
func givesOutOf(a *person.Asks) string {
	return words.Likeliest(names.Each(a.GivesOut[:min(3, len(a.GivesOut))], func(g person.GivesOut) string { return words.GroupPlainly(g.Group) }))
}

// NextTest is the test to do next and the result that would do, a sentence without its
// stop; "" where none is left to do, or nobody knows what gives out.
func NextTest(a *PersonAnswer, s words.System) string {
	return nextTest(a.Asks(), s)
}

func nextTest(a *person.Asks, s words.System) string {
	if e := a.Next(); e != nil {
		return "next test: " + EnoughTest(e, s) + "; " + EnoughResult(e, s, WhatItTests)
	}
	return ""
}

// noTest names what gives out and no test here shows, a sentence without its stop; "" where
// there is nothing.
func noTest(a *person.Asks) string {
	if len(a.NoTest) == 0 {
		return ""
	}
	return "there is no test here for: " + words.And(names.Each(a.NoTest, words.GroupPlainly))
}

// EnoughResult says what result of a test would be enough in half of what is thought
// possible, such as "a reading of 7.7 kg gives even odds that what it tests is strong enough", with
// a name for that and its verb.
func EnoughResult(e *person.Enough, s words.System, tested string) string {
	enough := " gives even odds that " + tested + " strong enough"
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

// WhatItTests stands for what a test is of where that was named before.
const WhatItTests = "what it tests is"

// up rounds up to what a watch or scale shows: less would not be enough.
func up(x, step float64) float64 { return math.Ceil(x/step-1e-9) * step }

// EnoughTest names a test that shows a group.
func EnoughTest(e *person.Enough, s words.System) string {
	name := e.Kind.String()
	if e.Side != person.AnySide {
		name += ", " + e.Side.String()
	}
	if e.Kind == person.ScaleTest {
		if name += ", " + WayOf(e); e.Way.Across() {
			name += ", square to the arm"
		}
	}
	return name
}

// Reading is what the scale of a test reads where it is enough.
func Reading(e *person.Enough, s words.System) string {
	if math.IsInf(e.Kilograms, 1) {
		return "no reading is enough"
	}
	return "even odds at " + words.Printer(units.Mass, s)(up(e.Kilograms, 0.1)) + " on the scale"
}

// WayOf says where the arm on a scale is, and which way its force goes: "135° from the trunk, force
// up".
func WayOf(e *person.Enough) string {
	switch angle := words.Rough(e.Angle, units.Angle, words.Metric); {
	case !e.Way.Across():
		return e.Way.String() + " along the arm"
	case angle == words.Rough(0, units.Angle, words.Metric):
		return "hanging, force " + e.Way.String()
	default:
		return angle + " from the trunk, force " + e.Way.String()
	}
}

// OwnSummary is the hold in the person's own strength.
type OwnSummary struct {
	Difficulty Range    `json:"difficulty"`      // times the person's own strength
	Could      float64  `json:"could_share"`     // share of the draws in which the person could hold it
	Untested   []string `json:"untested"`        // groups that the hold uses and no test shows
	Seconds    *Range   `json:"expected_hold_s"` // null while something that gives out is untested
}

// AsksSummary is what gives out, and what results of tests would be enough.
type AsksSummary struct {
	GivesOut []GivesOutShare `json:"gives_out"` // from the most frequent on
	NoTest   []string        `json:"no_test"`   // what gives out and no test shows
	Likely   []string        `json:"likely"`    // what gives out and is enough, as likely as not, in untested people
	Enough   []EnoughSummary `json:"enough"`    // a row a group that a test shows
}

// GivesOutShare is a group that gives out first, or nearly, in a share of the draws.
type GivesOutShare struct {
	Group string  `json:"group"` // of muscles
	Share float64 `json:"share"` // of the draws
}

// EnoughSummary is the result of a test by which its group would, as likely as not, give
// enough.
type EnoughSummary struct {
	Group     string   `json:"group"`               // of muscles
	Test      string   `json:"test"`                // by which it is shown
	Hand      string   `json:"hand,omitempty"`      // of a test that has one
	Angle     *float64 `json:"angle_deg,omitempty"` // of the joint, of a test against a scale
	Tested    bool     `json:"tested"`              // whether the person did this test
	Shown     bool     `json:"shown"`               // whether what they did is enough already
	Seconds   *float64 `json:"held_s"`              // in all
	Kilograms *float64 `json:"kilograms_kg"`        // that a scale reads, or on top of what was tested
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

// namesOf is never nil.
func namesOf(groups []muscle.Group) []string { return append([]string{}, names.Of(groups)...) }

func summariseAsks(a *person.Asks) *AsksSummary {
	if a == nil {
		return nil
	}
	s := &AsksSummary{GivesOut: []GivesOutShare{}, NoTest: namesOf(a.NoTest), Likely: namesOf(a.Likely), Enough: []EnoughSummary{}}
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
	low, high, least := math.Inf(1), math.Inf(-1), 1.0
	for i := range r.Models {
		a := &r.Models[i].Arrangements[r.Models[i].Best]
		if !a.Tested() {
			missing := "a one-arm hang"
			if a.Pull.Tested {
				missing = "a one-arm handstand at a wall"
			}
			if !a.Pull.Tested && !a.Push.Tested {
				return withOwn(fmt.Sprintf("%s: no one-arm hang and no one-arm handstand was done, by which the margin of either arm is told.", name), r)
			}
			return withOwn(fmt.Sprintf("%s was tested for one of the two arms' roles only; the other needs %s.", name, missing), r)
		}
		margins, low, high = append(margins, a.Margin.Median), min(low, a.Margin.Low), max(high, a.Margin.High)
		least = min(least, a.Enough)
		weaker, top = names.Once(weaker, a.Weaker), names.Once(top, a.Top.String())
	}
	says := "whether the tests show the straight-arm strength for the hold is open"
	switch {
	case low >= 1:
		says = "the tests show the straight-arm strength for the hold, in " + inDraws(least)
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
	was := " was"
	if strings.EqualFold(r.Result.Person.Name, "you") {
		was = " were"
	}
	text := fmt.Sprintf("%s not tested: what gives out first is as of %s.", words.Capital(r.Result.Person.Name)+was, untrainedLike(r.Result))
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
	Headline  string             `json:"headline"`         // in one sentence
	Endurance string             `json:"endurance"`        // the curve by which seconds held become a share of the greatest force
	Source    string             `json:"endurance_source"` // of the curve
	Tests     []TestSummary      `json:"tests"`            // one a result
	Models    []ReadinessByModel `json:"models"`           // one a model
	Asks      *AsksSummary       `json:"asks"`             // null where nobody knows
	Own       *OwnSummary        `json:"own_strength"`     // likewise, and without tests
	NotShown  []NotShownSummary  `json:"not_shown"`        // what the hold asks for and no test shows
}

// ReadinessesSummary is what readiness --json prints.
type ReadinessesSummary struct {
	Persons []PersonReadiness `json:"persons"`
	words.Standing
}

// PersonReadiness is the readiness of one person.
type PersonReadiness struct {
	Person    string            `json:"person"`          // name
	Readiness *ReadinessSummary `json:"readiness"`       // null where the person has no tests
	Notes     []string          `json:"notes,omitempty"` // what to know of it
}

// TestSummary is what one test shows at the least.
type TestSummary struct {
	Test         string  `json:"test"`              // its name
	Side         string  `json:"side,omitempty"`    // the arm, where it matters
	Seconds      float64 `json:"held_s"`            // how long it was held
	DemandBW     Range   `json:"demand_bw"`         // force that the test asks of the arm, BW
	Demand       Range   `json:"demand_n"`          // the same in newtons
	Share        Range   `json:"share_of_greatest"` // of the greatest force, by the endurance curve
	Shows        Range   `json:"shows_n"`           // greatest force that it shows at the least
	Extrapolated bool    `json:"extrapolated"`      // whether it was held for longer or shorter than the curve was measured
}

// ReadinessByModel is the readiness by one model.
type ReadinessByModel struct {
	Model        string               `json:"model"`        // its name
	Arrangements []ArrangementSummary `json:"arrangements"` // the hold with either arm on top
	Best         int                  `json:"best"`         // index of the better arrangement
}

// ArrangementSummary is the hold with a certain arm on top.
type ArrangementSummary struct {
	Top    string      `json:"top_arm,omitempty"`       // left or right
	Pull   RoleSummary `json:"pull"`                    // the arm that pulls
	Push   RoleSummary `json:"push"`                    // the arm that pushes
	Margin *Range      `json:"margin"`                  // the smaller of the two roles, in each draw
	Enough *float64    `json:"margin_at_least_1_share"` // share of the draws in which it is enough
	Weaker string      `json:"weaker,omitempty"`        // the role that is weaker
}

// RoleSummary is what one arm does in the hold; null where it was not tested.
type RoleSummary struct {
	Required Range    `json:"required_n"`              // force that the hold asks for
	Capacity *Range   `json:"capacity_n"`              // force that tests show
	Margin   *Range   `json:"margin"`                  // capacity over required force
	Enough   *float64 `json:"margin_at_least_1_share"` // share of the draws in which it is enough
}

// NotShownSummary is one thing that the hold asks for and no test shows.
type NotShownSummary struct {
	What  string `json:"what"`               // the demand
	Why   string `json:"why"`                // why no test shows it
	Model string `json:"model,omitempty"`    // where it depends on it
	Asked *Range `json:"asked_nm,omitempty"` // the demand
}

// SummariseReadiness turns readinesses into their summary.
func SummariseReadiness(answers []PersonAnswer, stamp provenance.Stamp) ReadinessesSummary {
	return ReadinessesSummary{Standing: words.StandingOf(stamp), Persons: names.Each(answers, func(a PersonAnswer) PersonReadiness {
		return PersonReadiness{a.Person.Name, summariseReadiness(a.Ready), a.Notes}
	})}
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

const (
	alike   = 0.99  // of what is used most: gives out with it
	noticed = 0.005 // the least relative change that is told
)

// limits are the groups of one body that give out first, those used most.
func limits(in *hold.Hold, m hold.Model, of *scenario.HeldBody) (list []muscle.Group) {
	for _, u := range in.Uses(m) {
		use := of.Held.Value[hold.UseOf(u.Group)]
		if !u.Reported && len(use) > 0 && use[0] >= alike*of.Held.Value[hold.Difficulty][0] && !slices.Contains(list, u.Group) {
			list = append(list, u.Group)
		}
	}
	slices.Sort(list)
	return list
}

// Reason says of one body held in two ways what gives out first in the second and, where
// the main force and the difficulty go apart, that they do: "The force along the
// harder-working arm falls by 2 %, and yet it gets 4 % harder. Gives out first now: grip;
// at its best: push along the arm." It is empty where all is as one expects: the same
// gives out, and both go one way. first names the first way; sized has how much in it, of that one body.
func Reason(in *hold.Hold, m hold.Model, before, after *scenario.HeldBody, first string, sized bool) string {
	if before == nil || after == nil || !in.Tells(m, hold.Difficulty, before.Posture) || !in.Tells(m, hold.Difficulty, after.Posture) {
		return ""
	}
	size := func(b *scenario.HeldBody, d hold.Demand) float64 {
		x := math.Abs(b.Held.Value[d][0])
		if d.Unit == "BW" || d.Unit == "BW·m" {
			x *= b.Body.Mass[0]
		}
		return x
	}
	main := in.Asks(m)[0]
	force, harder := size(after, main)/size(before, main)-1, size(after, hold.Difficulty)/size(before, hold.Difficulty)-1
	apart := main != hold.Difficulty && force*harder < 0 && min(math.Abs(force), math.Abs(harder)) >= noticed
	was, now := limits(in, m, before), limits(in, m, after)
	if !apart && slices.Equal(was, now) {
		return ""
	}
	text := ""
	if apart {
		percent := func(before string, x float64) string {
			switch {
			case !sized:
				return ""
			case math.Abs(force) < 0.01 || math.Abs(harder) < 0.01:
				return before + words.Percent(math.Abs(x), 1) + " "
			}
			return before + words.Percent(math.Abs(x), 0) + " "
		}
		text = words.Capital(words.PlainNoun(main)) + " " + words.Way(force, "rises", "falls") + strings.TrimSuffix(percent(" by ", force), " ") +
			", and yet it gets " + percent("", harder) + words.Way(harder, "harder", "easier") + ". "
	}
	name := func(groups []muscle.Group) string {
		return words.And(names.Each(groups, words.GroupPlainly))
	}
	without := func(list, of []muscle.Group) []muscle.Group {
		return slices.DeleteFunc(slices.Clone(list), func(g muscle.Group) bool { return slices.Contains(of, g) })
	}
	come, gone := without(now, was), without(was, now)
	switch {
	case len(come)+len(gone) == 0:
		text += "What gives out first is asked for " + words.Way(harder, "more", "less") + ": " + name(now) + "."
	case len(come) == 0:
		text += "Gives out first now: " + name(now) + "; no longer: " + name(gone) + "."
	case len(gone) == 0:
		text += "Gives out first now too: " + name(come) + "."
	default:
		text += "Gives out first now: " + name(now) + "; " + first + ": " + name(was) + "."
	}
	return words.NoBreak(text)
}
