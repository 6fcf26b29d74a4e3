package words

import (
	"math"
	"strings"

	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// How a changed body is told from the first one, in the languages that are not English: a number
// of kilograms, centimetres or degrees stands for %s.
var (
	legForms = [hold.NumLegForms][NumLanguages - 1]string{
		hold.Together: {"Beine geschlossen", "piernas juntas"}, hold.Straddle: {"Beine gegrätscht", "piernas abiertas"}, hold.OneLeg: {"ein Bein gestreckt", "una pierna estirada"},
		hold.AdvancedTuck: {"in hoher Hocke", "agrupado avanzado"}, hold.Tuck: {"gehockt", "agrupado"},
	}
	variantsOf = [hold.NumVariants][NumLanguages - 1]string{
		hold.Bent: {"mit gebeugten Armen", "con los brazos flexionados"}, hold.Kneeling: {"auf den Knien", "de rodillas"}, hold.OneArm: {"auf einem Arm", "a un brazo"},
		hold.FeetRaised: {"Füße %s erhöht", "pies a %s de altura"}, hold.HandsRaised: {"Hände %s erhöht", "manos a %s de altura"}, hold.WallDistance: {"%s von der Wand", "a %s de la pared"},
		hold.ArmsLow: {"Arme %s unter der Waagerechten", "brazos %s bajo la horizontal"}, hold.RingsApart: {"Ringe %s auseinander", "anillas a %s una de otra"}, hold.CableLength: {"Seile %s lang", "cables de %s"},
	}
	regionsOf = [body.NumRegions][NumLanguages - 1]string{
		body.Arms: {"an den Armen", "en los brazos"}, body.UpperTrunk: {"am oberen Rumpf", "en la parte alta del tronco"}, body.Trunk: {"am Rumpf", "en el tronco"},
		body.Legs: {"an den Beinen", "en las piernas"}, body.Head: {"am Kopf", "en la cabeza"}, body.UpperBody: {"am Oberkörper", "en el tren superior"},
	}
	moreAndLess = [NumLanguages - 1][2]string{{"%s mehr", "%s weniger"}, {"%s más", "%s menos"}}
)

// Altered says what is altered of the body of a claim or of its posture, in a language that is not
// English; empty where it has no words for it.
func (l Language) Altered(c *claim.Claim) string {
	ch := c.Change
	if l == English || ch == nil || ch.Hold != nil {
		return ""
	}
	put := func(text, value string) string { return l.decimals(strings.Replace(text, "%s", value, 1)) }
	var parts []string
	if text := l.Amounts(ch.Body.Of); text != "" {
		parts = append(parts, text)
	}
	for _, m := range ch.Body.Mass {
		parts = append(parts, put(Way(m.Kilograms, moreAndLess[l-1][0], moreAndLess[l-1][1]), stated(math.Abs(m.Kilograms)))+" "+regionsOf[m.Region][l-1])
	}
	if ch.Legs != nil {
		parts = append(parts, legForms[ch.Legs.Form][l-1])
	}
	if ch.Pose != nil {
		for v, value := range *ch.Pose {
			if value != 0 && value != c.Pose[v] {
				parts = append(parts, put(variantsOf[v][l-1], VariantValue(hold.Variant(v), value)))
			}
		}
	}
	return strings.Join(parts, ", ")
}

// groups are the groups of people that a contrast compares, the lower before the upper.
var groups = map[string][NumLanguages - 1][2]string{
	"stature":      {{"das kleinste Drittel", "das größte Drittel"}, {"el tercio más bajo", "el tercio más alto"}},
	"span/stature": {{"kürzeste Spannweite", "längste Spannweite"}, {"menor envergadura", "mayor envergadura"}},
}

// Contrasted names the groups of a contrast in a language that is not English, the lower first; empty
// where it has no words for them.
func (l Language) Contrasted(t *claim.Contrast) [2]string {
	switch {
	case t.Sexes:
		return [2]string{l.Effect("men"), l.Effect("women")}
	case t.Stated() && t.By == anthro.Of(anthro.Age):
		years := [NumLanguages]string{"years", "Jahre", "años"}[l]
		span := func(i anthro.Interval) string { return l.Effect(Given(i.Low) + " to " + Given(i.High) + " " + years) }
		return [2]string{span(t.Bottom), span(t.Top)}
	case !t.Stated() && ShareIsThird(t):
		return groups[t.By.String()][l-1]
	}
	return [2]string{}
}

// ShareIsThird reports whether each group of a contrast is a third of the people.
func ShareIsThird(t *claim.Contrast) bool { return math.Abs(t.Share-1.0/3) < 1e-9 }
