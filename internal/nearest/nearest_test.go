package nearest

import "testing"

func TestNearest(t *testing.T) {
	names := []string{"stature", "span", "sitting_height", "hip_breadth", "mass"}
	tests := []struct {
		name string
		want string
		ok   bool
	}{
		{"stature", "stature", true},
		{"Stature", "stature", true},
		{"statrue", "stature", true},              // neighbours swapped
		{"satture", "stature", true},              // neighbours swapped
		{"statur", "stature", true},               // left out
		{"spann", "span", true},                   // inserted
		{"spin", "span", true},                    // replaced
		{"siting-height", "sitting_height", true}, // two slips in fourteen letters
		{"hip_breadht", "hip_breadth", true},
		{"statxyz", "", false}, // three slips in seven letters
		{"weight", "", false},
		{"height", "", false},
		{"", "", false},
	}
	for _, test := range tests {
		got, ok := Nearest(test.name, names)
		if got != test.want || ok != test.ok {
			t.Errorf("Nearest(%q) = %q, %t; want %q, %t", test.name, got, ok, test.want, test.ok)
		}
	}
}

func TestNearestPrefersTheFirstOfEquals(t *testing.T) {
	if got, _ := Nearest("bar", []string{"bat", "car", "bar2"}); got != "bat" {
		t.Errorf("got %q, want the first of three equally near names", got)
	}
}

func TestNearestOffersNothingForOneStrangeLetter(t *testing.T) {
	if got, ok := Nearest("q", []string{"m", "s"}); ok {
		t.Errorf("offered %q for a name that shares no letter with it", got)
	}
}

func TestDistance(t *testing.T) {
	tests := []struct {
		a, b string
		want int
	}{
		{"", "", 0},
		{"", "abc", 3},
		// Levenshtein's textbook pair: two replacements, one insertion.
		{"kitten", "sitting", 3},
		{"abcd", "acbd", 1},
		// The pair on which optimal string alignment (3) parts from the
		// unrestricted distance (2): it may not edit inside a swap.
		{"ca", "abc", 3},
		{"münze", "mütze", 1},
	}
	for _, test := range tests {
		for _, pair := range [][2]string{{test.a, test.b}, {test.b, test.a}} {
			if got := distance([]rune(pair[0]), []rune(pair[1])); got != test.want {
				t.Errorf("distance(%q, %q) = %d, want %d", pair[0], pair[1], got, test.want)
			}
		}
	}
}
