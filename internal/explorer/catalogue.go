package explorer

import (
	"fmt"
	"slices"

	"counterpoise/datasets"
	"counterpoise/internal/jsonform"
	"counterpoise/internal/provenance"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/person"
)

// Catalogue is what there is to choose from, and the words that never change.
type Catalogue struct {
	Version      string            `json:"version"`
	Data         map[string]string `json:"data"` // SHA-256 of every embedded data set, by name
	Holds        []Hold            `json:"holds"`
	Measurements []Measurement     `json:"measurements"`
	People       []People          `json:"people"`
	ScanRegions  []Named           `json:"scan_regions"`
	Changes      []ChangeKind      `json:"changes"`      // of a body, by one number each
	MassRegions  []Named           `json:"mass_regions"` // of a change
	Points       []Named           `json:"points"`       // at which something is carried or taken off
	Tests        []TestKind        `json:"tests"`
	Models       []Named           `json:"models"`
	Quantities   []QuantityInfo    `json:"quantities"`
	Draws        Count             `json:"draws"`
	Units        []UnitsOf         `json:"units"`
	Validation   string            `json:"validation"` // what stands under every number
	Cautions     string            `json:"cautions"`
	Limits       []string          `json:"limits"`  // what the whole cannot tell, a sentence each
	Sources      []string          `json:"sources"` // of the people, with their licences and terms of use
}

// Named is something with a name for requests and a label for people.
type Named struct {
	Name    string `json:"name"`
	Label   string `json:"label"`
	Meaning string `json:"meaning,omitempty"`
}

// ChangeKind is a change of a body by one number, which Change takes by its name.
type ChangeKind struct {
	Named
	Kind string  `json:"kind"` // "length" (m) or "share" (of what there is)
	Most float64 `json:"most"` // how far people ask, either way, in m or as a share
}

// Count is how many bodies may be drawn.
type Count struct {
	Default int `json:"default"` // where a request does not say: quick
	Full    int `json:"full"`    // what the command line draws where nobody says
	Least   int `json:"least"`
	Most    int `json:"most"`
}

// Hold is one hold.
type Hold struct {
	Name        string            `json:"name"`
	Title       string            `json:"title"`
	Description string            `json:"description"`
	Plane       string            `json:"plane"`
	Supports    []string          `json:"supports"`
	Free        string            `json:"free"`
	LeavesOut   []string          `json:"leaves_out"`
	Models      []string          `json:"models"` // one must be chosen for pose and change; the last is what forces are by
	Main        map[string]string `json:"main"`   // by model, the quantity that sums the hold up
	Legs        []LegForm         `json:"legs"`
	Variants    []Variant         `json:"variants"`
	Tilt        *Interval         `json:"tilt_deg,omitempty"` // nil where it is not tilted
	// DragsArms and DragsHands say whether pose takes an arm angle or a hand spacing;
	// ArmAngle is then the range of the first.
	DragsArms  bool      `json:"drags_arms"`
	DragsHands bool      `json:"drags_hands"`
	ArmAngle   *Interval `json:"arm_angle_deg,omitempty"`
}

// Interval is a range of values, both ends included.
type Interval struct {
	Least float64 `json:"least"`
	Most  float64 `json:"most"`
}

// LegForm is a way to hold the legs.
type LegForm struct {
	Name  string            `json:"name"`
	Label string            `json:"label"`
	Angle *Interval         `json:"angle_deg,omitempty"`   // where it needs one
	Texts map[string]string `json:"range_texts,omitempty"` // that range, by system of units
}

// Variant is a part of a pose that may be set.
type Variant struct {
	Name    string            `json:"name"`
	Label   string            `json:"label"`
	Kind    string            `json:"kind"` // "switch" (yes or no), "length" (m) or "angle" (degrees)
	Meaning string            `json:"meaning"`
	Range   *Interval         `json:"range,omitempty"`       // of a length or an angle, in that unit
	Texts   map[string]string `json:"range_texts,omitempty"` // the range, by system of units
}

// Measurement is one measurement of a body.
type Measurement struct {
	Name  string `json:"name"`
	Label string `json:"label"`
	Kind  string `json:"kind"` // "length" (m) or "mass" (kg)
	How   string `json:"how"`  // how to take it, in a sentence
	// BySex is how people have it, by sex.
	BySex map[string]Spread `json:"by_sex"`
}

// Spread is how people have a measurement: all but 1 in 100,000 lie within Least to
// Most, 90 % within P5 to P95.
type Spread struct {
	Least float64 `json:"least"`
	P5    float64 `json:"p5"`
	P50   float64 `json:"p50"`
	P95   float64 `json:"p95"`
	Most  float64 `json:"most"`
}

// People are a population from which what was not measured is drawn.
type People struct {
	Name   string `json:"name"`
	Title  string `json:"title"`
	Sex    string `json:"sex"`
	N      int    `json:"n"`      // people measured
	Count  string `json:"count"`  // n as people read it
	Credit string `json:"credit"` // names the survey in the foot of a picture
}

// TestKind is a field test.
type TestKind struct {
	Name   string   `json:"name"`
	Label  string   `json:"label"`
	How    string   `json:"how"`
	Fields []string `json:"fields"` // those of Test that it takes
}

// QuantityInfo describes a quantity that holds ask for.
type QuantityInfo struct {
	Name    string `json:"name"`
	Label   string `json:"label"`
	Unit    string `json:"unit"` // "BW", "BW·m", "deg", "m" or "" for a plain ratio
	Meaning string `json:"meaning"`
}

// DefaultDraws is how many bodies are drawn where a request does not say.
const DefaultDraws = 2000

// MostDraws is how many bodies are drawn at most, as many as the page asks for once
// nothing is entered any more: each takes memory of whoever answers.
var MostDraws = person.DefaultOptions().N

// improbable is the share of people beyond either end of Spread: of 1 in 100,000,
// half.
const improbable = 0.5e-5

// Catalogue returns the catalogue. Its error is a fault of an embedded data set.
func (e *Explorer) Catalogue() (*Catalogue, error) {
	c := &Catalogue{
		Version: provenance.Version(), Data: datasets.Hashes(),
		Draws:      Count{DefaultDraws, MostDraws, person.LeastN, MostDraws},
		Validation: words.NotValidated, Cautions: words.Cautions,
		Limits: slices.Clone(limits), Units: unitTables(),
	}
	c.Holds = names.Each(e.holds(), describe)
	populations := map[string]*anthro.Population{}
	for _, sex := range []anthro.Sex{anthro.Female, anthro.Male} {
		name := anthro.PublicOf(sex)
		p, err := anthro.Load(name)
		if err != nil {
			return nil, err
		}
		c.People = append(c.People, People{p.Name, p.Title, p.Sex.String(), p.N, words.Count(p.N), words.Credits([]string{name})})
		populations[p.Sex.String()] = p
		c.Limits = names.Once(c.Limits, words.SurveyOf(name).Limits)
		var scanned datasets.Regional
		if err := datasets.Read("regional", p.Regional.Name, &scanned); err != nil {
			return nil, err
		}
		for _, source := range []datasets.Provenance{p.Provenance, scanned.Provenance} {
			c.Sources = names.Once(c.Sources, source.Citation+". Licence: "+source.Licence+".")
		}
	}
	for m := range anthro.NumMeasurements {
		measurement := Measurement{Name: m.String(), Label: label(m), Kind: "length", How: howTo[m], BySex: map[string]Spread{}}
		if m == anthro.Mass {
			measurement.Kind = "mass"
		}
		for sex, p := range populations {
			measurement.BySex[sex] = Spread{p.Quantile(m, improbable), p.Quantile(m, 0.05), p.Quantile(m, 0.5), p.Quantile(m, 0.95), p.Quantile(m, 1-improbable)}
		}
		c.Measurements = append(c.Measurements, measurement)
	}
	c.ScanRegions = names.Each(names.UpTo(anthro.NumRegions), func(r anthro.Region) Named { return Named{Name: r.String(), Label: label(r)} })
	for t := range body.NumChanges {
		info := t.Info()
		kind := ChangeKind{Named{info.Name, words.Capital(info.Noun + " " + info.More + " by"), info.Meaning}, "length", info.Usual}
		if info.Unit == "" {
			kind.Kind = "share"
		}
		c.Changes = append(c.Changes, kind)
	}
	c.MassRegions = names.Each(names.UpTo(body.NumRegions), func(r body.Region) Named { return Named{Name: r.String(), Label: label(r)} })
	for p := range body.NumPoints {
		name := label(p)
		if worn := p.Info().Worn; worn != "" {
			name += " (" + worn + ")"
		}
		c.Points = append(c.Points, Named{p.String(), name, p.Info().Where})
	}
	c.Tests = []TestKind{
		{hangTest, "One-arm hang", "Hang from a bar by one straight arm, and say for how long, with how much load added or taken off.", []string{"side", "held", "added", "assisted"}},
		{handstandTest, "One-arm handstand at a wall", "Stand on one hand with the heels on a wall; the other hand's fingers may rest on a scale.", []string{"side", "held", "fingers", "wall_distance"}},
		{scaleTest, "Straight arm on a scale", "Stand upright and pull or press a scale as hard as you can with a straight arm, the scale square to the arm at the hand. " +
			"The hand goes down or up with the arm out at the side, back or forward with it in front, or along the arm; the angle is between arm and trunk.", []string{"side", "hand", "angle", "reads"}},
	}
	c.Models = names.Each(names.UpTo(hold.NumModels), func(m hold.Model) Named {
		return Named{m.String(), words.Capital(words.StaticsModel(m)), modelMeanings[m]}
	})
	for _, d := range hold.Demands() {
		unit, _ := jsonform.Output(d.Unit)
		c.Quantities = append(c.Quantities, QuantityInfo{d.Name, label(d), unit, d.Meaning})
	}
	return c, nil
}

// label is a name as people read it.
func label(of fmt.Stringer) string { return words.Capital(words.Plain(of.String())) }

func describe(h *hold.Hold) Hold {
	d := Hold{
		Name: h.Name, Title: h.Title, Description: h.Description, Plane: h.Plane, Supports: h.Supports, Free: h.Free, LeavesOut: h.LeavesOut,
		Main: map[string]string{}, Variants: []Variant{}, Legs: []LegForm{},
		DragsArms: h.Places(hold.GivenAngle), DragsHands: h.Places(hold.GivenSpacing),
	}
	for _, m := range h.Judging() { // the page gives no place for the hands by a rule that gives no verdict
		d.Models = append(d.Models, m.String())
		d.Main[m.String()] = h.Asks(m)[0].String()
	}
	for _, f := range h.LegForms {
		form := LegForm{Name: f.String(), Label: label(f)}
		if f == hold.Straddle {
			form.Angle = &Interval{0, inDegrees(mostStraddle)}
			form.Texts = rangeTexts("angle", *form.Angle)
		}
		d.Legs = append(d.Legs, form)
	}
	for _, v := range h.Variants {
		info := v.Info()
		variant := Variant{Name: info.Name, Label: label(v), Kind: "switch", Meaning: info.Meaning}
		switch info.Unit {
		case "m":
			variant.Kind, variant.Range = "length", &Interval{info.Least, info.Most}
		case "rad":
			variant.Kind, variant.Range = "angle", &Interval{inDegrees(info.Least), inDegrees(info.Most)}
		}
		if variant.Range != nil {
			variant.Texts = rangeTexts(variant.Kind, *variant.Range)
		}
		d.Variants = append(d.Variants, variant)
	}
	if h.Tilts {
		d.Tilt = &Interval{-inDegrees(mostTilt), inDegrees(mostTilt)}
	}
	if d.DragsArms {
		d.ArmAngle = &Interval{inDegrees(h.LeastAngle), inDegrees(h.MostAngle)}
	}
	return d
}

// modelMeanings say what the models are.
var modelMeanings = [hold.NumModels]string{
	hold.TwoCondition: "It gives no verdict, and no hand spacing is taken from it: the shoulders are left out, and the forces do not balance. Each arm pulls only along its own line, both equally hard: enough to lift the body, and enough to stop it from turning.",
	hold.Equilibrium:  "Exact balance of forces and moments in the plane, the couples at the hands taken as zero.",
}

// howTo says how each measurement is taken.
var howTo = [anthro.NumMeasurements]string{
	anthro.Stature:             "Stand barefoot with the back to a wall, a book level on the head, and measure from the floor to the book.",
	anthro.Mass:                "Step on a scale in light clothes, before a meal.",
	anthro.AcromialHeight:      "Stand upright; measure from the floor to the bony tip of the shoulder.",
	anthro.CervicaleHeight:     "Stand upright; measure from the floor to the bump at the bottom of the neck, felt with the head bowed.",
	anthro.SuprasternaleHeight: "Stand upright; measure from the floor to the notch at the top of the breastbone.",
	anthro.TrochanterionHeight: "Stand upright; measure from the floor to the top of the bone felt at the side of the hip.",
	anthro.TibialHeight:        "Stand upright; measure from the floor to the upper edge of the shin bone, at the inside of the knee.",
	anthro.MalleolusHeight:     "Stand upright; measure from the floor to the bump on the outside of the ankle.",
	anthro.BiacromialBreadth:   "Stand relaxed; measure across the back between the bony tips of the shoulders, straight, not along the skin.",
	anthro.UpperArmLength:      "Let the arm hang; measure from the bony tip of the shoulder to the top of the forearm bone at the outside of the elbow.",
	anthro.ForearmLength:       "Let the arm hang; measure from the top of the forearm bone at the outside of the elbow to its tip at the thumb's side of the wrist.",
	anthro.PalmLength:          "Hold the palm up; measure from the crease of the wrist to the root of the middle finger.",
	anthro.HandLength:          "Hold the hand flat; measure from the wrist to the tip of the middle finger.",
	anthro.FootLength:          "Stand with the heel at a wall; measure to the tip of the longest toe.",
	anthro.Span:                "Stand against a wall with both arms stretched out level; measure between the tips of the middle fingers.",
	anthro.SittingHeight:       "Sit upright on a flat bench against a wall; measure from the bench to the top of the head.",
	anthro.HipBreadth:          "Stand with the feet together; measure the greatest breadth of the hips, straight across.",
	anthro.WaistCircumference:  "Stand relaxed; lay the tape around the waist just above the hip bones, level.",
}

// limits are what nothing here can tell.
var limits = []string{
	"The forces are computed, not measured: no published measurement of them was found for most of these holds.",
	"What was not measured of a person is drawn from the US public with the rest in common; other people may be built differently.",
	"Only standing still is computed: no swing, no way into the hold, no safety factor.",
	"Strength is assumed to grow with size and muscle as stated, and is not measured here; a field test bounds it from below.",
}
