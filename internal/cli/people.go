package cli

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"

	"counterpoise/datasets"
	"counterpoise/internal/provenance"
	"counterpoise/internal/study"
	"counterpoise/internal/table"
	"counterpoise/sim/anthro"
	"counterpoise/sim/claim"
	"counterpoise/sim/montecarlo"

	"github.com/spf13/cobra"
)

func newPeople(env *environment) *cobra.Command {
	c := &cobra.Command{
		Use: "people", Short: "List, describe and draw people",
		Long: "People are models of surveyed populations: how body measurements go together.\n\n" + exitCodes,
	}
	c.AddCommand(newPeopleList(env), newPeopleShow(env), newPeopleDraw(env))
	return c
}

func newPeopleList(env *environment) *cobra.Command {
	return &cobra.Command{
		Use: "list", Short: "List the populations", Args: cobra.NoArgs,
		Long: "List the populations.\n\n" + exitCodes,
		RunE: func(*cobra.Command, []string) error {
			for _, name := range anthro.Names() {
				p, err := anthro.Load(name)
				if err != nil {
					return err
				}
				if _, err := fmt.Fprintf(env.stdout, "%-16s %s (%d measured)\n", name, p.Title, p.N); err != nil {
					return err
				}
			}
			return nil
		},
	}
}

// loadPeople loads a population for a command.
func loadPeople(name string) (*anthro.Population, error) {
	if _, ok := known(anthro.Names())(name); !ok {
		return nil, input(fmt.Errorf("unknown people %q%s; known are %s", name, didYouMean(name, anthro.Names()), strings.Join(anthro.Names(), ", ")))
	}
	return anthro.Load(name)
}

func newPeopleShow(env *environment) *cobra.Command {
	return &cobra.Command{
		Use: "show <name>", Short: "Describe a population: its measurements and their spread", Args: cobra.ExactArgs(1),
		Long:              "Describe a population: the 5, 50 and 95 % points of every measurement, and its source.\n\n" + exitCodes,
		ValidArgsFunction: cobra.FixedCompletions(anthro.Names(), cobra.ShellCompDirectiveNoFileComp),
		RunE: func(_ *cobra.Command, args []string) error {
			p, err := loadPeople(args[0])
			if err != nil {
				return err
			}
			w := env.stdout
			fmt.Fprintf(w, "%s (%s), %s, %d measured\n%s\n\n", p.Title, p.Name, p.Sex, p.N, p.Provenance.Citation)
			fmt.Fprintf(w, "  %-22s %8s %8s %8s\n", "", "5 %", "median", "95 %")
			const z = 1.6448536269514722 // normal score of the 95 % point
			for m := range anthro.NumMeasurements {
				scale, unit := 100.0, "cm"
				if m == anthro.Mass {
					scale, unit = 1, "kg"
				}
				marginal := p.Marginal(m)
				_, err := fmt.Fprintf(w, "  %-22s %8.1f %8.1f %8.1f %s  %s\n", m, scale*marginal.Value(-z), scale*marginal.Value(0), scale*marginal.Value(z), unit, m.Description())
				if err != nil {
					return err
				}
			}
			return nil
		},
	}
}

func newPeopleDraw(env *environment) *cobra.Command {
	o := &common{n: 1000, seed: seed(claim.DefaultOptions().Seed)}
	var where []string
	c := &cobra.Command{
		Use: "draw <name>", Short: "Draw people and write their measurements", Args: cobra.ExactArgs(1),
		Long: `Draw people and write their measurements as CSV to standard output or, with --out, as
Parquet into people.parquet in a folder. The same seed draws the same people as a claim's.

` + exitCodes,
		ValidArgsFunction: cobra.FixedCompletions(anthro.Names(), cobra.ShellCompDirectiveNoFileComp),
		RunE: func(c *cobra.Command, args []string) error {
			return runPeopleDraw(c.Context(), env, o, args[0], where)
		},
	}
	f := c.Flags()
	f.Var(&o.n, "n", "people")
	f.Var(&o.seed, "seed", "seed of the random streams")
	f.Var(&o.workers, "workers", "goroutines; no result depends on it")
	f.StringArrayVar(&where, "where", nil, `keep those in a range, as in --where "bmi=18.5..27" or --where "stature=160..175 cm"`)
	f.Var(&o.out, "out", "folder for people.parquet instead of CSV on standard output")
	return c
}

func runPeopleDraw(ctx context.Context, env *environment, o *common, name string, where []string) (failed error) {
	if err := o.check(); err != nil {
		return err
	}
	p, err := loadPeople(name)
	if err != nil {
		return err
	}
	selection := anthro.Selection{Population: p}
	for _, text := range where {
		r, err := study.ParseCondition(text)
		if err != nil {
			return input(fmt.Errorf("--where %w", err))
		}
		selection.Where = append(selection.Where, r)
	}
	columns := make([]table.Column, anthro.NumMeasurements)
	for m := range anthro.NumMeasurements {
		columns[m] = table.Column{Name: m.String() + "_" + m.Unit(), Unit: m.Unit(), Description: m.Description()}
	}
	var write func(*table.Block) error
	var finish func() error
	if o.out != "" {
		out, err := openFolder(string(o.out))
		if err != nil {
			return err
		}
		defer out.forgetAfter(&failed)
		stamp, err := provenance.NewStamp(map[string]any{"people": name, "where": where, "n": int(o.n)}, uint64(o.seed), datasets.Hashes(), nil)
		if err != nil {
			return err
		}
		pairs, err := stamp.KeyValues()
		if err != nil {
			return err
		}
		w, err := table.Create(filepath.Join(out.path, "people.parquet"), columns, pairs, int64(o.n))
		if err != nil {
			return err
		}
		defer w.Abort() // before the folder is forgotten
		write, finish = w.Write, w.Close
	} else {
		w := table.NewCSVWriter(env.stdout, columns)
		write, finish = w.Write, w.Flush
	}
	n := int(o.n)
	newWorker := func() func(int, *table.Block) error {
		stream := montecarlo.NewStream(uint64(o.seed), claim.Purpose(name))
		sampler := selection.NewSampler()
		room := anthro.NewPeople(montecarlo.BlockRows)
		return func(block int, out *table.Block) error {
			people := room.Slice(0, montecarlo.Rows(n, block))
			stream.Reset(uint64(block))
			if err := sampler.Draw(people, stream.Normals); err != nil {
				return err
			}
			out.Rows = people.Rows()
			for m := range anthro.NumMeasurements {
				for i, v := range people.Value[m] {
					out.Float32[m][i] = float32(v)
				}
			}
			return nil
		}
	}
	bar := newProgress(env.stderr)
	err = montecarlo.Run(ctx, montecarlo.Options{To: montecarlo.Blocks(n), Workers: int(o.workers),
		Progress: func(done, total int) { bar.update("people", done, total) }}, newWorker,
		func() *table.Block { return table.NewBlock(columns, montecarlo.BlockRows) },
		func(_ int, out *table.Block) error { return write(out) })
	bar.done()
	if err != nil {
		return classify(err)
	}
	return finish()
}
