package club

import (
	"io"
	"strings"

	"counterpoise/internal/app/person/said"
	"counterpoise/internal/words"
)

// ClubText writes the club for the terminal: a line each.
func ClubText(w io.Writer, cards []said.Card, s words.System) error {
	t := &words.Writer{W: w}
	head := []string{"athlete", "hands apart", "worth trying", "harder arm"}
	for i := range cards[0].Ladder {
		head = append(head, said.RungName(&cards[0].Ladder[i]))
	}
	rows := [][]string{head}
	for i := range cards {
		c := &cards[i]
		row := []string{c.Person.Name, "not possible", "", ""}
		if at, ok := said.RecommendedSpacing(&c.PersonAnswer); ok {
			row[1], row[2] = words.Mark(at.Median, s), words.Interval(words.Mark(at.Low, s), words.Mark(at.High, s))
			row[3] = c.Force(s)
		}
		for k := range c.Ladder {
			text := ""
			if c.Ladder[k].Known {
				text = words.Percent(c.Ladder[k].Share.Median, 0)
			}
			row = append(row, text)
		}
		rows = append(rows, row)
	}
	widths := make([]int, len(head))
	for _, row := range rows {
		for k, cell := range row {
			widths[k] = max(widths[k], len([]rune(cell)))
		}
	}
	for _, row := range rows {
		var b strings.Builder
		for k, cell := range row {
			b.WriteString(cell + strings.Repeat(" ", widths[k]-len([]rune(cell))+2))
		}
		t.Line("%s", strings.TrimRight(b.String(), " "))
	}
	t.Wrap("", "", "Per cent of what the full flag asks for. "+said.CardCautions)
	return t.Err
}
