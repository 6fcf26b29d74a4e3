package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"counterpoise/datasets"
	"counterpoise/internal/provenance"
	"counterpoise/internal/report"
	"counterpoise/internal/study"
	"counterpoise/sim/anthro"
	"counterpoise/sim/claim"

	"github.com/spf13/cobra"
)

func newClaim(env *environment) *cobra.Command {
	c := &cobra.Command{
		Use: "claim", Short: "List, show and test claims: rules of thumb made testable",
		Long: "A claim is a sentence with a hold, people, a change or contrast, a quantity, the direction it\n" +
			"is said to move in, and the smallest effect that matters.\n\n" + exitCodes,
	}
	c.AddCommand(newClaimList(env), newClaimShow(env), newClaimTest(env))
	return c
}

func newClaimList(env *environment) *cobra.Command {
	return &cobra.Command{
		Use: "list", Short: "List the shipped claims", Args: cobra.NoArgs,
		Long: "List the shipped claims with their sentences.\n\n" + exitCodes,
		RunE: func(*cobra.Command, []string) error {
			for _, name := range study.ClaimNames() {
				c, err := study.ShippedClaim(name)
				if err != nil {
					return err
				}
				if _, err := fmt.Fprintf(env.stdout, "%-26s %s\n", name, c.Says); err != nil {
					return err
				}
			}
			return nil
		},
	}
}

func newClaimShow(env *environment) *cobra.Command {
	return &cobra.Command{
		Use: "show <name>", Short: "Print a shipped claim as the file it is", Args: cobra.ExactArgs(1),
		Long: "Print a shipped claim as YAML, a starting point for a claim of your own:\n\n" +
			"  counterpoise claim show longer-arms > mine.yaml\n  counterpoise claim test mine.yaml\n\n" + exitCodes,
		ValidArgsFunction: cobra.FixedCompletions(study.ClaimNames(), cobra.ShellCompDirectiveNoFileComp),
		RunE: func(_ *cobra.Command, args []string) error {
			text, err := study.ClaimText(args[0])
			if err != nil {
				return input(err)
			}
			_, err = env.stdout.Write(text)
			return err
		},
	}
}

// findClaim reads a shipped claim by its name or a file by its path.
func findClaim(name string) (*claim.Claim, error) {
	if !strings.ContainsAny(name, `/\.`) {
		return study.ShippedClaim(name)
	}
	c, err := study.LoadClaim(name)
	var path *os.PathError
	if errors.As(err, &path) {
		return nil, fmt.Errorf("%s: %w", name, path.Err)
	}
	return c, err
}

func newClaimTest(env *environment) *cobra.Command {
	o := &common{look: defaultLook()}
	defaults := claim.DefaultOptions()
	o.n, o.maxN, o.draws, o.seed = count(defaults.N), count(defaults.MaxN), count(defaults.Draws), seed(defaults.Seed)
	c := &cobra.Command{
		Use: "test <name or file>", Short: "Test a claim over drawn bodies and give a verdict", Args: cobra.ExactArgs(1),
		Long: `Test a shipped claim by its name, or a file with a dot or slash in its path.

Draws people, holds each of them up before and after the change, and says whether the claim
is supported, contradicted, too small to matter, or on what it depends. The verdict goes to
standard output, progress to standard error. With --out, a folder gets bodies.parquet,
summary.json and the charts.

` + exitCodes,
		ValidArgsFunction: cobra.FixedCompletions(study.ClaimNames(), cobra.ShellCompDirectiveDefault),
		RunE: func(c *cobra.Command, args []string) error {
			return runClaimTest(c.Context(), env, o, args[0])
		},
	}
	f := c.Flags()
	f.Var(&o.n, "n", "bodies in all")
	f.Var(&o.maxN, "max-n", "up to which n doubles while a share is too close to call")
	f.Var(&o.seed, "seed", "seed of the random streams; the same seed gives the same bytes")
	f.Var(&o.people, "people", "populations, or files of people of your own, in place of the claim's own")
	o.addModelFlags(f)
	f.Var(&o.draws, "assumption-draws", "draws of the assumptions over their ranges; 0 for none")
	f.Var(&o.workers, "workers", "goroutines; 0 takes one a processor, and no result depends on it")
	f.Var(&o.out, "out", "folder for the table of bodies, the summary and the charts")
	o.look.addFlags(c)
	f.BoolVar(&o.json, "json", false, "print the summary as one JSON object")
	return c
}

func runClaimTest(ctx context.Context, env *environment, o *common, name string) (failed error) {
	if err := errors.Join(o.check(), o.look.check()); err != nil {
		return err
	}
	c, err := findClaim(name)
	if err != nil {
		return input(err)
	}
	if err := o.resolveAssumptions(); err != nil {
		return err
	}
	if err := o.override(c); err != nil {
		return err
	}
	options := claim.Options{
		N: int(o.n), MaxN: max(int(o.maxN), int(o.n)), Seed: uint64(o.seed), Workers: int(o.workers),
		Draws: int(o.draws), DrawBodies: claim.DefaultOptions().DrawBodies, Assumptions: o.assumptions,
	}
	bar := newProgress(env.stderr)
	options.Progress = bar.update
	var out *outFolder
	if o.out != "" {
		if out, err = openFolder(string(o.out)); err != nil {
			return err
		}
		defer out.forgetAfter(&failed)
		options.Open = func(layout claim.Layout, rows int) (claim.Sink, error) {
			stamp, err := stampOf(c, options, rows)
			if err != nil {
				return nil, err
			}
			return newTableSink(filepath.Join(out.path, "bodies.parquet"), layout, stamp, rows)
		}
	}
	result, err := claim.Test(ctx, c, options)
	bar.done()
	if err != nil {
		return classify(err)
	}
	stamp, err := stampOf(c, options, result.N)
	if err != nil {
		return err
	}
	summary := report.Summarise(result, stamp)
	text, err := json.MarshalIndent(summary, "", "  ")
	if err != nil {
		return err
	}
	text = append(text, '\n')
	if out != nil {
		if err := provenance.WriteFile(filepath.Join(out.path, "summary.json"), text); err != nil {
			return err
		}
		figures, err := report.Figures(result, options.Assumptions.Centre)
		if err != nil {
			return err
		}
		if err := o.look.draw(env, placedIn(out.path, figures)); err != nil {
			return err
		}
	}
	if o.json {
		_, err = env.stdout.Write(text)
	} else {
		err = report.Text(env.stdout, result)
	}
	if err != nil {
		return err
	}
	if result.Verdict == claim.Undecided {
		return errUndecided
	}
	return nil
}

// classify marks the errors of a test that the user can mend, and leaves out
// of them at which block of bodies they came up.
func classify(err error) error {
	var field *claim.FieldError
	var rare *anthro.RareError
	switch {
	case errors.As(err, &rare):
		return input(rare)
	case errors.As(err, &field):
		if many, ok := err.(interface{ Unwrap() []error }); ok && len(many.Unwrap()) > 1 {
			return input(err)
		}
		return input(field)
	}
	return err
}

// stampOf says where a result comes from, in full.
func stampOf(c *claim.Claim, o claim.Options, n int) (provenance.Stamp, error) {
	assumptions := map[string]float64{}
	for id, name := range study.AssumptionNames() {
		assumptions[name] = o.Assumptions.Centre[id]
	}
	spread := map[string][2]float64{}
	for _, id := range o.Assumptions.Free() {
		spread[id.String()] = [2]float64{o.Assumptions.Low[id], o.Assumptions.High[id]}
	}
	resolved := struct {
		Claim     *claim.Claim          `json:"claim"`
		Quantity  string                `json:"quantity"`
		N         int                   `json:"n"`
		Draws     int                   `json:"assumption_draws"`
		DrawBody  int                   `json:"bodies_a_draw"`
		Uncertain map[string][2]float64 `json:"assumption_ranges"`
	}{c, c.Quantity.String(), n, o.Draws, o.DrawBodies, spread}
	hashes := datasets.Hashes()
	for _, p := range c.People {
		withOwn(hashes, p.Own)
	}
	return provenance.NewStamp(resolved, o.Seed, hashes, assumptions)
}
