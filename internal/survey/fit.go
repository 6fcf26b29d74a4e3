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
	scans := map[string]map[anthro.Sex]*Scans{firstRegional: {}, publicRegional: {}, youthsRegional: {}}
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
		w.add("people/"+people.Name, people)
		refits, err := refitPeople(soldiers, sex, people)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", soldiers.file.record.File, err)
		}
		w.add("refits/"+people.Name, refits)
		adults, youths, err := readPublics(folder, sex, soldiers)
		if err != nil {
			return nil, err
		}
		for _, p := range []*public{adults, youths} {
			if err := w.addPublic(p); err != nil {
				return nil, fmt.Errorf("the public, %s: %w", p.name(), err)
			}
		}
		if scans[firstRegional][sex], err = ReadScans(folder, sex); err != nil {
			return nil, err
		}
		scans[publicRegional][sex], scans[youthsRegional][sex] = adults.examined.scanned(), youths.examined.scanned()
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

// readPublics reads the public of a sex, adults and youths.
func readPublics(folder string, sex anthro.Sex, soldiers *Soldiers) (adults, youths *public, err error) {
	adults = &public{sex: sex, soldiers: soldiers}
	if adults.examined, err = ReadAdults(folder, sex); err != nil {
		return nil, nil, err
	}
	youths = &public{sex: sex, soldiers: soldiers}
	if youths.examined, err = ReadYouths(folder, sex); err != nil {
		return nil, nil, err
	}
	youths.children, err = ReadChildren(folder, sex, childrenFrom, childrenBelow)
	return adults, youths, err
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

// addPublic adds a population of the public, and its refits.
func (w *written) addPublic(p *public) error {
	people, err := fitPublic(p)
	if err != nil {
		return err
	}
	w.add("people/"+people.Name, people)
	refits, err := refitPublic(p, people)
	if err != nil {
		return err
	}
	w.add("refits/"+people.Name, refits)
	return nil
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
