package cli

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"counterpoise/internal/app/console"
	"counterpoise/internal/golden"
	"counterpoise/internal/provenance"
	"counterpoise/internal/study"
	"counterpoise/internal/table"
	"counterpoise/sim/drivers"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
)

// driversArgs is a small study; more flags follow.
func driversArgs(more ...string) []string {
	return append([]string{"drivers", "--hold", "front-lever", "--of", "shoulder_moment", "--people", "ansur2-women", "--n", "64", "--until", "0", "--assumption-draws", "128"}, more...)
}

func TestDriversWork(t *testing.T) {
	for _, c := range []struct {
		want string
		args []string
	}{
		{"share of the variance", driversArgs()},
		{"all 2048 subsets of 11 groups", driversArgs("--all-subsets", "--hold", "front-lever")},
		{"is worth", driversArgs("--worth", "--legs", "straddle 30 deg")},
		{"each leg", driversArgs("--worth", "--working-share", "0.3")},
		{"is worth", driversArgs("--worth", "--hold", "planche")}, // whoever else can
		{"Sobol' indices over the assumptions, for the median body", driversArgs("--sobol", "assumptions", "--second-order")},
		{"people as one group", driversArgs("--sobol", "people-as-one")},
		{"independent total", driversArgs("--full-and-independent", "--where", "bmi=18.5..25")},
		{"No effect at all", driversArgs("--screen")},
		{"changed alone", driversArgs("--along", "arm_length")},
		{"shoulder_span", driversArgs("--each-assumption")},
	} {
		code, stdout, stderr := call(append(c.args, "--full")...)
		if code != console.ExitDone || !strings.Contains(stdout, c.want) || stderr != "" {
			t.Errorf("%v: code %d, want %q on stdout; stderr %q", c.args, code, c.want, stderr)
		}
	}
}

// Faults are one line on standard error and code 2, and leave no folder behind.
func TestDriversRefuse(t *testing.T) {
	for _, c := range []struct {
		want string
		args []string
	}{
		{"--hold: which hold? Known: human-flag", []string{"drivers"}},
		{"--hold human-flg: unknown name (did you mean human-flag?)", driversArgs("--hold", "human-flg")},
		{"--of shoulder_momnt: front-lever does not have it (did you mean shoulder_moment?)", driversArgs("--of", "shoulder_momnt")},
		{"--of wall_push: front-lever does not have it", driversArgs("--of", "wall_push")},
		{"--of difficulty: the difficulty of back-lever is not known: the strength of the muscles that lift the arm forwards", driversArgs("--hold", "back-lever", "--of", "difficulty")},
		{"quantity: the difficulty of l-sit is not known: the strength of the muscles that lift a thigh", driversArgs("--hold", "l-sit", "--of", "difficulty", "--legs", "tuck")},
		{"models: the difficulty under two-condition and the difficulty under equilibrium differ in meaning", driversArgs("--hold", "human-flag", "--of", "difficulty", "--models", "two-condition,equilibrium")},
		{"--people: whose bodies?", []string{"drivers", "--hold", "front-lever", "--of", "difficulty"}},
		{`unknown people "ansur2-mn" (did you mean ansur2-men?)`, []string{"drivers", "--hold", "front-lever", "--of", "difficulty", "--people", "ansur2-mn"}},
		{"--models two-condition: front-lever under it gives no shoulder_moment", driversArgs("--models", "two-condition")},
		{"--legs strddle: unknown name (did you mean straddle?)", driversArgs("--legs", "strddle")},
		{"--assume shoulder_spn=1: unknown assumption (did you mean shoulder_span?)", driversArgs("--assume", "shoulder_spn=1")},
		{"--assume wall_friction=0.4: front-lever does not use it", driversArgs("--assume", "wall_friction=0.4")},
		{"--where bmy", driversArgs("--where", "bmy=1..2")},
		{"match bmi 80..90", driversArgs("--where", "bmi=80..90")},
		{"--sobol groups: first-order and total indices assume independent inputs", driversArgs("--sobol", "groups")},
		{"--sobol asumptions: unknown name (did you mean assumptions?)", driversArgs("--sobol", "asumptions")},
		{"--along arm_lenght: unknown trait (did you mean arm_length?)", driversArgs("--along", "arm_lenght")},
		{"--until ten: not a number", driversArgs("--until", "ten")},
		{"--until 2: allowed: 0", driversArgs("--until", "2")},
		{"--n: found 100, allowed: powers of two", driversArgs("--n", "100")},
		{"--max-evaluations: found 1000, this needs", driversArgs("--until", "0.01", "--max-evaluations", "1000")},
		{"--assumption-draws: found 200, allowed: powers of two", driversArgs("--assumption-draws", "200")},
		{"--second-order: it is for --sobol", driversArgs("--second-order")},
		{"--working-share 3: allowed: 0 to 1", driversArgs("--working-share", "3")},
		{"--working-share: it is for --worth", driversArgs("--working-share", "20%")},
		{"--all-subsets: it is for shares", driversArgs("--worth", "--all-subsets")},
		{"nothing drives it", []string{"drivers", "--hold", "two-arm-hang", "--of", "required_force", "--people", "ansur2-men"}},
		{"--all-rows: it is for --out", driversArgs("--all-rows")},
	} {
		args := c.args
		out := filepath.Join(t.TempDir(), "out")
		if !strings.HasPrefix(c.want, "--all-rows") {
			args = append(args, "--out", out)
		}
		code, stdout, stderr := call(args...)
		if code != console.ExitUsage || !strings.Contains(stderr, c.want) || stdout != "" || strings.Count(stderr, "\n") != 1 {
			t.Errorf("%v: code %d, want %q; stdout %.60q, stderr %q", c.args, code, c.want, stdout, stderr)
		}
		if _, err := os.Stat(out); err == nil {
			t.Errorf("%v: a folder was left", c.args)
		}
	}
}

// The same seed gives the same bytes, whatever the number of workers; another seed
// gives others.
func TestDriversSameBytes(t *testing.T) {
	run := func(more ...string) (string, map[string]string) {
		t.Helper()
		out := t.TempDir()
		var all string
		for _, analysis := range [][]string{nil, {"--worth", "--screen", "--sobol", "people-as-one", "--along", "span/stature"}} {
			code, stdout, stderr := call(driversArgs(append(append(more, "--out", out), analysis...)...)...)
			if code != console.ExitDone {
				t.Fatal(stderr)
			}
			all += stdout
		}
		files := map[string]string{}
		entries := golden.Must(os.ReadDir(out))(t)
		for _, e := range entries {
			data := golden.Must(os.ReadFile(filepath.Join(out, e.Name())))(t)
			files[e.Name()] = string(data)
		}
		return all, files
	}
	one, files1 := run("--workers", "1")
	eight, files8 := run("--workers", "8")
	if one != eight {
		t.Error("the text depends on the number of workers")
	}
	if len(files1) < 16 || len(files1) != len(files8) {
		t.Fatalf("%d and %d files", len(files1), len(files8))
	}
	for name, data := range files1 {
		if files8[name] != data {
			t.Errorf("%s depends on the number of workers", name)
		}
	}
	if other, _ := run("--seed", "2"); other == one {
		t.Error("another seed gives the same text")
	}
}

// A study that is refused since too many bodies cannot take the posture names a flag
// that works, and hardly any more would; also for several populations at once, and
// for a range that was given and is still too wide.
func TestRefusalNamesWhatWorks(t *testing.T) {
	study := []string{"drivers", "--hold", "planche", "--of", "shoulder_moment", "--people", "ansur2-men,ansur2-women", "--n", "64", "--until", "0", "--assumption-draws", "128"}
	for _, given := range [][]string{nil, {"--assume", "pressure_reach=0.2..0.95"}} {
		code, _, stderr := call(append(slices.Clone(study), given...)...)
		said := regexp.MustCompile(`most of them have a large pressure_reach.*: --assume pressure_reach=(\S+)\.\.(\S+) works\n$`).FindStringSubmatch(stderr)
		if code != console.ExitUsage || said == nil {
			t.Fatalf("code %d, %s", code, stderr)
		}
		high := golden.Must(strconv.ParseFloat(said[2], 64))(t)
		if code, _, stderr := call(append(slices.Clone(study), "--assume", "pressure_reach="+said[1]+".."+said[2])...); code != console.ExitDone {
			t.Errorf("%s..%s does not work: %s", said[1], said[2], stderr)
		}
		if code, _, _ := call(append(slices.Clone(study), "--assume", fmt.Sprintf("pressure_reach=%s..%g", said[1], high+0.02))...); code != console.ExitUsage {
			t.Errorf("%s..%g would work, too", said[1], high+0.02)
		}
	}
}

// What a unit is worth to persons is about the very body that person draws, one part
// for each, and to a person of whom nothing was measured about the median body of all
// (a soldier: the scores of the public are mixed, and their medians not quite at 0).
func TestWorthToAPerson(t *testing.T) {
	folder := t.TempDir()
	file := filepath.Join(folder, "persons.yaml")
	golden.OK(t, os.WriteFile(file, []byte("person: Ada\nsex: female\nstature: 175 cm\nmass: 61 kg ± 1 kg\nscan: {arms: 6.4 kg, legs: 21 kg, trunk: 29.1 kg, head: 4.5 kg}\n---\nperson: Nobody\nsex: female\npeople: ansur2-women\n"), 0o600))
	type part struct {
		Person, People string
		Worth          struct {
			Headline string
			Response float64
			Stature  float64 `json:"stature_m"`
			Rows     []struct {
				Name   string
				Change float64
			}
		}
	}
	worth := func(more ...string) []part {
		t.Helper()
		code, stdout, stderr := call(append([]string{"drivers", "--hold", "human-flag", "--of", "required_force", "--models", "equilibrium", "--worth", "--json"}, more...)...)
		var s struct{ Parts []part }
		if code != console.ExitDone || json.Unmarshal([]byte(stdout), &s) != nil {
			t.Fatal(stderr)
		}
		return s.Parts
	}
	persons, all := worth("--person", file), worth("--people", "ansur2-women")
	if len(persons) != 2 || persons[0].Person != "Ada" || persons[1].Person != "Nobody" || persons[0].People != "us-women" || persons[1].People != "ansur2-women" {
		t.Fatalf("%+v", persons)
	}
	if !reflect.DeepEqual(persons[1].Worth.Rows, all[0].Worth.Rows) || persons[1].Worth.Response != all[0].Worth.Response {
		t.Errorf("of nobody in particular %+v, of all %+v", persons[1].Worth, all[0].Worth)
	}
	if w := persons[0].Worth; w.Stature != 1.75 || w.Response == all[0].Worth.Response || !strings.HasPrefix(w.Headline, "For the median body of Ada (175 cm, 6") {
		t.Errorf("%+v", w)
	}
	loaded := golden.Must(study.LoadPersons([]string{file}))(t)
	options := person.DefaultOptions()
	options.N = person.LeastN
	answer := golden.Must(person.Answer(t.Context(), loaded[0].Person, options))(t)
	if held := answer.Models[0].Median.Held.Value[hold.RequiredForce][0]; math.Abs(held-persons[0].Worth.Response) > 1e-12 {
		t.Errorf("the drawn body needs %v, the one that units are worth something to %v", held, persons[0].Worth.Response)
	}
}

// What is told does not depend on whether files are written, though their rows are
// computed again for it.
func TestDriversCountOnce(t *testing.T) {
	for _, analysis := range [][]string{nil, {"--full-and-independent"}, {"--sobol", "people-as-one"}, {"--screen"}} {
		_, without, _ := call(driversArgs(append(analysis, "--json")...)...)
		code, with, stderr := call(driversArgs(append(analysis, "--json", "--out", t.TempDir())...)...)
		if code != console.ExitDone || with != without || !strings.Contains(with, `"bodies": `) {
			where, a, b := provenance.DifferentJSON([]byte(with), []byte(without))
			t.Errorf("%v: code %d, %s; %s is %s with files, %s without", analysis, code, stderr, where, a, b)
		}
	}
}

// From the design anybody can work out the response's mean and spread, and, with the
// mixed rows, the shares themselves.
func TestDriversDesign(t *testing.T) {
	out := t.TempDir()
	code, stdout, stderr := call(driversArgs("--out", out, "--all-rows", "--json")...)
	if code != console.ExitDone {
		t.Fatal(stderr)
	}
	var s struct {
		Parts []struct {
			Shares struct {
				Mean, Variance struct{ Value float64 }
				Indices        []struct {
					Groups []string
					Value  float64
				}
				Base        int `json:"base_rows"`
				Replicates  int
				Evaluations int
			}
		}
		Provenance map[string]any
	}
	golden.OK(t, json.Unmarshal([]byte(stdout), &s))
	shares := s.Parts[0].Shares
	r := openTable(t, filepath.Join(out, "design-ansur2-women-equilibrium.parquet"))
	y := columnOf(t, r, "shoulder_moment_bw_m", floats)
	column := func(name string) []int32 {
		return columnOf(t, r, name, func(b *table.Block) [][]int32 { return b.Int32 })
	}
	replicate, row, second, kept := column("replicate"), column("row"), column("second_sample"), column("kept_groups")
	if len(y) != shares.Evaluations-drivers.PilotRows {
		t.Errorf("%d rows for %d evaluations", len(y), shares.Evaluations)
	}
	all := int32(1)<<len(shares.Indices) - 1
	type place struct{ replicate, row int32 }
	base, other := map[place]float64{}, map[place]float64{}
	mean := 0.0
	for i := range y {
		if kept[i] == all {
			at := place{replicate[i], row[i]}
			mean += float64(y[i])
			if second[i] == 1 {
				other[at] = float64(y[i])
			} else {
				base[at] = float64(y[i])
			}
		}
	}
	mean /= float64(len(base) + len(other))
	if len(base) != shares.Base*shares.Replicates || len(other) != len(base) || math.Abs(mean-shares.Mean.Value) > 1e-6 {
		t.Errorf("%d and %d rows with mean %v, want %d and %v", len(base), len(other), mean, shares.Base*shares.Replicates, shares.Mean.Value)
	}
	// Row by row in the order of the file: each group is credited with what it adds to
	// the covariance with the base.
	credit := make([]float64, len(shares.Indices))
	whole := 0.0
	before := map[place]int32{}
	last := map[place]float64{}
	for i := range y {
		at := place{replicate[i], row[i]}
		if kept[i] == all {
			continue
		}
		if before[at] == 0 {
			last[at] = other[at]
		}
		for g := range credit {
			if (kept[i]&^before[at])>>g&1 == 1 {
				credit[g] += (base[at] - mean) * (float64(y[i]) - last[at])
			}
		}
		before[at], last[at] = kept[i], float64(y[i])
	}
	for at, set := range before {
		for g := range credit {
			if (all&^set)>>g&1 == 1 {
				credit[g] += (base[at] - mean) * (base[at] - last[at])
			}
		}
	}
	for _, c := range credit {
		whole += c
	}
	for g, i := range shares.Indices {
		if got := credit[g] / whole; math.Abs(got-i.Value) > 1e-3 {
			t.Errorf("%s: %.5f from the design, %.5f in the summary", i.Groups[0], got, i.Value)
		}
	}
	for _, key := range []string{"seed", "study", "data", "assumptions", "version"} {
		if _, ok := s.Provenance[key]; !ok {
			t.Errorf("the summary's provenance lacks %s", key)
		}
	}
}
