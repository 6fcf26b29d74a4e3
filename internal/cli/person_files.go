package cli

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"unicode"

	"counterpoise/internal/chart"
	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/internal/report"
	"counterpoise/internal/study"
	"counterpoise/internal/table"
	"counterpoise/internal/wording"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/plain"
)

// fileNames makes a name of a folder of each person's name: letters and digits
// of the alphabet, with hyphens between. Names that come out alike, empty or as a device of
// Windows get their number.
func fileNames(persons []string) []string {
	names := make([]string, len(persons))
	taken := map[string]bool{}
	for i, person := range persons {
		words := strings.FieldsFunc(strings.ToLower(person), func(r rune) bool {
			return r > unicode.MaxASCII || !unicode.IsLetter(r) && !unicode.IsDigit(r)
		})
		name := strings.Join(words, "-")
		for first, number := name, i+1; name == "" || taken[name] || plain.Device(name); number++ {
			name = strings.TrimPrefix(fmt.Sprintf("%s-%d", first, number), "-")
		}
		taken[name], names[i] = true, name
	}
	return names
}

// chartNames are what charts call the persons: by name where the font can write
// it.
func chartNames(answers []wording.PersonAnswer) []string {
	names := make([]string, len(answers))
	for i := range answers {
		if names[i] = answers[i].Person.Name; !chart.Writable(names[i]) {
			names[i] = fmt.Sprintf("person %d", i+1)
		}
	}
	return names
}

// drawPersons writes the charts, several at a time: those of one person into the
// folder itself, those of several into a folder each.
func drawPersons(env *environment, folder string, answers []wording.PersonAnswer, l look, s words.System) error {
	names := chartNames(answers)
	var persons []string
	for i := range answers {
		persons = append(persons, answers[i].Person.Name)
	}
	var all []placed
	for i, sub := range fileNames(persons) {
		figures, err := report.PersonFigures(&answers[i], names[i], s)
		if err != nil {
			return err
		}
		into := folder
		if len(answers) > 1 {
			into = filepath.Join(folder, sub)
			if err := os.MkdirAll(into, 0o777); err != nil {
				return err
			}
		}
		all = append(all, placedIn(into, figures)...)
	}
	return l.draw(env, append(all, placedIn(folder, report.Together(answers, names, s))...))
}

// drawsName is where the table of the bodies drawn for a person goes.
func drawsName(persons []study.Person, at int) string {
	if len(persons) == 1 {
		return "draws.parquet"
	}
	var names []string
	for i := range persons {
		names = append(names, persons[i].Name)
	}
	return filepath.Join(fileNames(names)[at], "draws.parquet")
}

// writeDraws writes the bodies drawn for a person with what the hold asks of
// each, a row a body.
func writeDraws(path string, a *wording.PersonAnswer, stamp provenance.Stamp) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		return err
	}
	pairs, err := stamp.KeyValues()
	if err != nil {
		return err
	}
	pairs = append(pairs, provenance.KeyValue{Key: provenance.Tool + ".person", Value: a.Person.Name})
	var c columns
	c.add(table.Column{Name: "assumption_draw", Kind: table.Int32, Description: "number of the draw of the assumptions of the columns that end the name of the model with varied"},
		func(i int) float64 { return float64(a.Draw[i]) })
	for m := range anthro.NumMeasurements {
		values := a.People.Value[m]
		c.add(table.Column{Name: m.String() + "_" + m.Unit(), Unit: m.Unit(), Description: m.Description()}, func(i int) float64 { return values[i] })
	}
	for k := range a.Models {
		m := &a.Models[k]
		for _, of := range []struct {
			name, says string
			result     *hold.Result
		}{
			{"central", "at the central assumptions", m.Body},
			{"varied", "under the row's draw of the assumptions", m.All},
		} {
			for _, d := range a.Hold.Asks(m.Model) {
				if a.Unknown(m.Model, d) != "" {
					continue
				}
				ending, unit := outcome.ColumnUnit(d)
				scale := 1.0
				if unit == "deg" {
					scale = 180 / math.Pi
				}
				values, possible := of.result.Value[d], of.result.Possible
				name := strings.ReplaceAll(m.Model.String(), "-", "_") + "_" + of.name + "_" + d.String() + ending
				c.add(table.Column{Name: name, Unit: unit, Missing: true, Description: d.Meaning + ", by " + m.Model.String() + " " + of.says + "; missing where the posture is not possible"},
					func(i int) float64 {
						if !possible[i] {
							return math.NaN()
						}
						return values[i] * scale
					})
			}
		}
	}
	return c.write(path, pairs, a.People.Rows())
}
