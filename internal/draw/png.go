package draw

import (
	"bytes"
	"image/png"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"
)

// EncodePNG draws the sheet on a gonum/plot canvas, whose y goes up.
func EncodePNG(s *Sheet) ([]byte, error) {
	c := vgimg.NewWith(
		vgimg.UseWH(vg.Length(s.Size.Width), vg.Length(s.Size.Height)),
		vgimg.UseDPI(int(s.Size.DotsPerInch)),
		vgimg.UseBackgroundColor(s.Theme.Background),
	)
	at := func(p Point) vg.Point {
		return vg.Point{X: vg.Length(p.X), Y: vg.Length(s.Size.Height - p.Y)}
	}
	path := func(points []Point) vg.Path {
		var p vg.Path
		p.Move(at(points[0]))
		for _, q := range points[1:] {
			p.Line(at(q))
		}
		return p
	}
	for _, item := range s.Items {
		switch i := item.(type) {
		case *Stroke:
			c.SetColor(i.Color)
			c.SetLineWidth(vg.Length(i.Width))
			dash := make([]vg.Length, len(i.dash))
			for k, d := range i.dash {
				dash[k] = vg.Length(d)
			}
			c.SetLineDash(dash, 0)
			c.Stroke(path(i.Points))
		case *Fill:
			p := path(i.Points)
			p.Close()
			c.SetColor(i.Color)
			c.Fill(p)
		case *Disc:
			var p vg.Path
			p.Move(at(Point{i.Center.X + i.Radius, i.Center.Y}))
			p.Arc(at(i.Center), vg.Length(i.Radius), 0, 2*math.Pi)
			p.Close()
			c.SetColor(i.Color)
			c.Fill(p)
		case *Run:
			f := Face(i.Bold)
			f.Font.Size = vg.Length(i.Size)
			c.SetColor(i.Color)
			c.FillString(f, at(i.At), i.Text)
		}
	}
	var b bytes.Buffer
	err := png.Encode(&b, c.Image())
	return b.Bytes(), err
}
