package hold

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"counterpoise/internal/provenance"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
)

// UntrainedBodies and UntrainedSeed say which bodies stand for untrained adults.
const (
	UntrainedBodies = 501
	UntrainedSeed   = 1
)

// UntrainedRow is how a hold goes for untrained adults of one sex.
type UntrainedRow struct {
	Hold    *hold.Hold
	Posture hold.Posture
	Load    body.Load
	People  *anthro.Population
	*scenario.Untrained
}

// UntrainedAdults names the public whose sizes untrained adults have.
func UntrainedAdults() []string {
	return []string{anthro.PublicOf(anthro.Male), anthro.PublicOf(anthro.Female)}
}

// UntrainedLike names the public whose sizes untrained people have who are like some:
// adults, or youths where those are.
func UntrainedLike(people *anthro.Population) []string {
	if people.Young() {
		return []string{anthro.YouthsOf(anthro.Male), anthro.YouthsOf(anthro.Female)}
	}
	return UntrainedAdults()
}

// UntrainedIn holds up untrained people of the sizes of some of the public, by name. Where
// none of them can take the posture, Unknown says so.
func UntrainedIn(h *hold.Hold, posture hold.Posture, load body.Load, of []string) ([]UntrainedRow, error) {
	var rows []UntrainedRow
	for _, name := range of {
		people, err := anthro.Load(name)
		if err != nil {
			return nil, err
		}
		s := scenario.Scenario{
			Hold: h, Legs: posture.Legs, Pose: posture.Pose, Tilt: posture.Tilt, Load: load,
			People: []scenario.Group{scenario.GroupOf(people)}, Models: []scenario.Model{scenario.DefaultModel(hold.Equilibrium)},
		}
		u, err := s.Untrained(UntrainedBodies, UntrainedSeed)
		if errors.Is(err, hold.ErrNotPossible) {
			u, err = &scenario.Untrained{Bodies: UntrainedBodies, Unknown: "no simulated body can take the posture"}, nil
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", h.Name, err)
		}
		rows = append(rows, UntrainedRow{h, posture, load, people, u})
	}
	return rows, nil
}

// untrainedSays says how to read what is said of untrained people.
func untrainedSays(rows []UntrainedRow) string {
	person, youths := words.UntrainedAmong(rowsPeople(rows)), ""
	if slices.ContainsFunc(rows, func(r UntrainedRow) bool { return r.People.Young() }) {
		youths = " All norms but the grip's are adults': the assumption strength_by_age takes youths to be weaker by as much as in grip."
	}
	return "Times the strength of the median untrained " + person + " of the same sex, size, build and age, median of " + words.Count(UntrainedBodies) +
		" bodies drawn from the US public. In brackets: from the highest published norms to the lowest. " +
		"A share is not known where these differ by more than " + words.Number(100*scenario.TooWide, 0) + " percentage points." + youths
}

func rowsPeople(rows []UntrainedRow) []*anthro.Population {
	var people []*anthro.Population
	for i := range rows {
		people = append(people, rows[i].People)
	}
	return people
}

// UntrainedText writes what a hold asks of untrained adults, a paragraph for each survey.
func UntrainedText(w io.Writer, rows []UntrainedRow) error {
	t := &holdText{words.Writer{W: w}}
	t.Line("For untrained %ss, in equilibrium%s", words.UntrainedAmong(rowsPeople(rows)), underLoad(rows))
	for i := range rows {
		r := &rows[i]
		one := words.UntrainedOf(r.People)
		says := "An untrained " + one.One + ": "
		if r.Unknown != "" {
			says += "not known, since " + r.Unknown + "."
		} else {
			says += r.paragraph(one)
		}
		t.Wrap("  ", "  ", says)
	}
	t.Wrap("  ", "  ", untrainedSays(rows))
	return t.Err
}

func (r *UntrainedRow) paragraph(one words.Untrained) string {
	first, _ := r.First()
	says := words.Times(r.Difficulty) + " times " + one.Whose + " strength (" +
		words.Interval(words.Times(r.Published.Difficulty.Low), words.Times(r.Published.Difficulty.High)) + " over the published norms; " +
		words.Interval(words.Times(r.Low), words.Times(r.High)) + " for 5–95 % of bodies). Gives out first: " + words.GivesOutFirst(r.Untrained)
	if len(first) > 1 {
		says += ", together"
	}
	if next := words.GiveOutNext(r.Untrained); next != "" {
		says += "; then " + next
	}
	return says + ". Could hold it: " + words.Could(r.Untrained) + " of untrained " + one.Many + "."
}

// UntrainedTable writes a table of holds, one row for a hold and survey; what follows
// says how to read it.
func UntrainedTable(w io.Writer, rows []UntrainedRow) error {
	t := &holdText{words.Writer{W: w}}
	row := func(hold, who, times, could, first string) {
		t.Line("%s", strings.TrimRight(fmt.Sprintf("%-24s %-6s %-19s %-26s %s", hold, who, times, could, first), " "))
	}
	row("hold", "of", "times strength", "could hold it", "gives out first")
	for i := range rows {
		r := &rows[i]
		name := words.Held(r.Hold, r.Posture, body.Load{})
		if i > 0 && rows[i-1].Hold == r.Hold {
			name = ""
		}
		many := words.UntrainedOf(r.People).Many
		switch {
		case r.Unknown == "":
			row(name, many, words.Published(r.Difficulty, r.Published.Difficulty, words.Times), words.Could(r.Untrained), words.GivesOutFirst(r.Untrained))
		case name != "":
			row(name, "all", "not known", "", "")
			t.Wrap("  ", "  ", r.Unknown)
		}
	}
	t.Line("")
	if under := underLoad(rows); under != "" {
		t.Wrap("", "", "All of them"+strings.TrimPrefix(under, ",")+". "+strings.Join(words.LoadNotes(rows[0].Load), " "))
	}
	t.Wrap("", "", untrainedSays(rows))
	return t.Err
}

// underLoad says with what all rows are held up, after a comma; empty where it is nothing.
func underLoad(rows []UntrainedRow) string {
	if len(rows) == 0 || rows[0].Load == (body.Load{}) {
		return ""
	}
	return ", with " + words.Load(rows[0].Load)
}

// UntrainedSummary is what is known of holds and untrained adults, for JSON.
type UntrainedSummary struct {
	Provenance provenance.Stamp `json:"provenance"`
	Holds      []UntrainedEntry `json:"holds"`
}

// UntrainedEntry is a row of it. Shares lie between 0 and 1, difficulties are in times
// the strength of the median untrained adult; what is not known is left out.
type UntrainedEntry struct {
	Hold                string           `json:"hold"`
	People              string           `json:"people"`
	Bodies              int              `json:"bodies"`
	Possible            int              `json:"bodies_that_can_take_the_posture"`
	Unknown             string           `json:"unknown,omitempty"`
	Difficulty          *float64         `json:"difficulty,omitempty"`
	OfBodies            *[2]float64      `json:"difficulty_p5_p95_of_bodies,omitempty"`
	DifficultyPublished *[2]float64      `json:"difficulty_by_published_norms,omitempty"`
	Could               *float64         `json:"share_who_could,omitempty"`
	CouldPublished      *[2]float64      `json:"share_who_could_by_published_norms,omitempty"`
	CouldKnown          bool             `json:"share_who_could_is_known"`
	Uses                []UntrainedUsing `json:"uses,omitempty"`
}

// UntrainedUsing is what a hold uses of a group, from the most used on.
type UntrainedUsing struct {
	Group string  `json:"group"`
	Side  string  `json:"side"`
	Share float64 `json:"share"`
}

// SummariseUntrained puts rows into their JSON form.
func SummariseUntrained(rows []UntrainedRow, stamp provenance.Stamp) UntrainedSummary {
	s := UntrainedSummary{Provenance: stamp}
	for i := range rows {
		r := &rows[i]
		e := UntrainedEntry{
			Hold: r.Hold.Name, People: r.People.Name, Bodies: r.Bodies, Possible: r.Possible, Unknown: r.Unknown, CouldKnown: r.CouldKnown(),
		}
		if r.Unknown == "" {
			e.Difficulty, e.Could = &r.Difficulty, &r.Could
			e.OfBodies = &[2]float64{r.Low, r.High}
			e.DifficultyPublished = &[2]float64{r.Published.Difficulty.Low, r.Published.Difficulty.High}
			e.CouldPublished = &[2]float64{r.Published.Could.Low, r.Published.Could.High}
		}
		for _, u := range r.Uses {
			e.Uses = append(e.Uses, UntrainedUsing{u.Group.String(), u.Side.String(), u.Share})
		}
		s.Holds = append(s.Holds, e)
	}
	return s
}
