package said

import "counterpoise/internal/provenance"

// Reuse says under which terms pictures and pages may be used again. It is about
// what the program writes, not about the program.
const Reuse = "The pictures, the tables and the words of this page may be copied, changed and printed under the licence " +
	"Creative Commons Attribution 4.0 International (CC BY 4.0)"

// ReuseAddress is where the licence can be read.
const ReuseAddress = "https://creativecommons.org/licenses/by/4.0/"

// Attribution is the line to print beside a picture that is used again.
func Attribution(claim string, stamp *provenance.Stamp) string {
	return "Picture: counterpoise " + stamp.Version + ", claim “" + claim + "”, CC BY 4.0. Model estimate."
}
