// Package study reads the files that people write: claims now. Files are YAML,
// read strictly: every fault is one line with the file, the line, the field,
// what was found and what is allowed, and a near match for a misspelt name.
package study

import (
	"errors"
	"fmt"
	"os"
	"sort"
	"strings"
	"unicode/utf8"

	"counterpoise/internal/nearest"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
)

// MostBytes is how long a file may be.
const MostBytes = 1 << 20

// Error is a fault in a file that somebody wrote.
type Error struct {
	File   string
	Line   int // 1 is the first
	Field  string
	Reason string
}

func (e *Error) Error() string {
	text := e.File
	if e.Line > 0 {
		text += fmt.Sprintf(":%d", e.Line)
	}
	if e.Field != "" {
		text += ": " + e.Field
	}
	return text + ": " + e.Reason
}

// document is one file being read; its faults are collected.
type document struct {
	file   string
	faults []error
}

// load reads a file and returns its top level, a mapping.
func load(file string) ([]byte, error) {
	info, err := os.Stat(file)
	if err != nil {
		return nil, err
	}
	if info.IsDir() {
		return nil, &Error{File: file, Reason: "is a folder, a file is needed"}
	}
	if info.Size() > MostBytes {
		return nil, &Error{File: file, Reason: fmt.Sprintf("is %d bytes long, at most %d are read", info.Size(), MostBytes)}
	}
	return os.ReadFile(file)
}

// parse returns the file's top-level mapping.
func (d *document) parse(data []byte) (*value, error) {
	if len(data) > MostBytes {
		return nil, &Error{File: d.file, Reason: fmt.Sprintf("is %d bytes long, at most %d are read", len(data), MostBytes)}
	}
	if !utf8.Valid(data) {
		line := 1 + strings.Count(string(data[:firstInvalid(data)]), "\n")
		return nil, &Error{File: d.file, Line: line, Reason: "the text is not UTF-8; save the file as UTF-8"}
	}
	// The parser takes CRLF for two line ends.
	text := strings.ReplaceAll(strings.TrimPrefix(string(data), "\ufeff"), "\r\n", "\n")
	if strings.TrimSpace(text) == "" {
		return nil, &Error{File: d.file, Reason: "the file is empty"}
	}
	file, err := parseYAML([]byte(text))
	if err != nil {
		return nil, d.syntax(err)
	}
	if len(file.Docs) != 1 || file.Docs[0].Body == nil {
		return nil, &Error{File: d.file, Reason: fmt.Sprintf("holds %d YAML documents, one is needed", len(file.Docs))}
	}
	return &value{d, file.Docs[0].Body, ""}, nil
}

// parseYAML parses, turning a panic of the parser into an error.
func parseYAML(data []byte) (file *ast.File, err error) {
	defer func() {
		if r := recover(); r != nil {
			file, err = nil, fmt.Errorf("not YAML: %v", r)
		}
	}()
	return parser.ParseBytes(data, 0)
}

// syntax turns the parser's message, of many lines, into one line.
func (d *document) syntax(err error) error {
	first, _, _ := strings.Cut(err.Error(), "\n")
	line := 0
	if rest, found := strings.CutPrefix(first, "["); found {
		var column int
		if n, _ := fmt.Sscanf(rest, "%d:%d]", &line, &column); n == 2 {
			_, first, _ = strings.Cut(rest, "] ")
		}
	}
	return &Error{File: d.file, Line: line, Reason: "not readable as YAML: " + first}
}

func firstInvalid(data []byte) int {
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && size == 1 {
			return i
		}
		i += size
	}
	return 0
}

// fail records a fault.
func (d *document) fail(line int, field, format string, args ...any) {
	d.faults = append(d.faults, &Error{d.file, line, field, fmt.Sprintf(format, args...)})
}

// err joins the faults in the order of their lines.
func (d *document) err() error {
	sort.SliceStable(d.faults, func(a, b int) bool {
		return d.faults[a].(*Error).Line < d.faults[b].(*Error).Line
	})
	return errors.Join(d.faults...)
}

// value is one value in a file, with the name of its field.
type value struct {
	doc   *document
	node  ast.Node
	field string
}

func (v *value) line() int {
	if m, ok := v.node.(*ast.MappingNode); ok && len(m.Values) > 0 {
		return m.Values[0].Key.GetToken().Position.Line
	}
	if m, ok := v.node.(*ast.MappingValueNode); ok {
		return m.Key.GetToken().Position.Line
	}
	if t := v.node.GetToken(); t != nil && t.Position != nil {
		return t.Position.Line
	}
	return 0
}

func (v *value) fail(format string, args ...any) {
	v.doc.fail(v.line(), v.field, format, args...)
}

// text returns a scalar as it was written.
func (v *value) text() (string, bool) {
	switch n := v.node.(type) {
	case *ast.StringNode:
		return n.Value, true
	case *ast.LiteralNode:
		return n.Value.Value, true
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		return n.GetToken().Value, true
	case *ast.NullNode:
		v.fail("has no value")
		return "", false
	}
	v.fail("must be a single value, found %s", kind(v.node))
	return "", false
}

// kind names a node's kind for messages.
func kind(n ast.Node) string {
	switch n.(type) {
	case *ast.MappingNode, *ast.MappingValueNode:
		return "a mapping"
	case *ast.SequenceNode:
		return "a list"
	case *ast.AnchorNode, *ast.AliasNode:
		return "an anchor or alias, which are not read here"
	case *ast.TagNode:
		return "a tag, which are not read here"
	case *ast.NullNode:
		return "nothing"
	}
	return "a single value"
}

// list returns the elements of a list, or the value itself as the only one.
func (v *value) list() []*value {
	s, ok := v.node.(*ast.SequenceNode)
	if !ok {
		return []*value{v}
	}
	var values []*value
	for _, n := range s.Values {
		values = append(values, &value{v.doc, n, v.field})
	}
	if len(values) == 0 {
		v.fail("is an empty list")
	}
	return values
}

// isMapping reports whether the value is a mapping.
func (v *value) isMapping() bool {
	switch v.node.(type) {
	case *ast.MappingNode, *ast.MappingValueNode:
		return true
	}
	return false
}

// entry is one field of a mapping.
type entry struct {
	name  string
	line  int
	value *value
}

// entries returns the fields of a mapping in the order written.
func (v *value) entries() []entry {
	var pairs []*ast.MappingValueNode
	switch n := v.node.(type) {
	case *ast.MappingNode:
		pairs = n.Values
	case *ast.MappingValueNode:
		pairs = []*ast.MappingValueNode{n}
	default:
		v.fail("must be a mapping of fields, found %s", kind(v.node))
		return nil
	}
	seen := map[string]bool{}
	var entries []entry
	for _, p := range pairs {
		token := p.Key.GetToken()
		name, line := token.Value, token.Position.Line
		field := name
		if v.field != "" {
			field = v.field + "." + name
		}
		if seen[name] {
			v.doc.fail(line, field, "is there twice")
			continue
		}
		seen[name] = true
		entries = append(entries, entry{name, line, &value{v.doc, p.Value, field}})
	}
	return entries
}

// fields hands each field of a mapping to its reader; a field that has none is
// a fault that suggests the nearest name.
func (v *value) fields(readers map[string]func(*value)) {
	names := make([]string, 0, len(readers))
	for name := range readers {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, e := range v.entries() {
		if read, ok := readers[e.name]; ok {
			read(e.value)
			continue
		}
		v.doc.fail(e.line, e.value.field, "unknown field%s; allowed are %s", suggest(e.name, names), strings.Join(names, ", "))
	}
}

// suggest is the "did you mean" of a message, or nothing.
func suggest(name string, names []string) string {
	if near, ok := nearest.Nearest(name, names); ok {
		return fmt.Sprintf(" (did you mean %s?)", near)
	}
	return ""
}

// oneOf reads a name out of a list of names.
func (v *value) oneOf(names []string) (string, bool) {
	text, ok := v.text()
	if !ok {
		return "", false
	}
	for _, name := range names {
		if name == text {
			return name, true
		}
	}
	v.fail("unknown name %q%s; allowed are %s", text, suggest(text, names), strings.Join(names, ", "))
	return "", false
}
