// Package claim is the study of a rule of thumb: the commands that list, show and test
// claims, and the files that a test leaves behind. What is said of a result is in its
// package said, what is drawn of it in drawn.
package claim

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"counterpoise/internal/app/claim/drawn"
	"counterpoise/internal/app/claim/evidence"
	"counterpoise/internal/app/claim/said"
	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/app/output"
	"counterpoise/internal/app/tables"
	"counterpoise/internal/provenance"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/columns"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"

	"github.com/spf13/cobra"
)

// Command is the command claim.
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
			return env.Print(study.ClaimText(args[0]))
		},
	}
}

// findClaim reads a shipped claim by its name or a file by its path.
func findClaim(name string) (*claim.Claim, error) {
	if !strings.ContainsAny(name, `/\.`) {
		return study.ShippedClaim(name)
	}
	return study.LoadClaim(name)
}

func newClaimTest(env *console.Environment) *cobra.Command {
	o := newClaimOptions()
	c := &cobra.Command{
		Use: "test <name, file or folder>...", Short: "Test claims over drawn bodies and give their verdicts", Args: cobra.ArbitraryArgs,
		Long: `Test a shipped claim by its name, or a file with a dot or slash in its path, or all files
in such a folder.

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
library.html, library.json and a chart of them all. A run that was stopped goes on where it was
when it is started again.

` + changesHelp(),
		RunE: func(c *cobra.Command, args []string) error {
			if !c.Flags().Changed("for-whom") {
				o.whom = o.all || len(args) > 1
			}
			s, err := o.resolve(args)
			if err != nil {
				return err
			}
			return s.Run(c.Context(), env, &o.Shown)
		},
	}
	f := c.Flags()
	f.BoolVar(&o.all, "all", false, "test every shipped claim")
	f.BoolVar(&o.whom, "for-whom", false, "judge the claim for every shipped population as well, each on its own, and say whether the verdict depends on the people; on with several claims")
	flags.AddFull(f, &o.Full)
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
}

// check reports what the flags' own types do not see.
func (o *claimOptions) check() error {
	if err := o.Common.Check(); err != nil {
		return err
	}
	if o.Draws > 0 && o.Draws < claim.LeastDraws {
		return console.Input(fmt.Errorf("--assumption-draws: found %d, allowed: %d and more, or 0 for none", o.Draws, claim.LeastDraws))
	}
	if o.Out == "" {
		for _, flag := range []struct {
			name  string
			given bool
		}{{"language", o.Look.Language != words.English.String()}, {"evidence-at", o.Look.Address != ""}, {"bodies", o.bodies}} {
			if flag.given {
				return console.Input(fmt.Errorf("--%s: it is for --out, of whose files it tells", flag.name))
			}
		}
	}
	return o.Look.Check()
}

// newClaimOptions are those options with their defaults.
func newClaimOptions() *claimOptions {
	o := &claimOptions{Common: flags.Common{Shown: flags.Shown{Look: flags.DefaultLook()}}}
	defaults := claim.DefaultOptions()
	o.N, o.Draws, o.Seed = flags.Count(defaults.N), flags.Count(defaults.Draws), flags.Seed(defaults.Seed)
	return o
}

// Study is claims and how each is tested.
type Study struct {
	tests  []test
	bodies bool // with several claims, the table of bodies of each is written too
}

// test is one claim of a study.
type test struct {
	evidence.Test
	called string // by whoever asked
}

// resolve finds the named claims, and says how they are tested.
func (o *claimOptions) resolve(names []string) (*Study, error) {
	switch {
	case o.all && len(names) > 0:
		return nil, console.Input(errors.New("--all tests every shipped claim: leave the names out"))
	case o.all:
		names = study.ClaimNames()
	case len(names) == 0:
		return nil, console.Input(errors.New("a claim's name or file is needed, or --all"))
	}
	if err := o.check(); err != nil {
		return nil, err
	}
	names, err := withFolders(names)
	if err != nil {
		return nil, err
	}
	with := claim.Options{N: int(o.N), Seed: uint64(o.Seed), Draws: int(o.Draws)}
	if o.whom {
		with.Others = anthro.Names()
	}
	s := &Study{bodies: o.bodies}
	var holds []*hold.Hold
	for _, name := range names {
		c, err := findClaim(name)
		if err != nil {
			return nil, console.Input(err)
		}
		if holds = append(holds, c.Hold); c.Change != nil && c.Change.Hold != nil {
			holds = append(holds, c.Change.Hold)
		}
		s.tests = append(s.tests, test{evidence.Test{Claim: c, Options: with}, name})
	}
	if err := o.ResolveAssumptions(holds...); err != nil {
		return nil, err
	}
	for i := range s.tests {
		if err := o.Override(s.tests[i].Claim); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// withFolders puts the files of claims in a folder in its place.
func withFolders(names []string) ([]string, error) {
	var all []string
	for _, name := range names {
		if info, err := os.Stat(name); err != nil || !info.IsDir() || !strings.ContainsAny(name, `/\.`) {
			all = append(all, name)
			continue
		}
		entries, err := os.ReadDir(name)
		if err != nil {
			return nil, err
		}
		before := len(all)
		for _, e := range entries {
			if ending := filepath.Ext(e.Name()); e.Type().IsRegular() && (ending == ".yaml" || ending == ".yml") {
				all = append(all, filepath.Join(name, e.Name()))
			}
		}
		if len(all) == before {
			return nil, console.Input(fmt.Errorf("%s: holds no file of a claim, whose name ends in .yaml", name))
		}
	}
	return all, nil
}

// Read rebuilds a study from where outputs of it come from, of several claims one of each.
func Read(stamps []provenance.Stamp, find *output.OwnFinder) (*Study, error) {
	s := &Study{}
	for i := range stamps {
		t, err := evidence.Read(&stamps[i], find)
		if err != nil {
			return nil, err
		}
		s.tests = append(s.tests, test{t, t.Claim.Name})
	}
	return s, nil
}

// Run tests the claims and tells of them, of several as a library.
func (s *Study) Run(ctx context.Context, env *console.Environment, as *flags.Shown) (failed error) {
	if len(s.tests) > 1 {
		return s.runLibrary(ctx, env, as)
	}
	out, err := output.Open(as.Out)
	if err != nil {
		return err
	}
	defer out.Close()
	bar := console.NewProgress(env.Stderr)
	made := "" // where the files are made
	if out != nil {
		made = out.Path
	}
	t, err := s.tests[0].run(ctx, as, made, bar.Update)
	bar.Done()
	if err != nil {
		return err
	}
	files := func(folder string) error {
		if err := writeDraws(t, folder); err != nil {
			return err
		}
		return writeBeside(t, env, as.Look, folder)
	}
	err = output.Publish(env, out, t.Stamp, as.JSON, summaryFile, t.Summary, files, func(w io.Writer) error {
		if as.Full {
			return said.Text(w, t.Result)
		}
		return said.First(w, t.Result)
	})
	return cmp.Or(err, undecided(t.Result.Verdict))
}

// run tests a claim, with the table of its bodies in a folder if one is named.
func (t test) run(ctx context.Context, as *flags.Shown, folder string, progress func(stage string, done, total int)) (*evidence.Tested, error) {
	running := t.Test
	running.Options.Workers, running.Options.Progress = int(as.Workers), progress
	if folder != "" {
		running.Options.Open = func(layout columns.Layout, rows int) (columns.Sink, error) {
			stamp, err := t.StampOf(t.Claim, rows)
			if err != nil {
				return nil, err
			}
			return tables.NewSink(filepath.Join(folder, "bodies.parquet"), layout, stamp)
		}
	}
	done, err := running.Run(ctx)
	if err != nil {
		if placed := study.Placed(t.called, err); placed != err {
			return nil, console.Input(placed)
		}
		return nil, console.Classify(err)
	}
	done.Test = t.Test
	return done, nil
}

// Evidence tests a shipped claim and returns its page, as a page of the address above lists it.
func Evidence(ctx context.Context, name, above string) ([]byte, error) {
	o := newClaimOptions()
	s, err := o.resolve([]string{name})
	if err != nil {
		return nil, err
	}
	t, err := s.tests[0].run(ctx, &o.Shown, "", nil)
	if err != nil {
		return nil, err
	}
	return t.Page(above, words.English)
}

// Names of a claim's files.
const (
	DrawsFile   = "draws.parquet" // the table of its draws
	summaryFile = "summary.json"
)

// writeDraws writes the table of the draws into a folder.
func writeDraws(t *evidence.Tested, folder string) error {
	layout, rows := t.Result.DrawTable()
	sink, err := tables.NewSink(filepath.Join(folder, DrawsFile), layout, t.Stamp)
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
		return console.ErrFewDraws
	case claim.NobodyHolds:
		return console.ErrNobodyDoes
	}
	return nil
}

// writeBeside writes what stands beside the summary of a claim into its folder: the
// charts and the page.
func writeBeside(t *evidence.Tested, env *console.Environment, l flags.Look, folder string) error {
	figures, err := drawn.Figures(t.Result)
	if err != nil {
		return err
	}
	if err := output.Draw(env, l, output.PlacedIn(folder, figures)); err != nil {
		return err
	}
	if err := drawStory(env, l, folder, t.Result, &t.Stamp, figures); err != nil {
		return err
	}
	language, err := l.ResolveLanguage()
	if err != nil {
		return err
	}
	text, err := t.Page(l.Above, language)
	if err != nil {
		return err
	}
	return provenance.WriteFile(filepath.Join(folder, flags.EvidencePage), text)
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
