package explorer

import "counterpoise/internal/wording"

// ChangeRequest asks what a change of the body or of the pose does, to the same
// bodies.
type ChangeRequest struct {
	Person Person `json:"person"`
	Model  string `json:"model"`
	Change Change `json:"change"`
	Draws  int    `json:"draws,omitempty"`
	Seed   *Seed  `json:"seed,omitempty"`
}

// Change is what is changed; an empty field changes nothing. Lengths and sizes are
// changes, signed or not: "+5 cm", "-3 %", a bare "5".
type Change struct {
	ArmLength       string            `json:"arm_length,omitempty"`
	LegLength       string            `json:"leg_length,omitempty"`
	ShoulderBreadth string            `json:"shoulder_breadth,omitempty"`
	Size            string            `json:"size,omitempty"` // per cent of every length, mass along with it
	Mass            []AddedMass       `json:"mass,omitempty"`
	Legs            *Legs             `json:"legs,omitempty"` // instead of the person's
	Tilt            string            `json:"tilt,omitempty"` // instead of the person's
	Pose            map[string]string `json:"pose,omitempty"` // over the person's
}

// AddedMass is mass put on a region, or taken off where Kilograms is negative.
type AddedMass struct {
	Region    string `json:"region"` // of the catalogue's mass_regions
	Kilograms string `json:"kilograms"`
	// Working is the share that is muscle working in the hold, 0 (fat, a weight vest) to 1.
	Working float64 `json:"working_share"`
}

// Comparison is the answer to a ChangeRequest.
type Comparison struct {
	Faults     []Fault   `json:"faults"`
	Complete   bool      `json:"complete"`
	Model      string    `json:"model"`
	Quantities []Changed `json:"quantities"` // in the hold's order, difficulty included where there is one
	// Judged is the quantity by which easier and harder are told: the difficulty, or
	// the hold's main one where nothing is known to give out.
	Judged string `json:"judged"`
	Before Figure `json:"before"` // of the median body, each at its best posture
	After  Figure `json:"after"`
	// The shares of the draws that can take the posture.
	PossibleBefore float64 `json:"possible_before"`
	PossibleAfter  float64 `json:"possible_after"`
	Words          Words   `json:"words"`
}

// Changed is one quantity before and after, over bodies and assumptions: the same
// draws both times, those that can take both postures.
type Changed struct {
	Quantity string        `json:"quantity"`
	Unit     string        `json:"unit"`
	Before   wording.Range `json:"before"`
	After    wording.Range `json:"after"`
	Effect   wording.Range `json:"effect"` // after less before, draw by draw
	// EasierShare and HarderShare are those of the draws in which the quantity's size
	// falls and rises; becoming possible counts as easier, impossible as harder. They
	// are null for a quantity that says nothing of the kind, such as an angle.
	EasierShare *float64 `json:"easier_share"`
	HarderShare *float64 `json:"harder_share"`
}
