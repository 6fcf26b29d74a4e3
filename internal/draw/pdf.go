package draw

import (
	"bytes"
	"errors"
	"fmt"
	"image/color"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

// A Leaf is a figure on a page of its own.
type Leaf struct {
	Figure Figure
	Size   Size
}

// Booklet returns figures as one PDF, a page each. One that cannot be drawn is a Refusal,
// which says whose it is.
func Booklet(title string, leaves []Leaf, theme Theme) ([]byte, error) {
	var sheets []*Sheet
	var alts []string
	for _, l := range leaves {
		s, err := Layout(l.Figure, l.Size, theme)
		if err != nil {
			name, _ := l.Figure.Heading()
			return nil, &Refusal{fmt.Errorf("%s: %w", name, err)}
		}
		sheets, alts = append(sheets, s), append(alts, l.Figure.Alt())
	}
	if len(sheets) == 0 {
		return nil, errors.New("chart: a booklet without pages")
	}
	return EncodePDF(sheets, title, strings.Join(alts, " "), Language(leaves[0].Figure))
}

// EncodePDF embeds the letters it uses, by their Unicode numbers, so that the
// text is right beyond ASCII (gonum/plot's own PDF canvas is not), can be
// searched and copied. Its date is fixed: the same figures give the same bytes.
func EncodePDF(sheets []*Sheet, title, alt, language string) ([]byte, error) {
	doc := fpdf.NewCustom(&fpdf.InitType{
		UnitStr: "pt",
		Size:    fpdf.SizeType{Wd: sheets[0].Size.Width, Ht: sheets[0].Size.Height},
	})
	epoch := time.Date(2000, time.January, 1, 0, 0, 0, 0, time.UTC)
	doc.SetCreationDate(epoch)
	doc.SetModificationDate(epoch)
	doc.SetCatalogSort(true)
	doc.SetLang(language)
	doc.SetTitle(title, true)
	doc.SetSubject(alt, true)
	doc.SetAutoPageBreak(false, 0)
	const family = "LiberationSans"
	for _, bold := range []bool{false, true} {
		data, err := fontBytes(bold)
		if err != nil {
			return nil, err
		}
		doc.AddUTF8FontFromBytes(family, fontStyle(bold), data)
	}
	for _, s := range sheets {
		pagePDF(doc, s, family)
	}
	var b bytes.Buffer
	err := doc.Output(&b)
	return b.Bytes(), err
}

// pagePDF draws a sheet on a page of its own.
func pagePDF(doc *fpdf.Fpdf, s *Sheet, family string) {
	doc.AddPageFormat("P", fpdf.SizeType{Wd: s.Size.Width, Ht: s.Size.Height})
	doc.SetLineJoinStyle("round")
	setFill := func(c color.RGBA) { doc.SetFillColor(int(c.R), int(c.G), int(c.B)) }
	setFill(s.Theme.Background)
	doc.Rect(0, 0, s.Size.Width, s.Size.Height, "F")
	for _, item := range s.Items {
		switch i := item.(type) {
		case *Stroke:
			doc.SetDrawColor(int(i.Color.R), int(i.Color.G), int(i.Color.B))
			doc.SetLineWidth(settled(i.Width))
			doc.SetDashPattern(i.dash, 0)
			tracePDF(doc, i.Points)
			doc.DrawPath("D")
		case *Fill:
			setFill(i.Color)
			tracePDF(doc, i.Points)
			doc.ClosePath()
			doc.DrawPath("F")
		case *Disc:
			setFill(i.Color)
			doc.Circle(settled(i.Center.X), settled(i.Center.Y), settled(i.Radius), "F")
		case *Run:
			doc.SetTextColor(int(i.Color.R), int(i.Color.G), int(i.Color.B))
			doc.SetFont(family, fontStyle(i.Bold), settled(i.Size))
			doc.Text(settled(i.At.X), settled(i.At.Y), i.Text)
		}
	}
}

func fontStyle(bold bool) string {
	if bold {
		return "B"
	}
	return ""
}

func tracePDF(doc *fpdf.Fpdf, points []Point) {
	doc.MoveTo(settled(points[0].X), settled(points[0].Y))
	for _, p := range points[1:] {
		doc.LineTo(settled(p.X), settled(p.Y))
	}
}
