package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"path/filepath"
	"strings"

	"counterpoise/internal/provenance"
	"counterpoise/internal/report"
	"counterpoise/internal/study"
	"counterpoise/internal/wording"
	"counterpoise/internal/words"
	"counterpoise/sim/fault"
	"counterpoise/sim/names"
	"counterpoise/sim/person"
	"counterpoise/sim/strength"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// personOptions are the flags of person and readiness.
type personOptions struct {
	common
	units     string
	endurance string
	protocol  bool
	loads     loadFlags
	all       bool // print everything

	system  words.System
	options person.Options
	given   map[string][]string // the flags that bear on the results
	persons []study.Person      // instead of those of files, where there are any
}

func newPersonOptions() *personOptions {
	defaults := person.DefaultOptions()
	return &personOptions{
		common: common{n: count(defaults.N), seed: seed(defaults.Seed), look: defaultLook()},
		units:  "metric", endurance: defaults.Endurance.String(),
	}
}

// addFlags adds the flags that person and readiness share.
func (o *personOptions) addFlags(f *pflag.FlagSet) {
	f.Var(&o.n, "n", fmt.Sprintf("bodies drawn for each person, %d to %d", person.LeastN, person.MostN))
	f.Var(&o.seed, "seed", "seed of the random streams; the same seed gives the same bytes")
	o.addModelFlags(f)
	o.loads.addFlags(f)
	f.StringVar(&o.endurance, "endurance", o.endurance, "relation of held time to strength: "+strings.Join(names.All(strength.NumEndurances), ", "))
	f.StringVar(&o.units, "units", o.units, "units of the text: "+strings.Join(words.Systems[:], ", "))
	addWorkers(f, &o.workers)
	addFull(f, &o.all)
	f.BoolVar(&o.json, "json", false, "print the summary as one JSON object, in metric units")
}

func newPerson(env *environment) (*personOptions, *cobra.Command) {
	o := newPersonOptions()
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
			o.given = givenFlags(c.Flags())
			return runPerson(c.Context(), env, o, args)
		},
	}
	f := c.Flags()
	o.addFlags(f)
	f.BoolVar(&o.protocol, "protocol", false, "print how to weigh a part-supported flag, to compare with the prediction")
	f.Var(&o.out, "out", "folder for the summary, the tables of bodies and the charts")
	o.look.addFlags(c)
	return o, c
}

// resolve reads the flags.
func (o *personOptions) resolve() error {
	if err := o.check(); err != nil {
		return err
	}
	if o.n < person.LeastN || o.n > person.MostN {
		return input(fmt.Errorf("--n: found %d, allowed: %d to %d", o.n, person.LeastN, person.MostN))
	}
	var err error
	if o.system, err = pickOne("units", o.units, words.ParseSystem, words.Systems[:]); err != nil {
		return err
	}
	if err := o.resolveAssumptions(); err != nil {
		return err
	}
	o.options = person.DefaultOptions()
	o.options.N, o.options.Seed, o.options.Workers, o.options.Assumptions = int(o.n), uint64(o.seed), int(o.workers), o.assumptions
	models, masses, segments, err := o.pickModels()
	if err != nil {
		return err
	}
	o.options.Models = models
	for flag, n := range map[string]int{"regional-masses": len(masses), "segments": len(segments)} {
		if n > 1 {
			return input(fmt.Errorf("--%s: one name is needed here, found %d", flag, n))
		}
	}
	if len(masses) == 1 {
		o.options.Masses = masses[0]
	}
	if len(segments) == 1 {
		o.options.Segments = segments[0]
	}
	if o.options.Endurance, err = pickOne("endurance", o.endurance, strength.ParseEndurance, names.All(strength.NumEndurances)); err != nil {
		return err
	}
	return o.look.check()
}

// answer answers for one person, with the readiness where a model judges.
func (o *personOptions) answer(ctx context.Context, p *study.Person) (wording.PersonAnswer, error) {
	var a wording.PersonAnswer
	var err error
	if o.options.Judges() {
		if a.Ready, err = person.Ready(ctx, p.Person, o.options); err == nil {
			a.Result = a.Ready.Result
		}
	} else {
		a.Result, err = person.Answer(ctx, p.Person, o.options)
	}
	if err != nil {
		return a, o.fault(p, err)
	}
	// Summaries are metric whatever the text is in, or a repeat of theirs would differ.
	a.Notes = wording.PersonNotes(a.Result, words.Metric)
	return a, nil
}

// fault places an error of an answer: in the person's file or on the command
// line.
func (o *personOptions) fault(p *study.Person, err error) error {
	var field *fault.Error
	if errors.As(err, &field) && field.Field == "models" {
		return input(fmt.Errorf("--models: %s (%s of %s)", field.Reason, p.Name, p.File))
	}
	placed := p.Fault(err, o.system)
	var fault *study.Error
	if errors.As(placed, &fault) {
		return input(placed)
	}
	return placed
}

// load reads the flags and the persons that a command is about, and says where its
// answers come from.
func (o *personOptions) load(command string, paths []string) (persons []study.Person, stamp provenance.Stamp, err error) {
	if err := o.resolve(); err != nil {
		return nil, stamp, err
	}
	if persons = o.persons; persons == nil {
		if persons, err = study.LoadPersons(paths); err != nil {
			return nil, stamp, input(err)
		}
		if err := distinctOwn(persons); err != nil {
			return nil, stamp, err
		}
	}
	if o.loads.given() {
		load, err := o.loads.read()
		if err != nil {
			return nil, stamp, err
		}
		for i := range persons {
			persons[i].Load = load
		}
	}
	stamp, err = o.stamp(command, persons, nil)
	return persons, stamp, err
}

func runPerson(ctx context.Context, env *environment, o *personOptions, paths []string) (failed error) {
	persons, stamp, err := o.load("person", paths)
	if err != nil {
		return err
	}
	if o.out != "" {
		// Before anything is written, each person is tried on a few draws.
		if _, err := o.answers(ctx, persons, person.LeastN, nil); err != nil {
			return err
		}
	}
	out, err := openOut(o.out)
	if err != nil {
		return err
	}
	defer out.forgetAfter(&failed)
	bar := newProgress(env.stderr)
	answers, err := o.answers(ctx, persons, o.options.N, func(i int, a *wording.PersonAnswer) error {
		bar.update("persons", i+1, len(persons))
		if out == nil {
			return nil
		}
		return writeDraws(filepath.Join(out.path, drawsName(persons, i)), a, stamp)
	})
	bar.done()
	if err != nil {
		return err
	}
	text, err := indented(wording.SummarisePersons(answers, stamp))
	if err != nil {
		return err
	}
	draw := func(folder string) error { return drawPersons(env, folder, answers, o.look, o.system) }
	return publish(env, out, o.json, "summary.json", text, draw, func(w io.Writer) error {
		for i := range answers {
			answers[i].Notes = wording.PersonNotes(answers[i].Result, o.system)
		}
		write := report.FirstPerson
		if o.all {
			write = report.PersonText
		}
		if err := write(w, answers, o.system); err != nil || !o.protocol {
			return err
		}
		return report.Protocol(w, answers, o.system)
	})
}

// answers answers for everybody; each is called with every answer while the
// bodies drawn are still there. The faults of all persons are told together.
func (o *personOptions) answers(ctx context.Context, persons []study.Person, draws int, each func(int, *wording.PersonAnswer) error) ([]wording.PersonAnswer, error) {
	with := *o
	with.options.N = draws
	answers := make([]wording.PersonAnswer, len(persons))
	var faults []error
	for i := range persons {
		answer, err := with.answer(ctx, &persons[i])
		if err != nil {
			if !errors.As(err, new(inputError)) {
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
		slim(answer.Result)
		answers[i] = answer
	}
	return answers, errors.Join(faults...)
}

// slim lets go of the bodies drawn, which are many and no longer needed.
func slim(r *person.Result) {
	r.People, r.Draw = nil, nil
	for i := range r.Models {
		r.Models[i].Body, r.Models[i].All = nil, nil
	}
}

// resolved is what a stamp says of how something was made, by name.
type resolved map[string]any

// stamp says where the answers come from, in full, with what else a command was given.
func (o *personOptions) stamp(command string, persons []study.Person, beside resolved) (provenance.Stamp, error) {
	var given []map[string]any
	for i := range persons {
		given = append(given, persons[i].Resolved())
	}
	of := resolved{
		"command": command, "flags": o.given, "persons": given, "n": o.options.N, "models": names.Of(o.options.Models), "regional_masses": o.options.Masses.String(),
		"segments": o.options.Segments, "endurance": o.options.Endurance.String(), "assumption_ranges": rangesOf(o.assumptions),
	}
	maps.Copy(of, beside)
	return newStamp(of, o.options.Seed, o.assumptions.Centre, ownOfPersons(persons)...)
}
