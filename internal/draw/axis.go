package draw

import (
	"fmt"
	"math"
	"strings"

	"counterpoise/internal/words"
)

// A Scale maps values linearly to places on the sheet.
type Scale struct {
	Low, High float64 // values
	From, To  float64 // pt
}

// At is the place of a value.
func (s Scale) At(v float64) float64 {
	return s.From + (v-s.Low)/(s.High-s.Low)*(s.To-s.From)
}

// Clamp is at, kept between the ends.
func (s Scale) Clamp(v float64) float64 { return s.At(min(max(v, s.Low), s.High)) }

// Ticks returns round values from low to high, at most the given number, and
// the decimals that tell them apart. Steps are 1, 2 or 5 times a power of ten.
func Ticks(low, high float64, most int) (values []float64, decimals int) {
	most = max(most, 2)
	exponent := int(math.Floor(math.Log10((high - low) / float64(most))))
	for ; ; exponent++ {
		for _, m := range []float64{1, 2, 5} {
			// Built from integers: 3·0.1 is not 0.3, 3/10 is.
			value := func(i float64) float64 {
				if exponent < 0 {
					return i * m / math.Pow10(-exponent)
				}
				return i * m * math.Pow10(exponent)
			}
			step := value(1)
			first, last := math.Ceil(low/step-1e-9), math.Floor(high/step+1e-9)
			n := last - first + 1
			if n > float64(most) {
				continue
			}
			for i := range int(n) {
				values = append(values, value(first+float64(i)))
			}
			return values, max(0, -exponent)
		}
	}
}

// Percentage writes a share with the number and its sign on one line.
func Percentage(x float64) string { return words.OneLine(words.Whole(x)) }

// AxisGap is the distance of tick labels from a horizontal axis as a share of
// the type size: enough for a label of the vertical axis at its corner.
const AxisGap = 0.6

// HorizontalAxis draws values and label of an axis below y. The grid lines go up to
// each of the rects. A value that would reach into the margin is left out.
func (s *Sheet) HorizontalAxis(x Scale, y float64, label string, panels ...Rect) error {
	size := s.Size.Text
	values, decimals := Ticks(x.Low, x.High, tickCount(x, size))
	for _, v := range values {
		at := x.At(v)
		for _, p := range panels {
			s.Stroke(s.Theme.Grid, s.Size.Thin, nil, Point{at, p.Y0}, Point{at, p.Y1})
		}
		text := words.Number(v, decimals)
		if half := TextWidth(text, false, size) / 2; at-half >= s.Size.Margin && at+half <= s.Size.Width-s.Size.Margin {
			s.Text(text, at, y+(AxisGap+Ascent)*size, AlignCenter, false, size, s.Theme.Muted)
		}
	}
	lines, err := s.Balance(label, false, size, x.To-x.From)
	s.Lines(lines, (x.From+x.To)/2, y+(AxisGap+1.35)*size, AlignCenter, false, size, s.Theme.Muted)
	return err
}

// AxisHeight is the height that horizontalAxis will take.
func (s *Sheet) AxisHeight(label string, width float64) (float64, error) {
	lines, err := s.Balance(label, false, s.Size.Text, width)
	return (AxisGap+1.35)*s.Size.Text + LineHeight(len(lines), s.Size.Text), err
}

// tickCount is the number of values that stand comfortably along a horizontal
// axis.
func tickCount(x Scale, size float64) int {
	for most := 9; most > 2; most-- {
		values, decimals := Ticks(x.Low, x.High, most)
		perUnit := (x.To - x.From) / (x.High - x.Low)
		fits := true
		for i := 1; i < len(values); i++ {
			half := (TextWidth(words.Number(values[i-1], decimals), false, size) + TextWidth(words.Number(values[i], decimals), false, size)) / 2
			fits = fits && half+1.2*size <= (values[i]-values[i-1])*perUnit
		}
		if fits {
			return most
		}
	}
	return 2
}

// HalfNumber is the room right of a plot for the half of the last number below it that
// reaches beyond.
func (s *Sheet) HalfNumber(last float64) float64 {
	return TextWidth(words.Number(math.Round(last), 0), false, s.Size.Text)/2 + 0.2*s.Size.Text
}

// NumbersFor writes numbers instead of names that have no room along an axis, and adds
// to a key what they stand for.
func NumbersFor(names []string, of string, key *[]string) []string {
	numbers, parts := make([]string, len(names)), make([]string, len(names))
	for i, name := range names {
		numbers[i] = fmt.Sprint(i + 1)
		parts[i] = numbers[i] + "\u00a0" + name
	}
	*key = append(*key, of+": "+strings.Join(parts, ", ")+".")
	return numbers
}

// NumbersKey sets such a key at the foot of the body and returns what it leaves of what
// ended at bottom.
func (s *Sheet) NumbersKey(key []string, bottom float64) (float64, error) {
	if len(key) == 0 {
		return bottom, nil
	}
	top, err := s.Footing(strings.Join(key, " "), s.Size.Note())
	return top - 0.5*s.Size.Text, err
}
