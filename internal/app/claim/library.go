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
	"strconv"
	"strings"

	"counterpoise/internal/app/claim/drawn"
	"counterpoise/internal/app/claim/said"
	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/app/output"
	"counterpoise/internal/chart"
	"counterpoise/internal/folder"
	"counterpoise/internal/outcome"
	"counterpoise/internal/page"
	"counterpoise/internal/provenance"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/names"
)

// Names of a library's files.
const (
	LibraryPage    = "library.html"
	LibrarySummary = "library.json"
)

// runLibrary tests several claims and tells of them together. Of each only what the
// overview needs is kept in memory. With a folder, a run that was stopped goes on with
// the claims that it had not finished.
func runLibrary(ctx context.Context, env *console.Environment, o *claimOptions, names []string, claims []*claim.Claim) error {
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
	defer out.Close()
	summaries, err := newSummaries(out)
	if err != nil {
		return err
	}
	defer summaries.Close()
	bar := console.NewProgress(env.Stderr)
	defer bar.Done()
	var results []*outcome.Result
	var stamp provenance.Stamp
	var open error
	for _, i := range byHold(claims) {
		progress := func(stage string, done, total int) {
			bar.Update(fmt.Sprintf("claim %d of %d, %s: %s", len(results)+1, len(claims), claims[i].Name, stage), done, total)
		}
		t, err := o.testInto(ctx, env, claims[i], out, progress)
		if err == nil {
			err = summaries.add(t)
		}
		if err != nil {
			return about(names[i], err)
		}
		results, stamp = append(results, t.Result), t.stamp
		open = cmp.Or(open, Undecided(t.Result.Verdict))
	}
	bar.Done()
	if err := summaries.end(results); err != nil {
		return err
	}
	if out != nil {
		if err := writeLibrary(env, o.Look, out.Path, results, stamp); err != nil {
			return err
		}
		if err := out.Commit(stamp, slices.Sorted(maps.Keys(seen))...); err != nil {
			return err
		}
	}
	if o.Json {
		return cmp.Or(summaries.copy(env.Stdout), open)
	}
	return cmp.Or(said.TableText(env.Stdout, results), open)
}

// byHold is the order in which a library shows claims: by hold, then by name.
func byHold(claims []*claim.Claim) []int {
	order := make([]int, len(claims))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		a, b := claims[i], claims[j]
		return cmp.Or(strings.Compare(a.Hold.Name, b.Hold.Name), strings.Compare(a.Name, b.Name))
	})
	return order
}

// finished is what is kept of a claim in a library that is not: of what it was, what came
// out, and where that comes from.
type finished struct {
	Of     folder.Manifest  `json:"of"`
	Result *outcome.Result  `json:"result"`
	Stamp  provenance.Stamp `json:"provenance"`
}

// testInto tests one of several claims and writes its folder where there is one, unless an
// earlier run did. Only what an overview needs is left of the result.
func (o *claimOptions) testInto(ctx context.Context, env *console.Environment, c *claim.Claim, out *output.Folder, progress func(stage string, done, total int)) (*Tested, error) {
	if out == nil {
		t, err := o.Test(ctx, c, "", false, progress)
		if err == nil {
			t.Result = t.Result.Light()
		}
		return t, err
	}
	stamp, err := StampOf(c, o.options(), int(o.N))
	if err != nil {
		return nil, err
	}
	of, err := folder.Of([]any{stamp, o.bodies, fmt.Sprint(o.Look)})
	if err != nil {
		return nil, err
	}
	kept, own := out.Kept(c.Name+".json"), filepath.Join(out.Name, c.Name)
	if t := readFinished(kept, own, &of, c); t != nil {
		return t, nil
	}
	folder, err := output.OpenFolder(own)
	if err != nil {
		return nil, err
	}
	defer folder.Close()
	t, err := o.Test(ctx, c, folder.Path, o.bodies, progress)
	if err != nil {
		return nil, err
	}
	if err := errors.Join(provenance.WriteFile(filepath.Join(folder.Path, summaryFile), t.Summary), t.WriteDraws(filepath.Join(folder.Path, DrawsFile))); err != nil {
		return nil, err
	}
	if err := t.writeBeside(env, o.Look, folder.Path, "../"+LibraryPage); err != nil {
		return nil, err
	}
	if err := folder.Commit(t.stamp); err != nil {
		return nil, err
	}
	t.Result = t.Result.Light()
	text, err := json.Marshal(finished{of, t.Result, t.stamp})
	if err != nil {
		return nil, err
	}
	return t, provenance.WriteFile(kept, text)
}

// readFinished returns what an earlier run kept of a claim, if it was the same and its files
// are as they were.
func readFinished(kept, own string, of *folder.Manifest, c *claim.Claim) *Tested {
	text, err := os.ReadFile(kept)
	if err != nil {
		return nil
	}
	var f finished
	if json.Unmarshal(text, &f) != nil || f.Result == nil || !f.Of.Same(of) {
		return nil
	}
	m, err := folder.Read(own)
	if err != nil || len(m.Check(own)) > 0 {
		return nil
	}
	summary, err := os.ReadFile(filepath.Join(own, summaryFile))
	if err != nil {
		return nil
	}
	f.Result.Claim = c
	return &Tested{Result: f.Result, stamp: f.Stamp, Summary: summary}
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
		file, err = os.Create(filepath.Join(out.Path, LibrarySummary))
	} else if file, err = os.CreateTemp("", provenance.Tool+"-*"); err == nil {
		os.Remove(file.Name()) // open all the same
	}
	if err != nil {
		return nil, err
	}
	_, err = fmt.Fprintf(file, "{\n  \"tool\": %q,\n  \"version\": %q,\n  \"claims\": [", provenance.Tool, provenance.Version())
	return &summaries{file, 0}, err
}

// add writes the summary of a claim, and forgets it.
func (s *summaries) add(t *Tested) error {
	var b bytes.Buffer
	if s.n++; s.n > 1 {
		b.WriteByte(',')
	}
	b.WriteString("\n    ")
	if err := json.Indent(&b, bytes.TrimSpace(t.Summary), "    ", "  "); err != nil {
		return err
	}
	t.Summary = nil
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
func writeLibrary(env *console.Environment, l flags.Look, folder string, results []*outcome.Result, stamp provenance.Stamp) error {
	size, _, err := l.Resolve()
	if err != nil {
		return err
	}
	if err := output.Draw(env, l, output.PlacedIn(folder, drawn.OverviewFigures(results, size))); err != nil {
		return err
	}
	var b bytes.Buffer
	if err := page.WriteLibrary(&b, &page.Overview{
		Results: results, Stamp: stamp,
		Address: func(name string) string { return url.PathEscape(name) + "/" + flags.EvidencePage },
	}); err != nil {
		return err
	}
	return provenance.WriteFile(filepath.Join(folder, LibraryPage), b.Bytes())
}

// WritePage writes the evidence page of a claim into a folder; library is the relative
// address of the page that lists it, or empty; its first screen is in a language.
func (t *Tested) WritePage(folder, library string, language words.Language) error {
	text, err := t.Page(library, language)
	if err != nil {
		return err
	}
	return provenance.WriteFile(filepath.Join(folder, flags.EvidencePage), text)
}

// Page returns the evidence page of a claim.
func (t *Tested) Page(library string, language words.Language) ([]byte, error) {
	command, err := testCommandOf(t.Result.Claim, &t.Options, t.Result.N)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = page.WriteEvidence(&b, &page.Evidence{
		Result: t.Result, Stamp: t.stamp, Assumptions: t.Result.Claim.Assumed(), Command: command, Above: library, Language: language,
	})
	return b.Bytes(), err
}

// drawStory writes the story of a claim at each of its sizes.
func drawStory(env *console.Environment, l flags.Look, folder string, r *outcome.Result, figures []chart.Named) error {
	_, theme, err := l.Resolve()
	if err != nil || l.None {
		return err
	}
	language, err := l.ResolveLanguage()
	if err != nil {
		return err
	}
	story := drawn.StoryOf(r, figures, language, l.Address)
	for _, size := range chart.StorySizes {
		_, err := chart.Save(folder, "story-"+size.Name, story, size, theme)
		var refused *chart.Refusal
		if errors.As(err, &refused) {
			fmt.Fprintf(env.Stderr, "counterpoise: the story for a %s is left out: %v\n", size.Name, err)
		} else if err != nil {
			return err
		}
	}
	return nil
}

// testCommandOf returns the arguments that test a claim as it was tested, or nothing where
// it is no shipped claim with other people, models or assumptions at most.
func testCommandOf(c *claim.Claim, o *claim.Options, n int) (string, error) {
	if !slices.Contains(study.ClaimNames(), c.Name) {
		return "", nil
	}
	shipped, err := study.ShippedClaim(c.Name)
	if err != nil {
		return "", err
	}
	parts := []string{"claim test", c.Name}
	flag := func(name string, values ...string) {
		if len(values) > 0 {
			parts = append(parts, "--"+name+" "+strings.Join(values, ","))
		}
	}
	flag("n", strconv.Itoa(n))
	flag("seed", strconv.FormatUint(o.Seed, 10))
	if o.Draws != claim.DefaultOptions().Draws {
		flag("assumption-draws", strconv.Itoa(o.Draws))
	}
	if o.Others != nil {
		if !slices.Equal(o.Others, anthro.Names()) {
			return "", nil
		}
		parts = append(parts, "--for-whom")
	}
	if !slices.Equal(shipped.People, c.People) {
		var people []string
		for _, p := range c.People {
			if p.Own != nil || p.Weight != 1 {
				return "", nil // nobody knows where the file is, and no flag weights people
			}
			people = append(people, p.Population)
		}
		flag("people", people...)
		shipped.People = c.People
	}
	if !slices.Equal(shipped.Models, c.Models) {
		var statics, masses, segments []string
		for _, m := range c.Models {
			statics = names.Once(statics, m.Statics.String())
			masses = names.Once(masses, m.Masses.String())
			segments = names.Once(segments, m.Segments)
		}
		flag("models", statics...)
		flag("regional-masses", leftOut(masses, body.Residual.String())...)
		flag("segments", leftOut(segments, body.DefaultSegments)...)
		shipped.Models = c.Models
	}
	usual, assumed := assume.DefaultUncertainty(), c.Assumed()
	for id := range assume.Count {
		low, high := assumed.Low[id], assumed.High[id]
		if low != usual.Low[id] || high != usual.High[id] || assumed.Centre[id] != usual.Centre[id] {
			flag("assume", fmt.Sprintf("%s=%s", id, words.AssumptionRange(id, low, high)))
		}
	}
	same, err := sameClaim(shipped, c)
	if err != nil || !same {
		return "", err
	}
	return strings.Join(parts, " "), nil
}

// leftOut is a list, or nothing where it is the default alone.
func leftOut(list []string, usual string) []string {
	if len(list) == 1 && list[0] == usual {
		return nil
	}
	return list
}

// sameClaim reports whether two claims say the same in everything.
func sameClaim(a, b *claim.Claim) (bool, error) {
	x, err := provenance.CanonicalJSON(study.StoreClaim(a))
	if err != nil {
		return false, err
	}
	y, err := provenance.CanonicalJSON(study.StoreClaim(b))
	return bytes.Equal(x, y) && a.Demand == b.Demand, err
}
