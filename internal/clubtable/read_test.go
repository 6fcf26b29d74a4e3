package clubtable

import (
	"errors"
	"os"
	"strings"
	"testing"

	"counterpoise/internal/study"
	"counterpoise/sim/anthro"
)

const table1 = "sex,stature (cm),mass_kg,span (in),person\nfemale,168.5,61.25,67 1/2,A\nmale,180,,71,B\nF,171,64.5,,C\n"

func read(t *testing.T, text string) []Person {
	t.Helper()
	read, err := Read("club.csv", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := read.Left.Err(); err != nil {
		t.Fatal(err)
	}
	return read.People
}

func TestRead(t *testing.T) {
	want := []Person{
		{Line: 2, Sex: anthro.Female, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.685}, {Of: anthro.Mass, Value: 61.25}, {Of: anthro.Span, Value: 1.7145}}},
		{Line: 3, Sex: anthro.Male, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.8}, {Of: anthro.Span, Value: 1.8034}}},
		{Line: 4, Sex: anthro.Female, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.71}, {Of: anthro.Mass, Value: 64.5}}},
	}
	semicolons := strings.NewReplacer(",", ";", ".", ",").Replace(table1)
	for name, text := range map[string]string{
		"commas":          table1,
		"semicolons":      semicolons,
		"decimal points":  strings.ReplaceAll(table1, ",", ";"),
		"byte order mark": "\ufeff" + table1,
		"CRLF":            strings.ReplaceAll(table1, "\n", "\r\n"),
		"no last end":     strings.TrimSuffix(table1, "\n"),
		"rows of commas":  table1 + ",,,,\n\n,,,,\n",
		"extra commas":    strings.ReplaceAll(table1, "\n", ",,\n"),
		"quotes":          strings.NewReplacer("168.5", `"168.5"`, "stature (cm)", `"Stature [cm]"`).Replace(table1),
		"other spellings": strings.NewReplacer("sex,", " Sex ,", "stature (cm)", "STATURE(cm)", "mass_kg", "Mass (kg)", "span (in)", `span ( inches )`).Replace(table1),
	} {
		got := read(t, text)
		if len(got) != len(want) {
			t.Errorf("%s: %d rows, want %d", name, len(got), len(want))
			continue
		}
		for i, row := range got {
			if row.Line != want[i].Line || row.Sex != want[i].Sex || len(row.Known) != len(want[i].Known) {
				t.Errorf("%s: row %+v, want %+v", name, row, want[i])
				continue
			}
			for k := range row.Known {
				if row.Known[k] != want[i].Known[k] {
					t.Errorf("%s, line %d: %v, want %v", name, row.Line, row.Known[k], want[i].Known[k])
				}
			}
		}
	}
}

func TestCommentsKeepTheLines(t *testing.T) {
	rows := read(t, "# invented; by us\nsex,mass (kg)\n# two of them\nmale,71.5\n\nmale,82\n")
	if len(rows) != 2 || rows[0].Line != 4 || rows[1].Line != 6 {
		t.Errorf("%+v", rows)
	}
}

func TestSexOfAll(t *testing.T) {
	women := anthro.Female
	table, err := Read("club.csv", []byte("stature (m)\n1.68\n1.71\n"), &women)
	if err != nil || len(table.People) != 2 || table.People[1].Sex != anthro.Female {
		t.Errorf("%+v, %v", table, err)
	}
}

// Every fault is one line that says where, what was found and what is allowed.
func TestFaults(t *testing.T) {
	women := anthro.Female
	change := func(old, next string) string {
		if !strings.Contains(table1, old) {
			t.Fatalf("the table has no %q", old)
		}
		return strings.Replace(table1, old, next, 1)
	}
	for _, test := range []struct {
		text string
		sex  *anthro.Sex
		want string
	}{
		{"", nil, "club.csv: the table is empty"},
		{"# nothing\n\n", nil, "club.csv: the table is empty"},
		{"sex,mass (kg)\n", nil, "club.csv: the table has a header, but no people"},
		{"name,sex,height (cm),mass (kg)\nD,male,5'11\",176\n", nil, `D: found "176" beside a length in feet or inches in a table of kilograms, which may be pounds; write its unit`},
		{"sex,mass (kg)\n,\n", nil, "club.csv: the table has a header, but no people"},
		{strings.Repeat(" ", MostBytes+1), nil, "club.csv: is too long, at most 4194304 bytes are read"},
		{"sex,mass (kg)\nfemale,61\x00\n", nil, "club.csv: this is not a text file; save the table as .xlsx or as CSV in UTF-8"},
		{"<html><table><tr><td>sex", nil, "club.csv: this is a web page or XML; save the table as .xlsx or CSV"},
		{change("stature (cm)", "stature (kg)"), nil, "club.csv:1:5: stature (kg): kg is not one of its units; allowed: cm, m, in, mm, ft, ft in"},
		{"sex,age (months),mass (kg)\nf,300,61\n", nil, "club.csv:1:5: age (months): ages are read in years"},
		{"sex,mass (kg)" + strings.Repeat(",x", 99) + "\n", nil, "club.csv:1: the header has 101 columns, at most 100 are read"},
		{"sex,person\nfemale,A\n", nil, "club.csv: no row names the columns; add one above the people, such as: name, sex,"},
		{"stature (cm)\n168\n171\n", nil, "club.csv:1: there is no column for the sex, "},
		{table1, &women, "club.csv:1:1: sex: the table gives the sex of each person, but --sex says that all are female"},
		{change("168.5", "tall"), nil, `club.csv:2:8: stature (cm): A: found "tall", must be a number; leave empty what was not measured`},
		{change("168.5", "168 ells"), nil, `club.csv:2:8: stature (cm): A: found "168 ells", must be a number or one with its unit (cm, m, in, mm, ft, ft in)`},
		{change("168.5", "168 kg"), nil, `club.csv:2:8: stature (cm): A: found "168 kg", "kg" is the unit of a mass, but a length is needed here`},
		{change("168.5", "-168.5"), nil, `club.csv:2:8: stature (cm): A: found "-168.5", must be positive`},
		{change("168.5", "0"), nil, `club.csv:2:8: stature (cm): A: found "0", must be positive`},
		{change("168.5", "1.68.5"), nil, `club.csv:2:8: stature (cm): A: found "1.68.5", must be a number with one decimal sign`},
		{change("168.5", "160..170"), nil, `found "160..170", must be a number`},
		{change("168.5", "160-170"), nil, `found "160-170", which may be a range, or feet and inches; write one number, or 5 ft 10 in`},
		{change("168.5", strings.Repeat("9", 400)), nil, `found "999`},
		{change("F,171", "x9,171"), nil, `club.csv:4:1: sex: C: found "x9", allowed: female, male, f, m`},
		{change("F,171", ",171"), nil, "club.csv:4: sex: C: is missing; write female or male"},
		{change("male,180,,71", "male,,,"), nil, "club.csv:3: B: nothing was measured; height and weight are enough"},
		{change("71,B", "71,B,9"), nil, `club.csv:3:16: B: has 6 cells but the header has 5: a comma inside a number may split it; save`},
		{strings.ReplaceAll(change("71,B", "71,B,9"), ",", ";"), nil, `club.csv:3:16: B: "9" is in a column without a header`},
		{change("168.5", `"168`), nil, "a quotation mark is not closed"},
		{"sex,mass (kg)\n" + strings.Repeat("male,71\n", anthro.MostSample+1), nil, "club.csv:5002: more than 5000 people, take fewer"},
	} {
		table, err := Read("club.csv", []byte(test.text), test.sex)
		if err == nil { // others are read
			err = table.Left.Err()
		}
		if err == nil {
			t.Errorf("%.60q: no error, want %q; %+v", test.text, test.want, table)
			continue
		}
		if !strings.Contains(err.Error(), test.want) {
			t.Errorf("%.60q:\n got %v\nwant %s", test.text, err, test.want)
		}
	}
}

func TestAllFaultsInOrder(t *testing.T) {
	_, err := Read("club.csv", []byte("sex,mass (kg)\nx9,-3\nmale,heavy\n"), nil)
	want := `club.csv:2:1: sex: row 2: found "x9", allowed: female, male, f, m (or w, h and words of the language); the simulated bodies are women's or men's, so write the closer one
club.csv:3:6: mass (kg): row 3: found "heavy", must be a number; leave empty what was not measured`
	if err == nil || err.Error() != want {
		t.Errorf("got\n%v\nwant\n%s", err, want)
	}
	_, err = Read("club.csv", []byte("sex,mass (kg)\n"+strings.Repeat("male,heavy\n", 31)), nil)
	if err == nil || strings.Count(err.Error(), "\n") != mostFaults || !strings.HasSuffix(err.Error(), "club.csv: 11 more have faults") {
		t.Errorf("of 31 faults: %v", err)
	}
}

// What is not understood is told, and stops nobody.
func TestNotes(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{strings.Replace(table1, "person", "favourite hold", 1), "club.csv: ignored: favourite hold"},
		{strings.Replace(table1, "span (in)", "wingspam (in)", 1), "club.csv: ignored: wingspam (in) (did you mean wing span?)"},
		{strings.Replace(table1, "span (in)", "Height (in)", 1), "club.csv: ignored: Height (in) (there as stature (cm) before)"},
		{strings.Replace(table1, "stature (cm)", "stature (furlongs)", 1), `club.csv:1: stature (furlongs): "furlongs" is not a known unit`},
		{"sex,mass (kg),height (cm)\nf,61,170\nmean,61,170\n", `club.csv: left out, belongs to nobody: "mean" in row 3`},
		{"sex,Height limit (cm),mass (kg)\nf,170,61\n", "club.csv: ignored: Height limit (cm)\nclub.csv: no column was read as the height, so answers are wide; add one if you have it"},
		{"name,sex,mass (kg),height (cm)\nA,f,61,170\nnotes by B,,,\n", `club.csv: left out, belongs to nobody: "notes by B" in row 3`},
	} {
		table, err := Read("club.csv", []byte(c.text), nil)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
		} else if got := strings.Join(table.Notes, "\n"); got != c.want {
			t.Errorf("%q: notes\n%s\nwant\n%s", c.text, got, c.want)
		}
	}
}

// Numbers and quantities as people write them come to the same.
func TestValues(t *testing.T) {
	for text, want := range map[string]float64{
		"172": 1.72, "172.0": 1.72, "172,0": 1.72, "172 cm": 1.72, "172cm.": 1.72, "1.72 m": 1.72, "1,72m": 1.72, "1m72": 1.72, "1 m 72 cm": 1.72, "1720 mm": 1.72, "1,720.0 mm": 1.72, "1.720,0 mm": 1.72,
		"5'8": 1.7272, `5'8"`: 1.7272, "5’ 8”": 1.7272, "5 ft 8": 1.7272, "5ft 8in": 1.7272, "5 feet 8 inches": 1.7272, "68 in": 1.7272, "68 Zoll": 1.7272, "67 1/2 in": 1.7145, "6'": 1.8288, "5′ 7 1/2″": 1.7145,
	} {
		table, err := Read("club.csv", []byte("sex\tstature (cm)\nf\t"+text+"\n"), nil)
		if err != nil {
			t.Errorf("%s: %v", text, err)
		} else if got := table.People[0].Known[0].Value; got != want {
			t.Errorf("%s: %v, want %v", text, got, want)
		}
	}
}

// Whatever a table holds, it is read or refused with faults of one line each, and
// what is read has values to reckon with.
func FuzzRead(f *testing.F) {
	f.Add([]byte(table1))
	f.Add([]byte(strings.NewReplacer(",", ";", ".", ",").Replace(table1)))
	f.Add([]byte("\ufeffsex,mass (kg)\r\nmale,\"71\"\"\"\r\n"))
	f.Add([]byte("# \xff\nsex,stature (cm\n"))
	for _, file := range []string{"workbook.xlsx", "workbook-german.xlsx", "units-row.csv", "feet.csv", "no-units.csv"} {
		data, err := os.ReadFile("testdata/" + file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte("stature_m,hip_breadth [mm]\n1.7,1e308\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, sex := range []*anthro.Sex{nil, new(anthro.Sex)} {
			table, err := Read("f.csv", data, sex)
			if (err == nil) != (table != nil && len(table.People) > 0) {
				t.Fatalf("%+v, error %v", table, err)
			}
			if err == nil {
				err = table.Left.Err()
				for _, note := range table.Notes {
					if strings.ContainsAny(note, "\n\r\x1b") {
						t.Fatalf("note %q", note)
					}
				}
			}
			if err != nil {
				faults := []error{err}
				if many, ok := err.(interface{ Unwrap() []error }); ok {
					faults = many.Unwrap()
				}
				for _, e := range faults {
					var fault *study.Error
					if !errors.As(e, &fault) || strings.ContainsAny(e.Error(), "\n\r\x1b") {
						t.Fatalf("fault %q", e)
					}
				}
			}
			if table == nil {
				continue
			}
			for _, row := range table.People {
				if len(row.Known) == 0 {
					t.Fatalf("line %d: nothing measured", row.Line)
				}
				for _, k := range row.Known {
					if !(k.Value > 0 && k.Value*0 == 0) {
						t.Fatalf("line %d: %s is %g", row.Line, k.Of, k.Value)
					}
				}
			}
		}
	})
}
