package chart

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"counterpoise/internal/golden"
)

// card is that of an invented athlete.
func card(name string) Card {
	return Card{
		Title: name + ": hands 120\u00a0cm (47\u00a0in) apart", Under: "Human flag. 164.0\u00a0cm, 56.0\u00a0kg, span 166.0\u00a0cm",
		Body: freeBody(), Marks: []string{"120\u00a0cm", "47\u00a0in"},
		Above: "How hard, in per cent of the full flag",
		Steps: []CardStep{{"tuck", 0.77, 0.63, 0.81}, {"straddle, each leg 45°", 0.94, 0.83, 0.95}, {"full", 1, 1, 1}},
		Tests: [][]string{
			{"Tests that would show it, as likely as not enough for", "tuck", "straddle", "full"},
			{"Arm on a scale, hand up, 135° from the trunk", "5.8\u00a0kg", "7.9\u00a0kg", "8.5\u00a0kg"}, {"One-arm wall handstand", "1\u00a0s", "1\u00a0s", "no result"},
		},
		Below: "Next step: all of the column of the tuck. On a scale the arm is straight, the scale square to it at the hand. Write results into a person’s file (tests:).",
		Says: []CardText{
			{"Worth trying:", "105 to 140\u00a0cm (41 to 54\u00a0in), middle to middle of the hands."},
			{"Gives out first:", "most likely shoulders (lifting the arm sideways), else shoulders (drawing the arm down to the side) or push along the arm."},
			{"Since the earlier table:", "mass −2.2\u00a0kg; hands 120\u00a0cm (was 125\u00a0cm); force 45\u00a0kg as before"},
			{"Careful:", strings.Repeat("Whoever is under 18 needs lower loads and more rest. ", 4)},
		},
		Foot: testFoot,
	}
}

func dots(n int) Dots {
	d := Dots{Title: "Human flag: hands 105 to 150\u00a0cm apart in this club", Key: "Dot: the middle of what is not known; line: nine in ten of it. Ring: by the earlier table.", Foot: testFoot}
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
	for _, c := range []Card{card("Ada"), card(longName), cannot} {
		for _, size := range []Size{Pocket, Page} {
			s := mustLayout(t, c, size, Light)
			checkTextApart(t, s)
			checkShapesOnCanvas(t, s)
			checkReadable(t, s)
		}
	}
	c := card("Ada")
	golden.Text(t, "chart/card-a6.svg", encodeSVG(mustLayout(t, c, Pocket, Light), c.Title, c.Alt(), "en"))
}

// The bars of a card and the marks beside its body are to scale.
func TestCardIsToScale(t *testing.T) {
	c := card("Ada")
	s := mustLayout(t, c, Pocket, Light)
	var bars []float64
	var marks, distance []point
	for _, item := range s.items {
		switch i := item.(type) {
		case *fill:
			if i.color == mix(Light.Background, Light.Before, 0.35) {
				bars = append(bars, i.points[1].x-i.points[0].x)
			}
		case *stroke:
			if i.color == Light.After && i.points[0].y == i.points[1].y {
				marks = append(marks, i.points[0])
			} else if i.color == Light.After {
				distance = i.points
			}
		}
	}
	if len(bars) != 3 || math.Abs(bars[0]/bars[2]-0.77) > 1e-9 || math.Abs(bars[1]/bars[2]-0.94) > 1e-9 {
		t.Errorf("bars %v", bars)
	}
	if len(marks) != 2 || len(distance) != 2 || marks[0].y != distance[0].y || marks[1].y != distance[1].y {
		t.Errorf("marks %v, between them %v", marks, distance)
	}
}

// A club that does not fit on a page is divided, on the same axes.
func TestDots(t *testing.T) {
	for _, n := range []int{1, 12, 90} {
		pages := Pages(dots(n), Page)
		rows, ends := 0, [2]float64{}
		for k, p := range pages {
			s := mustLayout(t, p, Page, Light)
			checkTextApart(t, s)
			checkShapesOnCanvas(t, s)
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
	d := dots(12)
	golden.Text(t, "chart/dots-a4.svg", encodeSVG(mustLayout(t, d, Page, Light), d.Title, d.Alt(), "en"))
	for name, f := range map[string]Figure{"nobody": Dots{Title: "None", Foot: testFoot}, "a dot is missing": Dots{Title: "None", Names: []string{"A"}, Panels: []DotPanel{{Label: "x"}}, Foot: testFoot}} {
		if err := Fits(f, Page, Light); err == nil {
			t.Errorf("%s: drawn", name)
		}
	}
}

// A booklet has a page for each figure, of its own size, and the same bytes each time.
func TestBooklet(t *testing.T) {
	leaves := []Leaf{{card("Ada"), Pocket}, {card("Bo"), Pocket}, {dots(3), Page}}
	one, err := Booklet("Cards", leaves, Light)
	if err != nil {
		t.Fatal(err)
	}
	if two, err := Booklet("Cards", leaves, Light); err != nil || !bytes.Equal(one, two) {
		t.Errorf("other bytes, %v", err)
	}
	if n := bytes.Count(one, []byte("/Type /Page\n")); n != 3 {
		t.Errorf("%d pages", n)
	}
	if _, err := Booklet("Cards", nil, Light); err == nil {
		t.Error("a booklet of nothing")
	}
	if _, err := Booklet("Cards", []Leaf{{card(strings.Repeat(longName, 9)), Pocket}}, Light); err == nil || !strings.Contains(err.Error(), longName) {
		t.Errorf("%v, want whose card it is", err)
	}
}
