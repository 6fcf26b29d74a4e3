// Package said puts answers for one person into sentences, into the text on the terminal and
// into the summary that --json prints. It draws no pictures and writes no tables, so that a
// page's own program stays small. Every statement of a direction is read off the sign of a
// result.
package said

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/jsonform"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/person"
	"counterpoise/sim/statics"
)

// PersonFirst is what a coach is told of one person first: who, where to put the hands,
// how much it needs, whether that is within reach, what gives out, and what to do next;
// a sentence or two each.
func PersonFirst(a *PersonAnswer, s words.System) []string {
	lines := []string{who(a, s)}
	add := func(text string) {
		if text != "" {
			lines = append(lines, words.Capital(text))
		}
	}
	m := a.Primary()
	if len(possibleModels(a)) == 0 {
		add("cannot take this posture, in every draw. What to change: --full")
		return lines
	}
	add(Spacing(a, s))
	add(AsksFor(a, m, s))
	add(WithinReach(a, m))
	add(givesOut(a))
	add(nextStep(a, s))
	add(outside(a))
	return lines
}

// who names a person with size and hold: "Dagny, human flag (163 cm, 57.5 kg)".
func who(a *PersonAnswer, s words.System) string {
	var sizes []string
	for _, of := range []anthro.Measurement{anthro.Stature, anthro.Mass} {
		for _, k := range a.Conditioned.Known {
			if k.Of == of {
				sizes = append(sizes, words.Measurement(of, k.Value, s))
			}
		}
	}
	text := a.Person.Name + ", " + a.HoldWords(s)
	if len(sizes) > 0 {
		text += " (" + strings.Join(sizes, ", ") + ")"
	}
	return text
}

// Spacing says where the hands belong on a pole, for a mark on it: the recommended
// spacing, and what is worth trying. It is empty where the hold has none.
func Spacing(a *PersonAnswer, s words.System) string {
	at, ok := RecommendedSpacing(a)
	if !ok {
		return ""
	}
	text, more := "start with the hands "+words.Mark(at.Median, s)+" apart", "; worth trying is "
	if _, chosen := a.Primary().Quantity(hold.ArmAngle); !chosen { // the body's measures alone say it
		text, more = "the hands are "+words.Mark(at.Median, s)+" apart", "; by what was not measured "
	}
	if low, high := words.Mark(at.Low, s), words.Mark(at.High, s); low != high {
		text += more + words.Interval(low, high)
	}
	return text + "."
}

// AsksFor is the main quantity in kilograms.
func AsksFor(a *PersonAnswer, m *person.ModelResult, s words.System) string {
	q, _ := m.Quantity(m.Main)
	amount := Amount(m, s)
	if amount == "" {
		return fmt.Sprintf("%s: %s.", words.NounIn(a.Hold, q.Demand, m.Model), Spread(q.All, words.DemandPrinter(q.Demand, s)))
	}
	return fmt.Sprintf("%s is about %s.", Asked(a, m), amount)
}

// Amount is the main force or moment with its range, as what weighs as much; empty where it is neither.
func Amount(m *person.ModelResult, s words.System) string {
	q, _ := m.Quantity(m.Main)
	rough := roughly(q.AbsoluteUnit, s)
	if rough == nil {
		return ""
	}
	return Spread(q.AllAbsolute, rough)
}

// Asked names the main quantity, without an article.
func Asked(a *PersonAnswer, m *person.ModelResult) string {
	return strings.TrimPrefix(words.NounIn(a.Hold, m.Main, m.Model), "the ")
}

// WithinReach is how hard the hold is: in the person's own strength where tests tell it,
// else against an untrained person; empty where neither is told.
func WithinReach(a *PersonAnswer, m *person.ModelResult) string {
	if a.Ready != nil && a.Ready.Own != nil {
		o := a.Ready.Own
		asks := fmt.Sprintf("it needs %s times the strength that the tests show", Spread(o.Difficulty, words.Times))
		switch {
		case o.Difficulty.Low > 1:
			return "not yet within reach: " + asks + "."
		case o.Difficulty.High > 1:
			return "not shown yet: " + asks + "."
		case len(o.Untested) > 0:
			return "not shown yet, as what gives out was not tested; by the tests there are, " + asks + "."
		}
		return "within reach: " + asks + "."
	}
	if why := unknown(a.Result, m.Model); why != "" {
		return why
	}
	if q, ok := m.Quantity(hold.Difficulty); ok {
		return fmt.Sprintf("it needs %s times what %s gives; own strength was not tested.", Spread(q.All, words.Times), untrainedLike(a.Result))
	}
	return ""
}

// untrainedLike is the untrained adult whom a person counts as, by what was measured.
func untrainedLike(r *person.Result) string {
	sized, aged := false, false
	for _, k := range r.Conditioned.Known {
		sized, aged = sized || k.Of != anthro.Age, aged || k.Of == anthro.Age
	}
	text := "an untrained " + words.UntrainedOf(r.Conditioned.Population).One
	switch {
	case sized && aged:
		return text + " of that size and age"
	case sized:
		return text + " of that size"
	case aged:
		return text + " of that age"
	}
	return text
}

// unknown says that nobody knows how hard a hold is, and why; "" where that is known.
func unknown(r *person.Result, m hold.Model) string {
	if why := r.Unknown(m, hold.Difficulty); why != "" {
		return "how hard it is nobody knows, and no test here can tell: " + why + "."
	}
	return ""
}

// Asks is what is asked of the person's muscles and of tests; nil where nobody knows.
func (a *PersonAnswer) Asks() *person.Asks {
	if a.Ready == nil {
		return nil
	}
	return a.Ready.Asks
}

// givesOut is what gives out first.
func givesOut(a *PersonAnswer) string {
	asks := a.Asks()
	if asks == nil || len(asks.GivesOut) == 0 {
		return ""
	}
	text := "gives out first: " + givesOutOf(asks) + "."
	if without := noTest(asks); without != "" {
		text += " " + words.Capital(without) + "."
	}
	return text
}

// nextStep is the test to do next, or else the measurement to take.
func nextStep(a *PersonAnswer, s words.System) string {
	if next := NextTest(a, s); next != "" {
		return next + "."
	}
	m := a.Primary()
	q, _ := m.Quantity(m.Main)
	if left := m.Floor / q.All.Width(); len(m.Next) == 0 || left > 0.85 || math.IsNaN(left) {
		return "a tape would not narrow this."
	}
	return fmt.Sprintf("measure next: %s, which settles %s of what is open about %s.", GainPlainly(m.Next[0]), words.Share(m.Next[0].Reduction), words.NounIn(a.Hold, m.Main, m.Model))
}

// outside says how many readings lie outside what was predicted, some of which are compared with more
// than one prediction.
func outside(a *PersonAnswer) string {
	var all, beyond []string
	for _, c := range a.Comparisons {
		if all = names.Once(all, c.What); !c.Inside {
			beyond = names.Once(beyond, c.What)
		}
	}
	if beyond == nil {
		return ""
	}
	return fmt.Sprintf("%d of %d readings lie outside what was predicted: check them (--full).", len(beyond), len(all))
}

// GainPlainly is GainName in the words of a coach, who does not know landmarks' names.
func GainPlainly(g person.Gain) string {
	if g.Scan {
		return GainName(g)
	}
	return words.MeasurementPlainly(g.Measure)
}

// GainName is what would be measured, in words.
func GainName(g person.Gain) string {
	if g.Scan {
		return "a body-composition scan"
	}
	return words.PlainOf(g.Measure)
}

// NextText says what no tape takes away of the main quantity's range, and what to measure
// next; empty where that would not help.
func NextText(a *PersonAnswer) string {
	m := a.Primary()
	q, _ := m.Quantity(m.Main)
	text, today := Floor(a, m, func(w float64) string { return WidthText(m, w) }), WidthText(m, q.All.Width())
	if len(m.Plan) == 0 || WidthText(m, m.Next[0].Width) == today {
		return text
	}
	first := fmt.Sprintf("next %s leaves %s", GainName(m.Plan[0]), WidthText(m, m.Plan[0].Width))
	if text != "" {
		text += " " + words.Capital(first)
	} else {
		text = fmt.Sprintf("%s of the %s that %s ranges over (5–95 %%)", first, today, words.Noun(m.Main, m.Model))
	}
	for _, g := range m.Plan[1:] {
		text += fmt.Sprintf(", then %s %s", GainName(g), WidthText(m, g.Width))
	}
	if best := m.Next[0]; best.Scan {
		text += fmt.Sprintf("; a body-composition scan alone %s", WidthText(m, best.Width))
	}
	return text + "."
}

// Floor says what no tape takes away of the range of a model's main quantity, its widths
// as format writes them; empty where that is nothing.
func Floor(a *PersonAnswer, m *person.ModelResult, format func(float64) string) string {
	q, ok := m.Quantity(m.Main)
	if !ok || !(m.Floor > 0) {
		return ""
	}
	by := "by the assumptions"
	if a.Person.Tests != nil {
		by += " and by the strength that the tests do not settle"
	}
	noun, floor, today := words.Noun(m.Main, m.Model), format(m.Floor), format(q.All.Width())
	switch {
	case len(m.Next) == 0:
		return fmt.Sprintf("no tape would narrow this: everything is measured, and %s still ranges over %s (5–95 %%), %s.", noun, today, by)
	case floor == today:
		return fmt.Sprintf("no tape would narrow this: with everything measured, %s would still range over %s (5–95 %%), %s.", noun, today, by)
	}
	return fmt.Sprintf("no tape would narrow this much: with everything measured, %s would still range over %s of today's %s (5–95 %%), %s.", noun, floor, today, by)
}

// WidthText writes the width of a range of a model's main demand.
func WidthText(m *person.ModelResult, width float64) string {
	_, scale := jsonform.Output(m.Main.Unit)
	return words.DemandOf(m.Main, m.Model).Number(width * scale)
}

// nextSentence says how far measuring would narrow a model's range at best, by
// the model as by says.
func nextSentence(m *person.ModelResult, by string) string {
	q, _ := m.Quantity(m.Main)
	if len(m.Next) == 0 || !(m.Next[0].Reduction >= 0.005) {
		return ""
	}
	text := fmt.Sprintf("Measuring %s next would narrow the 5–95 %% range of %s most%s: by %s",
		GainName(m.Next[0]), words.Noun(m.Main, m.Model), by, words.Share(m.Next[0].Reduction))
	if left := m.Floor / q.All.Width(); left > 0 && !math.IsNaN(left) {
		text += fmt.Sprintf("; no tape would narrow %s of it", words.Share(left))
	}
	return text + "."
}

// PersonAnswer is what is told of one person.
type PersonAnswer struct {
	*person.Result
	Ready *person.Readiness // nil where no model judges
	Notes []string          // what is rare or should be known, a sentence each
}

// Show picks who pictures show under each model, while those drawn are still there.
func (a *PersonAnswer) Show() (err error) {
	for l := range a.Models {
		if m := &a.Models[l]; err == nil {
			m.Typical, err = a.Typical(m.Model)
		}
	}
	return err
}

// Primary is the model that is told first where one must be picked: that which judges,
// or the only one there is.
func (a *PersonAnswer) Primary() *person.ModelResult {
	return cmp.Or(a.Judging(), &a.Models[0])
}

// Posture is how the person does the hold.
func (a *PersonAnswer) Posture() hold.Posture {
	return hold.Posture{Legs: a.Person.Legs, Pose: a.Person.Pose, Tilt: a.Person.Tilt}
}

// HoldWords names the hold with its posture.
func (a *PersonAnswer) HoldWords(s words.System) string {
	return words.HeldIn(a.Hold, a.Posture(), a.Person.Load, s)
}

// KnownWords says what was measured, each value with its error.
func (a *PersonAnswer) KnownWords(s words.System) string {
	parts := []string{a.Population.Sex.String()}
	for _, k := range a.Conditioned.Known {
		parts = append(parts, words.PlainOf(k.Of)+" "+words.Known(k, s))
	}
	if a.Person.Scan != nil {
		parts = append(parts, "a body-composition scan")
	}
	return strings.Join(parts, ", ")
}

// OpenWords says what was not measured.
func (a *PersonAnswer) OpenWords() string {
	taken, exact := 0, 0
	for _, k := range a.Conditioned.Known {
		if k.Of == anthro.Age {
			continue
		}
		taken++
		if k.Error == 0 {
			exact++
		}
	}
	var parts []string
	if left := int(anthro.NumMeasurements) - taken; left > 0 {
		parts = append(parts, fmt.Sprintf("the other %d measurements", left))
	}
	if taken > exact {
		parts = append(parts, "the stated errors")
	}
	if a.Person.Scan == nil && a.Options.Masses != body.Table {
		parts = append(parts, "how the mass is spread over the body")
	}
	if len(parts) == 0 {
		return "nothing has to be drawn"
	}
	return strings.Join(parts, " and ") + " drawn from similar people (" + a.Conditioned.Population.Name + ")"
}

// QuantityText prints one demand: in body weights, in newtons and, for a force,
// in the kilograms that weigh as much.
func QuantityText(q person.Quantity, s words.System) string {
	text := Spread(q.All, words.DemandPrinter(q.Demand, s))
	switch q.AbsoluteUnit {
	case "N":
		text += ", " + Spread(q.AllAbsolute, words.Printer(units.Force, s))
		if s == words.Metric {
			kilograms := func(newtons float64) string { return words.Quantity(newtons/statics.StandardGravity, units.Mass, s) }
			text += ", as " + Spread(q.AllAbsolute, kilograms)
		}
	case "N·m":
		text += ", " + Spread(q.AllAbsolute, words.RoughPrinter(units.Moment, s))
	}
	return text
}

// PersonHeadline is what a coach can say: the one or two numbers that the hold
// is about, over all models.
func PersonHeadline(a *PersonAnswer, s words.System) string {
	name, title := a.Person.Name, a.HoldWords(s)
	possible := possibleModels(a)
	if len(possible) == 0 {
		return fmt.Sprintf("%s cannot take the posture of the %s in any draw.", name, title)
	}
	var says []string
	var ends []float64
	open := false
	if judging := judgingOf(possible); len(judging) > 0 {
		possible = judging
	}
	for _, m := range possible {
		text := postureOfMedian(m, s)
		switch {
		case !m.Model.Judges():
			text += ", by " + words.TaughtRule + ", which gives no verdict"
		case len(possible) > 1:
			text += " (" + m.Model.String() + ")"
		}
		says = append(says, text)
		main, _ := m.Quantity(m.Main)
		ends, open = append(ends, main.AllAbsolute.Low, main.AllAbsolute.High), open || main.AllAbsolute.Width() > 0
	}
	main, _ := possible[0].Quantity(possible[0].Main)
	noun := strings.TrimPrefix(words.Noun(main.Demand, possible[0].Model), "the ")
	text := fmt.Sprintf("For %s, the %s takes a %s of about %s.", name, title, noun, strings.Join(says, ", or "))
	if rough := roughly(main.AbsoluteUnit, s); rough != nil && open {
		if all := words.Over(ends, rough); strings.Contains(all, " to ") {
			text += " The likely range is " + all + "."
		}
	}
	return text
}

// roughly prints what an absolute unit's values come to for a coach; it is nil where
// there is no such unit.
func roughly(unit string, s words.System) func(float64) string {
	switch unit {
	case "N":
		return func(x float64) string { return words.Weight(x, s) }
	case "N·m":
		return func(x float64) string { return words.Turning(x, s) }
	}
	return nil
}

// postureOfMedian says what one model asks for in the middle of what is left
// open: the main quantity and the posture that goes with it.
func postureOfMedian(m *person.ModelResult, s words.System) string {
	main, _ := m.Quantity(m.Main)
	text := words.DemandPrinter(m.Main, s)(main.All.Median)
	if main.AbsoluteUnit == "N" {
		text = words.Rough(main.All.Median, units.BodyWeights, s)
	}
	if rough := roughly(main.AbsoluteUnit, s); rough != nil {
		text = rough(main.AllAbsolute.Median) + " (" + text + ")"
	}
	for _, with := range []struct {
		of            hold.Demand
		before, after string
		in            units.Dimension
	}{
		{hold.HandSpacing, ", with the hands ", " apart", units.Length},
		{hold.ArmAngle, " and the arms ", " from the pole", units.Angle},
		{hold.LeanAngle, ", with a lean of ", "", units.Angle},
	} {
		if q, ok := m.Quantity(with.of); ok {
			at := words.Rough(q.All.Median, with.in, s)
			if with.of == hold.HandSpacing {
				at = words.Mark(q.All.Median, s)
			}
			text += with.before + at + with.after
		}
	}
	return text
}

// Place says at which percentile somebody is, with what is left open of it: "26th
// percentile (12th to 41st)". It is empty where there is none.
func Place(s person.Spread) string {
	if math.IsNaN(s.Median) {
		return ""
	}
	return words.Percentile(s.Median) + placeEnds(s)
}

// BriefPlace is Place without the noun, for columns of them: "26th (12th to 41st)".
func BriefPlace(s person.Spread) string {
	if math.IsNaN(s.Median) {
		return ""
	}
	return words.Place(s.Median) + placeEnds(s)
}

func placeEnds(s person.Spread) string {
	low, high := words.Place(s.Low), words.Place(s.High)
	if low == high {
		return ""
	}
	return " (" + low + " to " + high + ")"
}

// MainPlace says where the main quantity of the model that is told first puts the person
// among the people; empty where nothing does.
func MainPlace(a *PersonAnswer) string {
	m := a.Primary()
	q, ok := m.Quantity(m.Main)
	if !ok || math.IsNaN(q.Percentile.Median) {
		return ""
	}
	text := fmt.Sprintf("the %s %s", words.Label(m.Main), Place(q.Percentile))
	if a.Person.Tests != nil {
		text += " of untrained people"
	}
	return text
}

// PersonSentences are what goes with the headline: what tests show, what the spread
// comes from, and what measuring would narrow it.
func PersonSentences(a *PersonAnswer, s words.System) []string {
	var sentences []string
	if a.Ready != nil {
		if says := ReadinessHeadline(a.Ready, s); says != "" {
			sentences = append(sentences, says)
		}
	}
	possible := judgingOf(possibleModels(a))
	for _, m := range possible {
		by := ""
		if len(possible) > 1 {
			by = ", by " + m.Model.String()
		}
		main, _ := m.Quantity(m.Main)
		if main.FromBody+main.FromAssumptions > 0 {
			open := "the body"
			if a.Person.Tests != nil {
				open += " and its strength"
			}
			sentences = append(sentences, fmt.Sprintf("Of the spread of %s%s, %s comes from what is not known about %s and %s from the assumptions, which nobody has measured.",
				words.Noun(m.Main, m.Model), by, words.Share(main.FromBody), open, words.Share(main.FromAssumptions)))
		}
		if next := nextSentence(m, by); next != "" {
			sentences = append(sentences, next)
		}
	}
	return sentences
}

// possibleModels are those under which some body can take the posture.
func possibleModels(a *PersonAnswer) []*person.ModelResult {
	var possible []*person.ModelResult
	for i := range a.Models {
		if m := &a.Models[i]; m.PossibleAll > 0 {
			possible = append(possible, m)
		}
	}
	return possible
}

// judgingOf returns those of the models that may be judged by.
func judgingOf(models []*person.ModelResult) []*person.ModelResult {
	return slices.DeleteFunc(slices.Clone(models), func(m *person.ModelResult) bool { return !m.Model.Judges() })
}

// Taught says what the lift-and-turn rule that is taught asks of a person, and why
// nothing rests on it: no place for the hands is told by it. It is empty where the rule
// has no answer.
func Taught(a *PersonAnswer, s words.System) string {
	for _, m := range possibleModels(a) {
		if m.Model.Judges() {
			continue
		}
		upwards := 0.0
		if b := m.Median; b != nil {
			upwards = hold.TaughtUpwards(b.Body, 0, b.Held, b.Posture)
		}
		q, _ := m.Quantity(m.Main)
		return fmt.Sprintf("By %s, %s is %s. %s", words.TaughtRule, words.Noun(m.Main, m.Model), QuantityText(q, s), words.TaughtWhy(upwards))
	}
	return ""
}

// Sharing says how the hands share the weight and what friction the pole must give, in the middle of
// all that is open; empty where a hold asks for none.
func Sharing(m *person.ModelResult) string {
	return words.Sharing(func(d hold.Demand) (float64, bool) {
		q, ok := m.Quantity(d)
		return q.All.Median, ok && m.PossibleAll > 0
	})
}

// ModelsDiffer says what the rule that is taught says beside the model that judges;
// nothing where there is none.
func ModelsDiffer(a *PersonAnswer, s words.System) []string {
	if text := Taught(a, s); text != "" {
		return []string{text}
	}
	return nil
}

// Spread writes a median with its 5–95 % range, or alone where nothing is left open.
func Spread(s person.Spread, format func(float64) string) string {
	return words.Spread(s.Median, s.Low, s.High, format)
}

// PostureOf says at which posture and by which model something was predicted.
func PostureOf(rule hold.Rule, model hold.Model) string {
	switch rule {
	case hold.GivenAngle:
		return "at the measured arm angle"
	case hold.GivenSpacing:
		return "at the measured hand spacing"
	}
	return "at the best posture by " + model.String()
}

// PoolOf sums up how the predictions for several persons did.
func PoolOf(answers []PersonAnswer) []person.Pooled {
	return person.Pool(names.Each(answers, func(a PersonAnswer) *person.Result { return a.Result })...)
}

// PersonNotes are the notes of a result, what is rare in the units of the text.
func PersonNotes(r *person.Result, s words.System) []string {
	var notes []string
	if rare := r.Conditioned.Rare; rare != nil {
		notes = append(notes, "rare, check it: "+words.PlainOf(rare.Known.Of)+" "+words.Rarity(rare, s))
	}
	for _, n := range r.Notes {
		if !strings.HasPrefix(n, "rare: ") {
			notes = append(notes, n)
		}
	}
	if miss := words.KnownMiss(r.Person.Hold, r.Person.Pose); miss != "" {
		notes = append(notes, miss)
	}
	notes = append(notes, words.LoadNotes(r.Person.Load)...)
	for _, m := range r.Models {
		if m.PossibleAll < 1 && m.Model.Judges() {
			notes = append(notes, "some bodies that fit what was measured cannot be balanced so, however strong; the answer is about the others")
		}
	}
	return notes
}
