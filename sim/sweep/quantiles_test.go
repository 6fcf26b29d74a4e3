package sweep_test

import (
	"context"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"

	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
	"counterpoise/sim/sweep"
)

// armsOfMen is a sweep of the flag over the length of arms.
func armsOfMen(quantiles ...float64) *sweep.Study {
	return &sweep.Study{
		Name: "test", Base: scenario.Scenario{Hold: hold.HumanFlag, People: []scenario.Group{{Population: "ansur2-men", Weight: 1}},
			Models: []scenario.Model{scenario.DefaultModel(hold.TwoCondition)}},
		Axes:    []sweep.Axis{{Of: "change.arm_length", Unit: "m", Values: []float64{-0.05, 0.1}}},
		Demands: []hold.Demand{hold.RequiredForce, hold.ArmAngle}, Quantiles: quantiles, Bodies: true, N: 3000, Seed: 7,
	}
}

// The statistics of a point are those of its bodies, the quantiles from the least to the
// greatest.
func TestStatisticsAreThoseOfTheBodies(t *testing.T) {
	s := armsOfMen(0, 0.05, 0.25, 0.5, 0.95, 1)
	bodies := make([][][]float64, s.NumPoints()) // by point and demand
	got := make([][][]float64, s.NumPoints())    // by point, statistic and demand
	first := len(sweep.BodyColumns)
	err := sweep.Run(context.Background(), s, sweep.Options{
		Bodies: func(r *sweep.Rows) error {
			if bodies[r.Point] == nil {
				bodies[r.Point] = make([][]float64, len(s.Demands))
			}
			for d := range s.Demands {
				for _, v := range r.Values[first+d][:r.N] {
					bodies[r.Point][d] = append(bodies[r.Point][d], float64(v))
				}
			}
			return nil
		},
		Point: func(p *sweep.Point) error {
			for _, row := range p.Statistics {
				got[p.Index] = append(got[p.Index], slices.Clone(row))
			}
			return nil
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	for p := range bodies {
		for d, demand := range s.Demands {
			values := slices.Sorted(slices.Values(bodies[p][d]))
			if len(values) != s.N {
				t.Fatalf("point %d has %d bodies, want %d", p, len(values), s.N)
			}
			mean, deviation := stat.MeanStdDev(values, nil)
			want := []float64{mean, deviation}
			for _, q := range s.Quantiles {
				want = append(want, stat.Quantile(q, stat.LinInterp, values, nil))
			}
			for k, w := range want {
				// Columns are float32, histograms 0.05 % wide.
				if !(math.Abs(got[p][k][d]/w-1) <= 1.5e-3) {
					t.Errorf("point %d, %s: %s is %v, the bodies give %v", p, demand, s.Statistic(k), got[p][k][d], w)
				}
			}
		}
	}
}

// Quantiles are shares from 0 to 1, in order.
func TestQuantilesThatMayBe(t *testing.T) {
	for _, c := range []struct {
		quantiles []float64
		want      string
	}{
		{nil, ""}, {[]float64{0}, ""}, {[]float64{1}, ""}, {[]float64{0, 1}, ""}, {[]float64{0.5, 0.50001}, ""},
		{[]float64{-1e-9}, "quantiles: found -1e-09, allowed are shares from 0 to 1"},
		{[]float64{0.1, 1.0000001}, "quantiles: found 1.0000001"},
		{[]float64{math.Inf(1)}, "quantiles: found"},
		{[]float64{math.NaN()}, "quantiles: found NaN"},
		{[]float64{0.5, 0.5}, "quantiles: 0.5 comes after 0.5"},
		{[]float64{0.5, 0.4}, "quantiles: 0.4 comes after 0.5"},
	} {
		err := armsOfMen(c.quantiles...).Check()
		if c.want == "" {
			if err != nil {
				t.Errorf("%v: %v", c.quantiles, err)
			}
			continue
		}
		var field *fault.Error
		if !errors.As(err, &field) || field.Field != "quantiles" || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v: found the error %v, want %q", c.quantiles, err, c.want)
		}
	}
}

// As many points as there may be are not too many, and one more is.
func TestMostPoints(t *testing.T) {
	faultOf := func(points int, design sweep.Design) string {
		s := armsOfMen()
		s.Bodies, s.N, s.Design = false, 1, design
		if design == sweep.QuasiRandom {
			s.Points = points
		} else {
			values := make([]float64, points)
			for i := range values {
				values[i] = 0.1 * float64(i) / float64(points)
			}
			s.Axes[0].Values = values
		}
		if err := s.Check(); err != nil {
			return err.Error()
		}
		return ""
	}
	for design, field := range map[sweep.Design]string{sweep.QuasiRandom: "points", sweep.Grid: "axes"} {
		if got := faultOf(sweep.MostPoints, design); got != "" {
			t.Errorf("%s of the most points: %s", design, got)
		}
		if got := faultOf(sweep.MostPoints+1, design); !strings.HasPrefix(got, field) {
			t.Errorf("%s of one more: %q, want a fault of %s", design, got, field)
		}
	}
	if got := faultOf(0, sweep.QuasiRandom); !strings.HasPrefix(got, "points") {
		t.Errorf("no points: %q", got)
	}
}
