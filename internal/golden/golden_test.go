package golden

import "testing"

func TestFirstDifference(t *testing.T) {
	for _, c := range []struct{ got, want, message string }{
		{"a\nb\nc", "a\nx\nc", "line 2 is\n\tb\nwant\n\tx\n"},
		{"a\nb\nc", "a\nb", "3 lines, want 2"},
		{"\x89PNG\n1", "\x89PNG\n2", "other bytes"},
	} {
		if m := firstDifference([]byte(c.got), []byte(c.want)); m != c.message {
			t.Errorf("%q against %q: %q, want %q", c.got, c.want, m, c.message)
		}
	}
}
