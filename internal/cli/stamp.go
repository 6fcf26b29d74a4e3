package cli

import (
	"encoding/json"

	"counterpoise/datasets"
	"counterpoise/internal/provenance"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
)

// newStamp says where a result comes from: the resolved study, with its people of one's
// own beside the embedded data sets.
func newStamp(study any, seed uint64, values assume.Set, own ...*anthro.Population) (provenance.Stamp, error) {
	named := values.Named()
	for name, x := range named {
		id, _ := assume.Parse(name)
		named[name] = words.AssumptionTold(id, x)
	}
	return provenance.NewStamp(study, seed, withOwn(datasets.Hashes(), own...), named)
}

// rangesOf are the ranges of the assumptions that have one, by name.
func rangesOf(u assume.Uncertainty) map[string][2]float64 {
	ranges := map[string][2]float64{}
	for _, id := range u.Free() {
		ranges[id.String()] = [2]float64{words.AssumptionTold(id, u.Low[id]), words.AssumptionTold(id, u.High[id])}
	}
	return ranges
}

// indented is a summary as its file holds it and --json prints it.
func indented(summary any) ([]byte, error) {
	text, err := json.MarshalIndent(summary, "", "  ")
	return append(text, '\n'), err
}
