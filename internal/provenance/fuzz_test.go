package provenance

import (
	"encoding/json"
	"testing"
)

// Whatever stands in a file is refused or becomes a stamp that is written and read back
// as it was.
func FuzzStampFrom(f *testing.F) {
	f.Add("counterpoise v1", `{"claim":{"says":"a"},"n":5}`, "7", `{"people/us-men.json":"00"}`, `{"grip_reach":0.5}`)
	f.Add("counterpoise \x1b[2J", `{"n":5,"n":6}`, "-1", `[]`, `{"a":1e400}`)
	f.Add("another 2", `{"deep":[[[[[[[[]]]]]]]]}`, "18446744073709551616", "{", "null")
	f.Fuzz(func(t *testing.T, version, study, seed, data, assumptions string) {
		s, err := StampFrom([]KeyValue{{KeyVersion, version}, {KeyStudy, study}, {KeySeed, seed}, {KeyData, data}, {KeyAssumptions, assumptions}})
		if err != nil {
			return
		}
		pairs, err := s.KeyValues()
		if err != nil {
			t.Fatalf("%+v cannot be written: %v", s, err)
		}
		again, err := StampFrom(pairs)
		if err != nil || FirstDifference(&s, &again, "first", "again") != "" {
			t.Fatalf("%+v became %+v, %v", s, again, err)
		}
		if !json.Valid(s.Study) {
			t.Fatalf("a study that is not JSON: %q", s.Study)
		}
	})
}

func TestStrict(t *testing.T) {
	nested := func(n int) string {
		text := "1"
		for range n {
			text = `{"a":[` + text + `]}`
		}
		return text
	}
	for text, good := range map[string]bool{
		`{}`: true, `[1, "a", null, {"a": {"a": []}, "b": {"a": 1}}]`: true, ` {"a": "tab\tline\n"} `: true, nested(mostNested / 2): true,
		`{"a": "b\\u202e"}`: true, // written, not meant
		`{"a":1,"a":2}`:     false, `{"b":[{"a":1,"c":{},"a":2}]}`: false, `{"a":1,"\u0061":2}`: false, `{"a":"\u202e"}`: false, `{"\u001b":1}`: false,
		nested(mostNested/2 + 1): false, `{} {}`: false, `{}}`: false, `{"a":1,}`: false, `{"a"}`: false, `[1 2]`: false, `{`: false, ``: false, `[{"a":1}`: false, `nul`: false, `NaN`: false, "\"\xff\u0085\"": false,
	} {
		if err := Strict([]byte(text)); (err == nil) != good {
			t.Errorf("%.60s: %v", text, err)
		}
	}
}
