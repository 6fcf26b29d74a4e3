package scenario

import (
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/statics"
)

// HeldBody is one body in its hold: by the closed forms, and as a general problem
// solved segment by segment.
type HeldBody struct {
	Body     *body.Columns // one row
	Posture  hold.Posture
	Held     *hold.Result // one row, of every demand that the model gives
	Figure   *hold.Figure
	Solution *statics.Solution
}

// Place holds a block of one body up in a posture, as a figure. The error wraps
// hold.ErrNotPossible where the body cannot take it.
func (h *Held) Place(in *hold.Hold, posture hold.Posture, m hold.Model) (*HeldBody, error) {
	b := &HeldBody{Body: h.Bodies, Posture: posture, Held: hold.NewResult(1, in.Figured(m)...)}
	h.Solve(b.Held, in, posture, m)
	if !b.Held.Possible[0] {
		return nil, hold.ErrNotPossible
	}
	var err error
	if b.Figure, err = in.Figure(h.Bodies, 0, posture, b.Held, &h.Assume); err != nil {
		return nil, err
	}
	b.Solution, err = b.Figure.System.Solve()
	return b, err
}

// CurveSteps is the number of angles of a curve: one a degree over the human flag's
// range.
const CurveSteps = 71

// CurveAngles returns the arm angles of curves over a hold, radians.
func CurveAngles(h *hold.Hold) []float64 {
	angles := make([]float64, CurveSteps)
	for k := range angles {
		angles[k] = h.LeastAngle + float64(float64(k)/(CurveSteps-1)*(h.MostAngle-h.LeastAngle))
	}
	return angles
}

// Curve is what a hold asks of one body over the arm angle.
type Curve struct {
	Parts  []string    // the names of hold.Hold.Parts: conditions in BW, or shares of capacities used
	Angle  []float64   // radians, increasing
	Values [][]float64 // by part
	Peak   []float64   // the largest part
	// Spacing is how far apart the hands are at each angle, m; NaN where that is not told.
	Spacing []float64
	// Where the body is held; NaN where it can take no posture.
	BestAngle, BestPeak, BestSpacing float64
}

// Curve evaluates the parts of the posture of the first body at the angles that it
// can take, and of which keep, if not nil, approves by number. held is how the body
// is held in the end; nil where it cannot be.
func (h *Held) Curve(in *hold.Hold, posture hold.Posture, m hold.Model, angles []float64, keep func(k int) bool, held *hold.Result) Curve {
	c := Curve{Parts: in.Parts(m), BestAngle: math.NaN(), BestPeak: math.NaN(), BestSpacing: math.NaN()}
	c.Values = make([][]float64, len(c.Parts))
	values := make([]float64, len(c.Parts))
	at := in.PartsOf(h.Bodies, h.Capacity, 0, posture, m, &h.Assume)
	out, placed := hold.NewResult(1, hold.ArmAngle, hold.HandSpacing), posture
	for k, angle := range angles {
		if !at(values, angle) || keep != nil && !keep(k) {
			continue
		}
		c.Angle = append(c.Angle, angle)
		for part, v := range values {
			c.Values[part] = append(c.Values[part], v)
		}
		c.Peak = append(c.Peak, largest(values))
		placed.Rule, placed.Angle = hold.GivenAngle, []float64{angle}
		apart := math.NaN()
		if h.Solve(out, in, placed, m); out.Possible[0] {
			apart = out.Value[hold.HandSpacing][0]
		}
		c.Spacing = append(c.Spacing, apart)
	}
	if held != nil && held.Possible[0] {
		angle := held.Value[hold.ArmAngle][0]
		if at(values, angle) {
			c.BestAngle, c.BestPeak, c.BestSpacing = angle, largest(values), held.Value[hold.HandSpacing][0]
		}
	}
	return c
}

// Peaks writes the largest part of the posture of body i at every angle into its
// column of dst, which has a row for each angle; NaN where the body cannot take it.
func (h *Held) Peaks(dst [][]float64, column, i int, in *hold.Hold, posture hold.Posture, m hold.Model, angles []float64) {
	values := make([]float64, len(in.Parts(m)))
	at := in.PartsOf(h.Bodies, h.Capacity, i, posture, m, &h.Assume)
	for k, angle := range angles {
		dst[k][column] = math.NaN()
		if at(values, angle) {
			dst[k][column] = largest(values)
		}
	}
}

func largest(values []float64) float64 {
	most := math.Inf(-1)
	for _, v := range values {
		if v > most { // max is a call in browsers
			most = v
		}
	}
	return most
}
