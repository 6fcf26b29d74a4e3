package chart

// clipSegment returns the part of the segment from a to b inside r (Liang and
// Barsky 1984) and whether there is any.
func clipSegment(a, b point, r rect) (point, point, bool) {
	t0, t1 := 0.0, 1.0
	dx, dy := b.x-a.x, b.y-a.y
	for _, e := range [4][2]float64{
		{-dx, a.x - r.x0}, {dx, r.x1 - a.x}, {-dy, a.y - r.y0}, {dy, r.y1 - a.y},
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
	return point{a.x + t0*dx, a.y + t0*dy}, point{a.x + t1*dx, a.y + t1*dy}, true
}

// clipLine returns the pieces of a line of points that lie inside r.
func clipLine(points []point, r rect) [][]point {
	var pieces [][]point
	var piece []point
	for i := 1; i < len(points); i++ {
		a, b, ok := clipSegment(points[i-1], points[i], r)
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
		piece = []point{a, b}
	}
	if len(piece) > 1 {
		pieces = append(pieces, piece)
	}
	return pieces
}

// clipPolygon cuts a closed outline off above and below r (Sutherland and
// Hodgman 1974).
func clipPolygon(points []point, r rect) []point {
	cut := func(points []point, depth func(point) float64) []point {
		var kept []point
		for i, b := range points {
			a := points[(i+len(points)-1)%len(points)]
			da, db := depth(a), depth(b)
			if da < 0 != (db < 0) {
				t := da / (da - db)
				kept = append(kept, point{a.x + t*(b.x-a.x), a.y + t*(b.y-a.y)})
			}
			if db >= 0 {
				kept = append(kept, b)
			}
		}
		return kept
	}
	points = cut(points, func(p point) float64 { return p.y - r.y0 })
	return cut(points, func(p point) float64 { return r.y1 - p.y })
}
