package chart

import (
	"fmt"
	"image/color"
	"math"
	"slices"
)

// block sets several lines of text beside one of the anchors, the first ones
// being preferred a little, and returns how poor the place is. The first line may
// be bold; of the ways to break the text the best is taken. Where the block
// cannot stand near, a hair line leads to it. A place near a line of weight 2 or
// more other than own, the one that is named, could be taken to name that, and is
// avoided. No line runs through it, but on a loose sheet where there is no such place.
func (p *placer) block(ways [][]string, own, anchors []point, gap float64, bold bool, size float64, c color.RGBA) (cost float64, err error) {
	best := math.Inf(1)
	var found rect
	var lines []string
	var leader [2]point
	hard := 1.0
	for w := 0; w < len(ways); w++ {
		way, width := ways[w], 0.0
		for i, line := range way {
			width = max(width, textWidth(line, bold && i == 0, size))
		}
		height := lineHeight(len(way), size)
		for i, a := range anchors {
			for _, far := range []float64{0, 0.7, 1.6, 3, 4.5, 6.5, 9, 12} {
				for at := range p.around(a, gap+far*size, width, height, 0.2*size, 24) {
					price := 0.35*float64(w) + 0.6*at.reach/size + 0.6*float64(i)/float64(len(anchors))
					if price >= best {
						continue
					}
					if price += 3 * p.length(at.box.grow(0.25*size)) / size; price >= best || p.reaching(at.box, hard, nil) > 0 {
						continue
					}
					price += 1.5 * float64(p.reaching(at.box.grow(0.8*size), 2, own))
					start := at.start(a, gap)
					if at.reach > gap {
						price += 2 * p.crossings(start, at.near)
					}
					if price >= best-tie || at.reach > gap && p.overLabel(start, at.near, a) {
						continue
					}
					best, found, lines, leader = price, at.box, way, [2]point{start, at.near}
				}
			}
		}
		if w == len(ways)-1 && math.IsInf(best, 1) && hard < arrowWeight && p.sheet.loose {
			w, hard = -1, arrowWeight
		}
	}
	if math.IsInf(best, 1) {
		return 0, fmt.Errorf("chart: no room on the %s for the label %q", p.sheet.size.Name, ways[0][0])
	}
	p.taken = append(p.taken, found)
	if math.Hypot(leader[1].x-leader[0].x, leader[1].y-leader[0].y) > 1.3*size {
		p.sheet.stroke(mix(c, p.sheet.theme.Background, 0.4), p.sheet.size.thin, nil, leader[:]...)
		p.avoid(leader[:], 2)
	}
	for i, line := range lines {
		// Lines stand against the side that their anchor is on.
		align, x := alignLeft, found.x0
		switch {
		case leader[1].x >= found.x1:
			align, x = alignRight, found.x1
		case leader[1].x > found.x0:
			align, x = alignCenter, (found.x0+found.x1)/2
		}
		p.sheet.text(line, x, found.y0+(ascent+float64(i)*leading)*size, align, bold && i == 0, size, c)
	}
	return best, nil
}

// tie is how much better a place must be than one seen before, so that rounding
// never decides.
const tie = 1e-6

// arrowWeight is that of lines which no label of a block may lie over.
const arrowWeight = 3

// reaching counts the lines of at least a weight that reach into the box, but
// for own.
func (p *placer) reaching(box rect, weight float64, own []point) int {
	n := 0
	for _, line := range p.lines {
		if line.weight < weight || !line.near(box) || slices.Equal(line.points, own) {
			continue
		}
		for i := 1; i < len(line.points); i++ {
			if _, _, ok := clipSegment(line.points[i-1], line.points[i], box); ok {
				n++
				break
			}
		}
	}
	return n
}
