// Package data is the command that shows what results rest on.
package data

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"counterpoise/datasets"
	"counterpoise/internal/app/console"
	"counterpoise/internal/table"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/segment"

	"github.com/spf13/cobra"
)

// Command is the command data.
func Command(env *console.Environment) *cobra.Command {
	c := &cobra.Command{
		Use: "data", Short: "Show what the results rest on: data sets, segment tables, assumptions", Args: cobra.NoArgs,
		Long: "Show the embedded data sets with their sources and hashes, and, as data assumptions, every\nassumption with its default, range and source; as data licences, the terms of everything.",
		RunE: func(*cobra.Command, []string) error { return printData(env) },
	}
	c.AddCommand(&cobra.Command{
		Use: "assumptions", Short: "List every assumption with default, range, meaning and source", Args: cobra.NoArgs,
		Long: "List the assumptions: numbers that nobody has measured on the person. Set them with --assume.",
		RunE: func(*cobra.Command, []string) error {
			for _, a := range assume.All() {
				text := fmt.Sprintf("%s = %s %s\n    %s\n    source: %s", a.Name, words.Assumed(a), words.AssumptionUnit(a.ID), a.Meaning, a.Source)
				if _, err := fmt.Fprint(env.Stdout, words.Folded(text)); err != nil {
					return err
				}
			}
			return nil
		},
	})
	c.AddCommand(newDictionary(env))
	c.AddCommand(&cobra.Command{
		Use: "csv <table.parquet>", Short: "Print a Parquet table of ours as CSV", Args: cobra.ExactArgs(1),
		Long: "Print a table that the tool wrote (bodies.parquet, draws.parquet, a sweep), a Parquet file or a\nfolder of its parts, as CSV on standard output, for programs without a Parquet reader.",
		RunE: func(_ *cobra.Command, args []string) error {
			r, err := table.Open(args[0])
			if err != nil {
				return console.Input(err)
			}
			defer r.Close()
			return table.WriteCSV(env.Stdout, r)
		},
	})
	c.AddCommand(newLicences(env))
	return c
}

func printData(env *console.Environment) error {
	w := new(strings.Builder)
	fmt.Fprintln(w, "People")
	for _, name := range anthro.Names() {
		p, err := anthro.Load(name)
		if err != nil {
			return err
		}
		fmt.Fprintf(w, "  %s: %s, %s\n    %s\n    licence: %s\n", name, p.Title, words.Measured(p), p.Provenance.Citation, p.Provenance.Licence)
	}
	fmt.Fprintln(w, "\nSegment tables")
	for _, name := range segment.Names() {
		t, err := segment.Load(name, anthro.Male)
		if err != nil {
			return err
		}
		fmt.Fprintf(w, "  %s: %s\n    %s\n", name, t.Title, t.Citation)
	}
	fmt.Fprintln(w, "\nEmbedded files, SHA-256")
	hashes := datasets.Hashes()
	for _, f := range slices.Sorted(maps.Keys(hashes)) {
		fmt.Fprintf(w, "  %s  %s\n", hashes[f], f)
	}
	_, err := fmt.Fprint(env.Stdout, words.Folded(w.String()))
	return err
}
