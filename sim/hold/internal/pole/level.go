package pole

import (
	"counterpoise/sim/body"
	"counterpoise/sim/math"
)

// tileRows is how many level bodies are taken through each step of the solution
// together. One body's square roots and divisions wait for each other; those of
// different bodies overlap, if nothing but them stands between.
const tileRows = 64

// Tile is the best posture of some level bodies whose strength does not vary
// with the angle, under the two conditions: what nearly every body of a
// survey is asked for most of all. It works column by column, with the turning condition alone,
// and is sure of all but a few bodies: those for whom lifting binds, or whose best angle is out
// of range.
type Tile struct {
	levelBodies
	forces, spacings [tileRows]float64
	n                int
}

// Turn solves the bodies from a row on, as many as there is place for, and returns the row after them.
func (t *Tile) Turn(b *body.Columns, from int, at *Stance) int {
	t.n = min(tileRows, b.Rows()-from)
	t.reduce(b, from, t.n, at)
	t.bestTurning(t.n)
	t.settle(t.n)
	return from + t.n
}

// Sine is the sine of the angle of body k, and whether it is sure.
func (t *Tile) Sine(k int) (sine float64, sure bool) { return t.sine[k], t.solved[k] }

// Forces and Spacings are what turning takes and how far the hands are apart.
func (t *Tile) Forces() []float64   { return t.forces[:t.n] }
func (t *Tile) Spacings() []float64 { return t.spacings[:t.n] }

// Angles writes the angles of the arms.
func (t *Tile) Angles(to []float64) {
	to, sine, rise := to[:t.n], t.sine[:t.n], t.rise[:t.n]
	for k := range to {
		to[k] = arcsineOf(sine[k], rise[k])
	}
}

// levelBodies is a tile of bodies reduced to the numbers that the statics needs
// (see Body), and what becomes of them.
type levelBodies struct {
	arm, reach, hang, span [tileRows]float64
	rise, sine             [tileRows]float64 // of the arm's angle: its cosine and sine
	solved                 [tileRows]bool
}

// reduce is Body.reduce for the rows from..from+n-1 of level bodies. Three loops
// over a few columns each take half the time of one loop over them all.
func (t *levelBodies) reduce(b *body.Columns, from, n int, at *Stance) {
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
			hang[k] += float64((float64(thigh[k]*thighCentre[k])+float64((shank[k]+foot[k])*thighLength[k]))*at.Thigh) +
				float64((float64(shank[k]*shankCentre[k])+float64(foot[k]*(shankLength[k]+footCentre[k])))*at.Shank)
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

// settle fills forces, spacings and sines, and marks the bodies of whom it can be sure.
func (t *Tile) settle(n int) {
	sine, force, spacing := t.sine[:n], t.forces[:n], t.spacings[:n]
	arm, reach, hang, span, rise, solved := t.arm[:n], t.reach[:n], t.hang[:n], t.span[:n], t.rise[:n], t.solved[:n]
	for k := range n {
		u := rise[k]
		s := cosine(u)
		x, d := hang[k]+float64(reach[k]*s), span[k]+float64(2*arm[k]*u)
		sine[k], spacing[k] = s, d
		force[k] = x / (d * s)
		// Turning binds at its own optimum, within the range, as for ordinary bodies.
		solved[k] = s >= sineLeast && s <= sineMost && 2*u*x >= s*d
	}
}
