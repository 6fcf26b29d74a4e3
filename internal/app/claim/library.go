package claim

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"counterpoise/internal/app/claim/drawn"
	"counterpoise/internal/app/claim/evidence"
	"counterpoise/internal/app/claim/said"
	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/app/output"
	"counterpoise/internal/chart"
	"counterpoise/internal/draw"
	"counterpoise/internal/folder"
	"counterpoise/internal/outcome"
	"counterpoise/internal/page"
	"counterpoise/internal/provenance"
)

// Names of a library's files.
const (
	PageOfLibrary    = "library.html"
	SummaryOfLibrary = "library.json"
)

// runLibrary tests several claims and tells of them together. Of each only what the
// overview needs is kept in memory. With a folder, a run that was stopped goes on with
// the claims that it had not finished.
func (s *Study) runLibrary(ctx context.Context, env *console.Environment, as *flags.Shown) error {
	seen := map[string]string{}
	for _, t := range s.tests {
		name := strings.ToLower(t.Claim.Name) // for which file systems may take it
		if other, twice := seen[name]; twice {
			return console.Input(fmt.Errorf("%s and %s are both the claim %s, capital letters or not: rename one", other, t.called, t.Claim.Name))
		}
		seen[name] = t.called
	}
	out, err := output.Open(as.Out)
	if err != nil {
		return err
	}
	defer out.Close()
	summaries, err := newSummaries(out)
	if err != nil {
		return err
	}
	defer summaries.Close()
	bar := console.NewProgress(env.Stderr)
	defer bar.Done()
	var results []*outcome.Result
	var stamps []provenance.Stamp
	var open error
	for _, t := range s.byHold() {
		progress := func(stage string, done, total int) {
			bar.Update(fmt.Sprintf("claim %d of %d, %s: %s", len(results)+1, len(s.tests), t.Claim.Name, stage), done, total)
		}
		done, err := s.runInto(ctx, env, as, t, out, progress)
		if err == nil {
			err = summaries.add(done.Summary)
		}
		if err != nil {
			return about(t.called, err)
		}
		results, stamps = append(results, done.Result.Light()), append(stamps, done.Stamp)
		open = cmp.Or(open, undecided(done.Result.Verdict))
	}
	bar.Done()
	if err := summaries.end(results); err != nil {
		return err
	}
	if out != nil {
		if err := writeLibrary(env, as.Look, out.Path, results, stamps); err != nil {
			return err
		}
		if err := out.Commit(stamps, slices.Sorted(maps.Keys(seen))...); err != nil {
			return err
		}
	}
	if as.JSON {
		return cmp.Or(summaries.copy(env.Stdout), open)
	}
	return cmp.Or(said.TableText(env.Stdout, results), open)
}

// byHold is the claims in the order in which a library shows them: by hold, then by name.
func (s *Study) byHold() []test {
	return slices.SortedStableFunc(slices.Values(s.tests), func(a, b test) int {
		return cmp.Or(strings.Compare(a.Claim.Hold.Name, b.Claim.Hold.Name), strings.Compare(a.Claim.Name, b.Claim.Name))
	})
}

// finished is what is kept of a claim in a library that is not: of what it was, what came
// out, and where that comes from.
type finished struct {
	Of     folder.Manifest  `json:"of"`
	Result *outcome.Result  `json:"result"`
	Stamp  provenance.Stamp `json:"provenance"`
}

// runInto tests one of several claims and writes its folder where there is one, unless an
// earlier run did.
func (s *Study) runInto(ctx context.Context, env *console.Environment, as *flags.Shown, of test, out *output.Folder, progress func(stage string, done, total int)) (*evidence.Tested, error) {
	if out == nil {
		return of.run(ctx, as, "", progress)
	}
	look := as.Look
	look.Above = "../" + PageOfLibrary
	stamp, err := of.StampOf(of.Claim, of.Options.N)
	if err != nil {
		return nil, err
	}
	asked, err := folder.Of([]any{stamp, s.bodies, fmt.Sprint(look)})
	if err != nil {
		return nil, err
	}
	kept, path := out.Kept(of.Claim.Name+".json"), filepath.Join(out.Name, of.Claim.Name)
	if t := of.finished(kept, path, &asked); t != nil {
		return t, nil
	}
	own, err := output.OpenFolder(path)
	if err != nil {
		return nil, err
	}
	defer own.Close()
	bodies := ""
	if s.bodies {
		bodies = own.Path
	}
	t, err := of.run(ctx, as, bodies, progress)
	if err != nil {
		return nil, err
	}
	if err := errors.Join(provenance.WriteFile(filepath.Join(own.Path, summaryFile), t.Summary), writeDraws(t, own.Path)); err != nil {
		return nil, err
	}
	if err := writeBeside(t, env, look, own.Path); err != nil {
		return nil, err
	}
	if err := own.Commit(t.Stamp); err != nil {
		return nil, err
	}
	text, err := json.Marshal(finished{asked, t.Result.Light(), t.Stamp})
	if err != nil {
		return nil, err
	}
	return t, provenance.WriteFile(kept, text)
}

// finished returns what an earlier run kept of a claim, if it was asked the same and its
// files are as they were.
func (t test) finished(kept, path string, asked *folder.Manifest) *evidence.Tested {
	text, err := os.ReadFile(kept)
	if err != nil {
		return nil
	}
	var f finished
	if json.Unmarshal(text, &f) != nil || f.Result == nil || !f.Of.Same(asked) {
		return nil
	}
	m, err := folder.Read(path)
	if err != nil || len(m.Check(path)) > 0 {
		return nil
	}
	summary, err := os.ReadFile(filepath.Join(path, summaryFile))
	if err != nil {
		return nil
	}
	f.Result.Claim = t.Claim
	return &evidence.Tested{Test: t.Test, Result: f.Result, Stamp: f.Stamp, Summary: summary}
}

// about names the claim that an error is of.
func about(name string, err error) error {
	named := fmt.Errorf("%s: %w", name, err)
	if console.ExitCode(err) == console.ExitUsage {
		return console.Input(named)
	}
	return named
}

// summaries is the file of all summaries, written as they come.
type summaries struct {
	*os.File
	n int
}

// newSummaries begins the file, in a folder if there is one, else where it is gone after.
func newSummaries(out *output.Folder) (*summaries, error) {
	var file *os.File
	var err error
	if out != nil {
		file, err = os.Create(filepath.Join(out.Path, SummaryOfLibrary))
	} else if file, err = os.CreateTemp("", provenance.Tool+"-*"); err == nil {
		os.Remove(file.Name()) // open all the same
	}
	if err != nil {
		return nil, err
	}
	_, err = fmt.Fprintf(file, "{\n  \"tool\": %q,\n  \"version\": %q,\n  \"claims\": [", provenance.Tool, provenance.Version())
	return &summaries{file, 0}, err
}

// add writes the summary of a claim.
func (s *summaries) add(summary []byte) error {
	var b bytes.Buffer
	if s.n++; s.n > 1 {
		b.WriteByte(',')
	}
	b.WriteString("\n    ")
	if err := json.Indent(&b, bytes.TrimSpace(summary), "    ", "  "); err != nil {
		return err
	}
	_, err := s.Write(b.Bytes())
	return err
}

// end writes how many claims have each verdict.
func (s *summaries) end(results []*outcome.Result) error {
	counts := map[string]int{}
	for _, r := range results {
		counts[r.Verdict.String()]++
	}
	text, err := json.MarshalIndent(counts, "  ", "  ")
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(s, "\n  ],\n  \"verdicts\": %s\n}\n", text)
	return errors.Join(err, s.Sync())
}

func (s *summaries) copy(w io.Writer) error {
	if _, err := s.Seek(0, io.SeekStart); err != nil {
		return err
	}
	_, err := io.Copy(w, s)
	return err
}

// writeLibrary writes the page and the chart of several claims.
func writeLibrary(env *console.Environment, l flags.Look, folder string, results []*outcome.Result, stamps []provenance.Stamp) error {
	size, _, err := l.Resolve()
	if err != nil {
		return err
	}
	if err := output.Draw(env, l, output.PlacedIn(folder, drawn.OverviewFigures(results, size))); err != nil {
		return err
	}
	var b bytes.Buffer
	if err := page.WriteLibrary(&b, &page.Overview{
		Results: results, Stamps: stamps,
		Address: func(name string) string { return url.PathEscape(name) + "/" + flags.EvidencePage },
	}); err != nil {
		return err
	}
	return provenance.WriteFile(filepath.Join(folder, PageOfLibrary), b.Bytes())
}

// drawStory writes the story of a claim at each of its sizes.
func drawStory(env *console.Environment, l flags.Look, folder string, r *outcome.Result, stamp *provenance.Stamp, figures []draw.Named) error {
	_, theme, err := l.Resolve()
	if err != nil || l.None {
		return err
	}
	language, err := l.ResolveLanguage()
	if err != nil {
		return err
	}
	found := said.Source(r, stamp, language, "")
	evidence := ""
	if l.Address != "" {
		evidence = said.Source(r, stamp, language, l.Address)
	}
	story := drawn.StoryOf(r, figures, language, evidence, found)
	for _, size := range chart.StorySizes {
		_, err := draw.Save(folder, "story-"+size.Name, story, size, theme)
		var refused *draw.Refusal
		if errors.As(err, &refused) {
			fmt.Fprintf(env.Stderr, "counterpoise: the story for a %s is left out: %v\n", size.Name, err)
		} else if err != nil {
			return err
		}
	}
	return nil
}
