package study

import (
	"embed"
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"

	"counterpoise/datasets"
	"counterpoise/internal/called"
	"counterpoise/internal/units"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/claim"
	"counterpoise/sim/outline"
	"counterpoise/sim/scenario"
	"counterpoise/sim/sweep"
)

//go:embed schema/*.json
var schemas embed.FS

// schemaVersion counts the versions of the files that people write. It rises when a file that
// was right is right no more.
const schemaVersion = 1

// SchemaNames are the kinds of files that have a schema.
func SchemaNames() []string { return slices.Sorted(maps.Keys(schemasOf)) }

// SchemaLine is the comment with which a file of a kind begins, for editors to complete and
// check it by the schema, once that stands beside it.
func SchemaLine(kind string) string {
	return "# yaml-language-server: $schema=" + kind + ".schema.json"
}

// Schema is the JSON Schema of a kind of file, for editors and other programs. What it allows may
// still be refused by the reader, which knows what belongs together.
func Schema(kind string) ([]byte, error) {
	text, err := schemas.ReadFile("schema/" + kind + ".json")
	if err != nil {
		return nil, fmt.Errorf("there is no schema %q%s; known: %s", kind, called.Suggest(kind, SchemaNames()), strings.Join(SchemaNames(), ", "))
	}
	return text, nil
}

// schemasOf find out the schema of each kind of file.
var schemasOf = map[string]func() map[string]any{
	"claim": asked(func(top *value) {
		c := &claim.Claim{Contrast: &claim.Contrast{}}
		c.Change = &scenario.Change{}
		(&claimReader{claim: c, line: map[string]int{}}).read(top)
	}),
	"hold": asked(func(top *value) {
		(&outlineReader{outline: &outline.Outline{}, doc: top.doc, line: map[string]int{}, written: map[string]string{}}).read(top)
	}),
	"people": people,
	"person": asked(func(top *value) { (&personReader{Person{lines: map[string]int{}}}).read(top) }),
	"sweep": asked(func(top *value) {
		s := &sweep.Study{}
		s.Base.Models, s.Base.Assumptions = make([]scenario.Model, 1), assume.DefaultUncertainty()
		(&sweepReader{study: s, line: map[string]int{}}).read(top)
	}),
}

// asked finds out the schema of a kind of file from what its reader asks.
func asked(read func(top *value)) func() map[string]any {
	return func() map[string]any { return probed(read).schema("") }
}

// people is the schema of the one kind of file that is JSON.
func people() map[string]any {
	schema := ofType(reflect.TypeFor[datasets.Sample]())
	fields := schema["properties"].(map[string]any)
	fields["sex"] = map[string]any{"enum": []string{anthro.Female.String(), anthro.Male.String()}}
	fields["survey"] = map[string]any{"enum": anthro.Surveys()}
	measured := map[string]any{}
	for _, key := range anthro.SampleKeys() {
		measured[key] = map[string]any{"type": "number"}
	}
	fields["people"] = map[string]any{"type": "array", "minItems": anthro.LeastSample, "maxItems": anthro.MostSample,
		"items": map[string]any{"type": "object", "properties": measured, "additionalProperties": false, "minProperties": 1}}
	schema["required"] = []string{"name", "sex", "survey", "people"}
	return schema
}

// ofType is the schema of the JSON of a type.
func ofType(t reflect.Type) map[string]any {
	switch t.Kind() {
	case reflect.Struct:
		fields := map[string]any{}
		for i := range t.NumField() {
			name, _, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
			fields[name] = ofType(t.Field(i).Type)
		}
		return map[string]any{"type": "object", "properties": fields, "additionalProperties": false}
	case reflect.Slice:
		return map[string]any{"type": "array", "items": ofType(t.Elem())}
	}
	return map[string]any{"type": "string"}
}

// A probe finds out what a reader takes, by having it read a file that is not there and
// remembering what it asks. Where it asks whether a value is a mapping it goes both ways, one
// value at a time.
type probe struct {
	shapes   map[string]*shape // by the path of the value
	mappings map[string]bool   // the values that are mappings in this run
	seen     map[string]bool   // the runs there were or will be
	runs     []map[string]bool
}

// shape is what is asked of a value.
type shape struct {
	fields   map[string]string // paths, of a mapping
	others   string            // path of fields of any name
	elements string            // path of the elements of a list
	names    []string
	wanted   []units.Dimension
	text     bool
	required []string
}

// probed is what a kind of file's reader asks.
func probed(read func(top *value)) *probe {
	p := &probe{shapes: map[string]*shape{}, seen: map[string]bool{}, runs: []map[string]bool{{"": true}}}
	for len(p.runs) > 0 {
		p.mappings, p.runs = p.runs[0], p.runs[1:]
		read(&value{doc: &document{probe: p}})
	}
	return p
}

// shape is what was asked of a value so far.
func (v *value) shape() *shape {
	p := v.doc.probe
	if p.shapes[v.key] == nil {
		p.shapes[v.key] = &shape{fields: map[string]string{}}
	}
	return p.shapes[v.key]
}

// below is a value within another.
func (v *value) below(name string) *value {
	return &value{doc: v.doc, field: strings.TrimPrefix(v.field+"."+name, "."), key: v.key + "/" + name}
}

// goesBothWays reports whether a value is a mapping in this run, and has another run where
// it is.
func (v *value) goesBothWays() bool {
	p := v.doc.probe
	if p.mappings[v.key] {
		return true
	}
	if !p.seen[v.key] {
		p.seen[v.key] = true
		next := maps.Clone(p.mappings)
		next[v.key] = true
		p.runs = append(p.runs, next)
	}
	return false
}

// named is a field of a mapping that is not there.
func (v *value) named(name string) entry {
	below := v.below(name)
	v.shape().fields[name] = below.key
	return entry{name: name, value: below}
}

// schema is the JSON Schema of the value at a path.
func (p *probe) schema(path string) map[string]any {
	s := p.shapes[path]
	if s == nil {
		return map[string]any{}
	}
	var kinds []map[string]any
	if len(s.fields) > 0 || s.others != "" {
		fields := map[string]any{}
		for name, at := range s.fields {
			fields[name] = p.schema(at)
		}
		object := map[string]any{"type": "object", "properties": fields, "additionalProperties": false}
		if s.others != "" {
			object["additionalProperties"] = p.schema(s.others)
		}
		if s.required != nil {
			object["required"] = s.required
		}
		kinds = append(kinds, object)
	}
	if s.elements != "" {
		element := p.schema(s.elements)
		kinds = append(kinds, element, map[string]any{"type": "array", "items": element, "minItems": 1})
	}
	if s.names != nil {
		kinds = append(kinds, map[string]any{"enum": s.names})
	}
	switch {
	case slices.Contains(s.wanted, units.Number):
		kinds = append(kinds, map[string]any{"type": []string{"number", "string"}})
	case s.wanted != nil:
		kinds = append(kinds, map[string]any{"type": "string", "pattern": `[0-9].*[A-Za-z%°′″'"]`, "description": "with its unit, as in " + exampleOf(s.wanted[0])})
	case s.text && s.names != nil: // or a file
		kinds = append(kinds, map[string]any{"type": "string", "pattern": "[/.]"})
	case s.text:
		kinds = append(kinds, map[string]any{"type": []string{"string", "number", "boolean"}})
	}
	switch len(kinds) {
	case 0:
		return map[string]any{}
	case 1:
		return kinds[0]
	}
	return map[string]any{"anyOf": kinds}
}

// exampleOf is how a quantity is written.
func exampleOf(d units.Dimension) string {
	return map[units.Dimension]string{
		units.Length: "172 cm", units.Mass: "61 kg", units.Angle: "40 deg", units.Duration: "20 s", units.Relative: "+5 %", units.Force: "180 N",
		units.BodyWeights: "0.02 BW", units.BodyWeightMetres: "0.01 BW·m", units.Moment: "60 N·m",
	}[d]
}

// makeSchema finds out the schema of a kind of file.
func makeSchema(kind string) ([]byte, error) {
	schema := schemasOf[kind]()
	schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	schema["$id"] = fmt.Sprintf("urn:counterpoise:%s:%d", kind, schemaVersion)
	schema["title"] = "A " + kind + " of counterpoise"
	text, err := json.MarshalIndent(schema, "", " ")
	return append(text, '\n'), err
}
