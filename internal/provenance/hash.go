package provenance

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// DataHash is one SHA-256, in hexadecimal, of the names and hashes of all data sets
// of the stamp.
func (s Stamp) DataHash() (string, error) {
	text, err := CanonicalJSON(s.Data)
	if err != nil {
		return "", err
	}
	return hashOf(text), nil
}

// StudyHash is the SHA-256, in hexadecimal, of the resolved study.
func (s Stamp) StudyHash() string { return hashOf(s.Study) }

func hashOf(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}

// HashFiles is one SHA-256, in hexadecimal, of a file, or of the files of a folder with
// their names.
func HashFiles(path string) (string, error) {
	whole, err := filepath.Abs(path)
	if err != nil {
		return "", err
	}
	return hashTree(os.DirFS(filepath.Dir(whole)), filepath.Base(whole), func(string) bool { return true })
}

// hashTree hashes the files below root whose names are kept.
func hashTree(files fs.FS, root string, keep func(name string) bool) (string, error) {
	var list bytes.Buffer
	err := fs.WalkDir(files, root, func(file string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || !keep(file) {
			return err
		}
		f, err := files.Open(file)
		if err != nil {
			return err
		}
		defer f.Close()
		sum := sha256.New()
		_, err = io.Copy(sum, f)
		fmt.Fprintf(&list, "%s %x\n", strings.TrimPrefix(file, root), sum.Sum(nil))
		return err
	})
	return hashOf(list.Bytes()), err
}
