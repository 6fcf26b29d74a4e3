package draw

import (
	"fmt"
	"image/color"
	"math"
	"slices"
)

// Block sets several lines of text beside one of the anchors, the first ones
// being preferred a little, and returns how poor the place is. The first line may
// be bold; of the ways to break the text the best is taken. Where the block
// cannot stand near, a hair line leads to it. A place near a line of weight 2 or
// more other than own, the one that is named, could be taken to name that, and is
// avoided. No line runs through it, but on a loose sheet where there is no such place.
func (p *Placer) Block(ways [][]string, own, anchors []Point, gap float64, bold bool, size float64, c color.RGBA) (cost float64, err error) {
	best := math.Inf(1)
	var found Rect
	var lines []string
	var leader [2]Point
	hard := 1.0
	for w := 0; w < len(ways); w++ {
		way, width := ways[w], 0.0
		for i, line := range way {
			width = max(width, TextWidth(line, bold && i == 0, size))
		}
		height := LineHeight(len(way), size)
		for i, a := range anchors {
			for _, far := range []float64{0, 0.7, 1.6, 3, 4.5, 6.5, 9, 12} {
				away := func(reach float64) float64 {
					return 0.35*float64(w) + reach/size + 0.6*float64(i)/float64(len(anchors))
				}
				for at := range p.around(a, gap+far*size, width, height, 0.2*size, blockDirections, func(reach float64) bool { return away(reach) < best }) {
					price := away(at.reach)
					if price += 3 * p.Length(at.box.Grow(0.25*size), (best+Tie-price)*size/3) / size; price >= best || p.reaching(at.box.Grow(0.15*size), hard, nil) > 0 {
						continue
					}
					price += 1.5 * float64(p.reaching(at.box.Grow(0.8*size), 2, own))
					start := at.start(a, gap)
					if at.reach > gap {
						price += 2 * p.crossings(start, at.near)
						if price < best-Tie {
							price += 0.7 * p.alongside(start, at.near, 0.4*size) / size
						}
					}
					if price >= best-Tie || at.reach > gap && p.overLabel(start, at.near, a) {
						continue
					}
					best, found, lines, leader = price, at.box, way, [2]Point{start, at.near}
				}
			}
		}
		if w == len(ways)-1 && math.IsInf(best, 1) && hard < ArrowWeight && p.Sheet.Loose {
			w, hard = -1, ArrowWeight
		}
	}
	if math.IsInf(best, 1) {
		return 0, fmt.Errorf("chart: no room on the %s for the label %q", p.Sheet.Size.Name, ways[0][0])
	}
	p.taken = append(p.taken, found)
	if math.Hypot(leader[1].X-leader[0].X, leader[1].Y-leader[0].Y) > 1.3*size {
		p.Sheet.Stroke(Mix(c, p.Sheet.Theme.Background, 0.4), p.Sheet.Size.Thin, nil, leader[:]...)
		p.Avoid(leader[:], leaderWeight)
	}
	for i, line := range lines {
		// Lines stand against the side that their anchor is on.
		align, x := AlignLeft, found.X0
		switch {
		case leader[1].X >= found.X1:
			align, x = AlignRight, found.X1
		case leader[1].X > found.X0:
			align, x = AlignCenter, (found.X0+found.X1)/2
		}
		p.Sheet.Text(line, x, found.Y0+(Ascent+float64(i)*Leading)*size, align, bold && i == 0, size, c)
	}
	return best, nil
}

// alongside is the weighted length of line within about a distance of the way from a to b.
func (p *Placer) alongside(a, b Point, distance float64) float64 {
	sum, steps := 0.0, math.Ceil(math.Hypot(b.X-a.X, b.Y-a.Y)/(2*distance))
	for k := range int(steps) {
		t := (float64(k) + 0.5) / steps
		at := Point{a.X + t*(b.X-a.X), a.Y + t*(b.Y-a.Y)}
		sum += p.Length(Rect{at.X, at.Y, at.X, at.Y}.Grow(distance), math.Inf(1))
	}
	return sum
}

// Tie is how much better a place must be than one seen before, so that rounding
// never decides.
const Tie = 1e-6

// leaderWeight is that of the lines that lead to labels.
const leaderWeight = 2

// ArrowWeight is that of lines which no label of a block may lie over.
const ArrowWeight = 3

// reaching counts the lines of at least a weight that reach into the box, but
// for own.
func (p *Placer) reaching(box Rect, weight float64, own []Point) int {
	n := 0
	for _, line := range p.lines {
		if line.weight < weight || !line.near(box) || slices.Equal(line.points, own) {
			continue
		}
		for i := 1; i < len(line.points); i++ {
			if _, _, ok := ClipSegment(line.points[i-1], line.points[i], box); ok {
				n++
				break
			}
		}
	}
	return n
}
