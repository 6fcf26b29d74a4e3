package person

import (
	"strings"
	"testing"

	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
)

// Who is told to be a youth is drawn from youths of that sex, and not from adults even
// where somebody says so.
func TestYouthsAreDrawnFromYouths(t *testing.T) {
	known := []anthro.Known{{Of: anthro.Stature, Value: 1.58}, {Of: anthro.Age, Value: 13}}
	for sex, want := range map[anthro.Sex]string{anthro.Female: "us-girls", anthro.Male: "us-boys"} {
		people, err := (&Person{Sex: sex, Known: known}).People()
		if err != nil || people.Name != want {
			t.Errorf("%s of 13: %v, %v; want %s", sex, people, err, want)
		}
	}
	o := DefaultOptions()
	o.N = LeastN
	girl := Person{Name: "girl", Sex: anthro.Female, Population: "us-women", Hold: hold.HumanFlag, Known: known}
	if _, err := Answer(t.Context(), girl, o); err == nil || !strings.Contains(err.Error(), "people of 12 to 17 are drawn from us-girls") {
		t.Errorf("drawn from women: %v", err)
	}
	girl.Population = ""
	r, err := Answer(t.Context(), girl, o)
	if err != nil || r.Population.Name != "us-girls" {
		t.Errorf("%v, %v", r, err)
	}
}
