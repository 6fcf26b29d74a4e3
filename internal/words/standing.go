package words

import "counterpoise/internal/provenance"

// Standing is what stands at the end of every JSON about holds: what it is worth, and where it
// comes from.
type Standing struct {
	Validation string           `json:"validation"` // what of this was checked against measurements
	Cautions   string           `json:"cautions"`   // for whoever tries the hold
	Provenance provenance.Stamp `json:"provenance"` // where the numbers come from
}

// StandingOf is the standing of what no measured forces were compared with.
func StandingOf(stamp provenance.Stamp) Standing { return Standing{NotValidated, Cautions, stamp} }
