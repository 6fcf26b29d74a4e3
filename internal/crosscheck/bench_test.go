package main

import (
	"fmt"
	"os"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"counterpoise/internal/golden"
)

// columns returns the numbers that a pattern captures in a file, by group, each sorted.
func columns(t *testing.T, file, pattern string) (list [][]float64) {
	t.Helper()
	data := golden.Must(os.ReadFile("../../testdata/" + file))(t)
	found := regexp.MustCompile("(?m)"+pattern).FindAllStringSubmatch(string(data), -1)
	if len(found) < 3 {
		t.Fatalf("%s has %d runs like %q", file, len(found), pattern)
	}
	list = make([][]float64, len(found[0])-1)
	for _, m := range found {
		for k, text := range m[1:] {
			x := golden.Must(strconv.ParseFloat(text, 64))(t)
			list[k] = append(list[k], x)
		}
	}
	for _, column := range list {
		slices.Sort(column)
	}
	return list
}

func middle(sorted []float64) float64 { return sorted[len(sorted)/2] }

// The tables of how fast it is are those of the raw outputs beside them.
func TestSpeedAsMeasured(t *testing.T) {
	const timed, ours, theirs = ` +([0-9.]+) s wall, ([0-9.]+) s user, ([0-9.]+) s system, ([0-9]+) kB peak`, 10e6, 1e6
	var rate [2]float64
	text := "| | bodies | wall | CPU | bodies a second | peak memory |\n|---|---|---|---|---|---|\n"
	for k, of := range []struct {
		name   string
		bodies float64
	}{{"counterpoise", ours}, {"numpy", theirs}} {
		c := columns(t, "bench/compare.txt", "^"+of.name+timed)
		rate[k] = of.bodies / middle(c[0])
		text += fmt.Sprintf("| %s | %.0f million | %.1f s | %.1f s | %.2f million | %.2f GB |\n", of.name, of.bodies/1e6, middle(c[0]), middle(c[1])+middle(c[2]), rate[k]/1e6, middle(c[3])/1e6)
	}
	text += fmt.Sprintf("| ratio | | | | %.0f | |\n", rate[0]/rate[1])
	golden.Section(t, "testdata/bench/README.md", "numpy", text)

	text = "| bodies | wall | CPU | peak memory | files |\n|---|---|---|---|---|\n"
	for _, bodies := range []string{"100000", "1000000", "10000000", "100000000"} {
		c := columns(t, "bench/linear.txt", "^"+bodies+" ([0-9.]+) ([0-9.]+) ([0-9.]+) ([0-9]+) ([0-9]+)$")
		text += fmt.Sprintf("| %s | %.1f s | %.1f s | %.2f GB | %.2f GB |\n", bodies, middle(c[0]), middle(c[1])+middle(c[2]), middle(c[3])/1e6, middle(c[4])/1e6)
	}
	golden.Section(t, "testdata/bench/README.md", "linear", text)

	we, turns := middle(columns(t, "bench/drivers/compare.txt", `^counterpoise ([0-9.]+) s`)[0]), middle(columns(t, "bench/drivers/compare.txt", `^openturns +([0-9.]+) s`)[0])
	golden.Section(t, "testdata/bench/README.md", "openturns", fmt.Sprintf("%.3f s against %.2f s, a ratio of %.0f.", we, turns, turns/we))

	c := columns(t, "slurm/overhead.txt", `^round \d: one run ([0-9.]+) s, 64 shards and gather ([0-9.]+) s, ratio ([0-9.]+)$`)
	golden.Section(t, "testdata/slurm/README.md", "overhead", fmt.Sprintf("One run %.1f s, 64 shards and gather %.1f s (medians of %d rounds); the ratio was %.2f to %.2f.",
		middle(c[0]), middle(c[1]), len(c[2]), c[2][0], c[2][len(c[2])-1]))
}
