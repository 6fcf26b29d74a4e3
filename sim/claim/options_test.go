package claim

import "testing"

// Options are allowed up to their ends and refused beyond.
func TestEndsOfOptions(t *testing.T) {
	for _, c := range []struct {
		name    string
		set     func(*Options)
		allowed bool
	}{
		{"defaults", func(*Options) {}, true},
		{"one body", func(o *Options) { o.N = 1 }, true}, {"no body", func(o *Options) { o.N = 0 }, false},
		{"a worker", func(o *Options) { o.Workers = 1 }, true}, {"workers for all", func(o *Options) { o.Workers = 0 }, true}, {"workers below 0", func(o *Options) { o.Workers = -1 }, false},
		{"the least draws", func(o *Options) { o.Draws = LeastDraws }, true}, {"fewer", func(o *Options) { o.Draws = LeastDraws - 1 }, false}, {"below 0", func(o *Options) { o.Draws = -1 }, false},
		{"the most bodies", func(o *Options) { o.N = MostN }, true}, {"more", func(o *Options) { o.N = MostN + 1 }, false},
		{"the most draws", func(o *Options) { o.Draws = MostDraws }, true}, {"more draws", func(o *Options) { o.Draws = MostDraws + 1 }, false},
		{"others", func(o *Options) { o.Others = []string{"us-men", "us-women"} }, true}, {"others twice", func(o *Options) { o.Others = []string{"us-men", "us-men"} }, false},
		{"others who are unknown", func(o *Options) { o.Others = []string{"nobody"} }, false},
		{"no draws", func(o *Options) { o.Draws = 0 }, true},
	} {
		o := DefaultOptions()
		c.set(&o)
		if err := o.check(); (err == nil) != c.allowed {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}
