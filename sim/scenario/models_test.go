package scenario_test

import (
	"strings"
	"testing"

	"counterpoise/sim/hold"
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
