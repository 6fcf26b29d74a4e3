package survey

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"counterpoise/datasets"
	"counterpoise/sim/anthro"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

const publicMethod = "NHANES 2011-2018, four cycles together, ages 18 to 59, not known to be pregnant, weighted by WTMEC2YR/4: stature, " +
	"mass, waist and age as measured there (waist above the hip bone); where the waist is missing, a regression on stature, body mass index and age, and a residual. " +
	"What only soldiers had measured (ANSUR II) is transferred: by sex, a regression on stature, ln body mass index, ln waist and age, with " +
	"means of their own for groups of descent. Residuals are those of two soldiers of " +
	"the person's descent, drawn with the probability of what the survey's tape read of upper arm and upper leg: readings are less their mean for stature, body mass index " +
	"and age, and have the error by which they scatter more than soldiers' lengths. Half of what the public's waists are wider than soldiers' of that stature, mass and " +
	"age counts as the tape's place and half as the body. Then a Gaussian copula as for the Army's people, with weights, of two kinds of people whose proportions differ " +
	"(shift of the scores; correlations of both together), found by expectation and maximisation, 12 turns from Black people and all others."

// What the fit takes for granted of the public: the reference values, which refits vary.
const (
	// waistOfTape is the share of the difference between the public's and soldiers'
	// waists that the tape's place makes, rather than the body's build: nobody has
	// measured both ways on one body here, so it may be anything from 0 to 1.
	waistOfTape = 0.5
	// ofMeasurers is the share of the difference between grown children and soldiers that
	// counts as their measurers': likewise.
	ofMeasurers = 0.5
)

// replicates is how many soldiers' residuals each adult gets; youths are fewer, and get
// more children's.
func (p *public) replicates() int {
	if p.children != nil {
		return 6
	}
	return 2
}

// second is how likely somebody is of the second kind of people whose proportions differ:
// adults, where they are Black; youths, where they are past most of their growth.
func (p *public) second(i int) float64 {
	if p.children == nil && p.examined.Descent[i] == Black || p.children != nil && p.examined.Age[i] >= grown {
		return 1
	}
	return 0
}

// public is what a population of the public is fitted to: adults, with what only soldiers
// had measured, or youths, with what children had, and of what nobody has measured of these,
// soldiers.
type public struct {
	sex      anthro.Sex
	examined *Examined
	soldiers *Soldiers
	children *Children // nil for adults
}

// doubts is what refits vary of the transfer.
type doubts struct {
	waistOfTape float64
	ofMeasurers float64                     // of youths: see completed
	shift       [moved]float64              // of everybody, in what is transferred
	group       [numDescents][moved]float64 // of a group
}

// name is that of the population.
func (p *public) name() string {
	if p.children != nil {
		return "us-" + youthsAre(p.sex)
	}
	return "us-" + whoAre(p.sex)
}

// reference is what the fit takes for granted.
func (p *public) reference() *doubts {
	return &doubts{waistOfTape: waistOfTape, ofMeasurers: ofMeasurers}
}

// fitPublic fits a population to the public of one sex.
func fitPublic(p *public) (*datasets.People, error) {
	fit := p.described()
	crowd, err := p.crowd(p.reference(), montecarlo.NewStream(0, "fit/"+fit.Name))
	if err != nil {
		return nil, err
	}
	return fit, fitJoint(fit, crowd)
}

// described returns the file of a population without its distribution.
func (p *public) described() *datasets.People {
	fit := &datasets.People{
		Name: p.name(), Title: "US " + whoAre(p.sex) + " aged 18 to 59, 2011-2018 (NHANES, with proportions from ANSUR II)",
		Sex: p.sex.String(), N: len(p.examined.Weight),
		Provenance: datasets.Provenance{
			Citation: "CDC/NCHS, National Health and Nutrition Examination Survey 2011-2018: body measures, demographics; with ",
			Licence:  licenceOfPublic, Method: publicMethod, Raw: slices.Clone(p.examined.files),
		},
		Regional: publicRegional,
	}
	from := &fit.Provenance
	if p.children != nil {
		fit.Title = "US " + youthsAre(p.sex) + " aged 12 to 17, 2011-2018 (NHANES, with proportions from Snyder et al. 1977 and ANSUR II)"
		from.Citation += "Snyder R.G. et al. (1977), Anthropometry of Infants, Children and Youths to Age 18 for Product Safety Design, UM-HSRI-77-17, and "
		from.Licence, from.Method, from.Raw, fit.Regional = licenceOfYouths, youthsMethod, append(from.Raw, p.children.file), youthsRegional
	}
	from.Citation += "Gordon C.C. et al. (2014), 2012 Anthropometric Survey of U.S. Army Personnel, NATICK/TR-15/007"
	from.Raw = append(from.Raw, p.soldiers.file.record)
	return fit
}

// transfer returns the people who had measured what is to be transferred, and how it is.
func (p *public) transfer(d *doubts, stream *montecarlo.Stream) (*Soldiers, *transfer, error) {
	measured := p.soldiers
	if p.children != nil {
		var err error
		if measured, err = p.children.completed(p.soldiers, d.ofMeasurers, stream); err != nil {
			return nil, nil, err
		}
	}
	t, err := fitTransfer(measured)
	if err != nil || p.children == nil {
		return measured, t, err
	}
	// The measurers of the children erred by more than the tape, which thus seems without
	// error; of adults it errs by 7 mm at least (men's legs).
	t.age, t.leastError = measured.People.Value[anthro.Age], 0.007
	soldierly, err := fitTransfer(p.soldiers)
	if err != nil {
		return nil, nil, err
	}
	t.borrow(soldierly, White)
	return measured, t, nil
}

// crowd returns the public's people, each with everything that a population describes.
func (p *public) crowd(d *doubts, stream *montecarlo.Stream) (*crowd, error) {
	measured, t, err := p.transfer(d, stream)
	if err != nil {
		return nil, err
	}
	a := p.examined
	waist, err := fillWaists(a, stream)
	if err != nil {
		return nil, err
	}
	soldierly, err := measured.waistsOf(a, waist, d.waistOfTape)
	if err != nil {
		return nil, err
	}
	tapes, err := readTapes(a, soldierly, t)
	if err != nil {
		return nil, err
	}
	everybody := names.UpTo(len(t.residual))
	var rows []int
	for i, w := range a.Weight {
		if w > 0 {
			rows = append(rows, i)
		}
	}
	replicates := p.replicates()
	c := &crowd{people: anthro.NewPeople(replicates * len(rows)), told: p.children != nil}
	chance := make([]float64, len(everybody))
	for k, i := range rows {
		from := t.of[a.Descent[i]]
		if a.Descent[i] == OtherDescent || len(from) == 0 {
			from = everybody // a group of many, of whom the soldiers' few need not be like
		}
		total := 0.0
		for j, soldier := range from {
			total += math.Exp(tapes.resembles(i, &t.residual[soldier]) + t.near(soldier, a.Age[i]))
			chance[j] = total
		}
		expected := t.predict(a.Stature[i], a.Mass[i], soldierly[i], a.Age[i])
		for r := range replicates {
			row := replicates*k + r
			j := sort.SearchFloat64s(chance[:len(from)], stream.Float64()*total)
			residual := &t.residual[from[min(j, len(from)-1)]]
			v := &c.people.Value
			v[anthro.Stature][row], v[anthro.Mass][row] = a.Stature[i], a.Mass[i]
			v[anthro.WaistCircumference][row], v[anthro.Age][row] = waist[i], a.Age[i]
			for y := range moved {
				v[int(firstMoved)+y][row] = expected[y] + residual[y] + t.over[a.Descent[i]][y] + d.shift[y] + d.group[a.Descent[i]][y]
			}
			c.weight = append(c.weight, a.Weight[i])
			c.second = append(c.second, p.second(i))
		}
	}
	return c, nil
}

// fillWaists returns the waists, those that are missing drawn: the heavier somebody is,
// the more often theirs is.
func fillWaists(a *Examined, stream *montecarlo.Stream) ([]float64, error) {
	row := func(i int) []float64 {
		bmi := math.Log(a.Mass[i] / (a.Stature[i] * a.Stature[i]))
		return []float64{1, a.Stature[i], bmi, bmi * bmi, a.Age[i]}
	}
	var known []int
	for i, w := range a.Waist {
		if !math.IsNaN(w) && a.Weight[i] > 0 {
			known = append(known, i)
		}
	}
	x, y, weight := mat.NewDense(len(known), 5, nil), mat.NewDense(len(known), 1, nil), make([]float64, len(known))
	for k, i := range known {
		x.SetRow(k, row(i))
		y.Set(k, 0, math.Log(a.Waist[i]))
		weight[k] = a.Weight[i]
	}
	coefficients, left, err := leastSquares(x, y, weight)
	if err != nil {
		return nil, fmt.Errorf("waist: %w", err)
	}
	filled := slices.Clone(a.Waist)
	for i, w := range filled {
		if math.IsNaN(w) {
			expected := mat.Dot(mat.NewVecDense(5, row(i)), coefficients.ColView(0))
			filled[i] = math.Exp(expected + left.At(int(stream.Float64()*float64(len(known))), 0))
		}
	}
	return filled, nil
}

// waistsOf returns the waists of others as the soldiers' tape would have read them.
func (s *Soldiers) waistsOf(a *Examined, waist []float64, ofTape float64) ([]float64, error) {
	v, n := s.People.Value, s.People.Rows()
	row := func(stature, mass, age float64) []float64 {
		return []float64{1, stature, math.Log(mass / (stature * stature)), age}
	}
	x, ones := mat.NewDense(n, 4, nil), make([]float64, n)
	for i := range n {
		x.SetRow(i, row(v[anthro.Stature][i], v[anthro.Mass][i], v[anthro.Age][i]))
		ones[i] = 1
	}
	coefficients, _, err := leastSquares(x, mat.NewDense(n, 1, slices.Clone(v[anthro.WaistCircumference])), ones)
	if err != nil {
		return nil, fmt.Errorf("soldiers' waist: %w", err)
	}
	wider := make([]float64, len(waist))
	for i, w := range waist {
		wider[i] = w - mat.Dot(mat.NewVecDense(4, row(a.Stature[i], a.Mass[i], a.Age[i])), coefficients.ColView(0))
	}
	less := ofTape * stat.Mean(wider, a.Weight)
	return names.Each(waist, func(w float64) float64 { return w - less }), nil
}
