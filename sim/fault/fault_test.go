package fault_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"counterpoise/sim/fault"
)

func Example() {
	longer := fault.Bounds{Least: -1, Most: 1, Unit: "m"}
	wrong := errors.Join(longer.Check("arm_length", math.NaN()), longer.Check("leg_length", 0.1), longer.Check("hand_length", 3))
	fmt.Println(fault.Within("change", wrong))
	// Output:
	// change.arm_length: NaN m is not possible, allowed: -1 to 1 m
	// change.hand_length: 3 m is not possible, allowed: -1 to 1 m
}

func TestBounds(t *testing.T) {
	b := fault.Bounds{Least: -0.5, Most: 2}
	for x, want := range map[float64]bool{-0.5: true, 2: true, 0: true, -0.500001: false, 2.000001: false, math.Inf(1): false, math.Inf(-1): false, math.NaN(): false} {
		err := b.Check("x", x)
		if b.Holds(x) != want || (err == nil) != want {
			t.Errorf("%v: held %v, %v", x, b.Holds(x), err)
		}
		if list := fault.All(err); !want && (len(list) != 1 || *list[0].Bounds != b || list[0].Found == nil) {
			t.Errorf("%v: %+v", x, list)
		}
	}
}

func TestWithin(t *testing.T) {
	plain := errors.New("no such file")
	if got := fault.Within("change", plain); got != plain {
		t.Errorf("%v became %v", plain, got)
	}
	if got := fault.Within("change", nil); got != nil {
		t.Errorf("nothing became %v", got)
	}
	inner := fault.New("a", 7, "is %d", 7)
	if got := fault.All(fmt.Errorf("in the second: %w", inner)); len(got) != 1 || got[0] != inner {
		t.Errorf("of a wrapped fault: %v", got)
	}
	moved := fault.Within("change", inner)
	if moved.Error() != "change.a: is 7" || inner.Field != "a" {
		t.Errorf("%v, and the first is of %s", moved, inner.Field)
	}
	if got := fault.Within("change", fault.New("", nil, "is missing")); got.Error() != "change: is missing" {
		t.Error(got)
	}
}

func TestCount(t *testing.T) {
	for x, want := range map[float64]string{7: "7", 123: "123", 4567: "4,567", 890123: "890,123", 1000064: "1,000,064", -400: "-400", 1e15: "1,000,000,000,000,000"} {
		if got := fault.Count(x); got != want {
			t.Errorf("%v: %s, want %s", x, got, want)
		}
	}
}
