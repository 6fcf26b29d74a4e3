// Package survey reads the raw files of the surveys and fits the small data sets
// of package datasets to them.
//
// The raw files are never part of the program. Fit turns a folder of them into
// the derived files, the same bytes each time; the package's test does so and
// compares with what is embedded, and with -update writes it.
package survey

import (
	"bufio"
	"compress/gzip"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"counterpoise/datasets"

	"github.com/ulikunitz/xz"
)

// Variable is the environment variable that names the folder of raw files.
const Variable = "COUNTERPOISE_SURVEYS"

// Folder returns the folder of the raw survey files: that named by Variable,
// else ../shared/data beside the module that the working directory is in. The
// error says where it looked.
func Folder() (string, error) {
	folder := os.Getenv(Variable)
	if folder == "" {
		root, err := moduleRoot()
		if err != nil {
			return "", err
		}
		folder = filepath.Join(root, "../shared/data")
	}
	info, err := os.Stat(folder)
	if err != nil || !info.IsDir() {
		return "", fmt.Errorf("no raw survey files: %s is not a folder; set %s", folder, Variable)
	}
	return folder, nil
}

func moduleRoot() (string, error) {
	at, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for {
		if _, err := os.Stat(filepath.Join(at, "go.mod")); err == nil {
			return at, nil
		}
		up := filepath.Dir(at)
		if up == at {
			return "", errors.New("not inside a Go module")
		}
		at = up
	}
}

// raw is a file as distributed, with the record of where it came from.
type raw struct {
	text   []byte
	record datasets.Raw
}

// readRaw reads a file below folder; of one ending in .gz or .xz, both the text
// and the hash are of what is inside, which does not depend on who packed it.
func readRaw(folder, name, origin string) (raw, error) {
	file, err := os.Open(filepath.Join(folder, name))
	if err != nil {
		return raw{}, err
	}
	defer file.Close()
	var from io.Reader = bufio.NewReader(file) // xz asks for one byte at a time
	switch filepath.Ext(name) {
	case ".gz":
		from, err = gzip.NewReader(from)
	case ".xz":
		from, err = xz.NewReader(from)
	}
	if err != nil {
		return raw{}, fmt.Errorf("%s: %w", name, err)
	}
	name = strings.TrimSuffix(strings.TrimSuffix(name, ".gz"), ".xz")
	text, err := io.ReadAll(from)
	if err != nil {
		return raw{}, fmt.Errorf("%s: %w", name, err)
	}
	sum := sha256.Sum256(text)
	return raw{text, datasets.Raw{File: filepath.Base(name), Origin: origin, SHA256: hex.EncodeToString(sum[:])}}, nil
}

// readColumns reads named columns of numbers from a CSV file with a header line.
// A name may be given more spellings with a bar between. Other columns are not
// looked at, so their encoding does not matter. An empty, "NA" or unreadable
// field is an error that says where.
func readColumns(file raw, names ...string) ([][]float64, error) {
	return readFields(file, finite, names...)
}

// readSparse is readColumns for files that mark what is missing by "NA", which
// becomes NaN.
func readSparse(file raw, names ...string) ([][]float64, error) {
	return readFields(file, func(field string) (float64, bool) {
		if field == "NA" {
			return math.NaN(), true
		}
		return finite(field)
	}, names...)
}

// finite reads a finite number.
func finite(field string) (float64, bool) {
	value, err := strconv.ParseFloat(field, 64)
	return value, err == nil && value-value == 0
}

func readFields(file raw, parse func(string) (float64, bool), names ...string) ([][]float64, error) {
	reader := csv.NewReader(strings.NewReader(string(file.text)))
	reader.ReuseRecord = true
	header, err := reader.Read()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file.record.File, err)
	}
	at := make([]int, len(names))
	for i, name := range names {
		at[i] = -1
		for spelling := range strings.SplitSeq(name, "|") {
			if k := slices.Index(header, spelling); k >= 0 {
				at[i] = k
			}
		}
		if at[i] < 0 {
			return nil, fmt.Errorf("%s: no column %s", file.record.File, name)
		}
	}
	columns := make([][]float64, len(names))
	for {
		record, err := reader.Read()
		if err == io.EOF {
			return columns, nil
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", file.record.File, err)
		}
		for i, k := range at {
			value, ok := parse(record[k])
			if !ok {
				line, _ := reader.FieldPos(k)
				return nil, fmt.Errorf("%s:%d: %s is %q, must be a number", file.record.File, line, names[i], record[k])
			}
			columns[i] = append(columns[i], value)
		}
	}
}
