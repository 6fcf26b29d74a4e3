package drawtest

import (
	"fmt"
	"sync"
	"testing"

	"counterpoise/internal/draw"
)

// A width out of the letters that were measured before is the font's own, to the bit,
// whoever measures at the same time.
func TestTextWidthIsTheFonts(t *testing.T) {
	texts := []string{"", " ", "A", "AVAVA WAVE Te To", "fi ffl", "5–95\u00a0%", "BW·m", "40°", "−0.038", "“Ärger”, žluťoučký", "\xff\xfeT", "人", LongName, LongWord, LongSentence}
	for a := rune(' '); a < 0x180; a += 3 { // pairs that nobody chose
		for b := rune('!'); b < 0x80; b += 5 {
			texts = append(texts, fmt.Sprintf("%c%c%c", a, b, a))
		}
	}
	var wait sync.WaitGroup
	for range 2 {
		wait.Go(func() {
			for _, text := range texts {
				for _, bold := range []bool{false, true} {
					f := draw.Face(bold)
					for range 2 { // learned, and known
						if got, want := draw.TextWidth(text, bold, 7.3), f.Width(text).Points()*7.3; got != want {
							t.Errorf("%q, bold %v: %v, the font says %v", text, bold, got, want)
						}
					}
				}
			}
		})
	}
	wait.Wait()
}
