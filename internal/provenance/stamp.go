// Package provenance says where an output came from, and writes outputs so
// that no half-written file ever stands under a final name.
//
// A [Stamp] holds everything that is needed to make the same output again, and
// nothing else: no clock, no host, no user, no path. Two runs of the same
// version, built from the same sources, on the same study and seed carry the same
// stamp, byte for byte.
package provenance

import (
	"encoding/json"
	"errors"
	"fmt"
	"regexp"
	"runtime/debug"
	"strconv"
	"strings"
)

// Tool is the name that every stamp carries.
const Tool = "counterpoise"

// Keys of the pairs that [Stamp.KeyValues] returns.
const (
	KeyVersion     = Tool + ".version"
	KeyCode        = Tool + ".code"
	KeyStudy       = Tool + ".study"
	KeySeed        = Tool + ".seed"
	KeyData        = Tool + ".data"
	KeyAssumptions = Tool + ".assumptions"
)

// KeyValue is one pair of a file's metadata.
type KeyValue struct{ Key, Value string }

// Stamp is the origin of an output. Marshalled to JSON it is one object; the
// seed is a string there because JavaScript cannot hold every 64-bit integer.
type Stamp struct {
	Tool    string `json:"tool"`    // name of the program
	Version string `json:"version"` // of the program
	// Code is the SHA-256 of the sources that the program was built from, see [Code].
	Code  string          `json:"code,omitempty"`
	Study json.RawMessage `json:"study"`       // canonical JSON, every default filled in
	Seed  uint64          `json:"seed,string"` // of the random streams
	// Data maps the name of each data set used to its SHA-256, in hexadecimal.
	Data map[string]string `json:"data"`
	// Assumptions maps the name of each assumption to the value it had.
	Assumptions map[string]float64 `json:"assumptions"`
}

// NewStamp stamps the resolved study, made with seed from the data sets whose
// hashes are in data and under the given assumptions, with this program's
// version and code. The maps are kept, not copied. It fails if study cannot be written
// as JSON, or if an assumption is NaN or infinite.
func NewStamp(study any, seed uint64, data map[string]string, assumptions map[string]float64) (Stamp, error) {
	canonical, err := CanonicalJSON(study)
	if err != nil {
		return Stamp{}, fmt.Errorf("provenance: study: %w", err)
	}
	if data == nil {
		data = map[string]string{}
	}
	if assumptions == nil {
		assumptions = map[string]float64{}
	}
	stamp := Stamp{Tool: Tool, Version: Version(), Code: Code(), Study: canonical, Seed: seed, Data: data, Assumptions: assumptions}
	if _, err := CanonicalJSON(stamp); err != nil {
		return Stamp{}, fmt.Errorf("provenance: assumptions: %w", err)
	}
	return stamp, nil
}

// KeyValues returns the stamp as metadata pairs in a fixed order. It fails
// only for a Stamp that was put together by hand from values JSON cannot hold.
func (s Stamp) KeyValues() ([]KeyValue, error) {
	data, err := CanonicalJSON(s.Data)
	if err != nil {
		return nil, fmt.Errorf("provenance: data: %w", err)
	}
	assumptions, err := CanonicalJSON(s.Assumptions)
	if err != nil {
		return nil, fmt.Errorf("provenance: assumptions: %w", err)
	}
	pairs := []KeyValue{
		{KeyVersion, s.Tool + " " + s.Version},
		{KeyStudy, string(s.Study)},
		{KeySeed, strconv.FormatUint(s.Seed, 10)},
		{KeyData, string(data)},
		{KeyAssumptions, string(assumptions)},
	}
	if s.Code != "" {
		pairs = append(pairs, KeyValue{KeyCode, s.Code})
	}
	return pairs, nil
}

// version is set by the linker in a release:
// -ldflags "-X counterpoise/internal/provenance.version=v1.2.3".
var version string

// Version is this program's version: the one that a release was linked with, else the
// module's where that is a release or the revision after one; else the revision of the sources
// ("revision-0123456789ab", with "-modified" if they had changed since); else their hash
// ("sources-0123456789ab", see [Code]). Without any, as in tests, it is "unversioned".
func Version() string {
	if version != "" {
		return version
	}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		info = &debug.BuildInfo{}
	}
	return versionOf(info, Code)
}

// Credit names the program with its version, as pages and pictures credit it.
func Credit() string { return Tool + " " + Version() }

// between is the version that Go gives a revision between releases as long as there is none.
var between = regexp.MustCompile(`^v0\.0\.0-\d{14}-([0-9a-f]{12})(\+dirty)?$`)

func versionOf(info *debug.BuildInfo, code func() string) string {
	settings := map[string]string{}
	if m := between.FindStringSubmatch(info.Main.Version); m != nil {
		settings["vcs.revision"], settings["vcs.modified"] = m[1], strconv.FormatBool(m[2] != "")
	} else if info.Main.Version != "" && info.Main.Version != "(devel)" {
		return info.Main.Version // a release, or the revision after one
	}
	for _, setting := range info.Settings {
		settings[setting.Key] = setting.Value
	}
	if revision := settings["vcs.revision"]; revision != "" {
		of := "revision-" + strings.ToLower(ShortHash(revision))
		if settings["vcs.modified"] == "true" {
			of += "-modified"
		}
		return of
	}
	if hash := code(); hash != "" {
		return "sources-" + ShortHash(hash)
	}
	return "unversioned"
}

// StampsIn reads where a summary comes from, or each of the claims in one.
func StampsIn(text []byte) (stamps []Stamp, err error) {
	type summary struct {
		Provenance *Stamp `json:"provenance"`
	}
	var read struct {
		summary
		Claims []summary `json:"claims"`
	}
	if err := errors.Join(Strict(text), json.Unmarshal(text, &read)); err != nil {
		first, _, _ := strings.Cut(err.Error(), "\n")
		return nil, fmt.Errorf("its provenance cannot be read: %s", first)
	}
	for _, of := range append(read.Claims, read.summary) {
		if of.Provenance != nil {
			stamps = append(stamps, *of.Provenance)
		}
	}
	return stamps, nil
}
