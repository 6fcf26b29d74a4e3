package report

import (
	"fmt"
	"io"

	"counterpoise/internal/units"
	"counterpoise/internal/wording"
	"counterpoise/internal/words"
	"counterpoise/sim/muscle"
	"counterpoise/sim/person"
)

// ReadinessText writes what tests of strength say for the terminal.
func ReadinessText(w io.Writer, answers []wording.PersonAnswer, s words.System) error {
	t := &personText{textWriter{w: w}}
	for i := range answers {
		a, r := &answers[i], answers[i].Ready
		if i > 0 {
			t.line("")
		}
		t.line("%s: readiness for the %s", a.Person.Name, a.HoldWords(s))
		t.line("")
		if says := wording.ReadinessHeadline(r, s); says != "" {
			t.wrap("", "", says)
			t.line("")
		}
		t.readiness(r, s)
		t.notes(a.Notes)
	}
	t.line("")
	t.wrap("", "", wording.NotValidated+" "+wording.Cautions)
	return t.err
}

// readiness writes the tests, the margins and what is not shown.
func (t *personText) readiness(r *person.Readiness, s words.System) {
	if len(r.Tests) == 0 {
		t.asks(r, s)
		return
	}
	e, share := r.Result.Options.Endurance, words.RoughPrinter(units.Relative, s)
	t.line("tests, by the %s relation of endurance (%s)", e, e.Source())
	for _, test := range r.Tests {
		name := test.Kind.String()
		if test.Side != person.AnySide {
			name += ", " + test.Side.String()
		}
		text := fmt.Sprintf("%s, held %s: %s along the arm (%s)", name, words.Seconds(test.Seconds), wording.Spread(test.Demand, words.Printer(units.Force, s)), words.Printer(units.BodyWeights, s)(test.DemandBW.Median))
		if share(test.Share.Median) == share(1) {
			text += ", too short a time to show more than that"
		} else {
			text += fmt.Sprintf(", by that time %s of the greatest force", wording.Spread(test.Share, share))
		}
		text += fmt.Sprintf("; so the arm can give %s or more", wording.Spread(test.Shows, words.Printer(units.Force, s)))
		if test.Extrapolated {
			text += fmt.Sprintf("; the relation's data end at %s, this is beyond them", share(e.LeastShare()))
		}
		t.row(map[person.Kind]string{person.HangTest: "pull", person.HandstandTest: "push"}[test.Kind], text+".")
	}
	for i := range r.Models {
		t.line("")
		t.line("%s", r.Models[i].Model)
		for k := range r.Models[i].Arrangements {
			t.arrangement(&r.Models[i], k, s)
		}
	}
	t.own(r, s)
	t.asks(r, s)
	if len(r.NotShown) == 0 {
		return
	}
	t.line("")
	t.line("what these tests cannot show")
	for _, n := range r.NotShown {
		text := n.What
		if n.Asked != nil {
			text += fmt.Sprintf(" (the hold asks for %s by %s)", wording.Spread(*n.Asked, words.RoughPrinter(units.Moment, s)), n.Model)
			if n.Asked.Low < 0 && n.Asked.High > 0 {
				text += ", one way or the other"
			}
		}
		t.row("", text+": "+n.Why+".")
	}
}

// own writes the hold in the person's own strength.
func (t *personText) own(r *person.Readiness, s words.System) {
	if r.Own == nil {
		return
	}
	t.line("")
	t.line("in the person's own strength (equilibrium; both arms taken as equally strong)")
	t.row("could", wording.OwnStrength(r))
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
		t.row("gives out", text)
	}
	next := "next test"
	for i := range r.Asks.Enough {
		e, name := &r.Asks.Enough[i], "enough"
		if !e.Tested {
			name, next = next, "then"
		}
		t.row(name, fmt.Sprintf("for the %s: %s: %s", e.Group.Of(muscle.Both), wording.EnoughTest(e, s), wording.EnoughResult(e, s)))
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
		t.line("  %s", head)
	}
	for _, role := range []struct {
		name string
		*person.Role
	}{{"pull on top", &a.Pull}, {"push below", &a.Push}} {
		if !role.Tested {
			t.row(role.name, fmt.Sprintf("asks for %s; not tested", wording.Spread(role.Required, words.Printer(units.Force, s))))
			continue
		}
		t.row(role.name, fmt.Sprintf("asks for %s, shown %s: margin %s, at least 1 in %s of draws",
			wording.Spread(role.Required, words.Printer(units.Force, s)), wording.Spread(role.Capacity, words.Printer(units.Force, s)), wording.Spread(role.Margin, wording.Margin), words.Share(role.Enough)))
	}
	if a.Tested() {
		t.row("together", fmt.Sprintf("margin %s, at least 1 in %s of draws; the %s is the weaker side",
			wording.Spread(a.Margin, wording.Margin), words.Share(a.Enough), a.Weaker))
	}
}
