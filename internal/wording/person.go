package wording

import (
	"fmt"
	"math"
	"strings"

	"counterpoise/internal/units"
	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
	"counterpoise/sim/statics"
)

// PersonAnswer is what is told of one person.
type PersonAnswer struct {
	*person.Result
	Ready *person.Readiness // nil without tests of strength
	Notes []string          // what is rare or should be known, a sentence each
}

// Primary is the model that is told first where one must be picked: equilibrium,
// or the only one there is.
func (a *PersonAnswer) Primary() *person.ModelResult {
	for i := range a.Models {
		if a.Models[i].Model == hold.Equilibrium {
			return &a.Models[i]
		}
	}
	return &a.Models[0]
}

// PostureWords says how the hold is done where it is not plain.
func (a *PersonAnswer) PostureWords() string {
	return PostureWords(hold.Posture{Legs: a.Person.Legs, Pose: a.Person.Pose, Tilt: a.Person.Tilt})
}

// HoldWords names the hold with its posture.
func (a *PersonAnswer) HoldWords() string {
	name, _, _ := strings.Cut(a.Hold.Title, ",")
	name = WithinSentence(name)
	if with := a.PostureWords(); with != "" {
		name += " (" + with + ")"
	}
	return name
}

// WithinSentence begins a title with a small letter, but for a letter that names
// a shape.
func WithinSentence(title string) string {
	if len(title) > 1 && title[1] == '-' {
		return title
	}
	return strings.ToLower(title[:1]) + title[1:]
}

// KnownWords says what was measured, each value with its error.
func (a *PersonAnswer) KnownWords(s units.System) string {
	parts := []string{a.Population.Sex.String()}
	for _, k := range a.Conditioned.Known {
		parts = append(parts, strings.ReplaceAll(k.Of.String(), "_", " ")+" "+KnownText(k, s))
	}
	if a.Person.Scan != nil {
		parts = append(parts, "a body-composition scan")
	}
	return strings.Join(parts, ", ")
}

// OpenWords says what was not measured.
func (a *PersonAnswer) OpenWords() string {
	exact := 0
	for _, k := range a.Conditioned.Known {
		if k.Error == 0 {
			exact++
		}
	}
	var parts []string
	if left := int(anthro.NumMeasurements) - len(a.Conditioned.Known); left > 0 {
		parts = append(parts, fmt.Sprintf("the other %d measurements", left))
	}
	if len(a.Conditioned.Known) > exact {
		parts = append(parts, "the stated errors")
	}
	if a.Person.Scan == nil && a.Options.Masses != body.Table {
		parts = append(parts, "how the mass is spread over the body")
	}
	if len(parts) == 0 {
		return "nothing is left to be drawn"
	}
	return strings.Join(parts, " and ") + " drawn from people alike (" + a.Conditioned.Population.Name + ")"
}

// KnownText prints a measurement with the standard deviation of its error, if it has
// one.
func KnownText(k anthro.Known, s units.System) string {
	dimension := units.Length
	if k.Of == anthro.Mass {
		dimension = units.Mass
	}
	text := units.Format(k.Value, dimension, s)
	if k.Error > 0 {
		text += " ± " + strings.TrimPrefix(units.FormatChange(k.Error, dimension, s), "+")
	}
	return text
}

// SpreadText prints a median with its 5–95 % range, or alone where nothing is
// left open.
func SpreadText(s person.Spread, format func(float64) string) string {
	middle, low, high := format(s.Median), format(s.Low), format(s.High)
	if low == middle && high == middle {
		return middle
	}
	// The unit is said once in a range.
	if cut := strings.LastIndexByte(low, ' '); cut >= 0 && strings.HasSuffix(high, low[cut:]) && !strings.Contains(low[:cut], " ") && !strings.Contains(high[:len(high)-len(low[cut:])], " ") {
		low, high = low[:cut], strings.TrimSuffix(high, low[cut:])
	}
	return middle + " (" + low + " to " + high + ")"
}

// In returns a printer of quantities of one dimension.
func In(d units.Dimension, s units.System) func(float64) string {
	return func(x float64) string { return units.Format(x, d, s) }
}

// Tape prints lengths as a tape measure has them.
func Tape(s units.System) func(float64) string {
	return func(x float64) string { return units.FormatTape(x, s) }
}

// PrinterOf returns the printer of a demand in its own unit.
func PrinterOf(d hold.Demand, s units.System) func(float64) string {
	switch d.Unit {
	case "BW":
		return In(units.BodyWeights, s)
	case "BW·m":
		return In(units.BodyWeightMetres, s)
	case "rad":
		return In(units.Angle, s)
	case "m":
		return Tape(s)
	}
	return In(units.Number, s)
}

// QuantityText prints one demand: in body weights, in newtons and, for a force,
// in the kilograms that weigh as much.
func QuantityText(q person.Quantity, s units.System) string {
	text := SpreadText(q.All, PrinterOf(q.Demand, s))
	switch q.AbsoluteUnit {
	case "N":
		text += ", " + SpreadText(q.AllAbsolute, In(units.Force, s))
		if s == units.Metric {
			text += ", as " + SpreadText(scaled(q.AllAbsolute, 1/statics.StandardGravity), In(units.Mass, s))
		}
	case "N·m":
		text += ", " + SpreadText(q.AllAbsolute, WholeMoment(s))
	}
	return text
}

func scaled(s person.Spread, by float64) person.Spread {
	return person.Spread{Median: s.Median * by, Low: s.Low * by, High: s.High * by}
}

// Over prints the range that a value takes over models, or the one value.
func Over(values []float64, format func(float64) string) string {
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range values {
		low, high = math.Min(low, v), math.Max(high, v)
	}
	a, b := format(low), format(high)
	if a == b {
		return a
	}
	if cut := strings.LastIndexByte(a, ' '); cut >= 0 && strings.HasSuffix(b, a[cut:]) && !strings.Contains(a[:cut], " ") {
		a = a[:cut]
	} else {
		a = strings.TrimSuffix(a, "°")
	}
	return a + " to " + b
}

// PersonHeadline is what a coach can say: the one or two numbers that the hold
// is about, over all models.
func PersonHeadline(a *PersonAnswer, s units.System) string {
	name, title := a.Person.Name, a.HoldWords()
	var possible []*person.ModelResult
	for i := range a.Models {
		if m := &a.Models[i]; m.PossibleAll > 0 {
			possible = append(possible, m)
		}
	}
	if len(possible) == 0 {
		return fmt.Sprintf("%s cannot take the posture of the %s, whatever is left open.", name, title)
	}
	var says []string
	low, high, open := math.Inf(1), math.Inf(-1), false
	for _, m := range possible {
		text := postureOfMedian(m, s)
		if len(a.Models) > 1 {
			text += " (" + m.Model.String() + ")"
		}
		says = append(says, text)
		main, _ := m.Quantity(m.Main)
		low, high, open = math.Min(low, main.AllAbsolute.Low), math.Max(high, main.AllAbsolute.High), open || main.AllAbsolute.Width() > 0
	}
	main, _ := possible[0].Quantity(possible[0].Main)
	noun := strings.TrimPrefix(Noun(main.Demand, possible[0].Model), "the ")
	text := fmt.Sprintf("For %s, the %s asks for a %s of about %s.", name, title, noun, strings.Join(says, ", or "))
	format, ok := map[string]func(float64) string{"N": WeightOf(s), "N·m": WholeMoment(s)}[main.AbsoluteUnit]
	if ok && open && format(low) != format(high) {
		text += " With all that is left open it is " + Over([]float64{low, high}, format) + "."
	}
	return text
}

// postureOfMedian says what one model asks for in the middle of what is left
// open: the main quantity and the posture that goes with it.
func postureOfMedian(m *person.ModelResult, s units.System) string {
	main, _ := m.Quantity(m.Main)
	text := PrinterOf(m.Main, s)(main.All.Median)
	switch main.AbsoluteUnit {
	case "N":
		text = fmt.Sprintf("%s (%.2f BW)", WeightOf(s)(main.AllAbsolute.Median), main.All.Median)
	case "N·m":
		text = WholeMoment(s)(main.AllAbsolute.Median) + " (" + text + ")"
	}
	if q, ok := m.Quantity(hold.HandSpacing); ok {
		text += ", with the hands " + TapeRound(s)(q.All.Median) + " apart"
	}
	if q, ok := m.Quantity(hold.ArmAngle); ok {
		text += " and the arms " + WholeDegrees(q.All.Median) + " from the pole"
	}
	if q, ok := m.Quantity(hold.LeanAngle); ok {
		text += ", with a lean of " + WholeDegrees(q.All.Median)
	}
	return text
}

// WeightOf prints a force as what weighs as much, to whole units: what a coach
// has plates for.
func WeightOf(s units.System) func(float64) string {
	return func(newtons float64) string {
		kg := newtons / statics.StandardGravity
		if s == units.Imperial {
			return fmt.Sprintf("%.0f lb", kg/0.45359237)
		}
		return fmt.Sprintf("%.0f kg", kg)
	}
}

// WholeMoment prints moments to whole units: their last digits are not known.
func WholeMoment(s units.System) func(float64) string {
	return func(x float64) string {
		if s == units.Imperial {
			return Minus(fmt.Sprintf("%.0f lbf·ft", x/(0.3048*4.4482216152605)))
		}
		return Minus(fmt.Sprintf("%.0f N·m", x))
	}
}

// Minus gives a negative number its proper sign.
func Minus(text string) string {
	if rest, negative := strings.CutPrefix(text, "-"); negative {
		return "−" + rest
	}
	return text
}

// WholeDegrees prints an angle in radians to whole degrees.
func WholeDegrees(radians float64) string { return fmt.Sprintf("%.0f°", radians*180/math.Pi) }

// TapeRound prints a length that somebody marks: to whole centimetres or eighths
// of an inch.
func TapeRound(s units.System) func(float64) string {
	if s == units.Imperial {
		return Tape(s)
	}
	return func(x float64) string { return fmt.Sprintf("%.0f cm", 100*x) }
}

// Percentile puts a share of people below into words.
func Percentile(share float64) string {
	switch p := math.Round(100 * share); {
	case p < 1:
		return "below the 1st percentile"
	case p > 99:
		return "above the 99th percentile"
	default:
		n := int(p)
		ending := "th"
		if n/10 != 1 {
			switch n % 10 {
			case 1:
				ending = "st"
			case 2:
				ending = "nd"
			case 3:
				ending = "rd"
			}
		}
		return fmt.Sprintf("%d%s percentile", n, ending)
	}
}

// GainName is what would be measured, in words.
func GainName(g person.Gain) string {
	if g.Scan {
		return "a body-composition scan"
	}
	return strings.ReplaceAll(g.Measure.String(), "_", " ")
}
