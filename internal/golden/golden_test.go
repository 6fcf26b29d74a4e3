package golden

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"strings"
	"testing"
)

func encode(t *testing.T, width, height int, dot color.Color) []byte {
	t.Helper()
	m := image.NewRGBA(image.Rect(0, 0, width, height))
	m.Set(2, 1, dot)
	var b bytes.Buffer
	if err := png.Encode(&b, m); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestPictureDifference(t *testing.T) {
	base := encode(t, 5, 3, color.RGBA{90, 60, 30, 255})
	for _, c := range []struct {
		name      string
		got       []byte
		tolerance int
		want      string // part of the message; empty for none
	}{
		{"same", base, 0, ""},
		{"one channel by 7, allowed 7", encode(t, 5, 3, color.RGBA{90, 67, 30, 255}), 7, ""},
		{"one channel by 7, allowed 6", encode(t, 5, 3, color.RGBA{90, 53, 30, 255}), 6, "1 pixels differ by more than 6 of 255, the first at (2,1)"},
		{"same number of pixels, other shape", encode(t, 3, 5, color.RGBA{90, 60, 30, 255}), 255, "bounds (0,0)-(3,5), want (0,0)-(5,3)"},
		{"not a picture", []byte("this is text, no picture"), 255, "png: invalid format"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := pictureDifference(c.got, base, c.tolerance)
			if (got == "") != (c.want == "") || !strings.Contains(got, c.want) {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

func TestFirstDifference(t *testing.T) {
	for _, c := range []struct{ got, want, message string }{
		{"a\nb\nc", "a\nx\nc", "line 2 is\n\tb\nwant\n\tx\n"},
		{"a\nb\nc", "a\nb", "3 lines, want 2"},
	} {
		if m := firstDifference([]byte(c.got), []byte(c.want)); m != c.message {
			t.Errorf("%q against %q: %q, want %q", c.got, c.want, m, c.message)
		}
	}
}
