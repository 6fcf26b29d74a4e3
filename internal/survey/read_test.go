package survey

import (
	"math"
	"slices"
	"strings"
	"testing"

	"counterpoise/datasets"
	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"

	"gonum.org/v1/gonum/stat"
)

// Numbers of people: Gordon et al. 2014, NATICK/TR-15/007, 4,082 men and 1,986
// women. Ends of the ranges read off the raw files' first and extreme lines.
func TestReadSoldiers(t *testing.T) {
	folder := rawFiles(t)
	for _, test := range []struct {
		sex                       anthro.Sex
		people                    int
		shortest, tallest         float64
		lightest, heaviest        float64
		meanStature, meanArmUpper float64 // printed to 0.01 mm by an independent computation (pandas)
	}{
		{anthro.Male, 4082, 1.491, 1.993, 39.3, 144.2, 1.75621, 0.33524},
		{anthro.Female, 1986, 1.409, 1.829, 35.8, 119.6, 1.62847, 0.31120},
	} {
		s := golden.Must(ReadSoldiers(folder, test.sex))(t)
		if s.People.Rows() != test.people || len(s.ID) != test.people {
			t.Errorf("%s: %d people, want %d", test.sex, s.People.Rows(), test.people)
		}
		stature, mass := s.People.Value[anthro.Stature], s.People.Value[anthro.Mass]
		for name, c := range map[string][3]float64{
			"stature": {slices.Min(stature) - test.shortest, slices.Max(stature) - test.tallest},
			"mass":    {slices.Min(mass) - test.lightest, slices.Max(mass) - test.heaviest},
		} {
			if c != [3]float64{} {
				t.Errorf("%s: range of %s differs from the expected by %v", test.sex, name, c)
			}
		}
		if got := stat.Mean(stature, nil); math.Abs(got-test.meanStature) > 0.5e-5 {
			t.Errorf("%s: mean stature %.6f, want %.5f", test.sex, got, test.meanStature)
		}
		if got := stat.Mean(s.People.Value[anthro.UpperArmLength], nil); math.Abs(got-test.meanArmUpper) > 0.5e-5 {
			t.Errorf("%s: mean upper-arm length %.6f, want %.5f", test.sex, got, test.meanArmUpper)
		}
		for m, column := range s.People.Value {
			if slices.Min(column) <= 0 {
				t.Errorf("%s: %s has a value of %g", test.sex, anthro.Measurement(m), slices.Min(column))
			}
		}
	}
	men := golden.Must(ReadSoldiers(folder, anthro.Male))(t)
	if men.ID[0] != 10027 || men.People.Value[anthro.Span][0] != 1.782 || men.People.Value[anthro.Mass][0] != 81.5 {
		t.Errorf("first man: number %.0f, span %g, mass %g; the file's first line has 10027, 1782 and 815",
			men.ID[0], men.People.Value[anthro.Span][0], men.People.Value[anthro.Mass][0])
	}
}

// Means and standard deviations: the source article's own summary, as also given
// by the data set's distributor, in cm and kg.
func TestReadStudents(t *testing.T) {
	folder := rawFiles(t)
	for _, test := range []struct {
		sex                       anthro.Sex
		people                    int
		stature, mass, biacromial [2]float64
	}{
		{anthro.Male, 247, [2]float64{177.75, 7.18}, [2]float64{78.14, 10.51}, [2]float64{41.24, 2.09}},
		{anthro.Female, 260, [2]float64{164.87, 6.54}, [2]float64{60.60, 9.62}, [2]float64{36.50, 1.78}},
	} {
		s := golden.Must(ReadStudents(folder, test.sex))(t)
		if len(s.Stature) != test.people {
			t.Errorf("%s: %d people, want %d", test.sex, len(s.Stature), test.people)
		}
		for _, c := range []struct {
			name   string
			values []float64
			scale  float64
			want   [2]float64
		}{
			{"stature", s.Stature, 100, test.stature},
			{"mass", s.Mass, 1, test.mass},
			{"biacromial breadth", s.BiacromialBreadth, 100, test.biacromial},
		} {
			mean, spread := stat.MeanStdDev(c.values, nil)
			if math.Abs(mean*c.scale-c.want[0]) > 0.005001 || math.Abs(spread*c.scale-c.want[1]) > 0.005001 {
				t.Errorf("%s: %s %.4f, standard deviation %.4f; want %v", test.sex, c.name, mean*c.scale, spread*c.scale, c.want)
			}
		}
	}
}

// The two surveys took biacromial breadth on different people, with different
// hands: they must agree to within what people differ.
func TestBiacromialBreadthAgreesWithAnotherSurvey(t *testing.T) {
	folder := rawFiles(t)
	for sex, name := range map[anthro.Sex]string{anthro.Male: "ansur2-men", anthro.Female: "ansur2-women"} {
		students := golden.Must(ReadStudents(folder, sex))(t)
		mean, spread := stat.MeanStdDev(draw(t, name, 100_000).Value[anthro.BiacromialBreadth], nil)
		otherMean, otherSpread := stat.MeanStdDev(students.BiacromialBreadth, nil)
		t.Logf("%s: drawn %.4f m, standard deviation %.4f; Heinz et al. 2003 %.4f, %.4f", name, mean, spread, otherMean, otherSpread)
		if math.Abs(mean-otherMean) > otherSpread || math.Abs(spread/otherSpread-1) > 0.25 {
			t.Errorf("%s: drawn biacromial breadth %.4f m, standard deviation %.4f; Heinz et al. 2003 %.4f, %.4f", name, mean, spread, otherMean, otherSpread)
		}
	}
}

func TestReadColumnsRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"":                       "EOF",
		"a,b\n1,2\n":             "no column c",
		"a,c\n1,2\n1,\n":         `x.csv:3: c is "", must be a number`,
		"a,c\n1,NA\n":            `x.csv:2: c is "NA", must be a number`,
		"a,c\n1,NaN\n":           "must be a number",
		"a,c\n1,Inf\n":           "must be a number",
		"a,c\n1\n":               "wrong number of fields",
		"a,c\n\"1,2\n":           "quote",
		"a,C\n1,2\n":             "no column c",
		"c,a\n1e400,3\n":         "must be a number",
		"d\xe9j\xe0,a\n1,2\n3,4": "no column c",
	} {
		_, err := readColumns(raw{text: []byte(text), record: datasets.Raw{File: "x.csv"}}, "a", "c")
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: error %v, want one with %q", text, err, want)
		}
	}
	// Columns that are not asked for may hold anything, in any encoding.
	columns, err := readColumns(raw{text: []byte("c,Nom,b\r\n1.5,Andr\xe9,\r\n-2,\"x, y\",z")}, "c|d")
	if err != nil || len(columns[0]) != 2 || columns[0][0] != 1.5 || columns[0][1] != -2 {
		t.Errorf("columns %v, error %v", columns, err)
	}
}
