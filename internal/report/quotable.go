package report

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/provenance"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// HoldWords names a hold within a sentence.
func HoldWords(name string) string {
	switch name {
	case hold.PushUp.Name:
		return name
	case hold.LSit.Name:
		return "L-sit"
	case hold.WallHandstand.Name:
		return "handstand against a wall"
	}
	if words, found := strings.CutPrefix(name, "one-arm-"); found {
		return "one-arm " + words
	}
	if words, found := strings.CutPrefix(name, "two-arm-"); found {
		return "two-arm " + words
	}
	return strings.ReplaceAll(name, "-", " ")
}

// HeldWords names the hold of a claim with what is set of its pose, such as
// "push-up (kneeling)".
func HeldWords(name string, legs hold.Legs, pose hold.Pose, tilt float64) string {
	parts := []string{HoldWords(name)}
	if legs.Form != hold.Together {
		parts = append(parts, legsWords(legs))
	}
	if words := poseWords(pose); words != "" {
		parts = append(parts, words)
	}
	if tilt != 0 {
		parts = append(parts, "tilted by "+angleWords(tilt))
	}
	if len(parts) > 1 {
		return parts[0] + " (" + strings.Join(parts[1:], ", ") + ")"
	}
	return parts[0]
}

func angleWords(radians float64) string { return fmt.Sprintf("%.3g°", radians*180/math.Pi) }

func legsWords(l hold.Legs) string {
	switch l.Form {
	case hold.Together:
		return "legs together"
	case hold.Straddle:
		return "legs in a straddle of " + angleWords(l.Angle) + " each"
	case hold.OneLeg:
		return "one leg straight and one tucked"
	}
	return "legs in the " + strings.ReplaceAll(l.Form.String(), "-", " ")
}

// ChangeSentence says in full words, to stand behind "with" or a colon, what is
// done to the body of a claim, or whom its contrast compares.
func ChangeSentence(c *claim.Claim) string {
	if t := c.Contrast; t != nil {
		share := percent(t.Share)
		if math.Abs(t.Share-1.0/3) < 1e-9 {
			share = "third"
		}
		more, less := "with the largest "+quantityWords(t.By), "with the smallest"
		switch t.By {
		case anthro.Of(anthro.Stature):
			more, less = "who are tallest", "who are shortest"
		case anthro.Of(anthro.Mass):
			more, less = "who are heaviest", "who are lightest"
		}
		return fmt.Sprintf("the %s of the people %s against the %s %s", share, more, share, less)
	}
	ch := c.Change
	var parts []string
	amount := func(what, more, less string, a body.Amount) {
		for _, v := range []struct {
			size float64
			text string
		}{{a.Metres, fmt.Sprintf("%.3g cm", 100*math.Abs(a.Metres))}, {a.Share, fmt.Sprintf("%.3g %%", 100*math.Abs(a.Share))}} {
			switch {
			case v.size > 0:
				parts = append(parts, what+" "+v.text+" "+more)
			case v.size < 0:
				parts = append(parts, what+" "+v.text+" "+less)
			}
		}
	}
	if ch.Hold != "" {
		legs, pose, tilt := hold.Legs{}, hold.Pose{}, 0.0
		if ch.Legs != nil {
			legs = *ch.Legs
		}
		if ch.Pose != nil {
			pose = *ch.Pose
		}
		if ch.Tilt != nil {
			tilt = *ch.Tilt
		}
		return "the " + HeldWords(ch.Hold, legs, pose, tilt) + ", in place of the " + HeldWords(c.Hold, c.Legs, c.Pose, c.Tilt)
	}
	for t, by := range ch.Body.Of {
		info := body.Trait(t).Info()
		amount(info.Noun, info.More, info.Less, by)
	}
	for _, m := range ch.Body.Mass {
		way := "more"
		if m.Kilograms < 0 {
			way = "less"
		}
		text := fmt.Sprintf("%.3g kg %s on the %s", math.Abs(m.Kilograms), way, strings.ReplaceAll(m.Region.String(), "_", " "))
		if m.Working > 0 {
			text += fmt.Sprintf(" (%.3g %% of it muscle that works in the hold)", 100*m.Working)
		}
		parts = append(parts, text)
	}
	if ch.Legs != nil {
		parts = append(parts, legsWords(*ch.Legs)+" in place of "+legsWords(c.Legs))
	}
	if ch.Pose != nil {
		for v, value := range *ch.Pose {
			if before := c.Pose[v]; value != before {
				text := variantWords(hold.Variant(v), value)
				if before != 0 && value != 0 {
					text += " in place of " + strings.TrimPrefix(variantWords(hold.Variant(v), before), strings.ReplaceAll(hold.Variant(v).String(), "_", " ")+" ")
				}
				parts = append(parts, text)
			}
		}
	}
	if ch.Tilt != nil {
		parts = append(parts, "the feet "+angleWords(*ch.Tilt)+" above the shoulders in place of "+angleWords(c.Tilt))
	}
	if arms := ch.Arms; arms != nil {
		switch {
		case arms.Angle != nil && *arms.Angle == hold.FlagLeastAngle:
			parts = append(parts, "hands as far apart as they go")
		case arms.Angle != nil && *arms.Angle == hold.FlagMostAngle:
			parts = append(parts, "hands as close together as they go")
		case arms.Angle != nil:
			parts = append(parts, "arms "+angleWords(*arms.Angle)+" from the pole")
		case arms.Turn != nil:
			parts = append(parts, fmt.Sprintf("arms turned by %+.3g°", *arms.Turn*180/math.Pi))
		default:
			amount("hands", "farther apart", "closer together", *arms.Spacing)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(ch.Assume)) {
		text := fmt.Sprintf("the assumption %s at %.4g", name, ch.Assume[name])
		if id, ok := assume.Parse(name); ok {
			text += fmt.Sprintf(" in place of %.4g", id.Info().Default)
		}
		parts = append(parts, text)
	}
	switch {
	case ch.Arms != nil:
	case ch.Posture == claim.SameAngle:
		parts = append(parts, "the arms at their old angle")
	case ch.Posture == claim.SameSpacing:
		parts = append(parts, "the hands where they were")
	}
	return noBreak(strings.Join(parts, ", "))
}

// quantityWords names what people are told apart by.
func quantityWords(q anthro.Quantity) string {
	words := strings.ReplaceAll(q.String(), "_", " ")
	if words == "bmi" {
		return "body mass index"
	}
	return strings.ReplaceAll(words, "/", " for ")
}

// SexWords names the people of the survey, and others by their own name.
func SexWords(population string) string {
	switch population {
	case "ansur2-men":
		return "men"
	case "ansur2-women":
		return "women"
	}
	return population
}

// PeopleWords says in plain words whose bodies were drawn.
func PeopleWords(r *claim.Result) string {
	var army, own []string
	for _, p := range r.Claim.People {
		if sex := SexWords(p.Population); sex != p.Population && p.Own == nil {
			army = append(army, sex)
			continue
		}
		if p.Own != nil {
			own = append(own, p.Own.Title)
			continue
		}
		own = append(own, p.Population)
	}
	var parts []string
	if len(army) > 0 {
		parts = append(parts, "a 2012 survey of US Army "+strings.Join(army, " and "))
	}
	if len(own) > 0 {
		parts = append(parts, strings.Join(own, " and "))
	}
	text := strings.Join(parts, " and ")
	for i, where := range r.Claim.Where {
		text += []string{" where ", " and "}[min(i, 1)] + where.String()
	}
	return text + reweighted(r)
}

// mostQuoted is how many models a quotable sentence lists one by one.
const mostQuoted = 3

// Quotable is one sentence about a result that stays true when it stands alone: of
// whom, under which model, by how much, what counts as mattering, and that it is a
// model's estimate; where force plates say so, that the model misses them by more. The
// rows are those of Plates, or none where nothing was measured.
func Quotable(r *claim.Result, rows []PlateRow) string {
	c := r.Claim
	text := fmt.Sprintf("Over %s modelled bodies drawn from %s, ", thousands(r.N), PeopleWords(r))
	if c.Contrast != nil {
		text += "comparing " + ChangeSentence(c) + ", " + contrastQuote(r)
	} else {
		text += "with " + ChangeSentence(c) + ", " + changeQuote(r)
	}
	text += fmt.Sprintf(", where effects of under %s count as too small to matter", threshold(c))
	for _, a := range assume.All() {
		if value := r.Assumptions[a.Name]; value != a.Default {
			text += fmt.Sprintf(", %s at %.4g", a.Name, value)
		}
	}
	estimate := strings.TrimSuffix(Validation(c), ".")
	if PlatesOutweigh(r, rows) {
		estimate = "Model estimate, which in a pose of this claim misses published force plates by as much as this effect or more"
	}
	return fmt.Sprintf("%s (verdict on “%s”: %s; %s).", text, strings.TrimSuffix(c.Says, "."), r.Verdict, strings.ToLower(estimate[:1])+estimate[1:])
}

// plainNoun is the name of a claim's quantity without what a model means by it.
func plainNoun(d hold.Demand) string {
	noun, _, _ := strings.Cut(phraseOf(d, hold.TwoCondition).noun, " (")
	return noun
}

func changeQuote(r *claim.Result) string {
	c := r.Claim
	subject := plainNoun(c.Quantity)
	if c.Change.Hold == "" {
		subject += " of the " + HeldWords(c.Hold, c.Legs, c.Pose, c.Tilt)
	}
	if r.Verdict == claim.NoEffect {
		return subject + " stays exactly as it is for every body"
	}
	if len(r.Models) > mostQuoted {
		return subject + " " + rangeOfMedians(r)
	}
	var parts []string
	for _, m := range r.Models {
		parts = append(parts, movesBriefly(c, &m)+difficultyOtherWay(c, &m)+" in the model "+m.Name)
	}
	return subject + " " + strings.Join(parts, " and ")
}

// rangeOfMedians says how far apart many models put the effect on the median body.
func rangeOfMedians(r *claim.Result) string {
	p := phraseOf(r.Claim.Quantity, hold.TwoCondition)
	low, high := math.Inf(1), math.Inf(-1)
	for _, m := range r.Models {
		if x := m.Pooled.Quantity.Effect.P50; x != nil {
			low, high = math.Min(low, *x), math.Max(high, *x)
		}
	}
	way, from, to := "changes", p.number(&low, true), p.number(&high, true)
	switch {
	case low > high:
		return "cannot be compared for the median body in any model"
	case low > 0:
		way, from, to = "rises", p.number(&low, false), p.number(&high, false)
	case high < 0:
		way, from, to = "falls", p.number(ptr(-high), false), p.number(ptr(-low), false)
	}
	return fmt.Sprintf("%s by %s to %s for the median body, depending on which of %d models is asked", way, from, to, len(r.Models))
}

// movesBriefly says which way a quantity moves for the median body, and how far.
func movesBriefly(c *claim.Claim, m *claim.ModelResult) string {
	p := phraseOf(c.Quantity, m.Model.Statics)
	e := m.Pooled.Quantity.Effect.P50
	if e == nil {
		return "cannot be compared for the median body"
	}
	size := p.number(ptr(math.Abs(*e)), false)
	if percent := m.Pooled.Percent; percent != nil && percent.P50 != nil {
		size += " (" + ofItself(*percent.P50) + " of what it was)"
	}
	switch {
	case m.Verdict == claim.NoEffect:
		return "stays exactly as it is"
	case shownAsZero(p, *e):
		return "hardly moves for the median body"
	case *e < 0:
		return "falls by " + size + " for the median body"
	}
	return "rises by " + size + " for the median body"
}

func contrastQuote(r *claim.Result) string {
	c := r.Claim
	var parts []string
	for i := range r.Contrast {
		d := &r.Contrast[i]
		p := phraseOf(c.Quantity, modelOf(r, d.Model))
		if math.IsNaN(d.Difference.Value) || math.IsInf(d.Difference.Value, 0) {
			parts = append(parts, fmt.Sprintf("cannot be compared among %s (%s)", SexWords(d.People), d.Model))
			continue
		}
		way := "higher"
		if d.Difference.Value < 0 {
			way = "lower"
		}
		parts = append(parts, fmt.Sprintf("%s by %s among %s (%s)", way, p.number(ptr(math.Abs(d.Difference.Value)), false), SexWords(d.People), d.Model))
	}
	return "the median of " + plainNoun(c.Quantity) + " of the " + HeldWords(c.Hold, c.Legs, c.Pose, c.Tilt) + " is " + strings.Join(parts, ", ")
}

// Citation is the line by which a result can be found and made again: the tool, its
// version, the claim, seed, number of bodies, and hashes of the data sets and of the
// whole study. It has no date.
func Citation(r *claim.Result, stamp *provenance.Stamp) (string, error) {
	data, err := stamp.DataHash()
	if err != nil {
		return "", err
	}
	return fmt.Sprintf("%s %s, claim %s, seed %d, n = %s, data %s, study %s.",
		stamp.Tool, stamp.Version, r.Claim.Name, r.Seed, thousands(r.N), data[:12], stamp.StudyHash()[:12]), nil
}
