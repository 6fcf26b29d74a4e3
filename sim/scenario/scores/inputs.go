package scores

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/mat"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/drivers"
	"counterpoise/sim/math"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
)

// How many inputs describe a person: measurements and age, and residuals of regional
// masses. An age that nobody knows is there and does nothing.
const (
	residuals  = int(anthro.NumRegions) - 1
	bodyInputs = int(anthro.NumVariables) + residuals
)

// An Input is one input of a [Function]: a measurement, a residual of the regional
// masses, an assumption, or the choice of a model.
type Input struct {
	Name string // of scores: "arm length for size" is a group of such
	// Column is a name for the input's value, as [Function.Values] gives it, that
	// ends in its unit.
	Column      string
	Unit        string
	Description string
}

// SizeGroup is the group of stature with all that goes along with it.
const SizeGroup = "size"

// ModelGroup is the choice between the models of a study.
const ModelGroup = "choice of model"

// bodyGroups puts together what describes one part of a body.
var bodyGroups = []struct {
	name string
	of   []anthro.Measurement
}{
	{SizeGroup, []anthro.Measurement{anthro.Stature}},
	{"arm length for size", []anthro.Measurement{anthro.UpperArmLength, anthro.ForearmLength, anthro.Span}},
	{"shoulder breadth for size", []anthro.Measurement{anthro.BiacromialBreadth}},
	{"leg length for size", []anthro.Measurement{anthro.TrochanterionHeight, anthro.TibialHeight, anthro.MalleolusHeight}},
	{"trunk length for size", []anthro.Measurement{anthro.AcromialHeight, anthro.CervicaleHeight, anthro.SuprasternaleHeight, anthro.SittingHeight}},
	{"foot and hand for size", []anthro.Measurement{anthro.FootLength, anthro.HandLength, anthro.PalmLength}},
	{"mass and build for size", []anthro.Measurement{anthro.Mass, anthro.WaistCircumference, anthro.HipBreadth}},
	{"age for size", []anthro.Measurement{anthro.Age}},
}

// regionalGroup is how the mass is spread over the regions, for the same build.
const regionalGroup = "regional masses"

// skeleton are the assumptions that make a body; those that are neither of these nor of
// strength are about the statics.
var skeleton = []assume.ID{assume.ShoulderDrop, assume.GripReach, assume.ShoulderSpan, assume.ShoulderRise, assume.HipDrop, assume.HeelShare, assume.BallShare}

// The groups of assumptions.
const (
	skeletonGroup = "assumptions: skeleton"
	staticsGroup  = "assumptions: statics"
	strengthGroup = "assumptions: strength"
)

func groupOf(id assume.ID) string {
	switch {
	case slices.Contains(skeleton, id):
		return skeletonGroup
	case id.OfStrength():
		return strengthGroup
	}
	return staticsGroup
}

// bears reports whether an assumption can bear on the hold: it makes the body, or
// one of the models reads it.
func bears(s *Study, id assume.ID) bool {
	switch id {
	case assume.ShoulderDrop, assume.GripReach, assume.ShoulderSpan, assume.ShoulderRise, assume.HipDrop, assume.HeelShare:
		return true
	}
	return slices.ContainsFunc(s.Models, func(m scenario.Model) bool { return slices.Contains(s.Hold.Assumptions(m.Statics), id) })
}

// inputsOf lists the inputs, the groups and the free assumptions of a study.
func inputsOf(s *Study) (inputs []Input, groups []drivers.Group, free []assume.ID) {
	for m := range anthro.NumVariables {
		input := Input{Name: m.String() + " for size", Column: m.String() + "_" + m.Unit(), Unit: m.Unit(), Description: m.Description()}
		if m == anthro.Stature {
			input.Name = m.String()
		}
		inputs = append(inputs, input)
	}
	for r := range anthro.Region(residuals) {
		inputs = append(inputs, Input{
			Name: r.String() + " mass for build", Column: r.String() + "_residual_ratio",
			Description: fmt.Sprintf("logarithm of the mass of the %s over that of the legs, less the value expected from stature, mass and waist", r),
		})
	}
	for _, g := range bodyGroups {
		groups = append(groups, drivers.Group{Name: g.name, Inputs: names.Each(g.of, func(m anthro.Measurement) int { return int(m) })})
	}
	groups = append(groups, drivers.Group{Name: regionalGroup, Inputs: names.Each(names.UpTo(residuals), func(r int) int { return int(anthro.NumVariables) + r })})

	// The groups of assumptions in a fixed order, those of one about each other
	// side by side.
	for _, name := range []string{skeletonGroup, staticsGroup, strengthGroup} {
		group := drivers.Group{Name: name}
		for _, id := range s.Assumptions.Free() {
			if groupOf(id) != name || !bears(s, id) {
				continue
			}
			a := id.Info()
			i := len(inputs)
			inputs = append(inputs, Input{Name: a.Name, Column: a.Name, Description: a.Meaning})
			free = append(free, id)
			if s.EachAssumption {
				groups = append(groups, drivers.Group{Name: a.Name, Inputs: []int{i}})
			} else {
				group.Inputs = append(group.Inputs, i)
			}
		}
		if len(group.Inputs) > 0 {
			groups = append(groups, group)
		}
	}
	if len(s.Models) > 1 {
		groups = append(groups, drivers.Group{Name: ModelGroup, Inputs: []int{len(inputs)}})
		inputs = append(inputs, Input{Name: ModelGroup, Column: "model", Description: "index of the model in the study's list"})
	}
	return inputs, groups, free
}

// A regression is how a measurement's score follows that of stature: slope times
// it, and beside times a score of its own.
type regression struct{ slope, beside float64 }

// correlate sets the correlations of the body's inputs. With z the scores of the
// population and r their correlations with stature's, z = r·z_stature + √(1−r²)·e,
// and the correlation of e_i with e_j is (c_ij − r_i·r_j)/√((1−r_i²)(1−r_j²)).
func (f *Function) correlate(dst *mat.SymDense) {
	c := f.population.Correlation()
	known := c.SymmetricDim()
	for m := range known {
		r := c.At(m, int(anthro.Stature))
		f.onStature[m] = regression{r, math.Sqrt(1 - float64(r*r))}
	}
	f.onStature[anthro.Stature] = regression{0, 1}
	for i := range known {
		for j := range i {
			if i == int(anthro.Stature) || j == int(anthro.Stature) {
				continue // independent, exactly
			}
			a, b := f.onStature[i], f.onStature[j]
			dst.SetSym(i, j, (c.At(i, j)-float64(a.slope*b.slope))/(a.beside*b.beside))
		}
	}
	covariance := &f.population.Regional.Covariance
	for i := range f.spread {
		f.spread[i] = math.Sqrt(covariance[i][i])
		for j := range i {
			at := int(anthro.NumVariables)
			dst.SetSym(at+i, at+j, covariance[i][j]/(f.spread[i]*f.spread[j]))
		}
	}
}

// Inputs describes the columns of a [Function.Problem].
func (f *Function) Inputs() []Input { return slices.Clone(f.inputs) }

// Groups returns the groups of a [Function.Problem].
func (f *Function) Groups() []drivers.Group { return slices.Clone(f.groups) }

// Free lists the assumptions among the inputs, in their order.
func (f *Function) Free() []assume.ID { return slices.Clone(f.free) }
