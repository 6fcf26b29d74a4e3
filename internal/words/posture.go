package words

import (
	"strings"

	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
)

// PostureRule says where a rule puts the arms of a changed body, in front of what comes of
// it.
func PostureRule(rule scenario.PostureRule) string {
	return [...]string{
		scenario.AtBest: "in the best posture", scenario.SameAngle: "at the old angle of the arms", scenario.SameSpacing: "with the hands where they were",
	}[rule]
}

// Hold names a hold within a sentence: "human flag", "L-sit".
func Hold(h *hold.Hold) string {
	name, _, _ := strings.Cut(h.Title, ",")
	return Within(name)
}

// with puts what is said of a hold in brackets behind its name.
func with(name, words string) string {
	if words == "" {
		return name
	}
	return name + " (" + words + ")"
}

// Held names a hold with what is set of its posture and what is carried, in brackets:
// "human flag (straddle 40°, 2 kg at the hips)".
func Held(h *hold.Hold, p hold.Posture, l body.Load) string {
	return with(Hold(h), PostureUnder(p, l))
}

// HeldIn is [Held] with masses in a system of units.
func HeldIn(h *hold.Hold, p hold.Posture, l body.Load, s System) string {
	if s == Metric {
		return Held(h, p, l)
	}
	return with(Hold(h), behind(Posture(p), LoadIn(l, s)))
}

// HeldInFull is [Held] at full length: "push-up (legs in the tuck, tilted by 5°)".
func HeldInFull(h *hold.Hold, p hold.Posture, l body.Load) string {
	var parts []string
	if p.Legs.Form != hold.Together {
		parts = append(parts, Legs(p.Legs))
	}
	parts = append(parts, variants(p.Pose)...)
	if p.Tilt != 0 {
		parts = append(parts, "tilted by "+Angle(p.Tilt))
	}
	return with(Hold(h), behind(strings.Join(parts, ", "), Load(l)))
}

// Posture says briefly what is not the plain posture, or nothing: "straddle 22.5°,
// tilted 4°".
func Posture(p hold.Posture) string {
	var parts []string
	switch legs := p.Legs; legs.Form {
	case hold.Together:
	case hold.Straddle:
		parts = append(parts, "straddle "+Angle(legs.Angle))
	default:
		parts = append(parts, legForm(legs))
	}
	parts = append(parts, variants(p.Pose)...)
	if p.Tilt != 0 {
		parts = append(parts, "tilted "+Angle(p.Tilt))
	}
	return strings.Join(parts, ", ")
}

func legForm(l hold.Legs) string { return strings.ReplaceAll(l.Form.String(), "-", " ") }

// Legs says in full how the legs are held.
func Legs(l hold.Legs) string {
	switch l.Form {
	case hold.Together:
		return "legs together"
	case hold.Straddle:
		return "legs in a straddle of " + Angle(l.Angle) + " each"
	case hold.OneLeg:
		return "one leg straight and one tucked"
	}
	return "legs in the " + legForm(l)
}

// Pose lists the variants of a pose that are set, or is empty.
func Pose(p hold.Pose) string { return strings.Join(variants(p), ", ") }

func variants(p hold.Pose) []string {
	var parts []string
	for v, value := range p {
		if value != 0 {
			parts = append(parts, Variant(hold.Variant(v), value))
		}
	}
	return parts
}

// Variant says what one variant of a pose is set to.
func Variant(v hold.Variant, value float64) string {
	words := PlainOf(v)
	if text := VariantValue(v, value); text != "" {
		return words + " " + text
	}
	if value == 0 {
		switch v {
		case hold.Kneeling:
			return "straight knees"
		case hold.Bent:
			return "straight arms"
		case hold.OneArm:
			return "both arms"
		}
		return "not " + words
	}
	return words
}

// VariantValue is the length or angle that a variant is set to; empty for one that is
// there or not.
func VariantValue(v hold.Variant, value float64) string {
	switch v.Info().Unit {
	case "m":
		return Length(value)
	case "rad":
		return Angle(value)
	}
	return ""
}
