// Package people is the commands about people: who they are, draws of them, and people made of
// a table of measured ones.
package people

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"counterpoise/datasets"
	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/app/output"
	"counterpoise/internal/app/tables"
	"counterpoise/internal/provenance"
	"counterpoise/internal/table"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/claim"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"

	"github.com/spf13/cobra"
)

// Command is the command people.
func Command(env *console.Environment) *cobra.Command {
	list := console.NewList(env, "List the populations", "List the populations.", anthro.Names(), func(name string) (string, error) {
		p, err := anthro.Load(name)
		if err != nil {
			return "", err
		}
		return fmt.Sprintf("%-16s %s (%s)", name, p.Title, words.Measured(p)), nil
	})
	return console.NewGroup("people", "List, describe and draw people, or make some of your own",
		"People are models of surveyed populations, with the correlations of body measurements, or your\nown measured people.",
		list, newPeopleShow(env), newPeopleDraw(env), newPeopleFrom(env))
}

func newPeopleShow(env *console.Environment) *cobra.Command {
	choice := &flags.Chosen{}
	c := &cobra.Command{
		Use: "show <name or file>", Short: "Describe people: their measurements and spread", Args: cobra.ExactArgs(1),
		Long: `Describe people, of a survey or of your own: the 5, 50 and 95 % points of every
measurement and of the age, and their source. With --means, --sds or
--shares, the people of a survey are reweighted first
(entropy balancing), and the effective sample size is what the weights leave of them.

  counterpoise people show us-women --means "stature=168 cm,mass=60 kg"`,
		RunE: func(_ *cobra.Command, args []string) error {
			p, err := flags.LoadPeople(args[0])
			if err != nil {
				return err
			}
			selection, err := choice.Of(p)
			if err != nil {
				return err
			}
			return describePeople(env.Stdout, selection)
		},
	}
	choice.AddFlags(c.Flags())
	return c
}

func newPeopleDraw(env *console.Environment) *cobra.Command {
	o := &flags.Common{N: 1000, Seed: flags.Seed(claim.DefaultOptions().Seed)}
	choice := &flags.Chosen{}
	c := &cobra.Command{
		Use: "draw <name or file>", Short: "Draw people and write their measurements", Args: cobra.ExactArgs(1),
		Long: `Draw people and write their measurements as CSV to standard output or, with --out, as
Parquet into people.parquet in a folder. The same seed draws the same people as a claim's.`,
		RunE: func(c *cobra.Command, args []string) error {
			p, err := flags.LoadPeople(args[0])
			if err != nil {
				return err
			}
			if err := o.Check(); err != nil {
				return err
			}
			s := &Study{people: p, choice: *choice, n: int(o.N), seed: uint64(o.Seed)}
			return s.Run(c.Context(), env, &o.Shown)
		},
	}
	f := c.Flags()
	f.Var(&o.N, "n", "people")
	f.Var(&o.Seed, "seed", "seed of the random streams")
	f.Var(&o.Workers, "workers", "goroutines; no result depends on it")
	choice.AddFlags(f)
	f.Var(&o.Out, "out", "folder for people.parquet instead of CSV on standard output")
	return c
}

// Study is people that are drawn.
type Study struct {
	people *anthro.Population
	choice flags.Chosen
	n      int
	seed   uint64
}

// told is what outputs tell of it.
type told struct {
	People string   `json:"people"`
	Where  []string `json:"where"`
	Means  []string `json:"means,omitempty"`
	SDs    []string `json:"sds,omitempty"`
	Shares []string `json:"shares,omitempty"`
	N      int      `json:"n"`
}

// stamp says where the draws come from.
func (s *Study) stamp() (provenance.Stamp, error) {
	of := told{s.people.Name, s.choice.Where, s.choice.Targets[0], s.choice.Targets[1], s.choice.Targets[2], s.n}
	return provenance.NewStamp(of, s.seed, output.WithOwn(datasets.Hashes(), s.people), nil)
}

// Read rebuilds a study from where an output of it comes from.
func Read(stamp *provenance.Stamp, find *output.OwnFinder) (*Study, error) {
	var of told
	if err := output.ReadStudy(stamp, &of); err != nil {
		return nil, err
	}
	p, err := find.Load(of.People)
	if err != nil {
		return nil, err
	}
	if err := (&flags.Common{N: flags.Count(of.N)}).Check(); err != nil {
		return nil, err
	}
	return &Study{p, flags.Chosen{Where: of.Where, Targets: [...][]string{of.Means, of.SDs, of.Shares}}, of.N, stamp.Seed}, nil
}

// Run draws the people.
func (s *Study) Run(ctx context.Context, env *console.Environment, as *flags.Shown) (failed error) {
	selection, err := s.choice.Of(s.people)
	if err != nil {
		return err
	}
	drawn := anthro.NumMeasurements
	if s.people.HasAge() {
		drawn = anthro.NumVariables
	}
	columns := names.Each(names.UpTo(drawn), func(m anthro.Measurement) table.Column {
		return table.Column{Name: m.String() + "_" + m.Unit(), Unit: m.Unit(), Description: m.Description()}
	})
	var write func(*table.Block) error
	var finish func() error
	if as.Out != "" {
		out, err := output.Open(as.Out)
		if err != nil {
			return err
		}
		defer out.Close()
		stamp, err := s.stamp()
		if err != nil {
			return err
		}
		w, err := tables.Create(filepath.Join(out.Path, "people.parquet"), columns, stamp)
		if err != nil {
			return err
		}
		defer w.Abort() // before the folder is forgotten
		write = w.Write
		finish = func() error {
			if err := w.Close(); err != nil {
				return err
			}
			if err := out.Commit(stamp); err != nil {
				return err
			}
			_, err := fmt.Fprintf(env.Stdout, "%s people: %s\n", words.Count(s.n), filepath.Join(out.Name, "people.parquet"))
			return err
		}
	} else {
		w := table.NewCSVWriter(env.Stdout, columns)
		write, finish = w.Write, w.Flush
	}
	newWorker := func() func(int, *table.Block) error {
		stream := montecarlo.NewStream(s.seed, scenario.Purpose(s.people.Name))
		sampler := selection.NewSampler()
		buffer := anthro.NewPeople(montecarlo.BlockRows)
		return func(block int, out *table.Block) error {
			people := buffer.Slice(0, montecarlo.Rows(s.n, block))
			stream.Reset(uint64(block))
			if err := sampler.Draw(people, stream.Normals); err != nil {
				return err
			}
			out.Rows = people.Rows()
			for m := range drawn {
				for i, v := range people.Value[m] {
					out.Float32[m][i] = float32(v)
				}
			}
			return nil
		}
	}
	bar := console.NewProgress(env.Stderr)
	err = montecarlo.Run(ctx, montecarlo.Options{To: montecarlo.Blocks(s.n), Workers: int(as.Workers),
		Progress: func(done, total int) { bar.Update("people", done, total) }}, newWorker,
		func() *table.Block { return table.NewBlock(columns, montecarlo.BlockRows) },
		func(_ int, out *table.Block) error { return write(out) })
	bar.Done()
	if err != nil {
		return console.Classify(err)
	}
	return finish()
}

// describePeople prints who people are and how their measurements spread.
func describePeople(w io.Writer, selection anthro.Selection) error {
	p := selection.Population
	var b strings.Builder
	fmt.Fprintf(&b, "%s (%s), %s, %s\n%s\n", p.Title, p.Name, p.Sex, words.Measured(p), p.Provenance.Citation)
	if p.Resampled() {
		fmt.Fprintf(&b, "%s\n", p.Provenance.Method)
	} else {
		fmt.Fprintf(&b, "Licence: %s\n", p.Provenance.Licence)
	}
	for _, line := range words.Weighted(selection) {
		fmt.Fprintf(&b, "%s\n", line)
	}
	quantile, err := selection.Quantiles()
	if err != nil {
		return console.Classify(err)
	}
	fmt.Fprintf(&b, "\n  %-22s %8s %8s %8s\n", "", "5 %", "median", "95 %")
	for m := range anthro.NumVariables {
		if m == anthro.Age && !p.HasAge() {
			continue
		}
		scale, unit, decimals := 100.0, "cm", 1
		switch m {
		case anthro.Mass:
			scale, unit = 1, "kg"
		case anthro.Age:
			scale, unit, decimals = 1, "years", 0
		}
		at := func(share float64) string { return words.Number(scale*quantile(m, share), decimals) }
		measured := ""
		if p.Resampled() {
			measured = fmt.Sprintf("  %*s of %s measured", len(words.Count(p.N)), words.Count(p.Measured(m)), words.Count(p.N))
		}
		fmt.Fprintf(&b, "  %-22s %8s %8s %8s %s%s  %s\n", m, at(0.05), at(0.5), at(0.95), unit, measured, m.Description())
	}
	_, err = io.WriteString(w, words.Folded(b.String()))
	return err
}
