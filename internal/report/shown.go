package report

import (
	"math"
	"strings"

	"counterpoise/internal/chart"
	"counterpoise/internal/outcome"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
)

// mediansOf holds up the middle body of every population of a claim before and after its
// change, in a typical draw under the first model.
func mediansOf(r *outcome.Result) ([]*claim.Medians, error) {
	list := make([]*claim.Medians, len(r.Claim.People))
	for g := range list {
		var err error
		if list[g], err = claim.MediansOf(r.Claim, g, 0, r.Typical(0, g)); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// middle names somebody in the middle of a population, with their size.
func middle(of scenario.Group, b *body.Columns) (string, error) {
	p := of.Own
	if p == nil {
		var err error
		if p, err = anthro.Load(of.Population); err != nil {
			return "", err
		}
	}
	return words.NoBreak("the middle " + words.UntrainedOf(p).One + ", " + sizeOf(b)), nil
}

func sizeOf(b *body.Columns) string {
	return words.Rough(b.Stature[0], units.Length, words.Metric) + ", " + words.Rough(b.Mass[0], units.Mass, words.Metric)
}

// bodiesBeforeAndAfter are the silhouettes of a middle body; none where it cannot take the
// posture before or after.
func bodiesBeforeAndAfter(r *outcome.Result, g int, m *claim.Medians) ([]chart.Silhouette, error) {
	if m.Before.Held == nil || m.After.Held == nil {
		return nil, nil
	}
	c := r.Claim
	who, err := middle(c.People[g], m.Before.Held.Body)
	if err != nil {
		return nil, err
	}
	next := c.Hold
	if c.Change.Hold != nil {
		next = c.Change.Hold
	}
	changed, was, instead := strings.Cut(ChangeSentence(c), " instead of ")
	switch {
	case c.Change.Hold != nil:
		changed, who = strings.TrimSuffix(changed, ","), who+", "+strings.TrimPrefix(was, "the ")
	case instead:
		who += ", " + was
	}
	before, err := silhouetteOf(m.Before.Held, c.Hold, who)
	if err != nil {
		return nil, err
	}
	after, err := silhouetteOf(m.After.Held, next, changed)
	return []chart.Silhouette{before, after}, err
}

// requirementFigure shows what the middle body of every population needs over how far
// apart its hands are, before and after, in a typical draw.
func requirementFigure(r *outcome.Result, medians []*claim.Medians) (f chart.RequirementCurve, err error) {
	c, m := r.Claim, &r.Models[0]
	low, high := math.Inf(1), 0.0
	var moves, people []string
	for g, of := range medians {
		if of.Before.Curve == nil || of.After.Curve == nil || len(of.Before.Curve.Spacing) < 2 || len(of.After.Curve.Spacing) < 2 {
			continue
		}
		weight := of.Before.Held.Body.Mass[0]
		axis := axisOf(of.Of, m.Model.Statics, c.People)
		if f.YLabel = axis.label; of.Of != hold.Difficulty {
			f.YLabel += "; the dots are where strength is used least"
		}
		panel := chart.RequirementPanel{}
		if panel.Name, err = middle(c.People[g], of.Before.Held.Body); err != nil {
			return f, err
		}
		panel.Name = words.Capital(panel.Name)
		if axis.weights {
			panel.Second = 1 / weight
		}
		scale := func(x float64) float64 {
			if axis.weights {
				return x * weight
			}
			return x
		}
		group := func(name string, k *claim.Curve) chart.Group {
			line := chart.Group{Name: name, Best: chart.Mark{X: 100 * k.BestSpacing, Y: scale(k.Best)}}
			line.Best.Label = words.NoBreak("hands " + words.Rough(k.BestSpacing, units.Length, words.Metric) + " apart, arms at " + words.Rough(k.BestAngle, units.Angle, words.Metric) + ": " + axis.write(scale(k.Best)))
			for i, x := range k.Spacing {
				if n := len(line.X); n == 0 || 100*x > line.X[n-1] {
					line.X, line.Y = append(line.X, 100*x), append(line.Y, scale(k.Demand[i]))
				}
			}
			low, high = math.Min(low, line.Best.Y), math.Max(high, line.Best.Y)
			return line
		}
		panel.Before, panel.After = group("before", of.Before.Curve), group("after", of.After.Curve)
		if panel.Bodies, err = bodiesBeforeAndAfter(r, g, of); err != nil {
			return f, err
		}
		panel.Bodies[0].Caption, panel.Bodies[1].Caption = "", "" // their lines are named
		f.Panels = append(f.Panels, panel)
		name := words.Sexes(c.People[g].Population)
		people = append(people, name)
		moves = append(moves, apartBy(rounded(of.After.Curve.BestSpacing)-rounded(of.Before.Curve.BestSpacing))+" for "+name)
	}
	if len(f.Panels) == 0 {
		return f, nil
	}
	f.Title = words.NoBreak(titled(r) + ": the hands go " + words.And(moves))
	f.XLabel = "Centimetres between the hands"
	f.YMin, f.YMax = 0, 1.25*high+0.1*low
	f.Foot = foot(r, peopleNames(r), m.Name)
	f.Foot.People, f.Foot.Assumptions = "the middle bodies of "+words.And(people), "of a typical draw"
	return f, nil
}

// rounded is a length to the centimetre, as labels have it, so that titles agree with them.
func rounded(metres float64) float64 { return math.Round(100*metres) / 100 }

// apartBy says how much farther apart or closer hands go.
func apartBy(metres float64) string {
	size := words.Rough(math.Abs(metres), units.Length, words.Metric)
	if size == words.Rough(0, units.Length, words.Metric) {
		return "where they were"
	}
	return size + " " + words.Way(metres, "further apart", "closer together")
}

// A demandAxis is an axis of what a hold asks of a body.
type demandAxis struct {
	label   string
	weights bool    // in kilograms, of a body whose mass is known
	scale   float64 // from the library's unit, but for weights
	write   func(float64) string
}

// axisOf is how a demand of bodies is drawn.
func axisOf(d hold.Demand, m hold.Model, people []scenario.Group) demandAxis {
	w := words.DemandOf(d, m)
	if d == hold.Difficulty {
		return demandAxis{label: "Times the strength of an untrained " + untrainedAmong(people), scale: 1, write: func(x float64) string { return words.OneLine(words.Times(x) + " times") }}
	}
	noun := words.Capital(strings.TrimPrefix(words.PlainNoun(d), "the "))
	_, _, factor := outcome.Shown(d.Unit)
	switch d.Unit {
	case "BW":
		return demandAxis{label: noun + " (kg; on the right in multiples of body weight)", weights: true, scale: 1, write: func(kg float64) string {
			return words.NoBreak(words.WithUnit(words.Number(kg, 0), "kg"))
		}}
	}
	return demandAxis{label: noun + " (" + w.Unit + ")", scale: factor * w.Scale, write: func(x float64) string { return words.OneLine(w.Number(x / w.Scale)) }}
}

// untrainedAmong is what those of several populations are.
func untrainedAmong(people []scenario.Group) string {
	var list []*anthro.Population
	for _, g := range people {
		p := g.Own
		if p == nil {
			p, _ = anthro.Load(g.Population) // a claim that was tested has people
		}
		list = append(list, p)
	}
	return words.UntrainedAmong(list)
}
