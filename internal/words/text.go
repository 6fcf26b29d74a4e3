package words

import (
	"regexp"
	"strings"
)

// Capital begins a text with a capital letter.
func Capital(text string) string {
	for _, r := range text {
		return strings.ToUpper(string(r)) + text[len(string(r)):]
	}
	return text
}

// Within begins a title with a small letter, for the middle of a sentence, but for a
// letter that names a shape ("L-sit").
func Within(title string) string {
	if len(title) > 1 && title[1] == '-' {
		return title
	}
	return strings.ToLower(title[:1]) + title[1:]
}

// Plain turns a name of the program's into words: "arm_length" is "arm length".
func Plain(name string) string { return strings.ReplaceAll(name, "_", " ") }

// PlainOf is Plain of something's name.
func PlainOf(named interface{ String() string }) string { return Plain(named.String()) }

// And joins the last of several with "and", the others with commas.
func And(list []string) string { return joined(list, " and ") }

// Or lists things of which one is meant, "a, b or c".
func Or(list []string) string { return joined(list, " or ") }

func joined(list []string, last string) string {
	if n := len(list) - 1; n > 0 {
		return strings.Join(list[:n], ", ") + last + list[n]
	}
	return strings.Join(list, "")
}

// Likeliest names what is likeliest of several that exclude one another, the likeliest
// first: "most likely grip, else wrists or elbows".
func Likeliest(list []string) string {
	if len(list) < 2 {
		return strings.Join(list, "")
	}
	return "most likely " + list[0] + ", else " + Or(list[1:])
}

// OneLine keeps all of a quantity on one line.
func OneLine(quantity string) string { return strings.ReplaceAll(quantity, " ", "\u00a0") }

// NoBreak keeps numbers and their units on one line.
func NoBreak(text string) string { return unbroken.Replace(text) }

// Together is NoBreak that keeps the two ends of a range on one line as well.
func Together(text string) string {
	return ranges.ReplaceAllString(NoBreak(text), "$1\u00a0$2\u00a0$3")
}

var ranges = regexp.MustCompile(`([0-9]) (to|bis|a) ([+−]?[0-9])`)

var unbroken = strings.NewReplacer(" BW", "\u00a0BW", " %", "\u00a0%", " cm", "\u00a0cm", " kg", "\u00a0kg")

// Bodies says how many simulated bodies there are.
func Bodies(n int) string {
	if n == 1 {
		return "one body"
	}
	return Count(n) + "\u00a0bodies"
}

// Foot says under a picture whose bodies it is of, how many, how and by what.
func Foot(people string, n int, model, assumptions, source string) string {
	return "People: " + people + ", " + Bodies(n) + ". Model: " + model + ". Assumptions: " + assumptions + ". Source: " + strings.TrimSuffix(source, ".") + "."
}
