package jsonform_test

import (
	"encoding/json"
	"strings"
	"testing"

	"counterpoise/internal/jsonform"
	"counterpoise/sim/hold"
)

// What was written is read again.
func TestPostures(t *testing.T) {
	type posture struct {
		Legs jsonform.Legs `json:"legs"`
		Pose jsonform.Pose `json:"pose,omitzero"`
	}
	for _, test := range []struct {
		legs hold.Legs
		pose hold.Pose
		want string
	}{
		{hold.Legs{}, hold.Pose{}, `{"legs":{"form":"together"}}`},
		{hold.LegsIn(hold.Straddle, 0.5), hold.Pose{hold.WallDistance: 0.25, hold.OneArm: 1},
			`{"legs":{"form":"straddle","angle":0.5},"pose":{"one_arm":1,"wall_distance":0.25}}`},
		{hold.LegsIn(hold.Tuck, 0), hold.Pose{hold.Bent: 1},
			`{"legs":{"form":"tuck","hip":2.0943951023931953,"knee":2.356194490192345},"pose":{"bent":1}}`},
	} {
		written, err := json.Marshal(posture{jsonform.Legs(test.legs), jsonform.Pose(test.pose)})
		if err != nil || string(written) != test.want {
			t.Errorf("written as %s (%v), want %s", written, err, test.want)
		}
		var read posture
		if err := json.Unmarshal(written, &read); err != nil || hold.Legs(read.Legs) != test.legs || hold.Pose(read.Pose) != test.pose {
			t.Errorf("%s is read as %v (%v)", written, read, err)
		}
	}
	for text, want := range map[string]string{
		`{"pose":{"handless":1}}`:      `unknown variant of a pose "handless"`,
		`{"pose":{"bent":"yes"}}`:      "cannot unmarshal",
		`{"legs":{"form":"scissors"}}`: `unknown name "scissors"`,
	} {
		if err := json.Unmarshal([]byte(text), new(posture)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", text, err, want)
		}
	}
}
