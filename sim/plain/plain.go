// Package plain holds what is true of every text that somebody else wrote: which of its
// characters a terminal or a reader of text would obey instead of showing, and which
// names every file system takes.
package plain

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"counterpoise/sim/fault"
)

// Obeyed reports whether a character rules the terminal on which it is printed, or turns
// round the order of the letters about it: control characters other than line ends and
// tabs, line separators, and the overrides and isolates of bidirectional text.
func Obeyed(r rune) bool {
	switch {
	case r == '\n' || r == '\t':
		return false
	case r < ' ', r >= 0x7f && r < 0xa0, r == 0x2028, r == 0x2029, r >= 0x202a && r <= 0x202e, r >= 0x2066 && r <= 0x2069:
		return true
	}
	return false
}

// Shown returns the text with its obeyed characters written as their numbers, as in
// "\u202e", which is also how JSON writes them; what is not UTF-8 becomes U+FFFD.
func Shown(text string) string {
	if utf8.ValidString(text) && !strings.ContainsFunc(text, Obeyed) {
		return text
	}
	var b strings.Builder
	for _, r := range text {
		if Obeyed(r) {
			fmt.Fprintf(&b, `\u%04x`, r)
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}

// MostText is how many bytes a sentence of a study may have.
const MostText = 4000

// CheckText returns the *[fault.Error] of a field whose text is too long or holds
// characters that are obeyed, or nil.
func CheckText(field, text string) error {
	switch {
	case len(text) > MostText:
		return fault.New(field, nil, "has %d bytes, allowed: %d", len(text), MostText)
	case !utf8.ValidString(text) || strings.ContainsFunc(text, Obeyed):
		return fault.New(field, nil, "holds a control character")
	}
	return nil
}

// MostName is how many bytes a name may have that files are called by.
const MostName = 100

// CheckName returns the *[fault.Error] of a field whose name cannot be that of a file or
// folder on every system, or nil. Windows knows its devices by any ending and in any case,
// and drops dots and spaces at the end of a name.
func CheckName(field, name string) error {
	stem, _, _ := strings.Cut(strings.ToUpper(name), ".")
	switch bad := strings.IndexAny(name, `/\:*?"<>|`); {
	case len(name) > MostName:
		return fault.New(field, nil, "has %d bytes, allowed: %d, as folders are called by it", len(name), MostName)
	case strings.ContainsAny(name, "\n\t") || CheckText(field, name) != nil:
		return fault.New(field, nil, "holds a control character")
	case bad >= 0:
		return fault.New(field, name, "found %q, which cannot be the name of a folder because of its %q", name, name[bad])
	case strings.HasPrefix(name, ".") || strings.HasSuffix(name, ".") || strings.TrimSpace(name) != name:
		return fault.New(field, name, "found %q, which cannot be the name of a folder: it must not begin or end with a dot or a space", name)
	case Device(stem):
		return fault.New(field, name, "found %q, which cannot be the name of a folder: on Windows it is that of a device", name)
	}
	return nil
}

// Device reports whether a name without its ending is that of a device of Windows.
func Device(stem string) bool {
	stem = strings.ToUpper(strings.TrimRight(stem, " "))
	switch stem {
	case "CON", "PRN", "AUX", "NUL", "CONIN$", "CONOUT$":
		return true
	}
	number, port := strings.CutPrefix(stem, "COM")
	if !port {
		number, port = strings.CutPrefix(stem, "LPT")
	}
	return port && strings.Contains("0123456789¹²³", number) && utf8.RuneCountInString(number) == 1
}
