package chart

import (
	"math"
	"strings"
	"testing"
)

func story() Story {
	zone := effectDistribution().Zone
	zone.XLabel = "BW"
	return Story{
		Saying: "“Longer arms make the flag harder”", Answer: "Not settled: it depends on what nobody has measured.", Small: "too small to matter: within\u00a0±0.01\u00a0BW", Zone: zone,
		Bodies: []Silhouette{silhouette("before", 0.6), silhouette("after", 0.7)},
		Bars:   []StoryBar{{"people differ, nine in ten: 0.5 to 2\u00a0% harder", -0.056, -0.036, -0.016}, {"what nobody has measured: 0.3 to 3\u00a0% easier", -0.01, 0.002, 0.03}},
		Shows:  "Bodies to one scale: before; after.", Foot: testFoot,
	}
}

func TestStory(t *testing.T) {
	alone := story()
	alone.Bars = nil
	for _, size := range StorySizes {
		for _, theme := range testThemes {
			checkShapesOnCanvas(t, mustLayout(t, alone, size, theme))
			s := mustLayout(t, story(), size, theme)
			checkTextApart(t, s)
			checkShapesOnCanvas(t, s)
			checkReadable(t, s)
			checkUnobscured(t, s)
		}
	}
	german := story()
	german.Language = "de"
	for _, r := range runs(mustLayout(t, german, Post, Light)) {
		if strings.HasPrefix(r.text, "0.0") || strings.HasPrefix(r.text, "−0.0") {
			t.Errorf("%q on a German axis", r.text)
		}
	}
	if svg := string(encodeSVG(mustLayout(t, german, Post, Light), "", "", language(german))); !strings.Contains(svg, `xml:lang="de"`) {
		t.Error("the picture does not say its language")
	}
	kept(t, "", Share, Post, []namedFigure{{"story", story()}})
	altSays(t, story(), "“Longer arms make the flag harder”. Not settled: it depends on what nobody has measured.", "to one scale: before; after.", "people differ, nine in ten: 0.5 to 2\u00a0% harder.")
	for _, c := range []struct {
		change func(*Story)
		want   string
	}{
		{func(f *Story) { f.Bars[0].Low = 1 }, "people differ"},
		{func(f *Story) { f.Bars[1].High = math.NaN() }, "nobody has measured"},
		{func(f *Story) { f.Answer = "" }, "answer"},
		{func(f *Story) { f.Zone.TooSmall = 0 }, "zone"},
	} {
		refused(t, "story", spoiled(story(), c.change), c.want)
	}
}
