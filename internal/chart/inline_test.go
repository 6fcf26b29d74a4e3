package chart

import (
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/draw"
	"counterpoise/internal/draw/drawtest"
)

// Every inline figure is one well-formed svg without a width, named for those who
// cannot see it, that loads and runs nothing.
func TestInline(t *testing.T) {
	for _, f := range testFigures {
		for _, size := range append([]draw.Size{draw.Phone.Broader(1.25)}, draw.Sizes...) {
			t.Run(f.Name+"/"+size.Name, func(t *testing.T) {
				svg, err := draw.Inline(f.Figure, size, "figure-1")
				if err != nil {
					t.Fatal(err)
				}
				roots, depth := 0, 0
				ids := map[string]bool{}
				for d := xml.NewDecoder(strings.NewReader(svg)); ; {
					token, err := d.Token()
					if errors.Is(err, io.EOF) {
						break
					}
					if err != nil {
						t.Fatal(err)
					}
					switch e := token.(type) {
					case xml.StartElement:
						if depth++; depth == 1 {
							roots++
						}
						for _, a := range e.Attr {
							switch {
							case a.Name.Local == "id":
								if ids[a.Value] {
									t.Errorf("the id %s twice", a.Value)
								}
								ids[a.Value] = true
							case depth == 1 && (a.Name.Local == "width" || a.Name.Local == "height"):
								t.Errorf("the svg has a %s", a.Name.Local)
							case strings.HasPrefix(a.Name.Local, "on") || a.Name.Local == "href" || strings.Contains(a.Value, "url("):
								t.Errorf("<%s> has %s=%q", e.Name.Local, a.Name.Local, a.Value)
							}
						}
						if e.Name.Local == "script" || e.Name.Local == "image" || e.Name.Local == "foreignObject" {
							t.Errorf("there is a <%s>", e.Name.Local)
						}
					case xml.EndElement:
						depth--
					}
				}
				if roots != 1 || !ids["figure-1"] || !ids["figure-1-title"] || !ids["figure-1-desc"] {
					t.Errorf("%d roots, ids %v", roots, ids)
				}
				if !strings.Contains(svg, `role="img" aria-labelledby="figure-1-title figure-1-desc"`) {
					t.Error("the svg is not named by its title and description")
				}
				checkInlineThemes(t, svg)
			})
		}
	}
}

var (
	inlineRule  = regexp.MustCompile(`\.([fs])([0-9A-F]{6})([0-9A-F]{6})\{(fill|stroke):#([0-9A-F]{6})\}`)
	inlineClass = regexp.MustCompile(`(fill|stroke)="#([0-9A-F]{6})" (?:stroke-width="[^"]*" )?class="([fs])([0-9A-F]{6})([0-9A-F]{6})"`)
)

// checkInlineThemes says whether every class is defined once and means the two colours
// that it is named after, so that figures of one page cannot contradict each other.
func checkInlineThemes(t *testing.T, svg string) {
	t.Helper()
	rules := map[string]bool{}
	for _, m := range inlineRule.FindAllStringSubmatch(svg, -1) {
		if m[1] != m[4][:1] || m[3] != m[5] {
			t.Errorf("the rule %s", m[0])
		}
		if rules[m[1]+m[2]+m[3]] {
			t.Errorf("the rule %s appears twice", m[0])
		}
		rules[m[1]+m[2]+m[3]] = true
	}
	used := map[string]bool{}
	for _, m := range inlineClass.FindAllStringSubmatch(svg, -1) {
		if m[1][:1] != m[3] || m[2] != m[4] {
			t.Errorf("%s", m[0])
		}
		used[m[3]+m[4]+m[5]] = true
	}
	if len(used) < 3 || strings.Count(svg, "class=") != len(inlineClass.FindAllString(svg, -1)) {
		t.Errorf("%d classes", len(used))
	}
	for class := range used {
		if !rules[class] {
			t.Errorf("no rule for %s", class)
		}
	}
	for class := range rules {
		if !used[class] {
			t.Errorf("nothing has the class %s", class)
		}
	}
	if !strings.Contains(svg, "<style>@media screen and (prefers-color-scheme:dark){.") {
		t.Error("the dark colours are not only for a screen whose user prefers dark")
	}
}

// The dark colours of an inline figure are those of the figure in the dark theme, and
// its light ones those of the light theme.
func TestInlineColours(t *testing.T) {
	svg, err := draw.Inline(effectDistribution(), draw.Post, "e")
	if err != nil {
		t.Fatal(err)
	}
	body := svg[strings.Index(svg, "<g "):]
	dark := inlineClass.ReplaceAllStringFunc(body, func(s string) string {
		m := inlineClass.FindStringSubmatch(s)
		return strings.Replace(s[:strings.Index(s, " class=")], m[2], m[5], 1)
	})
	light := regexp.MustCompile(` class="[^"]*"`).ReplaceAllString(body, "")
	for _, c := range []struct {
		theme draw.Theme
		got   string
	}{{draw.Light, light}, {draw.Dark, dark}} {
		want := string(draw.EncodeSVG(drawtest.MustLayout(t, effectDistribution(), draw.Post, c.theme), "", "", "en"))
		if want = want[strings.Index(want, "<g "):]; c.got != want {
			t.Errorf("%s: the inline figure has other colours or places than the figure of its own", c.theme.Name)
		}
	}
}

func TestInlineRefusesIDs(t *testing.T) {
	for _, id := range []string{"", "1", "a b", `a"`, "é", "a.b"} {
		if _, err := draw.Inline(exactlyNone(), draw.Slide, id); err == nil {
			t.Errorf("%q was taken", id)
		}
	}
}

// What does not fit on a size becomes taller inline.
func TestInlineGrows(t *testing.T) {
	f := shareBars()
	f.Rows = slices.Repeat(f.Rows, 8)
	o := overview()
	for len(o.Rows) < 30 {
		o.Rows = append(o.Rows, o.Rows...)
	}
	for _, figure := range []draw.Figure{f, o} {
		for _, size := range draw.Sizes {
			if _, err := draw.Layout(figure, size, draw.Light); err == nil {
				t.Fatalf("so many rows of a %T fit on the %s", figure, size.Name)
			}
			if _, err := draw.Inline(figure, size, "x"); err != nil {
				t.Error(err)
			}
		}
	}
}

// An overview of as many claims as are shipped stands on one page of A4, and of more on a
// longer one.
func TestOverviewOnOnePage(t *testing.T) {
	o := overview()
	o.Tall = true
	for k := range 43 {
		row := o.Rows[k%3]
		row.Label = "Somebody says that it is harder for tall people"
		row.Group = o.Rows[k/4].Group
		o.Rows = append(o.Rows, row)
	}
	for _, size := range []draw.Size{draw.Slide, draw.Post} {
		if s := drawtest.MustLayout(t, o, size, draw.Light); s.Size.Width != Page.Width || s.Size.Height != Page.Height {
			t.Errorf("%d claims take %v × %v pt", len(o.Rows), s.Size.Width, s.Size.Height)
		}
	}
	o.Rows = append(o.Rows, o.Rows...)
	if s := drawtest.MustLayout(t, o, draw.Slide, draw.Light); s.Size.Width != Page.Width || s.Size.Height <= Page.Height {
		t.Errorf("%d claims take %v × %v pt", len(o.Rows), s.Size.Width, s.Size.Height)
	}
}
