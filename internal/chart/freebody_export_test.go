package chart

import "testing"

// CheckFreeBody lays a free body out at every size and theme and holds the
// sheets against the rules of all figures and against its own numbers.
func CheckFreeBody(t *testing.T, f FreeBody) {
	t.Helper()
	for _, size := range testSizes {
		for _, theme := range testThemes {
			s, err := layout(f, size, theme)
			if err != nil {
				t.Errorf("%s, %s: %v", size.Name, theme.Name, err)
				continue
			}
			checkTextApart(t, s)
			checkTextOffArrows(t, s)
			checkUnobscured(t, s)
			checkShapesOnCanvas(t, s)
			checkReadable(t, s)
			checkArrows(t, s, f)
		}
	}
}

// checkTextOffArrows says whether text lies over an arrow of a force.
func checkTextOffArrows(t *testing.T, s *sheet) {
	t.Helper()
	c := s.theme.body()
	for _, a := range append(arrowsOn(s, c.force), arrowsOn(s, c.weight)...) {
		for _, r := range runs(s) {
			if _, _, over := clipSegment(a.tail, a.tip, r.box()); over {
				t.Errorf("%s: %q lies over an arrow", s.size.Name, r.text)
			}
		}
	}
}
