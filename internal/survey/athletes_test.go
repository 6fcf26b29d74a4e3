package survey

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"counterpoise/datasets"
	"counterpoise/internal/golden"
)

// Every size that is embedded of athletes is that of a row of the table of published
// sizes, of the sex and source that are named.
func TestAthletesAreThoseOfTheTable(t *testing.T) {
	file := golden.Must(os.Open(filepath.Join(rawFiles(t), "athlete-tables", "athletes.csv")))(t)
	defer file.Close()
	rows := golden.Must(csv.NewReader(file).ReadAll())(t)
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	has := func(row []string, of datasets.AthleteSize) bool {
		name, scale := of.Of, 1.0
		unit := map[string]string{"stature": "_cm", "mass": "_kg"}[of.Of]
		if of.Of == "stature" {
			scale = 100
		}
		printed := func(column int, want float64) bool {
			x, err := strconv.ParseFloat(row[column], 64)
			return err == nil && strconv.FormatFloat(x/scale, 'g', 10, 64) == strconv.FormatFloat(want, 'g', 10, 64)
		}
		return row[column["sex"]] == "M" && printed(column[name+unit], of.Mean) && printed(column[name+"_sd"], of.SD) &&
			strings.Contains(" "+strings.NewReplacer("(", " ", ")", " ").Replace(row[column["n"]])+" ", " "+strconv.Itoa(of.N)+" ")
	}
	for _, name := range datasets.Names("athletes") {
		var a datasets.Athletes
		golden.OK(t, datasets.Read("athletes", name, &a))
		for _, s := range append(a.Samples, a.NotTaken...) {
			for _, size := range s.Sizes {
				found := false
				for _, row := range rows[1:] {
					found = found || has(row, size)
				}
				if !found {
					t.Errorf("%s, %s: no row has %s %g ± %g of %d", name, s.Who, size.Of, size.Mean, size.SD, size.N)
				}
			}
		}
	}
}
