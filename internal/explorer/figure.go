package explorer

// PoseRequest asks how the median body of a person looks and what it carries at an
// arm angle or a hand spacing; at its best posture where neither is given.
type PoseRequest struct {
	Person  Person   `json:"person"`
	Model   string   `json:"model"`
	Angle   *float64 `json:"angle_deg,omitempty"`
	Spacing *float64 `json:"spacing_m,omitempty"`
}

// Pose is the answer to a PoseRequest.
type Pose struct {
	Faults []Fault `json:"faults"`
	Figure Figure  `json:"figure"`
}

// Figure is one body in the hold, to scale: metres, y up.
type Figure struct {
	Possible bool   `json:"possible"`
	Why      string `json:"why,omitempty"` // why it is not
	Model    string `json:"model"`
	// The arms' angle and the hands' distance, where the hold has a choice of them, and
	// the ranges that this body can take.
	Angle        *float64  `json:"angle_deg,omitempty"`
	Spacing      *float64  `json:"spacing_m,omitempty"`
	AngleRange   *Interval `json:"angle_range_deg,omitempty"`
	SpacingRange *Interval `json:"spacing_range_m,omitempty"`
	Mass         float64   `json:"mass_kg"`
	Weight       float64   `json:"weight_n"`
	Stature      float64   `json:"stature_m"`
	FromFront    bool      `json:"from_front"` // whether the body is seen from the front, else from the side
	Bones        []Bone    `json:"bones"`      // those behind come first
	Joints       []Joint   `json:"joints"`
	Supports     []Support `json:"supports"`
	Fixture      []Edge    `json:"fixture"`
	Centre       *Point    `json:"centre"` // of mass
	Demands      []Demand  `json:"demands"`
}

// Point is a place or a vector: x to the right, y up.
type Point [2]float64

// Bone is one segment, a line between two joints.
type Bone struct {
	Segment string     `json:"segment"`
	From    Point      `json:"from"`
	To      Point      `json:"to"`
	Widths  [2]float64 `json:"widths_m"` // at its beginning and end, for the eye only
	Centre  Point      `json:"centre"`   // of its mass
	Mass    float64    `json:"mass_kg"`
}

// Joint is a cut at which the muscles' moment is worth showing: counterclockwise on
// what lies beyond it, in equilibrium.
type Joint struct {
	Name     string  `json:"name"`
	At       Point   `json:"at"`
	Moment   float64 `json:"moment_nm"`
	MomentBW float64 `json:"moment_bwm"`
}

// Support is where the outside holds the body, and its force on the body, in
// equilibrium.
type Support struct {
	Name    string  `json:"name"`
	At      Point   `json:"at"`
	Force   Point   `json:"force_n"`
	ForceBW float64 `json:"force_bw"` // its size
}

// Edge is a straight part of what holds the body: "pole", "bar", "floor", "wall",
// "cable", "box". A bar that is seen end-on has no length.
type Edge struct {
	Name string `json:"name"`
	From Point  `json:"from"`
	To   Point  `json:"to"`
}

// Demand is one quantity at the posture shown.
type Demand struct {
	Quantity     string   `json:"quantity"` // its name in the catalogue
	Unit         string   `json:"unit"`
	Value        float64  `json:"value"`
	Absolute     *float64 `json:"absolute,omitempty"`
	AbsoluteUnit string   `json:"absolute_unit,omitempty"` // "N" or "N·m"
	Text         string   `json:"text"`                    // in the units asked for
}
