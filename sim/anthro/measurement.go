package anthro

import (
	"slices"

	"counterpoise/sim/names"
)

// Measurement is one body measurement, taken standing with the arms hanging
// unless its description says otherwise, from 0 to NumMeasurements-1; or Age,
// which comes after them. The values are the rows' order in every table of this
// package.
type Measurement int

// The measurements, as defined by the 2012 US Army anthropometric survey
// (Gordon et al. 2014, NATICK/TR-15/007).
const (
	Stature Measurement = iota
	Mass
	AcromialHeight
	CervicaleHeight
	SuprasternaleHeight
	TrochanterionHeight
	TibialHeight
	MalleolusHeight
	BiacromialBreadth
	UpperArmLength
	ForearmLength
	PalmLength
	HandLength
	FootLength
	Span
	SittingHeight
	HipBreadth
	WaistCircumference

	NumMeasurements // how many are read off a body

	// Age is that of the last birthday: whole years. It is known of people, and
	// told apart by, like a measurement, but no body is made of it.
	Age = NumMeasurements

	NumVariables = Age + 1 // how many there are with the age
)

type measurement struct {
	name, description string
	also              []string // what else people call it
	most, least       string   // who have most and least of it, where there are words for them
}

var measurements = [NumVariables]measurement{
	Stature:             {name: "stature", description: "floor to the top of the head", also: []string{"height", "body_height"}, most: "tallest", least: "shortest"},
	Mass:                {name: "mass", description: "body mass, lightly clothed", also: []string{"weight", "body_mass"}, most: "heaviest", least: "lightest"},
	AcromialHeight:      {name: "acromial_height", description: "floor to the acromion, the tip of the shoulder"},
	CervicaleHeight:     {name: "cervicale_height", description: "floor to the cervicale, the spine of the seventh neck vertebra"},
	SuprasternaleHeight: {name: "suprasternale_height", description: "floor to the suprasternale, the notch at the top of the breastbone"},
	TrochanterionHeight: {name: "trochanterion_height", description: "floor to the trochanterion, the top of the greater trochanter of the thigh bone"},
	TibialHeight:        {name: "tibial_height", description: "floor to the tibiale, the top of the shin bone at the knee"},
	MalleolusHeight:     {name: "malleolus_height", description: "floor to the lateral malleolus, the outer ankle bone"},
	BiacromialBreadth:   {name: "biacromial_breadth", description: "between the two acromia", also: []string{"shoulder_breadth", "shoulder_width"}},
	UpperArmLength:      {name: "upper_arm_length", description: "acromion to radiale, the top of the radius at the elbow"},
	ForearmLength:       {name: "forearm_length", description: "radiale to stylion, the lower tip of the radius at the wrist"},
	PalmLength:          {name: "palm_length", description: "wrist crease to the base of the middle finger"},
	HandLength:          {name: "hand_length", description: "wrist to the tip of the middle finger"},
	FootLength:          {name: "foot_length", description: "heel to the tip of the longest toe"},
	Span:                {name: "span", description: "between the fingertips, arms stretched out sideways", also: []string{"arm_span", "armspan", "wingspan"}},
	SittingHeight:       {name: "sitting_height", description: "sitting, seat to the top of the head"},
	HipBreadth:          {name: "hip_breadth", description: "greatest breadth of the hips"},
	WaistCircumference:  {name: "waist_circumference", description: "around the waist: of soldiers at navel height, of the public above the hip bone", also: []string{"waist"}},
	Age:                 {name: "age", description: "at the last birthday", most: "oldest", least: "youngest"},
}

var measurementNames = names.Rows[Measurement](measurements[:], func(row *measurement) string { return row.name })

// String returns the measurement's name in snake case, such as
// "acromial_height".
func (m Measurement) String() string { return measurementNames.Of(m) }

// Unit returns the unit of the measurement's values: "kg" for Mass, "years" for
// Age, "m" for all others.
func (m Measurement) Unit() string {
	switch m {
	case Mass:
		return "kg"
	case Age:
		return "years"
	}
	return "m"
}

// Description says between which landmarks the measurement is taken.
func (m Measurement) Description() string { return measurements[m].description }

// Superlatives are what people with most and with least of it are, "tallest" and
// "shortest"; empty where nobody says it in a word.
func (m Measurement) Superlatives() (most, least string) {
	return measurements[m].most, measurements[m].least
}

// ParseMeasurement finds a measurement by its name, exactly as String gives it.
func ParseMeasurement(name string) (Measurement, bool) { return measurementNames.Find(name) }

// MeasurementCalled finds a measurement by another word that people use for it, such as
// "wingspan".
func MeasurementCalled(word string) (Measurement, bool) {
	for m := range NumVariables {
		if slices.Contains(measurements[m].also, word) {
			return m, true
		}
	}
	return 0, false
}

// MeasurementNames returns the names of all measurements in their order, without the
// age.
func MeasurementNames() []string { return names.All(NumMeasurements) }
