package anthro

import (
	"math/rand/v2"
	"testing"

	"counterpoise/internal/golden"
)

const benchRows = 4096

// stored returns a source of normals that costs next to nothing, so that a
// benchmark sees the sampler and not the generator.
func stored(n int) func([]float64) {
	random := rand.New(rand.NewChaCha8([32]byte{3}))
	store := make([]float64, n)
	for i := range store {
		store[i] = random.NormFloat64()
	}
	return func(dst []float64) { copy(dst, store) }
}

// benchmarkDraw draws so many people at a time.
func benchmarkDraw(b *testing.B, sampler *Sampler, rows int, normals func([]float64)) {
	people := NewPeople(rows)
	b.ReportAllocs()
	for b.Loop() {
		golden.OK(b, sampler.Draw(people, normals))
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*rows), "ns/body")
}

func BenchmarkDraw(b *testing.B) {
	for _, name := range []string{"ansur2-men", "us-men"} {
		b.Run("people="+name, func(b *testing.B) {
			population := golden.Must(Load(name))(b)
			benchmarkDraw(b, population.NewSampler(), benchRows, stored(numColumns*batchRows))
		})
	}
}

func BenchmarkDrawSelection(b *testing.B) {
	population := golden.Must(Load("ansur2-men"))(b)
	selection := Selection{population, []Range{{BodyMassIndex, 18.5, 27}}}
	random := rand.New(rand.NewChaCha8([32]byte{3}))
	normals := func(dst []float64) {
		for i := range dst {
			dst[i] = random.NormFloat64()
		}
	}
	benchmarkDraw(b, selection.NewSampler(), benchRows, normals)
}

func BenchmarkMarginalValues(b *testing.B) {
	population := golden.Must(Load("ansur2-men"))(b)
	scores, values := make([]float64, benchRows), make([]float64, benchRows)
	stored(benchRows)(scores)
	b.ReportAllocs()
	for b.Loop() {
		population.Marginal(Mass).Values(values, scores)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*benchRows), "ns/body")
}

// A person of whom three measurements are known, conditioned and drawn 20,000
// times.
func BenchmarkDrawPerson(b *testing.B) {
	population := golden.Must(Load("ansur2-women"))(b)
	const rows = 20_000
	person := condition(b, population, Regional{}, Known{Stature, 1.68, 0.005}, Known{Mass, 61, 0}, Known{Span, 1.71, 0})
	benchmarkDraw(b, person.NewSampler(), rows, stored(numColumns*batchRows))
}

func BenchmarkCondition(b *testing.B) {
	population := golden.Must(Load("ansur2-women"))(b)
	known := []Known{{Stature, 1.68, 0.005}, {Mass, 61, 0}, {Span, 1.71, 0}}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := population.Condition(known, Regional{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkWhatNext(b *testing.B) {
	population := golden.Must(Load("ansur2-women"))(b)
	const rows = 20_000
	person := condition(b, population, Regional{}, Known{Stature, 1.68, 0.005}, Known{Mass, 61, 0}, Known{Span, 1.71, 0})
	people := NewPeople(rows)
	golden.OK(b, person.NewSampler().Draw(people, random(3)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := person.WhatNext(people, people.Value[ForearmLength]); err != nil {
			b.Fatal(err)
		}
	}
}
