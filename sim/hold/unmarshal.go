package hold

import (
	"encoding/json"
	"fmt"
)

// UnmarshalText reads a form's name.
func (f *LegForm) UnmarshalText(text []byte) error {
	form, ok := ParseLegForm(string(text))
	if !ok {
		return fmt.Errorf("hold: unknown form of the legs %q", text)
	}
	*f = form
	return nil
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (p *Pose) UnmarshalJSON(data []byte) error {
	var set map[string]float64
	if err := json.Unmarshal(data, &set); err != nil {
		return err
	}
	*p = Pose{}
	for name, value := range set {
		v, ok := ParseVariant(name)
		if !ok {
			return fmt.Errorf("hold: unknown variant of a pose %q", name)
		}
		p[v] = value
	}
	return nil
}
