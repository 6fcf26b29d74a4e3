package drivers

import (
	"fmt"
	"math"
	"strings"

	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario/scores"
)

// worthOfWhat says of what a row of what a step is worth tells: "1 cm longer arms". working is
// the share of added muscle that works.
func worthOfWhat(row *scores.Worth, working float64) string {
	switch row.Name {
	case "trunk_fat":
		return "1 kg of fat off the trunk"
	case "upper_body_muscle":
		return "1 kg of muscle on the upper body, " + words.Percent(working, 0) + " of it working"
	case "leg_mass":
		return "1 kg more on the legs"
	case "straddle":
		if row.Finite {
			return "5° of straddle of each leg, from legs together"
		}
		return "5° more straddle of each leg"
	case "hand_spacing":
		return "1 cm more between the hands than is best"
	}
	if t, ok := body.ParseTrait(row.Name); ok {
		if row.Unit == "" {
			return "1 % more of " + t.Info().Noun
		}
		return "1 cm " + t.Info().More + " " + t.Info().Noun
	}
	v, _ := hold.ParseVariant(row.Name)
	return "1 cm more of " + v.Info().Meaning
}

// toldWorth are the rows that are always told of.
var toldWorth = []string{"arm_length", "shoulder_breadth", "leg_length", "trunk_fat", "upper_body_muscle"}

// WorthHeadline is the line that a coach quotes: what the lengths and the kilograms
// are worth to one body.
func WorthHeadline(d *Drivers, p *DriversPart) string {
	w := p.Worth
	ph := p.spoken(d.Of)
	var parts []string
	for _, name := range toldWorth {
		for _, row := range w.Rows {
			if row.Name == name {
				parts = append(parts, worthOfWhat(&row, w.Working)+": "+worthWords(&row))
			}
		}
	}
	of := ""
	if p.Person != "" {
		of = " of " + p.Person
	}
	return fmt.Sprintf("For the median body%s (%s, %s), %s is %s. What one unit does to it: %s.", of, words.Rough(w.Stature, units.Length, words.Metric),
		words.Rough(w.Mass, units.Mass, words.Metric), ph.Noun, ph.Number(w.Response), strings.Join(parts, "; "))
}

// worthWords says what one unit does to the demand, in per cent.
func worthWords(row *scores.Worth) string {
	size := words.Percent(math.Abs(row.Percent)/100, 2)
	switch {
	case row.Kink:
		return "a corner of the best posture"
	case math.Abs(row.Percent) < 1e-6:
		return "nothing"
	case math.Abs(row.Percent) < 0.005:
		return "next to nothing"
	}
	return size + " " + words.Way(row.Percent, "more", "less")
}

// worthPlace is the place of a row in a picture, in per cent for one more: that of the one
// side where there is no single rate.
func worthPlace(row *scores.Worth) float64 {
	if row.Kink && row.Change != 0 {
		return row.Percent * row.More / row.Change
	}
	return row.Percent
}
