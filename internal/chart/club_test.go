package chart

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"counterpoise/internal/draw"
	"counterpoise/internal/draw/drawtest"
	"counterpoise/internal/golden"
)

// card is that of an invented athlete.
func card(name string) Card {
	return Card{
		Title: name + ": hands 120\u00a0cm (47\u00a0in) apart", Under: "Human flag. 164.0\u00a0cm, 56.0\u00a0kg, span 166.0\u00a0cm",
		Body: held(), Marks: []string{"120\u00a0cm", "47\u00a0in"},
		Above: "How hard, in per cent of the full flag",
		Steps: []CardStep{{"tuck", 0.77, 0.63, 0.81}, {"straddle, each leg 45°", 0.94, 0.83, 0.95}, {"full", 1, 1, 1}},
		Tests: [][]string{
			{"Tests of one muscle, even odds for", "tuck", "straddle", "full"},
			{"Arm on a scale, 135° from the trunk, force up", "5.8\u00a0kg", "7.9\u00a0kg", "8.5\u00a0kg"}, {"One-arm wall handstand", "1\u00a0s", "1\u00a0s", "no result"},
		},
		Below: "Next step: the whole column of the tuck. On a scale the arm is straight, the scale square to it at the hand.",
		Says: []CardText{
			{"Worth trying:", "105 to 140\u00a0cm (41 to 54\u00a0in), middle to middle of the hands."},
			{"Gives out first:", "most likely shoulders (lifting the arm sideways), else shoulders (drawing the arm down to the side) or push along the arm."},
			{"Since last time:", "mass −2.2\u00a0kg; hands 120\u00a0cm (was 125\u00a0cm); force 45\u00a0kg as before"},
			{"Careful:", strings.Repeat("Whoever is under 18 needs lower loads and more rest. ", 4)},
		},
		Foot: drawtest.Foot,
	}
}

func dots(n int) Dots {
	d := Dots{Title: "Human flag: hands 105 to 150\u00a0cm apart in this club", Key: "Dot: best estimate. Line: likely range (9 in 10). Ring: last time, where it clears the dot.", Foot: drawtest.Foot}
	panels := []DotPanel{{Label: "Hands apart (cm)"}, {Label: "Harder-working arm (kg)"}, {Label: "Times an untrained person’s strength"}}
	for i := range n {
		d.Names = append(d.Names, fmt.Sprintf("Athlete %d", i+1))
		for k := range panels {
			x := []float64{120, 50, 1.4}[k] * (1 + 0.2*math.Sin(float64(5*i+k)))
			dot := Dot{Value: x, Low: 0.9 * x, High: 1.2 * x, Before: math.NaN(), Text: fmt.Sprintf("%.1f", x)}
			if i == 1 {
				dot.Before = 0.95 * x
			}
			if i == 2 {
				dot = Dot{Value: math.NaN(), Before: math.NaN()}
			}
			panels[k].Dots = append(panels[k].Dots, dot)
		}
	}
	d.Panels = panels
	return d
}

// Cards fit on both sizes, whatever people are called.
func TestCards(t *testing.T) {
	cannot := card("Nobody")
	cannot.Narrow, cannot.Steps, cannot.Tests = true, nil, nil
	for _, c := range []Card{card("Ada"), card(drawtest.LongName), cannot} {
		for _, size := range []draw.Size{Pocket, Page} {
			s := drawtest.MustLayout(t, c, size, draw.Light)
			drawtest.CheckTextApart(t, s)
			drawtest.CheckShapesOnCanvas(t, s)
			drawtest.CheckReadable(t, s)
		}
	}
	c := card("Ada")
	golden.Text(t, "chart/card-a6.svg", draw.EncodeSVG(drawtest.MustLayout(t, c, Pocket, draw.Light), c.Title, c.Alt(), "en"))
}

// The bars of a card and the marks beside its body are to scale.
func TestCardIsToScale(t *testing.T) {
	c := card("Ada")
	s := drawtest.MustLayout(t, c, Pocket, draw.Light)
	var bars []float64
	var marks, distance []draw.Point
	for _, item := range s.Items {
		switch i := item.(type) {
		case *draw.Fill:
			if i.Color == draw.Mix(draw.Light.Background, draw.Light.Before, 0.35) {
				bars = append(bars, i.Points[1].X-i.Points[0].X)
			}
		case *draw.Stroke:
			if i.Color == draw.Light.After && i.Points[0].Y == i.Points[1].Y {
				marks = append(marks, i.Points[0])
			} else if i.Color == draw.Light.After {
				distance = i.Points
			}
		}
	}
	if len(bars) != 3 || math.Abs(bars[0]/bars[2]-0.77) > 1e-9 || math.Abs(bars[1]/bars[2]-0.94) > 1e-9 {
		t.Errorf("bars %v", bars)
	}
	if len(marks) != 2 || len(distance) != 2 || marks[0].Y != distance[0].Y || marks[1].Y != distance[1].Y {
		t.Errorf("marks %v, between them %v", marks, distance)
	}
}

// A club that does not fit on a page is divided, on the same axes.
func TestDots(t *testing.T) {
	for _, n := range []int{1, 12, 90} {
		pages := draw.Pages(dots(n), Page)
		rows, ends := 0, [2]float64{}
		for k, p := range pages {
			s := drawtest.MustLayout(t, p, Page, draw.Light)
			drawtest.CheckTextApart(t, s)
			drawtest.CheckShapesOnCanvas(t, s)
			d := p.(Dots)
			rows += len(d.Names)
			low, high := d.ends(0)
			if k > 0 && ends != [2]float64{low, high} {
				t.Errorf("page %d has another axis", k+1)
			}
			ends = [2]float64{low, high}
		}
		if rows != n || (len(pages) > 1) != (n == 90) {
			t.Errorf("%d persons: %d rows on %d pages", n, rows, len(pages))
		}
	}
	none := dots(90)
	none.Names[80] = strings.Repeat("W", 20000)
	if pages := draw.Pages(none, Page); len(pages) != 1 {
		t.Errorf("%d pages, one of which cannot be drawn", len(pages))
	}
	d := dots(12)
	golden.Text(t, "chart/dots-a4.svg", draw.EncodeSVG(drawtest.MustLayout(t, d, Page, draw.Light), d.Title, d.Alt(), "en"))
	for name, f := range map[string]draw.Figure{"nobody": Dots{Title: "None", Foot: drawtest.Foot}, "a dot is missing": Dots{Title: "None", Names: []string{"A"}, Panels: []DotPanel{{Label: "x"}}, Foot: drawtest.Foot}} {
		if err := draw.Fits(f, Page, draw.Light); err == nil {
			t.Errorf("%s: drawn", name)
		}
	}
}

// A booklet has a page for each figure, of its own size, and the same bytes each time.
func TestBooklet(t *testing.T) {
	leaves := []draw.Leaf{{Figure: card("Ada"), Size: Pocket}, {Figure: card("Bo"), Size: Pocket}, {Figure: dots(3), Size: Page}}
	one, err := draw.Booklet("Cards", leaves, draw.Light)
	if err != nil {
		t.Fatal(err)
	}
	if two, err := draw.Booklet("Cards", leaves, draw.Light); err != nil || !bytes.Equal(one, two) {
		t.Errorf("other bytes, %v", err)
	}
	if n := bytes.Count(one, []byte("/Type /Page\n")); n != 3 {
		t.Errorf("%d pages", n)
	}
	if _, err := draw.Booklet("Cards", nil, draw.Light); err == nil {
		t.Error("a booklet of nothing")
	}
	if _, err := draw.Booklet("Cards", []draw.Leaf{{Figure: card(strings.Repeat(drawtest.LongName, 9)), Size: Pocket}}, draw.Light); err == nil || !strings.Contains(err.Error(), drawtest.LongName) {
		t.Errorf("%v, want whose card it is", err)
	}
}
