package layers

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// A number with a unit, or a number with decimals, as a format writes it.
var (
	formatsUnit  = regexp.MustCompile(`%[-+# 0-9.*]*[vdeEfFgGs][ \x{a0}]?(%%|°)|%[-+# 0-9.*]*[eEfFgG][ \x{a0}]?(cm|mm|m|kg|g|N|N·m|BW|BW·m|lb|lbf|in|ft|deg|rad|s)\b`)
	formatsFloat = regexp.MustCompile(`(^|[^%])(%%)*%[-+# 0-9.*]*[eEfFgG]`)
	beginsUnit   = regexp.MustCompile(`^[ \x{a0}]?(%|°)|^[ \x{a0}](cm|mm|kg|N|N·m|BW|BW·m|lb|lbf|deg)\b`)
)

// ownNumbers says where a source writes numbers by itself that package words is there
// to write: formats with a unit or per cent behind a number, or with decimals, in what is
// not an error; units put behind what is no literal; fixed decimals by strconv.
func ownNumbers(fset *token.FileSet, file *ast.File) []string {
	var found []string
	report := func(n ast.Node, what string) {
		found = append(found, fset.Position(n.Pos()).String()+": "+what)
	}
	text := func(e ast.Expr) (string, bool) {
		literal, ok := e.(*ast.BasicLit)
		if !ok || literal.Kind != token.STRING {
			return "", false
		}
		s, err := strconv.Unquote(literal.Value)
		return s, err == nil
	}
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CallExpr:
			name := ""
			if f, ok := n.Fun.(*ast.SelectorExpr); ok {
				name = f.Sel.Name
			}
			for i, a := range n.Args {
				s, ok := text(a)
				switch {
				case name == "FormatFloat" && i == 1:
					if verb, ok := a.(*ast.BasicLit); ok && verb.Value == "'f'" {
						report(n, "fixed decimals by strconv")
					}
				case !ok:
				case formatsUnit.MatchString(s):
					report(n, "a number with its unit: "+s)
				case name != "Errorf" && name != "Sscanf" && name != "fail" && formatsFloat.MatchString(s):
					report(n, "a number: "+s)
				}
			}
		case *ast.BinaryExpr:
			if s, ok := text(n.Y); ok && n.Op == token.ADD && beginsUnit.MatchString(s) {
				if _, literal := text(n.X); !literal {
					report(n, "a unit behind something: "+s)
				}
			}
		}
		return true
	})
	return found
}

// elsewhere are the files that write numbers for machines: of drawings, and of fits.
var elsewhere = []string{"internal/words", "internal/units", "internal/crosscheck", "internal/survey", "internal/draw/svg.go", "internal/draw/pdf.go"}

// TestNumbersAreWrittenByWords holds that what people read is written in one package.
func TestNumbersAreWrittenByWords(t *testing.T) {
	files := 0
	for _, folder := range []string{"internal", "cmd"} {
		sources(t, folder, func(name string, fset *token.FileSet, file *ast.File) {
			if slices.ContainsFunc(elsewhere, func(e string) bool { return name == e || strings.HasPrefix(name, e+"/") }) {
				return
			}
			files++
			for _, at := range ownNumbers(fset, file) {
				t.Error(at)
			}
		})
	}
	if files < 50 {
		t.Errorf("only %d files were read", files)
	}
}

// A number with its unit, as a page's script would write it.
var scriptsUnit = regexp.MustCompile("toLocaleString|\\}(\\\\u00a0|[ \u00a0])?(%|°)|\\}(\\\\u00a0|[ \u00a0])(cm|kg|N|N·m|BW|BW·m|lb|lbf)\\b|\\+ *['\"](\\\\u00a0|[ \u00a0])?(%|°|cm|kg|BW|lb|in)['\" ]")

// TestScriptsWriteNoNumbers holds that the page of the explorer shows the texts that it
// is given.
func TestScriptsWriteNoNumbers(t *testing.T) {
	scripts, err := filepath.Glob(filepath.Join("..", "site", "page", "*.js"))
	if err != nil || len(scripts) < 5 {
		t.Fatalf("%d scripts, %v", len(scripts), err)
	}
	for _, name := range scripts {
		source, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for i, line := range strings.Split(string(source), "\n") {
			if code, _, _ := strings.Cut(line, "//"); scriptsUnit.MatchString(code) {
				t.Errorf("%s:%d: a number with its unit: %s", filepath.Base(name), i+1, strings.TrimSpace(line))
			}
		}
	}
	for line, want := range map[string]bool{
		"text = `${number(x)}\u00a0BW`":             true,
		"text = `${number(x)}\\u00a0kg`":            true,
		"text = `${x}°`":                            true,
		"text = number(x) + ' %'":                   true,
		"text = n.toLocaleString('en-GB')":          true,
		"request[name] = `${x} ${unit}`":            false,
		"d = `M${x} ${y}A${r} ${r} 0 1 0 ${x}`":     false,
		"el('span', null, `${a} in the hold`)":      false,
		"el('p', null, 'from 5 to 95 % of people')": false,
	} {
		if scriptsUnit.MatchString(line) != want {
			t.Errorf("%s: want %v", line, want)
		}
	}
}

// The check finds what it is for, and nothing else.
func TestOwnNumbersAreFound(t *testing.T) {
	for source, want := range map[string]int{
		`fmt.Sprintf("%.0f °", x)`:                       1,
		`fmt.Sprintf("%.0f°", x)`:                        1,
		`fmt.Sprintf("at %d %%", n)`:                     1,
		`fmt.Sprintf("%s %%", text)`:                     1,
		"fmt.Fprintf(w, \"%+.3g\u00a0cm of\", x)":        1,
		`fmt.Errorf("%g deg is too much", x)`:            1,
		`t.line("%-8.2f", x)`:                            1,
		`fmt.Errorf("at %v the share is %.3f", i, x)`:    0,
		`strconv.FormatFloat(x, 'f', 2, 64)`:             1,
		`strconv.FormatFloat(x, 'g', -1, 64)`:            0,
		`words.Number(x, 1) + " %"`:                      1,
		`words.Number(x, 1) + "\u00a0BW·m"`:              1,
		`name + " kg of it"`:                             1,
		`"100" + " %"`:                                   0,
		`name + " in the hold"`:                          0,
		`fmt.Sprintf("5–95 %% of bodies: %s", interval)`: 0,
		`fmt.Sprintf("%d of %d", n, of)`:                 0,
		`fmt.Sprintf("%s in the draws", share)`:          0,
	} {
		fset := token.NewFileSet()
		file, err := parser.ParseFile(fset, "f.go", "package p\nvar _ = "+source, 0)
		if err != nil {
			t.Fatal(err)
		}
		if found := ownNumbers(fset, file); len(found) != want {
			t.Errorf("%s: found %v, want %d", source, found, want)
		}
	}
}
