package names_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"testing"

	"counterpoise/sim/names"
)

type side int

var sides = names.List[side]{"left", "right"}

func (s side) String() string                   { return sides.Of(s) }
func (s side) MarshalText() ([]byte, error)     { return sides.Marshal(s) }
func (s *side) UnmarshalText(text []byte) error { return sides.Unmarshal(s, text) }

func Example() {
	right, ok := sides.Find("right")
	fmt.Println(right, ok, names.All(side(len(sides))))
	fmt.Println(side(7))
	// Output:
	// right true [left right]
	// names_test.side(7)
}

func TestText(t *testing.T) {
	text, err := json.Marshal([]side{1, 0})
	if err != nil || string(text) != `["right","left"]` {
		t.Errorf("written as %s, %v", text, err)
	}
	var again []side
	if err := json.Unmarshal(text, &again); err != nil || !slices.Equal(again, []side{1, 0}) {
		t.Errorf("read as %v, %v", again, err)
	}
	for _, s := range []side{-1, 2} {
		if text, err := s.MarshalText(); err == nil {
			t.Errorf("%d is written as %s", int(s), text)
		}
	}
	s := side(1)
	if err := s.UnmarshalText([]byte("top")); err == nil || err.Error() != `unknown name "top" of a names_test.side, known: left, right` || s != 1 {
		t.Errorf("%v, %v", s, err)
	}
	if s, ok := sides.Find("top"); ok || s != 0 {
		t.Errorf("found %v", s)
	}
}

func TestRows(t *testing.T) {
	list := names.Rows[side]([]struct{ name, meaning string }{{"left", "l"}, {"right", "r"}}, func(r *struct{ name, meaning string }) string { return r.name })
	if !slices.Equal(list, sides) {
		t.Error(list)
	}
}

func TestLists(t *testing.T) {
	places := names.UpTo(3)
	if !slices.Equal(places, []int{0, 1, 2}) || names.Each(places[:0], strconv.Itoa) != nil || !slices.Equal(names.Each(places, strconv.Itoa), []string{"0", "1", "2"}) {
		t.Error(places)
	}
	odd := func(i int) bool { return i%2 == 1 }
	if n := names.HowMany([]int{1, 2, 3}, odd); n != 2 {
		t.Errorf("%d are odd", n)
	}
	if first, found := names.First([]int{2, 3, 5}, odd); first != 3 || !found {
		t.Errorf("%d, %t", first, found)
	}
	if first, found := names.First([]int{2, 4}, odd); first != 0 || found {
		t.Errorf("%d, %t", first, found)
	}
	if list := names.Once(names.Once([]int{1}, 2), 2); !slices.Equal(list, []int{1, 2}) {
		t.Error(list)
	}
}
