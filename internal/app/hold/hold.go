// Package hold is the commands about holds: what each is and demands, files that describe more of
// them, and who could hold them.
package hold

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/app/output"
	"counterpoise/internal/draw"
	"counterpoise/internal/freebody"
	"counterpoise/internal/holds"
	"counterpoise/internal/jsonform"
	"counterpoise/internal/provenance"
	"counterpoise/internal/stored"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"

	"github.com/spf13/cobra"
)

// Command is the command hold.
func Command(env *console.Environment) *cobra.Command {
	width := 18
	for _, name := range holds.Names() {
		width = max(width, len(name))
	}
	list := console.NewList(env, "List the holds", "List the holds with a word on each.", holds.Names(), func(name string) (string, error) {
		h, _ := holds.Find(name)
		return fmt.Sprintf("%-*s %s", width, name, h.Description), nil
	})
	return console.NewGroup("hold", "List and describe the holds", "A hold is a static position: a pose, its supports, and its demands. Besides the shipped ones, a\nfile can describe your own: hold new writes an example, hold check says what it makes of a file.",
		list, newHoldNew(env), newHoldCheck(env), newHoldShow(env), newHoldUntrained(env))
}

// defaultBodies are the people of whose median body hold show tells in full.
const defaultBodies = "us-men"

// holdOptions are the flags of hold show.
type holdOptions struct {
	people string
	legs   string
	pose   []string
	model  string
	loads  flags.LoadFlags
	look   flags.Look
	out    flags.Path
	all    bool // print everything
}

func newHoldShow(env *console.Environment) *cobra.Command {
	o := &holdOptions{people: defaultBodies, look: flags.DefaultLook()}
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
	o.loads.AddFlags(f)
	flags.AddFull(f, &o.all)
	f.StringVar(&o.model, "model", "", "model of statics (default equilibrium where the hold has it)")
	o.look.AddFlags(c)
	f.Var(&o.out, "out", "folder for the free-body diagram")
	return c
}

func runHoldShow(env *console.Environment, o *holdOptions, name string) error {
	h, err := study.FindHold(name)
	if err != nil {
		return console.Input(err)
	}
	if err := o.look.Check(); err != nil {
		return err
	}
	model, err := flags.ModelFor(h, o.model)
	if err != nil {
		return err
	}
	posture := hold.Posture{}
	if posture.Legs, err = flags.LegsFor(h, o.legs); err != nil {
		return err
	}
	if posture.Pose, err = flags.PoseFor(h, o.pose); err != nil {
		return err
	}
	load, err := o.loads.Read()
	if err != nil {
		return err
	}
	people, err := flags.LoadPeople(o.people)
	if err != nil {
		return err
	}
	a := assume.Defaults()
	held, err := freebody.HoldMedianBody(h, model, posture, load, people, &a)
	if errors.Is(err, hold.ErrNotPossible) {
		return console.Input(fmt.Errorf("%s: the posture is %w, the median of %s", h.Name, err, people.Name))
	}
	if err != nil {
		return console.Classify(fmt.Errorf("%s: %w", h.Name, err))
	}
	untrained, err := UntrainedIn(h, posture, load, UntrainedLike(people))
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
	_, err = fmt.Fprint(env.Stdout, words.Folded(b.String()))
	return err
}

// firstHold writes the first screen of a hold.
func firstHold(b *strings.Builder, own *freebody.HeldBody, model hold.Model, posture hold.Posture, load body.Load, untrained []UntrainedRow) error {
	a := assume.Defaults()
	held := make([]*freebody.HeldBody, len(untrained))
	for i := range untrained {
		var err error
		if held[i], err = freebody.HoldMedianBody(untrained[i].Hold, model, posture, load, untrained[i].People, &a); err != nil && !errors.Is(err, hold.ErrNotPossible) {
			return err
		}
	}
	if own != nil {
		if people, err := anthro.Load(own.Of); err == nil && people.Athletes() != nil {
			defer fmt.Fprintf(b, "Note: %s.\n", people.Note())
		}
	}
	return FirstHold(b, untrained[0].Hold, posture.Pose, own, held, untrained)
}

// fullHold writes everything about a hold, and what it asks of the median body of people.
func fullHold(b *strings.Builder, held *freebody.HeldBody, posture hold.Posture, load body.Load, people *anthro.Population, untrained []UntrainedRow) error {
	a := assume.Defaults()
	b.WriteString(describeHold(held.Hold))
	b.WriteByte('\n')
	if err := HeldText(b, held); err != nil {
		return err
	}
	if text := words.Sharing(held.Demand); text != "" {
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
	(&holdText{words.Writer{W: b}}).decides(held.Hold)
	b.WriteByte('\n')
	if err := UntrainedText(b, untrained); err != nil {
		return err
	}
	b.WriteByte('\n')
	for _, note := range append(words.LoadNotes(load), words.KnownMiss(held.Hold, posture.Pose), words.NotValidated, words.Cautions) {
		if note == "" {
			continue
		}
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
	held, err := freebody.HoldMedianBody(h, hold.TwoCondition, posture, body.Load{}, people, a)
	if errors.Is(err, hold.ErrNotPossible) {
		return "", nil
	}
	if err != nil {
		return "", err
	}
	text := words.TaughtWhy(hold.TaughtUpwards(held.Body, 0, held.Held, held.Posture))
	return words.Capital(words.TaughtRule) + " (two-condition): " + words.Within(text), nil
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
			may = flags.RangeOf(info)
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
			fmt.Fprintf(&b, "  %-24s %-6s %s\n", d.Name, cmp.Or(strings.Replace(d.Unit, "rad", "deg", 1), "-"), d.Meaning)
		}
		assumptions := h.Assumptions(m)
		if len(assumptions) > 0 {
			fmt.Fprintf(&b, "Assumptions, besides those about the body itself\n")
		}
		for _, id := range assumptions {
			fmt.Fprintf(&b, "  %s\n", AssumptionLine(id))
		}
	}
	fmt.Fprintf(&b, "\nLeft out\n")
	for _, s := range h.LeavesOut {
		fmt.Fprintf(&b, "  %s\n", s)
	}
	return b.String()
}

func newHoldUntrained(env *console.Environment) *cobra.Command {
	asJSON, people := false, UntrainedAdults()
	var loads flags.LoadFlags
	c := &cobra.Command{
		Use: "untrained [name or file]...", Short: "Say how hard every hold is for untrained women and men, and who could", Args: cobra.ArbitraryArgs,
		Long: `Print a table of all holds, or of those named, for untrained women and men of the surveyed sizes,
in equilibrium: how many times the strength of the median untrained adult of the same sex, size, build and age the hold takes,
the share of untrained adults who could hold it for a moment, and what gives out first. hold show
says the same of one hold, also with other legs and poses. --people us-boys,us-girls says it of
youths of 12 to 17.`,
		RunE: func(c *cobra.Command, args []string) error {
			of, err := flags.HoldsNamed(args)
			if err != nil {
				return err
			}
			load, err := loads.Read()
			if err != nil {
				return err
			}
			s := &Study{Command: untrainedCommand, People: people, Load: jsonform.Load(load)}
			s.Holds = names.Each(of, func(h *hold.Hold) stored.Hold { return stored.Hold{Hold: h} })
			return s.Run(c.Context(), env, &flags.Shown{JSON: asJSON})
		},
	}
	loads.AddFlags(c.Flags())
	c.Flags().StringSliceVar(&people, "people", people, "populations whose sizes the untrained have")
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON instead of text")
	return c
}

// untrainedCommand is how its files name it.
const untrainedCommand = "hold untrained"

// Study is holds that untrained people are held up in.
type Study struct {
	Command string        `json:"command"`
	Holds   []stored.Hold `json:"holds"`
	People  []string      `json:"people"`
	Bodies  int           `json:"bodies"`
	Load    jsonform.Load `json:"load,omitzero"`
}

// Read rebuilds a study from where an output of it comes from.
func Read(stamp *provenance.Stamp) (*Study, error) {
	s := &Study{}
	return s, output.ReadStudy(stamp, s)
}

// Run tells who could hold them.
func (s *Study) Run(_ context.Context, env *console.Environment, as *flags.Shown) error {
	if err := body.Load(s.Load).Check(); err != nil {
		return console.Classify(err)
	}
	if len(s.Holds) == 0 || len(s.People) == 0 {
		return console.Input(errors.New("holds and people are needed"))
	}
	for i, name := range s.People {
		if slices.Contains(s.People[:i], name) {
			return console.Input(fmt.Errorf("--people: %s appears twice", name))
		}
		if err := flags.KnowsPeople("--people", name); err != nil {
			return err
		}
		p, err := anthro.Load(name)
		if err != nil {
			return err
		}
		if a := p.Athletes(); a != nil {
			return console.Input(fmt.Errorf("--people: %s are not untrained adults: the strength of %s was never measured, so how many of them could hold it is not known; take %s", name, a.Who, a.From))
		}
	}
	s.Bodies = UntrainedBodies // whatever a file says
	var rows []UntrainedRow
	for i, h := range s.Holds {
		if slices.Contains(s.Holds[:i], h) {
			return console.Input(fmt.Errorf("%s appears twice", h.Name))
		}
		more, err := UntrainedIn(h.Hold, hold.Posture{}, body.Load(s.Load), s.People)
		if err != nil {
			return console.Classify(err)
		}
		rows = append(rows, more...)
	}
	if !as.JSON {
		return UntrainedTable(env.Stdout, rows)
	}
	stamp, err := output.NewStamp(s, UntrainedSeed, assume.Defaults())
	if err != nil {
		return err
	}
	text, err := output.Indented(SummariseUntrained(rows, stamp))
	if err != nil {
		return err
	}
	_, err = env.Stdout.Write(text)
	return err
}

func newHoldNew(env *console.Environment) *cobra.Command {
	return &cobra.Command{
		Use: "new [name]", Short: "Write a file that describes a hold, to be changed into one of your own", Args: cobra.MaximumNArgs(1),
		Long: `Write a commented file that describes a hold: where each part of the body points, what holds it
up, which angle is free and what fixes it. The file works as it is; change it into your own hold,
and check it:

  counterpoise hold new my-lever > my-lever.yaml
  counterpoise hold check my-lever.yaml

Wherever a command takes a hold's name, it also takes the path of such a file, with a slash or the ending
.yaml: in claims, persons and sweeps (from the folder of the file that names it), and behind --hold.`,
		RunE: func(_ *cobra.Command, args []string) error {
			return env.Print(study.NewHold(strings.Join(args, "")))
		},
	}
}

func newHoldCheck(env *console.Environment) *cobra.Command {
	var out flags.Path
	var all bool
	shown := flags.DefaultLook()
	c := &cobra.Command{
		Use: "check <file>", Short: "Check a file that describes a hold, and say what it makes of the hold", Args: cobra.ExactArgs(1),
		Long: `Read a file that describes a hold (see hold new), and say in words what statics makes of it: which
forces the supports carry, what gives them, what balance does not fix and what does; and what it takes
of an average man and woman. With --full: also which muscles decide how hard it is, which strengths are not known at the hold's angles, which
assumptions it uses, and every demand on the median man and woman of the US public.

With --out, a folder gets the free-body diagram: free-body.svg, .png, .pdf, and .alt.txt.

Exit code 2 means that the file has faults: each has a line with the file, the line, the field, what
was found and what is allowed.`,
		RunE: func(_ *cobra.Command, args []string) error {
			return runHoldCheck(env, args[0], string(out), all, shown)
		},
	}
	shown.AddFlags(c)
	flags.AddFull(c.Flags(), &all)
	c.Flags().Var(&out, "out", "folder for the free-body diagram")
	return c
}

func runHoldCheck(env *console.Environment, file, folder string, all bool, l flags.Look) (failed error) {
	if err := l.Check(); err != nil {
		return err
	}
	o, h, err := study.LoadHold(file)
	if err != nil {
		return console.Input(err)
	}
	check, err := CheckHold(o, h)
	if err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	var text strings.Builder
	if all {
		fmt.Fprintf(&text, "%s is in order.\n\n", file)
		err = HoldCheckText(&text, check)
		fmt.Fprintf(&text, "\n%s\n%s\n", words.NotValidated, words.Cautions)
	} else {
		err = FirstHoldCheck(&text, file, check)
	}
	if err != nil {
		return err
	}
	if held := check.Held(); folder != "" && held != nil {
		if failed = drawFreeBody(env, held, folder, l); failed != nil {
			return failed
		}
	}
	_, err = fmt.Fprint(env.Stdout, words.Folded(text.String()))
	return err
}

// drawFreeBody writes the free-body diagram of a body that is held up into a folder.
func drawFreeBody(env *console.Environment, held *freebody.HeldBody, folder string, l flags.Look) (failed error) {
	figure, err := freebody.FreeBodyOf(held)
	if err != nil {
		return err
	}
	out, err := output.OpenFolder(folder)
	if err != nil {
		return err
	}
	defer out.Close()
	if err := output.Draw(env, l, output.PlacedIn(out.Path, []draw.Named{{Name: "free-body", Figure: figure}})); err != nil {
		return err
	}
	return out.Commit(figure.Foot) // which says of whom it is
}
