package claim

import (
	"fmt"
	"strings"

	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/body"
	"counterpoise/sim/names"
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
