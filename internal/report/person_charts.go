package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/chart"
	"counterpoise/internal/units"
	"counterpoise/internal/wording"
	"counterpoise/internal/words"
	"counterpoise/sim/assume"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
)

// PersonFigures returns the charts of one person: under every model the
// requirement over the arm angle with what is left open around it, the hold
// drawn to scale, and what to measure next. A chart that would show nothing is
// left out. Name is what the person is called in the charts.
func PersonFigures(a *wording.PersonAnswer, name string, s words.System) ([]Figure, error) {
	var figures []Figure
	for i := range a.Models {
		m := &a.Models[i]
		if c := m.Curve; c != nil && len(c.Angle) > 1 && !math.IsNaN(c.BestPeak) {
			figures = append(figures, Figure{"requirement-" + m.Model.String(), personCurve(a, m, name)})
		}
	}
	m := a.Primary()
	if m.Median != nil {
		f, err := personFreeBody(a, m, name, s)
		if err != nil {
			return nil, err
		}
		figures = append(figures, Figure{"hold", f})
	}
	if len(m.Next) > 0 && m.PossibleBody > 0 {
		figures = append(figures, Figure{"measure-next", nextFigure(a, m, name)})
	}
	return figures, nil
}

// personFoot says where the numbers of a chart come from.
func personFoot(a *wording.PersonAnswer, m *person.ModelResult, name string, all bool) chart.Foot {
	known := a.Population.Sex.String()
	for _, k := range a.Conditioned.Known {
		if known += ", " + words.PlainOf(k.Of); len(a.Conditioned.Known) <= 4 {
			known += " " + words.Known(k, words.Metric)
		}
	}
	if a.Person.Scan != nil {
		known += ", scan"
	}
	assumptions := "defaults"
	if a.Options.Assumptions.Centre != assume.Defaults() {
		assumptions = "as set on the command line"
	}
	if all && len(a.Options.Assumptions.Free()) > 0 {
		assumptions += ", drawn over their ranges"
	}
	return chart.Foot{
		People: fmt.Sprintf("%s (%s), the rest drawn from %s", name, known, a.Conditioned.Population.Name), N: a.Options.N,
		Model:       fmt.Sprintf("%s, %s regional masses, %s segments", m.Model, a.Options.Masses, a.Options.Segments),
		Assumptions: assumptions,
		Source:      "counterpoise; people of " + words.Credits([]string{a.Conditioned.Population.Name}) + ". " + NotValidated,
	}
}

// curveWords name what a requirement curve shows, and write its height.
func curveWords(m *person.ModelResult) (axis, what string, peak func(float64) string) {
	in := units.BodyWeights
	axis, what = "Force along each arm (BW)", "along each arm"
	if m.Model == hold.Equilibrium {
		in, axis, what = units.Number, "Share of capacity used", "of the assumed capacity"
	}
	return axis, what, func(x float64) string { return words.NoBreak(words.Rough(x, in, words.Metric)) }
}

func curveOf(m *person.ModelResult, name string) chart.UncertainCurve {
	c := m.Curve
	degrees := make([]float64, len(c.Angle))
	for i, angle := range c.Angle {
		degrees[i] = angle * 180 / math.Pi
	}
	_, _, peak := curveWords(m)
	return chart.UncertainCurve{
		Series: chart.Series{Name: name, X: degrees, Y: c.Peak},
		Best: chart.Mark{X: min(max(c.BestAngle*180/math.Pi, degrees[0]), degrees[len(degrees)-1]), Y: c.BestPeak,
			Label: words.Rough(c.BestAngle, units.Angle, words.Metric) + ", " + peak(c.BestPeak)},
	}
}

const angleLabel = "Angle of the arms with the pole (degrees)"

// personCurve is the requirement of one person, with the ribbon of what is left
// open.
func personCurve(a *wording.PersonAnswer, m *person.ModelResult, name string) chart.UncertainRequirement {
	axis, what, peak := curveWords(m)
	curve := curveOf(m, name)
	curve.Low, curve.High = m.Curve.AllLow, m.Curve.AllHigh
	return chart.UncertainRequirement{
		Title:  words.NoBreak(fmt.Sprintf("%s, %s: least at %s, with %s %s", name, a.HoldWords(words.Metric), words.Rough(m.Curve.BestAngle, units.Angle, words.Metric), peak(m.Curve.BestPeak), what)),
		XLabel: angleLabel, YLabel: axis,
		Ribbon: "5–95\u00a0% of what is left open",
		Curves: []chart.UncertainCurve{curve},
		Foot:   personFoot(a, m, name, true),
	}
}

// personFreeBody is the hold of the person's median body, to scale.
func personFreeBody(a *wording.PersonAnswer, m *person.ModelResult, name string, s words.System) (chart.FreeBody, error) {
	f, err := FreeBodyOf(&HeldBody{
		HeldBody: m.Median, Hold: a.Hold, Model: m.Model, Who: name, Of: a.Conditioned.Population.Name, People: name, N: a.Options.N,
		Defaults: a.Options.Assumptions.Centre == assume.Defaults(),
	})
	if err != nil {
		return f, err
	}
	f.Title = name + ", " + words.Within(f.Title)
	if held, angle := m.Median.Held.Value[hold.HandSpacing], m.Median.Held.Value[hold.ArmAngle]; len(held) > 0 && len(angle) > 0 {
		for i := range f.Dimensions[:min(1, len(f.Dimensions))] { // the first is between the hands
			f.Dimensions[i].Text = words.OneLine(words.Mark(held[0], s))
		}
		f.Title = words.NoBreak(fmt.Sprintf("%s, %s: hands %s apart, arms %s from the pole, %s along the harder-working one", name, a.HoldWords(s),
			words.Mark(held[0], s), words.Rough(angle[0], units.Angle, s), words.Rough(m.Median.Held.Value[hold.RequiredForce][0], units.BodyWeights, s)))
	}
	f.Foot = personFoot(a, m, name, false)
	f.Foot.People = "median body of " + f.Foot.People
	f.Foot.Source += " Widths of the limbs are for the eye."
	return f, nil
}

// mostNext is how many measurements a chart of what to measure next shows.
const mostNext = 8

// nextFigure compares what measuring one more thing would leave open.
func nextFigure(a *wording.PersonAnswer, m *person.ModelResult, name string) chart.Amounts {
	q, _ := m.Quantity(m.Main)
	p := words.DemandOf(m.Main, m.Model)
	_, scale := wording.Output(m.Main.Unit)
	scale *= p.Scale
	text := func(w float64) string { return words.OneLine(wording.WidthText(m, w)) }
	today := q.All.Width()
	title := name + ": nothing left to measure would narrow the answer much"
	if text(m.Next[0].Width) != text(today) {
		title = fmt.Sprintf("%s: measuring %s would narrow the answer most, from %s to %s", name, strings.TrimPrefix(wording.GainName(m.Next[0]), "a "), text(today), text(m.Next[0].Width))
	}
	c := chart.Amounts{
		XLabel:    fmt.Sprintf("Width of the 5–95\u00a0%% range of %s that would be left (%s)", p.Noun, p.Unit),
		Reference: &chart.Amount{Label: "now", Value: today * scale, Text: text(today)},
		Foot:      personFoot(a, m, name, true),
	}
	if m.Floor > 0 {
		c.Floor = &chart.Amount{Label: "no tape would narrow this much", Value: m.Floor * scale, Text: text(m.Floor)}
		title += fmt.Sprintf("; no tape would narrow %s of it", text(m.Floor))
	}
	c.Title = words.NoBreak(title)
	for _, g := range m.Next[:min(mostNext, len(m.Next))] {
		c.Rows = append(c.Rows, chart.Amount{Label: strings.TrimPrefix(wording.GainName(g), "a "), Value: g.Width * scale, Text: text(g.Width)})
	}
	return c
}

// Overlays returns one chart for each hold and model under which two persons or
// more are drawn, their requirements on one another: as many as can be told
// apart. Names are what the persons are called in the charts.
func Overlays(answers []wording.PersonAnswer, names []string) []Figure {
	type kind struct {
		hold  *hold.Hold
		model hold.Model
	}
	var kinds []kind
	curves, of := map[kind][]chart.UncertainCurve{}, map[kind][]*wording.PersonAnswer{}
	for i := range answers {
		a := &answers[i]
		for k := range a.Models {
			m := &a.Models[k]
			if m.Curve == nil || len(m.Curve.Angle) < 2 || math.IsNaN(m.Curve.BestPeak) {
				continue
			}
			at := kind{a.Hold, m.Model}
			if !slices.Contains(kinds, at) {
				kinds = append(kinds, at)
			}
			name := names[i]
			if with := words.NoBreak(words.PostureUnder(a.Posture(), a.Person.Load)); with != "" {
				name += ", " + with
			}
			curves[at], of[at] = append(curves[at], curveOf(m, name)), append(of[at], a)
		}
	}
	var figures []Figure
	for _, at := range kinds {
		all, first := curves[at], of[at][0]
		if len(all) < 2 {
			continue
		}
		shown := all[:min(len(all), chart.MostCurves)]
		m := modelFor(first, at.model)
		axis, what, peak := curveWords(m)
		low, high := math.Inf(1), math.Inf(-1)
		for _, c := range shown {
			low, high = min(low, c.Best.Y), max(high, c.Best.Y)
		}
		who := fmt.Sprintf("%d people", len(shown))
		if len(shown) < len(all) {
			who = fmt.Sprintf("The first %d of %d people", len(shown), len(all))
		}
		foot := personFoot(first, m, "", true)
		foot.People = "medians of what is left open of each, the rest drawn from people of their sex in the survey"
		figures = append(figures, Figure{"together-" + at.hold.Name + "-" + at.model.String(), chart.UncertainRequirement{
			Title: words.NoBreak(fmt.Sprintf("%s, %s by %s: from %s to %s %s at the best angle", who, words.Within(at.hold.Title),
				at.model, strings.TrimSuffix(peak(low), "\u00a0BW"), peak(high), what)),
			XLabel: angleLabel, YLabel: axis, Curves: shown, Foot: foot,
		}})
	}
	return figures
}

func modelFor(a *wording.PersonAnswer, of hold.Model) *person.ModelResult {
	for i := range a.Models {
		if a.Models[i].Model == of {
			return &a.Models[i]
		}
	}
	return a.Primary()
}
