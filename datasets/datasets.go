// Package datasets holds the small derived data sets that are built into the
// program: populations, athletes, regional body masses, segment tables and norms of strength. SOURCES.md in
// this directory says where each comes from, under which terms, and how it was
// derived. The package knows the form of the files, not what they are for.
package datasets

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io/fs"
	"path"
	"strings"
)

//go:embed athletes/*.json people/*.json refits/*.json regional/*.json segments/*.json strength/*.json
var files embed.FS

// Names returns the data sets of one kind ("athletes", "people", "refits", "regional",
// "segments" or "strength"), sorted.
func Names(kind string) []string {
	entries, err := files.ReadDir(kind)
	if err != nil {
		panic("datasets: no such kind of data set")
	}
	names := make([]string, len(entries))
	for i, entry := range entries {
		names[i] = strings.TrimSuffix(entry.Name(), ".json")
	}
	return names
}

// Read decodes one data set of a kind into dst, a pointer to Athletes, People, Refits,
// Regional, Segments or, of strength, to Size or Norms. The error for an unknown
// name lists the names there are.
func Read(kind, name string, dst any) error {
	text, err := files.ReadFile(path.Join(kind, name+".json"))
	if err != nil {
		return fmt.Errorf("no data set %q in %s; there are %s", name, kind, strings.Join(Names(kind), ", "))
	}
	decoder := json.NewDecoder(bytes.NewReader(text))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(dst); err != nil {
		return fmt.Errorf("%s/%s.json: %w", kind, name, err)
	}
	return nil
}

// Hashes returns the SHA-256 of every embedded file in hexadecimal, by its path.
func Hashes() map[string]string {
	hashes := map[string]string{}
	err := fs.WalkDir(files, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		text, err := files.ReadFile(name)
		if err != nil {
			return err
		}
		sum := sha256.Sum256(text)
		hashes[name] = hex.EncodeToString(sum[:])
		return nil
	})
	if err != nil {
		panic("datasets: embedded files cannot be read")
	}
	return hashes
}
