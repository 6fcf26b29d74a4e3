package bodies

import (
	"image/color"
	"math"
	"strings"
	"testing"

	"counterpoise/internal/draw"
	"counterpoise/internal/draw/drawtest"
	"counterpoise/internal/limbs"
	"counterpoise/sim/statics"
)

// freeBody is an invented body on a pole and a floor: no two of its numbers are
// alike, its forces close.
// tapered is a shape with the two widths at its ends.
func tapered(layer limbs.Layer, from, to Place, first, last float64) limbs.Shape {
	long := from.distance(to)
	side := func(p Place, width float64) statics.Vec {
		return statics.Vec(p.plus(-(to.Y-from.Y)/long*width/2, (to.X-from.X)/long*width/2))
	}
	return limbs.Shape{Layer: layer, Points: []statics.Vec{side(from, first), side(to, last), side(to, -last), side(from, -first)}}
}

func freeBody() FreeBody {
	return FreeBody{
		Title: "An invented body: the upper hand carries 0.64\u00a0BW", View: "invented body, seen from the front",
		Body: []limbs.Shape{
			tapered(limbs.Far, Place{0.33, 1.36}, Place{0.02, 0.87}, 0.09, 0.05),
			tapered(limbs.Body, Place{0.31, 1.42}, Place{0.9, 1.37}, 0.24, 0.2),
			tapered(limbs.Body, Place{0.9, 1.37}, Place{1.74, 1.28}, 0.17, 0.06),
			tapered(limbs.Body, Place{0.3, 1.42}, Place{0.05, 1.47}, 0.15, 0.19),
			tapered(limbs.Over, Place{0.31, 1.42}, Place{0.04, 1.97}, 0.09, 0.05),
		},
		Centre:  Place{0.71, 1.385},
		Weight:  713,
		Forces:  []Force{{"upper hand", Place{0.04, 1.97}, -0.52, 0.37, 0, 0}, {"lower hand", Place{0.02, 0.87}, 0.49, 0.41, 0.62, 0}, {"both feet", Place{1.74, 1.28}, 0.03, 0.22, 0, 0}},
		Moments: []Moment{{"shoulder", Place{0.31, 1.42}, -0.083}, {"waist", Place{0.66, 1.39}, 0.171}, {"ankle", Place{1.6, 1.3}, 0.0007}},
		Fixtures: []Fixture{
			{Pole, Place{0, -3}, Place{0, 9}}, {Floor, Place{1.5, 1.25}, Place{2.1, 1.25}},
			{Wall, Place{2.1, 1.25}, Place{2.1, 1.7}}, {Cable, Place{0.04, 1.97}, Place{0.1, 2.3}}, {Bar, Place{0.04, 1.97}, Place{0.04, 1.97}},
		},
		Dimensions: []Dimension{{"hands", Place{0.04, 1.97}, Place{0.02, 0.87}, ""}},
		Foot:       drawtest.Foot,
	}
}

func TestFreeBodyAtEverySizeAndTheme(t *testing.T) {
	held := freeBody()
	held.Title = drawtest.LongName + ", human flag: hands 111\u00a0cm apart, arms 58° from the pole, 1.04\u00a0BW along the harder-working one"
	held.Foot.People = "ansur2-men and ansur2-women, Turnverein Oberbayern resampled, bmi 18.5..27, span/stature 1.00.., stature 168 cm, mass 60 kg"
	held.Foot.Model = drawtest.LongModel
	held.Foot.Source += " Widths of the limbs are for the eye."
	figures := []draw.Named{{Name: "free-body", Figure: freeBody()}, {Name: "long name", Figure: held}}
	drawtest.DrawnEverywhere(t, figures)
	drawtest.Anywhere(t, figures)
}

func TestFreeBodyGolden(t *testing.T) {
	figures := []draw.Named{{Name: "free-body", Figure: freeBody()}}
	drawtest.Kept(t, "", draw.Slide, draw.Column, figures)
	drawtest.Kept(t, "", draw.Post, draw.Print, figures)
}

// An arrowOn is an arrow as it stands on a sheet.
type arrowOn struct{ tail, tip draw.Point }

func (a arrowOn) vector() (x, y float64) { return a.tip.X - a.tail.X, a.tail.Y - a.tip.Y }

// arrowsOn reads the straight arrows of a colour back: a shaft of two points,
// and after it the head, which starts with its tip.
func arrowsOn(s *draw.Sheet, c color.RGBA) []arrowOn {
	var all []arrowOn
	for i, item := range s.Items {
		shaft, ok := item.(*draw.Stroke)
		if !ok || shaft.Color != c || len(shaft.Points) != 2 || i+1 == len(s.Items) {
			continue
		}
		if head, ok := s.Items[i+1].(*draw.Fill); ok && head.Color == c && len(head.Points) == 3 {
			all = append(all, arrowOn{shaft.Points[0], head.Points[0]})
		}
	}
	return all
}

// checkArrows compares the arrows on a sheet with a figure's forces, by the arrow of the
// weight: directions, lengths, that they close, and by the body's size where they act.
func checkArrows(t *testing.T, s *draw.Sheet, f FreeBody) {
	t.Helper()
	c := s.Theme.Body()
	supports, weights := arrowsOn(s, c.Force), arrowsOn(s, c.Weight)
	shown := f.shownForces()
	if len(supports) != len(shown) || len(weights) != 1 {
		t.Fatalf("%d and %d arrows for %d forces and the weight", len(supports), len(weights), len(shown))
	}
	sumX, sumY := weights[0].vector()
	scale := -sumY // pt a body weight
	if math.Abs(sumX) > 1e-9 || scale <= 0 {
		t.Errorf("the weight's arrow is (%g, %g) pt, want it to point down", sumX, sumY)
	}
	drawn := noExtent()
	for _, item := range s.Items {
		if shape, ok := item.(*draw.Fill); ok && (shape.Color == c.Near || shape.Color == c.Far) {
			for _, p := range shape.Points {
				drawn.see(Place{p.X, p.Y}, 0)
			}
		}
	}
	perMetre := drawn.Width() / f.BodyExtent().Width()
	acts := func(k int) draw.Point { // where a support acts: one end of its arrow
		if f.pushes(shown[k]) {
			return supports[k].tip
		}
		return supports[k].tail
	}
	for k, force := range shown {
		x, y := supports[k].vector()
		if math.Hypot(x-scale*force.X, y-scale*force.Y) > 1e-9*scale {
			t.Errorf("%s: arrow (%g, %g) pt, want (%g, %g)", force.Name, x, y, scale*force.X, scale*force.Y)
		}
		sumX, sumY = sumX+x, sumY+y
		at, first := acts(k), acts(0)
		if dx, dy := at.X-first.X-perMetre*(force.At.X-shown[0].At.X), first.Y-at.Y-perMetre*(force.At.Y-shown[0].At.Y); math.Hypot(dx, dy) > 1e-9*scale {
			t.Errorf("%s acts (%g, %g) pt away from where it should, by the scale of lengths", force.Name, dx, dy)
		}
	}
	if math.Hypot(sumX, sumY) > closes*scale {
		t.Errorf("the arrows leave (%g, %g) pt", sumX, sumY)
	}
}

func TestFreeBodyArrows(t *testing.T) {
	for _, size := range draw.Sizes {
		checkArrows(t, drawtest.MustLayout(t, freeBody(), size, draw.Light), freeBody())
	}
}

// Arcs turn the way their moments do, and only those that show are drawn.
func TestFreeBodyArcs(t *testing.T) {
	f := freeBody()
	s := drawtest.MustLayout(t, f, draw.Post, draw.Light)
	c := s.Theme.Body()
	var turns []float64
	for i, item := range s.Items {
		arc, ok := item.(*draw.Stroke)
		if !ok || arc.Color != c.Moment || len(arc.Points) < 10 {
			continue
		}
		head := s.Items[i+1].(*draw.Fill)
		points := append(arc.Points[:len(arc.Points):len(arc.Points)], head.Points[0])
		turn := 0.0 // twice the area swept, counterclockwise as seen
		for k := 1; k < len(points); k++ {
			a, b := points[k-1], points[k]
			turn += b.X*a.Y - a.X*b.Y
		}
		first, last := points[0], points[len(points)-1]
		turns = append(turns, turn+first.X*last.Y-last.X*first.Y)
	}
	if len(turns) != 2 || turns[0] >= 0 || turns[1] <= 0 { // shoulder and waist
		t.Errorf("arcs turn by %v, want clockwise for the shoulder, counterclockwise for the waist", turns)
	}
	for _, r := range drawtest.Runs(s) {
		if strings.HasPrefix(r.Text, "Ankle") {
			t.Error("a moment that rounds to zero is named")
		}
	}
}

// A picture is the same whatever the body's place in the plane.
func TestFreeBodyMoves(t *testing.T) {
	want := drawtest.MustLayout(t, freeBody(), draw.Post, draw.Light)
	g := freeBody()
	move := func(p *Place) { *p = p.plus(-3.27, 1.83) }
	for i := range g.Body {
		for k := range g.Body[i].Points {
			move((*Place)(&g.Body[i].Points[k]))
		}
	}
	move(&g.Centre)
	for i := range g.Forces {
		move(&g.Forces[i].At)
	}
	for i := range g.Moments {
		move(&g.Moments[i].At)
	}
	for i := range g.Fixtures {
		move(&g.Fixtures[i].From)
		move(&g.Fixtures[i].To)
	}
	for i := range g.Dimensions {
		move(&g.Dimensions[i].From)
		move(&g.Dimensions[i].To)
	}
	got := drawtest.MustLayout(t, g, draw.Post, draw.Light)
	if len(got.Items) != len(want.Items) {
		t.Fatalf("%d marks, want %d", len(got.Items), len(want.Items))
	}
	for i := range want.Items {
		a, b := want.Items[i].Places(), got.Items[i].Places()
		for k := range a {
			if math.Hypot(a[k].X-b[k].X, a[k].Y-b[k].Y) > 1e-9 {
				t.Errorf("mark %d, %T, moves from %v to %v", i, want.Items[i], a[k], b[k])
				break
			}
		}
	}
}

// What is carried has its mark and its label, and its force counts.
func TestFreeBodyLoads(t *testing.T) {
	f := freeBody()
	f.Loads = []Load{{Text: "10\u00a0kg on the chest", At: f.Centre.plus(-0.3, 0), Y: -0.125}, {Text: "20\u00a0kg taken off at the hips", At: f.Centre.plus(0.2, 0), Y: 0.25}}
	if err := f.Check(); err == nil {
		t.Error("the forces do not balance the loads, and are drawn")
	}
	f.Forces[0].Y -= 0.125
	for _, size := range draw.Sizes {
		for _, theme := range draw.Themes {
			s := drawtest.MustLayout(t, f, size, theme)
			drawtest.CheckTextApart(t, s)
			drawtest.CheckShapesOnCanvas(t, s)
			drawtest.CheckReadable(t, s)
			marks := 0
			for _, item := range s.Items {
				if square, ok := item.(*draw.Fill); ok && square.Color == s.Theme.Body().Weight && len(square.Points) == 4 {
					marks++
				}
			}
			if arrows := len(arrowsOn(s, s.Theme.Body().Weight)); marks != 2 || arrows != 3 { // the weight's as well
				t.Errorf("%s: %d marks and %d arrows", size.Name, marks, arrows)
			}
		}
	}
	for _, want := range []string{"Carried: 10\u00a0kg on the chest.", "Carried: 20\u00a0kg taken off at the hips."} {
		if !strings.Contains(f.Alt(), want) {
			t.Errorf("%q is not told: %s", want, f.Alt())
		}
	}
	f.Loads[0].Text = ""
	if err := f.Check(); err == nil {
		t.Error("a load without a text is drawn")
	}
}

func TestFreeBodyAlt(t *testing.T) {
	drawtest.AltSays(t, freeBody(),
		"weight, 73\u00a0kg", "58\u00a0cm below and 67\u00a0cm to the right of upper hand",
		"Force on upper hand: 46\u00a0kg (64\u00a0% of body weight), 38\u00a0kg to the left and 27\u00a0kg up",
		"Moment at shoulder: 6\u00a0kg at one metre, clockwise", "Moment at waist: 12\u00a0kg at one metre, counterclockwise",
		"Hands 110\u00a0cm", "20,000\u00a0bodies")
}

func TestFreeBodyRefusals(t *testing.T) {
	for _, c := range []struct {
		change func(*FreeBody)
		want   string
	}{
		{func(f *FreeBody) { f.Forces[1].X += 0.001 }, "leave (0.001,"},
		{func(f *FreeBody) { f.Forces = f.Forces[:2] }, "leave"},
		{func(f *FreeBody) { f.Forces = nil }, "no force"},
		{func(f *FreeBody) { f.Body = nil }, "no body"},
		{func(f *FreeBody) { f.Body[2].Points[1].Y = math.NaN() }, "not a number"},
		{func(f *FreeBody) { f.Body[1].Points = f.Body[1].Points[:2] }, "2 points"},
		{func(f *FreeBody) { f.Body[1].Layer = limbs.NumLayers }, "in the layer"},
		{func(f *FreeBody) { f.Moments[0].Value = math.Inf(1) }, "not a number"},
		{func(f *FreeBody) { f.Moments[1].Name = "" }, "no name"},
		{func(f *FreeBody) { f.Forces[2].Name = "" }, "no name"},
		{func(f *FreeBody) { f.Centre.X = math.NaN() }, "not a number"},
		{func(f *FreeBody) { f.Weight = 0 }, "weight of 0"},
		{func(f *FreeBody) { f.Fixtures[1].Kind = numFixtureKinds }, "unknown kind"},
		{func(f *FreeBody) { f.Dimensions[0].To = f.Dimensions[0].From }, "no length"},
		{func(f *FreeBody) { f.View = "" }, "view is missing"},
		{func(f *FreeBody) { f.Moments[0].Name = strings.Repeat("long ", 60) }, "no room"},
	} {
		drawtest.Refused(t, "free body", drawtest.Spoiled(freeBody(), c.change), c.want)
	}
}

// Whatever numbers come in, layout ends with a picture or an error.
func FuzzFreeBody(f *testing.F) {
	f.Add(0.3, 1.4, -0.5, 0.17)
	f.Add(1e11, -1e-9, 3.0, -1e6)
	f.Add(0.0, 0.0, 0.0, 0.0)
	f.Fuzz(func(t *testing.T, x, y, force, moment float64) {
		b := freeBody()
		b.Body[0].Points[0], b.Centre = statics.Vec{X: x, Y: y}, Place{y, x}
		b.Forces[0].X, b.Forces[1].X = force, -force-0.03
		b.Moments[0].Value, b.Moments[0].At = moment, Place{x, y}
		_, _ = draw.Layout(b, draw.Column, draw.Light)
	})
}
