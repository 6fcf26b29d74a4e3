package hold

import (
	"math"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/muscle"
	"counterpoise/sim/statics"
)

// DefaultWallDistance is from the hands to the wall where a pose gives none, m.
const DefaultWallDistance = 0.15

// WallHandstand is the handstand with the heels on a wall, on one arm or two.
var WallHandstand = wallHandstand()

func wallHandstand() *Hold {
	return &Hold{
		Name: "wall-handstand", Title: "Handstand against a wall",
		Description: "Upside down on straight arms, the straight body leaning with its heels on a wall behind; on one arm, the other lies at the side.",
		Plane:       "sagittal, seen from the side; on one arm, what turns the body sideways is left out",
		Supports: []string{
			"hands flat on the floor, fingers turned aside, at the wrists: horizontal and vertical force",
			"heels on the wall: horizontal push, and wall_friction times it upwards",
		},
		Free: "none: wall_distance, from the wrists to the wall, fixes the lean of the whole body (0.15 m unless given)",
		LeavesOut: []string{
			"an arched back, and shoulders that are not open", "the sideways balance on one arm",
			"wrists and fingers that help to balance",
		},
		Models: equilibriumOnly, Rules: balanced, LegForms: legsTogether, Variants: []Variant{OneArm, WallDistance},
		Asks:        Always(withUses(handstandUses, WallPush, RequiredForce, LeanAngle, HandShare, ElbowMoment, WristMoment)...),
		Assumptions: Always(strengths(handstandUses, assume.WallFriction)...),
		Uses:        Always(handstandUses...),
		Solve:       InEquilibrium(solveHandstand),
		Figure:      handstandFigure,
	}
}

var handstandUses = []Use{{Group: muscle.ArmPush, Angle: At(0), Load: largestForce}}

func solveHandstand(out *Result, b *body.Columns, capacity *Capacity, p Posture, a *assume.Set) {
	judge := NewJudge(out, handstandUses, capacity, p, a)
	pushes, forces, elbows, wrists := out.Column(WallPush), out.Column(RequiredForce), out.Column(ElbowMoment), out.Column(WristMoment)
	leans, shares := out.Column(LeanAngle), out.Column(HandShare)
	hands, legs, friction := float64(standsOn(p)), Legs{}.reach(), a[assume.WallFriction]
	for i := range b.Rows() {
		share, moment := rest(b, i, legs)
		arm, armShare, armMoment := toWrist(b, i)
		raised := arm + b.Rise[i] // wrists to the shoulders at rest
		heels := raised + b.Hip[i] + b.Thigh[i] + b.Shank[i]
		lean, ok := out.AngleOf(i, p.Pose.Or(WallDistance)/heels)
		if !ok {
			continue
		}
		// First moment of everything about the wrists, along the body; the hands
		// that stand lie across the plane, at the wrists. A free arm points to the feet, its hand open.
		along := share*raised + moment + hands*(armShare*arm-armMoment)
		if hands == 1 {
			along += b.ArmShare(i)*raised + armMoment + b.HandShare[i]*(arm+b.HandCentre[i])
		}
		sin, cos := math.Sincos(lean)
		push := along * sin / (heels * (cos + friction*sin))
		up := 1 - friction*push
		force := (up*cos + push*sin) / hands
		// Of all hands together; the floor pushes back to the wall as the wall to the floor.
		elbow := b.Forearm[i]*(push*cos-up*sin) + hands*sin*(b.ForearmShare[i]*b.ForearmCentre[i]+b.HandShare[i]*b.Forearm[i])
		judge.Row(i, Asked{Demand: math.Abs(force)})
		pushes.Set(i, push)
		forces.Set(i, force)
		leans.Set(i, lean)
		shares.Set(i, up)
		elbows.Set(i, math.Abs(elbow))
		wrists.Set(i, 0) // the floor pushes at the wrists
	}
}

func handstandFigure(b *body.Columns, i int, p Posture, held *Result, a *assume.Set) (*Figure, error) {
	lean, err := held.Posed(LeanAngle)
	if err != nil {
		return nil, err
	}
	// The wall is on the right; the body faces away from it, the fingers point sideways.
	axis, front := turned(math.Pi/2-lean), turned(math.Pi-lean)
	arm, _, _ := toWrist(b, i)
	q := NewFigure(b, i, axis.Times(arm), axis, b.Rise[i])
	wrist, name, standing := q.holding(standsOn(p), axis.Times(-1), HandAside)
	q.Legs(Legs{}, axis, front)
	q.Support(name, wrist, standing, right, up)
	heels := q.Along(b.Hip[i] + b.Thigh[i] + b.Shank[i])
	q.Support(SupportHeels, heels, []string{"first foot", "other foot"}, right, up)
	q.Close("the wall's friction is wall_friction times its push",
		statics.Term{Reaction: "first foot, vertical", Coefficient: 1},
		statics.Term{Reaction: "first foot, horizontal", Coefficient: a[assume.WallFriction]}) // to the left, which is negative
	q.Floor("floor", wrist.Y, wrist.X-0.3*b.Stature[i], heels.X)
	q.Edge("wall", statics.Vec{X: heels.X, Y: wrist.Y}, statics.Vec{X: heels.X, Y: heels.Y + 0.12*b.Stature[i]})
	return q.Done()
}

// standsOn returns how many arms the body stands on.
func standsOn(p Posture) int {
	if p.Pose.Is(OneArm) {
		return 1
	}
	return 2
}
