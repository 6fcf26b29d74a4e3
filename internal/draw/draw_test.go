package draw

import (
	"image/color"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/words"
)

func TestVerifyRefuses(t *testing.T) {
	for _, c := range []struct {
		name string
		add  func(s *Sheet)
		want string
	}{
		{"text off the right edge", func(s *Sheet) { s.Text("far out", 500, 300, AlignLeft, false, 20, s.Theme.Ink) }, "no room"},
		{"text off the top", func(s *Sheet) { s.Text("high", 100, 5, AlignLeft, false, 20, s.Theme.Ink) }, "no room"},
		{"text over text", func(s *Sheet) {
			s.Text("one", 100, 300, AlignLeft, false, 20, s.Theme.Ink)
			s.Text("other", 110, 310, AlignLeft, false, 20, s.Theme.Ink)
		}, `"other" would lie over "one"`},
		{"not a number", func(s *Sheet) { s.Disc(s.Theme.Ink, Point{math.NaN(), 7}, 3) }, "not finite"},
		{"infinite", func(s *Sheet) { s.Stroke(s.Theme.Ink, 1, nil, Point{3, 7}, Point{9, math.Inf(1)}) }, "not finite"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := &Sheet{Size: Post, Theme: Light}
			if err := s.verify(); err != nil {
				t.Fatal(err)
			}
			c.add(s)
			if err := s.verify(); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
}

// A number stays with what it is of where a headline takes no more lines by that.
func TestHeadline(t *testing.T) {
	s := &Sheet{Size: Post, Theme: Light}
	const text = "Human flag, arms longer: not settled, 0.2\u00a0% easier to 1.5\u00a0% harder for everybody"
	apart, together := 0, 0
	for width := 200.0; width < 900; width += 7 {
		s.Body = Rect{0, 0, width, 500}
		lines, err := s.Headline(text, 24)
		plain, _ := s.Balance(text, true, 24, width)
		if err != nil || len(lines) != len(plain) {
			t.Fatalf("%v: %q, want as many lines as %q", err, lines, plain)
		}
		if slices.ContainsFunc(plain, func(line string) bool { return strings.HasSuffix(line, "%") }) {
			apart++
			if !slices.ContainsFunc(lines, func(line string) bool { return strings.HasSuffix(line, "%") }) {
				together++
			}
		}
	}
	if together == 0 || 2*together < apart {
		t.Errorf("%d headlines of %d are mended", together, apart)
	}
}

// What is known of a letter's width does not depend on what was measured before.
func TestMeasure(t *testing.T) {
	fresh := &letters{pairs: map[[2]rune]int{}}
	const text = "To AVA: −12\u00a0% “Ärger” fi 0.5°"
	face := Face(false)
	for i, r := range text {
		upTo := text[:i] + string(r)
		width, fits := fresh.measure(upTo, 1, math.Inf(1))
		if want := face.Width(upTo).Points(); math.Abs(width-want) > 1e-3 || fits != len(upTo) {
			t.Errorf("%q is %v wide, want %v", upTo, width, want)
		}
		if most, fits := fresh.measure(text, 1, width); most != width || fits < len(upTo) {
			t.Errorf("of %q %d bytes fit into %v", text, fits, width)
		}
	}
}

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
		got, decimals := Ticks(c.low, c.high, c.most)
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
		values, decimals := Ticks(low, high, most)
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

// The guidelines' ends of the scale: 21:1 and 1:1; and 4.48:1 for the grey
// #777777 on white, which is known to fail by a hair (recalled).
func TestContrast(t *testing.T) {
	white, black, grey := color.RGBA{255, 255, 255, 255}, color.RGBA{0, 0, 0, 255}, color.RGBA{0x77, 0x77, 0x77, 255}
	for _, c := range []struct {
		a, b color.RGBA
		want float64
	}{{white, black, 21}, {black, white, 21}, {grey, grey, 1}, {grey, white, 4.48}} {
		if got := Contrast(c.a, c.b); math.Abs(got-c.want) > 0.005 {
			t.Errorf("contrast of %v and %v is %v, want %v", c.a, c.b, got, c.want)
		}
	}
}

func TestClipSegment(t *testing.T) {
	r := Rect{2, 3, 12, 8}
	random := rand.New(rand.NewChaCha8([32]byte{5, 9}))
	between := func(low, high float64) float64 { return low + (high-low)*random.Float64() }
	for range 3000 {
		a := Point{between(-5, 20), between(-5, 16)}
		b := Point{between(-5, 20), between(-5, 16)}
		c, d, ok := ClipSegment(a, b, r)
		// By walking: points of the segment inside r must lie between c and d.
		for step := range 101 {
			u := float64(step) / 100
			p := Point{a.X + u*(b.X-a.X), a.Y + u*(b.Y-a.Y)}
			if !p.Inside(r) {
				continue
			}
			if !ok {
				t.Fatalf("segment %v–%v: %v is inside, but nothing is kept", a, b, p)
			}
			if along := (p.X-c.X)*(d.X-p.X) + (p.Y-c.Y)*(d.Y-p.Y); along < -1e-9 {
				t.Fatalf("segment %v–%v: %v is inside, but outside %v–%v", a, b, p, c, d)
			}
		}
		if ok && (!c.Inside(r.Grow(1e-9)) || !d.Inside(r.Grow(1e-9))) {
			t.Fatalf("segment %v–%v: kept %v–%v", a, b, c, d)
		}
	}
}

func TestClipLineInPieces(t *testing.T) {
	r := Rect{2, 3, 12, 8}
	pieces := ClipLine([]Point{{3, 5}, {5, 13}, {7, 4}, {9, 6}}, r)
	// Down through y = 8 at x = 3.75, back up through it at 5 + 2·5/9.
	want := [][]Point{{{3, 5}, {3.75, 8}}, {{5 + 10.0/9, 8}, {7, 4}, {9, 6}}}
	if len(pieces) != 2 || len(pieces[0]) != 2 || len(pieces[1]) != 3 {
		t.Fatalf("pieces %v, want %v", pieces, want)
	}
	for i := range want {
		for k := range want[i] {
			if math.Hypot(pieces[i][k].X-want[i][k].X, pieces[i][k].Y-want[i][k].Y) > 1e-12 {
				t.Errorf("pieces %v, want %v", pieces, want)
			}
		}
	}
}

// Wrapping loses no word, and balancing needs no more lines.
func TestWrapKeepsWords(t *testing.T) {
	text := "Longer arms make the flag easier for nearly everybody by 0.04\u00a0BW in one model, and change little in the other"
	for width := 120.0; width < 900; width += 13 {
		plain, err := Wrap(text, true, 21, width)
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
			if TextWidth(l, true, 21) > width {
				t.Errorf("width %v: %q is wider", width, l)
			}
			all = append(all, WordsOf(l)...)
		}
		if !slices.Equal(all, WordsOf(text)) {
			t.Errorf("width %v: %q", width, all)
		}
	}
}

// From a number to a number stands on one line wherever it is broken, but where it has no room.
func TestRangesStayTogether(t *testing.T) {
	lines, err := Wrap("easiest with hands 125\u00a0cm apart (105 to 140\u00a0cm), 36 to 44\u00a0% easier, −0.2 to +1.5, from end to end", false, 10, 75)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"(105 to 140\u00a0cm),", "36 to 44\u00a0%", "−0.2 to +1.5,"} {
		if !slices.ContainsFunc(lines, func(line string) bool { return strings.Contains(line, want) }) {
			t.Errorf("%q is broken: %q", want, lines)
		}
	}
	if _, err := Wrap("105 to 140", false, 10, 40); err == nil {
		t.Error("a range is broken over lines on a sheet that is not loose")
	}
	s := Sheet{Loose: true}
	if lines, err := s.Wrap("105 to 140", false, 10, 40); err != nil || len(lines) < 2 {
		t.Errorf("%q, %v on a loose sheet", lines, err)
	}
}
