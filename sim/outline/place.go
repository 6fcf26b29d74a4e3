package outline

import (
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/statics"
)

// placed is one body in a stance: where its joints and the points at which it is held
// are, metres from the middle of the shoulders, and the weights of what lies beyond its
// cuts.
type placed struct {
	across                       statics.Vec
	to                           [numParts]statics.Vec
	neck, waist, hip             statics.Vec
	shoulder, elbow, wrist, hand [2]statics.Vec
	knee, ankle, ball            [2]statics.Vec
	rest                         float64 // of everything but the arms, as the next
	settled                      int     // 1 more than the body whose trunk and legs are placed
	weight                       float64 // of everything, as a moment about the shoulders' middle: Σ share·x
	arm, forearm, palm           [2]beyond
	trunk                        beyond // beyond the waist
	leg                          [2]beyond
	reach                        [2]float64 // how far a flat hand presses from its wrist, to the right
	crown                        statics.Vec
}

// beyond is what weighs beyond a cut: its share of the body and the first moment of that,
// Σ share·x.
type beyond struct{ share, moment float64 }

func (w *beyond) add(share float64, at statics.Vec) {
	w.share += share
	w.moment += float64(share * at.X)
}

// about is the moment that the cut must bear of the weights, counterclockwise, BW·m.
func (w *beyond) about(cut statics.Vec) float64 { return w.moment - float64(w.share*cut.X) }

// place puts body i into a stance at a free angle.
func (c *compiled) place(pl *placed, st *stance, b *body.Columns, i int, free float64, a *assume.Set) {
	st.pointed(free, &pl.to, &pl.across)
	// What does not turn with the free angle is placed once a body.
	if !st.rigid || pl.settled != i+1 {
		c.placeTrunk(pl, b, i, a)
		pl.settled = i + 1
	}
	pl.weight = pl.rest
	for side := range 2 {
		c.placeArm(pl, b, i, side, a)
		pl.weight += pl.arm[side].moment
	}
}

// rise is how far the neck is from the middle of the shoulders.
func (c *compiled) rise(b *body.Columns, i int) float64 {
	if c.ShouldersRaised {
		return b.Rise[i]
	}
	return 0
}

// placeTrunk puts everything but the arms.
func (c *compiled) placeTrunk(pl *placed, b *body.Columns, i int, a *assume.Set) {
	chest, abdomen, pelvis := pl.to[alongside], pl.to[toAbdomen], pl.to[toPelvis]
	pl.neck = chest.Times(c.rise(b, i))
	ends := pl.neck.Plus(chest.Times(b.Chest[i]))
	pl.waist = ends.Plus(abdomen.Times(b.Waist[i] - b.Chest[i]))
	pl.hip = pl.waist.Plus(pelvis.Times(b.Hip[i] - b.Waist[i]))
	head := pl.neck.Plus(pl.to[toCrown].Times(-b.HeadCentre[i]))
	pl.crown = head.Plus(pl.to[toCrown].Times(hold.HeadHalf * b.Stature[i]))

	// The upper part has what is left of the trunk's mass and of its moment.
	upper := b.TrunkShare[i] - b.MiddleTrunkShare[i] - b.LowerTrunkShare[i]
	moment := float64(b.TrunkShare[i]*b.TrunkCentre[i]) - float64(b.MiddleTrunkShare[i]*b.MiddleTrunkCentre[i]) - float64(b.LowerTrunkShare[i]*b.LowerTrunkCentre[i])
	pl.rest = float64(upper*pl.neck.X) + float64(moment*chest.X)
	pl.rest += float64(b.HeadShare[i] * head.X)
	pl.rest += float64(b.MiddleTrunkShare[i] * (ends.X + float64(abdomen.X*(b.MiddleTrunkCentre[i]-b.Chest[i]))))
	pl.trunk = beyond{}
	pl.trunk.add(b.LowerTrunkShare[i], pl.waist.Plus(pelvis.Times(b.LowerTrunkCentre[i]-b.Waist[i])))
	for side := range 2 {
		c.placeLeg(pl, b, i, side, a)
		pl.trunk.share += pl.leg[side].share
		pl.trunk.moment += pl.leg[side].moment
	}
	pl.rest += pl.trunk.moment
}

func (c *compiled) placeLeg(pl *placed, b *body.Columns, i, side int, a *assume.Set) {
	thigh, shank, foot := pl.to[thighs+side], pl.to[shanks+side], pl.to[feet+side]
	pl.knee[side] = pl.hip.Plus(thigh.Times(b.Thigh[i]))
	pl.ankle[side] = pl.knee[side].Plus(shank.Times(b.Shank[i]))
	sole, centre := pl.ankle[side], pl.ankle[side]
	if c.Feet == Standing {
		sole, centre = sole.Plus(shank.Times(b.Ankle[i])), centre.Plus(shank.Times(b.Ankle[i]/2))
	}
	pl.ball[side] = sole.Plus(foot.Times(float64(a[assume.BallShare]*b.Foot[i]) - b.Heel[i]))
	leg := &pl.leg[side]
	*leg = beyond{}
	leg.add(b.ThighShare[i], pl.hip.Plus(thigh.Times(b.ThighCentre[i])))
	if c.kneels { // the floor bears the lower legs where they are
		return
	}
	leg.add(b.ShankShare[i], pl.knee[side].Plus(shank.Times(b.ShankCentre[i])))
	leg.add(b.FootShare[i], centre.Plus(foot.Times(b.FootCentre[i])))
}

func (c *compiled) placeArm(pl *placed, b *body.Columns, i, side int, a *assume.Set) {
	upper, fore := pl.to[upperArms+side], pl.to[forearms+side]
	pl.shoulder[side] = statics.Vec{}
	if c.View == Front {
		half := b.ShoulderSpan[i] / 2
		if side == 1 {
			half = -half
		}
		pl.shoulder[side] = pl.across.Times(half)
	}
	pl.elbow[side] = pl.shoulder[side].Plus(upper.Times(b.UpperArm[i]))
	pl.wrist[side] = pl.elbow[side].Plus(fore.Times(b.Forearm[i]))
	centre := pl.wrist[side].Plus(fore.Times(b.Grip[i]))
	pl.hand[side] = centre
	pl.reach[side] = 0
	switch c.hands[side] {
	case open:
		pl.hand[side] = pl.wrist[side]
		centre = pl.wrist[side].Plus(fore.Times(b.HandCentre[i]))
	case flat:
		pl.reach[side] = c.fingers[side] * c.press[side].Of(a) * b.Palm[i]
		centre = pl.wrist[side].Plus(statics.Vec{X: c.fingers[side] * b.HandCentre[i]})
		pl.hand[side] = pl.wrist[side].Plus(statics.Vec{X: pl.reach[side]})
	}
	palm, forearm := beyond{}, beyond{}
	palm.add(b.HandShare[i], centre)
	forearm = palm
	forearm.add(b.ForearmShare[i], pl.elbow[side].Plus(fore.Times(b.ForearmCentre[i])))
	pl.palm[side], pl.forearm[side] = palm, forearm
	forearm.add(b.UpperArmShare[i], pl.shoulder[side].Plus(upper.Times(b.UpperArmCentre[i])))
	pl.arm[side] = forearm
}

// point returns where a point of the body is: of both sides the first's.
func (c *compiled) point(pl *placed, p Point, b *body.Columns, i int, a *assume.Set) statics.Vec {
	switch p {
	case Hands, FirstHand:
		return pl.hand[0]
	case OtherHand:
		return pl.hand[1]
	case Forearms:
		return pl.elbow[0].Plus(pl.to[forearms].Times(a[assume.ForearmPressure] * b.Forearm[i]))
	case Elbows:
		return pl.elbow[0]
	case Hips:
		return pl.hip
	case Knees:
		return pl.knee[0]
	case Heels, FirstFoot:
		return pl.ankle[0]
	case Balls:
		return pl.ball[0]
	case HeadTop:
		return pl.crown
	case WaistPoint:
		return pl.waist
	case UpperBack:
		return pl.neck.Plus(pl.to[alongside].Times(b.Chest[i] / 2))
	}
	return pl.neck // Shoulders
}

// swing is a quantity of a body that is at + cos·cos φ + sin·sin φ at a free angle φ, as
// every coordinate of it and every moment of weights is.
type swing struct{ at, cos, sin float64 }

// swingOf finds the swing of what value gives.
func swingOf(value func(free float64) float64) swing {
	zero, half, quarter := value(0), value(math.Pi), value(math.Pi/2)
	at := float64((zero + half) / 2)
	return swing{at, (zero - half) / 2, quarter - at}
}

// root returns the smallest angle within from..to at which the swing is a value.
func (s swing) root(value, from, to float64) (free float64, ok bool) {
	size := math.Hypot(s.cos, s.sin)
	if ratio := (value - s.at) / size; ratio >= -1 && ratio <= 1 {
		middle, off := math.Atan2(s.sin, s.cos), math.Acos(ratio)
		free = math.Inf(1)
		for _, x := range [2]float64{middle - off, middle + off} {
			// The first turn of it at or beyond from, but for rounding.
			const rounding = 1e-12
			x += float64(2 * math.Pi * math.Ceil((from-rounding-x)/(2*math.Pi)))
			free = min(free, x)
		}
		return free, free <= to+1e-12
	}
	return 0, false
}
