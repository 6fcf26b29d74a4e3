package output

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"counterpoise/internal/study"
	"counterpoise/sim/anthro"
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
