// Platforms checks that the program compiles on the platforms it is given, as in
//
//	go run .ci/platforms.go windows/amd64 darwin/arm64
//
// at a small part of what building it there takes: every package that goes into it is read as
// the platform selects and declares its files, and ours are checked by go/types to the last
// statement, as the compiler does. Of the others only what they declare is checked; nothing
// is translated, assembled or linked.
package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// listed is what go list says of a package.
type listed struct {
	Dir, ImportPath string
	GoFiles         []string
	ImportMap       map[string]string
	Module          *struct {
		Main      bool
		GoVersion string
	}
}

func main() {
	for _, platform := range os.Args[1:] {
		system, processor, _ := strings.Cut(platform, "/")
		ours, all, err := check(system, processor)
		if err != nil {
			fmt.Fprintf(os.Stderr, "%s: %v\n", platform, err)
			os.Exit(1)
		}
		fmt.Printf("%s: %d packages of ours compile, of %d\n", platform, ours, all)
	}
}

// check checks all packages of the program for a platform.
func check(system, processor string) (ours, all int, err error) {
	list := exec.Command("go", "list", "-deps", "-json=Dir,ImportPath,GoFiles,ImportMap,Module", "./cmd/counterpoise", "./sim/...")
	list.Env = append(os.Environ(), "GOOS="+system, "GOARCH="+processor, "CGO_ENABLED=0")
	list.Stderr = os.Stderr
	out, err := list.Output()
	if err != nil {
		return 0, 0, fmt.Errorf("go list: %w", err)
	}
	sizes := types.SizesFor("gc", processor)
	if sizes == nil {
		return 0, 0, errors.New("no such processor")
	}
	checked := map[string]*types.Package{"unsafe": types.Unsafe}
	// Packages come after those that they import.
	for in := json.NewDecoder(bytes.NewReader(out)); ; all++ {
		var p listed
		if err := in.Decode(&p); errors.Is(err, io.EOF) {
			return ours, all, nil
		} else if err != nil {
			return 0, 0, err
		}
		if p.ImportPath == "unsafe" {
			continue
		}
		isOurs := p.Module != nil && p.Module.Main
		if isOurs {
			ours++
		}
		if checked[p.ImportPath], err = p.check(checked, sizes, !isOurs); err != nil {
			return 0, 0, err
		}
	}
}

// check checks a package, without the bodies of its functions if it is to be declared only.
func (p *listed) check(imported map[string]*types.Package, sizes types.Sizes, declared bool) (*types.Package, error) {
	files, fset := []*ast.File{}, token.NewFileSet()
	for _, name := range p.GoFiles {
		f, err := parser.ParseFile(fset, filepath.Join(p.Dir, name), nil, parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		files = append(files, f)
	}
	c := types.Config{Sizes: sizes, IgnoreFuncBodies: declared, FakeImportC: true, Importer: importer(func(path string) (*types.Package, error) {
		if at, ok := p.ImportMap[path]; ok {
			path = at
		}
		if of := imported[path]; of != nil {
			return of, nil
		}
		return nil, fmt.Errorf("%s is not among what go list names", path)
	})}
	if p.Module != nil && p.Module.GoVersion != "" {
		c.GoVersion = "go" + p.Module.GoVersion
	}
	return c.Check(p.ImportPath, fset, files, nil)
}

// importer is a function that finds packages.
type importer func(path string) (*types.Package, error)

func (i importer) Import(path string) (*types.Package, error) { return i(path) }
