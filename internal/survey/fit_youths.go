package survey

import (
	"math"

	"counterpoise/sim/anthro"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

const youthsMethod = "NHANES 2011-2018, four cycles together, ages 12 to 17, weighted by WTMEC2YR/4: stature, mass, waist and age, as for us-men and us-women. " +
	"What children of 10 to 19 had measured in 1975-77 (Snyder et al.) is transferred likewise: heights of suprasternale, trochanterion and tibiale, breadths of shoulders and hips, " +
	"lengths of upper arm, forearm, hand and foot, sitting height; residuals are those of children of nearly the age. Two thirds of the children were not measured for limbs: " +
	"theirs are drawn by a regression on 13 other items, with the residuals of one who was. Half of what grown children (17 to 19) differ from soldiers of their descent, stature, mass, waist and age " +
	"counts as the measurers' and is taken off, as a share of stature. What nobody measured of children (heights of acromion, cervicale and ankle, palm, span) is what soldiers of their " +
	"proportions have: a regression on shares of stature. Hispanic and Asian youths differ from White ones as soldiers do. Then a Gaussian copula as for the Army's people, with weights, of two kinds: " +
	"before and after most of the growth, split at the 14th birthday, since stature does not go with age along a straight line."

const youthsRefitMethod = publicRefitMethod + " Here children stand for the soldiers, resampled as these are; the share of the difference from grown children to soldiers that is the measurers' is " +
	"anywhere from 0 to 1; what nobody measured of children is shifted by 0.75 standard deviations of the residuals with which soldiers' proportions foretell it, besides."

// grown is the age from which most growth is over: where two kinds of youths, younger and
// older, give the statures by age best, of both sexes (a birthday earlier or later is up to
// twice as far off).
const grown = 14

// The ages of the children from whom proportions are transferred: some years beyond the
// youths', so that nobody is at an end.
const childrenFrom, childrenBelow = 10, 20

// shiftOfProportions is by how many standard deviations of soldiers' residuals what they
// let expect of children's proportions may be off as a whole. What both surveys measured
// misses by 0.57 (root mean square), and children scatter by a fifth more than soldiers;
// this covers both (see the hold-out test, by which it was chosen).
const shiftOfProportions = 0.75

// doubtYouths returns what refit k takes otherwise than the fit of youths.
func (p *public) doubtYouths(t *transfer, k int) (*doubts, error) {
	row := doubtDrawsYoung().RawRowView(k)
	d := &doubts{waistOfTape: distuv.UnitNormal.CDF(row[0]), ofMeasurers: distuv.UnitNormal.CDF(row[1])}
	d.shift = t.shift(shiftOfGroups, row[2:2+moved])
	d.group[OtherDescent] = t.shift(shiftOfOthers, row[2+moved:])
	// What nobody has measured of children is doubted the more.
	c, err := fitProportions(p.soldiers, lacking, anthro.Stature)
	if err != nil {
		return nil, err
	}
	stature := stat.Mean(p.examined.Stature, p.examined.Weight) // by which shares become lengths
	for j, m := range lacking {
		squares, y := 0.0, at(m)
		for i := range c.donors {
			squares += c.left.At(i, j) * c.left.At(i, j)
		}
		own := shiftOfGroups * math.Sqrt(t.within.At(y, y))
		off := shiftOfProportions * math.Sqrt(squares/float64(c.donors)) * stature
		d.shift[y] *= math.Hypot(own, off) / own
	}
	return d, nil
}
