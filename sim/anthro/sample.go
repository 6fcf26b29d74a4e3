package anthro

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"slices"
	"strings"
	"unicode"

	"counterpoise/datasets"
	"counterpoise/sim/math"
)

// Sample is the file of people of one's own: a few measured people of one sex,
// from a club or a class. They are too few to fit distributions to, so they are
// kept as they are, and drawn by resampling.
type Sample datasets.Sample

// PublicOf returns the name of the population of the public of a sex, against whom it is
// judged who is plausible, and from whom what was not measured of people is drawn.
func PublicOf(sex Sex) string { return map[Sex]string{Male: "us-men", Female: "us-women"}[sex] }

// SoldiersOf returns the name of the army survey of a sex, the survey that measured most.
func SoldiersOf(sex Sex) string {
	return map[Sex]string{Male: "ansur2-men", Female: "ansur2-women"}[sex]
}

// The fewest people that can be resampled, the most that are read, and how long
// their file may be, in bytes.
const (
	LeastSample = 2
	MostSample  = 5000
	mostBytes   = 8 << 20
)

// canName reports whether a sample may have the name: it names files and streams of
// random numbers.
func canName(name string) bool {
	letters := 0
	for _, r := range name {
		if !unicode.IsLetter(r) && !unicode.IsNumber(r) && (letters == 0 || r != '-' && r != '_') {
			return false
		}
		letters++
	}
	return letters > 0 && letters <= 60
}

// Add keeps what was measured of one more person; errors of the values are not
// kept.
func (s *Sample) Add(known []Known) {
	person := map[string]float64{}
	for _, k := range known {
		person[sampleKey(k.Of)] = k.Value
	}
	s.People = append(s.People, person)
}

// AddAgain is Add for values that were measured again, and are so (see
// Population.ConditionAgain).
func (s *Sample) AddAgain(known []Known) {
	s.Add(known)
	s.People[len(s.People)-1][measuredAgain] = 1
}

// measuredAgain is what stands beside the values of a person in a sample's file whose
// values were measured again, and are so: 1.
const measuredAgain = "measured_again"

func sampleKey(m Measurement) string { return m.String() + "_" + m.Unit() }

var sampleKeys = func() map[string]Measurement {
	keys := map[string]Measurement{}
	for m := range NumVariables {
		keys[sampleKey(m)] = m
	}
	return keys
}()

// SampleKeys are the names that the values of a person may have in a sample's file.
func SampleKeys() []string { return append(slices.Sorted(maps.Keys(sampleKeys)), measuredAgain) }

// NewSample returns the population whose every person is one of the sample's,
// each as likely as any other, with what was not measured on them drawn from the
// survey's people who have the rest in common (see Population.Condition).
//
// Its errors: a damaged file, fewer than 2 people, and those of Condition, with
// the place of the person in the list.
func NewSample(file *Sample) (*Population, error) {
	sex, ok := ParseSex(file.Sex)
	if !ok {
		return nil, fmt.Errorf("unknown sex %q, allowed: %s, %s", file.Sex, Female, Male)
	}
	if !canName(file.Name) {
		return nil, fmt.Errorf("the name %q must be up to 60 letters, digits, - and _", file.Name)
	}
	if slices.Contains(Names(), file.Name) || Missing(file.Name) != "" {
		return nil, fmt.Errorf("the name %s is taken by people of the program, choose another", file.Name)
	}
	for _, text := range []string{file.Title, file.Provenance.Citation} {
		// Such characters would rule the terminal on which the text is printed.
		if strings.ContainsFunc(text, func(r rune) bool { return !unicode.IsPrint(r) }) {
			return nil, fmt.Errorf("%q holds a control character", text)
		}
	}
	if n := len(file.People); n < LeastSample || n > MostSample {
		return nil, fmt.Errorf("the people are %d, must be %d to %d", n, LeastSample, MostSample)
	}
	if !slices.Contains(Surveys(), file.Survey) {
		return nil, fmt.Errorf("unknown survey %q, allowed: %s", file.Survey, strings.Join(Surveys(), ", "))
	}
	survey, err := Load(file.Survey)
	if err != nil {
		return nil, err
	}
	if survey.Sex != sex {
		return nil, fmt.Errorf("the people of %s are %s, these are %s", file.Survey, survey.Sex, sex)
	}
	drawn := &sample{}
	for i, person := range file.People {
		var known []Known
		condition := survey.Condition
		for key, value := range person {
			if key == measuredAgain && value == 1 {
				condition = survey.ConditionAgain
				continue
			}
			m, ok := sampleKeys[key]
			if !ok {
				return nil, fmt.Errorf("person %d: unknown measurement %q; it is written as in stature_m or mass_kg", i+1, key)
			}
			known = append(known, Known{Of: m, Value: value})
		}
		if len(known) == 0 {
			return nil, fmt.Errorf("person %d: nothing was measured", i+1)
		}
		left, err := condition(known, Regional{})
		if err != nil {
			return nil, fmt.Errorf("person %d: %w", i+1, err)
		}
		drawn.add(left)
	}
	return &Population{
		Name: file.Name, Title: file.Title, Sex: sex, N: len(file.People), Provenance: file.Provenance,
		Regional: survey.Regional, survey: survey, sample: drawn, quantiles: &quantiles{},
	}, nil
}

// sample is measured people, each with what is left of the survey's people. What
// is left of those of whom the same was measured differs by the mean alone.
type sample struct {
	rows     []sampleRow
	patterns []pattern
	measured [NumVariables]int // of how many people
}

type sampleRow struct {
	pattern int
	// at holds the value where measured, else the mean of the score.
	at [NumVariables]float64
	// Where the survey is of two kinds of people: what the mean of the second has over
	// that of the first, and how likely the person is of it.
	beside [NumVariables]float64
	second float64
}

// pattern is which measurements were taken, and what is left open by that.
type pattern struct {
	exact  [NumVariables]bool
	factor [NumVariables][NumVariables]float64
}

func (s *sample) add(p *Person) {
	row := sampleRow{pattern: slices.IndexFunc(s.patterns, func(q pattern) bool { return q.exact == p.exact })}
	if row.pattern < 0 {
		row.pattern = len(s.patterns)
		s.patterns = append(s.patterns, pattern{p.exact, p.factor})
	}
	for m, mean := range p.left.mean {
		if row.at[m] = mean; p.exact[m] {
			row.at[m] = p.value[m]
			s.measured[m]++
		}
	}
	copy(row.beside[:], p.left.beside)
	row.second = p.left.second
	s.rows = append(s.rows, row)
}

// fill turns a batch of independent normals, column by column, into rows
// from..to-1 of the measurements. The column after those of the ordinary normals
// picks the person.
func (s *sample) fill(survey *Population, column func(int) []float64, values [NumVariables][]float64, from, to int) {
	var normals [NumVariables][]float64
	for m := range survey.variables() {
		normals[m] = column(m)
	}
	picked := column(pick)
	for i, z := range picked {
		// Rounding may make the uniform number 1.
		picked[i] = math.Min(math.Floor(uniform(z)*float64(len(s.rows))), float64(len(s.rows)-1))
		row := &s.rows[int(picked[i])]
		factor := &s.patterns[row.pattern].factor
		ofSecond := 0.0
		if row.second > 0 && column(kind)[i] < row.second {
			ofSecond = 1
		}
		var own [NumVariables]float64
		for m := range survey.variables() {
			own[m] = normals[m][i]
		}
		for m := range survey.variables() {
			score := row.at[m] + float64(ofSecond*row.beside[m])
			for j, weight := range factor[m][:m+1] {
				score += float64(weight * own[j])
			}
			normals[m][i] = score // of no use where measured
		}
	}
	for m := range survey.variables() {
		dst := values[m][from:to]
		survey.Values(Measurement(m), dst, normals[m])
		for i, k := range picked {
			if row := &s.rows[int(k)]; s.patterns[row.pattern].exact[m] {
				dst[i] = row.at[m]
			}
		}
	}
}

// uniform turns a standard normal into a number uniform on 0..1.
func uniform(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// IsFile reports whether the name of people is the path of a file of one's own: it
// has a slash or a dot.
func IsFile(name string) bool { return strings.ContainsAny(name, `/\.`) }

// loadSample reads people of one's own from a file.
func loadSample(path string) (*Population, error) {
	text, err := readSmall(path)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	file, err := datasets.ReadSample(path, text)
	if err != nil {
		return nil, err
	}
	population, err := NewSample((*Sample)(file))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	sum := sha256.Sum256(text)
	population.SHA256, population.file = hex.EncodeToString(sum[:]), text
	return population, nil
}

// readSmall reads a regular file that is not too long: a device could go on for
// ever, or wait.
func readSmall(path string) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		var fault *fs.PathError
		if errors.As(err, &fault) {
			err = fault.Err
		}
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, errors.New("is not a regular file")
	}
	if info.Size() > mostBytes {
		return nil, fmt.Errorf("is too long, at most %d bytes are read", mostBytes)
	}
	return os.ReadFile(path)
}

// Resampled reports whether the people are a sample's, resampled, rather than
// drawn from a survey's distribution.
func (p *Population) Resampled() bool { return p.sample != nil }

// Survey returns the survey from whose people is drawn what was not measured: the
// one behind people who are no survey, or the population itself.
func (p *Population) Survey() *Population {
	return cmp.Or(p.survey, p)
}

// File returns the file of people of one's own as it was read, whose hash is SHA256,
// and nil for other people. It is not to be changed.
func (p *Population) File() []byte { return p.file }

// Note says what shares of people who are resampled mean, and what is not known of
// athletes; it is empty for others.
func (p *Population) Note() string {
	if a := p.athletes; a != nil {
		return fmt.Sprintf("%s are people from %s at the sizes of %s: difficulty is in multiples of an untrained adult's strength, which is not theirs, and how many of them could hold it is not known", p.Name, a.From, a.Who)
	}
	if !p.Resampled() {
		return ""
	}
	return fmt.Sprintf("%s are %d people, resampled: the shares are theirs, and no interval says how far other people differ", p.Name, p.N)
}

// Measured returns of how many people the measurement was taken.
func (p *Population) Measured(m Measurement) int {
	if p.sample != nil {
		return p.sample.measured[m]
	}
	return p.N
}
