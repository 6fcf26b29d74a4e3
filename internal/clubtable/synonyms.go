package clubtable

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"counterpoise/sim/anthro"

	"golang.org/x/text/unicode/norm"
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
// Spanish, Portuguese, Italian. The names of the measurements and what anthro knows them
// by besides are understood without being here.
var synonyms = []struct {
	meaning
	words string // separated by commas
}{
	{meaning{measured, anthro.Stature}, "ht, hgt, standing height, tall, grosse, groesse, korpergrosse, koerpergroesse, korperhohe, korperlange, taille, taille debout, hauteur, altura, estatura, talla, altezza, statura"},
	{meaning{measured, anthro.Mass}, "body weight, wt, wgt, bodyweight, bw, gew, gewicht, korpergewicht, koerpergewicht, masse, korpermasse, poids, poids corporel, masse corporelle, peso, peso corporal, peso corporeo, masa, masa corporal, massa, massa corporal, massa corporea"},
	{meaning{measured, anthro.Span}, "reach, wing span, arm spread, reach fingertip to fingertip, spannweite, armspannweite, armspanne, envergure, envergure des bras, envergadura, envergadura de brazos, envergadura dos bracos, apertura, apertura braccia, apertura delle braccia, apertura alare"},
	{meaning{measured, anthro.SittingHeight}, "seated height, sitzhohe, sitzgrosse, taille assise, taille assis, hauteur assise, talla sentado, altura sentado, altura sentada, altezza seduto, altezza da seduto, altezza da seduti"},
	{meaning{measured, anthro.BiacromialBreadth}, "shoulders, biacromial, biacromial width, schulterbreite, largeur d epaules, largeur des epaules, ancho de hombros, anchura de hombros, largura dos ombros, largura de ombros, larghezza spalle, larghezza delle spalle"},
	{meaning{measured, anthro.UpperArmLength}, "upper arm, oberarm, oberarmlange, longueur du bras, longitud del brazo, comprimento do braco, lunghezza del braccio"},
	{meaning{measured, anthro.ForearmLength}, "forearm, unterarm, unterarmlange, avant bras, longueur de l avant bras, antebrazo, longitud del antebrazo, antebraco, comprimento do antebraco, avambraccio, lunghezza avambraccio"},
	{meaning{measured, anthro.HandLength}, "hand, handlange, main, longueur de la main, mano, longitud de la mano, mao, comprimento da mao, lunghezza mano, lunghezza della mano"},
	{meaning{measured, anthro.PalmLength}, "palm, handflache, handflachenlange, paume, longueur de la paume, palma, longitud de la palma"},
	{meaning{measured, anthro.FootLength}, "foot, fusslange, longueur du pied, longitud del pie, comprimento do pe, lunghezza piede, lunghezza del piede"},
	{meaning{measured, anthro.HipBreadth}, "hip width, hips breadth, huftbreite, largeur des hanches, ancho de caderas, anchura de caderas, largura do quadril, largura dos quadris, larghezza fianchi, larghezza dei fianchi"},
	{meaning{measured, anthro.WaistCircumference}, "waist girth, waistline, taillenumfang, bauchumfang, tour de taille, cintura, contorno de cintura, perimetro de cintura, perimetro da cintura, circunferencia da cintura, vita, girovita, circonferenza vita, circonferenza della vita"},
	{meaning{measured, anthro.AcromialHeight}, "shoulder height, schulterhohe, hauteur d epaule, hauteur des epaules, altura de hombros, altura dos ombros, altezza spalle"},
	{meaning{measured, anthro.TrochanterionHeight}, "hip height, hufthohe, hauteur de hanche, altura de cadera, altura do quadril, altezza anca"},
	{meaning{measured, anthro.MalleolusHeight}, "ankle height, knochelhohe"},
	{meaning{measured, anthro.Age}, "years old, alter, lebensalter, alter in jahren, edad, idade, eta"},
	{meaning{kind: sexed}, "geschl, sex, gender, m f, f m, male female, female male, geschlecht, m w, w m, m w d, w m d, sexe, genre, h f, f h, sexo, genero, h m, m h, sesso, genere"},
	{meaning{kind: named}, "person, name, full name, athlete, member, student, participant, who, sportler, sportlerin, athletin, athlet, mitglied, schuler, schulerin, teilnehmer, vor und nachname, nom, nom et prenom, nom prenom, prenom nom, eleve, athletes, nombre, nombre y apellidos, alumno, alumna, deportista, nome, nome completo, atleta, aluno, aluna, nome e cognome, allievo, allieva"},
	{meaning{kind: first}, "first name, firstname, given name, forename, vorname, prenom, primeiro nome"},
	{meaning{kind: last}, "last name, lastname, surname, family name, nachname, familienname, zuname, nom de famille, apellido, apellidos, sobrenome, apelido, cognome"},
	{meaning{kind: number}, "id, no, nr, number, nummer, numero, n"},
	{meaning{kind: noted}, "note, notes, comment, comments, remark, remarks, bemerkung, bemerkungen, kommentar, notiz, anmerkung, remarque, remarques, commentaire, observaciones, notas, nota, observacoes, osservazioni"},
	{meaning{kind: again}, "measured again"},
}

// sexes are the words for the sexes, folded; single letters are told apart by what else
// stands in the column, see letter.
var sexes = map[anthro.Sex]string{
	anthro.Female: "female, females, woman, women, girl, girls, lady, ladies, weiblich, frau, frauen, weibl, madchen, damen, femme, femmes, feminin, feminine, fille, filles, femenino, femenina, mujer, mujeres, chica, chicas, feminino, feminina, mulher, mulheres, femmina, femmine, femminile, donna, donne, fem, ♀",
	anthro.Male:   "male, males, man, men, boy, boys, mannlich, maennlich, mannl, mann, manner, herr, herren, jungen, homme, hommes, masculin, garcon, garcons, masculino, hombre, hombres, chico, chicos, homem, homens, maschio, maschi, maschile, uomo, uomini, masc, ♂",
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
	summaries = listed("mean, average, avg, averages, median, total, totals, mittelwert, mittel, durchschnitt, schnitt, summe, gesamt, moyenne, mediane, somme, promedio, mediana, suma, media, medio, soma, somma, totale, standard deviation, stdev, std dev, standardabweichung, ecart type, desviacion, deviazione")
	maybeSums = listed("max, maximum, min, minimum, sum, sd, n, count, anzahl, ø, o")
)

// missing are cells that say that nothing was measured, folded.
var missing = listed("na, n a, nan, null, none, nil, k a, n d, nd, s d, unknown, unbekannt, inconnu, x")

var (
	meanings = func() map[string]meaning {
		m := map[string]meaning{}
		for _, s := range synonyms {
			for _, w := range listed(s.words) {
				m[w] = s.meaning
			}
		}
		return m
	}()
	unitCalled = flip(unitWords)
	sexCalled  = flip(sexes)
)

func listed(words string) []string { return strings.Split(words, ", ") }

func flip[K comparable](words map[K]string) map[string]K {
	m := map[string]K{}
	for k, list := range words {
		for _, w := range listed(list) {
			m[w] = k
		}
	}
	return m
}

// fold reduces a text to what it is looked up by: lower case, without accents, words of
// letters and digits with single spaces between.
func fold(text string) string {
	text = strings.NewReplacer("ß", "ss", "æ", "ae", "œ", "oe").Replace(strings.ToLower(text))
	words := strings.FieldsFunc(norm.NFD.String(text), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.Is(unicode.Mn, r) && r != '♀' && r != '♂'
	})
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, strings.Join(words, " "))
}

// meant finds what a folded header means.
func meant(header string) (meaning, bool) {
	if m, ok := meanings[header]; ok {
		return m, true
	}
	name := strings.ReplaceAll(header, " ", "_")
	if of, ok := anthro.ParseMeasurement(name); ok {
		return meaning{measured, of}, true
	}
	of, ok := anthro.MeasurementCalled(name)
	return meaning{measured, of}, ok
}

// unitMeant finds a unit by what is written for it, a sign included.
func unitMeant(written string) (string, bool) {
	written = strings.TrimSpace(written)
	unit, ok := unitCalled[written]
	if !ok {
		unit, ok = unitCalled[fold(written)]
	}
	return unit, ok
}

var remark = regexp.MustCompile(`^(.*?)\s*[(\[{]\s*(.*?)\s*[)\]}]([^()\[\]{}]*)$`)

// beside are words behind a header that change nothing, folded.
var beside = listed("without shoes, no shoes, barefoot, ohne schuhe, barfuss, sans chaussures, pieds nus, sin zapatos, descalzo, sem sapatos, descalco, senza scarpe, scalzo")

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
	folded := fold(name)
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
			if unit == "" {
				unit = tail
			}
			return m, unit, true
		}
	}
	return m, "", false
}
