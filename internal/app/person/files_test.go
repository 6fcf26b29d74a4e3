package person

import (
	"slices"
	"testing"
)

func TestFileNames(t *testing.T) {
	got := FileNames([]string{"Ada", "Bo B.", "../../etc/passwd", "李雷", "ada!", "4"})
	want := []string{"ada", "bo-b", "etc-passwd", "4", "ada-5", "4-6"}
	if !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	// A number may be somebody's name.
	if got := FileNames([]string{"Ada 3", "Ada", "Ada", "3", "", "Ada-4"}); len(slices.Compact(slices.Sorted(slices.Values(got)))) != len(got) {
		t.Errorf("two persons have one folder: %q", got)
	}
}
