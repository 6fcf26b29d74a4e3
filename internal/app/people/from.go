package people

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/app/output"
	"counterpoise/internal/clubtable"
	"counterpoise/internal/provenance"
	"counterpoise/internal/study"
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
	data, err := study.ReadFile(file, clubtable.MostBytes)
	if err != nil {
		return console.Input(fmt.Errorf("%s: %w", file, output.ReasonOf(err)))
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
