package survey

import (
	"fmt"

	"counterpoise/datasets"
	"counterpoise/sim/anthro"
)

// Scans are people of one sex from cycles of NHANES, in SI units; NaN stands for what was
// not measured on somebody.
type Scans struct {
	Stature, Mass, Waist []float64
	// Region holds the masses in kilograms by whole-body composition scan (dual-energy X-ray
	// absorptiometry): mineral, fat and lean together, both sides.
	Region [anthro.NumRegions][]float64
	// Weight says how many Americans each person stands for: the examination weight of two
	// years (WTMEC2YR) over the number of cycles put together.
	Weight []float64
	// Stratum and Unit say where in the sample's design each person stands (masked variance
	// stratum and sampling unit, SDMVSTRA and SDMVPSU).
	Stratum, Unit []float64

	files []datasets.Raw
}

// add adds a person, by stature and waist in metres, mass in kilograms, the masses of the
// regions, and the place in the sample.
func (s *Scans) add(stature, mass, waist float64, region [anthro.NumRegions]float64, weight, stratum, unit float64) {
	s.Stature, s.Mass, s.Waist = append(s.Stature, stature), append(s.Mass, mass), append(s.Waist, waist)
	for r := range s.Region {
		s.Region[r] = append(s.Region[r], region[r])
	}
	s.Weight, s.Stratum, s.Unit = append(s.Weight, weight), append(s.Stratum, stratum), append(s.Unit, unit)
}

const (
	youngest = 18
	oldest   = 50
)

// masses returns the masses of somebody's regions.
func (s *Scans) masses(i int) (masses [anthro.NumRegions]float64) {
	for r := range masses {
		masses[r] = s.Region[r][i]
	}
	return masses
}

// ReadScans reads the men or the women of 18 to 50 who were scanned in NHANES 2003-2004 from
// the folder of raw files, joining each with their survey weight.
func ReadScans(folder string, sex anthro.Sex) (*Scans, error) {
	scans, err := readRaw(folder, "nhanes-dxa-2003-2004/dembmxdxx2.converted.csv",
		"NHANES 2003-2004 (DXX_C, BMX_C, DEMO_C), joined; CDC/NCHS")
	if err != nil {
		return nil, err
	}
	design, demo, err := readExport(folder, "DEMO_C", "NHANES 2003-2004, demographics; CDC/NCHS", "WTMEC2YR", "SDMVSTRA", "SDMVPSU")
	if err != nil {
		return nil, err
	}
	columns, err := readColumns(scans,
		"SEQN", "RIAGENDR", "RIDAGEYR", "BMXWT", "BMXHT", "BMXWAIST",
		"DXXHEBMC", "DXXHEFAT", "DXDHELE",
		"DXDTRBMC", "DXXTRFAT", "DXDTRLE",
		"DXXLABMC", "DXXLAFAT", "DXDLALE", "DXXRABMC", "DXXRAFAT", "DXDRALE",
		"DXXLLBMC", "DXXLLFAT", "DXDLLLE", "DXXRLBMC", "DXXRLFAT", "DXDRLLE")
	if err != nil {
		return nil, err
	}
	parts := [anthro.NumRegions][][]float64{
		anthro.Head:  columns[6:9],
		anthro.Trunk: columns[9:12],
		anthro.Arms:  columns[12:18],
		anthro.Legs:  columns[18:24],
	}
	s := &Scans{files: []datasets.Raw{scans.record, demo}}
	for i, number := range columns[0] {
		if age := columns[2][i]; columns[1][i] != sexCode[sex] || age < youngest || age > oldest {
			continue
		}
		of := design[number] // nobody who was only interviewed has a weight
		if of == nil || !(of[0] > 0) {
			return nil, fmt.Errorf("%s: person %.0f has no survey weight in %s", scans.record.File, number, demo.File)
		}
		var masses [anthro.NumRegions]float64
		for r := range masses {
			for _, part := range parts[r] {
				masses[r] += part[i]
			}
			masses[r] /= 1000
		}
		s.add(columns[4][i]/100, columns[3][i], columns[5][i]/100, masses, of[0], of[1], of[2])
	}
	if len(s.Weight) == 0 {
		return nil, fmt.Errorf("%s: no people", scans.record.File)
	}
	return s, nil
}
