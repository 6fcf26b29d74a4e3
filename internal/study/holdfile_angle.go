package study

import (
	"math"
	"strings"

	"counterpoise/internal/called"
	"counterpoise/internal/nearest"
	"counterpoise/internal/units"
	"counterpoise/sim/assume"
	"counterpoise/sim/names"
	"counterpoise/sim/outline"
)

// The words of an angle beside those of outline.Against.
const (
	straightWord = "straight"
	freeWord     = "free"
)

// nearLevel reports whether a direction is nearer to the level than to the upright.
func nearLevel(angle float64) bool { return math.Abs(math.Cos(angle)) > math.Abs(math.Sin(angle)) }

// angleExample is how the angle of a part is written.
func angleExample(p outline.Part) string {
	switch p {
	case outline.Chest:
		return `"level 0 deg"`
	case outline.UpperArm:
		return `"raised 90 deg"`
	}
	return `"bent 90 deg"`
}

// angle reads where a part points: "level 30 deg", "raised 90 deg", "bent 45 deg",
// "straight", "raised free", or with an assumption's name, "raised plank_angle".
func (v *value) angle(p outline.Part) outline.Angle {
	text, ok := v.text()
	if !ok {
		return outline.Angle{}
	}
	word, rest, _ := strings.Cut(strings.TrimSpace(text), " ")
	rest = strings.TrimSpace(rest)
	if word == straightWord {
		if rest != "" {
			v.fail("%q: straight takes no angle; write just straight, or %s", printable(text), angleExample(p))
		}
		return outline.Angle{}
	}
	against, known := parseAgainst(word)
	if !known {
		v.notAgainst(text, word, p)
		return outline.Angle{}
	}
	a := outline.Angle{Against: against}
	switch id, assumed := assume.Parse(rest); {
	case rest == "":
		v.fail("%q needs an angle after it, as in %s", printable(text), angleExample(p))
	case rest == freeWord:
		a.Free = true
	case assumed && id.Info().Unit == "rad":
		a.Assumed = outline.By(id)
	case assumed:
		v.fail("the assumption %s is not an angle; these are: %s", rest, strings.Join(angleAssumptions(), ", "))
	case !strings.ContainsAny(rest, "0123456789"):
		allowed := append([]string{freeWord}, angleAssumptions()...)
		v.fail("%q is not an angle%s; after %s write an angle, as in %s, or one of %s", printable(rest), called.Suggest(rest, allowed), word, angleExample(p), strings.Join(allowed, ", "))
	default:
		q, err := units.Parse(rest, units.Angle)
		if err != nil {
			v.unreadable(rest, err)
		}
		a.Value = q.Value
	}
	return a
}

// parseAgainst finds what an angle is measured against by its word.
func parseAgainst(word string) (against outline.Against, known bool) {
	known = against.UnmarshalText([]byte(word)) == nil
	return against, known
}

// notAgainst says what is wrong with an angle that does not begin with one of the words.
func (v *value) notAgainst(text, word string, p outline.Part) {
	allowed := append(names.All(outline.NumAgainst), straightWord)
	switch near, meant := nearest.Nearest(word, allowed); {
	case strings.ContainsAny(word[:1], "+-−0123456789") && p == outline.Chest:
		v.fail(`%q does not say from what: write "level …", from the level, 0 deg to the right and 90 deg straight up, as in %s`, printable(text), angleExample(p))
	case strings.ContainsAny(word[:1], "+-−0123456789") && p == outline.UpperArm:
		v.fail(`%q does not say from what: write "raised …", from the trunk, 0 deg at the sides and 180 deg overhead, or "level …", as in %s`, printable(text), angleExample(p))
	case strings.ContainsAny(word[:1], "+-−0123456789"):
		v.fail(`%q does not say from what: write "bent …", from the part before it, or "level …", as in %s`, printable(text), angleExample(p))
	case word == freeWord:
		v.fail(`%q: say from what, as in "%s free"`, printable(text), strings.Trim(strings.Fields(angleExample(p))[0], `"`))
	case meant:
		v.fail("%q: unknown word %q (did you mean %s?); an angle begins with %s", printable(text), printable(word), near, strings.Join(allowed, ", "))
	default:
		v.fail("%q: unknown word %q; an angle begins with %s, as in %s", printable(text), printable(word), strings.Join(allowed, ", "), angleExample(p))
	}
}

// angleAssumptions lists the assumptions that are angles.
func angleAssumptions() []string {
	var list []string
	for _, a := range assume.All() {
		if a.Unit == "rad" {
			list = append(list, a.Name)
		}
	}
	return list
}
