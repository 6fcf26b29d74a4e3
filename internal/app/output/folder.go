// Package output is what commands leave behind: folders and files that appear whole or not at
// all, charts, summaries, and the stamp that says where they come from.
package output

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"runtime"
	"sync"

	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/draw"
	"counterpoise/internal/folder"
	"counterpoise/internal/provenance"
	"counterpoise/sim/names"
)

// Placed is a chart with the folder that it goes to.
type Placed struct {
	folder string
	draw.Named
}

// PlacedIn puts charts into a folder.
func PlacedIn(folder string, figures []draw.Named) []Placed {
	return names.Each(figures, func(f draw.Named) Placed { return Placed{folder, f} })
}

// Draw writes charts, several at a time, divided where the size asks for it. One that
// cannot be drawn so that it can be read is left out, and told of: the numbers are in
// the table and the summary.
func Draw(env *console.Environment, l flags.Look, figures []Placed) error {
	size, theme, err := l.Resolve()
	if err != nil || l.None {
		return err
	}
	type outcome struct {
		left   []string // messages on charts left out
		failed error
	}
	outcomes := make([]outcome, len(figures))
	queue := make(chan int)
	var drawing sync.WaitGroup
	for range min(len(figures), max(4, runtime.GOMAXPROCS(0))) {
		drawing.Go(func() {
			for i := range queue {
				out := &outcomes[i]
				for _, f := range draw.Paged([]draw.Named{figures[i].Named}, size) {
					_, err := draw.Save(figures[i].folder, f.Name, f.Figure, size, theme)
					var refused *draw.Refusal
					if errors.As(err, &refused) {
						out.left = append(out.left, fmt.Sprintf("the chart %s is left out: %v", f.Name, err))
					} else if err != nil {
						out.failed = err
					}
				}
			}
		})
	}
	for i := range figures {
		queue <- i
	}
	close(queue)
	drawing.Wait()
	for _, out := range outcomes {
		for _, text := range out.left {
			fmt.Fprintln(env.Stderr, "counterpoise: "+text)
		}
	}
	for _, out := range outcomes {
		if out.failed != nil {
			return out.failed // of many for one reason, such as a full disk
		}
	}
	return nil
}

// Folder is the folder that --out names, written as a unit.
type Folder struct {
	Name string // as it was named
	Path string // where files are made ready, to be placed by Commit
	unit *folder.Folder
}

// Kept is where to keep a file that helps a run go on which is stopped before Commit.
func (f *Folder) Kept(name string) string { return f.unit.Kept(name) }

// OpenFolder makes the folder if need be and makes sure, before any work, that files can be
// written there and that nobody else does.
func OpenFolder(path string) (*Folder, error) { return OpenFolderOf("--out", path) }

// OpenFolderOf is OpenFolder for another flag.
func OpenFolderOf(flag, path string) (*Folder, error) {
	unit, err := folder.Open(path)
	if err != nil {
		return nil, fmt.Errorf("%s %w", flag, err)
	}
	return &Folder{path, unit.Staging(), unit}, nil
}

// OpenShared opens the folder beside others who keep their parts of one study there. Nothing
// is made ready in it, nor placed.
func OpenShared(path string) (*Folder, error) {
	unit, err := folder.OpenShared(path)
	if err != nil {
		return nil, fmt.Errorf("--out %w", err)
	}
	return &Folder{Name: path, unit: unit}, nil
}

// Open opens the folder that --out names; nil where there is none.
func Open(p flags.Path) (*Folder, error) {
	if p == "" {
		return nil, nil
	}
	return OpenFolder(string(p))
}

// Commit places the files, which are of a study, with the folders inside that are units of
// their own.
func (f *Folder) Commit(study any, folders ...string) error {
	m, err := folder.Of(study)
	if err != nil {
		return err
	}
	m.Folders = folders
	return f.unit.Commit(m)
}

// Close lets go of the folder; what was not committed is gone. It is for defer, and may be
// called for no folder.
func (f *Folder) Close() {
	if f != nil {
		f.unit.Close()
	}
}

// Publish writes a summary and what files writes into the folder, where there is one, and
// prints the summary where JSON is asked for, else the text.
func Publish(env *console.Environment, out *Folder, stamp provenance.Stamp, asJSON bool, name string, summary []byte, files func(folder string) error, text func(io.Writer) error) error {
	if out != nil {
		if err := provenance.WriteFile(filepath.Join(out.Path, name), summary); err != nil {
			return err
		}
		if err := files(out.Path); err != nil {
			return err
		}
		if err := out.Commit(stamp); err != nil {
			return err
		}
	}
	if !asJSON {
		return text(env.Stdout)
	}
	_, err := env.Stdout.Write(summary)
	return err
}
