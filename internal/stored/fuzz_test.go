package stored

import (
	"encoding/json"
	"testing"

	"counterpoise/sim/hold"
)

// No study that a file carries makes its readers panic, nor the checks of what they read;
// what is in order can be kept again.
func FuzzStored(f *testing.F) {
	f.Add([]byte(`{"sweep":"a","base":{"hold":"human-flag","legs":{"form":"together"},"pose":{},"tilt":0,"people":[{"population":"us-men","weight":1}],"change":{"posture":"best"},"model":"equilibrium / residual / deleva-1996"},"axes":[{"of":"change.arm_length","unit":"m","values":[0,0.05]}],"design":"grid","points":2,"demands":["required_force"],"quantiles":[0.5],"bodies":false,"n":50}`))
	f.Add([]byte(`{"claim":"a","says":"b","hold":"human-flag","people":[{"population":"us-men","weight":1}],"change":{"body":{"arm_length":{"metres":0.1}},"posture":"best"},"expect":"increase","matters":{"share":0.01,"default":true},"share":0.95,"models":["equilibrium / residual / deleva-1996"]}`))
	f.Add([]byte(`{"person":"Ada","sex":"female","known":{"stature":{"value":1.68,"error":0.005}},"hold":"human-flag","legs":{"form":"together"},"pose":{},"tilt":0}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		if s, err := SweepOf(text); err == nil && s.Check() == nil {
			if _, err := json.Marshal(StoreSweep(s)); err != nil {
				t.Error(err)
			}
		}
		var kept Claim
		if json.Unmarshal(text, &kept) == nil {
			if c, err := kept.Claim(hold.RequiredForce); err == nil && c.Check() == nil {
				if _, err := json.Marshal(StoreClaim(c)); err != nil {
					t.Error(err)
				}
			}
		}
		if p, err := PersonOf(text); err == nil {
			StorePerson(&p)
		}
	})
}
