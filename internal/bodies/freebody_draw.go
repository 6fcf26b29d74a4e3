package bodies

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/draw"
	"counterpoise/internal/limbs"
	"counterpoise/internal/words"
)

// forceReach is the length of the longest arrow as a share of the body's extent.
const forceReach = 0.18

// An Extent is a box of places.
type Extent struct{ X0, Y0, X1, Y1 float64 } // metres, y up

func noExtent() Extent { return Extent{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)} }

func (e *Extent) see(p Place, around float64) {
	e.X0, e.Y0 = min(e.X0, p.X-around), min(e.Y0, p.Y-around)
	e.X1, e.Y1 = max(e.X1, p.X+around), max(e.Y1, p.Y+around)
}

// Width is an extent's, m.
func (e Extent) Width() float64 { return e.X1 - e.X0 }

// Height is an extent's, m.
func (e Extent) Height() float64 { return e.Y1 - e.Y0 }

// A View maps places to the sheet, with one scale for both axes.
type View struct {
	Scale  float64    // pt a metre
	force  float64    // metres a body weight
	Origin draw.Point // of the place (0, 0)
}

// At is where a place is on the sheet.
func (v View) At(p Place) draw.Point {
	return draw.Point{X: v.Origin.X + v.Scale*p.X, Y: v.Origin.Y - v.Scale*p.Y}
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
	const near, clear = 0.05, 0.04 // m, across and along
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
	return slices.ContainsFunc(f.Fixtures, func(e Fixture) bool { return e.Kind >= Floor && e.from(force.At) < near }) ||
		force.X*(f.Centre.X-force.At.X)+force.Y*(f.Centre.Y-force.At.Y) > 0
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

// BodyExtent is the room that the body takes.
func (f FreeBody) BodyExtent() Extent {
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

// FixtureMargin is how far fixtures go on beyond the body and its arrows, m.
const FixtureMargin = 0.12

// Draw implements draw.Figure.
func (f FreeBody) Draw(s *draw.Sheet) error {
	body := f.BodyExtent()
	largest := 1.0 // the weight
	for _, force := range f.Forces {
		largest = max(largest, force.Size())
	}
	metres := forceReach * max(body.Width(), body.Height()) / largest
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
	fixtures := f.ClipFixtures(Extent{all.X0 - FixtureMargin, all.Y0 - FixtureMargin, all.X1 + FixtureMargin, all.Y1 + FixtureMargin})
	for _, e := range fixtures {
		all.see(e.From, FixtureMargin/3)
		all.see(e.To, FixtureMargin/3)
	}

	// The picture is as large as leaves room for the labels: of several sizes and
	// places the one with the best balance.
	below, err := s.Footing(f.arrowsKey(), s.Size.Note())
	if err != nil {
		return err
	}
	area := s.Body
	area.Y1 = below - 0.5*s.Size.Text
	largestScale := min(area.Width()/all.Width(), area.Height()/all.Height())
	start := len(s.Items)
	best, found, first := math.Inf(1), View{}, false
	var failed error
	for _, share := range bodyShares {
		for _, shift := range []float64{0, -0.7, 0.7} {
			small := 70*(1/share-1) + 15*math.Abs(shift) // the price of being small and off the middle
			if small >= best-draw.Tie {
				continue
			}
			v := View{Scale: share * largestScale, force: metres}
			v.Origin = draw.Point{
				X: (area.X0+area.X1)/2 - v.Scale*(all.X0+all.X1)/2 + shift*(area.Width()-v.Scale*all.Width())/2,
				Y: (area.Y0+area.Y1)/2 + v.Scale*(all.Y0+all.Y1)/2,
			}
			for _, last := range []bool{false, true} { // whose moment's label is placed first
				cost, err := f.compose(s, area, v, fixtures, last, best-small)
				s.Items = s.Items[:start]
				if err != nil {
					failed = err
				} else if cost+small < best-draw.Tie {
					best, found, first = cost+small, v, last
				}
			}
		}
	}
	if math.IsInf(best, 1) {
		return failed
	}
	_, err = f.compose(s, area, found, fixtures, first, math.Inf(1))
	return err
}

// arrowsKey says what arrows are.
func (f FreeBody) arrowsKey() string {
	key := "Straight arrows: forces on the body, told as weights. Curved: what a joint must hold, as a weight one metre away."
	if len(f.shownMoments()) == 0 {
		key = "Arrows: forces on the body, told as weights."
	}
	return strings.TrimSpace(key + " " + f.Also)
}

// ClipFixtures cuts the fixtures to what is near the body.
func (f FreeBody) ClipFixtures(near Extent) []Fixture {
	var kept []Fixture
	for _, e := range f.Fixtures {
		a, b, ok := draw.ClipSegment(draw.Point{X: e.From.X, Y: e.From.Y}, draw.Point{X: e.To.X, Y: e.To.Y}, draw.Rect(near))
		if ok {
			kept = append(kept, Fixture{e.Kind, Place{a.X, a.Y}, Place{b.X, b.Y}})
		}
	}
	return kept
}

// compose draws everything but the key and returns how poor the places of the
// labels are, those of the moments placed from the first or from the last on. It stops where they
// are no better than most.
func (f FreeBody) compose(s *draw.Sheet, area draw.Rect, v View, fixtures []Fixture, fromLast bool, most float64) (float64, error) {
	c := s.Theme.Body()
	place := &draw.Placer{Sheet: s, Area: area}
	f.drawHeld(s, place, v, fixtures, func() { f.DrawBody(s, place, v) })

	arcs, radius := f.shownMoments(), f.arcRadius(s, v)
	shaft := 0.75 * s.Size.Thick
	forces := f.shownForces()
	for _, force := range forces {
		tail, tip := f.arrow(force, v.force)
		DrawArrow(s, place, c.Force, shaft, v.At(tail), v.At(tip))
	}
	tail, tip := f.weightArrow(v.force)
	DrawArrow(s, place, c.Weight, shaft, v.At(tail), v.At(tip))
	f.drawCentre(s, place, v)
	for _, m := range arcs { // thin, over arrows that begin or end at the same joint
		drawArc(s, place, c.Moment, v.At(m.At), radius, f.arcGap(v, m, radius), m.Value)
	}
	for _, l := range f.Loads {
		l.draw(s, place, v, shaft)
	}

	size := s.Size.Note()
	gap := 0.5 * size
	for _, d := range f.Dimensions {
		if err := f.drawDimension(s, place, v, d); err != nil {
			return 0, err
		}
	}
	cost := 0.0
	label := func(lines [][]string, own, anchors []draw.Point, gap float64, hue color.RGBA) error {
		if cost >= most {
			return nil
		}
		paid, err := place.Block(lines, own, anchors, gap, true, size, s.Theme.TextColor(hue))
		cost += paid
		return err
	}
	for _, force := range forces {
		tail, tip := f.arrow(force, v.force)
		own := []draw.Point{v.At(tail), v.At(tip)}
		anchors := alongArrow(own[0], own[1], f.pushes(force))
		name, kilograms, shares := words.Capital(force.Name), f.size(force), f.shares(force)
		lines := [][]string{append([]string{name + ": " + kilograms}, shares...), append([]string{name + ":", kilograms}, shares...)}
		if err := label(lines, own, anchors, gap+shaft, c.Force); err != nil {
			return 0, err
		}
	}
	if err := label([][]string{{"Weight: " + f.kilograms(1)}, {"Weight:", f.kilograms(1)}}, []draw.Point{v.At(tail), v.At(tip)}, alongArrow(v.At(tail), v.At(tip), tip == f.Centre), gap+shaft, c.Weight); err != nil {
		return 0, err
	}
	for _, l := range f.Loads {
		ends := []draw.Point{v.At(l.At), v.At(l.At.plus(0, v.force*l.Y))}
		if err := label([][]string{{l.Text}, brokenInTwo(l.Text)}, ends, alongArrow(ends[0], ends[1], false), gap+loadSize(s)/2, c.Weight); err != nil {
			return 0, err
		}
	}
	if fromLast {
		slices.Reverse(arcs)
	}
	for _, m := range arcs {
		name, value := words.Capital(m.Name), f.momentText(m)
		if err := label([][]string{{name + ": " + value}, {name + ":", value}, append([]string{name + ":"}, brokenInTwo(value)...)}, nil, []draw.Point{v.At(m.At)}, gap+radius+0.2*size, c.Moment); err != nil {
			return 0, err
		}
	}
	return cost, nil
}

// loadSize is the side of the mark of what is carried.
func loadSize(s *draw.Sheet) float64 { return 0.6 * s.Size.Text }

// draw draws what is carried: a square at its place, and the arrow of its force.
func (l Load) draw(s *draw.Sheet, place *draw.Placer, v View, shaft float64) {
	c, at, half := s.Theme.Body().Weight, v.At(l.At), loadSize(s)/2
	if tip := v.At(l.At.plus(0, v.force*l.Y)); math.Abs(tip.Y-at.Y) > half {
		DrawArrow(s, place, c, shaft, at, tip)
	}
	s.Fill(s.Theme.Background, square(at, half+s.Size.Thin)...)
	s.Fill(c, square(at, half)...)
	place.Take(at, half)
}

func square(at draw.Point, half float64) []draw.Point {
	return []draw.Point{{X: at.X - half, Y: at.Y - half}, {X: at.X + half, Y: at.Y - half}, {X: at.X + half, Y: at.Y + half}, {X: at.X - half, Y: at.Y + half}}
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
func alongArrow(tail, tip draw.Point, pushes bool) []draw.Point {
	if pushes {
		tail, tip = tip, tail
	}
	return []draw.Point{between(tail, tip, 0.6), between(tail, tip, 0.75), between(tail, tip, 0.4), tip}
}

func between(a, b draw.Point, t float64) draw.Point {
	return draw.Point{X: a.X + t*(b.X-a.X), Y: a.Y + t*(b.Y-a.Y)}
}

// drawHeld draws a body before what holds it, and bars that are seen end-on within its fists.
func (f FreeBody) drawHeld(s *draw.Sheet, place *draw.Placer, v View, fixtures []Fixture, body func()) {
	for _, e := range fixtures {
		if e.From != e.To {
			f.DrawFixture(s, place, v, e)
		}
	}
	body()
	for _, e := range fixtures {
		if e.From == e.To {
			f.DrawFixture(s, place, v, e)
		}
	}
}

// DrawFixture draws a fixture and keeps labels off it.
func (f FreeBody) DrawFixture(s *draw.Sheet, place *draw.Placer, v View, e Fixture) {
	t, c := s.Theme, s.Theme.Body()
	a, b := v.At(e.From), v.At(e.To)
	const poleWidth, barWidth, ringWidth, ringRadius = 0.045, 0.03, 0.028, 0.104 // m; of competition rings, from memory
	pale := draw.Mix(t.Background, c.Fixture, 0.45)
	switch e.Kind {
	case Pole, Bar:
		width := poleWidth
		if e.Kind == Bar {
			width = barWidth
		}
		width = max(width*v.Scale, 1.5*s.Size.Thick)
		if e.From == e.To { // within the fist that holds it
			s.Disc(t.Background, a, width/2+s.Size.Thin)
			s.Disc(c.Fixture, a, width/2)
			s.Disc(pale, a, width/2-s.Size.Thin)
			place.Take(a, width/2)
			return
		}
		s.Stroke(c.Fixture, width, nil, a, b)
		s.Stroke(pale, width-2*s.Size.Thin, nil, a, b)
	case Cable, Ring:
		s.Stroke(c.Fixture, 1.2*s.Size.Thin, nil, a, b)
		if length := e.From.distance(e.To); e.Kind == Ring && length > 2*ringRadius {
			round := ring(v.At(e.From.toward(e.To, ringRadius/length)), ringRadius*v.Scale, 0, 2*math.Pi)
			width := max(ringWidth*v.Scale, 3*s.Size.Thin)
			s.Stroke(c.Fixture, width, nil, round...)
			s.Stroke(pale, width-2*s.Size.Thin, nil, round...)
			place.Avoid(round, 1.5)
		}
	default:
		s.Stroke(c.Fixture, 1.6*s.Size.Thin, nil, a, b)
		f.hatch(s, place, v, e, pale)
	}
	place.Avoid([]draw.Point{a, b}, 1.5)
}

// hatch marks the solid side of a surface: the one away from the body.
func (f FreeBody) hatch(s *draw.Sheet, place *draw.Placer, v View, e Fixture, c color.RGBA) {
	a, b := v.At(e.From), v.At(e.To)
	length := math.Hypot(b.X-a.X, b.Y-a.Y)
	if length == 0 {
		return
	}
	along := draw.Point{X: (b.X - a.X) / length, Y: (b.Y - a.Y) / length}
	across := draw.Point{X: -along.Y, Y: along.X}
	body := v.At(f.Centre)
	if (body.X-a.X)*across.X+(body.Y-a.Y)*across.Y > 0 {
		across = draw.Point{X: -across.X, Y: -across.Y}
	}
	step, deep := 0.55*s.Size.Text, 0.5*s.Size.Text
	place.Avoid([]draw.Point{{X: a.X + deep*across.X, Y: a.Y + deep*across.Y}, {X: b.X + deep*across.X, Y: b.Y + deep*across.Y}}, 1)
	for at := step / 2; at < length; at += step {
		from := draw.Point{X: a.X + at*along.X, Y: a.Y + at*along.Y}
		back := min(deep, at) // the strokes lean back, and end with the surface
		to := draw.Point{X: from.X + deep*across.X - back*along.X, Y: from.Y + deep*across.Y - back*along.Y}
		s.Stroke(c, s.Size.Thin, nil, from, to)
	}
}

// DrawBody draws the silhouettes, the far one first.
func (f FreeBody) DrawBody(s *draw.Sheet, place *draw.Placer, v View) {
	c := s.Theme.Body()
	f.drawSilhouette(s, v, func(layer limbs.Layer) (fill, outline color.RGBA) {
		if layer == limbs.Far {
			return c.Far, draw.Mix(c.Outline, s.Theme.Background, 0.45)
		}
		return c.Near, c.Outline
	}, func(closed []draw.Point) {
		place.Avoid(thinned(closed, 3), 1.6)
		n := len(closed) - 1 // the last is the first again
		place.Avoid([]draw.Point{between(closed[0], closed[n-1], 0.5), between(closed[(n-1)/2], closed[n/2], 0.5)}, 1.6)
	})
}

// drawSilhouette draws a body layer by layer, of each all outlines first and then all
// fills, so that its parts are one. A pole breaks off at the body that is before it. drawn,
// unless nil, sees every outline.
func (f FreeBody) drawSilhouette(s *draw.Sheet, v View, colors func(limbs.Layer) (fill, outline color.RGBA), drawn func(closed []draw.Point)) {
	before := slices.ContainsFunc(f.Fixtures, func(e Fixture) bool { return e.Kind == Pole })
	for layer := range limbs.NumLayers {
		fill, outline := colors(layer)
		var closed [][]draw.Point
		for _, shape := range f.Body {
			if shape.Layer != layer {
				continue
			}
			points := make([]draw.Point, 0, len(shape.Points)+1)
			for _, p := range shape.Points {
				points = append(points, v.At(Place(p)))
			}
			closed = append(closed, append(points, points[0]))
		}
		if layer == limbs.Body && before {
			for _, points := range closed {
				s.Stroke(s.Theme.Background, 3.5*s.Size.Thin, nil, points...)
			}
		}
		for _, points := range closed {
			s.Stroke(outline, 1.5*s.Size.Thin, nil, points...)
			if drawn != nil {
				drawn(points)
			}
		}
		for _, points := range closed {
			s.Fill(fill, points...)
		}
	}
}

// thinned keeps every few points and the last: enough to keep labels off.
func thinned(points []draw.Point, every int) []draw.Point {
	if len(points) < 4*every {
		return points
	}
	var kept []draw.Point
	for i := 0; i < len(points)-1; i += every {
		kept = append(kept, points[i])
	}
	return append(kept, points[len(points)-1])
}

// ring is part of a circle, counterclockwise as seen, in steps of at most 10°.
func ring(center draw.Point, radius, from, to float64) []draw.Point {
	steps := max(1, int(math.Ceil(math.Abs(to-from)/(math.Pi/18))))
	points := make([]draw.Point, steps+1)
	for i := range points {
		sin, cos := math.Sincos(from + (to-from)*float64(i)/float64(steps))
		points[i] = draw.Point{X: center.X + radius*cos, Y: center.Y - radius*sin}
	}
	return points
}

// DrawArrow draws an arrow whose tip and tail are exactly the ends given.
func DrawArrow(s *draw.Sheet, place *draw.Placer, c color.RGBA, width float64, tail, tip draw.Point) {
	length := math.Hypot(tip.X-tail.X, tip.Y-tail.Y)
	head := min(4.2*width, length)
	along := draw.Point{X: (tip.X - tail.X) / length, Y: (tip.Y - tail.Y) / length}
	neck := draw.Point{X: tip.X - head*along.X, Y: tip.Y - head*along.Y}
	half := max(0.36*head, 1.1*width)
	s.Stroke(c, width, nil, tail, draw.Point{X: tip.X - 0.8*head*along.X, Y: tip.Y - 0.8*head*along.Y})
	s.Fill(c, tip, draw.Point{X: neck.X - half*along.Y, Y: neck.Y + half*along.X}, draw.Point{X: neck.X + half*along.Y, Y: neck.Y - half*along.X})
	place.Avoid([]draw.Point{tail, tip}, draw.ArrowWeight)
	for _, t := range []float64{0.25, 0.75} { // the head
		at := between(neck, tip, t)
		place.Take(at, half/2)
	}
}

// arcRadius is that of the arcs of moments: what suits the type, less where
// joints are near each other.
func (f FreeBody) arcRadius(s *draw.Sheet, v View) float64 {
	radius := 1.15 * s.Size.Text
	all := f.shownMoments()
	for i := range all {
		for k := range i {
			if d := v.Scale * all[i].At.distance(all[k].At); d > 0 {
				radius = min(radius, 0.42*d)
			}
		}
	}
	return max(radius, 0.5*s.Size.Text)
}

// arcGap is the direction in which an arc is open: towards the mark of the
// centre of mass where that is near, but away from one inside, where the arrow
// of the weight would hide the arc's head; else down, or where the arc's head is
// clear of the arrows of forces.
func (f FreeBody) arcGap(v View, m Moment, radius float64) float64 {
	toward := math.Atan2(f.Centre.Y-m.At.Y, f.Centre.X-m.At.X)
	switch d := v.Scale * m.At.distance(f.Centre); {
	case d > 0 && d < radius:
		return toward + math.Pi
	case d > 0 && d < 2.2*radius:
		return toward
	}
	for _, gap := range []float64{-math.Pi / 2, math.Pi, 0} {
		to := gap + 7*math.Pi/4
		if m.Value < 0 {
			to = gap + math.Pi/4
		}
		if head := ring(v.At(m.At), radius, to, to)[0]; !slices.ContainsFunc(f.shownForces(), func(force Force) bool {
			tail, tip := f.arrow(force, v.force)
			_, _, near := draw.ClipSegment(v.At(tail), v.At(tip), draw.Rect{X0: head.X, Y0: head.Y, X1: head.X, Y1: head.Y}.Grow(radius/2))
			return near
		}) {
			return gap
		}
	}
	return -math.Pi / 2
}

// drawArc draws a moment: three quarters of a turn, open in the direction gap,
// with its head in the sense of its sign.
func drawArc(s *draw.Sheet, place *draw.Placer, c color.RGBA, center draw.Point, radius, gap, value float64) {
	from, to := gap+math.Pi/4, gap+7*math.Pi/4
	if value < 0 {
		from, to = to, from
	}
	width := 0.55 * s.Size.Thick
	head := min(4.5*width, 0.9*radius)
	turn := head / radius // the angle that the head takes
	if value < 0 {
		turn = -turn
	}
	points := ring(center, radius, from, to-0.7*turn)
	s.Stroke(c, width, nil, points...)
	neck, tip := ring(center, radius, to-turn, to-turn)[0], ring(center, radius, to, to)[0]
	length := math.Hypot(tip.X-neck.X, tip.Y-neck.Y)
	half := 0.4 * head
	side := draw.Point{X: -(tip.Y - neck.Y) / length * half, Y: (tip.X - neck.X) / length * half}
	s.Fill(c, tip, draw.Point{X: neck.X + side.X, Y: neck.Y + side.Y}, draw.Point{X: neck.X - side.X, Y: neck.Y - side.Y})
	place.Take(center, 0.75*radius)
	place.Avoid(points, 2)
}

// centreRadius is that of the mark of the centre of mass.
func centreRadius(s *draw.Sheet) float64 { return 0.42 * s.Size.Text }

// drawCentre draws the quartered circle of the whole body's centre of mass.
func (f FreeBody) drawCentre(s *draw.Sheet, place *draw.Placer, v View) {
	at := v.At(f.Centre)
	quartered(s, at, centreRadius(s))
	place.Take(at, centreRadius(s))
}

func quartered(s *draw.Sheet, at draw.Point, radius float64) {
	s.Disc(s.Theme.Ink, at, radius)
	s.Disc(s.Theme.Background, at, radius-s.Size.Thin)
	for _, from := range []float64{0, math.Pi} {
		s.Fill(s.Theme.Ink, append(ring(at, radius-s.Size.Thin/2, from, from+math.Pi/2), at)...)
	}
}

// drawDimension draws a distance beside the line between its ends, where least
// is in its way, with its text at the middle.
func (f FreeBody) drawDimension(s *draw.Sheet, place *draw.Placer, v View, d Dimension) error {
	size, ink := s.Size.Note(), s.Theme.Muted
	a, b := v.At(d.From), v.At(d.To)
	length := math.Hypot(b.X-a.X, b.Y-a.Y)
	along := draw.Point{X: (b.X - a.X) / length, Y: (b.Y - a.Y) / length}
	best := math.Inf(1)
	var from, to draw.Point
	for _, out := range []float64{1.4, 2.2, 3.2, 4.5, 6, 8, 10, -1.4, -2.2, -3.2, -4.5, -6, -8, -10} {
		p := draw.Point{X: a.X - out*size*along.Y, Y: a.Y + out*size*along.X}
		q := draw.Point{X: b.X - out*size*along.Y, Y: b.Y + out*size*along.X}
		if !p.Inside(place.Area) || !q.Inside(place.Area) {
			continue
		}
		middle := draw.Rect{X0: min(p.X, q.X), Y0: min(p.Y, q.Y), X1: max(p.X, q.X), Y1: max(p.Y, q.Y)}.Grow(0.5 * size)
		if place.IsTaken(middle) {
			continue
		}
		if cost := place.Length(middle, math.Inf(1))/size + 0.4*math.Abs(out); cost < best-draw.Tie {
			best, from, to = cost, p, q
		}
	}
	if math.IsInf(best, 1) {
		return fmt.Errorf("chart: no room on the %s for the dimension %q", s.Size.Name, d.Name)
	}
	for _, ends := range [][2]draw.Point{{a, from}, {b, to}} { // from the body to a little beyond the line
		away := math.Hypot(ends[1].X-ends[0].X, ends[1].Y-ends[0].Y)
		from, to := between(ends[0], ends[1], 0.25), between(ends[0], ends[1], 1+0.3*size/away)
		s.Stroke(draw.Mix(ink, s.Theme.Background, 0.4), s.Size.Thin, nil, from, to)
		place.Avoid([]draw.Point{from, to}, 1.5)
	}
	s.Stroke(ink, s.Size.Thin, nil, from, to)
	tick := 0.3 * size
	for _, p := range []draw.Point{from, to} {
		ends := []draw.Point{{X: p.X - tick*(along.X-along.Y), Y: p.Y - tick*(along.Y+along.X)}, {X: p.X + tick*(along.X-along.Y), Y: p.Y + tick*(along.Y+along.X)}}
		s.Stroke(ink, 1.4*s.Size.Thin, nil, ends...)
		place.Avoid(ends, 1.5)
	}
	place.Avoid([]draw.Point{from, to}, 2)
	anchors := []draw.Point{between(from, to, 0.5), between(from, to, 0.35), between(from, to, 0.65), between(from, to, 0.2), between(from, to, 0.8)}
	_, err := place.Block([][]string{{d.Name, f.far(d)}, {d.Name + " " + f.far(d)}}, []draw.Point{from, to}, anchors, 0.4*size, false, size, ink)
	return err
}
