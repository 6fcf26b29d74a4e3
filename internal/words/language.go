package words

import (
	"math"
	"regexp"
	"strings"

	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
)

// Language is the language of what is made to be shared; everything else is English.
type Language int

// The languages, by their ISO 639-1 codes.
const (
	English Language = iota
	German
	Spanish
	NumLanguages
)

var languageNames = names.List[Language]{"en", "de", "es"}

// Languages are all of them, the default first.
var Languages = []Language{English, German, Spanish}

// String is the code of the language.
func (l Language) String() string { return languageNames.Of(l) }

// MarshalText implements encoding.TextMarshaler.
func (l Language) MarshalText() ([]byte, error) { return languageNames.Marshal(l) }

// UnmarshalText implements encoding.TextUnmarshaler.
func (l *Language) UnmarshalText(text []byte) error { return languageNames.Unmarshal(l, text) }

// A Phrase is a text that every language has, with %s where something is put in.
type Phrase int

// The phrases.
const (
	PhraseTrue Phrase = iota
	PhraseLess
	PhraseMore
	PhraseSizeOpen
	PhraseOtherWay
	PhraseThereIs
	PhraseNoDifference
	PhraseNoEffect
	PhraseTrueNoDifference
	PhraseTrueNoEffect
	PhraseDepends
	PhraseNotMeasured
	PhraseModels
	PhraseClose
	PhraseNobody
	PhraseNever
	PhraseNeither
	PhrasePeople
	PhraseUnmeasured
	PhraseMiddle
	PhraseSmall
	PhraseSaid
	PhraseBefore
	PhraseAfter
	PhraseBodies
	PhraseChange
	PhraseDifference
	PhraseSimulated
	PhraseDrawn
	PhraseSurveys
	PhraseUnchecked
	PhraseChecked
	PhraseEvidence
	PhraseFor // whom; stands behind what is so
	numPhrases
)

var phrases = [NumLanguages][numPhrases]string{
	English: {
		PhraseTrue: "True", PhraseLess: "True, but less than said", PhraseMore: "True, and more than said", PhraseSizeOpen: "True, but by how much is not settled",
		PhraseOtherWay: "Not so: it goes the other way", PhraseThereIs: "Not so: there is an effect that matters", PhraseNoDifference: "Not so: no difference that matters", PhraseNoEffect: "Not so: exactly no effect",
		PhraseTrueNoDifference: "True: no difference that matters", PhraseTrueNoEffect: "True: exactly no effect", PhraseDepends: "It depends on the body",
		PhraseNotMeasured: "Not settled: it depends on what nobody has measured", PhraseModels: "Not settled: the models disagree", PhraseClose: "Not settled: too close to call", PhraseNobody: "Not settled: hardly any simulated body can do it",
		PhraseNever: ", but never noticeably %s", PhraseNeither: ", neither noticeably %s nor noticeably %s",
		PhrasePeople: "people differ, nine in ten: %s", PhraseUnmeasured: "what nobody has measured: %s", PhraseMiddle: "the middle person: %s",
		PhraseSmall: "too small to matter: within ±%s", PhraseSaid: "; dashed: as said", PhraseBefore: "before", PhraseAfter: "after",
		PhraseBodies: "Bodies in the hold, to one scale: %s.", PhraseChange: "Change: %s", PhraseDifference: "Difference: %s",
		PhraseSimulated: "%s simulated bodies", PhraseDrawn: "what nobody has measured drawn %s times", PhraseSurveys: "Surveys: %s.",
		PhraseUnchecked: "Model estimate, not validated by measured forces; no advice.", PhraseChecked: "Model estimate; published force plates agree in part; no advice.", PhraseEvidence: "Evidence: %s", PhraseFor: " for %s",
	},
	German: {
		PhraseTrue: "Stimmt", PhraseLess: "Stimmt, aber weniger als behauptet", PhraseMore: "Stimmt, und mehr als behauptet", PhraseSizeOpen: "Stimmt, aber wie sehr, ist offen",
		PhraseOtherWay: "Stimmt nicht: es ist umgekehrt", PhraseThereIs: "Stimmt nicht: es macht einen spürbaren Unterschied", PhraseNoDifference: "Stimmt nicht: kein spürbarer Unterschied", PhraseNoEffect: "Stimmt nicht: genau kein Unterschied",
		PhraseTrueNoDifference: "Stimmt: kein spürbarer Unterschied", PhraseTrueNoEffect: "Stimmt: genau kein Unterschied", PhraseDepends: "Es kommt auf den Körper an",
		PhraseNotMeasured: "Offen: es hängt davon ab, was niemand gemessen hat", PhraseModels: "Offen: die Körpermodelle widersprechen sich", PhraseClose: "Offen: zu knapp", PhraseNobody: "Offen: kaum jemand kann es",
		PhraseNever: ", aber nie spürbar %s", PhraseNeither: ", weder spürbar %s noch spürbar %s",
		PhrasePeople: "neun von zehn Menschen: %s", PhraseUnmeasured: "was niemand gemessen hat: %s", PhraseMiddle: "in der Mitte: %s",
		PhraseSmall: "nicht spürbar: bis ±%s", PhraseSaid: "; gestrichelt: wie behauptet", PhraseBefore: "vorher", PhraseAfter: "nachher",
		PhraseBodies: "Körper in der Haltung, im selben Maßstab: %s.", PhraseChange: "Änderung: %s", PhraseDifference: "Unterschied: %s",
		PhraseSimulated: "%s simulierte Körper", PhraseDrawn: "was niemand gemessen hat, %s-mal gezogen", PhraseSurveys: "Erhebungen: %s.",
		PhraseUnchecked: "Modellschätzung, nicht an gemessenen Kräften geprüft; kein Rat.", PhraseChecked: "Modellschätzung; veröffentlichte Kraftmessplatten stimmen zum Teil überein; kein Rat.", PhraseEvidence: "Belege: %s", PhraseFor: " für %s",
	},
	Spanish: {
		PhraseTrue: "Cierto", PhraseLess: "Cierto, pero menos de lo que se dice", PhraseMore: "Cierto, y más de lo que se dice", PhraseSizeOpen: "Cierto, pero no está claro cuánto",
		PhraseOtherWay: "No es así: es al revés", PhraseThereIs: "No es así: hay un efecto que importa", PhraseNoDifference: "No es así: ninguna diferencia que importe", PhraseNoEffect: "No es así: ningún efecto en absoluto",
		PhraseTrueNoDifference: "Cierto: ninguna diferencia que importe", PhraseTrueNoEffect: "Cierto: ningún efecto en absoluto", PhraseDepends: "Depende del cuerpo",
		PhraseNotMeasured: "Sin resolver: depende de lo que nadie ha medido", PhraseModels: "Sin resolver: los modelos del cuerpo no coinciden", PhraseClose: "Sin resolver: demasiado justo", PhraseNobody: "Sin resolver: casi nadie puede hacerlo",
		PhraseNever: ", pero nunca se nota %s", PhraseNeither: ", no se nota ni %s ni %s",
		PhrasePeople: "nueve de cada diez personas: %s", PhraseUnmeasured: "lo que nadie ha medido: %s", PhraseMiddle: "en el medio: %s",
		PhraseSmall: "no se nota: hasta ±%s", PhraseSaid: "; a trazos: lo que se dice", PhraseBefore: "antes", PhraseAfter: "después",
		PhraseBodies: "Cuerpos en la posición, a la misma escala: %s.", PhraseChange: "Cambio: %s", PhraseDifference: "Diferencia: %s",
		PhraseSimulated: "%s cuerpos simulados", PhraseDrawn: "lo que nadie ha medido, sorteado %s veces", PhraseSurveys: "Encuestas: %s.",
		PhraseUnchecked: "Estimación de un modelo, sin comprobar con fuerzas medidas; no es un consejo.", PhraseChecked: "Estimación de un modelo; las plataformas de fuerza publicadas coinciden en parte; no es un consejo.", PhraseEvidence: "Pruebas: %s", PhraseFor: " para %s",
	},
}

// ways are the directions of effects, and the words between two numbers.
var ways = [NumLanguages]*strings.Replacer{
	English: strings.NewReplacer(),
	German: strings.NewReplacer("women", "Frauen", "men", "Männer", "girls", "Mädchen", "boys", "Jungen", "no change", "keine Änderung", "hardly changes", "ändert sich kaum", "easier", "leichter", "harder", "schwerer", "lower", "niedriger", "higher", "höher", "smaller", "kleiner", "larger", "größer",
		"closer", "enger", "wider", "weiter", " to ", " bis ", "\u00a0to\u00a0", "\u00a0bis\u00a0", " to\u00a0", " bis\u00a0", "\u00a0to ", "\u00a0bis "),
	Spanish: strings.NewReplacer("women", "mujeres", "men", "hombres", "girls", "chicas", "boys", "chicos", "no change", "ningún cambio", "hardly changes", "apenas cambia", "easier", "más fácil", "harder", "más difícil", "lower", "menor", "higher", "mayor", "smaller", "menor", "larger", "mayor",
		"closer", "más juntas", "wider", "más separadas", " to ", " a ", "\u00a0to\u00a0", "\u00a0a\u00a0", " to\u00a0", " a\u00a0", "\u00a0to ", "\u00a0a "),
}

// nouns are the demands that stories are told of, in the languages that are not English.
var nouns = map[hold.Demand][NumLanguages - 1]string{
	hold.Difficulty:     {"Schwierigkeit", "dificultad"},
	hold.RequiredForce:  {"Kraft im stärker belasteten Arm", "fuerza en el brazo más cargado"},
	hold.ShoulderMoment: {"Drehmoment an der Schulter", "momento en el hombro"},
	hold.WaistMoment:    {"Drehmoment an der Taille", "momento en la cintura"},
	hold.HipMoment:      {"Drehmoment an der Hüfte", "momento en la cadera"},
	hold.WristMoment:    {"Drehmoment am Handgelenk", "momento en la muñeca"},
	hold.HandShare:      {"Gewicht auf den Händen", "peso sobre las manos"},
	hold.WallPush:       {"Druck der Wand", "empuje de la pared"},
	hold.LeanAngle:      {"Vorlage", "inclinación"},
	hold.ArmAngle:       {"Winkel der Arme", "ángulo de los brazos"},
	hold.HandSpacing:    {"Abstand der Hände", "distancia entre las manos"},
	hold.ArmTrunkAngle:  {"Winkel zwischen Armen und Rumpf", "ángulo entre brazos y tronco"},
}

// Quantity is a demand with its unit as an axis has it; the unit alone where the language
// has no word for it.
func (l Language) Quantity(d hold.Demand, unit string) string {
	noun := strings.TrimPrefix(PlainNoun(d), "the ")
	if l != English {
		unit, noun = strings.Replace(unit, "degrees", "°", 1), nouns[d][l-1]
	}
	if noun == "" {
		return unit
	}
	return noun + " (" + unit + ")"
}

// traits are what of a body is changed, behind how much more or less of it, in the languages that
// are not English, and more and less those words.
var (
	traits = [body.NumChanges][NumLanguages - 1]string{
		body.ArmLength: {"Arm", "brazo"}, body.ShoulderBreadth: {"Schulterbreite", "anchura de hombros"}, body.LegLength: {"Bein", "pierna"},
		body.HandLength: {"Hand", "mano"}, body.Size: {"von jeder Länge", "cada longitud"},
	}
	moreAndLess = [NumLanguages][2]string{English: {"more", "less"}, German: {"mehr", "weniger"}, Spanish: {"más de", "menos de"}}
)

// Amounts says how much more or less of which lengths a changed body has: "10 cm more arm".
func (l Language) Amounts(of body.Amounts) string {
	var parts []string
	for t, by := range of {
		noun := body.Trait(t).Info().One
		if l != English {
			noun = traits[t][l-1]
		}
		for _, size := range []struct {
			by   float64
			unit string
		}{{by.Metres, "cm"}, {by.Share, "%"}} {
			if size.by != 0 {
				parts = append(parts, l.Effect(OneLine(WithUnit(Given(math.Abs(100*size.by)), size.unit)))+" "+Way(size.by, moreAndLess[l][0], moreAndLess[l][1])+" "+noun)
			}
		}
	}
	return strings.Join(parts, ", ")
}

var digits = regexp.MustCompile(`[0-9]+(?:,[0-9]{3})*(?:\.[0-9]+)?`)

// Effect puts the size of an effect that is written in English into the language: its
// words, and its numbers with a decimal comma.
func (l Language) Effect(text string) string {
	if l == English {
		return text
	}
	return digits.ReplaceAllStringFunc(ways[l].Replace(text), func(number string) string {
		return strings.NewReplacer(",", ".", ".", ",").Replace(number)
	})
}

// Say is a phrase with what is put into it.
func (l Language) Say(p Phrase, parts ...string) string {
	text := phrases[l][p]
	for _, part := range parts {
		text = strings.Replace(text, "%s", part, 1)
	}
	return text
}

// Answer is a verdict as it is said first, in the language: whether a saying that expects a
// direction is true.
func (l Language) Answer(v claim.Verdict, expects claim.Direction) string {
	none := expects == claim.None
	switch {
	case none && v == claim.Contradicted:
		return l.Say(PhraseThereIs)
	case none && v == claim.Supported:
		return l.Say(PhraseTrueNoDifference)
	case none && v == claim.NoEffect:
		return l.Say(PhraseTrueNoEffect)
	}
	return l.Say(map[claim.Verdict]Phrase{
		claim.Supported: PhraseTrue, claim.LessThanSaid: PhraseLess, claim.MoreThanSaid: PhraseMore, claim.SizeOpen: PhraseSizeOpen, claim.Contradicted: PhraseOtherWay,
		claim.NoDifference: PhraseNoDifference, claim.NoEffect: PhraseNoEffect, claim.DependsOnBody: PhraseDepends,
		claim.OpenAssumptions: PhraseNotMeasured, claim.OpenModels: PhraseModels, claim.OpenSampling: PhraseClose, claim.NobodyHolds: PhraseNobody,
	}[v])
}

// Quoted is a saying in the language's quotation marks, without its full stop.
func (l Language) Quoted(says string) string {
	marks := [NumLanguages][2]string{English: {"“", "”"}, German: {"„", "“"}, Spanish: {"«", "»"}}[l]
	return marks[0] + strings.TrimSuffix(says, ".") + marks[1]
}

// Saying is a shipped claim's saying in the language; another claim's is as it was written.
func (l Language) Saying(name, says string) string {
	if text := sayings[name]; l != English && text[l-1] != "" {
		return text[l-1]
	}
	return says
}
