package survey

import (
	"fmt"

	"counterpoise/sim/anthro"
	"counterpoise/sim/montecarlo"
)

// Bootstrap resamples the people of one sex in the Army's survey.
type Bootstrap struct {
	Soldiers *Soldiers
	fit      *anthro.Population
	sex      anthro.Sex
}

// ReadBootstrap reads the people to be resampled from the folder of raw files.
func ReadBootstrap(folder string, sex anthro.Sex) (*Bootstrap, error) {
	s, err := ReadSoldiers(folder, sex)
	if err != nil {
		return nil, err
	}
	fit, err := anthro.Load(anthro.SoldiersOf(sex))
	return &Bootstrap{s, fit, sex}, err
}

func (b *Bootstrap) stream(k int) *montecarlo.Stream {
	return montecarlo.NewStream(uint64(k), "bootstrap/"+b.fit.Name)
}

// Resample returns how often each of the people is in the k-th resample, which is not
// that of the k-th refit in package datasets.
func (b *Bootstrap) Resample(k int) []int {
	n := len(b.Soldiers.ID)
	times, stream := make([]int, n), b.stream(k)
	for range n {
		times[int(stream.Float64()*float64(n))]++
	}
	return times
}

// Fit returns the population that is fitted to the k-th resample. Its regional masses, of
// others who were scanned, are those of one of the refits.
func (b *Bootstrap) Fit(k int) (*anthro.Population, error) {
	fit, err := fitPeople(b.Soldiers.resampled(b.stream(k)), b.sex)
	if err != nil {
		return nil, fmt.Errorf("resample %d: %w", k, err)
	}
	p, err := anthro.NewPopulation(fit)
	if err != nil {
		return nil, fmt.Errorf("resample %d: %w", k, err)
	}
	scanned, err := b.fit.Refit(k % b.fit.Refits())
	if err != nil {
		return nil, err
	}
	p.Regional = scanned.Regional
	return p, nil
}
