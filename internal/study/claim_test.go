package study

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"counterpoise/internal/golden"
	"counterpoise/internal/holds"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/muscle"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
)

// good is a claim without a fault; the tests alter it.
const good = `claim: mine
says: Longer arms make the human flag harder.
hold: human-flag
people: [ansur2-men, ansur2-women]
change: {arm_length: +10 cm}
quantity: required_force
expect: increase
matters: 0.01 BW
models: [two-condition, equilibrium]
`

// with returns the good claim with old replaced by next.
func with(t testing.TB, old, next string) string {
	t.Helper()
	if strings.Count(good, old) == 0 {
		t.Fatalf("the good claim has no %q", old)
	}
	return strings.Replace(good, old, next, 1)
}

// lists are the names that messages list, so that these tests need not change
// with every new hold or quantity.
func lists() *strings.Replacer {
	join := func(names []string) string { return strings.Join(names, ", ") }
	return strings.NewReplacer(
		"<fields>", "assist, before, change, claim, claimed, contrast, expect, hold, legs, load, matters, matters_because, models, no_effect_because, people, pose, posture, quantity, regional_masses, says, segments, share, tilt, why, within",
		"<changes>", changeNames(),
		"<points>", "ankles, belt, chest, hands, head, hips, knees, vest, waist, wrists",
		"<quantities>", join(demandNames()),
		"<assumptions>", join(AssumptionNames()),
		"<leg forms>", join(names.All(hold.NumLegForms)),
		"<measurements>", join(anthro.MeasurementNames()),
		"<holds>", join(holds.Names()),
		"<people>", join(anthro.Names()),
	)
}

func TestFaults(t *testing.T) {
	for _, test := range faults {
		_, err := ReadClaim("f", []byte(with(t, test.old, test.next)))
		want := lists().Replace(test.want)
		if err == nil || err.Error() != want {
			t.Errorf("%q for %q:\n got %v\nwant %s", test.next, test.old, err, want)
		}
	}
}

// faults are slips in the good claim and the whole message that each must give.
var faults = []struct{ old, next, want string }{
	{"quantity:", "quantitty:", "f:6: quantitty: unknown field (did you mean quantity?); allowed: <fields>"},
	{"human-flag", "humanflag", `f:3: hold: unknown name "humanflag" (did you mean human-flag?); allowed: <holds>`},
	{"required_force", "requiredforce", `f:6: quantity: unknown name "requiredforce" (did you mean required_force?); allowed: <quantities>`},
	{"equilibrium", "equilibrum", `f:9: models: unknown name "equilibrum" (did you mean equilibrium?); allowed: two-condition, equilibrium`},
	{"ansur2-men", "ansur-men", `f:4: people: unknown name "ansur-men" (did you mean ansur2-men?); allowed: <people>`},
	{"human-flag", "flag", `f:3: hold: unknown name "flag" (did you mean human-flag or dragon-flag?); allowed: <holds>`},
	{"required_force", "force", `f:6: quantity: unknown name "force" (did you mean required_force?); allowed: <quantities>`},
	{"ansur2-men, ansur2-women", "ansur2-men, ansur2-men", "f:4: people: ansur2-men appears twice"},
	{"[two-condition, equilibrium]", "[equilibrium, equilibrium]", "f:9: models: equilibrium appears twice"},
	{"[two-condition, equilibrium]", "[]", "f:9: models: is an empty list"},
	{"[ansur2-men, ansur2-women]", "[]", "f:4: people: is an empty list"},
	{"[ansur2-men, ansur2-women]", "{from: [ansur2-men], where: {statur: 160..175 cm}}", `f:4: people.where.statur: unknown quantity "statur" (did you mean stature?); allowed: bmi, age, a measurement, or two of them as in span/stature; measurements: <measurements>`},
	{"[ansur2-men, ansur2-women]", "{from: [ansur2-men], where: {stature: 160..175}}", `f:4: people.where.stature: "160..175": a length needs its unit: write "172 cm" or "5 ft 8 in"`},
	{"[ansur2-men, ansur2-women]", "{from: [ansur2-men], where: {stature: 175..160 cm}}", `f:4: people.where.stature: "175..160 cm": the low end of the range is above its high end`},
	{"[ansur2-men, ansur2-women]", "{from: [ansur2-men], where: {stature: 170 cm}}", `f:4: people.where.stature: "170 cm": a range has ".." between its ends, as in "18.5..27", "..27" or "20.."`},
	{"[ansur2-men, ansur2-women]", "{from: [ansur2-men], where: {stature: 60..70 kg}}", `f:4: people.where.stature: "60..70 kg": "kg" is the unit of a mass, but a length is needed here: write "172 cm" or "5 ft 8 in"`},
	{"[ansur2-men, ansur2-women]", "{from: [ansur2-men], where: }", "f:4: people.where: must be a mapping of fields, found nothing"},
	{"[ansur2-men, ansur2-women]", "{where: {bmi: 18..25}}", "f:4: people: people are needed, such as us-men"},
	{"[ansur2-men, ansur2-women]", "{from: [ansur2-men], weights: {ansur2-women: 2}}", "f:4: people.weights.ansur2-women: weights people who are not listed in from"},
	{"[ansur2-men, ansur2-women]", "{from: [ansur2-men], weights: {ansur2-men: 0}}", "f:4: people.weights.ansur2-men: must be positive, found 0"},
	{"[ansur2-men, ansur2-women]", "{from: [ansur2-men], weights: {ansur2-men: -1}}", "f:4: people.weights.ansur2-men: must be positive, found -1"},
	{"[ansur2-men, ansur2-women]", "{from: [ansur2-men], weights: {ansur2-men: .inf}}", `f:4: people.weights.ansur2-men: ".inf" is not a number: write "0.67" or "5 %"`},
	{"[ansur2-men, ansur2-women]", "{from: [ansur2-men], weights: 3}", "f:4: people.weights: must be a mapping of fields, found a single value"},
	{"[ansur2-men, ansur2-women]", "ansur2-men, ansur2-women", "f:4: people: a list needs brackets: write [ansur2-men, ansur2-women]"},
	{"[ansur2-men, ansur2-women]", "[{ansur2-men: 1}]", "f:4: people: must be a single value, found a mapping"},
	{"{arm_length: +10 cm}", "{arm_length: 10}", `f:5: change.arm_length: "10": a length or a relative change needs its unit: write "172 cm" or "5 ft 8 in" or "+5 %"`},
	{"{arm_length: +10 cm}", "{arm_length: 10 kg}", `f:5: change.arm_length: "10 kg": "kg" is the unit of a mass, but a length or a relative change is needed here: write "172 cm" or "5 ft 8 in" or "+5 %"`},
	{"{arm_length: +10 cm}", "{arm_length: .nan}", `f:5: change.arm_length: ".nan" is not a length or a relative change: write "172 cm" or "5 ft 8 in" or "+5 %"`},
	{"{arm_length: +10 cm}", "{arm_length: .inf}", `f:5: change.arm_length: ".inf" is not a length or a relative change: write "172 cm" or "5 ft 8 in" or "+5 %"`},
	{"{arm_length: +10 cm}", "{arm_length: nan cm}", `f:5: change.arm_length: "nan cm" is not a length or a relative change: write "172 cm" or "5 ft 8 in" or "+5 %"`},
	{"{arm_length: +10 cm}", "{arm_length: 1e400 cm}", `f:5: change.arm_length: "1e400 cm": the number is out of range`},
	{"{arm_length: +10 cm}", "{arm_length: 10cm}", `f:5: change.arm_length: "10cm": a change is written with its sign, as in "+10 cm" or "-5 %"`},
	{"{arm_length: +10 cm}", "{arm_length: 0 cm}", `f:5: change.arm_length: "0 cm": a change is written with its sign, as in "+10 cm" or "-5 %"`},
	{"{arm_length: +10 cm}", "{arm_length: }", "f:5: change.arm_length: has no value"},
	{"{arm_length: +10 cm}", "{}", "f:5: change: changes nothing"},
	{"{arm_length: +10 cm}", "arm_length: +10 cm", `f:5: a misplaced ":": a text with ": " in it needs quotes, fields on one line need braces, and fields of one level start in the same column`},
	{"{arm_length: +10 cm}", "+10 cm", "f:5: change: must be a mapping of fields, found a single value"},
	{"{arm_length: +10 cm}", "[arm_length]", "f:5: change: must be a mapping of fields, found a list"},
	{"{arm_length: +10 cm}", "", "f:5: change: must be a mapping of fields, found nothing"},
	{"{arm_length: +10 cm}", "~", "f:5: change: must be a mapping of fields, found nothing"},
	{"{arm_length: +10 cm}", "{arm_lenght: +10 cm}", "f:5: change.arm_lenght: unknown field (did you mean arm_length?); allowed: <changes>"},
	{"{arm_length: +10 cm}", "{size: -95 %}", `f:5: change.size: "-95 %" is more than a body can change, allowed: -90 % to +100 %`},
	{"{arm_length: +10 cm}", "{size: +0 %}", "f:5: change: changes nothing"},
	{"{arm_length: +10 cm}", "{size: 5 cm}", `f:5: change.size: "5 cm": "cm" is the unit of a length, but a relative change is needed here: write "+5 %"`},
	{"{arm_length: +10 cm}", "{size: 1.05}", `f:5: change.size: "1.05": a relative change needs its unit: write "+5 %"`},
	{"{arm_length: +10 cm}", "{added_mass: {trunk: -3 kg}}", "f:5: change.added_mass.trunk: must be positive, found -3 kg"},
	{"{arm_length: +10 cm}", "{added_mass: {trunk: 0 kg}}", "f:5: change.added_mass.trunk: must be positive, found 0 kg"},
	{"{arm_length: +10 cm}", "{added_mass: {trunc: 3 kg}}", "f:5: change.added_mass.trunc: unknown field (did you mean trunk?); allowed: arms, head, legs, trunk, upper_body, upper_trunk, working_share"},
	{"{arm_length: +10 cm}", "{added_mass: 3 kg}", "f:5: change.added_mass: must be a mapping of fields, found a single value"},
	{"{arm_length: +10 cm}", "{added_mass: {trunk: 3}}", `f:5: change.added_mass.trunk: "3": a mass needs its unit: write "61 kg" or "134 lb"`},
	{"{arm_length: +10 cm}", "{added_mass: {trunk: 3 cm}}", `f:5: change.added_mass.trunk: "3 cm": "cm" is the unit of a length, but a mass is needed here: write "61 kg" or "134 lb"`},
	{"{arm_length: +10 cm}", "{added_mass: {working_share: 50 %}}", "f:5: change.added_mass: names no part of the body"},
	{"{arm_length: +10 cm}", "{added_mass: {arms: 3 kg, working_share: 150 %}}", "f:5: change.added_mass.working_share: 1.5 is not possible, allowed: 0 to 1"},
	{"{arm_length: +10 cm}", "{load: {ankle: 2 kg}}", "f:5: change.load.ankle: unknown field (did you mean ankles?); allowed: <points>"},
	{"{arm_length: +10 cm}", "{load: {feet: 2 kg}}", "f:5: change.load.feet: unknown field (did you mean ankles?); allowed: <points>"},
	{"{arm_length: +10 cm}", "{load: {ankles: 2}}", `f:5: change.load.ankles: "2": a mass needs its unit: write "61 kg" or "134 lb"`},
	{"{arm_length: +10 cm}", "{load: {ankles: -2 kg}}", "f:5: change.load.ankles: -2 kg is not possible, allowed: more than 0, up to 200 kg"},
	{"{arm_length: +10 cm}", "{assist: {hips: 300 kg}}", "f:5: change.assist.hips: 300 kg is not possible, allowed: more than 0, up to 200 kg"},
	{"{arm_length: +10 cm}", "{load: {vest: 2 kg, chest: 1 kg}}", "f:5: change.load.chest: appears twice: vest is what is worn on the chest"},
	{"{arm_length: +10 cm}", "{assist: {hips: 2 kg}, load: {belt: 1 kg}}", "f:5: change.load: a load and help act at the same point, the hips: give the difference"},
	{"{arm_length: +10 cm}", "{load: {}}", "f:5: change.load: names no point of the body, as in {vest: 10 kg}; known: head, chest, waist, hips, knees, ankles, wrists, hands, vest, belt"},
	{"{arm_length: +10 cm}", "{load: 2 kg}", "f:5: change.load: must be a mapping of fields, found a single value"},
	{"{arm_length: +10 cm}", "{band: {hips: 2 kg}}", "f:5: change.band: unknown field (did you mean assist?); allowed: <changes>"},
	{"{arm_length: +10 cm}", "{load: {vest: 2 kg}}\nbefore: {load: {chest: 2 kg}}", "f:6: before: is also there after the change: write it as load"},
	{"{arm_length: +10 cm}", "{load: {vest: 2 kg}}\nbefore: {arm_length: +2 cm}", "f:6: before.arm_length: unknown field; allowed: assist, load"},
	{"{arm_length: +10 cm}", "{added_mass: {arms: 3 kg, working_share: 1.5}}", "f:5: change.added_mass.working_share: 1.5 is not possible, allowed: 0 to 1"},
	{"{arm_length: +10 cm}", "{legs: straddle}", `f:5: change.legs: a straddle needs its angle, each leg from the body's line, as in "straddle 40 deg"`},
	{"{arm_length: +10 cm}", "{legs: straddle 45}", `f:5: change.legs: "45": an angle needs its unit: write "41 deg" or "0.72 rad"`},
	{"{arm_length: +10 cm}", "{legs: straddle 100 deg}", "f:5: change.legs: 100 deg is not possible, allowed: 0 to 90 deg"},
	{"{arm_length: +10 cm}", "{legs: tuck 45 deg}", "f:5: change.legs: tuck has no angle, only a straddle has"},
	{"{arm_length: +10 cm}", "{legs: stradle 45 deg}", `f:5: change.legs: unknown name "stradle 45 deg" (did you mean straddle?); allowed: <leg forms>`},
	{"{arm_length: +10 cm}", "{legs: {form: straddle}}", `f:5: change.legs: a straddle needs its angle, each leg from the body's line, as in "straddle 40 deg"`},
	{"{arm_length: +10 cm}", "{legs: {form: tuck, angle: 30 deg}}", "f:5: change.legs: tuck has no angle, only a straddle has"},
	{"{arm_length: +10 cm}", "{legs: {hip: 30 deg}}", "f:5: change.legs: needs the form of the legs, as in form: tuck; allowed: <leg forms>"},
	{"{arm_length: +10 cm}", "{legs: {form: straddle, angle: 45 deg, hip: 20 deg}}", "f:5: change.legs: the legs of straddle are straight, leave out hip and knee"},
	{"{arm_length: +10 cm}", "{legs: together}", "f:5: change.legs: changes nothing: the first body holds its legs in the same way"},
	{"{arm_length: +10 cm}", "{legs: 45 deg}", `f:5: change.legs: unknown name "45 deg"; allowed: <leg forms>`},
	{"{arm_length: +10 cm}", "{legs: straddle -10 deg}", "f:5: change.legs: a straddle opens each leg by more than 0 deg; for 0 deg write together"},
	{"{arm_length: +10 cm}", "{legs: straddle 0 deg}", "f:5: change.legs: a straddle opens each leg by more than 0 deg; for 0 deg write together"},
	{"{arm_length: +10 cm}", "{legs: {form: straddle, angle: 0 deg}}", "f:5: change.legs: a straddle opens each leg by more than 0 deg; for 0 deg write together"},
	{"{arm_length: +10 cm}", "{fat: +5 kg}", "f:5: change.fat: unknown field (did you mean added_mass or lost_mass?), as in added_mass: {trunk: 5 kg} or lost_mass: {trunk: 5 kg}; allowed: <changes>"},
	{"{arm_length: +10 cm}", "{wingspan: +5 cm}", "f:5: change.wingspan: unknown field (did you mean arm_length?); allowed: <changes>"},
	{"{arm_length: +10 cm}", "{mass: +5 kg}", `f:5: change.mass: "+5 kg": says whether it follows or stays; to change it write added_mass: {trunk: 5 kg} or lost_mass: {trunk: 5 kg}`},
	{"{arm_length: +10 cm}", "{stature: +5 cm}", `f:5: change.stature: "+5 cm": says whether it follows or stays; to change it write size: +5 % or leg_length: +3 cm`},
	{"{arm_length: +10 cm}", "{legs: +5 cm}", `f:5: change.legs: "+5 cm": says how the legs are held; to change their length write leg_length: +5 cm`},
	{"ansur2-men", "men", `f:4: people: unknown name "men" (did you mean us-men?); allowed: <people>`},
	{"increase", "easier", `f:7: expect: unknown name "easier" (did you mean decrease?); allowed: increase, decrease, none`},
	{"hold:", "exercise:", "f:3: exercise: unknown field (did you mean hold?); allowed: <fields>"},
	{"{arm_length: +10 cm}", "{legs: one leg}", `f:5: change.legs: unknown name "one leg" (did you mean one-leg?); allowed: <leg forms>`},
	{"{arm_length: +10 cm}", "{arm_angle: 20}", `f:5: change.arm_angle: "20": an angle needs its unit: write "41 deg" or "0.72 rad"`},
	{"{arm_length: +10 cm}", "{arm_angle: 200 deg}", "f:5: change.arm_angle: 200 deg is not possible, allowed: 10 to 80 deg"},
	{"{arm_length: +10 cm}", "{arm_angle: 5 deg}", "f:5: change.arm_angle: 5 deg is not possible, allowed: 10 to 80 deg"},
	{"{arm_length: +10 cm}", "{arm_angle: +0 deg}", "f:5: change.arm_angle: changes nothing"},
	{"{arm_length: +10 cm}", "{arm_angle: +5 deg, hand_spacing: widest}", "f:5: change: arm_angle and hand_spacing both place the arms, give only one"},
	{"{arm_length: +10 cm}", "{hand_spacing: wide}", `f:5: change.hand_spacing: "wide": change the spacing by an amount, as in "+10 cm" or "-5 %", or is "widest" or "narrowest"`},
	{"{arm_length: +10 cm}", "{hand_spacing: widst}", `f:5: change.hand_spacing: "widst": change the spacing by an amount, as in "+10 cm" or "-5 %", or is "widest" or "narrowest"`},
	{"{arm_length: +10 cm}", "{hand_spacing: 10 cm}", `f:5: change.hand_spacing: "10 cm": change the spacing by an amount, as in "+10 cm" or "-5 %", or is "widest" or "narrowest"`},
	{"{arm_length: +10 cm}", "{hand_spacing: +10}", `f:5: change.hand_spacing: "+10": a length or a relative change needs its unit: write "172 cm" or "5 ft 8 in" or "+5 %"`},
	{"{arm_length: +10 cm}", "{hand_spacing: +0 cm}", "f:5: change.hand_spacing: changes nothing"},
	{"{arm_length: +10 cm}", "{hand_spacing: +10 deg}", `f:5: change.hand_spacing: "+10 deg": "deg" is the unit of an angle, but a length or a relative change is needed here: write "172 cm" or "5 ft 8 in" or "+5 %"`},
	{"{arm_length: +10 cm}", "{tilt: 100 deg}", "f:5: change.tilt: 100 deg is not possible, allowed: -45 to 45 deg"},
	{"{arm_length: +10 cm}", "{tilt: 0 deg}", "f:5: change.tilt: changes nothing: the first body has the same tilt"},
	{"change:", "tilt: 500 deg\nchange:", "f:5: tilt: 500 deg is not possible, allowed: -45 to 45 deg"},
	{"change:", "tilt: 5\nchange:", `f:5: tilt: "5": an angle needs its unit: write "41 deg" or "0.72 rad"`},
	{"{arm_length: +10 cm}", "{assume: {grip_strengt: 0.3}}", "f:5: change.assume.grip_strengt: unknown assumption (did you mean grip_strength?); allowed: <assumptions>"},
	{"{arm_length: +10 cm}", "{assume: {grip_strength: 3}}", "f:5: change.assume.grip_strength: assumption grip_strength: 3 is not allowed, it must lie in 0..1 (place in the range of the published norms)"},
	{"{arm_length: +10 cm}", "{assume: {grip_strength: .nan}}", `f:5: change.assume.grip_strength: ".nan" is not a number: write "0.67" or "5 %"`},
	{"{arm_length: +10 cm}", "{assume: {size_exponent: 2.5}}", "f:5: change: the assumption size_exponent is not about the hold's own statics, so a change cannot alter it"},
	{"{arm_length: +10 cm}", "{assume: {}}", "f:5: change: changes nothing"},
	{"{arm_length: +10 cm}", "{assume: grip_strength}", "f:5: change.assume: must be a mapping of fields, found a single value"},
	{"change: {arm_length: +10 cm}", "contrast: {by: statur}", `f:5: contrast.by: unknown quantity "statur" (did you mean stature?); allowed: bmi, age, a measurement, or two of them as in span/stature; measurements: <measurements>`},
	{"change: {arm_length: +10 cm}", "contrast: {by: sex/stature}", `f:5: contrast.by: unknown quantity "sex/stature"; allowed: bmi, age, a measurement, or two of them as in span/stature; measurements: <measurements>`},
	{"change: {arm_length: +10 cm}", "contrast: {by: sex, groups: thirds}", "f:5: contrast: women are compared with men: leave out groups, low and high"},
	{"change: {arm_length: +10 cm}", "contrast: {by: age, low: 18..29}", "f:5: contrast: with low or high, state both, as in {by: age, low: 18..29, high: 50..59}"},
	{"change: {arm_length: +10 cm}", "contrast: {by: age, groups: halves, low: 18..29, high: 50..59}", "f:5: contrast: low and high state the groups: leave out groups"},
	{"change: {arm_length: +10 cm}", "contrast: {by: stature, low: ..160, high: 180 cm..}", `f:5: contrast.low: "..160": a length needs its unit: write "172 cm" or "5 ft 8 in"`},
	{"change: {arm_length: +10 cm}", "contrast: {by: age, low: 18..40, high: 30..59}", "f:5: contrast: the high group must lie above the low one: that ends at 40, found 30"},
	{"change: {arm_length: +10 cm}", "contrast: {groups: thirds}", "f:5: contrast: needs the trait that separates the groups, as in by: stature, or by: sex"},
	{"change: {arm_length: +10 cm}", "contrast: {by: stature, groups: third}", `f:5: contrast.groups: unknown name "third" (did you mean thirds?); allowed: halves, thirds, quarters, fifths, tenths`},
	{"change: {arm_length: +10 cm}", "contrast: {by: stature, strength: by-mass}", `f:5: contrast.strength: unknown field; allowed: by, groups, high, low`},
	{"change: {arm_length: +10 cm}", "contrast: stature", "f:5: contrast: must be a mapping of fields, found a single value"},
	{"change: {arm_length: +10 cm}", "contrast: {by: span/statur}", `f:5: contrast.by: unknown quantity "span/statur" (did you mean stature?); allowed: bmi, age, a measurement, or two of them as in span/stature; measurements: <measurements>`},
	{"change: {arm_length: +10 cm}", "contrast: {by: stature/stature}", "f:5: contrast.by: stature/stature is the same for everybody"},
	{"change: {arm_length: +10 cm}", "contrast: {by: stature}\nposture: best", "f:6: posture: applies to the changed body; a contrast has none, leave this out"},
	{"change:", "contrast: {by: stature}\nchange:", "f:5: contrast: a claim has a change or a contrast, not both"},
	{"change: {arm_length: +10 cm}\n", "", "f: change: a claim needs a change or a contrast"},
	{"quantity:", "posture: bset\nquantity:", `f:6: posture: unknown name "bset" (did you mean best?); allowed: best, same_angle, same_spacing`},
	{"{arm_length: +10 cm}", "{hand_spacing: widest}\nposture: best", "f:6: posture: the change itself places the arms, leave this out"},
	{"increase", "harder", `f:7: expect: unknown name "harder" (did you mean increase?); allowed: increase, decrease, none`},
	{"increase", "increases", `f:7: expect: unknown name "increases" (did you mean increase?); allowed: increase, decrease, none`},
	{"increase", "", "f:7: expect: has no value"},
	{"increase", "[increase]", "f:7: expect: must be a single value, found a list"},
	{"increase", "{a: b}", "f:7: expect: must be a single value, found a mapping"},
	{"claim: mine", "claim: NUL", `f:1: claim: found "NUL", which cannot be the name of a folder: on Windows it is that of a device`},
	{"claim: mine", "claim: a/b", `f:1: claim: found "a/b", which cannot be the name of a folder because of its '/'`},
	{"0.01 BW", "1e30 %", `f:8: matters: 1e+30 % is not possible, allowed: 0 to 100 %`},
	{"0.01 BW", "11 BW", `f:8: matters: 11 BW is not possible, allowed: 0 to 10 BW`},
	{"0.01 BW", "0.01", `f:8: matters: "0.01": a force in body weights or a relative change needs its unit: write "1.2 BW" or "+5 %"`},
	{"0.01 BW", "0 BW", `f:8: matters: must be positive, found "0 BW"`},
	{"0.01 BW", "-1 BW", `f:8: matters: must be positive, found "-1 BW"`},
	{"0.01 BW", "1 kg", `f:8: matters: "1 kg": "kg" is the unit of a mass, but a force in body weights or a relative change is needed here: write "1.2 BW" or "+5 %"`},
	{"0.01 BW", "0 %", `f:8: matters: must be positive, found "0 %"`},
	{"0.01 BW", ".nan", `f:8: matters: ".nan" is not a force in body weights or a relative change: write "1.2 BW" or "+5 %"`},
	{"0.01 BW", "inf", `f:8: matters: "inf" is not a force in body weights or a relative change: write "1.2 BW" or "+5 %"`},
	{"0.01 BW", "0,01 BW", `f:8: matters: "0,01 BW": a comma in a number: write a decimal point, "67.5", and no thousands separators`},
	{"0.01 BW", "", "f:8: matters: has no value"},
	{"0.01 BW", "[0.01 BW]", "f:8: matters: must be a single value, found a list"},
	{"0.01 BW", "1 N", `f:8: matters: "1 N": "N" is the unit of a force, but a force in body weights or a relative change is needed here: write "1.2 BW" or "+5 %"`},
	{"models:", "share: 0.4\nmodels:", "f:9: share: the share of bodies must be above 0.5 and below 1, found 0.4"},
	{"models:", "share: 95\nmodels:", "f:9: share: the share of bodies must be above 0.5 and below 1, found 95"},
	{"models:", "share: 1\nmodels:", "f:9: share: the share of bodies must be above 0.5 and below 1, found 1"},
	{"matters: 0.01 BW\n", "claimed: 0.1\n", `f:8: claimed: "0.1": a force in body weights or a relative change needs its unit: write "1.2 BW" or "+5 %"`},
	{"matters: 0.01 BW\n", "claimed: 0 BW\n", `f:8: claimed: must be positive, found "0 BW"`},
	{"matters: 0.01 BW\n", "claimed: -10 %\n", `f:8: claimed: must be positive, found "-10 %"`},
	{"matters: 0.01 BW\n", "claimed: 1 kg\n", `f:8: claimed: "1 kg": "kg" is the unit of a mass, but a force in body weights or a relative change is needed here: write "1.2 BW" or "+5 %"`},
	{"matters: 0.01 BW\n", "claimed: [10 %]\n", "f:8: claimed: must be a single value, found a list"},
	{"matters: 0.01 BW\n", "claimed:\n", "f:8: claimed: has no value"},
	{"matters: 0.01 BW\n", "claimed: 0.9 %\n", "f:8: claimed: 0.9 % is not possible, allowed: 1 to 1000 %"},
	{"matters: 0.01 BW\n", "claimed: 11 BW\n", "f:8: claimed: 11 BW is not possible, allowed: 0 to 10 BW"},
	{"increase\nmatters: 0.01 BW\n", "decrease\nclaimed: 101 %\n", "f:8: claimed: 101 % is not possible, allowed: 1 to 100 %"},
	{"increase\nmatters: 0.01 BW\n", "none\nclaimed: 10 %\n", "f:8: claimed: a saying that nothing changes promises no size, leave this out"},
	{"matters: 0.01 BW\n", "within: 8 %..12 %\n", "f:8: within: is the range that counts as promised, but claimed is missing, as in claimed: 10 %"},
	{"matters: 0.01 BW\n", "claimed: 10 %\nwithin: 0.08..0.12 BW\n", `f:9: within: "0.08..0.12 BW": "BW" is the unit of a force in body weights, but a relative change is needed here: write "+5 %"`},
	{"matters: 0.01 BW\n", "claimed: 10 %\nwithin: 10 %\n", `f:9: within: "10 %": a range has ".." between its ends, as in "18.5..27", "..27" or "20.."`},
	{"matters: 0.01 BW\n", "claimed: 10 %\nwithin: 8 %..\n", `f:9: within: "8 %..": both ends are needed, as in 40 %..60 %`},
	{"matters: 0.01 BW\n", "claimed: 10 %\nwithin: 12 %..20 %\n", `f:9: within: "12 %..20 %" does not hold the size that is claimed, 10 % of the baseline`},
	{"matters: 0.01 BW\n", "claimed: 0.1 BW\nwithin: -0.1..0.2 BW\n", "f:9: within: -0.1 BW is not possible, allowed: 0 to 0.1 BW"},
	{"matters: 0.01 BW\n", "claimed: 10 %\nwithin: [8 %, 12 %]\n", "f:9: within: must be a single value, found a list"},
	{"matters: 0.01 BW\n", "matters_because: So.\n", "f:8: matters_because: explains the size of matters, but matters is left out and has the quantity's default"},
	{"required_force\nexpect: increase\nmatters: 0.01 BW\n", "difficulty\nexpect: increase\nclaimed: 0.1 BW\n", `f:8: claimed: found "0.1 BW", but difficulty is a ratio and has no unit: write a share of it, as in 1 %, or name a quantity that has one, as in quantity: required_force`},
	{"required_force\nexpect: increase\nmatters: 0.01 BW\n", "best_angle\nexpect: increase\nclaimed: 30 deg\nwithin: 40..50 deg\n", `f:9: within: "40..50 deg" does not hold the size that is claimed, 30.0°`},
	{"models:", "share: 0.95 BW\nmodels:", `f:9: share: "0.95 BW": "BW" is the unit of a force in body weights, but a number is needed here: write "0.67" or "5 %"`},
	{"models:", "share: .nan\nmodels:", `f:9: share: ".nan" is not a number: write "0.67" or "5 %"`},
	{"models:", "share: yes\nmodels:", `f:9: share: "yes" is not a number: write "0.67" or "5 %"`},
	{"claim: mine\n", "", "f: claim: is missing, as in claim: longer-arms"},
	{"hold:", "claim: again\nhold:", "f:3: claim: appears twice, first on line 1"},
	{"claim: mine", "claim:", "f:1: claim: has no value"},
	{"claim: mine", "claim: ''", "f:1: claim: a claim needs a name"},
	{"claim: mine", "claim: [a]", "f:1: claim: must be a single value, found a list"},
	{"claim: mine", "claim: \"a\\u001b[31mb\"", "f:1: claim: holds a control character"},
	{"required_force", "difficulty", `f:8: matters: found "0.01 BW", but difficulty is a ratio and has no unit: write a share of it, as in 1 %, or name a quantity that has one, as in quantity: required_force`},
	{"required_force", "shoulder_moment", `f:8: matters: "0.01 BW": "BW" is the unit of a force in body weights, but a moment in body weights times metres or a relative change is needed here: write "0.12 BW·m" or "+5 %"`},
	{"required_force", "shoulder_moment\nregional_masses: [residual, ful]\nsegments: [de-leva]", "f:7: regional_masses: unknown name \"ful\" (did you mean full?); allowed: table, residual, full\nf:8: segments: unknown name \"de-leva\"; allowed: deleva-1996, dempster-winter, dumas-2007\nf:10: matters: \"0.01 BW\": \"BW\" is the unit of a force in body weights, but a moment in body weights times metres or a relative change is needed here: write \"0.12 BW·m\" or \"+5 %\""},
	{"says: Longer arms make", "says: &a Longer arms make", "f:2: says: must be a single value, found an anchor or alias, which is not supported"},
	{"claim: mine", "claim: *a", "f:1: claim: must be a single value, found an anchor or alias, which is not supported"},
	{"claim: mine", "claim: !!str mine", "f:1: claim: must be a single value, found a tag, which is not supported"},
	{"claim: mine", "<<: {a: b}", "f: claim: is missing, as in claim: longer-arms\nf:1: the name of a field must be a plain word, found the merge \"<<\", which is not supported"},
	{"claim: mine", "&a claim: mine", "f: claim: is missing, as in claim: longer-arms\nf:1: the name of a field must be a plain word, found an anchor or alias, which is not supported"},
	{"claim: mine", "? claim\n: mine", "f: claim: is missing, as in claim: longer-arms\nf:2: the name of a field must be a plain word, found \"?\", which is not supported"},
	{"claim: mine", "? [claim]\n: mine", "f:2: not readable as YAML: found an invalid key for this map"},
	{"claim: mine", "*a : mine", `f:1: a misplaced ":": a text with ": " in it needs quotes, fields on one line need braces, and fields of one level start in the same column`},
	{"hold: human", "\thold: human", "f:3: a tab cannot indent, use spaces"},
	{"change: {arm_length: +10 cm}", "change:\n\tarm_length: +10 cm", "f:6: a tab cannot indent, use spaces"},
	{"says: L", "says: 'L", "f:2: not readable as YAML: could not find end character of single-quoted text"},
	{"says: L", "says: Arms: l", `f:2: a misplaced ":": a text with ": " in it needs quotes, fields on one line need braces, and fields of one level start in the same column`},
	{"says: L", `says: "L`, "f:2: not readable as YAML: could not find end character of double-quoted text"},
	{"hold: h", "  hold: h", "f:3: is indented more than the field above it, which already has a value: fields of one level start in the same column"},
	{"change: {", "change: {{", "f:5: braces hold fields with their values, as in {arm_length: +10 cm}"},
	{"change: {arm_length: +10 cm}", "change: {arm_length: +10 cm", "f:6: not readable as YAML: ',' or '}' must be specified"},
	{"hold: human-flag", "hold human-flag", `f:3: a field needs a name, a colon, a space and a value, as in "hold: human-flag"; found "hold human-flag"`},
	{"hold: human-flag", "hold:human-flag", `f:3: a field needs a name, a colon, a space and a value, as in "hold: human-flag"; found "hold:human-flag"`},
	{"says: L", "says: @L", "f:2: a text that starts with @ or ` needs quotes"},
	{"says: L", "says: %L", "f:2: a text that starts with % needs quotes"},
	{"says: L", "says: `L", "f:2: a text that starts with @ or ` needs quotes"},
	{"+10 cm", "+10 %cm", `f:5: change.arm_length: "+10 %cm": unknown unit "%cm", did you mean "cm"? (a length or a relative change is written with m, cm, mm, in, ft, %)`},
	{"flag harder", "flag h\xe4rter", "f:2: the text is not UTF-8; save the file as UTF-8"},
}

func TestWholeFiles(t *testing.T) {
	const missing = "f: claim: is missing, as in claim: longer-arms\nf: says: is missing, as in says: Longer arms make the human flag harder.\n" +
		"f: hold: is missing, as in hold: human-flag\nf: people: is missing, as in people: [us-men, us-women]\n" +
		"f: expect: is missing, as in expect: increase\n"
	for _, test := range []struct{ name, text, want string }{
		{"empty", "", "f: the file is empty"},
		{"blank", "  \n\n", "f: the file is empty"},
		{"comment only", "# only a comment\n", "f: the file is empty"},
		{"two documents", good + "---\n" + good, "f:11: holds 2 YAML documents, one is needed"},
		{"a list", "- a\n- b\n", "f:1: must be a mapping of fields, found a list"},
		{"a word", "hello", "f:1: must be a mapping of fields, found a single value"},
		{"a number", "42", "f:1: must be a mapping of fields, found a single value"},
		{"null", "null", "f:1: must be a mapping of fields, found nothing"},
		{"a tag above", "!!map\n" + good, "f:1: must be a mapping of fields, found a tag, which is not supported"},
		{"an anchor above", "&a\n" + good, "f:1: must be a mapping of fields, found an anchor or alias, which is not supported"},
		{"one brace", "{", "f:1: not readable as YAML: could not find flow mapping end token '}'"},
		{"UTF-16", "\xff\xfec\x00", "f:1: the text is not UTF-8; save the file as UTF-8"},
		{"a number for a name", "1: 2\n", lists().Replace(missing + "f:1: 1: unknown field; allowed: <fields>")},
		{"nested too deeply", "claim: a\nwhy: " + strings.Repeat("[", 33) + "\n", "f:2: more than 32 brackets are open"},
		{"nested, not too deeply", "why: " + strings.Repeat("[", 32) + strings.Repeat("]", 32) + "\n", missing + "f:1: why: must be a single value, found a list"},
		{"a long name", strings.Repeat("x", 300) + ": 1\n", lists().Replace(missing + "f:1: " + strings.Repeat("x", 80) + "…: unknown field; allowed: <fields>")},
		{"too long", good + strings.Repeat("#", MostBytes), "f: is too long, at most 32768 bytes are read"},
	} {
		if _, err := ReadClaim("f", []byte(test.text)); err == nil || err.Error() != test.want {
			t.Errorf("%s:\n got %v\nwant %s", test.name, err, test.want)
		}
	}
}

// Editors and shells write the same text in several ways.
func TestSameClaimHoweverSaved(t *testing.T) {
	want, err := ReadClaim("f", []byte(good))
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{
		"CRLF":                strings.ReplaceAll(good, "\n", "\r\n"),
		"CR":                  strings.ReplaceAll(good, "\n", "\r"),
		"byte-order mark":     "\ufeff" + good,
		"both":                "\ufeff" + strings.ReplaceAll(good, "\n", "\r\n"),
		"start and end":       "---\n" + good + "...\n",
		"directive":           "%YAML 1.2\n---\n" + good,
		"no last line end":    strings.TrimSuffix(good, "\n"),
		"comments":            "# mine\n" + strings.ReplaceAll(good, "\n", " # so\n"),
		"tab after the colon": strings.ReplaceAll(good, ": ", ":\t"),
		"blocks": strings.NewReplacer(
			"people: [ansur2-men, ansur2-women]", "people:\n  - ansur2-men\n  - ansur2-women",
			"change: {arm_length: +10 cm}", "change:\n  arm_length: +100 mm",
			"says: Longer", "says: >\n  Longer", "flag harder.", "flag\n  harder.").Replace(good),
		"quotes": strings.NewReplacer("claim: mine", `"claim": 'mine'`, "+10 cm", `"+10 cm"`).Replace(good),
	} {
		got, err := ReadClaim("f", []byte(text))
		if err != nil {
			t.Errorf("%s: %v", name, err)
		} else if !reflect.DeepEqual(got, want) {
			t.Errorf("%s: read as %+v, want %+v", name, got, want)
		}
	}
	// The line of a fault is that of the file, not of what is left of it.
	_, err = ReadClaim("f", []byte("\ufeff"+strings.ReplaceAll(with(t, "hold:", "hild:"), "\n", "\r\n")))
	var fault *Error
	if !errors.As(err, &fault) || fault.Line != 3 || fault.Field != "hild" || fault.File != "f" {
		t.Errorf("the fault is %+v, want field hild on line 3 of f", fault)
	}
}

// All faults of a file are told at once, in the order of their lines.
func TestAllFaultsAtOnce(t *testing.T) {
	text := strings.NewReplacer("+10 cm", "10", "increase", "more", "0.01 BW", "0 BW").Replace(good)
	_, err := ReadClaim("f", []byte(text))
	want := `f:5: change.arm_length: "10": a length or a relative change needs its unit: write "172 cm" or "5 ft 8 in" or "+5 %"
f:7: expect: unknown name "more" (did you mean increase?); allowed: increase, decrease, none
f:8: matters: must be positive, found "0 BW"`
	if err == nil || err.Error() != want {
		t.Errorf("got %v\nwant %s", err, want)
	}
}

// A fault that can only be found when everything is read names its line too.
func TestFaultsOfTheWholeClaim(t *testing.T) {
	_, err := ReadClaim("f", []byte(strings.NewReplacer("quantity: required_force", "quantity: shoulder_moment", "0.01 BW", "0.01 BW·m").Replace(good)))
	want := "f:6: quantity: human-flag under two-condition gives no shoulder_moment"
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

func read(t *testing.T, text string) *claim.Claim {
	t.Helper()
	return golden.Must(ReadClaim("f", []byte(text)))(t)
}

func deg(d float64) float64 { return d * math.Pi / 180 }

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-15*math.Max(1, math.Abs(b)) }

func TestChanges(t *testing.T) {
	for _, test := range []struct {
		change string
		want   scenario.Change
	}{
		{"{arm_length: +10 cm}", scenario.Change{Body: body.Change{Of: body.Amounts{body.ArmLength: {Metres: 0.1}}}}},
		{"{arm_length: −7 cm}", scenario.Change{Body: body.Change{Of: body.Amounts{body.ArmLength: {Metres: -0.07}}}}},
		{"{arm_length: +2 in}", scenario.Change{Body: body.Change{Of: body.Amounts{body.ArmLength: {Metres: 0.0508}}}}},
		{"{leg_length: -3 %}", scenario.Change{Body: body.Change{Of: body.Amounts{body.LegLength: {Share: -0.03}}}}},
		{"{shoulder_breadth: +15 mm}", scenario.Change{Body: body.Change{Of: body.Amounts{body.ShoulderBreadth: {Metres: 0.015}}}}},
		{"{size: +5 %}", scenario.Change{Body: body.Change{Of: body.Amounts{body.Size: {Share: 0.05}}}}},
		{"{size: -4%}", scenario.Change{Body: body.Change{Of: body.Amounts{body.Size: {Share: -0.04}}}}},
		{"{added_mass: {trunk: 9 kg}}", scenario.Change{Body: body.Change{Mass: []body.AddedMass{{Region: body.Trunk, Kilograms: 9}}}}},
		// The share that works is that of all the mass, wherever it stands.
		{"{added_mass: {working_share: 40 %, arms: 2 kg, upper_trunk: 3 lb}}", scenario.Change{Body: body.Change{Mass: []body.AddedMass{
			{Region: body.Arms, Kilograms: 2, Working: 0.4}, {Region: body.UpperTrunk, Kilograms: 1.36077711, Working: 0.4}}}}},
		{"{load: {ankles: 2 kg, belt: 22 lb}}", scenario.Change{Load: body.Load{body.AtAnkles: 2, body.AtHips: 9.97903214}}},
		{"{assist: {hips: 20 kg}, load: {vest: 4 kg}}", scenario.Change{Load: body.Load{body.AtHips: -20, body.AtChest: 4}}},
		{"{lost_mass: {legs: 1.5 kg}}", scenario.Change{Body: body.Change{Mass: []body.AddedMass{{Region: body.Legs, Kilograms: -1.5}}}}},
		// With a sign an angle is a turn, without one a place.
		{"{arm_angle: +5 deg}", scenario.Change{Arms: &scenario.Arms{Turn: new(deg(5))}}},
		{"{arm_angle: -5 deg}", scenario.Change{Arms: &scenario.Arms{Turn: new(-deg(5))}}},
		{"{arm_angle: 20 deg}", scenario.Change{Arms: &scenario.Arms{Angle: new(deg(20))}}},
		{"{hand_spacing: widest}", scenario.Change{Arms: &scenario.Arms{Angle: new(hold.FlagLeastAngle)}}},
		{"{hand_spacing: narrowest}", scenario.Change{Arms: &scenario.Arms{Angle: new(hold.FlagMostAngle)}}},
		{"{hand_spacing: +12 cm}", scenario.Change{Arms: &scenario.Arms{Spacing: &body.Amount{Metres: 0.12}}}},
		{"{hand_spacing: -8 %}", scenario.Change{Arms: &scenario.Arms{Spacing: &body.Amount{Share: -0.08}}}},
		{"{legs: straddle 45 deg}", scenario.Change{Legs: &hold.Legs{Form: hold.Straddle, Angle: deg(45)}}},
		{"{legs: {form: straddle, angle: 35 deg}}", scenario.Change{Legs: &hold.Legs{Form: hold.Straddle, Angle: deg(35)}}},
		{"{legs: tuck}", scenario.Change{Legs: &hold.Legs{Form: hold.Tuck, Hip: deg(120), Knee: deg(135)}}},
		{"{legs: {form: advanced-tuck, knee: 95 deg}}", scenario.Change{Legs: &hold.Legs{Form: hold.AdvancedTuck, Hip: deg(90), Knee: deg(95)}}},
		{"{tilt: -6 deg}", scenario.Change{Tilt: new(-deg(6))}},
		{"{assume: {grip_strength: 0.3}}", scenario.Change{Assume: map[assume.ID]float64{assume.StrengthOf(muscle.Grip): 0.3}}},
		{"{leg_length: +4 cm, arm_length: +3 cm}\nposture: same_angle", scenario.Change{Posture: scenario.SameAngle,
			Body: body.Change{Of: body.Amounts{body.LegLength: {Metres: 0.04}, body.ArmLength: {Metres: 0.03}}}}},
	} {
		c := read(t, with(t, "{arm_length: +10 cm}", test.change))
		if !alike(reflect.ValueOf(*c.Change), reflect.ValueOf(test.want)) {
			t.Errorf("%s is read as %+v, want %+v", test.change, *c.Change, test.want)
		}
	}
}

// alike is reflect.DeepEqual but for the rounding of degrees to radians.
func alike(a, b reflect.Value) bool {
	switch a.Kind() {
	case reflect.Float64:
		return near(a.Float(), b.Float())
	case reflect.Struct:
		for i := range a.NumField() {
			if !alike(a.Field(i), b.Field(i)) {
				return false
			}
		}
		return true
	case reflect.Pointer:
		return a.Pointer() == b.Pointer() || !a.IsNil() && !b.IsNil() && alike(a.Elem(), b.Elem())
	case reflect.Slice, reflect.Array:
		if a.Len() != b.Len() {
			return false
		}
		for i := range a.Len() {
			if !alike(a.Index(i), b.Index(i)) {
				return false
			}
		}
		return true
	}
	return reflect.DeepEqual(a.Interface(), b.Interface())
}

func TestFieldsOfAClaim(t *testing.T) {
	c := read(t, `
claim: other
says:  A   sentence.
why: Because.
hold: human-flag
legs: {form: tuck, hip: 100 deg}
tilt: 4 deg
people:
  weights: {ansur2-women: 3}
  from: [ansur2-men, ansur2-women]
  where: {stature: 160..175 cm, bmi: 18.5..27, span/stature: 1.01.., mass: ..134 lb}
contrast: {by: span/stature, groups: quarters}
quantity: shoulder_moment
expect: decrease
matters: 0.02 BW·m
matters_because: So.
claimed: 0.1 BW·m
within: 0.08..0.12 BW·m
share: 90 %
models: [equilibrium]
regional_masses: [residual, full]
segments: [dempster-winter, deleva-1996]
`)
	infinite := math.Inf(1)
	stature, ratio := anthro.Of(anthro.Stature), anthro.Ratio(anthro.Span, anthro.Stature)
	want := &claim.Claim{
		Name: "other", Says: "A sentence.", Why: "Because.",
		Contrast: &claim.Contrast{By: ratio, Share: 0.25},
		Demand:   hold.ShoulderMoment, Expect: claim.Decrease, Matters: claim.Threshold{Absolute: 0.02}, Because: "So.", Claimed: &claim.Claimed{Value: 0.1, Low: 0.08, High: 0.12}, Share: 0.9,
		Scenario: scenario.Scenario{
			Hold: hold.HumanFlag, Legs: hold.Legs{Form: hold.Tuck, Hip: deg(100), Knee: deg(135)}, Tilt: deg(4),
			People: []scenario.Group{{Population: "ansur2-men", Weight: 1}, {Population: "ansur2-women", Weight: 3}},
			Where: []anthro.Range{{Of: anthro.BodyMassIndex, Low: 18.5, High: 27}, {Of: anthro.Of(anthro.Mass), Low: -infinite, High: 134 * 0.45359237},
				{Of: ratio, Low: 1.01, High: infinite}, {Of: stature, Low: 1.6, High: 1.75}},
			Models: []scenario.Model{
				{Statics: hold.Equilibrium, Masses: body.Residual, Segments: "dempster-winter"},
				{Statics: hold.Equilibrium, Masses: body.Full, Segments: "dempster-winter"},
				{Statics: hold.Equilibrium, Masses: body.Residual, Segments: "deleva-1996"},
				{Statics: hold.Equilibrium, Masses: body.Full, Segments: "deleva-1996"},
			},
		},
	}
	if !reflect.DeepEqual(c, want) {
		t.Errorf("got  %+v\nwant %+v", c, want)
	}
}

// What is left out has a stated default.
func TestDefaults(t *testing.T) {
	c := read(t, `{claim: c, says: s, hold: human-flag, people: ansur2-women, contrast: {by: mass}, expect: decrease}`)
	want := &claim.Claim{Name: "c", Says: "s", Contrast: &claim.Contrast{By: anthro.Of(anthro.Mass), Share: 1.0 / 3}, Demand: hold.Difficulty,
		Expect: claim.Decrease, Share: claim.DefaultShare,
		Scenario: scenario.Scenario{Hold: hold.HumanFlag, People: scenario.Survey("ansur2-women"),
			Models: []scenario.Model{scenario.DefaultModel(hold.Equilibrium)}}}
	if !reflect.DeepEqual(c, want) {
		t.Errorf("got  %+v\nwant %+v", c, want)
	}
	// Unstated models are those that judge and know the quantity.
	c = read(t, strings.NewReplacer("required_force", "shoulder_moment", "0.01 BW", "0.01 BW·m", "models: [two-condition, equilibrium]\n", "").Replace(good))
	if want := []scenario.Model{scenario.DefaultModel(hold.Equilibrium)}; !reflect.DeepEqual(c.Models, want) {
		t.Errorf("models %v, want %v", c.Models, want)
	}
}

func TestParseCondition(t *testing.T) {
	r, err := ParseCondition(" stature =160..175 cm")
	if want := (anthro.Range{Of: anthro.Of(anthro.Stature), Low: 1.6, High: 1.75}); err != nil || r != want {
		t.Errorf("got %v, %v; want %v", r, err, want)
	}
	for text, want := range map[string]string{
		"bmi":            `bmi: write it as in "bmi=18.5..27"`,
		"bmi=20":         `bmi=20: "20": a range has ".." between its ends, as in "18.5..27", "..27" or "20.."`,
		"mass=60..70 cm": `mass=60..70 cm: "60..70 cm": "cm" is the unit of a length, but a mass is needed here: write "61 kg" or "134 lb"`,
		"massa=1..2":     `massa=1..2: unknown quantity "massa" (did you mean mass?); allowed: bmi, age, a measurement, or two of them as in span/stature; measurements: <measurements>`,
		"":               `: write it as in "bmi=18.5..27"`,
	} {
		if _, err := ParseCondition(text); err == nil || err.Error() != lists().Replace(want) {
			t.Errorf("%q: got %v, want %s", text, err, want)
		}
	}
}

func TestShippedClaims(t *testing.T) {
	if len(ClaimNames()) == 0 {
		t.Fatal("no claims are shipped")
	}
	shapes := map[string]string{}
	for _, name := range ClaimNames() {
		c, err := ShippedClaim(name)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if err := c.Check(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if c.Name != name {
			t.Errorf("%s.yaml holds the claim %s", name, c.Name)
		}
		if c.Why == "" {
			t.Errorf("%s does not say why it is believed", name)
		}
		if own := (c.Matters != claim.Threshold{}); own && c.Because == "" {
			t.Errorf("%s does not say why its threshold is what it is", name)
		}
		if promises(c.Says) != (c.Claimed != nil) && !sizeless[name] {
			t.Errorf("%s: %q, but claimed is %v", name, c.Says, c.Claimed)
		}
		if c.Claimed != nil && !strings.Contains(c.Why, "common practice, no source") {
			t.Errorf("%s does not say where the size that it promises comes from: %s", name, c.Why)
		}
		// Two claims that differ only in a number are one claim and a sweep.
		text := golden.Must(ClaimText(name))(t)
		shape := shapeOf(string(text))
		if other, taken := shapes[shape]; taken {
			t.Errorf("%s and %s differ in numbers alone:\n%s", name, other, shape)
		}
		shapes[shape] = name
	}
}

// promises reports whether a sentence names a size.
func promises(says string) bool { return sizes.MatchString(says) }

var sizes = regexp.MustCompile(`\b(half|halves?|quarter|fifth|tenth|per cent|by a step)\b`)

// sizeless are the sentences in which a size is not how much the quantity moves.
var sizeless = map[string]bool{
	"more-upper-body-muscle": true, // half of what is added
	"handstand-wall-push":    true, // that it does not move
}

// shapeOf is what a claim asks without its words and its numbers.
func shapeOf(text string) string {
	var shape []string
	for _, line := range strings.Split(text, "\n") {
		switch field, _, _ := strings.Cut(line, ":"); field {
		case "claim", "says", "why", "matters_because", "matters", "claimed", "within", "share", "":
		default:
			shape = append(shape, strings.Map(func(r rune) rune {
				if r >= '0' && r <= '9' || r == '.' {
					return -1
				}
				return r
			}, line))
		}
	}
	return strings.Join(shape, "\n")
}

// twins are pairs of claims that may share their change and quantity, each with its
// reason; the first in the alphabet comes first.
var twins = map[[2]string]string{}

// Claims that make the same change and ask for the same quantity, and differ in how
// much or in which hold alone, are one claim tried twice.
func TestNoTwins(t *testing.T) {
	names, over := map[string]string{}, map[*hold.Hold]bool{}
	for _, name := range ClaimNames() {
		c := golden.Must(ShippedClaim(name))(t)
		over[c.Hold] = true
		kind := kindOf(c)
		if other, taken := names[kind]; taken && twins[[2]string{other, name}] == "" {
			t.Errorf("%s and %s are twins: both are about %s", name, other, kind)
		}
		names[kind] = name
	}
	if n := len(ClaimNames()); n < 24 || len(over) < 8 {
		t.Errorf("%d claims over %d holds, at least 24 over 8 are wanted", n, len(over))
	}
	// The test must be able to see twins.
	a, b := read(t, claimOf("arm_length: +10 cm", "human-flag")), read(t, claimOf("arm_length: -3 %", "front-lever"))
	if kindOf(a) != kindOf(b) {
		t.Errorf("%s and %s are not seen as twins", kindOf(a), kindOf(b))
	}
	if c := read(t, claimOf("leg_length: +10 cm", "human-flag")); kindOf(a) == kindOf(c) {
		t.Errorf("arms and legs are taken for twins: %s", kindOf(c))
	}
}

func claimOf(change, hold string) string {
	return "claim: a\nsays: A.\nhold: " + hold + "\npeople: [ansur2-men]\nchange: {" + change + "}\nexpect: increase\nmatters: 1 %\n"
}

// changeNames lists the fields of a change: those of the table and those of the hold.
func changeNames() string {
	names := strings.Fields("added_mass arm_angle assist assume hand_spacing hold legs load lost_mass mass pose stature tilt")
	for t := range body.NumChanges {
		names = append(names, t.String())
	}
	slices.Sort(names)
	return strings.Join(names, ", ")
}

// kindOf is what a claim changes, without by how much, and what of: the change's own
// fields, regions, leg forms and assumptions, the quantity and the posture rule.
func kindOf(c *claim.Claim) string {
	var kinds []string
	if t := c.Contrast; t != nil {
		kinds = append(kinds, "people by "+t.Name())
	}
	if ch := c.Change; ch != nil {
		if ch.Hold != nil {
			kinds = append(kinds, "the hold "+ch.Hold.Name)
		}
		for _, f := range []struct {
			name string
			set  bool
		}{
			{"tilt", ch.Tilt != nil}, {"placed arms", ch.Arms != nil},
		} {
			if f.set {
				kinds = append(kinds, f.name)
			}
		}
		for t, by := range ch.Body.Of {
			if by != (body.Amount{}) {
				kinds = append(kinds, body.Trait(t).String())
			}
		}
		for _, m := range ch.Body.Mass {
			kinds = append(kinds, "mass of "+m.Region.String())
		}
		after := c.LoadAfter()
		for p := range after {
			if c.Load[p] != after[p] { // here or there
				kinds = append(kinds, "carried at the "+body.Point(p).String())
			}
		}
		if ch.Legs != nil {
			kinds = append(kinds, "legs "+ch.Legs.Form.String())
		}
		if ch.Pose != nil {
			for v, value := range *ch.Pose {
				if value != c.Pose[v] {
					kinds = append(kinds, hold.Variant(v).String())
				}
			}
		}
		for id := range ch.Assume {
			kinds = append(kinds, id.String())
		}
		kinds = append(kinds, "posture "+ch.Posture.String())
	}
	slices.Sort(kinds)
	return strings.Join(kinds, ", ") + "; " + c.Demand.String()
}

func TestUnknownShippedClaim(t *testing.T) {
	_, err := ShippedClaim("longer-arm")
	want := `unknown claim "longer-arm" (did you mean longer-arms?); shipped: ` + strings.Join(ClaimNames(), ", ") + "; a file's path needs a slash or a dot"
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

func TestLoadClaim(t *testing.T) {
	folder := t.TempDir()
	file := filepath.Join(folder, "mine.yaml")
	golden.OK(t, os.WriteFile(file, []byte(good), 0o600))
	if c, err := LoadClaim(file); err != nil || !reflect.DeepEqual(c, read(t, good)) {
		t.Errorf("got %+v, %v", c, err)
	}
	if _, err := LoadClaim(filepath.Join(folder, "yours.yaml")); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a missing file gives %v", err)
	}
	if _, err := LoadClaim(folder); err == nil || err.Error() != folder+": is a folder, a file is needed" {
		t.Errorf("a folder gives %v", err)
	}
	// An endless file is not read to its end.
	if _, err := os.Stat("/dev/zero"); err == nil {
		if _, err := LoadClaim("/dev/zero"); err == nil || err.Error() != "/dev/zero: is too long, at most 32768 bytes are read" {
			t.Errorf("an endless file gives %v", err)
		}
	}
	golden.OK(t, os.WriteFile(file, make([]byte, 2<<20), 0o600))
	if _, err := LoadClaim(file); err == nil || err.Error() != file+": is too long, at most 32768 bytes are read" {
		t.Errorf("two megabytes give %v", err)
	}
}

// Reading hostile text costs little, whatever it is.
func TestHostileText(t *testing.T) {
	for _, part := range []string{"[", "{a: ", "- ", "? ", "&a ", "!!a ", "*a ", "a:\n", "- a\n", "'", "a: |\n", "a: &a [*a]\n"} {
		start := time.Now()
		if _, err := ReadClaim("f", []byte(strings.Repeat(part, MostBytes/len(part)))); err == nil {
			t.Errorf("%q many times is a claim", part)
		}
		// Far above what it takes; quadratic time on a megabyte takes minutes.
		if took := time.Since(start); took > 10*time.Second {
			t.Errorf("%q many times takes %v", part, took)
		}
	}
}

// FuzzReadClaim checks that no text makes the reader panic, that every message
// is of printable lines that name the file, and that what is accepted passes
// Check.
func FuzzReadClaim(f *testing.F) {
	for _, name := range ClaimNames() {
		text := golden.Must(ClaimText(name))(f)
		f.Add(text)
	}
	for _, test := range faults {
		f.Add([]byte(with(f, test.old, test.next)))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		c, err := ReadClaim("f", text)
		if err == nil {
			if err := c.Check(); err != nil {
				t.Errorf("an accepted claim fails its check: %v", err)
			}
			return
		}
		if c != nil {
			t.Error("a claim beside an error")
		}
		for _, line := range strings.Split(err.Error(), "\n") {
			if !strings.HasPrefix(line, "f:") || strings.ContainsFunc(line, isControl) {
				t.Errorf("message %q", line)
			}
		}
	})
}

func isControl(r rune) bool { return r < ' ' || r == 0x7f }
