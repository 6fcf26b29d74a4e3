package cli

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"counterpoise/internal/nearest"
	"counterpoise/internal/study"
	"counterpoise/internal/units"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/segment"

	"github.com/spf13/pflag"
)

func didYouMean(name string, names []string) string {
	if near, ok := nearest.Nearest(name, names); ok {
		return fmt.Sprintf(" (did you mean %s?)", near)
	}
	return ""
}

// count is a flag for a number of things; it reads 100000, 100_000 and 1e5.
type count int

func (c *count) String() string { return strconv.Itoa(int(*c)) }
func (c *count) Type() string   { return "count" }
func (c *count) Set(text string) error {
	x, err := strconv.ParseFloat(strings.ReplaceAll(text, "_", ""), 64)
	if err != nil || x != math.Trunc(x) || math.Abs(x) > 1e15 {
		return fmt.Errorf("%q is not a whole number such as 100000 or 1e5", text)
	}
	*c = count(x)
	return nil
}

// common are the options that several commands share.
type common struct {
	n           count
	maxN        count
	seed        uint64
	people      []string
	models      []string
	masses      []string
	segments    []string
	assume      []string
	draws       count
	workers     int
	out         string
	json        bool
	assumptions assume.Uncertainty
}

// addModelFlags adds the options that choose models and assumptions.
func (o *common) addModelFlags(f *pflag.FlagSet) {
	f.StringSliceVar(&o.models, "models", nil, "models of statics: "+strings.Join(study.ModelNames(), ", "))
	f.StringSliceVar(&o.masses, "regional-masses", nil, "how people carry their mass: "+strings.Join(study.MassesNames(), ", ")+" (default residual)")
	f.StringSliceVar(&o.segments, "segments", nil, "segment tables: "+strings.Join(segment.Names(), ", ")+" (default "+body.DefaultSegments+")")
	f.StringArrayVar(&o.assume, "assume", nil, "fix an assumption, name=value, or give it a range, name=low..high; may be repeated")
}

// resolveAssumptions reads --assume.
func (o *common) resolveAssumptions() error {
	o.assumptions = assume.DefaultUncertainty()
	for _, text := range o.assume {
		name, value, found := strings.Cut(text, "=")
		if !found {
			return input(fmt.Errorf("--assume %s: write name=value or name=low..high", text))
		}
		id, ok := assume.Parse(name)
		if !ok {
			names := study.AssumptionNames()
			return input(fmt.Errorf("--assume %s: unknown assumption%s; known are %s", name, didYouMean(name, names), strings.Join(names, ", ")))
		}
		low, high := 0.0, 0.0
		if strings.Contains(value, "..") {
			r, err := units.ParseRange(value, units.Number)
			if err != nil {
				return input(fmt.Errorf("--assume %s: %w", text, err))
			}
			low, high = r.Low, r.High
		} else {
			q, err := units.Parse(value, units.Number)
			if err != nil {
				return input(fmt.Errorf("--assume %s: %w", text, err))
			}
			low, high = q.Value, q.Value
		}
		if err := o.assumptions.Spread(id, low, high); err != nil {
			return input(fmt.Errorf("--assume: %w", err))
		}
	}
	return nil
}

// pick reads a list of names for a flag.
func pick[T any](flag string, given []string, parse func(string) (T, bool), names []string) ([]T, error) {
	var list []T
	for _, name := range given {
		v, ok := parse(name)
		if !ok {
			return nil, input(fmt.Errorf("--%s %s: unknown name%s; known are %s", flag, name, didYouMean(name, names), strings.Join(names, ", ")))
		}
		list = append(list, v)
	}
	return list, nil
}

// override puts the people and models of the command line in place of the
// claim's own.
func (o *common) override(c *claim.Claim) error {
	if len(o.people) > 0 {
		if _, err := pick("people", o.people, known(anthro.Names()), anthro.Names()); err != nil {
			return err
		}
		c.People = nil
		for _, name := range o.people {
			c.People = append(c.People, claim.People{Population: name, Weight: 1})
		}
	}
	statics, err := pick("models", o.models, hold.ParseModel, study.ModelNames())
	if err != nil {
		return err
	}
	masses, err := pick("regional-masses", o.masses, body.ParseMasses, study.MassesNames())
	if err != nil {
		return err
	}
	segments, err := pick("segments", o.segments, known(segment.Names()), segment.Names())
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
	return nil
}

func known(names []string) func(string) (string, bool) {
	return func(name string) (string, bool) {
		for _, n := range names {
			if n == name {
				return n, true
			}
		}
		return "", false
	}
}

func appendNew[T comparable](list []T, v T) []T {
	for _, have := range list {
		if have == v {
			return list
		}
	}
	return append(list, v)
}
