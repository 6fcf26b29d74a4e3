// Package claim is the study of a rule of thumb: the commands that list, show and test
// claims, and the files that a test leaves behind. What is said of a result is in its
// package said, what is drawn of it in drawn.
package claim

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"counterpoise/internal/app/claim/drawn"
	"counterpoise/internal/app/claim/said"
	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/app/output"
	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/names"

	"github.com/spf13/cobra"
)

func Command(env *console.Environment) *cobra.Command {
	return console.NewGroup("claim", "List, show and test claims: rules of thumb made testable",
		"A claim is a saying with a hold, people, a change or contrast, a quantity, the direction in\n"+
			"which it is said to move, and the size that the saying promises, if any. The smallest effect that\n"+
			"matters is the quantity's default, unless the claim states its own, with a reason.",
		newClaimList(env), newClaimShow(env), newClaimTest(env))
}

func newClaimList(env *console.Environment) *cobra.Command {
	return console.NewList(env, "List the shipped claims", "List the shipped claims with their sentences.", study.ClaimNames(), func(name string) (string, error) {
		c, err := study.ShippedClaim(name)
		if err != nil {
			return "", err
		}
		return fmt.Sprintf("%-26s %s", name, c.Says), nil
	})
}

func newClaimShow(env *console.Environment) *cobra.Command {
	return &cobra.Command{
		Use: "show <name>", Short: "Print a shipped claim as the file it is", Args: cobra.ExactArgs(1),
		Long: "Print a shipped claim as YAML, a starting point for a claim of your own:\n\n" +
			"  counterpoise claim show longer-arms > mine.yaml\n  counterpoise claim test mine.yaml\n\n" + changesHelp(),
		RunE: func(_ *cobra.Command, args []string) error {
			text, err := study.ClaimText(args[0])
			if err != nil {
				return console.Input(err)
			}
			_, err = env.Stdout.Write(text)
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

func newClaimTest(env *console.Environment) *cobra.Command {
	o := NewClaimOptions()
	c := &cobra.Command{
		Use: "test <name or file>...", Short: "Test claims over drawn bodies and give their verdicts", Args: cobra.ArbitraryArgs,
		Long: `Test a shipped claim by its name, or a file with a dot or slash in its path.

Draws people and what nobody has measured, holds people up before and after the change, and says
whether the claim is supported, contradicted, without a difference that matters, or what it
depends on. The verdict goes to standard output, progress to standard error. With --out, a
folder gets draws.parquet, a row for each draw of what nobody has measured, from which the verdict
and every number of the headline follow; bodies.parquet, everybody held up at the central
assumptions; summary.json; the charts; story-….png and the like, one picture to share in four
sizes; and evidence.html: a page that says it all and needs nothing else.

With --for-whom the claim is judged for soldiers, the public, athletes and everybody else
shipped, each on its own, and a table and a sentence say whether the verdict depends on the people.

Several claims, or --all of those shipped, give an overview, sorted by hold. With --out each
has a folder of its own name (with bodies.parquet only where --bodies asks for it), beside
library.html, library.json and a chart of them all.

` + changesHelp(),
		RunE: func(c *cobra.Command, args []string) error {
			if !c.Flags().Changed("for-whom") {
				o.whom = o.all || len(args) > 1
			}
			return runClaimTests(c.Context(), env, o, args)
		},
	}
	f := c.Flags()
	f.BoolVar(&o.all, "all", false, "test every shipped claim")
	f.BoolVar(&o.whom, "for-whom", false, "judge the claim for every shipped population as well, each on its own, and say whether the verdict depends on the people; on with several claims")
	flags.AddFull(f, &o.full)
	f.BoolVar(&o.bodies, "bodies", false, "with several claims, write the table of bodies of each too")
	f.Var(&o.N, "n", "bodies at the central assumptions, behind details and the table")
	f.Var(&o.People, "people", "populations, or files of your own people, instead of the claim's own")
	o.AddModelFlags(f)
	f.Var(&o.Draws, "assumption-draws", "draws of what nobody has measured that decide; they double while too close to call; 0 for none")
	o.AddRunFlags(c, "the table of bodies, the summary, the charts and the page")
	o.Look.AddStoryFlags(c)
	return c
}

// claimOptions are the options of claim test.
type claimOptions struct {
	flags.Common
	all    bool // test every shipped claim
	whom   bool // judge the claim for all shipped populations, each by itself
	bodies bool // write the bodies of each of several claims
	full   bool // print everything
}

// check reports what the flags' own types do not see.
func (o *claimOptions) check() error {
	if err := o.Common.Check(); err != nil {
		return err
	}
	if o.Draws > 0 && o.Draws < claim.LeastDraws {
		return console.Input(fmt.Errorf("--assumption-draws: found %d, allowed: %d and more, or 0 for none", o.Draws, claim.LeastDraws))
	}
	return o.Look.Check()
}

func NewClaimOptions() *claimOptions {
	o := &claimOptions{Common: flags.Common{Look: flags.DefaultLook()}}
	defaults := claim.DefaultOptions()
	o.N, o.Draws, o.Seed = flags.Count(defaults.N), flags.Count(defaults.Draws), flags.Seed(defaults.Seed)
	return o
}

// write writes a result: its first screen, or everything.
func (o *claimOptions) write(w io.Writer, r *outcome.Result) error {
	if o.full {
		return said.Text(w, r)
	}
	return said.First(w, r)
}

// Tested is a claim with what came out.
type Tested struct {
	Options claim.Options
	Result  *outcome.Result
	stamp   provenance.Stamp
	Summary []byte // as JSON
}

// runClaimTests tests the named claims, one for itself and several as a library.
func runClaimTests(ctx context.Context, env *console.Environment, o *claimOptions, names []string) error {
	switch {
	case o.all && len(names) > 0:
		return console.Input(errors.New("--all tests every shipped claim: leave the names out"))
	case o.all:
		names = study.ClaimNames()
	case len(names) == 0:
		return console.Input(errors.New("a claim's name or file is needed, or --all"))
	}
	if err := o.check(); err != nil {
		return err
	}
	if err := o.ResolveAssumptions(); err != nil {
		return err
	}
	claims := make([]*claim.Claim, len(names))
	for i, name := range names {
		c, err := findClaim(name)
		if err != nil {
			return console.Input(err)
		}
		if err := o.Override(c); err != nil {
			return err
		}
		claims[i] = c
	}
	if len(claims) > 1 {
		return runLibrary(ctx, env, o, names, claims)
	}
	return runClaimTest(ctx, env, o, claims[0])
}

// runClaimTest tests one claim and tells of it.
func runClaimTest(ctx context.Context, env *console.Environment, o *claimOptions, c *claim.Claim) (failed error) {
	out, err := output.Open(o.Out)
	if err != nil {
		return err
	}
	defer out.ForgetAfter(&failed)
	bar := console.NewProgress(env.Stderr)
	t, err := o.Test(ctx, c, string(o.Out), out != nil, bar.Update)
	bar.Done()
	if err != nil {
		return err
	}
	files := func(folder string) error {
		return errors.Join(t.WriteDraws(filepath.Join(folder, DrawsFile)), t.writeBeside(env, o.Look, folder, ""))
	}
	err = output.Publish(env, out, o.Json, "summary.json", t.Summary, files, func(w io.Writer) error { return o.write(w, t.Result) })
	if err != nil {
		return err
	}
	return Undecided(t.Result.Verdict)
}

// Test tests a claim, with the table of its bodies in a folder where it is asked for.
func (o *claimOptions) Test(ctx context.Context, c *claim.Claim, folder string, bodies bool, progress func(stage string, done, total int)) (*Tested, error) {
	t := &Tested{Options: claim.Options{
		N: int(o.N), Seed: uint64(o.Seed), Workers: int(o.Workers), Draws: int(o.Draws), Progress: progress,
	}}
	if o.whom {
		t.Options.Others = anthro.Names()
	}
	if bodies {
		t.Options.Open = func(layout claim.Layout, rows int) (claim.Sink, error) {
			stamp, err := StampOf(c, t.Options, rows)
			if err != nil {
				return nil, err
			}
			return output.NewTableSink(filepath.Join(folder, "bodies.parquet"), layout, stamp)
		}
	}
	var err error
	if t.Result, err = outcome.Test(ctx, c, t.Options); err != nil {
		return nil, console.Classify(err)
	}
	return t, t.Summarise()
}

// Summarise stamps a result and writes its summary as JSON.
func (t *Tested) Summarise() error {
	var err error
	if t.stamp, err = StampOf(t.Result.Claim, t.Options, t.Result.N); err != nil {
		return err
	}
	t.Summary, err = output.Indented(said.Summarise(t.Result, t.stamp))
	return err
}

// DrawsFile is the table of a claim's draws in its folder.
const DrawsFile = "draws.parquet"

// WriteDraws writes the table of the draws.
func (t *Tested) WriteDraws(path string) error {
	layout, rows := t.Result.DrawTable()
	sink, err := output.NewTableSink(path, layout, t.stamp)
	if err != nil {
		return err
	}
	if err := sink.Write(rows); err != nil {
		sink.Abort()
		return err
	}
	return sink.Commit()
}

// Undecided is an error that says so where more draws, or a posture that people can take,
// would be needed for a verdict.
func Undecided(v claim.Verdict) error {
	switch v {
	case claim.OpenSampling:
		return console.ErrFewDraws
	case claim.NobodyHolds:
		return console.ErrNobodyDoes
	}
	return nil
}

// writeBeside writes what stands beside the summary of a claim into its folder: the
// charts and the page; library is the relative address of the page that lists it, or
// empty.
func (t *Tested) writeBeside(env *console.Environment, l flags.Look, folder, library string) error {
	figures, err := drawn.Figures(t.Result)
	if err != nil {
		return err
	}
	if err := output.Draw(env, l, output.PlacedIn(folder, figures)); err != nil {
		return err
	}
	if err := drawStory(env, l, folder, t.Result, figures); err != nil {
		return err
	}
	language, err := l.ResolveLanguage()
	if err != nil {
		return err
	}
	return t.WritePage(folder, library, language)
}

// StampOf says where a result comes from, in full.
func StampOf(c *claim.Claim, o claim.Options, n int) (provenance.Stamp, error) {
	var own []*anthro.Population
	for _, p := range c.People {
		own = append(own, p.Own)
	}
	return output.NewStamp(resolvedClaim{study.StoreClaim(c), c.Demand.String(), n, o.Draws, output.RangesOf(c.Assumed()), o.Others}, o.Seed, c.Assumed().Centre, own...)
}

// resolvedClaim is the study of a claim as its outputs carry it.
type resolvedClaim struct {
	Claim     *study.StoredClaim    `json:"claim"`
	Quantity  string                `json:"quantity"`
	N         int                   `json:"n"`
	Draws     int                   `json:"assumption_draws"`
	Uncertain map[string][2]float64 `json:"assumption_ranges"`
	Others    []string              `json:"for_whom,omitempty"`
}

// changesHelp lists what a claim can change, for a help.
func changesHelp() string {
	var b strings.Builder
	b.WriteString("A change, as in change: {arm_length: +10 cm}, is of the body:\n\n")
	for t := range body.NumChanges {
		fmt.Fprintf(&b, "  %-17s %s\n", t, t.Info().Meaning)
	}
	fmt.Fprintf(&b, "\nor it is one of %s. Mass is put on or taken off %s.", strings.Join(study.OtherChanges(), ", "), words.Or(names.All(body.NumRegions)))
	return b.String()
}
