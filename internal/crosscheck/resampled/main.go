// Command resampled resamples the people of the raw survey (bootstrap), holds up those
// very people instead of people drawn from the fit, and asks whether what the program
// states of the survey's own error holds what comes out.
//
// It needs the raw files of the Army's survey (see internal/survey). Run it from the
// module's folder; it takes some minutes of one processor:
//
//	go run ./internal/crosscheck/resampled > testdata/bench/resampled.txt
package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"math"
	"os"

	"counterpoise/internal/study"
	"counterpoise/internal/survey"
	"counterpoise/sim/anthro"
	"counterpoise/sim/claim"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"

	"gonum.org/v1/gonum/stat"
)

func main() {
	var e effort
	flag.IntVar(&e.resamples, "resamples", 500, "how often the people are resampled")
	flag.IntVar(&e.copies, "copies", 8, "regional masses drawn for each person")
	flag.IntVar(&e.drawn, "n", 400_000, "people drawn from the fit")
	flag.IntVar(&e.each, "each", 16_384, "people drawn from the fit to a resample")
	flag.Parse()
	if err := report(context.Background(), os.Stdout, &e); err != nil {
		fmt.Fprintln(os.Stderr, "resampled:", err)
		os.Exit(1)
	}
}

// effort is how much is drawn: resamples of the raw people, regional masses for each of
// them, which were measured on others, and people from the fit and from that to each
// resample.
type effort struct{ resamples, copies, drawn, each int }

// A question is a claim of which a number is asked.
type question struct {
	claim, of string
	// half takes for what matters the median effect, so that it matters to half of the
	// bodies.
	half bool
}

var questions = []question{
	{claim: "longer-arms-same-bars", of: "median effect"},
	{claim: "front-lever-tuck", of: "median effect"},
	{claim: "longer-arms-same-bars", of: "share of bodies", half: true},
	{claim: "tall-people", of: "difference of medians"},
}

func report(ctx context.Context, w io.Writer, e *effort) error {
	folder, err := survey.Folder()
	if err != nil {
		return err
	}
	fmt.Fprintf(w, "%d resamples, %d regional masses for each of the raw people; %d people from the fit, %d from that to each resample; in %%, at the central assumptions\n\n",
		e.resamples, e.copies, e.drawn, e.each)
	fmt.Fprintf(w, "%-21s %-21s %-12s %9s %9s %7s %9s %9s %7s %9s %9s %9s\n", "", "", "", "fit", "raw", "bias", "stated", "anew", "ratio", "coverage", "raw", "coverage")
	for _, sex := range []anthro.Sex{anthro.Male, anthro.Female} {
		b, err := survey.ReadBootstrap(folder, sex)
		if err != nil {
			return err
		}
		fits, err := fitAll(ctx, b, e.resamples)
		if err != nil {
			return err
		}
		for _, q := range questions {
			a, err := q.ask(ctx, sex, b, fits, e)
			if err != nil {
				return fmt.Errorf("%s: %w", q.claim, err)
			}
			anew, raw := stat.StdDev(a.anew, nil), stat.StdDev(a.resampled, nil)
			fmt.Fprintf(w, "%-21s %-21s %-12s %9.4f %9.4f %7.2f %9.4f %9.4f %7.3f %9.1f %9.4f %9.1f\n", q.claim, q.of, anthro.SoldiersOf(sex),
				a.fit, a.raw, (a.fit-a.raw)/raw, a.stated, anew, a.stated/anew, 100*a.coverage(a.anew), raw, 100*a.coverage(a.resampled))
		}
	}
	fmt.Fprint(w, `
fit        of people drawn from the fit to the survey
raw        of the people measured themselves
bias       what the fit is off, in standard deviations of the raw people's resamples
stated     the standard error that the program gives the survey
anew       the standard deviation of what comes out when the program is fitted anew to each resample
ratio      stated over anew; of 64 refits a standard deviation is known to 9 %
coverage   of these, those within 1.96 stated standard errors of their mean
raw        the standard deviation of what the resampled people themselves say: a sample's median, and a sample's
           share, are rougher than those of a distribution fitted to the sample
coverage   of these, those within 1.96 stated standard errors of their mean
`)
	return nil
}

// fitAll fits the program's people to each resample.
func fitAll(ctx context.Context, b *survey.Bootstrap, resamples int) ([]*anthro.Population, error) {
	var fits []*anthro.Population
	newWorker := func() func(int, **anthro.Population) error {
		return func(k int, out **anthro.Population) (err error) {
			*out, err = b.Fit(k)
			return err
		}
	}
	consume := func(_ int, out **anthro.Population) error {
		fits = append(fits, *out)
		return nil
	}
	err := montecarlo.Run(ctx, montecarlo.Options{To: resamples}, newWorker, func() **anthro.Population { return new(*anthro.Population) }, consume)
	return fits, err
}

// answer is a number of which the program states the survey's error: of the fit, of the
// raw people, of the fits to resamples of these, and of the resamples themselves.
type answer struct {
	fit, raw, stated float64
	anew, resampled  []float64
}

// coverage is the share of numbers within the stated interval around their mean: how far
// that is off is told apart.
func (a *answer) coverage(of []float64) float64 {
	mean := stat.Mean(of, nil)
	in := names.HowMany(of, func(x float64) bool { return math.Abs(x-mean) <= 1.96*a.stated })
	return float64(in) / float64(len(of))
}

// ask answers a question for the people of one sex.
func (q *question) ask(ctx context.Context, sex anthro.Sex, b *survey.Bootstrap, fits []*anthro.Population, e *effort) (*answer, error) {
	c, err := study.ShippedClaim(q.claim)
	if err != nil {
		return nil, err
	}
	c.People = scenario.Survey(anthro.SoldiersOf(sex))
	h, err := newHolder(c)
	if err != nil {
		return nil, err
	}
	from, err := h.fitted(h.part, e.drawn)
	if err != nil {
		return nil, err
	}
	if q.half {
		c.Matters = claim.Threshold{Share: math.Round(math.Abs(from.statistic(c, false, nil))*1e4) / 1e6}
	}
	a := &answer{fit: from.statistic(c, q.half, nil)}
	if a.stated, err = q.stated(ctx, c); err != nil {
		return nil, err
	}
	if err := a.fitAnew(ctx, h, fits, q, e); err != nil {
		return nil, err
	}
	return a, a.resample(h, b, q, e)
}

// stated is the survey's error as the program states it.
func (q *question) stated(ctx context.Context, c *claim.Claim) (float64, error) {
	o := claim.DefaultOptions()
	o.N = 4000 // of no matter
	r, err := claim.Test(ctx, c, o)
	switch {
	case err != nil:
		return 0, err
	case c.Contrast != nil:
		return r.Contrast[0].Draws.SurveyError, nil
	case q.half:
		return 100 * r.Models[0].Groups[0].Draws.SurveyShareError, nil
	}
	return r.Models[0].Groups[0].Draws.SurveyError, nil
}

// fitAnew asks the program's people as fitted to each resample.
func (a *answer) fitAnew(ctx context.Context, h *holder, fits []*anthro.Population, q *question, e *effort) error {
	newWorker := func() func(int, *float64) error {
		h, err := newHolder(h.claim) // of its own
		return func(k int, out *float64) error {
			if err != nil {
				return err
			}
			part, err := h.of(fits[k])
			if err != nil {
				return err
			}
			held, err := h.fitted(part, e.each)
			if err != nil {
				return err
			}
			*out = held.statistic(h.claim, q.half, nil)
			return nil
		}
	}
	return montecarlo.Run(ctx, montecarlo.Options{To: len(fits)}, newWorker, func() *float64 { return new(float64) }, func(_ int, out *float64) error {
		a.anew = append(a.anew, *out)
		return nil
	})
}

// resample asks the raw people and resamples of them.
func (a *answer) resample(h *holder, b *survey.Bootstrap, q *question, e *effort) error {
	var by []*held // by refit of the regional masses
	for k := range min(h.part.Selection.Population.Refits(), e.resamples) {
		held, err := h.raw(b.Soldiers.People, k, e.copies)
		if err != nil {
			return err
		}
		by = append(by, held)
		a.raw += held.statistic(h.claim, q.half, nil)
	}
	a.raw /= float64(len(by))
	weight := make([]float64, b.Soldiers.People.Rows())
	for k := range e.resamples {
		for i, times := range b.Resample(k) {
			weight[i] = float64(times)
		}
		a.resampled = append(a.resampled, by[k%len(by)].statistic(h.claim, q.half, weight))
	}
	return nil
}
