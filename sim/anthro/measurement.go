package anthro

import (
	"slices"

	"counterpoise/sim/names"
)

// Measurement is one body measurement, taken standing with the arms hanging
// unless its description says otherwise. The values are the rows' order in
// every table of this package, from 0 to NumMeasurements-1.
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

	NumMeasurements // how many there are
)

type measurement struct {
	name, description string
	also              []string // what else people call it
}

var measurements = [NumMeasurements]measurement{
	Stature:             {"stature", "floor to the top of the head", []string{"height", "body_height"}},
	Mass:                {"mass", "body mass, lightly clothed", []string{"weight", "body_mass"}},
	AcromialHeight:      {"acromial_height", "floor to the acromion, the tip of the shoulder", nil},
	CervicaleHeight:     {"cervicale_height", "floor to the cervicale, the spine of the seventh neck vertebra", nil},
	SuprasternaleHeight: {"suprasternale_height", "floor to the suprasternale, the notch at the top of the breastbone", nil},
	TrochanterionHeight: {"trochanterion_height", "floor to the trochanterion, the top of the greater trochanter of the thigh bone", nil},
	TibialHeight:        {"tibial_height", "floor to the tibiale, the top of the shin bone at the knee", nil},
	MalleolusHeight:     {"malleolus_height", "floor to the lateral malleolus, the outer ankle bone", nil},
	BiacromialBreadth:   {"biacromial_breadth", "between the two acromia", []string{"shoulder_breadth", "shoulder_width"}},
	UpperArmLength:      {"upper_arm_length", "acromion to radiale, the top of the radius at the elbow", nil},
	ForearmLength:       {"forearm_length", "radiale to stylion, the lower tip of the radius at the wrist", nil},
	PalmLength:          {"palm_length", "wrist crease to the root of the middle finger", nil},
	HandLength:          {"hand_length", "wrist to the tip of the middle finger", nil},
	FootLength:          {"foot_length", "heel to the tip of the longest toe", nil},
	Span:                {"span", "between the fingertips of the arms stretched out sideways", []string{"arm_span", "armspan", "wingspan"}},
	SittingHeight:       {"sitting_height", "sitting, seat to the top of the head", nil},
	HipBreadth:          {"hip_breadth", "greatest breadth of the hips", nil},
	WaistCircumference:  {"waist_circumference", "around the waist at the height of the navel", []string{"waist"}},
}

var measurementNames = names.Rows[Measurement](measurements[:], func(row *measurement) string { return row.name })

// String returns the measurement's name in snake case, such as
// "acromial_height".
func (m Measurement) String() string { return measurementNames.Of(m) }

// Unit returns the SI unit of the measurement's values: "kg" for Mass, "m" for
// all others.
func (m Measurement) Unit() string {
	if m == Mass {
		return "kg"
	}
	return "m"
}

// Description says between which landmarks the measurement is taken.
func (m Measurement) Description() string { return measurements[m].description }

// ParseMeasurement finds a measurement by its name, exactly as String gives it.
func ParseMeasurement(name string) (Measurement, bool) { return measurementNames.Find(name) }

// MeasurementCalled finds a measurement by another word that people use for it, such as
// "wingspan".
func MeasurementCalled(word string) (Measurement, bool) {
	for m := range NumMeasurements {
		if slices.Contains(measurements[m].also, word) {
			return m, true
		}
	}
	return 0, false
}

// MeasurementNames returns the names of all measurements in their order.
func MeasurementNames() []string { return names.All(NumMeasurements) }
