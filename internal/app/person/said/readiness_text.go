package said

import (
	"fmt"
	"io"

	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/muscle"
	"counterpoise/sim/person"
)

// ReadinessText writes what tests of strength say for the terminal.
func ReadinessText(w io.Writer, answers []PersonAnswer, s words.System) error {
	t := &personText{words.Writer{W: w}}
	for i := range answers {
		a, r := &answers[i], answers[i].Ready
		if i > 0 {
			t.Line("")
		}
		t.Line("%s: readiness for the %s", a.Person.Name, a.HoldWords(s))
		t.Line("")
		if says := ReadinessHeadline(r, s); says != "" {
			t.Wrap("", "", says)
			t.Line("")
		}
		t.readiness(r, s)
		t.notes(a.Notes)
	}
	t.Line("")
	t.Wrap("", "", words.NotValidated+" "+words.Cautions)
	return t.Err
}

// readiness writes the tests, the margins and what is not shown.
func (t *personText) readiness(r *person.Readiness, s words.System) {
	if len(r.Tests) == 0 {
		t.asks(r, s)
		return
	}
	e, share := r.Result.Options.Endurance, words.RoughPrinter(units.Relative, s)
	t.Line("tests, by the %s relation of endurance (%s)", e, e.Source())
	for _, test := range r.Tests {
		name := test.Kind.String()
		if test.Side != person.AnySide {
			name += ", " + test.Side.String()
		}
		text := fmt.Sprintf("%s, held %s: %s along the arm (%s)", name, words.Seconds(test.Seconds), Spread(test.Demand, words.Printer(units.Force, s)), words.Printer(units.BodyWeights, s)(test.DemandBW.Median))
		if share(test.Share.Median) == share(1) {
			text += ", too short a time to show more than that"
		} else {
			text += fmt.Sprintf(", by that time %s of the greatest force", Spread(test.Share, share))
		}
		text += fmt.Sprintf("; so the arm can give %s or more", Spread(test.Shows, words.Printer(units.Force, s)))
		if test.Extrapolated {
			text += fmt.Sprintf("; the relation's data end at %s, this is beyond them", share(e.LeastShare()))
		}
		t.Row(map[person.Kind]string{person.HangTest: "pull", person.HandstandTest: "push"}[test.Kind], text+".")
	}
	for i := range r.Models {
		t.Line("")
		t.Line("%s", r.Models[i].Model)
		for k := range r.Models[i].Arrangements {
			t.arrangement(&r.Models[i], k, s)
		}
	}
	t.own(r, s)
	t.asks(r, s)
	if len(r.NotShown) == 0 {
		return
	}
	t.Line("")
	t.Line("what these tests cannot show")
	for _, n := range r.NotShown {
		text := n.What
		if n.Asked != nil {
			text += fmt.Sprintf(" (the hold asks for %s by %s)", Spread(*n.Asked, words.RoughPrinter(units.Moment, s)), n.Model)
			if n.Asked.Low < 0 && n.Asked.High > 0 {
				text += ", one way or the other"
			}
		}
		t.Row("", text+": "+n.Why+".")
	}
}

// own writes the hold in the person's own strength.
func (t *personText) own(r *person.Readiness, s words.System) {
	if r.Own == nil {
		return
	}
	t.Line("")
	t.Line("in the person's own strength (equilibrium; both arms taken as equally strong)")
	t.Row("could", OwnStrength(r))
}

// asks writes what gives out, and what results of tests would be enough.
func (t *personText) asks(r *person.Readiness, s words.System) {
	if r.Asks == nil {
		return
	}
	for _, g := range r.Asks.GivesOut {
		text := g.Group.Of(muscle.Both)
		if r.Own != nil {
			text += ", first or nearly in " + words.Share(g.Share) + " of draws"
		}
		t.Row("gives out", text)
	}
	next := "next test"
	for i := range r.Asks.Enough {
		e, name := &r.Asks.Enough[i], "enough"
		if !e.Tested {
			name, next = next, "then"
		}
		t.Row(name, fmt.Sprintf("for the %s: %s: %s", e.Group.Of(muscle.Both), EnoughTest(e, s), EnoughResult(e, s)))
	}
}

// arrangement writes the hold with one arm on top.
func (t *personText) arrangement(m *person.ModelReadiness, k int, s words.System) {
	a := &m.Arrangements[k]
	head := ""
	if a.Top != person.AnySide {
		head = a.Top.String() + " arm on top"
		if len(m.Arrangements) > 1 && k == m.Best && a.Tested() {
			head += " (better)"
		}
		t.Line("  %s", head)
	}
	for _, role := range []struct {
		name string
		*person.Role
	}{{"pull on top", &a.Pull}, {"push below", &a.Push}} {
		if !role.Tested {
			t.Row(role.name, fmt.Sprintf("asks for %s; not tested", Spread(role.Required, words.Printer(units.Force, s))))
			continue
		}
		t.Row(role.name, fmt.Sprintf("asks for %s, shown %s: margin %s, at least 1 in %s of draws",
			Spread(role.Required, words.Printer(units.Force, s)), Spread(role.Capacity, words.Printer(units.Force, s)), Spread(role.Margin, Margin), words.Share(role.Enough)))
	}
	if a.Tested() {
		t.Row("together", fmt.Sprintf("margin %s, at least 1 in %s of draws; the %s is the weaker side",
			Spread(a.Margin, Margin), words.Share(a.Enough), a.Weaker))
	}
}
