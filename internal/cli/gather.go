package cli

import (
	"fmt"
	"os"
	"path/filepath"

	"counterpoise/internal/provenance"
	"counterpoise/internal/study"
	"counterpoise/sim/assume"
	"counterpoise/sim/sweep"

	"github.com/spf13/cobra"
)

func newGather(env *environment) *cobra.Command {
	o := &sweepOptions{format: "parquet", look: defaultLook()}
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

func runGather(c *cobra.Command, env *environment, o *sweepOptions, folder string) error {
	if err := checkWorkers(o.workers); err != nil {
		return err
	}
	if err := o.look.check(); err != nil {
		return err
	}
	kept := &parts{folder: filepath.Join(folder, partsFolder), damaged: func(e *partError) error { return e }}
	if _, err := os.Stat(folder); err != nil {
		return input(fmt.Errorf("%s: %w", folder, reasonOf(err)))
	}
	tasks, err := keptTasks(kept.folder)
	if err != nil {
		return input(fmt.Errorf("%s: %w", kept.folder, reasonOf(err)))
	}
	if len(tasks) == 0 {
		return input(fmt.Errorf("%s: holds no parts of a sweep", folder))
	}
	about, err := readAbout(partPath(kept.folder, tasks[0]))
	if err != nil {
		return err
	}
	s, err := studyOf(&about.Stamp)
	if err != nil {
		return input(fmt.Errorf("%s: %w", folder, err))
	}
	own := &ownFinder{folders: []string{kept.folder}, hashes: about.Stamp.Data, hint: "; each shard puts it there"}
	if err := own.sweep(s); err != nil {
		return input(fmt.Errorf("%s: %w", kept.folder, err))
	}
	kept.own = ownOf(s)
	kept.about = partAbout{Tasks: s.Tasks(), Stamp: about.Stamp}
	for _, task := range tasks {
		other, err := readAbout(partPath(kept.folder, task))
		if err != nil {
			return err
		}
		if firstDifference(&other.Stamp, &about.Stamp, "there", "here") != "" || other.Tasks != about.Tasks || other.Task != task {
			e := kept.foreign(partPath(kept.folder, task), other, task)
			return fmt.Errorf("%w; here means %s", e, filepath.Base(partPath("", tasks[0])))
		}
	}
	if gaps := missing(tasks, s.Tasks()); gaps != "" {
		return input(fmt.Errorf("%s: of %d tasks these are missing: %s; run their shards, what is there is not computed again", folder, s.Tasks(), gaps))
	}
	stamp, err := sweepStamp(s)
	if err != nil {
		return err
	}
	if reason := firstDifference(&about.Stamp, &stamp, "in the parts", "in this program"); reason != "" {
		return input(fmt.Errorf("%s: the parts cannot be gathered by this program: %s", folder, reason))
	}
	bar := newProgress(env.stderr)
	err = finish(c.Context(), env, o, s, stamp, sweep.Options{Workers: int(o.workers), Parts: kept,
		Progress: func(done, total int) { bar.update("tasks", done, total) }}, kept)
	bar.done()
	return classifySweep(err)
}

// studyOf rebuilds a sweep from where an output of it comes from.
func studyOf(stamp *provenance.Stamp) (*sweep.Study, error) {
	set, err := assumptionsOf(stamp)
	if err != nil {
		return nil, err
	}
	s, err := study.SweepOf(stamp.Study)
	if err != nil {
		return nil, fmt.Errorf("the study in it cannot be read: %w", err)
	}
	s.Seed, s.Base.Assumptions = stamp.Seed, assume.Uncertainty{Centre: set, Low: set, High: set}
	if err := s.Check(); err != nil {
		return nil, fmt.Errorf("the study in it is not in order: %w", err)
	}
	return s, nil
}
