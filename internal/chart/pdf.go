package chart

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
	var sheets []*sheet
	var alts []string
	for _, l := range leaves {
		s, err := layout(l.Figure, l.Size, theme)
		if err != nil {
			name, _ := l.Figure.Heading()
			return nil, &Refusal{fmt.Errorf("%s: %w", name, err)}
		}
		sheets, alts = append(sheets, s), append(alts, l.Figure.Alt())
	}
	if len(sheets) == 0 {
		return nil, errors.New("chart: a booklet without pages")
	}
	return encodePDF(sheets, title, strings.Join(alts, " "), language(leaves[0].Figure))
}

// encodePDF embeds the letters it uses, by their Unicode numbers, so that the
// text is right beyond ASCII (gonum/plot's own PDF canvas is not), can be
// searched and copied. Its date is fixed: the same figures give the same bytes.
func encodePDF(sheets []*sheet, title, alt, language string) ([]byte, error) {
	doc := fpdf.NewCustom(&fpdf.InitType{
		UnitStr: "pt",
		Size:    fpdf.SizeType{Wd: sheets[0].size.width, Ht: sheets[0].size.height},
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
func pagePDF(doc *fpdf.Fpdf, s *sheet, family string) {
	doc.AddPageFormat("P", fpdf.SizeType{Wd: s.size.width, Ht: s.size.height})
	doc.SetLineJoinStyle("round")
	setFill := func(c color.RGBA) { doc.SetFillColor(int(c.R), int(c.G), int(c.B)) }
	setFill(s.theme.Background)
	doc.Rect(0, 0, s.size.width, s.size.height, "F")
	for _, item := range s.items {
		switch i := item.(type) {
		case *stroke:
			doc.SetDrawColor(int(i.color.R), int(i.color.G), int(i.color.B))
			doc.SetLineWidth(i.width)
			doc.SetDashPattern(i.dash, 0)
			tracePDF(doc, i.points)
			doc.DrawPath("D")
		case *fill:
			setFill(i.color)
			tracePDF(doc, i.points)
			doc.ClosePath()
			doc.DrawPath("F")
		case *disc:
			setFill(i.color)
			doc.Circle(i.center.x, i.center.y, i.radius, "F")
		case *run:
			doc.SetTextColor(int(i.color.R), int(i.color.G), int(i.color.B))
			doc.SetFont(family, fontStyle(i.bold), i.size)
			doc.Text(i.at.x, i.at.y, i.text)
		}
	}
}

func fontStyle(bold bool) string {
	if bold {
		return "B"
	}
	return ""
}

func tracePDF(doc *fpdf.Fpdf, points []point) {
	doc.MoveTo(points[0].x, points[0].y)
	for _, p := range points[1:] {
		doc.LineTo(p.x, p.y)
	}
}
