package survey

import (
	"fmt"
	"math"

	"counterpoise/datasets"
	"counterpoise/sim/anthro"

	"gonum.org/v1/gonum/stat"
)

// Grips are people of one sex from NHANES 2011-2014 whose grip was measured, in
// SI units and years.
type Grips struct {
	Scans
	Age []float64
	// Best is the greatest reading of either hand, N.
	Best []float64
	// Within is how far the readings of one hand scatter: the variance of their
	// logarithms, mean over the hands read more than once; NaN where none was.
	Within []float64
	// ArmLean is the lean mass of both arms without bone, kg, by whole-body scan;
	// NaN where there is no valid one.
	ArmLean []float64
}

// GripRules says who is left out. Besides, everybody without a reading, stature,
// mass or weight is, and who is below the age of 12 or of 80 and more, where ages
// are no longer told apart. The survey itself had left out hands that were
// operated on in the last three months, and people who cannot hold the
// dynamometer.
type GripRules struct {
	Seated     bool // keep those tested seated, being unable to stand
	Operated   bool // keep those ever operated on hand or wrist for arthritis or carpal tunnel
	OneHand    bool // keep those tested on one hand only
	HalfEffort bool // count trials of an effort that the examiner found questionable
	Pregnant   bool // keep women known to be pregnant, whose mass is not only theirs
}

// TheGripRules are those of the fit: both hands, standing, hands never operated
// on, efforts held to be maximal, not pregnant.
var TheGripRules = GripRules{}

// kilogramForce is the force that a dynamometer marked in kilograms shows as 1:
// standard gravity (CGPM 1901).
const kilogramForce = 9.80665

// gripCycles are the two cycles of the grip test.
var gripCycles = adultCycles[:2]

// ReadGrips reads the men or the women of the grip survey from the folder of raw
// files, joining each with body measures, demographics and, where there is one,
// the scan.
func ReadGrips(folder string, sex anthro.Sex, rules GripRules) (*Grips, error) {
	g := &Grips{}
	for _, cycle := range gripCycles {
		if err := g.read(folder, cycle.letter, cycle.years, sex, rules); err != nil {
			return nil, err
		}
	}
	if len(g.Best) == 0 {
		return nil, fmt.Errorf("no people in the grip survey in %s", folder)
	}
	return g, nil
}

var gripColumns = []string{
	"SEQN", "MGDEXSTS", "MGD050", "MGDSEAT",
	"MGXH1T1", "MGXH1T2", "MGXH1T3", "MGXH2T1", "MGXH2T2", "MGXH2T3",
	"MGXH1T1E", "MGXH1T2E", "MGXH1T3E", "MGXH2T1E", "MGXH2T2E", "MGXH2T3E",
}

// read adds the people of one cycle.
func (g *Grips) read(folder, letter, years string, sex anthro.Sex, rules GripRules) error {
	origin := "NHANES " + years + ", %s; CDC/NCHS"
	grip, err := readRaw(folder, "nhanes-grip-2011-2014/MGX_"+letter+".csv.xz", fmt.Sprintf(origin, "grip test"))
	if err != nil {
		return err
	}
	columns, err := readSparse(grip, gripColumns...)
	if err != nil {
		return err
	}
	e, err := readExamination(folder, letter, origin,
		[]string{"RIAGENDR", "RIDAGEYR", "RIDEXPRG", "WTMEC2YR", "SDMVSTRA", "SDMVPSU"}, []string{"BMXHT", "BMXWT", "BMXWAIST"})
	if err != nil {
		return err
	}
	lean, err := armLean(e.scan)
	if err != nil {
		return err
	}
	g.files = append(append(g.files, grip.record), e.files...)
	for i, number := range columns[0] {
		d, ok := e.demo[number]
		if !ok {
			return fmt.Errorf("%s: person %.0f is not in %s", grip.record.File, number, e.files[1].File)
		}
		// Everybody but those known to be is taken as not pregnant: only women of 20
		// to 44 were asked, or tested.
		age, weight := d[1], d[3]/2
		if d[0] != sexCode[sex] || !(age >= strengthYoungest && age <= strengthOldest) || !(weight > 0) || d[2] == 1 && !rules.Pregnant {
			continue
		}
		best, within, ok := bestGrip(columns, i, rules)
		size := e.body[number]
		if !ok || size == nil || !(size[0] > 0 && size[1] > 0) {
			continue
		}
		arms, ok := lean[number]
		if !ok {
			arms = math.NaN()
		}
		g.add(size[0]/100, size[1], size[2]/100, e.masses(number), weight, d[4], d[5])
		g.Age, g.Best = append(g.Age, age), append(g.Best, best*kilogramForce)
		g.Within, g.ArmLean = append(g.Within, within), append(g.ArmLean, arms)
	}
	return nil
}

// bestGrip returns the greatest reading of row i, kg, and the variance of the
// logarithms of one hand's readings, unless the rules leave the person out or
// nothing was read.
func bestGrip(columns [][]float64, i int, rules GripRules) (best, within float64, ok bool) {
	status, operated, position := columns[1][i], columns[2][i], columns[3][i]
	if status != 1 && !(status == 2 && rules.OneHand) || operated == 1 && !rules.Operated || position == 2 && !rules.Seated {
		return 0, 0, false
	}
	hands := 0
	for hand := range 2 {
		var logs []float64
		for trial := 3 * hand; trial < 3*hand+3; trial++ {
			if effort := columns[10+trial][i]; effort == 1 || effort == 2 && rules.HalfEffort {
				best = max(best, columns[4+trial][i])
				logs = append(logs, math.Log(columns[4+trial][i]))
			}
		}
		if len(logs) > 1 {
			within += stat.Variance(logs, nil)
			hands++
		}
	}
	return best, within / float64(hands), best > 0
}

// armLean returns the lean mass of both arms, kg, by the person's number, of
// those whose arms were scanned validly.
func armLean(scan raw) (map[float64]float64, error) {
	columns, err := readSparse(scan, "SEQN", "DXALATV", "DXARATV", "DXDLALE", "DXDRALE")
	if err != nil {
		return nil, err
	}
	lean := map[float64]float64{}
	for i, number := range columns[0] {
		if kilograms := (columns[3][i] + columns[4][i]) / 1000; columns[1][i] == 0 && columns[2][i] == 0 && kilograms > 0 {
			lean[number] = kilograms
		}
	}
	return lean, nil
}

// readExport reads named columns of a survey's transport file, by the person's
// number. Only the columns from one on that are named are kept, in their order.
func readExport(folder, name, origin string, names ...string) (map[float64][]float64, datasets.Raw, error) {
	file, err := readRaw(folder, "nhanes-bmx-demo/"+name+".XPT.gz", origin)
	if err != nil {
		return nil, datasets.Raw{}, err
	}
	t, err := parseTransport(file.text)
	if err != nil {
		return nil, datasets.Raw{}, fmt.Errorf("%s: %w", file.record.File, err)
	}
	for _, column := range append([]string{"SEQN"}, names...) {
		if t.columns[column] == nil {
			return nil, datasets.Raw{}, fmt.Errorf("%s: no column %s", file.record.File, column)
		}
	}
	rows := make(map[float64][]float64, t.rows)
	for i, number := range t.columns["SEQN"] {
		row := make([]float64, len(names))
		for k, column := range names {
			row[k] = t.columns[column][i]
		}
		rows[number] = row
	}
	return rows, file.record, nil
}
