package flags

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"counterpoise/internal/app/console"
	"counterpoise/internal/called"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/fault"
	"counterpoise/sim/scenario"

	"github.com/spf13/pflag"
)

// Sexes are those that a table may be of as a whole.
var Sexes = []anthro.Sex{anthro.Female, anthro.Male}

// DistinctOwn refuses persons whose people of one's own are others of the same name:
// outputs could not tell them apart.
func DistinctOwn(persons []study.Person) error {
	hash := map[string]string{}
	for i := range persons {
		p := persons[i].Own
		if p == nil {
			continue
		}
		if before, ok := hash[p.Name]; ok && before != p.SHA256 {
			return console.Input(persons[i].Fault(fault.New("people", p.Name, "another person's file has different people named %s; rename these", p.Name), words.Metric))
		}
		hash[p.Name] = p.SHA256
	}
	return nil
}

// OwnHint is said where a name of people is not known.
const OwnHint = "; a file of your own people has a slash or a dot in its path"

// LoadPeople loads a survey's population or people of one's own.
func LoadPeople(name string) (*anthro.Population, error) {
	if anthro.IsFile(name) {
		p, err := anthro.Load(name)
		return p, console.Input(err)
	}
	if err := KnowsPeople("", name); err != nil {
		return nil, err
	}
	return anthro.Load(name)
}

// KnowsPeople refuses a name that no embedded population bears; flag is where it stands,
// as in "--people", or "" for an argument.
func KnowsPeople(flag, name string) error {
	if missing := anthro.Missing(name); missing != "" {
		if flag != "" {
			missing = flag + ": " + missing
		}
		return console.Input(errors.New(missing))
	}
	if slices.Contains(anthro.Names(), name) {
		return nil
	}
	unknown := fmt.Sprintf("unknown people %q", name)
	if flag != "" {
		unknown = fmt.Sprintf("%s %s: unknown name", flag, name)
	}
	return console.Input(fmt.Errorf("%s%s; known: %s%s", unknown, called.Suggest(name, anthro.Names()), strings.Join(anthro.Names(), ", "), OwnHint))
}

// claimPeople reads the people of a claim from --people.
func claimPeople(names []string) ([]scenario.Group, error) {
	var people []scenario.Group
	for _, name := range names {
		p := scenario.Group{Population: name, Weight: 1}
		if anthro.IsFile(name) {
			own, err := anthro.Load(name)
			if err != nil {
				return nil, console.Input(fmt.Errorf("--people %w", err))
			}
			p.Population, p.Own = own.Name, own
		} else if err := KnowsPeople("--people", name); err != nil {
			return nil, err
		}
		for _, before := range people {
			if before.Population == p.Population {
				return nil, console.Input(fmt.Errorf("--people: %s appears twice", p.Population))
			}
		}
		people = append(people, p)
	}
	return people, nil
}

// Chosen are the flags that choose among people.
type Chosen struct {
	Where   []string
	Targets [3][]string // in the order of study.TargetKinds
}

func (c *Chosen) AddFlags(f *pflag.FlagSet) {
	f.StringArrayVar(&c.Where, "where", nil, `keep those in a range, as in --where "bmi=18.5..27", "age=30..39" or "stature=160..175 cm"`)
	for k, kind := range study.TargetKinds {
		f.StringArrayVar(&c.Targets[k], kind.Field, nil, fmt.Sprintf("reweight the people of a survey, as in --%s %q", kind.Field, kind.Example))
	}
}

// Of returns the people chosen of a population.
func (c *Chosen) Of(p *anthro.Population) (anthro.Selection, error) {
	selection := anthro.Selection{Population: p}
	for _, text := range c.Where {
		r, err := study.ParseCondition(text)
		if err != nil {
			return selection, console.Input(fmt.Errorf("--where %w", err))
		}
		selection.Where = append(selection.Where, r)
	}
	var targets []anthro.Target
	for k, kind := range study.TargetKinds {
		for _, text := range c.Targets[k] {
			more, err := study.ParseTargets(kind.Field, text)
			if err != nil {
				return selection, console.Input(fmt.Errorf("--%s %w", kind.Field, err))
			}
			targets = append(targets, more...)
		}
	}
	if len(targets) == 0 {
		return selection, nil
	}
	weighted, err := selection.Reweight(targets)
	if err != nil {
		return selection, console.Input(err)
	}
	return anthro.Selection{Population: weighted}, nil
}
