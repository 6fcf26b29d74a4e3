package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"counterpoise/internal/app/console"
	"counterpoise/internal/app/explore"
	"counterpoise/internal/explorer"
	"counterpoise/internal/golden"
	"counterpoise/internal/study"
)

// hold new writes a file that hold check finds in order and puts into words, with the
// same picture as that of a shipped hold.
func TestHoldNewIsChecked(t *testing.T) {
	folder := t.TempDir()
	file := golden.Writer(t, folder)("my-lever.yaml", succeeds(t, "hold", "new", "my-lever"))
	out := filepath.Join(folder, "picture")
	said := succeeds(t, "hold", "check", file, "--full", "--out", out)
	spaced := strings.Join(strings.Fields(said), " ")
	for _, want := range []string{
		file + " is in order.\n\nBent-arm front lever (my-lever)\nThe body hangs level under a bar",
		"The supports carry 2 unknown forces: the vertical force at the hands and the horizontal",
		"One angle is free, from −30° to 120°, fixed by: balance, with the weight over or under the hands.",
		"So everything is determined.",
		"What decides how hard it is\n", "grip of the hands",
		"It assumes, besides the body itself\n", "shoulder_extension_strength, elbow_flexion_strength",
		"The median man and woman of the US public\n", "\n  free angle ", "\n  difficulty ", "\n  gives out first ", "\n  force on both hands ",
		"An untrained woman: ", "not validated by measured forces",
	} {
		if !strings.Contains(said, want) && !strings.Contains(spaced, want) {
			t.Errorf("%q is missing in\n%s", want, said)
		}
	}
	if files := golden.Files(t, out); len(files) != 5 || files["free-body.svg"] == "" {
		t.Errorf("%d files", len(files))
	}
	first := succeeds(t, "hold", "check", file)
	if lines := strings.Count(first, "\n"); lines > 12 || !strings.Contains(first, "Everything is determined. Balance gives the vertical force at the hands and") || !strings.Contains(first, "An average woman") {
		t.Errorf("the first screen has %d lines:\n%s", lines, first)
	}
	shown := succeeds(t, "hold", "show", file, "--full")
	if !strings.HasPrefix(shown, "Bent-arm front lever (my-lever)\n") || !strings.Contains(shown, "Demands on the median body of ") {
		t.Errorf("hold show says\n%s", shown)
	}
}

// What is wrong with a file is said in a line each, with exit code 2, wherever the file
// is named.
func TestOwnHoldsRefused(t *testing.T) {
	folder := t.TempDir()
	write := golden.Writer(t, folder)
	example := succeeds(t, "hold", "new")
	line := func(of string) string {
		return ":" + strconv.Itoa(1+strings.Count(example[:strings.Index(example, of)], "\n")) + ": "
	}
	forearms, on := line("  forearms: bent")+"angles.forearms", line("  - {at: hands")+"supports.on"
	bad := write("bad.yaml", strings.NewReplacer("forearms: bent 45", "forearms: bend 45", "{at: hands, on: bar}", "{at: hands, on: bra}").Replace(example))
	taken := write("taken.yaml", strings.Replace(example, "hold: bent-arm-lever", "hold: front-lever", 1))
	claim := write("claim.yaml", "claim: mine\nsays: Mine.\nhold: ./bad.yaml\npeople: us-men\nchange: {arm_length: +10 cm}\nexpect: increase\n")
	person := write("person.yaml", "person: Ada\nsex: female\nhold: ./absent.yaml\n")
	for _, c := range []struct {
		args []string
		want []string
	}{
		{[]string{"hold", "check", bad}, []string{bad + forearms + `: "bend 45 deg": unknown word "bend" (did you mean bent?)`, bad + on + `: unknown name "bra" (did you mean bar?)`}},
		{[]string{"hold", "show", bad}, []string{bad + forearms, bad + on}},
		{[]string{"hold", "untrained", bad}, []string{bad + forearms, bad + on}},
		{[]string{"drivers", "--of", "difficulty", "--people", "us-men", "--hold", bad}, []string{bad + forearms, bad + on}},
		{[]string{"explore", "--hold", bad}, []string{bad + forearms, bad + on}},
		{[]string{"claim", "test", claim}, []string{claim + ":3: hold: " + bad + forearms, claim + ":3: hold: " + bad + on}},
		{[]string{"person", person}, []string{person + ":3: hold: " + filepath.Join(folder, "absent.yaml") + ": no such file or directory"}},
		{[]string{"hold", "check", taken}, []string{taken + line("hold: bent") + "hold: front-lever is a shipped hold"}},
		{[]string{"hold", "check", filepath.Join(folder, "none.yaml")}, []string{filepath.Join(folder, "none.yaml") + ": no such file or directory"}},
		{[]string{"hold", "check", folder}, []string{folder + ": is a folder, a file is needed"}},
		{[]string{"hold", "new", "My lever"}, []string{`"My lever" is not a valid name`}},
		{[]string{"hold", "show", "my-lever"}, []string{`unknown hold "my-lever"`}},
		{[]string{"hold", "untrained", "l-sit", "l-sit"}, []string{"l-sit appears twice"}},
		{[]string{"explore", "--static", folder, "--hold", "l-sit"}, []string{"--hold is of no use with --static"}},
	} {
		code, stdout, stderr := call(c.args...)
		lines := strings.Split(strings.TrimSuffix(stderr, "\n"), "\n")
		if code != console.ExitUsage || stdout != "" || len(lines) != len(c.want) {
			t.Errorf("%v: code %d, stdout %.40q, stderr %q", c.args, code, stdout, stderr)
			continue
		}
		for i, line := range lines {
			if !strings.HasPrefix(line, "counterpoise: "+c.want[i]) {
				t.Errorf("%v:\n got %s\nwant counterpoise: %s", c.args, line, c.want[i])
			}
		}
	}
}

// Every kind of study takes a hold of one's own by the path of its file, and every output
// is repeated from itself alone when the file is gone.
func TestOwnHoldsRepeat(t *testing.T) {
	folder := t.TempDir()
	write := golden.Writer(t, folder)
	lever := write("lever.yaml", succeeds(t, "hold", "new", "my-lever"))
	claim := write("claim.yaml", "claim: longer\nsays: Longer arms make my lever harder.\nhold: lever.yaml\npeople: us-men\nchange: {arm_length: +10 cm}\nexpect: increase\n")
	step := write("step.yaml", "claim: step\nsays: Mine is easier.\nhold: front-lever\npeople: us-women\nchange: {hold: ./lever.yaml}\nquantity: shoulder_moment\nexpect: decrease\n")
	contrast := write("contrast.yaml", "claim: tall\nsays: Tall women find my lever harder.\nhold: lever.yaml\npeople: us-women\ncontrast: {by: stature}\nexpect: increase\n")
	ada := write("ada.yaml", "person: Ada\nsex: female\nstature: 168 cm\nmass: 61 kg\nhold: lever.yaml\n---\nperson: Bea\nsex: female\nhold: lever.yaml\nlegs: tuck\n")
	sweep := write("sweep.yaml", "sweep: levers\npeople: us-men\nn: 300\nbodies: yes\ndemands: [shoulder_moment, grip_force]\naxes:\n  hold: [front-lever, lever.yaml]\n  change.arm_length: 0 cm..4 cm by 2 cm\n")
	results := filepath.Join(folder, "results")
	out := func(name string) string { return filepath.Join(results, name) }
	run := func(args ...string) string { t.Helper(); return runs(t, args...) }
	for name, file := range map[string]string{"claim": claim, "step": step, "contrast": contrast} {
		run("claim", "test", file, "--n", "2000", "--assumption-draws", "0", "--out", out(name))
	}
	run("person", ada, "--n", "1000", "--out", out("person"))
	run("sweep", sweep, "--out", out("sweep"))
	run("drivers", "--hold", lever, "--of", "shoulder_moment", "--people", "us-men", "--until", "0", "--n", "64", "--assumption-draws", "128", "--out", out("drivers"))
	worth := run("drivers", "--hold", lever, "--of", "difficulty", "--people", "us-women", "--worth", "--json")
	untrained := run("hold", "untrained", lever, "l-sit", "--json")
	results2 := golden.Writer(t, results)
	files := []string{
		out("claim/summary.json"), out("claim/bodies.parquet"), out("claim/evidence.html"), out("step/summary.json"), out("contrast/summary.json"),
		out("person/summary.json"), out("sweep/summary.json"), out("sweep/bodies.parquet"), out("drivers/summary.json"),
		results2("worth.json", worth), results2("untrained.json", untrained),
	}
	golden.OK(t, os.Remove(lever))
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil || strings.Contains(string(text), folder) {
			t.Errorf("%s: %v, or the place of the hold is in it", file, err)
		}
		if code, said, stderr := call("repeat", file); code != console.ExitDone || !strings.Contains(said, ": identical, byte for byte") {
			t.Errorf("%s: code %d, %s%s", file, code, said, stderr)
		}
	}
	// A text that was altered is no longer the one that the results are of.
	text := golden.Must(os.ReadFile(files[0]))(t)
	altered := results2("altered.json", strings.Replace(string(text), "bent 45 deg", "bent 50 deg", 1))
	if code, _, stderr := call("repeat", altered); code != console.ExitUsage || !strings.Contains(stderr, `the text of the hold "my-lever" was altered`) {
		t.Errorf("altered: code %d, %s", code, stderr)
	}
}

// The page that is served offers a hold of one's own beside the others, and answers for it.
func TestThePageKnowsOwnHolds(t *testing.T) {
	file := golden.Writer(t, t.TempDir())("lever.yaml", succeeds(t, "hold", "new", "my-lever"))
	h, err := study.FindHold(file)
	if err != nil {
		t.Fatal(err)
	}
	e := explore.ExploreSite(h).Explorer
	text := golden.Must(e.Ask(t.Context(), "catalogue", []byte("{}")))(t)
	var catalogue explorer.Catalogue
	golden.OK(t, json.Unmarshal(text, &catalogue))
	if last := catalogue.Holds[len(catalogue.Holds)-1]; last.Name != "my-lever" || last.Title != "Bent-arm front lever" {
		t.Errorf("the last hold is %+v", last)
	}
	request := `{"person": {"sex": "male", "hold": "my-lever", "legs": {"form": "tuck"}}, "model": "equilibrium"}`
	if text, err = e.Ask(t.Context(), "pose", []byte(request)); err != nil || !strings.Contains(string(text), `"possible":true`) {
		t.Errorf("%v: %.200s", err, text)
	}
	if _, err = explorer.New(nil).Ask(t.Context(), "pose", []byte(request)); err == nil {
		t.Error("another page knows it too")
	}
}
