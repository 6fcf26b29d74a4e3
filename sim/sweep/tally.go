package sweep

import (
	"encoding/binary"
	"errors"
	"fmt"

	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
)

// tally is what is counted of the bodies at one point.
type tally struct {
	bodies, possible int64
	demands          []demandTally // by the study's demands
}

type demandTally struct {
	moments   montecarlo.Moments
	histogram montecarlo.Histogram
}

func newTallies(points, demands int) []tally {
	list := make([]tally, points)
	for i := range list {
		list[i].demands = make([]demandTally, demands)
	}
	return list
}

func (t *tally) reset() {
	t.bodies, t.possible = 0, 0
	for d := range t.demands {
		t.demands[d].moments = montecarlo.Moments{}
		t.demands[d].histogram.Reset()
	}
}

// merge adds what other has counted. Moments are merged in the order of calls.
func (t *tally) merge(o *tally) {
	t.bodies += o.bodies
	t.possible += o.possible
	for d := range t.demands {
		t.demands[d].moments.Merge(&o.demands[d].moments)
		t.demands[d].histogram.Merge(&o.demands[d].histogram)
	}
}

// add counts the values of one demand.
func (t *demandTally) add(values []float64) {
	t.moments.AddAll(values)
	t.histogram.AddAll(values)
}

// append encodes the tally: counts as varints, then for every demand its moments
// and its histogram, each after its length.
func (t *tally) append(b []byte) []byte {
	b = binary.AppendUvarint(b, uint64(t.bodies))
	b = binary.AppendUvarint(b, uint64(t.possible))
	for d := range t.demands {
		moments, _ := t.demands[d].moments.MarshalBinary() // neither fails
		histogram, _ := t.demands[d].histogram.MarshalBinary()
		for _, part := range [][]byte{moments, histogram} {
			b = binary.AppendUvarint(b, uint64(len(part)))
			b = append(b, part...)
		}
	}
	return b
}

var errDamaged = errors.New("sweep: damaged outcome of a task")

// decode replaces the tally by the encoded one at the beginning of data, and
// returns the rest.
func (t *tally) decode(data []byte) ([]byte, error) {
	var n [2]uint64
	for i := range n {
		value, size := binary.Uvarint(data)
		if size <= 0 || value > math.MaxInt64 {
			return nil, errDamaged
		}
		n[i], data = value, data[size:]
	}
	t.bodies, t.possible = int64(n[0]), int64(n[1])
	for d := range t.demands {
		for _, into := range []interface{ UnmarshalBinary([]byte) error }{&t.demands[d].moments, &t.demands[d].histogram} {
			length, size := binary.Uvarint(data)
			if size <= 0 || length > uint64(len(data)-size) {
				return nil, errDamaged
			}
			data = data[size:]
			if err := into.UnmarshalBinary(data[:length]); err != nil {
				return nil, err
			}
			data = data[length:]
		}
	}
	return data, nil
}

// Point is what came out at one point.
type Point struct {
	Index       int
	Coordinates []float64 // by axis: a number in the axis' unit, or the index of a name
	Bodies      int64     // held up
	Possible    int64     // of them, those that can take the posture; the statistics are theirs
	// Statistics holds, by statistic and demand, values in the units of the demands
	// (SI, BW, rad); NaN where the hold or model lacks the demand, where nobody can
	// take the posture, and for what there is none of: the standard deviation of a
	// single body, the mean where a value is infinite.
	Statistics [][]float64
}

// Statistic names what one row of Point.Statistics is.
func (s *Study) Statistic(row int) string {
	switch row {
	case 0:
		return "mean"
	case 1:
		return "sd"
	}
	return QuantileName(s.Quantiles[row-2])
}

// NumStatistics returns the number of statistics of every point: mean, standard
// deviation and the quantiles.
func (s *Study) NumStatistics() int { return 2 + len(s.Quantiles) }

// QuantileName names a quantile by its per cent, as in "p5" and "p97.5".
func QuantileName(share float64) string { return fmt.Sprintf("p%.6g", 100*share) }

// newPoint returns room for a point.
func (s *Study) newPoint() *Point {
	p := &Point{Coordinates: make([]float64, len(s.Axes)), Statistics: make([][]float64, s.NumStatistics())}
	for i := range p.Statistics {
		p.Statistics[i] = make([]float64, len(s.Demands))
	}
	return p
}

// sum fills the point from its tally. What never was a number is an error.
func (s *Study) sum(p *Point, t *tally) error {
	p.Bodies, p.Possible = t.bodies, t.possible
	for d := range t.demands {
		m, h := &t.demands[d].moments, &t.demands[d].histogram
		if n := m.NaNs(); n > 0 {
			return fmt.Errorf("sweep: at point %d the %s of %d bodies is not a number", p.Index, s.Demands[d], n)
		}
		p.Statistics[0][d], p.Statistics[1][d] = m.Mean(), math.Sqrt(m.Variance())
		if m.Infinite() > 0 {
			p.Statistics[0][d], p.Statistics[1][d] = math.NaN(), math.NaN()
		}
		for k, q := range s.Quantiles {
			p.Statistics[2+k][d] = h.Quantile(q)
		}
	}
	return nil
}
