package chart

import (
	"fmt"
	"image/color"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
)

// Awkward content of a kind that a user can come to: long names, many of everything,
// ends without an end, nothing at all.

const (
	longName     = "Maximiliane-Theodora Freifrau von und zu Hohenlöwenstein-Wertheimbach, second visit"
	longWord     = "Donaudampfschifffahrtsgesellschaftskapitänskajütenschlüssel"
	longSentence = "Whoever has arms that are longer than those of others of the same height, and also carries more of the weight on the legs than on the trunk, finds every static hold on a pole or on rings a great deal harder than anybody else does, whatever the coach may say about it, and above all in the first two years."
	longModel    = "equilibrium, residual regional masses, dumas-2007"
)

func awkwardFigures() []namedFigure {
	longFoot := testFoot
	longFoot.People = "ansur2-men and ansur2-women, Turnverein Oberbayern resampled, bmi 18.5..27, span/stature 1.00.., stature 168 cm, mass 60 kg"
	longFoot.Model = longModel

	curve := requirementCurve()
	curve.Title, curve.Foot = "Two-condition: the median body of "+longWord+" goes from 0.98 to 0.95\u00a0BW in force over strength", longFoot
	curve.Panels[0].Name = longName
	curve.Panels[0].After.Name = "after: +2.5\u00a0kg upper body, legs advanced-tuck, hands raised 45\u00a0cm, shoulders +3\u00a0cm"
	same := requirementCurve()
	same.Panels[0].After = same.Panels[0].Before
	same.Panels[0].After.Name = "after"
	four := pairOfCurves()
	four.Panels = append(four.Panels, four.Panels...)

	many := effectDistribution()
	many.Title, many.Foot, many.Panels = "“"+longSentence+"”: depends on the model", longFoot, nil
	for i := range 8 {
		many.Panels = append(many.Panels, normalBins(fmt.Sprintf("%s %d: depends on the assumptions; under 1\u00a0%% can hold it no longer", longModel, i+1), -0.03+0.01*float64(i), 0.004*float64(i+1)))
	}
	wide := effectDistribution()
	wide.Unit, wide.TooSmall = "BW·m", 0.0125
	wide.Panels = []EffectPanel{normalBins("Equilibrium", -61.25, 40), exactlyNone().Panels[0]}
	bodies := oneEffect()
	bodies.Bodies[0].Caption, bodies.Bodies[1].Caption = longName, longSentence[:160]
	bodies.Title, bodies.Foot = "Human flag, "+longSentence[:110]+": not settled, −0.2 to +1.5\u00a0%, never noticeably easier", longFoot
	bodies.XLabel = "Change of the force along the harder-working arm, over what it was before (percent of the baseline)"
	groupsOf := twoGroups()
	groupsOf.Bottom.Says, groupsOf.Top.Says = "those with a waist for their stature of 0.40 to 0.45: 1.30 times", "those with a waist for their stature of 0.55 to 0.65: 1.40 times"
	groupsOf.Bodies[0].Caption, groupsOf.PairsSay, groupsOf.Foot = groupsOf.Bottom.Says, "in 0 to 100 of 100 pairs it is harder for the one with a waist for their stature of 0.55 to 0.65", longFoot
	groupsOf.Pairs = [2]float64{0, 100}
	alike := twoGroups()
	alike.Top.Density, alike.Top.Median, alike.Bodies = alike.Bottom.Density, alike.Bottom.Median, nil
	word := exactlyNone()
	word.Title = "“" + longWord + longWord + "”: exactly no effect"

	crowd := overview()
	crowd.Foot = longFoot
	whom := slices.Repeat(crowd.Rows[0].Whom, 2)
	for i := range crowd.Rows {
		crowd.Rows[i].Label, crowd.Rows[i].Whom = longSentence[:60+60*i], whom
	}
	crowd.People = slices.Repeat(crowd.People, 2)
	crowd.Rows[3].Label, crowd.Rows[3].Verdict.Word = longWord, "depends on the assumptions"
	groups := overview()
	for k := range 12 {
		row := groups.Rows[1]
		row.Group = fmt.Sprintf("Hold number %d", k)
		groups.Rows = append(groups.Rows, row)
	}

	one := uncertainAlong()
	one.Title, one.Curve.Name, one.Foot = longName+", human flag: least at 45°, with 0.93\u00a0BW along each arm", longName, longFoot
	flat := alongArms()
	half := slices.Repeat([]float64{0.5}, len(flat.Curve.X))
	flat.Curve.Y, flat.Curve.Low, flat.Curve.High, flat.Alone = half, half, half, half

	bars := shareBars()
	for i := range bars.Rows {
		bars.Rows[i].Label = fmt.Sprintf("assumptions: share of the upper arm's length that somebody measured otherwise (%d)", i)
	}
	zero := shareBars()
	for i := range zero.Rows {
		zero.Rows[i].Value, zero.Rows[i].Low, zero.Rows[i].High = 0, 0, 0
	}

	plane := screened()
	for i := range plane.Rows {
		plane.Rows[i].Label = strings.Repeat("trochanterion height for size ", 2)
	}

	lines := severalFigure()
	for len(lines.Series) < MostCurves {
		lines.Series = append(lines.Series, lines.Series[len(lines.Series)-1])
	}
	for i := range lines.Series {
		lines.Series[i].Name = longName
	}
	flatLine := linesFigure()
	flatLine.Series[0].Low, flatLine.Series[0].High, flatLine.Spread = nil, nil, ""
	flatLine.Series[0].Y = slices.Repeat([]float64{0}, len(flatLine.Series[0].Y))
	choice := namesFigure()
	choice.XNames, choice.Series = nil, choice.Series[:1]
	choice.Series[0] = Series{}
	for i := range 12 {
		choice.XNames = append(choice.XNames, fmt.Sprintf("straddle %d degrees with bent arms", 10*i))
		choice.Series[0].X, choice.Series[0].Y = append(choice.Series[0].X, float64(i)), append(choice.Series[0].Y, 0.3+0.01*float64(i))
	}
	cells := heatFigure(12, 30)
	cells.X = Axis{Label: "Legs", Names: choice.XNames}
	cells.Y.Numbers = nil
	for i := range 30 {
		cells.Y.Names = append(cells.Y.Names, fmt.Sprintf("%s %d", longName[:24], i))
	}
	far := heatFigure(5, 5)
	far.Title = "The median " + longWord + " runs from 0.90 to 0.97\u00a0BW; " + longSentence[:120]

	held := freeBody()
	held.Title, held.Foot = longName+", human flag: hands 111\u00a0cm apart, arms 58° from the pole, 1.04\u00a0BW along the harder-working one", longFoot
	held.Foot.Source += " Widths of the limbs are for the eye."

	return []namedFigure{
		{"free body of a long name", held}, {"free body", freeBody()},
		{"curve of long names", curve}, {"curve that nothing changes", same}, {"effect of eight models", many}, {"effect far out", wide}, {"effect beside long captions", bodies}, {"groups of long names", groupsOf}, {"groups that are alike", alike}, {"curves of four", four}, {"effect of a long word", word},
		{"overview of eight kinds of people", crowd}, {"overview of twelve groups", groups},
		{"requirement of a long name", one}, {"along nothing", flat},
		{"shares of long names", bars}, {"shares of nothing", zero}, {"screening of twins", plane},
		{"lines of long names", lines}, {"flat line", flatLine}, {"lines over twelve names", choice}, {"cells of many names", cells}, {"cells of a long title", far},
	}
}

// Whatever a user can come to is drawn at every size and in every theme, if need be
// divided: in type that can be read, all of it on the canvas, no text over text or
// under what is drawn.
func TestAwkwardFigures(t *testing.T) {
	all := awkwardFigures()
	for _, list := range [][]namedFigure{testFigures, personFigures, sweepFigures, driversFigures} {
		all = append(all, list...)
	}
	for _, f := range all {
		for _, size := range Sizes {
			t.Run(f.name+"/"+size.Name, func(t *testing.T) {
				t.Parallel()
				for _, page := range Pages(f.figure, size) {
					light, err := layout(page, size, Light)
					if err != nil {
						t.Fatal(err)
					}
					// No need to try again what does not fit; TestInlineColours and all others
					// that draw in both themes say that places do not depend on them.
					undo := 1.0
					if d, ok := page.(dense); ok {
						undo = d.TypeShare()
					}
					dark, err := place(page, light.size.shrunk(1/undo), Dark, light.loose)
					if err != nil {
						t.Fatal(err)
					}
					for _, s := range []*sheet{light, dark} {
						checkShapesOnCanvas(t, s)
						checkUnobscured(t, s)
						checkBoxes(t, s)
					}
					if alt := page.Alt(); len(alt) < 40 || !strings.Contains(alt, "Source: ") {
						t.Errorf("the description is %q", alt)
					}
				}
			})
		}
	}
}

// checkBoxes says whether text is large enough to be read and no text over text.
func checkBoxes(t *testing.T, s *sheet) {
	t.Helper()
	for i, r := range runs(s) {
		if r.size < s.size.least-1e-9 {
			t.Errorf("%q is set in %.1f pt, least %v", r.text, r.size, s.size.least)
		}
		for _, o := range runs(s)[:i] {
			if r.box().overlaps(o.box()) {
				t.Errorf("%q lies over %q", r.text, o.text)
			}
		}
	}
}

// checkUnobscured says whether text can be read where it stands: nothing is drawn over
// it, it has contrast to what lies below it, and no line but the faint ones of a grid runs
// through it.
func checkUnobscured(t *testing.T, s *sheet) {
	t.Helper()
	for k, item := range s.items {
		r, ok := item.(*run)
		if !ok {
			continue
		}
		box := r.box()
		// Of small letters, and a little narrower: a hair line that leads to the text ends at it.
		box = rect{box.x0 + 0.01*r.size, r.at.y - 0.6*r.size, box.x1 - 0.01*r.size, r.at.y + 0.02*r.size}
		for j, other := range s.items {
			over := j > k
			switch o := other.(type) {
			case *fill:
				if over && (crosses(append(slices.Clone(o.points), o.points[0]), box) || within(point{box.x0, box.y0}, o.points)) {
					t.Errorf("%s: a shape is drawn over %q", s.size.Name, r.text)
				}
			case *disc:
				if over && box.overlaps(rect{o.center.x, o.center.y, o.center.x, o.center.y}.grow(0.9*o.radius)) {
					t.Errorf("%s: a spot is drawn over %q", s.size.Name, r.text)
				}
			case *stroke:
				if contrast(o.color, s.theme.Background) > faint && crosses(o.points, box) {
					t.Errorf("%s: a line runs through %q", s.size.Name, r.text)
				}
			}
		}
		for _, p := range []point{{box.x0, box.y0}, {box.x1, box.y0}, {box.x0, box.y1}, {box.x1, box.y1}, {(box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2}} {
			below := s.theme.Background
			for _, other := range s.items[:k] {
				if f, ok := other.(*fill); ok && within(p, f.points) {
					below = f.color
				}
			}
			if c := contrast(r.color, below); c < 4.4 && below != s.theme.Background {
				t.Errorf("%s: %q has contrast %.2f to what lies below it (%v on %v)", s.size.Name, r.text, c, r.color, below)
				break
			}
		}
	}
}

func crosses(points []point, box rect) bool {
	for i := 1; i < len(points); i++ {
		if _, _, ok := clipSegment(points[i-1], points[i], box); ok {
			return true
		}
	}
	return false
}

// within says whether a point lies inside a closed outline (crossing number).
func within(p point, outline []point) bool {
	in := false
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		if a.y > p.y != (b.y > p.y) && p.x < a.x+(p.y-a.y)/(b.y-a.y)*(b.x-a.x) {
			in = !in
		}
	}
	return in
}

// The checks find what they are there to find.
func TestUnobscuredFinds(t *testing.T) {
	for _, c := range []struct {
		name string
		draw func(s *sheet)
		want bool
	}{
		{"nothing", func(*sheet) {}, false},
		{"a shape over it", func(s *sheet) { s.fillRect(s.theme.Zone, rect{90, 285, 400, 310}) }, true},
		{"a spot over it", func(s *sheet) { s.spot(s.theme.Ink, point{120, 295}, 4) }, true},
		{"a line through it", func(s *sheet) { s.stroke(s.theme.Ink, s.size.thick, nil, point{0, 295}, point{500, 295}) }, true},
	} {
		s := &sheet{size: Post, theme: Light}
		s.text("something to read", 100, 300, alignLeft, false, 20, s.theme.Ink)
		c.draw(s)
		var probe testing.T
		checkUnobscured(&probe, s)
		if probe.Failed() != c.want {
			t.Errorf("%s: found %v, want %v", c.name, probe.Failed(), c.want)
		}
	}
	s := &sheet{size: Post, theme: Light}
	s.fillRect(color.RGBA{0x30, 0x30, 0x30, 0xFF}, rect{0, 200, 500, 400})
	s.text("dark on dark", 100, 300, alignLeft, false, 20, s.theme.Ink)
	var probe testing.T
	if checkUnobscured(&probe, s); !probe.Failed() {
		t.Error("dark on dark was not found")
	}
	if within(point{1, 1}, []point{{0, 0}, {2, 0}, {2, 2}, {0, 2}}) == within(point{3, 1}, []point{{0, 0}, {2, 0}, {2, 2}, {0, 2}}) {
		t.Error("inside and outside are the same")
	}
}

// One figure of each kind as a post and in print; as a slide and in a column they are
// kept beside the tests of their kinds.
func TestGoldenPostAndPrint(t *testing.T) {
	kept(t, "", Post, Print, []namedFigure{
		{"curve-equilibrium", equilibriumCurve()}, {"effect", effectDistribution()}, {"effect-one", oneEffect()}, {"contrast", twoGroups()}, {"curve-pair", pairOfCurves()}, {"overview", overview()}, {"uncertain", uncertainAlong()},
		{"along", alongArms()}, {"shares", shareBars()}, {"screen", screened()},
		{"lines", linesFigure()}, {"heat-names", namedHeat()}, {"free-body", freeBody()},
	})
	svg, err := Inline(exactlyNone(), Column, "effect")
	if err != nil {
		t.Fatal(err)
	}
	golden.Text(t, "chart/effect-none-column-inline.svg", []byte(svg))
}

// faint is the contrast to the background up to which a line may run below text: a grid's.
const faint = 1.5
