package anthro

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"

	"gonum.org/v1/gonum/stat"
)

// club is invented people: two of whom little is known, and one with more.
func club() *Sample {
	s := &Sample{Name: "club", Title: "three invented women", Sex: "female", Survey: "ansur2-women"}
	s.Add([]Known{{Of: Stature, Value: 1.612}, {Of: Mass, Value: 55.3}})
	s.Add([]Known{{Of: Mass, Value: 63.1}, {Of: Stature, Value: 1.704}})
	s.Add([]Known{{Of: Stature, Value: 1.655}, {Of: Mass, Value: 58.2}, {Of: Span, Value: 1.693}, {Of: ForearmLength, Value: 0.244}})
	return s
}

func sampleOf(t *testing.T, s *Sample) *Population {
	t.Helper()
	return golden.Must(NewSample(s))(t)
}

// Everybody drawn is one of the people measured, each as often as any other; what
// was measured is the same to the bit, and the rest is what conditioning on it
// says.
func TestSampleIsItsPeople(t *testing.T) {
	file := club()
	p := sampleOf(t, file)
	const rows = 60_000
	people := drawn(t, p.NewSampler(), rows, random(31))
	survey := population(t, "ansur2-women")
	n := 0
	for k, measured := range file.People {
		var known []Known
		for key, v := range measured {
			known = append(known, Known{Of: sampleKeys[key], Value: v})
		}
		person := condition(t, survey, Regional{}, known...)
		var scores [NumMeasurements][]float64
		for i := range rows {
			if people.Value[Stature][i] != measured["stature_m"] {
				continue
			}
			for m := range NumMeasurements {
				if v, ok := measured[sampleKey(m)]; ok && people.Value[m][i] != v {
					t.Fatalf("person %d was drawn with a %s of %g, has %g", k+1, m, people.Value[m][i], v)
				}
				scores[m] = append(scores[m], survey.Marginal(m).Score(people.Value[m][i]))
			}
		}
		count := len(scores[Stature])
		n += count
		share := 1 / float64(len(file.People))
		if miss := float64(count) - rows*share; !(math.Abs(miss) <= 4*math.Sqrt(rows*share*(1-share))) {
			t.Errorf("person %d was drawn %d times", k+1, count)
		}
		for a := range NumMeasurements {
			if person.exact[a] {
				continue
			}
			mean, sd := stat.MeanStdDev(scores[a], nil)
			want, variance := person.scores.mean[a], person.scores.covariance.At(int(a), int(a))
			if !(math.Abs(mean-want) <= 4*math.Sqrt(variance/float64(count))) || !(math.Abs(sd*sd/variance-1) <= 4*math.Sqrt(2/float64(count))) {
				t.Errorf("person %d, score of %s: mean %g, variance %g; want %g, %g", k+1, a, mean, sd*sd, want, variance)
			}
			b := (a + 5) % NumMeasurements
			if person.exact[b] {
				continue
			}
			covariance := person.scores.covariance.At(int(a), int(b))
			error := math.Sqrt((variance*person.scores.covariance.At(int(b), int(b)) + covariance*covariance) / float64(count))
			if got := stat.Covariance(scores[a], scores[b], nil); !(math.Abs(got-covariance) <= 4*error) {
				t.Errorf("person %d, covariance of %s and %s: %g, want %g", k+1, a, b, got, covariance)
			}
		}
	}
	if n != rows {
		t.Errorf("%d of %d drawn are none of the people", rows-n, rows)
	}
	for r := range people.Residual {
		variance := p.Regional.Covariance[r][r]
		if mean, sd := stat.MeanStdDev(people.Residual[r], nil); !(math.Abs(mean) <= 4*math.Sqrt(variance/rows)) || !(math.Abs(sd*sd/variance-1) <= 4*math.Sqrt(2.0/rows)) {
			t.Errorf("residual of %s: mean %g, variance %g, want 0, %g", Region(r), mean, sd*sd, variance)
		}
	}
}

// With everything measured nothing is left to chance but who is drawn.
func TestWholeSample(t *testing.T) {
	four := drawn(t, population(t, "ansur2-men").NewSampler(), 4, random(32))
	s := &Sample{Name: "whole", Sex: "male", Survey: "ansur2-men"}
	for i := range 4 {
		var known []Known
		for m := range NumMeasurements {
			known = append(known, Known{Of: m, Value: four.Value[m][i]})
		}
		s.Add(known)
	}
	people := drawn(t, sampleOf(t, s).NewSampler(), 500, random(33))
	for i := range 500 {
		k := slices.Index(four.Value[Stature], people.Value[Stature][i])
		for m := range NumMeasurements {
			if k < 0 || people.Value[m][i] != four.Value[m][k] {
				t.Fatalf("person %d is none of the four", i)
			}
		}
	}
}

func TestSampleSampler(t *testing.T) {
	checkSampler(t, sampleOf(t, club()), sampleOf(t, club()))
}

func TestSampleTells(t *testing.T) {
	p := sampleOf(t, club())
	if !p.Resampled() || p.N != 3 || p.Measured(Stature) != 3 || p.Measured(Span) != 1 || p.Measured(FootLength) != 0 || p.Marginal(Mass) != nil {
		t.Errorf("resampled %t, %d people, %d with stature, %d with span", p.Resampled(), p.N, p.Measured(Stature), p.Measured(Span))
	}
	if got := p.Quantile(Stature, 0.5); got != 1.655 {
		t.Errorf("median stature %g", got)
	}
	if got := p.Quantile(Mass, 0.9); got != 63.1 {
		t.Errorf("90 %% point of mass %g", got)
	}
	survey := population(t, "ansur2-women")
	if survey.Resampled() || survey.Measured(Span) != survey.N || survey.Quantile(Span, 0.5) != survey.Marginal(Span).Value(0) {
		t.Error("a survey tells otherwise")
	}
	if _, err := p.Condition(nil, Regional{}); err == nil || !strings.Contains(err.Error(), "take ansur2-women") {
		t.Errorf("conditioned on a sample: %v", err)
	}
	if _, err := (Selection{Population: p}).Reweight([]Target{{Of: Of(Mass), Value: 60}}); err == nil {
		t.Error("a sample was reweighted")
	}
	// Conditions work on a sample as on a survey.
	tall := drawn(t, Selection{p, []Range{{Of(Stature), 1.7, 1.8}}}.NewSampler(), 20, random(34))
	if slices.Min(tall.Value[Stature]) != 1.704 {
		t.Errorf("selected statures %v", tall.Value[Stature])
	}
}

// Somebody whom a sample says was measured again may be as few are; else they may not.
func TestSampleOfSomebodyMeasuredAgain(t *testing.T) {
	s := &Sample{Name: "tall", Sex: "male", Survey: "ansur2-men", People: []map[string]float64{
		{"stature_m": 2.13, "mass_kg": 105}, {"stature_m": 1.80, "mass_kg": 80},
	}}
	if _, err := NewSample(s); err == nil || !strings.Contains(err.Error(), "person 1") {
		t.Fatalf("as measured once: %v", err)
	}
	s.People[0][measuredAgain] = 1
	if p, err := NewSample(s); err != nil || p.N != 2 {
		t.Errorf("measured again: %v", err)
	}
	s.People[0][measuredAgain] = 2
	if _, err := NewSample(s); err == nil || !strings.Contains(err.Error(), measuredAgain) {
		t.Errorf("measured again, 2: %v", err)
	}
}

func TestDamagedSampleIsAnError(t *testing.T) {
	for want, damage := range map[string]func(*Sample){
		`unknown sex "women"`:                                   func(s *Sample) { s.Sex = "women" },
		"the people of ansur2-women are female, these ":         func(s *Sample) { s.Sex = "male" },
		`unknown survey "ansur"`:                                func(s *Sample) { s.Survey = "ansur" },
		`the name "a/b" must be`:                                func(s *Sample) { s.Name = "a/b" },
		`the name "" must be`:                                   func(s *Sample) { s.Name = "" },
		"the name ansur2-men is taken by people of the program": func(s *Sample) { s.Name = "ansur2-men" },
		"the people are 1, must be 2 to 5000":                   func(s *Sample) { s.People = s.People[:1] },
		`person 2: unknown measurement "stature_cm"`:            func(s *Sample) { s.People[1]["stature_cm"] = 170 },
		"person 3: nothing was measured":                        func(s *Sample) { s.People[2] = nil },
		"person 1: mass: -3 kg, must be positive":               func(s *Sample) { s.People[0]["mass_kg"] = -3 },
		"person 2: stature 170.4 m: of people in":               func(s *Sample) { s.People[1]["stature_m"] = 170.4 },
		"centimetres for metres?":                               func(s *Sample) { s.People[1]["stature_m"] = 170.4 },
		"person 3: palm_length is 0.19 m, must be less than hand_length, 0.175 m": func(s *Sample) {
			s.People[2]["palm_length_m"], s.People[2]["hand_length_m"] = 0.19, 0.175
		},
	} {
		s := club()
		damage(s)
		if _, err := NewSample(s); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want one with %q", err, want)
		}
	}
}

func TestLoadSample(t *testing.T) {
	folder := t.TempDir()
	write := golden.Writer(t, folder)
	good := golden.Must(json.MarshalIndent(club(), "", " "))(t)
	path := write("club.json", string(good))
	p := golden.Must(Load(path))(t)
	if p.Name != "club" || len(p.SHA256) != 64 {
		t.Errorf("name %q, hash %q", p.Name, p.SHA256)
	}
	samePeople(t, "through a file", drawn(t, sampleOf(t, club()).NewSampler(), 300, random(35)), drawn(t, p.NewSampler(), 300, random(35)))
	text := string(good)
	for _, test := range []struct{ path, want string }{
		{folder + "/none.json", "none.json: no such file or directory"},
		{folder + "/.", "is not a regular file"},
		{"/dev/null", "is not a regular file"},
		{write("empty.json", ""), "empty.json:1: not a file of people, as people from makes them: it ends too early"},
		{write("half.json", text[:len(text)/2]), "it ends too early"},
		{write("more.json", text+"{}"), "there is more after the people"},
		{write("field.json", strings.Replace(text, `"survey"`, `"surve"`, 1)), `unknown field "surve"`},
		{write("comma.json", strings.Replace(text, `"sex": "female",`, `"sex": "female"`, 1)), "comma.json:5: "},
		{write("text.json", strings.Replace(text, "55.3", `"55.3"`, 1)), "cannot unmarshal string"},
		{write("long.json", strings.Repeat(" ", mostBytes+1)), "is too long"},
	} {
		if _, err := Load(test.path); err == nil || !strings.Contains(err.Error(), test.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("error %v, want one line with %q", err, test.want)
		}
	}
}

func BenchmarkDrawSample(b *testing.B) {
	s := &Sample{Name: "club", Sex: "female", Survey: "ansur2-women"}
	for i := range 40 {
		s.Add([]Known{{Of: Stature, Value: 1.6 + 0.002*float64(i)}, {Of: Mass, Value: 55 + 0.3*float64(i)}})
	}
	p := golden.Must(NewSample(s))(b)
	benchmarkDraw(b, p.NewSampler(), benchRows, stored((numColumns+1)*batchRows))
}

func BenchmarkReweight(b *testing.B) {
	p := golden.Must(Load("ansur2-women"))(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := (Selection{Population: p}).Reweight([]Target{{Of: Of(Stature), Value: 1.68}, {Of: Of(Mass), Value: 60}}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDrawReweighted(b *testing.B) {
	p := golden.Must(Load("ansur2-women"))(b)
	r := golden.Must(Selection{Population: p}.Reweight([]Target{{Of: Of(Stature), Value: 1.68}, {Of: Of(Mass), Value: 60}}))(b)
	people, sampler, normals := NewPeople(benchRows), r.NewSampler(), random(3)
	b.ReportAllocs()
	for b.Loop() {
		golden.OK(b, sampler.Draw(people, normals))
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*benchRows), "ns/body")
}

func TestNamesOfSamples(t *testing.T) {
	for name, can := range map[string]bool{
		"club": true, "club-women_2": true, "Škola": true, "7": true, strings.Repeat("a", 60): true,
		"": false, "-club": false, "_": false, "club women": false, "../club": false, "club.json": false, "club\n": false,
		"\xff": false, "a\xff": false, strings.Repeat("a", 61): false,
	} {
		if canName(name) != can {
			t.Errorf("%q: %v", name, !can)
		}
	}
}
