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
	w := &written{files: map[string][]byte{}}
	scans := map[string]map[anthro.Sex]*Scans{firstRegional: {}, publicRegional: {}}
	grips := map[anthro.Sex]*Grips{}
	for _, sex := range []anthro.Sex{anthro.Male, anthro.Female} {
		soldiers, err := ReadSoldiers(folder, sex)
		if err != nil {
			return nil, err
		}
		adults, err := ReadAdults(folder, sex)
		if err != nil {
			return nil, err
		}
		people, err := fitPeople(soldiers, sex)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", soldiers.file.record.File, err)
		}
		w.add("people/"+people.Name, people)
		refits, err := refitPeople(soldiers, sex, people)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", soldiers.file.record.File, err)
		}
		w.add("refits/"+people.Name, refits)
		all := &public{sex, adults, soldiers}
		if people, err = fitPublic(all); err != nil {
			return nil, fmt.Errorf("the public, %s: %w", sex, err)
		}
		w.add("people/"+people.Name, people)
		if refits, err = refitPublic(all, people); err != nil {
			return nil, fmt.Errorf("the public, %s: %w", sex, err)
		}
		w.add("refits/"+people.Name, refits)
		if scans[firstRegional][sex], err = ReadScans(folder, sex); err != nil {
			return nil, err
		}
		scans[publicRegional][sex] = adults.scanned()
		if grips[sex], err = ReadGrips(folder, sex, TheGripRules); err != nil {
			return nil, err
		}
	}
	for name, bySex := range scans {
		regional, err := fitRegional(name, bySex)
		if err != nil {
			return nil, fmt.Errorf("regional masses: %w", err)
		}
		w.add("regional/"+name, regional)
		for sex, s := range bySex {
			fit, of := regional.BySex[sex.String()], name+"-"+sex.String()
			refits, err := refitRegional(s, of, &fit)
			if err != nil {
				return nil, fmt.Errorf("regional masses, %s: %w", sex, err)
			}
			w.add("refits/"+of, refits)
		}
	}
	size, err := fitStrength(grips)
	if err != nil {
		return nil, fmt.Errorf("strength: %w", err)
	}
	w.add("strength/"+size.Name, size)
	return w.files, w.err
}

// written is the files of a fit, by their path, and the first error of writing one.
type written struct {
	files map[string][]byte
	err   error
}

func (w *written) add(name string, value any) {
	text, err := encode(value)
	if w.err == nil && err != nil {
		w.err = fmt.Errorf("%s: %w", name, err)
	}
	w.files[name+".json"] = text
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
