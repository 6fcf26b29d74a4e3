// Package scores turns what a hold asks into a function that sim/drivers can take
// apart: from normal scores of measurements, of regional masses and of assumptions
// to one demand.
//
// It answers four questions about a demand:
//
//   - what drives it over people and assumptions: [Function.Problem] and its
//     neighbours, for the methods of package drivers;
//   - how much of its variance is people and how much is ignorance:
//     [Function.Split];
//   - what one unit of something is worth to one body: [Function.Worth];
//   - what goes with a measurement among people: [Function.Along].
//
// The measurements enter for size: stature as its score, every other measurement
// as the part of its score that stature does not tell. So "size" is stature with
// all that goes along with it in real people, "arm length for size" is arms that
// are longer or shorter than usual at that stature, and size is independent of
// all other groups. These depend on each other still (long arms go with long
// legs at any stature) and share the credit for what they have in common.
//
// Everybody counts as strong as the median untrained adult of their sex, size and age:
// what differs is geometry, where the mass sits, and the years.
package scores

import (
	"cmp"
	"errors"
	"fmt"
	"sync/atomic"

	"gonum.org/v1/gonum/mat"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/drivers"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
)

// A Study is one demand of a scenario without a change, over one group of people,
// whose conditions are met approximately, see [New]. If there are several models,
// which of them is right is an input too, each as likely as another.
type Study struct {
	scenario.Scenario
	Of hold.Demand
	// Scale is what responses are multiplied by, to be told in another unit than the
	// demand's own: BW, BW·m, rad, m. 0 leaves them as they are.
	Scale float64
	// EachAssumption makes every assumption a group of its own; otherwise they are
	// taken together by what they are about.
	EachAssumption bool
}

// Check reports everything that is wrong with the study, as joined *fault.Error.
func (s *Study) Check() error {
	wrong := fault.List{s.Scenario.Check(s.Of)}
	if s.Change != nil {
		wrong.Fail("change", nil, "drivers are about people as they are, leave this out")
	}
	if len(s.People) > 1 {
		wrong.Fail("people", len(s.People), "found %d groups, one at a time", len(s.People))
	}
	if why := scenario.UnlikeModels(s.Of, s.Models); why != "" {
		wrong.Fail("models", len(s.Models), "%s: take one model at a time", why)
	}
	if math.IsNaN(s.Scale) || math.IsInf(s.Scale, 0) || s.Scale < 0 {
		wrong.Fail("scale", s.Scale, "found %g, must be positive", s.Scale)
	}
	return errors.Join(wrong...)
}

// scale is what responses are multiplied by.
func (s *Study) scale() float64 {
	return cmp.Or(s.Scale, 1)
}

// A Function is a study made ready: the demand as a function of scores, with the
// scores' joint distribution. It may be shared between goroutines.
type Function struct {
	study      Study
	setup      *scenario.Setup
	people     *scenario.Part
	population *anthro.Population // theirs, or a description of those selected of it
	inputs     []Input
	groups     []drivers.Group
	free       []assume.ID
	scores     *drivers.Gaussian
	onStature  [anthro.NumVariables]regression
	spread     [residuals]float64 // standard deviation of each residual
	median     float64            // the median body's response under the first model

	// quantile is that of people of one's own, whom the population describes only
	// nearly; nil for others.
	quantile func(m anthro.Measurement, share float64) float64

	few bool // who can take the posture was not counted

	rows, impossible atomic.Int64
}

// mostImpossible is the share of bodies that may be unable to take the posture.
// Above it the variance of a demand that they do not have means little.
const mostImpossible = 0.01

// ImpossibleError tells that too many bodies cannot take the posture.
type ImpossibleError struct {
	Hold       string
	Of         string
	Impossible int
	Bodies     int
	// Assumption is the one whose values tell these bodies from the others most,
	// and Large whether theirs are large; "" where none does.
	Assumption string
	Large      bool
}

func (e *ImpossibleError) Error() string {
	text := fmt.Sprintf("%d of %d bodies cannot take the posture of %s, so their %s does not exist: narrow the people or the assumptions",
		e.Impossible, e.Bodies, e.Hold, e.Of)
	if e.Assumption != "" {
		side := map[bool]string{false: "small", true: "large"}[e.Large]
		text += fmt.Sprintf("; most of them have a %s %s, so fix it or give it a narrower range", side, e.Assumption)
	}
	return text
}

// New makes a study ready.
//
// Conditions on people are met by describing those who meet them as a population
// of its own, with their own marginal distributions and correlations (see
// [Function.Split] for numbers over exactly those people). People of one's own are
// described by the means, spreads and correlations of their scores in the survey
// behind them.
//
// Its errors: those of Check; *anthro.RareError for conditions that hardly anybody
// meets; *ImpossibleError where more than one body in a hundred cannot take the
// posture.
func New(s Study) (*Function, error) {
	f, err := AmongThoseWhoCan(s)
	if err != nil {
		return nil, err
	}
	f.few = false
	return f, f.pilot()
}

// AmongThoseWhoCan makes a study ready as New does, whoever can take the posture, for what is told of
// those who can: Worth and Along. What tells of everybody, all else that is asked of models, is an error.
func AmongThoseWhoCan(s Study) (*Function, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	s.Assumptions = s.Assumed()
	parts, err := s.Parts()
	if err != nil {
		return nil, err
	}
	f := &Function{study: s, setup: scenario.NewSetup(&s.Scenario), people: parts[0], population: parts[0].Selection.Population}
	if p := f.population; len(f.people.Selection.Where) > 0 || p.Survey() != p || p.Mixed() {
		describe := selectedPeople
		if p.Resampled() {
			if f.quantile, err = f.people.Selection.Quantiles(); err != nil {
				return nil, err
			}
			describe = ownPeople
		}
		if f.population, err = describe(*f.people.Selection); err != nil {
			return nil, err
		}
	}
	if f.scores, err = drivers.NewGaussian(f.describe()); err != nil {
		return nil, fmt.Errorf("the people of %s: %w", f.population.Name, err)
	}
	f.few, f.median = true, math.NaN()
	return f, nil
}

// everybody returns the error of what is asked of everybody where few may be able to take the posture.
func (f *Function) everybody() error {
	if f.few {
		return fault.New("function", nil, "it was made ready among those who can take the posture, and tells of nobody else")
	}
	return nil
}

// pilotRows is the size of the sample that tells whether people can take the
// posture.
const pilotRows = 8192

// pilot computes the median body and counts who cannot take the posture.
func (f *Function) pilot() error {
	e := f.newEvaluator()
	median, err := e.median()
	if err != nil {
		return err
	}
	f.median = median
	uniforms, in := montecarlo.Columns(len(f.inputs), pilotRows), montecarlo.Columns(len(f.inputs), pilotRows)
	if err := evenly(uniforms, 0, "pilot", 0); err != nil {
		return err
	}
	f.scores.Draw(in, uniforms)
	y := make([]float64, pilotRows)
	n, err := e.respond(y, in, false)
	if err != nil {
		return err
	}
	if float64(n) <= mostImpossible*pilotRows {
		return nil
	}
	failed := f.impossibleFor(n, pilotRows)
	most := 0.2 // of a whole range, which chance does not reach
	for k, id := range f.free {
		var mean float64
		for i := range y {
			if y[i] == f.median { // the stand-in
				mean += share(in[bodyInputs+k][i], false) / float64(n)
			}
		}
		if away := mean - 0.5; math.Abs(away) > most {
			most, failed.Assumption, failed.Large = math.Abs(away), id.String(), away > 0
		}
	}
	return failed
}

// impossibleFor is the error where so many bodies cannot take the posture.
func (f *Function) impossibleFor(impossible, bodies int) *ImpossibleError {
	return &ImpossibleError{Hold: f.study.Hold.Name, Of: f.study.Of.String(), Impossible: impossible, Bodies: bodies}
}

// Study returns what the function was made from.
func (f *Function) Study() Study { return f.study }

// Population returns the study's people, as they are and not as they are described.
func (f *Function) Population() *anthro.Population { return f.people.Selection.Population }

// Median returns the demand of the body whose every measurement is the median,
// under the first model at the central assumptions, in the unit of
// the responses; NaN of a function that was made among those who can take the posture.
func (f *Function) Median() float64 { return f.median }

// Impossible returns how many of the bodies that the models of this function have
// seen could not take the posture. They were given the median body's response.
func (f *Function) Impossible() (impossible, of int64) { return f.impossible.Load(), f.rows.Load() }

// Problem is the demand over people, assumptions and, if there are several, models,
// for drivers.Shapley, drivers.ShapleyPermutations and drivers.FullAndIndependent.
// Its groups depend on each other, so drivers.Sobol refuses it.
func (f *Function) Problem() drivers.Problem {
	return drivers.Problem{Inputs: f.names(0), Groups: f.groups, Sampler: f.scores, NewModel: f.newModel(false)}
}

// PeopleAsOne is the same with all that people differ in as one group, and every
// assumption (and the model) as one of its own: these are independent, so that
// first-order and total indices mean what they are taken to mean.
func (f *Function) PeopleAsOne() drivers.Problem {
	p := f.Problem()
	p.Groups = []drivers.Group{{Name: "people", Inputs: names.UpTo(bodyInputs)}}
	for i := bodyInputs; i < len(f.inputs); i++ {
		p.Groups = append(p.Groups, drivers.Group{Name: f.inputs[i].Name, Inputs: []int{i}})
	}
	return p
}

// ErrNothingFree is the error for a method over the assumptions where all of them
// are fixed and the model is, too.
var ErrNothingFree = errors.New("every assumption is fixed, so none of them drives anything")

// AtMedian is the demand of the body whose every measurement is the median, over
// the assumptions and models alone: inputs uniform on (0, 1), each spread over the
// range of its assumption.
func (f *Function) AtMedian() (drivers.Problem, error) {
	n := len(f.inputs) - bodyInputs
	if n == 0 {
		return drivers.Problem{}, ErrNothingFree
	}
	inner := f.newModel(true)
	return drivers.Problem{Inputs: f.names(bodyInputs), Sampler: drivers.Uniform(n), NewModel: func() drivers.Model {
		model := inner()
		in := make([][]float64, len(f.inputs))
		var zeros []float64
		return func(out []float64, open [][]float64) error {
			if len(zeros) < len(out) {
				zeros = make([]float64, len(out))
			}
			for i := range bodyInputs {
				in[i] = zeros[:len(out)]
			}
			copy(in[bodyInputs:], open)
			return model(out, in)
		}
	}}, nil
}

// Ranges is the box of single inputs for drivers.Morris: every measurement (for
// size) and residual from its 5 to its 95 % point, every assumption over its
// range. As the measurements are for size, even the corners of the box are bodies
// that could be.
func (f *Function) Ranges() ([]drivers.Range, func() drivers.Model) {
	ranges := make([]drivers.Range, len(f.inputs))
	for i := range ranges {
		ranges[i] = drivers.Range{Name: f.inputs[i].Name, Low: -outer, High: outer}
		if i >= bodyInputs {
			ranges[i].Low, ranges[i].High = 0, 1
		}
	}
	return ranges, f.newModel(true)
}

// outer is the normal score of the 95 % point.
const outer = 1.6448536269514722

// names lists the inputs from one on.
func (f *Function) names(from int) []string {
	return names.Each(f.inputs[from:], func(i Input) string { return i.Name })
}

// describe fills in the inputs and groups and returns the scores' correlations.
func (f *Function) describe() *mat.SymDense {
	f.inputs, f.groups, f.free = inputsOf(&f.study)
	n := len(f.inputs)
	correlations := mat.NewSymDense(n, nil)
	for i := range n {
		correlations.SetSym(i, i, 1)
	}
	f.correlate(correlations)
	return correlations
}
