package page

import (
	"fmt"
	"html/template"
	"io"

	"counterpoise/internal/chart"
	"counterpoise/internal/draw"
)

// Club is what the page of a club's cards is made of.
type Club struct {
	Title  string
	Cards  []chart.Card
	Size   draw.Size // of a card: chart.Pocket, of which four go on a page of A4, or chart.Page
	Sheets []draw.Figure
	Origin Origin
}

// clubView is what the page is filled with.
type clubView struct {
	*Club
	Style  template.CSS
	JSON   template.JS       // of where the page comes from
	Drawn  [][]template.HTML // the cards, by printed page
	Shared []template.HTML   // the sheets that compare them
	Pocket bool
}

// fourUp is how many pocket cards go on a page of A4.
const fourUp = 4

// WriteClub writes the cards of a club and the sheets that compare them as one page, made
// to be printed on A4. Like all pages it loads nothing and runs nothing.
func WriteClub(w io.Writer, c *Club) error {
	v := &clubView{Club: c, Pocket: c.Size.Name == chart.Pocket.Name}
	per := 1
	if v.Pocket {
		per = fourUp
	}
	for i, card := range c.Cards {
		svg, err := draw.InlineFixed(card, c.Size, fmt.Sprintf("card-%d", i+1))
		if err != nil {
			return fmt.Errorf("page: %s: %w", card.Title, err)
		}
		if i%per == 0 {
			v.Drawn = append(v.Drawn, nil)
		}
		last := &v.Drawn[len(v.Drawn)-1]
		*last = append(*last, template.HTML(svg))
	}
	for i, sheet := range c.Sheets {
		svg, err := draw.InlineFixed(sheet, chart.Page, fmt.Sprintf("sheet-%d", i+1))
		if err != nil {
			return fmt.Errorf("page: sheet: %w", err)
		}
		v.Shared = append(v.Shared, template.HTML(svg))
	}
	var err error
	if v.JSON, err = c.Origin.script(); err != nil {
		return err
	}
	return execute(w, "club.html", v, &v.Style)
}
