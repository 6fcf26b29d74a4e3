package output

import (
	"encoding/json"
	"fmt"

	"counterpoise/datasets"
	"counterpoise/internal/provenance"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
)

// AssumptionsOf returns the values of all assumptions.
func AssumptionsOf(stamp *provenance.Stamp) (assume.Set, error) {
	var set assume.Set
	for name, x := range stamp.Assumptions {
		id, ok := assume.Parse(name)
		if !ok {
			return set, fmt.Errorf("the assumption %s is not in this program", name)
		}
		set[id] = words.AssumptionMeant(id, x)
	}
	for id := range assume.Count {
		switch _, ok := stamp.Assumptions[id.String()]; {
		case !ok && id.Info().Choice:
			set[id] = assume.Chosen
		case !ok:
			return set, fmt.Errorf("this program has the assumption %s, which the file does not know", id)
		}
	}
	return set, nil
}

// NewStamp says where a result comes from: the resolved study, with its people of one's
// own beside the embedded data sets.
func NewStamp(study any, seed uint64, values assume.Set, own ...*anthro.Population) (provenance.Stamp, error) {
	named := values.Named()
	for name, x := range named {
		id, _ := assume.Parse(name)
		named[name] = words.AssumptionTold(id, x)
	}
	return provenance.NewStamp(study, seed, WithOwn(datasets.Hashes(), own...), named)
}

// RangesOf are the ranges of the assumptions that have one, by name.
func RangesOf(u assume.Uncertainty) map[string][2]float64 {
	ranges := map[string][2]float64{}
	for _, id := range u.Free() {
		ranges[id.String()] = [2]float64{words.AssumptionTold(id, u.Low[id]), words.AssumptionTold(id, u.High[id])}
	}
	return ranges
}

// Indented is a summary as its file holds it and --json prints it.
func Indented(summary any) ([]byte, error) {
	text, err := json.MarshalIndent(summary, "", "  ")
	return append(text, '\n'), err
}
