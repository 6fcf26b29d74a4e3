package datasets

import (
	"encoding/json"
	"fmt"
	"path"
)

// Terms say where a data set comes from and under which terms.
type Terms struct {
	File     string // its path in FS
	Title    string
	Citation string
	Licence  string
}

// AllTerms returns the terms of every data set, sorted by kind and name. Refits have those
// of the data set that they were fitted like.
func AllTerms() ([]Terms, error) {
	var list []Terms
	for _, kind := range []string{"people", "athletes", "regional", "segments", "strength"} {
		for _, name := range Names(kind) {
			var of struct {
				Title      string     `json:"title"`
				Provenance Provenance `json:"provenance"`
			}
			file := path.Join(kind, name+".json")
			text, err := files.ReadFile(file)
			if err == nil {
				err = json.Unmarshal(text, &of) // the rest of the file is of no interest here
			}
			if err != nil {
				return nil, fmt.Errorf("%s: %w", file, err)
			}
			list = append(list, Terms{file, of.Title, of.Provenance.Citation, of.Provenance.Licence})
		}
	}
	return list, nil
}
