package bodies

import (
	"testing"

	"counterpoise/internal/draw"
	"counterpoise/internal/draw/drawtest"
)

// CheckFreeBody lays a free body out at every size and holds the sheets against the
// rules of all figures and against its own numbers. Nothing stands elsewhere in another
// theme, which the figures in every theme show.
func CheckFreeBody(t *testing.T, f FreeBody) {
	t.Helper()
	for _, size := range draw.Sizes {
		s, err := draw.Layout(f, size, draw.Light)
		if err != nil {
			t.Errorf("%s: %v", size.Name, err)
			continue
		}
		drawtest.CheckTextApart(t, s)
		checkTextOffArrows(t, s)
		checkArcHeads(t, s)
		drawtest.CheckUnobscured(t, s)
		drawtest.CheckShapesOnCanvas(t, s)
		drawtest.CheckReadable(t, s)
		checkArrows(t, s, f)
	}
}

// checkArcHeads says whether the head of an arc lies over the arrow of a force, where nobody sees which
// way it turns.
func checkArcHeads(t *testing.T, s *draw.Sheet) {
	t.Helper()
	c := s.Theme.Body()
	for i, item := range s.Items {
		arc, ok := item.(*draw.Stroke)
		if !ok || arc.Color != c.Moment || len(arc.Points) < 10 {
			continue
		}
		tip := s.Items[i+1].(*draw.Fill).Points[0]
		for _, a := range arrowsOn(s, c.Force) {
			if _, _, over := draw.ClipSegment(a.tail, a.tip, draw.Rect{X0: tip.X, Y0: tip.Y, X1: tip.X, Y1: tip.Y}.Grow(s.Size.Thick)); over {
				t.Errorf("%s: the arc that ends at %v ends on a force", s.Size.Name, tip)
			}
		}
	}
}

// checkTextOffArrows says whether text lies over an arrow of a force.
func checkTextOffArrows(t *testing.T, s *draw.Sheet) {
	t.Helper()
	c := s.Theme.Body()
	for _, a := range append(arrowsOn(s, c.Force), arrowsOn(s, c.Weight)...) {
		for _, r := range drawtest.Runs(s) {
			if _, _, over := draw.ClipSegment(a.tail, a.tip, r.Box()); over {
				t.Errorf("%s: %q lies over an arrow", s.Size.Name, r.Text)
			}
		}
	}
}
