// Package club makes cards of a club's table: the persons of a table, answered like those of
// files.
package club

import (
	"context"
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
	"counterpoise/internal/provenance"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
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
	List     []*Athlete // instead of those of tables, where there are any
}

// CardSizes are the sizes of cards.
var CardSizes = []chart.Size{chart.Pocket, chart.Page}

func Command(env *console.Environment) (*clubOptions, *cobra.Command) {
	o := &clubOptions{Flags: *persons.NewFlags(), card: CardSizes[0].Name}
	c := &cobra.Command{
		Use: "club <table>", Short: "Make a card for each athlete of a club's table, and a sheet of all", Args: cobra.ExactArgs(1),
		Long: `Make of a club's table of measurements a card for each athlete, for the human flag: where the
marks on the pole belong, in centimetres and inches, how tuck and straddle compare with the full
flag, what gives out first, and which tests would show the next step; and a sheet that compares
all.

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
			o.Given = flags.GivenFlags(c.Flags())
			return RunClub(c.Context(), env, o, args[0])
		},
	}
	f := c.Flags()
	o.AddFlags(f)
	f.Var(&o.Out, "out", "folder for the cards, the sheet and the summary")
	f.StringVar(&o.card, "card", o.card, "size of a card: a6, of which four are printed on a page, or a4")
	f.StringVar(&o.before, "before", "", "an earlier table of the club, to say what has changed")
	f.StringVar(&o.sex, "sex", "", "sex of everybody, where the table has no such column: female or male")
	f.BoolVar(&o.nameless, "without-names", false, "number the athletes in everything that is written; who is who is printed here")
	return o, c
}

// Athlete is one of a club.
type Athlete struct {
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
		return nil, console.Input(fmt.Errorf("%s: %w", file, output.ReasonOf(err)))
	}
	table, err := clubtable.Read(file, data, sex)
	if err != nil {
		return nil, console.Input(err)
	}
	columns := make([]string, len(table.Columns))
	for i, c := range table.Columns {
		columns[i] = c.String()
	}
	fmt.Fprintln(env.Stderr, plain.Shown(file+": read "+strings.Join(columns, "; ")))
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
func (o *clubOptions) athletes(env *console.Environment, file string) ([]*Athlete, error) {
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
	var list []*Athlete
	var missing []string
	for i := range table.People {
		a := &Athlete{Person: personOf(file, &table.People[i]), row: &table.People[i]}
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
func (o *clubOptions) answerAll(ctx context.Context, env *console.Environment, list []*Athlete) error {
	workers := int(o.Workers)
	if workers == 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	each := *o
	each.Options.Workers = 1
	bar := console.NewProgress(env.Stderr)
	defer bar.Done()
	var mutex sync.Mutex
	var waits sync.WaitGroup
	next := make(chan *Athlete)
	done := 0
	for range min(workers, len(list)) {
		waits.Go(func() {
			for a := range next {
				a.card, a.failed = each.cardOf(ctx, a)
				mutex.Lock()
				done++
				bar.Update("athletes", done, len(list))
				mutex.Unlock()
			}
		})
	}
	for _, a := range list {
		next <- a
	}
	close(next)
	waits.Wait()
	return ctx.Err()
}

// cardOf works out the card of an athlete.
func (o *clubOptions) cardOf(ctx context.Context, a *Athlete) (*said.Card, error) {
	full, err := person.Answer(ctx, a.Person.Person, o.Options)
	if err != nil {
		return nil, err
	}
	c := &said.Card{}
	if c.Ladder, err = person.Ladder(ctx, full, said.RungLegs); err != nil {
		return nil, err
	}
	persons.Slim(full)
	c.PersonAnswer = said.PersonAnswer{Result: full, Notes: said.PersonNotes(full, words.Metric)}
	c.Ready = &person.Readiness{Result: full, Asks: c.Full().Tests}
	if a.Before != nil {
		// Who cannot have been as the earlier table says is told about the present alone.
		if r, err := person.Answer(ctx, a.Before.Person, o.Options); err == nil {
			persons.Slim(r)
			c.Before = &said.PersonAnswer{Result: r}
		} else if ctx.Err() != nil {
			return nil, err
		}
	}
	return c, nil
}

func RunClub(ctx context.Context, env *console.Environment, o *clubOptions, file string) (failed error) {
	if err := o.Resolve(); err != nil {
		return err
	}
	size, err := flags.Choose("card", o.card, CardSizes)
	if err != nil {
		return err
	}
	list := o.List
	if list == nil {
		if list, err = o.athletes(env, file); err != nil {
			return err
		}
	}
	out, err := output.Open(o.Out)
	if err != nil {
		return err
	}
	defer out.ForgetAfter(&failed)
	if err := o.answerAll(ctx, env, list); err != nil {
		return err
	}
	var left clubtable.Faults
	list = slices.DeleteFunc(list, func(a *Athlete) bool {
		if a.failed != nil && a.row != nil {
			fault := a.row.Fault(a.failed)
			fault.Reason = a.Name + ": " + fault.Reason
			left = append(left, fault)
		}
		return a.failed != nil
	})
	if len(list) == 0 {
		return console.Input(left.Err())
	}
	tellLeft(env, left.Err())
	var cards []said.Card
	var persons []study.Person
	var before []map[string]any // nil of whom the earlier table does not name
	for _, a := range list {
		if a.row != nil {
			for _, note := range a.card.Notes {
				fmt.Fprintln(env.Stderr, a.row.At("", "%s: %s", a.Name, note))
			}
		}
		cards, persons = append(cards, *a.card), append(persons, a.Person)
		var was map[string]any
		if a.Before != nil {
			was = a.Before.Resolved()
		}
		before = append(before, was)
	}
	stamp, err := o.Stamp("club", persons, map[string]any{"before": before})
	if err != nil {
		return err
	}
	summary, err := output.Indented(said.SummariseClub(cards, stamp))
	if err != nil {
		return err
	}
	if out != nil {
		if err := writeClub(env, out.Path, cards, size, o.System, summary); err != nil {
			return err
		}
	}
	if o.Json {
		_, err = env.Stdout.Write(summary)
		return err
	}
	if err := ClubText(env.Stdout, cards, o.System); err != nil {
		return err
	}
	if o.All {
		fmt.Fprintln(env.Stdout)
		if err := said.PersonText(env.Stdout, said.AnswersOf(cards), o.System); err != nil {
			return err
		}
	}
	if out == nil {
		return nil
	}
	_, err = fmt.Fprintf(env.Stdout, "%d cards: print %s\n", len(cards), filepath.Join(out.Path, "cards.html"))
	return err
}

// ClubText writes the club for the terminal: a line each.
func ClubText(w io.Writer, cards []said.Card, s words.System) error {
	t := &words.Writer{W: w}
	head := []string{"athlete", "hands apart", "worth trying", "harder arm"}
	for i := range cards[0].Ladder {
		head = append(head, said.RungName(&cards[0].Ladder[i]))
	}
	rows := [][]string{head}
	for i := range cards {
		c := &cards[i]
		row := []string{c.Person.Name, "not possible", "", ""}
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
		t.Line("%s", strings.TrimRight(b.String(), " "))
	}
	t.Wrap("", "", "Per cent of what the full flag asks for. "+said.CardCautions)
	return t.Err
}
