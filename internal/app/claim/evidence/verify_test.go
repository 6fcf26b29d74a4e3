package evidence

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
)

// A page is verified by running its study again; whatever was altered in it is found and told
// in one line, and what is no page, or asks for too much, is refused in one.
func TestVerify(t *testing.T) {
	c := golden.Must(study.ShippedClaim("longer-arms"))(t)
	done := golden.Must(Test{c, claim.Options{N: 512, Seed: 7}}.Run(t.Context()))(t)
	published := golden.Must(done.Page("../index.html", words.German))(t)
	replaced := func(old, by string) []byte {
		if !bytes.Contains(published, []byte(old)) {
			t.Fatalf("the page lacks %s", old)
		}
		return bytes.ReplaceAll(published, []byte(old), []byte(by))
	}
	for name, altered := range map[string]struct {
		page []byte
		told string // of the answer, or of the refusal
	}{
		"as published":       {published, "The same, byte for byte"},
		"a word":             {replaced("<h1", "<h1 hidden"), "so the page was altered"},
		"a seed":             {replaced(`"seed": 7`, `"seed": 8`), "Not the same: "},
		"a draw too few":     {replaced(`"n": 512`, `"n": 511`), "Not the same: "},
		"another change":     {replaced(`"metres": 0.1`, `"metres": 0.05`), "Not the same: "},
		"other code":         {replaced(`"tool": "counterpoise",`, `"tool": "counterpoise", "code": "`+strings.Repeat("0", 64)+`",`), "It was made otherwise: the code is"},
		"too many bodies":    {replaced(`"n": 512`, `"n": 1000000000000000000`), "allowed here: 1 to 1000000"},
		"no bodies":          {replaced(`"n": 512`, `"n": -1`), "allowed here: 1 to 1000000"},
		"too many draws":     {replaced(`"assumption_draws": 0`, `"assumption_draws": 100000`), "allowed here: 256 to 4096"},
		"unknown people":     {replaced("us-men", "my-friends"), "my-friends"},
		"people of a folder": {replaced("us-men", "../../etc/passwd"), "is a path"},
		"a letter":           {[]byte("<p>hello"), "is not a page of this program"},
		"nothing":            {nil, "is not a page of this program"},
	} {
		request := golden.Must(json.Marshal(map[string]string{"page": string(altered.page)}))(t)
		var answer struct {
			Verification
			Error struct{ Reason string }
		}
		text := Answer(t.Context(), request)
		golden.OK(t, json.Unmarshal(text, &answer))
		told := answer.Told + answer.Error.Reason
		if !strings.Contains(told, altered.told) || strings.Contains(told, "\n") || answer.Same != (name == "as published") {
			t.Errorf("%s: %.400s", name, text)
		}
	}
	if text := Answer(t.Context(), []byte("{")); !strings.Contains(string(text), `"error"`) {
		t.Errorf("half a question is answered with %s", text)
	}
}
