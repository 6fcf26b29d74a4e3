package said_test

import (
	"encoding/json"
	"math"
	"slices"
	"testing"

	"counterpoise/datasets"
	"counterpoise/internal/app/claim/said"
	"counterpoise/internal/golden"
	"counterpoise/internal/library"
	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/sim/claim"
)

// collected puts the results of all shipped claims into a library.
func collected(t *testing.T, results []*outcome.Result) *library.Collection {
	t.Helper()
	o := claim.DefaultOptions()
	hash, err := provenance.Stamp{Data: datasets.Hashes()}.DataHash()
	if err != nil {
		t.Fatal(err)
	}
	l := &library.Collection{Seed: o.Seed, Draws: o.Draws, Data: hash}
	results = slices.Clone(results)
	said.SortByHold(results)
	for _, r := range results {
		l.Claims = append(l.Claims, said.Entry(r))
	}
	return l
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

// same reports whether two numbers are the same but for rounding, which differs between
// processors.
func same(a, b *float64) bool {
	return a == nil && b == nil || a != nil && b != nil && math.Abs(*a-*b) <= 1e-6*math.Max(math.Abs(*a), 1e-3)
}

// compare holds results that were kept against those of a run.
func compare(t *testing.T, kept, next *library.Collection) {
	t.Helper()
	if kept.Data != next.Data {
		t.Errorf("kept are results of the data sets %s, these are %s: run with -update", kept.Data, next.Data)
	}
	if len(kept.Claims) != len(next.Claims) {
		t.Fatalf("%d claims are kept, there are %d: run with -update", len(kept.Claims), len(next.Claims))
	}
	for i := range kept.Claims {
		a, b := &kept.Claims[i], &next.Claims[i]
		if a.Name != b.Name || a.Says != b.Says || a.Change != b.Change || a.Matters != b.Matters || a.Verdict != b.Verdict || len(a.Models) != len(b.Models) {
			t.Errorf("%s: kept is another claim or verdict, run with -update:\n%+v\n%+v", b.Name, a, b)
			continue
		}
		if (a.ForWhom == nil) != (b.ForWhom == nil) || a.ForWhom != nil && !sameWhom(a.ForWhom, b.ForWhom) {
			t.Errorf("%s: kept is another result for other people, run with -update:\n%+v\n%+v", b.Name, a.ForWhom, b.ForWhom)
		}
		for j := range a.Models {
			x, y := &a.Models[j], &b.Models[j]
			if x.Name() != y.Name() || x.Verdict != y.Verdict || x.Unit != y.Unit || !same(x.P5, y.P5) || !same(x.P50, y.P50) || !same(x.P95, y.P95) || !same(x.Share, y.Share) {
				t.Errorf("%s: kept is another result, run with -update:\n%+v\n%+v", a.Name, x, y)
			}
		}
	}
}

// sameWhom reports whether the same came out for the same people.
func sameWhom(a, b *library.ForWhom) bool {
	return a.Verdict == b.Verdict && a.Says == b.Says && slices.EqualFunc(a.People, b.People, func(x, y library.Row) bool {
		return x.Name() == y.Name() && x.Verdict == y.Verdict && x.Unit == y.Unit && same(x.P5, y.P5) && same(x.P50, y.P50) && same(x.P95, y.P95)
	})
}

// What the shipped claims came to, as it is embedded, is what they come to. How many bodies
// are held up at the central assumptions makes no difference to what is kept.
func TestShippedResults(t *testing.T) {
	if *golden.Update {
		write(t, "../../../library/shipped.json", collected(t, said.Tested(t, claim.DefaultOptions().N)))
		return
	}
	shipped, err := library.Shipped()
	if err != nil {
		t.Fatal(err)
	}
	next := collected(t, said.Shipped(t))
	compare(t, shipped, next)
	findsFaults(t, next)
}

// findsFaults makes sure that a kept result that is wrong is found.
func findsFaults(t *testing.T, next *library.Collection) {
	t.Helper()
	for what, spoil := range map[string]func(*library.Claim){
		"verdict":         func(c *library.Claim) { c.Verdict = claim.NoEffect.String() },
		"model's verdict": func(c *library.Claim) { c.Models[0].Verdict = claim.NoEffect.String() },
		"median":          func(c *library.Claim) { *c.Models[0].P50 *= 1.001 },
		"share":           func(c *library.Claim) { *c.Models[0].Share += 0.01 },
		"threshold":       func(c *library.Claim) { c.Matters = "nothing" },
		"other people": func(c *library.Claim) {
			c.ForWhom = &library.ForWhom{Verdict: c.Verdict, Says: "For nobody."}
		},
	} {
		var spoilt library.Collection
		if err := json.Unmarshal(library.JSON(), &spoilt); err != nil {
			t.Fatal(err)
		}
		spoil(spoilt.Find("longer-arms"))
		inner := &testing.T{}
		compare(inner, &spoilt, next)
		if !inner.Failed() {
			t.Errorf("a wrong %s was not found", what)
		}
	}
}
