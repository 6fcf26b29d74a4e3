package claim

import (
	"fmt"
	"strings"

	"counterpoise/sim/body"
	"counterpoise/sim/hold"
)

// UnmarshalText reads a direction's name.
func (d *Direction) UnmarshalText(text []byte) error {
	direction, ok := ParseDirection(string(text))
	if !ok {
		return fmt.Errorf("claim: unknown direction %q", text)
	}
	*d = direction
	return nil
}

// UnmarshalText reads a rule's name.
func (r *PostureRule) UnmarshalText(text []byte) error {
	rule, ok := ParsePostureRule(string(text))
	if !ok {
		return fmt.Errorf("claim: unknown posture %q", text)
	}
	*r = rule
	return nil
}

// UnmarshalText reads what MarshalText wrote.
func (m *Model) UnmarshalText(text []byte) error {
	parts := strings.Split(string(text), " / ")
	if len(parts) != 3 {
		return fmt.Errorf("claim: %q is no model with its regional masses and segment table", text)
	}
	statics, known := hold.ParseModel(parts[0])
	if !known {
		return fmt.Errorf("claim: unknown model %q", parts[0])
	}
	masses, known := body.ParseMasses(parts[1])
	if !known {
		return fmt.Errorf("claim: unknown regional masses %q", parts[1])
	}
	*m = Model{Statics: statics, Masses: masses, Segments: parts[2]}
	return nil
}
