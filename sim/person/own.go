package person

import (
	"counterpoise/sim/anthro"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/muscle"
	"counterpoise/sim/scenario"
	"counterpoise/sim/statics"
	"counterpoise/sim/strength"
)

// own turns what median untrained adults of the bodies' size can give into what the
// person can, by the person's tests: of everyone drawn, one draw of the person's strength
// given the tests and that very body and its assumptions; of the median body the median.
// Both arms are taken as equally strong, and the tests as saying nothing of the
// assumptions. It serves one goroutine.
type own struct {
	*problem
	tests  *Tests
	spread *strength.Spread
	within float64
	belief *strength.Belief   // of everybody, where it is nobody's tests that say it
	from   int                // number of the first person of the block among those drawn
	drawn  *montecarlo.Stream // nil for the median
	hang   *hold.Result
	stands []*hold.Result
}

// own returns what the tests say of the person's strength, drawn or the median of it; nil
// without tests, which leaves everybody an untrained adult.
func (pr *problem) own(drawn bool) *own {
	if pr.person.Tests.none() {
		return nil
	}
	return pr.ownBy(pr.person.Tests, drawn)
}

// ownBy is own by other tests of the person's, none included.
func (pr *problem) ownBy(tests *Tests, drawn bool) *own {
	model, err := strength.TheModel()
	if err != nil {
		return nil // its data are built in, and prepare has read them
	}
	o := &own{problem: pr, tests: tests, spread: model.SpreadOf(pr.person.Sex).Trained(), within: model.Law.Within(pr.person.Sex)}
	if drawn {
		o.drawn = montecarlo.NewStream(pr.options.Seed, "strength")
	}
	return o
}

// untrained returns what strengths people have beside whom somebody tested is placed:
// those of untrained adults, who differ. Where nobody was tested nobody differs, and it
// is nil.
func (pr *problem) untrained(purpose string) *own {
	o := pr.own(true)
	if o == nil {
		return nil
	}
	model, err := strength.TheModel()
	if err != nil {
		return nil
	}
	if o.belief, err = strength.Condition(model.SpreadOf(pr.person.Sex), nil, nil); err != nil {
		return nil // a spread without tests is a belief
	}
	o.tests, o.drawn = &Tests{}, montecarlo.NewStream(pr.options.Seed, "strength/"+purpose)
	return o
}

// at says which of those drawn the next block begins with.
func (o *own) at(from int) {
	if o != nil {
		o.from = from
	}
}

// give is scenario.Case.Strength. Tests are of the person alone, whatever is carried in
// the hold.
func (o *own) give(held *scenario.Held, row int) error {
	h := &scenario.Held{Bodies: held.Bodies.Bare(), Capacity: held.Capacity, Assume: held.Assume}
	if err := o.hold(h); err != nil {
		return err
	}
	var y [muscle.NumGroups]float64
	for i := range h.Bodies.Rows() {
		belief, err := o.believe(h, i)
		if err != nil {
			return err
		}
		if o.drawn != nil {
			o.drawn.Reset(uint64(o.from + row + i))
			belief.Draw(&y, o.drawn.Float64)
		} else {
			for g := range muscle.NumGroups {
				y[g] = belief.Quantile(g, 0.5)
			}
		}
		for g := range h.Capacity.Of {
			h.Capacity.Of[g][i] *= math.Exp(y[g])
		}
	}
	return nil
}

// hold asks of the bodies what the tests that are holds ask.
func (o *own) hold(h *scenario.Held) error {
	rows := h.Bodies.Rows()
	if len(o.tests.Hangs) > 0 {
		o.hang = hold.NewResult(rows, hold.UseOf(muscle.Grip))
		h.Solve(o.hang, hold.OneArmHang, hold.Posture{}, hold.Equilibrium)
	}
	o.stands = o.stands[:0]
	for _, t := range o.tests.Handstands {
		var p hold.Posture
		p.Pose[hold.OneArm], p.Pose[hold.WallDistance] = 1, t.WallDistance
		out := hold.NewResult(rows, hold.UseOf(muscle.ArmPush), hold.RequiredForce, hold.LeanAngle)
		h.Solve(out, hold.WallHandstand, p, hold.Equilibrium)
		o.stands = append(o.stands, out)
	}
	return nil
}

// believe returns what the tests make of the person's strength, if they have body i.
func (o *own) believe(h *scenario.Held, i int) (*strength.Belief, error) {
	if o.belief != nil {
		return o.belief, nil
	}
	var readings []strength.Reading
	var held []strength.Held
	mass := h.Bodies.Mass[i]
	shows := func(g muscle.Group, share, least float64) {
		held = append(held, strength.Held{Loads: []strength.Load{{Group: g, Ratio: math.Log(share)}}, Least: least, Most: math.Inf(1)})
	}
	for _, t := range o.tests.Hangs {
		if !(mass+t.Added > 0) {
			return nil, nothingHeld(HangTest, mass+t.Added)
		}
		least, _ := strength.HeldFor(t.Seconds, strength.GripEndurance, false)
		byArm, _ := strength.HeldFor(t.Seconds, o.options.Endurance, false)
		shows(muscle.Grip, o.hang.Value[hold.UseOf(muscle.Grip)][i]*(1+t.Added/mass), min(least, byArm))
	}
	for k, t := range o.tests.Handstands {
		stand := o.stands[k]
		if !stand.Possible[i] {
			return nil, outOfReach(t.WallDistance)
		}
		force := stand.Value[hold.RequiredForce][i]
		left := t.left(force, mass, stand.Value[hold.LeanAngle][i])
		if !(left > 0) {
			return nil, nothingHeld(HandstandTest, left)
		}
		least, _ := strength.HeldFor(t.Seconds, o.options.Endurance, false)
		shows(muscle.ArmPush, stand.Value[hold.UseOf(muscle.ArmPush)][i]*left/force, least)
	}
	weight := mass * statics.StandardGravity
	for _, t := range o.tests.Scales {
		g, angle := t.Way.Group(), t.Angle
		if t.Way == Pull {
			angle = math.Pi / 2 // of a bar across the hand
		}
		can := h.Capacity.Of[g][i] * h.Capacity.Curve[g].At(angle) * weight
		if t.Way == Pull {
			shows(g, t.Kilograms*statics.StandardGravity/can, 0)
			continue
		}
		r, err := strength.OnScale(g, t.Kilograms, h.Bodies.Arm(i), t.Way.carried(angle)*h.Bodies.ArmMoment(i)*weight, can, o.within)
		if err != nil {
			return nil, fault.New("tests", t.Kilograms, "%v: the weight of the arm alone reads more than that", err)
		}
		readings = append(readings, r)
	}
	b, err := strength.Condition(o.spread, readings, held)
	if err != nil {
		return nil, fault.New("tests", nil, "%v", err)
	}
	return b, nil
}

// left is the force along the arm, BW, of what it is with nothing worn and no help: what
// the fingers of the other hand carry is taken off along the lean.
func (t *Handstand) left(force, mass, lean float64) float64 {
	return float64(force*(1+t.Added/mass)) - float64(t.Fingers/mass*math.Cos(lean))
}

func nothingHeld(kind Kind, force float64) error {
	return fault.New("tests", force, "in the %s the help is more than the weight: nothing was held", kind)
}

func outOfReach(distance float64) error {
	return fault.New("tests", distance, "a wall %g m from the hand is out of this body's reach", distance)
}

// none reports whether there is no test.
func (t *Tests) none() bool {
	return t == nil || len(t.Hangs)+len(t.Handstands)+len(t.Scales) == 0
}

// checkScales checks what scales read of somebody of that sex.
func (t *Tests) checkScales(sex anthro.Sex) error {
	if t == nil {
		return nil
	}
	for _, s := range t.Scales {
		if err := s.check(sex); err != nil {
			return err
		}
	}
	return nil
}
