package study

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Error is a fault in a file that somebody wrote.
type Error struct {
	File         string
	Line, Column int // 1 is the first, 0 where none is known
	Field        string
	Reason       string
}

func (e *Error) Error() string {
	if e.File == "" { // of what no file says
		return strings.TrimPrefix(e.Field+": ", ": ") + e.Reason
	}
	text := e.File
	if e.Line > 0 {
		text += fmt.Sprintf(":%d", e.Line)
	}
	if e.Column > 0 {
		text += fmt.Sprintf(":%d", e.Column)
	}
	if e.Field != "" {
		text += ": " + e.Field
	}
	return text + ": " + e.Reason
}

// Printable returns the text in one line, without control characters and cut
// where it has more than so many letters, so that a message stays one line.
func Printable(text string, most int) string {
	text = strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return '\ufffd'
		}
		return r
	}, text)
	if r := []rune(text); len(r) > most {
		return string(r[:most]) + "…"
	}
	return text
}

func printable(text string) string { return Printable(text, 80) }

// InvalidLine returns the first line that is not UTF-8, or 0.
func InvalidLine(data []byte) int {
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && size == 1 {
			return 1 + bytes.Count(data[:i], []byte("\n"))
		}
		i += size
	}
	return 0
}
