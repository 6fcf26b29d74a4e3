package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"counterpoise/internal/chart"
	"counterpoise/internal/provenance"
	"counterpoise/internal/units"
	"counterpoise/internal/wording"
	"counterpoise/internal/words"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
	"counterpoise/sim/statics"
)

// CardFigure is an athlete's card. Name is what they are called in the picture.
func CardFigure(c *wording.Card, name string, s words.System) (chart.Card, error) {
	t := c.Texts(name, s)
	f := chart.Card{Title: t.Title, Under: t.Under, Marks: t.Marks, Above: t.Above, Tests: t.Tests, Below: t.Below, Foot: cardFoot(c), Narrow: t.Narrow}
	for _, says := range t.Says {
		f.Says = append(f.Says, chart.CardText(says))
	}
	for _, step := range t.Steps {
		f.Steps = append(f.Steps, chart.CardStep{Name: step.Name, Share: step.Share.Median, Low: step.Share.Low, High: step.Share.High})
	}
	if len(t.Marks) == 0 {
		return f, nil
	}
	var err error
	f.Body, err = personFreeBody(&c.PersonAnswer, c.Primary(), name, s)
	return f, err
}

// cardFoot is short: a card is small.
func cardFoot(c *wording.Card) chart.Foot {
	people, model := c.Foot()
	return chart.Foot{People: people, N: c.Options.N, Model: model, Assumptions: wording.CardAssumptions, Source: provenance.Credit()}
}

// ClubFigure compares the athletes of a club.
func ClubFigure(cards []wording.Card, names []string, s words.System) chart.Dots {
	spacing, force, hard := chart.DotPanel{Label: "Hands apart (" + words.Unit(units.Length, s) + ")"}, chart.DotPanel{Label: "Harder-working arm (" + words.Unit(units.Mass, s) + ")"},
		chart.DotPanel{Label: "Times an untrained person’s strength"}
	before := false
	for i := range cards {
		c := &cards[i]
		dot := func(p *chart.DotPanel, of func(*wording.PersonAnswer) (person.Spread, bool), per float64, text func(float64) string) {
			x, ok := of(&c.PersonAnswer)
			d := dotOf(x, ok, per, text)
			if c.Before != nil {
				if was, had := of(c.Before); ok && had {
					d.Before, before = was.Median*per, true
				}
			}
			p.Dots = append(p.Dots, d)
		}
		dot(&spacing, wording.RecommendedSpacing, 1/units.Size(words.Unit(units.Length, s)), func(x float64) string { return words.Mark(x, s) })
		dot(&force, func(a *wording.PersonAnswer) (person.Spread, bool) { return kilograms(a.Primary()) }, 1/units.Size(words.Unit(units.Mass, s)), func(x float64) string { return words.Rough(x, units.Mass, s) })
		dot(&hard, func(a *wording.PersonAnswer) (person.Spread, bool) { return timesStrength(a.Primary()) }, 1, words.Times)
	}
	f := chart.Dots{Names: names, Panels: []chart.DotPanel{spacing, force, hard}, Foot: cardFoot(&cards[0])}
	f.Foot.People = fmt.Sprintf("what was measured of %d athletes, the rest drawn from people of their sex", len(cards))
	f.Key = dotKey + untrainedKey
	if before {
		f.Key += " Ring: by the earlier table."
	}
	f.Title = clubTitle(cards, s)
	return f
}

// What the dots of persons are, and against whom they are hard.
const (
	dotKey       = "Dot: the middle of what is not known; line: nine in ten of it."
	untrainedKey = " Own strength was not tested: hard is against an untrained person of that sex, size and age."
)

// dotOf is what is not known of a person, in the unit of an axis; none where it is not ok.
func dotOf(x person.Spread, ok bool, per float64, text func(float64) string) chart.Dot {
	if !ok {
		return chart.Dot{Value: math.NaN(), Before: math.NaN()}
	}
	y := scaled(x, per)
	return chart.Dot{Value: y.Median, Low: y.Low, High: y.High, Before: math.NaN(), Text: words.OneLine(text(x.Median)), Range: words.Interval(text(x.Low), text(x.High))}
}

// kilograms is the main demand of a model as the weight of so many kilograms, or these at
// one metre.
func kilograms(m *person.ModelResult) (person.Spread, bool) {
	q, ok := m.Quantity(m.Main)
	return scaled(q.AllAbsolute, 1/statics.StandardGravity), ok && q.AbsoluteUnit != "" && m.PossibleAll > 0
}

// timesStrength is how hard a model finds the hold.
func timesStrength(m *person.ModelResult) (person.Spread, bool) {
	q, ok := m.Quantity(hold.Difficulty)
	return q.All, ok && m.PossibleAll > 0
}

func scaled(s person.Spread, by float64) person.Spread {
	return person.Spread{Median: s.Median * by, Low: s.Low * by, High: s.High * by}
}

// clubTitle says how far apart the marks of a club lie.
func clubTitle(cards []wording.Card, s words.System) string {
	var list []float64
	for i := range cards {
		if at, ok := wording.RecommendedSpacing(&cards[i].PersonAnswer); ok {
			list = append(list, at.Median)
		}
	}
	if len(list) == 0 {
		return "Human flag: nobody of this club can take the posture"
	}
	return words.NoBreak("Human flag: hands " + words.Over(list, func(x float64) string { return words.Mark(x, s) }) + " apart in this club")
}

// ClubText writes the club for the terminal: a line each.
func ClubText(w io.Writer, cards []wording.Card, s words.System) error {
	t := &textWriter{w: w}
	head := []string{"athlete", "hands apart", "worth trying", "harder arm"}
	for i := range cards[0].Ladder {
		head = append(head, wording.RungName(&cards[0].Ladder[i]))
	}
	rows := [][]string{head}
	for i := range cards {
		c := &cards[i]
		row := []string{c.Person.Name, "not possible", "", ""}
		if at, ok := wording.RecommendedSpacing(&c.PersonAnswer); ok {
			row[1], row[2] = words.Mark(at.Median, s), words.Interval(words.Mark(at.Low, s), words.Mark(at.High, s))
			row[3] = c.Force(s)
		}
		for k := range c.Ladder {
			text := ""
			if c.Ladder[k].Known {
				text = words.Percent(c.Ladder[k].Share.Median, 0)
			}
			row = append(row, text)
		}
		rows = append(rows, row)
	}
	widths := make([]int, len(head))
	for _, row := range rows {
		for k, cell := range row {
			widths[k] = max(widths[k], len([]rune(cell)))
		}
	}
	for _, row := range rows {
		var b strings.Builder
		for k, cell := range row {
			b.WriteString(cell + strings.Repeat(" ", widths[k]-len([]rune(cell))+2))
		}
		t.line("%s", strings.TrimRight(b.String(), " "))
	}
	t.wrap("", "", "Per cent of what the full flag asks for. "+wording.CardCautions)
	return t.err
}
