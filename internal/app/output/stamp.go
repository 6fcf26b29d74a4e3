package output

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"counterpoise/datasets"
	"counterpoise/internal/provenance"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/scenario"
	"counterpoise/sim/sweep"
)

// ownKey names the file of people of one's own beside the embedded data sets.
func ownKey(p *anthro.Population) string { return "own/" + p.Name + ".json" }

// WithOwn adds the hash of people of one's own to those of the data sets.
func WithOwn(hashes map[string]string, people ...*anthro.Population) map[string]string {
	for _, p := range people {
		if p != nil && p.SHA256 != "" {
			hashes[ownKey(p)] = p.SHA256
		}
	}
	return hashes
}

// An ownFinder finds people of one's own by their names, which with their hashes is
// all that outputs tell of them: not where their file lay, nor who they are.
type OwnFinder struct {
	Files   []string          // looked at first
	Folders []string          // then files in them of the people's name
	Hashes  map[string]string // by ownKey: of several files, the one that has it is taken
	Hint    string            // how to say where a file lies, for errors
}

// Load returns a survey's population, or finds people of one's own. A file that was
// altered since is taken all the same: who compares hashes will see it.
func (f *OwnFinder) Load(name string) (*anthro.Population, error) {
	if slices.Contains(anthro.Names(), name) || anthro.Missing(name) != "" {
		return anthro.Load(name)
	}
	if anthro.IsFile(name) {
		return nil, fmt.Errorf("%q is a path, where a name of people is needed", name)
	}
	paths := f.Files
	for _, folder := range f.Folders {
		// Load takes what has a slash for a path.
		paths = append(paths[:len(paths):len(paths)], folder+string(filepath.Separator)+name+".json")
	}
	var found *anthro.Population
	var faults []error
	for i, path := range paths {
		if _, err := os.Stat(path); i >= len(f.Files) && errors.Is(err, fs.ErrNotExist) {
			continue
		}
		p, err := anthro.Load(path)
		switch {
		case err != nil && i < len(f.Files):
			return nil, fmt.Errorf("--people %w", err)
		case err != nil:
			faults = append(faults, err)
		case p.Name != name:
		case p.SHA256 == f.Hashes[ownKey(p)]:
			return p, nil
		case found == nil:
			found = p
		}
	}
	switch {
	case found != nil:
		return found, nil
	case len(faults) > 0:
		return nil, faults[0]
	}
	return nil, fmt.Errorf("%s are your own people, but %s.json is not next to the file or here%s", name, name, f.Hint)
}

// Claim finds the people of a claim or a sweep.
func (f *OwnFinder) Claim(people []scenario.Group) error {
	for i := range people {
		p, err := f.Load(people[i].Population)
		if err != nil {
			return err
		}
		if p.Resampled() {
			people[i].Own = p
		}
	}
	return nil
}

// Sweep finds the people of a sweep.
func (f *OwnFinder) Sweep(s *sweep.Study) error {
	if err := f.Claim(s.Base.People); err != nil {
		return err
	}
	for i := range s.Axes {
		if err := f.Claim(s.Axes[i].People); err != nil {
			return err
		}
	}
	return nil
}

// OwnOfPersons lists the people of one's own among whom persons are placed.
func OwnOfPersons(persons []study.Person) []*anthro.Population {
	var own []*anthro.Population
	for i := range persons {
		if p := persons[i].Own; p != nil {
			own = append(own, p)
		}
	}
	return own
}

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
