// Package drivers is the study of what drives a demand: command, run, text, charts, tables and
// summary.
package drivers

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/app/output"
	"counterpoise/internal/called"
	"counterpoise/internal/holds"
	"counterpoise/internal/jsonform"
	"counterpoise/internal/provenance"
	"counterpoise/internal/stored"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/drivers"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/person"
	"counterpoise/sim/scenario"
	"counterpoise/sim/scenario/scores"

	"github.com/spf13/cobra"
)

// options are the flags of drivers.
type options struct {
	flags.Common
	hold    string
	of      string
	legs    string
	pose    []string
	loads   flags.LoadFlags
	where   []string
	until   string
	most    flags.Count
	working string
	person  []string // files of persons
	asked   analyses
}

// analyses are what is computed.
type analyses struct {
	Shares      bool    `json:"shares"` // and the split: where nothing else was asked for
	Subsets     bool    `json:"all_subsets"`
	Each        bool    `json:"each_assumption"`
	Sobol       string  `json:"sobol"`
	SecondOrder bool    `json:"second_order"`
	Full        bool    `json:"full_and_independent"`
	Screen      bool    `json:"screen"`
	Worth       bool    `json:"worth"`
	Working     float64 `json:"working_share"` // of added muscle
	Along       string  `json:"along"`
	AllRows     bool    `json:"all_rows,omitempty"`
}

// Study is what drives a demand, of whom, and how closely it is computed.
type Study struct {
	analyses
	study     scores.Study // but for the people and the model
	models    []scenario.Model
	people    []*anthro.Population
	persons   []study.Person   // whose median bodies are asked about; nil for those of populations
	bodies    []*anthro.People // theirs
	trait     body.Quantity    // to follow the demand along
	halfWidth float64
	n, draws  int
	most      int64
	seed      uint64
	workers   int // no result depends on it
}

// What --sobol may be over.
const (
	sobolMedian = "assumptions"
	sobolPeople = "people-as-one"
	sobolGroups = "groups"
)

// SobolNames are what --sobol may be over.
var SobolNames = []string{sobolMedian, sobolPeople, sobolGroups}

// usualWorking is the share of added muscle that works, where nothing is said.
const usualWorking = "50 %"

// Command is the command drivers.
func Command(env *console.Environment) *cobra.Command {
	_, c := newCommand(env)
	return c
}

// newCommand is the command with its flags.
func newCommand(env *console.Environment) (*options, *cobra.Command) {
	o := &options{
		Common: flags.Common{N: 256, Seed: 1, Draws: 256, Shown: flags.Shown{Look: flags.DefaultLook()}}, most: 20_000_000, until: "0.01", working: usualWorking,
	}
	c := &cobra.Command{
		Use: "drivers", Short: "Say what drives a demand of a hold: people, assumptions, models", Args: cobra.NoArgs,
		Long: `Say what drives a demand of a hold over people and assumptions, and how surely.

  counterpoise drivers --hold human-flag --of required_force --people us-men
  counterpoise drivers --hold human-flag --of difficulty --people us-men,us-women --out drivers
  counterpoise drivers --hold front-lever --of shoulder_moment --people us-women --worth
  counterpoise drivers --hold human-flag --of required_force --worth --person ada.yaml
  counterpoise drivers --hold human-flag --of required_force --people us-men --along arm_length

Without one of the flags below it gives two things for each population and model:

  shares   Shapley effects of groups: size; arm length, shoulder breadth, leg length, trunk length,
           foot and hand, mass and build, each for size; regional masses; assumptions about the
           skeleton, the statics and strength; with several models, which of them is right.
           They add up to 100 %.
  split    how much of the variance is people, how much assumptions, how much the two together,
           and quantiles over people with bands over the assumptions.

With some of these, it gives them instead:

  --worth                what one unit is worth to the median body: 1 cm of arm, 1 kg of fat, 5° of straddle;
                         with --person, to that of a person (see person)
  --sobol assumptions    first-order and total indices of each assumption, for the median body
  --sobol people-as-one  the same, with all that people differ in as one group
  --full-and-independent full and independent indices of the groups, which depend on each other
  --screen               elementary effects of every single input: which can be left alone
  --along arm_length     the demand along a trait of people, and with that alone changed

How to read shares. Size is stature with everything that comes with it in people; "arm length for
size" is arms longer or shorter than usual at that stature. Such groups are independent of size,
but not of each other: long arms go with long legs. What two groups have in common they share
(Shapley's rule), so a share says how much knowing the group tells about the demand. It does not
say what would happen if that alone changed; --worth does. A group that the model never reads can
earn a share by what it has in common with one that it does read. First-order and total indices
would count what is shared twice; they are refused for groups that depend on each other.

With --out, a folder gets summary.json, the charts, and the design: one Parquet file for each
analysis with every body drawn, its inputs in SI units and the response.`,
		RunE: func(c *cobra.Command, _ []string) error {
			s, err := o.resolve()
			if err != nil {
				return err
			}
			return s.Run(c.Context(), env, &o.Shown)
		},
	}
	f := c.Flags()
	f.StringVar(&o.hold, "hold", "", "the hold: "+strings.Join(holds.Names(), ", ")+", or a file of your own")
	f.StringVar(&o.of, "of", "", "the demand, such as required_force, difficulty, shoulder_moment: see hold show")
	f.Var(&o.Common.People, "people", "populations, told apart: "+strings.Join(anthro.Names(), ", ")+", or files of your own people")
	f.StringArrayVar(&o.where, "where", nil, `people in a range, as in --where "bmi=18.5..27"; may be repeated`)
	f.StringVar(&o.legs, "legs", "", `how the legs are held: together, "straddle 40 deg", one-leg, advanced-tuck or tuck`)
	f.StringArrayVar(&o.pose, "pose", nil, `a part of the pose, as in --pose wall_distance=30cm or --pose bent; may be repeated`)
	o.loads.AddFlags(f)
	o.AddModelFlags(f)
	flags.AddFull(f, &o.Full)
	f.BoolVar(&o.asked.Each, "each-assumption", false, "every assumption as a group of its own")
	f.BoolVar(&o.asked.Subsets, "all-subsets", false, "Shapley effects over all subsets of up to 12 groups instead of random orders: slower, no closer")
	f.BoolVar(&o.asked.Worth, "worth", false, "what one unit is worth to the median body")
	f.StringArrayVar(&o.person, "person", nil, "file or folder of persons whose median bodies --worth is about, instead of --people; may be repeated")
	f.StringVar(&o.working, "working-share", o.working, "share of added muscle that works in the hold, for --worth")
	f.StringVar(&o.asked.Sobol, "sobol", "", "first-order and total indices over: "+sobolMedian+", "+sobolPeople)
	f.BoolVar(&o.asked.SecondOrder, "second-order", false, "with --sobol, pairs too")
	f.BoolVar(&o.asked.Full, "full-and-independent", false, "full and independent indices of the groups")
	f.BoolVar(&o.asked.Screen, "screen", false, "elementary effects of every single input")
	f.StringVar(&o.asked.Along, "along", "", "trait of people along which to follow the demand, such as arm_length, stature, bmi, span/stature")
	f.Var(&o.N, "n", "rows of the base sample in each replicate, a power of two from 64")
	f.StringVar(&o.until, "until", o.until, "add replicates until every 95 % interval is this far to either side; 0 for as they come")
	f.Var(&o.most, "max-evaluations", "bodies held up at most, for --until")
	f.Var(&o.Draws, "assumption-draws", "draws of the assumptions behind the bands, a power of two from 128")
	o.AddRunFlags(c, "the summary, the charts and the design with its responses")
	f.BoolVar(&o.asked.AllRows, "all-rows", false, "with --out, mixed rows in the design too, each with the groups it keeps")
	return o, c
}

// resolve reads the flags.
func (o *options) resolve() (*Study, error) {
	if err := o.Check(); err != nil {
		return nil, err
	}
	s := &Study{analyses: o.asked, n: int(o.N), draws: int(o.Draws), most: int64(o.most), seed: uint64(o.Seed)}
	if err := o.resolveDemand(s); err != nil {
		return nil, err
	}
	if err := o.resolvePeople(s); err != nil {
		return nil, err
	}
	if err := o.ResolveAssumptions(s.study.Hold); err != nil {
		return nil, err
	}
	s.study.Assumptions = o.Assumptions
	if err := o.resolveModels(s); err != nil {
		return nil, err
	}
	if err := o.resolveAnalyses(s); err != nil {
		return nil, err
	}
	return s, s.conditionPersons()
}

// resolveDemand finds the demand, of which hold and in which pose.
func (o *options) resolveDemand(s *Study) error {
	if o.hold == "" {
		return console.Input(fmt.Errorf("--hold: which hold? Known: %s", strings.Join(holds.Names(), ", ")))
	}
	h, err := study.FindHold(o.hold)
	if err != nil && !study.IsHoldFile(o.hold) {
		_, err = flags.PickOne("hold", o.hold, holds.Find, holds.Names())
	}
	if err != nil {
		return console.Input(err)
	}
	asked := names.Of(scenario.DemandsOf(h))
	if o.of == "" {
		return console.Input(fmt.Errorf("--of: which demand of %s? It has %s", h.Name, strings.Join(asked, ", ")))
	}
	of, ok := hold.ParseDemand(o.of)
	if !ok || !slices.Contains(asked, o.of) {
		if ok {
			if why := scenario.Unknown(h, of, hold.Posture{}); why != "" {
				return console.Input(fmt.Errorf("--of %s: the %s of %s is not known: %s", o.of, o.of, h.Name, why))
			}
		}
		return console.Input(fmt.Errorf("--of %s: %s does not have it%s; it has %s", o.of, h.Name, called.Suggest(o.of, asked), strings.Join(asked, ", ")))
	}
	s.study = studyOf(h, of, s.Each)
	if s.study.Legs, err = flags.LegsFor(h, o.legs); err != nil {
		return err
	}
	if s.study.Pose, err = flags.PoseFor(h, o.pose); err != nil {
		return err
	}
	s.study.Load, err = o.loads.Read()
	return err
}

// studyOf is the study of a demand, told in the unit in which machines are.
func studyOf(h *hold.Hold, of hold.Demand, each bool) scores.Study {
	_, scale := jsonform.Output(of.Unit)
	return scores.Study{Scenario: scenario.Scenario{Hold: h}, Of: of, Scale: scale, EachAssumption: each}
}

// resolvePeople finds the people, or the persons whose bodies --worth is about.
func (o *options) resolvePeople(s *Study) error {
	if len(o.person) > 0 {
		switch {
		case !s.Worth || s.Sobol != "" || s.Full || s.Screen || s.Along != "":
			return console.Input(errors.New("--person: it is for --worth only; everything else is about people"))
		case len(o.People) > 0:
			return console.Input(errors.New("--people: with --person the people are those of the person's file; leave it out"))
		case len(o.where) > 0:
			return console.Input(errors.New("--where: it chooses among people, and --person is about one; leave it out"))
		}
		var err error
		if s.persons, err = study.LoadPersons(o.person); err != nil {
			return console.Input(err)
		}
		return s.peopleOfPersons()
	}
	if len(o.People) == 0 {
		return console.Input(fmt.Errorf("--people: whose bodies? Known: %s", strings.Join(anthro.Names(), ", ")))
	}
	for _, name := range o.People {
		p, err := flags.LoadPeople(name)
		if err != nil {
			return console.Input(err)
		}
		if slices.ContainsFunc(s.people, func(before *anthro.Population) bool { return before.Name == p.Name }) {
			return console.Input(fmt.Errorf("--people: %s appears twice", p.Name))
		}
		s.people = append(s.people, p)
	}
	for _, text := range o.where {
		r, err := study.ParseCondition(text)
		if err != nil {
			return console.Input(fmt.Errorf("--where %w", err))
		}
		s.study.Where = append(s.study.Where, r)
	}
	return nil
}

// resolveModels lists the models, by default all that judge and give the demand.
func (o *options) resolveModels(s *Study) error {
	h, of := s.study.Hold, s.study.Of
	statics, masses, segments, err := o.PickModels()
	if err != nil {
		return err
	}
	for _, m := range statics {
		if !h.Has(m) || !h.AsksFor(m, of) {
			return console.Input(fmt.Errorf("--models %s: %s under it gives no %s", m, h.Name, of))
		}
	}
	if len(statics) == 0 {
		for _, m := range h.Judging() {
			if h.AsksFor(m, of) {
				statics = append(statics, m)
			}
		}
	}
	s.models = study.Models(statics, masses, segments)
	return nil
}

// resolveAnalyses reads what is to be computed, and how closely.
func (o *options) resolveAnalyses(s *Study) (err error) {
	if s.AllRows && o.Out == "" {
		return console.Input(errors.New("--all-rows: it is for --out"))
	}
	if s.Along != "" {
		if s.trait, err = body.ParseQuantity(s.Along); err != nil {
			return console.Input(fmt.Errorf("--along %s: unknown trait%s; known: %s, or two of them as in span/stature",
				s.Along, called.Suggest(s.Along, body.QuantityNames()), strings.Join(body.QuantityNames(), ", ")))
		}
	}
	if s.halfWidth, err = shareOf("until", o.until); err != nil {
		return err
	}
	if s.Working, err = shareOf("working-share", o.working); err != nil {
		return err
	}
	if err := s.check(); err != nil {
		return err
	}
	s.Shares = !s.Worth && s.Sobol == "" && !s.Full && !s.Screen && s.Along == ""
	switch {
	case s.Subsets && !s.Shares:
		return console.Input(errors.New("--all-subsets: it is for shares, without other flags of what to compute"))
	case o.working != usualWorking && !s.Worth:
		return console.Input(errors.New("--working-share: it is for --worth"))
	}
	return o.Look.Check()
}

// check reports a number that is not possible, of a flag or of a file.
func (s *Study) check() error {
	wrong := func(format string, args ...any) error { return console.Input(fmt.Errorf(format, args...)) }
	switch {
	case s.n < 64 || s.n > 1<<20 || s.n&(s.n-1) != 0:
		return wrong("--n: found %d, allowed: powers of two from 64 to %d", s.n, 1<<20)
	case !(s.halfWidth == 0 || s.halfWidth >= 1e-4 && s.halfWidth < 1):
		return wrong("--until %v: allowed: 0, or a half-width from 0.0001 to below 1", s.halfWidth)
	case !(s.Working >= 0 && s.Working <= 1):
		return wrong("--working-share %v: allowed: 0 to 1, or per cent", s.Working)
	case s.draws < leastSplitDraws || s.draws > 1<<16 || s.draws&(s.draws-1) != 0:
		return wrong("--assumption-draws: found %d, allowed: powers of two from %d to %d", s.draws, leastSplitDraws, 1<<16)
	case s.most < 0:
		return wrong("--max-evaluations: found %d, must be positive", s.most)
	case s.SecondOrder && s.Sobol == "":
		return wrong("--second-order: it is for --sobol")
	case s.Sobol == sobolGroups:
		return wrong("--sobol %s: %w: leave the flag out, or write --full-and-independent; "+
			"--sobol %s and --sobol %s are over what is independent", sobolGroups, drivers.ErrDependent, sobolMedian, sobolPeople)
	case s.Sobol != "":
		_, err := flags.PickOne("sobol", s.Sobol, flags.Known(SobolNames), SobolNames)
		return err
	}
	return nil
}

// leastSplitDraws is the fewest draws by which variance is split.
const leastSplitDraws = 128

// shareOf reads a share, as a number or in per cent.
func shareOf(flag, text string) (float64, error) {
	number, percent := strings.CutSuffix(strings.TrimSpace(text), "%")
	x, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		return 0, console.Input(fmt.Errorf("--%s %s: not a number such as 0.01 or 1 %%", flag, text))
	}
	if percent {
		x /= 100
	}
	return x, nil
}

// methodOptions are those of one method.
func (s *Study) methodOptions(bar *console.Progress, stage string) drivers.Options {
	m := drivers.Options{
		Seed: s.seed, Base: s.n, Until: s.halfWidth, Workers: s.workers,
		Progress: func(done, total int) { bar.Update(stage, done, total) },
	}
	if s.halfWidth > 0 {
		m.MaxEvaluations = s.most
	}
	return m
}

// Run computes what drives the demand.
func (s *Study) Run(ctx context.Context, env *console.Environment, as *flags.Shown) (failed error) {
	stamp, err := s.stamp()
	if err != nil {
		return err
	}
	s.workers = int(as.Workers)
	// Every study is made ready before the first is computed, and before the folder
	// is: faults come first.
	found, err := s.parts()
	if err != nil {
		return err
	}
	out, err := output.Open(as.Out)
	if err != nil {
		return err
	}
	defer out.Close()
	bar := console.NewProgress(env.Stderr)
	for i := range found.Parts {
		if err := s.analyse(ctx, bar, &found.Parts[i], out, stamp); err != nil {
			bar.Done()
			return s.classify(err)
		}
	}
	bar.Done()
	text, err := output.Indented(SummariseDrivers(found, stamp))
	if err != nil {
		return err
	}
	draw := func(folder string) error {
		return output.Draw(env, as.Look, output.PlacedIn(folder, DriversFigures(found)))
	}
	return output.Publish(env, out, stamp, as.JSON, "summary.json", text, draw, func(w io.Writer) error {
		if as.Full {
			return DriversText(w, found)
		}
		return FirstDrivers(w, found)
	})
}

// parts makes the study of each population, or person, and model ready.
func (s *Study) parts() (*Drivers, error) {
	of, usual := &s.study.Assumptions, assume.DefaultUncertainty()
	fixed := !maps.Equal(of.Centre.Named(), usual.Centre.Named()) || !maps.Equal(output.RangesOf(*of), output.RangesOf(usual))
	found := &Drivers{Hold: s.study.Hold, Of: s.study.Of, Posture: s.study.Posture(), Load: s.study.Load, Where: s.study.Where, Fixed: fixed}
	var studies []scores.Study
	var body []int // of each study, the number of the person it is about
	for i, p := range s.people {
		lists := names.Each(s.models, func(m scenario.Model) []scenario.Model { return []scenario.Model{m} })
		if len(s.models) > 1 && (s.Shares || s.Sobol != "" || s.Full) {
			lists = append(lists, s.models)
		}
		for _, models := range lists {
			one := s.study
			one.People, one.Models = []scenario.Group{scenario.GroupOf(p)}, models
			studies, body = append(studies, one), append(body, i)
		}
	}
	ready := scores.New
	if !s.Shares && s.Sobol == "" && !s.Full && !s.Screen {
		ready = scores.AmongThoseWhoCan
	}
	for i, one := range studies {
		f, err := ready(one)
		if err != nil {
			return nil, s.refusal(err, studies)
		}
		part := DriversPart{People: one.People[0].Population, Models: one.Models, Function: f, Body: f.MedianPerson()}
		if s.persons != nil {
			part.Person, part.Body = s.persons[body[i]].Name, s.bodies[body[i]]
		}
		found.Parts = append(found.Parts, part)
	}
	return found, nil
}

// An analysis is what is computed of one part.
type analysis struct {
	*Study
	ctx   context.Context
	bar   *console.Progress
	part  *DriversPart
	out   *output.Folder // nil for none
	stamp provenance.Stamp
}

// analyse computes what was asked for of one part, and writes its designs.
func (s *Study) analyse(ctx context.Context, bar *console.Progress, p *DriversPart, out *output.Folder, stamp provenance.Stamp) (err error) {
	a := &analysis{s, ctx, bar, p, out, stamp}
	if s.Shares {
		if err := a.shapley(); err != nil {
			return err
		}
	}
	if s.Sobol != "" {
		if err := a.indices(); err != nil {
			return err
		}
	}
	if s.Full {
		problem := p.Function.Problem()
		p.Full, err = a.run("full and independent indices", a.design("design-full-and-independent"), 4*len(problem.Groups)+2, func(m drivers.Options) (*drivers.Result, error) {
			return drivers.FullAndIndependent(ctx, problem, m)
		})
		if err != nil {
			return err
		}
	}
	if len(p.Models) > 1 {
		return nil
	}
	if s.Worth {
		if p.Worth, err = p.Function.Worth(p.Body, s.Working); err != nil {
			return err
		}
	}
	if s.Screen {
		if p.Screen, err = a.design("design-screen").screen(ctx, p.Function, s); err != nil {
			return err
		}
	}
	if s.Along != "" {
		if p.Along, err = p.Function.Along(s.trait, alongPeople, s.seed); err != nil {
			return err
		}
	}
	return nil
}

// design is what writes the rows of a method into a table of that name.
func (a *analysis) design(name string) *designWriter {
	if a.out == nil {
		return nil
	}
	return &designWriter{path: a.path(name), stamp: a.stamp, function: a.part.Function, allRows: a.AllRows}
}

func (a *analysis) path(name string) string {
	return filepath.Join(a.out.Path, name+"-"+a.part.FileName()+".parquet")
}

// stage is what a method is called while it runs.
func (a *analysis) stage(method string) string {
	return method + ", " + a.part.People + ", " + a.part.Model()
}

// run runs a method of so many evaluations for each row.
func (a *analysis) run(name string, w *designWriter, perRow int, method func(drivers.Options) (*drivers.Result, error)) (*drivers.Result, error) {
	if err := a.affordable(perRow); err != nil {
		return nil, err
	}
	return w.run(a.methodOptions(a.bar, a.stage(name)), method)
}

// shapley computes the shares and, of one model, the split.
func (a *analysis) shapley() (err error) {
	p, problem := a.part, a.part.Function.Problem()
	method, perRow := drivers.ShapleyPermutations, len(problem.Groups)+1
	if a.Subsets {
		if len(p.Function.Groups()) > drivers.MaxSubsetGroups {
			return &fault.Error{Field: "all-subsets", Reason: fmt.Sprintf("%d groups have too many subsets, at most %d groups are allowed", len(p.Function.Groups()), drivers.MaxSubsetGroups)}
		}
		method, perRow = drivers.Shapley, 1<<len(problem.Groups)
	}
	p.Shares, err = a.run("shares", a.design("design"), perRow, func(m drivers.Options) (*drivers.Result, error) { return method(a.ctx, problem, m) })
	if err != nil || len(p.Models) > 1 {
		return err
	}
	if err := a.affordable(8 * 6); err != nil { // eight times the rows, for two groups
		return err
	}
	p.Split, err = p.Function.Split(a.ctx, scores.SplitOptions{Options: a.methodOptions(a.bar, a.stage("split")), Draws: a.draws})
	if err != nil || a.out == nil {
		return err
	}
	return writeSplit(a.path("assumption-draws"), p, a.study.Of, a.stamp)
}

// indices computes first-order and total indices.
func (a *analysis) indices() (err error) {
	p, w := a.part, a.design("design-sobol")
	problem := p.Function.PeopleAsOne()
	p.SobolOf = "people as one group and each assumption"
	if a.Sobol == sobolMedian {
		if problem, err = p.Function.AtMedian(); err != nil {
			return console.Input(fmt.Errorf("--sobol %s: %w", a.Sobol, err))
		}
		p.SobolOf = "the assumptions, for the median body"
		if w != nil {
			w.uniform = true
		}
	}
	d := cmp.Or(len(problem.Groups), len(problem.Inputs))
	p.Sobol, err = a.run("Sobol' indices", w, 2*d+2, func(m drivers.Options) (*drivers.Result, error) {
		return drivers.Sobol(a.ctx, problem, drivers.SobolOptions{Options: m, SecondOrder: a.SecondOrder})
	})
	return err
}

// affordable reports a limit of evaluations that does not even allow the fewest
// replicates, of so many evaluations for each row.
func (s *Study) affordable(perRow int) error {
	least := int64(drivers.DefaultReplicates)*int64(s.n)*int64(perRow) + drivers.PilotRows
	if s.halfWidth > 0 && s.most < least {
		return console.Input(fmt.Errorf("--max-evaluations: found %d, this needs %d at least; a smaller --n needs fewer", s.most, least))
	}
	return nil
}

// alongPeople is how many people stand behind a curve along a trait.
const alongPeople = 1 << 16

// refusal is what is said of studies of which one cannot be made ready, with the
// flag that mends it where there is one.
func (s *Study) refusal(err error, studies []scores.Study) error {
	var impossible *scores.ImpossibleError
	if !errors.As(err, &impossible) {
		return s.classify(err)
	}
	of, low, high, ok := scores.Narrow(studies, impossible, typable)
	if !ok {
		return s.classify(err)
	}
	return console.Input(fmt.Errorf("%w: --assume %s=%s works", impossible, of, words.AssumptionRange(of, low, high)))
}

// typable rounds a value of an assumption to four digits, as people have it.
func typable(of assume.ID, x float64) float64 {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(words.AssumptionTold(of, x), 'g', 4, 64), 64)
	if err != nil {
		return x
	}
	return words.AssumptionMeant(of, rounded)
}

// classify marks the errors that the user can mend.
func (s *Study) classify(err error) error {
	var impossible *scores.ImpossibleError
	switch {
	case errors.As(err, &impossible):
		return console.Input(impossible)
	case errors.Is(err, drivers.ErrConstant):
		return console.Input(fmt.Errorf("--of %s: it is the same for everybody and under every assumption, so nothing drives it", s.study.Of))
	}
	var bad console.InputError
	if errors.As(err, &bad) {
		return err
	}
	return console.Classify(err)
}

// told is what outputs tell of a study.
type told struct {
	Command   string                `json:"command"`
	Hold      stored.Hold           `json:"hold"`
	Of        string                `json:"of"`
	Legs      jsonform.Legs         `json:"legs"`
	Pose      jsonform.Pose         `json:"pose"`
	Load      jsonform.Load         `json:"load,omitzero"`
	People    []string              `json:"people"`
	Where     []stored.Range        `json:"where"`
	Models    []scenario.Model      `json:"models"`
	Uncertain map[string][2]float64 `json:"assumption_ranges"`
	Analyses  analyses              `json:"analyses"`
	N         int                   `json:"n"`
	Until     float64               `json:"until"`
	Most      int64                 `json:"max_evaluations"`
	Draws     int                   `json:"assumption_draws"`
	Persons   []json.RawMessage     `json:"persons,omitempty"`
}

// stamp says where a result comes from, in full.
func (s *Study) stamp() (provenance.Stamp, error) {
	of := told{
		"drivers", stored.Hold{Hold: s.study.Hold}, s.study.Of.String(), jsonform.Legs(s.study.Legs), jsonform.Pose(s.study.Pose), jsonform.Load(s.study.Load), nil,
		stored.StoreRanges(s.study.Where), s.models, output.RangesOf(s.study.Assumptions), s.analyses, s.n, s.halfWidth, s.most, s.draws, nil,
	}
	of.People = names.Each(s.people, func(p *anthro.Population) string { return p.Name })
	for i := range s.persons {
		text, err := json.Marshal(stored.StorePerson(&s.persons[i]))
		if err != nil {
			return provenance.Stamp{}, err
		}
		of.Persons = append(of.Persons, text)
	}
	return output.NewStamp(of, s.seed, s.study.Assumptions.Centre, append(output.OwnOfPersons(s.persons), s.people...)...)
}

// Read rebuilds a study from where an output of it comes from.
func Read(stamp *provenance.Stamp, find *output.OwnFinder) (*Study, error) {
	var of told
	if err := output.ReadStudy(stamp, &of); err != nil {
		return nil, err
	}
	demand, ok := hold.ParseDemand(of.Of)
	if !ok || of.Hold.IsZero() {
		return nil, fmt.Errorf("the study in it is about the unknown demand %q", of.Of)
	}
	s := &Study{
		analyses: of.Analyses, study: studyOf(of.Hold.Hold, demand, of.Analyses.Each), models: of.Models,
		halfWidth: of.Until, n: of.N, draws: of.Draws, most: of.Most, seed: stamp.Seed,
	}
	s.study.Legs, s.study.Pose, s.study.Load, s.study.Where = hold.Legs(of.Legs), hold.Pose(of.Pose), body.Load(of.Load), stored.RangesOf(of.Where)
	err := s.check()
	if err != nil {
		return nil, err
	}
	if s.study.Assumptions, err = output.Assumed(stamp, of.Uncertain); err != nil {
		return nil, err
	}
	if s.Along != "" {
		if s.trait, err = body.ParseQuantity(s.Along); err != nil {
			return nil, err
		}
	}
	if s.persons, err = find.Persons(of.Persons); err != nil {
		return nil, err
	}
	if s.persons != nil {
		return s, errors.Join(s.peopleOfPersons(), s.conditionPersons())
	}
	for _, name := range of.People {
		p, err := find.Load(name)
		if err != nil {
			return nil, err
		}
		s.people = append(s.people, p)
	}
	return s, nil
}

// peopleOfPersons finds the people who stand behind persons.
func (s *Study) peopleOfPersons() error {
	if err := flags.DistinctOwn(s.persons); err != nil {
		return err
	}
	for i := range s.persons {
		people, err := s.persons[i].People()
		if err != nil {
			return console.Input(s.persons[i].Fault(err, words.Metric))
		}
		s.people = append(s.people, people.Survey())
	}
	return nil
}

// conditionPersons finds the median body of each person.
func (s *Study) conditionPersons() error {
	options := person.DefaultOptions()
	options.Assumptions = s.study.Assumptions
	var faults []error
	for i := range s.persons {
		p := &s.persons[i]
		body, err := person.Median(p.Person, options)
		if err != nil {
			faults = append(faults, p.Fault(err, words.Metric))
			continue
		}
		s.bodies = append(s.bodies, body)
	}
	if len(faults) > 0 {
		return console.Input(errors.Join(faults...))
	}
	return nil
}
