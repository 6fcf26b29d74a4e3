// Package person is the study of one body, from whatever was measured of it: the commands
// person and readiness, their charts and tables. What is said of an answer is in its package
// said.
package person

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/app/output"
	"counterpoise/internal/app/person/said"
	"counterpoise/internal/provenance"
	"counterpoise/internal/stored"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/body"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
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
}

// Study is persons and how they are answered for: what a command about persons was asked,
// resolved.
type Study struct {
	Command string // person or readiness
	Persons []study.Person
	Options person.Options

	protocol bool // printed too; it alters no result
}

// NewFlags are those flags with their defaults.
func NewFlags() *Flags {
	defaults := person.DefaultOptions()
	return &Flags{
		Common: flags.Common{N: flags.Count(defaults.N), Seed: flags.Seed(defaults.Seed), Shown: flags.Shown{Look: flags.DefaultLook()}},
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
	flags.AddFull(f, &o.Full)
	f.BoolVar(&o.JSON, "json", false, "print the summary as one JSON object, in metric units")
}

// Command is the command person.
func Command(env *console.Environment) *cobra.Command {
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
			return o.run(c.Context(), env, "person", args)
		},
	}
	f := c.Flags()
	o.AddFlags(f)
	f.BoolVar(&o.protocol, "protocol", false, "print how to weigh a part-supported flag, to compare with the prediction")
	f.Var(&o.Out, "out", "folder for the summary, the tables of bodies and the charts")
	o.Look.AddFlags(c)
	return c
}

// run answers for the persons of files.
func (o *Flags) run(ctx context.Context, env *console.Environment, command string, files []string) error {
	options, err := o.Resolve()
	if err != nil {
		return err
	}
	s := &Study{Command: command, Options: options, protocol: o.protocol}
	if s.Persons, err = study.LoadPersons(files); err != nil {
		return console.Input(err)
	}
	if err := flags.DistinctOwn(s.Persons); err != nil {
		return err
	}
	if o.loads.Given() {
		load, err := o.loads.Read()
		if err != nil {
			return err
		}
		for i := range s.Persons {
			s.Persons[i].Load = load
		}
	}
	return s.Run(ctx, env, &o.Shown)
}

// Resolve reads the flags, and those of how results are shown into their places.
func (o *Flags) Resolve() (with person.Options, err error) {
	if err := o.Check(); err != nil {
		return with, err
	}
	if o.N < person.LeastN || o.N > person.MostN {
		return with, console.Input(fmt.Errorf("--n: found %d, allowed: %d to %d", o.N, person.LeastN, person.MostN))
	}
	if o.System, err = flags.PickOne("units", o.units, words.ParseSystem, words.Systems[:]); err != nil {
		return with, err
	}
	if err := o.ResolveAssumptions(); err != nil {
		return with, err
	}
	with = person.DefaultOptions()
	with.N, with.Seed, with.Assumptions = int(o.N), uint64(o.Seed), o.Assumptions
	models, masses, segments, err := o.PickModels()
	if err != nil {
		return with, err
	}
	if with.Models = models; len(models) > 0 && !slices.ContainsFunc(models, hold.Model.Judges) {
		return with, console.Input(fmt.Errorf("--models: %s, whose forces do not balance, tells a person nothing by itself; allowed: %s, or both", words.TaughtRule, hold.Equilibrium))
	}
	for flag, n := range map[string]int{"regional-masses": len(masses), "segments": len(segments)} {
		if n > 1 {
			return with, console.Input(fmt.Errorf("--%s: one name is needed here, found %d", flag, n))
		}
	}
	if len(masses) == 1 {
		with.Masses = masses[0]
	}
	if len(segments) == 1 {
		with.Segments = segments[0]
	}
	if with.Endurance, err = flags.PickOne("endurance", o.endurance, strength.ParseEndurance, names.All(strength.NumEndurances)); err != nil {
		return with, err
	}
	return with, o.Look.Check()
}

// answer answers for one person, with the readiness where a model judges.
func (s *Study) answer(ctx context.Context, p *study.Person, with person.Options, system words.System) (said.PersonAnswer, error) {
	var a said.PersonAnswer
	var err error
	if with.Judges() {
		if a.Ready, err = person.Ready(ctx, p.Person, with); err == nil {
			a.Result = a.Ready.Result
		}
	} else {
		a.Result, err = person.Answer(ctx, p.Person, with)
	}
	if err != nil {
		return a, Fault(p, err, system)
	}
	// Summaries are metric whatever the text is in, or a repeat of theirs would differ.
	a.Notes = said.PersonNotes(a.Result, words.Metric)
	return a, nil
}

// Fault places an error of an answer: in the person's file or on the command
// line.
func Fault(p *study.Person, err error, system words.System) error {
	var field *fault.Error
	if errors.As(err, &field) && field.Field == "models" {
		return console.Input(fmt.Errorf("--models: %s (%s of %s)", field.Reason, p.Name, p.File))
	}
	placed := p.Fault(err, system)
	var fault *study.Error
	if errors.As(placed, &fault) {
		return console.Input(placed)
	}
	return placed
}

// Run answers for the persons.
func (s *Study) Run(ctx context.Context, env *console.Environment, as *flags.Shown) (failed error) {
	stamp, err := s.Stamp(nil)
	if err != nil {
		return err
	}
	if s.Command == readiness {
		return s.ready(ctx, env, as, stamp)
	}
	if as.Out != "" {
		// Before anything is written, each person is tried on a few draws.
		if _, err := s.answers(ctx, as, person.LeastN, nil); err != nil {
			return err
		}
	}
	out, err := output.Open(as.Out)
	if err != nil {
		return err
	}
	defer out.Close()
	bar := console.NewProgress(env.Stderr)
	answers, err := s.answers(ctx, as, s.Options.N, func(i int, a *said.PersonAnswer) error {
		bar.Update("persons", i+1, len(s.Persons))
		if out == nil {
			return nil
		}
		if err := a.Show(); err != nil {
			return err
		}
		return writeDraws(filepath.Join(out.Path, drawsName(s.Persons, i)), a, stamp)
	})
	bar.Done()
	if err != nil {
		return err
	}
	text, err := output.Indented(said.SummarisePersons(answers, stamp))
	if err != nil {
		return err
	}
	draw := func(folder string) error { return drawPersons(env, folder, answers, as.Look, as.System) }
	return output.Publish(env, out, stamp, as.JSON, "summary.json", text, draw, func(w io.Writer) error {
		for i := range answers {
			answers[i].Notes = said.PersonNotes(answers[i].Result, as.System)
		}
		write := said.FirstPerson
		if as.Full {
			write = said.PersonText
		}
		if err := write(w, answers, as.System); err != nil || !s.protocol {
			return err
		}
		return said.Protocol(w, answers, as.System)
	})
}

// answers answers for everybody; each is called with every answer while the
// bodies drawn are still there. The faults of all persons are told together.
func (s *Study) answers(ctx context.Context, as *flags.Shown, draws int, each func(int, *said.PersonAnswer) error) ([]said.PersonAnswer, error) {
	with := s.Options
	with.N, with.Workers = draws, int(as.Workers)
	answers := make([]said.PersonAnswer, len(s.Persons))
	var faults []error
	for i := range s.Persons {
		answer, err := s.answer(ctx, &s.Persons[i], with, as.System)
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

// Told is what outputs tell of a study, but for what a stamp has beside it.
type Told struct {
	Command   string                `json:"command"`
	Persons   []json.RawMessage     `json:"persons"`
	N         int                   `json:"n"`
	Models    []string              `json:"models"`
	Masses    string                `json:"regional_masses"`
	Segments  string                `json:"segments"`
	Endurance string                `json:"endurance"`
	Uncertain map[string][2]float64 `json:"assumption_ranges"`
	Before    []json.RawMessage     `json:"before,omitempty"` // of a club, null of whom no earlier table names
}

// Stamp says where the answers come from, in full, with how a club's athletes were before.
func (s *Study) Stamp(before []json.RawMessage) (provenance.Stamp, error) {
	told := Told{
		Command: s.Command, N: s.Options.N, Models: names.Of(s.Options.Models), Masses: s.Options.Masses.String(), Segments: s.Options.Segments,
		Endurance: s.Options.Endurance.String(), Uncertain: output.RangesOf(s.Options.Assumptions), Before: before,
	}
	for i := range s.Persons {
		text, err := json.Marshal(stored.StorePerson(&s.Persons[i]))
		if err != nil {
			return provenance.Stamp{}, err
		}
		told.Persons = append(told.Persons, text)
	}
	return output.NewStamp(told, s.Options.Seed, s.Options.Assumptions.Centre, output.OwnOfPersons(s.Persons)...)
}

// Read rebuilds a study, and what it tells, from where an output of it comes from.
func Read(stamp *provenance.Stamp, find *output.OwnFinder) (s *Study, told Told, err error) {
	if err := output.ReadStudy(stamp, &told); err != nil {
		return nil, told, err
	}
	s = &Study{Command: told.Command, Options: person.DefaultOptions()}
	if s.Persons, err = find.Persons(told.Persons); err != nil {
		return nil, told, err
	}
	if len(s.Persons) == 0 {
		return nil, told, errors.New("names no person")
	}
	o := &s.Options
	o.N, o.Seed, o.Segments = told.N, stamp.Seed, told.Segments
	if o.Assumptions, err = output.Assumed(stamp, told.Uncertain); err != nil {
		return nil, told, err
	}
	o.Models = nil
	for _, name := range told.Models {
		m, ok := hold.ParseModel(name)
		if !ok {
			return nil, told, fmt.Errorf("the model %q in it is not known", name)
		}
		o.Models = append(o.Models, m)
	}
	var masses, endurance bool
	o.Masses, masses = body.ParseMasses(told.Masses)
	o.Endurance, endurance = strength.ParseEndurance(told.Endurance)
	if !masses || !endurance {
		return nil, told, fmt.Errorf("the regional masses %q or the endurance %q in it are not known", told.Masses, told.Endurance)
	}
	return s, told, nil
}

// readiness is the command that tells of tests alone.
const readiness = "readiness"

// ReadinessCommand is the command readiness.
func ReadinessCommand(env *console.Environment) *cobra.Command {
	o := NewFlags()
	c := &cobra.Command{
		Use: "readiness <file or folder>...", Short: "Say what simple tests of strength show about a hold, and which to do next", Args: cobra.MinimumNArgs(1),
		Long: `Say what gives out first in a hold, which test to do next, and what result gives even
odds: the part of person about strength. Before any test that is of an untrained person of that
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
			return o.run(c.Context(), env, readiness, args)
		},
	}
	o.AddFlags(c.Flags())
	return c
}

// ready tells what tests show.
func (s *Study) ready(ctx context.Context, env *console.Environment, as *flags.Shown, stamp provenance.Stamp) error {
	if !s.Options.Judges() {
		_, err := person.Ready(ctx, s.Persons[0].Person, s.Options) // which says why
		return Fault(&s.Persons[0], err, as.System)
	}
	answers, err := s.answers(ctx, as, s.Options.N, nil)
	if err != nil {
		return err
	}
	summary, err := output.Indented(said.SummariseReadiness(answers, stamp))
	if err != nil {
		return err
	}
	return output.Publish(env, nil, stamp, as.JSON, "", summary, nil, func(w io.Writer) error {
		for i := range answers {
			answers[i].Notes = said.PersonNotes(answers[i].Result, as.System)
		}
		if as.Full {
			return said.ReadinessText(w, answers, as.System)
		}
		return said.FirstReadiness(w, answers, as.System)
	})
}
