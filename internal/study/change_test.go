package study

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"counterpoise/sim/body"
)

// Every change in the table of traits is read from a claim, refused where it cannot be
// meant, told apart from what was misspelt, swept along, and kept in the study's JSON.
func TestEveryChangeOfTheTable(t *testing.T) {
	for change := range body.NumChanges {
		name, info := change.String(), change.Info()
		claimed := func(amount string) string { return claimOf(name+": "+amount, "front-lever") }
		c := read(t, claimed("+3 %"))
		var want body.Amounts
		want[change].Share = 0.03
		if c.Change.Body.Of != want {
			t.Errorf("%s by 3 %% is read as %+v", name, c.Change.Body)
		}
		text, err := json.Marshal(storedBody(c.Change.Body))
		var again storedBody
		if err == nil {
			err = json.Unmarshal(text, &again)
		}
		if err != nil || !strings.Contains(string(text), name) || !near(again.Of[change].Share, 0.03) {
			t.Errorf("%s is kept as %s: %v", name, text, err)
		}
		faults := map[string]string{
			claimed("3 %"):    "f:5: change." + name + `: "3 %": a change is written with its sign`,
			claimed("-95 %"):  "f:5: change." + name + `: "-95 %" is more than a body can change, allowed: -90 % to +100 %`,
			claimed("+1 deg"): "f:5: change." + name + ": ",
			claimOf(name[:len(name)-2]+name[len(name)-1:]+": +3 %", "front-lever"): "(did you mean " + name + "?)",
		}
		if info.Unit == "m" {
			if got := read(t, claimed("-1.3 cm")).Change.Body.Of[change]; !near(got.Metres, -0.013) || got.Share != 0 {
				t.Errorf("%s by -1.3 cm is read as %+v", name, got)
			}
			faults[claimed("+3 m")] = fmt.Sprintf("f:5: change.%s: \"+3 m\" is more than a body can change, allowed: %+g m to %+g m", name, info.Bounds.Least, info.Bounds.Most)
		}
		for text, want := range faults {
			if _, err := ReadClaim("f", []byte(text)); err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("%sgives %v, want %s", text, err, want)
			}
		}
		swept := "sweep: a\nhold: front-lever\npeople: [ansur2-men]\ndemands: [shoulder_moment]\naxes:\n  change." + name + ": -4 %..4 % by 4 %\n"
		s, err := ReadSweep("f", []byte(swept))
		if err != nil || s.Axes[0].Unit != "share" || len(s.Axes[0].Values) != 3 {
			t.Errorf("an axis of %s: %+v, %v", name, s, err)
		}
	}
}
