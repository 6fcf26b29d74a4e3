// Package layers holds the test that imports point one way.
package layers

import (
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

type listed struct {
	ImportPath string
	Imports    []string
}

// packages lists the module's packages with their direct imports, tests apart.
func packages(t *testing.T) []listed {
	t.Helper()
	command := exec.Command("go", "list", "-json=ImportPath,Imports", "counterpoise/...")
	out, err := command.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	var list []listed
	for d := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p listed
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			return list
		} else if err != nil {
			t.Fatal(err)
		}
		list = append(list, p)
	}
}

// order is the way of the data: a package imports only what stands before it. What
// knows no bodies stands beside and imports no other of sim.
var order = []string{
	"datasets",
	"sim/fault", "sim/plain", "sim/names", "sim/muscle", "sim/montecarlo", "sim/assume", "sim/statics", "sim/drivers", // beside
	"sim/anthro", "sim/segment", "sim/body", "sim/hold", "sim/strength", "sim/hold/holdtest", "sim/outline", "sim/scenario", "sim/scenario/scores",
	"sim/person", "sim/claim", "sim/sweep",
	"internal/golden", "internal/nearest", "internal/library", "internal/provenance", "internal/folder", "internal/survey",
	"internal/crosscheck/functions", "internal/crosscheck", // beside
	"internal/holds", "internal/units", "internal/outcome", "internal/jsonform", "internal/words", "internal/called", "internal/wording", "internal/limbs", "internal/table", "internal/chart", "internal/study", "internal/clubtable", "internal/crosscheck/resampled", "internal/crosscheck/seeds",
	"internal/people", "internal/report", "internal/page", "internal/crosscheck/decades", "internal/explorer", "internal/site", "internal/cli", "internal/layers",
}

// only says which packages may import a dependency.
var only = map[string][]string{
	"github.com/apache/arrow-go": {"internal/table"},
	"gonum.org/v1/plot":          {"internal/chart"},
	"github.com/spf13/cobra":     {"internal/cli"},
	"github.com/goccy/go-yaml":   {"internal/study"},
	"html/template":              {"internal/page"},
	"net/http":                   {"internal/site"},
	"github.com/ulikunitz/xz":    {"internal/survey"},
	"github.com/xuri/excelize":   {"internal/clubtable"},
}

// TestBrowsersLoadNoMoreThanNeeded holds that the program which browsers load does
// without what only a terminal, a picture or a server needs.
func TestBrowsersLoadNoMoreThanNeeded(t *testing.T) {
	command := exec.Command("go", "list", "-deps", "counterpoise/cmd/counterpoise-web")
	command.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	out, err := command.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	list := strings.Fields(string(out))
	if !slices.Contains(list, "counterpoise/internal/explorer") {
		t.Fatalf("%d packages, without the explorer", len(list))
	}
	for _, p := range list {
		for dependency := range only {
			if strings.HasPrefix(p, dependency) {
				t.Errorf("browsers would load %s", p)
			}
		}
		for _, heavy := range []string{"cli", "chart", "page", "report", "site", "study", "table"} {
			if p == "counterpoise/internal/"+heavy {
				t.Errorf("browsers would load %s", p)
			}
		}
	}
}

func TestImportsPointOneWay(t *testing.T) {
	list := packages(t)
	if len(list) < 10 {
		t.Fatalf("go list found %d packages only", len(list))
	}
	for _, p := range list {
		name := strings.TrimPrefix(p.ImportPath, "counterpoise/")
		at := slices.Index(order, name)
		if !strings.HasPrefix(name, "cmd/") && at < 0 && name != "counterpoise" {
			t.Errorf("%s has no place in the order of this test", name)
		}
		for _, i := range p.Imports {
			for dependency, allowed := range only {
				if strings.HasPrefix(i, dependency) && !slices.Contains(allowed, name) {
					t.Errorf("%s imports %s, which only %v may", name, i, allowed)
				}
			}
			if i == "counterpoise" && name != "cmd/counterpoise" {
				t.Errorf("%s imports the sources of the program, and would be compiled anew whenever one changes", name)
			}
			imported, ours := strings.CutPrefix(i, "counterpoise/")
			if !ours {
				continue
			}
			if strings.HasPrefix(name, "sim/") && strings.HasPrefix(imported, "internal/") {
				t.Errorf("%s imports %s: the library sees nothing internal", name, imported)
			}
			if at >= 0 && slices.Index(order, imported) >= at {
				t.Errorf("%s imports %s, which stands after it", name, imported)
			}
			small := imported == "sim/names" || imported == "sim/fault" || imported == "sim/muscle"
			if slices.Contains([]string{"sim/montecarlo", "sim/statics", "sim/assume", "sim/names", "sim/fault", "sim/muscle", "datasets"}, name) && !small {
				t.Errorf("%s imports %s, and should know nothing of the rest", name, imported)
			}
			if name == "internal/library" {
				t.Errorf("%s imports %s, and is to be carried into browsers alone", name, imported)
			}
		}
	}
}
