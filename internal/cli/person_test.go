package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/app/console"
	"counterpoise/internal/golden"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
)

const clubNight = "../../testdata/demo/club-night"

// The demo's people, as the terminal shows them.
func TestClubNight(t *testing.T) {
	for _, c := range []struct {
		golden string
		args   []string
	}{
		{"person-club-night.txt", []string{"person", clubNight, "--n", "4000", "--full"}},
		{"person-cheng.txt", []string{"person", clubNight + "/cheng.yaml", "--n", "4000", "--protocol", "--full"}},
		{"person-farah-imperial.txt", []string{"person", clubNight + "/farah.yaml", "--n", "4000", "--units", "imperial", "--full"}},
		{"readiness-cheng.txt", []string{"readiness", clubNight + "/cheng.yaml", "--n", "4000", "--full"}},
	} {
		code, stdout, stderr := call(c.args...)
		if code != console.ExitDone || stderr != "" {
			t.Errorf("%v: code %d, stderr %q", c.args, code, stderr)
		}
		golden.Text(t, "cli/"+c.golden, []byte(stdout))
		for _, line := range strings.Split(stdout, "\n") {
			if len([]rune(line)) > 110 {
				t.Errorf("%v: a line of %d characters: %s", c.args, len([]rune(line)), line)
			}
		}
		for _, bad := range []string{"NaN", "Inf", "%!", "-0 "} {
			if strings.Contains(stdout, bad) {
				t.Errorf("%v: %q in %s", c.args, bad, stdout)
			}
		}
		for _, want := range []string{"not validated by measured forces", "medical or training advice", "rated for the load"} {
			if !strings.Contains(strings.Join(strings.Fields(stdout), " "), want) {
				t.Errorf("%v: the output lacks %q", c.args, want)
			}
		}
	}
	code, stdout, stderr := call("readiness", clubNight, "--n", "1000")
	if code != console.ExitDone || !strings.Contains(stdout, "Dagny, human flag") || !strings.Contains(stdout, "Ada, human flag") || !strings.Contains(stdout, "Farah, front lever") || stderr != "" {
		t.Errorf("code %d, stderr %q, stdout %.200s", code, stderr, stdout)
	}
}

// The JSON has the documented fields for everybody, and finite numbers.
func TestPersonSummary(t *testing.T) {
	code, stdout, stderr := call("person", clubNight, "--n", "2000", "--json")
	if code != console.ExitDone || stderr != "" {
		t.Fatal(code, stderr)
	}
	var s struct {
		Persons []struct {
			Person, Headline, Hold string
			Models                 []struct {
				Model        string
				Main         string `json:"main_quantity"`
				Quantities   []map[string]any
				Everything   map[string]any   `json:"measure_everything"`
				Next         []map[string]any `json:"measure_next"`
				PossibleBody float64          `json:"possible_share"`
			}
			Fixture   map[string]any
			Measured  []map[string]any
			Readiness map[string]any
		}
		Pooled     []map[string]any `json:"measured_pooled"`
		Validation string
		Cautions   string
		Provenance struct {
			Tool, Version, Seed string
			Study               map[string]any
			Data                map[string]string
			Assumptions         map[string]float64
		}
	}
	golden.OK(t, json.Unmarshal([]byte(stdout), &s))
	if len(s.Persons) != 6 || len(s.Pooled) == 0 || s.Validation == "" || s.Cautions == "" {
		t.Errorf("%d persons, %d pooled", len(s.Persons), len(s.Pooled))
	}
	p, defaults := s.Provenance, assume.Defaults()
	if p.Tool != "counterpoise" || p.Seed != "1" || p.Study["command"] != "person" || len(p.Data) == 0 || len(p.Assumptions) != len(defaults.Named()) {
		t.Errorf("provenance is %+v", p)
	}
	for _, person := range s.Persons {
		if person.Person == "" || person.Headline == "" || person.Fixture == nil || len(person.Models) == 0 {
			t.Errorf("%s: fields are missing", person.Person)
		}
		for _, m := range person.Models {
			main := slices.IndexFunc(m.Quantities, func(q map[string]any) bool { return q["quantity"] == m.Main })
			if main < 0 || len(m.Next) == 0 {
				t.Fatalf("%s, %s: no %s or nothing to measure", person.Person, m.Model, m.Main)
			}
			if floor, most, now := m.Everything["width"].(float64), m.Next[0]["width"].(float64), m.Everything["reduction"].(float64); !(floor > 0 && floor <= most && now >= 0 && now < 1) {
				t.Errorf("%s, %s: %g wide with everything measured, %g with the first", person.Person, m.Model, floor, most)
			}
			for _, field := range []string{"percentile", "body", "body_and_assumptions", "body_absolute", "body_and_assumptions_absolute"} {
				r := m.Quantities[main][field].(map[string]any)
				low, middle, high := r["p5"].(float64), r["p50"].(float64), r["p95"].(float64)
				if !(low < middle && middle < high) {
					t.Errorf("%s, %s: %s is %v", person.Person, m.Model, field, r)
				}
			}
		}
		if tested := person.Person == "Cheng" || person.Person == "Dagny"; person.Readiness == nil || tested != (person.Readiness["own_strength"] != nil) || tested != (person.Measured != nil) {
			t.Errorf("%s: readiness %+v, measured %v", person.Person, person.Readiness, person.Measured != nil)
		}
	}
}

// The folder holds the summary, the charts and the tables, with their origin.
func TestPersonFiles(t *testing.T) {
	out := t.TempDir()
	code, stdout, stderr := call("person", clubNight+"/cheng.yaml", clubNight+"/farah.yaml", clubNight+"/emeka.yaml", "--n", "2000", "--json", "--out", out)
	if code != console.ExitDone || stderr != "" {
		t.Fatal(code, stderr)
	}
	if file, err := os.ReadFile(filepath.Join(out, "summary.json")); err != nil || string(file) != stdout {
		t.Error("summary.json is not what --json prints")
	}
	for _, file := range []string{"emeka/hold.svg", "emeka/hold.alt.txt", "emeka/measure-next.png", "emeka/requirement-equilibrium.pdf", "farah/hold.png", "farah/draws.parquet", "together-human-flag-equilibrium.svg"} {
		if _, err := os.Stat(filepath.Join(out, file)); err != nil {
			t.Error(err)
		}
	}
	r := openTable(t, filepath.Join(out, "cheng/draws.parquet"))
	if r.Rows() != 2000 {
		t.Errorf("%d rows, want 2000", r.Rows())
	}
	for _, column := range []string{"stature_m", "equilibrium_central_required_force_bw", "two_condition_varied_best_angle_deg", "equilibrium_varied_hand_spacing_m"} {
		if values := columnOf(t, r, column, floats); len(values) != 2000 || values[7] <= 0 {
			t.Errorf("%s: %d values", column, len(values))
		}
	}
	found := false
	for _, pair := range r.Metadata() {
		found = found || pair.Key == "counterpoise.person" && pair.Value == "Cheng"
	}
	if !found {
		t.Error("the table does not say whose it is")
	}
}

// Charts can be drawn of everybody in every size and theme: a chart with text
// that is cut off or lies over other text is an error.
func TestPersonChartsInEverySize(t *testing.T) {
	if testing.Short() {
		t.Skip("draws many charts")
	}
	for _, look := range [][2]string{{"post", "dark"}, {"column", "light"}} {
		code, _, stderr := call("person", clubNight, "--n", "1000", "--out", t.TempDir(), "--size", look[0], "--theme", look[1])
		if code != console.ExitDone || stderr != "" {
			t.Errorf("%v: code %d, stderr %q", look, code, stderr)
		}
	}
}

// The same seed gives the same bytes, whatever the number of workers.
func TestPersonRepeatsBytes(t *testing.T) {
	run := func(workers string) map[string]string {
		out := t.TempDir()
		if code, _, stderr := call("person", clubNight+"/front-desk.yaml", "--n", "3000", "--seed", "17", "--workers", workers, "--out", out); code != console.ExitDone {
			t.Fatal(stderr)
		}
		return golden.Files(t, out)
	}
	one, three := run("1"), run("3")
	if len(one) < 30 || len(one) != len(three) {
		t.Fatalf("%d and %d files", len(one), len(three))
	}
	for name := range one {
		if one[name] != three[name] {
			t.Errorf("%s depends on the number of workers", name)
		}
	}
}

// With everything measured and the assumptions fixed, an answer is one number.
func TestEverythingGivenIsOneNumber(t *testing.T) {
	women := golden.Must(anthro.Load("ansur2-women"))(t)
	text := "person: Whole\nsex: female\nage: 30\n"
	for m := range anthro.NumMeasurements {
		unit := "m"
		if m == anthro.Mass {
			unit = "kg"
		}
		// Away from the median, and not all in proportion.
		text += fmt.Sprintf("%s: %.6f %s\n", m, women.Marginal(m).Value(0.3+0.05*float64(m%3)), unit)
	}
	file := filepath.Join(t.TempDir(), "whole.yaml")
	golden.OK(t, os.WriteFile(file, []byte(text), 0o600))
	args := []string{"person", file, "--n", "1000", "--json", "--regional-masses", "table"}
	for _, a := range assume.All() {
		args = append(args, "--assume", fmt.Sprintf("%s=%v", a.Name, words.AssumptionTold(a.ID, a.Default)))
	}
	code, stdout, stderr := call(args...)
	if code != console.ExitDone {
		t.Fatal(stderr)
	}
	var s struct {
		Persons []struct {
			Models []struct {
				Quantities []struct {
					Quantity   string
					Body, All  map[string]float64
					FromBody   float64            `json:"variance_share_body"`
					Assumption map[string]float64 `json:"body_and_assumptions"`
				}
				Next []any `json:"measure_next"`
			}
		}
	}
	golden.OK(t, json.Unmarshal([]byte(stdout), &s))
	for _, m := range s.Persons[0].Models {
		for _, q := range m.Quantities {
			// Refits of the survey come to the same body by other sums.
			same := func(x, y float64) bool { return math.Abs(x-y) <= 1e-12*math.Abs(x) }
			if !same(q.Body["p5"], q.Body["p95"]) || !same(q.Body["p50"], q.Assumption["p5"]) || !same(q.Body["p50"], q.Assumption["p95"]) || q.FromBody > 1e-12 {
				t.Errorf("%s: %v and %v", q.Quantity, q.Body, q.Assumption)
			}
		}
		if len(m.Next) != 0 {
			t.Error("there is something to measure next")
		}
	}
	code, stdout, _ = call(slices.DeleteFunc(args, func(a string) bool { return a == "--json" })...)
	if code != console.ExitDone || strings.Contains(stdout, "why a range") || strings.Contains(stdout, "Measure ") || strings.Contains(stdout, "left open it is") {
		t.Errorf("code %d, ranges in %s", code, stdout)
	}
}

// Every bad person is one clear line and code 2, and nothing is left in --out.
func TestBadPersons(t *testing.T) {
	folder := t.TempDir()
	const good = "person: Ada\nsex: female\nstature: 168 cm\nmass: 61 kg\nspan: 171 cm\n"
	write := golden.Writer(t, folder)
	file := func(name, old, next string) string {
		t.Helper()
		return write(name, altered(t, good, old, next))
	}
	ada := write("ada.yaml", good)
	empty := filepath.Dir(write("empty/read.me", "x"))
	hang := "tests: {one_arm_hang: {held: 20 s}}\n"
	for _, c := range []struct {
		code int
		want string
		args []string
	}{
		{2, "person: <file or folder>... is needed", []string{"person"}},
		{2, "none.yaml: no such file or directory", []string{"person", folder + "/none.yaml"}},
		{2, empty + ": the folder holds no file ending in .yaml or .yml", []string{"person", empty}},
		{2, "nothing.yaml: the file is empty", []string{"person", write("nothing.yaml", "\r\n")}},
		{2, "huge.yaml: is too long, at most 1048576 bytes are read", []string{"person", write("huge.yaml", good+strings.Repeat("# more\n", 1<<20))}},
		{2, "latin.yaml:1: the text is not UTF-8; save the file as UTF-8", []string{"person", write("latin.yaml", strings.Replace(good, "Ada", "Ad\xe9", 1))}},
		{2, "list.yaml:1: must be a mapping of fields, found a list", []string{"person", write("list.yaml", "- a\n")}},
		{2, "twice.yaml:6: person: Ada appears twice, first on line 1", []string{"person", write("twice.yaml", strings.TrimSuffix(good, "span: 171 cm\n")+"---\n"+good)}},
		{2, "person: Ada appears twice, first in " + ada, []string{"person", ada, ada}},
		{2, "bare.yaml:3: stature: \"168\": a length needs its unit", []string{"person", file("bare.yaml", "168 cm", "168")}},
		{2, "field.yaml:4: weight: unknown field (did you mean mass?); allowed: ", []string{"person", file("field.yaml", "mass", "weight")}},
		{2, "field2.yaml:5: spam: unknown field (did you mean span?)", []string{"person", file("field2.yaml", "span", "spam")}},
		{2, "nosex.yaml:1: sex: is missing", []string{"person", file("nosex.yaml", "sex: female\n", "")}},
		{2, "inches.yaml:3: stature: 66.0 cm: of people in us-women", []string{"person", file("inches.yaml", "168 cm", "66 cm")}},
		{2, "inches for centimetres?", []string{"person", file("inches2.yaml", "168 cm", "66 cm")}},
		{2, "pounds for kilograms?", []string{"person", file("pounds.yaml", "61 kg", "285 kg")}},
		{2, "must be more than 2·", []string{"person", file("span.yaml", "171 cm", "169 cm\nupper_arm_length: 43 cm\nforearm_length: 34 cm\nhand_length: 19 cm")}},
		{2, "scan.yaml:6: scan: the scan's regions add up to 71.0 kg, the mass is 61.0 kg", []string{"person", write("scan.yaml", good+"scan: {head: 4.5 kg, trunk: 39.1 kg, arms: 6.4 kg, legs: 21 kg}\n")}},
		{2, "legs.yaml:6: legs: push-up cannot be done with the legs tuck", []string{"person", write("legs.yaml", good+"legs: tuck\nhold: push-up\n")}},
		{2, "men.yaml:6: people: the people of ansur2-men are male, the person is female", []string{"person", write("men.yaml", good+"people: ansur2-men\n")}},
		{2, "lever.yaml:7: measured: only the human flag has readings to compare with", []string{"person", write("lever.yaml", good+"hold: front-lever\nmeasured: {arm_angle: 20 deg}\n")}},
		{2, "tests: in the one-arm hang the help is more than the weight", []string{"person", write("help.yaml", good+"tests: {one_arm_hang: {held: 20 s, assisted: 80 kg}}\n")}},

		{2, "--n: found 10, allowed: 1000 to 500000", []string{"person", ada, "--n", "10"}},
		{2, "--units metrik: unknown name (did you mean metric?); known: metric, imperial", []string{"person", ada, "--units", "metrik"}},
		{2, "--size slid: unknown name (did you mean slide?)", []string{"person", ada, "--size", "slid"}},
		{2, "--theme drak: unknown name (did you mean dark?)", []string{"person", ada, "--theme", "drak"}},
		{2, "--endurance rohmret: unknown name (did you mean rohmert?)", []string{"readiness", write("hang.yaml", good+hang), "--endurance", "rohmret"}},
		{2, "--models equilibrum: unknown name (did you mean equilibrium?)", []string{"person", ada, "--models", "equilibrum"}},
		{2, "tells a person nothing by itself; allowed: equilibrium, or both", []string{"person", write("front.yaml", good+"hold: front-lever\n"), "--models", "two-condition"}},
		{2, "--regional-masses: one name is needed here, found 2", []string{"person", ada, "--regional-masses", "table,full"}},
		{2, "--assume shoulder_spam=0.8: unknown assumption (did you mean shoulder_span?)", []string{"person", ada, "--assume", "shoulder_spam=0.8"}},
		{2, "--workers: found -1", []string{"person", ada, "--workers", "-1"}},
		{1, "--out /proc/nope: no such file or directory", []string{"person", ada, "--out", "/proc/nope"}},
	} {
		args := c.args
		out := filepath.Join(t.TempDir(), "new", "out")
		if args[0] == "person" && len(args) > 1 && !slices.Contains(args, "--out") {
			args = append(slices.Clone(args), "--out", out)
		}
		code, stdout, stderr := call(args...)
		if code != c.code || stdout != "" || strings.Count(stderr, "\n") != 1 || !strings.HasPrefix(stderr, "counterpoise: ") || !strings.Contains(stderr, c.want) {
			t.Errorf("%v:\n got code %d, stdout %.80q, stderr %s\nwant code %d and one line with %s", c.args, code, stdout, stderr, c.code, c.want)
		}
		if _, err := os.Stat(filepath.Dir(out)); err == nil {
			t.Errorf("%v: %s was made and left", c.args, out)
		}
	}
	// Faults of several persons are told together, and the good ones leave nothing.
	out := filepath.Join(folder, "out")
	code, stdout, stderr := call("person", ada, file("short.yaml", "Ada\nsex: female\nstature: 168 cm", "Short\nsex: female\nstature: 66 cm"),
		file("heavy.yaml", "Ada\nsex: female\nstature: 168 cm\nmass: 61 kg", "Heavy\nsex: female\nstature: 168 cm\nmass: 610 kg"), "--out", out)
	if _, err := os.Stat(out); code != console.ExitUsage || stdout != "" || strings.Count(stderr, "\n") != 2 || err == nil {
		t.Errorf("code %d, stdout %q, stderr %s", code, stdout, stderr)
	}
}

// A rare person is answered with a note.
func TestRarePersonIsNoted(t *testing.T) {
	file := filepath.Join(t.TempDir(), "tall.yaml")
	golden.OK(t, os.WriteFile(file, []byte("person: Tall\nsex: female\nstature: 189 cm\n"), 0o600))
	code, stdout, stderr := call("person", file, "--n", "1000")
	if code != console.ExitDone || stderr != "" || !strings.Contains(stdout, "Note: rare, check it: stature 189.0 cm: of people in us-women, 90 % have ") {
		t.Errorf("code %d, stderr %q, stdout %s", code, stderr, stdout)
	}
}

func TestPersonInterrupted(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var stdout, stderr bytes.Buffer
	out := filepath.Join(t.TempDir(), "out")
	code := Main(ctx, []string{"person", clubNight, "--out", out}, strings.NewReader(""), &stdout, &stderr)
	if _, err := os.Stat(out); code != console.ExitInterrupted || stdout.Len() > 0 || err == nil {
		t.Errorf("code %d, stdout %q, stderr %q", code, stdout.String(), stderr.String())
	}
}

// A name that the charts' font cannot write does not keep them from being drawn.
func TestNameWithoutGlyphs(t *testing.T) {
	file := filepath.Join(t.TempDir(), "li.yaml")
	golden.OK(t, os.WriteFile(file, []byte("person: 李雷\nsex: male\nmass: 70 kg\n"), 0o600))
	out := t.TempDir()
	code, stdout, stderr := call("person", file, "--n", "1000", "--out", out)
	alt, err := os.ReadFile(filepath.Join(out, "hold.alt.txt"))
	if code != console.ExitDone || !strings.HasPrefix(stdout, "李雷, human flag") || err != nil || !strings.HasPrefix(string(alt), "person 1, human flag") {
		t.Errorf("code %d, stderr %q, %v, alt %s", code, stderr, err, alt)
	}
}

// The person in the help works as it stands there.
func TestPersonOfTheHelp(t *testing.T) {
	_, stdout, _ := call("person", "--help")
	_, text, _ := strings.Cut(stdout, "  person: Ada")
	text, _, _ = strings.Cut("  person: Ada"+text, "\n\n")
	var yaml strings.Builder
	for _, line := range strings.Split(text, "\n") {
		yaml.WriteString(strings.TrimPrefix(line, "  ") + "\n")
	}
	file := filepath.Join(t.TempDir(), "help.yaml")
	golden.OK(t, os.WriteFile(file, []byte(yaml.String()), 0o600))
	if code, _, stderr := call("person", file, "--n", "1000"); code != console.ExitDone {
		t.Error(stderr)
	}
	if persons, err := study.LoadPersons([]string{file}); err != nil || persons[0].Tests == nil || persons[0].Measured == nil {
		t.Errorf("%+v, %v", persons, err)
	}
}
