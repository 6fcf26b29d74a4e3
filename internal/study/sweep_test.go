package study

import (
	"math"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/hold"
	"counterpoise/sim/sweep"
)

const goodSweep = `sweep: everything
says: A title.
hold: human-flag
people: {from: [ansur2-men, ansur2-women], where: {bmi: 18.5..27}}
model: equilibrium
change: {added_mass: {upper_body: 5 kg, working_share: 50 %}}
assume: {grip_reach: 0.6}
demands: [required_force, best_angle]
quantiles: [5 %, 0.5]
n: 2e4
seed: 18446744073709551615
axes:
  change.arm_length: 0 cm..10 cm by 2 cm
  change.leg_length: -5 %..+5 % in 3 values
  change.added_mass.legs: 1 kg..16 kg in 4 steps, log
  legs: [together, straddle 35 deg, {form: tuck, hip: 100 deg}]
  assume.top_share: [0.4, 0.5]
  tilt: -10 deg..20 deg in 4 values
`

func TestReadSweep(t *testing.T) {
	s := golden.Must(ReadSweep("s.yaml", []byte(goodSweep)))(t)
	if s.N != 20000 || s.Seed != math.MaxUint64 || s.Base.Models[0].Statics != hold.Equilibrium || len(s.Base.People) != 2 || len(s.Base.Where) != 1 ||
		s.Base.Change.Body.Mass[0].Working != 0.5 || !slices.Equal(s.Quantiles, []float64{0.05, 0.5}) || s.NumPoints() != 6*3*5*3*2*4 {
		t.Errorf("%+v", s)
	}
	deg := math.Pi / 180
	for i, want := range [][]float64{
		// The ends are as written; the others as they would have been, so 0.06 and not 3·0.02.
		{0, 0.02, 0.04, 0.06, 0.08, 0.1}, {-0.05, 0, 0.05}, {1, 2, 4, 8, 16}, nil, {0.4, 0.5}, {-10 * deg, 0, 10 * deg, 20 * deg},
	} {
		a := &s.Axes[i]
		if len(a.Values) != len(want) {
			t.Errorf("%s: %v, want %v", a.Of, a.Values, want)
			continue
		}
		for k := range want {
			if d := a.Values[k] - want[k]; d > 1e-15 || d < -1e-15 {
				t.Errorf("%s: value %d is %v, want %v", a.Of, k, a.Values[k], want[k])
			}
		}
	}
	if s.Axes[0].Values[3] != 0.06 {
		t.Errorf("%v, want 0.06", s.Axes[0].Values[3])
	}
	if want := []string{"together", "straddle 35 deg", "tuck, hip 100 deg, knee 135 deg"}; !slices.Equal(s.Axes[3].Names, want) {
		t.Errorf("%v, want %v", s.Axes[3].Names, want)
	}
}

func TestSweepDesigns(t *testing.T) {
	text := "sweep: a\nhold: human-flag\npeople: ansur2-men\nmodel: two-condition\ndemands: required_force\ndesign: quasi-random\npoints: 32\naxes:\n  change.arm_length: -2 cm..3 cm\n  change.added_mass.head: 1 lb..4 lb, log\n"
	s := golden.Must(ReadSweep("s.yaml", []byte(text)))(t)
	if a := s.Axes[0]; s.Design != sweep.QuasiRandom || s.NumPoints() != 32 || a.Low != -0.02 || a.High != 0.03 || a.Values != nil || !s.Axes[1].Log {
		t.Errorf("%+v", s)
	}
}

// Every fault is one line that says where it is, what was found and what is
// allowed.
func TestSweepFaults(t *testing.T) {
	for _, c := range []struct{ old, next, want string }{
		{"axes:\n  change.arm_length: 0 cm..10 cm by 2 cm\n  change.leg_length: -5 %..+5 % in 3 values\n  change.added_mass.legs: 1 kg..16 kg in 4 steps, log\n  legs: [together, straddle 35 deg, {form: tuck, hip: 100 deg}]\n  assume.top_share: [0.4, 0.5]\n  tilt: -10 deg..20 deg in 4 values\n", "",
			"s.yaml: axes: is missing: a sweep needs an axis, as in change.arm_length: 0 cm..10 cm by 2 cm"},
		{"0 cm..10 cm by 2 cm", "0 cm..10 cm in 1000000000 values", "s.yaml:13: axes.change.arm_length: has 1000000000 values, allowed: at most 1000000"},
		{"0 cm..10 cm by 2 cm", "0 cm..10 cm by 1e-9 cm", "s.yaml:13: axes.change.arm_length: has 10000000001 values, allowed: at most 1000000"},
		{"0 cm..10 cm by 2 cm", "0 cm..10 cm in 90000 values", "s.yaml:12: axes: make 32,400,000 points (90,000 × 3 × 5 × 3 × 2 × 4), allowed: at most 1,000,000"},
		{"0 cm..10 cm by 2 cm", "10 cm..0 cm by 2 cm", "s.yaml:13: axes.change.arm_length: \"10 cm..0 cm by 2 cm\": the low end of the range is above its high end"},
		{"0 cm..10 cm by 2 cm", "0 kg..10 kg by 2 kg", "s.yaml:13: axes.change.arm_length: \"0 kg..10 kg by 2 kg\": "},
		{"0 cm..10 cm by 2 cm", "0..10 by 2", "needs its unit"},
		{"0 cm..10 cm by 2 cm", "0 cm..10 cm by 3 cm", `a step of 3 cm does not divide the range evenly`},
		{"0 cm..10 cm by 2 cm", "0 cm..10 cm by -2 cm", "a step must be positive"},
		{"0 cm..10 cm by 2 cm", "0 cm..10 cm by 2 kg", "2 kg"},
		{"0 cm..10 cm by 2 cm", "0 cm..10 cm", "a grid needs the values in the range"},
		{"0 cm..10 cm by 2 cm", "0 cm.. by 2 cm", "a range of an axis needs both ends"},
		{"0 cm..10 cm by 2 cm", "4 cm..4 cm in 3 values", "both ends are the same"},
		{"0 cm..10 cm by 2 cm", "0 cm..10 cm in 1 values", "1 is not a valid number of values, at least 2 are needed"},
		{"0 cm..10 cm by 2 cm", "4 cm", "has only one value, but an axis needs more"},
		{"0 cm..10 cm by 2 cm", "[1 cm, 2 %]", "cannot be mixed in one list"},
		{"0 cm..10 cm by 2 cm", "0 cm..10 cm in 3 values, log", "must start above 0"},
		{"1 kg..16 kg in 4 steps, log", "1 kg..16 kg by 5 kg, log", "equal ratios have no step"},
		{"change.arm_length", "wingspan", "axes.wingspan: unknown axis (did you mean change.arm_length?)"},
		{"change.arm_length", "arm_length", "axes.arm_length: unknown axis (did you mean change.arm_length?)"},
		{"change.arm_length", "change.arm_lenght", "unknown axis (did you mean change.arm_length?)"},
		{"tilt:", "model:", "is both an axis and a field, leave one out"},
		{"-10 deg..20 deg", "-100 deg..20 deg", "s.yaml:18: axes.tilt: -100 deg is not possible, allowed: -45 to 45 deg"},
		{"[0.4, 0.5]", "[0.4, 1.5]", "s.yaml:17: axes.assume.top_share: 1.5 is not possible, allowed: 0 to 1"},
		{"assume.top_share: [0.4, 0.5]", "assume.wall_friction: [0.4, 0.5]", "s.yaml:17: axes.assume.wall_friction: no hold of the sweep uses it, so that it would change nothing"},
		{"tuck, hip", "tuk, hip", "(did you mean tuck?)"},
		{"model: equilibrium", "model: equilibirum", "s.yaml:5: model: unknown name \"equilibirum\" (did you mean equilibrium?)"},
		{"hold: human-flag\n", "", "hold: is missing, here or as an axis"},
		{"demands: [required_force, best_angle]", "demands: [wall_push]", "s.yaml:8: demands: human-flag under equilibrium has none of these"},
		{"demands: [required_force, best_angle]\n", "", "demands: is missing"},
		{"n: 2e4", "n: 2.5", `s.yaml:10: n: "2.5" is not a whole number up to 1000000000`},
		{"n: 2e4", "n: 0", "s.yaml:10: n: found 0, allowed: 1 to 1000000000"},
		{"n: 2e4", "n: 2e4\npoints: 7", "points: the axes of a grid fix its number of points"},
		{"n: 2e4", "n: 2e4\ndesign: quasi-random", "points: is missing: a quasi-random design needs a number of points"},
		{"n: 2e4", "n: 2e4\ndesign: quasi-random\npoints: 0", "points: found 0, allowed: 1 to 1,000,000"},
		{"quantiles: [5 %, 0.5]", "quantiles: [0.5, 5 %]", "s.yaml:9: quantiles: 0.05 comes after 0.5, they must increase"},
		{"change: {added_mass: {upper_body: 5 kg, working_share: 50 %}}", "change: {legs: tuck}", "hold, legs, tilt, pose, load and assist are fields of the sweep itself"},
		{"sweep: everything", "swep: everything", "unknown field (did you mean sweep?)"},
	} {
		if !strings.Contains(goodSweep, c.old) {
			t.Fatalf("the sweep has no %q", c.old)
		}
		_, err := ReadSweep("s.yaml", []byte(strings.Replace(goodSweep, c.old, c.next, 1)))
		if err == nil {
			t.Errorf("%q is taken", c.next)
			continue
		}
		if text := err.Error(); !strings.Contains(text, c.want) || strings.Contains(text, "\n") {
			t.Errorf("%q:\ngot  %s\nwant %s", c.next, text, c.want)
		}
	}
}

// What an axis sets is not set beside it at any depth: it would be lost without a word.
func TestAxisThatIsAlsoAField(t *testing.T) {
	for _, c := range []struct {
		field, axis string
		both        bool
	}{
		{"change: {arm_length: +40 cm}", "change.arm_length: [0 cm, 1 cm]", true},
		{"change: {arm_length: +4 %}", "change.arm_length: [0 cm, 1 cm]", true},
		{"change: {leg_length: +4 %}", "change.arm_length: [0 cm, 1 cm]", false},
		{"change: {size: +4 %}", "change.size: [0 %, 1 %]", true},
		{"change: {arm_angle: 50 deg}", "change.arm_angle: [40 deg, 50 deg]", true},
		{"change: {hand_spacing: +5 cm}", "change.arm_angle: [40 deg, 50 deg]", true},
		{"change: {added_mass: {legs: 5 kg}}", "change.added_mass.legs: [1 kg, 2 kg]", true},
		{"change: {lost_mass: {legs: 5 kg}}", "change.added_mass.legs: [1 kg, 2 kg]", true},
		{"change: {added_mass: {arms: 5 kg}}", "change.added_mass.legs: [1 kg, 2 kg]", false},
		{"change: {added_mass: {legs: 5 kg, working_share: 0.5}}", "change.working_share: [0, 1]", true},
		{"change: {added_mass: {legs: 5 kg}}", "change.working_share: [0, 1]", false},
		{"load: {belt: 10 kg}", "load.hips: [0 kg, 5 kg]", true},
		{"assist: {hips: 10 kg}", "load.hips: [0 kg, 5 kg]", true},
		{"load: {belt: 10 kg}", "load.chest: [0 kg, 5 kg]", false},
		{"legs: straddle 30 deg", "legs.angle: [0 deg, 5 deg]", true},
		{"legs: tuck", "legs.angle: [0 deg, 5 deg]", true},
		{"assume: {grip_reach: 0.5}", "assume.grip_reach: [0.5, 0.6]", true},
		{"assume: {shoulder_span: 0.8}", "assume.grip_reach: [0.5, 0.6]", false},
		{"tilt: 5 deg", "tilt: [0 deg, 5 deg]", true},
		{"pose: {wall_distance: 20 cm}", "pose.wall_distance: [15 cm, 30 cm]", true},
	} {
		of := "human-flag"
		if strings.HasPrefix(c.field, "pose") {
			of = "wall-handstand"
		}
		_, err := ReadSweep("s.yaml", []byte("sweep: a\nhold: "+of+"\npeople: us-men\ndemands: difficulty\n"+c.field+"\naxes: {"+c.axis+"}\n"))
		if both := err != nil && strings.HasPrefix(err.Error(), "s.yaml:6: axes.") && strings.Contains(err.Error(), "is both an axis and a field"); both != c.both || !both && err != nil {
			t.Errorf("%s with %s: %v", c.field, c.axis, err)
		}
	}
}

func FuzzReadSweep(f *testing.F) {
	f.Add(goodSweep)
	for _, text := range []string{"axes: {tilt: 1 deg..2 deg by 1 deg}", "axes: [tilt]", "axes:\n  legs: {}", "axes: {people: ./x}", "axes: {tilt: ..}", "n: [1]"} {
		f.Add("sweep: a\nhold: human-flag\npeople: ansur2-men\nmodel: equilibrium\ndemands: required_force\n" + text + "\n")
	}
	f.Fuzz(func(t *testing.T, text string) {
		if strings.Contains(text, "/") {
			t.Skip("might be the path of a file")
		}
		s, err := ReadSweep("s.yaml", []byte(text))
		if err == nil {
			if err := s.Check(); err != nil {
				t.Errorf("a sweep that was read is not in order: %v", err)
			}
			return
		}
		if err.Error() == "" {
			t.Error("an error without a message")
		}
	})
}
