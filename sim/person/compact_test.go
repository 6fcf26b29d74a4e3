package person

import (
	"testing"

	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
)

// Who cannot take the posture is left out with all that is theirs, and nobody else is.
func TestCompact(t *testing.T) {
	const n = 6
	people, r := anthro.NewPeople(n), hold.NewResult(n, hold.RequiredForce)
	for i := range n {
		for m := range people.Value {
			people.Value[m][i] = float64(100*m + i)
		}
		for k := range people.Residual {
			people.Residual[k][i] = float64(-100*k - i)
		}
		r.Value[hold.RequiredForce][i] = 0.5 + float64(i)
	}
	for _, can := range [][]int{{0, 1, 2, 3, 4, 5}, {1, 2, 5}, {0}, {}} {
		r.Possible = make([]bool, n)
		for _, i := range can {
			r.Possible[i] = true
		}
		some, answer := compact(people, r, hold.RequiredForce)
		if some.Rows() != len(can) || len(answer) != len(can) {
			t.Fatalf("%d people with %d answers, want %d", some.Rows(), len(answer), len(can))
		}
		for at, i := range can {
			if answer[at] != 0.5+float64(i) {
				t.Errorf("%v: answer %d is %v", can, at, answer[at])
			}
			for m := range some.Value {
				if some.Value[m][at] != float64(100*m+i) {
					t.Errorf("%v: measurement %d of %d is %v", can, m, at, some.Value[m][at])
				}
			}
			for k := range some.Residual {
				if some.Residual[k][at] != float64(-100*k-i) {
					t.Errorf("%v: residual %d of %d is %v", can, k, at, some.Residual[k][at])
				}
			}
		}
	}
}
