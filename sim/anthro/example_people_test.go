package anthro_test

import (
	"fmt"
	"math/rand/v2"

	"counterpoise/sim/anthro"
)

// Women as tall and heavy on average as those of a gym.
func ExampleSelection_Reweight() {
	women, err := anthro.Load("ansur2-women")
	if err != nil {
		fmt.Println(err)
		return
	}
	gym, err := anthro.Selection{Population: women}.Reweight([]anthro.Target{
		{Of: anthro.Of(anthro.Stature), Value: 1.66},
		{Of: anthro.Of(anthro.Mass), Value: 62},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("effective sample size: %.0f %%\n", 100*gym.Reweighted.Effective)
	fmt.Printf("median span %.2f m, was %.2f m\n", gym.Quantile(anthro.Span, 0.5), women.Quantile(anthro.Span, 0.5))
	// Output:
	// effective sample size: 33 %
	// median span 1.68 m, was 1.66 m
}

// A club of three, of whom little was measured.
func ExampleNewSample() {
	club := &anthro.Sample{Name: "club", Title: "three women", Sex: "female", Survey: "ansur2-women"}
	for _, p := range [][2]float64{{1.61, 55}, {1.66, 58}, {1.70, 63}} {
		club.Add([]anthro.Known{{Of: anthro.Stature, Value: p[0]}, {Of: anthro.Mass, Value: p[1]}})
	}
	people, err := anthro.NewSample(club)
	if err != nil {
		fmt.Println(err)
		return
	}
	random := rand.New(rand.NewChaCha8([32]byte{1}))
	drawn := anthro.NewPeople(4)
	err = people.NewSampler().Draw(drawn, func(dst []float64) {
		for i := range dst {
			dst[i] = random.NormFloat64()
		}
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for i := range drawn.Rows() {
		fmt.Printf("stature %.2f m, forearm %.3f m\n", drawn.Value[anthro.Stature][i], drawn.Value[anthro.ForearmLength][i])
	}
	// Output:
	// stature 1.61 m, forearm 0.238 m
	// stature 1.66 m, forearm 0.255 m
	// stature 1.61 m, forearm 0.236 m
	// stature 1.70 m, forearm 0.268 m
}
