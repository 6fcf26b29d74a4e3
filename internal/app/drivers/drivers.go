// Package drivers is the study of what drives a demand: command, run, text, charts, tables and
// summary.
package drivers

import (
	"context"
	"errors"
	"fmt"
	"io"
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

// driversOptions are the flags of drivers.
type driversOptions struct {
	flags.Common
	everything bool // print everything
	hold       string
	of         string
	legs       string
	pose       []string
	loads      flags.LoadFlags
	where      []string
	until      string
	most       flags.Count
	each       bool
	subsets    bool
	rows       bool

	sobol   string
	second  bool
	full    bool
	screen  bool
	worth   bool
	working string
	along   string
	person  []string // files of persons

	// What the flags say.
	study     scores.Study // but for the people and the model
	models    []scenario.Model
	people    []*anthro.Population
	halfWidth float64
	share     float64 // of added muscle that works
	trait     body.Quantity
	Given     map[string][]string // the flags that bear on the results
	Load      func(string) (*anthro.Population, error)
	FindHold  func(string) (*hold.Hold, error)
	Persons   []study.Person   // whose median bodies are asked about; nil for those of populations
	bodies    []*anthro.People // theirs
}

// What --sobol may be over.
const (
	sobolMedian = "assumptions"
	sobolPeople = "people-as-one"
	sobolGroups = "groups"
)

var SobolNames = []string{sobolMedian, sobolPeople, sobolGroups}

func Command(env *console.Environment) (*driversOptions, *cobra.Command) {
	o := &driversOptions{
		Common: flags.Common{N: 256, Seed: 1, Draws: 256, Look: flags.DefaultLook()}, most: 20_000_000, until: "0.01", working: "50 %",
		Load: flags.LoadPeople, FindHold: study.FindHold,
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
			o.Given = flags.GivenFlags(c.Flags())
			return RunDrivers(c.Context(), env, o)
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
	flags.AddFull(f, &o.everything)
	f.BoolVar(&o.each, "each-assumption", false, "every assumption as a group of its own")
	f.BoolVar(&o.subsets, "all-subsets", false, "Shapley effects over all subsets of up to 12 groups instead of random orders: slower, no closer")
	f.BoolVar(&o.worth, "worth", false, "what one unit is worth to the median body")
	f.StringArrayVar(&o.person, "person", nil, "file or folder of persons whose median bodies --worth is about, instead of --people; may be repeated")
	f.StringVar(&o.working, "working-share", o.working, "share of added muscle that works in the hold, for --worth")
	f.StringVar(&o.sobol, "sobol", "", "first-order and total indices over: "+strings.Join(SobolNames, ", "))
	f.BoolVar(&o.second, "second-order", false, "with --sobol, pairs too")
	f.BoolVar(&o.full, "full-and-independent", false, "full and independent indices of the groups")
	f.BoolVar(&o.screen, "screen", false, "elementary effects of every single input")
	f.StringVar(&o.along, "along", "", "trait of people along which to follow the demand, such as arm_length, stature, bmi, span/stature")
	f.Var(&o.N, "n", "rows of the base sample in each replicate, a power of two from 64")
	f.StringVar(&o.until, "until", o.until, "add replicates until every 95 % interval is this far to either side; 0 for as they come")
	f.Var(&o.most, "max-evaluations", "bodies held up at most, for --until")
	f.Var(&o.Draws, "assumption-draws", "draws of the assumptions behind the bands, a power of two from 128")
	o.AddRunFlags(c, "the summary, the charts and the design with its responses")
	f.BoolVar(&o.rows, "all-rows", false, "with --out, mixed rows in the design too, each with the groups it keeps")
	return o, c
}

// resolve reads the flags.
func (o *driversOptions) resolve() error {
	if err := o.Check(); err != nil {
		return err
	}
	if o.N < 64 || o.N > 1<<20 || o.N&(o.N-1) != 0 {
		return console.Input(fmt.Errorf("--n: found %d, allowed: powers of two from 64 to %d", o.N, 1<<20))
	}
	if o.hold == "" {
		return console.Input(fmt.Errorf("--hold: which hold? Known: %s", strings.Join(holds.Names(), ", ")))
	}
	h, err := o.FindHold(o.hold)
	if err != nil && !study.IsHoldFile(o.hold) {
		_, err = flags.PickOne("hold", o.hold, holds.Find, holds.Names())
	}
	if err != nil {
		return console.Input(err)
	}
	if o.Given != nil {
		o.Given["hold"] = []string{h.Name} // wherever its file lies
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
	_, scale := jsonform.Output(of.Unit)
	o.study = scores.Study{Scenario: scenario.Scenario{Hold: h}, Of: of, Scale: scale, EachAssumption: o.each}
	if o.study.Legs, err = flags.LegsFor(h, o.legs); err != nil {
		return err
	}
	if o.study.Pose, err = flags.PoseFor(h, o.pose); err != nil {
		return err
	}
	if o.study.Load, err = o.loads.Read(); err != nil {
		return err
	}
	if err := o.resolvePersons(); err != nil {
		return err
	}
	if o.Persons == nil && len(o.Common.People) == 0 {
		return console.Input(fmt.Errorf("--people: whose bodies? Known: %s", strings.Join(anthro.Names(), ", ")))
	}
	var names []string
	for _, name := range o.Common.People {
		p, err := o.Load(name)
		if err != nil {
			return console.Input(err)
		}
		if slices.ContainsFunc(o.people, func(before *anthro.Population) bool { return before.Name == p.Name }) {
			return console.Input(fmt.Errorf("--people: %s appears twice", p.Name))
		}
		o.people = append(o.people, p)
		names = append(names, p.Name)
	}
	if len(names) > 0 && o.Given != nil {
		o.Given["people"] = []string{strings.Join(names, ",")} // wherever their files lie
	}
	for _, text := range o.where {
		r, err := study.ParseCondition(text)
		if err != nil {
			return console.Input(fmt.Errorf("--where %w", err))
		}
		o.study.Where = append(o.study.Where, r)
	}
	if err := o.ResolveAssumptions(); err != nil {
		return err
	}
	o.study.Assumptions = o.Assumptions
	if err := o.resolveModels(); err != nil {
		return err
	}
	if err := o.resolveAnalyses(); err != nil {
		return err
	}
	return o.conditionPersons()
}

// resolveModels lists the models, by default all that judge and give the demand.
func (o *driversOptions) resolveModels() error {
	h, of := o.study.Hold, o.study.Of
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
	if len(masses) == 0 {
		masses = []body.Masses{body.Residual}
	}
	if len(segments) == 0 {
		segments = []string{body.DefaultSegments}
	}
	o.models = study.Models(statics, masses, segments)
	return nil
}

// resolveAnalyses reads what is to be computed, and how closely.
func (o *driversOptions) resolveAnalyses() error {
	if o.sobol != "" {
		if _, err := flags.PickOne("sobol", o.sobol, flags.Known(SobolNames), SobolNames); err != nil {
			return err
		}
	}
	if o.second && o.sobol == "" {
		return console.Input(errors.New("--second-order: it is for --sobol"))
	}
	if o.rows && o.Out == "" {
		return console.Input(errors.New("--all-rows: it is for --out"))
	}
	if o.sobol == sobolGroups {
		return console.Input(fmt.Errorf("--sobol %s: %w: leave the flag out, or write --full-and-independent; "+
			"--sobol %s and --sobol %s are over what is independent", sobolGroups, drivers.ErrDependent, sobolMedian, sobolPeople))
	}
	var err error
	if o.along != "" {
		if o.trait, err = body.ParseQuantity(o.along); err != nil {
			return console.Input(fmt.Errorf("--along %s: unknown trait%s; known: %s, or two of them as in span/stature",
				o.along, called.Suggest(o.along, body.QuantityNames()), strings.Join(body.QuantityNames(), ", ")))
		}
	}
	if o.halfWidth, err = shareOf("until", o.until); err != nil {
		return err
	}
	if o.halfWidth < 0 || o.halfWidth >= 1 || o.halfWidth > 0 && o.halfWidth < 1e-4 {
		return console.Input(fmt.Errorf("--until %s: allowed: 0, or a half-width from 0.0001 to below 1", o.until))
	}
	if o.share, err = shareOf("working-share", o.working); err != nil {
		return err
	}
	if o.share < 0 || o.share > 1 {
		return console.Input(fmt.Errorf("--working-share %s: allowed: 0 to 1, or per cent", o.working))
	}
	if o.Draws < leastSplitDraws || o.Draws > 1<<16 || o.Draws&(o.Draws-1) != 0 {
		return console.Input(fmt.Errorf("--assumption-draws: found %d, allowed: powers of two from %d to %d", o.Draws, leastSplitDraws, 1<<16))
	}
	return o.Look.Check()
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

// shares reports whether shares and split are wanted: nothing else was asked for.
func (o *driversOptions) shares() bool {
	return !o.worth && o.sobol == "" && !o.full && !o.screen && o.along == ""
}

// methodOptions are those of one method.
func (o *driversOptions) methodOptions(bar *console.Progress, stage string) drivers.Options {
	m := drivers.Options{
		Seed: uint64(o.Seed), Base: int(o.N), Until: o.halfWidth, Workers: int(o.Workers),
		Progress: func(done, total int) { bar.Update(stage, done, total) },
	}
	if o.halfWidth > 0 {
		m.MaxEvaluations = int64(o.most)
	}
	return m
}

func RunDrivers(ctx context.Context, env *console.Environment, o *driversOptions) (failed error) {
	if err := o.resolve(); err != nil {
		return err
	}
	stamp, err := o.driversStamp()
	if err != nil {
		return err
	}
	// Every study is made ready before the first is computed, and before the folder
	// is: faults come first.
	found := &Drivers{Hold: o.study.Hold, Of: o.study.Of, Posture: o.study.Posture(), Load: o.study.Load, Where: o.study.Where, Fixed: len(o.Assume) > 0}
	var studies []scores.Study
	var body []int // of each study, the number of the person it is about
	for i, p := range o.people {
		lists := make([][]scenario.Model, 0, len(o.models)+1)
		for _, m := range o.models {
			lists = append(lists, []scenario.Model{m})
		}
		if len(o.models) > 1 && (o.shares() || o.sobol != "" || o.full) {
			lists = append(lists, o.models)
		}
		for _, models := range lists {
			s := o.study
			s.People, s.Models = []scenario.Group{scenario.GroupOf(p)}, models
			studies, body = append(studies, s), append(body, i)
		}
	}
	for i, s := range studies {
		f, err := scores.New(s)
		if err != nil {
			return o.refusal(err, studies)
		}
		part := DriversPart{People: s.People[0].Population, Models: s.Models, Function: f, Body: f.MedianPerson()}
		if o.Persons != nil {
			part.Person, part.Body = o.Persons[body[i]].Name, o.bodies[body[i]]
		}
		found.Parts = append(found.Parts, part)
	}
	out, err := output.Open(o.Out)
	if err != nil {
		return err
	}
	defer out.ForgetAfter(&failed)
	bar := console.NewProgress(env.Stderr)
	for i := range found.Parts {
		if err := o.analyse(ctx, bar, &found.Parts[i], out, stamp); err != nil {
			bar.Done()
			return o.classify(err)
		}
	}
	bar.Done()
	text, err := output.Indented(SummariseDrivers(found, stamp))
	if err != nil {
		return err
	}
	draw := func(folder string) error {
		return output.Draw(env, o.Look, output.PlacedIn(folder, DriversFigures(found)))
	}
	return output.Publish(env, out, o.Json, "summary.json", text, draw, func(w io.Writer) error {
		if o.everything {
			return DriversText(w, found)
		}
		return FirstDrivers(w, found)
	})
}

// An analysis is what is computed of one part.
type analysis struct {
	*driversOptions
	ctx   context.Context
	bar   *console.Progress
	part  *DriversPart
	out   *output.Folder // nil for none
	stamp provenance.Stamp
}

// analyse computes what was asked for of one part, and writes its designs.
func (o *driversOptions) analyse(ctx context.Context, bar *console.Progress, p *DriversPart, out *output.Folder, stamp provenance.Stamp) (err error) {
	a := &analysis{o, ctx, bar, p, out, stamp}
	if o.shares() {
		if err := a.shapley(); err != nil {
			return err
		}
	}
	if o.sobol != "" {
		if err := a.indices(); err != nil {
			return err
		}
	}
	if o.full {
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
	if o.worth {
		if p.Worth, err = p.Function.Worth(p.Body, o.share); err != nil {
			return err
		}
	}
	if o.screen {
		if p.Screen, err = a.design("design-screen").screen(ctx, p.Function, o); err != nil {
			return err
		}
	}
	if o.along != "" {
		if p.Along, err = p.Function.Along(o.trait, alongPeople, uint64(o.Seed)); err != nil {
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
	return &designWriter{path: a.path(name), stamp: a.stamp, function: a.part.Function, allRows: a.rows}
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
	if a.subsets {
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
	p.Split, err = p.Function.Split(a.ctx, scores.SplitOptions{Options: a.methodOptions(a.bar, a.stage("split")), Draws: int(a.Draws)})
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
	if a.sobol == sobolMedian {
		if problem, err = p.Function.AtMedian(); err != nil {
			return console.Input(fmt.Errorf("--sobol %s: %w", a.sobol, err))
		}
		p.SobolOf = "the assumptions, for the median body"
		w.atMedian()
	}
	d := len(problem.Groups)
	if d == 0 {
		d = len(problem.Inputs)
	}
	p.Sobol, err = a.run("Sobol' indices", w, 2*d+2, func(m drivers.Options) (*drivers.Result, error) {
		return drivers.Sobol(a.ctx, problem, drivers.SobolOptions{Options: m, SecondOrder: a.second})
	})
	return err
}

// affordable reports a limit of evaluations that does not even allow the fewest
// replicates, of so many evaluations for each row.
func (o *driversOptions) affordable(perRow int) error {
	least := int64(drivers.DefaultReplicates)*int64(o.N)*int64(perRow) + drivers.PilotRows
	if o.halfWidth > 0 && int64(o.most) < least {
		return console.Input(fmt.Errorf("--max-evaluations: found %d, this needs %d at least; a smaller --n needs fewer", o.most, least))
	}
	return nil
}

// alongPeople is how many people stand behind a curve along a trait.
const alongPeople = 1 << 16

// refusal is what is said of studies of which one cannot be made ready, with the
// flag that mends it where there is one.
func (o *driversOptions) refusal(err error, studies []scores.Study) error {
	var impossible *scores.ImpossibleError
	if !errors.As(err, &impossible) {
		return o.classify(err)
	}
	of, low, high, ok := scores.Narrow(studies, impossible, typable)
	if !ok {
		return o.classify(err)
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
func (o *driversOptions) classify(err error) error {
	var impossible *scores.ImpossibleError
	switch {
	case errors.As(err, &impossible):
		return console.Input(impossible)
	case errors.Is(err, drivers.ErrConstant):
		return console.Input(fmt.Errorf("--of %s: it is the same for everybody and under every assumption, so nothing drives it", o.of))
	}
	var bad console.InputError
	if errors.As(err, &bad) {
		return err
	}
	return console.Classify(err)
}

// driversStamp says where a result comes from, in full.
func (o *driversOptions) driversStamp() (provenance.Stamp, error) {
	var people []string
	for _, p := range o.people {
		people = append(people, p.Name)
	}
	analyses := map[string]any{
		"shares": o.shares(), "all_subsets": o.subsets, "each_assumption": o.each, "sobol": o.sobol, "second_order": o.second,
		"full_and_independent": o.full, "screen": o.screen, "worth": o.worth, "working_share": o.share, "along": o.along,
	}
	var persons []map[string]any
	for i := range o.Persons {
		persons = append(persons, o.Persons[i].Resolved())
	}
	resolved := map[string]any{
		"command": "drivers", "flags": o.Given, "hold": study.StoredHold{Hold: o.study.Hold}, "of": o.study.Of.String(), "legs": jsonform.Legs(o.study.Legs), "pose": jsonform.Pose(o.study.Pose),
		"people": people, "where": names.Of(o.study.Where), "models": o.models, "assumption_ranges": output.RangesOf(o.Assumptions), "analyses": analyses,
		"n": int(o.N), "until": o.halfWidth, "max_evaluations": int(o.most), "assumption_draws": int(o.Draws),
	}
	if persons != nil {
		resolved["persons"] = persons
	}
	if o.study.Load != (body.Load{}) {
		resolved["load"] = jsonform.Load(o.study.Load)
	}
	return output.NewStamp(resolved, uint64(o.Seed), o.Assumptions.Centre, append(output.OwnOfPersons(o.Persons), o.people...)...)
}

// resolvePersons reads the persons whose bodies --worth is about, and whose people
// stand behind them.
func (o *driversOptions) resolvePersons() error {
	if o.Persons == nil && len(o.person) == 0 {
		return nil
	}
	switch {
	case !o.worth || o.sobol != "" || o.full || o.screen || o.along != "":
		return console.Input(errors.New("--person: it is for --worth only; everything else is about people"))
	case len(o.Common.People) > 0:
		return console.Input(errors.New("--people: with --person the people are those of the person's file; leave it out"))
	case len(o.where) > 0:
		return console.Input(errors.New("--where: it chooses among people, and --person is about one; leave it out"))
	}
	if o.Persons == nil {
		var err error
		if o.Persons, err = study.LoadPersons(o.person); err != nil {
			return console.Input(err)
		}
	}
	if err := flags.DistinctOwn(o.Persons); err != nil {
		return err
	}
	for i := range o.Persons {
		people, err := o.Persons[i].People()
		if err != nil {
			return console.Input(o.Persons[i].Fault(err, words.Metric))
		}
		o.people = append(o.people, people.Survey())
	}
	return nil
}

// conditionPersons finds the median body of each person.
func (o *driversOptions) conditionPersons() error {
	options := person.DefaultOptions()
	options.Assumptions = o.Assumptions
	var faults []error
	for i := range o.Persons {
		p := &o.Persons[i]
		body, err := person.Median(p.Person, options)
		if err != nil {
			faults = append(faults, p.Fault(err, words.Metric))
			continue
		}
		o.bodies = append(o.bodies, body)
	}
	if len(faults) > 0 {
		return console.Input(errors.Join(faults...))
	}
	return nil
}
