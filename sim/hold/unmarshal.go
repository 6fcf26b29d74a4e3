package hold

import (
	"encoding/json"
	"fmt"
)

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
