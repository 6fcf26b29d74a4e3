package page

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"counterpoise/internal/chart"
	"counterpoise/internal/draw"
	"counterpoise/internal/provenance"
)

// The page of a club holds every card and sheet, four pocket cards to a page of A4, and
// nothing that loads or runs; names are text, whatever is in them.
func TestClub(t *testing.T) {
	foot := draw.Foot{People: "invented", N: 1, Model: "none", Assumptions: "none", Source: "this test"}
	var cards []chart.Card
	for i := range 6 {
		cards = append(cards, chart.Card{Title: fmt.Sprintf("Athlete %d <script>: hands 120\u00a0cm apart", i+1), Under: "Human flag.", Says: []chart.CardText{{Of: "Careful:", Text: "stop at pain."}}, Foot: foot, Narrow: true})
	}
	sheet := chart.Dots{Title: "All", Names: []string{"A"}, Panels: []chart.DotPanel{{Label: "x", Dots: []chart.Dot{{Value: 1, Low: 1, High: 1, Before: 1, Text: "1"}}}}, Foot: foot}
	for size, pages := range map[string]int{chart.Pocket.Name: 2, chart.Page.Name: 6} {
		club := &Club{Title: "Cards <b>", Cards: cards, Size: chart.Page, Sheets: []draw.Figure{sheet}, Origin: Origin{Stamps: []provenance.Stamp{{Version: "1"}}}}
		if size == chart.Pocket.Name {
			club.Size = chart.Pocket
		}
		var b bytes.Buffer
		if err := WriteClub(&b, club); err != nil {
			t.Fatal(err)
		}
		text := b.String()
		if n := strings.Count(text, `<figure class="card">`); n != 7 {
			t.Errorf("%s: %d cards and sheets", size, n)
		}
		if n := strings.Count(text, `<div class="paper `); n != pages+1 {
			t.Errorf("%s: %d printed pages, want %d", size, n, pages+1)
		}
		for _, p := range pieces(t, b.Bytes()) {
			for _, element := range p.in {
				checkHarmless(t, size, element)
			}
			if p.within("b", "img", "link", "iframe") {
				t.Errorf("%s: %q", size, p.text)
			}
		}
		if strings.Count(text, "<script") != 1 || !strings.Contains(text, `<script type="application/json" id="origin">`) || strings.Contains(text, "src=") {
			t.Errorf("%s: something is loaded or run", size)
		}
	}
}
