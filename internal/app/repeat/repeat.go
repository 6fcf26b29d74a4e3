// Package repeat runs again what made a file, and compares.
package repeat

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/app/output"
	"counterpoise/internal/app/sweep"
	"counterpoise/internal/provenance"
	"counterpoise/internal/table"
	"counterpoise/sim/anthro"
	"counterpoise/sim/plain"

	"github.com/spf13/cobra"
)

// errDiffers ends a repeat whose outcome is another one.
var errDiffers = errors.New("the repeat differs from the file")

func Command(env *console.Environment) *cobra.Command {
	var workers flags.Count
	var people []string
	c := &cobra.Command{
		Use: "repeat <file>", Short: "Run again what made a file, and compare", Args: cobra.ExactArgs(1),
		Long: `Run again what made a file of this program, from the study, seed and assumptions that the
file carries, and compare. Files are the Parquet tables (of bodies, of draws) and JSON summaries of
claims, persons, drivers and sweeps, the evidence pages of claims, library.json of several, tables of people, and
what hold untrained prints as JSON.
It prints "identical", or the first difference and which of their origins differ: the code,
the seed, the data, the assumptions, the study, or none of them. Exit code 1 means a difference.

A file holds only the name and the hash of your own people. repeat looks for their file by its name
next to the file, up to two folders above it and in the current folder, or where --people says.`,
		RunE: func(c *cobra.Command, args []string) error {
			if err := flags.CheckWorkers(workers); err != nil {
				return err
			}
			return runRepeat(c.Context(), env, args[0], people, int(workers))
		},
	}
	flags.AddWorkers(c.Flags(), &workers)
	c.Flags().StringArrayVar(&people, "people", nil, "file of your own people that the file was made with; may be repeated")
	return c
}

func runRepeat(ctx context.Context, env *console.Environment, path string, people []string, workers int) error {
	for _, file := range people {
		if !anthro.IsFile(file) {
			return console.Input(fmt.Errorf("--people %s: a file is needed%s", file, flags.OwnHint))
		}
	}
	several, err := openLibrary(path)
	if err != nil {
		return console.Input(err)
	}
	if several == nil {
		old, err := openOutput(path)
		if err != nil {
			return console.Input(err)
		}
		several = []*made{old}
	}
	differs := false
	for _, old := range several {
		old.people = people
		switch err := old.repeat(ctx, env, workers); {
		case errors.Is(err, errDiffers):
			differs = true
		case err != nil:
			return err
		}
	}
	if differs {
		return errDiffers
	}
	return nil
}

// repeat runs again what made the file, and compares.
func (old *made) repeat(ctx context.Context, env *console.Environment, workers int) error {
	name := old.path
	if old.part != "" {
		name += ", " + old.part
	}
	folder, err := os.MkdirTemp("", "counterpoise-repeat-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	file, err := old.again(ctx, env, folder, workers)
	if err != nil {
		return old.fault(err)
	}
	next, err := openOutput(file)
	if err != nil {
		return err
	}
	same, err := old.same(next)
	if err != nil {
		return err
	}
	if same {
		_, err := fmt.Fprintf(env.Stdout, "%s: identical, byte for byte (%s %s)\n", name, next.stamp.Tool, next.stamp.Version)
		return err
	}
	difference, err := old.difference(next)
	if err != nil {
		return err
	}
	why := strings.Join(provenance.Differences(&old.stamp, &next.stamp, "in the file", "in the repeat"), "; ")
	switch {
	case difference == "" && why == "":
		difference = "the same study and values, written differently"
	case difference == "":
		difference = "the same values"
	}
	if why == "" {
		why = "code, seed, data, assumptions and study are the same: the file was altered, or another version of Go compiled the program that made it"
	}
	said := fmt.Sprintf("%s: differs\nfirst difference: %s\nwhy: %s\n", name, difference, why)
	if _, err := io.WriteString(env.Stdout, plain.Shown(said)); err != nil {
		return err
	}
	return errDiffers
}

// fault tells what is wrong with the study in the file in one line, with the file.
func (m *made) fault(err error) error {
	if !errors.As(err, new(console.InputError)) {
		return err
	}
	first, more, several := strings.Cut(err.Error(), "\n")
	if !strings.HasPrefix(first, m.path+":") {
		first = m.path + ": " + first
	}
	if several {
		first += fmt.Sprintf(" (and %d faults more)", 1+strings.Count(more, "\n"))
	}
	return console.Input(errors.New(first))
}

// again runs what made the file, with its files in a folder, and returns the one
// that corresponds.
func (m *made) again(ctx context.Context, env *console.Environment, folder string, workers int) (string, error) {
	var study map[string]json.RawMessage
	if err := json.Unmarshal(m.stamp.Study, &study); err != nil {
		return "", console.Input(fmt.Errorf("%s: the study in it cannot be read: %w", m.path, err))
	}
	quiet := &console.Environment{Stdin: env.Stdin, Stdout: io.Discard, Stderr: env.Stderr}
	switch {
	case study["command"] != nil:
		return m.commandAgain(ctx, quiet, folder, workers)
	case study["sweep"] != nil:
		return m.sweepAgain(ctx, quiet, folder, workers)
	case study["claim"] != nil:
		return m.claimAgain(ctx, quiet, folder, workers)
	case study["people"] != nil && m.text == nil && study["claim"] == nil && study["hold"] == nil:
		return m.peopleAgain(ctx, quiet, folder, workers)
	}
	return "", console.Input(fmt.Errorf("%s: was made by a command that this program does not know", m.path))
}

// sweepAgain runs a sweep.
func (m *made) sweepAgain(ctx context.Context, env *console.Environment, folder string, workers int) (string, error) {
	s, err := sweep.StudyOf(&m.stamp)
	if err != nil {
		return "", console.Input(fmt.Errorf("%s: %w", m.path, err))
	}
	if err := m.finder().Sweep(s); err != nil {
		return "", console.Input(fmt.Errorf("%s: %w", m.path, err))
	}
	name := "summary.json"
	if m.text == nil {
		r, err := table.Open(m.path)
		if err != nil {
			return "", err
		}
		name = "bodies.parquet"
		if slices.ContainsFunc(r.Columns(), func(c table.Column) bool { return c.Name == "statistic" }) {
			name = "sweep.parquet"
		}
		r.Close()
	}
	o := &sweep.SweepOptions{Workers: flags.Count(workers), Format: "parquet", Look: flags.NoCharts()}
	if err := sweep.SweepInto(ctx, env, o, s, &output.Folder{Path: folder}); err != nil {
		return "", err
	}
	return filepath.Join(folder, name), nil
}

// same compares a file with its repeat, byte by byte.
func (m *made) same(next *made) (bool, error) {
	switch {
	case m.page != nil:
		return next.page != nil && bytes.Equal(m.whole, next.whole), nil
	case m.text != nil:
		return bytes.Equal(m.text, next.text), nil
	}
	was, err := provenance.HashFiles(m.path)
	if err != nil {
		return false, err
	}
	is, err := provenance.HashFiles(next.path)
	return was == is, err
}
