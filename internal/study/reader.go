// Package study reads the files that people write: claims and persons. Files are YAML,
// read strictly: every fault is one line with the file, the line, the field,
// what was found and what is allowed, and a near match for a misspelt name.
package study

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"counterpoise/internal/called"
	"counterpoise/internal/provenance"
	"counterpoise/sim/names"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
)

// MostBytes is how long a file may be: many times what anybody writes by hand,
// and little enough for a parser whose time grows with the square of it.
const MostBytes = 32 << 10

// mostNested is how many brackets may be open at a time.
const mostNested = 32

// document is one file being read; its faults are collected.
type document struct {
	file   string
	faults []error
	meant  map[string]bool   // fields that a misspelt one was probably meant to be
	within map[string]string // the field in which another one stands that was not found there
	probe  *probe            // where there is no file, and what a reader asks is remembered
}

// load returns the text of a file that this package reads, of so many bytes at most. An error
// names the file, and leaves out by which call it could not be opened.
func load(file string, most int) ([]byte, error) {
	text, err := provenance.ReadInput(file, int64(most))
	if reason := provenance.ReasonOf(err); reason != err || errors.Is(err, provenance.ErrFolder) {
		err = fmt.Errorf("%s: %w", file, reason)
	}
	return text, err
}

// parse returns the top-level mapping of a file of one document.
func (d *document) parse(data []byte) (*value, error) {
	tops, err := d.documents(data)
	if err != nil {
		return nil, err
	}
	if len(tops) > 1 {
		return nil, &Error{File: d.file, Line: tops[1].node.GetToken().Position.Line,
			Reason: fmt.Sprintf("holds %d YAML documents, one is needed", len(tops))}
	}
	return tops[0], nil
}

// many is documents for a file of many: each is parsed alone, at its own lines.
func (d *document) many(data []byte, most int) (tops []*value, err error) {
	switch {
	case len(data) <= MostBytes:
		return d.documents(data)
	case len(data) > most:
		return nil, d.tooLong(most)
	}
	for line, text := 0, data; len(text) > 0; {
		end := len(text)
		if at := betweenDocuments.FindIndex(text); at != nil {
			end = at[1]
		}
		if part := text[:end]; len(bytes.TrimSpace(part)) > len("---") {
			if len(part) > MostBytes {
				return nil, &Error{File: d.file, Line: line + 1, Reason: fmt.Sprintf("the document that begins here is too long, at most %d bytes are read", MostBytes)}
			}
			read, err := d.documents(append(bytes.Repeat([]byte("\n"), line), part...))
			var fault *Error
			if err != nil && !(errors.As(err, &fault) && fault.Reason == emptyFile) { // as comments alone are
				return nil, err
			}
			tops = append(tops, read...)
		}
		line += bytes.Count(text[:end], []byte("\n"))
		text = text[end:]
	}
	if len(tops) == 0 {
		return nil, &Error{File: d.file, Reason: emptyFile}
	}
	return tops, nil
}

const emptyFile = "the file is empty"

// betweenDocuments is the line that ends a document, and begins the next.
var betweenDocuments = regexp.MustCompile(`(?m)^---[ \t]*\r?\n`)

func (d *document) tooLong(most int) error {
	return &Error{File: d.file, Reason: fmt.Sprintf("is too long, at most %d bytes are read", most)}
}

// documents returns the top-level mapping of each of the file's documents, of
// which there is at least one.
func (d *document) documents(data []byte) ([]*value, error) {
	if len(bytes.TrimLeft(data, "\n")) > MostBytes {
		return nil, d.tooLong(MostBytes)
	}
	if line := InvalidLine(data); line > 0 {
		return nil, &Error{File: d.file, Line: line, Reason: "the text is not UTF-8; save the file as UTF-8"}
	}
	// The parser takes CRLF for two line ends.
	text := strings.ReplaceAll(strings.TrimPrefix(string(data), "\ufeff"), "\r\n", "\n")
	if strings.TrimSpace(text) == "" {
		return nil, &Error{File: d.file, Reason: emptyFile}
	}
	if line := tooNested(text); line > 0 {
		return nil, &Error{File: d.file, Line: line, Reason: fmt.Sprintf("more than %d brackets are open", mostNested)}
	}
	file, err := parseYAML([]byte(text))
	if err != nil {
		if line := tooFarIn(text); line > 0 {
			return nil, &Error{File: d.file, Line: line, Reason: "is indented more than the field above it, which already has a value: fields of one level start in the same column"}
		}
		return nil, d.syntax(text, err)
	}
	var tops []*value
	for _, doc := range file.Docs {
		// A comment or a directive such as %YAML is no content.
		switch doc.Body.(type) {
		case nil, *ast.DirectiveNode, *ast.CommentGroupNode:
		default:
			tops = append(tops, &value{doc: d, node: doc.Body})
		}
	}
	if len(tops) == 0 {
		return nil, &Error{File: d.file, Reason: emptyFile}
	}
	return tops, nil
}

// tooNested returns the line on which brackets are nested too deeply, or 0.
// Brackets in quotes count as well; nobody opens that many.
func tooNested(text string) int {
	line, open := 1, 0
	for i := range len(text) {
		switch text[i] {
		case '\n':
			line++
		case '[', '{':
			open++
		case ']', '}':
			open = max(open-1, 0)
		}
		if open > mostNested {
			return line
		}
	}
	return 0
}

var plainField = regexp.MustCompile(`^( *)(?:- )?[A-Za-z_]+:( +[^ #|>{\["'].*)?$`)

// tooFarIn returns the first line with a field that is farther in than the one above it,
// although that has a value; 0 where there is none. Such a text is no YAML.
func tooFarIn(text string) int {
	above := -1 // column of the field above with a value
	for i, line := range strings.Split(text, "\n") {
		m := plainField.FindStringSubmatch(line)
		if m == nil {
			above = -1
			continue
		}
		if above >= 0 && len(m[1]) > above {
			return i + 1
		}
		if above = -1; m[2] != "" {
			above = len(m[1])
		}
	}
	return 0
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
func (d *document) syntax(text string, err error) error {
	first, _, _ := strings.Cut(err.Error(), "\n")
	line := 0
	if rest, found := strings.CutPrefix(first, "["); found {
		var column int
		if n, _ := fmt.Sscanf(rest, "%d:%d]", &line, &column); n == 2 {
			_, first, _ = strings.Cut(rest, "] ")
		}
	}
	for _, s := range syntaxHints {
		if strings.Contains(first, s.says) {
			reason := s.hint
			if lines := strings.Split(text, "\n"); s.quoted && line > 0 && line <= len(lines) {
				reason += fmt.Sprintf("; found %q", printable(strings.TrimSpace(lines[line-1])))
			}
			return &Error{File: d.file, Line: line, Reason: reason}
		}
	}
	if rest, found := strings.CutPrefix(first, "mapping key "); found {
		if key, before, found := strings.Cut(rest, " already defined at ["); found {
			before, _, _ = strings.Cut(before, ":")
			return &Error{File: d.file, Line: line, Field: strings.Trim(key, `"`), Reason: "appears twice, first on line " + before}
		}
	}
	return &Error{File: d.file, Line: line, Reason: "not readable as YAML: " + printable(first)}
}

// syntaxHints say, for what the parser says of the slips that people make, what
// to do about them.
var syntaxHints = []struct {
	says, hint string
	quoted     bool // whether to say what stands in the line
}{
	{"mapping value is not allowed in this context", `a misplaced ":": a text with ": " in it needs quotes, fields on one line need braces, and fields of one level start in the same column`, false},
	{"non-map value is specified", `a field needs a name, a colon, a space and a value, as in "hold: human-flag"`, true},
	{"'\t' that cannot start any token", "a tab cannot indent, use spaces", false},
	{"found character '\t'", "a tab cannot indent, use spaces", false},
	{"is a reserved character", "a text that starts with @ or ` needs quotes", false},
	{"unexpected directive value", "a text that starts with % needs quotes", false},
	{"could not find flow map content", "braces hold fields with their values, as in {arm_length: +10 cm}", false},
}

// fail records a fault.
func (d *document) fail(line int, field, format string, args ...any) {
	if d.probe != nil {
		if strings.HasPrefix(format, "is missing, as in") && !strings.Contains(field, ".") {
			top := (&value{doc: d}).shape()
			top.required = names.Once(top.required, field)
		}
		return
	}
	d.faults = append(d.faults, &Error{File: d.file, Line: line, Field: printable(field), Reason: fmt.Sprintf(format, args...)})
}

// err joins the faults in the order of their lines.
func (d *document) err() error {
	slices.SortStableFunc(d.faults, func(a, b error) int { return a.(*Error).Line - b.(*Error).Line })
	return errors.Join(d.faults...)
}

// clean returns a function that reports whether no fault has been recorded since.
func (d *document) clean() func() bool {
	before := len(d.faults)
	return func() bool { return len(d.faults) == before }
}

// value is one value in a file, with the name of its field.
type value struct {
	doc   *document
	node  ast.Node
	field string
	key   string // of one that is not there
}

func (v *value) line() int {
	if v.node == nil {
		return 0
	}
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
	if v.doc.probe != nil {
		v.shape().text = true
		return "?", true // which no reader knows
	}
	if _, none := v.node.(*ast.NullNode); none {
		v.fail("has no value")
		return "", false
	}
	if text, ok := written(v.node); ok {
		return text, true
	}
	v.fail("must be a single value, found %s", kind(v.node))
	return "", false
}

// written is a single value as it is written.
func written(n ast.Node) (text string, ok bool) {
	switch n := n.(type) {
	case *ast.StringNode:
		return n.Value, true
	case *ast.LiteralNode:
		return n.Value.Value, true
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		return n.GetToken().Value, true
	}
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
		return "an anchor or alias, which is not supported"
	case *ast.TagNode:
		return "a tag, which is not supported"
	case *ast.NullNode:
		return "nothing"
	}
	return "a single value"
}

// list returns the elements of a list, or the value itself as the only one.
func (v *value) list() []*value {
	if v.doc.probe != nil {
		element := v.below("[]")
		v.shape().elements = element.key
		return []*value{element}
	}
	s, ok := v.node.(*ast.SequenceNode)
	if !ok {
		if text, ok := v.node.(*ast.StringNode); ok && strings.Contains(text.Value, ",") {
			v.fail("a list needs brackets: write [%s]", printable(text.Value))
			return nil
		}
		return []*value{v}
	}
	values := names.Each(s.Values, func(n ast.Node) *value { return &value{doc: v.doc, node: n, field: v.field} })
	if len(values) == 0 {
		v.fail("is an empty list")
	}
	return values
}

// isMapping reports whether the value is a mapping.
func (v *value) isMapping() bool {
	if v.doc.probe != nil {
		return v.goesBothWays()
	}
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

// entries returns the fields of a mapping in the order written. Where these are all that it
// may have, they are named.
func (v *value) entries(allowed ...string) []entry {
	if v.doc.probe != nil {
		if allowed == nil {
			any := v.below("*")
			v.shape().others = any.key
			return []entry{{name: "*", value: any}}
		}
		return names.Each(allowed, v.named)
	}
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
		if k, odd := oddKey(p.Key); odd {
			v.doc.fail(p.GetToken().Position.Line, v.field, "the name of a field must be a plain word, found %s", k)
			continue
		}
		token := p.Key.GetToken()
		name, line := token.Value, token.Position.Line
		field := name
		if v.field != "" {
			field = v.field + "." + name
		}
		if seen[name] {
			v.doc.fail(line, field, "appears twice")
			continue
		}
		seen[name] = true
		entries = append(entries, entry{name, line, &value{doc: v.doc, node: p.Value, field: field}})
	}
	return entries
}

// oddKey reports whether a field's name is something that these files do
// without, and what.
func oddKey(key ast.MapKeyNode) (string, bool) {
	switch key.(type) {
	case *ast.MergeKeyNode:
		return `the merge "<<", which is not supported`, true
	case *ast.MappingKeyNode:
		return `"?", which is not supported`, true
	case *ast.AnchorNode, *ast.AliasNode, *ast.TagNode:
		return kind(key), true
	}
	return "", false
}

// fields hands each field of a mapping to its reader; a field that has none is
// a fault that suggests the nearest name.
func (v *value) fields(readers map[string]func(*value)) {
	names := slices.Sorted(maps.Keys(readers))
	for _, e := range v.entries(names...) {
		if read, ok := readers[e.name]; ok {
			read(e.value)
			continue
		}
		if around, elsewhere := v.doc.within[e.name]; elsewhere && around != v.field {
			v.doc.fail(e.line, e.value.field, "belongs to %s: write it below that, indented by two more spaces", around)
			continue
		}
		meant := called.Meant(e.name, names)
		for _, near := range meant {
			if v.doc.meant == nil {
				v.doc.meant = map[string]bool{}
			}
			v.doc.meant[strings.TrimPrefix(v.field+"."+near, ".")] = true
		}
		hint := called.Hint(meant)
		if slices.Contains(meant, "added_mass") || slices.Contains(meant, "lost_mass") {
			hint += ", as in " + massExample
		}
		v.doc.fail(e.line, e.value.field, "unknown field%s; allowed: %s", hint, strings.Join(names, ", "))
	}
}

// oneOf reads a name out of a list of names.
func (v *value) oneOf(names []string) (string, bool) {
	if v.doc.probe != nil {
		v.shape().names = names
		return names[0], true
	}
	text, ok := v.text()
	if !ok {
		return "", false
	}
	if slices.Contains(names, text) {
		return text, true
	}
	v.fail("unknown name %q%s; allowed: %s", printable(text), called.Suggest(text, names), strings.Join(names, ", "))
	return "", false
}
