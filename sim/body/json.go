package body

import (
	"encoding/json"
	"fmt"
)

// MarshalJSON writes what the change alters, by the traits' names: metres and shares
// of lengths, size as its factor, then the masses.
func (ch Change) MarshalJSON() ([]byte, error) {
	set := map[string]any{}
	for t, by := range ch.Of {
		switch {
		case by == Amount{}:
		case traits[t].Unit == "":
			set[traits[t].Name] = 1 + by.Share
		default:
			set[traits[t].Name] = by
		}
	}
	if len(ch.Mass) > 0 {
		set["mass"] = ch.Mass
	}
	return json.Marshal(set)
}

// UnmarshalJSON reads what MarshalJSON wrote, and nothing else.
func (ch *Change) UnmarshalJSON(data []byte) error {
	var set map[string]json.RawMessage
	if err := json.Unmarshal(data, &set); err != nil {
		return err
	}
	*ch = Change{}
	for name, value := range set {
		t, known := ParseTrait(name)
		var err error
		switch {
		case name == "mass":
			err = json.Unmarshal(value, &ch.Mass)
		case !known || t >= NumChanges:
			err = fmt.Errorf("body: unknown change %q", name)
		case traits[t].Unit == "":
			factor := 1.0
			err = json.Unmarshal(value, &factor)
			ch.Of[t].Share = factor - 1
		default:
			err = json.Unmarshal(value, &ch.Of[t])
		}
		if err != nil {
			return err
		}
	}
	return nil
}
