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
	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/muscle"
	"counterpoise/sim/names"
	"counterpoise/sim/person"
)

// Card is what an athlete of a club is told of the human flag.
type Card struct {
	PersonAnswer               // with the legs straight and together
	Ladder       []person.Rung // from the easiest to the full hold
	Before       *PersonAnswer // by an earlier table; nil without one
}

// RungLegs are the ladder's ways to hold the legs, the full hold last. A straddle of 45° a
// leg is common practice, no source.
var RungLegs = []hold.Legs{hold.LegsIn(hold.Tuck, 0), hold.LegsIn(hold.Straddle, math.Pi/4), {}}

// RungName is what coaches call a rung.
func RungName(r *person.Rung) string {
	if r.Legs == (hold.Legs{}) {
		return "full"
	}
	return strings.ReplaceAll(r.Legs.Form.String(), "-", " ")
}

// RecommendedSpacing is where the hands belong along a pole: the one spacing that every
// text, card and drawing of a person recommends, and the range worth trying.
func RecommendedSpacing(a *PersonAnswer) (person.Spread, bool) {
	m := a.Primary()
	q, ok := m.Quantity(hold.HandSpacing)
	return q.All, ok && m.PossibleAll > 0
}

// Marks says how far apart the marks on the pole belong: "120 cm (47 in)".
func (c *Card) Marks() string {
	at, ok := RecommendedSpacing(&c.PersonAnswer)
	if !ok {
		return ""
	}
	return words.Mark(at.Median, words.Metric) + " (" + words.Mark(at.Median, words.Imperial) + ")"
}

// Worth says what is worth trying, in both systems: "105 to 140 cm (41 to 54 in)".
func (c *Card) Worth() string {
	at, ok := RecommendedSpacing(&c.PersonAnswer)
	if !ok {
		return ""
	}
	in := func(s words.System) string { return words.Interval(words.Mark(at.Low, s), words.Mark(at.High, s)) }
	return in(words.Metric) + " (" + in(words.Imperial) + ")"
}

// Size says how tall and heavy the person is.
func (c *Card) Size(s words.System) string {
	var parts []string
	for _, k := range c.Conditioned.Known {
		switch k.Of {
		case anthro.Stature, anthro.Mass:
			parts = append(parts, words.Measurement(k.Of, k.Value, s))
		case anthro.Span:
			parts = append(parts, "span "+words.Measurement(k.Of, k.Value, s))
		case anthro.Age:
			parts = append(parts, words.Measurement(k.Of, k.Value, s))
		}
	}
	return strings.Join(parts, ", ")
}

// Force says what goes along the harder-working arm: "45 kg (38 to 54)".
func (c *Card) Force(s words.System) string {
	m := c.Primary()
	q, ok := m.Quantity(m.Main)
	if !ok || q.AbsoluteUnit != "N" {
		return ""
	}
	return Spread(q.AllAbsolute, func(x float64) string { return words.Weight(x, s) })
}

// Full is the last rung.
func (c *Card) Full() *person.Rung { return &c.Ladder[len(c.Ladder)-1] }

// GivesOut names what gives out first in the full hold; empty where nobody knows.
func (c *Card) GivesOut() string {
	if c.Full().Tests == nil {
		return ""
	}
	return givesOutOf(c.Full().Tests)
}

// TestRow is a test with the result that would be enough on each rung.
type TestRow struct {
	Test   string
	Enough []string
	Same   bool // whether it is the same on every rung
}

// Tests are the tests that would show the rungs, at most four: of those that the easiest
// one needs first. What gives out first in the full hold comes first, and what a second shows is no test.
func (c *Card) Tests(s words.System) []TestRow {
	var groups []muscle.Group
	for i := range c.Ladder {
		if c.Ladder[i].Tests == nil {
			return nil
		}
		for _, e := range c.Ladder[i].Tests.Enough {
			groups = names.Once(groups, e.Group)
		}
	}
	needed := groups[:min(4, len(groups))]
	groups = nil // the weakest first
	for _, g := range append(names.Each(c.Full().Tests.GivesOut, func(out person.GivesOut) muscle.Group { return out.Group }), needed...) {
		if slices.Contains(needed, g) {
			groups = names.Once(groups, g)
		}
	}
	var rows []TestRow
	for _, g := range groups {
		row, tells := TestRow{Same: true}, false
		for i := range c.Ladder {
			text := "–"
			for k := range c.Ladder[i].Tests.Enough {
				if e := &c.Ladder[i].Tests.Enough[k]; e.Group == g {
					row.Test, text = cardTest(e), cardResult(e, s)
					tells = tells || e.Kind == person.ScaleTest || e.Seconds > 1
				}
			}
			row.Same = row.Same && (i == 0 || text == row.Enough[0])
			row.Enough = append(row.Enough, text)
		}
		if tells {
			rows = append(rows, row)
		}
	}
	return rows
}

// SameTests says of which tests the same result is enough on every rung, a sentence; empty where
// there is none. No table is needed for that.
func (c *Card) SameTests(s words.System) string {
	var parts []string
	for _, row := range c.Tests(s) {
		if row.Same && len(c.Ladder) > 1 {
			parts = append(parts, row.Test+": "+words.OneLine(row.Enough[0])+" for every form.")
		}
	}
	return strings.Join(parts, " ")
}

// cardTest names a test in few words.
func cardTest(e *person.Enough) string {
	if e.Kind != person.ScaleTest {
		return words.Capital(e.Kind.String())
	}
	return "Arm on a scale, " + WayOf(e)
}

// cardResult is the result that would be enough, as a watch or a scale shows it.
func cardResult(e *person.Enough, s words.System) string {
	switch x := e.Seconds; {
	case e.Kind == person.ScaleTest && !math.IsInf(e.Kilograms, 1):
		return words.Quantity(up(e.Kilograms, 0.1), units.Mass, s)
	case e.Kind != person.ScaleTest && !math.IsInf(x, 1):
		return words.Rough(up(x, 1), units.Duration, s)
	}
	return "no result"
}

// Since says what changed since the earlier table; empty without one.
func (c *Card) Since(s words.System) string {
	if c.Before == nil {
		return ""
	}
	var parts []string
	for _, now := range c.Conditioned.Known {
		for _, was := range c.Before.Conditioned.Known {
			if was.Of == now.Of && was.Value != now.Value && now.Of != anthro.Age {
				parts = append(parts, words.PlainOf(now.Of)+" "+words.Change(now.Value-was.Value, words.DimensionOf(now.Of), s))
			}
		}
	}
	if a, ok := RecommendedSpacing(&c.PersonAnswer); ok {
		if b, ok := RecommendedSpacing(c.Before); ok {
			parts = append(parts, "hands "+changed(words.Mark(b.Median, words.Metric), words.Mark(a.Median, words.Metric)))
		}
	}
	now, ok := c.Primary().Quantity(c.Primary().Main)
	was, before := c.Before.Primary().Quantity(c.Before.Primary().Main)
	if ok && before && now.AbsoluteUnit == "N" {
		parts = append(parts, "force "+changed(words.Weight(was.AllAbsolute.Median, s), words.Weight(now.AllAbsolute.Median, s)))
	}
	return strings.Join(parts, "; ")
}

// changed says what something was and is.
func changed(was, now string) string {
	if was == now {
		return now + " as before"
	}
	return now + " " + words.OneLine("(was "+was+")")
}

// Age is the person's, where it is known.
func (c *Card) Age() (years float64, known bool) {
	age, known := names.First(c.Conditioned.Known, func(k anthro.Known) bool { return k.Of == anthro.Age })
	return age.Value, known
}

// CardCautions stand on every card.
const CardCautions = "A model estimate, not measured; no medical or training advice. Loads shoulders, elbows and wrists: progress gradually, stop at pain. The pole must be rated for it."

// Caution is what the card warns of. What it says of minors is common practice, no source.
func (c *Card) Caution() string {
	switch age, known := c.Age(); {
	case known && age < anthro.Adulthood:
		return fmt.Sprintf("Under %d: growing shoulders, elbows and wrists need lower loads and more rest; only with a coach who knows youths, and the parents' consent. ", anthro.Adulthood) + CardCautions
	case !known:
		return fmt.Sprintf("Age unknown: these are an adult's numbers; under %d only with a coach who knows youths, and the parents' consent. ", anthro.Adulthood) + CardCautions
	}
	return CardCautions
}

// AnswersOf are the answers for the athletes in the full hold.
func AnswersOf(cards []Card) []PersonAnswer {
	return names.Each(cards, func(c Card) PersonAnswer { return c.PersonAnswer })
}

// CardSummary is what a card says beside the answer for the full hold.
type CardSummary struct {
	Ladder []RungSummary  `json:"ladder"` // from the easiest on
	Before *BeforeSummary `json:"before"` // null where no earlier table names the athlete
}

// RungSummary is one way to hold the legs.
type RungSummary struct {
	Rung  string        `json:"rung"`          // its name
	Legs  jsonform.Legs `json:"legs"`          // how they are held
	Share *Range        `json:"share_of_full"` // null where nobody knows
	Tests *AsksSummary  `json:"tests"`         // likewise
}

// BeforeSummary is the athlete by an earlier table: what a card compares with.
type BeforeSummary struct {
	Known   []KnownSummary `json:"known"`                      // what was measured then
	Spacing *Range         `json:"recommended_hand_spacing_m"` // by that
	Force   *Range         `json:"arm_force_n"`                // by that, along the harder-working arm
}

// SummariseClub is SummarisePersons with what cards say.
func SummariseClub(cards []Card, stamp provenance.Stamp) PersonsSummary {
	s := SummarisePersons(AnswersOf(cards), stamp)
	for i := range cards {
		s.Persons[i].Card = summariseCard(&cards[i])
	}
	return s
}

func summariseCard(c *Card) *CardSummary {
	s := &CardSummary{}
	for i := range c.Ladder {
		r := &c.Ladder[i]
		rung := RungSummary{Rung: RungName(r), Legs: jsonform.Legs(r.Legs), Tests: summariseAsks(r.Tests)}
		if r.Known {
			rung.Share = rangeOf(r.Share)
		}
		s.Ladder = append(s.Ladder, rung)
	}
	if c.Before == nil {
		return s
	}
	was := SummarisePerson(c.Before)
	s.Before = &BeforeSummary{Known: was.Known, Spacing: was.Spacing}
	if q, ok := c.Before.Primary().Quantity(c.Before.Primary().Main); ok && q.AbsoluteUnit == "N" {
		s.Before.Force = rangeOf(q.AllAbsolute)
	}
	return s
}

// CardTexts are what stands on a card.
type CardTexts struct {
	Title string     `json:"title"`
	Under string     `json:"under"`
	Marks []string   `json:"marks"` // how far apart the hands are, beside the drawing; none where nothing is drawn
	Steps []CardStep `json:"steps"`
	Above string     `json:"above"` // what the steps are shares of
	Tests [][]string `json:"tests"` // rows, the first of them the head
	Below string     `json:"below"` // what the tests show
	Says  []CardSays `json:"says"`
	Foot  string     `json:"foot"`
	// Narrow: there is no body to draw, as it cannot take the posture.
	Narrow bool `json:"narrow,omitempty"`
}

// CardStep is a rung: a share of what the full hold asks for.
type CardStep struct {
	Name  string        `json:"name"`
	Share person.Spread `json:"-"`
	Text  string        `json:"text"` // the share, and its range
}

// CardSays is a sentence under what it is about.
type CardSays struct {
	Of   string `json:"of"`
	Text string `json:"text"`
}

// Texts are what stands on the card. Name is what the athlete is called there.
func (c *Card) Texts(name string, s words.System) CardTexts {
	people, model := c.Foot()
	t := CardTexts{Title: name + ": human flag", Under: strings.TrimSuffix("Human flag. "+words.Capital(c.Size(s)), " "), Narrow: c.Primary().Median == nil, Marks: []string{}, Steps: []CardStep{}, Tests: [][]string{},
		Foot: words.Foot(people, c.Options.N, model, CardAssumptions, provenance.Credit())}
	say := func(of, text string) {
		if text != "" {
			t.Says = append(t.Says, CardSays{of, words.NoBreak(text)})
		}
	}
	marks := c.Marks()
	if t.Narrow || marks == "" {
		say("Not for this body:", "no arm angle makes the posture possible.")
		say("Careful:", c.Caution())
		return t
	}
	t.Title = words.NoBreak(fmt.Sprintf("%s: hands %s apart", name, marks))
	at, _ := RecommendedSpacing(&c.PersonAnswer)
	t.Marks = []string{words.OneLine(words.Mark(at.Median, words.Metric)), words.OneLine(words.Mark(at.Median, words.Imperial))}
	for i := range c.Ladder {
		if r := &c.Ladder[i]; r.Known {
			percent := func(x float64) string { return words.OneLine(words.Percent(x, 0)) }
			text := percent(r.Share.Median)
			if low, high := percent(r.Share.Low), percent(r.Share.High); low != high {
				text += " (" + words.Interval(low, high) + ")"
			}
			t.Steps = append(t.Steps, CardStep{rungWords(r), r.Share, text})
		}
	}
	t.Above = "How hard, in per cent of the full flag"
	if rows := c.Tests(s); len(rows) > 0 {
		head := []string{"Even odds that it is enough, test by test"}
		for i := range c.Ladder {
			head = append(head, RungName(&c.Ladder[i]))
		}
		t.Tests = append(t.Tests, head)
		for _, row := range rows {
			if !row.Same || len(c.Ladder) == 1 {
				t.Tests = append(t.Tests, append([]string{row.Test}, row.Enough...))
			}
		}
		if len(t.Tests) == 1 {
			t.Tests = [][]string{}
		}
		t.Below = "First goal: enough in every test of the column of the " + RungName(&c.Ladder[0]) + ". On a scale the arm is straight, and the scale, but for a push or pull along it, square to it at the hand."
		if same := c.SameTests(s); same != "" {
			t.Below += " " + same
		}
	}
	say("Worth trying:", c.Worth()+", middle to middle of the hands.")
	say("Along the harder-working arm:", c.Force(s)+".")
	say("Gives out first:", c.untrainedNote())
	say("Since last time:", c.Since(s))
	say("Careful:", c.Caution())
	return t
}

// rungWords names a rung for a coach.
func rungWords(r *person.Rung) string {
	if r.Legs.Form == hold.Straddle {
		return "straddle, each leg " + words.Angle(r.Legs.Angle)
	}
	return RungName(r)
}

// untrainedNote says what gives out first, and whose strength that is about.
func (c *Card) untrainedNote() string {
	if of := c.GivesOut(); of != "" {
		return of + ", as of an untrained " + words.UntrainedOf(c.Conditioned.Population).One + " of that size; own strength not tested."
	}
	if why := c.Unknown(c.Primary().Model, hold.Difficulty); why != "" {
		return "nobody knows: " + why + "."
	}
	return ""
}

// Foot says whose bodies a card is about, and how they are held.
func (c *Card) Foot() (people, model string) {
	return "as measured, the rest drawn from " + words.Sexes(c.Conditioned.Population.Name), c.Primary().Model.String()
}

// CardAssumptions says what was assumed of a card.
const CardAssumptions = "drawn; ranges 5–95\u00a0%"
