package said

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/holds"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/muscle"
	"counterpoise/sim/names"
	"counterpoise/sim/person"
	"counterpoise/sim/strength"
)

// FirstPerson writes the first screen of answers: all that a coach is told of one person
// first, or a table of several.
func FirstPerson(w io.Writer, answers []PersonAnswer, s words.System) error {
	t := &personText{words.Writer{W: w}}
	if len(answers) == 1 {
		t.firstPerson(&answers[0], s)
	} else {
		t.personTable(answers, s)
	}
	t.Wrap("", "", words.Caution)
	return t.Err
}

// FirstReadiness writes the first screen of what tests say.
func FirstReadiness(w io.Writer, answers []PersonAnswer, s words.System) error {
	t := &personText{words.Writer{W: w}}
	for i := range answers {
		t.firstPerson(&answers[i], s)
	}
	t.Wrap("", "", words.Caution)
	return t.Err
}

// firstPerson writes what is told of one person first, and what should be known beside it.
func (t *personText) firstPerson(a *PersonAnswer, s words.System) {
	for i, line := range PersonFirst(a, s) {
		t.Wrap(map[bool]string{true: "", false: "  "}[i == 0], "    ", line)
	}
	t.FirstNotes(a.Notes)
	if a.Conditioned.Population.Young() {
		t.FirstNotes([]string{words.CautionYoung})
	}
}

// ReadinessText writes what tests of strength say for the terminal.
func ReadinessText(w io.Writer, answers []PersonAnswer, s words.System) error {
	t := &personText{words.Writer{W: w}}
	for i := range answers {
		a, r := &answers[i], answers[i].Ready
		if i > 0 {
			t.Line("")
		}
		t.Line("%s: readiness for the %s", a.Person.Name, a.HoldWords(s))
		t.Line("")
		if says := ReadinessHeadline(r, s); says != "" {
			t.Wrap("", "", says)
			t.Line("")
		}
		t.readiness(r, s)
		t.notes(a.Notes)
	}
	t.Line("")
	t.Wrap("", "", words.NotValidated+" "+words.Cautions)
	return t.Err
}

// readiness writes the tests, the margins and what is not shown.
func (t *personText) readiness(r *person.Readiness, s words.System) {
	if len(r.Tests) == 0 {
		t.asks(r, s)
		return
	}
	e, share := r.Result.Options.Endurance, words.RoughPrinter(units.Relative, s)
	grip := ""
	if slices.ContainsFunc(r.Tests, func(test person.TestResult) bool { return test.Kind == person.HangTest }) {
		grip = "; of grip by its own (" + strength.GripEndurance.Source() + ")"
	}
	t.Line("tests, by the %s relation of endurance (%s)%s", e, e.Source(), grip)
	for _, test := range r.Tests {
		name := test.Kind.String()
		if test.Side != person.AnySide {
			name += ", " + test.Side.String()
		}
		text := fmt.Sprintf("%s, held %s: %s along the arm (%s)", name, words.Seconds(test.Seconds), Spread(test.Demand, words.Printer(units.Force, s)), words.Printer(units.BodyWeights, s)(test.DemandBW.Median))
		if share(test.Share.Median) == share(1) {
			text += ", too short a time to show more than that"
		} else {
			text += fmt.Sprintf(", by that time %s of the greatest force", Spread(test.Share, share))
		}
		text += fmt.Sprintf("; so the arm can give %s or more", Spread(test.Shows, words.Printer(units.Force, s)))
		if test.Extrapolated {
			text += fmt.Sprintf("; the relation's data end at %s, this is beyond them", share(e.LeastShare()))
		}
		t.Row(map[person.Kind]string{person.HangTest: "pull", person.HandstandTest: "push"}[test.Kind], text+".")
	}
	for i := range r.Models {
		t.Line("")
		t.Line("%s", r.Models[i].Model)
		for k := range r.Models[i].Arrangements {
			t.arrangement(&r.Models[i], k, s)
		}
	}
	t.own(r, s)
	t.asks(r, s)
	if len(r.NotShown) == 0 {
		return
	}
	t.Line("")
	t.Line("what these tests cannot show")
	for _, n := range r.NotShown {
		text := n.What
		if n.Asked != nil {
			text += fmt.Sprintf(" (the hold asks for %s by %s)", Spread(*n.Asked, words.RoughPrinter(units.Moment, s)), n.Model)
			if n.Asked.Low < 0 && n.Asked.High > 0 {
				text += ", one way or the other"
			}
		}
		t.Row("", text+": "+n.Why+".")
	}
}

// own writes the hold in the person's own strength.
func (t *personText) own(r *person.Readiness, s words.System) {
	if r.Own == nil {
		return
	}
	t.Line("")
	t.Line("in the person's own strength (equilibrium; both arms taken as equally strong)")
	t.Row("could", OwnStrength(r))
}

// asks writes what gives out, and what results of tests would be enough.
func (t *personText) asks(r *person.Readiness, s words.System) {
	if r.Asks == nil {
		return
	}
	for _, g := range r.Asks.GivesOut {
		text := g.Group.Of(muscle.Both)
		if r.Own != nil {
			text += ", first or nearly in " + words.Share(g.Share) + " of draws"
		}
		t.Row("gives out", text)
	}
	next := "next test"
	for i := range r.Asks.Enough {
		e, name := &r.Asks.Enough[i], "enough"
		if !e.Tested {
			name, next = next, "then"
		}
		t.Row(name, fmt.Sprintf("for the %s: %s: %s", e.Group.Of(muscle.Both), EnoughTest(e, s), EnoughResult(e, s, WhatItTests)))
	}
}

// arrangement writes the hold with one arm on top.
func (t *personText) arrangement(m *person.ModelReadiness, k int, s words.System) {
	a := &m.Arrangements[k]
	head := ""
	if a.Top != person.AnySide {
		head = a.Top.String() + " arm on top"
		if len(m.Arrangements) > 1 && k == m.Best && a.Tested() {
			head += " (better)"
		}
		t.Line("  %s", head)
	}
	for _, role := range []struct {
		name string
		*person.Role
	}{{"pull on top", &a.Pull}, {"push below", &a.Push}} {
		if !role.Tested {
			t.Row(role.name, fmt.Sprintf("asks for %s; not tested", Spread(role.Required, words.Printer(units.Force, s))))
			continue
		}
		t.Row(role.name, fmt.Sprintf("asks for %s, shown %s: margin %s, at least 1 in %s of draws",
			Spread(role.Required, words.Printer(units.Force, s)), Spread(role.Capacity, words.Printer(units.Force, s)), Spread(role.Margin, Margin), words.Share(role.Enough)))
	}
	if a.Tested() {
		t.Row("together", fmt.Sprintf("margin %s, at least 1 in %s of draws; the %s is the weaker side",
			Spread(a.Margin, Margin), words.Share(a.Enough), a.Weaker))
	}
}

// personText writes what is said of persons.
type personText struct{ words.Writer }

// PersonText writes the answers for the terminal: for one person everything, for
// several a table and the main points of each.
func PersonText(w io.Writer, answers []PersonAnswer, s words.System) error {
	t := &personText{words.Writer{W: w}}
	if len(answers) == 1 {
		t.person(&answers[0], s)
	} else {
		t.personTable(answers, s)
		for i := range answers {
			t.Line("")
			t.personBrief(&answers[i], s)
		}
	}
	t.pooled(answers, s)
	t.Line("")
	t.Wrap("", "", words.NotValidated+" "+words.Cautions)
	return t.Err
}

// pooled writes how the predictions did over several persons.
func (t *personText) pooled(answers []PersonAnswer, s words.System) {
	pools := PoolOf(answers)
	if len(answers) < 2 || len(pools) == 0 {
		return
	}
	t.Line("")
	t.Line("Measured against predicted, all together")
	for _, p := range pools {
		t.Row(words.Plain(p.What), pooledText(p, s))
	}
}

// pooledText says how far the predictions of one kind were off.
func pooledText(p person.Pooled, s words.System) string {
	in := dimensionIn(p.Unit)
	text := fmt.Sprintf("%d of %d readings inside the 5–95 %% range (%s to %s with 95 %% confidence; 90 %% is the aim), mean error %s",
		p.Inside, p.N, words.Share(p.CoverageLow), words.Share(p.CoverageHigh), words.Change(p.MeanError, in, s))
	if p.N > 1 {
		text += " ± " + words.Size(p.StandardError, in, s) + " (standard error), typical error " + words.Size(p.RootMeanSquare, in, s)
	}
	return text + " (" + PostureOf(p.Rule, p.Model) + ")"
}

// aside writes what is told beside the numbers of the models.
func (t *personText) aside(label, text string) {
	t.Wrap(fmt.Sprintf("%-10s", label), strings.Repeat(" ", 10), text)
}

// personRows are the demands that are told of a person, in order.
var personRows = []hold.Demand{
	hold.RequiredForce, hold.Difficulty, hold.HandShare, hold.FootShare, hold.WallPush,
	hold.ArmAngle, hold.LeanAngle, hold.ArmTrunkAngle, hold.HandSpacing,
	hold.ShoulderMoment, hold.WristMoment, hold.WaistMoment, hold.HipMoment,
}

// person writes everything that is known of one.
func (t *personText) person(a *PersonAnswer, s words.System) {
	t.Line("%s: %s", a.Person.Name, a.HoldWords(s))
	t.Line("")
	t.Wrap("", "", PersonHeadline(a, s))
	t.Line("")
	t.aside("Known", a.KnownWords(s)+"; "+a.OpenWords()+".")
	for i := range a.Models {
		if m := &a.Models[i]; m.Model.Judges() {
			t.Line("")
			t.personModel(a, m, s)
		}
	}
	if text := Taught(a, s); text != "" {
		t.Line("")
		t.Wrap("", "", text)
	}
	t.Line("")
	t.aside("Measure", NextText(a))
	t.aside("Among", ranksText(a))
	t.aside("Fixture", FixtureText(a, s))
	t.outcomes(a, s)
	t.aside("Drawn", drawnText(a))
}

// drawnText says what the numbers are made of.
func drawnText(a *PersonAnswer) string {
	text := fmt.Sprintf("%s bodies, seed %d; ranges are 5–95 %% of the draws", words.Count(a.Options.N), a.Options.Seed)
	if n := len(a.Assumed); len(a.Options.Assumptions.Free()) > 0 {
		text += fmt.Sprintf(", assumptions (%s draws over their ranges) included", words.Count(n))
	} else {
		text += ", all assumptions fixed"
	}
	return fmt.Sprintf("%s; regional masses %s, segments %s.", text, a.Options.Masses, a.Options.Segments)
}

// personModel writes what one model says of a person.
func (t *personText) personModel(a *PersonAnswer, m *person.ModelResult, s words.System) {
	t.Line("%s", words.StaticsModel(m.Model))
	if m.PossibleAll == 0 {
		t.Row("cannot hold it", "no simulated body can take the posture")
		return
	}
	for _, d := range personRows {
		q, ok := m.Quantity(d)
		if !ok {
			continue
		}
		name, text := words.Label(d), QuantityText(q, s)
		switch _, waist := m.Quantity(hold.WaistMoment); {
		case d == hold.HandSpacing:
			mark := func(x float64) string { return words.Mark(x, s) }
			name, text = "hands apart", Spread(q.All, mark)+", which is recommended"
		case d == hold.Difficulty && m.Model == hold.Equilibrium:
			of := "the strength of an untrained " + words.UntrainedAmong([]*anthro.Population{a.Population}) + " of the same sex, size, build and age"
			if a.Person.Tests != nil {
				of = "the person's own strength, by the tests"
			}
			name, text = "difficulty", text+" times "+of
		case d == hold.Difficulty || d == hold.HipMoment && waist:
			continue
		}
		t.Row(name, text)
	}
	if why := a.Unknown(m.Model, hold.Difficulty); why != "" {
		t.Row("difficulty", "not known: "+why)
	}
	t.Row("hands share", Sharing(m))
	if q, _ := m.Quantity(m.Main); q.FromBody+q.FromAssumptions > 0 {
		open := "what was not measured"
		if a.Person.Tests != nil {
			open += " of body and strength"
		}
		t.Row("why a range", fmt.Sprintf("%s of the variance of the %s comes from %s, %s from the assumptions; with the assumptions at their central values it is %s",
			words.Share(q.FromBody), words.Label(m.Main), open, words.Share(q.FromAssumptions), Spread(q.Body, words.DemandPrinter(m.Main, s))))
	}
}

// ranksText says how the person compares with the people.
func ranksText(a *PersonAnswer) string {
	var parts []string
	for _, r := range telling(a.Ranks) {
		text := words.PlainOf(r.Known.Of) + " " + words.Percentile(r.Percentile)
		if !math.IsNaN(r.ForStature) {
			text += fmt.Sprintf(" (%s for that stature)", words.Percentile(r.ForStature))
		}
		parts = append(parts, text)
	}
	if place := MainPlace(a); place != "" {
		parts = append(parts, place)
	}
	if len(parts) == 0 {
		return ""
	}
	return a.Population.Name + ": " + strings.Join(parts, ", ") + "."
}

// mostRanks is how many measurements are compared with the people's in a text.
const mostRanks = 6

// telling returns the ranks that are furthest from the middle, in their order.
func telling(ranks []person.Rank) []person.Rank {
	kept := slices.Clone(ranks)
	for len(kept) > mostRanks {
		nearest := 0
		for i, r := range kept {
			if math.Abs(r.Percentile-0.5) < math.Abs(kept[nearest].Percentile-0.5) {
				nearest = i
			}
		}
		kept = slices.Delete(kept, nearest, nearest+1)
	}
	return kept
}

// FixtureText says what the pole, bar or rings carry, or is empty where nothing
// but a floor and a wall do.
func FixtureText(a *PersonAnswer, s words.System) string {
	m := a.Primary()
	_, onFeet := m.Quantity(hold.FootShare)
	_, atWall := m.Quantity(hold.WallPush)
	if a.Fixture == nil || onFeet || atWall {
		return ""
	}
	force := words.Printer(units.Force, s)
	var parts []string
	for _, f := range a.Fixture.Forces {
		var ways []string
		for _, part := range []struct {
			of                 person.Spread
			positive, negative string
		}{{f.Horizontal, " sideways towards the body", " sideways away from the body"}, {f.Vertical, " down", " up"}} {
			if size := abs(part.of); force(size.Median) != force(0) {
				ways = append(ways, Spread(size, force)+words.Way(part.of.Median, part.positive, part.negative))
			}
		}
		if len(ways) > 0 {
			parts = append(parts, "the "+strings.TrimPrefix(f.Support, "both ")+" with "+strings.Join(ways, " and "))
		}
	}
	text := "loaded by " + strings.Join(parts, ", by ")
	if tips := a.Fixture.Overturning; tips != nil {
		text += "; together they tip the pole about its foot with " + Spread(*tips, words.RoughPrinter(units.Moment, s)) + ", however high the hands are"
	}
	return text + ". Loads at rest only, without a safety factor: a swing into the hold, a slip or a second person can load it several times as much."
}

// abs is the spread of sizes of a value whose sign is that of its median.
func abs(s person.Spread) person.Spread {
	if s.Median >= 0 {
		return s
	}
	return person.Spread{Median: -s.Median, Low: -s.High, High: -s.Low}
}

// outcomes writes what was measured against the prediction, the main point of the tests,
// and the notes.
func (t *personText) outcomes(a *PersonAnswer, s words.System) {
	head := "Measured"
	for _, c := range a.Comparisons {
		t.aside(head, comparisonText(c, s))
		head = ""
	}
	if a.Ready != nil {
		t.aside("Ready", words.Capital(strings.TrimPrefix(ReadinessHeadline(a.Ready, s), a.Person.Name+": "))+" (counterpoise readiness says more.)")
	}
	t.notes(a.Notes)
}

func (t *personText) notes(notes []string) {
	for _, n := range notes {
		t.aside("Note", n)
	}
}

// comparisonText says how far a reading is from its prediction.
func comparisonText(c person.Comparison, s words.System) string {
	in := dimensionIn(c.Unit)
	verdict := "inside the range"
	if !c.Inside {
		verdict = "OUTSIDE the range"
	}
	return fmt.Sprintf("%s %s, predicted %s: off by %s, %s (%s).", words.Plain(c.What), words.Reading(c.Reading.Value, c.Reading.Error, in, s),
		Spread(c.Predicted, words.Printer(in, s)), words.Change(c.Error, in, s), verdict, PostureOf(c.Rule, c.Model))
}

// dimensionIn is the dimension of what is measured in a unit.
func dimensionIn(unit string) units.Dimension {
	switch unit {
	case "kg":
		return units.Mass
	case "rad":
		return units.Angle
	}
	return units.Length
}

// personBrief writes the main points of one of several persons.
func (t *personText) personBrief(a *PersonAnswer, s words.System) {
	t.Wrap("", "          ", PersonHeadline(a, s))
	t.aside("Measure", NextText(a))
	t.outcomes(a, s)
}

// personTable writes several persons, a line each, by hold.
func (t *personText) personTable(answers []PersonAnswer, s words.System) {
	widest := len("person")
	for i := range answers {
		widest = max(widest, len([]rune(answers[i].Person.Name)))
	}
	pad := func(text string, width int) string {
		return text + strings.Repeat(" ", max(0, width-len([]rune(text))))
	}
	header := "\x00"
	for i, a := range byHold(answers) {
		m := a.Primary()
		main := words.Label(m.Main)
		if head := fmt.Sprintf("%s, %s (median, 5–95 %%)", main, m.Model); head != header {
			header = head
			if i > 0 {
				t.Line("")
			}
			t.Line("%s  %s  %s", pad("person", widest), pad("hold", 26), head)
		}
		cells := "cannot take the posture"
		if q, ok := m.Quantity(m.Main); ok && m.PossibleAll > 0 {
			cells = Spread(q.All, words.DemandPrinter(m.Main, s))
			if q.AbsoluteUnit == "N" {
				cells = pad(cells, 27) + " " + pad(words.Weight(q.AllAbsolute.Median, s), 6)
			}
			if at, ok := RecommendedSpacing(a); ok {
				cells += "  hands " + words.Mark(at.Median, s)
			}
			if angle, ok := m.Quantity(hold.ArmAngle); ok {
				cells += "  arms " + words.Rough(angle.All.Median, units.Angle, s)
			}
		}
		t.Line("%s  %s  %s", pad(a.Person.Name, widest), pad(a.HoldWords(s), 26), cells)
	}
}

// byHold returns the persons with those of one hold together: first the shipped holds,
// then others in the order in which they come.
func byHold(answers []PersonAnswer) []*PersonAnswer {
	of := holds.All()
	for i := range answers {
		of = names.Once(of, answers[i].Hold)
	}
	var list []*PersonAnswer
	for _, h := range of {
		for i := range answers {
			if answers[i].Hold == h {
				list = append(list, &answers[i])
			}
		}
	}
	return list
}

// Protocol writes how to weigh a part-supported flag, so that a prediction can be
// proved wrong.
func Protocol(w io.Writer, answers []PersonAnswer, s words.System) error {
	t := &personText{words.Writer{W: w}}
	t.Line("")
	t.Line("FIELD PROTOCOL: weigh the flag without the strength to hold it")
	t.Line("")
	t.Wrap("", "", "Needs a rigid vertical pole, a bathroom scale that reads to 0.1 kg, a box or stacked mats, a sheet of smooth plastic, "+
		"a tape, a phone with a level or on a tripod square to the body, and a spotter. No strength is needed: the body rests on one hand and the scale. "+
		"Stop at any pain.")
	t.Line("")
	for i, step := range []string{
		"Weigh the person dressed as in the hold, shoes included, and write it down as their mass.",
		"Mark both hand positions on the pole, as far apart as printed, the lower one so high that the level body is at box height.",
		"Put the scale on the box, level with the ankles in the hold, and the plastic on it, so that the feet cannot push sideways. Read it empty.",
		"Take the pose: arms straight, body straight and level by the phone along the thigh, ankles on the middle of the plate. Then let go with the upper hand, but keep it in place; " +
			"the lower hand holds on without pulling or pushing sideways.",
		"Read the scale once it is still for 3 s. Step off. Do it three times: the middle reading is foot_load; write half the distance between the other two after ±.",
		"Grip with both hands again, ankles still on the plate. Measure the angle of each arm with the pole (the phone along the arm, or a photo square to the body): their mean is arm_angle. " +
			"Measure between the middles of the hands along the pole: hand_spacing.",
		"Write all three into the person's file and run person again. For a folder of people the errors are pooled.",
	} {
		t.Wrap(fmt.Sprintf("  %d. ", i+1), "     ", step)
	}
	t.Line("")
	t.Line("  measured: {foot_load: 24.3 kg ± 0.3 kg, arm_angle: 46 deg ± 2 deg, hand_spacing: 97 cm ± 1 cm}")
	t.Line("")
	for i := range answers {
		a := &answers[i]
		if a.Hold != hold.HumanFlag || a.Primary().PossibleAll == 0 {
			continue
		}
		text := a.Person.Name + ":"
		if at, ok := RecommendedSpacing(a); ok {
			text += " hands " + words.Mark(at.Median, s) + " apart"
		}
		if q, ok := a.Primary().Quantity(hold.ArmAngle); ok {
			text += ", arms " + words.Rough(q.All.Median, units.Angle, s) + " from the pole"
		}
		if a.FootLoad != nil {
			text += "; the scale should read " + Spread(*a.FootLoad, words.Printer(units.Mass, s))
		}
		t.Wrap("  ", "  ", text+".")
	}
	return t.Err
}
