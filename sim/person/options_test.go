package person

import (
	"testing"

	"counterpoise/sim/strength"
)

// Options are allowed up to their ends and refused beyond.
func TestEndsOfOptions(t *testing.T) {
	for _, c := range []struct {
		name    string
		set     func(*Options)
		allowed bool
	}{
		{"defaults", func(*Options) {}, true},
		{"the least bodies", func(o *Options) { o.N = LeastN }, true}, {"fewer", func(o *Options) { o.N = LeastN - 1 }, false},
		{"the most bodies", func(o *Options) { o.N = MostN }, true}, {"more", func(o *Options) { o.N = MostN + 1 }, false},
		{"a worker", func(o *Options) { o.Workers = 1 }, true}, {"workers for all", func(o *Options) { o.Workers = 0 }, true}, {"workers below 0", func(o *Options) { o.Workers = -1 }, false},
		{"the first endurance", func(o *Options) { o.Endurance = 0 }, true}, {"the last", func(o *Options) { o.Endurance = strength.NumEndurances - 1 }, true},
		{"one beyond", func(o *Options) { o.Endurance = strength.NumEndurances }, false}, {"one before", func(o *Options) { o.Endurance = -1 }, false},
	} {
		o := DefaultOptions()
		c.set(&o)
		if err := o.check(); (err == nil) != c.allowed {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}
