package repeat

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path/filepath"
	"slices"

	"counterpoise/internal/app/club"
	"counterpoise/internal/app/console"
	"counterpoise/internal/app/drivers"
	"counterpoise/internal/app/flags"
	holds "counterpoise/internal/app/hold"
	"counterpoise/internal/app/person"
	"counterpoise/internal/jsonform"
	"counterpoise/internal/provenance"
	"counterpoise/internal/study"
	"counterpoise/internal/table"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"

	"github.com/spf13/cobra"
)

// ranAs is what the stamps of person, readiness, club and drivers say of how they
// were made.
type ranAs struct {
	Command string              `json:"command"`
	Flags   map[string][]string `json:"flags"`
	Persons []json.RawMessage   `json:"persons"`
	Before  []json.RawMessage   `json:"before"` // of club, null of whom no earlier table names
	Hold    study.StoredHold    `json:"hold"`   // of drivers
	Holds   []study.StoredHold  `json:"holds"`  // of hold untrained
	Load    jsonform.Load       `json:"load"`   // likewise
}

// setFlags gives a command the flags of a stamp.
func (of *ranAs) setFlags(c *cobra.Command, seed uint64, workers int) error {
	set := func(name, value string) error {
		if err := c.Flags().Set(name, value); err != nil {
			return fmt.Errorf("the flag --%s in it cannot be read: %w", name, err)
		}
		return nil
	}
	for _, name := range slices.Sorted(maps.Keys(of.Flags)) {
		if !slices.Contains(flags.ResultFlags, name) || c.Flags().Lookup(name) == nil {
			return fmt.Errorf("--%s is not a flag that a repeat of %s takes from a file", name, of.Command)
		}
		for _, v := range of.Flags[name] {
			if err := set(name, v); err != nil {
				return err
			}
		}
	}
	return errors.Join(set("seed", fmt.Sprint(seed)), set("workers", fmt.Sprint(workers)))
}

// commandAgain runs person, readiness, club or drivers, and returns the file that
// corresponds.
func (m *made) commandAgain(ctx context.Context, env *console.Environment, folder string, workers int) (string, error) {
	var of ranAs
	if err := json.Unmarshal(m.stamp.Study, &of); err != nil {
		return "", console.Input(fmt.Errorf("%s: the study in it cannot be read: %w", m.path, err))
	}
	var persons []study.Person
	for _, given := range of.Persons {
		p, err := study.PersonOf(given)
		if err == nil && p.Population != "" {
			p.Own, err = m.finder().Load(p.Population)
		}
		if err != nil {
			return "", console.Input(fmt.Errorf("%s: %w", m.path, err))
		}
		p.File = m.path
		persons = append(persons, p)
	}
	if of.Command != holds.UntrainedCommand && of.Command != "drivers" && len(persons) == 0 {
		return "", console.Input(fmt.Errorf("%s: names no person", m.path))
	}
	summary := filepath.Join(folder, "summary.json")
	printed := func(run func(*console.Environment) error) error {
		var text bytes.Buffer
		err := run(&console.Environment{Stdin: env.Stdin, Stdout: &text, Stderr: env.Stderr})
		return errors.Join(err, provenance.WriteFile(summary, text.Bytes()))
	}
	var command *cobra.Command
	var run func() error
	switch of.Command {
	case holds.UntrainedCommand:
		var list []*hold.Hold
		for _, h := range of.Holds {
			list = append(list, h.Hold)
		}
		var untrained struct{ People []string }
		if err := json.Unmarshal(m.stamp.Study, &untrained); err != nil {
			return "", console.Input(fmt.Errorf("%s: the people in it cannot be read: %w", m.path, err))
		}
		return summary, printed(func(env *console.Environment) error {
			return holds.RunHoldUntrained(env, list, untrained.People, body.Load(of.Load), true)
		})
	case "drivers":
		if of.Hold.IsZero() {
			return "", console.Input(fmt.Errorf("%s: names no hold", m.path))
		}
		o, c := drivers.Command(env)
		command, run = c, func() error {
			o.Out, o.Look, o.Given, o.Persons, o.Load = flags.Path(folder), flags.NoCharts(), of.Flags, persons, m.finder().Load
			o.FindHold = func(string) (*hold.Hold, error) { return of.Hold.Hold, nil }
			return drivers.RunDrivers(ctx, env, o)
		}
	case "person":
		o, c := person.Command(env)
		command, run = c, func() error {
			o.Out, o.Look, o.Given, o.Persons = flags.Path(folder), flags.NoCharts(), of.Flags, persons
			return person.RunPerson(ctx, env, o, nil)
		}
	case "club":
		o, c := club.Command(env)
		for i := range persons {
			a := &club.Athlete{Person: persons[i]}
			if i < len(of.Before) && string(of.Before[i]) != "null" {
				was, err := study.PersonOf(of.Before[i])
				if err != nil {
					return "", console.Input(fmt.Errorf("%s: %w", m.path, err))
				}
				a.Before = &was
			}
			o.List = append(o.List, a)
		}
		command, run = c, func() error {
			o.Json, o.Given = true, of.Flags
			return printed(func(env *console.Environment) error { return club.RunClub(ctx, env, o, "") })
		}
	case "readiness":
		o, c := person.ReadinessCommand(env)
		command, run = c, func() error {
			o.Json, o.Given, o.Persons = true, of.Flags, persons
			return printed(func(env *console.Environment) error { return person.RunReadiness(ctx, env, o, nil) })
		}
	default:
		return "", console.Input(fmt.Errorf("%s: was made by the unknown command %q", m.path, of.Command))
	}
	if of.Flags == nil {
		return "", console.Input(fmt.Errorf("%s: was made by a version that did not record how it was run", m.path))
	}
	if err := of.setFlags(command, m.stamp.Seed, workers); err != nil {
		return "", console.Input(fmt.Errorf("%s: %w", m.path, err))
	}
	if err := run(); err != nil {
		return "", err
	}
	if m.text != nil {
		return summary, nil
	}
	return m.sameTable(folder)
}

// sameTable finds the table of a folder that corresponds to the file: that of the
// same columns, and about the same person or part where its name or metadata says.
func (m *made) sameTable(folder string) (string, error) {
	old, err := table.Open(m.path)
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
		if slices.Equal(r.Columns(), old.Columns()) && aboutOf(r) == aboutOf(old) {
			found = append(found, file)
		}
		return nil
	})
	if err != nil {
		return "", err
	}
	for _, file := range found {
		if filepath.Base(file) == filepath.Base(m.path) {
			return file, nil
		}
	}
	if len(found) != 1 {
		return "", console.Input(fmt.Errorf("%s: %d tables of the repeat could match; give the file its original name", m.path, len(found)))
	}
	return found[0], nil
}

// aboutOf returns the person that a table is about, or nothing.
func aboutOf(r *table.Reader) string {
	for _, pair := range r.Metadata() {
		if pair.Key == provenance.Tool+".person" {
			return pair.Value
		}
	}
	return ""
}
