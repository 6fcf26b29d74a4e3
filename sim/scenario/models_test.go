package scenario_test

import (
	"strings"
	"testing"

	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/muscle"
	"counterpoise/sim/scenario"
)

// A model must be one of the hold's, or where the body is held in another one the second
// time, one of either's.
func TestModelsOfTwoHolds(t *testing.T) {
	people := []scenario.Group{{Population: "ansur2-men", Weight: 1}}
	for _, c := range []struct {
		first, second *hold.Hold // the second nil for the same
		model         hold.Model
		want          string // "" where it is allowed
	}{
		{hold.HumanFlag, nil, hold.TwoCondition, ""},
		{hold.HumanFlag, nil, hold.Equilibrium, ""},
		{hold.FrontLever, nil, hold.TwoCondition, "front-lever is not computed under two-condition, only under equilibrium"},
		{hold.HumanFlag, hold.FrontLever, hold.TwoCondition, ""},
		{hold.FrontLever, hold.HumanFlag, hold.TwoCondition, ""},
		{hold.FrontLever, hold.Planche, hold.TwoCondition, "front-lever is not computed under two-condition"},
		{hold.FrontLever, hold.Planche, hold.Equilibrium, ""},
	} {
		s := scenario.Scenario{Hold: c.first, People: people, Models: []scenario.Model{scenario.DefaultModel(c.model)}}
		if c.second != nil {
			s.Change = &scenario.Change{Hold: c.second}
		}
		err := s.Check()
		if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%s, then %v, under %s: %v, want %q", c.first.Name, c.second, c.model, err, c.want)
		}
	}
}

// Beside a hold under a model that another one lacks, that one is held under its own first.
func TestUnder(t *testing.T) {
	for _, c := range []struct {
		h       *hold.Hold
		m, want hold.Model
	}{
		{hold.HumanFlag, hold.TwoCondition, hold.TwoCondition},
		{hold.HumanFlag, hold.Equilibrium, hold.Equilibrium},
		{hold.FrontLever, hold.TwoCondition, hold.Equilibrium},
		{hold.FrontLever, hold.Equilibrium, hold.Equilibrium},
	} {
		if got := scenario.Under(c.h, c.m); got != c.want {
			t.Errorf("%s beside another under %s: %s, want %s", c.h.Name, c.m, got, c.want)
		}
	}
}

// The difficulties of two models are not set against one another, nor is one that nobody
// knows; the reason is in the fault.
func TestUnlikeThings(t *testing.T) {
	people := []scenario.Group{{Population: "ansur2-men", Weight: 1}}
	tuck := hold.LegsIn(hold.Tuck, 0)
	for _, c := range []struct {
		name        string
		first       *hold.Hold
		change      scenario.Change
		of          hold.Demand
		model       hold.Model
		field, want string // "" where it is allowed
	}{
		{"two holds by one model", hold.HumanFlag, scenario.Change{Hold: hold.FrontLever}, hold.Difficulty, hold.Equilibrium, "", ""},
		{"two holds by two models", hold.HumanFlag, scenario.Change{Hold: hold.FrontLever}, hold.Difficulty, hold.TwoCondition,
			"models", "cannot be compared: human-flag is computed under two-condition, front-lever under equilibrium"},
		{"the other way round", hold.FrontLever, scenario.Change{Hold: hold.HumanFlag}, hold.Difficulty, hold.TwoCondition,
			"models", "cannot be compared: front-lever is computed under equilibrium, human-flag under two-condition"},
		{"a force is a force", hold.HumanFlag, scenario.Change{Hold: hold.FrontLever}, hold.RequiredForce, hold.TwoCondition, "", ""},
		{"into a hold of which it is not known", hold.FrontLever, scenario.Change{Hold: hold.BackLever}, hold.Difficulty, hold.Equilibrium,
			"quantity", "the difficulty of back-lever is not known: the strength of the muscles that lift the arm forwards"},
		{"out of it", hold.BackLever, scenario.Change{Hold: hold.FrontLever}, hold.Difficulty, hold.Equilibrium, "quantity", "the difficulty of back-lever is not known"},
		{"into a posture of which it is not known", hold.LSit, scenario.Change{Legs: &tuck}, hold.Difficulty, hold.Equilibrium,
			"quantity", "the difficulty of l-sit is not known: the strength of the muscles that lift a thigh was never measured beyond a right angle"},
		{"what is used of a group there", hold.LSit, scenario.Change{Legs: &tuck}, hold.UseOf(muscle.HipFlexion), hold.Equilibrium, "quantity", "was never measured beyond a right angle"},
		{"the moment there", hold.LSit, scenario.Change{Legs: &tuck}, hold.HipMoment, hold.Equilibrium, "", ""},
	} {
		s := scenario.Scenario{Hold: c.first, People: people, Change: &c.change, Models: []scenario.Model{scenario.DefaultModel(c.model)}}
		err := s.Check(c.of)
		if c.want == "" {
			if err != nil {
				t.Errorf("%s: %v", c.name, err)
			}
			continue
		}
		found := fault.All(err)
		if len(found) != 1 || found[0].Field != c.field || !strings.Contains(found[0].Reason, c.want) {
			t.Errorf("%s: %v, want a fault of %s: %s", c.name, err, c.field, c.want)
		}
	}
}
