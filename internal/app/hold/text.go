package hold

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/freebody"
	"counterpoise/internal/provenance"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/muscle"
	"counterpoise/sim/names"
	"counterpoise/sim/outline"
	"counterpoise/sim/scenario"
)

// holdText writes what is said of a hold.
type holdText struct{ words.Writer }

// HoldCheck is what is made of a hold that a file describes.
type HoldCheck struct {
	Outline   *outline.Outline
	Hold      *hold.Hold
	Account   *outline.Account
	Medians   []*freebody.HeldBody // of the public, a man and a woman; nil of whom cannot take the posture
	Untrained []UntrainedRow
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
		if errors.Is(err, hold.ErrNotPossible) {
			held, err = nil, nil
		}
		if err != nil {
			return nil, err
		}
		c.Medians = append(c.Medians, held)
	}
	c.Untrained, err = UntrainedIn(h, hold.Posture{}, body.Load{}, UntrainedAdults())
	return c, err
}

// Held returns the first median body that can take the posture, or nil.
func (c *HoldCheck) Held() *freebody.HeldBody {
	return cmp.Or(c.Medians...)
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
	t.averages(c.Medians, c.Untrained, true)
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
		case u.Reported:
			told = names.Once(told, name+words.InBrackets(u.Note))
		case why != "":
			unknown = append(unknown, name+" ("+why+")")
		default:
			decide = names.Once(decide, name)
		}
	}
	t.Line("What decides how hard it is")
	t.Wrap("  ", "  ", words.Capital(words.List(decide, "nothing that is known"))+".")
	if len(unknown) > 0 {
		t.Wrap("  ", "  ", "Not known at the hold's angles, so the difficulty is not known:  "+strings.Join(unknown, "; ")+".")
	}
	if len(told) > 0 {
		t.Wrap("  ", "  ", "Told, but not counted:  "+strings.Join(told, "; ")+".")
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
		for _, b := range c.Medians {
			cells := "cannot hold it"
			if b != nil {
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

// HeldText writes what a hold asks of one body: the demands in body weights and
// in newtons, and the forces at the supports.
func HeldText(w io.Writer, b *freebody.HeldBody) error {
	t := &holdText{words.Writer{W: w}}
	size := fmt.Sprintf("%s, %s", words.Quantity(b.Body.Stature[0], units.Length, words.Metric), words.Quantity(b.Body.Mass[0], units.Mass, words.Metric))
	with := ""
	if posture := b.PostureWords(); posture != "" {
		with = "; " + posture
	}
	t.Line("Demands on %s (%s%s) under %s", b.Who, size, with, words.StaticsModel(b.Model))
	weight := b.Weight()
	for _, d := range b.Hold.Told(b.Model, b.Posture) {
		value, _ := b.Demand(d)
		own, metric := demandText(d, value, weight)
		t.Line("%s", strings.TrimRight(fmt.Sprintf("  %-24s %12s  %s", d, own, metric), " "))
	}
	t.Line("")
	t.Line("What holds it up, with the whole body in balance")
	forces, err := b.Forces()
	if err != nil {
		return err
	}
	for _, f := range forces {
		t.Line("  %-24s %12s  %-9s %s", f.Name, words.Quantity(f.Size(), units.BodyWeights, words.Metric),
			words.Quantity(f.Size()*weight, units.Force, words.Metric), words.Parts(f.X, f.Y, 0.0005, func(x float64) string { return words.Number(x, 3) }))
	}
	return t.Err
}

// demandText writes a demand in its own unit and, for forces and moments, in
// newtons.
func demandText(d hold.Demand, value, weight float64) (own, metric string) {
	own = words.DemandPrinter(d, words.Metric)(value)
	switch d.Unit {
	case "BW":
		metric = words.Quantity(value*weight, units.Force, words.Metric)
	case "BW·m":
		metric = words.Quantity(value*weight, units.Moment, words.Metric)
	}
	return own, metric
}

// FirstHold writes the first screen of a hold: what it is, what it demands of an average man
// and woman, or of the body of people that were asked for, own, if any; and what is not
// counted.
func FirstHold(w io.Writer, h *hold.Hold, pose hold.Pose, own *freebody.HeldBody, held []*freebody.HeldBody, rows []UntrainedRow) error {
	t := &holdText{words.Writer{W: w}}
	t.Wrap("", "  ", h.Title+": "+h.Description)
	if own != nil {
		t.Wrap("  ", "    ", fmt.Sprintf("%s (%s, %s): %s.", words.Capital(own.Who), words.Rough(own.Body.Stature[0], units.Length, words.Metric),
			words.Rough(own.Body.Mass[0], units.Mass, words.Metric), firstDemands(own)))
	}
	t.averages(held, rows, own == nil)
	if slices.ContainsFunc(held, func(b *freebody.HeldBody) bool { return b != nil && !b.Model.Judges() }) {
		t.Wrap("  ", "    ", "By "+words.TaughtRule+", whose forces do not balance: it tells nothing of how hard the hold is, nor where hands belong.")
	}
	if len(h.LegForms) > 1 {
		forms := names.Each(h.LegForms, func(f hold.LegForm) string { return strings.ReplaceAll(f.String(), "-", " ") })
		t.Wrap("  ", "    ", "Legs: "+strings.Join(forms, ", ")+".")
	}
	if slices.ContainsFunc(rows, func(r UntrainedRow) bool { return r.People.Young() }) {
		t.FirstNotes([]string{words.CautionYoung})
	}
	if miss := words.KnownMiss(h, pose); miss != "" {
		t.FirstNotes([]string{miss})
	}
	t.Wrap("  ", "    ", "Not counted: "+strings.Join(h.LeavesOut[:min(2, len(h.LeavesOut))], "; ")+" …")
	t.Wrap("", "", words.Caution)
	return t.Err
}

// averages says what a hold demands of average people, where they are shown, and what gives
// out first, of each sex where they differ.
func (t *holdText) averages(held []*freebody.HeldBody, rows []UntrainedRow, shown bool) {
	var first, unknown said
	for i := range rows {
		r := &rows[i]
		adult := words.UntrainedOf(r.People)
		text, _ := words.English.Average(adult)
		text = words.Capital(text)
		switch {
		case held[i] == nil:
			if shown {
				t.Wrap("  ", "    ", text+" cannot be held so.")
			}
			continue
		case r.Unknown != "":
			unknown.add(r.Unknown, adult.Many)
		case held[i].Model.Judges():
			first.add(words.GivesOutFirst(r.Untrained), adult.Many)
		}
		text += fmt.Sprintf(" (%s, %s): %s", words.Rough(held[i].Body.Stature[0], units.Length, words.Metric), words.Rough(held[i].Body.Mass[0], units.Mass, words.Metric), firstDemands(held[i]))
		if r.Unknown == "" && held[i].Model.Judges() {
			text += fmt.Sprintf("; %s %s times untrained strength (%s)", adult.Many, words.Times(r.Difficulty),
				words.Interval(words.Times(r.Published.Difficulty.Low), words.Times(r.Published.Difficulty.High)))
		}
		if shown {
			t.Wrap("  ", "    ", text+".")
		}
	}
	t.said("How hard it is nobody knows", unknown, len(rows))
	t.said("Gives out first", first, len(rows))
}

// said is what is said of some people: each text with those whom it is of.
type said []struct {
	text string
	of   []string
}

func (s *said) add(text, of string) {
	for i := range *s {
		if one := &(*s)[i]; one.text == text {
			one.of = append(one.of, of)
			return
		}
	}
	*s = append(*s, struct {
		text string
		of   []string
	}{text, []string{of}})
}

// said writes a line of what is said, with of whom, unless that is all of so many.
func (t *holdText) said(head string, s said, all int) {
	var parts []string
	for _, one := range s {
		text := one.text
		if len(one.of) < all {
			text = "of " + words.And(one.of) + ": " + text
		}
		parts = append(parts, text)
	}
	if parts != nil {
		t.Wrap("  ", "    ", head+map[bool]string{true: ": ", false: " "}[len(s[0].of) == all]+strings.Join(parts, "; ")+".")
	}
}

// firstDemands are the force or moment of a body and where its hands are.
func firstDemands(held *freebody.HeldBody) string {
	weight := held.Body.Mass[0]
	var parts []string
	if f, ok := held.Demand(hold.RequiredForce); ok {
		parts = append(parts, words.Rough(f*weight, units.Mass, words.Metric)+" along the harder-working arm")
	} else if f, ok := held.Demand(hold.HandShare); ok {
		parts = append(parts, words.Rough(f*weight, units.Mass, words.Metric)+" on the "+words.LeansOn(held.Hold))
	}
	if m, ok := held.Demand(hold.ShoulderMoment); ok && m*weight >= 0.5 {
		parts = append(parts, words.Rough(m*weight, units.Mass, words.Metric)+" at one metre for the shoulders")
	}
	if d, ok := held.Demand(hold.HandSpacing); ok && held.Model.Judges() {
		parts = append(parts, "hands "+words.Mark(d, words.Metric)+" apart")
	}
	return strings.Join(parts, ", ")
}

// UntrainedBodies and UntrainedSeed say which bodies stand for untrained adults.
const (
	UntrainedBodies = 501
	UntrainedSeed   = 1
)

// UntrainedRow is how a hold goes for untrained adults of one sex.
type UntrainedRow struct {
	Hold    *hold.Hold
	Posture hold.Posture
	Load    body.Load
	People  *anthro.Population
	*scenario.Untrained
}

// UntrainedAdults names the public whose sizes untrained adults have.
func UntrainedAdults() []string {
	return []string{anthro.PublicOf(anthro.Male), anthro.PublicOf(anthro.Female)}
}

// UntrainedLike names the public whose sizes untrained people have who are like some:
// adults, or youths where those are.
func UntrainedLike(people *anthro.Population) []string {
	if people.Young() {
		return []string{anthro.YouthsOf(anthro.Male), anthro.YouthsOf(anthro.Female)}
	}
	return UntrainedAdults()
}

// UntrainedIn holds up untrained people of the sizes of some of the public, by name. Where
// none of them can take the posture, Unknown says so.
func UntrainedIn(h *hold.Hold, posture hold.Posture, load body.Load, of []string) ([]UntrainedRow, error) {
	var rows []UntrainedRow
	for _, name := range of {
		people, err := anthro.Load(name)
		if err != nil {
			return nil, err
		}
		s := scenario.Scenario{
			Hold: h, Legs: posture.Legs, Pose: posture.Pose, Tilt: posture.Tilt, Load: load,
			People: []scenario.Group{scenario.GroupOf(people)}, Models: []scenario.Model{scenario.DefaultModel(hold.Equilibrium)},
		}
		u, err := s.Untrained(UntrainedBodies, UntrainedSeed)
		if errors.Is(err, hold.ErrNotPossible) {
			u, err = &scenario.Untrained{Bodies: UntrainedBodies, Unknown: "no simulated body can take the posture"}, nil
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", h.Name, err)
		}
		rows = append(rows, UntrainedRow{h, posture, load, people, u})
	}
	return rows, nil
}

// untrainedSays says how to read what is said of untrained people.
func untrainedSays(rows []UntrainedRow) string {
	person, youths := words.UntrainedAmong(rowsPeople(rows)), ""
	if slices.ContainsFunc(rows, func(r UntrainedRow) bool { return r.People.Young() }) {
		youths = " All norms but the grip's are adults': the assumption strength_by_age takes youths to be weaker by as much as in grip."
	}
	return "Times the strength of the median untrained " + person + " of the same sex, size, build and age, median of " + words.Count(UntrainedBodies) +
		" bodies drawn from the US public. In brackets: from the highest published norms to the lowest. " +
		"A share is not known where these differ by more than " + words.Number(100*scenario.TooWide, 0) + " percentage points." + youths
}

func rowsPeople(rows []UntrainedRow) []*anthro.Population {
	return names.Each(rows, func(r UntrainedRow) *anthro.Population { return r.People })
}

// UntrainedText writes what a hold asks of untrained adults, a paragraph for each survey.
func UntrainedText(w io.Writer, rows []UntrainedRow) error {
	t := &holdText{words.Writer{W: w}}
	t.Line("For untrained %ss, in equilibrium%s", words.UntrainedAmong(rowsPeople(rows)), underLoad(rows))
	for i := range rows {
		r := &rows[i]
		one := words.UntrainedOf(r.People)
		says := "An untrained " + one.One + ": "
		if r.Unknown != "" {
			says += "not known, since " + r.Unknown + "."
		} else {
			says += r.paragraph(one)
		}
		t.Wrap("  ", "  ", says)
	}
	t.Wrap("  ", "  ", untrainedSays(rows))
	return t.Err
}

func (r *UntrainedRow) paragraph(one words.Untrained) string {
	first, _ := r.First()
	says := words.Times(r.Difficulty) + " times " + one.Whose + " strength (" +
		words.Interval(words.Times(r.Published.Difficulty.Low), words.Times(r.Published.Difficulty.High)) + " over the published norms; " +
		words.Interval(words.Times(r.Low), words.Times(r.High)) + " for 5–95 % of bodies). Gives out first: " + words.GivesOutFirst(r.Untrained)
	if len(first) > 1 {
		says += ", together"
	}
	if next := words.GiveOutNext(r.Untrained); next != "" {
		says += "; then " + next
	}
	return says + ". Could hold it: " + words.Could(r.Untrained) + " of untrained " + one.Many + "."
}

// UntrainedTable writes a table of holds, one row for a hold and survey; what follows
// says how to read it.
func UntrainedTable(w io.Writer, rows []UntrainedRow) error {
	t := &holdText{words.Writer{W: w}}
	row := func(hold, who, times, could, first string) {
		t.Line("%s", strings.TrimRight(fmt.Sprintf("%-24s %-6s %-19s %-26s %s", hold, who, times, could, first), " "))
	}
	row("hold", "of", "times strength", "could hold it", "gives out first")
	for i := range rows {
		r := &rows[i]
		name := words.Held(r.Hold, r.Posture, body.Load{})
		if i > 0 && rows[i-1].Hold == r.Hold {
			name = ""
		}
		many := words.UntrainedOf(r.People).Many
		switch {
		case r.Unknown == "":
			row(name, many, words.Published(r.Difficulty, r.Published.Difficulty, words.Times), words.Could(r.Untrained), words.GivesOutFirst(r.Untrained))
		case name != "":
			row(name, "all", "not known", "", "")
			t.Wrap("  ", "  ", r.Unknown)
		}
	}
	t.Line("")
	if under := underLoad(rows); under != "" {
		t.Wrap("", "", "All of them"+strings.TrimPrefix(under, ",")+". "+strings.Join(words.LoadNotes(rows[0].Load), " "))
	}
	t.Wrap("", "", untrainedSays(rows))
	return t.Err
}

// underLoad says with what all rows are held up, after a comma; empty where it is nothing.
func underLoad(rows []UntrainedRow) string {
	if len(rows) == 0 || rows[0].Load == (body.Load{}) {
		return ""
	}
	return ", with " + words.Load(rows[0].Load)
}

// UntrainedSummary is what is known of holds and untrained adults, for JSON.
type UntrainedSummary struct {
	Provenance provenance.Stamp `json:"provenance"` // where the numbers come from
	Holds      []UntrainedEntry `json:"holds"`      // one a hold and population
}

// UntrainedEntry is a row of it. Shares lie between 0 and 1, difficulties are in times
// the strength of the median untrained adult; what is not known is left out.
type UntrainedEntry struct {
	Hold                string           `json:"hold"`                                         // its name
	People              string           `json:"people"`                                       // population
	Bodies              int              `json:"bodies"`                                       // that were held up
	Possible            int              `json:"bodies_that_can_take_the_posture"`             // of them
	Unknown             string           `json:"unknown,omitempty"`                            // why nothing is known of it
	Difficulty          *float64         `json:"difficulty,omitempty"`                         // of the median body
	OfBodies            *[2]float64      `json:"difficulty_p5_p95_of_bodies,omitempty"`        // 5 and 95 % of the bodies
	DifficultyPublished *[2]float64      `json:"difficulty_by_published_norms,omitempty"`      // least and greatest over norms of strength
	Could               *float64         `json:"share_who_could,omitempty"`                    // of untrained adults
	CouldPublished      *[2]float64      `json:"share_who_could_by_published_norms,omitempty"` // least and greatest over norms of strength
	CouldKnown          bool             `json:"share_who_could_is_known"`                     // whether the norms agree well enough to say
	Uses                []UntrainedUsing `json:"uses,omitempty"`                               // from the most used group on
}

// UntrainedUsing is what a hold uses of a group, from the most used on.
type UntrainedUsing struct {
	Group string  `json:"group"` // of muscles
	Side  string  `json:"side"`  // of the body
	Share float64 `json:"share"` // of its strength that the hold uses
}

// SummariseUntrained puts rows into their JSON form.
func SummariseUntrained(rows []UntrainedRow, stamp provenance.Stamp) UntrainedSummary {
	s := UntrainedSummary{Provenance: stamp}
	for i := range rows {
		r := &rows[i]
		e := UntrainedEntry{
			Hold: r.Hold.Name, People: r.People.Name, Bodies: r.Bodies, Possible: r.Possible, Unknown: r.Unknown, CouldKnown: r.CouldKnown(),
			Uses: names.Each(r.Uses, func(u scenario.Use) UntrainedUsing {
				return UntrainedUsing{u.Group.String(), u.Side.String(), u.Share}
			}),
		}
		if r.Unknown == "" {
			e.Difficulty, e.Could = &r.Difficulty, &r.Could
			e.OfBodies = &[2]float64{r.Low, r.High}
			e.DifficultyPublished = &[2]float64{r.Published.Difficulty.Low, r.Published.Difficulty.High}
			e.CouldPublished = &[2]float64{r.Published.Could.Low, r.Published.Could.High}
		}
		s.Holds = append(s.Holds, e)
	}
	return s
}
