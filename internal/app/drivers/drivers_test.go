package drivers

import (
	"slices"
	"testing"

	"counterpoise/internal/app/console"
	"counterpoise/internal/golden"
	"counterpoise/internal/provenance"

	"github.com/spf13/pflag"
)

// Every flag either bears on results, and is told in the stamp, or is one of how they are shown:
// what a stamp does not tell, a repeat would not know of.
func TestEveryFlagIsTold(t *testing.T) {
	stampWith := func(flags ...string) provenance.Stamp {
		t.Helper()
		o, c := newCommand(&console.Environment{})
		for _, set := range [][]string{{"hold", "human-flag", "of", "difficulty", "people", "ansur2-men"}, flags} {
			for i := 0; i < len(set); i += 2 {
				if err := c.Flags().Set(set[i], set[i+1]); err != nil {
					t.Fatal(set, err)
				}
			}
		}
		s, err := o.resolve()
		if err != nil {
			t.Fatal(flags, err)
		}
		return golden.Must(s.stamp())(t)
	}
	told := map[string][]string{
		"all-rows": {"true", "out", "folder"}, "all-subsets": {"true"}, "along": {"stature"}, "assist": {"hips=5kg"}, "assume": {"top_share=0.5"}, "assumption-draws": {"512"},
		"each-assumption": {"true"}, "full-and-independent": {"true"}, "hold": {"planche"}, "legs": {"tuck"}, "load": {"vest=10kg"}, "max-evaluations": {"30000000"},
		"models": {"two-condition"}, "n": {"512"}, "of": {"required_force"}, "people": {"us-men"}, "pose": {"wall_distance=30cm", "hold", "wall-handstand"},
		"regional-masses": {"full"}, "screen": {"true"}, "second-order": {"true", "sobol", "assumptions"}, "seed": {"2"}, "segments": {"dumas-2007"},
		"sobol": {"people-as-one"}, "until": {"0.02"}, "where": {"bmi=18..25"}, "working-share": {"0.4", "worth", "true"}, "worth": {"true"},
	}
	shown := []string{"full", "json", "out", "person", "size", "theme", "workers"} // what is told of persons is who they are
	_, c := newCommand(&console.Environment{})
	c.Flags().VisitAll(func(f *pflag.Flag) {
		value, tells := told[f.Name]
		if tells == slices.Contains(shown, f.Name) {
			t.Errorf("--%s must be told, or be of how results are shown", f.Name)
		}
		if !tells {
			return
		}
		with, without := stampWith(append([]string{f.Name}, value...)...), stampWith(value[1:]...)
		if provenance.FirstDifference(&without, &with, "before", "after") == "" {
			t.Errorf("--%s %v is not told", f.Name, value)
		}
	})
}
