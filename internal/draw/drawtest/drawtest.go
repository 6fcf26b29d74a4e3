// Package drawtest looks at figures as tests do: whether all their text can be read, what
// they are made of, whether they are the same bytes as before.
package drawtest

import (
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/draw"
	"counterpoise/internal/golden"
)

// Awkward content of a kind that a user can come to: long names, many of everything,
// ends without an end, nothing at all.
const (
	LongName     = "Maximiliane-Theodora Freifrau von und zu Hohenlöwenstein-Wertheimbach, second visit"
	LongWord     = "Donaudampfschifffahrtsgesellschaftskapitänskajütenschlüssel"
	LongSentence = "Anybody who has arms that are longer than those of others of the same height, and also carries more of the weight on the legs than on the trunk, finds every static hold on a pole or on rings a great deal harder than anybody else does, whatever the coach may say about it, and above all in the first two years."
	LongModel    = "equilibrium, residual regional masses, dumas-2007"
)

// CheckBoxes says whether text is large enough to be read and no text over text.
func CheckBoxes(t *testing.T, s *draw.Sheet) {
	t.Helper()
	for i, r := range Runs(s) {
		if r.Size < s.Size.Least-1e-9 {
			t.Errorf("%q is set in %.1f pt, least %v", r.Text, r.Size, s.Size.Least)
		}
		for _, o := range Runs(s)[:i] {
			if r.Box().Overlaps(o.Box()) {
				t.Errorf("%q lies over %q", r.Text, o.Text)
			}
		}
	}
}

// CheckUnobscured says whether text can be read where it stands: nothing is drawn over
// it, it has contrast to what lies below it, and no line but the faint ones of a grid runs
// through it.
func CheckUnobscured(t *testing.T, s *draw.Sheet) {
	t.Helper()
	for k, item := range s.Items {
		r, ok := item.(*draw.Run)
		if !ok {
			continue
		}
		box := r.Box()
		// Of small letters, and a little narrower: a hair line that leads to the text ends at it.
		box = draw.Rect{X0: box.X0 + 0.01*r.Size, Y0: r.At.Y - 0.6*r.Size, X1: box.X1 - 0.01*r.Size, Y1: r.At.Y + 0.02*r.Size}
		for j, other := range s.Items {
			over := j > k
			switch o := other.(type) {
			case *draw.Fill:
				if over && (crosses(append(slices.Clone(o.Points), o.Points[0]), box) || Within(draw.Point{X: box.X0, Y: box.Y0}, o.Points)) {
					t.Errorf("%s: a shape is drawn over %q", s.Size.Name, r.Text)
				}
			case *draw.Disc:
				if over && box.Overlaps(draw.Rect{X0: o.Center.X, Y0: o.Center.Y, X1: o.Center.X, Y1: o.Center.Y}.Grow(0.9*o.Radius)) {
					t.Errorf("%s: a spot is drawn over %q", s.Size.Name, r.Text)
				}
			case *draw.Stroke:
				if draw.Contrast(o.Color, s.Theme.Background) > faint && crosses(o.Points, box) {
					t.Errorf("%s: a line runs through %q", s.Size.Name, r.Text)
				}
			}
		}
		for _, p := range []draw.Point{{X: box.X0, Y: box.Y0}, {X: box.X1, Y: box.Y0}, {X: box.X0, Y: box.Y1}, {X: box.X1, Y: box.Y1}, {X: (box.X0 + box.X1) / 2, Y: (box.Y0 + box.Y1) / 2}} {
			below := s.Theme.Background
			for _, other := range s.Items[:k] {
				if f, ok := other.(*draw.Fill); ok && Within(p, f.Points) {
					below = f.Color
				}
			}
			if c := draw.Contrast(r.Color, below); c < 4.4 && below != s.Theme.Background {
				t.Errorf("%s: %q has contrast %.2f to what lies below it (%v on %v)", s.Size.Name, r.Text, c, r.Color, below)
				break
			}
		}
	}
}

func crosses(points []draw.Point, box draw.Rect) bool {
	for i := 1; i < len(points); i++ {
		if _, _, ok := draw.ClipSegment(points[i-1], points[i], box); ok {
			return true
		}
	}
	return false
}

// Within says whether a point lies inside a closed outline (crossing number).
func Within(p draw.Point, outline []draw.Point) bool {
	in := false
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		if a.Y > p.Y != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
	}
	return in
}

// faint is the contrast to the background up to which a line may run below text: a grid's.
const faint = 1.5

// MustLayout lays a figure out.
func MustLayout(t *testing.T, f draw.Figure, size draw.Size, theme draw.Theme) *draw.Sheet {
	t.Helper()
	s, err := draw.Layout(f, size, theme)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Runs are the lines of text of a sheet.
func Runs(s *draw.Sheet) []*draw.Run {
	var all []*draw.Run
	for _, item := range s.Items {
		if r, ok := item.(*draw.Run); ok {
			all = append(all, r)
		}
	}
	return all
}

// Texts are the lines of text on a sheet.
func Texts(s *draw.Sheet) (texts []string) {
	for _, r := range Runs(s) {
		texts = append(texts, r.Text)
	}
	return texts
}

// CheckTextApart measures the text itself and does not rely on verify: all of
// it on the canvas, none on other text or on a spot.
func CheckTextApart(t *testing.T, s *draw.Sheet) {
	t.Helper()
	all := Runs(s)
	if len(all) < 7 {
		t.Fatalf("only %d lines of text", len(all))
	}
	for i, a := range all {
		width := draw.TextWidth(a.Text, a.Bold, a.Size)
		top, bottom := a.At.Y-0.905*a.Size, a.At.Y+0.212*a.Size // Liberation Sans' own metrics
		if a.At.X < 0 || a.At.X+width > s.Size.Width || top < 0 || bottom > s.Size.Height {
			t.Errorf("%q leaves the canvas", a.Text)
		}
		for _, b := range all[:i] {
			apartX := a.At.X+width <= b.At.X || b.At.X+draw.TextWidth(b.Text, b.Bold, b.Size) <= a.At.X
			apartY := bottom <= b.At.Y-0.905*b.Size || b.At.Y+0.212*b.Size <= top
			if !apartX && !apartY {
				t.Errorf("%q lies over %q", a.Text, b.Text)
			}
		}
		for _, item := range s.Items {
			if d, ok := item.(*draw.Disc); ok && a.Box().Grow(-0.1*a.Size).Overlaps(draw.Rect{X0: d.Center.X, Y0: d.Center.Y, X1: d.Center.X, Y1: d.Center.Y}.Grow(0.7*d.Radius)) {
				t.Errorf("%q lies over a spot", a.Text)
			}
		}
	}
}

// CheckShapesOnCanvas says whether all that is drawn lies on the canvas.
func CheckShapesOnCanvas(t *testing.T, s *draw.Sheet) {
	t.Helper()
	for _, item := range s.Items {
		for _, p := range item.Places() {
			if !p.Inside(draw.Rect{X0: 0, Y0: 0, X1: s.Size.Width, Y1: s.Size.Height}) {
				t.Fatalf("a point of %T at %v leaves the canvas", item, p)
			}
		}
	}
}

// CheckReadable says whether text stands out from the background.
func CheckReadable(t *testing.T, s *draw.Sheet) {
	t.Helper()
	for _, r := range Runs(s) {
		if c := draw.Contrast(r.Color, s.Theme.Background); c < draw.Readable {
			t.Errorf("%q has contrast %.2f, want at least %v", r.Text, c, draw.Readable)
		}
		if r.Size < 5.5 {
			t.Errorf("%q is set in %.1f pt", r.Text, r.Size)
		}
	}
}

// Foot is an invented foot line.
var Foot = draw.Foot{
	People:      "invented men and women, 18–50 years, BMI 18.5–27",
	N:           20000,
	Model:       "two-condition, de Leva (1996) segments",
	Assumptions: "defaults; λ = ½, shoulder rise 0.015·stature ± 0.015",
	Source:      "invented for this test; counterpoise",
}

// DrawnEverywhere draws figures in every size and theme, and looks at each.
func DrawnEverywhere(t *testing.T, figures []draw.Named) {
	for _, f := range figures {
		for _, size := range draw.Sizes {
			for _, theme := range draw.Themes {
				t.Run(f.Name+"/"+size.Name+"/"+theme.Name, func(t *testing.T) {
					s := MustLayout(t, f.Figure, size, theme)
					CheckTextApart(t, s)
					CheckShapesOnCanvas(t, s)
					CheckReadable(t, s)
				})
			}
		}
	}
}

// Kept compares figures with their goldens, in one look light and in another dark.
func Kept(t *testing.T, prefix string, light, dark draw.Size, figures []draw.Named) {
	for _, f := range figures {
		title, _ := f.Figure.Heading()
		for size, theme := range map[draw.Size]draw.Theme{light: draw.Light, dark: draw.Dark} {
			name := "chart/" + prefix + f.Name + "-" + size.Name + "-" + theme.Name + ".svg"
			golden.Text(t, name, draw.EncodeSVG(MustLayout(t, f.Figure, size, theme), title, f.Figure.Alt(), "en"))
		}
	}
}

// AltSays holds that the description of a figure has certain words.
func AltSays(t *testing.T, f draw.Figure, want ...string) {
	t.Helper()
	for _, w := range want {
		if alt := f.Alt(); !strings.Contains(alt, w) {
			t.Errorf("the text lacks %q: %s", w, alt)
		}
	}
}

// Spoiled is a figure with a fault.
func Spoiled[F draw.Figure](f F, spoil func(*F)) draw.Figure {
	spoil(&f)
	return f
}

// Refused holds that a figure is not drawn, and why.
func Refused(t *testing.T, name string, f draw.Figure, why string) {
	t.Helper()
	if err := draw.Fits(f, draw.Slide, draw.Light); err == nil || !strings.Contains(err.Error(), why) {
		t.Errorf("%s: got %v, want %q", name, err, why)
	}
}

// Anywhere holds that figures are drawn at every size and in every theme, if need be
// divided: in type that can be read, all of it on the canvas, no text over text or
// under what is drawn.
func Anywhere(t *testing.T, figures []draw.Named) {
	for _, f := range figures {
		for _, size := range draw.Sizes {
			t.Run(f.Name+"/"+size.Name, func(t *testing.T) {
				t.Parallel()
				for _, page := range draw.Pages(f.Figure, size) {
					light, err := draw.Layout(page, size, draw.Light)
					if err != nil {
						t.Fatal(err)
					}
					// No need to try again what does not fit; the inline figures and all others
					// that draw in both themes say that places do not depend on them.
					undo := 1.0
					if d, ok := page.(draw.Dense); ok {
						undo = d.TypeShare()
					}
					dark, err := draw.PlaceIn(page, light.Size.Shrunk(1/undo), draw.Dark, light.Loose)
					if err != nil {
						t.Fatal(err)
					}
					for _, s := range []*draw.Sheet{light, dark} {
						CheckShapesOnCanvas(t, s)
						CheckUnobscured(t, s)
						CheckBoxes(t, s)
					}
					if alt := page.Alt(); len(alt) < 40 || !strings.Contains(alt, "Source: ") {
						t.Errorf("the description is %q", alt)
					}
				}
			})
		}
	}
}
