package anthro

import (
	"fmt"
	"slices"
)

// Adulthood is the age in years from which people are drawn from adults: the younger are
// built otherwise, and are drawn from youths.
const Adulthood = 18

// YouthsOf returns the name of the population of the public's youths of a sex.
func YouthsOf(sex Sex) string { return map[Sex]string{Male: "us-boys", Female: "us-girls"}[sex] }

// Youth reports whether what is known of somebody says that they are younger than an
// adult; whoever is of no age is none.
func Youth(known []Known) bool {
	return slices.ContainsFunc(known, func(k Known) bool { return k.Of == Age && k.Value < Adulthood })
}

// Young reports whether the people, all of them, are younger than adults.
func (p *Population) Young() bool { return p.HasAge() && p.Survey().ages.High < Adulthood }

// canBe returns the ages that people may be told to have who are drawn from a survey:
// beyond the oldest adult they count as the oldest, but youths and adults do not stand in
// for each other.
func (p *Population) canBe() Interval {
	if p.Young() {
		return p.ages
	}
	return Interval{min(p.ages.Low, Adulthood), mostAge}
}

// ageRefused says who could have such an age.
func (p *Population) ageRefused(age float64) string {
	says := fmt.Sprintf("the people of %s are %.0f to %.0f years old", p.Name, p.ages.Low, p.ages.High)
	if can := p.canBe(); !p.Young() {
		says += fmt.Sprintf(", others from %.0f to %.0f count as the nearest of these ages", can.Low, can.High)
	}
	switch {
	case age >= youngestYouth && age < Adulthood:
		says += fmt.Sprintf("; people of %d to %d are drawn from %s", youngestYouth, Adulthood-1, YouthsOf(p.Sex))
	case age >= Adulthood && age <= mostAge:
		says += fmt.Sprintf("; people of %d and more are drawn from %s", Adulthood, PublicOf(p.Sex))
	case age > mostAge:
		says += "; nobody has measured how strong older people are"
	case age < youngestYouth:
		says += fmt.Sprintf("; nobody under %d is drawn", youngestYouth)
	}
	return fmt.Sprintf("%s; found %g", says, age)
}

// youngestYouth is the age of the youngest who were fitted.
const youngestYouth = 12
