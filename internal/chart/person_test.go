package chart

import (
	"bytes"
	"fmt"
	"math"
	"testing"
)

// uncertainRequirement is of an invented body on a pole, with what is open of it.
func uncertainRequirement() UncertainRequirement {
	middle, low, high := flag("Ada", 0.63, 0.36, 0.42), flag("Ada", 0.63*1.07, 0.36, 0.42*0.93), flag("Ada", 0.63*0.93, 0.36, 0.42*1.07)
	r := UncertainRequirement{
		Title:  "Ada: the flag takes 0.93\u00a0BW along each arm, 0.87 to 0.99, at 45°",
		XLabel: "angle between arm and pole (degrees)",
		YLabel: "force along each arm (BW)",
		Ribbon: "5–95\u00a0% of what is not known",
		Curve:  Series{Name: "Ada", X: middle.Envelope.X, Y: middle.Envelope.Y, Low: low.Envelope.Y, High: high.Envelope.Y},
		Best:   middle.Best,
		Foot:   testFoot,
	}
	r.Best.Label = fmt.Sprintf("45° (40–51°), %.2f\u00a0BW (0.87–0.99)", r.Best.Y)
	return r
}

func amounts() Amounts {
	text := func(v float64) string { return fmt.Sprintf("%.3f\u00a0BW", v) }
	a := Amounts{
		Title:  "A tape around the waist would narrow the answer most, from 0.121 to 0.083\u00a0BW",
		XLabel: "width of the 5–95\u00a0% interval that would be left (BW)",
		Foot:   testFoot,
	}
	for i, label := range []string{"waist circumference", "body-composition scan (arms, trunk, legs, head)", "acromial height", "biacromial breadth", "trochanterion height", "upper arm length", "forearm length"} {
		v := 0.083 + 0.005*float64(i)
		a.Rows = append(a.Rows, Amount{label, v, text(v)})
	}
	a.Reference = &Amount{"as it is now", 0.121, text(0.121)}
	return a
}

var personFigures = []namedFigure{
	{"uncertain", uncertainRequirement()},
	{"amounts", amounts()},
}

// Bars are as long as their values.
func TestAmountsAreToScale(t *testing.T) {
	a := amounts()
	s := mustLayout(t, a, Slide, Light)
	var lengths []float64
	for _, item := range s.items {
		if f, ok := item.(*fill); ok && len(f.points) == 4 {
			lengths = append(lengths, f.points[1].x-f.points[0].x)
		}
	}
	if len(lengths) != len(a.Rows) {
		t.Fatalf("%d bars for %d rows", len(lengths), len(a.Rows))
	}
	for i, r := range a.Rows {
		if got, want := lengths[i]/lengths[0], r.Value/a.Rows[0].Value; math.Abs(got-want) > 1e-9 {
			t.Errorf("the bar of %s is %.4f times the first, want %.4f", r.Label, got, want)
		}
	}
}

// What all amounts have in them has the same length in every bar, and what is taken away
// ends where all were.
func TestAmountsHaveAFloor(t *testing.T) {
	a := amounts()
	a.Floor = &Amount{"no tape", 0.061, "0.061\u00a0BW"}
	s := mustLayout(t, a, Slide, Light)
	var parts []*fill
	for _, item := range s.items {
		if f, ok := item.(*fill); ok && len(f.points) == 4 {
			parts = append(parts, f)
		}
	}
	const key = 3
	if parts = parts[key:]; len(parts) != 3*len(a.Rows) {
		t.Fatalf("%d parts of %d bars", len(parts), len(a.Rows))
	}
	length := func(f *fill) float64 { return f.points[1].x - f.points[0].x }
	for i, r := range a.Rows {
		floor, left, gone := parts[3*i], parts[3*i+1], parts[3*i+2]
		per := length(floor) / a.Floor.Value
		for _, c := range []struct{ got, want float64 }{{length(left), r.Value - a.Floor.Value}, {length(gone), a.Reference.Value - r.Value}} {
			if math.Abs(c.got-per*c.want) > 1e-9 {
				t.Errorf("the bar of %s: a part is %v long, want %v", r.Label, c.got, per*c.want)
			}
		}
		if floor.points[1].x != left.points[0].x || left.points[1].x != gone.points[0].x {
			t.Errorf("the bar of %s has gaps", r.Label)
		}
	}
	altSays(t, a, "no tape: 0.061\u00a0BW", "waist circumference: 0.083\u00a0BW")
}

// The text of a figure names every curve and amount with its value.
func TestPersonAltSaysTheNumbers(t *testing.T) {
	altSays(t, uncertainRequirement(), "Ada: best at 45° (40–51°)", "A ribbon around the line shows 5–95\u00a0% of what is not known", "People: invented")
	altSays(t, amounts(), "as it is now: 0.121\u00a0BW", "waist circumference: 0.083\u00a0BW", "forearm length: 0.113\u00a0BW")
}

func TestPersonFiguresRefuse(t *testing.T) {
	curve := func(spoil func(*UncertainRequirement)) Figure {
		return spoiled(uncertainRequirement(), spoil)
	}
	bars := func(spoil func(*Amounts)) Figure { return spoiled(amounts(), spoil) }
	for name, f := range map[string]Figure{
		"no curve":            curve(func(r *UncertainRequirement) { r.Curve = Series{} }),
		"unnamed curve":       curve(func(r *UncertainRequirement) { r.Curve.Name = "" }),
		"NaN":                 curve(func(r *UncertainRequirement) { r.Curve.Y[3] = math.NaN() }),
		"mark off the axis":   curve(func(r *UncertainRequirement) { r.Best.X = 91 }),
		"low above high":      curve(func(r *UncertainRequirement) { c := &r.Curve; c.Low, c.High = c.High, c.Low }),
		"unnamed ribbon":      curve(func(r *UncertainRequirement) { r.Ribbon = "" }),
		"no axis":             curve(func(r *UncertainRequirement) { r.XLabel = "" }),
		"no rows":             bars(func(a *Amounts) { a.Rows = nil }),
		"negative amount":     bars(func(a *Amounts) { a.Rows[2].Value = -0.1 }),
		"infinite amount":     bars(func(a *Amounts) { a.Rows[2].Value = math.Inf(1) }),
		"unlabelled amount":   bars(func(a *Amounts) { a.Rows[2].Label = "" }),
		"less than all have":  bars(func(a *Amounts) { a.Floor = &Amount{"no tape", 0.1, "0.100"} }),
		"reference of no use": bars(func(a *Amounts) { a.Reference.Text = "" }),
	} {
		refused(t, name, f, "")
	}
}

func TestPersonFiguresRepeatBytes(t *testing.T) {
	for _, f := range personFigures {
		a, b := mustLayout(t, f.figure, Post, Dark), mustLayout(t, f.figure, Post, Dark)
		title, _ := f.figure.heading()
		if !bytes.Equal(encodeSVG(a, title, ""), encodeSVG(b, title, "")) {
			t.Errorf("%s differs from time to time", f.name)
		}
	}
}
