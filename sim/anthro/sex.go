package anthro

// Sex chooses among tables that exist by sex. The surveys behind them recorded
// two.
type Sex int

// The two sexes in the surveys.
const (
	Male Sex = iota
	Female
)

// String returns "male" or "female".
func (s Sex) String() string {
	if s == Female {
		return "female"
	}
	return "male"
}

// ParseSex finds a sex by its name, "male" or "female".
func ParseSex(name string) (Sex, bool) {
	switch name {
	case "male":
		return Male, true
	case "female":
		return Female, true
	}
	return 0, false
}
