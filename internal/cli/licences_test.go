package cli

import (
	"os"
	"strings"
	"testing"
)

// Every module that go.mod needs for the program is named with its version, every data set
// with its terms, and the texts that fonts and notices ask to be carried are there.
func TestLicences(t *testing.T) {
	code, brief, stderr := call("data", "licences")
	if code != exitDone {
		t.Fatalf("%d: %s", code, stderr)
	}
	mod, err := os.ReadFile("../../go.mod")
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range strings.Split(string(mod), "\n") {
		fields := strings.Fields(line)
		// What is not indirect is imported; the rest may be the tools'.
		if strings.HasPrefix(line, "\t") && len(fields) == 2 && !strings.Contains(brief, fields[0]+" "+fields[1]) && fields[0] != "github.com/ulikunitz/xz" { // of the fits alone
			t.Errorf("%s %s is not named", fields[0], fields[1])
		}
	}
	for _, want := range []string{"people/us-women: ", "NATICK/TR-15/007", "CC BY 4.0", "OFL-1.1", "strength/norms: "} {
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
