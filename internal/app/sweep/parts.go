package sweep

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"

	"counterpoise/internal/app/console"
	"counterpoise/internal/provenance"
	"counterpoise/sim/anthro"
)

// PartsFolder is where the outcomes of tasks wait, in the folder of --out.
const PartsFolder = "parts"

// partHeader is the first line of a part: "counterpoise part 1".
const partHeader = provenance.Tool + " part 1\n"

// mostPart is the most bytes that a part is read of: tens of times what a task with all
// of its bodies takes.
const mostPart = 4 << 30

// partAbout is the second line of a part, as JSON.
type partAbout struct {
	Task  int              `json:"task"`
	Tasks int              `json:"tasks"`
	Stamp provenance.Stamp `json:"provenance"`
}

// parts keeps the outcomes of tasks as files: two lines that say what the part is
// of, the outcome, and the SHA-256 of all that. A part appears under its name only
// when it is complete. It implements sweep.Parts.
type parts struct {
	folder string
	about  partAbout // of all parts but for the task
	// damaged is told of a part that cannot be used; what it returns ends the run,
	// and nil has the task computed again.
	damaged func(*partError) error
	// own are people of one's own, whose files lie beside the parts so that gather
	// finds them again.
	own []*anthro.Population
}

func (p *parts) ownPath(people *anthro.Population) string {
	return filepath.Join(p.folder, people.Name+".json")
}

// saveOwn puts the files of people of one's own beside the parts.
func (p *parts) saveOwn() error {
	for _, people := range p.own {
		if err := provenance.WriteFile(p.ownPath(people), people.File()); err != nil {
			return err
		}
	}
	return nil
}

// partError is a fault in a part.
type partError struct{ path, reason string }

func (e *partError) Error() string { return e.path + ": " + e.reason }

// PartPath is the file of the part of a task.
func PartPath(folder string, task int) string {
	return filepath.Join(folder, fmt.Sprintf("task-%06d.part", task))
}

var partName = regexp.MustCompile(`^task-(\d{6,})\.part$`)

// head returns the two lines that begin the part of a task.
func (p *parts) head(task int) ([]byte, error) {
	about := p.about
	about.Task = task
	line, err := provenance.CanonicalJSON(about)
	if err != nil {
		return nil, err
	}
	return append(append([]byte(partHeader), line...), '\n'), nil
}

// Save implements sweep.Parts.
func (p *parts) Save(task int, outcome []byte) error {
	data, err := p.head(task)
	if err != nil {
		return err
	}
	data = append(data, outcome...)
	sum := sha256.Sum256(data)
	return provenance.WriteFile(PartPath(p.folder, task), append(data, sum[:]...))
}

// Load implements sweep.Parts.
func (p *parts) Load(task int) ([]byte, error) {
	path := PartPath(p.folder, task)
	f, err := provenance.OpenFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, console.Input(&partError{path, err.Error()})
	}
	defer f.Close()
	head, err := p.head(task)
	if err != nil {
		return nil, err
	}
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	end := info.Size() - sha256.Size
	if end < int64(len(head)) {
		return nil, p.damaged(&partError{path, "is cut short"})
	}
	// In pieces first, as only of a part that is whole it is known how long it may be.
	hash, sum := sha256.New(), make([]byte, sha256.Size)
	if _, err := io.Copy(hash, io.NewSectionReader(f, 0, end)); err != nil {
		return nil, err
	}
	if _, err := f.ReadAt(sum, end); err != nil || !bytes.Equal(hash.Sum(nil), sum) {
		return nil, p.damaged(&partError{path, "is damaged: its checksum does not match"})
	}
	start := make([]byte, len(head))
	if _, err := f.ReadAt(start, 0); err != nil || !bytes.Equal(start, head) {
		about, err := readAbout(path)
		if err != nil {
			return nil, err
		}
		return nil, p.foreign(path, about, task)
	}
	if end > mostPart {
		return nil, console.Input(&partError{path, fmt.Sprintf("has %d bytes, allowed: %d", end, mostPart)})
	}
	outcome := make([]byte, end-int64(len(head)))
	_, err = f.ReadAt(outcome, int64(len(head)))
	return outcome, err
}

// foreign says why a part does not belong to the study.
func (p *parts) foreign(path string, about *partAbout, task int) error {
	reason := provenance.FirstDifference(&about.Stamp, &p.about.Stamp, "there", "here")
	switch {
	case reason != "":
	case about.Tasks != p.about.Tasks:
		reason = fmt.Sprintf("%d tasks there, %d here", about.Tasks, p.about.Tasks)
	case about.Task != task:
		reason = fmt.Sprintf("it is of task %d", about.Task)
	default:
		reason = "it is written in another way"
	}
	return console.Input(&partError{path, "belongs to another study: " + reason})
}

// readAbout reads the lines that begin a part.
func readAbout(path string) (*partAbout, error) {
	f, err := provenance.OpenFile(path)
	if err != nil {
		return nil, console.Input(&partError{path, err.Error()})
	}
	defer f.Close()
	r := bufio.NewReader(io.LimitReader(f, 16<<20))
	header, err := r.ReadString('\n')
	if err != nil || header != partHeader {
		return nil, console.Input(&partError{path, "is not a part of a sweep"})
	}
	line, err := r.ReadBytes('\n')
	about := &partAbout{}
	if err != nil || provenance.Strict(line) != nil || json.Unmarshal(line, about) != nil {
		return nil, console.Input(&partError{path, "is damaged at its beginning"})
	}
	return about, nil
}

// taskOf returns the task of a part's file name, or −1.
func taskOf(name string) int {
	m := partName.FindStringSubmatch(name)
	if m == nil {
		return -1
	}
	task, err := strconv.Atoi(m[1])
	if err != nil {
		return -1
	}
	return task
}

// kept lists the tasks whose parts are in the folder, in order. A folder that is
// not there holds none.
func KeptTasks(folder string) ([]int, error) {
	entries, err := os.ReadDir(folder) // sorted, and so up to a million tasks
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var tasks []int
	for _, e := range entries {
		if task := taskOf(e.Name()); task >= 0 {
			tasks = append(tasks, task)
		}
	}
	return tasks, nil
}

// open makes the folder of the parts and makes sure that what is there already is
// of the same study.
func (p *parts) open() error {
	tasks, err := KeptTasks(p.folder)
	if err != nil {
		return err
	}
	if len(tasks) > 0 {
		path := PartPath(p.folder, tasks[0])
		about, err := readAbout(path)
		var part *partError
		if errors.As(err, &part) {
			return p.damaged(part)
		}
		if err != nil {
			return err
		}
		if provenance.FirstDifference(&about.Stamp, &p.about.Stamp, "there", "here") != "" || about.Tasks != p.about.Tasks {
			return fmt.Errorf("%w; choose another folder for --out, or remove that one", p.foreign(path, about, tasks[0]))
		}
	}
	if err := os.MkdirAll(p.folder, 0o777); err != nil {
		return fmt.Errorf("%s: %w", p.folder, provenance.ReasonOf(err))
	}
	return nil
}

// remove removes the parts, and what killed runs left half-written beside them.
// Anything else stays.
func (p *parts) remove() error {
	entries, err := os.ReadDir(p.folder)
	if err != nil {
		return err
	}
	for _, e := range entries {
		name, hidden := strings.CutPrefix(e.Name(), ".")
		if hidden && strings.HasSuffix(name, ".tmp") {
			name = name[:max(0, len(name)-len(".0123456789abcdef.tmp"))]
		}
		if taskOf(name) >= 0 {
			err = errors.Join(err, os.Remove(filepath.Join(p.folder, e.Name())))
		}
	}
	for _, people := range p.own {
		if fault := os.Remove(p.ownPath(people)); fault != nil && !errors.Is(fault, fs.ErrNotExist) {
			err = errors.Join(err, fault)
		}
	}
	if err == nil {
		os.Remove(p.folder) // unless somebody put something else there
	}
	return err
}

// missing says which of the tasks have no part, or nothing.
func missing(have []int, tasks int) string {
	var gaps []string
	next := 0
	gap := func(to int) {
		switch {
		case to == next+1:
			gaps = append(gaps, strconv.Itoa(next))
		case to > next:
			gaps = append(gaps, fmt.Sprintf("%d-%d", next, to-1))
		}
	}
	for _, task := range have {
		gap(task)
		next = task + 1
	}
	gap(tasks)
	const most = 10
	if len(gaps) > most {
		gaps = append(gaps[:most], fmt.Sprintf("and %d more runs of tasks", len(gaps)-most))
	}
	return strings.Join(gaps, ", ")
}
