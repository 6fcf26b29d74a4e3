package body

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/fault"
)

// altered is what the change of each trait moves: columns of a body, which keep their
// proportions to each other where the trait's amount is one of all of them together.
// Nothing else may move.
var altered = map[Trait][]string{
	ArmLength:       {"UpperArm", "UpperArmCentre", "Forearm", "ForearmCentre"},
	ShoulderBreadth: {"ShoulderSpan"},
	LegLength:       {"Thigh", "ThighCentre", "Shank", "ShankCentre", "Stature"},
	HandLength:      {"Hand", "Palm", "Grip", "HandCentre"},
	Size: {"Mass", "Stature", "UpperArm", "Forearm", "Grip", "Palm", "Hand", "ShoulderSpan", "Rise", "Chest", "Waist", "Hip", "Thigh", "Shank", "Foot", "Heel", "Ankle",
		"HeadCentre", "TrunkCentre", "UpperTrunkCentre", "MiddleTrunkCentre", "LowerTrunkCentre", "UpperArmCentre", "ForearmCentre", "HandCentre", "ThighCentre", "ShankCentre", "FootCentre"},
}

// apart are columns that a change moves by as much as the trait, or by more, and not
// in proportion.
var apart = map[Trait][]string{LegLength: {"Stature"}, Size: {"Mass"}}

// fields returns the columns of bodies by their names.
func fields(b *Columns) map[string][]float64 {
	columns := map[string][]float64{}
	v := reflect.ValueOf(b).Elem()
	for i := range v.NumField() {
		if !v.Type().Field(i).IsExported() {
			continue
		}
		switch of := v.Field(i).Addr().Interface().(type) {
		case *[]float64:
			columns[v.Type().Field(i).Name] = *of
		case *[anthro.NumRegions - 1][]float64:
			for r, column := range of {
				columns[fmt.Sprint(v.Type().Field(i).Name, r)] = column
			}
		}
	}
	return columns
}

// Of every change in the table: the trait moves by what was asked, what it names moves
// and nothing else does, masses stay where no mass is said to go along, the opposite
// change restores the body, and the first body is untouched.
func TestChanges(t *testing.T) {
	a := assume.Defaults()
	for trait := range NumChanges {
		names, ok := altered[trait]
		if !ok {
			t.Errorf("the change of %s has no row in this test", trait)
		}
		for _, by := range []Amount{{Metres: 0.013}, {Metres: -0.021}, {Share: 0.03}, {Share: -0.04}} {
			if trait.Info().Unit == "" && by.Metres != 0 {
				continue
			}
			first, untouched := draw(t, "ansur2-women", Residual, DefaultSegments, 40), draw(t, "ansur2-women", Residual, DefaultSegments, 40)
			second, back := New(40), New(40)
			apply := func(dst, src *Columns, by Amount) {
				t.Helper()
				ch := Change{MassStays: traits[trait].follow != nil}
				ch.Of[trait] = by
				golden.OK(t, errors.Join(ch.Check(), ch.Apply(dst, src, &a)))
			}
			apply(second, first, by)
			apply(back, second, Amount{Metres: -by.Metres, Share: -by.Share / (1 + by.Share)})
			before, after, restored, same := fields(first), fields(second), fields(back), fields(untouched)
			if len(before) != numColumns {
				t.Fatalf("%d columns are looked at, there are %d", len(before), numColumns)
			}
			for i := range first.Rows() {
				if err := second.Check(i); err != nil {
					t.Fatalf("%s %v: %v", trait, by, err)
				}
				if trait != Size {
					if got, want := trait.Of(second, i)-trait.Of(first, i), by.Of(trait.Of(first, i)); !(math.Abs(got-want) <= 1e-12) {
						t.Fatalf("%s %v: moved by %v, want %v", trait, by, got, want)
					}
				}
				stretch := after[names[len(names)-1]][i] / before[names[len(names)-1]][i]
				for _, name := range names {
					if !slices.Contains(apart[trait], name) {
						stretch = after[name][i] / before[name][i]
					}
				}
				for name, column := range after {
					moved, named := column[i] != before[name][i], slices.Contains(names, name)
					switch {
					case moved != named:
						t.Fatalf("%s %v: row %d of %s goes from %v to %v", trait, by, i, name, before[name][i], column[i])
					case named && !slices.Contains(apart[trait], name) && math.Abs(column[i]/before[name][i]-stretch) > 1e-12:
						t.Fatalf("%s %v: %s is stretched by %v, others by %v", trait, by, name, column[i]/before[name][i], stretch)
					case math.Abs(restored[name][i]-before[name][i]) > 1e-12*math.Max(1, math.Abs(before[name][i])):
						t.Fatalf("%s %v and back: %s was %v and is %v", trait, by, name, before[name][i], restored[name][i])
					case before[name][i] != same[name][i]:
						t.Fatalf("%s %v altered %s of the first body", trait, by, name)
					}
				}
			}
			switch trait {
			case LegLength:
				if got := second.Stature[7] - first.Stature[7]; !(math.Abs(got-by.Of(first.leg(7))) <= 1e-12) {
					t.Errorf("legs %v: stature goes by %v", by, got)
				}
			case Size:
				if got, want := second.Mass[7]/first.Mass[7], math.Pow(1+by.Share, 3); !(math.Abs(got-want) <= 1e-12) {
					t.Errorf("size %v: mass × %v, want the cube %v", by, got, want)
				}
			case ArmLength:
				if second.Grip[7] != first.Grip[7] || !(math.Abs(second.Arm(7)-first.Arm(7)-by.Of(first.Arm(7))) <= 1e-12) {
					t.Errorf("arms %v: from %v to %v", by, first.Arm(7), second.Arm(7))
				}
			case HandLength:
				if got, want := second.Arm(7)-first.Arm(7), by.Of(first.Hand[7])*first.Grip[7]/first.Hand[7]; !(math.Abs(got-want) <= 1e-12) {
					t.Errorf("hands %v: the grip goes by %v, want %v", by, got, want)
				}
			}
		}
	}
}

// Size comes first: metres are of the body enlarged, whatever else is changed.
func TestSizeComesFirst(t *testing.T) {
	a := assume.Defaults()
	first := draw(t, "ansur2-men", Residual, DefaultSegments, 5)
	both, large, second := New(5), New(5), New(5)
	err := errors.Join(
		Change{Of: Amounts{Size: {Share: 0.1}, ArmLength: {Metres: 0.05}, LegLength: {Share: 0.02}}}.Apply(both, first, &a),
		Change{Of: Amounts{Size: {Share: 0.1}}}.Apply(large, first, &a),
		Change{Of: Amounts{ArmLength: {Metres: 0.05}, LegLength: {Share: 0.02}}}.Apply(second, large, &a))
	if err != nil || !reflect.DeepEqual(fields(both), fields(second)) {
		t.Errorf("together %v, one after the other %v, %v", both.Arm(2), second.Arm(2), err)
	}
}

func TestAddedMass(t *testing.T) {
	a := assume.Defaults()
	a[assume.UpperBodySplit] = 0.27
	first := draw(t, "ansur2-women", Residual, DefaultSegments, 40)
	second := New(40)
	near := func(what string, got, want float64) {
		t.Helper()
		if !(math.Abs(got-want) <= 1e-12*math.Max(1, math.Abs(want))) {
			t.Errorf("%s: %.15g, want %.15g", what, got, want)
		}
	}
	const i = 7
	// Added mass keeps momentum: the first moment of the whole body about the
	// shoulder line grows by the mass times where it was put.
	whole := func(b *Columns) (mass, moment float64) {
		mass = b.Mass[i]
		moment = b.Mass[i] * (b.HeadShare[i]*b.HeadCentre[i] + b.TrunkShare[i]*b.TrunkCentre[i] +
			2*b.LegShare(i)*b.Hip[i] + 2*b.ThighShare[i]*b.ThighCentre[i] + 2*b.ShankShare[i]*(b.Thigh[i]+b.ShankCentre[i]) +
			2*b.FootShare[i]*(b.Thigh[i]+b.Shank[i]+b.FootCentre[i]) - 2*b.ArmMoment(i))
		return
	}
	m0, moment0 := whole(first)
	armCentre := -first.ArmMoment(i) / first.ArmShare(i)
	legCentre := first.Hip[i] + (first.ThighShare[i]*first.ThighCentre[i]+first.ShankShare[i]*(first.Thigh[i]+first.ShankCentre[i])+
		first.FootShare[i]*(first.Thigh[i]+first.Shank[i]+first.FootCentre[i]))/first.LegShare(i)
	for _, c := range []struct {
		region Region
		at     float64
	}{
		{Arms, armCentre}, {Trunk, first.TrunkCentre[i]}, {UpperTrunk, first.UpperTrunkCentre[i]}, {Head, first.HeadCentre[i]},
		{Legs, legCentre}, {UpperBody, 0.27*armCentre + 0.73*first.UpperTrunkCentre[i]},
	} {
		for _, kg := range []float64{3.7, m0} { // and as much again as the body has
			golden.OK(t, (Change{Mass: []AddedMass{{Region: c.region, Kilograms: kg}}}).Apply(second, first, &a))
			m1, moment1 := whole(second)
			near(c.region.String()+" mass", m1, m0+kg)
			near(c.region.String()+" moment", moment1, moment0+kg*c.at)
		}
	}
}

// Of every change of a length whose mass follows: each segment named keeps its mass a
// metre and all others keep theirs, stature: stays takes the length and the mass a
// metre from the trunk, and the opposite change restores the body.
func TestMassFollowsLength(t *testing.T) {
	a := assume.Defaults()
	kilograms := func(b *Columns, i int) map[string]float64 {
		m := map[string]float64{}
		for name, column := range fields(b) {
			if strings.HasSuffix(name, "Share") {
				m[name] = column[i] * b.Mass[i]
			}
		}
		return m
	}
	for trait := range NumChanges {
		if traits[trait].follow == nil {
			continue
		}
		for _, stays := range []bool{false, true} {
			if stays && trait != LegLength {
				continue
			}
			first := draw(t, "ansur2-men", Residual, DefaultSegments, 20)
			second, back := New(20), New(20)
			ch, reverse := Change{StatureStays: stays}, Change{StatureStays: stays}
			ch.Of[trait], reverse.Of[trait] = Amount{Metres: 0.03}, Amount{Metres: -0.03}
			golden.OK(t, errors.Join(ch.Check(), ch.Apply(second, first, &a), reverse.Apply(back, second, &a)))
			restored, before := fields(back), fields(first)
			for i := range first.Rows() {
				golden.OK(t, second.Check(i))
				expect := kilograms(first, i)
				added := 0.0
				for k, s := range traits[trait].follow {
					name := [][]string{ArmLength: {"UpperArmShare", "ForearmShare"}, LegLength: {"ThighShare", "ShankShare"}, HandLength: {"HandShare"}}[trait][k]
					grown := expect[name] * s.length(second)[i] / s.length(first)[i]
					added += 2 * (grown - expect[name])
					expect[name] = grown
				}
				if stays {
					if second.Stature[i] != first.Stature[i] && !(math.Abs(second.Stature[i]-first.Stature[i]) <= 1e-12) {
						t.Fatalf("stature goes from %v to %v", first.Stature[i], second.Stature[i])
					}
					kept := (first.Hip[i] - 0.03) / first.Hip[i]
					added += (kept - 1) * expect["TrunkShare"]
					for _, name := range []string{"TrunkShare", "MiddleTrunkShare", "LowerTrunkShare"} {
						expect[name] *= kept
					}
				}
				if !(math.Abs(second.Mass[i]-first.Mass[i]-added) <= 1e-10) {
					t.Fatalf("%s: %v kg more, want %v", trait, second.Mass[i]-first.Mass[i], added)
				}
				for name, got := range kilograms(second, i) {
					if !(math.Abs(got-expect[name]) <= 1e-10) {
						t.Fatalf("%s: %s has %v kg, want %v", trait, name, got, expect[name])
					}
				}
				for name := range before {
					if !(math.Abs(restored[name][i]-before[name][i]) <= 1e-10) {
						t.Fatalf("%s and back: %s was %v and is %v", trait, name, before[name][i], restored[name][i])
					}
				}
			}
		}
	}
}

// A change leaves the first body alone, even where the two share columns.
func TestMassLeavesTheFirstBodyAlone(t *testing.T) {
	a := assume.Defaults()
	first, again := draw(t, "ansur2-men", Residual, DefaultSegments, 5), draw(t, "ansur2-men", Residual, DefaultSegments, 5)
	ch := Change{Mass: []AddedMass{{Region: UpperBody, Kilograms: 4}, {Region: Legs, Kilograms: -1}, {Region: Trunk, Kilograms: 2}, {Region: Head, Kilograms: 1}}}
	golden.OK(t, ch.Apply(New(5), first, &a))
	if !reflect.DeepEqual(fields(first), fields(again)) {
		t.Error("masses altered the first body")
	}
}

func TestChangesThatLeaveNoBody(t *testing.T) {
	a := assume.Defaults()
	first, second := draw(t, "ansur2-men", Table, DefaultSegments, 3), New(3)
	for _, c := range []struct {
		change Change
		want   string
	}{
		{Change{Of: Amounts{ArmLength: {Metres: -1.2}}}, "cannot be shortened"},
		{Change{Of: Amounts{LegLength: {Share: -1.1}}}, "cannot be shortened"},
		{Change{Of: Amounts{ShoulderBreadth: {Metres: -0.9}}}, "cannot be narrowed"},
		{Change{Mass: []AddedMass{{Region: Head, Kilograms: -30}}}, "cannot lose 30.0"},
		{Change{Mass: []AddedMass{{Region: Legs, Kilograms: -500}}}, "cannot lose 500.0 kg"},
	} {
		err := c.change.Apply(second, first, &a)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: error %v, want one with %q", c.change, err, c.want)
		}
	}
}

// A change is none where it alters nothing, and no body loses all that it weighs.
func TestEndsOfChanges(t *testing.T) {
	for ch, want := range map[*Change]bool{{}: true, {Of: Amounts{Size: {Share: 0.1}}}: false, {Mass: []AddedMass{{Kilograms: 1}}}: false, {Of: Amounts{HandLength: {Metres: 0.1}}}: false} {
		if ch.IsZero() != want {
			t.Errorf("%+v is none: %v", ch, ch.IsZero())
		}
	}
	a := assume.Defaults()
	first, second := draw(t, "ansur2-men", Table, DefaultSegments, 1), New(1)
	first.Mass[0] = 1.5
	if err := (Change{Mass: []AddedMass{{Region: Trunk, Kilograms: -0.6}}}).Apply(second, first, &a); err != nil || !(math.Abs(second.Mass[0]-0.9) <= 1e-15) {
		t.Errorf("%v kg, %v", second.Mass[0], err)
	}
	if err := (Change{Mass: []AddedMass{{Region: Trunk, Kilograms: -1.5}}}).Apply(second, first, &a); err == nil || !strings.Contains(err.Error(), "a body of 1.5 kg cannot lose 1.5 kg") {
		t.Error(err)
	}
	// Nothing at all left of a part is too little as well.
	first.Mass[0], first.HeadShare[0], first.SpanShare = 2, 0.25, 0.5
	first.ThighShare[0], first.ShankShare[0], first.FootShare[0] = 0.125, 0.0625, 0.0625
	for _, ch := range []Change{
		{Mass: []AddedMass{{Region: Head, Kilograms: -0.5}}},
		{Mass: []AddedMass{{Region: Legs, Kilograms: -1}}},
		{Of: Amounts{ArmLength: {Metres: -(first.UpperArm[0] + first.Forearm[0])}}},
		{Of: Amounts{ShoulderBreadth: {Share: -1}}},
	} {
		if err := ch.Apply(second, first, &a); err == nil {
			t.Errorf("%+v leaves a body", ch)
		}
	}
	if a, b := (Change{}).Scale(), (Change{Of: Amounts{Size: {Share: 0.25}}}).Scale(); a != 1 || b != 1.25 {
		t.Errorf("sizes %v and %v", a, b)
	}
}

// What no body can mean is refused with the field, what was found and what is allowed.
func TestChangesThatMakeNoSense(t *testing.T) {
	for _, c := range []struct {
		change Change
		want   string
	}{
		{Change{Of: Amounts{ArmLength: {Metres: math.NaN()}}}, "arm_length: NaN m is not possible, allowed: -0.4 to 0.4 m"},
		{Change{Of: Amounts{LegLength: {Metres: 1.2}}}, "leg_length: 1.2 m is not possible, allowed: -0.5 to 0.5 m"},
		{Change{Of: Amounts{HandLength: {Metres: -0.3}}}, "hand_length: -0.3 m is not possible, allowed: -0.2 to 0.2 m"},
		{Change{Of: Amounts{Size: {Share: math.NaN()}}}, "size: NaN is not possible, allowed: -0.9 to 1"},
		{Change{Of: Amounts{Size: {Share: math.Inf(1)}}}, "size: +Inf is not possible, allowed: -0.9 to 1"},
		{Change{Of: Amounts{Size: {Metres: 0.1}}}, "size: 0.1 is not possible, allowed: 0 to 0"},
		{Change{Of: Amounts{ShoulderBreadth: {Share: -0.95}}}, "shoulder_breadth: -0.95 is not possible, allowed: -0.9 to 1"},
		{Change{Of: Amounts{ShoulderBreadth: {Metres: -9, Share: 9.5}}}, "shoulder_breadth: -9 m is not possible, allowed: -0.3 to 0.3 m\nshoulder_breadth: 9.5 is not possible, allowed: -0.9 to 1"},
		{Change{Of: Amounts{ArmLength: {Metres: 2}, LegLength: {Metres: -2}}}, "arm_length: 2 m is not possible, allowed: -0.4 to 0.4 m\nleg_length: -2 m is not possible, allowed: -0.5 to 0.5 m"},
		{Change{MassStays: true}, "mass: nothing becomes longer, so no mass could follow: leave this out"},
		{Change{StatureStays: true, Of: Amounts{ArmLength: {Metres: 0.1}}}, "stature: only another length of the legs alters the stature, leave this out"},
		{Change{Mass: []AddedMass{{Region: 99}}}, "added_mass: unknown region 99, allowed: 0 to 5"},
		{Change{Mass: []AddedMass{{Region: NumRegions}}}, "added_mass: unknown region 6, allowed: 0 to 5"},
		{Change{Mass: []AddedMass{{Region: -1}}}, "added_mass: unknown region -1, allowed: 0 to 5"},
		{Change{Mass: []AddedMass{{Region: Legs, Kilograms: math.NaN()}}}, "added_mass.legs: NaN kg is not possible, allowed: -200 to 200 kg"},
		{Change{Mass: []AddedMass{{Region: Arms, Kilograms: -201}}}, "added_mass.arms: -201 kg is not possible, allowed: -200 to 200 kg"},
		{Change{Mass: []AddedMass{{Region: Arms, Kilograms: 150}, {Region: Legs, Kilograms: 150}}}, "added_mass: 300 kg is not possible, allowed: -200 to 200 kg"},
		{Change{Mass: []AddedMass{{Region: Arms, Kilograms: 5}, {Region: Arms, Kilograms: 5}}}, "added_mass.arms: appears twice"},
		{Change{Mass: []AddedMass{{Region: Arms, Kilograms: 1, Working: math.NaN()}}}, "working_share: NaN is not possible, allowed: 0 to 1"},
		{Change{Mass: []AddedMass{{Region: Arms, Kilograms: 1, Working: 1.01}}}, "working_share: 1.01 is not possible, allowed: 0 to 1"},
	} {
		err := c.change.Check()
		if err == nil || err.Error() != c.want || len(fault.All(err)) != 1+strings.Count(c.want, "\n") {
			t.Errorf("%+v: %v, want %v", c.change, err, c.want)
		}
	}
	for _, ch := range []Change{
		{}, {Of: Amounts{ArmLength: {Metres: -0.4}, HandLength: {Metres: 0.2}, Size: {Share: -0.9}, LegLength: {Share: 1}}},
		{Mass: []AddedMass{{Region: UpperBody, Kilograms: 100, Working: 1}, {Region: Arms, Kilograms: -100}}},
	} {
		if err := ch.Check(); err != nil {
			t.Errorf("%+v: %v", ch, err)
		}
	}
}

// Names are found again, and every trait that can be changed has its words.
func TestTraits(t *testing.T) {
	for trait := range NumTraits {
		if again, ok := ParseTrait(trait.String()); !ok || again != trait {
			t.Errorf("%s is found as %v, %v", trait, again, ok)
		}
		info := trait.Info()
		if info.Meaning == "" || (trait < NumChanges) != (info.Noun != "" && info.More != "" && info.Less != "" && info.Short != "" && info.One != "" && info.Usual > 0) {
			t.Errorf("%+v", info)
		}
	}
	for trait := NumChanges; trait < NumTraits; trait++ {
		if err := trait.Check(Amount{Metres: 0.1}); err == nil || err.Error() != trait.String()+": it cannot change alone, leave this out" || trait.Check(Amount{}) != nil {
			t.Error(err)
		}
	}
	if m := ArmLength.Info().Measured; m != -1 {
		t.Errorf("the arm is measured as %v", m)
	}
	if _, ok := ParseTrait("tail_length"); ok {
		t.Error("bodies have tails")
	}
}
