package hold

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"counterpoise/internal/freebody"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/hold"
)

// FirstHold writes the first screen of a hold: what it is, what it demands of an average man
// and woman, or of the body of people that were asked for, own, if any; and what is not
// counted.
func FirstHold(w io.Writer, h *hold.Hold, own *freebody.HeldBody, held []*freebody.HeldBody, rows []UntrainedRow) error {
	t := &holdText{words.Writer{W: w}}
	t.Wrap("", "  ", h.Title+": "+h.Description)
	if own != nil {
		t.Wrap("  ", "    ", fmt.Sprintf("%s (%s, %s): %s.", words.Capital(own.Who), words.Rough(own.Body.Stature[0], units.Length, words.Metric),
			words.Rough(own.Body.Mass[0], units.Mass, words.Metric), firstDemands(own)))
	}
	t.averages(held, rows, own == nil)
	if len(h.LegForms) > 1 {
		var forms []string
		for _, f := range h.LegForms {
			forms = append(forms, strings.ReplaceAll(f.String(), "-", " "))
		}
		t.Wrap("  ", "    ", "Legs: "+strings.Join(forms, ", ")+".")
	}
	if slices.ContainsFunc(rows, func(r UntrainedRow) bool { return r.People.Young() }) {
		t.FirstNotes([]string{words.CautionYoung})
	}
	t.Wrap("  ", "    ", "Not counted: "+strings.Join(h.LeavesOut[:min(2, len(h.LeavesOut))], "; ")+" …")
	t.Wrap("", "", words.Caution)
	return t.Err
}

// averages says what a hold demands of average people, where they are shown, and what gives
// out first, of each sex where they differ.
func (t *holdText) averages(held []*freebody.HeldBody, rows []UntrainedRow, shown bool) {
	var first, unknown said
	for i := range rows {
		r := &rows[i]
		adult := words.UntrainedOf(r.People)
		text := "An average " + adult.One
		switch {
		case held[i] == nil:
			if shown {
				t.Wrap("  ", "    ", text+" cannot be held so.")
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
			t.Wrap("  ", "    ", text+".")
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
		t.Wrap("  ", "    ", head+map[bool]string{true: ": ", false: " "}[len(s[0].of) == all]+strings.Join(parts, "; ")+".")
	}
}

// firstDemands are the force or moment of a body and where its hands are.
func firstDemands(held *freebody.HeldBody) string {
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
