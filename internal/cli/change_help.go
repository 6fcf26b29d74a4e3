package cli

import (
	"fmt"
	"strings"

	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/body"
	"counterpoise/sim/names"
	"counterpoise/sim/sweep"
)

// changesHelp lists what a claim can change, for a help.
func changesHelp() string {
	var b strings.Builder
	b.WriteString("A change, as in change: {arm_length: +10 cm}, is of the body:\n\n")
	for t := range body.NumChanges {
		fmt.Fprintf(&b, "  %-17s %s\n", t, t.Info().Meaning)
	}
	fmt.Fprintf(&b, "\nor it is one of %s. Mass is put on or taken off %s.", strings.Join(study.OtherChanges(), ", "), words.Or(names.All(body.NumRegions)))
	return b.String()
}

// axesHelp lists what a sweep can go along, for a help.
func axesHelp() string {
	var list []string
	for _, name := range sweep.VariableNames() {
		if !strings.HasPrefix(name, assumptionAxis) {
			list = append(list, name)
		}
	}
	return fmt.Sprintf("Axes are %s; or %s and the name of an assumption (see data assumptions).", strings.Join(list, ", "), assumptionAxis)
}

// assumptionAxis begins the names of the axes that are assumptions.
const assumptionAxis = "assume."
