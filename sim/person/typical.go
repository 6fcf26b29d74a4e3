package person

import (
	"errors"

	"counterpoise/sim/anthro"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/linear"
	"counterpoise/sim/math"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
	"counterpoise/sim/statics"
)

// Typical is one of those drawn, a body under its assumptions and with its strength, who shows
// what is told of all of them.
type Typical struct {
	Held  *scenario.HeldBody
	Curve *Curve // of this body, with the ribbons of all; nil where the person has none
}

// Typical holds up the one of those drawn who is nearest, in ranks, to what is told of a model: to
// its main demand, the difficulty and the hand spacing, and then to the middle of stature and
// weight. The body is held where the person is told to be, or at its own best where it cannot be
// held there. It is nil where no simulated body can take the posture. The errors are those of Answer, and
// a *fault.Error for a model that the answer is not about, or where those drawn were let go.
func (r *Result) Typical(model hold.Model) (*Typical, error) {
	m := r.Under(model)
	if m == nil || r.People == nil || m.All == nil {
		return nil, fault.New("models", int(model), "the answer has no simulated bodies under it")
	}
	rows, columns := m.told(r.People)
	if len(rows) == 0 {
		return nil, nil
	}
	row := rows[linear.MiddleOf(columns...)]
	pr, err := prepare(r.Person, r.Options)
	if err != nil {
		return nil, err
	}
	in, best, own := pr.scenario.Hold, pr.setup.First, pr.own(true)
	postures := []hold.Posture{best}
	if q, ok := m.Quantity(hold.HandSpacing); ok && m.Curve != nil {
		told := best
		told.Rule, told.Spacing = hold.GivenSpacing, []float64{q.All.Median}
		postures = []hold.Posture{told, best}
	}
	own.at(row)
	typical := &Typical{}
	// The body stays in the bench, which is its alone.
	err = scenario.NewBench(1, nil, nil).Run(r.People.Slice(row, row+1), pr.cases(&r.Assumed[r.Draw[row]], own)[:1], func(_ int, t *scenario.Tile) (err error) {
		for _, posture := range postures {
			if typical.Held, err = t.First.Place(in, posture, model); !errors.Is(err, hold.ErrNotPossible) {
				break
			}
		}
		if err == nil && m.Curve != nil {
			typical.Curve = m.Curve.of(&t.First, in, best, model, typical.Held.Held)
		}
		return err
	})
	return typical, err
}

// of is the curve of another body, at the angles that it can take, with the same ribbons.
func (c *Curve) of(body *scenario.Held, in *hold.Hold, posture hold.Posture, m hold.Model, held *hold.Result) *Curve {
	other := &Curve{}
	ribbons := func(k int) bool {
		other.BodyLow, other.BodyHigh = append(other.BodyLow, c.BodyLow[k]), append(other.BodyHigh, c.BodyHigh[k])
		other.AllLow, other.AllHigh = append(other.AllLow, c.AllLow[k]), append(other.AllHigh, c.AllHigh[k])
		return true
	}
	other.Curve = body.Curve(in, posture, m, c.Angle, ribbons, held)
	return other
}

// told are the numbers of those drawn who can take the posture, and what is told of them, to be
// ranked.
func (m *ModelResult) told(people *anthro.People) (rows []int, columns []linear.Ranked) {
	for i, possible := range m.All.Possible {
		if possible {
			rows = append(rows, i)
		}
	}
	column := func(of []float64, counts, middle float64) {
		columns = append(columns, linear.Rank(names.Each(rows, func(i int) float64 { return of[i] }), counts, middle))
	}
	mass := people.Value[anthro.Mass]
	const much = 100 // as often as stature and weight: it is written down
	for _, q := range m.Quantities {
		of := m.All.Value[q.Demand]
		switch {
		case q.Demand == m.Main && q.AbsoluteUnit != "":
			newtons := make([]float64, len(of))
			for i := range of {
				newtons[i] = of[i] * mass[i] * statics.StandardGravity
			}
			column(newtons, much, q.AllAbsolute.Median)
		case q.Demand == m.Main, q.Demand == hold.Difficulty, q.Demand == hold.HandSpacing:
			column(of, much, q.All.Median)
		}
	}
	column(mass, 1, math.NaN())
	column(people.Value[anthro.Stature], 1, math.NaN())
	return rows, columns
}
