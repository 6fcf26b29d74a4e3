package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/internal/report"
	"counterpoise/internal/study"
	"counterpoise/sim/anthro"
	"counterpoise/sim/claim"
	"counterpoise/sim/fault"

	"github.com/spf13/cobra"
)

func newClaim(env *environment) *cobra.Command {
	return newGroup("claim", "List, show and test claims: rules of thumb made testable",
		"A claim is a saying with a hold, people, a change or contrast, a quantity, the direction in\n"+
			"which it is said to move, and the size that the saying promises, if any. The smallest effect that\n"+
			"matters is the quantity's default, unless the claim states its own, with a reason.",
		newClaimList(env), newClaimShow(env), newClaimTest(env))
}

func newClaimList(env *environment) *cobra.Command {
	return newList(env, "List the shipped claims", "List the shipped claims with their sentences.", study.ClaimNames(), func(name string) (string, error) {
		c, err := study.ShippedClaim(name)
		if err != nil {
			return "", err
		}
		return fmt.Sprintf("%-26s %s", name, c.Says), nil
	})
}

func newClaimShow(env *environment) *cobra.Command {
	return &cobra.Command{
		Use: "show <name>", Short: "Print a shipped claim as the file it is", Args: cobra.ExactArgs(1),
		Long: "Print a shipped claim as YAML, a starting point for a claim of your own:\n\n" +
			"  counterpoise claim show longer-arms > mine.yaml\n  counterpoise claim test mine.yaml\n\n" + changesHelp(),
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
	o := newClaimOptions()
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
	addFull(f, &o.full)
	f.BoolVar(&o.bodies, "bodies", false, "with several claims, write the table of bodies of each too")
	f.Var(&o.n, "n", "bodies at the central assumptions, behind details and the table")
	f.Var(&o.people, "people", "populations, or files of your own people, instead of the claim's own")
	o.addModelFlags(f)
	f.Var(&o.draws, "assumption-draws", "draws of what nobody has measured that decide; they double while too close to call; 0 for none")
	o.addRunFlags(c, "the table of bodies, the summary, the charts and the page")
	o.look.addStoryFlags(c)
	return c
}

// claimOptions are the options of claim test.
type claimOptions struct {
	common
	all    bool // test every shipped claim
	whom   bool // judge the claim for all shipped populations, each by itself
	bodies bool // write the bodies of each of several claims
	full   bool // print everything
}

// check reports what the flags' own types do not see.
func (o *claimOptions) check() error {
	if err := o.common.check(); err != nil {
		return err
	}
	if o.draws > 0 && o.draws < claim.LeastDraws {
		return input(fmt.Errorf("--assumption-draws: found %d, allowed: %d and more, or 0 for none", o.draws, claim.LeastDraws))
	}
	return o.look.check()
}

func newClaimOptions() *claimOptions {
	o := &claimOptions{common: common{look: defaultLook()}}
	defaults := claim.DefaultOptions()
	o.n, o.draws, o.seed = count(defaults.N), count(defaults.Draws), seed(defaults.Seed)
	return o
}

// write writes a result: its first screen, or everything.
func (o *claimOptions) write(w io.Writer, r *outcome.Result) error {
	if o.full {
		return report.Text(w, r)
	}
	return report.First(w, r)
}

// tested is a claim with what came out.
type tested struct {
	options claim.Options
	result  *outcome.Result
	stamp   provenance.Stamp
	summary []byte // as JSON
}

// runClaimTests tests the named claims, one for itself and several as a library.
func runClaimTests(ctx context.Context, env *environment, o *claimOptions, names []string) error {
	switch {
	case o.all && len(names) > 0:
		return input(errors.New("--all tests every shipped claim: leave the names out"))
	case o.all:
		names = study.ClaimNames()
	case len(names) == 0:
		return input(errors.New("a claim's name or file is needed, or --all"))
	}
	if err := o.check(); err != nil {
		return err
	}
	if err := o.resolveAssumptions(); err != nil {
		return err
	}
	claims := make([]*claim.Claim, len(names))
	for i, name := range names {
		c, err := findClaim(name)
		if err != nil {
			return input(err)
		}
		if err := o.override(c); err != nil {
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
func runClaimTest(ctx context.Context, env *environment, o *claimOptions, c *claim.Claim) (failed error) {
	out, err := o.out.open()
	if err != nil {
		return err
	}
	defer out.forgetAfter(&failed)
	bar := newProgress(env.stderr)
	t, err := o.test(ctx, c, string(o.out), out != nil, bar.update)
	bar.done()
	if err != nil {
		return err
	}
	files := func(folder string) error {
		return errors.Join(t.writeDraws(filepath.Join(folder, drawsFile)), t.writeBeside(env, o.look, folder, ""))
	}
	err = o.publish(env, out, "summary.json", t.summary, files, func(w io.Writer) error { return o.write(w, t.result) })
	if err != nil {
		return err
	}
	return undecided(t.result.Verdict)
}

// test tests a claim, with the table of its bodies in a folder where it is asked for.
func (o *claimOptions) test(ctx context.Context, c *claim.Claim, folder string, bodies bool, progress func(stage string, done, total int)) (*tested, error) {
	t := &tested{options: claim.Options{
		N: int(o.n), Seed: uint64(o.seed), Workers: int(o.workers), Draws: int(o.draws), Progress: progress,
	}}
	if o.whom {
		t.options.Others = anthro.Names()
	}
	if bodies {
		t.options.Open = func(layout claim.Layout, rows int) (claim.Sink, error) {
			stamp, err := stampOf(c, t.options, rows)
			if err != nil {
				return nil, err
			}
			return newTableSink(filepath.Join(folder, "bodies.parquet"), layout, stamp)
		}
	}
	var err error
	if t.result, err = outcome.Test(ctx, c, t.options); err != nil {
		return nil, classify(err)
	}
	return t, t.summarise()
}

// summarise stamps a result and writes its summary as JSON.
func (t *tested) summarise() error {
	var err error
	if t.stamp, err = stampOf(t.result.Claim, t.options, t.result.N); err != nil {
		return err
	}
	t.summary, err = indented(report.Summarise(t.result, t.stamp))
	return err
}

// drawsFile is the table of a claim's draws in its folder.
const drawsFile = "draws.parquet"

// writeDraws writes the table of the draws.
func (t *tested) writeDraws(path string) error {
	layout, rows := t.result.DrawTable()
	sink, err := newTableSink(path, layout, t.stamp)
	if err != nil {
		return err
	}
	if err := sink.Write(rows); err != nil {
		sink.Abort()
		return err
	}
	return sink.Commit()
}

// undecided is an error that says so where more draws, or a posture that people can take,
// would be needed for a verdict.
func undecided(v claim.Verdict) error {
	switch v {
	case claim.OpenSampling:
		return errFewDraws
	case claim.NobodyHolds:
		return errNobodyDoes
	}
	return nil
}

// writeBeside writes what stands beside the summary of a claim into its folder: the
// charts and the page; library is the relative address of the page that lists it, or
// empty.
func (t *tested) writeBeside(env *environment, l look, folder, library string) error {
	figures, err := report.Figures(t.result)
	if err != nil {
		return err
	}
	if err := l.draw(env, placedIn(folder, figures)); err != nil {
		return err
	}
	if err := l.drawStory(env, folder, t.result, figures); err != nil {
		return err
	}
	language, err := l.resolveLanguage()
	if err != nil {
		return err
	}
	return t.writePage(folder, library, language)
}

// classify marks the errors of a test that the user can mend, and leaves out
// of them at which block of bodies they came up.
func classify(err error) error {
	var field *fault.Error
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
	var own []*anthro.Population
	for _, p := range c.People {
		own = append(own, p.Own)
	}
	return newStamp(resolvedClaim{study.StoreClaim(c), c.Demand.String(), n, o.Draws, rangesOf(c.Assumed()), o.Others}, o.Seed, c.Assumed().Centre, own...)
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
