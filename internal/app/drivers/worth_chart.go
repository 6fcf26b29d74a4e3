package drivers

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/chart"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario/scores"
)

// A chart of what one unit is worth sets so many bodies side by side, and shows so many
// rows.
const (
	mostBodies = 3
	mostWorth  = 8
)

// worthFigures are the charts of what one unit is worth, for each model the bodies of all
// parts.
func worthFigures(d *Drivers) []chart.Named {
	var figures []chart.Named
	var models []string
	of := map[string][]*DriversPart{}
	for i := range d.Parts {
		if p := &d.Parts[i]; p.Worth != nil {
			models = names.Once(models, p.Models[0].String())
			of[p.Models[0].String()] = append(of[p.Models[0].String()], p)
		}
	}
	for _, model := range models {
		k := 0
		for parts := range slices.Chunk(of[model], mostBodies) {
			name := "worth-" + chart.FileName(model)
			if k++; k > 1 {
				name += fmt.Sprintf("-%d", k)
			}
			figures = append(figures, chart.Named{Name: name, Figure: worthFigure(d, parts)})
		}
	}
	return figures
}

// worthFigure shows what one unit is worth to bodies, what matters most first.
func worthFigure(d *Drivers, parts []*DriversPart) chart.Dots {
	ways := words.SizesOf(d.Of, parts[0].Models[0].Statics)
	rows := slices.DeleteFunc(slices.Clone(parts[0].Worth.Rows), func(r scores.Worth) bool { return r.Name == "hand_spacing" })
	at := func(p *DriversPart, name string) *scores.Worth {
		k := slices.IndexFunc(p.Worth.Rows, func(r scores.Worth) bool { return r.Name == name })
		if k < 0 {
			return &scores.Worth{Name: name}
		}
		return &p.Worth.Rows[k]
	}
	most := func(name string) float64 {
		x := 0.0
		for _, p := range parts {
			x = max(x, math.Abs(worthPlace(at(p, name))))
		}
		return x
	}
	slices.SortStableFunc(rows, func(a, b scores.Worth) int { return cmp.Compare(most(b.Name), most(a.Name)) })
	for i := len(rows) - 1; len(rows) > mostWorth; i-- {
		if !slices.Contains(toldWorth, rows[i].Name) {
			rows = slices.Delete(rows, i, i+1)
		}
	}
	f := chart.Dots{
		Axis: "Change of " + strings.TrimPrefix(words.PlainNoun(d.Of), "the ") + " (%)", Less: ways.Less, More: ways.More,
		Key:  "Dot: in the middle of what nobody has measured; line: nine in ten of it. Nothing else of the body changes; hands go where it then does best.",
		Foot: d.foot(parts[0].Model(), len(parts), parts...),
	}
	var whose []string
	for _, p := range parts {
		whose = append(whose, p.averageBody())
		panel := chart.DotPanel{Label: fmt.Sprintf("%s (%s, %s)", words.Capital(p.averageBody()), words.Rough(p.Worth.Stature, units.Length, words.Metric), words.Rough(p.Worth.Mass, units.Mass, words.Metric))}
		panel.Label = words.NoBreak(panel.Label)
		for i := range rows {
			row := at(p, rows[i].Name)
			x := worthPlace(row)
			panel.Dots = append(panel.Dots, chart.Dot{Value: x, Low: min(row.Low, row.High), High: max(row.Low, row.High), Before: math.NaN(), Text: words.OneLine(ways.Plainly(x, 1)),
				Range: words.NoBreak(words.Interval(words.SignedEffect(row.Low), words.SignedEffect(row.High)))})
		}
		f.Panels = append(f.Panels, panel)
	}
	for i := range rows {
		f.Names = append(f.Names, words.NoBreak(worthOfWhat(&rows[i], parts[0].Worth.Working)))
	}
	f.Title = worthTitle(d, parts, rows, at, &ways)
	f.Foot.People = "the medians of " + f.Foot.People
	if parts[0].Person != "" {
		f.Foot.People = words.And(whose) + ", the rest as in similar people"
	}
	return f
}

// averageBody names the body that a part is about.
func (p *DriversPart) averageBody() string {
	if p.Person != "" {
		return p.Person
	}
	return "an average " + words.UntrainedOf(p.population()).One
}

// worthTitle says what matters most, and whether arms do, of which most is said.
func worthTitle(d *Drivers, parts []*DriversPart, rows []scores.Worth, at func(*DriversPart, string) *scores.Worth, ways *words.Sizes) string {
	places := func(name string) (list []float64) {
		for _, p := range parts {
			list = append(list, worthPlace(at(p, name)))
		}
		return list
	}
	first := places(rows[0].Name)
	what, _, _ := strings.Cut(worthOfWhat(&rows[0], parts[0].Worth.Working), ",")
	way := words.Way(first[0], ways.More, ways.Less)
	for i, x := range first {
		first[i] = math.Abs(x)
	}
	size := words.Over(first, func(x float64) string {
		return words.Percent(x/100, map[bool]int{true: 0, false: 1}[x >= 1.5])
	})
	text := fmt.Sprintf("%s makes the %s %s %s", what, d.holdWords(), size, way)
	if d.Of != hold.Difficulty {
		text = fmt.Sprintf("%s makes the %s %s %s", what, d.subject(), size, way)
	}
	if arms := places("arm_length"); rows[0].Name != "arm_length" && !slices.ContainsFunc(arms, func(x float64) bool { return math.Abs(x) >= 0.5 }) {
		text += "; 1\u00a0cm of arm changes " + map[bool]string{true: "next to nothing", false: "nothing"}[slices.ContainsFunc(arms, func(x float64) bool { return math.Abs(x) >= 0.05 })]
	}
	return words.NoBreak(words.Capital(text))
}
