// Package called knows what people call things: measurements and sexes in the words of
// English, German, French, Spanish, Portuguese and Italian, and other words for names that
// files and flags have. It finds what an unknown name was probably meant to be.
package called

import (
	"maps"
	"slices"
	"strings"
	"sync"
	"unicode"

	"counterpoise/sim/anthro"

	"golang.org/x/text/unicode/norm"
)

// measurements are the words for measurements, folded, with commas between; their names and
// what anthro knows them by besides are understood without being here.
var measurements = map[anthro.Measurement]string{
	anthro.Stature:             "ht, hgt, standing height, tall, grosse, groesse, korpergrosse, koerpergroesse, korperhohe, korperlange, taille, taille debout, hauteur, altura, estatura, talla, altezza, statura",
	anthro.Mass:                "body weight, wt, wgt, bodyweight, bw, gew, gewicht, korpergewicht, koerpergewicht, masse, korpermasse, poids, poids corporel, masse corporelle, peso, peso corporal, peso corporeo, masa, masa corporal, massa, massa corporal, massa corporea",
	anthro.Span:                "reach, wing span, arm spread, reach fingertip to fingertip, spannweite, armspannweite, armspanne, envergure, envergure des bras, envergadura, envergadura de brazos, envergadura dos bracos, apertura, apertura braccia, apertura delle braccia, apertura alare",
	anthro.SittingHeight:       "seated height, sitzhohe, sitzgrosse, taille assise, taille assis, hauteur assise, talla sentado, altura sentado, altura sentada, altezza seduto, altezza da seduto, altezza da seduti",
	anthro.BiacromialBreadth:   "shoulders, biacromial, biacromial width, schulterbreite, largeur d epaules, largeur des epaules, ancho de hombros, anchura de hombros, largura dos ombros, largura de ombros, larghezza spalle, larghezza delle spalle",
	anthro.UpperArmLength:      "upper arm, oberarm, oberarmlange, longueur du bras, longitud del brazo, comprimento do braco, lunghezza del braccio",
	anthro.ForearmLength:       "forearm, unterarm, unterarmlange, avant bras, longueur de l avant bras, antebrazo, longitud del antebrazo, antebraco, comprimento do antebraco, avambraccio, lunghezza avambraccio",
	anthro.HandLength:          "hand, handlange, main, longueur de la main, mano, longitud de la mano, mao, comprimento da mao, lunghezza mano, lunghezza della mano",
	anthro.PalmLength:          "palm, handflache, handflachenlange, paume, longueur de la paume, palma, longitud de la palma",
	anthro.FootLength:          "foot, fusslange, longueur du pied, longitud del pie, comprimento do pe, lunghezza piede, lunghezza del piede",
	anthro.HipBreadth:          "hip width, hips breadth, huftbreite, largeur des hanches, ancho de caderas, anchura de caderas, largura do quadril, largura dos quadris, larghezza fianchi, larghezza dei fianchi",
	anthro.WaistCircumference:  "waist girth, waistline, taillenumfang, bauchumfang, tour de taille, cintura, contorno de cintura, perimetro de cintura, perimetro da cintura, circunferencia da cintura, vita, girovita, circonferenza vita, circonferenza della vita",
	anthro.AcromialHeight:      "shoulder height, schulterhohe, hauteur d epaule, hauteur des epaules, altura de hombros, altura dos ombros, altezza spalle",
	anthro.TrochanterionHeight: "hip height, hufthohe, hauteur de hanche, altura de cadera, altura do quadril, altezza anca",
	anthro.MalleolusHeight:     "ankle height, knochelhohe",
	anthro.Age:                 "years old, alter, lebensalter, alter in jahren, edad, idade, eta",
}

// sexes are the words for the sexes, folded; single letters are told apart by what else
// stands in the column, see letter of package clubtable.
var sexes = map[anthro.Sex]string{
	anthro.Female: "female, females, woman, women, girl, girls, lady, ladies, weiblich, frau, frauen, weibl, madchen, damen, femme, femmes, feminin, feminine, fille, filles, femenino, femenina, mujer, mujeres, chica, chicas, feminino, feminina, mulher, mulheres, femmina, femmine, femminile, donna, donne, fem, ♀",
	anthro.Male:   "male, males, man, men, boy, boys, mannlich, maennlich, mannl, mann, manner, herr, herren, jungen, homme, hommes, masculin, garcon, garcons, masculino, hombre, hombres, chico, chicos, homem, homens, maschio, maschi, maschile, uomo, uomini, masc, ♂",
}

var (
	measurementCalled = sync.OnceValue(func() map[string]anthro.Measurement { return ByWord(measurements) })
	sexCalled         = sync.OnceValue(func() map[string]anthro.Sex { return ByWord(sexes) })
)

// Measurement finds a measurement by a word for it, in any writing.
func Measurement(word string) (anthro.Measurement, bool) {
	word = Fold(word)
	if m, ok := measurementCalled()[word]; ok {
		return m, true
	}
	name := strings.ReplaceAll(word, " ", "_")
	if m, ok := anthro.ParseMeasurement(name); ok {
		return m, true
	}
	return anthro.MeasurementCalled(name)
}

// MeasurementWords lists the words for measurements, folded, beside those that anthro
// knows, in no order.
func MeasurementWords() []string { return slices.Collect(maps.Keys(measurementCalled())) }

// Sex finds a sex by a word for it, in any writing.
func Sex(word string) (anthro.Sex, bool) {
	sex, ok := sexCalled()[Fold(word)]
	return sex, ok
}

// Listed splits words with commas between.
func Listed(words string) []string { return strings.Split(words, ", ") }

// ByWord turns lists of words for things into the things by their words.
func ByWord[K comparable](words map[K]string) map[string]K {
	m := map[string]K{}
	for k, list := range words {
		for _, w := range Listed(list) {
			m[w] = k
		}
	}
	return m
}

// Fold reduces a text to what it is looked up by: lower case, without accents, words of
// letters and digits with single spaces between.
func Fold(text string) string {
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
