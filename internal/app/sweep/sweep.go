// Package sweep is the study of a grid or a design: the commands sweep and gather, the parts
// that are kept, tables, charts, text and summary.
package sweep

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/app/output"
	"counterpoise/internal/provenance"
	"counterpoise/internal/stored"
	"counterpoise/internal/study"
	"counterpoise/sim/anthro"
	"counterpoise/sim/scenario"
	"counterpoise/sim/sweep"

	"github.com/spf13/cobra"
)

// GatherCommand is the command gather.
func GatherCommand(env *console.Environment) *cobra.Command {
	o := &options{format: defaultFormat, Shown: flags.Shown{Look: flags.DefaultLook()}}
	c := &cobra.Command{
		Use: "gather <folder>", Short: "Make the files of a sweep out of the parts of its shards", Args: cobra.ExactArgs(1),
		Long: `Make the table, the summary and the charts of a sweep out of the parts that its shards
kept in a folder. All parts must be there and belong to one study: the same axes, seed, data
and code. The files are the same bytes as those of a run on one machine.

  counterpoise sweep my.yaml --out results --shard 1/2
  counterpoise sweep my.yaml --out results --shard 2/2
  counterpoise gather results`,
		RunE: func(c *cobra.Command, args []string) error {
			return runGather(c, env, o, args[0])
		},
	}
	o.addFlags(c)
	return c
}

func runGather(c *cobra.Command, env *console.Environment, o *options, folder string) error {
	if err := flags.CheckWorkers(o.Workers); err != nil {
		return err
	}
	if err := o.Look.Check(); err != nil {
		return err
	}
	kept := &parts{folder: filepath.Join(folder, PartsFolder), damaged: func(e *partError) error { return e }}
	if _, err := os.Stat(folder); err != nil {
		return console.Input(fmt.Errorf("%s: %w", folder, provenance.ReasonOf(err)))
	}
	tasks, err := KeptTasks(kept.folder)
	if err != nil {
		return console.Input(fmt.Errorf("%s: %w", kept.folder, provenance.ReasonOf(err)))
	}
	if len(tasks) == 0 {
		return console.Input(fmt.Errorf("%s: holds no parts of a sweep", folder))
	}
	about, err := readAbout(PartPath(kept.folder, tasks[0]))
	if err != nil {
		return err
	}
	s, err := studyOf(&about.Stamp)
	if err != nil {
		return console.Input(fmt.Errorf("%s: %w", folder, err))
	}
	own := &output.OwnFinder{Folders: []string{kept.folder}, Hashes: about.Stamp.Data, Hint: "; each shard puts it there"}
	if err := own.Sweep(s); err != nil {
		return console.Input(fmt.Errorf("%s: %w", kept.folder, err))
	}
	kept.own = ownOf(s)
	kept.about = partAbout{Tasks: s.Tasks(), Stamp: about.Stamp}
	for _, task := range tasks {
		other, err := readAbout(PartPath(kept.folder, task))
		if err != nil {
			return err
		}
		if provenance.FirstDifference(&other.Stamp, &about.Stamp, "there", "here") != "" || other.Tasks != about.Tasks || other.Task != task {
			e := kept.foreign(PartPath(kept.folder, task), other, task)
			return fmt.Errorf("%w; here means %s", e, filepath.Base(PartPath("", tasks[0])))
		}
	}
	if gaps := missing(tasks, s.Tasks()); gaps != "" {
		return console.Input(fmt.Errorf("%s: of %d tasks these are missing: %s; run their shards, what is there is not computed again", folder, s.Tasks(), gaps))
	}
	stamp, err := sweepStamp(s)
	if err != nil {
		return err
	}
	if reason := provenance.FirstDifference(&about.Stamp, &stamp, "in the parts", "in this program"); reason != "" {
		return console.Input(fmt.Errorf("%s: the parts cannot be gathered by this program: %s", folder, reason))
	}
	out, err := output.OpenFolder(folder)
	if err != nil {
		return err
	}
	defer out.Close()
	bar := console.NewProgress(env.Stderr)
	err = (&Study{s, shard{}, o.format}).finish(c.Context(), env, &o.Shown, stamp, sweep.Options{Workers: int(o.Workers), Parts: kept,
		Progress: func(done, total int) { bar.Update("tasks", done, total) }}, kept, out)
	bar.Done()
	return classifySweep(err)
}

// studyOf rebuilds a sweep from where an output of it comes from.
func studyOf(stamp *provenance.Stamp) (*sweep.Study, error) {
	s, err := stored.SweepOf(stamp.Study)
	if err != nil {
		return nil, fmt.Errorf("the study in it cannot be read: %w", err)
	}
	s.Seed = stamp.Seed
	if s.Base.Assumptions, err = output.Assumed(stamp, nil); err != nil {
		return nil, err
	}
	if err := s.Check(); err != nil {
		return nil, fmt.Errorf("the study in it is not in order: %w", err)
	}
	return s, nil
}

// axesHelp lists what a sweep can go along, for a help.
func axesHelp() string {
	list := slices.DeleteFunc(sweep.VariableNames(), func(name string) bool { return strings.HasPrefix(name, AssumptionAxis) })
	return fmt.Sprintf("Axes are %s; or %s and the name of an assumption (see data assumptions).", strings.Join(list, ", "), AssumptionAxis)
}

// AssumptionAxis begins the names of the axes that are assumptions.
const AssumptionAxis = "assume."

// ownOf lists people of one's own in a sweep, each once.
func ownOf(s *sweep.Study) []*anthro.Population {
	var own []*anthro.Population
	seen := map[string]bool{}
	for _, p := range peopleOf(s) {
		if p.Own != nil && !seen[p.Population] {
			seen[p.Population] = true
			own = append(own, p.Own)
		}
	}
	return own
}

// options are the flags of sweep and gather.
type options struct {
	flags.Shown
	n      flags.Count
	seed   flags.Seed
	shard  shard
	format tableFormat
}

// Study is a sweep, with the share of it that is computed and the format of its tables, which
// alter no result.
type Study struct {
	*sweep.Study
	shard  shard
	format tableFormat
}

// shard is a flag for a share of the work, as in 3/64; the zero value is all.
type shard struct{ number, of int }

func (s *shard) Type() string { return "shard" }
func (s *shard) String() string {
	if s.of == 0 {
		return ""
	}
	return fmt.Sprintf("%d/%d", s.number, s.of)
}

// mostShards bounds the number of shards: there are no more points.
const mostShards = sweep.MostPoints

func (s *shard) Set(text string) error {
	number, of, found := strings.Cut(text, "/")
	i, err := strconv.Atoi(number)
	n, errOf := strconv.Atoi(of)
	switch {
	case !found || err != nil || errOf != nil:
		return fmt.Errorf("%q is not a shard; write its number and how many there are, as in 3/64", text)
	case n < 1 || n > mostShards:
		return fmt.Errorf("%q: there may be 1 to %d shards", text, mostShards)
	case i < 1 || i > n:
		return fmt.Errorf("%q: shard %d is out of range, allowed: 1/%d to %d/%d", text, i, n, n, n)
	}
	*s = shard{i, n}
	return nil
}

// Command is the command sweep.
func Command(env *console.Environment) *cobra.Command {
	o := &options{format: defaultFormat, Shown: flags.Shown{Look: flags.DefaultLook()}}
	c := &cobra.Command{
		Use: "sweep <file>", Short: "Compute the demands of a hold on people over a range of settings", Args: cobra.ExactArgs(1),
		Long: `Compute a hold's demands on the same people at every point of a grid or a quasi-random
design over axes: changes of the body, postures, assumptions, people, models, holds.

  sweep: arms-by-shoulders
  hold: human-flag
  people: us-men
  model: equilibrium
  demands: [required_force, best_angle]
  axes:
    change.arm_length: -10 cm..10 cm by 2 cm
    change.shoulder_breadth: -4 cm..4 cm in 5 values

With --out, a folder gets the table (one row a point and statistic), summary.json and
charts. Finished parts of the work are kept in its folder "parts" until all is done: the
same command goes on after it was stopped or killed, and the files are the same bytes.

With --shard 3/64 only that share of the parts is computed and kept, on as many machines as
there are; "counterpoise gather" makes the files out of them.

` + axesHelp(),
		RunE: func(c *cobra.Command, args []string) error {
			return runSweep(c, env, o, args[0])
		},
	}
	f := c.Flags()
	f.Var(&o.n, "n", "bodies at every point, instead of the file's")
	f.Var(&o.seed, "seed", "seed of the random streams, instead of the file's")
	f.Var(&o.shard, "shard", "compute a share of the parts only, as in 3/64, the third of 64")
	o.addFlags(c)
	f.Var(&o.Out, "out", "folder for the table, the summary and the charts")
	return c
}

func (o *options) addFlags(c *cobra.Command) {
	f := c.Flags()
	flags.AddWorkers(f, &o.Workers)
	f.Var(&o.format, "format", "of the tables: "+strings.Join(TableFormats, ", "))
	o.Look.AddFlags(c)
	f.BoolVar(&o.JSON, "json", false, "print the summary as one JSON object")
}

func runSweep(c *cobra.Command, env *console.Environment, o *options, file string) error {
	if err := flags.CheckWorkers(o.Workers); err != nil {
		return err
	}
	if err := o.Look.Check(); err != nil {
		return err
	}
	s, err := study.LoadSweep(file)
	if err != nil {
		return console.Input(err)
	}
	if c.Flags().Changed("n") {
		if s.N = int(o.n); s.N < 1 {
			return console.Input(fmt.Errorf("--n: found %d, allowed: 1 to %d", s.N, sweep.MostBodies))
		}
	}
	if c.Flags().Changed("seed") {
		s.Seed = uint64(o.seed)
	}
	if err := s.Check(); err != nil {
		return console.Input(err)
	}
	if o.shard.of > 0 && o.Out == "" {
		return console.Input(errors.New("--shard: the parts need a folder that all shards share, name it with --out"))
	}
	return (&Study{s, o.shard, o.format}).Run(c.Context(), env, &o.Shown)
}

// Run computes the sweep, or its shard.
func (of *Study) Run(ctx context.Context, env *console.Environment, as *flags.Shown) error {
	if as.Out == "" {
		return of.into(ctx, env, as, nil)
	}
	open := output.OpenFolder
	if of.shard.of > 0 {
		open = output.OpenShared
	}
	out, err := open(string(as.Out))
	if err != nil {
		return err
	}
	defer out.Close()
	return of.into(ctx, env, as, out)
}

// Read rebuilds a study from where an output of it comes from.
func Read(stamp *provenance.Stamp, find *output.OwnFinder) (*Study, error) {
	s, err := studyOf(stamp)
	if err == nil {
		err = find.Sweep(s)
	}
	return &Study{s, shard{}, defaultFormat}, err
}

// into computes the sweep, with its files in a folder; nil for
// none.
func (of *Study) into(ctx context.Context, env *console.Environment, as *flags.Shown, out *output.Folder) error {
	s := of.Study
	stamp, err := sweepStamp(s)
	if err != nil {
		return err
	}
	options := sweep.Options{Workers: int(as.Workers)}
	var kept *parts
	if out != nil {
		kept = &parts{folder: filepath.Join(out.Name, PartsFolder), about: partAbout{Tasks: s.Tasks(), Stamp: stamp}, own: ownOf(s)}
		kept.damaged = func(e *partError) error {
			fmt.Fprintf(env.Stderr, "counterpoise: %v; it is computed again\n", e)
			return nil
		}
		if err := kept.open(); err != nil {
			return err
		}
		defer os.Remove(kept.folder) // where nothing was kept
		options.Parts = kept
	}
	bar := console.NewProgress(env.Stderr)
	options.Progress = func(done, total int) { bar.Update("tasks", done, total) }
	if of.shard.of > 0 {
		if err := kept.saveOwn(); err != nil {
			return err
		}
		from, to := s.Shard(of.shard.number, of.shard.of)
		err := sweep.Keep(ctx, s, options, from, to)
		bar.Done()
		if err != nil {
			return classifySweep(err)
		}
		_, err = fmt.Fprintf(env.Stdout, "shard %v: tasks %s of %d are in %s\n", &of.shard, tasksText(from, to), s.Tasks(), kept.folder)
		return err
	}
	err = of.finish(ctx, env, as, stamp, options, kept, out)
	bar.Done()
	return classifySweep(err)
}

// tasksText names the tasks from..to-1.
func tasksText(from, to int) string {
	switch to - from {
	case 0:
		return "none"
	case 1:
		return strconv.Itoa(from)
	}
	return fmt.Sprintf("%d-%d", from, to-1)
}

// finish merges all tasks and writes the files and the text; then the parts are
// removed.
func (of *Study) finish(ctx context.Context, env *console.Environment, as *flags.Shown, stamp provenance.Stamp, options sweep.Options, kept *parts, out *output.Folder) error {
	s := of.Study
	collected := NewSweep(s)
	var sums *sweepTable
	var bodies *bodiesTable
	if kept != nil {
		var err error
		if sums, err = newSweepTable(s, of.format, filepath.Join(out.Path, "sweep."+string(of.format)), stamp); err != nil {
			return err
		}
		defer sums.sink.Abort()
		if s.Bodies {
			if bodies, err = newBodiesTable(s, of.format, filepath.Join(out.Path, "bodies."+string(of.format)), stamp); err != nil {
				return err
			}
			defer bodies.sink.Abort()
			options.Bodies = bodies.add
		}
	}
	options.Point = func(p *sweep.Point) error {
		collected.Add(p)
		if sums == nil {
			return nil
		}
		return sums.add(p)
	}
	if err := sweep.Run(ctx, s, options); err != nil {
		return err
	}
	summary, err := output.Indented(collected.Summary(stamp))
	if err != nil {
		return err
	}
	if kept != nil {
		if err := sums.close(); err != nil {
			return err
		}
		if bodies != nil {
			if err := bodies.sink.Close(); err != nil {
				return err
			}
		}
		if err := output.Draw(env, as.Look, output.PlacedIn(out.Path, collected.Figures())); err != nil {
			return err
		}
		for _, title := range collected.quiet {
			fmt.Fprintf(env.Stderr, "counterpoise: a map is left out that would show nothing: %s\n", title)
		}
		if err := provenance.WriteFile(filepath.Join(out.Path, "summary.json"), summary); err != nil {
			return err
		}
		if err := out.Commit(stamp); err != nil {
			return err
		}
		if err := kept.remove(); err != nil {
			return err
		}
	}
	if as.JSON {
		_, err = env.Stdout.Write(summary)
		return err
	}
	return collected.Text(env.Stdout)
}

// peopleOf lists all people of a sweep.
func peopleOf(s *sweep.Study) []scenario.Group {
	people := slices.Clone(s.Base.People)
	for i := range s.Axes {
		people = append(people, s.Axes[i].People...)
	}
	return people
}

// sweepStamp says where a sweep comes from, in full.
func sweepStamp(s *sweep.Study) (provenance.Stamp, error) {
	return output.NewStamp(stored.StoreSweep(s), s.Seed, s.Base.Assumed().Centre, ownOf(s)...)
}

// classifySweep marks the errors of a sweep that the user can mend.
func classifySweep(err error) error {
	var part *partError
	if errors.As(err, &part) {
		return console.Input(part)
	}
	return console.Classify(err)
}
