package survey

import "counterpoise/sim/anthro"

// Students are the physically active adults of Heinz, Peterson, Johnson and Kerk
// 2003, "Exploring relationships in body dimensions", J Stat Educ 11(2): the
// measurements that this survey shares with the Army's.
type Students struct {
	Age, Stature, Mass, BiacromialBreadth []float64 // years and SI units
}

// ReadStudents reads the men or the women of that survey from the folder of raw
// files.
func ReadStudents(folder string, sex anthro.Sex) (*Students, error) {
	file, err := readRaw(folder, "bdims/bdims.csv", "Heinz et al. 2003, J Stat Educ 11(2)")
	if err != nil {
		return nil, err
	}
	columns, err := readColumns(file, "sex", "hgt", "wgt", "bia_di", "age")
	if err != nil {
		return nil, err
	}
	s := &Students{}
	for i, isMan := range columns[0] {
		if (isMan == 1) != (sex == anthro.Male) {
			continue
		}
		s.Age = append(s.Age, columns[4][i])
		s.Stature = append(s.Stature, columns[1][i]/100)
		s.Mass = append(s.Mass, columns[2][i])
		s.BiacromialBreadth = append(s.BiacromialBreadth, columns[3][i]/100)
	}
	return s, nil
}
