package site

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"counterpoise/internal/explorer"
	"counterpoise/internal/golden"
)

// written writes a site and returns its files.
func written(t *testing.T) map[string]string {
	t.Helper()
	folder := t.TempDir()
	s := newSite(func(_ context.Context, name string) ([]byte, error) {
		return []byte(strings.Repeat("evidence of "+name, 40)), nil
	})
	golden.OK(t, s.Write(t.Context(), folder, &WebAssembly{Module: bytes.Repeat([]byte("module"), 100), Verify: []byte("again"), Loader: []byte("loader")}, nil))
	return golden.Files(t, folder)
}

func TestStaticSite(t *testing.T) {
	list := written(t)
	for name, holds := range map[string]string{
		"index.html":                `http-equiv="Content-Security-Policy" content="default-src &#39;self&#39;`,
		"transport-choice.js":       "'wasm'",
		"counterpoise.wasm":         "module",
		"verify.wasm":               "again",
		"wasm_exec.js":              "loader",
		"sayings/longer-arms.html":  "evidence of longer-arms",
		"offline.js":                `', files = ["./","answers/back-lever-female.json",`,
		"catalogue.json":            `"name":"front-lever"`,
		"answers/planche-male.json": `"faults":[],"complete":true,"summary":{"person":"you","sex":"male"`,
	} {
		if !strings.Contains(list[name], holds) {
			t.Errorf("%s: %.300s", name, list[name])
		}
	}
	for name, data := range list {
		plain, packed := strings.CutSuffix(name, ".gz")
		if !packed {
			continue
		}
		r := golden.Must(gzip.NewReader(strings.NewReader(data)))(t)
		if text, err := io.ReadAll(r); err != nil || string(text) != list[plain] || !r.ModTime.IsZero() {
			t.Errorf("%s is not %s packed: %v", name, plain, err)
		}
	}
	for name, again := range written(t) {
		if again != list[name] {
			t.Errorf("%s has other bytes the second time", name)
		}
	}
}

// What the policy forbids is not in the page.
func TestThePageKeepsToItsPolicy(t *testing.T) {
	list := golden.Must(files("http"))(t)
	for _, forbidden := range []string{`\sstyle\s*=`, `<style`, `<script(\s[^>]*)?>[^<]`, `\son[a-z]+\s*=`, `(src|href)\s*=\s*"?(https?:)?//`, `javascript:`} {
		if found := regexp.MustCompile(forbidden).Find(list[index]); found != nil {
			t.Errorf("%s has %q, which the policy forbids", index, found)
		}
	}
}

// questionsToCompare are asked over every transport.
var questionsToCompare = [][2]string{
	{"catalogue", `{}`},
	{"answer", `{"person": {"sex": "female", "measurements": {"stature": "168 cm ± 0.5 cm", "mass": "61"}}}`},
	{"answer", `{"draws": 1000, "seed": "18446744073709551615", "person": {"sex": "male", "units": "imperial", "name": "Io", "measurements": {"stature": "5 ft 11 in", "span": "72"}, "legs": {"form": "straddle", "angle": "35"}}}`},
	{"answer", `{"draws": 1000, "person": {"sex": "male", "measurements": {"stature": "172.5 ± 0.3", "mass": "68.4"}, "scan": {"head": "4.9", "trunk": "31.4", "arms": "9.1", "legs": "22.3"},
		"tests": [{"test": "one_arm_hang", "side": "left", "held": "34", "added": "6"}, {"test": "one_arm_handstand", "side": "right", "held": "9 s", "fingers": "4 kg", "wall_distance": "15"}]}}`},
	{"answer", `{"draws": 1000, "person": {"sex": "female", "hold": "front-lever", "legs": {"form": "tuck"}, "measurements": {"stature": "66"}}}`},
	{"answer", `{"draws": 1000, "person": {"sex": "male", "hold": "wall-handstand", "pose": {"wall_distance": "30", "one_arm": "yes"}}}`},
	{"pose", `{"person": {"sex": "female", "tilt": "5"}, "model": "two-condition", "angle_deg": 41.25}`},
	{"pose", `{"person": {"sex": "female"}, "model": "equilibrium", "spacing_m": 0.9}`},
	{"pose", `{"person": {"sex": "female"}, "model": "equilibrium", "spacing_m": 9}`},
	{"pose", `{"person": {"sex": "male", "hold": "push-up", "pose": {"kneeling": "yes"}}, "model": "equilibrium"}`},
	{"change", `{"draws": 1000, "person": {"sex": "male"}, "model": "equilibrium", "change": {"arm_length": "+5", "mass": [{"region": "trunk", "kilograms": "-3", "working_share": 0.2}]}}`},
	{"change", `{"draws": 1000, "person": {"sex": "female", "hold": "planche"}, "model": "equilibrium", "change": {"size": "-4 %", "legs": {"form": "advanced-tuck"}}}`},
	{"card", `{"draws": 1000, "person": {"sex": "female", "name": "Io", "measurements": {"stature": "168,5 ± 0,5", "mass": "61"}}}`},
	{"sayings", `{}`},
	{"answer", `{"person": {}}`},
}

// In a browser the same comes out as here, to a relative 1e-12.
func TestWebAssemblyAnswersAlike(t *testing.T) {
	node, err := exec.LookPath("node")
	if err != nil {
		t.Skip("needs Node.js to run WebAssembly: ", err)
	}
	if testing.Short() {
		t.Skip("compiles the simulation for browsers, not in short mode")
	}
	w := golden.Must(Build(t.Context(), ""))(t)
	again, err := Build(t.Context(), "")
	if err != nil || !bytes.Equal(w.Module, again.Module) {
		t.Errorf("compiled again it has other bytes: %v", err)
	}
	folder := t.TempDir()
	for name, data := range map[string][]byte{"module": w.Module, "loader.js": w.Loader} {
		golden.OK(t, os.WriteFile(filepath.Join(folder, name), data, 0o666))
	}
	questions := golden.Must(json.Marshal(questionsToCompare))(t)
	run := exec.CommandContext(t.Context(), node, filepath.Join("testdata", "ask.cjs"), filepath.Join(folder, "loader.js"), filepath.Join(folder, "module"))
	var complaints bytes.Buffer
	run.Stdin, run.Stderr = bytes.NewReader(questions), &complaints
	out, err := run.Output()
	if err != nil {
		t.Fatalf("node: %v: %s", err, &complaints)
	}
	var answers []string
	if err := json.Unmarshal(out, &answers); err != nil || len(answers) != len(questionsToCompare) {
		t.Fatalf("%d answers to %d questions: %v", len(answers), len(questionsToCompare), err)
	}
	e := explorer.New(explorer.Shipped)
	for i, q := range questionsToCompare {
		here, _ := e.Ask(t.Context(), q[0], []byte(q[1]))
		var want, got any
		if json.Unmarshal(here, &want) != nil || json.Unmarshal([]byte(answers[i]), &got) != nil {
			t.Fatalf("%s: %.200s", q[0], answers[i])
		}
		if where := differs(want, got, ""); where != "" {
			t.Errorf("%s %s: %s", q[0], q[1], where)
		}
	}
}

// differs says where two JSON values differ by more than 1e-12 of themselves, or of 1
// where they are smaller; "" where they do not.
func differs(want, got any, at string) string {
	const alike = 1e-12
	switch w := want.(type) {
	case map[string]any:
		g, ok := got.(map[string]any)
		if !ok || len(g) != len(w) {
			return fmt.Sprintf("%s: %v, want %v", at, got, want)
		}
		for name := range w {
			if where := differs(w[name], g[name], at+"."+name); where != "" {
				return where
			}
		}
		return ""
	case []any:
		g, ok := got.([]any)
		if !ok || len(g) != len(w) {
			return fmt.Sprintf("%s: %v, want %v", at, got, want)
		}
		for i := range w {
			if where := differs(w[i], g[i], fmt.Sprintf("%s[%d]", at, i)); where != "" {
				return where
			}
		}
		return ""
	case float64:
		if g, ok := got.(float64); ok && math.Abs(g-w) <= alike*max(1, math.Abs(w)) {
			return ""
		}
	default:
		if want == got {
			return ""
		}
	}
	return fmt.Sprintf("%s: %v, want %v", at, got, want)
}

func TestWithoutSourceNothingIsCompiled(t *testing.T) {
	if _, err := Build(t.Context(), t.TempDir()); !errors.Is(err, ErrNoSource) {
		t.Error(err)
	}
	t.Setenv("PATH", "")
	if _, err := Build(t.Context(), ""); !errors.Is(err, ErrNoSource) || strings.Contains(err.Error(), "\n") {
		t.Error(err)
	}
}

// The page asks for all its modules at once, not one after another as each names the next.
func TestModulesAreLoadedAtOnce(t *testing.T) {
	list := golden.Must(files("http"))(t)
	for name, text := range list {
		for _, m := range regexp.MustCompile(`(?m)^(?:import|export) .*from '\./([a-z-]+\.js)'`).FindAllSubmatch(text, -1) {
			if tag := `="` + string(m[1]) + `">`; !strings.Contains(string(list[index]), `<link rel="modulepreload" href`+tag) && !strings.Contains(string(list[index]), `<script type="module" src="`+string(m[1])+`">`) {
				t.Errorf("%s loads %s, which %s does not name", name, m[1], index)
			}
		}
	}
}
