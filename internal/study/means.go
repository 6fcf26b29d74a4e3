package study

import (
	"fmt"
	"strings"

	"counterpoise/internal/units"
	"counterpoise/sim/anthro"
)

// ParseMeans reads means of people from one line, as in
// "stature=168 cm, mass=60 kg".
func ParseMeans(text string) ([]anthro.Mean, error) {
	var means []anthro.Mean
	for _, part := range strings.Split(text, ",") {
		name, value, found := strings.Cut(part, "=")
		if !found {
			return nil, fmt.Errorf(`%s: write it as in "stature=168 cm,mass=60 kg"`, text)
		}
		m, err := mean(strings.TrimSpace(name), strings.TrimSpace(value))
		if err != nil {
			return nil, fmt.Errorf("%s: %w", text, err)
		}
		means = append(means, m)
	}
	return means, nil
}

// mean reads the mean of a quantity by which people can be told apart.
func mean(name, value string) (anthro.Mean, error) {
	of, err := parseQuantity(name)
	if err != nil {
		return anthro.Mean{}, err
	}
	q, err := units.Parse(value, dimensionOf(of))
	if err != nil {
		return anthro.Mean{}, fmt.Errorf("%q: %w", printable(value), err)
	}
	if !(q.Value > 0) {
		return anthro.Mean{}, fmt.Errorf("%q: must be positive", printable(value))
	}
	return anthro.Mean{Of: of, Value: q.Value}, nil
}

// dimensionOf is what a quantity by which people can be told apart is written in.
func dimensionOf(of anthro.Quantity) units.Dimension {
	switch of.Unit() {
	case "m":
		return units.Length
	case "kg":
		return units.Mass
	}
	return units.Number
}
