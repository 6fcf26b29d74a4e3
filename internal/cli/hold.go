package cli

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/holds"
	"counterpoise/internal/jsonform"
	"counterpoise/internal/report"
	"counterpoise/internal/study"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"

	"github.com/spf13/cobra"
)

func newHold(env *environment) *cobra.Command {
	width := 18
	for _, name := range holds.Names() {
		width = max(width, len(name))
	}
	list := newList(env, "List the holds", "List the holds with a word on each.", holds.Names(), func(name string) (string, error) {
		h, _ := holds.Find(name)
		return fmt.Sprintf("%-*s %s", width, name, h.Description), nil
	})
	return newGroup("hold", "List and describe the holds", "A hold is a static position: a pose, its supports, and its demands. Besides the shipped ones, a\nfile can describe your own: hold new writes an example, hold check says what it makes of a file.",
		list, newHoldNew(env), newHoldCheck(env), newHoldShow(env), newHoldUntrained(env))
}

// holdOptions are the flags of hold show.
// defaultBodies are the people of whose median body hold show tells in full.
const defaultBodies = "us-men"

type holdOptions struct {
	people string
	legs   string
	pose   []string
	model  string
	loads  loadFlags
	look   look
	out    path
	all    bool // print everything
}

func newHoldShow(env *environment) *cobra.Command {
	o := &holdOptions{people: defaultBodies, look: defaultLook()}
	c := &cobra.Command{
		Use: "show <name or file>", Short: "Describe a hold and solve it for a median body, with a free-body diagram", Args: cobra.ExactArgs(1),
		Long: `Describe a hold: its plane, supports and free posture, its demands under each model,
its assumptions, and what the model leaves out. Then hold up an
average man and woman of the public (boy and girl, if --people names youths), and print what
that takes of them and of untrained people; --people adds the median body of another population, and
--full prints everything of that body.

With --out, a folder gets the free-body diagram of that body, drawn to scale from the solved
pose: free-body.svg, .png, .pdf, and .alt.txt that says it in words.

  counterpoise hold show human-flag --legs "straddle 40 deg" --out flag
  counterpoise hold show human-flag --people us-women --size post --theme dark --out flag`,
		RunE: func(_ *cobra.Command, args []string) error { return runHoldShow(env, o, args[0]) },
	}
	f := c.Flags()
	f.StringVar(&o.people, "people", o.people, "population of the median body")
	f.StringVar(&o.legs, "legs", "", `how the legs are held: together, "straddle 40 deg", one-leg, advanced-tuck or tuck`)
	f.StringArrayVar(&o.pose, "pose", nil, `a part of the pose, as in --pose wall_distance=30cm or --pose bent; may be repeated`)
	o.loads.addFlags(f)
	addFull(f, &o.all)
	f.StringVar(&o.model, "model", "", "model of statics (default equilibrium where the hold has it)")
	o.look.addFlags(c)
	f.Var(&o.out, "out", "folder for the free-body diagram")
	return c
}

func runHoldShow(env *environment, o *holdOptions, name string) error {
	h, err := study.FindHold(name)
	if err != nil {
		return input(err)
	}
	if err := o.look.check(); err != nil {
		return err
	}
	model, err := modelFor(h, o.model)
	if err != nil {
		return err
	}
	posture := hold.Posture{}
	if posture.Legs, err = legsFor(h, o.legs); err != nil {
		return err
	}
	if posture.Pose, err = poseFor(h, o.pose); err != nil {
		return err
	}
	load, err := o.loads.read()
	if err != nil {
		return err
	}
	people, err := loadPeople(o.people)
	if err != nil {
		return err
	}
	a := assume.Defaults()
	held, err := report.HoldMedianBody(h, model, posture, load, people, &a)
	if errors.Is(err, hold.ErrNotPossible) {
		return input(fmt.Errorf("%s: the posture is %w, the median of %s", h.Name, err, people.Name))
	}
	if err != nil {
		return classify(fmt.Errorf("%s: %w", h.Name, err))
	}
	untrained, err := report.UntrainedIn(h, posture, load, report.UntrainedLike(people))
	if err != nil {
		return err
	}
	var b strings.Builder
	if o.all {
		err = fullHold(&b, held, posture, load, people, untrained)
	} else {
		own := held
		if o.people == defaultBodies {
			own = nil
		}
		err = firstHold(&b, own, model, posture, load, untrained)
	}
	if err != nil {
		return err
	}
	if o.out != "" {
		if err := drawFreeBody(env, held, string(o.out), o.look); err != nil {
			return err
		}
	}
	_, err = fmt.Fprint(env.stdout, report.Folded(b.String()))
	return err
}

// firstHold writes the first screen of a hold.
func firstHold(b *strings.Builder, own *report.HeldBody, model hold.Model, posture hold.Posture, load body.Load, untrained []report.UntrainedRow) error {
	a := assume.Defaults()
	held := make([]*report.HeldBody, len(untrained))
	for i := range untrained {
		var err error
		if held[i], err = report.HoldMedianBody(untrained[i].Hold, model, posture, load, untrained[i].People, &a); err != nil && !errors.Is(err, hold.ErrNotPossible) {
			return err
		}
	}
	if own != nil {
		if people, err := anthro.Load(own.Of); err == nil && people.Athletes() != nil {
			defer fmt.Fprintf(b, "Note: %s.\n", people.Note())
		}
	}
	return report.FirstHold(b, untrained[0].Hold, own, held, untrained)
}

// fullHold writes everything about a hold, and what it asks of the median body of people.
func fullHold(b *strings.Builder, held *report.HeldBody, posture hold.Posture, load body.Load, people *anthro.Population, untrained []report.UntrainedRow) error {
	a := assume.Defaults()
	b.WriteString(describeHold(held.Hold))
	b.WriteByte('\n')
	if err := report.HeldText(b, held); err != nil {
		return err
	}
	if text := words.Sharing(held.Held); text != "" {
		fmt.Fprintf(b, "\n%s.\n", words.Capital(text))
	}
	text, err := taughtBalance(held.Hold, posture, people, &a)
	if err != nil {
		return err
	}
	if text != "" {
		fmt.Fprintf(b, "\n%s\n", text)
	}
	if people.Athletes() != nil {
		fmt.Fprintf(b, "\n%s.\n", people.Note())
	}
	b.WriteByte('\n')
	if err := report.UntrainedText(b, untrained); err != nil {
		return err
	}
	b.WriteByte('\n')
	for _, note := range append(words.LoadNotes(load), report.NotValidated, report.Cautions) {
		fmt.Fprintf(b, "%s\n", note)
	}
	return nil
}

// taughtBalance says, of a hold that has the lift-and-turn rule that is taught, that the
// rule's forces do not balance, and by how much on the median body.
func taughtBalance(h *hold.Hold, posture hold.Posture, people *anthro.Population, a *assume.Set) (string, error) {
	if !h.Has(hold.TwoCondition) {
		return "", nil
	}
	held, err := report.HoldMedianBody(h, hold.TwoCondition, posture, body.Load{}, people, a)
	if errors.Is(err, hold.ErrNotPossible) {
		return "", nil
	}
	if err != nil {
		return "", err
	}
	text := words.TaughtWhy(hold.TaughtUpwards(held.Body, 0, held.Held, held.Posture))
	return words.Capital(words.TaughtRule) + " (two-condition): " + words.Within(text), nil
}

// modelFor reads the name of one of the hold's models; without one it is
// equilibrium, or the hold's first.
func modelFor(h *hold.Hold, name string) (hold.Model, error) {
	if name == "" {
		if h.Has(hold.Equilibrium) {
			return hold.Equilibrium, nil
		}
		return h.Models[0], nil
	}
	return choose("model", name, h.Models)
}

// straddleExample is how a straddle is written.
const straddleExample = "straddle 40 deg"

// legsFor reads a leg form of the hold, a straddle with its angle.
func legsFor(h *hold.Hold, text string) (hold.Legs, error) {
	if text == "" {
		return hold.Legs{}, nil
	}
	name, angle, _ := strings.Cut(strings.TrimSpace(text), " ")
	if len(h.LegForms) == 0 {
		return hold.Legs{}, input(fmt.Errorf("--legs %s: the legs of %s have only one form", text, h.Name))
	}
	form, err := choose("legs", name, h.LegForms)
	if err != nil {
		return hold.Legs{}, err
	}
	angle = strings.TrimSpace(angle)
	switch {
	case form != hold.Straddle && angle != "":
		return hold.Legs{}, input(fmt.Errorf("--legs %s: %s has no angle, only a straddle has", text, name))
	case form != hold.Straddle:
		return hold.LegsIn(form, 0), nil
	case angle == "":
		return hold.Legs{}, input(fmt.Errorf(`--legs %s: a straddle needs its angle, each leg from the body's line, as in %q`, text, straddleExample))
	}
	q, err := units.Parse(angle, units.Angle)
	if err != nil {
		return hold.Legs{}, input(fmt.Errorf("--legs %s: %w", text, err))
	}
	if !(q.Value > 0 && q.Value <= math.Pi/2) {
		return hold.Legs{}, input(fmt.Errorf("--legs %s: a straddle opens each leg by more than 0 and at most 90 deg", text))
	}
	return hold.LegsIn(form, q.Value), nil
}

// poseFor reads the parts of a pose, of those that the hold has.
func poseFor(h *hold.Hold, texts []string) (hold.Pose, error) {
	var pose hold.Pose
	set := map[hold.Variant]bool{}
	for _, text := range texts {
		name, value, hasValue := strings.Cut(text, "=")
		name = strings.TrimSpace(name)
		if len(h.Variants) == 0 {
			return pose, input(fmt.Errorf("--pose %s: the pose of %s has no variants", text, h.Name))
		}
		v, err := choose("pose", name, h.Variants)
		if err != nil {
			return pose, err
		}
		if set[v] {
			return pose, input(fmt.Errorf("--pose %s: %s appears twice", text, name))
		}
		set[v] = true
		if pose[v], err = variantValue(v.Info(), value, hasValue); err != nil {
			return pose, input(fmt.Errorf("--pose %s: %w", text, err))
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
		return 0, fmt.Errorf("%s needs its value, from %s", info.Name, rangeOf(info))
	}
	q, err := units.Parse(text, dimension)
	if err != nil {
		return 0, err
	}
	if q.Value < info.Least || q.Value > info.Most {
		return 0, fmt.Errorf("%s must lie in %s", info.Name, rangeOf(info))
	}
	return q.Value, nil
}

func dimensionOf(info hold.VariantInfo) units.Dimension {
	if info.Unit == "rad" {
		return units.Angle
	}
	return units.Length
}

func rangeOf(info hold.VariantInfo) string {
	d := dimensionOf(info)
	return words.Quantity(info.Least, d, words.Metric) + " to " + words.Quantity(info.Most, d, words.Metric)
}

// describeHold says everything about a hold.
func describeHold(h *hold.Hold) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s (%s)\n%s\n\n", h.Title, h.Name, h.Description)
	fmt.Fprintf(&b, "Plane         %s\n", h.Plane)
	for i, s := range h.Supports {
		fmt.Fprintf(&b, "%-14s%s\n", map[bool]string{true: "Supports"}[i == 0], s)
	}
	fmt.Fprintf(&b, "Free posture  %s\n", h.Free)
	if len(h.LegForms) > 0 {
		fmt.Fprintf(&b, "Legs          %s\n", strings.Join(names.Of(h.LegForms), ", "))
	}
	for i, v := range h.Variants {
		info := v.Info()
		may := "yes or no"
		if info.Unit != "" {
			may = rangeOf(info)
		}
		fmt.Fprintf(&b, "%-14s%-14s %s (%s)\n", map[bool]string{true: "Variants"}[i == 0], info.Name, info.Meaning, may)
	}
	for _, m := range h.Models {
		if m.Judges() {
			fmt.Fprintf(&b, "\nDemands under the model %s\n", m)
		} else {
			fmt.Fprintf(&b, "\nBy %s (the model %s), which gives no verdict because its forces do not balance: demands\n", words.TaughtRule, m)
		}
		for _, d := range h.Asks(m) {
			unit := strings.Replace(d.Unit, "rad", "deg", 1)
			if unit == "" {
				unit = "-"
			}
			fmt.Fprintf(&b, "  %-24s %-6s %s\n", d.Name, unit, d.Meaning)
		}
		assumptions := h.Assumptions(m)
		if len(assumptions) > 0 {
			fmt.Fprintf(&b, "Assumptions, besides those about the body itself\n")
		}
		for _, id := range assumptions {
			fmt.Fprintf(&b, "  %s\n", report.AssumptionLine(id))
		}
	}
	fmt.Fprintf(&b, "\nLeft out\n")
	for _, s := range h.LeavesOut {
		fmt.Fprintf(&b, "  %s\n", s)
	}
	return b.String()
}

func newHoldUntrained(env *environment) *cobra.Command {
	asJSON, people := false, report.UntrainedAdults()
	var loads loadFlags
	c := &cobra.Command{
		Use: "untrained [name or file]...", Short: "Say how hard every hold is for untrained women and men, and who could", Args: cobra.ArbitraryArgs,
		Long: `Print a table of all holds, or of those named, for untrained women and men of the surveyed sizes,
in equilibrium: how many times the strength of the median untrained adult of the same sex, size, build and age the hold takes,
the share of untrained adults who could hold it for a moment, and what gives out first. hold show
says the same of one hold, also with other legs and poses. --people us-boys,us-girls says it of
youths of 12 to 17.`,
		RunE: func(_ *cobra.Command, args []string) error {
			of, err := holdsNamed(args)
			if err != nil {
				return err
			}
			load, err := loads.read()
			if err != nil {
				return err
			}
			return runHoldUntrained(env, of, people, load, asJSON)
		},
	}
	loads.addFlags(c.Flags())
	c.Flags().StringSliceVar(&people, "people", people, "populations whose sizes the untrained have")
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON instead of text")
	return c
}

// untrainedCommand is how its files name it.
const untrainedCommand = "hold untrained"

// holdsNamed finds holds by their names or files; without any, all that are shipped.
func holdsNamed(list []string) ([]*hold.Hold, error) {
	if len(list) == 0 {
		return holds.All(), nil
	}
	var of []*hold.Hold
	for _, name := range list {
		h, err := study.FindHold(name)
		if err != nil {
			return nil, input(err)
		}
		if slices.ContainsFunc(of, func(before *hold.Hold) bool { return before.Name == h.Name }) {
			return nil, input(fmt.Errorf("%s appears twice", h.Name))
		}
		of = append(of, h)
	}
	return of, nil
}

// untrainedStudy is what the stamp of hold untrained says.
type untrainedStudy struct {
	Command string             `json:"command"`
	Holds   []study.StoredHold `json:"holds"`
	People  []string           `json:"people"`
	Bodies  int                `json:"bodies"`
	Load    jsonform.Load      `json:"load,omitzero"`
}

func runHoldUntrained(env *environment, holds []*hold.Hold, people []string, load body.Load, asJSON bool) error {
	if err := load.Check(); err != nil {
		return classify(err)
	}
	if len(holds) == 0 || len(people) == 0 {
		return input(errors.New("holds and people are needed"))
	}
	for i, name := range people {
		if slices.Contains(people[:i], name) {
			return input(fmt.Errorf("--people: %s appears twice", name))
		}
		if err := knowsPeople("--people", name); err != nil {
			return err
		}
		p, err := anthro.Load(name)
		if err != nil {
			return err
		}
		if a := p.Athletes(); a != nil {
			return input(fmt.Errorf("--people: %s are not untrained adults: the strength of %s was never measured, so how many of them could hold it is not known; take %s", name, a.Who, a.From))
		}
	}
	of := untrainedStudy{Command: untrainedCommand, People: people, Bodies: report.UntrainedBodies, Load: jsonform.Load(load)}
	var rows []report.UntrainedRow
	for i, h := range holds {
		if slices.Contains(holds[:i], h) {
			return input(fmt.Errorf("%s appears twice", h.Name))
		}
		more, err := report.UntrainedIn(h, hold.Posture{}, load, people)
		if err != nil {
			return classify(err)
		}
		rows, of.Holds = append(rows, more...), append(of.Holds, study.StoredHold{Hold: h})
	}
	if !asJSON {
		return report.UntrainedTable(env.stdout, rows)
	}
	stamp, err := newStamp(of, report.UntrainedSeed, assume.Defaults())
	if err != nil {
		return err
	}
	text, err := indented(report.SummariseUntrained(rows, stamp))
	if err != nil {
		return err
	}
	_, err = env.stdout.Write(text)
	return err
}
