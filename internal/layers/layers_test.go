// Package layers holds the test that imports point one way.
package layers

import (
	"encoding/json"
	"errors"
	"io"
	"maps"
	"os"
	"os/exec"
	"path"
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
	"sim/math", "sim/linear", "sim/fault", "sim/plain", "sim/names", "sim/muscle", "sim/montecarlo", "sim/assume", "sim/statics", "sim/drivers", // beside
	"sim/anthro", "sim/segment", "sim/body", "sim/hold/internal/pole", "sim/hold", "sim/strength", "sim/hold/holdtest", "sim/outline", "sim/scenario", "sim/scenario/scores",
	"sim/person", "sim/verdict", "sim/columns", "sim/claim", "sim/sweep", "sim",
	"internal/golden", "internal/nearest", "internal/webcall", "internal/library", "internal/notices", "internal/provenance", "internal/folder", "internal/survey",
	"internal/crosscheck/functions", "internal/crosscheck", // beside
	"internal/holds", "internal/units", "internal/jsonform", "internal/outcome", "internal/words", "internal/called", "internal/limbs", "internal/table", "internal/draw", "internal/draw/drawtest", "internal/bodies", "internal/chart/curves", "internal/chart", "internal/freebody", "internal/study", "internal/stored", "internal/clubtable", "internal/crosscheck/resampled", "internal/crosscheck/seeds",
	"internal/app/claim/said", "internal/app/claim/drawn", "internal/app/person/said", "internal/page", "internal/explorer", "internal/site",
	"internal/app/console", "internal/app/flags", "internal/app/output", "internal/app/tables", "internal/app/claim/evidence",
	"internal/app/claim", "internal/app/person", "internal/app/drivers", "internal/app/sweep", "internal/app/people", "internal/app/hold", "internal/app/data",
	"internal/app/club", "internal/app/explore", "internal/app/repeat",
	"internal/cli", "internal/crosscheck/decades", "internal/layers",
}

// only says which packages may import a dependency; * is one part of a path.
var only = map[string][]string{
	"github.com/apache/arrow-go": {"internal/table"},
	"gonum.org/v1/plot":          {"internal/draw"},
	"github.com/spf13/cobra":     {"internal/cli", "internal/app/*"},
	"github.com/goccy/go-yaml":   {"internal/study"},
	"html/template":              {"internal/page"},
	"net/http":                   {"internal/site"},
	"github.com/ulikunitz/xz":    {"internal/survey"},
	"github.com/xuri/excelize":   {"internal/clubtable"},
}

// TestBrowsersLoadNoMoreThanNeeded holds that the programs which browsers load do
// without what only a terminal, a picture or a server needs.
func TestBrowsersLoadNoMoreThanNeeded(t *testing.T) {
	for program, c := range map[string]struct {
		has    string
		lacks  []string // of internal
		unused []string // of dependencies; nil for all that few may import
	}{
		"counterpoise-web":    {"explorer", []string{"app", "cli", "bodies", "chart", "draw", "page", "site", "stored", "study", "table"}, nil},
		"counterpoise-verify": {"app/claim/evidence", []string{"app/tables", "cli", "site", "table", "survey", "clubtable"}, []string{"github.com/apache/arrow-go", "net/http", "github.com/xuri/excelize", "github.com/ulikunitz/xz"}},
	} {
		command := exec.Command("go", "list", "-deps", "counterpoise/cmd/"+program)
		command.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
		out, err := command.Output()
		if err != nil {
			t.Fatalf("go list: %v", err)
		}
		list := strings.Fields(string(out))
		if !slices.Contains(list, "counterpoise/internal/"+c.has) {
			t.Fatalf("%s: %d packages, without %s", program, len(list), c.has)
		}
		if c.unused == nil {
			c.unused = slices.Collect(maps.Keys(only))
		}
		for _, p := range list {
			for _, dependency := range c.unused {
				if strings.HasPrefix(p, dependency) {
					t.Errorf("with %s browsers would load %s", program, p)
				}
			}
			for _, heavy := range c.lacks {
				if within, _ := path.Match("counterpoise/internal/"+heavy+"/*", p); within || p == "counterpoise/internal/"+heavy {
					t.Errorf("with %s browsers would load %s", program, p)
				}
			}
		}
	}
}

// shared are the packages of internal/app that no study owns, and uses the studies that truly
// use another.
var (
	shared = []string{"console", "flags", "output", "tables"}
	uses   = map[string][]string{"club": {"person"}, "explore": {"claim"}, "repeat": {"claim", "club", "drivers", "hold", "people", "person", "sweep"}}
)

// TestStudiesStandAlone holds that a study does not import another, and that what is said of
// one draws no chart and writes no table.
func TestStudiesStandAlone(t *testing.T) {
	const app = "counterpoise/internal/app/"
	for _, p := range packages(t) {
		within, ours := strings.CutPrefix(p.ImportPath, app)
		if !ours {
			continue
		}
		study, part, _ := strings.Cut(within, "/")
		for _, i := range p.Imports {
			if part == "said" && (i == "counterpoise/internal/draw" || i == "counterpoise/internal/bodies" || strings.HasPrefix(i, "counterpoise/internal/chart") || i == "counterpoise/internal/table") {
				t.Errorf("%s imports %s, which draws or writes", p.ImportPath, i)
			}
			other, ours := strings.CutPrefix(i, app)
			other, _, _ = strings.Cut(other, "/")
			if ours && other != study && !slices.Contains(shared, other) && !slices.Contains(uses[study], other) {
				t.Errorf("%s imports %s: a study stands alone", p.ImportPath, i)
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
				may := func(pattern string) bool { match, _ := path.Match(pattern, name); return match }
				if strings.HasPrefix(i, dependency) && !slices.ContainsFunc(allowed, may) {
					t.Errorf("%s imports %s, which only %v may", name, i, allowed)
				}
			}
			elsewhere := i == "math" || i == "gonum.org/v1/gonum/floats" || strings.HasPrefix(i, "gonum.org/v1/gonum/stat")
			if elsewhere && strings.HasPrefix(name, "sim/") && !slices.Contains([]string{"sim/math", "sim/linear", "sim/hold/holdtest"}, name) {
				t.Errorf("%s imports %s, whose results differ between processors: sim/math and sim/linear have portable ones", name, i)
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
			small := slices.Contains([]string{"sim/math", "sim/linear", "sim/names", "sim/fault", "sim/muscle"}, imported)
			if slices.Contains([]string{"sim/math", "sim/linear", "sim/montecarlo", "sim/statics", "sim/assume", "sim/names", "sim/fault", "sim/muscle", "datasets"}, name) && !small {
				t.Errorf("%s imports %s, and should know nothing of the rest", name, imported)
			}
			if name == "internal/library" {
				t.Errorf("%s imports %s, and is to be carried into browsers alone", name, imported)
			}
		}
	}
}
