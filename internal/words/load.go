package words

import (
	"strings"

	"counterpoise/internal/units"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
)

// Load says what is carried, as somebody stated it: "10 kg on the chest and 4 kg at both
// ankles together", "20 kg taken off at the hips"; empty where it is nothing.
func Load(l body.Load) string { return And(loads(l, stated)) }

// LoadIn is Load in a system of units.
func LoadIn(l body.Load, s System) string { return And(loads(l, massIn(s))) }

// LoadPart says, for a picture, what is carried at a place of it: "10 kg on the chest", or
// of one of two limbs that are seen apart "1 kg". all is what is carried in all.
func LoadPart(p body.Point, kilograms float64, all body.Load, s System) string {
	mass := stated
	if s != Metric {
		mass = massIn(s)
	}
	if kilograms == all[p] {
		var l body.Load
		l[p] = kilograms
		return And(loads(l, mass))
	}
	if kilograms < 0 {
		return mass(-kilograms) + " taken off"
	}
	return mass(kilograms)
}

func stated(kilograms float64) string { return Given(kilograms) + " kg" }

func massIn(s System) func(float64) string { return Printer(units.Mass, s) }

func loads(l body.Load, mass func(kilograms float64) string) []string {
	var parts []string
	for p, kg := range l {
		off := ""
		if kg < 0 {
			kg, off = -kg, "taken off "
		}
		if kg != 0 {
			parts = append(parts, mass(kg)+" "+off+body.Point(p).Info().Where)
		}
	}
	return parts
}

// LoadChange says what is carried after and before, where it differs: "2 kg at both ankles
// together", "4 kg on the chest instead of 10 kg on the chest"; empty where it is the same.
func LoadChange(before, after body.Load) string { return loadChange(before, after, stated) }

// LoadChangeIn is LoadChange in a system of units.
func LoadChangeIn(before, after body.Load, s System) string {
	return loadChange(before, after, massIn(s))
}

func loadChange(before, after body.Load, mass func(float64) string) string {
	if before == after {
		return ""
	}
	for p := range before {
		if before[p] == after[p] {
			before[p], after[p] = 0, 0
		}
	}
	was, is := And(loads(before, mass)), And(loads(after, mass))
	switch {
	case was == "":
		return is
	case is == "":
		is = "no load"
	}
	return is + " instead of " + was
}

// PostureUnder is Posture with what is carried behind it.
func PostureUnder(p hold.Posture, l body.Load) string { return behind(Posture(p), Load(l)) }

func behind(posture, load string) string { return strings.Trim(posture+", "+load, ", ") }

// What is said wherever something is carried, and taken off.
const (
	LoadSays   = "The load is not part of the body: BW is the weight of the body alone, and the load does not change its strength."
	AssistSays = "Help is a constant force straight up. A real band pulls less as it shortens, and at a slant unless it hangs straight above."
)

// LoadNotes lists what is to be said of loads, of those before and after a change.
func LoadNotes(loads ...body.Load) []string {
	carried, assisted := false, false
	for _, l := range loads {
		carried = carried || l != body.Load{}
		assisted = assisted || l.Assists()
	}
	var notes []string
	if carried {
		notes = append(notes, LoadSays)
	}
	if assisted {
		notes = append(notes, AssistSays)
	}
	return notes
}
