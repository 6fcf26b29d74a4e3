package statics

import (
	"encoding/binary"
	"math"
	"testing"
)

// names are those that a fuzzed system may use: few, so that they meet, with the
// empty one and one that is often unknown.
var names = [...]string{"one", "two", "three", "four", "five", ""}

// source deals numbers and choices out of bytes; zeros when it has run dry.
type source struct{ data []byte }

func (s *source) byte() byte {
	if len(s.data) == 0 {
		return 0
	}
	b := s.data[0]
	s.data = s.data[1:]
	return b
}

func (s *source) name() string { return names[int(s.byte())%len(names)] }

// number is mostly a small decimal, at times any float64, infinite or not a
// number included.
func (s *source) number() float64 {
	if b := s.byte(); b != 0xff {
		return float64(int8(b)) / 16
	}
	var bits [8]byte
	for i := range bits {
		bits[i] = s.byte()
	}
	return math.Float64frombits(binary.LittleEndian.Uint64(bits[:]))
}

func (s *source) vec() Vec { return Vec{s.number(), s.number()} }

func (s *source) system() (*System, Vec) {
	system := &System{Gravity: s.number()}
	for i := range int(s.byte()) % 5 {
		g := Segment{Name: names[i], Joint: s.vec(), Mass: s.number(), Centre: s.vec()}
		if b := s.byte(); b == 0xff {
			g.Name, g.Parent = s.name(), s.name()
		} else if i > 0 {
			g.Parent = names[int(b)%i]
		}
		system.Segments = append(system.Segments, g)
	}
	for range int(s.byte()) % 3 {
		system.Loads = append(system.Loads, Load{Segment: s.name(), At: s.vec(), Force: s.vec(), Couple: s.number()})
	}
	for i := range int(s.byte()) % 6 {
		r := Reaction{Name: names[i], Segment: s.name(), At: s.vec(), Direction: s.vec()}
		if s.byte()%4 == 1 {
			r.Couple, r.Direction = true, Vec{}
		}
		system.Reactions = append(system.Reactions, r)
	}
	for range int(s.byte()) % 4 {
		c := Closure{Why: "stated", Value: s.number()}
		for range int(s.byte()) % 4 {
			c.Terms = append(c.Terms, Term{s.name(), s.number()})
		}
		system.Closures = append(system.Closures, c)
	}
	return system, s.vec()
}

// No system panics, and none is solved to values that are not numbers, or that
// do not balance it.
func FuzzSolve(f *testing.F) {
	f.Add([]byte{157, 2, 0, 0, 16, 24, 3, 0, 8, 8, 40, 9, 250, 0, 1, 1, 5, 3, 2, 240, 9, 3, 0, 1, 1, 16, 0, 0, 1, 1, 1, 0, 16, 0, 0, 5, 7, 0, 16, 0, 0, 9, 9})
	f.Add([]byte{157, 1, 0, 0, 16, 24, 3, 0, 0, 4, 0, 0, 16, 16, 0, 0, 0, 0, 16, 0, 16, 0, 0, 0, 240, 16, 0, 0, 0, 0, 240, 0, 16, 0, 1, 0, 2, 1, 16, 3, 240})
	f.Add([]byte{157, 1, 0xff, 0, 0, 0, 0, 0, 0, 0xf0, 0x7f, 0, 16, 24, 3, 0, 0, 1, 0, 0, 0, 0, 0, 1})
	f.Fuzz(func(t *testing.T, data []byte) {
		s, pivot := (&source{data}).system()
		s.CentreOfMass()
		if sol, err := s.SolveAbout(pivot); (sol == nil) == (err == nil) {
			t.Fatalf("solution %v with error %v", sol, err)
		}
		sol, err := s.Solve()
		if err != nil {
			return
		}
		var force Vec
		scale := 0.0
		for _, r := range s.Reactions {
			v := sol.Value[r.Name]
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%s is %g without an error", r.Name, v)
			}
			force = force.Plus(sol.Force(r.Name))
			scale += sol.Force(r.Name).Length()
		}
		for _, g := range s.Segments {
			force.Y -= g.Mass * s.Gravity
			scale += math.Abs(g.Mass * s.Gravity)
			moment, joint, err := sol.Joint(g.Name)
			if err == nil && (math.IsNaN(moment) || math.IsInf(moment, 0) || !joint.finite()) {
				t.Fatalf("joint of %s carries %g, %v without an error", g.Name, moment, joint)
			}
		}
		couples := 0.0
		for _, l := range s.Loads {
			force = force.Plus(l.Force)
			scale += l.Force.Length()
			couples += math.Abs(l.Couple)
		}
		for _, r := range s.Reactions {
			if r.Couple {
				couples += math.Abs(sol.Value[r.Name])
			}
		}
		_, size := s.extent()
		if left := force.Length(); left > 1e-8*(scale+couples/size) {
			t.Fatalf("forces leave %g N of %g", left, scale)
		}
	})
}
