package sweep

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"counterpoise/internal/jsonform"
	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
	"counterpoise/sim/sweep"
)

// AxisScale is what a number of an axis is multiplied by to be shown, and the unit that
// it then has: metres stay metres, but angles are in degrees and shares in per cent.
func AxisScale(a *sweep.Axis) (factor float64, unit string) {
	switch a.Unit {
	case "rad":
		if strings.HasPrefix(a.Of, "assume.") {
			return 180 / math.Pi, "" // as assumptions are written
		}
		return 180 / math.Pi, "deg"
	case sweep.Share:
		return 100, "%"
	}
	return 1, a.Unit
}

// AxisMeaning says what an axis is of.
func AxisMeaning(a *sweep.Axis) string {
	text := sweep.FindVariable(a.Of).Meaning
	if id, ok := assume.Parse(strings.TrimPrefix(a.Of, "assume.")); ok {
		text += ", " + words.AssumptionUnit(id)
	}
	return text
}

// coordinateText writes a coordinate of an axis: a name, or a number with its unit, lengths in
// centimetres.
func coordinateText(a *sweep.Axis, x float64) string {
	if a.Named() {
		return a.Names[int(x)]
	}
	factor, unit := AxisScale(a)
	if unit == "m" {
		factor, unit = 100, "cm"
	}
	// The last digits, in which a number's decimal and its binary form differ, are taken off.
	text := strconv.FormatFloat(x*factor, 'e', 10, 64)
	if y, err := strconv.ParseFloat(text, 64); err == nil {
		text = strconv.FormatFloat(y, 'g', 6, 64)
	}
	if unit != "" {
		text += " " + unit
	}
	return text
}

// Sweep collects the points of a sweep for words and pictures.
type Sweep struct {
	study   *sweep.Study
	central int // the statistic that stands for a point: the median, else the mean
	low     int // the outermost quantiles, −1 without
	high    int

	points     []sweepPoint // of a sweep small enough to be shown point by point
	extremes   []sweepExtremes
	bodies     int64
	impossible int64
	most       float64  // the largest share of bodies that cannot take the posture at a point
	quiet      []string // what maps would have been called that would show nothing
}

// sweepPoint is one point, in the units in which demands are shown.
type sweepPoint struct {
	at                 []float64
	central, low, high []float64 // by demand; NaN where there is none
	possible           float64   // share of the bodies
}

// sweepExtremes is where a demand is least and greatest.
type sweepExtremes struct {
	any                bool
	least, greatest    float64
	leastAt, greatesAt []float64
}

// add takes a value at a point in, unless there is none.
func (e *sweepExtremes) add(v float64, at []float64) {
	if math.IsNaN(v) {
		return
	}
	if !e.any || v < e.least {
		e.least, e.leastAt = v, at
	}
	if !e.any || v > e.greatest {
		e.greatest, e.greatesAt = v, at
	}
	e.any = true
}

// mostShown is how many points are kept for pictures.
const mostShown = 10_000

// NewSweep returns an empty collection.
func NewSweep(s *sweep.Study) *Sweep {
	c := &Sweep{study: s, low: -1, high: -1, extremes: make([]sweepExtremes, len(s.Demands))}
	if i := slices.Index(s.Quantiles, 0.5); i >= 0 {
		c.central = 2 + i
	}
	if n := len(s.Quantiles); n > 1 && s.Quantiles[0] < s.Quantiles[n-1] {
		c.low, c.high = 2, 2+n-1
	}
	return c
}

// Add takes a point in, in order.
func (c *Sweep) Add(p *sweep.Point) {
	s := c.study
	c.bodies += p.Bodies
	c.impossible += p.Bodies - p.Possible
	c.most = max(c.most, 1-float64(p.Possible)/float64(p.Bodies))
	next := sweepPoint{at: slices.Clone(p.Coordinates), possible: float64(p.Possible) / float64(p.Bodies)}
	for d, demand := range s.Demands {
		_, scale := jsonform.Output(demand.Unit)
		v := p.Statistics[c.central][d] * scale
		next.central = append(next.central, v)
		if c.low >= 0 {
			next.low = append(next.low, p.Statistics[c.low][d]*scale)
			next.high = append(next.high, p.Statistics[c.high][d]*scale)
		}
		c.extremes[d].add(v, next.at)
	}
	if s.NumPoints() <= mostShown {
		c.points = append(c.points, next)
	}
}

// SweepSummary is a sweep for machines: what sweep --json prints and
// summary.json holds.
type SweepSummary struct {
	Sweep      string        `json:"sweep"`                     // its name
	Says       string        `json:"says,omitempty"`            // what it is about
	Design     sweep.Design  `json:"design"`                    // how points were chosen
	Points     int           `json:"points"`                    // of the axes, in all
	N          int           `json:"n"`                         // bodies at every point
	Seed       uint64        `json:"seed"`                      // of the random streams
	Axes       []SweepAxis   `json:"axes"`                      // what was varied
	Statistics []string      `json:"statistics"`                // over the bodies of a point
	Demands    []SweepDemand `json:"demands"`                   // one a demand and statistic
	Impossible float64       `json:"impossible_share"`          // of all bodies at all points
	Most       float64       `json:"greatest_impossible_share"` // at any point
	words.Standing
}

// SweepAxis describes an axis: its numbers, or names, in the unit of the table's
// column.
type SweepAxis struct {
	Of     string    `json:"of"`               // what is varied
	Unit   string    `json:"unit"`             // of numbers; empty for names
	Values []float64 `json:"values,omitempty"` // of a grid
	Names  []string  `json:"names,omitempty"`  // of what has no number
	From   *float64  `json:"from,omitempty"`   // of a quasi-random design
	To     *float64  `json:"to,omitempty"`     // of a quasi-random design
}

// SweepDemand tells where a demand is least and greatest, by the statistic named.
type SweepDemand struct {
	Demand    string     `json:"demand"`    // its name
	Unit      string     `json:"unit"`      // of its values
	Statistic string     `json:"statistic"` // over the bodies of a point
	Least     *SweepMark `json:"least"`     // null where no point has the demand
	Greatest  *SweepMark `json:"greatest"`  // null where no point has the demand
}

// SweepMark is a value with the point at which it is: by axis a number in the
// table's unit, or a name.
type SweepMark struct {
	Value float64        `json:"value"` // of the demand
	At    map[string]any `json:"at"`    // the point, by axis
}

// Summary returns the summary of the points collected.
func (c *Sweep) Summary(stamp provenance.Stamp) SweepSummary {
	s := c.study
	sum := SweepSummary{Sweep: s.Name, Says: s.Says, Design: s.Design, Points: s.NumPoints(), N: s.N, Seed: s.Seed,
		Impossible: float64(c.impossible) / float64(c.bodies), Most: c.most, Standing: words.StandingOf(stamp)}
	for i := range s.Axes {
		a := &s.Axes[i]
		factor, unit := AxisScale(a)
		axis := SweepAxis{Of: a.Of, Unit: unit, Names: a.Names}
		if s.Design == sweep.QuasiRandom && a.Low != a.High {
			axis.From, axis.To = new(words.Tidy(a.Low*factor)), new(words.Tidy(a.High*factor))
		} else {
			axis.Values = names.Each(a.Values, func(v float64) float64 { return words.Tidy(v * factor) })
		}
		sum.Axes = append(sum.Axes, axis)
	}
	sum.Statistics = names.Each(names.UpTo(s.NumStatistics()), s.Statistic)
	for d, demand := range s.Demands {
		_, unit := outcome.ColumnUnit(demand)
		of := SweepDemand{Demand: demand.String(), Unit: unit, Statistic: s.Statistic(c.central)}
		if e := &c.extremes[d]; e.any {
			of.Least, of.Greatest = c.mark(e.least, e.leastAt), c.mark(e.greatest, e.greatesAt)
		}
		sum.Demands = append(sum.Demands, of)
	}
	return sum
}

func (c *Sweep) mark(value float64, at []float64) *SweepMark {
	m := &SweepMark{Value: value, At: map[string]any{}}
	for i, x := range at {
		if a := &c.study.Axes[i]; a.Named() {
			m.At[a.Of] = a.Names[int(x)]
		} else {
			factor, _ := AxisScale(a)
			m.At[a.Of] = words.Tidy(x * factor)
		}
	}
	return m
}

// mostListed is how many points the text lists one by one.
const mostListed = 40

// Text writes the sweep for a reader.
func (c *Sweep) Text(w io.Writer) error {
	s := c.study
	var b strings.Builder
	title := s.Name
	if s.Says != "" {
		title += ": " + s.Says
	}
	fmt.Fprintf(&b, "%s\n\n%s points (%s), %s bodies at each, the same ones; seed %d.\n", title, words.Count(s.NumPoints()), s.Design, words.Count(s.N), s.Seed)
	fmt.Fprintf(&b, "%s\n\n", c.held())
	if len(c.points) > 0 && len(c.points) <= mostListed {
		c.list(&b)
		b.WriteByte('\n')
	}
	for d := range s.Demands {
		fmt.Fprintf(&b, "%s\n", c.finding(d))
	}
	if c.impossible > 0 {
		fmt.Fprintf(&b, "Bodies that cannot take the posture are left out: %s of all, at most %s at a point.\n",
			words.Share(float64(c.impossible)/float64(c.bodies)), words.Share(c.most))
	}
	for _, note := range append(c.loadNotes(), c.athleteNotes()...) {
		fmt.Fprintf(&b, "%s\n", note)
	}
	fmt.Fprintf(&b, "\n%s\n", words.NotValidated)
	_, err := io.WriteString(w, words.Folded(b.String()))
	return err
}

// held says who is held up how, as far as no axis says it.
func (c *Sweep) held() string {
	s := c.study
	var parts []string
	add := func(axis, text string) {
		if !c.swept(axis) {
			parts = append(parts, text)
		}
	}
	add("hold", "Hold: "+s.Base.Hold.Name)
	if load := words.Load(s.Base.Load); load != "" {
		parts = append(parts, "carried: "+load)
	}
	add("people", "people: "+c.people(func(population string) string { return population }))
	add("model", "model: "+words.ModelOf(s.Base.Models[0]))
	text := strings.Join(parts, "; ")
	if text == "" {
		return "Hold, people and model are axes."
	}
	return words.Capital(text) + "."
}

// athleteNotes lists what is not known of the athletes among the people.
func (c *Sweep) athleteNotes() []string {
	var notes []string
	for _, name := range c.populations() {
		// People of one's own are no athletes of the program's, and are not found by name.
		if p, err := anthro.Load(name); err == nil && p.Athletes() != nil {
			notes = append(notes, p.Note()+".")
		}
	}
	return notes
}

// loadNotes lists what is to be said of what is carried, as a field or along an axis.
func (c *Sweep) loadNotes() []string {
	loads := []body.Load{c.study.Base.Load}
	for i := range c.study.Axes {
		a := &c.study.Axes[i]
		name, found := strings.CutPrefix(a.Of, "load.")
		if p, ok := body.ParsePoint(name); found && ok {
			for _, kg := range append([]float64{a.Low, a.High}, a.Values...) {
				var l body.Load
				l[p] = kg
				loads = append(loads, l)
			}
		}
	}
	return words.LoadNotes(loads...)
}

func (c *Sweep) swept(of string) bool {
	return slices.ContainsFunc(c.study.Axes, func(a sweep.Axis) bool { return a.Of == of })
}

// populations are the names of the people of a sweep.
func (c *Sweep) populations() []string {
	return names.Each(c.groups(), func(p scenario.Group) string { return p.Population })
}

// groups are whose bodies the sweep is about.
func (c *Sweep) groups() []scenario.Group {
	for i := range c.study.Axes {
		if c.study.Axes[i].Of == "people" {
			return c.study.Axes[i].People
		}
	}
	return c.study.Base.People
}

// people names the people, each population by a name, with the conditions on them.
func (c *Sweep) people(name func(population string) string) string {
	all := strings.Join(names.Each(c.populations(), name), " and ")
	return strings.Join(slices.Concat([]string{all}, names.Of(c.study.Base.Where), names.Of(c.study.Base.Targets)), ", ")
}

// list writes a table of all points.
func (c *Sweep) list(b *strings.Builder) {
	s := c.study
	header := names.Each(s.Axes, func(a sweep.Axis) string { return a.Of })
	rows := [][]string{append(header, names.Each(s.Demands, demandLabel)...)}
	for _, p := range c.points {
		var row []string
		for i, x := range p.at {
			row = append(row, coordinateText(&s.Axes[i], x))
		}
		for d := range s.Demands {
			row = append(row, c.cell(&p, d))
		}
		rows = append(rows, row)
	}
	for _, line := range words.Aligned(rows) {
		b.WriteString(line + "\n")
	}
}

// cell writes a demand at a point with its spread.
func (c *Sweep) cell(p *sweepPoint, d int) string {
	switch {
	case math.IsNaN(p.central[d]) && p.possible == 0:
		return "nobody can"
	case math.IsNaN(p.central[d]):
		return "-"
	case c.low < 0:
		return c.number(d, p.central[d])
	}
	return fmt.Sprintf("%s (%s to %s)", c.number(d, p.central[d]), c.number(d, p.low[d]), c.number(d, p.high[d]))
}

// number writes a value of a demand in the unit of the table.
func (c *Sweep) number(d int, v float64) string {
	if c.study.Demands[d].Unit == "rad" {
		return words.Number(v, 1)
	}
	return words.Number(v, 3)
}

// value is number with the unit, on one line with it.
func (c *Sweep) value(d int, v float64) string {
	if _, unit := outcome.ColumnUnit(c.study.Demands[d]); unit != "" {
		return c.number(d, v) + "\u00a0" + unit
	}
	return c.number(d, v)
}

// noun names a demand's statistic in a sentence.
func (c *Sweep) noun(d int) string {
	return c.statisticWord() + " " + words.PlainOf(c.study.Demands[d])
}

// runs says where a demand is least and greatest, at naming the points.
func (c *Sweep) runs(d int, e *sweepExtremes, at func([]float64) string) string {
	return fmt.Sprintf("The %s runs from %s (%s) to %s (%s)", c.noun(d), c.value(d, e.least), at(e.leastAt), c.value(d, e.greatest), at(e.greatesAt))
}

// finding is that for the terminal.
func (c *Sweep) finding(d int) string {
	e := &c.extremes[d]
	text := c.runs(d, e, c.at)
	switch {
	case !e.any:
		text = fmt.Sprintf("No point has a %s", c.noun(d))
	case c.number(d, e.least) == c.number(d, e.greatest):
		text = fmt.Sprintf("The %s is %s everywhere", c.noun(d), c.value(d, e.least))
	}
	return strings.ReplaceAll(text, "\u00a0", " ") + "."
}

func (c *Sweep) statisticWord() string {
	if c.central == 0 {
		return "mean"
	}
	return "median"
}

// at names a point by its coordinates.
func (c *Sweep) at(at []float64) string {
	list := make([]string, len(at))
	for i, x := range at {
		list[i] = coordinate(&c.study.Axes[i], x)
	}
	return strings.Join(list, ", ")
}

// coordinate says where along an axis a point is: a change of a body in full words, another
// with its sign; a hold, a model or people speak for themselves.
func coordinate(a *sweep.Axis, x float64) string {
	noun, text := axisNounOf(a), strings.Replace(coordinateText(a, x), "-", "−", 1)
	if t, ok := traitOf(a); ok {
		by := body.Amount{Metres: x}
		if a.Unit == sweep.Share {
			by = body.Amount{Share: x}
		}
		if parts := words.AmountInFull(t.Noun, t.More, t.Less, by); len(parts) == 1 {
			return parts[0]
		}
		return t.Noun + " unchanged"
	}
	switch {
	case a.Of == "hold":
		return words.Within(namesOf(a)[int(x)])
	case a.Of == "model" || a.Of == "people":
		return namesOf(a)[int(x)]
	case a.Of == "legs":
		return words.Legs(a.Legs[int(x)])
	case a.Named():
		return noun + " " + namesOf(a)[int(x)]
	}
	if of, ok := strings.CutPrefix(noun, "change of "); ok {
		noun = of
		if !strings.HasPrefix(text, "−") {
			text = "+" + text
		}
	}
	return noun + " " + text
}

// demandLabel names a demand on an axis; it may be of any model.
func demandLabel(d hold.Demand) string {
	if _, unit := outcome.ColumnUnit(d); unit != "" {
		return words.PlainOf(d) + " (" + unit + ")"
	}
	return words.PlainOf(d)
}

// axisNounOf names an axis in a sentence.
func axisNounOf(a *sweep.Axis) string {
	section, name, found := strings.Cut(a.Of, ".")
	if !found {
		return words.Plain(section)
	}
	name = words.Plain(name)
	if region, ok := strings.CutPrefix(name, "added mass."); ok {
		return "mass added to the " + region
	}
	switch a.Of {
	case "legs.angle":
		return "straddle angle"
	case "change.arm_angle", "change.working_share":
		return name
	}
	if section == "change" {
		return "change of " + name
	}
	return name
}
