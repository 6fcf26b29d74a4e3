package strength

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/muscle"
)

func loaded(t testing.TB) *Model {
	t.Helper()
	return golden.Must(TheModel())(t)
}

var sexes = []anthro.Sex{anthro.Male, anthro.Female}

func degrees(x float64) float64 { return x * 180 / math.Pi }

// norm is a row's value at an angle in degrees.
func norm(t testing.TB, g muscle.Group, sex anthro.Sex, angle float64) float64 {
	t.Helper()
	c, known := loaded(t).Norms.At(g, sex, radians(angle))
	if !known {
		t.Fatalf("%s of %s at %g degrees is not known", g, sex, angle)
	}
	return c.Value
}

// Every group is either measured in both sexes or said to be unknown; every row
// says where its number comes from and how it was seen, and its range holds the
// other sources. What was only remembered has a wide range.
func TestNormsSayWhereTheyComeFrom(t *testing.T) {
	n := loaded(t).Norms
	for g := range muscle.NumGroups {
		for _, sex := range sexes {
			rows := n.Rows(g, sex)
			if len(rows) == 0 && len(n.NotKnown(g)) == 0 {
				t.Errorf("%s, %s: neither measured nor said to be unknown", g, sex)
			}
			for _, r := range rows {
				at := degrees(r.Angle)
				if r.Source == "" || r.Pose == "" || !strings.HasPrefix(r.Seen, "SEEN") && !strings.HasPrefix(r.Seen, "CALC") && !strings.HasPrefix(r.Seen, "MEMORY") {
					t.Errorf("%s, %s at %.0f: source %q, posture %q, seen %q", g, sex, at, r.Source, r.Pose, r.Seen)
				}
				// Numbers are rounded to three digits.
				for _, o := range r.Others {
					if o.Value < r.Capacity.Low*0.995 || o.Value > r.Capacity.High*1.005 || o.Source == "" || o.Seen == "" {
						t.Errorf("%s, %s at %.0f: %s has %.3g, outside %.3g..%.3g", g, sex, at, o.Source, o.Value, r.Capacity.Low, r.Capacity.High)
					}
				}
				if wide := r.Capacity.High / r.Capacity.Low; strings.Contains(r.Seen, "MEMORY") && wide < 1.5 || wide < 1.25 {
					t.Errorf("%s, %s at %.0f: %s, with a range of a factor %.2f only", g, sex, at, r.Seen, wide)
				}
			}
		}
	}
}

// What was computed comes again out of what it was computed from.
func TestComputedNorms(t *testing.T) {
	// Holzbaur et al. 2007, five of each sex: pooled means of the abstract (67.9
	// adductors, 10.2 wrist extensors) and of a public table (54.7, 42.8), men's
	// means of that table.
	for _, c := range []struct {
		group            muscle.Group
		angle            float64
		pooled, men, got float64
	}{
		{muscle.ShoulderAdduction, 60, 67.9, 93.7, norm(t, muscle.ShoulderAdduction, anthro.Female, 60)},
		{muscle.ShoulderAbduction, 60, 54.7, 74.4, norm(t, muscle.ShoulderAbduction, anthro.Female, 60)},
		{muscle.ElbowExtension, 90, 42.8, 60.5, norm(t, muscle.ElbowExtension, anthro.Female, 90)},
	} {
		if want := 2*c.pooled - c.men; !(math.Abs(c.got-want) <= 0.051) {
			t.Errorf("%s of women: %g, want %g", c.group, c.got, want)
		}
	}
	// Anderson et al. 2007, table 3 (public encoding): c1, c2, c3 of the young, for a
	// sample of 76 kg and 1.77 m, 61 kg and 1.65 m.
	for _, c := range []struct {
		group      muscle.Group
		sex        anthro.Sex
		c1, c2, c3 float64
	}{
		{muscle.HipFlexion, anthro.Male, 0.113, 0.738, -0.214}, {muscle.HipFlexion, anthro.Female, 0.127, 0.65, -0.35},
		{muscle.HipExtension, anthro.Male, 0.161, 0.958, 0.932}, {muscle.HipExtension, anthro.Female, 0.181, 0.697, 1.242},
	} {
		s := loaded(t).Norms.samples[c.sex]
		for _, angle := range []float64{0, 30, 74} {
			want := c.c1 * math.Cos(c.c2*(radians(angle)-c.c3)) * s.Mass * 9.80665 * s.Stature
			if got := norm(t, c.group, c.sex, angle); !(math.Abs(got/want-1) <= 0.005) {
				t.Errorf("%s of %s at %g: %.1f, want %.1f", c.group, c.sex, angle, got, want)
			}
		}
	}
	// The shoulder's flexors at 90 degrees, one of the sources: an arm's own weight is
	// 22 to 25 % of men's and 34 % of women's maximum (Bäckman's sample, abstract),
	// with de Leva's arms (table 4; 73.0 and 61.9 kg).
	for sex, arm := range map[anthro.Sex]struct{ mass, upper, fore, share, used float64 }{
		anthro.Male: {73.0, 0.2817, 0.2689, 0, 0.235}, anthro.Female: {61.9, 0.2751, 0.2643, 0, 0.34},
	} {
		shares, centres := [3]float64{0.0271, 0.0162, 0.0061}, [3]float64{0.5772, 0.4574, 0.7900 * 0.0862}
		if sex == anthro.Female {
			shares, centres = [3]float64{0.0255, 0.0138, 0.0056}, [3]float64{0.5754, 0.4559, 0.7474 * 0.0780}
		}
		moment := arm.mass * 9.80665 * (shares[0]*centres[0]*arm.upper + shares[1]*(arm.upper+centres[1]*arm.fore) + shares[2]*(arm.upper+arm.fore+centres[2]))
		rows := loaded(t).Norms.Rows(muscle.ShoulderFlexion, sex)
		var got float64
		for _, r := range rows {
			for _, o := range r.Others {
				if strings.HasPrefix(o.Source, "Bäckman") {
					got = o.Value
				}
			}
		}
		// The men of that sample were heavier than de Leva's: 10 % is allowed.
		if want := moment / arm.used; !(math.Abs(got/want-1) <= 0.10) {
			t.Errorf("flexors of %s at 90 degrees from the arm's weight: %.1f, want %.1f", sex, got, want)
		}
	}
}

// Holzbaur et al. 2007: the pooled adductors are the strongest of the arm's six
// groups, 67.9 ± 28.4 N·m, 6.5 ± 1.2 times the wrist extensors.
func TestPooledAdductors(t *testing.T) {
	pooled := func(g muscle.Group, angle float64) float64 {
		return (norm(t, g, anthro.Male, angle) + norm(t, g, anthro.Female, angle)) / 2
	}
	adductors := pooled(muscle.ShoulderAdduction, 60)
	if !(math.Abs(adductors-67.9) <= 0.1) {
		t.Errorf("adductors %.1f N·m, printed 67.9", adductors)
	}
	for g, angle := range map[muscle.Group]float64{muscle.ShoulderAbduction: 60, muscle.ElbowFlexion: 90, muscle.ElbowExtension: 90, muscle.WristFlexion: 0, muscle.WristExtension: 0} {
		if x := pooled(g, angle); x >= adductors {
			t.Errorf("%s are %.1f N·m, stronger than the adductors", g, x)
		}
	}
	// The ratio is of that study's own wrists; the norm of the wrist is the mean with
	// another study's, half as strong.
	own := 0.0
	for _, sex := range sexes {
		for _, o := range loaded(t).Norms.Rows(muscle.WristExtension, sex)[0].Others {
			if strings.HasPrefix(o.Source, "Holzbaur") {
				own += o.Value / 2
			}
		}
	}
	if !(math.Abs(adductors/own-6.5) <= 1.2) {
		t.Errorf("adductors %.1f times that study's wrist extensors, printed 6.5 ± 1.2", adductors/own)
	}
	if ratio := adductors / pooled(muscle.WristExtension, 0); math.Abs(ratio-6.5) > 1.2 {
		t.Logf("miss: adductors %.1f times the norm of the wrist extensors, printed 6.5 ± 1.2", ratio)
	}
}

// Static flexors of 26 men seated: 89.9 N·m at 0° and 68.6 at 45°, women half.
func TestFlexors(t *testing.T) {
	for angle, want := range map[float64]float64{0: 89.9, 45: 68.6} {
		men, women := norm(t, muscle.ShoulderFlexion, anthro.Male, angle), norm(t, muscle.ShoulderFlexion, anthro.Female, angle)
		if men != want || !(math.Abs(women/men-0.5) <= 0.002) {
			t.Errorf("flexors at %g: men %g, printed %g; women %g, half on average", angle, men, want, women)
		}
	}
}

// Women to men, one-handed force in all directions of the fore-aft plane: 0.50 to
// 0.83; per body weight 0.63 to 1.00 (Fothergill, Grieve and Pheasant 1991,
// Ergonomics 34:563-573, abstract). A moment over the length of an arm, which goes
// with stature, is the force at the hand. Sideways groups and the elbow are
// outside that plane: they are printed.
func TestWomenToMen(t *testing.T) {
	missed, agreed := "", ""
	m := loaded(t)
	force := func(g muscle.Group, sex anthro.Sex, angle float64) (absolute, perWeight float64) {
		s := m.Norms.samples[sex]
		c, known := m.Of(g, sex, s, radians(angle))
		if !known {
			t.Fatalf("%s at %g", g, angle)
		}
		absolute = c.Value
		if g.IsMoment() {
			absolute /= s.Stature
		}
		return absolute, absolute / s.Mass
	}
	for _, c := range []struct {
		group  muscle.Group
		angle  float64
		inside bool
	}{
		{muscle.ShoulderFlexion, 0, true}, {muscle.ShoulderFlexion, 45, true}, {muscle.ShoulderFlexion, 90, true},
		{muscle.ShoulderExtension, 45, true}, {muscle.ShoulderExtension, 65, true}, {muscle.ShoulderExtension, 120, true},
		{muscle.ArmPush, 0, true}, {muscle.Grip, 90, true},
		{muscle.ShoulderAdduction, 60, false}, {muscle.ShoulderAbduction, 60, false}, {muscle.ElbowFlexion, 90, false}, {muscle.ElbowExtension, 90, false},
	} {
		women, womenPer := force(c.group, anthro.Female, c.angle)
		men, menPer := force(c.group, anthro.Male, c.angle)
		absolute, per := women/men, womenPer/menPer
		ok := absolute >= 0.50 && absolute <= 0.83 && per >= 0.63 && per <= 1.00
		switch {
		case !ok && c.inside:
			t.Errorf("%s at %g: women to men %.2f, per weight %.2f; published 0.50–0.83, 0.63–1.00", c.group, c.angle, absolute, per)
		case !ok:
			missed += fmt.Sprintf("| **miss:** %s at %g°, outside that plane | %.3f | %.3f |\n", c.group.Info().Says, c.angle, absolute, per)
		default:
			agreed += fmt.Sprintf("| %s at %g° | %.3f | %.3f |\n", c.group.Info().Says, c.angle, absolute, per)
		}
	}
	golden.Section(t, "sim/VALIDATION.md", "women to men", "| women over men | force at the hand | per body weight |\n|---|---|---|\n| published (fore-aft plane) | 0.50–0.83 | 0.63–1.00 |\n"+missed+agreed)
}

// The axial and the transverse forces of the Arm Force Field: at nearly full reach
// the mean woman pulls or pushes along the arm 1.6 to 3.3 times what she gives
// across it. The norms along the arm lie above, as locked elbows and a hand that
// hangs on do.
func TestAlongAndAcross(t *testing.T) {
	m := loaded(t)
	woman := Sample{Mass: 73.5, Stature: 1.619}
	const reach = 0.50
	across := 0.0
	for _, g := range []muscle.Group{muscle.ShoulderFlexion, muscle.ShoulderExtension} {
		c, _ := m.Of(g, anthro.Female, woman, radians(90))
		across = max(across, c.Value/reach)
	}
	for g, angle := range map[muscle.Group]float64{muscle.ArmPush: 0, muscle.Grip: 90} {
		c, known := m.Of(g, anthro.Female, woman, radians(angle))
		if !known || c.Value < 1.6*across {
			t.Errorf("%s: %.0f N along, %.0f N across", g, c.Value, across)
		}
	}
}

// Between rows the capacity lies on a line, up to the reach it stays, beyond it
// is not known.
func TestAt(t *testing.T) {
	n := loaded(t).Norms
	at := func(angle float64) (Capacity, bool) { return n.At(muscle.ShoulderFlexion, anthro.Male, radians(angle)) }
	for angle, want := range map[float64]float64{0: 89.9, 45: 68.6, 22.5: (89.9 + 68.6) / 2, 9: 89.9 + 0.2*(68.6-89.9), -14.9: 89.9} {
		if c, known := at(angle); !known || !(math.Abs(c.Value-want) <= 1e-9) {
			t.Errorf("at %g: %g, %v, want %g", angle, c.Value, known, want)
		}
	}
	for _, angle := range []float64{-15.1, -50, 165.1, math.NaN(), math.Inf(1)} {
		if c, known := at(angle); known {
			t.Errorf("at %g: %g, which nobody measured", angle, c.Value)
		}
	}
	last := n.Rows(muscle.ShoulderFlexion, anthro.Male)
	if c, known := at(164.9); !known || c != last[len(last)-1].Capacity {
		t.Errorf("just inside the reach: %v, %v", c, known)
	}
	if _, known := n.At(muscle.ArmPull, anthro.Male, 0); known {
		t.Error("a straight arm's limit under tension is known")
	}
	if c, known := n.At(muscle.ArmPush, anthro.Female, math.NaN()); !known || !(c.Low < c.Value && c.Value < c.High) {
		t.Errorf("a push has no angle: %v, %v", c, known)
	}
}

// The back lever's arms lie about 50 degrees behind the trunk, a leaning flat
// hand is bent back by a right angle and more: neither was ever measured.
func TestNotKnown(t *testing.T) {
	n := loaded(t).Norms
	for _, c := range []struct {
		group muscle.Group
		angle float64
	}{{muscle.ShoulderFlexion, -50}, {muscle.ShoulderExtension, -50}, {muscle.WristFlexion, -90}, {muscle.WaistSideways, 30}, {muscle.ArmPull, 0}} {
		for _, sex := range sexes {
			if _, known := n.At(c.group, sex, radians(c.angle)); known {
				t.Errorf("%s of %s at %g is known", c.group, sex, c.angle)
			}
		}
		if len(n.NotKnown(c.group)) == 0 {
			t.Errorf("%s: nothing is said to be unknown", c.group)
		}
	}
}

func TestCapacityAt(t *testing.T) {
	c := Capacity{Value: 20, Low: 10, High: 30}
	for place, want := range map[float64]float64{0: 10, 0.25: math.Sqrt(200), 0.5: 20, 0.75: math.Sqrt(600), 1: 30} {
		if got := c.At(place); !(math.Abs(got-want) <= 1e-12) {
			t.Errorf("at %g: %g, want %g", place, got, want)
		}
	}
	// On either side of the middle the range is its own.
	if below, above := c.At(0.49), c.At(0.51); !(math.Abs(below/20-math.Pow(2, -0.02)) <= 1e-12) || !(math.Abs(above/20-math.Pow(1.5, 0.02)) <= 1e-12) {
		t.Errorf("beside the middle %g and %g", below, above)
	}
}
