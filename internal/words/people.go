package words

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/units"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/claim"
	"counterpoise/sim/muscle"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
)

// SurveyNames names the embedded populations that groups of people are, or are completed from.
func SurveyNames(people []scenario.Group) []string {
	names := make([]string, len(people))
	for i, p := range people {
		if names[i] = p.Population; p.Own != nil {
			names[i] = SurveyName(p.Own)
		}
	}
	return names
}

// SurveyName is surveysOf of one population.
func SurveyName(p *anthro.Population) string {
	if SurveyOf(p.Name) != nil {
		return p.Name
	}
	return p.Survey().Name
}

// DimensionOf is the dimension of a measurement; ages are plain numbers.
func DimensionOf(m anthro.Measurement) units.Dimension {
	switch m {
	case anthro.Mass:
		return units.Mass
	case anthro.Age:
		return units.Number
	}
	return units.Length
}

// Measurement writes the value of a measurement.
func Measurement(m anthro.Measurement, value float64, s System) string {
	if m == anthro.Age {
		return WithUnit(Number(value, 0), m.Unit())
	}
	return Quantity(value, DimensionOf(m), s)
}

// Known writes a measurement with the standard deviation of its error, if it has one.
func Known(k anthro.Known, s System) string {
	if k.Of == anthro.Age && k.Error == 0 {
		return Number(k.Value, 0)
	}
	return Reading(k.Value, k.Error, DimensionOf(k.Of), s)
}

// Reading writes what was read, with the standard deviation of its error, if it has one.
func Reading(value, deviation float64, d units.Dimension, s System) string {
	text := Quantity(value, d, s)
	if deviation > 0 {
		text += " ± " + Size(deviation, d, s)
	}
	return text
}

// Rarity says what is unusual about a measurement.
func Rarity(r *anthro.Rarity, s System) string {
	of, given := r.Known.Of, ""
	if len(r.Given) > 0 {
		given = " with that " + And(names.Each(r.Given, func(m anthro.Measurement) string { return PlainOf(m) }))
	}
	between := func(i anthro.Interval) string {
		return Measurement(of, i.Low, s) + " to " + Measurement(of, i.High, s)
	}
	return Measurement(of, r.Known.Value, s) + ": of people in " + r.Population + given + ", 90 % have " + between(r.Ordinary) +
		"; beyond " + between(r.Possible) + " fewer than 1 in " + Count(100_000) + " are as unusual"
}

// Survey is how the people of an embedded survey are spoken of.
type Survey struct {
	Who    string // "US Army SEX of a 2012 survey": SEX stands for men, women or both
	Credit string // in the foot of a picture, with its licence and terms in brief
	Limits string // what its people are not
	men    string // "Army men" where the public's are "men"
	women  string
	kind   string // whatever their sex
}

// The public is credited as NCHS asks, in brief; data sets carry the full terms.
const (
	nhanes      = "the US public, NHANES 2011–2018 (CDC/NCHS; public domain, statistical use only)"
	proportions = ", with proportions from the 2012 US Army survey (Gordon et al. 2014)"
)

var surveys = map[string]*Survey{
	"ansur2": {
		"US Army SEX of a 2012 survey", "the 2012 US Army survey (Gordon et al. 2014; public domain)",
		"Soldiers are fitter and leaner than the public, but do not train this hold; people older or heavier than soldiers are missing. Nobody's strength was measured.",
		"Army men", "Army women", Soldiers,
	},
	"us": {
		"US SEX of 18 to 59", nhanes + proportions,
		"The public of one country, not athletes who train this hold. What NHANES does not measure, such as span, sitting height and breadths, comes from soldiers of the same stature, mass, waist and age, " +
			"corrected by NHANES's own tape measurements of arms and legs. Nobody's strength in this hold was measured.",
		"men", "women", Public,
	},
	"gymnasts": {
		"US SEX of 18 to 35 at the sizes of competitive gymnasts", nhanes + ", weighted to published sizes of gymnasts" + proportions,
		sizesAlone, "men of gymnasts' sizes", "women of gymnasts' sizes", "people of gymnasts' sizes",
	},
	"climbers": {
		"US SEX of 18 to 35 at the sizes of trained climbers", nhanes + ", weighted to published sizes of climbers" + proportions,
		sizesAlone, "men of climbers' sizes", "women of climbers' sizes", "people of climbers' sizes",
	},
}

// sizesAlone says what people weighted to athletes' sizes are not.
const sizesAlone = "Only their stature and mass match the athletes; otherwise they are built like the public of that stature, mass and age. " +
	"Nobody's strength was measured: difficulty is in multiples of an untrained adult's strength, and athletes are not untrained, so how many of them could hold it is not known."

// youths is the survey of the public's youths.
var youths = &Survey{
	"US SEX of 12 to 17",
	nhanes + ", with proportions from Snyder et al. 1977 and the 2012 US Army survey (Gordon et al. 2014)",
	"Youths of one country, not athletes who train this hold. Their proportions are those of children measured in 1975–77, of the same stature, mass, waist and age; span, palm and the heights of acromion and neck come from soldiers of those proportions. " +
		"Segment tables are for adults: boys' centre of mass comes out about 0.6 % of stature too low. Nobody's strength in this hold was measured.",
	"boys", "girls", "youths",
}

// SurveyOf returns the survey of an embedded population; nil where it is of none.
func SurveyOf(population string) *Survey {
	name, sex, _ := strings.Cut(population, "-")
	switch {
	case sex == "men" || sex == "women":
		return surveys[name]
	case population == anthro.YouthsOf(anthro.Male) || population == anthro.YouthsOf(anthro.Female):
		return youths
	}
	return nil
}

// Sexes names the people of the surveys by their sex, soldiers as such, and others by
// their own name.
func Sexes(population string) string {
	switch s := SurveyOf(population); {
	case s == nil:
		return population
	case strings.HasSuffix(population, "women") || strings.HasSuffix(population, "girls"):
		return s.women
	default:
		return s.men
	}
}

// The kinds of people that most is said of.
const (
	Public   = "the public"
	Soldiers = "soldiers"
)

// Kind names the kind of people that a population is of, whatever their sex; other people
// by their own name.
func Kind(population string) string {
	if s := SurveyOf(population); s != nil {
		return s.kind
	}
	return population
}

// KindBriefly names the kind of people in a word, for the head of a column, and who of them
// in a letter.
func KindBriefly(population string) (kind, one string) {
	if SurveyOf(population) == nil {
		return population, ""
	}
	kind = strings.TrimPrefix(Kind(population), "the ")
	if of, ok := strings.CutSuffix(strings.TrimPrefix(kind, "people of "), "' sizes"); ok {
		kind = of
	}
	if who := Sexes(population); strings.Contains(who, "women") || strings.Contains(who, "girls") {
		return kind, "w"
	}
	return kind, "m"
}

// KindsKey says what the letters are and who they are that are named after athletes.
const KindsKey = "m: men or boys, w: women or girls; gymnasts, climbers: people of their sizes."

// Kinds names populations, by their kinds where all of a kind that are among the others are
// of them, and else by their sexes.
func Kinds(populations, among []string) string {
	var kinds []string
	for _, p := range populations {
		name := Kind(p)
		if slices.ContainsFunc(among, func(q string) bool { return Kind(q) == name && !slices.Contains(populations, q) }) {
			name = Sexes(p)
		}
		kinds = names.Once(kinds, name)
	}
	return And(kinds)
}

// Drawn names the people of populations in plain words, survey by survey: "US men and
// women of 18 to 59". Populations that are of no survey stand as others says.
func Drawn(populations []string, others func(population string) string) string {
	var parts []string
	said := map[*Survey]bool{}
	for _, p := range populations {
		s := SurveyOf(p)
		if s == nil {
			parts = append(parts, others(p))
			continue
		}
		if said[s] {
			continue
		}
		said[s] = true
		var sexes []string
		for _, q := range populations {
			if SurveyOf(q) == s {
				_, sex, _ := strings.Cut(q, "-")
				sexes = append(sexes, sex)
			}
		}
		parts = append(parts, strings.Replace(s.Who, "SEX", And(sexes), 1))
	}
	return And(parts)
}

// Credits names the surveys of embedded populations in the foot of a picture.
func Credits(populations []string) string {
	var parts []string
	for _, p := range populations {
		if s := SurveyOf(p); s != nil {
			parts = names.Once(parts, s.Credit)
		}
	}
	return And(parts)
}

// army is the survey of soldiers as it is cited.
var army = [NumLanguages]string{English: "US Army 2012", German: "US-Armee 2012", Spanish: "Ejército de EE. UU. 2012"}

// Cited are the sources behind embedded populations, as briefly as they are cited.
func (l Language) Cited(populations []string) string {
	var parts []string
	for _, source := range []struct {
		name string
		of   func(s *Survey) bool
	}{
		{"NHANES 2011–2018 (CDC/NCHS)", func(s *Survey) bool { return strings.HasPrefix(s.Credit, nhanes) }},
		{"Snyder et al. 1977", func(s *Survey) bool { return s == youths }},
		{army[l] + " (Gordon et al. 2014)", func(*Survey) bool { return true }},
	} {
		if slices.ContainsFunc(populations, func(p string) bool { s := SurveyOf(p); return s != nil && source.of(s) }) {
			parts = append(parts, source.name)
		}
	}
	return strings.Join(parts, ", ")
}

// ToldApartBy names what people are told apart by.
func ToldApartBy(q anthro.Quantity) string {
	if words := PlainOf(q); words != "bmi" {
		return strings.ReplaceAll(words, "/", " for ")
	}
	return "body mass index"
}

// Contrasted names the two groups of a contrast: "the women" and "the men", "those of 50 to
// 59 years", "the tallest", "the top group".
func Contrasted(c *claim.Contrast) (top, bottom string) {
	switch {
	case c.Sexes:
		return "the women", "the men"
	case !c.Stated():
		if most, least := c.By.Superlatives(); most != "" {
			return "the " + most, "the " + least
		}
		return "the top group", "the bottom group"
	}
	those := func(i anthro.Interval) string {
		span := Given(i.Low) + " to " + Given(i.High)
		if unit := c.By.Unit(); unit != "" {
			span += " " + unit
		}
		if c.By == anthro.Of(anthro.Age) {
			return "those of " + span
		}
		return "those with a " + ToldApartBy(c.By) + " of " + span
	}
	return those(c.Top), those(c.Bottom)
}

// ContrastedBy is what the groups of a contrast are told apart by.
func ContrastedBy(c *claim.Contrast) string {
	if c.Sexes {
		return c.Name()
	}
	return ToldApartBy(c.By)
}

// ContrastedOne is the one of a pair who is of the top group.
func ContrastedOne(c *claim.Contrast) string {
	if c.Sexes {
		return "the woman"
	}
	top, _ := Contrasted(c)
	if c.Stated() {
		return strings.Replace(top, "those", "the one", 1)
	}
	return "one of " + top
}

// landmarks are measurements by the names of landmarks, as a coach names them.
var landmarks = map[anthro.Measurement]string{
	anthro.AcromialHeight: "shoulder height", anthro.TrochanterionHeight: "hip height",
	anthro.CervicaleHeight: "height of the base of the neck", anthro.SuprasternaleHeight: "height of the notch of the breastbone",
	anthro.TibialHeight: "knee height", anthro.MalleolusHeight: "ankle height", anthro.BiacromialBreadth: "shoulder breadth",
}

// MeasurementPlainly names a measurement as a coach does, who does not know the names of
// landmarks.
func MeasurementPlainly(m anthro.Measurement) string { return cmp.Or(landmarks[m], PlainOf(m)) }

// drivenBy are plain names of groups of inputs and of inputs of a study of what drives a
// demand, as far as they are not told by their own.
var drivenBy = map[string]string{
	"size": "height, with all that goes with it", "stature": "height", "mass": "weight", "mass and build": "weight and build",
	"foot and hand": "feet and hands", "regional masses": "where the weight sits", "choice of model": "which model is right",
	"assumptions: skeleton": "where the joints lie", "assumptions: statics": "how the load is shared", "assumptions: strength": "strength of untrained people",
	"strength exponent": "how strength grows with weight", "strength by mass": "how strength grows with weight", "strength by stature": "how strength grows with height",
	"strength by age": "how strength falls with age", "shoulder span": "width between the shoulder joints", "shoulder rise": "how far the shoulders rise",
	"shoulder drop": "where the shoulder joints lie in the body", "hip drop": "where the hip joints lie in the body", "grip reach": "where the hand grips",
}

// DrivenBy is a plain name of what drives a demand.
func DrivenBy(name string) string {
	name, forSize := strings.CutSuffix(name, " for size")
	if forSize && anthro.Mass.String() == name {
		return "weight for the same height"
	}
	if part, ok := strings.CutSuffix(name, " mass for build"); ok {
		return "more of that weight in the " + Plain(part)
	}
	if m, ok := anthro.ParseMeasurement(name); ok && drivenBy[Plain(name)] == "" {
		return MeasurementPlainly(m)
	}
	for g := range muscle.NumGroups {
		if assume.StrengthOf(g).String() == name {
			return "strength of the " + GroupPlainly(g)
		}
	}
	if plain, ok := drivenBy[Plain(name)]; ok {
		return plain
	}
	return Plain(name)
}

// Where is a condition as people read it: "bmi 25 to 32 kg/m2", "stature at least 1.8 m".
func Where(r anthro.Range) string {
	text := r.String()
	switch of := r.Of.String() + " "; {
	case math.IsInf(r.High, 0):
		return of + "at least " + strings.Replace(strings.TrimPrefix(text, of), "..", "", 1)
	case math.IsInf(r.Low, 0):
		return of + "at most " + strings.Replace(strings.TrimPrefix(text, of), "..", "", 1)
	}
	return strings.Replace(text, "..", " to ", 1)
}
