package explorer

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
)

func changeAsked(change, hold, model string) string {
	return fmt.Sprintf(`{"draws": 1000, "person": {"sex": "female", "name": "Ada", "hold": %q, "measurements": {"stature": "168", "mass": "61"}}, "model": %q, "change": %s}`, hold, model, change)
}

// What is said of a change follows the signs of the effects and the shares.
func TestWordsOfAChangeFollowItsSign(t *testing.T) {
	words := map[string]bool{}
	for _, h := range hold.All() {
		for _, m := range h.Models {
			for _, change := range []string{
				`{"arm_length": "+5 cm"}`, `{"arm_length": "-3"}`, `{"leg_length": "4 %"}`, `{"shoulder_breadth": "-2 cm"}`, `{"size": "5"}`,
				`{"mass": [{"region": "legs", "kilograms": "-2 kg", "working_share": 0}, {"region": "arms", "kilograms": "2", "working_share": 1}]}`,
				`{"mass": [{"region": "trunk", "kilograms": "-4", "working_share": 0}]}`, `{}`,
			} {
				c := ask[Comparison](t, "change", changeAsked(change, h.Name, m.String()))
				if !c.Complete || c.EasierShare+c.HarderShare > 1+1e-12 {
					t.Fatalf("%s: %+v", change, c)
				}
				said := c.Words.Headline
				for _, q := range c.Quantities {
					if q.Quantity != c.Judged {
						continue
					}
					median := *q.Relative.P50
					for word, holds := range map[string]bool{" falls by ": median < 0, " rises by ": median > 0, "stays exactly": c.EasierShare+c.HarderShare == 0, " easier in ": c.EasierShare >= c.HarderShare, " harder in ": c.HarderShare > c.EasierShare} {
						if strings.Contains(said, word) {
							words[word] = true
							if !holds {
								t.Errorf("%s, %s, %s: median %v, said is %s", h.Name, m, change, median, said)
							}
						}
					}
				}
				if change == `{}` && !strings.Contains(said, "Nothing changed") {
					t.Errorf("%s: %s", change, said)
				}
			}
		}
	}
	if len(words) != 5 {
		t.Errorf("said were only %v", words)
	}
}

// Of what only few draws can do both times no size is told, and none at all of what none can.
func TestChangesThatFewSurvive(t *testing.T) {
	for _, c := range []struct {
		by, says   string
		quantities bool
	}{{"-15 cm", "could before", true}, {"-30 cm", "any more", false}} {
		a := ask[Comparison](t, "change", `{"draws": 2000, "model": "equilibrium", "person": {"sex": "male", "hold": "planche", "measurements": {"stature": "178", "mass": "74"}}, "change": {"arm_length": "`+c.by+`"}}`)
		if said := a.Words.Headline; !strings.Contains(said, c.says) || strings.Contains(said, "median") || (len(a.Quantities) > 0) != c.quantities {
			t.Errorf("%s: %v then %v can, %d quantities: %s", c.by, a.PossibleBefore, a.PossibleAfter, len(a.Quantities), said)
		}
	}
}

// A measurement that measures nothing is left out at its field, and the rest is answered.
func TestErrorOfAMeasurement(t *testing.T) {
	a := ask[Answer](t, "answer", `{"draws": 1000, "person": {"sex": "male", "measurements": {"stature": "178 ± 900", "mass": "74"}}}`)
	if len(a.Faults) != 1 || a.Faults[0].Field != "person.measurements.stature" {
		t.Errorf("faults %+v", a.Faults)
	}
}

// Every change in the table of traits can be asked for, is offered, and is said.
func TestEveryChangeOfTheTable(t *testing.T) {
	offered := golden.Must(New(nil).Catalogue())(t)
	for of := range body.NumChanges {
		name, info := of.String(), of.Info()
		c := ask[Comparison](t, "change", changeAsked(fmt.Sprintf(`{%q: "2 %%"}`, name), "iron-cross", "equilibrium"))
		if want := strings.ToUpper(info.Noun[:1]) + info.Noun[1:] + " +2.0 %"; !c.Complete || !strings.HasPrefix(c.Words.Headline, want) {
			t.Errorf("%s: %+v, %s; want %s", name, c.Faults, c.Words.Headline, want)
		}
		if kind := offered.Changes[of]; kind.Name != name || kind.Most != info.Usual || (kind.Kind == "length") != (info.Unit == "m") || !strings.Contains(kind.Label, info.More) {
			t.Errorf("%s is offered as %+v", name, kind)
		}
	}
	if _, err := New(nil).Ask(t.Context(), "change", []byte(changeAsked(`{"tail_length": "2"}`, "iron-cross", "equilibrium"))); err == nil || err.Error() != `the request: unknown field "tail_length"` {
		t.Error(err)
	}
	if _, err := New(nil).Ask(t.Context(), "change", []byte(changeAsked(`{"hand_length": 2}`, "iron-cross", "equilibrium"))); err == nil || err.Error() != "change.hand_length: found a number, must be a text" {
		t.Error(err)
	}
}

// A change of the pose is over the person's own, and can set back to plain.
func TestChangesOfThePose(t *testing.T) {
	raised := `{"draws": 1000, "person": {"sex": "male", "hold": "push-up", "pose": {"feet_raised": "45", "kneeling": ""}}, "model": "equilibrium", "change": %s}`
	back := ask[Comparison](t, "change", fmt.Sprintf(raised, `{"pose": {"feet_raised": "0"}}`))
	plain := ask[Comparison](t, "change", `{"draws": 1000, "person": {"sex": "male", "hold": "push-up"}, "model": "equilibrium", "change": {}}`)
	if *back.Quantities[0].After.P50 != *plain.Quantities[0].Before.P50 || *back.Quantities[0].Before.P50 == *plain.Quantities[0].Before.P50 {
		t.Errorf("back to the floor: %+v, on the floor %+v", back.Quantities[0], plain.Quantities[0])
	}
	if !strings.Contains(back.Words.Headline, "The plain pose instead of feet raised 45 cm") {
		t.Error(back.Words.Headline)
	}
	bent := ask[Comparison](t, "change", fmt.Sprintf(raised, `{"pose": {"bent": "yes"}}`))
	if !strings.Contains(bent.Words.Headline, "Bent, feet raised 45 cm instead of feet raised 45 cm") {
		t.Error(bent.Words.Headline)
	}
	tuck := ask[Comparison](t, "change", changeAsked(`{"legs": {"form": "tuck"}}`, "front-lever", "equilibrium"))
	sit := ask[Comparison](t, "change", changeAsked(`{"legs": {"form": "tuck"}}`, "l-sit", "equilibrium"))
	if said := sit.Words.Headline; sit.Judged == "difficulty" || strings.Contains(said, "It is easier") || !strings.Contains(said, "Whether that makes it easier or harder is not known: the strength of the muscles that lift a thigh was never measured beyond a right angle.") {
		t.Errorf("judged by %s: %s", sit.Judged, said)
	}
	if tuck.EasierShare != 1 || !strings.Contains(tuck.Words.Headline, "Tuck instead of the plain pose: the shoulder moment") && !strings.Contains(tuck.Words.Headline, "Tuck instead of the plain pose: the difficulty") {
		t.Errorf("%v: %s", tuck.EasierShare, tuck.Words.Headline)
	}
}

// A field of a change that has a fault is left out: the person's own legs and pose stay.
func TestFaultsOfAChangeChangeNothing(t *testing.T) {
	for _, c := range []struct{ person, change, field string }{
		{`"hold": "push-up", "pose": {"feet_raised": "45"}`, `{"pose": {"feet_raised": "high"}}`, "change.pose.feet_raised"},
		{`"hold": "push-up", "pose": {"feet_raised": "45"}`, `{"pose": {"feet_raised": "9 m"}}`, "change.pose.feet_raised"},
		{`"hold": "push-up", "pose": {"bent": "yes"}`, `{"pose": {"bent": "perhaps"}}`, "change.pose.bent"},
		{`"hold": "push-up", "pose": {"bent": "yes"}`, `{"pose": {"wall_distance": "20"}}`, "change.pose.wall_distance"},
		{`"legs": {"form": "tuck"}`, `{"legs": {"form": "split"}}`, "change.legs.form"},
		{`"legs": {"form": "tuck"}`, `{"legs": {"form": "straddle"}}`, "change.legs.angle"},
		{`"legs": {"form": "tuck"}`, `{"legs": {"form": "straddle", "angle": "wide"}}`, "change.legs.angle"},
		{`"tilt": "10"`, `{"tilt": "steep"}`, "change.tilt"},
	} {
		a := ask[Comparison](t, "change", fmt.Sprintf(`{"draws": 1000, "person": {"sex": "male", %s}, "model": "equilibrium", "change": %s}`, c.person, c.change))
		if len(a.Faults) != 1 || a.Faults[0].Field != c.field || a.Complete {
			t.Errorf("%s: faults %+v", c.change, a.Faults)
		}
		if a.EasierShare != 0 || a.HarderShare != 0 || !strings.HasPrefix(a.Words.Headline, "Nothing was changed") {
			t.Errorf("%s: easier for %v, harder for %v: %s", c.change, a.EasierShare, a.HarderShare, a.Words.Headline)
		}
	}
}

// The figures are before and after: an arm longer by 5 cm is 5 cm longer there.
func TestTheFiguresOfAChange(t *testing.T) {
	c := ask[Comparison](t, "change", changeAsked(`{"arm_length": "5"}`, "human-flag", "equilibrium"))
	arm := func(f *Figure) float64 {
		sum := 0.0
		for _, b := range f.Bones {
			if b.Segment == "top upper arm" || b.Segment == "top forearm" || b.Segment == "top hand" {
				sum += math.Hypot(b.To[0]-b.From[0], b.To[1]-b.From[1])
			}
		}
		return sum
	}
	if longer := arm(&c.After) - arm(&c.Before); math.Abs(longer-0.05) > 1e-9 {
		t.Errorf("the arm is %v m longer", longer)
	}
}

func TestFaultsOfChanges(t *testing.T) {
	for change, field := range map[string]string{
		`{"arm_length": "500"}`:                                                "change.arm_length",
		`{"arm_length": "5 kg"}`:                                               "change.arm_length",
		`{"arm_length": "5 % of it"}`:                                          "change.arm_length",
		`{"size": "4000"}`:                                                     "change.size",
		`{"mass": [{"region": "belly", "kilograms": "3"}]}`:                    "change.mass[0].region",
		`{"mass": [{"region": "trunk", "kilograms": "300"}]}`:                  "change.mass[0].kilograms",
		`{"mass": [{"region": "legs", "kilograms": "1", "working_share": 2}]}`: "change.mass[0].working_share",
		`{"legs": {"form": "crossed"}}`:                                        "change.legs.form",
		`{"pose": {"feet_raised": "3"}}`:                                       "change.pose.feet_raised",
	} {
		c := ask[Comparison](t, "change", changeAsked(change, "human-flag", "equilibrium"))
		if c.Complete || len(c.Faults) != 1 || c.Faults[0].Field != field {
			t.Errorf("%s: %+v", change, c.Faults)
		}
	}
	// A change that leaves no body is no answer.
	if _, err := New(nil).Ask(t.Context(), "change", []byte(changeAsked(`{"hand_length": "-20"}`, "human-flag", "equilibrium"))); err == nil || !strings.Contains(err.Error(), "cannot be shortened") {
		t.Error(err)
	}
	// Nor is one that leaves no strength.
	if _, err := New(nil).Ask(t.Context(), "change", []byte(changeAsked(`{"mass": [{"region": "trunk", "kilograms": "-20", "working_share": 1}]}`, "human-flag", "equilibrium"))); err == nil || !strings.Contains(err.Error(), "cannot lose 20.0 kg of it") {
		t.Error(err)
	}
}
