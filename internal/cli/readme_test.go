package cli

import (
	"bytes"
	"context"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode"

	"counterpoise/internal/app/console"
	"counterpoise/internal/golden"
)

// A shown command is one that a document shows in a block, with what it says that it
// prints.
type shown struct {
	file   string // its path
	line   int
	args   []string
	into   string // the file that its output goes to
	output string // "" where none is shown
}

// Beyond two spaces a line of a block is a word on the command before it.
var wordOnCommand = regexp.MustCompile(` {2,}[^ ].*$`)

// argument is one of a command line as shells split it.
var argument = regexp.MustCompile(`"([^"]*)"|(\S+)`)

// shownIn lists the commands of this program in the blocks of a document.
func shownIn(t *testing.T, file string) (list []*shown) {
	t.Helper()
	text := golden.Must(os.ReadFile(file))(t)
	var last *shown                // whose output follows
	fenced, inside := false, false // in any block, and in one that is not said to be of a language
	for i, line := range strings.Split(string(text), "\n") {
		if strings.HasPrefix(line, "```") {
			fenced = !fenced
			inside, last = fenced && line == "```", nil
			continue
		}
		command, prompted := strings.CutPrefix(line, "$ ")
		command = strings.TrimPrefix(command, "go run ./cmd/")
		switch rest, ours := strings.CutPrefix(command, "counterpoise "); {
		case !inside:
		case ours:
			c := &shown{file: file, line: i + 1}
			for _, m := range argument.FindAllStringSubmatch(wordOnCommand.ReplaceAllString(rest, ""), -1) {
				c.args = append(c.args, m[1]+m[2])
			}
			if n := len(c.args); n > 2 && c.args[n-2] == ">" {
				c.args, c.into = c.args[:n-2], c.args[n-1]
			}
			list = append(list, c)
			if last = nil; prompted {
				last = c
			}
		case last != nil:
			last.output += line + "\n"
		}
	}
	return list
}

// lasting is how long a command that serves until it is interrupted may do so.
const lasting = 300 * time.Millisecond

// run runs the command in the folder at hand. Where no output is shown, what takes long
// is asked of fewer bodies.
func (c *shown) run(t *testing.T) string {
	t.Helper()
	ctx, args := t.Context(), c.args
	switch {
	case args[0] == "explore":
		var stop context.CancelFunc
		ctx, stop = context.WithTimeout(ctx, lasting)
		defer stop()
	case c.output != "":
	case slices.Contains(args, "--all"): // the files of all claims are another test's
		args = []string{"claim", "test", "--all", "--n", "100", "--assumption-draws", "0", "--for-whom=false"}
	case args[0] == "claim" && args[1] == "test":
		args = append(args[:len(args):len(args)], "--n", "100", "--assumption-draws", "256")
	case args[0] == "drivers":
		args = append(args[:len(args):len(args)], "--n", "64", "--until", "0")
	}
	var stdout, stderr bytes.Buffer
	code := Main(ctx, args, strings.NewReader(""), &stdout, &stderr)
	few := !slices.Equal(args, c.args) && code == console.ExitUndecided
	if code != console.ExitDone && !few {
		t.Errorf("%s:%d: %v: exit code %d: %s", filepath.Base(c.file), c.line, c.args, code, stderr.String())
	}
	if c.into != "" {
		golden.OK(t, os.WriteFile(c.into, stdout.Bytes(), 0o666))
	}
	return stdout.String()
}

// shows reports whether an output is the one that is shown, … standing for what is left
// out, and lines broken anywhere.
func shows(shown, output string) bool {
	fold := func(text string) string { return strings.Join(strings.Fields(text), " ") }
	rest := fold(output)
	pieces := strings.Split(fold(shown), "…")
	for i, piece := range pieces {
		at := strings.Index(rest, strings.TrimSpace(piece))
		if at < 0 || i == 0 && at > 0 {
			return false
		}
		rest = rest[at+len(strings.TrimSpace(piece)):]
	}
	return rest == "" || strings.TrimSpace(pieces[len(pieces)-1]) == ""
}

// update writes into the document, instead of each paragraph of the output that it shows,
// what the output has from the line with the same first words to the paragraph's end, as golden files are written anew
// with -update: look at it before it is committed.
func (c *shown) update(t *testing.T, output string) {
	t.Helper()
	now := c.output
	for _, old := range strings.Split(strings.ReplaceAll("\n"+c.output, "\n…\n", "\n\n"), "\n\n") {
		old = strings.Trim(old, "\n")
		begin := strings.Join(strings.SplitAfterN(old+"  ", " ", 3)[:2], "") // two words
		if at := strings.Index("\n"+output, "\n"+begin); at >= 0 && old != "" {
			paragraph, _, _ := strings.Cut(output[at:], "\n\n")
			now = strings.Replace(now, old, strings.Trim(paragraph, "\n"), 1)
		}
	}
	if strings.HasSuffix(c.output, "…\n") && !strings.HasSuffix(now, "…\n") {
		now += "…\n" // the paragraph was cut
	}
	text := golden.Must(os.ReadFile(c.file))(t)
	if !shows(now, output) {
		t.Errorf("%s:%d: %v prints\n%s\nbring the document into line by hand", filepath.Base(c.file), c.line, c.args, output)
	}
	golden.OK(t, os.WriteFile(c.file, []byte(strings.Replace(string(text), c.output, now, 1)), 0o666))
}

// documents lists the documents of the repository.
func documents(t *testing.T, root string) (list []string) {
	t.Helper()
	for _, pattern := range []string{"*.md", "*/*.md", "cmd/*/*.md", "testdata/*/*.md"} {
		files := golden.Must(filepath.Glob(filepath.Join(root, filepath.FromSlash(pattern))))(t)
		list = append(list, files...)
	}
	return list
}

// link is a link or a picture of Markdown, or a path that stands as code.
var link = regexp.MustCompile("]\\(([^)#]+)(?:#([^)]*))?\\)|]\\(#([^)]*)\\)|`([A-Za-z]+/[A-Za-z0-9_./-]+)`")

// anchors are the names by which the headings of a document are linked to.
func anchors(text string) (list []string) {
	for _, line := range strings.Split(text, "\n") {
		if heading := strings.TrimLeft(line, "#"); heading != line && strings.HasPrefix(heading, " ") {
			name := strings.Map(func(r rune) rune {
				switch {
				case r == ' ' || r == '-':
					return '-'
				case unicode.IsLetter(r) || unicode.IsDigit(r) || r == '_':
					return unicode.ToLower(r)
				}
				return -1
			}, strings.TrimSpace(heading))
			list = append(list, name)
		}
	}
	return list
}

// Every link of a document leads somewhere, and so does every path below the folders of
// the repository that it names.
func TestDocumentsLeadSomewhere(t *testing.T) {
	root := filepath.Join("..", "..")
	links := 0
	for _, file := range documents(t, root) {
		data := golden.Must(os.ReadFile(file))(t)
		for _, m := range link.FindAllStringSubmatch(string(data), -1) {
			to, anchor, own, path := m[1], m[2], m[3], m[4]
			links++
			switch {
			case strings.HasPrefix(to, "http"):
				continue
			case path != "":
				top, _, _ := strings.Cut(path, "/")
				if !slices.Contains([]string{"cmd", "sim", "internal", "datasets", "testdata", "notebooks"}, top) {
					continue
				}
				to = filepath.Join(root, path)
			case own != "":
				to, anchor = file, own
			default:
				to = filepath.Join(filepath.Dir(file), to)
			}
			if _, err := os.Stat(to); err != nil {
				t.Errorf("%s leads to %q, which is not there", filepath.Base(file), m[0])
				continue
			}
			if anchor == "" {
				continue
			}
			if text, err := os.ReadFile(to); err != nil || !slices.Contains(anchors(string(text)), anchor) {
				t.Errorf("%s leads to %q: no such heading", filepath.Base(file), m[0])
			}
		}
	}
	if links < 100 {
		t.Errorf("%d links were found", links)
	}
}

// What the documents show is what the program prints, and commands that they show
// without their output run.
func TestDocumentsShowWhatCommandsPrint(t *testing.T) {
	root := golden.Must(filepath.Abs(filepath.Join("..", "..")))(t)
	var commands []*shown
	for _, file := range documents(t, root) {
		commands = append(commands, shownIn(t, file)...)
	}
	t.Chdir(t.TempDir())
	golden.OK(t, os.Symlink(filepath.Join(root, "testdata"), "testdata"))
	printed, silent := 0, 0
	for _, c := range commands {
		if c.args[0] == "explore" && len(c.args) > 1 {
			continue // compiles the program for browsers, which its own test does
		}
		output := c.run(t)
		if c.output == "" {
			silent++
			continue
		}
		printed++
		if !shows(c.output, output) {
			if flag.Lookup("update").Value.String() == "true" {
				c.update(t, output)
				continue
			}
			t.Errorf("%s:%d: %v prints\n%s\nwhere the document shows\n%s", filepath.Base(c.file), c.line, c.args, output, c.output)
		}
	}
	if printed < 6 || silent < 19 {
		t.Errorf("%d commands with their output and %d without it were found", printed, silent)
	}
}

// The comparison of outputs sees what differs.
func TestShows(t *testing.T) {
	for _, c := range []struct {
		shown, output string
		want          bool
	}{
		{"one two\nthree", "one\ntwo  three\n", true},
		{"one …", "one two three", true},
		{"… three", "one two three", true},
		{"one … three", "one two three", true},
		{"one …\n\n…\nthree\n…", "one two\nthree four", true},
		{"two three", "one two three", false},
		{"one two", "one two three", false},
		{"one four …", "one two three", false},
		{"three … one …", "one two three", false},
		{"… two", "one two three", false},
	} {
		if got := shows(c.shown, c.output); got != c.want {
			t.Errorf("%q of %q: found %v", c.shown, c.output, got)
		}
	}
}

// Commands are found in blocks without a language, also after one with.
func TestShownIn(t *testing.T) {
	file := filepath.Join(t.TempDir(), "guide.md")
	const text = "counterpoise in prose\n```yaml\ncounterpoise: in a file\n```\n\n```\n$ counterpoise hold list\nflag\n```\ncounterpoise again\n```\ncounterpoise data\n```\n"
	golden.OK(t, os.WriteFile(file, []byte(text), 0o666))
	var got []string
	for _, c := range shownIn(t, file) {
		got = append(got, strings.Join(c.args, " ")+": "+c.output)
	}
	if want := []string{"hold list: flag\n", "data: "}; !slices.Equal(got, want) {
		t.Errorf("found %q, want %q", got, want)
	}
}
