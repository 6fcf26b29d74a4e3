package strength

import "fmt"

// UnmarshalText reads a way's name.
func (w *Between) UnmarshalText(text []byte) error {
	way, ok := ParseBetween(string(text))
	if !ok {
		return fmt.Errorf("strength: unknown way to compare people %q", text)
	}
	*w = way
	return nil
}
