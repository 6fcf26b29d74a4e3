package drivers

import (
	"math"
	"testing"
)

// Options are allowed up to their ends and refused beyond.
func TestEndsOfOptions(t *testing.T) {
	for _, c := range []struct {
		name    string
		o       Options
		allowed bool
	}{
		{"none", Options{}, true},
		{"base 2", Options{Base: 2}, true}, {"base 1", Options{Base: 1}, false}, {"base 3", Options{Base: 3}, false}, {"base -2", Options{Base: -2}, false},
		{"base 2^30", Options{Base: 1 << 30}, true}, {"base 2^31", Options{Base: 1 << 31}, false},
		{"replicates 4", Options{Replicates: 4}, true}, {"replicates 3", Options{Replicates: 3}, false},
		{"replicates 2^20", Options{Replicates: 1 << 20}, true}, {"replicates 2^20+1", Options{Replicates: 1<<20 + 1}, false},
		{"confidence 0.999", Options{Confidence: 0.999}, true}, {"confidence 1", Options{Confidence: 1}, false}, {"confidence -0.1", Options{Confidence: -0.1}, false},
		{"until", Options{Until: 1e-9, MaxEvaluations: 1}, true}, {"until without end", Options{Until: 1e-9}, false},
		{"until -1", Options{Until: -1, MaxEvaluations: 1}, false}, {"until infinity", Options{Until: math.Inf(1), MaxEvaluations: 1}, false},
		{"an end of 0", Options{Until: 0.1, MaxEvaluations: 0}, false}, {"an end below 0", Options{Until: 0.1, MaxEvaluations: -1}, false},
		{"an end alone", Options{MaxEvaluations: 1}, false},
		{"workers 0", Options{Workers: 0}, true}, {"workers 1", Options{Workers: 1}, true}, {"workers -1", Options{Workers: -1}, false},
	} {
		if _, err := c.o.checked(); (err == nil) != c.allowed {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	for _, c := range []struct {
		name    string
		o       MorrisOptions
		allowed bool
	}{
		{"none", MorrisOptions{}, true},
		{"trajectories 4", MorrisOptions{Trajectories: 4}, true}, {"trajectories 3", MorrisOptions{Trajectories: 3}, false},
		{"trajectories 2^24", MorrisOptions{Trajectories: 1 << 24}, true}, {"trajectories 2^24+1", MorrisOptions{Trajectories: 1<<24 + 1}, false},
		{"levels 4", MorrisOptions{Levels: 4}, true}, {"levels 2", MorrisOptions{Levels: 2}, false}, {"levels 5", MorrisOptions{Levels: 5}, false},
		{"levels 2^16", MorrisOptions{Levels: 1 << 16}, true}, {"levels 2^16+2", MorrisOptions{Levels: 1<<16 + 2}, false},
		{"confidence 0.5", MorrisOptions{Confidence: 0.5}, true}, {"confidence 1", MorrisOptions{Confidence: 1}, false}, {"confidence -1", MorrisOptions{Confidence: -1}, false},
		{"workers 1", MorrisOptions{Workers: 1}, true}, {"workers -1", MorrisOptions{Workers: -1}, false},
	} {
		if _, err := c.o.checked(); (err == nil) != c.allowed {
			t.Errorf("elementary effects, %s: %v", c.name, err)
		}
	}
}
