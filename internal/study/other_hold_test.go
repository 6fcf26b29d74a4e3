package study

import (
	"strings"
	"testing"

	"counterpoise/sim/hold"
)

// otherHold is a claim that takes the same body to another hold.
const otherHold = `claim: mine
says: The flag asks for more than a hang.
hold: one-arm-hang
people: ansur2-men
change: {hold: human-flag}
quantity: required_force
expect: increase
matters: 0.02 BW
`

func TestOtherHold(t *testing.T) {
	c := read(t, otherHold)
	if c.Change.Hold != hold.HumanFlag || len(c.Models) != 1 || c.Models[0].Statics != hold.Equilibrium {
		t.Errorf("read as %+v under %v", c.Change, c.Models)
	}
	c = read(t, strings.Replace(otherHold, "{hold: human-flag}", "{hold: wall-handstand, pose: {one_arm: yes}}", 1))
	if len(c.Models) != 1 || !c.Change.Pose.Is(hold.OneArm) {
		t.Errorf("read as %+v under %v", c.Change, c.Models)
	}
	for text, want := range map[string]string{
		"difficulty\nmodels: [equilibrium, two-condition]": "f:7: models: the difficulty under equilibrium and the difficulty under two-condition differ in meaning and cannot be compared: " +
			"one-arm-hang is computed under equilibrium, human-flag under two-condition; leave two-condition out",
		"required_force\nmodels: [equilibrium, two-condition]": "",
	} {
		_, err := ReadClaim("f", []byte(strings.NewReplacer("required_force", text, "0.02 BW", "2 %").Replace(otherHold)))
		if (err == nil) != (want == "") || err != nil && err.Error() != want {
			t.Errorf("%s: the fault is %v, want %s", text, err, want)
		}
	}
	for change, want := range map[string]string{
		"{hold: one-arm-hang}":                  "f:5: change.hold: changes nothing: the first body is in the same hold",
		"{hold: human-flags}":                   "did you mean human-flag?",
		"{hold: side-plank}":                    "side-plank has no required_force",
		"{hold: human-flag, arm_length: +5 cm}": "in another hold the body itself does not change",
		"{hold: human-flag, pose: {bent: yes}}": "human-flag has no bent",
		"{hold: iron-cross, legs: tuck}":        "iron-cross",
	} {
		_, err := ReadClaim("f", []byte(strings.Replace(otherHold, "{hold: human-flag}", change, 1)))
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: the fault is %v, want %s", change, err, want)
		}
	}
}
