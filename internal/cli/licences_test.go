package cli

import (
	"strings"
	"testing"

	"counterpoise/internal/app/console"
)

// Modules are named with their licences and data sets with their terms, and the texts that
// fonts and notices ask to be carried are there; that none is missing is for the notices' own
// test.
func TestLicences(t *testing.T) {
	code, brief, stderr := call("data", "licences")
	if code != console.ExitDone {
		t.Fatalf("%d: %s", code, stderr)
	}
	for _, want := range []string{"people/us-women: ", "Apache-2.0   github.com/apache/arrow-go/v18 v", "MIT          github.com/goccy/go-yaml v", "NATICK/TR-15/007", "CC BY 4.0", "OFL-1.1", "strength/norms: "} {
		if !strings.Contains(brief, want) {
			t.Errorf("%q is not said", want)
		}
	}
	_, full, _ := call("data", "licences", "--full")
	if !strings.HasPrefix(full, brief) {
		t.Error("--full does not begin with what is told without it")
	}
	for _, want := range []string{"SIL OPEN FONT LICENSE Version 1.1", "Apache Arrow Go\nCopyright", "Frances Y. Kuo and Stephen Joe", "The FreeType Project LICENSE"} {
		if !strings.Contains(full, want) {
			t.Errorf("%q is not in the texts", want)
		}
	}
}
