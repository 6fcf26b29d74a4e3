package flags

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/app/console"
	"counterpoise/internal/holds"
	"counterpoise/internal/study"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/hold"
)

// ModelFor reads the name of one of the hold's models; without one it is
// equilibrium, or the hold's first.
func ModelFor(h *hold.Hold, name string) (hold.Model, error) {
	if name == "" {
		if h.Has(hold.Equilibrium) {
			return hold.Equilibrium, nil
		}
		return h.Models[0], nil
	}
	return Choose("model", name, h.Models)
}

// StraddleExample is how a straddle is written.
const StraddleExample = "straddle 40 deg"

// LegsFor reads a leg form of the hold, a straddle with its angle.
func LegsFor(h *hold.Hold, text string) (hold.Legs, error) {
	if text == "" {
		return hold.Legs{}, nil
	}
	name, angle, _ := strings.Cut(strings.TrimSpace(text), " ")
	if len(h.LegForms) == 0 {
		return hold.Legs{}, console.Input(fmt.Errorf("--legs %s: the legs of %s have only one form", text, h.Name))
	}
	form, err := Choose("legs", name, h.LegForms)
	if err != nil {
		return hold.Legs{}, err
	}
	angle = strings.TrimSpace(angle)
	switch {
	case form != hold.Straddle && angle != "":
		return hold.Legs{}, console.Input(fmt.Errorf("--legs %s: %s has no angle, only a straddle has", text, name))
	case form != hold.Straddle:
		return hold.LegsIn(form, 0), nil
	case angle == "":
		return hold.Legs{}, console.Input(fmt.Errorf(`--legs %s: a straddle needs its angle, each leg from the body's line, as in %q`, text, StraddleExample))
	}
	q, err := units.Parse(angle, units.Angle)
	if err != nil {
		return hold.Legs{}, console.Input(fmt.Errorf("--legs %s: %w", text, err))
	}
	if !(q.Value > 0 && q.Value <= math.Pi/2) {
		return hold.Legs{}, console.Input(fmt.Errorf("--legs %s: a straddle opens each leg by more than 0 and at most 90 deg", text))
	}
	return hold.LegsIn(form, q.Value), nil
}

// PoseFor reads the parts of a pose, of those that the hold has.
func PoseFor(h *hold.Hold, texts []string) (hold.Pose, error) {
	var pose hold.Pose
	set := map[hold.Variant]bool{}
	for _, text := range texts {
		name, value, hasValue := strings.Cut(text, "=")
		name = strings.TrimSpace(name)
		if len(h.Variants) == 0 {
			return pose, console.Input(fmt.Errorf("--pose %s: the pose of %s has no variants", text, h.Name))
		}
		v, err := Choose("pose", name, h.Variants)
		if err != nil {
			return pose, err
		}
		if set[v] {
			return pose, console.Input(fmt.Errorf("--pose %s: %s appears twice", text, name))
		}
		set[v] = true
		if pose[v], err = variantValue(v.Info(), value, hasValue); err != nil {
			return pose, console.Input(fmt.Errorf("--pose %s: %w", text, err))
		}
	}
	return pose, nil
}

// variantValue reads the value of one part of a pose.
func variantValue(info hold.VariantInfo, text string, given bool) (float64, error) {
	if info.Unit == "" {
		if given {
			return 0, fmt.Errorf("%s takes no value: write --pose %s, or leave it out", info.Name, info.Name)
		}
		return 1, nil
	}
	dimension := dimensionOf(info)
	if !given {
		return 0, fmt.Errorf("%s needs its value, from %s", info.Name, RangeOf(info))
	}
	q, err := units.Parse(text, dimension)
	if err != nil {
		return 0, err
	}
	if q.Value < info.Least || q.Value > info.Most {
		return 0, fmt.Errorf("%s must lie in %s", info.Name, RangeOf(info))
	}
	return q.Value, nil
}

func dimensionOf(info hold.VariantInfo) units.Dimension {
	if info.Unit == "rad" {
		return units.Angle
	}
	return units.Length
}

func RangeOf(info hold.VariantInfo) string {
	d := dimensionOf(info)
	return words.Quantity(info.Least, d, words.Metric) + " to " + words.Quantity(info.Most, d, words.Metric)
}

// HoldsNamed finds holds by their names or files; without any, all that are shipped.
func HoldsNamed(list []string) ([]*hold.Hold, error) {
	if len(list) == 0 {
		return holds.All(), nil
	}
	var of []*hold.Hold
	for _, name := range list {
		h, err := study.FindHold(name)
		if err != nil {
			return nil, console.Input(err)
		}
		if slices.ContainsFunc(of, func(before *hold.Hold) bool { return before.Name == h.Name }) {
			return nil, console.Input(fmt.Errorf("%s appears twice", h.Name))
		}
		of = append(of, h)
	}
	return of, nil
}
