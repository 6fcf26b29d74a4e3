package study

import (
	"strings"

	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/body"
)

// points reads a mass at each of some points, of limbs that of both sides together, which
// is carried, or taken off where the sign is -1.
func (v *value) points(sign float64) (l body.Load) {
	clean := v.doc.clean()
	readers := map[string]func(*value){}
	for _, name := range body.PointNames() {
		p, _ := body.ParsePoint(name)
		readers[name] = func(v *value) {
			clean := v.doc.clean()
			kg := v.quantity(units.Mass).Value
			switch {
			case !clean():
			case l[p] != 0:
				v.fail("appears twice: %s is what is worn %s", p.Info().Worn, p.Info().Where)
			case !(kg > 0 && kg <= body.LoadBounds.Most):
				v.fail("%s is not possible, allowed: more than 0, up to %s", words.Typed(kg, "kg"), words.Typed(body.LoadBounds.Most, "kg"))
			default:
				l[p] = sign * kg
			}
		}
	}
	v.fields(readers)
	if clean() && l == (body.Load{}) {
		v.fail("names no point of the body, as in {vest: 10 kg}; known: %s", strings.Join(body.PointNames(), ", "))
	}
	return l
}

// loadReader reads a load and an assist into one.
type loadReader struct{ load, assist body.Load }

// into adds its two fields to the readers of others.
func (r *loadReader) into(readers map[string]func(*value)) {
	one := func(to *body.Load, sign float64) func(*value) {
		return func(v *value) {
			*to = v.points(sign)
			for p := range r.load {
				if r.load[p] != 0 && r.assist[p] != 0 {
					v.fail("a load and help act at the same point, the %s: give the difference", body.Point(p))
				}
			}
		}
	}
	readers["load"], readers["assist"] = one(&r.load, +1), one(&r.assist, -1)
}

// total is what is carried less what is taken off.
func (r *loadReader) total() body.Load { return r.load.Plus(r.assist) }
