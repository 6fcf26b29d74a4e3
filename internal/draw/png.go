package draw

import (
	"bytes"
	"image/png"
	"math"
	"slices"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"

	portable "counterpoise/sim/math"
	"counterpoise/sim/names"
)

// EncodePNG draws the sheet on a gonum/plot canvas. The canvas only fills outlines whose
// corners are whole 64ths of a pixel, which it does in integers; lines, circles and letters
// become outlines here. So every processor draws the same pixels, which its own lines and
// letters would not be: where a product and a sum are rounded once, they end elsewhere.
func EncodePNG(s *Sheet) ([]byte, error) {
	scale := s.Size.DotsPerInch / 72
	height := math.Floor(float64(s.Size.Height*scale) + 0.5)
	c := vgimg.NewWith(
		vgimg.UseWH(vg.Length(math.Floor(float64(s.Size.Width*scale)+0.5)), vg.Length(height)),
		vgimg.UseDPI(72), // a pixel is a unit of the canvas
		vgimg.UseBackgroundColor(s.Theme.Background),
	)
	o := &outlines{scale: scale, height: height}
	for _, item := range s.Items {
		var err error
		switch i := item.(type) {
		case *Stroke:
			o.line(settledPoints(i.Points), settled(i.Width), i.dash)
		case *Fill:
			o.polygon(settledPoints(i.Points))
		case *Disc:
			o.circle(Point{settled(i.Center.X), settled(i.Center.Y)}, settled(i.Radius))
		case *Run:
			err = o.text(i)
		}
		if err != nil {
			return nil, err
		}
		c.SetColor(item.hue())
		c.Fill(o.path)
		o.path = o.path[:0]
	}
	var b bytes.Buffer
	err := png.Encode(&b, c.Image())
	return b.Bytes(), err
}

func settledPoints(points []Point) []Point {
	return names.Each(points, func(p Point) Point { return Point{settled(p.X), settled(p.Y)} })
}

// outlines collects what is filled in one colour.
type outlines struct {
	scale  float64 // pixels a pt
	height float64 // of the canvas, pixels
	path   vg.Path
	buffer sfnt.Buffer
}

// grid rounds pixels to 64ths.
func grid(pixels float64) float64 { return float64(math.Floor(float64(pixels*64)+0.5) / 64) }

// at is a place on the canvas, whose y goes up.
func (o *outlines) at(p Point) vg.Point {
	return vg.Point{X: vg.Length(grid(p.X * o.scale)), Y: vg.Length(o.height - grid(p.Y*o.scale))}
}

func (o *outlines) polygon(points []Point) {
	o.path.Move(o.at(points[0]))
	for _, p := range points[1:] {
		o.path.Line(o.at(p))
	}
	o.path.Close()
}

// circle has as many corners as keep it within a hundredth of a pixel.
func (o *outlines) circle(center Point, radius float64) {
	n := 8 * math.Ceil(1+float64(math.Sqrt(radius*o.scale)*5/8))
	points := make([]Point, int(n))
	for i := range points {
		sin, cos := portable.Sincos(2 * math.Pi * float64(i) / n)
		points[i] = Point{center.X + float64(radius*cos), center.Y + float64(radius*sin)}
	}
	o.polygon(points)
}

// line is a polyline with flat ends and round corners: one side there, and the other back.
func (o *outlines) line(points []Point, width float64, dash []float64) {
	for _, piece := range dashes(points, dash) {
		there := o.side(piece, width/2)
		slices.Reverse(piece)
		if outline := append(there, o.side(piece, width/2)...); len(outline) > 2 {
			o.polygon(outline)
		}
	}
}

// side is the left side of a line, half its width away.
func (o *outlines) side(points []Point, half float64) (side []Point) {
	var before Point // from the line to its side
	for i, b := range points[1:] {
		a := points[i]
		length := distance(a, b)
		if length == 0 {
			continue
		}
		by := half / length
		out := Point{float64((b.Y - a.Y) * by), float64((a.X - b.X) * by)}
		across, along := float64(before.X*out.Y)-float64(before.Y*out.X), float64(before.X*out.X)+float64(before.Y*out.Y)
		if across > 0 || across == 0 && along < 0 { // a corner that is on the outside, or a way back
			side = o.corner(side, a, before, out)
		}
		side = append(side, Point{a.X + out.X, a.Y + out.Y}, Point{b.X + out.X, b.Y + out.Y})
		before = out
	}
	return side
}

// corner adds what lies between two places on a circle about a corner, where they are more
// than a third of a pixel apart.
func (o *outlines) corner(side []Point, center, from, to Point) []Point {
	if distance(from, to)*o.scale < 0.3 {
		return side
	}
	middle, zero := Point{from.X + to.X, from.Y + to.Y}, Point{}
	radius := distance(from, zero)
	if length := distance(middle, zero); length > 0.01*radius {
		middle = Point{middle.X / length * radius, middle.Y / length * radius}
	} else { // a turn back: ahead of it
		middle = Point{-from.Y, from.X}
	}
	side = o.corner(side, center, from, middle)
	side = append(side, Point{center.X + middle.X, center.Y + middle.Y})
	return o.corner(side, center, middle, to)
}

func distance(a, b Point) float64 {
	return math.Sqrt(float64((b.X-a.X)*(b.X-a.X)) + float64((b.Y-a.Y)*(b.Y-a.Y)))
}

// dashes cuts a line into its dashes: lengths of line and gap in turn.
func dashes(points []Point, lengths []float64) [][]Point {
	if len(lengths) == 0 {
		return [][]Point{points}
	}
	var pieces [][]Point
	k, left := 0, lengths[0]
	piece := []Point{points[0]}
	for i, b := range points[1:] {
		a := points[i]
		length := distance(a, b)
		for done := 0.0; done < length; {
			step := min(left, length-done)
			done, left = done+step, left-step
			at := Point{a.X + float64((b.X-a.X)*(done/length)), a.Y + float64((b.Y-a.Y)*(done/length))}
			piece = append(piece, at)
			if left > 0 {
				continue
			}
			if k%2 == 0 {
				pieces = append(pieces, piece)
			}
			piece, k = []Point{at}, k+1
			left = lengths[k%len(lengths)]
		}
	}
	if k%2 == 0 && len(piece) > 1 {
		pieces = append(pieces, piece)
	}
	return pieces
}

// text is a line of letters, set as it was measured.
func (o *outlines) text(r *Run) error {
	font, widths := Face(r.Bold).Face, lettersOf(r.Bold)
	size := fixed.Int26_6(64 * grid(settled(r.Size)*o.scale))
	base := o.at(Point{settled(r.At.X), settled(r.At.Y)})
	for i, letter := range r.Text {
		index, err := font.GlyphIndex(&o.buffer, letter)
		if err != nil {
			return err
		}
		segments, err := font.LoadGlyph(&o.buffer, index, size, nil)
		if err != nil {
			return err
		}
		// Where a letter begins is what stands before it with it, without its own width.
		before := widths.width(r.Text[:i+len(string(letter))]) - widths.width(string(letter))
		left := base.X + vg.Length(grid(before*settled(r.Size)*o.scale))
		at := func(p fixed.Point26_6) vg.Point {
			return vg.Point{X: left + vg.Length(float64(p.X)/64), Y: base.Y - vg.Length(float64(p.Y)/64)}
		}
		for k, s := range segments {
			switch s.Op {
			case sfnt.SegmentOpMoveTo:
				if k > 0 {
					o.path.Close()
				}
				o.path.Move(at(s.Args[0]))
			case sfnt.SegmentOpLineTo:
				o.path.Line(at(s.Args[0]))
			case sfnt.SegmentOpQuadTo:
				o.path.QuadTo(at(s.Args[0]), at(s.Args[1]))
			case sfnt.SegmentOpCubeTo:
				o.path.CubeTo(at(s.Args[0]), at(s.Args[1]), at(s.Args[2]))
			}
		}
		if len(segments) > 0 {
			o.path.Close()
		}
	}
	return nil
}
