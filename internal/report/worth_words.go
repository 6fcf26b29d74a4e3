package report

import (
	"counterpoise/internal/words"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario/scores"
)

// worthOfWhat says of what a row of what a step is worth tells: "1 cm more arm". working is
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
			return "1 % more " + t.Info().One
		}
		return "1 cm more " + t.Info().One
	}
	v, _ := hold.ParseVariant(row.Name)
	return "1 cm more of " + v.Info().Meaning
}
