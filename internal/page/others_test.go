package page

import (
	"bytes"
	"encoding/xml"
	"strings"
	"testing"

	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
)

// What others wrote into a claim is text wherever a page says it: no element, no
// attribute, and no end of the data that the page carries.
func TestWordsOfOthersAreText(t *testing.T) {
	const markup = `</script></style></title><img src="x" onerror='run(1)'>`
	c := shipped(t, "longer-arms")
	c.Matters = c.Threshold()
	c.Says, c.Why, c.Because = markup+" says & is <b>harder</b>.", markup+" why", markup+" because"
	e := testedClaim(t, c, 2000, 0)
	e.Above = "javascript:run(2)"
	var own, library bytes.Buffer
	if err := WriteEvidence(&own, e); err != nil {
		t.Fatal(err)
	}
	if err := WriteLibrary(&library, &Overview{Results: []*outcome.Result{e.Result}, Stamps: []provenance.Stamp{e.Stamp}, Address: func(string) string { return `"><img src="x">` }}); err != nil {
		t.Fatal(err)
	}
	for name, page := range map[string][]byte{"evidence": own.Bytes(), "library": library.Bytes()} {
		list, told := pieces(t, page), false
		carried(t, list) // the data are whole
		for _, p := range list {
			told = told || strings.Contains(p.text, markup) && !p.within("script")
			if p.within("img", "b") {
				t.Errorf("%s: %q stands in an element that nobody put there", name, p.text)
			}
			for _, element := range p.in {
				checkHarmless(t, name, element)
			}
		}
		if !told {
			t.Errorf("%s does not say what the claim says", name)
		}
		if bytes.Contains(page, []byte("<img")) || bytes.Count(page, []byte("<script")) != bytes.Count(page, []byte(`<script type="application/json"`)) {
			t.Errorf("%s has an image or a script that runs", name)
		}
	}
}

func checkHarmless(t *testing.T, name string, e xml.StartElement) {
	t.Helper()
	for _, a := range e.Attr {
		if strings.HasPrefix(a.Name.Local, "on") || strings.HasPrefix(a.Value, "javascript:") {
			t.Errorf("%s: <%s %s=%q>", name, e.Name.Local, a.Name.Local, a.Value)
		}
	}
}
