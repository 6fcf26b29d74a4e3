package chart

import (
	"fmt"
	"math"
	"strings"

	"counterpoise/internal/words"
)

// A scale maps values linearly to places on the sheet.
type scale struct {
	low, high float64 // values
	from, to  float64 // pt
}

func (s scale) at(v float64) float64 {
	return s.from + (v-s.low)/(s.high-s.low)*(s.to-s.from)
}

// clamp is at, kept between the ends.
func (s scale) clamp(v float64) float64 { return s.at(min(max(v, s.low), s.high)) }

// ticks returns round values from low to high, at most the given number, and
// the decimals that tell them apart. Steps are 1, 2 or 5 times a power of ten.
func ticks(low, high float64, most int) (values []float64, decimals int) {
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

// share writes a share with the number and its sign on one line.
func share(x float64) string { return words.OneLine(words.Whole(x)) }

// axisGap is the distance of tick labels from a horizontal axis as a share of
// the type size: enough for a label of the vertical axis at its corner.
const axisGap = 0.6

// horizontalAxis draws values and label of an axis below y. The grid lines go up to
// each of the rects.
func (s *sheet) horizontalAxis(x scale, y float64, label string, panels ...rect) error {
	size := s.size.text
	values, decimals := ticks(x.low, x.high, tickCount(x, size))
	for _, v := range values {
		at := x.at(v)
		for _, p := range panels {
			s.stroke(s.theme.Grid, s.size.thin, nil, point{at, p.y0}, point{at, p.y1})
		}
		s.text(words.Number(v, decimals), at, y+(axisGap+ascent)*size, alignCenter, false, size, s.theme.Muted)
	}
	lines, err := s.balance(label, false, size, x.to-x.from)
	s.lines(lines, (x.from+x.to)/2, y+(axisGap+1.35)*size, alignCenter, false, size, s.theme.Muted)
	return err
}

// axisHeight is the height that horizontalAxis will take.
func (s *sheet) axisHeight(label string, width float64) (float64, error) {
	lines, err := s.balance(label, false, s.size.text, width)
	return (axisGap+1.35)*s.size.text + lineHeight(len(lines), s.size.text), err
}

// tickCount is the number of values that stand comfortably along a horizontal
// axis.
func tickCount(x scale, size float64) int {
	for most := 9; most > 2; most-- {
		values, decimals := ticks(x.low, x.high, most)
		perUnit := (x.to - x.from) / (x.high - x.low)
		fits := true
		for i := 1; i < len(values); i++ {
			half := (textWidth(words.Number(values[i-1], decimals), false, size) + textWidth(words.Number(values[i], decimals), false, size)) / 2
			fits = fits && half+1.2*size <= (values[i]-values[i-1])*perUnit
		}
		if fits {
			return most
		}
	}
	return 2
}

// halfNumber is the room right of a plot for the half of the last number below it that
// reaches beyond.
func (s *sheet) halfNumber(last float64) float64 {
	return textWidth(words.Number(math.Round(last), 0), false, s.size.text)/2 + 0.2*s.size.text
}

// numbersFor writes numbers instead of names that have no room along an axis, and adds
// to a key what they stand for.
func numbersFor(names []string, of string, key *[]string) []string {
	numbers, parts := make([]string, len(names)), make([]string, len(names))
	for i, name := range names {
		numbers[i] = fmt.Sprint(i + 1)
		parts[i] = numbers[i] + "\u00a0" + name
	}
	*key = append(*key, of+": "+strings.Join(parts, ", ")+".")
	return numbers
}

// numbersKey sets such a key at the foot of the body and returns what it leaves of what
// ended at bottom.
func (s *sheet) numbersKey(key []string, bottom float64) (float64, error) {
	if len(key) == 0 {
		return bottom, nil
	}
	top, err := s.footing(strings.Join(key, " "), s.size.note())
	return top - 0.5*s.size.text, err
}
