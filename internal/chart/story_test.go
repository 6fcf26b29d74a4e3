package chart

import (
	"math"
	"strings"
	"testing"

	"counterpoise/internal/bodies"
	"counterpoise/internal/draw"
	"counterpoise/internal/draw/drawtest"
)

func story() Story {
	zone := effectDistribution().Zone
	zone.XLabel = "BW"
	return Story{
		Saying: "“Longer arms make the flag harder”", Answer: "Not settled: it depends on what nobody has measured.", Small: "too small to matter: within\u00a0±0.01\u00a0BW", Zone: zone,
		Bodies: []bodies.Silhouette{silhouette("before", 0.6), silhouette("after", 0.7)},
		Bars:   []Range{{"9 in 10 people: 0.5 to 2\u00a0% harder", -0.056, -0.036, -0.016}, {"by what nobody has measured: 0.3 to 3\u00a0% easier", -0.01, 0.002, 0.03}, {"measured on force plates: 1 to 2\u00a0% harder", -0.02, -0.015, -0.01}},
		Sure:   "How sure? Of 100 sets of unknowns, which nobody has measured, 66 say “true”; 95 are asked.",
		Shows:  "Bodies to one scale: before; after.", Found: "claim long-arms, study 123.", Foot: drawtest.Foot,
	}
}

func TestStory(t *testing.T) {
	alone, four := story(), story()
	alone.Bars = nil
	four.Bodies = append(four.Bodies, silhouette("women before", 0.5), silhouette("women after", 0.6))
	for _, size := range StorySizes {
		for _, theme := range draw.Themes {
			drawtest.CheckShapesOnCanvas(t, drawtest.MustLayout(t, alone, size, theme))
			for _, f := range []Story{story(), four} {
				s := drawtest.MustLayout(t, f, size, theme)
				drawtest.CheckTextApart(t, s)
				drawtest.CheckShapesOnCanvas(t, s)
				drawtest.CheckReadable(t, s)
				drawtest.CheckUnobscured(t, s)
			}
		}
	}
	german := story()
	german.Language = "de"
	if svg := string(draw.EncodeSVG(drawtest.MustLayout(t, german, draw.Post, draw.Light), "", "", draw.Language(german))); !strings.Contains(svg, `xml:lang="de"`) {
		t.Error("the picture does not say its language")
	}
	numbers := map[string]bool{}
	for _, r := range drawtest.Runs(drawtest.MustLayout(t, german, draw.Post, draw.Light)) {
		numbers[r.Text] = true
	}
	if !numbers["−0,04"] || numbers["−0.04"] {
		t.Errorf("the axis of a German picture: %v", numbers)
	}
	// Where saying and answer stand around it, it says neither, but what its axis is of; what is
	// said stands by its dashes.
	bare := story()
	bare.Bare, bare.Sure, bare.Zone.Said, bare.Zone.XLabel = true, "", 0.05, "How much harder or easier"
	bare.Zone.SaidFrom, bare.Zone.SaidTo, bare.Zone.Counts = 0.04, 0.06, "counts as said: 0.04 to 0.06"
	said := map[string]bool{}
	for _, r := range drawtest.Runs(drawtest.MustLayout(t, bare, draw.Post, draw.Light)) {
		said[r.Text] = true
		if strings.Contains(r.Text, "Longer arms") || strings.Contains(r.Text, "Not settled") {
			t.Errorf("%q is said twice", r.Text)
		}
	}
	if !said["How much harder or easier"] || !said["counts as said: 0.04 to 0.06"] {
		t.Errorf("said: %v", said)
	}
	// The bar that the answer is of is set in bold, no other.
	keyed := story()
	keyed.Key = 1
	for _, r := range drawtest.Runs(drawtest.MustLayout(t, keyed, draw.Post, draw.Light)) {
		for k, bar := range keyed.Bars {
			if r.Text == bar.Says && r.Bold != (k == keyed.Key) {
				t.Errorf("%q: bold %v", r.Text, r.Bold)
			}
		}
	}
	drawtest.Kept(t, "", Share, draw.Post, []draw.Named{{Name: "story", Figure: story()}})
	drawtest.AltSays(t, story(), "“Longer arms make the flag harder”. Not settled: it depends on what nobody has measured.", "to one scale: before; after.", "9 in 10 people: 0.5 to 2\u00a0% harder.", "How sure? Of 100 sets", "study 123.")
	for _, c := range []struct {
		change func(*Story)
		want   string
	}{
		{func(f *Story) { f.Bars[0].Low = 1 }, "9 in 10"},
		{func(f *Story) { f.Bars[1].High = math.NaN() }, "what nobody has measured"},
		{func(f *Story) { f.Answer = "" }, "answer"},
		{func(f *Story) { f.Zone.TooSmall = 0 }, "zone"},
	} {
		drawtest.Refused(t, "story", drawtest.Spoiled(story(), c.change), c.want)
	}
}
