package site

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"html"
	"maps"
	"os"
	"path/filepath"
	"slices"

	"counterpoise/internal/explorer"
	"counterpoise/internal/provenance"
)

// The files of the simulation, beside the page's own.
const (
	wasmFile   = "counterpoise.wasm"
	verifyFile = "verify.wasm"
	loaderFile = "wasm_exec.js"
)

// Write writes the site into a folder, which must be there, for any host of static
// files: everything is computed in the browser. Beside each larger file stands its
// .gz, for hosts that send it in its place. progress is told of every evidence page, and
// may be nil. The same program and sources give the same bytes.
func (s *Site) Write(ctx context.Context, folder string, w *WebAssembly, progress func(done, total int)) error {
	list, err := files("wasm")
	if err != nil {
		return err
	}
	if list[index], err = withPolicy(list[index]); err != nil {
		return err
	}
	list[wasmFile], list[loaderFile] = w.Module, w.Loader
	if err := s.beforehand(ctx, list); err != nil {
		return err
	}
	if list[offlineFile], err = kept(list); err != nil {
		return err
	}
	list[verifyFile] = w.Verify // large, and kept by browsers that want it
	names, err := s.names(ctx)
	if err != nil {
		return err
	}
	for i, name := range names {
		if list[sayings+name+".html"], err = s.Evidence(ctx, name); err != nil {
			return fmt.Errorf("the page of %s: %w", name, err)
		}
		if progress != nil {
			progress(i+1, len(names))
		}
	}
	for _, name := range slices.Sorted(maps.Keys(list)) {
		if err := ctx.Err(); err != nil {
			return err
		}
		at := filepath.Join(folder, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(at), 0o777); err != nil {
			return err
		}
		if err := provenance.WriteFile(at, list[name]); err != nil {
			return err
		}
		packed, err := pack(list[name])
		if err != nil {
			return err
		}
		if len(packed) < len(list[name])*9/10 {
			if err := provenance.WriteFile(at+".gz", packed); err != nil {
				return err
			}
		}
	}
	return nil
}

// catalogueFile and those in the folder answers are read by the page while the simulation loads.
const (
	catalogueFile = "catalogue.json"
	answers       = "answers/"
)

// beforehand adds to the files what the simulation answers to the page's first questions:
// the catalogue, and for each hold and sex what it says where nothing else is told.
func (s *Site) beforehand(ctx context.Context, list map[string][]byte) error {
	ask := func(question string, request any) ([]byte, error) {
		text, err := json.Marshal(request)
		if err != nil {
			return nil, err
		}
		return s.Explorer.Ask(ctx, question, text)
	}
	catalogue, err := ask("catalogue", struct{}{})
	if err != nil {
		return err
	}
	list[catalogueFile] = catalogue
	var offered explorer.Catalogue
	if err := json.Unmarshal(catalogue, &offered); err != nil {
		return err
	}
	for _, h := range offered.Holds {
		for _, p := range offered.People {
			asked := explorer.AnswerRequest{Person: explorer.Person{Sex: p.Sex, Units: "metric", Hold: h.Name}}
			if list[answers+h.Name+"-"+p.Sex+".json"], err = ask("answer", asked); err != nil {
				return fmt.Errorf("the answer for %s: %w", h.Name, err)
			}
		}
	}
	return nil
}

// kept is the script that keeps the files in browsers, all but itself.
func kept(list map[string][]byte) ([]byte, error) {
	names, sum := []string{"./"}, sha256.New()
	for _, name := range slices.Sorted(maps.Keys(list)) {
		if name != offlineFile {
			names = append(names, name)
		}
		fmt.Fprintln(sum, name, len(list[name]))
		sum.Write(list[name])
	}
	text, err := json.Marshal(names)
	if err != nil {
		return nil, err
	}
	return fmt.Appendf(nil, "const version = '%x', files = %s;\n%s", sum.Sum(nil)[:8], text, list[offlineFile]), nil
}

// withPolicy puts the page's policy into its head, where no server sends it along.
func withPolicy(page []byte) ([]byte, error) {
	const after = `<meta charset="utf-8">`
	before, rest, found := bytes.Cut(page, []byte(after))
	if !found {
		return nil, fmt.Errorf("site: %s lacks %s", index, after)
	}
	meta := after + "\n" + `<meta http-equiv="Content-Security-Policy" content="` + html.EscapeString(policy) + `">` +
		"\n" + `<meta name="referrer" content="no-referrer">`
	return slices.Concat(before, []byte(meta), rest), nil
}

// pack compresses a file, without a name or a time in it.
func pack(data []byte) ([]byte, error) {
	var out bytes.Buffer
	w, err := gzip.NewWriterLevel(&out, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(data); err != nil {
		return nil, err
	}
	err = w.Close()
	return out.Bytes(), err
}
