// Package nearest finds the name that a misspelt one was probably meant to be,
// for the "did you mean" of an error message.
package nearest

import "strings"

// Nearest returns the entry of of that is fewest slips away from name, and
// whether there is one close enough to be worth suggesting: at most one slip
// for every three letters of the longer of the two, but one in short names.
// Of equally near entries the first wins. Case is ignored.
//
// A slip is a letter inserted, left out or replaced, or two neighbours swapped
// (Damerau, "A technique for computer detection and correction of spelling
// errors", Communications of the ACM 7(3), 1964, 171–176; in the form that
// edits no letter twice, known as optimal string alignment).
func Nearest(name string, of []string) (string, bool) {
	typed := []rune(strings.ToLower(name))
	best, found, fewest := "", false, 0
	for _, candidate := range of {
		meant := []rune(strings.ToLower(candidate))
		longer := max(len(typed), len(meant))
		d := distance(typed, meant)
		// d < longer: names that share no letter are not near, however short.
		if d <= max(1, longer/3) && d < longer && (!found || d < fewest) {
			best, found, fewest = candidate, true, d
		}
	}
	return best, found
}

// distance counts the slips between a and b.
func distance(a, b []rune) int {
	// Rows of the usual table: two letters back, one back, and the current one.
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			replace := last[j-1]
			if a[i-1] != b[j-1] {
				replace++
			}
			row[j] = min(last[j]+1, row[j-1]+1, replace)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}
