package person

import (
	"slices"

	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/muscle"
)

// result is what a test comes to: a time, s, and a load, kg, on top of what was tested; or
// what a scale reads, kg.
type result struct{ seconds, kilograms float64 }

// atLeast reports whether a result shows no less than another.
func (r result) atLeast(of result) bool {
	return r.seconds >= of.seconds && r.kilograms >= of.kilograms
}

// testOf finds the test that shows a group's strength, the best one done or one to do, what
// it came to, and the person's tests with another result in its place. with is nil where
// no test here shows the group.
func (s *shown) testOf(g muscle.Group) (e Enough, was result, with func(result) Tests) {
	tests := s.person.Tests
	e = Enough{Group: g, Seconds: math.NaN(), Kilograms: math.NaN()}
	byTime := g == muscle.Grip || g == muscle.ArmPush && (len(tests.Handstands) > 0 || !tests.read(g))
	if !byTime {
		way := Way(slices.Index(wayGroups[:], g))
		if way < 0 {
			return e, was, nil
		}
		return s.onScale(e, way)
	}
	if e.Kind = HangTest; g == muscle.ArmPush {
		e.Kind = HandstandTest
	}
	best, at, k := -1.0, -1, 0 // of the kind, which stand in the order of the tests
	for i := range s.tests {
		if t := &s.tests[i]; t.Kind == e.Kind {
			if t.Shows.Median > best {
				best, at, was = t.Shows.Median, k, result{seconds: t.Seconds}
				e.Side, e.Held, e.Tested = t.Side, t.Seconds, true
			}
			k++
		}
	}
	return e, was, func(r result) Tests {
		t := *tests
		if e.Kind == HangTest {
			hang := Hang{}
			if t.Hangs = slices.Clone(t.Hangs); at >= 0 {
				hang = t.Hangs[at]
			}
			hang.Seconds, hang.Added = r.seconds, hang.Added+r.kilograms
			t.Hangs = append(t.Hangs, hang)
			return t
		}
		stand := Handstand{}
		if t.Handstands = slices.Clone(t.Handstands); at >= 0 {
			stand = t.Handstands[at]
		}
		less := min(stand.Fingers, r.kilograms) // first the fingers help less
		stand.Seconds, stand.Fingers, stand.Added = r.seconds, stand.Fingers-less, stand.Added+r.kilograms-less
		t.Handstands = append(t.Handstands, stand)
		return t
	}
}

// onScale is testOf with a scale.
func (s *shown) onScale(e Enough, way Way) (Enough, result, func(result) Tests) {
	var was result
	one := Scale{Way: way}
	if way.Across() {
		one.Angle = s.askedAt(e.Group, way)
	}
	tests := s.person.Tests
	for _, t := range tests.Scales {
		if t.Way == way && t.Kilograms > was.kilograms {
			one, was.kilograms, e.Tested = t, t.Kilograms, true
		}
	}
	e.Kind, e.Way, e.Angle, e.Side = ScaleTest, way, one.Angle, one.Side
	return e, was, func(r result) Tests {
		t := *tests
		// Where several were read, the person's strength is in the middle of them: all
		// give way to the one sought.
		t.Scales = slices.DeleteFunc(slices.Clone(t.Scales), func(s Scale) bool { return s.Way == way })
		one.Kilograms = r.kilograms
		t.Scales = append(t.Scales, one)
		return t
	}
}

// askedAt is the angle at which a scale is to read a group: the hold's where the posture
// alone decides it, else with the arm level; as near as somebody has measured it.
func (s *shown) askedAt(g muscle.Group, way Way) float64 {
	angle := math.Pi / 2
	for _, u := range s.scenario.Hold.Uses(hold.Equilibrium) {
		if u.Group == g && u.Angle != nil {
			angle = u.Angle(s.setup.First, &s.options.Assumptions.Centre)
		}
	}
	least, most := way.Angles(s.person.Sex)
	return min(max(angle, least), most)
}

// seek fills in what would be enough, by bisection.
func (e *Enough) seek(mass float64, was result, does func(result) (bool, error)) error {
	enough, err := does(was)
	if err != nil {
		return err
	}
	if e.Shown = e.Tested && enough; e.Shown {
		return nil
	}
	least := func(below, most, to float64, of func(float64) result) float64 {
		if enough, err = does(of(most)); err != nil || !enough {
			return math.Inf(1)
		}
		for most-below > to {
			middle := (below + most) / 2
			if enough, err = does(of(middle)); err != nil {
				return math.NaN()
			}
			if enough {
				most = middle
			} else {
				below = middle
			}
		}
		return most
	}
	if e.Kind == ScaleTest {
		e.Kilograms = least(was.kilograms, MostOnScale, 0.05, func(x float64) result { return result{0, x} })
		return err
	}
	e.Seconds = least(was.seconds, max(mostAsked, was.seconds), 0.1, func(x float64) result { return result{x, 0} })
	if e.Tested && err == nil {
		e.Kilograms = least(0, mass, 0.05, func(x float64) result { return result{was.seconds, x} })
	}
	return err
}
