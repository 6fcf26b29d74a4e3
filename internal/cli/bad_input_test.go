package cli

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
)

const goodClaim = "claim: a\nsays: A.\nhold: human-flag\npeople: ansur2-men\nchange: {arm_length: +1 cm}\nexpect: increase\nmatters: 1 %\n"

// Every bad input is one clear line on standard error and code 2 (1 where a
// file or folder fails); nothing is printed and nothing is left in --out.
func TestBadInput(t *testing.T) {
	folder := t.TempDir()
	write := golden.Writer(t, folder)
	// file is a claim's file with one thing in it altered.
	file := func(name, old, next string) string {
		t.Helper()
		return write(name, altered(t, goodClaim, old, next))
	}
	inTheWay := write("in-the-way", "x")
	test := func(args ...string) []string { return append([]string{"claim", "test"}, args...) }
	arms := func(args ...string) []string { return test(append([]string{"longer-arms"}, args...)...) }
	draw := func(args ...string) []string { return append([]string{"people", "draw"}, args...) }

	for _, c := range []struct {
		code int
		want string
		args []string
	}{
		{2, `unknown command "clam" for "counterpoise" (did you mean claim?); known are claim, `, []string{"clam"}},
		{2, `unknown command "tset" for "counterpoise claim" (did you mean test?); known are list, show, test`, []string{"claim", "tset"}},
		{2, `unknown command "bsh" for "counterpoise completion" (did you mean bash?)`, []string{"completion", "bsh"}},
		{2, `unknown command "clam"`, []string{"help", "clam"}},
		{2, `unknown command "tset" for "counterpoise claim" (did you mean test?)`, []string{"help", "claim", "tset"}},
		{2, `unknown command "extra" for "counterpoise version"`, []string{"version", "extra"}},
		{2, `unknown command "assumption" for "counterpoise data"`, []string{"data", "assumption"}},
		{2, "unknown flag: --workrs (did you mean --workers?)", arms("--workrs", "3")},
		{2, "unknown shorthand flag: 'x' in -x", []string{"-x"}},
		{2, "flag needs an argument: --n", arms("--n")},
		{2, "a claim's name or file is needed, or --all", test()},
		{2, "longer-arms and longer-arms are both the claim longer-arms", test("longer-arms", "longer-arms")},
		{2, "--all tests every shipped claim: leave the names out", test("longer-arms", "--all")},
		{2, `unknown claim "straddl" (did you mean straddle?)`, test("longer-arms", "straddl")},

		{2, `unknown claim "longer-arm" (did you mean longer-arms?); shipped are `, test("longer-arm")},
		{2, `unknown claim ""`, test("")},
		{2, `unknown claim "longer-arm" (did you mean longer-arms?)`, []string{"claim", "show", "longer-arm"}},
		{2, "./none.yaml: no such file or directory", test("./none.yaml")},
		{2, "is a folder, a file is needed", test(folder + "/.")},
		{2, inTheWay + ":1: must be a mapping of fields, found a single value", test(inTheWay)},
		{2, "misspelt.yaml:5: change.arm_lenght: unknown field (did you mean arm_length?); allowed are ", test(file("misspelt.yaml", "arm_length", "arm_lenght"))},
		{2, `bare.yaml:5: change.arm_length: "+1": a length or a relative change needs its unit`, test(file("bare.yaml", "+1 cm", "+1"))},
		{2, "change: body: the head cannot lose 60.0 kg", test(file("lost.yaml", "arm_length: +1 cm", "lost_mass: {head: 60 kg}"))},
		{2, "0 of 1,000,064 people drawn from ansur2-men match bmi 90..95", test(file("rare.yaml", "people: ansur2-men", "people: {from: ansur2-men, where: {bmi: 90..95}}"))},

		{2, "--n: found 0, allowed are 1 to 1000000000", arms("--n", "0")},
		{2, "--n: found -5, allowed are 1 to 1000000000", arms("--n", "-5")},
		{2, `--n: "1.5" is not a whole number such as 100000 or 1e5`, arms("--n", "1.5")},
		{2, `--n: "abc" is not a whole number`, arms("--n", "abc")},
		{2, `--n: "" is not a whole number`, arms("--n", "")},
		{2, `--n: "NaN" is not a whole number`, arms("--n", "NaN")},
		{2, `--n: "Inf" is not a whole number`, arms("--n", "Inf")},
		{2, `--n: "1e15" is more than 1000000000`, arms("--n", "1e15")},
		{2, "--max-n: found -3, allowed are 0 to 1000000000", arms("--max-n", "-3")},
		{2, "--workers: found -1, allowed are 0 to 1024", arms("--workers", "-1")},
		{2, "--workers: found 5000, allowed are 0 to 1024", arms("--workers", "5000")},
		{2, `--workers: "two" is not a whole number`, arms("--workers", "two")},
		{2, "--assumption-draws: found 7, allowed are 128 and more, or 0 for none", arms("--assumption-draws", "7")},
		{2, "--assumption-draws: found -128, allowed are 0 to 1048576", arms("--assumption-draws", "-128")},
		{2, "--assumption-draws: found 2000000, allowed are 0 to 1048576", arms("--assumption-draws", "2e6")},
		{2, `--seed: "x" is not a whole number from 0 to 18446744073709551615`, arms("--seed", "x")},
		{2, `--seed: "-1" is not`, arms("--seed", "-1")},
		{2, `--seed: "18446744073709551616" is not`, arms("--seed", "18446744073709551616")},
		{2, `--json: "maybe" is neither true nor false`, arms("--json=maybe")},

		{2, "--people nobody: unknown name; known are ansur2-men, ansur2-women", arms("--people", "nobody")},
		{2, "--people ansur2-man: unknown name (did you mean ansur2-men?)", arms("--people", "ansur2-man")},
		{2, "--people: ansur2-men is there twice", arms("--people", "ansur2-men,ansur2-men")},
		{2, "--people: ansur2-men is there twice", arms("--people", "ansur2-men", "--people", "ansur2-men")},
		{2, "--people: a name is missing", arms("--people", "")},
		{2, "--people: a name is missing", arms("--people", "ansur2-men,")},
		{2, "--models equilibrum: unknown name (did you mean equilibrium?)", arms("--models", "equilibrum")},
		{2, "--models: equilibrium is there twice", arms("--models", "equilibrium,equilibrium")},
		{2, "quantity: human-flag under two-condition gives no shoulder_moment",
			test(file("moment.yaml", "expect:", "quantity: shoulder_moment\nexpect:"), "--models", "two-condition")},
		{2, "--regional-masses half: unknown name; known are table, residual, full", arms("--regional-masses", "half")},
		{2, "--regional-masses: full is there twice", arms("--regional-masses", "full, full")},
		{2, "--segments deleva-1997: unknown name (did you mean deleva-1996?)", arms("--segments", "deleva-1997")},
		{2, "--assume top_shares=0.4: unknown assumption (did you mean top_share?); known are ", arms("--assume", "top_shares=0.4")},
		{2, "--assume =0.4: unknown assumption; known are ", arms("--assume", "=0.4")},
		{2, "--assume top_share: write name=value or name=low..high", arms("--assume", "top_share")},
		{2, `--assume top_share=: "" is not a number`, arms("--assume", "top_share=")},
		{2, "--assume: assumption top_share: 7 is not allowed, it must lie in 0..1 (share of body weight)", arms("--assume", "top_share=7")},
		{2, "--assume top_share=0.6..0.4: the low end of the range is above its high end", arms("--assume", "top_share=0.6..0.4")},
		{2, "--assume top_share=0.4..: a range of an assumption needs both ends", arms("--assume", "top_share=0.4..")},
		{2, "--assume top_share=0.6: top_share is there twice", arms("--assume", "top_share=0.4", "--assume", "top_share=0.6")},
		{2, `--assume top_share=NaN: "NaN" is not a number`, arms("--assume", "top_share=NaN")},
		{2, `--assume top_share=Inf: "Inf" is not a number`, arms("--assume", "top_share=Inf")},

		{2, "--out: a folder is needed, found an empty name", arms("--out", "")},
		{1, "--out " + inTheWay + ": not a directory", arms("--out", inTheWay)},
		{1, "--out " + inTheWay + "/below: not a directory", arms("--out", inTheWay+"/below")},
		{1, "--out /proc/nope: no such file or directory", arms("--out", "/proc/nope")},

		{2, `unknown people "nobody"; known are ansur2-men, ansur2-women`, draw("nobody")},
		{2, `unknown people "ansur-men" (did you mean ansur2-men?)`, []string{"people", "show", "ansur-men"}},
		{2, "--n: found 0", draw("ansur2-men", "--n", "0")},
		{2, "--workers: found -2", draw("ansur2-men", "--workers", "-2")},
		{2, `--where bmi: write it as in "bmi=18.5..27"`, draw("ansur2-men", "--where", "bmi")},
		{2, "--where bmu=18..27: unknown quantity \"bmu\" (did you mean bmi?); allowed are ", draw("ansur2-men", "--where", "bmu=18..27")},
		{2, `--where stature=160..175: "160..175": a length needs its unit`, draw("ansur2-men", "--where", "stature=160..175")},
		{2, "0 of 1,000,064 people drawn from ansur2-men match bmi 90..95", draw("ansur2-men", "--where", "bmi=90..95")},
		{1, "--out /proc/nope: no such file or directory", draw("ansur2-men", "--out", "/proc/nope")},
		{2, `unknown hold "human-flog" (did you mean human-flag?)`, []string{"hold", "show", "human-flog"}},
	} {
		args := c.args
		out := filepath.Join(t.TempDir(), "new", "out")
		if (slices.Equal(args[:1], []string{"claim"}) && len(args) > 1 && args[1] == "test" || args[0] == "people" && args[1] == "draw") &&
			!slices.Contains(args, "--out") {
			args = append(args[:2:2], append([]string{"--out", out}, args[2:]...)...)
		}
		code, stdout, stderr := call(args...)
		if code != c.code || stdout != "" || strings.Count(stderr, "\n") != 1 ||
			!strings.HasPrefix(stderr, "counterpoise: ") || !strings.Contains(stderr, c.want) {
			t.Errorf("%v:\n got code %d, stdout %q, stderr %s\nwant code %d and one line with %s", c.args, code, stdout, stderr, c.code, c.want)
		}
		if _, err := os.Stat(filepath.Dir(out)); err == nil {
			t.Errorf("%v: %s was made and left", c.args, out)
		}
	}
	if text, err := os.ReadFile(inTheWay); err != nil || string(text) != "x" {
		t.Error("a file in the way of --out was touched")
	}
}

// A file with several faults gets one line for each.
func TestAllFaultsOfAFile(t *testing.T) {
	file := filepath.Join(t.TempDir(), "two.yaml")
	text := strings.NewReplacer("+1 cm", "+1", "increase", "more").Replace(goodClaim)
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	code, stdout, stderr := call("claim", "test", file)
	want := "counterpoise: " + file + `:5: change.arm_length: "+1": a length or a relative change needs its unit: write "172 cm" or "5 ft 8 in" or "+5 %"
counterpoise: ` + file + `:6: expect: unknown name "more"; allowed are increase, decrease, none
`
	if code != exitUsage || stdout != "" || stderr != want {
		t.Errorf("code %d, stdout %q, stderr %s\nwant %s", code, stdout, stderr, want)
	}
}
