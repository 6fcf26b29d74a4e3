package counterpoise

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"counterpoise/internal/golden"
)

// Every file that the program is made of, here or on another system, is among its sources,
// as it is on the disk.
func TestSourcesAreWhole(t *testing.T) {
	root := golden.Must(os.Getwd())(t)
	found := 0
	for _, system := range []string{"linux/amd64", "windows/arm64"} {
		command := exec.Command("go", "list", "-deps", "-json=Dir,Module,GoFiles,SFiles,EmbedFiles", "./cmd/counterpoise")
		goos, goarch, _ := strings.Cut(system, "/")
		command.Env = append(os.Environ(), "GOOS="+goos, "GOARCH="+goarch, "CGO_ENABLED=0")
		out, err := command.Output()
		if err != nil {
			t.Fatalf("go list: %v", err)
		}
		for d := json.NewDecoder(bytes.NewReader(out)); ; {
			var p struct {
				Dir                         string
				Module                      *struct{ Path string }
				GoFiles, SFiles, EmbedFiles []string
			}
			if err := d.Decode(&p); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatal(err)
			}
			folder, err := filepath.Rel(root, p.Dir)
			if p.Module == nil || p.Module.Path != "counterpoise" || folder == "." {
				continue
			}
			files := append(p.GoFiles, p.SFiles...)
			if folder != "datasets" {
				files = append(files, p.EmbedFiles...)
			}
			for _, name := range files {
				found++
				held, fault := fs.ReadFile(Sources, filepath.ToSlash(filepath.Join(folder, name)))
				disk, fault2 := os.ReadFile(filepath.Join(p.Dir, name))
				if err := errors.Join(err, fault, fault2); err != nil {
					t.Error(err)
				} else if !bytes.Equal(held, disk) {
					t.Errorf("%s/%s: another file is among the sources", folder, name)
				}
			}
		}
	}
	if found < 300 {
		t.Errorf("only %d files were looked for", found)
	}
}
