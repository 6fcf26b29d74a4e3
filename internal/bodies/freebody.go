// Package bodies draws bodies in their holds, to scale: free bodies with the forces on them,
// and silhouettes beside charts. Shapes, forces and centres are given; it computes nothing but
// the layout.
package bodies

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/draw"
	"counterpoise/internal/limbs"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
)

// A Place is a point of the plane that a FreeBody shows, in metres; x points
// right and y up.
type Place struct{ X, Y float64 }

func (p Place) plus(x, y float64) Place         { return Place{p.X + x, p.Y + y} }
func (p Place) distance(o Place) float64        { return math.Hypot(o.X-p.X, o.Y-p.Y) }
func (p Place) toward(o Place, t float64) Place { return Place{p.X + t*(o.X-p.X), p.Y + t*(o.Y-p.Y)} }

// A Fixture is a straight part of what holds the body.
type Fixture struct {
	Kind     FixtureKind
	From, To Place // the same for a bar seen end-on
}

// FixtureKind says how a fixture is drawn.
type FixtureKind int

// The kinds. What can only push, the last three, is hatched behind.
const (
	Pole FixtureKind = iota
	Bar
	Cable
	Ring // on a cable, with the hand in it at the beginning
	Floor
	Wall
	Box
	numFixtureKinds
)

// A Force acts on the body from outside. X and Y are in multiples of body weight.
type Force struct {
	Name string // of where it acts, such as "both hands"
	At   Place
	X, Y float64
	// Along is how much of it goes along the arm, where that is told beside the picture; else 0. Share
	// is what of body weight that is told as, where the weight itself is not known; else 0.
	Along, Share float64
}

// Size is how large the force is, in multiples of body weight.
func (f Force) Size() float64 { return math.Hypot(f.X, f.Y) }

// A Load is a mass that the body carries at a place, or what is taken off it there.
type Load struct {
	Text string // such as "10 kg on the chest"
	At   Place
	Y    float64 // the force on the body, upwards, in multiples of body weight
}

// A Moment is what a joint passes on to the part of the body beyond it, in body
// weights times metres, positive counterclockwise.
type Moment struct {
	Name  string // of the joint, such as "shoulders"
	At    Place
	Value float64
}

// A Dimension is a distance worth reading off.
type Dimension struct {
	Name     string // such as "between the hands"
	From, To Place
	Text     string // how far it is, where that is not to be told by the picture's own digits
}

// A FreeBody is a body at rest, to scale, with the forces that hold it up and the moments
// that it needs inside, both as the kilograms that weigh as much. Arrows are as long as their
// forces are large; those under a hundredth of the weight are left out.
type FreeBody struct {
	Title      string
	View       string        // what is shown and from where, such as "front lever, seen from the side"
	Body       []limbs.Shape // from behind
	Centre     Place         // the whole body's
	Weight     float64       // N
	Units      words.System  // of what is written
	Forces     []Force       // together with the weight and the loads they sum to zero
	Loads      []Load
	Moments    []Moment
	Fixtures   []Fixture
	Dimensions []Dimension
	Also       string // a sentence that the numbers of the arrows need; may be empty
	Foot       draw.Foot
}

// Heading implements draw.Figure.
func (f FreeBody) Heading() (string, draw.Foot) { return f.Title, f.Foot }

// Alt implements Figure.
func (f FreeBody) Alt() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Free-body diagram to scale: %s.", f.View)
	fmt.Fprintf(&b, " The weight, %s, acts at the centre of mass, %s.", f.kilograms(1), f.whereabouts())
	for _, force := range f.shownForces() {
		fmt.Fprintf(&b, " Force on %s: %s%s.", force.Name, f.forceText(force), f.components(force))
	}
	for _, l := range f.Loads {
		fmt.Fprintf(&b, " Carried: %s.", l.Text)
	}
	for _, m := range f.shownMoments() {
		fmt.Fprintf(&b, " Moment at %s: %s, %s on the part beyond.", m.Name, f.momentText(m), sense(m.Value))
	}
	for _, d := range f.Dimensions {
		fmt.Fprintf(&b, " %s %s.", words.Capital(d.Name), f.far(d))
	}
	if f.Also != "" {
		b.WriteString(" " + f.Also)
	}
	return draw.Described(f, &b)
}

// whereabouts says where the centre of mass lies from each point of support.
func (f FreeBody) whereabouts() string {
	var parts []string
	for _, force := range f.shownForces() {
		across, up := f.Centre.X-force.At.X, f.Centre.Y-force.At.Y
		side, height := "to the right of", "above"
		if across < 0 {
			side = "to the left of"
		}
		if up < 0 {
			height = "below"
		}
		where := fmt.Sprintf("%s %s and %s %s", f.length(math.Abs(up)), height, f.length(math.Abs(across)), side)
		if math.Abs(across) < 0.005 {
			where = fmt.Sprintf("%s straight %s", f.length(math.Abs(up)), height)
		}
		parts = append(parts, where+" "+force.Name)
	}
	return strings.Join(parts, ", ")
}

func (f FreeBody) length(metres float64) string {
	return words.OneLine(words.Rough(metres, units.Length, f.Units))
}

func sense(moment float64) string {
	if moment < 0 {
		return "clockwise"
	}
	return "counterclockwise"
}

// shows says whether a force or moment is large enough to be drawn.
func shows(bodyWeights float64) bool { return math.Abs(bodyWeights) >= 0.005 }

func (f FreeBody) shownForces() []Force {
	return slices.DeleteFunc(slices.Clone(f.Forces), func(force Force) bool { return !shows(force.Size()) })
}

func (f FreeBody) shownMoments() []Moment {
	return slices.DeleteFunc(slices.Clone(f.Moments), func(m Moment) bool { return !shows(m.Value) })
}

// kilograms writes a force as the mass that weighs as much.
func (f FreeBody) kilograms(bodyWeights float64) string {
	return words.NoBreak(words.Weight(bodyWeights*f.Weight, f.Units))
}

func (f FreeBody) forceText(force Force) string {
	return f.size(force) + words.InBrackets(strings.Join(f.shares(force), ", "))
}

// size is how large a force is: what goes along the arm, where that is told.
func (f FreeBody) size(force Force) string {
	if force.Along > 0 {
		return words.NoBreak(f.kilograms(force.Along) + " along the arm")
	}
	return f.kilograms(force.Size())
}

// shares are what else is told of a force: what share of body weight that is, and how much it is in all.
func (f FreeBody) shares(force Force) []string {
	all := f.kilograms(force.Size())
	list := []string{words.NoBreak(words.Whole(cmp.Or(force.Share, force.Along, force.Size())) + " of body weight")}
	if force.Along > 0 && f.kilograms(force.Along) != all {
		list = append(list, words.NoBreak("in all "+all))
	}
	return list
}

func (f FreeBody) momentText(m Moment) string {
	return words.NoBreak(words.Turning(math.Abs(m.Value)*f.Weight, f.Units))
}

// components says where a force points, and how much of it.
func (f FreeBody) components(force Force) string {
	across, up := words.Across(force.X), words.Upwards(force.Y)
	switch {
	case !shows(force.X):
		return ", " + up
	case !shows(force.Y):
		return ", " + across
	}
	return fmt.Sprintf(", %s %s and %s %s", f.kilograms(math.Abs(force.X)), across, f.kilograms(math.Abs(force.Y)), up)
}

func (f FreeBody) far(d Dimension) string {
	if d.Text != "" {
		return d.Text
	}
	return f.length(d.From.distance(d.To))
}

// closes is how much of the weight may be left over by rounding.
const closes = 1e-6

// Check implements draw.Figure.
func (f FreeBody) Check() error {
	if f.View == "" {
		return draw.Wrong("free body", "the view is missing")
	}
	var values []float64
	see := func(places ...Place) {
		for _, p := range places {
			values = append(values, p.X, p.Y)
		}
	}
	for _, shape := range f.Body {
		if len(shape.Points) < 3 || shape.Layer < 0 || shape.Layer >= limbs.NumLayers {
			return draw.Wrong("free body", "a shape of %d points in the layer %v", len(shape.Points), shape.Layer)
		}
		for _, p := range shape.Points {
			see(Place(p))
		}
	}
	see(f.Centre)
	x, y := 0.0, -1.0
	for _, force := range f.Forces {
		if force.Name == "" {
			return draw.Wrong("free body", "a force has no name")
		}
		see(force.At)
		values = append(values, force.X, force.Y)
		x, y = x+force.X, y+force.Y
	}
	for _, l := range f.Loads {
		if l.Text == "" {
			return draw.Wrong("free body", "a load has no text")
		}
		see(l.At)
		values = append(values, l.Y)
		y += l.Y
	}
	for _, m := range f.Moments {
		if m.Name == "" {
			return draw.Wrong("free body", "a moment has no name")
		}
		see(m.At)
		values = append(values, m.Value)
	}
	for _, e := range f.Fixtures {
		if e.Kind < 0 || e.Kind >= numFixtureKinds {
			return draw.Wrong("free body", "unknown kind %d of a fixture", e.Kind)
		}
		see(e.From, e.To)
	}
	for _, d := range f.Dimensions {
		see(d.From, d.To)
		if d.Name == "" || d.From == d.To {
			return draw.Wrong("free body", "a dimension has no name or no length")
		}
	}
	if !draw.Drawable(values...) {
		return draw.Wrong("free body", "a value is not a number that can be drawn")
	}
	if !draw.Drawable(f.Weight) || f.Weight <= 0 {
		return draw.Wrong("free body", "a weight of %v N", f.Weight)
	}
	if len(f.Body) == 0 || len(f.shownForces()) == 0 {
		return draw.Wrong("free body", "no body or no force")
	}
	if math.Hypot(x, y) > closes {
		return fmt.Errorf("chart: free body: forces and weight leave (%.3g, %.3g) BW", x, y)
	}
	return nil
}
