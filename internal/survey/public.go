package survey

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"counterpoise/datasets"
	"counterpoise/sim/anthro"
	"counterpoise/sim/names"
)

// Examined are people of one sex and some ages from NHANES 2011-2018, in SI units and
// years of the last birthday.
type Examined struct {
	Scans
	Age []float64
	// Arm and Leg are the lengths of upper arm and upper leg as that survey's tape
	// reads them: between other landmarks than the Army's, and over the flesh.
	Arm, Leg []float64
	Descent  []Descent
}

// Descent is what people of both surveys said of their descent: groups whose
// proportions differ.
type Descent int

// The groups that both surveys tell apart.
const (
	White Descent = iota
	Black
	Hispanic
	Asian
	OtherDescent

	numDescents
)

// descentOf returns the group of a code; codes of none are of others.
func descentOf(code float64, groups map[float64]Descent) Descent {
	if d, ok := groups[code]; ok {
		return d
	}
	return OtherDescent
}

// adultCycles are the cycles put together, by the letter of their files.
var adultCycles = []struct{ letter, years string }{{"G", "2011-2012"}, {"H", "2013-2014"}, {"I", "2015-2016"}, {"J", "2017-2018"}}

// ages are those of the people who are read, both included.
type ages struct{ youngest, oldest float64 }

// The scans end at 59; what makes a youth here is being younger than an adult, and old
// enough for the holds.
var (
	youthful = ages{12, 17}
	adult    = ages{18, 59}
)

// ReadAdults reads the men or the women of that survey from the folder of raw files:
// everybody of 18 to 59 who was examined, has a stature and a mass, and is not known
// to be pregnant.
func ReadAdults(folder string, sex anthro.Sex) (*Examined, error) {
	return readExamined(folder, sex, adult)
}

// ReadYouths reads the boys or the girls of 12 to 17 likewise.
func ReadYouths(folder string, sex anthro.Sex) (*Examined, error) {
	return readExamined(folder, sex, youthful)
}

func readExamined(folder string, sex anthro.Sex, of ages) (*Examined, error) {
	a := &Examined{}
	for _, cycle := range adultCycles {
		if err := a.read(folder, cycle.letter, cycle.years, sex, of); err != nil {
			return nil, err
		}
	}
	if len(a.Weight) == 0 {
		return nil, fmt.Errorf("nobody of %g to %g in the surveys in %s", of.youngest, of.oldest, folder)
	}
	return a, nil
}

// read adds the people of one cycle.
func (a *Examined) read(folder, letter, years string, sex anthro.Sex, of ages) error {
	origin := "NHANES " + years + ", %s; CDC/NCHS"
	e, err := readExamination(folder, letter, origin,
		[]string{"SEQN", "RIAGENDR", "RIDAGEYR", "RIDEXPRG", "WTMEC2YR", "SDMVSTRA", "SDMVPSU", "RIDRETH3"},
		[]string{"SEQN", "BMXHT", "BMXWT", "BMXWAIST", "BMXARML", "BMXLEG"})
	if err != nil {
		return err
	}
	a.files = append(a.files, e.files...)
	for _, d := range byNumber(e.demo) {
		age, weight := d[2], d[4]/float64(len(adultCycles))
		// Everybody but those known to be is taken as not pregnant: only women of 20
		// to 44 were asked, or tested.
		if d[1] != sexCode[sex] || !(age >= of.youngest && age <= of.oldest) || !(weight > 0) || d[3] == 1 {
			continue
		}
		size := e.body[d[0]]
		if size == nil || !(size[1] > 0 && size[2] > 0) {
			continue
		}
		a.add(size[1]/100, size[2], size[3]/100, e.masses(d[0]), weight, d[5], d[6])
		a.Age, a.Arm, a.Leg = append(a.Age, age), append(a.Arm, size[4]/100), append(a.Leg, size[5]/100)
		a.Descent = append(a.Descent, descentOf(d[7], map[float64]Descent{1: Hispanic, 2: Hispanic, 3: White, 4: Black, 6: Asian}))
	}
	return nil
}

// sexCode is how the survey writes the sexes.
var sexCode = map[anthro.Sex]float64{anthro.Male: 1, anthro.Female: 2}

// examination is what the examination found in one cycle, by the person's number.
type examination struct {
	demo, body map[float64][]float64
	scan       raw
	regions    map[float64][anthro.NumRegions]float64 // of the scan
	files      []datasets.Raw                         // scan, demographics, body measures
}

// masses returns the masses of a person's regions by the scan; NaN where there is no valid one.
func (e *examination) masses(number float64) [anthro.NumRegions]float64 {
	m, scanned := e.regions[number]
	for r := range m {
		if !scanned {
			m[r] = math.NaN()
		}
	}
	return m
}

// readExamination reads the columns of the demographics and of the body measures that are
// named, and the scan.
func readExamination(folder, letter, origin string, demographics, measures []string) (*examination, error) {
	var e examination
	scan, err := readRaw(folder, "nhanes-dxa-2011-2018/DXX_"+letter+".csv.xz", fmt.Sprintf(origin, "whole-body scan"))
	if err != nil {
		return nil, err
	}
	e.scan, e.files = scan, []datasets.Raw{scan.record, {}, {}}
	if e.regions, err = regionalMasses(scan); err != nil {
		return nil, err
	}
	if e.demo, e.files[1], err = readExport(folder, "DEMO_"+letter, fmt.Sprintf(origin, "demographics"), demographics...); err != nil {
		return nil, err
	}
	e.body, e.files[2], err = readExport(folder, "BMX_"+letter, fmt.Sprintf(origin, "body measures"), measures...)
	return &e, err
}

// regionalMasses returns the masses of the regions, kg, by the person's number, of
// those whose every region was scanned validly.
func regionalMasses(scan raw) (map[float64][anthro.NumRegions]float64, error) {
	regions := []string{"HE", "LA", "RA", "LL", "RL", "TR"}
	of := map[string]anthro.Region{"HE": anthro.Head, "LA": anthro.Arms, "RA": anthro.Arms, "LL": anthro.Legs, "RL": anthro.Legs, "TR": anthro.Trunk}
	names := []string{"SEQN", "DXAEXSTS"}
	for _, r := range regions {
		names = append(names, "DXA"+r+"TV", "DXD"+r+"TOT")
	}
	columns, err := readSparse(scan, names...)
	if err != nil {
		return nil, err
	}
	masses := map[float64][anthro.NumRegions]float64{}
	for i, number := range columns[0] {
		valid := columns[1][i] == 1
		var m [anthro.NumRegions]float64
		for k, r := range regions {
			invalid, grams := columns[2+2*k][i], columns[3+2*k][i]
			valid = valid && invalid == 0 && grams > 0
			m[of[r]] += grams / 1000
		}
		if valid {
			masses[number] = m
		}
	}
	return masses, nil
}

// byNumber returns the rows of an export in the order of the people's numbers.
func byNumber(rows map[float64][]float64) [][]float64 {
	numbers := slices.Sorted(maps.Keys(rows))
	return names.Each(numbers, func(n float64) []float64 { return rows[n] })
}

// scanned returns those whose regions and waist were measured.
func (a *Examined) scanned() *Scans {
	s := &Scans{files: a.files}
	for i, waist := range a.Waist {
		if masses := a.masses(i); !math.IsNaN(waist) && !math.IsNaN(masses[anthro.Head]) {
			s.add(a.Stature[i], a.Mass[i], waist, masses, a.Weight[i], a.Stratum[i], a.Unit[i])
		}
	}
	return s
}
