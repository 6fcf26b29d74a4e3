package anthro

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"counterpoise/datasets"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
)

// Surveys returns the embedded populations that were fitted to a survey, sorted.
func Surveys() []string { return datasets.Names("people") }

// Names returns all embedded populations, sorted: surveys, and athletes to whose published
// sizes the people of one are weighted.
func Names() []string {
	names := Surveys()
	for _, a := range athletes() {
		if a.Missing == "" {
			names = append(names, a.Name)
		}
	}
	slices.Sort(names)
	return names
}

// Missing says what would be needed for people of a name that somebody may look for, and
// whom to take in their place; it is empty for all other names.
func Missing(name string) string {
	if a := athletes()[name]; a != nil && a.Missing != "" {
		return fmt.Sprintf("there are no people %s: %s; take %s", name, a.Missing, a.Instead)
	}
	return ""
}

// OtherSex returns the embedded population of the other sex that is of the same people;
// empty where there is none.
func OtherSex(name string) string {
	for _, pair := range [...][2]string{{"-women", "-men"}, {"-girls", "-boys"}} {
		for k, end := range pair {
			if stem, ok := strings.CutSuffix(name, end); ok && slices.Contains(Names(), stem+pair[1-k]) {
				return stem + pair[1-k]
			}
		}
	}
	return ""
}

// athletes reads the embedded files of athletes, by name.
var athletes = sync.OnceValue(func() map[string]*datasets.Athletes {
	files := map[string]*datasets.Athletes{}
	for _, name := range datasets.Names("athletes") {
		file := new(datasets.Athletes)
		if err := datasets.Read("athletes", name, file); err != nil {
			panic("anthro: " + err.Error()) // a damaged build
		}
		files[name] = file
	}
	return files
})

// Athletes are the athletes to whose sizes people of a survey are weighted; nil for all
// other people. Nobody measured how strong they are: what is known of untrained adults of
// their size says nothing of how many of them could do something.
func (p *Population) Athletes() *datasets.Athletes { return p.athletes }

// loaded holds athletes by name, and their refits by name and number, which take long to
// weigh.
var loaded sync.Map

type loadedAthletes struct {
	once   sync.Once
	people *Population
	err    error
}

// athletesOf returns the athletes of a file: with no refit, or where one is given not below
// 0, of the survey's and of the samples'.
func athletesOf(file *datasets.Athletes, refit int) (*Population, error) {
	kept, _ := loaded.LoadOrStore(fmt.Sprintf("%s/%d", file.Name, refit), new(loadedAthletes))
	l := kept.(*loadedAthletes)
	l.once.Do(func() { l.people, l.err = weighAthletes(file, refit) })
	return l.people, l.err
}

// weighAthletes is athletesOf, each time anew.
func weighAthletes(file *datasets.Athletes, refit int) (*Population, error) {
	survey, err := Load(file.From)
	if err != nil {
		return nil, err
	}
	samples, rows := file.Samples, poolRows
	if refit >= 0 {
		if survey, err = survey.Refit(refit); err != nil {
			return nil, err
		}
		samples, rows = otherSamples(samples, montecarlo.NewStream(uint64(refit), "refit/"+file.Name)), refitPool
	}
	targets, err := targetsOf(samples)
	if err != nil {
		return nil, fmt.Errorf("people %s: %w", file.Name, err)
	}
	whose := Selection{Population: survey, Where: []Range{{Of(Age), file.Ages[0], file.Ages[1]}}}
	people, err := whose.reweight(targets, rows)
	if err != nil {
		return nil, fmt.Errorf("people %s: %w", file.Name, err)
	}
	people.Name, people.Title, people.athletes = file.Name, file.Title, file
	people.Provenance.Citation += "; " + file.Provenance.Citation
	people.Provenance.Licence += "; " + file.Provenance.Licence
	people.Provenance.Method = file.Provenance.Method
	return people, nil
}

// targetsOf puts samples together, of each size as many people as were measured: their
// mean, and the standard deviation that all of them have around it.
func targetsOf(samples []datasets.AthleteSample) ([]Target, error) {
	var means, deviations []Target
	for k := range samples[0].Sizes {
		var n, sum, squares float64
		first := &samples[0].Sizes[k]
		for _, s := range samples {
			if len(s.Sizes) != len(samples[0].Sizes) || s.Sizes[k].Of != first.Of {
				return nil, fmt.Errorf("the samples are not of the same sizes")
			}
			of := &s.Sizes[k]
			n, sum = n+float64(of.N), sum+float64(float64(of.N)*of.Mean)
			squares += float64(float64(of.N) * (float64(of.SD*of.SD) + float64(of.Mean*of.Mean)))
		}
		quantity, err := ParseQuantity(first.Of)
		if err != nil {
			return nil, err
		}
		if quantity.Unit() != first.Unit {
			return nil, fmt.Errorf("%s is in %s, must be in %s", first.Of, first.Unit, quantity.Unit())
		}
		mean := sum / n
		means = append(means, Target{Of: quantity, Value: mean})
		deviations = append(deviations, Target{Of: quantity, Kind: DeviationOf, Value: math.Sqrt(squares/n - float64(mean*mean))})
	}
	return append(means, deviations...), nil
}

// otherSamples are what might have been published instead: as many of the samples, drawn
// with replacement, so that it varies which athletes are meant, and of each the mean as
// other people of the same kind would have had it, by its standard error. Standard
// deviations stay: of 15 people their error would ask for more spread than the public has.
func otherSamples(samples []datasets.AthleteSample, stream *montecarlo.Stream) []datasets.AthleteSample {
	other := make([]datasets.AthleteSample, len(samples))
	var z [1]float64
	for i := range other {
		other[i] = samples[int(stream.Float64()*float64(len(samples)))]
		other[i].Sizes = slices.Clone(other[i].Sizes)
		for k := range other[i].Sizes {
			of := &other[i].Sizes[k]
			stream.Normals(z[:])
			of.Mean += z[0] * of.SD / math.Sqrt(float64(of.N))
		}
	}
	return other
}
