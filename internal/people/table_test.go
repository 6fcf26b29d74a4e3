package people

import (
	"errors"
	"os"
	"strings"
	"testing"

	"counterpoise/internal/study"
	"counterpoise/sim/anthro"
)

const table1 = "sex,stature (cm),mass_kg,span (in),person\nfemale,168.5,61.25,67 1/2,A\nmale,180,,71,B\nF,171,64.5,,C\n"

func read(t *testing.T, text string) []Row {
	t.Helper()
	rows, err := Read("club.csv", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

func TestRead(t *testing.T) {
	want := []Row{
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
	rows, err := Read("club.csv", []byte("stature (m)\n1.68\n1.71\n"), &women)
	if err != nil || len(rows) != 2 || rows[1].Sex != anthro.Female {
		t.Errorf("%+v, %v", rows, err)
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
		{"sex,mass (kg)\n,\n", nil, "club.csv: the table has a header, but no people"},
		{strings.Repeat(" ", MostBytes+1), nil, "club.csv: is too long, at most 4194304 bytes are read"},
		{"sex,mass (kg)\nfemale,61\nm\xe4nnlich,70\n", nil, "club.csv:3: the text is not UTF-8; save the table as CSV in UTF-8"},
		{"sex\tmass (kg)\nfemale\t61\n", nil, "club.csv: the columns are separated by tabs"},
		{change("stature (cm)", "statur (cm)"), nil, "club.csv:1:5: statur (cm): unknown column (did you mean stature?); allowed are sex, age, measured_again, person, note, and measurements with their unit: stature, mass,"},
		{change("stature (cm)", "height (cm)"), nil, "club.csv:1:5: height (cm): unknown column (did you mean stature?)"},
		{change("person", "favourite hold"), nil, "club.csv:1:36: favourite hold: unknown column; allowed are"},
		{change("stature (cm)", "stature"), nil, "club.csv:1:5: stature: needs its unit, as in stature (cm)"},
		{change("mass_kg", "mass"), nil, "club.csv:1:18: mass: needs its unit, as in mass (kg)"},
		{change("stature (cm)", "stature (kg)"), nil, "club.csv:1:5: stature (kg): "},
		{change("stature (cm)", "stature (cms)"), nil, `unknown unit "cms"`},
		{change("stature (cm)", "span (cm)"), nil, "club.csv:1:23: span (in): is there twice, first as span (cm)"},
		{"sex,mass (kg)" + strings.Repeat(",x", 99) + "\n", nil, "club.csv:1: the header has 101 columns, at most 100 are read"},
		{"sex,person\nfemale,A\n", nil, "club.csv:1: no column is a measurement with its unit, as in stature (cm)"},
		{"stature (cm)\n168\n171\n", nil, "club.csv:1: there is no column sex (female, male), and nobody said the sex of all"},
		{table1, &women, "club.csv:1:1: sex: the table says the sex of each person, and somebody else said that all are female"},
		{change("168.5", "168.5 cm"), nil, `club.csv:2:8: stature (cm): found "168.5 cm", must be a number, in cm; leave empty what was not measured`},
		{change("168.5", "NA"), nil, `club.csv:2:8: stature (cm): found "NA", must be a number`},
		{change("168.5", "-168.5"), nil, `club.csv:2:8: stature (cm): found "-168.5", must be positive`},
		{change("168.5", "0"), nil, `club.csv:2:8: stature (cm): found "0", must be positive`},
		{change("168.5", `"168,5"`), nil, `club.csv:2:8: stature (cm): found "168,5": a comma in a number`},
		{change("168.5", "160..170"), nil, `found "160..170": a range`},
		{change("168.5", strings.Repeat("9", 99)), nil, `found "999`},
		{change("F,171", "x,171"), nil, `club.csv:4:1: sex: found "x", allowed are female, male, f, m`},
		{change("F,171", ",171"), nil, "club.csv:4: sex: is missing"},
		{change("male,180,,71", "male,,,"), nil, "club.csv:3: nothing was measured of this person"},
		{change("male,180,,71,B", "male,180"), nil, "club.csv:3: has 2 cells, the header has 5"},
		{change("71,B", "71,B,9"), nil, `club.csv:3:16: "9" stands in a column without a header`},
		{change("mass_kg", ""), nil, `club.csv:2:14: "61.25" stands in a column without a header`},
		{change("168.5", `"168`), nil, "a quotation mark that cannot stand here"},
		{"sex,mass (kg)\n" + strings.Repeat("male,71\n", anthro.MostSample+1), nil, "club.csv:5002: more than 5000 people, take fewer"},
	} {
		rows, err := Read("club.csv", []byte(test.text), test.sex)
		if err == nil {
			t.Errorf("%.60q: no error, want %q; %+v", test.text, test.want, rows)
			continue
		}
		if !strings.Contains(err.Error(), test.want) || rows != nil {
			t.Errorf("%.60q:\n got %v\nwant %s", test.text, err, test.want)
		}
	}
}

func TestAllFaultsInOrder(t *testing.T) {
	_, err := Read("club.csv", []byte("sex,mass (kg)\nx,-3\nmale,heavy\n"), nil)
	want := `club.csv:2:1: sex: found "x", allowed are female, male, f, m
club.csv:2:3: mass (kg): found "-3", must be positive
club.csv:3:6: mass (kg): found "heavy", must be a number, in kg; leave empty what was not measured`
	if err == nil || err.Error() != want {
		t.Errorf("got\n%v\nwant\n%s", err, want)
	}
	_, err = Read("club.csv", []byte("sex,mass (kg)\n"+strings.Repeat("male,heavy\n", 31)), nil)
	if err == nil || strings.Count(err.Error(), "\n") != mostFaults || !strings.HasSuffix(err.Error(), "club.csv: there are more faults") {
		t.Errorf("of 31 faults: %v", err)
	}
}

func TestSamples(t *testing.T) {
	text := table1 + "male,175.5,70.2,,D\n"
	samples, notes, err := Samples("sub/club.csv", []byte(text), "club", read(t, text))
	if err != nil || len(notes) != 0 || len(samples) != 2 {
		t.Fatalf("%d samples, notes %v, %v", len(samples), notes, err)
	}
	for i, want := range []struct{ name, title, survey string }{
		{"club-women", "2 women of club.csv", "ansur2-women"}, {"club-men", "2 men of club.csv", "ansur2-men"},
	} {
		s := samples[i]
		if s.Name != want.name || s.Title != want.title || s.Survey != want.survey || len(s.People) != 2 || len(s.Provenance.Raw[0].SHA256) != 64 {
			t.Errorf("%+v, want %+v", s, want)
		}
		if _, err := anthro.NewSample(s); err != nil {
			t.Error(err)
		}
	}
	if got := samples[0].People[1]["mass_kg"]; got != 64.5 {
		t.Errorf("second woman's mass %g", got)
	}
	women := anthro.Female
	rows, err := Read("w.csv", []byte("stature (m)\n1.68\n1.71\n"), &women)
	if err != nil {
		t.Fatal(err)
	}
	if samples, _, err = Samples("w.csv", nil, "w", rows); err != nil || len(samples) != 1 || samples[0].Name != "w" {
		t.Errorf("%+v, %v", samples, err)
	}
}

// Youths of a table are a sample of their own, drawn from youths; whoever is of no age is
// an adult.
func TestSamplesOfYouths(t *testing.T) {
	const head = "sex,age,stature (cm),mass (kg)\n"
	const girls = "female,12,150,41\nfemale,16,164,55\n"
	for _, c := range []struct{ text, want string }{
		{girls, "club: 2 girls of club.csv from us-girls"},
		{girls + "male,17,178,70\nmale,13,160,50\nmale,,181,77\nmale,30,175,74\n",
			"club-girls: 2 girls of club.csv from us-girls, club-men: 2 men of club.csv from ansur2-men, club-boys: 2 boys of club.csv from us-boys"},
		{girls + "female,33,170,64\n", "club.csv:4: this is the only female person, at least 2 are needed; add others or leave the row out"},
		{"female,33,170,64\nfemale,34,170,64\nfemale,13,150,44\n", "club.csv:4: this is the only female person under 18, at least 2 are needed; add others or leave the row out"},
		{girls + "female,11,140,34\n", "club.csv:4:8: age: the people of us-girls are 12 to 17 years old; nobody of less than 12 is drawn; found 11"},
	} {
		samples, _, err := Samples("club.csv", nil, "club", read(t, head+c.text))
		var got []string
		for _, s := range samples {
			got = append(got, s.Name+": "+s.Title+" from "+s.Survey)
			if _, err := anthro.NewSample(s); err != nil {
				t.Error(err)
			}
		}
		if err != nil {
			got = []string{err.Error()}
		}
		if strings.Join(got, ", ") != c.want {
			t.Errorf("got %q, want %q", strings.Join(got, ", "), c.want)
		}
	}
}

// People whom nobody resembles are refused with their place and the slip.
func TestImprobablePeople(t *testing.T) {
	const start = "sex,stature (cm),mass (kg),span (cm),palm length (cm),hand length (cm)\nfemale,168,61,170,,\n"
	for _, test := range []struct{ text, want string }{
		{"female,66,60,,,\n", "club.csv:3:8: stature: 66.0 cm: of people in us-women with that mass, 90 % have"},
		{"female,66,60,,,\n", "167.6 cm would fit: inches for centimetres?"},
		{"female,168,134,171,10.6,18\nfemale,160,320,,,\n", "145.1 kg would fit: pounds for kilograms?"},
		{"female,168,60,168,19,17.5\n", "club.csv:3:22: hand_length: 17.5 cm must be more than palm_length, which is 19.0 cm"},
		{"male,178,74,,,\n", "club.csv:3: this is the only male person, at least 2 are needed"},
	} {
		_, _, err := Samples("club.csv", nil, "club", read(t, start+test.text))
		if err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%q: got %v, want %s", test.text, err, test.want)
		}
	}
	_, notes, err := Samples("club.csv", nil, "club", read(t, start+"female,189,72,,,\n"))
	if err != nil || len(notes) != 1 || !strings.HasPrefix(notes[0], "club.csv:3:8: stature: rare, look again: 189.0 cm: of people in us-women") {
		t.Errorf("notes %q, %v", notes, err)
	}
}

func TestDemoTable(t *testing.T) {
	data, err := os.ReadFile("../../testdata/demo/club.csv")
	if err != nil {
		t.Fatal(err)
	}
	rows, err := Read("club.csv", data, nil)
	if err != nil {
		t.Fatal(err)
	}
	samples, notes, err := Samples("club.csv", data, "club", rows)
	if err != nil || len(notes) != 0 || len(samples) != 2 || len(samples[0].People)+len(samples[1].People) != 12 {
		t.Errorf("%d samples, notes %v, %v", len(samples), notes, err)
	}
}

// Whatever a table holds, it is read or refused with faults of one line each, and
// what is read has values to reckon with.
func FuzzRead(f *testing.F) {
	f.Add([]byte(table1))
	f.Add([]byte(strings.NewReplacer(",", ";", ".", ",").Replace(table1)))
	f.Add([]byte("\ufeffsex,mass (kg)\r\nmale,\"71\"\"\"\r\n"))
	f.Add([]byte("# \xff\nsex,stature (cm\n"))
	f.Add([]byte("stature_m,hip_breadth [mm]\n1.7,1e308\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, sex := range []*anthro.Sex{nil, new(anthro.Sex)} {
			rows, err := Read("f.csv", data, sex)
			if (err == nil) != (len(rows) > 0) {
				t.Fatalf("%d rows, error %v", len(rows), err)
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
				continue
			}
			for _, row := range rows {
				if len(row.Known) == 0 {
					t.Fatalf("line %d: nothing measured", row.Line)
				}
				for _, k := range row.Known {
					if !(k.Value > 0 && k.Value*0 == 0) {
						t.Fatalf("line %d: %s is %g", row.Line, k.Of, k.Value)
					}
				}
			}
			if len(rows) < 50 {
				if _, _, err := Samples("f.csv", data, "f", rows); err != nil && strings.Contains(err.Error(), "\x1b") {
					t.Fatalf("%q", err)
				}
			}
		}
	})
}
