package sweep

import (
	"math"
	"slices"
	"strings"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// Units of axes, beside SI units and "" for plain numbers and names.
const (
	// Share is a change as a share of what is there: 0.05 is +5 %.
	Share = "share"
)

// Axis is one thing that a sweep varies, by the values that it takes. Numbers
// are in SI units.
type Axis struct {
	Of     string         `json:"of"`               // the name of a [Variable]
	Unit   string         `json:"unit,omitempty"`   // of Values: "m", "kg", "rad", "share" or ""
	Values []float64      `json:"values,omitempty"` // of a number
	Names  []string       `json:"names,omitempty"`  // of a choice
	Legs   []hold.Legs    `json:"legs,omitempty"`   // what the names of leg forms stand for
	People []claim.People `json:"people,omitempty"` // what the names of people stand for
	// Low and High are the ends of the range of a quasi-random design, Log says
	// that the range is covered evenly in the logarithm. Without a range a
	// quasi-random design takes the values as a choice.
	Low  float64 `json:"low,omitempty"`
	High float64 `json:"high,omitempty"`
	Log  bool    `json:"log,omitempty"`
}

// Variable is something that an axis can be of.
type Variable struct {
	Name    string
	Unit    string   // SI, or "" for a plain number or a choice
	Length  bool     // whether a share of what is there can stand instead of a length
	Names   []string // the choices, nil for a number, or where any name goes
	Choice  bool
	Least   float64 // of a number in Unit
	Most    float64
	Meaning string

	set    func(s *Setting, x float64)
	share  func(s *Setting, x float64)
	choose func(s *Setting, a *Axis, i int)
}

// Variables lists everything that an axis can be of, in the order in which
// messages name it.
var Variables = variables()

func variables() []Variable {
	var list []Variable
	for t := range body.NumChanges {
		list = append(list, change(t))
	}
	list = append(list, []Variable{
		{Name: "change.arm_angle", Unit: "rad", Least: hold.FlagLeastAngle, Most: hold.FlagMostAngle, Meaning: "angle between the arms and the pole",
			set: func(s *Setting, x float64) { s.Change.Arms = &claim.Arms{Angle: &x} }},
		{Name: "change.hand_spacing", Unit: "m", Length: true, Least: body.LengthBounds.Least, Most: body.LengthBounds.Most, Meaning: "distance between the hands, from the best one",
			set:   func(s *Setting, x float64) { s.Change.Arms = &claim.Arms{Spacing: &body.Amount{Metres: x}} },
			share: func(s *Setting, x float64) { s.Change.Arms = &claim.Arms{Spacing: &body.Amount{Share: x}} }},
	}...)
	for region := range body.NumRegions {
		list = append(list, Variable{Name: "change.added_mass." + region.String(), Unit: "kg", Least: body.MassBounds.Least, Most: body.MassBounds.Most,
			Meaning: "mass put on the " + strings.ReplaceAll(region.String(), "_", " ") + ", or taken off",
			set:     func(s *Setting, x float64) { s.putMass(region, x) }})
	}
	list = append(list,
		Variable{Name: "change.working_share", Least: 0, Most: 1, Meaning: "share of the added mass that is muscle working in the hold",
			set: func(s *Setting, x float64) { s.working = &x }},
		Variable{Name: "tilt", Unit: "rad", Least: -math.Pi / 2, Most: math.Pi / 2, Meaning: "feet above the level of the shoulders",
			set: func(s *Setting, x float64) { s.Tilt = x }},
		Variable{Name: "legs.angle", Unit: "rad", Least: 0, Most: math.Pi / 2, Meaning: "how far each leg is opened, 0 with the legs together",
			set: func(s *Setting, x float64) {
				s.Legs = hold.LegsIn(hold.Straddle, x)
				if x == 0 {
					s.Legs = hold.LegsIn(hold.Together, 0)
				}
			}},
		Variable{Name: "legs", Choice: true, Meaning: "leg form", choose: func(s *Setting, a *Axis, i int) { s.Legs = a.Legs[i] }},
	)
	for v := range hold.NumVariants {
		info := v.Info()
		next := Variable{Name: "pose." + info.Name, Unit: info.Unit, Least: info.Least, Most: info.Most, Meaning: info.Meaning,
			set: func(s *Setting, x float64) { s.Pose[v] = x }}
		if info.Unit == "" {
			next.Choice, next.Names = true, []string{"no", "yes"}
			next.choose = func(s *Setting, a *Axis, i int) {
				s.Pose[v] = 0
				if a.Names[i] == "yes" {
					s.Pose[v] = 1
				}
			}
		}
		list = append(list, next)
	}
	for id := range assume.Count {
		info := id.Info()
		list = append(list, Variable{Name: "assume." + info.Name, Least: info.Least, Most: info.Most, Meaning: info.Meaning + ", " + info.Unit,
			set: func(s *Setting, x float64) { s.Assume[id] = x }})
	}
	list = append(list,
		Variable{Name: "hold", Choice: true, Names: hold.Names(), Meaning: "hold", choose: func(s *Setting, a *Axis, i int) { s.Hold = a.Names[i] }},
		Variable{Name: "people", Choice: true, Meaning: "people", choose: func(s *Setting, a *Axis, i int) { s.People = a.People[i : i+1] }},
		Variable{Name: "posture", Choice: true, Names: names(claim.NumPostureRules), Meaning: "how the changed body places its arms",
			choose: func(s *Setting, a *Axis, i int) { s.Change.Posture, _ = claim.ParsePostureRule(a.Names[i]) }},
		Variable{Name: "model", Choice: true, Names: names(hold.NumModels), Meaning: "model of statics",
			choose: func(s *Setting, a *Axis, i int) { s.Model.Statics, _ = hold.ParseModel(a.Names[i]) }},
		Variable{Name: "regional_masses", Choice: true, Names: names(body.NumMasses), Meaning: "how people carry their mass",
			choose: func(s *Setting, a *Axis, i int) { s.Model.Masses, _ = body.ParseMasses(a.Names[i]) }},
		Variable{Name: "segments", Choice: true, Meaning: "segment table", choose: func(s *Setting, a *Axis, i int) { s.Model.Segments = a.Names[i] }},
	)
	return list
}

// change is the variable of a change of a body: a length, or what is changed by shares only.
func change(t body.Trait) Variable {
	info := t.Info()
	v := Variable{Name: "change." + info.Name, Unit: info.Unit, Length: true, Least: info.Bounds.Least, Most: info.Bounds.Most, Meaning: info.Meaning,
		set:   func(s *Setting, x float64) { s.Change.Body.Of[t] = body.Amount{Metres: x} },
		share: func(s *Setting, x float64) { s.Change.Body.Of[t] = body.Amount{Share: x} }}
	if info.Unit == "" {
		v.Unit, v.Length, v.Least, v.Most, v.set = Share, false, body.ShareBounds.Least, body.ShareBounds.Most, v.share
	}
	return v
}

// names lists the names of an enumeration with n values.
func names[T interface {
	~int
	String() string
}](n T) []string {
	list := make([]string, n)
	for v := range n {
		list[v] = v.String()
	}
	return list
}

// VariableNames lists the names of all variables.
func VariableNames() []string {
	list := make([]string, len(Variables))
	for i := range Variables {
		list[i] = Variables[i].Name
	}
	return list
}

// FindVariable finds a variable by its name, or returns nil.
func FindVariable(name string) *Variable {
	i := slices.IndexFunc(Variables, func(v Variable) bool { return v.Name == name })
	if i < 0 {
		return nil
	}
	return &Variables[i]
}

// putMass puts mass on a region in place of what the setting puts there.
func (s *Setting) putMass(region body.Region, kilograms float64) {
	mass := slices.Clone(s.Change.Body.Mass)
	i := slices.IndexFunc(mass, func(m body.AddedMass) bool { return m.Region == region })
	if i < 0 {
		i = len(mass)
		mass = append(mass, body.AddedMass{Region: region})
		if i > 0 {
			mass[i].Working = mass[0].Working
		}
	}
	mass[i].Kilograms = kilograms
	s.Change.Body.Mass = mass
}

// settle leaves out of a setting what changes nothing, so that it is computed as
// if it had not been written.
func (s *Setting) settle() {
	s.Change.Body.Mass = slices.DeleteFunc(slices.Clone(s.Change.Body.Mass), func(m body.AddedMass) bool { return m.Kilograms == 0 })
	if len(s.Change.Body.Mass) == 0 {
		s.Change.Body.Mass = nil
	}
	if s.working != nil {
		for i := range s.Change.Body.Mass {
			s.Change.Body.Mass[i].Working = *s.working
		}
	}
}

// named reports whether the axis is a choice of names.
func (a *Axis) named() bool { return len(a.Names) > 0 }

// ranged reports whether the axis has a range beside or instead of its values.
func (a *Axis) ranged() bool { return a.Low != 0 || a.High != 0 }

// Named reports whether the axis is a choice of names rather than a number.
func (a *Axis) Named() bool { return a.named() }

// Len returns the number of values.
func (a *Axis) Len() int { return max(len(a.Values), len(a.Names)) }

func (a *Axis) least() float64 {
	if a.ranged() {
		return a.Low
	}
	return slices.Min(a.Values)
}

func (a *Axis) most() float64 {
	if a.ranged() {
		return a.High
	}
	return slices.Max(a.Values)
}

// check reports what is wrong with the axis.
func (a *Axis) check(design Design) error {
	field := "axes." + a.Of
	v := FindVariable(a.Of)
	if v == nil {
		return fault(field, "unknown axis; allowed are %s", strings.Join(VariableNames(), ", "))
	}
	switch {
	case v.Choice && (!a.named() || len(a.Values) > 0 || a.ranged()):
		return fault(field, "is a choice and needs a list of names")
	case !v.Choice && a.named():
		return fault(field, "is a number and needs values")
	case a.Of == "legs" && len(a.Legs) != len(a.Names), a.Of == "people" && len(a.People) != len(a.Names):
		return fault(field, "has %d names, but %d things that they stand for", len(a.Names), len(a.Legs)+len(a.People))
	}
	if v.Choice {
		for i, name := range a.Names {
			if v.Names != nil && !slices.Contains(v.Names, name) {
				return fault(field, "unknown name %q; allowed are %s", name, strings.Join(v.Names, ", "))
			}
			if slices.Contains(a.Names[:i], name) {
				return fault(field, "%s is there twice", name)
			}
		}
		return nil
	}
	if len(a.Values) == 0 && !(design == QuasiRandom && a.ranged()) {
		return fault(field, `a grid needs to know which values of the range, as in "0 cm..10 cm by 2 cm" or "0 cm..10 cm in 6 values"`)
	}
	if a.Unit != v.Unit && !(v.Length && a.Unit == Share) {
		return fault(field, "has the unit %q, wants %q", a.Unit, v.Unit)
	}
	least, most := v.Least, v.Most
	if a.Unit == Share {
		least, most = body.ShareBounds.Least, body.ShareBounds.Most
	}
	sorted := slices.Sorted(slices.Values(a.Values))
	for i, x := range sorted {
		if i > 0 && x == sorted[i-1] {
			return fault(field, "%s is there twice", a.text(x))
		}
	}
	all := slices.Clone(a.Values)
	if a.ranged() {
		all = append(all, a.Low, a.High)
	}
	for _, x := range all {
		if !(x >= least && x <= most) {
			return fault(field, "%s is not possible, allowed are %s to %s", a.text(x), a.text(least), a.text(most))
		}
	}
	switch {
	case a.Low > a.High:
		return fault(field, "the range is the wrong way round")
	case a.Log && !(a.least() > 0):
		return fault(field, "a range in equal ratios must start above 0")
	}
	return nil
}

// set writes the coordinate x of the axis into a setting: a number, or the index
// of a name.
func (a *Axis) set(s *Setting, x float64) {
	v := FindVariable(a.Of)
	switch {
	case v.choose != nil:
		v.choose(s, a, int(x))
	case v.Length && a.Unit == Share:
		v.share(s, x)
	default:
		v.set(s, x)
	}
}

// at returns the coordinate that lies the share u of the way along the axis.
func (a *Axis) at(u float64) float64 {
	switch {
	case !a.ranged():
		i := min(int(u*float64(a.Len())), a.Len()-1)
		if a.named() {
			return float64(i)
		}
		return a.Values[i]
	case a.Log:
		return min(max(a.Low*math.Pow(a.High/a.Low, u), a.Low), a.High)
	}
	return min(max(a.Low+u*(a.High-a.Low), a.Low), a.High)
}
