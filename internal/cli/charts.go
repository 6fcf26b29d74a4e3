package cli

import (
	"strings"

	"counterpoise/internal/chart"
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
