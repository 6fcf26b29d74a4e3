package survey

import (
	"bytes"
	"encoding/json"
	"fmt"
	"regexp"

	"counterpoise/sim/anthro"
)

// Fit fits every derived data set to the raw files in a folder and returns the
// files, by their path below package datasets. The same raw files give the same
// bytes.
func Fit(folder string) (map[string][]byte, error) {
	files := map[string][]byte{}
	scans := map[anthro.Sex]*Scans{}
	grips := map[anthro.Sex]*Grips{}
	for _, sex := range []anthro.Sex{anthro.Male, anthro.Female} {
		soldiers, err := ReadSoldiers(folder, sex)
		if err != nil {
			return nil, err
		}
		people, err := fitPeople(soldiers, sex)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", soldiers.file.record.File, err)
		}
		if files["people/"+people.Name+".json"], err = encode(people); err != nil {
			return nil, err
		}
		refits, err := refitPeople(soldiers, sex, people)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", soldiers.file.record.File, err)
		}
		if files["refits/"+people.Name+".json"], err = encode(refits); err != nil {
			return nil, err
		}
		if scans[sex], err = ReadScans(folder, sex); err != nil {
			return nil, err
		}
		if grips[sex], err = ReadGrips(folder, sex, TheGripRules); err != nil {
			return nil, err
		}
	}
	regional, err := fitRegional(scans)
	if err != nil {
		return nil, fmt.Errorf("regional masses: %w", err)
	}
	if files["regional/"+regional.Name+".json"], err = encode(regional); err != nil {
		return nil, err
	}
	size, err := fitStrength(grips)
	if err != nil {
		return nil, fmt.Errorf("strength: %w", err)
	}
	if files["strength/"+size.Name+".json"], err = encode(size); err != nil {
		return nil, err
	}
	for sex, s := range scans {
		fit := regional.BySex[sex.String()]
		name := regional.Name + "-" + sex.String()
		refits, err := refitRegional(s, name, &fit)
		if err != nil {
			return nil, fmt.Errorf("regional masses, %s: %w", sex, err)
		}
		if files["refits/"+name+".json"], err = encode(refits); err != nil {
			return nil, err
		}
	}
	return files, err
}

// numbers matches a list of nothing but numbers, spread over lines.
var numbers = regexp.MustCompile(`\[\s+[-+.0-9eE,\s]+\]`)

// encode writes JSON for people to read and compare: indented, with each list of
// numbers on a line of its own.
func encode(value any) ([]byte, error) {
	var text bytes.Buffer
	encoder := json.NewEncoder(&text)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", " ")
	if err := encoder.Encode(value); err != nil {
		return nil, err
	}
	return numbers.ReplaceAllFunc(text.Bytes(), func(list []byte) []byte {
		return bytes.ReplaceAll(bytes.Join(bytes.Fields(list), nil), []byte(","), []byte(", "))
	}), nil
}
