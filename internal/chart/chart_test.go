package chart

import (
	"bytes"
	"compress/zlib"
	"encoding/xml"
	"image/png"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"unicode/utf16"

	"counterpoise/internal/bodies"
	"counterpoise/internal/draw"
	"counterpoise/internal/draw/drawtest"
	"counterpoise/internal/golden"
)

func TestEverySizeAndTheme(t *testing.T) {
	drawtest.DrawnEverywhere(t, slices.Concat(testFigures, driversFigures, personFigures))
}

func TestGolden(t *testing.T) {
	drawtest.Kept(t, "", draw.Slide, draw.Column, slices.Concat(testFigures, personFigures))
	drawtest.Kept(t, "drivers-", draw.Slide, draw.Column, driversFigures)
	picture, err := draw.EncodePNG(drawtest.MustLayout(t, effectDistribution(), draw.Post, draw.Light))
	if err != nil {
		t.Fatal(err)
	}
	golden.Text(t, "chart/effect-post-light.png", picture)
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
			for _, f := range []draw.Figure{requirementCurve(), effectDistribution(), overview()} {
				title, _ := f.Heading()
				if _, err := draw.Save(dirs[i], strings.Fields(title)[0], f, draw.Column, draw.Light); err != nil {
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
	paths, err := draw.Save(dir, "longer-arms", requirementCurve(), draw.Post, draw.Dark)
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
	if paths, err := draw.Save(empty, "bad", bad, draw.Post, draw.Dark); err == nil || len(paths) > 0 {
		t.Errorf("a figure without a source: %v, %v", paths, err)
	}
	if entries, _ := os.ReadDir(empty); len(entries) > 0 {
		t.Errorf("a refused figure left %v", entries)
	}
	if _, err := draw.Save(filepath.Join(empty, "none", "such"), "x", requirementCurve(), draw.Post, draw.Dark); err == nil {
		t.Error("no error for a folder that does not exist")
	}
}

// The outer measures, worked out by hand: 13⅓ in × 144 = 1920 and so on;
// 88 mm and 104 mm at 300 dots per inch are 1039.4 and 1228.3, 170 mm and 120 mm are
// 2007.9 and 1417.3.
func TestPictureBounds(t *testing.T) {
	for _, c := range []struct {
		size          draw.Size
		width, height int
	}{{draw.Slide, 1920, 1080}, {draw.Post, 1080, 1350}, {draw.Column, 1039, 1228}, {draw.Print, 2008, 1417}} {
		data, err := draw.EncodePNG(drawtest.MustLayout(t, exactlyNone(), c.size, draw.Light))
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
		s := drawtest.MustLayout(t, f.Figure, draw.Post, draw.Light)
		title, _ := f.Figure.Heading()
		var document struct {
			Role  string `xml:"role,attr"`
			Title string `xml:"title"`
			Desc  string `xml:"desc"`
			Texts []struct {
				Text   string  `xml:",chardata"`
				Length float64 `xml:"textLength,attr"`
			} `xml:"g>text"`
		}
		if err := xml.Unmarshal(draw.EncodeSVG(s, title, f.Figure.Alt(), "en"), &document); err != nil {
			t.Fatalf("%s: %v", f.Name, err)
		}
		if document.Role != "img" || document.Title != title || document.Desc != f.Figure.Alt() {
			t.Errorf("%s: role %q, title %q, desc %q", f.Name, document.Role, document.Title, document.Desc)
		}
		all := drawtest.Runs(s)
		if len(document.Texts) != len(all) {
			t.Fatalf("%s: %d texts, want %d", f.Name, len(document.Texts), len(all))
		}
		for i, r := range all {
			if document.Texts[i].Text != r.Text || math.Abs(document.Texts[i].Length-r.Width) > 0.005 {
				t.Errorf("%s: %q of length %v, want %q of %v", f.Name, document.Texts[i].Text, document.Texts[i].Length, r.Text, r.Width)
			}
		}
	}
}

func TestSVGEscapes(t *testing.T) {
	f := requirementCurve()
	f.Title = `A <b> & "c" keep their marks`
	svg := draw.EncodeSVG(drawtest.MustLayout(t, f, draw.Post, draw.Light), f.Title, f.Alt(), "en")
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
	data, err := draw.EncodePDF([]*draw.Sheet{drawtest.MustLayout(t, f, draw.Slide, draw.Light)}, f.Title, f.Alt(), "en")
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
	drawtest.AltSays(t, requirementCurve(), "The middle man, 176\u00a0cm, 86\u00a0kg. Before: 0.94\u00a0BW, at 40°. Arms +10 cm: 0.91\u00a0BW, at 39°.", "20,000\u00a0bodies")
	drawtest.AltSays(t, twoGroups(), "the shortest: 1.30 times and the tallest: 1.40 times", "a pair of people each: in 57 of 100 pairs", "pale and hollow: 54\u00a0to\u00a060 by what nobody has measured", "of the tries 100\u00a0% harder", "to one scale: the shortest: 169\u00a0cm and the tallest: 183\u00a0cm.")
	drawtest.AltSays(t, effectDistribution(), "within\u00a0±0.01\u00a0BW it is too small to matter, below that easier", "Two-condition model: people differ: -0.056 to -0.016; by what nobody has measured: -0.041 to -0.031; of the tries 100\u00a0% easier.")
	drawtest.AltSays(t, exactlyNone(), "Equilibrium model: every body: no change.")
	drawtest.AltSays(t, overview(), "Longer arms make the human flag harder: depends on the body, 2.1\u00a0to\u00a04.4\u00a0% harder; supported for Army men; contradicted for Army women", "Tall people lean more: not settled; contradicted for Army men, Army women, men of gymnasts' sizes and club")
}

// Bad data is an error that names it, never a picture and never a panic.
func TestRefusals(t *testing.T) {
	curve := func(change func(*RequirementCurve)) draw.Figure { return drawtest.Spoiled(requirementCurve(), change) }
	effect := func(change func(*EffectDistribution)) draw.Figure {
		return drawtest.Spoiled(effectDistribution(), change)
	}
	rows := func(change func(*Overview)) draw.Figure { return drawtest.Spoiled(overview(), change) }
	for _, c := range []struct {
		name   string
		figure draw.Figure
		want   string
	}{
		{"NaN in an envelope", curve(func(f *RequirementCurve) { f.Panels[0].After.Y[7] = math.NaN() }), "arms +10 cm: a value"},
		{"x and y of different length", curve(func(f *RequirementCurve) { f.Panels[0].Before.X = f.Panels[0].Before.X[:9] }), "9 x and 141 y values"},
		{"x going back", curve(func(f *RequirementCurve) { f.Panels[0].Before.X[5] = 11 }), "x does not increase"},
		{"no panel of a curve", curve(func(f *RequirementCurve) { f.Panels = nil }), "no panel"},
		{"a silhouette without a body", effect(func(f *EffectDistribution) { f.Bodies = []bodies.Silhouette{{Caption: "x"}} }), "no body"},
		{"mark not a number", curve(func(f *RequirementCurve) { f.Panels[0].Before.Best.X = math.NaN() }), "the mark is at"},
		{"mark beside the axis", curve(func(f *RequirementCurve) { f.Panels[0].After.Best.X = 999 }), "lies outside the axes"},
		{"the ends of a mark the wrong way round", curve(func(f *RequirementCurve) { f.Panels[0].After.Low = 2 }), "2 to 0"},
		{"no y label", curve(func(f *RequirementCurve) { f.YLabel = "" }), "an axis has no label"},
		{"no title", curve(func(f *RequirementCurve) { f.Title = " " }), "needs a title"},
		{"no people in the foot line", curve(func(f *RequirementCurve) { f.Foot.People = "" }), "lacks the people"},
		{"n of zero", curve(func(f *RequirementCurve) { f.Foot.N = 0 }), "n = 0"},
		{"endless title", curve(func(f *RequirementCurve) { f.Title = strings.Repeat("word ", 300) }), "does not fit into 3 lines"},
		{"endless word", curve(func(f *RequirementCurve) { f.Title = strings.Repeat("w", 999) }), "the title does not fit"},
		{"endless foot line", curve(func(f *RequirementCurve) { f.Foot.Assumptions = strings.Repeat("assumed ", 700) }), "leave too little"},
		{"no glyph", curve(func(f *RequirementCurve) { f.Title = "Flag 人" }), `no glyph for '人'`},
		{"endless label", curve(func(f *RequirementCurve) { f.Panels[0].Before.At = strings.Repeat("x", 90000) }), ""},
		{"zone of nothing", effect(func(f *EffectDistribution) { f.TooSmall = 0 }), "want above 0"},
		{"no panels", effect(func(f *EffectDistribution) { f.Panels = nil }), "no panel"},
		{"too many panels", effect(func(f *EffectDistribution) { f.Panels = slices.Repeat(f.Panels, 9) }), "18 panels do not fit"},
		{"an edge too few", effect(func(f *EffectDistribution) { f.Panels[0].Edges = f.Panels[0].Edges[1:] }), "want one edge more"},
		{"negative share", effect(func(f *EffectDistribution) { f.Panels[1].Shares[4] = -0.01 }), "share -0.01"},
		{"shares above 1", effect(func(f *EffectDistribution) { f.Panels[1].Shares[4] = 0.7 }), "shares sum to"},
		{"draws in no order", effect(func(f *EffectDistribution) { f.Panels[0].Draws[7] = 1 }), "the draws do not increase"},
		{"a median beside its draws", effect(func(f *EffectDistribution) { f.Panels[0].Low = 0 }), "quantiles"},
		{"quantiles out of order", effect(func(f *EffectDistribution) { f.Panels[0].People[0].Low = 0.3 }), "from 0.3"},
		{"humps without names", effect(func(f *EffectDistribution) { f.Panels[0].People = append(f.Panels[0].People, f.Panels[0].People...) }), "a hump has no name"},
		{"people not told", effect(func(f *EffectDistribution) { f.Panels[0].People = nil }), "how people differ"},
		{"spread without bins", effect(func(f *EffectDistribution) { f.Panels[0].Edges, f.Panels[0].Shares = nil, nil }), "0 edges, 0 shares and 300 draws"},
		{"too many rows", rows(func(o *Overview) { o.Rows = slices.Repeat(o.Rows, 15) }), "60 rows do not fit"},
		{"marks missing", rows(func(o *Overview) { o.Rows[2].Whom = o.Rows[2].Whom[:1] }), "1 marks for 4 kinds of people"},
		{"people without a name", rows(func(o *Overview) { o.People[1].Name = "" }), "people have no name"},
		{"no verdict", rows(func(o *Overview) { o.Rows[0].Verdict.Word = "" }), "no verdict"},
	} {
		drawtest.Refused(t, c.name, c.figure, c.want)
	}
	if _, err := draw.Layout(requirementCurve(), draw.Size{}, draw.Light); err == nil {
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
		_, _ = draw.Layout(r, draw.Column, draw.Light)
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
		_, _ = draw.Layout(e, draw.Post, draw.Light)
	})
}

// Pictures write numbers as texts do: a threshold as it was chosen, thousands with
// commas, small shares by the same rule.
func TestNumbersAreThoseOfTexts(t *testing.T) {
	of := func(tooSmall float64) string { return Zone{TooSmall: tooSmall, Unit: "%"}.Size() }
	foot, err := draw.Foot{People: "men", N: 100_000, Model: "m", Assumptions: "a", Source: "s"}.Line()
	if err != nil || !strings.Contains(foot, "100,000\u00a0bodies.") {
		t.Errorf("%q, %v", foot, err)
	}
	for _, c := range []struct{ got, want string }{
		{of(3.7), "3.7\u00a0%"}, {of(1.5), "1.5\u00a0%"}, {of(1), "1\u00a0%"}, {of(10), "10\u00a0%"},
		{draw.Percentage(0), "0\u00a0%"}, {draw.Percentage(0.003), "under\u00a01\u00a0%"}, {draw.Percentage(0.974), "97\u00a0%"}, {draw.Percentage(1), "100\u00a0%"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// A triangle with its tip cut off half way up has three quarters of its area.
func TestClipPolygonArea(t *testing.T) {
	triangle := []draw.Point{{X: 1, Y: 10}, {X: 9, Y: 10}, {X: 4, Y: 2}}
	got := shoelace(draw.ClipPolygon(triangle, draw.Rect{X0: 0, Y0: 6, X1: 20, Y1: 30}))
	if want := 0.75 * shoelace(triangle); math.Abs(got-want) > 1e-12 {
		t.Errorf("area %v, want %v", got, want)
	}
	if got := draw.ClipPolygon(triangle, draw.Rect{X0: 0, Y0: 11, X1: 20, Y1: 30}); len(got) != 0 {
		t.Errorf("all outside, but %v is kept", got)
	}
}
