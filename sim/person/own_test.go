package person

import (
	"context"
	"errors"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
)

// Among people of one's own a person is placed by counting these; what the hold asks
// of them is the same, since the rest is drawn from the survey all the same.
func TestAmongPeopleOfOnesOwn(t *testing.T) {
	club := &anthro.Sample{Name: "club", Title: "a club", Sex: "female", Survey: "us-women"}
	for i, stature := range []float64{1.60, 1.65, 1.70, 1.75} {
		club.Add([]anthro.Known{{Of: anthro.Stature, Value: stature}, {Of: anthro.Mass, Value: 60 + 5*float64(i)}})
	}
	own := golden.Must(anthro.NewSample(club))(t)
	p := Person{Name: "Ada", Sex: anthro.Female, Hold: hold.HumanFlag, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.65}, {Of: anthro.Mass, Value: 58}}}
	plain := answer(t, p, few())
	p.Own, p.Population = own, own.Name
	among := answer(t, p, few())
	if among.Population != own || among.Conditioned.Population.Name != "us-women" || !slices.Contains(among.Notes, own.Note()) || own.Note() == "" {
		t.Errorf("among %s, the rest from %s, notes %q", among.Population.Name, among.Conditioned.Population.Name, among.Notes)
	}
	// One of four is shorter and one as tall; nobody weighs less. Each is drawn 1024
	// times in 4096, with a standard deviation of 28.
	for i, want := range []float64{1.5 / 4, 0} {
		r := among.Ranks[i]
		if !(math.Abs(r.Percentile-want) <= 4*0.007) || want == 0 && r.Percentile != 0 || !math.IsNaN(r.ForStature) {
			t.Errorf("%s: percentile %v, want %v; %v for the stature", r.Known.Of, r.Percentile, want, r.ForStature)
		}
	}
	for i := range plain.Models {
		a, b := plain.Models[i].Quantities, slices.Clone(among.Models[i].Quantities)
		moved := false
		for k := range b {
			moved = moved || b[k].Percentile != a[k].Percentile
			b[k].Percentile = a[k].Percentile
		}
		if !reflect.DeepEqual(a, b) || !moved {
			t.Errorf("%s: %+v among the public, %+v among the club", plain.Models[i].Model, a, b)
		}
	}
	tested := Person{
		Name: "Bo", Sex: anthro.Male, Hold: hold.HumanFlag, Population: "gymnasts-men", Known: []anthro.Known{{Of: anthro.Mass, Value: 66}},
		Tests: &Tests{Hangs: []Hang{{Seconds: 30}}},
	}
	if _, err := tested.People(); err == nil || !strings.Contains(err.Error(), "among untrained adults such as us-men") {
		t.Errorf("somebody with tests among gymnasts: %v", err)
	}
	tested.Tests = nil
	if people, err := tested.People(); err != nil || people.Name != "gymnasts-men" {
		t.Errorf("among gymnasts: %v", err)
	}
	p.Sex = anthro.Male
	var field *fault.Error
	if _, err := Answer(context.Background(), p, few()); !errors.As(err, &field) || field.Field != "people" {
		t.Errorf("of the other sex: %v", err)
	}
}
