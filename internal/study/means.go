package study

import (
	"fmt"
	"strings"

	"counterpoise/internal/units"
	"counterpoise/sim/anthro"
)

// TargetKinds are the fields that say what people are reweighted to, and how the value
// of one is written.
var TargetKinds = []struct {
	Field, Example string
	read           func(of anthro.Quantity, value string) (anthro.Target, error)
}{
	{"means", "stature=168 cm,mass=60 kg", positive(anthro.MeanOf)},
	{"sds", "stature=6.5 cm,mass=7 kg", positive(anthro.DeviationOf)},
	{"shares", "bmi=35 % in 18.5..25", share},
}

// ParseTargets reads targets of one kind from one line, as in its example.
func ParseTargets(field, text string) (targets []anthro.Target, err error) {
	for _, kind := range TargetKinds {
		if kind.Field != field {
			continue
		}
		for _, part := range strings.Split(text, ",") {
			name, value, found := strings.Cut(part, "=")
			if !found {
				return nil, fmt.Errorf("%s: write it as in %q", text, kind.Example)
			}
			t, err := target(strings.TrimSpace(name), strings.TrimSpace(value), kind.read)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", text, err)
			}
			targets = append(targets, t)
		}
	}
	return targets, nil
}

// target reads what a quantity by which people can be told apart is to have.
func target(name, value string, read func(anthro.Quantity, string) (anthro.Target, error)) (anthro.Target, error) {
	of, err := parseQuantity(name)
	if err != nil {
		return anthro.Target{}, err
	}
	return read(of, value)
}

// positive reads a mean or a standard deviation.
func positive(kind anthro.TargetKind) func(anthro.Quantity, string) (anthro.Target, error) {
	return func(of anthro.Quantity, value string) (anthro.Target, error) {
		q, err := units.Parse(value, dimensionOf(of))
		if err != nil {
			return anthro.Target{}, fmt.Errorf("%q: %w", printable(value), err)
		}
		t := anthro.Target{Of: of, Kind: kind, Value: q.Value}
		if t.Check() != nil {
			return t, fmt.Errorf("%q: must be positive", printable(value))
		}
		return t, nil
	}
}

// share reads a share of people within a range, as in "35 % in 18.5..25".
func share(of anthro.Quantity, value string) (anthro.Target, error) {
	part, span, found := strings.Cut(value, " in ")
	if !found {
		return anthro.Target{}, fmt.Errorf(`%q: write a share and its range, as in "35 %% in 18.5..25"`, printable(value))
	}
	q, err := units.Parse(part, units.Number)
	if err != nil {
		return anthro.Target{}, fmt.Errorf("%q: %w", printable(part), err)
	}
	r, err := condition(of.String(), span)
	if err != nil {
		return anthro.Target{}, err
	}
	t := anthro.Target{Of: of, Kind: anthro.ShareOf, Value: q.Value, Low: r.Low, High: r.High}
	return t, t.Check()
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
