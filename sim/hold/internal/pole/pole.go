// Package pole finds the best posture of two straight arms on a pole: the angle at which the
// arms stand, and how the weight is shared between the hands. It knows bodies, and what their arms
// and shoulders can give, but no holds.
package pole

import (
	"counterpoise/sim/body"
	"counterpoise/sim/math"
)

// The arms' angles with the pole that are allowed.
const (
	LeastAngle = math.Pi / 18
	MostAngle  = 4 * math.Pi / 9
)

// SlopeAngle is the arm angle about which strength is taken to vary, 41°.
const SlopeAngle = 0.7155849933176751

// The uses of capacities in the flag. The first three grow with the share at the
// top, the others fall.
const (
	PullTop      = iota // along the top arm
	AbductTop           // top shoulder, the muscles that lift the arm away from the side
	AbductBottom        // bottom shoulder
	PushBottom          // along the bottom arm
	AdductTop           // top shoulder, the muscles that draw the arm to the side
	AdductBottom        // bottom shoulder
	NumUses
)

// firstFalling is the first use that falls with the share at the top.
const firstFalling = PushBottom

// Capacity is what the arms and shoulders of bodies can give: a column a use, BW
// along an arm, BW·m at a shoulder, and the factor by which it is multiplied. The top
// hand's grip and the bottom arm's push, the two shoulders and the two ways round may all
// differ. The strength along an arm varies with its angle θ from the pole as
// 1 + slope·(θ − SlopeAngle).
type Capacity struct {
	Of     [NumUses][]float64
	Factor [NumUses]float64
	Slope  Slopes
}

// Slopes is how the pull and the push grow with the arm's angle, per radian.
type Slopes struct{ Pull, Push float64 }

// at returns what body i can give for a use.
func (c *Capacity) at(use, i int) float64 { return c.Of[use][i] * c.Factor[use] }

// Stance is what is given of a posture: the tilt of the body, how far along it thighs and
// shanks reach, each as a share of its length, and the share of the weight that the top hand may carry.
type Stance struct {
	Cos, Sin     float64 // of the tilt
	Thigh, Shank float64
	Least, Most  float64
}

// Body is one body on the pole, reduced to the numbers that the statics needs.
// Forces are in body weights, so that moments are in metres.
type Body struct {
	arm   float64 // L, shoulder centre to grip
	span  float64 // b·cos φ, the vertical part of the shoulder centres' separation
	shift float64 // b·sin φ / 2L, by which the sines of the two arms' angles differ from their mean
	reach float64 // q·L, how the whole centre of mass moves out with the sine of the arm angle
	hang  float64 // M₀·c·cos φ, where it is when the shoulders touch the pole
	sag   float64 // k·L·m_a, first moment of one arm about its shoulder

	slope       Slopes           // of the capacity along the arms
	per         [NumUses]float64 // one over each capacity
	least, most float64          // vertical force that the top hand may carry
}

// Of reduces body i.
func Of(b *body.Columns, can *Capacity, i int, at *Stance) (f Body) {
	f.slope = can.Slope
	for use := range f.per {
		f.per[use] = 1 / can.at(use, i)
	}
	f.least, f.most = at.Least, at.Most
	f.reduce(b, i, at)
	return f
}

// reduce writes the numbers of body i into f.
func (f *Body) reduce(b *body.Columns, i int, at *Stance) {
	armShare, rise := b.ArmShare(i), b.Rise[i]
	f.arm = b.Arm(i)
	f.sag = b.ArmMoment(i)
	rest := b.HeadShare[i] + b.TrunkShare[i] + float64(2*b.LegShare(i))
	f.reach = float64(rest*f.arm) + float64(2*(float64(armShare*f.arm)-f.sag))
	f.hang = at.Cos * (float64(b.HeadShare[i]*(b.HeadCentre[i]+rise)) + float64(b.TrunkShare[i]*(b.TrunkCentre[i]+rise)) +
		float64(2*b.LegShare(i)*(b.Hip[i]+rise)) + b.LegsMoment(i, at.Thigh, at.Shank))
	f.span = b.ShoulderSpan[i] * at.Cos
	f.shift = b.ShoulderSpan[i] * at.Sin / (2 * f.arm)
}

// Domain returns the range of the mean sine in which both arms keep to the
// angles that the hold allows; it is empty (low > high) where no angle does.
func (f *Body) Domain() (low, high float64) {
	tilt := math.Abs(f.shift)
	return sineLeast + tilt, sineMost - tilt
}

var (
	sineLeast = math.Sin(LeastAngle)
	sineMost  = math.Sin(MostAngle)
)

// SineAt returns the mean sine at which the hands are the given distance apart,
// and whether there is one in low..high. The distance falls as the sine grows.
func (f *Body) SineAt(spacing, low, high float64) (float64, bool) {
	if f.shift == 0 {
		cosine := (spacing - f.span) / (2 * f.arm)
		if !(cosine > 0 && cosine < 1) {
			return 0, false
		}
		return math.Sqrt((1 - cosine) * (1 + cosine)), true
	}
	const slack = 1e-12
	if spacing > f.spacing(low)+slack || spacing < f.spacing(high)-slack {
		return 0, false
	}
	for high-low > 1e-15 {
		middle := low + float64((high-low)/2)
		if middle == low || middle == high {
			break
		}
		if f.spacing(middle) > spacing {
			low = middle
		} else {
			high = middle
		}
	}
	return low + float64((high-low)/2), true
}

// cosine returns the cosine that belongs to a sine of an angle within ±90°.
func cosine(sine float64) float64 { return math.Sqrt((1 - sine) * (1 + sine)) }

// commonAngle is where arcsine is fast: the middle of the best angles of bodies.
const commonAngle = 2 * math.Pi / 9

var commonSine, commonCosine = math.Sincos(commonAngle)

// arcsine is math.Asin to rounding. Within 6 degrees of commonAngle, where nearly
// all bodies are held, it is the series in the sine of the difference, up to the
// thirteenth power: the next term is below 10⁻¹⁶. It saves a tenth of the time of
// a solution.
func arcsine(sine float64) float64 { return arcsineOf(sine, cosine(sine)) }

// arcsineOf is arcsine where the cosine is known already.
func arcsineOf(sine, cosine float64) float64 {
	x := float64(sine*commonCosine) - float64(cosine*commonSine)
	if !(math.Abs(x) < 0.11) {
		return math.Asin(sine)
	}
	q := x * x
	return commonAngle + float64(x*(1+float64(q*(1./6+float64(q*(3./40+float64(q*(5./112+float64(q*(35./1152+float64(q*(63./2816+float64(q*(231./13312))))))))))))))
}

// spacing returns the distance between the hands along the pole.
func (f *Body) spacing(s float64) float64 {
	return f.span + float64(f.arm*(cosine(s-f.shift)+cosine(s+f.shift)))
}

// conditions evaluates lift and turning at the mean sine s, and their derivatives
// by s.
func (f *Body) conditions(s float64, two *[2]struct{ value, slope float64 }) {
	sineTop, sineBottom := s-f.shift, s+f.shift
	cosTop, cosBottom := cosine(sineTop), cosine(sineBottom)
	tans := sineTop/cosTop + sineBottom/cosBottom
	d, dd := f.span+float64(f.arm*(cosTop+cosBottom)), -f.arm*tans
	h := (float64(f.reach*s) + f.hang) / d
	dh := (f.reach - float64(h*dd)) / d
	steep := min(sineTop, sineBottom) // the arm that turns worst
	sum := cosTop + cosBottom
	two[0].value, two[0].slope = 1/sum, tans/(sum*sum)
	two[1].value, two[1].slope = h/steep, (dh-h/steep)/steep
}

// ShareAt returns the best share at a mean sine.
func (f *Body) ShareAt(s float64) float64 {
	var u lines
	return f.divide(s, &u)
}

// divide fills u for the mean sine s and returns the best share.
func (f *Body) divide(s float64, u *lines) float64 {
	f.lines(s, u)
	share, _ := u.divide(f.least, f.most, usual)
	return share
}

// Arm is an arm on the pole: the sine of its angle with it, the force along it
// and the moment at its shoulder.
type Arm struct{ Sine, Axial, Moment float64 }

// Held is a posture in equilibrium: the angle of the arms, how far the hands are apart, the
// horizontal force of each, the share of the weight on the top one, the arms, the
// largest use of all, and which it is, or Alike.
type Held struct {
	Angle, Spacing, Horizontal, Share float64
	Top, Bottom                       Arm
	Peak                              float64
	By                                int
}

// Alike is where an arm and a shoulder are used alike.
const Alike = -1

// Hold is the posture at the mean sine s.
func (f *Body) Hold(s float64) (h Held) {
	sineTop, sineBottom := s-f.shift, s+f.shift
	cosTop, cosBottom := cosine(sineTop), cosine(sineBottom)
	h.Angle, h.Spacing = arcsine(s), f.span+float64(f.arm*(cosTop+cosBottom))
	h.Horizontal = (float64(f.reach*s) + f.hang) / h.Spacing
	var u lines
	h.Share = f.divide(s, &u)
	h.Peak, h.By = u.limit(h.Share)
	x, share := h.Horizontal, h.Share
	h.Top = Arm{sineTop, float64(x*sineTop) + float64(share*cosTop), float64(f.arm*(float64(x*cosTop)-float64(share*sineTop))) + float64(f.sag*sineTop)}
	h.Bottom = Arm{sineBottom, float64(x*sineBottom) + float64((1-share)*cosBottom), float64(f.arm*(float64(x*cosBottom)-float64((1-share)*sineBottom))) + float64(f.sag*sineBottom)}
	return h
}

// Turned is the posture at the mean sine s under two conditions alone, which lift the body
// and keep it from turning: what the larger takes, and whether that is the lift.
func (f *Body) Turned(s float64) (angle, spacing, force float64, lift bool) {
	sineTop, sineBottom := s-f.shift, s+f.shift
	cosTop, cosBottom := cosine(sineTop), cosine(sineBottom)
	spacing = f.span + float64(f.arm*(cosTop+cosBottom))
	force = (float64(f.reach*s) + f.hang) / spacing / min(sineTop, sineBottom)
	if up := 1 / (cosTop + cosBottom); up > force {
		force, lift = up, true
	}
	return arcsine(s), spacing, force, lift
}

// Parts are the two conditions, or the largest use of an arm and of a shoulder, at the
// mean sine s.
func (f *Body) Parts(s float64, conditions bool) (first, second float64) {
	p := pieces{f: f, conditions: conditions, last: usual}
	p.at(s)
	if conditions {
		return p.two[0].value, p.two[1].value
	}
	share, _ := p.uses.divide(f.least, f.most, p.last)
	return p.uses.armsAndShoulders(share)
}
