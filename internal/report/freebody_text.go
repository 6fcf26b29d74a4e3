package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"counterpoise/internal/units"
	"counterpoise/sim/hold"
)

// HeldText writes what a hold asks of one body: the demands in body weights and
// in newtons, and the forces at the supports.
func HeldText(w io.Writer, b *HeldBody) error {
	t := &textWriter{w: w}
	size := fmt.Sprintf("%s, %s", units.Format(b.Body.Stature[0], units.Length, units.Metric), units.Format(b.Body.Mass[0], units.Mass, units.Metric))
	with := ""
	if words := b.postureWords(); words != "" {
		with = "; " + words
	}
	t.line("Asked of %s (%s%s) under %s", b.Who, size, with, b.Model)
	weight := b.weight()
	for _, d := range b.Hold.Asks(b.Model) {
		value, _ := b.demand(d)
		own, metric := demandText(d, value, weight)
		t.line("%s", strings.TrimRight(fmt.Sprintf("  %-24s %12s  %s", d, own, metric), " "))
	}
	t.line("")
	t.line("What holds it up, in equilibrium of the whole")
	for _, s := range b.Figure.Supports {
		force, err := b.Figure.Force(b.Solution, s.Name)
		if err != nil {
			return err
		}
		size := force.Length() / weight
		t.line("  %-24s %12s  %-9s %s", s.Name, units.Format(size, units.BodyWeights, units.Metric),
			units.Format(force.Length(), units.Force, units.Metric), directionText(force.X/weight, force.Y/weight))
	}
	return t.err
}

// demandText writes a demand in its own unit and, for forces and moments, in
// newtons.
func demandText(d hold.Demand, value, weight float64) (own, metric string) {
	switch d.Unit {
	case "BW":
		return units.Format(value, units.BodyWeights, units.Metric), units.Format(value*weight, units.Force, units.Metric)
	case "BW·m":
		return units.Format(value, units.BodyWeightMetres, units.Metric), units.Format(value*weight, units.Moment, units.Metric)
	case "rad":
		return units.Format(value, units.Angle, units.Metric), ""
	case "m":
		return units.Format(value, units.Length, units.Metric), ""
	}
	return units.Format(value, units.Number, units.Metric), ""
}

// directionText says where a force points, its parts in body weights.
func directionText(x, y float64) string {
	var parts []string
	for _, p := range []struct {
		value              float64
		positive, negative string
	}{{x, "to the right", "to the left"}, {y, "up", "down"}} {
		if math.Abs(p.value) < 0.0005 {
			continue
		}
		way := p.positive
		if p.value < 0 {
			way = p.negative
		}
		parts = append(parts, fmt.Sprintf("%.3f %s", math.Abs(p.value), way))
	}
	return strings.Join(parts, ", ")
}
