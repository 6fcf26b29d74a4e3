package said

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"counterpoise/internal/outcome"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
)

// Besides are the demands that are told beside a claim's own, in order.
func Besides() []hold.Demand { return append([]hold.Demand(nil), besideRows...) }

// ForWhom says, of every model and population, among whom a change's claim holds
// more and less often, in sentences.
func ForWhom(r *outcome.Result) []string {
	var list []string
	for _, m := range r.Models {
		for _, g := range m.Groups {
			t := g.Trait
			if t == nil || m.Verdict == claim.NoEffect {
				continue
			}
			text := fmt.Sprintf("%s, %s: the effect depends most on %s (rank correlation %s); ", words.Capital(m.Name), words.Sexes(g.People), t.Name, words.Correlation(t.Correlation))
			if words.Share(t.ShareLow) == words.Share(t.ShareHigh) {
				text += fmt.Sprintf("it is as claimed for %s of the third with the smallest values, and of the third with the largest.", words.Share(t.ShareLow))
			} else {
				text += fmt.Sprintf("it is as claimed for %s of the third with the smallest values and %s of the third with the largest.", words.Share(t.ShareLow), words.Share(t.ShareHigh))
			}
			list = append(list, text)
		}
	}
	return list
}

// WouldChange says what would turn the verdict: the assumption that decides,
// the smallest effect that matters, the working share that breaks even, another
// model, other people. ranges are those over which assumptions were drawn.
func WouldChange(r *outcome.Result, ranges *assume.Uncertainty) []string {
	var list []string
	assumption := func(where string, d *outcome.Draws) {
		if d == nil {
			return
		}
		text := fmt.Sprintf("What nobody has measured, %s: of %s draws, %s", where, words.Count(d.N), verdictCounts(d)) + decisiveWords(d)
		if d.Decisive != nil {
			if id, ok := assume.Parse(d.Decisive.Name); ok {
				text += fmt.Sprintf("; it is taken as %s and drawn from %s to %s", words.Assumption(id, ranges.Centre[id]), words.Assumption(id, ranges.Low[id]), words.Assumption(id, ranges.High[id]))
			}
		}
		list = append(list, text+".")
	}
	for i := range r.Models {
		m := &r.Models[i]
		if m.Verdict == claim.NoEffect {
			continue
		}
		for _, g := range m.Groups {
			assumption(m.Name+", "+words.Sexes(g.People), g.Draws)
		}
		if b := m.Pooled.BreakEven; b != nil && b.P50 != nil {
			whole := words.Demand{Unit: "%", Scale: 100}
			list = append(list, fmt.Sprintf("Break-even, %s: if %s of the added mass works in the hold, the difficulty of the median body stays the same (%s to %s for 5–95 %% of bodies).",
				m.Name, whole.Number(Val(b.P50)), whole.Number(Val(b.P5)), whole.Number(Val(b.P95))))
		}
	}
	for i := range r.Contrast {
		c := &r.Contrast[i]
		assumption(c.Model+", "+words.Sexes(c.People), c.Draws)
	}
	if r.Verdict == claim.NoEffect {
		list = append(list, "Nothing in this model: neither other people nor other assumptions change the quantity. A model that sees more might.")
	}
	return append(list, otherModel(r), otherPeople(r))
}

func otherModel(r *outcome.Result) string {
	switch {
	case r.Verdict == claim.OpenModels:
		parts := names.Each(r.Models, func(m outcome.ModelResult) string {
			return m.Name + " says “" + words.Verdict(m.Verdict).Name + "”"
		})
		return "Another model: that does change it; " + strings.Join(parts, ", ") + ". Nobody has measured which is closer to the truth."
	case len(r.Models) == 1:
		return "Another model: only " + r.Models[0].Name + " was tested, so what another would find is unknown."
	}
	return fmt.Sprintf("Another model: %s give the same verdict; what none of them sees (see below) could still change it.", everyModel(r))
}

func otherPeople(r *outcome.Result) string {
	verdicts := map[claim.Verdict]bool{}
	var parts []string
	add := func(people, model string, v claim.Verdict) {
		verdicts[v] = true
		text := words.Sexes(people) + " “" + words.Verdict(v).Name + "”"
		if len(r.Models) > 1 {
			text = words.Sexes(people) + " under " + model + " “" + words.Verdict(v).Name + "”"
		}
		parts = append(parts, text)
	}
	for i := range r.Models {
		own := map[claim.Verdict]bool{}
		before := len(parts)
		for _, g := range r.Models[i].Groups {
			own[g.Verdict] = true
			add(g.People, r.Models[i].Name, g.Verdict)
		}
		if len(own) < 2 { // only where the people of one model differ
			parts = parts[:before]
		}
	}
	for i := range r.Contrast {
		add(r.Contrast[i].People, r.Contrast[i].Model, r.Contrast[i].Verdict)
	}
	if r.Claim.Contrast != nil && len(verdicts) < 2 {
		parts = nil
	}
	text := "Other people: "
	switch {
	case len(parts) > 0:
		text += strings.Join(parts, ", ") + ". "
	case len(r.Claim.People) > 1:
		text += "the verdict is the same in each of the populations tested. "
	}
	return text + "People built differently from these, such as athletes who train this hold, were not tested."
}

// Drawn is one population of a result, in the words of its survey.
type Drawn struct {
	Name     string `json:"name"`
	Title    string `json:"title"`
	Measured int    `json:"measured"`
	Citation string `json:"citation"`
	Limits   string `json:"limits"`
}

// DrawnPeople tells whose bodies stand behind a result.
func DrawnPeople(r *outcome.Result) ([]Drawn, error) {
	var list []Drawn
	for _, p := range r.Claim.People {
		population, err := p.Load()
		if err != nil {
			return nil, err
		}
		limits := ""
		if p.Own == nil {
			limits = words.SurveyOf(p.Population).Limits
		} else {
			limits = "These people are resampled, so the shares apply to them; what was not measured on them is drawn from those of " +
				words.Drawn([]string{population.Survey().Name}, nil) + " with the same measurements otherwise. No interval says how far other people differ."
		}
		list = append(list, Drawn{p.Population, population.Title, population.N, population.Provenance.Citation, limits})
	}
	return list, nil
}

// ModelMeans says in a sentence or two what a model of statics takes a body for.
func ModelMeans(m hold.Model) string {
	if m == hold.TwoCondition {
		return words.Capital(words.TaughtRule) + ", which gives no verdict: each arm acts only along its own line, both equally hard; the force must lift the body and stop it from turning."
	}
	return "Exact planar statics: all forces and moments balance. Where a hold leaves a choice of posture, the best one uses the same share of the strength of arms and shoulders."
}

// PlateRow is one published measurement beside what the model gives at its
// defaults. Forces are shares of body weight.
type PlateRow struct {
	Position string   `json:"position"`            // the pose
	Who      string   `json:"who"`                 // was measured
	Source   string   `json:"source"`              // of the measurement
	Measured float64  `json:"measured"`            // share of body weight on the hands
	SD       *float64 `json:"sd_between_people"`   // nil where not published
	Model    float64  `json:"model"`               // the same by the model
	Apart    float64  `json:"model_less_measured"` // difference
	Says     string   `json:"says"`                // whether they agree, in words
}

// platesSeed draws the people behind a model's mean: always the same, whatever the run.
const platesSeed = 1

// plateRows is how many drawn people of each sex stand behind a model's mean.
const plateRows = 1000

// closeEnough is how far from a measured mean, in body weights, the model may be
// where nobody published how far people differ.
const closeEnough = 0.03

// Plates holds the model, at the default assumptions and over people drawn from the
// survey, against published force plates: the rows are those of hold.ForcePlates. They
// are not to be changed.
func Plates() []PlateRow { return plates() }

var plates = sync.OnceValue(func() []PlateRow {
	rows, err := heldAgainstPlates()
	if err != nil {
		panic("report: the model beside force plates: " + err.Error()) // embedded people, our own poses
	}
	return rows
})

func heldAgainstPlates() ([]PlateRow, error) {
	var rows []PlateRow
	for _, p := range hold.ForcePlates() {
		row := PlateRow{Position: p.Position, Who: p.Who, Source: p.Source, Measured: p.Measured}
		for _, part := range []struct {
			population string
			n          int
		}{{"ansur2-men", p.Men}, {"ansur2-women", p.Women}} {
			if part.n == 0 {
				continue
			}
			mean, err := meanOnHands(part.population, p.Pose)
			if err != nil {
				return nil, err
			}
			row.Model += float64(float64(part.n) / float64(p.Men+p.Women) * mean)
		}
		row.Apart = row.Model - row.Measured
		allowed, what := allowedApart(p.SD), words.Number(closeEnough, 2)
		if p.SD > 0 {
			row.SD, what = new(p.SD), "one standard deviation"
		}
		row.Says = "within " + what
		if math.Abs(row.Apart) > allowed {
			row.Says = "a miss: beyond " + what
		}
		rows = append(rows, row)
	}
	return rows, nil
}

// Measured is what force plates measured of the poses of a claim, beside what the model
// says of them. Forces are in body weights.
type Measured struct {
	Poses   []PlateRow    `json:"poses"`             // one a measurement
	Effects []PlateEffect `json:"effects,omitempty"` // of the claim's change of the pose
	Says    string        `json:"says"`              // in sentences
	Quoted  string        `json:"quoted"`            // briefly, for the middle of a sentence

	studies []string // each once
	like    bool     // whether the poses that were measured are those of the claim, heights and all
}

// Reach is from where to where force plates measured a claim's effect, in the unit of what
// matters to it; not told where they did not, or at other heights.
func (m *Measured) Reach(c *claim.Claim) (low, high float64, told bool) {
	x, _, told := m.reach(c)
	return x[0], x[1], told && m.like
}

// reach is Reach whatever the heights, with what the model says in the same poses.
func (m *Measured) reach(c *claim.Claim) (measured, model [2]float64, told bool) {
	_, factor := outcome.UnitOf(c)
	share := c.Threshold().Share > 0
	for i, e := range m.Effects {
		x, y := float64(factor*e.Measured), float64(factor*e.Model)
		if share {
			x, y = e.MeasuredPercent, e.ModelPercent
		}
		if i == 0 {
			measured, model = [2]float64{x, x}, [2]float64{y, y}
		}
		measured = [2]float64{min(measured[0], x), max(measured[1], x)}
		model = [2]float64{min(model[0], y), max(model[1], y)}
	}
	return measured, model, len(m.Effects) > 0
}

// sizes are what force plates measured and what the model gives, in words: the effect of a change,
// else the weight in its pose.
func (m *Measured) sizes(c *claim.Claim, l words.Language) (measured, model string) {
	if x, y, told := m.reach(c); told {
		size := SizesOf(c, hold.Equilibrium)
		return l.Effect(size.Between(x[0], x[1])), l.Effect(size.Between(y[0], y[1]))
	}
	p := words.DemandOf(hold.HandShare, hold.Equilibrium)
	var plates, ours []float64
	for _, row := range m.Poses {
		plates, ours = append(plates, row.Measured), append(ours, row.Model)
	}
	return l.Effect(words.Over(plates, p.Number)), l.Effect(words.Over(ours, p.Number))
}

// PlateEffect is the difference between two poses within one study, of the same people.
type PlateEffect struct {
	From   string `json:"from"`   // the pose before
	To     string `json:"to"`     // the pose after
	Who    string `json:"who"`    // was measured
	Source string `json:"source"` // of the measurement
	// As measured, and of the model in the same poses: to less from, and that in per cent
	// of from.
	Measured        float64 `json:"measured"`            // share of body weight
	MeasuredPercent float64 `json:"measured_percent"`    // of from
	Model           float64 `json:"model"`               // by the model in the same poses
	ModelPercent    float64 `json:"model_percent"`       // of from
	Apart           float64 `json:"model_less_measured"` // difference
}

// MeasuredOf returns what force plates measured of a claim; nil where they measured
// nothing of it. It depends on the claim alone, and on no run.
func MeasuredOf(c *claim.Claim) *Measured {
	if !MeasuredOnPlates(c) {
		return nil
	}
	m := &Measured{like: true}
	first, second := c.Posture().Pose, c.PostureAfter().Pose
	all, rows := hold.ForcePlates(), Plates()
	for i := range all {
		if !nearly(first, all[i].Pose) && !nearly(second, all[i].Pose) {
			continue
		}
		m.Poses = append(m.Poses, rows[i])
		for j := range all {
			if first != second && nearly(first, all[j].Pose) && nearly(second, all[i].Pose) && all[i].Study() == all[j].Study() && all[i].Who == all[j].Who {
				m.Effects = append(m.Effects, effectOf(&rows[j], &rows[i]))
				m.like = m.like && first == all[j].Pose && second == all[i].Pose
			}
		}
	}
	if len(m.Poses) == 0 {
		return nil
	}
	m.tell(c)
	return m
}

func effectOf(from, to *PlateRow) PlateEffect {
	source := to.Source
	if from.Source != source {
		source += "; " + from.Position + ": " + from.Source
	}
	e := PlateEffect{From: from.Position, To: to.Position, Who: to.Who, Source: source, Measured: to.Measured - from.Measured, Model: to.Model - from.Model}
	e.MeasuredPercent, e.ModelPercent, e.Apart = 100*e.Measured/from.Measured, 100*e.Model/from.Model, e.Model-e.Measured
	return e
}

// tell puts it into words: the effects where there are some, else the poses.
func (m *Measured) tell(c *claim.Claim) {
	p := words.DemandOf(hold.HandShare, hold.Equilibrium)
	var list []string
	var measured, model, apart, measuredPercent, modelPercent []float64
	add := func(source, text string, x, y float64) {
		study, _, _ := strings.Cut(source, ",")
		list, m.studies = append(list, text+" ("+study+")"), names.Once(m.studies, study)
		measured, model, apart = append(measured, x), append(model, y), append(apart, y-x)
	}
	for _, e := range m.Effects {
		add(e.Source, fmt.Sprintf("%s, from %s to %s: measured %s (%s), model %s (%s), difference %s", e.Who, e.From, e.To,
			p.Signed(e.Measured), words.SignedEffect(e.MeasuredPercent), p.Signed(e.Model), words.SignedEffect(e.ModelPercent), p.Signed(e.Apart)), e.Measured, e.Model)
		measuredPercent, modelPercent = append(measuredPercent, e.MeasuredPercent), append(modelPercent, e.ModelPercent)
	}
	heights := ""
	if !m.like {
		heights = " at other heights"
	}
	m.Quoted = fmt.Sprintf("force plates measured %s (%s) for such a change%s, of which the model gives %s (%s)",
		words.Over(measured, p.Signed), words.Over(measuredPercent, words.SignedEffect), heights, words.Over(model, p.Signed), words.Over(modelPercent, words.SignedEffect))
	if len(m.Effects) == 0 {
		for _, r := range m.Poses {
			add(r.Source, fmt.Sprintf("%s, %s: measured %s, model %s, difference %s", r.Who, r.Position, p.Number(r.Measured), p.Number(r.Model), p.Signed(r.Apart)), r.Measured, r.Model)
		}
		m.Quoted = fmt.Sprintf("force plates measured %s in such poses%s, of which the model gives %s", words.Over(measured, p.Number), heights, words.Over(model, p.Number))
	}
	m.Quoted += fmt.Sprintf(", a difference of %s (%s)", words.Over(apart, p.Signed), strings.Join(m.studies, ", "))
	if t := c.Contrast; t != nil && !t.Sexes && t.By == anthro.Of(anthro.Stature) {
		list = append(list, hold.PlatesOnStature)
		m.Quoted += "; " + hold.PlatesOnStature
	}
	m.Says = "On force plates, weight on the hands: " + strings.Join(list, "; ") + "."
}

// PlatesAgainst says of a claim about a pose in which the model misses the force plates
// by how much it does, and whether that is more than the effect itself, so that not even
// its direction can be trusted. It is empty where no such pose is concerned.
func PlatesAgainst(r *outcome.Result) string {
	if r.Claim.Change == nil {
		return ""
	}
	least, most := platesMissed(r.Claim)
	effect := r.Models[0].Pooled.Draws.Effect.P50
	if most == 0 || effect == nil {
		return ""
	}
	p := words.DemandOf(hold.HandShare, hold.Equilibrium)
	by := p.Number(least)
	if most != least {
		by += " to " + p.Number(most)
	}
	size := p.Number(math.Abs(*effect))
	if PlatesOutweigh(r) {
		return fmt.Sprintf("In a pose of this claim the model misses the force plates by %s, at least as much as the effect on the middle person (%s): "+
			"not even the direction of the effect can be trusted.", by, size)
	}
	return fmt.Sprintf("In a pose of this claim the model misses the force plates by %s; the effect on the middle person is %s.", by, size)
}

// PlatesOutweigh reports whether the model misses the force plates in a pose of the claim
// by as much as the effect of its change, or more.
func PlatesOutweigh(r *outcome.Result) bool {
	if r.Claim.Change == nil {
		return false
	}
	_, most := platesMissed(r.Claim)
	effect := r.Models[0].Pooled.Draws.Effect.P50
	return most > 0 && effect != nil && math.Abs(*effect) <= most
}

// platesMissed is the least and the most by which the model misses the force plates in
// poses that share with the claim's what sets them apart from the level one; most is 0
// without a miss.
func platesMissed(c *claim.Claim) (least, most float64) {
	if c.Demand != hold.HandShare || c.Hold != hold.PushUp {
		return 0, 0
	}
	like := func(measured hold.Pose) bool {
		return slices.ContainsFunc([]hold.Variant{hold.Kneeling, hold.Bent}, func(v hold.Variant) bool {
			return measured[v] != 0 && (c.Posture().Pose[v] != 0 || c.PostureAfter().Pose[v] != 0)
		})
	}
	least = math.Inf(1)
	for i, p := range hold.ForcePlates() {
		if off := math.Abs(Plates()[i].Apart); like(p.Pose) && off > allowedApart(p.SD) {
			least, most = math.Min(least, off), math.Max(most, off)
		}
	}
	return least, most
}

// nearly reports whether a pose is one that was measured, but that hands or feet are raised up to
// about twice as high, or half.
func nearly(pose, measured hold.Pose) bool {
	for v := range pose {
		if (pose[v] != 0) != (measured[v] != 0) || pose[v] > 2.2*measured[v] || measured[v] > 2.2*pose[v] {
			return false
		}
	}
	return true
}

// allowedApart is how far from a measured mean the model may be: the standard deviation
// between people, where it was published.
func allowedApart(sd float64) float64 {
	if sd > 0 {
		return sd
	}
	return closeEnough
}

// meanOnHands is the mean weight on the hands of drawn people in a push-up.
func meanOnHands(population string, pose hold.Pose) (float64, error) {
	a := assume.Defaults()
	s := scenario.Scenario{Hold: hold.PushUp, Pose: pose, People: scenario.Survey(population), Models: []scenario.Model{scenario.DefaultModel(hold.Equilibrium)}}
	parts, err := s.Parts()
	if err != nil {
		return 0, err
	}
	people := anthro.NewPeople(plateRows)
	if err := parts[0].Source(platesSeed, true).Fill(people); err != nil {
		return 0, err
	}
	all := []scenario.Case{{Setup: scenario.NewSetup(&s), Model: hold.Equilibrium, Builder: parts[0].Builder(s.Models[0]), Assume: &a}}
	sum, n := 0.0, 0
	err = scenario.NewBench(scenario.TileRows, []hold.Demand{hold.HandShare}, nil).Run(people, all, func(_ int, tile *scenario.Tile) error {
		for i, share := range tile.First.Result.Value[hold.HandShare] {
			if tile.First.Result.Possible[i] {
				sum += share
				n++
			}
		}
		return nil
	})
	if err == nil && n == 0 {
		err = fmt.Errorf("report: nobody of %s can hold the push-up", population)
	}
	return sum / float64(n), err
}
