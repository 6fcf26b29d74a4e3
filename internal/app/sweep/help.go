package sweep

import (
	"fmt"
	"strings"

	"counterpoise/sim/sweep"
)

// axesHelp lists what a sweep can go along, for a help.
func axesHelp() string {
	var list []string
	for _, name := range sweep.VariableNames() {
		if !strings.HasPrefix(name, AssumptionAxis) {
			list = append(list, name)
		}
	}
	return fmt.Sprintf("Axes are %s; or %s and the name of an assumption (see data assumptions).", strings.Join(list, ", "), AssumptionAxis)
}

// AssumptionAxis begins the names of the axes that are assumptions.
const AssumptionAxis = "assume."
