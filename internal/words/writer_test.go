package words

import (
	"bytes"
	"strings"
	"testing"
)

// No line ends between a number and its unit, and none is too long.
func TestFold(t *testing.T) {
	var out bytes.Buffer
	w := &Writer{W: &out}
	text := strings.Repeat("about 0.951 BW (0.900 to 1.012 BW), as 68.4 kg or 31 % of 61.3 N·m; ", 12)
	w.Wrap("First     ", "          ", text)
	if got := strings.Fields(out.String()); strings.Join(got[1:], " ") != strings.TrimSpace(text) {
		t.Error("the words changed")
	}
	for _, line := range strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n") {
		if len([]rune(line)) > width {
			t.Errorf("%d characters: %s", len([]rune(line)), line)
		}
		if first := strings.Fields(line)[0]; first == "BW" || first == "kg" || first == "%" || first == "N·m;" {
			t.Errorf("a line begins with a unit: %s", line)
		}
	}
}
