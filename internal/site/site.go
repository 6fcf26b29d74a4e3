// Package site is the explore page as a web site: served on this machine, where the
// server answers the page's questions, or written as files for any host, where they
// are answered in the browser by the same code as WebAssembly.
package site

import (
	"context"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"strings"

	"counterpoise/internal/draw"
	"counterpoise/internal/explorer"
)

//go:embed page
var embedded embed.FS

// Site is what a site is made of.
type Site struct {
	Explorer *explorer.Explorer
	// Evidence makes the page of a saying, by its name in explorer.Sayings: a whole HTML
	// file without scripts. nil where there are none.
	Evidence func(ctx context.Context, name string) ([]byte, error)
	// Verify answers whether a page of evidence is what its study gives, question and answer
	// in JSON. nil where none are verified.
	Verify func(ctx context.Context, request []byte) []byte
}

// verifyQuestion is the question that Verify answers.
const verifyQuestion = "verify"

// choiceFile tells the page where its questions are answered.
const choiceFile = "transport-choice.js"

// styleFile is how the page looks; the colours are those of charts.
const styleFile = "style.css"

// choice is that file for one of the two transports.
func choice(transport string) []byte {
	return []byte("// Where the page's questions are answered: 'http' by the server that sent this page, or\n" +
		"// 'wasm' in this browser.\n" +
		"export const choice = '" + transport + "';\n")
}

// offlineFile keeps the page in a browser that answers by itself.
const offlineFile = "offline.js"

// files returns the page's files by their names, for a transport.
func files(transport string) (map[string][]byte, error) {
	list := map[string][]byte{}
	entries, err := fs.ReadDir(embedded, "page")
	if err != nil {
		return nil, err
	}
	for _, e := range entries {
		if e.IsDir() {
			return nil, fmt.Errorf("site: the page has a folder %s, and may have files only", e.Name())
		}
		if _, known := types[path.Ext(e.Name())]; !known {
			return nil, fmt.Errorf("site: no type is known of the page's file %s", e.Name())
		}
		if list[e.Name()], err = fs.ReadFile(embedded, path.Join("page", e.Name())); err != nil {
			return nil, err
		}
	}
	for _, name := range []string{index, choiceFile, styleFile} {
		if list[name] == nil {
			return nil, errors.New("site: the page lacks " + name)
		}
	}
	list[choiceFile] = choice(transport)
	list[styleFile] = append([]byte(draw.Identity()), list[styleFile]...)
	if transport == "http" {
		delete(list, offlineFile)
	}
	return list, nil
}

// index is the file that stands for the folder.
const index = "index.html"

// Sayings is where the page lists the sayings, relative to the site's root.
const Sayings = index + "#sayings"

// types are the types of files by the ends of their names.
var types = map[string]string{
	".html": "text/html; charset=utf-8",
	".css":  "text/css; charset=utf-8",
	".json": "application/json",
	".js":   "text/javascript; charset=utf-8",
	".svg":  "image/svg+xml",
	".wasm": "application/wasm",
}

// policy is what the page may do: nothing from elsewhere, no script and no style but
// its files, pictures also out of its own memory.
const policy = "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; img-src 'self' blob:; " +
	"object-src 'none'; base-uri 'none'; form-action 'none'"

// sayings is the folder of the evidence pages.
const sayings = "sayings/"

// names returns the names of the sayings that have a page.
func (s *Site) names(ctx context.Context) ([]string, error) {
	if s.Evidence == nil {
		return nil, nil
	}
	all, err := s.Explorer.Sayings()
	if err != nil {
		return nil, err
	}
	var names []string
	for _, saying := range all.Sayings {
		if saying.Page == "" {
			continue
		}
		if want := sayings + saying.Name + ".html"; saying.Page != want || strings.ContainsAny(saying.Name, `/\`) {
			return nil, fmt.Errorf("site: the saying %s has the page %s, must be %s", saying.Name, saying.Page, want)
		}
		names = append(names, saying.Name)
	}
	return names, ctx.Err()
}
