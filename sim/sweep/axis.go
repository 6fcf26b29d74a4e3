package sweep

import (
	"slices"
	"strings"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
)

// Units of axes, beside SI units and "" for plain numbers and names.
const (
	// Share is a change as a share of what is there: 0.05 is +5 %.
	Share = "share"
)

// Axis is one thing that a sweep varies, by the values that it takes. Numbers
// are in SI units.
type Axis struct {
	Of     string           // the name of a [Variable]
	Unit   string           // of Values: "m", "kg", "rad", "share" or ""
	Values []float64        // of a number
	Names  []string         // of a choice
	Holds  []*hold.Hold     // what the names of holds stand for
	Legs   []hold.Legs      // what the names of leg forms stand for
	People []scenario.Group // what the names of people stand for
	// Low and High are the ends of the range of a quasi-random design, Log says
	// that the range is covered evenly in the logarithm. Without a range a
	// quasi-random design takes the values as a choice.
	Low, High float64
	Log       bool
}

// Variable is something that an axis can be of.
type Variable struct {
	Name         string
	fault.Bounds          // of a number, whose unit is SI, Share or "" for a plain one
	Length       bool     // whether a share of what is there can stand instead of a length
	Names        []string // the choices, nil for a number, or where any name goes
	Choice       bool
	Meaning      string

	set    func(s *setting, x float64)
	share  func(s *setting, x float64)
	choose func(s *setting, a *Axis, i int)
}

// shares are the bounds of a change as a share of what is there.
var shares = fault.Bounds{Least: body.ShareBounds.Least, Most: body.ShareBounds.Most, Unit: Share}

// Variables lists everything that an axis can be of, in the order in which
// messages name it.
var Variables = variables()

func variables() []Variable {
	list := append(names.Each(names.UpTo(body.NumChanges), change), []Variable{
		{Name: "change.arm_angle", Bounds: fault.Bounds{Least: hold.FlagLeastAngle, Most: hold.FlagMostAngle, Unit: "rad"}, Meaning: "angle between the arms and the pole",
			set: func(s *setting, x float64) { s.Change.Arms = &scenario.Arms{Angle: &x} }},
		{Name: "change.hand_spacing", Length: true, Bounds: body.LengthBounds, Meaning: "distance between the hands, from the best one",
			set:   func(s *setting, x float64) { s.Change.Arms = &scenario.Arms{Spacing: &body.Amount{Metres: x}} },
			share: func(s *setting, x float64) { s.Change.Arms = &scenario.Arms{Spacing: &body.Amount{Share: x}} }},
	}...)
	for region := range body.NumRegions {
		list = append(list, Variable{Name: "change.added_mass." + region.String(), Bounds: body.MassBounds,
			Meaning: "mass put on the " + strings.ReplaceAll(region.String(), "_", " ") + ", or taken off",
			set:     func(s *setting, x float64) { s.putMass(region, x) }})
	}
	for p := range body.NumPoints {
		list = append(list, Variable{Name: "load." + p.String(), Bounds: body.LoadBounds,
			Meaning: "mass carried " + p.Info().Where + ", or taken off",
			set:     func(s *setting, x float64) { s.Load[p] = x }})
	}
	list = append(list,
		Variable{Name: "change.working_share", Bounds: body.WorkingBounds, Meaning: "share of the added mass that is muscle working in the hold",
			set: func(s *setting, x float64) { s.working = &x }},
		Variable{Name: "tilt", Bounds: scenario.TiltBounds, Meaning: "feet above the level of the shoulders",
			set: func(s *setting, x float64) { s.Tilt = x }},
		Variable{Name: "legs.angle", Bounds: scenario.StraddleBounds, Meaning: "how far each leg is opened, 0 with the legs together",
			set: func(s *setting, x float64) {
				s.Legs = hold.LegsIn(hold.Straddle, x)
				if x == 0 {
					s.Legs = hold.LegsIn(hold.Together, 0)
				}
			}},
		Variable{Name: "legs", Choice: true, Meaning: "leg form", choose: func(s *setting, a *Axis, i int) { s.Legs = a.Legs[i] }},
	)
	for v := range hold.NumVariants {
		info := v.Info()
		next := Variable{Name: "pose." + info.Name, Bounds: fault.Bounds{Least: info.Least, Most: info.Most, Unit: info.Unit}, Meaning: info.Meaning,
			set: func(s *setting, x float64) { s.Pose[v] = x }}
		if info.Unit == "" {
			next.Choice, next.Names = true, []string{"no", "yes"}
			next.choose = func(s *setting, a *Axis, i int) {
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
		bounds := fault.Bounds{Least: info.Least, Most: info.Most}
		if info.Unit == "rad" {
			bounds.Unit = info.Unit
		}
		list = append(list, Variable{Name: "assume." + info.Name, Bounds: bounds, Meaning: info.Meaning,
			set: func(s *setting, x float64) {
				s.Assumptions.Centre[id], s.Assumptions.Low[id], s.Assumptions.High[id] = x, x, x
			}})
	}
	list = append(list,
		Variable{Name: "hold", Choice: true, Meaning: "hold", choose: func(s *setting, a *Axis, i int) { s.Hold = a.Holds[i] }},
		Variable{Name: "people", Choice: true, Meaning: "people", choose: func(s *setting, a *Axis, i int) { s.People = a.People[i : i+1] }},
		Variable{Name: "posture", Choice: true, Names: names.All(scenario.NumPostureRules), Meaning: "how the changed body places its arms",
			choose: func(s *setting, a *Axis, i int) { s.Change.Posture, _ = scenario.ParsePostureRule(a.Names[i]) }},
		Variable{Name: "model", Choice: true, Names: names.All(hold.NumModels), Meaning: "model of statics",
			choose: func(s *setting, a *Axis, i int) { s.Models[0].Statics, _ = hold.ParseModel(a.Names[i]) }},
		Variable{Name: "regional_masses", Choice: true, Names: names.All(body.NumMasses), Meaning: "how people carry their mass",
			choose: func(s *setting, a *Axis, i int) { s.Models[0].Masses, _ = body.ParseMasses(a.Names[i]) }},
		Variable{Name: "segments", Choice: true, Meaning: "segment table", choose: func(s *setting, a *Axis, i int) { s.Models[0].Segments = a.Names[i] }},
	)
	return list
}

// change is the variable of a change of a body: a length, or what is changed by shares only.
func change(t body.Trait) Variable {
	info := t.Info()
	v := Variable{Name: "change." + info.Name, Length: true, Bounds: info.Bounds, Meaning: info.Meaning,
		set:   func(s *setting, x float64) { s.Change.Body.Of[t] = body.Amount{Metres: x} },
		share: func(s *setting, x float64) { s.Change.Body.Of[t] = body.Amount{Share: x} }}
	if info.Unit == "" {
		v.Length, v.Bounds, v.set = false, shares, v.share
	}
	return v
}

// VariableNames lists the names of all variables.
func VariableNames() []string {
	return names.Each(Variables, func(v Variable) string { return v.Name })
}

// FindVariable finds a variable by its name, or returns nil.
func FindVariable(name string) *Variable {
	i := slices.IndexFunc(Variables, func(v Variable) bool { return v.Name == name })
	if i < 0 {
		return nil
	}
	return &Variables[i]
}

// putMass puts mass on a region instead of what the setting puts there.
func (s *setting) putMass(region body.Region, kilograms float64) {
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
func (s *setting) settle() {
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

// ranged reports whether the axis has a range beside or instead of its values.
func (a *Axis) ranged() bool { return a.Low != 0 || a.High != 0 }

// Named reports whether the axis is a choice of names rather than a number.
func (a *Axis) Named() bool { return len(a.Names) > 0 }

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
		return fault.New(field, a.Of, "unknown axis; allowed: %s", strings.Join(VariableNames(), ", "))
	}
	for _, things := range []struct {
		of string
		n  int
	}{{"hold", len(a.Holds)}, {"legs", len(a.Legs)}, {"people", len(a.People)}} {
		if things.of == a.Of && things.n != len(a.Names) || things.of != a.Of && things.n > 0 {
			return fault.New(field, things.n, "has %d names for %d things", len(a.Names), things.n)
		}
	}
	switch {
	case v.Choice && (!a.Named() || len(a.Values) > 0 || a.ranged()):
		return fault.New(field, nil, "is a choice and needs a list of names")
	case v.Choice:
		return a.checkNames(field, v)
	case a.Named():
		return fault.New(field, a.Names[0], "is a number and needs values")
	case len(a.Values) == 0 && !(design == QuasiRandom && a.ranged()):
		return fault.New(field, nil, `a grid needs the values in the range, as in "0 cm..10 cm by 2 cm" or "0 cm..10 cm in 6 values"`)
	case a.Unit != v.Unit && !(v.Length && a.Unit == Share):
		return fault.New(field, a.Unit, "has the unit %q, wants %q", a.Unit, v.Unit)
	}
	bounds := v.Bounds
	if a.Unit == Share {
		bounds = shares
	}
	first := map[float64]int{}
	for i, x := range a.Values {
		if before, twice := first[x]; twice {
			return fault.New(field, x, "values %d and %d are the same", before+1, i+1)
		}
		first[x] = i
	}
	all := slices.Clone(a.Values)
	if a.ranged() {
		all = append(all, a.Low, a.High)
	}
	for _, x := range all {
		if err := bounds.Check(field, x); err != nil {
			return err
		}
	}
	switch {
	case a.Low > a.High:
		return fault.New(field, a.Low, "the range is the wrong way round")
	case a.Log && !(a.least() > 0):
		return fault.New(field, a.least(), "a range in equal ratios must start above 0")
	}
	return nil
}

// checkNames checks the names of a choice.
func (a *Axis) checkNames(field string, v *Variable) error {
	for i, name := range a.Names {
		if v.Names != nil && !slices.Contains(v.Names, name) {
			return fault.New(field, name, "unknown name %q; allowed: %s", name, strings.Join(v.Names, ", "))
		}
		if slices.Contains(a.Names[:i], name) {
			return fault.New(field, name, "%s appears twice", name)
		}
	}
	if i := slices.Index(a.Holds, nil); i >= 0 {
		return fault.New(field, a.Names[i], "%s names no hold", a.Names[i])
	}
	return nil
}

// set writes the coordinate x of the axis into a setting: a number, or the index
// of a name.
func (a *Axis) set(s *setting, x float64) {
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
		if a.Named() {
			return float64(i)
		}
		return a.Values[i]
	case a.Log:
		return min(max(a.Low*math.Pow(a.High/a.Low, u), a.Low), a.High)
	}
	return min(max(a.Low+float64(u*(a.High-a.Low)), a.Low), a.High)
}
