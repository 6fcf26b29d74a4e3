package hold

import (
	"fmt"
	"io"
	"strings"

	"counterpoise/internal/freebody"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/hold"
)

// HeldText writes what a hold asks of one body: the demands in body weights and
// in newtons, and the forces at the supports.
func HeldText(w io.Writer, b *freebody.HeldBody) error {
	t := &holdText{words.Writer{W: w}}
	size := fmt.Sprintf("%s, %s", words.Quantity(b.Body.Stature[0], units.Length, words.Metric), words.Quantity(b.Body.Mass[0], units.Mass, words.Metric))
	with := ""
	if posture := b.PostureWords(); posture != "" {
		with = "; " + posture
	}
	t.Line("Demands on %s (%s%s) under %s", b.Who, size, with, words.StaticsModel(b.Model))
	weight := b.Weight()
	for _, d := range b.Hold.Told(b.Model, b.Posture) {
		value, _ := b.Demand(d)
		own, metric := demandText(d, value, weight)
		t.Line("%s", strings.TrimRight(fmt.Sprintf("  %-24s %12s  %s", d, own, metric), " "))
	}
	t.Line("")
	t.Line("What holds it up, with the whole body in balance")
	for _, s := range b.Figure.Supports {
		force, err := b.Figure.Force(b.Solution, s.Name)
		if err != nil {
			return err
		}
		size := force.Length() / weight
		t.Line("  %-24s %12s  %-9s %s", s.Name, words.Quantity(size, units.BodyWeights, words.Metric),
			words.Quantity(force.Length(), units.Force, words.Metric), words.Parts(force.X/weight, force.Y/weight, 0.0005, func(x float64) string { return words.Number(x, 3) }))
	}
	return t.Err
}

// demandText writes a demand in its own unit and, for forces and moments, in
// newtons.
func demandText(d hold.Demand, value, weight float64) (own, metric string) {
	own = words.DemandPrinter(d, words.Metric)(value)
	switch d.Unit {
	case "BW":
		metric = words.Quantity(value*weight, units.Force, words.Metric)
	case "BW·m":
		metric = words.Quantity(value*weight, units.Moment, words.Metric)
	}
	return own, metric
}
