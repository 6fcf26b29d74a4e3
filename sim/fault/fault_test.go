package fault_test

import (
	"errors"
	"fmt"
	"testing"

	"counterpoise/sim/fault"
)

func Example() {
	wrong := errors.Join(
		&fault.Error{Field: "arm_length", Found: "NaN m", Allowed: "-1 m to +1 m"},
		&fault.Error{Field: "size", Found: "+1200 %", Allowed: "-90 % to +900 %"})
	fmt.Println(fault.Within("change", wrong))
	// Output:
	// change.arm_length: NaN m is not possible, allowed are -1 m to +1 m
	// change.size: +1200 % is not possible, allowed are -90 % to +900 %
}

func TestWithinKeepsWhatIsNoFault(t *testing.T) {
	plain := errors.New("no such file")
	if got := fault.Within("change", plain); got != plain {
		t.Errorf("%v became %v", plain, got)
	}
	if got := fault.Within("change", nil); got != nil {
		t.Errorf("nothing became %v", got)
	}
	if got := fault.All(fmt.Errorf("in the second: %w", &fault.Error{Field: "a"})); len(got) != 1 || got[0].Field != "a" {
		t.Errorf("of a wrapped fault: %v", got)
	}
	if got := fault.Within("change", &fault.Error{Found: "1", Allowed: "2"}); got.Error() != "change: 1 is not possible, allowed are 2" {
		t.Error(got)
	}
}
