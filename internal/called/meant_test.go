package called

import (
	"slices"
	"strings"
	"testing"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/sweep"

	"counterpoise/internal/holds"
)

// What people type, and what is suggested.
func TestMeant(t *testing.T) {
	people, expect, demands, legs := anthro.Names(), names.All(claim.NumDirections), names.Of(hold.Demands()), names.All(hold.NumLegForms)
	sexes := []string{"female", "male"}
	measured := append(anthro.MeasurementNames(), "age", "bmi")
	changes := append(names.All(body.NumChanges), "added_mass", "lost_mass", "mass", "stature", "arm_angle", "hand_spacing", "legs", "tilt", "pose", "hold", "assume", "load", "assist")
	for _, c := range []struct {
		names []string
		want  map[string]string
	}{
		{people, map[string]string{
			"men": "us-men", "Men": "us-men", "women": "us-women", "male": "us-men", "females": "us-women", "US Men": "us-men", "us_women": "us-women", "usmen": "us-men",
			"us-man": "us-men", "girls": "us-girls", "boys": "us-boys", "gymnasts": "gymnasts-men", "climber": "climbers-men", "gymnast men": "gymnasts-men",
			"Männer": "us-men", "frauen": "us-women", "hommes": "us-men", "mujeres": "us-women", "soldiers": "ansur2-men ansur2-women", "adults": "us-men us-women", "ansur": "ansur2-men ansur2-women",
			"kids": "us-boys us-girls", "jungen": "us-boys", "elephants": "",
		}},
		{expect, map[string]string{
			"easier": "decrease", "harder": "increase", "Easier": "decrease", "lower": "decrease", "higher": "increase", "less": "decrease", "more": "increase", "no effect": "none",
			"no_effect": "none", "no-change": "none", "same": "none", "decreases": "decrease", "increased": "increase", "INCREASE": "increase", "purple": "",
		}},
		{changes, map[string]string{
			"fat": "added_mass lost_mass", "muscle": "added_mass lost_mass", "weight": "added_mass lost_mass", "weight-loss": "lost_mass", "added-mass": "added_mass", "arms": "arm_length",
			"arm length": "arm_length", "armLength": "arm_length", "wingspan": "arm_length", "shoulders": "shoulder_breadth", "shoulder_width": "shoulder_breadth", "hands": "hand_length",
			"leg": "leg_length", "height": "size", "scale": "size", "grip": "hand_spacing", "arm_lenght": "arm_length", "angle": "arm_angle", "loads": "load",
		}},
		{holds.Names(), map[string]string{
			"flag": "human-flag dragon-flag", "Human Flag": "human-flag", "human_flag": "human-flag", "humanflag": "human-flag", "lever": "front-lever back-lever", "frontlever": "front-lever",
			"handstand": "wall-handstand", "plank": "forearm-plank side-plank", "cross": "iron-cross box-cross", "push ups": "push-up", "press-up": "push-up", "dead hang": "two-arm-hang",
			"lsit": "l-sit", "L Sit": "l-sit", "handstands": "wall-handstand", "yoga": "",
		}},
		{demands, map[string]string{
			"force": "required_force", "strength": "difficulty", "effort": "difficulty", "Required Force": "required_force", "friction": "friction_top friction_bottom", "grip": "hand_spacing grip_force",
			"shoulder": "shoulder_moment", "torque": "shoulder_moment", "angle": "best_angle", "dificulty": "difficulty", "hip": "hip_moment", "handspacing": "hand_spacing",
		}},
		{legs, map[string]string{"one leg": "one-leg", "tucked": "tuck", "straight": "together", "advanced": "advanced-tuck", "adv tuck": "advanced-tuck", "split": "straddle", "Straddle": "straddle"}},
		{sexes, map[string]string{"woman": "female", "Mann": "male", "weiblich": "female", "f": "", "homme": "male", "Male": "male", "mujer": "female"}},
		{measured, map[string]string{
			"height": "stature", "Größe": "stature", "gewicht": "mass", "poids": "mass", "peso": "mass", "Spannweite": "span", "envergure": "span", "sitting height": "sitting_height",
			"shoulder-width": "biacromial_breadth", "arm span": "span", "alter": "age", "edad": "age", "waist": "waist_circumference", "BMI": "bmi",
		}},
		{[]string{"metric", "imperial"}, map[string]string{"us": "imperial", "inches": "imperial", "SI": "metric", "Metrik": "metric"}},
		{[]string{"n", "workers", "out", "assumption-draws", "people"}, map[string]string{"samples": "n", "threads": "workers", "output": "out", "draws": "assumption-draws", "population": "people"}},
		{names.All(assume.Count), map[string]string{"shoulder span": "shoulder_span", "ShoulderSpan": "shoulder_span"}},
	} {
		for typed, want := range c.want {
			if got := strings.Join(Meant(typed, c.names), " "); got != want {
				t.Errorf("%q of %.60q: %q, want %q", typed, c.names, got, want)
			}
		}
	}
}

// Names that there are mean themselves, so that no other word for one hides another.
func TestNamesMeanThemselves(t *testing.T) {
	for _, list := range [][]string{anthro.Names(), names.All(claim.NumDirections), names.Of(hold.Demands()), holds.Names(), anthro.MeasurementNames(), body.QuantityNames(), sweep.VariableNames()} {
		for _, name := range list {
			if got := Meant(name, list); !slices.Equal(got, []string{name}) {
				t.Errorf("%s means %q", name, got)
			}
		}
	}
}

func TestSuggest(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Suggest("men", anthro.Names()), " (did you mean us-men?)"},
		{Suggest("lever", holds.Names()), " (did you mean front-lever or back-lever?)"},
		{Suggest("elephants", anthro.Names()), ""},
		{SuggestWithin("change.", "arms", sweep.VariableNames()), " (did you mean change.arm_length?)"},
		{SuggestWithin("change.", "elephants", sweep.VariableNames()), ""},
		{Hint([]string{"a", "b", "c"}), " (did you mean a, b or c?)"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}

// Every word stands once behind a name, as it is looked up.
func TestEverydayWords(t *testing.T) {
	for name, list := range everyday {
		seen := map[string]bool{}
		for _, word := range Listed(list) {
			if word == "" || word != Fold(word) || seen[word] {
				t.Errorf("%s: %q is empty, not folded or there twice", name, word)
			}
			seen[word] = true
		}
	}
}
