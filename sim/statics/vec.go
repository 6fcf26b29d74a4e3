package statics

import "math"

// Vec is a point or a vector of the plane.
type Vec struct{ X, Y float64 }

// Plus returns v + w.
func (v Vec) Plus(w Vec) Vec { return Vec{v.X + w.X, v.Y + w.Y} }

// Minus returns v − w.
func (v Vec) Minus(w Vec) Vec { return Vec{v.X - w.X, v.Y - w.Y} }

// Times returns v scaled by k.
func (v Vec) Times(k float64) Vec { return Vec{k * v.X, k * v.Y} }

// Cross returns the component of v × w out of the plane: the moment of the
// force w at the point v about the origin.
func (v Vec) Cross(w Vec) float64 { return v.X*w.Y - v.Y*w.X }

// Dot returns v · w.
func (v Vec) Dot(w Vec) float64 { return v.X*w.X + v.Y*w.Y }

// Length returns |v|.
func (v Vec) Length() float64 { return math.Hypot(v.X, v.Y) }

func (v Vec) finite() bool {
	return !math.IsNaN(v.X) && !math.IsNaN(v.Y) && !math.IsInf(v.X, 0) && !math.IsInf(v.Y, 0)
}
