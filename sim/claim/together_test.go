//go:build ignore

package claim

import "testing"

func TestTogether(t *testing.T) {
	type list = []Verdict
	for _, c := range []struct {
		pooled Verdict
		each   list
		want   Verdict
	}{
		{Supported, list{Supported, Supported}, Supported},
		{TooSmall, list{TooSmall}, TooSmall},
		{Supported, list{Supported, TooSmall}, DependsOnBody},
		{DependsOnAssumptions, list{Supported, Contradicted}, DependsOnBody},
		{DependsOnAssumptions, list{Supported, Contradicted, DependsOnAssumptions}, DependsOnBody},
		{DependsOnAssumptions, list{Supported, DependsOnAssumptions}, DependsOnAssumptions},
		{Supported, list{DependsOnAssumptions, Supported}, DependsOnAssumptions},
		{DependsOnAssumptions, list{DependsOnBody, DependsOnAssumptions}, DependsOnAssumptions},
		{DependsOnAssumptions, list{DependsOnAssumptions, DependsOnAssumptions}, DependsOnAssumptions},
		// Each depends on its bodies alike, but together enough move one way.
		{Supported, list{DependsOnBody, DependsOnBody}, Supported},
		{Supported, list{Supported, Undecided}, Undecided},
		{Undecided, list{Supported, TooSmall}, Undecided},
		{DependsOnBody, list{DependsOnBody, DependsOnAssumptions}, DependsOnBody},
		{Supported, nil, Supported},
	} {
		if got := together(c.pooled, c.each); got != c.want {
			t.Errorf("%v of %v pooled: %v, want %v", c.each, c.pooled, got, c.want)
		}
	}
}
