package person

import (
	"slices"
	"testing"

	"counterpoise/internal/app/output"
	"counterpoise/internal/golden"
	"counterpoise/internal/provenance"
	"counterpoise/internal/study"
	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"

	"github.com/spf13/pflag"
)

// Every flag of person and readiness either bears on results, is told in the stamp and read back
// from it, or is one of how results are shown.
func TestEveryFlagIsTold(t *testing.T) {
	stampWith := func(name, value string) provenance.Stamp {
		t.Helper()
		o, f := NewFlags(), pflag.NewFlagSet("person", pflag.ContinueOnError)
		o.AddFlags(f)
		golden.OK(t, f.Set(name, value))
		with, err := o.Resolve()
		if err != nil {
			t.Fatal(err)
		}
		s := &Study{Command: "person", Options: with, Persons: []study.Person{{Person: person.Person{Name: "Ada", Sex: anthro.Female, Hold: hold.HumanFlag}}}}
		if s.Persons[0].Load, err = o.loads.Read(); err != nil {
			t.Fatal(err)
		}
		stamp := golden.Must(s.Stamp(nil))(t)
		again, _, err := Read(&stamp, &output.OwnFinder{})
		if err != nil {
			t.Fatal(err)
		}
		second, err := again.Stamp(nil)
		if said := provenance.FirstDifference(&stamp, &second, "told", "read back"); err != nil || said != "" {
			t.Errorf("--%s %s: %s (%v)", name, value, said, err)
		}
		return stamp
	}
	plain := stampWith("json", "true")
	told := map[string]string{
		"assist": "hips=5kg", "assume": "top_share=0.4..0.5", "endurance": "grip", "load": "vest=10kg", "models": "equilibrium,two-condition", "n": "5000",
		"regional-masses": "full", "seed": "2", "segments": "dumas-2007",
	}
	all := pflag.NewFlagSet("person", pflag.ContinueOnError)
	NewFlags().AddFlags(all)
	all.VisitAll(func(f *pflag.Flag) {
		value, tells := told[f.Name]
		if tells == slices.Contains([]string{"full", "json", "units", "workers"}, f.Name) {
			t.Errorf("--%s must be told, or be of how results are shown", f.Name)
		}
		if !tells {
			return
		}
		with := stampWith(f.Name, value)
		if provenance.FirstDifference(&plain, &with, "before", "after") == "" {
			t.Errorf("--%s %s is not told", f.Name, value)
		}
	})
}
