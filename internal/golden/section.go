package golden

import (
	"os"
	"strings"
	"testing"
)

// Section fails the test unless the part of a document between the comments
// <!-- name --> and <!-- end of name --> is text. The document is a slash path from the
// module's folder. With -update the part is written anew; tests of several packages that
// write into one document are then run one package after the other (go test -p 1).
func Section(t testing.TB, document, name, text string) {
	t.Helper()
	file := Must(inModule(document))(t)
	data := Must(os.ReadFile(file))(t)
	begin, end := "<!-- "+name+" -->\n", "<!-- end of "+name+" -->"
	before, rest, opened := strings.Cut(string(data), begin)
	is, after, closed := strings.Cut(rest, end)
	if !opened || !closed {
		t.Fatalf("%s has no part between %q and %q", document, begin, end)
	}
	text = "\n" + strings.TrimSpace(text) + "\n\n" // Markdown needs the empty lines
	switch {
	case is == text:
	case *Update:
		OK(t, os.WriteFile(file, []byte(before+begin+text+end+after), 0o666))
	default:
		t.Errorf("%s, part %q: %s\n(-update writes it anew)", document, name, firstDifference([]byte(text), []byte(is)))
	}
}
