package said

import (
	"math"
	"strings"
	"testing"

	"counterpoise/internal/outcome"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
)

// The plates beside the model: the known misses are told as misses, the rest is close,
// and the level push-up of men is what the guides print.
func TestPlates(t *testing.T) {
	rows := Plates()
	misses := map[string]bool{"on knees, men": true, "on knees, women": true, "on knees, 8 men": true, "on knees, 14 men and 9 women": true, "arms bent, men": true}
	for _, r := range rows {
		if math.Abs(r.Model-r.Measured-r.Apart) > 1e-15 {
			t.Errorf("%s, %s: %g less %g is not %g", r.Position, r.Who, r.Model, r.Measured, r.Apart)
		}
		if missed := strings.HasPrefix(r.Says, "a miss"); missed != misses[r.Position+", "+r.Who] {
			t.Errorf("%s, %s: apart by %.3f, told as %q", r.Position, r.Who, r.Apart, r.Says)
		}
	}
	if level := rows[0]; level.Who != "men" || math.Abs(level.Model-0.639) > 0.002 {
		t.Errorf("level push-up of %s: %.4f, the guides print 0.639", level.Who, level.Model)
	}
}

// What is told of a claim is what the plates measured and what the model says in the
// same poses, done again here from the rows; the quote says it too.
func TestMeasuredOf(t *testing.T) {
	row := func(position, who string) PlateRow {
		for _, r := range Plates() {
			if r.Position == position && r.Who == who {
				return r
			}
		}
		t.Fatalf("nobody has measured %s of %s", position, who)
		return PlateRow{}
	}
	for _, c := range []struct {
		claim          string
		effects, poses int
		from, to, who  string // one of the effects
		quoted         string
	}{
		{"push-up-knees", 4, 8, "level, arms straight", "on knees", "women", "for such a change"},
		{"push-up-feet-raised", 2, 6, "level", "feet raised 0.61 m", "14 men and 9 women", "for such a change"},
		{"push-up-hands-raised", 2, 6, "on knees", "hands raised 0.30 m", "14 men and 9 women", "for such a change"},
		{"push-up-tall", 0, 4, "", "", "", hold.PlatesOnStature},
	} {
		shipped, err := study.ShippedClaim(c.claim)
		if err != nil {
			t.Fatal(err)
		}
		m := MeasuredOf(shipped)
		if m == nil || len(m.Effects) != c.effects || len(m.Poses) != c.poses {
			t.Errorf("%s: %+v", c.claim, m)
			continue
		}
		if !strings.Contains(m.Quoted, c.quoted) {
			t.Errorf("%s: quoted as %q", c.claim, m.Quoted)
		}
		found := c.effects == 0
		for _, e := range m.Effects {
			if e.From != c.from || e.To != c.to || e.Who != c.who {
				continue
			}
			found = true
			from, to := row(e.From, e.Who), row(e.To, e.Who)
			for _, x := range [][2]float64{
				{e.Measured, to.Measured - from.Measured}, {e.Model, to.Model - from.Model}, {e.Apart, e.Model - e.Measured},
				{e.MeasuredPercent, 100 * (to.Measured/from.Measured - 1)}, {e.ModelPercent, 100 * (to.Model/from.Model - 1)},
			} {
				if math.Abs(x[0]-x[1]) > 1e-12 {
					t.Errorf("%s: %+v: %g, want %g", c.claim, e, x[0], x[1])
				}
			}
			p := words.DemandOf(hold.HandShare, hold.Equilibrium)
			for _, x := range []float64{e.Measured, e.Model, e.Apart} {
				if !strings.Contains(m.Says, p.Signed(x)) {
					t.Errorf("%s: %s is not in %q", c.claim, p.Signed(x), m.Says)
				}
			}
		}
		if !found {
			t.Errorf("%s: no effect from %s to %s of %s: %+v", c.claim, c.from, c.to, c.who, m.Effects)
		}
		for _, r := range m.Poses {
			if study := studyOf(r.Source); c.effects == 0 && !strings.Contains(m.Quoted, study) {
				t.Errorf("%s: the quote does not name %s", c.claim, study)
			}
		}
		x := -0.1
		told := &outcome.Result{Claim: shipped, N: 1, Models: []outcome.ModelResult{{}}}
		told.Models[0].Pooled.Draws = alike(x)
		if shipped.Change != nil && !strings.Contains(Quotable(told), m.Quoted) {
			t.Errorf("%s: the quote leaves out what was measured: %s", c.claim, Quotable(told))
		}
	}
	for _, name := range []string{"longer-arms", "forearm-plank-instead"} {
		if c, err := study.ShippedClaim(name); err != nil || MeasuredOf(c) != nil {
			t.Errorf("%s: %+v (%v)", name, MeasuredOf(c), err)
		}
	}
}

// alike are draws that all have one median effect.
func alike(effect float64) *outcome.Draws {
	all := outcome.Summary{P5: &effect, P50: &effect, P95: &effect}
	return &outcome.Draws{Effect: all, InUnit: all}
}

func changeOf(pose hold.Pose) *scenario.Change { return &scenario.Change{Pose: &pose} }

// Nothing is compared across studies, whose people and ways differ.
func TestMeasuredWithinAStudy(t *testing.T) {
	c := &claim.Claim{Demand: hold.HandShare}
	c.Hold, c.Pose = hold.PushUp, hold.Pose{hold.Bent: 1}
	c.Change = changeOf(hold.Pose{hold.HandsRaised: 0.3})
	if m := MeasuredOf(c); m == nil || len(m.Effects) != 0 || len(m.Poses) != 4 {
		t.Errorf("bent, then hands raised: %+v", m)
	}
	c.Pose = hold.Pose{hold.Bent: 1, hold.FeetRaised: 0.3}
	c.Change = changeOf(hold.Pose{hold.Bent: 1, hold.Kneeling: 1})
	if m := MeasuredOf(c); m != nil {
		t.Errorf("poses that nobody has measured: %+v", m)
	}
}

// A pose in which the model misses the plates by more than the effect takes even the
// effect's direction away; one in which it misses by less does not, and where no pose
// is concerned there is nothing to say.
func TestPlatesAgainst(t *testing.T) {
	for _, c := range []struct {
		claim  string
		effect float64
		want   string
	}{
		{"push-up-hands-raised", 0.032, "not even the direction"},
		{"push-up-hands-raised", -0.032, "not even the direction"},
		{"push-up-knees", -0.190, "the effect on the median body is 0.190 BW"},
		{"push-up-feet-raised", 0.087, ""},
	} {
		shipped, err := study.ShippedClaim(c.claim)
		if err != nil {
			t.Fatal(err)
		}
		m := outcome.ModelResult{}
		m.Pooled.Draws = alike(c.effect)
		result := &outcome.Result{Claim: shipped, N: 1, Models: []outcome.ModelResult{m}}
		got := PlatesAgainst(result)
		if (got == "") != (c.want == "") || !strings.Contains(got, c.want) {
			t.Errorf("%s, %+g: %q", c.claim, c.effect, got)
		}
		if outweighed := strings.Contains(c.want, "direction"); PlatesOutweigh(result) != outweighed ||
			strings.Contains(Quotable(result), "misses published force plates by at least as much") != outweighed {
			t.Errorf("%s, %+g: quoted as %q", c.claim, c.effect, Quotable(result))
		}
	}
}
