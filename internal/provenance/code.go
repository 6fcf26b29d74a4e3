package provenance

import (
	"fmt"
	"io/fs"
	"strings"
	"sync"
)

// code is the hash of the program's sources once they were handed over.
var code = func() string { return "" }

// SetSources says what sources the program was built from, for its main function to call
// before anything else. Without it, as in tests, stamps do not say what code made an output.
func SetSources(sources fs.FS) {
	code = sync.OnceValue(func() string {
		hash, err := HashSources(sources)
		if err != nil {
			panic(fmt.Sprintf("provenance: the program's own sources: %v", err)) // they are part of it
		}
		return hash
	})
}

// Code is the SHA-256, in hexadecimal, of the sources that this program was built from, or
// nothing where they were not handed over. It is the same for every system and processor.
func Code() string { return code() }

// HashSources is one SHA-256, in hexadecimal, of the names and contents of all files but
// tests.
func HashSources(sources fs.FS) (string, error) {
	return hashTree(sources, ".", func(name string) bool { return !strings.HasSuffix(name, "_test.go") })
}

// ShortHash is as much of a hash as is needed to tell it from others, for people to read.
func ShortHash(hash string) string { return hash[:min(12, len(hash))] }
