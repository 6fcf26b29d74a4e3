package provenance

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strconv"
	"strings"
	"sync/atomic"

	"counterpoise/sim/plain"
)

// Outputs are read as files that anybody may have altered.
const (
	// MostBytes is the largest output that is read as a whole.
	MostBytes = 64 << 20
	// mostStudy is the longest study in a stamp: that of hundreds of persons, with the
	// texts of their holds.
	mostStudy = 16 << 20
	// mostNested is how many brackets may be open in JSON; outputs have a dozen.
	mostNested = 64
	// mostVersion is how many bytes a version has at most, with the hash of its sources.
	mostVersion = 200
)

// OpenFile opens a regular file for reading. A pipe could wait for ever and a device go
// on for ever, so they are refused without being opened.
func OpenFile(path string) (*os.File, error) {
	info, err := os.Stat(path)
	if err == nil && info.IsDir() {
		err = ErrFolder
	} else if err == nil && !info.Mode().IsRegular() {
		err = errors.New("is not a regular file")
	}
	var f *os.File
	if err == nil {
		f, err = os.Open(path)
	}
	return f, ReasonOf(err)
}

// ReasonOf strips what a path error says beside the reason.
func ReasonOf(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	return err
}

// ErrFolder is the error of ReadInput for a folder.
var ErrFolder = errors.New("is a folder, a file is needed")

var inputs atomic.Int64 // being read

// Reading reports whether an input is being read, which may be a pipe that nobody writes
// to: who is told to stop meanwhile need not wait for it, as nothing was begun yet.
func Reading() bool { return inputs.Load() > 0 }

// ReadInput returns the text of a file that somebody wrote, which may also be a pipe, but
// of one that has more than so many bytes only one more, so that it is seen to be too long.
func ReadInput(path string, most int64) ([]byte, error) {
	inputs.Add(1)
	defer inputs.Add(-1)
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, ErrFolder
	}
	return io.ReadAll(io.LimitReader(f, most+1))
}

// ReadFile returns the text of a regular file of at most so many bytes.
func ReadFile(path string, most int64) ([]byte, error) {
	f, err := OpenFile(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	long := fmt.Errorf("is too long, at most %d bytes are read", most)
	if info, err := f.Stat(); err == nil && info.Size() > most {
		return nil, long
	}
	text, err := io.ReadAll(io.LimitReader(f, most+1)) // it may grow meanwhile
	if err == nil && int64(len(text)) > most {
		return nil, long
	}
	return text, err
}

// Strict checks JSON of an output beyond its grammar: it is one value whose objects have
// each key once, whose brackets are not nested deeply, and whose texts hold nothing that
// a terminal would obey.
func Strict(text []byte) error {
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	var keys []map[string]bool // of the objects that are open; nil of an array
	read := false              // whether there is anything
	key := false               // whether a key comes next, not its value
	for {
		token, err := d.Token()
		if err == io.EOF && read && len(keys) == 0 {
			return nil
		}
		if err != nil {
			return fmt.Errorf("byte %d: not readable as JSON: %w", d.InputOffset(), err)
		}
		read = true
		word, isText := token.(string)
		if isText && strings.ContainsFunc(word, plain.Obeyed) {
			return fmt.Errorf("byte %d: holds a control character", d.InputOffset())
		}
		switch {
		case isText && key:
			last := keys[len(keys)-1]
			if last[word] {
				return fmt.Errorf("byte %d: the key %.60q appears twice", d.InputOffset(), word)
			}
			last[word], key = true, false
			continue
		case token == json.Delim('{'):
			keys = append(keys, map[string]bool{})
		case token == json.Delim('['):
			keys = append(keys, nil)
		case token == json.Delim('}') || token == json.Delim(']'):
			keys = keys[:len(keys)-1]
		}
		if len(keys) > mostNested {
			return fmt.Errorf("byte %d: more than %d brackets are open", d.InputOffset(), mostNested)
		}
		if len(keys) == 0 && d.More() {
			return fmt.Errorf("byte %d: something follows the JSON", d.InputOffset())
		}
		key = len(keys) > 0 && keys[len(keys)-1] != nil
	}
}

// StampFrom is the inverse of [Stamp.KeyValues].
func StampFrom(pairs []KeyValue) (Stamp, error) {
	s := Stamp{}
	for _, pair := range pairs {
		var err error
		switch pair.Key {
		case KeyVersion:
			s.Tool, s.Version, _ = strings.Cut(pair.Value, " ")
		case KeyCode:
			s.Code = pair.Value
		case KeyStudy:
			s.Study = json.RawMessage(pair.Value)
		case KeySeed:
			s.Seed, err = strconv.ParseUint(pair.Value, 10, 64)
		case KeyData:
			err = strictly([]byte(pair.Value), &s.Data)
		case KeyAssumptions:
			err = strictly([]byte(pair.Value), &s.Assumptions)
		}
		if err != nil {
			return s, fmt.Errorf("metadata %s: %w", pair.Key, err)
		}
	}
	if err := s.Check(); err != nil {
		return s, err
	}
	if err := Strict(s.Study); err != nil {
		return s, fmt.Errorf("metadata %s: %w", KeyStudy, err)
	}
	return s, nil
}

// strictly reads JSON that must be strict.
func strictly(text []byte, into any) error {
	if err := Strict(text); err != nil {
		return err
	}
	return json.Unmarshal(text, into)
}

// Check reports a stamp that is none of this program. Of what it holds in JSON see [Strict].
func (s *Stamp) Check() error {
	switch {
	case s.Tool != Tool || len(s.Study) == 0 || s.Study[0] != '{':
		return fmt.Errorf("holds no provenance of %s", Tool)
	case len(s.Study) > mostStudy:
		return fmt.Errorf("the study in it has %d bytes, allowed: %d", len(s.Study), mostStudy)
	case len(s.Version+s.Code) > mostVersion || plain.CheckText("version", s.Version+s.Code) != nil:
		return errors.New("the version in it is not one of this program")
	}
	return nil
}
