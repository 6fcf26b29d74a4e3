package people

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"

	"counterpoise/internal/clubtable"
	"counterpoise/internal/golden"
	"counterpoise/internal/study"
	"counterpoise/internal/survey"
	"counterpoise/sim/anthro"
)

// Real adults of the survey go through people from and person as they were measured:
// of 3,000 fewer than 2 in 1,000 are stopped.
func TestRealAdultsAreTaken(t *testing.T) {
	folder := golden.Surveys(t, survey.Folder)
	const each = 1500
	for _, sex := range []anthro.Sex{anthro.Female, anthro.Male} {
		adults, err := survey.ReadAdults(folder, sex)
		if err != nil {
			t.Fatal(err)
		}
		var table, persons strings.Builder
		table.WriteString("sex,stature (cm),mass (kg),waist_circumference (cm),age\n")
		for k := range each {
			i := k * len(adults.Weight) / each
			waist, line := "", ""
			if cm := 100 * adults.Waist[i]; cm > 0 { // not missing
				waist, line = fmt.Sprintf("%.1f", cm), fmt.Sprintf("waist_circumference: %.1f cm\n", cm)
			}
			fmt.Fprintf(&table, "%s,%.1f,%.1f,%s,%.0f\n", sex, 100*adults.Stature[i], adults.Mass[i], waist, adults.Age[i])
			if k%10 == 0 { // a file holds no more than hundreds
				fmt.Fprintf(&persons, "---\nperson: p%d\nsex: %s\nstature: %.1f cm\nmass: %.1f kg\n%sage: %.0f\n", k, sex, 100*adults.Stature[i], adults.Mass[i], line, adults.Age[i])
			}
		}
		stopped := 0
		if _, _, err = Samples(readAs(t, "adults.csv", table.String(), nil), []byte(table.String()), "adults"); err != nil {
			var faults interface{ Unwrap() []error }
			if !errors.As(err, &faults) {
				t.Fatal(err)
			}
			stopped = len(faults.Unwrap())
		}
		t.Logf("%s: %d of %d stopped by people from: %v", sex, stopped, each, err)
		if stopped >= each*2/1000 {
			t.Errorf("%s: %d of %d stopped", sex, stopped, each)
		}
		read := golden.Must(study.ReadPersons("adults.yaml", []byte(persons.String())))(t)
		population := golden.Must(anthro.Load(anthro.PublicOf(sex)))(t)
		for _, p := range read {
			if _, err := population.Condition(p.Known, anthro.Regional{}); err != nil {
				t.Logf("%s %s: %v", sex, p.Name, err)
				stopped++
			}
		}
		if stopped >= 2*each*2/1000 {
			t.Errorf("%s: %d stopped", sex, stopped)
		}
	}
}

// What next to nobody has is refused with the way out, and taken where it was measured
// again.
func TestMeasuredAgain(t *testing.T) {
	const table = "sex,stature (cm),mass (kg),age,measured_again\nmale,211,118,31,%s\nmale,180,80,40,\n"
	refused := fmt.Sprintf(table, "no")
	if _, _, err := Samples(read(t, refused), []byte(refused), "club"); err == nil || !strings.Contains(err.Error(), "write measured_again: yes") {
		t.Errorf("%v", err)
	}
	taken := fmt.Sprintf(table, "yes")
	samples, notes, err := Samples(read(t, taken), []byte(taken), "club")
	if err != nil || len(notes) > 0 {
		t.Fatal(err, notes)
	}
	if _, err := anthro.NewSample(samples[0]); err != nil {
		t.Errorf("what was measured again is lost in the file: %v", err)
	}
	perhaps := fmt.Sprintf(table, "perhaps")
	if _, _, err := Samples(read(t, perhaps), []byte(perhaps), "club"); err == nil || !strings.Contains(err.Error(), "allowed: yes, no") {
		t.Errorf("%v", err)
	}
}

const table1 = "sex,stature (cm),mass_kg,span (in),person\nfemale,168.5,61.25,67 1/2,A\nmale,180,,71,B\nF,171,64.5,,C\n"

func read(t *testing.T, text string) *clubtable.Table { return readAs(t, "club.csv", text, nil) }

func readAs(t *testing.T, file, text string, sex *anthro.Sex) *clubtable.Table {
	t.Helper()
	return golden.Must(clubtable.Read(file, []byte(text), sex))(t)
}

func TestSamples(t *testing.T) {
	text := table1 + "male,175.5,70.2,,D\n"
	samples, notes, err := Samples(readAs(t, "sub/club.csv", text, nil), []byte(text), "club")
	if err != nil || len(notes) != 0 || len(samples) != 2 {
		t.Fatalf("%d samples, notes %v, %v", len(samples), notes, err)
	}
	for i, want := range []struct{ name, title, survey string }{
		{"club-women", "2 women of club.csv", "us-women"}, {"club-men", "2 men of club.csv", "us-men"},
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
	if samples, _, err = Samples(readAs(t, "w.csv", "stature (m)\n1.68\n1.71\n", &women), nil, "w"); err != nil || len(samples) != 1 || samples[0].Name != "w" {
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
			"club-girls: 2 girls of club.csv from us-girls, club-men: 2 men of club.csv from us-men, club-boys: 2 boys of club.csv from us-boys"},
		{girls + "female,33,170,64\n", "club.csv:4: this is the only female person, at least 2 are needed; add more or leave the row out"},
		{"female,33,170,64\nfemale,34,170,64\nfemale,13,150,44\n", "club.csv:4: this is the only female person under 18, at least 2 are needed; add more or leave the row out"},
		{girls + "female,11,140,34\n", "club.csv:4:8: age: the people of us-girls are 12 to 17 years old; nobody under 12 is drawn; found 11"},
	} {
		samples, _, err := Samples(read(t, head+c.text), nil, "club")
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
		_, _, err := Samples(read(t, start+test.text), nil, "club")
		if err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%q: got %v, want %s", test.text, err, test.want)
		}
	}
	_, notes, err := Samples(read(t, start+"female,189,72,,,\n"), nil, "club")
	if err != nil || len(notes) != 1 || !strings.HasPrefix(notes[0], "club.csv:3:8: stature: rare, check it: 189.0 cm: of people in us-women") {
		t.Errorf("notes %q, %v", notes, err)
	}
}

func TestDemoTable(t *testing.T) {
	data := golden.Must(os.ReadFile("../../../testdata/demo/club.csv"))(t)
	samples, notes, err := Samples(read(t, string(data)), data, "club")
	if err != nil || len(notes) != 0 || len(samples) != 2 || len(samples[0].People)+len(samples[1].People) != 12 {
		t.Errorf("%d samples, notes %v, %v", len(samples), notes, err)
	}
}
