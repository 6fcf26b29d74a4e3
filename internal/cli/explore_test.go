package cli

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"counterpoise/internal/app/console"
	"counterpoise/internal/app/explore"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/explorer"
	"counterpoise/internal/golden"
	"counterpoise/internal/site"
)

// What the page is told of a person is what person --json prints of them, number for
// number.
func TestThePageSaysWhatPersonPrints(t *testing.T) {
	for _, c := range []struct{ name, file, request string }{
		{"three measurements",
			"person: Ada\nsex: female\nstature: 168 cm\nmass: 61 kg\nspan: 171 cm\n",
			`{"name": "Ada", "sex": "female", "measurements": {"stature": "168", "mass": "61", "span": "171"}}`},
		{"imperial, with errors, legs apart",
			"person: Bruno\nsex: male\nstature: 5 ft 11 in ± 0.5 in\nmass: 176 lb ± 2 lb\nlegs: straddle 35 deg\n",
			`{"name": "Bruno", "sex": "male", "units": "imperial", "measurements": {"stature": "71 ± 0.5", "mass": "176 ± 2"}, "legs": {"form": "straddle", "angle": "35"}}`},
		{"scan and tests",
			"person: Cheng\nsex: male\nstature: 172.5 cm ± 0.3 cm\nmass: 68.4 kg\nscan: {head: 4.9 kg, trunk: 31.4 kg, arms: 9.1 kg, legs: 22.3 kg}\n" +
				"tests:\n  one_arm_hang: [{side: left, held: 34 s, added: 6 kg}, {side: right, held: 41 s, assisted: 8 kg}]\n  one_arm_handstand: {held: 9 s, fingers: 4 kg, wall_distance: 15 cm}\n",
			`{"name": "Cheng", "sex": "male", "measurements": {"stature": "172.5 ± 0.3", "mass": "68.4"}, "scan": {"head": "4.9", "trunk": "31.4", "arms": "9.1", "legs": "22.3"},
				"tests": [{"test": "one_arm_hang", "side": "left", "held": "34", "added": "6"}, {"test": "one_arm_hang", "side": "right", "held": "41", "assisted": "8"},
					{"test": "one_arm_handstand", "held": "9", "fingers": "4", "wall_distance": "15"}]}`},
		{"another hold",
			"person: Farah\nsex: female\nstature: 160 cm\nhold: front-lever\nlegs: tuck\n",
			`{"name": "Farah", "sex": "female", "hold": "front-lever", "measurements": {"stature": "160"}, "legs": {"form": "tuck"}}`},
		{"a pose, and somebody rare",
			"person: Emeka\nsex: male\nstature: 200 cm\nhold: push-up\npose: {feet_raised: 45 cm, bent: yes}\n",
			`{"name": "Emeka", "sex": "male", "hold": "push-up", "measurements": {"stature": "200"}, "pose": {"feet_raised": "45", "bent": "yes"}}`},
		{"tilted",
			"person: Io\nsex: female\ntilt: 12 deg\n", `{"name": "Io", "sex": "female", "tilt": "12"}`},
	} {
		t.Run(c.name, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "person.yaml")
			golden.OK(t, os.WriteFile(file, []byte(c.file), 0o600))
			code, stdout, stderr := call("person", file, "--json", "--n", "20000", "--seed", "7")
			if code != console.ExitDone {
				t.Fatal(stderr)
			}
			text := golden.Must(explorer.New(nil).Ask(t.Context(), "answer", []byte(`{"draws": 20000, "seed": 7, "person": `+c.request+`}`)))(t)
			var printed struct{ Persons []any }
			var answer struct {
				Faults  []any
				Summary any
			}
			golden.OK(t, json.Unmarshal([]byte(stdout), &printed))
			golden.OK(t, json.Unmarshal(text, &answer))
			if len(answer.Faults) > 0 || !reflect.DeepEqual(answer.Summary, printed.Persons[0]) {
				t.Errorf("faults %v; the page is told\n%v\nperson prints\n%v", answer.Faults, answer.Summary, printed.Persons[0])
			}
		})
	}
}

// The evidence behind a saying is the page that claim test writes.
func TestEvidenceOfASayingIsItsPage(t *testing.T) {
	folder := t.TempDir()
	if code, _, stderr := call("claim", "test", "larger-body-force", "--out", folder); code != console.ExitDone {
		t.Fatal(stderr)
	}
	written := golden.Must(os.ReadFile(filepath.Join(folder, flags.EvidencePage)))(t)
	served := golden.Must(explore.Evidence(t.Context(), "larger-body-force"))(t)
	// Only the served one has a list of sayings to go back to.
	if len(served) < 10_000 || !bytes.Contains(served, []byte("../"+site.Sayings)) {
		t.Fatalf("%d bytes", len(served))
	}
	data := regexp.MustCompile(`(?s)<script type="application/json".*?</script>`)
	if found := data.Find(served); found == nil || !bytes.Equal(found, data.Find(written)) {
		t.Errorf("the page carries other data than the one that claim test writes: %.300s", found)
	}
	if _, err := explore.Evidence(t.Context(), "no-such-claim"); err == nil {
		t.Error("a claim that there is not has a page")
	}
}

// explore says where it serves, answers there and ends well when interrupted.
func TestExploreServesUntilInterrupted(t *testing.T) {
	ctx, interrupt := context.WithCancel(t.Context())
	read, write := io.Pipe()
	var stderr bytes.Buffer
	code := make(chan int)
	go func() {
		code <- Main(ctx, []string{"explore"}, strings.NewReader(""), write, &stderr)
		write.Close()
	}()
	address, err := bufio.NewReader(read).ReadString('\n')
	if err != nil || !strings.HasPrefix(address, "http://127.0.0.1:") {
		t.Fatalf("%q, %v", address, err)
	}
	address = strings.TrimSpace(address)
	page := golden.Must(http.Get(address))(t)
	text, err := io.ReadAll(page.Body)
	page.Body.Close()
	if err != nil || page.StatusCode != 200 || !bytes.Contains(text, []byte("<title>")) {
		t.Errorf("status %d, %v: %.100s", page.StatusCode, err, text)
	}
	interrupt()
	if got := <-code; got != console.ExitDone {
		t.Errorf("code %d: %s", got, &stderr)
	}
}

func TestExploreWritesASite(t *testing.T) {
	if testing.Short() {
		t.Skip("compiles the simulation for browsers, not in short mode")
	}
	folder := filepath.Join(t.TempDir(), "made", "for", "it")
	// Without the sayings, whose pages take their time.
	golden.OK(t, explore.WriteSite(t.Context(), &console.Environment{Stdout: io.Discard, Stderr: io.Discard}, &site.Site{Explorer: explorer.New(nil)}, folder))
	for name, begins := range map[string]string{"index.html": "<!doctype html>", "counterpoise.wasm": "\x00asm", "wasm_exec.js": "//", "counterpoise.wasm.gz": "\x1f\x8b"} {
		data, err := os.ReadFile(filepath.Join(folder, name))
		if err != nil || !bytes.HasPrefix(data, []byte(begins)) {
			t.Errorf("%s: %v, %.20q", name, err, data)
		}
	}
}

func TestExploreRefuses(t *testing.T) {
	taken := golden.Must(net.Listen("tcp4", "127.0.0.1:0"))(t)
	defer taken.Close()
	_, port, _ := net.SplitHostPort(taken.Addr().String())
	inTheWay := filepath.Join(t.TempDir(), "file")
	golden.OK(t, os.WriteFile(inTheWay, nil, 0o600))
	for _, c := range []struct {
		code int
		want string
		args []string
	}{
		{1, "--port " + port + ": ", []string{"--port", port}},
		{2, "--port: found 70000, allowed: 0 to 65535", []string{"--port", "70000"}},
		{2, "--port is of no use with --static", []string{"--port", "8000", "--static", t.TempDir()}},
		{1, "--static " + inTheWay, []string{"--static", inTheWay}},
		{2, `explore takes no arguments, found ["page"]`, []string{"page"}},
	} {
		code, stdout, stderr := call(append([]string{"explore"}, c.args...)...)
		if code != c.code || !strings.Contains(stderr, c.want) || stdout != "" || strings.Count(stderr, "\n") != 1 {
			t.Errorf("%v: code %d, %q", c.args, code, stderr)
		}
	}
	t.Chdir(t.TempDir())
	folder := filepath.Join(t.TempDir(), "site")
	if code, _, stderr := call("explore", "--static", folder); code != console.ExitFailed || !strings.Contains(stderr, "run it in a clone of the source") || strings.Count(stderr, "\n") != 1 {
		t.Errorf("elsewhere: code %d, %q", code, stderr)
	}
	if _, err := os.Stat(folder); err == nil {
		t.Error("a folder was left behind")
	}
}
