package hold

import "strings"

// Plate is one published measurement of the weight on the hands in a push-up, by
// a force plate, as a share of body weight.
type Plate struct {
	Position string // in words
	Pose     Pose
	Men      int // who was measured: the model is averaged over drawn people
	Women    int // in these parts
	Measured float64
	SD       float64 // between people; 0 where it is not published
	Stated   float64 // measured less model as it is stated with the data; 0 where they agree
	Who      string
	Source   string
}

// Study is who measured and when: "Mier et al. 2014". People are compared with
// themselves within a study alone.
func (p *Plate) Study() string {
	study, _, _ := strings.Cut(p.Source, ",")
	return study
}

// PlatesOnStature is what a study of force plates says of tall people and short ones.
const PlatesOnStature = "Ebben et al. 2011 found no difference by sex or height, except for height with the hands on a 0.61 m box (abstract)"

const foot = 0.3048 // m

// Mier et al. 2014 (Int J Exerc Sci 7:161-168) gives means and standard deviations
// of 5-second holds by sex; Ebben et al. 2011 (J Strength Cond Res 25:2891-2894)
// peaks of the moving exercise, on boxes of 30.48 and 60.96 cm, as read in second-hand
// accounts on the web, one of which repeats all six; Gouvali & Boudolos 2005 (J Strength Cond
// Res 19:146-151). Nobody published where the hands were.
const (
	mier    = "Mier et al. 2014, Int J Exerc Sci 7:161, held 5 s"
	gouvali = "Gouvali & Boudolos 2005, J Strength Cond Res 19:146"
	ebben   = "Ebben et al. 2011, J Strength Cond Res 25:2891, peaks in motion, read second-hand"
)

var plates = []Plate{
	{Position: "level, arms straight", Men: 1, Measured: 0.670, SD: 0.038, Who: "men", Source: mier},
	{Position: "level, arms straight", Women: 1, Measured: 0.651, SD: 0.031, Who: "women", Source: mier},
	{Position: "level, arms straight", Men: 1, Measured: 0.664, Who: "8 men", Source: gouvali},
	{Position: "level", Men: 14, Women: 9, Measured: 0.64, Who: "14 men and 9 women", Source: ebben},
	{Position: "feet raised 0.61 m", Pose: Pose{FeetRaised: 2 * foot}, Men: 14, Women: 9, Measured: 0.74, Who: "14 men and 9 women", Source: ebben},
	{Position: "hands raised 0.61 m", Pose: Pose{HandsRaised: 2 * foot}, Men: 14, Women: 9, Measured: 0.41, Who: "14 men and 9 women", Source: ebben},
	{Position: "feet raised 0.30 m", Pose: Pose{FeetRaised: foot}, Men: 14, Women: 9, Measured: 0.70, Who: "14 men and 9 women", Source: ebben},
	{Position: "hands raised 0.30 m", Pose: Pose{HandsRaised: foot}, Men: 14, Women: 9, Measured: 0.55, Who: "14 men and 9 women", Source: ebben},
	{Position: "on knees", Pose: Pose{Kneeling: 1}, Men: 1, Measured: 0.525, SD: 0.037, Stated: 0.075, Who: "men", Source: mier},
	{Position: "on knees", Pose: Pose{Kneeling: 1}, Women: 1, Measured: 0.515, SD: 0.031, Stated: 0.065, Who: "women", Source: mier},
	{Position: "on knees", Pose: Pose{Kneeling: 1}, Men: 1, Measured: 0.529, Stated: 0.08, Who: "8 men", Source: gouvali},
	{Position: "on knees", Pose: Pose{Kneeling: 1}, Men: 14, Women: 9, Measured: 0.49, Who: "14 men and 9 women", Source: ebben},
	{Position: "arms bent", Pose: Pose{Bent: 1}, Men: 1, Measured: 0.746, SD: 0.036, Stated: 0.075, Who: "men", Source: mier},
	{Position: "arms bent", Pose: Pose{Bent: 1}, Women: 1, Measured: 0.703, SD: 0.031, Stated: 0.035, Who: "women", Source: mier},
}

// ForcePlates lists what was published of the weight on the hands in push-ups.
func ForcePlates() []Plate { return append([]Plate(nil), plates...) }
