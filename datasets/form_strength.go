package datasets

import (
	"encoding/json"
	"math"
)

// Estimate is a number with its standard error.
type Estimate struct {
	Value float64 `json:"value"`
	Error float64 `json:"standard_error"`
}

// SizeFit says how the strength of one sex grows with size and changes with age.
type SizeFit struct {
	N       int     `json:"n"`         // people in the fit to size
	Mass    float64 `json:"mass_kg"`   // geometric mean, weighted
	Stature float64 `json:"stature_m"` // geometric mean, weighted
	// Grip is the median best grip at that mass and stature and the reference
	// age.
	Grip            float64  `json:"grip_n"`
	MassExponent    Estimate `json:"mass_exponent"`
	StatureExponent Estimate `json:"stature_exponent"`
	Covariance      float64  `json:"exponents_covariance"`
	Residual        float64  `json:"residual_sd"` // of the logarithm
	Within          float64  `json:"within_sd"`   // of the logarithm, between readings of one hand
	// Build is how the logarithm goes with those of the masses of head, trunk and arms
	// over that of the legs, for the same size, age and waist, of BuildN people who
	// were scanned, and BuildResidual what is left of Residual then.
	BuildN        int         `json:"build_n"`
	Build         [3]Estimate `json:"build"`
	BuildResidual float64     `json:"build_residual_sd"`
	// The same force against the lean mass of both arms alone.
	ArmLeanN        int      `json:"arm_lean_n"`
	ArmLeanExponent Estimate `json:"arm_lean_exponent"`
	ArmLeanResidual float64  `json:"arm_lean_residual_sd"`
	// Age is the logarithm of strength at the ages FirstAge, FirstAge+1, … over
	// that at the reference age, at one size.
	Age []float64 `json:"age_log_factor"`
}

// Size is the file of a fit of strength to size and age in strength/.
type Size struct {
	Name         string             `json:"name"`
	Title        string             `json:"title"`
	Provenance   Provenance         `json:"provenance"`
	FirstAge     int                `json:"first_age"`
	ReferenceAge int                `json:"reference_age"`
	BySex        map[string]SizeFit `json:"by_sex"`
}

// Angle is an angle in radians; files have it in degrees.
type Angle float64

// UnmarshalJSON reads degrees.
func (a *Angle) UnmarshalJSON(text []byte) error {
	var degrees float64
	err := json.Unmarshal(text, &degrees)
	*a = Angle(degrees * math.Pi / 180)
	return err
}

// NormOther is a further source for the same strength.
type NormOther struct {
	Value  float64 `json:"value"`
	Source string  `json:"source"`
	Seen   string  `json:"seen"`
}

// NormRow is the strength of one muscle group of one sex at one angle.
type NormRow struct {
	Group  string      `json:"group"`
	Sex    string      `json:"sex"`
	Angle  Angle       `json:"angle_degrees"`
	Value  float64     `json:"value"`        // N or N·m, unless Of
	SD     float64     `json:"sd,omitempty"` // between the people measured; 0 where it was not seen
	N      int         `json:"n,omitempty"`  // people of that sex; 0 where it was not seen
	Low    float64     `json:"low"`          // of the mean: a range that holds the other sources
	High   float64     `json:"high"`
	Of     string      `json:"of,omitempty"` // "grip": in multiples of the best grip of Size
	Pose   string      `json:"posture"`
	Source string      `json:"source"`
	Seen   string      `json:"seen"`
	Note   string      `json:"note,omitempty"`
	Others []NormOther `json:"others,omitempty"`
}

// NormSample is the mean person whom norms were measured on.
type NormSample struct {
	Mass    float64 `json:"mass_kg"`
	Stature float64 `json:"stature_m"`
	Age     float64 `json:"age"`
	Seen    string  `json:"seen"`
}

// NormGap says what of a group's strength nobody was found to have measured.
type NormGap struct {
	Group string `json:"group"`
	What  string `json:"what"`
}

// Norms is the file of the norms of strength in strength/.
type Norms struct {
	Name       string     `json:"name"`
	Title      string     `json:"title"`
	Provenance Provenance `json:"provenance"`
	// Reach is how far beyond the outermost angles of a group its strength still
	// counts as known.
	Reach    Angle                 `json:"reach_degrees"`
	Samples  map[string]NormSample `json:"samples"`
	Rows     []NormRow             `json:"rows"`
	NotKnown []NormGap             `json:"not_known"`
}
