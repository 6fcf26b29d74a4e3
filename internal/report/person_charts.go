package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/chart"
	"counterpoise/internal/units"
	"counterpoise/internal/wording"
	"counterpoise/sim/assume"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
)

// PersonFigures returns the charts of one person: under every model the
// requirement over the arm angle with what is left open around it, the hold
// drawn to scale, and what to measure next. A chart that would show nothing is
// left out. Name is what the person is called in the charts.
func PersonFigures(a *wording.PersonAnswer, name string, s units.System) ([]Figure, error) {
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
		if known += ", " + strings.ReplaceAll(k.Of.String(), "_", " "); len(a.Conditioned.Known) <= 4 {
			known += " " + wording.KnownText(k, units.Metric)
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
		People: fmt.Sprintf("%s (%s), the rest drawn from %s", name, known, a.Conditioned.Population.Name), N: a.Options.Draws,
		Model:       fmt.Sprintf("%s, %s regional masses, %s segments", m.Model, a.Options.Masses, a.Options.Segments),
		Assumptions: assumptions,
		Source:      "counterpoise; people of the 2012 US Army survey (Gordon et al. 2014). " + NotValidated,
	}
}

// curveWords name what a requirement curve shows.
func curveWords(m *person.ModelResult) (axis, unit, what string) {
	if m.Model == hold.Equilibrium {
		return "Share of capacity used", "", "of the assumed capacity"
	}
	return "Force along each arm (BW)", "\u00a0BW", "along each arm"
}

func curveOf(m *person.ModelResult, name string) chart.UncertainCurve {
	c := m.Curve
	degrees := make([]float64, len(c.Angle))
	for i, angle := range c.Angle {
		degrees[i] = angle * 180 / math.Pi
	}
	_, unit, _ := curveWords(m)
	best := c.BestAngle * 180 / math.Pi
	return chart.UncertainCurve{
		Name: name, X: degrees, Y: c.Peak,
		Best: chart.Mark{X: min(max(best, degrees[0]), degrees[len(degrees)-1]), Y: c.BestPeak, Label: fmt.Sprintf("%.0f°, %.2f%s", best, c.BestPeak, unit)},
	}
}

const angleLabel = "Angle of the arms with the pole (degrees)"

// personCurve is the requirement of one person, with the ribbon of what is left
// open.
func personCurve(a *wording.PersonAnswer, m *person.ModelResult, name string) chart.UncertainRequirement {
	axis, unit, what := curveWords(m)
	curve := curveOf(m, name)
	curve.Low, curve.High = m.Curve.AllLow, m.Curve.AllHigh
	return chart.UncertainRequirement{
		Title:  noBreak(fmt.Sprintf("%s, %s: least at %.0f°, with %.2f%s %s", name, a.HoldWords(), m.Curve.BestAngle*180/math.Pi, m.Curve.BestPeak, unit, what)),
		XLabel: angleLabel, YLabel: axis,
		Ribbon: "5–95\u00a0% of what is left open",
		Curves: []chart.UncertainCurve{curve},
		Foot:   personFoot(a, m, name, true),
	}
}

// personFreeBody is the hold of the person's median body, to scale.
func personFreeBody(a *wording.PersonAnswer, m *person.ModelResult, name string, s units.System) (chart.FreeBody, error) {
	f, err := FreeBodyOf(&HeldBody{
		Hold: a.Hold, Model: m.Model, Posture: hold.Posture{Legs: a.Person.Legs, Pose: a.Person.Pose, Tilt: a.Person.Tilt},
		Who: name, People: name, N: a.Options.Draws,
		Body: m.Median.Body, Result: m.Median.Held, Figure: m.Median.Figure, Solution: m.Median.Solution,
		Defaults: a.Options.Assumptions.Centre == assume.Defaults(),
	})
	if err != nil {
		return f, err
	}
	f.Title = name + ", " + wording.WithinSentence(f.Title)
	if held, angle := m.Median.Held.Value[hold.HandSpacing], m.Median.Held.Value[hold.ArmAngle]; len(held) > 0 && len(angle) > 0 {
		f.Title = noBreak(fmt.Sprintf("%s, %s: hands %s apart, arms %s from the pole, %.2f BW along the harder-working one", name, a.HoldWords(),
			wording.TapeRound(s)(held[0]), wording.WholeDegrees(angle[0]), m.Median.Held.Value[hold.RequiredForce][0]))
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
	p := phraseOf(m.Main, m.Model)
	unit, scale, decimals := strings.TrimSpace(p.unit), p.scale, p.decimals
	if m.Main.Unit == "rad" {
		scale = 180 / math.Pi
	}
	text := func(w float64) string {
		return strings.TrimSpace(fmt.Sprintf("%.*f\u00a0%s", decimals, w*scale, unit))
	}
	c := chart.Amounts{
		Title: noBreak(fmt.Sprintf("%s: measuring %s would narrow the answer most, from %s to %s", name, strings.TrimPrefix(wording.GainName(m.Next[0]), "a "),
			text(q.Body.Width()), text(m.Next[0].Width))),
		XLabel:    fmt.Sprintf("Width of the 5–95\u00a0%% range of %s that would be left (%s)", p.noun, unit),
		Reference: &chart.Amount{Label: "now", Value: q.Body.Width() * scale, Text: text(q.Body.Width())},
		Foot:      personFoot(a, m, name, false),
	}
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
			if with := noBreak(a.PostureWords()); with != "" {
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
		axis, unit, what := curveWords(m)
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
			Title: noBreak(fmt.Sprintf("%s, %s by %s: from %.2f to %.2f%s %s at the best angle", who, wording.WithinSentence(at.hold.Title),
				at.model, low, high, unit, what)),
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
