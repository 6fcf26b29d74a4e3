package body

import (
	"math"
	"strings"
	"testing"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
)

// Quantities of one drawn block of bodies against what they are said to be.
func TestQuantities(t *testing.T) {
	a := assume.Defaults()
	a[assume.ShoulderSpan] = 0.79
	people, b := drawn(t, "ansur2-women", Residual, DefaultSegments, 30, &a)
	v := &people.Value
	const i = 11
	for _, c := range []struct {
		name, unit string
		want       float64
		change     Trait // -1 for none
	}{
		{"arm_length", "m", b.UpperArm[i] + b.Forearm[i] + b.Grip[i], ArmLength},
		{"leg_length", "m", b.Thigh[i] + b.Shank[i], LegLength},
		{"trunk_length", "m", b.Hip[i], -1},
		{"shoulder_breadth", "m", v[anthro.BiacromialBreadth][i], ShoulderBreadth},
		{"biacromial_breadth", "m", v[anthro.BiacromialBreadth][i], ShoulderBreadth},
		{"shoulder_span", "m", 0.79 * v[anthro.BiacromialBreadth][i], -1},
		{"hand_length", "m", v[anthro.HandLength][i], HandLength},
		{"stature", "m", v[anthro.Stature][i], -1},
		{"mass", "kg", v[anthro.Mass][i], -1},
		{"thigh_length", "m", b.Thigh[i], -1},
		{"arms_mass_share", "", 2 * (b.UpperArmShare[i] + b.ForearmShare[i] + b.HandShare[i]), -1},
		{"legs_mass_share", "", 2 * (b.ThighShare[i] + b.ShankShare[i] + b.FootShare[i]), -1},
		{"head_mass_share", "", b.HeadShare[i], -1},
		{"trunk_mass_share", "", b.TrunkShare[i], -1},
		{"bmi", "kg/m2", v[anthro.Mass][i] / (v[anthro.Stature][i] * v[anthro.Stature][i]), -1},
		{"span/stature", "", v[anthro.Span][i] / v[anthro.Stature][i], -1},
		{"arm_length/stature", "", b.Arm(i) / v[anthro.Stature][i], -1},
		{"leg_length/trunk_length", "", (b.Thigh[i] + b.Shank[i]) / b.Hip[i], -1},
		{"mass/arm_length", "kg/m", v[anthro.Mass][i] / b.Arm(i), -1},
		{"mass/head_mass_share", "kg", v[anthro.Mass][i] / b.HeadShare[i], -1},
		{"head_mass_share/mass", "1/kg", b.HeadShare[i] / v[anthro.Mass][i], -1},
	} {
		q, err := ParseQuantity(c.name)
		if err != nil || q.String() != c.name || q.Unit() != c.unit {
			t.Errorf("%s is read as %s in %q, %v; want %q", c.name, q, q.Unit(), err, c.unit)
		}
		got := make([]float64, b.Rows())
		q.Values(got, people, b)
		if !(math.Abs(got[i]-c.want) <= 1e-12*c.want) {
			t.Errorf("%s is %v, want %v", c.name, got[i], c.want)
		}
		if by, ok := q.Change(); ok != (c.change >= 0) || ok && by != c.change {
			t.Errorf("%s is changed by %v, %v", c.name, by, ok)
		}
	}
}

// Every name that is listed is read, and no other.
func TestQuantityNames(t *testing.T) {
	names := QuantityNames()
	for _, name := range names {
		if q, err := ParseQuantity(name); err != nil || q.String() != name {
			t.Errorf("%s is read as %s, %v", name, q, err)
		}
	}
	for _, name := range []string{"arm_lenght", "", "size", "stature/", "/stature", "size/stature", "arm_length/stature/mass", "bmi/stature"} {
		if q, err := ParseQuantity(name); err == nil || !strings.Contains(err.Error(), strings.Join(names, ", ")) {
			t.Errorf("%q is read as %v, %v", name, q, err)
		}
	}
}

// What a measurement gives is read off the body as it was measured.
func TestTraitsThatAreMeasured(t *testing.T) {
	a := assume.Defaults()
	people, b := drawn(t, "ansur2-men", Full, DefaultSegments, 20, &a)
	n := 0
	for trait := range NumTraits {
		m := trait.Info().Measured
		if m == none {
			continue
		}
		n++
		for i := range b.Rows() {
			if got, want := trait.Of(b, i), people.Value[m][i]; !(math.Abs(got-want) <= 1e-14*want) || trait.Info().Unit != m.Unit() {
				t.Fatalf("%s is %v %s, measured as %s %v", trait, got, trait.Info().Unit, m, want)
			}
		}
	}
	if n < 5 {
		t.Errorf("%d traits are measured", n)
	}
}
