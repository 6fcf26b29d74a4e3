// Package hold says what static holds ask of bodies: the forces at the hands,
// the moments at the joints and the posture that asks least.
//
// A Hold is computed twice, on purpose. Solve runs closed forms over columns of
// bodies and serves claims, sweeps and people. Figure builds the same posture of
// one body as a general statics problem, segment by segment; it serves pictures
// and is the check on the closed forms, with which it shares nothing but
// vector arithmetic. Every Demand has an Oracle that reads it off the general
// solver's answer.
//
// Holds and demands are values, and may be made elsewhere. A hold of one's own fetches
// the columns of a Result once a block and fills them row by row (Column, Allow,
// Refuse, InEquilibrium), and builds its figure joint by joint (NewFigure); the
// package's example is one. The package holdtest checks it as it checks those of this
// package. Parse and All know only the latter.
//
// Lengths are in metres, angles in radians, forces in body weights (BW), of the body
// without what it carries.
package hold

import (
	"fmt"
	"slices"
	"strings"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/names"
)

// Model is a way to turn a posture into forces.
type Model int

// The models.
const (
	// TwoCondition takes each arm as a strut or rope that pulls only along its
	// own line, both equally hard, and asks for enough force to lift the body
	// and enough to stop it from turning. It is the envelope that educators
	// use, not an equilibrium.
	TwoCondition Model = iota
	// Equilibrium is exact planar statics, with the couples at the hands taken
	// as zero and the weight shared between the hands as asks least.
	Equilibrium
	NumModels
)

var models = names.List[Model]{"two-condition", "equilibrium"}

// String returns the model's name.
func (m Model) String() string { return models.Of(m) }

// ParseModel finds a model by its name.
func ParseModel(name string) (Model, bool) { return models.Find(name) }

// Rule says how the free variable of a posture is chosen.
type Rule int

// The rules.
const (
	Best         Rule = iota // each body at the posture that asks least of it
	GivenAngle               // at the arm angle given for each body
	GivenSpacing             // at the hand spacing given for each body
)

// Posture is how the hold is done, the same for a block of bodies except for
// the angle or spacing of the arms, which may differ from body to body.
type Posture struct {
	Legs    Legs
	Pose    Pose
	Tilt    float64   // feet above the level of the shoulders, radians
	Rule    Rule      // how the arms are placed
	Angle   []float64 // radians, one a body, read by GivenAngle
	Spacing []float64 // metres, one a body, read by GivenSpacing
}

// FromFront reports whether bodies are seen from the front.
func (h *Hold) FromFront() bool { return strings.HasPrefix(h.Plane, "frontal") }

// perArm reports whether a moment at a joint of the arms is that of one arm: of a body seen from
// the front, or one of whose arms does what the other does not.
func (h *Hold) perArm() bool { return h.FromFront() || h.ArmsApart }

// Unlike says why a demand of two holds is not of the same thing, or is empty: the moment at
// a joint of the arms is of one arm in some, and of both together where both do the same in a body
// seen from the side.
func Unlike(d Demand, a, b *Hold) string {
	if b.perArm() {
		a, b = b, a
	}
	if a.perArm() == b.perArm() || !slices.Contains([]Demand{ShoulderMoment, ElbowMoment, WristMoment}, d) {
		return ""
	}
	return fmt.Sprintf("%s is of one arm in %s and of both together in %s, and does not compare", d, a.Name, b.Name)
}

// Hold is one static hold.
type Hold struct {
	Name        string // as written in files
	Title       string
	Description string   // what it looks like, in a sentence or two
	Text        string   // the file that it was made of; "" of one that is not
	Plane       string   // the plane in which it is computed
	Supports    []string // what carries the body, and by which forces
	Free        string   // the free posture variable and its range
	LeavesOut   []string // what the model does not see
	Models      []Model
	LegForms    []LegForm
	Variants    []Variant // what else of its pose may be set
	Rules       []Rule    // how the arms may be placed; Best alone where balance leaves no choice
	LeastAngle  float64   // of the arms that may be given, radians; with MostAngle 0 where none may
	MostAngle   float64
	Tilts       bool // whether the feet may be above the level of the shoulders
	// ArmsApart is whether the arms of a body seen from the side do not do the same, as where one
	// alone carries, so that what is asked of them is told of each.
	ArmsApart bool
	// Sized is whether what holds the body has lengths or forces of its own that no variant
	// sets, so that the hold of an enlarged body is another one.
	Sized       bool
	Asks        func(Model) []Demand
	Assumptions func(Model) []assume.ID // those that the hold's own statics use

	// Solve fills out for every body: row i of bodies, capacity and out belong
	// together. BW is the weight of the body alone, whatever it carries; see Carrying. It
	// allocates nothing. A model that the hold lacks is a panic.
	Solve func(out *Result, bodies *body.Columns, capacity *Capacity, posture Posture, model Model, a *assume.Set)

	// Figure places body i, solved under the posture, as a general statics problem
	// with the points that a picture needs. held is row i of what Solve gives; the
	// figure takes its free angle from there and nothing else. It fails where the
	// body cannot take the posture.
	Figure func(bodies *body.Columns, i int, posture Posture, held *Result, a *assume.Set) (*Figure, error)

	// PlacedBy lists what Figure reads of the result, where a model does not ask for it.
	PlacedBy []Demand

	// Uses lists what the hold asks of which muscles, at most MaxUses; nil where no
	// muscles are looked at, so that there is no difficulty but the two-condition one.
	Uses func(Model) []Use

	// Parts names the conditions whose largest is the difficulty of a posture, and PartsOf
	// returns what evaluates them for body i at arm angles, radians: it fills values,
	// and reports whether the body can take that posture. Both serve pictures, and are
	// nil where a hold leaves no choice of posture.
	Parts   func(Model) []string
	PartsOf func(bodies *body.Columns, capacity *Capacity, i int, posture Posture, model Model, a *assume.Set) func(values []float64, angle float64) bool
}

// holds lists every hold.
var holds = []*Hold{
	HumanFlag, FrontLever, BackLever, Planche, IronCross, OneArmHang, TwoArmHang,
	WallHandstand, PushUp, ForearmPlank, SidePlank, LSit,
}

// All returns every hold.
func All() []*Hold { return slices.Clone(holds) }

// Ignores reports whether an assumption is of the statics, or the strength, of other holds and not of
// this one: then nothing that is told of it depends on the assumption. What is assumed of the body
// itself no hold ignores.
func (h *Hold) Ignores(id assume.ID) bool {
	uses := func(h *Hold) bool {
		return h.Assumptions == nil || slices.ContainsFunc(h.Models, func(m Model) bool { return slices.Contains(h.Assumptions(m), id) })
	}
	return !uses(h) && slices.ContainsFunc(holds, uses)
}

// Names returns the name of every hold.
func Names() []string { return names.Each(holds, func(h *Hold) string { return h.Name }) }

// Parse finds a hold by its name.
func Parse(name string) (*Hold, bool) {
	return names.First(holds, func(h *Hold) bool { return h.Name == name })
}

// Takes reports whether the hold has the variant.
func (h *Hold) Takes(v Variant) bool { return slices.Contains(h.Variants, v) }

// TakesLegs reports whether the hold can be done with the leg form.
func (h *Hold) TakesLegs(f LegForm) bool { return slices.Contains(h.LegForms, f) }

// Places reports whether the arms may be placed by the rule.
func (h *Hold) Places(r Rule) bool { return slices.Contains(h.Rules, r) }

// Has reports whether the hold is computed under the model.
func (h *Hold) Has(model Model) bool { return slices.Contains(h.Models, model) }

// AsksFor reports whether the model gives the demand for this hold.
func (h *Hold) AsksFor(model Model, demand Demand) bool {
	return h.Has(model) && slices.Contains(h.Asks(model), demand)
}

// Figured lists what a result must have of which a figure is made: what the model asks
// for, and what places the figure besides.
func (h *Hold) Figured(m Model) []Demand {
	asks := slices.Clone(h.Asks(m))
	for _, d := range h.PlacedBy {
		asks = names.Once(asks, d)
	}
	return asks
}
