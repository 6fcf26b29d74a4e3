// Package wording puts answers for one person into sentences and into the summary
// that --json prints. It draws no pictures, so that a page's own program stays
// small. Every statement of a direction is read off the sign of a result.
package wording

import (
	"fmt"
	"math"
	"strings"

	"counterpoise/internal/units"
	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
)

// NotValidated stands under every number about a hold for which no measured
// force has been published.
const NotValidated = "Model estimate, not validated by measured forces."

// Cautions are printed wherever somebody might act on a number.
const Cautions = "A statics estimate is no medical or training advice. Straight-arm holds load shoulders, elbows and wrists: " +
	"progress gradually, and with a qualified coach or clinician where there is pain or a history of injury. " +
	"A pole or bar must be rated for the load and installed to local code by a competent person."

// Percent prints a share; shares that are not whole never round to 0 or 100.
func Percent(share float64) string {
	p := 100 * share
	switch {
	case p == 0 || p == 100:
		return fmt.Sprintf("%.0f %%", p)
	case p < 0.1:
		return "under 0.1 %"
	case p > 99.9:
		return "over 99.9 %"
	case p < 10 || p > 90:
		return fmt.Sprintf("%.1f %%", p)
	}
	return fmt.Sprintf("%.0f %%", p)
}

// PostureWords says what is not the plain posture.
func PostureWords(p hold.Posture) string {
	var parts []string
	switch legs := p.Legs; legs.Form {
	case hold.Together:
	case hold.Straddle:
		parts = append(parts, fmt.Sprintf("straddle %.0f°", legs.Angle*180/math.Pi))
	default:
		parts = append(parts, strings.ReplaceAll(legs.Form.String(), "-", " "))
	}
	for v := range hold.NumVariants {
		if value := p.Pose[v]; value != 0 {
			info := v.Info()
			name := strings.ReplaceAll(info.Name, "_", " ")
			switch info.Unit {
			case "m":
				name += fmt.Sprintf(" %.4g cm", 100*value)
			case "rad":
				name += fmt.Sprintf(" %.4g°", value*180/math.Pi)
			}
			parts = append(parts, name)
		}
	}
	if p.Tilt != 0 {
		parts = append(parts, fmt.Sprintf("tilted %.4g°", p.Tilt*180/math.Pi))
	}
	return strings.Join(parts, ", ")
}

// PostureOf says at which posture and by which model something was predicted.
func PostureOf(rule hold.Rule, model hold.Model) string {
	switch rule {
	case hold.GivenAngle:
		return "at the measured arm angle"
	case hold.GivenSpacing:
		return "at the measured hand spacing"
	}
	return "at the best posture by " + model.String()
}

// PoolOf sums up how the predictions for several persons did.
func PoolOf(answers []PersonAnswer) []person.Pooled {
	results := make([]*person.Result, len(answers))
	for i := range answers {
		results[i] = answers[i].Result
	}
	return person.Pool(results...)
}

// RarityText says what is unusual about a measurement, in the units that people
// write.
func RarityText(r *anthro.Rarity, s units.System) string {
	of := r.Known.Of
	given := ""
	if len(r.Given) > 0 {
		var names []string
		for _, m := range r.Given {
			names = append(names, strings.ReplaceAll(m.String(), "_", " "))
		}
		last := len(names) - 1
		given = " with that " + names[last]
		if last > 0 {
			given = " with that " + strings.Join(names[:last], ", ") + " and " + names[last]
		}
	}
	between := func(i anthro.Interval) string {
		return MeasurementText(of, i.Low, s) + " to " + MeasurementText(of, i.High, s)
	}
	return fmt.Sprintf("%s: of people in %s%s, 90 %% have %s and all but 1 in 100,000 have %s",
		MeasurementText(of, r.Known.Value, s), r.Population, given, between(r.Ordinary), between(r.Possible))
}

// MeasurementText prints the value of a measurement.
func MeasurementText(m anthro.Measurement, value float64, s units.System) string {
	if m == anthro.Mass {
		return units.Format(value, units.Mass, s)
	}
	return units.Format(value, units.Length, s)
}

// Noun is how a demand is spoken of.
func Noun(d hold.Demand, model hold.Model) string {
	switch d {
	case hold.RequiredForce:
		return "the force along the harder-working arm"
	case hold.Difficulty:
		if model == hold.Equilibrium {
			return "the difficulty (demand over capacity)"
		}
		return "the difficulty (force over relative strength)"
	case hold.LeanAngle:
		return "the lean"
	case hold.ArmAngle:
		return "the arm angle"
	case hold.ArmTrunkAngle:
		return "the angle between arms and trunk"
	case hold.HandShare:
		return "the weight on the hands"
	case hold.FootShare:
		return "the weight on the feet"
	case hold.WallPush:
		return "the push of the wall"
	}
	return "the " + strings.ReplaceAll(d.String(), "_", " ")
}

// PersonNotes are the notes of a result, what is rare in the units of the text.
func PersonNotes(r *person.Result, s units.System) []string {
	var notes []string
	if rare := r.Conditioned.Rare; rare != nil {
		notes = append(notes, "rare, check it: "+strings.ReplaceAll(rare.Known.Of.String(), "_", " ")+" "+RarityText(rare, s))
	}
	for _, n := range r.Notes {
		if !strings.HasPrefix(n, "rare: ") {
			notes = append(notes, n)
		}
	}
	return notes
}
