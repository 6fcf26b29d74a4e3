package person

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/statics"
	"counterpoise/sim/strength"
)

func ready(t testing.TB, p Person, o Options) *Readiness {
	t.Helper()
	return golden.Must(Ready(context.Background(), p, o))(t)
}

// Five seconds are less than the greatest force lasts by the relation: the tests
// show what they ask for and no more. Body weight at the grip in the hang; in the
// handstand body weight along the lean. The margin is then one over what the hold
// requires.
func TestFiveSeconds(t *testing.T) {
	p, o := known(t)
	golden.OK(t, o.Assumptions.Fix(assume.WallFriction, 0))
	p.Tests = &Tests{Hangs: []Hang{{AnySide, 5, 0}}, Handstands: []Handstand{{AnySide, 5, 0, 0, 0.13}}}
	r := ready(t, p, o)
	mass := 78.6
	weight := mass * statics.StandardGravity
	one(t, "hang", r.Tests[0].Demand, weight, 0)
	one(t, "hang", r.Tests[0].DemandBW, 1, 0)
	one(t, "hang shows", r.Tests[0].Shows, weight, 0)
	one(t, "hang's share", r.Tests[0].Share, 1, 0)
	// Weight upwards and a push of 0.03 W or so along a lean of 4 degrees or so:
	// cos 0.063 + 0.03·0.063.
	if d := r.Tests[1].DemandBW.Median; !(math.Abs(d-1) <= 0.002) {
		t.Errorf("the handstand asks %v BW", d)
	}
	for _, m := range r.Models {
		if len(m.Arrangements) != 1 || m.Arrangements[0].Top != AnySide {
			t.Fatalf("%s: arrangements %+v", m.Model, m.Arrangements)
		}
		a := m.Arrangements[0]
		model := r.Result.Models[0]
		pull, push := hold.RequiredForce, hold.RequiredForce
		if m.Model == hold.Equilibrium {
			pull, push = hold.AxialTop, hold.AxialBottom
		}
		top, _ := model.Quantity(pull)
		bottom, _ := model.Quantity(push)
		pulls, pushes := 1/top.All.Median, r.Tests[1].DemandBW.Median/bottom.All.Median
		if m.Model == hold.TwoCondition {
			one(t, "pull", a.Pull.Margin, pulls, 1e-12)
			one(t, "push", a.Push.Margin, pushes, 1e-12)
			one(t, "margin", a.Margin, min(a.Pull.Margin.Median, a.Push.Margin.Median), 0)
		} else if !(math.Abs(a.Pull.Margin.Median/pulls-1) <= 1e-3 && math.Abs(a.Push.Margin.Median/pushes-1) <= 1e-3) {
			// The posture follows the strength, of which the tests leave a range.
			t.Errorf("margins %v and %v, want %v and %v", a.Pull.Margin, a.Push.Margin, pulls, pushes)
		}
		want := map[bool]string{true: "pull", false: "push"}[a.Pull.Margin.Median < a.Push.Margin.Median]
		if a.Weaker != want {
			t.Errorf("%s: weaker %q", m.Model, a.Weaker)
		}
		if wantEnough := map[bool]float64{true: 1}[a.Margin.Median >= 1]; m.Model == hold.TwoCondition && a.Enough != wantEnough {
			t.Errorf("%s: enough in %v", m.Model, a.Enough)
		}
	}
}

// By hand: 80 s on the grip's law tell of (80/33.55)^(-1/1.61) = 0.5829 of the greatest
// force, more than the shoulder's law would have it, and the spread of endurance moves
// it by e^(±1.645·0.1966/1.61).
func TestLongHang(t *testing.T) {
	p, o := known(t)
	o.N = 20_000
	p.Tests = &Tests{Hangs: []Hang{{Left, 80, 7.5}}}
	r := ready(t, p, o)
	load := (78.6 + 7.5) * statics.StandardGravity
	one(t, "hang with load", r.Tests[0].Demand, load, 1e-9)
	n := float64(o.N)
	scale := strength.EnduranceSpread / 1.61
	middle := math.Log(load / math.Pow(80/33.55, -1/1.61))
	// Standard errors of a normal's quantiles.
	for _, c := range []struct{ got, z, p, density float64 }{
		{r.Tests[0].Shows.Median, 0, 0.5, 0.398942}, {r.Tests[0].Shows.Low, -ninety, 0.05, 0.103136}, {r.Tests[0].Shows.High, ninety, 0.95, 0.103136},
	} {
		se := scale * math.Sqrt(c.p*(1-c.p)/n) / c.density
		if d := math.Log(c.got) - middle - c.z*scale; !(math.Abs(d) <= 4*se+1e-6) {
			t.Errorf("shows %.2f N, want %.2f", c.got, math.Exp(middle+c.z*scale))
		}
	}
	if r.Tests[0].Extrapolated {
		t.Error("80 s are within the data")
	}
	// Only the left arm's pull was tested.
	for _, m := range r.Models {
		if len(m.Arrangements) != 2 || m.Arrangements[0].Top != Left || !m.Arrangements[0].Pull.Tested || m.Arrangements[1].Pull.Tested {
			t.Errorf("%s: arrangements %+v", m.Model, m.Arrangements)
		}
		for _, a := range m.Arrangements {
			if a.Push.Tested || a.Tested() || a.Weaker != "" || a.Margin != (Spread{}) || a.Push.Required.Median == 0 {
				t.Errorf("%s: %+v", m.Model, a)
			}
		}
	}
}

// The fingers take off what they carry, and the wall's friction at most its
// coefficient times the push.
func TestHandstandHelp(t *testing.T) {
	demand := func(friction, fingers, distance float64) float64 {
		p, o := known(t)
		golden.OK(t, o.Assumptions.Fix(assume.WallFriction, friction))
		p.Tests = &Tests{Handstands: []Handstand{{Right, 6, fingers, 0, distance}}}
		r := ready(t, p, o)
		one(t, "handstand", r.Tests[0].DemandBW, r.Tests[0].DemandBW.Median, 0)
		return r.Tests[0].DemandBW.Median
	}
	// Nearly upright, what the fingers carry comes off the weight.
	if free, helped := demand(0, 0, 0.02), demand(0, 11.79, 0.02); !(math.Abs(free-helped-0.15) <= 1e-4) || !(math.Abs(free-1) <= 1e-3) {
		t.Errorf("11.79 of 78.6 kg on the fingers take %v off %v", free-helped, free)
	}
	// The push N on a rough wall and the lean τ, as the hold itself has them. A smooth
	// wall is pushed by N·(1 + μ·tan τ), so that along the arm the friction takes off
	// μN·cos τ + μN·tan τ·sin τ = μN/cos τ.
	p, o := known(t)
	p.Hold = hold.WallHandstand
	p.Pose[hold.OneArm], p.Pose[hold.WallDistance] = 1, 0.31
	golden.OK(t, o.Assumptions.Fix(assume.WallFriction, 0.4))
	wall := answer(t, p, o).Models[0]
	push, _ := wall.Quantity(hold.WallPush)
	lean, _ := wall.Quantity(hold.LeanAngle)
	smooth, rough, sticky := demand(0, 3.1, 0.31), demand(0.4, 3.1, 0.31), demand(-0.4, 3.1, 0.31)
	if less, want := smooth-rough, 0.4*push.All.Median/math.Cos(lean.All.Median); !(math.Abs(less-want) <= 1e-12) {
		t.Errorf("a rough wall takes %v off, by hand %v", less, want)
	}
	if !(sticky > smooth) {
		t.Error("a wall that holds the heels down should ask for more")
	}
	if nearby, far := demand(0, 3.1, 0.1), demand(0, 3.1, 0.4); nearby == far {
		t.Error("the wall's distance makes no difference")
	}
}

// The best arrangement puts the arm that pulls better on top and the one that
// pushes better below; a test without a side counts for both arms; of two tests
// the one that shows more counts.
func TestSides(t *testing.T) {
	p := coachs()
	p.Tests = &Tests{
		Hangs:      []Hang{{Left, 5, 0}, {Right, 5, 6.5}, {Right, 5, -20}},
		Handstands: []Handstand{{Left, 5, 0, 0, 0}, {Right, 5, 9, 0, 0}},
	}
	r := ready(t, p, few())
	for _, m := range r.Models {
		best := m.Arrangements[m.Best]
		if best.Top != Right || best.Pull.Side != Right || best.Push.Side != Left {
			t.Errorf("%s: %s on top is best", m.Model, best.Top)
		}
		if worst := m.Arrangements[1-m.Best]; !(worst.Margin.Median < best.Margin.Median && worst.Enough <= best.Enough) || worst.Weaker == "" {
			t.Errorf("%s: %+v is better", m.Model, worst)
		}
		one(t, "the better of two hangs", best.Pull.Capacity, (61.4+6.5)*statics.StandardGravity, 1e-9)
	}
	p.Tests = &Tests{Hangs: []Hang{{Left, 5, 3}, {AnySide, 5, 1}}, Handstands: []Handstand{{AnySide, 5, 0, 0, 0}}}
	r = ready(t, p, few())
	m := r.Models[0]
	if m.Best != 0 || m.Arrangements[0].Top != Left || !m.Arrangements[0].Tested() || !m.Arrangements[1].Tested() {
		t.Errorf("arrangements %+v", m.Arrangements)
	}
	one(t, "the hang without a side", m.Arrangements[1].Pull.Capacity, (61.4+1)*statics.StandardGravity, 1e-9)
}

// Longer, heavier or on another relation: the bound follows.
func TestBoundsFollow(t *testing.T) {
	shows := func(h Hang, e strength.Endurance) float64 {
		p, o := known(t)
		o.Endurance = e
		p.Tests = &Tests{Hangs: []Hang{h}}
		return ready(t, p, o).Tests[0].Shows.Median
	}
	base := shows(Hang{Left, 33, 2}, strength.ShoulderEndurance)
	if !(shows(Hang{Left, 55, 2}, strength.ShoulderEndurance) > base) {
		t.Error("longer shows no more")
	}
	if got := shows(Hang{Left, 33, -11}, strength.ShoulderEndurance); !(math.Abs(got/base-(78.6-11)/(78.6+2)) <= 1e-12) {
		t.Error("lighter does not show in proportion")
	}
	// By Rohmert's curve 33 s are 0.71 of the greatest force, by the elbow's law 0.76,
	// by the shoulder's 0.65. A hang of 33 s shows no more than the grip did, for which that
	// is no time: 1.01 of the greatest force.
	pushed := func(e strength.Endurance) float64 {
		p, o := known(t)
		o.Endurance = e
		p.Tests = &Tests{Handstands: []Handstand{{Side: Left, Seconds: 33}}}
		return ready(t, p, o).Tests[0].Shows.Median
	}
	if shoulder, rohmert, elbow := pushed(strength.ShoulderEndurance), pushed(strength.RohmertEndurance), pushed(strength.ElbowEndurance); !(shoulder > rohmert && rohmert > elbow) {
		t.Errorf("shoulder %v, Rohmert %v, elbow %v N", shoulder, rohmert, elbow)
	}
	if shown, held := base, (78.6+2)*statics.StandardGravity; !(math.Abs(shown/held-1) <= 0.02) {
		t.Errorf("33 s of hanging show %v of %v N", shown, held)
	}
}

func TestNotShown(t *testing.T) {
	p := coachs()
	p.Tests = &Tests{Hangs: []Hang{{Left, 33, 2}}}
	r := ready(t, p, few())
	var whats []string
	for _, n := range r.NotShown {
		whats = append(whats, n.What)
		if n.Why == "" || n.Asked != nil && !(n.Asked.High > 0) {
			t.Errorf("not shown: %+v", n)
		}
	}
	for _, want := range []string{"top shoulder", "bottom shoulder", "trunk", "grip"} {
		if !strings.Contains(strings.Join(whats, ", "), want) {
			t.Errorf("%s is not among %v", want, whats)
		}
	}
}

func TestReadyRefusals(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*Person)
		want   string
	}{
		"carried":         {func(p *Person) { p.Tests.Hangs[0].Added = -61.4 }, "the help is more than the weight"},
		"on the fingers":  {func(p *Person) { p.Tests.Handstands = []Handstand{{Left, 5, 70, 0, 0}} }, "the help is more than the weight"},
		"a bad measure":   {func(p *Person) { p.Known[0].Value = -1 }, "stature"},
		"a bad test time": {func(p *Person) { p.Tests.Hangs[0].Seconds = math.Inf(1) }, "tests: a hang was held"},
	} {
		p := coachs()
		p.Tests = &Tests{Hangs: []Hang{{Left, 5, 0}}}
		c.change(&p)
		_, err := Ready(context.Background(), p, few())
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v", name, err)
		}
		if field := new(fault.Error); name != "a bad measure" && !errors.As(err, &field) {
			t.Errorf("%s: error %T", name, err)
		}
	}
}

func ExampleReady() {
	// Common practice: hold a one-arm hang and a one-arm wall handstand for five
	// seconds each, and the strength for the flag is there.
	athlete := Person{Name: "athlete", Sex: anthro.Male, Hold: hold.HumanFlag, Known: []anthro.Known{
		{Of: anthro.Stature, Value: 1.78, Error: 0.005}, {Of: anthro.Mass, Value: 74},
	}}
	athlete.Tests = &Tests{Hangs: []Hang{{Seconds: 5}}, Handstands: []Handstand{{Seconds: 5}}}
	r, err := Ready(context.Background(), athlete, DefaultOptions())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, m := range r.Models {
		a := m.Arrangements[m.Best]
		fmt.Printf("%s: margin %.2f (5-95 %%: %.2f-%.2f), enough in %.0f %% of draws\n", m.Model, a.Margin.Median, a.Margin.Low, a.Margin.High, 100*a.Enough)
	}
	fmt.Printf("not shown: %s\n", r.NotShown[0].What)
	// Output:
	// equilibrium: margin 1.33 (5-95 %: 1.11-1.63), enough in 99 % of draws
	// not shown: moment at the top shoulder
}
