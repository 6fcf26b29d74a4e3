package study

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"counterpoise/datasets"
	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"
)

// compiled is the schema of a kind of file, as another program reads it.
func compiled(t *testing.T, kind string) *jsonschema.Schema {
	t.Helper()
	text := golden.Must(Schema(kind))(t)
	tree := golden.Must(jsonschema.UnmarshalJSON(bytes.NewReader(text)))(t)
	c := jsonschema.NewCompiler()
	golden.OK(t, c.AddResource(kind, tree))
	return golden.Must(c.Compile(kind))(t)
}

// asJSON is a file as another program sees it: with the values of JSON.
func asJSON(t *testing.T, text string) any {
	t.Helper()
	data := golden.Must(yaml.YAMLToJSON([]byte(text)))(t)
	return golden.Must(jsonschema.UnmarshalJSON(bytes.NewReader(data)))(t)
}

// The schemas that are shipped are what the readers ask for.
func TestSchemasAreWhatReadersAsk(t *testing.T) {
	for _, kind := range SchemaNames() {
		text := golden.Must(makeSchema(kind))(t)
		file := filepath.Join("schema", kind+".json")
		if *golden.Update {
			golden.OK(t, os.WriteFile(file, text, 0o644))
		}
		if shipped, err := os.ReadFile(file); err != nil || !bytes.Equal(shipped, text) {
			t.Errorf("%s: is not what its reader asks (%v); run with -update, and raise schemaVersion if files that were right are right no more", file, err)
		}
	}
}

// Every file that is shipped or shown begins with the line that names its schema, and is in
// order by that; one with a misspelt field, a bare number or a name that is not known is not.
func TestFilesAgainstSchemas(t *testing.T) {
	for kind, patterns := range map[string][]string{
		"claim":  {"claims/*.yaml"},
		"hold":   {"holds/*.yaml", "holdnew.yaml"},
		"person": {"../../testdata/demo/club-night/*.yaml"},
		"sweep":  {"../../testdata/demo/*.yaml", "../../testdata/slurm/*.yaml"},
	} {
		schema := compiled(t, kind)
		for _, pattern := range patterns {
			found, err := filepath.Glob(pattern)
			if err != nil || len(found) == 0 {
				t.Fatalf("%s: no files, %v", pattern, err)
			}
			for _, file := range found {
				text := golden.Must(os.ReadFile(file))(t)
				if !strings.HasPrefix(string(text), SchemaLine(kind)+"\n") {
					t.Errorf("%s: does not begin with %s", file, SchemaLine(kind))
				}
				for _, document := range strings.Split(string(text), "\n---\n") {
					if err := schema.Validate(asJSON(t, document)); err != nil {
						t.Errorf("%s: %v", file, err)
					}
				}
			}
		}
	}
	for _, c := range []struct{ kind, text string }{
		{"claim", strings.Replace(good, "hold: human-flag", "hold: human-flog", 1)},
		{"claim", strings.Replace(good, "says:", "sais:", 1)},
		{"claim", strings.Replace(good, "expect: increase", "expect: more", 1)},
		{"person", "person: Ada\nsex: female\nstature: 168\n"},
		{"person", "person: Ada\nstature: 168 cm\n"},
		{"person", "person: Ada\nsex: female\ntests: {one_arm_hang: {hold: 20 s}}\n"},
		{"sweep", "sweep: a\nhold: human-flag\naxes: {change.arm_lenght: 0 cm..2 cm by 1 cm}\n"},
		{"people", `{"name": "a", "sex": "male", "survey": "us-men", "people": [{"stature": 1.8}, {"mass_kg": 80}]}`},
		{"people", `{"name": "a", "sex": "male", "survey": "us-man", "people": [{"stature_m": 1.8}, {"mass_kg": 80}]}`},
		{"people", `{"name": "a", "sex": "male", "survey": "us-men", "people": [{"mass_kg": 80}]}`},
		{"people", `{"sex": "male", "survey": "us-men", "people": [{"stature_m": 1.8}, {"mass_kg": 80}]}`},
		{"hold", "hold: a\nview: side\nangles: {trunk: level 0 deg, upper_arms: raised 90 deg}\nsupports: [{at: hands, on: bars}]\n"},
	} {
		if err := compiled(t, c.kind).Validate(asJSON(t, c.text)); err == nil {
			t.Errorf("this %s is in order by its schema:\n%s", c.kind, c.text)
		}
	}
	if _, err := Schema("clam"); err == nil || !strings.Contains(err.Error(), "claim") {
		t.Errorf("a schema that is not there: %v", err)
	}
}

// What the document of the commands shows is in order likewise.
func TestShownFilesAgainstSchemas(t *testing.T) {
	text := golden.Must(os.ReadFile("../../cmd/counterpoise/README.md"))(t)
	shown := strings.Split(string(text), "\n```yaml\n")[1:]
	if len(shown) == 0 {
		t.Fatal("no file is shown")
	}
	for _, file := range shown {
		file, _, _ = strings.Cut(file, "```")
		first, _, _ := strings.Cut(file, "\n")
		kind := strings.TrimSuffix(strings.TrimPrefix(first, "# yaml-language-server: $schema="), ".schema.json")
		for _, document := range strings.Split(file, "\n---\n") {
			if err := compiled(t, kind).Validate(asJSON(t, document)); err != nil {
				t.Errorf("%s: %v", file, err)
			}
		}
	}
}

// People whose every measurement is written are in order by the schema, with all that the
// program says of where they come from.
func TestPeopleAgainstSchema(t *testing.T) {
	file := anthro.Sample{Name: "club-men", Title: "men of a club", Sex: anthro.Male.String(), Survey: anthro.PublicOf(anthro.Male),
		Provenance: datasets.Provenance{Citation: "a club", Raw: []datasets.Raw{{File: "club.csv"}}}}
	for m := range anthro.NumVariables {
		file.Add([]anthro.Known{{Of: m, Value: 1}})
		file.AddAgain([]anthro.Known{{Of: m, Value: 2}})
	}
	text := golden.Must(json.Marshal(file))(t)
	if err := compiled(t, "people").Validate(asJSON(t, string(text))); err != nil {
		t.Error(err)
	}
}
