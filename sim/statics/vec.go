package statics

import "counterpoise/sim/math"

// Vec is a point or a vector of the plane.
type Vec struct{ X, Y float64 }

// Plus returns v + w.
func (v Vec) Plus(w Vec) Vec { return Vec{float64(v.X) + float64(w.X), float64(v.Y) + float64(w.Y)} }

// Minus returns v − w.
func (v Vec) Minus(w Vec) Vec { return Vec{float64(v.X) - float64(w.X), float64(v.Y) - float64(w.Y)} }

// Times returns v scaled by k.
func (v Vec) Times(k float64) Vec { return Vec{float64(k * v.X), float64(k * v.Y)} }

// Cross returns the component of v × w out of the plane: the moment of the
// force w at the point v about the origin.
func (v Vec) Cross(w Vec) float64 { return float64(v.X*w.Y) - float64(v.Y*w.X) }

// Dot returns v · w.
func (v Vec) Dot(w Vec) float64 { return float64(v.X*w.X) + float64(v.Y*w.Y) }

// Length returns |v|.
func (v Vec) Length() float64 { return math.Hypot(v.X, v.Y) }

func (v Vec) finite() bool {
	return !math.IsNaN(v.X) && !math.IsNaN(v.Y) && !math.IsInf(v.X, 0) && !math.IsInf(v.Y, 0)
}
