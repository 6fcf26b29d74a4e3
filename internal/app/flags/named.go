package flags

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/app/console"
	"counterpoise/internal/called"
	"counterpoise/internal/draw"
	"counterpoise/internal/holds"
	"counterpoise/internal/study"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
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

// RangeOf says from where to where a variant of a pose goes.
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

// Look is how charts look; flags set it by names. It bears on no result, and repeat
// leaves it out of account.
type Look struct {
	size  string
	theme string
	None  bool // no chart is drawn

	Language string // of the story and of the first screen of the page
	Address  string // that the story gives for its evidence; it may be empty
	Above    string // address of the page that lists the evidence, or nothing
}

// DefaultLook is that of charts nobody has said anything about.
func DefaultLook() Look {
	return Look{size: draw.Sizes[0].Name, theme: draw.Themes[0].Name, Language: words.English.String()}
}

// NoCharts is the look of a repeat, which compares no charts and throws its files away.
func NoCharts() Look {
	l := DefaultLook()
	l.None = true
	return l
}

// AddFlags adds --size and --theme, which every command has that draws.
func (l *Look) AddFlags(c *cobra.Command) {
	c.Flags().StringVar(&l.size, "size", l.size, "size of the charts: "+strings.Join(names.Of(draw.Sizes), ", "))
	c.Flags().StringVar(&l.theme, "theme", l.theme, "colours of the charts: "+strings.Join(names.Of(draw.Themes), ", "))
}

// AddStoryFlags adds those of the commands that make stories.
func (l *Look) AddStoryFlags(c *cobra.Command) {
	c.Flags().StringVar(&l.Language, "language", l.Language, "language of the story and of the first screen of the page: "+strings.Join(names.Of(words.Languages), ", "))
	c.Flags().StringVar(&l.Address, "evidence-at", l.Address, "address that the story gives for its evidence, such as https://example.org/longer-arms; without one it names the study")
}

// Resolve reads the names.
func (l Look) Resolve() (size draw.Size, theme draw.Theme, err error) {
	if size, err = Choose("size", l.size, draw.Sizes); err != nil {
		return size, theme, err
	}
	theme, err = Choose("theme", l.theme, draw.Themes)
	return size, theme, err
}

// Check reports names that are not known.
func (l Look) Check() error {
	if _, _, err := l.Resolve(); err != nil {
		return err
	}
	_, err := l.ResolveLanguage()
	return err
}

// ResolveLanguage reads the name of the language.
func (l Look) ResolveLanguage() (words.Language, error) {
	return Choose("language", l.Language, words.Languages)
}

// EvidencePage is that of a claim's evidence page in its folder.
const EvidencePage = "evidence.html"

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

// AddFlags adds the flags.
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
