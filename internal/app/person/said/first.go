package said

import (
	"fmt"
	"math"
	"strings"

	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
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
	add(asksFor(a, m, s))
	add(withinReach(a, m))
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
	text := "start with the hands " + words.Mark(at.Median, s) + " apart"
	if low, high := words.Mark(at.Low, s), words.Mark(at.High, s); low != high {
		text += "; worth trying is " + words.Interval(low, high)
	}
	return text + "."
}

// asksFor is the main quantity in kilograms.
func asksFor(a *PersonAnswer, m *person.ModelResult, s words.System) string {
	q, _ := m.Quantity(m.Main)
	rough := roughly(q.AbsoluteUnit, s)
	if rough == nil {
		return fmt.Sprintf("%s: %s.", words.NounIn(a.Hold, q.Demand, m.Model), Spread(q.All, words.DemandPrinter(q.Demand, s)))
	}
	return fmt.Sprintf("%s is about %s.", strings.TrimPrefix(words.NounIn(a.Hold, q.Demand, m.Model), "the "), Spread(q.AllAbsolute, rough))
}

// withinReach is how hard the hold is: in the person's own strength where tests tell it,
// else against an untrained person.
func withinReach(a *PersonAnswer, m *person.ModelResult) string {
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
		return fmt.Sprintf("it needs %s times what an untrained %s of that size and age gives; own strength was not tested.",
			Spread(q.All, words.Times), words.UntrainedOf(a.Conditioned.Population).One)
	}
	return ""
}

// unknown says that nobody knows how hard a hold is, and why; "" where that is known.
func unknown(r *person.Result, m hold.Model) string {
	if why := r.Unknown(m, hold.Difficulty); why != "" {
		return "how hard it is nobody knows, and no test here can tell: " + why + "."
	}
	return ""
}

// asks is what is asked of the person's muscles and of tests; nil where nobody knows.
func (a *PersonAnswer) asks() *person.Asks {
	if a.Ready == nil {
		return nil
	}
	return a.Ready.Asks
}

// givesOut is what gives out first.
func givesOut(a *PersonAnswer) string {
	asks := a.asks()
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
	if asks := a.asks(); asks != nil {
		if next := nextTest(asks, s); next != "" {
			return next + "."
		}
	}
	m := a.Primary()
	q, _ := m.Quantity(m.Main)
	if left := m.Floor / q.All.Width(); len(m.Next) == 0 || left > 0.85 || math.IsNaN(left) {
		return "a tape would not narrow this."
	}
	return fmt.Sprintf("measure next: %s, which settles %s of what is open about %s.", GainPlainly(m.Next[0]), words.Share(m.Next[0].Reduction), words.NounIn(a.Hold, m.Main, m.Model))
}

// outside says how many readings lie outside what was predicted.
func outside(a *PersonAnswer) string {
	n := 0
	for _, c := range a.Comparisons {
		if !c.Inside {
			n++
		}
	}
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("%d of %d readings lie outside what was predicted: check them (--full).", n, len(a.Comparisons))
}

// GainPlainly is GainName in the words of a coach, who does not know landmarks' names.
func GainPlainly(g person.Gain) string {
	if g.Scan {
		return GainName(g)
	}
	return words.MeasurementPlainly(g.Measure)
}
