package flags

import (
	"strings"

	"counterpoise/internal/chart"
	"counterpoise/internal/words"
	"counterpoise/sim/names"

	"github.com/spf13/cobra"
)

// Look is how charts look; flags set it by names. It bears on no result, and repeat
// leaves it out of account.
type Look struct {
	size  string
	theme string
	None  bool // no chart is drawn

	language string // of the story
	Address  string // where the story says that the evidence is
}

// DefaultLook is that of charts nobody has said anything about.
func DefaultLook() Look {
	return Look{size: chart.Sizes[0].Name, theme: chart.Themes[0].Name, language: words.English.String(), Address: EvidencePage}
}

// NoCharts is the look of a repeat, which compares no charts and throws its files away.
func NoCharts() Look {
	l := DefaultLook()
	l.None = true
	return l
}

// AddFlags adds --size and --theme, which every command has that draws.
func (l *Look) AddFlags(c *cobra.Command) {
	c.Flags().StringVar(&l.size, "size", l.size, "size of the charts: "+strings.Join(names.Of(chart.Sizes), ", "))
	c.Flags().StringVar(&l.theme, "theme", l.theme, "colours of the charts: "+strings.Join(names.Of(chart.Themes), ", "))
}

// AddStoryFlags adds those of the commands that make stories.
func (l *Look) AddStoryFlags(c *cobra.Command) {
	c.Flags().StringVar(&l.language, "language", l.language, "language of the story and of the first screen of the page: "+strings.Join(names.Of(words.Languages), ", "))
	c.Flags().StringVar(&l.Address, "evidence-at", l.Address, "where the story says that its evidence can be read, such as https://example.org/longer-arms")
}

// Resolve reads the names.
func (l Look) Resolve() (size chart.Size, theme chart.Theme, err error) {
	if size, err = Choose("size", l.size, chart.Sizes); err != nil {
		return size, theme, err
	}
	theme, err = Choose("theme", l.theme, chart.Themes)
	return size, theme, err
}

// Check reports names that are not known.
func (l Look) Check() error {
	if _, _, err := l.Resolve(); err != nil {
		return err
	}
	_, err := l.ResolveLanguage()
	return err
}

// ResolveLanguage reads the name of the language.
func (l Look) ResolveLanguage() (words.Language, error) {
	return Choose("language", l.language, words.Languages)
}

// EvidencePage is that of a claim's evidence page in its folder.
const EvidencePage = "evidence.html"
