package plain_test

import (
	"fmt"
	"strings"
	"testing"
	"unicode"

	"counterpoise/sim/plain"
)

func ExampleShown() {
	fmt.Println(plain.Shown("arms\u202e \x1b[31mred, 10 %"))
	// Output: arms\u202e \u001b[31mred, 10 %
}

// What Unicode calls control characters is obeyed but for line ends and tabs, and no
// letter, mark, number or sign is.
func TestObeyed(t *testing.T) {
	for r := rune(0); r <= unicode.MaxRune; r++ {
		switch {
		case unicode.IsControl(r) && r != '\n' && r != '\t' || unicode.Is(unicode.Bidi_Control, r) && r >= 0x202a:
			if !plain.Obeyed(r) {
				t.Errorf("%U is not", r)
			}
		case unicode.IsGraphic(r) && plain.Obeyed(r):
			t.Errorf("%U is", r)
		}
	}
	for _, text := range []string{"a\x9bb", "\xff", "a\u0085b", "\u2066x\u2069", "\x00"} {
		shown := plain.Shown(text)
		if strings.ContainsFunc(shown, plain.Obeyed) || plain.Shown(shown) != shown || plain.CheckText("says", text) == nil {
			t.Errorf("%q: %q", text, shown)
		}
	}
}

func TestNames(t *testing.T) {
	for _, name := range []string{"longer-arms", "Longer arms", "bras plus longs", "腕が長い", "console", "com10", "a.b", "NULL", strings.Repeat("x", plain.MostName)} {
		if err := plain.CheckName("claim", name); err != nil {
			t.Error(err)
		}
	}
	for _, name := range []string{
		"CON", "nul", "aux.txt", "Com1", "lpt9.tar.gz", "COM¹", "PRN ", "con .x", "a/b", `a\b`, "a:b", "what?", "..", ".", ".hidden", "end.", " x", "x ",
		"tab\there", "line\nend", "\u202ex", strings.Repeat("é", plain.MostName/2+1),
	} {
		if plain.CheckName("claim", name) == nil {
			t.Errorf("%q is allowed", name)
		}
	}
	if err := plain.CheckText("says", strings.Repeat("x", plain.MostText+1)); err == nil {
		t.Error("a long text is allowed")
	}
}
