package study

import (
	"strings"
	"testing"

	"counterpoise/internal/golden"
)

// No text makes the reader of holds panic, and every message is of lines that can be
// printed.
func FuzzReadHold(f *testing.F) {
	text := golden.Must(NewHold("mine"))(f)
	f.Add(text)
	f.Fuzz(func(t *testing.T, text []byte) {
		o, err := ReadOutline("f", text)
		if (o == nil) == (err == nil) {
			t.Fatalf("%v, %v", o, err)
		}
		if err == nil {
			return
		}
		for _, line := range strings.Split(err.Error(), "\n") {
			if !strings.HasPrefix(line, "f:") || strings.ContainsFunc(line, isControl) {
				t.Errorf("message %q", line)
			}
		}
	})
}
