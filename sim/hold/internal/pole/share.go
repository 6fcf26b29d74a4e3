package pole

import "counterpoise/sim/math"

// The vertical force is shared between the hands as the performer likes: statics
// leaves it open, and muscles can move it. The share λ of the weight that the top
// hand carries is therefore chosen as the angle of the arms is, so that the largest
// use of any capacity is as small as can be:
//
//	difficulty = min over θ and λ of max over uses of demand/capacity.
//
// For a given θ each use is a linear function of λ. Three grow with λ and three
// fall, strictly, so that the best λ is the one at which the largest growing and
// the largest falling use meet, or an end of the range: exact, and never a tie.
//
// By the duality of linear programs the peak at the best λ is the largest over all
// pairs (g, f) of a growing and a falling use of
//
//	(r_f·a_g + r_g·a_f)/(r_g + r_f)    where the uses are a_g + r_g·λ and a_f − r_f·λ,
//
// and over the single uses at the ends of the range. These meetings are smooth
// functions of the angle, and the best angle is where the largest of them is
// smallest: a search in one dimension, as with a share that is given. Where two
// angles ask exactly alike the smaller one is held.

// lines are the uses of a posture as functions of the share at the top,
// at + rise·λ, and the derivatives of both by the mean sine.
type lines struct {
	at, rise, dat, drise [NumUses]float64
}

// lines fills u for the mean sine s. The weight hangs on the body's side of the
// pole, so that the top arm is always pulled and the bottom arm always pushed.
func (f *Body) lines(s float64, u *lines) {
	sineTop, sineBottom := s-f.shift, s+f.shift
	cosTop := cosine(sineTop)
	cosBottom := cosTop
	if f.shift != 0 {
		cosBottom = cosine(sineBottom)
	}
	tanTop, tanBottom := sineTop/cosTop, sineBottom/cosBottom
	d := f.span + float64(f.arm*(cosTop+cosBottom))
	h := (float64(f.reach*s) + f.hang) / d
	dh := (f.reach + float64(h*f.arm*(tanTop+tanBottom))) / d

	u.set(PullTop, f.per[PullTop], h*sineTop, cosTop, float64(dh*sineTop)+h, -tanTop)
	u.set(PushBottom, f.per[PushBottom], float64(h*sineBottom)+cosBottom, -cosBottom, float64(dh*sineBottom)+h-tanBottom, tanBottom)
	if f.slope.Pull != 0 {
		u.weaken(PullTop, f.slope.Pull, sineTop, cosTop)
	}
	if f.slope.Push != 0 {
		u.weaken(PushBottom, f.slope.Push, sineBottom, cosBottom)
	}
	at, rise := float64(f.arm*h*cosTop)+float64(f.sag*sineTop), -f.arm*sineTop
	dat, drise := float64(f.arm*(float64(dh*cosTop)-float64(h*tanTop)))+f.sag, -f.arm
	u.set(AdductTop, f.per[AdductTop], at, rise, dat, drise)
	u.set(AbductTop, -f.per[AbductTop], at, rise, dat, drise)
	at, rise = float64(f.arm*(float64(h*cosBottom)-sineBottom))+float64(f.sag*sineBottom), f.arm*sineBottom
	dat, drise = float64(f.arm*(float64(dh*cosBottom)-float64(h*tanBottom)-1))+f.sag, f.arm
	u.set(AbductBottom, f.per[AbductBottom], at, rise, dat, drise)
	u.set(AdductBottom, -f.per[AdductBottom], at, rise, dat, drise)
}

func (u *lines) set(use int, per, at, rise, dat, drise float64) {
	u.at[use], u.rise[use], u.dat[use], u.drise[use] = per*at, per*rise, per*dat, per*drise
}

// weaken divides a use by what the arm's angle makes of its strength.
func (u *lines) weaken(use int, slope, sine, cosine float64) {
	factor, derivative := 1+float64(slope*(math.Asin(sine)-SlopeAngle)), slope/cosine
	u.at[use] /= factor
	u.rise[use] /= factor
	u.dat[use] = (u.dat[use] - float64(u.at[use]*derivative)) / factor
	u.drise[use] = (u.drise[use] - float64(u.rise[use]*derivative)) / factor
}

// value returns a use at a share.
func (u *lines) value(use int, share float64) float64 { return u.at[use] + float64(u.rise[use]*share) }

// A meeting is what decides how the weight is shared: a growing and a falling
// use, of which one is alone at an end of the range.
type meeting struct{ grows, falls int8 }

const alone = -1

// usual is the meeting that decides how most bodies share their weight.
var usual = meeting{AbductBottom, PushBottom}

// divide returns the best share within least..most and the meeting that decides it.
// It starts from a guess of the meeting, which changes nothing but the time it takes.
func (u *lines) divide(least, most float64, guess meeting) (share float64, m meeting) {
	if least == most { // a share that is given
		m = meeting{u.largest(0, firstFalling, least), alone}
		if f := u.largest(firstFalling, NumUses, least); u.value(int(f), least) > u.value(int(m.grows), least) {
			m = meeting{alone, f}
		}
		return least, m
	}
	m = guess
	if m.grows == alone || m.falls == alone {
		m = usual
	}
	// Each round meets the two that are largest where the last two met; it ends
	// where these are the largest themselves.
	settled := false
	for range 4 {
		share = u.shareAt(m)
		next := meeting{u.largest(0, firstFalling, share), u.largest(firstFalling, NumUses, share)}
		if settled = next == m; settled {
			break
		}
		m = next
	}
	if !settled {
		m = u.highest()
		share = u.shareAt(m)
	}
	switch {
	case share < least:
		return least, meeting{u.largest(0, firstFalling, least), alone}
	case share > most:
		return most, meeting{alone, u.largest(firstFalling, NumUses, most)}
	}
	return share, m
}

// shareAt returns the share at which the two uses of a meeting are alike.
func (u *lines) shareAt(m meeting) float64 {
	return (u.at[m.falls] - u.at[m.grows]) / (u.rise[m.grows] - u.rise[m.falls])
}

// highest returns the highest of all meetings, wherever their shares lie.
func (u *lines) highest() (m meeting) {
	peak := math.Inf(-1)
	for g := range int8(firstFalling) {
		for f := int8(firstFalling); f < NumUses; f++ {
			if v := (float64(u.rise[g]*u.at[f]) - float64(u.rise[f]*u.at[g])) / (u.rise[g] - u.rise[f]); v > peak {
				peak, m = v, meeting{g, f}
			}
		}
	}
	return m
}

// largest returns the largest of the uses from..to-1 at a share.
func (u *lines) largest(from, to int8, share float64) int8 {
	at := from
	for j := from + 1; j < to; j++ {
		if u.value(int(j), share) > u.value(int(at), share) {
			at = j
		}
	}
	return at
}

// weights returns what part each use of a meeting has in it: the weights with which
// the share drops out of their sum. They are the multipliers of the linear program.
func (u *lines) weights(m meeting) (grows, falls float64) {
	switch {
	case m.falls == alone:
		return 1, 0
	case m.grows == alone:
		return 0, 1
	}
	grows = -u.rise[m.falls] / (u.rise[m.grows] - u.rise[m.falls])
	return grows, 1 - grows
}

// peak returns the value of a meeting and its derivative by the mean sine. By the
// envelope theorem the share's own movement has no part in the latter.
func (u *lines) peak(m meeting, least, most float64) (value, slope float64) {
	switch {
	case m.falls == alone:
		return u.value(int(m.grows), least), u.dat[m.grows] + float64(u.drise[m.grows]*least)
	case m.grows == alone:
		return u.value(int(m.falls), most), u.dat[m.falls] + float64(u.drise[m.falls]*most)
	}
	g, f := m.grows, m.falls
	grows, falls := u.weights(m)
	share := u.shareAt(m)
	return float64(grows*u.at[g]) + float64(falls*u.at[f]), float64(grows*(u.dat[g]+float64(u.drise[g]*share))) + float64(falls*(u.dat[f]+float64(u.drise[f]*share)))
}

// armsAndShoulders returns the largest use of an arm and of a shoulder.
func (u *lines) armsAndShoulders(share float64) (arms, shoulders float64) {
	arm, shoulder := u.largestOf(share)
	return u.value(arm, share), u.value(shoulder, share)
}

func (u *lines) largestOf(share float64) (arm, shoulder int) {
	arm, shoulder = PullTop, AdductTop
	if u.value(PushBottom, share) > u.value(arm, share) {
		arm = PushBottom
	}
	for _, use := range [...]int{AbductTop, AbductBottom, AdductBottom} {
		if u.value(use, share) > u.value(shoulder, share) {
			shoulder = use
		}
	}
	return arm, shoulder
}

// limit returns the largest use and which it is, or Alike: the best posture is mostly where
// an arm and a shoulder meet, to the rounding of its search.
func (u *lines) limit(share float64) (float64, int) {
	const alike = 1e-7
	arm, shoulder := u.largestOf(share)
	arms, shoulders := u.value(arm, share), u.value(shoulder, share)
	switch most := max(arms, shoulders); {
	case math.Abs(arms-shoulders) <= alike*most:
		return most, Alike
	case shoulders > arms:
		return most, shoulder
	default:
		return most, arm
	}
}
