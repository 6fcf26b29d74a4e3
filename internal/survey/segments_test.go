package survey

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/segment"
)

func table(t *testing.T, name string, sex anthro.Sex) *segment.Table {
	t.Helper()
	return golden.Must(segment.Load(name, sex))(t)
}

func fields(t *testing.T, path string, comma rune) [][]string {
	t.Helper()
	file := golden.Must(os.Open(path))(t)
	defer file.Close()
	reader := csv.NewReader(file)
	reader.Comma, reader.FieldsPerRecord = comma, -1
	return golden.Must(reader.ReadAll())(t)
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	return golden.Must(strconv.ParseFloat(strings.TrimSpace(text), 64))(t)
}

// Digit by digit against the typed copy of BMClab (github.com/BMClab/BMC,
// data/BSP*_ZdeLeva.txt): mass and centre of all 21 rows.
func TestDeLevaAgainstBMC(t *testing.T) {
	folder := rawFiles(t)
	for sex, file := range map[anthro.Sex]string{anthro.Male: "BSPmale_ZdeLeva.txt", anthro.Female: "BSPfemale_ZdeLeva.txt"} {
		table := table(t, "deleva-1996", sex)
		records := fields(t, filepath.Join(folder, "bsp-deleva-dempster", file), '\t')[1:]
		if len(records) != len(table.Rows) || len(records) != 21 {
			t.Errorf("%s: %d rows, the typed copy has %d", sex, len(table.Rows), len(records))
		}
		for _, record := range records {
			// "Trunk 2" is the trunk between other endpoints.
			name := strings.ToLower(strings.TrimRight(record[0], " 0123456789"))
			origin, other, _ := strings.Cut(strings.TrimSpace(record[1]), "-")
			got, ok := table.Row(name, origin, other)
			if !ok {
				t.Errorf("%s: no row %s %s", sex, name, record[1])
				continue
			}
			if math.Abs(got.MassShare-number(t, record[2])) > 1e-12 || math.Abs(got.CentreShare-number(t, record[3])) > 1e-12 {
				t.Errorf("%s: %s %s has mass %.4f and centre %.4f, the typed copy %s and %s", sex, name, record[1], got.MassShare, got.CentreShare, record[2], record[3])
			}
		}
	}
}

// Digit by digit against the typed copy in github.com/wspr/body-segment-param
// (data/zats-tables), in the same order of rows: length and centre.
func TestDeLevaAgainstWSPR(t *testing.T) {
	folder := rawFiles(t)
	for _, sex := range []anthro.Sex{anthro.Male, anthro.Female} {
		table := table(t, "deleva-1996", sex)
		records := fields(t, filepath.Join(folder, "body-segment-param/data/zats-tables", "zats-mean-"+sex.String()+"-comgyr.csv"), ',')
		if len(records) != len(table.Rows) {
			t.Fatalf("%s: %d rows, the typed copy has %d", sex, len(table.Rows), len(records))
		}
		for i, r := range table.Rows {
			length, centre := number(t, records[i][0])/1000, number(t, records[i][1])/100
			if sex == anthro.Female && r.Name == "shank" && r.Endpoints[1] == "LMAL" {
				// The typed copy's one slip, 423.3 for 432.3 mm: with it the
				// centre would lie 4 mm from where the other two rows put it.
				if length != 0.4233 || math.Abs(r.Length-0.4323) > 1e-12 {
					t.Errorf("shank from knee to lateral malleolus in women: %.4f m, the typed copy %.4f", r.Length, length)
				}
				length = 0.4323
			}
			if math.Abs(r.Length-length) > 1e-12 || math.Abs(r.CentreShare-centre) > 1e-12 {
				t.Errorf("%s: %s %v has length %.4f and centre %.4f, the typed copy %.4f and %.4f", sex, r.Name, r.Endpoints, r.Length, r.CentreShare, length, centre)
			}
		}
	}
}

// Digit by digit against github.com/BMClab/BMC, data/BSP_DempsterWinter.txt: all
// 19 rows.
func TestDempsterWinterAgainstBMC(t *testing.T) {
	folder := rawFiles(t)
	table := table(t, "dempster-winter", anthro.Female)
	names := map[string]string{
		"Hand": "hand", "Forearm": "forearm", "Upper arm": "upper arm", "Forearm hand": "forearm and hand", "Total arm": "arm",
		"Foot": "foot", "Leg": "shank", "Thigh": "thigh", "Head neck": "head and neck", "Thorax": "thorax", "Abdomen": "abdomen",
		"Pelvis": "pelvis", "Trunk": "trunk", "Trunk head neck": "trunk, head and neck", "HAT": "head, arms and trunk",
		"Foot leg": "foot and shank", "Total leg": "leg", "Thorax abdomen": "thorax and abdomen", "Abdomen pelvis": "abdomen and pelvis",
	}
	records := fields(t, filepath.Join(folder, "bsp-deleva-dempster", "BSP_DempsterWinter.txt"), '\t')[1:]
	if len(records) != len(table.Rows) || len(records) != len(names) {
		t.Fatalf("%d rows, the typed copy has %d", len(table.Rows), len(records))
	}
	for _, record := range records {
		found := false
		for _, r := range table.Rows {
			if r.Name != names[record[0]] {
				continue
			}
			found = true
			if math.Abs(r.MassShare-number(t, record[2])) > 1e-12 || math.Abs(r.CentreShare-number(t, record[3])) > 1e-12 {
				t.Errorf("%s has mass %.4f and centre %.4f, the typed copy %s and %s", r.Name, r.MassShare, r.CentreShare, record[2], record[3])
			}
		}
		if !found {
			t.Errorf("no row for %s", record[0])
		}
	}
}
