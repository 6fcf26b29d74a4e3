package chart

import (
	"bytes"
	"compress/zlib"
	"encoding/xml"
	"image/color"
	"image/png"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"unicode/utf16"

	"counterpoise/internal/golden"
	"counterpoise/internal/words"
)

func mustLayout(t *testing.T, f Figure, size Size, theme Theme) *sheet {
	t.Helper()
	s, err := layout(f, size, theme)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func runs(s *sheet) []*run {
	var all []*run
	for _, item := range s.items {
		if r, ok := item.(*run); ok {
			all = append(all, r)
		}
	}
	return all
}

func TestEverySizeAndTheme(t *testing.T) {
	drawnEverywhere(t, slices.Concat(testFigures, driversFigures, personFigures))
}

// checkTextApart measures the text itself and does not rely on verify: all of
// it on the canvas, none on other text or on a spot.
func checkTextApart(t *testing.T, s *sheet) {
	t.Helper()
	all := runs(s)
	if len(all) < 7 {
		t.Fatalf("only %d lines of text", len(all))
	}
	for i, a := range all {
		width := textWidth(a.text, a.bold, a.size)
		top, bottom := a.at.y-0.905*a.size, a.at.y+0.212*a.size // Liberation Sans' own metrics
		if a.at.x < 0 || a.at.x+width > s.size.width || top < 0 || bottom > s.size.height {
			t.Errorf("%q leaves the canvas", a.text)
		}
		for _, b := range all[:i] {
			apartX := a.at.x+width <= b.at.x || b.at.x+textWidth(b.text, b.bold, b.size) <= a.at.x
			apartY := bottom <= b.at.y-0.905*b.size || b.at.y+0.212*b.size <= top
			if !apartX && !apartY {
				t.Errorf("%q lies over %q", a.text, b.text)
			}
		}
		for _, item := range s.items {
			if d, ok := item.(*disc); ok && a.box().grow(-0.1*a.size).overlaps(rect{d.center.x, d.center.y, d.center.x, d.center.y}.grow(0.7*d.radius)) {
				t.Errorf("%q lies over a spot", a.text)
			}
		}
	}
}

func checkShapesOnCanvas(t *testing.T, s *sheet) {
	t.Helper()
	for _, item := range s.items {
		for _, p := range item.places() {
			if !p.inside(rect{0, 0, s.size.width, s.size.height}) {
				t.Fatalf("a point of %T at %v leaves the canvas", item, p)
			}
		}
	}
}

func checkReadable(t *testing.T, s *sheet) {
	t.Helper()
	for _, r := range runs(s) {
		if c := contrast(r.color, s.theme.Background); c < readable {
			t.Errorf("%q has contrast %.2f, want at least %v", r.text, c, readable)
		}
		if r.size < 5.5 {
			t.Errorf("%q is set in %.1f pt", r.text, r.size)
		}
	}
}

func TestVerifyRefuses(t *testing.T) {
	for _, c := range []struct {
		name string
		add  func(s *sheet)
		want string
	}{
		{"text off the right edge", func(s *sheet) { s.text("far out", 500, 300, alignLeft, false, 20, s.theme.Ink) }, "no room"},
		{"text off the top", func(s *sheet) { s.text("high", 100, 5, alignLeft, false, 20, s.theme.Ink) }, "no room"},
		{"text over text", func(s *sheet) {
			s.text("one", 100, 300, alignLeft, false, 20, s.theme.Ink)
			s.text("other", 110, 310, alignLeft, false, 20, s.theme.Ink)
		}, `"other" would lie over "one"`},
		{"not a number", func(s *sheet) { s.disc(s.theme.Ink, point{math.NaN(), 7}, 3) }, "not finite"},
		{"infinite", func(s *sheet) { s.stroke(s.theme.Ink, 1, nil, point{3, 7}, point{9, math.Inf(1)}) }, "not finite"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := &sheet{size: Post, theme: Light}
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

func TestGolden(t *testing.T) {
	kept(t, "", Slide, Column, slices.Concat(testFigures, personFigures))
	kept(t, "drivers-", Slide, Column, driversFigures)
	picture, err := encodePNG(mustLayout(t, effectDistribution(), Post, Light))
	if err != nil {
		t.Fatal(err)
	}
	golden.Picture(t, "chart/effect-post-light.png", picture, 3)
}

// Saving twice, and many at once, gives the same bytes in all four files.
func TestSaveIsByteStable(t *testing.T) {
	const copies = 4
	var dirs [copies]string
	var errs [copies]error
	var group sync.WaitGroup
	for i := range copies {
		dirs[i] = t.TempDir()
		group.Go(func() {
			for _, f := range []Figure{requirementCurve(), effectDistribution(), overview()} {
				title, _ := f.Heading()
				if _, err := Save(dirs[i], strings.Fields(title)[0], f, Column, Light); err != nil {
					errs[i] = err
				}
			}
		})
	}
	group.Wait()
	first, err := os.ReadDir(dirs[0])
	if err != nil {
		t.Fatal(err)
	}
	if len(first) != 12 {
		t.Errorf("%d files, want 3 figures × 4", len(first))
	}
	for i := range copies {
		if errs[i] != nil {
			t.Fatal(errs[i])
		}
		for _, entry := range first {
			a, err := os.ReadFile(filepath.Join(dirs[0], entry.Name()))
			if err != nil {
				t.Fatal(err)
			}
			b, err := os.ReadFile(filepath.Join(dirs[i], entry.Name()))
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(a, b) {
				t.Errorf("%s differs between two runs", entry.Name())
			}
		}
	}
}

func TestSaveWritesAllOrNothing(t *testing.T) {
	dir := t.TempDir()
	paths, err := Save(dir, "longer-arms", requirementCurve(), Post, Dark)
	if err != nil {
		t.Fatal(err)
	}
	var want []string
	for _, extension := range []string{".svg", ".png", ".pdf", ".alt.txt"} {
		want = append(want, filepath.Join(dir, "longer-arms"+extension))
	}
	if !slices.Equal(paths, want) {
		t.Errorf("paths %q, want %q", paths, want)
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	if len(entries) != len(want) {
		t.Errorf("%d files in the folder, want %d: no temporary one may stay", len(entries), len(want))
	}

	bad := requirementCurve()
	bad.Foot.Source = ""
	empty := t.TempDir()
	if paths, err := Save(empty, "bad", bad, Post, Dark); err == nil || len(paths) > 0 {
		t.Errorf("a figure without a source: %v, %v", paths, err)
	}
	if entries, _ := os.ReadDir(empty); len(entries) > 0 {
		t.Errorf("a refused figure left %v", entries)
	}
	if _, err := Save(filepath.Join(empty, "none", "such"), "x", requirementCurve(), Post, Dark); err == nil {
		t.Error("no error for a folder that does not exist")
	}
}

// The outer measures, worked out by hand: 13⅓ in × 144 = 1920 and so on;
// 88 mm and 104 mm at 300 dots per inch are 1039.4 and 1228.3, 170 mm and 120 mm are
// 2007.9 and 1417.3.
func TestPictureBounds(t *testing.T) {
	for _, c := range []struct {
		size          Size
		width, height int
	}{{Slide, 1920, 1080}, {Post, 1080, 1350}, {Column, 1039, 1228}, {Print, 2008, 1417}} {
		data, err := encodePNG(mustLayout(t, exactlyNone(), c.size, Light))
		if err != nil {
			t.Fatal(err)
		}
		config, err := png.DecodeConfig(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		if config.Width != c.width || config.Height != c.height {
			t.Errorf("%s: %d × %d, want %d × %d", c.size.Name, config.Width, config.Height, c.width, c.height)
		}
	}
}

func TestSVGIsAccessible(t *testing.T) {
	for _, f := range testFigures {
		s := mustLayout(t, f.figure, Post, Light)
		title, _ := f.figure.Heading()
		var document struct {
			Role  string `xml:"role,attr"`
			Title string `xml:"title"`
			Desc  string `xml:"desc"`
			Texts []struct {
				Text   string  `xml:",chardata"`
				Length float64 `xml:"textLength,attr"`
			} `xml:"g>text"`
		}
		if err := xml.Unmarshal(encodeSVG(s, title, f.figure.Alt(), "en"), &document); err != nil {
			t.Fatalf("%s: %v", f.name, err)
		}
		if document.Role != "img" || document.Title != title || document.Desc != f.figure.Alt() {
			t.Errorf("%s: role %q, title %q, desc %q", f.name, document.Role, document.Title, document.Desc)
		}
		all := runs(s)
		if len(document.Texts) != len(all) {
			t.Fatalf("%s: %d texts, want %d", f.name, len(document.Texts), len(all))
		}
		for i, r := range all {
			if document.Texts[i].Text != r.text || math.Abs(document.Texts[i].Length-r.width) > 0.005 {
				t.Errorf("%s: %q of length %v, want %q of %v", f.name, document.Texts[i].Text, document.Texts[i].Length, r.text, r.width)
			}
		}
	}
}

func TestSVGEscapes(t *testing.T) {
	f := requirementCurve()
	f.Title = `A <b> & "c" keep their marks`
	svg := encodeSVG(mustLayout(t, f, Post, Light), f.Title, f.Alt(), "en")
	if err := xml.Unmarshal(svg, new(struct{})); err != nil {
		t.Error(err)
	}
	if bytes.Contains(svg, []byte("<b>")) {
		t.Error("markup of the title went through")
	}
}

const special = "° · ± − θ ½ – λ ≥ σ ∞ → é"

// Letters beyond ASCII are in the PDF under their Unicode numbers.
func TestPDFText(t *testing.T) {
	f := exactlyNone()
	f.Title = "Signs: " + special
	data, err := encodePDF([]*sheet{mustLayout(t, f, Slide, Light)}, f.Title, f.Alt(), "en")
	if err != nil {
		t.Fatal(err)
	}
	// Two runs within a second would not show a clock that got in.
	for _, key := range []string{"/CreationDate", "/ModDate"} {
		if !bytes.Contains(data, []byte(key+" (D:20000101000000)")) {
			t.Errorf("%s is not the fixed date", key)
		}
	}
	var pages []byte
	for rest := data; ; {
		_, after, ok := bytes.Cut(rest, []byte("stream\n"))
		if !ok {
			break
		}
		if r, err := zlib.NewReader(bytes.NewReader(after)); err == nil {
			text, _ := io.ReadAll(r) // not every stream is whole text
			pages = append(pages, text...)
		}
		rest = after
	}
	for _, r := range special {
		unit := utf16.Encode([]rune{r})[0]
		if !bytes.Contains(pages, []byte{byte(unit >> 8), byte(unit)}) {
			t.Errorf("%q is not in the PDF", r)
		}
	}

	// What a reader makes of it, where there is one.
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("pdftotext is not installed")
	}
	path := filepath.Join(t.TempDir(), "x.pdf")
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(tool, path, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(out), f.Title) {
		t.Errorf("pdftotext reads\n%s\nwithout %q", out, f.Title)
	}
}

func TestAltSaysTheNumbers(t *testing.T) {
	altSays(t, requirementCurve(), "The middle man, 176\u00a0cm, 86\u00a0kg. Before: best with 40°, 0.94\u00a0BW. Arms +10 cm: best with 39°, 0.91\u00a0BW.", "n\u00a0=\u00a020,000")
	altSays(t, twoGroups(), "the shortest: 1.30 times and the tallest: 1.40 times", "a pair of people each: in 57 of 100 pairs", "of the dots 100\u00a0% harder", "to one scale: the shortest: 169\u00a0cm and the tallest: 183\u00a0cm.")
	altSays(t, effectDistribution(), "within\u00a0±0.01\u00a0BW it is too small to matter, below that easier", "Two-condition model: people differ: -0.056 to -0.016; what nobody has measured: -0.041 to -0.031; of the dots 100\u00a0% easier.")
	altSays(t, exactlyNone(), "Equilibrium model: every body: no change.")
	altSays(t, overview(), "Longer arms make the human flag harder: depends on the body, 3.9\u00a0% harder (2.1 to 4.4\u00a0%); supported for Army men; contradicted for Army women", "Tall people lean more: not settled; contradicted for Army men, Army women, men of gymnasts' sizes and club")
}

// Bad data is an error that names it, never a picture and never a panic.
func TestRefusals(t *testing.T) {
	curve := func(change func(*RequirementCurve)) Figure { return spoiled(requirementCurve(), change) }
	effect := func(change func(*EffectDistribution)) Figure { return spoiled(effectDistribution(), change) }
	rows := func(change func(*Overview)) Figure { return spoiled(overview(), change) }
	for _, c := range []struct {
		name   string
		figure Figure
		want   string
	}{
		{"NaN in an envelope", curve(func(f *RequirementCurve) { f.Panels[0].After.Y[7] = math.NaN() }), "arms +10 cm: a value"},
		{"x and y of different length", curve(func(f *RequirementCurve) { f.Panels[0].Before.X = f.Panels[0].Before.X[:9] }), "9 x and 141 y values"},
		{"x going back", curve(func(f *RequirementCurve) { f.Panels[0].Before.X[5] = 11 }), "x does not increase"},
		{"no panel of a curve", curve(func(f *RequirementCurve) { f.Panels = nil }), "no panel"},
		{"a silhouette without a body", effect(func(f *EffectDistribution) { f.Bodies = []Silhouette{{Caption: "x"}} }), "no body"},
		{"mark not a number", curve(func(f *RequirementCurve) { f.Panels[0].Before.Best.X = math.NaN() }), "the mark is at"},
		{"mark above the axis", curve(func(f *RequirementCurve) { f.YMin, f.YMax = 0.2, 0.9 }), "lies outside the axes"},
		{"y axis upside down", curve(func(f *RequirementCurve) { f.YMin, f.YMax = 2, 1 }), "y axis from 2 to 1"},
		{"no y label", curve(func(f *RequirementCurve) { f.YLabel = "" }), "an axis has no label"},
		{"no title", curve(func(f *RequirementCurve) { f.Title = " " }), "needs a title"},
		{"no people in the foot line", curve(func(f *RequirementCurve) { f.Foot.People = "" }), "lacks the people"},
		{"n of zero", curve(func(f *RequirementCurve) { f.Foot.N = 0 }), "n = 0"},
		{"endless title", curve(func(f *RequirementCurve) { f.Title = strings.Repeat("word ", 300) }), "does not fit into 3 lines"},
		{"endless word", curve(func(f *RequirementCurve) { f.Title = strings.Repeat("w", 999) }), "the title does not fit"},
		{"endless foot line", curve(func(f *RequirementCurve) { f.Foot.Assumptions = strings.Repeat("assumed ", 700) }), "leave too little"},
		{"no glyph", curve(func(f *RequirementCurve) { f.Title = "Flag 人" }), `no glyph for '人'`},
		{"endless label", curve(func(f *RequirementCurve) { f.Panels[0].Before.Best.Label = strings.Repeat("x", 90000) }), ""},
		{"zone of nothing", effect(func(f *EffectDistribution) { f.TooSmall = 0 }), "want above 0"},
		{"no panels", effect(func(f *EffectDistribution) { f.Panels = nil }), "no panel"},
		{"too many panels", effect(func(f *EffectDistribution) { f.Panels = slices.Repeat(f.Panels, 9) }), "18 panels do not fit"},
		{"an edge too few", effect(func(f *EffectDistribution) { f.Panels[0].Edges = f.Panels[0].Edges[1:] }), "want one edge more"},
		{"negative share", effect(func(f *EffectDistribution) { f.Panels[1].Shares[4] = -0.01 }), "share -0.01"},
		{"shares above 1", effect(func(f *EffectDistribution) { f.Panels[1].Shares[4] = 0.7 }), "shares sum to"},
		{"draws in no order", effect(func(f *EffectDistribution) { f.Panels[0].Draws[7] = 1 }), "the draws do not increase"},
		{"a median beside its draws", effect(func(f *EffectDistribution) { f.Panels[0].Low = 0 }), "quantiles"},
		{"quantiles out of order", effect(func(f *EffectDistribution) { f.Panels[0].P5 = 0.3 }), "quantiles"},
		{"spread without bins", effect(func(f *EffectDistribution) { f.Panels[0].Edges, f.Panels[0].Shares = nil, nil }), "0 edges, 0 shares and 300 draws"},
		{"too many rows", rows(func(o *Overview) { o.Rows = slices.Repeat(o.Rows, 15) }), "60 rows do not fit"},
		{"marks missing", rows(func(o *Overview) { o.Rows[2].Whom = o.Rows[2].Whom[:1] }), "1 marks for 4 kinds of people"},
		{"people without a name", rows(func(o *Overview) { o.People[1].Name = "" }), "people have no name"},
		{"no verdict", rows(func(o *Overview) { o.Rows[0].Verdict.Mark = "" }), "no verdict"},
	} {
		refused(t, c.name, c.figure, c.want)
	}
	if _, err := layout(requirementCurve(), Size{}, Light); err == nil {
		t.Error("no error for the zero Size")
	}
}

// Whatever finite numbers come in, layout ends and returns a picture that
// verify accepts or an error.
func FuzzRequirementCurve(f *testing.F) {
	f.Add(0.63, 0.36, 0.42, 0.1, 0.0)
	f.Add(1e11, 1e-9, -3.0, 0.2, 1e9)
	f.Add(1e-300, 1e300, 7.0, 0.3, -2e11)
	f.Fuzz(func(t *testing.T, a, b, c, longer, shift float64) {
		r := requirementCurve()
		p := &r.Panels[0]
		p.Before, p.After = flag("before", a, b, c), flag("after", a+longer, b, c)
		for _, g := range []*Group{&p.Before, &p.After} {
			for i := range g.Y {
				g.Y[i] += shift
			}
			g.Best.Y += shift
		}
		_, _ = layout(r, Column, Light)
	})
}

func FuzzEffectDistribution(f *testing.F) {
	f.Add(-0.036, 0.012, 0.01)
	f.Add(3e11, 1e-7, 1e-300)
	f.Add(-5e-9, 4e11, 0.3)
	f.Fuzz(func(t *testing.T, mean, sd, zone float64) {
		e := effectDistribution()
		e.TooSmall = zone
		e.Panels = []EffectPanel{normalBins("Invented", mean, sd)}
		_, _ = layout(e, Post, Light)
	})
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
	of := func(tooSmall float64) string { return Zone{TooSmall: tooSmall, Unit: "%"}.Size() }
	foot, err := Foot{People: "men", N: 100_000, Model: "m", Assumptions: "a", Source: "s"}.line()
	if err != nil || !strings.Contains(foot, "n\u00a0=\u00a0100,000.") {
		t.Errorf("%q, %v", foot, err)
	}
	for _, c := range []struct{ got, want string }{
		{of(3.7), "3.7\u00a0%"}, {of(1.5), "1.5\u00a0%"}, {of(1), "1\u00a0%"}, {of(10), "10\u00a0%"},
		{share(0), "0\u00a0%"}, {share(0.003), "under\u00a01\u00a0%"}, {share(0.974), "97\u00a0%"}, {share(1), "100\u00a0%"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
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
