package claim

import "fmt"

// UnmarshalText reads a direction's name.
func (d *Direction) UnmarshalText(text []byte) error {
	direction, ok := ParseDirection(string(text))
	if !ok {
		return fmt.Errorf("claim: unknown direction %q", text)
	}
	*d = direction
	return nil
}
