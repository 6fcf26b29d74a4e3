package cli

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"counterpoise/internal/page"
	"counterpoise/internal/provenance"
	"counterpoise/internal/table"
	"counterpoise/sim/anthro"

	"github.com/spf13/cobra"
)

// errDiffers ends a repeat whose outcome is another one.
var errDiffers = errors.New("the repeat differs from the file")

func newRepeat(env *environment) *cobra.Command {
	var workers count
	var people []string
	c := &cobra.Command{
		Use: "repeat <file>", Short: "Run again what made a file, and compare", Args: cobra.ExactArgs(1),
		Long: `Run again what made a file of this program, from the study, seed and assumptions that the
file carries, and compare. Files are the Parquet tables and JSON summaries of claims, persons,
drivers and sweeps, the evidence pages of claims, library.json of several, tables of people, and
what hold untrained prints as JSON.
What is said is "identical", or the first difference and why: another version, other data,
another assumption. Exit code 1 stands for a difference.

Of people of your own a file holds the name and the hash only. Their file is looked for by its
name beside the file, up to two folders above it and in the folder at hand; --people says where
else it lies.`,
		RunE: func(c *cobra.Command, args []string) error {
			if err := checkWorkers(workers); err != nil {
				return err
			}
			return runRepeat(c.Context(), env, args[0], people, int(workers))
		},
	}
	addWorkers(c.Flags(), &workers)
	c.Flags().StringArrayVar(&people, "people", nil, "file of people of your own that the file was made with; may be repeated")
	return c
}

// output is a file made by this program, or by another version of it.
type output struct {
	path  string
	stamp provenance.Stamp
	text  []byte       // of JSON; nil for a table
	whole []byte       // of an evidence page
	page  *page.Beside // what an evidence page tells beside its summary, which text is; else nil
	// people are files of people of one's own, to be looked at before others.
	people []string
	part   string // of a library, the claim; text is then its summary alone
}

func runRepeat(ctx context.Context, env *environment, path string, people []string, workers int) error {
	for _, file := range people {
		if !anthro.IsFile(file) {
			return input(fmt.Errorf("--people %s: a file is needed%s", file, ownHint))
		}
	}
	several, err := openLibrary(path)
	if err != nil {
		return input(err)
	}
	if several == nil {
		old, err := openOutput(path)
		if err != nil {
			return input(err)
		}
		several = []*output{old}
	}
	differs := false
	for _, old := range several {
		old.people = people
		switch err := old.repeat(ctx, env, workers); {
		case errors.Is(err, errDiffers):
			differs = true
		case err != nil:
			return err
		}
	}
	if differs {
		return errDiffers
	}
	return nil
}

// repeat runs again what made the file, and compares.
func (old *output) repeat(ctx context.Context, env *environment, workers int) error {
	name := old.path
	if old.part != "" {
		name += ", " + old.part
	}
	folder, err := os.MkdirTemp("", "counterpoise-repeat-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	file, err := old.again(ctx, env, folder, workers)
	if err != nil {
		return err
	}
	next, err := openOutput(file)
	if err != nil {
		return err
	}
	same, err := old.same(next)
	if err != nil {
		return err
	}
	if same {
		_, err := fmt.Fprintf(env.stdout, "%s: identical, byte for byte (%s %s)\n", name, next.stamp.Tool, next.stamp.Version)
		return err
	}
	difference, err := old.difference(next)
	if err != nil {
		return err
	}
	why := firstDifference(&old.stamp, &next.stamp, "in the file", "in the repeat")
	switch {
	case difference == "" && why == "":
		difference = "the same study and the same values, written in another way"
	case difference == "":
		difference = "the same values"
	}
	if why == "" {
		why = "where both come from is the same: the file was altered, or another kind of processor computed it"
	}
	if _, err := fmt.Fprintf(env.stdout, "%s: differs\nfirst difference: %s\nwhy: %s\n", name, difference, why); err != nil {
		return err
	}
	return errDiffers
}

// mostBytes is the largest summary or page that is read.
const mostBytes = 256 << 20

// openOutput reads where a file comes from.
func openOutput(path string) (*output, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, reasonOf(err))
	}
	m := &output{path: path}
	start := make([]byte, 1)
	if !info.IsDir() {
		f, err := os.Open(path)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", path, reasonOf(err))
		}
		defer f.Close()
		if _, err := io.ReadFull(f, start); err != nil {
			return nil, fmt.Errorf("%s: is empty", path)
		}
	}
	if info.IsDir() || start[0] == 'P' {
		r, err := table.Open(path)
		if err != nil {
			return nil, err
		}
		defer r.Close()
		m.stamp, err = stampFrom(r.Metadata())
		if err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
		return m, nil
	}
	if info.Size() > mostBytes {
		return nil, fmt.Errorf("%s: is neither a table nor a summary of this program", path)
	}
	if m.text, err = os.ReadFile(path); err != nil {
		return nil, fmt.Errorf("%s: %w", path, reasonOf(err))
	}
	if start[0] == '<' {
		if err := m.readPage(m.text); err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
	}
	return m, m.readStamp()
}

// readStamp reads where a summary comes from.
func (m *output) readStamp() error {
	var summary struct {
		Provenance *provenance.Stamp `json:"provenance"`
	}
	if err := json.Unmarshal(m.text, &summary); err != nil {
		return fmt.Errorf("%s: holds no provenance: a Parquet table or a JSON summary of this program is needed", m.path)
	}
	if summary.Provenance == nil || summary.Provenance.Tool != provenance.Tool || len(summary.Provenance.Study) == 0 {
		return fmt.Errorf("%s: holds no provenance of %s", m.path, provenance.Tool)
	}
	m.stamp = *summary.Provenance
	return nil
}

// openLibrary reads the summaries of a library.json, or returns none where the file
// is something else.
func openLibrary(path string) ([]*output, error) {
	if info, err := os.Stat(path); err != nil || !info.Mode().IsRegular() || info.Size() > mostBytes {
		return nil, nil
	}
	text, err := os.ReadFile(path)
	if err != nil || len(text) == 0 || text[0] != '{' {
		return nil, nil // what is wrong with it is said by openOutput
	}
	var library struct {
		Claims []json.RawMessage `json:"claims"`
	}
	if json.Unmarshal(text, &library) != nil || len(library.Claims) == 0 {
		return nil, nil
	}
	var list []*output
	for i, summary := range library.Claims {
		var named struct {
			Claim string `json:"claim"`
		}
		var whole bytes.Buffer // as in the claim's own summary.json
		if err := errors.Join(json.Unmarshal(summary, &named), json.Indent(&whole, summary, "", "  ")); err != nil {
			return nil, fmt.Errorf("%s: claim %d: %w", path, i+1, err)
		}
		whole.WriteByte('\n')
		m := &output{path: path, text: whole.Bytes(), part: named.Claim}
		if err := m.readStamp(); err != nil {
			return nil, fmt.Errorf("%w (claim %d)", err, i+1)
		}
		list = append(list, m)
	}
	return list, nil
}

// stampFrom is the inverse of provenance.Stamp.KeyValues.
func stampFrom(pairs []provenance.KeyValue) (provenance.Stamp, error) {
	s := provenance.Stamp{}
	for _, pair := range pairs {
		var err error
		switch pair.Key {
		case provenance.KeyVersion:
			s.Tool, s.Version, _ = strings.Cut(pair.Value, " ")
		case provenance.KeyStudy:
			s.Study = json.RawMessage(pair.Value)
		case provenance.KeySeed:
			s.Seed, err = strconv.ParseUint(pair.Value, 10, 64)
		case provenance.KeyData:
			err = json.Unmarshal([]byte(pair.Value), &s.Data)
		case provenance.KeyAssumptions:
			err = json.Unmarshal([]byte(pair.Value), &s.Assumptions)
		}
		if err != nil {
			return s, fmt.Errorf("metadata %s: %w", pair.Key, err)
		}
	}
	if s.Tool != provenance.Tool || len(s.Study) == 0 {
		return s, fmt.Errorf("holds no provenance of %s", provenance.Tool)
	}
	return s, nil
}

// again runs what made the file, with its files in a folder, and returns the one
// that corresponds.
func (m *output) again(ctx context.Context, env *environment, folder string, workers int) (string, error) {
	var study map[string]json.RawMessage
	if err := json.Unmarshal(m.stamp.Study, &study); err != nil {
		return "", input(fmt.Errorf("%s: the study in it cannot be read: %w", m.path, err))
	}
	quiet := &environment{stdin: env.stdin, stdout: io.Discard, stderr: env.stderr}
	switch {
	case study["command"] != nil:
		return m.commandAgain(ctx, quiet, folder, workers)
	case study["sweep"] != nil:
		return m.sweepAgain(ctx, quiet, folder, workers)
	case study["claim"] != nil:
		return m.claimAgain(ctx, quiet, folder, workers)
	case study["people"] != nil && m.text == nil && study["claim"] == nil && study["hold"] == nil:
		return m.peopleAgain(ctx, quiet, folder, workers)
	}
	return "", input(fmt.Errorf("%s: was made by a command that this program does not know", m.path))
}

// sweepAgain runs a sweep.
func (m *output) sweepAgain(ctx context.Context, env *environment, folder string, workers int) (string, error) {
	s, err := studyOf(&m.stamp)
	if err != nil {
		return "", input(fmt.Errorf("%s: %w", m.path, err))
	}
	if err := m.finder().sweep(s); err != nil {
		return "", input(fmt.Errorf("%s: %w", m.path, err))
	}
	name := "summary.json"
	if m.text == nil {
		r, err := table.Open(m.path)
		if err != nil {
			return "", err
		}
		name = "bodies.parquet"
		if slices.ContainsFunc(r.Columns(), func(c table.Column) bool { return c.Name == "statistic" }) {
			name = "sweep.parquet"
		}
		r.Close()
	}
	o := &sweepOptions{workers: count(workers), format: "parquet", look: noCharts()}
	if err := sweepInto(ctx, env, o, s, &outFolder{path: folder}); err != nil {
		return "", err
	}
	return filepath.Join(folder, name), nil
}

// same compares a file with its repeat, byte by byte.
func (m *output) same(next *output) (bool, error) {
	switch {
	case m.page != nil:
		return next.page != nil && bytes.Equal(m.whole, next.whole), nil
	case m.text != nil:
		return bytes.Equal(m.text, next.text), nil
	}
	was, err := digest(m.path)
	if err != nil {
		return false, err
	}
	is, err := digest(next.path)
	return was == is, err
}

// digest sums up a file, or the files of a folder with their names.
func digest(path string) ([sha256.Size]byte, error) {
	var list bytes.Buffer
	err := filepath.WalkDir(path, func(file string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		f, err := os.Open(file)
		if err != nil {
			return err
		}
		defer f.Close()
		sum := sha256.New()
		_, err = io.Copy(sum, f)
		fmt.Fprintf(&list, "%s %x\n", strings.TrimPrefix(file, path), sum.Sum(nil))
		return err
	})
	return sha256.Sum256(list.Bytes()), err
}
