package chart

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"counterpoise/internal/words"
)

// A MorrisPoint is one input of a screening: the mean magnitude of its elementary
// effects with its interval, and their standard deviation.
type MorrisPoint struct {
	Label               string
	Absolute, Low, High float64
	Deviation           float64
	Source              Source
}

// A MorrisPlane shows elementary effects: how much each input matters, to the right,
// and how much that depends on where it is taken, upwards. An input below the line of
// half its magnitude acts much the same everywhere. The inputs that matter most are
// named, up to as many as Named says, and the one whose effect varies most.
type MorrisPlane struct {
	Title          string
	XLabel, YLabel string // mean magnitude and standard deviation, with the unit
	Points         []MorrisPoint
	Named          int
	Foot           Foot
}

// certain is how many inputs are named for certain. The others crowd together where
// little matters, and a name that finds no room is left to the description.
const certain = 3

func (m MorrisPlane) heading() (string, Foot) { return m.Title, m.Foot }

// Alt implements Figure.
func (m MorrisPlane) Alt() string {
	var text strings.Builder
	fmt.Fprintf(&text, "Scatter chart: %s against %s.", m.YLabel, m.XLabel)
	for _, p := range m.ranked() {
		fmt.Fprintf(&text, " %s: %s (%s to\u00a0%s), deviation %s.", p.Label, three(p.Absolute), three(p.Low), three(p.High), words.Digits(p.Deviation, 2))
	}
	return described(m, &text)
}

func (m MorrisPlane) check() error {
	if m.XLabel == "" || m.YLabel == "" || len(m.Points) == 0 {
		return wrong("screening", "an axis has no label, or there is no point")
	}
	for _, p := range m.Points {
		if p.Label == "" || p.Source < 0 || p.Source >= numSources {
			return wrong("screening", "a point has no label, or no source (%q)", p.Label)
		}
		if !drawable(p.Absolute, p.Low, p.High, p.Deviation) || p.Absolute < 0 || p.Deviation < 0 || p.Low > p.Absolute || p.High < p.Absolute {
			return wrong("screening", "%s: %v from %v to %v, deviation %v", p.Label, p.Absolute, p.Low, p.High, p.Deviation)
		}
	}
	return nil
}

// ranked returns the points, those that matter most first.
func (m MorrisPlane) ranked() []MorrisPoint {
	points := slices.Clone(m.Points)
	slices.SortStableFunc(points, func(a, b MorrisPoint) int { return cmp.Compare(b.Absolute, a.Absolute) })
	return points
}

func (m MorrisPlane) draw(s *sheet) error {
	size, t := s.size.text, s.theme
	points := m.ranked()
	var sources []Source
	right, up := 0.0, 0.0
	for _, p := range points {
		sources = append(sources, p.Source)
		right, up = max(right, p.High), max(up, p.Deviation)
	}
	if right == 0 {
		right = 1
	}
	if up == 0 {
		up = right / 2
	}
	top, err := s.paragraph(m.YLabel, drawSources(s, sources)+0.2*size, size)
	if err != nil {
		return err
	}
	f := s.newFrame(top+0.7*size, scale{low: 0, high: 1.12 * up}, 5, 0.5*size, size)
	if err := f.numbersBelow(s, scale{low: 0, high: 1.06 * right}, m.XLabel); err != nil {
		return err
	}
	f.both = true
	x, y, plot := f.x, f.y, f.plot
	place, err := f.draw(s, 2*s.size.thin)
	if err != nil {
		return err
	}
	half := clipLine([]point{{x.at(0), y.at(0)}, {x.at(2 * y.high), y.at(y.high)}}, plot)
	for _, piece := range half {
		s.stroke(t.Muted, s.size.thin, []float64{3 * s.size.thin, 2 * s.size.thin}, piece...)
		place.avoid(piece, 1)
	}
	radius := 1.2 * s.size.thick
	spots := make([]point, len(points))
	for i, p := range points {
		spots[i] = point{x.at(p.Absolute), y.at(p.Deviation)}
		bar := []point{{x.at(max(p.Low, 0)), spots[i].y}, {x.at(p.High), spots[i].y}}
		s.stroke(mix(t.Background, p.Source.color(t), 0.6), s.size.thin, nil, bar...)
		place.avoid(bar, 0.4)
		place.take(spots[i], radius)
	}
	for i, p := range points {
		s.spot(p.Source.color(t), spots[i], radius)
	}
	note := s.size.note()
	uneven := 0 // whose effect depends most on where it is taken
	for i, p := range points {
		if p.Deviation > points[uneven].Deviation {
			uneven = i
		}
	}
	for i, p := range points {
		if p.Absolute == 0 || i >= m.Named && i != uneven {
			continue
		}
		c, gap := t.textColor(p.Source.color(t)), radius+0.25*note
		err := place.label(p.Label, spots[i:i+1], gap, false, note, c)
		if err != nil && i < certain && !s.loose {
			if _, err := place.block([][]string{{p.Label}}, nil, spots[i:i+1], gap, false, note, c); err != nil {
				return err
			}
		}
	}
	for _, piece := range half {
		var anchors []point
		for k := 6; k > 0; k-- {
			u := float64(k) / 7
			anchors = append(anchors, point{piece[0].x + u*(piece[1].x-piece[0].x), piece[0].y + u*(piece[1].y-piece[0].y)})
		}
		if _, err := place.block([][]string{{"deviation half of", "the magnitude"}}, piece, anchors, 0.4*note, false, note, t.Muted); err != nil && !s.loose {
			return err
		}
	}
	return nil
}
