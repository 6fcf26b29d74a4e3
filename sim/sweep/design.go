package sweep

import (
	"slices"

	"counterpoise/sim/fault"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/scenario"
)

// designPurpose names the scrambling of quasi-random designs.
const designPurpose = "sweep design"

// NumPoints returns the number of points.
func (s *Study) NumPoints() int {
	if s.Design == QuasiRandom {
		return s.Points
	}
	n := 1
	for i := range s.Axes {
		n *= s.Axes[i].Len()
	}
	return n
}

// design places points.
type design struct {
	study *Study
	sobol *montecarlo.Sobol
	cube  []float64
}

func (s *Study) design() (*design, error) {
	d := &design{study: s, cube: make([]float64, len(s.Axes))}
	if s.Design == QuasiRandom {
		var err error
		if d.sobol, err = montecarlo.NewScrambledSobol(len(s.Axes), s.Seed, designPurpose); err != nil {
			return nil, fault.New("axes", len(s.Axes), "%v", err)
		}
	}
	return d, nil
}

// coordinates writes the coordinates of a point: numbers in the units of the
// axes, or indices of names. In a grid the last axis runs fastest.
func (d *design) coordinates(point int, dst []float64) {
	axes := d.study.Axes
	if d.sobol != nil {
		d.sobol.Point(uint64(point), d.cube)
		for i := range axes {
			dst[i] = axes[i].at(d.cube[i])
		}
		return
	}
	for i := len(axes) - 1; i >= 0; i-- {
		n := axes[i].Len()
		k := point % n
		point /= n
		if axes[i].Named() {
			dst[i] = float64(k)
		} else {
			dst[i] = axes[i].Values[k]
		}
	}
}

// setting returns the setting at coordinates.
func (s *Study) setting(coordinates []float64) *setting {
	at := &setting{Scenario: s.Base}
	at.Assumptions = s.Base.Assumed()
	at.Models = slices.Clone(s.Base.Models)
	at.Change = &scenario.Change{}
	if s.Base.Change != nil {
		*at.Change = *s.Base.Change
	}
	for i, x := range coordinates {
		s.Axes[i].set(at, x)
	}
	at.settle()
	return at
}
