// Package flags is what commands are given: the options that several of them share, as types
// that read them and as values that studies take.
package flags

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"counterpoise/internal/app/console"
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

// LoadFlags are the flags that say what is carried, and what is taken off.
type LoadFlags struct{ load, assist []string }

// AddFlags adds the flags.
func (l *LoadFlags) AddFlags(f *pflag.FlagSet) {
	f.StringArrayVar(&l.load, "load", nil, "something carried, at one of "+strings.Join(body.PointNames(), ", ")+"; of limbs the mass at both, as in --load vest=10kg --load ankles=2kg; may be repeated")
	f.StringArrayVar(&l.assist, "assist", nil, "something taken off by a band, a pulley or a hand, straight up, as in --assist hips=20kg; may be repeated")
}

// Given reports whether any of the flags was given.
func (l *LoadFlags) Given() bool { return len(l.load)+len(l.assist) > 0 }

// Read reads the flags.
func (l *LoadFlags) Read() (body.Load, error) {
	var total body.Load
	for _, of := range []struct {
		flag  string
		texts []string
		sign  float64
	}{{"load", l.load, +1}, {"assist", l.assist, -1}} {
		for _, text := range of.texts {
			name, mass, found := strings.Cut(text, "=")
			if !found {
				return total, console.Input(fmt.Errorf("--%s %s: write where and how much, as in vest=10kg", of.flag, text))
			}
			p, err := PickOne(of.flag, strings.TrimSpace(name), body.ParsePoint, body.PointNames())
			if err != nil {
				return total, err
			}
			q, err := units.Parse(mass, units.Mass)
			if err != nil {
				return total, console.Input(fmt.Errorf("--%s %s: %w", of.flag, text, err))
			}
			if !(q.Value > 0 && q.Value <= body.LoadBounds.Most) {
				return total, console.Input(fmt.Errorf("--%s %s: allowed: more than 0, up to %s", of.flag, text, words.Typed(body.LoadBounds.Most, "kg")))
			}
			if total[p] != 0 {
				return total, console.Input(fmt.Errorf("--%s %s: there is already a load at the %s, give the sum or the difference", of.flag, text, p))
			}
			total[p] = of.sign * q.Value
		}
	}
	return total, nil
}

// mostCount bounds every number of things: far above what anybody can wait for,
// and low enough that the lists behind it fit into memory.
const mostCount = 1_000_000_000

// Count is a flag for a number of things; it reads 100000, 100_000 and 1e5.
type Count int

func (c *Count) String() string { return strconv.Itoa(int(*c)) }
func (c *Count) Type() string   { return "count" }
func (c *Count) Set(text string) error {
	x, err := strconv.ParseFloat(strings.ReplaceAll(text, "_", ""), 64)
	if err != nil || x != math.Trunc(x) || math.IsInf(x, 0) {
		return fmt.Errorf("%q is not a whole number such as 100000 or 1e5", text)
	}
	if math.Abs(x) > mostCount {
		return fmt.Errorf("%q is more than %d", text, mostCount)
	}
	*c = Count(x)
	return nil
}

// Seed is a flag for the seed of random streams.
type Seed uint64

func (s *Seed) String() string { return strconv.FormatUint(uint64(*s), 10) }
func (s *Seed) Type() string   { return "seed" }
func (s *Seed) Set(text string) error {
	x, err := strconv.ParseUint(text, 10, 64)
	if err != nil {
		return fmt.Errorf("%q is not a whole number from 0 to %d", text, uint64(math.MaxUint64))
	}
	*s = Seed(x)
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

// Path is a flag for a file or folder.
type Path string

func (p *Path) String() string { return string(*p) }
func (p *Path) Type() string   { return "folder" }
func (p *Path) Set(text string) error {
	if text == "" {
		return errors.New("a folder is needed, found an empty name")
	}
	*p = Path(text)
	return nil
}

// mostDraws and mostWorkers bound what is held in memory for each of them.
const (
	mostDraws   = 1 << 20
	mostWorkers = 1 << 10
)

// Check reports what the flags' own types do not see.
func (o *Common) Check() error {
	for _, limit := range []struct {
		flag        string
		value       Count
		least, most Count
	}{
		{"n", o.N, 1, mostCount},
		{"assumption-draws", o.Draws, 0, mostDraws}, {"workers", o.Workers, 0, mostWorkers},
	} {
		if limit.value < limit.least || limit.value > limit.most {
			return console.Input(fmt.Errorf("--%s: found %d, allowed: %d to %d", limit.flag, limit.value, limit.least, limit.most))
		}
	}
	return nil
}

// Shown says how results are shown and where they go. It alters none of them, and no output
// tells of it.
type Shown struct {
	Workers Count
	Out     Path
	JSON    bool
	Full    bool // everything, not the first screen alone
	System  words.System
	Look    Look
}

// Common are the options that several commands share.
type Common struct {
	Shown
	N           Count
	Seed        Seed
	People      given
	models      given
	masses      given
	segments    given
	Assume      []string
	Draws       Count
	Assumptions assume.Uncertainty
}

// AddRunFlags adds the options that every run with an output folder has; out says what
// goes into it.
func (o *Common) AddRunFlags(c *cobra.Command, out string) {
	f := c.Flags()
	f.Var(&o.Seed, "seed", "seed of the random streams; the same seed gives the same bytes")
	AddWorkers(f, &o.Workers)
	f.Var(&o.Out, "out", "folder for "+out)
	o.Look.AddFlags(c)
	f.BoolVar(&o.JSON, "json", false, "print the summary as one JSON object")
}

// AddWorkers adds --workers.
func AddWorkers(f *pflag.FlagSet, workers *Count) {
	f.Var(workers, "workers", "goroutines; 0 takes one a processor, and no result depends on it")
}

// CheckWorkers is check for a command without the other numbers.
func CheckWorkers(workers Count) error {
	o := Common{N: 1, Shown: Shown{Workers: workers}}
	return o.Check()
}

// AddModelFlags adds the options that choose models and assumptions.
func (o *Common) AddModelFlags(f *pflag.FlagSet) {
	f.Var(&o.models, "models", "models of statics: "+strings.Join(study.ModelNames(), ", "))
	f.Var(&o.masses, "regional-masses", "how people carry their mass: "+strings.Join(study.MassesNames(), ", ")+" (default residual)")
	f.Var(&o.segments, "segments", "segment tables: "+strings.Join(segment.Names(), ", ")+" (default "+body.DefaultSegments+")")
	f.StringArrayVar(&o.Assume, "assume", nil, "fix an assumption, name=value, or give it a range, name=low..high; may be repeated")
}

// ResolveAssumptions reads --assume, for studies of these holds: one that all of them ignore is refused.
func (o *Common) ResolveAssumptions(holds ...*hold.Hold) error {
	o.Assumptions = assume.DefaultUncertainty()
	seen := map[assume.ID]bool{}
	for _, text := range o.Assume {
		name, value, found := strings.Cut(text, "=")
		name = strings.TrimSpace(name)
		if !found {
			return console.Input(fmt.Errorf("--assume %s: write name=value or name=low..high", text))
		}
		id, ok := assume.Parse(name)
		if !ok {
			names := study.AssumptionNames()
			return console.Input(fmt.Errorf("--assume %s: unknown assumption%s; known: %s", text, called.Suggest(name, names), strings.Join(names, ", ")))
		}
		if seen[id] {
			return console.Input(fmt.Errorf("--assume %s: %s appears twice", text, name))
		}
		seen[id] = true
		if len(holds) > 0 && !slices.ContainsFunc(holds, func(h *hold.Hold) bool { return !h.Ignores(id) }) {
			return console.Input(fmt.Errorf("--assume %s: %s does not use it, so that it would change nothing", text, words.And(names.Each(holds, func(h *hold.Hold) string { return h.Name }))))
		}
		low, high := 0.0, 0.0
		if strings.Contains(value, "..") {
			r, err := units.ParseRange(value, units.Number)
			if err != nil {
				return console.Input(fmt.Errorf("--assume %s: %w", text, err))
			}
			if math.IsInf(r.Low, 0) || math.IsInf(r.High, 0) {
				return console.Input(fmt.Errorf("--assume %s: a range of an assumption needs both ends", text))
			}
			low, high = r.Low, r.High
		} else {
			q, err := units.Parse(value, units.Number)
			if err != nil {
				return console.Input(fmt.Errorf("--assume %s: %w", text, err))
			}
			low, high = q.Value, q.Value
		}
		if err := o.Assumptions.Spread(id, words.AssumptionMeant(id, low), words.AssumptionMeant(id, high)); err != nil {
			return console.Input(fmt.Errorf("--assume: %w", words.AssumptionFault(err)))
		}
		// The middle as it would be written: 75..85 degrees are about the default of 80.
		o.Assumptions.Centre[id] = words.AssumptionMeant(id, low+float64((high-low)/2))
	}
	return nil
}

// pick reads a list of names for a flag.
func pick[T any](flag string, given []string, parse func(string) (T, bool), names []string) ([]T, error) {
	var list []T
	for _, name := range given {
		v, err := PickOne(flag, name, parse, names)
		if err != nil {
			return nil, err
		}
		list = append(list, v)
	}
	return list, nil
}

// PickOne reads one name for a flag.
func PickOne[T any](flag, name string, parse func(string) (T, bool), names []string) (T, error) {
	v, ok := parse(name)
	if !ok {
		return v, console.Input(fmt.Errorf("--%s %s: unknown name%s; known: %s", flag, name, called.Suggest(name, names), strings.Join(names, ", ")))
	}
	return v, nil
}

// Choose reads the name of one of several values for a flag.
func Choose[T fmt.Stringer](flag, name string, values []T) (T, error) {
	return PickOne(flag, name, func(name string) (v T, ok bool) {
		if i := slices.Index(names.Of(values), name); i >= 0 {
			return values[i], true
		}
		return v, false
	}, names.Of(values))
}

// PickModels reads --models, --regional-masses and --segments; of what was not given
// there is none.
func (o *Common) PickModels() (statics []hold.Model, masses []body.Masses, segments []string, err error) {
	if statics, err = pick("models", o.models, hold.ParseModel, study.ModelNames()); err != nil {
		return nil, nil, nil, err
	}
	if masses, err = pick("regional-masses", o.masses, body.ParseMasses, study.MassesNames()); err != nil {
		return nil, nil, nil, err
	}
	segments, err = pick("segments", o.segments, Known(segment.Names()), segment.Names())
	return statics, masses, segments, err
}

// Override puts the people and models of the command line instead of the
// claim's own.
func (o *Common) Override(c *claim.Claim) error {
	if len(o.People) > 0 {
		people, err := claimPeople(o.People)
		if err != nil {
			return err
		}
		c.People = people
	}
	statics, masses, segments, err := o.PickModels()
	if err != nil {
		return err
	}
	for _, m := range c.Models {
		if statics == nil || len(o.models) == 0 {
			statics = names.Once(statics, m.Statics)
		}
		if len(o.masses) == 0 {
			masses = names.Once(masses, m.Masses)
		}
		if len(o.segments) == 0 {
			segments = names.Once(segments, m.Segments)
		}
	}
	c.Models = study.Models(statics, masses, segments)
	c.Assumptions = o.Assumptions
	return nil
}

// Known reads a name that must be among some.
func Known(names []string) func(string) (string, bool) {
	return func(name string) (string, bool) { return name, slices.Contains(names, name) }
}

// AddFull adds the flag by which a command prints everything after its first screen.
func AddFull(f *pflag.FlagSet, to *bool) {
	f.BoolVar(to, "full", false, "print everything, not the first screen alone")
}
