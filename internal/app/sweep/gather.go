package sweep

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/app/output"
	"counterpoise/internal/provenance"
	"counterpoise/internal/study"
	"counterpoise/sim/assume"
	"counterpoise/sim/sweep"

	"github.com/spf13/cobra"
)

func GatherCommand(env *console.Environment) *cobra.Command {
	o := &SweepOptions{Format: "parquet", Look: flags.DefaultLook()}
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

func runGather(c *cobra.Command, env *console.Environment, o *SweepOptions, folder string) error {
	if err := flags.CheckWorkers(o.Workers); err != nil {
		return err
	}
	if err := o.Look.Check(); err != nil {
		return err
	}
	kept := &parts{folder: filepath.Join(folder, PartsFolder), damaged: func(e *partError) error { return e }}
	if _, err := os.Stat(folder); err != nil {
		return console.Input(fmt.Errorf("%s: %w", folder, output.ReasonOf(err)))
	}
	tasks, err := KeptTasks(kept.folder)
	if err != nil {
		return console.Input(fmt.Errorf("%s: %w", kept.folder, output.ReasonOf(err)))
	}
	if len(tasks) == 0 {
		return console.Input(fmt.Errorf("%s: holds no parts of a sweep", folder))
	}
	about, err := readAbout(PartPath(kept.folder, tasks[0]))
	if err != nil {
		return err
	}
	s, err := StudyOf(&about.Stamp)
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
	bar := console.NewProgress(env.Stderr)
	err = finish(c.Context(), env, o, s, stamp, sweep.Options{Workers: int(o.Workers), Parts: kept,
		Progress: func(done, total int) { bar.Update("tasks", done, total) }}, kept)
	bar.Done()
	return classifySweep(err)
}

// StudyOf rebuilds a sweep from where an output of it comes from.
func StudyOf(stamp *provenance.Stamp) (*sweep.Study, error) {
	set, err := output.AssumptionsOf(stamp)
	if err != nil {
		return nil, err
	}
	s, err := study.SweepOf(stamp.Study)
	if err != nil {
		return nil, fmt.Errorf("the study in it cannot be read: %w", err)
	}
	s.Seed, s.Base.Assumptions = stamp.Seed, assume.Uncertainty{Centre: set, Low: set, High: set}
	if err := s.Check(); err != nil {
		return nil, errors.Join(fmt.Errorf("the study in it is not in order"), err)
	}
	return s, nil
}
