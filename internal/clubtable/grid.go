package clubtable

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"unicode/utf8"

	"counterpoise/internal/study"

	"github.com/xuri/excelize/v2"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// MostBytes is how long a table may be.
const MostBytes = 4 << 20

// What is read of a table at most: more columns than that are of no use, and rows beyond
// are no people.
const (
	mostColumns = 100
	mostRows    = 20_000
	mostUnzip   = 64 << 20 // bytes of a workbook, unpacked
)

// cell is what stands in one place of a table.
type cell struct {
	text         string // in one line, without spaces around
	line, column int    // from 1
}

// grid is a table before anybody knows what it says.
type grid struct {
	rows  [][]cell
	comma rune // what separates the columns of a text; 0 for a workbook
	notes []string
}

// formats are files that people take for tables, by how they begin, and the way out.
var formats = []struct{ begins, is string }{
	{"\xd0\xcf\x11\xe0", "an old workbook (.xls), or one with a password; save it as .xlsx without one, or as CSV"},
	{"%PDF", "a PDF; save the table itself as .xlsx or CSV"},
	{"<", "a web page or XML; save the table as .xlsx or CSV"},
	{"{\\rtf", "a text document; save the table as .xlsx or CSV"},
}

// gridOf takes a file apart into cells: a workbook by how it begins, else text.
func gridOf(file string, data []byte) (*grid, error) {
	fail := func(format string, args ...any) (*grid, error) {
		return nil, &study.Error{File: file, Reason: fmt.Sprintf(format, args...)}
	}
	if len(data) > MostBytes {
		return fail("is too long, at most %d bytes are read", MostBytes)
	}
	for _, f := range formats {
		if bytes.HasPrefix(data, []byte(f.begins)) {
			return fail("this is %s", f.is)
		}
	}
	if bytes.HasPrefix(data, []byte("PK\x03\x04")) {
		if bytes.Contains(data[:min(len(data), 200)], []byte("opendocument")) {
			return fail("this is an OpenDocument file (.ods); save it as .xlsx or CSV")
		}
		return workbook(file, data)
	}
	text, note, ok := decode(data)
	if !ok && strings.EqualFold(filepath.Ext(file), ".xlsx") {
		return fail("this is no workbook, though it is called one; it may be damaged, save the table again")
	}
	if !ok {
		return fail("this is not a text file; save the table as .xlsx or as CSV in UTF-8")
	}
	if !strings.Contains(text, "\n") {
		text = strings.ReplaceAll(text, "\r", "\n") // as old Macintoshes end lines
	}
	g := &grid{comma: separator(text)}
	if note != "" {
		g.notes = append(g.notes, note)
	}
	var err error
	g.rows, err = split(file, text, g.comma)
	return g, err
}

// decode turns a text into UTF-8. What is neither UTF-8 nor marked as UTF-16 is taken
// for Windows' Latin-1, as spreadsheets write it, and the note says so.
func decode(data []byte) (text, note string, ok bool) {
	switch {
	case bytes.HasPrefix(data, []byte("\xff\xfe")), bytes.HasPrefix(data, []byte("\xfe\xff")):
		decoded, err := unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder().Bytes(data)
		return string(decoded), "", err == nil && !bytes.ContainsRune(decoded, 0)
	case bytes.ContainsRune(data, 0):
		return "", "", false
	case utf8.Valid(data):
		return strings.TrimPrefix(string(data), "\ufeff"), "", true
	}
	decoded, err := charmap.Windows1252.NewDecoder().Bytes(data)
	return string(decoded), "not UTF-8, so read as Latin-1 (Windows)", err == nil
}

// separator finds what separates the columns: that by which a header is understood
// best. Where several do as well, semicolons come first, which stand beside decimal
// commas.
func separator(text string) rune {
	start := text
	for i, lines := 0, 0; i < len(text); i++ {
		if text[i] == '\n' {
			if lines++; lines == mostHeader {
				start = text[:i]
				break
			}
		}
	}
	best, most := ',', -1
	for _, comma := range []rune{';', '\t', '|', ','} {
		rows, _ := split("", start, comma)
		if _, score := headerRow(rows); score > most {
			best, most = comma, score
		}
	}
	return best
}

// split takes a text apart. Lines that start with # are comments. Quotation marks that
// stand as inches are taken as they are.
func split(file, text string, comma rune) ([][]cell, error) {
	rows, err := splitQuoted(file, text, comma, false)
	if parse := new(csv.ParseError); errors.As(err, &parse) && errors.Is(parse.Err, csv.ErrBareQuote) {
		return splitQuoted(file, text, comma, true)
	}
	return rows, err
}

func splitQuoted(file, text string, comma rune, lazy bool) (rows [][]cell, err error) {
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.Comment, r.FieldsPerRecord, r.TrimLeadingSpace, r.LazyQuotes = comma, '#', -1, comma != '\t', lazy
	for len(rows) < mostRows {
		fields, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if parse := new(csv.ParseError); errors.As(err, &parse) && !lazy && errors.Is(parse.Err, csv.ErrBareQuote) {
			return nil, err
		} else if errors.As(err, &parse) {
			return rows, &study.Error{File: file, Line: parse.StartLine, Reason: `a quotation mark is not closed or is misplaced; quote the whole cell and double any mark inside it, as in "5'8"""`}
		} else if err != nil {
			return rows, &study.Error{File: file, Reason: err.Error()}
		}
		row := make([]cell, len(fields))
		for i, field := range fields {
			line, column := r.FieldPos(i)
			row[i] = cell{oneLine(field), line, column}
		}
		rows = append(rows, row)
	}
	return rows, nil
}

// workbook reads the sheet of a workbook whose header is understood best, each cell as
// the value behind what is shown.
func workbook(file string, data []byte) (g *grid, err error) {
	bad := &study.Error{File: file, Reason: "this workbook cannot be read; save it again as .xlsx, or as CSV"}
	defer func() {
		if recover() != nil { // the library's, on a damaged file
			g, err = nil, bad
		}
	}()
	f, openErr := excelize.OpenReader(bytes.NewReader(data), excelize.Options{RawCellValue: true, UnzipSizeLimit: mostUnzip, UnzipXMLSizeLimit: mostUnzip})
	if openErr != nil {
		return nil, bad
	}
	defer f.Close()
	g = &grid{}
	most, used, filled := -1, "", 0
	for _, sheet := range f.GetSheetList() {
		rows, err := sheetRows(f, sheet)
		if err != nil {
			continue // a chart, or damaged: another may do
		}
		if len(rows) > 0 {
			filled++
		}
		if _, score := headerRow(rows); score > most {
			g.rows, most, used = rows, score, sheet
		}
	}
	if most < 0 {
		return nil, bad
	}
	if filled > 1 {
		g.notes = append(g.notes, fmt.Sprintf("of the %d sheets %q is read", filled, printable(used)))
	}
	return g, nil
}

func sheetRows(f *excelize.File, sheet string) (rows [][]cell, err error) {
	r, err := f.Rows(sheet)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	for line := 1; r.Next() && line <= mostRows; line++ {
		fields, err := r.Columns(excelize.Options{RawCellValue: true})
		if err != nil {
			return nil, err
		}
		var row []cell
		for i, field := range fields {
			row = append(row, cell{oneLine(field), line, i + 1})
		}
		if len(row) > 0 {
			rows = append(rows, row)
		}
	}
	return rows, r.Error()
}

// oneLine takes the line ends out of what stands in a cell.
func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }

func printable(text string) string { return study.Printable(text, 60) }
