package datasets

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Every embedded file decodes into its form, bears its own name and says where it
// comes from.
func TestEveryFileReads(t *testing.T) {
	forms := map[string]func() any{
		"athletes":       func() any { return new(Athletes) },
		"people":         func() any { return new(People) },
		"regional":       func() any { return new(Regional) },
		"segments":       func() any { return new(Segments) },
		"strength":       func() any { return new(Size) },
		"strength/norms": func() any { return new(Norms) },
	}
	for _, kind := range []string{"athletes", "people", "regional", "segments", "strength"} {
		names := Names(kind)
		if len(names) == 0 {
			t.Errorf("no data sets in %s", kind)
		}
		for _, name := range names {
			form := forms[kind]
			if own, ok := forms[kind+"/"+name]; ok {
				form = own
			}
			if err := Read(kind, name, form()); err != nil {
				t.Error(err)
			}
			text, err := os.ReadFile(filepath.Join(kind, name+".json"))
			if err != nil {
				t.Fatal(err)
			}
			var head struct {
				Name, Title string
				Provenance  Provenance
			}
			if err := json.Unmarshal(text, &head); err != nil {
				t.Fatal(err)
			}
			if p := head.Provenance; head.Name != name || head.Title == "" || p.Citation == "" || p.Licence == "" || p.Method == "" {
				t.Errorf("%s/%s.json: %+v", kind, name, head)
			}
		}
	}
}

func TestReadUnknownListsTheNames(t *testing.T) {
	err := Read("segments", "deleva", new(Segments))
	if err == nil {
		t.Fatal("no error")
	}
	for _, name := range Names("segments") {
		if !strings.Contains(err.Error(), name) {
			t.Errorf("error %q does not name %s", err, name)
		}
	}
}

// A field that the form does not have is an error, not lost.
func TestReadRefusesAnotherForm(t *testing.T) {
	if err := Read("people", "ansur2-men", new(Regional)); err == nil {
		t.Error("a population was read as regional masses")
	}
}

func TestHashesAreOfTheFiles(t *testing.T) {
	hashes := Hashes()
	files := 0
	err := fs.WalkDir(os.DirFS("."), ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(name, ".json") {
			return err
		}
		files++
		text, err := os.ReadFile(name)
		if sum := sha256.Sum256(text); hashes[name] != hex.EncodeToString(sum[:]) {
			t.Errorf("hash of %s is %q, want %x", name, hashes[name], sum)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(hashes) != files || files < 6 {
		t.Errorf("%d hashes of %d files", len(hashes), files)
	}
}

// SOURCES.md speaks of every data set, of its licence in the same words, and of every raw
// file's hash.
func TestSourcesAreComplete(t *testing.T) {
	text, err := os.ReadFile("SOURCES.md")
	if err != nil {
		t.Fatal(err)
	}
	terms, err := AllTerms()
	if err != nil {
		t.Fatal(err)
	}
	want := []string{}
	for _, of := range terms {
		if of.Title == "" || of.Citation == "" || of.Licence == "" {
			t.Errorf("%s: says %q, %q, %q of its title, origin and licence", of.File, of.Title, of.Citation, of.Licence)
		}
		want = append(want, of.Licence)
	}
	for name := range Hashes() {
		want = append(want, name)
		var of struct{ Provenance Provenance }
		text, err := files.ReadFile(name)
		if err == nil {
			err = json.Unmarshal(text, &of)
		}
		if err != nil {
			t.Fatal(err)
		}
		for _, raw := range of.Provenance.Raw {
			want = append(want, raw.File, raw.SHA256)
		}
	}
	for _, w := range want {
		if !strings.Contains(string(text), w) {
			t.Errorf("SOURCES.md does not have %s", w)
		}
	}
}
