package anthro_test

import (
	"fmt"
	"math/rand/v2"

	"counterpoise/sim/anthro"
)

func ExampleSelection() {
	men, err := anthro.Load("ansur2-men")
	if err != nil {
		fmt.Println(err)
		return
	}
	reach, err := anthro.ParseQuantity("span/stature")
	if err != nil {
		fmt.Println(err)
		return
	}
	longArmed := anthro.Selection{
		Population: men,
		Where:      []anthro.Range{{Of: reach, Low: 1.05, High: 1.15}},
	}
	random := rand.New(rand.NewChaCha8([32]byte{1}))
	people := anthro.NewPeople(10_000)
	err = longArmed.NewSampler().Draw(people, func(dst []float64) {
		for i := range dst {
			dst[i] = random.NormFloat64()
		}
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	sum := 0.0
	for i := range people.Rows() {
		sum += people.Value[anthro.ForearmLength][i] / people.Value[anthro.Stature][i]
	}
	fmt.Printf("forearm of long-armed men: %.3f of stature\n", sum/float64(people.Rows()))
	// Output: forearm of long-armed men: 0.157 of stature
}

func ExampleMarginal() {
	women, err := anthro.Load("ansur2-women")
	if err != nil {
		fmt.Println(err)
		return
	}
	stature := women.Marginal(anthro.Stature)
	fmt.Printf("median %.2f m; 1.75 m has a score of %.1f\n", stature.Value(0), stature.Score(1.75))
	// Output: median 1.63 m; 1.75 m has a score of 1.8
}
