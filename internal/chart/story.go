package chart

import (
	"cmp"
	"fmt"
	"math"
	"strings"
	"unicode"

	"counterpoise/internal/bodies"
	"counterpoise/internal/draw"
	"counterpoise/internal/words"
	"counterpoise/sim/names"
)

// Share is the size of a picture beside a link, 1200 × 630 dots.
var Share = draw.Size{
	Name: "share", Width: 600, Height: 315, DotsPerInch: 144, Margin: 22,
	Title: 19, Text: 11.5, Small: 7.5, Thick: 2.6, Thin: 1, Least: 7,
}

// StorySizes are the sizes that a Story is made for: beside a link, 16:9, 4:5 and a column.
var StorySizes = []draw.Size{Share, draw.Slide, draw.Post, draw.Column}

// A Story is a claim on one picture that stands alone: the saying, the answer in a
// sentence, the body before and after, and apart from each other how people differ, what
// nobody has measured and what somebody did; and how sure that is.
type Story struct {
	Language string // its code
	Saying   string // in quotation marks
	Answer   string
	Bodies   []bodies.Silhouette
	Shows    string // what the bodies are, for the description; empty where there are none
	Zone     Zone
	Small    string  // names the zone
	Also     string  // what else must be told; may be empty
	Sure     string  // how sure it is; empty where that stands elsewhere
	Bare     bool    // saying and answer stand elsewhere: the title is what the axis is of
	Bars     []Range // over the axis of effects
	Key      int     // which bar the answer is of; one that there is not for none
	Found    string  // by what it is found and made again, for the description
	Foot     draw.Foot
}

// Heading implements draw.Figure.
func (c Story) Heading() (string, draw.Foot) {
	if c.Bare && len(c.Bars) > 0 {
		return c.Zone.XLabel, c.Foot
	}
	return c.Saying, c.Foot
}

// Speaks is the code of its language.
func (c Story) Speaks() string { return cmp.Or(c.Language, "en") }

// Alt implements Figure.
func (c Story) Alt() string {
	var b strings.Builder
	b.WriteString(strings.TrimSuffix(c.Answer, ".") + ".")
	if c.Shows != "" {
		b.WriteString(" " + c.Shows)
	}
	for _, bar := range c.Bars {
		fmt.Fprintf(&b, " %s.", bar.Says)
	}
	for _, text := range []string{c.Zone.Counts, c.Also, c.Sure} {
		if text != "" {
			fmt.Fprintf(&b, " %s.", words.Capital(strings.TrimSuffix(text, ".")))
		}
	}
	return strings.TrimSpace(draw.Described(c, &b) + " " + c.Found)
}

// Check implements draw.Figure.
func (c Story) Check() error {
	if c.Answer == "" || len(c.Bodies) > 0 && c.Shows == "" {
		return draw.Wrong("story", "the answer or the description of the bodies is missing")
	}
	if err := bodies.CheckSilhouettes("story", c.Bodies); err != nil {
		return err
	}
	if len(c.Bars) == 0 {
		return nil
	}
	for _, bar := range c.Bars {
		if err := bar.check("story", true); err != nil {
			return err
		}
	}
	return c.Zone.check("story")
}

// draw sets the answer under the saying, and beside each other or under each other the
// bodies and the bars.
func (c Story) Draw(s *draw.Sheet) error {
	size := s.Size.Text
	large := 1.25 * size
	if !c.Bare {
		lines, err := s.Headline(c.Answer, large)
		if err != nil {
			return err
		}
		s.Lines(lines, s.Body.X0, s.Body.Y0, draw.AlignLeft, true, large, s.Theme.TextColor(s.Theme.After))
		s.Body.Y0 += draw.LineHeight(len(lines), large) + 0.2*size
	}
	for _, also := range []struct {
		text string
		bold bool
	}{{c.Also, true}, {c.Sure, false}} { // under the answer, and at the foot
		if also.text == "" {
			continue
		}
		lines, err := s.Balance(also.text, also.bold, size, s.Body.Width())
		if err != nil {
			return err
		}
		height, y := draw.LineHeight(len(lines), size), s.Body.Y0
		if also.bold {
			s.Body.Y0 += height
		} else {
			s.Body.Y1 -= height
			y = s.Body.Y1
		}
		s.Lines(lines, s.Body.X0, y, draw.AlignLeft, also.bold, size, s.Theme.Ink)
	}
	s.Body.Y0 += 0.6 * size
	s.Body.Y1 -= 0.6 * size
	bars := s.Body
	if len(c.Bodies) > 0 {
		share := 0.42
		if len(c.Bars) == 0 {
			share = 1
		}
		room, rest := s.Aside(share, min(1, 1.15*share))
		if needed, err := c.needed(s, rest); err == nil && !s.Wide() && len(c.Bars) > 0 {
			// What the bars leave is the bodies'.
			room.Y1 = max(room.Y0+0.3*s.Body.Height(), s.Body.Y1-needed-0.8*size)
			rest.Y0 = room.Y1 + 0.8*size
		}
		before := len(s.Items)
		if err := c.drawBodies(s, room); err != nil {
			return err
		}
		// What is left above bodies that are broader than high goes below them, or half of it.
		if spare := highest(s.Items[before:]) - room.Y0; spare > 0.5*size {
			if s.Items = s.Items[:before]; s.Wide() {
				room.Y1 -= spare / 2
			} else {
				room.Y1, rest.Y0 = room.Y1-spare, rest.Y0-spare
			}
			if err := c.drawBodies(s, room); err != nil {
				return err
			}
		}
		bars = rest
	}
	if len(c.Bars) == 0 {
		return nil
	}
	return c.bars(s, bars)
}

// drawBodies draws two bodies, or two rows of two to one scale.
func (c Story) drawBodies(s *draw.Sheet, room draw.Rect) error {
	if len(c.Bodies) < 4 {
		return bodies.Silhouettes(s, c.Bodies, s.Theme.Pair(), room)
	}
	upper, lower := room, room
	upper.Y1 = room.Y0 + (room.Height()-s.Size.Text)/2
	lower.Y0 = upper.Y1 + s.Size.Text
	if err := bodies.Silhouettes(s, c.Bodies[:2], s.Theme.Pair(), upper, c.Bodies[2:]...); err != nil {
		return err
	}
	return bodies.Silhouettes(s, c.Bodies[2:], s.Theme.Pair(), lower, c.Bodies[:2]...)
}

// highest is the upper end of what is drawn.
func highest(items []draw.Item) float64 {
	top := math.Inf(1)
	for _, item := range items {
		for _, p := range item.Places() {
			top = min(top, p.Y)
		}
	}
	return top
}

// scale is the axis of the bars along an area.
func (c Story) scale(area draw.Rect) draw.Scale {
	var ends []float64
	for _, bar := range c.Bars {
		ends = append(ends, bar.Low, bar.Middle, bar.High)
	}
	low, high := c.Zone.ends(ends...)
	return draw.Scale{Low: low, High: high, From: area.X0, To: area.X1}
}

// axis is the zone as its axis is labelled: by nothing where the title is what it is of.
func (c Story) axis() Zone {
	z := c.Zone
	unit := strings.Replace(z.Unit, "deg", "°", 1)
	switch {
	case c.Bare:
		z.XLabel = unit
	case unit != "":
		z.XLabel += " (" + unit + ")"
	}
	return z
}

// Bars are as thick as there is room for, in type sizes.
const (
	thinBar  = 0.9
	thickBar = 2.7
	barGap   = 1.2 // most between a label and the next bar
)

// parts are the heights of all but the bars and the gaps between them, with the lines of each label.
func (c Story) parts(s *draw.Sheet, area draw.Rect) (labels [][]string, axis, fixed float64, err error) {
	size := s.Size.Text
	if axis, err = c.axis().axisHeight(s, area.Width()); err != nil {
		return nil, 0, 0, err
	}
	fixed = axis + c.Zone.namesHeight(s, c.scale(area), c.Small)
	labels = make([][]string, len(c.Bars))
	for k, bar := range c.Bars {
		if labels[k], err = s.Balance(bar.Says, k == c.Key, size, area.Width()); err != nil {
			return nil, 0, 0, err
		}
		fixed += (0.25 + draw.Leading*float64(len(labels[k]))) * size
	}
	return labels, axis, fixed, nil
}

// needed is the height that the bars would have.
func (c Story) needed(s *draw.Sheet, area draw.Rect) (float64, error) {
	_, _, fixed, err := c.parts(s, area)
	return fixed + float64(len(c.Bars))*(1.8+0.6*barGap)*s.Size.Text, err
}

// bars draws the ranges under one another over one axis, with the zone behind each, in the middle
// of an area.
func (c Story) bars(s *draw.Sheet, area draw.Rect) error {
	size, x := s.Size.Text, c.scale(area)
	labels, axis, fixed, err := c.parts(s, area)
	if err != nil {
		return err
	}
	each := (area.Height() - fixed) / float64(len(c.Bars)) / size
	thick := min(max(0.7*each, thinBar), thickBar)
	if each < thick+0.3 {
		return draw.Wrong("story", "no room on the %s for its bars", s.Size.Name)
	}
	gap, y := min(each-thick, 2*barGap), area.Y0
	if s.Wide() {
		gap = min(gap, barGap)
		y += (each - thick - gap) * float64(len(c.Bars)) * size / 2
	}
	if err := c.Zone.drawNames(s, x, y, c.Small); err != nil {
		return err
	}
	y += c.Zone.namesHeight(s, x, c.Small)
	for k, bar := range c.Bars {
		// The zone stands behind the bar alone, so that no line runs through its words.
		c.Zone.drawBack(s, x, y, y+thick*size)
		c.drawBar(s, x, bar, y+0.16*thick*size, y+0.84*thick*size)
		y += (thick + 0.1) * size
		for i, line := range labels[k] {
			if err := besides(s, line, x.At(bar.Middle), x, y+draw.Leading*float64(i)*size, k == c.Key, size, s.Theme.Ink); err != nil {
				return err
			}
		}
		y += (0.15 + draw.Leading*float64(len(labels[k])) + gap) * size
	}
	if !s.Wide() {
		y = area.Y1 - axis
	}
	before := len(s.Items)
	err = c.axis().drawAxis(s, x, y)
	for _, item := range s.Items[before:] {
		if run, ok := item.(*draw.Run); ok && !strings.ContainsFunc(run.Text, unicode.IsLetter) {
			run.Text = c.speaks().Effect(run.Text) // a comma is as broad as a point
		}
	}
	return err
}

// speaks is its language.
func (c Story) speaks() words.Language {
	l, _ := names.First(words.Languages, func(l words.Language) bool { return l.String() == c.Language })
	return l // the first, English, where none is named
}

// drawBar draws a range and its middle.
func (c Story) drawBar(s *draw.Sheet, x draw.Scale, bar Range, top, bottom float64) {
	c.Zone.drawRange(s, x, bar.Low, bar.High, top, bottom)
	s.Spot(s.Theme.Ink, draw.Point{X: x.At(bar.Middle), Y: (top + bottom) / 2}, 0.32*s.Size.Text)
}
