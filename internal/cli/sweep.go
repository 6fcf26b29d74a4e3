package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"counterpoise/internal/provenance"
	"counterpoise/internal/report"
	"counterpoise/internal/study"
	"counterpoise/sim/scenario"
	"counterpoise/sim/sweep"

	"github.com/spf13/cobra"
)

// sweepOptions are the flags of sweep and gather.
type sweepOptions struct {
	n, workers count
	seed       seed
	out        path
	shard      shard
	format     tableFormat
	json       bool
	look       look
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

func newSweep(env *environment) *cobra.Command {
	o := &sweepOptions{format: "parquet", look: defaultLook()}
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
	f.Var(&o.out, "out", "folder for the table, the summary and the charts")
	return c
}

func (o *sweepOptions) addFlags(c *cobra.Command) {
	f := c.Flags()
	addWorkers(f, &o.workers)
	f.Var(&o.format, "format", "of the tables: "+strings.Join(tableFormats, ", "))
	o.look.addFlags(c)
	f.BoolVar(&o.json, "json", false, "print the summary as one JSON object")
}

func runSweep(c *cobra.Command, env *environment, o *sweepOptions, file string) (failed error) {
	if err := checkWorkers(o.workers); err != nil {
		return err
	}
	if err := o.look.check(); err != nil {
		return err
	}
	s, err := study.LoadSweep(file)
	if err != nil {
		var path *os.PathError
		if errors.As(err, &path) {
			err = fmt.Errorf("%s: %w", file, path.Err)
		}
		return input(err)
	}
	if c.Flags().Changed("n") {
		if s.N = int(o.n); s.N < 1 {
			return input(fmt.Errorf("--n: found %d, allowed: 1 to %d", s.N, sweep.MostBodies))
		}
	}
	if c.Flags().Changed("seed") {
		s.Seed = uint64(o.seed)
	}
	if err := s.Check(); err != nil {
		return input(err)
	}
	if o.shard.of > 0 && o.out == "" {
		return input(errors.New("--shard: the parts need a folder that all shards share, name it with --out"))
	}
	out, err := openOut(o.out)
	if err != nil {
		return err
	}
	defer out.forgetAfter(&failed)
	return sweepInto(c.Context(), env, o, s, out)
}

// sweepInto runs a sweep, or a shard of it, with its files in a folder; nil for
// none.
func sweepInto(ctx context.Context, env *environment, o *sweepOptions, s *sweep.Study, out *outFolder) error {
	stamp, err := sweepStamp(s)
	if err != nil {
		return err
	}
	options := sweep.Options{Workers: int(o.workers)}
	var kept *parts
	if out != nil {
		kept = &parts{folder: filepath.Join(out.path, partsFolder), about: partAbout{Tasks: s.Tasks(), Stamp: stamp}, own: ownOf(s)}
		kept.damaged = func(e *partError) error {
			fmt.Fprintf(env.stderr, "counterpoise: %v; it is computed again\n", e)
			return nil
		}
		if err := kept.open(); err != nil {
			return err
		}
		defer os.Remove(kept.folder) // where nothing was kept
		options.Parts = kept
	}
	bar := newProgress(env.stderr)
	options.Progress = func(done, total int) { bar.update("tasks", done, total) }
	if o.shard.of > 0 {
		if err := kept.saveOwn(); err != nil {
			return err
		}
		from, to := s.Shard(o.shard.number, o.shard.of)
		err := sweep.Keep(ctx, s, options, from, to)
		bar.done()
		if err != nil {
			return classifySweep(err)
		}
		_, err = fmt.Fprintf(env.stdout, "shard %v: tasks %s of %d are in %s\n", &o.shard, tasksText(from, to), s.Tasks(), kept.folder)
		return err
	}
	err = finish(ctx, env, o, s, stamp, options, kept)
	bar.done()
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

// finish merges all tasks and writes the files and the text. Files are made beside
// the parts, and take their places when all of them are complete; then the parts
// are removed.
func finish(ctx context.Context, env *environment, o *sweepOptions, s *sweep.Study, stamp provenance.Stamp, options sweep.Options, kept *parts) error {
	collected := report.NewSweep(s)
	var files *staging
	var sums *sweepTable
	var bodies *bodiesTable
	if kept != nil {
		var err error
		if files, err = newStaging(filepath.Join(kept.folder, "finished")); err != nil {
			return err
		}
		defer files.remove()
		if sums, err = newSweepTable(s, o.format, files.path("sweep."+string(o.format)), stamp); err != nil {
			return err
		}
		defer sums.sink.Abort()
		if s.Bodies {
			if bodies, err = newBodiesTable(s, o.format, files.path("bodies."+string(o.format)), stamp); err != nil {
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
	summary, err := indented(collected.Summary(stamp))
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
		if err := drawCharts(env, o.look, placedIn(files.folder, collected.Figures())); err != nil {
			return err
		}
		if err := provenance.WriteFile(files.path("summary.json"), summary); err != nil {
			return err
		}
		if err := files.place(filepath.Dir(kept.folder)); err != nil {
			return err
		}
		if err := kept.remove(); err != nil {
			return err
		}
	}
	if o.json {
		_, err = env.stdout.Write(summary)
		return err
	}
	return collected.Text(env.stdout)
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
	return newStamp(study.StoreSweep(s), s.Seed, s.Base.Assumed().Centre, ownOf(s)...)
}

// classifySweep marks the errors of a sweep that the user can mend.
func classifySweep(err error) error {
	var part *partError
	if errors.As(err, &part) {
		return input(part)
	}
	return classify(err)
}
