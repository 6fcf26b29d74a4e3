// Command seeds judges claims whose verdicts are close to call with many seeds. It
// counts how often verdicts differ, and how often the interval around the share of the
// draws that agree holds that share as it is over all seeds but the interval's own.
//
// Run it from the module's folder; it takes about a quarter of an hour of one processor:
//
//	go run ./internal/crosscheck/seeds > testdata/bench/seeds.txt
package main

import (
	"cmp"
	"context"
	"flag"
	"fmt"
	"io"
	"maps"
	"math"
	"os"
	"slices"
	"strings"

	"counterpoise/internal/study"
	"counterpoise/sim/claim"
	"counterpoise/sim/scenario"

	"gonum.org/v1/gonum/stat"
)

// A borderline is a shipped claim about the soldiers of one sex, those nearer to the border,
// otherwise as shipped unless why says what was moved towards it.
type borderline struct {
	claim, people, replace, by, why string
	tenth                           bool // of the seeds: it takes twenty times as long
}

// borderlines are close to call: claims whose agreement, in one of their populations, is
// near what is asked for as they are shipped, two for the direction and two for the
// size, and two that are easily brought there, one of them a contrast.
var borderlines = []borderline{
	{claim: "heavier-trunk", people: "ansur2-women"},
	{claim: "longer-legs", people: "ansur2-women"},
	{claim: "planche-tuck-or-straddle", people: "ansur2-women", replace: "expect:", by: "share: 0.93\nexpect:",
		why: "for 0.93 of the bodies instead of 0.95"},
	{claim: "front-lever-one-leg", people: "ansur2-women"},
	{claim: "straddle", people: "ansur2-women"},
	{claim: "tall-people", people: "ansur2-men", replace: "expect: increase", by: "expect: increase\nmatters: 1.7 %\nmatters_because: so that it is close to call",
		why: "what matters is 1.7 % instead of 1 %", tenth: true},
}

func main() {
	seeds := flag.Int("seeds", 100, "how many seeds")
	only := flag.String("claim", "", "only this claim")
	workers := flag.Int("workers", 0, "goroutines; 0 takes one a processor")
	flag.Parse()
	fmt.Printf("draws from %d on, doubled up to %d times; shares of draws in %%\n", claim.DefaultOptions().Draws, claim.MostDoublings)
	for _, b := range borderlines {
		if *only != "" && *only != b.claim {
			continue
		}
		if err := b.study(os.Stdout, *seeds, *workers); err != nil {
			fmt.Fprintln(os.Stderr, "seeds:", err)
			os.Exit(1)
		}
	}
}

// study judges the claim with each seed and writes what came out.
func (b *borderline) study(w io.Writer, seeds, workers int) error {
	c, err := b.load()
	if err != nil {
		return err
	}
	if b.tenth {
		seeds = (seeds + 9) / 10
	}
	runs := make([][]claim.Look, seeds)
	for s := range runs {
		o := claim.DefaultOptions()
		o.Seed, o.Workers = uint64(s+1), workers
		looks, err := claim.Looks(context.Background(), c, o)
		if err != nil {
			return fmt.Errorf("%s: %w", b.claim, err)
		}
		for _, at := range looks {
			runs[s] = append(runs[s], at[0])
		}
	}
	fmt.Fprintf(w, "\n%s, %s, %d seeds", b.claim, b.people, seeds)
	if b.why != "" {
		fmt.Fprintf(w, "; %s", b.why)
	}
	fmt.Fprintln(w)
	verdicts(w, runs)
	covered(w, "direction", runs, func(l *claim.Look) claim.Agreed { return l.Way })
	if c.Claimed != nil {
		covered(w, "with size", runs, func(l *claim.Look) claim.Agreed { return l.Size })
	}
	return nil
}

func (b *borderline) load() (*claim.Claim, error) {
	text, err := study.ClaimText(b.claim)
	if err != nil {
		return nil, err
	}
	if !strings.Contains(string(text), b.replace) {
		return nil, fmt.Errorf("%s: no line %q", b.claim, b.replace)
	}
	written := strings.Replace(string(text), b.replace, b.by, 1)
	c, err := study.ReadClaim(b.claim+".yaml", []byte(written))
	if err != nil {
		return nil, err
	}
	c.People = scenario.Survey(b.people)
	return c, nil
}

// stop is the look at which a test stops.
func stop(looks []claim.Look) int {
	for k := range looks {
		if looks[k].Enough {
			return k
		}
	}
	return len(looks) - 1
}

// verdicts writes which verdicts were given, the most frequent first, and how many differ
// from the most frequent of those that do not hang on the number of draws.
func verdicts(w io.Writer, runs [][]claim.Look) {
	type given struct {
		verdict claim.Verdict
		enough  bool
	}
	count := map[given]int{}
	draws, most, decided := 0, 0, 0
	for _, looks := range runs {
		at := &looks[stop(looks)]
		draws += at.Draws
		v := given{at.Verdict, at.Enough}
		if count[v]++; at.Enough {
			most, decided = max(most, count[v]), decided+1
		}
	}
	list := slices.SortedFunc(maps.Keys(count), func(a, b given) int { return cmp.Or(count[b]-count[a], int(a.verdict-b.verdict)) })
	for _, v := range list {
		fmt.Fprintf(w, "  %4d  %s", count[v], v.verdict)
		if !v.enough && v.verdict != claim.OpenSampling {
			fmt.Fprint(w, ", for want of draws")
		}
		fmt.Fprintln(w)
	}
	fmt.Fprintf(w, "  other than the most frequent verdict: %d of %d; left to sampling apart from these: %d; draws on average %d\n",
		decided-most, decided, len(runs)-decided, draws/len(runs))
}

func boolean(b bool) int {
	if b {
		return 1
	}
	return 0
}

// covered writes the share of the draws that agree over all seeds, and how many of the
// seeds' intervals hold that of the other seeds: at each look, at all of them, and at
// all up to that at which the test stops.
func covered(w io.Writer, of string, runs [][]claim.Look, agreed func(*claim.Look) claim.Agreed) {
	last := len(runs[0]) - 1
	share := make([]float64, len(runs))
	on := agreed(&runs[0][last]).On
	for s, looks := range runs {
		a := agreed(&looks[last])
		if a.On != on {
			fmt.Fprintf(w, "  %s: most of the draws agree on different verdicts\n", of)
			return
		}
		share[s] = a.Share.Value
	}
	mean, deviation := stat.MeanStdDev(share, nil)
	n := float64(len(runs))
	fmt.Fprintf(w, "  %s: %.2f ± %.2f of the draws say %q; standard deviation over the seeds %.2f\n", of, 100*mean, 100*deviation/math.Sqrt(n), on, 100*deviation)
	holds := make([]int, last+1)
	all, stopped := 0, 0
	for s, looks := range runs {
		truth := (n*mean - share[s]) / (n - 1)
		every, upto := true, true
		for k := range looks {
			a := agreed(&looks[k])
			in := a.On == on && a.Share.Low <= truth && truth <= a.Share.High
			holds[k] += boolean(in)
			every = every && in
			upto = upto && (in || k > stop(looks))
		}
		all, stopped = all+boolean(every), stopped+boolean(upto)
	}
	fmt.Fprintf(w, "    intervals that hold it, by look: %d; at all looks: %d; at all looks until a test stops: %d\n", holds, all, stopped)
}
