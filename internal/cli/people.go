package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"counterpoise/datasets"
	"counterpoise/internal/called"
	"counterpoise/internal/provenance"
	"counterpoise/internal/report"
	"counterpoise/internal/study"
	"counterpoise/internal/table"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/claim"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/scenario"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

func newPeople(env *environment) *cobra.Command {
	list := newList(env, "List the populations", "List the populations.", anthro.Names(), func(name string) (string, error) {
		p, err := anthro.Load(name)
		if err != nil {
			return "", err
		}
		return fmt.Sprintf("%-16s %s (%s)", name, p.Title, words.Measured(p)), nil
	})
	return newGroup("people", "List, describe and draw people, or make some of your own",
		"People are models of surveyed populations, with the correlations of body measurements, or your\nown measured people.",
		list, newPeopleShow(env), newPeopleDraw(env), newPeopleFrom(env))
}

// ownHint is said where a name of people is not known.
const ownHint = "; a file of your own people has a slash or a dot in its path"

// loadPeople loads a survey's population or people of one's own.
func loadPeople(name string) (*anthro.Population, error) {
	if anthro.IsFile(name) {
		p, err := anthro.Load(name)
		return p, input(err)
	}
	if err := knowsPeople("", name); err != nil {
		return nil, err
	}
	return anthro.Load(name)
}

// knowsPeople refuses a name that no embedded population bears; flag is where it stands,
// as in "--people", or "" for an argument.
func knowsPeople(flag, name string) error {
	if missing := anthro.Missing(name); missing != "" {
		if flag != "" {
			missing = flag + ": " + missing
		}
		return input(errors.New(missing))
	}
	if slices.Contains(anthro.Names(), name) {
		return nil
	}
	unknown := fmt.Sprintf("unknown people %q", name)
	if flag != "" {
		unknown = fmt.Sprintf("%s %s: unknown name", flag, name)
	}
	return input(fmt.Errorf("%s%s; known: %s%s", unknown, called.Suggest(name, anthro.Names()), strings.Join(anthro.Names(), ", "), ownHint))
}

// claimPeople reads the people of a claim from --people.
func claimPeople(names []string) ([]scenario.Group, error) {
	var people []scenario.Group
	for _, name := range names {
		p := scenario.Group{Population: name, Weight: 1}
		if anthro.IsFile(name) {
			own, err := anthro.Load(name)
			if err != nil {
				return nil, input(fmt.Errorf("--people %w", err))
			}
			p.Population, p.Own = own.Name, own
		} else if err := knowsPeople("--people", name); err != nil {
			return nil, err
		}
		for _, before := range people {
			if before.Population == p.Population {
				return nil, input(fmt.Errorf("--people: %s appears twice", p.Population))
			}
		}
		people = append(people, p)
	}
	return people, nil
}

// chosen are the flags that choose among people.
type chosen struct {
	where   []string
	targets [3][]string // in the order of study.TargetKinds
}

func (c *chosen) addFlags(f *pflag.FlagSet) {
	f.StringArrayVar(&c.where, "where", nil, `keep those in a range, as in --where "bmi=18.5..27", "age=30..39" or "stature=160..175 cm"`)
	for k, kind := range study.TargetKinds {
		f.StringArrayVar(&c.targets[k], kind.Field, nil, fmt.Sprintf("reweight the people of a survey, as in --%s %q", kind.Field, kind.Example))
	}
}

// of returns the people chosen of a population.
func (c *chosen) of(p *anthro.Population) (anthro.Selection, error) {
	selection := anthro.Selection{Population: p}
	for _, text := range c.where {
		r, err := study.ParseCondition(text)
		if err != nil {
			return selection, input(fmt.Errorf("--where %w", err))
		}
		selection.Where = append(selection.Where, r)
	}
	var targets []anthro.Target
	for k, kind := range study.TargetKinds {
		for _, text := range c.targets[k] {
			more, err := study.ParseTargets(kind.Field, text)
			if err != nil {
				return selection, input(fmt.Errorf("--%s %w", kind.Field, err))
			}
			targets = append(targets, more...)
		}
	}
	if len(targets) == 0 {
		return selection, nil
	}
	weighted, err := selection.Reweight(targets)
	if err != nil {
		return selection, input(err)
	}
	return anthro.Selection{Population: weighted}, nil
}

func newPeopleShow(env *environment) *cobra.Command {
	choice := &chosen{}
	c := &cobra.Command{
		Use: "show <name or file>", Short: "Describe people: their measurements and spread", Args: cobra.ExactArgs(1),
		Long: `Describe people, of a survey or of your own: the 5, 50 and 95 % points of every
measurement and of the age, and their source. With --means, --sds or
--shares, the people of a survey are reweighted first
(entropy balancing), and the effective sample size is what the weights leave of them.

  counterpoise people show us-women --means "stature=168 cm,mass=60 kg"`,
		RunE: func(_ *cobra.Command, args []string) error {
			p, err := loadPeople(args[0])
			if err != nil {
				return err
			}
			selection, err := choice.of(p)
			if err != nil {
				return err
			}
			return describePeople(env.stdout, selection)
		},
	}
	choice.addFlags(c.Flags())
	return c
}

func newPeopleDraw(env *environment) *cobra.Command {
	o := &common{n: 1000, seed: seed(claim.DefaultOptions().Seed)}
	choice := &chosen{}
	c := &cobra.Command{
		Use: "draw <name or file>", Short: "Draw people and write their measurements", Args: cobra.ExactArgs(1),
		Long: `Draw people and write their measurements as CSV to standard output or, with --out, as
Parquet into people.parquet in a folder. The same seed draws the same people as a claim's.`,
		RunE: func(c *cobra.Command, args []string) error {
			p, err := loadPeople(args[0])
			if err != nil {
				return err
			}
			return runPeopleDraw(c.Context(), env, o, p, choice)
		},
	}
	f := c.Flags()
	f.Var(&o.n, "n", "people")
	f.Var(&o.seed, "seed", "seed of the random streams")
	f.Var(&o.workers, "workers", "goroutines; no result depends on it")
	choice.addFlags(f)
	f.Var(&o.out, "out", "folder for people.parquet instead of CSV on standard output")
	return c
}

func runPeopleDraw(ctx context.Context, env *environment, o *common, p *anthro.Population, choice *chosen) (failed error) {
	if err := o.check(); err != nil {
		return err
	}
	selection, err := choice.of(p)
	if err != nil {
		return err
	}
	drawn := anthro.NumMeasurements
	if p.HasAge() {
		drawn = anthro.NumVariables
	}
	columns := make([]table.Column, drawn)
	for m := range drawn {
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
		hashes, told := withOwn(datasets.Hashes(), p), map[string]any{"people": p.Name, "where": choice.where, "n": int(o.n)}
		for k, kind := range study.TargetKinds {
			if len(choice.targets[k]) > 0 {
				told[kind.Field] = choice.targets[k]
			}
		}
		stamp, err := provenance.NewStamp(told, uint64(o.seed), hashes, nil)
		if err != nil {
			return err
		}
		pairs, err := stamp.KeyValues()
		if err != nil {
			return err
		}
		w, err := table.Create(filepath.Join(out.path, "people.parquet"), columns, pairs)
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
		stream := montecarlo.NewStream(uint64(o.seed), scenario.Purpose(p.Name))
		sampler := selection.NewSampler()
		buffer := anthro.NewPeople(montecarlo.BlockRows)
		return func(block int, out *table.Block) error {
			people := buffer.Slice(0, montecarlo.Rows(n, block))
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
		return classify(err)
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
	_, err = io.WriteString(w, report.Folded(b.String()))
	return err
}
