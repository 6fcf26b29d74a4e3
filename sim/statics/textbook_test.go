package statics

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
)

// printed checks a value against one printed in a book: within half a unit of
// its last digit, which unit gives.
func printed(t *testing.T, what string, got, want, unit float64) {
	t.Helper()
	record = append(record, fmt.Sprintf("%s %.6g (%.5g)", what, want, got))
	if !(math.Abs(got-want) <= unit/2*(1+1e-9)) {
		t.Errorf("%s: %.6g, printed %.6g", what, got, want)
	}
}

// record is what printed was asked since it was emptied.
var record []string

// What textbooks print and what the solver gives stands in VALIDATION.md.
func TestPrintedAnswersInValidation(t *testing.T) {
	text := "| solved problem | printed (solved here) |\n|---|---|\n"
	for _, book := range []struct {
		what string
		test func(*testing.T)
	}{
		{"University Physics 1, m58341: door on two hinges, N", TestDoorOnTwoHinges},
		{"College Physics, m42175: forearm, N", TestForearm},
		{"College Physics, m42175: back, N, degrees", TestBack},
		{"University Physics 1, m58341: ladder, N, degrees", TestLadder},
		{"University Physics 1, m58341: balance, g, N", TestTorqueBalance},
		{"University Physics 1, m58341: forearm on two angles, N; with its own weight the inputs' answers, as the book prints 1963 and 1732", TestForearmOfTheOtherBook},
		{"both books: scaffold, pole, head, two supports, push-up, car; N", TestMoreOfTheBooks},
		{"College Physics, m42172: leaning horse, N, degrees", TestLeaningHorse},
		{"University Physics 1, m58341: forearm at three angles, N", TestForearmAtAnyAngle},
		{"College Physics, m42175: triceps in a push-up, N", TestTricepsInAPushUp},
		{"University Physics 1, m58340: two strings, kg; the book also prints 277.0 g, its inputs give 277.4", TestTwoStrings},
		{"BMC notebook: centre of mass of a leg, m", TestCentreOfMassOfALeg},
		{"a textbook's iron cross by its inputs, N, N·m, kN", TestIronCross},
	} {
		record = nil
		book.test(t)
		slices.Sort(record)
		text += "| " + book.what + " | " + strings.Join(slices.Compact(record), "; ") + " |\n"
	}
	golden.Section(t, "sim/VALIDATION.md", "textbooks", text)
}

func solve(t *testing.T, s *System) *Solution {
	t.Helper()
	return golden.Must(s.Solve())(t)
}

const bookGravity = 9.80 // as the OpenStax books take it

var (
	up    = Vec{0, 1}
	right = Vec{1, 0}
)

// beam is one rigid body with point weights (N) and unknown forces.
func beam(weights map[Vec]float64, reactions ...Reaction) *System {
	s := &System{Segments: []Segment{{Name: "beam"}}}
	for at, w := range weights {
		s.Loads = append(s.Loads, Load{Segment: "beam", At: at, Force: Vec{0, -w}})
	}
	for _, r := range reactions {
		r.Segment = "beam"
		s.Reactions = append(s.Reactions, r)
	}
	return s
}

// OpenStax, University Physics vol. 1, ch. 12 (module m58341), the door of
// 400.0 N, 1.00 m wide, on hinges 2.00 m apart that share the weight equally:
// upper −100.0 î + 200.0 ĵ N, lower +100.0 î + 200.0 ĵ N. Without the sharing
// rule the book calls it indeterminate, and so must the solver.
func door(shared bool) *System {
	s := beam(map[Vec]float64{{0.5, 0}: 400},
		Reaction{Name: "upper x", At: Vec{0, 1}, Direction: right}, Reaction{Name: "upper y", At: Vec{0, 1}, Direction: up},
		Reaction{Name: "lower x", At: Vec{0, -1}, Direction: right}, Reaction{Name: "lower y", At: Vec{0, -1}, Direction: up})
	if shared {
		s.Closures = []Closure{{Why: "the hinges share the weight", Terms: []Term{{"upper y", 1}, {"lower y", -1}}}}
	}
	return s
}

func TestDoorOnTwoHinges(t *testing.T) {
	sol := solve(t, door(true))
	printed(t, "upper x", sol.Value["upper x"], -100, 0.1)
	printed(t, "upper y", sol.Value["upper y"], 200, 0.1)
	printed(t, "lower x", sol.Value["lower x"], 100, 0.1)
	printed(t, "lower y", sol.Value["lower y"], 200, 0.1)
	if _, err := door(false).Solve(); !errors.Is(err, ErrIndeterminate) {
		t.Errorf("without the sharing rule: %v, want it to be indeterminate", err)
	}
	contrary := door(true)
	contrary.Closures = append(contrary.Closures, Closure{Why: "the upper hinge takes no push", Terms: []Term{{"upper x", 1}}})
	if _, err := contrary.Solve(); !errors.Is(err, ErrNoEquilibrium) {
		t.Errorf("with a rule against balance: %v, want no equilibrium", err)
	}
}

// OpenStax, College Physics, ch. 9 (module m42175): a biceps at 4.00 cm holds a
// forearm of 2.50 kg at 16.0 cm and a load of 4.00 kg at 38.0 cm.
func TestForearm(t *testing.T) {
	sol := solve(t, beam(map[Vec]float64{{0.16, 0}: 2.5 * bookGravity, {0.38, 0}: 4 * bookGravity},
		Reaction{Name: "biceps", At: Vec{0.04, 0}, Direction: up},
		Reaction{Name: "elbow", Direction: Vec{0, -1}}, Reaction{Name: "elbow x", Direction: right}))
	printed(t, "biceps", sol.Value["biceps"], 470, 1)
	printed(t, "elbow", sol.Value["elbow"], 407, 1)
	printed(t, "biceps over the weight", sol.Value["biceps"]/(6.5*bookGravity), 7.38, 0.01)
}

// The same book: a back with 55.0 kg at 0.350 m and 30.0 kg at 0.500 m, the
// muscle's lever arm 0.0800 m, its pull 29.0° from the horizontal.
func TestBack(t *testing.T) {
	angle := 29 * math.Pi / 180
	pull := Vec{-math.Cos(angle), -math.Sin(angle)}
	sol := solve(t, beam(map[Vec]float64{{0.35, 0}: 55 * bookGravity, {0.5, 0}: 30 * bookGravity},
		Reaction{Name: "muscle", At: Vec{pull.Y, -pull.X}.Times(0.08), Direction: pull},
		Reaction{Name: "x", Direction: right}, Reaction{Name: "y", Direction: up}))
	printed(t, "muscle", sol.Value["muscle"], 4.20e3, 10)
	printed(t, "vertebrae, vertical", sol.Value["y"], 2.87e3, 10)
	printed(t, "vertebrae, horizontal", sol.Value["x"], 3.67e3, 10)
	printed(t, "vertebrae", math.Hypot(sol.Value["x"], sol.Value["y"]), 4.66e3, 10)
	printed(t, "their angle", math.Atan2(sol.Value["y"], sol.Value["x"])*180/math.Pi, 38.0, 0.1)
	printed(t, "muscle over the weight", sol.Value["muscle"]/(85*bookGravity), 5.04, 0.01)
	printed(t, "vertebrae over the weight", math.Hypot(sol.Value["x"], sol.Value["y"])/(85*bookGravity), 5.59, 0.01)
}

// University Physics vol. 1 (m58341): a ladder of 5.0 m and 400.0 N at 53° on a
// smooth wall. The floor's force is 427.45 N at 69.35°; the book prints 427.4 and
// 69.3, cut off and not rounded, so a whole last digit is allowed there.
func TestLadder(t *testing.T) {
	b := 53 * math.Pi / 180
	top := Vec{5 * math.Cos(b), 5 * math.Sin(b)}
	sol := solve(t, beam(map[Vec]float64{top.Times(0.5): 400},
		Reaction{Name: "wall", At: top, Direction: Vec{-1, 0}},
		Reaction{Name: "friction", Direction: right}, Reaction{Name: "normal", Direction: up}))
	printed(t, "wall", sol.Value["wall"], 150.7, 0.1)
	printed(t, "normal", sol.Value["normal"], 400, 0.1)
	printed(t, "friction over normal", sol.Value["friction"]/sol.Value["normal"], 0.377, 0.001)
	printed(t, "floor", math.Hypot(sol.Value["friction"], sol.Value["normal"]), 427.4, 0.2)
	printed(t, "its angle", math.Atan2(sol.Value["normal"], sol.Value["friction"])*180/math.Pi, 69.3, 0.2)
}

// University Physics vol. 1 (m58341): a balance of three known weights and one
// unknown about a support.
func TestTorqueBalance(t *testing.T) {
	gram := bookGravity / 1000
	sol := solve(t, beam(map[Vec]float64{{-0.7, 0}: 50 * gram, {-0.4, 0}: 75 * gram, {-0.2, 0}: 150 * gram},
		Reaction{Name: "weight", At: Vec{0.3, 0}, Direction: Vec{0, -1}}, Reaction{Name: "support", Direction: up}))
	printed(t, "mass in grams", sol.Value["weight"]/gram, 317, 1)
	printed(t, "support", sol.Value["support"], 5.8, 0.1)
}

// University Physics vol. 1 (m58341): a weight of 222.4 N held 13.0 in from the
// elbow by a muscle at 1.5 in, the forearm at 60° from the upright arm; the
// answer does not depend on the angle. With a uniform forearm of 8.896 N (check
// 12.4) the book prints 1963 and 1732 N, 0.15 % off its own inputs, which give
// 1966.0 and 1734.7 N: both are reported, and the book's held to 0.3 %.
func TestForearmOfTheOtherBook(t *testing.T) {
	const inch = 0.0254
	for _, degrees := range []float64{60, 37} {
		a := degrees * math.Pi / 180
		along := Vec{math.Sin(a), -math.Cos(a)}
		held := func(forearm float64) *Solution {
			return solve(t, beam(map[Vec]float64{along.Times(13 * inch): 222.4, along.Times(6.5 * inch): forearm},
				Reaction{Name: "muscle", At: along.Times(1.5 * inch), Direction: up},
				Reaction{Name: "elbow", Direction: Vec{0, -1}}))
		}
		sol := held(0)
		printed(t, "muscle", sol.Value["muscle"], 1927, 1)
		printed(t, "elbow", sol.Value["elbow"], 1705, 1)
		sol = held(8.896)
		t.Logf("with the forearm: %.1f and %.1f N, the book prints 1963 and 1732", sol.Value["muscle"], sol.Value["elbow"])
		printed(t, "muscle", sol.Value["muscle"], 1966.0, 0.1)
		printed(t, "elbow", sol.Value["elbow"], 1734.7, 0.1)
		if !(math.Abs(sol.Value["muscle"]/1963-1) <= 0.003) || !(math.Abs(sol.Value["elbow"]/1732-1) <= 0.003) {
			t.Error("more than 0.3 % from what the book prints")
		}
	}
}

func TestMoreOfTheBooks(t *testing.T) {
	w := func(kg float64) float64 { return kg * bookGravity }
	two := func(at ...float64) []Reaction {
		return []Reaction{{Name: "left", At: Vec{at[0], 0}, Direction: up}, {Name: "right", At: Vec{at[1], 0}, Direction: up}}
	}
	for _, c := range []struct {
		name              string
		weights           map[Vec]float64
		reactions         []Reaction
		left, right, unit float64
	}{
		// University Physics m58341: scaffold of 6.0 m and 70.0 kg, a person of 50 kg
		// 1.5 m from the left end. The book prints 711.0 and 466.0 N, its inputs give
		// 710.5 and 465.5 N: it rounds up to whole newtons before the last zero.
		{"scaffold, as printed", map[Vec]float64{{3, 0}: w(70), {1.5, 0}: w(50)}, two(0, 6), 711, 466, 1},
		{"scaffold, by its inputs", map[Vec]float64{{3, 0}: w(70), {1.5, 0}: w(50)}, two(0, 6), 710.5, 465.5, 1e-9},
		// College Physics m42173: pole of 5.00 kg, hands 0.900 m apart, its centre
		// 0.600 m from the left hand: 32.7 N right, 16.3 N left.
		{"pole", map[Vec]float64{{0.6, 0}: w(5)}, two(0, 0.9), 16.3, 32.7, 0.1},
		// College Physics m42175: a head of 50 N, 2.5 cm ahead of the joint, the
		// muscle 5.0 cm behind it: 25 N down, 75 N up.
		{"head", map[Vec]float64{{0.025, 0}: 50}, two(-0.05, 0), -25, 75, 1},
		// College Physics m42172: 700 N midway between supports 1.8 m apart.
		{"two supports", map[Vec]float64{{0.9, 0}: 700}, two(0, 1.8), 350, 350, 1},
		// College Physics m42175 and m42154: push-up of 50.0 kg, 1.50 m from feet to
		// hands, the centre 0.90 m from the feet: 294 N on the hands.
		{"push-up", map[Vec]float64{{0.9, 0}: w(50)}, two(0, 1.5), 196, 294, 1}, // 196: what is left of 490
		// University Physics m58340: a car, wheelbase 2.5 m, 52 % of the weight in
		// front, has its centre 1.3 m from the rear axle.
		{"car", map[Vec]float64{{1.3, 0}: 100}, two(0, 2.5), 48, 52, 1},
	} {
		sol := solve(t, beam(c.weights, c.reactions...))
		printed(t, c.name+", left", sol.Value["left"], c.left, c.unit)
		printed(t, c.name+", right", sol.Value["right"], c.right, c.unit)
	}
}

// College Physics (m42172): horse and rider of 500 kg lean on a wall, their
// centre 1.4 m up and 0.35 m off the feet, the wall's force at 1.2 m: 1.43e3 N from the wall,
// 2.55e3 N at 16.3° on each of two feet, friction at least 0.292. The closest
// printed case to a handstand against a wall.
func TestLeaningHorse(t *testing.T) {
	sol := solve(t, beam(map[Vec]float64{{0.35, 1.4}: 500 * bookGravity},
		Reaction{Name: "wall", At: Vec{0.6, 1.2}, Direction: Vec{-1, 0}},
		Reaction{Name: "x", Direction: right}, Reaction{Name: "y", Direction: up}))
	printed(t, "wall", sol.Value["wall"], 1.43e3, 10)
	printed(t, "each foot", math.Hypot(sol.Value["x"], sol.Value["y"])/2, 2.55e3, 10)
	printed(t, "angle", math.Atan2(sol.Value["x"], sol.Value["y"])*180/math.Pi, 16.3, 0.1)
	printed(t, "friction", sol.Value["x"]/sol.Value["y"], 0.292, 0.001)
}

// University Physics (m58341): forearm and hand of 3.0 kg, centred 15.0 cm from the
// elbow, hold 5.0 kg at 35 cm; the biceps pulls along the upright upper arm at 4 cm
// (the last two from the figure): 539 N, and 461 N at the elbow, at 60° between the
// arms and at any other angle.
func TestForearmAtAnyAngle(t *testing.T) {
	for _, degrees := range []float64{60, 25, 140} {
		a := degrees * math.Pi / 180
		along := Vec{math.Sin(a), math.Cos(a)} // from the elbow, 0° straight up the upper arm
		sol := solve(t, beam(map[Vec]float64{along.Times(0.15): 3 * bookGravity, along.Times(0.35): 5 * bookGravity},
			Reaction{Name: "biceps", At: along.Times(0.04), Direction: up},
			Reaction{Name: "elbow", Direction: Vec{0, -1}}, Reaction{Name: "elbow x", Direction: right}))
		printed(t, "biceps", sol.Value["biceps"], 539, 1)
		printed(t, "elbow", sol.Value["elbow"], 461, 1)
		near(t, "elbow, across", sol.Value["elbow x"], 0, 539)
	}
}

// College Physics (m42175): in that push-up each hand bears 147 N, 20.0 cm from the
// elbow; the triceps at 1.75 cm behind it pulls with 1680 N, 3.4 times the body
// weight of 490 N. Seen as a lever on the elbow.
func TestTricepsInAPushUp(t *testing.T) {
	s := beam(nil, Reaction{Name: "triceps", At: Vec{-0.0175, 0}, Direction: up},
		Reaction{Name: "elbow x", Direction: right}, Reaction{Name: "elbow y", Direction: Vec{0, -1}})
	s.Loads = []Load{{Segment: "beam", At: Vec{0.2, 0}, Force: Vec{0, 147}}}
	sol := solve(t, s)
	printed(t, "triceps", sol.Value["triceps"], 1680, 10)
	printed(t, "triceps over the weight", sol.Value["triceps"]/490, 3.4, 0.1)
}

// University Physics (m58340): a pan of 42.0 g on two strings of slopes 2 and ½
// that bear 2.80 N each; the steeper one breaks first. The book prints 0.277 kg to
// be added and rewrites it as 277.0 g; its inputs give 277.4 g, so that its own
// fourth digit does not stand, and the three of 0.277 kg are held.
func TestTwoStrings(t *testing.T) {
	sol := solve(t, beam(map[Vec]float64{{0, 0}: 1},
		Reaction{Name: "steep", Direction: Vec{-1, 2}}, Reaction{Name: "flat", Direction: Vec{2, 1}}))
	if ratio := sol.Value["steep"] / sol.Value["flat"]; !(math.Abs(ratio-2) <= 1e-12) {
		t.Errorf("tensions are as %.15g to 1, want 2 to 1", ratio)
	}
	added := 1000*2.80/sol.Value["steep"]/bookGravity - 42
	t.Logf("%.1f g can be added, the book prints 277.0 g", added)
	printed(t, "kg to be added", added/1000, 0.277, 0.001)
	near(t, "grams by the inputs", added, 1000*2.5/math.Sqrt(5)*2.80/bookGravity-42, 277)
}

// A worked notebook of the BMC project (github BMClab/BMC, notebook on body
// segment parameters): markers in metres, masses of Winter's table; the limb's
// centre at (0.818, 0.584).
func TestCentreOfMassOfALeg(t *testing.T) {
	toe, ankle, knee, hip := Vec{1.011, 0.013}, Vec{0.849, 0.110}, Vec{0.864, 0.549}, Vec{0.721, 0.928}
	between := func(a, b Vec, share float64) Vec { return a.Plus(b.Minus(a).Times(share)) }
	s := &System{Segments: []Segment{
		{Name: "thigh", Mass: 0.100, Centre: between(hip, knee, 0.433)},
		{Name: "shank", Parent: "thigh", Joint: knee, Mass: 0.0465, Centre: between(knee, ankle, 0.433)},
		{Name: "foot", Parent: "shank", Joint: ankle, Mass: 0.0145, Centre: between(ankle, toe, 0.5)},
	}}
	for i, want := range []Vec{{0.783, 0.764}, {0.858, 0.359}, {0.930, 0.062}} {
		printed(t, s.Segments[i].Name+" x", s.Segments[i].Centre.X, want.X, 0.001)
		// The foot's centre lies at 0.0615, printed 0.062: half a unit exactly.
		printed(t, s.Segments[i].Name+" y", s.Segments[i].Centre.Y, want.Y, 0.001)
	}
	limb := s.CentreOfMass()
	printed(t, "limb x", limb.X, 0.818, 0.001)
	printed(t, "limb y", limb.Y, 0.584, 0.001)
}

// A textbook iron cross: 60 kg, arms level and weightless, 0.60 m from ring to
// shoulder, g = 9.81: 294.3 N in each ring, 176.6 N·m at each shoulder, 3.53 kN in
// a muscle 5 cm from the joint. Inputs of a solved problem (transtutors.com
// 8168189), whose answers were not seen: these are arithmetic from them.
func TestIronCross(t *testing.T) {
	s := &System{
		Gravity: 9.81,
		Segments: []Segment{
			{Name: "trunk", Mass: 60, Centre: Vec{0, -0.4}},
			{Name: "left arm", Parent: "trunk", Joint: Vec{-0.2, 0}, Centre: Vec{-0.5, 0}},
			{Name: "right arm", Parent: "trunk", Joint: Vec{0.2, 0}, Centre: Vec{0.5, 0}},
		},
		Reactions: []Reaction{
			{Name: "left", Segment: "left arm", At: Vec{-0.8, 0}, Direction: up},
			{Name: "right", Segment: "right arm", At: Vec{0.8, 0}, Direction: up},
		},
	}
	sol := solve(t, s)
	printed(t, "left ring", sol.Value["left"], 294.3, 0.1)
	for arm, sign := range map[string]float64{"left arm": 1, "right arm": -1} {
		moment, force, err := sol.Joint(arm)
		if err != nil {
			t.Fatal(err)
		}
		printed(t, arm, sign*moment, 176.6, 0.1)
		printed(t, arm+" force", force.Y, -294.3, 0.1)
		printed(t, arm+" muscle, kN", sign*moment/0.05/1000, 3.53, 0.01)
	}
}
