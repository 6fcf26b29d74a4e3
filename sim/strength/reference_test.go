package strength

import (
	"math"

	"counterpoise/sim/anthro"
	"counterpoise/sim/muscle"
)

// One capacity at a time, by another way than that of [OfReference], which goes over
// columns of bodies: what that is held against.

// sample is whom the group's norm was measured on.
func (m *Model) sample(g muscle.Group, sex anthro.Sex) Sample {
	if g == muscle.Grip {
		return m.Law.bySex[sex].sample
	}
	return m.Norms.samples[sex]
}

// Of returns the capacity of the group, N or N·m, of the median untrained adult
// of that sex, size and age at an angle, rad, and whether it is known. An Age
// of 0 is 30.
func (m *Model) Of(g muscle.Group, sex anthro.Sex, of Sample, angle float64) (Capacity, bool) {
	c, known := m.Norms.At(g, sex, angle)
	if !known {
		return Capacity{}, false
	}
	if of.Age == 0 {
		of.Age = m.Law.bySex[sex].sample.Age
	}
	return c.scaled(m.Law.factor(g, sex, of, m.sample(g, sex))), true
}

// Moved returns the model with the exponents moved by so many of their standard
// errors, for drawing them: the first score moves mass, and stature as far as
// their errors go together, the second stature alone.
func (m *Model) Moved(mass, stature float64) *Model {
	law := *m.Law
	for sex := range law.bySex {
		s := &law.bySex[sex]
		s.mass.Value, s.stature.Value = s.moved(mass, stature)
	}
	return &Model{m.Norms, &law}
}

// Exponents returns the exponents of mass and stature of a force, and the
// covariance of their errors.
func (l *Law) Exponents(sex anthro.Sex) (mass, stature Exponent, covariance float64) {
	s := &l.bySex[sex]
	return s.mass, s.stature, s.covariance
}

// Grip returns the median best grip, N, of people of that mass, stature and age.
func (l *Law) Grip(sex anthro.Sex, s Sample) float64 {
	of := &l.bySex[sex]
	return of.grip * l.factor(muscle.Grip, sex, s, of.sample)
}

// At returns the capacity of the group at an angle, rad, of the sample that the
// group was measured on. Between published angles it lies on a straight line;
// up to the reach (15 degrees) beyond the outermost it stays as there; farther
// away it is not known. Arms pulled and pressed have no angle. An angle that
// is NaN is not known.
func (n *Norms) At(g muscle.Group, sex anthro.Sex, angle float64) (Capacity, bool) {
	curve := n.curves[g][sex]
	last := len(curve) - 1
	switch {
	case last < 0:
		return Capacity{}, false
	case g == muscle.ArmPush || g == muscle.ArmPull:
		return curve[0].Capacity, true
	case !(angle >= curve[0].Angle-n.reach && angle <= curve[last].Angle+n.reach):
		return Capacity{}, false
	case angle <= curve[0].Angle:
		return curve[0].Capacity, true
	case angle >= curve[last].Angle:
		return curve[last].Capacity, true
	}
	i := 1
	for curve[i].Angle < angle {
		i++
	}
	a, b := &curve[i-1], &curve[i]
	t := (angle - a.Angle) / (b.Angle - a.Angle)
	mix := func(x, y float64) float64 { return x + t*(y-x) }
	return Capacity{
		mix(a.Capacity.Value, b.Capacity.Value), mix(a.Capacity.Low, b.Capacity.Low), mix(a.Capacity.High, b.Capacity.High),
	}, true
}

// factor is the strength of one person over that of another.
func (l *Law) factor(g muscle.Group, sex anthro.Sex, of, over Sample) float64 {
	s := &l.bySex[sex]
	return math.Pow(of.Mass/over.Mass, s.mass.Value) * math.Pow(of.Stature/over.Stature, s.stature.Value+lever(g)) *
		l.OfAge(sex, of.Age) / l.OfAge(sex, over.Age)
}

// lever is the exponent by which the lever of a group's muscles grows with
// stature.
func lever(g muscle.Group) float64 {
	if g.IsMoment() {
		return 1
	}
	return 0
}

func radians(degrees float64) float64 { return degrees * math.Pi / 180 }
