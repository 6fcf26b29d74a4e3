// Package person is the study of one body, from whatever was measured of it: the commands
// person and readiness, their charts and tables. What is said of an answer is in its package
// said.
package person

import (
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"path/filepath"
	"strings"

	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/app/output"
	"counterpoise/internal/app/person/said"
	"counterpoise/internal/provenance"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/fault"
	"counterpoise/sim/names"
	"counterpoise/sim/person"
	"counterpoise/sim/strength"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// Flags are the flags of person and readiness.
type Flags struct {
	flags.Common
	units     string
	endurance string
	protocol  bool
	loads     flags.LoadFlags
	All       bool // print everything

	System  words.System
	Options person.Options
	Given   map[string][]string // the flags that bear on the results
	Persons []study.Person      // instead of those of files, where there are any
}

func NewFlags() *Flags {
	defaults := person.DefaultOptions()
	return &Flags{
		Common: flags.Common{N: flags.Count(defaults.N), Seed: flags.Seed(defaults.Seed), Look: flags.DefaultLook()},
		units:  "metric", endurance: defaults.Endurance.String(),
	}
}

// AddFlags adds the flags that person and readiness share.
func (o *Flags) AddFlags(f *pflag.FlagSet) {
	f.Var(&o.N, "n", fmt.Sprintf("bodies drawn for each person, %d to %d", person.LeastN, person.MostN))
	f.Var(&o.Seed, "seed", "seed of the random streams; the same seed gives the same bytes")
	o.AddModelFlags(f)
	o.loads.AddFlags(f)
	f.StringVar(&o.endurance, "endurance", o.endurance, "relation of held time to strength: "+strings.Join(names.All(strength.NumEndurances), ", "))
	f.StringVar(&o.units, "units", o.units, "units of the text: "+strings.Join(words.Systems[:], ", "))
	flags.AddWorkers(f, &o.Workers)
	flags.AddFull(f, &o.All)
	f.BoolVar(&o.Json, "json", false, "print the summary as one JSON object, in metric units")
}

func Command(env *console.Environment) (*Flags, *cobra.Command) {
	o := NewFlags()
	c := &cobra.Command{
		Use: "person <file or folder>...", Short: "Answer for one body, from whatever was measured of it", Args: cobra.MinimumNArgs(1),
		Long: `Answer for persons of whom something was measured: what the hold takes of them, how wide what
was not measured leaves the answer, what gives out first and which test of strength to do next,
and what to measure next.

A person is a YAML document; a file may hold several, and of a folder all .yaml files are read.
Only the name and the sex are needed:

  person: Ada
  sex: female
  stature: 168 cm ± 0.5 cm        # ± is the standard deviation of the measuring error
  mass: 61 kg
  span: 171 cm                    # or any of the measurements of people show
  age: 34                         # what was not measured is drawn from people of that age
  measured_again: yes             # it is so, though next to nobody has it
  scan: {arms: 6.4 kg, legs: 21 kg, trunk: 29.1 kg, head: 4.5 kg}
  hold: human-flag                # the default; legs, tilt, pose, load and assist as in a claim
  tests:                          # of strength: see readiness
    one_arm_hang: {side: left, held: 20 s, added: 5 kg}
    one_arm_handstand: {held: 8 s, fingers: 6 kg, wall_distance: 20 cm}
    scale: {side: right, hand: down, angle: 135 deg, reads: 18 kg}
  measured: {foot_load: 24.3 kg ± 0.3 kg, arm_angle: 46 deg, hand_spacing: 97 cm}

A field people, as in people: ./club-women.json, places the person among your own people
(see people from), or any that people list names, such as gymnasts-men or ansur2-women, instead of
the public.

With --out, a folder gets summary.json, for each person the table of the bodies drawn and the
charts, and for several persons charts that set them side by side.`,
		RunE: func(c *cobra.Command, args []string) error {
			o.Given = flags.GivenFlags(c.Flags())
			return RunPerson(c.Context(), env, o, args)
		},
	}
	f := c.Flags()
	o.AddFlags(f)
	f.BoolVar(&o.protocol, "protocol", false, "print how to weigh a part-supported flag, to compare with the prediction")
	f.Var(&o.Out, "out", "folder for the summary, the tables of bodies and the charts")
	o.Look.AddFlags(c)
	return o, c
}

// Resolve reads the flags.
func (o *Flags) Resolve() error {
	if err := o.Check(); err != nil {
		return err
	}
	if o.N < person.LeastN || o.N > person.MostN {
		return console.Input(fmt.Errorf("--n: found %d, allowed: %d to %d", o.N, person.LeastN, person.MostN))
	}
	var err error
	if o.System, err = flags.PickOne("units", o.units, words.ParseSystem, words.Systems[:]); err != nil {
		return err
	}
	if err := o.ResolveAssumptions(); err != nil {
		return err
	}
	o.Options = person.DefaultOptions()
	o.Options.N, o.Options.Seed, o.Options.Workers, o.Options.Assumptions = int(o.N), uint64(o.Seed), int(o.Workers), o.Assumptions
	models, masses, segments, err := o.PickModels()
	if err != nil {
		return err
	}
	o.Options.Models = models
	for flag, n := range map[string]int{"regional-masses": len(masses), "segments": len(segments)} {
		if n > 1 {
			return console.Input(fmt.Errorf("--%s: one name is needed here, found %d", flag, n))
		}
	}
	if len(masses) == 1 {
		o.Options.Masses = masses[0]
	}
	if len(segments) == 1 {
		o.Options.Segments = segments[0]
	}
	if o.Options.Endurance, err = flags.PickOne("endurance", o.endurance, strength.ParseEndurance, names.All(strength.NumEndurances)); err != nil {
		return err
	}
	return o.Look.Check()
}

// answer answers for one person, with the readiness where a model judges.
func (o *Flags) answer(ctx context.Context, p *study.Person) (said.PersonAnswer, error) {
	var a said.PersonAnswer
	var err error
	if o.Options.Judges() {
		if a.Ready, err = person.Ready(ctx, p.Person, o.Options); err == nil {
			a.Result = a.Ready.Result
		}
	} else {
		a.Result, err = person.Answer(ctx, p.Person, o.Options)
	}
	if err != nil {
		return a, o.fault(p, err)
	}
	// Summaries are metric whatever the text is in, or a repeat of theirs would differ.
	a.Notes = said.PersonNotes(a.Result, words.Metric)
	return a, nil
}

// fault places an error of an answer: in the person's file or on the command
// line.
func (o *Flags) fault(p *study.Person, err error) error {
	var field *fault.Error
	if errors.As(err, &field) && field.Field == "models" {
		return console.Input(fmt.Errorf("--models: %s (%s of %s)", field.Reason, p.Name, p.File))
	}
	placed := p.Fault(err, o.System)
	var fault *study.Error
	if errors.As(placed, &fault) {
		return console.Input(placed)
	}
	return placed
}

// load reads the flags and the persons that a command is about, and says where its
// answers come from.
func (o *Flags) load(command string, paths []string) (persons []study.Person, stamp provenance.Stamp, err error) {
	if err := o.Resolve(); err != nil {
		return nil, stamp, err
	}
	if persons = o.Persons; persons == nil {
		if persons, err = study.LoadPersons(paths); err != nil {
			return nil, stamp, console.Input(err)
		}
		if err := flags.DistinctOwn(persons); err != nil {
			return nil, stamp, err
		}
	}
	if o.loads.Given() {
		load, err := o.loads.Read()
		if err != nil {
			return nil, stamp, err
		}
		for i := range persons {
			persons[i].Load = load
		}
	}
	stamp, err = o.Stamp(command, persons, nil)
	return persons, stamp, err
}

func RunPerson(ctx context.Context, env *console.Environment, o *Flags, paths []string) (failed error) {
	persons, stamp, err := o.load("person", paths)
	if err != nil {
		return err
	}
	if o.Out != "" {
		// Before anything is written, each person is tried on a few draws.
		if _, err := o.answers(ctx, persons, person.LeastN, nil); err != nil {
			return err
		}
	}
	out, err := output.Open(o.Out)
	if err != nil {
		return err
	}
	defer out.ForgetAfter(&failed)
	bar := console.NewProgress(env.Stderr)
	answers, err := o.answers(ctx, persons, o.Options.N, func(i int, a *said.PersonAnswer) error {
		bar.Update("persons", i+1, len(persons))
		if out == nil {
			return nil
		}
		return writeDraws(filepath.Join(out.Path, drawsName(persons, i)), a, stamp)
	})
	bar.Done()
	if err != nil {
		return err
	}
	text, err := output.Indented(said.SummarisePersons(answers, stamp))
	if err != nil {
		return err
	}
	draw := func(folder string) error { return drawPersons(env, folder, answers, o.Look, o.System) }
	return output.Publish(env, out, o.Json, "summary.json", text, draw, func(w io.Writer) error {
		for i := range answers {
			answers[i].Notes = said.PersonNotes(answers[i].Result, o.System)
		}
		write := said.FirstPerson
		if o.All {
			write = said.PersonText
		}
		if err := write(w, answers, o.System); err != nil || !o.protocol {
			return err
		}
		return said.Protocol(w, answers, o.System)
	})
}

// answers answers for everybody; each is called with every answer while the
// bodies drawn are still there. The faults of all persons are told together.
func (o *Flags) answers(ctx context.Context, persons []study.Person, draws int, each func(int, *said.PersonAnswer) error) ([]said.PersonAnswer, error) {
	with := *o
	with.Options.N = draws
	answers := make([]said.PersonAnswer, len(persons))
	var faults []error
	for i := range persons {
		answer, err := with.answer(ctx, &persons[i])
		if err != nil {
			if !errors.As(err, new(console.InputError)) {
				return nil, err
			}
			faults = append(faults, err)
			continue
		}
		if each != nil && len(faults) == 0 {
			if err := each(i, &answer); err != nil {
				return nil, err
			}
		}
		Slim(answer.Result)
		answers[i] = answer
	}
	return answers, errors.Join(faults...)
}

// Slim lets go of the bodies drawn, which are many and no longer needed.
func Slim(r *person.Result) {
	r.People, r.Draw = nil, nil
	for i := range r.Models {
		r.Models[i].Body, r.Models[i].All = nil, nil
	}
}

// Stamp says where the answers come from, in full, with what else a command was given.
func (o *Flags) Stamp(command string, persons []study.Person, beside map[string]any) (provenance.Stamp, error) {
	var given []map[string]any
	for i := range persons {
		given = append(given, persons[i].Resolved())
	}
	of := map[string]any{
		"command": command, "flags": o.Given, "persons": given, "n": o.Options.N, "models": names.Of(o.Options.Models), "regional_masses": o.Options.Masses.String(),
		"segments": o.Options.Segments, "endurance": o.Options.Endurance.String(), "assumption_ranges": output.RangesOf(o.Assumptions),
	}
	maps.Copy(of, beside)
	return output.NewStamp(of, o.Options.Seed, o.Assumptions.Centre, output.OwnOfPersons(persons)...)
}

func ReadinessCommand(env *console.Environment) (*Flags, *cobra.Command) {
	o := NewFlags()
	c := &cobra.Command{
		Use: "readiness <file or folder>...", Short: "Say what simple tests of strength show about a hold, and which to do next", Args: cobra.MinimumNArgs(1),
		Long: `Say what gives out first in a hold, which test to do next, and what result is as likely as not
enough: the part of person about strength. Before any test that is of an untrained person of that
size. Tests are turned into bounds on what the person's straight arms can pull and push, by what
each test asks of that very body: how many times their own strength the hold asks for, of the
human flag the margin and the weaker side, and what such tests cannot show.

The tests stand in a person's file (see person) and are one-arm hangs and one-arm handstands
against a wall, of any arm, and straight arms on a scale, as often as they were done:

  tests:
    one_arm_hang:
      - {side: left, held: 20 s, added: 5 kg}        # or assisted: 8 kg
      - {side: right, held: 31 s}
    one_arm_handstand: {side: right, held: 8 s, fingers: 6 kg, wall_distance: 20 cm}
    scale:
      - {side: right, hand: up, angle: 135 deg, reads: 14 kg}
      - {side: left, hand: push, reads: 60 kg}

fingers is what a scale under the other hand's fingers reads, added a load that is worn. On a
luggage or bathroom scale a straight arm pulls or presses as hard as it can, standing upright, the
scale square to the arm at the hand: hand says where it goes, down or up with the arm out at the
side (adduction, abduction), back or forward with it in front (extension, flexion), at the angle
between arm and trunk (0 deg hanging), or push or pull along the arm, without an angle.

The tests say how strong the person is, in every group as far as they tell; in that strength the
hold's difficulty is given, the share of draws in which it could be held, what gives out, and what
results would be enough. While what gives out was never tested, no time is promised. A held time is turned into a share
of the greatest force by a published relation, --endurance.`,
		RunE: func(c *cobra.Command, args []string) error {
			o.Given = flags.GivenFlags(c.Flags())
			return RunReadiness(c.Context(), env, o, args)
		},
	}
	o.AddFlags(c.Flags())
	return o, c
}

func RunReadiness(ctx context.Context, env *console.Environment, o *Flags, paths []string) error {
	persons, stamp, err := o.load("readiness", paths)
	if err != nil {
		return err
	}
	if !o.Options.Judges() {
		_, err := person.Ready(ctx, persons[0].Person, o.Options) // which says why
		return o.fault(&persons[0], err)
	}
	answers, err := o.answers(ctx, persons, o.Options.N, nil)
	if err != nil {
		return err
	}
	summary, err := output.Indented(said.SummariseReadiness(answers, stamp))
	if err != nil {
		return err
	}
	return output.Publish(env, nil, o.Json, "", summary, nil, func(w io.Writer) error {
		for i := range answers {
			answers[i].Notes = said.PersonNotes(answers[i].Result, o.System)
		}
		if o.All {
			return said.ReadinessText(w, answers, o.System)
		}
		return said.FirstReadiness(w, answers, o.System)
	})
}
