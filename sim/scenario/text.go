package scenario

import (
	"fmt"
	"strings"

	"counterpoise/sim/body"
	"counterpoise/sim/hold"
)

// MarshalText writes the model with all its choices.
func (m Model) MarshalText() ([]byte, error) {
	return []byte(m.Statics.String() + " / " + m.Masses.String() + " / " + m.Segments), nil
}

// UnmarshalText reads what MarshalText wrote.
func (m *Model) UnmarshalText(text []byte) error {
	parts := strings.Split(string(text), " / ")
	if len(parts) != 3 {
		return fmt.Errorf("scenario: %q is not a model with its regional masses and segment table", text)
	}
	statics, known := hold.ParseModel(parts[0])
	if !known {
		return fmt.Errorf("scenario: unknown model %q", parts[0])
	}
	masses, known := body.ParseMasses(parts[1])
	if !known {
		return fmt.Errorf("scenario: unknown regional masses %q", parts[1])
	}
	*m = Model{Statics: statics, Masses: masses, Segments: parts[2]}
	return nil
}
