package evidence

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"counterpoise/internal/app/output"
	"counterpoise/internal/page"
	"counterpoise/internal/provenance"
	"counterpoise/sim/claim"
	"counterpoise/sim/plain"
)

// Verification is whether a page of evidence is what the study in it gives.
type Verification struct {
	Claim      string `json:"claim"` // its name
	Says       string `json:"says"`
	Same       bool   `json:"same"`                 // byte for byte
	Difference string `json:"difference,omitempty"` // the first
	Why        string `json:"why,omitempty"`        // what of its origins differs
	Told       string `json:"told"`                 // all that in sentences
}

// The most that a page verified here may ask for: it comes from anywhere, and whoever opens
// it waits.
const (
	mostBodies = 1_000_000
	mostDraws  = 4096
)

// Verify runs again the study that a page carries, and compares the page with the one that
// comes out.
func Verify(ctx context.Context, text []byte, progress func(stage string, done, total int)) (*Verification, error) {
	if len(text) > provenance.MostBytes {
		return nil, fmt.Errorf("the file has %d bytes, allowed: up to %d", len(text), provenance.MostBytes)
	}
	origin, err := page.ReadOrigin(text)
	if err != nil {
		return nil, err
	}
	if origin.Summary == nil {
		return nil, errors.New("this is no page of one claim's evidence; repeat compares pages of libraries and clubs")
	}
	stamps, err := provenance.StampsIn(origin.Summary)
	if err != nil {
		return nil, err
	}
	if len(stamps) != 1 {
		return nil, fmt.Errorf("the page says %d times where it comes from, allowed: once", len(stamps))
	}
	stamp := &stamps[0]
	if err := stamp.Check(); err != nil {
		return nil, err
	}
	t, err := Read(stamp, &output.OwnFinder{Hint: ", and a page does not carry them: use repeat"})
	if err != nil {
		return nil, err
	}
	switch o := &t.Options; {
	case o.N < 1 || o.N > mostBodies:
		return nil, fmt.Errorf("the page asks for %d bodies, allowed here: 1 to %d; repeat takes more", o.N, mostBodies)
	case o.Draws != 0 && (o.Draws < claim.LeastDraws || o.Draws > mostDraws):
		return nil, fmt.Errorf("the page asks for %d draws of what nobody has measured, allowed here: %d to %d, or none", o.Draws, claim.LeastDraws, mostDraws)
	}
	t.Options.Progress = progress
	again, err := t.Run(ctx)
	if err != nil {
		return nil, err
	}
	again.Options.Progress = nil
	made, err := again.Page(origin.Above, origin.Language)
	if err != nil {
		return nil, err
	}
	v := &Verification{Claim: t.Claim.Name, Says: t.Claim.Says, Same: bytes.Equal(text, made)}
	if !v.Same {
		where, was, is := provenance.DifferentValues(origin.Summary, again.Summary)
		if v.Difference = page.DifferentLine(text, made); where != "" {
			v.Difference = fmt.Sprintf("%s is %s in the page, %s when run again", where, was, is)
		}
		v.Why = strings.Join(provenance.Differences(stamp, &again.Stamp, "in the page", "here"), "; ")
	}
	v.Told = plain.Shown(v.tell())
	return v, nil
}

// tell says what came out.
func (v *Verification) tell() string {
	switch {
	case v.Same:
		return "The same, byte for byte: the study in the page, run again here, gives this page."
	case v.Why == "":
		return "Not the same: " + v.Difference + ". Code, seed, data, assumptions and study are those of this program, so the page was altered."
	}
	return "Not the same: " + v.Difference + ". It was made otherwise: " + v.Why + "."
}

// Answer answers a question of a page: {"page": the text of a page of evidence} in JSON, with
// a Verification, or with {"error": {"reason": …}}.
func Answer(ctx context.Context, request []byte) []byte {
	var asked struct {
		Page string `json:"page"`
	}
	err := json.Unmarshal(request, &asked)
	if err == nil {
		var v *Verification
		if v, err = Verify(ctx, []byte(asked.Page), nil); err == nil {
			text, err := json.Marshal(v)
			if err == nil {
				return text
			}
		}
	}
	first, _, _ := strings.Cut(plain.Shown(err.Error()), "\n")
	text, _ := json.Marshal(map[string]map[string]string{"error": {"field": "page", "reason": first}}) // of texts, which cannot fail
	return text
}
