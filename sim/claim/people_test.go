package claim

import (
	"context"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
)

// aboutPeople is a claim about people, quick to test.
func aboutPeople(people ...scenario.Group) *Claim {
	return &Claim{
		Name: "n", Says: "s", Demand: hold.RequiredForce, Expect: Decrease, Matters: Threshold{Absolute: 0.013}, Share: 0.9,
		Scenario: scenario.Scenario{
			Hold: hold.HumanFlag, People: people, Models: []scenario.Model{scenario.DefaultModel(hold.Equilibrium)},
			Change: &scenario.Change{Body: body.Change{Of: body.Amounts{body.ArmLength: {Metres: 0.07}}}},
		},
	}
}

func quick() Options {
	o := DefaultOptions()
	o.N, o.Draws = 6000, 0
	return o
}

func clubOf(t *testing.T) *anthro.Population {
	t.Helper()
	s := &anthro.Sample{Name: "club", Title: "3 men of a test", Sex: "male", Survey: "ansur2-men"}
	for _, p := range [][2]float64{{1.71, 66.3}, {1.78, 73.9}, {1.84, 81.2}} {
		s.Add([]anthro.Known{{Of: anthro.Stature, Value: p[0]}, {Of: anthro.Mass, Value: p[1]}})
	}
	return golden.Must(anthro.NewSample(s))(t)
}

// People of one's own are who a claim is about, it says that they are few, and a
// worker more changes nothing.
func TestClaimAboutPeopleOfOnesOwn(t *testing.T) {
	c := aboutPeople(scenario.Group{Population: "club", Weight: 1, Own: clubOf(t)})
	one := golden.Must(Test(context.Background(), c, quick()))(t)
	if len(one.Warnings) != 2 || !strings.HasPrefix(one.Warnings[0], "club are 3 people, resampled") {
		t.Errorf("warnings %q", one.Warnings)
	}
	if one.Models[0].Groups[0].People != "club" {
		t.Errorf("group %q", one.Models[0].Groups[0].People)
	}
	o := quick()
	o.Workers = 3
	three := golden.Must(Test(context.Background(), c, o))(t)
	if a, b := one.Models[0].Pooled.Quantity, three.Models[0].Pooled.Quantity; a.Effect.Mean != b.Effect.Mean || a.Baseline.P50 != b.Baseline.P50 {
		t.Error("the number of workers changed the result")
	}
	m, err := MediansOf(c, 0, 0, OwnMiddle, assume.Defaults())
	if err != nil || m.Before.Held == nil || m.Before.Curve == nil || !(m.Before.Curve.Best > 0) {
		t.Errorf("medians %+v, %v", m, err)
	}
}

// Means reweight every population of a claim, and the result says at what price.
func TestClaimAboutReweightedPeople(t *testing.T) {
	c := aboutPeople(scenario.Group{Population: "ansur2-men", Weight: 1}, scenario.Group{Population: "ansur2-women", Weight: 2})
	plain := golden.Must(Test(context.Background(), c, quick()))(t)
	if len(plain.Reweighted) != 0 {
		t.Errorf("reweighted %v", plain.Reweighted)
	}
	c.Targets = []anthro.Target{{Of: anthro.Of(anthro.Stature), Value: 1.69}}
	weighted := golden.Must(Test(context.Background(), c, quick()))(t)
	for name, share := range map[string][2]float64{"ansur2-men": {0.2, 0.6}, "ansur2-women": {0.2, 0.6}} {
		r := weighted.Reweighted[name]
		if r == nil || !(r.Effective > share[0] && r.Effective < share[1]) || !slices.Equal(r.Targets, c.Targets) {
			t.Errorf("%s: %+v", name, r)
		}
	}
	// Stature hardly moves the force in body weights, and the moment at the waist, which
	// is a length, about as much as stature itself.
	waist := func(r *Result) float64 { return r.Models[0].Groups[0].Beside[hold.WaistMoment].Baseline.P50 }
	if ratio, want := waist(weighted)/waist(plain), 1.69/1.756; math.Abs(ratio-want) > 0.01 {
		t.Errorf("the median men's waist moment changes by a factor of %.3f, stature by %.3f", ratio, want)
	}
	c.Targets[0].Value = 2.05
	var field *fault.Error
	if _, err := Test(context.Background(), c, quick()); !errors.As(err, &field) || field.Field != "people.targets" || !IsInput(err) {
		t.Errorf("means out of reach: %v", err)
	}
	c.People = []scenario.Group{{Population: "club", Weight: 1, Own: clubOf(t)}}
	if _, err := Test(context.Background(), c, quick()); !errors.As(err, &field) || !strings.Contains(field.Reason, "club is already resampled") {
		t.Errorf("a club was reweighted: %v", err)
	}
	c.People, c.Where = []scenario.Group{{Population: "ansur2-men", Weight: 1}}, []anthro.Range{{Of: anthro.BodyMassIndex, Low: 90, High: 95}}
	var rare *anthro.RareError
	if _, err := Test(context.Background(), c, quick()); !errors.As(err, &rare) || !IsInput(err) {
		t.Errorf("nobody to reweight: %v", err)
	}
}
