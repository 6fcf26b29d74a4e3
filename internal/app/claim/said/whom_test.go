package said

import (
	"testing"

	"counterpoise/internal/outcome"
	"counterpoise/sim/claim"
)

// Whether a verdict depends on the people is said of settled verdicts alone, by kinds of people
// where all of a kind are of one mind.
func TestWhom(t *testing.T) {
	type said struct {
		people  string
		verdict claim.Verdict
	}
	const notJudged = claim.Verdict(-1)
	for _, test := range []struct {
		said    []said
		depends bool
		want    string
	}{
		{[]said{{"us-women", claim.Supported}, {"us-men", claim.Supported}, {"gymnasts-men", notJudged}}, false, "The verdict does not depend on the people: supported for everybody judged. Not judged: people of gymnasts' sizes."},
		{[]said{{"us-women", claim.LessThanSaid}, {"ansur2-men", claim.Supported}}, false, "The verdict does not depend on the people: supported for everybody judged, though not by the same amount."},
		{[]said{{"us-women", claim.NoEffect}, {"ansur2-men", claim.NoDifference}}, false, "The verdict does not depend on the people: no difference that matters for everybody judged."},
		{[]said{{"us-women", claim.OpenAssumptions}, {"us-men", claim.OpenSampling}}, false, "Not settled for anybody judged, so whether it depends on the people is not settled either."},
		{[]said{{"us-women", claim.Contradicted}, {"us-men", claim.OpenAssumptions}, {"ansur2-women", claim.Contradicted}, {"ansur2-men", claim.Contradicted}}, false,
			"Contradicted for women and soldiers, not settled for men: whether it depends on the people is not settled."},
		{[]said{{"us-women", claim.NoDifference}, {"us-men", claim.NoDifference}, {"ansur2-women", claim.Supported}, {"ansur2-men", claim.LessThanSaid}, {"us-girls", claim.NoDifference}}, true,
			"It depends on the people: no difference that matters for the public and youths; supported for soldiers. The saying does not carry over from soldiers to the public."},
		{[]said{{"us-women", claim.Supported}, {"us-men", claim.Supported}, {"gymnasts-men", claim.DependsOnBody}, {"climbers-men", claim.Contradicted}, {"ansur2-men", claim.OpenAssumptions}}, true,
			"It depends on the people: supported for the public; depends on the body for people of gymnasts' sizes; contradicted for people of climbers' sizes; not settled for soldiers. What holds for the public does not carry over to people of gymnasts' sizes and people of climbers' sizes."},
		{[]said{{"us-women", claim.Supported}, {"us-men", claim.Contradicted}, {"ansur2-men", claim.Supported}}, true,
			"It depends on the people: supported for women and soldiers; contradicted for men. The saying does not carry over from soldiers to the public."},
	} {
		f := &outcome.ForWhom{}
		for _, s := range test.said {
			j := outcome.Judged{People: s.people}
			if s.verdict != notJudged {
				j.Verdict = &s.verdict
			}
			f.People = append(f.People, j)
		}
		if got := Whom(f); got != test.want || DependsOnWhom(f) != test.depends {
			t.Errorf("%v: got %q, %v\nwant %q", test.said, got, DependsOnWhom(f), test.want)
		}
	}
}
