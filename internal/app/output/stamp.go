package output

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"

	"counterpoise/datasets"
	"counterpoise/internal/provenance"
	"counterpoise/internal/stored"
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

// Persons rebuilds persons, and finds the people among whom they are placed.
func (f *OwnFinder) Persons(resolved []json.RawMessage) (persons []study.Person, err error) {
	for _, text := range resolved {
		p, err := stored.PersonOf(text)
		if err == nil && p.Population != "" {
			p.Own, err = f.Load(p.Population)
		}
		if err != nil {
			return nil, err
		}
		persons = append(persons, p)
	}
	return persons, nil
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

// Assumed rebuilds what was assumed from where an output comes from, and the ranges that its
// study tells as RangesOf does.
func Assumed(stamp *provenance.Stamp, ranges map[string][2]float64) (u assume.Uncertainty, err error) {
	named := func(name string) (assume.ID, error) {
		id, ok := assume.Parse(name)
		if !ok {
			return id, fmt.Errorf("the assumption %s is not in this program", name)
		}
		return id, nil
	}
	var set assume.Set
	for _, name := range slices.Sorted(maps.Keys(stamp.Assumptions)) {
		id, err := named(name)
		if err != nil {
			return u, err
		}
		set[id] = words.AssumptionMeant(id, stamp.Assumptions[name])
	}
	for id := range assume.Count {
		switch _, ok := stamp.Assumptions[id.String()]; {
		case !ok && id.Info().Choice:
			set[id] = assume.Chosen
		case !ok:
			return u, fmt.Errorf("this program has the assumption %s, which the file does not know", id)
		}
	}
	u = assume.Uncertainty{Centre: set, Low: set, High: set}
	for _, name := range slices.Sorted(maps.Keys(ranges)) {
		id, err := named(name)
		if err != nil {
			return u, err
		}
		u.Low[id], u.High[id] = words.AssumptionMeant(id, ranges[name][0]), words.AssumptionMeant(id, ranges[name][1])
	}
	return u, nil
}

// ReadStudy reads what a stamp says of a study into its parts, all of which must be known: a
// study with a part left out would be another study.
func ReadStudy(stamp *provenance.Stamp, into any) error {
	decoder := json.NewDecoder(bytes.NewReader(stamp.Study))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(into); err != nil {
		return fmt.Errorf("the study in it cannot be read: %w", err)
	}
	return nil
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
