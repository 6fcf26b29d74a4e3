package anthro

import "counterpoise/sim/names"

// Sex chooses among tables that exist by sex. The surveys behind them recorded
// two.
type Sex int

// The two sexes in the surveys.
const (
	Male Sex = iota
	Female
)

var sexes = names.List[Sex]{"male", "female"}

// String returns "male" or "female".
func (s Sex) String() string { return sexes.Of(s) }

// ParseSex finds a sex by its name.
func ParseSex(name string) (Sex, bool) { return sexes.Find(name) }
