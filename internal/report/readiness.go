package report

import (
	"fmt"
	"io"

	"counterpoise/internal/units"
	"counterpoise/internal/wording"
	"counterpoise/sim/person"
)

// ReadinessText writes what tests of strength say for the terminal.
func ReadinessText(w io.Writer, ready []*person.Readiness, notes [][]string, s units.System) error {
	t := &textWriter{w: w}
	for i, r := range ready {
		if i > 0 {
			t.line("")
		}
		a := wording.PersonAnswer{Result: r.Result}
		t.line("%s: readiness for the %s", r.Result.Person.Name, a.HoldWords())
		t.line("")
		t.fold("", "", wording.ReadinessHeadline(r, s))
		t.line("")
		t.readiness(r, s)
		t.notes(&wording.PersonAnswer{Result: r.Result, Notes: notes[i]})
	}
	t.line("")
	t.fold("", "", NotValidated+" "+Cautions)
	return t.err
}

// readiness writes the tests, the margins and what is not shown.
func (t *textWriter) readiness(r *person.Readiness, s units.System) {
	if r == nil {
		return
	}
	e := r.Result.Options.Endurance
	t.line("tests, by the %s relation of endurance (%s)", e, e.Source())
	for _, test := range r.Tests {
		name := test.Kind.String()
		if test.Side != person.AnySide {
			name += ", " + test.Side.String()
		}
		text := fmt.Sprintf("%s, held %s: %s along the arm (%s)", name, seconds(test.Seconds), wording.SpreadText(test.Demand, wording.In(units.Force, s)), wording.In(units.BodyWeights, s)(test.DemandBW.Median))
		if shareWhole(test.Share.Median) == shareWhole(1) {
			text += ", too short a time to show more than that"
		} else {
			text += fmt.Sprintf(", by that time %s of the greatest force", wording.SpreadText(test.Share, shareWhole))
		}
		text += fmt.Sprintf("; so the arm can give %s or more", wording.SpreadText(test.Shows, wording.In(units.Force, s)))
		if test.Extrapolated {
			text += fmt.Sprintf("; the relation's data end at %s, this is beyond them", shareWhole(e.LeastShare()))
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
	t.line("")
	t.line("what these tests cannot show")
	for _, n := range r.NotShown {
		text := n.What
		if n.Asked != nil {
			text += fmt.Sprintf(" (the hold asks for %s by %s)", wording.SpreadText(*n.Asked, wording.WholeMoment(s)), n.Model)
			if n.Asked.Low < 0 && n.Asked.High > 0 {
				text += ", one way or the other"
			}
		}
		t.row("", text+": "+n.Why+".")
	}
}

// arrangement writes the hold with one arm on top.
func (t *textWriter) arrangement(m *person.ModelReadiness, k int, s units.System) {
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
			t.row(role.name, fmt.Sprintf("asks for %s; not tested", wording.SpreadText(role.Required, wording.In(units.Force, s))))
			continue
		}
		t.row(role.name, fmt.Sprintf("asks for %s, shown %s: margin %s, at least 1 in %s of draws, held for %s",
			wording.SpreadText(role.Required, wording.In(units.Force, s)), wording.SpreadText(role.Capacity, wording.In(units.Force, s)), wording.SpreadText(role.Margin, margin), percent(role.Enough), wording.SpreadText(role.Seconds, seconds)))
	}
	if a.Tested() {
		t.row("together", fmt.Sprintf("margin %s, at least 1 in %s of draws; the %s is the weaker side; expected to hold for %s",
			wording.SpreadText(a.Margin, margin), percent(a.Enough), a.Weaker, wording.SpreadText(a.Seconds, seconds)))
	}
}

func margin(x float64) string { return fmt.Sprintf("%.2f", x) }

func seconds(x float64) string {
	if x > 0 && x < 10 {
		return fmt.Sprintf("%.1f s", x)
	}
	return fmt.Sprintf("%.0f s", x)
}

func shareWhole(x float64) string { return fmt.Sprintf("%.0f %%", 100*x) }
