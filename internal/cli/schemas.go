package cli

import (
	"embed"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"counterpoise/internal/called"
	"counterpoise/internal/study"
	"counterpoise/sim/names"
)

//go:embed outputs/*.json
var outputs embed.FS

// outputsVersion counts the versions of the JSON that commands write. It rises when what read
// it can read it no more; a field that is new does not raise it.
const outputsVersion = 1

// outputNames are the kinds of JSON that commands write and that have a schema.
func outputNames() []string {
	entries, _ := outputs.ReadDir("outputs") // it is in the program
	return names.Each(entries, func(e fs.DirEntry) string { return strings.TrimSuffix(e.Name(), path.Ext(e.Name())) })
}

// schemaNames are those of the files that people write, and then of what commands write.
func schemaNames() []string { return slices.Concat(study.SchemaNames(), outputNames()) }

// schemaNamed is the JSON Schema of a kind of file.
func schemaNamed(kind string) ([]byte, error) {
	switch {
	case slices.Contains(study.SchemaNames(), kind):
		return study.Schema(kind)
	case slices.Contains(outputNames(), kind):
		return outputs.ReadFile("outputs/" + kind + ".json")
	}
	return nil, fmt.Errorf("there is no schema %q%s; known: %s", kind, called.Suggest(kind, schemaNames()), strings.Join(schemaNames(), ", "))
}
