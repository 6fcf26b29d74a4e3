package draw

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"testing"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"
)

// canvasPixels draws one item as gonum/plot does by itself, in floating point.
func canvasPixels(s *Sheet, item Item) image.Image {
	c := vgimg.NewWith(
		vgimg.UseWH(vg.Length(s.Size.Width), vg.Length(s.Size.Height)),
		vgimg.UseDPI(int(s.Size.DotsPerInch)),
		vgimg.UseBackgroundColor(s.Theme.Background),
	)
	at := func(p Point) vg.Point { return vg.Point{X: vg.Length(p.X), Y: vg.Length(s.Size.Height - p.Y)} }
	var p vg.Path
	c.SetColor(item.hue())
	switch i := item.(type) {
	case *Stroke:
		c.SetLineWidth(vg.Length(i.Width))
		dash := make([]vg.Length, len(i.dash))
		for k, d := range i.dash {
			dash[k] = vg.Length(d)
		}
		c.SetLineDash(dash, 0)
		p.Move(at(i.Points[0]))
		for _, q := range i.Points[1:] {
			p.Line(at(q))
		}
		c.Stroke(p)
	case *Disc:
		p.Move(at(Point{i.Center.X + i.Radius, i.Center.Y}))
		p.Arc(at(i.Center), vg.Length(i.Radius), 0, 2*math.Pi)
		c.Fill(p)
	case *Run:
		f := Face(i.Bold)
		f.Font.Size = vg.Length(i.Size)
		c.FillString(f, at(i.At), i.Text)
	}
	return c.Image()
}

// Lines, circles and letters that are outlines of their own are those of the canvas: as much
// ink within two hundredths (a hair line's width is rounded to a 64th of a pixel), from the
// same pixel to the same pixel, and, but for dashes and letters, which the canvas sets at
// whole 64ths one after the other, no pixel that is full in one and empty in the other.
func TestPixelsAreThoseOfTheCanvas(t *testing.T) {
	black := color.RGBA{A: 255}
	zigzag := []Point{{30, 40}, {200, 43}, {60, 90}, {61, 200}, {300, 201.5}, {290, 60}, {310, 60}}
	for name, item := range map[string]Item{
		"hair line":      &Stroke{Points: zigzag, Color: black, Width: 0.6},
		"line":           &Stroke{Points: zigzag, Color: black, Width: 7},
		"there and back": &Stroke{Points: []Point{{30, 40}, {200, 140}, {30, 40}}, Color: black, Width: 5},
		"dashes":         &Stroke{Points: zigzag, Color: black, Width: 2, dash: []float64{6, 4}},
		"dot":            &Disc{Center: Point{100.3, 77.7}, Radius: 2.2, Color: black},
		"circle":         &Disc{Center: Point{150, 150}, Radius: 80, Color: black},
		"text":           &Run{Text: "AVAVA To “Ärger”, žluťoučký −0.038 5–95\u00a0%, θ ≥ ½", At: Point{20, 100}, Size: 13.37, Color: black},
		"bold":           &Run{Text: "Ten centimetres more arm: Ψ", At: Point{20, 100}, Size: 22, Bold: true, Color: black},
	} {
		t.Run(name, func(t *testing.T) {
			s := &Sheet{Size: Post, Theme: Light, Items: []Item{item}}
			want := canvasPixels(s, item)
			data, err := EncodePNG(s)
			if err != nil {
				t.Fatal(err)
			}
			got, err := png.Decode(bytes.NewReader(data))
			if err != nil || got.Bounds() != want.Bounds() {
				t.Fatal(err, got.Bounds(), want.Bounds())
			}
			var ink [2]float64
			var inked [2]image.Rectangle
			most := 0.0
			for y := range got.Bounds().Dy() {
				for x := range got.Bounds().Dx() {
					var dark [2]float64
					for k, m := range []image.Image{got, want} {
						dark[k] = 1 - float64(color.GrayModel.Convert(m.At(x, y)).(color.Gray).Y)/255
						ink[k] += dark[k]
						if dark[k] > 0.5 {
							inked[k] = inked[k].Union(image.Rect(x, y, x+1, y+1))
						}
					}
					most = max(most, math.Abs(dark[0]-dark[1]))
				}
			}
			line, isLine := item.(*Stroke)
			run, isText := item.(*Run)
			if isText { // the canvas loses a pixel or two by rounding widths; what was measured counts
				left := s.Size.DotsPerInch / 72 * run.At.X
				inked[1].Min.X, inked[1].Max.X = int(left), int(left+s.Size.DotsPerInch/72*TextWidth(run.Text, run.Bold, run.Size))
			}
			if (isLine && line.dash != nil) || isText {
				most = 0
			}
			if ink[1] < 10 || math.Abs(ink[0]/ink[1]-1) > 0.02 || most > 0.6 || !inked[0].In(inked[1].Inset(-2)) || !inked[1].In(inked[0].Inset(-2)) {
				t.Errorf("%.1f pixels of ink in %v, the canvas has %.1f in %v; a pixel differs by %.2f", ink[0], inked[0], ink[1], inked[1], most)
			}
		})
	}
}
