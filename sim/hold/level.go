package hold

import (
	"counterpoise/sim/body"
	"counterpoise/sim/math"
)

// levelTile is how many level bodies are taken through each step of the solution
// together. One body's square roots and divisions wait for each other; those of
// different bodies overlap, if nothing but them stands between.
const levelTile = 64

// solveLevel finds the best posture of level bodies whose strength does not vary
// with the angle, under the two-condition model: what nearly every body of a
// survey is asked for most of all. It works column by column on tiles, with the
// turning condition alone, and leaves the few bodies to solveRow for which this is
// not enough: those for whom lifting binds, or whose best angle is out of range. shareAt
// fills the share of the weight at the top hand from the sine of the best angle; it is nil
// where nobody wants it.
func solveLevel(out *Result, b *body.Columns, relative []float64, legs reach, solveRow func(i int), shareAt func(i int, sine float64)) {
	var t levelBodies
	for from := 0; from < b.Rows(); from += levelTile {
		n := min(levelTile, b.Rows()-from)
		t.reduce(b, from, n, legs)
		t.bestTurning(n)
		t.fill(out, relative, from, n)
		for k := range n {
			if !t.solved[k] {
				solveRow(from + k)
			} else if shareAt != nil {
				shareAt(from+k, t.sine[k])
			}
		}
	}
}

// levelBodies is a tile of bodies reduced to the numbers that the statics needs
// (see flag), and what becomes of them.
type levelBodies struct {
	arm, reach, hang, span [levelTile]float64
	rise, sine             [levelTile]float64 // of the arm's angle: its cosine and sine
	solved                 [levelTile]bool
}

// reduce is flag.reduce for the rows from..from+n-1 of level bodies. Three loops
// over a few columns each take half the time of one loop over them all.
func (t *levelBodies) reduce(b *body.Columns, from, n int, legs reach) {
	column := func(c []float64) []float64 { return c[from : from+n : from+n] }
	arm, armReach, hang := t.arm[:n], t.reach[:n], t.hang[:n]
	{
		upper, fore, grip := column(b.UpperArm), column(b.Forearm), column(b.Grip)
		upperShare, foreShare, handShare := column(b.UpperArmShare), column(b.ForearmShare), column(b.HandShare)
		upperCentre, foreCentre := column(b.UpperArmCentre), column(b.ForearmCentre)
		upper, fore, grip = upper[:n], fore[:n], grip[:n]
		upperShare, foreShare, handShare, upperCentre, foreCentre = upperShare[:n], foreShare[:n], handShare[:n], upperCentre[:n], foreCentre[:n]
		for k := range n {
			l := upper[k] + fore[k] + grip[k]
			share := upperShare[k] + foreShare[k] + handShare[k]
			sag := float64(upperShare[k]*upperCentre[k]) + float64(foreShare[k]*(upper[k]+foreCentre[k])) + float64(handShare[k]*l)
			arm[k] = l
			armReach[k] = 2 * (float64(share*l) - sag)
		}
	}
	{
		head, trunk := column(b.HeadShare)[:n], column(b.TrunkShare)[:n]
		headCentre, trunkCentre := column(b.HeadCentre)[:n], column(b.TrunkCentre)[:n]
		thigh, shank, foot := column(b.ThighShare)[:n], column(b.ShankShare)[:n], column(b.FootShare)[:n]
		rise, hip := column(b.Rise)[:n], column(b.Hip)[:n]
		for k := range n {
			leg := thigh[k] + shank[k] + foot[k]
			armReach[k] += float64((head[k] + trunk[k] + float64(2*leg)) * arm[k])
			hang[k] = float64(head[k]*(headCentre[k]+rise[k])) + float64(trunk[k]*(trunkCentre[k]+rise[k])) + float64(2*leg*(hip[k]+rise[k]))
		}
	}
	{
		thigh, thighCentre, shank, shankCentre, foot := column(b.ThighShare)[:n], column(b.ThighCentre)[:n],
			column(b.ShankShare)[:n], column(b.ShankCentre)[:n], column(b.FootShare)[:n]
		thighLength, shankLength, footCentre := column(b.Thigh)[:n], column(b.Shank)[:n], column(b.FootCentre)[:n]
		for k := range n {
			hang[k] += float64((float64(thigh[k]*thighCentre[k])+float64((shank[k]+foot[k])*thighLength[k]))*legs.thigh) +
				float64((float64(shank[k]*shankCentre[k])+float64(foot[k]*(shankLength[k]+footCentre[k])))*legs.shank)
		}
	}
	copy(t.span[:n], column(b.ShoulderSpan))
}

// bestTurning fills rise with the cosine of the arm angle at which the turning
// condition of each body asks least. Setting the derivative of x/(sin θ·d) to zero
// gives, with u = cos θ, A = M₀c/(qL) and B = b/(2L),
//
//	(1−u²)^(3/2) = A·(2u² + B·u − 1),
//
// whose left side falls and whose right side grows with u in (0, 1): one root,
// found by one step of Halley's method from a close start.
func (t *levelBodies) bestTurning(n int) {
	arm, reach, hang, span, rise := t.arm[:n], t.reach[:n], t.hang[:n], t.span[:n], t.rise[:n]
	for k := range n {
		twice := 2 * arm[k]
		over := 1 / (twice * reach[k])
		ratio, half := hang[k]*twice*over, span[k]*reach[k]*over
		start := turningStart(ratio, half)
		u := start + halleyTurning(ratio, half, start)
		if !(math.Abs(u-start) < turningStep) {
			u = bracketTurning(ratio, half)
		}
		rise[k] = u
	}
}

// turningStart is the root of bestTurning's equation to within 8·10⁻⁵ where A is
// from 0.45 to 1.1 and B from 0.14 to 0.46, as they are for all but a few bodies of
// the surveys, their arms or shoulders changed by 10 cm included: a least-squares
// fit over Chebyshev points of that range.
func turningStart(ratio, half float64) float64 {
	return 0.93922 - float64(half*(0.07437-float64(half*0.01154))) -
		float64(ratio*(0.38367+float64(half*(0.14366-float64(half*0.01207)))-
			float64(ratio*(0.41844+float64(half*0.04814)-float64(ratio*(0.24623-float64(ratio*0.05835)))))))
}

// turningStep is the length of a step of Halley's method after which no other is
// needed: the error left is about its cube.
const turningStep = 1e-4

// halleyTurning returns the step of Halley's method from u: −f·f′/(f′²−f·f″/2), of
// which both parts are multiplied by √(1−u²) to save a division.
func halleyTurning(ratio, half, u float64) float64 {
	square := (1 - u) * (1 + u)
	root := math.Sqrt(square)
	f := float64(square*root) - float64(ratio*(float64((float64(2*u)+half)*u)-1))
	slope := float64(3*u*root) + float64(ratio*(float64(4*u)+half)) // −f′
	bend := float64(3*u*u) - 1.5 - float64(2*ratio*root)            // √(1−u²)·f″/2
	return f * slope * root / (float64(slope*slope*root) - float64(f*bend))
}

// bracketTurning solves the equation of bestTurning by Newton's method kept
// inside a bracket.
func bracketTurning(ratio, half float64) float64 {
	least, most := 0.0, 1.0
	u := 0.76
	for range 60 {
		square := (1 - u) * (1 + u)
		root := math.Sqrt(square)
		next := u + (float64(square*root)-float64(ratio*(float64(2*u*u)+float64(half*u)-1)))/(float64(3*u*root)+float64(ratio*(float64(4*u)+half)))
		// The step goes to the side on which the root is.
		if next > u {
			least = u
		} else {
			most = u
		}
		if !(next > least && next < most) {
			next = least + float64((most-least)/2)
		}
		step := math.Abs(next - u)
		u = next
		// The error left is of the order of the step's square.
		if step < 3e-7 {
			break
		}
	}
	return u
}

// fill writes what the bodies are asked for, column by column, and marks those of
// whom it cannot be sure.
func (t *levelBodies) fill(out *Result, relative []float64, from, n int) {
	var forces, spacings [levelTile]float64
	sine, force, spacing := t.sine[:n], forces[:n], spacings[:n]
	arm, reach, hang, span, rise, solved := t.arm[:n], t.reach[:n], t.hang[:n], t.span[:n], t.rise[:n], t.solved[:n]
	possible, limit := out.Possible[from:from+n], out.Limit[from:from+n]
	possible, limit = possible[:n], limit[:n]
	for k := range n {
		u := rise[k]
		s := cosine(u)
		x, d := hang[k]+float64(reach[k]*s), span[k]+float64(2*arm[k]*u)
		sine[k], spacing[k] = s, d
		force[k] = x / (d * s)
		// Turning binds at its own optimum, within the range, as for ordinary bodies.
		solved[k] = s >= sineLeast && s <= sineMost && 2*u*x >= s*d
		possible[k], limit[k] = true, LimitTurning
	}
	if column := out.Value[RequiredForce]; column != nil {
		copy(column[from:from+n], force)
	}
	if column := out.Value[Difficulty]; column != nil {
		column, relative := column[from:from+n], relative[from:from+n]
		column, relative = column[:n], relative[:n]
		for k := range n {
			column[k] = force[k] / relative[k]
		}
	}
	if column := out.Value[HandSpacing]; column != nil {
		copy(column[from:from+n], spacing)
	}
	if column := out.Value[ArmAngle]; column != nil {
		column = column[from : from+n]
		column = column[:n]
		for k := range n {
			column[k] = arcsineOf(sine[k], rise[k])
		}
	}
}
