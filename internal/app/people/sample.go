package people

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"path/filepath"
	"slices"

	"counterpoise/datasets"
	"counterpoise/internal/clubtable"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
)

// method says how people are drawn from a sample.
const method = "The people are kept as measured and resampled, each with the same chance. " +
	"What was not measured on a person is drawn each time from the survey's people with the same measurements otherwise " +
	"(conditioned Gaussian copula)."

// group is people of a table who are drawn from one survey: of one sex, adults or youths.
type group struct {
	sex   anthro.Sex
	young bool
}

// groups are all there are, in the order in which samples are made.
var groups = []group{{anthro.Female, false}, {anthro.Female, true}, {anthro.Male, false}, {anthro.Male, true}}

// who names the people of a group, as in the names of the files.
func (g group) who() string {
	return map[group]string{groups[0]: "women", groups[1]: "girls", groups[2]: "men", groups[3]: "boys"}[g]
}

// has reports whether a person of the table is of the group: whoever is of no age is an adult.
func (g group) has(row *clubtable.Person) bool {
	return row.Sex == g.sex && anthro.Youth(row.Known) == g.young
}

// survey is that from which what was not measured is drawn.
func (g group) survey() string {
	if g.young {
		return anthro.YouthsOf(g.sex)
	}
	return anthro.PublicOf(g.sex)
}

// one says who somebody of the group is.
func (g group) one() string {
	if g.young {
		return fmt.Sprintf("%s person under %d", g.sex, anthro.Adulthood)
	}
	return g.sex.String() + " person"
}

// Samples makes people out of those of a table: a sample for each sex there is, women
// first, and of each one for youths, whose ages say that they are. data is the table;
// name is that of the people, with who they are in it where there are two samples or more.
//
// It returns notes on people who are rare, one a line. Its errors are of the table's rows
// that cannot be read, of people whom nobody resembles, or who cannot be, with their place in the table and the
// likely slip, and of fewer than two people of a group.
func Samples(t *clubtable.Table, data []byte, name string) (samples []*anthro.Sample, notes []string, err error) {
	faults := slices.Clone(t.Left)
	sum, base := sha256.Sum256(data), study.Printable(filepath.Base(t.File), 60)
	var made []group
	for _, g := range groups {
		survey, err := anthro.Load(g.survey())
		if err != nil {
			return nil, nil, err
		}
		s := &anthro.Sample{
			Name: name, Sex: g.sex.String(), Survey: survey.Name,
			Provenance: datasets.Provenance{
				Citation: "measured people, " + base, Licence: "not stated", Method: method,
				Raw: []datasets.Raw{{File: base, Origin: "a table of measured people", SHA256: hex.EncodeToString(sum[:])}},
			},
		}
		count, last := 0, &clubtable.Person{}
		for i := range t.People {
			row := &t.People[i]
			if !g.has(row) {
				continue
			}
			count, last = count+1, row
			condition, add := survey.Condition, s.Add
			if row.Again {
				condition, add = survey.ConditionAgain, s.AddAgain
			}
			person, err := condition(row.Known, anthro.Regional{})
			if err != nil {
				faults = append(faults, row.Fault(err))
				continue
			}
			if person.Rare != nil && !row.Again {
				notes = append(notes, row.At(person.Rare.Known.Of.String(), "rare, check it: %s", words.Rarity(person.Rare, words.Metric)).Error())
			}
			add(row.Known)
		}
		if count == 0 {
			continue
		}
		if count < anthro.LeastSample {
			faults = append(faults, last.At("", "this is the only %s, at least %d are needed; add more or leave the row out", g.one(), anthro.LeastSample))
		}
		s.Title = fmt.Sprintf("%d %s of %s", count, g.who(), base)
		samples, made = append(samples, s), append(made, g)
	}
	if len(faults) > 0 {
		return nil, nil, faults.Err()
	}
	if len(samples) > 1 {
		for i, g := range made {
			samples[i].Name += "-" + g.who()
		}
	}
	return samples, notes, nil
}
