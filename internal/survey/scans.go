package survey

import (
	"fmt"

	"counterpoise/datasets"
	"counterpoise/sim/anthro"
)

// Scans are people of one sex aged 18 to 50 from NHANES 2003-2004 with a
// whole-body composition scan (dual-energy X-ray absorptiometry), in SI units.
type Scans struct {
	Stature, Mass, Waist []float64
	// Region holds the masses in kilograms: mineral, fat and lean together, both
	// sides.
	Region [anthro.NumRegions][]float64
	// Weight says how many Americans each person stands for (two-year weight of
	// the examination, WTMEC2YR).
	Weight []float64
	// Stratum and Unit are those of the survey's design (SDMVSTRA, SDMVPSU).
	Stratum, Unit []float64

	files []datasets.Raw
}

const (
	youngest = 18
	oldest   = 50
)

// ReadScans reads the men or the women of that survey from the folder of raw
// files, joining each with their survey weight.
func ReadScans(folder string, sex anthro.Sex) (*Scans, error) {
	scans, err := readRaw(folder, "nhanes-dxa-2003-2004/dembmxdxx2.converted.csv",
		"NHANES 2003-2004 (DXX_C, BMX_C, DEMO_C), joined; CDC/NCHS")
	if err != nil {
		return nil, err
	}
	demo, err := readRaw(folder, "nhanes-bmx-demo/DEMO_C.XPT.gz", "NHANES 2003-2004, demographics; CDC/NCHS")
	if err != nil {
		return nil, err
	}
	design, err := surveyDesign(demo)
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
	s := &Scans{files: []datasets.Raw{scans.record, demo.record}}
	for i, number := range columns[0] {
		if age := columns[2][i]; columns[1][i] != sexCode[sex] || age < youngest || age > oldest {
			continue
		}
		of, ok := design[number]
		if !ok {
			return nil, fmt.Errorf("%s: person %.0f has no survey weight in %s", scans.record.File, number, demo.record.File)
		}
		s.Weight = append(s.Weight, of.weight)
		s.Stratum, s.Unit = append(s.Stratum, of.stratum), append(s.Unit, of.unit)
		s.Mass = append(s.Mass, columns[3][i])
		s.Stature = append(s.Stature, columns[4][i]/100)
		s.Waist = append(s.Waist, columns[5][i]/100)
		for r := range anthro.NumRegions {
			grams := 0.0
			for _, part := range parts[r] {
				grams += part[i]
			}
			s.Region[r] = append(s.Region[r], grams/1000)
		}
	}
	if len(s.Weight) == 0 {
		return nil, fmt.Errorf("%s: no people", scans.record.File)
	}
	return s, nil
}

// sampled is how a person came into the survey.
type sampled struct{ weight, stratum, unit float64 }

// surveyDesign returns examination weight, stratum and sampling unit by the
// person's number. People who were only interviewed are left out.
func surveyDesign(demo raw) (map[float64]sampled, error) {
	t, err := parseTransport(demo.text)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", demo.record.File, err)
	}
	names := []string{"SEQN", "WTMEC2YR", "SDMVSTRA", "SDMVPSU"}
	columns := make([][]float64, len(names))
	for i, name := range names {
		if columns[i] = t.columns[name]; columns[i] == nil {
			return nil, fmt.Errorf("%s: no column %s", demo.record.File, name)
		}
	}
	byNumber := make(map[float64]sampled, t.rows)
	for i, number := range columns[0] {
		if weight := columns[1][i]; weight > 0 {
			byNumber[number] = sampled{weight, columns[2][i], columns[3][i]}
		}
	}
	return byNumber, nil
}
