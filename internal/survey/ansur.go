package survey

import (
	"fmt"

	"counterpoise/sim/anthro"
)

const ansurOrigin = "2012 US Army Anthropometric Survey (ANSUR II), public microdata"

// Soldiers are the people of one file of the 2012 US Army survey.
type Soldiers struct {
	ID      []float64
	People  *anthro.People // in SI units; the residuals are 0, nobody measured them
	Descent []Descent
	file    raw
}

// ansurColumn names the file's column of each measurement.
var ansurColumn = [anthro.NumVariables]string{
	anthro.Stature:             "stature",
	anthro.Mass:                "weightkg",
	anthro.AcromialHeight:      "acromialheight",
	anthro.CervicaleHeight:     "cervicaleheight",
	anthro.SuprasternaleHeight: "suprasternaleheight",
	anthro.TrochanterionHeight: "trochanterionheight",
	anthro.TibialHeight:        "tibialheight",
	anthro.MalleolusHeight:     "lateralmalleolusheight",
	anthro.BiacromialBreadth:   "biacromialbreadth",
	anthro.UpperArmLength:      "acromionradialelength",
	anthro.ForearmLength:       "radialestylionlength",
	anthro.PalmLength:          "palmlength",
	anthro.HandLength:          "handlength",
	anthro.FootLength:          "footlength",
	anthro.Span:                "span",
	anthro.SittingHeight:       "sittingheight",
	anthro.HipBreadth:          "hipbreadth",
	anthro.WaistCircumference:  "waistcircumference",
	anthro.Age:                 "Age",
}

// ReadSoldiers reads the men or the women of the 2012 US Army survey from the
// folder of raw files.
func ReadSoldiers(folder string, sex anthro.Sex) (*Soldiers, error) {
	name := "ansur2/ANSUR_II_MALE_Public.csv"
	if sex == anthro.Female {
		name = "ansur2/ANSUR_II_FEMALE_Public.csv"
	}
	file, err := readRaw(folder, name, ansurOrigin)
	if err != nil {
		return nil, err
	}
	// The two files spell the column of the person's number differently.
	columns, err := readColumns(file, append([]string{"subjectid|SubjectId", "DODRace"}, ansurColumn[:]...)...)
	if err != nil {
		return nil, err
	}
	s := &Soldiers{ID: columns[0], file: file}
	if len(s.ID) == 0 {
		return nil, fmt.Errorf("%s: no people", file.record.File)
	}
	s.People, s.Descent = anthro.NewPeople(len(s.ID)), make([]Descent, len(s.ID))
	for i, code := range columns[1] {
		s.Descent[i] = descentOf(code, map[float64]Descent{1: White, 2: Black, 3: Hispanic, 4: Asian})
	}
	for m := range anthro.NumVariables {
		scale := 1e3 // millimetres in a metre
		switch m {
		case anthro.Mass:
			scale = 10 // the column weightkg is in tenths of a kilogram
		case anthro.Age:
			scale = 1
		}
		for i, v := range columns[2+m] {
			s.People.Value[m][i] = v / scale
		}
	}
	return s, nil
}
