package library_test

import (
	"bytes"
	"encoding/json"
	"slices"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/internal/library"
	"counterpoise/internal/study"
	"counterpoise/sim/claim"
)

func TestEmbedded(t *testing.T) {
	l := golden.Must(library.Shipped())(t)
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
