package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/units"
	"counterpoise/internal/wording"
	"counterpoise/internal/words"
	"counterpoise/sim/drivers"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario/scores"
)

// FirstPerson writes the first screen of answers: all that a coach is told of one person
// first, or a table of several.
func FirstPerson(w io.Writer, answers []wording.PersonAnswer, s words.System) error {
	t := &personText{textWriter{w: w}}
	if len(answers) == 1 {
		t.firstPerson(&answers[0], s)
	} else {
		t.personTable(answers, s)
	}
	t.wrap("", "", Caution)
	return t.err
}

// FirstReadiness writes the first screen of what tests say.
func FirstReadiness(w io.Writer, answers []wording.PersonAnswer, s words.System) error {
	t := &personText{textWriter{w: w}}
	for i := range answers {
		t.firstPerson(&answers[i], s)
	}
	t.wrap("", "", Caution)
	return t.err
}

// firstPerson writes what is told of one person first, and what should be known beside it.
func (t *personText) firstPerson(a *wording.PersonAnswer, s words.System) {
	for i, line := range wording.PersonFirst(a, s) {
		t.wrap(map[bool]string{true: "", false: "  "}[i == 0], "    ", line)
	}
	t.firstNotes(a.Notes)
	if a.Conditioned.Population.Young() {
		t.firstNotes([]string{wording.CautionYoung})
	}
}

// FirstDrivers writes the first screen of what drives a demand. What only researchers ask
// for has none, and is written in full.
func FirstDrivers(w io.Writer, d *Drivers) error {
	t := &driversText{textWriter{w: w}}
	for i := range d.Parts {
		p := &d.Parts[i]
		if p.Sobol != nil || p.Full != nil || p.Screen != nil || p.Along != nil {
			return DriversText(w, d)
		}
		switch {
		case p.Worth != nil:
			t.firstWorth(d, p)
		case p.Shares != nil:
			t.line("%s: %s", words.Capital(d.holdWords()), d.about(p))
			t.wrap("  ", "  ", DriversHeadline(d, p))
			for k, index := range ranked(p.Shares, drivers.ShapleyEffect) {
				if k < 5 {
					t.line("  %-42s %s", words.DrivenBy(index.Groups[0]), words.Share(clampShare(index.Value)))
				}
			}
		}
	}
	for i := range d.Parts {
		if note := d.Parts[i].note(); note != "" {
			t.firstNotes([]string{note + "."})
		}
	}
	if len(d.Parts) > 0 && d.Parts[0].Worth == nil {
		t.wrap("", "", "Shares tell what varies, not what a change does: --worth tells that.")
	}
	t.wrap("", "", Caution)
	return t.err
}

// firstWorth writes what one unit is worth, from the most on.
func (t *driversText) firstWorth(d *Drivers, p *DriversPart) {
	of := p.Worth
	t.line("%s, %s (%s, %s): what one unit is worth", words.Capital(d.holdWords()), p.averageBody(),
		words.Rough(of.Stature, units.Length, words.Metric), words.Rough(of.Mass, units.Mass, words.Metric))
	ways := wordsOf(d.Of, p.Models[0].Statics)
	rows := slices.Clone(of.Rows)
	slices.SortStableFunc(rows, func(a, b scores.Worth) int {
		return int(math.Copysign(1, math.Abs(b.Percent)-math.Abs(a.Percent)))
	})
	for i := range rows[:min(8, len(rows))] {
		row := &rows[i]
		t.line("  %-52s %s", worthOfWhat(row, of.Working), ways.plainly(row.Percent, 1))
	}
}

// FirstHold writes the first screen of a hold: what it is, what it demands of an average man
// and woman, or of the body of people that were asked for, own, if any; and what is not
// counted.
func FirstHold(w io.Writer, h *hold.Hold, own *HeldBody, held []*HeldBody, rows []UntrainedRow) error {
	t := &holdText{textWriter{w: w}}
	t.wrap("", "  ", h.Title+": "+h.Description)
	if own != nil {
		t.wrap("  ", "    ", fmt.Sprintf("%s (%s, %s): %s.", words.Capital(own.Who), words.Rough(own.Body.Stature[0], units.Length, words.Metric),
			words.Rough(own.Body.Mass[0], units.Mass, words.Metric), firstDemands(own)))
	}
	t.averages(held, rows, own == nil)
	if len(h.LegForms) > 1 {
		var forms []string
		for _, f := range h.LegForms {
			forms = append(forms, strings.ReplaceAll(f.String(), "-", " "))
		}
		t.wrap("  ", "    ", "Legs: "+strings.Join(forms, ", ")+".")
	}
	if slices.ContainsFunc(rows, func(r UntrainedRow) bool { return r.People.Young() }) {
		t.firstNotes([]string{wording.CautionYoung})
	}
	t.wrap("  ", "    ", "Not counted: "+strings.Join(h.LeavesOut[:min(2, len(h.LeavesOut))], "; ")+" …")
	t.wrap("", "", Caution)
	return t.err
}

// averages says what a hold demands of average people, where they are shown, and what gives
// out first, of each sex where they differ.
func (t *holdText) averages(held []*HeldBody, rows []UntrainedRow, shown bool) {
	var first, unknown said
	for i := range rows {
		r := &rows[i]
		adult := words.UntrainedOf(r.People)
		text := "An average " + adult.One
		switch {
		case held[i] == nil:
			if shown {
				t.wrap("  ", "    ", text+" cannot be held so.")
			}
			continue
		case r.Unknown != "":
			unknown.add(r.Unknown, adult.Many)
		default:
			first.add(words.GivesOutFirst(r.Untrained), adult.Many)
		}
		text += fmt.Sprintf(" (%s, %s): %s", words.Rough(held[i].Body.Stature[0], units.Length, words.Metric), words.Rough(held[i].Body.Mass[0], units.Mass, words.Metric), firstDemands(held[i]))
		if r.Unknown == "" {
			text += fmt.Sprintf("; %s (published: %s) times untrained strength", words.Times(r.Difficulty),
				words.Interval(words.Times(r.Published.Difficulty.Low), words.Times(r.Published.Difficulty.High)))
		}
		if shown {
			t.wrap("  ", "    ", text+".")
		}
	}
	t.said("How hard it is nobody knows", unknown, len(rows))
	t.said("Gives out first", first, len(rows))
}

// said is what is said of some people: each text with those whom it is of.
type said []struct {
	text string
	of   []string
}

func (s *said) add(text, of string) {
	for i := range *s {
		if one := &(*s)[i]; one.text == text {
			one.of = append(one.of, of)
			return
		}
	}
	*s = append(*s, struct {
		text string
		of   []string
	}{text, []string{of}})
}

// said writes a line of what is said, with of whom, unless that is all of so many.
func (t *holdText) said(head string, s said, all int) {
	var parts []string
	for _, one := range s {
		text := one.text
		if len(one.of) < all {
			text = "of " + words.And(one.of) + ": " + text
		}
		parts = append(parts, text)
	}
	if parts != nil {
		t.wrap("  ", "    ", head+map[bool]string{true: ": ", false: " "}[len(s[0].of) == all]+strings.Join(parts, "; ")+".")
	}
}

// firstDemands are the force or moment of a body and where its hands are.
func firstDemands(held *HeldBody) string {
	value := func(d hold.Demand) (float64, bool) {
		c := held.Held.Value[d]
		if c == nil {
			return 0, false
		}
		return c[0], true
	}
	weight := held.Body.Mass[0]
	var parts []string
	if f, ok := value(hold.RequiredForce); ok {
		parts = append(parts, words.Rough(f*weight, units.Mass, words.Metric)+" along the harder-working arm")
	} else if f, ok := value(hold.HandShare); ok {
		parts = append(parts, words.Rough(f*weight, units.Mass, words.Metric)+" on the "+words.LeansOn(held.Hold))
	}
	if m, ok := value(hold.ShoulderMoment); ok && m*weight >= 0.5 {
		parts = append(parts, words.Rough(m*weight, units.Mass, words.Metric)+" at one metre for the shoulders")
	}
	if d, ok := value(hold.HandSpacing); ok {
		parts = append(parts, "hands "+words.Mark(d, words.Metric)+" apart")
	}
	return strings.Join(parts, ", ")
}
