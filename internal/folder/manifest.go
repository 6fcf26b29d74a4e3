package folder

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"counterpoise/internal/provenance"
	"counterpoise/sim/names"
)

// ManifestName is the name of the manifest in its folder.
const ManifestName = "manifest.json"

// A Manifest lists the files of a folder and says what they are of.
type Manifest struct {
	Tool    string `json:"tool"`           // name of the program
	Version string `json:"version"`        // of the program
	Code    string `json:"code,omitempty"` // hash of the program's sources
	// Study is the hash of everything that decides what the files are.
	Study string `json:"study"`
	Files []File `json:"files"` // sorted by name
	// Folders are folders inside that are units of their own, sorted.
	Folders []string `json:"folders,omitempty"`
}

// A File is one file of a folder.
type File struct {
	Name  string `json:"name"`   // relative, with slashes
	Bytes int64  `json:"bytes"`  // size
	Hash  string `json:"sha256"` // of its contents
}

// Of is the manifest of what this program makes of a study, whose hash is that of its
// canonical JSON; the files are added by Commit.
func Of(study any) (Manifest, error) {
	text, err := provenance.CanonicalJSON(study)
	if err != nil {
		return Manifest{}, err
	}
	return Manifest{
		Tool: provenance.Tool, Version: provenance.Version(), Code: provenance.Code(), Study: fmt.Sprintf("%x", sha256.Sum256(text)),
	}, nil
}

// Same reports whether two manifests are of the same study by the same code.
func (m *Manifest) Same(other *Manifest) bool {
	return m.Tool == other.Tool && m.Code == other.Code && m.Study == other.Study && (m.Code != "" || m.Version == other.Version)
}

// mostBytes of a manifest are read: a library of ten thousand claims has fewer.
const mostBytes = 64 << 20

// Read reads the manifest of a folder. It fails with [fs.ErrNotExist] where there is
// none.
func Read(path string) (*Manifest, error) {
	name := filepath.Join(path, ManifestName)
	bad := func(format string, args ...any) error {
		return fmt.Errorf("%s: "+format, append([]any{name}, args...)...)
	}
	text, err := provenance.ReadFile(name, mostBytes)
	if err != nil {
		return nil, bad("%w", err)
	}
	m := &Manifest{}
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(m); err != nil {
		return nil, bad("is no manifest: %w", err)
	}
	if m.Tool != provenance.Tool {
		return nil, bad("tool: found %q, allowed: %s", m.Tool, provenance.Tool)
	}
	for _, n := range slices.Concat(m.Folders, names.Each(m.Files, func(f File) string { return f.Name })) {
		if !filepath.IsLocal(filepath.FromSlash(n)) || strings.ContainsRune(n, '\\') || n == ManifestName || n == "." || strings.HasPrefix(n, hidden) {
			return nil, bad("found the name %q, allowed: names inside the folder", n)
		}
	}
	return m, nil
}

// has reports whether a manifest, if there is one, lists the name.
func (m *Manifest) has(name string) bool {
	return m != nil && slices.ContainsFunc(m.Files, func(f File) bool { return f.Name == name })
}

// hasAllOf reports whether the manifest lists everything that lies in a folder inside, empty
// folders included.
func (m *Manifest) hasAllOf(path, name string) bool {
	return m != nil && filepath.WalkDir(filepath.Join(path, filepath.FromSlash(name)), func(at string, e fs.DirEntry, err error) error {
		within, fault := filepath.Rel(path, at)
		if err = errors.Join(err, fault); err != nil {
			return err
		}
		within = filepath.ToSlash(within)
		if !slices.ContainsFunc(m.Files, func(f File) bool { return f.Name == within || e.IsDir() && strings.HasPrefix(f.Name, within+"/") }) {
			return fs.ErrExist
		}
		return nil
	}) == nil
}

// list lists the files in a folder with their hashes.
func list(path string) (files []File, err error) {
	err = filepath.WalkDir(path, func(at string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		name, err := filepath.Rel(path, at)
		if err != nil {
			return err
		}
		f := File{Name: filepath.ToSlash(name)}
		f.Bytes, f.Hash, err = hash(at)
		files = append(files, f)
		return err
	})
	slices.SortFunc(files, func(a, b File) int { return strings.Compare(a.Name, b.Name) })
	return files, err
}

// hash reads a file, which must be a regular one.
func hash(path string) (int64, string, error) {
	info, err := os.Lstat(path)
	if err != nil {
		return 0, "", err
	}
	if !info.Mode().IsRegular() {
		return 0, "", &fs.PathError{Op: "read", Path: path, Err: errors.New("is not a regular file")}
	}
	file, err := os.Open(path)
	if err != nil {
		return 0, "", err
	}
	defer file.Close()
	h := sha256.New()
	n, err := io.Copy(h, file)
	return n, fmt.Sprintf("%x", h.Sum(nil)), err
}

func (m *Manifest) write(folder string) error {
	text, err := json.MarshalIndent(m, "", "  ")
	if err != nil {
		return err
	}
	return provenance.WriteFile(filepath.Join(folder, ManifestName), append(text, '\n'))
}

// A Fault is a file that is not as its folder's manifest says.
type Fault struct {
	Name   string // relative to the folder
	Reason string
}

func (f Fault) String() string { return f.Name + ": " + f.Reason }

// Check compares the files of the folder with the manifest, in folders inside that are
// units of their own too.
func (m *Manifest) Check(path string) (faults []Fault) {
	for _, f := range m.Files {
		n, sum, err := hash(filepath.Join(path, filepath.FromSlash(f.Name)))
		switch {
		case errors.Is(err, fs.ErrNotExist):
			faults = append(faults, Fault{f.Name, "is missing"})
		case err != nil:
			faults = append(faults, Fault{f.Name, provenance.ReasonOf(err).Error()})
		case n != f.Bytes:
			faults = append(faults, Fault{f.Name, fmt.Sprintf("has %d bytes, the manifest says %d", n, f.Bytes)})
		case sum != f.Hash:
			faults = append(faults, Fault{f.Name, "has been changed: another SHA-256 than in the manifest"})
		}
	}
	for _, name := range m.Folders {
		inner, err := Read(filepath.Join(path, name))
		if err != nil {
			faults = append(faults, Fault{name, "has no manifest that can be read"})
			continue
		}
		for _, f := range inner.Check(filepath.Join(path, name)) {
			faults = append(faults, Fault{name + "/" + f.Name, f.Reason})
		}
	}
	return faults
}
