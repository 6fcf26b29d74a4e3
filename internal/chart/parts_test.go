package chart

import (
	"image/color"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/words"
)

func TestTicks(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		most      int
		want      []float64
		decimals  int
	}{
		{10, 80, 9, []float64{10, 20, 30, 40, 50, 60, 70, 80}, 0},
		{-0.021, 0.047, 5, []float64{-0.02, 0, 0.02, 0.04}, 2},
		{0.46, 1.85, 6, []float64{0.5, 1, 1.5}, 1},
		{3, 7400, 4, []float64{2000, 4000, 6000}, 0},
		{0.05, 0.65, 8, []float64{0.1, 0.2, 0.3, 0.4, 0.5, 0.6}, 1}, // 0.3, not 0.30000000000000004
	} {
		got, decimals := ticks(c.low, c.high, c.most)
		if !slices.Equal(got, c.want) || decimals != c.decimals {
			t.Errorf("ticks(%v, %v, %d) = %v, %d; want %v, %d", c.low, c.high, c.most, got, decimals, c.want, c.decimals)
		}
	}
}

// Ticks are inside, evenly apart, not too many, and told apart when printed.
func TestTicksProperties(t *testing.T) {
	random := rand.New(rand.NewChaCha8([32]byte{7, 3}))
	for range 5000 {
		low := random.NormFloat64() * math.Pow10(random.IntN(9)-4)
		high := low + random.ExpFloat64()*math.Pow10(random.IntN(9)-4) + 1e-9*math.Abs(low)
		most := 2 + random.IntN(9)
		values, decimals := ticks(low, high, most)
		if len(values) > most {
			t.Fatalf("ticks(%v, %v, %d) gives %d", low, high, most, len(values))
		}
		slack := 1e-6 * (high - low)
		for i, v := range values {
			if v < low-slack || v > high+slack {
				t.Fatalf("ticks(%v, %v, %d): %v is outside", low, high, most, v)
			}
			if i > 0 && words.Number(v, decimals) == words.Number(values[i-1], decimals) {
				t.Fatalf("ticks(%v, %v, %d): %v twice", low, high, most, words.Number(v, decimals))
			}
		}
	}
}

// Pictures write numbers as texts do: a threshold as it was chosen, thousands with
// commas, small shares by the same rule.
func TestNumbersAreThoseOfTexts(t *testing.T) {
	of := func(tooSmall float64) string { return EffectDistribution{TooSmall: tooSmall, Unit: "%"}.zone() }
	foot, err := Foot{People: "men", N: 100_000, Model: "m", Assumptions: "a", Source: "s"}.line()
	if err != nil || !strings.Contains(foot, "n\u00a0=\u00a0100,000.") {
		t.Errorf("%q, %v", foot, err)
	}
	for _, c := range []struct{ got, want string }{
		{of(3.7), "3.7\u00a0%"}, {of(1.5), "1.5\u00a0%"}, {of(1), "1\u00a0%"}, {of(10), "10\u00a0%"},
		{share(0), "0\u00a0%"}, {share(0.003), "0.3\u00a0%"}, {share(0.0003), "under\u00a00.1\u00a0%"}, {share(0.974), "97.4\u00a0%"}, {share(1), "100\u00a0%"},
		{part(0), "0\u00a0%"}, {part(0.1234), "12.3\u00a0%"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// The RGB values of Okabe & Ito 2008, recalled, not looked up.
func TestPalette(t *testing.T) {
	for _, c := range []struct {
		got  color.RGBA
		want [3]uint8
	}{
		{orange, [3]uint8{230, 159, 0}},
		{skyBlue, [3]uint8{86, 180, 233}},
		{bluishGreen, [3]uint8{0, 158, 115}},
		{yellow, [3]uint8{240, 228, 66}},
		{blue, [3]uint8{0, 114, 178}},
		{vermillion, [3]uint8{213, 94, 0}},
		{reddishPurple, [3]uint8{204, 121, 167}},
	} {
		if (color.RGBA{c.want[0], c.want[1], c.want[2], 255}) != c.got {
			t.Errorf("colour %v, want %v", c.got, c.want)
		}
	}
}

// The guidelines' ends of the scale: 21:1 and 1:1; and 4.48:1 for the grey
// #777777 on white, which is known to fail by a hair (recalled).
func TestContrast(t *testing.T) {
	white, black, grey := color.RGBA{255, 255, 255, 255}, color.RGBA{0, 0, 0, 255}, color.RGBA{0x77, 0x77, 0x77, 255}
	for _, c := range []struct {
		a, b color.RGBA
		want float64
	}{{white, black, 21}, {black, white, 21}, {grey, grey, 1}, {grey, white, 4.48}} {
		if got := contrast(c.a, c.b); math.Abs(got-c.want) > 0.005 {
			t.Errorf("contrast of %v and %v is %v, want %v", c.a, c.b, got, c.want)
		}
	}
}

func TestClipSegment(t *testing.T) {
	r := rect{2, 3, 12, 8}
	random := rand.New(rand.NewChaCha8([32]byte{5, 9}))
	between := func(low, high float64) float64 { return low + (high-low)*random.Float64() }
	for range 3000 {
		a := point{between(-5, 20), between(-5, 16)}
		b := point{between(-5, 20), between(-5, 16)}
		c, d, ok := clipSegment(a, b, r)
		// By walking: points of the segment inside r must lie between c and d.
		for step := range 101 {
			u := float64(step) / 100
			p := point{a.x + u*(b.x-a.x), a.y + u*(b.y-a.y)}
			if !p.inside(r) {
				continue
			}
			if !ok {
				t.Fatalf("segment %v–%v: %v is inside, but nothing is kept", a, b, p)
			}
			if along := (p.x-c.x)*(d.x-p.x) + (p.y-c.y)*(d.y-p.y); along < -1e-9 {
				t.Fatalf("segment %v–%v: %v is inside, but outside %v–%v", a, b, p, c, d)
			}
		}
		if ok && (!c.inside(r.grow(1e-9)) || !d.inside(r.grow(1e-9))) {
			t.Fatalf("segment %v–%v: kept %v–%v", a, b, c, d)
		}
	}
}

func TestClipLineInPieces(t *testing.T) {
	r := rect{2, 3, 12, 8}
	pieces := clipLine([]point{{3, 5}, {5, 13}, {7, 4}, {9, 6}}, r)
	// Down through y = 8 at x = 3.75, back up through it at 5 + 2·5/9.
	want := [][]point{{{3, 5}, {3.75, 8}}, {{5 + 10.0/9, 8}, {7, 4}, {9, 6}}}
	if len(pieces) != 2 || len(pieces[0]) != 2 || len(pieces[1]) != 3 {
		t.Fatalf("pieces %v, want %v", pieces, want)
	}
	for i := range want {
		for k := range want[i] {
			if math.Hypot(pieces[i][k].x-want[i][k].x, pieces[i][k].y-want[i][k].y) > 1e-12 {
				t.Errorf("pieces %v, want %v", pieces, want)
			}
		}
	}
}

// A triangle with its tip cut off half way up has three quarters of its area.
func TestClipPolygonArea(t *testing.T) {
	triangle := []point{{1, 10}, {9, 10}, {4, 2}}
	got := shoelace(clipPolygon(triangle, rect{0, 6, 20, 30}))
	if want := 0.75 * shoelace(triangle); math.Abs(got-want) > 1e-12 {
		t.Errorf("area %v, want %v", got, want)
	}
	if got := clipPolygon(triangle, rect{0, 11, 20, 30}); len(got) != 0 {
		t.Errorf("all outside, but %v is kept", got)
	}
}

// Wrapping loses no word, and balancing needs no more lines.
func TestWrapKeepsWords(t *testing.T) {
	text := "Longer arms make the flag easier for nearly everybody by 0.04\u00a0BW in one model, and change little in the other"
	for width := 120.0; width < 900; width += 13 {
		plain, err := wrap(text, true, 21, width)
		if err != nil {
			continue
		}
		even, err := balance(text, true, 21, width)
		if err != nil {
			t.Fatal(err)
		}
		if len(even) != len(plain) {
			t.Errorf("width %v: %d balanced lines, %d plain ones", width, len(even), len(plain))
		}
		var all []string
		for _, l := range even {
			if textWidth(l, true, 21) > width {
				t.Errorf("width %v: %q is wider", width, l)
			}
			all = append(all, wordsOf(l)...)
		}
		if !slices.Equal(all, wordsOf(text)) {
			t.Errorf("width %v: %q", width, all)
		}
	}
}
