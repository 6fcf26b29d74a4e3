package cli

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"counterpoise/internal/called"
	"counterpoise/internal/study"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/segment"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// mostCount bounds every number of things: far above what anybody can wait for,
// and low enough that the lists behind it fit into memory.
const mostCount = 1_000_000_000

// count is a flag for a number of things; it reads 100000, 100_000 and 1e5.
type count int

func (c *count) String() string { return strconv.Itoa(int(*c)) }
func (c *count) Type() string   { return "count" }
func (c *count) Set(text string) error {
	x, err := strconv.ParseFloat(strings.ReplaceAll(text, "_", ""), 64)
	if err != nil || x != math.Trunc(x) || math.IsInf(x, 0) {
		return fmt.Errorf("%q is not a whole number such as 100000 or 1e5", text)
	}
	if math.Abs(x) > mostCount {
		return fmt.Errorf("%q is more than %d", text, mostCount)
	}
	*c = count(x)
	return nil
}

// seed is a flag for the seed of random streams.
type seed uint64

func (s *seed) String() string { return strconv.FormatUint(uint64(*s), 10) }
func (s *seed) Type() string   { return "seed" }
func (s *seed) Set(text string) error {
	x, err := strconv.ParseUint(text, 10, 64)
	if err != nil {
		return fmt.Errorf("%q is not a whole number from 0 to %d", text, uint64(math.MaxUint64))
	}
	*s = seed(x)
	return nil
}

// given is a flag for a list of names, or one name, that must not be empty.
type given []string

func (g *given) String() string { return strings.Join(*g, ",") }
func (g *given) Type() string   { return "names" }
func (g *given) Set(text string) error {
	for _, name := range strings.Split(text, ",") {
		name = strings.TrimSpace(name)
		if name == "" {
			return errors.New("a name is missing")
		}
		if slices.Contains(*g, name) {
			return fmt.Errorf("%s appears twice", name)
		}
		*g = append(*g, name)
	}
	return nil
}

// path is a flag for a file or folder.
type path string

func (p *path) String() string { return string(*p) }
func (p *path) Type() string   { return "folder" }
func (p *path) Set(text string) error {
	if text == "" {
		return errors.New("a folder is needed, found an empty name")
	}
	*p = path(text)
	return nil
}

// mostDraws and mostWorkers bound what is held in memory for each of them.
const (
	mostDraws   = 1 << 20
	mostWorkers = 1 << 10
)

// check reports what the flags' own types do not see.
func (o *common) check() error {
	for _, limit := range []struct {
		flag        string
		value       count
		least, most count
	}{
		{"n", o.n, 1, mostCount},
		{"assumption-draws", o.draws, 0, mostDraws}, {"workers", o.workers, 0, mostWorkers},
	} {
		if limit.value < limit.least || limit.value > limit.most {
			return input(fmt.Errorf("--%s: found %d, allowed: %d to %d", limit.flag, limit.value, limit.least, limit.most))
		}
	}
	return nil
}

// common are the options that several commands share.
type common struct {
	n           count
	seed        seed
	people      given
	models      given
	masses      given
	segments    given
	assume      []string
	draws       count
	workers     count
	out         path
	json        bool
	look        look
	assumptions assume.Uncertainty
}

// addRunFlags adds the options that every run with an output folder has; out says what
// goes into it.
func (o *common) addRunFlags(c *cobra.Command, out string) {
	f := c.Flags()
	f.Var(&o.seed, "seed", "seed of the random streams; the same seed gives the same bytes")
	addWorkers(f, &o.workers)
	f.Var(&o.out, "out", "folder for "+out)
	o.look.addFlags(c)
	f.BoolVar(&o.json, "json", false, "print the summary as one JSON object")
}

func addWorkers(f *pflag.FlagSet, workers *count) {
	f.Var(workers, "workers", "goroutines; 0 takes one a processor, and no result depends on it")
}

// checkWorkers is check for a command without the other numbers.
func checkWorkers(workers count) error {
	o := common{n: 1, workers: workers}
	return o.check()
}

// addModelFlags adds the options that choose models and assumptions.
func (o *common) addModelFlags(f *pflag.FlagSet) {
	f.Var(&o.models, "models", "models of statics: "+strings.Join(study.ModelNames(), ", "))
	f.Var(&o.masses, "regional-masses", "how people carry their mass: "+strings.Join(study.MassesNames(), ", ")+" (default residual)")
	f.Var(&o.segments, "segments", "segment tables: "+strings.Join(segment.Names(), ", ")+" (default "+body.DefaultSegments+")")
	f.StringArrayVar(&o.assume, "assume", nil, "fix an assumption, name=value, or give it a range, name=low..high; may be repeated")
}

// resolveAssumptions reads --assume.
func (o *common) resolveAssumptions() error {
	o.assumptions = assume.DefaultUncertainty()
	seen := map[assume.ID]bool{}
	for _, text := range o.assume {
		name, value, found := strings.Cut(text, "=")
		name = strings.TrimSpace(name)
		if !found {
			return input(fmt.Errorf("--assume %s: write name=value or name=low..high", text))
		}
		id, ok := assume.Parse(name)
		if !ok {
			names := study.AssumptionNames()
			return input(fmt.Errorf("--assume %s: unknown assumption%s; known: %s", text, called.Suggest(name, names), strings.Join(names, ", ")))
		}
		if seen[id] {
			return input(fmt.Errorf("--assume %s: %s appears twice", text, name))
		}
		seen[id] = true
		low, high := 0.0, 0.0
		if strings.Contains(value, "..") {
			r, err := units.ParseRange(value, units.Number)
			if err != nil {
				return input(fmt.Errorf("--assume %s: %w", text, err))
			}
			if math.IsInf(r.Low, 0) || math.IsInf(r.High, 0) {
				return input(fmt.Errorf("--assume %s: a range of an assumption needs both ends", text))
			}
			low, high = r.Low, r.High
		} else {
			q, err := units.Parse(value, units.Number)
			if err != nil {
				return input(fmt.Errorf("--assume %s: %w", text, err))
			}
			low, high = q.Value, q.Value
		}
		if err := o.assumptions.Spread(id, words.AssumptionMeant(id, low), words.AssumptionMeant(id, high)); err != nil {
			return input(fmt.Errorf("--assume: %w", words.AssumptionFault(err)))
		}
		// The middle as it would be written: 75..85 degrees are about the default of 80.
		o.assumptions.Centre[id] = words.AssumptionMeant(id, low+float64((high-low)/2))
	}
	return nil
}

// pick reads a list of names for a flag.
func pick[T any](flag string, given []string, parse func(string) (T, bool), names []string) ([]T, error) {
	var list []T
	for _, name := range given {
		v, err := pickOne(flag, name, parse, names)
		if err != nil {
			return nil, err
		}
		list = append(list, v)
	}
	return list, nil
}

// pickOne reads one name for a flag.
func pickOne[T any](flag, name string, parse func(string) (T, bool), names []string) (T, error) {
	v, ok := parse(name)
	if !ok {
		return v, input(fmt.Errorf("--%s %s: unknown name%s; known: %s", flag, name, called.Suggest(name, names), strings.Join(names, ", ")))
	}
	return v, nil
}

// choose reads the name of one of several values for a flag.
func choose[T fmt.Stringer](flag, name string, values []T) (T, error) {
	return pickOne(flag, name, func(name string) (v T, ok bool) {
		if i := slices.Index(names.Of(values), name); i >= 0 {
			return values[i], true
		}
		return v, false
	}, names.Of(values))
}

// pickModels reads --models, --regional-masses and --segments; of what was not given
// there is none.
func (o *common) pickModels() (statics []hold.Model, masses []body.Masses, segments []string, err error) {
	if statics, err = pick("models", o.models, hold.ParseModel, study.ModelNames()); err != nil {
		return nil, nil, nil, err
	}
	if masses, err = pick("regional-masses", o.masses, body.ParseMasses, study.MassesNames()); err != nil {
		return nil, nil, nil, err
	}
	segments, err = pick("segments", o.segments, known(segment.Names()), segment.Names())
	return statics, masses, segments, err
}

// override puts the people and models of the command line instead of the
// claim's own.
func (o *common) override(c *claim.Claim) error {
	if len(o.people) > 0 {
		people, err := claimPeople(o.people)
		if err != nil {
			return err
		}
		c.People = people
	}
	statics, masses, segments, err := o.pickModels()
	if err != nil {
		return err
	}
	for _, m := range c.Models {
		if statics == nil || len(o.models) == 0 {
			statics = appendNew(statics, m.Statics)
		}
		if len(o.masses) == 0 {
			masses = appendNew(masses, m.Masses)
		}
		if len(o.segments) == 0 {
			segments = appendNew(segments, m.Segments)
		}
	}
	c.Models = study.Models(statics, masses, segments)
	c.Assumptions = o.assumptions
	return nil
}

func known(names []string) func(string) (string, bool) {
	return func(name string) (string, bool) { return name, slices.Contains(names, name) }
}

func appendNew[T comparable](list []T, v T) []T {
	if slices.Contains(list, v) {
		return list
	}
	return append(list, v)
}

// addFull adds the flag by which a command prints everything after its first screen.
func addFull(f *pflag.FlagSet, to *bool) {
	f.BoolVar(to, "full", false, "print everything, not the first screen alone")
}
