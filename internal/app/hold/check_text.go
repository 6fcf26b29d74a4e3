package hold

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/freebody"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/muscle"
	"counterpoise/sim/outline"
)

// holdText writes what is said of a hold.
type holdText struct{ words.Writer }

// HoldCheck is what is made of a hold that a file describes.
type HoldCheck struct {
	Outline   *outline.Outline
	Hold      *hold.Hold
	Account   *outline.Account
	Medians   []MedianBody // of the public, a man and a woman
	Untrained []UntrainedRow
}

// MedianBody is the body whose every measurement is a population's median, held up.
type MedianBody struct {
	People *anthro.Population
	*freebody.HeldBody
	Cannot bool // take the posture; HeldBody is then nil
}

// CheckHold holds up the median man and woman of the public, and untrained adults of
// their sizes, in a hold that a file describes.
func CheckHold(o *outline.Outline, h *hold.Hold) (*HoldCheck, error) {
	account, err := o.Account()
	if err != nil {
		return nil, err
	}
	c := &HoldCheck{Outline: o, Hold: h, Account: account}
	a := assume.Defaults()
	for _, name := range UntrainedAdults() {
		people, err := anthro.Load(name)
		if err != nil {
			return nil, err
		}
		held, err := freebody.HoldMedianBody(h, hold.Equilibrium, hold.Posture{}, body.Load{}, people, &a)
		cannot := errors.Is(err, hold.ErrNotPossible)
		if err != nil && !cannot {
			return nil, err
		}
		c.Medians = append(c.Medians, MedianBody{people, held, cannot})
	}
	c.Untrained, err = UntrainedIn(h, hold.Posture{}, body.Load{}, UntrainedAdults())
	return c, err
}

// Held returns the first median body that can take the posture, or nil.
func (c *HoldCheck) Held() *freebody.HeldBody {
	for i := range c.Medians {
		if !c.Medians[i].Cannot {
			return c.Medians[i].HeldBody
		}
	}
	return nil
}

// FirstHoldCheck writes the first screen of what is made of a hold that a file describes.
func FirstHoldCheck(w io.Writer, file string, c *HoldCheck) error {
	t := &holdText{words.Writer{W: w}}
	t.Wrap("", "  ", file+" is in order: "+c.Hold.Title+".")
	a := c.Account
	if a.Open == "" {
		t.Wrap("  ", "    ", "Everything is determined. Balance gives "+words.And(a.Unknown)+".")
	} else {
		t.Wrap("  ", "    ", fmt.Sprintf("Balance gives %d of %d forces. It does not fix %s: %s.", a.Equations, len(a.Unknown), a.Open, a.Closed))
	}
	if c.Outline.Free != nil {
		t.Wrap("  ", "    ", "One angle is free, fixed by: "+a.Fixed+".")
	}
	held := make([]*freebody.HeldBody, len(c.Medians))
	for i := range held {
		held[i] = c.Medians[i].HeldBody
		if c.Medians[i].Cannot {
			held[i] = nil
		}
	}
	t.averages(held, c.Untrained, true)
	t.Wrap("", "", words.Caution)
	return t.Err
}

// AssumptionLine says in a line what is taken of an assumption, in which range, and what
// it means.
func AssumptionLine(id assume.ID) string {
	name, says := assumptionSays(id)
	return fmt.Sprintf("%-24s %s", name, says)
}

func assumptionSays(id assume.ID) (name, says string) {
	a := id.Info()
	return a.Name, words.Assumed(a) + " " + words.AssumptionUnit(id) + ": " + a.Meaning
}

// HoldCheckText writes what is made of a hold that a file describes.
func HoldCheckText(w io.Writer, c *HoldCheck) error {
	t := &holdText{words.Writer{W: w}}
	t.Line("%s (%s)", c.Hold.Title, c.Hold.Name)
	t.Wrap("", "", c.Hold.Description)
	t.Line("")
	t.account(c)
	t.Line("")
	t.decides(c.Hold)
	t.Line("")
	t.granted(c.Hold)
	t.Line("")
	t.medians(c)
	if t.Err == nil {
		t.Line("")
		t.Err = UntrainedText(w, c.Untrained)
	}
	return t.Err
}

// account says what statics makes of the hold: the forces that are unknown, what gives
// them, and what is left open.
func (t *holdText) account(c *HoldCheck) {
	a := c.Account
	t.Line("Statics")
	forces, gives := "forces:", fmt.Sprintf("gives %d of them", a.Equations)
	if len(a.Unknown) == 1 {
		forces = "force:"
	}
	if a.Equations == len(a.Unknown) {
		gives = map[bool]string{true: "gives it", false: "gives them all"}[len(a.Unknown) == 1]
	}
	t.Wrap("  ", "  ", fmt.Sprintf("The supports carry %d unknown %s %s.", len(a.Unknown), forces, words.And(a.Unknown)))
	if len(a.Rules) > 0 {
		gives += ", with the rules of the file: " + words.And(a.Rules)
	}
	t.Wrap("  ", "  ", "Balance "+gives+".")
	if f := c.Outline.Free; f != nil {
		t.Wrap("  ", "  ", fmt.Sprintf("One angle is free, from %s to %s, fixed by: %s.",
			words.Rough(f.From, units.Angle, words.Metric), words.Rough(f.To, units.Angle, words.Metric), a.Fixed))
	}
	if a.Open == "" {
		t.Wrap("  ", "  ", "So everything is determined.")
		return
	}
	t.Wrap("  ", "  ", fmt.Sprintf("Balance does not fix %s. What does: %s.", a.Open, a.Closed))
}

// granted lists the assumptions that the hold uses: each of its own statics, and those of
// strength by their names alone.
func (t *holdText) granted(h *hold.Hold) {
	t.Line("It assumes, besides the body itself")
	var strengths []string
	for _, id := range h.Assumptions(hold.Equilibrium) {
		name, says := assumptionSays(id)
		if id.OfStrength() {
			strengths = append(strengths, name)
			continue
		}
		t.Wrap(fmt.Sprintf("  %-18s ", name), strings.Repeat(" ", 21), says)
	}
	t.Wrap("  ", "  ", "About strength (hold show explains each):  "+strings.Join(strengths, ", ")+".")
}

// decides says which muscles decide how hard the hold is, and of which it is not known
// what they give at the hold's angles.
func (t *holdText) decides(h *hold.Hold) {
	var decide, told, unknown []string
	for _, u := range h.Uses(hold.Equilibrium) {
		name, why := u.Group.Of(u.Side), ""
		if u.Unknown != nil {
			why = u.Unknown(hold.Posture{})
		}
		switch {
		case u.Reported && !slices.Contains(told, name):
			told = append(told, name)
		case u.Reported:
		case why != "":
			unknown = append(unknown, name+" ("+why+")")
		case !slices.Contains(decide, name):
			decide = append(decide, name)
		}
	}
	t.Line("What decides how hard it is")
	t.Wrap("  ", "  ", words.Capital(words.List(decide, "nothing that is known"))+".")
	if len(unknown) > 0 {
		t.Wrap("  ", "  ", "Not known at the hold's angles, so the difficulty is not known:  "+strings.Join(unknown, "; ")+".")
	}
	if len(told) > 0 {
		t.Wrap("  ", "  ", "Reported only:  "+strings.Join(told, ", ")+".")
	}
}

// used are the demands that say how much is used of muscles.
var used = func() map[hold.Demand]bool {
	all := map[hold.Demand]bool{}
	for g := range muscle.NumGroups {
		all[hold.UseOf(g)] = true
	}
	return all
}()

// medians writes what the hold asks of the median man and woman beside each other.
func (t *holdText) medians(c *HoldCheck) {
	t.Line("The median man and woman of the US public")
	row := func(name string, cell func(b *freebody.HeldBody) string) {
		text := fmt.Sprintf("  %-24s", name)
		for i := range c.Medians {
			cells := "cannot hold it"
			if b := c.Medians[i].HeldBody; !c.Medians[i].Cannot {
				cells = cell(b)
			}
			text += fmt.Sprintf(" %-30s", cells)
		}
		t.Line("%s", strings.TrimRight(text, " "))
	}
	row("size", func(b *freebody.HeldBody) string {
		return fmt.Sprintf("%s, %s", words.Quantity(b.Body.Stature[0], units.Length, words.Metric), words.Quantity(b.Body.Mass[0], units.Mass, words.Metric))
	})
	first := c.Held()
	if first == nil {
		t.Wrap("  ", "  ", "Neither can take this posture, though others can: a support that only pushes would have to pull, or no angle in the "+
			"range works. Check the picture of the angles, the range, and the side that the belly faces.")
		return
	}
	if c.Outline.Free != nil {
		row(words.Plain(outline.FreeAngle.Name), func(b *freebody.HeldBody) string {
			angle, _ := b.Demand(outline.FreeAngle)
			return words.Quantity(angle, units.Angle, words.Metric)
		})
	}
	for _, d := range first.Hold.Told(first.Model, first.Posture) {
		if used[d] {
			continue // what follows says which are used most
		}
		row(words.Label(d), func(b *freebody.HeldBody) string {
			value, _ := b.Demand(d)
			own, metric := demandText(d, value, b.Weight())
			return strings.TrimRight(own+"  "+metric, " ")
		})
	}
	if first.Hold.Tells(first.Model, hold.Difficulty, first.Posture) {
		row("gives out first", func(b *freebody.HeldBody) string { return b.Held.Limit[0].String() })
	}
	for i, s := range first.Figure.Supports {
		row("force on "+s.Name, func(b *freebody.HeldBody) string {
			force, err := b.Figure.Force(b.Solution, b.Figure.Supports[i].Name)
			if err != nil {
				t.Err = errors.Join(t.Err, err)
				return ""
			}
			weight := b.Weight()
			return words.Quantity(force.Length()/weight, units.BodyWeights, words.Metric) + "  " + words.Quantity(force.Length(), units.Force, words.Metric) + ", " + pointing(force.X, force.Y)
		})
	}
}

// pointing says where a force points.
func pointing(x, y float64) string {
	const aside = 0.0875 // 5°
	across := "right"
	if x < 0 {
		across = "left"
	}
	upright := "up"
	if y < 0 {
		upright = "down"
	}
	switch {
	case math.Abs(x) < aside*math.Abs(y):
		return upright
	case math.Abs(y) < aside*math.Abs(x):
		return across
	}
	return upright + " and " + across
}
