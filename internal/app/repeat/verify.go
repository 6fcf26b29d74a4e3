package repeat

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"counterpoise/internal/app/console"
	"counterpoise/internal/folder"
	"counterpoise/internal/provenance"

	"github.com/spf13/cobra"
)

// errNotAsWritten ends a verification that found a fault.
var errNotAsWritten = errors.New("not everything is as it was written")

// VerifyCommand is the command verify.
func VerifyCommand(env *console.Environment) *cobra.Command {
	v := &verification{env: env}
	var runAgain bool
	c := &cobra.Command{
		Use: "verify <folder or file>", Short: "Check that a folder or file is as it was written, and that its study gives it again", Args: cobra.ExactArgs(1),
		Long: `Check every file of a folder that was written with --out, and of the folders inside, against the sizes
and SHA-256 hashes in its manifest.json; or one file of it. With --again, also run again what made
them, and compare every file that is not a picture, byte for byte.

A manifest can be altered like any other file: hashes tell what was damaged or changed by accident,
--again tells whether the numbers follow from what the files say of themselves. Exit code 1 means that
something is not as it was written.`,
		RunE: func(c *cobra.Command, args []string) error {
			if err := v.check(); err != nil {
				return err
			}
			return v.run(c.Context(), filepath.Clean(args[0]), runAgain)
		},
	}
	c.Flags().BoolVar(&runAgain, "again", false, "run again what made the files, and compare")
	v.add(c, "the files were")
	return c
}

type verification struct {
	env *console.Environment
	again
}

func (v *verification) run(ctx context.Context, target string, again bool) error {
	if _, err := os.Lstat(target); err != nil {
		return console.Input(fmt.Errorf("%s: %w", target, provenance.ReasonOf(err)))
	}
	m, err := folder.Read(target)
	if err == nil {
		return v.folder(ctx, target, m, again)
	}
	if info, fault := os.Stat(target); fault == nil && info.IsDir() && !errors.Is(err, fs.ErrNotExist) {
		return console.Input(err)
	}
	return v.file(ctx, target, again)
}

// folder checks a folder by its manifest.
func (v *verification) folder(ctx context.Context, at string, m *folder.Manifest, again bool) error {
	if err := v.tell(at, m, m.Check(at)); err != nil || !again {
		return err
	}
	source, err := sourceOf(at, m)
	if err != nil {
		return console.Input(err)
	}
	made, err := os.MkdirTemp("", provenance.Tool+"-verify-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(made)
	if _, err := source.again(ctx, v.env, v.own, v.workers, made); err != nil {
		return err
	}
	same, faults, err := compare(at, made, "")
	if err != nil {
		return err
	}
	for _, f := range faults {
		fmt.Fprintln(v.env.Stdout, f)
	}
	if len(faults) > 0 {
		return errNotAsWritten
	}
	_, err = fmt.Fprintf(v.env.Stdout, "%s: run again, %d files are the same, byte for byte; pictures were not drawn\n", at, same)
	return err
}

// sourceOf finds a file of a folder that says what made them all: a page tells most, then
// JSON, then tables.
func sourceOf(at string, m *folder.Manifest) (*file, error) {
	for _, ending := range []string{".html", ".json", ".parquet"} {
		for _, listed := range m.Files {
			name := listed.Name
			if table, _, parts := strings.Cut(name, ".parquet/"); parts { // a table of several files
				name = table + ".parquet"
			}
			if path.Ext(name) != ending {
				continue
			}
			if f, err := open(filepath.Join(at, filepath.FromSlash(name))); err == nil {
				return f, nil
			}
		}
	}
	return nil, fmt.Errorf("%s: no file there says what made it", at)
}

// compare compares what was made again with what is there, folders inside too, and counts
// what is the same.
func compare(there, made, within string) (same int, faults []folder.Fault, err error) {
	was, err := folder.Read(filepath.Join(there, within))
	if err != nil {
		return 0, nil, err
	}
	is, err := folder.Read(filepath.Join(made, within))
	if err != nil {
		return 0, nil, err
	}
	for _, f := range is.Files {
		name := path.Join(filepath.ToSlash(within), f.Name)
		i := slices.IndexFunc(was.Files, func(other folder.File) bool { return other.Name == f.Name })
		switch {
		case i < 0:
			faults = append(faults, folder.Fault{Name: name, Reason: "is not there, but its study gives it"})
		case was.Files[i].Hash != f.Hash:
			faults = append(faults, folder.Fault{Name: name, Reason: "is not what its study gives here; repeat says where it differs"})
		default:
			same++
		}
	}
	for _, inner := range is.Folders {
		n, more, err := compare(there, made, filepath.Join(within, inner))
		if err != nil {
			return 0, nil, err
		}
		same, faults = same+n, append(faults, more...)
	}
	return same, faults, nil
}

// file checks one file by the manifest of a folder above it.
func (v *verification) file(ctx context.Context, target string, again bool) error {
	at, name := target, ""
	for range 3 {
		at, name = filepath.Dir(at), path.Join(filepath.Base(at), name)
		m, err := folder.Read(at)
		if err != nil {
			continue
		}
		of := *m
		of.Folders = nil
		of.Files = slices.DeleteFunc(slices.Clone(m.Files), func(f folder.File) bool { return f.Name != name && !strings.HasPrefix(f.Name, name+"/") })
		if len(of.Files) == 0 {
			continue
		}
		if err := v.tell(at, &of, of.Check(at)); err != nil || !again {
			return err
		}
		return v.repeat(ctx, target)
	}
	if !again {
		return console.Input(fmt.Errorf("%s: no manifest lists it; --again runs again what made it, and compares", target))
	}
	return v.repeat(ctx, target)
}

func (v *verification) repeat(ctx context.Context, target string) error {
	f, err := open(target)
	if err != nil {
		return console.Input(err)
	}
	return f.repeat(ctx, v.env, v.own, v.workers)
}

// tell says what came out of a check.
func (v *verification) tell(at string, m *folder.Manifest, faults []folder.Fault) error {
	for _, f := range faults {
		fmt.Fprintf(v.env.Stdout, "%s: %s\n", at, f)
	}
	if len(faults) > 0 {
		return errNotAsWritten
	}
	n := len(m.Files)
	for _, inner := range m.Folders {
		if of, err := folder.Read(filepath.Join(at, inner)); err == nil {
			n += len(of.Files)
		}
	}
	by := m.Tool + " " + m.Version
	if m.Code != "" {
		by += ", code " + provenance.ShortHash(m.Code)
	}
	files := "files are"
	if n == 1 {
		files = "file is"
	}
	_, err := fmt.Fprintf(v.env.Stdout, "%s: %d %s as written (%s)\n", at, n, files, by)
	return err
}
