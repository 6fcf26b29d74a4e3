package people

import (
	"errors"
	"fmt"
	"strings"
	"testing"

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
		read, err := study.ReadPersons("adults.yaml", []byte(persons.String()))
		if err != nil {
			t.Fatal(err)
		}
		population, err := anthro.Load(anthro.PublicOf(sex))
		if err != nil {
			t.Fatal(err)
		}
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
