package said

import (
	"io"

	"counterpoise/internal/words"
)

// FirstPerson writes the first screen of answers: all that a coach is told of one person
// first, or a table of several.
func FirstPerson(w io.Writer, answers []PersonAnswer, s words.System) error {
	t := &personText{words.Writer{W: w}}
	if len(answers) == 1 {
		t.firstPerson(&answers[0], s)
	} else {
		t.personTable(answers, s)
	}
	t.Wrap("", "", words.Caution)
	return t.Err
}

// FirstReadiness writes the first screen of what tests say.
func FirstReadiness(w io.Writer, answers []PersonAnswer, s words.System) error {
	t := &personText{words.Writer{W: w}}
	for i := range answers {
		t.firstPerson(&answers[i], s)
	}
	t.Wrap("", "", words.Caution)
	return t.Err
}

// firstPerson writes what is told of one person first, and what should be known beside it.
func (t *personText) firstPerson(a *PersonAnswer, s words.System) {
	for i, line := range PersonFirst(a, s) {
		t.Wrap(map[bool]string{true: "", false: "  "}[i == 0], "    ", line)
	}
	t.FirstNotes(a.Notes)
	if a.Conditioned.Population.Young() {
		t.FirstNotes([]string{words.CautionYoung})
	}
}
