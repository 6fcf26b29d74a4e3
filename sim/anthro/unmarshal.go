package anthro

import (
	"encoding/json"
	"math"
)

// UnmarshalText reads a quantity's name.
func (q *Quantity) UnmarshalText(text []byte) error {
	quantity, err := ParseQuantity(string(text))
	if err != nil {
		return err
	}
	*q = quantity
	return nil
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (r *Range) UnmarshalJSON(data []byte) error {
	var written struct {
		Of        Quantity `json:"of"`
		Low, High *float64
	}
	if err := json.Unmarshal(data, &written); err != nil {
		return err
	}
	*r = Range{written.Of, math.Inf(-1), math.Inf(1)}
	if written.Low != nil {
		r.Low = *written.Low
	}
	if written.High != nil {
		r.High = *written.High
	}
	return nil
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (m *Mean) UnmarshalJSON(data []byte) error {
	var written struct {
		Of    Quantity `json:"of"`
		Value float64  `json:"mean"`
	}
	if err := json.Unmarshal(data, &written); err != nil {
		return err
	}
	*m = Mean{written.Of, written.Value}
	return nil
}
