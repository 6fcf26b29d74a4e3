package clubtable

import (
	"testing"

	"counterpoise/internal/golden"

	"github.com/xuri/excelize/v2"
)

// books are the workbooks of testdata, by sheet, as -update writes them.
var books = map[string][]struct {
	sheet string
	rows  [][]any
}{
	"workbook.xlsx": {
		{"Read me", [][]any{{"The club's numbers are on the next sheet."}}},
		{"2026", [][]any{
			{"Climbing club, spring"},
			{},
			{"Name", "Sex", "Height (cm)", "Weight (kg)", "Arm span (cm)", "Shoe size", "Date"},
			{"Ana", "F", 164, 56.2, 166, 38, 46000},
			{"Ben", "M", 178.5, 72.5, "n/a", 43, 46000},
			{},
			{"Cleo", "F", 171.29999999999998, 64, 172, 40, 46000},
			{"Mean", nil, 171.26666666666665, 64.23333333333333, 169},
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

// TestBooks holds that the workbooks are those that are written above.
func TestBooks(t *testing.T) {
	for name, sheets := range books {
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
				for column, value := range cells {
					at, err := excelize.CoordinatesToCellName(column+1, row+1)
					if err != nil {
						t.Fatal(err)
					}
					if err := f.SetCellValue(s.sheet, at, value); err != nil {
						t.Fatal(err)
					}
				}
			}
		}
		if *golden.Update {
			if err := f.SaveAs("testdata/" + name); err != nil {
				t.Fatal(err)
			}
		}
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
	}
}
