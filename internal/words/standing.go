package words

import "counterpoise/internal/provenance"

// Standing is what stands at the end of every JSON about holds: what it is worth, and where it
// comes from.
type Standing struct {
	Validation string           `json:"validation"`
	Cautions   string           `json:"cautions"`
	Provenance provenance.Stamp `json:"provenance"`
}

// StandingOf is the standing of what no measured forces were compared with.
func StandingOf(stamp provenance.Stamp) Standing { return Standing{NotValidated, Cautions, stamp} }
