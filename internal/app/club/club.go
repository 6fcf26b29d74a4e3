// Package club makes cards of a club's table: the persons of a table, answered like those of
// files.
package club

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"

	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/app/output"
	persons "counterpoise/internal/app/person"
	"counterpoise/internal/app/person/said"
	"counterpoise/internal/chart"
	"counterpoise/internal/clubtable"
	"counterpoise/internal/draw"
	"counterpoise/internal/provenance"
	"counterpoise/internal/stored"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/person"
	"counterpoise/sim/plain"

	"github.com/spf13/cobra"
)

// clubOptions are the flags of club.
type clubOptions struct {
	persons.Flags
	card     string
	before   string
	sex      string
	nameless bool
}

// Study is the athletes of a club, and how they are answered for.
type Study struct {
	persons.Study
	Card draw.Size // of a card; it alters no result

	list []*athlete
}

// CardSizes are the sizes of cards.
var CardSizes = []draw.Size{chart.Pocket, chart.Page}

// Command is the command club.
func Command(env *console.Environment) *cobra.Command {
	o := &clubOptions{Flags: *persons.NewFlags(), card: CardSizes[0].Name}
	c := &cobra.Command{
		Use: "club <table>", Short: "Make a card for each athlete of a club's table, and a sheet of all", Args: cobra.ExactArgs(1),
		Long: `Make of a club's table of measurements a card for each athlete, for the human flag: where the
marks on the pole belong, in centimetres and inches, how tuck and straddle compare with the full
flag, what gives out first, and which tests would show the next step; and a sheet that compares
all. What is the same for everybody stands on the sheet alone.

The table is CSV or XLSX as the club has it: titles, averages and remarks may stay. A row names
the columns, in English, German, French, Spanish, Portuguese or Italian: name, sex, height,
weight and, if measured, arm span, age and more (see people show). Units stand in the header
("height (cm)"), in the cells ("5 ft 8 in") or nowhere, and are then guessed from the values.
The program prints how it read the table. A row that cannot be read is left out and named; the rest is
done.

  counterpoise club spring.xlsx --out cards                       cards/cards.html is to print
  counterpoise club autumn.xlsx --before spring.xlsx --out cards  with what has changed
  counterpoise club spring.xlsx --without-names --out for-others

With --out, a folder gets cards.html and cards.pdf with all the cards and the sheet, cards with
a PDF for each athlete, sheets with the sheet as a picture, and summary.json, which has every
number of the cards beside what person says, and can be repeated. Nothing leaves the machine.`,
		RunE: func(c *cobra.Command, args []string) error {
			return o.run(c.Context(), env, args[0])
		},
	}
	f := c.Flags()
	o.AddFlags(f)
	f.Var(&o.Out, "out", "folder for the cards, the sheet and the summary")
	f.StringVar(&o.card, "card", o.card, "size of a card: a6, of which four are printed on a page, or a4")
	f.StringVar(&o.before, "before", "", "an earlier table of the club, to say what has changed")
	f.StringVar(&o.sex, "sex", "", "sex of everybody, where the table has no such column: female or male")
	f.BoolVar(&o.nameless, "without-names", false, "number the athletes in everything that is written; who is who is printed here")
	return c
}

// run makes the cards of a table.
func (o *clubOptions) run(ctx context.Context, env *console.Environment, file string) error {
	with, err := o.Resolve()
	if err != nil {
		return err
	}
	if o.before != "" && o.Out == "" && !o.JSON {
		return console.Input(errors.New("--before: it is for --out, of whose cards it says what has changed, or for --json"))
	}
	s := &Study{Study: persons.Study{Command: clubCommand, Options: with}}
	if err := s.SetCard(o.card); err != nil {
		return err
	}
	if s.list, err = o.athletes(env, file); err != nil {
		return err
	}
	return s.Run(ctx, env, &o.Shown)
}

// clubCommand is how files name it.
const clubCommand = "club"

// Read rebuilds a study from where an output of it comes from.
func Read(stamp *provenance.Stamp, find *output.OwnFinder) (*Study, error) {
	of, told, err := persons.Read(stamp, find)
	if err != nil {
		return nil, err
	}
	s := &Study{Study: *of, Card: CardSizes[0]}
	for i := range of.Persons {
		a := &athlete{Person: of.Persons[i]}
		if i < len(told.Before) && string(told.Before[i]) != "null" {
			was, err := stored.PersonOf(told.Before[i])
			if err != nil {
				return nil, err
			}
			a.Before = &was
		}
		s.list = append(s.list, a)
	}
	return s, nil
}

// athlete is one of a club.
type athlete struct {
	study.Person
	row    *clubtable.Person // nil of an athlete whom no table names
	Before *study.Person     // by the earlier table
	card   *said.Card
	failed error
}

// readClub reads a table and tells what it was taken for.
func readClub(env *console.Environment, file string, sex *anthro.Sex) (*clubtable.Table, error) {
	data, err := provenance.ReadInput(file, clubtable.MostBytes)
	if err != nil {
		return nil, console.Input(fmt.Errorf("%s: %w", file, provenance.ReasonOf(err)))
	}
	table, err := clubtable.Read(file, data, sex)
	if err != nil {
		return nil, console.Input(err)
	}
	fmt.Fprintln(env.Stderr, plain.Shown(file+": read "+strings.Join(names.Of(table.Columns), "; ")))
	for _, note := range table.Notes {
		fmt.Fprintln(env.Stderr, note)
	}
	tellLeft(env, table.Left.Err())
	return table, nil
}

// tellLeft says who is left out, a line each.
func tellLeft(env *console.Environment, err error) {
	if err == nil {
		return
	}
	for _, line := range strings.Split(err.Error(), "\n") {
		fmt.Fprintf(env.Stderr, "left out: %s\n", line)
	}
}

// personOf is a person of a table in the human flag.
func personOf(file string, row *clubtable.Person) study.Person {
	known := slices.Clone(row.Known)
	slices.SortFunc(known, func(a, b anthro.Known) int { return int(a.Of) - int(b.Of) })
	return study.Person{File: file, Line: row.Line, Person: person.Person{Name: row.Name, Sex: row.Sex, Known: known, Again: row.Again, Hold: hold.HumanFlag}}
}

// athletes reads the tables.
func (o *clubOptions) athletes(env *console.Environment, file string) ([]*athlete, error) {
	var sex *anthro.Sex
	if o.sex != "" {
		picked, err := flags.Choose("sex", o.sex, flags.Sexes)
		if err != nil {
			return nil, err
		}
		sex = &picked
	}
	table, err := readClub(env, file, sex)
	if err != nil {
		return nil, err
	}
	earlier := map[string]*study.Person{}
	if o.before != "" {
		was, err := readClub(env, o.before, sex)
		if err != nil {
			return nil, err
		}
		for i := range was.People {
			p := personOf(o.before, &was.People[i])
			earlier[strings.ToLower(p.Name)] = &p
		}
	}
	var list []*athlete
	var missing []string
	for i := range table.People {
		a := &athlete{Person: personOf(file, &table.People[i]), row: &table.People[i]}
		if a.Before = earlier[strings.ToLower(a.Name)]; a.Before == nil && o.before != "" {
			missing = append(missing, a.Name)
		}
		if o.nameless {
			number := fmt.Sprintf("Athlete %d", i+1)
			fmt.Fprintf(env.Stderr, "%s is %s\n", number, a.Name)
			a.Name = number
		}
		list = append(list, a)
	}
	if missing != nil && !o.nameless {
		fmt.Fprintf(env.Stderr, "%s: nobody there is called %s\n", o.before, strings.Join(missing, ", "))
	}
	return list, nil
}

// answerAll answers for everybody, several at a time.
func (s *Study) answerAll(ctx context.Context, env *console.Environment, workers int) error {
	workers = cmp.Or(workers, runtime.GOMAXPROCS(0))
	with := s.Options
	with.Workers = 1
	bar := console.NewProgress(env.Stderr)
	defer bar.Done()
	var mutex sync.Mutex
	var waits sync.WaitGroup
	next := make(chan *athlete)
	done := 0
	for range min(workers, len(s.list)) {
		waits.Go(func() {
			for a := range next {
				a.card, a.failed = cardOf(ctx, a, with)
				mutex.Lock()
				done++
				bar.Update("athletes", done, len(s.list))
				mutex.Unlock()
			}
		})
	}
	for _, a := range s.list {
		next <- a
	}
	close(next)
	waits.Wait()
	return ctx.Err()
}

// cardOf works out the card of an athlete.
func cardOf(ctx context.Context, a *athlete, with person.Options) (*said.Card, error) {
	full, err := person.Answer(ctx, a.Person.Person, with)
	if err != nil {
		return nil, err
	}
	c := &said.Card{}
	if c.Ladder, err = person.Ladder(ctx, full, said.RungLegs); err != nil {
		return nil, err
	}
	c.PersonAnswer = said.PersonAnswer{Result: full, Notes: said.PersonNotes(full, words.Metric)}
	if err := c.Show(); err != nil {
		return nil, err
	}
	persons.Slim(full)
	c.Ready = &person.Readiness{Result: full, Asks: c.Full().Tests}
	if a.Before != nil {
		// Who cannot have been as the earlier table says is told about the present alone.
		if r, err := person.Answer(ctx, a.Before.Person, with); err == nil {
			persons.Slim(r)
			c.Before = &said.PersonAnswer{Result: r}
		} else if ctx.Err() != nil {
			return nil, err
		}
	}
	return c, nil
}

// SetCard takes the size of the cards by its name; without one it stays.
func (s *Study) SetCard(name string) (err error) {
	if name != "" {
		s.Card, err = flags.Choose("card", name, CardSizes)
	}
	return err
}

// Run makes the cards.
func (s *Study) Run(ctx context.Context, env *console.Environment, as *flags.Shown) (failed error) {
	out, err := output.Open(as.Out)
	if err != nil {
		return err
	}
	defer out.Close()
	if err := s.answerAll(ctx, env, int(as.Workers)); err != nil {
		return err
	}
	var left clubtable.Faults
	s.list = slices.DeleteFunc(s.list, func(a *athlete) bool {
		if a.failed != nil && a.row != nil {
			fault := a.row.Fault(a.failed)
			fault.Reason = a.Name + ": " + fault.Reason
			left = append(left, fault)
		}
		return a.failed != nil
	})
	if len(s.list) == 0 {
		return console.Input(left.Err())
	}
	tellLeft(env, left.Err())
	cards, stamp, err := s.cards(env)
	if err != nil {
		return err
	}
	summary, err := output.Indented(said.SummariseClub(cards, stamp))
	if err != nil {
		return err
	}
	files := func(folder string) error { return s.write(env, folder, cards, as.System, stamp) }
	return output.Publish(env, out, stamp, as.JSON, "summary.json", summary, files, func(w io.Writer) error {
		err := clubText(w, cards, as.System)
		if as.Full && err == nil {
			fmt.Fprintln(w)
			err = said.PersonText(w, said.AnswersOf(cards), as.System)
		}
		if out != nil && err == nil {
			count := fmt.Sprintf("%d cards", len(cards))
			if len(cards) == 1 {
				count = "1 card"
			}
			_, err = fmt.Fprintf(w, "%s: print %s\n", count, filepath.Join(out.Name, "cards.html"))
		}
		return err
	})
}

// cards are those of everybody who is answered for, and where they come from.
func (s *Study) cards(env *console.Environment) (cards []said.Card, stamp provenance.Stamp, err error) {
	var before []json.RawMessage // null of whom the earlier table does not name
	s.Persons = nil
	for _, a := range s.list {
		if a.row != nil {
			for _, note := range a.card.Notes {
				fmt.Fprintln(env.Stderr, a.row.At("", "%s: %s", a.Name, note))
			}
		}
		cards, s.Persons = append(cards, *a.card), append(s.Persons, a.Person)
		was := json.RawMessage("null")
		if a.Before != nil {
			if was, err = json.Marshal(stored.StorePerson(a.Before)); err != nil {
				return nil, stamp, err
			}
		}
		before = append(before, was)
	}
	stamp, err = s.Stamp(before)
	return cards, stamp, err
}

// widestName is of how many letters a name is told in the table.
const widestName = 24

// clubText writes the club for the terminal: a line each.
func clubText(w io.Writer, cards []said.Card, s words.System) error {
	t := &words.Writer{W: w}
	head := []string{"athlete", "hands apart", "worth trying", "harder arm"}
	for i := range cards[0].Ladder {
		head = append(head, said.RungName(&cards[0].Ladder[i]))
	}
	rows := [][]string{head}
	for i := range cards {
		c := &cards[i]
		name := []rune(c.Person.Name)
		if len(name) > widestName { // a line each
			name = append(name[:widestName-1:widestName-1], '…')
		}
		row := []string{string(name), "not possible", "", ""}
		if at, ok := said.RecommendedSpacing(&c.PersonAnswer); ok {
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
	for _, line := range words.Aligned(rows) {
		t.Line("%s", line)
	}
	t.Wrap("", "", "Per cent of what the full flag asks for. "+said.CardCautions)
	return t.Err
}
