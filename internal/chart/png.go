package chart

import (
	"bytes"
	"image/png"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"
)

// encodePNG draws the sheet on a gonum/plot canvas, whose y goes up.
func encodePNG(s *sheet) ([]byte, error) {
	c := vgimg.NewWith(
		vgimg.UseWH(vg.Length(s.size.width), vg.Length(s.size.height)),
		vgimg.UseDPI(int(s.size.dotsPerInch)),
		vgimg.UseBackgroundColor(s.theme.Background),
	)
	at := func(p point) vg.Point {
		return vg.Point{X: vg.Length(p.x), Y: vg.Length(s.size.height - p.y)}
	}
	path := func(points []point) vg.Path {
		var p vg.Path
		p.Move(at(points[0]))
		for _, q := range points[1:] {
			p.Line(at(q))
		}
		return p
	}
	for _, item := range s.items {
		switch i := item.(type) {
		case *stroke:
			c.SetColor(i.color)
			c.SetLineWidth(vg.Length(i.width))
			dash := make([]vg.Length, len(i.dash))
			for k, d := range i.dash {
				dash[k] = vg.Length(d)
			}
			c.SetLineDash(dash, 0)
			c.Stroke(path(i.points))
		case *fill:
			p := path(i.points)
			p.Close()
			c.SetColor(i.color)
			c.Fill(p)
		case *disc:
			var p vg.Path
			p.Move(at(point{i.center.x + i.radius, i.center.y}))
			p.Arc(at(i.center), vg.Length(i.radius), 0, 2*math.Pi)
			p.Close()
			c.SetColor(i.color)
			c.Fill(p)
		case *run:
			f := face(i.bold)
			f.Font.Size = vg.Length(i.size)
			c.SetColor(i.color)
			c.FillString(f, at(i.at), i.text)
		}
	}
	var b bytes.Buffer
	err := png.Encode(&b, c.Image())
	return b.Bytes(), err
}
