package chart

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/draw"
	"counterpoise/internal/draw/drawtest"
	"counterpoise/internal/golden"
)

func awkwardFigures() []draw.Named {
	longFoot := drawtest.Foot
	longFoot.People = "ansur2-men and ansur2-women, Turnverein Oberbayern resampled, bmi 18.5..27, span/stature 1.00.., stature 168 cm, mass 60 kg"
	longFoot.Model = drawtest.LongModel

	curve := requirementCurve()
	curve.Title, curve.Foot = "Two-condition: the median body of "+drawtest.LongWord+" goes from 0.98 to 0.95\u00a0BW in force over strength", longFoot
	curve.Panels[0].Name = drawtest.LongName
	curve.Panels[0].After.Name = "after: +2.5\u00a0kg upper body, legs advanced-tuck, hands raised 45\u00a0cm, shoulders +3\u00a0cm"
	same := requirementCurve()
	same.Panels[0].After = same.Panels[0].Before
	same.Panels[0].After.Name = "after"
	four := pairOfCurves()
	four.Panels = append(four.Panels, four.Panels...)

	many := effectDistribution()
	many.Title, many.Foot, many.Panels = "“"+drawtest.LongSentence+"”: depends on the model", longFoot, nil
	for i := range 8 {
		many.Panels = append(many.Panels, normalBins(fmt.Sprintf("%s %d: depends on the assumptions; under 1\u00a0%% can hold it no longer", drawtest.LongModel, i+1), -0.03+0.01*float64(i), 0.004*float64(i+1)))
	}
	wide := effectDistribution()
	wide.Unit, wide.TooSmall = "BW·m", 0.0125
	wide.Panels = []EffectPanel{normalBins("Equilibrium", -61.25, 40), exactlyNone().Panels[0]}
	bodies := oneEffect()
	bodies.Bodies[0].Caption, bodies.Bodies[1].Caption = drawtest.LongName, drawtest.LongSentence[:160]
	bodies.Title, bodies.Foot = "Human flag, "+drawtest.LongSentence[:110]+": not settled, −0.2 to +1.5\u00a0%, never noticeably easier", longFoot
	bodies.XLabel = "Change of the force along the harder-working arm, over what it was before (percent of the baseline)"
	groupsOf := twoGroups()
	groupsOf.Bottom.Says, groupsOf.Top.Says = "those with a waist for their stature of 0.40 to 0.45: 1.30 times", "those with a waist for their stature of 0.55 to 0.65: 1.40 times"
	groupsOf.Bodies[0].Caption, groupsOf.PairsSay, groupsOf.Foot = groupsOf.Bottom.Says, "in 0 to 100 of 100 pairs it is harder for the one with a waist for their stature of 0.55 to 0.65", longFoot
	groupsOf.Pairs = [3]float64{0, 50, 100}
	alike := twoGroups()
	alike.Top.Density, alike.Top.Median, alike.Bodies = alike.Bottom.Density, alike.Bottom.Median, nil
	word := exactlyNone()
	word.Title = "“" + drawtest.LongWord + drawtest.LongWord + "”: exactly no effect"

	crowd := overview()
	crowd.Foot = longFoot
	whom := slices.Repeat(crowd.Rows[0].Whom, 2)
	for i := range crowd.Rows {
		crowd.Rows[i].Label, crowd.Rows[i].Whom = drawtest.LongSentence[:60+60*i], whom
	}
	crowd.People = slices.Repeat(crowd.People, 2)
	crowd.Rows[3].Label, crowd.Rows[3].Verdict.Word = drawtest.LongWord, "depends on the assumptions"
	groups := overview()
	for k := range 12 {
		row := groups.Rows[1]
		row.Group = fmt.Sprintf("Hold number %d", k)
		groups.Rows = append(groups.Rows, row)
	}

	one := uncertainAlong()
	one.Title, one.Curve.Name, one.Foot = drawtest.LongName+", human flag: least at 45°, with 0.93\u00a0BW along each arm", drawtest.LongName, longFoot
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

	crowded := spreads()
	for i := range crowded.Groups {
		crowded.Groups[i].Name = drawtest.LongName
		crowded.Groups[i].Ranges[1].Says = drawtest.LongSentence[:150]
	}
	crowded.Groups = slices.Repeat(crowded.Groups, 6)
	single := spreads()
	single.Groups = single.Groups[:1]
	single.Groups[0].Name, single.Groups[0].Ranges[0] = "", Range{Says: "nobody differs: 3", Low: 3, Middle: 3, High: 3}
	alone := Dots{Title: drawtest.LongName + ": test strength next", Says: drawtest.LongSentence[:200], Key: "Number: how wide that range is.", Bodies: crowded.Bodies[:1], Foot: longFoot}
	owned := worth()
	owned.Own, owned.Bodies, owned.Says = true, append(crowded.Bodies[:1:1], silhouette(owned.Panels[1].Label, 0.6)), drawtest.LongSentence[:100]

	lines := severalFigure()
	for len(lines.Series) < MostCurves {
		lines.Series = append(lines.Series, lines.Series[len(lines.Series)-1])
	}
	for i := range lines.Series {
		lines.Series[i].Name = drawtest.LongName
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
		cells.Y.Names = append(cells.Y.Names, fmt.Sprintf("%s %d", drawtest.LongName[:24], i))
	}
	far := heatFigure(5, 5)
	far.Title = "The median " + drawtest.LongWord + " runs from 0.90 to 0.97\u00a0BW; " + drawtest.LongSentence[:120]

	return []draw.Named{
		{Name: "curve of long names", Figure: curve}, {Name: "curve that nothing changes", Figure: same}, {Name: "effect of eight models", Figure: many}, {Name: "effect far out", Figure: wide}, {Name: "effect beside long captions", Figure: bodies}, {Name: "groups of long names", Figure: groupsOf}, {Name: "groups that are alike", Figure: alike}, {Name: "curves of four", Figure: four}, {Name: "effect of a long word", Figure: word},
		{Name: "overview of eight kinds of people", Figure: crowd}, {Name: "overview of twelve groups", Figure: groups},
		{Name: "requirement of a long name", Figure: one}, {Name: "along nothing", Figure: flat},
		{Name: "shares of long names", Figure: bars}, {Name: "shares of nothing", Figure: zero}, {Name: "screening of twins", Figure: plane},
		{Name: "ranges of long names", Figure: crowded}, {Name: "a range of nothing", Figure: single}, {Name: "what is said alone", Figure: alone}, {Name: "worth of bodies", Figure: owned},
		{Name: "lines of long names", Figure: lines}, {Name: "flat line", Figure: flatLine}, {Name: "lines over twelve names", Figure: choice}, {Name: "cells of many names", Figure: cells}, {Name: "cells of a long title", Figure: far},
	}
}

// Whatever a user can come to is drawn.
func TestAwkwardFigures(t *testing.T) {
	all := awkwardFigures()
	for _, list := range [][]draw.Named{testFigures, personFigures, sweepFigures, driversFigures} {
		all = append(all, list...)
	}
	drawtest.Anywhere(t, all)
}

// One figure of each kind as a post and in print; as a slide and in a column they are
// kept beside the tests of their kinds.
func TestGoldenPostAndPrint(t *testing.T) {
	drawtest.Kept(t, "", draw.Post, draw.Print, []draw.Named{
		{Name: "curve-equilibrium", Figure: equilibriumCurve()}, {Name: "effect", Figure: effectDistribution()}, {Name: "effect-one", Figure: oneEffect()}, {Name: "effect-humps", Figure: twoHumps()}, {Name: "contrast", Figure: twoGroups()}, {Name: "curve-pair", Figure: pairOfCurves()}, {Name: "overview", Figure: overview()}, {Name: "uncertain", Figure: uncertainAlong()},
		{Name: "along", Figure: alongArms()}, {Name: "shares", Figure: shareBars()}, {Name: "screen", Figure: screened()},
		{Name: "lines", Figure: linesFigure()}, {Name: "heat-names", Figure: namedHeat()},
	})
	svg, err := draw.Inline(exactlyNone(), draw.Column, "effect")
	if err != nil {
		t.Fatal(err)
	}
	golden.Text(t, "chart/effect-none-column-inline.svg", []byte(svg))
}
