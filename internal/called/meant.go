package called

import (
	"fmt"
	"slices"
	"strings"

	"counterpoise/internal/nearest"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
)

// everyday are names by other words for them, folded, with commas between. One word may
// stand behind several names: meant are those that are allowed where it is found.
var everyday = map[string]string{
	// fields
	"person": "name", "sex": "gender", "people": "population, populations, who", "says": "statement, sentence, text", "why": "reason, because, explanation",
	"hold": "exercise, skill, position, move", "expect": "direction, expectation", "quantity": "measure, metric, outcome, demand", "matters": "threshold, minimum",
	"held": "seconds, time", "wall_distance": "distance", "assist": "band, pulley, spotter", "ankles": "feet, foot",
	// of holds, whose angles are those of parts and not of joints
	"looks": "description", "view": "plane", "faces": "facing", "supports": "support", "shared": "sharing", "leg_forms": "legs",
	"upper_arms": "arms, arm, shoulder", "forearms": "elbows, elbow", "thighs": "hips, hip", "shanks": "knees, knee, lower legs",
	"trunk": "spine, back, body, torso, belly, stomach, tummy", "abdomen": "waist", "head": "neck",
	"on": "fixture", "at": "point", "towards": "direction", "by": "rule",
	// directions
	"increase": "harder, more, higher, up, greater, larger, bigger, rise, rises, heavier, worse, plus, positive",
	"decrease": "easier, less, lower, down, smaller, fewer, reduce, reduced, fall, falls, drop, drops, lighter, better, minus, negative",
	"none":     "no, nothing, same, equal, unchanged, no effect, no change, no difference, zero, 0",
	// changes
	"added_mass": "fat, weight, body weight, body mass, muscle, muscles, muscle mass, body fat, kilos, added weight, weight gain, add mass",
	"lost_mass":  "fat, weight, body weight, body mass, muscle, muscles, muscle mass, body fat, kilos, lost weight, weight loss, fat loss, lose mass, diet",
	"arm_length": "arms, arm, longer arms, reach, span, wingspan, arm span, armspan", "leg_length": "leg, longer legs", "shoulder_breadth": "shoulder, shoulders, biacromial breadth, shoulder width, shoulder span",
	"hand_length": "hands, palm, palm length", "size": "height, scale, taller, tall, body size", "hand_spacing": "grip, grip width, spacing",
	"upper_trunk": "chest", "upper_body": "shoulders", "arms": "hands",
	// quantities
	"required_force": "force, forces", "difficulty": "strength, effort, hardness, hard, difficult, how hard", "best_angle": "angle, arm angle", "shoulder_moment": "moment, torque, shoulder torque",
	"grip_force": "grip, grip strength",
	// people
	"us-men": "men, man, adults, americans, public, general public, us adults", "us-women": "women, woman, adults, americans, public, general public, us adults",
	"us-boys": "jungen, garcons, chicos, ragazzi, kids, children, youth, youths, teenagers, teens", "us-girls": "madchen, filles, chicas, ragazze, kids, children, youth, youths, teenagers, teens",
	"ansur2-men": "ansur, soldiers, army, military", "ansur2-women": "ansur, soldiers, army, military", "gymnasts-men": "athletes", "climbers-men": "athletes",
	// holds, legs and models
	"human-flag": "pole flag, side lever", "push-up": "press up, pressup", "two-arm-hang": "dead hang", "iron-cross": "crucifix", "wall-handstand": "hand stand",
	"together": "straight, closed, full, normal", "straddle": "open, apart, wide, split, splits", "one-leg": "single leg, one leg out", "advanced-tuck": "adv tuck", "tuck": "bent",
	"equilibrium": "statics, static, full model", "yes": "true, on, y", "no": "false, off, n",
	// looks, formats, units, flags
	"dark": "black, night", "light": "white, day, bright", "print": "paper, a4, letter", "csv": "excel, xlsx, text", "metric": "si, cm, kg", "imperial": "us, inch, inches, lb, lbs, pounds",
	"n": "samples, sample, bodies, count, number", "workers": "threads, jobs, cores, goroutines", "out": "output, folder, directory, dir, o", "assumption-draws": "draws",
}

// most is how many names are suggested at most.
const most = 3

// Meant returns the names that another one was probably meant to be, if any: the one that
// is written otherwise, those with another word for them, those that have all its words and
// fewest others, or the one with few slips.
func Meant(name string, names []string) []string {
	word := Fold(name)
	if word == "" {
		return nil
	}
	if i := slices.IndexFunc(names, func(n string) bool { return Fold(n) == word }); i >= 0 {
		return names[i : i+1 : i+1]
	}
	if usual := everydayFor(word, names); usual != nil {
		return usual
	}
	if m, ok := Measurement(word); ok && slices.Contains(names, m.String()) {
		return []string{m.String()}
	}
	sex, sexed := Sex(word)
	if sexed && slices.Contains(names, sex.String()) {
		return []string{sex.String()}
	}
	if within := containing(word, names); within != nil {
		return within
	}
	if near, ok := nearest.Nearest(name, names); ok {
		return []string{near}
	}
	if sexed && slices.Contains(names, anthro.PublicOf(sex)) {
		return []string{anthro.PublicOf(sex)}
	}
	return nil
}

// everydayFor are the names that another word stands for.
func everydayFor(word string, names []string) (meant []string) {
	for _, name := range names {
		if len(meant) < most && slices.Contains(Listed(everyday[name]), word) {
			meant = append(meant, name)
		}
	}
	return meant
}

// containing are those of the names that have all the words, and fewest others.
func containing(word string, names []string) (meant []string) {
	stems := func(text string) []string {
		list := strings.Fields(Fold(text))
		for i, w := range list {
			list[i] = strings.TrimSuffix(w, "s")
		}
		return list
	}
	sought := stems(word)
	if len(word) < 3 {
		return nil
	}
	fewest := 0
	for _, name := range names {
		has := stems(name)
		switch {
		case slices.ContainsFunc(sought, func(w string) bool { return !slices.Contains(has, w) }):
		case meant == nil || len(has) < fewest:
			meant, fewest = []string{name}, len(has)
		case len(has) == fewest && len(meant) < most:
			meant = append(meant, name)
		}
	}
	return meant
}

// Hint is the "did you mean" behind an unknown name, or nothing.
func Hint(meant []string) string {
	if len(meant) == 0 {
		return ""
	}
	return fmt.Sprintf(" (did you mean %s?)", words.Or(meant))
}

// Suggest is the hint behind an unknown name of those that are allowed.
func Suggest(name string, allowed []string) string { return Hint(Meant(name, allowed)) }

// SuggestWithin is the hint for a name that lacks what stands before those of one section,
// such as "change.".
func SuggestWithin(section, name string, allowed []string) string {
	var within []string
	for _, of := range allowed {
		if rest, ok := strings.CutPrefix(of, section); ok {
			within = append(within, rest)
		}
	}
	meant := slices.Clone(Meant(name, within))
	for i := range meant {
		meant[i] = section + meant[i]
	}
	return Hint(meant)
}
