package study

import (
	"strings"
	"testing"
)

// No text makes the reader of holds panic, and every message is of lines that can be
// printed.
func FuzzReadHold(f *testing.F) {
	text, err := NewHold("mine")
	if err != nil {
		f.Fatal(err)
	}
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
