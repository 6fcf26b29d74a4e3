package cli

import (
	"errors"
	"fmt"
	"runtime"
	"strings"
	"sync"

	"counterpoise/internal/chart"
	"counterpoise/internal/outcome"
	"counterpoise/internal/report"
	"counterpoise/internal/words"
	"counterpoise/sim/names"

	"github.com/spf13/cobra"
)

// look is how charts look; flags set it by names. It bears on no result, and repeat
// leaves it out of account.
type look struct {
	size  string
	theme string
	none  bool // no chart is drawn

	language string // of the story
	address  string // where the story says that the evidence is
}

// defaultLook is that of charts nobody has said anything about.
func defaultLook() look {
	return look{size: chart.Sizes[0].Name, theme: chart.Themes[0].Name, language: words.English.String(), address: pageName}
}

// noCharts is the look of a repeat, which compares no charts and throws its files away.
func noCharts() look {
	l := defaultLook()
	l.none = true
	return l
}

// addFlags adds --size and --theme, which every command has that draws.
func (l *look) addFlags(c *cobra.Command) {
	c.Flags().StringVar(&l.size, "size", l.size, "size of the charts: "+strings.Join(names.Of(chart.Sizes), ", "))
	c.Flags().StringVar(&l.theme, "theme", l.theme, "colours of the charts: "+strings.Join(names.Of(chart.Themes), ", "))
}

// addStoryFlags adds those of the commands that make stories.
func (l *look) addStoryFlags(c *cobra.Command) {
	c.Flags().StringVar(&l.language, "language", l.language, "language of the story and of the first screen of the page: "+strings.Join(names.Of(words.Languages), ", "))
	c.Flags().StringVar(&l.address, "evidence-at", l.address, "where the story says that its evidence can be read, such as https://example.org/longer-arms")
}

// drawStory writes the story of a claim at each of its sizes.
func (l look) drawStory(env *environment, folder string, r *outcome.Result, figures []report.Figure) error {
	_, theme, err := l.resolve()
	if err != nil || l.none {
		return err
	}
	language, err := l.resolveLanguage()
	if err != nil {
		return err
	}
	story := report.StoryOf(r, figures, language, l.address)
	for _, size := range chart.StorySizes {
		_, err := chart.Save(folder, "story-"+size.Name, story, size, theme)
		var refused *chart.Refusal
		if errors.As(err, &refused) {
			fmt.Fprintf(env.stderr, "counterpoise: the story for a %s is left out: %v\n", size.Name, err)
		} else if err != nil {
			return err
		}
	}
	return nil
}

// resolve reads the names.
func (l look) resolve() (size chart.Size, theme chart.Theme, err error) {
	if size, err = choose("size", l.size, chart.Sizes); err != nil {
		return size, theme, err
	}
	theme, err = choose("theme", l.theme, chart.Themes)
	return size, theme, err
}

// check reports names that are not known.
func (l look) check() error {
	if _, _, err := l.resolve(); err != nil {
		return err
	}
	_, err := l.resolveLanguage()
	return err
}

// resolveLanguage reads the name of the language.
func (l look) resolveLanguage() (words.Language, error) {
	return choose("language", l.language, words.Languages)
}

// placed is a chart with the folder that it goes to.
type placed struct {
	folder string
	report.Figure
}

// placedIn puts charts into a folder.
func placedIn(folder string, figures []report.Figure) []placed {
	list := make([]placed, len(figures))
	for i, f := range figures {
		list[i] = placed{folder, f}
	}
	return list
}

// draw writes charts, several at a time, divided where the size asks for it. One that
// cannot be drawn so that it can be read is left out, and told of: the numbers are in
// the table and the summary.
func (l look) draw(env *environment, figures []placed) error {
	size, theme, err := l.resolve()
	if err != nil || l.none {
		return err
	}
	type outcome struct {
		left   []string // messages on charts left out
		failed error
	}
	outcomes := make([]outcome, len(figures))
	queue := make(chan int)
	var drawing sync.WaitGroup
	for range min(len(figures), max(4, runtime.GOMAXPROCS(0))) {
		drawing.Go(func() {
			for i := range queue {
				out := &outcomes[i]
				for _, f := range report.Paged([]report.Figure{figures[i].Figure}, size) {
					_, err := chart.Save(figures[i].folder, f.Name, f.Figure, size, theme)
					var refused *chart.Refusal
					if errors.As(err, &refused) {
						out.left = append(out.left, fmt.Sprintf("the chart %s is left out: %v", f.Name, err))
					} else if err != nil {
						out.failed = err
					}
				}
			}
		})
	}
	for i := range figures {
		queue <- i
	}
	close(queue)
	drawing.Wait()
	for _, out := range outcomes {
		for _, text := range out.left {
			fmt.Fprintln(env.stderr, "counterpoise: "+text)
		}
	}
	for _, out := range outcomes {
		if out.failed != nil {
			return out.failed // of many for one reason, such as a full disk
		}
	}
	return nil
}
