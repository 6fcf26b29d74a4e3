package said

import (
	"fmt"

	"counterpoise/internal/outcome"
	"counterpoise/internal/words"
)

// Warnings are what is to be known of a result beside what it says: of its people and
// assumptions, and whether more bodies were drawn than the survey can tell anything of.
func Warnings(r *outcome.Result) []string {
	list := append([]string(nil), r.Warnings...)
	list = append(list, words.LoadNotes(r.Claim.Load, r.Claim.LoadAfter())...)
	add := func(whom string, drawing *float64, d *outcome.Draws) {
		if said := beyondSurvey(drawing, d); said != "" {
			list = append(list, whom+": "+said)
		}
	}
	for i := range r.Models {
		if m := &r.Models[i]; r.Claim.Contrast == nil {
			add(m.Name, m.Pooled.MedianError, m.Pooled.Draws)
		}
	}
	for i := range r.Contrast {
		c := &r.Contrast[i]
		add(c.Model+", "+words.Sexes(c.People), c.MedianError, c.Draws)
	}
	return list
}

// beyond is what part of the survey's own error that of drawing must be for more bodies
// to tell nothing more.
const beyond = 10

// beyondSurvey says that the bodies at the central assumptions leave less of an error in the
// median effect than whom the survey happened to measure; it is empty where they do not.
func beyondSurvey(drawing *float64, d *outcome.Draws) string {
	if drawing == nil || d.SurveyError == nil || !(*drawing*beyond < *d.SurveyError) {
		return ""
	}
	return fmt.Sprintf("at the central assumptions, drawing leaves a standard error of %s in the median effect, and the survey's own sampling %s: more bodies would add nothing",
		words.StandardError(*drawing, d.Unit), words.StandardError(*d.SurveyError, d.Unit))
}
