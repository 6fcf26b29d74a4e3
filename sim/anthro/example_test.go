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

func ExamplePopulation_Condition() {
	women, err := anthro.Load("ansur2-women")
	if err != nil {
		fmt.Println(err)
		return
	}
	known := []anthro.Known{
		{Of: anthro.Stature, Value: 1.68, Error: 0.005},
		{Of: anthro.Mass, Value: 61},
		{Of: anthro.Span, Value: 1.71},
	}
	person, err := women.Condition(known, anthro.Regional{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("forearm %.1f cm (5-95 %%: %.1f-%.1f)\n", 100*person.Quantile(anthro.ForearmLength, 0.5),
		100*person.Quantile(anthro.ForearmLength, 0.05), 100*person.Quantile(anthro.ForearmLength, 0.95))
	fmt.Printf("a longer span than %.0f %% of women, %.0f %% of those as tall\n",
		100*women.ShareBelow(anthro.Span, 1.71), 100*women.ShareBelow(anthro.Span, 1.71, known[0]))

	// What would narrow the length of the forearm and hand together?
	random := rand.New(rand.NewChaCha8([32]byte{1}))
	people := anthro.NewPeople(10_000)
	err = person.NewSampler().Draw(people, func(dst []float64) {
		for i := range dst {
			dst[i] = random.NormFloat64()
		}
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	reach := make([]float64, people.Rows())
	for i := range reach {
		reach[i] = people.Value[anthro.ForearmLength][i] + people.Value[anthro.HandLength][i]
	}
	gains, err := person.WhatNext(people, reach)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, g := range gains[:2] {
		fmt.Printf("%s would leave a width of %.1f cm\n", g, 100*g.Width)
	}

	// Seventy-one inches, written as centimetres.
	known[2].Value = 0.71
	_, err = women.Condition(known, anthro.Regional{})
	fmt.Println(err)
	// Output:
	// forearm 24.8 cm (5-95 %: 23.6-26.3)
	// a longer span than 74 % of women, 48 % of those as tall
	// forearm_length would leave a width of 2.1 cm
	// hand_length would leave a width of 2.7 cm
	// span 0.71 m: of people in us-women with that stature, mass, 90 % have 1.63..1.769 m; beyond 1.501..1.949 m fewer than 1 in 100,000 are as unusual; 1.803 m would fit: inches for centimetres?
}
