package words

import (
	"strings"

	"counterpoise/sim/assume"
	"counterpoise/sim/muscle"
)

// unknowns are what nobody has measured, in German and in Spanish; of the strength of untrained
// people it is the muscles.
var unknowns = unknown()

func unknown() (list [assume.Count][NumLanguages - 1]string) {
	list = [assume.Count][NumLanguages - 1]string{
		assume.ShoulderDrop:      {"wie tief das Schultergelenk unter der Schulterhöhe liegt", "cuánto queda la articulación del hombro por debajo del acromion"},
		assume.GripReach:         {"wo in der Hand der Griff liegt", "en qué punto de la mano queda el agarre"},
		assume.ShoulderSpan:      {"wie weit die Schultergelenke auseinanderliegen", "qué distancia hay entre las articulaciones de los hombros"},
		assume.ShoulderRise:      {"wie weit die Schultern über Kopf steigen", "cuánto suben los hombros con los brazos en alto"},
		assume.HipDrop:           {"wie tief das Hüftgelenk liegt", "a qué altura queda la articulación de la cadera"},
		assume.HeelShare:         {"wie weit das Sprunggelenk vor der Ferse liegt", "cuánto queda el tobillo por delante del talón"},
		assume.TopShare:          {"wie viel Gewicht die obere Hand trägt", "cuánto peso carga la mano de arriba"},
		assume.StrengthExponent:  {"wie Kraft mit der Muskelmasse wächst", "cómo crece la fuerza con la masa muscular"},
		assume.ActiveShare:       {"wie viel Muskel bei der Haltung mitarbeitet", "cuánto músculo trabaja en la posición"},
		assume.UpperBodySplit:    {"wie sich zusätzliche Masse auf Arme und Oberkörper verteilt", "cómo se reparte la masa añadida entre brazos y tronco"},
		assume.SizeExponent:      {"wie die Masse mit der Größe wächst", "cómo crece la masa con el tamaño"},
		assume.PressureReach:     {"wo die flache Hand auf den Boden drückt", "en qué punto presiona el suelo la palma"},
		assume.PlankAngle:        {"wo im Liegestütz die Hände stehen", "dónde se apoyan las manos en la flexión"},
		assume.ElbowAngle:        {"wie weit gebeugte Arme gebeugt sind", "cuánto se doblan los brazos flexionados"},
		assume.BallShare:         {"wo der Fußballen liegt", "dónde queda la parte delantera del pie"},
		assume.ForearmPressure:   {"wo der Unterarm auf den Boden drückt", "en qué punto presiona el suelo el antebrazo"},
		assume.WallFriction:      {"wie viel Gewicht die Wand durch Reibung trägt", "cuánto peso carga la pared por rozamiento"},
		assume.PushDirection:     {"in welche Richtung die Hände auf den Boden drücken", "en qué dirección empujan las manos contra el suelo"},
		assume.StrengthByMass:    {"wie Kraft mit dem Gewicht zusammenhängt", "cómo depende la fuerza del peso"},
		assume.StrengthByStature: {"wie Kraft mit der Körpergröße zusammenhängt", "cómo depende la fuerza de la estatura"},
		assume.StrengthByAge:     {"wie Kraft mit dem Alter nachlässt", "cómo baja la fuerza con la edad"},
	}
	for g, text := range map[muscle.Group][NumLanguages - 1]string{
		muscle.ShoulderAdduction: {"Schultern (den Arm seitlich herabziehen)", "hombros (bajar el brazo hacia el costado)"},
		muscle.ShoulderAbduction: {"Schultern (den Arm seitlich heben)", "hombros (subir el brazo de lado)"},
		muscle.ShoulderFlexion:   {"Schultern (den Arm nach vorn heben)", "hombros (subir el brazo hacia delante)"},
		muscle.ShoulderExtension: {"Schultern (den Arm von vorn herabziehen)", "hombros (bajar el brazo desde delante)"},
		muscle.ElbowFlexion:      {"Ellbogen (beugen)", "codos (flexionar)"},
		muscle.ElbowExtension:    {"Ellbogen (strecken)", "codos (estirar)"},
		muscle.WristFlexion:      {"Handgelenke", "muñecas"},
		muscle.WristExtension:    {"Handgelenke (zurückbeugen)", "muñecas (doblar hacia atrás)"},
		muscle.WaistSideways:     {"seitlicher Rumpf", "costado del tronco"},
		muscle.WaistForward:      {"vorderer Rumpf", "parte delantera del tronco"},
		muscle.WaistBackward:     {"Rücken", "espalda"},
		muscle.HipFlexion:        {"Hüften (den Oberschenkel heben)", "caderas (subir el muslo)"},
		muscle.HipExtension:      {"Hüften (strecken)", "caderas (estirar)"},
		muscle.HipAbduction:      {"Hüften (seitlich)", "caderas (de lado)"},
		muscle.Grip:              {"Griff", "agarre"},
		muscle.ArmPush:           {"Drücken mit gestrecktem Arm", "empuje con el brazo estirado"},
	} {
		list[assume.StrengthOf(g)] = text
	}
	return list
}

// Unknown says what nobody has measured, by the name that files have for it: an assumption, or a
// survey of people.
func (l Language) Unknown(name string) string {
	id, ok := assume.Parse(name)
	if !ok {
		return l.Say(PhraseHappens, name)
	}
	group := muscle.Group(-1)
	for g := range muscle.NumGroups - 1 {
		if assume.StrengthOf(g) == id {
			group = g
		}
	}
	switch {
	case group >= 0 && l == English:
		return l.Say(PhraseUntrained, GroupPlainly(group))
	case group >= 0:
		return l.Say(PhraseUntrained, unknowns[id][l-1])
	case l == English:
		return Meant(id)
	}
	return unknowns[id][l-1]
}

// Meant is what an assumption is about, without what its sign or an example says.
func Meant(id assume.ID) string {
	meaning, _, _ := strings.Cut(id.Info().Meaning, ";")
	meaning, _, _ = strings.Cut(meaning, ":")
	return strings.TrimSuffix(meaning, ", upwards positive")
}
