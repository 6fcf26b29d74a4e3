// Package repeat runs again what made a file, and compares: it runs the study that the file
// carries, as the command does that made it.
package repeat

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"counterpoise/internal/app/claim"
	"counterpoise/internal/app/club"
	"counterpoise/internal/app/console"
	"counterpoise/internal/app/drivers"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/app/hold"
	"counterpoise/internal/app/output"
	"counterpoise/internal/app/people"
	"counterpoise/internal/app/person"
	"counterpoise/internal/app/sweep"
	"counterpoise/internal/provenance"
	"counterpoise/internal/table"
	"counterpoise/sim/anthro"
	"counterpoise/sim/names"
	"counterpoise/sim/plain"

	"github.com/spf13/cobra"
)

// errDiffers ends a repeat whose outcome is another one.
var errDiffers = errors.New("the repeat differs from the file")

// Command is the command repeat.
func Command(env *console.Environment) *cobra.Command {
	var with again
	c := &cobra.Command{
		Use: "repeat <file>", Short: "Run again what made a file, and compare", Args: cobra.ExactArgs(1),
		Long: `Run again what made a file of this program, from the study, seed and assumptions that the
file carries, and compare. Files are the Parquet tables (of bodies, of draws, of people), the JSON that
every command prints or keeps with where it comes from, and the pages of claims, libraries and clubs.
It prints "identical", or the first difference and which of their origins differ: the code,
the seed, the data, the assumptions, the study, or none of them. Exit code 1 means a difference.

A file holds only the name and the hash of your own people. repeat looks for their file by its name
next to the file, up to two folders above it and in the current folder, or where --people says.`,
		RunE: func(c *cobra.Command, args []string) error {
			if err := with.check(); err != nil {
				return err
			}
			old, err := open(args[0])
			if err != nil {
				return console.Input(err)
			}
			return old.repeat(c.Context(), env, with.own, with.workers)
		},
	}
	with.add(c, "the file was")
	return c
}

// again is with what a study is run again.
type again struct {
	workers flags.Count
	own     []string // files of people
}

// add adds the flags; made says what was made with the people.
func (a *again) add(c *cobra.Command, made string) {
	flags.AddWorkers(c.Flags(), &a.workers)
	c.Flags().StringArrayVar(&a.own, "people", nil, "file of your own people that "+made+" made with; may be repeated")
}

func (a *again) check() error {
	if err := flags.CheckWorkers(a.workers); err != nil {
		return err
	}
	for _, file := range a.own {
		if !anthro.IsFile(file) {
			return console.Input(fmt.Errorf("--people %s: a file is needed%s", file, flags.OwnHint))
		}
	}
	return nil
}

// A study is what a file carries, resolved.
type study interface {
	Run(context.Context, *console.Environment, *flags.Shown) error
}

// read finds out which command made a file, and rebuilds what it was asked.
func (f *file) read(find *output.OwnFinder) (study, error) {
	var of struct {
		Command              string
		Claim, Sweep, People json.RawMessage
	}
	stamp := &f.stamps[0]
	if err := json.Unmarshal(stamp.Study, &of); err != nil {
		return nil, fmt.Errorf("the study in it cannot be read: %w", err)
	}
	switch {
	case of.Command == "person" || of.Command == "readiness":
		s, _, err := person.Read(stamp, find)
		return s, err
	case of.Command == "club":
		s, err := club.Read(stamp, find)
		if err == nil && f.page != nil {
			err = s.SetCard(f.page.Card)
		}
		return s, err
	case of.Command == "drivers":
		return drivers.Read(stamp, find)
	case of.Command == "hold untrained":
		return hold.Read(stamp)
	case of.Command != "":
		return nil, fmt.Errorf("was made by the unknown command %q", of.Command)
	case of.Sweep != nil:
		return sweep.Read(stamp, find)
	case of.Claim != nil:
		return claim.Read(f.stamps, find)
	case of.People != nil:
		return people.Read(stamp, find)
	}
	return nil, errors.New("was made by a command that this program does not know")
}

// again runs what made the file, with everything that it leaves behind in a folder, and
// returns the file there that corresponds.
func (f *file) again(ctx context.Context, env *console.Environment, own []string, workers flags.Count, folder string) (*file, error) {
	beside := filepath.Dir(f.path)
	find := &output.OwnFinder{
		Files: own, Hashes: map[string]string{}, Hint: "; say where its file lies with --people FILE",
		Folders: []string{beside, filepath.Join(beside, ".."), filepath.Join(beside, "..", ".."), "."},
	}
	for _, s := range f.stamps {
		maps.Copy(find.Hashes, s.Data)
	}
	s, err := f.read(find)
	if err != nil {
		return nil, console.Input(fmt.Errorf("%s: %w", f.path, err))
	}
	as := &flags.Shown{Workers: workers, Out: flags.Path(folder), JSON: true, Look: flags.NoCharts()}
	if f.page != nil {
		as.System, as.Look.Above = f.page.System(), f.page.Above
		as.Look.Language = f.page.Language.String()
	}
	var printed bytes.Buffer
	err = s.Run(ctx, &console.Environment{Stdin: env.Stdin, Stdout: &printed, Stderr: env.Stderr}, as)
	if err != nil && !errors.Is(err, console.ErrUndecided) {
		return nil, err
	}
	path := filepath.Join(folder, ".printed.json")
	if err := os.WriteFile(path, printed.Bytes(), 0o666); err != nil {
		return nil, err
	}
	switch {
	case f.page != nil:
		pages, err := filepath.Glob(filepath.Join(folder, "*.html"))
		if err != nil || len(pages) != 1 {
			return nil, errors.Join(err, fmt.Errorf("%s: the repeat made %d pages", f.path, len(pages)))
		}
		path = pages[0]
	case f.whole == nil:
		if path, err = f.sameTable(folder); err != nil {
			return nil, err
		}
	}
	return open(path)
}

// sameTable finds the table of a folder that corresponds to the file: that of the
// same columns, and about the same person or part where its name or metadata says.
func (f *file) sameTable(folder string) (string, error) {
	old, err := table.Open(f.path)
	if err != nil {
		return "", err
	}
	defer old.Close()
	var found []string
	err = filepath.WalkDir(folder, func(file string, _ fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(file) != ".parquet" {
			return err
		}
		r, err := table.Open(file)
		if err != nil {
			return err
		}
		defer r.Close()
		if slices.Equal(r.Columns(), old.Columns()) && personOf(r) == personOf(old) {
			found = append(found, file)
		}
		return nil
	})
	if err != nil {
		return "", err
	}
	for _, file := range found {
		if filepath.Base(file) == filepath.Base(f.path) {
			return file, nil
		}
	}
	if len(found) != 1 {
		return "", console.Input(fmt.Errorf("%s: %d tables of the repeat could match; give the file its original name", f.path, len(found)))
	}
	return found[0], nil
}

// personOf returns the person that a table is about, or nothing.
func personOf(r *table.Reader) string {
	pair, _ := names.First(r.Metadata(), func(p provenance.KeyValue) bool { return p.Key == provenance.Tool+".person" })
	return pair.Value
}

// fault tells what is wrong with the study in the file in one line, with the file.
func (f *file) fault(err error) error {
	if !errors.As(err, new(console.InputError)) {
		return err
	}
	first, more, several := strings.Cut(err.Error(), "\n")
	if !strings.HasPrefix(first, f.path+":") {
		first = f.path + ": " + first
	}
	if several {
		first += fmt.Sprintf(" (and %d faults more)", 1+strings.Count(more, "\n"))
	}
	return console.Input(errors.New(first))
}

// repeat runs again what made the file, and compares.
func (f *file) repeat(ctx context.Context, env *console.Environment, own []string, workers flags.Count) error {
	folder, err := os.MkdirTemp("", "counterpoise-repeat-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	next, err := f.again(ctx, env, own, workers, folder)
	if err != nil {
		return f.fault(err)
	}
	if same, err := f.same(next); err != nil {
		return err
	} else if same {
		stamp := &next.stamps[0]
		_, err := fmt.Fprintf(env.Stdout, "%s: identical, byte for byte (%s %s)\n", f.path, stamp.Tool, stamp.Version)
		return err
	}
	difference, err := f.difference(next)
	if err != nil {
		return err
	}
	var why string
	for i := range min(len(f.stamps), len(next.stamps)) {
		if why = strings.Join(provenance.Differences(&f.stamps[i], &next.stamps[i], "in the file", "in the repeat"), "; "); why != "" {
			break
		}
	}
	switch {
	case difference == "" && why == "":
		difference = "the same study and values, written differently"
	case difference == "":
		difference = "the same values"
	}
	why = cmp.Or(why, "code, seed, data, assumptions and study are the same: the file was altered, or another version of Go compiled the program that made it")
	said := fmt.Sprintf("%s: differs\nfirst difference: %s\nwhy: %s\n", f.path, difference, why)
	if _, err := io.WriteString(env.Stdout, plain.Shown(said)); err != nil {
		return err
	}
	return errDiffers
}
