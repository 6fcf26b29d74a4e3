package chart

import (
	"bytes"
	"fmt"
	"math"
	"testing"

	"counterpoise/internal/draw"
	"counterpoise/internal/draw/drawtest"
)

// uncertainAlong is of an invented body on a pole, with what is open of it.
func uncertainAlong() Along {
	middle, low, high := flag("Ada", 0.63, 0.36, 0.42), flag("Ada", 0.63*1.07, 0.36, 0.42*0.93), flag("Ada", 0.63*0.93, 0.36, 0.42*1.07)
	r := Along{
		Title:  "Ada: the flag takes 0.93\u00a0BW along each arm, 0.87 to 0.99, at 45°",
		XLabel: "angle between arm and pole (degrees)",
		YLabel: "force along each arm (BW)",
		Spread: "nine in ten of what is not known",
		Curve:  Series{Name: "Ada", X: middle.X, Y: middle.Y, Low: low.Y, High: high.Y},
		Best:   middle.Best,
		Low:    40, High: 51,
		Foot: drawtest.Foot,
	}
	r.Best.Label = fmt.Sprintf("45° (40–51°), %.2f\u00a0BW (0.87–0.99)", r.Best.Y)
	return r
}

var personFigures = []draw.Named{
	{Name: "uncertain", Figure: uncertainAlong()},
}

// The text of a figure names every curve and amount with its value.
func TestPersonAltSaysTheNumbers(t *testing.T) {
	drawtest.AltSays(t, uncertainAlong(), "Best: 45° (40–51°)", "The band around the line: nine in ten of what is not known", "People: invented")
}

func TestPersonFiguresRefuse(t *testing.T) {
	curve := func(spoil func(*Along)) draw.Figure {
		return drawtest.Spoiled(uncertainAlong(), spoil)
	}
	for name, f := range map[string]draw.Figure{
		"no curve":          curve(func(r *Along) { r.Curve = Series{} }),
		"unnamed curve":     curve(func(r *Along) { r.Curve.Name = "" }),
		"NaN":               curve(func(r *Along) { r.Curve.Y[3] = math.NaN() }),
		"mark off the axis": curve(func(r *Along) { r.Best.X = 91 }),
		"low above high":    curve(func(r *Along) { c := &r.Curve; c.Low, c.High = c.High, c.Low }),
		"unnamed ribbon":    curve(func(r *Along) { r.Spread = "" }),
		"no axis":           curve(func(r *Along) { r.XLabel = "" }),
	} {
		drawtest.Refused(t, name, f, "")
	}
}

func TestPersonFiguresRepeatBytes(t *testing.T) {
	for _, f := range personFigures {
		a, b := drawtest.MustLayout(t, f.Figure, draw.Post, draw.Dark), drawtest.MustLayout(t, f.Figure, draw.Post, draw.Dark)
		title, _ := f.Figure.Heading()
		if !bytes.Equal(draw.EncodeSVG(a, title, "", "en"), draw.EncodeSVG(b, title, "", "en")) {
			t.Errorf("%s differs from time to time", f.Name)
		}
	}
}
