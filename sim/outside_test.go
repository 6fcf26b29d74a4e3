package sim_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"counterpoise/internal/golden"
)

// A module of somebody else's, with a hold, people and a change of its own, builds against
// this one with no network, and is refused what makes no sense by the library itself.
func TestAnotherModuleBuildsAgainstThis(t *testing.T) {
	root := golden.Must(filepath.Abs(".."))(t)
	folder := t.TempDir()
	file := func(name string, text []byte, err error) {
		t.Helper()
		if err == nil {
			err = os.WriteFile(filepath.Join(folder, name), text, 0o666)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	program, err := os.ReadFile(filepath.Join("testdata", "outside", "main.go"))
	file("main.go", program, err)
	sums, err := os.ReadFile(filepath.Join(root, "go.sum"))
	file("go.sum", sums, err)
	file("go.mod", []byte("module example.test/outside\n\ngo 1.26.0\n\nrequire counterpoise v0.0.0\n\nreplace counterpoise => "+root+"\n"), nil)

	command := exec.Command("go", "run", ".")
	command.Dir = folder
	command.Env = append(os.Environ(), "GOFLAGS=-mod=mod", "GOPROXY=off", "GOWORK=off", "CGO_ENABLED=0")
	out, err := command.CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	const want = "supported: +18 % (+17 to +19 %)\ntrue change.added_mass.legs: 3000 kg is not possible, allowed: -200 to 200 kg\n"
	if string(out) != want {
		t.Errorf("prints\n%s\nwant\n%s", out, want)
	}
}

// The library depends on the standard library, on gonum and on the data sets alone, and
// reads no network, and no files but people of one's own (anthro.Load of a path).
func TestLibraryStandsAlone(t *testing.T) {
	list := golden.Must(exec.Command("go", "list", "-f", "{{.ImportPath}}: {{join .Imports \" \"}}", "counterpoise/sim/...").Output())(t)
	for _, line := range strings.Split(strings.TrimSpace(string(list)), "\n") {
		name, imports, _ := strings.Cut(line, ":")
		for _, i := range strings.Fields(imports) {
			first, _, _ := strings.Cut(i, "/")
			switch {
			case i == "os" && name != "counterpoise/sim/anthro", i == "net", i == "os/exec", first == "net", i == "syscall":
				t.Errorf("%s imports %s", name, i)
			case first == "counterpoise", !strings.Contains(first, "."), strings.HasPrefix(i, "gonum.org/v1/gonum/"):
			default:
				t.Errorf("%s imports %s", name, i)
			}
		}
	}
}
