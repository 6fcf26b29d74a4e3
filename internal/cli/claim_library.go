package cli

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

	"counterpoise/internal/outcome"
	"counterpoise/internal/page"
	"counterpoise/internal/provenance"
	"counterpoise/internal/report"
	"counterpoise/sim/claim"
)

// Names of a library's files.
const (
	libraryPage    = "library.html"
	librarySummary = "library.json"
)

// runLibrary tests several claims and tells of them together.
func runLibrary(ctx context.Context, env *environment, o *claimOptions, names []string, claims []*claim.Claim) (failed error) {
	seen := map[string]string{}
	for i, c := range claims {
		folder := strings.ToLower(c.Name) // for which file systems may take it
		if other, twice := seen[folder]; twice {
			return input(fmt.Errorf("%s and %s are both the claim %s, capital letters or not: rename one", other, names[i], c.Name))
		}
		seen[folder] = names[i]
	}
	out, err := o.out.open()
	if err != nil {
		return err
	}
	defer out.forgetAfter(&failed)
	bar := newProgress(env.stderr)
	defer bar.done()
	var results []*outcome.Result
	of := map[*outcome.Result]*tested{}
	var open error
	for i, c := range claims {
		progress := func(stage string, done, total int) {
			bar.update(fmt.Sprintf("claim %d of %d, %s: %s", i+1, len(claims), c.Name, stage), done, total)
		}
		t, err := o.testInto(ctx, env, c, out, progress)
		if err != nil {
			return about(names[i], err)
		}
		results, of[t.result] = append(results, t.result), t
		open = cmp.Or(open, undecided(t.result.Verdict))
	}
	bar.done()
	report.SortByHold(results)
	var sorted []*tested
	var summaries [][]byte
	for _, r := range results {
		sorted, summaries = append(sorted, of[r]), append(summaries, of[r].summary)
	}
	text, err := libraryJSON(provenance.Version(), summaries)
	if err != nil {
		return err
	}
	files := func(folder string) error { return writeLibrary(env, o.look, folder, sorted) }
	err = o.publish(env, out, librarySummary, text, files, func(w io.Writer) error { return report.TableText(w, results) })
	return cmp.Or(err, open)
}

// testInto tests one of several claims and writes its folder where there is one.
func (o *claimOptions) testInto(ctx context.Context, env *environment, c *claim.Claim, out *outFolder, progress func(stage string, done, total int)) (*tested, error) {
	if out == nil {
		return o.test(ctx, c, "", false, progress)
	}
	own, err := openFolder(filepath.Join(out.path, c.Name))
	if err != nil {
		return nil, err
	}
	t, err := o.test(ctx, c, own.path, o.bodies, progress)
	if err == nil {
		err = provenance.WriteFile(filepath.Join(own.path, "summary.json"), t.summary)
	}
	if err == nil {
		err = t.writeDraws(filepath.Join(own.path, drawsFile))
	}
	if err == nil {
		err = t.writeBeside(env, o.look, own.path, "../"+libraryPage)
	}
	own.forgetAfter(&err)
	return t, err
}

// about names the claim that an error is of.
func about(name string, err error) error {
	named := fmt.Errorf("%s: %w", name, err)
	if exitCode(err) == exitUsage {
		return input(named)
	}
	return named
}

// libraryJSON is all summaries, written by one version, as one JSON object.
func libraryJSON(version string, summaries [][]byte) ([]byte, error) {
	library := struct {
		Tool    string            `json:"tool"`
		Version string            `json:"version"`
		Counts  map[string]int    `json:"verdicts"`
		Claims  []json.RawMessage `json:"claims"`
	}{provenance.Tool, version, map[string]int{}, nil}
	for _, summary := range summaries {
		var of struct {
			Verdict string `json:"verdict"`
		}
		if err := json.Unmarshal(summary, &of); err != nil {
			return nil, err
		}
		library.Counts[of.Verdict]++
		library.Claims = append(library.Claims, summary)
	}
	return indented(library)
}

// writeLibrary writes the page and the chart of several claims.
func writeLibrary(env *environment, l look, folder string, list []*tested) error {
	var results []*outcome.Result
	for _, t := range list {
		results = append(results, t.result)
	}
	size, _, err := l.resolve()
	if err != nil {
		return err
	}
	if err := l.draw(env, placedIn(folder, report.OverviewFigures(results, size))); err != nil {
		return err
	}
	var b bytes.Buffer
	if err := page.WriteLibrary(&b, &page.Overview{
		Results: results, Stamp: list[0].stamp,
		Address: func(name string) string { return url.PathEscape(name) + "/" + pageName },
	}); err != nil {
		return err
	}
	return provenance.WriteFile(filepath.Join(folder, libraryPage), b.Bytes())
}
