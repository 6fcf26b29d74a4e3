package anthro

// People is a block of people as columns of equal length: row i of every column
// belongs to person i.
type People struct {
	// Value holds the measurements in SI units (metres, Mass in
	// kilograms), and Age in years: of use only where the population has ages.
	Value [NumVariables][]float64
	// Residual holds what the measurements leave unexplained of the logarithms
	// of the regional masses over that of the legs: for Head, Trunk and Arms,
	// in this order. All 0 means a person built like the average of their
	// stature, mass and waist.
	Residual [NumRegions - 1][]float64
}

// NewPeople returns room for a number of people, all values 0.
func NewPeople(rows int) *People {
	p := &People{}
	room := make([]float64, (int(NumVariables)+numResiduals)*rows)
	column := func(k int) []float64 { return room[k*rows : (k+1)*rows : (k+1)*rows] }
	for m := range p.Value {
		p.Value[m] = column(m)
	}
	for r := range p.Residual {
		p.Residual[r] = column(int(NumVariables) + r)
	}
	return p
}

// MedianOf returns one person of a population, built like the average of their size, of
// whom quantile says everything that was measured, the age too where it is known: of the
// population or of some of it.
func MedianOf(p *Population, quantile func(m Measurement, share float64) float64) *People {
	one := NewPeople(1)
	for m := range Measurement(p.Survey().variables()) {
		one.Value[m][0] = quantile(m, 0.5)
	}
	return one
}

// Rows returns the number of people.
func (p *People) Rows() int { return len(p.Value[Stature]) }

// Slice returns the people from..to-1 without copying them.
func (p *People) Slice(from, to int) *People {
	s := &People{}
	for m := range p.Value {
		s.Value[m] = p.Value[m][from:to]
	}
	for r := range p.Residual {
		s.Residual[r] = p.Residual[r][from:to]
	}
	return s
}

// CopyRow makes person to of p equal to person from of src.
func (p *People) CopyRow(to int, src *People, from int) {
	for m := range p.Value {
		p.Value[m][to] = src.Value[m][from]
	}
	for r := range p.Residual {
		p.Residual[r][to] = src.Residual[r][from]
	}
}
