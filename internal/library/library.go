// Package library holds, in a few words and numbers each, what came out of every
// shipped claim, tested at the defaults of the command line. It imports nothing of the
// program, so that a page in a browser can carry it.
package library

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"slices"
	"sync"
)

// Collection is a number of claims with what came out of them.
type Collection struct {
	Seed   uint64  `json:"seed,string"`
	Draws  int     `json:"assumption_draws"`
	Data   string  `json:"data"` // SHA-256 of the names and hashes of all data sets
	Claims []Claim `json:"claims"`
}

// Claim is one of them.
type Claim struct {
	Name     string `json:"claim"`
	Says     string `json:"says"`
	Hold     string `json:"hold"`
	Change   string `json:"change"`   // what is changed, or whom a contrast compares, in words
	Quantity string `json:"quantity"` // as in files
	Expect   string `json:"expect"`   // increase, decrease or none
	Matters  string `json:"matters"`  // the smallest effect that matters, in words
	Verdict  string `json:"verdict"`
	Headline string `json:"headline"`
	N        int    `json:"n"` // bodies
	Models   []Row  `json:"models"`
	// ForWhom says whether it comes out the same for other people; nil where they were not
	// asked about.
	ForWhom *ForWhom `json:"for_whom,omitempty"`
}

// ForWhom is what came out of a claim for several populations, each by itself.
type ForWhom struct {
	Verdict string `json:"verdict"` // over all of them
	Says    string `json:"says"`    // whether it depends on whom
	People  []Row  `json:"people"`  // the effect over the draws
}

// Row is what one model says of a claim, of a contrast for one population. The effect is
// that on the median body, of a contrast the difference of the groups' medians: P50, P5 and
// P95 are its median and its 5 and 95 % points over the draws. Null stands for a value
// beyond reach.
type Row struct {
	Model   string   `json:"model"`
	People  string   `json:"people,omitempty"` // of a contrast
	Verdict string   `json:"verdict"`
	Unit    string   `json:"unit"` // "%" of the baseline where what matters is a share of it; else the quantity's own
	P50     *float64 `json:"p50"`
	P5      *float64 `json:"p5"`
	P95     *float64 `json:"p95"`
	Share   *float64 `json:"share_as_claimed,omitempty"` // of bodies; none of a contrast
}

// Name names the row: its model, of a contrast also its people.
func (r *Row) Name() string {
	if r.People == "" {
		return r.Model
	}
	return r.Model + ", " + r.People
}

//go:embed shipped.json
var shipped []byte

var read = sync.OnceValues(func() (*Collection, error) {
	var l Collection
	if err := json.Unmarshal(shipped, &l); err != nil {
		return nil, fmt.Errorf("library: shipped.json: %w", err)
	}
	return &l, nil
})

// Shipped returns the results of the shipped claims. They are not to be changed.
func Shipped() (*Collection, error) { return read() }

// JSON returns the same as it is embedded.
func JSON() []byte { return slices.Clone(shipped) }

// Find returns the claim of a name, or nil.
func (l *Collection) Find(name string) *Claim {
	if i := slices.IndexFunc(l.Claims, func(c Claim) bool { return c.Name == name }); i >= 0 {
		return &l.Claims[i]
	}
	return nil
}
