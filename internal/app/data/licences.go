package data

import (
	"fmt"
	"slices"
	"strings"

	"counterpoise/datasets"
	"counterpoise/internal/app/console"
	"counterpoise/internal/notices"
	"counterpoise/internal/words"

	"github.com/spf13/cobra"
)

func newLicences(env *console.Environment) *cobra.Command {
	full := false
	c := &cobra.Command{
		Use: "licences", Short: "List the licences of the program, its data and everything it is built from", Args: cobra.NoArgs,
		Long: "List under which terms the program, what it writes, its data sets and every part that it is built\nfrom may be used, with where each comes from. --full prints the texts of the licences and notices.",
		RunE: func(*cobra.Command, []string) error { return printLicences(env, full) },
	}
	c.Flags().BoolVar(&full, "full", false, "print the texts as well")
	return c
}

func printLicences(env *console.Environment, full bool) error {
	parts, err := notices.All()
	if err != nil {
		return err
	}
	data, err := datasets.AllTerms()
	if err != nil {
		return err
	}
	w := new(strings.Builder)
	fmt.Fprintf(w, "The program: BSD 3-Clause License, the counterpoise authors.\nWhat it writes: CC BY 4.0, %s.\n\nData sets\n", words.ReuseAddress)
	for i, d := range data {
		fmt.Fprintf(w, "  %s: %s\n", strings.TrimSuffix(d.File, ".json"), d.Title)
		if i+1 == len(data) || data[i+1].Citation != d.Citation || data[i+1].Licence != d.Licence {
			fmt.Fprintf(w, "    from: %s\n    terms: %s\n", d.Citation, d.Licence)
		}
	}
	fmt.Fprintln(w, "\nBuilt from")
	byLicence := slices.Clone(parts)
	slices.SortStableFunc(byLicence, func(a, b notices.Notice) int { return strings.Compare(a.Licence, b.Licence) })
	for _, n := range byLicence {
		within := ""
		if len(n.Within) > 0 {
			within = " (in parts " + strings.Join(n.Within, ", ") + ")"
		}
		fmt.Fprintf(w, "  %-12s %s%s\n", n.Licence, strings.TrimSpace(n.Name+" "+n.Version), within)
	}
	if _, err := fmt.Fprint(env.Stdout, words.Folded(w.String())); err != nil || !full {
		return err
	}
	for _, n := range parts {
		for _, text := range n.Texts {
			if _, err := fmt.Fprintf(env.Stdout, "\n%s\n%s, %s\n\n%s", strings.Repeat("=", 80), strings.TrimSpace(n.Name+" "+n.Version), text.File, text.Text); err != nil {
				return err
			}
		}
	}
	return nil
}
