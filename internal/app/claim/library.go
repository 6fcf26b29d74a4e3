package claim

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/url"
	"path/filepath"
	"strings"

	"counterpoise/internal/app/claim/drawn"
	"counterpoise/internal/app/claim/said"
	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/app/output"
	"counterpoise/internal/outcome"
	"counterpoise/internal/page"
	"counterpoise/internal/provenance"
	"counterpoise/sim/claim"
)

// Names of a library's files.
const (
	LibraryPage    = "library.html"
	LibrarySummary = "library.json"
)

// runLibrary tests several claims and tells of them together.
func runLibrary(ctx context.Context, env *console.Environment, o *claimOptions, names []string, claims []*claim.Claim) (failed error) {
	seen := map[string]string{}
	for i, c := range claims {
		if other, twice := seen[c.Name]; twice {
			return console.Input(fmt.Errorf("%s and %s are both the claim %s: rename one", other, names[i], c.Name))
		}
		if filepath.Base(c.Name) != c.Name || strings.HasPrefix(c.Name, ".") {
			return console.Input(fmt.Errorf("%s: claim: found %q, which cannot be the name of a folder: several claims are kept by name", names[i], c.Name))
		}
		seen[c.Name] = names[i]
	}
	out, err := output.Open(o.Out)
	if err != nil {
		return err
	}
	defer out.ForgetAfter(&failed)
	bar := console.NewProgress(env.Stderr)
	defer bar.Done()
	var results []*outcome.Result
	of := map[*outcome.Result]*Tested{}
	var open error
	for i, c := range claims {
		progress := func(stage string, done, total int) {
			bar.Update(fmt.Sprintf("claim %d of %d, %s: %s", i+1, len(claims), c.Name, stage), done, total)
		}
		t, err := o.testInto(ctx, env, c, out, progress)
		if err != nil {
			return about(names[i], err)
		}
		results, of[t.Result] = append(results, t.Result), t
		open = cmp.Or(open, Undecided(t.Result.Verdict))
	}
	bar.Done()
	said.SortByHold(results)
	var sorted []*Tested
	for _, r := range results {
		sorted = append(sorted, of[r])
	}
	text, err := libraryJSON(sorted)
	if err != nil {
		return err
	}
	files := func(folder string) error { return writeLibrary(env, o.Look, folder, sorted) }
	err = output.Publish(env, out, o.Json, LibrarySummary, text, files, func(w io.Writer) error { return said.TableText(w, results) })
	return cmp.Or(err, open)
}

// testInto tests one of several claims and writes its folder where there is one.
func (o *claimOptions) testInto(ctx context.Context, env *console.Environment, c *claim.Claim, out *output.Folder, progress func(stage string, done, total int)) (*Tested, error) {
	if out == nil {
		return o.Test(ctx, c, "", false, progress)
	}
	own, err := output.OpenFolder(filepath.Join(out.Path, c.Name))
	if err != nil {
		return nil, err
	}
	t, err := o.Test(ctx, c, own.Path, o.bodies, progress)
	if err == nil {
		err = provenance.WriteFile(filepath.Join(own.Path, "summary.json"), t.Summary)
	}
	if err == nil {
		err = t.WriteDraws(filepath.Join(own.Path, DrawsFile))
	}
	if err == nil {
		err = t.writeBeside(env, o.Look, own.Path, "../"+LibraryPage)
	}
	own.ForgetAfter(&err)
	return t, err
}

// about names the claim that an error is of.
func about(name string, err error) error {
	named := fmt.Errorf("%s: %w", name, err)
	if console.ExitCode(err) == console.ExitUsage {
		return console.Input(named)
	}
	return named
}

// libraryJSON is all summaries as one JSON object.
func libraryJSON(list []*Tested) ([]byte, error) {
	library := struct {
		Tool    string            `json:"tool"`
		Version string            `json:"version"`
		Counts  map[string]int    `json:"verdicts"`
		Claims  []json.RawMessage `json:"claims"`
	}{provenance.Tool, provenance.Version(), map[string]int{}, nil}
	for _, t := range list {
		library.Counts[t.Result.Verdict.String()]++
		library.Claims = append(library.Claims, t.Summary)
	}
	return output.Indented(library)
}

// writeLibrary writes the page and the chart of several claims.
func writeLibrary(env *console.Environment, l flags.Look, folder string, list []*Tested) error {
	var results []*outcome.Result
	for _, t := range list {
		results = append(results, t.Result)
	}
	size, _, err := l.Resolve()
	if err != nil {
		return err
	}
	if err := output.Draw(env, l, output.PlacedIn(folder, drawn.OverviewFigures(results, size))); err != nil {
		return err
	}
	var b bytes.Buffer
	if err := page.WriteLibrary(&b, &page.Overview{
		Results: results, Stamp: list[0].stamp,
		Address: func(name string) string { return url.PathEscape(name) + "/" + flags.EvidencePage },
	}); err != nil {
		return err
	}
	return provenance.WriteFile(filepath.Join(folder, LibraryPage), b.Bytes())
}
