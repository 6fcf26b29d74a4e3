package chart

import (
	"fmt"
	"image/color"
	"math"
	"strings"
)

// A SplitRow is one bar of a Split: the shares of a variance that come from people,
// from assumptions and from the two together. They add up to 1 but for their
// errors.
type SplitRow struct {
	Label                            string // the people and the model
	People, Interaction, Assumptions float64
	Note                             string // below the bar, such as the median with its band
}

// A Split shows how much of a variance is that people differ and how much is that
// something is not known, a bar each for every population and model.
type Split struct {
	Title  string
	XLabel string
	Rows   []SplitRow
	Foot   Foot
}

func (p Split) heading() (string, Foot) { return p.Title, p.Foot }

// Alt implements Figure.
func (p Split) Alt() string {
	var text strings.Builder
	fmt.Fprintf(&text, "Stacked bars of: %s.", p.XLabel)
	for _, r := range p.Rows {
		fmt.Fprintf(&text, " %s: people %s, what nobody has measured %s, both together %s; %s.", r.Label,
			share(r.People), share(r.Assumptions), share(max(0, r.Interaction)), strings.TrimSuffix(r.Note, "."))
	}
	return described(p, &text)
}

func (p Split) check() error {
	if p.XLabel == "" || len(p.Rows) == 0 {
		return wrong("split", "no axis label or no row")
	}
	for _, r := range p.Rows {
		if r.Label == "" || r.Note == "" {
			return wrong("split", "a row has no label or no note")
		}
		const slack = 0.1 // what errors of the shares may leave
		for _, share := range []float64{r.People, r.Interaction, r.Assumptions} {
			if !drawable(share) || share < -slack || share > 1+slack {
				return wrong("split", "%s: a share is %v", r.Label, share)
			}
		}
		if sum := r.People + r.Interaction + r.Assumptions; math.Abs(sum-1) > slack {
			return wrong("split", "%s: the shares sum to %v", r.Label, sum)
		}
	}
	return nil
}

func (p Split) draw(s *sheet) error {
	size, note, t := s.size.text, s.size.note(), s.theme
	x := scale{low: 0, high: 100, from: s.body.x0 + 0.8*size, to: s.body.x1 - 1.2*size}
	plot := rect{x.from, s.body.y0, x.to, s.body.y1}
	both := mix(t.Before, t.After, 0.5)
	top := s.colorKey([]hue{{sourceNames[FromPeople], t.Before}, {"both together", both}, {sourceNames[FromAssumptions], t.After}}, 0.5, s.body.y0) + 0.7*size
	axis, err := s.axisHeight(p.XLabel, plot.width())
	if err != nil {
		return err
	}
	plot.y0, plot.y1 = top, plot.y1-axis
	labels, notes := make([][]string, len(p.Rows)), make([][]string, len(p.Rows))
	taken, bar := 0.0, 1.5*size // and higher where there is room
	for i, r := range p.Rows {
		if labels[i], err = s.wrap(r.Label, true, size, plot.width()); err != nil {
			return err
		}
		if notes[i], err = s.balance(r.Note, false, note, plot.width()); err != nil {
			return err
		}
		taken += lineHeight(len(labels[i]), size) + bar + lineHeight(len(notes[i]), note) + 0.5*size
	}
	spare := (plot.height() - taken) / float64(len(p.Rows))
	if spare < 0.2*size {
		return wrong("split", "%d rows do not fit on the %s", len(p.Rows), s.size.Name)
	}
	thicker := min(max(spare-size, 0), 3*size)
	bar, taken = bar+thicker, taken+thicker*float64(len(p.Rows))
	spare = min(spare-thicker, 2*size)
	plot.y1 = plot.y0 + taken + spare*float64(len(p.Rows))
	if err := s.horizontalAxis(x, plot.y1, p.XLabel); err != nil {
		return err
	}
	y := plot.y0
	for i, r := range p.Rows {
		s.lines(labels[i], plot.x0, y, alignLeft, true, size, t.Ink)
		y += lineHeight(len(labels[i]), size) + 0.2*size
		sum := max(r.People, 0) + max(r.Interaction, 0) + max(r.Assumptions, 0)
		at := 0.0
		for _, part := range []struct {
			share float64
			color color.RGBA
		}{{r.People, t.Before}, {r.Interaction, both}, {r.Assumptions, t.After}} {
			width := 100 * max(part.share, 0) / sum
			if width == 0 {
				continue
			}
			fillColor := mix(t.Background, part.color, 0.5)
			s.fillRect(fillColor, rect{x.at(at), y, x.at(at + width), y + bar})
			text := share(part.share)
			if room := x.at(at+width) - x.at(at); textWidth(text, true, size)+0.6*size < room {
				// What is written in a bar is read against the bar.
				s.text(text, (x.at(at)+x.at(at+width))/2, y+bar/2+0.35*size, alignCenter, true, size, t.Ink)
			}
			at += width
		}
		y += bar + 0.3*size
		s.lines(notes[i], plot.x0, y, alignLeft, false, note, t.Muted)
		y += lineHeight(len(notes[i]), note) + spare
	}
	s.stroke(t.Muted, s.size.thin, nil, point{plot.x0, plot.y1}, point{plot.x1, plot.y1})
	return nil
}

func (p Split) length() int { return len(p.Rows) }

// part implements divisible; the axis is always from 0 to all.
func (p Split) part(from, to int) Figure {
	p.Rows = p.Rows[from:to]
	return p
}

func (p Split) numbered(k, of int) Figure {
	p.Title = numberedTitle(p.Title, k, of)
	return p
}
