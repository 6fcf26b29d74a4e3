package words

import (
	"fmt"
	"math"
	"strings"

	"counterpoise/datasets"
	"counterpoise/sim/anthro"
	"counterpoise/sim/names"
)

// Measured says how many people stand behind a population.
func Measured(p *anthro.Population) string {
	if a := p.Athletes(); a != nil {
		return fmt.Sprintf("%s athletes' sizes, %s people of %s measured", Count(athletesOf(a)), Count(p.N), a.From)
	}
	return Count(p.N) + " measured"
}

// athletesOf is how many athletes were measured, of whom the most were.
func athletesOf(a *datasets.Athletes) int {
	n := 0
	for _, s := range a.Samples {
		most := 0
		for _, size := range s.Sizes {
			most = max(most, size.N)
		}
		n += most
	}
	return n
}

// Weighted says, line by line, who is selected of a population and to what they are
// weighted, how far that is from what they are, and at what price; of athletes also whose
// sizes these are and what is not known of them.
func Weighted(s anthro.Selection) []string {
	p := s.Population
	var lines []string
	add := func(format string, args ...any) { lines = append(lines, fmt.Sprintf(format, args...)) }
	r := p.Reweighted
	if r != nil {
		for _, condition := range r.Where {
			add("Only those of %s.", condition)
		}
		for i, t := range r.Targets {
			before := "before: " + Given(r.Before[i].Value)
			if away := r.Away[i]; t.Kind == anthro.MeanOf {
				way := "higher"
				if away < 0 {
					way = "lower"
				}
				before += "; now " + Number(math.Abs(away), 1) + " of their standard deviations " + way
			}
			add("Reweighted to %s (%s).", t, before)
		}
		add("%s", effective(r))
	}
	for _, condition := range s.Where {
		add("Only those of %s.", condition)
	}
	a := p.Athletes()
	if a == nil {
		return lines
	}
	for _, sample := range a.Samples {
		add("Sizes: %s%s; %s (%s).", sample.Who, sizesOf(&sample), sample.Source, sample.Seen)
	}
	for _, sample := range a.NotTaken {
		add("Not taken: %s%s: %s; %s (%s).", sample.Who, sizesOf(&sample), sample.Why, sample.Source, sample.Seen)
	}
	for _, what := range a.NotKnown {
		add("Not known: %s.", what)
	}
	add("Note: %s.", p.Note())
	return lines
}

// sizesOf writes what was published of a sample.
func sizesOf(s *datasets.AthleteSample) string {
	parts := names.Each(s.Sizes, func(size datasets.AthleteSize) string {
		return fmt.Sprintf("%s %s ± %s %s of %s", size.Of, Given(size.Mean), Given(size.SD), size.Unit, Count(size.N))
	})
	if len(parts) == 0 {
		return ""
	}
	return ", " + strings.Join(parts, ", ")
}

// EffectiveShare says what the weights of reweighted people leave, and of whom it is a
// share: "26 % of about 3,207 people measured".
func EffectiveShare(r *anthro.Reweighted) string {
	return Percent(r.Effective, 0) + " of about " + Count(selected(r)) + " people measured"
}

// selected is how many of those whom the survey measured were weighted.
func selected(r *anthro.Reweighted) int { return int(math.Round(float64(r.People) * r.Selected)) }

// effective is EffectiveShare in a sentence, with how many people that is.
func effective(r *anthro.Reweighted) string {
	whom := "the " + Count(r.People) + " people that the survey measured"
	if len(r.Where) > 0 {
		whom = "about " + Count(selected(r)) + " people, those of the " + Count(r.People) + " that the survey measured"
	}
	return "Effective sample size: " + Percent(r.Effective, 1) + " of " + whom + ", which tells as much as about " +
		Count(int(math.Round(float64(selected(r))*r.Effective))) + " without weights would tell."
}
