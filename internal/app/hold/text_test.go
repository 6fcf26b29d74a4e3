package hold

import (
	"strings"
	"testing"

	"counterpoise/internal/freebody"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
)

// The text has every demand with its unit, and newtons beside body weights.
func TestHeldText(t *testing.T) {
	women, err := anthro.Load("ansur2-women")
	if err != nil {
		t.Fatal(err)
	}
	a := assume.Defaults()
	b, err := freebody.HoldMedianBody(hold.HumanFlag, hold.Equilibrium, hold.Posture{}, body.Load{}, women, &a)
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	if err := HeldText(&out, b); err != nil {
		t.Fatal(err)
	}
	for _, d := range b.Hold.Asks(hold.Equilibrium) {
		if !strings.Contains(out.String(), "\n  "+d.String()+" ") {
			t.Errorf("the text lacks %s", d)
		}
	}
	for _, want := range []string{"the median body of ansur2-women", " BW  ", " BW·m  ", " N\n", " N·m\n", "°\n", " cm\n", "top hand", "to the left, "} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("%q is not in\n%s", want, out.String())
		}
	}
}
