package cli

import (
	"fmt"
	"io"
	"os"
	"time"

	"counterpoise/internal/words"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"
)

// progress tells on standard error how far a command is: a bar on a terminal,
// elsewhere a line every few seconds.
type progress struct {
	w        io.Writer
	terminal bool
	stage    string
	bar      *progressbar.ProgressBar
	last     time.Time
}

// quiet is how long a command may run before the first line of progress.
const quiet = 3 * time.Second

func newProgress(w io.Writer) *progress {
	file, ok := w.(*os.File)
	return &progress{w: w, terminal: ok && term.IsTerminal(int(file.Fd())), last: time.Now()}
}

// update is told that done of total parts of a stage are done.
func (p *progress) update(stage string, done, total int) {
	if !p.terminal {
		if now := time.Now(); now.Sub(p.last) >= quiet {
			p.last = now
			fmt.Fprintf(p.w, "counterpoise: %s %d of %d (%s)\n", stage, done, total, words.Typed(float64(100*done/total), "%"))
		}
		return
	}
	if stage != p.stage || p.bar == nil || p.bar.GetMax() != total {
		p.done()
		p.stage = stage
		p.bar = progressbar.NewOptions(total,
			progressbar.OptionSetWriter(p.w), progressbar.OptionSetDescription(stage),
			progressbar.OptionClearOnFinish(), progressbar.OptionThrottle(100*time.Millisecond),
			progressbar.OptionSetWidth(30), progressbar.OptionSetPredictTime(true))
	}
	p.bar.Set(done) // what fails here is only the drawing of the bar
}

// done clears the bar.
func (p *progress) done() {
	if p.bar != nil {
		p.bar.Finish()
		p.bar = nil
	}
}
