package claim_test

import (
	"fmt"
	"strings"
	"testing"

	"counterpoise/sim/claim"
	"counterpoise/sim/scenario"
)

// What is said of another population is what a test on it alone says with as many draws,
// whoever else is asked and whatever the workers; the claim's own verdict is as it was.
func TestForWhom(t *testing.T) {
	c := shipped(t, "front-lever-lost-weight")
	ask := func(workers int, others ...string) *claim.Result {
		return test(t, c, func(o *claim.Options) { o.N, o.Draws, o.Workers, o.Others = 1000, 256, workers, others })
	}
	plain, asked := ask(1), ask(2, "gymnasts-men", "us-men", "ansur2-women")
	if plain.ForWhom != nil || plain.Verdict != asked.Verdict || plain.Draws != asked.Draws {
		t.Errorf("asking others changed what came out: %v of %d draws, %v of %d", plain.Verdict, plain.Draws, asked.Verdict, asked.Draws)
	}
	var who []string
	for _, j := range asked.ForWhom {
		who = append(who, j.People)
	}
	if got := strings.Join(who, " "); got != "us-women us-men gymnasts-men ansur2-women" && got != "us-men us-women gymnasts-men ansur2-women" {
		t.Errorf("asked were %s", got)
	}
	for g, own := range asked.Models[0].Groups {
		j := asked.ForWhom[g]
		if j.People != own.People || j.Verdict != own.Verdict || j.Models[0].Effect.P50 != own.Draws.MedianAt(0.5) || j.Models[0].Draws != own.Draws.N {
			t.Errorf("%s: %+v, the result has %v", own.People, j, own.Verdict)
		}
	}
	if alone := ask(1, "ansur2-women"); fmt.Sprint(alone.ForWhom[2]) != fmt.Sprint(asked.ForWhom[3]) {
		t.Errorf("Army women alone %+v, after gymnasts %+v", alone.ForWhom[2], asked.ForWhom[3])
	}
	soldiers := *c
	soldiers.People = scenario.Survey("ansur2-women")
	tested := test(t, &soldiers, func(o *claim.Options) { o.N, o.Draws = 1000, 256 })
	j, d := asked.ForWhom[3], tested.Models[0].Groups[0].Draws
	if j.Verdict != tested.Verdict || j.Models[0].Draws != d.N || j.Models[0].Effect.P5 != d.MedianAt(0.05) || j.Models[0].Effect.P95 != d.MedianAt(0.95) {
		t.Errorf("Army women: asked %+v, tested %v of %d draws", j, tested.Verdict, d.N)
	}
}

// Women are compared with men of the same people, and athletes not at all where it is by
// how their sizes go together.
func TestForWhomOfContrasts(t *testing.T) {
	few := func(others ...string) func(*claim.Options) {
		return func(o *claim.Options) { o.N, o.Draws, o.Others = 2000, 256, others }
	}
	r := test(t, shipped(t, "women-flag"), few("ansur2-men", "ansur2-women", "gymnasts-men", "us-men"))
	if len(r.ForWhom) != 3 || r.ForWhom[0].People != "us-women" || !strings.HasPrefix(r.ForWhom[1].People, "ansur2-") || r.ForWhom[1].Verdict != claim.Supported || r.ForWhom[2].Why == "" || r.ForWhom[2].Models != nil {
		t.Errorf("%+v", r.ForWhom)
	}
	r = test(t, shipped(t, "push-up-tall"), few("gymnasts-men", "ansur2-men"))
	if len(r.ForWhom) != 4 || !strings.Contains(r.ForWhom[2].Why, "how sizes are correlated") || r.ForWhom[3].Why != "" || r.ForWhom[3].Verdict != claim.NoDifference {
		t.Errorf("%+v", r.ForWhom)
	}
	r = test(t, shipped(t, "age-40"), few("us-girls"))
	if len(r.ForWhom) != 3 || r.ForWhom[2].Why != "nobody there is 20 to 29 years old" || r.ForWhom[2].Models != nil {
		t.Errorf("%+v", r.ForWhom)
	}
}

// Nobody of an age stands for no verdict.
func TestForWhomNobodyIs(t *testing.T) {
	r := test(t, shipped(t, "age-40"), func(o *claim.Options) { o.N, o.Draws, o.Others = 20_000, 0, []string{"us-girls"} })
	if girls := r.ForWhom[2]; girls.Why == "" || girls.Models != nil || girls.Verdict != claim.Supported {
		t.Errorf("%+v", girls)
	}
}
