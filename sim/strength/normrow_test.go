package strength

import (
	"math"
	"strings"
	"testing"

	"counterpoise/datasets"
	"counterpoise/internal/golden"
	"counterpoise/sim/muscle"
)

// A row of norms that makes no sense is refused, each part for itself.
func TestRowsOfNorms(t *testing.T) {
	law := golden.Must(LoadLaw())(t)
	good := datasets.NormRow{Group: muscle.Group(0).String(), Sex: "female", Angle: datasets.Angle(radians(90)), Value: 50, Low: 40, High: 60, SD: 9, N: 12}
	row := golden.Must(normRow(&good, law))(t)
	if !(math.Abs(row.Angle-math.Pi/2) <= 1e-15) || row.Capacity != (Capacity{50, 40, 60}) || row.SD != 9 || row.N != 12 {
		t.Errorf("read %+v", row)
	}
	for _, c := range []struct {
		want  string
		spoil func(*datasets.NormRow)
	}{
		{`no group "toes"`, func(r *datasets.NormRow) { r.Group = "toes" }},
		{`sex is "m"`, func(r *datasets.NormRow) { r.Sex = "m" }},
		{`of is "mass"`, func(r *datasets.NormRow) { r.Of = "mass" }},
		{"must be above 0", func(r *datasets.NormRow) { r.Low = 0 }},
		{"must be above 0", func(r *datasets.NormRow) { r.Low = -1 }},
		{"must be above 0", func(r *datasets.NormRow) { r.Value = 39 }},
		{"must be above 0", func(r *datasets.NormRow) { r.Value = 61 }},
		{"must be above 0", func(r *datasets.NormRow) { r.Value = math.NaN() }},
		{"must be above 0", func(r *datasets.NormRow) { r.SD = -0.1 }},
	} {
		r := good
		c.spoil(&r)
		if _, err := normRow(&r, law); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: %v, want %q", r, err, c.want)
		}
	}
	of := good
	of.Of, of.Value, of.Low, of.High, of.SD = "grip", 0.5, 0.4, 0.6, 0
	if row, err := normRow(&of, law); err != nil || !(math.Abs(row.Capacity.Value-0.5*law.bySex[row.Sex].grip) <= 1e-9) || row.Capacity.High <= row.Capacity.Value {
		t.Errorf("in grips %+v, %v", row, err)
	}
}
