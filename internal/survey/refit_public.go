package survey

import (
	"sync"

	"counterpoise/datasets"
	"counterpoise/sim/anthro"
	"counterpoise/sim/montecarlo"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

const publicRefitMethod = "Fitted anew 64 times: the public's sampling units resampled (rescaled bootstrap: Rao and Wu 1988, J Am Stat Assoc 83:231), the soldiers drawn with " +
	"replacement, the share of the waists' difference that is the tape's anywhere from 0 to 1, and what is transferred shifted as a whole, " +
	"by a draw from the soldiers' residuals within groups of descent times 0.25, " +
	"for people of other descents than those the soldiers tell apart by another times 1.6. Parameters in the order of the file: knots, correlations, the mixture's share and shift. " +
	"Deviations from the fit to all people, in steps of 1/127 of the largest."

// How far what is transferred may lie off as a whole, in standard deviations of the
// soldiers' residuals.
const (
	// shiftOfGroups is for groups that are among the soldiers: by how much the public's
	// groups differ from each other otherwise than the soldiers' do in what the tape read
	// of both, and by how much other surveys' shoulders differ. See the hold-out tests.
	shiftOfGroups = 0.25
	// shiftOfOthers is for people like nobody among the soldiers: what foretells Black
	// soldiers' bodies from White soldiers' alone.
	shiftOfOthers = 1.6
)

// refitPublic returns how the fit of the public varies with who was measured, and with
// what is taken for granted of the transfer.
func refitPublic(p *public, fit *datasets.People) (*datasets.Refits, error) {
	_, t, err := p.transfer(p.reference(), montecarlo.NewStream(0, "doubt/"+fit.Name))
	if err != nil {
		return nil, err
	}
	method := publicRefitMethod
	if p.children != nil {
		method = youthsRefitMethod
	}
	return refitted(fit.Name, method, fit, peopleParameters, func(k int) (*datasets.People, error) { return p.refitOnce(t, fit.Name, k) })
}

// refitOnce is the k-th refit; t is the transfer of the fit.
func (p *public) refitOnce(t *transfer, name string, k int) (*datasets.People, error) {
	// Men and women come from the same sampling units, and what is doubted of the
	// transfer is doubted of both.
	examined := *p.examined
	var err error
	units := montecarlo.NewStream(uint64(k), "refit/"+publicRegional)
	if examined.Weight, err = resampledUnits(p.examined.Weight, p.examined.Stratum, p.examined.Unit, units); err != nil {
		return nil, err
	}
	stream := montecarlo.NewStream(uint64(k), "refit/"+name)
	resampled := &public{sex: p.sex, examined: &examined, soldiers: p.soldiers.resampled(stream)}
	if p.children != nil {
		resampled.children = p.children.resampled(stream)
	}
	doubts, err := p.doubt(t, k)
	if err != nil {
		return nil, err
	}
	crowd, err := resampled.crowd(doubts, stream)
	if err != nil {
		return nil, err
	}
	again := &datasets.People{}
	return again, fitJoint(again, crowd)
}

// doubt returns what refit k takes otherwise than the fit, of which t is the transfer.
func (p *public) doubt(t *transfer, k int) (*doubts, error) {
	if p.children != nil {
		return p.doubtYouths(t, k)
	}
	return t.doubt(k), nil
}

// doubt returns what refit k takes otherwise than the fit of adults.
func (t *transfer) doubt(k int) *doubts {
	draws := doubtDraws()
	d := &doubts{waistOfTape: distuv.UnitNormal.CDF(draws.At(k, 0))}
	normals := draws.RawRowView(k)[1:]
	d.shift = t.shift(shiftOfGroups, normals[:moved])
	d.group[OtherDescent] = t.shift(shiftOfOthers, normals[moved:])
	return d
}

var (
	doubtDraws      = sync.OnceValue(func() *mat.Dense { return exactNormals("refit/transfer", 1+2*moved) })
	doubtDrawsYoung = sync.OnceValue(func() *mat.Dense { return exactNormals("refit/transfer/youths", 2+2*moved) })
)

// exactNormals returns the standard normals behind the doubts, a row for each refit, made
// to have a mean of 0, variances of 1 and no correlations exactly: of 64 draws these
// would miss by a tenth. Draws come in pairs on either side of 0.
func exactNormals(purpose string, width int) *mat.Dense {
	const pairs = refitCount / 2
	stream := montecarlo.NewStream(0, purpose)
	drawn := mat.NewDense(pairs, width, nil)
	stream.Normals(drawn.RawMatrix().Data)
	var squares mat.SymDense
	squares.SymOuterK(1.0/pairs, drawn.T())
	var factor mat.Cholesky
	if !factor.Factorize(&squares) {
		panic("survey: fewer draws than there are doubts")
	}
	var upper mat.TriDense
	factor.UTo(&upper)
	var inverse mat.TriDense
	if err := inverse.InverseTri(&upper); err != nil {
		panic("survey: draws of doubts that follow from each other")
	}
	var exact mat.Dense
	exact.Mul(drawn, &inverse)
	both := mat.NewDense(refitCount, width, nil)
	for k := range refitCount {
		row := exact.RawRowView(k / 2)
		for j, z := range row {
			both.Set(k, j, z*(1-2*float64(k%2)))
		}
	}
	return both
}

// shift returns how far people as a whole lie off what the soldiers let expect, so many
// times as far as the residuals of one soldier, from independent standard normals.
func (t *transfer) shift(times float64, normals []float64) (shift [moved]float64) {
	for y := range shift {
		for k, z := range normals[:y+1] {
			shift[y] += times * t.lower.At(y, k) * z
		}
	}
	return shift
}

// resampled returns as many soldiers drawn with replacement.
func (s *Soldiers) resampled(stream *montecarlo.Stream) *Soldiers {
	n := s.People.Rows()
	again := &Soldiers{People: anthro.NewPeople(n), Descent: make([]Descent, n), file: s.file}
	for i := range n {
		from := int(stream.Float64() * float64(n))
		again.People.CopyRow(i, s.People, from)
		again.Descent[i] = s.Descent[from]
	}
	return again
}
