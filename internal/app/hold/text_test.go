package hold

import (
	"math"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/bodies"
	"counterpoise/internal/freebody"
	"counterpoise/internal/study"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/statics"
)

// spotted is a planche that somebody holds at the heels, with a band at the hips.
const spotted = `
hold: spotted-planche
view: side
faces: down
angles: {trunk: level 180 deg, upper_arms: raised 60 deg}
supports:
  - {at: hands, on: floor}
  - {at: heels, on: partner}
forces: [{at: hips, force: 10 kg, towards: up}]
`

// What is said of a hold's statics is what its supports do, and the known force is drawn
// where it acts, once, and as nothing else.
func TestCheckOfAHoldWithAKnownForce(t *testing.T) {
	o, err := study.ReadOutline("f", []byte(spotted))
	if err != nil {
		t.Fatal(err)
	}
	h, err := o.Hold()
	if err != nil {
		t.Fatal(err)
	}
	c, err := CheckHold(o, h)
	if err != nil {
		t.Fatal(err)
	}
	var text strings.Builder
	if err := HoldCheckText(&text, c); err != nil {
		t.Fatal(err)
	}
	said := strings.Join(strings.Fields(text.String()), " ")
	for _, want := range []string{
		"The supports carry 2 unknown forces: the vertical force at the hands and the vertical force at the heels. Balance gives them all.",
		"So everything is determined.", "What decides how hard it is Flexion of the shoulders,", " pressure_reach 0.5 (0 to 1) share of palm length",
	} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is missing in\n%s", want, text.String())
		}
	}
	held := c.Held()
	figure, err := freebody.FreeBodyOf(held)
	if err != nil {
		t.Fatal(err)
	}
	names, up := []string{}, 0.0
	for _, f := range figure.Forces {
		names = append(names, f.Name)
		up += f.Y
	}
	if want := []string{"both hands", "both heels", "pull at the hips"}; !slices.Equal(names, want) {
		t.Errorf("forces are %v, want %v", names, want)
	}
	if math.Abs(up-1) > 1e-9 {
		t.Errorf("the forces carry %g of the weight", up)
	}
	pull := figure.Forces[slices.IndexFunc(figure.Forces, func(f bodies.Force) bool { return f.Name == "pull at the hips" })]
	if want := 10 * statics.StandardGravity / held.Weight(); math.Abs(pull.Y-want) > 1e-9 {
		t.Errorf("the pull is %g BW, want %g", pull.Y, want)
	}
}

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
