package provenance

import (
	"encoding/json"
	"testing"
)

func TestFirstDifference(t *testing.T) {
	stamp := func(study string) *Stamp {
		return &Stamp{Tool: "counterpoise", Version: "v1", Code: "0123456789abcdef", Seed: 3, Data: map[string]string{"d": "ab"},
			Assumptions: map[string]float64{"x": 0.25}, Study: json.RawMessage(study)}
	}
	a := stamp(`{"n":7,"list":[1,2.50],"deep":{"k":"v"}}`)
	for _, c := range []struct {
		change func(*Stamp)
		want   string
	}{
		{func(s *Stamp) {}, ""},
		{func(s *Stamp) { s.Study = json.RawMessage(`{"deep":{"k":"v"},"list":[1,2.5],"n":7}`) }, ""},
		{func(s *Stamp) { s.Version = "v2" }, "the version is counterpoise v1 of sources 0123456789ab here, counterpoise v2 of sources 0123456789ab there"},
		{func(s *Stamp) { s.Code = "f" + s.Code[1:] }, "the code is counterpoise v1 of sources 0123456789ab here, counterpoise v1 of sources f123456789ab there"},
		{func(s *Stamp) { s.Version, s.Code = "v2", "" }, "the code is counterpoise v1 of sources 0123456789ab here, counterpoise v2 of unrecorded sources there"},
		{func(s *Stamp) { s.Seed = 4 }, "the seed is 3 here, 4 there"},
		{func(s *Stamp) { s.Data = map[string]string{"d": "ac"} }, "the SHA-256 of the data set d is ab here, ac there"},
		{func(s *Stamp) { s.Data = map[string]string{} }, "the data set d is not there"},
		{func(s *Stamp) { s.Assumptions["x"] = 0.5 }, "the assumption x is 0.25 here, 0.5 there"},
		{func(s *Stamp) { s.Study = json.RawMessage(`{"n":7,"list":[1,2.5],"deep":{"k":"w"}}`) }, `the study's deep.k is "v" here, "w" there`},
		{func(s *Stamp) { s.Study = json.RawMessage(`{"n":7,"list":[1],"deep":{"k":"v"}}`) }, "the study's list[1] is 2.5 here, missing there"},
		{func(s *Stamp) { s.Study = json.RawMessage(`{"n":"7","list":[1,2.5],"deep":{"k":"v"}}`) }, `the study's n is 7 here, "7" there`},
	} {
		b := stamp(string(a.Study))
		c.change(b)
		if got := FirstDifference(a, b, "here", "there"); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
	b := stamp(`{"n":8}`)
	b.Code, b.Data = "", nil
	if got := Differences(a, b, "here", "there"); len(got) != 3 {
		t.Errorf("of code, data and study these differ: %q", got)
	}
}
