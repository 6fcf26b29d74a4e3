package claim

import (
	"context"
	"fmt"

	"counterpoise/sim/anthro"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
	"counterpoise/sim/verdict"
)

// Judged is what the draws say of a claim on one population, of women against men on one
// of each, by the name of the women's.
type Judged struct {
	People  string
	Verdict Verdict // under all models that judge
	Models  []JudgedModel
	Why     string // nobody could be judged, or empty; then there is neither verdict nor model
}

// JudgedModel is what they say under one model.
type JudgedModel struct {
	Model   string
	Verdict Verdict
	Draws   int
	// Effect is the median effect over the draws, or the difference of the groups' medians,
	// in the claim's unit; see Draws.
	Effect Summary
}

// judged is what the draws say of one of the claim's populations.
func (d *outer) judged(g int) Judged {
	t := d.t
	j := Judged{People: t.toldOf(g)}
	var verdicts []Verdict
	for l, m := range t.models {
		v, _ := d.settle(l, g)
		if v != NobodyHolds && t.claim.Contrast == nil && d.exact(l) {
			v = NoEffect
		}
		medians, _ := d.centred(names.Each(d.all(l, g), func(r *reading) float64 { return r.inUnit(t.claim) }))
		j.Models = append(j.Models, JudgedModel{m.String(), v, d.n(), band(medians)})
		verdicts = append(verdicts, v)
	}
	if j.Verdict, _ = verdict.Overall(verdicts); j.Verdict == NobodyHolds {
		j = Judged{People: j.People, Why: "no simulated body can take the posture"}
		if t.claim.Contrast != nil {
			j.Why = "in one of the groups hardly anybody can take the posture"
		}
	}
	return j
}

// judge judges a claim on other people instead of its own, by the rule of Test, and no
// more: nobody is held up at the central assumptions, other postures are not looked at, nor
// what decides an open verdict. What it says does not depend on who else is asked. As draws
// double while they are too close to call, it starts with the fewest.
func (c *Claim) judge(ctx context.Context, o Options, names ...string) (Judged, error) {
	other := *c
	other.People = scenario.Survey(names...)
	t, err := prepare(&other)
	if err != nil {
		return Judged{}, err
	}
	if why := t.uncompared(0); why != "" {
		return Judged{People: names[0], Why: why}, nil
	}
	o.Draws = min(o.Draws, LeastDraws)
	d := t.newOuter(&o)
	d.lean = true
	if err := d.judge(ctx, &o); err != nil {
		return Judged{}, err
	}
	return d.judged(0), nil
}

// uncompared says why a contrast is not judged on a population's people, or is empty:
// nobody there is of a group's ages, or see borrowed.
func (t *test) uncompared(g int) string {
	c, ages := t.claim.Contrast, t.groups[g].Selection.Population.Ages()
	if c != nil && c.Stated() && c.By == anthro.Of(anthro.Age) {
		for _, group := range []anthro.Interval{c.Bottom, c.Top} {
			if group.High < ages.Low || group.Low > ages.High {
				return fmt.Sprintf("nobody there is %g to %g years old", group.Low, group.High)
			}
		}
	}
	return t.borrowed(g)
}

// borrowed says why what a contrast finds among a population's people is not theirs, or is
// empty: of athletes sizes are known one by one, and how they go together is the survey's.
func (t *test) borrowed(g int) string {
	a := t.groups[g].Selection.Population.Athletes()
	if a == nil || t.claim.Contrast == nil {
		return ""
	}
	return fmt.Sprintf("how sizes are correlated among %s was never measured", a.Who)
}

// forWhom is what the draws say of each of the claim's populations, and then of the others
// that are asked about.
func (d *outer) forWhom(ctx context.Context, o *Options) ([]Judged, error) {
	if len(o.Others) == 0 {
		return nil, nil
	}
	c := d.t.claim
	var list []Judged
	asked := map[string]bool{}
	for g := range d.t.told() {
		list = append(list, d.judged(g))
	}
	for _, g := range d.t.groups {
		asked[g.Population] = true
	}
	progress, own := o.Progress, *o
	own.Progress = nil
	for k, name := range o.Others {
		if progress != nil {
			progress("for whom", k, len(o.Others))
		}
		if asked[name] {
			continue
		}
		asked[name] = true
		people := []string{name}
		if c.Contrast != nil && c.Contrast.Sexes {
			other := anthro.OtherSex(name)
			if other == "" {
				list = append(list, Judged{People: name, Why: "there are no people of the other sex to compare them with"})
				continue
			}
			asked[other] = true
			people = append(people, other)
		}
		j, err := c.judge(ctx, own, people...)
		if IsInput(err) {
			j, err = Judged{People: name, Why: err.Error()}, nil
		}
		if err != nil {
			return nil, err
		}
		list = append(list, j)
	}
	if progress != nil {
		progress("for whom", len(o.Others), len(o.Others))
	}
	return list, nil
}
