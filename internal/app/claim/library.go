package claim

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/url"
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

// runLibrary tests several claims and tells of them together.
func (s *Study) runLibrary(ctx context.Context, env *console.Environment, as *flags.Shown) (failed error) {
	seen := map[string]string{}
	for _, t := range s.tests {
		name := strings.ToLower(t.claim.Name) // for which file systems may take it
		if other, twice := seen[name]; twice {
			return console.Input(fmt.Errorf("%s and %s are both the claim %s, capital letters or not: rename one", other, t.called, t.claim.Name))
		}
		seen[name] = t.called
	}
	out, err := output.Open(as.Out)
	if err != nil {
		return err
	}
	defer out.ForgetAfter(&failed)
	bar := console.NewProgress(env.Stderr)
	defer bar.Done()
	var results []*outcome.Result
	of := map[*outcome.Result]*tested{}
	var open error
	for i, t := range s.tests {
		progress := func(stage string, done, total int) {
			bar.Update(fmt.Sprintf("claim %d of %d, %s: %s", i+1, len(s.tests), t.claim.Name, stage), done, total)
		}
		done, err := s.runInto(ctx, env, as, t, out, progress)
		if err != nil {
			return about(t.called, err)
		}
		results, of[done.result] = append(results, done.result), done
		open = cmp.Or(open, undecided(done.result.Verdict))
	}
	bar.Done()
	said.SortByHold(results)
	var sorted []*tested
	for _, r := range results {
		sorted = append(sorted, of[r])
	}
	text, err := libraryJSON(sorted)
	if err != nil {
		return err
	}
	files := func(folder string) error { return writeLibrary(env, as.Look, folder, sorted) }
	err = output.Publish(env, out, as.JSON, LibrarySummary, text, files, func(w io.Writer) error { return said.TableText(w, results) })
	return cmp.Or(err, open)
}

// runInto tests one of several claims and writes its folder where there is one.
func (s *Study) runInto(ctx context.Context, env *console.Environment, as *flags.Shown, of test, out *output.Folder, progress func(stage string, done, total int)) (*tested, error) {
	if out == nil {
		return of.run(ctx, as, "", progress)
	}
	own, err := output.OpenFolder(filepath.Join(out.Path, of.claim.Name))
	if err != nil {
		return nil, err
	}
	bodies := ""
	if s.bodies {
		bodies = own.Path
	}
	look := as.Look
	look.Above = "../" + LibraryPage
	t, err := of.run(ctx, as, bodies, progress)
	if err == nil {
		err = provenance.WriteFile(filepath.Join(own.Path, "summary.json"), t.summary)
	}
	if err == nil {
		err = t.writeDraws(own.Path)
	}
	if err == nil {
		err = t.writeBeside(env, look, own.Path)
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
func libraryJSON(list []*tested) ([]byte, error) {
	library := struct {
		Tool    string            `json:"tool"`
		Version string            `json:"version"`
		Counts  map[string]int    `json:"verdicts"`
		Claims  []json.RawMessage `json:"claims"`
	}{provenance.Tool, provenance.Version(), map[string]int{}, nil}
	for _, t := range list {
		library.Counts[t.result.Verdict.String()]++
		library.Claims = append(library.Claims, t.summary)
	}
	return output.Indented(library)
}

// writeLibrary writes the page and the chart of several claims.
func writeLibrary(env *console.Environment, l flags.Look, folder string, list []*tested) error {
	var results []*outcome.Result
	var stamps []provenance.Stamp
	for _, t := range list {
		results, stamps = append(results, t.result), append(stamps, t.stamp)
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
		Results: results, Stamps: stamps,
		Address: func(name string) string { return url.PathEscape(name) + "/" + flags.EvidencePage },
	}); err != nil {
		return err
	}
	return provenance.WriteFile(filepath.Join(folder, LibraryPage), b.Bytes())
}

// page returns the evidence page of a claim.
func (t *tested) page(library string, language words.Language) ([]byte, error) {
	command, err := testCommandOf(t.result.Claim, &t.options, t.result.N)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = page.WriteEvidence(&b, &page.Evidence{
		Result: t.result, Stamp: t.stamp, Assumptions: t.result.Claim.Assumed(), Command: command, Above: library, Language: language,
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
