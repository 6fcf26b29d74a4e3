package study

import (
	"strings"

	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
)

// lists are the names that messages list, so that the tests need not change
// with every new hold.
func lists() map[string]string {
	join := func(names []string) string { return strings.Join(names, ", ") }
	return map[string]string{
		"<fields>":       "change, claim, contrast, expect, hold, legs, matters, matters_because, models, people, posture, quantity, regional_masses, says, segments, share, tilt, why",
		"<changes>":      "added_mass, arm_angle, arm_length, assume, hand_spacing, leg_length, legs, lost_mass, shoulder_breadth, size, tilt",
		"<quantities>":   join(names(hold.NumDemands)),
		"<assumptions>":  join(AssumptionNames()),
		"<leg forms>":    join(names(hold.NumLegForms)),
		"<measurements>": join(anthro.MeasurementNames()),
	}
}
