package console

import (
	"fmt"
	"io"
	"os"
	"time"

	"counterpoise/internal/words"

	"golang.org/x/term"
)

// Progress tells on standard error how far a command is: a line that changes on a terminal,
// elsewhere a line every few seconds. What was begun ends at 100 %, and never goes back:
// where a stage turns out to need more, that is another round of it.
type Progress struct {
	w        io.Writer
	terminal bool
	stage    string
	round    int  // of the stage, from 1
	at, of   int  // how far the round is
	told     int  // how far it was when that was last told; -1 for not yet
	shown    bool // a line stands on the terminal, to be written over
	last     time.Time
}

// drawn is how often the line on a terminal is written anew.
const drawn = 100 * time.Millisecond

// Quiet is how long a command may run before the first line of progress.
var Quiet = 3 * time.Second

// NewProgress tells on a stream, as a bar where it is a terminal.
func NewProgress(w io.Writer) *Progress {
	file, ok := w.(*os.File)
	return &Progress{w: w, terminal: ok && term.IsTerminal(int(file.Fd())), last: time.Now()}
}

// Update is told that done of total parts of a stage are done.
func (p *Progress) Update(stage string, done, total int) {
	switch {
	case total < 1:
		return
	case stage != p.stage:
		p.begin(stage, 1, total)
	case done < p.at || total != p.of:
		p.begin(stage, p.round+1, total)
	}
	p.at = min(done, total)
	if p.terminal {
		if now := time.Now(); now.Sub(p.last) >= drawn || p.at == total {
			p.last, p.shown = now, true
			fmt.Fprintf(p.w, "\r%s %s\x1b[K", p.name(), words.Typed(float64(100*p.at/total), "%"))
		}
		return
	}
	ends := p.at == total && p.told >= 0 && p.told < total
	if now := time.Now(); ends || p.at > p.told && now.Sub(p.last) >= Quiet {
		p.last, p.told = now, p.at
		fmt.Fprintf(p.w, "counterpoise: %s %d of %d (%s)\n", p.name(), p.at, total, words.Typed(float64(100*p.at/total), "%"))
	}
}

// begin begins a round of a stage.
func (p *Progress) begin(stage string, round, total int) {
	p.Done()
	p.stage, p.round, p.at, p.of, p.told = stage, round, 0, total, -1
}

// name is what the round is called.
func (p *Progress) name() string {
	if p.round > 1 {
		return fmt.Sprintf("%s, round %d:", p.stage, p.round)
	}
	return p.stage
}

// Done clears the line.
func (p *Progress) Done() {
	if p.shown {
		fmt.Fprint(p.w, "\r\x1b[K")
		p.shown = false
	}
}
