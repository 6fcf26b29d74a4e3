package explorer

import (
	"math"

	"counterpoise/internal/app/person/said"
	"counterpoise/internal/jsonform"
	"counterpoise/internal/limbs"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/person"
	"counterpoise/sim/scenario"
	"counterpoise/sim/statics"

	"gonum.org/v1/gonum/floats"
)

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
	Angle        *float64    `json:"angle_deg,omitempty"`
	Spacing      *float64    `json:"spacing_m,omitempty"`
	AngleRange   *Interval   `json:"angle_range_deg,omitempty"`
	SpacingRange *Interval   `json:"spacing_range_m,omitempty"`
	Mass         float64     `json:"mass_kg"`
	Weight       float64     `json:"weight_n"`
	Stature      float64     `json:"stature_m"`
	FromFront    bool        `json:"from_front"` // whether the body is seen from the front, else from the side
	Body         []Shape     `json:"body"`       // to draw, from behind
	Bones        []Bone      `json:"bones"`
	Joints       []Joint     `json:"joints"`
	Supports     []Support   `json:"supports"`
	Fixture      []Edge      `json:"fixture"`
	Loads        []Support   `json:"loads"` // what bears the body beside its supports, as one: the floor under the shanks of one who kneels
	Carried      []Carried   `json:"carried,omitempty"`
	Centre       *Point      `json:"centre"` // of the body's own mass
	Demands      []Demand    `json:"demands"`
	Texts        FigureTexts `json:"texts"`
}

// Point is a place or a vector: x to the right, y up.
type Point [2]float64

// Bone is one segment, a line between two joints.
type Bone struct {
	Segment string  `json:"segment"`
	From    Point   `json:"from"`
	To      Point   `json:"to"`
	Centre  Point   `json:"centre"` // of its mass
	Mass    float64 `json:"mass_kg"`
}

// Shape is a closed outline of a part of the body, in one of the layers far, behind, body and over.
type Shape struct {
	Layer  string  `json:"layer"`
	Points []Point `json:"points"`
}

// Joint is a cut at which the muscles' moment is worth showing: counterclockwise on
// what lies beyond it, in equilibrium.
type Joint struct {
	Name     string       `json:"name"`
	At       Point        `json:"at"`
	Moment   float64      `json:"moment_nm"`
	MomentBW float64      `json:"moment_bwm"`
	Texts    SupportTexts `json:"texts"`
}

// Support is where the outside holds the body, and its force on the body, in
// equilibrium.
type Support struct {
	Name    string       `json:"name"`
	At      Point        `json:"at"`
	Force   Point        `json:"force_n"`
	ForceBW float64      `json:"force_bw"` // its size
	Texts   SupportTexts `json:"texts"`
}

// Carried is something that the body carries at a place, or that is taken off it there.
type Carried struct {
	Text  string       `json:"text"`
	At    Point        `json:"at"`
	Force Point        `json:"force_n"` // on the body
	Texts SupportTexts `json:"texts"`
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
	Brief        string   `json:"brief"`                   // with fewer digits, a force as what weighs as much
}

// pose answers for one posture of the median body.
func pose(e *Explorer, q *PoseRequest) (*Pose, error) {
	f, p, err := q.Person.read("person.", e)
	if err != nil {
		return nil, err
	}
	h := p.Hold
	model, err := modelNamed(f, "model", q.Model, h)
	if err != nil {
		return nil, err
	}
	rule, value := hold.Best, 0.0
	switch {
	case q.Angle != nil && q.Spacing != nil:
		return nil, &RequestError{"spacing_m", "angle_deg and spacing_m exclude each other: either follows from the other"}
	case q.Angle != nil:
		rule, value = hold.GivenAngle, *q.Angle*math.Pi/180
	case q.Spacing != nil:
		rule, value = hold.GivenSpacing, *q.Spacing
	}
	if !h.Places(rule) {
		field := "angle_deg"
		if rule == hold.GivenSpacing {
			field = "spacing_m"
		}
		return nil, &RequestError{field, h.Name + " leaves no choice of how the arms are placed"}
	}
	median, err := f.median(&p)
	if err != nil {
		return nil, err
	}
	figure, err := figureOf(median, h, model, rule, value, f.system)
	if err != nil {
		return nil, err
	}
	return &Pose{f.all(), *figure}, nil
}

// median returns the median body of a person, without what has a fault.
func (f *form) median(p *person.Person) (*person.MedianBody, error) {
	var median *person.MedianBody
	err := f.settle(p, func() (err error) {
		median, err = person.NewMedianBody(*p, person.DefaultOptions())
		return err
	})
	return median, asRequest(err)
}

// figureOf holds a median body up and places it.
func figureOf(median *person.MedianBody, h *hold.Hold, m hold.Model, rule hold.Rule, value float64, s words.System) (*Figure, error) {
	held, err := median.Hold(m, rule, value)
	if err != nil {
		return nil, err
	}
	figure := &Figure{Model: m.String(), FromFront: h.FromFront()}
	if h.Places(hold.GivenAngle) {
		if err := figure.ranges(median, m); err != nil {
			return nil, err
		}
	}
	if held == nil {
		figure.refuse(h, rule, value, s)
		figure.Body, figure.Bones, figure.Joints, figure.Supports, figure.Loads = []Shape{}, []Bone{}, []Joint{}, []Support{}, []Support{}
		figure.Fixture, figure.Demands = []Edge{}, []Demand{}
		return figure, nil
	}
	if err := figure.fill(held, h, m, s); err != nil {
		return nil, err
	}
	if rule != hold.Best {
		if figure.Spacing != nil { // where somebody put the hands, not what is recommended
			figure.Texts.Hands = words.OneLine(words.Tape(*figure.Spacing, s))
		}
		best, err := median.Hold(m, hold.Best, 0)
		if err != nil {
			return nil, err
		}
		figure.Texts.More = moreThanBest(held, best, m)
		figure.Texts.Reason = said.Reason(h, m, best, held, "at its best", true)
	}
	return figure, nil
}

// moreThanBest says how much more a posture asks than the best one.
func moreThanBest(held, best *scenario.HeldBody, m hold.Model) string {
	of := hold.Difficulty
	if m == hold.TwoCondition {
		of = hold.RequiredForce
	}
	if best == nil || len(held.Held.Value[of]) == 0 || len(best.Held.Value[of]) == 0 {
		return ""
	}
	more := held.Held.Value[of][0]/best.Held.Value[of][0] - 1
	if math.Abs(more) < 0.005 {
		return "It asks no more than at its best."
	}
	return "It asks " + words.OneLine(words.Percent(math.Abs(more), 0)) + " " + words.Way(more, "more", "less") + " than at its best."
}

// ranges fills the ranges of angle and spacing that the body can take: the hold's own
// range of angles, less what a tilt takes off it.
func (f *Figure) ranges(median *person.MedianBody, m hold.Model) error {
	least, most := median.Angles(m)
	if !(least <= most) {
		return nil
	}
	var spacing [2]float64
	for k, angle := range [2]float64{most, least} { // the wider the angle, the closer the hands
		held, err := median.Hold(m, hold.GivenAngle, angle)
		if err != nil || held == nil {
			return err
		}
		spacing[k] = held.Held.Value[hold.HandSpacing][0]
	}
	f.AngleRange, f.SpacingRange = &Interval{inDegrees(least), inDegrees(most)}, &Interval{spacing[0], spacing[1]}
	return nil
}

// refuse says why the posture is not possible.
func (f *Figure) refuse(h *hold.Hold, rule hold.Rule, value float64, s words.System) {
	between := func(i *Interval, d units.Dimension, scale float64) string {
		return words.Quantity(i.Least*scale, d, s) + " to " + words.Quantity(i.Most*scale, d, s)
	}
	switch {
	case rule == hold.GivenAngle && f.AngleRange != nil:
		f.Why = "With the arms at " + words.Quantity(value, units.Angle, s) + " this body cannot be held; possible are " + between(f.AngleRange, units.Angle, math.Pi/180) + "."
	case rule == hold.GivenSpacing && f.SpacingRange != nil:
		f.Texts.Hands = words.OneLine(words.Tape(value, s))
		f.Why = "With the hands " + words.Quantity(value, units.Length, s) + " apart this body cannot be held; possible are " + between(f.SpacingRange, units.Length, 1) + "."
	default:
		f.Why = "No posture of the " + h.Name + " as chosen balances this body."
	}
}

// fill places a held body.
func (f *Figure) fill(held *scenario.HeldBody, h *hold.Hold, m hold.Model, s words.System) error {
	b, placed, solved := held.Body, held.Figure, held.Solution
	weight := b.Mass[0] * statics.StandardGravity
	f.Possible, f.Mass, f.Weight, f.Stature = true, b.Mass[0], weight, b.Stature[0]
	f.Texts.Height, f.Texts.Mass = words.OneLine(words.Quantity(f.Stature, units.Length, s)), words.OneLine(words.Quantity(f.Mass, units.Mass, s))
	f.Texts.Weight = words.OneLine(words.Weight(weight, s))
	if h.Places(hold.GivenAngle) {
		f.Texts.Hands, f.Texts.Arms = value(hold.HandSpacing, held.Held.Value[hold.HandSpacing][0], math.NaN(), s), value(hold.ArmAngle, held.Held.Value[hold.ArmAngle][0], math.NaN(), s)
		f.Angle, f.Spacing = jsonform.Finite(inDegrees(held.Held.Value[hold.ArmAngle][0])), jsonform.Finite(held.Held.Value[hold.HandSpacing][0])
	}
	drawn, err := limbs.Silhouette(placed, f.FromFront)
	if err != nil {
		return err
	}
	for _, shape := range drawn {
		points := names.Each(shape.Points, func(p statics.Vec) Point {
			return Point{math.Round(p.X*1e4) / 1e4, math.Round(p.Y*1e4) / 1e4} // a tenth of a millimetre
		})
		f.Body = append(f.Body, Shape{shape.Layer.String(), points})
	}
	segments := map[string]statics.Segment{}
	for _, segment := range placed.System.Segments {
		segments[segment.Name] = segment
	}
	f.Bones = names.Each(placed.Bones, func(b hold.Bone) Bone {
		return Bone{b.Segment, pointOf(b.From), pointOf(b.To), pointOf(segments[b.Segment].Centre), segments[b.Segment].Mass}
	})
	for _, j := range placed.Joints {
		moment, err := placed.Moment(solved, j.Name)
		if err != nil {
			return err
		}
		f.Joints = append(f.Joints, Joint{j.Name, pointOf(j.At), moment, moment / weight, momentTexts(moment, s)})
	}
	for _, support := range placed.Supports {
		force, err := placed.Force(solved, support.Name)
		if err != nil {
			return err
		}
		f.Supports = append(f.Supports, Support{support.Name, pointOf(support.At), pointOf(force), force.Length() / weight, supportTexts(force, weight, s)})
	}
	if along := held.Held.Value[hold.RequiredForce]; h.Places(hold.GivenAngle) && m == hold.Equilibrium && len(along) > 0 {
		texts := &f.Supports[floats.MaxIdx(names.Each(f.Supports, func(p Support) float64 { return p.ForceBW }))].Texts
		texts.Along = alongTexts(along[0]*weight, weight, texts.Weight, s)
	}
	f.Loads = []Support{}
	for _, p := range placed.Pulls {
		f.Loads = append(f.Loads, Support{p.Name, pointOf(p.At), pointOf(p.Force), p.Force.Length() / weight, supportTexts(p.Force, weight, s)})
	}
	if at, force := limbs.Load(placed); force.Length() > 0 {
		f.Loads = append(f.Loads, Support{"lower legs", pointOf(at), pointOf(force), force.Length() / weight, supportTexts(force, weight, s)})
	}
	for _, c := range limbs.Carried(placed) {
		force := statics.Vec{Y: -c.Kilograms * statics.StandardGravity}
		f.Carried = append(f.Carried, Carried{words.OneLine(words.LoadPart(c.Point, c.Kilograms, b.Load(), s)), pointOf(c.At), pointOf(force), supportTexts(force, weight, s)})
	}
	for _, e := range placed.Fixture {
		if e.From == e.To && e.Name != "bar" {
			continue // a partner's hand: its force is drawn
		}
		f.Fixture = append(f.Fixture, Edge{e.Name, pointOf(e.From), pointOf(e.To)})
	}
	centre := pointOf(placed.System.CentreOfMass())
	f.Centre = &centre
	f.Demands = names.Each(h.Told(m, held.Posture), func(d hold.Demand) Demand { return demandOf(d, held.Held.Value[d][0], weight, s) })
	return nil
}

func demandOf(d hold.Demand, x, weight float64, s words.System) Demand {
	unit, scale := jsonform.Output(d.Unit)
	demand := Demand{Quantity: d.String(), Unit: unit, Value: x * scale, Text: words.DemandPrinter(d, s)(x)}
	absolute := func(unit string, in units.Dimension) {
		demand.AbsoluteUnit, demand.Absolute = unit, jsonform.Finite(x*weight)
		demand.Text += ", " + words.Quantity(x*weight, in, s)
	}
	times := math.NaN()
	switch unit {
	case "BW":
		times = weight
		absolute("N", units.Force)
	case "BW·m":
		times = weight
		absolute("N·m", units.Moment)
	}
	demand.Brief = value(d, x, x*times, s)
	return demand
}

func pointOf(v statics.Vec) Point { return Point{v.X, v.Y} }
