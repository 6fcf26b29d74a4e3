package anthro

import (
	"fmt"
	"slices"
	"sync"

	"counterpoise/datasets"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
)

// Refits returns how many refits of the population there are: what the survey
// would have given had other people of the same kind been measured. It is 0 where
// that is not known.
func (p *Population) Refits() int {
	switch {
	case p.sample != nil:
		return sampleRefits
	case p.survey != nil:
		return p.survey.Refits()
	case p.fitted == nil:
		return 0
	}
	refits, err := readRefits(p.Name)
	if err != nil {
		return 0
	}
	return refits.N
}

// refitFiles holds what readRefits has read.
var refitFiles sync.Map

// readRefits reads an embedded file of refits, once.
func readRefits(name string) (*datasets.Refits, error) {
	if read, ok := refitFiles.Load(name); ok {
		return read.(*datasets.Refits), nil
	}
	refits := new(datasets.Refits)
	if err := datasets.Read("refits", name, refits); err != nil {
		return nil, fmt.Errorf("people: %w", err)
	}
	refitFiles.Store(name, refits)
	return refits, nil
}

// sampleRefits is how many times people of one's own are resampled: as many as
// a survey is fitted anew.
const sampleRefits = 64

// refitPool is how many people weights are found on in a refit: few enough for 64
// refits to take no longer than all else does, at a standard error of the means
// below that of any survey.
const refitPool = 1 << 13

// Refit returns the population as fitted to the k-th resample (bootstrap) of the
// people measured, k from 0 to Refits()-1: their distribution, and that of their
// regional masses, resampled apart from it, as others were scanned. People of
// one's own are resampled themselves; reweighted people are weighted anew to the
// same means. The same k gives the same population in every run.
func (p *Population) Refit(k int) (*Population, error) {
	n := p.Refits()
	if k < 0 || k >= n {
		return nil, fmt.Errorf("people %s: refit %d of %d", p.Name, k, n)
	}
	switch {
	case p.sample != nil:
		again := *p
		resampled := *p.sample
		resampled.rows = make([]sampleRow, len(p.sample.rows))
		stream := montecarlo.NewStream(uint64(k), "refit/"+p.Name)
		for i := range resampled.rows {
			resampled.rows[i] = p.sample.rows[int(stream.Float64()*float64(len(p.sample.rows)))]
		}
		again.sample, again.quantiles = &resampled, &quantiles{}
		return &again, nil
	case p.athletes != nil:
		return athletesOf(p.athletes, k)
	case p.tilt != nil:
		survey, err := p.survey.Refit(k)
		if err != nil {
			return nil, err
		}
		return Selection{Population: survey, Where: p.tilt.within}.reweight(p.Reweighted.Targets, refitPool)
	}
	return p.refitSurvey(k)
}

func (p *Population) refitSurvey(k int) (*Population, error) {
	refits, err := readRefits(p.Name)
	if err != nil {
		return nil, err
	}
	regional, err := readRefits(p.Regional.Name + "-" + p.Sex.String())
	if err != nil {
		return nil, err
	}
	file := *p.fitted
	file.Measurements, file.Correlation = slices.Clone(file.Measurements), slices.Clone(file.Correlation)
	deviation, err := refits.Deviation(k)
	if err != nil {
		return nil, fmt.Errorf("people %s: %w", p.Name, err)
	}
	for m := range file.Measurements {
		file.Measurements[m].Values = slices.Clone(file.Measurements[m].Values)
		for i := range file.Measurements[m].Values {
			file.Measurements[m].Values[i] += deviation()
		}
	}
	for i, row := range file.Correlation {
		file.Correlation[i] = slices.Clone(row)
		for j := range row {
			file.Correlation[i][j] += deviation()
		}
	}
	if file.Mixture != nil {
		mixture := *file.Mixture
		mixture.Share += deviation()
		mixture.Shift = slices.Clone(mixture.Shift)
		for i := range mixture.Shift {
			mixture.Shift[i] += deviation()
		}
		file.Mixture = &mixture
	}
	if !math.IsNaN(deviation()) {
		return nil, fmt.Errorf("people %s: refits of another number of parameters", p.Name)
	}
	again, err := withoutRegional(&file)
	if err != nil {
		return nil, fmt.Errorf("people %s, refit %d: %w", p.Name, k, err)
	}
	again.Regional = p.Regional
	if deviation, err = regional.Deviation(k % regional.N); err != nil {
		return nil, fmt.Errorf("regional masses %s: %w", p.Regional.Name, err)
	}
	r := &again.Regional
	for i := range r.Coefficients {
		for j := range r.Coefficients[i] {
			r.Coefficients[i][j] += deviation()
		}
	}
	for i := range r.Covariance {
		for j := range i + 1 {
			r.Covariance[i][j] += deviation()
			r.Covariance[j][i] = r.Covariance[i][j]
		}
	}
	for i := range r.WaistCoefficients {
		r.WaistCoefficients[i] += deviation()
	}
	if r.Spread != [len(r.Spread)]float64{} {
		for i := range r.Spread {
			r.Spread[i] += deviation()
		}
	}
	if math.IsNaN(deviation()) {
		return again, r.factorise()
	}
	return nil, fmt.Errorf("people %s: refits of another number of parameters", p.Name)
}
