package club

import (
	"cmp"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"counterpoise/internal/app/console"
	persons "counterpoise/internal/app/person"
	"counterpoise/internal/app/person/said"
	"counterpoise/internal/chart"
	"counterpoise/internal/draw"
	"counterpoise/internal/page"
	"counterpoise/internal/provenance"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/person"
)

// CardFigure is an athlete's card. Name is what they are called in the picture. shared is what the
// sheet of the club says for all, which no card repeats.
func CardFigure(c *said.Card, name string, s words.System, shared *sharedBy) (chart.Card, error) {
	t := c.Texts(name, s)
	if shared.steps != "" {
		t.Steps = nil
	}
	if shared.tests != "" {
		t.Below = strings.TrimSuffix(t.Below, " "+c.SameTests(s))
	}
	f := chart.Card{Title: t.Title, Under: t.Under, Marks: t.Marks, Above: t.Above, Tests: t.Tests, Below: t.Below, Foot: cardFoot(c), Narrow: t.Narrow}
	f.Says = names.Each(t.Says, func(says said.CardSays) chart.CardText { return chart.CardText(says) })
	for _, step := range t.Steps {
		f.Steps = append(f.Steps, chart.CardStep{Name: step.Name, Share: step.Share.Median, Low: step.Share.Low, High: step.Share.High})
	}
	if len(t.Marks) == 0 {
		return f, nil
	}
	var err error
	f.Body, err = persons.PersonFreeBody(&c.PersonAnswer, c.Primary(), name, s)
	return f, err
}

// sharedBy is what is the same on all cards of a club, a sentence each; empty where it is not.
type sharedBy struct {
	steps string // how hard the forms are
	tests string // of which the same result is enough for every form
}

// alike is by what part of the full hold shares may differ to be the same for a coach.
const alike = 0.015

// sharedOf finds what cards have in common.
func sharedOf(cards []said.Card, s words.System) *sharedBy {
	shared := &sharedBy{}
	if len(cards) < 2 {
		return shared
	}
	var parts []string
	for k := range cards[0].Ladder {
		var middle, ends []float64
		for i := range cards {
			if k >= len(cards[i].Ladder) || !cards[i].Ladder[k].Known {
				return shared
			}
			x := cards[i].Ladder[k].Share
			middle, ends = append(middle, x.Median), append(ends, x.Low, x.High)
		}
		if slices.Max(middle)-slices.Min(middle) > alike {
			return shared
		}
		percent := func(x float64) string { return words.Percent(x, 0) }
		if text := words.Over(middle, percent); cards[0].Ladder[k].Legs != (hold.Legs{}) {
			parts = append(parts, said.RungName(&cards[0].Ladder[k])+" "+text+" (likely "+words.Over(ends, percent)+")")
		}
	}
	if parts != nil {
		shared.steps = "For everybody, of what the full flag asks for: " + words.And(parts) + "."
	}
	shared.tests = cards[0].SameTests(s)
	if slices.ContainsFunc(cards, func(c said.Card) bool { return c.SameTests(s) != shared.tests }) {
		shared.tests = ""
	}
	return shared
}

// said are the sentences of what is shared.
func (b *sharedBy) said() string {
	text := b.steps
	if b.tests != "" {
		text += " " + strings.TrimSuffix(b.tests, ".") + ", even odds that what it tests is strong enough."
	}
	return strings.TrimSpace(text)
}

// cardFoot is short: a card is small.
func cardFoot(c *said.Card) draw.Foot {
	people, model := c.Foot()
	return draw.Foot{People: people, N: c.Options.N, Model: model, Assumptions: said.CardAssumptions, Source: provenance.Credit()}
}

// ClubFigure compares the athletes of a club, whoever is nearest to the hold first.
func ClubFigure(cards []said.Card, called []string, s words.System) chart.Dots {
	shared := sharedOf(cards, s)
	cards, called = byStrength(cards, called)
	spacing, force, hard := chart.DotPanel{Label: "Hands apart (" + words.Unit(units.Length, s) + ")"}, chart.DotPanel{Label: "Harder-working arm (" + words.Unit(units.Mass, s) + ")"},
		chart.DotPanel{Label: "Times an untrained person’s strength"}
	before := false
	for i := range cards {
		c := &cards[i]
		dot := func(p *chart.DotPanel, of func(*said.PersonAnswer) (person.Spread, bool), per float64, text func(float64) string) {
			x, ok := of(&c.PersonAnswer)
			d := persons.DotOf(x, ok, per, text)
			if c.Before != nil {
				if was, had := of(c.Before); ok && had {
					d.Before, before = was.Median*per, true
					if text(was.Median) != text(x.Median) {
						d.Was = text(was.Median)
					}
				}
			}
			d.Hollow = p == &hard // nobody was tested
			p.Dots = append(p.Dots, d)
		}
		dot(&spacing, markedSpacing, 1/units.Size(words.Unit(units.Length, s)), func(x float64) string { return words.Mark(x, s) })
		dot(&force, func(a *said.PersonAnswer) (person.Spread, bool) { return persons.Kilograms(a.Primary()) }, 1/units.Size(words.Unit(units.Mass, s)), func(x float64) string { return words.Rough(x, units.Mass, s) })
		dot(&hard, func(a *said.PersonAnswer) (person.Spread, bool) { return persons.TimesStrength(a.Primary()) }, 1, words.Times)
	}
	f := chart.Dots{Names: called, Panels: []chart.DotPanel{spacing, force, hard}, Foot: cardFoot(&cards[0])}
	var populations []string
	for i := range cards {
		populations = names.Once(populations, cards[i].Conditioned.Population.Name)
	}
	f.Foot.Source += "; people of " + words.Credits(populations) + ". " + words.NotValidated
	f.Foot.People = persons.DotPeople
	f.Key = persons.DotKey
	if before {
		f.Key += " Ring: last time, where it clears the dot."
	}
	f.Key += persons.UntrainedKey
	if says := shared.said(); says != "" {
		f.Key += " " + words.NoBreak(says)
	}
	f.WaysOf, f.Less, f.More, f.Around, f.Special = "an untrained person’s strength is", "enough", "not enough", 1, len(f.Panels)-1
	f.Title = clubTitle(cards, s)
	return f
}

// markedSpacing is where the hands belong as it is said, to where the marks are.
func markedSpacing(a *said.PersonAnswer) (person.Spread, bool) {
	x, ok := said.RecommendedSpacing(a)
	return person.Spread{Median: words.Marked(x.Median), Low: words.Marked(x.Low), High: words.Marked(x.High)}, ok
}

// byStrength sorts cards with their names by how many times their strength the hold takes; of whom
// nobody knows, last.
func byStrength(cards []said.Card, called []string) ([]said.Card, []string) {
	times := func(i int) float64 {
		if x, ok := persons.TimesStrength(cards[i].Primary()); ok {
			return x.Median
		}
		return math.Inf(1)
	}
	order := names.UpTo(len(cards))
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(times(a), times(b)) })
	return names.Each(order, func(i int) said.Card { return cards[i] }), names.Each(order, func(i int) string { return called[i] })
}

// clubTitle says how far apart the marks of a club lie, and for how many of them untrained strength is
// enough.
func clubTitle(cards []said.Card, s words.System) string {
	var list []float64
	for i := range cards {
		if at, ok := said.RecommendedSpacing(&cards[i].PersonAnswer); ok {
			list = append(list, at.Median)
		}
	}
	if len(list) == 0 {
		return "Human flag: nobody of this club can take the posture"
	}
	title := "Human flag in this club: hands " + words.Over(list, func(x float64) string { return words.Mark(x, s) }) + " apart"
	told, enough, perhaps := 0, 0, 0
	for i := range cards {
		x, ok := persons.TimesStrength(cards[i].Primary())
		switch {
		case !ok:
			continue
		case x.High <= 1:
			enough++
		case x.Low <= 1:
			perhaps++
		}
		told++
	}
	if told > 0 {
		of := func(n int) string {
			if n == 0 {
				return "none"
			}
			return words.Count(n)
		}
		title += "; untrained strength is enough for " + of(enough) + ", perhaps for " + of(perhaps) + " of " + words.Count(told)
	}
	return words.NoBreak(title)
}

// write writes everything but the summary into the folder.
func (of *Study) write(env *console.Environment, folder string, cards []said.Card, s words.System, stamp provenance.Stamp) error {
	size := of.Card
	names, shared := persons.ChartNames(said.AnswersOf(cards)), sharedOf(cards, s)
	var figures []chart.Card
	var leaves []draw.Leaf
	for i := range cards {
		if names[i] != cards[i].Person.Name {
			fmt.Fprintf(env.Stderr, "the letters of %s cannot be drawn here: %s on the card\n", cards[i].Person.Name, names[i])
		}
		f, err := CardFigure(&cards[i], names[i], s, shared)
		if err != nil {
			return err
		}
		if err := draw.Fits(f, size, draw.Light); err != nil {
			fmt.Fprintf(env.Stderr, "no card for %s: %v\n", cards[i].Person.Name, err)
			continue
		}
		figures, leaves = append(figures, f), append(leaves, draw.Leaf{Figure: f, Size: size})
	}
	sheets := draw.Pages(ClubFigure(cards, names, s), chart.Page)
	for _, f := range sheets {
		leaves = append(leaves, draw.Leaf{Figure: f, Size: chart.Page})
	}
	for _, sub := range []string{"cards", "sheets"} {
		if err := os.Mkdir(filepath.Join(folder, sub), 0o777); err != nil {
			return err
		}
	}
	files := map[string]func() ([]byte, error){
		"cards.pdf": func() ([]byte, error) { return draw.Booklet("Cards of the club", leaves, draw.Light) },
		"cards.html": func() ([]byte, error) {
			var b strings.Builder
			err := page.WriteClub(&b, &page.Club{Title: "Cards of the club, human flag", Cards: figures, Size: size, Sheets: sheets, Origin: page.Origin{Stamps: []provenance.Stamp{stamp}, Card: size.Name, Units: words.Systems[s]}})
			return []byte(b.String()), err
		},
	}
	called := make([]string, len(figures))
	for i, f := range figures {
		called[i], _, _ = strings.Cut(f.Title, ":")
	}
	for i, name := range persons.FileNames(called) {
		files[filepath.Join("cards", name+".pdf")] = func() ([]byte, error) {
			return draw.Booklet(figures[i].Title, []draw.Leaf{{Figure: figures[i], Size: size}}, draw.Light)
		}
	}
	for name, make := range files {
		data, err := make()
		if err != nil {
			return err
		}
		if err := provenance.WriteFile(filepath.Join(folder, name), data); err != nil {
			return err
		}
	}
	for i, f := range sheets {
		name := "sheet"
		if len(sheets) > 1 {
			name = fmt.Sprintf("sheet-%d", i+1)
		}
		if _, err := draw.Save(filepath.Join(folder, "sheets"), name, f, chart.Page, draw.Light); err != nil {
			return err
		}
	}
	return nil
}
