package main

import (
	"context"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/internal/survey"
	"counterpoise/sim/anthro"

	"gonum.org/v1/gonum/stat"
)

// A short form of the study: what the program states of the survey's error is what fits
// to resamples of it differ by, and its people are those of the survey.
func TestStatedErrorIsTheSurveys(t *testing.T) {
	folder := golden.Surveys(t, survey.Folder)
	b := golden.Must(survey.ReadBootstrap(folder, anthro.Female))(t)
	e := &effort{resamples: 64, copies: 1, drawn: 40_000, each: 4096}
	fits := golden.Must(fitAll(context.Background(), b, e.resamples))(t)
	for _, q := range questions[1:3] {
		a := golden.Must(q.ask(context.Background(), anthro.Female, b, fits, e))(t)
		// Of 64 fits a standard deviation is known to 9 %, and two of them differ by 12.5 %.
		anew, raw := stat.StdDev(a.anew, nil), stat.StdDev(a.resampled, nil)
		if ratio := a.stated / anew; !(ratio > 0.7 && ratio < 1.4) {
			t.Errorf("%s: the stated error is %.4f, fits to resamples differ by %.4f", q.claim, a.stated, anew)
		}
		if bias := (a.fit - a.raw) / raw; !(bias > -3 && bias < 3) {
			t.Errorf("%s: the fit says %.4f, the people %.4f ± %.4f", q.claim, a.fit, a.raw, raw)
		}
		if raw < 0.8*anew {
			t.Errorf("%s: resampled people differ by %.4f, fits to them by %.4f", q.claim, raw, anew)
		}
	}
}
