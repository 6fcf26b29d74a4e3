package person

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/muscle"
	"counterpoise/sim/scenario"
	"counterpoise/sim/statics"
	"counterpoise/sim/strength"
)

const overhead = 3 * math.Pi / 4

// athletes are the same man without tests and with three, and how he is asked about.
func athletes() (none, three Person, o Options) {
	none = Person{Name: "athlete", Sex: anthro.Male, Hold: hold.HumanFlag, Known: []anthro.Known{
		{Of: anthro.Stature, Value: 1.78, Error: 0.005}, {Of: anthro.Mass, Value: 74},
	}}
	three = none
	three.Tests = &Tests{
		Handstands: []Handstand{{Seconds: 12}},
		Scales:     []Scale{{Way: Up, Angle: overhead, Kilograms: 14}, {Way: Down, Angle: overhead, Kilograms: 18}},
	}
	o = DefaultOptions()
	o.N = 2000
	return none, three, o
}

// Three tests narrow what the hold asks of the person's strength. That the spacing of the
// hands hardly depends on it was expected and is not so: the man of these tests belongs
// 13 cm closer, which stays within the range without tests.
func TestThreeTestsAgainstNone(t *testing.T) {
	none, three, o := athletes()
	before, after := answer(t, none, o).Models[0], answer(t, three, o).Models[0]
	if before.Model != hold.Equilibrium || after.Model != hold.Equilibrium {
		t.Fatalf("models %s and %s", before.Model, after.Model)
	}
	spreads := func(d hold.Demand) (was, is Spread) {
		a, _ := before.Quantity(d)
		b, _ := after.Quantity(d)
		t.Logf("%s: none %.3f (%.3f to %.3f), three tests %.3f (%.3f to %.3f): range %+.0f %%", d, a.All.Median, a.All.Low, a.All.High, b.All.Median, b.All.Low, b.All.High, 100*(b.All.Width()/a.All.Width()-1))
		return a.All, b.All
	}
	// The difficulty is in times an untrained adult's strength without tests and his own
	// with them, so that only the ratio of its ends can be compared.
	var ratio, narrower []float64
	for _, d := range []hold.Demand{hold.Difficulty, hold.RequiredForce, hold.ShoulderMoment} {
		was, is := spreads(d)
		if !(is.Width() < was.Width()) {
			t.Errorf("%s: %v with tests, %v without", d, is, was)
		}
		narrower = append(narrower, 100*(1-is.Width()/was.Width()))
		ratio = append(ratio, was.High/was.Low, is.High/is.Low)
	}
	body := golden.Must(NewMedianBody(three, o))(t)
	best, _ := body.Hold(hold.Equilibrium, hold.Best, 0)
	there, err := body.Hold(hold.Equilibrium, hold.GivenSpacing, before.Median.Held.Value[hold.HandSpacing][0])
	if err != nil || there == nil {
		t.Fatal(there, err)
	}
	harder := there.Held.Value[hold.Difficulty][0]/best.Held.Value[hold.Difficulty][0] - 1
	t.Logf("at the spacing of no tests, %.3f m, the hold is %.1f %% harder for him than at his own, %.3f m", before.Median.Held.Value[hold.HandSpacing][0], 100*harder, best.Held.Value[hold.HandSpacing][0])
	was, is := spreads(hold.HandSpacing)
	if !(is.Median >= was.Low && is.Median <= was.High) {
		t.Errorf("the hands moved from %v to %v", was, is)
	}
	// The guide to the commands prints these.
	text := golden.Must(os.ReadFile("../../cmd/counterpoise/README.md"))(t)
	readme := strings.Join(strings.Fields(string(text)), " ")
	for _, says := range []string{
		fmt.Sprintf("the upper end of the difficulty is %.1f times the lower one and not %.1f times, and the range of the force along the arm is %.0f %% narrower", ratio[1], ratio[0], narrower[1]),
		fmt.Sprintf("at %.0f cm (%.0f to %.0f), not at the %.0f cm (%.0f to %.0f)", 100*is.Median, 100*is.Low, 100*is.High, 100*was.Median, 100*was.Low, 100*was.High),
		fmt.Sprintf("at those the hold is %.0f %% harder for him", 100*harder),
	} {
		if !strings.Contains(readme, says) {
			t.Errorf("the guide does not say %q", says)
		}
	}
}

// What a scale reads is, on the arm's lever and with the arm's own weight that had to be
// lifted or that helped, what the muscles gave. By hand, two readings r of groups with
// the common variance C, each group's own O and the readings' R leave the means
// (C+O, C)·(C+O+R, C)⁻¹·r, whatever the norms are thought to be.
func TestScaleReadsTheMoment(t *testing.T) {
	_, three, o := athletes()
	three.Tests.Handstands = nil
	pr := golden.Must(prepare(three, o))(t)
	for _, place := range []float64{0, 0.5, 1} {
		a := assume.Defaults()
		a[assume.StrengthOf(muscle.ShoulderAbduction)], a[assume.StrengthOf(muscle.ShoulderAdduction)] = place, 1-place
		own, logs, read := pr.own(true), [2]float64{}, [2]float64{}
		norms := hold.NewCapacity(1)
		const draws = 400
		for k := range draws {
			own.at(k)
			err := scenario.NewBench(1, nil, nil).Run(pr.medianPerson(), pr.cases(&a, own)[:1], func(_ int, tile *scenario.Tile) error {
				b, c := tile.First.Bodies, tile.First.Capacity
				weight := b.Mass[0] * statics.StandardGravity
				arm := b.ArmMoment(0) * weight * math.Sin(overhead)
				lever := b.Arm(0) * statics.StandardGravity
				for j, want := range []struct {
					g muscle.Group
					m float64
				}{{muscle.ShoulderAbduction, 14*lever + arm}, {muscle.ShoulderAdduction, 18*lever - arm}} {
					strength.OfReference(norms, b, &a)
					norm := norms.Of[want.g][0] * norms.Curve[want.g].At(overhead) * weight
					read[j] = math.Log(want.m / norm)
					logs[j] += math.Log(c.Of[want.g][0]*c.Curve[want.g].At(overhead)*weight/norm) / draws
				}
				return nil
			})
			if err != nil {
				t.Fatal(err)
			}
		}
		common, other, error := math.Pow(own.spread.Common, 2), math.Pow(strength.OwnSpread, 2), math.Pow(own.within, 2)
		along, across := common+other+error, common
		det := along*along - across*across
		for j, mean := range logs {
			mine, others := (along*read[j]-across*read[1-j])/det, (along*read[1-j]-across*read[j])/det
			want := (common+other)*mine + common*others
			// One draw differs from the next by less than the readings do.
			if !(math.Abs(mean-want) <= 5*own.within/math.Sqrt(draws)) {
				t.Errorf("norms at %g of their range: reading %d leaves %.4f, by hand %.4f", place, j, mean, want)
			}
		}
	}
}

// Who was not tested at the shoulder is promised no time, and told what to do next; what
// is said to be enough is enough.
func TestEnoughIsEnough(t *testing.T) {
	_, p, o := athletes()
	p.Tests = &Tests{Handstands: []Handstand{{Seconds: 5, Fingers: 20}}, Scales: []Scale{{Way: Up, Angle: overhead, Kilograms: 5}}}
	first := ready(t, p, o)
	r, asks := first.Own, first.Asks
	if r.Seconds != nil || len(r.Untested) == 0 || len(asks.Enough) == 0 || asks.Enough[0].Tested {
		t.Fatalf("with shoulders that were not tested: %+v", r)
	}
	if !(r.Could <= 0.5) {
		t.Errorf("could in %g of draws, with an arm that gives 5 kg", r.Could)
	}
	for _, e := range asks.Enough {
		if e.Shown {
			continue
		}
		switch e.Kind {
		case ScaleTest:
			rest := []Scale{{Way: e.Way, Angle: e.Angle, Kilograms: e.Kilograms}}
			for _, t := range p.Tests.Scales {
				if t.Way != e.Way {
					rest = append(rest, t)
				}
			}
			p.Tests = &Tests{Hangs: p.Tests.Hangs, Handstands: p.Tests.Handstands, Scales: rest}
		case HandstandTest:
			if math.IsInf(e.Seconds, 1) && math.IsInf(e.Kilograms, 1) {
				t.Fatalf("%+v", e)
			}
			p.Tests = &Tests{Hangs: p.Tests.Hangs, Handstands: []Handstand{{Seconds: 5, Fingers: 20 - min(20, e.Kilograms), Added: max(0, e.Kilograms-20)}}, Scales: p.Tests.Scales}
		case HangTest:
			p.Tests = &Tests{Hangs: []Hang{{Seconds: e.Seconds}}, Handstands: p.Tests.Handstands, Scales: p.Tests.Scales}
		}
	}
	then := ready(t, p, o).Own
	t.Logf("could in %.2f of draws, then in %.2f: %+v", r.Could, then.Could, asks.Enough)
	// The posture follows the new strength, which can only help.
	if !(then.Could >= 0.45 && then.Could > r.Could) {
		t.Errorf("with the results that are enough: could in %g of draws, before %g", then.Could, r.Could)
	}
}

// What is sought is the least that is enough, of one thing with the other as it was; nothing
// where what was done is enough, and infinite where nothing sensible is.
func TestSeekFindsTheLeast(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	together := func(r result) (bool, error) { return r.seconds+10*r.kilograms >= 57, nil }
	never := func(result) (bool, error) { return false, nil }
	for _, c := range []struct {
		name               string
		e                  Enough
		was                result
		does               func(result) (bool, error)
		shown              bool
		seconds, kilograms float64
	}{
		{"not tested", Enough{Kind: HangTest}, result{}, together, false, 57, nan},
		{"tested", Enough{Kind: HangTest, Tested: true}, result{seconds: 20}, together, false, 57, 3.7},
		{"tested enough", Enough{Kind: HandstandTest, Tested: true}, result{seconds: 57}, together, true, nan, nan},
		{"on a scale", Enough{Kind: ScaleTest}, result{}, together, false, nan, 5.7},
		{"never", Enough{Kind: HangTest, Tested: true}, result{seconds: 20}, never, false, inf, inf},
		{"never on a scale", Enough{Kind: ScaleTest, Tested: true}, result{kilograms: 4}, never, false, nan, inf},
	} {
		e := c.e
		e.Seconds, e.Kilograms = nan, nan
		golden.OK(t, e.seek(80, c.was, c.does))
		near := func(got, want, within float64) bool {
			return got != got && want != want || got == want || got >= want && got <= want+within
		}
		if e.Shown != c.shown || !near(e.Seconds, c.seconds, 0.1) || !near(e.Kilograms, c.kilograms, 0.05) {
			t.Errorf("%s: %t, %g s, %g kg, want %t, %g s, %g kg", c.name, e.Shown, e.Seconds, e.Kilograms, c.shown, c.seconds, c.kilograms)
		}
	}
	broken := errors.New("broken")
	e := Enough{Kind: HangTest}
	if err := e.seek(80, result{}, func(result) (bool, error) { return false, broken }); err != broken {
		t.Errorf("error %v", err)
	}
}

// The draws that a result is sought over are the person's own, body, assumptions and
// strength together: what of a group is used there is what the answer says.
func TestTrialsAreThoseDrawn(t *testing.T) {
	_, p, o := athletes()
	o.N = LeastN
	pr := golden.Must(prepare(p, o))(t)
	res := answer(t, p, o)
	s := golden.Must(pr.show(context.Background(), res))(t)
	trials, err := s.trials(context.Background())
	if err != nil || len(trials) < 32 {
		t.Fatalf("%d trials, %v", len(trials), err)
	}
	all, rows := res.Models[0].All, map[int]bool{}
	for _, trial := range trials {
		rows[trial.row] = true
		if got, want := trial.held.Bodies.Mass[0], res.People.Value[anthro.Mass][trial.row]; got != want {
			t.Fatalf("draw %d: a body of %g kg, want %g", trial.row, got, want)
		}
		for _, g := range []muscle.Group{muscle.Grip, muscle.ShoulderAdduction, muscle.ArmPush} {
			used := all.Value[hold.UseOf(g)]
			if used == nil {
				t.Fatalf("nothing is known of %s", g)
			}
			if got := math.Exp(trial.lack[g]); !(math.Abs(got-used[trial.row]) <= 1e-9) {
				t.Fatalf("draw %d: of %s %g is used, want %g", trial.row, g, got, used[trial.row])
			}
		}
	}
	if len(rows) != len(trials) {
		t.Errorf("%d trials are of %d draws", len(trials), len(rows))
	}
}

func TestBadScales(t *testing.T) {
	_, p, o := athletes()
	o.N = LeastN
	for name, c := range map[string]struct {
		scale Scale
		want  string
	}{
		"way":            {Scale{Way: NumWays, Kilograms: 5}, "no direction of the hand"},
		"side":           {Scale{Side: NumSides, Kilograms: 5}, "no side has the number"},
		"nothing":        {Scale{Way: Up, Angle: 1}, "a scale read 0 kg"},
		"no number":      {Scale{Way: Up, Angle: 1, Kilograms: math.NaN()}, "a scale read NaN kg"},
		"pounds":         {Scale{Way: Push, Kilograms: 301}, "must be positive and up to 300 kg"},
		"angle of push":  {Scale{Way: Push, Angle: 1, Kilograms: 40}, "has no angle"},
		"behind":         {Scale{Way: Forward, Angle: -1, Kilograms: 4}, "no published measurement of flexion of the shoulders at -1.000 rad"},
		"no angle":       {Scale{Way: Down, Angle: math.NaN(), Kilograms: 4}, "no published measurement"},
		"its own weight": {Scale{Way: Down, Angle: math.Pi / 2, Kilograms: 0.1}, "the weight of the arm alone reads more than that"},
	} {
		p.Tests = &Tests{Scales: []Scale{c.scale}}
		_, err := Answer(context.Background(), p, o)
		if field := new(fault.Error); err == nil || !errors.As(err, &field) || field.Field != "tests" || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v", name, err)
		}
	}
}

// A reading that nobody gives is asked about, and arms that were read apart are said to be taken
// together; others are left alone.
func TestNotesOfScales(t *testing.T) {
	const odd, both = "check the reading and its unit", "both arms count as equally strong"
	up := func(side Side, kilograms float64) Scale {
		return Scale{Way: Up, Side: side, Angle: overhead, Kilograms: kilograms}
	}
	for name, c := range map[string]struct {
		scales []Scale
		want   []string
	}{
		"usual":      {[]Scale{up(AnySide, 14)}, nil},
		"newtons":    {[]Scale{up(AnySide, 137)}, []string{odd}},
		"both arms":  {[]Scale{up(Left, 14), up(Right, 12)}, []string{both}},
		"one arm":    {[]Scale{up(Left, 14), up(Left, 15)}, nil},
		"other ways": {[]Scale{up(Left, 14), {Way: Down, Side: Right, Angle: overhead, Kilograms: 18}}, nil},
	} {
		p, _, o := athletes()
		p.Tests = &Tests{Scales: c.scales}
		notes := strings.Join(golden.Must(prepare(p, o))(t).notes(), "; ")
		if strings.Contains(notes, "was held") {
			t.Errorf("%s: %q", name, notes)
		}
		for _, note := range []string{odd, both} {
			if got := strings.Contains(notes, note); got != slices.Contains(c.want, note) {
				t.Errorf("%s: %q", name, notes)
			}
		}
	}
}

// Nor does anybody hang for forty minutes by one arm, or stand on one for ten.
func TestNotesOfHolds(t *testing.T) {
	for _, c := range []struct {
		tests Tests
		want  string
	}{
		{Tests{Hangs: []Hang{{Seconds: 60, Added: 5}}}, ""},
		{Tests{Hangs: []Hang{{Seconds: 2400}}}, "an untrained adult of that size in grip: check for how long"},
		{Tests{Handstands: []Handstand{{Seconds: 20}}}, ""},
		{Tests{Handstands: []Handstand{{Seconds: 600}}}, "an untrained adult of that size in arm push: check for how long"},
	} {
		p, _, o := athletes()
		p.Tests = &c.tests
		notes := strings.Join(golden.Must(prepare(p, o))(t).notes(), "; ")
		if strings.Contains(notes, "was held") != (c.want != "") || !strings.Contains(notes, c.want) {
			t.Errorf("%+v: %q", c.tests, notes)
		}
	}
}

// Who held a hold for so long can hold it as long, whatever a draw of the endurance says.
func TestLastsAsLongAsShown(t *testing.T) {
	p := Person{Name: "Io", Sex: anthro.Male, Hold: hold.OneArmHang, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.78}, {Of: anthro.Mass, Value: 74}}}
	for _, c := range []struct {
		hang  Hang
		least float64
	}{{Hang{Seconds: 40}, 40}, {Hang{Seconds: 40, Added: -20}, 0}} {
		p.Tests = &Tests{Hangs: []Hang{c.hang}}
		r := golden.Must(Ready(context.Background(), p, quick()))(t)
		if low := r.Own.Seconds.Low; (low >= 40) != (c.least >= 40) || r.Own.Shown != c.least {
			t.Errorf("%+v shown, and %+v s told", c.hang, r.Own.Seconds)
		}
	}
	stand := Person{Hold: hold.WallHandstand, Tests: &Tests{Handstands: []Handstand{{Seconds: 60}}}}
	for _, c := range []struct {
		alter func(*Person)
		want  float64
	}{
		{func(p *Person) { p.Pose[hold.OneArm] = 1 }, 60},
		{func(p *Person) { p.Pose[hold.OneArm], p.Pose[hold.WallDistance] = 1, 0.3 }, 0},
		{func(*Person) {}, 0}, // on two arms
	} {
		tried := stand
		c.alter(&tried)
		pr := &problem{person: tried}
		pr.scenario.Hold, pr.scenario.Pose = tried.Hold, tried.Pose
		if got := pr.shownFor(); got != c.want {
			t.Errorf("%+v: shown for %v s, want %v", tried.Pose, got, c.want)
		}
	}
}
