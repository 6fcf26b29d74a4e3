package cli

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/app/console"
	sweeps "counterpoise/internal/app/sweep"
	"counterpoise/internal/holds"
	"counterpoise/internal/study"
	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/sweep"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// eachOf calls do for a command and all below it.
func eachOf(c *cobra.Command, do func(*cobra.Command)) {
	do(c)
	for _, sub := range c.Commands() {
		eachOf(sub, do)
	}
}

// Every flag that takes a value and every argument is completed, if only by being said to
// be free; and nothing in the tables is of a flag or a command that there is not.
func TestEverythingIsCompleted(t *testing.T) {
	flags, commands := map[string]bool{}, map[string]bool{}
	eachOf(newRoot(&console.Environment{Stdout: io.Discard, Stderr: io.Discard}), func(c *cobra.Command) {
		_, path, _ := strings.Cut(c.CommandPath(), " ")
		commands[path] = true
		if c.ValidArgsFunction == nil {
			t.Errorf("%s: how are its arguments completed? Say it in argumentValues", c.CommandPath())
		}
		c.LocalFlags().VisitAll(func(f *pflag.Flag) {
			flags[f.Name], flags[path+" --"+f.Name] = true, true
			_, completed := c.GetFlagCompletionFunc(f.Name)
			if takes := f.NoOptDefVal == ""; takes != completed {
				t.Errorf("%s --%s: takes a value: %t, which is completed: %t; say how in flagValues", c.CommandPath(), f.Name, takes, completed)
			}
		})
	})
	for name := range flagValues {
		if !flags[name] {
			t.Errorf("flagValues has %q, which no command takes", name)
		}
	}
	for path := range argumentValues {
		if !commands[path] {
			t.Errorf("argumentValues has %q, which is no command", path)
		}
	}
}

// What is completed after what was typed.
func TestCompletions(t *testing.T) {
	const none, spaceless, ending, inside = cobra.ShellCompDirectiveNoFileComp, cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveNoSpace,
		cobra.ShellCompDirectiveFilterFileExt, cobra.ShellCompDirectiveFilterDirs
	behind := func(before string, list []string) []string {
		out := slices.Clone(list)
		for i := range out {
			out[i] = before + out[i]
		}
		return out
	}
	with := func(list []string) []string {
		out := slices.Clone(list)
		for i := range out {
			out[i] += "="
		}
		return out
	}
	without := func(list []string, gone string) []string {
		return slices.DeleteFunc(slices.Clone(list), func(name string) bool { return name == gone })
	}
	test, drive := "claim test longer-arms ", "drivers "
	for _, c := range []struct {
		typed string // the last word of it is completed; it ends in a space where that is empty
		want  []string
		how   cobra.ShellCompDirective
	}{
		{"claim show ", study.ClaimNames(), none},
		{"claim show longer-arms ", nil, none},
		{"claim test long", []string{"longer-arms", "longer-arms-same-bars", "longer-legs"}, none},
		{"claim test longer-arms longer-", []string{"longer-arms-same-bars", "longer-legs"}, none},
		{"claim test ./my", ofYAML, ending},
		{"claim x", nil, none},
		{"hold show front", []string{"front-lever"}, none},
		{"hold show front-lever ", nil, none},
		{"hold untrained front-lever ", without(holds.Names(), "front-lever"), none},
		{"hold list ", nil, none},
		{"hold new ", nil, none},
		{"hold check ", ofYAML, ending},
		{"people show us-w", []string{"us-women"}, none},
		{"people show ./c", ofPeople, ending},
		{"people draw us-men --where b", []string{"biacromial_breadth=", "bmi="}, spaceless},
		{"people show us-men --means ", with(study.ConditionNames()), spaceless},
		{"people show us-men --means span=1.8m,sta", []string{"span=1.8m,stature="}, spaceless},
		{"people from ", ofTables, ending},
		{"people from c.csv --sex ", []string{"female", "male"}, none},
		{"people from c.csv --out ", ofPeople, ending},
		{"data csv ", []string{"parquet"}, ending},
		{"gather ", nil, inside},
		{"docs ", []string{"schema"}, inside},
		{"person ", ofYAML, ending},
		{"person a.yaml ", ofYAML, ending},
		{"person a.yaml --units ", []string{"metric", "imperial"}, none},
		{"person a.yaml --endurance r", []string{"rohmert"}, none},
		{"readiness a.yaml --seed ", nil, none},
		{"club ", ofTables, ending},
		{"club a.csv --before ", ofTables, ending},
		{"club a.csv --card ", []string{"a6", "a4"}, none},
		{"sweep ", ofYAML, ending},
		{"sweep s.yaml --format ", sweeps.TableFormats, none},
		{"sweep s.yaml --shard ", nil, none},
		{"explore --static ", nil, inside},
		{"explore --hold plan", []string{"planche", "planche-fingers-out"}, none},
		{"explore --hold ./m", ofYAML, ending},
		{"repeat a.json --people ", ofPeople, ending},
		{test + "--people ", anthro.Names(), spaceless},
		{test + "--people us-men,", behind("us-men,", without(anthro.Names(), "us-men")), spaceless},
		{test + "--people us-men,us-w", []string{"us-men,us-women"}, spaceless},
		{test + "--people ./c", ofPeople, ending | cobra.ShellCompDirectiveNoSpace},
		{test + "--models ", study.ModelNames(), spaceless},
		{test + "--regional-masses ", study.MassesNames(), spaceless},
		{test + "--segments de", []string{"deleva-1996", "dempster-winter"}, spaceless},
		{test + "--assume ", with(study.AssumptionNames()), spaceless},
		{test + "--assume top_share=", []string{"top_share="}, spaceless},
		{test + "--assume top_share=0", nil, spaceless},
		{test + "--size ", []string{"slide", "post", "column", "print"}, none},
		{test + "--theme ", []string{"light", "dark"}, none},
		{test + "--out ", nil, inside},
		{test + "--workers ", nil, none},
		{drive + "--of use_of_a", namesOf(hold.Demands(), "use_of_a"), none},
		{drive + "--hold push-up --of wall", nil, none},
		{drive + "--hold wall-handstand --of wall", []string{"wall_push"}, none},
		{drive + "--hold human-flag --legs ", []string{"together", "straddle 40 deg", "one-leg", "tuck", "advanced-tuck"}, none},
		{drive + "--sobol ", []string{"assumptions", "people-as-one"}, none},
		{drive + "--along ", body.QuantityNames(), none},
		{drive + "--person ", ofYAML, ending},
		{drive + "--load a", []string{"ankles="}, spaceless},
		{"hold show push-up --pose ", []string{"bent", "kneeling", "feet_raised=", "hands_raised="}, spaceless},
		{"hold show iron-cross --model ", []string{"equilibrium"}, none},
	} {
		args := append([]string{cobra.ShellCompNoDescRequestCmd}, strings.Split(c.typed, " ")...)
		lines := strings.Split(strings.TrimSpace(succeeds(t, args...)), "\n")
		got, how := lines[:len(lines)-1], lines[len(lines)-1]
		want := slices.Clone(c.want)
		slices.Sort(got)
		slices.Sort(want)
		if !slices.Equal(got, want) || how != fmt.Sprintf(":%d", c.how) {
			t.Errorf("%q: %s %q, want :%d %q", c.typed, how, got, c.how, want)
		}
	}
}

func namesOf(list []hold.Demand, begin string) []string {
	return slices.DeleteFunc(names.Of(list), func(name string) bool { return !strings.HasPrefix(name, begin) })
}

// The helps of commands that read changes name all that there are.
func TestHelpNamesChanges(t *testing.T) {
	changes := append(names.All(body.NumChanges), study.OtherChanges()...)
	for path, all := range map[string][]string{
		"claim test": changes, "claim show": changes,
		"sweep": append(slices.DeleteFunc(sweep.VariableNames(), func(name string) bool { return strings.HasPrefix(name, sweeps.AssumptionAxis) }), sweeps.AssumptionAxis),
	} {
		help := succeeds(t, append(strings.Fields(path), "--help")...)
		help, _, _ = strings.Cut(help, "Usage:")
		for _, name := range all {
			if !slices.ContainsFunc(strings.Fields(help), func(word string) bool { return strings.TrimRight(word, ",;.") == strings.TrimRight(name, ".") }) {
				t.Errorf("the help of %s does not name %s", path, name)
			}
		}
	}
}
