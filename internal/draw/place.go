package draw

import (
	"fmt"
	"image/color"
	"iter"
	"math"
	"slices"
)

// A Placer finds room for labels beside what they name: never over another
// label, over lines only where there is no better place.
type Placer struct {
	Sheet *Sheet
	Area  Rect
	Clear bool // of every line are labels: there is no room for others
	lines []obstacle
	taken []Rect
}

// An obstacle is a line that labels should not lie over. Its weight says how
// much: 1 for a curve.
type obstacle struct {
	points []Point
	weight float64
	bounds Rect // around the points
}

// Avoid keeps labels off a line, the more so the greater its weight.
func (p *Placer) Avoid(points []Point, weight float64) {
	bounds := Rect{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, q := range points {
		bounds = Rect{min(bounds.X0, q.X), min(bounds.Y0, q.Y), max(bounds.X1, q.X), max(bounds.Y1, q.Y)}
	}
	p.lines = append(p.lines, obstacle{points, weight, bounds})
}

// near says whether the line may reach into the box.
func (o *obstacle) near(box Rect) bool {
	return o.bounds.X0 <= box.X1 && box.X0 <= o.bounds.X1 && o.bounds.Y0 <= box.Y1 && box.Y0 <= o.bounds.Y1
}

// segmentNear says quickly whether the segment may reach into the box.
func segmentNear(a, b Point, box Rect) bool {
	return !(a.X < box.X0 && b.X < box.X0 || a.X > box.X1 && b.X > box.X1 || a.Y < box.Y0 && b.Y < box.Y0 || a.Y > box.Y1 && b.Y > box.Y1)
}

// A spot is a free place for a label beside an anchor.
type spot struct {
	box   Rect
	near  Point   // of the box, the point nearest to the anchor
	reach float64 // how far that is, above 0
	cos   float64 // of the direction in which the box lies
}

// start is where the way from an anchor to the label begins, clear of the line that the
// label names.
func (s *spot) start(a Point, gap float64) Point {
	return Point{a.X + (s.near.X-a.X)*0.4*gap/s.reach, a.Y + (s.near.Y-a.Y)*0.4*gap/s.reach}
}

// around goes through the free places, clear of others by a distance, for a box of a
// width and height at a distance from an anchor, in the directions, as far as serves says that
// so long a way does.
func (p *Placer) around(a Point, distance, width, height, clear float64, directions []Point, serves func(reach float64) bool) iter.Seq[spot] {
	return func(yield func(spot) bool) {
		for _, d := range directions {
			center := Point{a.X + d.X*(distance+width/2), a.Y - d.Y*(distance+height/2)}
			box := Rect{center.X - width/2, center.Y - height/2, center.X + width/2, center.Y + height/2}
			near := Point{min(max(a.X, box.X0), box.X1), min(max(a.Y, box.Y0), box.Y1)}
			reach := apart(near, a)
			if reach == 0 || !serves(reach) || !box.Inside(p.Area) || p.IsTaken(box.Grow(clear)) {
				continue
			}
			if !yield(spot{box, near, reach, d.X}) {
				return
			}
		}
	}
}

// apart is the distance of two points: math.Hypot takes care of overflow, and three times as long.
func apart(a, b Point) float64 {
	x, y := a.X-b.X, a.Y-b.Y
	return math.Sqrt(float64(x*x) + float64(y*y))
}

// directionsOf are so many directions, evenly.
func directionsOf(n int) []Point {
	list := make([]Point, n)
	for k := range list {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
		list[k] = Point{cos, sin}
	}
	return list
}

// In which directions a line of text is tried, and a block of it.
var lineDirections, blockDirections = directionsOf(16), directionsOf(24)

// Label sets text beside one of the anchors, the first ones being preferred a
// little. Where it cannot stand near, a hair line leads to it.
func (p *Placer) Label(text string, anchors []Point, gap float64, bold bool, size float64, c color.RGBA) error {
	width, height := TextWidth(text, bold, size), (Ascent+Descent)*size
	best, found := math.Inf(1), Rect{}
	var leader [2]Point
	for i, a := range anchors {
		for _, far := range []float64{1, 1.8, 3, 5, 8, 12} {
			ring := 1.2*(far-1) + 0.5*float64(i)/float64(len(anchors))
			for at := range p.around(a, gap*far, width, height, 0.15*size, lineDirections, func(float64) bool { return ring < best }) {
				cost := ring + 0.4*math.Abs(at.cos)
				if cost >= best {
					continue
				}
				start := at.start(a, gap)
				if at.reach > 0.8*gap && p.overLabel(start, at.near, a) || p.Clear && p.Length(at.box, 0) > 0 {
					continue
				}
				if cost += 8 * p.Length(at.box.Grow(0.2*size), (best+Tie-cost)*size/8) / size; cost >= best {
					continue
				}
				cost += 2 * p.crossings(start, at.near)
				if cost < best {
					best, found, leader = cost, at.box, [2]Point{a, at.near}
				}
			}
		}
	}
	if math.IsInf(best, 1) {
		if ways := p.ways(text, bold, size); len(ways) > 0 && !p.Clear {
			_, err := p.Block(ways, nil, anchors, gap, bold, size, c)
			return err
		}
		return fmt.Errorf("chart: no room on the %s for the label %q", p.Sheet.Size.Name, text)
	}
	p.taken = append(p.taken, found)
	if math.Hypot(leader[1].X-leader[0].X, leader[1].Y-leader[0].Y) > 2.2*gap {
		p.Sheet.Stroke(Mix(c, p.Sheet.Theme.Background, 0.4), p.Sheet.Size.Thin, nil, leader[:]...)
		p.Avoid(leader[:], 1)
	}
	p.Sheet.Text(text, found.X0, found.Y0+Ascent*size, AlignLeft, bold, size, c)
	return nil
}

// ways breaks a label that has no room in one line into several, where the sheet is
// loose.
func (p *Placer) ways(text string, bold bool, size float64) (ways [][]string) {
	if !p.Sheet.Loose {
		return nil
	}
	for _, share := range []float64{0.7, 0.5, 0.36, 0.25} {
		if lines, err := p.Sheet.Balance(text, bold, size, share*p.Area.Width()); err == nil {
			ways = append(ways, lines)
		}
	}
	return ways
}

// Take keeps labels off what lies around a point.
func (p *Placer) Take(at Point, radius float64) {
	p.taken = append(p.taken, Rect{at.X, at.Y, at.X, at.Y}.Grow(radius))
}

// IsTaken says whether a label or what it names already stands in a box.
func (p *Placer) IsTaken(box Rect) bool {
	return slices.ContainsFunc(p.taken, box.Overlaps)
}

// overLabel says whether the way from a to b lies over something taken, other
// than what is at the anchor.
func (p *Placer) overLabel(a, b, anchor Point) bool {
	return slices.ContainsFunc(p.taken, func(t Rect) bool {
		_, _, ok := ClipSegment(a, b, t)
		return ok && !anchor.Inside(t)
	})
}

// Length is the weighted length of line inside the box, as far as it matters: of what is
// more than most only so much.
func (p *Placer) Length(box Rect, most float64) float64 {
	sum := 0.0
	for i := range p.lines {
		line := &p.lines[i]
		if !line.near(box) {
			continue
		}
		for i := 1; i < len(line.points); i++ {
			if !segmentNear(line.points[i-1], line.points[i], box) {
				continue
			}
			if a, b, ok := ClipSegment(line.points[i-1], line.points[i], box); ok {
				if sum += line.weight * apart(a, b); sum > most {
					return sum
				}
			}
		}
	}
	return sum
}

// crossings is the weighted number of lines that the way from a to b crosses.
func (p *Placer) crossings(a, b Point) float64 {
	side := func(p, q, r Point) bool { return (q.X-p.X)*(r.Y-p.Y)-(q.Y-p.Y)*(r.X-p.X) > 0 }
	sum := 0.0
	way := Rect{min(a.X, b.X), min(a.Y, b.Y), max(a.X, b.X), max(a.Y, b.Y)}
	for _, line := range p.lines {
		if !line.near(way) {
			continue
		}
		for i := 1; i < len(line.points); i++ {
			c, d := line.points[i-1], line.points[i]
			if side(a, b, c) != side(a, b, d) && side(c, d, a) != side(c, d, b) {
				if sum += line.weight; line.weight == leaderWeight {
					sum += 2 * line.weight // whose is which can no longer be told at a glance
				}
			}
		}
	}
	return sum
}
