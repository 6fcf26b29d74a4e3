package claim

import (
	"context"

	"counterpoise/sim/verdict"
)

// Look is what the draws say of one population under one model when so many of them have
// been judged.
type Look struct {
	People  string
	Model   string
	Draws   int
	Verdict Verdict
	Enough  bool // whether more draws could hardly change the verdict
	// Way is how most of them go, and Size the verdict that most of them give with what
	// it says of the size, each with the share of the draws behind it.
	Way, Size Agreed
}

// Agreed is a verdict and the share of the draws behind it, with its interval at the
// confidence of one look.
type Agreed struct {
	On    Verdict
	Share Share
}

// Looks judges as many draws as Test may come to, and tells what Test sees on the way at
// each look at them, by look, model and population; Test stops at the first look at which
// they are enough for every verdict. It is for studies of the verdict itself: nobody is held
// up at the central assumptions, and N is not asked for. Its errors are those of Test.
func Looks(ctx context.Context, c *Claim, o Options) ([][]Look, error) {
	o.N = max(o.N, 1)
	if err := o.check(); err != nil {
		return nil, err
	}
	t, err := prepare(c)
	if err != nil {
		return nil, err
	}
	d := t.newOuter(&o)
	var looks [][]Look
	for from, upto := 0, o.first(); len(looks) <= MostDoublings; from, upto = upto, 2*upto {
		if err := d.extend(ctx, from, upto, &o); err != nil {
			return nil, err
		}
		var at []Look
		for l := range t.models {
			for g := range t.told() {
				replicates := d.verdicts(l, g)
				look := Look{People: t.toldOf(g), Model: t.models[l].String(), Draws: d.n()}
				look.Verdict, _ = d.settle(l, g)
				look.Enough = verdict.Enough(replicates, lookConfidence)
				look.Way.On, look.Way.Share = verdict.Frequent(replicates, lookConfidence, Verdict.Direction)
				look.Size.On, look.Size.Share = verdict.Frequent(replicates, lookConfidence, func(v Verdict) Verdict { return v })
				at = append(at, look)
			}
		}
		looks = append(looks, at)
	}
	return looks, nil
}
