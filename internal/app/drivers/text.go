package drivers

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/body"
	"counterpoise/sim/drivers"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/scenario"
	"counterpoise/sim/scenario/scores"
)

// How the numbers are to be read, beside them.
// driversText writes what is said of drivers.
type driversText struct{ words.Writer }

const (
	readShares = "The shares are Shapley effects: the variance over people and assumptions, divided fairly. They add up to 100 %. " +
		"“Size” is stature with everything that comes with it; “for size” means longer, broader or heavier than usual at that stature. " +
		"In real people these are still correlated (long arms with long legs), and correlated groups share the credit for what they have in common: " +
		"a share says how much knowing that group tells you, not what changing it alone would do. " +
		"Even a group that the model never uses earns a share if it is correlated with one that it uses. --worth says what changing one thing does."
	readWorth = "Each row changes one thing of this body and nothing else; the arms take the changed body's best posture. " +
		"“% per %” is the elasticity: the change in per cent for one per cent more. Rates hold near this body."
	readOwn = "Your own people are described by the means, spreads and correlations of their scores in the survey that supplies what was not measured on them; " +
		"bands and curves are over exactly these people."
	readPerson = "A person's median body has every measurement that was taken of them, and the middle values of similar people for the rest; " +
		"their real body may differ, and so may what a unit is worth."
	readSobol = "First: what an input explains alone. Total: alone and together with others. The inputs are independent; a total above first means interactions."
	readFull  = "Full: including what the group shares with others. Independent: only what no other group tells. " +
		"Neither adds up to 100 %. An independent total of exactly 0 means that the model does not use the group."
	readScreen = "Mean magnitude of the change as one input crosses its whole range (people: from 5 to 95 % for their size; assumptions: their range) " +
		"from many starting points, ± half of the 95 % interval, and how much it depends on the starting point. Inputs vary one at a time, however they are correlated in people."
	readAlong = "People are grouped by the trait; the band shows how people within a group differ, in everything else."
)

// DriversText writes what was found for the terminal.
func DriversText(w io.Writer, d *Drivers) error {
	t := &driversText{words.Writer{W: w}}
	for i := range d.Parts {
		p := &d.Parts[i]
		if i > 0 {
			t.Line("")
		}
		t.Line("%s of the %s: %s, %s", words.Capital(strings.TrimPrefix(p.spoken(d.Of).Noun, "the ")), d.holdWords(), d.about(p), p.Model())
		t.part(d, p)
	}
	t.Line("")
	t.readings(d)
	for _, note := range words.LoadNotes(d.Load) {
		t.Wrap("", "", note)
	}
	t.Wrap("", "", words.NotValidated+" "+words.Cautions)
	return t.Err
}

// readings explains the numbers, each kind once.
func (t *driversText) readings(d *Drivers) {
	var shares, worth, sobol, full, screen, along, person bool
	for i := range d.Parts {
		p := &d.Parts[i]
		shares, worth, sobol = shares || p.Shares != nil, worth || p.Worth != nil, sobol || p.Sobol != nil
		person = person || p.Person != ""
		full, screen, along = full || p.Full != nil, screen || p.Screen != nil, along || p.Along != nil
	}
	for _, note := range []struct {
		there bool
		text  string
	}{{shares, readShares}, {worth, readWorth}, {person, readPerson}, {sobol, readSobol}, {full, readFull}, {screen, readScreen}, {along, readAlong}} {
		if note.there {
			t.Wrap("", "", note.text)
		}
	}
	described := shares || sobol || full || screen || worth
	if slices.ContainsFunc(d.Parts, func(p DriversPart) bool { return p.Person == "" && p.population().Resampled() }) && described {
		t.Wrap("", "", readOwn)
	} else if len(d.Where) > 0 && described {
		t.Wrap("", "", "People who meet the condition are described by their own distributions and correlations, from 65,536 of them; bands and curves are over exactly such people.")
	}
}

func (t *driversText) part(d *Drivers, p *DriversPart) {
	if p.Shares != nil {
		t.Wrap("", "", DriversHeadline(d, p))
		t.Line("")
		t.Line("  %-28s %8s   %s", "share of the variance", "", "95 % interval")
		for _, i := range ranked(p.Shares, drivers.ShapleyEffect) {
			t.index(i)
		}
		t.effort(p.Shares)
	}
	if p.Split != nil {
		t.split(d, p)
	}
	if p.Worth != nil {
		t.Wrap("", "", WorthHeadline(d, p))
		t.worth(d, p)
	}
	if p.Sobol != nil {
		t.Line("")
		t.Line("  Sobol' indices over %s", p.SobolOf)
		t.pairs(p.Sobol, []drivers.Kind{drivers.First, drivers.Total}, drivers.Total)
		head := "  together beyond each alone"
		for _, i := range ranked(p.Sobol, drivers.Second) {
			if i.Low > 0 || i.High < 0 {
				if head != "" {
					t.Line("%s", head)
					head = ""
				}
				t.Line("  %-57s %8s   (%s to %s)", strings.Join(i.Groups, " × "), words.Part(i.Value), words.Part(i.Low), words.Part(i.High))
			}
		}
		t.effort(p.Sobol)
	}
	if p.Full != nil {
		t.Line("")
		t.Line("  Full and independent indices")
		t.pairs(p.Full, []drivers.Kind{drivers.FullFirst, drivers.FullTotal, drivers.IndependentFirst, drivers.IndependentTotal}, drivers.FullFirst)
		t.effort(p.Full)
	}
	if p.Screen != nil {
		t.screen(d, p)
	}
	if p.Along != nil {
		t.along(d, p)
	}
	if note := p.note(); note != "" {
		t.Wrap("  Note: ", "  ", note+".")
	}
	if n, of := p.Function.Impossible(); n > 0 {
		t.Wrap("  Note: ", "  ", fmt.Sprintf("%s of %s bodies could not take the posture and count as the median body, which makes the variance a little too small.", words.Count(n), words.Count(of)))
	}
}

func (t *driversText) index(i drivers.Index) {
	if i.Low == 0 && i.High == 0 {
		t.Line("  %-28s %8s   exactly", i.Groups[0], words.Part(0))
		return
	}
	t.Line("  %-28s %8s   %s to %s", i.Groups[0], words.Part(i.Value), words.Part(i.Low), words.Part(i.High))
}

// pairs prints several kinds of indices side by side.
func (t *driversText) pairs(r *drivers.Result, kinds []drivers.Kind, by drivers.Kind) {
	blank, cell := fmt.Sprintf("  %-28s", ""), " %18s"
	of, head := blank, blank
	if len(kinds) > 2 { // "full first" in two lines
		cell = " %14s"
	}
	for _, kind := range kinds {
		adjective, noun, two := strings.Cut(string(kind), " ")
		if !two {
			adjective, noun = "", adjective
		}
		of += fmt.Sprintf(cell, adjective)
		head += fmt.Sprintf(cell, noun)
	}
	if of = strings.TrimRight(of, " "); of != "" {
		t.Line("%s", of)
	}
	t.Line("%s", head)
	for _, i := range ranked(r, by) {
		row := fmt.Sprintf("  %-28s", i.Groups[0])
		for _, kind := range kinds {
			index, _ := r.Index(kind, i.Groups...)
			text := words.Part(index.Value)
			if half := index.HalfWidth(); half > 0 {
				text = strings.TrimSuffix(text, " %") + " ± " + words.Percent(half, 1)
			}
			row += fmt.Sprintf(cell, text)
		}
		t.Line("%s", row)
	}
}

// effort says what stands behind estimates, and whether they are as narrow as asked.
func (t *driversText) effort(r *drivers.Result) {
	text := fmt.Sprintf("%s; %s bodies, %d independent replicates; widest interval ± %s.", r.Method, words.Count(r.Evaluations), r.Replicates, words.Percent(r.Widest(), 2))
	if !r.Reached {
		text += " The intervals are wider than requested: --max-evaluations does not allow more."
	}
	t.Wrap("  ", "  ", text)
}

func (t *driversText) split(d *Drivers, p *DriversPart) {
	s, ph := p.Split, p.spoken(d.Of)
	t.Line("")
	if s.Shares == nil {
		t.Wrap("  ", "  ", "No assumption is uncertain: all of the variance is people.")
	} else {
		t.Wrap("  ", "  ", fmt.Sprintf("People %s (%s to %s), assumptions %s (%s to %s), the two together %s (%s to %s) of the variance.",
			words.Part(s.People.Value), words.Part(s.People.Low), words.Part(s.People.High),
			words.Part(s.Assumptions.Value), words.Part(s.Assumptions.Low), words.Part(s.Assumptions.High),
			words.Part(s.Interaction.Value), words.Part(s.Interaction.Low), words.Part(s.Interaction.High)))
	}
	for _, q := range s.Quantiles {
		name := map[float64]string{0.05: "5 % of people have less than", 0.5: "half of people have less than", 0.95: "95 % of people have less than"}[q.Share]
		text := ph.Number(q.AtCentre)
		if q.Low != q.High {
			text += fmt.Sprintf("   (%s to %s over %s draws of the assumptions)", ph.Number(q.Low), ph.Number(q.High), words.Count(len(s.Draws)))
		}
		t.Line("  %-30s %s", name, text)
	}
}

func (t *driversText) worth(d *Drivers, p *DriversPart) {
	fine := p.spoken(d.Of).Finer()
	t.Line("")
	t.Line("  %-53s %12s %9s %8s", "one unit", "is worth", "", "% per %")
	for i := range p.Worth.Rows {
		row := &p.Worth.Rows[i]
		elasticity := ""
		if !math.IsNaN(row.Elasticity) {
			elasticity = words.Correlation(row.Elasticity)
		}
		if row.Kink { // there is no single rate
			t.Line("  %-53s %12s           one less %s, one more %s", worthOfWhat(row, p.Worth.Working), "a corner:", fine.Signed(-row.Less), fine.Signed(row.More))
			continue
		}
		note := ""
		switch {
		case row.Finite:
			note = "  (this whole step)"
		case !math.IsNaN(row.PercentNewtons):
			note = "  in newtons " + words.PercentChange(row.PercentNewtons, 2)
		}
		t.Line("  %-53s %12s %9s %8s%s", worthOfWhat(row, p.Worth.Working), fine.Signed(row.Change), words.PercentChange(row.Percent, 2), elasticity, note)
	}
}

func (t *driversText) screen(d *Drivers, p *DriversPart) {
	ph := p.spoken(d.Of).Finer()
	t.Line("")
	t.Line("  %-34s %-30s %s", "input", "mean magnitude", "deviation")
	var none []string
	for _, e := range rankedEffects(p.Screen.Effects) {
		if e.Absolute.Value == 0 {
			none = append(none, e.Name)
			continue
		}
		half := e.Absolute.HalfWidth()
		t.Line("  %-34s %-30s %s", e.Name, ph.Number(e.Absolute.Value)+" ± "+ph.Number(half), ph.Number(e.Deviation))
	}
	if len(none) > 0 {
		t.Wrap("  ", "  ", "No effect at all: "+strings.Join(none, ", ")+".")
	}
	t.Line("  %s bodies", words.Count(p.Screen.Evaluations))
}

func (t *driversText) along(d *Drivers, p *DriversPart) {
	c, ph := p.Along, p.spoken(d.Of)
	t.Line("")
	t.Wrap("", "", alongHeadline(d, p))
	t.Line("  %-16s %14s   %s", traitWords(c.Trait), "mean of people", "5 to 95 % of them")
	for i := 0; i < len(c.X); i += 4 {
		alone := ""
		if c.Alone != nil {
			alone = fmt.Sprintf("   %s changed alone", ph.Number(c.Alone[i]))
		}
		t.Line("  %-16s %14s   %s to %s%s", traitNumber(c.Trait, c.X[i]), ph.Number(c.Mean[i]), ph.Number(c.Low[i]), ph.Number(c.High[i]), alone)
	}
	who := words.Count(c.N) + " people"
	if c.Unable > 0 {
		who += "; " + words.Count(c.Unable) + " more cannot take the posture"
	}
	t.Line("  %s", who)
}

// traitWords names a trait with its unit of output.
func traitWords(trait body.Quantity) string {
	name := words.Plain(trait.String())
	switch trait.Unit() {
	case "m":
		return name + " (cm)"
	case "":
		return name
	}
	return name + " (" + trait.Unit() + ")"
}

// traitScale turns a trait into its unit of output.
func traitScale(trait body.Quantity) float64 {
	if trait.Unit() == "m" {
		return 100
	}
	return 1
}

func traitNumber(trait body.Quantity, x float64) string {
	if trait.Unit() == "" {
		return words.Number(x, 3)
	}
	return words.Number(traitScale(trait)*x, 1)
}

// alongHeadline says how the demand goes with the trait among people.
func alongHeadline(d *Drivers, p *DriversPart) string {
	c, ph := p.Along, p.spoken(d.Of)
	last := len(c.X) - 1
	trend := c.Mean[last] - c.Mean[0]
	name := words.Plain(c.Trait.String())
	text := fmt.Sprintf("From the people with the least %s to those with the most, %s ", name, ph.Noun)
	goes := func(values []float64, by float64) string {
		return fmt.Sprintf("%s from %s to %s", words.Way(by, "rises", "falls"), ph.Number(values[0]), ph.Number(values[last]))
	}
	if math.Abs(trend) <= 2*math.Hypot(c.StandardError[0], c.StandardError[last]) {
		text += "shows no trend that is more than chance"
	} else {
		text += goes(c.Mean, trend) + " on average"
	}
	if c.Alone != nil {
		how := "stays the same"
		if alone := c.Alone[last] - c.Alone[0]; math.Abs(alone) > 1e-9*math.Abs(c.Alone[0]) {
			how = goes(c.Alone, alone)
		}
		text += fmt.Sprintf("; changed alone in the median body, it %s. The difference is what comes with it in people", how)
	}
	return text + "."
}

// FirstDrivers writes the first screen of what drives a demand. What only researchers ask
// for has none, and is written in full.
func FirstDrivers(w io.Writer, d *Drivers) error {
	t := &driversText{words.Writer{W: w}}
	for i := range d.Parts {
		p := &d.Parts[i]
		if p.Sobol != nil || p.Full != nil || p.Screen != nil || p.Along != nil {
			return DriversText(w, d)
		}
		switch {
		case p.Worth != nil:
			t.firstWorth(d, p)
		case p.Shares != nil:
			t.Line("%s: %s%s", words.Capital(d.holdWords()), d.about(p), d.underModel(p))
			t.Wrap("  ", "  ", DriversHeadline(d, p))
			for k, index := range ranked(p.Shares, drivers.ShapleyEffect) {
				if k < 5 {
					t.Line("  %-42s %s", words.DrivenBy(index.Groups[0]), words.Share(clampShare(index.Value)))
				}
			}
		}
	}
	for i := range d.Parts {
		p := &d.Parts[i]
		if note := p.note(); note != "" {
			t.FirstNotes([]string{note + "."})
		}
		if p.Worth != nil && p.Worth.Unable > 0 {
			t.FirstNotes([]string{words.Capital(p.averageBody(d)) + " cannot take the posture in " + p.unable() + "."})
		}
	}
	if slices.ContainsFunc(d.Parts, func(p DriversPart) bool { return p.taught() }) {
		t.Wrap("", "", "By "+words.TaughtRule+", whose forces do not balance: it tells nothing of how hard the hold is.")
	}
	if len(d.Parts) > 0 && d.Parts[0].Worth == nil {
		t.Wrap("", "", "Shares tell what varies, not what a change does: --worth tells that.")
	}
	t.Wrap("", "", words.Caution)
	return t.Err
}

// underModel names the model of a part, where there are several, or it is the taught rule.
func (d *Drivers) underModel(p *DriversPart) string {
	if !p.taught() && !slices.ContainsFunc(d.Parts, func(q DriversPart) bool { return q.Model() != p.Model() }) {
		return ""
	}
	return ", " + p.Model()
}

// taught reports whether a part is under the taught rule, alone or with others.
func (p *DriversPart) taught() bool {
	return slices.ContainsFunc(p.Models, func(m scenario.Model) bool { return m.Statics == hold.TwoCondition })
}

// unable is in how many of the draws a body cannot take the posture.
func (p *DriversPart) unable() string {
	return fmt.Sprintf("%d of %d tries of what nobody has measured", p.Worth.Unable, p.Worth.Draws)
}

// firstWorth writes what one unit is worth, from the most on.
func (t *driversText) firstWorth(d *Drivers, p *DriversPart) {
	of := p.Worth
	t.Line("%s, %s (%s, %s)%s: what one unit is worth", words.Capital(d.holdWords()), p.averageBody(d),
		words.Rough(of.Stature, units.Length, words.Metric), words.Rough(of.Mass, units.Mass, words.Metric), d.underModel(p))
	ways := words.SizesOf(d.Of, p.Models[0].Statics)
	rows := slices.Clone(of.Rows)
	slices.SortStableFunc(rows, func(a, b scores.Worth) int {
		return int(math.Copysign(1, math.Abs(b.Percent)-math.Abs(a.Percent)))
	})
	for i := range rows[:min(8, len(rows))] {
		row := &rows[i]
		t.Line("  %-52s %s", worthOfWhat(row, of.Working), ways.Plainly(row.Percent, 1))
	}
}

// worthOfWhat says of what a row of what a step is worth tells: "1 cm longer arms". working is
// the share of added muscle that works.
func worthOfWhat(row *scores.Worth, working float64) string {
	switch row.Name {
	case "trunk_fat":
		return "1 kg of fat off the trunk"
	case "upper_body_muscle":
		return "1 kg of muscle on the upper body, " + words.Percent(working, 0) + " of it working"
	case "leg_mass":
		return "1 kg of fat or muscle on the legs"
	case "straddle":
		if row.Finite {
			return "5° of straddle of each leg, from legs together"
		}
		return "5° more straddle of each leg"
	case "hand_spacing":
		return "1 cm more between the hands than is best"
	}
	if t, ok := body.ParseTrait(row.Name); ok {
		if row.Unit == "" {
			return "1 % more of " + t.Info().Noun
		}
		return "1 cm " + t.Info().More + " " + t.Info().Noun
	}
	v, _ := hold.ParseVariant(row.Name)
	return "1 cm more of " + v.Info().Meaning
}

// toldWorth are the rows that are always told of.
var toldWorth = []string{"arm_length", "shoulder_breadth", "leg_length", "trunk_fat", "upper_body_muscle"}

// WorthHeadline is the line that a coach quotes: what the lengths and the kilograms
// are worth to one body.
func WorthHeadline(d *Drivers, p *DriversPart) string {
	w := p.Worth
	ph := p.spoken(d.Of)
	var parts []string
	for _, name := range toldWorth {
		for _, row := range w.Rows {
			if row.Name == name {
				parts = append(parts, worthOfWhat(&row, w.Working)+": "+worthWords(&row))
			}
		}
	}
	of := ""
	if p.Person != "" {
		of = " of " + p.Person
	}
	return fmt.Sprintf("For the median body%s (%s, %s), %s is %s. What one unit does to it: %s.", of, words.Rough(w.Stature, units.Length, words.Metric),
		words.Rough(w.Mass, units.Mass, words.Metric), ph.Noun, ph.Number(w.Response), strings.Join(parts, "; "))
}

// worthWords says what one unit does to the demand, in per cent.
func worthWords(row *scores.Worth) string {
	size := words.Percent(math.Abs(row.Percent)/100, 2)
	switch {
	case row.Kink:
		return "a corner of the best posture"
	case math.Abs(row.Percent) < 1e-6:
		return "nothing"
	case math.Abs(row.Percent) < 0.005:
		return "next to nothing"
	}
	return size + " " + words.Way(row.Percent, "more", "less")
}

// worthPlace is the place of a row in a picture, in per cent for one more: that of the one
// side where there is no single rate.
func worthPlace(row *scores.Worth) float64 {
	if row.Kink && row.Change != 0 {
		return row.Percent * row.More / row.Change
	}
	return row.Percent
}
