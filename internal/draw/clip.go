package draw

// ClipSegment returns the part of the segment from a to b inside r (Liang and
// Barsky 1984) and whether there is any.
func ClipSegment(a, b Point, r Rect) (Point, Point, bool) {
	t0, t1 := 0.0, 1.0
	dx, dy := b.X-a.X, b.Y-a.Y
	for _, e := range [4][2]float64{
		{-dx, a.X - r.X0}, {dx, r.X1 - a.X}, {-dy, a.Y - r.Y0}, {dy, r.Y1 - a.Y},
	} {
		p, q := e[0], e[1]
		switch {
		case p == 0 && q < 0:
			return a, b, false
		case p < 0:
			t0 = max(t0, q/p)
		case p > 0:
			t1 = min(t1, q/p)
		}
	}
	if t0 > t1 {
		return a, b, false
	}
	return Point{a.X + t0*dx, a.Y + t0*dy}, Point{a.X + t1*dx, a.Y + t1*dy}, true
}

// ClipLine returns the pieces of a line of points that lie inside r.
func ClipLine(points []Point, r Rect) [][]Point {
	var pieces [][]Point
	var piece []Point
	for i := 1; i < len(points); i++ {
		a, b, ok := ClipSegment(points[i-1], points[i], r)
		if !ok {
			continue
		}
		if len(piece) > 0 && piece[len(piece)-1] == a {
			piece = append(piece, b)
			continue
		}
		if len(piece) > 1 {
			pieces = append(pieces, piece)
		}
		piece = []Point{a, b}
	}
	if len(piece) > 1 {
		pieces = append(pieces, piece)
	}
	return pieces
}

// ClipPolygon cuts a closed outline off above and below r (Sutherland and
// Hodgman 1974).
func ClipPolygon(points []Point, r Rect) []Point {
	cut := func(points []Point, depth func(Point) float64) []Point {
		var kept []Point
		for i, b := range points {
			a := points[(i+len(points)-1)%len(points)]
			da, db := depth(a), depth(b)
			if da < 0 != (db < 0) {
				t := da / (da - db)
				kept = append(kept, Point{a.X + t*(b.X-a.X), a.Y + t*(b.Y-a.Y)})
			}
			if db >= 0 {
				kept = append(kept, b)
			}
		}
		return kept
	}
	points = cut(points, func(p Point) float64 { return p.Y - r.Y0 })
	return cut(points, func(p Point) float64 { return r.Y1 - p.Y })
}
