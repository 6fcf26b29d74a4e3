package claim

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"counterpoise/internal/app/claim/drawn"
	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
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
