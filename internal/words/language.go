package words

import (
	"regexp"
	"slices"
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
	PhraseSizeOpen  // which way
	PhraseSizeLess  // which way
	PhraseSizeMore  // which way
	PhraseSizeShort // which way; all of it is less than said
	PhraseAsSaid
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
	PhraseOfPeople // whom; how much
	PhraseSmall
	PhraseSaid
	PhraseBefore
	PhraseAfter
	PhraseBodies
	PhraseHowMuch // which way, and the other
	PhraseSimulated
	PhraseBars
	PhraseSurveys
	PhraseUnchecked
	PhraseChecked
	PhraseEvidence
	PhraseFor // whom; stands behind what is so
	PhraseStrap
	PhraseAll // claims
	PhraseQuote
	PhraseHowSure
	PhraseSureCentral
	PhraseSureAgree // how many of a hundred; how many are asked
	PhraseSureOpen  // how many of a hundred say what; how many are asked
	PhraseSureClose // how many of a hundred say what
	PhraseSetsSay   // how many of a hundred for whom; which verdict
	PhraseOfBodies  // stands behind a verdict
	PhraseOthersSay // which verdicts
	PhraseOr        // between two verdicts
	PhraseAgree
	PhraseDecides
	PhraseMeasured
	PhraseDrawsSay    // how many draws; what of them
	PhraseWouldSettle // how many of them
	PhraseShareSays   // how many of them for whom; which verdict
	PhraseNot         // the size that was said
	PhraseAllAgree
	PhraseNoneDecides
	PhraseExplains // what decides; how much of it
	PhraseNothingMeasured
	PhraseOnPlates
	PhraseAgainstPlates // as much as was measured; where else; as much as the model says; who measured
	PhraseHandsStay     // how much
	PhraseWhole         // how much
	PhraseWholeGrip     // against the best grip
	PhrasePairs         // in how many, for whom each
	PhraseOutweighed
	PhraseOutweighedBriefly
	PhraseInMiddle
	PhraseInEither
	PhraseInGroups
	PhraseInMost
	PhraseByUnmeasured
	PhraseEstimateOf // whom
	PhraseEstimateBriefly
	PhraseOtherHeights
	PhraseOwnAssumptions
	PhraseCentral
	PhraseCautions
	PhraseCautionText
	PhraseRest
	PhraseSkip
	PhraseInEnglish
	PhraseClaim   // its name
	PhraseStudy   // its hash
	PhraseCited   // tool and version; claim; seed; bodies; data; study
	PhraseHappens // to a survey
	PhraseUntrained
	numPhrases
)

var phrases = [NumLanguages][numPhrases]string{
	English: {
		PhraseTrue: "True", PhraseLess: "Less than said", PhraseMore: "True, and more than said", PhraseSizeOpen: "%s, but by how much is not settled", PhraseSizeLess: "%s, but perhaps by less than said", PhraseSizeMore: "%s, perhaps by more than said", PhraseSizeShort: "%s, but perhaps not enough", PhraseAsSaid: "near enough to what is said",
		PhraseOtherWay: "Not so: it goes the other way", PhraseThereIs: "Not so: there is an effect that matters", PhraseNoDifference: "Not so: no difference that matters", PhraseNoEffect: "Not so: exactly no effect",
		PhraseTrueNoDifference: "True: no difference that matters", PhraseTrueNoEffect: "True: exactly no effect", PhraseDepends: "It depends on the body",
		PhraseNotMeasured: "Not settled: it depends on what nobody has measured", PhraseModels: "Not settled: the models disagree", PhraseClose: "Not settled: too close to call", PhraseNobody: "Not settled: hardly any simulated body can do it",
		PhraseNever: ", but almost never noticeably %s", PhraseNeither: ", but almost never noticeably %s or %s",
		PhrasePeople: "9 in 10 bodies: %s", PhraseOfPeople: "%s, 9 in 10 bodies: %s",
		PhraseHandsStay: "With the hands where they were: %s.", PhraseWhole: "The hold as a whole: %s.", PhraseWholeGrip: "The hold as a whole, over the grip where it is easiest: %s.", PhrasePairs: "Of 100 pairs, one from each group, it is so in %s.",
		PhraseSmall: "too small to matter: within ±%s", PhraseSaid: "said: %s; still counts: %s", PhraseBefore: "before", PhraseAfter: "after",
		PhraseBodies: "Bodies in the hold, to one scale: %s.", PhraseHowMuch: "How much %s or %s",
		PhraseBars: "Bars: 9 in 10 bodies, or tries of what nobody has measured.", PhraseSimulated: "%s simulated bodies", PhraseSurveys: "Surveys: %s.",
		PhraseUnchecked: "Model estimate, not validated by measured forces; no advice.", PhraseChecked: "Model estimate, which agrees in part with published measurements; no advice.", PhraseEvidence: "Evidence: %s", PhraseFor: " for %s",
		PhraseStrap: Strap, PhraseAll: "all claims", PhraseQuote: "To quote", PhraseHowSure: "How sure", PhraseSureCentral: "How sure? A model’s estimate, of which the assumptions were not varied.", PhraseSureAgree: "How sure? Of 100 tries of what nobody has measured, %s say so; %s are enough.", PhraseSureOpen: "How sure? Of 100 tries of what nobody has measured, %s; %s would settle it.", PhraseSureClose: "How sure? Of 100 tries of what nobody has measured, %s: too close to call with so few.", PhraseSetsSay: "%s say “%s”", PhraseOfBodies: " of nearly all bodies", PhraseOthersSay: ", others “%s”", PhraseOr: "” or “",
		PhraseAgree: "How often", PhraseDecides: "What decides", PhraseMeasured: "Measured",
		PhraseDrawsSay: "Of %s draws of what nobody has measured, %s.", PhraseWouldSettle: " %s would settle it.", PhraseShareSays: "%s say “%s”", PhraseAllAgree: "Nothing: enough of the draws agree.", PhraseNoneDecides: "Nothing decides it alone.",
		PhraseExplains: "%s; this explains %s of where the draws part.", PhraseNothingMeasured: "Nothing: no published measurement of it was found. It is a model’s estimate.",
		PhraseOnPlates: "measured on force plates: %s", PhraseAgainstPlates: "Force plates say %s%s; the model says %s (%s).", PhraseNot: ", not %s", PhraseOutweighedBriefly: ", off force plates by as much", PhraseOutweighed: " The model is off by as much as the effect: not even the direction of the effect can be trusted.",
		PhraseInMiddle: " for the middle person", PhraseInEither: " for the middle person of either sex", PhraseInGroups: " in the middle of each group", PhraseInMost: " for nine in ten people", PhraseByUnmeasured: ", by what nobody has measured",
		PhraseEstimateOf: "Model estimate, simulated bodies of %s", PhraseEstimateBriefly: "Model estimate, %s", PhraseOtherHeights: ", at other heights", PhraseOwnAssumptions: " with assumptions of its own", PhraseCentral: " (at the central assumptions alone)",
		PhraseCautions: "Cautions", PhraseCautionText: Cautions, PhraseRest: "How it was found", PhraseSkip: "Skip to the claim", PhraseInEnglish: "What follows is in English.", PhraseClaim: "claim %s", PhraseStudy: "study %s", PhraseCited: "%s, claim %s, seed %s, %s bodies, data %s, study %s.",
		PhraseHappens: "which people the %s happened to measure", PhraseUntrained: "how strong untrained adults are: %s",
	},
	German: {
		PhraseTrue: "Stimmt", PhraseLess: "Weniger als behauptet", PhraseMore: "Stimmt, und mehr als behauptet", PhraseSizeOpen: "%s, aber wie sehr, ist offen", PhraseSizeLess: "%s, aber vielleicht weniger als behauptet", PhraseSizeMore: "%s, vielleicht sogar mehr als behauptet", PhraseSizeShort: "%s, aber vielleicht nicht genug", PhraseAsSaid: "nahe genug am Behaupteten",
		PhraseOtherWay: "Stimmt nicht: es ist umgekehrt", PhraseThereIs: "Stimmt nicht: es macht einen spürbaren Unterschied", PhraseNoDifference: "Stimmt nicht: kein spürbarer Unterschied", PhraseNoEffect: "Stimmt nicht: genau kein Unterschied",
		PhraseTrueNoDifference: "Stimmt: kein spürbarer Unterschied", PhraseTrueNoEffect: "Stimmt: genau kein Unterschied", PhraseDepends: "Es kommt auf den Körper an",
		PhraseNotMeasured: "Offen: es hängt von Größen ab, die niemand gemessen hat", PhraseModels: "Offen: die Körpermodelle widersprechen sich", PhraseClose: "Offen: es ist zu knapp", PhraseNobody: "Offen: kaum ein simulierter Körper kann es",
		PhraseNever: "; spürbar %s wird es fast nie", PhraseNeither: "; spürbar %s oder spürbar %s wird es fast nie",
		PhrasePeople: "9 von 10 Körpern: %s", PhraseOfPeople: "%s, 9 von 10 Körpern: %s",
		PhraseHandsStay: "Bleiben die Hände, wo sie waren: %s.", PhraseWhole: "Die Haltung als Ganzes: %s.", PhraseWholeGrip: "Die Haltung als Ganzes, gegenüber dem leichtesten Griff: %s.", PhrasePairs: "Von 100 Paaren, je eine Person aus jeder Gruppe, ist es bei %s so.",
		PhraseSmall: "nicht spürbar: bis ±%s", PhraseSaid: "behauptet: %s; gilt noch: %s", PhraseBefore: "vorher", PhraseAfter: "nachher",
		PhraseBodies: "Körper in der Haltung, im selben Maßstab: %s.", PhraseHowMuch: "Wie viel %s oder %s",
		PhraseBars: "Balken: 9 von 10 Körpern oder Versuchen mit anderen Unbekannten.", PhraseSimulated: "%s simulierte Körper", PhraseSurveys: "Erhebungen: %s.",
		PhraseUnchecked: "Modellschätzung, nicht an gemessenen Kräften geprüft; keine Trainingsempfehlung.", PhraseChecked: "Modellschätzung, die mit veröffentlichten Messungen zum Teil übereinstimmt; keine Trainingsempfehlung.", PhraseEvidence: "Belege: %s", PhraseFor: " für %s",
		PhraseStrap: "simulierte Körper nach Erhebungen", PhraseAll: "alle Behauptungen", PhraseQuote: "Zum Zitieren", PhraseHowSure: "Wie sicher ist das?", PhraseSureCentral: "Wie sicher? Eine Modellschätzung, deren Annahmen nicht variiert wurden.", PhraseSureAgree: "Wie sicher? Von 100 Versuchen mit anderen Unbekannten ergeben es %s so; %s genügen.", PhraseSureOpen: "Wie sicher? Von 100 Versuchen mit anderen Unbekannten ergeben %s; mit %s wäre es geklärt.", PhraseSureClose: "Wie sicher? Von 100 Versuchen mit anderen Unbekannten ergeben %s: zu knapp für so wenige.", PhraseSetsSay: "%s „%s“", PhraseOfBodies: " für fast alle Körper", PhraseOthersSay: ", andere „%s“", PhraseOr: "“ oder „",
		PhraseAgree: "Wie oft", PhraseDecides: "Ausschlaggebend", PhraseMeasured: "Gemessen",
		PhraseDrawsSay: "Von %s Ziehungen der Unbekannten, die niemand gemessen hat, ergeben %s.", PhraseWouldSettle: " Bei %s wäre es entschieden.", PhraseShareSays: "%s „%s“", PhraseAllAgree: "Nichts: Genügend Ziehungen stimmen überein.", PhraseNoneDecides: "Nichts davon allein.",
		PhraseExplains: "%s; das erklärt %s der Abweichungen zwischen den Ziehungen.", PhraseNothingMeasured: "Nichts: Eine veröffentlichte Messung dazu wurde nicht gefunden. Es ist die Schätzung eines Modells.",
		PhraseOnPlates: "mit Kraftmessplatten gemessen: %s", PhraseAgainstPlates: "Kraftmessplatten ergeben %s%s; das Modell ergibt %s (%s).", PhraseNot: ", nicht %s", PhraseOutweighedBriefly: ", Messungen weichen ebenso weit ab", PhraseOutweighed: " Das Modell liegt um so viel daneben, wie der Effekt groß ist: Nicht einmal die Richtung ist sicher.",
		PhraseInMiddle: " für die mittlere Person", PhraseInEither: " für die mittlere Person beider Geschlechter", PhraseInGroups: " in der Mitte der Gruppen", PhraseInMost: " für neun von zehn Menschen", PhraseByUnmeasured: ", je nach Größen, die niemand gemessen hat",
		PhraseEstimateOf: "Modellschätzung, simulierte Körper: %s", PhraseEstimateBriefly: "Modellschätzung, %s", PhraseOtherHeights: ", bei anderen Höhen", PhraseOwnAssumptions: " mit eigenen Annahmen", PhraseCentral: " (nur mit den mittleren Annahmen)",
		PhraseCautions: "Vorsicht", PhraseCautionText: "Eine Berechnung der Statik ist kein medizinischer Rat und kein Trainingsrat. Haltungen mit gestreckten Armen belasten Schultern, Ellbogen und Handgelenke: langsam steigern, und bei Schmerzen oder früheren Verletzungen nur mit ausgebildetem Trainer oder Arzt. " +
			"Lasten, die Knochen von Erwachsenen vertragen, können die Wachstumsfugen von Kindern und Jugendlichen schädigen: Darüber entscheiden Trainer und Arzt, geübt wird unter Aufsicht. Stange und Pfosten müssen für die Last zugelassen und fachkundig nach örtlichem Recht montiert sein.",
		PhraseRest: "Wie es herauskam (auf Englisch)", PhraseSkip: "Zur Behauptung", PhraseInEnglish: "Alles Weitere, auch die Bilder darin und die Bilddateien effect, requirement und difference, ist auf Englisch.", PhraseClaim: "Behauptung %s", PhraseStudy: "Studie %s", PhraseCited: "%s, Behauptung %s, Startzahl %s, %s Körper, Daten %s, Studie %s.",
		PhraseHappens: "welche Menschen die Erhebung %s zufällig gemessen hat", PhraseUntrained: "wie stark Untrainierte sind: %s",
	},
	Spanish: {
		PhraseTrue: "Cierto", PhraseLess: "Menos de lo que se dice", PhraseMore: "Cierto, y más de lo que se dice", PhraseSizeOpen: "%s, pero falta saber cuánto", PhraseSizeLess: "%s, pero quizá menos de lo dicho", PhraseSizeMore: "%s, quizá incluso más de lo dicho", PhraseSizeShort: "%s, pero quizá no bastante", PhraseAsSaid: "bastante cerca de lo dicho",
		PhraseOtherWay: "No es así: es al revés", PhraseThereIs: "No es así: hay un efecto que importa", PhraseNoDifference: "No es así: ninguna diferencia que importe", PhraseNoEffect: "No es así: ningún efecto en absoluto",
		PhraseTrueNoDifference: "Cierto: ninguna diferencia que importe", PhraseTrueNoEffect: "Cierto: ningún efecto en absoluto", PhraseDepends: "Depende del cuerpo",
		PhraseNotMeasured: "Sin resolver: depende de lo que nadie ha medido", PhraseModels: "Sin resolver: los modelos del cuerpo no coinciden", PhraseClose: "Sin resolver: está demasiado reñido", PhraseNobody: "Sin resolver: casi ningún cuerpo simulado puede hacerlo",
		PhraseNever: ", pero casi nunca resulta claramente %s", PhraseNeither: ", y casi nunca resulta claramente %s ni %s",
		PhrasePeople: "9 de cada 10 cuerpos: %s", PhraseOfPeople: "%s, 9 de cada 10 cuerpos: %s",
		PhraseHandsStay: "Con las manos donde estaban: %s.", PhraseWhole: "La posición en su conjunto: %s.", PhraseWholeGrip: "La posición en su conjunto, frente al agarre más fácil: %s.", PhrasePairs: "De 100 parejas, una persona de cada grupo, es así en %s.",
		PhraseSmall: "no se nota: hasta ±%s", PhraseSaid: "dicho: %s; vale aún: %s", PhraseBefore: "antes", PhraseAfter: "después",
		PhraseBodies: "Cuerpos en la posición, a la misma escala: %s.", PhraseHowMuch: "Cuánto %s o %s",
		PhraseBars: "Barras: 9 de cada 10 cuerpos, o pruebas con otras incógnitas.", PhraseSimulated: "%s cuerpos simulados", PhraseSurveys: "Encuestas: %s.",
		PhraseUnchecked: "Estimación de un modelo, sin comprobar con fuerzas medidas; no es un consejo.", PhraseChecked: "Estimación de un modelo, que coincide en parte con mediciones publicadas; no es un consejo.", PhraseEvidence: "Pruebas: %s", PhraseFor: " para %s",
		PhraseStrap: "cuerpos simulados según encuestas", PhraseAll: "todas las afirmaciones", PhraseQuote: "Para citar", PhraseHowSure: "¿Hasta qué punto es seguro?", PhraseSureCentral: "¿Es seguro? Estimación de un modelo cuyos supuestos no se variaron.", PhraseSureAgree: "¿Es seguro? De 100 pruebas con otras incógnitas, %s dan lo mismo; bastan %s.", PhraseSureOpen: "¿Es seguro? De 100 pruebas con otras incógnitas, %s; con %s quedaría claro.", PhraseSureClose: "¿Es seguro? De 100 pruebas con otras incógnitas, %s: demasiado justo con tan pocas.", PhraseSetsSay: "%s dan «%s»", PhraseOfBodies: " para casi todos los cuerpos", PhraseOthersSay: ", otras «%s»", PhraseOr: "» o «",
		PhraseAgree: "Cuántas veces", PhraseDecides: "Qué lo decide", PhraseMeasured: "Medido",
		PhraseDrawsSay: "De %s sorteos de las incógnitas, que nadie ha medido, %s.", PhraseWouldSettle: " Un %s lo decidiría.", PhraseShareSays: "el %s da «%s»", PhraseAllAgree: "Nada: bastantes sorteos coinciden.", PhraseNoneDecides: "Nada por sí solo.",
		PhraseExplains: "%s; esto explica el %s de lo que separa los sorteos.", PhraseNothingMeasured: "Nada: no se encontró ninguna medición publicada. Es la estimación de un modelo.",
		PhraseOnPlates: "medido con plataformas: %s", PhraseAgainstPlates: "Las plataformas de fuerza dan %s%s; el modelo da %s (%s).", PhraseNot: ", no %s", PhraseOutweighedBriefly: ", con mediciones igual de distintas", PhraseOutweighed: " El modelo se equivoca tanto como el propio efecto: ni siquiera la dirección es segura.",
		PhraseInMiddle: " para la persona intermedia", PhraseInEither: " para la persona intermedia de cada sexo", PhraseInGroups: " en el medio de cada grupo", PhraseInMost: " para nueve de cada diez personas", PhraseByUnmeasured: ", según lo no medido",
		PhraseEstimateOf: "Estimación de un modelo, cuerpos simulados: %s", PhraseEstimateBriefly: "Estimación de un modelo, %s", PhraseOtherHeights: ", a otras alturas", PhraseOwnAssumptions: " con supuestos propios", PhraseCentral: " (solo con los supuestos centrales)",
		PhraseCautions: "Precauciones", PhraseCautionText: "Un cálculo de estática no es un consejo médico ni de entrenamiento. Las posiciones con los brazos estirados cargan hombros, codos y muñecas: hay que progresar poco a poco y, con dolor o lesiones previas, solo con un entrenador o un médico cualificado. " +
			"Las cargas que aguanta un hueso adulto pueden dañar los cartílagos de crecimiento de niños y jóvenes: que decidan un entrenador y un médico, y que se practique con supervisión. La barra o el poste debe estar homologado para la carga y montado por una persona competente según las normas locales.",
		PhraseRest: "Cómo se obtuvo (en inglés)", PhraseSkip: "Ir a la afirmación", PhraseInEnglish: "Todo lo que sigue, también sus imágenes y los archivos de imagen effect, requirement y difference, está en inglés.", PhraseClaim: "afirmación %s", PhraseStudy: "estudio %s", PhraseCited: "%s, afirmación %s, semilla %s, %s cuerpos, datos %s, estudio %s.",
		PhraseHappens: "a qué personas midió por azar la encuesta %s", PhraseUntrained: "cuánta fuerza tienen los adultos no entrenados: %s",
	},
}

// ways are the directions of effects, who people are, and the words between two numbers.
var ways = [NumLanguages]*strings.Replacer{
	English: strings.NewReplacer("\u00a0BW", "\u00a0body\u00a0weights"),
	German: strings.NewReplacer("people of gymnasts' sizes", "Menschen mit Turnermaßen", "men of gymnasts' sizes", "Männer mit Turnermaßen", "women of gymnasts' sizes", "Frauen mit Turnermaßen",
		"people of climbers' sizes", "Menschen mit Klettermaßen", "men of climbers' sizes", "Männer mit Klettermaßen", "women of climbers' sizes", "Frauen mit Klettermaßen",
		"Army women", "US-Soldatinnen", "Army men", "US-Soldaten", "soldiers", "US-Soldaten", "the public", "US-Bevölkerung", "youths", "US-Jugendliche",
		"women", "Frauen", "men", "Männer", "girls", "Mädchen", "boys", "Jungen", "no change", "keine Änderung", "hardly changes", "ändert sich kaum", "easier", "leichter", "harder", "schwerer", "lower", "geringer", "higher", "größer", "smaller", "kleiner", "larger", "größer",
		"beyond reach", "unerreichbar", "closer", "enger", "wider", "weiter", "\u00a0BW", "\u00a0×\u00a0Körpergewicht", " and ", " und ", " to ", " bis ", "\u00a0to\u00a0", "\u00a0bis\u00a0", " to\u00a0", " bis\u00a0", "\u00a0to ", "\u00a0bis "),
	Spanish: strings.NewReplacer("people of gymnasts' sizes", "personas con talla de gimnasta", "men of gymnasts' sizes", "hombres con talla de gimnasta", "women of gymnasts' sizes", "mujeres con talla de gimnasta",
		"people of climbers' sizes", "personas con talla de escalador", "men of climbers' sizes", "hombres con talla de escalador", "women of climbers' sizes", "mujeres con talla de escalador",
		"Army women", "mujeres soldado", "Army men", "hombres soldado", "soldiers", "soldados estadounidenses", "the public", "adultos estadounidenses", "youths", "jóvenes estadounidenses",
		"women", "mujeres", "men", "hombres", "girls", "chicas", "boys", "chicos", "no change", "ningún cambio", "hardly changes", "apenas cambia", "easier", "más fácil", "harder", "más difícil", "lower", "menor", "higher", "mayor", "smaller", "menor", "larger", "mayor",
		"beyond reach", "inalcanzable", "closer", "más juntas", "wider", "más separadas", "\u00a0BW", "\u00a0×\u00a0peso\u00a0corporal", " and ", " y ", " to ", " a ", "\u00a0to\u00a0", "\u00a0a\u00a0", " to\u00a0", " a\u00a0", "\u00a0to ", "\u00a0a "),
}

// People names populations, by their kinds where all of a kind that are among the others are of
// them, and else by their sexes. People of no survey are as their files name them.
func (l Language) People(populations, among []string) string {
	if slices.ContainsFunc(populations, func(p string) bool { return SurveyOf(p) == nil }) {
		return Kinds(populations, among)
	}
	return l.Effect(Kinds(populations, among))
}

// And lists things.
func (l Language) And(list []string) string {
	return joined(list, [NumLanguages]string{" and ", " und ", " y "}[l])
}

// Sexes is [Sexes] in the language.
func (l Language) Sexes(population string) string {
	if SurveyOf(population) == nil {
		return population
	}
	return l.Effect(Sexes(population))
}

// averages are an untrained person of the middle, and the same person, by the English word for
// whom.
var averages = map[string][NumLanguages - 1][2]string{
	"man": {{"durchschnittlicher Mann", "derselbe Mann"}, {"hombre medio", "el mismo hombre"}}, "woman": {{"durchschnittliche Frau", "dieselbe Frau"}, {"mujer media", "la misma mujer"}},
	"boy": {{"durchschnittlicher Junge", "derselbe Junge"}, {"chico medio", "el mismo chico"}}, "girl": {{"durchschnittliches Mädchen", "dasselbe Mädchen"}, {"chica media", "la misma chica"}},
}

// Average names the body of which every measurement is that of the middle of some people, and the same
// person again.
func (l Language) Average(of Untrained) (average, same string) {
	if l == English {
		return "an average " + of.One, "the same " + of.One
	}
	names := averages[of.One][l-1]
	return names[0], names[1]
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

// Noun is a demand without an article; empty where the language has no word for it.
func (l Language) Noun(d hold.Demand) string {
	if l != English {
		return nouns[d][l-1]
	}
	return strings.TrimPrefix(PlainNoun(d), "the ")
}

// traits are what of a body is changed, with the words for more and less of it, in the
// languages that are not English.
var traits = [body.NumChanges][NumLanguages - 1][3]string{
	body.ArmLength:       {{"Arme", "länger", "kürzer"}, {"brazos", "más largos", "más cortos"}},
	body.ShoulderBreadth: {{"Schultern", "breiter", "schmaler"}, {"hombros", "más anchos", "más estrechos"}},
	body.LegLength:       {{"Beine", "länger", "kürzer"}, {"piernas", "más largas", "más cortas"}},
	body.HandLength:      {{"Hände", "länger", "kürzer"}, {"manos", "más largas", "más cortas"}},
	body.Size:            {{"alle Längen", "größer", "kleiner"}, {"todas las medidas", "mayores", "menores"}},
}

// Amounts says how much more or less of which lengths a changed body has: "arms 10 cm longer".
func (l Language) Amounts(of body.Amounts) string {
	var parts []string
	for t, by := range of {
		info := body.Trait(t).Info()
		noun, more, less := info.Noun, info.More, info.Less
		if l != English {
			noun, more, less = traits[t][l-1][0], traits[t][l-1][1], traits[t][l-1][2]
		}
		for _, text := range AmountInFull(noun, more, less, by) {
			parts = append(parts, l.decimals(text))
		}
	}
	return strings.Join(parts, ", ")
}

var digits = regexp.MustCompile(`[0-9]+(?:,[0-9]{3})*(?:\.[0-9]+)?`)

// Effect puts the size of an effect that is written in English into the language: its
// words, and its numbers with a decimal comma.
func (l Language) Effect(text string) string { return l.decimals(ways[l].Replace(text)) }

// decimals writes the numbers of a text with a decimal comma.
func (l Language) decimals(text string) string {
	if l == English {
		return text
	}
	return digits.ReplaceAllStringFunc(text, func(number string) string {
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
	}[v], l.Say(PhraseTrue))
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
