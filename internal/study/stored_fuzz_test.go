package study

import (
	"encoding/json"
	"strings"
	"testing"

	"counterpoise/sim/hold"
)

// No study that a file carries makes its readers panic, nor the checks of what they read;
// what is in order can be kept again.
func FuzzStored(f *testing.F) {
	s, err := ReadSweep("s.yaml", []byte(goodSweep))
	if err != nil {
		f.Fatal(err)
	}
	c, err := ReadClaim("c.yaml", []byte(good))
	if err != nil {
		f.Fatal(err)
	}
	persons, err := ReadPersons("p.yaml", []byte(goodPerson))
	if err != nil {
		f.Fatal(err)
	}
	for _, kept := range []any{StoreSweep(s), StoreClaim(c), StorePerson(&persons[0])} {
		text, err := json.Marshal(kept)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		if s, err := SweepOf(text); err == nil && s.Check() == nil {
			if _, err := json.Marshal(StoreSweep(s)); err != nil {
				t.Error(err)
			}
		}
		var stored StoredClaim
		if json.Unmarshal(text, &stored) == nil {
			if c, err := stored.Claim(hold.RequiredForce); err == nil && c.Check() == nil {
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

// No text makes the reader of holds panic, and every message is of lines that can be
// printed.
func FuzzReadHold(f *testing.F) {
	text, err := NewHold("mine")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(text)
	f.Fuzz(func(t *testing.T, text []byte) {
		o, err := ReadOutline("f", text)
		if (o == nil) == (err == nil) {
			t.Fatalf("%v, %v", o, err)
		}
		if err == nil {
			return
		}
		for _, line := range strings.Split(err.Error(), "\n") {
			if !strings.HasPrefix(line, "f:") || strings.ContainsFunc(line, isControl) {
				t.Errorf("message %q", line)
			}
		}
	})
}
