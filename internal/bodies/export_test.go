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
		drawtest.CheckUnobscured(t, s)
		drawtest.CheckShapesOnCanvas(t, s)
		drawtest.CheckReadable(t, s)
		checkArrows(t, s, f)
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
