package cli

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/app/person/said"
	"counterpoise/internal/explorer"
	"counterpoise/internal/golden"
	"counterpoise/internal/holds"
	"counterpoise/internal/words"
	"counterpoise/sim/hold"
)

// sized is somebody in a hold, 122.6 cm between the hands of the flag, as a file, as a row of a club's table and as the page asks.
const (
	sized      = "person: Ana\nsex: female\nstature: 168 cm\nmass: 62 kg\nspan: 170 cm\nhold: %s\n"
	sizedTable = "Name,Sex,Height (cm),Weight (kg),Arm span (cm)\nAna,f,168,62,170\n"
	sizedAsked = `{"sex": "female", "units": %q, "hold": %q, "measurements": {"stature": "168 cm", "mass": "62 kg", "span": "170 cm"}, "tests": [%s]}`
	sizedTests = "tests: {one_arm_hang: {held: 18 s}, scale: {hand: up, angle: 135 deg, reads: 9 kg}}\n"
	askedTests = `{"test": "one_arm_hang", "held": "18 s"}, {"test": "scale", "hand": "up", "angle": "135 deg", "reads": "9 kg"}`
)

func personFile(t *testing.T, text string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "ana.yaml")
	golden.OK(t, os.WriteFile(file, []byte(text), 0o666))
	return file
}

// plainSpaces undoes what keeps numbers and units on a line, and lines of a screen.
func plainSpaces(text string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(text, "\u00a0", " ")), " ")
}

// asking asks what the explore page asks.
func asking[A any](t *testing.T, question, request string) (a A) {
	t.Helper()
	text, err := explorer.New(func() (explorer.Sayings, error) { return explorer.Sayings{}, nil }).Ask(t.Context(), question, []byte(request))
	if err == nil {
		err = json.Unmarshal(text, &a)
	}
	if err != nil {
		t.Fatalf("%s: %v", request, err)
	}
	return a
}

// One spacing and one range are recommended, and every screen, card, file, drawing and
// tile of the page says it with the same digits.
func TestOneSpacing(t *testing.T) {
	apart := regexp.MustCompile(`[Hh]ands (?:about )?([0-9]+ (?:cm|in)) apart`)
	for _, c := range []struct{ hold, tests, asked string }{
		{"human-flag", "", ""}, {"human-flag", sizedTests, askedTests}, {"iron-cross", "", ""}, {"box-cross", "", ""},
	} {
		file := personFile(t, fmt.Sprintf(sized, c.hold)+c.tests)
		folder := filepath.Join(t.TempDir(), "out")
		succeeds(t, "person", file, "--n", "2000", "--out", folder)
		files := written(t, folder)
		var summary said.PersonsSummary
		golden.OK(t, json.Unmarshal([]byte(files["summary.json"]), &summary))
		at := summary.Persons[0].Spacing
		if at == nil {
			t.Fatalf("%s: no spacing", c.hold)
		}
		for k, system := range words.Systems {
			s := words.System(k)
			middle, ends := words.Mark(*at.P50, s), words.Interval(words.Mark(*at.P5, s), words.Mark(*at.P95, s))
			same := func(where, text, want string) {
				t.Helper()
				if text = plainSpaces(text); !strings.Contains(text, want) {
					t.Errorf("%s%s, %s: %s lacks %q: %s", c.hold, c.tests, system, where, want, text)
				}
				for _, found := range apart.FindAllStringSubmatch(text, -1) {
					if found[1] != middle {
						t.Errorf("%s%s, %s: %s says %s, recommended is %s", c.hold, c.tests, system, where, found[1], middle)
					}
				}
			}
			start, told := "Start with the hands "+middle+" apart; worth trying is "+ends, "hands "+middle+" apart"
			if c.hold != "human-flag" { // the body's measures alone say it
				start, told = "The hands are "+middle+" apart; by what was not measured "+ends, "hands are "+middle+" apart"
			}
			same("the first screen", succeeds(t, "person", file, "--n", "2000", "--units", system), start)
			full := succeeds(t, "person", file, "--n", "2000", "--units", system, "--full")
			number, _, _ := strings.Cut(middle, " ")
			low, high, _ := strings.Cut(ends, " to ")
			high, _, _ = strings.Cut(high, " ")
			same("--full", full, fmt.Sprintf("hands apart %s (%s to %s), which is recommended", middle, low, high))
			same("readiness", succeeds(t, "readiness", file, "--n", "2000", "--units", system), told)
			person := fmt.Sprintf(sizedAsked, system, c.hold, c.asked)
			answer := asking[explorer.Answer](t, "answer", `{"draws": 2000, "person": `+person+`}`)
			tile := -1
			for i, q := range answer.Summary.Models[0].Quantities {
				if q.Quantity == hold.HandSpacing.String() {
					tile = i
				}
			}
			for i, q := range answer.Summary.Models[0].Quantities {
				if text := answer.Texts.Models[0].Quantities[i]; q.Quantity == hold.Difficulty.String() && strings.Contains(text.Value+text.Range, "%") {
					t.Errorf("%s: the page's difficulty reads like a chance: %s, %s", c.hold, text.Value, text.Range)
				}
			}
			if tile < 0 {
				t.Fatalf("%s: the page has no tile of the spacing", c.hold)
			}
			text := answer.Texts.Models[0].Quantities[tile]
			same("the page's tile", text.Value, middle)
			same("the page's range", text.Range, ends)
			same("the page's headline", answer.Words.Headline, "hands "+middle+" apart")
			for _, curve := range answer.Curves {
				if curve.Best != "" {
					same("the page's curve", curve.Best, "hands "+middle+" apart")
				}
			}
			if pose := asking[explorer.Pose](t, "pose", `{"model": "equilibrium", "person": `+person+`}`); pose.Figure.Texts.Hands != "" {
				same("the page's figure", pose.Figure.Texts.Hands, middle)
			}
			if s != words.Metric {
				continue
			}
			same("the headline", summary.Persons[0].Headline, "hands "+middle+" apart")
			same("the drawing", files["hold.svg"], "hands")
			same("the drawing's label", files["hold.alt.txt"], "ands "+number+" cm")
			if c.hold != "human-flag" || c.tests != "" {
				continue
			}
			table := filepath.Join(t.TempDir(), "table.csv")
			golden.OK(t, os.WriteFile(table, []byte(sizedTable), 0o666))
			cards := filepath.Join(t.TempDir(), "cards")
			line := succeeds(t, "club", table, "--n", "2000", "--out", cards)
			same("the club's line", line, "Ana "+middle+" "+ends)
			made := written(t, cards)
			card := plainSpaces(made["cards.html"])
			same("the card", card, "Ana: hands "+middle+" ("+words.Mark(*at.P50, words.Imperial)+") apart")
			same("the card's range", card, "Worth trying: "+ends)
			same("the sheet", made["sheets/sheet.alt.txt"], middle)
			var club said.PersonsSummary
			if err := json.Unmarshal([]byte(made["summary.json"]), &club); err != nil || *club.Persons[0].Spacing.P50 != *at.P50 || *club.Persons[0].Spacing.P5 != *at.P5 {
				t.Errorf("the club's summary says %+v, that of person %+v: %v", club.Persons[0].Spacing, at, err)
			}
		}
	}
}

// Of somebody who was not tested nothing reads like a chance to hold it: no share of draws
// that is enough, no could, no margin. Whoever was tested is told.
func TestNoChanceBeforeATest(t *testing.T) {
	chance := regexp.MustCompile(`(?i)could|chance|probab|at most 1 in|at least 1 in|margin|%[^.:;]{0,60}\b(?:hold|able|succeed|ready|enough)`)
	field := regexp.MustCompile(`"[a-z0-9_]*(?:could|enough_share|at_least_1|margin|own_strength)[a-z0-9_]*": [^n]`)
	for _, h := range holds.All() {
		text := fmt.Sprintf(sized, h.Name)
		for _, of := range []struct {
			tests string
			say   bool
		}{{"", false}, {sizedTests, true}} {
			file := personFile(t, text+of.tests)
			said := false
			for _, args := range [][]string{{"person"}, {"person", "--full"}, {"readiness"}, {"readiness", "--full"}, {"person", "--json"}} {
				out := succeeds(t, append(args, file, "--n", "1000")...)
				if slices.Contains(args, "--json") {
					out = field.FindString(out)
				} else {
					out = chance.FindString(plainSpaces(out))
				}
				said = said || out != ""
				if out != "" && !of.say {
					t.Errorf("%s, %v: says %q of somebody who was not tested", h.Name, args, out)
				}
			}
			if unknown := h.Unknown(hold.Equilibrium, hold.Difficulty, hold.Posture{}) != ""; of.say && said == unknown {
				t.Errorf("%s: says something of somebody tested: %v, but is not known: %v", h.Name, said, unknown)
			}
		}
	}
}

// For every hold the first screen and readiness say which test to do next and what result
// would do, and the result can be written into the file; or which strength no test here
// shows; or that nobody knows.
func TestReadinessOfEveryHold(t *testing.T) {
	for _, h := range holds.All() {
		for _, sex := range []string{"female", "male"} {
			text := strings.Replace(fmt.Sprintf(sized, h.Name), "female", sex, 1)
			file := personFile(t, text)
			screen := succeeds(t, "readiness", file, "--n", "1000")
			if lines := strings.Count(screen, "\n"); lines > 12 {
				t.Errorf("%s: %d lines:\n%s", h.Name, lines, screen)
			}
			plain := plainSpaces(screen)
			var summary said.ReadinessesSummary
			golden.OK(t, json.Unmarshal([]byte(succeeds(t, "readiness", file, "--n", "1000", "--json")), &summary))
			asks := summary.Persons[0].Readiness.Asks
			if unknown := strings.Contains(plain, "How hard it is nobody knows, and no test here can tell: "); unknown != (asks == nil) {
				t.Errorf("%s, %s: %+v, and %s", h.Name, sex, asks, screen)
			}
			if asks == nil {
				continue
			}
			if next, none := strings.Contains(plain, "Next test: "), strings.Contains(plain, "There is no test here for: "); next != (len(asks.Enough) > 0) || none != (len(asks.NoTest) > 0) || !strings.Contains(plain, "Gives out first: ") {
				t.Errorf("%s, %s: %+v, and %s", h.Name, sex, asks, screen)
			}
			if len(asks.Enough)+len(asks.NoTest)+len(asks.Likely) != len(asks.GivesOut) {
				t.Errorf("%s, %s: %d groups give out, of which %d are tested, %d are not and %d need not be", h.Name, sex, len(asks.GivesOut), len(asks.Enough), len(asks.NoTest), len(asks.Likely))
			}
			var tests []string
			for _, e := range asks.Enough {
				switch {
				case e.Kilograms != nil && e.Angle != nil:
					tests = append(tests, fmt.Sprintf("scale: {hand: %s, angle: %g deg, reads: %.2f kg}", e.Hand, *e.Angle, *e.Kilograms+0.05))
				case e.Kilograms != nil:
					tests = append(tests, fmt.Sprintf("scale: {hand: %s, reads: %.2f kg}", e.Hand, *e.Kilograms+0.05))
				case e.Seconds != nil && e.Test == "one-arm_hang":
					tests = append(tests, fmt.Sprintf("one_arm_hang: {held: %.1f s}", *e.Seconds+0.1))
				case e.Seconds != nil:
					tests = append(tests, fmt.Sprintf("one_arm_handstand: {held: %.1f s}", *e.Seconds+0.1))
				}
			}
			if tests == nil {
				continue
			}
			// The first of them done, it is not asked for again.
			done := succeeds(t, "readiness", personFile(t, text+"tests: {"+tests[0]+"}\n"), "--n", "1000", "--json")
			var then said.ReadinessesSummary
			golden.OK(t, json.Unmarshal([]byte(done), &then))
			for _, e := range then.Persons[0].Readiness.Asks.Enough {
				if e.Group == asks.Enough[0].Group && !e.Tested {
					t.Errorf("%s, %s: %s is asked for again after %s", h.Name, sex, e.Test, tests[0])
				}
			}
			if then.Persons[0].Readiness.Own == nil {
				t.Errorf("%s, %s: nothing of own strength after %s", h.Name, sex, tests[0])
			}
		}
	}
}
