package chart

import (
	"bytes"
	"image/color"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

// encodePDF embeds the letters it uses, by their Unicode numbers, so that the
// text is right beyond ASCII (gonum/plot's own PDF canvas is not), can be
// searched and copied. Its date is fixed: the same figure gives the same bytes.
func encodePDF(s *sheet, title, alt string) ([]byte, error) {
	doc := fpdf.NewCustom(&fpdf.InitType{
		UnitStr: "pt",
		Size:    fpdf.SizeType{Wd: s.size.width, Ht: s.size.height},
	})
	epoch := time.Date(2000, time.January, 1, 0, 0, 0, 0, time.UTC)
	doc.SetCreationDate(epoch)
	doc.SetModificationDate(epoch)
	doc.SetCatalogSort(true)
	doc.SetLang("en")
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
	doc.AddPage()
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
	var b bytes.Buffer
	err := doc.Output(&b)
	return b.Bytes(), err
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
