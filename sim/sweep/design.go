package sweep

import (
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
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

// Median holds up the middle body at coordinates: that whose every measurement is the median of
// the first people there. It is nil where that body cannot take the posture.
func (s *Study) Median(coordinates []float64) (*scenario.HeldBody, *hold.Hold, error) {
	at := s.setting(coordinates)
	model, setup := at.Models[0], scenario.NewSetup(&at.Scenario)
	in := setup.Next
	parts, err := at.Parts()
	if err != nil {
		return nil, nil, err
	}
	people := parts[0].Selection.Population
	alone := []scenario.Case{{Setup: setup, Model: model.Statics, Builder: parts[0].Builder(model), Assume: &at.Assumptions.Centre, ChangedOnly: true}}
	var held *scenario.HeldBody
	placed := []hold.Demand{hold.ArmAngle, hold.HandSpacing} // of the first, where the changed ones are placed by it
	err = scenario.NewBench(1, placed, placed[:1]).Run(anthro.MedianOf(people, people.Quantile), alone, func(_ int, tile *scenario.Tile) (err error) {
		if !tile.Second.Result.Possible[0] {
			return nil
		}
		posture := setup.Second
		if angle := tile.Second.Result.Value[hold.ArmAngle]; in.Places(hold.GivenAngle) && angle != nil {
			posture.Rule, posture.Angle = hold.GivenAngle, angle[:1]
		}
		held, err = tile.Second.Place(in, posture, scenario.Under(in, model.Statics))
		return err
	})
	return held, in, err
}
