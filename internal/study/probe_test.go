package study

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"time"
)

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

func TestProbe(t *testing.T) {
	r := func(old, new string) string {
		if !strings.Contains(good, old) {
			panic(old)
		}
		return strings.Replace(good, old, new, 1)
	}
	ch := "{arm_length: +10 cm}"
	for _, text := range []string{
		good,
		r("quantity:", "quantitty:"), r("human-flag", "humanflag"), r("required_force", "requiredforce"), r("equilibrium", "equilibrum"),
		r("ansur2-men", "ansur-men"), r("human-flag", "flag"), r("required_force", "force"),
		r("ansur2-men, ansur2-women", "ansur2-men, ansur2-men"),
		r("[two-condition, equilibrium]", "[equilibrium, equilibrium]"),
		r("[two-condition, equilibrium]", "[]"),
		r("[ansur2-men, ansur2-women]", "[]"),
		r("[ansur2-men, ansur2-women]", "{from: [ansur2-men], where: {statur: 160..175 cm}}"),
		r("[ansur2-men, ansur2-women]", "{from: [ansur2-men], where: {stature: 160..175}}"),
		r("[ansur2-men, ansur2-women]", "{from: [ansur2-men], where: {stature: 175..160 cm}}"),
		r("[ansur2-men, ansur2-women]", "{from: [ansur2-men], where: {stature: 170 cm}}"),
		r("[ansur2-men, ansur2-women]", "{from: [ansur2-men], where: {stature: 60..70 kg}}"),
		r("[ansur2-men, ansur2-women]", "{from: [ansur2-men], where: {}}"),
		r("[ansur2-men, ansur2-women]", "{from: [ansur2-men], where: }"),
		r("[ansur2-men, ansur2-women]", "{where: {bmi: 18..25}}"),
		r("[ansur2-men, ansur2-women]", "{from: [ansur2-men], weights: {ansur2-women: 2}}"),
		r("[ansur2-men, ansur2-women]", "{from: [ansur2-men], weights: {ansur2-men: 0}}"),
		r("[ansur2-men, ansur2-women]", "{from: [ansur2-men], weights: {ansur2-men: -1}}"),
		r("[ansur2-men, ansur2-women]", "{from: [ansur2-men], weights: {ansur2-men: .inf}}"),
		r("[ansur2-men, ansur2-women]", "{from: [ansur2-men], weights: 3}"),
		r("[ansur2-men, ansur2-women]", "ansur2-men"),
		r("[ansur2-men, ansur2-women]", "ansur2-men, ansur2-women"),
		r("[ansur2-men, ansur2-women]", "[{ansur2-men: 1}]"),
		r(ch, "{arm_length: 10}"), r(ch, "{arm_length: 10 kg}"), r(ch, "{arm_length: .nan}"), r(ch, "{arm_length: .inf}"), r(ch, "{arm_length: nan cm}"), r(ch, "{arm_length: 1e400 cm}"),
		r(ch, "{arm_length: 10cm}"), r(ch, "{arm_length: 0 cm}"), r(ch, "{arm_length: }"), r(ch, "{}"), r(ch, "arm_length: +10 cm"), r(ch, "+10 cm"), r(ch, "[arm_length]"), r(ch, ""), r(ch, "~"),
		r(ch, "{arm_lenght: +10 cm}"), r(ch, "{size: -95 %}"), r(ch, "{size: +0 %}"), r(ch, "{size: 5 cm}"), r(ch, "{size: 1.05}"),
		r(ch, "{added_mass: {trunk: -3 kg}}"), r(ch, "{added_mass: {trunk: 0 kg}}"), r(ch, "{added_mass: {trunc: 3 kg}}"), r(ch, "{added_mass: 3 kg}"), r(ch, "{added_mass: {trunk: 3}}"), r(ch, "{added_mass: {trunk: 3 cm}}"),
		r(ch, "{added_mass: {working_share: 50 %}}"), r(ch, "{added_mass: {arms: 3 kg, working_share: 150 %}}"), r(ch, "{added_mass: {arms: 3 kg, working_share: 1.5}}"),
		r(ch, "{legs: straddle}"), r(ch, "{legs: straddle 45}"), r(ch, "{legs: straddle 100 deg}"), r(ch, "{legs: tuck 45 deg}"), r(ch, "{legs: stradle 45 deg}"), r(ch, "{legs: {form: straddle}}"), r(ch, "{legs: {form: tuck, angle: 30 deg}}"), r(ch, "{legs: {hip: 30 deg}}"), r(ch, "{legs: {form: straddle, angle: 45 deg, hip: 20 deg}}"), r(ch, "{legs: together}"), r(ch, "{legs: 45 deg}"), r(ch, "{legs: straddle -10 deg}"), r(ch, "{legs: straddle 0 deg}"), r(ch, "{legs: {form: straddle, angle: 0 deg}}"), r(ch, "{legs: straddle  45 deg}"), r(ch, "{legs: one leg}"),
		r(ch, "{arm_angle: 20}"), r(ch, "{arm_angle: 200 deg}"), r(ch, "{arm_angle: 5 deg}"), r(ch, "{arm_angle: +0 deg}"), r(ch, "{arm_angle: +5 deg, hand_spacing: widest}"), r(ch, "{hand_spacing: wide}"), r(ch, "{hand_spacing: widst}"), r(ch, "{hand_spacing: 10 cm}"), r(ch, "{hand_spacing: +10}"), r(ch, "{hand_spacing: +0 cm}"), r(ch, "{hand_spacing: +10 deg}"),
		r(ch, "{tilt: 100 deg}"), r(ch, "{tilt: 0 deg}"), r("change:", "tilt: 500 deg\nchange:"), r("change:", "tilt: 5\nchange:"), r("change:", "legs: straddle 45 deg\nchange:"),
		r(ch, "{assume: {angle_slop: 0.3}}"), r(ch, "{assume: {angle_slope: 3}}"), r(ch, "{assume: {angle_slope: .nan}}"), r(ch, "{assume: {size_exponent: 2.5}}"), r(ch, "{assume: {}}"), r(ch, "{assume: angle_slope}"),
		r("change: "+ch, "contrast: {by: stature}"), r("change: "+ch, "contrast: {by: statur}"), r("change: "+ch, "contrast: {by: sex}"), r("change: "+ch, "contrast: {groups: thirds}"), r("change: "+ch, "contrast: {by: stature, groups: third}"), r("change: "+ch, "contrast: {by: stature, strength: by_mass}"), r("change: "+ch, "contrast: stature"), r("change: "+ch, "contrast: {by: span/statur}"), r("change: "+ch, "contrast: {by: stature/stature}"),
		r("change: "+ch, "contrast: {by: stature}\nposture: best"),
		r("change:", "contrast: {by: stature}\nchange:"), r("change: "+ch+"\n", ""),
		r("quantity:", "posture: bset\nquantity:"), r(ch, "{hand_spacing: widest}\nposture: best"),
		r("increase", "harder"), r("increase", "increases"), r("increase", ""), r("increase", "none"), r("increase", "[increase]"), r("increase", "{a: b}"),
		r("0.01 BW", "0.01"), r("0.01 BW", "0 BW"), r("0.01 BW", "-1 BW"), r("0.01 BW", "1 kg"), r("0.01 BW", "1 %"), r("0.01 BW", "0 %"), r("0.01 BW", ".nan"), r("0.01 BW", "inf"), r("0.01 BW", "0.01BW"), r("0.01 BW", "0,01 BW"), r("0.01 BW", ""), r("0.01 BW", "[0.01 BW]"), r("0.01 BW", "1 N"),
		r("models:", "share: 0.4\nmodels:"), r("models:", "share: 95\nmodels:"), r("models:", "share: 95 %\nmodels:"), r("models:", "share: 1\nmodels:"), r("models:", "share: 0.95 BW\nmodels:"), r("models:", "share: .nan\nmodels:"), r("models:", "share: yes\nmodels:"),
		r("claim: mine\n", ""), "claim: mine\n", r("hold:", "claim: again\nhold:"), r("claim: mine", "claim:"), r("claim: mine", "claim: ''"), r("claim: mine", "claim: [a]"), r("claim: mine", "claim: \"a\\u001b[31mb\""),
		r("required_force", "difficulty"), r("required_force", "shoulder_moment"), r("required_force", "shoulder_moment\nregional_masses: [residual, ful]\nsegments: [de-leva]"),
		r("says: Longer arms make", "says: &a Longer arms make"), r("claim: mine", "claim: *a"), r("claim: mine", "claim: !!str mine"), r("claim: mine", "<<: {a: b}"), r("claim: mine", "&a claim: mine"), r("claim: mine", "? claim\n: mine"), r("claim: mine", "? [claim]\n: mine"), r("claim: mine", "*a : mine"),
		"!!map\n" + good, "&a\n" + good,
		r("hold: human", "\thold: human"), r("hold: human", "hold:\thuman"), r("change: "+ch, "change:\n\tarm_length: +10 cm"), r("says: L", "says: 'L"), r("says: L", "says: Arms: l"), r("says: L", "says: \"L"), r("hold: h", "  hold: h"), r("change: {", "change: {{"), r("change: {arm_length: +10 cm}", "change: {arm_length: +10 cm"), r("hold: human-flag", "hold human-flag"), r("hold: human-flag", "hold:human-flag"), r("says: L", "says: @L"), r("says: L", "says: %L"), r("says: L", "says: `L"), r("+10 cm", "+10 %cm"),
		strings.ReplaceAll(good, "\n", "\r\n"), "\ufeff" + good, strings.ReplaceAll(good, "\n", "\r"), r("flag harder", "flag h\xe4rter"), "", "  \n\n", "# only a comment\n", "---\n" + good, good + "---\n" + good, good + "...\n", "---\n---\n" + good, "- a\n- b\n", "hello", "42", "null", "%YAML 1.2\n---\n" + good, "\x00", good + "\x00", "{", "[", "}", "a: b: c", "? ", ": ", "- : -", "|", "says: |\n  two\n  lines\n", "says: >\n", "1: 2\n", "~: x\n", "[a]: b\n", "true: x\n", "\xff\xfe" + "c\x00",
		"change: {arm_length: [[[[1]]]]}",
		"ch" + strings.Repeat("x", 300) + ": 1\n",
		r("human-flag", strings.Repeat("human-flag", 50)),
	} {
		start := time.Now()
		_, err := ReadClaim("f.yaml", []byte(text))
		d := ""
		if time.Since(start) > 50*time.Millisecond {
			d = time.Since(start).String()
		}
		what := ""
		gl := strings.Split(good, "\n")
		for i, l := range strings.Split(text, "\n") {
			if i >= len(gl) || gl[i] != l {
				what = l
				break
			}
		}
		if len(what) > 90 {
			what = what[:90]
		}
		m := fmt.Sprint(err)
		m = strings.ReplaceAll(m, "f.yaml", "F")
		fmt.Printf("%q %s\n", what, d)
		for _, l := range strings.Split(m, "\n") {
			if len(l) > 230 {
				l = l[:230] + "…"
			}
			fmt.Println("     ", l)
		}
	}
}

func TestDeep(t *testing.T) {
	if os.Getenv("DEEP") == "" {
		t.Skip()
	}
	for _, n := range []int{1000, 10000, 100000} {
		for _, s := range []string{"[", "{a: ", "- ", "? ", "&a ", "!!a ", "a:\n", "{", "*a ", "- a\n", "a: |\n", "'", "a: b\n"} {
			start := time.Now()
			_, err := ReadClaim("f", []byte(strings.Repeat(s, n)))
			e := fmt.Sprint(err)
			if len(e) > 80 {
				e = e[:80]
			}
			fmt.Printf("%q %d %v %s\n", s, n, time.Since(start), e)
		}
	}
}
