package datasets

import (
	"fmt"
	"math"
)

// Raw names one raw file that a data set was derived from.
type Raw struct {
	File   string `json:"file"`
	Origin string `json:"origin"`
	SHA256 string `json:"sha256"` // of the file as distributed, in hexadecimal
}

// Provenance says where a data set comes from.
type Provenance struct {
	Citation string `json:"citation"`
	Licence  string `json:"licence"`
	Method   string `json:"method"`        // how the data set was derived
	Raw      []Raw  `json:"raw,omitempty"` // none for tables typed from a paper
}

// Quantiles describes one measurement's distribution by its values at equally
// spaced normal scores.
type Quantiles struct {
	Measurement string    `json:"measurement"`
	Unit        string    `json:"unit"`
	Values      []float64 `json:"values"`
}

// People is the file of one population in people/.
type People struct {
	Name       string     `json:"name"`
	Title      string     `json:"title"`
	Sex        string     `json:"sex"`
	N          int        `json:"n"` // people measured
	Provenance Provenance `json:"provenance"`
	// FirstScore is the normal score of each measurement's first value,
	// ScoreStep the distance to the next.
	FirstScore   float64     `json:"first_score"`
	ScoreStep    float64     `json:"score_step"`
	Measurements []Quantiles `json:"measurements"`
	// Correlation is that of the normal scores, below the diagonal: row i has
	// the i correlations with the measurements before it.
	Correlation [][]float64 `json:"correlation"`
	// Mixture says how two kinds of people differ of which the population is made;
	// nil where it is of one kind.
	Mixture *Mixture `json:"mixture,omitempty"`
	// Regional names the data set of the regional masses; empty for the first there was,
	// nhanes-2003-2004.
	Regional string `json:"regional,omitempty"`
}

// Mixture is two kinds of people whose proportions differ: a share of the people has
// normal scores that lie higher by the shift, measurement by measurement, than those
// of the rest. Scores are of the two kinds together: mean 0 and variance 1.
type Mixture struct {
	Share float64   `json:"share"`
	Shift []float64 `json:"shift"`
}

// RegionalFit is the model of the regional masses of one sex.
type RegionalFit struct {
	N                  int           `json:"n"`
	Coefficients       [3][4]float64 `json:"coefficients"`
	ResidualCovariance [3][3]float64 `json:"residual_covariance"`
	WaistCoefficients  [3]float64    `json:"waist_coefficients"`
	// Spread says how the residuals' standard deviations go with the body mass index:
	// as the powers of it over 25 kg/m². All 0 where they were taken for the same.
	Spread [3]float64 `json:"spread_exponents,omitzero"`
}

// Regional is a file in regional/.
type Regional struct {
	Name       string                 `json:"name"`
	Title      string                 `json:"title"`
	Provenance Provenance             `json:"provenance"`
	BySex      map[string]RegionalFit `json:"by_sex"`
}

// SegmentRow is one segment between one pair of endpoints.
type SegmentRow struct {
	Segment     string   `json:"segment"`
	Origin      string   `json:"origin"` // the endpoint from which the centre is measured
	Other       string   `json:"other"`
	Length      *float64 `json:"length_mm,omitempty"`      // mean of the sample
	MassShare   *float64 `json:"mass_percent,omitempty"`   // of body mass
	CentreShare *float64 `json:"centre_percent,omitempty"` // of length, from the origin
}

// SegmentSample is a segment table of one sex, or of both if they share one.
type SegmentSample struct {
	Sample  string       `json:"sample"`
	Stature *float64     `json:"stature_m,omitempty"` // mean of the sample
	Mass    *float64     `json:"mass_kg,omitempty"`   // mean of the sample
	Rows    []SegmentRow `json:"rows"`
}

// Segments is the file of one segment table in segments/.
type Segments struct {
	Name       string                   `json:"name"`
	Title      string                   `json:"title"`
	Provenance Provenance               `json:"provenance"`
	Endpoints  map[string]string        `json:"endpoints"` // the landmarks by abbreviation
	BySex      map[string]SegmentSample `json:"by_sex"`
}

// Refits is a file in refits/: how the parameters of a data set vary when it is
// fitted anew to people resampled from those measured (bootstrap).
type Refits struct {
	Of     string `json:"of"` // the data set, and for one of both sexes the sex
	Method string `json:"method"`
	N      int    `json:"n"` // refits
	// Step is the unit of each parameter's deviation from its fitted value, and
	// Deviations holds N times as many deviations as there are steps, refit after
	// refit, a signed byte each.
	Step       []float64 `json:"step"`
	Deviations []byte    `json:"deviations"`
}

// Deviation returns what gives the deviations of one refit, k from 0 to N-1, one
// after the other, and NaN when there are no more.
func (r *Refits) Deviation(k int) (next func() float64, err error) {
	if k < 0 || k >= r.N || len(r.Deviations) != r.N*len(r.Step) {
		return nil, fmt.Errorf("refits of %s: no refit %d in %d deviations of %d parameters", r.Of, k, len(r.Deviations), len(r.Step))
	}
	own := r.Deviations[k*len(r.Step) : (k+1)*len(r.Step)]
	at := 0
	return func() float64 {
		if at == len(own) {
			return math.NaN()
		}
		at++
		return r.Step[at-1] * float64(int8(own[at-1]))
	}, nil
}
