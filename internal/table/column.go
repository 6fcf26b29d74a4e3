// Package table writes and reads columns of numbers as Parquet files.
//
// It is deliberately narrow: columns are 32-bit floats, 32- or 64-bit integers
// and short texts that are often the same, and have no null. Every column says its unit in its name and is
// described in the file. Files of the same rows are the same bytes, whatever
// the blocks the rows came in.
//
// A table of up to [PartRows] rows is one file; a larger one is a folder of
// part files, which every Parquet reader takes as one table. Both appear under
// their name only when complete.
//
// The layout (byte-stream-split floats under LZ4; a dictionary for texts; row groups of
// 262,144 rows; pages of 128 KiB) was chosen by measuring columns of simulated
// measurements: the fractions hardly shrink, and LZ4 is quick to find that out. The files
// are a fifth smaller than raw floats; Zstandard's are hardly smaller, at twice the time.
// Snappy is as quick, but its encoder makes other bytes on other processors.
package table

import (
	"errors"
	"fmt"
	"regexp"
	"strings"

	"counterpoise/internal/provenance"
	"counterpoise/sim/names"
)

// Kind is the type of a column's values.
type Kind int

// The kinds. Float32 keeps seven digits, far more than any measurement of a
// body; what has to be exact, such as row numbers and seeds, is an integer.
const (
	Float32 Kind = iota
	Int32
	Int64
	Text // names of few different values, always with a dictionary
)

var kinds = names.List[Kind]{"float32", "int32", "int64", "text"}

// String names the kind as files do.
func (k Kind) String() string { return kinds.Of(k) }

// MarshalText writes the kind's name.
func (k Kind) MarshalText() ([]byte, error) { return kinds.Marshal(k) }

// UnmarshalText reads what MarshalText writes.
func (k *Kind) UnmarshalText(text []byte) error { return kinds.Unmarshal(k, text) }

// Column describes one column. As JSON it is stored in the file.
type Column struct {
	// Name is lower case with underscores and ends in its unit if it has one:
	// "best_angle_deg", "required_force_bw".
	// A name that ends like a unit must have that unit.
	Name string `json:"name"`
	Kind Kind   `json:"kind"`
	// Unit is the unit as printed: "deg", "BW", "N·m"; "" for ratios, flags
	// and numbers of rows.
	Unit string `json:"unit"`
	// Description is one sentence for whoever opens the file without us.
	Description string `json:"description"`
	// Missing allows NaN, which then means that the row has no such value.
	// Without it a NaN is an error. Infinities are always allowed.
	Missing bool `json:"missing,omitempty"`
}

// endings are the ends of names that promise a unit.
var endings = []struct{ ending, unit string }{
	// An ending comes before the shorter endings it contains.
	{"_bw_m", "BW·m"},
	{"_kg_m2", "kg/m²"},
	{"_m2", "m²"},
	{"_bw", "BW"},
	{"_n", "N"},
	{"_nm", "N·m"},
	{"_m", "m"},
	{"_cm", "cm"},
	{"_mm", "mm"},
	{"_kg", "kg"},
	{"_deg", "deg"},
	{"_rad", "rad"},
	{"_s", "s"},
	{"_years", "years"},
	{"_percent", "%"},
	{"_ratio", ""},
	{"_share", ""},
	{"_count", ""},
}

var namePattern = regexp.MustCompile(`^[a-z][a-z0-9_]*$`)

// validate checks the name, that it ends in the unit, and that there is a
// description.
func (c Column) validate() error {
	switch {
	case !namePattern.MatchString(c.Name):
		return fmt.Errorf("table: column name %q is not made of lower-case letters, digits and underscores", c.Name)
	case c.Kind < Float32 || c.Kind > Text:
		return fmt.Errorf("table: column %s has no kind %d", c.Name, int(c.Kind))
	case c.Description == "":
		return fmt.Errorf("table: column %s has no description", c.Name)
	case c.Missing && c.Kind != Float32:
		return fmt.Errorf("table: column %s: only floats can be missing", c.Name)
	}
	for _, e := range endings {
		if !strings.HasSuffix(c.Name, e.ending) {
			continue
		}
		if c.Unit != e.unit {
			return fmt.Errorf("table: column %s has the unit %q, but its name promises %q", c.Name, c.Unit, e.unit)
		}
		return nil
	}
	if c.Unit == "" {
		return nil
	}
	for _, e := range endings {
		if e.unit == c.Unit {
			return fmt.Errorf("table: column %s is in %s, so its name must end in %s", c.Name, c.Unit, e.ending)
		}
	}
	return fmt.Errorf("table: column %s has the unit %q, for which there is no ending", c.Name, c.Unit)
}

// validate checks all columns and reports every fault.
func validate(columns []Column) error {
	if len(columns) == 0 {
		return errors.New("table: no columns")
	}
	var faults []error
	seen := map[string]bool{}
	for _, c := range columns {
		if err := c.validate(); err != nil {
			faults = append(faults, err)
		}
		if seen[c.Name] {
			faults = append(faults, fmt.Errorf("table: two columns are called %s", c.Name))
		}
		seen[c.Name] = true
	}
	return errors.Join(faults...)
}

// Keys of the metadata that the package itself writes.
const (
	keyColumns = provenance.Tool + ".columns" // the columns as JSON
	keyRows    = provenance.Tool + ".rows"    // rows of the whole table
)

// columnsJSON is the value of keyColumns.
func columnsJSON(columns []Column) (string, error) {
	text, err := provenance.CanonicalJSON(columns)
	return string(text), err
}

// Block is a run of rows. The slices are indexed by the column's position in the
// table; a column's values are in the slice of its kind, where it has at least
// Rows entries, and its entries in the others are nil.
type Block struct {
	Rows    int
	Float32 [][]float32
	Int32   [][]int32
	Int64   [][]int64
	Text    [][]string
}

// NewBlock returns a block of rows zero rows for columns, to be filled and
// used again.
func NewBlock(columns []Column, rows int) *Block {
	b := &Block{
		Rows:    rows,
		Float32: make([][]float32, len(columns)),
		Int32:   make([][]int32, len(columns)),
		Int64:   make([][]int64, len(columns)),
		Text:    make([][]string, len(columns)),
	}
	for i, c := range columns {
		switch c.Kind {
		case Float32:
			b.Float32[i] = make([]float32, rows)
		case Int32:
			b.Int32[i] = make([]int32, rows)
		case Int64:
			b.Int64[i] = make([]int64, rows)
		case Text:
			b.Text[i] = make([]string, rows)
		}
	}
	return b
}

// length is the number of entries of column i.
func (b *Block) length(i int, k Kind) int {
	switch {
	case k == Float32 && i < len(b.Float32):
		return len(b.Float32[i])
	case k == Int32 && i < len(b.Int32):
		return len(b.Int32[i])
	case k == Int64 && i < len(b.Int64):
		return len(b.Int64[i])
	case k == Text && i < len(b.Text):
		return len(b.Text[i])
	}
	return 0
}

// add appends n rows of other, from the given one on.
func (b *Block) add(columns []Column, other *Block, from, n int) {
	for i, c := range columns {
		switch c.Kind {
		case Float32:
			b.Float32[i] = append(b.Float32[i], other.Float32[i][from:from+n]...)
		case Int32:
			b.Int32[i] = append(b.Int32[i], other.Int32[i][from:from+n]...)
		case Int64:
			b.Int64[i] = append(b.Int64[i], other.Int64[i][from:from+n]...)
		case Text:
			b.Text[i] = append(b.Text[i], other.Text[i][from:from+n]...)
		}
	}
	b.Rows += n
}

// clear takes all rows away, but keeps their memory for the next.
func (b *Block) clear() {
	b.Rows = 0
	for i := range b.Float32 {
		b.Float32[i], b.Int32[i], b.Int64[i], b.Text[i] = b.Float32[i][:0], b.Int32[i][:0], b.Int64[i][:0], b.Text[i][:0]
	}
}
