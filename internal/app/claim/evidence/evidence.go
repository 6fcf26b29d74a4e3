// Package evidence is what the test of one claim leaves: the outcome, where it comes from, the
// summary and the page that holds them all; and whether a page is what its study gives.
package evidence

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"counterpoise/internal/app/claim/said"
	"counterpoise/internal/app/output"
	"counterpoise/internal/outcome"
	"counterpoise/internal/page"
	"counterpoise/internal/provenance"
	"counterpoise/internal/stored"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
)

// Test is a claim and how it is tested.
type Test struct {
	Claim   *claim.Claim
	Options claim.Options
}

// Tested is a claim with what came out.
type Tested struct {
	Test
	Result  *outcome.Result
	Stamp   provenance.Stamp
	Summary []byte // as JSON
}

// Run tests the claim.
func (t Test) Run(ctx context.Context) (*Tested, error) {
	r, err := outcome.Test(ctx, t.Claim, t.Options)
	if err != nil {
		return nil, err
	}
	done := &Tested{Test: t, Result: r}
	if done.Stamp, err = t.StampOf(r.Claim, r.N); err != nil {
		return nil, err
	}
	done.Summary, err = output.Indented(said.Summarise(r, done.Stamp))
	return done, err
}

// StampOf says where a result over n bodies comes from, in full.
func (t Test) StampOf(c *claim.Claim, n int) (provenance.Stamp, error) {
	o := t.Options
	own := names.Each(c.People, func(g scenario.Group) *anthro.Population { return g.Own })
	return output.NewStamp(resolvedClaim{stored.StoreClaim(c), c.Demand.String(), n, o.Draws, output.RangesOf(c.Assumed()), o.Others}, o.Seed, c.Assumed().Centre, own...)
}

// resolvedClaim is the study of a claim as its outputs carry it.
type resolvedClaim struct {
	Claim     *stored.Claim         `json:"claim"`
	Quantity  string                `json:"quantity"`
	N         int                   `json:"n"`
	Draws     int                   `json:"assumption_draws"`
	Uncertain map[string][2]float64 `json:"assumption_ranges"`
	Others    []string              `json:"for_whom,omitempty"`
}

// Read rebuilds a test from where an outcome of it comes from.
func Read(stamp *provenance.Stamp, find *output.OwnFinder) (t Test, err error) {
	var resolved resolvedClaim
	if err := output.ReadStudy(stamp, &resolved); err != nil {
		return t, err
	}
	quantity, ok := hold.ParseDemand(resolved.Quantity)
	if !ok {
		return t, fmt.Errorf("the claim in it is about the unknown quantity %q", resolved.Quantity)
	}
	c, err := resolved.Claim.Claim(quantity)
	if err != nil {
		return t, fmt.Errorf("the claim in it cannot be read: %w", err)
	}
	if c.Assumptions, err = output.Assumed(stamp, resolved.Uncertain); err != nil {
		return t, err
	}
	if err := c.Check(); err != nil {
		return t, err
	}
	return Test{c, claim.Options{N: resolved.N, Seed: stamp.Seed, Draws: resolved.Draws, Others: resolved.Others}}, find.Claim(c.People)
}

// Page returns the evidence page of a claim.
func (t *Tested) Page(library string, language words.Language) ([]byte, error) {
	command, err := testCommandOf(t.Result.Claim, &t.Options, t.Result.N)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = page.WriteEvidence(&b, &page.Evidence{
		Result: t.Result, Stamp: t.Stamp, Assumptions: t.Result.Claim.Assumed(), Command: command, Above: library, Language: language,
	})
	return b.Bytes(), err
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
	x, err := provenance.CanonicalJSON(stored.StoreClaim(a))
	if err != nil {
		return false, err
	}
	y, err := provenance.CanonicalJSON(stored.StoreClaim(b))
	return bytes.Equal(x, y) && a.Demand == b.Demand, err
}
