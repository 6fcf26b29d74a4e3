package flags

import (
	"fmt"
	"strings"

	"counterpoise/internal/app/console"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/body"

	"github.com/spf13/pflag"
)

// LoadFlags are the flags that say what is carried, and what is taken off.
type LoadFlags struct{ load, assist []string }

// AddFlags adds the flags.
func (l *LoadFlags) AddFlags(f *pflag.FlagSet) {
	f.StringArrayVar(&l.load, "load", nil, "something carried, at one of "+strings.Join(body.PointNames(), ", ")+"; of limbs the mass at both, as in --load vest=10kg --load ankles=2kg; may be repeated")
	f.StringArrayVar(&l.assist, "assist", nil, "something taken off by a band, a pulley or a hand, straight up, as in --assist hips=20kg; may be repeated")
}

// Given reports whether any of the flags was given.
func (l *LoadFlags) Given() bool { return len(l.load)+len(l.assist) > 0 }

// Read reads the flags.
func (l *LoadFlags) Read() (body.Load, error) {
	var total body.Load
	for _, of := range []struct {
		flag  string
		texts []string
		sign  float64
	}{{"load", l.load, +1}, {"assist", l.assist, -1}} {
		for _, text := range of.texts {
			name, mass, found := strings.Cut(text, "=")
			if !found {
				return total, console.Input(fmt.Errorf("--%s %s: write where and how much, as in vest=10kg", of.flag, text))
			}
			p, err := PickOne(of.flag, strings.TrimSpace(name), body.ParsePoint, body.PointNames())
			if err != nil {
				return total, err
			}
			q, err := units.Parse(mass, units.Mass)
			if err != nil {
				return total, console.Input(fmt.Errorf("--%s %s: %w", of.flag, text, err))
			}
			if !(q.Value > 0 && q.Value <= body.LoadBounds.Most) {
				return total, console.Input(fmt.Errorf("--%s %s: allowed: more than 0, up to %s", of.flag, text, words.Typed(body.LoadBounds.Most, "kg")))
			}
			if total[p] != 0 {
				return total, console.Input(fmt.Errorf("--%s %s: there is already a load at the %s, give the sum or the difference", of.flag, text, p))
			}
			total[p] = of.sign * q.Value
		}
	}
	return total, nil
}
