package chart

import (
	"fmt"
	"image/color"
	"iter"
	"math"
)

// A placer finds room for labels beside what they name: never over another
// label, over lines only where there is no better place.
type placer struct {
	sheet *sheet
	area  rect
	lines []obstacle
	taken []rect
}

// An obstacle is a line that labels should not lie over. Its weight says how
// much: 1 for a curve.
type obstacle struct {
	points []point
	weight float64
	bounds rect // around the points
}

func (p *placer) avoid(points []point, weight float64) {
	bounds := rect{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, q := range points {
		bounds = rect{min(bounds.x0, q.x), min(bounds.y0, q.y), max(bounds.x1, q.x), max(bounds.y1, q.y)}
	}
	p.lines = append(p.lines, obstacle{points, weight, bounds})
}

// near says whether the line may reach into the box.
func (o *obstacle) near(box rect) bool {
	return o.bounds.x0 <= box.x1 && box.x0 <= o.bounds.x1 && o.bounds.y0 <= box.y1 && box.y0 <= o.bounds.y1
}

// segmentNear says quickly whether the segment may reach into the box.
func segmentNear(a, b point, box rect) bool {
	return !(a.x < box.x0 && b.x < box.x0 || a.x > box.x1 && b.x > box.x1 || a.y < box.y0 && b.y < box.y0 || a.y > box.y1 && b.y > box.y1)
}

// A spot is a free place for a label beside an anchor.
type spot struct {
	box   rect
	near  point   // of the box, the point nearest to the anchor
	reach float64 // how far that is, above 0
	cos   float64 // of the direction in which the box lies
}

// start is where the way from an anchor to the label begins, clear of the line that the
// label names.
func (s *spot) start(a point, gap float64) point {
	return point{a.x + (s.near.x-a.x)*0.4*gap/s.reach, a.y + (s.near.y-a.y)*0.4*gap/s.reach}
}

// around goes through the free places, clear of others by a distance, for a box of a
// width and height at a distance from an anchor, in so many directions.
func (p *placer) around(a point, distance, width, height, clear float64, directions int) iter.Seq[spot] {
	return func(yield func(spot) bool) {
		for direction := range directions {
			sin, cos := math.Sincos(2 * math.Pi * float64(direction) / float64(directions))
			center := point{a.x + cos*(distance+width/2), a.y - sin*(distance+height/2)}
			box := rect{center.x - width/2, center.y - height/2, center.x + width/2, center.y + height/2}
			if !box.inside(p.area) || p.isTaken(box.grow(clear)) {
				continue
			}
			near := point{min(max(a.x, box.x0), box.x1), min(max(a.y, box.y0), box.y1)}
			reach := math.Hypot(near.x-a.x, near.y-a.y)
			if reach != 0 && !yield(spot{box, near, reach, cos}) {
				return
			}
		}
	}
}

// label sets text beside one of the anchors, the first ones being preferred a
// little. Where it cannot stand near, a hair line leads to it.
func (p *placer) label(text string, anchors []point, gap float64, bold bool, size float64, c color.RGBA) error {
	width, height := textWidth(text, bold, size), (ascent+descent)*size
	best, found := math.Inf(1), rect{}
	var leader [2]point
	for i, a := range anchors {
		for _, far := range []float64{1, 1.8, 3, 5, 8, 12} {
			for at := range p.around(a, gap*far, width, height, 0.15*size, 16) {
				cost := 1.2*(far-1) + 0.5*float64(i)/float64(len(anchors)) + 0.4*math.Abs(at.cos)
				if cost >= best {
					continue
				}
				start := at.start(a, gap)
				if at.reach > 0.8*gap && p.overLabel(start, at.near, a) {
					continue
				}
				if cost += 8 * p.length(at.box.grow(0.2*size)) / size; cost >= best {
					continue
				}
				cost += 2 * p.crossings(start, at.near)
				if cost < best {
					best, found, leader = cost, at.box, [2]point{a, at.near}
				}
			}
		}
	}
	if math.IsInf(best, 1) {
		if ways := p.ways(text, bold, size); len(ways) > 0 {
			_, err := p.block(ways, nil, anchors, gap, bold, size, c)
			return err
		}
		return fmt.Errorf("chart: no room on the %s for the label %q", p.sheet.size.Name, text)
	}
	p.taken = append(p.taken, found)
	if math.Hypot(leader[1].x-leader[0].x, leader[1].y-leader[0].y) > 2.2*gap {
		p.sheet.stroke(mix(c, p.sheet.theme.Background, 0.4), p.sheet.size.thin, nil, leader[:]...)
		p.avoid(leader[:], 1)
	}
	p.sheet.text(text, found.x0, found.y0+ascent*size, alignLeft, bold, size, c)
	return nil
}

// ways breaks a label that has no room in one line into several, where the sheet is
// loose.
func (p *placer) ways(text string, bold bool, size float64) (ways [][]string) {
	if !p.sheet.loose {
		return nil
	}
	for _, share := range []float64{0.7, 0.5, 0.36, 0.25} {
		if lines, err := p.sheet.balance(text, bold, size, share*p.area.width()); err == nil {
			ways = append(ways, lines)
		}
	}
	return ways
}

// take keeps labels off what lies around a point.
func (p *placer) take(at point, radius float64) {
	p.taken = append(p.taken, rect{at.x, at.y, at.x, at.y}.grow(radius))
}

func (p *placer) isTaken(box rect) bool {
	for _, t := range p.taken {
		if box.overlaps(t) {
			return true
		}
	}
	return false
}

// overLabel says whether the way from a to b lies over something taken, other
// than what is at the anchor.
func (p *placer) overLabel(a, b, anchor point) bool {
	for _, t := range p.taken {
		if _, _, ok := clipSegment(a, b, t); ok && !anchor.inside(t) {
			return true
		}
	}
	return false
}

// length is the weighted length of line inside the box.
func (p *placer) length(box rect) float64 {
	sum := 0.0
	for _, line := range p.lines {
		if !line.near(box) {
			continue
		}
		for i := 1; i < len(line.points); i++ {
			if !segmentNear(line.points[i-1], line.points[i], box) {
				continue
			}
			if a, b, ok := clipSegment(line.points[i-1], line.points[i], box); ok {
				sum += line.weight * math.Hypot(b.x-a.x, b.y-a.y)
			}
		}
	}
	return sum
}

// crossings is the weighted number of lines that the way from a to b crosses.
func (p *placer) crossings(a, b point) float64 {
	side := func(p, q, r point) bool { return (q.x-p.x)*(r.y-p.y)-(q.y-p.y)*(r.x-p.x) > 0 }
	sum := 0.0
	way := rect{min(a.x, b.x), min(a.y, b.y), max(a.x, b.x), max(a.y, b.y)}
	for _, line := range p.lines {
		if !line.near(way) {
			continue
		}
		for i := 1; i < len(line.points); i++ {
			c, d := line.points[i-1], line.points[i]
			if side(a, b, c) != side(a, b, d) && side(c, d, a) != side(c, d, b) {
				sum += line.weight
			}
		}
	}
	return sum
}
