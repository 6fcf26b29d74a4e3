package clubtable

import (
	"fmt"
	"path/filepath"
	"testing"

	"counterpoise/internal/golden"

	"github.com/xuri/excelize/v2"
)

// sheet is one of a workbook.
type sheet struct {
	sheet string
	rows  [][]any
}

// books are the workbooks of testdata, as -update writes them.
var books = map[string][]sheet{
	"workbook.xlsx": {
		{"Read me", [][]any{{"The club's numbers are on the next sheet."}}},
		{"2026", [][]any{
			{"Climbing club, spring"},
			{},
			{"Name", "Sex", "Height (cm)", "Weight (kg)", "Arm span (cm)", "Shoe size", "Date"},
			{"Ana", "F", 164, 56.2, 166, 38, 46000},
			{"Ben", "M", 178.5, 72.5, "n/a", 43, 46000},
			{},
			{"Cleo", "F", 171.3, 64, 172, 40, 46000},
			{"Mean", nil, 171.27, 64.23, 169},
		}},
	},
	"workbook-german.xlsx": {
		{"Tabelle1", [][]any{
			{"Name", "m/w", "Größe", "Gewicht", "Spannweite", "Alter", "Bemerkung"},
			{nil, nil, "[m]", "[kg]", "[m]"},
			{"Jörg", "m", "1,785", "72,5", "1,83", 31, "Linkshänder"},
			{"Änne", "w", 1.64, 56.2, 1.665, 24},
			{"Max", "m", 1.81, 79, "k. A.", 28},
			{"Schnitt", nil, 1.745, 69.2},
		}},
	},
}

// The workbooks are those that are written above.
func TestBooks(t *testing.T) {
	for name, sheets := range books {
		path := filepath.Join("testdata", name)
		if *golden.Update {
			writeBook(t, path, sheets)
		}
		f, err := excelize.OpenFile(path)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range sheets {
			for row, cells := range s.rows {
				for column, value := range cells {
					at, err := excelize.CoordinatesToCellName(column+1, row+1)
					if err != nil {
						t.Fatal(err)
					}
					got, err := f.GetCellValue(s.sheet, at, excelize.Options{RawCellValue: true})
					if want := fmt.Sprint(value); err != nil || got != want && value != nil {
						t.Errorf("%s, %s %s: %q, want %q; %v", name, s.sheet, at, got, want, err)
					}
				}
			}
		}
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
	}
}

func writeBook(t *testing.T, path string, sheets []sheet) {
	t.Helper()
	f := excelize.NewFile()
	for i, s := range sheets {
		if i == 0 {
			if err := f.SetSheetName("Sheet1", s.sheet); err != nil {
				t.Fatal(err)
			}
		} else if _, err := f.NewSheet(s.sheet); err != nil {
			t.Fatal(err)
		}
		for row, cells := range s.rows {
			if err := f.SetSheetRow(s.sheet, fmt.Sprintf("A%d", row+1), &cells); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := f.SaveAs(path); err != nil {
		t.Fatal(err)
	}
}
