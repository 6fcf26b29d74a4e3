package cli

import (
	"bytes"
	"encoding"
	"encoding/json"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	claim "counterpoise/internal/app/claim/said"
	"counterpoise/internal/app/drivers"
	"counterpoise/internal/app/hold"
	person "counterpoise/internal/app/person/said"
	"counterpoise/internal/app/sweep"
	"counterpoise/internal/folder"
	"counterpoise/internal/golden"
	"counterpoise/internal/jsonform"
	"counterpoise/internal/outcome"
	"counterpoise/internal/stored"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// outputTypes are what commands write as JSON, by the name of its schema.
var outputTypes = map[string]reflect.Type{
	"claim-summary":   reflect.TypeFor[claim.Summary](),
	"drivers-summary": reflect.TypeFor[drivers.DriversSummary](),
	"hold-summary":    reflect.TypeFor[hold.UntrainedSummary](),
	"library":         reflect.TypeFor[libraryOfClaims](),
	"manifest":        reflect.TypeFor[folder.Manifest](),
	"person-summary":  reflect.TypeFor[person.PersonsSummary](),
	"sweep-summary":   reflect.TypeFor[sweep.SweepSummary](),
}

// libraryOfClaims is what tests of several claims write, one after the other.
type libraryOfClaims struct {
	Tool     string          `json:"tool"`
	Version  string          `json:"version"`
	Claims   []claim.Summary `json:"claims"`
	Verdicts map[string]int  `json:"verdicts"` // how many claims have each
}

// limits is the schema of numbers by name, null where infinite or unknown.
func limits(names ...string) map[string]any {
	properties := map[string]any{}
	for _, name := range names {
		properties[name] = map[string]any{"type": []string{"number", "null"}}
	}
	return map[string]any{"type": "object", "properties": properties, "required": names, "additionalProperties": false}
}

// ownForms are the forms of types that write themselves.
var ownForms = map[reflect.Type]map[string]any{
	reflect.TypeFor[json.RawMessage]():  {"type": "object"},
	reflect.TypeFor[outcome.Ends]():     limits("bottom", "top"),
	reflect.TypeFor[outcome.Interval](): limits("value", "low", "high"),
	reflect.TypeFor[jsonform.Load]():    {"type": "object", "additionalProperties": map[string]any{"type": "number"}},
	reflect.TypeFor[jsonform.Pose]():    {"type": "object", "additionalProperties": map[string]any{"type": "number"}},
	reflect.TypeFor[stored.Body]():      {"type": "object"},
	reflect.TypeFor[stored.Hold]():      {"type": []string{"string", "object"}},
}

// commentsOf are the comments on the types of packages and their fields.
func commentsOf(t *testing.T, folders ...string) map[string]string {
	comments := map[string]string{}
	set := func(key string, groups ...*ast.CommentGroup) {
		for _, g := range groups {
			text, _, _ := strings.Cut(strings.Join(strings.Fields(g.Text()), " "), "; see ")
			if text != "" && comments[key] == "" {
				comments[key] = text
			}
		}
	}
	read := func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ParseComments)
		if err != nil {
			return err
		}
		pkg := "counterpoise/" + strings.TrimPrefix(filepath.ToSlash(filepath.Dir(path)), "../../")
		ast.Inspect(file, func(n ast.Node) bool {
			group, ok := n.(*ast.GenDecl)
			if !ok || group.Tok != token.TYPE {
				return true
			}
			for _, spec := range group.Specs {
				named := spec.(*ast.TypeSpec)
				key := pkg + "." + named.Name.Name + "."
				set(key, named.Doc, group.Doc)
				if s, ok := named.Type.(*ast.StructType); ok {
					for _, field := range s.Fields.List {
						for _, name := range field.Names {
							set(key+name.Name, field.Doc, field.Comment)
						}
					}
				}
			}
			return true
		})
		return nil
	}
	for _, folder := range folders {
		if err := filepath.WalkDir(filepath.Join("../..", folder), read); err != nil {
			t.Fatal(err)
		}
	}
	return comments
}

// schemaOf is the JSON Schema of a type as encoding/json writes it, described by the comments
// in its sources. Types that have names become definitions.
func schemaOf(t *testing.T, of reflect.Type, comments map[string]string) map[string]any {
	s := &typeSchema{t, comments, map[string]any{}, map[string]reflect.Type{}}
	top := s.fields(of)
	s.describe(top, of, "")
	if len(s.definitions) > 0 {
		top["$defs"] = s.definitions
	}
	return top
}

type typeSchema struct {
	t           *testing.T
	comments    map[string]string // of types and fields, by package, type and field
	definitions map[string]any
	types       map[string]reflect.Type // whose they are
}

func (s *typeSchema) describe(to map[string]any, of reflect.Type, field string) {
	if text := s.comments[of.PkgPath()+"."+of.Name()+"."+field]; text != "" {
		to["description"] = text
	}
}

// fields is the schema of a struct. A field that may be left out is not required.
func (s *typeSchema) fields(of reflect.Type) map[string]any {
	properties, required := map[string]any{}, []string{}
	for _, field := range reflect.VisibleFields(of) {
		tag, told := field.Tag.Lookup("json")
		name, options, _ := strings.Cut(tag, ",")
		if !field.IsExported() || name == "-" || field.Anonymous && !told {
			continue
		}
		if name == "" {
			name = field.Name
		}
		leftOut := strings.Contains(options, "omit")
		value := s.value(field.Type, !leftOut)
		if strings.Contains(options, "string") {
			value = map[string]any{"type": "string"}
		}
		owner := of
		for _, i := range field.Index[:len(field.Index)-1] {
			if owner = owner.Field(i).Type; owner.Kind() == reflect.Pointer {
				owner = owner.Elem()
			}
		}
		s.describe(value, owner, field.Name)
		properties[name] = value
		if !leftOut {
			required = append(required, name)
		}
	}
	return map[string]any{"type": "object", "properties": properties, "required": required, "additionalProperties": false}
}

// value is the schema of a value, and of null where a pointer, list or mapping that is nil is
// written.
func (s *typeSchema) value(of reflect.Type, written bool) map[string]any {
	null := func(schema map[string]any) map[string]any {
		if written {
			return map[string]any{"anyOf": []any{schema, map[string]any{"type": "null"}}}
		}
		return schema
	}
	if schema, ok := ownForms[of]; ok {
		return maps.Clone(schema)
	}
	switch texts, marshals := reflect.TypeFor[encoding.TextMarshaler](), reflect.TypeFor[json.Marshaler](); {
	case of.Implements(texts):
		return enumeration(of)
	case of.Implements(marshals) && of.Kind() != reflect.Pointer:
		s.t.Fatalf("how %v is written is not among ownForms", of)
	}
	switch of.Kind() {
	case reflect.Pointer:
		return null(s.value(of.Elem(), false))
	case reflect.Struct:
		name := of.String() // package and type
		if s.types[name] != nil && s.types[name] != of {
			s.t.Fatalf("%v and %v have one name", of, s.types[name])
		}
		if s.types[name] == nil {
			s.types[name] = of
			definition := s.fields(of)
			s.describe(definition, of, "")
			s.definitions[name] = definition
		}
		return map[string]any{"$ref": "#/$defs/" + name}
	case reflect.Slice:
		return null(map[string]any{"type": "array", "items": s.value(of.Elem(), true)})
	case reflect.Array:
		return map[string]any{"type": "array", "items": s.value(of.Elem(), true), "minItems": of.Len(), "maxItems": of.Len()}
	case reflect.Map:
		return null(map[string]any{"type": "object", "additionalProperties": s.value(of.Elem(), true)})
	case reflect.Bool:
		return map[string]any{"type": "boolean"}
	case reflect.String:
		return map[string]any{"type": "string"}
	case reflect.Float64:
		return map[string]any{"type": "number"}
	case reflect.Int, reflect.Int64, reflect.Uint64:
		return map[string]any{"type": "integer"}
	case reflect.Interface:
		return map[string]any{}
	}
	s.t.Fatalf("%v has no form in JSON", of)
	return nil
}

// enumeration is the schema of an enumeration.
func enumeration(of reflect.Type) map[string]any {
	var all []string
	if of.Kind() == reflect.Int {
		for i := 0; ; i++ {
			value := reflect.New(of).Elem()
			value.SetInt(int64(i))
			text, err := value.Interface().(encoding.TextMarshaler).MarshalText()
			if err != nil || strings.Contains(string(text), "(") || i > 999 {
				break
			}
			all = append(all, string(text))
		}
	}
	if len(all) == 0 {
		return map[string]any{"type": "string"}
	}
	return map[string]any{"enum": all}
}

// The schemas of outputs that are shipped are those of the types that are written.
func TestSchemasOfOutputs(t *testing.T) {
	comments := commentsOf(t, "internal", "sim")
	for name, of := range outputTypes {
		schema := schemaOf(t, of, comments)
		schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
		schema["$id"] = fmt.Sprintf("urn:counterpoise:%s:%d", name, outputsVersion)
		text, err := json.MarshalIndent(schema, "", " ")
		if err != nil {
			t.Fatal(err)
		}
		text = append(text, '\n')
		file := filepath.Join("outputs", name+".json")
		if *golden.Update {
			if err := os.WriteFile(file, text, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if shipped, err := os.ReadFile(file); err != nil || !bytes.Equal(shipped, text) {
			t.Errorf("%s: is not what is written (%v); run with -update, and raise outputsVersion if what read it can read it no more", file, err)
		}
	}
}

// What commands write is as its schema says, whole and in every part; with a field of another
// name or kind it is not.
func TestOutputsAgainstSchemas(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	file := filepath.Join(dir, "two.yaml")
	if err := os.WriteFile(file, []byte(`person: Ann
sex: female
stature: 168 cm
mass: 61 kg
tests: {one_arm_hang: {held: 20 s, added: 5 kg}}
---
person: Bob
sex: male
stature: 181 cm
`), 0o600); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(dir, "claim")
	runs(t, "claim", "test", "longer-arms", "--n", "64", "--out", out)
	for _, c := range []struct{ schema, output string }{
		{"claim-summary", string(mustRead(t, out, "summary.json"))},
		{"claim-summary", runs(t, "claim", "test", "l-sit-longer-arms", "--n", "64", "--people", "us-men,us-women", "--json")},
		{"claim-summary", runs(t, "claim", "test", "cross-arms-lowered", "--n", "64", "--assumption-draws", "0", "--json")},
		{"library", runs(t, "claim", "test", "straddle", "longer-arms", "--n", "64", "--assumption-draws", "0", "--json")},
		{"manifest", string(mustRead(t, out, folder.ManifestName))},
		{"person-summary", runs(t, "person", file, "--n", "1000", "--json")},
		{"person-summary", runs(t, "person", "../../testdata/demo/club-night/cheng.yaml", "--n", "1000", "--json")},
		{"drivers-summary", runs(t, "drivers", "--hold", "human-flag", "--of", "difficulty", "--people", "us-men", "--n", "64", "--worth", "--json")},
		{"sweep-summary", runs(t, "sweep", "../../testdata/demo/arms-by-shoulders.yaml", "--n", "64", "--json")},
		{"hold-summary", runs(t, "hold", "untrained", "--json")},
	} {
		text, err := schemaNamed(c.schema)
		if err != nil {
			t.Fatal(err)
		}
		tree, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		compiler := jsonschema.NewCompiler()
		if err := compiler.AddResource(c.schema, tree); err != nil {
			t.Fatal(err)
		}
		schema, err := compiler.Compile(c.schema)
		if err != nil {
			t.Fatal(err)
		}
		value, err := jsonschema.UnmarshalJSON(strings.NewReader(c.output))
		if err != nil {
			t.Fatalf("%s: %v", c.schema, err)
		}
		if err := schema.Validate(value); err != nil {
			t.Errorf("%s: %v", c.schema, err)
		}
		object := value.(map[string]any)
		for name, kept := range object {
			object[name] = []any{true}
			if schema.Validate(value) == nil {
				t.Errorf("%s: %s may be anything", c.schema, name)
			}
			delete(object, name)
			object[name+"s"] = kept
			if schema.Validate(value) == nil {
				t.Errorf("%s: %ss is allowed", c.schema, name)
			}
			delete(object, name+"s")
			object[name] = kept
		}
	}
}
