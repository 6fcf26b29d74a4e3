package words

import (
	"fmt"
	"io"
	"regexp"
	"strings"
)

// Writer writes a text for the terminal; after an error it writes nothing more, and keeps
// the error.
type Writer struct {
	W   io.Writer
	Err error
}

// width is the most characters of a line.
const width = 96

// Line writes a line, which is folded where it is too long.
func (t *Writer) Line(format string, args ...any) { t.fold(fmt.Sprintf(format, args...)) }

// write writes a line as it is.
func (t *Writer) write(line string) {
	if t.Err == nil {
		_, t.Err = io.WriteString(t.W, line+"\n")
	}
}

// narrow is how little room the last column of a line may have to be folded within itself.
const narrow = 24

var lastColumn = regexp.MustCompile(`^.*\S {2,}`)

// fold writes lines; of one that is too long the last column goes on below itself or, where
// it is narrow, stands on a line of its own. A line without columns goes on farther in.
func (t *Writer) fold(text string) {
	for _, line := range strings.Split(text, "\n") {
		if len([]rune(line)) <= width {
			t.write(line)
			continue
		}
		left := line[:len(line)-len(strings.TrimLeft(line, " "))]
		first, farther := lastColumn.FindString(line), left+"  "
		last := line[len(first):]
		switch indent := len([]rune(first)); {
		case first == "":
			t.Wrap(left, farther, line)
		case indent > width-narrow:
			t.fold(strings.TrimRight(first, " "))
			t.Wrap(farther, farther, last)
		default:
			t.Wrap(first, strings.Repeat(" ", indent), last)
		}
	}
}

// Filled is a text of paragraphs, filled anew; one with lines that are farther in is a table
// or an example, of which lines that are too long are folded.
func Filled(text string) string {
	var b strings.Builder
	t := &Writer{W: &b}
	for i, paragraph := range strings.Split(strings.TrimRight(text, "\n"), "\n\n") {
		if i > 0 {
			t.write("")
		}
		if strings.HasPrefix(paragraph, " ") || strings.Contains(paragraph, "\n ") {
			t.fold(paragraph)
		} else {
			t.Wrap("", "", paragraph)
		}
	}
	return b.String()
}

// Folded is a text of lines, those of which that are too long are folded.
func Folded(text string) string {
	var b strings.Builder
	(&Writer{W: &b}).fold(strings.TrimSuffix(text, "\n"))
	return b.String()
}

// Aligned are the rows of a table as lines, its columns two spaces apart.
func Aligned(rows [][]string) []string {
	widths := make([]int, len(rows[0]))
	for _, row := range rows {
		for k, cell := range row {
			widths[k] = max(widths[k], len([]rune(cell)))
		}
	}
	lines := make([]string, len(rows))
	for i, row := range rows {
		for k, cell := range row {
			lines[i] += cell + strings.Repeat(" ", widths[k]-len([]rune(cell))+2)
		}
		lines[i] = strings.TrimRight(lines[i], " ")
	}
	return lines
}

// Wrap writes text in lines of at most width, the first behind first, the
// others behind rest. A number and its unit stay on one line.
func (t *Writer) Wrap(first, rest, text string) { t.set(first, rest, glued(strings.Fields(text))) }

// set is wrap of words that are each kept on one line.
func (t *Writer) set(first, rest string, text []string) {
	line, empty := first, true
	for _, word := range text {
		if !empty && len([]rune(line))+1+len([]rune(word)) > width {
			t.write(line)
			line, empty = rest, true
		}
		if !empty {
			line += " "
		}
		line, empty = line+word, false
	}
	if !empty {
		t.write(line)
	}
}

// Row writes a line of a table, or nothing where there is no text.
func (t *Writer) Row(label, text string) {
	t.Wrap(fmt.Sprintf("  %-16s", label), strings.Repeat(" ", 18), text)
}

// glued joins units to the numbers before them.
func glued(words []string) []string {
	var list []string
	for _, w := range words {
		unit := strings.TrimRight(w, ".,;:)")
		switch unit {
		case "%", "BW", "BW·m", "N", "N·m", "kg", "lb", "lbf", "lbf·ft", "cm", "in", "s":
			if n := len(list); n > 0 && strings.ContainsAny(list[n-1][len(list[n-1])-1:], "0123456789") {
				list[n-1] += " " + w
				continue
			}
		}
		list = append(list, w)
	}
	return list
}

// FirstNotes writes what should be known beside what was said.
func (t *Writer) FirstNotes(notes []string) {
	for _, n := range notes {
		t.Wrap("  Note: ", "    ", n)
	}
}
