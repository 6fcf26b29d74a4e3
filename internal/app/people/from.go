package people

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"counterpoise/datasets"
	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/clubtable"
	"counterpoise/internal/provenance"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"

	"github.com/spf13/cobra"
)

func newPeopleFrom(env *console.Environment) *cobra.Command {
	var out, sex string
	c := &cobra.Command{
		Use: "from <table>", Short: "Make your own people from a table of measured people", Args: cobra.ExactArgs(1),
		Long: `Make your own people from a table of measured people: a club, a class, a team. They work in
claim test, drivers, hold show, people show, people draw, and claims, sweeps and persons
in files.

The table is CSV or XLSX. One row names the columns: sex and any of the measurements of
people show, in plain words of English, German, French, Spanish, Portuguese or Italian, with
their units, as in "stature (cm)" or "Gewicht in kg", and age in years; the program
prints how it read the table. It refuses values that hardly anybody has, unless the column
measured_again says yes. Empty cells were not measured. Names and notes are left out of the file; lines of CSV
that start with # are comments.

The people are kept one by one and resampled: a few people are too few to fit distributions to.
What was not measured on somebody is drawn from the public of the same sex with the same
measurements otherwise. Your own people cannot be reweighted or restricted.

With --out club.json and both sexes in the table, club-women.json and club-men.json are made.
Youths of 12 to 17, as the column age says, are drawn from the public's youths and become
club-girls.json and club-boys.json.

  counterpoise people from club.csv --out club.json
  counterpoise claim test longer-arms --people ./club-women.json,./club-men.json`,
		RunE: func(_ *cobra.Command, args []string) error { return runPeopleFrom(env, args[0], out, sex) },
	}
	c.Flags().StringVar(&out, "out", "", "file to make, ending in .json")
	c.Flags().StringVar(&sex, "sex", "", "sex of everybody, where the table has no such column: female or male")
	return c
}

func runPeopleFrom(env *console.Environment, file, out, sex string) error {
	if filepath.Ext(out) != ".json" || filepath.Base(out) == ".json" {
		return console.Input(fmt.Errorf("--out: found %q, needs the name of the file to make, as in club.json", out))
	}
	var everybody *anthro.Sex
	if sex != "" {
		picked, err := flags.Choose("sex", sex, flags.Sexes)
		if err != nil {
			return err
		}
		everybody = &picked
	}
	data, err := provenance.ReadInput(file, clubtable.MostBytes)
	if err != nil {
		return console.Input(fmt.Errorf("%s: %w", file, provenance.ReasonOf(err)))
	}
	read, err := clubtable.Read(file, data, everybody)
	if err != nil {
		return console.Input(err)
	}
	name := strings.TrimSuffix(filepath.Base(out), ".json")
	samples, notes, err := Samples(read, data, name)
	if err != nil {
		return console.Input(err)
	}
	var text strings.Builder
	var paths []string
	written := make([][]byte, len(samples))
	for i, s := range samples {
		p, err := anthro.NewSample(s)
		if err != nil {
			return console.Input(fmt.Errorf("--out %s: %w", out, err))
		}
		if written[i], err = json.MarshalIndent(s, "", " "); err != nil {
			return err
		}
		written[i] = append(written[i], '\n')
		path := filepath.Join(filepath.Dir(out), s.Name+".json")
		paths = append(paths, path)
		var measured []string
		for m := range anthro.NumVariables {
			if n := p.Measured(m); n > 0 {
				measured = append(measured, fmt.Sprintf("%s %d", m, n))
			}
		}
		fmt.Fprintf(&text, "%s: %s; measured: %s. The rest is drawn from %s.\n", path, s.Title, strings.Join(measured, ", "), s.Survey)
	}
	for i, path := range paths {
		if err := provenance.WriteFile(path, written[i]); err != nil {
			return fmt.Errorf("--out %s: %w", out, err)
		}
	}
	for _, note := range slices.Concat(shownBack(read), read.Notes, notes) {
		fmt.Fprintln(env.Stderr, note)
	}
	_, err = fmt.Fprint(env.Stdout, text.String())
	return err
}

// shownBack says what the columns of a table were taken for, where that is not what they
// are called.
func shownBack(t *clubtable.Table) []string {
	var list []string
	for _, c := range t.Columns {
		if c.Guessed || !c.Plain() {
			list = append(list, c.String())
		}
	}
	if list == nil {
		return nil
	}
	return []string{t.File + ": read " + strings.Join(list, "; ")}
}

// method says how people are drawn from a sample.
const method = "The people are kept as measured and resampled, each with the same chance. " +
	"What was not measured on a person is drawn each time from the survey's people with the same measurements otherwise " +
	"(conditioned Gaussian copula)."

// group is people of a table who are drawn from one survey: of one sex, adults or youths.
type group struct {
	sex   anthro.Sex
	young bool
}

// groups are all there are, in the order in which samples are made.
var groups = []group{{anthro.Female, false}, {anthro.Female, true}, {anthro.Male, false}, {anthro.Male, true}}

// who names the people of a group, as in the names of the files.
func (g group) who() string {
	return map[group]string{groups[0]: "women", groups[1]: "girls", groups[2]: "men", groups[3]: "boys"}[g]
}

// has reports whether a person of the table is of the group: whoever is of no age is an adult.
func (g group) has(row *clubtable.Person) bool {
	return row.Sex == g.sex && anthro.Youth(row.Known) == g.young
}

// survey is that from which what was not measured is drawn.
func (g group) survey() string {
	if g.young {
		return anthro.YouthsOf(g.sex)
	}
	return anthro.PublicOf(g.sex)
}

// one says who somebody of the group is.
func (g group) one() string {
	if g.young {
		return fmt.Sprintf("%s person under %d", g.sex, anthro.Adulthood)
	}
	return g.sex.String() + " person"
}

// Samples makes people out of those of a table: a sample for each sex there is, women
// first, and of each one for youths, whose ages say that they are. data is the table;
// name is that of the people, with who they are in it where there are two samples or more.
//
// It returns notes on people who are rare, one a line. Its errors are of the table's rows
// that cannot be read, of people whom nobody resembles, or who cannot be, with their place in the table and the
// likely slip, and of fewer than two people of a group.
func Samples(t *clubtable.Table, data []byte, name string) (samples []*anthro.Sample, notes []string, err error) {
	faults := slices.Clone(t.Left)
	sum, base := sha256.Sum256(data), study.Printable(filepath.Base(t.File), 60)
	var made []group
	for _, g := range groups {
		survey, err := anthro.Load(g.survey())
		if err != nil {
			return nil, nil, err
		}
		s := &anthro.Sample{
			Name: name, Sex: g.sex.String(), Survey: survey.Name,
			Provenance: datasets.Provenance{
				Citation: "measured people, " + base, Licence: "not stated", Method: method,
				Raw: []datasets.Raw{{File: base, Origin: "a table of measured people", SHA256: hex.EncodeToString(sum[:])}},
			},
		}
		count, last := 0, &clubtable.Person{}
		for i := range t.People {
			row := &t.People[i]
			if !g.has(row) {
				continue
			}
			count, last = count+1, row
			condition, add := survey.Condition, s.Add
			if row.Again {
				condition, add = survey.ConditionAgain, s.AddAgain
			}
			person, err := condition(row.Known, anthro.Regional{})
			if err != nil {
				faults = append(faults, row.Fault(err))
				continue
			}
			if person.Rare != nil && !row.Again {
				notes = append(notes, row.At(person.Rare.Known.Of.String(), "rare, check it: %s", words.Rarity(person.Rare, words.Metric)).Error())
			}
			add(row.Known)
		}
		if count == 0 {
			continue
		}
		if count < anthro.LeastSample {
			faults = append(faults, last.At("", "this is the only %s, at least %d are needed; add more or leave the row out", g.one(), anthro.LeastSample))
		}
		s.Title = fmt.Sprintf("%d %s of %s", count, g.who(), base)
		samples, made = append(samples, s), append(made, g)
	}
	if len(faults) > 0 {
		return nil, nil, faults.Err()
	}
	if len(samples) > 1 {
		for i, g := range made {
			samples[i].Name += "-" + g.who()
		}
	}
	return samples, notes, nil
}
