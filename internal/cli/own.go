package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/fault"
	"counterpoise/sim/scenario"
	"counterpoise/sim/sweep"
)

// ownKey names the file of people of one's own beside the embedded data sets.
func ownKey(p *anthro.Population) string { return "own/" + p.Name + ".json" }

// withOwn adds the hash of people of one's own to those of the data sets.
func withOwn(hashes map[string]string, people ...*anthro.Population) map[string]string {
	for _, p := range people {
		if p != nil && p.SHA256 != "" {
			hashes[ownKey(p)] = p.SHA256
		}
	}
	return hashes
}

// An ownFinder finds people of one's own by their names, which with their hashes is
// all that outputs tell of them: not where their file lay, nor who they are.
type ownFinder struct {
	files   []string          // looked at first
	folders []string          // then files in them of the people's name
	hashes  map[string]string // by ownKey: of several files, the one that has it is taken
	hint    string            // how to say where a file lies, for errors
}

// finder finds the people of a file: in the files named, beside the file and above
// it, or where the program was started.
func (m *output) finder() *ownFinder {
	beside := filepath.Dir(m.path)
	return &ownFinder{
		files: m.people, hashes: m.stamp.Data, hint: "; say where its file lies with --people FILE",
		folders: []string{beside, filepath.Join(beside, ".."), filepath.Join(beside, "..", ".."), "."},
	}
}

// load returns a survey's population, or finds people of one's own. A file that was
// altered since is taken all the same: who compares hashes will see it.
func (f *ownFinder) load(name string) (*anthro.Population, error) {
	if slices.Contains(anthro.Names(), name) || anthro.Missing(name) != "" {
		return anthro.Load(name)
	}
	if anthro.IsFile(name) {
		return nil, fmt.Errorf("%q is a path, where a name of people is needed", name)
	}
	paths := f.files
	for _, folder := range f.folders {
		// Load takes what has a slash for a path.
		paths = append(paths[:len(paths):len(paths)], folder+string(filepath.Separator)+name+".json")
	}
	var found *anthro.Population
	var faults []error
	for i, path := range paths {
		if _, err := os.Stat(path); i >= len(f.files) && errors.Is(err, fs.ErrNotExist) {
			continue
		}
		p, err := anthro.Load(path)
		switch {
		case err != nil && i < len(f.files):
			return nil, fmt.Errorf("--people %w", err)
		case err != nil:
			faults = append(faults, err)
		case p.Name != name:
		case p.SHA256 == f.hashes[ownKey(p)]:
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
	return nil, fmt.Errorf("%s are your own people, but %s.json is not next to the file or here%s", name, name, f.hint)
}

// claim finds the people of a claim or a sweep.
func (f *ownFinder) claim(people []scenario.Group) error {
	for i := range people {
		p, err := f.load(people[i].Population)
		if err != nil {
			return err
		}
		if p.Resampled() {
			people[i].Own = p
		}
	}
	return nil
}

// sweep finds the people of a sweep.
func (f *ownFinder) sweep(s *sweep.Study) error {
	if err := f.claim(s.Base.People); err != nil {
		return err
	}
	for i := range s.Axes {
		if err := f.claim(s.Axes[i].People); err != nil {
			return err
		}
	}
	return nil
}

// ownOf lists people of one's own in a sweep, each once.
func ownOf(s *sweep.Study) []*anthro.Population {
	var own []*anthro.Population
	seen := map[string]bool{}
	for _, p := range peopleOf(s) {
		if p.Own != nil && !seen[p.Population] {
			seen[p.Population] = true
			own = append(own, p.Own)
		}
	}
	return own
}

// ownOfPersons lists the people of one's own among whom persons are placed.
func ownOfPersons(persons []study.Person) []*anthro.Population {
	var own []*anthro.Population
	for i := range persons {
		if p := persons[i].Own; p != nil {
			own = append(own, p)
		}
	}
	return own
}

// distinctOwn refuses persons whose people of one's own are others of the same name:
// outputs could not tell them apart.
func distinctOwn(persons []study.Person) error {
	hash := map[string]string{}
	for i := range persons {
		p := persons[i].Own
		if p == nil {
			continue
		}
		if before, ok := hash[p.Name]; ok && before != p.SHA256 {
			return input(persons[i].Fault(fault.New("people", p.Name, "another person's file has different people named %s; rename these", p.Name), words.Metric))
		}
		hash[p.Name] = p.SHA256
	}
	return nil
}
