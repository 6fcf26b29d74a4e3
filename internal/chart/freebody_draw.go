package chart

import (
	"fmt"
	"image/color"
	"math"

	"counterpoise/internal/limbs"
	"counterpoise/internal/words"
)

// forceReach is the length of the longest arrow as a share of the body's extent.
const forceReach = 0.18

// A box of places.
type extent struct{ x0, y0, x1, y1 float64 } // metres, y up

func noExtent() extent { return extent{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)} }

func (e *extent) see(p Place, around float64) {
	e.x0, e.y0 = min(e.x0, p.X-around), min(e.y0, p.Y-around)
	e.x1, e.y1 = max(e.x1, p.X+around), max(e.y1, p.Y+around)
}

func (e extent) width() float64  { return e.x1 - e.x0 }
func (e extent) height() float64 { return e.y1 - e.y0 }

// A view maps places to the sheet, with one scale for both axes.
type view struct {
	scale  float64 // pt a metre
	force  float64 // metres a body weight
	origin point   // of the place (0, 0)
}

func (v view) at(p Place) point {
	return point{v.origin.x + v.scale*p.X, v.origin.y - v.scale*p.Y}
}

// arrow returns the ends of a force's arrow. What pushes ends where it acts,
// what pulls begins there: so the arrow stays off the body.
func (f FreeBody) arrow(force Force, metres float64) (tail, tip Place) {
	x, y := metres*force.X, metres*force.Y
	if f.pushes(force) {
		return force.At.plus(-x, -y), force.At
	}
	return force.At, force.At.plus(x, y)
}

// weightArrow returns the ends of the weight's arrow: it begins at the centre of
// mass, or ends there where it would lie over the arrow of a support.
func (f FreeBody) weightArrow(metres float64) (tail, tip Place) {
	tail, tip = f.Centre, f.Centre.plus(0, -metres)
	const near, clear = 0.05, 0.2 // m, across and along
	for _, force := range f.shownForces() {
		a, b := f.arrow(force, metres)
		low, high := min(a.Y, b.Y), max(a.Y, b.Y)
		if math.Abs((a.X+b.X)/2-f.Centre.X) < near && low < tail.Y && high > tip.Y-clear {
			return f.Centre.plus(0, metres), f.Centre
		}
	}
	return tail, tip
}

// pushes says whether a force acts from a surface, which can do nothing else,
// or points towards the rest of the body.
func (f FreeBody) pushes(force Force) bool {
	const near = 0.1 // m, from the joint in a limb to the surface that it rests on
	for _, e := range f.Fixtures {
		if e.Kind >= Floor && e.from(force.At) < near {
			return true
		}
	}
	return force.X*(f.Centre.X-force.At.X)+force.Y*(f.Centre.Y-force.At.Y) > 0
}

// from is the distance of a place from a fixture.
func (e Fixture) from(p Place) float64 {
	length := e.From.distance(e.To)
	if length == 0 {
		return p.distance(e.From)
	}
	t := ((p.X-e.From.X)*(e.To.X-e.From.X) + (p.Y-e.From.Y)*(e.To.Y-e.From.Y)) / (length * length)
	return p.distance(e.From.toward(e.To, min(max(t, 0), 1)))
}

// bodyExtent is the room that the body takes.
func (f FreeBody) bodyExtent() extent {
	e := noExtent()
	for _, shape := range f.Body {
		for _, p := range shape.Points {
			e.see(Place(p), 0)
		}
	}
	return e
}

// bodyShares are the sizes that are tried, of the largest that fits.
var bodyShares = []float64{1, 0.94, 0.88, 0.82, 0.76, 0.7, 0.64, 0.58, 0.52, 0.46}

// fixtureMargin is how far fixtures go on beyond the body and its arrows, m.
const fixtureMargin = 0.12

func (f FreeBody) Draw(s *sheet) error {
	body := f.bodyExtent()
	largest := 1.0 // the weight
	for _, force := range f.Forces {
		largest = max(largest, force.size())
	}
	metres := forceReach * max(body.width(), body.height()) / largest
	all := body
	for _, force := range f.shownForces() {
		tail, tip := f.arrow(force, metres)
		all.see(tail, 0)
		all.see(tip, 0)
	}
	tail, tip := f.weightArrow(metres)
	all.see(tail, 0)
	all.see(tip, 0)
	for _, l := range f.Loads {
		all.see(l.At.plus(0, metres*l.Y), 0)
	}
	fixtures := f.clipFixtures(extent{all.x0 - fixtureMargin, all.y0 - fixtureMargin, all.x1 + fixtureMargin, all.y1 + fixtureMargin})
	for _, e := range fixtures {
		all.see(e.From, fixtureMargin/3)
		all.see(e.To, fixtureMargin/3)
	}

	// The picture is as large as leaves room for the labels: of several sizes and
	// places the one with the best balance.
	below, err := s.footing(f.arrowsKey(), s.size.note())
	if err != nil {
		return err
	}
	area := s.body
	area.y1 = below - 0.5*s.size.text
	largestScale := min(area.width()/all.width(), area.height()/all.height())
	start := len(s.items)
	best, found := math.Inf(1), view{}
	var failed error
	for _, share := range bodyShares {
		for _, shift := range []float64{0, -0.7, 0.7} {
			small := 30*(1/share-1) + 5*math.Abs(shift) // the price of being small and off the middle
			if small >= best-tie {
				continue
			}
			v := view{scale: share * largestScale, force: metres}
			v.origin = point{
				(area.x0+area.x1)/2 - v.scale*(all.x0+all.x1)/2 + shift*(area.width()-v.scale*all.width())/2,
				(area.y0+area.y1)/2 + v.scale*(all.y0+all.y1)/2,
			}
			cost, err := f.compose(s, area, v, fixtures)
			s.items = s.items[:start]
			if err != nil {
				failed = err
			} else if cost+small < best-tie {
				best, found = cost+small, v
			}
		}
	}
	if math.IsInf(best, 1) {
		return failed
	}
	_, err = f.compose(s, area, found, fixtures)
	return err
}

// arrowsKey says what arrows are.
func (f FreeBody) arrowsKey() string {
	if len(f.shownMoments()) == 0 {
		return "Arrows: forces on the body, as what weighs as much."
	}
	return "Straight arrows: forces on the body, as what weighs as much. Curved: what a joint must hold, as a weight one metre away."
}

// clipFixtures cuts the fixtures to what is near the body.
func (f FreeBody) clipFixtures(near extent) []Fixture {
	var kept []Fixture
	for _, e := range f.Fixtures {
		a, b, ok := clipSegment(point{e.From.X, e.From.Y}, point{e.To.X, e.To.Y}, rect(near))
		if ok {
			kept = append(kept, Fixture{e.Kind, Place{a.x, a.y}, Place{b.x, b.y}})
		}
	}
	return kept
}

// compose draws everything but the key and returns how poor the places of the
// labels are.
func (f FreeBody) compose(s *sheet, area rect, v view, fixtures []Fixture) (float64, error) {
	c := s.theme.body()
	place := &placer{sheet: s, area: area}
	for _, e := range fixtures {
		f.drawFixture(s, place, v, e)
	}
	f.drawBody(s, place, v)

	arcs, radius := f.shownMoments(), f.arcRadius(s, v)
	for _, m := range arcs {
		drawArc(s, place, c.moment, v.at(m.At), radius, f.arcGap(v, m, radius), m.Value)
	}
	shaft := 0.75 * s.size.thick
	forces := f.shownForces()
	for _, force := range forces {
		tail, tip := f.arrow(force, v.force)
		drawArrow(s, place, c.force, shaft, v.at(tail), v.at(tip))
	}
	tail, tip := f.weightArrow(v.force)
	drawArrow(s, place, c.weight, shaft, v.at(tail), v.at(tip))
	f.drawCentre(s, place, v)
	for _, l := range f.Loads {
		l.draw(s, place, v, shaft)
	}

	size := s.size.note()
	gap := 0.5 * size
	for _, d := range f.Dimensions {
		if err := f.drawDimension(s, place, v, d); err != nil {
			return 0, err
		}
	}
	cost := 0.0
	label := func(lines [][]string, own, anchors []point, gap float64, hue color.RGBA) error {
		paid, err := place.block(lines, own, anchors, gap, true, size, s.theme.textColor(hue))
		cost += paid
		return err
	}
	for _, force := range forces {
		tail, tip := f.arrow(force, v.force)
		own := []point{v.at(tail), v.at(tip)}
		anchors := alongArrow(own[0], own[1], f.pushes(force))
		name, kilograms, share := words.Capital(force.Name), f.kilograms(force.size()), words.NoBreak(words.Whole(force.size())+" of body weight")
		lines := [][]string{{name + ": " + kilograms, share}, {name + ":", kilograms, share}}
		if err := label(lines, own, anchors, gap+shaft, c.force); err != nil {
			return 0, err
		}
	}
	if err := label([][]string{{"Weight: " + f.kilograms(1)}, {"Weight:", f.kilograms(1)}}, []point{v.at(tail), v.at(tip)}, alongArrow(v.at(tail), v.at(tip), tip == f.Centre), gap+shaft, c.weight); err != nil {
		return 0, err
	}
	for _, l := range f.Loads {
		ends := []point{v.at(l.At), v.at(l.At.plus(0, v.force*l.Y))}
		if err := label([][]string{{l.Text}, brokenInTwo(l.Text)}, ends, alongArrow(ends[0], ends[1], false), gap+loadSize(s)/2, c.weight); err != nil {
			return 0, err
		}
	}
	for _, m := range arcs {
		name, value := words.Capital(m.Name), f.momentText(m)
		if err := label([][]string{{name + ": " + value}, {name + ":", value}}, nil, []point{v.at(m.At)}, gap+radius, c.moment); err != nil {
			return 0, err
		}
	}
	return cost, nil
}

// loadSize is the side of the mark of what is carried.
func loadSize(s *sheet) float64 { return 0.6 * s.size.text }

// draw draws what is carried: a square at its place, and the arrow of its force.
func (l Load) draw(s *sheet, place *placer, v view, shaft float64) {
	c, at, half := s.theme.body().weight, v.at(l.At), loadSize(s)/2
	if tip := v.at(l.At.plus(0, v.force*l.Y)); math.Abs(tip.y-at.y) > half {
		drawArrow(s, place, c, shaft, at, tip)
	}
	s.fill(s.theme.Background, square(at, half+s.size.thin)...)
	s.fill(c, square(at, half)...)
	place.take(at, half)
}

func square(at point, half float64) []point {
	return []point{{at.x - half, at.y - half}, {at.x + half, at.y - half}, {at.x + half, at.y + half}, {at.x - half, at.y + half}}
}

// brokenInTwo breaks a text at the space nearest to its middle.
func brokenInTwo(text string) []string {
	best := -1
	for i, r := range text {
		if r == ' ' && (best < 0 || math.Abs(float64(2*i-len(text))) < math.Abs(float64(2*best-len(text)))) {
			best = i
		}
	}
	if best < 0 {
		return []string{text}
	}
	return []string{text[:best], text[best+1:]}
}

// alongArrow returns the points of an arrow beside which its label may stand,
// the best first: those away from the body, where what pushes has its tail.
func alongArrow(tail, tip point, pushes bool) []point {
	if pushes {
		tail, tip = tip, tail
	}
	return []point{between(tail, tip, 0.6), between(tail, tip, 0.75), between(tail, tip, 0.4), tip}
}

func between(a, b point, t float64) point { return point{a.x + t*(b.x-a.x), a.y + t*(b.y-a.y)} }

// drawFixture draws a fixture and keeps labels off it.
func (f FreeBody) drawFixture(s *sheet, place *placer, v view, e Fixture) {
	t, c := s.theme, s.theme.body()
	a, b := v.at(e.From), v.at(e.To)
	const poleWidth, barWidth = 0.045, 0.03 // m
	pale := mix(t.Background, c.fixture, 0.45)
	switch e.Kind {
	case Pole, Bar:
		width := poleWidth
		if e.Kind == Bar {
			width = barWidth
		}
		width = max(width*v.scale, 1.5*s.size.thick)
		if e.From == e.To {
			s.disc(c.fixture, a, width/2)
			s.disc(pale, a, width/2-s.size.thin)
			place.take(a, width/2)
			return
		}
		s.stroke(c.fixture, width, nil, a, b)
		s.stroke(pale, width-2*s.size.thin, nil, a, b)
	case Cable:
		s.stroke(c.fixture, 1.2*s.size.thin, nil, a, b)
	default:
		s.stroke(c.fixture, 1.6*s.size.thin, nil, a, b)
		f.hatch(s, place, v, e, pale)
	}
	place.avoid([]point{a, b}, 1.5)
}

// hatch marks the solid side of a surface: the one away from the body.
func (f FreeBody) hatch(s *sheet, place *placer, v view, e Fixture, c color.RGBA) {
	a, b := v.at(e.From), v.at(e.To)
	length := math.Hypot(b.x-a.x, b.y-a.y)
	if length == 0 {
		return
	}
	along := point{(b.x - a.x) / length, (b.y - a.y) / length}
	across := point{-along.y, along.x}
	body := v.at(f.Centre)
	if (body.x-a.x)*across.x+(body.y-a.y)*across.y > 0 {
		across = point{-across.x, -across.y}
	}
	step, deep := 0.55*s.size.text, 0.5*s.size.text
	place.avoid([]point{{a.x + deep*across.x, a.y + deep*across.y}, {b.x + deep*across.x, b.y + deep*across.y}}, 1)
	for at := step / 2; at < length; at += step {
		from := point{a.x + at*along.x, a.y + at*along.y}
		back := min(deep, at) // the strokes lean back, and end with the surface
		to := point{from.x + deep*across.x - back*along.x, from.y + deep*across.y - back*along.y}
		s.stroke(c, s.size.thin, nil, from, to)
	}
}

// drawBody draws the silhouettes, the far one first.
func (f FreeBody) drawBody(s *sheet, place *placer, v view) {
	c := s.theme.body()
	drawSilhouette(s, v, f.Body, func(layer limbs.Layer) (fill, outline color.RGBA) {
		if layer == limbs.Far {
			return c.far, mix(c.outline, s.theme.Background, 0.45)
		}
		return c.near, c.outline
	}, func(closed []point) {
		place.avoid(thinned(closed, 3), 1.6)
		n := len(closed) - 1 // the last is the first again
		place.avoid([]point{between(closed[0], closed[n-1], 0.5), between(closed[(n-1)/2], closed[n/2], 0.5)}, 1.6)
	})
}

// drawSilhouette draws a body layer by layer, of each all outlines first and then all
// fills, so that its parts are one. drawn, unless nil, sees every outline.
func drawSilhouette(s *sheet, v view, shapes []limbs.Shape, colors func(limbs.Layer) (fill, outline color.RGBA), drawn func(closed []point)) {
	for layer := range limbs.NumLayers {
		fill, outline := colors(layer)
		var closed [][]point
		for _, shape := range shapes {
			if shape.Layer != layer {
				continue
			}
			points := make([]point, 0, len(shape.Points)+1)
			for _, p := range shape.Points {
				points = append(points, v.at(Place(p)))
			}
			closed = append(closed, append(points, points[0]))
		}
		for _, points := range closed {
			s.stroke(outline, 1.5*s.size.thin, nil, points...)
			if drawn != nil {
				drawn(points)
			}
		}
		for _, points := range closed {
			s.fill(fill, points...)
		}
	}
}

// thinned keeps every few points and the last: enough to keep labels off.
func thinned(points []point, every int) []point {
	if len(points) < 4*every {
		return points
	}
	var kept []point
	for i := 0; i < len(points)-1; i += every {
		kept = append(kept, points[i])
	}
	return append(kept, points[len(points)-1])
}

// ring is part of a circle, counterclockwise as seen, in steps of at most 10°.
func ring(center point, radius, from, to float64) []point {
	steps := max(1, int(math.Ceil(math.Abs(to-from)/(math.Pi/18))))
	points := make([]point, steps+1)
	for i := range points {
		sin, cos := math.Sincos(from + (to-from)*float64(i)/float64(steps))
		points[i] = point{center.x + radius*cos, center.y - radius*sin}
	}
	return points
}

// drawArrow draws an arrow whose tip and tail are exactly the ends given.
func drawArrow(s *sheet, place *placer, c color.RGBA, width float64, tail, tip point) {
	length := math.Hypot(tip.x-tail.x, tip.y-tail.y)
	head := min(4.2*width, length)
	along := point{(tip.x - tail.x) / length, (tip.y - tail.y) / length}
	neck := point{tip.x - head*along.x, tip.y - head*along.y}
	half := max(0.36*head, 1.1*width)
	s.stroke(c, width, nil, tail, point{tip.x - 0.8*head*along.x, tip.y - 0.8*head*along.y})
	s.fill(c, tip, point{neck.x - half*along.y, neck.y + half*along.x}, point{neck.x + half*along.y, neck.y - half*along.x})
	place.avoid([]point{tail, tip}, arrowWeight)
	for _, t := range []float64{0.25, 0.75} { // the head
		at := between(neck, tip, t)
		place.take(at, half/2)
	}
}

// arcRadius is that of the arcs of moments: what suits the type, less where
// joints are near each other.
func (f FreeBody) arcRadius(s *sheet, v view) float64 {
	radius := 1.15 * s.size.text
	all := f.shownMoments()
	for i := range all {
		for k := range i {
			if d := v.scale * all[i].At.distance(all[k].At); d > 0 {
				radius = min(radius, 0.42*d)
			}
		}
	}
	return max(radius, 0.5*s.size.text)
}

// arcGap is the direction in which an arc is open: towards the mark of the
// centre of mass where that is near, but away from one inside, where the arrow
// of the weight would hide the arc's head; else down.
func (f FreeBody) arcGap(v view, m Moment, radius float64) float64 {
	toward := math.Atan2(f.Centre.Y-m.At.Y, f.Centre.X-m.At.X)
	switch d := v.scale * m.At.distance(f.Centre); {
	case d > 0 && d < radius:
		return toward + math.Pi
	case d > 0 && d < 2.2*radius:
		return toward
	}
	return -math.Pi / 2
}

// drawArc draws a moment: three quarters of a turn, open in the direction gap,
// with its head in the sense of its sign.
func drawArc(s *sheet, place *placer, c color.RGBA, center point, radius, gap, value float64) {
	from, to := gap+math.Pi/4, gap+7*math.Pi/4
	if value < 0 {
		from, to = to, from
	}
	width := 0.55 * s.size.thick
	head := min(4.5*width, 0.9*radius)
	turn := head / radius // the angle that the head takes
	if value < 0 {
		turn = -turn
	}
	points := ring(center, radius, from, to-0.7*turn)
	s.stroke(c, width, nil, points...)
	neck, tip := ring(center, radius, to-turn, to-turn)[0], ring(center, radius, to, to)[0]
	length := math.Hypot(tip.x-neck.x, tip.y-neck.y)
	half := 0.4 * head
	side := point{-(tip.y - neck.y) / length * half, (tip.x - neck.x) / length * half}
	s.fill(c, tip, point{neck.x + side.x, neck.y + side.y}, point{neck.x - side.x, neck.y - side.y})
	place.take(center, 0.75*radius)
	place.avoid(points, 2)
}

// centreRadius is that of the mark of the centre of mass.
func centreRadius(s *sheet) float64 { return 0.42 * s.size.text }

// drawCentre draws the quartered circle of the whole body's centre of mass.
func (f FreeBody) drawCentre(s *sheet, place *placer, v view) {
	at := v.at(f.Centre)
	quartered(s, at, centreRadius(s))
	place.take(at, centreRadius(s))
}

func quartered(s *sheet, at point, radius float64) {
	s.disc(s.theme.Ink, at, radius)
	s.disc(s.theme.Background, at, radius-s.size.thin)
	for _, from := range []float64{0, math.Pi} {
		s.fill(s.theme.Ink, append(ring(at, radius-s.size.thin/2, from, from+math.Pi/2), at)...)
	}
}

// drawDimension draws a distance beside the line between its ends, where least
// is in its way, with its text at the middle.
func (f FreeBody) drawDimension(s *sheet, place *placer, v view, d Dimension) error {
	size, ink := s.size.note(), s.theme.Muted
	a, b := v.at(d.From), v.at(d.To)
	length := math.Hypot(b.x-a.x, b.y-a.y)
	along := point{(b.x - a.x) / length, (b.y - a.y) / length}
	best := math.Inf(1)
	var from, to point
	for _, out := range []float64{1.4, 2.2, 3.2, 4.5, 6, 8, 10, -1.4, -2.2, -3.2, -4.5, -6, -8, -10} {
		p := point{a.x - out*size*along.y, a.y + out*size*along.x}
		q := point{b.x - out*size*along.y, b.y + out*size*along.x}
		if !p.inside(place.area) || !q.inside(place.area) {
			continue
		}
		middle := rect{min(p.x, q.x), min(p.y, q.y), max(p.x, q.x), max(p.y, q.y)}.grow(0.5 * size)
		if place.isTaken(middle) {
			continue
		}
		if cost := place.length(middle)/size + 0.4*math.Abs(out); cost < best-tie {
			best, from, to = cost, p, q
		}
	}
	if math.IsInf(best, 1) {
		return fmt.Errorf("chart: no room on the %s for the dimension %q", s.size.Name, d.Name)
	}
	for _, ends := range [][2]point{{a, from}, {b, to}} { // from the body to a little beyond the line
		away := math.Hypot(ends[1].x-ends[0].x, ends[1].y-ends[0].y)
		from, to := between(ends[0], ends[1], 0.25), between(ends[0], ends[1], 1+0.3*size/away)
		s.stroke(mix(ink, s.theme.Background, 0.4), s.size.thin, nil, from, to)
		place.avoid([]point{from, to}, 1.5)
	}
	s.stroke(ink, s.size.thin, nil, from, to)
	tick := 0.3 * size
	for _, p := range []point{from, to} {
		ends := []point{{p.x - tick*(along.x-along.y), p.y - tick*(along.y+along.x)}, {p.x + tick*(along.x-along.y), p.y + tick*(along.y+along.x)}}
		s.stroke(ink, 1.4*s.size.thin, nil, ends...)
		place.avoid(ends, 1.5)
	}
	place.avoid([]point{from, to}, 2)
	anchors := []point{between(from, to, 0.5), between(from, to, 0.35), between(from, to, 0.65), between(from, to, 0.2), between(from, to, 0.8)}
	_, err := place.block([][]string{{d.Name, f.far(d)}, {d.Name + " " + f.far(d)}}, []point{from, to}, anchors, 0.4*size, false, size, ink)
	return err
}
