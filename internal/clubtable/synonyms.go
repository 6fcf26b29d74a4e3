package clubtable

import (
	"cmp"
	"regexp"
	"slices"
	"strings"

	"counterpoise/internal/called"
	"counterpoise/sim/anthro"
)

// kind is what a column holds.
type kind int

const (
	ignored kind = iota
	measured
	sexed
	named  // a whole name
	first  // parts of one
	last   //
	number // a name where there is no other
	noted
	again // what stands there was measured again, and is so
)

// meaning is what a column's header says.
type meaning struct {
	kind kind
	of   anthro.Measurement // of a measured column
}

// synonyms are the words that stand above columns, folded: English, German, French,
// Spanish, Portuguese, Italian. Package called knows the words for measurements.
var synonyms = []struct {
	meaning
	words string // separated by commas
}{
	{meaning{kind: sexed}, "geschl, sex, gender, m f, f m, male female, female male, geschlecht, m w, w m, m w d, w m d, sexe, genre, h f, f h, sexo, genero, h m, m h, sesso, genere"},
	{meaning{kind: named}, "person, name, full name, athlete, member, student, participant, who, sportler, sportlerin, athletin, athlet, mitglied, schuler, schulerin, teilnehmer, vor und nachname, nom, nom et prenom, nom prenom, prenom nom, eleve, athletes, nombre, nombre y apellidos, alumno, alumna, deportista, nome, nome completo, atleta, aluno, aluna, nome e cognome, allievo, allieva"},
	{meaning{kind: first}, "first name, firstname, given name, forename, vorname, prenom, primeiro nome"},
	{meaning{kind: last}, "last name, lastname, surname, family name, nachname, familienname, zuname, nom de famille, apellido, apellidos, sobrenome, apelido, cognome"},
	{meaning{kind: number}, "id, no, nr, number, nummer, numero, n"},
	{meaning{kind: noted}, "note, notes, comment, comments, remark, remarks, bemerkung, bemerkungen, kommentar, notiz, anmerkung, remarque, remarques, commentaire, observaciones, notas, nota, observacoes, osservazioni"},
	{meaning{kind: again}, "measured again"},
}

// unitWords are the words for units, folded, by how package units writes them.
var unitWords = map[string]string{
	"cm": "cm, cms, centimetre, centimetres, centimeter, centimeters, zentimeter, centimetro, centimetros, centimetri",
	"mm": "mm, millimetre, millimetres, millimeter, millimeters, milimetros, millimetri",
	"m":  "m, mt, mts, metre, metres, meter, meters, metro, metros, metri",
	"in": "in, inch, inches, zoll, pouce, pouces, pulgada, pulgadas, polegada, polegadas, pollici, \"",
	"ft": "ft, foot, feet, fuss, pieds, pies, pes, piedi, '",
	// Of both: the cells say which.
	"ft in":  "ft in, ft and in, feet inches, feet and inches, foot inch, ft inches, feet in",
	"kg":     "kg, kgs, kilo, kilos, kilogram, kilograms, kilogramm, kilogramme, kilogrammes, kilogramo, kilogramos, quilo, quilos, quilogramas, chili, chilogrammi",
	"lb":     "lb, lbs, pound, pounds, livres, libras, libbre, #",
	"st":     "st, stone, stones",
	"st lb":  "st lb, st lbs, stone pounds, stones pounds, stone and pounds",
	"g":      "g, gram, grams, gramm, grammes, gramos, gramas, grammi",
	"years":  "years, year, yr, yrs, y, jahre, jahren, j, ans, annees, anos, anni, a",
	"months": "months, month, monate, monaten, mois, meses, mesi", // in which nothing is read
}

// summaries are words that rows of sums and means start with, folded; those after them
// are names too, and count only where nothing stands as the sex.
var (
	summaries = called.Listed("mean, average, avg, averages, median, total, totals, mittelwert, mittel, durchschnitt, schnitt, summe, gesamt, moyenne, mediane, somme, promedio, mediana, suma, media, medio, soma, somma, totale, standard deviation, stdev, std dev, standardabweichung, ecart type, desviacion, deviazione")
	maybeSums = called.Listed("max, maximum, min, minimum, sum, sd, n, count, anzahl, ø, o")
)

// missing are cells that say that nothing was measured, folded.
var missing = called.Listed("na, n a, nan, null, none, nil, k a, n d, nd, s d, unknown, unbekannt, inconnu, x")

var (
	meanings = func() map[string]meaning {
		m := map[string]meaning{}
		for _, s := range synonyms {
			for _, w := range called.Listed(s.words) {
				m[w] = s.meaning
			}
		}
		return m
	}()
	unitCalled = called.ByWord(unitWords)
)

// meant finds what a folded header means.
func meant(header string) (meaning, bool) {
	if m, ok := meanings[header]; ok {
		return m, true
	}
	of, ok := called.Measurement(header)
	return meaning{measured, of}, ok
}

// unitMeant finds a unit by what is written for it, a sign included.
func unitMeant(written string) (string, bool) {
	written = strings.TrimSpace(written)
	unit, ok := unitCalled[written]
	if !ok {
		unit, ok = unitCalled[called.Fold(written)]
	}
	return unit, ok
}

var remark = regexp.MustCompile(`^(.*?)\s*[(\[{]\s*(.*?)\s*[)\]}]([^()\[\]{}]*)$`)

// beside are words behind a header that change nothing, folded.
var beside = called.Listed("without shoes, no shoes, barefoot, ohne schuhe, barfuss, sans chaussures, pieds nus, sin zapatos, descalzo, sem sapatos, descalco, senza scarpe, scalzo")

// prepositions stand before a unit.
var prepositions = []string{"in", "en", "em", "im"}

// parseHeader says what a header means, and in which unit; the unit is "" where the
// header has none.
func parseHeader(text string) (m meaning, unit string, ok bool) {
	name := text
	if parts := remark.FindStringSubmatch(text); parts != nil {
		name = parts[1] + " " + parts[3]
		unit, _ = unitMeant(parts[2])
	}
	folded := called.Fold(name)
	for _, words := range beside {
		folded = strings.TrimSuffix(folded, " "+words)
	}
	if m, ok = meant(folded); ok || folded == "" {
		return m, unit, ok
	}
	words := strings.Fields(folded)
	for n := min(3, len(words)-1); n > 0; n-- {
		tail, is := unitCalled[strings.Join(words[len(words)-n:], " ")]
		if !is {
			continue
		}
		rest := words[:len(words)-n]
		if k := len(rest) - 1; k > 0 && slices.Contains(prepositions, rest[k]) {
			rest = rest[:k]
		}
		if m, ok = meant(strings.Join(rest, " ")); ok {
			return m, cmp.Or(unit, tail), true
		}
	}
	return m, "", false
}
