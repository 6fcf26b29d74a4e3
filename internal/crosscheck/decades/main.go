// Command decades sets the public beside soldiers: what the human flag asks of untrained
// women and men by decade of age, and the share who could.
//
// Run it from the module's folder; it takes a few seconds:
//
//	go run ./internal/crosscheck/decades > testdata/bench/decades.md
package main

import (
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"slices"

	untrained "counterpoise/internal/app/hold"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
)

const (
	seed          = 1
	defaultBodies = 16384
)

// pairs are the public and the soldiers of one sex.
var pairs = [][2]string{{"us-women", "ansur2-women"}, {"us-men", "ansur2-men"}}

// decades are ages at the last birthday, the first row everybody's.
var decades = []anthro.Interval{{Low: math.Inf(-1), High: math.Inf(1)}, {Low: 17, High: 29}, {Low: 30, High: 39}, {Low: 40, High: 49}, {Low: 50, High: 59}}

func main() {
	n := flag.Int("n", defaultBodies, "bodies drawn of each group")
	tried := flag.Int("tried", untrained.UntrainedBodies, "bodies of each that are set against untrained strength")
	flag.Parse()
	if err := table(os.Stdout, *n, *tried); err != nil {
		fmt.Fprintln(os.Stderr, "decades:", err)
		os.Exit(1)
	}
}

// table writes the table in Markdown.
func table(w io.Writer, n, tried int) error {
	fmt.Fprintf(w, `# The human flag by decade of age: the public beside soldiers

Medians of %s drawn bodies, at the central assumptions, seed %d. Taught rule: the force of the lift-and-turn rule, the
same along both arms, whose forces do not balance; force: the larger along an arm in equilibrium. Difficulty: times
the strength of the median untrained adult of the same sex, size, build and age, and in brackets from all norms the highest that
were published to all the lowest. Could: the share of untrained adults who could hold it for a moment, likewise.

| people | age | mass | taught rule | force | difficulty | could |
|---|---|---|---|---|---|---|
`, words.Count(n), seed)
	for _, pair := range pairs {
		for _, ages := range decades {
			for _, name := range pair {
				row, err := rowOf(name, ages, n, tried)
				if err != nil {
					return fmt.Errorf("%s, %v: %w", name, ages, err)
				}
				fmt.Fprintln(w, row)
			}
		}
	}
	return nil
}

// rowOf is the row of the people of an age.
func rowOf(name string, ages anthro.Interval, n, tried int) (string, error) {
	s := scenario.Scenario{
		Hold: hold.HumanFlag, People: scenario.Survey(name),
		Models: []scenario.Model{scenario.DefaultModel(hold.Equilibrium), scenario.DefaultModel(hold.TwoCondition)},
	}
	told := "all"
	if !math.IsInf(ages.Low, 0) {
		s.Where = []anthro.Range{{Of: anthro.Of(anthro.Age), Low: ages.Low, High: ages.High}}
		told = fmt.Sprintf("to %.0f", ages.High)
		if ages.Low > decades[1].Low {
			told = fmt.Sprintf("%.0f–%.0f", ages.Low, ages.High)
		}
	}
	masses, forces, err := heldUp(&s, n)
	if err != nil {
		return "", err
	}
	u, err := s.Untrained(tried, seed)
	if err != nil {
		return "", err
	}
	force := func(m int) string {
		kilograms := make([]float64, n)
		for i := range kilograms {
			kilograms[i] = forces[m][i] * masses[i]
		}
		return words.Number(median(forces[m]), 3) + " BW, " + words.Number(median(kilograms), 1) + " kg"
	}
	published := u.Published
	return fmt.Sprintf("| %s | %s | %s kg | %s | %s | %s (%s–%s) | %s (%s–%s) |", name, told, words.Number(median(masses), 1), force(1), force(0),
		words.Number(u.Difficulty, 2), words.Number(published.Difficulty.Low, 2), words.Number(published.Difficulty.High, 2),
		words.Share(u.Could), words.Share(published.Could.Low), words.Share(published.Could.High)), nil
}

// heldUp draws bodies, and returns their masses, kg, and the forces, BW, by model.
func heldUp(s *scenario.Scenario, n int) (masses []float64, forces [][]float64, err error) {
	parts, err := s.Parts()
	if err != nil {
		return nil, nil, err
	}
	people, assumed, setup := anthro.NewPeople(n), s.Assumed(), scenario.NewSetup(s)
	if err := parts[0].Source(seed, false).Fill(people); err != nil {
		return nil, nil, err
	}
	cases := names.Each(s.Models, func(m scenario.Model) scenario.Case {
		return scenario.Case{Setup: setup, Model: m.Statics, Builder: parts[0].Builder(m), Assume: &assumed.Centre}
	})
	forces = montecarlo.Columns(len(cases), n)
	err = scenario.NewBench(scenario.TileRows, []hold.Demand{hold.RequiredForce}, nil).Run(people, cases, func(k int, t *scenario.Tile) error {
		copy(forces[k][t.From:], t.First.Result.Value[hold.RequiredForce])
		return nil
	})
	return people.Value[anthro.Mass], forces, err
}

func median(values []float64) float64 {
	return montecarlo.Quantile(slices.Sorted(slices.Values(values)), 0.5)
}
