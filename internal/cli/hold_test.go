package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"counterpoise/internal/app/console"
	holding "counterpoise/internal/app/hold"
	"counterpoise/internal/golden"
	"counterpoise/internal/holds"
	"counterpoise/sim/hold"
)

// Every hold is described, its text first, then the numbers of a median body.
func TestHoldShow(t *testing.T) {
	for _, h := range holds.All() {
		code, stdout, stderr := call("hold", "show", h.Name, "--full")
		if code != console.ExitDone || stderr != "" {
			t.Fatalf("%s: code %d, stderr %q", h.Name, code, stderr)
		}
		stdout = unfolded(stdout)
		if !strings.HasPrefix(stdout, unfolded(h.Title+" ("+h.Name+") "+h.Description)) {
			t.Errorf("%s: the description does not come first", h.Name)
		}
		want := []string{"Demands on the median body of us-men", "What holds it up", "not validated by measured forces"}
		for _, f := range h.LegForms {
			want = append(want, f.String())
		}
		for _, v := range h.Variants {
			want = append(want, v.Info().Name, v.Info().Meaning)
		}
		for _, m := range h.Models {
			for _, d := range h.Asks(m) {
				want = append(want, d.String())
			}
		}
		for _, w := range want {
			if !strings.Contains(stdout, unfolded(w)) {
				t.Errorf("%s: %q is missing", h.Name, w)
			}
		}
	}
}

// The diagram is written whole, in four files that do not change from run to run
// and do change with what is asked for.
func TestHoldShowDraws(t *testing.T) {
	read := func(args ...string) map[string]string {
		out := filepath.Join(t.TempDir(), "deep", "out")
		if code, _, stderr := call(append([]string{"hold", "show", "front-lever", "--out", out}, args...)...); code != console.ExitDone || stderr != "" {
			t.Fatalf("%v: code %d, stderr %q", args, code, stderr)
		}
		return golden.Files(t, out)
	}
	first, again := read(), read()
	for _, name := range []string{"free-body.svg", "free-body.png", "free-body.pdf", "free-body.alt.txt"} {
		if first[name] == "" || first[name] != again[name] {
			t.Errorf("%s is empty or differs between two runs", name)
		}
	}
	if len(first) != 5 { // the manifest too
		t.Errorf("%d files, want 5", len(first))
	}
	for _, args := range [][]string{
		{"--people", "ansur2-women"}, {"--legs", "straddle 35 deg"}, {"--legs", "tuck"}, {"--size", "column"}, {"--theme", "dark"},
	} {
		if other := read(args...); other["free-body.svg"] == first["free-body.svg"] {
			t.Errorf("%v changes nothing", args)
		}
	}
}

// Where only some average people can take a posture, that is said of the others.
func TestHoldShowOfSome(t *testing.T) {
	got := unfolded(runs(t, "hold", "show", "push-up", "--pose", "hands_raised=120cm"))
	for _, want := range []string{"An average man (", "An average woman cannot be held so."} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in %s", want, got)
		}
	}
}

// Bad input is refused in one line that names it, and leaves no folder behind.
func TestHoldShowRefuses(t *testing.T) {
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"front-levr"}, "did you mean front-lever?"},
		{[]string{"front-lever", "--people", "ansur2-man"}, "did you mean ansur2-men?"},
		{[]string{"front-lever", "--legs", "tuc"}, "did you mean tuck?"},
		{[]string{"front-lever", "--legs", "straddle"}, "needs its angle"},
		{[]string{"front-lever", "--legs", "straddle 40"}, "needs its unit"},
		{[]string{"front-lever", "--legs", "straddle 95 deg"}, "at most 90 deg"},
		{[]string{"front-lever", "--legs", "tuck 40 deg"}, "tuck has no angle"},
		{[]string{"front-lever", "--pose", "bent"}, "the pose of front-lever has no variants"},
		{[]string{"push-up", "--pose", "feet_rased=30cm"}, "did you mean feet_raised?"},
		{[]string{"push-up", "--pose", "feet_raised=30"}, "needs its unit"},
		{[]string{"push-up", "--pose", "feet_raised"}, "needs its value, from 0.0 cm to 70.0 cm"},
		{[]string{"push-up", "--pose", "feet_raised=3 m"}, "must lie in 0.0 cm to 70.0 cm"},
		{[]string{"push-up", "--pose", "bent=1"}, "bent takes no value"},
		{[]string{"push-up", "--pose", "bent", "--pose", "bent"}, "appears twice"},
		{[]string{"planche", "--load", "vest"}, "write where and how much, as in vest=10kg"},
		{[]string{"planche", "--load", "wast=10kg"}, "did you mean waist?"},
		{[]string{"planche", "--load", "vest=10"}, "a mass needs its unit"},
		{[]string{"planche", "--assist", "hips=-20kg"}, "allowed: more than 0, up to 200 kg"},
		{[]string{"planche", "--load", "belt=10kg", "--assist", "hips=20kg"}, "there is already a load at the hips"},
		{[]string{"planche", "--assist", "chest=190kg"}, "leave nothing of a body of"},
		{[]string{"human-flag", "--model", "equilibrum"}, "did you mean equilibrium?"},
		{[]string{"human-flag", "--size", "pst"}, "did you mean post?"},
		{[]string{"human-flag", "--theme", "drak"}, "did you mean dark?"},
	} {
		out := filepath.Join(t.TempDir(), "out")
		code, stdout, stderr := call(append([]string{"hold", "show", "--out", out}, c.args...)...)
		if code != console.ExitUsage || stdout != "" || strings.Count(stderr, "\n") != 1 || !strings.Contains(stderr, c.want) {
			t.Errorf("%v: code %d, stdout %.40q, stderr %q, want %q", c.args, code, stdout, stderr, c.want)
		}
		if _, err := os.Stat(out); err == nil {
			t.Errorf("%v leaves a folder behind", c.args)
		}
	}
}

// hold show says what a hold asks of untrained women and men, in the posture that is
// asked for, or why nobody knows.
func TestHoldShowSaysWhoCould(t *testing.T) {
	says := func(args ...string) string {
		code, stdout, stderr := call(append([]string{"hold", "show", "--full"}, args...)...)
		if code != console.ExitDone {
			t.Fatalf("%v: exit code %d: %s", args, code, stderr)
		}
		_, after, found := strings.Cut(stdout, "For untrained adults")
		if !found {
			t.Fatalf("%v: nothing about untrained adults", args)
		}
		return strings.Join(strings.Fields(after), " ")
	}
	flag := says("human-flag")
	for _, want := range []string{"An untrained man: ", " times his strength (", "An untrained woman: ", " times her strength (", "bottom arm, together; then ", "Could hold it: not known, 0 to "} {
		if !strings.Contains(flag, want) {
			t.Errorf("human-flag lacks %q: %s", want, flag)
		}
	}
	if says("human-flag", "--legs", "tuck") == flag {
		t.Error("a tuck changes nothing")
	}
	if says("human-flag", "--model", "two-condition") != flag {
		t.Error("untrained adults are not in equilibrium")
	}
	if lever := says("back-lever"); !strings.Contains(lever, "An untrained woman: not known, since the strength of the muscles that lift the arm forwards was never measured with the arm behind the trunk.") {
		t.Errorf("back-lever: %s", lever)
	}
}

// Of youths it says so, with whose norms they are.
func TestHoldUntrainedOfYouths(t *testing.T) {
	for _, args := range [][]string{{"show", "wall-handstand", "--full", "--people", "us-girls"}, {"untrained", "--people", "us-boys,us-girls"}} {
		code, stdout, stderr := call(append([]string{"hold"}, args...)...)
		said := strings.Join(strings.Fields(stdout), " ")
		for _, want := range []string{"boy", "girls", "the median untrained youth of the same sex", "All norms but the grip's are adults'"} {
			if code != console.ExitDone || !strings.Contains(said, want) {
				t.Errorf("%v: code %d, lacks %q: %s%s", args, code, want, said, stderr)
			}
		}
		if strings.Contains(said, "NaN") || strings.Contains(said, "median untrained adult") || strings.Contains(said, "untrained women") {
			t.Errorf("%v: %s", args, said)
		}
	}
	if code, _, stderr := call("hold", "untrained", "--people", "us-girl"); code != console.ExitUsage || !strings.Contains(stderr, "did you mean us-girls?") {
		t.Errorf("code %d, %s", code, stderr)
	}
}

// What hold untrained prints as JSON is repeated, and a number altered in it is found.
func TestHoldUntrainedRepeats(t *testing.T) {
	_, stdout, _ := call("hold", "untrained", "--json", "--people", "us-women,us-boys", "--load", "vest=10kg", "--assist", "hips=5kg")
	file := filepath.Join(t.TempDir(), "untrained.json")
	write := func(text string) {
		golden.OK(t, os.WriteFile(file, []byte(text), 0o600))
	}
	write(stdout)
	if code, said, stderr := call("repeat", file); code != console.ExitDone || !strings.Contains(said, ": identical, byte for byte") {
		t.Errorf("code %d, %s%s", code, said, stderr)
	}
	write(strings.Replace(stdout, `"bodies": 501`, `"bodies": 502`, 1))
	if code, said, stderr := call("repeat", file); code != console.ExitFailed || !strings.Contains(said, "501") {
		t.Errorf("altered: code %d, %s%s", code, said, stderr)
	}
}

// What is carried is said with what it asks, and what BW then is.
func TestHoldShowUnderALoad(t *testing.T) {
	code, stdout, stderr := call("hold", "show", "planche", "--load", "vest=10kg", "--assist", "hips=5kg", "--full")
	if code != console.ExitDone || stderr != "" {
		t.Fatalf("code %d, stderr %q", code, stderr)
	}
	for _, want := range []string{"10 kg on the chest and 5 kg taken off at the hips", "BW is the weight of the body alone", "A real band pulls less", "For untrained adults, in equilibrium, with 10 kg on the chest"} {
		if !strings.Contains(stdout, want) {
			t.Errorf("%q is missing", want)
		}
	}
}

// The table of hold untrained as JSON has a row for every hold and sex of the public, with what the
// table leaves out.
func TestHoldUntrainedAsJSON(t *testing.T) {
	code, stdout, stderr := call("hold", "untrained", "--json")
	if code != console.ExitDone {
		t.Fatalf("exit code %d: %s", code, stderr)
	}
	var summary holding.UntrainedSummary
	golden.OK(t, json.Unmarshal([]byte(stdout), &summary))
	if want := len(holds.All()) * 2; len(summary.Holds) != want || summary.Provenance.Seed != holding.UntrainedSeed {
		t.Fatalf("%d rows of seed %d, want %d", len(summary.Holds), summary.Provenance.Seed, want)
	}
	for _, row := range summary.Holds {
		h, _ := holds.Find(row.Hold)
		known := h.Tells(hold.Equilibrium, hold.Difficulty, hold.Posture{})
		if known != (row.Unknown == "") || known != (row.Difficulty != nil) || known != (len(row.Uses) > 0) {
			t.Errorf("%+v", row)
		}
		if known && (row.Possible < row.Bodies*98/100 || row.DifficultyPublished[0] > *row.Difficulty || row.DifficultyPublished[1] < *row.Difficulty || row.Uses[0].Share > 1.01**row.Difficulty) {
			t.Errorf("%+v", row)
		}
	}
}
