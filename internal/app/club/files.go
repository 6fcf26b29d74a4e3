package club

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"counterpoise/internal/app/console"
	"counterpoise/internal/app/output"
	persons "counterpoise/internal/app/person"
	"counterpoise/internal/app/person/said"
	"counterpoise/internal/chart"
	"counterpoise/internal/page"
	"counterpoise/internal/provenance"
	"counterpoise/internal/words"
)

// writeClub writes everything into the folder at once, after all of it was made.
func writeClub(env *console.Environment, folder string, cards []said.Card, size chart.Size, s words.System, summary []byte) (failed error) {
	names := persons.ChartNames(said.AnswersOf(cards))
	var figures []chart.Card
	var leaves []chart.Leaf
	for i := range cards {
		if names[i] != cards[i].Person.Name {
			fmt.Fprintf(env.Stderr, "the letters of %s cannot be drawn here: %s on the card\n", cards[i].Person.Name, names[i])
		}
		f, err := CardFigure(&cards[i], names[i], s)
		if err != nil {
			return err
		}
		if err := chart.Fits(f, size, chart.Light); err != nil {
			fmt.Fprintf(env.Stderr, "no card for %s: %v\n", cards[i].Person.Name, err)
			continue
		}
		figures, leaves = append(figures, f), append(leaves, chart.Leaf{Figure: f, Size: size})
	}
	sheets := chart.Pages(ClubFigure(cards, names, s), chart.Page)
	for _, f := range sheets {
		leaves = append(leaves, chart.Leaf{Figure: f, Size: chart.Page})
	}
	stage, err := output.NewStaging(filepath.Join(folder, ".cards"))
	if err != nil {
		return err
	}
	defer func() { failed = errors.Join(failed, stage.Remove()) }()
	for _, sub := range []string{"cards", "sheets"} { // each takes the place of an earlier one as a whole
		if err := os.Mkdir(stage.Path(sub), 0o777); err != nil {
			return err
		}
	}
	files := map[string]func() ([]byte, error){
		"summary.json": func() ([]byte, error) { return summary, nil },
		"cards.pdf":    func() ([]byte, error) { return chart.Booklet("Cards of the club", leaves, chart.Light) },
		"cards.html": func() ([]byte, error) {
			var b strings.Builder
			err := page.WriteClub(&b, &page.Club{Title: "Cards of the club, human flag", Cards: figures, Size: size, Sheets: sheets, Version: provenance.Version()})
			return []byte(b.String()), err
		},
	}
	called := make([]string, len(figures))
	for i, f := range figures {
		called[i], _, _ = strings.Cut(f.Title, ":")
	}
	for i, name := range persons.FileNames(called) {
		files[filepath.Join("cards", name+".pdf")] = func() ([]byte, error) {
			return chart.Booklet(figures[i].Title, []chart.Leaf{{Figure: figures[i], Size: size}}, chart.Light)
		}
	}
	for name, make := range files {
		data, err := make()
		if err != nil {
			return err
		}
		if err := provenance.WriteFile(stage.Path(name), data); err != nil {
			return err
		}
	}
	for i, f := range sheets {
		name := "sheet"
		if len(sheets) > 1 {
			name = fmt.Sprintf("sheet-%d", i+1)
		}
		if _, err := chart.Save(stage.Path("sheets"), name, f, chart.Page, chart.Light); err != nil {
			return err
		}
	}
	return stage.Place(folder)
}
