package library_test

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"counterpoise/datasets"
	"counterpoise/internal/library"
	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/internal/report"
	"counterpoise/internal/study"
	"counterpoise/sim/claim"
	"counterpoise/sim/montecarlo"
)

// update writes shipped.json, from the defaults of the command line, and the results
// of fewer bodies in testdata. Look at what changed before it is committed.
var update = flag.Bool("update", false, "write the results of the shipped claims anew")

// moderate is how many bodies the test draws for each claim.
const moderate = 20_000

// z is how many standard errors two runs may be apart: of some 600 comparisons one in
// ten suites would exceed it by chance if the runs were of different people.
const z = 4

// run tests every shipped claim.
func run(t *testing.T, n, maxN int) (*library.Collection, map[string]*outcome.Result) {
	t.Helper()
	o := claim.DefaultOptions()
	o.N = n
	hash, err := provenance.Stamp{Data: datasets.Hashes()}.DataHash()
	if err != nil {
		t.Fatal(err)
	}
	l := &library.Collection{Seed: o.Seed, Draws: o.Draws, Data: hash}
	results := map[string]*outcome.Result{}
	var sorted []*outcome.Result
	for _, name := range study.ClaimNames() {
		c, err := study.ShippedClaim(name)
		if err != nil {
			t.Fatal(err)
		}
		if results[name], err = outcome.Test(context.Background(), c, o); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		sorted = append(sorted, results[name])
	}
	report.SortByHold(sorted)
	for _, r := range sorted {
		l.Claims = append(l.Claims, report.Entry(r))
	}
	return l, results
}

func write(t *testing.T, path string, l *library.Collection) {
	t.Helper()
	text, err := json.MarshalIndent(l, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	if err := provenance.WriteFile(path, append(text, '\n')); err != nil {
		t.Fatal(err)
	}
}

// quantiles gives the quantiles of an effect, in the unit of its row.
type quantiles func(p float64) float64

// band is what a quantile of another run of m bodies may be, by this run of n: the
// order statistics within z standard errors of the rank.
func band(at quantiles, p float64, n, m int) (low, high float64) {
	d := z * math.Sqrt(p*(1-p)*(1/float64(n)+1/float64(m)))
	return at(math.Max(0, p-d)), at(math.Min(1, p+d))
}

// resolution is the relative error of the quantiles of two histograms.
const resolution = 2 * montecarlo.HistogramError

func within(x, low, high float64) bool {
	slack := resolution*math.Max(math.Abs(low), math.Abs(high)) + 1e-9
	return x >= low-slack && x <= high+slack
}

// compare holds results that were kept against those of a run. Verdicts must be the
// same, exactly or where the run decides; numbers within what as many bodies leave
// open.
func compare(t *testing.T, kept, next *library.Collection, results map[string]*outcome.Result, exactly bool) {
	t.Helper()
	if kept.Data != next.Data {
		t.Errorf("kept are results of the data sets %s, these are %s: run with -update", kept.Data, next.Data)
	}
	if len(kept.Claims) != len(next.Claims) {
		t.Fatalf("%d claims are kept, there are %d: run with -update", len(kept.Claims), len(next.Claims))
	}
	for i := range kept.Claims {
		a, b := &kept.Claims[i], &next.Claims[i]
		if a.Name != b.Name || a.Says != b.Says || a.Change != b.Change || a.Matters != b.Matters || len(a.Models) != len(b.Models) {
			t.Errorf("%s: kept is another claim, %q (%s): run with -update", b.Name, a.Says, a.Change)
			continue
		}
		undecided := claim.OpenSampling.String()
		if a.Verdict != b.Verdict && (exactly || b.Verdict != undecided) {
			t.Errorf("%s: kept is the verdict %s, found %s", a.Name, a.Verdict, b.Verdict)
		}
		for j := range a.Models {
			x, y := &a.Models[j], &b.Models[j]
			if x.Name() != y.Name() || x.Verdict != y.Verdict && (exactly || y.Verdict != undecided) {
				t.Errorf("%s: kept is %s: %s, found %s: %s", a.Name, x.Name(), x.Verdict, y.Name(), y.Verdict)
			}
			compareRow(t, a, x, y, results[a.Name], j)
		}
	}
}

func compareRow(t *testing.T, a *library.Claim, x, y *library.Row, r *outcome.Result, j int) {
	t.Helper()
	if x.P50 == nil || y.P50 == nil {
		if (x.P50 == nil) != (y.P50 == nil) {
			t.Errorf("%s, %s: one of two medians is beyond reach", a.Name, x.Name())
		}
		return
	}
	if r.Claim.Contrast != nil {
		// The interval is 1.96 standard errors to either side.
		half := (*y.P95 - *y.P5) / 2 / 1.96 * z * math.Sqrt(1+float64(r.N)/float64(a.N))
		if !within(*x.P50, *y.P50-half, *y.P50+half) {
			t.Errorf("%s, %s: kept is a difference of %g, found %g, which leaves ±%g open", a.Name, x.Name(), *x.P50, *y.P50, half)
		}
		return
	}
	o := &r.Models[j].Pooled
	if o.BecameImpossible+o.BecamePossible > 0 {
		return // quantiles of the finite effects are those of other people
	}
	for _, q := range []struct {
		p    float64
		kept *float64
	}{{0.05, x.P5}, {0.5, x.P50}, {0.95, x.P95}} {
		low, high := band(o.EffectAt, q.p, r.N, a.N)
		if q.kept == nil || !within(*q.kept, low, high) {
			t.Errorf("%s, %s: kept is %v at %g, found is between %g and %g", a.Name, x.Name(), q.kept, q.p, low, high)
		}
	}
	s := *y.Share
	open := z*math.Sqrt(s*(1-s)*(1/float64(r.N)+1/float64(a.N))) + z*z/float64(r.N)
	if math.Abs(*x.Share-s) > open {
		t.Errorf("%s, %s: kept is a share of %g, found %g, which leaves ±%g open", a.Name, x.Name(), *x.Share, s, open)
	}
}

func TestShippedResults(t *testing.T) {
	path := filepath.Join("testdata", "moderate.json")
	next, results := run(t, moderate, moderate)
	if *update {
		o := claim.DefaultOptions()
		full, _ := run(t, o.N, o.N)
		write(t, "shipped.json", full)
		write(t, path, next)
		return
	}
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v (run with -update to make it)", err)
	}
	var golden library.Collection
	if err := json.Unmarshal(text, &golden); err != nil {
		t.Fatal(err)
	}
	compare(t, &golden, next, results, true)
	findsFaults(t, text, next, results)
	shipped, err := library.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	compare(t, shipped, next, results, false)
}

// findsFaults makes sure that a kept result that is wrong is found.
func findsFaults(t *testing.T, kept []byte, next *library.Collection, results map[string]*outcome.Result) {
	t.Helper()
	for what, spoil := range map[string]func(*library.Claim){
		"verdict":         func(c *library.Claim) { c.Verdict = claim.NoEffect.String() },
		"model's verdict": func(c *library.Claim) { c.Models[0].Verdict = claim.NoEffect.String() },
		"median":          func(c *library.Claim) { *c.Models[0].P50 += 0.1 * (*c.Models[0].P95 - *c.Models[0].P5) },
		"share":           func(c *library.Claim) { *c.Models[0].Share += 0.01 },
		"threshold":       func(c *library.Claim) { c.Matters = "nothing" },
	} {
		var spoilt library.Collection
		if err := json.Unmarshal(kept, &spoilt); err != nil {
			t.Fatal(err)
		}
		spoil(spoilt.Find("longer-arms"))
		inner := &testing.T{}
		compare(inner, &spoilt, next, results, true)
		if !inner.Failed() {
			t.Errorf("a wrong %s was not found", what)
		}
	}
}

func TestEmbedded(t *testing.T) {
	l, err := library.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range study.ClaimNames() {
		c := l.Find(name)
		if c == nil || c.Verdict == "" || c.Headline == "" || c.N < claim.DefaultOptions().N || len(c.Models) == 0 {
			t.Errorf("%s is not embedded, or not whole", name)
		}
	}
	open := 0
	for _, c := range l.Claims {
		if c.Verdict != claim.Supported.String() && c.Verdict != claim.NoEffect.String() {
			open++
		}
	}
	if open < 6 {
		t.Errorf("only %d claims are neither supported nor without any effect: a library that confirms what is said teaches little", open)
	}
	if l.Find("no-such-claim") != nil {
		t.Error("a claim was found that is not there")
	}
	if !slices.IsSortedFunc(l.Claims, func(a, b library.Claim) int { return bytes.Compare([]byte(a.Hold), []byte(b.Hold)) }) {
		t.Error("the claims are not sorted by hold")
	}
	var again library.Collection
	if err := json.Unmarshal(library.JSON(), &again); err != nil || len(again.Claims) != len(l.Claims) {
		t.Errorf("the embedded text is another: %v", err)
	}
}
