package layers

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode"

	"counterpoise/internal/golden"
)

// What does not belong into sim: it has no say in how a study is written down, and its
// angles are radians.
const (
	asJSON  = "JSON"    // a tag of a field, or encoding/json
	degrees = "degrees" // a conversion, a name or a unit
)

// otherDegrees are the names that mean no angle: those of a polynomial, of freedom, and
// of what is to the same degree.
var otherDegrees = []string{"sim/montecarlo/sobol.go: degree", "sim/drivers/result.go: degrees"}

// TestSimHasNeitherJSONNorDegrees reads the sources of sim, tests apart.
func TestSimHasNeitherJSONNorDegrees(t *testing.T) {
	files := 0
	sources(t, "sim", func(name string, at *token.FileSet, file *ast.File) {
		files++
		for _, o := range offences(file) {
			if slices.Contains(otherDegrees, name+": "+o.what) {
				continue
			}
			t.Errorf("%s: %s:%d: %s", o.kind, name, at.Position(o.at).Line, o.what)
		}
	})
	if files < 50 {
		t.Fatalf("%d files only were found", files)
	}
}

// sources hands on every source of a folder by its name from the root, tests and programs that
// use the library apart.
func sources(t *testing.T, folder string, each func(name string, at *token.FileSet, file *ast.File)) {
	t.Helper()
	root := filepath.Join("..", "..")
	err := filepath.WalkDir(filepath.Join(root, folder), func(path string, entry fs.DirEntry, err error) error {
		if err == nil && entry.Name() == "testdata" {
			return fs.SkipDir
		}
		if err != nil || filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") {
			return err
		}
		name, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		name = filepath.ToSlash(name)
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		at := token.NewFileSet()
		file, err := parser.ParseFile(at, name, text, parser.SkipObjectResolution)
		if err == nil {
			each(name, at, file)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

// An offence is something that does not belong into sim.
type offence struct {
	kind, what string
	at         token.Pos
}

// offences lists those of a file.
func offences(file *ast.File) (list []offence) {
	add := func(kind, what string, n ast.Node) { list = append(list, offence{kind, what, n.Pos()}) }
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.ImportSpec:
			if n.Path.Value == `"encoding/json"` {
				add(asJSON, "imports encoding/json", n)
			}
		case *ast.Field:
			if n.Tag != nil && strings.Contains(n.Tag.Value, "json:") {
				add(asJSON, n.Tag.Value, n)
			}
		case *ast.BinaryExpr:
			if n.Op == token.QUO && (isPi(last(n.X)) && is180(n.Y) || is180(last(n.X)) && isPi(n.Y)) {
				add(degrees, "π and 180", n)
			}
		case *ast.Ident:
			if slices.ContainsFunc(wordsOf(n.Name), func(w string) bool { return w == "deg" || w == "degree" || w == "degrees" }) {
				add(degrees, n.Name, n)
			}
		case *ast.BasicLit:
			if n.Kind == token.STRING && (strings.HasSuffix(n.Value, `deg"`) || n.Value == `"degrees"`) {
				add(degrees, n.Value, n)
			}
		}
		return true
	})
	return list
}

// last is the last factor of a product.
func last(e ast.Expr) ast.Expr {
	for {
		switch x := e.(type) {
		case *ast.ParenExpr:
			e = x.X
		case *ast.BinaryExpr:
			if x.Op != token.MUL {
				return e
			}
			e = x.Y
		default:
			return e
		}
	}
}

func isPi(e ast.Expr) bool {
	s, ok := e.(*ast.SelectorExpr)
	return ok && s.Sel.Name == "Pi"
}

func is180(e ast.Expr) bool {
	l, ok := e.(*ast.BasicLit)
	return ok && (l.Value == "180" || l.Value == "180.0")
}

// wordsOf takes a name apart where its capitals are, in lower case.
func wordsOf(name string) []string {
	var b strings.Builder
	for _, r := range name {
		if unicode.IsUpper(r) || r == '_' {
			b.WriteByte(' ')
		}
		b.WriteRune(unicode.ToLower(r))
	}
	return strings.Fields(strings.ReplaceAll(b.String(), "_", " "))
}

func TestOffencesAreFound(t *testing.T) {
	for source, want := range map[string]int{
		"type a struct{ B float64 `json:\"b\"` }":                1,
		"import \"encoding/json\"":                               1,
		"const c = math.Pi / 180":                                1,
		"func f(x float64) float64 { return x * math.Pi / 180 }": 1,
		"func f(x float64) float64 { return x * 180 / math.Pi }": 1,
		"func f(x float64) float64 { return x * (180/math.Pi) }": 1,
		"const unit = \"deg\"":                                   1,
		"const ending = \"_deg\"":                                1,
		"var angleDeg, DegreesUp float64":                        2,
		"var degenerate, turned = math.Pi / 2, 180.0":            0,
		"type a struct{ B float64 `yaml:\"b\"` }":                0,
		"const x = \"degrees of freedom\"":                       0,
	} {
		file := golden.Must(parser.ParseFile(token.NewFileSet(), "x.go", "package x\n"+source, 0))(t)
		if got := offences(file); len(got) != want {
			t.Errorf("%s: found %v, want %d", source, got, want)
		}
	}
}
